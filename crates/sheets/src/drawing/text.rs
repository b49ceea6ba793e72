//! How wide a text is, estimated from the widest of the usual fonts.

/// How heavy a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Ordinary.
    Plain,
    /// Bold: letters of pieces and numbers of steps.
    Bold,
}

/// A rectangle on the drawing, in its units; y grows downward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TextBox {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl TextBox {
    /// Whether the two share an area of more than a hair.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        const HAIR: f64 = 1e-6;
        self.x + self.w > other.x + HAIR
            && other.x + other.w > self.x + HAIR
            && self.y + self.h > other.y + HAIR
            && other.y + other.h > self.y + HAIR
    }

    /// Whether it lies wholly inside the other.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        const HAIR: f64 = 1e-6;
        self.x >= other.x - HAIR
            && self.y >= other.y - HAIR
            && self.x + self.w <= other.x + other.w + HAIR
            && self.y + self.h <= other.y + other.h + HAIR
    }

    /// Larger by `by` on all sides.
    pub(super) fn grown(&self, by: f64) -> Self {
        Self {
            x: self.x - by,
            y: self.y - by,
            w: self.w + 2.0 * by,
            h: self.h + 2.0 * by,
        }
    }
}

/// Advance widths of the characters from space to tilde, in hundredths of the text size, as
/// DejaVu Sans 2.37 has them, rounded up. It is wider than the system fonts of the usual
/// systems, so a text that fits by this table fits there as well.
const ADVANCES: [u8; 95] = [
    32, 41, 46, 84, 64, 95, 78, 28, 39, 39, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64,
    64, 64, 34, 34, 84, 84, 84, 54, 100, 69, 69, 70, 77, 64, 58, 78, 76, 30, 30, 66, 56, 87, 75,
    79, 61, 79, 70, 64, 62, 74, 69, 99, 69, 62, 69, 39, 34, 39, 84, 50, 50, 62, 64, 55, 64, 62, 36,
    64, 64, 28, 28, 58, 28, 98, 64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84,
];

/// What bold adds to a character, in text sizes; the widest difference in DejaVu Sans Bold
/// is 0.12, and 0.06 the usual one.
const BOLD: f64 = 0.09;
/// From the baseline up to the top of the text's box, in text sizes (DejaVu Sans: 0.928).
const ASCENT: f64 = 0.93;
/// From the baseline down to the bottom of the text's box (DejaVu Sans: 0.236).
const DESCENT: f64 = 0.24;

/// Width of a text of a given size.
///
/// ```
/// use sheets::drawing::{Weight, width_of};
/// // Four digits of 0.64: 4 × 0.64 × 10
/// assert_eq!(width_of("1000", 10.0, Weight::Plain), 25.6);
/// ```
#[must_use]
pub fn width_of(text: &str, size: f64, weight: Weight) -> f64 {
    let more = if weight == Weight::Bold { BOLD } else { 0.0 };
    text.chars().map(|c| advance(c) + more).sum::<f64>() * size
}

fn advance(c: char) -> f64 {
    let narrow = (c as usize)
        .checked_sub(32)
        .and_then(|i| ADVANCES.get(i))
        .map(|a| f64::from(*a) / 100.0);
    match (narrow, c) {
        (Some(width), _) => width,
        (None, '·') => 0.38,
        (None, '²' | '°' | '–') => 0.51,
        // Capitals and small letters with accents, and the signs of money.
        (None, '\u{a1}'..='\u{2af}') => 0.97,
        // Writing of the East and pictures fill a square or a little more.
        (None, '\u{2e80}'..) => 1.3,
        (None, _) => 1.1,
    }
}

/// The box of a text whose anchor lies at `x` (`start`: 0 where the text starts there, 0.5 where
/// its middle, 1 where its end lies there) on the baseline `y`.
#[must_use]
pub fn box_of(text: &str, size: f64, weight: Weight, (x, y): (f64, f64), start: f64) -> TextBox {
    let w = width_of(text, size, weight);
    TextBox {
        x: x - w * start,
        y: y - ASCENT * size,
        w,
        h: (ASCENT + DESCENT) * size,
    }
}

/// Breaks a text into lines no wider than `width`; a word longer than a line is broken too.
pub(super) fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let fits = |s: &str| width_of(s, size, Weight::Plain) <= width;
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            if !line.is_empty() && !fits(&format!("{line}{c}")) {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stay_within_their_width_and_lose_nothing() {
        let text = "one two three fourfourfourfourfourfour five";
        let lines = wrapped(text, 4.0, 30.0);
        assert!(
            lines
                .iter()
                .all(|l| width_of(l, 4.0, Weight::Plain) <= 30.0)
        );
        let kept: String = lines.concat().split_whitespace().collect();
        let given: String = text.split_whitespace().collect();
        assert_eq!(kept, given);
    }

    #[test]
    fn boxes_that_touch_do_not_overlap() {
        let a = TextBox {
            x: 0.0,
            y: 0.0,
            w: 10.0,
            h: 5.0,
        };
        let b = TextBox { x: 10.0, ..a };
        assert!(!a.overlaps(&b) && a.overlaps(&a) && a.is_within(&a.grown(1.0)));
    }
}
