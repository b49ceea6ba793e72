//! Shared buying: what each row pays, and what it would pay alone.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::shares::{Alone, Order};
use planner::{Draft, Effort, Plan, plan, plan_with};
use proptest::prelude::*;
use quantity::Money;
use serde_json::{Value as Json, json};

fn draft(brief: &Json) -> Draft {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief.clone()).unwrap());
    assert_eq!(faults, []);
    draft
}

fn hundredths(all: impl IntoIterator<Item = Money>) -> i64 {
    all.into_iter().map(Money::as_hundredths).sum()
}

/// Steps that prove jobs of a few pieces.
const PROOF: Effort = Effort {
    boards: 2_000_000,
    cloth: 20_000,
};

fn alone(draft: &Draft, effort: Effort) -> Option<Alone> {
    planner::alone(draft, &plan_with(draft, effort), effort)
}

#[test]
fn boards_are_shared_by_length_and_the_offcut_openly() {
    // Two frames without bead or bars from one board of 4.8 m at 12.00, kerf 2 mm, no trim. Mitred
    // pieces nest, so each takes its length less the face, 45, and a mitred saw cut, 2.828:
    //   A, 500 × 400: 2 × (500 + 400) − 4 × 45 + 4 × 2.828 = 1631.3
    //   B, 600 × 500: 2 × (600 + 500) − 4 × 45 + 4 × 2.828 = 2031.3, in all 3662.6
    let brief = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "2 mm", "trim": "0",
        "canvases": [{"name": "A", "width": "500", "height": "400"}, {"name": "B", "width": "600", "height": "500"}],
        "boards": [{"length": "4.8 m", "price": "12.00"}],
    });
    let p = plan(&draft(&brief));
    let wood = p.boards.as_ref().unwrap();
    assert_eq!(wood.lines[0].count, 1);
    let shares = &p.costs.as_ref().unwrap().shares;
    // The eight pieces are 2 × 900 + 2 × 1100 − 8 × 45 = 3640 of wood; seven mitred cuts and the one
    // before the offcut, 7 × 2.828 + 2, and one wedge of 45: 3706.8 of 4800, 9.267 of 12.00.
    let used = hundredths(shares.iter().map(|s| s.wood.value));
    assert_eq!(used, 927);
    // 9.27 × 1631.3 / 3662.6 = 4.1288 (B: 5.1412); 2.73 × 1631.3 / 3662.6 = 1.2159 (B: 1.5141): the
    // hundredth left over goes to A both times.
    assert_eq!(shares[0].wood.value, Money::from_hundredths(413));
    assert_eq!(shares[0].left_over.value, Money::from_hundredths(122));
    assert_eq!(hundredths(shares.iter().map(|s| s.sum.value)), 1200);
}

#[test]
fn cloth_is_shared_by_area() {
    // Blanks 500 + 2 × (20 + 40 + 30) = 680 by 580, and 780 by 680: 0.3944 and 0.5304 m², 42.65 %
    // and 57.35 % of what the blanks cost. 1.6 m wide, 780 + 10 + 680 = 1470 across fit side by
    // side, 680 along: 0.7 m in steps of 0.1 m, at 10.00 a metre 7.00. Bought 1.12 m², so 0.1952
    // (17.43 %, 1.22) is left over: 5.78 × 0.3944 / 0.9248 = 2.465, a
    // tie that the first wins; 1.22 × 0.4265 = 0.520.
    let brief = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no",
        "canvases": [{"width": "500", "height": "400"}, {"width": "600", "height": "500"}],
        "rolls": [{"width": "1.6 m", "price": "10.00"}],
    });
    let p = plan(&draft(&brief));
    let blank = p.canvases[0].blank.as_ref().unwrap();
    assert_eq!(blank.cut_width.value.to_mm(), 680.0);
    let cloth = p.cloth.as_ref().unwrap();
    assert_eq!(
        cloth.cost.as_ref().unwrap().value,
        Money::from_hundredths(700)
    );
    let share = &p.costs.as_ref().unwrap().shares[0];
    assert_eq!(share.cloth.value.as_hundredths(), 247);
    assert_eq!(share.left_over.value.as_hundredths(), 52);
}

#[test]
fn limited_boards_are_bought_in_turn() {
    // One free offcut is enough for one frame: the first takes it, the second has to buy.
    let brief = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "ground": "none",
        "canvases": [{"width": "500", "height": "400"}, {"width": "500", "height": "400"}],
        "boards": [{"length": "2 m", "price": "0", "limit": "1"}, {"length": "2.4 m", "price": "6.00"}],
        "rolls": [{"width": "1.6 m", "price": "10.00"}],
    });
    let all = alone(&draft(&brief), PROOF).unwrap();
    assert!(all.in_turn && all.proven);
    let [Order::Costs(first), Order::Costs(second)] = all.rows[..] else {
        panic!("{:?}", all.rows);
    };
    assert_eq!(second - first, Money::from_hundredths(600));
    assert!(all.together <= all.apart().unwrap());
}

#[test]
fn what_is_shared_is_the_plan_that_is_shown() {
    // A longer search found something cheaper than the effort of the comparison would.
    let brief = json!({
        "canvases": [{"width": "700", "height": "500", "count": "3"}, {"width": "530", "height": "410", "count": "4"}],
        "boards": [{"length": "2.4 m", "price": "5.40"}, {"length": "3 m", "price": "6.60"}, {"of": "bead", "length": "2.4 m", "price": "4.20"}],
        "rolls": [{"width": "1.6 m", "price": "11.50"}, {"width": "2.1 m", "price": "14.80"}],
    });
    let draft = draft(&brief);
    let little = Effort {
        boards: 1,
        cloth: 1,
    };
    for effort in [little, PROOF] {
        let shown = plan_with(&draft, effort);
        let all = planner::alone(&draft, &shown, little).unwrap();
        let shares = &shown.costs.as_ref().unwrap().shares;
        assert_eq!(
            all.together.as_hundredths(),
            hundredths(shares.iter().map(|s| s.sum.value))
        );
    }
}

#[test]
fn what_can_not_be_compared_is_not() {
    let without_prices = json!({"canvases": [{"width": "500", "height": "400"}]});
    assert_eq!(alone(&draft(&without_prices), PROOF), None);
    let runs_out = json!({
        "bead": "none", "bracing_by": "rule", "braces": "no",
        "canvases": [{"width": "500", "height": "400"}, {"width": "2000", "height": "2000"}],
        "boards": [{"length": "2.4 m", "price": "6.00", "limit": "5"}],
        "rolls": [{"width": "2.4 m", "price": "10.00", "available": "2.4 m"}],
    });
    let all = alone(&draft(&runs_out), PROOF);
    assert!(all.is_none(), "together there is no order either: {all:?}");
}

/// A small job: up to four rows and a rack of two lengths, priced.
fn jobs() -> impl Strategy<Value = Json> {
    let rows = prop::collection::vec((200u32..1100, 200u32..1100, 1u32..3), 1..5);
    let rack = prop::collection::vec((1800u32..4200, 200u32..1500), 1..3);
    (rows, rack, 0u32..20, prop::option::of(1u32..4)).prop_map(|(rows, rack, trim, offcuts)| {
        let rows: Vec<Json> = rows
            .iter()
            .map(|(w, h, n)| json!({"width": w, "height": h, "count": n, "upright_bars": 0, "level_bars": 0}))
            .collect();
        let price = |n: u32| format!("{}.{:02}", n / 100, n % 100);
        let mut boards: Vec<Json> = rack
            .iter()
            .flat_map(|(mm, p)| {
                [
                    json!({"length": mm, "price": price(*p)}),
                    json!({"of": "bead", "length": mm, "price": price(p / 2)}),
                ]
            })
            .collect();
        if let Some(n) = offcuts {
            boards.push(json!({"length": 1300, "price": "0", "limit": n}));
        }
        json!({
            "braces": "no", "bracing_by": "rule", "trim": trim, "cloth_gap": "0",
            "screw_price": "3.99", "pin_price": "1.10", "staple_price": "4.25",
            "size_price": "18", "ground_price": "12.40", "wood_glue_price": "9.50",
            "canvases": rows, "boards": boards, "rolls": [{"width": 2400, "price": "14.90"}],
        })
    })
}

fn proven(p: &Plan) -> bool {
    let wood = p.boards.iter().chain(&p.bead);
    wood.clone().count() == 2 && wood.clone().all(|b| b.proven)
}

fn wood(p: &Plan) -> i64 {
    let bought = p.boards.iter().chain(&p.bead);
    hundredths(bought.filter_map(|b| b.cost.as_ref()).map(|c| c.value))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn shares_sum_to_the_total_to_the_penny(job in jobs()) {
        let p = plan(&draft(&job));
        prop_assume!(p.costs.is_some());
        let costs = p.costs.as_ref().unwrap();
        let total = costs.total.value.as_hundredths();
        prop_assert_eq!(hundredths(costs.shares.iter().map(|s| s.sum.value)), total);
        for (share, c) in costs.shares.iter().zip(&p.canvases) {
            let parts = [&share.wood, &share.cloth, &share.rest, &share.left_over];
            prop_assert!(parts.iter().all(|x| x.value >= Money::ZERO));
            prop_assert_eq!(hundredths(parts.map(|x| x.value)), share.sum.value.as_hundredths());
            let each = share.each.iter().map(|(n, m)| *m * i64::from(*n));
            prop_assert_eq!(hundredths(each), share.sum.value.as_hundredths());
            prop_assert_eq!(share.each.iter().map(|(n, _)| n).sum::<u32>(), c.count);
        }
    }

    #[test]
    fn equal_rows_pay_the_same_but_for_a_penny_a_line(job in jobs()) {
        let mut job = job;
        let twin = job["canvases"][0].clone();
        job["canvases"].as_array_mut().unwrap().push(twin);
        let p = plan(&draft(&job));
        prop_assume!(p.costs.is_some());
        let costs = p.costs.as_ref().unwrap();
        let (first, last) = (&costs.shares[0].sum, &costs.shares.last().unwrap().sum);
        let off = (first.value - last.value).as_hundredths().abs();
        // Boards, bead and cloth are shared twice each: what is used and what is left over.
        prop_assert!(off <= costs.lines.len() as i64 + 3, "{off}");
    }

    #[test]
    fn one_order_never_costs_more_than_orders_apart(job in jobs()) {
        let d = draft(&job);
        let merged = plan_with(&d, PROOF);
        prop_assume!(proven(&merged));
        let Some(all) = alone(&d, PROOF) else { return Ok(()) };
        prop_assert_eq!(all.rows.len(), merged.canvases.len());
        let Some(apart) = all.apart() else {
            // Alone somebody may get nothing: limited boards are gone.
            return Ok(());
        };
        if all.proven {
            // A millionth of a kilogram of glue, rounded, can be a hundredth of the price.
            prop_assert!(all.together <= apart + Money::from_hundredths(4), "{:?} > {:?}", all.together, apart);
        }
        // The wood is exact: the same rack, each row's boards on their own.
        if job["boards"].as_array().unwrap().iter().all(|b| b.get("limit").is_none()) {
            let apart: i64 = merged.canvases.iter().map(|c| wood(&plan_with(&d.only(c.row), PROOF))).sum();
            prop_assert!(wood(&merged) <= apart);
        }
    }
}
