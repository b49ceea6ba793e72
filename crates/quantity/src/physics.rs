//! Measured quantities: one `f64` newtype each, SI inside, made and read by named units.
//!
//! ```
//! use quantity::physics::Mass;
//! // 1 oz = 28.349523125 g by definition
//! assert!((Mass::from_ounces(10.0).to_grams() - 283.495_231_25).abs() < 1e-9);
//! ```

use core::iter::Sum;
use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident { $($(#[$udoc:meta])* $from:ident $to:ident = $factor:expr;)+ })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);
            $(
                #[doc = concat!("Made from a number in the named unit.")]
                $(#[$udoc])*
                #[must_use]
                pub const fn $from(x: f64) -> Self {
                    Self(x * $factor)
                }
                #[doc = concat!("Read as a number in the named unit.")]
                $(#[$udoc])*
                #[must_use]
                pub const fn $to(self) -> f64 {
                    self.0 / $factor
                }
            )+
            /// The larger of two (the other one if one is not a number).
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
            /// The smaller of two (the other one if one is not a number).
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
            /// Its size without sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
            /// Whether it is a finite number.
            #[must_use]
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, o: Self) -> Self { Self(self.0 + o.0) }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, o: Self) { self.0 += o.0; }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, o: Self) -> Self { Self(self.0 - o.0) }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self { Self(-self.0) }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, k: f64) -> Self { Self(self.0 * k) }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, k: f64) -> Self { Self(self.0 / k) }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, o: Self) -> f64 { self.0 / o.0 }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self { iter.fold(Self::ZERO, Add::add) }
        }
    )+};
}

quantities! {
    /// A measured distance such as a deflection (marks on wood and cloth are [`crate::Length`]).
    Distance {
        from_m to_m = 1.0;
        from_mm to_mm = 1e-3;
        /// 25.4 mm exactly.
        from_inches to_inches = 0.0254;
    }
    /// Area.
    Area {
        from_m2 to_m2 = 1.0;
        from_mm2 to_mm2 = 1e-6;
        /// 0.3048² m².
        from_ft2 to_ft2 = 0.092_903_04;
    }
    /// Second moment of area.
    SecondMoment {
        from_m4 to_m4 = 1.0;
        from_mm4 to_mm4 = 1e-12;
    }
    /// Volume.
    Volume {
        from_m3 to_m3 = 1.0;
        from_litres to_litres = 1e-3;
        from_ml to_ml = 1e-6;
        /// US fluid ounce: 231 in³ / 128.
        from_us_fl_oz to_us_fl_oz = 29.573_529_562_5e-6;
    }
    /// Mass.
    Mass {
        from_kg to_kg = 1.0;
        from_grams to_grams = 1e-3;
        /// Avoirdupois ounce, 28.349523125 g.
        from_ounces to_ounces = 0.028_349_523_125;
        /// Avoirdupois pound, 0.45359237 kg.
        from_pounds to_pounds = 0.453_592_37;
    }
    /// Mass per volume.
    Density {
        from_kg_per_m3 to_kg_per_m3 = 1.0;
        from_g_per_ml to_g_per_ml = 1e3;
    }
    /// Mass per area, as cloth is sold.
    ArealMass {
        from_kg_per_m2 to_kg_per_m2 = 1.0;
        from_g_per_m2 to_g_per_m2 = 1e-3;
        /// Ounce per square yard: 28.349523125 g / 0.83612736 m².
        from_oz_per_yd2 to_oz_per_yd2 = 0.028_349_523_125 / 0.836_127_36;
    }
    /// Volume spread over area.
    Coverage {
        from_m to_m = 1.0;
        from_ml_per_m2 to_ml_per_m2 = 1e-6;
    }
    /// Force.
    Force {
        from_newtons to_newtons = 1.0;
        /// Pound-force, 0.45359237 kg × 9.80665 m/s².
        from_lbf to_lbf = 4.448_221_615_260_5;
    }
    /// Force per length: cloth tension, distributed load.
    LineLoad {
        from_n_per_m to_n_per_m = 1.0;
        /// Pound-force per inch.
        from_lbf_per_in to_lbf_per_in = 4.448_221_615_260_5 / 0.0254;
    }
    /// Turning moment.
    Moment {
        from_nm to_nm = 1.0;
    }
    /// Stiffness against a shift: force per movement.
    Stiffness {
        from_n_per_m to_n_per_m = 1.0;
        from_n_per_mm to_n_per_mm = 1e3;
    }
    /// Stiffness against turning.
    RotationalStiffness {
        from_nm_per_rad to_nm_per_rad = 1.0;
    }
    /// Stress or modulus.
    Pressure {
        from_pa to_pa = 1.0;
        from_mpa to_mpa = 1e6;
        from_gpa to_gpa = 1e9;
    }
    /// Angle.
    Angle {
        from_rad to_rad = 1.0;
        from_degrees to_degrees = core::f64::consts::PI / 180.0;
    }
    /// A share of the whole.
    Ratio {
        from_ratio to_ratio = 1.0;
        from_percent to_percent = 0.01;
    }
    /// Cycles per second.
    Frequency {
        from_hz to_hz = 1.0;
    }
    /// A span of time.
    Duration {
        from_seconds to_seconds = 1.0;
        from_minutes to_minutes = 60.0;
        from_hours to_hours = 3600.0;
        from_days to_days = 86_400.0;
    }
}

/// Temperature in degrees Celsius; a point on a scale, so it does not add.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// From degrees Celsius.
    #[must_use]
    pub const fn from_celsius(c: f64) -> Self {
        Self(c)
    }
    /// From degrees Fahrenheit.
    #[must_use]
    pub const fn from_fahrenheit(f: f64) -> Self {
        Self((f - 32.0) / 1.8)
    }
    /// Degrees Celsius.
    #[must_use]
    pub const fn to_celsius(self) -> f64 {
        self.0
    }
    /// Degrees Fahrenheit.
    #[must_use]
    pub const fn to_fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cloth_weights_of_the_reference_values() {
        // 1 oz/yd² = 33.9057 g/m²; 10 → 339, 15 → 509 (definitions)
        assert!((ArealMass::from_oz_per_yd2(1.0).to_g_per_m2() - 33.9057).abs() < 5e-5);
        assert!((ArealMass::from_oz_per_yd2(10.0).to_g_per_m2() - 339.0).abs() < 0.5);
        assert!((ArealMass::from_oz_per_yd2(15.0).to_g_per_m2() - 509.0).abs() < 0.5);
    }

    #[test]
    fn fahrenheit_of_the_water_bath() {
        // 140 °F = 60 °C exactly
        assert!((Temperature::from_fahrenheit(140.0).to_celsius() - 60.0).abs() < 1e-12);
        assert!((Temperature::from_celsius(65.0).to_fahrenheit() - 149.0).abs() < 1e-12);
    }
}
