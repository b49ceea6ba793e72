//! The first line of a pasted list, where it names the columns.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use super::line::{parts, split};
use crate::parse;
use crate::show::Units;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
    Name,
    Width,
    Height,
    Size,
    Count,
    /// Running numbers before the names.
    Numbering,
    Unused,
}

/// The columns of a list, in order, with the units of its sides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Columns {
    pub(super) all: Vec<Column>,
    /// The unit in the head of each column; empty where there is none.
    pub(super) unit: Vec<String>,
    /// The names as they stand.
    pub(super) names: Vec<String>,
}

/// Words that head a column (common practice, no source).
static WORDS: [(Column, &[&str]); 5] = [
    (
        Column::Name,
        &[
            "name", "title", "canvas", "picture", "painting", "student", "who", "for",
        ],
    ),
    (Column::Width, &["width", "wide", "w"]),
    (Column::Height, &["height", "high", "h"]),
    (
        Column::Size,
        &["size", "format", "dimensions", "w x h", "width x height"],
    ),
    (
        Column::Count,
        &[
            "count", "how many", "number", "no", "nr", "num", "n", "x", "×", "qty", "quantity",
            "amount", "pieces", "pcs", "copies", "of each", "#", "n°", "nº", "№",
        ],
    ),
];

/// Words that head how many or a list's own numbers.
const NUMBERING: [&str; 8] = ["number", "no", "nr", "num", "n", "#", "n°", "№"];

impl Columns {
    /// The columns that a line names; none where it does not name a width and a height, or a size.
    pub(super) fn of(line: &str, units: Units) -> Option<Self> {
        let mut columns = Self {
            all: Vec::new(),
            unit: Vec::new(),
            names: Vec::new(),
        };
        for part in parts(&split(line)) {
            let (column, unit) = column(&part, units);
            columns.all.push(column);
            columns.unit.push(unit);
            columns.names.push(part);
        }
        // A register's own numbers before its names are not how many.
        let numbering = columns.names.first().is_some_and(|head| {
            let head = head.trim_matches(|c: char| c.is_whitespace() || ".:".contains(c));
            NUMBERING.iter().any(|word| head.eq_ignore_ascii_case(word))
        });
        if numbering && columns.all.iter().skip(1).any(|c| *c == Column::Name) {
            columns.all[0] = Column::Numbering;
        }
        let has = |c| columns.all.contains(&c);
        ((has(Column::Width) && has(Column::Height)) || has(Column::Size)).then_some(columns)
    }

    /// Names of the columns that are not used.
    pub(super) fn unused(&self) -> Vec<String> {
        let all = self.all.iter().zip(&self.names);
        let is_unused = |c| matches!(c, Column::Unused | Column::Numbering);
        all.filter(|(column, name)| is_unused(**column) && !name.is_empty())
            .map(|(_, name)| name.clone())
            .collect()
    }
}

/// What a head such as `Width (cm)`, `width in mm` or `Qty.` stands for, with its unit.
fn column(head: &str, units: Units) -> (Column, String) {
    let head = head.to_ascii_lowercase();
    let word = |text: &str| {
        let text = text.trim_matches(|c: char| c.is_whitespace() || ".:,?".contains(c));
        let found = WORDS.iter().find(|(_, words)| words.contains(&text));
        found.map(|(column, _)| *column)
    };
    if let Some(column) = word(&head) {
        return (column, String::new());
    }
    let cut = head.trim_end_matches([')', ']', '.']);
    let start = cut.rfind(['(', '[', '/', ' ']).map_or(0, |at| at + 1);
    let (before, unit) = cut.split_at(start);
    let before = before.trim_end_matches([' ', '(', '[', '/']);
    let before = before.strip_suffix(" in").unwrap_or(before);
    match word(before) {
        Some(column) if parse::length(&format!("1 {unit}"), units).is_ok() && !unit.is_empty() => {
            (column, unit.to_string())
        }
        _ => (Column::Unused, String::new()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn heads(line: &str, all: &[Column], unit: &[&str]) {
        let columns = Columns::of(line, Units::Metric).unwrap();
        assert_eq!(columns.all, all, "{line}");
        assert_eq!(columns.unit, unit, "{line}");
    }

    #[test]
    fn names_of_columns() {
        use Column::{Count, Height, Name, Size, Unused, Width};
        heads(
            "name, width, height, count",
            &[Name, Width, Height, Count],
            &["", "", "", ""],
        );
        heads(
            "Width (cm);Height [cm];Qty.",
            &[Width, Height, Count],
            &["cm", "cm", ""],
        );
        heads(
            "Title\tSize in cm\tPrice",
            &[Name, Size, Unused],
            &["", "cm", ""],
        );
        heads("W in,H in", &[Width, Height], &["in", "in"]);
        for head in ["No.", "#", "Nr", "number"] {
            let line = format!("{head};Name;W;H");
            let all = [Column::Numbering, Name, Width, Height];
            heads(&line, &all, &["", "", "", ""]);
        }
        heads("No;W;H", &[Count, Width, Height], &["", "", ""]);
        for count in ["n", "N", "nr.", "How many?", "x", "No", "№"] {
            let line = format!("Name;W;H;{count}");
            heads(&line, &[Name, Width, Height, Count], &["", "", "", ""]);
        }
        for line in ["Study, 600, 800", "name, price", "Width, 600, 800", ""] {
            assert_eq!(Columns::of(line, Units::Metric), None, "{line}");
        }
    }
}
