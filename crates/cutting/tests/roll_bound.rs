//! The first bound of a roll against the bar relaxation (G. Scheithauer, European Journal of
//! Operational Research 112:379–420, 1999, from memory), with every line written out and solved by
//! a general-purpose solver.

#[path = "boards_check/random.rs"]
#[expect(dead_code, reason = "only its numbers are needed here")]
mod random;

use cutting::roll::{Blank, Job, Plan, Roll, Solver, Steps, Turn, solve};
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use quantity::{Length, Money};
use random::Random;

fn mm(n: i64) -> Length {
    Length::from_mm(n)
}

/// A blank lying one way across the roll.
#[derive(Clone, Copy)]
struct Bar {
    blank: usize,
    width: i64,
    length: i64,
}

/// Millimetres with a lane added to every blank and to the roll.
fn bars(job: &Job, width: i64) -> Vec<Bar> {
    let whole = |l: Length| (l + job.gap).as_nm() / 1_000_000;
    let mut all = Vec::new();
    for (blank, b) in job.blanks.iter().enumerate() {
        let (w, h) = (whole(b.across), whole(b.along));
        let ways = match b.turn {
            Turn::May if w != h => vec![(w, h), (h, w)],
            _ => vec![(w, h)],
        };
        let fits = ways.into_iter().filter(|&(w, _)| w <= width);
        all.extend(fits.map(|(width, length)| Bar {
            blank,
            width,
            length,
        }));
    }
    all
}

fn usable(job: &Job, roll: usize) -> i64 {
    (job.rolls[roll].width - job.selvedge * 2 + job.gap).as_nm() / 1_000_000
}

/// How often each bar is in each line to which no bar can be added.
fn lines(job: &Job, bars: &[Bar], width: i64) -> Vec<Vec<u32>> {
    fn extend(
        bars: &[Bar],
        left: &mut [u32],
        from: usize,
        room: i64,
        line: &mut Vec<u32>,
        found: &mut Vec<Vec<u32>>,
    ) {
        let fits = |b: &Bar, left: &[u32]| b.width <= room && left[b.blank] > 0;
        if !bars.iter().any(|b| fits(b, left)) {
            found.push(line.clone());
            return;
        }
        for (i, bar) in bars.iter().enumerate().skip(from) {
            if fits(bar, left) {
                left[bar.blank] -= 1;
                line[i] += 1;
                extend(bars, left, i, room - bar.width, line, found);
                left[bar.blank] += 1;
                line[i] -= 1;
            }
        }
    }
    let mut left: Vec<u32> = job.blanks.iter().map(|b| b.count).collect();
    let mut found = Vec::new();
    extend(
        bars,
        &mut left,
        0,
        width,
        &mut vec![0; bars.len()],
        &mut found,
    );
    found
}

/// The least cost of lines, in millimetres × what a roll costs, that cover all blanks.
fn relaxation(job: &Job, costs: &[f64]) -> f64 {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut rows = vec![Vec::new(); job.blanks.len()];
    for (roll, &cost) in costs.iter().enumerate() {
        let width = usable(job, roll);
        let bars = bars(job, width);
        for line in lines(job, &bars, width) {
            let x = problem.add_var(cost, (0.0, f64::INFINITY));
            for (blank, row) in rows.iter_mut().enumerate() {
                let of = bars.iter().zip(&line).filter(|(bar, _)| bar.blank == blank);
                let share: f64 = of.map(|(bar, &n)| f64::from(n) / bar.length as f64).sum();
                if share > 0.0 {
                    row.push((x, share));
                }
            }
        }
    }
    for (row, blank) in rows.iter().zip(&job.blanks) {
        problem.add_constraint(row, ComparisonOp::Ge, f64::from(blank.count));
    }
    problem.solve().expect("every blank fits").objective()
}

/// Blanks of one to `most` lines; each fits across a roll of 1000 mm at least one way.
fn blanks(random: &mut Random, most: u64) -> Vec<Blank> {
    (0..1 + random.below(most))
        .map(|_| {
            let turn = match random.below(3) {
                0 => Turn::MayNot,
                _ => Turn::May,
            };
            let along = match turn {
                Turn::May => 170 + random.below(1200),
                Turn::MayNot => 170 + random.below(2000),
            };
            Blank {
                across: mm(170 + random.below(800)),
                along: mm(along),
                count: 1 + random.below(4) as u32,
                turn,
            }
        })
        .collect()
}

fn job(random: &mut Random, rolls: i64, most: u64) -> Job {
    Job {
        rolls: (0..rolls)
            .map(|roll| Roll {
                width: mm(1000 + 40 + roll * 300 + random.below(250)),
                price: Money::from_hundredths(800 + random.below(900)),
                available: None,
            })
            .collect(),
        blanks: blanks(random, most),
        gap: mm(random.below(3) * 4),
        selvedge: mm(random.below(3) * 10),
        price_per: mm(1000),
        step: Length::ZERO,
    }
}

/// The plan before anything is searched, with its bound.
fn at_first(job: &Job) -> Plan {
    Solver::new(job).expect("every blank fits").best()
}

#[test]
fn one_roll_is_bounded_by_area_lines_and_the_longest_blank() {
    let mut random = Random(21);
    let mut by_lines = 0;
    for case in 0..300 {
        let mut job = job(&mut random, 1, 5);
        // No common measure but the millimetre.
        job.blanks[0].across = mm(501) - job.gap;
        job.blanks[0].along = mm(700) - job.gap;
        let width = usable(&job, 0);
        let bars = bars(&job, width);
        let area: i64 = bars
            .iter()
            .enumerate()
            .filter(|&(i, bar)| i == 0 || bars[i - 1].blank != bar.blank)
            .map(|(_, bar)| bar.width * bar.length * i64::from(job.blanks[bar.blank].count))
            .sum();
        let longest = (0..job.blanks.len())
            .map(|blank| {
                let ways = bars.iter().filter(|bar| bar.blank == blank);
                ways.map(|bar| bar.length).min().expect("it fits")
            })
            .max()
            .expect("there are blanks");
        let least = relaxation(&job, &[1.0]);
        let others = ((area + width - 1) / width).max(longest);
        let bound = (at_first(&job).bound_length + job.gap).as_nm() / 1_000_000;
        // Rounded up to the whole millimetre; a rounding error of the solver may pass one.
        let expected = others.max((least - 1e-6).ceil() as i64);
        assert_eq!(bound, expected, "case {case} of {job:?}: {least}");
        by_lines += u32::from(expected > others);
    }
    println!("lines give the bound of {by_lines}");
    assert!(by_lines > 100);
}

#[test]
fn several_rolls_are_bounded_by_lines_at_their_price() {
    let mut random = Random(22);
    for case in 0..150 {
        let mut job = job(&mut random, 2 + case % 2, 4);
        let prices: Vec<f64> = job
            .rolls
            .iter()
            .map(|r| r.price.as_hundredths() as f64)
            .collect();
        // Every roll ends with a blank, without its lane.
        let gap = job.gap.as_nm() as f64 / 1e6;
        let least = relaxation(&job, &prices) - gap * prices.iter().sum::<f64>();
        let plan = at_first(&job);
        let bound = plan.bound.as_hundredths() as f64;
        assert!(
            bound >= least / 1000.0 - 1e-3,
            "case {case} of {job:?}: {least}"
        );
        // At a single price for all, whole steps of 10 mm cost whole tenths of it.
        for roll in &mut job.rolls {
            roll.price = Money::from_hundredths(1700);
        }
        job.step = mm(10);
        let rolls = job.rolls.len() as f64;
        let least = relaxation(&job, &vec![1700.0; job.rolls.len()]) - gap * rolls * 1700.0;
        let steps = (least / 17_000.0 - 1e-6).ceil();
        let bound = at_first(&job).bound.as_hundredths() as f64;
        assert!(
            bound >= steps * 17.0,
            "case {case} of {job:?}: {bound} of {least}"
        );
    }
}

fn simple(rolls: &[(i64, i64, Option<i64>)], blanks: Vec<Blank>) -> Job {
    Job {
        rolls: rolls
            .iter()
            .map(|&(width, price, available)| Roll {
                width: mm(width),
                price: Money::from_hundredths(price),
                available: available.map(mm),
            })
            .collect(),
        blanks,
        gap: Length::ZERO,
        selvedge: Length::ZERO,
        price_per: mm(1000),
        step: Length::ZERO,
    }
}

fn blank(across: i64, along: i64, count: u32) -> Blank {
    Blank {
        across: mm(across),
        along: mm(along),
        count,
        turn: Turn::MayNot,
    }
}

#[test]
fn with_very_many_sizes_the_longest_blank_still_counts() {
    // 90 sizes of 10 × 10 to 10 × 99 mm and one of 30 m, a tenth of the roll across.
    let mut blanks: Vec<Blank> = (0..90).map(|i| blank(10, 10 + i, 1)).collect();
    blanks.push(blank(100, 30_000, 1));
    let job = simple(&[(1000, 1000, None)], blanks);
    assert_eq!(at_first(&job).bound_length, mm(30_000));
    let plan = solve(&job, Steps(100)).expect("every blank fits");
    assert!(plan.proven);
    assert_eq!(plan.lengths, [mm(30_000)]);
    // By area alone: (10 × (10 + … + 99) + 900 × 30 000) / 1000 = 27 049.05.
    let mut job = job;
    job.blanks[90] = blank(900, 30_000, 1);
    assert_eq!(at_first(&job).bound_length, mm(30_000));
    job.blanks[90] = blank(900, 100, 300);
    assert_eq!(at_first(&job).bound_length, mm(27_050));
}

#[test]
fn a_plan_that_meets_its_bound_is_proven_before_any_step() {
    // Two of 1000 × 700 off either roll: 1.4 m at 10.
    for available in [None, Some(5000), Some(1400)] {
        let rolls = [(1000, 1000, available), (1000, 1000, available)];
        let job = simple(&rolls, vec![blank(1000, 700, 2)]);
        let mut solver = Solver::new(&job).expect("every blank fits");
        let progress = solver.step(Steps(0));
        assert!(progress.done, "{available:?}");
        let at = Money::from_hundredths(1400);
        assert_eq!((progress.cost, progress.bound), (at, at));
        assert!(solver.best().proven);
    }
}

#[test]
fn whole_steps_that_cost_multiples_of_one_amount_are_counted_in_them() {
    // Two lines of 900 or one of 1800: 1.8 m. Steps of half a metre cost 5.00 and 10.00, so every
    // plan costs a multiple of 5.00: at least 20.00 of exactly 18.00.
    let blanks = vec![blank(900, 900, 2)];
    let mut job = simple(&[(1000, 1000, None), (1700, 2000, None)], blanks);
    job.step = mm(500);
    assert_eq!(at_first(&job).bound, Money::from_hundredths(2000));
    // The last of a roll is no whole step: 1.8 m of it cost 18.00.
    job.rolls[0].available = Some(mm(1800));
    assert_eq!(at_first(&job).bound, Money::from_hundredths(1800));
    // Two metres are four steps.
    job.rolls[0].available = Some(mm(2000));
    assert_eq!(at_first(&job).bound, Money::from_hundredths(2000));
}
