//! Planning backward: what the rack and the cloth are enough for.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::backward::{Backward, Like, Short};
use planner::{Draft, backward, plan};
use proptest::prelude::*;
use quantity::Length;
use serde_json::{Value as Json, json};

fn draft(brief: &Json) -> Draft {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief.clone()).unwrap());
    assert_eq!(faults, []);
    draft
}

fn asked(brief: &Json) -> Backward {
    backward(&draft(brief)).unwrap()
}

/// Whether the plan of so many canvases of this size has a place for every piece and blank.
fn can_be_made(rack: &Json, size: [Length; 2], count: u64) -> bool {
    let mut brief = rack.clone();
    brief["canvases"] =
        json!([{"width": size[0].to_mm(), "height": size[1].to_mm(), "count": count}]);
    let p = plan(&draft(&brief));
    let bead = p.bead.is_some() || p.bead_list.is_empty();
    p.canvases[0].frame.is_some() && p.boards.is_some() && bead && p.cloth.is_some()
}

fn size_of(answer: &Backward) -> [Length; 2] {
    let [w, h] = &answer.largest.as_ref().unwrap().size;
    [w.value, h.value]
}

#[test]
fn the_largest_square_from_one_board() {
    // A square of side s without bars takes 4 s − 3 × 45 of a board: four mitred pieces nest, one
    // wedge of 45 is lost. With three mitred cuts of 2.828 and nothing trimmed, 2400 ≥ 4 s − 135 +
    // 8.485: s ≤ 631.6, so 631. Cloth is as wide as wanted.
    let brief = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "trim": "0", "kerf": "2 mm",
        "from_rack": "1:1",
        "boards": [{"length": "2.4 m", "limit": "1"}],
        "rolls": [{"width": "2.1 m"}],
    });
    let answer = asked(&brief);
    assert_eq!(size_of(&answer), [Length::from_mm(631); 2]);
    let largest = answer.largest.as_ref().unwrap();
    assert_eq!(largest.ends_by, Some(Short::Batten));
    assert!(largest.proven);
    assert_eq!(answer.bought_as_needed, [false, true]);
    assert!(answer.count.is_none(), "no size was given");
    // One more board: two boards of 2400 hold two pieces each, 2 s − 45 + 2.828: s ≤ 1221; but
    // beyond 737 the rule wants a bar each way.
    assert_eq!(answer.more[0].length, Length::from_mm(2400));
    assert!(answer.more[0].longer >= Length::from_mm(737 - 631));
}

#[test]
fn how_many_of_a_size() {
    // 600 × 400 without bars takes 2000 − 135 + 8.5 = 1873.5 of a board, and a further piece of 400
    // 357.8 more: 2.4 m hold five pieces at most. Three boards hold three frames; a fourth needs two
    // pieces of 600 and two of 400, and the rests are 2400 − 1873.5 − 2.8 = 523.7 each, room for one of
    // 400 − 45 only: no place for 600.
    let brief = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "trim": "0", "kerf": "2 mm",
        "from_rack": "600 x 400",
        "boards": [{"length": "2.4 m", "limit": "3"}],
        "rolls": [{"width": "2.1 m"}],
    });
    let count = asked(&brief).count.unwrap();
    assert!(
        (3..=3).contains(&count.canvases.value),
        "{:?}",
        count.canvases.value
    );
    assert_eq!(count.ends_by, Some(Short::Batten));
    // The cloth of one: 600 + 180 by 400 + 180.
    let mut scarce = brief.clone();
    scarce["rolls"] = json!([{"width": "900", "available": "600"}]);
    let count = asked(&scarce).count.unwrap();
    assert_eq!(
        (count.canvases.value, count.ends_by),
        (1, Some(Short::Cloth))
    );
}

#[test]
fn a_rack_without_limits_is_asked_for_them() {
    let brief = json!({
        "canvases": [{"width": "600", "height": "500"}],
        "boards": [{"length": "2.4 m", "limit": "3"}, {"length": "3 m"}],
    });
    let answer = asked(&brief);
    assert_eq!(answer.unlimited.len(), 1);
    assert_eq!(
        (answer.unlimited[0].row, answer.unlimited[0].key),
        (1, "limit")
    );
    assert!(answer.largest.is_none() && answer.count.is_none());
    assert!(
        backward(&draft(&json!({}))).is_none(),
        "nothing says what to make"
    );
}

#[test]
fn words_that_are_no_size_are_said_at_their_field() {
    for (text, said) in [
        (
            "wide",
            "from_rack: “wide” is not understood here: a proportion such as 3:2, 1.414 or golden, or a size such as 900 x 600.",
        ),
        (
            "50 x 40",
            "from_rack: “50 x 40” is out of range: a proportion such as 3:2, 1.414 or golden, or a size such as 900 x 600.",
        ),
    ] {
        let p = plan(&draft(
            &json!({"from_rack": text, "canvases": [{"width": "600", "height": "500"}]}),
        ));
        assert_eq!(p.faults[0].to_string(), said);
    }
}

#[test]
fn a_size_keeps_its_unit_when_the_page_switches() {
    let mut d = draft(&json!({"from_rack": "900 x 600"}));
    d.switch_units(planner::Units::Imperial);
    let at = planner::FieldRef::setting("from_rack");
    assert_eq!(d.text(at), "900 x 600 mm");
    let (brief, faults) = planner::check(&d);
    assert_eq!(faults.len(), 1, "only the canvases are missing: {faults:?}");
    let size = [Length::from_mm(900), Length::from_mm(600)];
    assert_eq!(brief.from_rack.unwrap().value, Like::Size(size));
}

/// A rack of a few boards, all limited, with and without bead and braces.
fn racks() -> impl Strategy<Value = Json> {
    let boards = prop::collection::vec((1200u32..4200, 1u32..4), 1..4);
    let rest = (
        any::<bool>(),
        any::<bool>(),
        900u32..2200,
        prop::option::of(700u32..2500),
    );
    (boards, rest).prop_map(|(boards, (bead, rule, width, available))| {
        let mut rack: Vec<Json> = boards
            .iter()
            .map(|(mm, n)| json!({"length": mm, "limit": n}))
            .collect();
        if bead {
            rack.push(json!({"of": "bead", "length": 2400, "limit": 3}));
        }
        let mut roll = json!({"width": width});
        if let Some(mm) = available {
            roll["available"] = mm.into();
        }
        json!({
            "bead": if bead { "quarter_round" } else { "none" },
            "bracing_by": if rule { "rule" } else { "computed" },
            "boards": rack, "rolls": [roll],
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn the_answer_can_be_made_and_one_millimetre_more_can_not(
        rack in racks(),
        ratio in prop::sample::select(vec!["1:1", "3:2", "4:5", "golden", "0.4"]),
    ) {
        let mut brief = rack.clone();
        brief["from_rack"] = ratio.into();
        let answer = asked(&brief);
        let largest = answer.largest.as_ref().unwrap();
        let size = size_of(&answer);
        prop_assume!(size[0] > Length::ZERO);
        prop_assert!(can_be_made(&rack, size, 1), "{size:?}");
        let Like::Proportion(ratio) = answer.like else { panic!("a proportion") };
        let longer = size[0].max(size[1]);
        let grown = |longer: Length| {
            let other = longer.scale(ratio.min(1.0 / ratio)).round_to(Length::MM, quantity::Rounding::Nearest);
            if ratio >= 1.0 { [longer, other] } else { [other, longer] }
        };
        if largest.ends_by.is_some() {
            prop_assert!(!can_be_made(&rack, grown(longer + Length::MM), 1), "{size:?} + 1");
        }
        // Larger ones neither, as far as looked: a cross bar less may make room again.
        for i in 1..6 {
            let far = longer + Length::from_mm(37 * i);
            if far <= largest.bars_alone {
                prop_assert!(!can_be_made(&rack, grown(far), 1), "{size:?}, {far:?}");
            }
        }
        prop_assert!(largest.bars_alone >= longer);
    }

    #[test]
    fn so_many_can_be_made_and_one_more_can_not(rack in racks(), w in 250u32..700, h in 250u32..700) {
        let mut brief = rack.clone();
        brief["from_rack"] = format!("{w} x {h}").into();
        let answer = asked(&brief);
        let count = answer.count.as_ref().unwrap();
        let size = [w, h].map(|mm| Length::from_mm(i64::from(mm)));
        let n = count.canvases.value;
        if n > 0 {
            prop_assert!(can_be_made(&rack, size, n));
        }
        prop_assume!(count.proven);
        prop_assert!(!can_be_made(&rack, size, n + 1));
        // One more board never makes it fewer, and what it brings can be made.
        for more in &answer.more {
            let mut richer = rack.clone();
            for board in richer["boards"].as_array_mut().unwrap() {
                let same = board.get("of").is_none() && board["length"].as_f64() == Some(more.length.to_mm());
                if same {
                    board["limit"] = (board["limit"].as_u64().unwrap() + 1).into();
                    break;
                }
            }
            if n + more.canvases > 0 {
                prop_assert!(can_be_made(&richer, size, n + more.canvases));
            }
        }
    }
}
