//! What another length on the rack would change, as a small table.

use maud::{Markup, html};
use planner::Plan;
use planner::brief::BoardOf;
use planner::show::counted;
use planner::what_if::{Difference, Outcome, RackChange, WhatIf};
use quantity::{Length, Money};

/// The id of the place for it in the sheet.
pub const PLACE: &str = "what-if";

/// The button that asks, and the place for the answer: it takes too long for every keystroke.
pub(crate) fn ask() -> Markup {
    html! {
        div.acts {
            button.act type="button" id={ (PLACE) "-ask" } data-act="what-if" aria-controls=(PLACE) {
                "What would another length change?"
            }
        }
        div id=(PLACE) role="status" data-answer="" {}
    }
}

/// The answer: a row for each change of the rack that makes a difference or was tried in vain.
#[must_use]
pub fn what_if(plan: &Plan, all: &[WhatIf]) -> Markup {
    let (idle, telling): (Vec<&WhatIf>, Vec<&WhatIf>) = all.iter().partition(|w| is_idle(w));
    let guessed = all
        .iter()
        .any(|w| matches!(w.change, RackChange::Added { price: Some(_), .. }));
    html! {
        @if all.is_empty() {
            p { "Nothing to compare: the rack needs a price on every row or on none, and something left to cut." }
        }
        @if !telling.is_empty() {
            table.buy {
                caption { "With one length more or fewer on the rack" }
                thead { tr {
                    th scope="col" { "Rack" } th scope="col" { "Purchase" }
                    th scope="col" { "Boards" } th scope="col" { "Proof" }
                } }
                tbody {
                    @for what in &telling {
                        tr {
                            th scope="row" { (change(plan, all, what)) }
                            (outcome(plan, &what.outcome))
                        }
                    }
                }
            }
        }
        @if !idle.is_empty() {
            p { "Left out without any difference: "
                @for (i, what) in idle.iter().enumerate() {
                    @if i > 0 { ", " }
                    (named(plan, all, what))
                }
                "." }
        }
        @if guessed {
            p { "Prices of lengths that are not on the rack are guessed by the metre between those of their neighbours: ask for the real ones." }
        }
    }
}

/// Whether a row is left out and nothing differs.
fn is_idle(what: &WhatIf) -> bool {
    matches!(what.change, RackChange::LeftOut { .. })
        && matches!(
            what.outcome,
            Outcome::Differs(Difference {
                cost: None | Some(Money::ZERO),
                length: Length::ZERO,
                boards: 0,
                proven: true,
            })
        )
}

fn change(plan: &Plan, all: &[WhatIf], what: &WhatIf) -> String {
    match what.change {
        RackChange::Added { price, .. } => {
            let mut said = format!("With {}", named(plan, all, what));
            if let Some(price) = price {
                said.push_str(&format!(" at {}{price}", plan.currency));
            }
            said
        }
        RackChange::LeftOut { .. } => format!("Without {}", named(plan, all, what)),
    }
}

/// The length with what it is of, where both are bought; with its row, where two are alike.
fn named(plan: &Plan, all: &[WhatIf], what: &WhatIf) -> String {
    let length_of = |w: &WhatIf| match w.change {
        RackChange::Added { length, .. } | RackChange::LeftOut { length, .. } => length,
    };
    let length = length_of(what);
    let mut said = String::new();
    if all.iter().any(|w| w.of != what.of) {
        said.push_str(match what.of {
            BoardOf::Bars => "batten of ",
            BoardOf::Bead => "bead of ",
        });
    }
    said.push_str(&plan.show.run(length));
    if let RackChange::LeftOut { row, .. } = what.change {
        let alike = |w: &&WhatIf| {
            w.of == what.of
                && length_of(w) == length
                && matches!(w.change, RackChange::LeftOut { .. })
        };
        if all.iter().filter(alike).count() > 1 {
            said.push_str(&format!(" (board {})", row + 1));
        }
    }
    said
}

fn outcome(plan: &Plan, outcome: &Outcome) -> Markup {
    let money = |m: &Money| format!("{}{m}", plan.currency);
    match outcome {
        Outcome::Differs(d) => html! {
            td { (difference(plan, d)) }
            td { (signed(d.boards)) }
            td { @if d.proven { "proven" } @else { "as far as searched" } }
        },
        Outcome::Possible {
            cost,
            length,
            boards,
        } => html! {
            td { "possible"
                @if let Some(cost) = cost { ", for " (money(cost)) }
                @else { ", with " (plan.show.run(*length)) } }
            td { (boards) }
            td {}
        },
        Outcome::Impossible { why } => html! { td colspan="3" { "Not possible. " (why) } },
    }
}

fn difference(plan: &Plan, d: &Difference) -> String {
    let word = |is_less: bool| if is_less { "less" } else { "more" };
    match d.cost {
        Some(Money::ZERO) => String::from("costs the same"),
        Some(cost) => {
            let amount = Money::from_hundredths(cost.as_hundredths().abs());
            format!("{}{amount} {}", plan.currency, word(cost < Money::ZERO))
        }
        None if d.length == Length::ZERO => String::from("as much wood"),
        None => format!(
            "{} {} wood",
            plan.show.run(d.length.abs()),
            word(d.length < Length::ZERO)
        ),
    }
}

fn signed(boards: i64) -> String {
    let word = if boards < 0 { "fewer" } else { "more" };
    match boards.unsigned_abs() {
        0 => String::from("as many"),
        n => format!("{n} {word}"),
    }
}

/// What is cut already and what it cost.
pub(crate) fn cut_already(plan: &Plan, boards: u64, spent: Option<Money>) -> Markup {
    html! {
        p { "Already cut, in none of these sums: " (counted(boards, "board", "boards"))
            @if let Some(spent) = spent { ", " (plan.currency) (spent) " spent" }
            "." }
    }
}

#[cfg(test)]
mod tests {
    use planner::{Draft, Effort, plan};

    use super::*;

    fn text(json: &str) -> String {
        let draft = Draft::from_tree(&serde_json::from_str(json).expect("JSON")).0;
        let all = planner::what_if(&draft, Effort::default());
        what_if(&plan(&draft), &all).into_string()
    }

    #[test]
    fn what_differs_is_said() {
        // See the planner's test of the same rack: one board of 3.6 m at 9.00 does for two of
        // 2.4 m at 6.00.
        let said = text(
            r#"{"bead":"none","bracing_by":"rule","braces":"no","kerf":"3 mm","trim":"0",
            "canvases":[{"width":"1000","height":"800","upright_bars":"0","level_bars":"0"}],
            "boards":[{"length":"2.4 m","price":"6"}]}"#,
        );
        let row = "<th scope=\"row\">With 3.60 m at £9.00</th><td>£3.00 less</td><td>1 fewer</td><td>proven</td>";
        assert!(said.contains(row), "{said}");
        assert!(said.contains("guessed by the metre"), "{said}");
    }

    #[test]
    fn a_rack_without_bead_says_what_would_do() {
        // 5.40 for 2.4 m is 2.25 a metre, × 3.6 = 8.10.
        let said = text(
            r#"{"canvases":[{"width":"1000","height":"800","count":"2"}],
            "boards":[{"length":"2.4 m","price":"5.40"}]}"#,
        );
        assert!(said.contains("With batten of 3.60 m at £8.10<"), "{said}");
        let bead = "<th scope=\"row\">With bead of 2.40 m</th><td>possible, with ";
        assert!(said.contains(bead), "{said}");
    }

    #[test]
    fn a_rack_with_some_prices_compares_nothing() {
        let said = text(
            r#"{"bead":"none","canvases":[{"width":"1000","height":"800"}],
            "boards":[{"length":"2.4 m","price":"6"},{"length":"3 m"}]}"#,
        );
        assert!(said.starts_with("<p>Nothing to compare"), "{said}");
    }
}
