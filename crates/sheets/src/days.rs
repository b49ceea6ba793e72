//! The diary.

use maud::{Markup, html};
use planner::show::counted;

use crate::pen::Pen;

pub(crate) fn days(pen: &Pen<'_>) -> Markup {
    let diary = &pen.plan.diary;
    let dated = diary.steps.iter().any(|s| s.date.is_some());
    html! {
        h3 { (counted(u64::from(diary.days), "day", "days")) " in all" }
        table {
            thead { tr {
                th scope="col" { "Day" }
                @if dated { th scope="col" { "Date" } }
                th scope="col" { "What" } th scope="col" { "Takes" }
            } }
            tbody {
                @for step in &diary.steps {
                    tr {
                        td.number { (pen.as_text(&step.what.name(), &step.how, step.day.to_string())) }
                        @if dated { td { @if let Some(date) = step.date { (date) } } }
                        th scope="row" { (step.what.name()) }
                        td { @if step.lasts > 0 { (counted(u64::from(step.lasts), "day", "days")) } }
                    }
                }
            }
        }
    }
}
