//! The job in whole units, lanes added to every blank and to every roll.
//!
//! A blank `w × h` becomes `(w + gap) × (h + gap)`, a roll of usable width `W` becomes
//! `W + gap`: blanks keep their lanes exactly when the grown rectangles do not overlap.

use alloc::vec::Vec;
use quantity::order::sort_by;

use quantity::{Length, Money, Rounding};

use super::job::{Error, Job, Turn, limits};
use super::tree::Size;

/// Blanks of one size.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// Grown size; the longer side across when it may be turned.
    pub(super) size: Size,
    pub(super) turnable: bool,
    /// One entry per blank: its line in the job.
    pub(super) blanks: Vec<usize>,
}

/// A roll.
#[derive(Clone, Copy, Debug)]
pub(super) struct Strip {
    /// Usable width plus one gap, rounded down to units: every position is a whole one.
    pub(super) width: i64,
    pub(super) price: Money,
    pub(super) available: Option<Length>,
}

/// What a length of roll costs; smaller is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    /// Reach beyond what is on the rolls.
    pub(super) missing: Length,
    pub(super) cost: Money,
    pub(super) length: Length,
}

impl Score {
    /// Both together.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            missing: self.missing + other.missing,
            cost: self.cost + other.cost,
            length: self.length + other.length,
        }
    }
}

/// The job in whole units.
#[derive(Clone, Debug)]
pub(super) struct Model {
    /// Nanometres in a unit: the largest that measures all blanks and the gap.
    pub(super) unit: i64,
    pub(super) gap: Length,
    pub(super) selvedge: Length,
    pub(super) price_per: Length,
    pub(super) step: Length,
    /// Full width of each roll.
    pub(super) widths: Vec<Length>,
    /// Size across of each line of blanks, not turned.
    pub(super) across: Vec<Length>,
    pub(super) strips: Vec<Strip>,
    pub(super) shapes: Vec<Shape>,
}

impl Model {
    /// Checks the job and turns it into units.
    pub(super) fn new(job: &Job) -> Result<Self, Error> {
        check_rolls(job)?;
        check_blanks(job)?;
        let mut unit = job.gap.as_nm();
        for b in job.blanks.iter().filter(|b| b.count > 0) {
            unit = gcd(unit, gcd(b.across.as_nm(), b.along.as_nm()));
        }
        let grown = |x: Length| (x + job.gap).as_nm() / unit;

        let mut shapes: Vec<Shape> = Vec::new();
        for (i, b) in job.blanks.iter().enumerate().filter(|(_, b)| b.count > 0) {
            let given = Size {
                w: grown(b.across),
                h: grown(b.along),
            };
            // A square is the same either way.
            let turnable = b.turn == Turn::May && given.w != given.h;
            let size = if turnable && given.w < given.h {
                given.turned()
            } else {
                given
            };
            let copies = core::iter::repeat_n(i, b.count as usize);
            let same =
                |s: &&mut Shape| s.size == size && (s.turnable == turnable || size.w == size.h);
            match shapes.iter_mut().find(same) {
                Some(shape) => shape.blanks.extend(copies),
                None => shapes.push(Shape {
                    size,
                    // A square block may be turned as part of a larger one only if the job says so.
                    turnable: b.turn == Turn::May,
                    blanks: copies.collect(),
                }),
            }
        }
        // The order of the list must not matter.
        sort_by(&mut shapes, |a, b| {
            (a.size.area(), a.size, a.turnable) > (b.size.area(), b.size, b.turnable)
        });

        let strips = job
            .rolls
            .iter()
            .map(|r| Strip {
                width: (r.width - job.selvedge * 2 + job.gap).as_nm() / unit,
                price: r.price,
                available: r.available,
            })
            .collect();
        Ok(Self {
            unit,
            gap: job.gap,
            selvedge: job.selvedge,
            price_per: job.price_per,
            step: job.step,
            widths: job.rolls.iter().map(|r| r.width).collect(),
            across: job.blanks.iter().map(|b| b.across).collect(),
            strips,
            shapes,
        })
    }

    /// How many blanks there are.
    pub(super) fn blanks(&self) -> usize {
        self.shapes.iter().map(|s| s.blanks.len()).sum()
    }

    /// Width of the widest roll.
    pub(super) fn widest(&self) -> i64 {
        self.strips.iter().map(|s| s.width).max().unwrap_or(0)
    }

    /// The true length of so many units, one lane less; zero stays zero.
    pub(super) fn real(&self, units: i64) -> Length {
        if units <= 0 {
            Length::ZERO
        } else {
            Length::from_nm(units) * self.unit - self.gap
        }
    }

    /// What it costs to use a roll up to `units`.
    pub(super) fn score(&self, roll: usize, units: i64) -> Score {
        let strip = &self.strips[roll];
        let length = self.real(units);
        let over = strip
            .available
            .map_or(Length::ZERO, |a| (length - a).max(Length::ZERO));
        Score {
            missing: over,
            cost: self.price(strip, length),
            length,
        }
    }

    /// Price of a length of roll: whole steps, or all that is left of it; rounded up to the
    /// hundredth.
    fn price(&self, strip: &Strip, length: Length) -> Money {
        let bought = bought(length, self.step, strip.available);
        strip
            .price
            .mul_div_up(bought.as_nm(), self.price_per.as_nm())
    }
}

/// The length to ask for where so much is needed: whole steps, or all that is left of the roll.
pub(super) fn bought(needed: Length, step: Length, available: Option<Length>) -> Length {
    let steps = needed.round_to(step, Rounding::Up);
    match available {
        Some(all) if needed <= all => steps.min(all),
        _ => steps,
    }
}

fn check_rolls(job: &Job) -> Result<(), Error> {
    let within = |x: Length, least: Length| x >= least && x <= limits::LARGEST;
    if job.rolls.is_empty() {
        return Err(Error::NoRoll);
    }
    if job.rolls.len() > limits::ROLLS {
        return Err(Error::TooMany);
    }
    if !within(job.gap, Length::ZERO) {
        return Err(Error::Gap);
    }
    if !within(job.selvedge, Length::ZERO) {
        return Err(Error::Selvedge);
    }
    if !within(job.price_per, limits::PRICE_PER) {
        return Err(Error::PricePer);
    }
    if !within(job.step, Length::ZERO) {
        return Err(Error::Step);
    }
    for (roll, r) in job.rolls.iter().enumerate() {
        if !within(r.width, Length::from_nm(1)) {
            return Err(Error::RollWidth { roll });
        }
        if r.width <= job.selvedge * 2 {
            return Err(Error::NothingBetweenSelvedges { roll });
        }
        if !(0..=limits::PRICE).contains(&r.price.as_hundredths()) {
            return Err(Error::RollPrice { roll });
        }
        if r.available
            .is_some_and(|a| a < Length::ZERO || a > limits::ROLL)
        {
            return Err(Error::RollAvailable { roll });
        }
    }
    Ok(())
}

fn check_blanks(job: &Job) -> Result<(), Error> {
    let total: u64 = job.blanks.iter().map(|b| u64::from(b.count)).sum();
    if total == 0 {
        return Err(Error::NothingToCut);
    }
    if total > u64::from(limits::BLANKS) {
        return Err(Error::TooMany);
    }
    let usable = job
        .rolls
        .iter()
        .map(|r| r.width - job.selvedge * 2)
        .max()
        .unwrap_or(Length::ZERO);
    let possible = limits::SMALLEST..=limits::LARGEST;
    for (blank, b) in job.blanks.iter().enumerate() {
        if !possible.contains(&b.across) || !possible.contains(&b.along) {
            return Err(Error::BlankSize { blank });
        }
        let narrowest = match b.turn {
            Turn::May => b.across.min(b.along),
            Turn::MayNot => b.across,
        };
        if b.count > 0 && narrowest > usable {
            let width = narrowest + job.selvedge * 2;
            return Err(Error::BlankTooWide { blank, width });
        }
    }
    Ok(())
}

pub(super) fn gcd(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
