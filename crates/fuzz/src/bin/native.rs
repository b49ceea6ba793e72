//! `native COUNT`: for each of so many random briefs a line `fingerprint<TAB>brief as JSON`, as
//! this machine reckons without wasm; the browser tests compare.

use fuzz::{briefs, fingerprint};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let count: u64 = std::env::args().nth(1).ok_or("how many?")?.parse()?;
    for number in 0..count {
        let text = serde_json::to_string(&briefs::brief(number))?;
        let answer = fingerprint::answer(&serde_json::from_str(&text)?);
        println!("{}\t{text}", fingerprint::of(&answer));
    }
    Ok(())
}
