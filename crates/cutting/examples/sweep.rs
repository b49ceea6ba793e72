//! Runs every class instance and every published bin packing one, and prints the table of
//! results: `cargo run --release -p cutting --example sweep [-- --seconds S] [NAME …]`.
//!
//! Published instances are read from `../shared/cutting/published`; where they are absent a
//! notice takes their place.

mod instance;

use std::error::Error;
use std::fs;
use std::path::Path;
use std::time::Instant;

use cutting::boards::{Ends, Job, Piece, Plan, Saw, Solver, Steps, Stock};
use instance::Instance;
use quantity::{Length, Money};
use serde::Deserialize;

#[derive(Deserialize)]
struct Packing {
    name: String,
    capacity: i64,
    items: Vec<(i64, u32)>,
    best: i64,
}

impl Packing {
    fn to_job(&self) -> Job {
        Job {
            stock: vec![Stock::bought(
                Length::from_mm(self.capacity),
                Money::from_hundredths(1),
            )],
            pieces: self
                .items
                .iter()
                .map(|&(length, count)| Piece {
                    length: Length::from_mm(length),
                    count,
                    ends: Ends::Square,
                    turnable: true,
                })
                .collect(),
            saw: Saw::default(),
        }
    }
}

/// Solves for at most so long; returns the plan and the milliseconds it took.
fn timed(job: &Job, seconds: f64) -> Result<(Plan, f64), Box<dyn Error>> {
    let start = Instant::now();
    let mut solver = Solver::new(job)?;
    while start.elapsed().as_secs_f64() < seconds && !solver.step(Steps(1000)).done {}
    let plan = solver.best();
    Ok((plan, start.elapsed().as_secs_f64() * 1e3))
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut seconds = 1.0;
    let mut wanted: Vec<String> = Vec::new();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        if argument == "--seconds" {
            seconds = arguments
                .next()
                .ok_or("--seconds needs a number")?
                .parse()?;
        } else {
            wanted.push(argument);
        }
    }
    let is_wanted =
        |name: &str| wanted.is_empty() || wanted.iter().any(|w| name.starts_with(w.as_str()));
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    classes(here, seconds, &is_wanted)?;
    let published = here.join("../../../shared/cutting/published");
    if !published.is_dir() {
        println!("published instances are not here; only the class ones were run");
        return Ok(());
    }
    for file in ["falkenauer.json", "hard28.json"] {
        let all: Vec<Packing> = serde_json::from_str(&fs::read_to_string(published.join(file))?)?;
        groups(&all, seconds, &is_wanted)?;
    }
    Ok(())
}

/// One line per class instance.
fn classes(
    here: &Path,
    seconds: f64,
    is_wanted: &dyn Fn(&str) -> bool,
) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> = fs::read_dir(here.join("tests/data"))?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths {
        let name = path
            .file_stem()
            .map(|s| s.to_string_lossy().into_owned())
            .unwrap_or_default();
        if !name.starts_with('c') || !is_wanted(&name) {
            continue;
        }
        let instance: Instance = serde_json::from_str(&fs::read_to_string(&path)?)?;
        let job = instance.to_job();
        let mut runs = Vec::new();
        for _ in 0..3 {
            runs.push(timed(&job, seconds)?);
        }
        runs.sort_by(|a, b| a.1.total_cmp(&b.1));
        let (plan, millis) = &runs[1];
        let (cost, bound) = (plan.cost.as_hundredths(), plan.bound.as_hundredths());
        println!(
            "{name:12} cost {cost:8} bound {bound:8} gap {:6.3} % {:10} {millis:9.1} ms (median of 3)",
            (cost - bound) as f64 / cost as f64 * 100.0,
            if plan.proven { "proven" } else { "not proven" },
        );
    }
    Ok(())
}

/// One line per family of published instances.
fn groups(
    all: &[Packing],
    seconds: f64,
    is_wanted: &dyn Fn(&str) -> bool,
) -> Result<(), Box<dyn Error>> {
    let mut families: Vec<&str> = Vec::new();
    for packing in all {
        let family = packing.name.split('_').next().unwrap_or_default();
        if !families.contains(&family) && is_wanted(family) {
            families.push(family);
        }
    }
    for family in families {
        let (mut millis, mut proven, mut optimal, mut over) = (Vec::new(), 0, 0, 0);
        let mut open = Vec::new();
        for packing in all
            .iter()
            .filter(|p| p.name.split('_').next() == Some(family))
        {
            let (plan, ms) = timed(&packing.to_job(), seconds)?;
            let cost = plan.cost.as_hundredths();
            assert!(
                plan.bound.as_hundredths() <= packing.best,
                "{}",
                packing.name
            );
            millis.push(ms);
            proven += usize::from(plan.proven);
            optimal += usize::from(cost == packing.best);
            over = over.max(cost - packing.best);
            if !plan.proven {
                open.push(format!(
                    "{} {}..{} (best {})",
                    packing.name,
                    plan.bound.as_hundredths(),
                    cost,
                    packing.best
                ));
            }
        }
        millis.sort_by(f64::total_cmp);
        println!(
            "{family:12} {} of {} optimal, {proven} proven, at most {over} above, median {:.1} ms, worst {:.1} ms",
            optimal,
            millis.len(),
            millis[millis.len() / 2],
            millis[millis.len() - 1],
        );
        for line in open {
            println!("    open: {line}");
        }
    }
    Ok(())
}
