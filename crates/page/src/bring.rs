//! What is brought to the page from outside: a link, a plan saved into this file, a plan file.
//!
//! Nothing that is here is lost to it: what is brought is a plan of its own, and what was open is
//! a step back. What is wrong is said, and what could be read of it is offered.

use std::cell::RefCell;

use planner::{Draft, Fault, Tree};
use wasm_bindgen::JsCast;
use web_sys::{DragEvent, Event, File, HtmlInputElement};

use crate::link::MOST_BYTES;
use crate::store::{self, PlanId};
use crate::{book, dom, example, keep, link, salvage};

/// A page with a plan inside is longer than a plan (our choice; the page itself has a tenth).
const MOST_PAGE_BYTES: usize = 8 * 1024 * 1024;
/// Before and after the plan in a page that was saved as one file.
const IN_PAGE: (&str, &str) = (
    r#"<script type="application/json" id="battenbook-plan">"#,
    "</script>",
);

thread_local! {
    /// What could be read of something damaged, until the maker asks for it.
    static REST: RefCell<Option<Draft>> = const { RefCell::new(None) };
}

/// The plan to begin with.
pub(crate) struct First {
    pub(crate) id: PlanId,
    pub(crate) draft: Draft,
}

/// Finds the plan to begin with: of the address, of the file, of the last visit, or the example.
pub(crate) fn first() -> First {
    let fragment = keep::fragment();
    let brought = match link::read(&fragment) {
        Ok(None) => in_file(),
        Ok(Some((draft, faults))) => {
            if let Some(id) = own(&fragment) {
                return id;
            }
            name("The link", &faults);
            Some(draft)
        }
        Err(error) => {
            refuse(
                &format!("The link could not be opened: {error}."),
                link::rest(&fragment),
            );
            in_file()
        }
    };
    let last = store::last().and_then(|id| Some((id, store::read(id)?)));
    if let Some(draft) = brought {
        let id = match kept_already(&draft) {
            Some(id) => id,
            None => {
                if let Some((_, last)) = last {
                    dom::put_text("before-text", &before(&keep::name(&last.draft)));
                    dom::show("before", true);
                }
                PlanId::fresh()
            }
        };
        return First { id, draft };
    }
    if let Some((id, kept)) = last {
        store::know(id, kept.stamp);
        name("The plan of your last visit", &kept.faults);
        let draft = kept.draft;
        return First { id, draft };
    }
    if store::last().is_some_and(|id| store::raw(id).is_some()) {
        dom::say(sheets::shelf::unreadable());
    }
    First {
        id: PlanId::fresh(),
        draft: example::example(),
    }
}

/// The plan of this tab, if it wrote this address itself: the store may have it newer.
fn own(fragment: &str) -> Option<First> {
    let (id, link) = store::of_this_tab()?;
    if link != fragment {
        return None;
    }
    let kept = store::read(id)?;
    store::know(id, kept.stamp);
    Some(First {
        id,
        draft: kept.draft,
    })
}

/// The plan of this browser that is the same as one that is brought.
fn kept_already(draft: &Draft) -> Option<PlanId> {
    let all = store::all();
    let same = all
        .iter()
        .find_map(|(id, kept)| Some((*id, kept.as_ref().filter(|k| k.draft == *draft)?.stamp)));
    let (id, stamp) = same?;
    store::know(id, stamp);
    Some(id)
}

fn before(name: &str) -> String {
    match name {
        "" => "Your plan of the last visit is still kept in this browser.".to_owned(),
        name => format!("Your plan “{name}” is still kept in this browser."),
    }
}

/// Opens the plan of the last visit in place of the one that was brought.
pub(crate) fn bring_back() {
    if let Some(id) = store::last()
        && let Some(kept) = store::read(id)
    {
        store::know(id, kept.stamp);
        book::open(id, kept.draft);
    }
    dom::show("before", false);
}

/// A link typed or pasted into the address of the open page.
pub(crate) fn address_changed() {
    let fragment = keep::fragment();
    if keep::is_written(&fragment) {
        return;
    }
    keep::read(fragment.clone());
    match link::read(&fragment) {
        Ok(Some((draft, faults))) => {
            let id = kept_already(&draft).unwrap_or_else(PlanId::fresh);
            keep::opened(id, &draft);
            name("The link", &faults);
            book::open(id, draft);
        }
        Ok(None) => {}
        Err(error) => {
            let said = format!(
                "The link could not be opened: {error}. The plan that was open is still here."
            );
            refuse(&said, link::rest(&fragment));
            keep::soon();
        }
    }
}

/// Opens a plan that the maker chose, and names what of it is unknown.
fn open(draft: Draft, what: &str, faults: &[Fault]) {
    let id = kept_already(&draft).unwrap_or_else(PlanId::fresh);
    name(what, faults);
    book::open(id, draft);
}

/// A file was chosen.
pub(crate) fn chosen(input: &HtmlInputElement) {
    if let Some(file) = input.files().and_then(|files| files.get(0)) {
        take(file);
    }
    // So that the same file can be chosen again.
    input.set_value("");
}

/// Something is dragged over the page: a file may be let go.
pub(crate) fn dragged(event: Event) {
    let Some(drag) = event.dyn_ref::<DragEvent>() else {
        return;
    };
    let Some(data) = drag.data_transfer() else {
        return;
    };
    let types = data.types();
    let files = (0..types.length()).any(|i| types.get(i) == "Files");
    let over = files && event.type_() == "dragover";
    if files && event.type_() != "dragleave" {
        // Without this the browser would leave the page for the file.
        event.prevent_default();
    }
    if let Some(root) = dom::document().document_element() {
        let _ = root.toggle_attribute_with_force("data-dropping", over);
    }
    if event.type_() == "drop"
        && let Some(file) = data.files().and_then(|files| files.get(0))
    {
        take(file);
    }
}

fn take(file: File) {
    let name = file.name();
    if file.size() > MOST_PAGE_BYTES as f64 {
        refuse(&too_large(&name), None);
        return;
    }
    let unreadable = format!("“{name}” could not be read by this browser.");
    dom::then(
        &file.text(),
        move |text| read(&name, &text.as_string().unwrap_or_default()),
        move |_| refuse(&unreadable, None),
    );
}

fn too_large(name: &str) -> String {
    format!(
        "“{name}” is too large: a plan file has at most {} KB, a page with a plan inside at most {} MB.",
        MOST_BYTES / 1024,
        MOST_PAGE_BYTES / 1024 / 1024
    )
}

/// Opens the plan in a file's text: a plan file, or a page that was saved as one file.
fn read(file: &str, text: &str) {
    dom::close_dialog("shelf");
    let json = match text.split_once(IN_PAGE.0) {
        Some((_, rest)) => rest.split(IN_PAGE.1).next().unwrap_or_default(),
        None => text,
    };
    let json = json.trim_start_matches('\u{feff}').trim();
    if json.len() > MOST_BYTES {
        refuse(&too_large(file), None);
        return;
    }
    if !json.starts_with('{') {
        let said = format!(
            "“{file}” holds no plan. This page opens plan files (JSON) and pages that were saved as one file with a plan inside."
        );
        refuse(&said, None);
        return;
    }
    match serde_json::from_str::<Tree>(json) {
        Ok(tree) => {
            let (draft, faults) = Draft::from_tree(&tree);
            if draft == Draft::default() && !faults.is_empty() {
                refuse(&format!("“{file}” holds nothing that a plan has."), None);
                return;
            }
            open(draft, &format!("“{file}”"), &faults);
            dom::put_text("said", &format!("“{file}” is open."));
        }
        Err(error) => {
            let said = format!(
                "“{file}” could not be opened: it is damaged or breaks off at line {}. The plan that was open is still here.",
                error.line()
            );
            refuse(
                &said,
                salvage::tree(json).map(|tree| Draft::from_tree(&tree)),
            );
        }
    }
}

/// Says what is wrong, and offers what could be read.
fn refuse(said: &str, rest: Option<(Draft, Vec<Fault>)>) {
    let rest = rest
        .map(|(draft, _)| draft)
        .filter(|d| *d != Draft::default());
    let left = rest.as_ref().map(|draft| draft.canvases.len());
    dom::say(sheets::shelf::refused_plan(said, left));
    REST.replace(rest);
}

/// Opens what could be read of something damaged.
pub(crate) fn open_rest() {
    if let Some(draft) = REST.take() {
        dom::show("notice", false);
        open(draft, "", &[]);
        dom::put_text(
            "said",
            "This is what could be read: check every figure of it.",
        );
    }
}

/// The plan that was saved into this file.
fn in_file() -> Option<Draft> {
    let text = keep::boot_text("plan");
    if text.is_empty() {
        return None;
    }
    match serde_json::from_str::<Tree>(&text) {
        Ok(tree) => {
            let (draft, faults) = Draft::from_tree(&tree);
            name("This file", &faults);
            Some(draft)
        }
        Err(_) => {
            refuse(
                "The plan inside this file is damaged.",
                salvage::tree(&text).map(|tree| Draft::from_tree(&tree)),
            );
            None
        }
    }
}

/// Names what a plan from outside holds that this page does not know.
fn name(what: &str, faults: &[Fault]) {
    if !faults.is_empty() {
        dom::say(sheets::faults::unread(
            &format!("{what} holds something that this page does not know; the rest is open."),
            faults,
        ));
    }
}
