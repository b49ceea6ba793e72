//! The most valuable content of every board at once: a bounded knapsack by layers.
//!
//! Items are taken in portions of 1, 2, 4 … copies; the table over all cells is kept after each
//! item, so that the content can be read back. Plain items come first: the layer after them
//! answers for runs without nested pieces, the last one for all.

use alloc::vec::Vec;

use super::grid::{Grid, Room};
use super::model::{Cell, Model, Pattern};
use quantity::order::sort;

/// An item that may be taken, and how often at most.
#[derive(Clone, Copy, Debug)]
struct Layer {
    item: u16,
    copies: u32,
    weight: u32,
    value: i32,
}

/// Tables of the latest filling; kept to save allocations.
#[derive(Clone, Debug, Default)]
pub(super) struct Knapsack {
    layers: Vec<Layer>,
    /// Row 0 is empty boards; row `j + 1` follows layer `j`.
    rows: Vec<i32>,
    /// Cells of a row.
    width: usize,
    /// Layers up to the last plain item.
    plain: usize,
}

/// Values must keep every sum below this.
pub(super) const MOST_VALUE: i64 = 1 << 30;

impl Knapsack {
    /// Chooses the layers, plain items first.
    fn lay(&mut self, model: &Model, grid: &Grid, weight: &[u32], value: &[i32], left: &[u32]) {
        self.width = grid.most as usize + 1;
        self.layers.clear();
        for nested in [false, true] {
            for (i, item) in model.items.iter().enumerate() {
                let copies = left[i].min(grid.most / weight[i].max(1));
                if item.nested == nested && value[i] > 0 && copies > 0 {
                    self.layers.push(Layer {
                        item: u16::try_from(i).unwrap_or(u16::MAX),
                        copies,
                        weight: weight[i],
                        value: value[i],
                    });
                }
            }
            if !nested {
                self.plain = self.layers.len();
            }
        }
    }

    /// Fills the tables by weights rounded up, for these values and numbers of pieces left;
    /// returns the work done.
    pub(super) fn fill(&mut self, model: &Model, grid: &Grid, value: &[i32], left: &[u32]) -> u64 {
        self.lay(model, grid, &grid.tight, value, left);
        let width = self.width;
        let size = (self.layers.len() + 1) * width;
        if self.rows.len() < size {
            self.rows.resize(size, 0);
        }
        self.rows[..width].fill(0);
        let mut work = width;
        for (j, layer) in self.layers.iter().enumerate() {
            let (before, after) = self.rows.split_at_mut((j + 1) * width);
            work += layer.pass(&before[j * width..], &mut after[..width]);
        }
        work as u64 / 2
    }

    /// The highest value that a board of each bin can hold by weights rounded down, so an upper
    /// bound; with the work done.
    pub(super) fn most(
        &mut self,
        model: &Model,
        grid: &Grid,
        value: &[i32],
        left: &[u32],
    ) -> (Vec<i64>, u64) {
        self.lay(model, grid, &grid.loose, value, left);
        let width = self.width;
        let mut row = alloc::vec![0; width];
        let mut next = alloc::vec![0; width];
        let mut plain_row = Vec::new();
        let mut work = width;
        for (j, layer) in self.layers.iter().enumerate() {
            if j == self.plain {
                plain_row.clone_from(&row);
            }
            work += layer.pass(&row, &mut next);
            core::mem::swap(&mut row, &mut next);
        }
        if self.layers.len() == self.plain {
            plain_row.clone_from(&row);
        }
        let at = |row: &[i32], cell: Option<u32>| cell.map_or(0, |c| row[c as usize]);
        let most = grid
            .loose_runs
            .iter()
            .map(|runs| {
                runs.iter()
                    .map(|run| i64::from(at(&plain_row, run.0).max(at(&row, run.1))))
                    .sum()
            })
            .collect();
        (most, work as u64 / 2)
    }

    /// Best value of one run.
    fn run_value(&self, run: Room) -> i32 {
        let at = |row: usize, cell: Option<u32>| {
            cell.map_or(0, |c| self.rows[row * self.width + c as usize])
        };
        at(self.plain, run.0).max(at(self.layers.len(), run.1))
    }

    /// Best value of a board; where it has several runs, an upper bound, as each run is taken as
    /// if the others left it all pieces.
    pub(super) fn value(&self, grid: &Grid, bin: usize) -> i64 {
        grid.runs[bin]
            .iter()
            .map(|&run| i64::from(self.run_value(run)))
            .sum()
    }

    /// Adds a run's best content to `cells`.
    fn read(&self, grid: &Grid, bin: usize, run: usize, cells: &mut Vec<Cell>) {
        let (plain, nested) = grid.runs[bin][run];
        let value = self.run_value((plain, nested));
        let plain_value = plain.map_or(0, |c| self.rows[self.plain * self.width + c as usize]);
        let (mut row, mut cell) = if plain_value == value {
            (self.plain, plain.unwrap_or(0) as usize)
        } else {
            (self.layers.len(), nested.unwrap_or(0) as usize)
        };
        let start = cells.len();
        while row > 0 {
            let here = self.rows[row * self.width + cell];
            row -= 1;
            let layer = self.layers[row];
            let before = &self.rows[row * self.width..];
            let mut count = 0;
            let mut gain = 0;
            // The table says that some number of copies explains the value.
            while before[cell] + gain != here
                && count < layer.copies
                && cell >= layer.weight as usize
            {
                count += 1;
                gain += layer.value;
                cell -= layer.weight as usize;
            }
            if count > 0 {
                cells.push(Cell {
                    run: u16::try_from(run).unwrap_or(u16::MAX),
                    item: layer.item,
                    count,
                });
            }
        }
        sort(&mut cells[start..]);
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
                work += own.fill(model, grid, value, &rest);
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

impl Layer {
    /// Writes to `after` what `before` and up to `copies` more pieces make; returns the work done.
    fn pass(&self, before: &[i32], after: &mut [i32]) -> usize {
        after.copy_from_slice(before);
        let mut left = self.copies;
        let mut portion = 1;
        let mut work = 0;
        while left > 0 {
            portion = portion.min(left);
            left -= portion;
            let shift = (self.weight * portion) as usize;
            add_portion(after, shift, self.value * portion.cast_signed());
            work += after.len();
            portion *= 2;
        }
        work
    }
}

/// `row[c] = max(row[c], row[c − shift] + gain)` of the values before, from the end on in blocks
/// that do not reach into what they are made from.
fn add_portion(row: &mut [i32], shift: usize, gain: i32) {
    if shift == 0 {
        row.iter_mut().for_each(|value| *value += gain.max(0));
        return;
    }
    let mut end = row.len();
    while end > shift {
        let start = (end - shift).max(shift);
        let (below, block) = row.split_at_mut(start);
        for (value, &take) in block[..end - start].iter_mut().zip(&below[start - shift..]) {
            *value = (*value).max(take + gain);
        }
        end = start;
    }
}
