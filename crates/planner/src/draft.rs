//! What the maker typed, as text, valid or not: the form, the link and the plan file in one.
//!
//! A draft never loses a keystroke; [`crate::Brief`] is what can be understood of it.

use alloc::collections::BTreeMap;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, Serializer};

use crate::fault::{Fault, FaultKind};
use crate::fields::{Field, FieldRef, Kind, Table};
use crate::find_size::typed::{is_bare, is_bare_size, whole_size};
use crate::parse;
use crate::show::{Fraction, Show, Units, every_digit};

/// Typed texts by field key; an absent key means the usual value.
pub type Record = BTreeMap<&'static str, String>;

/// Whether nothing is typed in a record.
pub(crate) fn is_blank(record: &Record) -> bool {
    record.values().all(|text| text.trim().is_empty())
}

/// Everything typed, as text.
///
/// Serialises to the plan format: an object of what differs from the usual values.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draft {
    /// Settings of the whole plan.
    pub settings: Record,
    /// Canvases in order.
    pub canvases: Vec<Record>,
    /// Boards on the rack.
    pub boards: Vec<Record>,
    /// Rolls of cloth.
    pub rolls: Vec<Record>,
    /// Boards that are cut already.
    pub cut: Vec<Record>,
}

/// The rows of a draft: all tables but the settings.
const ROWS: [Table; 4] = [Table::Canvases, Table::Boards, Table::Rolls, Table::Cut];
/// The longest text kept for one field; more is cut off by the page before it gets here.
pub const LONGEST_TEXT: usize = 500;

impl Draft {
    /// The rows of a table (none for the settings).
    #[must_use]
    pub fn rows(&self, table: Table) -> &[Record] {
        match table {
            Table::Settings | Table::Find => &[],
            Table::Canvases => &self.canvases,
            Table::Boards => &self.boards,
            Table::Rolls => &self.rolls,
            Table::Cut => &self.cut,
        }
    }

    /// The rows of a table, to change.
    pub fn rows_mut(&mut self, table: Table) -> Option<&mut Vec<Record>> {
        match table {
            Table::Settings | Table::Find => None,
            Table::Canvases => Some(&mut self.canvases),
            Table::Boards => Some(&mut self.boards),
            Table::Rolls => Some(&mut self.rolls),
            Table::Cut => Some(&mut self.cut),
        }
    }

    /// The record that holds a field.
    #[must_use]
    pub fn record(&self, table: Table, row: usize) -> Option<&Record> {
        match table {
            Table::Settings => Some(&self.settings),
            t => self.rows(t).get(row),
        }
    }

    /// What was typed in a field; empty when the usual value holds.
    #[must_use]
    pub fn text(&self, at: FieldRef) -> &str {
        self.record(at.table, at.row)
            .and_then(|r| r.get(at.key))
            .map_or("", String::as_str)
    }

    /// Puts a text into a field; an empty text brings the usual value back.
    /// A row that does not exist is left alone.
    pub fn set(&mut self, at: FieldRef, text: &str) {
        let record = match at.table {
            Table::Settings => Some(&mut self.settings),
            t => self.rows_mut(t).and_then(|rows| rows.get_mut(at.row)),
        };
        if let Some(record) = record {
            if text.is_empty() {
                record.remove(at.key);
            } else {
                record.insert(at.key, text.chars().take(LONGEST_TEXT).collect());
            }
        }
    }

    /// The plan of one canvas's row alone, under its own name: the settings, the rack and the
    /// rolls are shared, boards that are cut already are left out.
    ///
    /// ```
    /// use planner::Draft;
    /// let tree = serde_json::from_str(r#"{"name":"Class","kerf":"3","canvases":[{"width":"900"},{"name":"Anna"}]}"#).unwrap();
    /// let own = Draft::from_tree(&tree).0.only(1);
    /// assert_eq!(own.canvases.len(), 1);
    /// assert_eq!(own.settings["name"], "Anna, Class");
    /// assert_eq!(own.settings["kerf"], "3");
    /// ```
    #[must_use]
    pub fn only(&self, row: usize) -> Self {
        let mut own = Self {
            canvases: self.canvases.get(row).cloned().into_iter().collect(),
            cut: Vec::new(),
            ..self.clone()
        };
        // It names a canvas by its number among all.
        own.settings.remove("tap_canvas");
        let row_name = own.canvases.first().and_then(|c| c.get("name")).cloned();
        if let Some(mut name) = row_name {
            if let Some(plan) = own.settings.get("name") {
                name.push_str(", ");
                name.push_str(plan);
            }
            let most = match Table::Settings.field("name").map(|f| &f.kind) {
                Some(Kind::Text { most, .. }) => *most,
                _ => LONGEST_TEXT,
            };
            own.settings
                .insert("name", name.chars().take(most).collect());
        }
        own
    }

    /// How figures are to be shown: units and the finest fraction.
    #[must_use]
    pub fn show(&self) -> Show {
        let fraction = match self.settings.get("fraction").map(String::as_str) {
            Some("32") => Fraction::ThirtySecond,
            Some("64") => Fraction::SixtyFourth,
            _ => Fraction::Sixteenth,
        };
        Show {
            units: self.units(),
            fraction,
        }
    }

    /// The page's units; metric unless inches are chosen.
    #[must_use]
    pub fn units(&self) -> Units {
        match self.settings.get("units").map(String::as_str) {
            Some("imperial") => Units::Imperial,
            _ => Units::Metric,
        }
    }

    /// Switches the page's units. Every bare length or measure gets the unit in which it was
    /// typed, so no value changes; one that carries the new unit drops it again.
    ///
    /// ```
    /// use planner::{Draft, FieldRef, Units};
    /// let mut draft = Draft::default();
    /// draft.set(FieldRef::setting("bar_face"), "45");
    /// draft.switch_units(Units::Imperial);
    /// assert_eq!(draft.text(FieldRef::setting("bar_face")), "45 mm");
    /// draft.switch_units(Units::Metric);
    /// assert_eq!(draft.text(FieldRef::setting("bar_face")), "45");
    /// ```
    pub fn switch_units(&mut self, to: Units) {
        let from = self.units();
        if from == to {
            return;
        }
        switch_record(Table::Settings, &mut self.settings, from, to);
        for table in ROWS {
            for record in self.rows_mut(table).into_iter().flatten() {
                switch_record(table, record, from, to);
            }
        }
        match to {
            Units::Metric => self.settings.remove("units"),
            Units::Imperial => self.settings.insert("units", "imperial".to_string()),
        };
    }

    /// Reads a plan tree (JSON, or a JavaScript object). What could be read is kept; what could
    /// not is said, by name.
    #[must_use]
    pub fn from_tree(tree: &Tree) -> (Self, Vec<Fault>) {
        let mut draft = Self::default();
        let mut faults = Vec::new();
        let Tree::Map(entries) = tree else {
            faults.push(unknown(Table::Settings, 0, "(not an object)"));
            return (draft, faults);
        };
        // Units first: they decide nothing here, but a later writer needs them in place.
        for (name, value) in entries {
            if let Some(table) = ROWS.into_iter().find(|t| t.key() == name.as_str()) {
                let Tree::List(rows) = value else {
                    faults.push(unknown(table, 0, name));
                    continue;
                };
                // A file may name a list twice; its limit is one.
                let before = draft.rows(table).len();
                let room = table.most_rows() - before;
                if rows.len() > room {
                    faults.push(Fault {
                        at: FieldRef {
                            table,
                            row: 0,
                            key: "",
                        },
                        kind: FaultKind::TooMany {
                            given: before + rows.len(),
                        },
                    });
                }
                for (row, fields) in rows.iter().take(room).enumerate() {
                    let record = read_record(table, before + row, fields, &mut faults);
                    if let Some(rows) = draft.rows_mut(table) {
                        rows.push(record);
                    }
                }
            } else if name != "version" {
                read_field(
                    Table::Settings,
                    0,
                    name,
                    value,
                    &mut draft.settings,
                    &mut faults,
                );
            }
        }
        (draft, faults)
    }
}

fn unknown(table: Table, row: usize, name: &str) -> Fault {
    Fault {
        at: FieldRef {
            table,
            row,
            key: "",
        },
        kind: FaultKind::UnknownField {
            name: name.chars().take(60).collect(),
        },
    }
}

fn read_record(table: Table, row: usize, tree: &Tree, faults: &mut Vec<Fault>) -> Record {
    let mut record = Record::new();
    match tree {
        Tree::Map(entries) => {
            for (name, value) in entries {
                read_field(table, row, name, value, &mut record, faults);
            }
        }
        _ => faults.push(unknown(table, row, "(not an object)")),
    }
    record
}

fn read_field(
    table: Table,
    row: usize,
    name: &str,
    value: &Tree,
    record: &mut Record,
    faults: &mut Vec<Fault>,
) {
    let Some(field) = table.field(name) else {
        faults.push(unknown(table, row, name));
        return;
    };
    let text: String = match (value, &field.kind) {
        (Tree::Nothing, _) => return,
        (Tree::Text(t), _) => t.chars().take(LONGEST_TEXT).collect(),
        // A number in a file is always in the metric base unit, whatever the page shows.
        (Tree::Number(n), Kind::Length { .. }) => format!("{} mm", parse::plain(*n, 6)),
        (Tree::Number(n), Kind::Measure { dimension, .. }) if !dimension.metric.is_empty() => {
            format!("{} {}", parse::plain(*n, 9), dimension.metric)
        }
        (Tree::Number(n), _) => parse::plain(*n, 9),
        (Tree::Truth(b), Kind::Choice(_)) => (if *b { "yes" } else { "no" }).to_string(),
        (other, _) => {
            faults.push(Fault {
                at: FieldRef {
                    table,
                    row,
                    key: field.key,
                },
                kind: FaultKind::Unreadable {
                    given: other.to_string(),
                    ambiguous: false,
                },
            });
            return;
        }
    };
    if !text.is_empty() {
        record.insert(field.key, text);
    }
}

/// Puts its unit behind every bare length or measure of a record when the page goes from one unit
/// system to the other, as [`Draft::switch_units`] does for a whole draft.
pub fn switch_record(table: Table, record: &mut Record, from: Units, to: Units) {
    for (key, text) in record.iter_mut() {
        if let Some(field) = table.field(key) {
            *text = with_unit(field, text, from, to);
        }
    }
}

/// A field's text when the page goes from one unit system to the other.
fn with_unit(field: &Field, text: &str, from: Units, to: Units) -> String {
    let (old, new) = match &field.kind {
        Kind::Length { .. } => match from {
            Units::Metric => ("mm", "in"),
            Units::Imperial => ("in", "mm"),
        },
        Kind::Measure { dimension, .. } if dimension.metric != dimension.imperial => match from {
            Units::Metric => (dimension.metric, dimension.imperial),
            Units::Imperial => (dimension.imperial, dimension.metric),
        },
        Kind::Like if is_bare_size(text) => {
            let unit = match from {
                Units::Metric => "mm",
                Units::Imperial => "in",
            };
            return format!("{} {unit}", text.trim());
        }
        Kind::Pieces => return crate::already_cut::with_unit(text, from),
        Kind::Stretches => return stretches_with_unit(text, from, to),
        Kind::Battens { .. } => return battens_with_unit(text, from),
        _ => return text.to_string(),
    };
    // A bare number, or two of them with a sign between, that can be read.
    let bare_in = |t: &str, u: Units| match &field.kind {
        Kind::Length { .. } => {
            (is_bare(t) && parse::length(t, u).is_ok())
                || (is_bare_size(t) && whole_size(t, None, u).is_some_and(|s| s.is_ok()))
        }
        _ => is_bare(t) && parse::number(t).is_ok(),
    };
    let trimmed = text.trim();
    // One that carries the new page unit can drop it if it then reads the same.
    let bare = trimmed.strip_suffix(new).map(str::trim_end);
    if let Some(bare) = bare.filter(|b| bare_in(b, to)) {
        return bare.to_string();
    }
    if bare_in(trimmed, from) {
        return format!("{trimmed} {old}");
    }
    text.to_string()
}

/// Stretches such as `300-350, 1200-1260` when the page goes from one unit system to the other:
/// the unit behind a stretch is meant for both its ends.
fn stretches_with_unit(text: &str, from: Units, to: Units) -> String {
    let unit = |u| match u {
        Units::Metric => "mm",
        Units::Imperial => "in",
    };
    let parts: Vec<String> = text
        .split([';', ','])
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(
            |part| match part.strip_suffix(unit(to)).map(str::trim_end) {
                Some(bare) if is_bare(bare) => bare.to_string(),
                _ if is_bare(part) => format!("{part} {}", unit(from)),
                _ => part.to_string(),
            },
        )
        .collect();
    parts.join(", ")
}

/// Sections of batten when the page goes from one unit system to the other: one without a unit
/// keeps the old one.
fn battens_with_unit(text: &str, from: Units) -> String {
    let unit = match from {
        Units::Metric => "mm",
        Units::Imperial => "in",
    };
    let parts = parse::battens(text).map(|part| {
        let (section, price) = parse::section_and_price(part);
        let sides = section.replace(parse::TIMES, " ");
        match price {
            _ if !is_bare(&sides) => part.to_string(),
            None => format!("{section} {unit}"),
            Some(price) => format!("{section} {unit} at {price}"),
        }
    });
    let parts: Vec<String> = parts.collect();
    parts.join(if text.contains(';') { "; " } else { ", " })
}

impl Serialize for Draft {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(None)?;
        // In the order of the field table, not of the alphabet: files read like the form.
        for field in Table::Settings.fields() {
            if let Some(text) = self.settings.get(field.key) {
                map.serialize_entry(field.key, text)?;
            }
        }
        for table in ROWS {
            if !self.rows(table).is_empty() {
                map.serialize_entry(table.key(), self.rows(table))?;
            }
        }
        map.end()
    }
}

impl<'de> Deserialize<'de> for Draft {
    /// Reads what can be read; use [`Tree`] and [`Draft::from_tree`] to learn what could not.
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        Tree::deserialize(d).map(|t| Self::from_tree(&t).0)
    }
}

/// Any JSON-like value, so that every fault of a file can be named, not only the first.
#[derive(Clone, Debug, PartialEq)]
pub enum Tree {
    /// `null`.
    Nothing,
    /// `true` or `false`.
    Truth(bool),
    /// A number.
    Number(f64),
    /// A string.
    Text(String),
    /// An array.
    List(Vec<Tree>),
    /// An object, in order.
    Map(Vec<(String, Tree)>),
}

impl fmt::Display for Tree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("null"),
            Self::Truth(b) => write!(f, "{b}"),
            Self::Number(n) => f.write_str(&every_digit(*n)),
            Self::Text(t) => f.write_str(t),
            Self::List(_) => f.write_str("a list"),
            Self::Map(_) => f.write_str("an object"),
        }
    }
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(TreeVisitor)
    }
}

struct TreeVisitor;

impl<'de> Visitor<'de> for TreeVisitor {
    type Value = Tree;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a plan")
    }
    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Nothing)
    }
    fn visit_none<E>(self) -> Result<Tree, E> {
        Ok(Tree::Nothing)
    }
    fn visit_some<D: Deserializer<'de>>(self, d: D) -> Result<Tree, D::Error> {
        Tree::deserialize(d)
    }
    fn visit_bool<E>(self, b: bool) -> Result<Tree, E> {
        Ok(Tree::Truth(b))
    }
    fn visit_i64<E>(self, n: i64) -> Result<Tree, E> {
        Ok(Tree::Number(n as f64))
    }
    fn visit_u64<E>(self, n: u64) -> Result<Tree, E> {
        Ok(Tree::Number(n as f64))
    }
    fn visit_f64<E>(self, n: f64) -> Result<Tree, E> {
        Ok(Tree::Number(n))
    }
    fn visit_str<E>(self, s: &str) -> Result<Tree, E> {
        Ok(Tree::Text(s.to_string()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Tree, A::Error> {
        let mut list = Vec::new();
        while let Some(x) = seq.next_element()? {
            list.push(x);
        }
        Ok(Tree::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Tree, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Tree::Map(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(json: &str) -> (Draft, Vec<Fault>) {
        Draft::from_tree(&serde_json::from_str(json).unwrap())
    }

    #[test]
    fn numbers_in_files_are_millimetres() {
        let (draft, faults) =
            read(r#"{"units":"imperial","canvases":[{"width":1000,"height":"36 in"}]}"#);
        assert_eq!(faults, []);
        assert_eq!(draft.canvases[0]["width"], "1000 mm");
        assert_eq!(draft.canvases[0]["height"], "36 in");
    }

    #[test]
    fn unknown_fields_are_named_and_the_rest_kept() {
        let (draft, faults) =
            read(r#"{"colour":"red","canvases":[{"width":"900","depth":1}],"kerf":"2 mm"}"#);
        let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            said,
            [
                "“colour” is not a field of a plan.",
                "canvases: “depth” is not a field of the list of canvases."
            ]
        );
        assert_eq!(draft.settings["kerf"], "2 mm");
        assert_eq!(draft.canvases[0]["width"], "900");
    }

    #[test]
    fn a_list_named_twice_keeps_to_its_limit() {
        let seven = ["{}"; 7].join(",");
        let (draft, faults) = read(&format!(r#"{{"rolls":[{seven}],"rolls":[{seven}]}}"#));
        assert_eq!(draft.rolls.len(), 12);
        assert_eq!(faults.len(), 1);
        assert_eq!(faults[0].kind, FaultKind::TooMany { given: 14 });
    }

    #[test]
    fn writes_and_reads_back() {
        let (draft, _) = read(
            r#"{"name":"Spring <class>","canvases":[{"width":"900","height":"600"}],"rolls":[{"width":"1.6 m"}]}"#,
        );
        let json = serde_json::to_string(&draft).unwrap();
        assert_eq!(read(&json), (draft, Vec::new()));
    }

    #[test]
    fn switching_units_twice_changes_nothing() {
        let json = r#"{"bar_face":"45","bead_size":"3/4 in","cloth_mass":"10 oz/yd²","canvases":[{"width":"900","height":"29½ in"},{"width":"600 x 800"},{"width":"15 F"}],
            "boards":[{"length":"2400","bad":"300-350, 12-13 in"}]}"#;
        let (before, _) = read(json);
        let mut draft = before.clone();
        draft.switch_units(Units::Imperial);
        assert_eq!(draft.settings["bar_face"], "45 mm");
        assert_eq!(draft.settings["bead_size"], "3/4");
        assert_eq!(draft.canvases[0]["height"], "29½");
        assert_eq!(draft.canvases[1]["width"], "600 x 800 mm");
        assert_eq!(draft.canvases[2]["width"], "15 F");
        assert_eq!(draft.boards[0]["bad"], "300-350 mm, 12-13");
        draft.switch_units(Units::Metric);
        assert_eq!(draft, before);
    }
}
