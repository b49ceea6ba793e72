//! Boards and bead to buy, and how each is cut.

use alloc::string::String;
use alloc::vec::Vec;

use cutting::boards;
use quantity::{Length, Money, Rounding};
use serde::Serialize;

use crate::already_cut::Rest;
use crate::brief::{BoardOf, Brief, Stock};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Table};
use crate::figure::{Figure, Input, Origin};
use crate::formulas as f;
use crate::frame::Ends;
use crate::searches::Searches;

/// A line of the cut list: equal pieces of the whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CutPiece {
    /// Its letter: A, B, … Z, AA, …; a small one for bead.
    pub letter: String,
    /// Length as sawn; the long edge where mitred.
    pub length: Length,
    /// Short edge as sawn, where mitred.
    pub short_edge: Option<Length>,
    /// How its ends are cut.
    pub ends: Ends,
    /// How many in the whole plan.
    pub count: u32,
    /// Where they go: canvas (index) and name of the part.
    pub goes_to: Vec<(usize, String)>,
}

/// What to buy of one section, and how it is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Purchase {
    /// Lines of the buy list.
    pub lines: Vec<BuyLine>,
    /// Length of all boards taken.
    pub total_length: Figure<Length>,
    /// Price of it all, where every board has a price.
    pub cost: Option<Figure<Money>>,
    /// Whether no cheaper (or, without prices, shorter) purchase exists.
    pub proven: bool,
    /// At most so much money could be saved by a better plan; none without prices.
    pub gap: Option<Money>,
    /// Without prices: at most so much length could be saved.
    pub gap_length: Option<Length>,
    /// Lengths on the rack that no cheapest purchase uses: row and length.
    pub never_useful: Vec<(usize, Length)>,
    /// What the boards that are cut already cost, where a price was typed: money that is spent,
    /// so no part of the cost.
    pub spent: Option<Money>,
    /// The boards as cut; equal ones share a count. Those that are cut already stand first and
    /// are in none of the sums.
    pub boards: Vec<Board>,
    /// Where the wood goes that becomes no piece.
    pub waste: Waste,
}

/// So many boards of one kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BuyLine {
    /// Row of the rack.
    pub row: usize,
    /// Length of the board.
    pub length: Length,
    /// How many.
    pub count: u32,
    /// Price of all of them.
    pub cost: Option<Money>,
}

/// A board as it is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Board {
    /// Row of the rack; of the list of boards already cut where it is locked.
    pub row: usize,
    /// Whether it is cut already.
    pub locked: bool,
    /// Length of the board.
    pub length: Length,
    /// How many are cut like this.
    pub count: u32,
    /// Its pieces from the left end.
    pub pieces: Vec<BoardPiece>,
    /// Unusable stretches.
    pub bad: Vec<(Length, Length)>,
    /// Offcuts worth keeping, longest first.
    pub offcuts: Vec<Length>,
    /// Where the rest goes.
    pub waste: Waste,
}

/// A piece on a board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardPiece {
    /// Index into the cut list.
    pub piece: usize,
    /// Running mark of its left-most point from the left end.
    pub at: Length,
    /// Its length; the long edge where mitred.
    pub length: Length,
    /// How its ends are cut.
    pub ends: Ends,
    /// Whether its long edge lies on the far side.
    pub turned: bool,
}

/// Wood that becomes no piece, as length along the board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Waste {
    /// Eaten by the saw.
    pub kerf: Length,
    /// Triangles where mitres meet square ends.
    pub wedge: Length,
    /// Rough ends.
    pub trim: Length,
    /// Bad stretches.
    pub bad: Length,
    /// Left over.
    pub offcut: Length,
}

impl From<boards::Waste> for Waste {
    fn from(w: boards::Waste) -> Self {
        Self {
            kerf: w.kerf,
            wedge: w.wedge,
            trim: w.trim,
            bad: w.bad,
            offcut: w.offcut,
        }
    }
}

/// The letter of the n-th piece: A … Z, AA, AB, …
#[must_use]
pub fn letter(mut n: usize) -> String {
    let mut letters = Vec::new();
    loop {
        #[expect(clippy::cast_possible_truncation, reason = "below 26")]
        letters.push(b'A' + (n % 26) as u8);
        if n < 26 {
            break;
        }
        n = n / 26 - 1;
    }
    letters.iter().rev().map(|b| char::from(*b)).collect()
}

/// Buys one section: least price, then fewest boards, then the longest offcut.
///
/// # Errors
///
/// Faults at the rack or at the canvas that stands in the way.
pub(crate) fn buy(
    brief: &Brief,
    of: BoardOf,
    pieces: &[CutPiece],
    rest: &Rest,
    waiting: &[FieldRef],
    rows: &[usize],
    (searches, steps): (&mut Searches, u64),
) -> Result<Purchase, Vec<Fault>> {
    let rack: Vec<&Stock> = brief.boards.iter().filter(|s| s.of == of).collect();
    let priced = prices(&rack)?;
    let plan = if rest.counts.iter().all(|n| *n == 0) {
        NOTHING
    } else if rack.is_empty() {
        // Rows that can't be read are said already.
        return Err(if brief.unread.rack(of).is_empty() {
            alloc::vec![nothing_on_the_rack(of)]
        } else {
            Vec::new()
        });
    } else {
        let job = job(brief, of, &rack, pieces, &rest.counts, priced);
        (searches.boards(of, job, steps))
            .map_err(|e| alloc::vec![fault(brief, of, &rack, pieces, rows, &e)])?
    };
    let mut bought = purchase(brief, &rack, pieces, &plan, priced, waiting);
    bought.spent = rest.spent;
    bought.boards.splice(0..0, rest.boards.iter().cloned());
    Ok(bought)
}

/// The plan when everything is cut.
const NOTHING: boards::Plan = boards::Plan {
    cost: Money::ZERO,
    bound: Money::ZERO,
    proven: true,
    boards: Vec::new(),
    buy: Vec::new(),
    never_useful: Vec::new(),
    missing: Vec::new(),
    waste: boards::Waste {
        kerf: Length::ZERO,
        wedge: Length::ZERO,
        trim: Length::ZERO,
        bad: Length::ZERO,
        offcut: Length::ZERO,
    },
    longest_offcut: Length::ZERO,
};

fn nothing_on_the_rack(of: BoardOf) -> Fault {
    Fault {
        at: FieldRef {
            table: Table::Boards,
            row: 0,
            key: "of",
        },
        kind: FaultKind::Conflict {
            what: match of {
                BoardOf::Bars => "The rack has no batten.".into(),
                BoardOf::Bead => "The rack has no bead.".into(),
            },
            remedy: match of {
                BoardOf::Bars => "Add a length of batten.".into(),
                BoardOf::Bead => {
                    "Add a length of bead, or set the front edge to a bevelled batten.".into()
                }
            },
        },
    }
}

/// Whether the rack is priced: all of it, or none.
fn prices(rack: &[&Stock]) -> Result<bool, Vec<Fault>> {
    let with = rack.iter().filter(|s| s.price.is_some()).count();
    if with == 0 || with == rack.len() {
        return Ok(with > 0);
    }
    Err(rack
        .iter()
        .filter(|s| s.price.is_none())
        .map(|s| Fault {
            at: FieldRef {
                table: Table::Boards,
                row: s.row,
                key: "price",
            },
            kind: FaultKind::Missing,
        })
        .collect())
}

pub(crate) fn job(
    brief: &Brief,
    of: BoardOf,
    rack: &[&Stock],
    pieces: &[CutPiece],
    counts: &[u32],
    priced: bool,
) -> boards::Job {
    boards::Job {
        stock: rack
            .iter()
            .map(|s| boards::Stock {
                length: s.length,
                price: match s.price {
                    Some(p) if priced => p,
                    // Without prices the least wood is bought: a board costs its millimetres.
                    _ => Money::from_hundredths(
                        s.length.round_to(Length::MM, Rounding::Up).as_nm() / Length::MM.as_nm(),
                    ),
                },
                limit: s.limit,
                bad: stretches(&s.bad),
                origin: if s.price == Some(Money::ZERO) {
                    boards::Origin::AtHand
                } else {
                    boards::Origin::Bought
                },
            })
            .collect(),
        pieces: self::pieces(brief, of, pieces, counts),
        saw: saw(brief, of, pieces.iter().any(|p| p.ends == Ends::Mitred)),
    }
}

pub(crate) fn stretches(bad: &[(Length, Length)]) -> Vec<boards::Stretch> {
    bad.iter()
        .map(|(from, to)| boards::Stretch {
            from: *from,
            to: *to,
        })
        .collect()
}

/// The pieces of a section for the cutting engine, so many of each.
pub(crate) fn pieces(
    brief: &Brief,
    of: BoardOf,
    pieces: &[CutPiece],
    counts: &[u32],
) -> Vec<boards::Piece> {
    pieces
        .iter()
        .zip(counts)
        .map(|(p, count)| boards::Piece {
            length: p.length,
            count: *count,
            ends: match p.ends {
                Ends::Square => boards::Ends::Square,
                Ends::Mitred => boards::Ends::Mitred,
            },
            turnable: turnable(brief, of),
        })
        .collect()
}

/// A profiled length can't be turned over: bead, and a batten with a bevel.
pub(crate) fn turnable(brief: &Brief, of: BoardOf) -> bool {
    of == BoardOf::Bars && brief.bead.value != crate::brief::Bead::Bevel
}

/// The saw for a section, some of whose pieces are mitred or none.
pub(crate) fn saw(brief: &Brief, of: BoardOf, mitred: bool) -> boards::Saw {
    let kerf = brief.kerf.value;
    let mitre_kerf = kerf.times_sqrt2() + Length::from_nm(1);
    boards::Saw {
        // Where a length can't be turned over, mitred pieces lie tip to tip: either 45° cut takes
        // so much of the edge.
        kerf: if mitred && !turnable(brief, of) {
            mitre_kerf
        } else {
            kerf
        },
        mitre_kerf,
        trim: boards::Trim::PerEnd(brief.trim.value),
        face: match of {
            BoardOf::Bars => brief.bar_face.value,
            BoardOf::Bead => brief.bead_size.value,
        },
        longest: brief.longest.as_ref().map(|l| l.value),
        keep: brief.keep_offcut.value,
    }
}

/// The pieces of a board where they lie.
pub(crate) fn placed(board: &boards::Board, pieces: &[CutPiece]) -> Vec<BoardPiece> {
    board
        .placed
        .iter()
        .map(|p| BoardPiece {
            piece: p.piece,
            at: p.at,
            length: pieces[p.piece].length,
            ends: pieces[p.piece].ends,
            turned: p.turned,
        })
        .collect()
}

/// The offcuts of a board that are worth keeping, longest first.
pub(crate) fn kept(brief: &Brief, board: &boards::Board) -> Vec<Length> {
    let worth = |o: &&Length| **o >= brief.keep_offcut.value;
    board.offcuts.iter().filter(worth).copied().collect()
}

fn purchase(
    brief: &Brief,
    rack: &[&Stock],
    pieces: &[CutPiece],
    plan: &boards::Plan,
    priced: bool,
    waiting: &[FieldRef],
) -> Purchase {
    let lines: Vec<BuyLine> = plan
        .buy
        .iter()
        .map(|(i, count)| BuyLine {
            row: rack[*i].row,
            length: rack[*i].length,
            count: *count,
            cost: rack[*i]
                .price
                .filter(|_| priced)
                .map(|p| p * i64::from(*count)),
        })
        .collect();
    let list = Input {
        name: "cut list, pieces",
        value: pieces
            .iter()
            .map(|p| u64::from(p.count))
            .sum::<u64>()
            .into(),
        origin: Origin::Computed,
        waiting: waiting.to_vec(),
    };
    let total_length = Figure::new(
        lines.iter().map(|l| l.length * i64::from(l.count)).sum(),
        &f::BOARDS,
        alloc::vec![list],
    );
    let cost = priced.then(|| {
        Figure::new(
            lines.iter().filter_map(|l| l.cost).sum(),
            &f::COST,
            alloc::vec![total_length.input("boards")],
        )
    });
    let boards = plan
        .boards
        .iter()
        .map(|b| Board {
            row: rack[b.stock].row,
            length: rack[b.stock].length,
            count: b.count,
            locked: false,
            pieces: placed(b, pieces),
            bad: rack[b.stock].bad.clone(),
            offcuts: kept(brief, b),
            waste: b.waste.into(),
        })
        .collect();
    let short = plan.cost - plan.bound;
    Purchase {
        lines,
        total_length,
        cost,
        proven: plan.proven,
        gap: priced.then_some(short),
        gap_length: (!priced).then(|| Length::from_mm(short.as_hundredths())),
        never_useful: (plan.never_useful.iter())
            .map(|i| rack[*i])
            // What is not there or can't be carried is not told to be of no use.
            .filter(|s| s.limit != Some(0))
            .filter(|s| brief.longest.as_ref().is_none_or(|l| s.length <= l.value))
            .map(|s| (s.row, s.length))
            .collect(),
        spent: None,
        boards,
        waste: plan.waste.into(),
    }
}

/// What a length is of, as the first word of a message.
fn section(of: BoardOf) -> &'static str {
    match of {
        BoardOf::Bars => "Batten",
        BoardOf::Bead => "Bead",
    }
}

/// A cutting error in the maker's words, at the field to change.
fn fault(
    brief: &Brief,
    of: BoardOf,
    rack: &[&Stock],
    pieces: &[CutPiece],
    rows: &[usize],
    error: &boards::Error,
) -> Fault {
    let show = brief.show;
    let canvas_of = |piece: usize| {
        let canvas = pieces
            .get(piece)
            .and_then(|p| p.goes_to.first())
            .map_or(0, |(c, _)| *c);
        FieldRef {
            table: Table::Canvases,
            row: rows.get(canvas).copied().unwrap_or(0),
            key: "width",
        }
    };
    let rack_field = |key| FieldRef {
        table: Table::Boards,
        row: rack.first().map_or(0, |s| s.row),
        key,
    };
    let (at, what, remedy) = match error {
        boards::Error::PieceTooLong { piece, board } => (
            canvas_of(*piece),
            alloc::format!(
                "{} piece {} of {} fits no board on the rack.",
                section(of),
                pieces[*piece].letter,
                show.length(pieces[*piece].length)
            ),
            match &brief.longest {
                Some(longest) if longest.value < *board => alloc::format!(
                    "It takes a board of {}, and the longest you can carry is set to {}.",
                    show.run_up(*board),
                    show.run(longest.value)
                ),
                _ => alloc::format!("A board of {} would do.", show.run_up(*board)),
            },
        ),
        boards::Error::StockRunsOut { missing, .. } => {
            let list: Vec<String> = missing
                .iter()
                .map(|m| {
                    alloc::format!(
                        "{} × {} ({})",
                        m.count,
                        pieces[m.piece].letter,
                        show.length(pieces[m.piece].length)
                    )
                })
                .collect();
            (
                rack_field("limit"),
                alloc::format!("The rack runs out: no place for {}.", list.join(", ")),
                "Raise a limit or add a board.".into(),
            )
        }
        boards::Error::PieceShorterThanItsMitres { piece, least } => (
            canvas_of(*piece),
            alloc::format!(
                "The two mitres of {} piece {} would cross.",
                section(of).to_ascii_lowercase(),
                pieces[*piece].letter
            ),
            alloc::format!(
                "Make it {} or longer.",
                show.length_rounded(*least, Rounding::Up)
            ),
        ),
        boards::Error::BadStretch { stock } => (
            FieldRef {
                table: Table::Boards,
                row: rack.get(*stock).map_or(0, |s| s.row),
                key: "bad",
            },
            "A bad stretch lies outside its board.".into(),
            "Measure it from the board's left end.".into(),
        ),
        other => (
            FieldRef {
                table: Table::Canvases,
                row: 0,
                key: "count",
            },
            "This job is outside what can be planned at once.".into(),
            alloc::format!("{other}."),
        ),
    };
    Fault {
        at,
        kind: FaultKind::Conflict { what, remedy },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(
            [0, 25, 26, 27, 701, 702].map(letter),
            ["A", "Z", "AA", "AB", "ZZ", "AAA"]
        );
    }
}
