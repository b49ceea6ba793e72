//! Typed quantities shared by every crate: a number never crosses a public boundary bare.
//!
//! ```
//! use quantity::Length;
//! let outer = Length::from_mm(600) + Length::from_mm(40) * 2; // 600 + 2 × 40
//! assert_eq!(outer.to_mm(), 680.0);
//! ```
//!
//! * [`Length`]: wood and cloth, whole nanometres in `i64` (1/64 in = 396 875 nm exactly, so
//!   millimetres and every 1/64 in are both exact).
//! * [`Money`]: whole hundredths of whatever currency the maker uses.
//! * [`physics`]: `f64` newtypes for everything that is measured rather than marked.
//! * [`order`]: one small sort for all.
//!
//! Out of scope: rounding for show (the `sheets` crate) and parsing what people type
//! (the `planner` crate).
#![no_std]

extern crate alloc;

mod length;
mod money;
pub mod order;
pub mod physics;

pub use length::{Length, Rounding};
pub use money::Money;
