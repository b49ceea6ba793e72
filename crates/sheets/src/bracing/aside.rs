//! What stands beside a decision on bracing and is reckoned when its fold opens: other battens,
//! other pulls, racking, cross bars as columns.

use maud::{Markup, html};
use planner::bracing::{self, OtherSection, Statics};
use planner::figure::Figure;
use quantity::physics::{Distance, Force};
use quantity::{Money, Rounding};

use super::{if_passing, of_part};
use crate::pen::Pen;

/// What a canvas would need in another batten, or under another cloth.
pub(crate) fn sections_and_pulls(pen: &Pen<'_>, canvas: usize) -> Markup {
    html! {
        (sections(pen, &bracing::other_sections(pen.plan, canvas)))
        @if let Some(statics) = statics(pen, canvas) { (pulls(pen, canvas, statics)) }
    }
}

/// How hard a frame is to push out of square, and its cross bars as columns.
pub(crate) fn racking_and_columns(pen: &Pen<'_>, canvas: usize) -> Markup {
    html! {
        (racking(pen, canvas))
        @if let Some(statics) = statics(pen, canvas) { (columns(pen, statics)) }
    }
}

fn statics<'a>(pen: &Pen<'a>, canvas: usize) -> Option<&'a Statics> {
    pen.plan.canvases.get(canvas)?.bracing.statics.as_ref()
}

/// Face and depth of a section.
pub(super) fn section(pen: &Pen<'_>, it: &OtherSection) -> String {
    let face = pen.plan.show.bare_length(it.face, Rounding::Nearest);
    format!("{face} × {}", pen.length(it.depth))
}

fn sections(pen: &Pen<'_>, all: &[OtherSection]) -> Markup {
    let yes = |it: bool| if it { "passes" } else { "fails" };
    let priced = all.iter().any(|it| it.pays_up_to.is_some());
    html! {
        @if !all.is_empty() {
            table.sections {
                thead { tr {
                    th scope="col" { "Batten, face × depth" }
                    th scope="col" { "No cross bars" } th scope="col" { "At most one" }
                    th scope="col" { "Least that passes" } th scope="col" { "What governs" }
                    th scope="col" { "Of the limit used" }
                    th scope="col" { "Bracing saved" } th scope="col" { "Wood in all" }
                    @if priced { th scope="col" { "Cost" } th scope="col" { "Pays up to, a metre" } }
                } }
                tbody {
                    @for it in all {
                        @let name = section(pen, it);
                        tr {
                            th scope="row" { (name) }
                            td { (yes(it.plain)) }
                            td { (yes(it.with_one)) }
                            td { (if_passing(&it.least)) }
                            td { (of_part(it.least.governing, it.least.part)) }
                            td.number { (pen.figure(&format!("{name}, of the limit used"), &it.least.used)) }
                            td.number { (pen.figure(&format!("{name}, batten saved in cross bars and braces"), &it.batten_saved)) }
                            td.number { (pen.figure(&format!("{name}, wood compared"), &it.wood)) }
                            @if priced {
                                td.number {
                                    @match &it.cost {
                                        Some(cost) => { (pen.as_text(&format!("{name}, cost compared"), &cost.how, difference(pen, cost.value))) }
                                        None => { "no price given" }
                                    }
                                }
                                td.number {
                                    @if let Some(price) = &it.pays_up_to {
                                        (pen.figure(&format!("{name}, pays up to, a metre"), price))
                                    }
                                }
                            }
                        }
                    }
                }
            }
            p { "“Bracing saved” is batten in cross bars and braces against the frame as built, negative where more is needed; “wood in all” is all its wood against all the wood of the frame as built." }
            @if priced {
                p { "“Cost” compares the batten of the whole frame by the metre, offcuts left out; give a price behind a batten in the list under Cut (50 × 25 mm at 2.10). “Pays up to” is the price of a metre at which both cost the same." }
            } @else {
                p { "With prices on the rack under Buy, and behind the battens in the list under Cut (50 × 25 mm at 2.10), it also says what each would save in money." }
            }
        }
    }
}

/// Money more or less.
fn difference(pen: &Pen<'_>, cost: Money) -> String {
    match cost {
        Money::ZERO => String::from("the same"),
        less if less < Money::ZERO => format!("{} less", pen.money(Money::ZERO - less)),
        more => format!("{} more", pen.money(more)),
    }
}

fn pulls(pen: &Pen<'_>, canvas: usize, statics: &Statics) -> Markup {
    let others = bracing::other_pulls(pen.plan, canvas);
    let all = std::iter::once(&statics.least).chain(&others);
    html! {
        table.pulls {
            thead { tr {
                th scope="col" { "Pull of the cloth" } th scope="col" { "Least that passes" }
                th scope="col" { "What governs" } th scope="col" { "Of the limit used" }
            } }
            tbody {
                @for it in all {
                    tr {
                        th scope="row" { (pen.figure("Pull of the cloth", &it.pull)) }
                        td { (if_passing(it)) }
                        td { (of_part(it.governing, it.part)) }
                        td.number { (pen.figure("Share of the limit used", &it.used)) }
                    }
                }
            }
        }
        p { "What cloth pulls is weakly known, so a slacker and a tauter one stand beside yours." }
    }
}

fn racking(pen: &Pen<'_>, canvas: usize) -> Markup {
    let force = |name: &str, braced: bool, figure: &Figure<Force>| {
        html! {
            td.number {
                @if braced && figure.value.to_newtons() <= 0.0 { "no room for braces" }
                @else { (pen.figure(name, figure)) }
            }
        }
    };
    html! {
        table.racking {
            thead { tr {
                th scope="col" { "Force at a corner for " (pen.plan.show.movement(Distance::from_mm(1.0))) " out of square" }
                th scope="col" { "Corners as hinges" } th scope="col" { "Corners rigid" }
            } }
            tbody {
                @for it in bracing::racking(pen.plan, canvas).iter().flatten() {
                    tr {
                        th scope="row" { @if it.braced { "with braces" } @else { "without braces" } }
                        (force("Racking force, corners as hinges", it.braced, &it.hinged))
                        (force("Racking force, corners rigid", it.braced, &it.rigid))
                    }
                }
            }
        }
    }
}

fn columns(pen: &Pen<'_>, statics: &Statics) -> Markup {
    html! {
        @if !statics.crossings.is_empty() {
            table.columns {
                thead { tr {
                    th scope="col" { "Cross bar" } th scope="col" { "Pressed by" }
                    th scope="col" { "Buckles by itself at" } th scope="col" { "Crossed at its middle" }
                } }
                tbody {
                    @for it in &statics.crossings {
                        @let name = it.part.name();
                        tr {
                            th scope="row" { (name) }
                            td.number { (pen.figure(&format!("{name}, thrust"), &it.compression)) }
                            td.number { (pen.figure(&format!("{name}, buckling by itself"), &it.alone)) }
                            td.number {
                                @match &it.crossed {
                                    Some(crossed) => { (pen.figure(&format!("{name}, buckling when crossed"), crossed)) }
                                    None => { "not crossed there" }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
