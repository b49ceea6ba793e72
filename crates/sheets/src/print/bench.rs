//! Cutting, setting out, joints and assembly.

use maud::{Markup, html};
use planner::frame::{Frame, Member};
use planner::plan::CanvasPlan;
use planner::timber::CutPiece;
use planner::{Plan, Stage};
use quantity::Rounding;

use super::Group;
use super::ink::{Ink, figure, half, named, tick};
use crate::cut::ends;
use crate::drawing::{self, Joint, Layout};

pub(super) fn cutting(ink: &Ink<'_>) -> Markup {
    let plan = ink.0;
    html! {
        @if !plan.cut_list.is_empty() {
            section.new-page {
                h2 { "Cut" }
                (ink.notes(Stage::Cut))
                (is_ready(ink))
                (list(plan, "Batten", &plan.cut_list))
                @if !plan.bead_list.is_empty() { (list(plan, "Bead", &plan.bead_list)) }
                @let boards = drawing::boards_each(plan);
                @if !boards.is_empty() {
                    h3 { "Boards as they are cut" }
                    @for board in &boards { (figure(board)) }
                }
            }
        }
    }
}

/// Whether the wood can be cut, and what becomes of a joint that is cut now.
fn is_ready(ink: &Ink<'_>) -> Markup {
    let m = &ink.0.moisture;
    html! {
        div.job-card {
            h3 { "Is the wood ready?" }
            p { (m.say) }
            dl {
                (ink.line("Moisture as bought", &m.bought))
                (ink.line("In the studio", &m.studio))
                (ink.line("A housing cut now plays by", &m.housing_play))
                (ink.line("A mitre cut now opens by", &m.mitre_gap))
            }
        }
    }
}

fn list(plan: &Plan, name: &str, pieces: &[CutPiece]) -> Markup {
    let mitred = pieces.iter().any(|p| p.short_edge.is_some());
    html! {
        h3 { (name) }
        table.job-list {
            thead { tr {
                th {} th { "Piece" } th { "How many" } th { "Long edge" }
                @if mitred { th { "Short edge" } }
                th { "Ends" } th { "Goes to" }
            } }
            tbody {
                @for piece in pieces {
                    tr {
                        td { (tick()) }
                        th { (piece.letter) }
                        td { (piece.count) }
                        td { strong { (plan.show.length(piece.length)) } }
                        @if mitred { td { @if let Some(x) = piece.short_edge { (plan.show.length(x)) } } }
                        td { (ends(piece.ends)) }
                        td {
                            @for (i, (canvas, part)) in piece.goes_to.iter().enumerate() {
                                @if i > 0 { "; " }
                                @if let Some(c) = plan.canvases.get(*canvas) { (c.name) ", " }
                                (part)
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Indices of a group's members whose rod no group before it has.
pub(super) fn own_members(plan: &Plan, group: &Group) -> Vec<usize> {
    let members = |c: &'_ CanvasPlan| c.frame.as_ref().map_or(0, |f| f.members.len());
    let Some(canvas) = plan.canvases.get(group.first) else {
        return Vec::new();
    };
    (0..members(canvas))
        .filter(|i| twin(plan, group, *i).is_none())
        .collect()
}

/// The first canvas before the group that has the same rod as its member.
fn twin<'a>(plan: &'a Plan, group: &Group, member: usize) -> Option<&'a CanvasPlan> {
    let it = plan.canvases.get(group.first)?.frame.as_ref()?;
    let it = it.members.get(member)?;
    let is_same = |m: &Member| m.letter == it.letter && m.part == it.part && m.marks == it.marks;
    plan.canvases[..group.first]
        .iter()
        .find(|c| c.frame.iter().flat_map(|f| &f.members).any(is_same))
}

pub(super) fn rods(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    html! {
        @if !groups.is_empty() {
            section {
                h2 { "Set out" }
                p { "All marks of a member are measured from one end, so that no error adds up." }
                @for group in groups {
                    div.job-group {
                        h3 { (group.title(plan)) }
                        @for member in own_members(plan, group) {
                            (rod(plan, group.first, member))
                        }
                        @if let Some(frame) = &plan.canvases[group.first].frame {
                            (elsewhere(plan, group, frame))
                        }
                    }
                }
            }
        }
    }
}

/// As many marks as a rod of half the page's width shows without being made smaller.
const MARKS_OF_HALF: usize = 17;

fn rod(plan: &Plan, canvas: usize, member: usize) -> Markup {
    let frame = plan.canvases[canvas].frame.as_ref();
    let marks = frame.map_or(0, |f| f.members[member].marks.len());
    if marks <= MARKS_OF_HALF {
        half(&drawing::rod(plan, canvas, member, Layout::Narrow))
    } else {
        figure(&drawing::rod(plan, canvas, member, Layout::Wide))
    }
}

fn elsewhere(plan: &Plan, group: &Group, frame: &Frame) -> Markup {
    html! {
        @for (i, member) in frame.members.iter().enumerate() {
            @if let Some(other) = twin(plan, group, i) {
                p { strong { (member.letter) } " " (member.part.name()) ": its rod stands with “" (other.name) "”." }
            }
        }
    }
}

pub(super) fn joints(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    let mut kinds: Vec<(Joint, usize)> = Vec::new();
    for group in groups {
        for kind in Joint::all(plan, group.first) {
            if kinds.iter().all(|(k, _)| *k != kind) {
                kinds.push((kind, group.first));
            }
        }
    }
    let braced = groups
        .iter()
        .find(|g| plan.canvases[g.first].bracing.braces.value > 0);
    html! {
        @if !groups.is_empty() {
            section {
                h2 { "Join" }
                (ink.notes(Stage::Join))
                @if groups.len() > 1 {
                    p { "A joint is drawn once, with the letters of the first canvas that has it; all others are made alike." }
                }
                (fasteners(ink, groups))
                @for (kind, canvas) in &kinds {
                    (named(kind.name(), &drawing::joint(plan, *canvas, *kind, Layout::Wide)))
                }
                @if let Some(group) = braced {
                    (named("corner brace", &drawing::brace_landing(plan, group.first, Layout::Wide)))
                }
            }
        }
    }
}

fn fasteners(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let show = ink.0.show;
    let of = |g: &Group| ink.0.canvases[g.first].fasteners.as_ref();
    let limited = groups
        .iter()
        .filter_map(of)
        .any(|f| f.longest_screw.is_some());
    html! {
        h3 { "Screws, pins and glue of one frame" }
        table.tight {
            thead { tr {
                th { "Canvas" } th { "Screws" } @if limited { th { "Longest" } } th { "In the second piece" } th { "Pilot hole" }
                th { "Pins" } th { "Shortest" } th { "Longest" } th { "Wood glue" }
            } }
            tbody {
                @for group in groups {
                    @if let Some(f) = of(group) {
                        tr {
                            th { (group.title(ink.0)) }
                            td { (ink.figure(&f.screws)) }
                            @if limited { td { @if let Some(x) = &f.longest_screw {
                                (ink.known(&x.how, show.length_rounded(x.value, Rounding::Down)))
                            } } }
                            td { (ink.figure(&f.screw_hold)) }
                            td { (ink.figure(&f.pilot)) }
                            td { (ink.figure(&f.pins)) }
                            td { (ink.known(&f.shortest_pin.how, show.length_rounded(f.shortest_pin.value, Rounding::Up))) }
                            td { (ink.known(&f.longest_pin.how, show.length_rounded(f.longest_pin.value, Rounding::Down))) }
                            td { (ink.figure(&f.wood_glue)) }
                        }
                    }
                }
            }
        }
    }
}

pub(super) fn assembly(ink: &Ink<'_>, groups: &[Group]) -> Markup {
    let plan = ink.0;
    html! {
        @if !groups.is_empty() {
            section {
                h2 { "Assemble, and check that it is square" }
                @for group in groups {
                    @if let Some(frame) = &plan.canvases[group.first].frame {
                        div.job-group {
                            h3 { (group.title(plan)) }
                            @if groups.len() > 1 {
                                (half(&drawing::frame_back(plan, group.first, Layout::Narrow)))
                                div.half { (square_check(ink, frame)) }
                            } @else {
                                (figure(&drawing::frame_back(plan, group.first, Layout::Wide)))
                                (square_check(ink, frame))
                            }
                        }
                    }
                }
            }
        }
    }
}

fn square_check(ink: &Ink<'_>, frame: &Frame) -> Markup {
    let lean = format!(
        "{} × the difference",
        ink.number(frame.lean_per_difference.value)
    );
    html! {
        div.job-card {
            p { "Before the glue sets, measure corner to corner both ways; push the longer way until both agree." }
            dl.one-column {
                (ink.line("Both diagonals should be", &frame.diagonal))
                div { dt { "Measured" } dd.blanks { span {} span {} } }
                (ink.line_as("A side leans", &frame.lean_per_difference.how, lean))
                @if let Some(keys) = &frame.keys { (ink.line("Keys", keys)) }
            }
        }
    }
}
