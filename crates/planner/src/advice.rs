//! What a good teacher would say on seeing the plan: each warning with its reason. Nothing is
//! corrected silently.

use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;

use quantity::{Length, Rounding};
use serde::Serialize;

use crate::brief::{Bead, Brief, Corner, Fixing, ScrewWay, YesNo};
use crate::fasteners::{is_pinned, is_screwed};
use crate::fields::{FieldRef, Stage};
use crate::plan::CanvasPlan;

pub(crate) use materials::Materials;

mod bracing;
mod materials;

/// A warning: the plan is possible but perhaps unwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Advice {
    /// Where it belongs.
    #[serde(skip)]
    pub stage: Stage,
    /// The field that would change it.
    #[serde(skip)]
    pub at: FieldRef,
    /// What is unwise.
    pub what: String,
    /// Why.
    pub why: String,
}

/// All warnings of a plan.
pub(crate) fn advice(
    brief: &Brief,
    canvases: &[CanvasPlan],
    materials: &Materials<'_>,
) -> Vec<Advice> {
    let mut all = Vec::new();
    wood(brief, canvases, &mut all);
    fixing(brief, canvases, &mut all);
    cloth(brief, &mut all);
    bracing::advice(brief, canvases, &mut all);
    materials::advice(brief, canvases, materials, &mut all);
    all
}

fn put(
    all: &mut Vec<Advice>,
    stage: Stage,
    key: &'static str,
    what: impl Into<String>,
    why: impl Into<String>,
) {
    all.push(Advice {
        stage,
        at: FieldRef::setting(key),
        what: what.into(),
        why: why.into(),
    });
}

fn wood(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    if brief.treated.value == YesNo::Yes {
        put(
            all,
            Stage::Buy,
            "treated",
            "Coloured roofing batten next to cloth.",
            "Its preservative and colour can stain and weaken cloth, glue and ground; take untreated batten.",
        );
    }
    if brief.fixing.value == Fixing::Keyed {
        put(
            all,
            Stage::Join,
            "fixing",
            "Keyed corners stay dry, and so do the ends of cross bars.",
            "No glue, screws or pins are counted there: keys can open only what is not held. Cut the slots and tongues your keys ask for, which this plan does not set out; the statics takes the corners as the setting for corners says.",
        );
        if canvases.iter().any(|c| c.bracing.braces.value > 0) {
            put(
                all,
                Stage::Join,
                "braces",
                "Corner braces hold a keyed corner shut.",
                "Keys can't open a frame whose corners are braced: take cross bars instead, or fix the corners.",
            );
        }
    }
    for c in canvases {
        let Some(frame) = &c.frame else { continue };
        let side = frame.outer_width.value.min(frame.outer_height.value);
        if side < brief.bar_face.value * 4 {
            put(
                all,
                Stage::Cut,
                "bar_face",
                format!("{}: half of the shorter side is wood.", c.name),
                "A narrower batten, or a panel, would serve so small a size better.",
            );
        }
    }
}

fn fixing(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    let show = brief.show;
    let Some(fasteners) = canvases.iter().find_map(|c| c.fasteners.as_ref()) else {
        return;
    };
    if is_screwed(brief) {
        if let Some(longest) = fasteners
            .longest_screw
            .as_ref()
            .filter(|l| l.value < brief.screw_length.value)
        {
            put(
                all,
                Stage::Join,
                "screw_length",
                format!(
                    "A screw of {} breaks through.",
                    show.length(brief.screw_length.value)
                ),
                format!(
                    "At this place the wood takes at most {}.",
                    show.length_rounded(longest.value, Rounding::Down)
                ),
            );
        }
        let hold = brief.screw_diameter.value * 6;
        if fasteners.screw_hold.value < hold {
            put(
                all,
                Stage::Join,
                "screw_length",
                "The corner screw hardly reaches the second piece.",
                format!(
                    "{} of it is in there; 6 diameters, {}, is the least that counts (EN 1995-1-1 §8.7, from memory).",
                    show.length_rounded(fasteners.screw_hold.value, Rounding::Down),
                    show.length(hold)
                ),
            );
        }
        let edge = brief.screw_diameter.value * 3;
        if brief.corner.value == Corner::Mitre && brief.bar_depth.value.half() < edge {
            put(
                all,
                Stage::Join,
                "screw_diameter",
                "The screw is thick for this batten: the edge may split.",
                format!(
                    "Pre-drilled, it wants 3 diameters ({}) to the edge and has {} (EN 1995-1-1 Table 8.2). Up to {} thick would pass.",
                    show.length(edge),
                    show.length(brief.bar_depth.value.half()),
                    show.length_rounded(
                        Length::from_nm(brief.bar_depth.value.as_nm() / 6),
                        Rounding::Down
                    )
                ),
            );
        }
        if brief.corner.value == Corner::Mitre && brief.screw_way.value == ScrewWay::SquareToEdge {
            put(
                all,
                Stage::Join,
                "screw_way",
                "This screw runs into end grain.",
                "It pulls the mitre shut while the glue sets and holds little by itself: the glue does the work.",
            );
        }
    }
    if is_pinned(brief) {
        if brief.pin_length.value > fasteners.longest_pin.value {
            put(
                all,
                Stage::Join,
                "pin_length",
                "These pins may come out of the face.",
                format!(
                    "With a lean of 1 in 12 a pin up to {} stays inside this batten.",
                    show.length_rounded(fasteners.longest_pin.value, Rounding::Down)
                ),
            );
        }
        if brief.pin_length.value < fasteners.shortest_pin.value {
            put(
                all,
                Stage::Join,
                "pin_length",
                "These pins hardly reach the second bar.",
                format!(
                    "They pass two thirds of the face first; {} or longer holds.",
                    show.length_rounded(fasteners.shortest_pin.value, Rounding::Up)
                ),
            );
        }
    }
    if brief.staple_leg.value >= brief.bar_depth.value {
        put(
            all,
            Stage::Stretch,
            "staple_leg",
            "The staple's legs come out of the front.",
            format!("The bar is {} deep.", show.length(brief.bar_depth.value)),
        );
    }
}

fn cloth(brief: &Brief, all: &mut Vec<Advice>) {
    if brief.bead.value == Bead::Nothing {
        put(
            all,
            Stage::Stretch,
            "bead",
            "The cloth lies on the bars.",
            "Their inner edges show through the paint in time; a bead or a bevel holds the cloth off.",
        );
    }
    if brief.turnover.value < brief.staple_leg.value * 2 {
        put(
            all,
            Stage::Stretch,
            "turnover",
            "Little cloth is left behind the staples.",
            "A narrow turnover tears out and can't be gripped when the canvas is stretched again.",
        );
    }
    if brief.turnover.value > brief.bar_face.value {
        put(
            all,
            Stage::Stretch,
            "turnover",
            "The turnover is wider than the bar.",
            format!(
                "Of {} of cloth on the back {} hang over the opening: fold them under, or turn over less.",
                brief.show.length(brief.turnover.value),
                brief
                    .show
                    .length(brief.turnover.value - brief.bar_face.value)
            ),
        );
    }
}
