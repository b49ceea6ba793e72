//! Blanks of cloth from rolls: least price, then the shortest length.
//!
//! * [`Job`] in, [`Plan`] out; [`solve`] in one call, [`Solver`] step by step.
//! * Every cut goes straight through the piece it divides, across the roll or along it, as
//!   shears and a long rule work (guillotine cuts).
//! * Between neighbouring blanks a lane as wide as [`Job::gap`] stays free for the shears.
//!
//! ```text
//!           x (across) →
//!      ┊selvedge┊                ┊selvedge┊
//!    y ├───────────┬──────┬───────────────┤
//!  (along) blank   │ lane │ blank         │
//!    ↓ ├───────────┴──────┴───────────────┤  ← cut across
//! ```
//!
//! Small jobs are solved exactly: the best rectangles of every subset of the blanks are built up
//! from those of smaller subsets (`table`). Larger ones start from layers filled greedily
//! (`fill`); then a few layers at a time are taken apart into some blocks that the same exact
//! method puts together again (`improve`). The lower bound is separate (`bound`).

mod bound;
mod fill;
mod improve;
mod job;
mod model;
mod plan;
mod random;
mod solver;
mod table;
mod tree;

pub use job::{Blank, Error, Job, Roll, Turn, limits};
pub use plan::{Cut, Placed, Plan, Remnant, Way};
pub use solver::{Progress, Solver, Steps, solve};
