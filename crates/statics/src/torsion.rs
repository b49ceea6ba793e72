//! Saint-Venant torsion of rectangular bars, by the exact series.
//!
//! Source (from memory): Timoshenko and Goodier, *Theory of Elasticity*, section 109 (the series)
//! and its table of coefficients; the same coefficients stand in Roark, *Formulas for Stress and
//! Strain*, table of torsion of solid sections.

use core::f64::consts::PI;

use quantity::physics::{Angle, Distance, LineLoad, Moment, Pressure, SecondMoment};

use crate::buckling::positive;
use crate::error::Error;

/// A solid rectangular section under torsion. Linear; ends free to warp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RectangularBar {
    long: f64,
    short: f64,
}

impl RectangularBar {
    /// With these two sides, in either order.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a side that is not positive and finite.
    pub fn new(side: Distance, other: Distance) -> Result<Self, Error> {
        let (a, b) = (
            positive("side", side.to_m())?,
            positive("side", other.to_m())?,
        );
        Ok(Self {
            long: a.max(b),
            short: a.min(b),
        })
    }

    /// The torsion constant J, in T = GJ × twist per length:
    /// J = ab³/3 · (1 − (192/π⁵)(b/a) Σ tanh(nπa/2b)/n⁵), n odd, a ≥ b.
    ///
    /// ```
    /// use quantity::physics::Distance;
    /// use statics::torsion::RectangularBar;
    /// // A square: J = 0.1406 a⁴ (Timoshenko and Goodier's table, from memory).
    /// let square = RectangularBar::new(Distance::from_m(1.0), Distance::from_m(1.0))?;
    /// assert!((square.constant().to_m4() - 0.1406).abs() < 5e-5);
    /// # Ok::<(), statics::Error>(())
    /// ```
    #[must_use]
    pub fn constant(&self) -> SecondMoment {
        let (a, b) = (self.long, self.short);
        SecondMoment::from_m4(a * b * b * b * self.constant_share())
    }

    /// The largest shear stress, at the middle of the long side, under a twisting moment:
    /// T b/J · (1 − (8/π²) Σ 1/(n² cosh(nπa/2b))), n odd.
    #[must_use]
    pub fn largest_shear(&self, torque: Moment) -> Pressure {
        let ratio = self.long / self.short;
        let mut sum = 0.0;
        for n in ODD {
            sum += 1.0 / (n * n * libm::cosh(0.5 * n * PI * ratio));
        }
        let share = 1.0 - 8.0 / (PI * PI) * sum;
        let area_by_width = self.long * self.short * self.short;
        Pressure::from_pa(torque.to_nm().abs() * share / (area_by_width * self.constant_share()))
    }

    /// How far a length of it turns end against end under a twisting moment: TL/GJ.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a shear modulus or length that is not positive and finite.
    pub fn twist(
        &self,
        torque: Moment,
        length: Distance,
        shear_modulus: Pressure,
    ) -> Result<Angle, Error> {
        let length = positive("length", length.to_m())?;
        let shear_modulus = positive("shear modulus", shear_modulus.to_pa())?;
        Ok(Angle::from_rad(
            torque.to_nm() * length / (shear_modulus * self.constant().to_m4()),
        ))
    }

    /// How far its middle turns when both ends are held against turning and a load per length
    /// acts on an arm all along: qeL²/8GJ (each half carries half of the torque to its end, so
    /// the twist is ∫ qex/GJ dx over L/2).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a shear modulus or length that is not positive and finite.
    pub fn middle_twist(
        &self,
        load: LineLoad,
        arm: Distance,
        length: Distance,
        shear_modulus: Pressure,
    ) -> Result<Angle, Error> {
        let torque = load.to_n_per_m() * arm.to_m() * length.to_m() / 8.0;
        self.twist(Moment::from_nm(torque), length, shear_modulus)
    }

    /// J/ab³: 0.1406 for a square, 1/3 for a thin strip.
    fn constant_share(&self) -> f64 {
        /// Σ 1/n⁵ over odd n is 31/32 ζ(5).
        const ODD_FIFTHS: f64 = 31.0 / 32.0 * 1.036_927_755_143_37;
        let ratio = self.long / self.short;
        // tanh x = 1 − 2/(e²ˣ + 1): what is left to sum dies away exponentially.
        let mut rest = 0.0;
        for n in ODD {
            rest += 2.0 / (n * n * n * n * n * (libm::exp(n * PI * ratio) + 1.0));
        }
        let sum = ODD_FIFTHS - rest;
        (1.0 - 192.0 / (PI * PI * PI * PI * PI) / ratio * sum) / 3.0
    }
}

/// With a ≥ b the terms fall at least as e^(−nπ/2): by n = 23 they are below 10⁻¹⁷.
const ODD: [f64; 12] = [
    1.0, 3.0, 5.0, 7.0, 9.0, 11.0, 13.0, 15.0, 17.0, 19.0, 21.0, 23.0,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coefficients_of_the_handbook_table() {
        // Timoshenko and Goodier's table (from memory): a/b, J/ab³, T/(ab²τ).
        let table = [
            (1.0, 0.1406, 0.208),
            (1.2, 0.166, 0.219),
            (1.5, 0.196, 0.231),
            (2.0, 0.229, 0.246),
            (2.5, 0.249, 0.258),
            (3.0, 0.263, 0.267),
            (4.0, 0.281, 0.282),
            (5.0, 0.291, 0.291),
            (10.0, 0.312, 0.312),
        ];
        for (ratio, constant, shear) in table {
            let bar = RectangularBar {
                long: ratio,
                short: 1.0,
            };
            // The table's last digit, rounded or cut: one unit.
            let digit = if ratio == 1.0 { 1e-4 } else { 1e-3 };
            assert!((bar.constant_share() - constant).abs() < digit, "{ratio}");
            let tau = bar.largest_shear(Moment::from_nm(1.0)).to_pa();
            assert!((1.0 / (ratio * tau) - shear).abs() < 1e-3, "{ratio}");
        }
    }

    #[test]
    fn a_bar_of_40_by_20_mm() {
        let bar = RectangularBar::new(Distance::from_m(0.04), Distance::from_m(0.02)).unwrap();
        // The same table at a/b = 2: J = 0.229 × 0.04 × 0.02³ = 7.328e-8 m⁴, and under 100 N·m
        // τ = 100 / (0.246 × 0.04 × 0.02²) = 25.41 MPa.
        assert!((bar.constant().to_m4() / 7.328e-8 - 1.0).abs() < 0.003);
        let tau = bar.largest_shear(Moment::from_nm(-100.0));
        assert!((tau.to_mpa() / 25.41 - 1.0).abs() < 0.003);
    }

    #[test]
    fn fourth_degree_fit_of_roark() {
        // Roark (from memory): J ≈ ab³ (1/3 − 0.21 b/a (1 − b⁴/12a⁴)), within 4 %.
        for ratio in [1.0_f64, 1.3, 2.0, 45.0 / 18.0, 7.0, 100.0] {
            let bar = RectangularBar {
                long: ratio,
                short: 1.0,
            };
            let fit = 1.0 / 3.0 - 0.21 / ratio * (1.0 - 1.0 / (12.0 * ratio.powi(4)));
            assert!((bar.constant_share() / fit - 1.0).abs() < 0.005, "{ratio}");
        }
    }
}
