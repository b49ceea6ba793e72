//! What each canvas costs: everything that has a price, shared out to the last hundredth.

use alloc::vec::Vec;
use quantity::order::sort_by;

use quantity::physics::{Area, Mass, Ratio};
use quantity::{Length, Money};
use serde::Serialize;

use crate::brief::{BoardOf, Brief, SizeKind};
use crate::cloth::ClothPurchase;
use crate::fault::Fault;
use crate::fields::FieldRef;
use crate::figure::{Figure, Input, Origin, Value};
use crate::formulas as f;
use crate::frame::Ends;
use crate::ground::GroundPlan;
use crate::plan::{CanvasPlan, NotBought, Totals};
use crate::shares::{Share, shares};
use crate::size::{ReadySize, Size};
use crate::timber::{self, Purchase};

/// Shares an amount out by weights so that the shares add up to it exactly: the hundredths left
/// over go to the largest remainders, the first among equals. All zero weights share nothing.
///
/// ```
/// use planner::costs::share;
/// use quantity::Money;
/// let shares = share(Money::from_hundredths(1000), &[1, 1, 1]);
/// assert_eq!(shares.iter().map(|m| m.as_hundredths()).collect::<Vec<_>>(), [334, 333, 333]);
/// ```
#[must_use]
pub fn share(amount: Money, weights: &[u64]) -> Vec<Money> {
    let whole: i128 = weights.iter().map(|w| i128::from(*w)).sum();
    if whole == 0 {
        return alloc::vec![Money::ZERO; weights.len()];
    }
    let amount = i128::from(amount.as_hundredths());
    let parts: Vec<(i128, i128)> = weights
        .iter()
        .map(|w| {
            let x = amount * i128::from(*w);
            (x.div_euclid(whole), x.rem_euclid(whole))
        })
        .collect();
    let mut left = amount - parts.iter().map(|(q, _)| q).sum::<i128>();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    sort_by(&mut order, |a, b| {
        parts[*a].1 > parts[*b].1 || (parts[*a].1 == parts[*b].1 && a < b)
    });
    let mut shares: Vec<i128> = parts.iter().map(|(q, _)| *q).collect();
    for i in order {
        if left == 0 {
            break;
        }
        shares[i] += 1;
        left -= 1;
    }
    shares
        .into_iter()
        .map(|n| Money::from_hundredths(i64::try_from(n).unwrap_or(i64::MAX)))
        .collect()
}

/// Price of so many of something sold by the `lot`, rounded up to the hundredth.
#[must_use]
pub fn price_of(count: u64, price: Money, lot: u32) -> Money {
    price.mul_div_up(
        i64::try_from(count).unwrap_or(i64::MAX),
        i64::from(lot.max(1)),
    )
}

/// Price of a measured amount of something sold by the unit, rounded up to the hundredth.
#[must_use]
pub fn price_of_amount(units: f64, price: Money) -> Money {
    // Millionths of a unit are exact enough for any shop and keep the rest in whole numbers.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "float to int casts saturate"
    )]
    let millionths = libm::round(units.max(0.0) * 1e6) as i64;
    price.mul_div_up(millionths, 1_000_000)
}

/// What the plan costs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Costs {
    /// Each thing that has a price.
    pub lines: Vec<CostLine>,
    /// Their sum.
    pub total: Figure<Money>,
    /// What the canvases of each row cost, in the order of the plan; they add up to the total.
    pub shares: Vec<Share>,
    /// Share of the money for wood and cloth that becomes no part of a canvas.
    pub waste: Option<Figure<Ratio>>,
    /// That share in money.
    pub waste_cost: Option<Figure<Money>>,
    /// Things in the plan without a price.
    pub unpriced: Vec<&'static str>,
}

impl Costs {
    /// Wood, cloth, the rest and what is left over, of all rows together.
    #[must_use]
    pub fn parts(&self) -> [Money; 4] {
        let sum = |part: fn(&Share) -> Money| self.shares.iter().map(part).sum();
        [
            sum(|s| s.wood.value),
            sum(|s| s.cloth.value),
            sum(|s| s.rest.value),
            sum(|s| s.left_over.value),
        ]
    }
}

/// A thing and its price.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CostLine {
    /// What it is.
    pub what: &'static str,
    /// What kind of thing it is.
    pub kind: CostKind,
    /// Its price in all.
    pub cost: Figure<Money>,
    /// How much of it each row uses, by which it is shared.
    pub used: Vec<Value>,
    /// The sum of that.
    pub used_in_all: Value,
    /// Each row's share of what is used.
    pub rows: Vec<Money>,
    /// Each row's share of what is left over: trim, bad stretches and offcuts of boards, cloth
    /// that becomes no blank.
    pub left_over: Vec<Money>,
}

/// What kind of thing a price is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CostKind {
    /// Boards and bead.
    Wood,
    /// Cloth.
    Cloth,
    /// Fasteners, glue, size and ground.
    Rest,
}

/// What goes into the sum.
pub(crate) struct Bought<'a> {
    pub(crate) canvases: &'a [CanvasPlan],
    pub(crate) boards: Option<&'a Purchase>,
    pub(crate) bead: Option<&'a Purchase>,
    pub(crate) cloth: Option<&'a ClothPurchase>,
    pub(crate) totals: Option<&'a Totals>,
    pub(crate) size: Option<&'a Size>,
    pub(crate) ready: Option<&'a ReadySize>,
    pub(crate) ground: Option<&'a GroundPlan>,
    pub(crate) not_bought: &'a NotBought,
    pub(crate) faults: &'a [Fault],
}

/// Costs of everything that has a price; none if nothing has.
pub(crate) fn costs(brief: &Brief, bought: &Bought<'_>) -> Option<Costs> {
    let mut sum = Sum {
        canvases: bought.canvases,
        faults: bought.faults,
        lines: Vec::new(),
        unpriced: Vec::new(),
    };
    sum.purchases(brief, bought);
    sum.fasteners(brief, bought);
    sum.coats(brief, bought);
    let Sum {
        lines, unpriced, ..
    } = sum;
    if lines.is_empty() {
        return None;
    }
    let total = Figure::new(
        lines.iter().map(|l| l.cost.value).sum(),
        &f::COST,
        lines.iter().map(|l| l.cost.input(l.what)).collect(),
    );
    let shares = shares(bought.canvases, &lines);
    let (waste, waste_cost) = waste(bought).unzip();
    Some(Costs {
        lines,
        total,
        shares,
        waste,
        waste_cost,
        unpriced,
    })
}

/// What a thing costs; else the fields that its price waits for, none where it has no price.
type Price = Result<Figure<Money>, Vec<FieldRef>>;

struct Sum<'a> {
    canvases: &'a [CanvasPlan],
    faults: &'a [Fault],
    lines: Vec<CostLine>,
    unpriced: Vec<&'static str>,
}

/// How much of a thing one canvas uses, in whole units, and what such a number means.
type Use<'a> = (&'a dyn Fn(&CanvasPlan) -> u64, fn(u64) -> Value);

impl Sum<'_> {
    /// Adds a line, which is zero and waits where the price can't be known yet, or notes that the
    /// thing has no price. What is left over of it is shared by the same use, but shown apart.
    fn add(
        &mut self,
        what: &'static str,
        kind: CostKind,
        cost: Price,
        left_over: Money,
        (one_uses, unit): Use<'_>,
    ) {
        let cost = match cost {
            Ok(cost) => cost,
            Err(waiting) if waiting.is_empty() => {
                self.unpriced.push(what);
                return;
            }
            Err(waiting) => Figure::new(
                Money::ZERO,
                &f::COST,
                alloc::vec![Input {
                    name: what,
                    value: Money::ZERO.into(),
                    origin: Origin::Waiting,
                    waiting,
                }],
            ),
        };
        let weights: Vec<u64> = self
            .canvases
            .iter()
            .map(|c| one_uses(c).saturating_mul(u64::from(c.count)))
            .collect();
        self.lines.push(CostLine {
            what,
            kind,
            used: weights.iter().map(|w| unit(*w)).collect(),
            used_in_all: unit(weights.iter().fold(0, |n, w| n.saturating_add(*w))),
            rows: share(cost.value - left_over, &weights),
            left_over: share(left_over, &weights),
            cost,
        });
    }

    /// A thing of which nothing is left over.
    fn add_rest(
        &mut self,
        what: &'static str,
        cost: Option<Figure<Money>>,
        price: &'static str,
        one_uses: Use<'_>,
    ) {
        let cost = cost.ok_or_else(|| {
            let at = FieldRef::setting(price);
            let is_unread = self.faults.iter().any(|f| f.at == at);
            is_unread.then_some(at).into_iter().collect()
        });
        self.add(what, CostKind::Rest, cost, Money::ZERO, one_uses);
    }

    fn purchases(&mut self, brief: &Brief, b: &Bought<'_>) {
        let bars = |c: &CanvasPlan| {
            let members = c.frame.iter().flat_map(|f| &f.members);
            members
                .map(|m| {
                    let piece = (m.as_sawn.value, m.ends);
                    micrometres(on_the_board(brief, BoardOf::Bars, piece)) * u64::from(m.count)
                })
                .sum()
        };
        let bead = |c: &CanvasPlan| {
            let pieces = c.bead.iter().flatten();
            pieces
                .map(|x| {
                    2 * micrometres(on_the_board(brief, BoardOf::Bead, (x.value, Ends::Mitred)))
                })
                .sum()
        };
        let sections = [
            (
                "boards",
                BoardOf::Bars,
                b.boards,
                &b.not_bought.boards,
                &bars as &dyn Fn(&CanvasPlan) -> u64,
            ),
            (
                "bead",
                BoardOf::Bead,
                b.bead,
                &b.not_bought.bead,
                &bead as &dyn Fn(&CanvasPlan) -> u64,
            ),
        ];
        for (what, of, bought, not_bought, uses) in sections {
            let priced = brief.boards.iter().any(|s| s.of == of && s.price.is_some());
            let cost = bought.map(|p| p.cost.as_ref());
            if let Some(cost) = price(cost, brief.unread.rack(of), not_bought, priced) {
                let left = bought.map_or(Money::ZERO, left_of_boards);
                let length: fn(u64) -> Value = |um| length(um).into();
                self.add(what, CostKind::Wood, cost, left, (uses, length));
            }
        }
        let priced = brief.rolls.iter().any(|r| r.price.is_some());
        let cost = b.cloth.map(|p| p.cost.as_ref());
        if let Some(cost) = price(cost, &brief.unread.rolls, &b.not_bought.cloth, priced) {
            let left = b.cloth.map_or(Money::ZERO, |p| {
                let cost = p.cost.as_ref();
                cost.map_or(Money::ZERO, |c| part(c.value, p.waste.value.to_ratio()))
            });
            let uses = |c: &CanvasPlan| {
                c.blank.as_ref().map_or(0, |x| {
                    // Whole square millimetres.
                    micrometres(x.cut_width.value) / 1000 * (micrometres(x.cut_height.value) / 1000)
                })
            };
            self.add("cloth", CostKind::Cloth, cost, left, (&uses, area));
        }
    }

    fn fasteners(&mut self, brief: &Brief, b: &Bought<'_>) {
        let Some(t) = b.totals else { return };
        let by_lot =
            |count: &Figure<u64>, name, price: &Option<crate::figure::Given<Money>>, lot| {
                price.as_ref().map(|p| {
                    Figure::new(
                        price_of(count.value, p.value, lot),
                        &f::COST_LOT,
                        alloc::vec![
                            count.input(name),
                            p.input(),
                            Input::constant("in a lot", lot)
                        ],
                    )
                })
            };
        if t.screws.value > 0 {
            let cost = by_lot(&t.screws, "screws", &brief.screw_price, 100);
            let uses = |c: &CanvasPlan| c.fasteners.as_ref().map_or(0, |x| x.screws.value);
            self.add_rest("screws", cost, "screw_price", (&uses, Value::Count));
        }
        if t.pins.value > 0 {
            let cost = by_lot(&t.pins, "panel pins", &brief.pin_price, 100);
            let uses = |c: &CanvasPlan| c.fasteners.as_ref().map_or(0, |x| x.pins.value);
            self.add_rest("panel pins", cost, "pin_price", (&uses, Value::Count));
        }
        let cost = by_lot(&t.staple_boxes, "boxes of staples", &brief.staple_price, 1);
        let uses = |c: &CanvasPlan| c.staples.as_ref().map_or(0, |x| x.total.value);
        self.add_rest("staples", cost, "staple_price", (&uses, Value::Count));
        let glue = brief.wood_glue_price.as_ref().map(|p| {
            Figure::new(
                price_of_amount(t.wood_glue.value.to_kg(), p.value),
                &f::COST_AMOUNT,
                alloc::vec![t.wood_glue.input("wood glue"), p.input()],
            )
        });
        let uses = |c: &CanvasPlan| {
            let glue = c.fasteners.as_ref().map(|x| x.wood_glue.value);
            glue.map_or(0, |x| thousandths(x.to_grams()))
        };
        if t.wood_glue.value > Mass::ZERO {
            self.add_rest("wood glue", glue, "wood_glue_price", (&uses, mass));
        }
        if t.keys.is_some() {
            self.unpriced.push("keys");
        }
    }

    fn coats(&mut self, brief: &Brief, b: &Bought<'_>) {
        let coated = |c: &CanvasPlan| {
            let area = c.area.as_ref().map(|a| a.value);
            area.map_or(0, |a| thousandths(a.to_m2() * 1000.0))
        };
        let coated: Use<'_> = (&coated, area);
        let amount = |units: f64, input: Input, price: &Option<crate::figure::Given<Money>>| {
            price.as_ref().map(|p| {
                Figure::new(
                    price_of_amount(units, p.value),
                    &f::COST_AMOUNT,
                    alloc::vec![input, p.input()],
                )
            })
        };
        match (brief.size_kind.value, b.size, b.ready) {
            (SizeKind::Glue, Some(s), _) => {
                let cost = amount(
                    s.glue.value.to_kg(),
                    s.glue.input("dry glue"),
                    &brief.size_price,
                );
                self.add_rest("dry glue", cost, "size_price", coated);
            }
            (_, _, Some(r)) => {
                let cost = amount(
                    r.volume.value.to_litres(),
                    r.volume.input("ready size"),
                    &brief.size_price,
                );
                self.add_rest("size", cost, "size_price", coated);
            }
            _ => {}
        }
        if let Some(g) = b.ground {
            let cost = match &g.chalk {
                Some(c) => amount(
                    c.chalk.value.to_kg(),
                    c.chalk.input("chalk"),
                    &brief.ground_price,
                ),
                None => amount(
                    g.volume.value.to_litres(),
                    g.volume.input("ground"),
                    &brief.ground_price,
                ),
            };
            self.add_rest("ground", cost, "ground_price", coated);
        }
    }
}

/// The price of a purchase: its cost; what that waits for, where the purchase or the price of its
/// rows can't be read; none where nothing is to be bought, or no row of what is missing says a
/// price.
fn price(
    bought: Option<Option<&Figure<Money>>>,
    unread: &[FieldRef],
    not_bought: &[FieldRef],
    priced: bool,
) -> Option<Price> {
    match bought {
        Some(Some(cost)) => Some(Ok(cost.clone())),
        Some(None) => {
            let prices = unread.iter().filter(|at| at.key == "price");
            Some(Err(prices.copied().collect()))
        }
        None if priced || !unread.is_empty() => {
            (!not_bought.is_empty()).then(|| Err(not_bought.to_vec()))
        }
        None => None,
    }
}

/// What a piece takes of a board: its mean length where mitres nest, its long edge where the
/// board is profiled and can't be turned, and one saw cut.
fn on_the_board(brief: &Brief, of: BoardOf, (length, ends): (Length, Ends)) -> Length {
    let saw = timber::saw(brief, of, ends == Ends::Mitred);
    match ends {
        Ends::Square => length + saw.kerf,
        Ends::Mitred if timber::turnable(brief, of) => length - saw.face + saw.mitre_kerf,
        Ends::Mitred => length + saw.kerf,
    }
}

/// The part of the price of boards that pays for trim, bad stretches and offcuts.
fn left_of_boards(p: &Purchase) -> Money {
    let left = p.waste.trim + p.waste.bad + p.waste.offcut;
    let all = p.total_length.value;
    let paid = p.cost.as_ref().map_or(Money::ZERO, |c| c.value);
    if all <= Length::ZERO {
        return Money::ZERO;
    }
    part(paid, left / all)
}

/// A part of an amount, to the nearest hundredth.
fn part(amount: Money, ratio: f64) -> Money {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "at most the amount, which is an i64"
    )]
    let part = libm::round(amount.as_hundredths() as f64 * ratio.clamp(0.0, 1.0)) as i64;
    Money::from_hundredths(part)
}

fn micrometres(x: Length) -> u64 {
    u64::try_from(x.as_nm() / 1000).unwrap_or(0)
}

fn length(micrometres: u64) -> Length {
    Length::from_nm(i64::try_from(micrometres.saturating_mul(1000)).unwrap_or(i64::MAX))
}

fn area(square_millimetres: u64) -> Value {
    Area::from_m2(square_millimetres as f64 / 1e6).into()
}

fn mass(milligrams: u64) -> Value {
    Mass::from_grams(milligrams as f64 / 1000.0).into()
}

fn thousandths(x: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "float to int casts saturate"
    )]
    let n = libm::round(x.max(0.0) * 1000.0) as u64;
    n
}

/// Share and cost of wood and cloth that becomes no part of a canvas.
fn waste(b: &Bought<'_>) -> Option<(Figure<Ratio>, Figure<Money>)> {
    let mut wasted = 0.0;
    let mut paid = 0.0;
    let mut inputs = Vec::new();
    for (name, p) in [("boards", b.boards), ("bead", b.bead)] {
        let Some((p, cost)) = p.and_then(|p| p.cost.as_ref().map(|c| (p, c))) else {
            continue;
        };
        let used = used_share(p);
        let cost_f = cost.value.as_hundredths() as f64;
        wasted += cost_f * (1.0 - used);
        paid += cost_f;
        inputs.push(cost.input(name));
        inputs.push(Input {
            name: "of it wasted",
            value: Value::Ratio(Ratio::from_ratio(1.0 - used)),
            origin: Origin::Computed,
            waiting: cost.how.waiting(),
        });
    }
    if let Some((c, cost)) = b.cloth.and_then(|c| c.cost.as_ref().map(|x| (c, x))) {
        let cost_f = cost.value.as_hundredths() as f64;
        wasted += cost_f * c.waste.value.to_ratio();
        paid += cost_f;
        inputs.push(cost.input("cloth"));
        inputs.push(c.waste.input("of it wasted"));
    }
    (paid > 0.0).then(|| {
        let share = Figure::new(
            Ratio::from_ratio(wasted / paid),
            &f::WASTE_SHARE,
            inputs.clone(),
        );
        #[expect(
            clippy::cast_possible_truncation,
            reason = "at most the money paid, which is an i64"
        )]
        let money = Money::from_hundredths(libm::round(wasted) as i64);
        (share, Figure::new(money, &f::WASTE_COST, inputs))
    })
}

/// Share of the boards' length that becomes pieces.
fn used_share(p: &Purchase) -> f64 {
    let w = &p.waste;
    let lost = w.kerf + w.wedge + w.trim + w.bad + w.offcut;
    let all = p.total_length.value;
    if all <= Length::ZERO {
        return 1.0;
    }
    (1.0 - lost / all).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn prices_round_up_like_a_shop() {
        let m = Money::from_hundredths;
        assert_eq!(price_of(12, m(399), 100), m(48)); // 47.88
        assert_eq!(price_of(100, m(399), 100), m(399));
        assert_eq!(price_of_amount(0.25, m(1999)), m(500)); // 499.75
        assert_eq!(price_of_amount(-1.0, m(1999)), Money::ZERO);
        assert_eq!(price_of(1, m(5), 0), m(5));
    }

    proptest! {
        #[test]
        fn shares_add_up_and_follow_the_weights(
            amount in 0i64..10_000_000,
            weights in prop::collection::vec(0u64..1_000_000_000, 1..12),
        ) {
            let shares = share(Money::from_hundredths(amount), &weights);
            let sum: i64 = shares.iter().map(|s| s.as_hundredths()).sum();
            let whole: u64 = weights.iter().sum();
            prop_assert_eq!(sum, if whole == 0 { 0 } else { amount });
            for (s, w) in shares.iter().zip(&weights) {
                let exact = if whole == 0 { 0.0 } else { amount as f64 * *w as f64 / whole as f64 };
                prop_assert!((s.as_hundredths() as f64 - exact).abs() < 1.0 + 1e-6);
            }
        }
    }
}
