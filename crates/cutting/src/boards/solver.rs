//! The search, step by step.
//!
//! 1. A greedy plan ([`Solver::new`]).
//! 2. The cut by length gives the cheapest list of boards that could do; it is filled. If that
//!    succeeds, nothing cheaper exists.
//! 3. The linear programme over all patterns gives a sharper cut, a first one as soon as it is
//!    optimal on a coarse grid, whose list is tried at once; where there are many kinds of pieces,
//!    it values like ones by their length, and is soon done.
//! 4. List after list, cheapest first: shown impossible by a cut of its own, or filled by
//!    refilling and by dives, with more patience each round.
//! 5. Among equally cheap plans fewer boards and a longer offcut are tried for.

use alloc::boxed::Box;
use alloc::vec;
use alloc::vec::Vec;

use quantity::Length;

use super::cover::{Cut, Listed, Wish, cheapest_list};
use super::dive::{Depth, Dive};
use super::greedy;
use super::grid::{Grid, Purpose};
use super::job::{Error, Job};
use super::knapsack::Knapsack;
use super::layout::lay_out;
use super::model::{Model, Pattern};
use super::pack::Packing;
use super::plan::{Plan, Waste};
use super::relax::{Rack, Relaxation, SHARE, Standing};
use quantity::order::sort;

/// Work to be done: one step is about a microsecond on a desk computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Steps(pub u64);

/// How far the search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Nothing is left to try: the plan is proven, or every method is exhausted.
    pub done: bool,
    /// Whether the best plan changed during this call.
    pub improved: bool,
}

/// A search that can be stopped after any call of [`Solver::step`].
#[derive(Clone, Debug)]
pub struct Solver {
    job: Job,
    model: Model,
    /// Coarse to fine, for contents; from one to three.
    grids: Vec<Grid>,
    /// The finest, for bounds.
    exact: Grid,
    knapsack: Knapsack,
    best: Vec<(Pattern, u32)>,
    rank: Rank,
    bound: i64,
    cuts: Vec<Cut>,
    /// Lists proven impossible to fill.
    nogoods: Vec<Vec<u32>>,
    /// Lists given up in this round.
    tried: Vec<Vec<u32>>,
    /// Patterns worth knowing for the next programme.
    known: Vec<Pattern>,
    phase: Phase,
    round: u32,
    /// Whether the linear programme has given its cut.
    relaxed: bool,
    /// The programme, optimal on a coarse grid, while lists by its cut are tried.
    paused: Option<Box<Relaxation>>,
    /// Whether the price is settled and fewer boards are looked for.
    fewer: bool,
    /// Work allowed and not yet done, in operations; below zero when a call did more.
    credit: i64,
    seed: u64,
}

/// What makes a plan better: price, then boards, then the longest rest in one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    cost: i64,
    boards: u32,
    /// Negative, so that longer is less.
    rest: i64,
}

/// What is being done.
#[derive(Clone, Debug)]
enum Phase {
    Start,
    Relax(Box<Relaxation>),
    Choose,
    Fill(Box<Trial>),
    Polish(Box<(Packing, u32)>),
    Done,
}

/// A list on trial.
#[derive(Clone, Debug)]
struct Trial {
    list: Vec<u32>,
    packing: Packing,
    moves: u32,
    dive: Option<Dive>,
    dives: u32,
    /// Operations left for all of its dives.
    breath: u64,
}

/// Operations of a step.
const OPERATIONS: i64 = 1000;
/// Cells of a coarse grid.
const COARSE: i64 = 12_000;
/// Cells of a fine one.
const FINE: i64 = 60_000;
/// Cells for bounds, where a table of one row is enough, and for contents after the first round.
const EXACT: i64 = 250_000;
/// Items times cells of a knapsack table, to hold its memory to 4 bytes of each.
const TABLE: i64 = 5_000_000;
/// Rounds of patience before giving up.
const ROUNDS: u32 = 14;
/// Nodes of the search for lists.
const NODES: u64 = 20_000;
/// Operations for the dives into a list in the first round.
const BREATH: u64 = 500_000_000;
/// Kinds of pieces up to which the linear programme keeps them all apart.
const FEW_KINDS: usize = 150;

impl Solver {
    /// Checks the job and finds a first plan.
    ///
    /// # Errors
    ///
    /// Every [`Error`] except [`Error::StockRunsOut`], which needs the search.
    pub fn new(job: &Job) -> Result<Self, Error> {
        let model = Model::new(job)?;
        let best = greedy::first_fit(&model, model.demand(), vec![0; model.bins.len()]);
        let rank = rank(&model, &best);
        // Of many kinds the fine grid also prices, by shares.
        let exact = if model.items.len() <= FEW_KINDS {
            Grid::new(&model, EXACT, Purpose::Bounds)
        } else {
            Grid::new(&model, TABLE / (SHARE as i64 + 1), Purpose::Contents)
        };
        let most = (TABLE / (model.items.len() as i64 + 1)).max(2_000);
        let mut grids: Vec<Grid> = Vec::new();
        for cells in [COARSE, FINE, EXACT] {
            let grid = Grid::new(&model, cells.min(most), Purpose::Contents);
            if grids.last().is_none_or(|coarser| grid.most > coarser.most) {
                grids.push(grid);
            }
        }
        Ok(Self {
            job: job.clone(),
            model,
            grids,
            exact,
            knapsack: Knapsack::default(),
            best,
            rank,
            bound: 0,
            cuts: Vec::new(),
            nogoods: Vec::new(),
            tried: Vec::new(),
            known: Vec::new(),
            phase: Phase::Start,
            round: 0,
            relaxed: false,
            paused: None,
            fewer: false,
            credit: 0,
            seed: 0,
        })
    }

    /// Works for about so many steps. The plan after a number of steps does not depend on how
    /// they were divided among calls.
    pub fn step(&mut self, budget: Steps) -> Progress {
        let before = self.rank;
        let more = i64::try_from(budget.0).unwrap_or(i64::MAX);
        self.credit = self.credit.saturating_add(more.saturating_mul(OPERATIONS));
        while self.credit > 0 && !matches!(self.phase, Phase::Done) {
            let work = self.advance();
            self.credit = self
                .credit
                .saturating_sub(i64::try_from(work).unwrap_or(i64::MAX).max(100));
        }
        Progress {
            done: matches!(self.phase, Phase::Done),
            improved: self.rank < before,
        }
    }

    /// One piece of work, a few milliseconds at most; returns the operations it took.
    fn advance(&mut self) -> u64 {
        match core::mem::replace(&mut self.phase, Phase::Done) {
            Phase::Start => self.start(),
            Phase::Relax(relaxation) => self.relax(relaxation),
            Phase::Choose => self.choose(),
            Phase::Fill(trial) => self.fill(trial),
            Phase::Polish(state) => self.polish(state),
            Phase::Done => 0,
        }
    }

    /// The grid to fill by: the coarse one, every third round the fine one.
    fn filling(&self) -> usize {
        if self.round % 3 == 2 {
            1.min(self.grids.len() - 1)
        } else {
            0
        }
    }

    /// How many of the grids a linear programme goes through: in the first round, when a plan is
    /// wanted soon, not the finest.
    fn levels(&self) -> usize {
        let most = if self.round == 0 { 2 } else { 3 };
        self.grids.len().min(most)
    }

    /// Whether the programme has a row for each kind of piece, and dives are short.
    fn has_few_kinds(&self) -> bool {
        self.model.items.len() <= FEW_KINDS
    }

    /// The cut by length, and the list it suggests.
    fn start(&mut self) -> u64 {
        let most = self
            .model
            .bins
            .iter()
            .map(super::model::Bin::capacity)
            .max()
            .unwrap_or(1)
            .max(1);
        // Lengths may exceed the knapsack's range of values: halve until they don't.
        let mut shift = 0;
        while most >> shift > super::knapsack::MOST_VALUE / 4 {
            shift += 1;
        }
        let whole: Vec<i64> = self.model.items.iter().map(|i| i.weight >> shift).collect();
        let mut work = self.cut_by(&whole);
        // A nested piece keeps a board from being filled to the last, so it is worth a little more
        // of a board than its length: by how much depends on which boards are used.
        let mut main = None;
        for _ in 0..2 {
            let Some(bin) = self.best_value_bin() else {
                break;
            };
            let run = self.model.bins[bin].runs[0];
            if main == Some(bin) || run.nested <= 0 || !self.model.items.iter().any(|i| i.nested) {
                break;
            }
            main = Some(bin);
            let value: Vec<i64> = self
                .model
                .items
                .iter()
                .zip(&whole)
                .map(|(item, &w)| {
                    if item.nested {
                        let worth = i128::from(w) * i128::from(run.plain) / i128::from(run.nested);
                        i64::try_from(worth).unwrap_or(w)
                    } else {
                        w
                    }
                })
                .collect();
            if run.plain < run.nested * 2 {
                work += self.cut_by(&value);
            }
        }
        self.phase = Phase::Choose;
        work + self.raise_bound()
    }

    /// Adds the cut that these values give.
    fn cut_by(&mut self, value: &[i64]) -> u64 {
        let value: Vec<i32> = value
            .iter()
            .map(|&v| i32::try_from(v).unwrap_or(i32::MAX))
            .collect();
        let (cut, work) = Cut::new(&self.model, &self.grids[0], &mut self.knapsack, &value);
        self.add_cut(cut);
        work
    }

    /// The bin, not limited, that the latest cut finds best for its price.
    fn best_value_bin(&self) -> Option<usize> {
        let cut = self.cuts.last()?;
        let bins = &self.model.bins;
        (0..bins.len())
            .filter(|&b| bins[b].stock.is_some() && !bins[b].limited)
            .max_by(|&a, &b| {
                let left = i128::from(cut.best[a]) * i128::from(bins[b].price);
                let right = i128::from(cut.best[b]) * i128::from(bins[a].price);
                left.cmp(&right)
            })
    }

    /// The linear programme, one round.
    fn relax(&mut self, mut relaxation: Box<Relaxation>) -> u64 {
        let grids = if self.has_few_kinds() {
            &self.grids[..self.levels()]
        } else {
            core::slice::from_ref(&self.exact)
        };
        let (standing, work) = relaxation.advance(&self.model, grids, &mut self.knapsack);
        if standing == Standing::Working {
            self.phase = Phase::Relax(relaxation);
            return work;
        }
        let (cut, more) = relaxation.cut(&self.model, &self.exact, &mut self.knapsack);
        self.add_cut(cut);
        let before = self.bound;
        let listing = self.raise_bound();
        if standing == Standing::Coarse {
            if self.bound > before {
                // The list by this cut may be all that is wanted.
                self.paused = Some(relaxation);
                self.tried.clear();
                self.phase = Phase::Choose;
            } else {
                self.phase = Phase::Relax(relaxation);
            }
            return work + more + listing;
        }
        self.relaxed = true;
        self.known = relaxation.master.into_patterns();
        self.phase = Phase::Choose;
        if self.bound > before || self.has_few_kinds() {
            self.tried.clear();
        }
        work + more + listing
    }

    fn add_cut(&mut self, cut: Cut) {
        if !self.cuts.contains(&cut) {
            self.cuts.push(cut);
        }
    }

    /// Whether nothing cheaper exists, or it is certain that some piece finds no place.
    fn is_settled(&self) -> bool {
        let missing = self.model.bins.iter().find(|b| b.stock.is_none());
        self.bound >= self.rank.cost || missing.is_some_and(|b| self.bound >= b.price)
    }

    /// Looks up the cheapest list again.
    fn raise_bound(&mut self) -> u64 {
        let listed = cheapest_list(
            &self.model,
            &self.cuts,
            &self.nogoods,
            Wish::below(self.rank.cost),
            NODES,
        );
        self.bound = self.bound.max(listed.bound);
        listed.work
    }

    /// Picks what to do next.
    fn choose(&mut self) -> u64 {
        let settled = self.is_settled();
        if settled && !self.fewer {
            // From now on only fewer boards for the same price are looked for.
            self.fewer = true;
            self.round = 0;
            self.tried.clear();
        }
        if settled && (self.round > 0 || !self.best_is_complete()) {
            return self.begin_polish();
        }
        let first = self.tried.is_empty() && self.round == 0;
        let listed = self.next_list();
        // Many kinds: before the second list, or once the first round's lists are used up.
        let relax_now = !self.relaxed
            && !settled
            && !first
            && (self.has_few_kinds() || listed.best.is_some() != (self.round > 0));
        if let Some(relaxation) = self.paused.take_if(|_| relax_now) {
            self.phase = Phase::Relax(relaxation);
            return listed.work;
        }
        if relax_now {
            let known: Vec<Pattern> = self.best.iter().map(|b| b.0.clone()).collect();
            let counts = self.model.bins.iter().map(|b| b.limit).collect();
            let (model, demand) = (&self.model, self.model.demand());
            let rack = Rack::Priced(counts);
            self.phase = Phase::Relax(Box::new(if self.has_few_kinds() {
                Relaxation::new(model, demand, rack, &known)
            } else {
                Relaxation::coarse(model, demand, rack)
            }));
            return listed.work;
        }
        let Some((_, list)) = listed.best else {
            self.round += 1;
            self.tried.clear();
            self.phase = if self.round >= ROUNDS {
                Phase::Done
            } else {
                Phase::Choose
            };
            return listed.work;
        };
        let packing = Packing::new(
            &self.model,
            &self.grids[self.filling()],
            self.model.demand(),
            &list,
            self.seed,
        );
        self.seed += 1;
        // After the first round a dive first sees whether even fractions fill the list.
        let dive_first = self.round > 0 && self.relaxed && self.has_few_kinds();
        self.phase = Phase::Fill(Box::new(Trial {
            list,
            packing,
            moves: if dive_first { 0 } else { self.moves() },
            dive: None,
            breath: BREATH << self.round.min(10),
            dives: self.round.min(3) + u32::from(self.relaxed && self.has_few_kinds()),
        }));
        listed.work
    }

    fn best_is_complete(&self) -> bool {
        self.best
            .iter()
            .all(|(p, _)| self.model.bins[usize::from(p.bin)].stock.is_some())
    }

    /// What would be better than the best plan: cheaper, or at the same price of fewer boards.
    fn wish(&self) -> Wish {
        if self.is_settled() {
            Wish {
                most: self.rank.boards - 1,
                ..Wish::below(self.rank.cost + 1)
            }
        } else {
            Wish::below(self.rank.cost)
        }
    }

    /// The next list to try. In the first round the lists leave more and more room, so that one
    /// of them is soon filled; afterwards the cheapest one not yet tried.
    fn next_list(&self) -> Listed {
        let wish = self.wish();
        if self.round == 0 && !self.is_settled() && !self.tried.is_empty() {
            // 1, 2, 4, 8 eighths of a board, then half a board more each time.
            let eighths = match self.tried.len() {
                n @ 0..=4 => (1 << n) >> 1,
                n => 4 * (n as i64 - 2),
            };
            let mut roomy = self.cuts.clone();
            for cut in &mut roomy {
                let board = cut.best.iter().copied().max().unwrap_or(0);
                cut.need += board / 8 * eighths;
            }
            return cheapest_list(&self.model, &roomy, &self.nogoods, wish, NODES);
        }
        let mut lists = self.nogoods.clone();
        lists.extend(self.tried.iter().cloned());
        cheapest_list(&self.model, &self.cuts, &lists, wish, NODES)
    }

    /// How often a list is refilled in this round.
    fn moves(&self) -> u32 {
        let boards = self.rank.boards;
        (60 + boards * 10) << self.round.min(10)
    }

    /// Goes on filling a list.
    fn fill(&mut self, mut trial: Box<Trial>) -> u64 {
        let grid = &self.grids[self.filling()];
        let levels = self.levels();
        let mut work = trial.packing.take_work();
        if trial.packing.is_complete() {
            let patterns = trial.packing.patterns();
            self.adopt(patterns);
            if self.round == 0 && !self.tried.is_empty() && !self.fewer {
                self.round = 1;
                self.tried.clear();
            }
            self.phase = Phase::Choose;
            return work + self.raise_bound();
        }
        if trial.moves > 0 {
            while trial.moves > 0 && work < 1_000_000 && !trial.packing.is_complete() {
                trial.moves -= 1;
                trial.packing.refine(&self.model, grid);
                work += trial.packing.take_work();
            }
            if trial.moves == 0 && !trial.packing.is_complete() {
                // What has no place in the list may still fit a board more than it has.
                let mut patterns = trial.packing.patterns();
                let used = list_of(&self.model, &patterns);
                let left = trial.packing.left().to_vec();
                work += left.len() as u64 * 100;
                patterns.extend(greedy::first_fit(&self.model, left, used));
                self.adopt(patterns);
            }
            self.phase = Phase::Fill(trial);
            return work;
        }
        if let Some(dive) = &mut trial.dive {
            let grids = &self.grids[..levels];
            let (depth, more) = dive.advance(&self.model, grids, &mut self.knapsack);
            work += more;
            trial.breath = trial.breath.saturating_sub(more);
            match depth {
                Depth::Diving if trial.breath == 0 => {
                    (trial.dive, trial.dives) = (None, 0);
                    self.phase = Phase::Fill(trial);
                }
                Depth::Diving => self.phase = Phase::Fill(trial),
                Depth::NoBottom => {
                    let (cut, more) =
                        dive.relaxation()
                            .cut(&self.model, &self.exact, &mut self.knapsack);
                    if cut.holds(&trial.list) {
                        // Rounding hides the proof; leave the list for this round.
                        self.tried.push(trial.list);
                    } else {
                        self.add_cut(cut);
                    }
                    self.phase = Phase::Choose;
                    work += more + self.raise_bound();
                }
                Depth::Bottom => {
                    trial.packing =
                        Packing::resume(&self.model, grid, &trial.list, &dive.deepest, self.seed);
                    self.seed += 1;
                    trial.moves = self.moves();
                    trial.dive = None;
                    self.phase = Phase::Fill(trial);
                }
            }
            return work;
        }
        if trial.dives > 0 {
            trial.dives -= 1;
            trial.dive = Some(Dive::new(
                &self.model,
                &trial.list,
                &self.known,
                self.seed,
                8 << self.round.min(6),
            ));
            self.phase = Phase::Fill(trial);
            return work;
        }
        self.tried.push(trial.list);
        self.phase = Phase::Choose;
        work
    }

    /// Takes a plan if it is better.
    fn adopt(&mut self, patterns: Vec<(Pattern, u32)>) {
        let rank = rank(&self.model, &patterns);
        if rank < self.rank {
            self.rank = rank;
            self.best = patterns;
        }
    }

    /// After the proof: the same price with fewer boards or a longer rest.
    fn begin_polish(&mut self) -> u64 {
        let list = list_of(&self.model, &self.best);
        let packing = Packing::resume(
            &self.model,
            &self.grids[self.filling()],
            &list,
            &self.best,
            self.seed,
        );
        self.phase = Phase::Polish(Box::new((packing, 200)));
        0
    }

    fn polish(&mut self, mut state: Box<(Packing, u32)>) -> u64 {
        let grid = &self.grids[self.filling()];
        let (packing, moves) = &mut *state;
        let mut work = 0;
        while *moves > 0 && work < 1_000_000 {
            *moves -= 1;
            packing.refine(&self.model, grid);
            work += packing.take_work();
        }
        if packing.is_complete() {
            let patterns = packing.patterns();
            self.adopt(patterns);
        }
        if state.1 > 0 {
            self.phase = Phase::Polish(state);
        }
        work
    }

    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Plan {
        let (boards, left) = lay_out(&self.job, &self.model, &self.best);
        let missing = self.model.missing(&left);
        let mut waste = Waste::default();
        let mut longest_offcut = Length::ZERO;
        let mut buy: Vec<(usize, u32)> = Vec::new();
        let mut cost = 0;
        for board in &boards {
            let n = i64::from(board.count);
            waste.kerf += board.waste.kerf * n;
            waste.wedge += board.waste.wedge * n;
            waste.trim += board.waste.trim * n;
            waste.bad += board.waste.bad * n;
            waste.offcut += board.waste.offcut * n;
            longest_offcut = longest_offcut.max(board.longest_offcut);
            cost += self.job.stock[board.stock].price.as_hundredths() * n;
            match buy.iter_mut().find(|b| b.0 == board.stock) {
                Some(line) => line.1 += board.count,
                None => buy.push((board.stock, board.count)),
            }
        }
        sort(&mut buy);
        if longest_offcut < self.job.saw.keep {
            longest_offcut = Length::ZERO;
        }
        Plan {
            cost: Model::money(cost),
            bound: Model::money(self.bound.min(cost)),
            proven: self.is_settled(),
            never_useful: self.never_useful(&buy),
            boards,
            buy,
            missing,
            waste,
            longest_offcut,
        }
    }

    /// The best plan so far, if it holds all pieces.
    ///
    /// # Errors
    ///
    /// [`Error::StockRunsOut`].
    pub fn outcome(&self) -> Result<Plan, Error> {
        let plan = self.best();
        if plan.missing.is_empty() {
            Ok(plan)
        } else {
            Err(Error::StockRunsOut {
                missing: plan.missing,
                proven: plan.proven,
            })
        }
    }

    /// Stock lines without which the cheapest plan costs the same, whatever it is.
    fn never_useful(&self, buy: &[(usize, u32)]) -> Vec<usize> {
        (0..self.job.stock.len())
            .filter(|&stock| {
                if buy.iter().any(|b| b.0 == stock) {
                    return false;
                }
                let bin = self.model.bins.iter().position(|b| b.stock == Some(stock));
                bin.is_none_or(|bin| {
                    let below = self.rank.cost.saturating_add(1);
                    let nodes = 500;
                    cheapest_list(
                        &self.model,
                        &self.cuts,
                        &self.nogoods,
                        Wish {
                            with: Some(bin),
                            ..Wish::below(below)
                        },
                        nodes,
                    )
                    .bound
                        >= below
                })
            })
            .collect()
    }
}

/// How many boards of each bin a plan takes.
fn list_of(model: &Model, patterns: &[(Pattern, u32)]) -> Vec<u32> {
    let mut list = vec![0; model.bins.len()];
    for (pattern, n) in patterns {
        list[usize::from(pattern.bin)] += n;
    }
    list
}

/// Ranks a plan.
fn rank(model: &Model, patterns: &[(Pattern, u32)]) -> Rank {
    let mut rank = Rank {
        cost: 0,
        boards: 0,
        rest: 0,
    };
    for (pattern, n) in patterns {
        let bin = &model.bins[usize::from(pattern.bin)];
        rank.cost += bin.price * i64::from(*n);
        rank.boards += n;
        if bin.stock.is_none() {
            continue;
        }
        for (index, run) in bin.runs.iter().enumerate() {
            let (mut weight, mut nested) = (0, false);
            for cell in pattern.cells.iter().filter(|c| usize::from(c.run) == index) {
                let item = &model.items[usize::from(cell.item)];
                weight += item.weight * i64::from(cell.count);
                nested |= item.nested;
            }
            rank.rest = rank.rest.min(weight - run.capacity(nested));
        }
    }
    rank
}

/// Searches for so many steps and returns the best plan.
///
/// # Errors
///
/// As [`Solver::new`], and [`Error::StockRunsOut`] when limited stock can't hold the pieces or
/// no plan that holds them was found.
pub fn solve(job: &Job, steps: Steps) -> Result<Plan, Error> {
    let mut solver = Solver::new(job)?;
    solver.step(steps);
    solver.outcome()
}
