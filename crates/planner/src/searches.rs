//! The cutting engine's searches, kept so that they can go on.
//!
//! Of the same pieces and the same rack the search goes on where it was, so that a longer one does
//! not begin anew, and a change that touches no piece costs no search. The plan is the same as
//! without what is kept: a search goes by steps, and where it was stopped makes no difference.

use cutting::{boards, roll};

use crate::brief::BoardOf;
use crate::plan::Effort;

/// Steps for cloth are done in such portions: within one the search can't be interrupted.
const PORTION: u64 = 1000;
/// Steps for boards in a moment: some milliseconds (our choice, so that a key need not wait).
const MOMENT: u64 = 5000;

/// What is kept of the last plan's searches.
#[derive(Debug, Default)]
pub struct Searches {
    bars: Option<Search<boards::Job, boards::Solver>>,
    bead: Option<Search<boards::Job, boards::Solver>>,
    cloth: Option<Search<roll::Job, roll::Solver>>,
}

#[derive(Debug)]
struct Search<Job, Solver> {
    job: Job,
    solver: Solver,
    /// Steps so far.
    steps: u64,
    /// More steps find nothing more.
    done: bool,
}

impl<Job, Solver> Search<Job, Solver> {
    const fn new(job: Job, solver: Solver) -> Self {
        Self {
            job,
            solver,
            steps: 0,
            done: false,
        }
    }

    const fn is_open(&self, steps: u64) -> bool {
        !self.done && self.steps < steps
    }
}

impl Search<boards::Job, boards::Solver> {
    fn go_to(&mut self, steps: u64) {
        let more = boards::Steps(steps - self.steps);
        self.done = self.solver.step(more).done;
        self.steps = steps;
    }
}

impl Search<roll::Job, roll::Solver> {
    fn go_to(&mut self, steps: u64) {
        while self.steps < steps {
            let portion = PORTION.min(steps - self.steps);
            self.done = self.solver.step(roll::Steps(portion)).done;
            self.steps += portion;
        }
    }
}

impl Searches {
    /// The cheapest boards that so many steps find.
    pub(crate) fn boards(
        &mut self,
        of: BoardOf,
        job: boards::Job,
        steps: u64,
    ) -> Result<boards::Plan, boards::Error> {
        let kept = match of {
            BoardOf::Bars => &mut self.bars,
            BoardOf::Bead => &mut self.bead,
        };
        let mut search = match kept.take() {
            Some(known) if known.job == job && known.steps <= steps => known,
            _ => {
                let solver = boards::Solver::new(&job)?;
                Search::new(job, solver)
            }
        };
        search.go_to(steps);
        kept.insert(search).solver.outcome()
    }

    /// The cheapest cutting of cloth that so many steps find.
    pub(crate) fn cloth(&mut self, job: &roll::Job, steps: u64) -> Result<roll::Plan, roll::Error> {
        let goes_on = |known: &Search<roll::Job, roll::Solver>| {
            known.job == *job
                && (known.steps == steps
                    || known.steps < steps && known.steps.is_multiple_of(PORTION))
        };
        let mut search = match self.cloth.take() {
            Some(known) if goes_on(&known) => known,
            _ => Search::new(job.clone(), roll::Solver::new(job)?),
        };
        search.go_to(steps);
        self.cloth.insert(search).solver.outcome()
    }

    /// Goes on with what is kept towards an effort for a moment, boards first; whether it is
    /// reached.
    pub fn go_on(&mut self, effort: Effort) -> bool {
        for search in self.bars.iter_mut().chain(&mut self.bead) {
            if search.is_open(effort.boards) {
                search.go_to(effort.boards.min(search.steps + MOMENT));
                return false;
            }
        }
        let cloth = self.cloth.as_mut();
        if let Some(search) = cloth.filter(|s| s.is_open(effort.cloth)) {
            search.go_to(effort.cloth.min(search.steps + PORTION));
            return false;
        }
        true
    }
}
