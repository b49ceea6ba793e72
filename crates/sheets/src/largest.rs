//! How large a frame can be in the batten and cloth at hand, and what the reckoning rests on.

use maud::{Markup, html};
use planner::bracing::Basis;
use planner::bracing::largest::{Largest, LargestSide};

use crate::bracing::of_part;
use crate::pen::Pen;
use crate::picture::Picture;

pub(crate) fn largest(pen: &Pen<'_>) -> Markup {
    html! {
        section.card.wide id="bracing-largest" {
            h4 { "This batten and this cloth" }
            @if let Some(largest) = &pen.plan.largest { (sides(pen, largest)) }
            @if pen.plan.largest.is_some() { (Picture::BowPlot.fold("Bow against the longer side", false)) }
            details data-keep="bracing-basis" {
                summary { "What the reckoning rests on" }
                (basis(pen, &pen.plan.basis))
            }
        }
    }
}

fn sides<'a>(pen: &Pen<'a>, largest: &'a Largest) -> Markup {
    html! {
        p {
            "The longest side that passes, in the proportion "
            (pen.figure("Longer side over shorter side", &largest.proportion)) " to 1"
            @if let Some(c) = pen.plan.canvases.get(largest.canvas) { " of “" (c.name) "”" }
            ", whose longer side is " (pen.length(largest.side)) ". The rule of thumb: "
            (pen.figure("Longest side without cross bars, by rule", &largest.rule)) " without cross bars."
        }
        table.largest {
            thead { tr {
                th scope="col" { "Cross bars" } th scope="col" { "Longest side" }
                th scope="col" { "What stops it there" } th scope="col" { "By bow in the plane alone" }
            } }
            tbody { @for it in &largest.sides { (side(pen, it)) } }
        }
        p { "Reckoned without corner braces, unless the frame racks too easily without: with them a larger frame can pass than this table says." }
    }
}

fn side<'a>(pen: &Pen<'a>, it: &'a LargestSide) -> Markup {
    let name = format!("Longest side, cross bars: {}", it.cross_bars);
    html! {
        tr {
            th scope="row" { (it.cross_bars) }
            td.number {
                @match &it.longest {
                    Some(longest) => { (pen.figure(&name, longest)) }
                    None => { "no size passes" }
                }
            }
            td {
                @match (it.stopped_by, &it.longest) {
                    (Some(kind), _) => { (of_part(kind, it.part)) }
                    (None, Some(_)) => { "only the form’s own limit" }
                    (None, None) => {}
                }
            }
            td.number {
                @match &it.by_bow {
                    Some(longest) => { (pen.figure(&format!("{name}, by bow alone"), longest)) }
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
