//! Solving against the clock.

use cutting::{boards, roll};
use quantity::{Length, Money};

use crate::jobs::{Class, Jobs, Packing, Strip};

/// What a run came to.
struct Run {
    cost: i64,
    bound: i64,
    proven: bool,
    millis: f64,
}

impl Run {
    fn gap_percent(&self) -> f64 {
        (self.cost - self.bound) as f64 / self.cost.max(1) as f64 * 100.0
    }
}

/// Lines of the table, as text.
#[derive(Default)]
struct Lines(String);

impl Lines {
    fn add(&mut self, key: &str, value: f64) {
        self.0.push_str(&format!("{key}\t{value:.3}\n"));
    }
    fn median_ms(&mut self, key: &str, runs: &[Run]) {
        let mut times: Vec<f64> = runs.iter().map(|r| r.millis).collect();
        times.sort_by(f64::total_cmp);
        if let Some(&median) = times.get(times.len() / 2) {
            self.add(key, median);
        }
    }
    fn worst_ms(&mut self, key: &str, runs: &[Run]) {
        self.add(key, runs.iter().map(|r| r.millis).fold(0.0, f64::max));
    }
    fn worst_gap(&mut self, key: &str, runs: &[Run]) {
        self.add(key, runs.iter().map(Run::gap_percent).fold(0.0, f64::max));
    }
    fn proven_percent(&mut self, key: &str, runs: &[Run]) {
        let proven = runs.iter().filter(|r| r.proven).count();
        self.add(key, proven as f64 / runs.len().max(1) as f64 * 100.0);
    }
}

/// One second, as the budgets have it.
const SECOND: f64 = 1000.0;

pub(crate) fn run(jobs: &Jobs, clock: &dyn Fn() -> f64) -> Result<String, String> {
    let mut lines = Lines::default();
    match jobs {
        Jobs::Class(jobs) => class(jobs, clock, &mut lines)?,
        Jobs::Packing(jobs) => packing(jobs, clock, &mut lines)?,
        Jobs::Hard(jobs) => hard(jobs, clock, &mut lines)?,
        Jobs::Strip(jobs) => strip(jobs, clock, &mut lines)?,
        Jobs::Blanks(jobs) => blanks(jobs, clock, &mut lines)?,
    }
    Ok(lines.0)
}

fn class(jobs: &[Class], clock: &dyn Fn() -> f64, lines: &mut Lines) -> Result<(), String> {
    let solve = |wanted: &dyn Fn(&str) -> bool, repeat: usize| -> Result<Vec<Run>, String> {
        let mut runs = Vec::new();
        for job in jobs.iter().filter(|j| wanted(&j.name)) {
            let mut same = Vec::new();
            for _ in 0..repeat {
                same.push(cut_boards(&class_job(job), SECOND, clock)?);
            }
            same.sort_by(|a, b| a.millis.total_cmp(&b.millis));
            runs.push(same.swap_remove(repeat / 2));
        }
        Ok(runs)
    };
    lines.worst_ms("c1_ms", &solve(&|n| n.starts_with("c1"), 9)?);
    lines.worst_ms(
        "c2_ms",
        &solve(&|n| n.starts_with("c2") && n != "c2_mit", 5)?,
    );
    lines.worst_ms("c2_mit_ms", &solve(&|n| n == "c2_mit", 5)?);
    let c3 = solve(&|n| n.starts_with("c3"), 1)?;
    lines.worst_gap("c3_gap", &c3);
    lines.proven_percent("c3_proven", &c3);
    lines.worst_ms("c3_ms", &c3);
    for run in solve(&|n| n == "c4_a", 1)? {
        // The cheapest board of these jobs, in hundredths.
        let board = jobs.iter().filter(|j| j.name == "c4_a");
        let prices = board.flat_map(|j| &j.stock).map(|s| s.price);
        let board = prices.filter(|p| *p > 0).min().unwrap_or(1);
        lines.add("c4_boards", (run.cost - run.bound) as f64 / board as f64);
    }
    lines.worst_gap("c4_mitoff_gap", &solve(&|n| n == "c4_mitoff", 1)?);
    Ok(())
}

fn packing(jobs: &[Packing], clock: &dyn Fn() -> f64, lines: &mut Lines) -> Result<(), String> {
    let mut all = Vec::new();
    for family in ["u120", "u250", "u1000", "t60", "t120", "t501"] {
        let mut runs = Vec::new();
        let of_family = jobs
            .iter()
            .filter(|j| j.name.split('_').next() == Some(family));
        // The largest take long: the first five of them.
        for job in of_family.take(if family == "t501" { 5 } else { 20 }) {
            runs.push(cut_boards(&packing_job(job), SECOND, clock)?);
        }
        lines.median_ms(&format!("{family}_ms"), &runs);
        all.append(&mut runs);
    }
    lines.proven_percent("falkenauer_proven", &all);
    Ok(())
}

fn hard(jobs: &[Packing], clock: &dyn Fn() -> f64, lines: &mut Lines) -> Result<(), String> {
    let mut above = 0;
    let mut runs = Vec::new();
    for job in jobs {
        let run = cut_boards(&packing_job(job), SECOND, clock)?;
        above = above.max(run.cost - job.best);
        runs.push(run);
    }
    lines.add("hard28_above", above as f64);
    let proven = runs.iter().filter(|r| r.proven).count();
    lines.add("hard28_proven", proven as f64);
    Ok(())
}

fn strip(jobs: &[Strip], clock: &dyn Fn() -> f64, lines: &mut Lines) -> Result<(), String> {
    // The first of each class C1 to C7.
    let (mut sum, mut count) = (0.0, 0.0);
    for job in jobs
        .iter()
        .filter(|j| j.name.starts_with('C') && j.name.ends_with("P1"))
    {
        let run = cut_roll(job, SECOND, clock)?;
        let opt = Length::from_mm(job.opt).as_nm();
        sum += (run.cost - opt) as f64 / opt as f64 * 100.0;
        count += 1.0;
    }
    lines.add("strip_above", sum / f64::max(count, 1.0));
    Ok(())
}

fn blanks(jobs: &[Strip], clock: &dyn Fn() -> f64, lines: &mut Lines) -> Result<(), String> {
    let (mut small, mut large) = (Vec::new(), Vec::new());
    for job in jobs {
        if job.items.len() <= 10 {
            small.push(cut_roll(job, SECOND, clock)?);
        } else {
            large.push(cut_roll(job, SECOND, clock)?);
        }
    }
    lines.worst_ms("roll_small_ms", &small);
    lines.proven_percent("roll_small_proven", &small);
    lines.worst_gap("roll_large_gap", &large);
    Ok(())
}

fn cut_boards(job: &boards::Job, limit: f64, clock: &dyn Fn() -> f64) -> Result<Run, String> {
    let start = clock();
    let mut solver = boards::Solver::new(job).map_err(|e| e.to_string())?;
    while !solver.step(boards::Steps(1000)).done && clock() - start < limit {}
    let plan = solver.best();
    Ok(Run {
        cost: plan.cost.as_hundredths(),
        bound: plan.bound.as_hundredths(),
        proven: plan.proven,
        millis: clock() - start,
    })
}

/// Lengths stand for costs here.
fn cut_roll(job: &Strip, limit: f64, clock: &dyn Fn() -> f64) -> Result<Run, String> {
    let job = strip_job(job);
    let start = clock();
    let mut solver = roll::Solver::new(&job).map_err(|e| e.to_string())?;
    while !solver.step(roll::Steps(500)).done && clock() - start < limit {}
    let plan = solver.best();
    Ok(Run {
        cost: plan.lengths.iter().map(|l| l.as_nm()).sum(),
        bound: plan.bound_length.as_nm(),
        proven: plan.proven,
        millis: clock() - start,
    })
}

fn class_job(job: &Class) -> boards::Job {
    let stock = job.stock.iter().map(|line| boards::Stock {
        limit: line.limit,
        ..boards::Stock::bought(
            Length::from_mm_f64(line.length),
            Money::from_hundredths(line.price),
        )
    });
    let pieces = job.items.iter().map(|item| boards::Piece {
        length: Length::from_mm_f64(item.length),
        count: item.qty,
        ends: if item.ends == "mitre" {
            boards::Ends::Mitred
        } else {
            boards::Ends::Square
        },
        turnable: job.mitre_nesting,
    });
    boards::Job {
        stock: stock.collect(),
        pieces: pieces.collect(),
        saw: boards::Saw {
            kerf: Length::from_mm_f64(job.kerf),
            mitre_kerf: Length::from_mm_f64(job.kerf_mitre),
            trim: boards::Trim::Once(Length::from_mm_f64(job.trim)),
            face: Length::from_mm_f64(job.profile_width),
            ..boards::Saw::default()
        },
    }
}

fn packing_job(job: &Packing) -> boards::Job {
    let pieces = job.items.iter().map(|&(length, count)| boards::Piece {
        length: Length::from_mm(length),
        count,
        ends: boards::Ends::Square,
        turnable: true,
    });
    boards::Job {
        stock: vec![boards::Stock::bought(
            Length::from_mm(job.capacity),
            Money::from_hundredths(1),
        )],
        pieces: pieces.collect(),
        saw: boards::Saw::default(),
    }
}

fn strip_job(job: &Strip) -> roll::Job {
    let blanks = job.items.iter().map(|&(w, h)| roll::Blank {
        across: Length::from_mm(w),
        along: Length::from_mm(h),
        count: 1,
        turn: roll::Turn::May,
    });
    roll::Job {
        rolls: vec![roll::Roll {
            width: Length::from_mm(job.width),
            price: Money::from_hundredths(100_000),
            available: None,
        }],
        blanks: blanks.collect(),
        gap: Length::ZERO,
        selvedge: Length::ZERO,
        price_per: Length::from_mm(1000),
        step: Length::ZERO,
    }
}
