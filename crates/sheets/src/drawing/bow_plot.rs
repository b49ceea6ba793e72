//! How the bow grows with the size of the frame.

use maud::Markup;
use planner::bracing::largest::{self, CurvePoint, Largest, LargestSide};
use planner::plan::Plan;
use planner::{Show, Value};
use quantity::physics::Distance;
use quantity::{Length, Rounding};

use super::axis::{self, Axis, Plane, distance, side, unit};
use super::frame::nothing_yet;
use super::pen::Point;
use super::sheet::{Anchor, EDGE, Layout, Look, Sheet};

/// Height of the plot.
const TALL: f64 = 85.0;
/// The plot ends at so many times the limit of the largest frame (our choice): the hinged line
/// grows with the fourth power of the side and would flatten everything else.
const LIMITS: f64 = 2.0;

/// Bow of the longer bars, without cross bars, against the longer side, in the batten and cloth
/// of the plan: the band between hinged corners (solid) and rigid ones (dashed), the limit, the
/// rule of thumb and the maker's own frame.
///
/// A plan without a frame gives a drawing that says so.
#[must_use]
pub fn bow_plot(plan: &Plan, layout: Layout) -> Markup {
    let Some(largest) = largest::largest(plan) else {
        return nothing_yet(layout, "Bow against the size of the frame");
    };
    let curve = largest::curve(plan, &largest);
    let Some(mut plot) = Plot::new(plan, &largest, &curve, layout) else {
        return nothing_yet(layout, "Bow against the size of the frame");
    };
    plot.axes();
    plot.band();
    plot.limit();
    plot.sizes();
    plot.notes(plan);
    plot.sheet.finish()
}

struct Plot<'a> {
    largest: &'a Largest,
    curve: &'a [CurvePoint],
    rule: Length,
    show: Show,
    sheet: Sheet,
    plane: Plane,
}

impl<'a> Plot<'a> {
    fn new(
        plan: &Plan,
        largest: &'a Largest,
        curve: &'a [CurvePoint],
        layout: Layout,
    ) -> Option<Self> {
        let show = plan.show;
        let rule = plan.basis.rule.value;
        let last = curve.last()?;
        let longest = [largest.side, rule]
            .into_iter()
            .fold(last.side, Length::max);
        let most = curve.iter().map(|p| p.hinged.max(p.rigid));
        let most = most.fold(Distance::ZERO, Distance::max);
        let top = most.min(last.limit * LIMITS).max(last.limit) * 1.05;
        let across = Axis::over(0.0, side(show, longest), axis::level(layout));
        let up = Axis::over(0.0, distance(show, top), axis::UPRIGHT);
        Some(Self {
            largest,
            curve,
            rule,
            show,
            sheet: Sheet::new(
                layout,
                "Bow against the size of the frame",
                description(plan, largest, curve),
            ),
            plane: Plane::new(layout, TALL, across, up),
        })
    }

    fn point(&self, p: &CurvePoint, bow: Distance) -> Point {
        (
            self.plane.along(side(self.show, p.side)),
            self.plane.at_height(distance(self.show, bow)),
        )
    }

    fn axes(&mut self) {
        let unit = unit(self.show);
        self.sheet
            .text(&format!("Bow, {unit}"), (EDGE, -6.0), Anchor::Start);
        self.plane
            .draw(&mut self.sheet, &format!("Longer side, {unit}"));
    }

    /// The points of a curve as far as the plot reaches, and whether it goes on above.
    fn within(&self, bow: impl Fn(&CurvePoint) -> Distance) -> (Vec<Point>, bool) {
        let mut line: Vec<Point> = Vec::new();
        for p in self.curve {
            let at = self.point(p, bow(p));
            if at.1 >= 0.0 {
                line.push(at);
                continue;
            }
            if let Some(before) = line.last() {
                let share = before.1 / (before.1 - at.1);
                line.push((before.0 + (at.0 - before.0) * share, 0.0));
            }
            return (line, true);
        }
        (line, false)
    }

    fn band(&mut self) {
        let (hinged, above) = self.within(|p| p.hinged);
        let (rigid, rigid_above) = self.within(|p| p.rigid);
        let mut band = hinged.clone();
        if let (true, false, Some(end)) = (above, rigid_above, rigid.last()) {
            band.push((end.0, 0.0));
        }
        band.extend(rigid.iter().rev());
        self.sheet.area(&band, Look::Band);
        self.sheet.line(&hinged, Look::Hinged);
        self.sheet.line(&rigid, Look::Rigid);
    }

    fn limit(&mut self) {
        let (line, _) = self.within(|p| p.limit);
        self.sheet.line(&line, Look::Limit);
    }

    /// Upright lines at the maker's frame and at the rule of thumb.
    fn sizes(&mut self) {
        let [frame, rule] = [self.largest.side, self.rule];
        for (x, name, look) in [
            (frame, "your frame", Look::Edge),
            (rule, "rule of thumb", Look::Hidden),
        ] {
            let name = format!("{name}: {}", self.show.length(x));
            let x = side(self.show, x);
            self.plane.upright(&mut self.sheet, x, &name, look, 4);
        }
    }

    fn notes(&mut self, plan: &Plan) {
        let show = self.show;
        let (case, pull) = plan.basis.pull.hardest();
        self.sheet.note(
            None,
            format!(
                "Longer bars without cross bars and braces, longer side over shorter side {}, in the hardest case, {}, under a pull of {}.",
                show.value(&Value::Number(self.largest.proportion.value), ""),
                case.name(),
                show.value(&Value::LineLoad(pull.value), ""),
            ),
        );
        let (_, above) = self.within(|p| p.hinged);
        let more = if above { "; goes on above" } else { "" };
        self.sheet
            .note_line(Look::Hinged, format!("Corners as hinges{more}"));
        self.sheet.note_line(
            Look::Rigid,
            "Corners rigid; the truth lies between, in the shaded band",
        );
        self.sheet
            .note_line(Look::Limit, "The most bow that is allowed");
        self.sheet.note(
            None,
            format!(
                "Longest side that passes every check: {}.",
                passing(show, &self.largest.sides)
            ),
        );
    }
}

/// The longest sides in words.
fn passing(show: Show, sides: &[LargestSide]) -> String {
    let one = |it: &LargestSide| {
        let braces = if it.braces > 0 {
            " and corner braces"
        } else {
            ""
        };
        let bars = match it.cross_bars {
            0 => "without cross bars".to_owned(),
            1 => "with one".to_owned(),
            2 => "with two".to_owned(),
            n => format!("with {n}"),
        };
        match &it.longest {
            Some(longest) => format!(
                "{bars}{braces} {}",
                show.length_rounded(longest.value, Rounding::Down)
            ),
            None => format!("{bars} none"),
        }
    };
    sides.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn description(plan: &Plan, largest: &Largest, curve: &[CurvePoint]) -> String {
    let show = plan.show;
    let mut text = format!(
        "Your frame: {}. The rule of thumb: {}. Longest side that passes every check: {}.",
        show.length(largest.side),
        show.length(plan.basis.rule.value),
        passing(show, &largest.sides)
    );
    // Every sixth point of the curve says enough of its way.
    for p in curve.iter().step_by(6) {
        let [hinged, rigid, limit] =
            [p.hinged, p.rigid, p.limit].map(|d| show.value(&Value::Distance(d), ""));
        text.push_str(&format!(
            " At {}: hinged {hinged}, rigid {rigid}, allowed {limit}.",
            show.length(p.side)
        ));
    }
    text
}
