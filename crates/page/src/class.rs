//! What a tutor asks on demand: what each would pay alone.

use sheets::{Markup, shares};

use crate::{book, dom};

/// Does what a button asks for; false if it asks for something else.
pub(crate) fn act(act: &str) -> bool {
    match act {
        "alone" => book::ask_text(&["alone"], |answer| {
            dom::put_new(shares::PLACE, dom::markup(answer));
        }),
        _ => return false,
    }
    true
}

/// The plan is another one: answers about the one before go.
pub(crate) fn changed() {
    dom::put_new(shares::PLACE, Markup::default());
}
