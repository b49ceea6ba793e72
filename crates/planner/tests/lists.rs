//! Pasted lists as data: `tests/lists/NAME.txt` is the list, `NAME.json` what must come out, worked
//! by hand. Adding a list needs no Rust.

use std::fs;
use std::path::Path;

use planner::paste::{self, LONGEST_LINE, MOST_CHARACTERS, MOST_LINES, Pasted};
use planner::{Draft, Show, Units, check};
use proptest::prelude::*;
use serde_json::{Value, json};

#[test]
fn every_list_comes_out_as_worked_by_hand() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lists");
    let mut lists = 0;
    let mut wrong = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "json") {
            continue;
        }
        let case: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        let text = fs::read_to_string(path.with_extension("txt")).unwrap();
        let units = units_of(&case);
        let pasted = paste::read(&text, units);
        let got = json!({
            "rows": pasted.rows.iter().map(|r| json!([r.line, r.name, r.sides[0].to_mm(), r.sides[1].to_mm(), r.number])).collect::<Vec<_>>(),
            "left": pasted.left.iter().map(|l| json!([l.line, said(l, units)])).collect::<Vec<_>>(),
            "unused": pasted.unused,
        });
        for key in ["rows", "left", "unused"] {
            let expected = case.get(key).cloned().unwrap_or_else(|| json!([]));
            if as_numbers(&got[key]) != as_numbers(&expected) {
                wrong.push(format!(
                    "{}: {key}:\n  {}\n  expected\n  {expected}",
                    path.display(),
                    got[key]
                ));
            }
        }
        nothing_is_lost(&text, &pasted);
        means_the_same_in_the_plan(&pasted, units);
        lists += 1;
    }
    assert!(lists >= 17, "the folder of lists is incomplete");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn units_of(case: &Value) -> Units {
    if case["units"] == "imperial" {
        Units::Imperial
    } else {
        Units::Metric
    }
}

/// The message; in the lists, the one about a missing size is written short.
fn said(left: &paste::Left, units: Units) -> String {
    match left.why {
        paste::Why::NoSize => "NOSIZE".to_owned(),
        _ => left.why.message(Show {
            units,
            ..Show::default()
        }),
    }
}

/// 600 and 600.0 are the same.
fn as_numbers(value: &Value) -> Value {
    match value {
        Value::Number(n) => json!(n.as_f64()),
        Value::Array(all) => all.iter().map(as_numbers).collect(),
        other => other.clone(),
    }
}

/// Every line with something on it is a canvas, or is left as it was, or names the columns.
#[track_caller]
fn nothing_is_lost(text: &str, pasted: &Pasted) {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let lines: Vec<&str> = text.trim_start_matches('\u{feff}').lines().collect();
    let full = lines.iter().filter(|l| !l.trim().is_empty()).count();
    let found = pasted.rows.len() + pasted.left.len();
    assert!(
        found == full || found + 1 == full,
        "{found} of {full} lines"
    );
    for left in &pasted.left {
        assert_eq!(lines[left.line - 1], left.text);
        assert!(pasted.rest().contains(&left.text));
    }
    for row in &pasted.rows {
        assert_eq!(lines[row.line - 1], row.text);
    }
}

/// What the fields of the plan make of the texts is what the list said.
#[track_caller]
fn means_the_same_in_the_plan(pasted: &Pasted, units: Units) {
    let mut draft = Draft::default();
    draft.switch_units(units);
    pasted.add_to(&mut draft);
    let (brief, _) = check(&draft);
    let seen: Vec<_> = brief
        .canvases
        .iter()
        .map(|c| ([c.width.value, c.height.value], c.count.value))
        .collect();
    let meant: Vec<_> = pasted.rows.iter().map(|r| (r.sides, r.number)).collect();
    assert_eq!(seen, meant);
}

#[test]
fn what_is_left_is_read_the_same_again() {
    let first = paste::read("Anna;74,9 cm;60\nBen,60 cm,80,5\n", Units::Metric);
    assert_eq!((first.rows.len(), first.left.len()), (1, 1));
    assert_eq!(first.rest(), "Ben,60 cm,80,5");
    let again = paste::read_on(&first.rest(), Units::Metric, first.decimal_commas);
    assert_eq!(again.left[0].why, first.left[0].why);
    // By itself the line is a canvas, five of them.
    assert_eq!(paste::read(&first.rest(), Units::Metric).rows[0].number, 5);
}

#[test]
fn column_names_stay_with_what_is_left() {
    let pasted = paste::read("name;height;width\nAnna;800;600\nBen;800", Units::Metric);
    assert_eq!(pasted.rest(), "name;height;width\nBen;800");
    assert_eq!(
        paste::read(&pasted.rest(), Units::Metric).left[0].why,
        pasted.left[0].why
    );
}

#[test]
fn limits() {
    let why = |text: &str| {
        let pasted = paste::read(text, Units::Metric);
        pasted.left.last().map(|l| l.why.message(Show::default()))
    };
    let line = "Study, 600, 800";
    // As many lines as are read, and one more.
    let many = vec![line; MOST_LINES].join("\n");
    assert_eq!(why(&many), None);
    let pasted = paste::read(&format!("{many}\n{line}"), Units::Metric);
    assert_eq!(
        (pasted.rows.len(), pasted.rest()),
        (MOST_LINES, line.to_owned())
    );
    assert_eq!(
        why(&format!("{many}\n{line}")).unwrap(),
        "At most 500 lines are read at once: paste the rest afterwards."
    );
    // As many characters as a line has, and one more.
    let long = |n: usize| format!("{line}{}", " ".repeat(n - line.len()));
    assert_eq!(why(&long(LONGEST_LINE)), None);
    assert_eq!(
        why(&long(LONGEST_LINE + 1)).unwrap(),
        "This line has 501 characters: at most 500."
    );
    // As many characters as are read, and one more: then nothing is touched.
    let full = format!("{line}\n{}", " ".repeat(MOST_CHARACTERS - line.len() - 1));
    assert_eq!(why(&full), None);
    assert_eq!(
        why(&format!("{full} ")).unwrap(),
        "The list has 20001 characters: at most 20000 are read at once. Paste it in parts."
    );
    assert_eq!(
        paste::read(&format!("{full} "), Units::Metric).rest(),
        format!("{full} ")
    );
    // A name as long as the plan takes, and one more.
    assert_eq!(why(&format!("{}, 600, 800", "n".repeat(60))), None);
    assert!(
        why(&format!("{}, 600, 800", "n".repeat(61)))
            .unwrap()
            .starts_with("Name: “nnn")
    );
}

#[test]
fn a_full_plan_takes_what_fits() {
    let row = || {
        [("width", "600".to_owned()), ("height", "800".to_owned())]
            .into_iter()
            .collect()
    };
    let mut draft = Draft {
        canvases: (0..199).map(|_| row()).collect(),
        ..Draft::default()
    };
    // A row in which nothing was typed takes no room.
    draft.canvases.push(planner::Record::new());
    let mut pasted = paste::read("A, 300, 300\nB, 300\nC, 300, 300", Units::Metric);
    pasted.fit(&draft);
    pasted.add_to(&mut draft);
    assert_eq!(draft.canvases.len(), 200);
    assert_eq!(draft.canvases[199]["name"], "A");
    assert_eq!(pasted.rest(), "B, 300\nC, 300, 300");
    let why = pasted.left[1].why.message(Show::default());
    assert_eq!(why, "A plan takes at most 200 rows of canvases.");
}

proptest! {
    #[test]
    fn no_list_panics(text in "[A-Za-z0-9 ,;.\t\n\r\"'½×x#-]{0,80}", inches: bool) {
        let units = if inches { Units::Imperial } else { Units::Metric };
        let pasted = paste::read(&text, units);
        nothing_is_lost(&text, &pasted);
        means_the_same_in_the_plan(&pasted, units);
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,60}") {
        let pasted = paste::read(&text, Units::Metric);
        nothing_is_lost(&text, &pasted);
    }

    /// A list written with any sign, unit and decimal sign that can't be mistaken comes back.
    #[test]
    fn written_lists_read_back(
        tenths in proptest::collection::vec((1000i64..20_000, 1000i64..20_000, 1u32..20), 1..6),
        sign in prop_oneof![Just(";"), Just("\t"), Just("; "), Just("   ")],
        comma: bool,
    ) {
        let number = |t: i64| {
            let text = format!("{}.{}", t / 100, t / 10 % 10);
            if comma { text.replace('.', ",") } else { text }
        };
        let list: Vec<String> = tenths
            .iter()
            .map(|(w, h, n)| format!("Canvas{sign}{} cm{sign}{} cm{sign}{n}", number(*w), number(*h)))
            .collect();
        let pasted = paste::read(&list.join("\n"), Units::Metric);
        prop_assert_eq!(&pasted.left, &vec![]);
        for ((w, h, n), row) in tenths.iter().zip(&pasted.rows) {
            let mm = |t: i64| (t / 10) as f64;
            prop_assert_eq!([row.sides[0].to_mm(), row.sides[1].to_mm()], [mm(*w), mm(*h)]);
            prop_assert_eq!(row.number, *n);
        }
    }
}
