//! What the drawings need to know of a canvas, read off the Plan.

use planner::frame::{Frame, MarkKind, Member, Part};
use planner::plan::{CanvasPlan, Plan};
use planner::{Brief, Show};
use quantity::{Length, Rounding};

/// A canvas with its frame.
#[derive(Clone, Copy)]
pub(super) struct Facts<'a> {
    pub(super) canvas: &'a CanvasPlan,
    pub(super) frame: &'a Frame,
    pub(super) brief: &'a Brief,
    pub(super) show: Show,
}

impl<'a> Facts<'a> {
    /// None where the plan has no such canvas or no frame for it.
    pub(super) fn of(plan: &'a Plan, canvas: usize) -> Option<Self> {
        let canvas = plan.canvases.get(canvas)?;
        let frame = canvas.frame.as_ref()?;
        Some(Self {
            canvas,
            frame,
            brief: &plan.brief,
            show: plan.show,
        })
    }

    pub(super) fn member(&self, part: Part) -> Option<&'a Member> {
        self.frame.members.iter().find(|m| m.part == part)
    }

    /// Where marks of a kind lie on a member.
    pub(super) fn marks(&self, part: Part, kind: MarkKind) -> Vec<Length> {
        self.member(part)
            .map(|m| places(m, kind))
            .unwrap_or_default()
    }

    /// A length without its unit, to the nearest step.
    pub(super) fn bare(&self, x: Length) -> String {
        bare(self.show, x)
    }

    /// The unit of bare lengths.
    pub(super) fn unit(&self) -> &'static str {
        unit(self.show)
    }
}

/// Where marks of a kind lie on a member.
pub(super) fn places(member: &Member, kind: MarkKind) -> Vec<Length> {
    member
        .marks
        .iter()
        .filter(|m| m.what.contains(&kind))
        .map(|m| m.at)
        .collect()
}

/// A length without its unit, to the nearest step.
pub(super) fn bare(show: Show, x: Length) -> String {
    show.bare_length(x, Rounding::Nearest)
}

/// The unit of bare lengths.
pub(super) fn unit(show: Show) -> &'static str {
    match show.units {
        planner::Units::Metric => "millimetres",
        planner::Units::Imperial => "inches",
    }
}
