//! What is asked: stock, pieces and the saw, and what can be wrong with them.

use alloc::vec::Vec;
use core::fmt;

use quantity::{Length, Money};

/// Stated limits of a job.
pub mod limits {
    use quantity::Length;

    /// Longest board or piece: 1 km (our choice; beyond it lies a slip of the unit).
    pub const LONGEST: Length = Length::from_mm(1_000_000);
    /// Shortest piece: 0.1 mm (our choice).
    pub const SHORTEST_PIECE: Length = Length::from_nm(100_000);
    /// Most pieces of one job (our choice: ten times a large order of 500 frames).
    pub const PIECES: u32 = 50_000;
    /// Most different pieces (our choice, as for the count).
    pub const DIFFERENT_PIECES: usize = 2_000;
    /// Most stock lines.
    pub const STOCK: usize = 500;
    /// Highest price of one board, in hundredths (our choice: ten million).
    pub const PRICE: i64 = 1_000_000_000;
    /// Most bad stretches of one board.
    pub const STRETCHES: usize = 50;
    /// Most pieces that can lie in one board; more is a slip of the unit.
    pub const PIECES_IN_BOARD: i64 = 10_000;
}

/// One cutting job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// What the pieces may be cut from.
    pub stock: Vec<Stock>,
    /// What is needed, each exactly as often as asked.
    pub pieces: Vec<Piece>,
    /// The saw and the habits of the shop.
    pub saw: Saw,
}

/// One line of stock: boards of one length and price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Full length.
    pub length: Length,
    /// Price of one board; zero for an offcut at hand, or what the maker holds it worth.
    pub price: Money,
    /// How many there are; `None`: as many as wanted.
    pub limit: Option<u32>,
    /// Stretches that can't be used (knots, shakes), measured from the left end.
    pub bad: Vec<Stretch>,
    /// Whether it must be carried home.
    pub origin: Origin,
}

/// Where a board comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Bought, so [`Saw::longest`] applies.
    Bought,
    /// Already in the shop.
    AtHand,
}

impl Stock {
    /// A sound length that can be bought without limit.
    #[must_use]
    pub const fn bought(length: Length, price: Money) -> Self {
        Self {
            length,
            price,
            limit: None,
            bad: Vec::new(),
            origin: Origin::Bought,
        }
    }

    /// `count` sound offcuts at hand, at what the maker holds them worth.
    #[must_use]
    pub const fn at_hand(length: Length, worth: Money, count: u32) -> Self {
        Self {
            length,
            price: worth,
            limit: Some(count),
            bad: Vec::new(),
            origin: Origin::AtHand,
        }
    }
}

/// A stretch of a board, `[from, to)` from the left end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stretch {
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// One line of the cut list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Length; the long edge when mitred.
    pub length: Length,
    /// How many.
    pub count: u32,
    /// How the ends are cut.
    pub ends: Ends,
    /// May it be turned over (or end for end across the face), so that mitres nest?
    /// A profiled batten can't. Without meaning for square ends.
    pub turnable: bool,
}

/// How both ends of a piece are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// At right angles.
    Square,
    /// Both at 45°, a trapezoid.
    Mitred,
}

/// What is cut off rough ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trim {
    /// So much off each of both ends.
    PerEnd(Length),
    /// So much off the right end only.
    Once(Length),
}

/// The saw and the habits of the shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Saw {
    /// Width of a square cut.
    pub kerf: Length,
    /// Width of a 45° cut measured along the board: kerf × √2.
    pub mitre_kerf: Length,
    /// What is cut off rough ends.
    pub trim: Trim,
    /// Width over which mitres nest: the face of the batten.
    pub face: Length,
    /// Longest board that can be carried home.
    pub longest: Option<Length>,
    /// Shortest offcut worth keeping.
    pub keep: Length,
}

impl Default for Saw {
    /// No kerf, no trim, no limits.
    fn default() -> Self {
        Self {
            kerf: Length::ZERO,
            mitre_kerf: Length::ZERO,
            trim: Trim::PerEnd(Length::ZERO),
            face: Length::ZERO,
            longest: None,
            keep: Length::ZERO,
        }
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Error {
    /// No piece is asked for.
    NothingToCut,
    /// No stock is given.
    NoStock,
    /// A piece is shorter than [`limits::SHORTEST_PIECE`] or longer than [`limits::LONGEST`].
    PieceLength {
        /// Index of the piece.
        piece: usize,
    },
    /// A mitred piece's long edge is shorter than twice the face, so its ends would cross.
    PieceShorterThanItsMitres {
        /// Index of the piece.
        piece: usize,
        /// The shortest long edge that works.
        least: Length,
    },
    /// A board's length is zero, negative or longer than [`limits::LONGEST`].
    StockLength {
        /// Index of the stock line.
        stock: usize,
    },
    /// A price is negative or above [`limits::PRICE`].
    StockPrice {
        /// Index of the stock line.
        stock: usize,
    },
    /// A bad stretch is reversed or outside its board, or there are too many.
    BadStretch {
        /// Index of the stock line.
        stock: usize,
    },
    /// A kerf, trim, face, carrying or keeping length is negative or too long.
    Saw,
    /// More than [`limits::PIECES`] pieces, [`limits::DIFFERENT_PIECES`] different ones or
    /// [`limits::STOCK`] stock lines, or pieces so short that more than
    /// [`limits::PIECES_IN_BOARD`] fit one board.
    TooMany,
    /// A piece fits no board.
    PieceTooLong {
        /// Index of the piece.
        piece: usize,
        /// The shortest sound board it could be cut from.
        board: Length,
    },
    /// All limited stock together can't hold the pieces.
    StockRunsOut {
        /// What has no place, by index of the piece; at least one entry.
        missing: Vec<super::Missing>,
        /// Whether it is proven that some piece must be missing.
        proven: bool,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingToCut => f.write_str("no piece is asked for"),
            Self::NoStock => f.write_str("no board is given to cut from"),
            Self::PieceLength { piece } => {
                write!(f, "piece {piece}: length must be from 0.1 mm to 1 km")
            }
            Self::PieceShorterThanItsMitres { piece, least } => write!(
                f,
                "piece {piece}: the mitres of its two ends cross; the long edge must be at least {least}"
            ),
            Self::StockLength { stock } => {
                write!(f, "stock {stock}: length must be above zero, up to 1 km")
            }
            Self::StockPrice { stock } => write!(
                f,
                "stock {stock}: price must be from zero to ten million"
            ),
            Self::BadStretch { stock } => write!(
                f,
                "stock {stock}: a bad stretch must end after it begins and lie within the board, at most 50 of them"
            ),
            Self::Saw => f.write_str("kerf, trim, face and lengths to carry or keep must be from zero to 1 km"),
            Self::TooMany => f.write_str(
                "at most 50000 pieces, 2000 different ones, 500 lines of stock and 10000 pieces in a board",
            ),
            Self::PieceTooLong { piece, board } => write!(
                f,
                "piece {piece} is longer than every board; a board of {board} would do"
            ),
            Self::StockRunsOut { missing, .. } => {
                let total: u32 = missing.iter().map(|m| m.count).sum();
                write!(f, "the stock runs out: {total} pieces have no place")
            }
        }
    }
}

impl core::error::Error for Error {}
