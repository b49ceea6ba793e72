//! Advice on cross bars, braces and the batten's section.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use super::Advice;
use crate::bracing::{Bracing, Check, Least, Statics, joints};
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
        if told {
            continue;
        }
        fixings(brief, c, statics, all);
        if statics.passes {
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

/// Fixings that would carry more than they are trusted with, were there no glue.
fn fixings(brief: &Brief, c: &CanvasPlan, statics: &Statics, all: &mut Vec<Advice>) {
    let mut words: Vec<String> = Vec::new();
    for joint in statics.joints.iter().filter(|joint| joint.counts) {
        if let Some(holds) = joint.holds.as_ref().filter(|h| h.value < joint.force.value) {
            let [force, holds] = [&joint.force, holds]
                .map(|f| brief.show.value(&Value::Force(f.value), &brief.currency));
            words.push(format!("{}, {force} against {holds}", joint.fastener));
        }
    }
    if words.is_empty() {
        return;
    }
    all.push(Advice {
        stage: Stage::Join,
        at: FieldRef::setting("screw_diameter"),
        what: format!("{}: glue must carry what its fixings cannot: {}.", c.name, words.join("; ")),
        why: format!(
            "Glue these joints over their whole faces and keep them pressed until the glue has set. {}",
            joints::DEFERRAL
        ),
    });
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
    match &statics.passing_section {
        Some(section) => (
            "bar_face",
            format!(
                "No bracing in this batten passes. Batten of {} × {} passes with {}.",
                brief.show.bare_length(section.face, quantity::Rounding::Nearest),
                brief.show.length(section.depth),
                members(&section.least)
            ),
        ),
        None => (
            "bar_depth",
            "No bracing in this batten passes, nor in the others at hand: a deeper batten, a lower bead, a slacker cloth or a weaker size would help; or set the limits to what you can bear."
                .to_string(),
        ),
    }
}

fn members(least: &Least) -> String {
    let mut words: Vec<String> = Vec::new();
    if least.upright > 0 {
        words.push(counted(
            u64::from(least.upright),
            "upright cross bar",
            "upright cross bars",
        ));
    }
    if least.level > 0 {
        words.push(counted(
            u64::from(least.level),
            "level cross bar",
            "level cross bars",
        ));
    }
    if least.braces > 0 {
        words.push("corner braces".into());
    }
    match words.split_last() {
        None => "no cross bars".into(),
        Some((last, [])) => last.clone(),
        Some((last, first)) => format!("{} and {last}", first.join(", ")),
    }
}
