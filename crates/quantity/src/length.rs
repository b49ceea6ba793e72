//! Exact lengths.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Serialize, Serializer};

/// How a length is rounded to a step: each use has its safe way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest step, halves away from zero: marks and shoulders.
    Nearest,
    /// Up to the next step: what is bought or cut off a roll.
    Up,
    /// Down to the step below: clearances and the longest screw.
    Down,
}

/// A length of wood or cloth in whole nanometres; may be negative as a difference.
///
/// Range: ±9.2 × 10⁹ m. Sums and products saturate, so no input can overflow into a
/// wrong sign; the planner's bounds keep real jobs far below that.
///
/// Serialises as millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// Nanometres in a millimetre.
const NM_PER_MM: i64 = 1_000_000;
/// Nanometres in an inch: 25.4 mm by definition (international yard and pound agreement, 1959).
const NM_PER_INCH: i64 = 25_400_000;

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0);
    /// One millimetre.
    pub const MM: Self = Self(NM_PER_MM);
    /// One inch, 25.4 mm exactly.
    pub const INCH: Self = Self(NM_PER_INCH);

    /// From whole nanometres.
    #[must_use]
    pub const fn from_nm(nm: i64) -> Self {
        Self(nm)
    }

    /// From whole millimetres.
    #[must_use]
    pub const fn from_mm(mm: i64) -> Self {
        Self(mm.saturating_mul(NM_PER_MM))
    }

    /// From sixty-fourths of an inch, exact.
    ///
    /// ```
    /// use quantity::Length;
    /// assert_eq!(Length::from_inch_64ths(36 * 64), Length::INCH * 36);
    /// ```
    #[must_use]
    pub const fn from_inch_64ths(n: i64) -> Self {
        Self(n.saturating_mul(NM_PER_INCH / 64))
    }

    /// From a number of millimetres, rounded to the nearest nanometre; not-a-number gives zero,
    /// values out of range saturate.
    #[must_use]
    pub fn from_mm_f64(mm: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "float to int casts saturate"
        )]
        Self(libm::round(mm * NM_PER_MM as f64) as i64)
    }

    /// From a number of metres, rounded to the nearest nanometre.
    #[must_use]
    pub fn from_m_f64(m: f64) -> Self {
        Self::from_mm_f64(m * 1000.0)
    }

    /// Whole nanometres.
    #[must_use]
    pub const fn as_nm(self) -> i64 {
        self.0
    }

    /// Millimetres.
    #[must_use]
    pub fn to_mm(self) -> f64 {
        self.0 as f64 / NM_PER_MM as f64
    }

    /// Metres.
    #[must_use]
    pub fn to_m(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// Inches.
    #[must_use]
    pub fn to_inches(self) -> f64 {
        self.0 as f64 / NM_PER_INCH as f64
    }

    /// Half of it, rounded down to the nanometre.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// Times a plain number, rounded to the nearest nanometre.
    #[must_use]
    pub fn scale(self, factor: f64) -> Self {
        Self::from_mm_f64(self.to_mm() * factor)
    }

    /// `self × num / den` in exact integers, rounded up (away from zero when positive).
    ///
    /// Returns zero if `den` is zero.
    #[must_use]
    pub fn mul_div_up(self, num: i64, den: i64) -> Self {
        if den == 0 {
            return Self::ZERO;
        }
        let (n, d) = (i128::from(self.0) * i128::from(num), i128::from(den));
        let q = n.div_euclid(d) + i128::from(n.rem_euclid(d) != 0);
        Self(i64::try_from(q).unwrap_or(if q > 0 { i64::MAX } else { i64::MIN }))
    }

    /// Rounded to a whole number of steps; a step of zero or less leaves it as it is.
    ///
    /// ```
    /// use quantity::{Length, Rounding};
    /// let x = Length::from_mm_f64(737.6);
    /// assert_eq!(x.round_to(Length::MM, Rounding::Up), Length::from_mm(738));
    /// assert_eq!(x.round_to(Length::MM, Rounding::Down), Length::from_mm(737));
    /// ```
    #[must_use]
    pub fn round_to(self, step: Self, rounding: Rounding) -> Self {
        if step.0 <= 0 {
            return self;
        }
        let below = self.0.div_euclid(step.0);
        let rest = self.0.rem_euclid(step.0);
        let up = match rounding {
            Rounding::Down => false,
            Rounding::Up => rest > 0,
            Rounding::Nearest => {
                let twice = i128::from(rest) * 2;
                twice > i128::from(step.0) || (twice == i128::from(step.0) && self.0 >= 0)
            }
        };
        Self((below + i64::from(up)).saturating_mul(step.0))
    }

    /// Its size without sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.saturating_abs())
    }

    /// Length of the diagonal of a rectangle with these sides, to the nearest nanometre.
    ///
    /// ```
    /// use quantity::Length;
    /// let d = Length::from_mm(300).hypot(Length::from_mm(400)); // √(300² + 400²) = 500
    /// assert_eq!(d, Length::from_mm(500));
    /// ```
    #[must_use]
    pub fn hypot(self, other: Self) -> Self {
        let sum = self.0.unsigned_abs() as u128 * self.0.unsigned_abs() as u128
            + other.0.unsigned_abs() as u128 * other.0.unsigned_abs() as u128;
        let root = sum.isqrt();
        // Nearest: one more when the remainder is past the half.
        let nearest = if sum - root * root > root {
            root + 1
        } else {
            root
        };
        Self(i64::try_from(nearest).unwrap_or(i64::MAX))
    }

    /// Times √2, to the nearest nanometre, in exact integers.
    ///
    /// ```
    /// use quantity::Length;
    /// assert_eq!(Length::from_mm(150).times_sqrt2().as_nm(), 212_132_034); // 150 × 1.414213562
    /// ```
    #[must_use]
    pub fn times_sqrt2(self) -> Self {
        let leg = Self(self.0.saturating_abs());
        let long = leg.hypot(leg);
        if self.0 < 0 { -long } else { long }
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}
impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}
impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, n: i64) -> Self {
        Self(self.0.saturating_mul(n))
    }
}
impl Div<Length> for Length {
    /// A plain ratio; not-a-number or infinite when divided by zero, so check first.
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 as f64 / other.0 as f64
    }
}
impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
impl fmt::Display for Length {
    /// Millimetres, for error messages and logs; the sheets format for the maker.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let nm = self.0.unsigned_abs();
        let (whole, rest) = (nm / 1_000_000, nm % 1_000_000);
        if rest == 0 {
            return write!(f, "{sign}{whole} mm");
        }
        let rest = alloc::format!("{rest:06}");
        write!(f, "{sign}{whole}.{} mm", rest.trim_end_matches('0'))
    }
}
impl Serialize for Length {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64(self.to_mm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn written_in_millimetres_with_every_digit() {
        for (nm, text) in [
            (0, "0 mm"),
            (1_000_000, "1 mm"),
            (-396_875, "-0.396875 mm"),
            (29_500_000, "29.5 mm"),
            (1_000_001, "1.000001 mm"),
        ] {
            assert_eq!(alloc::format!("{}", Length::from_nm(nm)), text);
        }
    }

    #[test]
    fn thirty_six_inches_is_three_feet_exactly() {
        assert_eq!(Length::from_inch_64ths(36 * 64), Length::INCH * 12 * 3);
        assert_eq!(Length::from_inch_64ths(1).as_nm(), 396_875);
    }

    #[test]
    fn rounding_each_way_and_at_ties() {
        let step = Length::from_mm(1);
        let half = Length::from_nm(500_000);
        assert_eq!(half.round_to(step, Rounding::Nearest), step);
        assert_eq!((-half).round_to(step, Rounding::Nearest), -step);
        assert_eq!(half.round_to(step, Rounding::Down), Length::ZERO);
        assert_eq!(step.round_to(step, Rounding::Up), step);
        assert_eq!(half.round_to(Length::ZERO, Rounding::Up), half);
    }

    #[test]
    fn diagonal_of_the_handbook_example() {
        // √(1200² + 800²) = 1442.2205 mm (arithmetic; also in the reference values, section 5.1)
        let d = Length::from_mm(1200).hypot(Length::from_mm(800));
        assert_eq!(d.as_nm(), 1_442_220_510);
    }

    proptest! {
        #[test]
        fn rounding_brackets_the_value(nm in -10i64.pow(13)..10i64.pow(13), step in 1i64..10i64.pow(9)) {
            let (x, s) = (Length::from_nm(nm), Length::from_nm(step));
            let (down, up) = (x.round_to(s, Rounding::Down), x.round_to(s, Rounding::Up));
            prop_assert!(down <= x && x <= up && (up - down == s || up == down));
            let near = x.round_to(s, Rounding::Nearest);
            prop_assert!(near == down || near == up);
            prop_assert!((near - x).as_nm().abs() * 2 <= step);
        }

        #[test]
        fn mul_div_up_is_never_short(nm in 0i64..10i64.pow(13), num in 0i64..1000, den in 1i64..1000) {
            let r = Length::from_nm(nm).mul_div_up(num, den).as_nm();
            prop_assert!(i128::from(r) * i128::from(den) >= i128::from(nm) * i128::from(num));
            prop_assert!((i128::from(r) - 1) * i128::from(den) < i128::from(nm) * i128::from(num).max(1));
        }
    }
}
