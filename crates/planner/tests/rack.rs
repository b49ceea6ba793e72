//! Boards that are cut already, and what another length on the rack would change.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::already_cut::lock;
use planner::brief::BoardOf;
use planner::timber::Purchase;
use planner::what_if::{Outcome, RackChange, WhatIf};
use planner::{Draft, Effort, Plan, plan, what_if};
use proptest::prelude::*;
use quantity::{Length, Money};
use serde_json::{Value as Json, json};

fn draft(brief: &Json) -> Draft {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief.clone()).unwrap());
    assert_eq!(faults, []);
    draft
}

fn said(brief: &Json) -> Vec<String> {
    let plan = plan(&draft(brief));
    plan.faults.iter().map(ToString::to_string).collect()
}

/// Two frames of 1000 × 800 without bead, with mitred corners and no bars: four mitred pieces of
/// 1000 and four of 800. Prices are invented.
fn two_frames() -> Json {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "3 mm", "trim": "0",
        "canvases": [{"width": "1000", "height": "800", "count": 2, "upright_bars": 0, "level_bars": 0}],
        "boards": [{"length": "2.4 m", "price": "6.00"}, {"length": "3.6 m", "price": "9.50"}],
    })
}

fn cost(plan: &Plan) -> Money {
    let bought = plan.boards.iter().chain(&plan.bead);
    bought
        .filter_map(|p| p.cost.as_ref().map(|c| c.value))
        .sum()
}

/// Every piece of the cut list lies on exactly one board, cut or to be bought.
fn covers_exactly(plan: &Plan) -> bool {
    let counted = |list: &[planner::timber::CutPiece], bought: Option<&Purchase>| {
        let mut left: Vec<i64> = list.iter().map(|p| i64::from(p.count)).collect();
        for board in bought.into_iter().flat_map(|p| &p.boards) {
            for piece in &board.pieces {
                left[piece.piece] -= i64::from(board.count);
            }
        }
        left.iter().all(|n| *n == 0)
    };
    counted(&plan.cut_list, plan.boards.as_ref()) && counted(&plan.bead_list, plan.bead.as_ref())
}

#[test]
fn typed_boards_are_taken_off() {
    let mut brief = two_frames();
    let before = plan(&draft(&brief));
    // 2 × 1000 mitred on one board of 2.4 m, bought for 6.00.
    brief["cut"] = json!([{"length": "2.4 m", "pieces": "2 x 1000 mitred", "price": "6.00"}]);
    let after = plan(&draft(&brief));
    assert_eq!(after.faults, []);
    let bought = after.boards.as_ref().unwrap();
    assert!(bought.boards[0].locked && bought.boards[1..].iter().all(|b| !b.locked));
    assert_eq!(bought.boards[0].pieces.len(), 2);
    assert_eq!(bought.spent, Some(Money::from_hundredths(600)));
    assert!(covers_exactly(&after));
    // Six pieces are left: the money spent is no part of the cost.
    assert!(cost(&after) < cost(&before));
    let lines: i64 = bought.lines.iter().map(|l| i64::from(l.count)).sum();
    let to_buy: i64 = (bought.boards.iter().filter(|b| !b.locked))
        .map(|b| i64::from(b.count))
        .sum();
    assert_eq!(lines, to_buy);
}

#[test]
fn nothing_is_bought_once_everything_is_cut() {
    let mut brief = two_frames();
    // Nested mitres: 2 × 1000 + 2 × 800 less 4 × 45 of nesting, with saw cuts of 4.2, take
    // 3600 − 3 × 45 + 3 × 4.2 = 3477.8.
    brief["cut"] =
        json!([{"length": "3.6 m", "pieces": "2 x 1000 mitred, 2 x 800 mitred", "count": 2}]);
    let plan = plan(&draft(&brief));
    assert_eq!(plan.faults, []);
    let bought = plan.boards.as_ref().unwrap();
    assert!(bought.lines.is_empty() && bought.proven && covers_exactly(&plan));
    assert_eq!(cost(&plan), Money::ZERO);
    assert_eq!(bought.spent, None);
}

#[test]
fn a_board_once_cut_stays_cut_with_another_saw() {
    let mut brief = two_frames();
    brief["cut"] =
        json!([{"length": "3.6 m", "pieces": "2 x 1000 mitred, 2 x 800 mitred", "count": 2}]);
    brief["trim"] = json!("100 mm");
    assert_eq!(said(&brief), Vec::<String>::new());
}

#[test]
fn lengths_off_by_less_than_the_tape_shows_are_the_same() {
    let mut brief = two_frames();
    brief["cut"] = json!([{"length": "2.4 m", "pieces": "2 x 1000.6 mitred"}]);
    assert!(covers_exactly(&plan(&draft(&brief))));
}

#[test]
fn what_is_wrong_with_a_cut_board_is_said() {
    let fault = |cut: Json| {
        let mut brief = two_frames();
        brief["cut"] = json!([cut]);
        said(&brief).join(" | ")
    };
    assert_eq!(
        fault(json!({"length": "2.4 m", "pieces": "2 x 950 mitred"})),
        "cut[0].pieces: The cut list has no mitred piece of 950 mm. The nearest is A, 1000 mm."
    );
    assert_eq!(
        fault(json!({"length": "2.4 m", "pieces": "2 x 1000"})),
        "cut[0].pieces: The cut list has no square piece of 1000 mm. Piece A of this length is mitred."
    );
    assert_eq!(
        fault(json!({"of": "bead", "length": "2.4 m", "pieces": "2 x 1000"})),
        "cut[0].pieces: The cut list has no square piece of 1000 mm. Take it out of this board."
    );
    assert_eq!(
        fault(json!({"length": "2.4 m", "pieces": "2 x 1000 mitred", "count": 3})),
        "cut[0].pieces: 6 × A (1000 mm) would be cut, but only 4 more are needed. Lower the count, or add the canvas that they are for."
    );
    assert_eq!(
        fault(json!({"length": "1.8 m", "pieces": "2 x 1000 mitred"})),
        "cut[0].length: A board of 1.80 m can't give these pieces. Check its length, the pieces and the bad stretches."
    );
    assert_eq!(
        fault(json!({"length": "2.4 m", "pieces": "two of A"})),
        "cut[0].pieces: “two of A” is not understood here: pieces such as 2 x 1000 mitred, 1 x 800 square."
    );
    assert_eq!(
        fault(json!({"length": "2.4 m"})),
        "cut[0].pieces: Pieces is needed: pieces such as 2 x 1000 mitred, 1 x 800 square."
    );
}

#[test]
fn a_fault_in_a_cut_board_makes_the_purchase_wait() {
    let mut brief = two_frames();
    brief["cut"] = json!([{"length": "2.4 m", "pieces": "2 long ones"}]);
    let plan = plan(&draft(&brief));
    let waiting = plan.boards.unwrap().total_length.how.waiting();
    assert_eq!(waiting[0].key, "pieces");
}

#[test]
fn locking_takes_a_board_off_a_limited_row() {
    let mut brief = two_frames();
    // One frame's four pieces don't fit on 3 m, so the offcut saves a second board.
    brief["canvases"][0]["count"] = json!(1);
    brief["boards"] = json!([
        {"length": "2.4 m", "price": "0", "limit": 1},
        {"length": "3 m", "price": "8.00"},
    ]);
    let draft = draft(&brief);
    let before = plan(&draft);
    let boards = &before.boards.as_ref().unwrap().boards;
    let i = boards.iter().position(|b| b.row == 0).unwrap();
    let locked = lock(&draft, &before, BoardOf::Bars, i, 1).unwrap();
    assert_eq!(locked.boards[0]["limit"], "0");
    let after = plan(&locked);
    assert_eq!(after.faults, []);
    assert!(covers_exactly(&after) && cost(&after) <= cost(&before));
    // A board that is cut can't be cut again.
    assert_eq!(lock(&locked, &after, BoardOf::Bars, 0, 1), None);
    assert_eq!(lock(&locked, &after, BoardOf::Bead, 0, 1), None);
}

#[test]
fn units_change_no_board_that_is_cut() {
    let mut brief = two_frames();
    brief["cut"] = json!([{"length": "2.4 m", "pieces": "2 x 1000 mitred"}]);
    let mut draft = draft(&brief);
    let before = plan(&draft).boards;
    draft.switch_units(planner::Units::Imperial);
    assert_eq!(draft.cut[0]["pieces"], "2 x 1000 mm mitred");
    let after = plan(&draft);
    assert_eq!(after.faults, []);
    assert_eq!(after.boards.unwrap().boards, before.unwrap().boards);
}

fn change_in_cost(what: &WhatIf) -> Option<Money> {
    match &what.outcome {
        Outcome::Differs(d) => d.cost,
        _ => None,
    }
}

#[test]
fn a_length_that_the_rack_lacks_is_weighed() {
    // One frame of 1000 × 800: nested on one board it takes 3477.8 mm of saw work, so the rack
    // of 2.4 m needs two boards, 12.00. The other lengths are priced at 2.50 a metre, and one
    // board of 3.6 m costs 9.00: 3.00 less and one board fewer.
    let mut brief = two_frames();
    brief["canvases"][0]["count"] = json!(1);
    brief["boards"] = json!([{"length": "2.4 m", "price": "6.00"}]);
    let all = what_if(&draft(&brief), Effort::default());
    let at = |mm| {
        let added = |w: &&WhatIf| matches!(w.change, RackChange::Added { length, .. } if length == Length::from_mm(mm));
        all.iter().find(added).unwrap()
    };
    let price = |w: &WhatIf| match w.change {
        RackChange::Added { price, .. } => price,
        RackChange::LeftOut { .. } => None,
    };
    assert_eq!(price(at(3600)), Some(Money::from_hundredths(900)));
    let Outcome::Differs(d) = &at(3600).outcome else {
        unreachable!("a purchase was possible before")
    };
    assert_eq!(d.cost, Some(Money::from_hundredths(-300)));
    assert_eq!((d.boards, d.proven), (-1, true));
    assert_eq!(change_in_cost(at(4800)), Some(Money::ZERO));
}

#[test]
fn without_its_only_long_board_the_rack_will_not_do() {
    let mut brief = two_frames();
    brief["boards"][0]["length"] = json!("900");
    let all = what_if(&draft(&brief), Effort::default());
    let without = all
        .iter()
        .find(|w| matches!(w.change, RackChange::LeftOut { row: 1, .. }));
    assert_eq!(
        without.unwrap().outcome,
        Outcome::Impossible {
            why: "Batten piece A of 1000 mm fits no board on the rack. A board of 1.00 m would do."
                .into()
        }
    );
    // The other way round: nothing is possible, and a longer board helps.
    brief["boards"] = json!([{"length": "900"}]);
    let all = what_if(&draft(&brief), Effort::default());
    assert!(!all.is_empty());
    for what in &all {
        assert!(
            matches!(what.outcome, Outcome::Possible { cost: None, .. }),
            "{what:?}"
        );
    }
}

fn rack() -> impl Strategy<Value = Json> {
    let row = (10i64..50, 150i64..400, prop::option::of(1u32..6)).prop_map(|(dm, per_m, limit)| {
        let mut row = json!({"length": format!("{} mm", dm * 100), "price": format!("{:.2}", (dm * per_m / 10) as f64 / 100.0)});
        if let Some(limit) = limit {
            row["limit"] = json!(limit);
        }
        row
    });
    prop::collection::vec(row, 1..4).prop_map(|mut rows| {
        // One length that always does.
        rows.push(json!({"length": "4800 mm", "price": "14.40"}));
        Json::Array(rows)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn locking_a_board_of_a_plan_never_costs_more(rack in rack(), w in 400u32..1200, h in 400u32..1200, n in 1u32..4, pick in 0usize..50, all in any::<bool>()) {
        let draft = draft(&json!({
            "bead": "none", "boards": rack,
            "canvases": [{"width": format!("{w} mm"), "height": format!("{h} mm"), "count": n}],
        }));
        let before = plan(&draft);
        prop_assume!(before.boards.as_ref().is_some_and(|b| b.proven));
        let boards = &before.boards.as_ref().unwrap().boards;
        let i = pick % boards.len();
        let count = if all { boards[i].count } else { 1 };
        let locked = lock(&draft, &before, BoardOf::Bars, i, count).unwrap();
        let after = plan(&locked);
        prop_assert_eq!(&after.faults, &before.faults);
        prop_assert!(covers_exactly(&after));
        let bought = after.boards.as_ref().unwrap();
        let spent = bought.spent.unwrap();
        // The old plan less this board is one way to cut the rest.
        prop_assert!(!bought.proven || cost(&after) + spent <= cost(&before));
        // Locked again and again, the plan ends with nothing to buy.
        let (mut draft, mut plan_now) = (locked, after);
        for _ in 0..60 {
            let Some(i) = plan_now.boards.as_ref().unwrap().boards.iter().position(|b| !b.locked) else { break };
            draft = lock(&draft, &plan_now, BoardOf::Bars, i, 1000).unwrap();
            plan_now = plan(&draft);
        }
        prop_assert!(covers_exactly(&plan_now));
        prop_assert_eq!(cost(&plan_now), Money::ZERO);
    }

    #[test]
    fn a_row_less_is_never_cheaper_and_one_more_never_dearer(rack in rack(), w in 400u32..1200, h in 400u32..1200, n in 1u32..4) {
        let draft = draft(&json!({
            "bead": "none", "boards": rack,
            "canvases": [{"width": format!("{w} mm"), "height": format!("{h} mm"), "count": n}],
        }));
        for what in what_if(&draft, Effort::default()) {
            let Some(by) = change_in_cost(&what) else { continue };
            match what.change {
                RackChange::Added { .. } => prop_assert!(by <= Money::ZERO),
                RackChange::LeftOut { row, .. } => {
                    prop_assert!(by >= Money::ZERO);
                    // What is said of a row is what the plan without it says.
                    let mut less = draft.clone();
                    less.boards.remove(row);
                    if matches!(&what.outcome, Outcome::Differs(d) if d.proven) {
                        prop_assert_eq!(cost(&plan(&less)) - cost(&plan(&draft)), by);
                    }
                }
            }
        }
    }
}

#[test]
fn a_roll_that_cant_be_read_is_said_once() {
    let mut brief = two_frames();
    brief["rolls"] = json!([{"price": "12.50"}]);
    assert_eq!(
        said(&brief),
        ["rolls[0].width: Roll width is needed: a length from 200 mm to 6000 mm."]
    );
}

#[test]
fn tips_of_bead_are_a_45_degree_cut_apart() {
    // A bead can't be turned over, so its pieces lie tip to tip, and a saw of 2 mm at 45° takes
    // 2 × √2 = 2.83 mm of the edge, whichever of the two tips it cuts. Two pieces of 604 mm
    // (600 + 2 × 2 overhang) and such a cut need 1210.83 mm.
    let brief = |bead: &str| {
        json!({
            "kerf": "2 mm", "trim": "0", "bead_overhang": "2 mm",
            "canvases": [{"width": "600", "height": "600", "upright_bars": 0, "level_bars": 0}],
            "boards": [{"length": "3 m"}, {"of": "bead", "length": bead}],
        })
    };
    let fits = plan(&draft(&brief("1210.9 mm"))).bead.unwrap();
    assert_eq!(fits.lines[0].count, 2);
    let pieces = &fits.boards[0].pieces;
    let apart = pieces[1].at - (pieces[0].at + pieces[0].length);
    assert!(
        (apart.to_mm() - 2.0 * 2.0_f64.sqrt()).abs() < 1e-5,
        "{apart}"
    );
    let short = plan(&draft(&brief("1210.7 mm"))).bead.unwrap();
    assert_eq!(short.lines[0].count, 4);
}

#[test]
fn square_ends_of_a_bevelled_batten_are_a_plain_cut_apart() {
    // A bevelled batten can't be turned over, but with square laps nothing is cut at 45°: pieces
    // of 600, 600, 500, 500 and a saw of 3 mm, from the trim of 10 mm on.
    let p = plan(&draft(&json!({
        "bead": "bevel", "corner": "square_lap", "kerf": "3 mm", "braces": "no",
        "canvases": [{"width": "600", "height": "500", "upright_bars": 0, "level_bars": 0}],
        "boards": [{"length": "3 m"}],
    })));
    let board = &p.boards.unwrap().boards[0];
    let marks: Vec<f64> = board.pieces.iter().map(|x| x.at.to_mm()).collect();
    assert_eq!(marks, [10.0, 613.0, 1216.0, 1719.0]);
}

#[test]
fn a_measured_board_and_an_offcut_at_home_are_one() {
    // Bad stretches belong to one board, and an offcut at home is one, unless it is said how many.
    let limit = |row: Json| {
        let brief = json!({"canvases": [{"width": "700", "height": "500"}], "boards": [row]});
        plan(&draft(&brief)).brief.limit(0)
    };
    assert_eq!(limit(json!({"length": "2100", "bad": "500-600"})), Some(1));
    assert_eq!(limit(json!({"length": "900", "price": "0"})), Some(1));
    assert_eq!(
        limit(json!({"length": "900", "price": "0", "limit": 2})),
        Some(2)
    );
    assert_eq!(limit(json!({"length": "2100", "price": "9"})), None);
    // One that is cut already is no longer there.
    let typed = draft(&json!({
        "bead": "none", "braces": "no",
        "canvases": [{"width": "700", "height": "500", "upright_bars": 0, "level_bars": 0}],
        "boards": [{"length": "2600", "price": "1", "bad": "0-20"}, {"length": "3600", "price": "9"}],
    }));
    let locked = lock(&typed, &plan(&typed), BoardOf::Bars, 0, 1).unwrap();
    assert_eq!(locked.boards[0].get("limit").map(String::as_str), Some("0"));
}

#[test]
fn every_offcut_worth_keeping_is_kept() {
    // Boards of 2100 mm, bad from 700 to 800, trimmed by 10: 690 mm on the left of the knot, 1290
    // on its right. Beside 700 and a saw cut of 2: 690 and 588. Beside 400 on the left, 700 and 400
    // (less the face of 45 where they nest, plus 2.83 of a 45° cut, and a plain one) on the right:
    // 288 and 230.17.
    let p = plan(&draft(&json!({
        "bead": "none", "braces": "no", "keep_offcut": "200", "kerf": "2",
        "canvases": [{"width": "700", "height": "400", "upright_bars": 0, "level_bars": 0, "count": 2}],
        "boards": [{"length": "2100", "bad": "700-800", "limit": 4}],
    })));
    let kept: Vec<Vec<f64>> = (p.boards.unwrap().boards.iter())
        .map(|b| {
            b.offcuts
                .iter()
                .map(|x| (x.to_mm() * 100.0).round() / 100.0)
                .collect()
        })
        .collect();
    assert_eq!(kept, [[288.0, 230.17], [690.0, 588.0]]);
}

#[test]
fn no_more_cloth_is_bought_than_the_roll_has() {
    // A blank of 1018 mm across the roll needs more than a metre of it; of 1.05 m no 1.10 m is sold.
    let p = plan(&draft(&json!({
        "canvases": [{"width": "1000", "height": "800"}],
        "rolls": [{"width": "1.6 m", "price": "10", "available": "1050 mm"}],
    })));
    let cloth = p.cloth.unwrap();
    assert_eq!(cloth.lengths[0].buy.value, Length::from_mm(1050));
    assert_eq!(cloth.cost.unwrap().value, Money::from_hundredths(1050));
    assert!(cloth.proven);
}

#[test]
fn what_whole_steps_of_cloth_bring_beyond_the_last_blank_is_left_over() {
    let p = plan(&draft(&json!({
        "canvases": [{"width": "600", "height": "500"}], "cloth_step": "1 m",
        "rolls": [{"width": "1.6 m", "price": "10"}],
    })));
    let cloth = p.cloth.unwrap();
    let used = cloth.lengths[0].used;
    let tail = cloth.remnants.iter().find(|r| r.y == used).unwrap();
    // Between selvedges of 15 mm, to the end of the metre.
    assert_eq!(tail.across, Length::from_mm(1570));
    assert_eq!(tail.along, Length::from_mm(1000) - used);
}
