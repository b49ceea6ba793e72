//! A fair share of one purchase for each row: what a person pays of the cheapest order over all.
//!
//! The rule, open to everyone who pays: a thing is paid for by who uses it. Boards are shared by
//! the length that the pieces take off them, saw cuts included; cloth by the area of the blanks;
//! everything else by what each uses. What is left over of boards and cloth belongs to nobody, so
//! its price is shared in the same proportion and shown apart. Where a piece happens to lie does
//! not matter: equal canvases pay the same to the penny, except where a penny can't be split.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use quantity::{Length, Money};
use serde::Serialize;

use crate::costs::{CostKind, CostLine, share};
use crate::draft::Draft;
use crate::figure::{Figure, Input, Origin};
use crate::formulas::{self as f, Formula};
use crate::parse;
use crate::plan::{CanvasPlan, Effort, Plan, plan_with};
use crate::show::exact_mm;

/// What the canvases of one row cost.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Share {
    /// Boards and bead that it uses.
    pub wood: Figure<Money>,
    /// Cloth that it uses.
    pub cloth: Figure<Money>,
    /// Everything else that it uses.
    pub rest: Figure<Money>,
    /// Its part of what is left over.
    pub left_over: Figure<Money>,
    /// All of that.
    pub sum: Figure<Money>,
    /// What each canvas of the row pays: so many pay so much; together exactly the sum.
    pub each: Vec<(u32, Money)>,
}

/// The share of every row, from each thing's shares.
pub(crate) fn shares(canvases: &[CanvasPlan], lines: &[CostLine]) -> Vec<Share> {
    let one = |(i, c): (usize, &CanvasPlan)| {
        let part = |kind, formula| used(lines, i, kind, formula);
        let wood = part(CostKind::Wood, &f::SHARE_WOOD);
        let cloth = part(CostKind::Cloth, &f::SHARE_CLOTH);
        let rest = part(CostKind::Rest, &f::SHARE_REST);
        let left_over = left_over(lines, i);
        let sum = Figure::new(
            wood.value + cloth.value + rest.value + left_over.value,
            &f::SHARE_SUM,
            alloc::vec![
                wood.input("wood"),
                cloth.input("cloth"),
                rest.input("the rest"),
                left_over.input("left over"),
            ],
        );
        Share {
            each: each(sum.value, c.count),
            wood,
            cloth,
            rest,
            left_over,
            sum,
        }
    };
    canvases.iter().enumerate().map(one).collect()
}

/// A row's share of what is used of one kind of thing.
fn used(
    lines: &[CostLine],
    row: usize,
    kind: CostKind,
    formula: &'static Formula,
) -> Figure<Money> {
    let mut inputs = Vec::new();
    let mut sum = Money::ZERO;
    for line in lines.iter().filter(|l| l.kind == kind) {
        sum += line.rows[row];
        inputs.push(line.cost.input(line.what));
        let waiting = line.cost.how.waiting();
        for (name, value) in [
            ("of it used by this row", &line.used[row]),
            ("used by all rows", &line.used_in_all),
        ] {
            inputs.push(Input {
                name,
                value: value.clone(),
                origin: Origin::Computed,
                waiting: waiting.clone(),
            });
        }
    }
    Figure::new(sum, formula, inputs)
}

/// A row's share of what is left over.
fn left_over(lines: &[CostLine], row: usize) -> Figure<Money> {
    let mut inputs = Vec::new();
    let mut sum = Money::ZERO;
    for line in lines.iter().filter(|l| l.kind != CostKind::Rest) {
        sum += line.left_over[row];
        inputs.push(line.cost.input(line.what));
        inputs.push(Input {
            name: "left over of it, by all rows",
            value: line.left_over.iter().copied().sum::<Money>().into(),
            origin: Origin::Computed,
            waiting: line.cost.how.waiting(),
        });
    }
    Figure::new(sum, &f::SHARE_LEFT, inputs)
}

/// A sum split over so many canvases: those who pay a hundredth more stand first.
fn each(sum: Money, count: u32) -> Vec<(u32, Money)> {
    let mut all: Vec<(u32, Money)> = Vec::new();
    for part in share(sum, &alloc::vec![1; count as usize]) {
        match all.last_mut() {
            Some((n, amount)) if *amount == part => *n += 1,
            _ => all.push((1, part)),
        }
    }
    all
}

/// What the shared order saves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alone {
    /// What everything costs together.
    pub together: Money,
    /// Whether no cheaper order of the boards, the bead and the cloth exists.
    pub proven: bool,
    /// What each row would pay for an order of its own, in the order of the plan.
    pub rows: Vec<Order>,
    /// Whether a limited board or roll makes their order matter.
    pub in_turn: bool,
}

impl Alone {
    /// What all orders of their own cost together; none where one of them is not possible.
    #[must_use]
    pub fn apart(&self) -> Option<Money> {
        let mut sum = Money::ZERO;
        for order in &self.rows {
            match order {
                Order::Costs(cost) => sum += *cost,
                Order::Impossible(_) => return None,
            }
        }
        Some(sum)
    }
}

/// An order of one row alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Order {
    /// What it costs.
    Costs(Money),
    /// Why there is none.
    Impossible(String),
}

/// What each row of a plan would pay if it bought alone, from the same rack and rolls.
///
/// Boards and rolls of which there are only so many can be taken once: the rows buy one after the
/// other, each the cheapest for itself from what those before it left. So the orders could all be
/// placed, and one order over all, if it is proven, never costs more in boards and bead (in cloth
/// it may by the gap that the shears need between two blanks). None without prices, while a price
/// waits for a field, or where boards are cut already: then what is still to be bought says
/// nothing about a whole order.
///
/// ```
/// use planner::shares::{Order, alone};
/// use planner::{Draft, Effort};
/// use quantity::Money;
/// // Two frames of 3600 mm around, with mitres that nest: one board of 4.8 m for each alone.
/// let tree = serde_json::from_str(r#"{"bead":"none","bracing_by":"rule","braces":"no",
///     "canvases":[{"width":"700","height":"500"},{"width":"700","height":"500"}],
///     "boards":[{"length":"4.8 m","price":"12.00"}],"rolls":[{"width":"1600","price":"10"}]}"#).unwrap();
/// let draft = Draft::from_tree(&tree).0;
/// let all = alone(&draft, &planner::plan(&draft), Effort::default()).unwrap();
/// assert!(all.rows.iter().all(|o| matches!(o, Order::Costs(_))));
/// assert!(all.together <= all.apart().unwrap());
/// ```
#[must_use]
pub fn alone(draft: &Draft, plan: &Plan, effort: Effort) -> Option<Alone> {
    let brief = &plan.brief;
    let total = &plan.costs.as_ref()?.total;
    let wood = [&plan.boards, &plan.bead];
    let priced = wood
        .iter()
        .all(|p| p.as_ref().is_none_or(|p| p.cost.is_some()))
        && plan.boards.is_some()
        && plan.cloth.as_ref().is_some_and(|c| c.cost.is_some());
    if total.is_waiting() || !draft.cut.is_empty() || !priced {
        return None;
    }
    let mut left = draft.clone();
    let rows = plan.canvases.iter().map(|c| {
        let own = left.only(c.row);
        let plan = plan_with(&own, effort);
        match cost_of(&plan) {
            Ok(cost) => {
                take(&mut left, &plan);
                Order::Costs(cost)
            }
            Err(why) => Order::Impossible(why),
        }
    });
    Some(Alone {
        together: total.value,
        proven: [&plan.boards, &plan.bead]
            .iter()
            .all(|p| p.as_ref().is_none_or(|p| p.proven))
            && plan.cloth.as_ref().is_none_or(|c| c.proven),
        rows: rows.collect(),
        in_turn: brief.boards.iter().any(|s| s.limit.is_some())
            || brief.rolls.iter().any(|r| r.available.is_some()),
    })
}

/// What a plan costs, or what stands in the way.
fn cost_of(plan: &Plan) -> Result<Money, String> {
    let bead = plan.bead.is_some() || plan.bead_list.is_empty();
    match &plan.costs {
        Some(costs) if plan.boards.is_some() && bead && plan.cloth.is_some() => {
            Ok(costs.total.value)
        }
        _ => Err((plan.faults.first()).map_or_else(String::new, |fault| fault.message(plan.show))),
    }
}

/// The shortest rest of a roll that a field takes; no blank is cut from it.
const LEAST_REST: Length = Length::from_mm(100);

/// Takes what a plan buys off the rack and the rolls.
fn take(draft: &mut Draft, plan: &Plan) {
    for line in [&plan.boards, &plan.bead]
        .into_iter()
        .flatten()
        .flat_map(|p| &p.lines)
    {
        let limit = plan.brief.limit(line.row);
        if let (Some(record), Some(limit)) = (draft.boards.get_mut(line.row), limit) {
            record.insert("limit", limit.saturating_sub(line.count).to_string());
        }
    }
    let units = draft.units();
    for length in plan.cloth.iter().flat_map(|c| &c.lengths) {
        if let Some(record) = draft.rolls.get_mut(length.row)
            && let Some(there) = record
                .get("available")
                .and_then(|t| parse::length(t, units).ok())
        {
            let rest = (there - length.buy.value).max(LEAST_REST);
            record.insert("available", exact_mm(rest));
        }
    }
}
