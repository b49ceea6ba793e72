//! Keeping the open plan: in this browser's store, in the address, in one file with all inside.

use std::cell::{Cell, RefCell};

use planner::{Draft, FieldRef};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Url};

use crate::store::{self, Kept, PlanId, Refusal};
use crate::{book, bring, dom, link, shelf};

/// How long after the last change the plan is kept, in milliseconds; browsers refuse to change
/// the address more than about a hundred times in half a minute.
const PAUSE: i32 = 400;

thread_local! {
    static DUE: Cell<Option<i32>> = const { Cell::new(None) };
    /// The link of the last draft that was planned, for the message after a fault of the program.
    static LINK: RefCell<String> = RefCell::default();
    /// The address's fragment as it was last written or read.
    static WRITTEN: RefCell<String> = RefCell::default();
    /// A plan as it was opened: the example, or what somebody sent, is kept once it is changed.
    static OPENED: RefCell<Option<(PlanId, Draft)>> = const { RefCell::new(None) };
    /// Why the store did not take the plan the last time.
    static REFUSED: Cell<Option<Refusal>> = const { Cell::new(None) };
}

/// Opens the plan to begin with: of the address, of the file, of the last visit, or the example.
pub(crate) fn begin() {
    store::take_over();
    store::recover(&boot_text("noted"));
    let first = bring::first();
    WRITTEN.replace(fragment());
    LINK.replace(link::write(&first.draft));
    opened(first.id, &first.draft);
    // Told before anything is typed that could be lost.
    if let Err(why) = store::has_room() {
        tell_refusal(why);
    }
    book::begin(first.id, first.draft);
}

/// Notes a plan as it is opened; until it is changed there is nothing to keep.
pub(crate) fn opened(id: PlanId, draft: &Draft) {
    OPENED.replace(Some((id, draft.clone())));
    store::set_of_this_tab(id, &fragment());
}

/// Opens a plan that is kept once it is changed.
pub(crate) fn open_new(draft: Draft) {
    let id = PlanId::fresh();
    opened(id, &draft);
    book::open(id, draft);
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
    keep();
    // A link may stand in the address whose event has yet to come: writing now would lose it.
    if !is_written(&fragment()) {
        bring::address_changed();
        return;
    }
    let link = LINK.with_borrow(String::clone);
    let history = dom::window().history();
    let written = history.is_ok_and(|history| {
        history
            .replace_state_with_url(&JsValue::NULL, "", Some(&link))
            .is_ok()
    });
    if written {
        store::set_of_this_tab(book::id(), &link);
        WRITTEN.replace(link);
    }
}

/// Puts the open plan into the store. One that another tab kept since is not written over: this
/// tab's becomes a plan of its own.
fn keep() {
    let (id, draft) = (book::id(), book::draft());
    let kept = store::read(id);
    let untouched = OPENED.with_borrow(|o| o.as_ref().is_some_and(|o| *o == (id, draft.clone())));
    match kept {
        None if untouched => return,
        Some(kept) if kept.draft == draft => {
            store::know(id, kept.stamp);
            store::set_last(id);
            REFUSED.set(None);
            return;
        }
        Some(kept) if !store::is_known(id, kept.stamp) => {
            part(&kept);
            return;
        }
        _ => {}
    }
    let refused = store::write(id, &draft).err();
    let before = REFUSED.replace(refused);
    match refused {
        // Told once, not at every key.
        Some(why) if before != refused => tell_refusal(why),
        Some(_) => {}
        None => {
            store::set_last(id);
            dom::show("no-store", false);
            shelf::refresh();
        }
    }
}

/// This tab's plan and the one that another tab kept become two.
fn part(theirs: &Kept) {
    let fresh = PlanId::fresh();
    book::part(fresh);
    let name = name(&theirs.draft);
    let mine = shelf::another_name(&book::draft(), "(2)");
    dom::say(sheets::shelf::parted(&name, &mine));
    // Planned and kept as any other change.
    book::rename(&mine);
    keep();
}

/// Makes a plan of its own of what this tab holds, at the maker's wish.
pub(crate) fn part_now() {
    match store::read(book::id()) {
        Some(theirs) => part(&theirs),
        None => keep(),
    }
}

/// Shows what another tab made of the plan; what was here is a step back.
pub(crate) fn take_other() {
    let id = book::id();
    if let Some(kept) = store::read(id) {
        store::know(id, kept.stamp);
        book::open(id, kept.draft);
    }
    dom::show("notice", false);
}

/// Another tab changed the store.
pub(crate) fn other_tab(key: Option<&str>, text: Option<&str>) {
    shelf::refresh();
    // No key: the whole store was emptied.
    if key.is_some_and(|key| PlanId::of_key(key) != Some(book::id())) {
        return;
    }
    let draft = book::draft();
    match text.map(Kept::read) {
        None => dom::say(sheets::shelf::gone_elsewhere()),
        Some(Some(kept)) if kept.draft == draft => store::know(book::id(), kept.stamp),
        Some(_) => dom::say(sheets::shelf::changed_elsewhere(&name(&draft))),
    }
}

/// Whether leaving the page now would lose something.
pub(crate) fn is_at_risk() -> bool {
    REFUSED.get().is_some()
}

/// Says that the store does not take the plan.
pub(crate) fn tell_refusal(why: Refusal) {
    dom::put(
        "no-store-text",
        sheets::shelf::refused(why == Refusal::Full),
    );
    dom::show("no-store", true);
}

/// The name of a plan, empty if it has none.
pub(crate) fn name(draft: &Draft) -> String {
    draft.text(FieldRef::setting("name")).to_owned()
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
    dom::then(
        &clipboard.write_text(&text),
        |_| dom::put_text("said", "Link copied."),
        {
            let text = text.clone();
            move |_| offer_link(&text)
        },
    );
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
    let json = serde_json::to_string(&draft).unwrap_or_default();
    let saved = page_with(&json).and_then(|text| {
        let file = sheets::files::name(&name(&draft), "", "html");
        download(&file, "text/html", &text)
    });
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

/// A text that the boot script hands over, empty if there is none.
pub(crate) fn boot_text(name: &str) -> String {
    let text = boot().and_then(|boot| js_sys::Reflect::get(&boot, &name.into()));
    text.ok().and_then(|t| t.as_string()).unwrap_or_default()
}

fn boot() -> Result<JsValue, JsValue> {
    js_sys::Reflect::get(&js_sys::global(), &"battenbook".into())
}

/// The end of the address, from `#` on.
pub(crate) fn fragment() -> String {
    dom::window().location().hash().unwrap_or_default()
}

/// Whether the end of the address is what this tab wrote or read last.
pub(crate) fn is_written(fragment: &str) -> bool {
    WRITTEN.with_borrow(|w| w == fragment)
}

/// Notes the end of the address as read.
pub(crate) fn read(fragment: String) {
    WRITTEN.replace(fragment);
}
