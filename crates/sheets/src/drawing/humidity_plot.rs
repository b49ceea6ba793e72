//! How the bar's section grows with the damp of the air.

use maud::Markup;
use planner::moisture::{AirPoint, CurvePoint, Moisture};
use planner::plan::Plan;
use planner::{Show, Value};
use quantity::physics::{Distance, Ratio};

use super::axis::{self, Axis, distance, unit};
use super::pen::Point;
use super::sheet::{Anchor, EDGE, LINE, Layout, Look, Sheet, TEXT, Try};
use super::text::{Weight, width_of};

/// Height of the plot.
const TALL: f64 = 75.0;
/// Between the plot and the numbers beside it.
const GAP: f64 = 2.0;

/// Face and depth of the bar against their size in the studio, over the relative humidity of the
/// air in the studio's warmth; the air of the yard, the studio, winter and summer are marked.
#[must_use]
pub fn humidity_plot(plan: &Plan, layout: Layout) -> Markup {
    let moisture = &plan.moisture;
    let mut plot = Plot::new(plan.show, moisture, layout);
    plot.axes();
    plot.line(&moisture.curve, |p| p.face, Look::Hinged);
    plot.line(&moisture.curve, |p| p.depth, Look::Rigid);
    plot.marks(&moisture.airs);
    plot.notes(plan);
    plot.sheet.finish()
}

struct Plot {
    show: Show,
    sheet: Sheet,
    x: [f64; 2],
    across: Axis,
    up: Axis,
}

impl Plot {
    fn new(show: Show, moisture: &Moisture, layout: Layout) -> Self {
        let points = || {
            moisture
                .curve
                .iter()
                .chain(moisture.airs.iter().map(|a| &a.at))
        };
        let changes = || {
            points()
                .flat_map(|p| [p.face, p.depth])
                .map(|d| distance(show, d))
        };
        let humidities = || points().map(|p| p.humidity.to_percent());
        let low = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::INFINITY, f64::min);
        let high = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::NEG_INFINITY, f64::max);
        let across = Axis::over(
            low(&mut humidities()),
            high(&mut humidities()),
            axis::level(layout),
        );
        let up = Axis::over(low(&mut changes()), high(&mut changes()), axis::UPRIGHT);
        let widest = up
            .ticks()
            .map(|(_, text)| text_width(&text))
            .fold(0.0, f64::max);
        Self {
            show,
            sheet: Sheet::new(
                layout,
                "Size against the damp of the air",
                description(show, moisture),
            ),
            x: [EDGE + widest + GAP, layout.width() - EDGE - 4.0],
            across,
            up,
        }
    }

    fn along(&self, humidity: f64) -> f64 {
        let [left, right] = self.x;
        left + (right - left) * self.across.share(humidity)
    }

    fn at_height(&self, change: f64) -> f64 {
        TALL * (1.0 - self.up.share(change))
    }

    fn point(&self, humidity: Ratio, change: Distance) -> Point {
        (
            self.along(humidity.to_percent()),
            self.at_height(distance(self.show, change)),
        )
    }

    fn axes(&mut self) {
        let [left, right] = self.x;
        for (y, text) in self.up.ticks() {
            let at = self.at_height(y);
            self.sheet
                .line(&[(left - 1.0, at), (right, at)], Look::Grain);
            self.sheet.text(&text, (left - GAP, at), Anchor::End);
        }
        for (x, text) in self.across.ticks() {
            let at = self.along(x);
            self.sheet.line(&[(at, TALL), (at, TALL + 1.5)], Look::Edge);
            self.sheet.text(&text, (at, TALL + 5.4), Anchor::Middle);
        }
        self.sheet
            .line(&[(left, 0.0), (left, TALL), (right, TALL)], Look::Edge);
        let below = (right, TALL + 5.4 + LINE);
        self.sheet.text("Relative humidity, %", below, Anchor::End);
    }

    fn line(&mut self, curve: &[CurvePoint], of: impl Fn(&CurvePoint) -> Distance, look: Look) {
        let line: Vec<Point> = curve
            .iter()
            .map(|p| self.point(p.humidity, of(p)))
            .collect();
        self.sheet.line(&line, look);
    }

    /// An upright line for each air, with its name above.
    fn marks(&mut self, airs: &[AirPoint]) {
        for air in airs {
            let at = self.along(air.at.humidity.to_percent());
            self.sheet.line(&[(at, 0.0), (at, TALL)], Look::Hidden);
            for change in [air.at.face, air.at.depth] {
                let dot = self.point(air.at.humidity, change);
                self.sheet.ring(dot, 0.9, Look::Dot);
            }
            let name = air.air.name();
            let half = text_width(name) / 2.0;
            let room = (EDGE + half, self.sheet.width() - EDGE - half);
            let middle = at.clamp(room.0, room.1.max(room.0));
            let tries: Vec<Try> = (0..5)
                .map(|row| {
                    let y = -6.0 - LINE * f64::from(row);
                    Try::led((middle, y), Anchor::Middle, [(at, y + 2.6), (at, 0.0)])
                })
                .collect();
            self.sheet.place_or_note(name, &tries);
        }
        let name = format!("Change, {}", unit(self.show));
        let rows = (1..6).map(|row| (EDGE, -6.0 - LINE * f64::from(row)));
        let tries: Vec<Try> = rows.map(|at| Try::new(at, Anchor::Start)).collect();
        self.sheet.place_or_note(&name, &tries);
    }

    fn notes(&mut self, plan: &Plan) {
        let m = &plan.moisture;
        let brief = &plan.brief;
        self.sheet.note_line(
            Look::Hinged,
            format!(
                "Face, {} in the studio",
                self.show.length(brief.bar_face.value)
            ),
        );
        self.sheet.note_line(
            Look::Rigid,
            format!(
                "Depth, {} in the studio",
                self.show.length(brief.bar_depth.value)
            ),
        );
        self.sheet.note(
            None,
            format!(
                "{}, at {}. The yard's wood lies where the studio's air would make it as damp as it is.",
                m.wood,
                self.show
                    .value(&Value::Temperature(brief.studio_temperature.value), "")
            ),
        );
    }
}

fn description(show: Show, moisture: &Moisture) -> String {
    let mut text = String::from("How much the bar's face and depth change against the studio.");
    for air in &moisture.airs {
        let [face, depth] =
            [air.at.face, air.at.depth].map(|d| show.value(&Value::Distance(d), ""));
        text.push_str(&format!(
            " {}, {} of humidity: face {face}, depth {depth}.",
            air.air.name(),
            show.value(&Value::Ratio(air.at.humidity), "")
        ));
    }
    text
}

fn text_width(text: &str) -> f64 {
    width_of(text, TEXT, Weight::Plain)
}
