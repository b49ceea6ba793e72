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

/// What cells are chosen for: which way of rounding is to lose least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    /// Tight ones.
    Contents,
    /// Loose ones.
    Bounds,
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
    pub(super) fn new(model: &Model, cells: i64, purpose: Purpose) -> Self {
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
        // the same at every piece of the kind. A piece that makes the step finer than a cell is
        // left out of account here, and rounded as it comes.
        let mut step = 0;
        let mut last = [None; 2];
        for item in &model.items {
            if let Some(last) = last[usize::from(item.nested)].replace(item.weight) {
                let finer = common_divisor(step, last - item.weight);
                if finer > most / cells {
                    step = finer;
                }
            }
        }
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
            for item in &model.items {
                let cell = match purpose {
                    Purpose::Contents => ratio.up(item.weight),
                    Purpose::Bounds => ratio.down(item.weight),
                };
                let lost = i128::from(cell) * i128::from(ratio.units)
                    - i128::from(item.weight) * i128::from(ratio.cells);
                let share = f64::from(item.demand) / f64::from(model.total);
                loss += lost.abs() as f64 / ratio.cells as f64 * share;
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

#[cfg(test)]
mod tests {
    use super::super::model::{Bin, Item, Run};
    use super::super::pack::Dice;
    use super::*;
    use alloc::vec;
    use quantity::Length;

    /// Pieces of these weights on a board that holds so much of either kind, in nanometres.
    fn model(plain: i64, nested: i64, weights: &[(i64, bool)]) -> Model {
        let item = |&(weight, nested): &(i64, bool)| Item {
            weight,
            nested,
            demand: 3,
        };
        Model {
            items: weights.iter().map(item).collect(),
            pieces_of: Vec::new(),
            bins: vec![Bin {
                stock: Some(0),
                price: 1,
                limit: 9,
                limited: false,
                runs: vec![Run { plain, nested }],
                spans: vec![(Length::ZERO, Length::ZERO)],
            }],
            total: 3 * weights.len() as u32,
        }
    }

    const MM: i64 = 1_000_000;
    /// 2 mm × √2 and 120 mm × √2, to the nanometre.
    const KERF: i64 = 2_828_427;
    const BRACE: i64 = 169_705_627;

    #[test]
    fn a_job_of_few_units_has_a_cell_for_each() {
        let model = model(5_000, 4_990, &[(1_237, true), (801, false)]);
        for purpose in [Purpose::Contents, Purpose::Bounds] {
            let grid = Grid::new(&model, 5_001, purpose);
            assert_eq!(
                (&grid.tight[..], &grid.loose[..]),
                (&[1_237, 801][..], &[1_237, 801][..])
            );
            assert_eq!(
                (grid.most, &grid.runs[0][..]),
                (5_000, &[(Some(5_000), Some(4_990))][..])
            );
            // One cell fewer and they are rounded.
            assert!(Grid::new(&model, 5_000, purpose).most < 5_000);
        }
    }

    #[test]
    fn whatever_is_cut_plans_are_safe_and_so_are_bounds() {
        let mut dice = Dice::new(51);
        for case in 0..300 {
            let board = 1_000 * MM + dice.below(4_000_000_000) as i64;
            let step = [1, 10, 50_000, MM / 2, 5 * MM][case % 5];
            let weights: Vec<(i64, bool)> = (0..1 + case % 9)
                .map(|_| {
                    let weight = 100 * MM + dice.below(700 * MM as usize) as i64 / step * step;
                    (
                        weight + if dice.below(6) == 0 { KERF } else { 0 },
                        dice.below(2) == 0,
                    )
                })
                .collect();
            let model = model(board, board - 31 * MM, &weights);
            for purpose in [Purpose::Contents, Purpose::Bounds] {
                let cells = 2_000 + dice.below(60_000) as i64;
                let grid = Grid::new(&model, cells, purpose);
                assert!(i64::from(grid.most) < cells && i64::from(grid.most) * 5 > cells);
                // Any so many of the pieces.
                for _ in 0..40 {
                    let counts: Vec<i64> = weights.iter().map(|_| dice.below(3) as i64).collect();
                    let has_nested = weights.iter().zip(&counts).any(|(w, &n)| w.1 && n > 0);
                    let sum = |each: &dyn Fn(usize) -> i64| -> i64 {
                        counts.iter().enumerate().map(|(i, n)| n * each(i)).sum()
                    };
                    let fits = sum(&|i| weights[i].0) <= model.bins[0].runs[0].capacity(has_nested);
                    let in_cells = |weights: &[u32], (plain, nested): Room| {
                        let room = if has_nested { nested } else { plain };
                        room.is_some_and(|room| sum(&|i| i64::from(weights[i])) <= i64::from(room))
                    };
                    assert!(
                        fits || !in_cells(&grid.tight, grid.runs[0][0]),
                        "case {case}"
                    );
                    assert!(
                        !fits || in_cells(&grid.loose, grid.loose_runs[0][0]),
                        "case {case}"
                    );
                }
            }
        }
    }

    #[test]
    fn one_odd_length_does_not_coarsen_the_others() {
        // Bars in steps of half a millimetre, mitred ones a kerf longer; braces fit no such step.
        let bars = [640, 585, 520, 415, 330, 215].map(|mm| (mm * MM + KERF, true));
        let cross = [425 * MM + MM / 2, 350 * MM, 258 * MM + MM / 2].map(|weight| (weight, false));
        let mut weights: Vec<(i64, bool)> = bars.into_iter().chain(cross).collect();
        weights.push((BRACE, true));
        let model = model(2_391 * MM, 2_391 * MM - 22 * MM + KERF, &weights);
        for (purpose, most_lost) in [(Purpose::Contents, 0.02), (Purpose::Bounds, 0.03)] {
            let grid = Grid::new(&model, 60_000, purpose);
            let cell = 2_391.0 / f64::from(grid.runs[0][0].0.expect("something fits"));
            let (rounded, sign) = match purpose {
                Purpose::Contents => (&grid.tight, 1.0),
                Purpose::Bounds => (&grid.loose, -1.0),
            };
            for ((weight, nested), &cells) in weights.iter().zip(rounded).take(9) {
                let lost = sign * (f64::from(cells) * cell - *weight as f64 / MM as f64);
                assert!(lost < most_lost, "{purpose:?}: {weight} loses {lost} mm");
                // Bars without a kerf are whole numbers of cells.
                assert!(
                    *nested || lost.abs() < 1e-3,
                    "{purpose:?}: {weight} loses {lost} mm"
                );
            }
        }
    }
}
