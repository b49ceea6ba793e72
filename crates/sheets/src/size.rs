//! The recipe for glue size.

use maud::{Markup, html};
use planner::Value;
use planner::ground::{Drying, GroundPlan};
use planner::size::{Size, Standing};

use crate::pen::Pen;
use crate::sheet::nothing_yet;

pub(crate) fn size(pen: &Pen<'_>) -> Markup {
    html! {
        @if pen.plan.size.is_none() && pen.plan.ready_size.is_none() && pen.plan.ground.is_none() { (nothing_yet()) }
        @if let Some(size) = &pen.plan.size { (glue(pen, size)) }
        @if let Some(ready) = &pen.plan.ready_size {
            h3 { (ready.name) }
            dl.figures {
                (pen.line("To have at hand", &ready.volume))
                (pen.line("Area to size", &ready.area))
                (pen.line("Dry film", &ready.film))
            }
        }
        @if let Some(ground) = &pen.plan.ground { (ground_of(pen, ground)) }
    }
}

const fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Stronger => "stronger than any of them",
        Standing::Within => "among them",
        Standing::Weaker => "weaker than any of them",
    }
}

fn ground_of<'a>(pen: &Pen<'a>, ground: &'a GroundPlan) -> Markup {
    let hours = |d: &Drying| {
        format!(
            "{} to {} hours",
            pen.plan.show.value(&d.least_hours.into(), ""),
            pen.plan.show.value(&d.most_hours.into(), "")
        )
    };
    html! {
        h3 { "Ground" }
        dl.figures {
            (pen.line("Ground to have at hand", &ground.volume))
            (pen.line("Dry ground", &ground.dry))
            @if let Some(chalk) = &ground.chalk {
                (pen.line("Size in it, of the liquid size above", &chalk.size))
                (pen.line("Chalk in it", &chalk.chalk))
                (pen.line("Chalk, poured", &chalk.chalk_poured))
                (pen.line("Poured chalk to one of size", &chalk.by_volume))
            }
        }
        p { "Between coats: " (hours(&ground.drying.between)) " (" (ground.drying.between.source) "). Before paint: "
            (hours(&ground.drying.before_paint)) " (" (ground.drying.before_paint.source) ")." }
    }
}

fn glue<'a>(pen: &Pen<'a>, s: &'a Size) -> Markup {
    let plain = |x: f64, unit: &str| format!("{}{unit}", pen.plan.show.value(&x.into(), ""));
    let days = |x: f64| pen.plan.show.value(&Value::Days(x), "");
    html! {
        h3 { "For all canvases" }
        dl.figures {
            (pen.line("Dry glue", &s.glue))
            (pen.line("The same, poured", &s.glue_poured))
            (pen.line("Water", &s.water))
            (pen.line("Liquid size", &s.volume))
            (pen.line("Jars", &s.split.jars))
            (pen.line("In each jar: liquid", &s.split.liquid))
            (pen.line("In each jar: water", &s.split.water))
            (pen.line("In each jar: dry glue", &s.split.glue))
            (pen.line("The same, poured", &s.split.glue_poured))
            @if s.split.batches.value > 1 { (pen.line("Batches", &s.split.batches)) }
            (pen.line_as("Ratio by weight", &s.by_weight.how, plain(s.by_weight.value, " : 1")))
            (pen.line_as("The same by volume", &s.by_volume.how, plain(s.by_volume.value, " : 1")))
            (pen.line("Glue in the size", &s.strength))
            (pen.line("Area to size", &s.area))
            (pen.line_as("Soak", &s.soak_hours.how, plain(s.soak_hours.value, " h")))
            (pen.line_as("Warm in a water bath", &s.warm_minutes.how, plain(s.warm_minutes.value, " min")))
            (pen.line("Bath", &s.bath))
            (pen.line("Reheats at most", &s.reheats))
            (pen.line_as("Keeps in the fridge", &s.fridge_days.how, days(s.fridge_days.value)))
            (pen.line_as("From the first use to the last", &s.kept_days.how, days(s.kept_days.value)))
            (pen.line("Dry film", &s.film))
            (pen.line("Its thickness", &s.film_thickness))
            (pen.line("Tightens the cloth by", &s.tightening))
        }
        p { "Published canvas recipes run from " (plain(s.published[0], " : 1")) " to " (plain(s.published[1], " : 1"))
            " by weight: this one is " (standing(s.standing)) "." }
        p { "Not above " (pen.plan.show.value(&s.bath_limit.into(), "")) ": " (s.bath_reason) }
    }
}
