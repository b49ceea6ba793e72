//! The recipe for glue size.

use maud::{Markup, html};

use crate::pen::Pen;
use crate::sheet::nothing_yet;

pub(crate) fn size(pen: &Pen<'_>) -> Markup {
    let Some(s) = &pen.plan.size else {
        return nothing_yet();
    };
    let plain = |x: f64, unit: &str| format!("{}{unit}", pen.plan.show.value(&x.into(), ""));
    html! {
        h3 { "For all canvases" }
        dl.figures {
            (pen.line("Dry glue", &s.glue))
            (pen.line("The same, poured", &s.glue_poured))
            (pen.line("Water", &s.water))
            (pen.line("Liquid size", &s.volume))
            (pen.line("Jars", &s.jars))
            (pen.line_as("Ratio by weight", &s.by_weight.how, plain(s.by_weight.value, " : 1")))
            (pen.line_as("The same by volume", &s.by_volume.how, plain(s.by_volume.value, " : 1")))
            (pen.line("Glue in the size", &s.strength))
            (pen.line("Area to size", &s.area))
            (pen.line_as("Soak", &s.soak_hours.how, plain(s.soak_hours.value, " h")))
            (pen.line_as("Warm in a water bath", &s.warm_minutes.how, plain(s.warm_minutes.value, " min")))
        }
    }
}
