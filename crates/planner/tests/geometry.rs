//! Properties of every plan: bars close, areas and lengths add up, marks stay in order, units
//! don't matter, bigger never needs less, and no typed text panics.

use planner::frame::{Ends, Part};
use planner::{Draft, FieldRef, Plan, Table, Units, plan};
use proptest::prelude::*;
use quantity::Length;

fn draft_of(settings: &[(&'static str, String)], canvases: &[(String, String, u32)]) -> Draft {
    let mut draft = Draft::default();
    for (key, text) in settings {
        draft.set(FieldRef::setting(key), text);
    }
    for (row, (w, h, n)) in canvases.iter().enumerate() {
        draft.canvases.push(planner::Record::new());
        for (key, text) in [("width", w), ("height", h), ("count", &n.to_string())] {
            draft.set(
                FieldRef {
                    table: Table::Canvases,
                    row,
                    key,
                },
                text,
            );
        }
    }
    draft
}

fn one(settings: &[(&'static str, String)], w: i64, h: i64) -> Plan {
    plan(&draft_of(
        settings,
        &[(format!("{w} mm"), format!("{h} mm"), 1)],
    ))
}

fn corner() -> impl Strategy<Value = String> {
    prop_oneof![Just("mitre"), Just("mitre_lap"), Just("square_lap")].prop_map(String::from)
}

/// All wood as sawn, longest edges.
fn wood(plan: &Plan) -> Length {
    plan.cut_list
        .iter()
        .map(|p| p.length * i64::from(p.count))
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn bars_close_into_the_rectangle(w in 400i64..1700, h in 400i64..1700, face in 20i64..80, corner in corner()) {
        let p = one(&[("bar_face", format!("{face} mm")), ("corner", corner), ("braces", "no".into())], w, h);
        prop_assert_eq!(&p.faults, &[]);
        let frame = p.canvases[0].frame.as_ref().unwrap();
        let of = |part| frame.members.iter().find(|m| m.part == part).unwrap();
        let (top, side) = (of(Part::TopBottom), of(Part::Side));
        prop_assert_eq!(top.length.value, Length::from_mm(w));
        prop_assert_eq!(side.length.value, Length::from_mm(h));
        if let (Some(ts), Some(ss)) = (&top.short_edge, &side.short_edge) {
            // The four trapezoids cover exactly the frame: outer area − opening.
            let trapezoid = |long: Length, short: Length| (long + short).to_mm() / 2.0 * face as f64;
            let four = 2.0 * (trapezoid(top.length.value, ts.value) + trapezoid(side.length.value, ss.value));
            let ring = (w * h - (w - 2 * face) * (h - 2 * face)) as f64;
            prop_assert!((four - ring).abs() < 1e-6);
        }
    }

    #[test]
    fn marks_strictly_increase_and_end_at_the_length(w in 500i64..4000, h in 500i64..4000, corner in corner(),
        up in 0u32..4, level in 0u32..4, stopped in any::<bool>())
    {
        let mut draft = draft_of(&[("corner", corner), ("braces", "no".into()),
            ("housing", if stopped { "stopped" } else { "through" }.into())], &[(format!("{w} mm"), format!("{h} mm"), 1)]);
        draft.set(FieldRef { table: Table::Canvases, row: 0, key: "upright_bars" }, &up.to_string());
        draft.set(FieldRef { table: Table::Canvases, row: 0, key: "level_bars" }, &level.to_string());
        let p = plan(&draft);
        prop_assume!(p.canvases[0].frame.is_some());
        for m in &p.canvases[0].frame.as_ref().unwrap().members {
            prop_assert_eq!(m.marks.first().unwrap().at, Length::ZERO);
            prop_assert_eq!(m.marks.last().unwrap().at, m.length.value);
            for pair in m.marks.windows(2) {
                prop_assert!(pair[0].at < pair[1].at);
            }
            // A rod reads the same from either end, but for screws and pins of one side.
            for mark in &m.marks {
                prop_assert!(m.marks.iter().any(|o| (o.at + mark.at - m.length.value).abs() <= Length::from_nm(2)));
            }
        }
    }

    #[test]
    fn every_housing_matches_its_cross_bar(w in 800i64..3000, h in 800i64..3000, up in 1u32..4, level in 1u32..4) {
        let mut draft = draft_of(&[("braces", "no".into())], &[(format!("{w} mm"), format!("{h} mm"), 1)]);
        draft.set(FieldRef { table: Table::Canvases, row: 0, key: "upright_bars" }, &up.to_string());
        draft.set(FieldRef { table: Table::Canvases, row: 0, key: "level_bars" }, &level.to_string());
        let p = plan(&draft);
        prop_assume!(p.canvases[0].frame.is_some());
        let frame = p.canvases[0].frame.as_ref().unwrap();
        let middles = |part| -> Vec<Length> {
            frame.members.iter().find(|m| m.part == part).unwrap().marks.iter()
                .filter(|k| k.what.contains(&planner::frame::MarkKind::HousingMiddle)).map(|k| k.at).collect()
        };
        // Upright bars are housed in the top bar where the level bars cross them.
        prop_assert_eq!(middles(Part::TopBottom), middles(Part::Level));
        prop_assert_eq!(middles(Part::Side), middles(Part::Upright));
        prop_assert_eq!(middles(Part::TopBottom).len(), up as usize);
    }

    #[test]
    fn metric_and_inch_entry_give_one_plan(w64 in 16i64*64..80*64, h64 in 16i64*64..80*64) {
        let inch = |n: i64| format!("{} {}/64 in", n / 64, n % 64);
        let mm = |n: i64| planner::show::exact_mm(Length::from_inch_64ths(n));
        let a = plan(&draft_of(&[], &[(inch(w64), inch(h64), 2)]));
        let b = plan(&draft_of(&[], &[(mm(w64), mm(h64), 2)]));
        prop_assert_eq!(&a, &b);
        // Switching the page's units changes no figure.
        let mut draft = draft_of(&[], &[(mm(w64), mm(h64), 2)]);
        draft.switch_units(Units::Imperial);
        let c = plan(&draft);
        prop_assert_eq!(serde_json::to_value(&b.totals).unwrap(), serde_json::to_value(&c.totals).unwrap());
        prop_assert_eq!(b.cut_list.len(), c.cut_list.len());
    }

    #[test]
    fn staples_are_symmetrical_and_never_wider_than_the_limit(w in 200i64..4000, h in 200i64..4000, spacing in 10i64..150) {
        let p = one(&[("staple_spacing", format!("{spacing} mm"))], w, h);
        prop_assume!(p.canvases[0].staples.is_some());
        let s = p.canvases[0].staples.as_ref().unwrap();
        for (side, length) in [(&s.top_bottom, w), (&s.sides, h)] {
            let length = Length::from_mm(length);
            prop_assert_eq!(side.at.len() as u64, side.count.value);
            for (a, b) in side.at.iter().zip(side.at.iter().rev()) {
                prop_assert!((*a + *b - length).abs() <= Length::from_nm(1));
            }
            for pair in side.at.windows(2) {
                prop_assert!(pair[1] - pair[0] <= Length::from_mm(spacing) + Length::from_nm(1));
            }
        }
    }

    #[test]
    fn a_larger_frame_never_needs_less(w in 400i64..2500, h in 400i64..2500, dw in 0i64..500, dh in 0i64..500) {
        // By the rule, whose cross bars grow with the sides; where computation finds that none
        // pass, the best may have fewer.
        let rule = [("bracing_by", "rule".to_string())];
        let (a, b) = (one(&rule, w, h), one(&rule, w + dw, h + dh));
        prop_assume!(a.totals.is_some() && b.totals.is_some());
        prop_assert!(wood(&a) <= wood(&b));
        prop_assert!(a.size.as_ref().unwrap().volume.value <= b.size.as_ref().unwrap().volume.value);
        prop_assert!(a.totals.as_ref().unwrap().staples.value <= b.totals.as_ref().unwrap().staples.value);
    }

    #[test]
    fn every_piece_of_the_cut_list_lies_on_a_board(w in 300i64..2200, h in 300i64..2200, n in 1u32..6, corner in corner()) {
        let p = plan(&draft_of(&[("corner", corner)], &[(format!("{w} mm"), format!("{h} mm"), n)]));
        prop_assume!(p.boards.is_some());
        let mut left: Vec<i64> = p.cut_list.iter().map(|c| i64::from(c.count)).collect();
        for b in &p.boards.as_ref().unwrap().boards {
            for piece in &b.pieces {
                left[piece.piece] -= i64::from(b.count);
                let end = piece.at + piece.length;
                prop_assert!(piece.at >= Length::ZERO && end <= b.length);
            }
        }
        prop_assert!(left.iter().all(|n| *n == 0));
        for c in &p.cut_list {
            prop_assert_eq!(c.short_edge.is_some(), c.ends == Ends::Mitred);
        }
    }

    #[test]
    fn no_typed_text_panics_or_is_lost(key in 0usize..60, text in "\\PC{0,16}", w in "[0-9a-z ./'\"½-]{0,10}") {
        let fields = Table::Settings.fields();
        let field = fields[key % fields.len()].key;
        let draft = draft_of(&[(field, text.clone())], &[(w.clone(), "800 mm".into(), 1)]);
        let p = plan(&draft);
        prop_assert_eq!(draft.text(FieldRef::setting(field)), text);
        // Either the canvas is planned, or a fault says why not.
        prop_assert!(p.canvases.iter().any(|c| c.frame.is_some()) || !p.faults.is_empty());
        for fault in &p.faults {
            prop_assert!(!fault.message(p.show).is_empty());
        }
        prop_assert!(serde_json::to_string(&p).is_ok());
    }
}

#[test]
fn a_fault_marks_only_what_depends_on_it() {
    let mut draft = draft_of(
        &[("ratio", "strong".into())],
        &[("900 mm".into(), "600 mm".into(), 1)],
    );
    let p = plan(&draft);
    assert_eq!(p.faults.len(), 1);
    let size = p.size.as_ref().unwrap();
    assert!(size.glue.is_waiting() && !size.volume.is_waiting());
    assert!(!p.canvases[0].blank.as_ref().unwrap().width.is_waiting());
    // A canvas that can't be read leaves the others and makes the totals wait.
    draft = draft_of(
        &[],
        &[
            ("900 mm".into(), "600 mm".into(), 1),
            ("wide".into(), "600 mm".into(), 1),
        ],
    );
    let p = plan(&draft);
    assert_eq!(p.canvases.len(), 1);
    assert!(p.totals.as_ref().unwrap().staples.is_waiting());
    assert!(!p.canvases[0].staples.as_ref().unwrap().staying.is_waiting());
}

#[test]
fn impossible_combinations_say_what_conflicts_and_what_would_work() {
    #[track_caller]
    fn says(settings: &[(&'static str, &str)], w: &str, h: &str, expected: &str) {
        let settings: Vec<(&'static str, String)> = settings
            .iter()
            .map(|(k, v)| (*k, (*v).to_string()))
            .collect();
        let p = plan(&draft_of(&settings, &[(w.into(), h.into(), 1)]));
        let said: Vec<String> = p.faults.iter().map(ToString::to_string).collect();
        assert_eq!(said, [expected]);
    }
    says(
        &[("bar_face", "60 mm")],
        "120 mm",
        "500 mm",
        "canvases[0].width: The bars are 60 mm wide, so a side of 120 mm leaves no opening. Make the side longer than 120 mm, or take a batten narrower than 60 mm.",
    );
    says(
        &[("brace_leg", "60 mm"), ("braces", "yes")],
        "700 mm",
        "500 mm",
        "canvases[0].braces: A brace 45 mm wide needs a leg longer than 63.5 mm, and it is 60 mm. Set the brace leg to 64.5 mm or more.",
    );
    says(
        &[],
        "2600 mm",
        "2600 mm",
        "canvases[0].width: The blank of 2818 × 2818 mm is wider than every roll. A roll of 2848 mm would do.",
    );
    says(
        &[("bead", "bevel")],
        "4850 mm",
        "400 mm",
        "canvases[0].width: Batten piece A of 4850 mm fits no board on the rack. A board of 4.87 m would do.",
    );
}

#[test]
fn only_offcuts_worth_keeping_are_named() {
    // 1 × 1800 mm, trimmed 2 × 10: 780 + 2 + 780 leaves 1780 − 1562 − 2 = 216 mm of it.
    for (keep, named) in [("200 mm", true), ("300 mm", false)] {
        let settings = [
            ("bar_face", "20 mm".into()),
            ("corner", "square_lap".into()),
            ("braces", "no".into()),
            ("bead", "bevel".into()),
            ("keep_offcut", keep.into()),
        ];
        let mut draft = draft_of(&settings, &[("780 mm".into(), "780 mm".into(), 1)]);
        for key in ["upright_bars", "level_bars"] {
            draft.set(
                FieldRef {
                    table: Table::Canvases,
                    row: 0,
                    key,
                },
                "0",
            );
        }
        draft
            .boards
            .push(planner::Record::from([("length", "1800 mm".into())]));
        let plan = plan(&draft);
        let board = &plan.boards.as_ref().unwrap().boards[0];
        assert_eq!(!board.offcuts.is_empty(), named, "{:?}", board.offcuts);
    }
}
