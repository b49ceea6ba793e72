//! What a fault of the program shows: a plain message with the plan's link, so that nothing is
//! lost.

use std::panic;

use crate::{dom, keep};

/// Says every panic on the page and in the console.
pub(crate) fn watch() {
    panic::set_hook(Box::new(|info| {
        console_error_panic_hook::hook(info);
        tell();
    }));
}

/// Tells the maker that the program failed. Only simple calls: whatever broke may be half done.
pub(crate) fn tell() {
    if web_sys::window().is_none() {
        return;
    }
    let link = keep::link();
    if let Some(anchor) = dom::by_id("failure-link") {
        let _ = anchor.set_attribute("href", &link);
        anchor.set_text_content(Some(&link));
    }
    dom::show("failure", true);
}
