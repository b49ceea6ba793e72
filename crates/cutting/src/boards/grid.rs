//! Lengths in a limited number of cells, for methods that keep a table over every length.
//!
//! Where the job's common divisor allows, cells are exact. Otherwise they are rounded the safe
//! way, twice: *tight* weights are rounded up, so that what fits the cells fits the board (all
//! plans come from these); *loose* weights are rounded down, so that whatever fits the board fits
//! the cells (all bounds come from these: if every piece is rounded down, and the board too, a
//! sum that kept to the board still does). A proof therefore never depends on the cells.

use alloc::vec::Vec;

use super::model::{Model, common_divisor};

/// Cells for plain content, and for one with nested pieces.
pub(super) type Room = (Option<u32>, Option<u32>);

/// Weights and capacities in cells.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    /// Weight of each item rounded up.
    pub(super) tight: Vec<u32>,
    /// Weight of each item rounded down; the same where cells are exact.
    pub(super) loose: Vec<u32>,
    /// Capacities (plain, nested) of each run of each bin; `None` where nothing fits. The nested
    /// one is held to the plain one, so that a content without nested pieces may use either.
    pub(super) runs: Vec<Vec<Room>>,
    /// The same, not held down, for bounds.
    pub(super) loose_runs: Vec<Vec<Room>>,
    /// The largest capacity.
    pub(super) most: u32,
}

/// So many cells to so many units.
#[derive(Clone, Copy, Debug)]
struct Ratio {
    cells: i64,
    units: i64,
}

impl Ratio {
    fn down(self, weight: i64) -> i64 {
        let product = i128::from(weight) * i128::from(self.cells);
        i64::try_from(product.div_euclid(i128::from(self.units))).unwrap_or(i64::MAX)
    }
    fn up(self, weight: i64) -> i64 {
        -self.down(-weight)
    }
}

impl Grid {
    /// Exact if that takes no more than `cells` cells, else cells that lose least.
    pub(super) fn new(model: &Model, cells: i64) -> Self {
        let most = model
            .bins
            .iter()
            .flat_map(|b| b.runs.iter().map(|r| r.most()))
            .max()
            .unwrap_or(1);
        if most < cells {
            return Self::with_ratio(model, Ratio { cells: 1, units: 1 });
        }
        // The step by which pieces of one kind differ: a whole number of cells to the step loses
        // the same at every piece of the kind, so only two remainders need to be fitted.
        let mut step = 0;
        let mut first: [Option<(i64, i64)>; 2] = [None, None];
        for item in &model.items {
            let (weight, count) = first[usize::from(item.nested)].get_or_insert((item.weight, 0));
            *count += i64::from(item.demand);
            step = common_divisor(step, item.weight - *weight);
        }
        let step = step.max(1);
        let mut best = (
            f64::INFINITY,
            Ratio {
                cells: 1,
                units: most / cells + 1,
            },
        );
        let mut consider = |ratio: Ratio| {
            let total = ratio.down(most);
            if total >= cells || total * 4 < cells {
                return;
            }
            // What a piece loses on average in units, and as much for the work of the cells as
            // 1/20 000 of the board at the most.
            let mut loss = most as f64 / 20_000.0 * total as f64 / cells as f64;
            for (weight, count) in first.iter().flatten() {
                let up = i128::from(ratio.up(*weight)) * i128::from(ratio.units)
                    - i128::from(*weight) * i128::from(ratio.cells);
                loss += up as f64 / ratio.cells as f64 * *count as f64 / f64::from(model.total);
            }
            if loss < best.0 {
                best = (loss, ratio);
            }
        };
        if step > most / cells {
            for parts in 1..=(step * cells / most).min(400) {
                consider(Ratio {
                    cells: parts,
                    units: step,
                });
            }
        } else {
            // Steps finer than any cell: whole units to a cell.
            let finest = most / cells + 1;
            for sixteenths in 0..48 {
                consider(Ratio {
                    cells: 1,
                    units: finest + finest * sixteenths / 16,
                });
            }
        }
        Self::with_ratio(model, best.1)
    }

    fn with_ratio(model: &Model, ratio: Ratio) -> Self {
        let cells = |n: i64| u32::try_from(n).unwrap_or(u32::MAX);
        let capacity = |c: i64| (c >= 0).then(|| cells(ratio.down(c)));
        let loose_runs: Vec<Vec<Room>> = model
            .bins
            .iter()
            .map(|b| {
                b.runs
                    .iter()
                    .map(|r| (capacity(r.plain), capacity(r.nested)))
                    .collect()
            })
            .collect();
        let runs: Vec<Vec<Room>> = loose_runs
            .iter()
            .map(|bin| {
                bin.iter()
                    .map(|&(plain, nested)| (plain, plain.and_then(|p| nested.map(|n| n.min(p)))))
                    .collect()
            })
            .collect();
        let items = &model.items;
        Self {
            tight: items.iter().map(|i| cells(ratio.up(i.weight))).collect(),
            loose: items.iter().map(|i| cells(ratio.down(i.weight))).collect(),
            most: loose_runs
                .iter()
                .flatten()
                .map(|r| r.0.unwrap_or(0).max(r.1.unwrap_or(0)))
                .max()
                .unwrap_or(0),
            runs,
            loose_runs,
        }
    }
}
