//! The recipe card for size and ground.

use maud::{Markup, html};
use planner::ground::{Drying, GroundPlan, SIZE_DRYING};
use planner::size::{ReadySize, Size};
use planner::{Stage, Value};

use super::ink::Ink;

pub(super) fn size_and_ground(ink: &Ink<'_>) -> Markup {
    let plan = ink.0;
    html! {
        @if plan.size.is_some() || plan.ready_size.is_some() || plan.ground.is_some() {
            section {
                h2 { "Size and prime" }
                (ink.notes(Stage::Size))
                @if let Some(size) = &plan.size { (recipe(ink, size)) }
                @if let Some(ready) = &plan.ready_size { (ready_size(ink, ready)) }
                div.job-card { dl.one-column { (drying(ink, &SIZE_DRYING)) } }
                @if let Some(ground) = &plan.ground { (priming(ink, ground)) }
            }
        }
    }
}

fn recipe(ink: &Ink<'_>, s: &Size) -> Markup {
    let days = |n: f64| ink.0.show.value(&Value::Days(n), "");
    let ratio = |x: f64| format!("{} : 1", ink.number(x));
    html! {
        div.job-card.recipe {
            h3 { "Size for all canvases" }
            dl {
                (ink.line("Dry glue", &s.glue))
                (ink.line("The same, poured", &s.glue_poured))
                (ink.line("Water", &s.water))
                (ink.line_as("Water to glue, by weight", &s.by_weight.how, ratio(s.by_weight.value)))
                (ink.line_as("The same, by volume", &s.by_volume.how, ratio(s.by_volume.value)))
                (ink.line("Makes", &s.volume))
                (coats(ink.0.brief.size_coats.value))
                (ink.line("For", &s.area))
            }
            h3 { "In jars, four fifths full" }
            dl {
                (ink.line("Jars at once", &s.split.jars))
                @if s.split.batches.value > 1 { (ink.line("Batches", &s.split.batches)) }
                (ink.line("Dry glue in each", &s.split.glue))
                (ink.line("Water in each", &s.split.water))
            }
            h3 { "Then" }
            ol {
                li { "Soak the glue in its cold water for " (ink.known(&s.soak_hours.how, format!("{} h", ink.number(s.soak_hours.value)))) "." }
                li { "Warm it in a water bath of " (ink.figure(&s.bath)) " for "
                    (ink.known(&s.warm_minutes.how, format!("{} min", ink.number(s.warm_minutes.value))))
                    ", never above " (ink.0.show.value(&s.bath_limit.into(), "")) ". " (s.bath_reason) }
                @if s.reheats.value > 0 { li { "Warm it again for each further coat: " (ink.figure(&s.reheats)) " more in all." } }
                li { "In the cold it keeps for " (ink.known(&s.fridge_days.how, days(s.fridge_days.value))) "." }
            }
        }
    }
}

fn ready_size(ink: &Ink<'_>, s: &ReadySize) -> Markup {
    html! {
        div.job-card.recipe {
            h3 { "Size for all canvases: " (s.name) }
            dl {
                (ink.line("To have at hand", &s.volume))
                (ink.line("For", &s.area))
                (coats(ink.0.brief.size_coats.value))
            }
        }
    }
}

fn priming(ink: &Ink<'_>, g: &GroundPlan) -> Markup {
    html! {
        div.job-card.recipe {
            h3 { "Ground" }
            dl.one-column {
                (ink.line("Ground, waste included", &g.volume))
                (coats(ink.0.brief.ground_coats.value))
                @if let Some(chalk) = &g.chalk {
                    (ink.line("Warm size to mix it from", &chalk.size))
                    (ink.line("Chalk", &chalk.chalk))
                    (ink.line("The same, poured", &chalk.chalk_poured))
                }
                (drying(ink, &g.drying.between))
                (drying(ink, &g.drying.before_paint))
            }
        }
    }
}

fn coats(n: u32) -> Markup {
    html! { div { dt { "Coats" } dd { (n) } } }
}

fn drying(ink: &Ink<'_>, d: &Drying) -> Markup {
    let (least, most) = (ink.number(d.least_hours), ink.number(d.most_hours));
    html! { div { dt { "Drying of " (d.what) } dd { (least) " to " (most) " h" } } }
}
