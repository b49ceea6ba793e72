//! From the rack and the cloth to the size, and from what is asked to the size: figures by hand.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod briefs;

use briefs::{draft, with};
use planner::backward::{Backward, Largest, Like, Short, read};
use planner::figure::Value;
use planner::find_size::standard::{Stands, any_named, named};
use planner::find_size::typed::{is_bare, is_bare_size, unit_of, whole_size, with_unit};
use planner::find_size::{Found, find};
use planner::{Record, Units, backward};
use quantity::Length;
use serde_json::{Value as Json, json};

/// Bars of 45 mm without bead, cross bars by the rule of thumb, a saw of 2 mm (2.828 mm along a
/// mitre), nothing trimmed, cloth as long as is wanted.
///
/// Mitred pieces nest: four sides of w × h in one board take 2 (w + h) − 3 × 45 + 3 × 2.828 =
/// 2 (w + h) − 126.515 mm.
fn shop(then: &Json) -> Json {
    let shop = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "trim": "0", "kerf": "2 mm",
        "rolls": [{"width": "2.1 m"}],
    });
    with(&shop, then)
}

fn asked(brief: &Json) -> Backward {
    backward(&draft(brief)).unwrap()
}

fn largest(answer: &Backward) -> &Largest {
    answer.largest.as_ref().unwrap()
}

fn mm(answer: &Backward) -> [f64; 2] {
    let [w, h] = &largest(answer).size;
    [w.value.to_mm(), h.value.to_mm()]
}

// From the rack and the cloth.

#[test]
fn proportions_and_sizes_as_they_are_read() {
    for (text, ratio) in [
        ("golden", 1.618_033_988_7),
        (" golden section ", 1.618_033_988_7),
        ("√2", std::f64::consts::SQRT_2),
        ("root 2", std::f64::consts::SQRT_2),
        ("3:2", 1.5),
        ("2:5", 0.4),
        ("7", 7.0),
        // Ten to one is the most, either way.
        ("10", 10.0),
        ("1:10", 0.1),
    ] {
        let Some(Like::Proportion(found)) = read(text, Units::Metric) else {
            panic!("{text}");
        };
        assert!((found - ratio).abs() < 1e-9, "{text}: {found}");
    }
    for text in ["10.01", "0.099", "3 mm", "3:wide", "3:2:5", "-2", "7 F"] {
        assert_eq!(read(text, Units::Metric), None, "{text}");
    }
    let size = [650, 540].map(Length::from_mm);
    assert_eq!(read("15 F across", Units::Metric), Some(Like::Size(size)));
}

#[test]
fn the_larger_one_with_cross_bars_gives_way_to_the_smaller_without() {
    // Bare, a square of 806 mm would fit into 3.1 m: 4 × 806 − 126.5 = 3097.5. But beyond 737 mm the
    // rule wants a bar each way, two pieces more of at least 738: so it is 737 mm, and 738 is stopped
    // by its batten.
    let brief = shop(&json!({"from_rack": "1:1", "boards": [{"length": "3.1 m", "limit": 1}]}));
    let answer = asked(&brief);
    assert_eq!(mm(&answer), [737.0; 2]);
    let found = largest(&answer);
    assert_eq!(found.bracing, [0; 3]);
    assert_eq!(found.bars_alone.to_mm(), 806.0);
    assert_eq!(found.step, Length::MM);
    assert_eq!(found.ends_by, Some(Short::Batten));
    assert!(found.proven);
    // With two boards each takes two mitred pieces and a cross bar: 3 s − 45 + 2.828 + 2 ≤ 3100 (or
    // 2.828 twice): s ≤ 1046.
    let [more] = &answer.more[..] else {
        panic!("one length");
    };
    assert_eq!(more.length.to_mm(), 3100.0);
    assert_eq!(more.longer.to_mm(), 1046.0 - 737.0);
    assert_eq!(more.canvases, 0);
    assert!(more.proven);
    let two = shop(&json!({"from_rack": "1:1", "boards": [{"length": "3.1 m", "limit": 2}]}));
    let answer = asked(&two);
    assert_eq!(mm(&answer), [1046.0; 2]);
    assert_eq!(largest(&answer).bracing, [1, 1, 0]);
}

#[test]
fn the_longer_side_lies_as_the_proportion_says() {
    // 2 (w + h) − 126.515 ≤ 1500: w + h ≤ 813.25: 3 : 2 gives 488 + 325 = 813 (489 would be + 326).
    // 1 : 1 gives 406.
    for (text, size) in [
        ("3:2", [488.0, 325.0]),
        ("2:3", [325.0, 488.0]),
        ("1:1", [406.0, 406.0]),
        // A size stands for its proportion.
        ("900 x 600", [488.0, 325.0]),
        ("600 x 900", [325.0, 488.0]),
    ] {
        let boards = json!([{"length": "1.5 m", "limit": 1}]);
        let answer = asked(&shop(&json!({"from_rack": text, "boards": boards})));
        assert_eq!(mm(&answer), size, "{text}");
    }
    // Nothing asked: like the first canvas.
    let brief = shop(&json!({
        "canvases": [{"width": 300, "height": 450}, {"width": 500, "height": 400}],
        "boards": [{"length": "1.5 m", "limit": 1}],
    }));
    let answer = asked(&brief);
    assert_eq!(mm(&answer), [325.0, 488.0]);
    // 300 × 450 takes 1500 − 126.5 = 1373.5: once.
    assert_eq!(answer.count.as_ref().unwrap().canvases.value, 1);
}

#[test]
fn no_canvas_is_shorter_than_the_form_takes() {
    // 420 mm would do for 200 × 67: 534 − 126.5. The shortest side is 100 mm, 300 × 100 takes 673.5.
    for text in ["3:1", "1:3"] {
        let boards = json!([{"length": "420 mm", "limit": 1}]);
        let answer = asked(&shop(&json!({"from_rack": text, "boards": boards})));
        assert_eq!(mm(&answer), [0.0; 2], "{text}");
        assert_eq!(largest(&answer).bars_alone, Length::ZERO);
        assert_eq!(largest(&answer).ends_by, None);
    }
    // 674 mm do for it.
    for (text, size) in [("3:1", [300.0, 100.0]), ("1:3", [100.0, 300.0])] {
        let boards = json!([{"length": "674 mm", "limit": 1}]);
        let answer = asked(&shop(&json!({"from_rack": text, "boards": boards})));
        assert_eq!(mm(&answer), size, "{text}");
    }
    // 700 mm do for 310 × 103 (310 / 3 = 103.33): 826 − 126.5 = 699.5; 311 × 104 takes 703.5.
    for (text, size) in [("3:1", [310.0, 103.0]), ("1:3", [103.0, 310.0])] {
        let boards = json!([{"length": "700 mm", "limit": 1}]);
        let answer = asked(&shop(&json!({"from_rack": text, "boards": boards})));
        assert_eq!(mm(&answer), size, "{text}");
    }
}

#[test]
fn no_canvas_is_longer_than_the_form_takes() {
    // 6 m, whatever there is; beyond it nothing is in the way. Two jobs: bars alone, and with its
    // bracing; two more for another board.
    for (text, size) in [("10:1", [6000.0, 600.0]), ("1:10", [600.0, 6000.0])] {
        // The three long pieces are whole boards, and the eight short ones 4800 mm of a fourth.
        for length in ["6.5 m", "6 m"] {
            let boards = json!([{"length": length, "limit": 6}]);
            let answer = asked(&shop(&json!({"from_rack": text, "boards": boards})));
            assert_eq!(mm(&answer), size, "{text}");
            let found = largest(&answer);
            assert_eq!((&found.ends_by, found.bars_alone.to_mm()), (&None, 6000.0));
            // The rule at 6 m: 6 bars at the most across it, one along.
            let bracing = if text == "10:1" { [6, 1, 0] } else { [1, 6, 0] };
            assert_eq!(found.bracing, bracing);
            assert_eq!((answer.tried, answer.more[0].longer), (4, Length::ZERO));
            let mut inputs = found.size[0].how.inputs.iter();
            let jobs = inputs.find(|i| i.name == "jobs tried").unwrap();
            assert_eq!(jobs.value, Value::Count(2));
        }
    }
    // In sixteenths of an inch: 6000 / 1.5875 = 3779.5, and a tenth of 3779 is 378.
    let brief = shop(&json!({
        "units": "imperial", "from_rack": "10:1", "kerf": "1/16",
        "boards": [{"length": "21 ft", "limit": 6}], "rolls": [{"width": "84"}],
    }));
    let answer = asked(&brief);
    let sixteenths = |n: i64| Length::from_inch_64ths(4 * n);
    let size = largest(&answer).size.clone().map(|side| side.value);
    assert_eq!(size, [3779, 378].map(sixteenths));
    assert_eq!(largest(&answer).step, sixteenths(1));
}

#[test]
fn so_many_of_a_size() {
    // A square of 500 mm takes 2000 − 126.5 = 1873.5 mm: one in each board of 1.9 m. A fifth piece
    // has no place in it.
    for (boards, canvases, ends) in [
        (0, 0, Some(Short::Batten)),
        (1, 1, Some(Short::Batten)),
        (5, 5, Some(Short::Batten)),
        (300, 300, Some(Short::Batten)),
        (499, 499, Some(Short::Batten)),
        // More than 500 are not asked for.
        (500, 500, None),
        (600, 500, None),
    ] {
        let boards = json!([{"length": "1.9 m", "limit": boards}]);
        let brief = shop(&json!({"from_rack": "500 x 500", "boards": boards}));
        let answer = asked(&brief);
        let count = answer.count.as_ref().unwrap();
        assert_eq!((count.canvases.value, &count.ends_by), (canvases, &ends));
        // Another board is another canvas.
        let more = u64::from(canvases < 500);
        assert_eq!(answer.more[0].canvases, more, "{canvases}");
    }
    // A bar each way beyond 737 mm: 800 × 600 takes four sides, an upright of 600 and a level of 800:
    // two boards of 2.2 m hold 800, 600 and either bar: 2200 − 45 + 4.8 at the most. One has no room
    // for more than three pieces of 600 and upwards.
    let boards = json!([{"length": "2.2 m", "limit": 7}]);
    let brief = shop(&json!({"from_rack": "800 x 600", "boards": boards}));
    assert_eq!(asked(&brief).count.unwrap().canvases.value, 3);
}

#[test]
fn one_more_is_asked_of_each_length_the_longest_first() {
    let brief = shop(&json!({
        "from_rack": "1:1",
        "boards": [
            {"length": "2.4 m", "limit": 1}, {"length": "3 m", "limit": 2},
            {"length": "2.4 m", "limit": 3}, {"length": "1.8 m", "limit": 1},
            {"of": "bead", "length": "4 m", "limit": 5},
            // A measured board: there is no other like it.
            {"length": "3.6 m", "limit": 1, "bad": "300-350"},
        ],
    }));
    let answer = asked(&brief);
    let lengths = |answer: &Backward| {
        let more = answer.more.iter();
        more.map(|m| m.length.to_mm()).collect::<Vec<_>>()
    };
    assert_eq!(lengths(&answer), [3000.0, 2400.0, 1800.0]);
    // 2.4 + 2 × 3 + 3 × 2.4 + 1.8 + 3.6 m of batten.
    let mut inputs = largest(&answer).size[0].how.inputs.iter();
    let rack = inputs.find(|i| i.name == "batten on the rack").unwrap();
    assert_eq!(rack.value, Value::Length(Length::from_mm(21_000)));
    // Of seven lengths the six longest.
    let boards: Vec<Json> = [700, 1300, 900, 1100, 800, 1200, 1000]
        .map(|length| json!({"length": length, "limit": 1}))
        .into();
    let answer = asked(&shop(&json!({"from_rack": "1:1", "boards": boards})));
    assert_eq!(
        lengths(&answer),
        [1300.0, 1200.0, 1100.0, 1000.0, 900.0, 800.0]
    );
}

#[test]
fn bead_that_is_limited_counts() {
    // A bead that stands over by 3 mm is 6 mm longer than its side: from lengths of half a metre,
    // one piece each, 494 mm at the most.
    let bead = |of: &str, limit: u32| {
        shop(&json!({
            "bead": "quarter_round", "bead_overhang": "3", "from_rack": of,
            "boards": [
                {"length": "2.4 m", "limit": 30}, {"of": "bead", "length": "500", "limit": limit},
            ],
        }))
    };
    let answer = asked(&bead("1:1", 4));
    assert_eq!(mm(&answer), [494.0; 2]);
    assert_eq!(largest(&answer).ends_by, Some(Short::Bead));
    assert_eq!(answer.bought_as_needed, [false, true]);
    assert_eq!(mm(&asked(&bead("3:2", 4))), [494.0, 329.0]);
    // Four lengths a canvas: 13 do for three; a millimetre more has no place.
    for (of, canvases) in [("494 x 494", 3), ("494 x 480", 3), ("495 x 495", 0)] {
        let answer = asked(&bead(of, 13));
        let count = answer.count.as_ref().unwrap();
        assert_eq!(count.canvases.value, canvases, "{of}");
        assert_eq!(count.ends_by, Some(Short::Bead), "{of}");
    }
}

#[test]
fn cloth_that_is_limited_counts() {
    // Round the edge and to be gripped, 2 × (20 + 40 + 30) = 180 mm: 600 mm of the roll leave 420.
    let brief = shop(&json!({
        "from_rack": "1:1", "boards": [{"length": "2.4 m", "limit": 30}],
        "rolls": [{"width": "900", "available": "600"}],
    }));
    let answer = asked(&brief);
    assert_eq!(mm(&answer), [420.0; 2]);
    assert_eq!(largest(&answer).ends_by, Some(Short::Cloth));
    assert_eq!(answer.bought_as_needed, [false, false]);
    assert_eq!(answer.more[0].longer, Length::ZERO);
}

#[test]
fn what_has_no_limit_is_bought_as_needed() {
    let bars = json!({"length": "2.4 m", "limit": 1});
    let some = json!({"of": "bead", "length": "2.4 m", "limit": 2});
    let any = json!({"of": "bead", "length": "2.4 m"});
    let (roll, rest) = (
        json!({"width": 2100}),
        json!({"width": 2100, "available": 900}),
    );
    for (front, boards, rolls, expected) in [
        ("quarter_round", [&bars, &any], [&roll, &roll], [true, true]),
        (
            "quarter_round",
            [&bars, &some],
            [&rest, &roll],
            [false, true],
        ),
        (
            "quarter_round",
            [&bars, &some],
            [&rest, &rest],
            [false, false],
        ),
        (
            "quarter_round",
            [&bars, &any],
            [&rest, &rest],
            [true, false],
        ),
        // Without a bead its lengths are of no concern.
        ("none", [&bars, &any], [&rest, &rest], [false, false]),
        ("none", [&bars, &some], [&roll, &rest], [false, true]),
    ] {
        let answer = asked(&shop(&json!({
            "bead": front, "from_rack": "400 x 300", "boards": boards, "rolls": rolls,
        })));
        assert_eq!(
            answer.bought_as_needed, expected,
            "{front} {boards:?} {rolls:?}"
        );
    }
}

#[test]
fn without_a_rack_nothing_is_answered() {
    let bead = json!([{"of": "bead", "length": "2.4 m", "limit": 2}]);
    let none = [
        // Only bead; nothing said of boards; a board without limit.
        shop(&json!({"from_rack": "400 x 300", "boards": bead})),
        shop(&json!({"from_rack": "400 x 300"})),
        shop(&json!({"from_rack": "400 x 300", "boards": [{"length": "2.4 m"}]})),
    ];
    for brief in &none {
        let answer = asked(brief);
        assert!(
            answer.largest.is_none() && answer.count.is_none(),
            "{brief}"
        );
        assert!(answer.more.is_empty() && answer.tried == 0, "{brief}");
    }
    assert!(asked(&none[0]).unlimited.is_empty());
    // Words that are no size.
    let brief = json!({"from_rack": "wide", "canvases": [{"width": 600, "height": 500}]});
    assert!(backward(&draft(&brief)).is_none());
}

// The size that is looked for.

fn found(brief: &Json, all: &[(&'static str, &str)]) -> Found {
    let asked: Record = all.iter().map(|(k, t)| (*k, (*t).to_owned())).collect();
    find(&draft(brief), &asked)
}

#[track_caller]
fn gives(brief: &Json, all: &[(&'static str, &str)], texts: [&str; 2], count: usize) -> Found {
    let found = found(brief, all);
    assert_eq!(found.faults, [], "{all:?}");
    let got: Vec<_> = found.canvases.iter().map(|c| c.texts.clone()).collect();
    assert_eq!(got, vec![texts; count], "{all:?}");
    found
}

/// Seven millimetres come off: 2 × (3 + 0.5).
fn wood() -> Json {
    json!({"bead_overhang": "3", "cloth_thickness": "0.5"})
}

fn finished() -> Json {
    json!({"size_means": "finished"})
}

#[test]
fn a_row_on_a_wall() {
    // (3000 − 2 × 150 − 3 × 40) / 4 = 645.
    let wall = [
        ("by", "wall"),
        ("wall_width", "3000"),
        ("wall_end", "150"),
        ("gap", "40"),
        ("in_row", "4"),
    ];
    let and = |more: &[(&'static str, &'static str)]| [&wall[..], more].concat();
    // 645 × 1.618034 = 1043.63 upright, 645 / 1.618034 = 398.63 across, both rounded down.
    let it = gives(&finished(), &wall, ["645", "1043"], 4);
    let names: Vec<&str> = it.canvases.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "Wall, 1 of 4",
            "Wall, 2 of 4",
            "Wall, 3 of 4",
            "Wall, 4 of 4"
        ]
    );
    gives(&finished(), &and(&[("way", "across")]), ["645", "398"], 4);
    gives(&finished(), &and(&[("ratio", "3_2")]), ["645", "967"], 4);
    gives(
        &finished(),
        &and(&[("height_each", "710")]),
        ["645", "710"],
        4,
    );
    // Bead and cloth come off the finished sides: 645 − 7, 1043.63 − 7, 710 − 7.
    gives(&wood(), &wall, ["638", "1036"], 4);
    gives(&wood(), &and(&[("height_each", "710")]), ["638", "703"], 4);
    // Without a bead only the cloth: 2 × 0.5.
    let plain = with(&wood(), &json!({"bead": "none"}));
    gives(&plain, &wall, ["644", "1042"], 4);
    // One alone has no gaps: 3000 − 300 = 2700, square.
    gives(
        &finished(),
        &and(&[("in_row", "1"), ("ratio", "1_1")]),
        ["2700", "2700"],
        1,
    );
    // Usually three, 200 mm bare at each end, 30 mm apart: (1800 − 400 − 60) / 3 = 446.67.
    gives(
        &finished(),
        &[("by", "wall"), ("wall_width", "1800"), ("ratio", "1_1")],
        ["446", "446"],
        3,
    );
}

#[test]
fn a_tray_frame_that_is_there() {
    // 500 − 2 × 6 = 488 by 420 − 12 = 408; less bead and cloth 481 by 401.
    let tray = [
        ("by", "tray"),
        ("tray_width", "500"),
        ("tray_height", "420"),
    ];
    let gap = json!({"tray_gap": "6"});
    gives(&with(&finished(), &gap), &tray, ["488", "408"], 1);
    let it = gives(&with(&wood(), &gap), &tray, ["481", "401"], 1);
    assert_eq!(
        it.notes,
        ["Rounded down to the whole millimetre, so that it fits."]
    );
}

#[test]
fn a_picture_keeps_its_proportion() {
    let by = |known: &'static str, side: &'static str| {
        [
            ("by", "picture"),
            ("picture_width", "30"),
            ("picture_height", "45"),
            ("known", known),
            ("side", side),
        ]
    };
    // Half as high again as it is wide.
    gives(&json!({}), &by("width", "620"), ["620", "930"], 1);
    gives(&json!({}), &by("height", "630"), ["420", "630"], 1);
}

#[test]
fn what_is_found_keeps_to_the_forms_limits() {
    let by = |way: &'static str, side: &'static str| {
        [
            ("by", "proportion"),
            ("ratio", "3_2"),
            ("way", way),
            ("side", side),
        ]
    };
    // 4000 × 1.5 = 6000 and 150 / 1.5 = 100 are the last that do.
    gives(&json!({}), &by("upright", "4000"), ["4000", "6000"], 1);
    gives(&json!({}), &by("across", "150"), ["150", "100"], 1);
    for (way, side, says) in [
        ("upright", "4002", "That gives a height of 6003 mm."),
        ("across", "147", "That gives a height of 98 mm."),
    ] {
        let found = found(&json!({}), &by(way, side));
        assert!(!found.is_found());
        let said = found.faults[0].to_string();
        assert_eq!(
            said,
            format!("side: {says} A canvas is from 100 mm to 6000 mm a side.")
        );
    }
}

#[test]
fn the_parts_of_a_group_by_hand() {
    let group = |shape: &'static str, n: &'static str| {
        [
            ("by", "group"),
            ("group", shape),
            ("total_width", "2000"),
            ("total_height", "700"),
            ("gap", "50"),
            ("in_row", n),
        ]
    };
    // (2000 − 50) / 2, (2000 − 100) / 3 and (2000 − 4 × 50) / 5: the number counts in a row alone.
    gives(&finished(), &group("pair", "5"), ["975", "700"], 2);
    let three = gives(&finished(), &group("triptych", "5"), ["633", "700"], 3);
    let five = gives(&finished(), &group("row", "5"), ["360", "700"], 5);
    let name = |found: &Found, i: usize| found.canvases[i].name.clone();
    assert_eq!(name(&three, 0), "Triptych, left");
    assert_eq!(name(&three, 1), "Triptych, centre");
    assert_eq!(name(&three, 2), "Triptych, right");
    assert_eq!(name(&five, 0), "Row, 1 of 5");
    assert_eq!(name(&five, 4), "Row, 5 of 5");
    // 7 mm off every side: (2000 − 100) / 4 = 475 and 950.
    let wings = found(&wood(), &group("wings", "5"));
    let texts: Vec<_> = wings.canvases.iter().map(|c| c.texts.clone()).collect();
    assert_eq!(texts, [["468", "693"], ["943", "693"], ["468", "693"]]);
}

#[test]
fn a_size_goes_into_the_canvas_that_is_said() {
    let two = json!({"canvases": [
        {"width": "600", "height": "500"}, {"name": "Heath", "width": "400", "height": "300"},
    ]});
    let into = |n: &'static str| [("standard", "15 F"), ("into", n)];
    let mut plan = draft(&two);
    let second = found(&two, &into("2"));
    assert_eq!(second.into, Some(1));
    second.add_to(&mut plan);
    assert_eq!(plan.canvases.len(), 2);
    assert_eq!(plan.canvases[0]["width"], "600");
    assert_eq!(
        (&*plan.canvases[1]["width"], &*plan.canvases[1]["height"]),
        ("540", "650")
    );
    assert_eq!(plan.canvases[1]["name"], "Heath");
    let third = found(&two, &into("3"));
    assert_eq!(
        third.faults[0].to_string(),
        "into: There is no canvas 3. Write a number up to 2, or leave this empty for a new row."
    );
    // A row on a wall is several.
    let wall = found(
        &two,
        &[("by", "wall"), ("wall_width", "3000"), ("into", "1")],
    );
    assert!(!wall.is_found() && wall.faults[0].at.key == "into");
}

#[test]
fn a_plan_has_room_for_200_rows() {
    let pair = [
        ("by", "group"),
        ("total_width", "1500"),
        ("total_height", "800"),
    ];
    for (rows, empty, room) in [(198, 0, true), (198, 2, true), (199, 0, false)] {
        let canvas = json!({"width": 600, "height": 500});
        let mut full = draft(&json!({"canvases": vec![canvas; rows]}));
        full.canvases.extend((0..empty).map(|_| Record::new()));
        let it = found(&json!({}), &pair);
        assert_eq!(it.canvases.len(), 2);
        assert_eq!(it.has_room(&full), room, "{rows} + {empty}");
        it.add_to(&mut full);
        assert_eq!(full.canvases.len(), if room { 200 } else { 199 });
    }
}

#[test]
fn standard_sizes_by_their_names() {
    // Sides in mm, long and short, and how they stand where nothing is said.
    for (text, sides, way) in [
        ("8 M", [460, 270], Stands::Across),
        ("F25", [810, 650], Stands::Upright),
        ("30-P", [920, 650], Stands::Across),
        ("40 F across", [1000, 810], Stands::Across),
        ("M 12 upright", [610, 380], Stands::Upright),
        ("10f lying", [550, 460], Stands::Across),
        ("10 P tall", [550, 380], Stands::Upright),
        ("10 P portrait", [550, 380], Stands::Upright),
        ("10 F wide", [550, 460], Stands::Across),
    ] {
        let (size, stands) = named(text).flatten().unwrap();
        assert_eq!(size.sides(), sides.map(Length::from_mm), "{text}");
        assert_eq!(stands, way, "{text}");
        assert_eq!(any_named(text), Some((size, way)), "{text}");
    }
    let (size, way) = any_named("24 × 36 in").unwrap();
    assert_eq!(size.sides(), [36, 24].map(|n| Length::INCH * n));
    assert_eq!(way, Stands::Upright);
    assert_eq!(size.described(), "24 × 36 in");
    let (size, _) = any_named("20 P").unwrap();
    assert_eq!(size.described(), "20 P landscape, 73 × 54 cm");
    for text in ["15 Fupright", "15 F askew", "24 × 37 in"] {
        assert_eq!(any_named(text), None, "{text}");
    }
    // A way of standing turns the two sides.
    let sides = [900, 700].map(Length::from_mm);
    assert_eq!(Stands::Across.sides(sides[0], sides[1]), sides);
    assert_eq!(
        Stands::Upright.sides(sides[0], sides[1]),
        [sides[1], sides[0]]
    );
}

#[test]
fn a_whole_size_takes_its_unit_from_where_there_is_one() {
    for (text, unit, units, mm) in [
        ("30 x 45", None, Units::Imperial, [762.0, 1143.0]),
        ("30 x 45", Some("cm"), Units::Imperial, [300.0, 450.0]),
        // What is typed goes before the list's.
        ("30 mm x 45", Some("cm"), Units::Metric, [30.0, 45.0]),
        ("30 x 45 mm", Some("cm"), Units::Metric, [30.0, 45.0]),
        ("30 cm by 0.45 m", None, Units::Imperial, [300.0, 450.0]),
        ("12\" X 1' 3\"", None, Units::Metric, [304.8, 381.0]),
    ] {
        let size = whole_size(text, unit, units).unwrap().unwrap();
        assert_eq!([size.width.to_mm(), size.height.to_mm()], mm, "{text}");
    }
    assert_eq!(whole_size("30by 45", None, Units::Metric), None);
    for (text, unit) in [
        ("60 cm", Some("cm")),
        (" 24½\" ", Some("\"")),
        ("60", None),
        ("2' 6\"", None),
        ("cm", None),
        ("wide 60 cm", None),
    ] {
        assert_eq!(unit_of(text), unit, "{text}");
    }
    for (text, unit, whole) in [
        (" 60 ", Some("cm"), "60 cm"),
        ("24½", Some("\""), "24½\""),
        ("60", None, "60"),
        ("60 mm", Some("cm"), "60 mm"),
    ] {
        assert_eq!(with_unit(text, unit), whole, "{text}");
    }
    for (text, bare) in [
        ("12 1/2", true),
        ("-3,5", true),
        ("", false),
        ("60 mm", false),
    ] {
        assert_eq!(is_bare(text), bare, "{text}");
    }
    for (text, bare) in [
        ("60 x 80", true),
        ("60 x 80 cm", false),
        ("60 cm x 80", false),
        ("60", false),
        ("60 x 80 x 20", false),
    ] {
        assert_eq!(is_bare_size(text), bare, "{text}");
    }
}
