//! Money in whole hundredths.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Mul, Sub};

use serde::{Serialize, Serializer};

/// An amount in whole hundredths of the maker's currency (pence, cents); exact, saturating.
///
/// Serialises as a decimal string such as `"12.50"`, so that no reader rounds it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// From whole hundredths.
    #[must_use]
    pub const fn from_hundredths(n: i64) -> Self {
        Self(n)
    }

    /// Whole hundredths.
    #[must_use]
    pub const fn as_hundredths(self) -> i64 {
        self.0
    }

    /// `self × num / den` in exact integers, rounded up to the hundredth; zero if `den` is zero.
    ///
    /// ```
    /// use quantity::Money;
    /// // 1.35 m of cloth at 12.50 a metre: 16.875, a shop asks 16.88
    /// assert_eq!(Money::from_hundredths(1250).mul_div_up(1350, 1000).as_hundredths(), 1688);
    /// ```
    #[must_use]
    pub fn mul_div_up(self, num: i64, den: i64) -> Self {
        if den == 0 {
            return Self::ZERO;
        }
        let (n, d) = (i128::from(self.0) * i128::from(num), i128::from(den));
        let q = n.div_euclid(d) + i128::from(n.rem_euclid(d) != 0);
        Self(i64::try_from(q).unwrap_or(if q > 0 { i64::MAX } else { i64::MIN }))
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl Mul<i64> for Money {
    type Output = Self;
    fn mul(self, n: i64) -> Self {
        Self(self.0.saturating_mul(n))
    }
}
impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
impl fmt::Display for Money {
    /// Plain decimal, no currency sign: `12.50`, `-0.05`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let n = self.0.unsigned_abs();
        write!(f, "{sign}{}.{:02}", n / 100, n % 100)
    }
}
impl Serialize for Money {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use alloc::string::ToString;

    #[test]
    fn prints_plain_decimals() {
        assert_eq!(Money::from_hundredths(1250).to_string(), "12.50");
        assert_eq!(Money::from_hundredths(-5).to_string(), "-0.05");
    }
}
