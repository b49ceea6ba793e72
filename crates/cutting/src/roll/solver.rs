//! The search, step by step.

use alloc::boxed::Box;
use alloc::vec::Vec;

use quantity::Money;

use super::bound;
use super::fill;
use super::improve::{Layer, Search, best_shares, kinds};
use super::job::{Error, Job};
use super::model::{Model, Score, Strip};
use super::plan::{Plan, lay_out};
use super::random::Random;
use super::table::{Room, Table, divisions};
use super::tree::{Arena, Block};

/// An amount of work. One step is about a thousand elementary operations, a few microseconds on
/// a desktop; the same steps always give the same plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Steps(pub u64);

/// Elementary operations in a step.
const OPERATIONS: u64 = 1_000;
/// Most divisions of subsets for the exact method (our choice: well under a second; enough for 16
/// different blanks off one roll).
const MOST_DIVISIONS: u64 = 25_000_000;
/// The same, times the number of rolls, where there are several and all cost something (our
/// choice, as above; 14 different blanks off three rolls).
const MOST_ON_ROLLS: u64 = 8_000_000;
/// The same where a roll is for nothing, so that prices leave nothing out.
const MOST_UNPRICED: u64 = 1_000_000;
/// Most divisions for the exact method to go first.
const AT_ONCE: u64 = 50_000;
/// Most rectangles the exact method may keep: about 50 MB.
const MOST_ENTRIES: usize = 3_000_000;
/// Operations of search for each division of a long exact run, before it, so that it can leave
/// out more.
const SEARCH_FIRST: u64 = 2;

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Cost of the best plan so far.
    pub cost: Money,
    /// No plan can cost less.
    pub bound: Money,
    /// Nothing is left to do: the plan is proven.
    pub done: bool,
}

/// A search that can be stopped and continued.
#[derive(Clone, Debug)]
pub struct Solver {
    model: Model,
    search: Search,
    bound: Score,
    phase: Phase,
    /// Operations of search so far.
    searched: u64,
    /// The share of it spent on greedy plans.
    refilled: u64,
    random: Random,
    /// Blocks of one blank, per shape.
    single: Vec<Block>,
}

#[derive(Clone, Debug)]
enum Phase {
    /// Improve the plan; after so much of it comes the exact method if it is within reach.
    Search { exact_after: Option<u64> },
    /// The exact method over all blanks, with its rolls.
    Exact(Box<Table>, Vec<usize>),
    /// Proven.
    Done,
}

/// The best plan that so many steps find.
///
/// # Errors
/// See [`Error`]; in particular [`Error::NotEnoughCloth`] if the best plan found needs more than
/// the rolls hold.
pub fn solve(job: &Job, steps: Steps) -> Result<Plan, Error> {
    let mut solver = Solver::new(job)?;
    solver.step(steps);
    solver.outcome()
}

impl Solver {
    /// Checks the job and makes a first plan.
    ///
    /// # Errors
    /// Any [`Error`] but [`Error::NotEnoughCloth`].
    pub fn new(job: &Job) -> Result<Self, Error> {
        let model = Model::new(job)?;
        let mut arena = Arena::default();
        let single: Vec<Block> = (0_u32..)
            .zip(&model.shapes)
            .map(|(i, s)| arena.blank(i, s.size, s.turnable))
            .collect();
        let mut random = Random::new(1);
        let search = first(&model, arena, &single, &mut random);
        let counts = model.shapes.iter().map(|s| s.blanks.len());
        let work = divisions(counts).saturating_mul(model.strips.len() as u64);
        let for_nothing = |s: &Strip| s.price <= Money::ZERO;
        let most = match &model.strips[..] {
            [_] => MOST_DIVISIONS,
            strips if strips.iter().any(for_nothing) => MOST_UNPRICED,
            _ => MOST_ON_ROLLS,
        };
        let mut solver = Self {
            bound: bound::plan(&model),
            search,
            phase: Phase::Search {
                exact_after: (work <= most).then(|| work * SEARCH_FIRST),
            },
            searched: 0,
            refilled: 0,
            random,
            single,
            model,
        };
        if work <= AT_ONCE {
            solver.begin_exact();
        }
        solver.settle();
        Ok(solver)
    }

    /// Works on for so many steps.
    pub fn step(&mut self, steps: Steps) -> Progress {
        let mut operations = steps.0.saturating_mul(OPERATIONS);
        while operations > 0 {
            match &mut self.phase {
                Phase::Done => break,
                Phase::Exact(table, _) => {
                    let complete = table.advance(&mut operations);
                    if table.entries() > MOST_ENTRIES {
                        self.phase = Phase::Search { exact_after: None };
                    } else if complete {
                        self.end_exact();
                    }
                }
                Phase::Search { exact_after } => {
                    let exact_now = exact_after.is_some_and(|after| self.searched >= after);
                    let before = operations;
                    if exact_now {
                        self.begin_exact();
                    } else {
                        // Even an attempt that finds nothing to do costs something.
                        operations = operations.saturating_sub(100);
                        if self.refilled <= self.searched / 2 {
                            self.refill(&mut operations);
                            self.refilled += before - operations;
                        } else {
                            self.search.attempt(&self.model, &mut operations);
                        }
                        self.searched += before - operations;
                        self.settle();
                    }
                }
            }
        }
        self.progress()
    }

    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Plan {
        lay_out(
            &self.model,
            &self.search.arena,
            &self.search.layers,
            self.bound,
        )
    }

    /// The best plan so far, if the rolls hold all blanks.
    ///
    /// # Errors
    /// [`Error::NotEnoughCloth`].
    pub fn outcome(&self) -> Result<Plan, Error> {
        let plan = self.best();
        if plan.missing > quantity::Length::ZERO {
            return Err(Error::NotEnoughCloth {
                missing: plan.missing,
                proven: self.bound.missing > quantity::Length::ZERO,
            });
        }
        Ok(plan)
    }

    fn progress(&self) -> Progress {
        let score = self.search.score(&self.model);
        Progress {
            cost: score.cost,
            bound: self.bound.cost,
            done: matches!(self.phase, Phase::Done),
        }
    }

    /// Done when plan and bound meet.
    fn settle(&mut self) {
        if self.search.score(&self.model) == self.bound {
            self.phase = Phase::Done;
        }
    }

    /// Another greedy plan with a shaken order, kept if it is better.
    fn refill(&mut self, operations: &mut u64) {
        // One roll, or all of them at once.
        let n = self.model.strips.len();
        let all: Vec<usize> = (0..n).collect();
        let one = [self.random.below(n)];
        let rolls = if self.random.below(4) == 0 {
            &one
        } else {
            &all[..]
        };
        let shake = 1 << self.random.below(7);
        let mut arena = Arena::default();
        for (i, s) in (0_u32..).zip(&self.model.shapes) {
            arena.blank(i, s.size, s.turnable);
        }
        let mut work = 0;
        let filled = fill::fill(
            &self.model,
            rolls,
            &mut arena,
            &self.single,
            shake,
            &mut self.random,
            &mut work,
        );
        *operations = operations.saturating_sub(work);
        let Some(layers) = filled else { return };
        let search = Search::new(&self.model, arena, layers, self.random.next());
        if search.score(&self.model) < self.search.score(&self.model) {
            self.search = search;
        }
    }

    fn begin_exact(&mut self) {
        let rolls: Vec<usize> = (0..self.model.strips.len()).collect();
        let blocks: Vec<Block> = self
            .model
            .shapes
            .iter()
            .zip(&self.single)
            .flat_map(|(s, &b)| core::iter::repeat_n(b, s.blanks.len()))
            .collect();
        let width = self.model.widest();
        let area: i128 = blocks.iter().map(|&b| self.search.arena.used(b)).sum();
        let room = if rolls.len() == 1 {
            // Only what is shorter than the plan at hand is of interest.
            let height = self.search.height() - 1;
            Room {
                width,
                height,
                spare: Some(i128::from(width) * i128::from(height) - area),
            }
        } else {
            Room {
                width,
                height: i64::MAX / 4,
                spare: None,
            }
        };
        let worth = bound::Worth::new(&self.model, self.search.score(&self.model));
        let table = Table::new(kinds(&self.search.arena, &blocks), room, worth);
        self.phase = Phase::Exact(Box::new(table), rolls);
    }

    /// Takes the best plan of the complete table: nothing is better.
    fn end_exact(&mut self) {
        let Phase::Exact(table, rolls) = core::mem::replace(&mut self.phase, Phase::Done) else {
            return;
        };
        let base = alloc::vec![0; self.model.strips.len()];
        if let Some((score, shares)) = best_shares(&self.model, &table, &rolls, &base)
            && score < self.search.score(&self.model)
        {
            let mut given = alloc::vec![0; table.kinds()];
            let mut layers = Vec::new();
            for (roll, set, size) in shares {
                let arena = &mut self.search.arena;
                if let Some(block) = table.build(set, size, arena, &mut given, &mut self.random) {
                    let mut blocks = Vec::new();
                    arena.layers_of(block, &mut blocks);
                    layers.extend(blocks.into_iter().map(|block| Layer { roll, block }));
                }
            }
            self.search.replace(&self.model, layers);
        }
        self.bound = self.search.score(&self.model);
    }
}

/// The best plan of greedy layers, on a single roll or on all of them.
fn first(model: &Model, arena: Arena, single: &[Block], random: &mut Random) -> Search {
    let mut best: Option<Search> = None;
    let mut work = 0;
    let all: Vec<usize> = (0..model.strips.len()).collect();
    for rolls in all.chunks(1).chain((all.len() > 1).then_some(&all[..])) {
        let mut arena = arena.clone();
        let filled = fill::fill(model, rolls, &mut arena, single, 0, random, &mut work);
        let Some(layers) = filled else { continue };
        let search = Search::new(model, arena, layers, 1);
        if best
            .as_ref()
            .is_none_or(|b| search.score(model) < b.score(model))
        {
            best = Some(search);
        }
    }
    // The model has checked that the widest roll takes every blank.
    best.unwrap_or_else(|| Search::new(model, Arena::default(), Vec::new(), 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::roll::{Blank, Roll, Turn};
    use proptest::prelude::*;
    use quantity::Length;

    fn job(sides: &[(i64, i64, bool)], rolls: &[(i64, i64)], gap: i64, step: i64) -> Job {
        let mm = Length::from_mm;
        Job {
            rolls: rolls
                .iter()
                .map(|&(width, price)| Roll {
                    width: mm(width),
                    price: Money::from_hundredths(price * 1000),
                    available: None,
                })
                .collect(),
            blanks: sides
                .iter()
                .map(|&(across, along, may)| Blank {
                    across: mm(across),
                    along: mm(along),
                    count: 1,
                    turn: if may { Turn::May } else { Turn::MayNot },
                })
                .collect(),
            gap: mm(gap),
            selvedge: Length::ZERO,
            price_per: mm(1000),
            step: mm(step),
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// The table that leaves nothing out is the measure of the one that prunes by area,
        /// prices and the plan at hand.
        #[test]
        fn pruning_never_loses_the_shortest_plan(
            sides in prop::collection::vec((1..30_i64, 1..30_i64, any::<bool>()), 6..9),
            rolls in prop::collection::vec((30..60_i64, 2..5_i64), 1..4),
            gap in 0..3_i64,
            step in 0..9_i64,
        ) {
            let job = job(&sides, &rolls, gap, step);
            let mut solver = Solver::new(&job).expect("every side is below the width");
            let bound = solver.bound;
            solver.step(Steps(1_000_000));
            prop_assert!(solver.best().proven);

            let model = Model::new(&job).expect("as above");
            let mut arena = Arena::default();
            let single: Vec<Block> = (0_u32..)
                .zip(&model.shapes)
                .flat_map(|(i, s)| {
                    let block = arena.blank(i, s.size, s.turnable);
                    core::iter::repeat_n(block, s.blanks.len())
                })
                .collect();
            let room = Room { width: model.widest(), height: i64::MAX / 4, spare: None };
            let mut table = Table::new(kinds(&arena, &single), room, None);
            table.advance(&mut { u64::MAX });
            let all: Vec<usize> = (0..rolls.len()).collect();
            let base = alloc::vec![0; rolls.len()];
            let (least, _) = best_shares(&model, &table, &all, &base).expect("they fit");
            prop_assert_eq!(solver.search.score(&model), least);
            prop_assert!(bound.cost <= least.cost && bound.length <= least.length);
        }
    }
}
