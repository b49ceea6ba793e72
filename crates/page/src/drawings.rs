//! What opens on demand: drawings, and folds with much in them.

use crate::{book, dom};

/// Fills every fold that is open with what it holds in the plan that is shown.
pub(crate) fn fill_open() {
    for fold in dom::all("details[data-picture][open]") {
        let name = fold.get_attribute("data-picture").unwrap_or_default();
        fill(format!("picture-{name}"), &["picture", &name]);
    }
    for fold in dom::all(".sheet details[data-fold][open]") {
        let key = fold.get_attribute("data-fold").unwrap_or_default();
        let sheet = fold.closest(".sheet").ok().flatten();
        let sheet = sheet.map(|sheet| sheet.id()).unwrap_or_default();
        fill(format!("fold-{key}"), &["fold", &sheet, &key]);
    }
}

fn fill(place: String, words: &[&str]) {
    book::ask(words, move |mut written| {
        if let Some(written) = written.pop() {
            dom::put_new(&place, dom::markup(written));
        }
    });
}
