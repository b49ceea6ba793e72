//! `heaviest SECONDS`: plans briefs with up to as many rows as a plan takes, and tells which first
//! plans take longest, in processor time. To be built optimised.

use std::time::{Duration, Instant};

use fuzz::{briefs, trial};
use planner::{Draft, FieldRef, Table};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let seconds = std::env::args().nth(1).ok_or("for how many seconds?")?;
    let seconds: f64 = seconds.parse()?;
    let start = Instant::now();
    let mut all: Vec<(Duration, String, Draft)> = full()
        .into_iter()
        .map(|(name, draft)| (time(&draft), name, draft))
        .collect();
    for number in 0.. {
        if start.elapsed().as_secs_f64() > seconds {
            break;
        }
        let draft = briefs::large(number);
        all.push((time(&draft), format!("brief {number}"), draft));
    }
    all.sort_by_key(|(time, ..)| std::cmp::Reverse(*time));
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    for (time, name, draft) in all.iter().take(10) {
        let count = |table| draft.rows(table).len();
        println!(
            "{:6.1} ms  {name}: {} rows of canvases, {} of boards, {} of rolls, {} cut",
            ms(*time),
            count(Table::Canvases),
            count(Table::Boards),
            count(Table::Rolls),
            count(Table::Cut),
        );
    }
    let over = all.iter().filter(|(time, ..)| *time > trial::PROMISED);
    println!(
        "{} briefs, median {:.1} ms, {} over {} ms",
        all.len(),
        ms(all[all.len() / 2].0),
        over.count(),
        trial::PROMISED.as_millis()
    );
    Ok(())
}

/// How long the first plan takes: the least of three, as other work of the machine only adds.
fn time(draft: &Draft) -> Duration {
    let once = || {
        let start = trial::clock();
        let plan = planner::plan(draft);
        let time = trial::clock().saturating_sub(start);
        drop(plan);
        time
    };
    (0..3).map(|_| once()).min().unwrap_or_default()
}

/// Every row of canvases and boards, once each, and so often that there are 100 000 canvases.
fn full() -> Vec<(String, Draft)> {
    let one = briefs::full();
    let mut most = one.clone();
    for row in 0..most.canvases.len() {
        let at = FieldRef {
            table: Table::Canvases,
            row,
            key: "count",
        };
        most.set(at, "500");
    }
    vec![
        ("every row".to_owned(), one),
        ("every row, 500 of each".to_owned(), most),
    ]
}
