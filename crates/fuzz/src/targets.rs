//! What is fed with cases, and what must hold afterwards whatever the case is.
//!
//! A target returns the *shape* of the answer: what kinds of faults, without the values. A case
//! whose answer has a new shape is worth varying further.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::time::Duration;

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec;
use page::link;
use planner::{Draft, Effort, Fault, FieldRef, Plan, Record, Show, Table, Tree, Units};
use planner::{already_cut, parse, paste};
use sheets::{Sheet, drawing, print};

use crate::briefs;
use crate::trial::PROMISED;

/// A reader and its limits.
pub struct Target {
    /// Name of its folder of kept cases.
    pub name: &'static str,
    /// Feeds it; panics where something does not hold.
    pub feed: fn(&[u8]) -> u64,
    /// The most memory that a case may need, in bytes.
    pub memory: usize,
    /// The most processor time that it may take.
    pub time: Duration,
    /// Cases to begin with.
    pub begin: fn() -> Vec<Vec<u8>>,
    /// Words of its language.
    pub words: fn() -> Vec<&'static str>,
}

const MB: usize = 1_000_000;
/// Ten times what is promised, for what plans any number of canvases and writes every sheet, since
/// the code here is barely optimised.
const WHOLE_PLAN: Duration = Duration::from_secs(1);

/// All of them.
pub const ALL: [Target; 5] = [
    Target {
        name: "length",
        feed: length,
        memory: MB,
        time: PROMISED,
        begin: || {
            texts(&[
                "900",
                "90 cm",
                "0.9m",
                "74,9 cm",
                "29 1/2\"",
                "29-1/2 in",
                "2' 5 1/2\"",
                "29½",
                "600 x 800 mm",
                "15 F",
                "2026-11-30",
                "12.50",
                "10:1",
                "300-350, 1200-1260",
            ])
        },
        words: || vec!["12 oz/yd²", "£12.50", "1 1/2", "six", "mm"],
    },
    Target {
        name: "link",
        feed: link,
        memory: 4 * MB,
        time: PROMISED,
        begin: || {
            let mut cases: Vec<Vec<u8>> = (0..6)
                .map(|n| link::write(&briefs::brief(n)).into_bytes())
                .collect();
            cases.push(serde_json::to_vec(&briefs::brief(7)).unwrap_or_default());
            // Unpacked it would take five times the memory that the target may.
            cases.push(compress_to_vec(&vec![b' '; 20 * MB], 1));
            cases
        },
        words: || vec!["#1.", "#2.", "eJw", "AAAA", "{\"canvases\":[{}]}"],
    },
    Target {
        name: "plan-file",
        feed: plan_file,
        memory: 64 * MB,
        time: WHOLE_PLAN,
        begin: || {
            let mut cases: Vec<Vec<u8>> = (0..12)
                .map(|n| serde_json::to_vec(&briefs::brief(n)).unwrap_or_default())
                .collect();
            cases.push(serde_json::to_vec(&briefs::full()).unwrap_or_default());
            cases
        },
        words: keys,
    },
    Target {
        name: "pasted-list",
        feed: pasted,
        memory: 16 * MB,
        time: PROMISED,
        begin: || {
            texts(&[
                "Harbour, 1200 mm, 800 mm, 2\nWindow; 90 cm; 70 cm\nDoor\t36 in\t24 in\t1",
                "Name; Width (cm); Height (cm); How many\nA; 60; 45; 3\nB; 74,9; 60,1;",
                "60 x 80 cm\n15 F\nStudy  20  M  2",
                "\"Sea, calm\",1,200,900",
            ])
        },
        words: || {
            vec![
                "Width", "Höhe", "cm", "15 P", "60 x 80", "\"", "74,9", "Name",
            ]
        },
    },
    Target {
        name: "boards",
        feed: boards,
        memory: 32 * MB,
        time: PROMISED,
        begin: || {
            texts(&[
                "900\n700\n4\n2400\n300-350, 1200-1260\n5.40\n3\n2 x 900 mitred, 1 x 700 square",
                "36 in\n24 in\n1\n8 ft\n12-13 in\n0\n1\n1 x 36 in mitred",
                "2000\n1500\n20\n3000\n0-3000\n\n\n",
            ])
        },
        words: || {
            vec![
                "300-350", "0-2400", "mitred", "square", "1 x 1000", "2.4 m", "8'",
            ]
        },
    },
];

fn texts(all: &[&str]) -> Vec<Vec<u8>> {
    all.iter().map(|t| t.as_bytes().to_vec()).collect()
}

/// Keys of all fields and their answers.
fn keys() -> Vec<&'static str> {
    let mut keys = vec!["canvases", "boards", "rolls", "cut", "version"];
    for table in Table::ALL {
        for field in table.fields() {
            keys.push(field.key);
            if let planner::fields::Kind::Choice(answers) = &field.kind {
                keys.extend(answers.iter().map(|a| a.0));
            }
        }
    }
    keys
}

/// The shape of an answer: its `Debug` text without texts and digits.
fn shape(answer: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    let mut quotes = Quotes::default();
    answer
        .chars()
        .filter(|&c| quotes.is_outside(c) && !c.is_ascii_digit())
        .for_each(|c| c.hash(&mut hasher));
    hasher.finish()
}

/// Tells what stands in quotation marks in a `Debug` text.
#[derive(Default)]
struct Quotes {
    inside: bool,
    escaped: bool,
}

impl Quotes {
    /// Whether the next sign stands outside.
    fn is_outside(&mut self, c: char) -> bool {
        let was_inside = self.inside;
        if self.escaped {
            self.escaped = false;
        } else if c == '"' {
            self.inside = !self.inside;
            return false;
        } else {
            self.escaped = was_inside && c == '\\';
        }
        !was_inside
    }
}

fn shape_of_faults(faults: &[Fault]) -> u64 {
    let mut hasher = DefaultHasher::new();
    for fault in faults {
        (
            fault.at.table,
            fault.at.key,
            shape(&format!("{:?}", fault.kind)),
        )
            .hash(&mut hasher);
        assert!(
            !fault.message(Show::default()).is_empty(),
            "a fault says what is wrong"
        );
    }
    hasher.finish()
}

fn length(case: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(case);
    let mut answers = String::new();
    for units in [Units::Metric, Units::Imperial] {
        let length = parse::length(&text, units);
        answers += &format!("{length:?}");
        // The same for every field, through the draft and its change of units.
        for table in [Table::Settings, Table::Canvases] {
            let mut draft = Draft {
                canvases: vec![Record::new()],
                ..Draft::default()
            };
            for field in table.fields() {
                let at = FieldRef {
                    table,
                    row: 0,
                    key: field.key,
                };
                draft.set(at, &text);
            }
            draft.switch_units(units);
            let (_, faults) = planner::check(&draft);
            answers += &shape_of_faults(&faults).to_string();
        }
    }
    if let Ok((number, _)) = parse::number(&text) {
        assert!(number.is_finite(), "{text:?} reads as {number}");
    }
    answers += &format!("{:?}{:?}", parse::money(&text), parse::count(&text));
    shape(&answers)
}

fn link(case: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(case);
    let mut answer = String::new();
    // As an address, as what lies packed in one, and as the text in the packing.
    for fragment in [
        text.clone().into_owned(),
        format!("#1.{}", BASE64_URL_SAFE_NO_PAD.encode(case)),
        format!(
            "#1.{}",
            BASE64_URL_SAFE_NO_PAD.encode(compress_to_vec(case, 1))
        ),
    ] {
        let read = link::read(&fragment);
        match &read {
            Ok(Some((draft, faults))) => {
                let again = link::read(&link::write(draft));
                assert_eq!(again, Ok(Some((draft.clone(), Vec::new()))), "{fragment}");
                answer += &shape_of_faults(faults).to_string();
            }
            Ok(None) => answer += "none",
            Err(error) => answer += &format!("{error:?}"),
        }
    }
    shape(&answer)
}

fn plan_file(case: &[u8]) -> u64 {
    let Ok(tree) = serde_json::from_slice::<Tree>(case) else {
        return 0;
    };
    let (draft, faults) = Draft::from_tree(&tree);
    let written = serde_json::to_string(&draft).unwrap_or_default();
    let again: Result<Draft, _> = serde_json::from_str(&written);
    assert_eq!(
        again.ok().as_ref(),
        Some(&draft),
        "what is written reads back"
    );
    shape_of_faults(&faults) ^ planned(&draft)
}

fn pasted(case: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(case);
    let mut answer = String::new();
    for units in [Units::Metric, Units::Imperial] {
        let mut pasted = paste::read(&text, units);
        let mut draft = Draft::default();
        pasted.fit(&draft);
        assert_nothing_is_lost(&text, &pasted);
        pasted.add_to(&mut draft);
        let faults = planner::check(&draft).1;
        answer += &shape_of_faults(&faults).to_string();
        for left in &pasted.left {
            let why = left.why.message(Show::default());
            assert!(!why.is_empty(), "a line that is left says why");
            answer += &format!("{:?}", core::mem::discriminant(&left.why));
        }
        // What is left in the box can be read again.
        let rest = pasted.rest();
        let again = paste::read_on(&rest, units, pasted.decimal_commas);
        assert_nothing_is_lost(&rest, &again);
    }
    shape(&answer)
}

/// Every line of a list is a row, is left, names the columns, or is blank; a list that is too long
/// is left as a whole.
fn assert_nothing_is_lost(text: &str, pasted: &paste::Pasted) {
    let text = text.trim_start_matches('\u{feff}');
    let lines = text.split(['\r', '\n']);
    let lines = lines.filter(|l| !l.trim().is_empty()).count();
    let found = pasted.rows.len() + pasted.left.len();
    let whole = text.chars().count() >= paste::MOST_CHARACTERS;
    assert!(
        found == lines || found + 1 == lines || whole && found == 1,
        "{lines} lines, {found} found"
    );
}

/// Lines: width, height, count, length of the board, bad stretches, price, limit, pieces cut.
fn boards(case: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(case);
    let mut lines = text.split('\n');
    let mut draft = Draft {
        canvases: vec![Record::new()],
        boards: vec![Record::new(); 2],
        cut: vec![Record::new()],
        ..Draft::default()
    };
    let mut put = |table, row, key, text: &str| draft.set(FieldRef { table, row, key }, text);
    for key in ["width", "height", "count"] {
        put(Table::Canvases, 0, key, lines.next().unwrap_or_default());
    }
    let length = lines.next().unwrap_or_default();
    put(Table::Boards, 0, "length", length);
    put(Table::Cut, 0, "length", length);
    for key in ["bad", "price", "limit"] {
        put(Table::Boards, 0, key, lines.next().unwrap_or_default());
    }
    put(Table::Cut, 0, "pieces", lines.next().unwrap_or_default());
    put(Table::Cut, 0, "bad", lines.next().unwrap_or_default());
    put(
        Table::Boards,
        1,
        "length",
        lines.next().unwrap_or("2400 mm"),
    );
    put(Table::Boards, 1, "price", lines.next().unwrap_or("5.40"));
    let shape = planned(&draft);
    // Any board of the plan may be noted as cut, and the draft is a draft again.
    let plan = planner::plan_with(&draft, SHORT);
    if let Some(locked) = already_cut::lock(&draft, &plan, planner::brief::BoardOf::Bars, 0, 1) {
        planned(&locked);
    }
    shape
}

/// Little searching: the readers are on trial, not the engine.
const SHORT: Effort = Effort {
    boards: 500,
    cloth: 5,
};

/// Plans and writes every sheet; returns the shape of the faults.
fn planned(draft: &Draft) -> u64 {
    let plan = planner::plan_with(draft, SHORT);
    assert_finite(&plan);
    for sheet in Sheet::all() {
        let _ = sheets::sheet(&plan, sheet);
    }
    // Drawings and paper grow with the plan; a few canvases show every kind of them.
    if plan.canvases.len() <= 3 {
        let _ = print::job_sheet(&plan, "https://example.org/#1.x", "2 March 2026");
        let _ = print::full_size_rods(&plan, drawing::Paper::A4);
        let _ = print::labels(&plan, drawing::Paper::Letter);
    }
    shape_of_faults(&plan.faults)
}

/// No figure of a plan is NaN or infinite: `Debug` shows every number in it.
fn assert_finite(plan: &Plan) {
    use core::fmt::Write;
    let mut words = Words::default();
    write!(words, "{plan:?}").expect("every figure is a finite number");
}

/// Takes a `Debug` text and refuses the words of numbers that are none.
#[derive(Default)]
struct Words {
    quotes: Quotes,
    word: String,
}

impl core::fmt::Write for Words {
    fn write_str(&mut self, text: &str) -> core::fmt::Result {
        for c in text.chars() {
            if self.quotes.is_outside(c) && c.is_alphanumeric() {
                self.word.push(c);
            } else if self.word == "NaN" || self.word == "inf" {
                return Err(core::fmt::Error);
            } else {
                self.word.clear();
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use core::fmt::Write;

    use super::*;

    #[test]
    fn numbers_that_are_none_are_refused_and_names_are_not() {
        let mut words = Words::default();
        assert!(write!(words, "{:?}", (1.5, "NaN inf", "a\"NaN")).is_ok());
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut words = Words::default();
            assert!(write!(words, "{:?}", [Some(bad)]).is_err(), "{bad}");
        }
    }
}
