//! One line of a pasted list: its parts, the ways to read them, and what is wrong if there is none.

use alloc::boxed::Box;
use alloc::string::{String, ToString};
use alloc::vec;
use alloc::vec::Vec;

use quantity::Length;

use super::columns::{Column, Columns};
use super::{Reading, Row, Why};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Kind, Table};
use crate::find_size::typed::{is_bare, unit_of, whole_size, with_unit};
use crate::parse::{self, Unread};
use crate::show::Units;

/// The most commas between digits that a line is tried with: no canvas needs more.
const MOST_COMMAS: usize = 6;

/// The signs that part a line, the strongest first.
const SIGNS: [char; 3] = ['\t', ';', ','];

/// What a comma between two digits is where both readings give a canvas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Commas {
    /// A comma that parts.
    Part,
    /// Not known: the list has decimal commas.
    MayBeDecimal,
}

/// A piece of a line up to the next sign that may part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    text: String,
    /// Whether a comma between two digits joins it to the piece before it.
    joined: bool,
}

/// A line with every way to read it.
pub(super) struct Line {
    /// Where every comma parts: the canvases that come out, and what is wrong.
    parted: Result<Vec<Row>, Why>,
    /// Where some comma between digits does not part.
    joined: Vec<Row>,
    /// Where some comma groups thousands, with the number as it was written: never taken, but they
    /// put a line in doubt.
    grouped: Vec<(Row, String)>,
    /// What is wrong where some comma does not part.
    wrong: Option<Why>,
}

/// The pieces of a line.
pub(super) fn split(line: &str) -> Vec<Piece> {
    let line = line.trim_matches(|c: char| c.is_whitespace() && c != '\t');
    let sign = SIGNS.into_iter().find(|sign| unquoted(line, *sign));
    // Runs of blanks part where every comma may be a decimal one.
    let sign = sign.filter(|s| *s != ',' || !line.contains("  ") || !only_decimal(line));
    let mut pieces: Vec<Piece> = Vec::new();
    let mut rest = line;
    let mut quoted_before = true;
    loop {
        let (text, quoted, after) = next_piece(rest, sign);
        let joined = sign == Some(',')
            && !quoted
            && !quoted_before
            && text.starts_with(|c: char| c.is_ascii_digit())
            && pieces
                .last()
                .is_some_and(|p| p.text.ends_with(|c: char| c.is_ascii_digit()));
        quoted_before = quoted;
        pieces.push(Piece { text, joined });
        match after {
            Some(after) => rest = after,
            None => return pieces,
        }
    }
}

/// Whether every comma stands between two digits.
fn only_decimal(line: &str) -> bool {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    line.match_indices(',').all(|(at, _)| {
        digit(line[..at].chars().next_back()) && digit(line[at + 1..].chars().next())
    })
}

/// Whether a sign stands anywhere outside quotation marks.
fn unquoted(line: &str, sign: char) -> bool {
    let mut rest = line;
    loop {
        if let Some((_, after)) = quoted(rest) {
            rest = after;
        }
        let Some(at) = rest.find(SIGNS) else {
            return false;
        };
        if rest[at..].starts_with(sign) {
            return true;
        }
        rest = &rest[at + 1..];
    }
}

/// The text up to the sign (runs of blanks if there is none), whether it was in quotation marks,
/// and what comes after the sign.
fn next_piece(line: &str, sign: Option<char>) -> (String, bool, Option<&str>) {
    let sign = sign.map_or("  ".to_string(), String::from);
    let after_sign = |after: &'_ str| after.len() - after.trim_start_matches(' ').len();
    if let Some((text, after)) = quoted(line) {
        if after.is_empty() {
            return (text, true, None);
        }
        if let Some(after) = after.strip_prefix(sign.as_str()) {
            return (text, true, Some(&after[after_sign(after)..]));
        }
    }
    match line.split_once(sign.as_str()) {
        Some((text, after)) => {
            let skip = if sign == "  " { after_sign(after) } else { 0 };
            (text.to_string(), false, Some(&after[skip..]))
        }
        None => (line.to_string(), false, None),
    }
}

/// A part in quotation marks, `""` inside it for one, and what comes after it: nothing, or a sign
/// that parts. An inch mark never begins a part.
fn quoted(line: &str) -> Option<(String, &str)> {
    let inner = line.trim_start_matches(' ').strip_prefix('"')?;
    let mut from = 0;
    while let Some(at) = inner[from..].find('"') {
        let close = from + at;
        let after = &inner[close + 1..];
        if after.starts_with('"') {
            from = close + 2;
            continue;
        }
        let next = after.trim_start_matches(' ');
        if next.is_empty() || next.starts_with(SIGNS) || after.starts_with("  ") {
            let after = if next.starts_with(SIGNS) { next } else { after };
            return Some((inner[..close].replace("\"\"", "\""), after));
        }
        from = close + 1;
    }
    None
}

/// The parts of a line where every sign parts.
pub(super) fn parts(pieces: &[Piece]) -> Vec<String> {
    joined_parts(pieces, 0)
}

/// The parts where the commas of the mask's bits do not part: bit n for the n-th comma between
/// digits.
fn joined_parts(pieces: &[Piece], mask: u32) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let mut bit = 0;
    for piece in pieces {
        let join = piece.joined && {
            bit += 1;
            mask & (1 << (bit - 1)) != 0
        };
        match parts.last_mut() {
            Some(last) if join => {
                last.push(',');
                last.push_str(&piece.text);
            }
            _ => parts.push(piece.text.clone()),
        }
    }
    for part in &mut parts {
        *part = part.trim().to_string();
    }
    parts
}

impl Line {
    pub(super) fn new(text: &str, columns: Option<&Columns>, units: Units) -> Self {
        let pieces = split(text);
        let reader = Reader { columns, units };
        let commas = pieces.iter().filter(|p| p.joined).count();
        let mut line = Self {
            parted: reader.rows(parts(&pieces)),
            joined: Vec::new(),
            grouped: Vec::new(),
            wrong: None,
        };
        if commas > MOST_COMMAS {
            return line;
        }
        for mask in 1..1u32 << commas {
            let parts = joined_parts(&pieces, mask);
            match reader.rows(parts.clone()) {
                Ok(rows) => line.joined.extend(rows),
                Err(why) => line.wrong = Some(why),
            }
            if let Some((grouped, given)) = without_grouping(parts)
                && let Ok(rows) = reader.rows(grouped)
            {
                line.grouped
                    .extend(rows.into_iter().map(|row| (row, given.clone())));
            }
        }
        line
    }

    /// Whether it can only be read with decimal commas.
    pub(super) fn needs_decimal_commas(&self) -> bool {
        let with_comma = |row: &Row| row.width.contains(',') || row.height.contains(',');
        match &self.parted {
            // Parted by tabs or semicolons.
            Ok(rows) => rows.iter().any(with_comma),
            Err(_) => !self.joined.is_empty(),
        }
    }

    /// The canvas, or why there is none.
    pub(super) fn row(self, commas: Commas) -> Result<Row, Why> {
        let (mut ways, wrong) = match self.parted {
            Ok(rows) => (rows, None),
            Err(why) => (Vec::new(), Some(why)),
        };
        if ways.is_empty() || commas == Commas::MayBeDecimal {
            ways.extend(self.joined);
        }
        if ways.is_empty()
            && let Some((row, given)) = self.grouped.first()
        {
            return Err(grouping(row, given));
        }
        ways.extend(self.grouped.into_iter().map(|(row, _)| row));
        let mut ways = ways.into_iter();
        let Some(first) = ways.next() else {
            // Too many parts where every comma parts: what is wrong is said of fewer.
            let wrong = match (wrong, self.wrong) {
                (Some(Why::TooManyParts { .. }), Some(joined)) => Some(joined),
                (wrong, _) => wrong,
            };
            return Err(wrong.unwrap_or(Why::NoSize));
        };
        match ways.find(|row| !same(row, &first)) {
            Some(other) => Err(Why::TwoWays(Box::new([reading(&first), reading(&other)]))),
            None => Ok(first),
        }
    }
}

fn same(a: &Row, b: &Row) -> bool {
    a.sides == b.sides && a.number == b.number && a.name == b.name
}

fn reading(row: &Row) -> Reading {
    Reading {
        name: row.name.clone(),
        sides: [row.width.clone(), row.height.clone()],
        number: row.number,
    }
}

/// Only a comma that groups thousands makes a canvas of the line, which a plan never takes.
fn grouping(row: &Row, given: &str) -> Why {
    let is_width = row.width.starts_with(&given.replace(',', ""));
    let key = if is_width { "width" } else { "height" };
    let kind = FaultKind::Unreadable {
        given: given.to_string(),
        ambiguous: true,
    };
    part(key, kind, false)
}

/// Parts such as `1,200` with the comma left out, and the first such part; none where there is
/// none.
fn without_grouping(mut parts: Vec<String>) -> Option<(Vec<String>, String)> {
    let mut first = None;
    for part in &mut parts {
        if parse::length(part, Units::Metric) == Err(Unread::AmbiguousComma) {
            let grouped = part.replace(',', "");
            first.get_or_insert(core::mem::replace(part, grouped));
        }
    }
    first.map(|first| (parts, first))
}

fn part(key: &'static str, kind: FaultKind, bare: bool) -> Why {
    Why::Part {
        fault: Fault {
            at: FieldRef {
                table: Table::Canvases,
                row: 0,
                key,
            },
            kind,
        },
        bare,
    }
}

/// The two sides of a canvas as they are found in a line.
enum Sides<'a> {
    /// In two parts, each with the unit in the head of its column.
    Two([(&'a str, Option<&'a str>); 2]),
    /// In one part.
    One(&'a str, Option<&'a str>),
}

struct Reader<'a> {
    columns: Option<&'a Columns>,
    units: Units,
}

impl Reader<'_> {
    /// Every canvas that the parts can mean, at least one.
    fn rows(&self, mut parts: Vec<String>) -> Result<Vec<Row>, Why> {
        while parts.last().is_some_and(String::is_empty) {
            parts.pop();
        }
        if let Some(first) = parts.first_mut() {
            // A list's bullet.
            let name = first.trim_start_matches(['•', '*', '-', '–']);
            if name.starts_with(' ') {
                *first = name.trim_start().to_string();
            }
        }
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        match self.columns {
            Some(columns) => self.by_columns(columns, &parts).map(|row| vec![row]),
            None => self.by_order(&parts),
        }
    }

    fn by_columns(&self, columns: &Columns, parts: &[&str]) -> Result<Row, Why> {
        if parts.len() > columns.all.len() {
            return Err(Why::TooManyParts { given: parts.len() });
        }
        let find = |column| {
            let at = columns.all.iter().position(|c| *c == column)?;
            let unit = columns.unit.get(at).map(String::as_str);
            let text = parts.get(at).copied().unwrap_or_default();
            Some((text, unit.filter(|u| !u.is_empty())))
        };
        if !columns.all.contains(&Column::Count) {
            let mut cells = columns.all.iter().zip(&columns.names).zip(parts);
            let number = |cell: &str| !cell.is_empty() && count(cell).is_ok();
            if let Some(((_, name), cell)) =
                cells.find(|((column, _), cell)| **column == Column::Unused && number(cell))
            {
                return Err(Why::Unused {
                    given: (*cell).to_string(),
                    column: name.clone(),
                });
            }
        }
        let text = |column| find(column).map_or("", |(text, _)| text);
        let sides = match (find(Column::Width), find(Column::Height)) {
            (Some(width), Some(height)) if !width.0.is_empty() || !height.0.is_empty() => {
                Sides::Two([width, height])
            }
            _ => {
                let (text, unit) = find(Column::Size).unwrap_or_default();
                Sides::One(text, unit)
            }
        };
        self.row(text(Column::Name), &sides, text(Column::Count))
    }

    fn by_order(&self, parts: &[&str]) -> Result<Vec<Row>, Why> {
        let two = |a, b| Sides::Two([(a, None), (b, None)]);
        let one = |a| Sides::One(a, None);
        // The likeliest first: what is wrong is said of it.
        let mut tries: Vec<Result<Row, Why>> = Vec::new();
        match *parts {
            [all] => {
                tries.push(self.row("", &one(all), ""));
                if let Some([name, size, number]) = self.in_a_sentence(all) {
                    tries.push(self.row(name, &one(size), number));
                }
            }
            [a, b] => {
                tries.push(self.row(a, &one(b), ""));
                tries.push(self.row("", &one(a), b));
                tries.push(self.row("", &two(a, b), ""));
                if let Some([name, size, ""]) = self.in_a_sentence(a) {
                    tries.push(self.row(name, &one(size), b));
                }
                if begins_with_digit(a) {
                    tries.rotate_left(2);
                }
            }
            [a, b, c] => {
                tries.push(self.row(a, &two(b, c), ""));
                tries.push(self.row(a, &one(b), c));
                tries.push(self.row("", &two(a, b), c));
                // A name of digits with two sides looks like two sides with a number.
                if begins_with_digit(a) && !begins_with_digit(c) {
                    tries.rotate_left(2);
                }
            }
            [a, b, c, d] => tries.push(self.row(a, &two(b, c), d)),
            [] => {}
            _ => return Err(Why::TooManyParts { given: parts.len() }),
        }
        let mut rows: Vec<Row> = Vec::new();
        let mut wrong = None;
        for it in tries {
            match it {
                Ok(row) if rows.iter().any(|r| same(r, &row)) => {}
                Ok(row) => rows.push(row),
                Err(why) => wrong = wrong.or(Some(why)),
            }
        }
        if rows.is_empty() {
            Err(wrong.unwrap_or(Why::NoSize))
        } else {
            Ok(rows)
        }
    }

    /// `Blue study 60 x 80 cm 2`: name, whole size and number of one part, where there is a name
    /// before the size or a number behind it.
    fn in_a_sentence<'a>(&self, text: &'a str) -> Option<[&'a str; 3]> {
        let whole = |text: &str| matches!(whole_size(text, None, self.units), Some(Ok(_)));
        let mut halves = vec![(text, "")];
        if let Some((before, last)) = text.rsplit_once(' ')
            && count(last).is_ok()
        {
            halves.push((before.trim_end(), last));
        }
        for (sized, number) in halves {
            let starts = sized
                .match_indices(' ')
                .map(|(at, _)| at + 1)
                .chain([0].into_iter().filter(|_| !number.is_empty()));
            for start in starts {
                let (name, size) = sized.split_at(start);
                if whole(size) {
                    let name = name.trim();
                    return Some(match number_before(name).filter(|_| number.is_empty()) {
                        Some((number, name)) => [name, size, number],
                        None => [name, size, number],
                    });
                }
            }
        }
        None
    }

    fn row<'u>(&self, name: &str, sides: &Sides<'u>, number: &str) -> Result<Row, Why> {
        let (texts, sides) = match sides {
            Sides::Two([(whole, unit), ("", _)])
                if whole_size(whole, *unit, self.units).is_some() =>
            {
                return self.row(name, &Sides::One(whole, *unit), number);
            }
            Sides::Two([width, height]) => {
                // Its own column's, the other side's, the other column's.
                let unit = |own: (&str, Option<&'u str>), other: (&'u str, Option<&'u str>)| {
                    own.1.or_else(|| unit_of(other.0)).or(other.1)
                };
                let width_text = with_unit(width.0, unit(*width, *height));
                let height_text = with_unit(height.0, unit(*height, *width));
                let sides = [
                    self.side("width", &width_text)?,
                    self.side("height", &height_text)?,
                ];
                ([width_text, height_text], sides)
            }
            Sides::One(text, unit) => {
                let Some(size) = whole_size(text, *unit, self.units) else {
                    return Err(Why::NoSize);
                };
                let size = size.map_err(|why| unread("width", text, why))?;
                let texts = size.texts.unwrap_or([(*text).to_string(), String::new()]);
                for (key, side) in [("width", size.width), ("height", size.height)] {
                    in_range(key, side, text)?;
                }
                (texts, [size.width, size.height])
            }
        };
        let (count_text, number) = if number.is_empty() {
            (String::new(), 1)
        } else {
            count(number)?
        };
        let Some(Kind::Text { most, .. }) = Table::Canvases.field("name").map(|f| &f.kind) else {
            return Err(Why::NoSize);
        };
        if name.chars().count() > *most {
            let given = name.to_string();
            return Err(part("name", FaultKind::OutOfRange { given }, false));
        }
        let [width, height] = texts;
        Ok(Row {
            line: 0,
            text: String::new(),
            name: name.to_string(),
            width,
            height,
            count: count_text,
            sides,
            number,
        })
    }

    fn side(&self, key: &'static str, text: &str) -> Result<Length, Why> {
        let side = parse::length(text, self.units).map_err(|why| unread(key, text, why))?;
        in_range(key, side, text)
    }
}

fn begins_with_digit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

fn unread(key: &'static str, text: &str, why: Unread) -> Why {
    let kind = match why {
        Unread::Empty => FaultKind::Missing,
        _ => FaultKind::Unreadable {
            given: text.to_string(),
            ambiguous: why == Unread::AmbiguousComma,
        },
    };
    part(key, kind, false)
}

fn in_range(key: &'static str, side: Length, text: &str) -> Result<Length, Why> {
    let given = || text.to_string();
    match Table::Canvases.field(key).map(|f| &f.kind) {
        Some(Kind::Length { min, max, .. }) if (*min..=*max).contains(&side) => Ok(side),
        _ => Err(part(
            key,
            FaultKind::OutOfRange { given: given() },
            is_bare(text),
        )),
    }
}

/// How many before a name or a size, `2 x`, `3× Study` or `4 off`, and what is behind it.
fn number_before(text: &str) -> Option<(&str, &str)> {
    let words = text.match_indices(' ').map(|(at, _)| at).take(2);
    words
        .chain([text.len()])
        .map(|end| text.split_at(end))
        .find(|(head, _)| {
            let is_bare = head.ends_with(|c: char| c.is_ascii_digit() || c == '.');
            begins_with_digit(head) && !is_bare && count(head).is_ok()
        })
        .map(|(head, rest)| (head, rest.trim_start()))
}

/// How many: `2`, `x2`, `2×`, `2 pcs`; its text for the field and the number.
fn count(text: &str) -> Result<(String, u32), Why> {
    let core = text
        .trim_start_matches(['x', 'X', '×'])
        .trim_end_matches(['x', 'X', '×'])
        .trim();
    let core = core.trim_end_matches('.');
    let core = ["pcs", "pieces", "off", "of"]
        .into_iter()
        .find_map(|word| core.strip_suffix(word))
        .unwrap_or(core)
        .trim_end();
    let Some(Kind::Count { min, max, .. }) = Table::Canvases.field("count").map(|f| &f.kind) else {
        return Err(Why::NoSize);
    };
    match parse::count(core) {
        Ok(n) if (*min..=*max).contains(&n) => Ok((core.to_string(), n)),
        Ok(_) => Err(part(
            "count",
            FaultKind::OutOfRange {
                given: text.to_string(),
            },
            false,
        )),
        // A word such as `pcs` alone.
        Err(Unread::Empty) => Err(unread("count", text, Unread::NoNumber)),
        Err(why) => Err(unread("count", text, why)),
    }
}
