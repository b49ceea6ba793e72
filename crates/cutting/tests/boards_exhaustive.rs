//! Thousands of small jobs against trying everything, hundreds against a general-purpose
//! integer programming solver.

mod boards_check;
#[path = "boards_check/random.rs"]
mod random;
#[path = "boards_check/trying.rs"]
mod trying;

use boards_check::assert_sound;
use cutting::boards::{Error, Job, Origin, Saw, Solver, Steps, Stock, solve};
use quantity::{Length, Money};
use random::{Random, pieces, saw, stock};
use trying::{exhaustive, patterns};

#[test]
fn small_jobs_match_trying_everything() {
    let mut random = Random(7);
    let (mut solved, mut fewest, mut impossible) = (0, 0, 0);
    for case in 0..3000 {
        let lines = 1 + random.below(4);
        let job = Job {
            stock: stock(&mut random, lines),
            pieces: pieces(&mut random, 7),
            saw: saw(&mut random),
        };
        match (exhaustive(&job), solve(&job, Steps(200_000))) {
            (Some((cost, boards)), Ok(plan)) => {
                assert_sound(&job, &plan);
                assert!(
                    plan.bound.as_hundredths() <= cost,
                    "false bound, case {case}: {plan:?} against {cost} of {job:?}"
                );
                assert_eq!(
                    plan.cost.as_hundredths(),
                    cost,
                    "case {case}: {plan:?} of {job:?}"
                );
                assert!(plan.proven, "case {case} not proven: {plan:?} of {job:?}");
                let used: u32 = plan.boards.iter().map(|b| b.count).sum();
                assert!(used >= boards);
                fewest += u32::from(used == boards);
                solved += 1;
            }
            (None, Err(Error::PieceTooLong { .. })) => impossible += 1,
            (None, Err(Error::StockRunsOut { proven, missing })) => {
                assert!(proven && !missing.is_empty(), "case {case} of {job:?}");
                impossible += 1;
            }
            (best, result) => panic!("case {case}: {best:?} against {result:?} of {job:?}"),
        }
    }
    println!("{solved} solved, {fewest} with fewest boards, {impossible} impossible");
    assert!(solved > 1500 && impossible > 100);
    assert_eq!(fewest, solved, "price first, then fewest boards");
}

/// The cheapest cost by choosing among all patterns with a general-purpose solver.
fn by_integer_programme(job: &Job) -> i64 {
    use microlp::{ComparisonOp, OptimizationDirection, Problem};
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut columns = Vec::new();
    for (index, stock) in job.stock.iter().enumerate() {
        let mut line = Vec::new();
        for pattern in patterns(job, index) {
            let x = problem.add_integer_var(stock.price.as_hundredths() as f64, (0, 50));
            line.push((x, 1.0));
            columns.push((x, pattern));
        }
        if let Some(limit) = stock.limit {
            problem.add_constraint(&line, ComparisonOp::Le, f64::from(limit));
        }
    }
    for (index, piece) in job.pieces.iter().enumerate() {
        let row: Vec<_> = columns
            .iter()
            .filter(|c| c.1[index] > 0)
            .map(|c| (c.0, f64::from(c.1[index])))
            .collect();
        problem.add_constraint(&row, ComparisonOp::Ge, f64::from(piece.count));
    }
    let solution = problem.solve().expect("feasible by construction");
    solution.objective().round() as i64
}

#[test]
fn medium_jobs_match_a_general_integer_programme() {
    let mut random = Random(11);
    for case in 0..200 {
        let lines = 1 + random.below(3);
        let mut stock = stock(&mut random, lines);
        for line in &mut stock {
            line.bad.clear();
            line.origin = Origin::Bought;
        }
        stock.push(Stock::bought(
            Length::from_mm(1500),
            Money::from_hundredths(700 + random.below(100)),
        ));
        let mut pieces = pieces(&mut random, 6);
        pieces.truncate(3);
        for piece in &mut pieces {
            piece.length += Length::from_mm(130);
            piece.count += random.below(5) as u32;
        }
        let job = Job {
            stock,
            pieces,
            saw: Saw {
                longest: None,
                ..saw(&mut random)
            },
        };
        let plan = solve(&job, Steps(300_000)).expect("there is always a 1500 mm board");
        assert_sound(&job, &plan);
        let cost = by_integer_programme(&job);
        assert!(plan.bound.as_hundredths() <= cost, "case {case} of {job:?}");
        assert_eq!(plan.cost.as_hundredths(), cost, "case {case} of {job:?}");
    }
}

/// Pieces from boards of two lengths, as many as wanted.
fn two_lengths(random: &mut Random) -> Job {
    Job {
        stock: vec![
            Stock::bought(Length::from_mm(1500), Money::from_hundredths(700)),
            Stock::bought(Length::from_mm(2100), Money::from_hundredths(930)),
        ],
        pieces: (0..4).flat_map(|_| pieces(random, 7)).collect(),
        saw: Saw {
            longest: None,
            ..saw(random)
        },
    }
}

#[test]
fn the_plan_does_not_depend_on_how_steps_are_divided() {
    let mut random = Random(3);
    for _ in 0..20 {
        let job = two_lengths(&mut random);
        let mut whole = Solver::new(&job).expect("fits");
        whole.step(Steps(6000));
        let mut parts = Solver::new(&job).expect("fits");
        for _ in 0..60 {
            parts.step(Steps(100));
        }
        assert_eq!(whole.best(), parts.best());
    }
}

#[test]
fn progress_says_whether_the_plan_changed() {
    let mut random = Random(4);
    let (mut changed, mut same) = (0, 0);
    for _ in 0..20 {
        let job = two_lengths(&mut random);
        let mut solver = Solver::new(&job).expect("fits");
        for _ in 0..100 {
            let before = solver.best().boards;
            let improved = solver.step(Steps(10)).improved;
            assert_eq!(improved, solver.best().boards != before);
            changed += u32::from(improved);
            same += u32::from(!improved);
        }
    }
    assert!(changed > 20 && same > 20, "{changed} {same}");
}
