//! Cheapest boards and shortest roll, with a proven lower bound.
//!
//! ```
//! use cutting::boards::{Ends, Job, Piece, Saw, Steps, Stock, Trim, solve};
//! use quantity::{Length, Money};
//! let job = Job {
//!     stock: vec![Stock::bought(Length::from_mm(2400), Money::from_hundredths(775))],
//!     pieces: vec![Piece {
//!         length: Length::from_mm(790),
//!         count: 6,
//!         ends: Ends::Square,
//!         turnable: true,
//!     }],
//!     saw: Saw {
//!         kerf: Length::from_mm(3),
//!         trim: Trim::Once(Length::from_mm(10)),
//!         ..Saw::default()
//!     },
//! };
//! let plan = solve(&job, Steps(10_000)).expect("790 mm fits a 2400 mm board");
//! // 3 × 790 + 2 × 3 = 2376 ≤ 2400 − 10, so two boards: 2 × 7.75
//! assert_eq!(plan.cost, Money::from_hundredths(1550));
//! assert!(plan.proven);
//! ```
//!
//! * [`boards`]: lengths of timber from boards, mitres nested.
//! * [`roll`]: blanks of cloth from a roll.
//!
//! Scope: exact integers in and out, the same input and steps always give the same plan.
//! Out of scope: what the pieces are for, how figures are shown, the clock.
#![no_std]

extern crate alloc;

pub mod boards;
pub mod roll;
