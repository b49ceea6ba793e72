//! The stapling order.

use maud::Markup;
use planner::plan::Plan;
use planner::staples::{Edge, StaplePlace, StapleStep, StapleWork, Staples};
use quantity::order::sort_by;
use quantity::{Length, Rounding};

use super::facts::{Facts, unit};
use super::frame::nothing_yet;
use super::pen::{Point, rectangle};
use super::sheet::{Anchor, EDGE, Layout, Look, Sheet, TEXT, Try};
use super::text::{Weight, width_of, wrapped};

/// Room between neighbouring numbers.
const APART: f64 = 1.0;
/// Height of a strip that shows a side of the frame.
const STRIP: f64 = 4.0;
/// Half the length of a staple as drawn.
const HALF: f64 = 1.1;

/// The frame from the back with every staple in its true place and with its number in the order
/// in which they go in.
///
/// With `step` (from 0) one picture of the order, a step at a time: what is in already is dark,
/// what this step adds is marked and numbered, the rest is faint. Without it, the still: a side
/// whose numbers have no room on the frame is drawn once more below it, as a strip with all of
/// them. A step beyond the last shows the last.
#[must_use]
pub fn stapling(plan: &Plan, canvas: usize, step: Option<usize>, layout: Layout) -> Markup {
    let Some((facts, staples)) = with_staples(plan, canvas) else {
        return nothing_yet(layout, "Stapling");
    };
    match step {
        Some(step) => View::new(facts, staples, layout).one(staples, step),
        None => {
            let (mut sheet, crowded) = View::new(facts, staples, layout).still(facts, staples);
            for edge in crowded {
                strip(&mut sheet, facts, staples, edge);
            }
            sheet.finish()
        }
    }
}

/// The still for paper: the frame, and below it one drawing for each side that needs its own.
#[must_use]
pub fn stapling_each(plan: &Plan, canvas: usize) -> Vec<Markup> {
    let Some((facts, staples)) = with_staples(plan, canvas) else {
        return Vec::new();
    };
    let layout = Layout::Wide;
    let (sheet, crowded) = View::new(facts, staples, layout).still(facts, staples);
    let mut all = vec![sheet.finish()];
    for edge in crowded {
        let title = format!("Staples of {}, {}", facts.canvas.name, edge.name());
        let mut sheet = Sheet::new(layout, title, "Every staple of this side with its number.");
        strip(&mut sheet, facts, staples, edge);
        all.push(sheet.finish());
    }
    all
}

/// How many steps the stapling of a canvas has.
#[must_use]
pub fn stapling_steps(plan: &Plan, canvas: usize) -> usize {
    with_staples(plan, canvas).map_or(0, |(_, s)| s.order.len())
}

/// What is done in a step (from 0; one beyond the last is the last): "Step 6 of 31, staples 9 to
/// 12. …". Empty where there is nothing to staple.
#[must_use]
pub fn stapling_words(plan: &Plan, canvas: usize, step: usize) -> String {
    let Some((_, staples)) = with_staples(plan, canvas) else {
        return String::new();
    };
    let step = step.min(staples.order.len() - 1);
    format!(
        "Step {} of {}, {}. {}.",
        step + 1,
        staples.order.len(),
        numbers(staples, step),
        words(&staples.order[step])
    )
}

fn with_staples(plan: &Plan, canvas: usize) -> Option<(Facts<'_>, &Staples)> {
    let facts = Facts::of(plan, canvas)?;
    let staples = facts.canvas.staples.as_ref()?;
    (!staples.order.is_empty()).then_some((facts, staples))
}

/// A staple with its number in the order.
struct Numbered {
    number: usize,
    place: StaplePlace,
    work: StapleWork,
}

fn numbered(staples: &Staples) -> Vec<Numbered> {
    let mut all = Vec::new();
    for step in &staples.order {
        for place in &step.places {
            all.push(Numbered {
                number: all.len() + 1,
                place: *place,
                work: step.work,
            });
        }
    }
    all
}

/// The staples that stay on a side, from its left (lower) corner.
fn along(staples: &Staples, edge: Edge) -> Vec<Numbered> {
    let mut all = numbered(staples);
    all.retain(|n| n.place.edge == edge && n.work != StapleWork::HoldCorners);
    sort_by(&mut all, |a, b| a.place.at < b.place.at);
    all
}

/// The numbers of a step's staples in words.
fn numbers(staples: &Staples, step: usize) -> String {
    let before: usize = staples.order[..step].iter().map(|s| s.places.len()).sum();
    match staples.order[step].places.len() {
        1 => format!("staple {}", before + 1),
        n => format!("staples {} to {}", before + 1, before + n),
    }
}

struct View {
    sheet: Sheet,
    x0: f64,
    w: f64,
    h: f64,
    /// Face as drawn; a thin bar is drawn wider so that staples can be seen.
    face: f64,
    scale: f64,
    /// Width of the widest number.
    widest: f64,
}

impl View {
    fn new(facts: Facts<'_>, staples: &Staples, layout: Layout) -> Self {
        let frame = facts.frame;
        let [width, height] = [&frame.outer_width, &frame.outer_height].map(|f| f.value.to_mm());
        let count: usize = staples.order.iter().map(|s| s.places.len()).sum();
        let widest = text_width(&count.to_string());
        // Two columns of numbers fit beside the frame.
        let margin = 2.0 * (widest + APART) + 4.0;
        let scale = ((layout.width() - 2.0 * margin) / width)
            .min(150.0 / height)
            .min(0.5);
        let (w, h) = (width * scale, height * scale);
        let title = format!("Stapling order of {}", facts.canvas.name);
        let mut view = Self {
            sheet: Sheet::new(layout, title, description(staples)),
            x0: (layout.width() - w) / 2.0,
            w,
            h,
            face: (frame.face.to_mm() * scale).max(3.0),
            scale,
            widest,
        };
        view.wood();
        view
    }

    fn wood(&mut self) {
        let (x0, x1, f, h) = (self.x0, self.x0 + self.w, self.face, self.h);
        let (i, j) = (x0 + f, x1 - f);
        for bar in [
            [(x0, 0.0), (x1, 0.0), (j, f), (i, f)],
            [(x0, h), (i, h - f), (j, h - f), (x1, h)],
            [(x0, 0.0), (i, f), (i, h - f), (x0, h)],
            [(x1, 0.0), (x1, h), (j, h - f), (j, f)],
        ] {
            self.sheet.area(&bar, Look::Wood);
        }
    }

    /// Where a staple lies, and the way outward from there.
    fn place(&self, place: &StaplePlace) -> (Point, Point) {
        let along = place.at.to_mm() * self.scale;
        let middle = self.face / 2.0;
        match place.edge {
            Edge::Top => ((self.x0 + along, middle), (0.0, -1.0)),
            Edge::Bottom => ((self.x0 + along, self.h - middle), (0.0, 1.0)),
            Edge::Left => ((self.x0 + middle, self.h - along), (-1.0, 0.0)),
            Edge::Right => ((self.x0 + self.w - middle, self.h - along), (1.0, 0.0)),
        }
    }

    fn staple(&mut self, place: &StaplePlace, temporary: bool, look: Look) {
        let ((x, y), (ox, oy)) = self.place(place);
        if temporary {
            // Temporary ones are drawn as a cross at the corner.
            let half = self.face / 2.0;
            let x = x.min(self.x0 + self.w - half).max(self.x0 + half);
            let r = 1.6;
            self.sheet.line(&[(x - r, y - r), (x + r, y + r)], look);
            self.sheet.line(&[(x - r, y + r), (x + r, y - r)], look);
            return;
        }
        // Slanting across the edge, as a staple holds best.
        let sx = oy.abs() * HALF + ox.abs() * HALF * 0.5;
        let sy = ox.abs() * HALF + oy.abs() * HALF * 0.5;
        self.sheet.line(&[(x - sx, y + sy), (x + sx, y - sy)], look);
    }

    /// Places for a staple's number: outside and inside of the bar, near and one row further.
    fn tries(&self, place: &StaplePlace, away: f64) -> Vec<Try> {
        let ((x, y), (ox, oy)) = self.place(place);
        let row = if ox == 0.0 {
            TEXT * 1.2
        } else {
            self.widest + APART
        };
        let mut tries = Vec::new();
        for (way, further) in [(1.0, 0.0), (-1.0, 0.0), (1.0, 1.0), (-1.0, 1.0)] {
            let (ox, oy) = (ox * way, oy * way);
            let bar = self.face / 2.0 + if way > 0.0 { away } else { 0.0 };
            // Up and down the text's middle lies half a line further than its near side.
            let near = bar + if ox == 0.0 { 3.4 } else { 1.4 } + further * row;
            let at = (x + ox * near, y + oy * near);
            let anchor = if ox < 0.0 {
                Anchor::End
            } else if ox > 0.0 {
                Anchor::Start
            } else {
                Anchor::Middle
            };
            let short = if ox == 0.0 { 2.5 } else { 0.3 };
            let touch = (at.0 - ox * short, at.1 - oy * short);
            let foot = (x + ox * bar, y + oy * bar);
            tries.push(Try::led(at, anchor, [touch, foot]));
        }
        tries
    }

    fn one(mut self, staples: &Staples, step: usize) -> Markup {
        let step = step.min(staples.order.len() - 1);
        let corner_work = staples.order[step].work == StapleWork::Corner;
        for (i, s) in staples.order.iter().enumerate() {
            let temporary = s.work == StapleWork::HoldCorners;
            for (n, place) in s.places.iter().enumerate() {
                if temporary && i < step && corner_work {
                    // Drawn again when its corner is folded.
                    let folded = staples.order[..=step]
                        .iter()
                        .filter(|s| s.work == StapleWork::Corner)
                        .count();
                    if n * 4 / s.places.len().max(1) < folded {
                        continue;
                    }
                }
                let look = match i.cmp(&step) {
                    std::cmp::Ordering::Less => Look::Edge,
                    std::cmp::Ordering::Equal => Look::Waste,
                    std::cmp::Ordering::Greater => Look::Dim,
                };
                self.staple(place, temporary, look);
                if i == step {
                    let (at, out) = self.place(place);
                    let from = self.face / 2.0 + 1.0;
                    self.arrow((at.0 + out.0 * from, at.1 + out.1 * from), out);
                }
            }
        }
        // The frame keeps its place from step to step.
        self.sheet.reach(-18.0);
        self.sheet.reach(self.h + 18.0);
        let before: usize = staples.order[..step].iter().map(|s| s.places.len()).sum();
        for (n, place) in staples.order[step].places.iter().enumerate() {
            let tries = self.tries(place, 6.0);
            self.sheet.place(&(before + n + 1).to_string(), &tries);
        }
        self.sheet.note(
            Some(&(step + 1).to_string()),
            format!(
                "of {}, {}: {}.",
                staples.order.len(),
                numbers(staples, step),
                words(&staples.order[step])
            ),
        );
        self.sheet.finish()
    }

    /// A small arrow from outside toward the staple.
    fn arrow(&mut self, tip: Point, (ox, oy): Point) {
        let base = (tip.0 + ox * 5.0, tip.1 + oy * 5.0);
        let back = (tip.0 + ox * 1.8, tip.1 + oy * 1.8);
        let head = [(back.0 - oy, back.1 - ox), tip, (back.0 + oy, back.1 + ox)];
        self.sheet.line(&[base, tip], Look::Waste);
        self.sheet.line(&head, Look::Waste);
    }

    /// The frame with as many numbers as have room, and the sides that have not room for all.
    fn still(mut self, facts: Facts<'_>, staples: &Staples) -> (Sheet, Vec<Edge>) {
        let all = numbered(staples);
        for n in &all {
            self.staple(&n.place, n.work == StapleWork::HoldCorners, Look::Edge);
        }
        self.corners(&all);
        let mut crowded = Vec::new();
        for edge in [Edge::Top, Edge::Bottom, Edge::Left, Edge::Right] {
            let side = along(staples, edge);
            let sparse = !self.has_room(&side);
            let mut left_out = sparse;
            for n in &side {
                // Where not all fit, those of the middle and the corner say where to begin and
                // where to end.
                if sparse && !matches!(n.work, StapleWork::Middle | StapleWork::Corner) {
                    continue;
                }
                let tries = self.tries(&n.place, 0.0);
                left_out |= !self.sheet.place_clear(&n.number.to_string(), &tries);
            }
            if left_out {
                crowded.push(edge);
            }
        }
        self.legend(facts, staples);
        if !crowded.is_empty() {
            self.sheet.note(
                None,
                "Where numbers would crowd, the side has its own strip with all of them.",
            );
        }
        (self.sheet, crowded)
    }

    /// The numbers of the temporary staples, outside the corners.
    fn corners(&mut self, all: &[Numbered]) {
        let held: Vec<&Numbered> = all
            .iter()
            .filter(|n| n.work == StapleWork::HoldCorners)
            .collect();
        let mut rest = &held[..];
        while let Some(first) = rest.first() {
            let same = rest.iter().take_while(|n| n.place == first.place).count();
            let text = match same {
                1 => first.number.to_string(),
                n => format!("{} – {}", first.number, first.number + n - 1),
            };
            rest = &rest[same..];
            let (ox, x) = if first.place.at > Length::ZERO {
                (1.0, self.x0 + self.w)
            } else {
                (-1.0, self.x0)
            };
            let (oy, y) = if first.place.edge == Edge::Bottom {
                (1.0, self.h)
            } else {
                (-1.0, 0.0)
            };
            let anchor = if ox > 0.0 { Anchor::Start } else { Anchor::End };
            let tries: Vec<Try> = [3.4, 8.6, 14.0]
                .into_iter()
                .map(|out| Try::new((x + ox * 1.6, y + oy * out), anchor))
                .collect();
            self.sheet.place_clear(&text, &tries);
        }
    }

    /// Whether all numbers of a side may fit, outside and inside of the bar, two rows each.
    fn has_room(&self, side: &[Numbered]) -> bool {
        let (Some(a), Some(b)) = (side.first(), side.get(1)) else {
            return true;
        };
        let apart = (b.place.at - a.place.at).to_mm() * self.scale;
        let level = matches!(a.place.edge, Edge::Top | Edge::Bottom);
        let inside = self.w.min(self.h) - 2.0 * self.face > 4.0 * (self.widest + APART + 2.0);
        let rows = if inside { 4.0 } else { 2.0 };
        let needed = if level { self.widest } else { TEXT * 1.2 } + APART;
        apart * rows >= needed
    }

    fn legend(&mut self, facts: Facts<'_>, staples: &Staples) {
        let mut said: Vec<StapleWork> = Vec::new();
        let all = numbered(staples);
        for n in &all {
            if said.contains(&n.work) {
                continue;
            }
            said.push(n.work);
            let last = all.iter().rfind(|m| m.work == n.work);
            let range = match last {
                Some(last) if last.number > n.number => format!("{} to {}", n.number, last.number),
                _ => n.number.to_string(),
            };
            self.sheet
                .note(None, format!("{range}: {}.", n.work.words()));
        }
        let apart = |length: Length| facts.show.bare_length(length, Rounding::Nearest);
        self.sheet.note(
            None,
            format!(
                "Always one side, then the side across from it. Crosses: temporary staples. In {}: about {} apart along top and bottom, {} along the sides.",
                unit(facts.show),
                apart(staples.top_bottom.spacing),
                apart(staples.sides.spacing)
            ),
        );
    }
}

/// A side of the frame as a strip, to scale along it, over as many rows as its numbers need.
fn strip(sheet: &mut Sheet, facts: Facts<'_>, staples: &Staples, edge: Edge) {
    let side = along(staples, edge);
    let frame = facts.frame;
    let (long, end) = match edge {
        Edge::Top | Edge::Bottom => (frame.outer_width.value, "left end"),
        Edge::Left | Edge::Right => (frame.outer_height.value, "lower end"),
    };
    let widest = side
        .iter()
        .map(|n| text_width(&n.number.to_string()))
        .fold(0.0, f64::max);
    let room = sheet.width() - 2.0 * EDGE - widest;
    // Above and below the strip in turn.
    let needed = (widest + APART) / 2.0;
    let apart = side
        .windows(2)
        .map(|n| (n[1].place.at - n[0].place.at).to_mm())
        .fold(f64::INFINITY, f64::min);
    let rows = (1..200)
        .find(|rows| apart * room * f64::from(*rows) / long.to_mm() >= needed)
        .unwrap_or(200);
    let a_row = long.to_mm() / f64::from(rows);
    let scale = room / a_row;
    let mut y = sheet.bottom() + 9.0;
    let title = format!(
        "{}, from its {end}: {} staples, the first at {}, the last at {}, about {} apart",
        edge.name(),
        side.len(),
        facts.bare(side.first().map_or(Length::ZERO, |n| n.place.at)),
        facts.bare(side.last().map_or(Length::ZERO, |n| n.place.at)),
        facts.bare(match edge {
            Edge::Top | Edge::Bottom => staples.top_bottom.spacing,
            Edge::Left | Edge::Right => staples.sides.spacing,
        })
    );
    for line in wrapped(&title, TEXT, sheet.width() - 2.0 * EDGE) {
        sheet.text(&line, (EDGE, y), Anchor::Start);
        y += 5.6;
    }
    let mut row = 0;
    let left = EDGE + widest / 2.0;
    let mut drawn = -1;
    for (i, n) in side.iter().enumerate() {
        let at = n.place.at.to_mm();
        while row + 1 < rows && at >= a_row * f64::from(row + 1) {
            row += 1;
        }
        let top = y + 4.0 + f64::from(row) * (STRIP + 13.0);
        if drawn != row {
            let bar = rectangle((left, top), (left + room, top + STRIP));
            sheet.area(&bar, Look::Wood);
            drawn = row;
        }
        let x = left + (at - a_row * f64::from(row)) * scale;
        let middle = top + STRIP / 2.0;
        sheet.line(
            &[(x - 0.6, middle + HALF), (x + 0.6, middle - HALF)],
            Look::Edge,
        );
        let text_at = if i % 2 == 0 {
            top - 3.2
        } else {
            top + STRIP + 3.2
        };
        sheet.text(&n.number.to_string(), (x, text_at), Anchor::Middle);
    }
}

fn text_width(text: &str) -> f64 {
    width_of(text, TEXT, Weight::Plain)
}

fn words(step: &StapleStep) -> String {
    let edge = step.places.first().map(|p| p.edge.name());
    match (step.work, edge) {
        (StapleWork::HoldCorners, _) | (_, None) => step.work.words().to_owned(),
        (StapleWork::Corner, Some(_)) => {
            let names: Vec<&str> = step.places.iter().map(|p| p.edge.name()).collect();
            format!("{} ({})", step.work.words(), names.join(" and "))
        }
        (_, Some(edge)) => format!("{}: {edge}", step.work.words()),
    }
}

fn description(staples: &Staples) -> String {
    let mut text = String::from("Seen from the back.");
    for (i, step) in staples.order.iter().enumerate().take(12) {
        text.push_str(&format!(
            " {}, {}: {}.",
            i + 1,
            numbers(staples, i),
            words(step)
        ));
    }
    if staples.order.len() > 12 {
        text.push_str(" And so on outward, corners last.");
    }
    text
}
