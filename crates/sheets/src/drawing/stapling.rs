//! The stapling order.

use maud::Markup;
use planner::plan::Plan;
use planner::staples::{Edge, StaplePlace, StapleStep, StapleWork, Staples};
use quantity::order::sort_by;

use super::facts::Facts;
use super::frame::nothing_yet;
use super::pen::Point;
use super::sheet::{Anchor, Look, Sheet, TEXT, Try, WIDTH};
use super::text::{Weight, width_of};

/// The frame from the back with every staple in its true place, numbered by the step in which
/// it goes in.
///
/// With `step` (from 0) one picture of the animation: what is in already is dark, what this step
/// adds is marked, the rest is faint. Without it, the still for paper with the numbers of all
/// steps. A step beyond the last shows the last.
#[must_use]
pub fn stapling(plan: &Plan, canvas: usize, step: Option<usize>) -> Markup {
    let Some((facts, staples)) = Facts::of(plan, canvas)
        .and_then(|f| Some((f, f.canvas.staples.as_ref()?)))
        .filter(|(_, s)| !s.order.is_empty())
    else {
        return nothing_yet("Stapling");
    };
    let frame = facts.frame;
    let (width, height) = (frame.outer_width.value, frame.outer_height.value);
    let margin = 19.0;
    let scale = ((WIDTH - 2.0 * margin) / width.to_mm())
        .min(150.0 / height.to_mm())
        .min(0.5);
    let (w, h) = (width.to_mm() * scale, height.to_mm() * scale);
    let view = View {
        x0: (WIDTH - w) / 2.0,
        w,
        h,
        face: (frame.face.to_mm() * scale).max(3.0),
        scale,
    };
    let step = step.map(|s| s.min(staples.order.len() - 1));
    let title = match step {
        Some(s) => format!(
            "Stapling {}, step {} of {}",
            facts.canvas.name,
            s + 1,
            staples.order.len()
        ),
        None => format!("Stapling order of {}", facts.canvas.name),
    };
    let mut sheet = Sheet::new(title, description(staples));
    let (x0, x1, f) = (view.x0, view.x0 + w, view.face);
    let (i, j) = (x0 + f, x1 - f);
    for bar in [
        [(x0, 0.0), (x1, 0.0), (j, f), (i, f)],
        [(x0, h), (i, h - f), (j, h - f), (x1, h)],
        [(x0, 0.0), (i, f), (i, h - f), (x0, h)],
        [(x1, 0.0), (x1, h), (j, h - f), (j, f)],
    ] {
        sheet.area(&bar, Look::Wood);
    }
    match step {
        Some(step) => view.one(&mut sheet, staples, step),
        None => view.still(&mut sheet, staples),
    }
    sheet.finish()
}

/// How many steps the stapling of a canvas has.
#[must_use]
pub fn stapling_steps(plan: &Plan, canvas: usize) -> usize {
    plan.canvases
        .get(canvas)
        .and_then(|c| c.staples.as_ref())
        .map_or(0, |s| s.order.len())
}

struct View {
    x0: f64,
    w: f64,
    h: f64,
    /// Face as drawn; a thin bar is drawn wider so that staples can be seen.
    face: f64,
    scale: f64,
}

impl View {
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

    fn staple(
        &self,
        sheet: &mut Sheet,
        place: &StaplePlace,
        temporary: bool,
        look: Look,
        half: f64,
    ) {
        let ((x, y), (ox, oy)) = self.place(place);
        if temporary {
            // Temporary ones are drawn as a cross at the corner.
            let x = x.clamp(
                self.x0 + self.face / 2.0,
                self.x0 + self.w - self.face / 2.0,
            );
            let r = 1.6;
            sheet.line(&[(x - r, y - r), (x + r, y + r)], look);
            sheet.line(&[(x - r, y + r), (x + r, y - r)], look);
            return;
        }
        // Slanting across the edge, as a staple holds best.
        let (sx, sy) = (
            oy.abs() * half + ox.abs() * half * 0.5,
            ox.abs() * half + oy.abs() * half * 0.5,
        );
        sheet.line(&[(x - sx, y + sy), (x + sx, y - sy)], look);
    }

    fn one(&self, sheet: &mut Sheet, staples: &Staples, step: usize) {
        let half = 1.1;
        let corner_work = |s: usize| staples.order[s].work == StapleWork::Corner;
        for (i, s) in staples.order.iter().enumerate() {
            let temporary = s.work == StapleWork::HoldCorners;
            for (n, place) in s.places.iter().enumerate() {
                if temporary && i < step && corner_work(step) {
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
                self.staple(sheet, place, temporary, look, half);
                if i == step {
                    let (at, out) = self.place(place);
                    let out = (
                        at.0 + out.0 * (self.face / 2.0 + 1.0),
                        at.1 + out.1 * (self.face / 2.0 + 1.0),
                    );
                    self.arrow(sheet, out, self.place(place).1);
                }
            }
        }
        let now = &staples.order[step];
        sheet.note(
            Some(&(step + 1).to_string()),
            format!("of {}: {}.", staples.order.len(), words(now)),
        );
    }

    /// A small arrow from outside toward the staple.
    fn arrow(&self, sheet: &mut Sheet, tip: Point, (ox, oy): Point) {
        let base = (tip.0 + ox * 5.0, tip.1 + oy * 5.0);
        sheet.line(&[base, tip], Look::Waste);
        let back = (tip.0 + ox * 1.8, tip.1 + oy * 1.8);
        sheet.line(
            &[(back.0 - oy, back.1 - ox), tip, (back.0 + oy, back.1 + ox)],
            Look::Waste,
        );
    }

    fn still(&self, sheet: &mut Sheet, staples: &Staples) {
        let widest = width_of(&staples.order.len().to_string(), TEXT, Weight::Plain) + 0.9;
        let mut left_out = false;
        for s in &staples.order {
            let temporary = s.work == StapleWork::HoldCorners;
            for place in &s.places {
                self.staple(sheet, place, temporary, Look::Edge, 1.1);
            }
        }
        // Corners and middles first, so that the numbers left out are those in between.
        let rank = |w: StapleWork| match w {
            StapleWork::Corner => 0,
            StapleWork::Middle => 1,
            StapleWork::HoldCorners => 2,
            StapleWork::Outward => 3,
        };
        let mut order: Vec<(usize, &StapleStep)> = staples.order.iter().enumerate().collect();
        sort_by(&mut order, |(i, s), (j, t)| {
            (rank(s.work), *i) < (rank(t.work), *j)
        });
        for (i, s) in order {
            let text = (i + 1).to_string();
            for group in groups(s) {
                if s.work == StapleWork::HoldCorners {
                    let ((x, y), (_, oy)) = self.place(&group);
                    let side = if x > WIDTH / 2.0 { 1.0 } else { -1.0 };
                    let x = if side > 0.0 {
                        self.x0 + self.w
                    } else {
                        self.x0
                    };
                    let at = (
                        x + side * (widest / 2.0 + 3.0),
                        y + oy * (self.face / 2.0 + 3.2),
                    );
                    sheet.place_badge(
                        &text,
                        &[
                            Try::new((at.0 + side * 1.5, at.1), Anchor::Middle),
                            Try::new((at.0 + side * 1.5, at.1 + oy * 4.0), Anchor::Middle),
                        ],
                    );
                    continue;
                }
                let ((x, y), (ox, oy)) = self.place(&group);
                let off = self.face / 2.0 + 3.2;
                let at = (x + ox * (self.face / 2.0 + 1.2), y + oy * off);
                let anchor = if ox < 0.0 {
                    Anchor::End
                } else if ox > 0.0 {
                    Anchor::Start
                } else {
                    Anchor::Middle
                };
                left_out |= !sheet.place(&text, &[Try::new(at, anchor)]);
            }
        }
        let mut said: Vec<StapleWork> = Vec::new();
        for (i, s) in staples.order.iter().enumerate() {
            if said.contains(&s.work) {
                continue;
            }
            said.push(s.work);
            let last = staples
                .order
                .iter()
                .rposition(|t| t.work == s.work)
                .unwrap_or(i);
            let range = if last > i {
                format!("{} to {}", i + 1, last + 1)
            } else {
                format!("{}", i + 1)
            };
            sheet.note(None, format!("{range}: {}.", s.work.words()));
        }
        sheet.note(
            None,
            "A number holds for all staples of one go, both ways from the middle; always one side, then the side across. Crosses: temporary staples.",
        );
        if left_out {
            sheet.note(
                None,
                "Where numbers would crowd, those between follow in order.",
            );
        }
    }
}

/// One place for each run of staples of a step: a go has one left and one right of the middle.
fn groups(step: &StapleStep) -> Vec<StaplePlace> {
    if step.work != StapleWork::Outward {
        let mut seen: Vec<StaplePlace> = Vec::new();
        for p in &step.places {
            let is_next = step.work == StapleWork::Middle && !seen.is_empty();
            if !is_next && !seen.contains(p) {
                seen.push(*p);
            }
        }
        return seen;
    }
    let mut sorted = step.places.clone();
    sort_by(&mut sorted, |a, b| a.at < b.at);
    let half = sorted.len() / 2;
    // The middle one of each half stands for it.
    let mut all = Vec::new();
    if half > 0 {
        all.push(sorted[half / 2]);
        all.push(sorted[sorted.len() - 1 - half / 2]);
    } else {
        all.extend(sorted);
    }
    all
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
        text.push_str(&format!(" {}: {}.", i + 1, words(step)));
    }
    if staples.order.len() > 12 {
        text.push_str(" And so on outward, corners last.");
    }
    text
}
