//! Quantities as text for the maker, in the page's units; the only place that rounds for show.

use alloc::format;
use alloc::string::{String, ToString};

use quantity::physics::{Distance, Volume};
use quantity::{Length, Rounding};

use crate::figure::Value;
use crate::parse::plain;

/// The unit system of the page: how bare numbers are read and figures are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Millimetres, grams, millilitres.
    #[default]
    Metric,
    /// Inches and fractions, ounces, fluid ounces.
    Imperial,
}

/// The finest fraction of an inch that marks are shown to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fraction {
    /// 1/16 in.
    #[default]
    Sixteenth,
    /// 1/32 in.
    ThirtySecond,
    /// 1/64 in.
    SixtyFourth,
}

impl Fraction {
    const fn parts(self) -> i64 {
        match self {
            Self::Sixteenth => 16,
            Self::ThirtySecond => 32,
            Self::SixtyFourth => 64,
        }
    }
}

/// How to show figures: units and the finest fraction.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Show {
    /// Unit system.
    pub units: Units,
    /// Finest fraction of an inch.
    pub fraction: Fraction,
}

impl Show {
    /// The step to which lengths are rounded for show: 0.5 mm, or the chosen fraction.
    #[must_use]
    pub const fn step(self) -> Length {
        match self.units {
            Units::Metric => Length::from_nm(500_000),
            Units::Imperial => Length::from_inch_64ths(64 / self.fraction.parts()),
        }
    }

    /// A length with its unit, rounded to the nearest step.
    ///
    /// ```
    /// use planner::{Show, Units};
    /// use quantity::Length;
    /// let show = Show { units: Units::Imperial, ..Show::default() };
    /// assert_eq!(show.length(Length::from_mm(749)), "29 1/2 in"); // 29.488 in
    /// ```
    #[must_use]
    pub fn length(self, x: Length) -> String {
        self.length_rounded(x, Rounding::Nearest)
    }

    /// A length with its unit, rounded the way that is safe for its use.
    #[must_use]
    pub fn length_rounded(self, x: Length, rounding: Rounding) -> String {
        let unit = match self.units {
            Units::Metric => "mm",
            Units::Imperial => "in",
        };
        format!("{} {unit}", self.bare_length(x, rounding))
    }

    /// A length without its unit, for drawings and tables that state the unit once.
    #[must_use]
    pub fn bare_length(self, x: Length, rounding: Rounding) -> String {
        let x = x.round_to(self.step(), rounding);
        match self.units {
            Units::Metric => plain(x.to_mm(), 1),
            Units::Imperial => inches(x),
        }
    }

    /// A length as it is typed on this page, without unit: to the whole millimetre or the finest
    /// fraction.
    ///
    /// ```
    /// use planner::Show;
    /// use quantity::{Length, Rounding};
    /// let x = Length::from_mm_f64(970.82);
    /// assert_eq!(Show::default().typed(x, Rounding::Nearest), "971");
    /// assert_eq!(Show::default().typed(x, Rounding::Down), "970");
    /// ```
    #[must_use]
    pub fn typed(self, x: Length, rounding: Rounding) -> String {
        match self.units {
            Units::Metric => plain(x.round_to(Length::MM, rounding).to_mm(), 0),
            Units::Imperial => self.bare_length(x, rounding),
        }
    }

    /// Long runs of timber or cloth: metres to the millimetre or feet and inches to the finest
    /// fraction. What lies on the rack is shown as it is, and rows add up to their sum.
    ///
    /// ```
    /// use planner::{Show, Units};
    /// use quantity::Length;
    /// assert_eq!(Show::default().run(Length::from_mm(2400)), "2.40 m");
    /// assert_eq!(Show::default().run(Length::from_mm(2345)), "2.345 m");
    /// let show = Show { units: Units::Imperial, ..Show::default() };
    /// assert_eq!(show.run(Length::INCH * 96), "8 ft");
    /// assert_eq!(show.run(Length::from_mm(3000)), "9 ft 10 1/8 in"); // 118.11 in
    /// ```
    #[must_use]
    pub fn run(self, x: Length) -> String {
        match self.units {
            Units::Metric => {
                let mm = x.round_to(Length::MM, Rounding::Nearest);
                let places = if mm.as_nm() % 10_000_000 == 0 { 2 } else { 3 };
                format!("{} m", decimals(mm.to_m(), places))
            }
            Units::Imperial => {
                let near = x.round_to(self.step(), Rounding::Nearest);
                let foot = Length::INCH * 12;
                let feet = near.as_nm() / foot.as_nm();
                let rest = near - foot * feet;
                if rest == Length::ZERO {
                    format!("{feet} ft")
                } else {
                    format!("{feet} ft {} in", inches(rest))
                }
            }
        }
    }

    /// As [`Self::run`], rounded up to whole centimetres or inches: what would be long enough.
    #[must_use]
    pub fn run_up(self, x: Length) -> String {
        let step = match self.units {
            Units::Metric => Length::MM * 10,
            Units::Imperial => Length::INCH,
        };
        self.run(x.round_to(step, Rounding::Up))
    }

    /// How far something moves, without its direction: to a tenth of a millimetre or a hundredth
    /// of an inch.
    ///
    /// ```
    /// use planner::{Show, Units};
    /// use quantity::physics::Distance;
    /// assert_eq!(Show::default().movement(Distance::from_mm(-0.87)), "0.9 mm");
    /// let show = Show { units: Units::Imperial, ..Show::default() };
    /// assert_eq!(show.movement(Distance::from_mm(-0.87)), "0.03 in"); // 0.0343
    /// ```
    #[must_use]
    pub fn movement(self, x: Distance) -> String {
        match self.units {
            Units::Metric => format!("{} mm", plain(x.to_mm().abs(), 1)),
            Units::Imperial => format!("{} in", plain(x.to_inches().abs(), 2)),
        }
    }

    /// A volume of something solid, which nobody pours.
    ///
    /// ```
    /// use planner::{Show, Units};
    /// use quantity::physics::Volume;
    /// let wood = Volume::from_m3(0.00173);
    /// assert_eq!(Show::default().solid(wood), "1730 cm³");
    /// let show = Show { units: Units::Imperial, ..Show::default() };
    /// assert_eq!(show.solid(wood), "106 in³"); // 1730 / 2.54³
    /// ```
    #[must_use]
    pub fn solid(self, x: Volume) -> String {
        match self.units {
            Units::Metric => format!("{} cm³", significant(x.to_ml())),
            Units::Imperial => format!("{} in³", significant(x.to_ml() / 16.387_064)),
        }
    }

    /// Any quantity with its unit, to three significant digits where it is measured, exactly
    /// where it is counted.
    ///
    /// ```
    /// use planner::{Show, Units, Value};
    /// use quantity::physics::Mass;
    /// let grams = Value::Mass(Mass::from_grams(1234.0));
    /// assert_eq!(Show::default().value(&grams, "£"), "1.23 kg");
    /// let show = Show { units: Units::Imperial, ..Show::default() };
    /// assert_eq!(show.value(&grams, "£"), "2.72 lb"); // 1234 / 453.59237
    /// ```
    #[must_use]
    pub fn value(self, value: &Value, currency: &str) -> String {
        let imperial = self.units == Units::Imperial;
        let with = |x: f64, unit: &str| format!("{} {unit}", significant(x));
        let either = |metric: (f64, &str), inches: (f64, &str)| {
            let (x, unit) = if imperial { inches } else { metric };
            with(x, unit)
        };
        match value {
            Value::Length(x) => self.length(*x),
            Value::Distance(x) => either((x.to_mm(), "mm"), (x.to_inches(), "in")),
            Value::Count(n) => n.to_string(),
            Value::Money(m) => format!("{currency}{m}"),
            Value::Area(x) => either((x.to_m2(), "m²"), (x.to_ft2(), "ft²")),
            Value::Mass(x) if imperial && x.to_ounces() >= 16.0 => with(x.to_pounds(), "lb"),
            Value::Mass(x) if imperial => with(x.to_ounces(), "oz"),
            Value::Mass(x) if x.to_grams() >= 1000.0 => with(x.to_kg(), "kg"),
            Value::Mass(x) => with(x.to_grams(), "g"),
            Value::Volume(x) if imperial => with(x.to_us_fl_oz(), "fl oz"),
            Value::Volume(x) if x.to_ml() >= 1000.0 => with(x.to_litres(), "l"),
            Value::Volume(x) => with(x.to_ml(), "ml"),
            Value::ArealMass(x) => either((x.to_g_per_m2(), "g/m²"), (x.to_oz_per_yd2(), "oz/yd²")),
            Value::Density(x) => with(x.to_g_per_ml(), "g/ml"),
            Value::Ratio(x) => with(x.to_percent(), "%"),
            Value::Number(x) => significant(*x),
            Value::Angle(x) => format!("{}°", significant(x.to_degrees())),
            Value::Force(x) => either((x.to_newtons(), "N"), (x.to_lbf(), "lbf")),
            Value::LineLoad(x) => either((x.to_n_per_m(), "N/m"), (x.to_lbf_per_in(), "lbf/in")),
            Value::Moment(x) => with(x.to_nm(), "N·m"),
            Value::Pressure(x) => with(x.to_mpa(), "MPa"),
            Value::Temperature(x) => either((x.to_celsius(), "°C"), (x.to_fahrenheit(), "°F")),
            Value::Days(x) => format!(
                "{} {}",
                significant(*x),
                if *x == 1.0 { "day" } else { "days" }
            ),
            Value::Hours(x) => with(*x, "h"),
            Value::Minutes(x) => with(*x, "min"),
            Value::Frequency(x) => with(x.to_hz(), "Hz"),
            // 1 fl oz/ft² = 29.5735295625 ml / 0.09290304 m².
            Value::Spread(x) => either((*x, "ml/m²"), (*x / 318.328_826, "fl oz/ft²")),
            Value::Text(t) => t.clone(),
        }
    }
}

/// Three significant digits, whole numbers from 100 up, no trailing zeros.
fn significant(x: f64) -> String {
    let size = x.abs();
    let decimals = match size {
        s if s >= 100.0 || s == 0.0 => 0,
        s if s >= 10.0 => 1,
        s if s >= 1.0 => 2,
        s if s >= 0.1 => 3,
        _ => 4,
    };
    plain(x, decimals)
}

/// A number to so many places (at most 20), exactly rounded, a half to the even digit: as
/// `format!("{x:.places$}")` writes it below 10^18, without the 18 kB of the standard library's
/// way. Of a larger one the first digits are right and the rest are zeros.
///
/// ```
/// assert_eq!(planner::show::decimals(-2.675, 2), "-2.67"); // the float is a little nearer to 0
/// assert_eq!(planner::show::decimals(0.5, 0), "0");
/// ```
#[must_use]
pub fn decimals(x: f64, places: usize) -> String {
    if !x.is_finite() {
        return String::from("–");
    }
    let mut size = x.abs();
    let mut zeros = 0;
    while size >= 1e18 {
        size /= 10.0;
        zeros += 1;
    }
    // size = mantissa × 2^power, by IEEE 754.
    let bits = size.to_bits();
    let exponent = (bits >> 52) as i32;
    let hidden = u64::from(exponent > 0) << 52;
    let mantissa = u128::from(bits & ((1 << 52) - 1) | hidden);
    let power = exponent.max(1) - 1075;
    let places = places.min(20);
    let scaled = mantissa * 10_u128.pow(places as u32);
    let whole = match power {
        0.. => scaled << power,
        -127..0 => {
            let (whole, rest) = (scaled >> -power, scaled & ((1 << -power) - 1));
            let half = 1 << (-power - 1);
            whole + u128::from(rest > half || rest == half && whole % 2 == 1)
        }
        _ => 0,
    };
    let mut digits = format!("{whole:0>width$}", width = places + 1);
    let point = digits.len() - places;
    digits.insert_str(point, &"0".repeat(zeros));
    if places > 0 {
        digits.insert(point + zeros, '.');
    }
    if x.is_sign_negative() {
        digits.insert(0, '-');
    }
    digits
}

/// A number with all its digits, so that it reads back exactly; a very large or small one with a
/// power of ten (`1e+300`).
#[must_use]
pub fn every_digit(x: f64) -> String {
    let mut buffer = zmij::Buffer::new();
    let text = buffer.format(x);
    text.strip_suffix(".0").unwrap_or(text).to_string()
}

/// Whole inches and the lowest-terms fraction of a length that is a whole number of 64ths.
fn inches(x: Length) -> String {
    let sign = if x.as_nm() < 0 { "-" } else { "" };
    let n = x.abs().as_nm() / Length::from_inch_64ths(1).as_nm();
    let (whole, mut top) = (n / 64, n % 64);
    let mut below = 64;
    while top > 0 && top % 2 == 0 {
        top /= 2;
        below /= 2;
    }
    match (whole, top) {
        (w, 0) => format!("{sign}{w}"),
        (0, t) => format!("{sign}{t}/{below}"),
        (w, t) => format!("{sign}{w} {t}/{below}"),
    }
}

/// A length written so that it reads back exactly: millimetres with every digit.
#[must_use]
pub fn exact_mm(x: Length) -> String {
    let s = plain(x.to_mm(), 6);
    format!("{s} mm")
}

/// A whole number with its noun, singular or plural.
#[must_use]
pub fn counted(n: u64, one: &str, many: &str) -> String {
    let mut s = n.to_string();
    s.push(' ');
    s.push_str(if n == 1 { one } else { many });
    s
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_those_of_the_standard_library() {
        let exact = [
            0.0, -0.0, 0.125, 0.375, -2.5, 3.5, 0.1, 0.3, 2.675, 1e-7, 5e-324, 955.75, 1e17,
        ];
        for x in exact {
            for places in 0..8 {
                assert_eq!(decimals(x, places), format!("{x:.places$}"));
            }
        }
        assert_eq!(decimals(2e20, 1), "200000000000000000000.0");
        assert_eq!(decimals(f64::NAN, 1), "–");
    }

    proptest::proptest! {
        #[test]
        fn any_decimals_are_those_of_the_standard_library(x in -1e9..1e9_f64, small in -1.0..1.0_f64, places in 0..12_usize) {
            proptest::prop_assert_eq!(decimals(x, places), format!("{x:.places$}"));
            proptest::prop_assert_eq!(decimals(small, places), format!("{small:.places$}"));
            let halves = libm::round(x) / 8.0;
            proptest::prop_assert_eq!(decimals(halves, places), format!("{halves:.places$}"));
        }

        #[test]
        fn every_digit_reads_back(x in proptest::num::f64::NORMAL) {
            proptest::prop_assert_eq!(every_digit(x).parse::<f64>(), Ok(x));
        }

        #[test]
        fn every_digit_of_what_a_plan_holds_is_that_of_the_standard_library(x in -1e9..1e9_f64) {
            proptest::prop_assert_eq!(every_digit(x), format!("{x}"));
            let whole = libm::round(x);
            proptest::prop_assert_eq!(every_digit(whole), format!("{}", whole));
        }
    }

    #[test]
    fn inches_in_lowest_terms() {
        let show = Show {
            units: Units::Imperial,
            fraction: Fraction::SixtyFourth,
        };
        assert_eq!(
            show.length(Length::from_inch_64ths(29 * 64 + 48)),
            "29 3/4 in"
        );
        assert_eq!(show.length(Length::from_inch_64ths(1)), "1/64 in");
        assert_eq!(show.length(Length::ZERO), "0 in");
        assert_eq!(show.length(-Length::INCH), "-1 in");
    }

    #[test]
    fn millimetres_to_the_half() {
        let show = Show::default();
        assert_eq!(show.length(Length::from_mm_f64(955.74)), "955.5 mm");
        assert_eq!(
            show.length_rounded(Length::from_mm_f64(955.74), Rounding::Up),
            "956 mm"
        );
    }
}
