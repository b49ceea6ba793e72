//! `fuzz SECONDS [NUMBER [TARGET]]`: searches each target for so long; from another number on, it
//! meets other cases. Prints the number, so that a search can be repeated. What it finds is kept
//! in `crates/fuzz/cases` and makes it fail.

use std::collections::HashSet;
use std::process::ExitCode;
use std::time::{Duration, Instant, SystemTime};

use fuzz::dice::Dice;
use fuzz::targets::{ALL, Target};
use fuzz::trial::{self, PROMISED};
use fuzz::{cases, mutate};

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let seconds: f64 = words.next().ok_or("for how many seconds?")?.parse()?;
    let number: u64 = match words.next() {
        Some(number) => number.parse()?,
        None => SystemTime::now()
            .duration_since(SystemTime::UNIX_EPOCH)?
            .as_secs(),
    };
    let only = words.next();
    println!("starting number {number}");
    // Panics are told below, with the case.
    std::panic::set_hook(Box::new(|_| {}));
    let mut faults = 0;
    for target in &ALL {
        if only.as_ref().is_none_or(|only| only == target.name) {
            faults += search(target, seconds, number)?;
        }
    }
    Ok(if faults == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// Searches one target; returns how many faults it found, at most three.
fn search(target: &Target, seconds: f64, number: u64) -> Result<usize, Box<dyn std::error::Error>> {
    let start = Instant::now();
    let mut dice = Dice::new(number);
    let words = (target.words)();
    let mut waiting = (target.begin)();
    waiting.extend(cases::kept(target)?.into_iter().map(|k| k.1));
    let mut pool: Vec<Vec<u8>> = Vec::new();
    let mut shapes = HashSet::new();
    let (mut tried, mut slow, mut slowest, mut most) = (0_u64, 0_u64, Duration::ZERO, 0);
    let mut faults = 0;
    while start.elapsed().as_secs_f64() < seconds && faults < 3 {
        let case = match waiting.pop() {
            Some(case) => case,
            None => {
                let from = pool.get(dice.below(pool.len())).map_or(&[][..], |c| c);
                mutate::mutated(&mut dice, from, &pool, &words)
            }
        };
        tried += 1;
        match trial::run(target, &case) {
            Ok(trial) => {
                slow += u64::from(trial.time > PROMISED);
                slowest = slowest.max(trial.time);
                most = most.max(trial.memory);
                // Slow cases would leave little time for others.
                if shapes.insert(trial.shape) && trial.time < PROMISED / 4 {
                    pool.push(case);
                }
            }
            Err(what) => {
                faults += 1;
                let file = cases::keep(target, &case)?;
                println!(
                    "FOUND in {}: {what}\n  kept in {}",
                    target.name,
                    file.display()
                );
            }
        }
    }
    println!(
        "{:<12} {tried:>7} cases, {:>5} shapes, slowest {:.0} ms ({slow} over {} ms), most memory {:.1} MB of {:.0}",
        target.name,
        shapes.len(),
        slowest.as_secs_f64() * 1e3,
        PROMISED.as_millis(),
        most as f64 / 1e6,
        target.memory as f64 / 1e6,
    );
    Ok(faults)
}
