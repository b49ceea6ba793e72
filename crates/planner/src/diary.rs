//! The dated steps: forward from the first day or backward from the day it is needed, on the days
//! when there is someone to work.
//!
//! Work waits for a working day; drying does not. Where fewer canvases can lie clamped at once
//! than there are, they are built in batches.

use alloc::string::String;
use alloc::vec::Vec;

use serde::{Serialize, Serializer};

use crate::bench_days::{AtBench, BenchDay, bench_days, stretching};
use crate::brief::{Brief, Ground, PlanFrom, SizeKind};
use crate::fault::{Fault, FaultKind};
use crate::fields::FieldRef;
use crate::figure::{Figure, Given, How, Input, Value};
use crate::formulas as f;
use crate::plan::CanvasPlan;

/// A day of the calendar; no clock, so time zones and daylight saving cannot matter.
pub type Day = time::Date;

/// The steps in order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Diary {
    /// Steps by day.
    pub steps: Vec<DiaryStep>,
    /// Days from the first step to the day it can be used.
    pub days: u32,
    /// Which canvas is at the bench on which day; empty where there are too many to name.
    pub bench: Vec<BenchDay>,
    /// Where both ends are fixed and do not meet.
    pub late: Option<Late>,
}

/// The work does not fit between its two ends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Late {
    /// So many days too late.
    pub days: u32,
    /// The first day on which starting would have been in time.
    #[serde(serialize_with = "day")]
    pub latest_start: Day,
}

/// A step of the work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DiaryStep {
    /// What is done.
    pub what: Step,
    /// Which batch, from 1, where there are several.
    pub batch: Option<Batch>,
    /// First day, counted from 1.
    pub day: u32,
    /// How many days it spans, from its first to its last or, for waiting, to what waits for it; 0
    /// for something done within the day.
    pub lasts: u32,
    /// The date of its first day, where the plan has a date.
    #[serde(serialize_with = "date")]
    pub date: Option<Day>,
    /// How the day was reached.
    pub how: How,
}

/// One of several batches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Batch {
    /// Which, from 1.
    pub number: u32,
    /// Of how many.
    pub of: u32,
    /// Canvases in it.
    pub canvases: u32,
}

impl Diary {
    /// The days on which warm size is used: for its coats, and for a ground that is mixed from it.
    pub(crate) fn days_of_size(&self, mixed: bool) -> Vec<&DiaryStep> {
        let uses = |step: &&DiaryStep| match step.what {
            Step::SizeCoat(_) => true,
            Step::Prime | Step::PrimeCoats(..) => mixed,
            _ => false,
        };
        self.steps.iter().filter(uses).collect()
    }
}

impl DiaryStep {
    /// Its name for people, with the batch where there are several.
    #[must_use]
    pub fn title(&self) -> String {
        let name = self.what.name();
        match self.batch {
            Some(b) => alloc::format!(
                "{name} (batch {} of {}: {})",
                b.number,
                b.of,
                crate::show::counted(u64::from(b.canvases), "canvas", "canvases")
            ),
            None => name,
        }
    }
}

fn date<S: Serializer>(day: &Option<Day>, s: S) -> Result<S::Ok, S::Error> {
    match day {
        Some(d) => s.collect_str(d),
        None => s.serialize_none(),
    }
}

fn day<S: Serializer>(day: &Day, s: S) -> Result<S::Ok, S::Error> {
    s.collect_str(day)
}

/// A kind of step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Buy the wood and lay it in the room.
    Acclimatise,
    /// Cut and join, with or without glue.
    CutAndGlue,
    /// Clamped flat.
    Clamp,
    /// Stretch and staple.
    Stretch,
    /// Soak the glue.
    Soak,
    /// A coat of size, counted from 1.
    SizeCoat(u32),
    /// Put the ground on: all coats of it, or those of the first day.
    Prime,
    /// Further coats of ground on a later day, from this one to that, counted from 1.
    PrimeCoats(u32, u32),
    /// Ready to paint.
    Ready,
}

impl Step {
    /// Its name for people.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Acclimatise => "Buy the wood, lay it in the room".into(),
            Self::CutAndGlue => "Cut and join the frames".into(),
            Self::Clamp => "Leave clamped flat".into(),
            Self::Stretch => "Stretch and staple the cloth".into(),
            Self::Soak => "Soak the dry glue".into(),
            Self::SizeCoat(n) => alloc::format!("Size the cloth, coat {n}"),
            Self::Prime => "Put on the ground".into(),
            Self::PrimeCoats(from, to) if from == to => alloc::format!("Ground, coat {from}"),
            Self::PrimeCoats(from, to) => alloc::format!("Ground, coats {from} to {to}"),
            Self::Ready => "Ready to paint".into(),
        }
    }

    /// Whether it takes someone's day: lying, soaking and drying do not.
    #[must_use]
    pub const fn is_work(self) -> bool {
        !matches!(
            self,
            Self::Acclimatise | Self::Clamp | Self::Soak | Self::Ready
        )
    }
}

/// Days of the week on which there is someone to work, from Monday.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weekdays([bool; 7]);

const DAY_NAMES: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

impl Weekdays {
    /// Every day.
    pub const ALL: Self = Self([true; 7]);

    /// Reads names and runs of them: `Mon-Fri`, `Tue, Thu`, `Sat to Mon`, `weekdays`, `weekends`;
    /// two letters do. None where a word is no day or no day is named.
    ///
    /// ```
    /// use planner::diary::Weekdays;
    /// assert_eq!(Weekdays::read("mon-sun"), Some(Weekdays::ALL));
    /// assert_eq!(Weekdays::read("Fri-Mon"), Weekdays::read("friday, Sat, Sun, Monday"));
    /// assert_eq!(Weekdays::read("Mo – Fr"), Weekdays::read("weekdays"));
    /// assert_eq!(Weekdays::read("Sat to Sun"), Weekdays::read("weekends"));
    /// assert_eq!(Weekdays::read("someday"), None);
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut days = [false; 7];
        let text = text.to_ascii_lowercase().replace(['–', '—'], "-");
        let text = text.replace(" to ", "-").replace("weekdays", "mon-fri");
        let mut text = text.replace("weekends", "sat-sun");
        for blank in [" -", "- "] {
            while text.contains(blank) {
                text = text.replace(blank, "-");
            }
        }
        for part in text.split([',', ';', ' ']).filter(|p| !p.is_empty()) {
            let (from, to) = part.split_once('-').unwrap_or((part, part));
            let (from, to) = (day_number(from)?, day_number(to)?);
            let mut i = from;
            loop {
                days[i] = true;
                if i == to {
                    break;
                }
                i = (i + 1) % 7;
            }
        }
        days.contains(&true).then_some(Self(days))
    }

    /// Whether there is someone to work on this day.
    #[must_use]
    pub fn has(self, day: Day) -> bool {
        self.0[from_monday(day)]
    }
}

/// Day of the week, Monday 0.
fn from_monday(day: Day) -> usize {
    usize::from(day.weekday().number_days_from_monday())
}

fn day_number(word: &str) -> Option<usize> {
    let word = word.trim();
    DAY_NAMES.iter().position(|n| {
        let full = match *n {
            "tue" => "tuesday",
            "wed" => "wednesday",
            "thu" => "thursday",
            "sat" => "saturday",
            "mon" => "monday",
            "fri" => "friday",
            _ => "sunday",
        };
        word.len() >= 2 && full.starts_with(word)
    })
}

/// A step as scheduled: days counted from the first day.
struct Placed {
    what: Step,
    batch: Option<Batch>,
    from: u32,
    lasts: u32,
    inputs: Vec<Input>,
}

/// Whether steps carry their inputs: a search for the latest start schedules many times and wants
/// the days alone.
#[derive(Clone, Copy, PartialEq)]
enum Inputs {
    Gathered,
    LeftOut,
}

/// The steps as they are scheduled.
struct Steps {
    placed: Vec<Placed>,
    inputs: Inputs,
}

impl Steps {
    fn put(&mut self, what: Step, from: u32, lasts: u32, inputs: impl FnOnce() -> Vec<Input>) {
        self.put_batch(what, None, from, lasts, inputs);
    }

    /// Puts a step that may begin before others that are placed already, in the order of the days.
    fn put_early(
        &mut self,
        what: Step,
        from: u32,
        lasts: u32,
        inputs: impl FnOnce() -> Vec<Input>,
    ) {
        self.put(what, from, lasts, inputs);
        let earlier = self
            .placed
            .iter()
            .rposition(|s| s.from <= from && s.what != what);
        let at = earlier.map_or(0, |i| i + 1);
        if let Some(tail) = self.placed.get_mut(at..) {
            tail.rotate_right(1);
        }
    }

    fn put_batch(
        &mut self,
        what: Step,
        batch: Option<Batch>,
        from: u32,
        lasts: u32,
        inputs: impl FnOnce() -> Vec<Input>,
    ) {
        let inputs = match self.inputs {
            Inputs::Gathered => inputs(),
            Inputs::LeftOut => Vec::new(),
        };
        self.placed.push(Placed {
            what,
            batch,
            from,
            lasts,
            inputs,
        });
    }
}

/// The calendar that steps are put on.
#[derive(Clone, Copy)]
struct Calendar {
    /// Day of the week of the first day, Monday 0; none without a date.
    first: Option<usize>,
    working: Weekdays,
}

impl Calendar {
    fn is_working(self, offset: u32) -> bool {
        // Without a date nobody knows the day of the week, and every day counts.
        self.first
            .is_none_or(|first| self.working.0[(first + offset as usize) % 7])
    }

    /// The first working day from this one on; a week holds one.
    fn working_from(self, offset: u32) -> u32 {
        (0..7)
            .map(|i| offset + i)
            .find(|o| self.is_working(*o))
            .unwrap_or(offset)
    }

    /// The last of so many working days, the first of which is `from`.
    fn after_working_days(self, from: u32, days: u32) -> u32 {
        (1..days.max(1)).fold(from, |at, _| self.working_from(at + 1))
    }
}

/// Days from the first day of work to its last, both counted; 0 within one day.
const fn spanned(from: u32, last: u32) -> u32 {
    if last > from { last - from + 1 } else { 0 }
}

fn whole(days: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "days below 400, never negative"
    )]
    let n = libm::ceil(days.max(0.0) - 1e-9) as u32;
    n
}

fn days(given: &Given<f64>) -> Input {
    given.input_as(Value::Days(given.value))
}

/// What is scheduled: the brief, and how long the stretching takes.
#[derive(Clone, Copy)]
struct Job<'a> {
    brief: &'a Brief,
    stretching: &'a Figure<u64>,
}

impl Job<'_> {
    fn stretch_days(self) -> u32 {
        u32::try_from(self.stretching.value).unwrap_or(u32::MAX)
    }
}

/// All steps on a calendar, in the order of the work.
fn schedule(job: Job<'_>, calendar: Calendar, inputs: Inputs) -> Vec<Placed> {
    let brief = job.brief;
    let mut steps = Steps {
        placed: Vec::new(),
        inputs,
    };
    let clamped = build(brief, calendar, &mut steps);
    let stretched = stretch(job, calendar, clamped, &mut steps);
    let sized = coats(brief, calendar, stretched, &mut steps);
    prime(brief, calendar, sized, &mut steps);
    steps.placed
}

/// Wood, cutting and clamping, batch by batch; the day when the last one is free.
fn build(brief: &Brief, calendar: Calendar, steps: &mut Steps) -> u32 {
    let start = calendar.working_from(0);
    let acclimatise = whole(brief.acclimatise.value);
    if acclimatise > 0 {
        steps.put(Step::Acclimatise, start, acclimatise, || {
            alloc::vec![days(&brief.acclimatise)]
        });
    }
    let clamp = whole(brief.clamp.value);
    let mut free = start + acclimatise;
    for batch in batches(brief) {
        let cut = calendar.working_from(free);
        let glued = calendar.after_working_days(cut, brief.cut_days.value);
        let several = (batch.of > 1).then_some(batch);
        steps.put_batch(Step::CutAndGlue, several, cut, spanned(cut, glued), || {
            let mut inputs = alloc::vec![days(&brief.acclimatise), brief.cut_days.input()];
            if several.is_some() {
                inputs.extend(brief.bench.as_ref().map(Given::input));
            }
            inputs
        });
        steps.put_batch(Step::Clamp, several, glued, clamp, || {
            alloc::vec![days(&brief.clamp)]
        });
        free = glued + clamp;
    }
    free
}

/// More batches than this are no diary that anyone reads (our choice).
const MOST_BATCHES: u32 = 60;

fn canvases(brief: &Brief) -> u32 {
    brief
        .canvases
        .iter()
        .fold(0_u32, |n, c| n.saturating_add(c.count.value))
}

/// The canvases in batches of what the bench holds; one batch where that is not said, or where it
/// would make too many.
fn batches(brief: &Brief) -> Vec<Batch> {
    let all = canvases(brief);
    let bench = match &brief.bench {
        Some(b) if all.div_ceil(b.value.max(1)) <= MOST_BATCHES => b.value.max(1),
        _ => all.max(1),
    };
    let of = all.div_ceil(bench).max(1);
    (0..of)
        .map(|i| Batch {
            number: i + 1,
            of,
            canvases: bench.min(all.saturating_sub(i * bench)),
        })
        .collect()
}

/// Stretching; its last day.
fn stretch(job: Job<'_>, calendar: Calendar, free: u32, steps: &mut Steps) -> u32 {
    let from = calendar.working_from(free);
    let last = calendar.after_working_days(from, job.stretch_days());
    steps.put(Step::Stretch, from, spanned(from, last), || {
        alloc::vec![
            days(&job.brief.clamp),
            job.stretching.input("days of stretching")
        ]
    });
    last
}

/// Hours of soaking that are done on the day of the coat (our choice).
const MORNING_SOAK: f64 = 6.0;

/// Soaking and the coats of size; the day when the last coat is dry.
fn coats(brief: &Brief, calendar: Calendar, stretched: u32, steps: &mut Steps) -> u32 {
    let glue = brief.size_kind.value == SizeKind::Glue;
    // The glue soaks as long as the recipe says, so it is put in water on the day before the first
    // coat (two days for more than 24 hours), whether or not that is a working day: longer, it
    // spoils. A few hours fit into the morning of the coat.
    let soak = match brief.soak.value {
        _ if !glue => 0,
        hours if hours <= MORNING_SOAK => 0,
        hours => whole(hours / 24.0),
    };
    let soak_input = || brief.soak.input_as(Value::Hours(brief.soak.value));
    let mut next = calendar.working_from((stretched + 1).max(soak));
    if glue {
        steps.put_early(Step::Soak, next - soak, soak, || alloc::vec![soak_input()]);
    }
    let dry = whole(brief.size_dry.value);
    let mut dried = next;
    for coat in 0..brief.size_coats.value {
        steps.put(Step::SizeCoat(coat + 1), next, 0, || {
            let mut inputs = alloc::vec![brief.size_coats.input(), days(&brief.size_dry)];
            if glue {
                inputs.insert(0, soak_input());
            }
            inputs
        });
        dried = next + dry;
        next = calendar.working_from(dried);
    }
    dried
}

/// Hours of a day that coats of ground may wait for one another (our choice): thin ones follow
/// each other through a day, from half a day on each has its own.
const COATING_DAY: f64 = 12.0;

/// Coats of ground that go on in a day.
fn coats_a_day(hours_between: f64) -> u32 {
    let waits = libm::ceil(COATING_DAY / hours_between.max(f64::MIN_POSITIVE)) - 1.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "float to int casts saturate"
    )]
    let waits = waits.max(0.0) as u32;
    waits.saturating_add(1)
}

/// The ground and the day when it can be painted on.
fn prime(brief: &Brief, calendar: Calendar, sized: u32, steps: &mut Steps) {
    if brief.ground.value == Ground::Nothing {
        steps.put(Step::Ready, sized, 0, || alloc::vec![days(&brief.size_dry)]);
        return;
    }
    let hours = brief.ground_between.value;
    let mut last = calendar.working_from(sized);
    steps.put(Step::Prime, last, 0, || alloc::vec![days(&brief.size_dry)]);
    let (a_day, between) = (coats_a_day(hours), whole(hours / 24.0).max(1));
    let coats = brief.ground_coats.value;
    let mut done = a_day;
    while done < coats {
        let until = done.saturating_add(a_day).min(coats);
        last = calendar.working_from(last + between);
        steps.put(Step::PrimeCoats(done + 1, until), last, 0, || {
            alloc::vec![
                brief.ground_coats.input(),
                brief.ground_between.input_as(Value::Hours(hours))
            ]
        });
        done = until;
    }
    let ready = last + whole(brief.prime_dry.value);
    steps.put(Step::Ready, ready, 0, || {
        alloc::vec![days(&brief.prime_dry)]
    });
}

/// Days from the first day to the day it is ready.
fn span(job: Job<'_>, working: Weekdays, first: Day) -> u32 {
    let calendar = Calendar {
        first: Some(from_monday(first)),
        working,
    };
    schedule(job, calendar, Inputs::LeftOut)
        .last()
        .map_or(0, |s| s.from)
}

/// The last day on which work can begin and be ready by the day it is needed. A later start is
/// never ready earlier, so a start that fits and whose next does not is the last.
fn latest_start(job: Job<'_>, working: Weekdays, needed: Day) -> Day {
    let ready = |first: Day| plus(first, i64::from(span(job, working, first)));
    let mut first = plus(needed, -i64::from(span(job, working, needed)));
    // Each round goes back by what is missing; a few rounds do, and the bound keeps the ends of
    // the calendar harmless.
    for _ in 0..64 {
        let over = days_between(needed, ready(first));
        if over <= 0 {
            break;
        }
        first = plus(first, -over);
    }
    for _ in 0..64 {
        let next = plus(first, 1);
        if next == first || ready(next) > needed {
            break;
        }
        first = next;
    }
    first
}

/// The fault of a bench so small that the diary leaves it out.
fn too_small_a_bench(brief: &Brief) -> Option<Fault> {
    let all = canvases(brief);
    let bench = brief.bench.as_ref()?;
    (all.div_ceil(bench.value.max(1)) > MOST_BATCHES).then(|| Fault {
        at: bench.field,
        kind: FaultKind::Conflict {
            what: alloc::format!(
                "{all} canvases in batches of {} are more than {MOST_BATCHES} batches; the diary takes them as one.",
                bench.value
            ),
            remedy: alloc::format!(
                "Make room for {} at once, or plan fewer.",
                all.div_ceil(MOST_BATCHES)
            ),
        },
    })
}

/// The diary of a plan, and the faults: two ends that do not meet, a bench that is too small.
pub(crate) fn diary(brief: &Brief, canvases: &[CanvasPlan]) -> (Diary, Vec<Fault>) {
    let stretching = stretching(brief, canvases);
    let job = Job {
        brief,
        stretching: &stretching.days,
    };
    let working = brief.work_days.value;
    let first = brief.day.as_ref().map(|d| match brief.plan_from.value {
        PlanFrom::Start => d.value,
        PlanFrom::Needed => latest_start(job, working, d.value),
    });
    let calendar = Calendar {
        first: first.map(from_monday),
        working,
    };
    let placed = schedule(job, calendar, Inputs::Gathered);
    let date = |offset: u32| first.map(|d| plus(d, i64::from(offset)));
    let at_bench: Vec<AtBench> = placed
        .iter()
        .map(|step| AtBench {
            what: step.what,
            batch: step.batch,
            from: step.from,
            lasts: step.lasts,
        })
        .collect();
    let bench = bench_days(
        brief,
        canvases,
        &stretching,
        &at_bench,
        &|offset| calendar.working_from(offset),
        &date,
    );
    let ready = placed.last().map_or(0, |s| s.from);
    let late = first.and_then(|first| late(job, working, first, plus(first, i64::from(ready))));
    let steps = placed
        .into_iter()
        .map(|mut step| {
            if let Some(day) = &brief.day {
                step.inputs
                    .push(day.input_as(Value::Text(alloc::format!("{}", day.value))));
                if working != Weekdays::ALL {
                    step.inputs
                        .push(brief.work_days.input_as(Value::Text(said(working))));
                }
            }
            DiaryStep {
                what: step.what,
                batch: step.batch,
                day: step.from + 1,
                lasts: step.lasts,
                date: date(step.from),
                how: How::new(&f::DIARY, step.inputs),
            }
        })
        .collect();
    let too_late = late.map(|late| Fault {
        at: FieldRef::setting("other_day"),
        kind: FaultKind::Conflict {
            what: alloc::format!(
                "Too late by {}: the latest start was {}.",
                crate::show::counted(u64::from(late.days), "day", "days"),
                late.latest_start
            ),
            remedy: "Move one of the two days, shorten a wait, or work on more days of the week."
                .into(),
        },
    });
    (
        Diary {
            steps,
            days: ready,
            bench,
            late,
        },
        too_late
            .into_iter()
            .chain(too_small_a_bench(brief))
            .collect(),
    )
}

fn late(job: Job<'_>, working: Weekdays, first: Day, ready: Day) -> Option<Late> {
    let brief = job.brief;
    let other = brief.other_day.as_ref()?.value;
    let (latest_start, over) = match brief.plan_from.value {
        PlanFrom::Start => (
            latest_start(job, working, other),
            days_between(other, ready),
        ),
        PlanFrom::Needed => (first, days_between(first, other)),
    };
    u32::try_from(over)
        .ok()
        .filter(|d| *d > 0)
        .map(|days| Late { days, latest_start })
}

const SHORT_NAMES: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

fn said(working: Weekdays) -> String {
    let names: Vec<&str> = SHORT_NAMES
        .into_iter()
        .zip(working.0)
        .filter_map(|(name, works)| works.then_some(name))
        .collect();
    names.join(" ")
}

/// A day with its day of the week, for people.
///
/// ```
/// use planner::diary::{read_day, said_day};
/// assert_eq!(said_day(read_day("2027-03-01").unwrap()), "Mon 2027-03-01");
/// ```
#[must_use]
pub fn said_day(day: Day) -> String {
    alloc::format!("{} {day}", SHORT_NAMES[from_monday(day)])
}

/// Reads a day written `2027-03-01`.
#[must_use]
pub fn read_day(text: &str) -> Option<Day> {
    let mut parts = text.split('-');
    let mut next = |digits: usize| {
        let part = parts.next()?;
        let plain = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| part.parse::<u16>().ok()).flatten()
    };
    let (year, month, day) = (next(4)?, next(2)?, next(2)?);
    if parts.next().is_some() {
        return None;
    }
    let month = time::Month::try_from(u8::try_from(month).ok()?).ok()?;
    Day::from_calendar_date(i32::from(year), month, u8::try_from(day).ok()?).ok()
}

/// A day so many days later; at the ends of the calendar it stops there.
fn plus(day: Day, days: i64) -> Day {
    let end = if days < 0 { Day::MIN } else { Day::MAX };
    i32::try_from(i64::from(day.to_julian_day()).saturating_add(days))
        .ok()
        .and_then(|julian| Day::from_julian_day(julian).ok())
        .unwrap_or(end)
}

/// Days from one to the other, negative where the other is earlier.
fn days_between(from: Day, to: Day) -> i64 {
    i64::from(to.to_julian_day()) - i64::from(from.to_julian_day())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Draft;

    fn diary_of(json: &str) -> (Diary, Vec<Fault>) {
        let (draft, faults) = Draft::from_tree(&serde_json::from_str(json).unwrap());
        assert_eq!(faults, []);
        let (brief, _) = crate::brief::check(&draft);
        diary(&brief, &crate::plan::plan(&draft).canvases)
    }

    fn steps(json: &str) -> Vec<(Step, u32, Option<String>)> {
        diary_of(json)
            .0
            .steps
            .into_iter()
            .map(|s| (s.what, s.day, s.date.map(|d| alloc::format!("{d}"))))
            .collect()
    }

    #[track_caller]
    fn dated(json: &str, what: Step, date: &str) {
        let found = steps(json).into_iter().find(|s| s.0 == what).unwrap();
        assert_eq!(found.2.as_deref(), Some(date), "{what:?}");
    }

    #[test]
    fn only_real_days_are_read() {
        assert_eq!(
            alloc::format!("{}", read_day("2028-02-29").unwrap()),
            "2028-02-29"
        );
        for text in [
            "2027-02-29",
            "2027-13-01",
            "2027-1-1",
            "+027-01-01",
            "2027-01-01-",
            "soon",
            "",
        ] {
            assert_eq!(read_day(text), None, "{text}");
        }
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

    #[test]
    fn work_waits_for_a_working_day_and_drying_does_not() {
        // From Friday 2027-01-01 (a Friday, by the Gregorian calendar), no acclimatising, Mon-Fri:
        // cut Fri, clamped overnight, stretch Mon 4, soak Mon, coats Tue 5 and Wed 6, ground Thu 7,
        // ready Sat 9.
        let json = r#"{"day":"2027-01-01","acclimatise":"0 days","work_days":"Mon-Fri"}"#;
        dated(json, Step::CutAndGlue, "2027-01-01");
        dated(json, Step::Stretch, "2027-01-04");
        dated(json, Step::SizeCoat(2), "2027-01-06");
        dated(json, Step::Prime, "2027-01-07");
        dated(json, Step::Ready, "2027-01-09");
    }

    #[test]
    fn backward_on_working_days_is_the_latest_start() {
        // The same job needed on Saturday 9, or on Sunday 10 or Monday 11: no later start is
        // possible than Friday 1 for the 9th. For the 11th: ground Fri 8 → ready 10; coats Thu 7,
        // Wed 6; soak and stretch Tue 5; cut Mon 4.
        let on = |needed: &str| {
            alloc::format!(
                r#"{{"plan_from":"needed","day":"{needed}","acclimatise":"0 days","work_days":"Mon-Fri"}}"#
            )
        };
        dated(&on("2027-01-09"), Step::CutAndGlue, "2027-01-01");
        dated(&on("2027-01-10"), Step::CutAndGlue, "2027-01-04");
        dated(&on("2027-01-11"), Step::CutAndGlue, "2027-01-04");
        dated(&on("2027-01-11"), Step::Ready, "2027-01-10");
    }

    #[test]
    fn two_ends_that_do_not_meet_are_said() {
        let (diary, faults) = diary_of(r#"{"day":"2027-03-01","other_day":"2027-03-18"}"#);
        // Ready on 2027-03-21 (20 days later, as above): three days late; 20 days before the
        // 18th is 2027-02-26.
        let late = diary.late.unwrap();
        assert_eq!(
            (late.days, alloc::format!("{}", late.latest_start).as_str()),
            (3, "2027-02-26")
        );
        assert_eq!(
            alloc::format!("{}", faults[0]),
            "other_day: Too late by 3 days: the latest start was 2027-02-26. Move one of the two days, shorten a wait, or work on more days of the week."
        );
        let (diary, faults) =
            diary_of(r#"{"plan_from":"needed","day":"2027-03-18","other_day":"2027-03-01"}"#);
        assert_eq!(diary.late.unwrap().days, 3);
        assert_eq!(faults.len(), 1);
        for ok in ["2027-03-21", "2027-03-22"] {
            let json = alloc::format!(r#"{{"day":"2027-03-01","other_day":"{ok}"}}"#);
            assert_eq!(diary_of(&json).0.late, None);
        }
    }

    #[test]
    fn a_small_bench_builds_in_batches() {
        // Five canvases, two at a time: cut on days 1, 2, 3 (each clamped overnight), stretch on 4.
        let json = r#"{"acclimatise":"0 days","bench":2,"canvases":[{"width":500,"height":400,"count":5}]}"#;
        let (diary, _) = diary_of(json);
        let cuts: Vec<(u32, Option<Batch>)> = diary
            .steps
            .iter()
            .filter(|s| s.what == Step::CutAndGlue)
            .map(|s| (s.day, s.batch))
            .collect();
        let batch = |number, canvases| {
            Some(Batch {
                number,
                of: 3,
                canvases,
            })
        };
        assert_eq!(cuts, [(1, batch(1, 2)), (2, batch(2, 2)), (3, batch(3, 1))]);
        let stretch = diary
            .steps
            .iter()
            .find(|s| s.what == Step::Stretch)
            .unwrap();
        assert_eq!(stretch.day, 4);
        assert_eq!(
            diary.steps[0].title(),
            "Cut and join the frames (batch 1 of 3: 2 canvases)"
        );
    }

    #[test]
    fn canvases_have_their_place_and_day() {
        // Three canvases, two places: Anna and the first of two of Ben's on day 1, the other on
        // day 2. 500 × 400: ⌈(500 − 2 × 50) / 50⌉ + 1 = 9 along the top, ⌈300 / 50⌉ + 1 = 7 up a
        // side (spacing 50, clearance 50), 2 × 16 + 4 temporary = 36 staples. At 0.6 a minute an
        // hour each; in days of 2 hours two canvases, then one.
        let json = r#"{"acclimatise":"0 days","bench":2,"staple_pace":"0.6","work_hours":"2 h",
            "staple_spacing":"50","corner_clearance":"50","corner_staples":"1",
            "canvases":[{"name":"Anna","width":500,"height":400},{"name":"Ben","width":500,"height":400,"count":2}]}"#;
        let (diary, _) = diary_of(json);
        let seen: Vec<String> = diary
            .bench
            .iter()
            .map(|d| {
                let places = d.places.iter().map(|p| (p.canvas, p.which));
                alloc::format!("{:?} {} {:?}", d.what, d.day, places.collect::<Vec<_>>())
            })
            .collect();
        assert_eq!(
            seen,
            [
                "CutAndGlue 1 [(0, 1), (1, 1)]",
                "CutAndGlue 2 [(1, 2)]",
                "Stretch 3 [(0, 1), (1, 1)]",
                "Stretch 4 [(1, 2)]",
            ]
        );
        let hours: Vec<f64> = diary
            .bench
            .iter()
            .filter_map(|d| d.hours.as_ref().map(|h| h.value))
            .collect();
        assert_eq!(hours, [2.0, 1.0]);
        // The soak starts on the last day of stretching, the second of two.
        let step = |what| diary.steps.iter().find(|s| s.what == what).unwrap();
        assert_eq!(step(Step::Soak).day, 4);
        assert_eq!((step(Step::Stretch).day, step(Step::Stretch).lasts), (3, 2));
    }

    #[test]
    fn glue_soaks_as_long_as_the_recipe_says_whatever_the_week() {
        // Day and length of the soak, day of the first coat. 2027-01-01 is a Friday (by the
        // Gregorian calendar). Saturdays alone: cut 2, stretch 9, coat 16, so the glue goes into
        // water on Friday 15. Mon-Fri from Thursday 7: cut 7, stretch Fri 8, coat Mon 11: Sunday.
        #[track_caller]
        fn soaks(settings: &str, expected: (&str, u32, &str)) {
            let json = alloc::format!(r#"{{"acclimatise":"0 days",{settings}}}"#);
            let (diary, _) = diary_of(&json);
            let step = |what| diary.steps.iter().find(|s| s.what == what).unwrap();
            let date = |what| alloc::format!("{}", step(what).date.unwrap());
            let (soak, coat) = (date(Step::Soak), date(Step::SizeCoat(1)));
            let lasts = step(Step::Soak).lasts;
            assert_eq!((soak.as_str(), lasts, coat.as_str()), expected);
            // In the order of the days.
            assert!(diary.steps.is_sorted_by_key(|s| s.day), "{:?}", diary.steps);
        }
        soaks(
            r#""day":"2027-01-02","work_days":"Sat""#,
            ("2027-01-15", 1, "2027-01-16"),
        );
        soaks(
            r#""day":"2027-01-07","work_days":"Mon-Fri""#,
            ("2027-01-10", 1, "2027-01-11"),
        );
        // 48 hours: from the day on which the frames lie clamped. A few hours: that morning.
        soaks(
            r#""day":"2027-01-04","soak":"48 h""#,
            ("2027-01-04", 2, "2027-01-06"),
        );
        soaks(
            r#""day":"2027-01-04","soak":"3 h""#,
            ("2027-01-06", 0, "2027-01-06"),
        );
        soaks(
            r#""day":"2027-01-04","soak":"12 h""#,
            ("2027-01-05", 1, "2027-01-06"),
        );
    }

    #[test]
    fn typed_days_of_stretching_stand() {
        let json = r#"{"acclimatise":"0 days","stretch_days":"3","canvases":[{"width":500,"height":400,"count":6}]}"#;
        let (diary, _) = diary_of(json);
        let stretched: Vec<(u32, usize)> = diary
            .bench
            .iter()
            .filter(|d| d.what == Step::Stretch)
            .map(|d| (d.day, d.places.len()))
            .collect();
        assert_eq!(stretched, [(2, 2), (3, 2), (4, 2)]);
    }

    #[test]
    fn a_bench_that_makes_too_many_batches_is_said() {
        let json = |count: u32| {
            alloc::format!(
                r#"{{"bench":1,"canvases":[{{"width":500,"height":400,"count":{count}}}]}}"#
            )
        };
        assert_eq!(diary_of(&json(60)).1, []);
        let (diary, faults) = diary_of(&json(61));
        assert_eq!(
            alloc::format!("{}", faults[0]),
            "bench: 61 canvases in batches of 1 are more than 60 batches; the diary takes them as one. Make room for 2 at once, or plan fewer."
        );
        assert!(diary.steps.iter().all(|s| s.batch.is_none()));
    }

    #[test]
    fn the_ends_of_the_calendar_are_harmless() {
        for day in ["9999-12-30", "0000-01-02"] {
            for from in ["start", "needed"] {
                let json = alloc::format!(
                    r#"{{"plan_from":"{from}","day":"{day}","other_day":"2027-01-01","work_days":"Wed"}}"#
                );
                let (diary, _) = diary_of(&json);
                assert!(diary.steps.iter().all(|s| s.date.is_some()));
            }
        }
    }

    #[test]
    fn ready_size_needs_no_soak_and_no_ground_no_priming() {
        let s = steps(r#"{"size_kind":"acrylic","ground":"none","acclimatise":"0 days"}"#);
        assert!(
            s.iter()
                .all(|(w, ..)| !matches!(w, Step::Soak | Step::Prime))
        );
        assert_eq!(s.last().unwrap().0, Step::Ready);
    }

    #[test]
    fn ground_coats_have_the_days_that_their_drying_takes() {
        #[track_caller]
        fn primed(coats: u32, hours: &str, expected: &[(Step, u32)]) {
            let json = alloc::format!(
                r#"{{"acclimatise":"0 days","ground_coats":{coats},"ground_between":"{hours} h"}}"#
            );
            let seen: Vec<(Step, u32)> = steps(&json)
                .iter()
                .filter(|(w, ..)| matches!(w, Step::Prime | Step::PrimeCoats(..)))
                .map(|(w, d, _)| (*w, *d))
                .collect();
            assert_eq!(seen, expected);
        }
        // Cut 1, stretch 2, coats 3 and 4, ground from 5 on. In half a day: one coat, the next 12
        // hours later is too late; 11 hours apart two; 4 hours apart three (8 hours of waiting).
        let coat = |n| Step::PrimeCoats(n, n);
        primed(3, "24", &[(Step::Prime, 5), (coat(2), 6), (coat(3), 7)]);
        primed(3, "36", &[(Step::Prime, 5), (coat(2), 7), (coat(3), 9)]);
        primed(2, "12", &[(Step::Prime, 5), (coat(2), 6)]);
        primed(
            5,
            "11",
            &[(Step::Prime, 5), (Step::PrimeCoats(3, 4), 6), (coat(5), 7)],
        );
        primed(3, "4", &[(Step::Prime, 5)]);
        primed(4, "4", &[(Step::Prime, 5), (coat(4), 6)]);
        primed(12, "0.5", &[(Step::Prime, 5)]);
        assert_eq!(Step::PrimeCoats(3, 4).name(), "Ground, coats 3 to 4");
        assert_eq!(coat(5).name(), "Ground, coat 5");
    }

    proptest::proptest! {
        #[test]
        fn the_latest_start_is_the_latest_of_all(
            names in proptest::sample::subsequence(&DAY_NAMES[..], 1..=7),
            (acclimatise, clamp, size_dry, prime_dry) in (0u32..40, 1u32..7, 1u32..5, 1u32..20),
            (cut_days, stretch_days, bench, soak) in (1u32..5, 1u32..5, 1u32..4, 1u32..48),
            shift in 0i64..400,
        ) {
            let json = alloc::format!(
                r#"{{"work_days":"{}","acclimatise":"{acclimatise} d","clamp":"{clamp} d","size_dry":"{size_dry} d",
                    "prime_dry":"{prime_dry} d","cut_days":{cut_days},"stretch_days":{stretch_days},
                    "bench":{bench},"soak":"{soak} h","canvases":[{{"width":500,"height":400,"count":4}}]}}"#,
                names.join(" ")
            );
            let (draft, _) = Draft::from_tree(&serde_json::from_str(&json).unwrap());
            let (brief, _) = crate::brief::check(&draft);
            let stretching = stretching(&brief, &[]);
            let job = Job { brief: &brief, stretching: &stretching.days };
            let working = brief.work_days.value;
            let needed = plus(read_day("2027-01-01").unwrap(), shift);
            // Every start of the last four hundred days, one by one.
            let by_hand = (0..400)
                .map(|back| plus(needed, -back))
                .find(|first| plus(*first, i64::from(span(job, working, *first))) <= needed);
            proptest::prop_assert_eq!(Some(latest_start(job, working, needed)), by_hand);
        }
    }
}
