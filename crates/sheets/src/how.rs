//! How a figure was reached.

use maud::{Markup, html};
use planner::{Origin, Plan};

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
    Pen::ask(plan, n, |pen| picture.write(pen)).map(|it| explain(plan, &it))
}

fn explain(plan: &Plan, it: &Explained) -> Markup {
    html! {
        h2 id="how-title" { (it.name) }
        p.how-value { (it.shown) }
        h3 { "By" }
        p { strong { (it.how.formula.name) } ": " (it.how.formula.text) }
        @if !it.how.inputs.is_empty() {
            h3 { "From" }
            table {
                thead { tr { th scope="col" { "What" } th scope="col" { "Value" } th scope="col" { "Where from" } } }
                tbody {
                    @for input in &it.how.inputs {
                        tr {
                            th scope="row" { (input.name) }
                            td.number { (plan.show.value(&input.value, &plan.currency)) }
                            td { (origin(&input.origin)) }
                        }
                    }
                }
            }
        }
        h3 { "Source" }
        p { (it.how.formula.source) }
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
