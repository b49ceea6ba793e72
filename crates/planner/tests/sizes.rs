//! Sizes that are looked for: by hand, and back through the plan.

use planner::find_size::{Found, find};
use planner::{Draft, Record, Tree, Units, plan};
use proptest::prelude::*;
use serde_json::{Value, json};

fn draft(brief: &Value) -> Draft {
    let tree: Tree = serde_json::from_value(brief.clone()).expect("JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    draft
}

fn asked(all: &[(&'static str, &str)]) -> Record {
    all.iter()
        .map(|(key, text)| (*key, (*text).to_owned()))
        .collect()
}

fn found(brief: &Value, all: &[(&'static str, &str)]) -> Found {
    find(&draft(brief), &asked(all))
}

#[track_caller]
fn gives(brief: &Value, all: &[(&'static str, &str)], texts: &[[&str; 2]]) -> Found {
    let found = found(brief, all);
    assert_eq!(found.faults, []);
    let got: Vec<[&str; 2]> = found
        .canvases
        .iter()
        .map(|c| [c.texts[0].as_str(), c.texts[1].as_str()])
        .collect();
    assert_eq!(got, texts, "{all:?}");
    found
}

#[track_caller]
fn refuses(all: &[(&'static str, &str)], message: &str) {
    let found = found(&json!({}), all);
    assert!(!found.is_found());
    let said: Vec<String> = found.faults.iter().map(ToString::to_string).collect();
    assert_eq!(said, [message]);
}

#[test]
fn standard_sizes() {
    let metric = json!({});
    // 15 F: 65 × 54 cm; a figure stands, a landscape lies (table of French sizes).
    gives(&metric, &[("standard", "15 F")], &[["540", "650"]]);
    gives(&metric, &[("standard", "15 P")], &[["650", "500"]]);
    gives(
        &metric,
        &[("standard", "15 P"), ("way", "upright")],
        &[["500", "650"]],
    );
    // Inches stay inches on a metric page and centimetres stay centimetres on one in inches.
    gives(
        &metric,
        &[("standard", "16 × 20 in"), ("way", "across")],
        &[["20 in", "16 in"]],
    );
    let inches = json!({"units": "imperial"});
    gives(&inches, &[("standard", "16 × 20 in")], &[["16", "20"]]);
    gives(&inches, &[("standard", "15 F")], &[["54 cm", "65 cm"]]);
    // Nothing is chosen yet: nothing to say.
    let empty = found(&metric, &[]);
    assert!(!empty.is_found() && empty.faults.is_empty());
    refuses(
        &[("standard", "7 F")],
        "standard: “7 F” is no standard size. Choose one of the list.",
    );
}

#[test]
fn proportions() {
    let metric = json!({});
    let golden = [("by", "proportion"), ("side", "600")];
    // 600 × 1.618034 = 970.82; lying: 600 ÷ 1.618034 = 370.82.
    let it = gives(&metric, &golden, &[["600", "971"]]);
    assert_eq!(it.notes, ["Rounded to the nearest millimetre."]);
    assert!((it.canvases[0].height.value.to_mm() - 970.820_393).abs() < 1e-5);
    gives(
        &metric,
        &[&golden[..], &[("way", "across")]].concat(),
        &[["600", "371"]],
    );
    // The known height: 600 ÷ 1.618034 wide, or × 1.618034.
    gives(
        &metric,
        &[&golden[..], &[("known", "height")]].concat(),
        &[["371", "600"]],
    );
    // 600 × 1.414214 = 848.53; 3:2 → 900; 4:3 → 800; square.
    for (ratio, height) in [
        ("root2", "849"),
        ("3_2", "900"),
        ("4_3", "800"),
        ("1_1", "600"),
    ] {
        gives(
            &metric,
            &[&golden[..], &[("ratio", ratio)]].concat(),
            &[["600", height]],
        );
    }
    // What was typed for the known side stays as it was typed: 74.93 × 4/3 = 99.9067 cm.
    gives(
        &metric,
        &[("by", "proportion"), ("ratio", "4_3"), ("side", "74,93 cm")],
        &[["74,93 cm", "999"]],
    );
    // 24 × 1.618034 = 38.83 in, nearest sixteenth 38 13/16 (38.8125).
    let inches = json!({"units": "imperial"});
    let it = gives(
        &inches,
        &[("by", "proportion"), ("side", "24")],
        &[["24", "38 13/16"]],
    );
    assert_eq!(it.notes, ["Rounded to the nearest 1/16 in."]);
    // A photo of 4032 × 3024 dots is 4:3.
    gives(
        &metric,
        &[
            ("by", "picture"),
            ("picture_width", "4032"),
            ("picture_height", "3024"),
            ("known", "height"),
            ("side", "60 cm"),
        ],
        &[["800", "60 cm"]],
    );
}

#[test]
fn groups() {
    let finished = json!({"size_means": "finished"});
    let of = |group, gap| {
        [
            ("by", "group"),
            ("group", group),
            ("total_width", "1500"),
            ("total_height", "800"),
            ("gap", gap),
        ]
    };
    // (1500 − 20) / 2 = 740.
    let pair = gives(&finished, &of("pair", "20"), &[["740", "800"]; 2]);
    let names: Vec<&str> = pair.canvases.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["Pair, left", "Pair, right"]);
    // (1500 − 2 × 30) / 3 = 480; with wings half as wide: 1440 / 4 = 360, 720, 360.
    gives(&finished, &of("triptych", "30"), &[["480", "800"]; 3]);
    let wings = gives(
        &finished,
        &of("wings", "30"),
        &[["360", "800"], ["720", "800"], ["360", "800"]],
    );
    assert_eq!(wings.canvases[1].name, "Triptych, centre");
    assert!(
        wings
            .notes
            .iter()
            .any(|n| n.contains("warp upright in each"))
    );
    // Four: (1500 − 3 × 35) / 4 = 348.75, rounded down so that the whole is not too wide.
    let row = [&of("row", "35")[..], &[("in_row", "4")]].concat();
    let row = gives(&finished, &row, &[["348", "800"]; 4]);
    assert_eq!(
        row.notes[1],
        "Rounded down to the whole millimetre, so that it fits."
    );
    // Where a typed size means the wood, bead and cloth are taken off: 740 − 2 × (3 + 0.5).
    let wood = json!({"bead_overhang": "3", "cloth_thickness": "0.5"});
    gives(&wood, &of("pair", "20"), &[["733", "793"]; 2]);
}

#[test]
fn what_does_not_fit_is_said() {
    let group = |total, gap| {
        [
            ("by", "group"),
            ("group", "wings"),
            ("total_width", total),
            ("total_height", "800"),
            ("gap", gap),
        ]
    };
    // (400 − 60) / 4 = 85, less bead and cloth.
    let found = found(&json!({"size_means": "finished"}), &group("400", "30"));
    let said: Vec<String> = found.faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        ["total_width: That gives a width of 85 mm. A canvas is from 100 mm to 6000 mm a side."]
    );
    refuses(
        &[
            ("by", "tray"),
            ("tray_width", "wide"),
            ("tray_height", "800"),
        ],
        "tray_width: “wide” is not understood here: a length from 100 mm to 6200 mm.",
    );
    refuses(
        &[("standard", "15 F"), ("into", "3")],
        "into: There is no canvas 3. Write a number up to 0, or leave this empty for a new row.",
    );
    refuses(
        &[
            ("by", "group"),
            ("total_width", "900"),
            ("total_height", "800"),
            ("into", "1"),
        ],
        "into: These are several canvases. Leave this empty: they are added as new rows.",
    );
    refuses(
        &[("standard", "15 F"), ("count", "0")],
        "count: “0” is out of range: a whole number from 1 to 500.",
    );
}

#[test]
fn what_is_found_is_added_in_one_go() {
    let mut plan =
        draft(&json!({"canvases": [{"name": "Study", "width": "600", "height": "500"}]}));
    plan.canvases.push(Record::new());
    let before = plan.clone();
    let triptych = [
        ("by", "group"),
        ("group", "triptych"),
        ("total_width", "1500"),
        ("total_height", "800"),
        ("count", "2"),
    ];
    find(&plan, &asked(&triptych)).add_to(&mut plan);
    // In place of the row in which nothing was typed.
    assert_eq!(plan.canvases.len(), 4);
    assert_eq!(plan.canvases[0], before.canvases[0]);
    assert_eq!(plan.canvases[3]["name"], "Triptych, right");
    assert_eq!(plan.canvases[3]["count"], "2");
    // The weave runs through them; what was chosen stays.
    assert_eq!(plan.settings["weave"], "height");
    let mut chosen = before.clone();
    chosen.settings.insert("weave", "width".into());
    find(&chosen, &asked(&triptych)).add_to(&mut chosen);
    assert_eq!(chosen.settings["weave"], "width");
    // Into a row: the name stays, so does the number.
    let mut plan = before.clone();
    find(&plan, &asked(&[("standard", "15 F"), ("into", "1")])).add_to(&mut plan);
    assert_eq!(plan.canvases.len(), 2);
    assert_eq!(
        plan.canvases[0],
        asked(&[("name", "Study"), ("width", "540"), ("height", "650")])
    );
    // A full plan has no room for more rows, but for a row that is there.
    let mut full = draft(&json!({"canvases": vec![json!({"width": "600", "height": "500"}); 200]}));
    let it = find(&full, &asked(&[("standard", "15 F")]));
    assert!(!it.has_room(&full));
    it.add_to(&mut full);
    assert_eq!(full.canvases.len(), 200);
    assert!(find(&full, &asked(&[("standard", "15 F"), ("into", "200")])).has_room(&full));
}

#[test]
fn a_whole_size_in_the_field_of_the_width() {
    let sides = |canvas: Value| {
        let plan = plan(&draft(&json!({"canvases": [canvas]})));
        let said: Vec<String> = plan.faults.iter().map(ToString::to_string).collect();
        let canvas = plan.canvases.first().and_then(|c| c.frame.as_ref());
        let mm = canvas.map(|f| (f.outer_width.value.to_mm(), f.outer_height.value.to_mm()));
        (mm, said)
    };
    assert_eq!(
        sides(json!({"width": "15 F"})),
        (Some((540.0, 650.0)), vec![])
    );
    assert_eq!(
        sides(json!({"width": "60 x 80 cm"})),
        (Some((600.0, 800.0)), vec![])
    );
    for (canvas, message) in [
        (
            json!({"width": "15 F", "height": "600"}),
            "canvases[0].width: “15 F” is a width and a height in one, and there is a height beside it. Empty the height, or write the width alone.",
        ),
        (
            json!({"width": "7 F"}),
            "canvases[0].width: “7 F” is not understood here: a length from 100 mm to 6000 mm.",
        ),
        (
            json!({"width": "60 x 80"}),
            "canvases[0].width: “60 x 80” is out of range: a length from 100 mm to 6000 mm.",
        ),
        (
            json!({"width": "1,200 x 80 cm"}),
            "canvases[0].width: “1,200 x 80 cm” can be read two ways: write it without the comma, or with a point as the decimal sign.",
        ),
    ] {
        let (mm, said) = sides(canvas);
        assert_eq!((mm, said), (None, vec![message.to_owned()]));
    }
}

proptest! {
    /// A canvas found for a tray frame, put into the plan, asks for a tray frame that is no
    /// larger inside and at most a millimetre smaller.
    #[test]
    fn a_canvas_found_for_a_tray_frame_fits_it(
        width in 2000i64..20_000,
        height in 2000i64..20_000,
        gap in 10i64..200,
        finished: bool,
        bead: bool,
    ) {
        let text = |tenths: i64| format!("{}.{}", tenths / 10, tenths % 10);
        let brief = json!({
            "tray": "yes",
            "tray_gap": text(gap),
            "size_means": if finished { "finished" } else { "outer" },
            "bead": if bead { "quarter_round" } else { "none" },
            "bead_overhang": "3",
            "cloth_thickness": "0.7",
        });
        let mut draft = draft(&brief);
        let (w, h) = (text(width), text(height));
        let found = find(&draft, &asked(&[("by", "tray"), ("tray_width", &w), ("tray_height", &h)]));
        found.add_to(&mut draft);
        let plan = plan(&draft);
        let tray = plan.canvases[0].tray.as_ref().unwrap();
        for (inside, tenths) in [(&tray.inside_width, width), (&tray.inside_height, height)] {
            let short = tenths as f64 / 10.0 - inside.value.to_mm();
            prop_assert!((0.0..1.0).contains(&short), "{short}");
        }
    }

    /// A row on a wall, with its gaps and bare ends, is no wider than the wall and at most a
    /// millimetre a canvas narrower; its canvases have the proportion that was asked for.
    #[test]
    fn a_row_fits_its_wall(wall in 2000i64..9000, end in 0i64..300, gap in 0i64..100, n in 1i64..6) {
        let mut draft = draft(&json!({"size_means": "finished"}));
        let text = [wall, end, gap, n].map(|x| x.to_string());
        let found = find(&draft, &asked(&[
            ("by", "wall"), ("wall_width", &text[0]), ("wall_end", &text[1]), ("gap", &text[2]),
            ("in_row", &text[3]), ("ratio", "3_2"), ("way", "across"),
        ]));
        prop_assume!(found.is_found());
        found.add_to(&mut draft);
        prop_assert_eq!(draft.canvases.len() as i64, n);
        let each: f64 = draft.canvases[0]["width"].parse().unwrap();
        let high: f64 = draft.canvases[0]["height"].parse().unwrap();
        let all = n as f64 * each + ((n - 1) * gap + 2 * end) as f64;
        prop_assert!(all <= wall as f64 && all > (wall - n) as f64);
        prop_assert!((each / 1.5 - high).abs() < 1.0);
    }

    /// The parts of a group with their gaps make up its width, to a millimetre a canvas.
    #[test]
    fn parts_make_up_the_whole(total in 600i64..5000, gap in 0i64..60, n in 1i64..5, group in 0usize..4) {
        let mut draft = draft(&json!({"size_means": "finished"}));
        let shape = ["pair", "triptych", "wings", "row"][group];
        let text = [total, gap, n].map(|x| x.to_string());
        let found = find(&draft, &asked(&[
            ("by", "group"), ("group", shape), ("total_width", &text[0]), ("total_height", "500"),
            ("gap", &text[1]), ("in_row", &text[2]),
        ]));
        prop_assume!(found.is_found());
        found.add_to(&mut draft);
        let widths: Vec<i64> = draft.canvases.iter().map(|c| c["width"].parse().unwrap()).collect();
        let parts = widths.len() as i64;
        let all = widths.iter().sum::<i64>() + (parts - 1) * gap;
        prop_assert!(all <= total && all > total - parts, "{widths:?}");
        if shape == "wings" {
            prop_assert!((widths[1] - 2 * widths[0]).abs() <= 1);
        }
    }

    #[test]
    fn nothing_that_is_asked_panics(
        by in 0usize..6,
        texts in proptest::collection::vec("[0-9a-z ,./\"x-]{0,8}", 20),
        inches: bool,
    ) {
        let mut draft = Draft::default();
        if inches {
            draft.switch_units(Units::Imperial);
        }
        let fields = planner::Table::Find.fields();
        let mut all: Record = fields.iter().map(|f| f.key).zip(texts).collect();
        all.insert("by", ["standard", "proportion", "picture", "tray", "wall", "group"][by].to_owned());
        find(&draft, &all).add_to(&mut draft);
    }
}
