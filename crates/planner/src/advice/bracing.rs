//! Advice on cross bars, braces and the batten's section.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use quantity::physics::{Distance, Force};

use super::Advice;
use crate::bracing::joints::{self, JointForce};
use crate::bracing::{Bracing, Check, Least, Statics};
use crate::brief::Brief;
use crate::fields::{FieldRef, Stage, Table};
use crate::figure::{Figure, Value};
use crate::plan::CanvasPlan;
use crate::show::counted;

pub(super) fn advice(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    fixings(brief, canvases, all);
    for (i, c) in canvases.iter().enumerate() {
        let Some(statics) = &c.bracing.statics else {
            continue;
        };
        // Canvases alike are told once.
        let told = canvases[..i].iter().any(|o| o.bracing == c.bracing);
        if told {
            continue;
        }
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
            what: format!("{}: {}", c.name, fails(brief, statics, worst)),
            why,
        });
    }
}

/// Fixings that would carry more than they are trusted with, were there no glue: each kind where
/// it is pulled hardest.
fn fixings(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    let mut names: Vec<&str> = Vec::new();
    let mut hardest: Vec<(&JointForce, &Figure<Force>, &str)> = Vec::new();
    for c in canvases {
        let joints = c.bracing.statics.iter().flat_map(|s| &s.joints);
        for joint in joints.filter(|joint| joint.counts) {
            let Some(holds) = joint.holds.as_ref().filter(|h| h.value < joint.force.value) else {
                continue;
            };
            if names.last() != Some(&c.name.as_str()) {
                names.push(&c.name);
            }
            match hardest
                .iter_mut()
                .find(|(j, ..)| j.fastener == joint.fastener)
            {
                Some(known) if known.0.force.value >= joint.force.value => {}
                Some(known) => *known = (joint, holds, &c.name),
                None => hardest.push((joint, holds, &c.name)),
            }
        }
    }
    if names.is_empty() {
        return;
    }
    let mut words: Vec<String> = Vec::new();
    for (joint, holds, name) in hardest {
        let [force, holds] = [joint.force.value, holds.value]
            .map(|f| brief.show.value(&Value::Force(f), &brief.currency));
        let name = if names.len() > 1 {
            format!(" ({name})")
        } else {
            String::new()
        };
        words.push(format!("{}, {force} against {holds}{name}", joint.fastener));
    }
    all.push(Advice {
        stage: Stage::Join,
        at: FieldRef::setting("screw_diameter"),
        what: format!(
            "{}: glue must carry what its fixings cannot: {}.",
            names.join(", "),
            words.join("; ")
        ),
        why: format!(
            "Glue these joints over their whole faces and keep them pressed until the glue has set. {}",
            joints::DEFERRAL
        ),
    });
}

fn fails(brief: &Brief, statics: &Statics, check: &Check) -> String {
    let part = check.part.map_or("frame", |part| part.name());
    let say = |value: &Value| brief.show.value(value, &brief.currency);
    if statics.stands {
        return format!(
            "the frame racks easily: {} at a corner puts it {} out of square, and {} is asked for (our choice).",
            say(&check.found.value),
            brief.show.movement(Distance::from_mm(1.0)),
            say(&check.limit.value)
        );
    }
    // A frame that folds up does so before anything else.
    if let Some(carries) = statics.checks.iter().find_map(|c| c.carries.as_ref()) {
        let pull = carries.how.inputs.first().map(|input| say(&input.value));
        return format!(
            "the frame buckles: it carries {} of {}.",
            say(&carries.value.into()),
            pull.unwrap_or_default()
        );
    }
    format!(
        "the {part} fails by its {}: {} against {}.",
        check.kind.name(),
        say(&check.found.value),
        say(&check.limit.value)
    )
}

/// The smallest change that passes, and the field that makes it.
fn remedy(brief: &Brief, bracing: &Bracing, statics: &Statics) -> (&'static str, String) {
    if let Some(change) = statics.mending() {
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
    // What stands needs no other batten.
    if statics.stands {
        return (
            "racking_force",
            "No bracing in this batten resists more. It hangs as well: hold it square while the glue sets, and set the push to what you can bear."
                .to_string(),
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
