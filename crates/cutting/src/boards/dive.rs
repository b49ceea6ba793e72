//! From a fractional filling of a list to a whole one: patterns used at least once are cut, then
//! the most nearly whole one; when even fractions of the rest can't be filled any more, the latest
//! choice is taken back and another one made.

use alloc::vec::Vec;

use super::grid::Grid;
use super::knapsack::Knapsack;
use super::model::{Model, Pattern};
use super::pack::Dice;
use super::relax::{Rack, Relaxation, Standing};
use quantity::order::sort_by;

/// A dive on its way down.
#[derive(Clone, Debug)]
pub(super) struct Dive {
    relaxation: Relaxation,
    /// Boards cut so far.
    fixed: Vec<(Pattern, u32)>,
    /// Places to return to, the latest last.
    ledges: Vec<Ledge>,
    /// How often it may still turn back.
    patience: u32,
    /// The choices refused at the present place.
    refused: Vec<Pattern>,
    /// The furthest that was reached: boards cut there.
    pub(super) deepest: Vec<(Pattern, u32)>,
    dice: Dice,
    /// How far from the most nearly whole choice this dive may stray, in percent.
    stray: usize,
}

/// A place before a doubtful choice.
#[derive(Clone, Debug)]
struct Ledge {
    relaxation: Relaxation,
    fixed: usize,
    refused: Vec<Pattern>,
}

/// Where a dive stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Depth {
    /// Further down it goes.
    Diving,
    /// Even fractions can't fill the whole list: it is impossible.
    NoBottom,
    /// It ended; the boards cut are in `deepest`.
    Bottom,
}

/// Ledges kept at a time.
const LEDGES: usize = 6;
/// Choices at one place before turning further back.
const CHOICES: usize = 3;

impl Dive {
    /// A dive into a list of boards.
    pub(super) fn new(
        model: &Model,
        list: &[u32],
        known: &[Pattern],
        seed: u64,
        patience: u32,
    ) -> Self {
        let rack = Rack::Listed(list.to_vec());
        Self {
            relaxation: Relaxation::new(model, model.demand(), rack, known),
            fixed: Vec::new(),
            ledges: Vec::new(),
            patience,
            refused: Vec::new(),
            deepest: Vec::new(),
            dice: Dice::new(seed),
            stray: if seed == 0 { 0 } else { 40 },
        }
    }

    /// The programme at the present depth.
    pub(super) const fn relaxation(&mut self) -> &mut Relaxation {
        &mut self.relaxation
    }

    /// One round; returns the work done.
    pub(super) fn advance(
        &mut self,
        model: &Model,
        grids: &[Grid],
        knapsack: &mut Knapsack,
    ) -> (Depth, u64) {
        if !self.relaxation.is_covered() {
            let (standing, work) = self.relaxation.advance(model, grids, knapsack);
            if standing != Standing::Optimal || self.relaxation.is_covered() {
                return (Depth::Diving, work);
            }
            if self.fixed.is_empty() {
                return (Depth::NoBottom, work);
            }
            return (self.turn_back(), work);
        }
        let mut uses = self.relaxation.master.solution();
        let whole: Vec<(usize, u32)> = uses
            .iter()
            .map(|&(column, x)| (column, (x + 1e-6) as u32))
            .filter(|&(_, n)| n > 0)
            .collect();
        let mut taken = self.relaxation.take(&whole);
        if taken.is_empty() {
            for (_, x) in &mut uses {
                *x += self.dice.below(self.stray + 1) as f64 / 100.0;
            }
            sort_by(&mut uses, |a, b| a.1 > b.1);
            uses.retain(|&(column, _)| {
                self.relaxation
                    .master
                    .pattern(column)
                    .is_some_and(|p| !self.refused.contains(p))
            });
            // One board, or several of a large list at once.
            let boards = uses.len() / 12 + 1;
            let choice: Vec<(usize, u32)> = uses.iter().take(boards).map(|u| (u.0, 1)).collect();
            let before = self.relaxation.clone();
            taken = self.relaxation.take(&choice);
            if let Some(first) = taken.first() {
                let mut refused = core::mem::take(&mut self.refused);
                refused.push(first.0.clone());
                if self.ledges.len() == LEDGES {
                    self.ledges.remove(0);
                }
                self.ledges.push(Ledge {
                    relaxation: before,
                    fixed: self.fixed.len(),
                    refused,
                });
            }
        }
        if taken.is_empty() {
            return (self.turn_back(), 1000);
        }
        self.fixed.append(&mut taken);
        if boards(&self.fixed) > boards(&self.deepest) {
            self.deepest.clone_from(&self.fixed);
        }
        if self.relaxation.left.iter().all(|&n| n == 0) {
            return (Depth::Bottom, 1000);
        }
        (Depth::Diving, 1000 + self.relaxation.mend())
    }

    /// Takes the latest choice back; where too many have failed, the one before it too.
    fn turn_back(&mut self) -> Depth {
        if self.patience == 0 {
            return Depth::Bottom;
        }
        self.patience -= 1;
        while let Some(ledge) = self.ledges.pop() {
            if ledge.refused.len() > CHOICES {
                continue;
            }
            self.relaxation = ledge.relaxation;
            self.fixed.truncate(ledge.fixed);
            self.refused = ledge.refused;
            return Depth::Diving;
        }
        Depth::Bottom
    }
}

fn boards(fixed: &[(Pattern, u32)]) -> u32 {
    fixed.iter().map(|f| f.1).sum()
}
