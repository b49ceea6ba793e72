//! Bars and cross bars bowing out of the plane together.
//!
//! Every member is pressed by its thrust and bent by the cloth, which pulls an arm in front of
//! it. Cross bars end on bars and are lapped where they cross, so none bows by itself. The shape
//! taken is
//!
//! ```text
//! w = a sin(πx/W) + b sin(πy/H) + c sin(πx/W) sin(πy/H)
//! ```
//!
//! with corners at rest: top and bottom bars bow by a, side bars by b, and each cross bar by its
//! bars' share and a share of c (Ritz's method; Timoshenko and Gere, art. 2.8, from memory). A
//! single member so bows M L²/8EI / (1 − N/N_E), the usual magnifier.

use alloc::vec::Vec;
use core::f64::consts::PI;

use super::model::LEVEL;
use crate::frame::Part;

/// A member, or several alike, pressed and bent.
#[derive(Clone, Debug)]
pub(crate) struct Pressed {
    pub(crate) part: Part,
    /// How many of it there are.
    pub(crate) count: f64,
    pub(crate) length: f64,
    /// Bending stiffness out of the plane, softened by its laps.
    pub(crate) rigidity: f64,
    /// The same over the modulus.
    pub(crate) inertia: f64,
    pub(crate) compression: f64,
    /// At both ends.
    pub(crate) moment: f64,
    /// Shares of a, b and c in its bow.
    pub(crate) shares: [f64; 3],
}

/// Shares of a, b and c in the bow of a bar of this direction.
pub(crate) const fn bar_shares(direction: usize) -> [f64; 3] {
    if direction == LEVEL {
        [1.0, 0.0, 0.0]
    } else {
        [0.0, 1.0, 0.0]
    }
}

/// Shares in the bow of the i-th of n cross bars that divide a side.
pub(crate) fn cross_shares(divided: usize, i: u32, n: u32) -> [f64; 3] {
    let share = libm::sin(PI * f64::from(i) / f64::from(n + 1));
    if divided == LEVEL {
        [0.0, 1.0, share]
    } else {
        [1.0, 0.0, share]
    }
}

/// Bow of each member, in their order; none where the thrusts fold the frame up.
pub(crate) fn bows(members: &[Pressed]) -> Option<Vec<f64>> {
    let mut load = [0.0; 3];
    for m in members {
        // ∫ M w″ over a half wave; π³/32 makes the bow under end moments alone exact.
        let bend = m.count * m.moment * 2.0 * PI / m.length * (PI * PI * PI / 32.0);
        for (sum, share) in load.iter_mut().zip(m.shares) {
            *sum += bend * share;
        }
    }
    let [bending, pressing] = stiffness(members);
    let abc = solve(less(&bending, &pressing, 1.0), load)?;
    let bow = |m: &Pressed| m.shares.iter().zip(abc).map(|(share, x)| share * x).sum();
    Some(members.iter().map(bow).collect())
}

/// How many times their thrusts the members carry together before they fold up, with another
/// modulus; at most a thousand.
pub(crate) fn safety(members: &[Pressed], modulus: f64) -> f64 {
    /// More is as good as never.
    const MOST: f64 = 1000.0;
    let [bending, pressing] = stiffness(members);
    let softer = members
        .first()
        .map_or(1.0, |m| m.rigidity / m.inertia / modulus);
    let stands = |times: f64| solve(less(&bending, &pressing, times * softer), [0.0; 3]).is_some();
    if stands(MOST) {
        return MOST;
    }
    let (mut low, mut high) = (0.0, MOST);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if stands(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

type Matrix = [[f64; 3]; 3];

/// How a, b and c are resisted by bending, and driven on by the thrusts.
fn stiffness(members: &[Pressed]) -> [Matrix; 2] {
    let mut both = [[[0.0; 3]; 3]; 2];
    for m in members {
        let l = m.length;
        let bending = m.count * m.rigidity * PI * PI * PI * PI / (2.0 * l * l * l);
        let pressing = m.count * m.compression * PI * PI / (2.0 * l);
        for (k, stiff) in both.iter_mut().zip([bending, pressing]) {
            for (row, a) in k.iter_mut().zip(m.shares) {
                for (entry, b) in row.iter_mut().zip(m.shares) {
                    *entry += stiff * a * b;
                }
            }
        }
    }
    both
}

fn less(bending: &Matrix, pressing: &Matrix, times: f64) -> Matrix {
    let mut k = *bending;
    for (row, pressed) in k.iter_mut().zip(pressing) {
        for (entry, p) in row.iter_mut().zip(pressed) {
            *entry -= times * p;
        }
    }
    k
}

/// Gauss without pivoting, which a positive matrix does not need; none where it is not positive.
/// A share that no member has (c without cross bars) stays at rest.
fn solve(mut k: Matrix, mut x: [f64; 3]) -> Option<[f64; 3]> {
    for (i, row) in k.iter_mut().enumerate() {
        if *row == [0.0; 3] {
            row[i] = 1.0;
        }
    }
    for i in 0..3 {
        let pivot = k[i];
        if pivot[i] <= 0.0 {
            return None;
        }
        for j in i + 1..3 {
            let factor = k[j][i] / pivot[i];
            for (entry, above) in k[j].iter_mut().zip(pivot) {
                *entry -= factor * above;
            }
            x[j] -= factor * x[i];
        }
    }
    for i in (0..3).rev() {
        let known: f64 = (i + 1..3).map(|c| k[i][c] * x[c]).sum();
        x[i] = (x[i] - known) / k[i][i];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn member(part: Part, count: f64, length: f64, compression: f64, shares: [f64; 3]) -> Pressed {
        Pressed {
            part,
            count,
            length,
            rigidity: 500.0,
            inertia: 500.0 / 8e9,
            compression,
            moment: 2.0,
            shares,
        }
    }

    #[test]
    fn a_member_by_itself_bows_and_folds_as_the_books_say() {
        let bar = |n| [member(Part::Side, 2.0, 1.0, n, bar_shares(1))];
        // M L² / 8EI = 2 × 1² / 4000 = 0.5 mm; at half the Euler load twice that.
        assert!((bows(&bar(0.0)).unwrap()[0] - 0.0005).abs() < 1e-12);
        let euler = PI * PI * 500.0;
        assert!((bows(&bar(0.5 * euler)).unwrap()[0] - 0.001).abs() < 1e-12);
        assert!(bows(&bar(1.01 * euler)).is_none());
        assert!((safety(&bar(0.25 * euler), 8e9) - 4.0).abs() < 1e-6);
    }

    #[test]
    fn crossed_bars_share_their_load() {
        // Two like cross bars crossing in the middle of a square, the one pressed, the other
        // idle. At k times its Euler load, k = 1 + r: the idle bar with its two side bars
        // resists by min over a of (a + 1)² + 2a² = 2/3; the pressed one gives, by its own,
        // −r(b + 1)² + 2b² = −2r/(2 − r); their sum is nought at r = 1/2.
        let euler = PI * PI * 500.0;
        let frame = |n: f64| {
            [
                member(Part::TopBottom, 2.0, 1.0, 0.0, bar_shares(0)),
                member(Part::Side, 2.0, 1.0, 0.0, bar_shares(1)),
                member(Part::Upright, 1.0, 1.0, n, cross_shares(0, 1, 1)),
                member(Part::Level, 1.0, 1.0, 0.0, cross_shares(1, 1, 1)),
            ]
        };
        let times = safety(&frame(euler), 8e9);
        assert!((times - 1.5).abs() < 1e-6, "{times}");
        let b = bows(&frame(0.0)).unwrap();
        assert!((b[2] - b[3]).abs() < 1e-12);
    }
}
