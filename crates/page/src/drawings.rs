//! The drawings that open on demand.

use crate::{book, dom};

/// Draws every picture whose fold is open.
pub(crate) fn draw_open() {
    for fold in dom::all("details[data-picture][open]") {
        let name = fold.get_attribute("data-picture").unwrap_or_default();
        let place = format!("picture-{name}");
        book::ask(&["picture", &name], move |mut drawn| {
            if let Some(drawing) = drawn.pop() {
                dom::put_new(&place, dom::markup(drawing));
            }
        });
    }
}
