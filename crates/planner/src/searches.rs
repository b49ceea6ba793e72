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
    bars: Option<Boards>,
    bead: Option<Boards>,
    cloth: Option<Cloth>,
}

#[derive(Debug)]
struct Boards {
    job: boards::Job,
    solver: boards::Solver,
    /// Steps so far.
    steps: u64,
    /// More steps find nothing more.
    done: bool,
}

#[derive(Debug)]
struct Cloth {
    job: roll::Job,
    solver: roll::Solver,
    /// Steps so far.
    steps: u64,
    /// More steps find nothing more.
    done: bool,
}

impl Boards {
    fn go_to(&mut self, steps: u64) {
        let more = boards::Steps(steps - self.steps);
        self.done = self.solver.step(more).done;
        self.steps = steps;
    }
}

impl Cloth {
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
            _ => Boards {
                solver: boards::Solver::new(&job)?,
                job,
                steps: 0,
                done: false,
            },
        };
        search.go_to(steps);
        kept.insert(search).solver.outcome()
    }

    /// The cheapest cutting of cloth that so many steps find.
    pub(crate) fn cloth(&mut self, job: &roll::Job, steps: u64) -> Result<roll::Plan, roll::Error> {
        let goes_on = |known: &Cloth| {
            known.job == *job
                && (known.steps == steps
                    || known.steps < steps && known.steps.is_multiple_of(PORTION))
        };
        let mut search = match self.cloth.take() {
            Some(known) if goes_on(&known) => known,
            _ => Cloth {
                solver: roll::Solver::new(job)?,
                job: job.clone(),
                steps: 0,
                done: false,
            },
        };
        search.go_to(steps);
        self.cloth.insert(search).solver.outcome()
    }

    /// Goes on with what is kept towards an effort for a moment, boards first; whether it is
    /// reached.
    pub fn go_on(&mut self, effort: Effort) -> bool {
        for search in self.bars.iter_mut().chain(&mut self.bead) {
            if !search.done && search.steps < effort.boards {
                search.go_to(effort.boards.min(search.steps + MOMENT));
                return false;
            }
        }
        let cloth = self.cloth.as_mut();
        if let Some(search) = cloth.filter(|s| !s.done && s.steps < effort.cloth) {
            search.go_to(effort.cloth.min(search.steps + PORTION));
            return false;
        }
        true
    }
}
