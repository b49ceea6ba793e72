//! Stretching and hanging.

use maud::{Markup, html};
use planner::Stage;
use planner::hanging::Hanging;
use planner::staples::Staples;

use super::Group;
use super::ink::{Ink, figure};
use crate::drawing;

pub(super) fn stretching(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    html! {
        @if let Some(first) = groups.first() {
            section {
                h2 { "Stretch" }
                (ink.notes(Stage::Stretch))
                @if plan.cloth.is_some() { (figure(&drawing::roll(plan))) }
                (figure(&drawing::section(plan, first.first)))
                @for group in groups {
                    div.job-group {
                        h3 { (group.title(plan)) }
                        (figure(&drawing::blank(plan, group.first)))
                        (figure(&drawing::stapling(plan, group.first, None)))
                        @if let Some(staples) = &plan.canvases[group.first].staples { (at_hand(ink, staples)) }
                    }
                }
            }
        }
    }
}

fn at_hand(ink: &Ink<'_>, staples: &Staples) -> Markup {
    let side = |s: &planner::staples::StapleSide| {
        let apart = ink.0.show.length(s.spacing);
        format!("{}, {apart} apart", s.count.value)
    };
    html! {
        div.job-card {
            dl {
                (ink.line_as("Top and bottom, each", &staples.top_bottom.count.how, side(&staples.top_bottom)))
                (ink.line_as("Each side", &staples.sides.count.how, side(&staples.sides)))
                (ink.line("To have at hand", &staples.total))
            }
        }
    }
}

pub(super) fn hanging(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    let any = groups
        .iter()
        .any(|g| plan.canvases[g.first].hanging.is_some());
    html! {
        @if any {
            section {
                h2 { "Hang" }
                (ink.notes(Stage::Hang))
                table.tight {
                    thead { tr {
                        th { "Canvas" } th { "Weighs" } th { "Rings, down" } th { "Rings, in" } th { "Each ring holds" }
                        th { "Hooks hold together" } th { "Wire to cut" } th { "Wire holds" } th { "Hook below top" }
                    } }
                    tbody {
                        @for group in groups {
                            @if let Some(h) = &plan.canvases[group.first].hanging {
                                tr { th { (group.title(plan)) } (row(ink, h)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn row(ink: &Ink<'_>, h: &Hanging) -> Markup {
    html! {
        td { (ink.figure(&h.mass)) }
        td { (ink.figure(&h.ring_down)) }
        td { (ink.figure(&h.ring_in)) }
        td { (ink.figure(&h.ring_load)) }
        td { (ink.figure(&h.hook_load)) }
        @match &h.wire {
            Some(wire) => {
                td { (ink.figure(&wire.cut)) }
                td { (ink.figure(&wire.rating)) }
                td { @if wire.hidden { (ink.figure(&wire.hook_down)) } @else { "it would show" } }
            }
            None => { td { "no wire" } td {} td {} }
        }
    }
}
