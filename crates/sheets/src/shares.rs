//! What each row pays of the one order, and on demand what it would pay alone.

use maud::{Markup, html};
use planner::Plan;
use planner::costs::Costs;
use planner::plan::CanvasPlan;
use planner::shares::{Alone, Order, Share};
use quantity::Money;

use crate::pen::Pen;

/// The id of the place for what each would pay alone.
pub const PLACE: &str = "alone";

/// What was paid for boards that are cut already is in no share.
pub(crate) fn spent(plan: &Plan) -> Markup {
    let spent = [&plan.boards, &plan.bead].into_iter().flatten();
    let spent: Money = spent.filter_map(|p| p.spent).sum();
    html! {
        @if spent > Money::ZERO {
            p { strong { (plan.currency) (spent) } " spent on boards that are cut already is in none of this." }
        }
    }
}

/// The table of shares, where more than one row shares, with the button that compares.
pub(crate) fn shares<'a>(pen: &Pen<'a>, costs: &'a Costs) -> Markup {
    let plan = pen.plan;
    if plan.canvases.len() < 2 {
        return html! {
            @if let (Some(share), Some(canvas)) = (costs.shares.first(), plan.canvases.first())
                && canvas.count > 1 && !share.sum.is_waiting()
            {
                p { "Each of the " (canvas.count) ": " (each(plan, share)) "." }
            }
            (spent(plan))
        };
    }
    let several = has_several(plan);
    html! {
        h3 id="shares-title" { "What each pays" }
        table.shares aria-labelledby="shares-title" {
            thead { tr {
                th scope="col" { "Canvas" } th scope="col" { "Wood" } th scope="col" { "Cloth" }
                th scope="col" { "The rest" } th scope="col" { "Left over" } th scope="col" { "Sum" }
                @if several { th scope="col" { "Each" } }
            } }
            tbody {
                @for (canvas, share) in plan.canvases.iter().zip(&costs.shares) {
                    tr {
                        th scope="row" { (title(canvas)) }
                        @for (name, figure) in [("wood", &share.wood), ("cloth", &share.cloth), ("the rest", &share.rest), ("left over", &share.left_over), ("sum", &share.sum)] {
                            td.number { (pen.figure(&format!("{}, {name}", canvas.name), figure)) }
                        }
                        @if several { td { @if canvas.count > 1 && !share.sum.is_waiting() { (each(plan, share)) } } }
                    }
                }
            }
            tfoot { tr {
                td { "In all" }
                @for part in costs.parts() { td.number { @if !costs.total.is_waiting() { (pen.money(part)) } } }
                td.number { (pen.figure("Shares in all", &costs.total)) }
                @if several { td {} }
            } }
        }
        (spent(plan))
        p { "Boards are shared by the length that the pieces take off them, saw cuts included, cloth by the area of the blanks, the rest by what each uses. What is left over belongs to nobody and is shared in the same proportion." }
        div.acts {
            button.act type="button" id={ (PLACE) "-ask" } data-act="alone" aria-controls=(PLACE) { "What would each pay alone?" }
        }
        div id=(PLACE) role="status" data-answer="" {}
    }
}

/// Whether a row is more than one canvas, so that what each pays is another figure.
pub(crate) fn has_several(plan: &Plan) -> bool {
    plan.canvases.iter().any(|c| c.count > 1)
}

/// A row's name, with how many where it is more than one.
pub(crate) fn title(canvas: &CanvasPlan) -> String {
    match canvas.count {
        1 => canvas.name.clone(),
        n => format!("{} × {n}", canvas.name),
    }
}

/// What each canvas of a row pays.
pub(crate) fn each(plan: &Plan, share: &Share) -> String {
    let money = |m: &Money| format!("{}{m}", plan.currency);
    match &share.each[..] {
        [(_, amount)] => money(amount),
        several => {
            let part = |(n, amount): &(u32, Money)| format!("{n} × {}", money(amount));
            several.iter().map(part).collect::<Vec<_>>().join(", ")
        }
    }
}

/// What each would pay alone, beside its share.
#[must_use]
pub fn alone(plan: &Plan, all: Option<&Alone>) -> Markup {
    let (Some(all), Some(costs)) = (all, &plan.costs) else {
        return html! { p { "Nothing to compare: wood and cloth need prices, nothing may be in the way of buying or unread, and no board may be cut already." } };
    };
    let money = |m: Money| format!("{}{m}", plan.currency);
    html! {
        table.buy {
            caption { "Shared, and each alone" }
            thead { tr {
                th scope="col" { "Canvas" } th scope="col" { "Shared" } th scope="col" { "Alone" }
                th scope="col" { "Difference" }
            } }
            tbody {
                @for ((canvas, share), order) in plan.canvases.iter().zip(&costs.shares).zip(&all.rows) {
                    tr {
                        th scope="row" { (title(canvas)) }
                        td.number { (money(share.sum.value)) }
                        @match order {
                            Order::Costs(cost) => {
                                td.number { (money(*cost)) }
                                td { (difference(plan, share.sum.value, *cost)) }
                            }
                            Order::Impossible(why) => { td colspan="2" { "Not possible. " (why) } }
                        }
                    }
                }
            }
            @if let Some(apart) = all.apart() {
                tfoot { tr {
                    td { "In all" } td.number { (money(all.together)) } td.number { (money(apart)) }
                    td { (difference(plan, all.together, apart)) }
                } }
            }
        }
        p.proof {
            @if all.proven { "Proven: no cheaper order over all exists." }
            @else { "As far as searched: a cheaper order over all may exist." }
        }
        @if all.apart().is_some_and(|apart| apart < all.together) {
            p { "Orders apart come cheaper here: between two blanks on one roll the shears need their gap." }
        }
        @if all.in_turn {
            p { "Boards and rolls of which there are only so many go to the rows in their order: who stands first finds the most." }
        }
    }
}

fn difference(plan: &Plan, shared: Money, alone: Money) -> String {
    let off = (alone - shared).as_hundredths();
    let amount = Money::from_hundredths(off.abs());
    match off {
        0 => String::from("the same"),
        1.. => format!("shared saves {}{amount}", plan.currency),
        _ => format!("shared costs {}{amount} more", plan.currency),
    }
}
