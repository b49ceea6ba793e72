//! The bracing's own table of `cargo xtask bench`: a decision natively and in wasm, beside each
//! other, by the size of the frame.
//!
//! `crates/bracing-bench` does the work, as a program and as a wasm module run by node; the module
//! is compiled as the page is. Nothing here fails for being slow: these figures are read, not
//! asserted.

use std::collections::BTreeMap;

use crate::artifact::Module;
use crate::budgets;
use crate::project;
use crate::shell::{self, Result};
use crate::tools;

/// What the measuring program calls each figure, what it is, and what a decision may take
/// natively and in wasm, in milliseconds.
const ROWS: [(&str, &str, &str, &str); 14] = [
    ("bracing_400_38_ms", "400 x 300 in 38 x 19", "2", "5"),
    ("bracing_1000_38_ms", "1000 x 800 in 38 x 19", "2", "5"),
    ("bracing_1800_38_ms", "1800 x 1200 in 38 x 19", "2", "5"),
    ("bracing_2400_38_ms", "2400 x 1800 in 38 x 19", "2", "5"),
    ("bracing_4000_38_ms", "4000 x 3000 in 38 x 19", "2", "5"),
    ("bracing_6000_38_ms", "6000 x 6000 in 38 x 19", "2", "5"),
    ("bracing_400_50_ms", "400 x 300 in 50 x 25", "2", "5"),
    ("bracing_1000_50_ms", "1000 x 800 in 50 x 25", "2", "5"),
    ("bracing_1800_50_ms", "1800 x 1200 in 50 x 25", "2", "5"),
    ("bracing_2400_50_ms", "2400 x 1800 in 50 x 25", "2", "5"),
    ("bracing_4000_50_ms", "4000 x 3000 in 50 x 25", "2", "5"),
    ("bracing_6000_50_ms", "6000 x 6000 in 50 x 25", "2", "5"),
    ("bracing_slowest_ms", "slowest of them", "2", "5"),
    ("largest_slowest_ms", "largest frames, on demand", "", ""),
];

const BENCH: Module = Module {
    krate: "crates/bracing-bench",
    name: "bracing_bench",
    target: "nodejs",
    engine: true,
};

/// Compiles the bench both ways and runs it.
pub fn measure() -> Result<BTreeMap<String, f64>> {
    let package = BENCH.compile(&tools::set_up_build()?)?;
    let mut figures = BTreeMap::new();
    let run = ["run", "--quiet", "--release", "-p", "bracing-bench"];
    println!("measuring: bracing");
    let mut ways = vec![("native", shell::read(shell::cargo().args(run))?)];
    match shell::find_on_path("node") {
        Some(node) => {
            let mut wasm = shell::command(&node);
            wasm.arg(project::root().join("crates/bracing-bench/bench.cjs"));
            wasm.arg(package.join("bracing_bench.js"));
            ways.push(("wasm", shell::read(&mut wasm)?));
        }
        None => println!("there is no node here, so nothing is timed in wasm"),
    }
    for (way, text) in ways {
        // What was decided, and the members, for people.
        print!("{way}:\n{text}");
        for (key, value) in budgets::parse(&text)? {
            figures.insert(format!("{way}_{key}"), value);
        }
    }
    Ok(figures)
}

/// The table.
pub fn table(figures: &BTreeMap<String, f64>) -> String {
    let mut lines = vec![format!(
        "{:<28} {:>5} {:>9} {:>5} {:>9}",
        "bracing of a canvas, ms", "aim", "native", "aim", "wasm"
    )];
    for (key, what, native_aim, wasm_aim) in ROWS {
        let figure = |way: &str| budgets::cell(figures, &format!("{way}_{key}"));
        lines.push(format!(
            "{what:<28} {native_aim:>5} {:>9} {wasm_aim:>5} {:>9}",
            figure("native"),
            figure("wasm")
        ));
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_stand_beside_each_other_and_what_is_missing_is_seen() {
        let figures = BTreeMap::from([
            ("native_bracing_1000_50_ms".to_owned(), 0.25),
            ("wasm_bracing_1000_50_ms".to_owned(), 0.5),
            ("wasm_largest_slowest_ms".to_owned(), 9.0),
        ]);
        let table = table(&figures);
        let words = |start: &str| -> Vec<String> {
            let line = table.lines().find(|line| line.starts_with(start));
            let words = line.expect("the table has this line").split_whitespace();
            words.map(str::to_owned).collect()
        };
        let ends = |start: &str, end: &[&str]| {
            assert!(
                words(start).ends_with(&end.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>())
            )
        };
        ends("1000 x 800 in 50", &["2", "0.25", "5", "0.50"]);
        ends("largest", &["\u{2013}", "9.00"]);
    }
}
