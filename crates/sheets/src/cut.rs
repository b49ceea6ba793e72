//! The cut list and the setting-out rod of every member.

use maud::{Markup, html};
use planner::frame::{Ends, Frame, Mark, Member};
use planner::plan::CanvasPlan;

use crate::pen::Pen;
use crate::picture::Picture;
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
        (moisture(pen))
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
            @for (i, c) in plan.canvases.iter().enumerate() {
                @if let Some(frame) = &c.frame { (canvas(pen, i, c, frame)) }
            }
        }
    }
}

/// What the wood does between the yard and the studio.
fn moisture(pen: &Pen<'_>) -> Markup {
    let m = &pen.plan.moisture;
    html! {
        h3 { "Is the wood ready?" }
        p { (m.say) }
        details data-keep="moisture" {
            summary { "Moisture and movement of " (m.wood) }
            dl.figures {
                (pen.line("Moisture as bought", &m.bought))
                (pen.line("Moisture in the studio", &m.studio))
                (pen.line("The face changes by", &m.face_change))
                (pen.line("The depth changes by", &m.depth_change))
                (pen.line("A mitre cut now opens by", &m.mitre_gap))
                (pen.line("A housing cut now plays by", &m.housing_play))
                (pen.line("Moisture in winter", &m.winter))
                (pen.line("Moisture in summer", &m.summer))
                (pen.line("The face, winter to summer", &m.season_face))
                (pen.line("A mitre opens in winter by", &m.winter_mitre_gap))
            }
            (Picture::Humidity.fold("Size against the damp of the air, drawn", false))
            p { "Source: " (m.source) "." }
        }
    }
}

fn canvas<'a>(pen: &Pen<'a>, index: usize, c: &'a CanvasPlan, frame: &'a Frame) -> Markup {
    html! {
        section.card.wide {
            h4 { (c.name) }
            dl.figures {
                (pen.line("Mitre", &frame.mitre))
                (pen.line("Diagonal, both ways", &frame.diagonal))
                (pen.line("Half-laps and housings, deep", &frame.lap_depth))
                @let lean = format!("{} × the difference", pen.plan.show.value(&frame.lean_per_difference.value.into(), ""));
                (pen.line_as("Lean when the diagonals differ", &frame.lean_per_difference.how, lean))
            }
            (Picture::Frame(index).fold("The frame from the back, drawn", false))
            (Picture::Section(index).fold("Section through a bar", false))
            @for (m, member) in frame.members.iter().enumerate() { (rod(pen, (index, m), member)) }
        }
    }
}

fn rod<'a>(pen: &Pen<'a>, (canvas, m): (usize, usize), member: &'a Member) -> Markup {
    html! {
        (pen.fold(&format!("member-{canvas}-{m}"), html! {
            summary {
                strong.letter { (member.letter) } " " (member.part.name()) " × " (member.count) ", "
                (pen.length(member.length.value))
            }
        }, html! {
            dl.figures {
                (pen.line("Length (long edge)", &member.length))
                @if let Some(short) = &member.short_edge { (pen.line("Short edge", short)) }
                (pen.line("As sawn", &member.as_sawn))
            }
            (Picture::Rod(canvas, m).fold("Its rod, drawn", false))
            table {
                thead { tr { th scope="col" { "From the end" } th scope="col" { "Mark" } } }
                tbody { @for mark in &member.marks { tr {
                    td.number { strong { (pen.length(mark.at)) } }
                    td { (what(mark)) }
                } } }
            }
        }))
    }
}

fn what(mark: &Mark) -> String {
    let all: Vec<&str> = mark.what.iter().map(|w| w.name()).collect();
    all.join("; ")
}
