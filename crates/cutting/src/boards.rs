//! Lengths of timber from boards: least price, then fewest boards, then the longest offcut.
//!
//! * [`Job`] in, [`Plan`] out; [`solve`] in one call, [`Solver`] step by step.
//! * A board is cut in runs: what is left of it between trims and bad stretches.
//! * All mitred pieces that may be turned lie together at the left of a run, heel to toe; the
//!   square-ended ones follow. So order and orientation need no search: a run of usable length
//!   `U` takes pieces while
//!
//! ```text
//! no nested piece:   Σ (length + kerf)                                     ≤ U + kerf
//! some:              Σ nested (length − face + mitre kerf)
//!                    + Σ others (length + kerf)                            ≤ U − face + mitre kerf
//! ```
//!
//! * The lower bound always comes from exact integers, see `cover`.

mod cover;
mod dive;
mod greedy;
mod grid;
mod job;
mod knapsack;
mod layout;
mod master;
mod model;
mod pack;
mod plan;
mod relax;
mod solver;

pub use job::{Ends, Error, Job, Origin, Piece, Saw, Stock, Stretch, Trim, limits};
pub use plan::{Board, Missing, Placed, Plan, Waste};
pub use solver::{Progress, Solver, Steps, solve};
