//! Standard sizes: the French numbers in their three shapes and common sizes in inches.
//!
//! Sources: the French numbers 0 to 60 from a public copy of the table "French standard sizes for
//! oil paintings" (15 F, 15 P, 6 P and 60 P also seen elsewhere); 80, 100 and 120 from memory.
//! Sizes in inches: common practice, no source.

use alloc::format;
use alloc::string::String;

use quantity::Length;

/// One of the three shapes that a French number comes in, from stout to slender.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// F, the stoutest; its long side stands upright where nothing else is said.
    Figure,
    /// P; its long side lies where nothing else is said.
    Landscape,
    /// M, the slenderest; its long side lies where nothing else is said.
    Marine,
}

impl Shape {
    /// All three, in the order of the table.
    pub const ALL: [Self; 3] = [Self::Figure, Self::Landscape, Self::Marine];

    /// Its letter in a number such as 15 F.
    #[must_use]
    pub const fn letter(self) -> char {
        match self {
            Self::Figure => 'F',
            Self::Landscape => 'P',
            Self::Marine => 'M',
        }
    }

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Figure => "figure",
            Self::Landscape => "landscape",
            Self::Marine => "marine",
        }
    }
}

/// Which way the long side goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// The long side is the height.
    Upright,
    /// The long side is the width.
    Across,
}

impl Stands {
    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Upright => "upright",
            Self::Across => "across",
        }
    }

    /// Width and height of a size with these sides.
    #[must_use]
    pub const fn sides(self, long: Length, short: Length) -> [Length; 2] {
        match self {
            Self::Upright => [short, long],
            Self::Across => [long, short],
        }
    }
}

/// A French number: its long side and the three short ones, in centimetres.
struct French {
    number: u32,
    long: i64,
    short: [i64; 3],
}

const fn french(number: u32, long: i64, short: [i64; 3]) -> French {
    French {
        number,
        long,
        short,
    }
}

/// Short sides of figure, landscape, marine. Source: see the head of this file.
static FRENCH: [French; 20] = [
    french(0, 18, [14, 12, 10]),
    french(1, 22, [16, 14, 12]),
    french(2, 24, [19, 16, 14]),
    french(3, 27, [22, 19, 16]),
    french(4, 33, [24, 22, 19]),
    french(5, 35, [27, 24, 22]),
    french(6, 41, [33, 27, 24]),
    french(8, 46, [38, 33, 27]),
    french(10, 55, [46, 38, 33]),
    french(12, 61, [50, 46, 38]),
    french(15, 65, [54, 50, 46]),
    french(20, 73, [60, 54, 50]),
    french(25, 81, [65, 60, 54]),
    french(30, 92, [73, 65, 60]),
    french(40, 100, [81, 73, 65]),
    french(50, 116, [89, 81, 73]),
    french(60, 130, [97, 89, 81]),
    // From here on from memory.
    french(80, 146, [114, 97, 89]),
    french(100, 162, [130, 114, 97]),
    french(120, 195, [130, 114, 97]),
];

/// Short and long side in whole inches (common practice, no source).
static INCHES: [(i64, i64); 12] = [
    (8, 10),
    (9, 12),
    (11, 14),
    (12, 16),
    (16, 20),
    (18, 24),
    (20, 24),
    (24, 30),
    (24, 36),
    (30, 40),
    (36, 48),
    (48, 60),
];

/// A size of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standard {
    /// A French number.
    French {
        /// Its number.
        number: u32,
        /// Its shape.
        shape: Shape,
        /// Its long side.
        long: Length,
        /// Its short side.
        short: Length,
    },
    /// Whole inches.
    Inches {
        /// Its short side.
        short: Length,
        /// Its long side.
        long: Length,
    },
}

impl Standard {
    /// Long side and short side.
    #[must_use]
    pub const fn sides(self) -> [Length; 2] {
        match self {
            Self::French { long, short, .. } | Self::Inches { long, short } => [long, short],
        }
    }

    /// How it stands where nothing else is said: a figure upright, the others across (our choice,
    /// after their names).
    #[must_use]
    pub const fn usual_way(self) -> Stands {
        match self {
            Self::French {
                shape: Shape::Figure,
                ..
            }
            | Self::Inches { .. } => Stands::Upright,
            Self::French { .. } => Stands::Across,
        }
    }
}

impl Standard {
    /// Its name: `15 F`, `16 × 20 in`.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::French { number, shape, .. } => format!("{number} {}", shape.letter()),
            Self::Inches { short, long } => format!("{} × {} in", inches(short), inches(long)),
        }
    }

    /// Its name with what it is: `15 F figure, 65 × 54 cm`.
    #[must_use]
    pub fn described(self) -> String {
        match self {
            Self::French {
                shape, long, short, ..
            } => format!(
                "{} {}, {} × {} cm",
                self.name(),
                shape.name(),
                long.as_nm() / cm(1).as_nm(),
                short.as_nm() / cm(1).as_nm()
            ),
            Self::Inches { .. } => self.name(),
        }
    }
}

const fn inches(side: Length) -> i64 {
    side.as_nm() / Length::INCH.as_nm()
}

/// The standard size with this name, and how it stands; also a French number as [`named`] reads it.
#[must_use]
pub fn any_named(text: &str) -> Option<(Standard, Stands)> {
    let by_name = all().find(|size| size.name() == text.trim());
    by_name
        .map(|size| (size, size.usual_way()))
        .or_else(|| named(text).flatten())
}

/// Every standard size, in the order of the tables.
pub fn all() -> impl Iterator<Item = Standard> {
    let french = FRENCH.iter().flat_map(|row| {
        Shape::ALL.into_iter().map(|shape| Standard::French {
            number: row.number,
            shape,
            long: cm(row.long),
            short: cm(row.short[shape as usize]),
        })
    });
    let inches = INCHES.iter().map(|(short, long)| Standard::Inches {
        short: Length::INCH * *short,
        long: Length::INCH * *long,
    });
    french.chain(inches)
}

const fn cm(n: i64) -> Length {
    Length::from_mm(n * 10)
}

/// A French number as it is written: `15 F`, `15F`, `F15`, with `upright` or `across` behind it.
/// None where the text is no such thing; no size where no such number is in the table.
///
/// ```
/// use planner::find_size::standard::{Stands, named};
/// use quantity::Length;
/// let (size, way) = named("15 F").flatten().unwrap();
/// assert_eq!(way, Stands::Upright);
/// assert_eq!(size.sides(), [Length::from_mm(650), Length::from_mm(540)]);
/// assert_eq!(named("15 F across").flatten().unwrap().1, Stands::Across);
/// assert_eq!(named("7 F"), Some(None));
/// assert_eq!(named("15 mm"), None);
/// ```
#[must_use]
pub fn named(text: &str) -> Option<Option<(Standard, Stands)>> {
    let text = text.trim();
    let (digits, letter, rest) = if text.starts_with(|c: char| c.is_ascii_digit()) {
        let (digits, rest) = digits(text);
        let (letter, rest) = shape(rest.trim_start_matches(['-', ' ']))?;
        (digits, letter, rest)
    } else {
        let (letter, rest) = shape(text)?;
        let (digits, rest) = digits(rest.trim_start_matches(['-', ' ']));
        (digits, letter, rest)
    };
    let number: u32 = digits.parse().ok()?;
    let way = match rest.trim() {
        "" => None,
        "upright" | "portrait" | "tall" => Some(Stands::Upright),
        "across" | "lying" | "wide" => Some(Stands::Across),
        _ => return None,
    };
    // A letter with more letters behind it is a word: 15 mm, 15 ft.
    if way.is_some() && !rest.starts_with(' ') {
        return None;
    }
    let size = all().find(|s| {
        matches!(s, Standard::French { number: n, shape, .. } if *n == number && *shape == letter)
    });
    Some(size.map(|s| (s, way.unwrap_or(s.usual_way()))))
}

fn digits(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit());
    text.split_at(end.unwrap_or(text.len()))
}

fn shape(text: &str) -> Option<(Shape, &str)> {
    let first = text.chars().next()?.to_ascii_uppercase();
    // A lower-case m is a metre.
    let shape = Shape::ALL
        .into_iter()
        .find(|s| s.letter() == first && !text.starts_with('m'))?;
    Some((shape, &text[1..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sides in centimetres as the table of French sizes prints them (15 P also on a second page,
    /// 6 P on a third; see the head of this file).
    #[test]
    fn published_sizes() {
        for (text, long, short) in [
            ("0 F", 18, 14),
            ("6P", 41, 27),
            ("15F", 65, 54),
            ("15 P", 65, 50),
            ("M 15", 65, 46),
            ("60-P", 130, 89),
        ] {
            let (size, _) = named(text).flatten().unwrap();
            assert_eq!(size.sides(), [cm(long), cm(short)], "{text}");
        }
    }

    #[test]
    fn every_size_is_longer_than_it_is_wide_and_every_number_has_three() {
        assert_eq!(all().count(), 3 * 20 + 12);
        for s in all() {
            let [long, short] = s.sides();
            assert!(short < long, "{s:?}");
        }
        for row in &FRENCH {
            let [f, p, m] = row.short;
            assert!(f > p && p > m, "{}", row.number);
        }
    }

    #[test]
    fn lengths_are_no_numbers() {
        for text in [
            "",
            "15",
            "15 m",
            "15m",
            "1.5 m",
            "15 ft",
            "15 mm",
            "F",
            "fifteen F",
            "15 F 2",
        ] {
            assert_eq!(named(text), None, "{text}");
        }
        assert_eq!(named("99999999999 F"), None);
    }
}
