//! How large a frame can be in the batten and cloth at hand, and what the reckoning rests on.

use maud::{Markup, html};
use planner::bracing::{self, Basis, largest::LargestSide};
use planner::show::counted;
use quantity::Rounding;

use crate::bracing::of_part;
use crate::pen::Pen;
use crate::picture::Picture;

pub(crate) fn largest(pen: &Pen<'_>) -> Markup {
    html! {
        section.card.wide id="bracing-largest" {
            h4 { "This batten and this cloth" }
            p {
                "The rule of thumb: up to "
                (pen.figure("Longest side without cross bars, by rule", &pen.plan.basis.rule))
                " without cross bars."
            }
            (Picture::Largest.fold("How large a frame can be", false))
            (Picture::BowPlot.fold("Bow against the longer side", false))
            (pen.fold(
                "bracing-basis",
                html! { summary { "What the reckoning rests on" } },
                basis(pen, &pen.plan.basis),
            ))
        }
    }
}

/// The longest sides that pass with no, one and two cross bars.
pub(crate) fn sides(pen: &Pen<'_>) -> Markup {
    let Some(largest) = bracing::largest(pen.plan) else {
        return html! { p { "No frame yet." } };
    };
    html! {
        p {
            "The longest side that passes every check, in the proportion "
            (pen.figure("Longer side over shorter side", &largest.proportion)) " to 1"
            @if let Some(c) = pen.plan.canvases.get(largest.canvas) { " of “" (c.name) "”" }
            ", whose longer side is " (pen.length(largest.side)) "."
        }
        table.largest {
            thead { tr {
                th scope="col" { "Cross bars" } th scope="col" { "Longest side" }
                th scope="col" { "It needs" } th scope="col" { "Without corner braces" }
                th scope="col" { "What stops it there" } th scope="col" { "By bow in the plane alone" }
            } }
            tbody { @for it in &largest.sides { (side(pen, it)) } }
        }
        @if shrinks(&largest.sides) {
            p { "With one more cross bar the frame has to be smaller here: it holds only two of the four bars, is itself pressed by the cloth and bows, and its housings weaken the bars that it meets." }
        }
        p { "Tried with corner braces and without, cross bars every way, as for the canvases themselves; “by bow alone” is without corner braces, all cross bars across the longer side." }
    }
}

/// Whether a further cross bar makes the largest frame smaller.
fn shrinks(sides: &[LargestSide]) -> bool {
    let longest = |it: &LargestSide| it.longest.as_ref().map(|longest| longest.value);
    sides
        .windows(2)
        .any(|pair| longest(&pair[1]).is_some_and(|next| Some(next) < longest(&pair[0])))
}

/// What the longest side needs.
fn needs(it: &LargestSide) -> String {
    let bars = |n: u32, across: &str| {
        (n > 0).then(|| {
            format!(
                "{} across the {across} side",
                counted(u64::from(n), "cross bar", "cross bars")
            )
        })
    };
    let [longer, shorter] = it.dividing;
    let braces =
        (it.braces > 0).then(|| counted(u64::from(it.braces), "corner brace", "corner braces"));
    let all: Vec<String> = [bars(longer, "longer"), bars(shorter, "shorter"), braces]
        .into_iter()
        .flatten()
        .collect();
    if all.is_empty() {
        String::from("four bars")
    } else {
        all.join(", ")
    }
}

fn side(pen: &Pen<'_>, it: &LargestSide) -> Markup {
    let name = format!("Longest side, cross bars: {}", it.cross_bars);
    let longest = it.longest.as_ref();
    let down = |name: &str, figure| pen.rounded(name, figure, Rounding::Down);
    html! {
        tr {
            th scope="row" { (it.cross_bars) }
            td.number {
                @match longest {
                    Some(longest) => { (down(&name, longest)) }
                    None => { "no size passes" }
                }
            }
            td { @if longest.is_some() { (needs(it)) } }
            td.number {
                @match (&it.unbraced, longest) {
                    (Some(longest), _) => { (down(&format!("{name}, without corner braces"), longest)) }
                    (None, Some(_)) if it.braces == 0 => { "the same" }
                    (None, _) => { "no size passes" }
                }
            }
            td {
                @match (it.stopped_by, longest) {
                    (Some(kind), _) => { (of_part(kind, it.part)) }
                    (None, Some(_)) => { "only the form’s own limit" }
                    (None, None) => {}
                }
            }
            td.number {
                @match &it.by_bow {
                    Some(longest) => { (down(&format!("{name}, by bow alone"), longest)) }
                    None => { "no size passes" }
                }
            }
        }
    }
}

fn basis<'a>(pen: &Pen<'a>, basis: &'a Basis) -> Markup {
    let (pull, batten) = (&basis.pull, &basis.batten);
    html! {
        dl.figures {
            (pen.line("Pull of the cloth as stretched", &pull.stretched))
            (pen.line("Creep adds, of itself", &pull.creep))
            (pen.line("Pull that counts, stretched for good", &pull.lasting))
            @if let Some(stress) = &pull.film_stress { (pen.line("Stress of the dry size", stress)) }
            @if let Some(thickness) = &pull.film_thickness { (pen.line("Thickness of the size", thickness)) }
            @if let Some(rise) = &pull.rise { (pen.line("The dry size adds", rise)) }
            @if let Some(all) = &pull.with_rise { (pen.line("Pull that counts, size dried out", all)) }
            (pen.line("The cloth pulls in front of the bars’ middle", &basis.arm))
            (pen.line("Modulus, mean", &batten.mean))
            (pen.line("Modulus, lower", &batten.lower))
            (pen.line("Modulus that bending is reckoned with", &batten.modulus))
            (pen.line("Shear modulus", &batten.shear))
            (pen.line("Moisture of the wood in the dampest season", &batten.moisture))
        }
        p { "Stiffness: " (batten.name) ". Source: " (batten.source) "." }
    }
}
