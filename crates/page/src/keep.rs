//! Keeping and sharing a plan: the link, this browser's own store, one file with all inside.

use std::cell::{Cell, RefCell};

use planner::{Draft, Fault, Tree};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Storage, Url};

use crate::{book, dom, example, link};

/// Where the last plan lies in the browser's store.
const LAST: &str = "battenbook.plan";
/// Where the plan lies that was there before a link or a file was opened.
const BEFORE: &str = "battenbook.before";
/// How long after the last change the plan is kept, in milliseconds; browsers refuse to change
/// the address more than about a hundred times in half a minute.
const PAUSE: i32 = 400;

thread_local! {
    static DUE: Cell<Option<i32>> = const { Cell::new(None) };
    /// The link of the last draft that was planned, for the message after a fault of the program.
    static LINK: RefCell<String> = RefCell::default();
    /// The address's fragment as it was last written or read.
    static WRITTEN: RefCell<String> = RefCell::default();
}

/// Opens the plan to begin with: of the link, of the file, of the last visit, or the example.
pub(crate) fn begin() {
    let fragment = fragment();
    let mut notice = None;
    let found = match link::read(&fragment) {
        Ok(Some((draft, faults))) => {
            notice = named("The link", &faults);
            Some((draft, true))
        }
        Ok(None) => None,
        Err(error) => {
            notice = Some(sheets::faults::unread(
                &format!(
                    "The link could not be opened: {error}. Ask for it again, or go on with this plan."
                ),
                &[],
            ));
            None
        }
    };
    let found = found.or_else(|| {
        let (draft, faults) = in_file()?;
        if notice.is_none() {
            notice = named("This file", &faults);
        }
        Some((draft, true))
    });
    let stored = stored(LAST);
    let (draft, from_outside) = found
        .or_else(|| stored.clone().map(|draft| (draft, false)))
        .unwrap_or_else(|| (example::example(), false));
    if from_outside
        && let Some(stored) = stored
        && stored != draft
    {
        // The plan of the last visit must not be lost to one that somebody sent.
        store(BEFORE, &stored);
        dom::show("before", true);
    }
    WRITTEN.replace(fragment);
    if let Some(notice) = notice {
        say(notice);
    }
    if store_is_refused() {
        dom::show("no-store", true);
    }
    LINK.replace(link::write(&draft));
    book::begin(draft);
}

/// A link typed or pasted into the address of the open page.
pub(crate) fn address_changed() {
    let fragment = fragment();
    if WRITTEN.with_borrow(|w| *w == fragment) {
        return;
    }
    match link::read(&fragment) {
        Ok(Some((draft, faults))) => {
            WRITTEN.replace(fragment);
            if let Some(notice) = named("The link", &faults) {
                say(notice);
            }
            book::open(draft);
        }
        Ok(None) => {}
        Err(error) => {
            say(sheets::faults::unread(
                &format!(
                    "The link could not be opened: {error}. The plan that was open is still here."
                ),
                &[],
            ));
            soon();
        }
    }
}

/// Keeps the plan once the hand rests.
pub(crate) fn soon() {
    LINK.replace(link::write(&book::draft()));
    dom::never(DUE.take());
    DUE.set(dom::later(PAUSE, now));
}

/// Keeps the plan at once, for example when the page is left.
pub(crate) fn if_due() {
    if let Some(timer) = DUE.take() {
        dom::never(Some(timer));
        now();
    }
}

fn now() {
    DUE.set(None);
    let draft = book::draft();
    if !store(LAST, &draft) {
        dom::show("no-store", true);
    }
    let link = link::write(&draft);
    let history = dom::window().history();
    let written = history.is_ok_and(|history| {
        history
            .replace_state_with_url(&JsValue::NULL, "", Some(&link))
            .is_ok()
    });
    if written {
        WRITTEN.replace(link);
    }
}

/// The address of this page with the open plan in it; works after a fault of the program too.
pub(crate) fn link() -> String {
    let href = dom::window().location().href().unwrap_or_default();
    let page = href.split('#').next().unwrap_or_default();
    format!(
        "{page}{}",
        LINK.with(|link| link
            .try_borrow()
            .map_or_else(|_| String::new(), |l| l.clone()))
    )
}

/// Copies the link; where the browser refuses, shows it selected.
pub(crate) fn copy_link() {
    let text = link();
    // Absent where the page is neither from disk nor from a safe address.
    let clipboard = js_sys::Reflect::get(&dom::window().navigator(), &"clipboard".into());
    let Some(clipboard) = clipboard.ok().filter(|c| !c.is_undefined()) else {
        offer_link(&text);
        return;
    };
    let clipboard: web_sys::Clipboard = clipboard.unchecked_into();
    let copied = Closure::once_into_js(|_: JsValue| dom::put_text("said", "Link copied."));
    let refused = Closure::once_into_js({
        let text = text.clone();
        move |_: JsValue| offer_link(&text)
    });
    let promise = clipboard.write_text(&text);
    let then = js_sys::Reflect::get(&promise, &"then".into());
    if let Ok(then) = then
        && let Ok(then) = then.dyn_into::<js_sys::Function>()
    {
        let _ = then.call2(&promise, &copied, &refused);
    }
}

fn offer_link(text: &str) {
    dom::show("link-offer", true);
    dom::put_text(
        "said",
        "This browser does not let the page copy. The link is selected: copy it.",
    );
    if let Some(field) = dom::by_id("link-text").and_then(|e| e.dyn_into::<HtmlInputElement>().ok())
    {
        field.set_value(text);
        let _ = field.focus();
        field.select();
    }
}

/// Saves this page as one file with the plan inside.
pub(crate) fn save_file() {
    let draft = book::draft();
    let name = draft.settings.get("name").map_or("", String::as_str);
    let saved = page_with(&json(&draft))
        .and_then(|text| download(&sheets::files::name(name, "", "html"), "text/html", &text));
    say_saved(saved);
}

/// The plan file as people read it.
pub(crate) fn plan_file() -> String {
    serde_json::to_string_pretty(&book::draft()).unwrap_or_default()
}

/// Says whether a file was saved.
pub(crate) fn say_saved(saved: Result<(), JsValue>) {
    let said = match saved {
        Ok(()) => "Saved: look among your downloads.",
        Err(_) => "This browser does not let the page save a file. Copy the link instead.",
    };
    dom::put_text("said", said);
}

/// Brings back the plan that was kept in this browser before a link or a file was opened.
pub(crate) fn bring_back() {
    if let Some(draft) = stored(BEFORE) {
        book::open(draft);
    }
    dom::show("before", false);
}

fn page_with(plan: &str) -> Result<String, JsValue> {
    let file = dom::boot("file").ok_or("no boot script")?;
    let text = file.call1(&JsValue::NULL, &plan.into())?;
    text.as_string().ok_or_else(|| "no text".into())
}

/// Saves a text as a file of this name and kind.
pub(crate) fn download(name: &str, kind: &str, text: &str) -> Result<(), JsValue> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = js_sys::Array::of1(&text.into());
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let url = Url::create_object_url_with_blob(&blob)?;
    let anchor: HtmlAnchorElement = dom::document().create_element("a")?.dyn_into()?;
    anchor.set_href(&url);
    anchor.set_download(name);
    anchor.click();
    // Not at once: a browser may still be reading it.
    dom::later(60_000, move || {
        let _ = Url::revoke_object_url(&url);
    });
    Ok(())
}

fn boot() -> Result<JsValue, JsValue> {
    js_sys::Reflect::get(&js_sys::global(), &"battenbook".into())
}

/// The plan that was saved into this file.
fn in_file() -> Option<(Draft, Vec<Fault>)> {
    let plan = js_sys::Reflect::get(&boot().ok()?, &"plan".into()).ok()?;
    let text = plan.as_string().filter(|text| !text.is_empty())?;
    let tree: Tree = serde_json::from_str(&text).ok()?;
    Some(Draft::from_tree(&tree))
}

/// The plan file: the draft's own JSON.
fn json(draft: &Draft) -> String {
    serde_json::to_string(draft).unwrap_or_default()
}

fn fragment() -> String {
    dom::window().location().hash().unwrap_or_default()
}

fn named(what: &str, faults: &[Fault]) -> Option<sheets::Markup> {
    (!faults.is_empty()).then(|| {
        sheets::faults::unread(
            &format!("{what} holds something that this page does not know; the rest is open."),
            faults,
        )
    })
}

fn say(notice: sheets::Markup) {
    dom::put("notice-text", notice);
    dom::show("notice", true);
}

fn storage() -> Option<Storage> {
    // Asking alone throws where the browser refuses.
    dom::window().local_storage().ok().flatten()
}

fn store_is_refused() -> bool {
    let Some(storage) = storage() else {
        return true;
    };
    let probe = "battenbook.probe";
    let refused = storage.set_item(probe, "1").is_err();
    let _ = storage.remove_item(probe);
    refused
}

fn store(key: &str, draft: &Draft) -> bool {
    storage().is_some_and(|s| s.set_item(key, &json(draft)).is_ok())
}

fn stored(key: &str) -> Option<Draft> {
    let text = storage()?.get_item(key).ok().flatten()?;
    let tree: Tree = serde_json::from_str(&text).ok()?;
    Some(Draft::from_tree(&tree).0)
}
