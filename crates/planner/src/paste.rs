//! A list of canvases that was typed elsewhere and is pasted: `name, width, height, how many`.
//!
//! * One canvas a line; blank lines are passed over. How many may be missing (one), and so may the
//!   name.
//! * A line is parted by its tabs; else by its semicolons; else by its commas; else by runs of two
//!   or more blanks (also where every comma stands between two digits). A part in quotation marks is taken whole.
//! * Both sides may stand in one part: `60 x 80 cm`, `15 F`.
//! * A side without unit takes the unit in the head of its column, else that of the other side,
//!   else the one in the head of the other side's column, else the page's.
//! * A first line of column names (`Name; Width (cm); Height (cm); How many`) may put the columns
//!   in any order; a column with another name is not used, and said. Where no column says how
//!   many, a whole number in such a column leaves its line in doubt.
//! * On a line that commas part, a comma with a blank beside it, or without a digit on both sides,
//!   parts. One between two digits parts where that gives a canvas; else it is a decimal comma.
//!   Where some line of the list can only be read with decimal commas, or the comma could also
//!   group thousands, and both readings give a canvas, the line is not read and both are said.
//!
//! Nothing is lost: a line that can't be read stays, with what is wrong and what would be accepted.
//!
//! ```
//! use planner::{Units, paste};
//! let pasted = paste::read("Study; 74,9 cm; 60\nSketch, six feet, 80 cm", Units::Metric);
//! assert_eq!((&*pasted.rows[0].width, &*pasted.rows[0].height), ("74,9 cm", "60 cm"));
//! assert_eq!(pasted.left[0].line, 2);
//! ```

mod columns;
mod line;

use alloc::boxed::Box;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use quantity::Length;

use crate::draft::{Draft, LONGEST_TEXT, Record};
use crate::fault::Fault;
use crate::fields::Table;
use crate::show::{Show, Units};
use columns::Columns;
use line::{Commas, Line};

/// The most characters that are read at once (our choice: keeps the page instant).
pub const MOST_CHARACTERS: usize = 20_000;
/// The most lines that are read at once (our choice).
pub const MOST_LINES: usize = 500;
/// The most characters of a line: as many as a field of the plan keeps.
pub const LONGEST_LINE: usize = LONGEST_TEXT;

/// What a pasted list holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pasted {
    /// Canvases that could be read.
    pub rows: Vec<Row>,
    /// Lines that could not.
    pub left: Vec<Left>,
    /// Names of columns that are not used.
    pub unused: Vec<String>,
    /// Whether some line can only be read with decimal commas: then no comma between digits is
    /// taken to part where it may be decimal.
    pub decimal_commas: bool,
    /// The line of column names, if there is one.
    head: Option<String>,
}

/// A canvas of the list: the texts for its fields, and what they mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its line, from 1.
    pub line: usize,
    /// That line as it was pasted.
    pub text: String,
    /// Its name; may be empty.
    pub name: String,
    /// Its width as text; a standard number stands here alone.
    pub width: String,
    /// Its height as text.
    pub height: String,
    /// How many as text; empty means one.
    pub count: String,
    /// Width, height.
    pub sides: [Length; 2],
    /// How many.
    pub number: u32,
}

/// A line that could not be read.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    /// Its number, from 1.
    pub line: usize,
    /// The line as it was pasted.
    pub text: String,
    /// What is wrong.
    pub why: Why,
}

/// Why a line could not be read.
#[derive(Clone, Debug, PartialEq)]
pub enum Why {
    /// No two sides can be found.
    NoSize,
    /// A part is missing, not understood or out of range.
    Part {
        /// Which field and what is wrong.
        fault: Fault,
        /// Whether it is a number without unit, which takes the page's.
        bare: bool,
    },
    /// More parts than a canvas has.
    TooManyParts {
        /// How many were found.
        given: usize,
    },
    /// A whole number in a column that is not used, where no column says how many.
    Unused {
        /// The number.
        given: String,
        /// The name of its column.
        column: String,
    },
    /// It can be read two ways.
    TwoWays(Box<[Reading; 2]>),
    /// It is longer than [`LONGEST_LINE`].
    LongLine {
        /// Its characters.
        given: usize,
    },
    /// It stands beyond [`MOST_LINES`].
    LateLine,
    /// The whole list is longer than [`MOST_CHARACTERS`].
    LongList {
        /// Its characters.
        given: usize,
    },
    /// The plan has no room for more canvases.
    NoRoom,
}

/// One way to read a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Its name; may be empty.
    pub name: String,
    /// Width, height, as they would be typed.
    pub sides: [String; 2],
    /// How many.
    pub number: u32,
}

impl Reading {
    fn said(&self) -> String {
        let name = match self.name.as_str() {
            "" => String::new(),
            name => format!("“{name}”, "),
        };
        format!(
            "{name}{} × {}, {} of them",
            self.sides[0], self.sides[1], self.number
        )
    }
}

impl Why {
    /// The message, in the maker's words, with what would be accepted.
    #[must_use]
    pub fn message(&self, show: Show) -> String {
        match self {
            Self::NoSize => "No width and height found: write a name, a width, a height and how many, such as “Study; 60 cm; 80 cm; 2” or “Study; 60 x 80 cm”.".to_string(),
            Self::Part { fault, bare } => {
                let mut said = fault.message(show);
                let label = fault.at.label();
                if !said.starts_with(label) {
                    said = format!("{label}: {said}");
                }
                if *bare {
                    said.push_str(match show.units {
                        Units::Metric => " A number without a unit is in millimetres.",
                        Units::Imperial => " A number without a unit is in inches.",
                    });
                }
                said
            }
            Self::TooManyParts { given } => format!(
                "{given} parts where a canvas has at most four: name, width, height, how many. Put semicolons between them, so that commas can be decimal commas."
            ),
            Self::Unused { given, column } => format!(
                "“{given}” stands in the column “{column}”, which is not used. If it is how many, name the column “count”; else take the column out."
            ),
            Self::TwoWays(ways) => format!(
                "This can be read two ways: {}; or {}. Put semicolons between the parts, or a first line that names them: name; width; height; count.",
                ways[0].said(),
                ways[1].said()
            ),
            Self::LongLine { given } => {
                format!("This line has {given} characters: at most {LONGEST_LINE}.")
            }
            Self::LateLine => format!("At most {MOST_LINES} lines are read at once: paste the rest afterwards."),
            Self::LongList { given } => format!(
                "The list has {given} characters: at most {MOST_CHARACTERS} are read at once. Paste it in parts."
            ),
            Self::NoRoom => format!(
                "A plan takes at most {} rows of canvases.",
                Table::Canvases.most_rows()
            ),
        }
    }
}

/// Reads a pasted list on a page with these units.
#[must_use]
pub fn read(text: &str, units: Units) -> Pasted {
    read_on(text, units, false)
}

/// Reads what is left of a list of which some lines were added already; whether that list had
/// decimal commas is known from [`Pasted::decimal_commas`].
#[must_use]
pub fn read_on(text: &str, units: Units, decimal_commas: bool) -> Pasted {
    let mut pasted = Pasted {
        decimal_commas,
        ..Pasted::default()
    };
    let characters = text.chars().count();
    if characters > MOST_CHARACTERS {
        pasted.left.push(Left {
            line: 1,
            text: text.to_string(),
            why: Why::LongList { given: characters },
        });
        return pasted;
    }
    // Lines end in \n, \r\n, or \r alone on old machines.
    let unified = text.replace("\r\n", "\n").replace('\r', "\n");
    let mut lines: Vec<(usize, &str)> = (1..)
        .zip(unified.trim_start_matches('\u{feff}').lines())
        .filter(|(_, line)| !line.trim().is_empty())
        .collect();
    let mut columns = None;
    if let Some(first) = lines.first() {
        columns = Columns::of(first.1, units);
    }
    if let Some(columns) = &columns {
        let (_, head) = lines.remove(0);
        pasted.unused = columns.unused();
        pasted.head = Some(head.to_string());
    }
    let mut read = Vec::new();
    for (n, (line, text)) in lines.into_iter().enumerate() {
        let given = text.chars().count();
        let result = if n >= MOST_LINES {
            Err(Why::LateLine)
        } else if given > LONGEST_LINE {
            Err(Why::LongLine { given })
        } else {
            Ok(Line::new(text, columns.as_ref(), units))
        };
        read.push((line, text, result));
    }
    let needs = |l: &Result<Line, Why>| l.as_ref().is_ok_and(Line::needs_decimal_commas);
    pasted.decimal_commas |= read.iter().any(|(.., l)| needs(l));
    let commas = if pasted.decimal_commas {
        Commas::MayBeDecimal
    } else {
        Commas::Part
    };
    for (line, text, result) in read {
        match result.and_then(|l| l.row(commas)) {
            Ok(row) => pasted.rows.push(Row {
                line,
                text: text.to_string(),
                ..row
            }),
            Err(why) => pasted.left.push(Left {
                line,
                text: text.to_string(),
                why,
            }),
        }
    }
    pasted
}

impl Pasted {
    /// Whether there was nothing but blanks.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty() && self.left.is_empty()
    }

    /// Moves the canvases for which a plan has no room to the lines that are left.
    pub fn fit(&mut self, draft: &Draft) {
        let room = Table::Canvases.most_rows().saturating_sub(taken(draft));
        if self.rows.len() > room {
            let late = self.rows.split_off(room);
            self.left.extend(late.into_iter().map(|row| Left {
                line: row.line,
                text: row.text,
                why: Why::NoRoom,
            }));
            quantity::order::sort_by(&mut self.left, |a, b| a.line < b.line);
        }
    }

    /// Adds the canvases to a draft, in place of rows in which nothing was typed.
    pub fn add_to(&self, draft: &mut Draft) {
        draft.canvases.retain(|record| !record.is_empty());
        draft.canvases.extend(self.rows.iter().map(Row::record));
    }

    /// The lines that could not be read, under their column names: what stays in the box.
    #[must_use]
    pub fn rest(&self) -> String {
        if self.left.is_empty() {
            return String::new();
        }
        let mut rest: Vec<&str> = self.head.iter().map(String::as_str).collect();
        rest.extend(self.left.iter().map(|l| l.text.as_str()));
        rest.join("\n")
    }
}

/// How many rows of canvases have something typed.
fn taken(draft: &Draft) -> usize {
    draft.canvases.iter().filter(|r| !r.is_empty()).count()
}

impl Row {
    fn record(&self) -> Record {
        let mut record = Record::new();
        for (key, text) in [
            ("name", &self.name),
            ("width", &self.width),
            ("height", &self.height),
            ("count", &self.count),
        ] {
            if !text.is_empty() {
                record.insert(key, text.clone());
            }
        }
        record
    }
}
