//! The diary as bars.

use maud::Markup;
use planner::diary::{DiaryStep, Step, said_day};
use planner::plan::Plan;

use super::frame::nothing_yet;
use super::pen::rectangle;
use super::sheet::{Anchor, EDGE, LINE, Layout, Look, Sheet, TEXT};
use super::text::wrapped;

/// Side of a box to tick.
const TICK: f64 = 4.4;
/// As many steps as a printed page shows without being made smaller.
const A_PAGE: usize = 14;

/// The steps of the diary as a bar chart: the day (and date) and name of each, its bar below.
#[must_use]
pub fn diary(plan: &Plan, layout: Layout) -> Markup {
    let steps = &plan.diary.steps;
    if steps.is_empty() {
        return nothing_yet(layout, "Diary");
    }
    drawn(plan, steps, layout, 0.0)
}

/// The same for paper: a box to tick before each step, and as many drawings as it takes for each
/// to fit a page.
#[must_use]
pub fn diary_to_tick(plan: &Plan) -> Vec<Markup> {
    let all = &plan.diary.steps;
    let pages = all.len().div_ceil(A_PAGE).max(1);
    all.chunks(all.len().div_ceil(pages).max(1))
        .map(|steps| drawn(plan, steps, Layout::Wide, TICK + 2.0))
        .collect()
}

/// Steps as bars; `indent` leaves room for a box before each.
fn drawn(plan: &Plan, steps: &[DiaryStep], layout: Layout, indent: f64) -> Markup {
    let mut sheet = Sheet::new(
        layout,
        "Diary",
        format!(
            "The steps from the first day to the day it can be used, {} days later.",
            plan.diary.days
        ),
    );
    let (left, right) = (EDGE + indent, layout.width() - EDGE);
    let scale = (right - left) / f64::from(plan.diary.days + 1);
    let mut y = 0.0;
    for step in steps {
        let when = match step.date {
            Some(date) => format!("day {} · {}", step.day, said_day(date)),
            None => format!("day {}", step.day),
        };
        let text = format!("{when} · {}", step.title());
        if indent > 0.0 {
            let top = y + LINE - TICK / 2.0;
            let tick = rectangle((EDGE, top), (EDGE + TICK, top + TICK));
            sheet.area(&tick, Look::Edge);
        }
        for line in wrapped(&text, TEXT, right - left) {
            y += LINE;
            sheet.text(&line, (left, y), Anchor::Start);
        }
        let from = left + f64::from(step.day - 1) * scale;
        // A step within the day is drawn as that day.
        let lasts = f64::from(step.lasts.max(1));
        let waits = step.lasts > 0 && !matches!(step.what, Step::CutAndGlue | Step::Stretch);
        let bar = rectangle((from, y + 3.4), (from + lasts * scale, y + 6.8));
        sheet.line(&[(left, y + 5.1), (right, y + 5.1)], Look::Dim);
        sheet.area(&bar, if waits { Look::Wood } else { Look::Over });
        if waits {
            sheet.hatched(&bar, 2.4);
        }
        y += 8.4;
    }
    sheet.note(None, "Hatched: waiting. Plain: work on that day.");
    sheet.finish()
}
