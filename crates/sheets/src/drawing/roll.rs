//! The roll of cloth, the blanks on it and the cuts that free them.

use maud::Markup;
use planner::cloth::{ClothCut, ClothPurchase, PlacedBlank};
use planner::plan::Plan;
use quantity::order::sort_by;
use quantity::{Length, Rounding};

use super::facts::{bare, unit};
use super::frame::nothing_yet;
use super::pen::{Point, rectangle};
use super::sheet::{Anchor, BADGE, Layout, Look, Sheet, Side, TEXT, Try};
use super::text::{Weight, width_of};

/// Room to the right of a roll, for the numbers of cuts and the warp.
const RIGHT: f64 = 21.0;
/// The longest stretch of a roll on one printed drawing.
const TALLEST: f64 = 130.0;

/// Each roll that is used, to scale, from its cut end downward: blanks with their number, the
/// cuts in their order, selvedges, the warp's direction, and what is left over.
#[must_use]
pub fn roll(plan: &Plan, layout: Layout) -> Markup {
    let Some(cloth) = bought(plan) else {
        return nothing_yet(layout, "Roll of cloth");
    };
    let mut sheet = begun(plan, layout);
    for index in 0..cloth.lengths.len() {
        let roll = Roll::new(plan, cloth, index, layout, 0.0);
        roll.draw(&mut sheet, (Length::ZERO, roll.long));
    }
    legend(&mut sheet, plan);
    sheet.finish()
}

/// The same for paper: larger, and a long roll over several drawings, each ending where no blank
/// is cut in two.
#[must_use]
pub fn roll_each(plan: &Plan) -> Vec<Markup> {
    let mut all = Vec::new();
    let Some(cloth) = bought(plan) else {
        return all;
    };
    for index in 0..cloth.lengths.len() {
        let size = "1000 × 1000";
        let roll = Roll::new(plan, cloth, index, Layout::Wide, text_width(size) + 2.0);
        for stretch in roll.stretches() {
            let mut sheet = begun(plan, Layout::Wide);
            roll.draw(&mut sheet, stretch);
            legend(&mut sheet, plan);
            all.push(sheet.finish());
        }
    }
    all
}

fn bought(plan: &Plan) -> Option<&ClothPurchase> {
    plan.cloth.as_ref().filter(|c| !c.lengths.is_empty())
}

fn begun(plan: &Plan, layout: Layout) -> Sheet {
    Sheet::new(
        layout,
        "Roll of cloth",
        format!(
            "To scale, in {}: the blanks on the roll, numbered from its cut end, and the cuts in their order.",
            unit(plan.show)
        ),
    )
}

fn legend(sheet: &mut Sheet, plan: &Plan) {
    sheet.note_line(Look::Cut, "cuts, c1 first");
    sheet.note(
        None,
        format!(
            "All in {}, width first. Hatched: selvedge. The warp runs along the roll.",
            unit(plan.show)
        ),
    );
}

/// How a cut's place is rounded, so that no blank beside it comes out short: down where one only
/// begins there.
pub(crate) fn cut_rounding(cloth: &ClothPurchase, cut: &ClothCut) -> Rounding {
    // From and to, square to the cut and along it.
    let sides = |b: &PlacedBlank| {
        let (x, y) = ((b.x, b.x + b.across), (b.y, b.y + b.along));
        if cut.across { (y, x) } else { (x, y) }
    };
    let beside = |b: &&PlacedBlank| {
        let (_, (from, to)) = sides(b);
        b.roll == cut.roll && from < cut.to && to > cut.from
    };
    let all = || cloth.placed.iter().filter(beside).map(|b| sides(b).0);
    if all().any(|(begins, _)| begins == cut.at) && !all().any(|(_, ends)| ends == cut.at) {
        Rounding::Down
    } else {
        Rounding::Up
    }
}

/// A blank with the number it has on all drawings.
struct Numbered<'a> {
    number: usize,
    blank: &'a PlacedBlank,
}

/// A roll as it is drawn.
struct Roll<'a> {
    plan: &'a Plan,
    cloth: &'a ClothPurchase,
    index: usize,
    /// To its end as drawn.
    long: Length,
    blanks: Vec<Numbered<'a>>,
    scale: f64,
    left: f64,
}

impl<'a> Roll<'a> {
    /// `least` is how wide the narrowest blank is drawn if there is room.
    fn new(
        plan: &'a Plan,
        cloth: &'a ClothPurchase,
        index: usize,
        layout: Layout,
        least: f64,
    ) -> Self {
        let roll = &cloth.lengths[index];
        let mut all: Vec<&PlacedBlank> = cloth.placed.iter().collect();
        sort_by(&mut all, |a, b| (a.roll, a.y, a.x) < (b.roll, b.y, b.x));
        let blanks: Vec<Numbered<'_>> = all
            .into_iter()
            .enumerate()
            .filter(|(_, blank)| blank.roll == index)
            .map(|(i, blank)| Numbered {
                number: i + 1,
                blank,
            })
            .collect();
        let smallest = blanks
            .iter()
            .map(|n| n.blank.across.min(n.blank.along).to_mm())
            .fold(f64::INFINITY, f64::min);
        let long = roll.buy.value.max(roll.used);
        let left = text_width(&used(plan, roll.used)) + 9.0;
        let room = layout.width() - left - RIGHT;
        let scale = (210.0 / long.to_mm())
            .max(least.max(2.0 * BADGE + 1.0) / smallest)
            .min(room / roll.width.to_mm());
        Self {
            plan,
            cloth,
            index,
            long,
            blanks,
            scale,
            left,
        }
    }

    fn u(&self, x: Length) -> f64 {
        x.to_mm() * self.scale
    }

    /// From and to of the drawings of this roll: none higher than a page can show, if a place
    /// between blanks allows it.
    fn stretches(&self) -> Vec<(Length, Length)> {
        let is_free = |y: Length| {
            let inside = |n: &Numbered<'_>| n.blank.y < y && y < n.blank.y + n.blank.along;
            !self.blanks.iter().any(inside)
        };
        let mut ends: Vec<Length> = self
            .blanks
            .iter()
            .map(|n| n.blank.y + n.blank.along)
            .filter(|y| *y < self.long && is_free(*y))
            .collect();
        sort_by(&mut ends, |a, b| a < b);
        ends.dedup();
        ends.push(self.long);
        let mut stretches = Vec::new();
        let mut from = Length::ZERO;
        for (i, end) in ends.iter().enumerate() {
            let too_far = |next: &Length| self.u(*next - from) > TALLEST;
            let ends_here = match &ends[i + 1..] {
                [] => true,
                // What is left behind the last blank stays with it.
                [_] => false,
                [next, ..] => too_far(next),
            };
            if ends_here {
                stretches.push((from, *end));
                from = *end;
            }
        }
        stretches
    }

    fn draw(&self, sheet: &mut Sheet, (from, to): (Length, Length)) {
        let (plan, show) = (self.plan, self.plan.show);
        let roll = &self.cloth.lengths[self.index];
        let whole = from == Length::ZERO && to == self.long;
        let mut title = format!("Buy {} of this roll", show.run(roll.buy.value));
        if !whole {
            title.push_str(&format!(
                "; here {} to {}",
                bare(show, from),
                bare(show, to)
            ));
        }
        let y = sheet.bottom() + 8.0;
        for (i, line) in super::text::wrapped(&title, TEXT, sheet.width() - 3.0)
            .iter()
            .enumerate()
        {
            sheet.text(line, (1.5, y + 5.6 * i as f64), Anchor::Start);
        }
        let top = sheet.bottom() + 15.0;
        let place =
            |x: Length, y: Length| -> Point { (self.left + self.u(x), top + self.u(y - from)) };
        let (x0, x1) = (self.left, self.left + self.u(roll.width));
        let low = top + self.u(to - from);
        sheet.across(
            (x0, x1),
            top - 5.0,
            &format!("roll {}", bare(show, roll.width)),
            Side::Before,
        );
        sheet.area(&rectangle((x0, top), (x1, low)), Look::Edge);
        self.selvedges(sheet, (x0, x1), (top, low));
        let is_here = |y: Length, along: Length| from <= y && y + along <= to;
        for r in self.cloth.remnants.iter().filter(|r| r.roll == self.index) {
            let (y, end) = (r.y.max(from), (r.y + r.along).min(to));
            if y < end {
                let (a, b) = (place(r.x, y), place(r.x + r.across, end));
                sheet.area(&rectangle(a, b), Look::Hidden);
            }
        }
        let here: Vec<&Numbered<'_>> = self
            .blanks
            .iter()
            .filter(|n| is_here(n.blank.y, n.blank.along))
            .collect();
        for n in &here {
            let b = n.blank;
            let corners = (place(b.x, b.y), place(b.x + b.across, b.y + b.along));
            sheet.area(&rectangle(corners.0, corners.1), Look::Cloth);
        }
        for n in &here {
            let b = n.blank;
            let corners = [place(b.x, b.y), place(b.x + b.across, b.y + b.along)];
            self.name(sheet, n, corners, (x0, x1));
        }
        self.warp(sheet, (x1 + 14.0, top), low - top);
        if from == Length::ZERO {
            let end = place(Length::ZERO, roll.used.min(to)).1;
            sheet.upright((top, end), x0 - 4.0, &used(plan, roll.used), Side::Before);
        }
        if roll.buy.value > roll.used && roll.buy.value <= to {
            let y = place(Length::ZERO, roll.buy.value).1;
            sheet.line(&[(x0 - 3.0, y), (x1 + 3.0, y)], Look::Hidden);
        }
        self.cuts(sheet, (from, to), &place, x1);
        if to == self.long {
            self.left_over(sheet);
        }
        self.list(sheet, &here);
    }

    fn selvedges(&self, sheet: &mut Sheet, (x0, x1): (f64, f64), (top, low): (f64, f64)) {
        let edge = self.u(self.plan.brief.selvedge.value);
        if edge <= 0.0 {
            return;
        }
        for (a, b, inner) in [(x0, x0 + edge, x0 + edge), (x1 - edge, x1, x1 - edge)] {
            sheet.hatched(&rectangle((a, top), (b, low)), 2.0);
            sheet.line(&[(inner, top), (inner, low)], Look::Hidden);
        }
    }

    /// Number and size on a blank, or beside the roll with a line to it.
    fn name(
        &self,
        sheet: &mut Sheet,
        n: &Numbered<'_>,
        [(x, y), (right, low)]: [Point; 2],
        (x0, x1): (f64, f64),
    ) {
        let (w, h) = (right - x, low - y);
        let (cx, cy) = (x + w / 2.0, y + h / 2.0);
        let size = self.size(n.blank);
        let has_two_lines = text_width(&size) + 2.0 <= w && h >= 2.0 * BADGE + 8.0;
        let on = (cx, if has_two_lines { cy - 3.5 } else { cy });
        let tries = if w < 2.0 * BADGE || h < 2.0 * BADGE {
            [x1 + 6.0, x0 - 6.0]
                .into_iter()
                .flat_map(|to| (0..8).map(move |row| (to, cy + f64::from(row) * 2.0)))
                .map(|at| Try::led(at, Anchor::Middle, [at, (cx, cy)]))
                .collect()
        } else {
            vec![Try::new(on, Anchor::Middle)]
        };
        sheet.place_badge(&n.number.to_string(), &tries);
        if has_two_lines {
            sheet.place(&size, &[Try::new((cx, cy + 4.0), Anchor::Middle)]);
        }
    }

    fn warp(&self, sheet: &mut Sheet, (x, top): Point, tall: f64) {
        if tall < 24.0 {
            return;
        }
        let (a, b) = (top + 2.0, top + (tall * 0.4).clamp(14.0, 30.0));
        sheet.line(&[(x, a), (x, b)], Look::Grain);
        for (y, way) in [(a, 2.0), (b, -2.0)] {
            let barb = [(x - 1.2, y + way), (x, y), (x + 1.2, y + way)];
            sheet.line(&barb, Look::Grain);
        }
        sheet.text("warp", (x, b + 4.0), Anchor::Middle);
    }

    /// The cuts of a stretch, with their numbers where there is room; all of them stand below.
    fn cuts(
        &self,
        sheet: &mut Sheet,
        (from, to): (Length, Length),
        place: &impl Fn(Length, Length) -> Point,
        x1: f64,
    ) {
        let show = self.plan.show;
        let mut list = Vec::new();
        let mut names: Vec<(String, Point, Point, bool)> = Vec::new();
        for (i, cut) in self.cloth.cuts.iter().enumerate() {
            if cut.roll != self.index || !in_stretch(cut, from, to) {
                continue;
            }
            let name = format!("c{}", i + 1);
            let (a, b) = if cut.across {
                (place(cut.from, cut.at), place(cut.to, cut.at))
            } else {
                let (y, end) = (cut.from.max(from), cut.to.min(to));
                (place(cut.at, y), place(cut.at, end))
            };
            sheet.line(&[a, b], Look::Cut);
            let at = show.bare_length(cut.at, cut_rounding(self.cloth, cut));
            let end = bare_up(self.plan, cut.to);
            let start = show.bare_length(cut.from, Rounding::Down);
            list.push(if cut.across {
                format!("{name} across at {at}, {start} to {end}")
            } else {
                format!("{name} along, {at} from the left, {start} to {end}")
            });
            names.push((name, a, b, cut.across));
        }
        for (name, a, b, across) in names {
            let along = |t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
            let mut tries = Vec::new();
            if across && (b.0 - x1).abs() < 6.0 {
                for off in [0.0, 5.4, -5.4] {
                    let at = (x1 + 2.0, b.1 + off);
                    tries.push(Try::led(at, Anchor::Start, [(x1 + 1.6, at.1), b]));
                }
            }
            for t in [0.08, 0.92, 0.2, 0.8, 0.32, 0.68] {
                let (x, y) = along(t);
                for off in [3.2, -3.2] {
                    tries.push(if across {
                        Try::new((x, y + off), Anchor::Middle)
                    } else {
                        Try::new(
                            (x + off * 0.4, y),
                            if off > 0.0 {
                                Anchor::Start
                            } else {
                                Anchor::End
                            },
                        )
                    });
                }
            }
            sheet.place_clear(&name, &tries);
        }
        if !list.is_empty() {
            sheet.note(None, format!("Cuts: {}.", list.join("; ")));
            let gap = self.plan.brief.cloth_gap.value;
            if gap > Length::ZERO && self.blanks.len() > 1 {
                sheet.note(
                    None,
                    format!(
                        "Each cut runs beside a blank; what lies beyond the gap comes off {} too large on that side: trim it to its size.",
                        show.bare_length(gap, Rounding::Nearest)
                    ),
                );
            }
        }
    }

    fn left_over(&self, sheet: &mut Sheet) {
        let show = self.plan.show;
        for r in self.cloth.remnants.iter().filter(|r| r.roll == self.index) {
            let mut text = format!(
                "Left over, dashed: {} × {}",
                show.bare_length(r.across, Rounding::Down),
                show.bare_length(r.along, Rounding::Down)
            );
            if let Some(c) = r.enough_for.and_then(|c| self.plan.canvases.get(c)) {
                text.push_str(&format!(", enough for another {}", c.name));
            }
            sheet.note(None, text + ".");
        }
    }

    /// Which canvas each blank is for; all that are alike in one line.
    fn list(&self, sheet: &mut Sheet, here: &[&Numbered<'_>]) {
        let key = |n: &Numbered<'_>| (n.blank.canvas, n.blank.turned);
        for (i, first) in here.iter().enumerate() {
            if here[..i].iter().any(|n| key(n) == key(first)) {
                continue;
            }
            let alike = here.iter().filter(|n| key(n) == key(first));
            let numbers: Vec<String> = alike.map(|n| n.number.to_string()).collect();
            let name = self.plan.canvases.get(first.blank.canvas);
            let turned = if first.blank.turned {
                ", lying on its side"
            } else {
                ""
            };
            sheet.note(
                None,
                format!(
                    "{}, blank {}{turned}: {}.",
                    name.map_or("", |c| &c.name),
                    self.size(first.blank),
                    numbers.join(", ")
                ),
            );
        }
    }

    fn size(&self, blank: &PlacedBlank) -> String {
        let up = |x| bare_up(self.plan, x);
        format!("{} × {}", up(blank.across), up(blank.along))
    }
}

/// Whether a cut is made on this stretch of the roll: at its end, or on it.
fn in_stretch(cut: &ClothCut, from: Length, to: Length) -> bool {
    if cut.across {
        from < cut.at && cut.at <= to
    } else {
        cut.from < to && from < cut.to
    }
}

fn used(plan: &Plan, x: Length) -> String {
    format!("used {}", bare_up(plan, x))
}

/// A blank's side: cut no shorter than this.
fn bare_up(plan: &Plan, x: Length) -> String {
    plan.show.bare_length(x, Rounding::Up)
}

fn text_width(text: &str) -> f64 {
    width_of(text, TEXT, Weight::Plain)
}
