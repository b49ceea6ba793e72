//! The short answer that stays in sight, and the sentence a screen reader hears.

use maud::{Markup, html};
use planner::show::counted;
use planner::timber::Purchase;
use planner::{FieldRef, Plan};

use crate::bracing::{alike, of_part};
use crate::names;

/// What the short answer says, in order: what it is, and how much.
fn lines(plan: &Plan) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    let mut put = |name: &str, fields: &[FieldRef], shown: Option<String>| {
        let waits = fields.first().map(|at| names::waits(*at));
        // What waits for the same field is told in one line: on a phone there is room for few.
        let together = |line: &&mut (String, String)| Some(&line.1) == waits.as_ref();
        match all.iter_mut().find(together) {
            Some((names, _)) => {
                names.push_str(", ");
                names.push_str(&name.to_ascii_lowercase());
            }
            None => all.extend(waits.or(shown).map(|said| (name.to_owned(), said))),
        }
    };
    let missing = &plan.not_bought;
    let boards = |p: &Purchase| {
        let lines = p.lines.iter();
        let all: Vec<String> = lines
            .map(|l| unbroken(&format!("{} × {}", l.count, plan.show.run(l.length))))
            .collect();
        all.join(", ")
    };
    for (name, bought, missing) in [
        ("Batten", &plan.boards, &missing.boards),
        ("Bead", &plan.bead, &missing.bead),
    ] {
        match bought {
            Some(p) => put(name, &p.total_length.how.waiting(), Some(boards(p))),
            None => put(name, missing, None),
        }
    }
    if let Some(cloth) = &plan.cloth {
        let lengths = cloth.lengths.iter();
        let shown: Vec<String> = lengths
            .map(|l| {
                let run = |x| unbroken(&plan.show.run(x));
                format!("{} of {} roll", run(l.buy.value), run(l.width))
            })
            .collect();
        if let Some(first) = cloth.lengths.first() {
            put("Cloth", &first.buy.how.waiting(), Some(shown.join(", ")));
        }
    } else {
        put("Cloth", &missing.cloth, None);
    }
    if let Some(totals) = &plan.totals {
        put(
            "Staples",
            &totals.staples.how.waiting(),
            Some(totals.staples.value.to_string()),
        );
    }
    if let Some(size) = &plan.size {
        let glue = plan.show.value(&size.glue.value.into(), &plan.currency);
        put("Size glue", &size.glue.how.waiting(), Some(glue));
    }
    if let Some(cost) = plan.totals.as_ref().and_then(|t| t.cost.as_ref()) {
        let without = without(plan);
        put(
            "Cost",
            &cost.how.waiting(),
            Some(format!("{}{}{without}", plan.currency, cost.value)),
        );
    }
    all
}

/// What a cost takes no account of, since it is wanted and not bought yet: ` without bead`.
fn without(plan: &Plan) -> String {
    let missing = &plan.not_bought;
    let all = [
        ("batten", &missing.boards),
        ("bead", &missing.bead),
        ("cloth", &missing.cloth),
    ];
    let waits = all.iter().filter(|(_, fields)| !fields.is_empty());
    let names: Vec<&str> = waits.map(|(name, _)| *name).collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" without {}", names.join(" and "))
    }
}

/// Where a frame fails a check, and by which: one line for frames braced alike, and at most two,
/// the second for all the others. With each the place of its card.
fn failing(plan: &Plan) -> Vec<(usize, String)> {
    let all = &plan.canvases;
    let fails = |i: &usize| all[*i].bracing.statics.as_ref().is_some_and(|s| !s.stands);
    let firsts = (0..all.len()).filter(|i| alike(all, *i).first() == Some(i));
    let failing: Vec<usize> = firsts.filter(fails).collect();
    let mut said = Vec::new();
    if let Some(&first) = failing.first() {
        let statics = all[first].bracing.statics.as_ref();
        if let Some(check) = statics.and_then(|statics| statics.checks.first()) {
            let used = plan.show.value(&check.used.value.into(), &plan.currency);
            let what = of_part(check.kind, check.part);
            said.push((
                first,
                format!("{} fails by {what}: {used} of the limit", all[first].name),
            ));
        }
    }
    if let [_, second, rest @ ..] = &failing[..] {
        let more = counted(
            rest.len() as u64 + 1,
            "more frame fails",
            "more frames fail",
        );
        said.push((*second, format!("{more} a check")));
    }
    said
}

/// A quantity that a line must not break.
fn unbroken(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// The short answer.
#[must_use]
pub fn answer(plan: &Plan) -> Markup {
    let lines = lines(plan);
    html! {
        @if lines.is_empty() {
            p.nothing { "Give a canvas a width and a height." }
        }
        dl {
            @for (name, shown) in &lines {
                div { dt { (name) } dd { (shown) } }
            }
        }
        @for (card, said) in failing(plan) {
            p.count { a href={ "#bracing-" (card) } { (said) } }
        }
        @if !plan.faults.is_empty() {
            p.count { a href="#faults" { (counted(plan.faults.len() as u64, "thing", "things")) " to put right" } }
        }
    }
}

/// The short answer as a sentence for a screen reader.
#[must_use]
pub fn spoken(plan: &Plan) -> String {
    let parts: Vec<String> = lines(plan)
        .into_iter()
        .map(|(name, shown)| format!("{name}: {shown}"))
        .collect();
    let mut said = if parts.is_empty() {
        String::from("No canvas yet")
    } else {
        parts.join(". ")
    };
    for (_, fails) in failing(plan) {
        said += ". ";
        said += &fails;
    }
    if !plan.faults.is_empty() {
        said += ". ";
        said += &counted(plan.faults.len() as u64, "thing", "things");
        said += " to put right";
    }
    said + "."
}
