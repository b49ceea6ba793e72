//! The axes of plots, and the plane between them.

use planner::{Show, Units, show};
use quantity::Length;
use quantity::physics::Distance;

use super::sheet::{Anchor, EDGE, LINE, Layout, Look, Sheet, TEXT, Try};
use super::text::{Weight, width_of};

/// The most intervals on an upright axis.
pub(super) const UPRIGHT: f64 = 7.0;

/// The most intervals on a level axis: its numbers stand side by side, in any font.
pub(super) const fn level(layout: Layout) -> f64 {
    match layout {
        Layout::Wide => 7.0,
        Layout::Narrow => 4.0,
    }
}

/// An axis from a round number to a round number, in the unit of the plan.
pub(super) struct Axis {
    start: f64,
    end: f64,
    step: f64,
}

impl Axis {
    /// An axis that starts at the last tick at or before `from` and ends at the first one at or
    /// after `to`, with `most` intervals.
    pub(super) fn over(from: f64, to: f64, most: f64) -> Self {
        let (from, to) = if from.is_finite() && to.is_finite() && to > from {
            (from, to)
        } else {
            (0.0, 1.0)
        };
        let power = libm::pow(10.0, libm::log10((to - from) / most).floor());
        let ends = |step: f64| {
            let start = (from / step + 1e-9).floor() * step;
            let end = (to / step - 1e-9).ceil() * step;
            (start, end)
        };
        let step = [1.0, 2.0, 5.0]
            .into_iter()
            .map(|n| n * power)
            .find(|step| {
                let (start, end) = ends(*step);
                (end - start) / step <= most + 1e-9
            })
            .unwrap_or(10.0 * power);
        let (start, end) = ends(step);
        Self { start, end, step }
    }

    /// Where a number lies between the start (0) and the end (1).
    pub(super) fn share(&self, x: f64) -> f64 {
        (x - self.start) / (self.end - self.start)
    }

    /// Each tick with its number.
    pub(super) fn ticks(&self) -> impl Iterator<Item = (f64, String)> + use<> {
        let (start, step, end) = (self.start, self.step, self.end);
        // As many decimals as the step has.
        let decimals = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5].iter().position(|power| {
            let shifted = step * power;
            (shifted - shifted.round()).abs() < 1e-6 * shifted
        });
        let decimals = decimals.unwrap_or(6);
        (0..=10)
            .map(move |i| start + f64::from(i) * step)
            .take_while(move |x| *x <= end + step / 2.0)
            .map(move |x| (x, show::decimals(x + 0.0, decimals)))
    }
}

/// Between the plane and the numbers beside it.
const GAP: f64 = 2.0;
/// From the plane down to the base of the numbers below it.
const BELOW: f64 = 5.0;

/// Where a plot lies on its sheet.
pub(super) struct Plane {
    left: f64,
    right: f64,
    /// Its height; the top lies at 0.
    tall: f64,
    across: Axis,
    up: Axis,
}

impl Plane {
    /// A plane as wide as the sheet leaves room for beside the axes' numbers.
    pub(super) fn new(layout: Layout, tall: f64, across: Axis, up: Axis) -> Self {
        let widest = up.ticks().map(|(_, text)| text_width(&text));
        let half = across.ticks().map(|(_, text)| text_width(&text) / 2.0);
        Self {
            left: EDGE + widest.fold(0.0, f64::max) + GAP,
            right: layout.width() - EDGE - half.fold(2.0, f64::max),
            tall,
            across,
            up,
        }
    }

    /// Where a number of the level axis lies.
    pub(super) fn along(&self, x: f64) -> f64 {
        self.left + (self.right - self.left) * self.across.share(x)
    }

    /// Where a number of the upright axis lies.
    pub(super) fn at_height(&self, y: f64) -> f64 {
        self.tall * (1.0 - self.up.share(y))
    }

    /// Both axes with their numbers, and what the level one counts.
    pub(super) fn draw(&self, sheet: &mut Sheet, across: &str) {
        let (left, right, tall) = (self.left, self.right, self.tall);
        for (y, text) in self.up.ticks() {
            let at = self.at_height(y);
            sheet.line(&[(left - 1.0, at), (right, at)], Look::Grain);
            sheet.text(&text, (left - GAP, at), Anchor::End);
        }
        for (x, text) in self.across.ticks() {
            let at = self.along(x);
            sheet.line(&[(at, tall), (at, tall + 1.5)], Look::Edge);
            sheet.text(&text, (at, tall + BELOW), Anchor::Middle);
        }
        sheet.line(&[(left, 0.0), (left, tall), (right, tall)], Look::Edge);
        sheet.text(across, (right, tall + BELOW + LINE), Anchor::End);
    }

    /// An upright line through the whole plane, its name above it in the first free one of so
    /// many rows.
    pub(super) fn upright(&self, sheet: &mut Sheet, x: f64, name: &str, look: Look, rows: u32) {
        let at = self.along(x);
        sheet.line(&[(at, 0.0), (at, self.tall)], look);
        let half = text_width(name) / 2.0;
        let room = (EDGE + half, sheet.width() - EDGE - half);
        let middle = at.min(room.1).max(room.0);
        let tries: Vec<Try> = (0..rows)
            .map(|row| {
                let y = -6.0 - LINE * f64::from(row);
                Try::led((middle, y), Anchor::Middle, [(at, y + 2.6), (at, 0.0)])
            })
            .collect();
        sheet.place_or_note(name, &tries);
    }
}

fn text_width(text: &str) -> f64 {
    width_of(text, TEXT, Weight::Plain)
}

/// The unit of both.
pub(super) const fn unit(show: Show) -> &'static str {
    match show.units {
        Units::Metric => "mm",
        Units::Imperial => "in",
    }
}

pub(super) fn side(show: Show, x: Length) -> f64 {
    match show.units {
        Units::Metric => x.to_mm(),
        Units::Imperial => x.to_inches(),
    }
}

pub(super) fn distance(show: Show, x: Distance) -> f64 {
    match show.units {
        Units::Metric => x.to_mm(),
        Units::Imperial => x.to_inches(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_start_and_end_on_a_round_tick() {
        let ticks = |from, to| {
            let all: Vec<String> = Axis::over(from, to, UPRIGHT)
                .ticks()
                .map(|(_, text)| text)
                .collect();
            all.join(" ")
        };
        assert_eq!(ticks(0.0, 1150.0), "0 200 400 600 800 1000 1200");
        assert_eq!(ticks(0.0, 0.3), "0.00 0.05 0.10 0.15 0.20 0.25 0.30");
        assert_eq!(ticks(0.0, 7.0), "0 1 2 3 4 5 6 7");
        assert_eq!(ticks(-0.35, 0.6), "-0.4 -0.2 0.0 0.2 0.4 0.6");
        assert_eq!(ticks(0.0, f64::NAN), "0.0 0.2 0.4 0.6 0.8 1.0");
        let few = Axis::over(20.0, 95.0, level(Layout::Narrow));
        let few: Vec<String> = few.ticks().map(|(_, text)| text).collect();
        assert_eq!(few.join(" "), "20 40 60 80 100");
    }
}
