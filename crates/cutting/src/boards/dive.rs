//! From a fractional filling of a list to a whole one: patterns used at least once are cut, then
//! the most nearly whole one, and what is left is looked at afresh each time.

use alloc::vec::Vec;

use super::grid::Grid;
use super::knapsack::Knapsack;
use super::model::{Model, Pattern};
use super::pack::Dice;
use super::relax::{Rack, Relaxation, Standing, fits};

/// A dive on its way down.
#[derive(Clone, Debug)]
pub(super) struct Dive {
    relaxation: Relaxation,
    /// Boards cut so far.
    pub(super) fixed: Vec<(Pattern, u32)>,
    dice: Dice,
    /// How far from the most nearly whole choice this dive may stray, in percent.
    stray: usize,
}

/// Where a dive stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Depth {
    /// Further down it goes.
    Diving,
    /// Even fractions can't fill the whole list: it is impossible.
    NoBottom,
    /// What was cut so far leaves pieces over, or everything is cut.
    Bottom,
}

impl Dive {
    /// A dive into a list of boards.
    pub(super) fn new(model: &Model, list: &[u32], known: &[Pattern], seed: u64) -> Self {
        let rack = Rack::Listed(list.to_vec());
        Self {
            relaxation: Relaxation::new(model, model.demand(), rack, known),
            fixed: Vec::new(),
            dice: Dice::new(seed),
            stray: if seed == 0 { 0 } else { 40 },
        }
    }

    /// The programme at the present depth.
    pub(super) fn relaxation(&mut self) -> &mut Relaxation {
        &mut self.relaxation
    }

    /// One round; returns the work done.
    pub(super) fn advance(
        &mut self,
        model: &Model,
        grids: &[Grid],
        knapsack: &mut Knapsack,
    ) -> (Depth, u64) {
        let covered = self.relaxation.master.short() < 1e-7;
        if !covered {
            let (standing, work) = self.relaxation.advance(model, grids, knapsack);
            if standing == Standing::Optimal && self.relaxation.master.short() >= 1e-7 {
                let depth = if self.fixed.is_empty() {
                    Depth::NoBottom
                } else {
                    Depth::Bottom
                };
                return (depth, work);
            }
            return (Depth::Diving, work);
        }
        let mut left = self.relaxation.left.clone();
        let mut list = match &self.relaxation.rack {
            Rack::Priced(list) | Rack::Listed(list) => list.clone(),
        };
        let mut uses: Vec<(f64, Pattern)> = self
            .relaxation
            .master
            .solution()
            .into_iter()
            .map(|(p, x)| (x, p.clone()))
            .collect();
        let mut cut = |pattern: &Pattern, n: u32, fixed: &mut Vec<(Pattern, u32)>| {
            let mut done = 0;
            let bin = usize::from(pattern.bin);
            while done < n && list[bin] > 0 && fits(pattern, &left) {
                for cell in &pattern.cells {
                    left[usize::from(cell.item)] -= cell.count;
                }
                list[bin] -= 1;
                done += 1;
            }
            if done > 0 {
                fixed.push((pattern.clone(), done));
            }
            done
        };
        let mut any = false;
        for (x, pattern) in &mut uses {
            let whole = (*x + 1e-6) as u32;
            if whole > 0 {
                any |= cut(pattern, whole, &mut self.fixed) > 0;
                *x -= f64::from(whole);
            }
        }
        if !any {
            for (x, _) in &mut uses {
                *x += self.dice.below(self.stray + 1) as f64 / 100.0;
            }
            uses.sort_by(|a, b| b.0.total_cmp(&a.0));
            // One board, or a tenth of a large list at once.
            let boards: u32 = uses.len() as u32 / 12 + 1;
            for (_, pattern) in uses.iter().take(boards as usize) {
                any |= cut(pattern, 1, &mut self.fixed) > 0;
            }
        }
        if !any || left.iter().all(|&n| n == 0) {
            return (Depth::Bottom, left.len() as u64);
        }
        let known: Vec<Pattern> = self
            .relaxation
            .master
            .patterns()
            .iter()
            .filter(|p| fits(p, &left))
            .cloned()
            .collect();
        let work = known.len() as u64 * 20 + (left.len() * left.len()) as u64;
        self.relaxation = Relaxation::new(model, left, Rack::Listed(list), &known);
        (Depth::Diving, work)
    }
}
