//! The plans of this browser: the list, and opening, naming, copying and deleting them.

use std::cell::RefCell;

use planner::{Draft, FieldRef, Table};
use sheets::shelf::Shelved;
use wasm_bindgen::JsValue;
use web_sys::{Element, HtmlInputElement};

use crate::store::{self, PlanId};
use crate::{book, dom, example, keep};

/// Letters of the longest name that a copy gets (the name's field takes 80).
const LONGEST_NAME: usize = 70;

thread_local! {
    /// The plan that was deleted last, as it lay in the store, until another is deleted or the
    /// page is left.
    static GONE: RefCell<Option<(PlanId, String, String)>> = const { RefCell::new(None) };
}

/// Shows the list.
pub(crate) fn show() {
    keep::if_due();
    list();
    dom::open_dialog("shelf");
}

/// Writes the list anew if it is open and no name in it is being typed.
pub(crate) fn refresh() {
    let typing = dom::document()
        .active_element()
        .is_some_and(|e| e.class_list().contains("plan-label"));
    if !typing && dom::dialog("shelf").is_some_and(|dialog| dialog.open()) {
        list();
    }
}

fn list() {
    let open = book::id();
    let shelved: Vec<Shelved> = store::all()
        .into_iter()
        .map(|(id, kept)| Shelved {
            id: id.to_string(),
            name: kept
                .as_ref()
                .map_or_else(String::new, |k| keep::name(&k.draft)),
            canvases: kept.as_ref().map(|k| k.draft.rows(Table::Canvases).len()),
            when: kept.map_or_else(String::new, |k| local(k.when)),
            open: id == open,
        })
        .collect();
    GONE.with_borrow(|gone| {
        let gone = gone.as_ref().map(|(_, name, _)| name.as_str());
        dom::put("shelf-body", sheets::shelf::list(&shelved, gone));
    });
}

/// Day and time as this device writes them.
fn local(when: f64) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(when));
    String::from(date.to_locale_string("default", &JsValue::UNDEFINED))
}

/// Does what a button of the list asks for; false if it is not one of the list.
pub(crate) fn act(act: &str, button: &Element) -> bool {
    let id = || -> Option<PlanId> { button.get_attribute("data-plan")?.parse().ok() };
    match act {
        "plans" => show(),
        "plan-open" => {
            if let Some(id) = id() {
                open(id);
            }
        }
        "plan-copy" => {
            if let Some(id) = id() {
                copy(id);
            }
        }
        "plan-delete" => {
            if let Some(id) = id() {
                delete(id);
            }
        }
        "plan-text" => {
            if let Some(text) = id().and_then(store::raw) {
                let saved = keep::download("battenbook-unread-plan.txt", "text/plain", &text);
                keep::say_saved(saved);
            }
        }
        "plan-back" => back(),
        "take-other" => keep::take_other(),
        "part" => keep::part_now(),
        _ => return false,
    }
    true
}

/// Opens a plan of the list; the one that was open stays kept, and is a step back.
fn open(id: PlanId) {
    let Some(kept) = store::read(id) else { return };
    store::know(id, kept.stamp);
    keep::opened(id, &kept.draft);
    book::open(id, kept.draft);
    dom::close_dialog("shelf");
}

/// Gives a plan of the list another name.
pub(crate) fn rename(input: &HtmlInputElement) {
    let Some(id) = input
        .get_attribute("data-plan")
        .and_then(|id| id.parse().ok())
    else {
        return;
    };
    let name = input.value();
    if id == book::id() {
        book::rename(&name);
    } else if let Some(mut kept) = store::read(id) {
        kept.draft.set(FieldRef::setting("name"), &name);
        put(id, &kept.draft);
    }
}

fn copy(id: PlanId) {
    let Some(mut kept) = store::read(id) else {
        return;
    };
    let name = another_name(&kept.draft, "copy");
    kept.draft.set(FieldRef::setting("name"), &name);
    put(PlanId::fresh(), &kept.draft);
    list();
}

/// Keeps a plan that is not the open one.
fn put(id: PlanId, draft: &Draft) {
    if let Err(why) = store::write(id, draft) {
        keep::tell_refusal(why);
    }
}

/// The name of a plan with a word more, so that the two can be told apart.
pub(crate) fn another_name(draft: &Draft, word: &str) -> String {
    let name = keep::name(draft);
    let name = if name.is_empty() { "Plan" } else { &name };
    let short: String = name.chars().take(LONGEST_NAME).collect();
    format!("{short} {word}")
}

/// Deletes a plan of the list; it can be brought back until another is deleted.
fn delete(id: PlanId) {
    let Some(text) = store::raw(id) else { return };
    let name = store::read(id).map_or_else(String::new, |kept| keep::name(&kept.draft));
    store::remove(id);
    if id == book::id() {
        // The one kept last before it takes its place.
        let next = store::all()
            .into_iter()
            .find_map(|(id, kept)| Some((id, kept?)));
        let (id, draft) = match next {
            Some((id, kept)) => {
                store::know(id, kept.stamp);
                (id, kept.draft)
            }
            None => (PlanId::fresh(), example::empty()),
        };
        keep::opened(id, &draft);
        book::open(id, draft);
        store::set_last(id);
    }
    GONE.replace(Some((id, name, text)));
    list();
    dom::focus("plan-back");
}

/// Brings back the plan that was deleted last.
fn back() {
    let Some((id, _, text)) = GONE.take() else {
        return;
    };
    if let Err(why) = store::write_raw(id, &text) {
        keep::tell_refusal(why);
    }
    list();
    dom::focus(&format!("plan-{id}"));
}
