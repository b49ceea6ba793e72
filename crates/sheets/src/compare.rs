//! Two plans side by side: what differs from the one that was held.

use maud::{Markup, html};
use planner::compare::{Compared, Difference, Way};
use planner::show::counted;
use planner::{Plan, Stage, Value};

/// The id of the place for the table.
pub const PLACE: &str = "compared";
/// The id of the place for the line beside the short answer.
pub const LINE: &str = "held-line";

/// One line beside the short answer.
#[must_use]
pub fn line(all: &Compared) -> Markup {
    html! {
        @match all.differences.len() {
            0 => "Like the plan that was held.",
            n => a href="#changed" { (counted(n as u64, "figure differs", "figures differ")) " from the plan that was held" },
        }
    }
}

/// The table of figures that differ, by stage.
#[must_use]
pub fn compare(old: &Plan, new: &Plan, all: &Compared) -> Markup {
    let name = |plan: &Plan, other: &str| match plan.name.as_str() {
        "" => other.to_owned(),
        name if plan.name == new.name && plan.name == old.name => format!("{name}, {other}"),
        name => name.to_owned(),
    };
    html! {
        @if !old.faults.is_empty() || !new.faults.is_empty() {
            p.error { "One of the two has something to put right first: its figures are no more than they could be reckoned." }
        }
        @if all.differences.is_empty() {
            p { "Nothing differs among " (counted(all.compared as u64, "figure", "figures")) "." }
        } @else {
            table.compared {
                caption { (all.differences.len()) " of " (all.compared) " figures differ" }
                thead { tr {
                    th scope="col" { "Figure" } th scope="col" { (name(old, "held")) }
                    th scope="col" { (name(new, "now")) } th scope="col" { "Change" }
                } }
                @for stage in Stage::ALL {
                    @let of: Vec<&Difference> = all.differences.iter().filter(|d| d.stage == stage).collect();
                    @if !of.is_empty() {
                        tbody {
                            tr.group { th scope="rowgroup" colspan="4" { (stage.name()) } }
                            @for d in of {
                                tr {
                                    th scope="row" { (d.what) }
                                    td.number { (shown(new, &d.old)) }
                                    td.number { (shown(new, &d.new)) }
                                    td { (mark(d.way)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn shown(plan: &Plan, value: &Option<Value>) -> String {
    match value {
        Some(Value::Length(x)) => plan.show.run(*x),
        Some(value) => plan.show.value(value, &plan.currency),
        None => String::from("none"),
    }
}

/// The change by its sign and its word, as well as its colour.
fn mark(way: Way) -> Markup {
    match way {
        Way::More => html! { span.more-of { "▲ more" } },
        Way::Less => html! { span.less-of { "▼ less" } },
        Way::Other => html! { "changed" },
    }
}
