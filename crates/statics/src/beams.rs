//! Closed formulas for beams and simple frames: quick answers, and checks on the frame solver.
//!
//! Deflections by bending alone (the frame solver adds the shortening of members). Sources, from
//! memory: AISC *Steel Construction Manual*, table 3-23 (beams); Roark, *Formulas for Stress and
//! Strain*, tables of straight beams and of frames; Kleinlogel, *Rigid Frame Formulas* (frames,
//! re-derived here by slope-deflection).

use quantity::physics::{Distance, Force, LineLoad, Moment, Pressure, SecondMoment};

use crate::buckling::positive;
use crate::error::Error;
use crate::polynomial::each_candidate;

/// A beam of one section under a load that is the same all along. All results count towards the
/// load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UniformBeam {
    /// Modulus of elasticity.
    pub modulus: Pressure,
    /// Second moment of area.
    pub inertia: SecondMoment,
    /// Distance between supports, each span alike.
    pub span: Distance,
    /// Load per length.
    pub load: LineLoad,
}

/// What a closed formula says about a beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamResult {
    /// Largest deflection of all spans.
    pub deflection: Distance,
    /// Where it is, from the outer end of the first span (the hinged end, the free end).
    pub deflection_at: Distance,
    /// Largest sagging moment within a span.
    pub span_moment: Moment,
    /// Largest hogging moment over a support, as a positive number.
    pub support_moment: Moment,
    /// Force of the outer support (the hinged one, where they differ).
    pub outer_reaction: Force,
    /// Force of the other support next to it.
    pub inner_reaction: Force,
}

/// A beam's coefficients: the results over wL⁴/EI, L, wL², wL², wL and wL.
struct Coefficients {
    deflection: f64,
    at: f64,
    span_moment: f64,
    support_moment: f64,
    outer: f64,
    inner: f64,
}

impl UniformBeam {
    /// On two hinged supports: 5wL⁴/384EI, wL²/8 (AISC table 3-23, case 1).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`], here as for the other beams, when modulus, second moment or span
    /// is not positive and finite, or the load is not finite.
    pub fn simply_supported(&self) -> Result<BeamResult, Error> {
        self.scaled(&Coefficients {
            deflection: 5.0 / 384.0,
            at: 0.5,
            span_moment: 1.0 / 8.0,
            support_moment: 0.0,
            outer: 0.5,
            inner: 0.5,
        })
    }

    /// Built in at both ends: wL⁴/384EI, wL²/24, wL²/12 (AISC table 3-23, case 15).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`].
    pub fn fixed(&self) -> Result<BeamResult, Error> {
        self.scaled(&Coefficients {
            deflection: 1.0 / 384.0,
            at: 0.5,
            span_moment: 1.0 / 24.0,
            support_moment: 1.0 / 12.0,
            outer: 0.5,
            inner: 0.5,
        })
    }

    /// Hinged at one end, built in at the other: wL⁴/184.6EI at L(1 + √33)/16 = 0.4215L from the hinge,
    /// 9wL²/128, wL²/8 (AISC table 3-23, case 12, which rounds to 185).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`].
    pub fn propped(&self) -> Result<BeamResult, Error> {
        // The slope 1 − 9s² + 8s³ = (1 − s)(1 + s − 8s²) is zero at s = (1 + √33)/16; there the
        // deflection s(1 − 3s² + 2s³)/48 comes to (39 + 55√33)/65536.
        let root = libm::sqrt(33.0);
        self.scaled(&Coefficients {
            deflection: (39.0 + 55.0 * root) / 65_536.0,
            at: (1.0 + root) / 16.0,
            span_moment: 9.0 / 128.0,
            support_moment: 1.0 / 8.0,
            outer: 3.0 / 8.0,
            inner: 5.0 / 8.0,
        })
    }

    /// Built in at one end, free at the other: wL⁴/8EI, wL²/2 (AISC table 3-23, case 19). The
    /// outer "support" is the free end and carries nothing.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`].
    pub fn cantilever(&self) -> Result<BeamResult, Error> {
        self.scaled(&Coefficients {
            deflection: 1.0 / 8.0,
            at: 0.0,
            span_moment: 0.0,
            support_moment: 0.5,
            outer: 0.0,
            inner: 1.0,
        })
    }

    /// Two equal spans: by symmetry each is a propped beam; reactions 3wL/8, 5wL/4 (AISC table
    /// 3-23, two equal spans).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`].
    pub fn two_span(&self) -> Result<BeamResult, Error> {
        let propped = self.propped()?;
        Ok(BeamResult {
            inner_reaction: propped.inner_reaction * 2.0,
            ..propped
        })
    }

    /// Three equal spans: reactions 0.4wL, 1.1wL; moments 0.08wL², 0.1wL²; largest deflection in
    /// the outer spans, 0.0069wL⁴/EI (AISC table 3-23, three equal spans, rounded there).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`].
    pub fn three_span(&self) -> Result<BeamResult, Error> {
        // The outer span's curve by integrating its moment 0.4s − s²/2 twice, zero at both ends.
        let sag = [0.0, 0.025, 0.0, -0.4 / 6.0, 1.0 / 24.0, 0.0];
        let mut most = (0.0, 0.0);
        each_candidate(&sag, |s, deflection| {
            if deflection > most.1 {
                most = (s, deflection);
            }
        });
        self.scaled(&Coefficients {
            deflection: most.1,
            at: most.0,
            span_moment: 0.08,
            support_moment: 0.1,
            outer: 0.4,
            inner: 1.1,
        })
    }

    fn scaled(&self, c: &Coefficients) -> Result<BeamResult, Error> {
        let rigidity = positive("modulus", self.modulus.to_pa())?
            * positive("second moment of area", self.inertia.to_m4())?;
        let span = positive("span", self.span.to_m())?;
        let load = finite("load", self.load.to_n_per_m())?;
        let force = load * span;
        Ok(BeamResult {
            deflection: Distance::from_m(c.deflection * force * span * span * span / rigidity),
            deflection_at: Distance::from_m(c.at * span),
            span_moment: Moment::from_nm(c.span_moment * force * span),
            support_moment: Moment::from_nm(c.support_moment * force * span),
            outer_reaction: Force::from_newtons(c.outer * force),
            inner_reaction: Force::from_newtons(c.inner * force),
        })
    }
}

/// A rectangle of four bars with rigid corners, by centrelines.
///
/// ```text
///        w ↓↓↓↓↓↓↓
///      ┌───────────┐
///   → │           │ ←   height
///      └───────────┘
///        ↑↑↑↑↑↑↑ w
///          width
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedRectangle {
    /// Modulus of elasticity of all bars.
    pub modulus: Pressure,
    /// Length of the two horizontal bars.
    pub width: Distance,
    /// Length of the two upright bars.
    pub height: Distance,
    /// Second moment of area of the horizontal bars.
    pub width_inertia: SecondMoment,
    /// Second moment of area of the upright bars.
    pub height_inertia: SecondMoment,
}

/// What a load from all sides does to a closed rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InwardLoad {
    /// Moment at each corner.
    pub corner_moment: Moment,
    /// Moment at the middle of the horizontal bars, positive where they bow inward.
    pub width_moment: Moment,
    /// Moment at the middle of the upright bars, positive where they bow inward.
    pub height_moment: Moment,
    /// Inward deflection at the middle of the horizontal bars.
    pub width_deflection: Distance,
    /// Inward deflection at the middle of the upright bars.
    pub height_deflection: Distance,
}

impl ClosedRectangle {
    /// Under a load that presses inward all round:
    /// M = (w/12)(W²k_H + H²k_W)/(k_W + k_H) at the corners, k = I/L of each bar; at the middle
    /// wL²/8 − M and (5wL⁴/384 − ML²/8)/EI. Source: slope-deflection; Roark and Kleinlogel carry
    /// the same case (from memory).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a bar number that is not positive and finite, or a load that is
    /// not finite.
    pub fn pressed_inward(&self, load: LineLoad) -> Result<InwardLoad, Error> {
        let [modulus, w, h, iw, ih] = self.numbers()?;
        let load = finite("load", load.to_n_per_m())?;
        let (kw, kh) = (iw / w, ih / h);
        let corner = load / 12.0 * (w * w * kh + h * h * kw) / (kw + kh);
        let middle = |length: f64| load * length * length / 8.0 - corner;
        let deflection = |length: f64, inertia: f64| {
            (5.0 / 384.0 * load * length * length - corner / 8.0) * length * length
                / (modulus * inertia)
        };
        Ok(InwardLoad {
            corner_moment: Moment::from_nm(corner),
            width_moment: Moment::from_nm(middle(w)),
            height_moment: Moment::from_nm(middle(h)),
            width_deflection: Distance::from_m(deflection(w, iw)),
            height_deflection: Distance::from_m(deflection(h, ih)),
        })
    }

    /// How far the top moves sideways under a horizontal force on it, the bottom corners held:
    /// FH²(H/I_H + W/I_W)/24E; every corner then carries FH/4.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a bar number that is not positive and finite, or a force that
    /// is not finite.
    pub fn racking(&self, force: Force) -> Result<Distance, Error> {
        let [modulus, w, h, iw, ih] = self.numbers()?;
        let force = finite("force", force.to_newtons())?;
        Ok(Distance::from_m(
            force * h * h * (h / ih + w / iw) / (24.0 * modulus),
        ))
    }

    fn numbers(&self) -> Result<[f64; 5], Error> {
        Ok([
            positive("modulus", self.modulus.to_pa())?,
            positive("width", self.width.to_m())?,
            positive("height", self.height.to_m())?,
            positive("second moment of area", self.width_inertia.to_m4())?,
            positive("second moment of area", self.height_inertia.to_m4())?,
        ])
    }
}

/// A portal: two equal columns and a beam, joined rigidly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Portal {
    /// Modulus of elasticity of all bars.
    pub modulus: Pressure,
    /// Length of the beam.
    pub span: Distance,
    /// Length of the columns.
    pub height: Distance,
    /// Second moment of area of the beam.
    pub beam_inertia: SecondMoment,
    /// Second moment of area of each column.
    pub column_inertia: SecondMoment,
}

/// What a force along its beam does to a portal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sway {
    /// How far the beam moves.
    pub sway: Distance,
    /// Moment at each foot.
    pub foot_moment: Moment,
    /// Moment at each head.
    pub head_moment: Moment,
}

impl Portal {
    /// With both feet built in, k = (I_beam/I_column)(height/span): sway Fh³(2 + 3k)/12EI(1 + 6k),
    /// moments (Fh/2)(1 + 3k)/(1 + 6k) at the feet, (Fh/2)·3k/(1 + 6k) at the heads.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a bar number that is not positive and finite, or a force that
    /// is not finite.
    pub fn fixed_feet(&self, force: Force) -> Result<Sway, Error> {
        let (k, rigidity, h, force) = self.numbers(force)?;
        let whole = 1.0 + 6.0 * k;
        Ok(Sway {
            sway: Distance::from_m(force * h * h * h * (2.0 + 3.0 * k) / (12.0 * rigidity * whole)),
            foot_moment: Moment::from_nm(0.5 * force * h * (1.0 + 3.0 * k) / whole),
            head_moment: Moment::from_nm(0.5 * force * h * 3.0 * k / whole),
        })
    }

    /// With both feet hinged: sway Fh³(1 + 2k)/12EIk, moments Fh/2 at the heads.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfRange`] for a bar number that is not positive and finite, or a force that
    /// is not finite.
    pub fn hinged_feet(&self, force: Force) -> Result<Sway, Error> {
        let (k, rigidity, h, force) = self.numbers(force)?;
        Ok(Sway {
            sway: Distance::from_m(force * h * h * h * (1.0 + 2.0 * k) / (12.0 * rigidity * k)),
            foot_moment: Moment::ZERO,
            head_moment: Moment::from_nm(0.5 * force * h),
        })
    }

    /// k, the columns' EI, their height, the force.
    fn numbers(&self, force: Force) -> Result<(f64, f64, f64, f64), Error> {
        let modulus = positive("modulus", self.modulus.to_pa())?;
        let span = positive("span", self.span.to_m())?;
        let height = positive("height", self.height.to_m())?;
        let beam = positive("second moment of area", self.beam_inertia.to_m4())?;
        let column = positive("second moment of area", self.column_inertia.to_m4())?;
        let force = finite("force", force.to_newtons())?;
        let k = beam / column * height / span;
        Ok((k, modulus * column, height, force))
    }
}

fn finite(what: &'static str, x: f64) -> Result<f64, Error> {
    if x.is_finite() {
        Ok(x)
    } else {
        Err(Error::OutOfRange { what })
    }
}
