//! What is typed, pasted or stands in a file, how it is read, what is said of it where it can't be,
//! and how numbers are shown. Every expected value follows from the definition of its unit.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::already_cut::read;
use planner::fault::{accepted, in_unit};
use planner::fields::{AREAL_MASS, Dimension, PERCENT, TEMPERATURE};
use planner::frame::Ends;
use planner::parse::{self, Unread};
use planner::show::{counted, decimals, every_digit, exact_mm};
use planner::{
    Brief, Draft, Fault, FaultKind, FieldRef, Figure, Fraction, Input, Origin, Show, Stage, Table,
    Tree, Units, Value, check, formulas, paste,
};
use quantity::physics::{
    Angle, Area, ArealMass, Density, Distance, Force, Frequency, LineLoad, Mass, Moment, Pressure,
    Ratio, Temperature, Volume,
};
use quantity::{Length, Money, Rounding};
use serde::Deserialize;
use serde::de::value::BytesDeserializer;
use serde_json::{Value as Json, json};

const METRIC: Show = Show {
    units: Units::Metric,
    fraction: Fraction::Sixteenth,
};
const INCHES: Show = Show {
    units: Units::Imperial,
    fraction: Fraction::Sixteenth,
};

fn drafted(tree: &Json) -> (Draft, Vec<String>) {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(tree.clone()).unwrap());
    (draft, faults.iter().map(ToString::to_string).collect())
}

/// What is understood of a plan, and what is said of the rest.
fn checked(tree: Json) -> (Brief, Vec<String>) {
    let (draft, faults) = drafted(&tree);
    assert_eq!(faults, [""; 0]);
    let (brief, faults) = check(&draft);
    (brief, faults.iter().map(ToString::to_string).collect())
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value}, not {expected}"
    );
}

fn nm(text: &str, units: Units) -> Result<i64, Unread> {
    parse::length(text, units).map(Length::as_nm)
}

// Lengths and numbers.

#[test]
fn fractions_of_an_inch_in_every_spelling() {
    // 1 in = 25.4 mm; thirds are rounded to the nanometre.
    for (text, nanometres) in [
        ("3¼ in", 82_550_000),
        ("3½ in", 88_900_000),
        ("3¾ in", 95_250_000),
        ("3⅛ in", 79_375_000),
        ("3⅜ in", 85_725_000),
        ("3⅝ in", 92_075_000),
        ("3⅞ in", 98_425_000),
        ("3⅓ in", 84_666_667), // 10 × 25.4 / 3
        ("3⅔ in", 93_133_333), // 11 × 25.4 / 3
        ("⅞ in", 22_225_000),
        ("5/8 in", 15_875_000),
        ("3 – 5/8 in", 92_075_000),
        ("-3 1/2 in", -88_900_000),
        ("−3½ in", -88_900_000),
    ] {
        assert_eq!(nm(text, Units::Metric), Ok(nanometres), "{text}");
    }
}

#[test]
fn feet_take_inches_behind_them() {
    // 2 ft 5 in = 29 in = 736.6 mm, with or without a sign behind the 5, on either page.
    for units in [Units::Metric, Units::Imperial] {
        for text in ["2' 5", "2 ft 5", "2′5″", "2 feet 5 inches", "2’ 5''"] {
            assert_eq!(nm(text, units), Ok(736_600_000), "{text}");
        }
        for text in ["2' 5' 3", "5 in 2 ft", "2 ft 5 in 3"] {
            assert_eq!(nm(text, units), Err(Unread::UnknownUnit), "{text}");
        }
    }
}

#[test]
fn numbers_have_no_more_digits_than_they_can_use() {
    for (text, read) in [
        // Twelve digits before and behind the sign: 123456.789012 nm.
        ("123456789012", Ok(123_456_789_012_000_000)),
        ("1234567890123", Err(Unread::TooLong)),
        ("0.123456789012 mm", Ok(123_457)),
        ("0.1234567890123 mm", Err(Unread::TooLong)),
        // Four digits in a fraction: 25.4 mm / 1000, 1234 / 64 = 19.28125.
        ("1/1000 in", Ok(25_400)),
        ("1/10000 in", Err(Unread::TooLong)),
        ("1 1234/64 mm", Ok(20_281_250)),
        ("1 12345/64 mm", Err(Unread::UnknownUnit)),
        ("12 /5 mm", Err(Unread::UnknownUnit)),
        ("12/ mm", Err(Unread::NoNumber)),
        ("3/0 in", Err(Unread::ZeroBelow)),
        ("3 1/0 in", Err(Unread::ZeroBelow)),
        // More metres than fit.
        ("999999999999 m", Err(Unread::TooLong)),
        // Half a nanometre is rounded up.
        ("0.0000005 mm", Ok(1)),
        ("0.0000004 mm", Ok(0)),
        // A sign without digits behind it is no decimal sign.
        ("12,", Err(Unread::UnknownUnit)),
        ("12.mm", Err(Unread::UnknownUnit)),
    ] {
        assert_eq!(nm(text, Units::Metric), read, "{text}");
    }
}

#[test]
fn a_number_that_may_be_grouped_is_not_taken() {
    let ambiguous = Err(Unread::AmbiguousComma);
    for (text, metric, inches) in [
        ("12,125", ambiguous, ambiguous),
        ("12,125 mm", ambiguous, ambiguous),
        ("0,125", Ok(125_000), Ok(3_175_000)),
        (",125", Ok(125_000), Ok(3_175_000)),
        ("1,2345", Ok(1_234_500), Ok(31_356_300)),
        ("1,25", Ok(1_250_000), Ok(31_750_000)),
        // By a point only where millimetres are bare: nobody measures to the thousandth.
        ("1.200", ambiguous, Ok(30_480_000)),
        ("123.456", ambiguous, Ok(3_135_782_400)),
        ("123.456 mm", Ok(123_456_000), Ok(123_456_000)),
        ("0.125", Ok(125_000), Ok(3_175_000)),
        ("1234.500", Ok(1_234_500_000), Ok(31_356_300_000)),
        ("12.50", Ok(12_500_000), Ok(317_500_000)),
        ("1.2000", Ok(1_200_000), Ok(30_480_000)),
    ] {
        assert_eq!(nm(text, Units::Metric), metric, "{text}");
        assert_eq!(nm(text, Units::Imperial), inches, "{text}");
    }
}

#[test]
fn plain_numbers_keep_their_sign_and_unit() {
    for (text, number, unit) in [
        ("-2.5 °C", -2.5, "°c"),
        ("− 7,25", -7.25, ""),
        ("3 3/4 Hours", 3.75, "hours"),
        ("¾ l", 0.75, "l"),
        ("12 g/m²", 12.0, "g/m²"),
    ] {
        assert_eq!(parse::number(text), Ok((number, unit.to_owned())), "{text}");
    }
    assert_eq!(parse::number("  "), Err(Unread::Empty));
    assert_eq!(parse::number("warm"), Err(Unread::NoNumber));
}

#[test]
fn money_and_counts() {
    for (text, read) in [
        ("-7.65", Ok(-765)),
        ("kr 12,5", Ok(1250)),
        ("7.655", Ok(766)), // the nearest penny, halves up
        ("7.654", Ok(765)),
        ("1,200", Err(Unread::AmbiguousComma)),
        ("5 6", Err(Unread::UnknownUnit)),
        ("  ", Err(Unread::Empty)),
        ("€", Err(Unread::NoNumber)),
    ] {
        let money = parse::money(text).map(Money::as_hundredths);
        assert_eq!(money, read, "{text}");
    }
    // Nine digits are the most.
    for (text, read) in [
        (" 12 ", Ok(12)),
        ("999999999", Ok(999_999_999)),
        ("1234567890", Err(Unread::TooLong)),
        ("-3", Err(Unread::NoNumber)),
        ("2.5", Err(Unread::NoNumber)),
        ("", Err(Unread::Empty)),
    ] {
        assert_eq!(parse::count(text), read, "{text}");
    }
}

#[test]
fn the_unit_behind_a_stretch_is_meant_for_both_its_ends() {
    // 12 in = 304.8, 13.5 in = 342.9, 14 in = 355.6 mm.
    for (text, from, to) in [
        ("30 to 35 cm", 300.0, 350.0),
        ("12-14\"", 304.8, 355.6),
        ("12 – 13 1/2 in", 304.8, 342.9),
        ("1 ft-14 in", 304.8, 355.6),
        ("250 mm — 14 in", 250.0, 355.6),
        ("250-300", 250.0, 300.0),
    ] {
        let (a, b) = parse::stretch(text, Units::Metric).unwrap();
        assert_eq!((a.to_mm(), b.to_mm()), (from, to), "{text}");
    }
    assert_eq!(parse::stretch("250", Units::Metric), Err(Unread::NoNumber));
}

#[test]
fn battens_with_and_without_a_price() {
    let read = |text: &str| {
        let (sides, price) = parse::batten(text, Units::Metric)?;
        Ok::<_, Unread>((sides.map(Length::to_mm), price.map(Money::as_hundredths)))
    };
    // 2 1/2 in = 63.5 mm, 3/4 in = 19.05 mm; 0.64 a foot is 64 × 1250 / 381 = 209.97 a metre, up.
    for (text, sides, price) in [
        ("38 × 19", [38.0, 19.0], None),
        ("3.8 x 1.9 cm @ 2.10", [38.0, 19.0], Some(210)),
        ("38 X 19 mm at 2.10/m", [38.0, 19.0], Some(210)),
        ("2 1/2 * 3/4 in at 0.64/ft", [63.5, 19.05], Some(210)),
        ("2 1/2 x 3/4\" at 0", [63.5, 19.05], Some(0)),
        ("1 in x 19 mm", [25.4, 19.0], None),
    ] {
        assert_eq!(read(text), Ok((sides, price)), "{text}");
    }
    for text in ["38 × 19 at -0.01", "38", "38 × 19 at", "38 × wide"] {
        assert!(read(text).is_err(), "{text}");
    }
    let parts = |text| parse::battens(text).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(parts("38 x 19, 50 x 25,"), ["38 x 19", "50 x 25"]);
    assert_eq!(parts("3,8 x 1,9 cm; 50 x 25"), ["3,8 x 1,9 cm", "50 x 25"]);
}

#[test]
fn numbers_are_written_without_needless_zeros() {
    for (x, places, text) in [
        (2.5, 3, "2.5"),
        (120.0, 2, "120"),
        (120.0, 0, "120"),
        (-0.04, 1, "0"),
        (-1.06, 1, "-1.1"),
        (0.0625, 3, "0.062"), // a half goes to the even digit
    ] {
        assert_eq!(parse::plain(x, places), text);
    }
}

// Drafts and files.

#[test]
fn numbers_in_a_file_are_in_the_metric_base_unit() {
    let (draft, faults) = drafted(&json!({
        "units": "imperial", "bar_face": 42.5, "cloth_mass": 300, "bow_limit": 400, "soak": 12.5,
        "screws": true, "prewash": false, "size_coats": 3, "name": null, "currency": "",
        "studio_temperature": -0.5,
    }));
    assert_eq!(faults, [""; 0]);
    for (key, text) in [
        ("bar_face", "42.5 mm"),
        ("cloth_mass", "300 g/m²"),
        ("bow_limit", "400"), // has no unit
        ("soak", "12.5 h"),
        ("screws", "yes"),
        ("prewash", "no"),
        ("size_coats", "3"),
        ("name", ""),
        ("currency", ""),
        ("studio_temperature", "-0.5 °C"),
    ] {
        assert_eq!(draft.text(FieldRef::setting(key)), text, "{key}");
    }
    assert!(!draft.settings.contains_key("name") && !draft.settings.contains_key("currency"));
}

#[test]
fn what_a_file_can_not_say_is_named_where_it_stands() {
    let (_, mut faults) = drafted(&json!({
        "kerf": [2], "trim": {"mm": 2}, "bar_face": true, "cut": "all", "colour": 1,
        "canvases": [{}, 7, {"depth": 1}],
    }));
    faults.sort();
    assert_eq!(
        faults,
        [
            "bar_face: “true” is not understood here: a length from 10 mm to 200 mm.",
            "canvases: “(not an object)” is not a field of the list of canvases.",
            "canvases: “depth” is not a field of the list of canvases.",
            "cut: “cut” is not a field of the list of boards already cut.",
            "kerf: “a list” is not understood here: a length from 0.2 mm to 8 mm.",
            "trim: “an object” is not understood here: a length from 0 mm to 100 mm.",
            "“colour” is not a field of a plan.",
        ]
    );
    assert_eq!(
        drafted(&json!([1, 2])).1,
        ["“(not an object)” is not a field of a plan."]
    );
}

#[test]
fn rows_of_a_list_named_twice_are_counted_on() {
    let tree: Tree = serde_json::from_str(
        r#"{"canvases":[{"width":"900"},{}],"canvases":[{"name":"Third"},{"depth":1}]}"#,
    )
    .unwrap();
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(draft.canvases.len(), 4);
    assert_eq!(draft.canvases[2]["name"], "Third");
    let rows: Vec<usize> = faults.iter().map(|f| f.at.row).collect();
    assert_eq!(rows, [3]);
    // As many as there may be, and one more.
    for (given, kept, said) in [
        (12, 12, vec![]),
        (
            13,
            12,
            vec!["rolls: 13 rows are too many in the list of rolls: at most 12."],
        ),
    ] {
        let (draft, faults) = drafted(&json!({"rolls": vec![json!({}); given]}));
        assert_eq!(
            (draft.rolls.len(), faults),
            (kept, said.into_iter().map(str::to_owned).collect())
        );
    }
}

#[test]
fn trees_are_read_from_any_format() {
    let draft: Draft = serde_json::from_str(r#"{"kerf": 3, "rolls": [{"width": 1600}]}"#).unwrap();
    assert_eq!(draft.settings["kerf"], "3 mm");
    assert_eq!(draft.rolls[0]["width"], "1600 mm");
    let tree: Tree = serde_json::from_str(r#"[null, true, -3, 2.5, "a", [], {}]"#).unwrap();
    let Tree::List(all) = tree else {
        panic!("no list")
    };
    let said: Vec<String> = all.iter().map(ToString::to_string).collect();
    let words = ["null", "true", "-3", "2.5", "a", "a list", "an object"];
    assert_eq!(said, words);
    // What is no plan at all.
    let bytes = BytesDeserializer::<serde::de::value::Error>::new(b"ab");
    let wrong = Tree::deserialize(bytes).unwrap_err();
    assert!(wrong.to_string().contains("expected a plan"), "{wrong}");
}

#[test]
fn fields_are_set_and_emptied() {
    let (mut draft, _) = drafted(&json!({"canvases": [{"width": "900"}, {}], "cut": [{}]}));
    let at = |table, row, key| FieldRef { table, row, key };
    for (at, rows) in [
        (at(Table::Settings, 0, "kerf"), 0),
        (at(Table::Canvases, 1, "name"), 2),
        (at(Table::Cut, 0, "pieces"), 1),
    ] {
        assert_eq!(draft.rows(at.table).len(), rows);
        let typed = "é".repeat(501);
        draft.set(at, &typed);
        // The longest text of a field has 500 characters.
        assert_eq!(draft.text(at), "é".repeat(500));
        draft.set(at, "");
        assert!(!draft.record(at.table, at.row).unwrap().contains_key(at.key));
    }
    let before = draft.clone();
    draft.set(at(Table::Boards, 0, "length"), "2400");
    draft.set(at(Table::Find, 0, "width"), "2400");
    assert_eq!(draft, before);
    assert!(draft.rows_mut(Table::Settings).is_none());
    assert_eq!(draft.rows_mut(Table::Rolls).unwrap().len(), 0);
}

#[test]
fn a_canvas_alone_has_its_own_name() {
    // The name of a plan has 80 characters at most: 60 + 2 and 18 of 40.
    let (draft, _) = drafted(&json!({
        "name": "p".repeat(40), "tap_canvas": 2, "kerf": "3",
        "canvases": [{"name": "First"}, {"name": "n".repeat(60)}, {"width": "900"}],
        "cut": [{"length": "2 m"}], "boards": [{"length": "3 m"}],
    }));
    let own = draft.only(1);
    let name = format!("{}, {}", "n".repeat(60), "p".repeat(18));
    assert_eq!(own.settings["name"], name);
    assert!(!own.settings.contains_key("tap_canvas"));
    assert_eq!(
        (own.canvases.len(), own.cut.len(), own.boards.len()),
        (1, 0, 1)
    );
    assert_eq!(
        draft.only(0).settings["name"],
        format!("First, {}", "p".repeat(40))
    );
    // Without a name of its own it keeps that of the plan.
    assert_eq!(draft.only(2).settings["name"], "p".repeat(40));
    assert!(draft.only(3).canvases.is_empty());
}

#[test]
fn units_and_fractions_of_the_page() {
    for (fraction, parts) in [("16", 16), ("32", 32), ("64", 64)] {
        let (draft, _) = drafted(&json!({"units": "imperial", "fraction": fraction}));
        // One part of an inch.
        assert_eq!(draft.show().step(), Length::from_inch_64ths(64 / parts));
        assert_eq!(draft.show().units, Units::Imperial);
    }
    let (draft, _) = drafted(&json!({"fraction": "64"}));
    assert_eq!(draft.show().step(), Length::from_nm(500_000));
}

#[test]
fn a_change_of_units_changes_no_value() {
    let settings = [
        // key, on a metric page, on a page in inches
        ("bar_face", "42", "42 mm"),
        ("bar_depth", "3/4 in", "3/4"),
        ("kerf", "1,200", "1,200"), // can be read two ways
        ("trim", "1 ft", "1 ft"),
        ("cloth_mass", "300", "300 g/m²"),
        ("tension", "2 kN/m", "2 kN/m"),
        ("paint_mass", "1/0", "1/0"), // no number
        ("studio_temperature", "68 °F", "68"),
        ("soak", "12", "12"), // the same on both
        ("bow_limit", "400", "400"),
        ("from_rack", "900 x 600", "900 x 600 mm"),
        (
            "other_sections",
            "38 x 19 at 2.10; 50 x 25 mm",
            "38 x 19 mm at 2.10; 50 x 25 mm",
        ),
    ];
    let stretches = [
        ("300-350", "300-350 mm"),
        ("12-13 in", "12-13"),
        ("1 m-1.2 m", "1 m-1.2 m"),
        ("1 ft-14 in", "1 ft-14 in"),
        ("5-6 in, 300-350", "5-6, 300-350 mm"),
    ];
    let of = |new: bool| {
        let pick = |(a, b): (&str, &str)| if new { b } else { a }.to_owned();
        let mut tree = json!({});
        for (key, a, b) in settings {
            tree[key] = json!(pick((a, b)));
        }
        tree["boards"] = stretches
            .map(|s| json!({"bad": pick(s)}))
            .into_iter()
            .collect();
        if new {
            tree["units"] = json!("imperial");
        }
        drafted(&tree).0
    };
    let mut draft = of(false);
    draft.switch_units(Units::Metric);
    assert_eq!(draft, of(false));
    draft.switch_units(Units::Imperial);
    assert_eq!(draft, of(true));
    // Back again, but for the list of battens, which keeps what it has.
    draft.switch_units(Units::Metric);
    let mut back = of(false);
    let battens = of(true).settings["other_sections"].clone();
    back.settings.insert("other_sections", battens);
    back.settings.insert("from_rack", "900 x 600 mm".into());
    assert_eq!(draft, back);
    // A proportion has no unit.
    for text in ["3:2", "golden", "1.414"] {
        let (mut draft, _) = drafted(&json!({"from_rack": text, "units": "imperial"}));
        draft.switch_units(Units::Metric);
        assert_eq!(draft.settings["from_rack"], text);
    }
    let (mut draft, _) = drafted(&json!({"from_rack": "36 x 24", "units": "imperial"}));
    draft.switch_units(Units::Metric);
    assert_eq!(draft.settings["from_rack"], "36 x 24 in");
}

// Faults.

#[test]
fn texts_that_are_too_long_are_cut_and_said() {
    // A name of a plan has 80 characters, one of a canvas 60; 40 are told.
    let (brief, faults) = checked(json!({
        "name": "p".repeat(81),
        "canvases": [
            {"name": "n".repeat(61), "width": "900", "height": "600"},
            {"name": "m".repeat(60), "width": "900", "height": "600"},
        ],
    }));
    assert_eq!(brief.name, "p".repeat(80));
    let names: Vec<&str> = brief.canvases.iter().map(|c| &*c.name).collect();
    assert_eq!(names, ["n".repeat(60), "m".repeat(60)]);
    assert_eq!(
        faults,
        [
            format!(
                "canvases[0].name: “{}…” is out of range: up to 60 characters.",
                "n".repeat(40)
            ),
            format!(
                "name: “{}…” is out of range: up to 80 characters.",
                "p".repeat(40)
            ),
        ]
    );
    let whole = Fault {
        at: FieldRef::setting("kerf"),
        kind: FaultKind::OutOfRange {
            given: "9".repeat(40),
        },
    };
    assert!(!whole.message(METRIC).contains('…'));
}

#[test]
fn two_sides_in_one_field_have_to_fit_both() {
    let said = |width: &str, height: &str| {
        let canvas = match height {
            "" => json!({"width": width}),
            _ => json!({"width": width, "height": height}),
        };
        checked(json!({"canvases": [canvas]}))
    };
    let out = |given: &str| {
        [format!(
            "canvases[0].width: “{given}” is out of range: a length from 100 mm to 6000 mm."
        )]
    };
    // At least 100 mm, at most 6 m.
    for text in ["600 x 99", "99 x 600", "600 x 6001", "6001 x 600"] {
        assert_eq!(said(text, "").1, out(text));
    }
    let (brief, faults) = said("100 x 6 m", "");
    assert_eq!(faults, out("100 x 6 m"), "{:?}", brief.canvases.len());
    let (brief, faults) = said("100 mm x 6 m", "");
    assert_eq!(faults, [""; 0]);
    let canvas = &brief.canvases[0];
    assert_eq!(
        [canvas.width.value, canvas.height.value],
        [100, 6000].map(Length::from_mm)
    );
    assert_eq!(
        said("60 x 80 cm", "80 cm").1,
        [
            "canvases[0].width: “60 x 80 cm” is a width and a height in one, and there is a height beside it. Empty the height, or write the width alone."
        ]
    );
}

#[test]
fn other_sections_keep_to_the_range_of_a_batten() {
    // Face 10 to 200 mm, depth 6 to 100 mm.
    let (brief, faults) = checked(json!({
        "other_sections": "200 x 100; 201 x 50; 50 x 101; 10 x 6 at 1.20; 9 x 50; 50 x 5; 50",
    }));
    let faults: Vec<&String> = faults
        .iter()
        .filter(|f| f.contains("other_sections"))
        .collect();
    let given = ["201 x 50", "50 x 101", "9 x 50", "50 x 5", "50"];
    assert_eq!(faults.len(), given.len());
    for (fault, given) in faults.iter().zip(given) {
        let start = format!("other_sections: “{given}” is not understood here");
        assert!(fault.starts_with(&start), "{fault}");
    }
    let sections: Vec<_> = (brief.other_sections.value.iter())
        .map(|b| {
            (
                b.face.to_mm(),
                b.depth.to_mm(),
                b.price.map(Money::as_hundredths),
            )
        })
        .collect();
    assert_eq!(sections, [(200.0, 100.0, None), (10.0, 6.0, Some(120))]);
    assert!(brief.other_sections.is_waiting());
}

#[test]
fn bad_stretches_run_from_left_to_right() {
    let bad = |text: &str| {
        let board = json!({"length": "3 m", "bad": text});
        let (brief, faults) = checked(json!({
            "boards": [board], "canvases": [{"width": "900", "height": "600"}],
        }));
        let all = brief.boards[0].bad.iter();
        let mm: Vec<_> = all.map(|(a, b)| (a.to_mm(), b.to_mm())).collect();
        (mm, faults.join(" | "), brief.boards[0].limit)
    };
    // Sorted; a board that was measured is one.
    let sorted = vec![(250.0, 300.0), (700.0, 750.0)];
    assert_eq!(bad("700-750; 250-300"), (sorted, String::new(), Some(1)));
    assert_eq!(
        bad("300-300").1,
        "boards[0].bad: “300-300” does not end behind where it begins. Measure both from the left end, the smaller first."
    );
    assert_eq!(bad("300-300.1").1, "");
    assert_eq!(
        bad("1.200-1.300").1,
        "boards[0].bad: “1.200-1.300” can be read two ways: write it without the point, or with its unit."
    );
    assert_eq!(
        bad("here-there").1,
        "boards[0].bad: “here-there” is not understood here: stretches from the left end such as 300-350, 1200-1260."
    );
}

#[test]
fn how_many_boards_there_are() {
    let (brief, faults) = checked(json!({
        "boards": [
            {"length": "3 m", "price": "0"}, {"length": "3 m", "price": "0.01"},
            {"length": "3 m", "price": "0", "limit": 4}, {},
            {"length": "3 m", "bad": "100-200", "limit": 3},
        ],
        "canvases": [{"width": "900", "height": "600"}],
    }));
    assert_eq!(faults, [""; 0]);
    // An offcut at home is one where nothing else is said.
    let limits = [0, 1, 2, 3, 4, 5].map(|row| brief.limit(row));
    assert_eq!(limits, [Some(1), None, Some(4), None, Some(3), None]);
    // The usual rack has no limits.
    let (usual, _) = checked(json!({"canvases": [{"width": "900", "height": "600"}]}));
    assert!(usual.usual_rack);
    assert_eq!(usual.limit(0), None);
}

#[test]
fn messages_name_the_sign_that_is_in_doubt() {
    let said = |text: &str| {
        let canvas = json!({"width": text, "height": "600"});
        checked(json!({"canvases": [canvas]})).1.join(" | ")
    };
    assert_eq!(
        said("1.200"),
        "canvases[0].width: “1.200” can be read two ways: write it without the point, or with its unit."
    );
    assert_eq!(
        said("1,200"),
        "canvases[0].width: “1,200” can be read two ways: write it without the comma, or with a point as the decimal sign."
    );
}

#[test]
fn ranges_are_said_in_the_units_of_the_page() {
    let of = |key: &str, show| accepted(Table::Settings.field(key).unwrap(), show);
    // −1 and 40 °C are 30.2 and 104 °F.
    assert_eq!(of("studio_temperature", METRIC), "from -1 to 40 °C");
    assert_eq!(of("studio_temperature", INCHES), "from 30.2 to 104 °F");
    assert_eq!(of("chalk_parts", INCHES), "from 0.2 to 4");
    // Of 10 mm = 6.3/16 in and 200 mm = 7 in 13.98/16 what lies inside; in 64ths 25.2 and
    // 7 in 55.9.
    assert_eq!(of("bar_face", METRIC), "a length from 10 mm to 200 mm");
    assert_eq!(
        of("bar_face", INCHES),
        "a length from 7/16 in to 7 13/16 in"
    );
    let fine = Show {
        fraction: Fraction::SixtyFourth,
        ..INCHES
    };
    assert_eq!(of("bar_face", fine), "a length from 13/32 in to 7 55/64 in");
    assert_eq!(of("size_coats", METRIC), "a whole number from 1 to 6");
    assert!(of("from_rack", METRIC).ends_with("such as 900 x 600"));
    assert!(of("from_rack", INCHES).ends_with("such as 36 x 24"));

    // Four significant digits or so.
    let percent = |x| in_unit(&PERCENT, "%", x);
    for (x, text) in [
        (123.4, "123"),
        (-123.4, "-123"),
        (99.94, "99.9"),
        (12.34, "12.3"),
        (-12.34, "-12.3"),
        (9.8765, "9.877"),
        (0.2, "0.2"),
    ] {
        assert_eq!(percent(x), text);
    }
    let other = |dimension: &Dimension, unit, base| in_unit(dimension, unit, base);
    assert_eq!(other(&TEMPERATURE, "°F", 25.0), "77");
    assert_eq!(other(&TEMPERATURE, "K", 25.0), "25");
    // 400 g/m² / 33.9057475.
    assert_eq!(other(&AREAL_MASS, "oz/yd²", 400.0), "11.8");
}

#[test]
fn rows_that_are_too_many_are_said_of_their_list() {
    let said = |table, kind| {
        let at = FieldRef {
            table,
            row: 0,
            key: "",
        };
        Fault { at, kind }.to_string()
    };
    for (table, most, path, place) in [
        (Table::Canvases, 200, "canvases: ", "the list of canvases"),
        (Table::Boards, 60, "boards: ", "the rack of boards"),
        (Table::Rolls, 12, "rolls: ", "the list of rolls"),
        (Table::Cut, 100, "cut: ", "the list of boards already cut"),
        (Table::Settings, 1, "", "a plan"),
        (Table::Find, 1, "", "the finder of sizes"),
    ] {
        assert_eq!(
            said(table, FaultKind::TooMany { given: most + 7 }),
            format!(
                "{path}{} rows are too many in {place}: at most {most}.",
                most + 7
            )
        );
        assert_eq!(table.most_rows(), most);
        let name = "hue".to_owned();
        assert_eq!(
            said(table, FaultKind::UnknownField { name }),
            format!("{path}“hue” is not a field of {place}.")
        );
    }
    let at = |table, row, key| FieldRef { table, row, key };
    let path = |at| {
        let kind = FaultKind::Missing;
        Fault { at, kind }.path()
    };
    assert_eq!(path(at(Table::Rolls, 3, "width")), "rolls[3].width");
    assert_eq!(path(at(Table::Settings, 3, "kerf")), "kerf");
    assert_eq!(FieldRef::setting("kerf").label(), "Saw kerf");
    assert_eq!(FieldRef::setting("hue").label(), "hue");
}

#[test]
fn stages_have_their_names_on_the_page() {
    let names = Stage::ALL.map(Stage::name);
    let expected = [
        "Canvases", "Buy", "Cut", "Join", "Stretch", "Size", "Hang", "Days",
    ];
    assert_eq!(names, expected);
    let keys = Table::ALL.map(Table::key);
    assert_eq!(keys, ["", "canvases", "boards", "rolls", "cut", "find"]);
}

// Pasted lists.

#[test]
fn a_pasted_list_is_empty_only_without_any_line() {
    for (text, empty) in [
        ("", true),
        (" \n\t\n", true),
        ("Study, 600, 800", false),
        ("just a name", false),
        ("Study, 600, 800\njust a name", false),
    ] {
        let pasted = paste::read(text, Units::Metric);
        assert_eq!(pasted.is_empty(), empty, "{text:?}");
    }
}

#[test]
fn lines_are_parted_by_the_strongest_sign() {
    let rows = |text: &str| -> Vec<(String, f64, f64, u32)> {
        let pasted = paste::read(text, Units::Metric);
        assert_eq!(pasted.left, [], "{text}");
        let rows = pasted.rows.into_iter();
        rows.map(|r| (r.name, r.sides[0].to_mm(), r.sides[1].to_mm(), r.number))
            .collect()
    };
    let one = |name: &str, width, height, number| vec![(name.to_owned(), width, height, number)];
    for (text, row) in [
        // Quotation marks keep the signs inside them.
        ("\"A; B, C\";600;700;3", one("A; B, C", 600.0, 700.0, 3)),
        ("\"A\"\"B\"\"\",600,700,3", one("A\"B\"", 600.0, 700.0, 3)),
        ("\"A, B\"   600   700   3", one("A, B", 600.0, 700.0, 3)),
        ("\"A\" ; 600; 700", one("A", 600.0, 700.0, 1)),
        // Tabs before semicolons before commas before runs of blanks.
        ("A; B\t600\t700\t3", one("A; B", 600.0, 700.0, 3)),
        ("A, B; 600; 700; 3", one("A, B", 600.0, 700.0, 3)),
        ("A  B,600,700,3", one("A  B", 600.0, 700.0, 3)),
        ("A    60,5 cm    70,25 cm  3", one("A", 605.0, 702.5, 3)),
        // Only where every comma stands between two digits do blanks part.
        ("A,  600,  700,  3", one("A", 600.0, 700.0, 3)),
        ("600,  700,  3", one("", 600.0, 700.0, 3)),
        // Two sides, with and without how many.
        ("600;700", one("", 600.0, 700.0, 1)),
        ("600;700;3", one("", 600.0, 700.0, 3)),
        ("60 x 70 cm;3", one("", 600.0, 700.0, 3)),
        ("A 60 x 70 cm;3", one("A", 600.0, 700.0, 3)),
        ("3 pieces A 60 x 70 cm", one("A", 600.0, 700.0, 3)),
        // Where one column holds the whole size, the other may be empty.
        (
            "name;width;height\nA;60 x 70 cm;",
            one("A", 600.0, 700.0, 1),
        ),
        (
            "name;width;height;size\nA;;;60 x 70 cm",
            one("A", 600.0, 700.0, 1),
        ),
        ("size [cm];qty\n60 x 70;3 off", one("", 600.0, 700.0, 3)),
        ("W/cm;H/cm;pcs.\n60;70;3", one("", 600.0, 700.0, 3)),
    ] {
        assert_eq!(rows(text), row, "{text}");
    }
}

#[test]
fn lines_that_are_left_say_why() {
    let why = |text: &str, show: Show| {
        let pasted = paste::read(text, show.units);
        assert_eq!(pasted.rows, [], "{text}");
        let why = &pasted.left.first().unwrap().why;
        why.message(show)
    };
    for (text, said) in [
        (
            "A;B;600;700;3",
            "5 parts where a canvas has at most four: name, width, height, how many. Put semicolons between them, so that commas can be decimal commas.",
        ),
        (
            "A;600;70",
            "Height: “70” is out of range: a length from 100 mm to 6000 mm. A number without a unit is in millimetres.",
        ),
        (
            "A;600;7 cm",
            "Height: “7 cm” is out of range: a length from 100 mm to 6000 mm.",
        ),
        (
            "A;600;1,200",
            "Height: “1,200” can be read two ways: write it without the comma, or with a point as the decimal sign.",
        ),
    ] {
        let said_now = why(text, METRIC);
        // A width of 600 is read; what is wrong is said of the height.
        assert_eq!(said_now, said, "{text}");
    }
    // 100 mm = 3 in 14.99/16, 6 m = 236 in 3.53/16: what lies inside.
    assert_eq!(
        why("A;24;3", INCHES),
        "Height: “3” is out of range: a length from 3 15/16 in to 236 3/16 in. A number without a unit is in inches."
    );
}

#[test]
fn a_column_with_a_unit_that_is_not_known_is_not_used() {
    let list = "name;width (ells);height (cm);size (cm)\nA;60;70;80 x 90";
    let pasted = paste::read(list, Units::Metric);
    assert_eq!(pasted.unused, ["width (ells)"]);
    // A whole number in it may be how many.
    let why = pasted.left[0].why.message(METRIC);
    assert!(
        why.starts_with("“60” stands in the column “width (ells)”"),
        "{why}"
    );
    let counted = "name;width (ells);size (cm);count\nA;60;80 x 90;3";
    let pasted = paste::read(counted, Units::Metric);
    let row = &pasted.rows[0];
    assert_eq!(row.sides, [800, 900].map(Length::from_mm));
    assert_eq!((row.number, pasted.unused.len()), (3, 1));
}

#[test]
fn commas_between_digits_are_tried_up_to_six() {
    let read = |text: &str| paste::read(text, Units::Metric);
    // Only 60,5 and 70,5 cm give a canvas; the name's own commas join it: six in all.
    let six = read("Study 1,2,3,4,5,60.5 cm,70.5 cm");
    assert_eq!((six.rows.len(), six.left.len()), (1, 0));
    assert_eq!(six.rows[0].name, "Study 1,2,3,4,5");
    let seven = read("Study 1,2,3,4,5,6,7,60.5 cm,70.5 cm");
    assert_eq!((seven.rows.len(), seven.left.len()), (0, 1));
}

// Numbers as they are shown.

#[test]
fn three_digits_are_shown() {
    let shown = |x| METRIC.value(&Value::Number(x), "");
    for (x, text) in [
        (0.0, "0"),
        (123.4, "123"),
        (100.4, "100"),
        (-123.4, "-123"),
        (99.94, "99.9"),
        (10.06, "10.1"),
        (9.994, "9.99"),
        (1.006, "1.01"),
        (0.9994, "0.999"),
        (0.1006, "0.101"),
        (0.09994, "0.0999"),
        (-0.01236, "-0.0124"),
    ] {
        assert_eq!(shown(x), text);
    }
}

#[test]
fn quantities_are_shown_in_the_units_of_the_page() {
    // Each worked from the definitions: 1 in = 25.4 mm, 1 ft² = 0.09290304 m², 1 lb = 453.59237 g,
    // 1 oz = 28.349523125 g, 1 US fl oz = 29.5735295625 ml, 1 lbf = 4.4482216 N.
    for (value, metric, inches) in [
        (Length::from_mm(749).into(), "749 mm", "29 1/2 in"), // 29.488
        (Distance::from_mm(12.345).into(), "12.3 mm", "0.486 in"), // 0.48602
        (Value::Count(1234), "1234", "1234"),
        (Money::from_hundredths(765).into(), "£7.65", "£7.65"),
        (Area::from_m2(1.23).into(), "1.23 m²", "13.2 ft²"), // 13.2396
        (Mass::from_grams(999.0).into(), "999 g", "2.2 lb"), // 2.2024
        (Mass::from_grams(1234.0).into(), "1.23 kg", "2.72 lb"), // 2.7205
        (Mass::from_grams(450.0).into(), "450 g", "15.9 oz"), // 15.873
        (Mass::from_grams(456.0).into(), "456 g", "1.01 lb"), // 1.00531
        (Volume::from_ml(999.0).into(), "999 ml", "33.8 fl oz"), // 33.780
        (Volume::from_ml(1250.0).into(), "1.25 l", "42.3 fl oz"), // 42.267
        // 407 / 33.9057475 = 12.0039
        (
            ArealMass::from_g_per_m2(407.0).into(),
            "407 g/m²",
            "12 oz/yd²",
        ),
        (
            Density::from_g_per_ml(0.456).into(),
            "0.456 g/ml",
            "0.456 g/ml",
        ),
        (Ratio::from_percent(12.5).into(), "12.5 %", "12.5 %"),
        (Angle::from_degrees(22.5).into(), "22.5°", "22.5°"),
        (Force::from_newtons(50.0).into(), "50 N", "11.2 lbf"), // 11.2404
        // 200 × 0.0254 / 4.4482216 = 1.14203
        (
            LineLoad::from_n_per_m(200.0).into(),
            "200 N/m",
            "1.14 lbf/in",
        ),
        (Moment::from_nm(3.456).into(), "3.46 N·m", "3.46 N·m"),
        (Pressure::from_mpa(7.5).into(), "7.5 MPa", "7.5 MPa"),
        (Temperature::from_celsius(25.0).into(), "25 °C", "77 °F"),
        (Value::Days(1.0), "1 day", "1 day"),
        (Value::Days(2.5), "2.5 days", "2.5 days"),
        (Value::Hours(3.25), "3.25 h", "3.25 h"),
        (Value::Minutes(45.0), "45 min", "45 min"),
        (Frequency::from_hz(61.74).into(), "61.7 Hz", "61.7 Hz"),
        // 500 × 0.09290304 / 29.5735295625 = 1.57070
        (Value::Spread(500.0), "500 ml/m²", "1.57 fl oz/ft²"),
        (Value::Text("keyed".into()), "keyed", "keyed"),
    ] {
        assert_eq!(METRIC.value(&value, "£"), metric);
        assert_eq!(INCHES.value(&value, "£"), inches);
    }
    // At the limits the larger unit.
    let pound = Value::Mass(Mass::from_pounds(1.0));
    assert_eq!(INCHES.value(&pound, ""), "1 lb");
    assert_eq!(METRIC.value(&Value::Mass(Mass::from_kg(1.0)), ""), "1 kg");
}

#[test]
fn quantities_in_files_are_metric() {
    for (value, number, unit) in [
        (Value::from(Money::from_hundredths(765)), 7.65, "money"),
        (Value::from(7_u32), 7.0, ""),
        (Value::from(7_u64), 7.0, ""),
        (Value::from(2.5), 2.5, ""),
        (Length::from_mm(749).into(), 749.0, "mm"),
        (Area::from_m2(1.25).into(), 1.25, "m²"),
        (Value::Spread(85.0), 85.0, "ml/m²"),
        (Value::Days(2.5), 2.5, "days"),
        (Temperature::from_celsius(25.0).into(), 25.0, "°C"),
        (Value::Text("keyed".into()), 0.0, ""),
    ] {
        assert_eq!(value.in_files(), (number, unit));
    }
    for (value, number, unit) in [
        (Value::from(Mass::from_kg(1.5)), 1500.0, "g"),
        (Volume::from_litres(1.5).into(), 1500.0, "ml"),
        (Density::from_g_per_ml(0.45).into(), 450.0, "kg/m³"),
        (Ratio::from_percent(12.5).into(), 12.5, "%"),
    ] {
        let (found, its) = value.in_files();
        near(found, number, 1e-9);
        assert_eq!(its, unit);
    }
}

#[test]
fn lengths_are_rounded_to_what_can_be_marked() {
    let fine = |fraction| Show { fraction, ..INCHES };
    let x = Length::from_inch_64ths(29 * 64 + 37);
    // 37/64 lies between 9/16 = 36/64 and 10/16 = 40/64, between 18/32 and 19/32.
    for (fraction, down, near, up) in [
        (Fraction::Sixteenth, "29 9/16 in", "29 9/16 in", "29 5/8 in"),
        (
            Fraction::SixtyFourth,
            "29 37/64 in",
            "29 37/64 in",
            "29 37/64 in",
        ),
    ] {
        let show = fine(fraction);
        assert_eq!(show.length_rounded(x, Rounding::Down), down);
        assert_eq!(show.length(x), near);
        assert_eq!(show.length_rounded(x, Rounding::Up), up);
        assert_eq!(show.typed(x, Rounding::Up), up.trim_end_matches(" in"));
    }
    let show = fine(Fraction::ThirtySecond);
    assert_eq!(show.length_rounded(x, Rounding::Down), "29 9/16 in");
    assert_eq!(show.length_rounded(x, Rounding::Up), "29 19/32 in");
    let half = Length::from_inch_64ths(96);
    assert_eq!(INCHES.length(-half), "-1 1/2 in");
    assert_eq!(INCHES.length(-half.half()), "-3/4 in");
    assert_eq!(INCHES.length(Length::INCH * 3), "3 in");
    let x = Length::from_nm(970_820_000);
    assert_eq!(METRIC.length(x), "971 mm");
    assert_eq!(METRIC.length_rounded(x, Rounding::Down), "970.5 mm");
    assert_eq!(METRIC.typed(x, Rounding::Down), "970");
    assert_eq!(exact_mm(x), "970.82 mm");
    assert_eq!(exact_mm(Length::from_nm(1)), "0.000001 mm");
}

#[test]
fn long_runs_are_in_metres_or_feet() {
    // 3000 mm = 118.11 in = 9 ft 10 2/16 in; 2345 mm = 92.32 in = 7 ft 8 5/16 in.
    for (mm, metres, feet) in [
        (3000, "3.00 m", "9 ft 10 1/8 in"),
        (2345, "2.345 m", "7 ft 8 5/16 in"),
        (2340, "2.34 m", "7 ft 8 1/8 in"), // 92.126
        (610, "0.61 m", "2 ft"),           // 24.016
        (150, "0.15 m", "0 ft 5 7/8 in"),  // 5.906
    ] {
        let x = Length::from_mm(mm);
        assert_eq!(METRIC.run(x), metres);
        assert_eq!(INCHES.run(x), feet);
    }
    // Up to whole centimetres and inches: 93, 119 in.
    assert_eq!(METRIC.run_up(Length::from_mm(2341)), "2.35 m");
    assert_eq!(METRIC.run_up(Length::from_mm(2340)), "2.34 m");
    assert_eq!(INCHES.run_up(Length::from_mm(2345)), "7 ft 9 in");
    assert_eq!(INCHES.run_up(Length::from_mm(3000)), "9 ft 11 in");
}

#[test]
fn movements_and_solids() {
    for (mm, metric, inches) in [
        (-0.87, "0.9 mm", "0.03 in"), // 0.03425
        (3.81, "3.8 mm", "0.15 in"),
        (0.02, "0 mm", "0 in"),
    ] {
        let x = Distance::from_mm(mm);
        assert_eq!(METRIC.movement(x), metric);
        assert_eq!(INCHES.movement(x), inches);
    }
    // 1 in³ = 16.387064 cm³: 1730 / 16.387064 = 105.57, 45.6 / 16.387064 = 2.7827.
    for (ml, metric, inches) in [
        (1730.0, "1730 cm³", "106 in³"),
        (45.6, "45.6 cm³", "2.78 in³"),
    ] {
        let x = Volume::from_ml(ml);
        assert_eq!(METRIC.solid(x), metric);
        assert_eq!(INCHES.solid(x), inches);
    }
}

#[test]
fn digits_and_nouns() {
    for (x, places, text) in [
        (0.125, 2, "0.12"),
        (0.375, 2, "0.38"),
        (-0.5, 0, "-0"),
        (955.75, 1, "955.8"),
        (1e18, 0, "1000000000000000000"),
        (3e18, 2, "3000000000000000000.00"),
        (f64::INFINITY, 2, "–"),
    ] {
        assert_eq!(decimals(x, places), text);
    }
    assert_eq!(every_digit(12.0), "12");
    assert_eq!(every_digit(0.1), "0.1");
    for (n, words) in [(0, "0 pins"), (1, "1 pin"), (2, "2 pins"), (11, "11 pins")] {
        assert_eq!(counted(n, "pin", "pins"), words);
    }
}

#[test]
fn a_figure_waits_for_each_field_once_and_in_order() {
    let (kerf, face) = (FieldRef::setting("kerf"), FieldRef::setting("bar_face"));
    let input = |waiting: &[FieldRef]| Input {
        name: "side",
        value: Value::Count(3),
        origin: Origin::Waiting,
        waiting: waiting.to_vec(),
    };
    let inputs = vec![input(&[kerf]), input(&[]), input(&[face, kerf])];
    let figure = Figure::new(7_u64, &formulas::DIAGONAL, inputs);
    assert!(figure.is_waiting());
    assert_eq!(figure.how.waiting(), [face, kerf]);
    // What rests on it waits as well.
    let next = figure.input("sides");
    assert_eq!(next.waiting, [face, kerf]);
    assert_eq!(
        (next.value, next.origin),
        (Value::Count(7), Origin::Computed)
    );
    let sure = Figure::new(7_u64, &formulas::DIAGONAL, vec![input(&[])]);
    assert!(!sure.is_waiting() && sure.how.waiting().is_empty());
    let (brief, _) = checked(json!({
        "kerf": "wide", "bar_face": "50", "canvases": [{"width": "900", "height": "600"}],
    }));
    assert_eq!(brief.kerf.input().waiting, [kerf]);
    assert!(brief.kerf.is_waiting() && !brief.bar_face.is_waiting());
    assert_eq!(brief.bar_face.input().origin, Origin::Chosen);
    assert_eq!(brief.bar_depth.input().origin, Origin::Usual);
}

#[test]
fn pieces_take_every_unit_of_a_length() {
    let lengths = |text: &str| {
        let parts = read(text, Units::Metric).unwrap();
        parts
            .iter()
            .map(|p| (p.count, p.length.as_nm(), p.ends))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        lengths("2 x 36 inches mitred, 3 x 1 metre, 1 metre square"),
        [
            (2, 914_400_000, Ends::Mitred),
            (3, 1_000_000_000, Ends::Square),
            (1, 1_000_000_000, Ends::Square)
        ]
    );
    assert_eq!(
        read("2 x 900 bevelled", Units::Metric),
        Err("2 x 900 bevelled")
    );
}

#[test]
fn the_fraction_of_an_inch_changes_no_metric_range() {
    let (_, said) = drafted(&json!({}));
    assert!(said.is_empty());
    for fraction in ["16", "32", "64"] {
        let (brief, _) = drafted(&json!({"kerf": "wide", "fraction": fraction}));
        let faults = planner::plan(&brief).faults;
        let show = brief.show();
        let fault = faults.iter().find(|f| f.at.key == "kerf").unwrap();
        assert_eq!(
            fault.message(show),
            "“wide” is not understood here: a length from 0.2 mm to 8 mm."
        );
    }
}

#[test]
fn there_is_no_minus_nought() {
    for (x, places, text) in [
        (-0.4, 0, "0"),
        (-0.04, 1, "0"),
        (-0.6, 0, "-1"),
        (-10.0, 0, "-10"),
    ] {
        assert_eq!(parse::plain(x, places), text, "{x}");
    }
}
