//! The commands `cargo xtask serve`, `build`, `test` and `bench`, with the set-up they need.
//!
//! Written for a machine that has rustup's Rust and nothing else: what is missing is installed
//! once under [`project::tools_dir`] and found again on the next run.
//!
//! In reading order:
//!
//! * [`project`]: where everything lies.
//! * [`shell`]: running other programs, and the one error type.
//! * [`tools`]: what must be installed, and installing it.
//! * [`browsers`]: the three browser engines, their drivers, and the line that installs them.
//! * [`artifact`]: the page as one self-contained file; `wasm`: its module made
//!   ready; `packing`: that module as text in it.
//! * [`hosting`]: what a host serves beside it, so that it can be installed; [`icons`]: its icon.
//! * [`site`]: a small static file server, for people and for the browser tests.
//! * [`checks`]: the steps of `cargo xtask test`.
//! * [`budgets`]: the table of `cargo xtask bench`; [`bracing_table`], [`cutting_table`]: those of
//!   the bracing and of the cutting engine.

pub mod artifact;
pub mod bracing_table;
pub mod browsers;
pub mod budgets;
pub mod checks;
pub mod cutting_table;
pub mod hosting;
pub mod icons;
mod packing;
pub mod project;
pub mod shell;
pub mod site;
pub mod tools;
mod wasm;
