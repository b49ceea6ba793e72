//! Euler buckling of straight columns, and of a column braced at half its height.
//!
//! Elastic only: a stocky column crushes first, so compare with the crushing strength too.
//! Sources (from memory): Timoshenko and Gere, *Theory of Elastic Stability*, 2nd ed., sections
//! 2.1 to 2.6; Winter, "Lateral bracing of columns and beams", 1958.

use core::f64::consts::PI;

use quantity::physics::{Area, Distance, Force, Pressure, SecondMoment, Stiffness};

use crate::error::Error;

/// How a column's two ends are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnEnds {
    /// Both hinged.
    Pinned,
    /// Both built in.
    Fixed,
    /// One built in, the other hinged.
    FixedPinned,
    /// One built in, the other free: a flagpole.
    FixedFree,
    /// One built in, the other free to shift sideways but not to turn.
    FixedGuided,
    /// One hinged, the other free to shift sideways but not to turn.
    PinnedGuided,
}

impl ColumnEnds {
    /// Effective length over length: theoretical values, for ends held perfectly.
    ///
    /// Source (from memory): Timoshenko and Gere, section 2.1; the same values stand in the
    /// AISC *Specification* commentary, table C-A-7.1, in the row of theoretical K.
    #[must_use]
    pub const fn effective_length_factor(self) -> f64 {
        /// The first root of tan x = x.
        const TANGENT_ROOT: f64 = 4.493_409_457_909_064;
        match self {
            Self::Pinned | Self::FixedGuided => 1.0,
            Self::Fixed => 0.5,
            Self::FixedPinned => PI / TANGENT_ROOT,
            Self::FixedFree | Self::PinnedGuided => 2.0,
        }
    }
}

/// The load under which a perfect elastic column bows out: π²EI/(KL)².
///
/// ```
/// use quantity::physics::{Distance, Pressure, SecondMoment};
/// use statics::buckling::{ColumnEnds, euler_load};
/// // π² × 11 000 N/mm² × 21 870 mm⁴ / (800 mm)² = 3709.9 N
/// let p = euler_load(
///     Pressure::from_mpa(11_000.0),
///     SecondMoment::from_mm4(21_870.0),
///     Distance::from_mm(800.0),
///     ColumnEnds::Pinned,
/// )?;
/// assert!((p.to_newtons() - 3709.892).abs() < 1e-3);
/// # Ok::<(), statics::Error>(())
/// ```
///
/// # Errors
///
/// [`Error::OutOfRange`] for a number that is not positive and finite.
pub fn euler_load(
    modulus: Pressure,
    inertia: SecondMoment,
    length: Distance,
    ends: ColumnEnds,
) -> Result<Force, Error> {
    let rigidity = bending_rigidity(modulus, inertia)?;
    let effective = positive("length", length.to_m())? * ends.effective_length_factor();
    finite_force(PI * PI * rigidity / (effective * effective))
}

/// Effective length over the section's radius of gyration √(I/A).
///
/// # Errors
///
/// [`Error::OutOfRange`] for a number that is not positive and finite.
pub fn slenderness(
    length: Distance,
    ends: ColumnEnds,
    area: Area,
    inertia: SecondMoment,
) -> Result<f64, Error> {
    let effective = positive("length", length.to_m())? * ends.effective_length_factor();
    let area = positive("area", area.to_m2())?;
    let inertia = positive("second moment of area", inertia.to_m4())?;
    Ok(effective / libm::sqrt(inertia / area))
}

/// A pinned column with a springy brace against sideways movement at half its height.
///
/// ```text
///   ▼ P
///   ●  pinned
///   │
///   ├─/\/\/─ brace
///   │
///   ●  pinned
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MidBracedColumn {
    /// Modulus of elasticity.
    pub modulus: Pressure,
    /// Second moment of area in the direction of the brace.
    pub inertia: SecondMoment,
    /// Whole length, both halves.
    pub length: Distance,
}

impl MidBracedColumn {
    /// The brace stiffness from which on the column buckles in two half waves with the brace
    /// standing still: 16π²EI/L³, which is two column loads over the half length.
    ///
    /// A real column is not straight at first; twice this stiffness keeps the brace's movement
    /// down to the first crookedness (Winter).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a number that is not positive and finite.
    pub fn full_brace(&self) -> Result<Stiffness, Error> {
        let (rigidity, length) = self.numbers()?;
        let k = 16.0 * PI * PI * rigidity / (length * length * length);
        Ok(Stiffness::from_n_per_m(positive("brace stiffness", k)?))
    }

    /// The brace stiffness needed for the column to carry `load`: none up to π²EI/L²; between
    /// that and 4π²EI/L² it is 16EI/L³ · u³/(u − tan u), u = (L/2)√(P/EI).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a number that is not positive and finite, or a load above
    /// 4π²EI/L², which no brace at the middle can help to carry.
    pub fn brace_for(&self, load: Force) -> Result<Stiffness, Error> {
        let (rigidity, length) = self.numbers()?;
        let load = positive("load", load.to_newtons())?;
        let u = 0.5 * length * libm::sqrt(load / rigidity);
        // One part in 10¹² past the limit is the limit, missed by rounding.
        if u > PI * (1.0 + 1e-12) {
            return Err(Error::OutOfRange {
                what: "load on a column braced at the middle (at most 4π²EI/L²)",
            });
        }
        let k = stiffness_at(u) * rigidity / (length * length * length);
        Ok(Stiffness::from_n_per_m(k))
    }

    /// The load under which the column buckles with this brace.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a column number that is not positive and finite, or a brace
    /// that is negative or not a number.
    pub fn critical_load(&self, brace: Stiffness) -> Result<Force, Error> {
        let (rigidity, length) = self.numbers()?;
        let k = brace.to_n_per_m();
        if k.is_nan() || k < 0.0 {
            return Err(Error::OutOfRange {
                what: "brace stiffness",
            });
        }
        let wanted = k * length * length * length / rigidity;
        // The stiffness needed rises steadily with the load, so halving the bracket is safe;
        // 60 halvings use up the bits of a double.
        let (mut lo, mut hi) = (0.5 * PI, PI);
        for _ in 0..60 {
            let mid = 0.5 * (lo + hi);
            if stiffness_at(mid) <= wanted {
                lo = mid;
            } else {
                hi = mid;
            }
        }
        let u = if wanted >= stiffness_at(PI) { PI } else { lo };
        finite_force(4.0 * u * u * rigidity / (length * length))
    }

    fn numbers(&self) -> Result<(f64, f64), Error> {
        Ok((
            bending_rigidity(self.modulus, self.inertia)?,
            positive("length", self.length.to_m())?,
        ))
    }
}

/// kL³/EI at which the column buckles at u = (L/2)√(P/EI), from half a wave (u = π/2, none) to a
/// whole one (u = π, 16π²).
fn stiffness_at(u: f64) -> f64 {
    if u <= 0.5 * PI {
        return 0.0;
    }
    let u = u.min(PI);
    // u³/(u − tan u) times cos/cos, which stays finite at u = π/2.
    let (sine, cosine) = (libm::sin(u), libm::cos(u));
    16.0 * u * u * u * cosine / (u * cosine - sine)
}

fn bending_rigidity(modulus: Pressure, inertia: SecondMoment) -> Result<f64, Error> {
    Ok(positive("modulus", modulus.to_pa())? * positive("second moment of area", inertia.to_m4())?)
}

fn finite_force(newtons: f64) -> Result<Force, Error> {
    positive("buckling load", newtons).map(Force::from_newtons)
}

/// The number, if it is positive and finite.
pub(crate) fn positive(what: &'static str, x: f64) -> Result<f64, Error> {
    if x > 0.0 && x.is_finite() {
        Ok(x)
    } else {
        Err(Error::OutOfRange { what })
    }
}
