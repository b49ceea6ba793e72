//! wasm-bindgen and web-sys glue: form, events, link, save.
//!
//! In reading order:
//!
//! * [`plan`](script::plan): the planner as one function, for people who script.
//! * `book`: the open plan, its history, and what the page shows of it; `form`, `drawings`:
//!   parts of that; `lists`: sizes looked for and lists pasted; `events`: what the maker does.
//! * [`worker`]: what is reckoned apart from the document; `crew`: who reckons it.
//! * [`link`]: a plan as the end of an address; [`salvage`]: what is left of a damaged one; `keep`:
//!   link, store and file; `store`: this browser's own store; `shelf`: its plans by name; `bring`:
//!   links and files from outside; `code`: the link as a QR code; `paper`: print and other files;
//!   [`example`]: the plan of a first visit.
//! * `class`: what a tutor asks on demand: shares, kits, what the rack gives, what changed.
//! * `listen`: the tapped note by the microphone.
//! * `dom`: small helpers around the document; `failure`: what a fault of the program shows.
//!
//! Scope: no trade knowledge. Any question about timber is in the planner.

mod book;
mod bring;
mod class;
mod code;
mod crew;
mod dom;
mod drawings;
mod events;
pub mod example;
mod failure;
mod form;
mod keep;
pub mod link;
mod listen;
mod lists;
mod paper;
pub mod salvage;
pub mod script;
mod shelf;
mod store;
pub mod worker;

use wasm_bindgen::prelude::wasm_bindgen;

/// Starts the page: opens a plan, shows it, and listens.
#[wasm_bindgen(start)]
pub fn start() {
    failure::watch();
    // A worker runs the same module without a document.
    if web_sys::window().is_none() {
        return;
    }
    events::listen();
    keep::begin();
    listen::offer();
}

/// The version of the planner inside this page.
#[must_use]
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").into()
}
