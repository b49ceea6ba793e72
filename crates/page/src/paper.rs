//! The job on paper, and the files that are saved of it.

use std::cell::Cell;

use sheets::{Markup, files, print};
use wasm_bindgen::JsValue;

use crate::{book, dom, drawings, keep};

thread_local! {
    /// What a button asked to print lies ready.
    static READY: Cell<bool> = const { Cell::new(false) };
}

/// Makes the job sheet where the browser's own menu prints; that can't wait for a worker.
pub(crate) fn fill() {
    if !READY.get() {
        let (link, day) = (keep::link(), today());
        let made = book::with_plan(|plan| print::job_sheet(plan, &link, &day));
        lay(made, &day);
    }
}

/// Lays what is to be printed where the style sheet looks for it.
fn lay(made: Markup, day: &str) {
    dom::put(print::ID, made);
    let name = keep::name(&book::draft());
    dom::style_root("--sheet-name", &print::on_every_page(&name, day));
}

/// Forgets what lies ready: it is printed, or the plan has changed since.
pub(crate) fn forget() {
    READY.set(false);
}

/// Prints what a button asks for; false if it asks for something else.
pub(crate) fn print(act: &str) -> bool {
    let (link, day) = (keep::link(), today());
    let words: &[&str] = match act {
        "print" => &["print", "sheet", &link, &day],
        "print-rods-a4" => &["print", "rods", "a4"],
        "print-rods-letter" => &["print", "rods", "letter"],
        "print-labels-a4" => &["print", "labels", "a4"],
        "print-labels-letter" => &["print", "labels", "letter"],
        "print-kits" => &["print", "kits", &link, &day],
        _ => return false,
    };
    let printed_on = day.clone();
    book::ask_text(words, move |made| {
        lay(dom::markup(made), &printed_on);
        READY.set(true);
        if dom::window().print().is_err() {
            READY.set(false);
            dom::put_text(
                "said",
                "This browser does not let the page print: use its own menu.",
            );
        }
    });
    true
}

/// Saves the file that a button asks for; false if it asks for something else.
pub(crate) fn save(act: &str, drawing: &str) -> bool {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "float to int casts saturate"
    )]
    let seconds = ((js_sys::Date::now() / 1000.0) as i64).to_string();
    let step = drawings::step_of(drawing).to_string();
    let csv = ("csv", "text/csv");
    let (words, part, (ending, kind)): (&[&str], _, _) = match act {
        "save-cut-list" => (&["cut-list-file"], "cut list", csv),
        "save-shopping-list" => (&["shopping-list-file"], "to buy", csv),
        "save-shares" => (&["shares-file"], "shares", csv),
        "save-diary" => (&["diary-file", &seconds], "diary", ("ics", "text/calendar")),
        "save-drawing" => (
            &["drawing-file", drawing, &step],
            drawing,
            ("svg", "image/svg+xml"),
        ),
        "save-plan" => {
            let name = file_name("plan", "json");
            keep::say_saved(keep::download(
                &name,
                "application/json",
                &keep::plan_file(),
            ));
            return true;
        }
        _ => return false,
    };
    let name = file_name(part, ending);
    let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    book::once_shown(move || {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let dated = words[0] == "diary-file";
        book::ask(&words, move |mut made| match made.pop() {
            Some(text) => keep::say_saved(keep::download(&name, kind, &text)),
            None if dated => dom::put_text(
                "said",
                "The diary has no dates yet: give it a first day, or the day needed.",
            ),
            None => {}
        });
    });
    true
}

fn file_name(part: &str, ending: &str) -> String {
    let draft = book::draft();
    let name = draft.settings.get("name").map_or("", |name| name.trim());
    files::name(name, part, ending)
}

/// The day where the maker is, as the form writes days.
fn today() -> String {
    let now = js_sys::Date::new(&JsValue::from_f64(js_sys::Date::now()));
    let (year, month, day) = (now.get_full_year(), now.get_month() + 1, now.get_date());
    format!("{year}-{month:02}-{day:02}")
}
