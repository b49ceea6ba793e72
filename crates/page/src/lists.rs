//! "Find a size" and "Paste a list": what is typed there is no part of the plan until it is added.
//!
//! The texts stay in their fields as long as the page is open.

use std::cell::RefCell;

use planner::find_size::{Found, find};
use planner::paste::{self, Pasted};
use planner::show::counted;
use planner::{Draft, FieldRef, Record, Table, Units};
use sheets::find::{FOUND, LIST, READ};
use wasm_bindgen::JsCast;
use web_sys::HtmlTextAreaElement;

use crate::{book, dom, form};

#[derive(Default)]
struct Lists {
    /// What is typed in the finder, and the units that its bare numbers are in.
    asked: Record,
    units: Units,
    found: Option<Found>,
    /// Whether the list in the box, or the part of it that was added, has decimal commas.
    decimal_commas: bool,
    /// What was just added.
    said: String,
}

thread_local! {
    static LISTS: RefCell<Lists> = RefCell::default();
}

/// Takes what was typed or chosen in the finder.
pub(crate) fn asked(at: FieldRef, text: &str) {
    LISTS.with_borrow_mut(|lists| {
        if text.is_empty() {
            lists.asked.remove(at.key);
        } else {
            lists.asked.insert(at.key, text.to_owned());
        }
    });
    if at.key == "by" {
        let by = text.to_owned();
        for place in dom::all("#find [data-for]") {
            let all = place.get_attribute("data-for").unwrap_or_default();
            let _ = if all.split(' ').any(|one| one == by) {
                place.remove_attribute("hidden")
            } else {
                place.set_attribute("hidden", "")
            };
        }
    }
    show_found(&book::draft());
}

/// Takes what stands in the box for a list.
pub(crate) fn typed() {
    LISTS.with_borrow_mut(|lists| {
        lists.said.clear();
        // A list that begins anew.
        lists.decimal_commas &= text_area().is_some_and(|area| !area.value().trim().is_empty());
    });
    show_pasted(&book::draft());
}

/// Shows both anew: the plan says how bare numbers are read and how much room there is.
pub(crate) fn show(draft: &Draft) {
    show_found(draft);
    show_pasted(draft);
}

fn show_found(draft: &Draft) {
    let asked = LISTS.with_borrow_mut(|lists| {
        let (from, to) = (lists.units, draft.units());
        if from != to {
            planner::draft::switch_record(Table::Find, &mut lists.asked, from, to);
            lists.units = to;
        }
        lists.asked.clone()
    });
    if asked.is_empty() && LISTS.with_borrow(|lists| lists.found.is_none()) {
        return;
    }
    form::fill_asked(&asked);
    let found = find(draft, &asked);
    let lines = found.faults.iter().map(|fault| {
        let message = fault.message(found.show).replace('\n', " ");
        format!("{}\n\n{message}\n", sheets::names::id(fault.at))
    });
    form::show_asked_messages(&lines.collect::<String>());
    dom::put(FOUND, sheets::find::found(draft, &found));
    LISTS.with_borrow_mut(|lists| lists.found = Some(found));
}

fn text_area() -> Option<HtmlTextAreaElement> {
    dom::by_id(LIST)?.dyn_into().ok()
}

/// What can be read of the box.
fn read(draft: &Draft) -> Pasted {
    let text = text_area().map_or_else(String::new, |area| area.value());
    let decimal_commas = LISTS.with_borrow(|lists| lists.decimal_commas);
    let mut pasted = paste::read_on(&text, draft.units(), decimal_commas);
    pasted.fit(draft);
    pasted
}

fn show_pasted(draft: &Draft) {
    let pasted = read(draft);
    let said = LISTS.with_borrow(|lists| lists.said.clone());
    dom::put(READ, sheets::find::pasted(&pasted, draft.show(), &said));
    if let Some(area) = text_area() {
        let _ = if pasted.left.is_empty() {
            area.remove_attribute("aria-invalid")
        } else {
            area.set_attribute("aria-invalid", "true")
        };
    }
}

/// Adds the canvases of the list as one step; returns the row of the first where no line is left.
pub(crate) fn add_pasted() -> Option<usize> {
    let mut draft = book::draft();
    let pasted = read(&draft);
    let (rows, left) = (pasted.rows.len(), pasted.left.len());
    if rows == 0 {
        return None;
    }
    pasted.add_to(&mut draft);
    let first = draft.canvases.len() - rows;
    LISTS.with_borrow_mut(|lists| {
        lists.decimal_commas = pasted.decimal_commas && left > 0;
        let added = counted(rows as u64, "row of canvases is", "rows of canvases are");
        lists.said = format!("{added} added; Undo takes them back.");
    });
    if let Some(area) = text_area() {
        area.set_value(&pasted.rest());
    }
    book::open(book::id(), draft);
    if left > 0 {
        dom::focus(LIST);
        return None;
    }
    Some(first)
}

/// Adds what was found as one step; returns the row of the first canvas.
pub(crate) fn add_found() -> Option<usize> {
    let found = LISTS.with_borrow(|lists| lists.found.clone())?;
    let mut draft = book::draft();
    let before = draft.clone();
    found.add_to(&mut draft);
    if draft == before {
        return found.into;
    }
    let first = (found.into).unwrap_or_else(|| draft.canvases.len() - found.canvases.len());
    book::open(book::id(), draft);
    Some(first)
}

/// How the n-th figure of the finder was reached.
pub(crate) fn explain(n: usize) -> bool {
    let how = LISTS.with_borrow(|lists| sheets::find::how_found(lists.found.as_ref()?, n));
    how.map(|how| dom::put("how-body", how)).is_some()
}
