//! What each person gets: pieces with the boards they come from, and the amounts for the bench.
//!
//! Equal pieces are interchangeable, so somebody must say whose is whose: boards are numbered in
//! the order of the cutting list, and each piece goes to the first row that still lacks it.

use alloc::string::String;
use alloc::vec::Vec;

use quantity::physics::{Area, Mass, Volume};

use crate::brief::BoardOf;
use crate::figure::Figure;
use crate::formulas as f;
use crate::frame::Ends;
use crate::plan::{CanvasPlan, Plan};
use crate::timber::{CutPiece, Purchase};

/// Everything handed out.
#[derive(Clone, Debug, PartialEq)]
pub struct HandedOut {
    /// One kit for each row, in the order of the plan.
    pub kits: Vec<Kit>,
    /// The boards, numbered from 1 for each section, with whose each piece is.
    pub boards: Vec<MarkedBoard>,
}

/// What the canvases of one row get.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    /// Pieces of batten and bead.
    pub pieces: Vec<KitPiece>,
    /// Staples with temporary ones and spares, for all canvases of the row.
    pub staples: Option<Figure<u64>>,
    /// Wood glue for all of them.
    pub wood_glue: Option<Figure<Mass>>,
    /// Liquid size, glue size or ready size, for all coats.
    pub size: Option<Figure<Volume>>,
    /// Liquid ground for all coats.
    pub ground: Option<Figure<Volume>>,
}

/// Equal pieces of a kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitPiece {
    /// What it is a length of.
    pub of: BoardOf,
    /// Index into the cut list of its section.
    pub piece: usize,
    /// Name of the part.
    pub part: String,
    /// How many.
    pub count: u32,
    /// So many come from the board of this number.
    pub from: Vec<(u32, u32)>,
}

/// A single board with whose its pieces are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkedBoard {
    /// What it is a length of.
    pub of: BoardOf,
    /// Its number, from 1 in its section.
    pub number: u32,
    /// Index into the boards of its purchase.
    pub board: usize,
    /// For each piece from its left end: index into the cut list, and index of the canvas that
    /// gets it.
    pub pieces: Vec<(usize, usize)>,
}

/// Hands the pieces of a plan out to its rows.
///
/// ```
/// use planner::{Draft, kit::hand_out, plan};
/// let tree = serde_json::from_str(r#"{"bead":"none","canvases":[
///     {"width":"600","height":"500"},{"width":"600","height":"500"}]}"#).unwrap();
/// let all = hand_out(&plan(&Draft::from_tree(&tree).0));
/// // Four bars each, and each of them from some board.
/// for kit in &all.kits {
///     assert_eq!(kit.pieces.iter().map(|p| p.count).sum::<u32>(), 4);
///     assert!(kit.pieces.iter().all(|p| p.from.iter().map(|(_, n)| n).sum::<u32>() == p.count));
/// }
/// ```
#[must_use]
pub fn hand_out(plan: &Plan) -> HandedOut {
    let coated = || plan.canvases.iter().filter_map(all_of_area);
    let area = coated().fold(Area::ZERO, |sum, a| sum + a);
    let mut kits: Vec<Kit> = plan
        .canvases
        .iter()
        .map(|c| Kit {
            pieces: pieces(plan, c),
            staples: c.staples.as_ref().map(|s| {
                Figure::new(
                    s.total.value * u64::from(c.count),
                    &f::TOTAL,
                    alloc::vec![s.total.input("each of one canvas")],
                )
            }),
            wood_glue: c.fasteners.as_ref().map(|x| {
                Figure::new(
                    x.wood_glue.value * f64::from(c.count),
                    &f::TOTAL,
                    alloc::vec![x.wood_glue.input("each of one canvas")],
                )
            }),
            size: by_area(size(plan), c, area),
            ground: by_area(plan.ground.as_ref().map(|g| &g.volume), c, area),
        })
        .collect();
    let mut boards = Vec::new();
    for (of, bought) in [(BoardOf::Bars, &plan.boards), (BoardOf::Bead, &plan.bead)] {
        if let Some(bought) = bought {
            mark(of, bought, &mut kits, &mut boards);
        }
    }
    HandedOut { kits, boards }
}

fn size(plan: &Plan) -> Option<&Figure<Volume>> {
    let glue = plan.size.as_ref().map(|s| &s.volume);
    glue.or_else(|| plan.ready_size.as_ref().map(|s| &s.volume))
}

fn all_of_area(c: &CanvasPlan) -> Option<Area> {
    let area = c.area.as_ref()?;
    Some(area.value * f64::from(c.count))
}

/// The part of an amount that goes on the canvases of a row.
fn by_area(all: Option<&Figure<Volume>>, c: &CanvasPlan, area: Area) -> Option<Figure<Volume>> {
    let (all, own) = (all?, all_of_area(c)?);
    let share = own / area;
    Some(Figure::new(
        all.value * share,
        &f::SHARE_AMOUNT,
        alloc::vec![
            all.input("for all canvases"),
            c.area.as_ref()?.input("area of one canvas")
        ],
    ))
}

/// A row's pieces, before it is known which board they come from.
fn pieces(plan: &Plan, c: &CanvasPlan) -> Vec<KitPiece> {
    let mut all = Vec::new();
    let mut add = |of, list: &[CutPiece], length, ends, part: &str, count| {
        let found = list
            .iter()
            .position(|p| p.length == length && p.ends == ends);
        if let Some(piece) = found {
            all.push(KitPiece {
                of,
                piece,
                part: part.into(),
                count,
                from: Vec::new(),
            });
        }
    };
    for m in c.frame.iter().flat_map(|f| &f.members) {
        let count = m.count * c.count;
        add(
            BoardOf::Bars,
            &plan.cut_list,
            m.as_sawn.value,
            m.ends,
            m.part.name(),
            count,
        );
    }
    for (bead, part) in (c.bead.iter().flatten()).zip(["top and bottom bead", "side bead"]) {
        add(
            BoardOf::Bead,
            &plan.bead_list,
            bead.value,
            Ends::Mitred,
            part,
            2 * c.count,
        );
    }
    all
}

/// Numbers the boards of a section and gives each piece to the first row that still lacks it.
fn mark(of: BoardOf, bought: &Purchase, kits: &mut [Kit], boards: &mut Vec<MarkedBoard>) {
    let mut number = 0;
    for (board, as_cut) in bought.boards.iter().enumerate() {
        for _ in 0..as_cut.count {
            number += 1;
            let mut pieces = Vec::new();
            for placed in &as_cut.pieces {
                if let Some(canvas) = give(of, placed.piece, number, kits) {
                    pieces.push((placed.piece, canvas));
                }
            }
            boards.push(MarkedBoard {
                of,
                number,
                board,
                pieces,
            });
        }
    }
}

fn give(of: BoardOf, piece: usize, number: u32, kits: &mut [Kit]) -> Option<usize> {
    let lacks = |p: &KitPiece| {
        (p.of, p.piece) == (of, piece) && p.from.iter().map(|(_, n)| n).sum::<u32>() < p.count
    };
    let canvas = kits.iter().position(|k| k.pieces.iter().any(lacks))?;
    let wanted = kits[canvas].pieces.iter_mut().find(|p| lacks(p))?;
    match wanted.from.last_mut() {
        Some((n, count)) if *n == number => *count += 1,
        _ => wanted.from.push((number, 1)),
    }
    Some(canvas)
}
