//! Cross bars and corner braces: how many, why, and what the statics of the frame says of them.
//!
//! The cloth pulls every bar inwards. Each bracing is checked for bow in the plane, twist, bow out
//! of the plane, buckling and racking ([`checks`]), under the cloth as stretched and with its size
//! dried out ([`loads`]), in the maker's wood ([`wood`]); the least batten that passes is taken.
//! The rule of thumb stands beside it, and on demand what else a maker may want to weigh
//! ([`beside`], [`mod@largest`]).

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Distance, Force, LineLoad, Ratio};
use serde::Serialize;

use crate::brief::{BracingBy, Brief, Canvas};
use crate::figure::{Figure, Value};
use crate::formulas as f;
use crate::frame::Part;

use desk::{Desk, Members};
use joints::JointForce;
use loads::{ClothPull, arm, cloth_pull};
use search::Answer;
use wood::{Batten, batten};

pub use beside::{OtherSection, Racking, bowed, other_pulls, other_sections, racking};
pub use checks::CheckKind;
pub use largest::largest;

pub mod beside;
pub mod checks;
mod desk;
mod grid;
pub mod joints;
pub mod largest;
pub mod loads;
mod model;
mod report;
mod search;
pub mod shape;
pub mod wood;

/// How a frame is braced.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bracing {
    /// Upright cross bars, which divide the width.
    pub upright: Figure<u32>,
    /// Level cross bars, which divide the height.
    pub level: Figure<u32>,
    /// Corner braces: none or four.
    pub braces: Figure<u32>,
    /// What the rule of thumb says: upright and level cross bars.
    pub rule: [u32; 2],
    /// What statics says; none where the bars leave no opening.
    pub statics: Option<Statics>,
}

/// What statics says of a bracing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Statics {
    /// Every check of the bracing as it is built, the one that uses most of its limit first.
    pub checks: Vec<Check>,
    /// Whether all of them pass.
    pub passes: bool,
    /// Whether all but racking pass, whose limit is our choice: what does not stand fails.
    pub stands: bool,
    /// The least batten that passes, whatever the maker said; the best there is where none does.
    pub least: Least,
    /// Where a check fails: the bracing nearest to what is built that passes.
    pub smallest_change: Option<Least>,
    /// Where no bracing in this batten passes: the first of the others at hand that does.
    pub passing_section: Option<OtherSection>,
    /// Buckling loads of the cross bars, without and with the crossing as a brace.
    pub crossings: Vec<Crossing>,
    /// Forces in screws and pins.
    pub joints: Vec<JointForce>,
    /// What must stand beside them.
    pub deferral: &'static str,
}

impl Statics {
    /// The smallest change that mends what is wrong; none where nothing is, or no change does.
    #[must_use]
    pub fn mending(&self) -> Option<&Least> {
        let change = self.smallest_change.as_ref()?;
        (change.passes || (change.stands && !self.stands)).then_some(change)
    }
}

/// One check of a bracing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// What is checked.
    pub kind: CheckKind,
    /// On which part; none for the frame as a whole.
    pub part: Option<Part>,
    /// What is found in the hardest case. For buckling and racking more is better: how many
    /// times its thrusts the frame carries, and the force that racks it.
    pub found: Figure<Value>,
    /// What is found under the stretched cloth alone.
    pub stretched: Figure<Value>,
    /// With rigid corners and with hinged ones, for the bow in the plane: the truth lies between.
    pub between: Option<[Figure<Distance>; 2]>,
    /// What is allowed; for buckling and racking what is asked for.
    pub limit: Figure<Value>,
    /// Share of the limit that is used; above 100 % it fails.
    pub used: Figure<Ratio>,
    /// Share of the limit that is left, or by which it is passed.
    pub margin: Figure<Ratio>,
    /// The pull that folds the frame up, where that is less than the pull that counts.
    pub carries: Option<Figure<LineLoad>>,
    /// Where, from the frame's outer lower left corner.
    pub at: Option<shape::Spot>,
}

impl Check {
    /// Whether it passes.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.used.value.to_ratio() <= 1.0
    }
}

/// A bracing that takes the least batten, and how well it does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Least {
    /// The cloth's pull as stretched.
    pub pull: Figure<LineLoad>,
    /// Upright cross bars.
    pub upright: u32,
    /// Level cross bars.
    pub level: u32,
    /// Corner braces: none or four.
    pub braces: u32,
    /// Whether they pass every check.
    pub passes: bool,
    /// Whether they pass every check but racking.
    pub stands: bool,
    /// The check that governs.
    pub governing: CheckKind,
    /// On which part.
    pub part: Option<Part>,
    /// Share of its limit that is used.
    pub used: Figure<Ratio>,
}

/// A cross bar as a column.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Crossing {
    /// Upright or level.
    pub part: Part,
    /// Its compression in the hardest case.
    pub compression: Figure<Force>,
    /// What it carries by itself, weakened by its laps.
    pub alone: Figure<Force>,
    /// What it carries where another cross bar crosses its middle.
    pub crossed: Option<Figure<Force>>,
}

/// What all frames of a plan share: the cloth's pull and the batten's stiffness.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Basis {
    /// The cloth's pull.
    pub pull: ClothPull,
    /// The batten's stiffness.
    pub batten: Batten,
    /// How far in front of the bars' middle the cloth pulls.
    pub arm: Figure<Distance>,
    /// The rule of thumb: up to this side no cross bars.
    pub rule: Figure<Length>,
}

/// The basis of a plan.
pub(crate) fn basis(brief: &Brief) -> Basis {
    Basis {
        pull: cloth_pull(brief),
        batten: batten(brief),
        arm: arm(brief),
        rule: Figure::new(
            brief.plain_limit.value,
            &f::CROSS_BAR_RULE,
            alloc::vec![brief.plain_limit.input()],
        ),
    }
}

/// Cross bars each way by the rule of thumb: none while the longer side is within the limit;
/// beyond it at least one each way, and one more for every further full limit in that side.
///
/// Common practice, no source (737 mm, 29 in).
#[must_use]
pub fn rule_of_thumb(width: Length, height: Length, limit: Length) -> [u32; 2] {
    if width.max(height) <= limit || limit <= Length::ZERO {
        return [0, 0];
    }
    [width, height].map(|side| {
        // ⌈side / limit⌉ − 1 bars leave no bay longer than the limit.
        let bays = side.as_nm().div_euclid(limit.as_nm())
            + i64::from(side.as_nm().rem_euclid(limit.as_nm()) > 0);
        u32::try_from((bays - 1).clamp(1, 6)).unwrap_or(1)
    })
}
/// Bracing of a canvas: what the maker says, else what is computed, else the rule.
pub(crate) fn bracing(brief: &Brief, basis: &Basis, canvas: &Canvas) -> Bracing {
    let desk = Desk::new(brief, basis, canvas);
    let [width, height] = desk.outer();
    let rule = rule_of_thumb(width, height, brief.plain_limit.value);
    let own = desk.own();
    let least = own.as_ref().and_then(|setting| desk.least(setting));
    let [upright, level, braces] = members(&desk, least.as_ref(), rule);
    let layout = desk.layout([upright.value, level.value], braces.value);
    let statics = own
        .zip(least)
        .and_then(|(setting, least)| desk.statics(&setting, layout, least));
    Bracing {
        upright,
        level,
        braces,
        rule,
        statics,
    }
}

/// The members as computed or by the rule, as the maker wants.
fn members(desk: &Desk<'_>, least: Option<&Answer>, rule: [u32; 2]) -> Members {
    let by_rule = desk.brief.bracing_by.value == BracingBy::Rule;
    match least {
        Some(answer) if !by_rule => desk.computed(answer),
        _ => desk.by_rule(rule),
    }
}

/// The bracing of a canvas without what statics says of it, and whether it stands the cloth: for
/// whoever tries many sizes.
pub(crate) fn decided(brief: &Brief, basis: &Basis, canvas: &Canvas) -> (Bracing, bool) {
    let desk = Desk::new(brief, basis, canvas);
    let [width, height] = desk.outer();
    let rule = rule_of_thumb(width, height, brief.plain_limit.value);
    let least = desk.own().and_then(|setting| desk.least(&setting));
    let [upright, level, braces] = members(&desk, least.as_ref(), rule);
    let bracing = Bracing {
        upright,
        level,
        braces,
        rule,
        statics: None,
    };
    (bracing, least.is_none_or(|answer| answer.stands()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn rule(w: i64, h: i64, expect: [u32; 2]) {
        let limit = Length::from_mm(737);
        assert_eq!(
            rule_of_thumb(Length::from_mm(w), Length::from_mm(h), limit),
            expect,
            "{w} × {h}"
        );
    }

    #[test]
    fn the_rule_at_its_edges() {
        // Common practice, no source: 737 mm (29 in) without cross bars.
        rule(737, 500, [0, 0]);
        rule(738, 500, [1, 1]);
        rule(1000, 800, [1, 1]);
        rule(1474, 800, [1, 1]);
        rule(1475, 800, [2, 1]);
        rule(2400, 1800, [3, 2]);
    }
}
