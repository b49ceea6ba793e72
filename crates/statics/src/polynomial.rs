//! Real roots and extreme values of low polynomials on the unit interval.
//!
//! A deflection curve is at most a quintic (a linearly changing load), so its slope is at most a
//! quartic. Its roots are found by splitting at the roots of the derivative, where the
//! polynomial is monotonic, and closing in on each change of sign: no case is missed and nothing
//! diverges, as closed quartic formulas do near double roots.

/// The most coefficients of a polynomial here: a quintic's.
pub(crate) const COEFFICIENTS: usize = 6;

/// Coefficients, lowest power first.
pub(crate) type Polynomial = [f64; COEFFICIENTS];

/// Its value at s.
pub(crate) fn value(c: &[f64], s: f64) -> f64 {
    c.iter().rev().fold(0.0, |sum, k| sum * s + k)
}

/// The derivative's coefficients.
fn derivative(c: &[f64]) -> Polynomial {
    let mut d = [0.0; COEFFICIENTS];
    for (power, (d, c)) in (1_u8..).zip(d.iter_mut().zip(c.iter().skip(1))) {
        *d = f64::from(power) * c;
    }
    d
}

/// A few roots, in rising order.
struct Roots {
    at: [f64; COEFFICIENTS],
    count: usize,
}

impl Roots {
    const NONE: Self = Self {
        at: [0.0; COEFFICIENTS],
        count: 0,
    };

    fn push(&mut self, s: f64) {
        if let Some(slot) = self.at.get_mut(self.count) {
            *slot = s;
            self.count += 1;
        }
    }

    fn as_slice(&self) -> &[f64] {
        &self.at[..self.count]
    }
}

/// The spots strictly inside (0, 1) where the polynomial changes sign.
fn roots(c: &[f64]) -> Roots {
    let degree = c.iter().rposition(|k| *k != 0.0).unwrap_or(0);
    let c = &c[..=degree];
    let mut found = Roots::NONE;
    let mut keep = |s: f64| {
        if s > 0.0 && s < 1.0 {
            found.push(s);
        }
    };
    match *c {
        [_] => {}
        [c0, c1] => keep(-c0 / c1),
        [c0, c1, c2] => {
            let discriminant = c1 * c1 - 4.0 * c0 * c2;
            if discriminant > 0.0 {
                // The form without cancellation.
                let q = -0.5 * (c1 + libm::copysign(libm::sqrt(discriminant), c1));
                let (one, other) = (q / c2, c0 / q);
                keep(one.min(other));
                keep(one.max(other));
            }
        }
        _ => {
            let slope = derivative(c);
            let turns = roots(&slope[..degree]);
            let (mut lo, mut at_lo) = (0.0, value(c, 0.0));
            for hi in turns.as_slice().iter().copied().chain([1.0]) {
                let at_hi = value(c, hi);
                if (at_lo < 0.0 && at_hi > 0.0) || (at_lo > 0.0 && at_hi < 0.0) {
                    keep(close_in(c, &slope[..degree], lo, hi, at_lo < 0.0));
                } else if at_hi == 0.0 && hi < 1.0 {
                    keep(hi);
                }
                (lo, at_lo) = (hi, at_hi);
            }
        }
    }
    found
}

/// Newton's steps held between bounds that shrink around the change of sign.
fn close_in(c: &[f64], slope: &[f64], mut lo: f64, mut hi: f64, rising: bool) -> f64 {
    let mut s = 0.5 * (lo + hi);
    // Newton needs five or so; bisection alone ends by 60, the bits of a double.
    for _ in 0..60 {
        let here = value(c, s);
        if here == 0.0 {
            return s;
        }
        if (here < 0.0) == rising {
            lo = s;
        } else {
            hi = s;
        }
        let step = here / value(slope, s);
        let newton = s - step;
        let next = if newton > lo && newton < hi {
            newton
        } else {
            0.5 * (lo + hi)
        };
        if (next - s).abs() <= f64::EPSILON {
            return next;
        }
        s = next;
    }
    s
}

/// Calls back with every spot in [0, 1] where the polynomial may have its extreme values, ends
/// included, and the value there.
pub(crate) fn each_candidate(c: &Polynomial, mut seen: impl FnMut(f64, f64)) {
    seen(0.0, c[0]);
    let slope = derivative(c);
    for s in roots(&slope).as_slice() {
        seen(*s, value(c, *s));
    }
    seen(1.0, c.iter().sum());
}

#[cfg(test)]
mod tests {
    use super::*;
    use alloc::vec::Vec;
    use proptest::prelude::*;

    /// Coefficients of Π (s − root).
    fn from_roots(at: &[f64]) -> Polynomial {
        let mut c = [0.0; COEFFICIENTS];
        c[0] = 1.0;
        for root in at {
            for k in (0..COEFFICIENTS).rev() {
                c[k] = if k > 0 { c[k - 1] } else { 0.0 } - root * c[k];
            }
        }
        c
    }

    #[test]
    fn a_triple_root_is_an_extreme_of_its_integral() {
        // (s − ½)³ changes sign where its own slope is zero too: (s − ½)⁴ is least there.
        let cube = from_roots(&[0.5, 0.5, 0.5]);
        assert_eq!(roots(&cube).as_slice(), [0.5]);
    }

    proptest! {
        #[test]
        fn finds_every_separate_root(mut at in prop::collection::vec(-1.0_f64..2.0, 0..=4)) {
            at.sort_by(f64::total_cmp);
            prop_assume!(at.windows(2).all(|w| w[1] - w[0] > 0.01));
            prop_assume!(at.iter().all(|r| (r - 0.0).abs() > 1e-6 && (r - 1.0).abs() > 1e-6));
            let expected: Vec<f64> = at.iter().copied().filter(|r| (0.0..1.0).contains(r)).collect();
            let found = roots(&from_roots(&at));
            prop_assert_eq!(found.as_slice().len(), expected.len());
            for (f, e) in found.as_slice().iter().zip(&expected) {
                // Four roots at least 0.01 apart: rounding of the coefficients moves them less
                // than this.
                prop_assert!((f - e).abs() < 1e-8, "{f} for {e}");
            }
        }

        #[test]
        fn no_sample_lies_beyond_the_extremes(c in prop::array::uniform6(-10.0_f64..10.0), s in 0.0..=1.0_f64) {
            let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
            each_candidate(&c, |_, v| {
                least = least.min(v);
                most = most.max(v);
            });
            let v = value(&c, s);
            prop_assert!(v >= least - 1e-12 && v <= most + 1e-12);
        }
    }
}
