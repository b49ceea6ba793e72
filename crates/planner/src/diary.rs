//! The dated steps, forward from the first day or backward from the day it is needed.

use alloc::vec::Vec;

use serde::{Serialize, Serializer};

use crate::brief::{Brief, PlanFrom};
use crate::figure::Input;
use crate::figure::{How, Value};
use crate::formulas as f;

/// A day of the calendar; no clock, so time zones and daylight saving cannot matter.
pub type Day = jiff::civil::Date;

/// The steps in order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Diary {
    /// Steps by day.
    pub steps: Vec<DiaryStep>,
    /// Days from the first step to the day it can be used.
    pub days: u32,
}

/// A step of the work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DiaryStep {
    /// What is done.
    pub what: Step,
    /// First day, counted from 1.
    pub day: u32,
    /// How many days it takes; 0 for something done within the day.
    pub lasts: u32,
    /// The date of its first day, where the plan has a date.
    #[serde(serialize_with = "date")]
    pub date: Option<Day>,
    /// How the day was reached.
    pub how: How,
}

fn date<S: Serializer>(day: &Option<Day>, s: S) -> Result<S::Ok, S::Error> {
    match day {
        Some(d) => s.collect_str(d),
        None => s.serialize_none(),
    }
}

/// A kind of step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Buy the wood and lay it in the room.
    Acclimatise,
    /// Cut, join and glue.
    CutAndGlue,
    /// Clamped flat.
    Clamp,
    /// Stretch and staple.
    Stretch,
    /// Soak the glue.
    Soak,
    /// A coat of size, counted from 1.
    SizeCoat(u32),
    /// Put the ground on.
    Prime,
    /// Ready to paint.
    Ready,
}

impl Step {
    /// Its name for people.
    #[must_use]
    pub fn name(self) -> alloc::string::String {
        match self {
            Self::Acclimatise => "Buy the wood, lay it in the room".into(),
            Self::CutAndGlue => "Cut, join and glue the frames".into(),
            Self::Clamp => "Leave clamped flat".into(),
            Self::Stretch => "Stretch and staple the cloth".into(),
            Self::Soak => "Soak the dry glue".into(),
            Self::SizeCoat(n) => alloc::format!("Warm the size, coat {n}"),
            Self::Prime => "Put on the ground".into(),
            Self::Ready => "Ready to paint".into(),
        }
    }
}

/// The diary of a plan.
pub(crate) fn diary(brief: &Brief) -> Diary {
    let whole = |days: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "days below 400, never negative"
        )]
        let n = libm::ceil(days.max(0.0)) as u32;
        n
    };
    let days = |given: &crate::figure::Given<f64>| given.input_as(Value::Days(given.value));
    let mut steps: Vec<(Step, u32, u32, Vec<Input>)> = Vec::new();

    let acclimatise = whole(brief.acclimatise.value);
    if acclimatise > 0 {
        steps.push((
            Step::Acclimatise,
            0,
            acclimatise,
            alloc::vec![days(&brief.acclimatise)],
        ));
    }
    let cut = acclimatise;
    steps.push((
        Step::CutAndGlue,
        cut,
        0,
        alloc::vec![days(&brief.acclimatise)],
    ));
    let clamp = whole(brief.clamp.value);
    steps.push((Step::Clamp, cut, clamp, alloc::vec![days(&brief.clamp)]));
    let stretch = cut + clamp;
    steps.push((Step::Stretch, stretch, 0, alloc::vec![days(&brief.clamp)]));
    // The glue soaks so many hours; started the day before (or earlier), warmed on the day.
    let soak = whole(brief.soak.value / 24.0).max(1);
    let soak_input = || brief.soak.input_as(Value::Hours(brief.soak.value));
    let first_coat = stretch + soak;
    steps.push((Step::Soak, stretch, soak, alloc::vec![soak_input()]));
    let dry = whole(brief.size_dry.value);
    for coat in 0..brief.size_coats.value {
        steps.push((
            Step::SizeCoat(coat + 1),
            first_coat + coat * dry,
            0,
            alloc::vec![
                soak_input(),
                brief.size_coats.input(),
                days(&brief.size_dry)
            ],
        ));
    }
    let prime = first_coat + brief.size_coats.value * dry;
    steps.push((Step::Prime, prime, 0, alloc::vec![days(&brief.size_dry)]));
    let ready = prime + whole(brief.prime_dry.value);
    steps.push((Step::Ready, ready, 0, alloc::vec![days(&brief.prime_dry)]));

    let first = brief.day.as_ref().map(|d| match brief.plan_from.value {
        PlanFrom::Start => d.value,
        PlanFrom::Needed => plus(d.value, -i64::from(ready)),
    });
    let steps = steps
        .into_iter()
        .map(|(what, offset, lasts, mut inputs)| {
            if let Some(day) = &brief.day {
                inputs.push(day.input_as(Value::Text(alloc::format!("{}", day.value))));
            }
            DiaryStep {
                what,
                day: offset + 1,
                lasts,
                date: first.map(|d| plus(d, i64::from(offset))),
                how: How::new(&f::DIARY, inputs),
            }
        })
        .collect();
    Diary { steps, days: ready }
}

/// A day so many days later; at the ends of the calendar it stops there.
fn plus(day: Day, days: i64) -> Day {
    day.saturating_add(jiff::Span::new().days(days))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Draft;

    fn steps(json: &str) -> Vec<(Step, u32, Option<alloc::string::String>)> {
        let (draft, faults) = Draft::from_tree(&serde_json::from_str(json).unwrap());
        assert_eq!(faults, []);
        let (brief, _) = crate::brief::check(&draft);
        diary(&brief)
            .steps
            .into_iter()
            .map(|s| (s.what, s.day, s.date.map(|d| alloc::format!("{d}"))))
            .collect()
    }

    #[test]
    fn forward_from_the_first_day() {
        // 14 days of lying, a night clamped, soak while stretching, two coats a day apart, a day
        // to dry, two for the ground: common practice, no source.
        let s = steps("{}");
        let days: Vec<(Step, u32)> = s.iter().map(|(w, d, _)| (*w, *d)).collect();
        assert_eq!(
            days,
            [
                (Step::Acclimatise, 1),
                (Step::CutAndGlue, 15),
                (Step::Clamp, 15),
                (Step::Stretch, 16),
                (Step::Soak, 16),
                (Step::SizeCoat(1), 17),
                (Step::SizeCoat(2), 18),
                (Step::Prime, 19),
                (Step::Ready, 21),
            ]
        );
    }

    #[test]
    fn backward_over_a_leap_day_and_a_clock_change() {
        // 20 days before 2028-03-10: 2028 is a leap year, so 2028-02-19 (counted by hand).
        let s = steps(r#"{"plan_from":"needed","day":"2028-03-10"}"#);
        assert_eq!(s.first().unwrap().2.as_deref(), Some("2028-02-19"));
        assert_eq!(s.last().unwrap().2.as_deref(), Some("2028-03-10"));
    }
}
