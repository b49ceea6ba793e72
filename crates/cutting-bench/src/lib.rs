//! Times the cutting engine; the same code natively and in wasm, so that both can stand beside
//! each other in `cargo xtask bench`.
//!
//! [`measure`] takes a set of jobs and a clock and returns lines `key<TAB>number`. Times are in
//! milliseconds, medians where there are several; nothing is asserted.

#[cfg_attr(
    not(feature = "engine"),
    expect(dead_code, reason = "read as with the engine, and not used")
)]
mod jobs;
#[cfg(feature = "engine")]
mod timing;

use wasm_bindgen::prelude::wasm_bindgen;

/// The sets of jobs.
pub const SETS: [&str; 5] = ["class", "packing", "strip", "blanks", "hard"];

/// Times a set of jobs by a clock that gives milliseconds.
///
/// # Errors
///
/// What is wrong with the text, or that there is no such set.
pub fn measure(set: &str, text: &str, clock: &dyn Fn() -> f64) -> Result<String, String> {
    let jobs = jobs::Jobs::read(set, text)?;
    #[cfg(feature = "engine")]
    return timing::run(&jobs, clock);
    #[cfg(not(feature = "engine"))]
    return Ok(format!("{}\t{}\n", jobs.pieces(), clock()));
}

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = performance)]
    fn now() -> f64;
}

/// [`measure`] by the clock of the JavaScript engine.
///
/// # Errors
///
/// As [`measure`].
#[wasm_bindgen(js_name = measure)]
pub fn measure_in_wasm(set: &str, text: &str) -> Result<String, String> {
    measure(set, text, &|| now())
}
