//! What comes out: which boards to buy and every piece's place on them.

use alloc::vec::Vec;

use quantity::{Length, Money};

/// A complete cutting plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Price of all boards used.
    pub cost: Money,
    /// No plan can cost less than this.
    pub bound: Money,
    /// Whether no cheaper plan exists: cost and bound meet. If pieces are missing: whether no plan
    /// has a place for all of them.
    pub proven: bool,
    /// The boards with their pieces; equal ones share a count.
    pub boards: Vec<Board>,
    /// How many boards of which stock line, in the job's order; lines not used are left out.
    pub buy: Vec<(usize, u32)>,
    /// Stock lines that occur in no cheapest plan, or are too short or too long to be used:
    /// proven, so a line may be missing here although it is of no use.
    pub never_useful: Vec<usize>,
    /// Pieces without a place because limited stock ran out; [`super::solve`] makes this an error.
    pub missing: Vec<Missing>,
    /// Where the wood that is no piece went, over all boards.
    pub waste: Waste,
    /// The longest single offcut; zero when none reaches the length worth keeping.
    pub longest_offcut: Length,
}

/// Pieces that found no place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Index of the piece.
    pub piece: usize,
    /// How many are missing.
    pub count: u32,
}

/// Wood that becomes no piece, as length along the board (slanting ends by their mean).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Waste {
    /// Eaten by the saw.
    pub kerf: Length,
    /// Triangles at the ends of mitred runs.
    pub wedge: Length,
    /// Rough ends.
    pub trim: Length,
    /// Bad stretches.
    pub bad: Length,
    /// Left over.
    pub offcut: Length,
}

/// A board and how it is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// Index of the stock line.
    pub stock: usize,
    /// How many boards are cut like this.
    pub count: u32,
    /// Its pieces from left to right.
    pub placed: Vec<Placed>,
    /// Where the rest of one such board goes.
    pub waste: Waste,
    /// The offcuts of one such board, longest first.
    pub offcuts: Vec<Length>,
    /// The longest of them, zero if there is none.
    pub longest_offcut: Length,
}

/// A piece on a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Index of the piece in the job.
    pub piece: usize,
    /// Running mark of its left-most point from the left end of the board.
    pub at: Length,
    /// Whether it lies with its long edge on the far side.
    pub turned: bool,
}
