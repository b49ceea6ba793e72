//! From one case to the next: bytes, numbers, words of the reader's language, and pieces of other
//! cases.

use crate::dice::Dice;

/// The longest case.
pub const LONGEST: usize = 40_000;

/// Numbers at which arithmetic may break.
const NUMBERS: &[&str] = &[
    "0",
    "1",
    "-1",
    "0.0001",
    "1e308",
    "-1e308",
    "1e-320",
    "9223372036854775807",
    "18446744073709551616",
    "4294967296",
    "2147483648",
    "65536",
    "99999",
    "1/3",
    "1/0",
    "0/0",
    "1/64",
    "0.333333333333333333333333333333333333333333333",
    "10000",
    "501",
    "200",
    "1.5",
    "NaN",
    "inf",
    "-0",
    "½",
    "⅞",
    "1,5",
    "1,200",
    "1.234,5",
];
/// Signs that readers give a meaning to, and some that they must not.
const WORDS: &[&str] = &[
    " mm",
    "cm",
    " m",
    "\"",
    "'",
    " in",
    " ft",
    "-",
    " - ",
    "–",
    "/",
    ",",
    ";",
    ".",
    ":",
    " x ",
    "×",
    "\t",
    "\n",
    "\r\n",
    " ",
    "\u{a0}",
    "\u{202e}",
    "\u{feff}",
    "\0",
    "é",
    "🖼",
    "{",
    "}",
    "[",
    "]",
    "\":\"",
    "\",\"",
    "null",
    "true",
    "\\u0000",
    "\\ud800",
    "mitred",
    "square",
    "15 F",
    "Width (cm)",
    "Name;Width;Height;How many",
    "<b>",
    "&amp;",
    "=",
    "#1.",
    "%",
    "°F",
    "duck",
];

/// A case made from `case` by one to four changes; `others` lend pieces.
#[must_use]
pub fn mutated(dice: &mut Dice, case: &[u8], others: &[Vec<u8>], words: &[&str]) -> Vec<u8> {
    let mut new = case.to_vec();
    for _ in 0..=dice.below(4) {
        change(dice, &mut new, others, words);
    }
    new.truncate(LONGEST);
    new
}

fn change(dice: &mut Dice, case: &mut Vec<u8>, others: &[Vec<u8>], words: &[&str]) {
    let at = dice.below(case.len() + 1);
    let end = at + dice.below((case.len() - at).min(60) + 1);
    match dice.below(12) {
        0 => {
            if let Some(byte) = case.get_mut(at) {
                *byte = dice.roll() as u8;
            }
        }
        1 => {
            if let Some(byte) = case.get_mut(at) {
                *byte ^= 1 << dice.below(8);
            }
        }
        2 => drop(case.drain(at..end)),
        3 => {
            let piece = case[at..end].to_vec();
            let most = if dice.one_in(20) { 400 } else { 4 };
            let times = 1 + dice.below(most);
            insert(case, at, &piece.repeat(times));
        }
        4 | 5 => {
            let number = run(case, at, |b| b.is_ascii_digit() || b == b'.' || b == b',');
            case.splice(number, dice.pick(NUMBERS).bytes());
        }
        6 => insert(case, at, dice.pick(WORDS).as_bytes()),
        7 => {
            let text = run(case, at, |b| b != b'"' && b != b'\n');
            let word = if words.is_empty() || dice.one_in(3) {
                dice.pick(NUMBERS)
            } else {
                dice.pick(words)
            };
            case.splice(text, word.bytes());
        }
        8 if !words.is_empty() => insert(case, at, dice.pick(words).as_bytes()),
        9 => case.truncate(at),
        _ => {
            if let Some(other) = others.get(dice.below(others.len())) {
                let from = dice.below(other.len() + 1);
                let to = from + dice.below((other.len() - from).min(300) + 1);
                insert(case, at, &other[from..to]);
            }
        }
    }
}

fn insert(case: &mut Vec<u8>, at: usize, piece: &[u8]) {
    case.splice(at..at, piece.iter().copied());
}

/// The stretch of such bytes nearest behind `at`.
fn run(case: &[u8], at: usize, like: impl Fn(u8) -> bool) -> std::ops::Range<usize> {
    let Some(start) = (at..case.len()).find(|&i| like(case[i])) else {
        return at..at;
    };
    let first = (0..start)
        .rev()
        .find(|&i| !like(case[i]))
        .map_or(0, |i| i + 1);
    let end = (start..case.len())
        .find(|&i| !like(case[i]))
        .unwrap_or(case.len());
    first..end
}
