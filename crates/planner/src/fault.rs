//! What stands in the way of a plan, in the maker's words, at the field where it was typed.

use alloc::format;
use alloc::string::{String, ToString};
use core::fmt;

use quantity::{Length, Rounding};

use crate::fields::{Dimension, Field, FieldRef, Kind, Table};
use crate::parse::plain;
use crate::show::{Show, exact_mm};

/// A fault at a field.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where.
    pub at: FieldRef,
    /// What.
    pub kind: FaultKind,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FaultKind {
    /// Needed and not typed.
    Missing,
    /// Not of the kind that the field takes.
    Unreadable {
        /// What was typed.
        given: String,
        /// A number such as `1,200` that can be read two ways.
        ambiguous: bool,
    },
    /// Outside the field's range.
    OutOfRange {
        /// What was typed.
        given: String,
    },
    /// Two things that cannot both be: what conflicts and the smallest change that would work.
    Conflict {
        /// What conflicts.
        what: String,
        /// The smallest change that would work.
        remedy: String,
    },
    /// A key in a file that is not known.
    UnknownField {
        /// Its name in the file.
        name: String,
    },
    /// Too many rows.
    TooMany {
        /// How many were given.
        given: usize,
    },
}

impl Fault {
    /// The message for the page, with lengths in the page's units.
    #[must_use]
    pub fn message(&self, show: Show) -> String {
        let field = self.at.field();
        let name = field.map_or(self.at.key, |f| f.label);
        match &self.kind {
            FaultKind::Missing => {
                format!(
                    "{name} is needed: {}.",
                    field.map_or_else(String::new, |f| accepted(f, show))
                )
            }
            FaultKind::Unreadable {
                given,
                ambiguous: true,
            } if !given.contains(',') => {
                format!(
                    "“{}” can be read two ways: write it without the point, or with its unit.",
                    echo(given)
                )
            }
            FaultKind::Unreadable {
                given,
                ambiguous: true,
            } => {
                format!(
                    "“{}” can be read two ways: write it without the comma, or with a point as the decimal sign.",
                    echo(given)
                )
            }
            FaultKind::Unreadable { given, .. } => {
                format!(
                    "“{}” is not understood here: {}.",
                    echo(given),
                    field.map_or_else(String::new, |f| accepted(f, show))
                )
            }
            FaultKind::OutOfRange { given } => {
                format!(
                    "“{}” is out of range: {}.",
                    echo(given),
                    field.map_or_else(String::new, |f| accepted(f, show))
                )
            }
            FaultKind::Conflict { what, remedy } => format!("{what} {remedy}"),
            FaultKind::UnknownField { name } => {
                format!(
                    "“{}” is not a field of {}.",
                    echo(name),
                    place(self.at.table)
                )
            }
            FaultKind::TooMany { given } => format!(
                "{given} rows are too many in {}: at most {}.",
                place(self.at.table),
                self.at.table.most_rows()
            ),
        }
    }

    /// Where it is, for people who script: `canvases[0].width`.
    #[must_use]
    pub fn path(&self) -> String {
        match self.at.table {
            Table::Settings | Table::Find => self.at.key.to_string(),
            t if self.at.key.is_empty() => t.key().to_string(),
            t => format!("{}[{}].{}", t.key(), self.at.row, self.at.key),
        }
    }
}

impl fmt::Display for Fault {
    /// Path and message with metric lengths.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path();
        if !path.is_empty() {
            write!(f, "{path}: ")?;
        }
        f.write_str(&self.message(Show::default()))
    }
}

impl core::error::Error for Fault {}

/// The start of what was given, enough to know it again: the field itself shows the whole.
fn echo(given: &str) -> String {
    const SHOWN: usize = 40;
    match given.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{}…", &given[..end]),
        None => given.to_string(),
    }
}

fn place(table: Table) -> &'static str {
    match table {
        Table::Settings => "a plan",
        Table::Canvases => "the list of canvases",
        Table::Boards => "the rack of boards",
        Table::Rolls => "the list of rolls",
        Table::Cut => "the list of boards already cut",
        Table::Find => "the finder of sizes",
    }
}

/// What a field would accept, with examples: the end of every message and the hint on the page.
#[must_use]
pub fn accepted(field: &Field, show: Show) -> String {
    match &field.kind {
        Kind::Text { most, .. } => format!("up to {most} characters"),
        Kind::Length { min, max, .. } => {
            format!(
                "a length from {} to {}",
                edge(*min, show, Rounding::Up),
                edge(*max, show, Rounding::Down)
            )
        }
        Kind::Count { min, max, .. } => format!("a whole number from {min} to {max}"),
        Kind::Measure {
            dimension,
            min,
            max,
            ..
        } => {
            let unit = shown_unit(dimension, show);
            let (lo, hi) = (
                in_unit(dimension, unit, *min),
                in_unit(dimension, unit, *max),
            );
            if unit.is_empty() {
                format!("from {lo} to {hi}")
            } else {
                format!("from {lo} to {hi} {unit}")
            }
        }
        Kind::Money { .. } => "an amount such as 7.65".to_string(),
        Kind::Choice(answers) => {
            let keys: alloc::vec::Vec<&str> = answers.iter().map(|(k, _)| *k).collect();
            format!("one of {}", keys.join(", "))
        }
        Kind::Date => "a day such as 2027-03-01".to_string(),
        Kind::Like => {
            let size = match show.units {
                crate::Units::Metric => "900 x 600",
                crate::Units::Imperial => "36 x 24",
            };
            format!("a proportion such as 3:2, 1.414 or golden, or a size such as {size}")
        }
        Kind::Weekdays => "days of the week such as Mon-Fri or Tue, Thu".to_string(),
        Kind::Battens { .. } => {
            "face × depth such as 38 × 19 mm, 50 × 25 mm at 2.10 a metre".to_string()
        }
        Kind::Pieces => "pieces such as 2 x 1000 mitred, 1 x 800 square".to_string(),
        Kind::Stretches => "stretches from the left end such as 300-350, 1200-1260".to_string(),
    }
}

fn edge(x: Length, show: Show, rounding: Rounding) -> String {
    // The exact bound where it shows exactly, else rounded to the inside of the range.
    match show.units {
        crate::Units::Metric => exact_mm(x),
        crate::Units::Imperial => show.length_rounded(x, rounding),
    }
}

/// The unit in which a measure is shown on the page.
#[must_use]
pub fn shown_unit(dimension: &Dimension, show: Show) -> &'static str {
    match show.units {
        crate::Units::Metric => dimension.metric,
        crate::Units::Imperial => dimension.imperial,
    }
}

/// A base value written in a unit of its dimension, to four significant digits or so.
#[must_use]
pub fn in_unit(dimension: &Dimension, unit: &str, base: f64) -> String {
    let (factor, offset) = dimension
        .units
        .iter()
        .find(|(s, ..)| *s == unit)
        .map_or((1.0, 0.0), |(_, f, o)| (*f, *o));
    let x = (base - offset) / factor;
    let decimals = if x.abs() >= 100.0 {
        0
    } else if x.abs() >= 10.0 {
        1
    } else {
        3
    };
    plain(x, decimals)
}
