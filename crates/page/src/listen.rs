//! The tapped note by the microphone: the sound goes to the planner, the note into the field.

use std::cell::Cell;

use planner::pitch::{PitchError, Range, fundamental};
use planner::{FieldRef, Table};
use quantity::physics::Frequency;
use wasm_bindgen::prelude::*;
use web_sys::Element;

use crate::{book, dom};

/// How long it listens, in milliseconds: a second for the hand, two for the cloth to ring (our
/// choice).
const WHILE: f64 = 3000.0;

#[wasm_bindgen]
extern "C" {
    /// The boot script's ear, in `www/listen.js`.
    #[wasm_bindgen(js_namespace = battenbook, js_name = listen)]
    fn hear(milliseconds: f64, open: &JsValue) -> js_sys::Promise;
}

thread_local! {
    static LISTENING: Cell<bool> = const { Cell::new(false) };
}

/// Where this browser has no microphone for this page, says so in place of the buttons.
pub(crate) fn offer() {
    let devices = js_sys::Reflect::get(&dom::window().navigator(), &"mediaDevices".into());
    if devices.is_ok_and(|d| d.is_object()) {
        return;
    }
    for button in dom::all("[data-act=listen]") {
        dom::show(&button.id(), false);
        say(&button, unsupported());
    }
}

fn unsupported() -> &'static str {
    let location = dom::window().location().protocol().unwrap_or_default();
    match location.as_str() {
        "file:" => {
            "This browser gives no microphone to a file on disk: type the note, or open the page from a server."
        }
        "http:" => {
            "This browser gives no microphone to this page: type the note. Most give one only to a safe address (https)."
        }
        _ => "This browser gives no microphone to a page: type the note.",
    }
}

/// Listens for one tap and puts its note into the button's field.
pub(crate) fn start(button: &Element) {
    if LISTENING.replace(true) {
        return;
    }
    say(
        button,
        "Waiting for the browser to let this page hear: it may ask you.",
    );
    let open = Closure::once_into_js({
        let button = button.clone();
        move || say(&button, "Listening for 3 seconds: tap once, now.")
    });
    let failed = button.clone();
    let button = button.clone();
    dom::then(
        &hear(WHILE, &open),
        move |heard| {
            LISTENING.set(false);
            take(&button, &heard);
        },
        move |error| {
            LISTENING.set(false);
            say(&failed, why_not(&error));
        },
    );
}

fn take(button: &Element, heard: &JsValue) {
    let part = |name: &str| js_sys::Reflect::get(heard, &name.into());
    let rate = part("rate").ok().and_then(|r| r.as_f64()).unwrap_or(0.0);
    let samples = part("samples").map(js_sys::Float32Array::from);
    let samples = samples.map_or_else(|_| Vec::new(), |s| s.to_vec());
    if samples.is_empty() {
        say(
            button,
            "Nothing was heard: the microphone gave no sound. Try again, or type the note.",
        );
        return;
    }
    let range = Range::ANY_CANVAS;
    match fundamental(&samples, Frequency::from_hz(rate), range) {
        Ok(pitch) => {
            let key = button.get_attribute("data-key").unwrap_or_default();
            let Some(field) = Table::Settings.field(&key) else {
                return;
            };
            let show = planner::Show::default();
            let text = |x: Frequency| show.value(&x.into(), "");
            book::set(FieldRef::setting(field.key), &text(pitch.frequency));
            let said = format!(
                "Heard {}, right within {}.",
                text(pitch.frequency),
                text(pitch.doubt)
            );
            say(button, &said);
        }
        Err(error) => say(button, &sentence(error)),
    }
}

fn sentence(error: PitchError) -> String {
    format!(
        "{}. What was in the field is still there.",
        sheets::sentence(&error.to_string())
    )
}

/// Why the browser gave no sound, in the maker's words.
fn why_not(error: &JsValue) -> &'static str {
    let name = js_sys::Reflect::get(error, &"name".into());
    match name.ok().and_then(|n| n.as_string()).as_deref() {
        Some("NotAllowedError" | "SecurityError") => {
            "The browser does not let this page hear: allow the microphone in its settings for this page, or type the note."
        }
        Some("NotFoundError" | "OverconstrainedError") => {
            "No microphone was found: connect one, or type the note."
        }
        Some("NotReadableError" | "AbortError") => {
            "The microphone can't be used now: another program may have it. Try again, or type the note."
        }
        _ => unsupported(),
    }
}

fn say(button: &Element, text: &str) {
    if let Some(place) = button.get_attribute("aria-describedby") {
        dom::put_text(&place, text);
    }
}
