//! A cut through a bar.

use maud::Markup;
use planner::brief::Bead;
use planner::plan::Plan;

use super::facts::Facts;
use super::frame::nothing_yet;
use super::pen::{Point, number, rectangle};
use super::sheet::{Layout, Look, Sheet, Side};

/// A section through an outer bar, to scale, front upward: bar, bead or bevel, the way of the
/// cloth, and the staple on the back.
#[must_use]
pub fn section(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    let Some((facts, blank)) =
        Facts::of(plan, canvas).and_then(|f| Some((f, f.canvas.blank.as_ref()?)))
    else {
        return nothing_yet(layout, "Section through a bar");
    };
    let frame = facts.frame;
    let edge = facts.brief.bead.value;
    let (face, depth) = (frame.face.to_mm(), frame.depth.to_mm());
    let rise_exact = blank.front_fold.value - blank.back_fold.value - frame.depth;
    let rise = rise_exact.to_mm();
    let overhang = facts.canvas.bead.as_ref().map_or(0.0, |b| {
        (b[0].value - frame.outer_width.value).to_mm() / 2.0
    });
    let turnover_exact = blank.back_fold.value - blank.trim_line.value;
    let turnover = turnover_exact.to_mm();
    let inward = face.max(rise).max(turnover) + face * 0.35;
    let room = match layout {
        Layout::Wide => 78.0,
        // Names stand on both sides.
        Layout::Narrow => 36.0,
    };
    let scale = (room / (inward + overhang))
        .min(62.0 / (depth + rise))
        .min(4.0);
    let u = |mm: f64| mm * scale;

    let mut sheet = Sheet::new(
        layout,
        format!("Section through a bar of {}", facts.canvas.name),
        format!(
            "To scale, front upward, in {}: bar {} wide and {} deep; the cloth runs over the front edge, down the side and {} onto the back, where the staple holds it.",
            facts.unit(),
            facts.bare(frame.face),
            facts.bare(frame.depth),
            facts.bare(turnover_exact),
        ),
    );
    // The outer edge of the bar lies at x, its front at 0, its back below.
    let x = (layout.width() - u(inward)) / 2.0 + 6.0;
    let back = u(depth);
    let bar = match edge {
        Bead::Bevel => vec![
            (x, 0.0),
            (x + u(face), u((depth * 0.25).min(face * 0.12))),
            (x + u(face), back),
            (x, back),
        ],
        _ => rectangle((x, 0.0), (x + u(face), back)).to_vec(),
    };
    sheet.area(&bar, Look::Wood);
    end_grain(&mut sheet, (x, 0.0), u(face), back);
    let top = -u(rise);
    let left = x - u(overhang);
    if edge == Bead::QuarterRound {
        let r = number(u(rise));
        let d = format!(
            "M{} 0L{} {}A{r} {r} 0 0 1 {} 0Z",
            number(left),
            number(left),
            number(top),
            number(left + u(rise))
        );
        sheet.reach(top);
        sheet.path(d, Look::Over);
    }

    // The cloth, a line outside of the wood.
    let off = 1.0;
    let last = x + u(turnover);
    let way: [Point; 5] = [
        (x + u(inward), top - off),
        (left - off, top - off),
        (left - off, 0.0),
        (x - off, back + off),
        (last, back + off),
    ];
    sheet.line(&way, Look::Thread);

    // The staple: its back lies on the cloth, its legs in the wood.
    let staple = x + u(turnover.min(face) * 0.55);
    let leg = (back * 0.35).min(7.0);
    for side in [-1.8, 1.8] {
        sheet.line(
            &[
                (staple + side, back + off + 0.5),
                (staple + side, back - leg),
            ],
            Look::Metal,
        );
    }
    sheet.area(
        &rectangle(
            (staple - 1.8, back + off + 0.2),
            (staple + 1.8, back + off + 0.9),
        ),
        Look::Metal,
    );

    let right = x + u(face.max(if edge == Bead::QuarterRound {
        rise
    } else {
        0.0
    }));
    sheet.upright(
        (0.0, back),
        right + 7.0,
        &format!("{} deep", facts.bare(frame.depth)),
        Side::After,
    );
    sheet.across(
        (x, x + u(face)),
        back + 14.0,
        &format!("face {}", facts.bare(frame.face)),
        Side::After,
    );
    sheet.across(
        (x, last),
        back + 7.0,
        &format!("turnover {}", facts.bare(turnover_exact)),
        Side::After,
    );
    if rise_exact > quantity::Length::ZERO {
        sheet.upright(
            (top, 0.0),
            left - 6.0,
            &format!("bead {}", facts.bare(rise_exact)),
            Side::Before,
        );
    }
    sheet.call("cloth", (x + u(inward) * 0.8, top - off), (0.0, -8.0));
    sheet.call("front", (x + u(inward) * 0.35, top - off), (0.0, -8.0));
    sheet.call("staple", (staple, back + off + 0.9), (-26.0, 8.0));
    sheet.call("outer side", (left - off, back * 0.6), (-12.0, 3.0));
    if edge == Bead::Bevel {
        sheet.call(
            "bevel, slopes inward",
            (x + u(face) * 0.8, 1.0),
            (12.0, -6.0),
        );
    }
    if facts
        .canvas
        .bead
        .as_ref()
        .is_some_and(|b| b[0].value > frame.outer_width.value)
    {
        sheet.note(
            None,
            "The bead stands out beyond the bar; the cloth bridges that step.",
        );
    }
    if edge == Bead::Nothing {
        sheet.note(None, "Nothing holds the cloth off this bar.");
    }
    sheet.note(
        None,
        format!(
            "All in {}. The grip of {} beyond the turnover is cut off or folded in at the end.",
            facts.unit(),
            facts.bare(blank.trim_line.value)
        ),
    );
    sheet.finish()
}

/// Growth rings: the bar is cut across.
fn end_grain(sheet: &mut Sheet, (x, y): Point, w: f64, h: f64) {
    for share in [0.3, 0.55, 0.8] {
        let r = number(w.max(h) * 1.1);
        let d = format!(
            "M{} {}A{r} {r} 0 0 1 {} {}",
            number(x + w * 0.08),
            number(y + h * share),
            number(x + w * 0.92),
            number(y + h * share)
        );
        sheet.path(d, Look::Grain);
    }
}
