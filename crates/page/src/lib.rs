//! wasm-bindgen and web-sys glue: form, events, link, save.

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of the planner inside this page.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").into()
}
