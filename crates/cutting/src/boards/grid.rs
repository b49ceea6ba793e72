//! Lengths in a limited number of cells, for methods that keep a table over every length.
//!
//! Where the job's common divisor allows, cells are exact. Otherwise they are rounded the safe
//! way, twice: *tight* weights are rounded up, so that what fits the cells fits the board (all
//! plans come from these); *loose* weights are rounded down, so that whatever fits the board fits
//! the cells (all bounds come from these: if every piece is rounded down, and the board too, a
//! sum that kept to the board still does). A proof therefore never depends on the cells.

use alloc::vec::Vec;

use super::model::Model;

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

impl Grid {
    /// Exact if that takes no more than `cells` cells, else the whole number of units per cell
    /// that loses least.
    pub(super) fn new(model: &Model, cells: i64) -> Self {
        let most = model
            .bins
            .iter()
            .flat_map(|b| b.runs.iter().map(|r| r.most()))
            .max()
            .unwrap_or(1);
        let coarsest = most / cells + 1;
        if coarsest == 1 {
            return Self::with_unit(model, 1);
        }
        // Candidates: from the finest allowed to four times as coarse, and the steps people
        // mark (all divisors of a millimetre and of an inch down to 1/20 mm, in nanometres).
        let mut candidates: Vec<i64> = (0..48).map(|i| coarsest + coarsest * i / 16).collect();
        for nm in [
            1_000_000, 500_000, 250_000, 200_000, 100_000, 50_000, 793_750, 396_875, 198_437,
        ] {
            let unit = nm / model.unit;
            if unit >= coarsest {
                candidates.push(unit);
            }
        }
        let mut best = (f64::INFINITY, coarsest);
        for unit in candidates {
            // Rounding loss over all pieces, and a little for each cell so that ties go to the
            // coarser cells.
            let loss: f64 = model
                .items
                .iter()
                .map(|item| {
                    let lost = (unit - item.weight % unit) % unit;
                    lost as f64 * f64::from(item.demand)
                })
                .sum::<f64>()
                + most as f64 / unit as f64 * 1e-3;
            if loss < best.0 {
                best = (loss, unit);
            }
        }
        Self::with_unit(model, best.1)
    }

    /// Cells of so many units.
    fn with_unit(model: &Model, unit: i64) -> Self {
        let cells = |n: i64| u32::try_from(n).unwrap_or(u32::MAX);
        let capacity = |c: i64| (c >= 0).then(|| cells(c / unit));
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
        Self {
            tight: model
                .items
                .iter()
                .map(|i| cells((i.weight + unit - 1) / unit))
                .collect(),
            loose: model.items.iter().map(|i| cells(i.weight / unit)).collect(),
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
