//! The diary.

use maud::{Markup, html};
use planner::show::counted;

use crate::pen::Pen;
use crate::picture::Picture;

pub(crate) fn days(pen: &Pen<'_>) -> Markup {
    let diary = &pen.plan.diary;
    let dated = diary.steps.iter().any(|s| s.date.is_some());
    html! {
        @if let Some(late) = diary.late {
            p.error { "Too late by " (counted(u64::from(late.days), "day", "days")) ": the latest start was " (late.latest_start) "." }
        }
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
                        th scope="row" {
                            (step.what.name())
                            @if let Some(batch) = step.batch { ", batch " (batch.number) " of " (batch.of) }
                        }
                        td { @if step.lasts > 0 { (counted(u64::from(step.lasts), "day", "days")) } }
                    }
                }
            }
        }
        (Picture::Diary.fold("The diary, drawn", false))
    }
}
