//! The cut list and the setting-out rod of every member.

use maud::{Markup, html};
use planner::frame::{Ends, Frame, Mark, Member};
use planner::plan::CanvasPlan;

use crate::pen::Pen;
use crate::sheet::nothing_yet;

/// How both ends are cut, in words.
pub(crate) const fn ends(ends: Ends) -> &'static str {
    match ends {
        Ends::Square => "square",
        Ends::Mitred => "45° both",
    }
}

pub(crate) fn cut(pen: &Pen<'_>) -> Markup {
    let plan = pen.plan;
    html! {
        @if plan.cut_list.is_empty() { (nothing_yet()) } @else {
            h3 { "Cut list" }
            table {
                thead { tr {
                    th scope="col" { "Piece" } th scope="col" { "How many" }
                    th scope="col" { "Long edge" } th scope="col" { "Short edge" }
                    th scope="col" { "Ends" } th scope="col" { "Goes to" }
                } }
                tbody {
                    @for piece in &plan.cut_list {
                        tr {
                            th.letter scope="row" { (piece.letter) }
                            td.number { (piece.count) }
                            td.number { strong { (pen.length(piece.length)) } }
                            td.number { @if let Some(short) = piece.short_edge { (pen.length(short)) } }
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
            h3 { "Setting out" }
            p { "All marks of a member are measured from one end, so that no error adds up." }
            @for c in &plan.canvases {
                @if let Some(frame) = &c.frame { (canvas(pen, c, frame)) }
            }
        }
    }
}

fn canvas<'a>(pen: &Pen<'a>, c: &'a CanvasPlan, frame: &'a Frame) -> Markup {
    html! {
        section.card.wide {
            h4 { (c.name) }
            dl.figures {
                (pen.line("Mitre", &frame.mitre))
                (pen.line("Diagonal, both ways", &frame.diagonal))
                (pen.line("Half-laps and housings, deep", &frame.lap_depth))
                @let lean = format!("{} for each 1 of difference", pen.plan.show.value(&frame.lean_per_difference.value.into(), ""));
                (pen.line_as("Lean when the diagonals differ", &frame.lean_per_difference.how, lean))
            }
            @for member in &frame.members { (rod(pen, c.row, member)) }
        }
    }
}

fn rod<'a>(pen: &Pen<'a>, row: usize, member: &'a Member) -> Markup {
    html! {
        details data-keep={ "rod-" (row) "-" (member.part.name()) } {
            summary {
                strong.letter { (member.letter) } " " (member.part.name()) " × " (member.count) ", "
                (pen.length(member.length.value))
            }
            dl.figures {
                (pen.line("Length (long edge)", &member.length))
                @if let Some(short) = &member.short_edge { (pen.line("Short edge", short)) }
                (pen.line("As sawn", &member.as_sawn))
            }
            table {
                thead { tr { th scope="col" { "From the end" } th scope="col" { "Mark" } } }
                tbody { @for mark in &member.marks { tr {
                    td.number { strong { (pen.length(mark.at)) } }
                    td { (what(mark)) }
                } } }
            }
        }
    }
}

fn what(mark: &Mark) -> String {
    let all: Vec<&str> = mark.what.iter().map(|w| w.name()).collect();
    all.join("; ")
}
