//! What statics says of each frame, on one line: what governs, by how much and by which source.

use maud::{Markup, html};
use planner::bracing::{Check, Statics};

use super::ink::Ink;
use crate::bracing::{alike, is_least, members, of_part, verdict};

/// Frames braced alike share a line.
pub(super) fn bracing(ink: &Ink<'_>) -> Markup {
    let all = &ink.0.canvases;
    let firsts = (0..all.len()).filter(|i| alike(all, *i).first() == Some(i));
    let rows: Vec<(usize, &Statics)> = firsts
        .filter_map(|i| Some((i, all[i].bracing.statics.as_ref()?)))
        .collect();
    let mut sources: Vec<&str> = Vec::new();
    for check in rows
        .iter()
        .filter_map(|(_, statics)| statics.checks.first())
    {
        for source in [&check.found.how, &check.limit.how].map(|how| how.formula.source) {
            if !sources.contains(&source) {
                sources.push(source);
            }
        }
    }
    html! {
        @if !rows.is_empty() {
            section.job-statics {
                h3 { "Cross bars and braces by statics" }
                table {
                    thead { tr {
                        th { "Canvas" } th { "Built with" } th { "What governs" } th { "Found" }
                        th { "Limit" } th { "Of it used" }
                    } }
                    tbody {
                        @for (i, statics) in &rows {
                            @let b = &all[*i].bracing;
                            tr {
                                th { (names(ink, *i)) }
                                td { (members(b.upright.value, b.level.value, b.braces.value)) }
                                @if let Some(check) = statics.checks.first() { (governs(ink, check)) }
                            }
                        }
                    }
                }
                p { "Case: " (ink.0.basis.pull.hardest().0.name()) ". Sources: " (sources.join("; ")) ". No engineering certificate." }
            }
        }
    }
}

fn names(ink: &Ink<'_>, canvas: usize) -> String {
    let all = &ink.0.canvases;
    let names: Vec<&str> = alike(all, canvas)
        .into_iter()
        .map(|i| all[i].name.as_str())
        .collect();
    names.join(", ")
}

fn governs(ink: &Ink<'_>, check: &Check) -> Markup {
    html! {
        td { (of_part(check.kind, check.part)) }
        td { (ink.figure(&check.found)) }
        td { @if is_least(check.kind) { "at least " } (ink.figure(&check.limit)) }
        td { (ink.figure(&check.used)) ", " @if check.passes() { (verdict(check)) } @else { strong { (verdict(check)) } } }
    }
}
