//! Advice on cross bars, braces and the batten's section.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use super::Advice;
use crate::bracing::{Bracing, Check, Fewest, Statics};
use crate::brief::Brief;
use crate::fields::{FieldRef, Stage, Table};
use crate::figure::Value;
use crate::plan::CanvasPlan;
use crate::show::counted;

pub(super) fn advice(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    for (i, c) in canvases.iter().enumerate() {
        let Some(statics) = &c.bracing.statics else {
            continue;
        };
        // Canvases alike are told once.
        let told = canvases[..i].iter().any(|o| o.bracing == c.bracing);
        if statics.passes || told {
            continue;
        }
        let Some(worst) = statics.checks.first() else {
            continue;
        };
        let (key, why) = remedy(brief, &c.bracing, statics);
        all.push(Advice {
            stage: Stage::Cut,
            at: match key {
                "upright_bars" => FieldRef {
                    table: Table::Canvases,
                    row: c.row,
                    key,
                },
                _ => FieldRef::setting(key),
            },
            what: format!("{}: {}", c.name, fails(brief, worst)),
            why,
        });
    }
}

fn fails(brief: &Brief, check: &Check) -> String {
    let part = check.part.map_or("frame", |part| part.name());
    let say = |value: &Value| brief.show.value(value, &brief.currency);
    format!(
        "the {part} fails by its {}: {} against {}.",
        check.kind.name(),
        say(&check.found.value),
        say(&check.limit.value)
    )
}

/// The smallest change that passes, and the field that makes it.
fn remedy(brief: &Brief, bracing: &Bracing, statics: &Statics) -> (&'static str, String) {
    if let Some(change) = statics.smallest_change.as_ref().filter(|c| c.passes) {
        let words = members(change);
        let rule = if [change.upright, change.level] == bracing.rule {
            ", as the rule of thumb says"
        } else {
            ""
        };
        return (
            "upright_bars",
            format!("The smallest change that passes: {words}{rule}."),
        );
    }
    let passing = statics.other_sections.iter().find(|s| s.fewest.passes);
    match passing {
        Some(section) => (
            "bar_face",
            format!(
                "No bracing in this batten passes. Batten of {} × {} passes with {}.",
                brief.show.bare_length(section.face, quantity::Rounding::Nearest),
                brief.show.length(section.depth),
                members(&section.fewest)
            ),
        ),
        None => (
            "bar_depth",
            "No bracing in this batten passes, nor in the others at hand: a deeper batten, a lower bead, a slacker cloth or a weaker size would help; or set the limits to what you can bear."
                .to_string(),
        ),
    }
}

fn members(fewest: &Fewest) -> String {
    let mut words: Vec<String> = Vec::new();
    if fewest.upright > 0 {
        words.push(counted(
            u64::from(fewest.upright),
            "upright cross bar",
            "upright cross bars",
        ));
    }
    if fewest.level > 0 {
        words.push(counted(
            u64::from(fewest.level),
            "level cross bar",
            "level cross bars",
        ));
    }
    if fewest.braces > 0 {
        words.push("corner braces".into());
    }
    match words.split_last() {
        None => "no cross bars".into(),
        Some((last, [])) => last.clone(),
        Some((last, first)) => format!("{} and {last}", first.join(", ")),
    }
}
