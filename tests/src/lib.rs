//! Whole-product tests: the built page in three real browser engines, driven from Rust.
//!
//! Run by `cargo xtask test`, or alone by `cargo xtask build && cargo test -p whole-product`.
//! A test opens the page, does what a maker would do, and reads what a maker would read:
//!
//! ```no_run
//! use whole_product::{Engine, Source, Viewport, each_engine, with_page};
//!
//! // One engine:
//! with_page(Engine::Firefox, Source::File, Viewport::Phone, async |page| {
//!     page.type_into("#width", "900").await;
//!     page.click("#metric").await;
//!     page.wait_for_text("#answer", "900 mm").await;
//!     assert_eq!(page.value("#width").await, "900");
//!     page.screenshot("phone").await;
//! });
//!
//! // All three, as the tests `title_is_there::{chromium, firefox, webkit}`:
//! each_engine!(title_is_there, Source::Served, Viewport::Desk, async |page| {
//!     assert_eq!(page.text("h1").await, "Battenbook");
//! });
//! # fn main() {}
//! ```
//!
//! What [`with_page`] takes care of:
//!
//! * A fresh browser with its own profile, home and download folder; everything is ended and
//!   removed afterwards, also when the test panics or is killed.
//! * The page is open and ready (`data-battenbook="ready"`) when the body starts, unless
//!   [`Opening::blank`] was asked for.
//! * After the body, the test fails if the page wrote an error to the console or asked for
//!   anything beyond its own document. Tests that provoke errors use [`Opening::tolerant`].
//! * Each command has a time limit, and so has the whole test. When the body panics, a
//!   screenshot is kept and its path printed with the console's errors.
//!
//! Every method of [`Page`] panics with a message that names the engine and the element, so a
//! body needs no error handling. Selectors are CSS. Elements are waited for.
//!
//! [`Opening`] has more settings (dark colours, no page at first); [`Page::client`] gives the
//! WebDriver client for what is missing here.
//!
//! Not for a test: `window.print()` without replacing it first (Firefox's session hangs for
//! good), and clipboard reading without [`Page::allow_clipboard`].
//!
//! In reading order: [`Opening`] and [`with_page`], [`Page`] (and in `job.rs` the main job, for the
//! tests that do it in many places), [`Engine`] (capabilities); inside, the processes of a run and the event channel.

mod engine;
mod events;
mod job;
mod opening;
mod page;
mod paper;
mod run;

pub use engine::{Engine, Microphone, Scheme};
pub use opening::{Opening, Source, with_page};
pub use page::{Page, Viewport};

pub use fantoccini::key::Key;
pub use serde_json::{Value, json};
pub use xtask::site::Site;

/// Makes one test for each engine in a module of the given name; the rest is as for
/// [`with_page`].
#[macro_export]
macro_rules! each_engine {
    ($(#[$attribute:meta])* $name:ident, $source:expr, $viewport:expr, $body:expr $(,)?) => {
        $(#[$attribute])*
        mod $name {
            #[allow(unused_imports, reason = "a body may need none of the test file's names")]
            use super::*;

            #[test]
            fn chromium() {
                $crate::with_page($crate::Engine::Chromium, $source, $viewport, $body);
            }

            #[test]
            fn firefox() {
                $crate::with_page($crate::Engine::Firefox, $source, $viewport, $body);
            }

            #[test]
            fn webkit() {
                $crate::with_page($crate::Engine::WebKit, $source, $viewport, $body);
            }
        }
    };
}
