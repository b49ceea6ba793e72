//! The changes to try, as `cargo mutants --list --json` writes them.

use std::ops::Range;

use serde::Deserialize;

/// One change of the code.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Change {
    /// From the workspace's folder.
    pub(crate) file: String,
    /// As in "src/a.rs:1:2: replace + with - in f".
    pub(crate) name: String,
    pub(crate) genre: Genre,
    /// What stands at the span instead.
    pub(crate) replacement: String,
    pub(crate) span: Span,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub(crate) enum Genre {
    FnValue,
    BinaryOperator,
    UnaryOperator,
    MatchArm,
    MatchArmGuard,
    StructField,
}

#[derive(Clone, Copy, Debug, Deserialize)]
pub(crate) struct Span {
    start: Place,
    end: Place,
}

/// Both from 1; the column in characters.
#[derive(Clone, Copy, Debug, Deserialize)]
struct Place {
    line: usize,
    column: usize,
}

/// Where each line of a text starts.
pub(crate) struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    pub(crate) fn of(text: &'a str) -> Self {
        let starts = [0]
            .into_iter()
            .chain(text.match_indices('\n').map(|(at, _)| at + 1));
        Self {
            text,
            starts: starts.collect(),
        }
    }

    /// The byte of a line (from 1) and a column in characters (from 0).
    pub(crate) fn byte(&self, line: usize, column: usize) -> usize {
        let start = self.starts[line - 1];
        let rest = &self.text[start..];
        start
            + rest
                .char_indices()
                .nth(column)
                .map_or(rest.len(), |(at, _)| at)
    }

    pub(crate) fn range(&self, span: Span) -> Range<usize> {
        self.byte(span.start.line, span.start.column - 1)
            ..self.byte(span.end.line, span.end.column - 1)
    }

    pub(crate) fn range_of(&self, span: proc_macro2::Span) -> Range<usize> {
        let (start, end) = (span.start(), span.end());
        self.byte(start.line, start.column)..self.byte(end.line, end.column)
    }
}
