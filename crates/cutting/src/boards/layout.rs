//! From patterns to marks: where every piece lies and where the rest goes.

use alloc::vec::Vec;

use quantity::Length;

use super::job::{Ends, Job, Trim};
use super::model::{Model, Pattern};
use super::plan::{Board, Placed, Waste};
use quantity::order::sort_by;

/// Lays all boards out; returns them with what each item still lacks.
pub(super) fn lay_out(
    job: &Job,
    model: &Model,
    patterns: &[(Pattern, u32)],
) -> (Vec<Board>, Vec<u32>) {
    // Pieces of each item still to be handed out, taken from the end.
    let mut pools: Vec<Vec<(usize, u32)>> = model
        .pieces_of
        .iter()
        .map(|pieces| pieces.iter().rev().copied().collect())
        .collect();
    let mut boards: Vec<Board> = Vec::new();
    for (pattern, count) in patterns {
        let bin = &model.bins[usize::from(pattern.bin)];
        let Some(stock) = bin.stock else { continue };
        for _ in 0..*count {
            let board = lay_board(job, model, pattern, stock, &mut pools);
            let is_same = |b: &&mut Board| b.stock == board.stock && b.placed == board.placed;
            match boards.iter_mut().rev().find(is_same) {
                Some(same) => same.count += 1,
                None => boards.push(board),
            }
        }
    }
    let left = pools
        .iter()
        .map(|pool| pool.iter().map(|p| p.1).sum())
        .collect();
    (boards, left)
}

/// Takes one piece of an item out of its pool.
fn take(pool: &mut Vec<(usize, u32)>) -> Option<usize> {
    let last = pool.last_mut()?;
    let piece = last.0;
    last.1 -= 1;
    if last.1 == 0 {
        pool.pop();
    }
    Some(piece)
}

/// One board: per run the nested pieces heel to toe, then the others.
fn lay_board(
    job: &Job,
    model: &Model,
    pattern: &Pattern,
    stock: usize,
    pools: &mut [Vec<(usize, u32)>],
) -> Board {
    let saw = &job.saw;
    let bin = &model.bins[usize::from(pattern.bin)];
    let length = job.stock[stock].length;
    let mut waste = Waste::default();
    let mut placed: Vec<Placed> = Vec::new();
    let mut offcuts: Vec<Length> = Vec::new();
    let mut wood = Length::ZERO;
    for (run, &(from, to)) in bin.spans.iter().enumerate() {
        let mut at = from;
        let mut before: Option<bool> = None;
        let mut turned = false;
        for nested in [true, false] {
            let cells = pattern.cells.iter().filter(|c| {
                usize::from(c.run) == run && model.items[usize::from(c.item)].nested == nested
            });
            for cell in cells {
                for _ in 0..cell.count {
                    let Some(piece) = take(&mut pools[usize::from(cell.item)]) else {
                        continue;
                    };
                    let asked = &job.pieces[piece];
                    let slant = if asked.ends == Ends::Mitred {
                        saw.face
                    } else {
                        Length::ZERO
                    };
                    match before {
                        None => {}
                        Some(true) if nested => {
                            waste.kerf += saw.mitre_kerf;
                            at += saw.mitre_kerf - saw.face;
                            turned = !turned;
                        }
                        Some(_) => {
                            waste.kerf += saw.kerf;
                            at += saw.kerf;
                        }
                    }
                    // A nested run loses one wedge in all, a piece that can't nest its own.
                    if !(nested && before == Some(true)) {
                        waste.wedge += slant;
                    }
                    placed.push(Placed {
                        piece,
                        at,
                        turned: nested && turned,
                    });
                    wood += asked.length - slant;
                    at += asked.length;
                    before = Some(nested);
                }
            }
        }
        let left = to - at;
        if before.is_none() {
            offcuts.push(left);
        } else if left > saw.kerf {
            waste.kerf += saw.kerf;
            offcuts.push(left - saw.kerf);
        } else {
            waste.kerf += left;
        }
    }
    waste.offcut = offcuts.iter().copied().sum();
    waste.trim = match saw.trim {
        Trim::PerEnd(t) => t * 2,
        Trim::Once(t) => t,
    };
    // Stretches between the runs, and runs too short for any piece.
    waste.bad = length - wood - waste.kerf - waste.wedge - waste.trim - waste.offcut;
    sort_by(&mut offcuts, |a, b| a > b);
    offcuts.retain(|&o| o > Length::ZERO);
    let longest_offcut = offcuts.first().copied().unwrap_or(Length::ZERO);
    Board {
        stock,
        count: 1,
        placed,
        waste,
        offcuts,
        longest_offcut,
    }
}
