//! The stapling order one step a tap: its buttons, and the place where a step is said.
//!
//! Nothing moves by itself: a maker with both hands on the pliers goes on when the step is done.

use maud::{Markup, html};

/// The id of the element that says which step is shown.
#[must_use]
pub fn said(canvas: usize) -> String {
    format!("steps-{canvas}-said")
}

/// Back and next, and the place where a step is said.
pub(crate) fn buttons(canvas: usize) -> Markup {
    let button = |act: &str, words: &str| {
        html! {
            button.act type="button" id={ "steps-" (canvas) "-" (act) } data-act=(act) data-canvas=(canvas) { (words) }
        }
    };
    html! {
        div.player role="group" aria-label="Step by step" data-canvas=(canvas) {
            div.acts { (button("step-back", "Back")) (button("step-next", "Next")) }
            p.hint { "A tap on the drawing goes on too; so do the arrow keys." }
        }
        p id=(said(canvas)) role="status" aria-live="polite" data-later {}
    }
}
