//! Times bracing decisions natively; one line a figure.

use std::time::Instant;

fn main() {
    let start = Instant::now();
    let clock = || start.elapsed().as_secs_f64() * 1000.0;
    print!("{}", bracing_bench::measure(&clock));
}
