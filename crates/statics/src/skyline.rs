//! A symmetric matrix stored row by row from its first entry to the diagonal, factored LDLᵀ.
//!
//! Written here rather than taken from a linear-algebra crate: the matrices have 20 to 150 rows
//! with five to twenty entries each, where general sparse solvers spend more on their analysis
//! than the whole factoring takes and dense ones do ten times the work; the small no_std dense
//! crates have no skyline form; and a mechanism has to be named, which needs the pivots while
//! they appear. It is a hundred lines. No pivoting is needed: a frame's stiffness is
//! positive definite unless it is a mechanism, and for such matrices LDLᵀ is stable in any order
//! (from memory: Golub and Van Loan, *Matrix Computations*, section 4.2).

use alloc::vec;
use alloc::vec::Vec;

/// The lower half of a symmetric matrix, later of its factor L with the pivots kept apart.
#[derive(Clone, Debug)]
pub(crate) struct Skyline {
    /// First stored column of each row.
    first: Vec<usize>,
    /// Where each row begins in `values`; one more entry for the end.
    start: Vec<usize>,
    values: Vec<f64>,
    /// One over each pivot, once factored.
    inverse_pivots: Vec<f64>,
}

impl Skyline {
    /// All zero, with these first columns (each at most its own row).
    pub(crate) fn new(first: Vec<usize>) -> Self {
        let mut start = Vec::with_capacity(first.len() + 1);
        let mut total = 0;
        start.push(0);
        for (row, column) in first.iter().enumerate() {
            total += row + 1 - column;
            start.push(total);
        }
        Self {
            inverse_pivots: vec![0.0; first.len()],
            values: vec![0.0; total],
            first,
            start,
        }
    }

    /// How many rows, and unknowns.
    pub(crate) fn rows(&self) -> usize {
        self.first.len()
    }

    /// Adds to an entry of the lower half; row ≥ column ≥ the row's first column.
    pub(crate) fn add(&mut self, row: usize, column: usize, x: f64) {
        self.values[self.start[row] + column - self.first[row]] += x;
    }

    /// Factors in place. `check` sees each pivot that has become small against the diagonal
    /// entry it came from, and may refuse it.
    pub(crate) fn factor<E>(
        &mut self,
        mut check: impl FnMut(&Self, usize, f64) -> Result<(), E>,
    ) -> Result<(), E> {
        /// Below this share of the diagonal entry a pivot is looked at: far above rounding
        /// (10⁻¹⁵), far below what sound small frames show (10⁻⁵ and up).
        const SUSPECT: f64 = 1e-6;
        // What follows a small pivot carries its rounding on, so it is looked at as well.
        let mut small_before = false;
        for i in 0..self.first.len() {
            let first_i = self.first[i];
            let (before, rest) = self.values.split_at_mut(self.start[i]);
            let row_i = &mut rest[..=i - first_i];
            let diagonal = row_i[i - first_i];
            for j in first_i + 1..i {
                let first_j = self.first[j];
                let from = first_i.max(first_j);
                let row_j = &before[self.start[j] + from - first_j..self.start[j + 1] - 1];
                row_i[j - first_i] -= dot(&row_i[from - first_i..j - first_i], row_j);
            }
            let mut pivot = diagonal;
            for (g, inverse) in row_i[..i - first_i]
                .iter_mut()
                .zip(&self.inverse_pivots[first_i..i])
            {
                let l = *g * inverse;
                pivot -= *g * l;
                *g = l;
            }
            small_before |= pivot.is_nan() || pivot <= SUSPECT * diagonal;
            if small_before {
                check(self, i, pivot)?;
            }
            self.inverse_pivots[i] = 1.0 / pivot;
        }
        Ok(())
    }

    /// The motion that pivot `i` stands for: unit movement there, the unknowns before it free to
    /// follow, those after it held. Rows up to `i` must be factored.
    pub(crate) fn motion(&self, i: usize) -> Vec<f64> {
        let mut x = vec![0.0; self.first.len()];
        x[i] = 1.0;
        for row in (0..=i).rev() {
            self.take_row(row, &mut x);
        }
        x
    }

    /// Solves in place; must be factored.
    pub(crate) fn solve(&self, x: &mut [f64]) {
        for i in 0..x.len() {
            let (before, rest) = x.split_at_mut(i);
            rest[0] -= dot(self.row(i), &before[self.first[i]..]);
        }
        for (x, inverse) in x.iter_mut().zip(&self.inverse_pivots) {
            *x *= inverse;
        }
        for i in (0..x.len()).rev() {
            self.take_row(i, x);
        }
    }

    /// A row of L without its unit diagonal.
    fn row(&self, i: usize) -> &[f64] {
        &self.values[self.start[i]..self.start[i + 1] - 1]
    }

    /// One step of Lᵀx = y: takes row `i` times x[i] from the entries before it.
    fn take_row(&self, i: usize, x: &mut [f64]) {
        let (before, rest) = x.split_at_mut(i);
        for (x, l) in before[self.first[i]..].iter_mut().zip(self.row(i)) {
            *x -= l * rest[0];
        }
    }
}

/// Σ aᵢbᵢ with four running sums, so that the additions need not wait for one another.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let tail: f64 = a4
        .remainder()
        .iter()
        .zip(b4.remainder())
        .map(|(a, b)| a * b)
        .sum();
    let mut sums = [0.0; 4];
    for (a, b) in a4.zip(b4) {
        for k in 0..4 {
            sums[k] += a[k] * b[k];
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + tail
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::convert::Infallible;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn solves_what_it_factored(
            shape in prop::collection::vec(0_usize..8, 1..25),
            entries in prop::collection::vec(-1.0_f64..1.0, 25 * 25),
            wanted in prop::collection::vec(-1.0_f64..1.0, 25),
        ) {
            let n = shape.len();
            let first: Vec<usize> = shape.iter().enumerate().map(|(i, back)| i - back.min(&i)).collect();
            let mut skyline = Skyline::new(first.clone());
            let mut load = vec![0.0; n];
            for i in 0..n {
                for j in first[i]..=i {
                    // Diagonally dominant, hence positive definite: at most 7 + 17 neighbours.
                    let a = if i == j { 30.0 } else { entries[i * 25 + j] };
                    skyline.add(i, j, a);
                    load[i] += a * wanted[j];
                    if i != j {
                        load[j] += a * wanted[i];
                    }
                }
            }
            skyline.factor(|_, _, _| Ok::<(), Infallible>(())).unwrap();
            skyline.solve(&mut load);
            for (x, w) in load.iter().zip(&wanted) {
                prop_assert!((x - w).abs() < 1e-12);
            }
        }
    }
}
