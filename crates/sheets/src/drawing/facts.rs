//! What the drawings need to know of a canvas, read off the Plan.

use planner::frame::{Ends, Frame, MarkKind, Member, Part};
use planner::plan::{CanvasPlan, Plan};
use planner::{Figure, Show, Value};
use quantity::{Length, Rounding};

/// How the corners are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CornerMade {
    Mitre,
    MitreLap,
    SquareLap,
}

/// What the front edge of the bars is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FrontEdge {
    QuarterRound,
    Bevel,
    Nothing,
}

/// A canvas with its frame.
#[derive(Clone, Copy)]
pub(super) struct Facts<'a> {
    pub(super) canvas: &'a CanvasPlan,
    pub(super) frame: &'a Frame,
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
            show: plan.show,
        })
    }

    pub(super) fn member(&self, part: Part) -> Option<&'a Member> {
        self.frame.members.iter().find(|m| m.part == part)
    }

    pub(super) fn corner(&self) -> CornerMade {
        let bar = self.member(Part::TopBottom);
        if bar.is_some_and(|m| m.ends == Ends::Mitred) {
            CornerMade::Mitre
        } else if bar.is_some_and(|m| m.short_edge.is_some()) {
            CornerMade::MitreLap
        } else {
            CornerMade::SquareLap
        }
    }

    /// What holds the cloth off the bars.
    pub(super) fn front_edge(&self, plan: &Plan) -> FrontEdge {
        if self.canvas.bead.is_some() {
            FrontEdge::QuarterRound
        } else if plan.advice.iter().any(|a| a.at.key == "bead") {
            // The plan warns of cloth on bare bars, and of nothing else at this field.
            FrontEdge::Nothing
        } else {
            FrontEdge::Bevel
        }
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

/// A length that went into a figure, by its name on the page.
pub(super) fn length_input<T>(figure: &Figure<T>, name: &str) -> Option<Length> {
    figure.how.inputs.iter().find_map(|i| match i.value {
        Value::Length(x) if i.name == name => Some(x),
        _ => None,
    })
}
