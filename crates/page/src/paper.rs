//! The job on paper, and the files that are saved of it.

use std::cell::Cell;

use sheets::calendar::Stamp;
use sheets::drawing::{Paper, standalone};
use sheets::picture::Picture;
use sheets::{Markup, calendar, csv, files, print};
use wasm_bindgen::JsValue;

use crate::{book, dom, keep};

/// What goes to the printer.
#[derive(Clone, Copy, Default)]
enum Job {
    /// The whole job sheet.
    #[default]
    Sheet,
    /// Full-size rods.
    Rods(Paper),
    /// Labels of the pieces.
    Labels(Paper),
}

thread_local! {
    static JOB: Cell<Job> = const { Cell::new(Job::Sheet) };
}

/// Makes what is printed, also when the browser's own menu prints.
pub(crate) fn fill() {
    let link = keep::link();
    let job = JOB.get();
    let made = book::with_plan(|plan| match job {
        Job::Sheet => print::job_sheet(plan, &link, &today()),
        Job::Rods(paper) => print::full_size_rods(plan, paper),
        Job::Labels(paper) => print::labels(plan, paper),
    });
    dom::put(print::ID, made.unwrap_or_default());
}

/// What the browser's own menu prints is the job sheet.
pub(crate) fn printed() {
    JOB.set(Job::Sheet);
}

/// Prints what a button asks for; false if it asks for something else.
pub(crate) fn print(act: &str) -> bool {
    let job = match act {
        "print" => Job::Sheet,
        "print-rods-a4" => Job::Rods(Paper::A4),
        "print-rods-letter" => Job::Rods(Paper::Letter),
        "print-labels-a4" => Job::Labels(Paper::A4),
        "print-labels-letter" => Job::Labels(Paper::Letter),
        _ => return false,
    };
    JOB.set(job);
    fill();
    if dom::window().print().is_err() {
        dom::put_text(
            "said",
            "This browser does not let the page print: use its own menu.",
        );
    }
    true
}

/// Saves the file that a button asks for; false if it asks for something else.
pub(crate) fn save(act: &str, drawing: &str) -> bool {
    let made = book::with_plan(|plan| {
        let file = |part: &str, ending: &str, kind, text| {
            Some((files::name(&plan.name, part, ending), kind, text))
        };
        match act {
            "save-cut-list" => file("cut list", "csv", "text/csv", csv::cut_list(plan)),
            "save-shopping-list" => file("to buy", "csv", "text/csv", csv::shopping_list(plan)),
            "save-diary" => {
                let text = calendar::diary(plan, now())?;
                file("diary", "ics", "text/calendar", text)
            }
            "save-plan" => file("plan", "json", "application/json", keep::plan_file()),
            "save-drawing" => {
                let picture: Markup = drawing.parse::<Picture>().ok()?.draw(plan);
                let text = standalone(&picture, 160.0);
                file(drawing, "svg", "image/svg+xml", text)
            }
            _ => None,
        }
    });
    match made.flatten() {
        Some((name, kind, text)) => keep::say_saved(keep::download(&name, kind, &text)),
        None if act == "save-diary" => dom::put_text(
            "said",
            "The diary has no dates yet: give it a first day, or the day needed.",
        ),
        None => return false,
    }
    true
}

fn now() -> Stamp {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "float to int casts saturate"
    )]
    let seconds = (js_sys::Date::now() / 1000.0) as i64;
    Stamp::from_unix_timestamp(seconds).unwrap_or(Stamp::UNIX_EPOCH)
}

/// The day where the maker is, as the form writes days.
fn today() -> String {
    let now = js_sys::Date::new(&JsValue::from_f64(js_sys::Date::now()));
    let (year, month, day) = (now.get_full_year(), now.get_month() + 1, now.get_date());
    format!("{year}-{month:02}-{day:02}")
}
