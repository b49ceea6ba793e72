//! Prints the table of the published strips: length found in a given time against the length by
//! construction, which free cuts reach and guillotine cuts may not.
//!
//! `roll_sweep [FILE] [--seconds S] [--only PREFIX]`; the file is
//! `../shared/cutting/published/strip.json` beside the repository unless given. With `--blanks`
//! instead: invented jobs of 5 to 40 different blanks, sides from 400 to 2500 mm, off a roll of
//! 2.1 m; these have no known length, so only the bound counts. `--rolls` adds rolls of 1.4 and
//! 1.6 m to these (invented prices) and shows cost instead of length.

use std::time::{Duration, Instant};

use cutting::roll::{Blank, Job, Roll, Solver, Steps, Turn};
use quantity::{Length, Money};
use serde::Deserialize;

#[derive(Deserialize)]
struct Instance {
    name: String,
    width: i64,
    items: Vec<(i64, i64)>,
    opt: i64,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../../shared/cutting/published/strip.json"
    )
    .to_owned();
    let (mut seconds, mut only) = (1.0, String::new());
    let (mut invented, mut rolls) = (false, false);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--seconds" => seconds = args.next().ok_or("--seconds S")?.parse()?,
            "--blanks" => invented = true,
            "--rolls" => (invented, rolls) = (true, true),
            "--only" => only = args.next().ok_or("--only PREFIX")?,
            _ => file = arg,
        }
    }
    let instances: Vec<Instance> = if invented {
        invent()
    } else {
        serde_json::from_str(&std::fs::read_to_string(file)?)?
    };
    println!(
        "{:8} {:>5} {:>6} {:>6} {:>6} {:>7} {:>7} {:>8} proven",
        "name", "n", "opt", "length", "bound", "% opt", "% bound", "ms"
    );
    let mut means: Vec<(String, f64, f64, u32)> = Vec::new();
    for i in instances.iter().filter(|i| i.name.starts_with(&only)) {
        let start = Instant::now();
        let limit = Duration::try_from_secs_f64(seconds)?;
        let mut job = job(i);
        if rolls {
            job.rolls = [(1400, 1450), (1600, 1750), (2100, 2400)]
                .map(|(width, price)| roll(width, price))
                .to_vec();
        }
        let mut solver = Solver::new(&job)?;
        while !solver.step(Steps(500)).done && start.elapsed() < limit {}
        let plan = solver.best();
        let millis = start.elapsed().as_secs_f64() * 1e3;
        let (length, bound) = if rolls {
            let hundredths = |m: Money| m.as_hundredths() as f64;
            (hundredths(plan.cost), hundredths(plan.bound))
        } else {
            (plan.lengths[0].to_mm(), plan.bound_length.to_mm())
        };
        let over = |least: f64| (length / least - 1.0) * 100.0;
        println!(
            "{:8} {:5} {:6} {length:6} {bound:6} {:7.2} {:7.2} {millis:8.1} {}",
            i.name,
            i.items.len(),
            i.opt,
            over(i.opt as f64),
            over(bound),
            plan.proven
        );
        let class = i.name.split(['P', 'N']).next().unwrap_or("").to_owned();
        let (o, b) = (over(i.opt as f64), over(bound));
        match means.iter_mut().find(|m| m.0 == class) {
            Some(m) => *m = (class, m.1 + o, m.2 + b, m.3 + 1),
            None => means.push((class, o, b, 1)),
        }
    }
    println!("\nmeans: class, % above opt, % above bound");
    for (class, o, b, n) in &means {
        let n = f64::from(*n);
        println!("{class:8} {:7.2} {:7.2}", o / n, b / n);
    }
    let hopper: Vec<_> = means.iter().filter(|m| m.0.starts_with('C')).collect();
    if !hopper.is_empty() {
        let n: u32 = hopper.iter().map(|m| m.3).sum();
        let sum: f64 = hopper.iter().map(|m| m.1).sum();
        println!("C all    {:7.2}", sum / f64::from(n));
    }
    Ok(())
}

/// Invented jobs; `opt` is unknown and left at zero.
fn invent() -> Vec<Instance> {
    let mut seed = 7_u64;
    let mut below = |n: i64| {
        // Knuth's MMIX generator (The Art of Computer Programming 2, 3.3.4, from memory).
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(seed >> 33).unwrap_or(0) % n
    };
    let mut instances = Vec::new();
    for n in [5, 10, 12, 14, 16, 20, 30, 40] {
        for job in 1..=4 {
            instances.push(Instance {
                name: format!("B{n}P{job}"),
                width: 2100,
                items: (0..n)
                    .map(|_| {
                        let (long, short) = (400 + 10 * below(211), 400 + 10 * below(171));
                        (short, long)
                    })
                    .collect(),
                opt: 0,
            });
        }
    }
    instances
}

fn job(i: &Instance) -> Job {
    Job {
        rolls: vec![roll(i.width, 100_000)],
        blanks: i
            .items
            .iter()
            .map(|&(w, h)| Blank {
                across: Length::from_mm(w),
                along: Length::from_mm(h),
                count: 1,
                turn: Turn::May,
            })
            .collect(),
        gap: Length::ZERO,
        selvedge: Length::ZERO,
        price_per: Length::from_mm(1000),
        step: Length::ZERO,
    }
}

fn roll(width: i64, price: i64) -> Roll {
    Roll {
        width: Length::from_mm(width),
        price: Money::from_hundredths(price),
        available: None,
    }
}
