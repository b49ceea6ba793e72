//! The setting-out rod on one sheet, to scale.

use maud::Markup;
use planner::frame::Mark;
use planner::plan::Plan;
use quantity::Length;

use super::facts::Facts;
use super::frame::{nothing_yet, spread_evenly};
use super::pen::rectangle;
use super::sheet::{Anchor, LINE, Layout, Look, Sheet, TEXT};
use super::text::wrapped;

/// The setting-out rod of a member (an index into the frame's members) as an upright strip with
/// all its marks, each with what lies there.
#[must_use]
pub fn rod(plan: &Plan, canvas: usize, member: usize, layout: Layout) -> Markup {
    let Some((facts, member)) =
        Facts::of(plan, canvas).and_then(|f| Some((f, f.frame.members.get(member)?)))
    else {
        return nothing_yet(layout, "Setting-out rod");
    };
    let mut sheet = Sheet::new(
        layout,
        format!("Rod of {}, {}", facts.canvas.name, member.part.name()),
        format!(
            "All marks from one end, in {}: {}.",
            facts.unit(),
            member
                .marks
                .iter()
                .map(|m| format!("{} {}", facts.bare(m.at), words(m)))
                .collect::<Vec<_>>()
                .join("; ")
        ),
    );
    let texts: Vec<Vec<String>> = member
        .marks
        .iter()
        .map(|m| {
            let text = format!("{}  {}", facts.bare(m.at), words(m));
            wrapped(&text, TEXT, layout.width() - 38.0)
        })
        .collect();
    let tallest = texts.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let gap = LINE * tallest + 1.0;
    let long = (gap * texts.len() as f64).clamp(110.0, 210.0);
    let scale = long / member.length.value.to_mm();
    let (x0, x1) = (8.0, 20.0);
    sheet.area(&rectangle((x0, 0.0), (x1, long)), Look::Wood);
    let wanted: Vec<f64> = member.marks.iter().map(|m| m.at.to_mm() * scale).collect();
    let places = spread_evenly(&wanted, gap, (f64::NEG_INFINITY, f64::INFINITY));
    for ((lines, from), to) in texts.iter().zip(&wanted).zip(places) {
        sheet.line(&[(x0, *from), (x1, *from)], Look::Edge);
        sheet.line(
            &[(x1, *from), (x1 + 3.0, *from), (x1 + 10.0, to)],
            Look::Leader,
        );
        for (i, line) in lines.iter().enumerate() {
            let y = to + LINE * i as f64;
            sheet.text(line, (x1 + 11.5, y), Anchor::Start);
        }
    }
    let heel = (member.as_sawn.value - member.length.value).half();
    let planed = if heel > Length::ZERO {
        format!(
            " That end is the line to plane to, {} in from the sawn one.",
            facts.bare(heel)
        )
    } else {
        String::new()
    };
    sheet.note(
        Some(&member.letter),
        format!(
            "{}: {} of {}. All in {}, from the end at the top.{planed}",
            member.part.name(),
            member.count,
            facts.bare(member.length.value),
            facts.unit()
        ),
    );
    sheet.finish()
}

fn words(mark: &Mark) -> String {
    let names: Vec<&str> = mark.what.iter().map(|k| k.name()).collect();
    names.join(" + ")
}
