//! The blank of every canvas with its lines, the staples, and the note to expect.

use maud::{Markup, html};
use planner::staples::StapleSide;
use quantity::Rounding;

use crate::pen::Pen;
use crate::picture::Picture;
use crate::sheet::nothing_yet;
use crate::tone;

pub(crate) fn stretch(pen: &Pen<'_>) -> Markup {
    html! {
        @if pen.plan.canvases.iter().all(|c| c.blank.is_none()) { (nothing_yet()) }
        div.cards {
            @for (i, c) in pen.plan.canvases.iter().enumerate() {
                section.card {
                    h3 { (c.name) }
                    @if let Some(b) = &c.blank {
                        dl.figures {
                            (pen.line_rounded("Cut the blank, wide", &b.cut_width, Rounding::Up))
                            (pen.line_rounded("Cut the blank, high", &b.cut_height, Rounding::Up))
                            (pen.line("Pencil line, from the edge", &b.front_fold))
                            (pen.line("Back fold, from the edge", &b.back_fold))
                            (pen.line("Trim line, from the edge", &b.trim_line))
                            (pen.line("Cloth on the frame", &b.mass))
                        }
                        (Picture::Blank(i).fold("The blank and its lines, drawn", false))
                    }
                    @if let Some(s) = &c.staples {
                        dl.figures {
                            (side(pen, "Staples along top and bottom, each", &s.top_bottom))
                            (side(pen, "Staples up each side", &s.sides))
                            (pen.line("Staples that stay", &s.staying))
                            (pen.line("Temporary at the corners", &s.temporary))
                            (pen.line("To have at hand", &s.total))
                        }
                        (Picture::Steps(i).fold("Staple, step by step", false))
                        (Picture::Stapling(i).fold("All staples, numbered in their order", false))
                    }
                    @if let Some(t) = &c.tone { (tone::expected(pen, t)) }
                }
            }
        }
        (tone::tapped(pen))
    }
}

fn side<'a>(pen: &Pen<'a>, name: &str, side: &'a StapleSide) -> Markup {
    let shown = format!("{}, {} apart", side.count.value, pen.length(side.spacing));
    pen.line_as(name, &side.count.how, shown)
}
