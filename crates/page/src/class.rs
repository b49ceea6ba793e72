//! What a tutor asks on demand: what each would pay alone, what the rack is enough for.

use sheets::{Markup, backward, shares};

use crate::{book, dom};

/// Does what a button asks for; false if it asks for something else.
pub(crate) fn act(act: &str) -> bool {
    let (question, place) = match act {
        "alone" => ("alone", shares::PLACE),
        "backward" => ("backward", backward::PLACE),
        _ => return false,
    };
    book::ask_text(&[question], move |answer| {
        dom::put_new(place, dom::markup(answer));
    });
    true
}

/// The plan is another one: answers about the one before go.
pub(crate) fn changed() {
    for place in [shares::PLACE, backward::PLACE] {
        dom::put_new(place, Markup::default());
    }
}
