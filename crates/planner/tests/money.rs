//! Money worked by hand: what a job costs and who pays what, sections and plans side by side, and
//! what another length on the rack would change.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod briefs;

use briefs::{draft, with};
use planner::battens::{self, Batten};
use planner::brief::BoardOf;
use planner::compare::{Compared, Way, compare};
use planner::costs::{CostLine, price_of, share};
use planner::shares::Order;
use planner::what_if::{Difference, Outcome, RackChange, WhatIf, what_if};
use planner::{Effort, Plan, Value, alone, plan};
use quantity::{Length, Money};
use serde_json::{Value as Json, json};

fn planned(brief: &Json) -> Plan {
    plan(&draft(brief))
}

fn hundredths(all: &[Money]) -> Vec<i64> {
    all.iter().map(|m| m.as_hundredths()).collect()
}

fn line<'a>(plan: &'a Plan, what: &str) -> &'a CostLine {
    let mut lines = plan.costs.as_ref().unwrap().lines.iter();
    lines.find(|l| l.what == what).unwrap()
}

/// Two rows of mitred frames, one with an upright cross bar, from one board of 12 m with a bad
/// stretch and one roll; everything has a price.
fn class() -> Json {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "2 mm", "trim": "10 mm",
        "bar_face": "45 mm", "bar_depth": "20 mm",
        "weave": "height", "cloth_gap": "10 mm", "cloth_mass": "400 g/m²",
        "turnover": "40 mm", "grip": "30 mm", "cloth_step": "100 mm",
        "staples_a_box": "150", "ratio": "14", "size_waste": "15 %", "size_coats": "2",
        "canvases": [
            {"width": "700", "height": "500", "count": "3", "upright_bars": "1", "level_bars": "0"},
            {"width": "500", "height": "300", "count": "2", "upright_bars": "0", "level_bars": "0"},
        ],
        "boards": [{"length": "12 m", "price": "35.90", "bad": "11600-11700"}],
        "rolls": [{"width": "2.7 m", "price": "8.15"}],
        "screw_price": "7.50", "pin_price": "3.30", "staple_price": "2.20",
        "wood_glue_price": "250", "size_price": "18", "ground_price": "12.40",
    })
}

#[test]
fn each_thing_is_paid_by_who_uses_it() {
    let p = planned(&class());
    assert_eq!(p.faults, []);
    // Boards. Nested mitred pieces: 3 × 2 × (655 + 455) + 2 × 2 × (455 + 255) = 9500 of wood, 45
    // for the wedge, 19 cuts of 2.828; three square pieces of 500 with a cut of 2 each: 11104.74.
    // Left of the bad stretch there are 11600 − 10: 2 for the cut, 483.26 left; right of it
    // 11990 − 11700 = 290, too short for the shortest piece, 300. So 20 + 100 + 483.26 + 290 of
    // 12000 are left over, 7.444 % of 35.90: 2.67.
    //   A: 3 × (2 × 657.828 + 2 × 457.828 + 502) = 8199.936
    //   B: 2 × (2 × 457.828 + 2 × 257.828)       = 2862.624, in all 11062.560
    //   33.23 × 0.741233 = 24.631; 2.67 × 0.741233 = 1.9791
    // Cloth. Blanks of (700 + 180) × (500 + 180) and 680 × 480. Three across are 2660 of 2700, the
    // two below them end at 680 + 10 + 480: 1.2 m at 8.15 is 9.78. Of 2.7 × 1.2 = 3.24 m² blanks
    // are 3 × 0.5984 + 2 × 0.3264 = 2.448: 24.444 % left over, 2.39.
    //   7.39 × 1.7952 / 2.448 = 5.4193; 2.39 × 0.73333 = 1.7527
    // Screws: (4 + 2) × 3 + 4 × 2 = 26 at 7.50 the hundred. Pins: 8 × 5 = 40 at 3.30.
    // Staples. Bays of at most 32 in 700 − 60: 20; in 440: 14; in 240: 8. A: 2 × (21 + 15) + 4 =
    // 76, with spares 84; B: 2 × (15 + 9) + 4 = 52, 58. (3 × 76 + 2 × 52) × 1.1 = 366: 3 boxes.
    //   6.60 × 252 / 368 = 4.5196
    // Wood glue at 200 g/m²: four corners of 45 √2 × 20 mm² are 1.01823 g; A has two housings of
    // 45² more, 1.82823 g. 3 × 1.82823 + 2 × 1.01823 = 7.521 g at 250 a kilogram: 1.88025.
    //   1.89 × 5484 / 7520 = 1.3783
    // Area: A 0.7 × 0.5 + 2 × 1.2 × 0.02 = 0.398; B 0.15 + 2 × 0.8 × 0.02 = 0.182; in all 1.558.
    // Dry glue: 1.558 × 95 × 2 × 1.15 / (14 + 1) = 22.695 g at 18: 0.4085. A: 0.41 × 0.766367.
    // Ground: 1.558 × 125 × 2 × 1.15 = 447.925 ml at 12.40: 5.5543. A: 5.56 × 0.766367 = 4.261.
    let cases: [(&str, i64, [i64; 2], [i64; 2]); 8] = [
        ("boards", 3590, [2463, 860], [198, 69]),
        ("cloth", 978, [542, 197], [175, 64]),
        ("screws", 195, [135, 60], [0, 0]),
        ("panel pins", 132, [79, 53], [0, 0]),
        ("staples", 660, [452, 208], [0, 0]),
        ("wood glue", 189, [138, 51], [0, 0]),
        ("dry glue", 41, [31, 10], [0, 0]),
        ("ground", 556, [426, 130], [0, 0]),
    ];
    let costs = p.costs.as_ref().unwrap();
    let names: Vec<&str> = costs.lines.iter().map(|l| l.what).collect();
    assert_eq!(names, cases.map(|(what, ..)| what));
    for (what, cost, rows, left_over) in cases {
        let l = line(&p, what);
        assert_eq!(l.cost.value.as_hundredths(), cost, "{what}");
        assert_eq!(hundredths(&l.rows), rows, "{what}");
        assert_eq!(hundredths(&l.left_over), left_over, "{what}");
    }
    assert_eq!(costs.unpriced, [] as [&str; 0]);
    // 3590 + 978 + 195 + 132 + 660 + 189 + 41 + 556
    assert_eq!(costs.total.value.as_hundredths(), 6341);
    assert_eq!(
        p.totals.as_ref().unwrap().cost.as_ref().unwrap().value,
        costs.total.value
    );
    // A: 2463 + 542 + (135 + 79 + 452 + 138 + 31 + 426) + (198 + 175) = 4639, 1546⅓ each.
    // B: 860 + 197 + (60 + 53 + 208 + 51 + 10 + 130) + (69 + 64) = 1702, 851 each.
    let m = Money::from_hundredths;
    for (s, parts, each) in [
        (
            &costs.shares[0],
            [2463, 542, 1261, 373, 4639],
            vec![(1, m(1547)), (2, m(1546))],
        ),
        (
            &costs.shares[1],
            [860, 197, 512, 133, 1702],
            vec![(2, m(851))],
        ),
    ] {
        let all = [&s.wood, &s.cloth, &s.rest, &s.left_over, &s.sum];
        assert_eq!(all.map(|x| x.value.as_hundredths()), parts);
        assert_eq!(s.each, each);
    }
    // 2463 + 860, 542 + 197, 1261 + 512, 373 + 133
    assert_eq!(hundredths(&costs.parts()), [3323, 739, 1773, 506]);
    // Pieces are 11000 of 12000 mm of wood: a twelfth of 35.90 is lost, 2.9917, and 2.3907 of
    // cloth: 5.3823 of 45.68.
    assert_eq!(
        costs.waste_cost.as_ref().unwrap().value.as_hundredths(),
        538
    );
    let lost = costs.waste.as_ref().unwrap().value.to_ratio();
    let by_hand = (3590.0 / 12.0 + 978.0 * (1.0 - 2.448 / 3.24)) / 4568.0;
    assert!((lost - by_hand).abs() < 1e-9, "{lost}");
}

#[test]
fn what_is_used_of_a_thing_is_shown() {
    let p = planned(&class());
    // As above: millimetres of board, m² of blank, pieces, grams, m² of canvas.
    for (what, rows, all) in [
        ("boards", [8199.936, 2862.624], 11062.56),
        ("cloth", [1.7952, 0.6528], 2.448),
        ("screws", [18.0, 8.0], 26.0),
        ("panel pins", [24.0, 16.0], 40.0),
        ("staples", [252.0, 116.0], 368.0),
        ("wood glue", [5.484, 2.036], 7.52),
        ("dry glue", [1.194, 0.364], 1.558),
        ("ground", [1.194, 0.364], 1.558),
    ] {
        let l = line(&p, what);
        let said: Vec<f64> = l.used.iter().map(|u| u.in_files().0).collect();
        for (a, b) in said.iter().zip(rows) {
            assert!((a - b).abs() < 1e-9, "{what}: {said:?}");
        }
        let in_all = l.used_in_all.in_files().0;
        assert!((in_all - all).abs() < 1e-9, "{what}: {in_all}");
    }
}

#[test]
fn bead_is_paid_by_its_length_tip_to_tip() {
    // 3 mm of overhang: pieces of 1006, 706 and 506, 406, two of each to a frame; each takes its
    // long edge and a mitred cut of 2.828: 2 × (1008.828 + 708.828) = 3435.312 and
    // 2 × 2 × (508.828 + 408.828) = 3670.624, in all 7105.936 of 8 m.
    let p = planned(&json!({
        "bead": "quarter_round", "bead_overhang": "3 mm", "bracing_by": "rule", "braces": "no",
        "kerf": "2 mm", "trim": "10 mm",
        "canvases": [
            {"width": "1000", "height": "700", "upright_bars": "0", "level_bars": "0"},
            {"width": "500", "height": "400", "count": "2", "upright_bars": "0", "level_bars": "0"},
        ],
        "boards": [{"length": "12 m", "price": "20"}, {"of": "bead", "length": "8 m", "price": "10.00"}],
        "rolls": [{"width": "2.7 m", "price": "8"}],
    }));
    assert_eq!(p.faults, []);
    let bead = line(&p, "bead");
    assert_eq!(bead.cost.value.as_hundredths(), 1000);
    let um = |n: i64| Value::Length(Length::from_nm(n * 1000));
    assert_eq!(bead.used, [um(3_435_312), um(3_670_624)]);
    assert_eq!(bead.used_in_all, um(7_105_936));
    // Of 7980 the pieces and their cuts leave 874: with the trim 894 of 8000, 11.18 %: 1.12.
    // 8.88 × 3435.312 / 7105.936 = 4.2930; 1.12 × 0.483443 = 0.5415
    assert_eq!(hundredths(&bead.rows), [429, 459]);
    assert_eq!(hundredths(&bead.left_over), [54, 58]);
    // 2 × (1006 + 706) + 2 × 2 × (506 + 406) = 3424 + 3648
    let totals = p.totals.as_ref().unwrap();
    assert_eq!(totals.bead_length.value, Length::from_mm(7072));
}

#[test]
fn a_board_is_used_by_the_way_it_can_be_nested() {
    // Two frames of 700 × 500 of 45 mm, kerf 2 mm, in micrometres:
    //   mitres that nest: 2 × 2 × (700 − 45 + 2.828 + 500 − 45 + 2.828)
    //   tip to tip:       2 × 2 × (700 + 2.828 + 500 + 2.828)
    //   square ends:      2 × 2 × (700 + 2 + 500 + 2)
    for (corner, bead, um) in [
        ("mitre", "none", 4_462_624),
        ("mitre", "bevel", 4_822_624),
        ("mitre_lap", "none", 4_816_000),
        ("square_lap", "none", 4_816_000),
        ("square_lap", "bevel", 4_816_000),
    ] {
        let p = planned(&json!({
            "bead": bead, "corner": corner, "bracing_by": "rule", "braces": "no", "kerf": "2 mm",
            "canvases": [{"width": "700", "height": "500", "count": "2", "upright_bars": "0", "level_bars": "0"}],
            "boards": [{"length": "6 m", "price": "20"}],
        }));
        let used = Value::Length(Length::from_nm(um * 1000));
        assert_eq!(line(&p, "boards").used, [used], "{corner} {bead}");
    }
}

#[test]
fn what_has_no_price_is_named() {
    let unpriced = |settings: &Json| {
        let brief = json!({
            "bead": "none", "bracing_by": "rule", "braces": "no",
            "canvases": [{"width": "700", "height": "500", "upright_bars": "0", "level_bars": "0"}],
            "boards": [{"length": "4.8 m", "price": "12"}], "rolls": [{"width": "2.1 m"}],
        });
        planned(&with(&brief, settings)).costs.unwrap().unpriced
    };
    assert_eq!(
        unpriced(&json!({})),
        [
            "cloth",
            "screws",
            "panel pins",
            "staples",
            "wood glue",
            "dry glue",
            "ground"
        ]
    );
    assert_eq!(
        unpriced(
            &json!({"screws": "no", "corner": "square_lap", "size_kind": "pva", "ground": "none"})
        ),
        ["cloth", "staples", "wood glue", "size"]
    );
    // Keyed corners stay dry: no screw, pin or glue.
    assert_eq!(
        unpriced(&json!({"fixing": "keyed"})),
        ["cloth", "staples", "keys", "dry glue", "ground"]
    );
}

#[test]
fn ready_size_is_paid_by_the_litre_and_chalk_by_the_kilogram() {
    // Three of 0.8 + 2 × 1.8 × 0.02 = 0.872 m²: 2.616. Cloth of 200 g/m² takes half a coat first:
    // 2.616 × 150 × (0.5 + 3 − 1) × 1.15 = 1128.15 ml at 7.00: 7.897.
    // Ground 2.616 × 125 × 2 × 1.15 = 752.1 ml; of 0.9 parts of chalk to one of size
    // 752.1 / (1 + 0.9 / 2.7) × 0.9 = 507.67 g at 3.00: 1.523.
    let p = planned(&json!({
        "bead": "none", "bar_depth": "20 mm", "cloth_mass": "200 g/m²",
        "size_kind": "acrylic", "ready_spread": "150 ml/m²", "size_coats": "3", "size_waste": "15 %",
        "ground": "chalk", "chalk_parts": "0.9", "ground_spread": "125 ml/m²", "ground_coats": "2",
        "size_price": "7", "ground_price": "3",
        "canvases": [{"width": "1000", "height": "800", "count": "3"}],
    }));
    assert_eq!(line(&p, "size").cost.value.as_hundredths(), 790);
    assert_eq!(line(&p, "ground").cost.value.as_hundredths(), 153);
    assert_eq!(
        p.costs.as_ref().unwrap().total.value.as_hundredths(),
        790 + 153
    );
    // Without prices of wood and cloth nothing is said of their waste.
    let costs = p.costs.as_ref().unwrap();
    assert!(costs.waste.is_none() && costs.waste_cost.is_none());
}

#[test]
fn hundredths_left_over_go_to_the_largest_remainders_then_the_first() {
    let shared = |amount, weights: &[u64]| {
        let all = share(Money::from_hundredths(amount), weights);
        hundredths(&all)
    };
    assert_eq!(shared(100, &[1, 1, 1]), [34, 33, 33]);
    assert_eq!(shared(10, &[7, 7, 7, 7]), [3, 3, 2, 2]);
    // 14.29, 28.57, 57.14
    assert_eq!(shared(100, &[1, 2, 4]), [14, 29, 57]);
    // 0.9, 3.3, 4.8, twice a hundredth left
    assert_eq!(shared(9, &[3, 11, 16]), [1, 3, 5]);
    assert_eq!(shared(100, &[0, 0]), [0, 0]);
    // 7 × 3.33 / 100 = 0.2331; 200 of a lot of 100; a lot of none counts as single pieces
    let price = |n, price, lot| price_of(n, Money::from_hundredths(price), lot).as_hundredths();
    assert_eq!([price(7, 333, 100), price(200, 333, 100)], [24, 666]);
    assert_eq!(price(7, 333, 0), 7 * 333);
}

const PROOF: Effort = Effort {
    boards: 2_000_000,
    cloth: 20_000,
};

fn orders(brief: &Json) -> Option<Vec<Option<i64>>> {
    let draft = draft(brief);
    let all = alone(&draft, &plan(&draft), PROOF)?;
    let costs = |o: &Order| match o {
        Order::Costs(cost) => Some(cost.as_hundredths()),
        Order::Impossible(_) => None,
    };
    Some(all.rows.iter().map(costs).collect())
}

#[test]
fn what_is_taken_off_a_roll_is_gone_for_the_next() {
    // Two frames of 700 × 500, each from 0.7 m of the cheap roll (680 along) or of the dear one.
    // Bars: 2 × (655 + 455) + 45 + 4 × 2.828 + 20 = 2296 of 2.4 m at 6.00.
    let rolls = |cheap: &str| {
        let brief = with(
            &class(),
            &json!({"size_price": "", "ground_price": "", "staple_price": "",
            "screw_price": "", "pin_price": "", "wood_glue_price": ""}),
        );
        with(
            &brief,
            &json!({
                "canvases": [
                    {"width": "700", "height": "500", "upright_bars": "0", "level_bars": "0"},
                    {"width": "700", "height": "500", "upright_bars": "0", "level_bars": "0"},
                ],
                "boards": [{"length": "2.4 m", "price": "6.00"}],
                "rolls": [
                    {"width": "1.2 m", "price": "5.00", "available": cheap},
                    {"width": "1.2 m", "price": "9.00"},
                ],
            }),
        )
    };
    let cheap = Some(600 + 350);
    let dear = Some(600 + 630);
    // 1.2 − 0.7 is no 0.68; 1.38 − 0.7 is just so much; 0.7 is all there is.
    assert_eq!(orders(&rolls("1.2 m")).unwrap(), [cheap, dear]);
    assert_eq!(orders(&rolls("0.7 m")).unwrap(), [cheap, dear]);
    assert_eq!(orders(&rolls("1.379 m")).unwrap(), [cheap, dear]);
    assert_eq!(orders(&rolls("1.4 m")).unwrap(), [cheap, cheap]);
}

#[test]
fn who_comes_second_may_find_nothing_left() {
    // Together one board, one length of bead and one width of cloth do for both; the first takes
    // it. Bars 2 × 2231.3 and 62.2 in 6 m; bead 4 × (700 + 500 + 2 × 2.828) in 6 m; two blanks of
    // 880 × 680 side by side in 2.7 m.
    let row = json!({"width": "700", "height": "500", "upright_bars": "0", "level_bars": "0"});
    let limits = |bars: &str, bead: &str, roll: &str| {
        with(
            &class(),
            &json!({
                "bead": "quarter_round", "canvases": [row, row],
                "boards": [
                    {"length": "6 m", "price": "15", "limit": bars},
                    {"of": "bead", "length": "6 m", "price": "9", "limit": bead},
                ],
                "rolls": [{"width": "2.7 m", "price": "8", "available": roll}],
            }),
        )
    };
    for (brief, second) in [
        (limits("2", "2", "3 m"), true),
        (limits("1", "2", "3 m"), false),
        (limits("2", "1", "3 m"), false),
        (limits("2", "2", "0.8 m"), false),
    ] {
        let rows = orders(&brief).unwrap();
        assert_eq!([rows[0].is_some(), rows[1].is_some()], [true, second]);
    }
}

#[test]
fn a_purchase_that_can_not_be_made_waits_only_where_it_has_a_price() {
    let brief = |bars: &Json| {
        let bead = json!({"of": "bead", "length": "3 m", "price": "4"});
        let brief = rack("2000", "600", &json!([bars, bead]));
        planned(&with(&brief, &json!({"bead": "quarter_round"})))
    };
    let p = brief(&json!({"length": "1.5 m"}));
    assert!(p.boards.is_none() && p.bead.is_some());
    let costs = p.costs.as_ref().unwrap();
    assert!(costs.lines.iter().all(|l| l.what != "boards"));
    assert!(!costs.unpriced.contains(&"boards") && !costs.total.is_waiting());
    let p = brief(&json!({"length": "1.5 m", "price": "3"}));
    let boards = line(&p, "boards");
    assert_eq!(boards.cost.value, Money::ZERO);
    assert_eq!(boards.cost.how.waiting(), p.not_bought.boards);
    assert!(p.costs.as_ref().unwrap().total.is_waiting());
}

#[test]
fn what_waits_or_is_cut_is_not_compared() {
    assert!(orders(&class()).is_some());
    assert_eq!(orders(&with(&class(), &json!({"screw_price": "x"}))), None);
    let cut = json!([{"length": "3 m", "pieces": "2 x 700 mm mitred"}]);
    assert_eq!(orders(&with(&class(), &json!({"cut": cut}))), None);
    let unpriced = json!([{"width": "2.7 m"}]);
    assert_eq!(orders(&with(&class(), &json!({"rolls": unpriced}))), None);
    let short = json!([{"length": "600", "price": "2"}]);
    assert_eq!(orders(&with(&class(), &json!({"boards": short}))), None);
    let unpriced = json!([{"length": "12 m"}]);
    assert_eq!(orders(&with(&class(), &json!({"boards": unpriced}))), None);
}

fn sections(brief: &Json) -> Vec<Batten> {
    battens::compare(&draft(brief), Effort::default())
}

fn prices(all: &[Batten]) -> Vec<Option<i64>> {
    let cost = |b: &Batten| b.cost.as_ref().map(|c| c.value.as_hundredths());
    all.iter().map(cost).collect()
}

/// A frame of 600 × 500 mm and 45 × 20 mm from these boards. Another section of 63 × 38 mm needs
/// 2 × 1100 − 3 × 63 + 3 × 3 √2 = 2024 mm in one board.
fn one_frame(boards: &Json, others: &str) -> Json {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "3 mm", "trim": "0",
        "bar_face": "45 mm", "bar_depth": "20 mm", "wood_density": "0.5 g/ml",
        "canvases": [{"width": "600", "height": "500", "upright_bars": "0", "level_bars": "0"}],
        "boards": boards, "other_sections": others,
    })
}

#[test]
fn another_section_takes_only_the_lengths_that_are_always_there() {
    // 2.4 m at 4.20 a metre is 10.08. The bead, the single boards and the damaged one are 2.1 m
    // long and would do for 8.82.
    let boards = json!([
        {"of": "bars", "length": "2.4 m", "price": "6.00"},
        {"of": "bead", "length": "2.1 m", "price": "1.00"},
        {"length": "2.1 m", "price": "9.00", "limit": "3"},
        {"length": "2.1 m", "price": "9.00", "bad": "0-10"},
    ]);
    let all = sections(&one_frame(&boards, "63 × 38 mm at 4.20"));
    assert_eq!(prices(&all), [Some(600), Some(1008)]);
    // Only boards of the section: the batten in hand would be cheaper.
    let boards = json!([
        {"of": "bars", "length": "2.4 m", "price": "2.00"},
        {"of": "bars", "length": "2.4 m", "price": "5.00", "section": "38 x 19 mm"},
    ]);
    assert_eq!(
        prices(&sections(&one_frame(&boards, "45 × 20 mm"))),
        [Some(200), Some(500)]
    );
}

#[test]
fn sums_of_all_frames_of_a_section() {
    let boards = json!([{"length": "4.8 m", "price": "12"}]);
    let brief = with(
        &one_frame(&boards, "45 × 20 mm"),
        &json!({"canvases": [
            {"width": "600", "height": "500", "count": "2", "upright_bars": "0", "level_bars": "0"},
            {"width": "700", "height": "500", "count": "3", "upright_bars": "0", "level_bars": "0"},
        ]}),
    );
    // (600 × 500 − 510 × 410) × 20 mm³ × 0.5 = 909 g; (700 × 500 − 610 × 410) × 20 × 0.5 = 999 g;
    // 2 × 909 + 3 × 999 = 4815.
    let all = sections(&brief);
    let grams = all[0].mass.as_ref().unwrap().value.to_grams();
    assert!((grams - 4815.0).abs() < 1e-6, "{grams}");
    // Nothing to compare it with.
    assert_eq!(all.len(), 1);
    assert!(!all[0].best.cost && !all[0].best.mass && !all[0].best.bracing);

    let brief = with(
        &one_frame(&boards, "45 × 20 mm"),
        &json!({"brace_leg": "80 mm", "canvases": [
            {"width": "1600", "height": "1500", "count": "2", "upright_bars": "2", "level_bars": "3", "braces": "yes"},
            {"width": "900", "height": "500", "count": "3", "upright_bars": "1", "level_bars": "0"},
        ]}),
    );
    // 2 × (2 + 3) + 3 × 1 cross bars, 2 × 4 braces.
    let all = sections(&brief);
    assert_eq!([all[0].cross_bars, all[0].braces], [13, 8]);
    assert_eq!(all[0].why_not, None);

    // How the mass was reached: two lines for each of the first six rows.
    let rows: Vec<Json> = (0..7)
        .map(|n| json!({"width": 500 + 10 * n, "height": "400"}))
        .collect();
    let all = sections(&with(
        &one_frame(&boards, "45 × 20 mm"),
        &json!({"canvases": rows}),
    ));
    assert_eq!(all[0].mass.as_ref().unwrap().how.inputs.len(), 12);
}

#[test]
fn the_frame_nearest_to_its_limit_governs() {
    let small = json!({"width": "400", "height": "300", "upright_bars": "0", "level_bars": "0"});
    let large = json!({"width": "1500", "height": "1200", "upright_bars": "0", "level_bars": "0"});
    let boards = json!([{"length": "4.8 m", "price": "12"}]);
    for rows in [
        json!([small, large]),
        json!([large, small]),
        json!([small, large, small]),
    ] {
        let brief = with(
            &one_frame(&boards, "45 × 20 mm"),
            &json!({"canvases": rows}),
        );
        // The same bars under more load for longer: the large one.
        let frames = planned(&brief);
        let used = |c: &planner::plan::CanvasPlan| {
            let statics = c.bracing.statics.as_ref().unwrap();
            let all = statics.checks.iter().map(|x| x.used.value.to_ratio());
            all.fold(0.0, f64::max)
        };
        let most = frames.canvases.iter().map(used).fold(0.0, f64::max);
        let least = frames.canvases.iter().map(used).fold(f64::MAX, f64::min);
        assert!(most > least);
        let (.., governs) = sections(&brief)[0].governs.clone().unwrap();
        assert!((governs.value.to_ratio() - most).abs() < 1e-12);
    }
}

#[test]
fn only_what_can_be_bought_and_passes_is_the_best_of_all() {
    // 38 × 19 is lighter, but its only boards are too short.
    let boards = json!([
        {"length": "2.4 m", "price": "6.00"},
        {"length": "500", "price": "1.00", "section": "38 x 19 mm"},
    ]);
    let all = sections(&one_frame(&boards, "45 × 20 mm"));
    assert!(all[0].best.mass && all[0].best.cost && all[0].best.bracing);
    assert!(!all[1].best.mass && !all[1].best.cost && !all[1].best.bracing);
    // 20 × 10 is lighter and cheaper, but bends in a frame of two metres.
    let brief = with(
        &one_frame(
            &json!([
                {"length": "4.8 m", "price": "12.00"},
                {"length": "4.8 m", "price": "3.00", "section": "20 x 10 mm"},
                {"length": "4.8 m", "price": "40.00", "section": "95 x 45 mm"},
            ]),
            "45 × 20 mm",
        ),
        &json!({"canvases": [{"width": "2000", "height": "1600", "count": "2", "upright_bars": "0", "level_bars": "0"}],
            "bracing_by": "computed"}),
    );
    let all = sections(&brief);
    // Both frames of the row.
    assert_eq!(all[1].failing, 2);
    assert!(all[1].cost.is_some() && !all[1].best.cost && !all[1].best.mass);
}

fn differing(old: &Json, new: &Json) -> Compared {
    compare(&planned(old), &planned(new))
}

fn number(v: &Option<Value>) -> Option<f64> {
    v.as_ref().map(|v| v.in_files().0)
}

#[track_caller]
fn differs(all: &Compared, what: &str, old: Option<f64>, new: Option<f64>, way: Way) {
    let one = all.differences.iter().find(|d| d.what == what);
    let one = one.unwrap_or_else(|| panic!("{what} is the same"));
    for (said, by_hand) in [(&one.old, old), (&one.new, new)] {
        let said = number(said);
        let near = said.zip(by_hand).map(|(a, b)| (a - b).abs() < 1e-6);
        assert!(near.unwrap_or(said == by_hand), "{what}: {said:?}");
    }
    assert_eq!(one.way, way, "{what}");
}

#[test]
fn two_plans_side_by_side() {
    let row = |w, h, n, up, level| json!({"width": w, "height": h, "count": n, "upright_bars": up, "level_bars": level});
    let of = |n| {
        with(
            &class(),
            &json!({
                "braces": "no", "wood_density": "0.5 g/ml", "brace_leg": "70 mm",
                "canvases": [row(1200, 900, n, 1, 2), row(500, 300, 2, 0, 1)],
                "boards": [{"length": "3 m", "price": "7"}],
            }),
        )
    };
    let (old, new) = (of(3), of(4));
    let there = differing(&old, &new);
    let back = differing(&new, &old);
    // Cross bars 3 × 3 + 2 × 1, 4 × 3 + 2. Screws: 4 corners and two ends of each cross bar:
    // 3 × 10 + 2 × 6, 4 × 10 + 2 × 6. Pins 8 each.
    for (what, a, b) in [
        ("Canvases", 5.0, 6.0),
        ("Cross bars", 11.0, 14.0),
        ("Screws", 42.0, 52.0),
        ("Panel pins", 40.0, 48.0),
    ] {
        differs(&there, what, Some(a), Some(b), Way::More);
        differs(&back, what, Some(b), Some(a), Way::Less);
    }
    // Each canvas's own weight, so often.
    let p = planned(&old);
    let mass = |i: usize| {
        p.canvases[i]
            .hanging
            .as_ref()
            .unwrap()
            .mass
            .value
            .to_grams()
    };
    let (a, b) = (mass(0), mass(1));
    differs(
        &there,
        "Weight of all",
        Some(3.0 * a + 2.0 * b),
        Some(4.0 * a + 2.0 * b),
        Way::More,
    );
    // The heaviest is the same, and there is no brace in either.
    let names: Vec<&str> = there.differences.iter().map(|d| d.what).collect();
    assert!(!names.contains(&"Weight of the heaviest") && !names.contains(&"Braces"));
    // Three lines of the job, three of batten, three of bead, five of buying, three of joining, two
    // of stretching, four of size, two of hanging and two of days; none of bead here.
    assert_eq!(there.compared, 27 - 3);

    // The first row's weight is the heaviest in whatever order.
    for (rows, heaviest) in [
        (json!([row(500, 300, 2, 0, 1), row(1200, 900, 3, 1, 2)]), a),
        (json!([row(1200, 900, 3, 1, 2), row(500, 300, 2, 0, 1)]), a),
        (json!([row(500, 300, 2, 0, 1)]), b),
    ] {
        let one = with(&old.clone(), &json!({"canvases": rows}));
        let none = with(&old.clone(), &json!({"canvases": []}));
        let all = differing(&none, &one);
        let heaviest = Some(heaviest);
        differs(&all, "Weight of the heaviest", None, heaviest, Way::Other);
    }

    // What is only there in one of the two counts and goes neither way.
    let beaded = with(
        &old.clone(),
        &json!({"bead": "quarter_round",
        "boards": [{"length": "3 m", "price": "7"}, {"of": "bead", "length": "5 m", "price": "4"}]}),
    );
    let all = differing(&old, &beaded);
    assert_eq!(all.compared, 27);
    let bead = |what| all.differences.iter().find(|d| d.what == what).unwrap();
    assert_eq!(bead("Price of bead").way, Way::Other);
    assert_eq!(bead("Price of bead").old, None);
    let ready = with(&old.clone(), &json!({"size_kind": "acrylic"}));
    let all = differing(&old, &ready);
    let glue = planned(&old).size.unwrap().glue.value.to_grams();
    differs(&all, "Dry glue", Some(glue), None, Way::Other);
    // 0.5 of litre less or more of it: both have liquid size.
    let liquid = all.differences.iter().find(|d| d.what == "Liquid size");
    assert!(liquid.is_some_and(|d| d.old.is_some() && d.new.is_some() && d.way == Way::More));

    let braced = with(&of(3), &json!({"braces": "yes"}));
    // 5 frames of 4.
    differs(
        &differing(&old, &braced),
        "Braces",
        Some(0.0),
        Some(20.0),
        Way::More,
    );
}

#[test]
fn prices_and_days_side_by_side() {
    let price = |cents: i64| {
        let old = class();
        let boards =
            json!([{"length": "12 m", "price": format!("{}.{:02}", cents / 100, cents % 100)}]);
        with(&old, &json!({"boards": boards}))
    };
    // Without the bad stretch the same board; 5.00 more.
    let all = differing(&price(3590), &price(4090));
    differs(&all, "Price of batten", Some(35.90), Some(40.90), Way::More);
    differs(
        &all,
        "Everything with a price",
        Some(63.41),
        Some(68.41),
        Way::More,
    );
    let dear = with(
        &class(),
        &json!({"rolls": [{"width": "2.7 m", "price": "8.25"}]}),
    );
    // 1.2 × 8.25 = 9.90
    differs(
        &differing(&class(), &dear),
        "Price of cloth",
        Some(9.78),
        Some(9.90),
        Way::More,
    );
    // Steps of a metre: 2 m instead of 1.2, and 2.448 of 5.4 m².
    let by_metre = differing(&class(), &with(&class(), &json!({"cloth_step": "1 m"})));
    differs(&by_metre, "Cloth", Some(1200.0), Some(2000.0), Way::More);
    let lost = |bought: f64| Some((1.0 - 2.448 / bought) * 100.0);
    differs(
        &by_metre,
        "Cloth that becomes no blank",
        lost(3.24),
        lost(5.4),
        Way::More,
    );

    // 700 × 500 takes more than 60 staples and fewer than 120: at one a minute and an hour a day
    // two days of each canvas's own.
    let pace = |n: u32| {
        let rows = json!([{"width": "700", "height": "500", "count": n, "upright_bars": "0", "level_bars": "0"}]);
        with(
            &class(),
            &json!({"staple_pace": "1", "work_hours": "1", "canvases": rows}),
        )
    };
    let all = differing(&pace(3), &pace(2));
    differs(&all, "Days of stretching", Some(6.0), Some(4.0), Way::Less);
}

/// Frames from these boards, mitres that nest, kerf 2 mm and 10 mm off each end: so a board of
/// length L takes Σ (piece − 42.172) up to L − 20 − 42.172.
fn rack(width: &str, height: &str, boards: &Json) -> Json {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "2 mm", "trim": "10 mm",
        "bar_face": "45 mm",
        "canvases": [{"width": width, "height": height, "upright_bars": "0", "level_bars": "0"}],
        "boards": boards,
    })
}

fn tried(brief: &Json) -> Vec<WhatIf> {
    what_if(&draft(brief), PROOF)
}

fn added(all: &[WhatIf]) -> Vec<(i64, Option<i64>)> {
    let one = |w: &WhatIf| match w.change {
        RackChange::Added { length, price } => {
            Some((length.as_nm() / 1_000_000, price.map(|p| p.as_hundredths())))
        }
        RackChange::LeftOut { .. } => None,
    };
    all.iter().filter_map(one).collect()
}

fn difference(cost: Option<i64>, mm: i64, boards: i64) -> Outcome {
    Outcome::Differs(Difference {
        cost: cost.map(Money::from_hundredths),
        length: Length::from_mm(mm),
        boards,
        proven: true,
    })
}

fn outcomes(all: Vec<WhatIf>) -> Vec<Outcome> {
    all.into_iter().map(|w| w.outcome).collect()
}

#[test]
fn another_length_saves_boards_or_money() {
    // 800 × 600: 2 × 757.8 + 2 × 557.8 = 2631.3 and 62.2: two of 2.4 m, 12.00, or one of 3 m. At
    // 2.50 a metre: two of 1.8 m 9.00, one of 3 m 7.50, 3.6 m 9.00, 4.2 m 10.50, 4.8 m 12.00.
    let all = tried(&rack(
        "800",
        "600",
        &json!([{"length": "2.4 m", "price": "6.00"}]),
    ));
    assert_eq!(
        added(&all),
        [
            (1800, Some(450)),
            (3000, Some(750)),
            (3600, Some(900)),
            (4200, Some(1050)),
            (4800, Some(1200))
        ]
    );
    assert!(all.iter().all(|w| w.of == BoardOf::Bars));
    assert_eq!(
        outcomes(all),
        [
            difference(Some(-300), -1200, 0),
            difference(Some(-450), -1800, -1),
            difference(Some(-300), -1200, -1),
            difference(Some(-150), -600, -1),
            difference(Some(0), 0, -1),
        ]
    );
    // Without prices the least wood: 3 m for 4.8 m; 4.2 m for 4.8 m.
    let all = tried(&rack("800", "600", &json!([{"length": "2.4 m"}])));
    assert_eq!(added(&all)[1], (3000, None));
    assert_eq!(
        outcomes(all),
        [
            difference(None, -1200, 0),
            difference(None, -1800, -1),
            difference(None, -1200, -1),
            difference(None, -600, -1),
            difference(None, 0, -1),
        ]
    );
}

#[test]
fn a_row_left_out_costs_what_it_saved() {
    // One of 3 m at 7.00, else two of 2.4 m at 6.00; the row of 2.4 m is not used.
    let boards = json!([{"length": "3 m", "price": "7.00"}, {"length": "2.4 m", "price": "6.00"}]);
    let all = tried(&rack("800", "600", &boards));
    let left_out: Vec<&WhatIf> = all
        .iter()
        .filter(|w| matches!(w.change, RackChange::LeftOut { .. }))
        .collect();
    assert_eq!(left_out.len(), 2);
    assert_eq!(left_out[0].outcome, difference(Some(500), 1800, 1));
    assert_eq!(left_out[1].outcome, difference(Some(0), 0, 0));
    // What is not taken changes nothing, and that is proven: 1.8 m at 2.50, two for 9.00.
    assert_eq!(all[0].outcome, difference(Some(0), 0, 0));
    // The longer of two at one price leaves the longer offcut, whichever row it stands in; without
    // it the other does.
    for row in [0, 1] {
        let mut boards = vec![json!({"length": "3 m", "price": "7.00"}); 2];
        boards[row] = json!({"length": "3.1 m", "price": "7.00"});
        let all = tried(&rack("800", "600", &json!(boards)));
        let changed = all.iter().find(|w| {
            let length = Length::from_mm(3100);
            w.change == RackChange::LeftOut { row, length }
        });
        let without = &changed.unwrap().outcome;
        assert_eq!(*without, difference(Some(0), -100, 0), "{row}");
    }
}

#[test]
fn a_length_can_make_a_purchase_possible() {
    // Bars of 2 m do not fit 1.5 m at 4.00, 2.6667 a metre. Two bars take 1957.8 and two 557.8.
    //   1.8 m: still too short.
    //   2.4 m at 6.40: a long bar in each of two, both short ones in 1.5 m: 16.80.
    //   3 m at 8.00, 3.6 m at 9.60: one long and one short bar in each.
    //   4.2 m at 11.20: both long ones, and 1.5 m for the short ones: 15.20.
    //   4.8 m at 12.80: both long and one short, and 1.5 m: 16.80.
    let all = tried(&rack(
        "2000",
        "600",
        &json!([{"length": "1.5 m", "price": "4.00"}]),
    ));
    let possible = |cost, mm, boards| Outcome::Possible {
        cost: Some(Money::from_hundredths(cost)),
        length: Length::from_mm(mm),
        boards,
    };
    let all = outcomes(all);
    assert!(
        matches!(&all[0], Outcome::Impossible { why } if why.contains("piece A of 2000 mm")),
        "{:?}",
        all[0]
    );
    assert_eq!(
        all[1..],
        [
            possible(1680, 6300, 3),
            possible(1600, 6000, 2),
            possible(1920, 7200, 2),
            possible(1520, 5700, 2),
            possible(1680, 6300, 2),
        ]
    );
}

#[test]
fn only_usual_lengths_that_are_not_there_are_tried() {
    let lengths = |settings: &Json, boards: &Json| {
        let all = tried(&with(&rack("800", "600", boards), settings));
        added(&all).iter().map(|(mm, _)| *mm).collect::<Vec<_>>()
    };
    let one = json!([{"length": "2.4 m", "price": "6.00"}]);
    // A board of just the longest that can be carried can be.
    assert_eq!(lengths(&json!({"longest": "3 m"}), &one), [1800, 3000]);
    assert_eq!(lengths(&json!({"longest": "2999 mm"}), &one), [1800]);
    // So many, or a damaged one, is not as many as needed.
    let few = json!([{"length": "2.4 m", "price": "6.00", "limit": "9"}]);
    assert_eq!(
        lengths(&json!({}), &few),
        [1800, 2400, 3000, 3600, 4200, 4800]
    );
    // What is free says no price for anything else.
    let free = json!([{"length": "2.4 m", "price": "0", "limit": "9"}]);
    assert!(lengths(&json!({}), &free).is_empty());
    // Some without a price: nothing can be compared, and nothing is left out.
    let mixed = json!([{"length": "2.4 m", "price": "6.00"}, {"length": "3 m"}]);
    assert_eq!(tried(&rack("800", "600", &mixed)), []);
    // Everything is cut.
    let cut = json!([{"length": "3 m", "pieces": "2 x 800 mm mitred, 2 x 600 mm mitred"}]);
    let done = with(&rack("800", "600", &one), &json!({"cut": cut}));
    assert_eq!(tried(&done), []);
    // Feet of 304.8 mm: 6, 8, 10, 12, 14 and 16, whole millimetres.
    let feet = json!({"units": "imperial", "bar_face": "45 mm", "kerf": "2 mm",
        "canvases": [{"width": "800 mm", "height": "600 mm", "upright_bars": "0", "level_bars": "0"}]});
    let eight = json!([{"length": "8 ft", "price": "6.00"}]);
    assert_eq!(lengths(&feet, &eight), [1828, 3048, 3657, 4267, 4876]);
}

#[test]
fn bead_has_lengths_of_its_own() {
    // 2 × (800 + 600) of bead and cuts of 2.828 tip to tip: 2811 and 20 of trim. At 5.00 for
    // 2.5 m two are needed; one of 3 m at 6.00 is enough.
    let boards = json!([
        {"length": "3 m", "price": "7.00"},
        {"of": "bead", "length": "2.5 m", "price": "5.00"},
    ]);
    let brief = with(
        &rack("800", "600", &boards),
        &json!({"bead": "quarter_round"}),
    );
    let bead: Vec<WhatIf> = tried(&brief)
        .into_iter()
        .filter(|w| w.of == BoardOf::Bead)
        .collect();
    assert_eq!(added(&bead), [(2400, Some(480)), (3000, Some(600))]);
    // Two of 2.4 m are 9.60; both differ from 10.00.
    assert_eq!(
        outcomes(bead),
        [
            difference(Some(-40), -200, 0),
            difference(Some(-400), -2000, -1)
        ]
    );
}
