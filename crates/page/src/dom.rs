//! Small helpers around the document.

use std::cell::RefCell;
use std::hash::{DefaultHasher, Hash, Hasher};

use sheets::Markup;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{
    Document, Element, HtmlDialogElement, HtmlElement, HtmlInputElement, HtmlSelectElement, Window,
};

/// The window; a page always has one.
pub(crate) fn window() -> Window {
    web_sys::window().expect("the page runs in a window")
}

thread_local! {
    /// Asked for once: each time the browser would check what kind of thing the window is.
    static DOCUMENT: Document = window().document().expect("a window of a page has a document");
}

/// The document.
pub(crate) fn document() -> Document {
    DOCUMENT.with(Clone::clone)
}

/// The element with this id.
pub(crate) fn by_id(id: &str) -> Option<Element> {
    document().get_element_by_id(id)
}

/// All elements that match.
pub(crate) fn all(css: &str) -> Vec<Element> {
    inside(&document().query_selector_all(css))
}

fn inside(found: &Result<web_sys::NodeList, JsValue>) -> Vec<Element> {
    let Ok(list) = found else { return Vec::new() };
    (0..list.length())
        .filter_map(|i| list.get(i))
        .filter_map(|node| node.dyn_into().ok())
        .collect()
}

thread_local! {
    /// What was last put into each place, by its hash, so that nothing is written twice.
    static PUT: RefCell<Vec<(String, u64)>> = RefCell::default();
}

/// Puts markup into the element with this id: the only place where text becomes elements. All
/// markup comes escaped from the template library.
///
/// Opened details stay open and the focus stays where it was.
pub(crate) fn put(id: &str, markup: Markup) {
    let text = markup.into_string();
    let same = PUT.with_borrow_mut(|put| {
        let mut hasher = DefaultHasher::new();
        text.hash(&mut hasher);
        let now = hasher.finish();
        let Some((_, before)) = put.iter_mut().find(|(place, _)| place == id) else {
            put.push((id.to_owned(), now));
            return false;
        };
        core::mem::replace(before, now) == now
    });
    if same {
        return;
    }
    let Some(element) = by_id(id) else { return };
    let folds: Vec<(String, bool)> = inside(&element.query_selector_all("details[data-keep]"))
        .iter()
        .filter_map(|d| Some((d.get_attribute("data-keep")?, d.has_attribute("open"))))
        .collect();
    let focused = document()
        .active_element()
        .filter(|a| element.contains(Some(a)))
        .map(|a| a.id())
        .filter(|id| !id.is_empty());
    // What open folds hold, and answers, stay until they come anew.
    let held =
        inside(&element.query_selector_all(
            "details[open] > [data-later]:not(:empty), [data-answer]:not(:empty)",
        ));
    element.set_inner_html(&text);
    for details in inside(&element.query_selector_all("details[data-keep]")) {
        let key = details.get_attribute("data-keep").unwrap_or_default();
        let _ = match folds.iter().find(|(fold, _)| *fold == key) {
            Some((_, true)) => details.set_attribute("open", ""),
            Some((_, false)) => details.remove_attribute("open"),
            None => Ok(()),
        };
    }
    for old in held {
        if let Some(new) = by_id(&old.id()).filter(|new| !new.has_child_nodes()) {
            let _ = new.replace_with_with_node_1(&old);
        }
    }
    if let Some(id) = focused {
        focus(&id);
    }
}

/// As [`put`], into a place that may have been made anew since.
pub(crate) fn put_new(id: &str, markup: Markup) {
    if by_id(id).is_some_and(|e| !e.has_child_nodes()) {
        forget(id);
    }
    put(id, markup);
}

/// Forgets what was put into a place that is gone.
pub(crate) fn forget(id: &str) {
    PUT.with_borrow_mut(|put| put.retain(|(place, _)| place != id));
}

/// Puts plain text into the element with this id, if it differs.
pub(crate) fn put_text(id: &str, text: &str) {
    if let Some(element) = by_id(id)
        && element.text_content().as_deref() != Some(text)
    {
        element.set_text_content(Some(text));
    }
}

/// Markup that a worker wrote, from the same template library as what is written here.
pub(crate) fn markup(text: String) -> Markup {
    sheets::written(text)
}

/// A function of the boot script.
pub(crate) fn boot(name: &str) -> Option<js_sys::Function> {
    let boot = js_sys::Reflect::get(&js_sys::global(), &"battenbook".into()).ok()?;
    js_sys::Reflect::get(&boot, &name.into())
        .ok()?
        .dyn_into()
        .ok()
}

/// Says to whoever waits for it that the first answer stands on the page.
pub(crate) fn answered() {
    if let Some(answered) = boot("answered") {
        let _ = answered.call0(&JsValue::NULL);
    }
}

/// Whether the document carries a mark.
pub(crate) fn root_has(mark: &str) -> bool {
    document()
        .document_element()
        .is_some_and(|root| root.has_attribute(mark))
}

/// Gives the document a mark, or takes it away.
pub(crate) fn mark_root(mark: &str, marked: bool) {
    if let Some(root) = document().document_element() {
        let _ = root.toggle_attribute_with_force(mark, marked);
    }
}

/// Gives the style sheet a value of ours, written as CSS; a broken one is passed over.
pub(crate) fn style_root(property: &str, css: &str) {
    if let Some(root) = document().document_element()
        && let Some(root) = root.dyn_ref::<HtmlElement>()
    {
        let _ = root.style().set_property(property, css);
    }
}

/// Shows or hides the element with this id.
pub(crate) fn show(id: &str, shown: bool) {
    if let Some(element) = by_id(id).and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        element.set_hidden(!shown);
    }
}

/// The dialog with this id.
pub(crate) fn dialog(id: &str) -> Option<HtmlDialogElement> {
    by_id(id)?.dyn_into().ok()
}

/// Opens the dialog with this id, in front of everything.
pub(crate) fn open_dialog(id: &str) {
    if let Some(dialog) = dialog(id)
        && !dialog.open()
    {
        let _ = dialog.show_modal();
    }
}

/// Closes the dialog with this id.
pub(crate) fn close_dialog(id: &str) {
    if let Some(dialog) = dialog(id) {
        dialog.close();
    }
}

/// Shows a notice above the sheet until it is closed.
pub(crate) fn say(notice: Markup) {
    put("notice-text", notice);
    show("notice", true);
}

/// Gives the focus to the element with this id.
pub(crate) fn focus(id: &str) {
    if let Some(element) = by_id(id).and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        let _ = element.focus();
    }
}

/// What a field holds.
pub(crate) fn value(element: &Element) -> Option<String> {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        return Some(input.value());
    }
    element
        .dyn_ref::<HtmlSelectElement>()
        .map(HtmlSelectElement::value)
}

/// Calls back after a while; returns the number by which it can be called off.
pub(crate) fn later(milliseconds: i32, then: impl FnOnce() + 'static) -> Option<i32> {
    let closure = Closure::once_into_js(then);
    window()
        .set_timeout_with_callback_and_timeout_and_arguments_0(
            closure.unchecked_ref(),
            milliseconds,
        )
        .ok()
}

/// Calls back with what a promise gives, or why it gives nothing.
pub(crate) fn then(
    promise: &js_sys::Promise,
    done: impl FnOnce(JsValue) + 'static,
    failed: impl FnOnce(JsValue) + 'static,
) {
    let done = Closure::once_into_js(done);
    let failed = Closure::once_into_js(failed);
    let then = js_sys::Reflect::get(promise, &"then".into());
    if let Ok(then) = then
        && let Ok(then) = then.dyn_into::<js_sys::Function>()
    {
        let _ = then.call2(promise, &done, &failed);
    }
}

/// Calls off what [`later`] was to do.
pub(crate) fn never(timer: Option<i32>) {
    if let Some(timer) = timer {
        window().clear_timeout_with_handle(timer);
    }
}
