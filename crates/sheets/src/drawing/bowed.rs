//! The frame bowed by the pull of the cloth.

use maud::Markup;
use planner::bracing::shape::{BowedFrame, BowedMember, BowedPoint};
use planner::bracing::{self, Check, CheckKind, Statics};
use planner::frame::Part;
use planner::plan::Plan;
use planner::show::every_digit;
use planner::{Show, Value};
use quantity::physics::Distance;

use super::facts::Facts;
use super::frame::{brace_shapes, nothing_yet};
use super::pen::{Point, path, rectangle};
use super::sheet::{Layout, Look, Sheet};
use crate::bracing::verdict;

/// Left free on each side, for the ring of the spot and bars that bow outward.
const BESIDE: f64 = 16.0;
/// Tallest that the frame is drawn.
const TALLEST: f64 = 115.0;
/// Largest scale, as in the frame from the back.
const LARGEST: f64 = 0.55;
/// The farthest that a point moves on paper, and the share of the frame's shorter side that it
/// moves at most (our choice: plain to see, and the frame still looks like one).
const FARTHEST: f64 = 10.0;
const SHARE: f64 = 0.2;
/// The letter of the spot that governs.
const SPOT: &str = "X";

/// The frame as the cloth bows it, much exaggerated: its middle lines with the corners taken as
/// hinges (solid) and as rigid (dashed), between which the truth lies, and the spot of the check
/// that governs.
///
/// A canvas without a frame, or whose bars leave no opening, gives a drawing that says so.
#[must_use]
pub fn bowed(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    let facts = Facts::of(plan, canvas);
    let statics = facts.and_then(|f| f.canvas.bracing.statics.as_ref());
    let shapes = bracing::bowed(plan, canvas);
    let (Some(facts), Some(statics), Some(shapes)) = (facts, statics, shapes) else {
        return nothing_yet(layout, "Frame bowed by the cloth");
    };
    let mut bent = Bent::new(facts, statics, &shapes, layout);
    bent.wood();
    let [hinged, rigid] = &shapes;
    // The dashes are wider and come last, so that both show where they fall together.
    bent.middle_lines(hinged, Look::Hinged);
    bent.middle_lines(rigid, Look::Rigid);
    if let Some(check) = statics.checks.first() {
        bent.spot(check);
    }
    bent.notes(plan, statics);
    bent.sheet.finish()
}

struct Bent<'a> {
    facts: Facts<'a>,
    /// Corners as hinges, and rigid.
    shapes: &'a [BowedFrame; 2],
    sheet: Sheet,
    scale: f64,
    /// How many times too large the bow is drawn.
    factor: f64,
    /// Outer left; the outer top is 0.
    x0: f64,
    w: f64,
    h: f64,
    face: f64,
}

impl<'a> Bent<'a> {
    fn new(
        facts: Facts<'a>,
        statics: &Statics,
        shapes: &'a [BowedFrame; 2],
        layout: Layout,
    ) -> Self {
        let frame = facts.frame;
        let [width, height] = [&frame.outer_width, &frame.outer_height].map(|f| f.value.to_mm());
        let room = layout.width() - 2.0 * BESIDE;
        let scale = (room / width).min(TALLEST / height).min(LARGEST);
        let (w, h) = (width * scale, height * scale);
        let farthest = shapes.iter().map(|f| f.farthest);
        let farthest = farthest.fold(Distance::ZERO, Distance::max).to_mm() * scale;
        let factor = round_below(FARTHEST.min(SHARE * w.min(h)) / farthest);
        let sheet = Sheet::new(
            layout,
            format!("Frame of {} bowed by the cloth", facts.canvas.name),
            description(facts.show, statics, shapes, factor),
        );
        Self {
            facts,
            shapes,
            sheet,
            scale,
            factor,
            x0: (layout.width() - w) / 2.0,
            w,
            h,
            face: frame.face.to_mm() * scale,
        }
    }

    /// A place of the frame, measured from its outer lower left corner.
    fn place(&self, x: Distance, y: Distance) -> Point {
        let [x, y] = [x, y].map(|d| d.to_mm() * self.scale);
        (self.x0 + x, self.h - y)
    }

    /// The same, moved as the drawing exaggerates it.
    fn moved(&self, p: &BowedPoint) -> Point {
        self.place(p.x + p.right * self.factor, p.y + p.up * self.factor)
    }

    /// The frame as it is made.
    fn wood(&mut self) {
        let (x0, w, h, f) = (self.x0, self.w, self.h, self.face);
        let outside = rectangle((x0, 0.0), (x0 + w, h));
        // Turned the other way, so that the opening stays open.
        let mut opening = rectangle((x0 + f, f), (x0 + w - f, h - f));
        opening.reverse();
        self.sheet.reach(0.0);
        self.sheet.reach(h);
        let ring = path(&outside, true) + &path(&opening, true);
        self.sheet.path(ring, Look::Wood);
        let [straight, _] = self.shapes;
        for member in &straight.members {
            let Some(first) = member.points.first() else {
                continue;
            };
            let (x, y) = self.place(first.x, first.y);
            let half = f / 2.0;
            let bar = match member.part {
                Part::Upright => rectangle((x - half, f), (x + half, h - f)),
                Part::Level => rectangle((x0 + f, y - half), (x0 + w - f, y + half)),
                _ => continue,
            };
            self.sheet.area(&bar, Look::Over);
        }
        for brace in brace_shapes(self.facts, self.scale, (x0, w, h)) {
            self.sheet.area(&brace, Look::Over);
        }
    }

    fn middle_lines(&mut self, frame: &BowedFrame, look: Look) {
        for BowedMember { points, .. } in &frame.members {
            let line: Vec<Point> = points.iter().map(|p| self.moved(p)).collect();
            self.sheet.line(&line, look);
        }
    }

    fn spot(&mut self, check: &Check) {
        let Some(spot) = check.at else {
            return;
        };
        let at = self.place(spot.x, spot.y);
        self.sheet.ring(at, 1.2, Look::Dot);
        // Outward from the middle of the frame, if there is room.
        let (dx, dy) = (at.0 - self.sheet.width() / 2.0, at.1 - self.h / 2.0);
        let far = libm::hypot(dx, dy).max(1e-9);
        let away = self.face / 2.0 + 7.0;
        let out = (dx / far * away, dy / far * away);
        self.sheet.call_badge(SPOT, at, out);
    }

    fn notes(&mut self, plan: &Plan, statics: &Statics) {
        let show = self.facts.show;
        let (case, pull) = plan.basis.pull.hardest();
        self.sheet.note(
            None,
            format!(
                "{} Shaded: the frame as made. Lines: the middles of its bars and cross bars in the hardest case, {}, under a pull of {}.",
                drawn_so_large(self.factor),
                case.name(),
                show.value(&Value::LineLoad(pull.value), ""),
            ),
        );
        let [hinged, rigid] = self.shapes;
        let line = |name: &str, frame: &BowedFrame| {
            let farthest = show.value(&Value::Distance(frame.farthest), "");
            format!("{name}: moves at most {farthest}.")
        };
        self.sheet
            .note_line(Look::Hinged, line("Corners as hinges", hinged));
        self.sheet
            .note_line(Look::Rigid, line("Corners rigid", rigid));
        self.sheet
            .note(None, "The truth lies between the two lines.");
        if let Some(check) = statics.checks.first() {
            let mark = check.at.is_some().then_some(SPOT);
            self.sheet.note(mark, governs(show, check));
        }
    }
}

/// What governs, in a sentence.
fn governs(show: Show, check: &Check) -> String {
    let part = check.part.map(|p| format!(", {}", p.name()));
    let way = match check.kind {
        CheckKind::Buckling | CheckKind::Racking => "at least",
        _ => "at most",
    };
    format!(
        "What governs: {}{}. Found {}, {way} {} allowed: {} of the limit used, so it {}.",
        check.kind.name(),
        part.unwrap_or_default(),
        show.value(&check.found.value, ""),
        show.value(&check.limit.value, ""),
        show.value(&Value::Ratio(check.used.value), ""),
        verdict(check),
    )
}

/// The factor in words.
fn drawn_so_large(factor: f64) -> String {
    if factor >= 1.5 {
        format!(
            "The bow is drawn {} times as large as it is.",
            every_digit(factor)
        )
    } else if factor >= 1.0 {
        "The bow is drawn as large as it is.".into()
    } else {
        format!(
            "The bow is drawn smaller than it is: {} of its size.",
            every_digit(factor)
        )
    }
}

fn description(show: Show, statics: &Statics, shapes: &[BowedFrame; 2], factor: f64) -> String {
    let [hinged, rigid] = shapes
        .each_ref()
        .map(|f| show.value(&Value::Distance(f.farthest), ""));
    let mut text = format!(
        "{} With corners as hinges no point moves more than {hinged}, with rigid corners {rigid}.",
        drawn_so_large(factor)
    );
    if let Some(check) = statics.checks.first() {
        text.push(' ');
        text.push_str(&governs(show, check));
    }
    text
}

/// The largest of 1, 2 and 5 times a power of ten that is not above it; 1 for what is no number
/// above nothing.
fn round_below(x: f64) -> f64 {
    if !x.is_finite() || x <= 0.0 {
        return 1.0;
    }
    let power = libm::log10(x).floor();
    // A negative power of ten is inexact: the quotient of two whole numbers reads shorter.
    let times = |n: f64| {
        if power < 0.0 {
            n / libm::pow(10.0, -power)
        } else {
            n * libm::pow(10.0, power)
        }
    };
    [5.0, 2.0]
        .into_iter()
        .map(times)
        .find(|r| *r <= x)
        .unwrap_or_else(|| times(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_round_and_never_above() {
        let all = [0.07, 0.5, 1.0, 1.9, 2.0, 49.0, 730.0].map(round_below);
        assert_eq!(all, [0.05, 0.5, 1.0, 1.0, 2.0, 20.0, 500.0]);
        assert_eq!([0.0, f64::NAN, f64::INFINITY].map(round_below), [1.0; 3]);
    }

    #[test]
    fn the_factor_is_said_in_words() {
        assert_eq!(
            drawn_so_large(200.0),
            "The bow is drawn 200 times as large as it is."
        );
        assert_eq!(
            drawn_so_large(0.5),
            "The bow is drawn smaller than it is: 0.5 of its size."
        );
    }
}
