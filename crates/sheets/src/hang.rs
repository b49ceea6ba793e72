//! Weight, hanging and the tray frame.

use maud::{Markup, html};
use quantity::{Length, Rounding};

use crate::pen::Pen;
use crate::sheet::nothing_yet;

pub(crate) fn hang(pen: &Pen<'_>) -> Markup {
    html! {
        @if pen.plan.canvases.iter().all(|c| c.hanging.is_none()) { (nothing_yet()) }
        div.cards {
            @for c in &pen.plan.canvases {
                section.card {
                    h3 { (c.name) }
                    @if let Some(h) = &c.hanging {
                        dl.figures {
                            (pen.line("Mass, paint allowed for", &h.mass))
                            (pen.line("Its weight", &h.weight))
                            (pen.line("Wood", &h.wood))
                            (pen.line_as("Volume of the wood", &h.wood_volume.how, pen.plan.show.solid(h.wood_volume.value)))
                            @if let Some(bead) = &h.bead { (pen.line("Bead", bead)) }
                            (pen.line("Cloth", &h.cloth))
                            (pen.line("Size, ground and paint", &h.coats))
                            (pen.line("D-rings below the top", &h.ring_down))
                            (pen.line("D-rings in from the sides", &h.ring_in))
                            (pen.line("Each ring must be rated for", &h.ring_load))
                            @let hooks = if h.wire.is_some() { "The hook" } else { "The two hooks together" };
                            (pen.line(&format!("{hooks} must be rated for"), &h.hook_load))
                        }
                        @if let Some(w) = &h.wire {
                            dl.figures {
                                (pen.line("Wire, angle from level", &w.angle))
                                (pen.line_rounded("Wire to cut", &w.cut, Rounding::Up))
                                (pen.line("Pull in the wire", &w.tension))
                                (pen.line("Wire must be rated for", &w.rating))
                                (pen.line("Pulls the sides inward", &w.inward))
                                @if w.hook_down.value < Length::ZERO {
                                    (pen.line_as("Hook above the top", &w.hook_down.how, pen.length(w.hook_down.value.abs())))
                                } @else { (pen.line("Hook below the top", &w.hook_down)) }
                            }
                            @if !w.hidden { p { "The wire shows above the canvas: lower the rings or shorten the wire." } }
                        }
                    }
                    @if let Some(t) = &c.tray {
                        h4 { "Tray frame" }
                        dl.figures {
                            (pen.line("Inside width", &t.inside_width))
                            (pen.line("Inside height", &t.inside_height))
                            (pen.line("Outside width", &t.outside_width))
                            (pen.line("Outside height", &t.outside_height))
                            (pen.line("Inside depth", &t.inside_depth))
                            (pen.line("Outside depth", &t.outside_depth))
                            (pen.line("Wood for it", &t.wood))
                        }
                    }
                }
            }
        }
    }
}
