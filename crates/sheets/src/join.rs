//! Screws, pins and glue of every frame.

use maud::{Markup, html};
use quantity::Rounding;

use crate::drawing::Joint;
use crate::pen::Pen;
use crate::picture::Picture;
use crate::sheet::nothing_yet;

pub(crate) fn join(pen: &Pen<'_>) -> Markup {
    html! {
        @if pen.plan.canvases.iter().all(|c| c.fasteners.is_none()) { (nothing_yet()) }
        div.cards {
            @for (i, c) in pen.plan.canvases.iter().enumerate() {
                @if let Some(f) = &c.fasteners {
                    section.card {
                        h3 { (c.name) }
                        dl.figures {
                            (pen.line("Screws", &f.screws))
                            @if let Some(longest) = &f.longest_screw {
                                (pen.line_rounded("Longest screw", longest, Rounding::Down))
                            }
                            (pen.line("Screw in the second piece", &f.screw_hold))
                            (pen.line("Pilot hole", &f.pilot))
                            (pen.line("Panel pins", &f.pins))
                            @if f.pins.value > 0 {
                                (pen.line_rounded("Shortest pin", &f.shortest_pin, Rounding::Up))
                                (pen.line_rounded("Longest pin", &f.longest_pin, Rounding::Down))
                            }
                            (pen.line("Glued area", &f.glue_area))
                            (pen.line("Wood glue", &f.wood_glue))
                        }
                        @for (n, kind) in Joint::all(pen.plan, i).into_iter().enumerate() {
                            (Picture::Joint(i, n).fold(&format!("The {}, drawn", kind.name()), false))
                        }
                        @if c.bracing.braces.value > 0 { (Picture::Brace(i).fold("Where a brace lands, drawn", false)) }
                    }
                }
            }
        }
    }
}
