//! What the rack and the cloth are enough for, on demand.

use maud::{Markup, html};
use planner::backward::{Backward, Count, Largest, Like, OneMore, Short};
use planner::show::counted;
use planner::{FieldRef, Plan, Show};
use quantity::{Length, Rounding};

use crate::names;

/// The id of the place for the answer.
pub const PLACE: &str = "from-there";

/// The fold with the question, the button that asks, and the place for the answer: it takes too
/// long for every keystroke.
pub(crate) fn ask(field: &Markup) -> Markup {
    html! {
        details.settings id="from-rack" {
            summary { "From what is there" }
            p { "How large a canvas, or how many, do the boards on the rack and the cloth at hand give? Every row of batten needs to say how many there are." }
            (field)
            div.acts {
                button.act type="button" id={ (PLACE) "-ask" } data-act="backward" aria-controls=(PLACE) { "What is it enough for?" }
            }
            div id=(PLACE) role="status" {}
        }
    }
}

/// The answer.
#[must_use]
pub fn backward(plan: &Plan, answer: Option<&Backward>) -> Markup {
    let show = plan.show;
    let field = FieldRef::setting("from_rack");
    if let Some(fault) = plan.faults.iter().find(|f| f.at == field) {
        return html! { p.error { (fault.message(show)) } };
    }
    let Some(answer) = answer else {
        return html! { p { "Type a proportion or a size, or give the first canvas one." } };
    };
    let Some(largest) = &answer.largest else {
        return needs_limits(answer);
    };
    html! {
        h3 { "The largest of this proportion" }
        (self::largest(show, largest))
        @if let (Some(count), Like::Size([w, h])) = (&answer.count, answer.like) {
            h3 { "How many of " (show.length(w)) " × " (show.length(h)) }
            (self::count(count))
        }
        @if !answer.more.is_empty() { (more(show, answer)) }
        p { "Reached by " (counted(u64::from(answer.tried), "cutting job", "cutting jobs")) ", with the plan's own frame, bracing, saw and blanks; prices and boards already cut are left out." }
        @if answer.bought_as_needed.contains(&true) {
            p { (match answer.bought_as_needed {
                [true, true] => "Bead and cloth without a number are taken as much as needed.",
                [true, false] => "Bead without a number is taken as much as needed.",
                _ => "Cloth without a length left is taken as much as needed.",
            }) }
        }
    }
}

fn needs_limits(answer: &Backward) -> Markup {
    html! {
        p.error { "Say first how many boards there are: a row without a number means as many as needed, and then there is no largest." }
        @if answer.unlimited.is_empty() { p { "The rack has no batten yet." } }
        @else {
            ul {
                @for at in &answer.unlimited { li { a href={ "#" (names::id(*at)) } { (names::place(*at)) } } }
            }
        }
    }
}

fn proof(proven: bool) -> &'static str {
    if proven {
        "Proven."
    } else {
        "As far as searched: not proven."
    }
}

/// What is in the way, as the end of a sentence.
fn because(short: &Short) -> String {
    match short {
        Short::Batten => String::from("the batten runs out."),
        Short::Bead => String::from("the bead runs out."),
        Short::Cloth => String::from("the cloth runs out or is too narrow."),
        Short::Shape(why) => why.clone(),
    }
}

fn largest(show: Show, it: &Largest) -> Markup {
    let [width, height] = [it.size[0].value, it.size[1].value];
    if width == Length::ZERO {
        return html! { p { "Not even the smallest canvas. " (proof(it.proven)) } };
    }
    let down = |x| show.length_rounded(x, Rounding::Down);
    html! {
        p.total { strong { (down(width)) " × " (down(height)) } }
        p {
            @if it.bracing == [0; 3] { "Without cross bars or braces." }
            @else { "With " (members(it.bracing)) "." }
        }
        @if let Some(short) = &it.ends_by {
            p { (show.length(it.step)) " more does not go: " (because(short)) " " (proof(it.proven)) }
        }
        @if it.bars_alone > width.max(height) {
            p { "Bars alone, without cross bars or braces, would fit boards and cloth up to " (down(it.bars_alone)) " on the longer side; the bracing takes the rest. Sizes between were looked at from the largest down, one bracing after the other, because where a cross bar falls away a larger size may fit and a smaller one not." }
        }
        @if !it.stands { p.error { "At this size statics finds no bracing that passes: see the bracing under Canvases." } }
    }
}

/// The members of a bracing that are there.
fn members([upright, level, braces]: [u32; 3]) -> String {
    let all = [
        (upright, "upright cross bar", "upright cross bars"),
        (level, "level cross bar", "level cross bars"),
        (braces, "corner brace", "corner braces"),
    ];
    let there = all.into_iter().filter(|(n, ..)| *n > 0);
    let said: Vec<String> = there
        .map(|(n, one, many)| counted(u64::from(n), one, many))
        .collect();
    said.join(", ")
}

fn count(it: &Count) -> Markup {
    html! {
        p.total { strong { (counted(it.canvases.value, "canvas", "canvases")) } }
        @if let Some(short) = &it.ends_by {
            p { "One more does not go: " (because(short)) " " (proof(it.proven)) }
        }
    }
}

/// The boards of which one more gains something.
fn more(show: Show, answer: &Backward) -> Markup {
    let gains = |m: &&OneMore| m.longer > Length::ZERO || m.canvases > 0;
    let telling: Vec<&OneMore> = answer.more.iter().filter(gains).collect();
    let counted_too = answer.count.is_some();
    let best = telling.iter().map(|m| (m.canvases, m.longer)).max();
    html! {
        h3 { "One more board" }
        @if telling.is_empty() { p { "One more board of any length on the rack gains nothing." } }
        @else {
            table.buy {
                thead { tr {
                    th scope="col" { "Board" } th scope="col" { "Longer side" }
                    @if counted_too { th scope="col" { "Canvases" } }
                    th scope="col" { "Proof" }
                } }
                tbody {
                    @for m in &telling {
                        tr {
                            th scope="row" { (show.run(m.length)) @if Some((m.canvases, m.longer)) == best { ", gains most" } }
                            td.number { @if m.longer > Length::ZERO { "+" (show.length_rounded(m.longer, Rounding::Down)) } @else { "the same" } }
                            @if counted_too { td.number { @if m.canvases > 0 { "+" (m.canvases) } @else { "as many" } } }
                            td { @if m.proven { "proven" } @else { "as far as searched" } }
                        }
                    }
                }
            }
        }
    }
}
