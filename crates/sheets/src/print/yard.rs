//! What to buy, to be ticked off at the yard.

use maud::{Markup, html};
use planner::timber::Purchase;
use planner::{Stage, Value};
use quantity::Money;

use super::ink::{Ink, tick};
use crate::buy::waits_for;
use crate::names;
use crate::shares::each;
use crate::shopping;

pub(super) fn to_buy(ink: &Ink<'_>) -> Markup {
    let plan = ink.0;
    let items = shopping::list(plan);
    let priced = items.iter().any(|i| i.cost.is_some());
    let money = |m: Money| format!("{}{m}", plan.currency);
    html! {
        @if !items.is_empty() {
            section {
                h2 { "To buy" }
                (ink.notes(Stage::Buy))
                table.job-list {
                    thead { tr {
                        th {} th { "What" } th { "Size" } th { "How many" } th { "How much" }
                        @if priced { th { "Price" } }
                    } }
                    tbody {
                        @for item in &items {
                            tr {
                                td { (tick()) }
                                th { (item.thing) }
                                td { @if let Some(size) = item.size { (plan.show.run(size)) } }
                                td { @if let Some(n) = item.count { (ink.known(item.how, n.to_string())) } }
                                td { @if let Some(amount) = &item.amount {
                                    @let shown = match amount {
                                        Value::Length(x) => plan.show.run(*x),
                                        other => plan.show.value(other, &plan.currency),
                                    };
                                    (ink.known(item.how, shown))
                                } }
                                @if priced { td { @if let Some(cost) = item.cost { (ink.known(item.how, money(cost))) } } }
                            }
                        }
                    }
                    @if let Some(cost) = plan.totals.as_ref().and_then(|t| t.cost.as_ref()) {
                        tfoot { tr {
                            td {} th { "Everything with a price" } td {} td {} td {}
                            td { strong { (ink.figure(cost)) } }
                        } }
                    }
                }
                @if let Some(costs) = &plan.costs {
                    // Several rows have their table of shares.
                    @if let ([canvas], [share]) = (&plan.canvases[..], &costs.shares[..]) && canvas.count > 1 && !share.sum.is_waiting() {
                        p { "Each of the " (canvas.count) ": " (each(plan, share)) "." }
                    }
                    @if !costs.unpriced.is_empty() { p { "Without a price: " (costs.unpriced.join(", ")) "." } }
                }
                @for (name, bought, missing) in [("Batten", &plan.boards, &plan.not_bought.boards), ("Bead", &plan.bead, &plan.not_bought.bead)] {
                    @if let Some(purchase) = bought { p { (name) ": " (proof(ink, purchase)) } }
                    @else if let Some(at) = missing.first() { p { (name) ": " (names::waits(*at)) "." } }
                }
                @if let Some(at) = plan.not_bought.cloth.first() { p { "Cloth: " (names::waits(*at)) "." } }
                @if let Some(cloth) = &plan.cloth {
                    p { "Cloth: "
                        @if let Some(at) = waits_for(cloth) { (names::waits(at)) "." }
                        @else if cloth.proven { "proven, no better cutting of these rolls by straight cuts exists." }
                        @else if let Some(gap) = cloth.gap { "at most " (money(gap)) " could be saved." }
                        @else { "not proven; a little less might do." }
                    }
                }
            }
        }
    }
}

fn proof(ink: &Ink<'_>, purchase: &Purchase) -> Markup {
    let plan = ink.0;
    html! {
        @if let Some(at) = purchase.total_length.how.waiting().first() { (names::waits(*at)) "." }
        @else if purchase.proven && purchase.cost.is_some() { "proven, no cheaper purchase of this rack exists." }
        @else if purchase.proven { "proven, no shorter purchase of this rack exists." }
        @else if let Some(gap) = purchase.gap { "at most " (plan.currency) (gap) " could be saved." }
        @else if let Some(gap) = purchase.gap_length { "at most " (plan.show.length(gap)) " could be saved." }
    }
}
