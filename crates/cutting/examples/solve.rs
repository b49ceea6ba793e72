//! Solves one instance from standard input and prints the plan as JSON.
//!
//! `cargo run -q --release -p cutting --example solve [-- --seconds S] < instance.json`
//!
//! Reads lengths in millimetres and prices in hundredths:
//! `{"kerf", "kerf_mitre", "trim", "profile_width", "mitre_nesting", "items": [{"length", "qty",
//! "ends"}], "stock": [{"length", "price", "limit"}]}`.

mod instance;

use std::error::Error;
use std::io::Read;
use std::time::{Duration, Instant};

use cutting::boards::{Ends, Solver, Steps};
use instance::Instance;
use serde::Serialize;

#[derive(Serialize)]
struct Answer {
    cost: i64,
    bound: i64,
    proven: bool,
    millis: f64,
    boards: Vec<Board>,
}

#[derive(Serialize)]
struct Board {
    stock: f64,
    count: u32,
    pieces: Vec<Piece>,
}

#[derive(Serialize)]
struct Piece {
    length: f64,
    ends: &'static str,
    at: f64,
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut seconds = 1.0;
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        if argument == "--seconds" {
            seconds = arguments
                .next()
                .ok_or("--seconds needs a number")?
                .parse()?;
        } else {
            return Err(format!("unknown option {argument}; known: --seconds S").into());
        }
    }
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    let instance: Instance = serde_json::from_str(&text)?;
    let job = instance.to_job();

    let start = Instant::now();
    let budget = Duration::from_secs_f64(seconds);
    let mut solver = Solver::new(&job)?;
    while start.elapsed() < budget && !solver.step(Steps(1000)).done {}
    let plan = solver.best();
    let millis = start.elapsed().as_secs_f64() * 1e3;
    if !plan.missing.is_empty() {
        let error = cutting::boards::Error::StockRunsOut {
            missing: plan.missing,
            proven: plan.proven,
        };
        return Err(error.into());
    }
    let answer = Answer {
        cost: plan.cost.as_hundredths(),
        bound: plan.bound.as_hundredths(),
        proven: plan.proven,
        millis,
        boards: plan
            .boards
            .iter()
            .map(|board| Board {
                stock: job.stock[board.stock].length.to_mm(),
                count: board.count,
                pieces: board
                    .placed
                    .iter()
                    .map(|p| Piece {
                        length: job.pieces[p.piece].length.to_mm(),
                        ends: match job.pieces[p.piece].ends {
                            Ends::Square => "square",
                            Ends::Mitred => "mitre",
                        },
                        at: p.at.to_mm(),
                    })
                    .collect(),
            })
            .collect(),
    };
    println!("{}", serde_json::to_string(&answer)?);
    Ok(())
}
