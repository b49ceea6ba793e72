//! Cloth, staples, size and ground: figures worked by hand from the brief's numbers.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::cloth::{ClothCut, ClothPurchase, Remnant};
use planner::ground::chalk_ground;
use planner::size::{Standing, by_weight, film_thickness, first_coat_share, standing, tightening};
use planner::staples::{Edge, StapleWork, Staples};
use planner::{Draft, Plan, plan};
use quantity::physics::{ArealMass, Density, Distance, Volume};
use quantity::{Length, Money};
use serde_json::{Value as Json, json};

fn unchecked(brief: Json) -> Plan {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief).unwrap());
    assert_eq!(faults, []);
    plan(&draft)
}

/// The plan of the first brief with the settings of the second.
#[track_caller]
fn planned(mut brief: Json, settings: &Json) -> Plan {
    for (key, value) in settings.as_object().unwrap() {
        brief[key] = value.clone();
    }
    let plan = unchecked(brief);
    assert_eq!(plan.faults, []);
    plan
}

#[track_caller]
fn near(value: f64, expected: f64) {
    let tolerance = expected.abs() * 1e-7;
    assert!(
        (value - expected).abs() <= tolerance,
        "{value}, expected {expected}"
    );
}

// The blank

/// 1000 × 800 mm of wood with bead, overhang and cloth in odd sizes.
fn odd() -> Json {
    json!({
        "bar_depth": "22", "bead_size": "13", "bead_overhang": "3", "cloth_thickness": "0.5",
        "grip": "27", "turnover": "42", "cloth_mass": "350 g/m²",
        "canvases": [{"width": "1000", "height": "800"}],
    })
}

#[test]
fn a_blank_goes_round_bead_bar_and_back() {
    // Fold lines from the edge: 27; 27 + 42 = 69; 69 + 22 + 13 = 104. The front is 1000 + 2 × (3 +
    // 0.5) = 1007 and 807; with 2 × 104 round it 1215 and 1015.
    let p = planned(odd(), &json!({}));
    let b = p.canvases[0].blank.as_ref().unwrap();
    let marks = [&b.trim_line, &b.back_fold, &b.front_fold].map(|x| x.value.to_mm());
    assert_eq!(marks, [27.0, 69.0, 104.0]);
    let sides = [&b.width, &b.height, &b.cut_width, &b.cut_height].map(|x| x.value.to_mm());
    assert_eq!(sides, [1215.0, 1015.0, 1215.0, 1015.0]);
    // Grip trimmed off: (1.215 − 0.054) × (1.015 − 0.054) = 1.115721 m² × 350 g/m².
    near(b.mass.value.to_grams(), 390.502_35);
    // 1.007 × 0.807 + 2 × (1.007 + 0.807) × (0.022 + 0.013)
    near(
        p.canvases[0].area.as_ref().unwrap().value.to_m2(),
        0.812_649 + 0.126_98,
    );

    // Without a bead there is neither rise nor overhang: 69 + 22 = 91; 1001 + 182, 801 + 182.
    let p = planned(odd(), &json!({"bead": "bevel"}));
    let b = p.canvases[0].blank.as_ref().unwrap();
    let sides = [&b.front_fold, &b.width, &b.height].map(|x| x.value.to_mm());
    assert_eq!(sides, [91.0, 1183.0, 983.0]);
    // 1.129 × 0.929 × 350; 1.001 × 0.801 + 2 × 1.802 × 0.022
    near(b.mass.value.to_grams(), 367.094_35);
    near(
        p.canvases[0].area.as_ref().unwrap().value.to_m2(),
        0.801_801 + 0.079_288,
    );
}

#[test]
fn washed_cloth_is_cut_larger_by_the_shrinkage_of_its_direction() {
    // 1215 × 1015 after the wash; 8 % and 4 % shorter than cut: ÷ 0.92 and ÷ 0.96.
    let (w, h) = (1215.0, 1015.0);
    for (weave, warp, weft, across, up) in [
        ("height", "8", "4", 0.96, 0.92),
        ("width", "8", "4", 0.92, 0.96),
        // Either way on the roll: the larger of the two both ways.
        ("free", "8", "4", 0.92, 0.92),
        ("free", "4", "8", 0.92, 0.92),
        ("free", "6", "6", 0.94, 0.94),
    ] {
        let wash =
            json!({"prewash": "yes", "weave": weave, "shrink_warp": warp, "shrink_weft": weft});
        let p = planned(odd(), &wash);
        let b = p.canvases[0].blank.as_ref().unwrap();
        near(b.cut_width.value.to_mm(), w / across);
        near(b.cut_height.value.to_mm(), h / up);
        assert_eq!(b.width.value, Length::from_mm(1215));
    }
}

// What is bought

/// Canvases whose blanks are 180 mm larger each way: 2 × (20 depth + 40 + 30).
fn on_rolls(canvases: &Json, rolls: &Json) -> Json {
    json!({
        "bead": "bevel", "weave": "height", "cloth_gap": "10", "selvedge": "15",
        "cloth_step": "100", "braces": "no", "bracing_by": "rule", "plain_limit": "3000",
        "canvases": canvases, "rolls": rolls,
    })
}

fn bought(brief: Json, settings: &Json) -> ClothPurchase {
    planned(brief, settings).cloth.unwrap()
}

fn remnant(x: i64, y: i64, across: i64, along: i64, enough_for: Option<usize>) -> Remnant {
    let [x, y, across, along] = [x, y, across, along].map(Length::from_mm);
    Remnant {
        roll: 0,
        x,
        y,
        across,
        along,
        enough_for,
    }
}

#[test]
fn three_blanks_one_behind_the_other() {
    // Blanks 800 × 700; 800 + 10 + 800 = 1610 do not lie side by side in 1600 − 30 = 1570: one
    // behind the other 3 × 700 + 2 × 10 = 2120, sold as 2200.
    let brief = || {
        on_rolls(
            &json!([{"width": "620", "height": "520", "count": 3}]),
            &json!([{"width": "1.6 m", "price": "7.00"}]),
        )
    };
    let c = bought(brief(), &json!({}));
    let length = &c.lengths[0];
    assert_eq!(
        (length.used.to_mm(), length.buy.value.to_mm()),
        (2120.0, 2200.0)
    );
    // 7.00 × 2.2; by the yard 7.00 × 2200 / 914.4 = 16.8416, up to the hundredth.
    let cost = |c: &ClothPurchase| c.cost.as_ref().unwrap().value;
    assert_eq!(cost(&c), Money::from_hundredths(1540));
    assert_eq!((c.proven, c.gap), (true, Some(Money::ZERO)));
    let yards = bought(brief(), &json!({"cloth_price_per": "yard"}));
    assert_eq!(cost(&yards), Money::from_hundredths(1685));
    // 1 − 3 × 0.8 × 0.7 / (2.2 × 1.6)
    near(c.waste.value.to_ratio(), 1.0 - 1.68 / 3.52);
    // Off the roll first, then both selvedges off.
    let cut = |across, at, from, to| {
        let [at, from, to] = [at, from, to].map(Length::from_mm);
        ClothCut {
            roll: 0,
            across,
            at,
            from,
            to,
        }
    };
    assert_eq!(
        c.cuts[..3],
        [
            cut(true, 2120, 0, 1600),
            cut(false, 15, 0, 2120),
            cut(false, 1585, 0, 2120)
        ]
    );
    // Beside them 1570 − 810 = 760 along the whole; a blank needs 800 across. The 80 mm that whole
    // steps bring are too little to name.
    assert_eq!(c.remnants, [remnant(825, 0, 760, 2120, None)]);
}

#[test]
fn the_cheaper_roll_is_taken_and_without_prices_the_smaller_piece() {
    // Two blanks 600 × 500. On 2 m (1970 usable) side by side: 0.5 m; on 1 m behind one another:
    // 1010, so 1100 mm.
    let with = |wide: Json, narrow: Json| {
        let canvases = json!([{"width": "420", "height": "320", "count": 2}]);
        bought(
            on_rolls(&canvases, &json!([wide, narrow])),
            &json!({"selvedge": "15"}),
        )
    };
    // 0.5 × 8 = 4.00 against 1.1 × 4 = 4.40, and against 1.1 × 3 = 3.30.
    for (narrow_price, row, cost) in [("4", 0, 400), ("3", 1, 330)] {
        let c = with(
            json!({"width": "2 m", "price": "8"}),
            json!({"width": "1 m", "price": narrow_price}),
        );
        assert_eq!((c.lengths.len(), c.lengths[0].row), (1, row));
        assert_eq!(c.cost.unwrap().value, Money::from_hundredths(cost));
        assert!(c.placed.iter().all(|p| p.roll == 0));
    }
    // The wide one costs less a metre than the narrow one.
    let c = with(
        json!({"width": "2 m", "price": "1"}),
        json!({"width": "1 m", "price": "2"}),
    );
    assert_eq!(c.lengths[0].row, 0);
    // Without prices: 0.5 × 2 = 1 m² against 1.1 × 1 = 1.1 m²; and 1.2 m² against 1.1 m² of a roll
    // that is 2.4 m wide, though that takes the shorter length.
    for (wide, row) in [("2 m", 0), ("2.4 m", 1)] {
        let c = with(json!({"width": wide}), json!({"width": "1 m"}));
        assert_eq!((c.lengths.len(), c.lengths[0].row), (1, row), "{wide}");
        assert!(c.cost.is_none() && c.gap.is_none() && c.lengths[0].cost.is_none());
    }
}

#[test]
fn two_short_rolls_take_one_blank_each() {
    // 800 × 700 twice, 750 mm on each roll: 700 mm of each, 0.7 × 6 + 0.7 × 8 = 4.20 + 5.60.
    let c = bought(
        on_rolls(
            &json!([{"width": "620", "height": "520", "count": 2}]),
            &json!([
                {"width": "1.6 m", "price": "6", "available": "750"},
                {"width": "1.5 m", "price": "8", "available": "750"},
            ]),
        ),
        &json!({}),
    );
    let rows: Vec<(usize, Option<Money>)> = c.lengths.iter().map(|l| (l.row, l.cost)).collect();
    let money = |n| Some(Money::from_hundredths(n));
    assert_eq!(rows, [(0, money(420)), (1, money(560))]);
    assert_eq!(c.cost.unwrap().value, Money::from_hundredths(980));
    let mut rolls: Vec<usize> = c.placed.iter().map(|p| p.roll).collect();
    rolls.sort_unstable();
    assert_eq!(rolls, [0, 1]);
    // 2 × 0.56 of 0.7 × 1.6 + 0.7 × 1.5 m²
    near(c.waste.value.to_ratio(), 1.0 - 1.12 / 2.17);
}

#[test]
fn a_remnant_says_for_which_canvas_it_is_enough() {
    let tail = |canvas: [&str; 2], count: u32, roll: &str, settings: Json| {
        let [width, height] = canvas;
        let brief = on_rolls(
            &json!([{"width": width, "height": height, "count": count}]),
            &json!([{"width": roll}]),
        );
        let c = bought(brief, &settings);
        let used = c.lengths[0].used;
        let found = c.remnants.iter().find(|r| r.y == used).cloned();
        (found, c)
    };
    // A blank 800 × 400 takes 400 of a step of 800: what is left is exactly enough; of 799 not.
    for weave in ["height", "free"] {
        for (step, enough_for) in [(800, Some(0)), (799, None)] {
            let settings = json!({"cloth_step": step.to_string(), "weave": weave});
            let (found, _) = tail(["620", "220"], 1, "1.6 m", settings);
            let expected = remnant(15, 400, 1570, step - 400, enough_for);
            assert_eq!(found, Some(expected), "{weave} {step}");
        }
    }
    // 150 mm are named, less is not.
    for (step, named) in [("550", true), ("549", false)] {
        let (found, _) = tail(["620", "220"], 1, "1.6 m", json!({"cloth_step": step}));
        assert_eq!(found.is_some(), named, "{step}");
    }
    // 400 mm between the selvedges: five blanks lie along the roll, 5 × 800 + 4 × gap of 5 m. With
    // 50 mm exactly 800 are left, with 51 mm 796.
    for (canvas, weave) in [(["620", "220"], "free"), (["620", "220"], "width")] {
        for (gap, left, enough_for) in [("50", 800, Some(0)), ("51", 796, None)] {
            let settings = json!({"weave": weave, "cloth_gap": gap, "cloth_step": "1 m"});
            let (found, c) = tail(canvas, 5, "430", settings);
            let expected = remnant(15, 5000 - left, 400, left, enough_for);
            assert_eq!(found, Some(expected), "{weave} {gap}");
            for p in &c.placed {
                let size = (p.across.to_mm(), p.along.to_mm());
                assert_eq!((size, p.turned), ((400.0, 800.0), true), "{weave}");
            }
        }
    }
    // Beside three blanks that take 800 across and 3 × 400 + 20 along, 760 × 1220 are left: enough
    // for one that may lie the other way, so for none whose weave is fixed.
    for (canvas, weave, turned) in [
        (["620", "220"], "height", false),
        (["220", "620"], "width", true),
    ] {
        let (_, c) = tail(canvas, 3, "1.6 m", json!({"weave": weave}));
        assert_eq!(c.remnants, [remnant(825, 0, 760, 1220, None)], "{weave}");
        assert!(c.placed.iter().all(|p| p.turned == turned));
    }
}

#[test]
fn a_remnant_names_the_largest_canvas_it_is_enough_for() {
    // Blanks 1180 × 290 (0.3422 m², twice) and 640 × 540 (0.3456 m²) on 1200 mm: one behind the
    // other 290 + 10 + 290 + 10 + 540 = 1140 of 2 m; 860 × 1200 are enough for either.
    let long = json!({"width": "1000", "height": "110", "count": 2});
    let large = json!({"width": "460", "height": "360"});
    for (canvases, largest) in [(json!([long, large]), 1), (json!([large, long]), 0)] {
        let brief = on_rolls(&canvases, &json!([{"width": "1230"}]));
        let c = bought(brief, &json!({"cloth_step": "1 m"}));
        let tail = c.remnants.iter().find(|r| r.y == Length::from_mm(1140));
        assert_eq!(tail, Some(&remnant(15, 1140, 1200, 860, Some(largest))));
    }
}

#[test]
fn cloth_that_cannot_be_bought_is_said() {
    let said = |rolls: Json, settings: Json| {
        let canvases = json!([{"width": "620", "height": "520", "count": 2}]);
        let mut brief = on_rolls(&canvases, &rolls);
        for (key, value) in settings.as_object().unwrap() {
            brief[key] = value.clone();
        }
        let p = unchecked(brief);
        let said: Vec<String> = p.faults.iter().map(ToString::to_string).collect();
        said
    };
    // 2 × 700 + 10 = 1410 needed.
    assert_eq!(
        said(
            json!([{"width": "1.6 m", "available": "1 m"}]),
            json!({"cloth_step": "10"})
        ),
        ["rolls[0].available: There is not enough cloth on the rolls. 0.41 m more would do."]
    );
    let narrow = json!([{"width": "1.6 m"}, {"width": "200"}]);
    assert_eq!(
        said(narrow.clone(), json!({"selvedge": "100"})),
        [
            "rolls[1].width: The selvedges leave nothing of this roll. Take a wider roll or a smaller selvedge."
        ]
    );
    assert_eq!(said(narrow, json!({"selvedge": "99"})), [""; 0]);
    // All rolls have a price, or none.
    let p = unchecked(on_rolls(
        &json!([{"width": "620", "height": "520"}]),
        &json!([{"width": "1.6 m"}, {"width": "1.7 m", "price": "5"}, {"width": "1.8 m"}]),
    ));
    let at: Vec<(usize, &str)> = p.faults.iter().map(|f| (f.at.row, f.at.key)).collect();
    assert_eq!(at, [(0, "price"), (2, "price")]);
    assert!(p.cloth.is_none());
}

// Staples

fn stapled(width: &str, height: &str, settings: &Json) -> Staples {
    let brief = json!({"bar_face": "30", "canvases": [{"width": width, "height": height}]});
    planned(brief, settings).canvases[0]
        .staples
        .clone()
        .unwrap()
}

#[test]
fn staples_are_no_further_apart_than_asked() {
    // 1000 − 2 × 50 = 900 and 800 − 100 = 700: 18 bays of exactly 50 and 14; of at most 49: 900 /
    // 49 = 18.4, so 19, and 700 / 49 = 14.3, so 15; of at most 51: 17.6 and 13.7.
    for (spacing, top, side) in [("50", 18, 14), ("49", 19, 15), ("51", 18, 14)] {
        let settings = json!({"corner_clearance": "50", "staple_spacing": spacing});
        let s = stapled("1000", "800", &settings);
        let counts = [s.top_bottom.count.value, s.sides.count.value];
        assert_eq!(counts, [top + 1, side + 1], "{spacing}");
        let apart = [&s.top_bottom, &s.sides].map(|s| s.spacing.to_mm());
        near(apart[0], 900.0 / top as f64);
        near(apart[1], 700.0 / side as f64);
        let at = &s.top_bottom.at;
        assert_eq!(
            (at[0], at.last()),
            (Length::from_mm(50), Some(&Length::from_mm(950)))
        );
        near(at[4].to_mm(), 50.0 + 4.0 * 900.0 / top as f64);
        assert_eq!(s.staying.value, 2 * (top + side + 2));
    }
}

#[test]
fn temporary_and_spare_staples_come_on_top() {
    // 19 along the top and 15 up a side (above): 68 stay; three a corner: 12.
    let of = |spare: &str| {
        let settings = json!({"corner_clearance": "50", "staple_spacing": "50",
            "corner_staples": 3, "staple_spare": spare});
        let s = stapled("1000", "800", &settings);
        (s.staying.value, s.temporary.value, s.total.value)
    };
    // 80 × 1.25 is exactly 100; 80 × 1.26 = 100.8 and 80 × 1.3 = 104.
    assert_eq!(of("25"), (68, 12, 100));
    assert_eq!(of("26"), (68, 12, 101));
    assert_eq!(of("30"), (68, 12, 104));
    // Over three canvases: 240 × 1.26 = 302.4, in boxes of 101 exactly three of 303.
    let p = planned(
        json!({"canvases": [{"width": "1000", "height": "800", "count": 3}]}),
        &json!({"corner_clearance": "50", "staple_spacing": "50", "corner_staples": 3,
            "staple_spare": "26", "staples_a_box": 101}),
    );
    let t = p.totals.unwrap();
    assert_eq!((t.staples.value, t.staple_boxes.value), (303, 3));
}

#[test]
fn a_short_side_has_one_or_two_staples_in_its_middle() {
    // 300 − 2 × 150 leaves nothing: one at 150. 301: two, 1 mm apart.
    let settings = json!({"corner_clearance": "150", "corner_staples": 0});
    let s = stapled("300", "301", &settings);
    assert_eq!(s.top_bottom.at, [Length::from_mm(150)]);
    assert_eq!(
        (s.top_bottom.count.value, s.top_bottom.spacing),
        (1, Length::ZERO)
    );
    assert_eq!(s.sides.at, [150, 151].map(Length::from_mm));
    assert_eq!((s.sides.count.value, s.sides.spacing), (2, Length::MM));
    // The longer sides first; no staple is left for the corners.
    let seen: Vec<(StapleWork, Edge, usize)> = (s.order.iter())
        .map(|s| (s.work, s.places[0].edge, s.places.len()))
        .collect();
    let middle = |edge, n| (StapleWork::Middle, edge, n);
    assert_eq!(
        seen,
        [
            middle(Edge::Left, 2),
            middle(Edge::Right, 2),
            middle(Edge::Top, 1),
            middle(Edge::Bottom, 1)
        ]
    );
}

#[test]
fn the_order_of_stapling_goes_outward_by_three_inches() {
    use Edge::{Bottom, Left, Right, Top};
    use StapleWork::{Corner, HoldCorners, Middle, Outward};
    // Staples 38.1 mm (1 1/2 in) apart, 50 mm clear of the corners. 404.8 wide: 9, the middle at
    // 202.4, the others 38.1 and 76.2 (the first three inches), 114.3 (the next) and 152.4 (the
    // corners) from it. 328.6 high: 7, the middle at 164.3; 114.3 is the corner's.
    let settings = json!({"corner_clearance": "50", "staple_spacing": "38.1", "corner_staples": 2});
    let seen = |width: &str, height: &str| {
        let s = stapled(width, height, &settings);
        let steps: Vec<(StapleWork, Vec<(Edge, f64)>)> = (s.order.iter())
            .map(|s| {
                let places = s.places.iter().map(|p| (p.edge, p.at.to_mm())).collect();
                (s.work, places)
            })
            .collect();
        steps
    };
    let on = |work, edge, at: &[f64]| (work, at.iter().map(|at| (edge, *at)).collect::<Vec<_>>());
    // Nearest first, left (lower) before right (upper).
    let (level, upright) = ([164.3, 240.5, 126.2, 278.6], [126.2, 202.4, 88.1, 240.5]);
    let expected = [
        on(Middle, Top, &[202.4]),
        on(Middle, Bottom, &[202.4]),
        on(Middle, Left, &[164.3]),
        on(Middle, Right, &[164.3]),
        // Two a corner, diagonally across.
        (
            HoldCorners,
            vec![
                (Top, 0.0),
                (Top, 0.0),
                (Bottom, 404.8),
                (Bottom, 404.8),
                (Top, 404.8),
                (Top, 404.8),
                (Bottom, 0.0),
                (Bottom, 0.0),
            ],
        ),
        on(Outward, Top, &level),
        on(Outward, Bottom, &level),
        on(Outward, Left, &upright),
        on(Outward, Right, &upright),
        on(Outward, Top, &[88.1, 316.7]),
        on(Outward, Bottom, &[88.1, 316.7]),
        // Upright sides are measured from the lower corner: the top ends at 278.6.
        (Corner, vec![(Top, 50.0), (Left, 278.6)]),
        (Corner, vec![(Bottom, 354.8), (Right, 50.0)]),
        (Corner, vec![(Top, 354.8), (Right, 278.6)]),
        (Corner, vec![(Bottom, 50.0), (Left, 50.0)]),
    ];
    assert_eq!(seen("404.8", "328.6"), expected);
    // A square begins at the top. 442.9: ten staples, two of them in the middle, 221.45 ± 19.05;
    // 38.1 and 76.2 beyond these is the first reach, 114.3 the second.
    let square = seen("442.9", "442.9");
    assert_eq!(square[0], on(Middle, Top, &[202.4, 240.5]));
    assert_eq!(square[5], on(Outward, Top, &[164.3, 278.6, 126.2, 316.7]));
    assert_eq!(square[9], on(Outward, Top, &[88.1, 354.8]));
    assert_eq!(seen("328.6", "404.8")[0], on(Middle, Left, &[202.4]));
}

#[test]
fn stapling_has_words() {
    let words = [
        StapleWork::Middle,
        StapleWork::HoldCorners,
        StapleWork::Outward,
        StapleWork::Corner,
    ]
    .map(StapleWork::words);
    let parts = ["middle", "temporary", "further", "fold the cloth"];
    for (words, part) in words.iter().zip(parts) {
        assert!(words.contains(part), "{words}");
    }
    let names = [Edge::Top, Edge::Bottom, Edge::Left, Edge::Right].map(Edge::name);
    assert_eq!(names, ["top", "bottom", "left side", "right side"]);
}

// Size

/// Three canvases of 1000 × 800 without a bead, 20 mm deep: 3 × (0.8 + 2 × 1.8 × 0.02) = 2.616 m².
fn three(settings: &Json) -> Plan {
    let brief = json!({
        "bead": "bevel", "cloth_mass": "300 g/m²", "size_waste": "25 %", "ratio": "20",
        "glue_bulk": "0.5", "size_coats": 3, "size_spread": "80 ml/m²", "jar": "250 ml",
        "acclimatise": "0 d", "ground": "none",
        "canvases": [{"width": "1000", "height": "800", "count": 3}],
    });
    planned(brief, settings)
}

#[test]
fn parts_by_weight_and_by_volume() {
    // 10 × 0.998207 / 0.5
    near(by_weight(10.0, Density::from_g_per_ml(0.5)), 19.964_14);
    // Half to twice the spread, in proportion to 400 g/m².
    for (cloth, share) in [
        (100.0, 0.5),
        (200.0, 0.5),
        (300.0, 0.75),
        (600.0, 1.5),
        (900.0, 2.0),
    ] {
        near(first_coat_share(ArealMass::from_g_per_m2(cloth)), share);
    }
    // 13.1 g/m² of 1.31 g/ml: 0.01 mm; × 27 MPa = 270 N/m.
    near(
        film_thickness(ArealMass::from_g_per_m2(13.1)).to_mm(),
        0.010,
    );
    near(tightening(Distance::from_mm(0.02)).to_n_per_m(), 540.0);
    assert_eq!(
        [16.999, 17.0, 42.0, 42.001].map(standing),
        [
            Standing::Stronger,
            Standing::Within,
            Standing::Within,
            Standing::Weaker
        ]
    );
}

#[test]
fn size_for_three_coats() {
    let p = three(&json!({}));
    let s = p.size.as_ref().unwrap();
    near(s.area.value.to_m2(), 2.616);
    // 2.616 × 80 × (0.75 + 1 + 1) × 1.25
    near(s.volume.value.to_ml(), 719.4);
    // A gram a millilitre, one part in 21; the rest is water of 0.998207 g/ml.
    let glue = 719.4 / 21.0;
    near(s.glue.value.to_grams(), glue);
    near(s.water.value.to_ml(), (719.4 - glue) / 0.998_207);
    near(s.glue_poured.value.to_ml(), glue * 2.0);
    near(s.strength.value.to_ratio(), 1.0 / 21.0);
    near(s.by_weight.value, 20.0);
    near(s.by_volume.value, 20.0 / 1.996_414);
    // What stays on the cloth: 80 × 2.75 / 21 g/m²; g/m² over g/ml is µm; 27 MPa × µm is N/m.
    let film = 220.0 / 21.0;
    near(s.film.value.to_g_per_m2(), film);
    near(s.film_thickness.value.to_mm(), film / 1310.0);
    near(s.tightening.value.to_n_per_m(), 27.0 * film / 1.31);
    // Warmed again twice, from the first coat to the third.
    assert_eq!((s.reheats.value, s.kept_days.value), (2, 2.0));
    let once = three(&json!({"size_coats": 1, "size_dry": "3 d"}));
    let once = once.size.as_ref().unwrap();
    assert_eq!((once.reheats.value, once.kept_days.value), (0, 0.0));
    let slow = three(&json!({"size_dry": "3 d"}));
    assert_eq!(slow.size.as_ref().unwrap().kept_days.value, 6.0);

    // 12 × 0.998207 / 0.5 = 23.956968 parts by weight.
    let p = three(&json!({"ratio": "12", "ratio_by": "volume"}));
    let s = p.size.as_ref().unwrap();
    near(s.by_volume.value, 12.0);
    near(s.by_weight.value, 23.956_968);
    near(s.glue.value.to_grams(), 719.4 / 24.956_968);
}

#[test]
fn size_is_split_evenly_over_jars_and_batches() {
    // 250 ml jars hold 200: 719.4 ml fill 4. With 3 at hand two batches of two; with 60 ml jars
    // (48 ml) 15 are filled: with 4 at hand 4 batches of 4, with 7 three of 5.
    for (jar, hand, jars, in_use, batches) in [
        ("250 ml", None, 4, 4, 1),
        ("250 ml", Some(3), 4, 2, 2),
        ("250 ml", Some(9), 4, 4, 1),
        ("60 ml", Some(4), 15, 4, 4),
        ("60 ml", Some(7), 15, 5, 3),
    ] {
        let mut settings = json!({"jar": jar});
        if let Some(n) = hand {
            settings["jars_at_hand"] = json!(n);
        }
        let p = three(&settings);
        let s = p.size.as_ref().unwrap();
        let seen = (s.jars.value, s.split.jars.value, s.split.batches.value);
        assert_eq!(seen, (jars, in_use, batches), "{jar} {hand:?}");
        let fills = (in_use * batches) as f64;
        let glue = 719.4 / 21.0;
        near(s.split.liquid.value.to_ml(), 719.4 / fills);
        near(s.split.glue.value.to_grams(), glue / fills);
        near(s.split.glue_poured.value.to_ml(), glue * 2.0 / fills);
        near(
            s.split.water.value.to_ml(),
            (719.4 - glue) / 0.998_207 / fills,
        );
    }
    // One coat of 125 ml/m² on usual cloth, nothing wasted: 327 ml. Jars of 136.25 ml hold exactly a
    // third.
    for (jar, jars) in [("136.25 ml", 3), ("136.2 ml", 4), ("136.3 ml", 3)] {
        let p = three(
            &json!({"size_coats": 1, "size_spread": "125 ml/m²", "size_waste": "0",
            "cloth_mass": "400 g/m²", "jar": jar}),
        );
        assert_eq!(p.size.as_ref().unwrap().jars.value, jars, "{jar}");
    }
}

#[test]
fn ready_size_leaves_a_fifth() {
    // 2.616 × 160 × (0.75 + 1) × 1.25 = 915.6 ml; on the cloth 160 × 1.75 × 0.2 g/m², waste or not.
    for (waste, ml) in [("25 %", 915.6), ("0", 732.48)] {
        for (kind, name) in [("pva", "PVA size"), ("acrylic", "acrylic size")] {
            let p = three(
                &json!({"size_kind": kind, "ready_spread": "160 ml/m²", "size_coats": 2, "size_waste": waste}),
            );
            let ready = p.ready_size.as_ref().unwrap();
            near(ready.volume.value.to_ml(), ml);
            near(ready.film.value.to_g_per_m2(), 56.0);
            assert_eq!(ready.name, name);
            assert!(p.size.is_none());
        }
    }
    assert!(three(&json!({})).ready_size.is_none());
}

// Ground

#[test]
fn ground_and_what_it_leaves() {
    let of = |settings: Json| {
        let mut all = json!({"ground_coats": 3, "ground_spread": "110 ml/m²"});
        for (key, value) in settings.as_object().unwrap() {
            all[key] = value.clone();
        }
        three(&all)
    };
    // 2.616 × 110 × 3 × 1.25 = 1079.1 ml; dry 110 × 3 × 0.74 or × 1.8 g/m².
    for (kind, dry) in [("acrylic", 244.2), ("oil", 594.0)] {
        let p = of(json!({"ground": kind}));
        let g = p.ground.as_ref().unwrap();
        near(g.volume.value.to_ml(), 1079.1);
        near(g.dry.value.to_g_per_m2(), dry);
        assert!(g.chalk.is_none());
    }
    assert!(of(json!({"ground": "none"})).ground.is_none());
    // 1.5 parts of chalk: of a millilitre of size and 1.5 / 2.7 of chalk, 14/9 ml in all.
    let p = of(json!({"ground": "chalk", "chalk_parts": "1.5"}));
    let g = p.ground.as_ref().unwrap();
    let c = g.chalk.as_ref().unwrap();
    let size = 1079.1 * 9.0 / 14.0;
    near(c.size.value.to_ml(), size);
    near(c.chalk.value.to_grams(), size * 1.5);
    near(c.chalk_poured.value.to_ml(), size * 1.5 / 0.9);
    near(c.by_volume.value, 5.0 / 3.0);
    // Dry: 1.5 g of chalk and 1/21 g of glue in each 14/9 ml.
    near(
        g.dry.value.to_g_per_m2(),
        330.0 * (1.5 + 1.0 / 21.0) * 9.0 / 14.0,
    );
    // One batch of size for the coats and the ground.
    let s = p.size.as_ref().unwrap();
    near(s.volume.value.to_ml(), 719.4 + size);
    near(s.film.value.to_g_per_m2(), 220.0 / 21.0);
    // 700 ml with half a part: 700 / (1 + 0.5 / 2.7) = 700 × 2.7 / 3.2 ml and half as many grams.
    let (ml, grams) = chalk_ground(Volume::from_ml(700.0), 0.5);
    near(ml.to_ml(), 590.625);
    near(grams.to_grams(), 295.312_5);
}
