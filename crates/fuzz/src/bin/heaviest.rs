//! `heaviest SECONDS`: plans briefs with up to as many rows as a plan takes, and tells the longest
//! first plan in processor time. To be built optimised; the last line is for `cargo xtask bench`.

use std::time::{Duration, Instant};

use fuzz::{briefs, trial};
use planner::Draft;

/// How long the first plan takes: the least of three, as other work of the machine only adds.
fn time(draft: &Draft) -> Duration {
    let once = || {
        let start = trial::clock();
        let plan = planner::plan(draft);
        let took = trial::clock().saturating_sub(start);
        drop(plan);
        took
    };
    (0..3).map(|_| once()).min().unwrap_or_default()
}

fn with(draft: &Draft, boards: u64, cloth: u64) -> f64 {
    let once = || {
        let start = trial::clock();
        let plan = planner::plan_with(draft, planner::Effort { boards, cloth });
        let took = trial::clock().saturating_sub(start);
        drop(plan);
        took
    };
    (0..3).map(|_| once()).min().unwrap_or_default().as_secs_f64() * 1e3
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let seconds = std::env::args().nth(1).ok_or("for how many seconds?")?;
    let seconds: f64 = seconds.parse()?;
    let start = Instant::now();
    let mut all = Vec::new();
    for number in 0.. {
        if start.elapsed().as_secs_f64() > seconds {
            break;
        }
        let draft = briefs::large(number);
        all.push((time(&draft), number, draft));
    }
    all.sort_by(|a, b| b.0.cmp(&a.0));
    for (took, number, draft) in all.iter().take(8) {
        println!(
            "brief {number}: {:.1} ms, {} canvases, {} boards, {} cut",
            took.as_secs_f64() * 1e3,
            draft.canvases.len(),
            draft.boards.len(),
            draft.cut.len(),
        );
        println!("  none {:.1}, boards only {:.1}, cloth only {:.1}, bracing by rule {:.1}", with(draft, 1, 1), with(draft, 30_000, 1), with(draft, 1, 1000),
            { let mut d = draft.clone(); d.set(planner::FieldRef::setting("bracing_by"), "rule"); with(&d, 1, 1) });
    }
    println!(
        "{} briefs, median {:.1} ms",
        all.len(),
        all[all.len() / 2].0.as_secs_f64() * 1e3
    );
    println!("heaviest_ms\t{:.1}", all[0].0.as_secs_f64() * 1e3);
    Ok(())
}
