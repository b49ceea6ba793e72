//! `cutting-bench SET < jobs`: times a set of jobs natively; one line a figure.

use std::io::Read;
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let set = std::env::args().nth(1).ok_or("which set of jobs?")?;
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    let start = Instant::now();
    let clock = || start.elapsed().as_secs_f64() * 1000.0;
    print!("{}", cutting_bench::measure(&set, &text, &clock)?);
    Ok(())
}
