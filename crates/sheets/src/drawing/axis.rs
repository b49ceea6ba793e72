//! The axes of plots.

use planner::{Show, Units};
use quantity::Length;
use quantity::physics::Distance;

use super::sheet::Layout;

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
        let power = 10_f64.powf(((to - from) / most).log10().floor());
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
        let decimals = (0..6).find(|n| {
            let shifted = step * 10_f64.powi(*n);
            (shifted - shifted.round()).abs() < 1e-6 * shifted
        });
        let decimals = usize::try_from(decimals.unwrap_or(6)).unwrap_or_default();
        (0..=10)
            .map(move |i| start + f64::from(i) * step)
            .take_while(move |x| *x <= end + step / 2.0)
            .map(move |x| (x, format!("{:.decimals$}", x + 0.0)))
    }
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
