//! The roll of cloth and the blanks on it.

use maud::Markup;
use planner::cloth::{ClothPurchase, PlacedBlank};
use planner::plan::Plan;
use quantity::order::sort_by;
use quantity::{Length, Rounding};

use super::facts::{bare, unit};
use super::frame::nothing_yet;
use super::pen::rectangle;
use super::sheet::{Anchor, BADGE, Look, Sheet, Side, TEXT, Try, WIDTH};
use super::text::{Weight, width_of};

/// Each roll that is used, to scale, from its cut end downward: blanks with their number in the
/// order of cutting, selvedges, the warp's direction, and what is left over.
#[must_use]
pub fn roll(plan: &Plan) -> Markup {
    let Some(cloth) = plan.cloth.as_ref().filter(|c| !c.lengths.is_empty()) else {
        return nothing_yet("Roll of cloth");
    };
    let show = plan.show;
    let mut sheet = Sheet::new(
        "Roll of cloth",
        format!(
            "To scale, in {}: the blanks on the roll, numbered in the order of cutting.",
            unit(show)
        ),
    );
    let mut number = 0;
    for index in 0..cloth.lengths.len() {
        draw(&mut sheet, plan, cloth, index, &mut number);
    }
    sheet.note(
        None,
        format!(
            "All in {}, width first. Hatched: selvedge. The warp runs along the roll. Cut straight across first, then each strip.",
            unit(show)
        ),
    );
    sheet.finish()
}

fn draw(sheet: &mut Sheet, plan: &Plan, cloth: &ClothPurchase, index: usize, number: &mut usize) {
    let show = plan.show;
    let roll = &cloth.lengths[index];
    let mut placed: Vec<&PlacedBlank> = cloth.placed.iter().filter(|p| p.roll == index).collect();
    // Shears free the strip nearest the end first.
    sort_by(&mut placed, |a, b| (a.y, a.x) < (b.y, b.x));
    let long = roll.buy.value.max(roll.used);
    let left = 36.0;
    let right = 14.0;
    let smallest = placed
        .iter()
        .map(|p| p.across.min(p.along).to_mm())
        .fold(f64::INFINITY, f64::min);
    let scale = (210.0 / long.to_mm())
        .max((2.0 * BADGE + 1.0) / smallest)
        .min((WIDTH - left - right) / roll.width.to_mm());
    let u = |x: Length| x.to_mm() * scale;
    let top = sheet.bottom() + 16.0;
    let (x0, x1) = (left, left + u(roll.width));
    sheet.across(
        (x0, x1),
        top - 5.0,
        &format!("roll {}", bare(show, roll.width)),
        Side::Before,
    );
    sheet.area(&rectangle((x0, top), (x1, top + u(long))), Look::Edge);
    // The selvedge is what no blank touches on the left.
    if let Some(edge) = placed
        .iter()
        .map(|p| p.x)
        .min()
        .filter(|e| *e > Length::ZERO)
    {
        for (a, b) in [(x0, x0 + u(edge)), (x1 - u(edge), x1)] {
            let strip = rectangle((a, top), (b, top + u(long)));
            sheet.hatched(&strip, 2.0);
            sheet.line(
                &[
                    (if a > x0 { a } else { b }, top),
                    (if a > x0 { a } else { b }, top + u(long)),
                ],
                Look::Hidden,
            );
        }
    }
    for remnant in cloth.remnants.iter().filter(|r| r.roll == index) {
        let (x, y) = (x0 + u(remnant.x), top + u(remnant.y));
        let (w, h) = (u(remnant.across), u(remnant.along));
        sheet.area(&rectangle((x, y), (x + w, y + h)), Look::Hidden);
    }
    for blank in &placed {
        let (x, y) = (x0 + u(blank.x), top + u(blank.y));
        let (w, h) = (u(blank.across), u(blank.along));
        sheet.area(&rectangle((x, y), (x + w, y + h)), Look::Cloth);
    }
    for blank in &placed {
        *number += 1;
        let (x, y) = (x0 + u(blank.x), top + u(blank.y));
        let (w, h) = (u(blank.across), u(blank.along));
        let (cx, cy) = (x + w / 2.0, y + h / 2.0);
        let size = format!(
            "{} × {}",
            bare_up(plan, blank.across),
            bare_up(plan, blank.along)
        );
        let wide = width_of(&size, TEXT, Weight::Plain) + 2.0 <= w;
        let has_two_lines = wide && h >= 2.0 * BADGE + 8.0;
        let on = (cx, if has_two_lines { cy - 3.5 } else { cy });
        let side: Vec<Try> = [x1 + 6.0, x0 - 6.0]
            .into_iter()
            .flat_map(|to| (0..8).map(move |row| (to, cy + f64::from(row) * 2.0)))
            .map(|at| Try::led(at, Anchor::Middle, [at, (cx, cy)]))
            .collect();
        let mut tries = vec![Try::new(on, Anchor::Middle)];
        if w < 2.0 * BADGE || h < 2.0 * BADGE {
            tries = side;
        }
        sheet.place_badge(&number.to_string(), &tries);
        if has_two_lines {
            sheet.place(&size, &[Try::new((cx, cy + 4.0), Anchor::Middle)]);
        }
        let name = plan.canvases.get(blank.canvas).map_or("", |c| &c.name);
        let turned = if blank.turned {
            ", lying on its side"
        } else {
            ""
        };
        sheet.note(
            Some(&number.to_string()),
            format!("{name}: blank {size}{turned}."),
        );
    }
    // The warp.
    let x = x1 + 5.0;
    let (a, b) = (top + 2.0, top + (u(long) * 0.4).clamp(10.0, 30.0));
    let has_room = u(long) > 14.0;
    if has_room {
        sheet.line(&[(x, a), (x, b)], Look::Grain);
        for (y, way) in [(a, 2.0), (b, -2.0)] {
            sheet.line(
                &[(x - 1.2, y + way), (x, y), (x + 1.2, y + way)],
                Look::Grain,
            );
        }
    }
    sheet.upright(
        (top, top + u(roll.used)),
        x0 - 4.0,
        &format!("used {}", bare_up(plan, roll.used)),
        Side::Before,
    );
    if has_room {
        sheet.call("warp", (x, b), (0.0, 6.5));
    }
    if roll.buy.value > roll.used {
        let y = top + u(roll.buy.value);
        sheet.line(&[(x0 - 6.0, y), (x1 + 4.0, y)], Look::Hidden);
    }
    let text = format!("Buy {} of this roll", show.run(roll.buy.value));
    let y = sheet.bottom() + 6.0;
    sheet.text(&text, (x0, y), Anchor::Start);
    for remnant in cloth.remnants.iter().filter(|r| r.roll == index) {
        let mut text = format!(
            "Left over, dashed: {} × {}",
            show.bare_length(remnant.across, Rounding::Down),
            show.bare_length(remnant.along, Rounding::Down)
        );
        if let Some(c) = remnant.enough_for.and_then(|c| plan.canvases.get(c)) {
            text.push_str(&format!(", enough for another {}", c.name));
        }
        sheet.note(None, text + ".");
    }
}

/// A blank's side: cut no shorter than this.
fn bare_up(plan: &Plan, x: Length) -> String {
    plan.show.bare_length(x, Rounding::Up)
}
