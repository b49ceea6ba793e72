//! How the bar's section grows with the damp of the air.

use maud::Markup;
use planner::moisture::{AirPoint, CurvePoint, Moisture};
use planner::plan::Plan;
use planner::{Show, Value};
use quantity::physics::{Distance, Ratio};

use super::axis::{self, Axis, Plane, distance, unit};
use super::pen::Point;
use super::sheet::{Anchor, EDGE, LINE, Layout, Look, Sheet, Try};

/// Height of the plot.
const TALL: f64 = 75.0;

/// Face and depth of the bar against their size in the studio, over the relative humidity of the
/// air in the studio's warmth; the air of the yard, the studio, winter and summer are marked.
#[must_use]
pub fn humidity_plot(plan: &Plan, layout: Layout) -> Markup {
    let moisture = &plan.moisture;
    let mut plot = Plot::new(plan.show, moisture, layout);
    plot.plane.draw(&mut plot.sheet, "Relative humidity, %");
    plot.line(&moisture.curve, |p| p.face, Look::Hinged);
    plot.line(&moisture.curve, |p| p.depth, Look::Rigid);
    plot.marks(&moisture.airs);
    plot.notes(plan);
    plot.sheet.finish()
}

struct Plot {
    show: Show,
    sheet: Sheet,
    plane: Plane,
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
        Self {
            show,
            sheet: Sheet::new(
                layout,
                "Size against the damp of the air",
                description(show, moisture),
            ),
            plane: Plane::new(layout, TALL, across, up),
        }
    }

    fn point(&self, humidity: Ratio, change: Distance) -> Point {
        (
            self.plane.along(humidity.to_percent()),
            self.plane.at_height(distance(self.show, change)),
        )
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
            let x = air.at.humidity.to_percent();
            let name = air.air.name();
            self.plane
                .upright(&mut self.sheet, x, name, Look::Hidden, 5);
            for change in [air.at.face, air.at.depth] {
                let dot = self.point(air.at.humidity, change);
                self.sheet.ring(dot, 0.9, Look::Dot);
            }
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
