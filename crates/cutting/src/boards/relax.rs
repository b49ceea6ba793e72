//! Column generation: the linear programme over all patterns, one pricing round at a time.

use alloc::vec;
use alloc::vec::Vec;

use super::cover::Cut;
use super::grid::Grid;
use super::knapsack::{Knapsack, MOST_VALUE};
use super::master::{Groups, Master};
use super::model::{Model, Pattern};

/// What boards may be used.
#[derive(Clone, Debug)]
pub(super) enum Rack {
    /// Any, at their price, at most so many of each.
    Priced(Vec<u32>),
    /// Exactly these at most, for nothing: only what stays short counts.
    Listed(Vec<u32>),
}

impl Rack {
    /// How many of a bin there are.
    pub(super) fn count(&self, bin: usize) -> u32 {
        match self {
            Self::Priced(counts) | Self::Listed(counts) => counts[bin],
        }
    }
}

/// Groups of each kind, nested or not, that a programme of many items starts from.
const PARTS: u32 = 6;
/// Items priced at a time in such a programme.
pub(super) const SHARE: usize = 50;

/// A linear programme on its way to the optimum.
#[derive(Clone, Debug)]
pub(super) struct Relaxation {
    pub(super) left: Vec<u32>,
    pub(super) rack: Rack,
    pub(super) master: Master,
    /// Pricing grids still to come, coarse to fine, as indices.
    level: usize,
    scaled: Vec<i32>,
    priced: bool,
    /// Kinds of pieces are priced by turns in so many shares, so that a table over fine cells
    /// stays small.
    shares: usize,
    /// The share whose turn it is, and rounds since a share gave a pattern.
    turn: usize,
    idle: usize,
}

/// Where a programme stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// More rounds to come.
    Working,
    /// Optimal on this grid, up to its rounding; the next is finer.
    Coarse,
    /// Optimal up to rounding.
    Optimal,
}

impl Relaxation {
    /// A programme for what is left, warmed with patterns known before.
    pub(super) fn new(model: &Model, left: Vec<u32>, rack: Rack, known: &[Pattern]) -> Self {
        let groups = Groups::single(left.len());
        Self::grouped(model, left, rack, known, groups)
    }

    /// The same for many kinds of pieces: it starts from a few groups of like ones, whose
    /// values differ by weight only.
    pub(super) fn coarse(model: &Model, left: Vec<u32>, rack: Rack) -> Self {
        let most = most_capacity(model);
        // Groups of nested and of other pieces, by weight, of about the same total.
        let of_kind = |nested: bool| -> f64 {
            let items = model.items.iter().zip(&left);
            items
                .filter(|(item, _)| item.nested == nested)
                .map(|(item, &n)| item.weight as f64 * f64::from(n))
                .sum()
        };
        let all = [of_kind(false), of_kind(true)];
        let mut sum = [0.0; 2];
        let of = model
            .items
            .iter()
            .zip(&left)
            .map(|(item, &n)| {
                let kind = usize::from(item.nested);
                let part = sum[kind] / (all[kind] + 1.0) * f64::from(PARTS);
                sum[kind] += item.weight as f64 * f64::from(n);
                (
                    u32::from(item.nested) * PARTS + part as u32,
                    item.weight as f64 / most,
                )
            })
            .collect();
        let mut new = Self::grouped(model, left, rack, &[], Groups::packed(of));
        new.shares = model.items.len() / SHARE + 1;
        new
    }

    fn grouped(
        model: &Model,
        left: Vec<u32>,
        rack: Rack,
        known: &[Pattern],
        groups: Groups,
    ) -> Self {
        let most = most_capacity(model);
        let bought = model.bins.iter().filter(|b| b.stock.is_some());
        let dearest = bought.map(|b| b.price).max().unwrap_or(1).max(1) as f64;
        let (short, limits): (Vec<f64>, Vec<Option<u32>>) = match &rack {
            // Dear enough to be avoided wherever a board can be bought, by far cheaper than a
            // whole board per piece would need; bounds don't depend on it.
            Rack::Priced(counts) => (
                model
                    .items
                    .iter()
                    .map(|i| dearest * (0.5 + 4.0 * i.weight as f64 / most))
                    .collect(),
                model
                    .bins
                    .iter()
                    .zip(counts)
                    .map(|(b, &n)| (b.limited || n < b.limit).then_some(n))
                    .collect(),
            ),
            Rack::Listed(counts) => (
                model.items.iter().map(|i| i.weight as f64 / most).collect(),
                counts.iter().map(|&n| Some(n)).collect(),
            ),
        };
        let mut master = Master::new(groups, &left, &short, &limits);
        for pattern in known {
            let bin = usize::from(pattern.bin);
            if rack.count(bin) > 0 && model.bins[bin].stock.is_some() && fits(pattern, &left) {
                let cost = price(model, &rack, bin);
                master.add(pattern.clone(), cost);
            }
        }
        Self {
            scaled: vec![0; left.len()],
            left,
            rack,
            master,
            level: 0,
            priced: false,
            shares: 1,
            turn: 0,
            idle: 0,
        }
    }

    /// One round: pivots over known columns, or pricing of new ones. Returns the work done.
    pub(super) fn advance(
        &mut self,
        model: &Model,
        grids: &[Grid],
        knapsack: &mut Knapsack,
    ) -> (Standing, u64) {
        if !self.priced {
            let (optimal, work) = self.master.optimize(40);
            self.priced = optimal;
            return (Standing::Working, work);
        }
        let scale = self.scale(model);
        let grid = &grids[self.level];
        let left: Vec<u32> = self
            .left
            .iter()
            .enumerate()
            .map(|(i, &n)| if i % self.shares == self.turn { n } else { 0 })
            .collect();
        self.turn = (self.turn + 1) % self.shares;
        let mut work = knapsack.fill(model, grid, &self.scaled, &left);
        let mut found = false;
        for (index, bin) in model.bins.iter().enumerate() {
            if self.rack.count(index) == 0 || bin.stock.is_none() {
                continue;
            }
            let cost = price(model, &self.rack, index);
            let worth = knapsack.value(grid, index) as f64 / scale + self.master.limit_dual(index);
            if worth > cost + 1e-7 * (1.0 + cost) {
                let (pattern, more) = knapsack.pattern(model, grid, &self.scaled, &left, index);
                work += more;
                if model.bins[index].runs.len() > 1 {
                    // Filled run by run it may be worth less than the bound promised.
                    let true_worth: i64 = pattern
                        .cells
                        .iter()
                        .map(|c| i64::from(self.scaled[usize::from(c.item)]) * i64::from(c.count))
                        .sum();
                    let worth = true_worth as f64 / scale + self.master.limit_dual(index);
                    if worth <= cost + 1e-7 * (1.0 + cost) {
                        continue;
                    }
                }
                self.master.add(pattern, cost);
                found = true;
            }
        }
        if found {
            self.priced = false;
            self.idle = 0;
        } else if self.idle + 1 < self.shares {
            self.idle += 1;
        } else if self.level + 1 < grids.len() {
            self.level += 1;
            return (Standing::Coarse, work);
        } else {
            return (Standing::Optimal, work);
        }
        (Standing::Working, work)
    }

    /// Whether a listed rack holds everything, in fractions of boards.
    pub(super) fn is_covered(&self) -> bool {
        self.master.objective() < 1e-7
    }

    /// Cuts boards by basic columns, as often as they fit what is left; returns those cut.
    pub(super) fn take(&mut self, columns: &[(usize, u32)]) -> Vec<(Pattern, u32)> {
        let mut taken = Vec::new();
        for &(column, n) in columns {
            let Some(pattern) = self.master.pattern(column).cloned() else {
                continue;
            };
            let (Rack::Priced(list) | Rack::Listed(list)) = &mut self.rack;
            let count = &mut list[usize::from(pattern.bin)];
            let mut done = 0;
            while done < n && *count > 0 && fits(&pattern, &self.left) {
                for cell in &pattern.cells {
                    self.left[usize::from(cell.item)] -= cell.count;
                }
                *count -= 1;
                done += 1;
            }
            if done > 0 {
                self.master.take(column, done);
                taken.push((pattern, done));
            }
        }
        taken
    }

    /// After [`Relaxation::take`]: makes the programme whole again; returns the work done.
    pub(super) fn mend(&mut self) -> u64 {
        self.master.ban(&self.left);
        self.priced = false;
        self.level = 0;
        self.master.repair()
    }

    /// Scales the duals to whole numbers; returns the scale.
    fn scale(&mut self, model: &Model) -> f64 {
        let most = model
            .bins
            .iter()
            .filter(|b| b.stock.is_some())
            .map(super::model::Bin::capacity)
            .max()
            .unwrap_or(1) as f64;
        let densest = self
            .master
            .duals()
            .zip(&model.items)
            .map(|(y, item)| y / item.weight as f64)
            .fold(1e-12, f64::max);
        // Half the range is left for portions that overlap a little beyond a run.
        let scale = (MOST_VALUE / 4) as f64 / (densest * most);
        for (value, y) in self.scaled.iter_mut().zip(self.master.duals()) {
            *value = if y > 0.0 { (y * scale) as i32 } else { 0 };
        }
        scale
    }

    /// The cover bound that the present duals give, in exact integers.
    pub(super) fn cut(
        &mut self,
        model: &Model,
        grid: &Grid,
        knapsack: &mut Knapsack,
    ) -> (Cut, u64) {
        self.scale(model);
        Cut::new(model, grid, knapsack, &self.scaled)
    }
}

fn most_capacity(model: &Model) -> f64 {
    let capacities = model.bins.iter().map(super::model::Bin::capacity);
    capacities.max().unwrap_or(1).max(1) as f64
}

/// Whether a pattern asks for no more than is left.
pub(super) fn fits(pattern: &Pattern, left: &[u32]) -> bool {
    // Several runs may hold the same item.
    let cells = &pattern.cells;
    if cells.last().is_none_or(|c| c.run == 0) {
        return cells.iter().all(|c| c.count <= left[usize::from(c.item)]);
    }
    cells.iter().all(|c| {
        let all: u32 = cells
            .iter()
            .filter(|o| o.item == c.item)
            .map(|o| o.count)
            .sum();
        all <= left[usize::from(c.item)]
    })
}

/// What a board costs in this programme.
fn price(model: &Model, rack: &Rack, bin: usize) -> f64 {
    match rack {
        Rack::Priced(_) => model.bins[bin].price as f64,
        Rack::Listed(_) => 0.0,
    }
}
