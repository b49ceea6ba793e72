//! Stretching and hanging.

use maud::{Markup, html};
use planner::Stage;
use planner::hanging::Hanging;
use planner::staples::Staples;
use planner::tone::Tone;
use quantity::Rounding;

use super::Group;
use super::ink::{Ink, figure, named, named_half};
use crate::drawing::{self, Layout};
use crate::tone::note_words;

pub(super) fn stretching(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    html! {
        @if let Some(first) = groups.first() {
            section {
                h2 { "Stretch" }
                (ink.notes(Stage::Stretch))
                @for stretch in &drawing::roll_each(plan) { (named("roll of cloth", stretch)) }
                (named("section through a bar", &drawing::section(plan, first.first, Layout::Wide)))
                @if groups.len() > 1 {
                    h3 { "Blanks" }
                    @for group in groups {
                        @let name = group.title(plan);
                        (named_half(&name, &drawing::blank(plan, group.first, Layout::Narrow)))
                    }
                }
                @for group in groups {
                    div.job-group {
                        h3 { (group.title(plan)) }
                        @if groups.len() == 1 {
                            (named("blank", &drawing::blank(plan, group.first, Layout::Wide)))
                        }
                        @for still in &drawing::stapling_each(plan, group.first) { (figure(still)) }
                        @let canvas = &plan.canvases[group.first];
                        @if let Some(staples) = &canvas.staples { (at_hand(ink, staples, canvas.tone.as_ref())) }
                    }
                }
            }
        }
    }
}

fn at_hand(ink: &Ink<'_>, staples: &Staples, tone: Option<&Tone>) -> Markup {
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
                @if let Some(tone) = tone { (ink.line("Tap it: note to expect", &tone.expected)) }
            }
            @if let Some(note) = tone.and_then(|t| t.note) {
                p { "Nearest note when tapped in the middle: " (note_words(ink.0.show, note)) "." }
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
                (trays(ink, groups))
            }
        }
    }
}

/// The tray frames, where they are wanted.
fn trays(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let tray = |g: &Group| ink.0.canvases[g.first].tray.as_ref();
    html! {
        @if groups.iter().any(|g| tray(g).is_some()) {
            h3 { "Tray frames" }
            table.tight {
                thead { tr {
                    th { "Canvas" } th { "Inside" } th { "Outside" } th { "Depth inside" } th { "Outside" } th { "Moulding for one" }
                } }
                tbody {
                    @for group in groups {
                        @if let Some(t) = tray(group) {
                            tr {
                                th { (group.title(ink.0)) }
                                td { (ink.figure(&t.inside_width)) " × " (ink.figure(&t.inside_height)) }
                                td { (ink.figure(&t.outside_width)) " × " (ink.figure(&t.outside_height)) }
                                td { (ink.figure(&t.inside_depth)) }
                                td { (ink.figure(&t.outside_depth)) }
                                td { (ink.figure(&t.wood)) }
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
                td { (ink.known(&wire.cut.how, ink.0.show.length_rounded(wire.cut.value, Rounding::Up))) }
                td { (ink.figure(&wire.rating)) }
                td { @if wire.hidden { (ink.figure(&wire.hook_down)) } @else { "it would show" } }
            }
            None => { td { "no wire" } td {} td {} }
        }
    }
}
