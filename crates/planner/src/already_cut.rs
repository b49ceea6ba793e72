//! Boards that are cut already: their pieces are taken off the demand, and only the rest is
//! bought.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use cutting::boards;
use quantity::{Length, Money};

use crate::brief::{BoardOf, Brief};
use crate::draft::{Draft, LONGEST_TEXT, Record};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Table};
use crate::frame::Ends;
use crate::parse;
use crate::plan::Plan;
use crate::show::{Units, exact_mm};
use crate::timber::{self, Board, CutPiece, Purchase};

/// How far a typed length may be from that of the cut list and still mean the same piece: 1 mm,
/// what a tape can tell apart (our choice).
const SAME: Length = Length::from_mm(1);
/// Steps that laying out one board may take (our choice; measured jobs of one board need a few).
const STEPS: u64 = 2_000;

/// Equal pieces on a board that is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutPart {
    /// How many.
    pub count: u32,
    /// Length; the long edge where mitred.
    pub length: Length,
    /// How both ends are cut.
    pub ends: Ends,
}

/// Boards that are cut, all alike.
#[derive(Clone, Debug, PartialEq)]
pub struct CutBoard {
    /// Its row in the draft.
    pub row: usize,
    /// What it is a length of.
    pub of: BoardOf,
    /// Length of the whole board.
    pub length: Length,
    /// How many are cut like this.
    pub count: u32,
    /// What one of them gave.
    pub parts: Vec<CutPart>,
    /// What one of them cost, if typed.
    pub price: Option<Money>,
    /// Stretches that could not be used.
    pub bad: Vec<(Length, Length)>,
}

/// Reads pieces such as `2 x 1000 mitred, 1 x 800 square`; without a count one is meant, without
/// a word square ends.
///
/// # Errors
///
/// The part that could not be read.
///
/// ```
/// use planner::{Units, already_cut::read};
/// let parts = read("2 x 1000 mitred, 1 x 800", Units::Metric).unwrap();
/// assert_eq!(parts[0].length.to_mm() * f64::from(parts[0].count), 2000.0);
/// assert_eq!(read("two long ones", Units::Metric), Err("two long ones"));
/// ```
pub fn read(text: &str, units: Units) -> Result<Vec<CutPart>, &str> {
    let mut all = Vec::new();
    for part in parts(text) {
        let (count, length, ends) = split(part);
        let count = match count {
            Some(n) => parse::count(n).map_err(|_| part)?,
            None => 1,
        };
        let length = parse::length(length, units).map_err(|_| part)?;
        let ends = ends_by(ends).unwrap_or(Ends::Square);
        if count == 0 || count > boards::limits::PIECES || length < boards::limits::SHORTEST_PIECE {
            return Err(part);
        }
        all.push(CutPart {
            count,
            length,
            ends,
        });
    }
    Ok(all)
}

/// Writes pieces so that they read back exactly, whatever the page's units.
#[must_use]
pub fn write(parts: &[CutPart]) -> String {
    let all: Vec<String> = parts
        .iter()
        .map(|p| {
            let ends = match p.ends {
                Ends::Square => "square",
                Ends::Mitred => "mitred",
            };
            format!("{} x {} {ends}", p.count, exact_mm(p.length))
        })
        .collect();
    all.join(", ")
}

/// The same pieces with a unit behind every bare length; a text that can't be read stays.
pub(crate) fn with_unit(text: &str, from: Units) -> String {
    if read(text, from).is_err() {
        return text.to_string();
    }
    let unit = match from {
        Units::Metric => "mm",
        Units::Imperial => "in",
    };
    let all: Vec<String> = parts(text)
        .map(|part| {
            let (count, length, ends) = split(part);
            let bare = !length.contains(|c: char| c.is_alphabetic() || "\"″”'′’".contains(c));
            let mut said = String::new();
            if let Some(count) = count {
                said.push_str(count);
                said.push_str(" x ");
            }
            said.push_str(length);
            for word in [if bare { unit } else { "" }, ends] {
                if !word.is_empty() {
                    said.push(' ');
                    said.push_str(word);
                }
            }
            said
        })
        .collect();
    all.join(", ")
}

/// The parts of a list; a comma between two digits is a decimal sign.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    core::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let end = rest.char_indices().find(|(i, c)| {
            *c == ';'
                || (*c == ','
                    && !(digit(rest[..*i].chars().next_back())
                        && digit(rest[i + 1..].chars().next())))
        });
        let (part, after) = match end {
            Some((i, _)) => (&rest[..i], &rest[i + 1..]),
            None => (rest, ""),
        };
        rest = after;
        Some(part.trim())
    })
    .filter(|p| !p.is_empty())
}

fn ends_by(word: &str) -> Option<Ends> {
    match word {
        "square" => Some(Ends::Square),
        "mitred" | "mitered" => Some(Ends::Mitred),
        _ => None,
    }
}

/// Count, length and ends of a part, as typed.
fn split(part: &str) -> (Option<&str>, &str, &str) {
    let (count, rest) = match part.split_once(['x', 'X', '×', '*']) {
        Some((n, rest)) => (Some(n.trim()), rest.trim()),
        None => (None, part),
    };
    match rest.rsplit_once(char::is_whitespace) {
        Some((length, word)) if ends_by(word).is_some() => (count, length.trim(), word),
        _ => (count, rest, ""),
    }
}

/// What is left to cut of a section once the boards that are cut are taken off.
pub(crate) struct Rest {
    /// How many of each piece of the cut list are still to be cut.
    pub(crate) counts: Vec<u32>,
    /// The boards that are cut, with their pieces.
    pub(crate) boards: Vec<Board>,
    /// What they cost, where a price was typed.
    pub(crate) spent: Option<Money>,
}

/// Takes the boards that are cut off the demand. One with a piece that the cut list does not
/// have, or has no more need of, is left out and said.
pub(crate) fn rest(brief: &Brief, of: BoardOf, list: &[CutPiece], faults: &mut Vec<Fault>) -> Rest {
    let mut rest = Rest {
        counts: list.iter().map(|p| p.count).collect(),
        boards: Vec::new(),
        spent: None,
    };
    for cut in brief.cut.iter().filter(|c| c.of == of) {
        match take(brief, cut, list, &mut rest.counts) {
            Ok(board) => {
                rest.boards.push(board);
                if let Some(price) = cut.price {
                    let all = price * i64::from(cut.count);
                    rest.spent = Some(rest.spent.unwrap_or(Money::ZERO) + all);
                }
            }
            Err((key, what, remedy)) => faults.push(Fault {
                at: FieldRef {
                    table: Table::Cut,
                    row: cut.row,
                    key,
                },
                kind: FaultKind::Conflict { what, remedy },
            }),
        }
    }
    rest
}

type Conflict = (&'static str, String, String);

/// Takes one row off the counts and lays its board out.
fn take(
    brief: &Brief,
    cut: &CutBoard,
    list: &[CutPiece],
    counts: &mut [u32],
) -> Result<Board, Conflict> {
    let mut wanted: Vec<CutPiece> = list
        .iter()
        .map(|p| CutPiece {
            count: 0,
            ..p.clone()
        })
        .collect();
    for part in &cut.parts {
        let piece = find(brief, part, list)?;
        wanted[piece].count = wanted[piece].count.saturating_add(part.count);
    }
    for (i, piece) in wanted.iter().enumerate() {
        let all = piece.count.saturating_mul(cut.count);
        if all > counts[i] {
            return Err((
                "pieces",
                format!(
                    "{all} × {} ({}) would be cut, but {} needed.",
                    piece.letter,
                    brief.show.length(piece.length),
                    match counts[i] {
                        0 => "no more are".to_string(),
                        1 => "only 1 more is".to_string(),
                        n => format!("only {n} more are"),
                    }
                ),
                "Lower the count, or add the canvas that they are for.".into(),
            ));
        }
    }
    let board = lay_out(brief, cut, &wanted).ok_or_else(|| {
        (
            "length",
            format!(
                "A board of {} can't give these pieces.",
                brief.show.run(cut.length)
            ),
            "Check its length, the pieces and the bad stretches.".into(),
        )
    })?;
    for (left, piece) in counts.iter_mut().zip(&wanted) {
        *left -= piece.count * cut.count;
    }
    Ok(board)
}

/// The piece of the cut list that is meant: same ends, nearest length.
fn find(brief: &Brief, part: &CutPart, list: &[CutPiece]) -> Result<usize, Conflict> {
    let off = |p: &CutPiece| (p.length - part.length).abs();
    let nearest = list
        .iter()
        .enumerate()
        .filter(|(_, p)| p.ends == part.ends)
        .min_by_key(|(_, p)| off(p));
    if let Some((i, _)) = nearest.filter(|(_, p)| off(p) <= SAME) {
        return Ok(i);
    }
    let (ends, other) = match part.ends {
        Ends::Square => ("square", "mitred"),
        Ends::Mitred => ("mitred", "square"),
    };
    let turned = list.iter().find(|p| off(p) <= SAME);
    let remedy = match (turned, nearest) {
        (Some(p), _) => format!("Piece {} of this length is {other}.", p.letter),
        (None, Some((_, p))) => format!(
            "The nearest is {}, {}.",
            p.letter,
            brief.show.length(p.length)
        ),
        (None, None) => "Take it out of this board.".into(),
    };
    Err((
        "pieces",
        format!(
            "The cut list has no {ends} piece of {}.",
            brief.show.length(part.length)
        ),
        remedy,
    ))
}

/// Where the pieces lie on the board.
fn lay_out(brief: &Brief, cut: &CutBoard, pieces: &[CutPiece]) -> Option<Board> {
    let counts: Vec<u32> = pieces.iter().map(|p| p.count).collect();
    let mut job = boards::Job {
        stock: alloc::vec![boards::Stock {
            bad: timber::stretches(&cut.bad),
            ..boards::Stock::at_hand(cut.length, Money::ZERO, 1)
        }],
        pieces: timber::pieces(brief, cut.of, pieces, &counts),
        saw: timber::saw(brief, cut.of, pieces.iter().any(|p| p.ends == Ends::Mitred)),
    };
    let solved = boards::solve(&job, boards::Steps(STEPS)).or_else(|_| {
        // The board is cut, whatever saw and trim have been set since: it need only hold its
        // pieces.
        job.saw.kerf = Length::ZERO;
        job.saw.mitre_kerf = Length::ZERO;
        job.saw.trim = boards::Trim::PerEnd(Length::ZERO);
        boards::solve(&job, boards::Steps(STEPS))
    });
    let plan = solved.ok()?;
    plan.boards.first().map(|b| Board {
        row: cut.row,
        length: cut.length,
        count: cut.count,
        locked: true,
        pieces: timber::placed(b, pieces),
        bad: cut.bad.clone(),
        offcuts: timber::kept(brief, b),
        waste: b.waste.into(),
    })
}

/// Notes so many boards of a plan as cut: the `board`-th of the section, as they are cut there.
/// A row of the rack with a limit has so many boards less, because the rack lists what is still
/// there. None where there is no such board, or no room for another row.
///
/// ```
/// use planner::{Draft, already_cut::lock, brief::BoardOf, plan};
/// let tree = serde_json::from_str(r#"{"bead":"none","canvases":[{"width":"900","height":"600"}]}"#).unwrap();
/// let draft = Draft::from_tree(&tree).0;
/// let locked = lock(&draft, &plan(&draft), BoardOf::Bars, 0, 1).unwrap();
/// assert!(plan(&locked).boards.unwrap().boards[0].locked);
/// ```
#[must_use]
pub fn lock(draft: &Draft, plan: &Plan, of: BoardOf, board: usize, count: u32) -> Option<Draft> {
    let (purchase, list): (&Option<Purchase>, &[CutPiece]) = match of {
        BoardOf::Bars => (&plan.boards, &plan.cut_list),
        BoardOf::Bead => (&plan.bead, &plan.bead_list),
    };
    let board = purchase.as_ref()?.boards.get(board)?;
    if board.locked {
        return None;
    }
    let count = count.clamp(1, board.count.max(1));
    let text = write(&parts_of(board, list)?);
    if text.chars().count() > LONGEST_TEXT {
        return None;
    }
    let mut draft = draft.clone();
    let mut record = Record::new();
    if of == BoardOf::Bead {
        record.insert("of", "bead".into());
    }
    record.insert("length", exact_mm(board.length));
    record.insert("pieces", text);
    if let Some(rack) = draft.boards.get_mut(board.row) {
        for key in ["price", "bad"] {
            if let Some(text) = rack.get(key) {
                record.insert(key, text.clone());
            }
        }
        if let Some(limit) = plan.brief.limit(board.row) {
            rack.insert("limit", limit.saturating_sub(count).to_string());
        }
    }
    note(&mut draft.cut, record, count).then_some(draft)
}

/// What a board gives, equal pieces together.
fn parts_of(board: &Board, list: &[CutPiece]) -> Option<Vec<CutPart>> {
    let mut counts = alloc::vec![0; list.len()];
    for p in &board.pieces {
        *counts.get_mut(p.piece)? += 1;
    }
    let parts = list.iter().zip(counts).filter(|(_, n)| *n > 0);
    let all = parts.map(|(p, count)| CutPart {
        count,
        length: p.length,
        ends: p.ends,
    });
    Some(all.collect())
}

/// Adds boards to the row that is cut like them, or a row of their own.
fn note(rows: &mut Vec<Record>, mut record: Record, count: u32) -> bool {
    let alike = |row: &Record| {
        let mut row = row.clone();
        row.remove("count");
        row == record
    };
    let (row, before) = match rows.iter().position(alike) {
        Some(i) => {
            let typed = rows[i].get("count").map(|t| parse::count(t));
            (Some(i), typed.map_or(1, |n| n.unwrap_or(1)))
        }
        None => (None, 0),
    };
    let all = before.saturating_add(count);
    if all > 1 {
        record.insert("count", all.to_string());
    }
    match row {
        Some(i) => rows[i] = record,
        None if rows.len() < Table::Cut.most_rows() => rows.push(record),
        None => return false,
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_read_back_as_written() {
        let part = |count, length, ends| CutPart {
            count,
            length,
            ends,
        };
        let parts = [
            part(2, Length::from_mm(1000), Ends::Mitred),
            part(1, Length::from_nm(212_132_034), Ends::Square),
        ];
        let text = write(&parts);
        assert_eq!(text, "2 x 1000 mm mitred, 1 x 212.132034 mm square");
        for units in [Units::Metric, Units::Imperial] {
            assert_eq!(read(&text, units).as_deref(), Ok(&parts[..]));
        }
    }

    #[test]
    fn commas_part_pieces_and_decimals() {
        let mm = |text| -> Vec<(u32, f64)> {
            let parts = read(text, Units::Metric).unwrap_or_default();
            parts.iter().map(|p| (p.count, p.length.to_mm())).collect()
        };
        assert_eq!(
            mm("74,9 cm, 2x800;3 × 1 m square"),
            [(1, 749.0), (2, 800.0), (3, 1000.0)]
        );
        assert_eq!(mm("2 x 29 1/2 in mitred"), [(2, 749.3)]);
        assert_eq!(mm(" , ;"), []);
    }

    #[test]
    fn bare_lengths_keep_their_unit() {
        let text = "2 x 1000 mitred, 500; 1 x 36 in square";
        let said = with_unit(text, Units::Metric);
        assert_eq!(said, "2 x 1000 mm mitred, 500 mm, 1 x 36 in square");
        assert_eq!(read(&said, Units::Imperial), read(text, Units::Metric));
        assert_eq!(with_unit("some", Units::Metric), "some");
    }

    #[test]
    fn what_is_no_piece_is_named() {
        for wrong in ["0 x 900", "2 x 900 round", "-5", "2 x", "x 900"] {
            assert_eq!(read(wrong, Units::Metric), Err(wrong));
        }
    }
}
