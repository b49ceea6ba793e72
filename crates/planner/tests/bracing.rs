//! Cross bars and braces: the findings of the reference work, hand calculations, and properties
//! that no bracing may break.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::bracing::loads::Case;
use planner::bracing::{
    self, Check, CheckKind, Least, Statics, largest, other_pulls, other_sections,
};
use planner::figure::Value;
use planner::frame::Part;
use planner::{Draft, FaultKind, Plan, Tree, plan};
use proptest::prelude::*;
use quantity::Length;
use serde_json::{Value as Json, json};

fn planned(brief: Json) -> Plan {
    let tree: Tree = serde_json::from_value(brief).unwrap();
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    plan(&draft)
}

/// A brief with these settings for one canvas.
fn brief(w: u32, h: u32, settings: Json) -> Json {
    let mut brief =
        json!({"canvases": [{"width": format!("{w} mm"), "height": format!("{h} mm")}]});
    for (key, value) in settings.as_object().unwrap() {
        if key == "canvas" {
            for (key, value) in value.as_object().unwrap() {
                brief["canvases"][0][key] = value.clone();
            }
        } else {
            brief[key] = value.clone();
        }
    }
    brief
}

fn statics(plan: &Plan) -> &Statics {
    plan.canvases[0].bracing.statics.as_ref().unwrap()
}

fn check(statics: &Statics, kind: CheckKind, part: Part) -> &Check {
    let found = statics
        .checks
        .iter()
        .find(|c| c.kind == kind && c.part == Some(part));
    found.unwrap()
}

/// Millimetres, degrees or newtons.
fn number(value: &Value) -> f64 {
    value.in_files().0
}

/// A canvas whose middle lines are 1.2 × 0.8 m in the reference batten, 18 × 45 mm C24 without
/// moisture correction, creep or size: EI = 1503.5625 N·m², 200 N/m.
fn reference(canvas: Json) -> Plan {
    planned(brief(
        1245,
        845,
        json!({
            "bar_face": "45 mm", "bar_depth": "18 mm", "modulus": "11000 MPa", "bead": "none",
            "size_counts": "left_out", "tension": "200 N/m", "canvas": canvas,
        }),
    ))
}

/// Batten in cross bars and braces with legs of 150 mm, mm.
fn batten(w: u32, h: u32, it: &Least) -> f64 {
    let braces = f64::from(it.braces) * 150.0 * std::f64::consts::SQRT_2;
    f64::from(it.upright * h + it.level * w) + braces
}

#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{found}, expected {expected}"
    );
}

#[test]
fn a_frame_that_folds_up_is_said_to_buckle_and_has_no_bow() {
    // A level bar of 3 m, 45 × 20 mm, hardly carries its share: I = 45 × 20³ / 12 = 3 × 10⁴ mm⁴,
    // π² × 8000 N/mm² × 3 × 10⁴ / 3000² = 263 N at the most, where cross bars two feet apart put
    // some 400 N/m × 1 m on it.
    let plan = planned(brief(
        3000,
        2000,
        json!({"canvas": {"upright_bars": 3, "level_bars": 1, "braces": "yes"}}),
    ));
    let s = statics(&plan);
    let buckling = &s.checks[0];
    assert_eq!(buckling.kind, CheckKind::Buckling);
    let times = number(&buckling.found.value);
    assert!(times < 1.0, "{times}");
    let pull = plan.basis.pull.hardest().1.value.to_n_per_m();
    let carries = buckling.carries.as_ref().unwrap().value.to_n_per_m();
    near(carries, times * pull, 1e-9);
    assert!(!s.checks.iter().any(|c| c.kind == CheckKind::OutOfPlane));
    assert!(s.checks[1..].iter().all(|c| c.carries.is_none()));
    let said = plan.advice.iter().find(|a| a.what.contains("buckles"));
    let says = format!(
        "the frame buckles: it carries {} of {}.",
        plan.show.value(
            &Value::LineLoad(buckling.carries.as_ref().unwrap().value),
            ""
        ),
        plan.show
            .value(&Value::LineLoad(plan.basis.pull.hardest().1.value), "")
    );
    assert!(said.unwrap().what.ends_with(&says), "{said:?}");
}

// The findings of the reference work (issue text; reference values, sections 1.3, 2, 3).

#[test]
fn both_bounds_of_the_bow_are_shown_and_lie_where_the_reference_says() {
    let plan = reference(json!({"upright_bars": 0, "level_bars": 0, "braces": "no"}));
    let bow = check(statics(&plan), CheckKind::Bow, Part::TopBottom);
    let [rigid, hinged] = bow.between.as_ref().unwrap();
    // 3.5969 and 1.3622 mm under 200 N/m; × 1.6 for creep (EN 1995-1-1, k_def = 0.6).
    near(hinged.value.to_mm(), 3.5969 * 1.6, 0.005);
    near(rigid.value.to_mm(), 1.3622 * 1.6, 0.005);
    // The safe reading decides.
    near(number(&bow.found.value), hinged.value.to_mm(), 1e-9);
    // The short bars of a rigid oblong bow outward.
    let side = check(statics(&plan), CheckKind::Bow, Part::Side);
    assert!(side.between.as_ref().unwrap()[0].value.to_mm() < 0.0);
}

#[test]
fn hinged_mitres_bow_2_6_to_5_times_as_far_as_rigid_ones() {
    // Square 5, 1.5 : 1 oblong 2.64 (reference values, section 2).
    for (w, h, ratio) in [(1045, 1045, 5.0), (1245, 845, 2.641)] {
        let plan = planned(brief(
            w,
            h,
            json!({"bar_face": "45 mm", "bar_depth": "18 mm",
                "canvas": {"upright_bars": 0, "level_bars": 0, "braces": "no"}}),
        ));
        let bow = check(statics(&plan), CheckKind::Bow, Part::TopBottom);
        let [rigid, hinged] = bow.between.as_ref().unwrap();
        // Axial give, left out in the closed formula, takes up to 1.6 %.
        near(hinged.value / rigid.value, ratio, 0.02);
    }
}

#[test]
fn braces_hardly_help_against_bow_and_a_cross_bar_does() {
    let bow = |canvas: Json| {
        let plan = reference(canvas);
        let bow = check(statics(&plan), CheckKind::Bow, Part::TopBottom);
        bow.between.as_ref().unwrap()[0].value.to_mm().abs() / 1.6
    };
    let plain = bow(json!({"upright_bars": 0, "level_bars": 0, "braces": "no"}));
    let braced = bow(json!({"upright_bars": 0, "level_bars": 0, "braces": "yes"}));
    let crossed = bow(json!({"upright_bars": 1, "level_bars": 0, "braces": "no"}));
    near(plain, 1.362, 0.005);
    // 0.99 mm with legs of 150 mm on the middle lines and 9 × 30 mm braces; here the legs
    // reach 163 mm there and the braces are batten, so a little less.
    assert!((0.88..=0.99).contains(&braced), "{braced}");
    // 0.026 mm; the housing leaves half the bar and takes some of that back.
    assert!((0.02..0.05).contains(&crossed), "{crossed}");
}

#[test]
fn braces_earn_their_place_against_racking() {
    let plan = reference(json!({"upright_bars": 0, "level_bars": 0, "braces": "no"}));
    let [plain, braced] = bracing::racking(&plan, 0).unwrap();
    // 10 N for 0.35559 mm: 28.12 N for 1 mm; hinges alone resist nothing.
    near(plain.rigid.value.to_newtons(), 10.0 / 0.35559, 0.005);
    assert_eq!(plain.hinged.value.to_newtons(), 0.0);
    // 10 N for 0.18856 mm with the reference's slighter braces.
    assert!(braced.hinged.value.to_newtons() > 10.0 / 0.18856);
    assert!(braced.rigid.value > braced.hinged.value);
}

#[test]
fn a_lasting_pull_creeps() {
    let lasting = |place: &str| {
        let plan = planned(brief(600, 500, json!({"hangs_in": place})));
        plan.basis.pull.lasting.value / plan.basis.pull.stretched.value
    };
    // EN 1995-1-1, table 3.2: 0.6 dry indoors, 0.8 under cover.
    near(lasting("heated"), 1.6, 1e-12);
    near(lasting("covered"), 1.8, 1e-12);
}

#[test]
fn the_size_is_a_case_of_its_own() {
    let at = |winter: &str| planned(brief(600, 500, json!({"winter_humidity": winter})));
    let plan = at("20 %");
    let pull = &plan.basis.pull;
    assert_eq!(pull.hardest().0, Case::SizeDry);
    // At 20 % the film has its peak, 27 MPa: 10 µm of it add 270 N/m.
    let thickness = pull.film_thickness.as_ref().unwrap().value;
    near(
        pull.rise.as_ref().unwrap().value.to_n_per_m(),
        270.0 * thickness.to_mm() / 0.010,
        1e-9,
    );
    // 95 ml/m² × 2 coats × 1/11 g/ml = 17.27 g/m²; / 1.31 g/ml = 13.2 µm
    near(thickness.to_mm(), 0.01318, 0.001);
    // Damp enough, and it pulls no more.
    assert_eq!(
        at("80 %")
            .basis
            .pull
            .rise
            .as_ref()
            .unwrap()
            .value
            .to_n_per_m(),
        0.0
    );
    // An acrylic size has no such film.
    let acrylic = planned(brief(600, 500, json!({"size_kind": "acrylic"})));
    assert_eq!(acrylic.basis.pull.cases().len(), 1);
}

#[test]
fn the_pull_is_an_input_with_a_range() {
    let plan = planned(brief(1000, 800, json!({})));
    let [slack, taut] = &other_pulls(&plan, 0)[..] else {
        panic!("two other pulls");
    };
    // The working range, 100 to 400 N/m, about the usual 200.
    near(slack.pull.value.to_n_per_m(), 100.0, 1e-12);
    near(taut.pull.value.to_n_per_m(), 400.0, 1e-12);
    assert!(batten(1000, 800, slack) <= batten(1000, 800, &statics(&plan).least));
    let level = |level: &str| planned(brief(1000, 800, json!({"pull_level": level})));
    near(
        level("very_taut").basis.pull.stretched.value.to_n_per_m(),
        400.0,
        1e-12,
    );
    // What is typed goes before the words.
    let typed = planned(brief(
        1000,
        800,
        json!({"pull_level": "slack", "tension": "1 lbf/in"}),
    ));
    near(typed.basis.pull.stretched.value.to_n_per_m(), 175.127, 1e-5);
}

#[test]
fn pins_in_end_grain_carry_no_reliable_pull_and_the_table_is_no_certificate() {
    let plan = planned(brief(
        1000,
        800,
        json!({"canvas": {"upright_bars": 0, "level_bars": 0, "braces": "no"}}),
    ));
    let s = statics(&plan);
    let pins = s
        .joints
        .iter()
        .find(|j| j.fastener == "panel pins, pulled out")
        .unwrap();
    assert!(pins.holds.is_none());
    assert!(s.deferral.contains("no engineering certificate"));
    // A rigid corner of this frame is more than its heel screw can make.
    let screw = s
        .joints
        .iter()
        .find(|j| j.fastener == "heel screw, pulled out")
        .unwrap();
    assert!(screw.force.value > screw.holds.as_ref().unwrap().value);
}

#[test]
fn forces_in_a_mitre_by_hand() {
    // The reference frame, 200 N/m and 1.6 for creep. Thrusts 200 × 0.8 / 2 = 80 N in the top
    // bar and 120 N in the side: slip 40 × √½ × 1.6 = 45.25 N. Rigid, the corner's moment is
    // 18.6667 N·m (two frame libraries); the mitre is 45√2 = 63.64 mm long and pressed by
    // 200 × √½ = 141.42 N: (2 × 18.6667 / 0.06364 − 141.42) × 1.6 = 712.3 N.
    let plan = reference(json!({"upright_bars": 0, "level_bars": 0, "braces": "no"}));
    for (fastener, newtons) in [
        ("heel screw, sideways", 45.25),
        ("two panel pins, sideways", 45.25),
        ("heel screw, pulled out", 712.3),
        ("panel pins, pulled out", 712.3),
    ] {
        let joint = statics(&plan)
            .joints
            .iter()
            .find(|j| j.fastener == fastener);
        near(joint.unwrap().force.value.to_newtons(), newtons, 0.002);
    }
}

#[test]
fn fixings_that_carry_too_much_are_told_with_the_deferral() {
    // 1000 × 800 in 45 × 20 mm with a cross bar: the cloth's arm prises it out of its housing.
    let told = |canvas: Json, settings: Json| {
        let mut settings = settings;
        settings["canvas"] = canvas;
        let plan = planned(brief(1000, 800, settings));
        let advice = plan
            .advice
            .iter()
            .find(|a| a.what.contains("glue must carry"));
        let advice = advice.map(|a| format!("{} {}", a.what, a.why));
        (statics(&plan).joints.clone(), advice)
    };
    let crossed = json!({"upright_bars": 1, "level_bars": 0, "braces": "no"});
    let (joints, advice) = told(crossed.clone(), json!({}));
    let lap = joints
        .iter()
        .find(|j| j.fastener == "lap screw, pulled out")
        .unwrap();
    assert!(lap.force.value > lap.holds.as_ref().unwrap().value);
    let advice = advice.unwrap();
    assert!(advice.contains("lap screw, pulled out, "), "{advice}");
    assert!(advice.contains("no engineering certificate"), "{advice}");
    // Taken as hinges, the corners' opening does not count; taken as rigid, it does.
    assert!(!advice.contains("heel screw, pulled out"), "{advice}");
    let (_, rigid) = told(crossed, json!({"corner_reading": "rigid"}));
    assert!(rigid.unwrap().contains("heel screw, pulled out"));
    // A small square frame leans on nothing.
    let plan = planned(brief(300, 300, json!({})));
    assert!(
        !plan
            .advice
            .iter()
            .any(|a| a.what.contains("glue must carry"))
    );
}

#[test]
fn a_class_is_told_once_of_its_fixings() {
    let crossed = |name: &str, width: u32| json!({"name": name, "width": width, "height": 800, "upright_bars": 1, "level_bars": 0, "braces": "no"});
    let plan = planned(json!({"canvases": [crossed("Reed", 900), crossed("Moss", 1000)]}));
    let told: Vec<&str> = plan
        .advice
        .iter()
        .map(|a| a.what.as_str())
        .filter(|what| what.contains("glue must carry"))
        .collect();
    let [what] = told[..] else {
        panic!("once: {told:?}")
    };
    assert!(what.starts_with("Reed, Moss: "), "{what}");
    // The cross bar of the wider frame carries more cloth.
    assert!(what.contains("(Moss)"), "{what}");
}

// Hand calculations.

#[test]
fn twist_and_bow_out_of_the_plane_by_hand() {
    // 1000 × 800 in 50 × 25 mm, E 8000, no bead, 200 N/m, no cross bars. Arm 12.5 mm, lasting
    // pull 320 N/m, middle lines 950 × 750 mm.
    let plan = planned(brief(
        1000,
        800,
        json!({
            "bar_face": "50 mm", "bar_depth": "25 mm", "modulus": "8000 MPa", "bead": "none",
            "size_counts": "left_out",
            "canvas": {"upright_bars": 0, "level_bars": 0, "braces": "no"},
        }),
    ));
    let s = statics(&plan);
    // Side bar: N = 320 × 0.95 / 2 = 152 N, M = 152 × 0.0125 = 1.9 N·m, EI = 8e9 × 0.05 ×
    // 0.025³ / 12 = 520.83 N·m², N_E = π² 520.83 / 0.75² = 9138.6 N; the secant
    // formula (Timoshenko and Gere, from memory): 0.0125 (sec(π/2 √(152/9138.6)) − 1). The
    // magnifier 1 / (1 − N/N_E) departs from it by less than 0.1 % at so small a thrust.
    let u = std::f64::consts::FRAC_PI_2 * (152.0_f64 / 9138.6).sqrt();
    let bow = 12.5 * (1.0 / u.cos() - 1.0);
    near(
        number(&check(s, CheckKind::OutOfPlane, Part::Side).found.value),
        bow,
        1e-3,
    );
    // Limit 750 / 200 = 3.75 mm.
    near(
        number(&check(s, CheckKind::OutOfPlane, Part::Side).limit.value),
        3.75,
        1e-9,
    );
    // Top bar: J = 0.229 × 50 × 25³ (Timoshenko and Goodier's table, b/a = 2), G = 500 MPa:
    // 320 × 0.0125 × 0.95² / (8 × 500e6 × 0.229 × 0.05 × 0.025³), and the side bars lean
    // M L / 2EI = 1.9 × 0.75 / 1041.67.
    let j = 0.229 * 0.05 * 0.025_f64.powi(3);
    let twist = 320.0 * 0.0125 * 0.95 * 0.95 / (8.0 * 500e6 * j);
    let lean = 1.9 * 0.75 / 1041.67 * u.tan() / u;
    let found = number(&check(s, CheckKind::Twist, Part::TopBottom).found.value).to_radians();
    // The table's 0.229 is rounded.
    near(found, twist + lean, 0.002);
    // It twists most in its middle, half a face inside the edge; the side bar likewise.
    for (part, x, y) in [(Part::TopBottom, 500.0, 25.0), (Part::Side, 25.0, 400.0)] {
        let spot = check(s, CheckKind::Twist, part).at.unwrap();
        near(spot.x.to_mm(), x, 1e-9);
        near(spot.y.to_mm(), y, 1e-9);
    }
    // Folding up: the top bars by themselves, N = 320 × 0.75 / 2 = 120 N against
    // π² 520.83 / 0.95² = 5695.8 N, 47.5 times; a side bar carries 9138.6 / 152 = 60.1 times.
    let folding = s
        .checks
        .iter()
        .find(|c| c.kind == CheckKind::Buckling)
        .unwrap();
    near(number(&folding.found.value), 5695.8 / 120.0, 1e-4);
    near(number(&folding.limit.value), 3.0, 1e-12);
}

#[test]
fn a_bead_counts_for_the_bars_that_it_is_glued_on() {
    let uses_bead = |bead: &str, kind, part| {
        let crossed = json!({"bead": bead, "canvas": {"upright_bars": 1, "level_bars": 0}});
        let plan = planned(brief(1000, 800, crossed));
        let inputs = &check(statics(&plan), kind, part).found.how.inputs;
        inputs.iter().any(|input| input.name == "Bead height")
    };
    assert!(uses_bead(
        "quarter_round",
        CheckKind::Twist,
        Part::TopBottom
    ));
    assert!(uses_bead(
        "quarter_round",
        CheckKind::OutOfPlane,
        Part::Side
    ));
    assert!(!uses_bead("none", CheckKind::Twist, Part::TopBottom));
    assert!(!uses_bead(
        "quarter_round",
        CheckKind::OutOfPlane,
        Part::Upright
    ));
    assert!(!uses_bead("quarter_round", CheckKind::Bow, Part::TopBottom));
}

#[test]
fn a_crossing_braces_a_cross_bar_and_its_lap_weakens_it() {
    let plan = planned(brief(
        1000,
        1000,
        json!({"canvas": {"upright_bars": 1, "level_bars": 1}}),
    ));
    let [upright, level] = &statics(&plan).crossings[..] else {
        panic!("two cross bars");
    };
    assert_eq!((upright.part, level.part), (Part::Upright, Part::Level));
    assert!(upright.crossed.as_ref().unwrap().value > upright.alone.value);
    let single = planned(brief(
        1000,
        1000,
        json!({"canvas": {"upright_bars": 1, "level_bars": 0}}),
    ));
    let alone = &statics(&single).crossings[0];
    assert!(alone.crossed.is_none());
    // One lap, 45 of 955 mm at the middle: 1 + 7 (b/L + sin(πb/L)/π), b/L = 0.04712
    let b: f64 = 45.0 / 955.0;
    let soft = 1.0 + 7.0 * (b + (std::f64::consts::PI * b).sin() / std::f64::consts::PI);
    near(alone.alone.value / upright.alone.value, soft, 1e-9);
}

// Decisions.

#[test]
fn the_six_decisions_of_the_issue() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bracing/decisions.json");
    let table: Json = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let rows = table["decisions"].as_array().unwrap();
    assert_eq!(rows.len(), 6);
    for row in rows {
        let [w, h, face, depth] = ["width", "height", "face", "depth"]
            .map(|key| u32::try_from(row[key].as_u64().unwrap()).unwrap());
        let plan = planned(brief(
            w,
            h,
            json!({"bar_face": format!("{face} mm"), "bar_depth": format!("{depth} mm")}),
        ));
        let bracing = &plan.canvases[0].bracing;
        let s = statics(&plan);
        let governing = &s.checks[0];
        let said = json!({
            "bars": [bracing.upright.value, bracing.level.value, bracing.braces.value],
            "rule": bracing.rule,
            "passes": s.passes,
            "governing": governing.kind,
            "part": governing.part,
            "used_percent": governing.used.value.to_percent().round(),
        });
        println!("{w} × {h} in {face} × {depth}: {said}");
        for (key, value) in said.as_object().unwrap() {
            assert_eq!(&row[key], value, "{w} × {h} in {face} × {depth}: {key}");
        }
        assert!(!governing.found.how.formula.source.is_empty());
    }
}

#[test]
fn a_bracing_that_just_passes_is_taken_over_one_that_just_fails() {
    // Four braces alone use 100.4 %, an upright with them 99.3 %, by racking.
    let plan = planned(brief(
        2046,
        1930,
        json!({"bar_face": "42 mm", "bar_depth": "40 mm", "tension": "127.46 N/m",
            "size_counts": "left_out"}),
    ));
    assert!(statics(&plan).passes);
}

#[test]
fn the_maker_has_the_last_word_and_is_told_what_fails() {
    let plan = planned(brief(
        1800,
        1200,
        json!({"canvas": {"upright_bars": 0, "level_bars": 0}}),
    ));
    let bracing = &plan.canvases[0].bracing;
    assert_eq!([bracing.upright.value, bracing.level.value], [0, 0]);
    let s = statics(&plan);
    assert!(!s.passes);
    let advice: Vec<_> = plan
        .advice
        .iter()
        .filter(|a| a.what.contains("fails by its"))
        .collect();
    assert_eq!(advice.len(), 1);
    assert_eq!(plan.faults, []);
    // The smallest change does pass when it is made.
    if let Some(change) = s.smallest_change.as_ref().filter(|c| c.passes) {
        let changed = planned(brief(
            1800,
            1200,
            json!({"canvas": {"upright_bars": change.upright, "level_bars": change.level,
                "braces": if change.braces > 0 { "yes" } else { "no" }}}),
        ));
        assert!(statics(&changed).passes);
    }
}

#[test]
fn the_rule_can_be_chosen_and_stands_beside_the_computation() {
    let rule = planned(brief(1000, 800, json!({"bracing_by": "rule"})));
    let bracing = &rule.canvases[0].bracing;
    assert_eq!([bracing.upright.value, bracing.level.value], [1, 1]);
    assert_eq!(bracing.upright.how.formula.name, "cross bars by rule");
    let computed = planned(brief(1000, 800, json!({})));
    assert_eq!(computed.canvases[0].bracing.rule, [1, 1]);
    assert_eq!(
        computed.canvases[0].bracing.upright.how.formula.name,
        "cross bars and braces"
    );
    assert_eq!(statics(&rule).least, statics(&computed).least);
}

#[test]
fn a_narrow_frame_gets_shorter_braces_unless_their_leg_is_typed() {
    // 12 × 72 in = 304.8 × 1828.8 mm: free inside (304.8 − 90) / 2 = 107.4 mm at a corner, in
    // whole fives 105.
    let narrow = |settings| planned(brief(305, 1829, settings));
    let plan = narrow(json!({"canvas": {"braces": "yes"}}));
    assert_eq!(plan.faults, []);
    let frame = plan.canvases[0].frame.as_ref().unwrap();
    let brace = frame
        .members
        .iter()
        .find(|m| m.part == Part::Brace)
        .unwrap();
    near(
        brace.length.value.to_mm(),
        105.0 * std::f64::consts::SQRT_2,
        1e-6,
    );
    let plan = narrow(json!({}));
    assert!(statics(&plan).passes, "{:?}", statics(&plan).checks[0]);
    let typed = narrow(json!({"brace_leg": "150 mm", "canvas": {"braces": "yes"}}));
    assert_eq!(typed.faults.len(), 1);
}

#[test]
fn a_frame_that_only_racks_easily_is_advised_and_does_not_fail() {
    // No room for braces: (200 − 90) / 2 = 55 mm, less than 45√2 = 63.6.
    let plan = planned(brief(200, 1800, json!({})));
    let s = statics(&plan);
    assert!(s.stands && !s.passes);
    assert_eq!(s.mending(), None);
    assert!(s.checks[0].kind == CheckKind::Racking && !s.checks[0].passes());
    assert!(s.checks[1..].iter().all(Check::passes));
    let said: Vec<_> = plan
        .advice
        .iter()
        .filter(|a| a.what.contains("racks"))
        .collect();
    assert!(
        said.len() == 1 && said[0].why.contains("It hangs as well"),
        "{said:?}"
    );
    assert!(!plan.advice.iter().any(|a| a.what.contains("fails")));
}

#[test]
fn where_nothing_passes_it_is_said_without_a_fault() {
    let plan = planned(brief(
        2300,
        1800,
        json!({"bar_face": "30 mm", "bar_depth": "12 mm"}),
    ));
    assert_eq!(plan.faults, []);
    assert!(!statics(&plan).passes && !statics(&plan).least.passes);
    assert!(
        plan.advice
            .iter()
            .any(|a| a.why.contains("No bracing in this batten passes"))
    );
    // Every figure is a number.
    let text = serde_json::to_string(&plan.canvases[0].bracing).unwrap();
    assert!(!text.contains("null,\"unit\""), "a figure without a number");
}

#[test]
fn a_stiffer_or_deeper_batten_saves_members() {
    let plan = planned(brief(
        1200,
        900,
        json!({"bar_face": "38 mm", "bar_depth": "19 mm", "other_sections": "38 × 19 mm, 50 × 25 mm, 63x38 mm"}),
    ));
    let others = &other_sections(&plan, 0);
    // The batten itself is left out of the list.
    assert_eq!(others.len(), 2);
    assert_eq!(
        [others[1].face, others[1].depth],
        [63, 38].map(Length::from_mm)
    );
    assert!(others[1].least.passes);
    // What passes with no cross bar and with at most one, asked of each batten by itself.
    for other in others {
        let [face, depth] = [other.face, other.depth].map(|side| format!("{} mm", side.to_mm()));
        let batten = json!({"bar_face": face, "bar_depth": depth});
        let passes = |bars| passes_with([1200, 900], 1200, bars, &batten);
        assert_eq!(
            [other.plain, other.with_one],
            [passes(0), passes(0) || passes(1)]
        );
    }
    // Four braces do for 900 × 700 in 45 × 20, 848 mm of them; an upright of 700 mm does too.
    let plan = planned(brief(
        900,
        700,
        json!({"other_sections": "45 × 20 mm", "bar_face": "44 mm"}),
    ));
    let same = &other_sections(&plan, 0)[0];
    assert!(same.plain && same.least.upright == 1 && same.least.braces == 0);
}

#[test]
fn canvases_alike_are_braced_alike() {
    let plan = planned(json!({"canvases": [
        {"width": "900 mm", "height": "700 mm", "name": "a"},
        {"width": "900 mm", "height": "700 mm", "name": "b"},
        {"width": "900 mm", "height": "700 mm", "upright_bars": 2},
    ]}));
    assert_eq!(plan.canvases[0].bracing, plan.canvases[1].bracing);
    assert_eq!(plan.canvases[2].bracing.upright.value, 2);
}

/// A canvas in the proportion of `w` to `h` whose longer side is so many millimetres.
fn grown([w, h]: [u32; 2], side: i64, settings: &Json, canvas: Json) -> Plan {
    let mut brief = settings.clone();
    let short = side as f64 * f64::from(h) / f64::from(w);
    brief["canvases"] = json!([canvas]);
    brief["canvases"][0]["width"] = json!(format!("{side} mm"));
    brief["canvases"][0]["height"] = json!(format!("{short:.4} mm"));
    let plan = planned(brief);
    // Braces that are asked for may find no room; everything else must have been understood.
    let understood = |fault: &planner::Fault| matches!(fault.kind, FaultKind::Conflict { .. });
    assert!(plan.faults.iter().all(understood), "{:?}", plan.faults);
    plan
}

/// Whether a frame of this size passes with so many cross bars, however they run, with braces or
/// without.
fn passes_with(proportion: [u32; 2], side: i64, bars: u32, settings: &Json) -> bool {
    (0..=bars).any(|level| {
        ["yes", "no"].into_iter().any(|braces| {
            let said = json!({"upright_bars": bars - level, "level_bars": level, "braces": braces});
            let plan = grown(proportion, side, settings, said);
            let statics = plan.canvases[0].bracing.statics.as_ref();
            plan.faults.is_empty() && statics.is_some_and(|statics| statics.passes)
        })
    })
}

#[test]
fn the_largest_frame_passes_and_a_millimetre_more_does_not() {
    for (w, h, settings) in [
        (
            1000,
            800,
            json!({"bar_face": "50 mm", "bar_depth": "25 mm"}),
        ),
        (
            1000,
            800,
            json!({"bar_face": "38 mm", "bar_depth": "19 mm"}),
        ),
        (
            900,
            900,
            json!({"tension": "100 N/m", "size_counts": "left_out"}),
        ),
        // Racks easily: corner braces are what it lacks.
        (800, 600, json!({"racking_force": "40 N", "bow_limit": 200})),
        (
            2000,
            500,
            json!({"corner_reading": "rigid", "bead": "none"}),
        ),
    ] {
        let plan = grown([w, h], i64::from(w), &settings, json!({}));
        let largest = largest(&plan).unwrap();
        for it in &largest.sides {
            let side = it.longest.as_ref().unwrap().value;
            let mm = side.as_nm() / 1_000_000;
            assert_eq!(side, Length::from_mm(mm));
            let at = |mm| passes_with([w, h], mm, it.cross_bars, &settings);
            assert!(at(mm), "{w} × {h}, {} bars, {mm} mm", it.cross_bars);
            assert!(!at(mm + 1), "{w} × {h}, {} bars, {mm} mm", it.cross_bars);
            // What it is said to need does it.
            let needs = json!({
                "upright_bars": it.dividing[0], "level_bars": it.dividing[1],
                "braces": if it.braces > 0 { "yes" } else { "no" },
            });
            assert!(statics(&grown([w, h], mm, &settings, needs)).passes);
            assert_eq!(it.dividing[0] + it.dividing[1], it.cross_bars);
        }
    }
}

/// The search halves: what passes once must not pass again farther on.
#[test]
fn every_size_up_to_the_largest_passes_and_none_beyond() {
    let settings = json!({"bar_face": "50 mm", "bar_depth": "25 mm"});
    let plan = grown([1000, 800], 1000, &settings, json!({}));
    for it in &largest(&plan).unwrap().sides {
        let longest = it.longest.as_ref().unwrap().value.to_mm();
        // Below 700 mm two cross bars leave bays too short to be tried.
        for side in (700..4000).step_by(87) {
            assert_eq!(
                passes_with([1000, 800], side, it.cross_bars, &settings),
                side as f64 <= longest,
                "{} bars, {side} mm",
                it.cross_bars
            );
        }
    }
}

#[test]
fn the_largest_frame_does_not_contradict_the_decision() {
    for (w, h, face, depth) in [
        (1000, 800, 38, 19),
        (1000, 800, 50, 25),
        (1800, 1200, 50, 25),
        (700, 500, 30, 15),
        (1300, 1300, 45, 20),
    ] {
        let settings =
            json!({"bar_face": format!("{face} mm"), "bar_depth": format!("{depth} mm")});
        let plan = planned(brief(w, h, settings));
        let decided = &plan.canvases[0].bracing;
        let bars = decided.upright.value + decided.level.value;
        let largest = largest(&plan).unwrap();
        for it in &largest.sides {
            let fits = (it.longest.as_ref()).is_some_and(|longest| largest.side <= longest.value);
            // With as many cross bars as decided it passes; where nothing does, none passes.
            if statics(&plan).passes && it.cross_bars == bars {
                assert!(fits, "{w} × {h}: {it:?}");
            }
            if !statics(&plan).passes {
                assert!(!fits, "{w} × {h}: {it:?}");
            }
        }
    }
}

#[test]
fn the_curve_rises_between_its_bounds() {
    let plan = planned(brief(
        1000,
        800,
        json!({"bar_face": "50 mm", "bar_depth": "25 mm"}),
    ));
    let curve = largest::curve(&plan, &largest(&plan).unwrap());
    assert!(curve.len() > 20);
    for pair in curve.windows(2) {
        assert!(pair[0].side < pair[1].side && pair[0].hinged < pair[1].hinged);
    }
    for p in &curve {
        assert!(p.rigid < p.hinged && p.stretched <= p.hinged);
    }
}

#[test]
fn what_another_batten_costs_by_hand() {
    // 1000 × 800 in 38 × 19 needs an upright and four braces (see the decisions): 3600 + 800 +
    // 4 × 212.132 = 5248.528 mm. The cheapest metre on the rack is that of 2.4 m at 3.00: 1.25,
    // so 6.56 (rounded up).
    let plan = planned(brief(
        1000,
        800,
        json!({"bar_face": "38 mm", "bar_depth": "19 mm",
            "boards": [{"length": "2.4 m", "price": "3.00"}, {"length": "1.8 m", "price": "2.70"}],
            "other_sections": "50 x 25 mm at 2.10, 63 x 38 mm"}),
    ));
    let [wider, thick] = &other_sections(&plan, 0)[..] else {
        panic!("two other battens");
    };
    // 50 × 25 needs an upright: 3600 + 800 = 4400 mm × 2.10 = 9.24: 2.68 more; at 6.57 / 4.4 =
    // 1.49 a metre (rounded down) it costs no more.
    let said = |m: Option<&planner::Figure<quantity::Money>>| m.map(|m| m.value.to_string());
    assert_eq!(said(wider.cost.as_ref()).as_deref(), Some("2.67"));
    assert_eq!(said(wider.pays_up_to.as_ref()).as_deref(), Some("1.49"));
    // No price, no difference; what it may cost is known: 6.57 / 3.6 = 1.825.
    assert!(thick.plain && thick.cost.is_none());
    assert_eq!(said(thick.pays_up_to.as_ref()).as_deref(), Some("1.82"));
    // Without prices on the rack nothing can be said.
    let bare = planned(brief(
        1000,
        800,
        json!({"other_sections": "50 x 25 mm at 2.10"}),
    ));
    let other = &other_sections(&bare, 0)[0];
    assert!(other.cost.is_none() && other.pays_up_to.is_none());
}

#[test]
fn a_price_by_the_foot_and_prices_with_a_comma() {
    let prices = |text: &str| {
        let tree =
            serde_json::from_value(brief(600, 500, json!({"other_sections": text}))).unwrap();
        let (brief, faults) = planner::check(&Draft::from_tree(&tree).0);
        assert_eq!(faults, [], "{text}");
        let all = brief.other_sections.value.iter();
        all.map(|b| b.price.map_or("none".into(), |p| p.to_string()))
            .collect::<Vec<_>>()
    };
    // 0.64 / 0.3048 = 2.0997
    assert_eq!(prices("2 x 1 in at 0.64/ft, 38 x 19"), ["2.10", "none"]);
    assert_eq!(
        prices("50 × 25 mm at 2,10 €; 38 × 19 mm @ 1,05/m"),
        ["2.10", "1.05"]
    );
}

#[test]
fn battens_keep_their_meaning_when_the_page_goes_to_inches() {
    let tree = serde_json::from_value(
        json!({"other_sections": "38 x 19, 50 x 25 mm at 2.10, 45 × 20 at 1.80"}),
    );
    let (mut draft, _) = Draft::from_tree(&tree.unwrap());
    let read = |draft: &Draft| planner::check(draft).0.other_sections.value;
    let before = read(&draft);
    draft.switch_units(planner::Units::Imperial);
    assert_eq!(read(&draft), before);
}

#[test]
fn the_drawing_has_every_member_and_its_ends_meet() {
    let plan = planned(brief(
        1000,
        800,
        json!({"canvas": {"upright_bars": 2, "level_bars": 1}}),
    ));
    for bowed in &bracing::bowed(&plan, 0).unwrap() {
        let count = |part| bowed.members.iter().filter(|m| m.part == part).count();
        assert_eq!(
            [Part::TopBottom, Part::Side, Part::Upright, Part::Level].map(count),
            [2, 2, 2, 1]
        );
        let bottom = &bowed.members[0];
        let left = bowed.members.iter().find(|m| m.part == Part::Side).unwrap();
        let (b, l) = (bottom.points[0], left.points[0]);
        // Both start in the lower left corner and move there together.
        assert!((b.x - l.x).abs().to_mm() < 1e-9 && (b.up - l.up).abs().to_mm() < 1e-9);
        // The frame is symmetric.
        let last = bottom.points[bottom.points.len() - 1];
        assert!(
            (last.up - b.up).abs().to_mm() < 1e-12 && (last.right + b.right).abs().to_mm() < 1e-12
        );
        // The bottom bar runs over the whole outer width, half a face in at each end.
        assert!((last.x.to_mm() - 977.5).abs() < 1e-9 && (b.x.to_mm() - 22.5).abs() < 1e-9);
    }
}

#[test]
fn a_list_of_battens_that_can_not_be_read_is_a_fault_at_its_field() {
    let plan = planned(brief(600, 500, json!({"other_sections": "38 by 19"})));
    let text: Vec<String> = plan.faults.iter().map(ToString::to_string).collect();
    assert_eq!(text.len(), 1);
    assert!(
        text[0].starts_with("other_sections: “38 by 19”"),
        "{}",
        text[0]
    );
}

// Properties.

fn worst_bow(plan: &Plan) -> f64 {
    statics(plan)
        .checks
        .iter()
        .filter(|c| matches!(c.kind, CheckKind::Bow | CheckKind::BowBetween))
        .map(|c| c.used.value.to_ratio())
        .fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_thicker_or_wider_batten_never_bows_more(
        w in 500_u32..2500, h in 500_u32..2500, face in 30_u32..70, depth in 15_u32..40,
        n in 0_u32..4, m in 0_u32..4,
    ) {
        let with = |face: u32, depth: u32| planned(brief(w, h, json!({
            "bar_face": format!("{face} mm"), "bar_depth": format!("{depth} mm"),
            "canvas": {"upright_bars": n, "level_bars": m, "braces": "no"}})));
        let plan = with(face, depth);
        if plan.canvases[0].bracing.statics.is_some() {
            prop_assert!(worst_bow(&with(face, depth + 4)) <= worst_bow(&plan) * (1.0 + 1e-9));
            prop_assert!(worst_bow(&with(face + 4, depth)) <= worst_bow(&plan) * (1.0 + 1e-9));
        }
    }

    #[test]
    fn more_cross_bars_are_never_worse_for_the_bow(
        w in 600_u32..2500, h in 600_u32..2500, n in 0_u32..3, m in 0_u32..3,
    ) {
        let with = |n: u32, m: u32| planned(brief(w, h, json!({
            "canvas": {"upright_bars": n, "level_bars": m, "braces": "no"}})));
        let plan = with(n, m);
        prop_assert!(worst_bow(&with(n + 1, m + 1)) <= worst_bow(&plan) * (1.0 + 1e-9));
    }

    #[test]
    fn a_slacker_cloth_never_needs_more_batten(
        w in 300_u32..3000, h in 300_u32..3000, face in 25_u32..70, depth in 15_u32..45,
        pull in 60_u32..400, slacker in 0.2..1.0_f64,
    ) {
        let at = |pull: f64| planned(brief(w, h, json!({
            "bar_face": format!("{face} mm"), "bar_depth": format!("{depth} mm"),
            "tension": format!("{pull:.2} N/m"), "size_counts": "left_out"})));
        let taut = at(f64::from(pull));
        if taut.canvases[0].bracing.statics.as_ref().is_some_and(|s| s.passes) {
            let slack = at((f64::from(pull) * slacker).max(10.0));
            prop_assert!(statics(&slack).passes);
            let [taut, slack] = [&taut, &slack].map(|p| batten(w, h, &statics(p).least));
            prop_assert!(slack <= taut, "{slack} under the slacker cloth, {taut} before");
        }
    }

    #[test]
    fn the_computed_bracing_passes_or_says_that_none_does(
        w in 200_u32..4000, h in 200_u32..4000, face in 25_u32..80, depth in 12_u32..50,
        pull in 50_u32..500,
    ) {
        let plan = planned(brief(w, h, json!({
            "bar_face": format!("{face} mm"), "bar_depth": format!("{depth} mm"),
            "tension": format!("{pull} N/m")})));
        let c = &plan.canvases[0];
        if let Some(s) = &c.bracing.statics {
            prop_assert_eq!(s.passes, s.checks.iter().all(Check::passes));
            prop_assert_eq!(s.passes, s.least.passes);
            prop_assert_eq!(
                [s.least.upright, s.least.level, s.least.braces],
                [c.bracing.upright.value, c.bracing.level.value, c.bracing.braces.value]
            );
            for c in &s.checks {
                prop_assert!(number(&c.found.value).is_finite() && c.used.value.is_finite());
            }
        }
    }
}
