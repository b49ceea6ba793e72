//! A link as a QR code (ISO/IEC 18004), to be read off paper or a screen.

use core::fmt;

use maud::{Markup, html};
use qrcodegen_no_heap::{QrCode, QrCodeEcc, Version};

/// The largest code that is drawn: 125 modules on a side, 1465 bytes at the lowest level of
/// correction (ISO/IEC 18004 table 7, from memory). A larger one is read badly off paper by a
/// hand-held camera (our choice).
const LARGEST: Version = Version::new(27);
/// Blank modules around a code (ISO/IEC 18004, from memory: at least four).
const QUIET: i32 = 4;
/// Side of a module on paper, mm. A tablet shows a CSS millimetre as about 0.73 mm, so the
/// smallest that a camera sees there is 0.44 mm (our choice; common practice, no source, is 0.4 mm
/// at arm's length).
const MODULE_MM: f64 = 0.6;
/// A short link's code is drawn so large, mm.
const LEAST_MM: f64 = 30.0;

/// Side of a module on a screen, CSS pixels. Read from half a metre, our choice by this reckoning
/// (common practice, no source): a hand-held camera shows about 64 cm across at that distance on
/// 1920 points of its live picture, 3 points a millimetre. A reader needs 4 points a module (the
/// tests' reader fails at 3 and reads at 3.5), so a module must be 1.33 mm, and a tablet shows a
/// CSS pixel as 0.19 mm (132 to the inch).
pub const SCREEN_PX: i32 = 7;
/// A short link's code is drawn at least so large on a screen, CSS pixels.
const LEAST_PX: i32 = 300;

/// The text is too long for a code that reads off paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLong {
    /// Its length in bytes.
    pub bytes: usize,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { bytes } = self;
        write!(
            f,
            "the link has {bytes} signs, more than a code holds that a camera reads"
        )
    }
}

impl core::error::Error for TooLong {}

/// The code as a drawing with its quiet zone, black on white whatever the page's colours, at
/// least 0.6 mm a module.
///
/// # Errors
///
/// The text is longer than the largest code holds.
///
/// ```
/// let code = sheets::qr::code("https://example.org/#1.q1Y", "The plan").unwrap();
/// // 26 bytes: version 2, 25 modules and 2 × 4 of quiet zone
/// assert!(code.0.contains(r#"viewBox="0 0 33 33""#));
/// ```
pub fn code(text: &str, title: &str) -> Result<Markup, TooLong> {
    draw(text, title, |side| {
        let mm = (f64::from(side) * MODULE_MM).max(LEAST_MM);
        format!("{}mm", planner::show::decimals(mm, 1))
    })
}

/// The code for a screen, [`SCREEN_PX`] a module or more, in whole pixels.
///
/// # Errors
///
/// The text is longer than the largest code holds.
pub fn on_screen(text: &str, title: &str) -> Result<Markup, TooLong> {
    draw(text, title, |side| {
        let module = SCREEN_PX.max((LEAST_PX + side - 1) / side);
        format!("{}px", side * module)
    })
}

fn draw(text: &str, title: &str, size: fn(i32) -> String) -> Result<Markup, TooLong> {
    const BYTES: usize = LARGEST.buffer_len();
    let (mut work, mut out) = ([0; BYTES], [0; BYTES]);
    // The lowest level makes the largest modules; the library raises it where the size allows.
    let code = QrCode::encode_text(
        text,
        &mut work,
        &mut out,
        QrCodeEcc::Low,
        Version::MIN,
        LARGEST,
        None,
        true,
    )
    .map_err(|_| TooLong { bytes: text.len() })?;
    let side = code.size() + 2 * QUIET;
    let size = size(side);
    Ok(html! {
        svg class="qr" viewBox=(format!("0 0 {side} {side}")) width=(size) height=(size) data-modules=(side)
            role="img" aria-label=(title) shape-rendering="crispEdges" {
            title { (title) }
            path fill="#fff" d=(format!("M0 0h{side}v{side}H0z")) {}
            path fill="#000" d=(dark(&code)) {}
        }
    })
}

/// The dark modules as one path, a rectangle for each run in a row.
fn dark(code: &QrCode<'_>) -> String {
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let from = x;
            while code.get_module(x, y) {
                x += 1;
            }
            if x > from {
                let (left, top, wide) = (from + QUIET, y + QUIET, x - from);
                path += &format!("M{left} {top}h{wide}v1h-{wide}z");
            }
            x += 1;
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_is_that_of_the_largest_code() {
        // Byte mode, version 27, level L: 1465 (ISO/IEC 18004 table 7, from memory).
        assert!(code(&"a".repeat(1465), "").is_ok());
        let Err(too_long) = code(&"a".repeat(1466), "") else {
            panic!("it is longer than the code holds");
        };
        assert_eq!(
            too_long.to_string(),
            "the link has 1466 signs, more than a code holds that a camera reads"
        );
    }

    #[test]
    fn modules_on_a_screen_are_large_enough() {
        let side = |n: usize| {
            let code = on_screen(&"a".repeat(n), "")
                .expect("it fits")
                .into_string();
            let from = code.find("width=\"").expect("a width") + 7;
            let px = code[from..].split("px").next().expect("pixels");
            px.parse::<i32>().expect("a whole number")
        };
        // Version 2: 25 + 8 = 33 modules, 10 px each is the first whole number above 300.
        assert_eq!(side(26), 330);
        // Version 27: 133 modules of 7 px.
        assert_eq!(side(1465), 931);
    }

    #[test]
    fn modules_are_large_enough() {
        let side = |n: usize| {
            let code = code(&"a".repeat(n), "").expect("it fits").into_string();
            let from = code.find("width=\"").expect("a width") + 7;
            let mm = code[from..].split("mm").next().expect("millimetres");
            mm.parse::<f64>().expect("a number")
        };
        assert_eq!(side(20), 30.0);
        // Version 27 is 4 × 27 + 17 = 125 modules; with the quiet zone 133 × 0.6 = 79.8.
        assert_eq!(side(1465), 79.8);
    }
}
