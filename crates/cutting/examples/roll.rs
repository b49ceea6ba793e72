//! Cuts one instance of rectangles from a roll.
//!
//! Reads `{"width", "items": [[w, h], …]}` in millimetres from standard input (other fields are
//! ignored), turning allowed, and prints the plan as JSON. `--seconds S` sets the time (default
//! 1), `--gap G` and `--fixed` (no turning) change the job.

use std::io::Read as _;
use std::time::{Duration, Instant};

use cutting::roll::{Blank, Job, Roll, Solver, Steps, Turn, Way};
use quantity::{Length, Money};
use serde::Deserialize;
use serde_json::json;

#[derive(Deserialize)]
struct Instance {
    width: i64,
    items: Vec<(i64, i64)>,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (mut seconds, mut gap, mut turn) = (1.0, 0, Turn::May);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--seconds" => seconds = args.next().ok_or("--seconds S")?.parse()?,
            "--gap" => gap = args.next().ok_or("--gap G")?.parse()?,
            "--fixed" => turn = Turn::MayNot,
            _ => return Err(format!("unknown option {arg}").into()),
        }
    }
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    let instance: Instance = serde_json::from_str(&text)?;
    let job = Job {
        rolls: vec![Roll {
            width: Length::from_mm(instance.width),
            price: Money::from_hundredths(100_000),
            available: None,
        }],
        blanks: instance
            .items
            .iter()
            .map(|&(w, h)| Blank {
                across: Length::from_mm(w),
                along: Length::from_mm(h),
                count: 1,
                turn,
            })
            .collect(),
        gap: Length::from_mm(gap),
        selvedge: Length::ZERO,
        price_per: Length::from_mm(1000),
        step: Length::ZERO,
    };

    let start = Instant::now();
    let limit = Duration::try_from_secs_f64(seconds)?;
    let mut solver = Solver::new(&job)?;
    while !solver.step(Steps(500)).done && start.elapsed() < limit {}
    let plan = solver.best();
    let millis = start.elapsed().as_secs_f64() * 1e3;

    let placed: Vec<_> = plan
        .placed
        .iter()
        .map(|p| {
            let (w, h) = instance.items[p.blank];
            let (w, h) = if p.turned { (h, w) } else { (w, h) };
            json!({"item": p.blank, "x": p.x, "y": p.y, "w": w, "h": h, "turned": p.turned})
        })
        .collect();
    let cuts: Vec<_> = plan
        .cuts
        .iter()
        .map(|c| {
            let way = match c.way {
                Way::Across => "across",
                Way::Along => "along",
            };
            json!({"way": way, "at": c.at, "from": c.from, "to": c.to, "lane": c.lane})
        })
        .collect();
    println!(
        "{}",
        json!({
            "length": plan.lengths[0],
            "bound": plan.bound_length,
            "proven": plan.proven,
            "millis": millis,
            "placed": placed,
            "cuts": cuts,
        })
    );
    Ok(())
}
