//! Random plans that a maker might type, from a number; every field has its turn.

use planner::fields::{Dimension, Field, Kind};
use planner::{Draft, FieldRef, Record, Table};
use quantity::Length;

use crate::dice::Dice;

/// The brief with this number: metric or imperial, from one canvas to six, with a rack or without.
#[must_use]
pub fn brief(number: u64) -> Draft {
    rolled(Dice::new(number), |table| match table {
        Table::Canvases => 6,
        Table::Boards => 5,
        Table::Rolls => 3,
        _ => 2,
    })
}

/// A brief with up to as many rows as a plan takes.
#[must_use]
pub fn large(number: u64) -> Draft {
    rolled(Dice::new(number), Table::most_rows)
}

/// As many canvases and boards as a plan takes, all different.
#[must_use]
pub fn full() -> Draft {
    let mut draft = Draft::default();
    for i in 0..Table::Canvases.most_rows() {
        let (width, height) = (300 + i * 7, 250 + i * 11);
        draft.canvases.push(record(&[
            ("width", width.to_string()),
            ("height", height.to_string()),
        ]));
    }
    for i in 0..Table::Boards.most_rows() {
        let length = (1000 + i * 61).to_string();
        draft.boards.push(record(&[("length", length)]));
    }
    draft
}

fn record(texts: &[(&'static str, String)]) -> Record {
    texts.iter().cloned().collect()
}

/// A brief with at most so many rows in each table.
fn rolled(mut dice: Dice, most: fn(Table) -> usize) -> Draft {
    let mut draft = Draft::default();
    let imperial = dice.one_in(3);
    // One field in so many is typed.
    let sparse = [4, 8, 16, 30, 60][dice.below(5)];
    for field in Table::Settings.fields() {
        if dice.one_in(sparse) {
            let text = text(&mut dice, field, imperial);
            draft.set(FieldRef::setting(field.key), &text);
        }
    }
    draft.set(
        FieldRef::setting("units"),
        if imperial { "imperial" } else { "" },
    );
    for table in [Table::Canvases, Table::Boards, Table::Rolls, Table::Cut] {
        let least = usize::from(table == Table::Canvases);
        let rows = if table == Table::Cut && !dice.one_in(8) {
            0
        } else {
            least + dice.below(most(table))
        };
        let priced = dice.one_in(2);
        for row in 0..rows {
            if let Some(rows) = draft.rows_mut(table) {
                rows.push(Record::new());
            }
            for field in table.fields() {
                // The last board is bead, so that a rack mostly has some.
                let bead = table == Table::Boards && row > 0 && row + 1 == rows;
                let wanted = match field.key {
                    "width" | "height" | "length" | "pieces" => !dice.one_in(200),
                    "price" => priced,
                    "of" => bead,
                    _ => dice.one_in(sparse),
                };
                if wanted {
                    let text = typical(&mut dice, table, field.key, imperial)
                        .unwrap_or_else(|| text(&mut dice, field, imperial));
                    let at = FieldRef {
                        table,
                        row,
                        key: field.key,
                    };
                    draft.set(at, &text);
                }
            }
        }
        if table == Table::Boards && rows == 1 {
            draft.set(FieldRef::setting("bead"), "none");
        }
    }
    draft
}

/// Mostly what workshops have, so that most briefs come out as whole plans.
fn typical(dice: &mut Dice, table: Table, key: &str, imperial: bool) -> Option<String> {
    if dice.one_in(100) {
        return None;
    }
    let (min, max) = match (table, key) {
        (Table::Canvases, "width" | "height") => (200.0, 1400.0),
        (Table::Boards, "length") => (2100.0, 4800.0),
        (Table::Rolls, "width") => (1800.0, 3000.0),
        (Table::Cut, "length") => (2100.0, 3000.0),
        (Table::Canvases, "count") => return Some((1 + dice.below(6)).to_string()),
        (Table::Boards, "of") => return Some("bead".to_owned()),
        _ => return None,
    };
    let length = Length::from_mm_f64(dice.between(min, max));
    Some(length_text(dice, length, imperial))
}

/// A length as people write it, whole or odd, with and without unit.
fn length_text(dice: &mut Dice, length: Length, imperial: bool) -> String {
    let mm = length.to_mm();
    // What is small would be lost in whole inches or centimetres.
    let ways = if mm < 200.0 { 4 } else { 8 };
    match (8 - ways + dice.below(ways), imperial) {
        (0, _) => format!("{mm:.0} mm"),
        (1, _) => format!("{:.1} cm", mm / 10.0),
        (2, _) => format!("{:.3} m", mm / 1000.0),
        (3, _) => format!("{:.0} {}/16\"", (mm / 25.4).floor(), dice.below(16)),
        (4, _) => format!("{:.3} in", mm / 25.4),
        (5, false) => format!("{mm:.2}"),
        (_, false) => format!("{mm:.1}"),
        (5, true) => format!("{:.0} mm", mm),
        (_, true) => format!("{:.3}", mm / 25.4),
    }
}

/// A text for a field: mostly within its range, at its ends now and then, seldom nonsense.
fn text(dice: &mut Dice, field: &Field, imperial: bool) -> String {
    if dice.one_in(400) {
        return dice.pick(ODD).to_owned();
    }
    let end = dice.below(40);
    match &field.kind {
        Kind::Battens { usual: "", .. } => dice.pick(&["38 x 19 mm", "50 × 25 mm"]).to_owned(),
        Kind::Battens { .. } => "34 x 18 mm; 44 × 19 mm at 2.10".to_owned(),
        Kind::Like => dice.pick(&["3:2", "900 x 600 mm", "1:1"]).to_owned(),
        Kind::Text { most, .. } => {
            let text: String = dice.pick(NAMES).chars().take(*most).collect();
            text
        }
        Kind::Length { min, max, usual } => {
            let length = match (end, usual) {
                (0, _) => return format!("{} mm", min.to_mm()),
                (1, _) => return format!("{} mm", max.to_mm()),
                (2..30, Some(usual)) => {
                    let near = usual.to_mm() * dice.between(0.8, 1.25);
                    Length::from_mm_f64(near.clamp(min.to_mm(), max.to_mm()))
                }
                _ => Length::from_mm_f64(dice.between(min.to_mm(), max.to_mm())),
            };
            length_text(dice, length, imperial)
        }
        Kind::Count { min, max, usual } => {
            let count = match (end, usual) {
                (0, _) => *min,
                (1, _) => *max,
                (2..30, Some(usual)) => *usual,
                _ => min + dice.below((max - min) as usize + 1) as u32,
            };
            count.to_string()
        }
        Kind::Measure {
            dimension,
            min,
            max,
            usual,
        } => {
            let value = match (end, usual) {
                (0, _) => *min,
                (1, _) => *max,
                (2..30, Some(usual)) => (usual * dice.between(0.8, 1.25)).clamp(*min, *max),
                _ => dice.between(*min, *max),
            };
            measure_text(dice, dimension, value)
        }
        Kind::Money { max } => {
            let most = (max.as_hundredths() as usize).min(6000);
            let hundredths = dice.below(most);
            format!("{}.{:02}", hundredths / 100, hundredths % 100)
        }
        Kind::Choice(answers) => answers[dice.below(answers.len())].0.to_owned(),
        Kind::Date => format!(
            "20{:02}-{:02}-{:02}",
            20 + dice.below(30),
            1 + dice.below(12),
            1 + dice.below(28)
        ),
        Kind::Stretches => {
            let from = dice.below(1500);
            format!("{from}-{}, 1600-1610 mm", from + 1 + dice.below(90))
        }
        Kind::Pieces => format!(
            "{} x {} mitred, 1 x {} square",
            1 + dice.below(3),
            400 + dice.below(900),
            300 + dice.below(500)
        ),
        Kind::Weekdays => dice
            .pick(&["Mon-Fri", "Tue, Thu", "Sat", "Mon-Sun"])
            .to_owned(),
    }
}

fn measure_text(dice: &mut Dice, dimension: &Dimension, value: f64) -> String {
    let (unit, factor, offset) = dimension.units[dice.below(dimension.units.len())];
    let here = (value - offset) / factor;
    let digits = 3 + dice.below(4);
    format!("{here:.digits$} {unit}")
}

/// Names with what markup and files must not trip over.
const NAMES: &[&str] = &[
    "Harbour",
    "Still life, 2nd",
    "Ключ — étude № 7",
    "<script>alert(1)</script>",
    "\"; DROP & co",
    "=1+1",
    "\u{202e}right to left\u{202c}",
    "🖼️ 絵",
];
/// What is no value at all.
const ODD: &[&str] = &[
    "?",
    "1,200",
    "-5 mm",
    "1e9",
    "NaN",
    "1/0",
    "0",
    "999999999999999999999",
    "½½",
    "12 mm mm",
];
