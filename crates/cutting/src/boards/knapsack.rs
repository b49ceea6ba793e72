//! The most valuable content of every board at once: a bounded knapsack by layers.
//!
//! Items are split into portions of 1, 2, 4 … copies; a layer over all cells is kept after each
//! portion, so that the content can be read back. Plain items come first: the layer after them
//! answers for runs without nested pieces, the last one for all.

use alloc::vec::Vec;

use super::grid::Grid;
use super::model::{Cell, Model, Pattern};

/// Which weights to fill by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Weights {
    /// Rounded up: contents are true.
    Tight,
    /// Rounded down: values are upper bounds.
    Loose,
}

/// A number of copies of an item, taken together or not at all.
#[derive(Clone, Copy, Debug)]
struct Portion {
    item: u16,
    copies: u32,
    weight: u32,
}

/// Tables of the latest filling; kept to save allocations.
#[derive(Clone, Debug, Default)]
pub(super) struct Knapsack {
    portions: Vec<Portion>,
    /// Layer 0 is empty boards; layer `j + 1` follows portion `j`.
    layers: Vec<i32>,
    /// Cells of a layer.
    width: usize,
    /// Layers up to the last plain portion.
    plain: usize,
    /// Whether weights were rounded down.
    loose: bool,
}

/// Values must keep every sum below this.
pub(super) const MOST_VALUE: i64 = 1 << 30;

impl Knapsack {
    /// Fills the tables for these values and numbers of pieces left; returns the work done.
    pub(super) fn fill(
        &mut self,
        model: &Model,
        grid: &Grid,
        weights: Weights,
        value: &[i32],
        left: &[u32],
    ) -> u64 {
        let weight = match weights {
            Weights::Tight => &grid.tight,
            Weights::Loose => &grid.loose,
        };
        self.loose = weights == Weights::Loose;
        self.width = grid.most as usize + 1;
        self.portions.clear();
        for nested in [false, true] {
            for (i, item) in model.items.iter().enumerate() {
                if item.nested != nested || value[i] <= 0 || left[i] == 0 {
                    continue;
                }
                let mut copies_left = left[i].min(grid.most / weight[i].max(1));
                let mut copies = 1;
                while copies_left > 0 {
                    copies = copies.min(copies_left);
                    copies_left -= copies;
                    self.portions.push(Portion {
                        item: u16::try_from(i).unwrap_or(u16::MAX),
                        copies,
                        weight: weight[i] * copies,
                    });
                    copies *= 2;
                }
            }
            if !nested {
                self.plain = self.portions.len();
            }
        }
        let size = (self.portions.len() + 1) * self.width;
        self.layers.resize(size.max(self.layers.len()), 0);
        self.layers[..self.width].fill(0);
        for (j, portion) in self.portions.iter().enumerate() {
            let (before, after) = self.layers.split_at_mut((j + 1) * self.width);
            let before = &before[j * self.width..];
            let after = &mut after[..self.width];
            let shift = portion.weight as usize;
            let gain = value[usize::from(portion.item)] * portion.copies.cast_signed();
            let shift = shift.min(self.width);
            after[..shift].copy_from_slice(&before[..shift]);
            for ((new, &stay), &take) in after[shift..].iter_mut().zip(&before[shift..]).zip(before)
            {
                *new = stay.max(take + gain);
            }
        }
        (size / 2) as u64
    }

    /// Best value of one run.
    fn run_value(&self, run: (Option<u32>, Option<u32>)) -> i32 {
        let at = |layer: usize, cell: Option<u32>| {
            cell.map_or(0, |c| self.layers[layer * self.width + c as usize])
        };
        at(self.plain, run.0).max(at(self.portions.len(), run.1))
    }

    /// Best value of a board; where it has several runs, an upper bound, as each run is taken as
    /// if the others left it all pieces.
    pub(super) fn value(&self, grid: &Grid, bin: usize) -> i64 {
        let runs = if self.loose {
            &grid.loose_runs[bin]
        } else {
            &grid.runs[bin]
        };
        runs.iter().map(|&run| i64::from(self.run_value(run))).sum()
    }

    /// Adds a run's best content to `cells`.
    fn read(&self, grid: &Grid, bin: usize, run: usize, cells: &mut Vec<Cell>) {
        let (plain, nested) = grid.runs[bin][run];
        let value = self.run_value((plain, nested));
        let plain_value = plain.map_or(0, |c| self.layers[self.plain * self.width + c as usize]);
        let (mut layer, mut cell) = if plain_value == value {
            (self.plain, plain.unwrap_or(0) as usize)
        } else {
            (self.portions.len(), nested.unwrap_or(0) as usize)
        };
        let start = cells.len();
        while layer > 0 {
            let here = self.layers[layer * self.width + cell];
            layer -= 1;
            if here != self.layers[layer * self.width + cell] {
                let portion = self.portions[layer];
                cell -= portion.weight as usize;
                match cells[start..].iter_mut().find(|c| c.item == portion.item) {
                    Some(c) => c.count += portion.copies,
                    None => cells.push(Cell {
                        run: u16::try_from(run).unwrap_or(u16::MAX),
                        item: portion.item,
                        count: portion.copies,
                    }),
                }
            }
        }
        cells[start..].sort_unstable();
    }

    /// A board's content of that value; boards of several runs are filled run by run, which may
    /// fall short of it. Returns the work done besides.
    pub(super) fn pattern(
        &mut self,
        model: &Model,
        grid: &Grid,
        value: &[i32],
        left: &[u32],
        bin: usize,
    ) -> (Pattern, u64) {
        let mut cells = Vec::new();
        let mut work = 0;
        if grid.runs[bin].len() == 1 {
            self.read(grid, bin, 0, &mut cells);
        } else {
            let mut rest = left.to_vec();
            let mut own = Self::default();
            for run in 0..grid.runs[bin].len() {
                work += own.fill(model, grid, Weights::Tight, value, &rest);
                let start = cells.len();
                own.read(grid, bin, run, &mut cells);
                for cell in &cells[start..] {
                    rest[usize::from(cell.item)] -= cell.count;
                }
            }
        }
        let bin = u16::try_from(bin).unwrap_or(u16::MAX);
        (Pattern { bin, cells }, work)
    }
}
