//! What is asked: rolls and blanks, and what can be wrong with them.

use alloc::vec::Vec;
use core::fmt;

use quantity::{Length, Money};

/// Stated limits of a job.
pub mod limits {
    use quantity::Length;

    /// Longest side of a blank and widest roll: 100 m (our choice; beyond it lies a slip of
    /// the unit).
    pub const LARGEST: Length = Length::from_mm(100_000);
    /// Shortest side of a blank: 0.1 mm (our choice).
    pub const SMALLEST: Length = Length::from_nm(100_000);
    /// Longest roll: 100 km (our choice).
    pub const ROLL: Length = Length::from_mm(100_000_000);
    /// Most blanks of one job (our choice: a show of 500 frames, tenfold).
    pub const BLANKS: u32 = 5_000;
    /// Most different rolls.
    pub const ROLLS: usize = 20;
    /// Shortest length that a price may be for (our choice); the longest is [`LARGEST`].
    pub const PRICE_PER: Length = Length::from_mm(100);
    /// Highest price, in hundredths (our choice: one million).
    pub const PRICE: i64 = 100_000_000;
}

/// One job of cutting cloth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// What the blanks may be cut from, each roll one piece.
    pub rolls: Vec<Roll>,
    /// What is needed, each exactly as often as asked.
    pub blanks: Vec<Blank>,
    /// Left free between neighbouring blanks for the shears.
    pub gap: Length,
    /// Unusable at each side of a roll.
    pub selvedge: Length,
    /// The length that a price buys, such as a metre or a yard.
    pub price_per: Length,
    /// Cloth is sold in whole steps of this length; zero: as long as wanted.
    pub step: Length,
}

impl Job {
    /// The length of a roll to ask for where so much is needed of it: whole steps, or all that is
    /// left of it.
    ///
    /// # Panics
    ///
    /// If there is no such roll.
    #[must_use]
    pub fn bought(&self, roll: usize, needed: Length) -> Length {
        super::model::bought(needed, self.step, self.rolls[roll].available)
    }
}

/// A roll of cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Roll {
    /// Full width, selvedges included.
    pub width: Length,
    /// Price of [`Job::price_per`] off the roll; zero for cloth at hand.
    pub price: Money,
    /// How much is on it; `None`: as much as wanted.
    pub available: Option<Length>,
}

/// One line of the cut list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blank {
    /// Size across the roll (weft) when not turned.
    pub across: Length,
    /// Size along the roll (warp) when not turned.
    pub along: Length,
    /// How many.
    pub count: u32,
    /// May it lie the other way?
    pub turn: Turn,
}

/// Whether a blank may be turned a quarter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Either way will do.
    May,
    /// The direction of the weave is fixed.
    MayNot,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Error {
    /// No blank is asked for.
    NothingToCut,
    /// No roll is given.
    NoRoll,
    /// A side of a blank is outside [`limits::SMALLEST`] to [`limits::LARGEST`].
    BlankSize {
        /// Index of the blank.
        blank: usize,
    },
    /// A roll's width is zero, negative or above [`limits::LARGEST`].
    RollWidth {
        /// Index of the roll.
        roll: usize,
    },
    /// The two selvedges leave nothing of a roll.
    NothingBetweenSelvedges {
        /// Index of the roll.
        roll: usize,
    },
    /// A price is negative or above [`limits::PRICE`].
    RollPrice {
        /// Index of the roll.
        roll: usize,
    },
    /// What is on a roll is negative or above [`limits::ROLL`].
    RollAvailable {
        /// Index of the roll.
        roll: usize,
    },
    /// The gap is negative or above [`limits::LARGEST`].
    Gap,
    /// The selvedge is negative or above [`limits::LARGEST`].
    Selvedge,
    /// A price is for less than [`limits::PRICE_PER`] or more than [`limits::LARGEST`].
    PricePer,
    /// The step is negative or above [`limits::LARGEST`].
    Step,
    /// More than [`limits::BLANKS`] blanks or [`limits::ROLLS`] rolls.
    TooMany,
    /// A blank fits across no roll.
    BlankTooWide {
        /// Index of the blank.
        blank: usize,
        /// The narrowest roll that would do, selvedges included.
        width: Length,
    },
    /// The rolls do not hold enough.
    NotEnoughCloth {
        /// How much more is needed, summed over the rolls, in the best plan found.
        missing: Length,
        /// Whether it is proven that no plan gets by with what there is.
        proven: bool,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingToCut => f.write_str("no blank is asked for"),
            Self::NoRoll => f.write_str("no roll is given to cut from"),
            Self::BlankSize { blank } => {
                write!(f, "blank {blank}: each side must be from 0.1 mm to 100 m")
            }
            Self::RollWidth { roll } => {
                write!(f, "roll {roll}: width must be above zero, up to 100 m")
            }
            Self::NothingBetweenSelvedges { roll } => {
                write!(f, "roll {roll}: the selvedges leave nothing of its width")
            }
            Self::RollPrice { roll } => {
                write!(f, "roll {roll}: price must be from zero to one million")
            }
            Self::RollAvailable { roll } => {
                write!(f, "roll {roll}: what is on it must be from zero to 100 km")
            }
            Self::Gap => f.write_str("gap between blanks must be from zero to 100 m"),
            Self::Selvedge => f.write_str("selvedge must be from zero to 100 m"),
            Self::PricePer => f.write_str("a price must be for 0.1 m to 100 m"),
            Self::Step => f.write_str("step must be from zero to 100 m"),
            Self::TooMany => f.write_str("at most 5000 blanks and 20 rolls"),
            Self::BlankTooWide { blank, width } => write!(
                f,
                "blank {blank} is wider than every roll; a roll {width} wide would do"
            ),
            Self::NotEnoughCloth {
                missing,
                proven: true,
            } => write!(f, "not enough cloth on the rolls: {missing} missing"),
            Self::NotEnoughCloth {
                missing,
                proven: false,
            } => write!(
                f,
                "not enough cloth on the rolls: {missing} missing in the best plan found"
            ),
        }
    }
}

impl core::error::Error for Error {}
