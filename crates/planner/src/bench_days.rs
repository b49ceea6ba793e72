//! Which canvas lies clamped in which place on which day, and which ones one person staples when.

use alloc::vec::Vec;

use serde::{Serialize, Serializer};

use crate::brief::Brief;
use crate::diary::{Batch, Day, Step};
use crate::figure::{Figure, Given, Input, Value};
use crate::formulas as f;
use crate::plan::CanvasPlan;

/// More canvases than this are no table that anyone reads by name (our choice).
pub const MOST_NAMED: u32 = 300;

/// A day's work at the bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BenchDay {
    /// Gluing and clamping, or stretching.
    pub what: Step,
    /// First day, counted from 1.
    pub day: u32,
    /// Its last day.
    pub until: u32,
    /// The date of its first day, where the plan has a date.
    #[serde(serialize_with = "date")]
    pub date: Option<Day>,
    /// The canvases, in the order of their places.
    pub places: Vec<Place>,
    /// Hours of stapling; none for gluing.
    pub hours: Option<Figure<f64>>,
}

fn date<S: Serializer>(day: &Option<Day>, s: S) -> Result<S::Ok, S::Error> {
    match day {
        Some(d) => s.collect_str(d),
        None => s.serialize_none(),
    }
}

/// A canvas in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Number of the place, from 1.
    pub number: u32,
    /// Index of the canvas in the plan.
    pub canvas: usize,
    /// Which of the row's canvases, from 1.
    pub which: u32,
}

/// How the stretching is spread over days.
pub(crate) struct Stretching {
    /// How many working days it takes.
    pub(crate) days: Figure<u64>,
    /// For each day how many canvases, in the order of the plan, and the minutes of stapling. A
    /// canvas longer than a day has a day of its own, followed by empty ones.
    pub(crate) each: Vec<(u32, f64)>,
}

/// Spreads the stretching: over as many days as the maker says, else by the pace of one stapler.
pub(crate) fn stretching(brief: &Brief, canvases: &[CanvasPlan]) -> Stretching {
    let staples = |c: &CanvasPlan| {
        let one = c.staples.as_ref();
        one.map_or(0, |s| s.staying.value + s.temporary.value)
    };
    let minutes = |c: &CanvasPlan| staples(c) as f64 / brief.staple_pace.value;
    let singles = || {
        let each = canvases.iter().map(|c| (minutes(c), c.count));
        each.flat_map(|(minutes, count)| core::iter::repeat_n(minutes, count as usize))
    };
    if let Some(days) = &brief.stretch_days {
        return Stretching {
            days: Figure::new(
                u64::from(days.value),
                &f::MAKER_SAYS,
                alloc::vec![days.input()],
            ),
            each: evenly(singles(), days.value),
        };
    }
    let each = by_pace(singles(), brief.work_hours.value * 60.0);
    let all = |n: u64, c: &CanvasPlan| n + staples(c) * u64::from(c.count);
    let mut inputs = alloc::vec![
        Input {
            name: "staples, spares left out",
            value: canvases.iter().fold(0, all).into(),
            origin: crate::figure::Origin::Computed,
            waiting: Vec::new(),
        },
        brief.staple_pace.input(),
        hours(&brief.work_hours),
    ];
    for c in canvases {
        if let Some(s) = &c.staples {
            inputs[0].waiting.extend(s.staying.how.waiting());
        }
    }
    Stretching {
        days: Figure::new(each.len().max(1) as u64, &f::STRETCH_DAYS, inputs),
        each,
    }
}

fn hours(given: &Given<f64>) -> Input {
    given.input_as(Value::Hours(given.value))
}

/// As many canvases a day as come out evenly.
fn evenly(singles: impl Iterator<Item = f64>, days: u32) -> Vec<(u32, f64)> {
    let all: Vec<f64> = singles.collect();
    let days = days as usize;
    (0..days)
        .map(|i| {
            // The earlier days first, so that a canvas of several days begins on the first.
            let until = |day: usize| (all.len() * day).div_ceil(days);
            let of = &all[until(i)..until(i + 1)];
            (u32::try_from(of.len()).unwrap_or(u32::MAX), of.iter().sum())
        })
        .collect()
}

/// One canvas after the other; none is split over two days unless it takes longer than one.
fn by_pace(singles: impl Iterator<Item = f64>, day: f64) -> Vec<(u32, f64)> {
    // A hair of tolerance, so that six canvases of a sixth fill a day.
    let fits = |minutes: f64| minutes <= day * (1.0 + 1e-9);
    let mut days: Vec<(u32, f64)> = Vec::new();
    let mut full = true;
    for minutes in singles {
        match days
            .last_mut()
            .filter(|(_, filled)| !full && fits(filled + minutes))
        {
            Some((count, filled)) => {
                *count += 1;
                *filled += minutes;
            }
            None => {
                days.push((1, minutes));
                full = !fits(minutes);
                // The further days of a canvas that takes longer than one.
                let mut rest = minutes - day;
                while rest > day * 1e-9 && days.len() < MOST_DAYS {
                    days.push((0, 0.0));
                    rest -= day;
                }
            }
        }
    }
    days
}

/// More days of stapling than this are a slip of the pace (our choice).
const MOST_DAYS: usize = 3_660;

/// A step of the diary that belongs to the bench: what, batch, its days counted from 0.
pub(crate) struct AtBench {
    pub(crate) what: Step,
    pub(crate) batch: Option<Batch>,
    pub(crate) from: u32,
    pub(crate) lasts: u32,
}

/// Names the canvases of each step at the bench. `working_from` is the first working day from
/// one on; none of this where there are too many canvases to name.
pub(crate) fn bench_days(
    brief: &Brief,
    canvases: &[CanvasPlan],
    stretching: &Stretching,
    steps: &[AtBench],
    working_from: &dyn Fn(u32) -> u32,
    date: &dyn Fn(u32) -> Option<Day>,
) -> Vec<BenchDay> {
    let all = canvases
        .iter()
        .fold(0_u32, |n, c| n.saturating_add(c.count));
    if all > MOST_NAMED {
        return Vec::new();
    }
    let singles: Vec<(usize, u32)> = canvases
        .iter()
        .enumerate()
        .flat_map(|(i, c)| (1..=c.count).map(move |which| (i, which)))
        .collect();
    let places = |from: u32, count: u32| -> Vec<Place> {
        let these = singles.iter().skip(from as usize).take(count as usize);
        these
            .zip(1..)
            .map(|((canvas, which), number)| Place {
                number,
                canvas: *canvas,
                which: *which,
            })
            .collect()
    };
    let mut days = Vec::new();
    let mut glued = 0;
    for step in steps {
        if step.what == Step::CutAndGlue {
            let count = step.batch.map_or(all, |b| b.canvases);
            days.push(BenchDay {
                what: step.what,
                day: step.from + 1,
                until: step.from + step.lasts.max(1),
                date: date(step.from),
                places: places(glued, count),
                hours: None,
            });
            glued += count;
        } else if step.what == Step::Stretch {
            let mut at = step.from;
            let mut stretched = 0;
            for (i, (count, minutes)) in stretching.each.iter().enumerate() {
                if i > 0 {
                    at = working_from(at + 1);
                }
                match days.last_mut() {
                    // Another day of the same large canvas.
                    Some(last) if *count == 0 && last.what == Step::Stretch => last.until = at + 1,
                    _ if *count == 0 => {}
                    _ => days.push(BenchDay {
                        what: step.what,
                        day: at + 1,
                        until: at + 1,
                        date: date(at),
                        places: places(stretched, *count),
                        hours: Some(Figure::new(
                            minutes / 60.0,
                            &f::STAPLE_HOURS,
                            alloc::vec![
                                stretching.days.input("days of stretching"),
                                brief.staple_pace.input()
                            ],
                        )),
                    }),
                }
                stretched += count;
            }
        }
    }
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_filled_canvas_by_canvas() {
        // A day of 100 minutes: 40 + 40, then 30 + 70, then 250 on three days of its own.
        let days = by_pace([40.0, 40.0, 30.0, 70.0, 250.0, 10.0].into_iter(), 100.0);
        assert_eq!(
            days,
            [
                (2, 80.0),
                (2, 100.0),
                (1, 250.0),
                (0, 0.0),
                (0, 0.0),
                (1, 10.0)
            ]
        );
        assert_eq!(by_pace([].into_iter(), 100.0), []);
        // 6 × 1/6 of a day, whatever binary fractions make of it.
        assert_eq!(by_pace([100.0 / 6.0; 6].into_iter(), 100.0).len(), 1);
    }

    #[test]
    fn said_days_are_spread_evenly() {
        let counts = |n: usize, days| -> Vec<u32> {
            let all = evenly(core::iter::repeat_n(10.0, n), days);
            all.iter().map(|(count, _)| *count).collect()
        };
        assert_eq!(counts(7, 3), [3, 2, 2]);
        // One that takes both days begins on the first.
        assert_eq!(counts(1, 2), [1, 0]);
    }
}
