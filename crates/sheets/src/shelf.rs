//! The plans of this browser, and what is said when one can't be kept or opened.

use maud::{Markup, html};

use crate::qr;

/// A plan of the list.
#[derive(Clone, Debug)]
pub struct Shelved {
    /// What the buttons call it.
    pub id: String,
    /// Its name, empty if it has none.
    pub name: String,
    /// How many rows of canvases it has; none if it can't be read.
    pub canvases: Option<usize>,
    /// When it was kept, as this device writes it.
    pub when: String,
    /// It is the one that is open.
    pub open: bool,
}

/// The list, and the way back to the one that was deleted last.
#[must_use]
pub fn list(plans: &[Shelved], gone: Option<&str>) -> Markup {
    html! {
        @if let Some(name) = gone {
            p.gone role="status" {
                (quoted(name)) " is deleted. "
                button.act type="button" id="plan-back" data-act="plan-back" { "Bring it back" }
            }
        }
        @if plans.is_empty() {
            p { "No plan is kept yet: one is as soon as you change it." }
        }
        ul.shelf { @for plan in plans { li { (row(plan)) } } }
    }
}

fn row(plan: &Shelved) -> Markup {
    let name = quoted(&plan.name);
    let id = &plan.id;
    let act = |act: &str, word: &str| {
        html! {
            button.act type="button" data-act=(act) data-plan=(id) aria-label={ (word) " " (name) } { (word) }
        }
    };
    html! {
        @match plan.canvases {
            Some(canvases) => {
                label.unseen for={ "plan-" (id) } { "Name of the plan" }
                input.plan-label type="text" id={ "plan-" (id) } data-plan=(id) value=(plan.name)
                    placeholder="without a name" maxlength="80" autocomplete="off";
                p.hint {
                    @if plan.open { strong { "Open now. " } }
                    (canvases) @if canvases == 1 { " size of canvas" } @else { " sizes of canvas" }
                    ", " (plan.when)
                }
                div.acts {
                    @if !plan.open { (act("plan-open", "Open")) }
                    (act("plan-copy", "Copy"))
                    (act("plan-delete", "Delete"))
                }
            }
            None => {
                p.hint { "This one can't be read: it is damaged, or a newer version of this page kept it." }
                div.acts { (act("plan-text", "Save as it is")) (act("plan-delete", "Delete")) }
            }
        }
    }
}

fn quoted(name: &str) -> String {
    match name {
        "" => "The plan without a name".to_owned(),
        name => format!("“{name}”"),
    }
}

/// The store does not take the plan: full, or the browser lets this page have none.
#[must_use]
pub fn refused(full: bool) -> Markup {
    html! {
        @if full {
            p {
                strong { "This browser's store for this page is full. " }
                "What you change now is not kept: save it as a file or copy the link before you leave, or delete plans that you no longer need."
            }
            button.act type="button" data-act="plans" { "Plans" }
        } @else {
            p {
                strong { "This browser keeps no plans for this page. " }
                "Copy the link or save the file before you leave."
            }
        }
    }
}

/// The plan of the last visit lies in the store but is no plan.
#[must_use]
pub fn unreadable() -> Markup {
    html! {
        p { strong { "The plan of your last visit can't be read." }
            " It is damaged, or a newer version of this page kept it. It is still there, and others that are kept are under Plans." }
        button.act type="button" data-act="plans" { "Plans" }
    }
}

/// Two tabs went on with one plan, which became two.
#[must_use]
pub fn parted(theirs: &str, mine: &str) -> Markup {
    html! {
        p { strong { (quoted(theirs)) " was changed in another tab too." }
            " Nothing is lost: what this tab holds is kept as “" (mine) "”, the other is under Plans." }
    }
}

/// Another tab changed the plan that is open here.
#[must_use]
pub fn changed_elsewhere(name: &str) -> Markup {
    html! {
        p { strong { (quoted(name)) " was just changed in another tab." }
            " This tab still shows it as it was. If you go on here, it becomes a plan of its own." }
        button.act type="button" data-act="take-other" { "Show the change" }
        " "
        button.act type="button" data-act="part" { "Make this a plan of its own" }
    }
}

/// Another tab deleted the plan that is open here.
#[must_use]
pub fn gone_elsewhere() -> Markup {
    html! {
        p { strong { "This plan was deleted in another tab." }
            " It is still open here, and kept again when you change it." }
    }
}

/// A link or a file can't be opened; what could be read of it is offered, if anything.
#[must_use]
pub fn refused_plan(said: &str, canvases_left: Option<usize>) -> Markup {
    html! {
        p { strong { (said) } }
        @if let Some(n) = canvases_left {
            p { "A part of it could be read: "
                @match n { 0 => "no canvas", 1 => "1 size of canvas", n => { (n) " sizes of canvas" } }
                " and what stands before the damage." }
            button.act type="button" data-act="open-rest" { "Open what could be read" }
        }
    }
}

/// The link as a code for a screen; one that is too long for it is said, with what to do instead.
#[must_use]
pub fn code(link: &str, on_disk: bool) -> Markup {
    html! {
        @match qr::on_screen(link, "The link of this plan") {
            Ok(code) => {
                div.code { (code) }
                p { "Reads from half a metre off a tablet: hold the other device's camera before it." }
                p id="code-narrow" hidden { strong { "This screen is too small for that: " }
                    "the code is drawn smaller. Hold the camera closer, or turn this device on its side." }
                @if on_disk {
                    p.hint { "This page lies as a file on this device, so the code opens only where the same file lies in the same place. For another device save the page as one file." }
                }
            }
            Err(too_long) => {
                p { strong { "No code: " } (too_long) "." }
                p { "Save a file instead and hand that over; it opens in any browser, or under Plans." }
                div.acts {
                    button.act type="button" data-act="save" { "Save as one file" }
                    button.act type="button" data-act="save-plan" { "Plan (JSON)" }
                }
            }
        }
    }
}
