//! Boards as they are cut.

use maud::Markup;
use planner::frame::Ends;
use planner::plan::Plan;
use planner::timber::{Board, BoardPiece, CutPiece, Purchase};
use quantity::Length;
use quantity::order::sort;

use super::facts::{bare, unit};
use super::frame::{nothing_yet, spread_evenly};
use super::pen::{Point, rectangle};
use super::sheet::{Anchor, BADGE, EDGE, LINE, Layout, Look, Sheet, TEXT, Try};
use super::text::{Weight, width_of, wrapped};
use crate::buy::offcuts;

/// Height of a board as drawn; its width is not to scale, or no letter would fit.
const HIGH: f64 = 9.0;

/// All boards of the plan, bars first, then bead: each piece nested as it is cut, with its
/// letter, running marks from the left end, bad stretches, and what to keep.
#[must_use]
pub fn boards(plan: &Plan, layout: Layout) -> Markup {
    let mut sheet = Sheet::new(
        layout,
        "Boards as they are cut",
        "Each board to scale in its length, with the pieces from its left end.",
    );
    let all = list(plan);
    if all.is_empty() {
        return nothing_yet(layout, "Boards");
    }
    let longest = longest(&all);
    for (what, pieces, board) in all {
        draw(&mut sheet, plan, what, pieces, board, longest);
    }
    finish(sheet, plan)
}

/// As [`boards`], one drawing for each board (or each set of equal boards), so that paper need
/// not break inside one.
#[must_use]
pub fn boards_each(plan: &Plan) -> Vec<Markup> {
    let all = list(plan);
    let longest = longest(&all);
    all.into_iter()
        .map(|(what, pieces, board)| {
            let mut sheet = Sheet::new(
                Layout::Wide,
                format!("{what} of {}", bare(plan.show, board.length)),
                "The board to scale in its length, with the pieces from its left end.",
            );
            draw(&mut sheet, plan, what, pieces, board, longest);
            sheet.finish()
        })
        .collect()
}

type Listed<'a> = (&'static str, &'a [CutPiece], &'a Board);

fn list(plan: &Plan) -> Vec<Listed<'_>> {
    fn of<'a>(
        what: &'static str,
        pieces: &'a [CutPiece],
        bought: Option<&'a Purchase>,
    ) -> impl Iterator<Item = Listed<'a>> {
        let boards = bought.into_iter().flat_map(|p| &p.boards);
        boards.map(move |b| (what, pieces, b))
    }
    of("Batten", &plan.cut_list, plan.boards.as_ref())
        .chain(of("Bead", &plan.bead_list, plan.bead.as_ref()))
        .collect()
}

fn longest(all: &[Listed<'_>]) -> f64 {
    all.iter()
        .map(|(_, _, b)| b.length.to_mm())
        .fold(1.0, f64::max)
}

fn finish(mut sheet: Sheet, plan: &Plan) -> Markup {
    sheet.note(
        None,
        format!(
            "All in {}. Lengths to scale, widths not. Marks run from the left end to the right tip of each piece, on its long edge. Hatched: waste.",
            unit(plan.show)
        ),
    );
    sheet.finish()
}

fn draw(
    sheet: &mut Sheet,
    plan: &Plan,
    what: &str,
    pieces: &[CutPiece],
    board: &Board,
    longest: f64,
) {
    let show = plan.show;
    let scale = (sheet.width() - 2.0 * EDGE) / longest;
    let u = |x: Length| EDGE + x.to_mm() * scale;
    let mut caption = format!("{what}, {} × {}", board.count, bare(show, board.length));
    if board.locked {
        caption.push_str(", already cut");
    }
    if !board.bad.is_empty() {
        let stretch = |(from, to): &(Length, Length)| {
            format!("bad from {} to {}", bare(show, *from), bare(show, *to))
        };
        let all: Vec<String> = board.bad.iter().map(stretch).collect();
        caption.push_str(&format!(", {}", all.join(", ")));
    }
    if let Some(kept) = offcuts(&board.offcuts, |x| bare(show, x)) {
        caption.push_str(&format!(": keep {kept}"));
    }
    let mut y = sheet.bottom() + 9.0;
    for line in wrapped(&caption, TEXT, sheet.width() - 2.0 * EDGE) {
        sheet.text(&line, (EDGE, y), Anchor::Start);
        y += LINE;
    }
    let outlines = outlines(board, pieces, plan.brief.bead_size.value, &u);
    // Where letters can't stand side by side on the board, there is a row above it for some.
    let middles: Vec<f64> = outlines.iter().map(Outline::middle).collect();
    let is_tight = middles.windows(2).any(|m| m[1] - m[0] < 2.0 * BADGE + 1.0);
    let top = if is_tight { y + 2.0 * BADGE + 1.0 } else { y };
    sheet.area(
        &rectangle((u(Length::ZERO), top), (u(board.length), top + HIGH)),
        Look::Edge,
    );
    leftovers(sheet, board, &outlines, &u, top);
    for (from, to) in &board.bad {
        let bad = rectangle((u(*from), top), (u(*to), top + HIGH));
        sheet.hatched(&bad, 1.1);
        sheet.area(&bad, Look::Hidden);
    }
    let mut letters: Vec<(String, f64)> = Vec::new();
    for (placed, outline) in board.pieces.iter().zip(&outlines) {
        let (far, near) = (outline.far, outline.near);
        sheet.area(
            &[
                (far.0, top),
                (far.1, top),
                (near.1, top + HIGH),
                (near.0, top + HIGH),
            ],
            Look::Wood,
        );
        if let Some(piece) = pieces.get(placed.piece) {
            letters.push((piece.letter.clone(), outline.middle()));
        }
    }
    letter_row(sheet, &letters, top);
    marks(sheet, plan, board, &u, top);
}

/// A piece's ends on the board's far and near edge, as drawn.
struct Outline {
    far: (f64, f64),
    near: (f64, f64),
}

impl Outline {
    fn middle(&self) -> f64 {
        f64::midpoint(self.far.0.min(self.near.0), self.far.1.max(self.near.1))
    }
}

fn outlines(
    board: &Board,
    pieces: &[CutPiece],
    bead: Length,
    u: &impl Fn(Length) -> f64,
) -> Vec<Outline> {
    let of = |placed: &BoardPiece| {
        let (l, r) = (u(placed.at), u(placed.at + placed.length));
        let short = pieces.get(placed.piece).and_then(|p| p.short_edge);
        // A mitre takes off the batten's width; what the plan gives as short edge says how much.
        let slope = match (placed.ends, short) {
            (Ends::Square, _) => 0.0,
            (Ends::Mitred, Some(short)) => (r - u(placed.at + short)) / 2.0,
            // A quarter-round bead is as wide as it is high.
            (Ends::Mitred, None) => (u(placed.at + bead) - l).min((r - l) / 2.0),
        };
        let (long, short) = ((l, r), (l + slope, r - slope));
        if placed.turned {
            Outline {
                far: long,
                near: short,
            }
        } else {
            Outline {
                far: short,
                near: long,
            }
        }
    };
    board.pieces.iter().map(of).collect()
}

/// What is no piece: waste is hatched, the offcuts worth keeping are left plain.
fn leftovers(
    sheet: &mut Sheet,
    board: &Board,
    outlines: &[Outline],
    u: &impl Fn(Length) -> f64,
    top: f64,
) {
    // Between the right ends of one piece and the left ends of the next.
    let (start, end) = (u(Length::ZERO), u(board.length));
    let rights = [(start, start)].into_iter();
    let rights = rights.chain(outlines.iter().map(|o| (o.far.1, o.near.1)));
    let lefts = outlines.iter().map(|o| (o.far.0, o.near.0));
    let mut gaps: Vec<((f64, f64), (f64, f64))> = Vec::new();
    for (mut left, right) in rights.zip(lefts.chain([(end, end)])) {
        // A bad stretch parts what lies on its left from what lies on its right.
        for (from, to) in &board.bad {
            let (from, to) = (u(*from), u(*to));
            if to > left.0.max(left.1) && from < right.0.min(right.1) {
                gaps.push((left, (from, from)));
                left = (to, to);
            }
        }
        gaps.push((left, right));
    }
    // The shortest gap that holds an offcut is the offcut: kerf and trim go off it.
    let length = |(a, b): &((f64, f64), (f64, f64))| b.0.min(b.1) - a.0.max(a.1);
    let mut kept: Vec<usize> = Vec::new();
    for offcut in board.offcuts.iter().map(|x| u(*x) - start) {
        let holds = gaps
            .iter()
            .enumerate()
            .filter(|(i, g)| !kept.contains(i) && length(g) >= offcut - 0.01)
            .min_by(|(_, g), (_, h)| length(g).total_cmp(&length(h)));
        kept.extend(holds.map(|(i, _)| i));
    }
    for (i, (a, b)) in gaps.into_iter().enumerate() {
        if kept.contains(&i) {
            let (from, to) = (a.0.max(a.1), b.0.min(b.1));
            if to - from > width_of("keep", TEXT, Weight::Plain) + 1.0 {
                let middle = f64::midpoint(from, to);
                sheet.text("keep", (middle, top + HIGH / 2.0), Anchor::Middle);
            }
        } else {
            let low = top + HIGH;
            sheet.hatched(&[(a.0, top), (b.0, top), (b.1, low), (a.1, low)], 1.6);
        }
    }
}

/// Letters on their pieces; where they would touch, every other one stands above the board.
fn letter_row(sheet: &mut Sheet, letters: &[(String, f64)], top: f64) {
    for (letter, x) in letters {
        let mut tries = vec![Try::new((*x, top + HIGH / 2.0), Anchor::Middle)];
        for aside in [0.0, 3.0, -3.0, 7.0, -7.0, 11.0, -11.0, 16.0, -16.0] {
            let at = (x + aside, top - BADGE - 1.0);
            let foot = (at.0, at.1 + BADGE);
            tries.push(Try::led(at, Anchor::Middle, [foot, (*x, top + 1.5)]));
        }
        // What finds no place even there is in the list of marks below.
        sheet.place_badge(letter, &tries);
    }
}

/// The running marks: below the board where they fit in one row, else as a list.
fn marks(sheet: &mut Sheet, plan: &Plan, board: &Board, u: &impl Fn(Length) -> f64, top: f64) {
    let show = plan.show;
    let mut at: Vec<Length> = board.pieces.iter().map(|p| p.at + p.length).collect();
    at.extend(
        (0..board.pieces.len())
            .filter(|i| begins_anew(board, *i))
            .map(|i| board.pieces[i].at),
    );
    sort(&mut at);
    at.dedup();
    let texts: Vec<String> = at.iter().map(|x| bare(show, *x)).collect();
    let widest = texts
        .iter()
        .map(|t| width_of(t, TEXT, Weight::Plain))
        .fold(0.0, f64::max);
    let room = (EDGE + widest / 2.0, sheet.width() - EDGE - widest / 2.0);
    let gap = widest + 2.0;
    let low = top + HIGH;
    let rows = if gap * (texts.len().max(1) - 1) as f64 <= room.1 - room.0 {
        1
    } else {
        0
    };
    let wanted: Vec<f64> = at.iter().map(|x| u(*x)).collect();
    if rows == 1 {
        let places = spread_evenly(&wanted, gap, room);
        for ((text, from), to) in texts.iter().zip(&wanted).zip(places) {
            let points: [Point; 3] = [(*from, low), (*from, low + 1.2), (to, low + 4.0)];
            sheet.line(&points, Look::Leader);
            sheet.text(text, (to, low + 7.0), Anchor::Middle);
        }
        return;
    }
    for x in &wanted {
        sheet.line(&[(*x, low), (*x, low + 1.5)], Look::Leader);
    }
    let pieces = plan_pieces(plan, board);
    let list: Vec<String> = board
        .pieces
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let letter = pieces.get(p.piece).map_or("", |c| c.letter.as_str());
            let end = bare(show, p.at + p.length);
            match begins_anew(board, i) && i > 0 {
                true => format!("from {}: {letter} {end}", bare(show, p.at)),
                false => format!("{letter} {end}"),
            }
        })
        .collect();
    let start = board.pieces.first().map_or(Length::ZERO, |p| p.at);
    let text = format!("Marks: {}, {}", bare(show, start), list.join(", "));
    let mut y = low + 5.0;
    for line in wrapped(&text, TEXT, sheet.width() - 2.0 * EDGE) {
        sheet.text(&line, (EDGE, y), Anchor::Start);
        y += LINE;
    }
}

/// Whether a piece begins a run: the first one, and those right of a bad stretch.
fn begins_anew(board: &Board, piece: usize) -> bool {
    let at = |i: usize| board.pieces.get(i).map(|p| p.at);
    let Some((before, here)) = piece.checked_sub(1).and_then(at).zip(at(piece)) else {
        return true;
    };
    board
        .bad
        .iter()
        .any(|(from, _)| (before..here).contains(from))
}

fn plan_pieces<'a>(plan: &'a Plan, board: &Board) -> &'a [CutPiece] {
    let is_bead = plan
        .bead
        .as_ref()
        .is_some_and(|p| p.boards.iter().any(|b| std::ptr::eq(b, board)));
    if is_bead {
        &plan.bead_list
    } else {
        &plan.cut_list
    }
}
