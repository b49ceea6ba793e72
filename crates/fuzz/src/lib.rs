//! Hostile and odd input for every reader of the page; for tests only.
//!
//! In reading order:
//!
//! * [`dice`]: random numbers that are the same everywhere.
//! * [`briefs`]: random plans that a maker might type.
//! * [`fingerprint`]: a whole plan in two numbers, to compare wasm with native.
//! * [`targets`]: what is fed, and what must hold afterwards.
//! * [`mutate`]: from one case to the next.
//! * [`trial`]: one case under watch: panics, time, memory.
//! * [`cases`]: cases kept in the repository.
//!
//! `cargo run --profile test -p fuzz -- SECONDS [NUMBER]` searches for so long, from that starting
//! number on, and keeps what it finds in `crates/fuzz/cases`.

pub mod briefs;
pub mod cases;
pub mod dice;
pub mod fingerprint;
pub mod mutate;
pub mod targets;
pub mod trial;
