//! The plan made of each section on the rack, side by side.

use maud::{Markup, html};
use planner::battens::{Batten, RackOf};
use planner::show::counted;
use planner::{How, Plan, Show};
use quantity::Rounding;

use crate::bracing::of_part;
use crate::how;

/// The id of the place for it in the sheet.
pub const PLACE: &str = "battens";

/// The button that asks, and the place for the answer: it takes too long for every keystroke.
pub(crate) fn ask() -> Markup {
    html! {
        div.acts {
            button.act type="button" id={ (PLACE) "-ask" } data-act="battens" aria-controls=(PLACE) {
                "What would other battens cost and weigh?"
            }
        }
        // A sheet of its own: its figures are counted by themselves.
        div.sheet id=(PLACE) role="status" data-answer="" {}
    }
}

/// The answer: a row for each section.
#[must_use]
pub fn battens(plan: &Plan, all: &[Batten]) -> Markup {
    let unpriced = all.iter().any(|b| b.cost.is_none() && b.length.is_some());
    html! {
        table.sections {
            caption { "The whole plan made of each batten" }
            thead { tr {
                th scope="col" { "Batten, face × depth" } th scope="col" { "Boards to buy" }
                th scope="col" { "Price" } th scope="col" { "Weight of the wood" }
                th scope="col" { "Cross bars, braces" } th scope="col" { "Statics" }
            } }
            tbody {
                @for (n, it) in all.iter().enumerate() {
                    tr {
                        th scope="row" { (name(it, plan.show)) @if it.in_hand { " (in hand)" } }
                        @if let Some(why) = &it.why_not {
                            td colspan="3" { "Not possible. " (why) }
                        } @else {
                            td { (boards(it, plan.show)) }
                            td.number { @if it.cost.is_some() { (figure(plan, all, 2 * n)) (best(it.best.cost, "least")) } @else { "no price" } }
                            td.number { @if it.mass.is_some() { (figure(plan, all, 2 * n + 1)) (best(it.best.mass, "least")) } }
                        }
                        td { (it.cross_bars) ", " (it.braces) (best(it.best.bracing, "fewest")) }
                        td {
                            @if it.failing == 0 { "passes" }
                            @else { (counted(it.failing, "frame fails", "frames fail")) }
                            @if let Some((kind, part, used)) = &it.governs {
                                ": " (of_part(*kind, *part)) ", "
                                @if used.is_waiting() { "waits" }
                                @else { (plan.show.value(&used.value.into(), &plan.currency)) " of the limit" }
                            }
                        }
                    }
                }
            }
        }
        @if all.len() < 2 {
            p { "There is only the batten in hand: give a row of the rack another section, or name other battens under Cut." }
        }
        @for rack in [RackOf::PriceOfMetre, RackOf::Lengths] {
            @let names: Vec<String> = all.iter().filter(|b| b.rack == rack).map(|b| name(b, plan.show)).collect();
            @if !names.is_empty() {
                p { (names.join(", ")) ": " (source(rack)) }
            }
        }
        @if all.iter().any(|b| b.failing > 0) {
            p { "The least and the fewest are of the battens in which every frame passes." }
        }
        @if unpriced {
            p { "Prices are compared where every batten has one: on rows of the rack with its section, or by length behind “Other battens at hand” under Cut." }
        }
    }
}

const fn source(rack: RackOf) -> &'static str {
    match rack {
        RackOf::Rows => "as on the rack.",
        RackOf::PriceOfMetre => "in the lengths of the batten in hand, at the price by length.",
        RackOf::Lengths => "in the lengths of the batten in hand, without a price.",
    }
}

fn name(it: &Batten, show: Show) -> String {
    let face = show.bare_length(it.face, Rounding::Nearest);
    format!("{face} × {}", show.length(it.depth))
}

fn boards(it: &Batten, show: Show) -> String {
    let lines: Vec<String> = it
        .lines
        .iter()
        .map(|l| format!("{} × {}", l.count, show.run(l.length)))
        .collect();
    let mut said = lines.join(", ");
    if !it.proven {
        said.push_str(" (as far as searched)");
    }
    said
}

fn best(is_best: bool, word: &str) -> Markup {
    html! { @if is_best { " " strong.best { (word) } } }
}

/// The n-th figure as a button that opens how it was reached.
fn figure(plan: &Plan, all: &[Batten], n: usize) -> Markup {
    let Some((name, shown, _)) = explained(plan, all, n) else {
        return html! {};
    };
    html! {
        button.figure type="button" id={ (PLACE) "-figure-" (n) } data-how=(n) aria-haspopup="dialog"
            aria-label={ (name) ": " (shown) ", how it was reached" } { (shown) }
    }
}

fn explained<'a>(plan: &Plan, all: &'a [Batten], n: usize) -> Option<(String, String, &'a How)> {
    let it = all.get(n / 2)?;
    let batten = name(it, plan.show);
    Some(if n.is_multiple_of(2) {
        let cost = it.cost.as_ref()?;
        let shown = plan.show.value(&cost.value.into(), &plan.currency);
        (format!("{batten}, price"), shown, &cost.how)
    } else {
        let mass = it.mass.as_ref()?;
        let shown = plan.show.value(&mass.value.into(), "");
        (format!("{batten}, weight of the wood"), shown, &mass.how)
    })
}

/// How the n-th figure was reached.
#[must_use]
pub fn how_compared(plan: &Plan, all: &[Batten], n: usize) -> Option<Markup> {
    let (name, shown, how) = explained(plan, all, n)?;
    Some(how::body(&name, &shown, how, plan.show, &plan.currency))
}

#[cfg(test)]
mod tests {
    use planner::battens::compare;
    use planner::{Draft, Effort, plan};

    use super::*;

    #[test]
    fn each_batten_has_a_row_and_the_best_are_marked() {
        // See the planner's test of the same frame: 6.00 in hand, 5.00 in 38 × 19, 10.08 in 63 × 38.
        let tree = r#"{"bead":"none","bracing_by":"rule","braces":"no","kerf":"3 mm","trim":"0",
            "canvases":[{"width":"600","height":"500"}],"other_sections":"63 × 38 mm at 4.20",
            "boards":[{"length":"2.4 m","price":"6.00"},
                {"length":"2.4 m","price":"5.00","section":"38 x 19 mm"},
                {"length":"500","price":"5.00","section":"30 x 19 mm"}]}"#;
        let draft = Draft::from_tree(&serde_json::from_str(tree).expect("JSON")).0;
        let plan = plan(&draft);
        let all = compare(&draft, Effort::default());
        let said = battens(&plan, &all).into_string();
        for part in [
            "<th scope=\"row\">45 × 20 mm (in hand)</th><td>1 × 2.40 m</td>",
            "£5.00</button> <strong class=\"best\">least</strong>",
            "<th scope=\"row\">30 × 19 mm</th><td colspan=\"3\">Not possible. ",
            "63 × 38 mm: in the lengths of the batten in hand, at the price by length.",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        let how = how_compared(&plan, &all, 3)
            .expect("a weight")
            .into_string();
        assert!(
            how.contains("38 × 19 mm, weight of the wood") && how.contains("wood of one frame"),
            "{how}"
        );
        // 30 × 19 has no price.
        assert!(how_compared(&plan, &all, 4).is_none());
    }
}
