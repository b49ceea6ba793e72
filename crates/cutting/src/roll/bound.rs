//! Lower bounds: a blank as a bundle of bars across the roll.
//!
//! Every straight line across the roll meets blanks whose widths add up to no more than the
//! roll's; so a strip is at least as long as the fewest lines that cover every blank over its
//! whole length, where a blank that may be turned may even be covered partly either way. This is
//! a cutting-stock problem in one dimension, far tighter than area when few blanks lie side by
//! side (the bar relaxation, G. Scheithauer, European Journal of Operational Research
//! 112:379–420, 1999, from memory).
//!
//! Its dual gives every blank a price such that no line is worth more than one; the sum of the
//! prices is a bound. Column generation finds good prices in floating point; the bound itself is
//! computed from them rounded to integers, with the most valuable line found exactly or
//! overestimated, so no rounding can make it too high.

use alloc::vec;
use alloc::vec::Vec;
use quantity::order::sort_by;

use quantity::{Length, Money, Rounding};

use super::model::{Model, Score, Shape, Strip, gcd};
use super::tree::Size;

/// Nodes after which the search for the most valuable line gives up and overestimates.
const NODES: u32 = 20_000;
/// Most different blanks for column generation; larger jobs have many small blanks, and for
/// these area is a good bound.
const SHAPES: usize = 80;
/// Most rounds of column generation.
const ROUNDS: usize = 400;
/// Steps after which column generation is content with the prices it has: any prices give a bound,
/// better ones a higher one. One set of prices then takes some milliseconds, whatever the job.
const PRICE_STEPS: usize = 500_000;
/// Most different lines to keep for [`Worth`].
const LINES: usize = 5_000;
/// Most lines looked at for them.
const LINE_STEPS: usize = 300_000;
/// Prices are rounded to this many parts of the highest.
const PARTS: f64 = (1_u64 << 40) as f64;

/// How much length each blank of a shape takes at least of a strip: `share[shape] / whole`
/// units, `None` where the shape does not fit. The shares of all blanks on a strip add up to no
/// more than its length.
#[derive(Clone, Debug)]
struct Shares {
    share: Vec<Option<i128>>,
    whole: i128,
}

impl Shares {
    /// Least length for all blanks in one strip, in units, rounded up.
    fn total(&self, model: &Model) -> i64 {
        let sum: i128 = self
            .share
            .iter()
            .zip(&model.shapes)
            .map(|(share, s)| share.unwrap_or(0) * s.blanks.len() as i128)
            .sum();
        i64::try_from((sum + self.whole - 1) / self.whole).unwrap_or(i64::MAX)
    }

    /// Nanometres for one blank of a shape, rounded down.
    fn nanometres(&self, model: &Model, shape: usize) -> Option<i128> {
        self.share[shape].map(|s| s * i128::from(model.unit) / self.whole)
    }
}

/// No plan has a better score than this.
pub(super) fn plan(model: &Model) -> Score {
    let per_roll: Vec<[Shares; 2]> = model
        .strips
        .iter()
        .map(|s| [by_area(model, s.width), by_bars(model, s.width)])
        .collect();
    if let [only] = &per_roll[..] {
        let units = only.iter().map(|s| s.total(model)).max().unwrap_or(0);
        return model.score(0, units.max(longest_alone(model, model.strips[0].width)));
    }
    // With several rolls every blank goes where it is cheapest by its share.
    let tighter: Vec<&Shares> = per_roll
        .iter()
        .map(|both| {
            let [area, bars] = both;
            if bars.total(model) > area.total(model) {
                bars
            } else {
                area
            }
        })
        .collect();
    let least = |weight: &dyn Fn(usize) -> i128| -> i128 {
        (0..model.shapes.len())
            .map(|shape| {
                let each = tighter.iter().enumerate().filter_map(|(roll, shares)| {
                    Some(shares.nanometres(model, shape)? * weight(roll))
                });
                each.min().unwrap_or(0) * model.shapes[shape].blanks.len() as i128
            })
            .sum()
    };
    let gap = i128::from(model.gap.as_nm());
    let price = |roll: usize| i128::from(model.strips[roll].price.as_hundredths());
    let rolls = model.strips.len();
    // Every roll used is one lane shorter than its blanks with theirs.
    let length = (least(&|_| 1) - gap * rolls as i128).max(0);
    let together = least_cost(model).map_or(0, |cost| cost * i128::from(model.unit));
    let cost = least(&price).max(together) - gap * (0..rolls).map(price).sum::<i128>();
    let cost = whole_steps(model, cost.max(0));
    let per = i128::from(model.price_per.as_nm());
    let cost = (cost + per - 1) / per;
    let there: Option<Length> = model.strips.iter().map(|s| s.available).sum();
    let narrow = |n: i128| i64::try_from(n).unwrap_or(i64::MAX);
    let length = Length::from_nm(narrow(length));
    Score {
        missing: there.map_or(Length::ZERO, |there| (length - there).max(Length::ZERO)),
        cost: Money::from_hundredths(narrow(cost)),
        length,
    }
}

/// The least that whole steps can cost, if their exact lengths cost so much: all prices of a step
/// are multiples of one amount, so their sum is. The rest of a roll may be no whole step.
fn whole_steps(model: &Model, cost: i128) -> i128 {
    let whole = |all: Length| all.round_to(model.step, Rounding::Down) == all;
    if model
        .strips
        .iter()
        .filter_map(|s| s.available)
        .any(|all| !whole(all))
    {
        return cost;
    }
    let step = |s: &Strip| s.price.as_hundredths();
    let common = model.strips.iter().fold(0, |all, s| gcd(all, step(s)));
    match i128::from(common) * i128::from(model.step.as_nm()) {
        0 => cost,
        amount => (cost + amount - 1) / amount * amount,
    }
}

/// A blank takes its area divided by the width.
fn by_area(model: &Model, width: i64) -> Shares {
    let share = |s: &Shape| ways(s, width).next().map(|size| size.area());
    Shares {
        share: model.shapes.iter().map(share).collect(),
        whole: i128::from(width.max(1)),
    }
}

/// The longest that a single blank needs.
fn longest_alone(model: &Model, width: i64) -> i64 {
    let alone = |s: &Shape| ways(s, width).map(|way| way.h).min().unwrap_or(0);
    model.shapes.iter().map(alone).max().unwrap_or(0)
}

/// The ways in which a shape fits a strip.
fn ways(shape: &Shape, width: i64) -> impl Iterator<Item = Size> + use<> {
    let turn = shape.turnable && shape.size.w != shape.size.h;
    let both = [Some(shape.size), turn.then_some(shape.size.turned())];
    both.into_iter().flatten().filter(move |way| way.w <= width)
}

/// A bar of a shape lying one way.
#[derive(Clone, Copy, Debug)]
struct Bar {
    row: usize,
    width: i64,
    length: i64,
}

/// The bars of all shapes that fit, and how often each may occur in a line.
struct Bars {
    width: i64,
    bars: Vec<Bar>,
    count: Vec<u32>,
}

impl Bars {
    /// Bars of these shapes, a row for each, as far as they fit.
    fn new(model: &Model, width: i64, shapes: &[usize]) -> Self {
        let (mut bars, mut count) = (Vec::new(), Vec::new());
        for (row, &shape) in shapes.iter().enumerate() {
            let s = &model.shapes[shape];
            bars.extend(ways(s, width).map(|way| Bar {
                row,
                width: way.w,
                length: way.h,
            }));
            count.push(u32::try_from(s.blanks.len()).unwrap_or(u32::MAX));
        }
        Self { width, bars, count }
    }

    /// The most valuable line: its value or more, how often it takes each bar, and the steps that
    /// the search took.
    fn best_line(&self, value: &[i128]) -> (i128, Vec<u32>, usize) {
        let mut order: Vec<usize> = (0..self.bars.len()).filter(|&b| value[b] > 0).collect();
        // By value per width, the higher first.
        sort_by(&mut order, |&a, &b| {
            let (p, q) = (
                value[a] * i128::from(self.bars[b].width),
                value[b] * i128::from(self.bars[a].width),
            );
            p > q || (p == q && a < b)
        });
        let mut line = Line {
            bars: self,
            value,
            order,
            left: self.count.clone(),
            taken: vec![0; self.bars.len()],
            best: 0,
            best_taken: vec![0; self.bars.len()],
            nodes: 0,
            cut_off: 0,
        };
        line.extend(0, self.width, 0);
        let steps = line.nodes as usize;
        (line.best.max(line.cut_off), line.best_taken, steps)
    }
}

/// Depth-first search for the most valuable line.
struct Line<'a> {
    bars: &'a Bars,
    value: &'a [i128],
    order: Vec<usize>,
    left: Vec<u32>,
    taken: Vec<u32>,
    best: i128,
    best_taken: Vec<u32>,
    nodes: u32,
    /// Highest value that a part left out could have had.
    cut_off: i128,
}

impl Line<'_> {
    fn extend(&mut self, from: usize, room: i64, value: i128) {
        if value > self.best {
            self.best = value;
            self.best_taken.clone_from(&self.taken);
        }
        for i in from..self.order.len() {
            let b = self.order[i];
            let bar = self.bars.bars[b];
            // All the room at the value per width of this bar, the best that is left.
            let most = value + self.value[b] * i128::from(room) / i128::from(bar.width);
            if most <= self.best {
                return;
            }
            if self.nodes > NODES {
                self.cut_off = self.cut_off.max(most);
                return;
            }
            if bar.width > room || self.left[bar.row] == 0 {
                continue;
            }
            self.nodes += 1;
            self.left[bar.row] -= 1;
            self.taken[b] += 1;
            self.extend(i, room - bar.width, value + self.value[b]);
            self.left[bar.row] += 1;
            self.taken[b] -= 1;
        }
    }
}

/// A blank takes its price in the bar relaxation.
fn by_bars(model: &Model, width: i64) -> Shares {
    let fits = |&i: &usize| ways(&model.shapes[i], width).next().is_some();
    let shapes: Vec<usize> = (0..model.shapes.len()).filter(fits).collect();
    let Some(priced) = Priced::new(model, &shapes, &[(width, 1)]) else {
        return by_area(model, width);
    };
    let mut share = vec![None; model.shapes.len()];
    for (&price, &shape) in priced.price.iter().zip(&shapes) {
        share[shape] = Some(price);
    }
    Shares {
        share,
        whole: priced.most(0).max(1),
    }
}

/// Least cost of all blanks with their lanes in hundredths × units, over all rolls together:
/// lines across a roll cost what the roll costs. `None` if a roll is for nothing, or out of reach.
fn least_cost(model: &Model) -> Option<i128> {
    let shapes: Vec<usize> = (0..model.shapes.len()).collect();
    let rolls: Vec<(i64, i64)> = model
        .strips
        .iter()
        .map(|s| (s.width, s.price.as_hundredths()))
        .collect();
    if rolls.iter().any(|&(_, price)| price <= 0) {
        return None;
    }
    let priced = Priced::new(model, &shapes, &rolls)?;
    let sum: i128 = priced
        .price
        .iter()
        .zip(&model.shapes)
        .map(|(price, s)| price * s.blanks.len() as i128)
        .sum();
    // The blanks on a roll are worth no more than its length × its most valuable line, so the
    // whole costs at least sum × price / most at the roll where a line gives most for its price.
    let costs = (0..rolls.len()).map(|r| {
        let most = priced.most(r).max(1);
        // Below 10²⁸ × 10⁸ after this shift; both rounded the safe way.
        let shift = 20;
        (sum >> shift) * i128::from(rolls[r].1) / ((most >> shift) + 1)
    });
    costs.min()
}

/// Bars with good whole prices.
struct Priced {
    rolls: Vec<Bars>,
    /// Price of a blank of each row.
    price: Vec<i128>,
}

impl Priced {
    /// Prices of these shapes cut from rolls with a width and a price each; every shape must fit
    /// one of them.
    fn new(model: &Model, shapes: &[usize], rolls: &[(i64, i64)]) -> Option<Self> {
        if shapes.is_empty() || shapes.len() > SHAPES {
            return None;
        }
        let costs: Vec<f64> = rolls.iter().map(|&(_, price)| price as f64).collect();
        let rolls: Vec<Bars> = rolls
            .iter()
            .map(|&(width, _)| Bars::new(model, width, shapes))
            .collect();
        let prices = prices(&rolls, &costs);
        let highest = prices.iter().copied().fold(0.0, f64::max);
        if highest <= 0.0 {
            return None;
        }
        let longest = rolls.iter().flat_map(|r| &r.bars).map(|b| b.length).max()?;
        let scale = i128::from(longest) << 10;
        #[expect(clippy::cast_possible_truncation, reason = "from 0 to 2⁴⁰")]
        let price: Vec<i128> = prices
            .iter()
            .map(|p| (p.max(0.0) / highest * PARTS) as i128 * scale)
            .collect();
        Some(Self { rolls, price })
    }

    /// Price of each bar per unit of length, rounded up, so that no blank is worth more than its
    /// bars.
    fn values(&self, roll: usize) -> Vec<i128> {
        let per_unit = |b: &Bar| {
            let length = i128::from(b.length);
            (self.price[b.row] + length - 1) / length
        };
        self.rolls[roll].bars.iter().map(per_unit).collect()
    }

    /// No line across the roll is worth more.
    fn most(&self, roll: usize) -> i128 {
        self.rolls[roll].best_line(&self.values(roll)).0
    }
}

/// Prices with which the exact method sees that a rectangle leaves too little room, beside it
/// and on the rest of the rolls, for the other blanks.
#[derive(Clone, Debug)]
pub(super) struct Worth {
    /// Price of a blank of each shape.
    pub(super) price: Vec<i128>,
    rolls: Vec<RollWorth>,
    /// What all lines of the plan at hand cost.
    limit: i128,
}

#[derive(Clone, Debug)]
struct RollWorth {
    width: i64,
    /// Cost of a line right across, no less than any line is worth.
    line: i128,
    /// The most valuable line in each width: widths and values rising, from width zero.
    lines: Vec<(i64, i128)>,
}

impl Worth {
    /// Prices against a plan of this score; `None` if they can't be had cheaply.
    pub(super) fn new(model: &Model, best: Score) -> Option<Self> {
        let shapes: Vec<usize> = (0..model.shapes.len()).collect();
        let cost = |s: &Strip| match model.strips[..] {
            [_] => 1,
            _ => s.price.as_hundredths(),
        };
        let costs: Vec<(i64, i64)> = model.strips.iter().map(|s| (s.width, cost(s))).collect();
        // A plan may cost more and lack less.
        if best.missing > Length::ZERO || costs.iter().any(|&(_, cost)| cost <= 0) {
            return None;
        }
        let priced = Priced::new(model, &shapes, &costs)?;
        // What a line is worth at most for its cost.
        let factor = (0..costs.len())
            .map(|r| priced.most(r) / i128::from(costs[r].1) + 1)
            .max()?;
        let gap = i128::from(model.gap.as_nm());
        let unit = i128::from(model.unit);
        let limit = match costs[..] {
            // Only what is shorter by a unit is of interest.
            [_] => (i128::from(best.length.as_nm()) + gap) / unit - 1,
            _ => {
                // Rounding up to steps and to the hundredth hides something, in the safe way: what
                // costs no more when rounded costs no more before it.
                let per = i128::from(model.price_per.as_nm());
                let paid = i128::from(best.cost.as_hundredths()) * per;
                let lanes: i128 = costs.iter().map(|&(_, cost)| gap * i128::from(cost)).sum();
                (paid + lanes) / unit
            }
        };
        let mut rolls = Vec::new();
        for (r, &(width, cost)) in costs.iter().enumerate() {
            rolls.push(RollWorth {
                width,
                line: i128::from(cost) * factor,
                lines: best_lines(&priced.rolls[r], &priced.values(r))?,
            });
        }
        Some(Self {
            price: priced.price,
            rolls,
            limit: limit * factor,
        })
    }

    /// Whether a rectangle may be part of a plan no dearer than the one at hand, with other
    /// blanks worth `rest`: its own lines are lost to these but for what is beside it.
    pub(super) fn allows(&self, size: Size, rest: i128) -> bool {
        self.rolls.iter().any(|roll| {
            let free = roll.width - size.w;
            free >= 0 && rest + i128::from(size.h) * (roll.line - roll.best(free)) <= self.limit
        })
    }
}

impl RollWorth {
    fn best(&self, width: i64) -> i128 {
        let n = self.lines.partition_point(|&(w, _)| w <= width);
        n.checked_sub(1).map_or(0, |i| self.lines[i].1)
    }
}

/// The most valuable line in each width; `None` if there are too many.
fn best_lines(bars: &Bars, value: &[i128]) -> Option<Vec<(i64, i128)>> {
    let mut lines = vec![(0, 0)];
    let mut steps = 0;
    for (row, &count) in bars.count.iter().enumerate() {
        for _ in 0..count {
            let mut longer = lines.clone();
            for (bar, &v) in bars.bars.iter().zip(value).filter(|(b, _)| b.row == row) {
                let with = lines.iter().map(|&(w, total)| (w + bar.width, total + v));
                longer.extend(with.filter(|&(w, _)| w <= bars.width));
            }
            steps += longer.len();
            // Of equal widths the most valuable first; then only what is worth more stays.
            sort_by(&mut longer, |a, b| a.0 < b.0 || (a.0 == b.0 && a.1 > b.1));
            lines.clear();
            for (w, total) in longer {
                if lines.last().is_none_or(|&(_, most)| total > most) {
                    lines.push((w, total));
                }
            }
            if lines.len() > LINES || steps > LINE_STEPS {
                return None;
            }
        }
    }
    Some(lines)
}

/// Prices of the rows by column generation: the dual of "cheapest lines that cover every blank".
/// Every row must have a bar on some roll.
fn prices(rolls: &[Bars], costs: &[f64]) -> Vec<f64> {
    let Some(first) = rolls.first() else {
        return Vec::new();
    };
    let m = first.count.len();
    // A line takes so much of a blank per unit of its length.
    let unit = first.width as f64;
    let per_line = |bar: &Bar| unit / bar.length as f64;

    // Start: every blank alone in its line, its shortest way.
    let mut inverse = vec![vec![0.0; m]; m];
    let mut level = vec![0.0; m];
    let mut cost = vec![1.0; m];
    for row in 0..m {
        let mut most = 0.0;
        for (bars, &each) in rolls.iter().zip(costs) {
            for bar in bars.bars.iter().filter(|b| b.row == row) {
                if per_line(bar) > most {
                    most = per_line(bar);
                    cost[row] = each;
                }
            }
        }
        inverse[row][row] = 1.0 / most;
        level[row] = f64::from(first.count[row]) / most;
    }

    let mut price = vec![0.0; m];
    let mut steps = 0;
    for _ in 0..ROUNDS {
        // Prices and pivot of this round.
        steps += 2 * m * m;
        for (j, p) in price.iter_mut().enumerate() {
            *p = (0..m).map(|i| cost[i] * inverse[i][j]).sum();
        }
        if steps > PRICE_STEPS {
            break;
        }
        let found = entering(rolls, costs, &price, &per_line, &mut steps);
        let Some((column, worth)) = found else {
            break;
        };
        let direction: Vec<f64> = inverse
            .iter()
            .map(|row| row.iter().zip(&column).map(|(a, b)| a * b).sum())
            .collect();
        let ratios = (0..m).filter(|&i| direction[i] > 1e-9);
        let Some(leaves) =
            ratios.min_by(|&i, &j| (level[i] / direction[i]).total_cmp(&(level[j] / direction[j])))
        else {
            break;
        };
        pivot(&mut inverse, &mut level, &direction, leaves);
        cost[leaves] = worth;
    }
    price
}

/// A column that would lower the cost, with its own: a surplus or a line. Counts its steps.
fn entering(
    rolls: &[Bars],
    costs: &[f64],
    price: &[f64],
    per_line: &dyn Fn(&Bar) -> f64,
    steps: &mut usize,
) -> Option<(Vec<f64>, f64)> {
    let lowest = (0..price.len()).min_by(|&i, &j| price[i].total_cmp(&price[j]))?;
    let dearest = costs.iter().copied().fold(0.0, f64::max);
    if price[lowest] < -1e-9 * dearest {
        let mut column = vec![0.0; price.len()];
        column[lowest] = -1.0;
        return Some((column, 0.0));
    }
    let mut best: Option<(Vec<f64>, f64)> = None;
    let mut most = 1.0 + 1e-9;
    for (bars, &cost) in rolls.iter().zip(costs) {
        let worth: Vec<f64> = bars
            .bars
            .iter()
            .map(|b| (price[b.row].max(0.0) * per_line(b) / cost).min(1e9))
            .collect();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "float to int casts saturate"
        )]
        let value: Vec<i128> = worth.iter().map(|v| (v * PARTS) as i128).collect();
        let (_, taken, nodes) = bars.best_line(&value);
        *steps += nodes;
        let mut column = vec![0.0; price.len()];
        let mut total = 0.0;
        for ((bar, &n), v) in bars.bars.iter().zip(&taken).zip(&worth) {
            column[bar.row] += f64::from(n) * per_line(bar);
            total += f64::from(n) * v;
        }
        if total > most {
            most = total;
            best = Some((column, cost));
        }
    }
    best
}

fn pivot(inverse: &mut [Vec<f64>], level: &mut [f64], direction: &[f64], leaves: usize) {
    let by = direction[leaves];
    for x in &mut inverse[leaves] {
        *x /= by;
    }
    level[leaves] /= by;
    let row = inverse[leaves].clone();
    let top = level[leaves];
    for i in (0..level.len()).filter(|&i| i != leaves) {
        let factor = direction[i];
        if factor != 0.0 {
            for (x, r) in inverse[i].iter_mut().zip(&row) {
                *x -= factor * r;
            }
            level[i] = (level[i] - factor * top).max(0.0);
        }
    }
}
