//! What a tutor asks on demand: what each would pay alone, what the rack is enough for, what
//! changed since a plan was held.

use std::cell::{Cell, RefCell};

use sheets::{Markup, backward, compare, shares};

use crate::{book, dom};

thread_local! {
    /// The draft that was held, as JSON.
    static HELD: RefCell<Option<String>> = const { RefCell::new(None) };
    /// Whether the comparison waits for the plan that is being made.
    static WAITING: Cell<bool> = const { Cell::new(false) };
}

/// Does what a button asks for; false if it asks for something else.
pub(crate) fn act(act: &str) -> bool {
    match act {
        "alone" => book::answer("alone", shares::PLACE),
        "backward" => book::answer("backward", backward::PLACE),
        "hold" => {
            HELD.set(serde_json::to_string(&book::draft()).ok());
            dom::put_text(
                "said",
                "Held. From now on, what differs stands under What changed.",
            );
            show_held(true);
            compare();
        }
        "let-go" => {
            HELD.set(None);
            show_held(false);
            dom::focus("hold");
        }
        _ => return false,
    }
    true
}

fn show_held(held: bool) {
    dom::show("let-go", held);
    dom::show(compare::LINE, held);
    if !held {
        dom::put(compare::PLACE, Markup::default());
        dom::put(compare::LINE, Markup::default());
    }
}

/// Compares with the plan that was held, once the new one is there.
pub(crate) fn compare() {
    if HELD.with_borrow(Option::is_none) || WAITING.replace(true) {
        return;
    }
    book::once_shown(|| {
        WAITING.set(false);
        let Some(held) = HELD.with_borrow(Clone::clone) else {
            return;
        };
        book::ask(&["compare", &held.clone()], move |mut words| {
            let still = HELD.with_borrow(|now| now.as_ref() == Some(&held));
            if let (true, Some(table), Some(line)) = (still, words.pop(), words.pop()) {
                dom::put(compare::PLACE, dom::markup(table));
                dom::put(compare::LINE, dom::markup(line));
            }
        });
    });
}
