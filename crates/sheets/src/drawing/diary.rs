//! The diary as bars.

use maud::Markup;
use planner::plan::Plan;

use super::frame::nothing_yet;
use super::pen::rectangle;
use super::sheet::{Anchor, EDGE, LINE, Look, Sheet, TEXT, WIDTH};
use super::text::wrapped;

/// The steps of the diary as a bar chart: the day (and date) and name of each, its bar below.
#[must_use]
pub fn diary(plan: &Plan) -> Markup {
    let steps = &plan.diary.steps;
    if steps.is_empty() {
        return nothing_yet("Diary");
    }
    let mut sheet = Sheet::new(
        "Diary",
        format!(
            "The steps from the first day to the day it can be used, {} days later.",
            plan.diary.days
        ),
    );
    let days = f64::from(plan.diary.days + 1);
    let scale = (WIDTH - 2.0 * EDGE) / days;
    let mut y = 0.0;
    for step in steps {
        let when = match step.date {
            Some(date) => format!("day {} · {date}", step.day),
            None => format!("day {}", step.day),
        };
        let text = format!("{when} · {}", step.what.name());
        for line in wrapped(&text, TEXT, WIDTH - 2.0 * EDGE) {
            y += LINE;
            sheet.text(&line, (EDGE, y), Anchor::Start);
        }
        let from = EDGE + f64::from(step.day - 1) * scale;
        // A step within the day is drawn as that day.
        let lasts = f64::from(step.lasts.max(1));
        let look = if step.lasts > 0 {
            Look::Wood
        } else {
            Look::Over
        };
        let bar = rectangle((from, y + 3.4), (from + lasts * scale, y + 6.8));
        sheet.line(&[(EDGE, y + 5.1), (WIDTH - EDGE, y + 5.1)], Look::Dim);
        sheet.area(&bar, look);
        if step.lasts > 0 {
            sheet.hatched(&bar, 2.4);
        }
        y += 8.4;
    }
    sheet.note(None, "Hatched: waiting. Plain: work on that day.");
    sheet.finish()
}
