//! The canvases as they come out: sizes, bracing, area.

use maud::{Markup, html};

use crate::bracing::bracing;
use crate::pen::Pen;
use crate::sheet::nothing_yet;

pub(crate) fn canvases(pen: &Pen<'_>) -> Markup {
    let built = pen.plan.canvases.iter().filter(|c| c.frame.is_some());
    html! {
        @if pen.plan.canvases.iter().all(|c| c.frame.is_none()) { (nothing_yet()) }
        div.cards {
            @for c in built {
                @if let Some(frame) = &c.frame {
                    section.card {
                        h4 { (c.name) @if c.count > 1 { span.times { " × " (c.count) } } }
                        dl.figures {
                            (pen.line("Wood, outside width", &frame.outer_width))
                            (pen.line("Wood, outside height", &frame.outer_height))
                            (pen.line("Finished width", &frame.finished_width))
                            (pen.line("Finished height", &frame.finished_height))
                            (pen.line("Upright cross bars", &c.bracing.upright))
                            (pen.line("Level cross bars", &c.bracing.level))
                            (pen.line("Corner braces", &c.bracing.braces))
                            @if let Some(area) = &c.area { (pen.line("Front and edges", area)) }
                        }
                    }
                }
            }
        }
        (bracing(pen))
    }
}
