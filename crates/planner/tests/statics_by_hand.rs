//! Statics by hand: fastenings, wood, checks, places on the frame, the largest frames.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

mod briefs;

use briefs::{draft, with};
use planner::bracing::joints::{JointForce, pin_lateral, screw_lateral, screw_withdrawal};
use planner::bracing::loads::film_stress;
use planner::bracing::{self, Check, CheckKind, Least, Statics, bowed, largest, other_sections};
use planner::figure::{Figure, Value};
use planner::frame::Part;
use planner::{Plan, plan};
use quantity::physics::{Distance, Ratio};
use serde_json::{Value as Json, json};

fn planned(brief: &Json) -> Plan {
    plan(&draft(brief))
}

/// A plan of one canvas with these settings; what is said of the canvas itself comes last.
fn canvas(w: u32, h: u32, settings: &Json, said: &Json) -> Plan {
    let mut brief = settings.clone();
    brief["canvases"] = json!([said.clone()]);
    brief["canvases"][0]["width"] = json!(w);
    brief["canvases"][0]["height"] = json!(h);
    planned(&brief)
}

/// 45 × 18 mm, E 11000 MPa as measured, no bead, no size: EI = 11e9 × 0.018 × 0.045³ / 12 =
/// 1503.5625 N·m². 200 N/m, and 1.6 times that with creep: 320 N/m.
fn slender() -> Json {
    json!({
        "bar_face": "45 mm", "bar_depth": "18 mm", "modulus": "11000 MPa", "bead": "none",
        "size_counts": "left_out", "tension": "200 N/m",
    })
}

/// 50 × 25 mm, E 8000 MPa: EI = 8e9 × 0.025 × 0.05³ / 12 = 2083.333 N·m², EA = 8e9 × 0.00125 =
/// 1e7 N.
fn stout() -> Json {
    with(
        &slender(),
        &json!({"bar_face": "50 mm", "bar_depth": "25 mm", "modulus": "8000 MPa"}),
    )
}

fn bare() -> Json {
    json!({"upright_bars": 0, "level_bars": 0, "braces": "no"})
}

fn statics(plan: &Plan) -> &Statics {
    plan.canvases[0].bracing.statics.as_ref().unwrap()
}

fn check(plan: &Plan, kind: CheckKind, part: Option<Part>) -> &Check {
    let mut all = statics(plan).checks.iter();
    all.find(|c| c.kind == kind && c.part == part).unwrap()
}

fn joint<'a>(plan: &'a Plan, fastener: &str) -> Option<&'a JointForce> {
    let mut all = statics(plan).joints.iter();
    all.find(|j| j.fastener == fastener)
}

fn holds(plan: &Plan, fastener: &str) -> f64 {
    let joint = joint(plan, fastener).unwrap();
    joint.holds.as_ref().unwrap().value.to_newtons()
}

fn input<'a, T>(figure: &'a Figure<T>, name: &str) -> &'a Value {
    let mut inputs = figure.how.inputs.iter();
    &inputs.find(|i| i.name == name).unwrap().value
}

#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{found}, expected {expected}"
    );
}

// Fastenings.

#[test]
fn strengths_of_screws_and_pins_by_the_handbooks_formulas() {
    let mm = Distance::from_mm;
    // 108.25 G² D L: 108.25 × 0.16 × 3 × 20 and 108.25 × 0.25 × 4 × 30.
    for (gravity, d, l, newtons) in [(0.4, 3.0, 20.0, 1039.2), (0.5, 4.0, 30.0, 3247.5)] {
        near(
            screw_withdrawal(gravity, mm(d), mm(l)).to_newtons(),
            newtons,
            1e-9,
        );
    }
    // 23.30 D²: 23.30 × 9 and × 16.
    for (d, newtons) in [(3.0, 209.7), (4.0, 372.8)] {
        near(screw_lateral(mm(d)).to_newtons(), newtons, 1e-9);
    }
    // 50.04 D^1.5: 50.04 × 8 at 4 mm, × 2.0239 at 1.6 mm.
    for (d, newtons) in [(4.0, 400.32), (1.6, 101.274)] {
        near(pin_lateral(mm(d)).to_newtons(), newtons, 1e-5);
    }
}

#[test]
fn the_forces_in_a_long_frames_mitre() {
    // Middle lines 1.5 × 0.8 m under 320 N/m: thrusts 320 × 0.4 = 128 N in the top bar and
    // 320 × 0.75 = 240 N in the side. Slip (240 − 128) √½ = 79.20 N, pressed by (240 + 128) √½ =
    // 260.22 N. Rigid, a frame of one section has p (W³ + H³) / 12 (W + H) = 320 × 3.887 / 27.6 =
    // 45.067 N·m in its corners; the mitre is 45√2 = 63.640 mm long.
    let plan = canvas(1545, 845, &slender(), &bare());
    let moment = 320.0 * (1.5_f64.powi(3) + 0.8_f64.powi(3)) / (12.0 * 2.3);
    let opens = 2.0 * moment / 0.063_640 - 368.0 * FRAC_1_SQRT_2;
    near(opens, 1156.1, 1e-3);
    for (fastener, newtons) in [
        ("heel screw, sideways", 112.0 * FRAC_1_SQRT_2),
        ("two panel pins, sideways", 112.0 * FRAC_1_SQRT_2),
        ("heel screw, pulled out", opens),
        ("panel pins, pulled out", opens),
    ] {
        let force = joint(&plan, fastener).unwrap().force.value.to_newtons();
        near(force, newtons, 0.002);
    }
    let slip = joint(&plan, "heel screw, sideways").unwrap();
    near(
        input(&slip.force, "in the top bar").in_files().0,
        128.0,
        1e-6,
    );
    near(
        input(&slip.force, "in the side bar").in_files().0,
        240.0,
        1e-6,
    );
    // A small frame's corner is pressed harder than it is bent: 0.255 m square, p W² / 12 a corner,
    // 2 p W² / (12 × 0.06364) = 0.170 p against p W √½ = 0.180 p.
    let small = canvas(300, 300, &slender(), &bare());
    let pulled = joint(&small, "heel screw, pulled out").unwrap();
    assert_eq!(pulled.force.value.to_newtons(), 0.0);
}

#[test]
fn what_screws_and_pins_are_trusted_with() {
    // C16, which stands for the unknown softwood: 370 kg/m³ at 12 %: G = 0.37 / 1.12 = 0.33036.
    // Ultimate values over 5; in end grain two thirds sideways and three quarters pulled.
    let gravity: f64 = 0.37 / 1.12;
    let said = json!({"screw_diameter": "4 mm", "screw_length": "60 mm", "pin_diameter": "2 mm"});
    let plan = canvas(1545, 845, &with(&slender(), &said), &bare());
    // 23.30 × 16 × 2/3 / 5 = 49.707 N
    near(holds(&plan, "heel screw, sideways"), 49.7067, 1e-5);
    // 50.04 × 2.82843 × 2 × 2/3 / 5 = 37.742 N
    near(holds(&plan, "two panel pins, sideways"), 37.7424, 1e-4);
    // Square to the edge 22.5 mm of it are before the mitre: 60 − 22.5 = 37.5 mm hold.
    let pulled = |thread: f64| 108.25 * gravity * gravity * 4.0 * thread * 0.75 / 5.0;
    near(holds(&plan, "heel screw, pulled out"), pulled(37.5), 1e-9);
    // Square to the mitre half of 45√2, 31.82 mm, are before it.
    let way = json!({"screw_way": "square_to_mitre"});
    let plan = canvas(1545, 845, &with(&with(&slender(), &said), &way), &bare());
    near(
        holds(&plan, "heel screw, pulled out"),
        pulled(60.0 - 22.5 * SQRT_2),
        1e-6,
    );
    // A screw of 20 mm does not reach past the mitre.
    let short = with(&slender(), &json!({"screw_length": "20 mm"}));
    let plan = canvas(1545, 845, &short, &bare());
    assert_eq!(holds(&plan, "heel screw, pulled out"), 0.0);
    // Sitka spruce, G = 0.40 (Wood Handbook, table 5-3).
    let sitka = with(&slender(), &json!({"species": "sitka"}));
    let plan = canvas(1545, 845, &sitka, &bare());
    near(
        holds(&plan, "heel screw, pulled out"),
        108.25 * 0.16 * 3.0 * (50.0 - 22.5) * 0.75 / 5.0,
        1e-9,
    );
}

#[test]
fn the_fixings_are_those_of_the_corner_that_is_made() {
    let has = |settings: &Json| {
        let plan = canvas(1545, 845, &with(&slender(), settings), &bare());
        [
            "heel screw, sideways",
            "heel screw, pulled out",
            "two panel pins, sideways",
            "panel pins, pulled out",
        ]
        .map(|fastener| joint(&plan, fastener).is_some())
    };
    assert_eq!(has(&json!({})), [true; 4]);
    assert_eq!(has(&json!({"screws": "no"})), [false, false, true, true]);
    assert_eq!(has(&json!({"corner": "square_lap"})), [false; 4]);
}

#[test]
fn the_end_of_a_cross_bar_is_prised_by_the_cloths_arm() {
    // The arm without a bead is half the depth, 9 mm, the lever half a face, 22.5 mm: 0.4 of the
    // thrust. Alone, an upright takes 1 to 1.25 times the pull of a bay (two free spans, or one
    // beam over both): 320 × 0.75 = 240 N.
    let crossed =
        |up: u32, level: u32| json!({"upright_bars": up, "level_bars": level, "braces": "no"});
    let plan = canvas(1545, 845, &slender(), &crossed(1, 0));
    let thrust = statics(&plan).crossings[0].compression.value.to_newtons();
    assert!((240.0..300.0).contains(&thrust), "{thrust}");
    let prised = joint(&plan, "lap screw, pulled out").unwrap();
    near(prised.force.value.to_newtons(), 0.4 * thrust, 1e-9);
    // Half of 18 mm hold: 108.25 G² × 3 × 9 / 5.
    let gravity: f64 = 0.37 / 1.12;
    let expected = |thread: f64| 108.25 * gravity * gravity * 3.0 * thread / 5.0;
    near(holds(&plan, "lap screw, pulled out"), expected(9.0), 1e-9);
    // A screw of 12 mm ends 3 mm past the lap.
    let short = with(&slender(), &json!({"screw_length": "12 mm"}));
    let plan = canvas(1545, 845, &short, &crossed(1, 0));
    near(holds(&plan, "lap screw, pulled out"), expected(3.0), 1e-9);
    // Of two that cross, the harder pressed one counts.
    for (w, h) in [(1545, 845), (845, 1545)] {
        let plan = canvas(w, h, &slender(), &crossed(1, 1));
        let thrusts = statics(&plan).crossings.iter();
        let most = thrusts.map(|c| c.compression.value.to_newtons());
        let most = most.fold(0.0, f64::max);
        let prised = joint(&plan, "lap screw, pulled out").unwrap();
        near(prised.force.value.to_newtons(), 0.4 * most, 1e-9);
    }
    // Nothing to prise without cross bars, no screw to hold without screws.
    let plan = canvas(1545, 845, &slender(), &bare());
    assert!(joint(&plan, "lap screw, pulled out").is_none());
    let plan = canvas(
        1545,
        845,
        &with(&slender(), &json!({"screws": "no"})),
        &crossed(1, 0),
    );
    assert!(joint(&plan, "lap screw, pulled out").is_none());
}

#[test]
fn a_braces_screw_takes_its_thrust_at_45_degrees() {
    let braced = json!({"upright_bars": 0, "level_bars": 0, "braces": "yes"});
    let plan = canvas(1545, 845, &slender(), &braced);
    let slip = joint(&plan, "screw, sideways").unwrap();
    let thrust = input(&slip.force, "thrust in the brace").in_files().0;
    assert!(thrust > 0.0);
    near(slip.force.value.to_newtons(), thrust * FRAC_1_SQRT_2, 1e-9);
    // 23.30 × 9 × 2/3 / 5 = 27.96 N
    near(holds(&plan, "screw, sideways"), 27.96, 1e-9);
    let none = canvas(
        1545,
        845,
        &with(&slender(), &json!({"screws": "no"})),
        &braced,
    );
    assert!(joint(&none, "screw, sideways").is_none());
}

// Wood and loads.

#[test]
fn stiffness_of_the_wood_by_class_kind_and_moisture() {
    // Above 18 % and below 8 % of moisture the correction ends: / 1.06 and / 0.96. At 95 % of
    // humidity wood comes to some 24 %, at 20 % to 4.5 % (Wood Handbook, table 4-2).
    for (said, humidity, [mean, lower], gravity) in [
        // Nothing known: C16, 8000 and 5400 MPa, 370 kg/m³ at 12 % (EN 338, table 1).
        (
            json!({}),
            "95 %",
            [8000.0 / 1.06, 5400.0 / 1.06],
            0.37 / 1.12,
        ),
        (
            json!({"grade": "c14"}),
            "20 %",
            [7000.0 / 0.96, 4700.0 / 0.96],
            0.35 / 1.12,
        ),
        (
            json!({"grade": "c18"}),
            "95 %",
            [9000.0 / 1.06, 6000.0 / 1.06],
            0.38 / 1.12,
        ),
        // A class goes before the kind.
        (
            json!({"grade": "c24", "species": "sitka"}),
            "95 %",
            [11_000.0 / 1.06, 7400.0 / 1.06],
            0.42 / 1.12,
        ),
        // 1.645 × 22 % below the mean: 0.6381 of it.
        (
            json!({"species": "sitka"}),
            "95 %",
            [9900.0 / 1.06, 9900.0 * 0.6381 / 1.06],
            0.40,
        ),
        (
            json!({"species": "redcedar"}),
            "20 %",
            [7650.0 / 0.96, 7650.0 * 0.6381 / 0.96],
            0.32,
        ),
        // A measured one is what it is.
        (
            json!({"modulus": "9.3 GPa", "species": "hemlock"}),
            "95 %",
            [9300.0, 9300.0],
            0.45,
        ),
    ] {
        for softest in [false, true] {
            let mut brief = with(&said, &json!({"summer_humidity": humidity}));
            if softest {
                brief["stiffness"] = json!("lower");
            }
            let plan = canvas(600, 500, &brief, &json!({}));
            let wood = &plan.basis.batten;
            near(wood.mean.value.to_mpa(), mean, 1e-9);
            near(wood.lower.value.to_mpa(), lower, 1e-9);
            let counts = if softest { lower } else { mean };
            near(wood.modulus.value.to_mpa(), counts, 1e-9);
            near(wood.shear.value.to_mpa(), counts / 16.0, 1e-9);
            near(wood.specific_gravity, gravity, 1e-9);
        }
    }
    // Between the ends the correction is even: 1 % for each 1 %.
    let plan = canvas(600, 500, &json!({"summer_humidity": "75 %"}), &json!({}));
    let wood = &plan.basis.batten;
    // Wood Handbook, table 4-2: 70 °F and 75 %: 14.4 %.
    let moisture = wood.moisture.value.to_percent();
    near(moisture, 14.4, 0.01);
    near(
        wood.mean.value.to_mpa(),
        8000.0 / (1.0 + 0.01 * (moisture - 12.0)),
        1e-9,
    );
}

#[test]
fn a_glue_film_pulls_more_the_drier_it_is() {
    // Nothing from 80 % upwards, 27 MPa at 20 % and below, even in between.
    for (humidity, mpa) in [
        (90.0, 0.0),
        (80.0, 0.0),
        (77.0, 1.35),
        (50.0, 13.5),
        (35.0, 20.25),
        (20.0, 27.0),
        (10.0, 27.0),
    ] {
        let stress = film_stress(Ratio::from_percent(humidity)).to_mpa();
        assert!((stress - mpa).abs() < 1e-9, "{humidity}: {stress}");
    }
}

#[test]
fn the_cloth_pulls_in_front_of_the_bars_middle() {
    // Half the depth and the bead's height.
    for (said, mm) in [
        (json!({"bar_depth": "24 mm", "bead": "none"}), 12.0),
        (
            json!({"bar_depth": "24 mm", "bead": "quarter_round", "bead_size": "15 mm"}),
            27.0,
        ),
    ] {
        let plan = canvas(600, 500, &said, &json!({}));
        near(plan.basis.arm.value.to_mm(), mm, 1e-9);
    }
}

// The frame under its cloth.

/// Middle lines 1.2 × 0.8 m in 50 × 25 mm.
fn oblong(said: &Json) -> Plan {
    canvas(1250, 850, &stout(), said)
}

#[test]
fn the_bowed_frame_has_its_points_where_they_belong() {
    // Hinged: 5 p L⁴ / 384 EI, and each corner comes in by the give of the bar along it, p W H / 4EA
    // = 320 × 0.96 / 4e7 = 0.00768 mm. 384 EI = 8e5.
    let give = 320.0 * 1.2 * 0.8 / 4e7;
    let by = |l: f64| 5.0 * 320.0 * l.powi(4) / 8e5;
    // Rigid: the corners' moment p (W³ + H³) / 12 (W + H) takes M L² / 8EI off.
    let moment = 320.0 * (1.728 + 0.512) / 24.0;
    let off = |l: f64| moment * l * l / (8.0 * 2083.333333);
    let plan = oblong(&bare());
    let [hinged, rigid] = bowed(&plan, 0).unwrap();
    near(hinged.farthest.to_mm(), 4.154_88, 1e-6);
    let both = [
        (&hinged, [by(1.2) + give, by(0.8) + give]),
        (
            &rigid,
            [by(1.2) + give - off(1.2), by(0.8) + give - off(0.8)],
        ),
    ];
    for (frame, [top, side]) in both {
        // Four bars, each of 2 × 6 stretches: 13 points, the middle one the seventh.
        assert_eq!(frame.members.len(), 4);
        for member in &frame.members {
            assert_eq!(member.points.len(), 13);
        }
        let [bottom, upper, left, right] = [0, 1, 2, 3].map(|i| &frame.members[i].points);
        // In mm: place before, and how far it moves inward in its middle.
        for (points, first, middle, last, inward) in [
            (
                bottom,
                [25.0, 25.0],
                [625.0, 25.0],
                [1225.0, 25.0],
                [0.0, top],
            ),
            (
                upper,
                [25.0, 825.0],
                [625.0, 825.0],
                [1225.0, 825.0],
                [0.0, -top],
            ),
            (
                left,
                [25.0, 25.0],
                [25.0, 425.0],
                [25.0, 825.0],
                [side, 0.0],
            ),
            (
                right,
                [1225.0, 25.0],
                [1225.0, 425.0],
                [1225.0, 825.0],
                [-side, 0.0],
            ),
        ] {
            for (i, [x, y]) in [(0, first), (6, middle), (12, last)] {
                let place = [points[i].x.to_mm(), points[i].y.to_mm()];
                assert!((place[0] - x).abs() < 1e-9, "{place:?}, {x}, {y}");
                assert!((place[1] - y).abs() < 1e-9, "{place:?}, {x}, {y}");
            }
            let moved = [points[6].right.to_m(), points[6].up.to_m()];
            for (found, expected) in moved.into_iter().zip(inward) {
                // The corner's moment is reckoned without the give, some 0.2 %.
                assert!((found - expected).abs() < 1e-5, "{moved:?}, {inward:?}");
            }
        }
        // A third of the way from the corner to the middle lies the third point: 25 + 400 / 3.
        near(left[2].y.to_mm(), 25.0 + 400.0 / 3.0, 1e-9);
    }
}

#[test]
fn cross_bars_are_drawn_where_they_divide_the_side() {
    // 1250 / 3 = 416.67 mm; the one level bar on the middle line, 425 mm, once.
    let plan = oblong(&json!({"upright_bars": 2, "level_bars": 1, "braces": "no"}));
    for frame in &bowed(&plan, 0).unwrap() {
        let of = |part: Part| {
            let members = frame.members.iter().filter(move |m| m.part == part);
            members.map(|m| m.points[0]).collect::<Vec<_>>()
        };
        let uprights = of(Part::Upright);
        assert_eq!(uprights.len(), 2);
        near(uprights[0].x.to_mm(), 1250.0 / 3.0, 1e-9);
        near(uprights[1].x.to_mm(), 2500.0 / 3.0, 1e-9);
        let [level] = of(Part::Level)[..] else {
            panic!("one level bar");
        };
        near(level.y.to_mm(), 425.0, 1e-9);
        near(level.x.to_mm(), 25.0, 1e-9);
    }
}

#[test]
fn every_check_is_shown_where_it_is_found() {
    let plan = oblong(&json!({"upright_bars": 1, "level_bars": 0, "braces": "no"}));
    // From the outer lower left corner; the middle lines lie 25 mm inside it.
    for (kind, part, [x, y]) in [
        (CheckKind::OutOfPlane, Some(Part::TopBottom), [625.0, 25.0]),
        (CheckKind::OutOfPlane, Some(Part::Side), [25.0, 425.0]),
        (CheckKind::OutOfPlane, Some(Part::Upright), [625.0, 425.0]),
        (CheckKind::Bow, Some(Part::Side), [25.0, 425.0]),
        (CheckKind::Twist, Some(Part::Side), [25.0, 425.0]),
        (CheckKind::Racking, None, [25.0, 825.0]),
        // It folds where it bows most, by M L / 8EI: p × 0.4 × 1.2 = 0.48 p for the top bar, lapped
        // in its middle, which makes it 1 + 7 × 2 × 50 / 1200 = 1.58 times softer; p × 0.625 × 0.8 =
        // 0.5 p for the upright, which has no laps.
        (CheckKind::Buckling, None, [625.0, 25.0]),
    ] {
        let at = check(&plan, kind, part).at.unwrap();
        near(at.x.to_mm(), x, 1e-9);
        near(at.y.to_mm(), y, 1e-9);
    }
    // Half a bay of 1250 / 2 along the bar: 312.5 + 25.
    let at = check(&plan, CheckKind::Twist, Some(Part::TopBottom)).at;
    near(at.unwrap().x.to_mm(), 337.5, 1e-9);
}

#[test]
fn bow_and_its_limit_by_hand() {
    // As drawn above: 4.15488 and 0.82688 mm of 1200 / 500 = 2.4 and 800 / 500 = 1.6 mm.
    let plan = oblong(&bare());
    for (part, found, limit) in [
        (Part::TopBottom, 4.154_88, 2.4),
        (Part::Side, 0.826_88, 1.6),
    ] {
        let bow = check(&plan, CheckKind::Bow, Some(part));
        near(bow.found.value.in_files().0, found, 1e-5);
        near(bow.limit.value.in_files().0, limit, 1e-9);
        near(bow.used.value.to_ratio(), found / limit, 1e-5);
        near(
            bow.margin.value.to_ratio(),
            (1.0 - found / limit).abs(),
            1e-4,
        );
        assert_eq!(bow.passes(), part == Part::Side);
        // No size: stretched for good is the hardest case.
        assert_eq!(bow.stretched.value, bow.found.value);
    }
    // Limits are the maker's.
    let said = json!({"bow_limit": "300", "flat_limit": "150", "twist_limit": "2 °",
        "buckling_safety": "4", "racking_force": "7 N"});
    let plan = canvas(1250, 850, &with(&stout(), &said), &bare());
    for (kind, part, limit) in [
        (CheckKind::Bow, Some(Part::TopBottom), 4.0),
        (CheckKind::OutOfPlane, Some(Part::TopBottom), 8.0),
        (CheckKind::OutOfPlane, Some(Part::Side), 800.0 / 150.0),
        (CheckKind::Twist, Some(Part::Side), 2.0),
        (CheckKind::Buckling, None, 4.0),
        (CheckKind::Racking, None, 7.0),
    ] {
        near(
            check(&plan, kind, part).limit.value.in_files().0,
            limit,
            1e-9,
        );
    }
    // 7 N of what it resists; not asked, nothing of the limit is used.
    let racking = check(&plan, CheckKind::Racking, None);
    let resists = racking.found.value.in_files().0;
    near(racking.used.value.to_ratio(), 7.0 / resists, 1e-9);
    let free = with(&stout(), &json!({"racking_force": "0 N"}));
    let plan = canvas(1250, 850, &free, &bare());
    let racking = check(&plan, CheckKind::Racking, None);
    assert_eq!(racking.used.value.to_ratio(), 0.0);
}

#[test]
fn a_frame_that_folds_up_is_judged_by_its_slenderest_member() {
    // N L² / EI: the top bars carry half the height's pull over 2955 mm, 0.9775 × 2.955² = 8.5 p;
    // the side bars half the width's over 1955 mm, 1.4775 × 1.955² = 5.6 p. More thrust is in the
    // sides, and still the top bars are the slenderest; turned, the side bars are.
    for (w, h) in [(3000, 2000), (2000, 3000)] {
        let plan = canvas(w, h, &json!({"bead": "none"}), &bare());
        let folds = check(&plan, CheckKind::Buckling, None);
        assert!(folds.found.value.in_files().0 < 1.0);
        near(input(&folds.found, "its length").in_files().0, 2955.0, 1e-9);
        assert!(folds.at.is_none());
        assert!(
            statics(&plan)
                .checks
                .iter()
                .all(|c| c.kind != CheckKind::OutOfPlane)
        );
    }
    // One that stands is judged where it bows most, a share of its length: M L / 8EI with M = p
    // W / 2 × arm in the sides and p H / 2 × arm in the top: equal but for the thrust's part,
    // 1 / (1 − N L² / π² EI): 1.2² × 0.4 = 0.576 for the top, 0.8² × 0.6 = 0.384 for the side.
    let plan = oblong(&bare());
    let stands = check(&plan, CheckKind::Buckling, None);
    near(
        input(&stands.found, "its length").in_files().0,
        1200.0,
        1e-9,
    );
}

// What is shown beside.

fn members(least: &Least) -> [u32; 3] {
    [least.upright, least.level, least.braces]
}

#[test]
fn the_least_batten_is_told_whatever_the_maker_says() {
    // 1000 × 800 in 38 × 19 takes an upright and braces (tests/bracing/decisions.json).
    let batten = json!({"bar_face": "38 mm", "bar_depth": "19 mm"});
    for (said, built) in [
        (json!({"upright_bars": 0}), None),
        (json!({"level_bars": 2}), None),
        (json!({"braces": "no"}), None),
        (
            json!({"upright_bars": 2, "level_bars": 1, "braces": "no"}),
            Some([2, 1, 0]),
        ),
    ] {
        let plan = canvas(1000, 800, &batten, &said);
        assert_eq!(members(&statics(&plan).least), [1, 0, 4], "{said}");
        let bracing = &plan.canvases[0].bracing;
        let now = [&bracing.upright, &bracing.level, &bracing.braces].map(|f| f.value);
        assert!(built.is_none_or(|built| built == now), "{now:?}");
        assert_ne!(now, [1, 0, 4], "{said}");
    }
    // Said for the whole plan.
    let plan = canvas(
        1000,
        800,
        &with(&batten, &json!({"braces": "no"})),
        &json!({}),
    );
    assert_eq!(members(&statics(&plan).least), [1, 0, 4]);
}

#[test]
fn braces_that_are_not_wanted_are_said_by_what_rules_them_out() {
    let said = |settings: &Json, said: &Json| {
        let plan = canvas(1000, 800, settings, said);
        let braces = &plan.canvases[0].bracing.braces;
        let input = &braces.how.inputs[0];
        (braces.value, input.name, input.value.clone())
    };
    let text = |word: &str| Value::Text(word.into());
    let none = json!({});
    let keyed = json!({"fixing": "keyed", "corner": "square_lap"});
    assert_eq!(said(&keyed, &none), (0, "Corners are", text("keyed")));
    for (word, n) in [("no", 0), ("yes", 4)] {
        let word_of = json!({"braces": word});
        let (value, _, input) = said(&word_of, &none);
        assert_eq!((value, input), (n, text(word)));
        let (value, _, input) = said(&none, &word_of);
        assert_eq!((value, input), (n, text(word)));
    }
}

#[test]
fn the_racking_shown_is_that_of_the_frame_with_its_braces() {
    // Braces are taken for bow out of the plane; the frame would stand the push without them.
    let batten = json!({"bar_face": "38 mm", "bar_depth": "19 mm"});
    let plan = canvas(1000, 800, &batten, &json!({}));
    assert_eq!(plan.canvases[0].bracing.braces.value, 4);
    let [plain, braced] = bracing::racking(&plan, 0).unwrap();
    assert!(plain.rigid.value.to_newtons() > 5.0);
    let found = check(&plan, CheckKind::Racking, None)
        .found
        .value
        .in_files()
        .0;
    near(found, braced.rigid.value.to_newtons(), 1e-9);
}

#[test]
fn a_brace_needs_a_leg_longer_than_its_face_across_the_corner() {
    // 50√2 = 70.710678 mm: at that, nothing is left of its inner edge.
    let resists = |leg: &str| {
        let settings = with(&stout(), &json!({"brace_leg": leg}));
        let plan = canvas(1250, 850, &settings, &json!({}));
        let [_, braced] = bracing::racking(&plan, 0).unwrap();
        braced.rigid.value.to_newtons()
    };
    assert_eq!(resists("70.710678 mm"), 0.0);
    assert!(resists("70.710679 mm") > 0.0);
}

#[test]
fn other_battens_are_weighed_against_the_frame_as_built() {
    // 38 × 19 takes an upright and four braces of 150√2: 3600 + 800 + 848.528 = 5248.528 mm of
    // 722 mm²; 50 × 25 an upright: 4400 mm of 1250 mm².
    let plan = canvas(
        1000,
        800,
        &json!({"bar_face": "38 mm", "bar_depth": "19 mm", "other_sections": "50 x 25 mm"}),
        &json!({}),
    );
    let [other] = &other_sections(&plan, 0)[..] else {
        panic!("one other batten");
    };
    assert_eq!(members(&other.least), [1, 0, 0]);
    near(
        other.wood.value.to_ratio(),
        4400.0 * 1250.0 / (5248.528137 * 722.0),
        1e-9,
    );
    near(other.batten_saved.value.to_mm(), 848.528_137, 1e-8);
}

#[test]
fn a_change_mends_what_fails_or_what_only_racks_where_it_passes() {
    // Fails by its bow, and cross bars mend it.
    let plan = oblong(&bare());
    let s = statics(&plan);
    assert!(!s.stands);
    assert!(s.mending().is_some_and(|change| change.passes));
    assert_eq!(s.mending(), s.smallest_change.as_ref());
    // Stands, but racks too easily for the push that is asked for: braces mend it.
    let resists = {
        let plan = canvas(800, 800, &stout(), &bare());
        let [plain, braced] = bracing::racking(&plan, 0).unwrap();
        assert!(plain.rigid.value < braced.rigid.value);
        plain.rigid.value.to_newtons() + 1.0
    };
    let pushed = with(
        &stout(),
        &json!({"racking_force": format!("{resists:.3} N")}),
    );
    let plan = canvas(800, 800, &pushed, &bare());
    let s = statics(&plan);
    assert!(s.stands && !s.passes);
    assert_eq!(s.mending().map(members), Some([0, 0, 4]));
    // 200 × 1800 has no room for braces, so it racks whatever is done. Without level bars its
    // sides bow; with them it stands at least.
    let plan = canvas(200, 1800, &json!({}), &json!({"level_bars": 0}));
    let s = statics(&plan);
    assert!(!s.stands);
    let change = s.mending().unwrap();
    assert!(change.stands && !change.passes && change.level > 0);
    // As it stands nothing mends it.
    let plan = canvas(200, 1800, &json!({}), &json!({"level_bars": change.level}));
    let s = statics(&plan);
    assert!(s.stands && !s.passes && s.mending().is_none());
}

#[test]
fn a_change_is_told_in_words() {
    let why = |plan: &Plan| {
        let at = plan.advice.iter().find(|a| a.at.key == "upright_bars");
        at.unwrap().why.clone()
    };
    // Bare, the top bars of 1250 × 800 fail by their bow. An upright takes 800 mm, four braces of
    // 150√2 take 848.5.
    let plan = canvas(1250, 800, &stout(), &bare());
    assert_eq!(members(statics(&plan).mending().unwrap()), [1, 0, 0]);
    assert_eq!(
        why(&plan),
        "The smallest change that passes: 1 upright cross bar."
    );
    // At 850 mm the braces are less.
    assert_eq!(
        why(&oblong(&bare())),
        "The smallest change that passes: corner braces."
    );
    // Turned, the side bars fail.
    let plan = canvas(800, 1250, &stout(), &bare());
    assert_eq!(
        why(&plan),
        "The smallest change that passes: 1 level cross bar."
    );
    // An upright and braces (the decision above).
    let batten = json!({"bar_face": "38 mm", "bar_depth": "19 mm"});
    let plan = canvas(1000, 800, &batten, &bare());
    assert_eq!(
        why(&plan),
        "The smallest change that passes: 1 upright cross bar and corner braces."
    );
}

#[test]
fn a_search_says_how_many_bracings_it_looked_at() {
    let tried = |plan: &Plan| {
        let braces = &plan.canvases[0].bracing;
        input(&braces.braces, "bracings tried").clone()
    };
    // The bars are said and braces have no room (55 mm at a corner, less than 45√2): one.
    let plan = canvas(
        200,
        1800,
        &json!({}),
        &json!({"upright_bars": 0, "level_bars": 3}),
    );
    assert!(statics(&plan).stands && !statics(&plan).passes);
    assert_eq!(tried(&plan), Value::Count(1));
}

#[test]
fn computed_cross_bars_leave_bays_of_300_mm() {
    // A cloth far too taut: as many as there is room for would help.
    let taut = json!({"tension": "3000 N/m", "bar_face": "20 mm", "bar_depth": "12 mm"});
    for (w, h) in [(599, 450), (850, 620), (1190, 890), (1300, 1210)] {
        let plan = canvas(w, h, &taut, &json!({}));
        assert!(!statics(&plan).passes);
        let bracing = &plan.canvases[0].bracing;
        for (side, bars) in [(w, bracing.upright.value), (h, bracing.level.value)] {
            assert!(bars == 0 || side >= 300 * (bars + 1), "{bars} in {side} mm");
        }
    }
}

// The largest frames.

#[test]
fn the_largest_square_by_its_bow() {
    // 5 p L³ / 384 EI + p L / 4EA = 1 / 500 with 384 EI = 8e5 and 4EA = 4e7: at 0.998 m between the
    // middle lines 0.0019880 + 0.0000080, at 0.999 m 0.0019940 + 0.0000080: 998 + 50 mm.
    let used = |l: f64| 320.0 * (5.0 * l.powi(3) / 8e5 + l / 4e7) * 500.0;
    assert!(used(0.998) < 1.0 && used(0.999) > 1.0);
    let plan = canvas(900, 900, &stout(), &json!({}));
    let largest = largest(&plan).unwrap();
    assert_eq!((largest.canvas, largest.proportion.value), (0, 1.0));
    assert_eq!(largest.side.to_mm(), 900.0);
    let plain = &largest.sides[0];
    near(plain.by_bow.as_ref().unwrap().value.to_mm(), 1048.0, 1e-9);
    // Bow is what stops the bare frame; braces help on.
    let unbraced = plain.unbraced.as_ref().or(plain.longest.as_ref());
    near(unbraced.unwrap().value.to_mm(), 1048.0, 1e-9);
    // An oblong of 3 : 2: p (5 L⁴ / 8e5 + L H / 4e7) of L / 500, L = S − 0.05, H = S / 1.5 − 0.05.
    let used = |s: f64| {
        let (l, h) = (s - 0.05, s / 1.5 - 0.05);
        320.0 * (5.0 * l.powi(3) / 8e5 + h / 4e7) * 500.0
    };
    let first_too_long = (500..2000).find(|mm| used(f64::from(*mm) / 1e3) > 1.0);
    let plan = canvas(900, 600, &stout(), &json!({}));
    let by_bow = bracing::largest(&plan).unwrap().sides[0].by_bow.clone();
    near(
        by_bow.unwrap().value.to_mm(),
        f64::from(first_too_long.unwrap() - 1),
        1e-9,
    );
}

#[test]
fn where_the_form_ends_no_check_stops_the_frame() {
    // The stoutest batten under the slackest cloth reaches 6 m, the form's limit.
    let plan = canvas(
        900,
        900,
        &json!({
            "bar_face": "200 mm", "bar_depth": "100 mm", "tension": "10 N/m", "bead": "none",
            "size_counts": "left_out", "racking_force": "0 N", "modulus": "25000 MPa",
        }),
        &json!({}),
    );
    for it in &largest(&plan).unwrap().sides {
        assert_eq!(it.longest.as_ref().unwrap().value.to_mm(), 6000.0);
        assert_eq!((it.stopped_by, it.part), (None, None));
        assert_eq!((it.dividing, it.braces), ([it.cross_bars, 0], 0));
    }
}

#[test]
fn the_curve_of_bows_by_hand() {
    // Sized and at 20 % of humidity: 27 MPa in a film of 95 ml/m² × 2 / 11 / 1.31 = 13.185 µm, 356.0
    // N/m beside the 320 of the stretched cloth.
    let settings = with(
        &stout(),
        &json!({"size_counts": "counts", "winter_humidity": "20 %"}),
    );
    let hardest = 320.0 + 27.0 * 13.185;
    let plan = canvas(900, 720, &settings, &json!({}));
    let largest = largest(&plan).unwrap();
    let curve = bracing::largest::curve(&plan, &largest);
    assert_eq!(curve.len(), 25);
    // From three faces of the shorter side, 3 × 50 × 1.25, to 15 % past the largest of all.
    let from = 187.5;
    let all = largest.sides.iter().filter_map(|s| s.longest.as_ref());
    let to = 1.15 * all.map(|s| s.value.to_mm()).fold(900.0, f64::max);
    for (i, share) in [(0, 0.0), (6, 0.25), (12, 0.5), (24, 1.0)] {
        let point = &curve[i];
        near(point.side.to_mm(), from + share * (to - from), 1e-7);
        // Between the middle lines, m.
        let side = point.side.to_mm() / 1e3;
        let (l, h) = (side - 0.05, side / 1.25 - 0.05);
        let hinged = 5.0 * l.powi(4) / 8e5 + l * h / 4e7;
        near(point.stretched.to_m(), 320.0 * hinged, 1e-6);
        near(point.hinged.to_m(), hardest * hinged, 1e-3);
        near(point.limit.to_m(), l / 500.0, 1e-6);
        // The corners' moment, (L³ + H³) / 12 (L + H), takes M L² / 8EI off; reckoned without the
        // give of the bars, which counts in the smallest frame.
        let moment = (l.powi(3) + h.powi(3)) / (12.0 * (l + h));
        let rigid = hinged - moment * l * l / (8.0 * 2083.333);
        if i > 0 {
            near(point.rigid.to_m(), hardest * rigid, 0.02);
        }
    }
}
