//! What people write, read exactly: numbers, lengths and measures with or without a unit.
//!
//! Numbers are kept as exact fractions until the unit is known, so `29 1/2"`, `29,5 in` and
//! `749.3 mm` are the same nanometre.

use alloc::string::String;

use quantity::{Length, Money};

use crate::Units;

/// Why a text could not be read; the field's message says what would be accepted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    /// Nothing but spaces.
    Empty,
    /// No number where one was expected.
    NoNumber,
    /// A number such as `1,200`, which may mean 1.2 or 1200; a bare length such as `1.200` on a
    /// page in millimetres, where nobody measures to the thousandth, may be 1200 too.
    AmbiguousComma,
    /// A unit that is not known here.
    UnknownUnit,
    /// A fraction with a zero below the line.
    ZeroBelow,
    /// More digits than a length can use.
    TooLong,
}

/// An exact fraction `num / den`, `den > 0`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Exact {
    num: i128,
    den: i128,
}

impl Exact {
    fn add(self, o: Self) -> Option<Self> {
        Some(Self {
            num: self
                .num
                .checked_mul(o.den)?
                .checked_add(o.num.checked_mul(self.den)?)?,
            den: self.den.checked_mul(o.den)?,
        })
    }

    /// Times a whole number, rounded to the nearest whole number (halves up).
    fn times(self, unit: i64) -> Option<i64> {
        let n = self.num.checked_mul(i128::from(unit))?.checked_mul(2)?;
        let d = self.den.checked_mul(2)?;
        i64::try_from((n + self.den).div_euclid(d)).ok()
    }

    fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }
}

/// Reads a length such as `900`, `90 cm`, `0.9m`, `74,9 cm`, `29 1/2"`, `29-1/2 in`,
/// `2' 5 1/2"` or `29½`; a bare number takes the page's unit.
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
///
/// ```
/// use planner::{Units, parse};
/// use quantity::Length;
/// let half = Length::from_inch_64ths(29 * 64 + 32); // 29 1/2 in = 749.3 mm
/// for text in ["29 1/2\"", "29-1/2 in", "2' 5 1/2\"", "29½ in", "74,93 cm", "749.3"] {
///     assert_eq!(parse::length(text, Units::Metric), Ok(half), "{text}");
/// }
/// ```
pub fn length(text: &str, units: Units) -> Result<Length, Unread> {
    let mut s = Scanner::new(text);
    s.skip_space();
    if s.rest.is_empty() {
        return Err(Unread::Empty);
    }
    let bare = match units {
        Units::Metric => Length::MM,
        Units::Imperial => Length::INCH,
    };
    let minus = s.minus();
    let mut total: i64 = 0;
    let mut in_feet = false;
    loop {
        let before = s.rest;
        let x = s.mixed_number()?;
        let number = &before[..before.len() - s.rest.len()];
        s.skip_space();
        let (unit, feet) = match s.word() {
            "" if in_feet => (Length::INCH, false),
            "" if bare == Length::MM && groups_by_point(number) => {
                return Err(Unread::AmbiguousComma);
            }
            "" => (bare, false),
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                (Length::MM, false)
            }
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => {
                (Length::MM * 10, false)
            }
            "m" | "metre" | "metres" | "meter" | "meters" => (Length::MM * 1000, false),
            "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" => (Length::INCH, false),
            "ft" | "foot" | "feet" | "'" | "′" | "’" => (Length::INCH * 12, true),
            _ => return Err(Unread::UnknownUnit),
        };
        let part = x.times(unit.as_nm()).ok_or(Unread::TooLong)?;
        total = total.checked_add(part).ok_or(Unread::TooLong)?;
        s.skip_space();
        if s.rest.is_empty() {
            return Ok(Length::from_nm(if minus { -total } else { total }));
        }
        // Only feet may be followed by a second part.
        if !feet || in_feet {
            return Err(Unread::UnknownUnit);
        }
        in_feet = true;
    }
}

/// Whether a number such as `1.200` may be one thousand two hundred.
fn groups_by_point(number: &str) -> bool {
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    number.trim().split_once('.').is_some_and(|(whole, rest)| {
        (1..=3).contains(&whole.len())
            && rest.len() == 3
            && digits(whole)
            && digits(rest)
            && !whole.starts_with('0')
    })
}

/// Reads a plain number with `.` or `,` as the decimal sign, or a fraction, and returns it with
/// the unit word behind it (lower case, possibly empty).
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
pub fn number(text: &str) -> Result<(f64, String), Unread> {
    let mut s = Scanner::new(text);
    s.skip_space();
    if s.rest.is_empty() {
        return Err(Unread::Empty);
    }
    let minus = s.minus();
    let x = s.mixed_number()?.to_f64();
    let unit = s.rest.trim().to_ascii_lowercase();
    Ok((if minus { -x } else { x }, unit))
}

/// Reads an amount of money; a currency sign before or after it is passed over.
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
///
/// ```
/// use planner::parse;
/// assert_eq!(parse::money("€ 7,65").unwrap().as_hundredths(), 765);
/// ```
pub fn money(text: &str) -> Result<Money, Unread> {
    let core = text.trim_matches(|c: char| !c.is_ascii_digit() && c != '-' && c != '.' && c != ',');
    if core.is_empty() {
        return Err(if text.trim().is_empty() {
            Unread::Empty
        } else {
            Unread::NoNumber
        });
    }
    let mut s = Scanner::new(core);
    let minus = s.minus();
    let x = s.decimal()?;
    if !s.rest.trim().is_empty() {
        return Err(Unread::UnknownUnit);
    }
    let n = x.times(100).ok_or(Unread::TooLong)?;
    Ok(Money::from_hundredths(if minus { -n } else { n }))
}

/// Reads a stretch such as `300-350 mm`, `300 – 350` or `300 to 350`: from where, to where.
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
///
/// ```
/// use planner::{Units, parse};
/// use quantity::Length;
/// let stretch = (Length::from_mm(300), Length::from_mm(350));
/// for text in ["300-350", "300–350 mm", "30 to 35 cm", "0.3 m — 0.35 m", "300−350"] {
///     assert_eq!(parse::stretch(text, Units::Metric), Ok(stretch), "{text}");
/// }
/// ```
pub fn stretch(text: &str, units: Units) -> Result<(Length, Length), Unread> {
    let (from, to) = [" to ", "–", "—", "−", "-"]
        .into_iter()
        .find_map(|between| text.split_once(between))
        .ok_or(Unread::NoNumber)?;
    let end = length(to, units)?;
    // `300-350 mm`: the unit behind the second number is meant for both.
    let unit = to
        .trim()
        .trim_start_matches(|c: char| !c.is_alphabetic() && c != '"');
    let start = length(&alloc::format!("{} {unit}", from.trim()), units)
        .or_else(|_| length(from, units))?;
    Ok((start, end))
}

/// What stands between face and depth.
pub const TIMES: [char; 4] = ['×', 'x', 'X', '*'];

/// The parts of a list of battens: between semicolons where it has any, else between commas.
pub fn battens(text: &str) -> impl Iterator<Item = &str> {
    let mark = if text.contains(';') { ';' } else { ',' };
    text.split(mark).map(str::trim).filter(|p| !p.is_empty())
}

/// A batten's section, and the price behind it.
#[must_use]
pub fn section_and_price(part: &str) -> (&str, Option<&str>) {
    match part.split_once(" at ").or_else(|| part.split_once('@')) {
        Some((section, price)) => (section.trim(), Some(price.trim())),
        None => (part.trim(), None),
    }
}

/// Reads a batten's face and depth, and the price of a metre if it has one: `38 × 19`,
/// `50 x 25 mm at 2.10`, `2 1/2 x 3/4 in at 0.64/ft`.
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
pub fn batten(part: &str, units: Units) -> Result<([Length; 2], Option<Money>), Unread> {
    let (section, price) = section_and_price(part);
    let (a, b) = section.split_once(TIMES).ok_or(Unread::NoNumber)?;
    let depth = length(b, units)?;
    // `38 × 19 mm`: the unit behind the second number is meant for both.
    let unit = b
        .trim()
        .trim_start_matches(|c: char| !c.is_alphabetic() && c != '"');
    let face =
        length(&alloc::format!("{} {unit}", a.trim()), units).or_else(|_| length(a, units))?;
    let price = match price {
        None => None,
        Some(text) => Some(match text.strip_suffix("/ft") {
            // 1 m = 1250 / 381 ft
            Some(a_foot) => money(a_foot)?.mul_div_up(1250, 381),
            None => money(text.trim_end_matches("/m"))?,
        }),
    };
    if price.is_some_and(|p| p < Money::ZERO) {
        return Err(Unread::NoNumber);
    }
    Ok(([face, depth], price))
}

/// Reads a whole number of things.
///
/// # Errors
///
/// [`Unread`] says what stood in the way.
pub fn count(text: &str) -> Result<u32, Unread> {
    let t = text.trim();
    if t.is_empty() {
        return Err(Unread::Empty);
    }
    if t.len() > 9 {
        return Err(Unread::TooLong);
    }
    t.parse().map_err(|_| Unread::NoNumber)
}

struct Scanner<'a> {
    rest: &'a str,
}

impl<'a> Scanner<'a> {
    fn new(text: &'a str) -> Self {
        Self { rest: text.trim() }
    }

    fn skip_space(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn minus(&mut self) -> bool {
        if let Some(r) = self.rest.strip_prefix(['-', '−']) {
            self.rest = r.trim_start();
            return true;
        }
        false
    }

    fn digits(&mut self) -> &'a str {
        let end = self
            .rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(self.rest.len());
        let (d, r) = self.rest.split_at(end);
        self.rest = r;
        d
    }

    /// Letters, or one run of foot or inch marks; lower-case spellings only are known.
    fn word(&mut self) -> &'a str {
        let end = self
            .rest
            .find(|c: char| c.is_whitespace() || c.is_ascii_digit())
            .unwrap_or(self.rest.len());
        let (w, r) = self.rest.split_at(end);
        let w = w.trim_end_matches('.');
        self.rest = r;
        w
    }

    /// `12`, `12.5`, `12,5`, `.5`.
    fn decimal(&mut self) -> Result<Exact, Unread> {
        let whole = self.digits();
        let mut frac = "";
        if let Some(r) = self.rest.strip_prefix('.').filter(|r| starts_with_digit(r)) {
            self.rest = r;
            frac = self.digits();
        } else if let Some(r) = self.rest.strip_prefix(',').filter(|r| starts_with_digit(r)) {
            self.rest = r;
            frac = self.digits();
            if frac.len() == 3 && !whole.is_empty() && whole != "0" {
                return Err(Unread::AmbiguousComma);
            }
        }
        if whole.is_empty() && frac.is_empty() {
            return Err(Unread::NoNumber);
        }
        if whole.len() > 12 || frac.len() > 12 {
            return Err(Unread::TooLong);
        }
        let mut num = 0;
        let mut den = 1;
        for d in whole.bytes() {
            num = num * 10 + i128::from(d - b'0');
        }
        for d in frac.bytes() {
            num = num * 10 + i128::from(d - b'0');
            den *= 10;
        }
        Ok(Exact { num, den })
    }

    /// A decimal, a fraction `1/2`, a mixed number `29 1/2`, `29-1/2`, `29½`, or `½` alone.
    fn mixed_number(&mut self) -> Result<Exact, Unread> {
        if let Some(f) = self.vulgar() {
            return Ok(f);
        }
        let first = self.decimal()?;
        if first.den == 1 {
            if self.rest.starts_with('/') {
                return self.over(first.num);
            }
            if let Some(f) = self.joined_fraction()? {
                return first.add(f).ok_or(Unread::TooLong);
            }
        }
        Ok(first)
    }

    /// The fraction behind a whole number, if one follows.
    fn joined_fraction(&mut self) -> Result<Option<Exact>, Unread> {
        let before = self.rest;
        let trimmed = self.rest.trim_start();
        self.rest = trimmed
            .strip_prefix(['-', '–'])
            .unwrap_or(trimmed)
            .trim_start();
        if let Some(f) = self.vulgar() {
            return Ok(Some(f));
        }
        let top = self.digits();
        if !top.is_empty() && top.len() <= 4 && self.rest.starts_with('/') {
            return self
                .over(top.parse().map_err(|_| Unread::NoNumber)?)
                .map(Some);
        }
        self.rest = before;
        Ok(None)
    }

    /// `/den` after a numerator.
    fn over(&mut self, num: i128) -> Result<Exact, Unread> {
        self.rest = &self.rest[1..];
        let below = self.digits();
        if below.is_empty() {
            return Err(Unread::NoNumber);
        }
        if below.len() > 4 {
            return Err(Unread::TooLong);
        }
        match below.parse::<i128>() {
            Ok(0) => Err(Unread::ZeroBelow),
            Ok(den) => Ok(Exact { num, den }),
            Err(_) => Err(Unread::NoNumber),
        }
    }

    fn vulgar(&mut self) -> Option<Exact> {
        let c = self.rest.chars().next()?;
        let (num, den) = match c {
            '½' => (1, 2),
            '¼' => (1, 4),
            '¾' => (3, 4),
            '⅛' => (1, 8),
            '⅜' => (3, 8),
            '⅝' => (5, 8),
            '⅞' => (7, 8),
            '⅓' => (1, 3),
            '⅔' => (2, 3),
            _ => return None,
        };
        self.rest = &self.rest[c.len_utf8()..];
        Some(Exact { num, den })
    }
}

fn starts_with_digit(s: &str) -> bool {
    s.starts_with(|c: char| c.is_ascii_digit())
}

/// Writes a number without trailing zeros, at most `decimals` places.
#[must_use]
pub fn plain(x: f64, decimals: usize) -> String {
    let mut s = crate::show::decimals(x, decimals);
    if s.contains('.') {
        let kept = s.trim_end_matches('0').trim_end_matches('.').len();
        s.truncate(kept);
    }
    if s == "-0" {
        s.remove(0);
    }
    s
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn reads(text: &str, nm: i64) {
        assert_eq!(
            length(text, Units::Metric),
            Ok(Length::from_nm(nm)),
            "{text}"
        );
    }
    #[track_caller]
    fn refuses(text: &str, why: Unread) {
        assert_eq!(length(text, Units::Metric), Err(why), "{text}");
    }

    #[test]
    fn what_makers_write() {
        reads("900", 900_000_000);
        reads("90 cm", 900_000_000);
        reads("0.9m", 900_000_000);
        reads("74,9 cm", 749_000_000);
        reads("29 1/2\"", 749_300_000);
        reads("29-1/2 in", 749_300_000);
        reads("2' 5 1/2\"", 749_300_000);
        reads("2'5½″", 749_300_000);
        reads("2 ft 5.5 in.", 749_300_000);
        reads("1/64 in", 396_875);
        reads(".5 in", 12_700_000);
        reads(" 36 in", 914_400_000);
        reads("3 ft", 914_400_000);
        assert_eq!(
            length("29½", Units::Imperial),
            Ok(Length::from_nm(749_300_000))
        );
    }

    #[test]
    fn what_cannot_be_read() {
        refuses("", Unread::Empty);
        refuses("  ", Unread::Empty);
        refuses("wide", Unread::NoNumber);
        refuses("1,200", Unread::AmbiguousComma);
        refuses("1.200", Unread::AmbiguousComma);
        refuses("12 furlong", Unread::UnknownUnit);
        refuses("12 mm 5 mm", Unread::UnknownUnit);
        refuses("1/0 in", Unread::ZeroBelow);
        refuses("1 200", Unread::UnknownUnit);
        refuses("99999999999999999999", Unread::TooLong);
    }

    #[test]
    fn money_with_any_sign() {
        assert_eq!(money("£7.65"), Ok(Money::from_hundredths(765)));
        assert_eq!(money("7,65 €"), Ok(Money::from_hundredths(765)));
        assert_eq!(money("12"), Ok(Money::from_hundredths(1200)));
        assert_eq!(money(""), Err(Unread::Empty));
        assert_eq!(money("free"), Err(Unread::NoNumber));
    }

    proptest! {
        #[test]
        fn no_text_panics(s in "\\PC{0,24}") {
            let _ = (length(&s, Units::Metric), number(&s), money(&s), count(&s));
        }

        #[test]
        fn sixty_fourths_read_back(n in 0i64..100_000) {
            let text = alloc::format!("{} {}/64 in", n / 64, n % 64);
            prop_assert_eq!(length(&text, Units::Metric), Ok(Length::from_inch_64ths(n)));
        }

        #[test]
        fn micrometres_read_back(n in 0i64..10_000_000) {
            let text = alloc::format!("{}.{:03} mm", n / 1000, n % 1000);
            prop_assert_eq!(length(&text, Units::Metric), Ok(Length::from_nm(n * 1000)));
        }
    }
}
