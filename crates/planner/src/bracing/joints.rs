//! Forces in screws and pins, beside what is published for them.
//!
//! A table to think with, not an engineer's certificate: in a sound frame the glue carries these
//! forces, and the metal holds the joint shut while it sets.

use alloc::vec::Vec;

use quantity::physics::{Distance, Force, Moment};
use serde::Serialize;
use statics::End;

use super::checks::Setting;
use super::model::{LEVEL, Quarter, UPRIGHT};
use super::wood::Batten;
use crate::brief::{Brief, ScrewWay, YesNo};
use crate::fasteners::{is_pinned, is_screwed};
use crate::figure::{Figure, Input};
use crate::formulas as f;

/// What must stand beside the table.
pub const DEFERRAL: &str = "Reckoned from published averages for sound wood, for comparison alone: this is no engineering certificate. Glue carries these forces; screws and pins hold the joint shut while it sets.";

/// Ultimate over working value (our choice; published practice is about 5).
const SAFETY: f64 = 5.0;
/// Share of the pull-out strength that is left in end grain (Wood Handbook ch. 8, from memory).
const END_GRAIN: f64 = 0.75;
/// Share of the sideways strength that is left in end grain (Wood Handbook ch. 8, from memory).
const END_GRAIN_SIDEWAYS: f64 = 2.0 / 3.0;

/// A force on a fastener and what it can be trusted with.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JointForce {
    /// Which joint, and how it is taken.
    pub joint: &'static str,
    /// Which fastener.
    pub fastener: &'static str,
    /// Force on it in the hardest case, were there no glue.
    pub force: Figure<Force>,
    /// What it can be trusted with; none where nothing reliable is published.
    pub holds: Option<Figure<Force>>,
    /// Whether the frame as reckoned leans on this joint: the opening of a corner counts only
    /// where corners are not taken as hinges.
    pub counts: bool,
    /// What that means.
    pub note: &'static str,
}

/// Pull-out strength of a wood screw in side grain, N: 108.25 G² D L, D and L in mm.
///
/// Wood Handbook ch. 8 (from memory), average ultimate value.
///
/// ```
/// use planner::bracing::joints::screw_withdrawal;
/// use quantity::physics::Distance;
/// // 108.25 × 0.4² × 3 × 20 = 1039 N
/// let p = screw_withdrawal(0.4, Distance::from_mm(3.0), Distance::from_mm(20.0));
/// assert!((p.to_newtons() - 1039.2).abs() < 0.1);
/// ```
#[must_use]
pub fn screw_withdrawal(gravity: f64, diameter: Distance, thread: Distance) -> Force {
    Force::from_newtons(108.25 * gravity * gravity * diameter.to_mm() * thread.to_mm())
}

/// Sideways strength of a wood screw in softwood, N: 23.30 D², D in mm, for specific gravity
/// 0.29 to 0.42 (Wood Handbook ch. 8, from memory; denser wood holds more).
#[must_use]
pub fn screw_lateral(diameter: Distance) -> Force {
    Force::from_newtons(23.30 * diameter.to_mm() * diameter.to_mm())
}

/// Sideways strength of a smooth nail or pin in softwood, N: 50.04 D^1.5, D in mm, for specific
/// gravity 0.29 to 0.42 (Wood Handbook ch. 8, from memory).
#[must_use]
pub fn pin_lateral(diameter: Distance) -> Force {
    let d = diameter.to_mm();
    Force::from_newtons(50.04 * d * libm::sqrt(d))
}

/// The table of a frame: solved with hinged and with rigid corners.
pub(crate) fn joint_forces(
    brief: &Brief,
    setting: &Setting,
    batten: &Batten,
    [hinged, rigid]: [&Quarter; 2],
    pull: f64,
) -> Vec<JointForce> {
    let mut all = Vec::new();
    let screw = Distance::from_m(brief.screw_diameter.value.to_m());
    let pin = Distance::from_m(brief.pin_diameter.value.to_m());
    let gravity = Input::constant("specific gravity", batten.specific_gravity);
    let screws = is_screwed(brief);
    let mitre = is_pinned(brief);
    if mitre {
        let (level, upright) = (
            pull * hinged.bar_compression(LEVEL),
            pull * hinged.bar_compression(UPRIGHT),
        );
        let slip = Figure::new(
            Force::from_newtons((level - upright).abs() * core::f64::consts::FRAC_1_SQRT_2),
            &f::MITRE_SLIP,
            alloc::vec![
                Input::constant("in the top bar", Force::from_newtons(level)),
                Input::constant("in the side bar", Force::from_newtons(upright))
            ],
        );
        if screws {
            all.push(JointForce {
                joint: "corner taken as a hinge: slip along the mitre",
                fastener: "heel screw, sideways",
                force: slip.clone(),
                holds: Some(working(
                    screw_lateral(screw) * END_GRAIN_SIDEWAYS,
                    &f::SCREW_LATERAL,
                    alloc::vec![brief.screw_diameter.input()],
                )),
                counts: true,
                note: "The bars press the mitre shut; only a difference of the two sides makes it slip.",
            });
        }
        all.push(JointForce {
            joint: "corner taken as a hinge: slip along the mitre",
            fastener: "two panel pins, sideways",
            force: slip,
            holds: Some(working(
                pin_lateral(pin) * (2.0 * END_GRAIN_SIDEWAYS),
                &f::PIN_LATERAL,
                alloc::vec![brief.pin_diameter.input()],
            )),
            counts: true,
            note: "Both pins together.",
        });
    }
    let not_hinged = setting.corner != End::Pinned;
    let moment = Moment::from_nm(rigid.corner_moment().to_nm().abs() * pull);
    let presses = pull
        * (rigid.bar_compression(LEVEL) + rigid.bar_compression(UPRIGHT))
        * core::f64::consts::FRAC_1_SQRT_2;
    let heel = Figure::new(
        Force::from_newtons(setting.heel_pull(moment, presses)),
        &f::HEEL_PULL,
        alloc::vec![
            Input::constant("moment in the corner", moment),
            Input::constant("pressed together by", Force::from_newtons(presses)),
            brief.bar_face.input()
        ],
    );
    if mitre && screws {
        // How much of it is past the mitre, which it crosses at its middle.
        let past = match brief.screw_way.value {
            ScrewWay::SquareToEdge => brief.bar_face.value.half(),
            ScrewWay::SquareToMitre => brief.bar_face.value.times_sqrt2().half(),
        };
        let thread = Distance::from_m((brief.screw_length.value - past).to_m().max(0.0));
        all.push(JointForce {
            joint: "corner taken as rigid: opening at the heel",
            fastener: "heel screw, pulled out",
            force: heel.clone(),
            holds: Some(working(
                screw_withdrawal(batten.specific_gravity, screw, thread) * END_GRAIN,
                &f::SCREW_WITHDRAWAL,
                alloc::vec![
                    gravity.clone(),
                    brief.screw_diameter.input(),
                    Input::constant("in the second piece", thread)
                ],
            )),
            counts: not_hinged,
            note: "Where the force is larger, only glue can make the corner rigid: count on the hinge.",
        });
    }
    if mitre {
        all.push(JointForce {
            joint: "corner taken as rigid: opening at the heel",
            fastener: "panel pins, pulled out",
            force: heel,
            holds: None,
            counts: not_hinged,
            note: "A smooth pin in end grain carries no reliable pull (EN 1995-1-1 §8.3, from memory).",
        });
    }
    cross_bar_ends(brief, setting, batten, hinged, pull, &mut all);
    if brief.screws.value == YesNo::Yes
        && let Some(thrust) = hinged.brace_compression()
    {
        let thrust = thrust * pull;
        all.push(JointForce {
            joint: "corner brace: slip along the bar",
            fastener: "screw, sideways",
            force: Figure::new(
                thrust.abs() * core::f64::consts::FRAC_1_SQRT_2,
                &f::BRACE_SLIP,
                alloc::vec![Input::constant("thrust in the brace", thrust)],
            ),
            holds: Some(working(
                screw_lateral(screw) * END_GRAIN_SIDEWAYS,
                &f::SCREW_LATERAL,
                alloc::vec![brief.screw_diameter.input()],
            )),
            counts: true,
            note: "One screw at each end, through the long edge, square to the bar.",
        });
    }
    all
}

/// The end of a cross bar: pressed into its housing, and prised out of it by the cloth's arm.
fn cross_bar_ends(
    brief: &Brief,
    setting: &Setting,
    batten: &Batten,
    quarter: &Quarter,
    pull: f64,
    all: &mut Vec<JointForce>,
) {
    let compression = pull * quarter.compression(LEVEL).max(quarter.compression(UPRIGHT));
    if compression <= 0.0 || !is_screwed(brief) {
        return;
    }
    let lap = brief.bar_depth.value.half();
    let thread = Distance::from_m(
        (brief.screw_length.value.min(brief.bar_depth.value) - lap)
            .to_m()
            .max(0.0),
    );
    let prised = compression * setting.arm / (0.5 * setting.outline.face);
    all.push(JointForce {
        joint: "cross bar in its housing: prised by the cloth's arm",
        fastener: "lap screw, pulled out",
        force: Figure::new(
            Force::from_newtons(prised),
            &f::LAP_PRISING,
            alloc::vec![
                Input::constant("in the cross bar", Force::from_newtons(compression)),
                Input::constant(
                    "cloth in front of the middle",
                    Distance::from_m(setting.arm)
                ),
                brief.bar_face.input()
            ],
        ),
        holds: Some(working(
            screw_withdrawal(
                batten.specific_gravity,
                Distance::from_m(brief.screw_diameter.value.to_m()),
                thread,
            ),
            &f::SCREW_WITHDRAWAL,
            alloc::vec![
                Input::constant("specific gravity", batten.specific_gravity),
                brief.screw_diameter.input(),
                Input::constant("in the second piece", thread)
            ],
        )),
        counts: true,
        note: "The thrust itself presses the bar into its housing and needs no screw.",
    });
}

fn working(ultimate: Force, formula: &'static f::Formula, mut inputs: Vec<Input>) -> Figure<Force> {
    inputs.push(Input::constant("ultimate", ultimate));
    inputs.push(Input::constant("safety", SAFETY));
    Figure::new(ultimate / SAFETY, formula, inputs)
}
