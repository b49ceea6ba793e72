//! The plain mitre: heel, toe, screw and pins; and where a brace lands.

use maud::Markup;
use planner::brief::{Corner, Fixing};
use planner::frame::{MarkKind, Part};
use planner::plan::Plan;
use quantity::Length;

use super::facts::Facts;
use super::frame::nothing_yet;
use super::joint::{Joint, joint};
use super::pen::Point;
use super::sheet::{BADGE, Layout, Look, Sheet, Side};

/// A mitred corner from the back, to scale: heel, toe, the screw through the heel and the two
/// pins that pass each other. For a lapped corner, its joint.
#[must_use]
pub fn mitre(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    let Some(facts) = Facts::of(plan, canvas) else {
        return nothing_yet(layout, "Mitre");
    };
    if facts.brief.corner.value != Corner::Mitre {
        return joint(plan, canvas, Joint::Corner, layout);
    }
    let frame = facts.frame;
    let face = frame.face.to_mm();
    let (x0, f) = corner_as_drawn(layout);
    let (scale, long, y0) = (f / face, 2.0 * f, 0.0);
    let mut sheet = Sheet::new(
        layout,
        format!("Mitre of {}", facts.canvas.name),
        format!(
            "A corner from the back, to scale, in {}: the mitre runs from the heel outside to the toe inside, {} along each inner edge.",
            facts.unit(),
            facts.bare(frame.face)
        ),
    );
    let at = |x: f64, y: f64| -> Point { (x0 + x, y0 + y) };
    sheet.area(
        &[at(0.0, 0.0), at(long, 0.0), at(long, f), at(f, f)],
        Look::Wood,
    );
    sheet.area(
        &[at(0.0, 0.0), at(f, f), at(f, long), at(0.0, long)],
        Look::Wood,
    );
    for share in [0.25, 0.75] {
        sheet.line(
            &[at(f * 1.15, f * share), at(long - 4.0, f * share)],
            Look::Grain,
        );
        sheet.line(
            &[at(f * share, f * 1.15), at(f * share, long - 4.0)],
            Look::Grain,
        );
    }
    fasteners(&mut sheet, facts, scale, &at);
    sheet.call("heel", at(0.0, 0.0), (-10.0, -6.0));
    sheet.call("toe", at(f, f), (12.0, 8.0));
    sheet.upright(
        (y0, y0 + f),
        x0 + long + 5.0,
        &facts.bare(frame.face),
        Side::After,
    );
    if let Some(bar) = facts.member(Part::TopBottom) {
        sheet.badge(&bar.letter, at(long - 10.0, f / 2.0));
    }
    if let Some(side) = facts.member(Part::Side) {
        sheet.badge(&side.letter, at(f / 2.0, long - 10.0));
    }
    notes(&mut sheet, facts);
    sheet.finish()
}

/// Left edge of a corner, and half the length of its bars.
const fn corner_as_drawn(layout: Layout) -> (f64, f64) {
    match layout {
        Layout::Wide => (40.0, 46.0),
        Layout::Narrow => (24.0, 25.0),
    }
}

fn fasteners(sheet: &mut Sheet, facts: Facts<'_>, scale: f64, at: &impl Fn(f64, f64) -> Point) {
    let Some(fasteners) = &facts.canvas.fasteners else {
        return;
    };
    let first = |part, kind| facts.marks(part, kind).first().copied();
    if let Some(screw) = first(Part::TopBottom, MarkKind::Screw) {
        let length = facts.brief.screw_length.value;
        let (x, l) = (screw.to_mm() * scale, length.to_mm() * scale);
        // Square to the mitre the wood limits its length; square to the edge it runs inward.
        let (dx, dy) = if fasteners.longest_screw.is_some() {
            (
                -std::f64::consts::FRAC_1_SQRT_2,
                std::f64::consts::FRAC_1_SQRT_2,
            )
        } else {
            (0.0, 1.0)
        };
        rod(sheet, at(x, 0.0), (dx, dy), l, 1.1, Look::Metal);
        sheet.across(
            (at(0.0, 0.0).0, at(x, 0.0).0),
            at(0.0, 0.0).1 - 6.0,
            &format!("screw {}", facts.bare(screw)),
            Side::Before,
        );
    }
    let pin = fasteners.shortest_pin.value.to_mm() * scale;
    if let Some(mark) = first(Part::TopBottom, MarkKind::Pin) {
        let x = mark.to_mm() * scale;
        rod(sheet, at(x, 0.0), (0.0, 1.0), pin, 0.5, Look::Metal);
        sheet.across(
            (at(0.0, 0.0).0, at(x, 0.0).0),
            at(0.0, 0.0).1 - 15.0,
            &format!("pin {}", facts.bare(mark)),
            Side::Before,
        );
    }
    if let Some(mark) = first(Part::Side, MarkKind::Pin) {
        let y = mark.to_mm() * scale;
        rod(sheet, at(0.0, y), (1.0, 0.0), pin, 0.5, Look::Metal);
        sheet.upright(
            (at(0.0, 0.0).1, at(0.0, y).1),
            at(0.0, 0.0).0 - 6.0,
            &format!("pin {}", facts.bare(mark)),
            Side::Before,
        );
    }
}

/// A screw or pin from its head inward.
fn rod(sheet: &mut Sheet, head: Point, (dx, dy): Point, length: f64, half: f64, look: Look) {
    let end = (head.0 + dx * length, head.1 + dy * length);
    let (sx, sy) = (-dy * half, dx * half);
    sheet.area(
        &[
            (head.0 + sx * 2.0, head.1 + sy * 2.0),
            (head.0 - sx * 2.0, head.1 - sy * 2.0),
            (head.0 - sx + dx * 1.5, head.1 - sy + dy * 1.5),
            (end.0 - dx * 1.5 - sx, end.1 - dy * 1.5 - sy),
            end,
            (end.0 - dx * 1.5 + sx, end.1 - dy * 1.5 + sy),
            (head.0 + sx + dx * 1.5, head.1 + sy + dy * 1.5),
        ],
        look,
    );
}

fn notes(sheet: &mut Sheet, facts: Facts<'_>) {
    sheet.note(
        None,
        format!(
            "All in {}, at 45°. Heel and toe are marked across the face, then squared down both edges; saw on the waste side.",
            facts.unit()
        ),
    );
    let Some(fasteners) = &facts.canvas.fasteners else {
        return;
    };
    if fasteners.screws.value > 0 && facts.brief.fixing.value == Fixing::Fixed {
        let mut text = format!(
            "Screw through the heel of the top and bottom bar, pilot hole {}, {} of it in the side bar",
            facts.bare(fasteners.pilot.value),
            facts.bare(fasteners.screw_hold.value)
        );
        if let Some(longest) = &fasteners.longest_screw {
            text.push_str(&format!(
                "; longer than {} it comes out",
                facts
                    .show
                    .bare_length(longest.value, quantity::Rounding::Down)
            ));
        }
        sheet.note(None, text + ".");
    }
    if fasteners.pins.value > 0 {
        sheet.note(
            None,
            format!(
                "Pins, one from each bar, pass each other: {} long at least, {} at most.",
                facts
                    .show
                    .bare_length(fasteners.shortest_pin.value, quantity::Rounding::Up),
                facts
                    .show
                    .bare_length(fasteners.longest_pin.value, quantity::Rounding::Down),
            ),
        );
    }
}

/// Where a brace lands on the bars: near and far edge from the corner, both its edges, 45°.
#[must_use]
pub fn brace_landing(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    let Some(facts) = Facts::of(plan, canvas) else {
        return nothing_yet(layout, "Brace");
    };
    let first = |kind| facts.marks(Part::TopBottom, kind).first().copied();
    let (Some(brace), Some(near), Some(far)) = (
        facts.member(Part::Brace),
        first(MarkKind::BraceNear),
        first(MarkKind::BraceFar),
    ) else {
        return nothing_yet(layout, "Brace");
    };
    let face = facts.frame.face.to_mm();
    let (x0, half) = corner_as_drawn(layout);
    let (long, y0) = (2.0 * half, 0.0);
    let scale = long * 0.83 / far.to_mm();
    let u = |x: Length| x.to_mm() * scale;
    let f = face * scale;
    let at = |x: f64, y: f64| -> Point { (x0 + x, y0 + y) };
    let short = brace.short_edge.as_ref().map(|s| facts.bare(s.value));
    let mut sheet = Sheet::new(
        layout,
        format!("Brace of {}", facts.canvas.name),
        format!(
            "A corner from the back, to scale, in {}: the brace meets the inner edge of each bar from {} to {} from the outer corner; its long edge is {}.",
            facts.unit(),
            facts.bare(near),
            facts.bare(far),
            facts.bare(brace.length.value)
        ),
    );
    sheet.area(
        &[at(0.0, 0.0), at(long, 0.0), at(long, f), at(f, f)],
        Look::Wood,
    );
    sheet.area(
        &[at(0.0, 0.0), at(f, f), at(f, long), at(0.0, long)],
        Look::Wood,
    );
    let (n, r) = (u(near), u(far));
    sheet.area(&[at(n, f), at(r, f), at(f, r), at(f, n)], Look::Over);
    // Along the brace: its middle line from one landing to the other.
    let (p, q) = ((f64::midpoint(n, r), f), (f, f64::midpoint(n, r)));
    let along = |t: f64| at(p.0 + (q.0 - p.0) * t, p.1 + (q.1 - p.1) * t);
    sheet.line(&[along(0.12), along(0.38)], Look::Grain);
    sheet.line(&[along(0.62), along(0.88)], Look::Grain);
    for (mark, row) in [(near, 6.0), (far, 13.0)] {
        let x = u(mark);
        sheet.line(&[at(x, f), (x0 + x, y0 - row)], Look::Dim);
        sheet.across((x0, x0 + x), y0 - row, &facts.bare(mark), Side::Before);
    }
    let screws = facts.marks(Part::Brace, MarkKind::BraceScrew);
    let screw = screws.first().copied();
    if let Some(screw) = screw {
        // From the long edge, square to each bar.
        let in_from_tip = u(screw) * std::f64::consts::FRAC_1_SQRT_2;
        let l = u(facts.brief.screw_length.value);
        let (x, y) = (r - in_from_tip, f + in_from_tip);
        rod(&mut sheet, at(x, y), (0.0, -1.0), l, 1.1, Look::Metal);
        rod(&mut sheet, at(y, x), (-1.0, 0.0), l, 1.1, Look::Metal);
    }
    let middle = f64::midpoint(f, r);
    sheet.call(
        &format!("long edge {}", facts.bare(brace.length.value)),
        at(middle, middle),
        (12.0, 12.0),
    );
    if let Some(short) = short {
        let m = f64::midpoint(f, n);
        // To the left, past the side bar.
        sheet.call(&format!("short edge {short}"), at(m, m), (-m - 3.0, 9.0));
    }
    sheet.call("45°", at(r - 1.0, f + 0.5), (8.0, 5.0));
    let middle = along(0.5);
    if f > 2.0 * BADGE {
        sheet.badge(&brace.letter, middle);
    } else {
        sheet.call_badge(&brace.letter, middle, (8.0, 12.0));
    }
    sheet.note(
        None,
        format!(
            "All in {}, measured from the outer corner and marked on the inner edge of both bars.",
            facts.unit()
        ),
    );
    if let Some(screw) = screw {
        sheet.note(
            None,
            format!(
                "One screw at each end of a brace, in through its long edge {} from the tip, square to the bar.",
                facts.bare(screw)
            ),
        );
    }
    sheet.note(
        Some(&brace.letter),
        format!(
            "corner brace, {} in all, grain along it, ends at 45°.",
            brace.count
        ),
    );
    sheet.finish()
}
