//! The wooden frame, worked by hand: sizes, marks on every rod, fasteners and glue, what can't be
//! built, and boards that are cut already.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::already_cut::{lock, read};
use planner::brief::BoardOf;
use planner::fasteners::Fasteners;
use planner::frame::{Ends, Frame, MarkKind, Member, Part, lean, size_words};
use planner::{Draft, Fraction, Plan, Show, Units, plan};
use quantity::Length;
use serde_json::{Value as Json, json};

/// A batten of 42 × 18 mm; one canvas of 900 × 600 mm with one upright and two level cross bars
/// and braces with legs of 100 mm.
///
/// In nanometres √2 × 42 mm is 59 396 970 and √2 × 100 mm is 141 421 356.
fn brief(settings: &Json) -> Json {
    let mut brief = json!({
        "bracing_by": "rule", "bar_face": "42", "bar_depth": "18", "bead": "none",
        "braces": "yes", "brace_leg": "100",
        "canvases": [{"width": "900", "height": "600", "upright_bars": "1", "level_bars": "2"}],
    });
    for (key, value) in settings.as_object().unwrap() {
        brief[key] = value.clone();
    }
    brief
}

fn draft(brief: &Json) -> Draft {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief.clone()).unwrap());
    assert_eq!(faults, []);
    draft
}

fn planned(settings: &Json) -> Plan {
    plan(&draft(&brief(settings)))
}

/// What stands in the way of a canvas with these settings.
fn said(settings: Json) -> Vec<String> {
    let all = planned(&settings).faults;
    all.iter().map(ToString::to_string).collect()
}

fn framed(settings: Json) -> Frame {
    let plan = planned(&settings);
    assert_eq!(plan.faults, []);
    plan.canvases[0].frame.clone().unwrap()
}

fn fastened(settings: Json) -> Fasteners {
    planned(&settings).canvases[0].fasteners.clone().unwrap()
}

fn member(frame: &Frame, part: Part) -> &Member {
    frame.members.iter().find(|m| m.part == part).unwrap()
}

/// The marks of one part: nanometres from its left end, and what lies there.
fn marks(frame: &Frame, part: Part) -> Vec<(i64, Vec<MarkKind>)> {
    let marks = member(frame, part).marks.iter();
    marks.map(|m| (m.at.as_nm(), m.what.clone())).collect()
}

/// Where one kind of mark lies on a part, in nanometres.
fn places(frame: &Frame, part: Part, kind: MarkKind) -> Vec<i64> {
    let all = marks(frame, part).into_iter();
    all.filter(|(_, what)| what.contains(&kind))
        .map(|(at, _)| at)
        .collect()
}

/// Whole micrometres as nanometres.
fn um<const N: usize>(all: [i64; N]) -> Vec<i64> {
    all.map(|x| x * 1000).into()
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value}, not {expected}"
    );
}

#[test]
fn marks_on_the_bars_of_a_mitred_frame() {
    use MarkKind::{
        BraceFar, BraceNear, End, HousingFrom, HousingMiddle, HousingTo, Pin, Screw, Toe,
    };
    let frame = framed(json!({}));
    // The brace's near edge: 42 + 100 − 59.396970 from the end; its far edge 42 + 100.
    // Half of 42 is 21 on each side of a middle; the upright bar is in the middle, 450.
    // Heel screw at half a face, pin of the top bar at a third.
    let top = [
        (0, vec![End]),
        (14_000_000, vec![Pin]),
        (21_000_000, vec![Screw]),
        (42_000_000, vec![Toe]),
        (82_603_030, vec![BraceNear]),
        (142_000_000, vec![BraceFar]),
        (429_000_000, vec![HousingFrom]),
        (450_000_000, vec![HousingMiddle, Screw]),
        (471_000_000, vec![HousingTo]),
        (758_000_000, vec![BraceFar]),
        (817_396_970, vec![BraceNear]),
        (858_000_000, vec![Toe]),
        (879_000_000, vec![Screw]),
        (886_000_000, vec![Pin]),
        (900_000_000, vec![End]),
    ];
    assert_eq!(marks(&frame, Part::TopBottom), top);
    // Two level bars at thirds of 600; the side bar's pin at two thirds of a face, no heel screw.
    let side = [
        (0, vec![End]),
        (28_000_000, vec![Pin]),
        (42_000_000, vec![Toe]),
        (82_603_030, vec![BraceNear]),
        (142_000_000, vec![BraceFar]),
        (179_000_000, vec![HousingFrom]),
        (200_000_000, vec![HousingMiddle, Screw]),
        (221_000_000, vec![HousingTo]),
        (379_000_000, vec![HousingFrom]),
        (400_000_000, vec![HousingMiddle, Screw]),
        (421_000_000, vec![HousingTo]),
        (458_000_000, vec![BraceFar]),
        (517_396_970, vec![BraceNear]),
        (558_000_000, vec![Toe]),
        (572_000_000, vec![Pin]),
        (600_000_000, vec![End]),
    ];
    assert_eq!(marks(&frame, Part::Side), side);
    for part in [Part::TopBottom, Part::Side] {
        assert_eq!(member(&frame, part).count, 2);
        assert_eq!(member(&frame, part).ends, Ends::Mitred);
    }
    // Between the toes: 900 − 2 × 42 and 600 − 2 × 42.
    for (part, short) in [(Part::TopBottom, 816), (Part::Side, 516)] {
        let edge = member(&frame, part).short_edge.as_ref().unwrap();
        assert_eq!(edge.value, Length::from_mm(short));
    }
}

#[test]
fn marks_on_cross_bars_and_braces() {
    use MarkKind::{End, EndShoulder, HousingFrom, HousingMiddle, HousingTo, Screw};
    let frame = framed(json!({}));
    // Laps of a whole face at both ends with a screw in their middles; no screw at a crossing.
    let upright = [
        (0, vec![End]),
        (21_000_000, vec![Screw]),
        (42_000_000, vec![EndShoulder]),
        (179_000_000, vec![HousingFrom]),
        (200_000_000, vec![HousingMiddle]),
        (221_000_000, vec![HousingTo]),
        (379_000_000, vec![HousingFrom]),
        (400_000_000, vec![HousingMiddle]),
        (421_000_000, vec![HousingTo]),
        (558_000_000, vec![EndShoulder]),
        (579_000_000, vec![Screw]),
        (600_000_000, vec![End]),
    ];
    assert_eq!(marks(&frame, Part::Upright), upright);
    let level = [
        (0, vec![End]),
        (21_000_000, vec![Screw]),
        (42_000_000, vec![EndShoulder]),
        (429_000_000, vec![HousingFrom]),
        (450_000_000, vec![HousingMiddle]),
        (471_000_000, vec![HousingTo]),
        (858_000_000, vec![EndShoulder]),
        (879_000_000, vec![Screw]),
        (900_000_000, vec![End]),
    ];
    assert_eq!(marks(&frame, Part::Level), level);
    assert_eq!(member(&frame, Part::Upright).count, 1);
    assert_eq!(member(&frame, Part::Level).count, 2);
    // A through bar hangs on the outer side alone.
    assert_eq!(member(&frame, Part::Upright).length.how.inputs.len(), 1);

    let brace = member(&frame, Part::Brace);
    assert_eq!((brace.count, brace.ends), (4, Ends::Mitred));
    // √2 × 100 over the long edge, two faces less over the short one.
    assert_eq!(brace.length.value.as_nm(), 141_421_356);
    let short = brace.short_edge.as_ref().unwrap();
    assert_eq!(short.value.as_nm(), 57_421_356);
    let toes = places(&frame, Part::Brace, MarkKind::Toe);
    assert_eq!(toes, [42_000_000, 99_421_356]);
}

#[test]
fn stopped_housings_move_every_mark_by_as_much() {
    let frame = framed(json!({"housing": "stopped", "stop_short": "12"}));
    let upright = member(&frame, Part::Upright);
    // 600 − 2 × 12; laps of 42 − 12 with a screw in their middles.
    assert_eq!(upright.length.value, Length::from_mm(576));
    assert_eq!(upright.as_sawn.value, Length::from_mm(576));
    assert_eq!(upright.length.how.inputs.len(), 2);
    let at = |kind| places(&frame, Part::Upright, kind);
    assert_eq!(at(MarkKind::EndShoulder), um([30_000, 546_000]));
    assert_eq!(at(MarkKind::Screw), um([15_000, 561_000]));
    // The level bars at 200 and 400 of the outside, 12 less on the bar itself.
    assert_eq!(at(MarkKind::HousingFrom), um([167_000, 367_000]));
    assert_eq!(at(MarkKind::HousingMiddle), um([188_000, 388_000]));
    assert_eq!(at(MarkKind::HousingTo), um([209_000, 409_000]));
    let level = member(&frame, Part::Level);
    assert_eq!(level.length.value, Length::from_mm(876));
}

#[test]
fn each_corner_has_its_own_marks_and_ends() {
    let lap = framed(json!({"corner": "square_lap", "heel_allowance": "5"}));
    let bevelled = framed(json!({"corner": "mitre_lap", "heel_allowance": "5"}));
    let mitre = framed(json!({"heel_allowance": "5"}));
    for part in [Part::TopBottom, Part::Side] {
        let long = member(&mitre, part).length.value;
        let far = |x: i64| long.as_nm() - x * 1000;
        let both = |x: i64| vec![x * 1000, far(x)];
        for (frame, toes, shoulders) in [
            (&lap, vec![], both(42_000)),
            (&bevelled, both(42_000), both(42_000)),
            (&mitre, both(42_000), vec![]),
        ] {
            assert_eq!(places(frame, part, MarkKind::Toe), toes);
            assert_eq!(places(frame, part, MarkKind::CornerShoulder), shoulders);
        }
        // Two screws a lap, a quarter and three quarters of 42 from the end; no pins.
        for frame in [&lap, &bevelled] {
            let mut screws = places(frame, part, MarkKind::Screw);
            screws.retain(|at| *at < 100_000_000 || *at > far(100_000));
            let near = [10_500_000, 31_500_000, far(31_500), far(10_500)];
            assert_eq!(screws, near);
            assert_eq!(places(frame, part, MarkKind::Pin), [0_i64; 0]);
            assert_eq!(member(frame, part).ends, Ends::Square);
            assert_eq!(member(frame, part).as_sawn.value, long);
        }
        // Only a mitre is planed to the line: 2 × 5 mm more off the saw.
        let sawn = member(&mitre, part).as_sawn.value;
        assert_eq!(sawn, long + Length::from_mm(10));
    }
    assert!(member(&lap, Part::Side).short_edge.is_none());
    let short = member(&bevelled, Part::Side).short_edge.as_ref().unwrap();
    assert_eq!(short.value, Length::from_mm(516));
}

#[test]
fn screws_and_pins_are_marked_where_they_are_used() {
    let kinds = |frame: &Frame, kind| -> usize {
        let all = frame.members.iter().flat_map(|m| &m.marks);
        all.filter(|m| m.what.contains(&kind)).count()
    };
    // Heels 2, housings 1 + 2, cross-bar ends 2 + 2; braces 2; pins 2 + 2: each kind of member
    // once.
    for (settings, screws, in_braces, pins) in [
        (json!({}), 2 + 3 + 4, 2, 4),
        (json!({"screws": "no"}), 0, 0, 4),
        (json!({"fixing": "keyed"}), 0, 2, 0),
        // Laps have two a corner on either bar.
        (json!({"corner": "square_lap"}), 8 + 3 + 4, 2, 0),
        (json!({"corner": "square_lap", "screws": "no"}), 0, 0, 0),
        (json!({"corner": "square_lap", "fixing": "keyed"}), 0, 2, 0),
        // Without braces nothing of them is marked.
        (json!({"braces": "no"}), 2 + 3 + 4, 0, 4),
    ] {
        let frame = framed(settings.clone());
        assert_eq!(kinds(&frame, MarkKind::Screw), screws, "{settings}");
        assert_eq!(kinds(&frame, MarkKind::BraceScrew), in_braces, "{settings}");
        assert_eq!(kinds(&frame, MarkKind::Pin), pins, "{settings}");
        let braced = settings.get("braces").is_none();
        assert_eq!(kinds(&frame, MarkKind::BraceNear), usize::from(braced) * 4);
        assert_eq!(kinds(&frame, MarkKind::BraceFar), usize::from(braced) * 4);
    }
    // Square to the mitre the heel screw enters a whole face in, over the toe.
    let frame = framed(json!({"screw_way": "square_to_mitre"}));
    let at = &marks(&frame, Part::TopBottom)[2];
    assert_eq!(*at, (42_000_000, vec![MarkKind::Toe, MarkKind::Screw]));
}

#[test]
fn a_brace_screw_reaches_into_the_bar() {
    // √2 × (length − 6 diameters), no more than a face of 42 and no less than a third, 14.
    for (length, diameter, at) in [
        ("50", "3", 42_000_000),     // √2 × 32 = 45.25
        ("40", "2.5", 35_355_339),   // √2 × 25
        ("25", "2.5", 14_142_136),   // √2 × 10
        ("24.8", "2.5", 14_000_000), // √2 × 9.8 = 13.86
        ("12", "4", 14_000_000),     // 24 mm are more than it has
    ] {
        let frame = framed(json!({"screw_length": length, "screw_diameter": diameter}));
        let found = places(&frame, Part::Brace, MarkKind::BraceScrew);
        assert_eq!(found, [at, 141_421_356 - at], "{length} × {diameter}");
    }
}

#[test]
fn fasteners_are_counted_joint_by_joint() {
    // Housings: 2 × 1 upright + 2 × 2 level = 6 ends; braces 4 with two screws each.
    for (settings, screws, pins) in [
        (json!({}), 4 + 6 + 8, 8),
        (json!({"corner": "mitre_lap"}), 8 + 6 + 8, 0),
        (json!({"corner": "square_lap"}), 8 + 6 + 8, 0),
        (json!({"fixing": "keyed"}), 8, 0),
        (json!({"screws": "no"}), 0, 8),
        (json!({"braces": "no"}), 4 + 6, 8),
    ] {
        let got = fastened(settings.clone());
        assert_eq!(got.screws.value, screws, "{settings}");
        assert_eq!(got.pins.value, pins, "{settings}");
    }
    let got = fastened(json!({"screw_diameter": "3.5", "pin_diameter": "1.4"}));
    // 0.49 × 3.5; two thirds of 42 and 8 × 1.4; 12 for each 1 of a quarter of 18.
    near(got.pilot.value.to_mm(), 1.715, 1e-6);
    assert_eq!(got.shortest_pin.value, Length::from_nm(39_200_000));
    assert_eq!(got.longest_pin.value, Length::from_mm(54));
}

#[test]
fn screws_stay_in_the_wood_and_hold() {
    // Longest that stays inside, and what of it is in the second piece.
    let edge = |length: &str| json!({"screw_length": length});
    let mitre = |length: &str| json!({"screw_length": length, "screw_way": "square_to_mitre"});
    let lap = |length: &str| json!({"screw_length": length, "corner": "square_lap"});
    for (settings, longest, hold) in [
        // Half of 42 passed first.
        (edge("50"), None, 29_000_000),
        (edge("15"), None, 0),
        // √2 × 42 from side to side, 3 kept clear; half of it, 29.698485, passed first.
        (mitre("50"), Some(56_396_970), 20_301_515),
        (mitre("29"), Some(56_396_970), 0),
        // Half of 18 passed first; what comes out of the back holds nothing.
        (lap("12"), Some(15_000_000), 3_000_000),
        (lap("50"), Some(15_000_000), 9_000_000),
    ] {
        let got = fastened(settings.clone());
        let found = got.longest_screw.map(|f| f.value.as_nm());
        assert_eq!(found, longest, "{settings}");
        assert_eq!(got.screw_hold.value.as_nm(), hold, "{settings}");
    }
}

#[test]
fn glue_covers_every_joint() {
    // A mitre: √2 × 42 × 18 = 1069.145453 mm²; a housing: 42 × 42 = 1764; a brace has two mitres.
    // Six housings and two crossings: 8 × 1764 = 14112; four braces: 8 × 1069.145453 = 8553.163622.
    const INNER: f64 = 14_112.0 + 8_553.163_622;
    for (settings, mm2) in [
        (json!({}), 4.0 * 1_069.145_453 + INNER),
        // Half of a face's square and half of the mitre: 882 + 534.572726.
        (json!({"corner": "mitre_lap"}), 4.0 * 1_416.572_726 + INNER),
        (json!({"corner": "square_lap"}), 4.0 * 1764.0 + INNER),
        // Corners and housings stay dry; the two crossings and the braces do not.
        (json!({"fixing": "keyed"}), 2.0 * 1764.0 + 8_553.163_622),
        (json!({"braces": "no"}), 4.0 * 1_069.145_453 + 14_112.0),
    ] {
        let mut settings = settings;
        settings["wood_glue_spread"] = json!("150");
        let got = fastened(settings);
        near(got.glue_area.value.to_m2() * 1e6, mm2, 0.001);
        // 150 g on each m².
        near(got.wood_glue.value.to_grams(), mm2 * 150.0 / 1e6, 1e-6);
    }
}

#[test]
fn sizes_with_and_without_bead_and_cloth() {
    // Twice the bead's 3 mm and the cloth's 0.5 mm are 7 mm; a bevel stands out by nothing.
    let sized = |means: &str, bead: &str| {
        let frame = framed(json!({
            "size_means": means, "bead": bead, "bead_overhang": "3", "cloth_thickness": "0.5",
        }));
        let all = [
            &frame.outer_width,
            &frame.outer_height,
            &frame.finished_width,
            &frame.finished_height,
        ];
        let mm = all.map(|f| f.value.to_mm());
        let inputs = all.map(|f| f.how.inputs.len());
        (mm, inputs)
    };
    let (same, more) = (2, 4);
    assert_eq!(
        sized("outer", "quarter_round"),
        ([900.0, 600.0, 907.0, 607.0], [same, same, more, more])
    );
    assert_eq!(
        sized("finished", "quarter_round"),
        ([893.0, 593.0, 900.0, 600.0], [more, more, same, same])
    );
    for bead in ["bevel", "none"] {
        assert_eq!(sized("outer", bead).0, [900.0, 600.0, 901.0, 601.0]);
        assert_eq!(sized("finished", bead).0, [899.0, 599.0, 900.0, 600.0]);
    }
}

#[test]
fn a_frame_is_square_when_its_diagonals_agree() {
    let frame = framed(json!({"fixing": "keyed", "braces": "no"}));
    // √(900² + 600²) = 1081.665383; over 2 × 900.
    near(frame.diagonal.value.to_mm(), 1_081.665_383, 1e-5);
    near(frame.lean_per_difference.value, 0.600_925_213, 1e-8);
    near(frame.mitre.value.to_degrees(), 45.0, 0.0);
    assert_eq!(frame.lap_depth.value, Length::from_mm(9));
    assert_eq!(frame.keys.unwrap().value, 8);
    assert!(framed(json!({})).keys.is_none());

    let mm = Length::from_mm;
    // 3 × 1081.665383 / 1800, whichever diagonal is the longer.
    for apart in [3, -3] {
        near(lean(mm(900), mm(600), mm(apart)).to_mm(), 1.802_776, 1e-5);
    }
    assert_eq!(lean(mm(0), mm(600), mm(3)), Length::ZERO);
    assert_eq!(lean(mm(-900), mm(600), mm(3)), Length::ZERO);
}

#[test]
fn sizes_in_words() {
    let inches = |fraction, sixty_fourths: i64| {
        let show = Show {
            units: Units::Imperial,
            fraction,
        };
        let width = Length::from_inch_64ths(24 * 64 + sixty_fourths);
        size_words(show, width, Length::INCH * 36)
    };
    assert_eq!(inches(Fraction::Sixteenth, 36), "24 9/16 × 36 in");
    assert_eq!(inches(Fraction::ThirtySecond, 34), "24 17/32 × 36 in");
    assert_eq!(inches(Fraction::SixtyFourth, 35), "24 35/64 × 36 in");
    let mm = size_words(Show::default(), Length::from_mm(900), Length::from_mm(605));
    assert_eq!(mm, "900 × 605 mm");
}

#[test]
fn members_and_marks_have_names() {
    let parts = [
        Part::TopBottom,
        Part::Side,
        Part::Upright,
        Part::Level,
        Part::Brace,
    ];
    let names = [
        "top and bottom bar",
        "side bar",
        "upright cross bar",
        "level cross bar",
        "corner brace",
    ];
    assert_eq!(parts.map(Part::name), names);
    for (kind, word) in [
        (MarkKind::End, "end"),
        (MarkKind::Toe, "toe"),
        (MarkKind::CornerShoulder, "corner shoulder"),
        (MarkKind::HousingFrom, "first shoulder"),
        (MarkKind::HousingMiddle, "middle"),
        (MarkKind::HousingTo, "second shoulder"),
        (MarkKind::EndShoulder, "end shoulder"),
        (MarkKind::BraceNear, "near edge"),
        (MarkKind::BraceFar, "far edge"),
        (MarkKind::Screw, "screw"),
        (MarkKind::BraceScrew, "long edge"),
        (MarkKind::Pin, "pin"),
    ] {
        assert!(kind.name().contains(word), "{kind:?}");
    }
}

/// One canvas with these sides and cross bars, without braces unless the settings say so.
fn bare(width: &str, height: &str, bars: [u32; 2], settings: Json) -> Vec<String> {
    let mut brief = settings;
    if brief.get("braces").is_none() {
        brief["braces"] = json!("no");
    }
    brief["canvases"] = json!([
        {"width": width, "height": height, "upright_bars": bars[0], "level_bars": bars[1]},
    ]);
    said(brief)
}

#[test]
fn sides_need_an_opening() {
    // Two faces are 84 mm; a canvas has 100 at least, so a batten of 60 and 120 mm.
    let wide = || json!({"bar_face": "60"});
    assert_eq!(bare("120.1", "500", [0, 0], wide()), [""; 0]);
    assert_eq!(
        bare("500", "119", [0, 0], wide()),
        [
            "canvases[0].height: The bars are 60 mm wide, so a side of 119 mm leaves no opening. Make the side longer than 120 mm, or take a batten narrower than 59.5 mm."
        ]
    );
}

#[test]
fn cross_bars_need_their_bays() {
    let no_fit = |key: &str, bars: u32, side: &str, most: u32| {
        format!(
            "canvases[0].{key}: {bars} cross bars of 42 mm do not fit into {side} mm. Take at most {most}."
        )
    };
    let none: [String; 0] = [];
    // From middle to middle one and a half faces, 63 mm: five bays of 63 are 315 mm.
    assert_eq!(bare("315.5", "900", [4, 0], json!({})), none);
    assert_eq!(
        bare("315", "900", [4, 0], json!({})),
        [no_fit("upright_bars", 4, "315", 3)]
    );
    assert_eq!(
        bare("900", "300", [0, 6], json!({})),
        [no_fit("level_bars", 6, "300", 3)]
    );
    // Seven bays of 63 are 441, two are 126.
    assert_eq!(bare("441.5", "900", [6, 0], json!({})), none);
    assert_eq!(
        bare("441", "900", [6, 0], json!({})),
        [no_fit("upright_bars", 6, "441", 5)]
    );
    assert_eq!(bare("126.5", "900", [1, 0], json!({})), none);
    assert_eq!(
        bare("126", "900", [1, 0], json!({})),
        [no_fit("upright_bars", 1, "126", 0)]
    );
    // No bars need no bays.
    assert_eq!(bare("100", "900", [0, 0], json!({})), none);
}

#[test]
fn braces_need_room_and_leave_it() {
    let legs = |leg: &str| json!({"braces": "yes", "brace_leg": leg});
    let none: [String; 0] = [];
    let past = |leg: &str, room: &str, remedy: &str| {
        [format!(
            "canvases[0].braces: Braces with legs of {leg} mm reach past the {room} mm that is free at the corners. {remedy}"
        )]
    };
    let shorter = |room: &str| {
        format!("Set the brace leg to {room} mm or less, or leave the braces out here.")
    };
    // Without cross bars two braces share the opening: (284 − 2 × 42) / 2 = 100.
    for (fits, too_small, bars) in [
        (["284", "900"], ["283", "900"], [0, 0]),
        (["900", "284"], ["900", "283"], [0, 0]),
        // To the first cross bar: 326 / 2 − 42 − 21 = 100, and 489 / 3 − 63.
        (["326", "900"], ["325", "900"], [1, 0]),
        (["900", "489"], ["900", "487.5"], [0, 2]),
    ] {
        assert_eq!(bare(fits[0], fits[1], bars, legs("100")), none);
        let said = bare(too_small[0], too_small[1], bars, legs("100"));
        assert_eq!(said, past("100", "99.5", &shorter("99.5")), "{too_small:?}");
    }
    // Nothing shorter would make a brace: √2 × 42 = 59.39697 is the room of 84 + 2 × 59.39697.
    assert_eq!(
        bare("202.79394", "900", [0, 0], legs("100")),
        past("100", "59", "Leave the braces out here.")
    );
    // Between the two, what is shown of the room, 59 mm, would make none.
    assert_eq!(
        bare("202.9", "900", [0, 0], legs("100")),
        past("100", "59", "Leave the braces out here.")
    );
    assert_eq!(
        bare("204", "900", [0, 0], legs("100")),
        past("100", "60", &shorter("60"))
    );
    // A leg has to be longer than the brace is wide across its 45°.
    assert_eq!(bare("900", "900", [0, 0], legs("59.396971")), none);
    assert_eq!(
        bare("900", "900", [0, 0], legs("59.39697")),
        [
            "canvases[0].braces: A brace 42 mm wide needs a leg longer than 59.5 mm, and it is 59.5 mm. Set the brace leg to 60 mm or more."
        ]
    );
}

#[test]
fn the_usual_brace_leg_gives_way_in_a_narrow_frame() {
    let leg = |width: &str, height: &str, units: &str| {
        let mut brief = brief(&json!({"units": units}));
        brief.as_object_mut().unwrap().remove("brace_leg");
        brief["bar_face"] = json!("42 mm");
        brief["bar_depth"] = json!("18 mm");
        brief["canvases"] =
            json!([{"width": width, "height": height, "upright_bars": 0, "level_bars": 0}]);
        let plan = plan(&draft(&brief));
        assert_eq!(plan.faults, []);
        let frame = plan.canvases[0].frame.clone().unwrap();
        let brace = member(&frame, Part::Brace).clone();
        brace.length.value.to_mm() / 2_f64.sqrt()
    };
    // (300 − 84) / 2 = 108, in whole 5 mm 105, in quarter inches 4 1/4 in = 107.95 mm.
    near(leg("300 mm", "500 mm", "metric"), 105.0, 1e-5);
    near(leg("500 mm", "300 mm", "metric"), 105.0, 1e-5);
    near(leg("300 mm", "500 mm", "imperial"), 107.95, 1e-5);
    // 150 mm where there is as much: 84 + 300.
    near(leg("384 mm", "500 mm", "metric"), 150.0, 1e-5);
    near(leg("383 mm", "500 mm", "metric"), 145.0, 1e-5);
    // A face of 42.426407 mm takes 60 mm across its 45°: a leg of 60 mm makes no brace, so the
    // usual one stays, and it is said. (206 − 2 × 42.426407) / 2 = 60.57 mm are free.
    let mut wide = brief(&json!({"bar_face": "42.426407"}));
    wide.as_object_mut().unwrap().remove("brace_leg");
    wide["canvases"] =
        json!([{"width": "206", "height": "500", "upright_bars": 0, "level_bars": 0}]);
    let faults = plan(&draft(&wide)).faults;
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "canvases[0].braces: Braces with legs of 150 mm reach past the 60.5 mm that is free at the corners. Set the brace leg to 60.5 mm or less, or leave the braces out here."
        ]
    );
}

#[test]
fn a_stopped_housing_leaves_something_of_the_bar() {
    let stopped = |stop: &str| json!({"housing": "stopped", "stop_short": stop});
    let none: [String; 0] = [];
    let wrong = [
        "canvases[0].upright_bars: A housing stopped 42 mm short of the edge leaves nothing of a bar 42 mm wide. Stop it less than 42 mm short.",
    ];
    for bars in [[1, 0], [0, 1], [1, 1], [2, 1]] {
        assert_eq!(bare("900", "600", bars, stopped("42")), wrong, "{bars:?}");
    }
    assert_eq!(bare("900", "600", [1, 1], stopped("41.5")), none);
    assert_eq!(bare("900", "600", [0, 0], stopped("50")), none);
    let through = json!({"housing": "through", "stop_short": "50"});
    assert_eq!(bare("900", "600", [1, 1], through), none);
}

#[test]
fn pieces_of_a_cut_board_are_read_within_limits() {
    let one = |text: &str| {
        let parts = read(text, Units::Metric).ok()?;
        assert_eq!(parts.len(), 1);
        Some((parts[0].count, parts[0].length.to_mm()))
    };
    // At most 50 000 pieces, each 0.1 mm at least.
    assert_eq!(one("50000 x 900"), Some((50_000, 900.0)));
    assert_eq!(read("50001 x 900", Units::Metric), Err("50001 x 900"));
    assert_eq!(one("3 x 0.1"), Some((3, 0.1)));
    assert_eq!(read("3 x 0.09", Units::Metric), Err("3 x 0.09"));
    // A unit of four letters is no word for the ends.
    assert_eq!(one("2 x 3 feet"), Some((2, 914.4)));
    // A comma parts unless it stands between two digits.
    let lengths = |text: &str| -> Vec<f64> {
        let parts = read(text, Units::Metric).unwrap();
        parts.iter().map(|p| p.length.to_mm()).collect()
    };
    assert_eq!(lengths("700, 800,9 square"), [700.0, 800.9]);
    assert_eq!(lengths("70,5 cm,2 x 800 mm , 900"), [705.0, 800.0, 900.0]);
}

/// One square-lapped frame of 900 × 600 without cross bars from boards of 2 m.
fn lapped() -> Json {
    json!({
        "bracing_by": "rule", "corner": "square_lap", "bead": "none", "braces": "no",
        "canvases": [{"width": "900", "height": "600", "upright_bars": 0, "level_bars": 0}],
        "boards": [{"length": "2 m", "price": "3.00"}],
    })
}

#[test]
fn a_board_that_is_cut_lies_as_it_was_bought() {
    // A bevelled batten can't be turned over: where its pieces are mitred, each cut between two
    // tips takes √2 kerfs; square ends take one.
    for corner in ["square_lap", "mitre"] {
        let mut brief = lapped();
        brief["corner"] = json!(corner);
        brief["bead"] = json!("bevel");
        let draft = draft(&brief);
        let before = plan(&draft);
        let boards = &before.boards.as_ref().unwrap().boards;
        for (i, bought) in boards.iter().enumerate() {
            let locked = lock(&draft, &before, BoardOf::Bars, i, 1).unwrap();
            let after = plan(&locked);
            assert_eq!(after.faults, []);
            let cut = &after.boards.as_ref().unwrap().boards[0];
            assert!(cut.locked);
            assert_eq!(cut.waste, bought.waste, "{corner}");
            assert_eq!(cut.offcuts, bought.offcuts, "{corner}");
        }
    }
    // 2 × 900 of 2 m, trimmed 2 × 10: two cuts of 2 mm leave 1980 − 1800 − 4 = 176.
    let mut brief = lapped();
    brief["bead"] = json!("bevel");
    brief["cut"] = json!([{"length": "2 m", "pieces": "2 x 900"}]);
    let plan = plan(&draft(&brief));
    let cut = &plan.boards.as_ref().unwrap().boards[0];
    assert!(cut.locked);
    assert_eq!(cut.waste.kerf, Length::from_mm(4));
    assert_eq!(cut.waste.offcut, Length::from_mm(176));
}

#[test]
fn how_many_boards_are_cut_is_written_where_it_is_more_than_one() {
    // Four frames: four boards of 2 × 900 and more of 600.
    let mut brief = lapped();
    brief["canvases"][0]["count"] = json!("4");
    let draft = draft(&brief);
    let before = plan(&draft);
    let boards = &before.boards.as_ref().unwrap().boards;
    let i = boards.iter().position(|b| b.count > 2).unwrap();
    let noted = |draft: &Draft| draft.cut[0].get("count").cloned();
    let one = lock(&draft, &before, BoardOf::Bars, i, 1).unwrap();
    assert_eq!(noted(&one), None);
    let two = lock(&draft, &before, BoardOf::Bars, i, 2).unwrap();
    assert_eq!(noted(&two).unwrap(), "2");
    // Two more like the one row that is there already.
    let mut typed = draft.clone();
    typed.cut.clone_from(&two.cut);
    let four = lock(&typed, &before, BoardOf::Bars, i, 2).unwrap();
    assert_eq!((four.cut.len(), noted(&four).unwrap()), (1, "4".into()));
}

#[test]
fn a_full_list_of_cut_boards_takes_no_other() {
    let draft = draft(&lapped());
    let plan = plan(&draft);
    // A hundred rows are the most.
    for (rows, fits) in [(99, true), (100, false)] {
        let mut full = draft.clone();
        full.cut = vec![planner::Record::new(); rows];
        let locked = lock(&full, &plan, BoardOf::Bars, 0, 1);
        assert_eq!(locked.is_some(), fits, "{rows} rows");
        assert!(locked.is_none_or(|l| l.cut.len() == 100));
    }
}

#[test]
fn a_board_is_noted_only_where_its_pieces_fit_into_the_field() {
    // `2 x 100 mm square, ` has 19 characters: 26 lengths take 26 × 19 − 2 = 492 of 500.
    // Each length of x.5 mm takes two more, each of x.25 mm three more.
    for (halves, quarters, characters, fits) in [(4, 0, 500, true), (0, 3, 501, false)] {
        let sides: Vec<String> = (0..26)
            .map(|n| match n {
                n if n < halves => format!("{}.5 mm", 100 + n),
                n if n < quarters => format!("{}.25 mm", 100 + n),
                n => format!("{} mm", 100 + n),
            })
            .collect();
        let canvases: Vec<Json> = sides
            .chunks(2)
            .map(|s| json!({"width": s[0], "height": s[1], "upright_bars": 0, "level_bars": 0}))
            .collect();
        let written: usize = sides
            .iter()
            .map(|s| format!("2 x {s} square, ").len())
            .sum();
        assert_eq!(written - 2, characters);
        let mut brief = lapped();
        brief["bar_face"] = json!("20");
        brief["canvases"] = json!(canvases);
        // All 52 pieces of about 113 mm lie on one board.
        brief["boards"] = json!([{"length": "7 m"}]);
        let draft = draft(&brief);
        let plan = plan(&draft);
        assert_eq!(plan.faults, []);
        assert_eq!(plan.boards.as_ref().unwrap().boards.len(), 1);
        let locked = lock(&draft, &plan, BoardOf::Bars, 0, 1);
        assert_eq!(locked.is_some(), fits, "{characters}");
        let length = locked.map(|l| l.cut[0]["pieces"].chars().count());
        assert!(length.is_none_or(|l| l == characters));
    }
}
