//! The blank: fold lines, pencil line, corner.

use maud::Markup;
use planner::plan::Plan;
use quantity::Rounding;

use super::facts::Facts;
use super::frame::nothing_yet;
use super::pen::rectangle;
use super::sheet::{Anchor, EDGE, Layout, Look, Sheet, Side, TEXT};
use super::text::{Weight, width_of};

/// The blank to scale with its lines, the warp's direction, and one corner enlarged: how far
/// each line lies from the edge, and how the corner is folded.
#[must_use]
pub fn blank(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    let Some((facts, blank)) =
        Facts::of(plan, canvas).and_then(|f| Some((f, f.canvas.blank.as_ref()?)))
    else {
        return nothing_yet(layout, "Blank");
    };
    let show = plan.show;
    let up = |x| show.bare_length(x, Rounding::Up);
    let lines = [
        (blank.trim_line.value, "trim"),
        (blank.back_fold.value, "back fold"),
        (blank.front_fold.value, "pencil line"),
    ];
    let mut sheet = Sheet::new(
        layout,
        format!("Blank of {}", facts.canvas.name),
        format!(
            "The cloth for one canvas, in {}: {} by {}; from each edge the trim line at {}, the back fold at {}, the pencil line of the front edge at {}.",
            facts.unit(),
            up(blank.width.value),
            up(blank.height.value),
            facts.bare(blank.trim_line.value),
            facts.bare(blank.back_fold.value),
            facts.bare(blank.front_fold.value)
        ),
    );

    // The whole blank.
    let (width, height) = (up(blank.width.value), up(blank.height.value));
    let left = width_of(&height, TEXT, Weight::Plain) + 9.0;
    let scale = ((layout.width() - left - 22.0) / blank.width.value.to_mm())
        .min(95.0 / blank.height.value.to_mm());
    let (w, h) = (
        blank.width.value.to_mm() * scale,
        blank.height.value.to_mm() * scale,
    );
    let x0 = left + (layout.width() - left - 20.0 - w) / 2.0;
    sheet.area(&rectangle((x0, 0.0), (x0 + w, h)), Look::Cloth);
    for (at, _) in lines {
        let o = at.to_mm() * scale;
        sheet.area(&rectangle((x0 + o, o), (x0 + w - o, h - o)), Look::Fold);
    }
    sheet.across((x0, x0 + w), h + 5.0, &width, Side::After);
    sheet.upright((0.0, h), x0 - 5.0, &height, Side::Before);
    warp(&mut sheet, plan, canvas, (x0 + w / 2.0, h / 2.0), w.min(h));

    // One corner, enlarged.
    let top = sheet.bottom() + 12.0;
    sheet.text("One corner, larger:", (EDGE, top), Anchor::Start);
    let top = top + 26.0;
    let fold = blank.front_fold.value.to_mm();
    // The fold and the corner as drawn.
    let (cx, inner, size) = match layout {
        Layout::Wide => (50.0, 50.0, 76.0),
        Layout::Narrow => (46.0, 29.0, 44.0),
    };
    let scale = inner / fold;
    sheet.area(&rectangle((cx, top), (cx + size, top + size)), Look::Cloth);
    let offsets = lines.map(|(at, _)| at.to_mm() * scale);
    for o in offsets {
        sheet.line(
            &[
                (cx + size, top + o),
                (cx + o, top + o),
                (cx + o, top + size),
            ],
            Look::Fold,
        );
    }
    // The pleat: a fold at 45° from the blank's corner to the front corner.
    let front = offsets[2];
    sheet.line(&[(cx, top), (cx + front, top + front)], Look::Hidden);
    sheet.call(
        "pleat fold, 45°",
        (cx + front * 0.45, top + front * 0.45),
        (-24.0, 10.0),
    );
    sheet.call("front corner", (cx + front, top + front), (30.0, 14.0));
    for ((at, name), row) in lines.into_iter().zip([5.0, 11.5, 18.0]) {
        let o = at.to_mm() * scale;
        sheet.line(&[(cx + o, top), (cx + o, top - row)], Look::Dim);
        sheet.dim_line((cx, top - row), (cx + o, top - row));
        let mut text = format!("{name} {}", facts.bare(at));
        if width_of(&text, TEXT, Weight::Plain) > cx - 4.0 {
            // The name stands in the notes.
            text = facts.bare(at);
        }
        sheet.text(&text, (cx - 2.0, top - row), Anchor::End);
    }

    if blank.cut_width.value > blank.width.value || blank.cut_height.value > blank.height.value {
        sheet.note(
            None,
            format!(
                "Before the wash cut it {} × {}; the lines are drawn after it.",
                up(blank.cut_width.value),
                up(blank.cut_height.value)
            ),
        );
    }
    sheet.note(
        None,
        format!(
            "All in {}, from the blank's edge: trim {}, back fold {}, pencil line {}. Pencil line on the back of the cloth: it lies along the front edge of the frame.",
            facts.unit(),
            facts.bare(blank.trim_line.value),
            facts.bare(blank.back_fold.value),
            facts.bare(blank.front_fold.value)
        ),
    );
    sheet.note(
        None,
        "Corner: pull the fold over the corner, lay the pleat flat to the top or bottom edge, staple it on the back. Thick cloth: cut the grip away at the corner first, never inside the back fold.",
    );
    sheet.finish()
}

/// An arrow along the warp, where the roll plan says how this blank lies.
fn warp(sheet: &mut Sheet, plan: &Plan, canvas: usize, (x, y): (f64, f64), room: f64) {
    let lies = plan
        .cloth
        .iter()
        .flat_map(|c| &c.placed)
        .find(|p| p.canvas == canvas);
    let Some(placed) = lies else {
        return;
    };
    let half = (room * 0.25).clamp(4.0, 14.0);
    // The warp runs along the roll; a turned blank has its width there.
    let ends = if placed.turned {
        [(x - half, y), (x + half, y)]
    } else {
        [(x, y - half), (x, y + half)]
    };
    sheet.line(&ends, Look::Grain);
    let (dx, dy) = if placed.turned {
        (1.0, 0.0)
    } else {
        (0.0, 1.0)
    };
    for (end, way) in ends.into_iter().zip([1.0, -1.0]) {
        let base = (end.0 + dx * way * 2.0, end.1 + dy * way * 2.0);
        sheet.line(
            &[
                (base.0 - dy * 1.2, base.1 - dx * 1.2),
                end,
                (base.0 + dy * 1.2, base.1 + dx * 1.2),
            ],
            Look::Grain,
        );
    }
    let across = if placed.turned {
        "warp runs across the canvas"
    } else {
        "warp runs up the canvas"
    };
    sheet.note(None, format!("Arrow: {across}."));
}
