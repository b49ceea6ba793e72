//! A whole size in one text: `60 x 80 cm`, `2 ft × 3 ft`, `24" by 30"`, `15 F`.

use alloc::format;
use alloc::string::{String, ToString};

use quantity::Length;

use super::standard;
use crate::parse::{self, Unread};
use crate::show::Units;

/// Two sides that were typed as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WholeSize {
    /// The width.
    pub width: Length,
    /// The height.
    pub height: Length,
    /// Each side as it can be typed by itself, with the unit that it was meant in; none for a
    /// standard number.
    pub texts: Option<[String; 2]>,
}

/// Reads a whole size. None where the text is a single length or something else.
///
/// A side without unit takes the one of the other side; where neither has one, `unit` if given,
/// else the page's.
///
/// # Errors
///
/// [`Unread`] says what stood in the way of the first side that can't be read.
///
/// ```
/// use planner::find_size::typed::whole_size;
/// use planner::Units;
/// use quantity::Length;
/// let size = whole_size("60 x 80 cm", None, Units::Metric).unwrap().unwrap();
/// assert_eq!([size.width, size.height], [Length::from_mm(600), Length::from_mm(800)]);
/// assert_eq!(size.texts.unwrap(), ["60 cm", "80 cm"]);
/// assert_eq!(whole_size("60 cm", None, Units::Metric), None);
/// ```
pub fn whole_size(
    text: &str,
    unit: Option<&str>,
    units: Units,
) -> Option<Result<WholeSize, Unread>> {
    if let Some(named) = standard::named(text) {
        // No such number: to a length it is an unknown unit.
        let found = named.ok_or(Unread::UnknownUnit);
        return Some(found.map(|(size, way)| {
            let [long, short] = size.sides();
            let [width, height] = way.sides(long, short);
            WholeSize {
                width,
                height,
                texts: None,
            }
        }));
    }
    let (width, height) = two_parts(text)?;
    let texts = [
        with_unit(width, unit_of(height).or(unit)),
        with_unit(height, unit_of(width).or(unit)),
    ];
    let [width, height] = [&texts[0], &texts[1]].map(|t| parse::length(t, units));
    Some(match (width, height) {
        (Ok(width), Ok(height)) => Ok(WholeSize {
            width,
            height,
            texts: Some(texts),
        }),
        (Err(why), _) | (_, Err(why)) => Err(why),
    })
}

/// The two sides of a text with one multiplication sign, a letter x or the word "by" between
/// them; none where there is not exactly one.
fn two_parts(text: &str) -> Option<(&str, &str)> {
    let mut cuts = text.char_indices().filter_map(|(at, c)| match c {
        '×' | 'x' | 'X' | '*' => Some((at, at + c.len_utf8())),
        'b' if text[at..].starts_with("by ") && text[..at].ends_with(' ') => Some((at, at + 2)),
        _ => None,
    });
    let (start, end) = cuts.next()?;
    let (left, right) = (text[..start].trim(), text[end..].trim());
    (cuts.next().is_none() && !left.is_empty() && !right.is_empty()).then_some((left, right))
}

/// Whether a text is two sides without any unit.
#[must_use]
pub fn is_bare_size(text: &str) -> bool {
    two_parts(text).is_some_and(|(a, b)| is_bare(a) && is_bare(b))
}

/// The unit behind a single number; none where there is no unit or more than one part.
#[must_use]
pub fn unit_of(text: &str) -> Option<&str> {
    let text = text.trim();
    let end = text
        .char_indices()
        .rfind(|(_, c)| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞⅓⅔".contains(*c))
        .map_or(0, |(at, c)| at + c.len_utf8());
    let (number, unit) = text.split_at(end);
    let unit = unit.trim();
    (is_bare(number) && !unit.is_empty()).then_some(unit)
}

/// A bare number with a unit put behind it; any other text, and any without a unit to put, as it
/// is.
#[must_use]
pub fn with_unit(text: &str, unit: Option<&str>) -> String {
    let text = text.trim();
    match unit {
        Some(unit) if is_bare(text) => {
            let gap = if unit.starts_with(char::is_alphabetic) {
                " "
            } else {
                ""
            };
            format!("{text}{gap}{unit}")
        }
        _ => text.to_string(),
    }
}

/// Only digits, signs and fraction marks: a number without a unit.
#[must_use]
pub fn is_bare(text: &str) -> bool {
    !text.is_empty()
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || " .,-−–/½¼¾⅛⅜⅝⅞⅓⅔".contains(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, mm: [f64; 2]) {
        let size = whole_size(text, None, Units::Metric).unwrap().unwrap();
        assert_eq!([size.width.to_mm(), size.height.to_mm()], mm, "{text}");
    }

    #[test]
    fn both_sides_in_one() {
        reads("600x800", [600.0, 800.0]);
        reads("600 × 800", [600.0, 800.0]);
        reads("600 * 800 mm", [600.0, 800.0]);
        reads("60 x 80 cm", [600.0, 800.0]);
        reads("60cm X 80", [600.0, 800.0]);
        reads("74,9 cm by 0.6 m", [749.0, 600.0]);
        // 24 in = 609.6 mm, 29 1/2 in = 749.3 mm.
        reads("24\" x 29 1/2\"", [609.6, 749.3]);
        reads("24 x 29½ in", [609.6, 749.3]);
        reads("2 x 3 ft", [609.6, 914.4]);
        reads("15 F", [540.0, 650.0]);
        reads("20P", [730.0, 540.0]);
        reads("20P upright", [540.0, 730.0]);
    }

    #[test]
    fn what_is_no_whole_size() {
        for text in [
            "",
            "600",
            "60 cm",
            "2' 6\"",
            "60 x",
            "x 80",
            "60 x 80 x 2 cm",
            "hobby",
        ] {
            assert_eq!(whole_size(text, None, Units::Metric), None, "{text}");
        }
        for (text, why) in [
            ("wide x 80", Unread::NoNumber),
            ("7 F", Unread::UnknownUnit),
            ("1,200 x 80", Unread::AmbiguousComma),
        ] {
            assert_eq!(
                whole_size(text, None, Units::Metric),
                Some(Err(why)),
                "{text}"
            );
        }
    }

    #[test]
    fn the_list_says_the_unit_where_neither_side_does() {
        let size = whole_size("60 x 80", Some("cm"), Units::Metric).unwrap();
        assert_eq!(size.unwrap().texts.unwrap(), ["60 cm", "80 cm"]);
    }
}
