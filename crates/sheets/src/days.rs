//! The diary.

use maud::{Markup, html};
use planner::bench_days::{BenchDay, Place};
use planner::diary::said_day;
use planner::plan::CanvasPlan;
use planner::show::counted;
use planner::{Plan, Value};

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
                        @if dated { td { @if let Some(date) = step.date { (said_day(date)) } } }
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
        (at_the_bench(pen))
    }
}

/// Which canvas lies in which place on which day, where there is more than one.
fn at_the_bench(pen: &Pen<'_>) -> Markup {
    let plan = pen.plan;
    let bench = &plan.diary.bench;
    let dated = bench.iter().any(|d| d.date.is_some());
    let alone = plan.canvases.iter().map(|c| c.count).sum::<u32>() < 2;
    html! {
        @if !alone && !bench.is_empty() {
            h3 id="bench-title" { "At the bench" }
            table.bench-days aria-labelledby="bench-title" {
                thead { tr {
                    th scope="col" { "Day" }
                    @if dated { th scope="col" { "Date" } }
                    th scope="col" { "Work" } th scope="col" { "Canvases" }
                } }
                tbody {
                    @for day in bench {
                        tr {
                            td.number { (days_of(day)) }
                            @if dated { td { @if let Some(date) = day.date { (said_day(date)) } } }
                            th scope="row" {
                                @match &day.hours {
                                    Some(hours) => { "Stretch, " (pen.as_text("Stapling", &hours.how, plan.show.value(&Value::Hours(hours.value), ""))) }
                                    None => "Glue, clamp flat",
                                }
                            }
                            td { (names(plan, day)) }
                        }
                    }
                }
            }
        }
    }
}

/// `3`, or `3 to 5`.
pub(crate) fn days_of(day: &BenchDay) -> String {
    if day.until > day.day {
        format!("{} to {}", day.day, day.until)
    } else {
        day.day.to_string()
    }
}

/// The canvases, those that lie clamped by the number of their place.
fn names(plan: &Plan, day: &BenchDay) -> Markup {
    let name = |place: &Place| {
        plan.canvases
            .get(place.canvas)
            .map(|c| named(c, place.which))
    };
    html! {
        @if day.hours.is_some() {
            @for (i, place) in day.places.iter().enumerate() {
                @if i > 0 { ", " }
                (name(place).unwrap_or_default())
            }
        } @else {
            ol.places { @for place in &day.places { li { (name(place).unwrap_or_default()) } } }
        }
    }
}

/// A canvas's name, with its number where there are several alike.
pub(crate) fn named(canvas: &CanvasPlan, which: u32) -> String {
    match canvas.count {
        1 => canvas.name.clone(),
        n => format!("{} ({which} of {n})", canvas.name),
    }
}
