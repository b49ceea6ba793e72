//! What must be put right, what a teacher would say, and where the work can hurt.

use maud::{Markup, html};
use planner::cautions;
use planner::{Fault, Plan, Stage};

use crate::names;

/// The summary of every fault, each linked to its field.
#[must_use]
pub fn summary(plan: &Plan) -> Markup {
    html! {
        @if !plan.faults.is_empty() {
            h2 id="faults-title" { "To put right" }
            ul {
                @for fault in &plan.faults {
                    li {
                        @if fault.at.key.is_empty() {
                            (fault.message(plan.show))
                        } @else {
                            a href={ "#" (names::id(fault.at)) } { (names::place(fault.at)) }
                            ": " (fault.message(plan.show))
                        }
                    }
                }
            }
        }
    }
}

/// What a link or a file had wrong; the rest of it is on the page.
#[must_use]
pub fn unread(what: &str, faults: &[Fault]) -> Markup {
    html! {
        p { strong { (what) } }
        @if !faults.is_empty() {
            ul { @for fault in faults { li { (fault) } } }
        }
    }
}

/// A stage's warnings, each with its reason.
#[must_use]
pub fn advice(plan: &Plan, stage: Stage) -> Markup {
    let here: Vec<_> = plan.advice.iter().filter(|a| a.stage == stage).collect();
    html! {
        @if !here.is_empty() {
            ul.advice aria-label="Warnings" {
                @for a in here {
                    li {
                        strong { (a.what) } " " (a.why) " "
                        a href={ "#" (names::id(a.at)) } { "Change " (names::place(a.at)) }
                    }
                }
            }
        }
    }
}

/// A stage's caution.
#[must_use]
pub fn caution(stage: Stage) -> Markup {
    html! {
        @for caution in cautions::ALL.iter().filter(|c| c.stage == stage) {
            p.caution { strong { "Take care. " } (caution.text) }
        }
    }
}
