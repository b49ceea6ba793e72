//! How a figure was reached.

use maud::{Markup, html};
use planner::{How, Origin, Plan, Show};

use crate::drawing::Layout;
use crate::pen::{Explained, Pen};
use crate::picture::Picture;
use crate::sheet::{self, Sheet};

/// How the n-th figure of a sheet was reached; none if the sheet has fewer.
#[must_use]
pub fn how(plan: &Plan, sheet: Sheet, n: usize) -> Option<Markup> {
    Pen::ask(plan, n, |pen| sheet::write(pen, sheet)).map(|it| explain(plan, &it))
}

/// How the n-th figure of what a fold opens was reached.
#[must_use]
pub fn how_in(plan: &Plan, picture: Picture, n: usize) -> Option<Markup> {
    Pen::ask(plan, n, |pen| picture.write(pen, Layout::Wide, 0)).map(|it| explain(plan, &it))
}

fn explain(plan: &Plan, it: &Explained) -> Markup {
    body(&it.name, &it.shown, &it.how, plan.show, &plan.currency)
}

/// A figure's name and value with its formula, inputs and source.
pub(crate) fn body(name: &str, shown: &str, how: &How, show: Show, currency: &str) -> Markup {
    html! {
        h2 id="how-title" { (name) }
        p.how-value { (shown) }
        h3 { "By" }
        p { strong { (how.formula.name) } ": " (how.formula.text) }
        @if !how.inputs.is_empty() {
            h3 { "From" }
            table {
                thead { tr { th scope="col" { "What" } th scope="col" { "Value" } th scope="col" { "Where from" } } }
                tbody {
                    @for input in &how.inputs {
                        tr {
                            th scope="row" { (input.name) }
                            td.number { (show.value(&input.value, currency)) }
                            td { (origin(&input.origin)) }
                        }
                    }
                }
            }
        }
        h3 { "Source" }
        p { (how.formula.source) }
    }
}

const fn origin(origin: &Origin) -> &'static str {
    match origin {
        Origin::Usual => "usual value",
        Origin::Chosen => "you typed it",
        Origin::Computed => "another figure",
        Origin::Constant => "constant",
        Origin::Waiting => "waits for you",
    }
}
