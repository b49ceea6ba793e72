//! The second table of `cargo xtask bench`: the cutting engine natively and in wasm, beside each
//! other.
//!
//! `crates/cutting-bench` does the work, as a program and as a wasm module run by node; the module
//! is compiled as the page is. Nothing here fails for being slow: these figures are read, not
//! asserted.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::artifact::Module;
use crate::budgets;
use crate::project;
use crate::shell::{self, Error, Result};
use crate::tools::{self, BuildTools};
use crate::wasm;

/// One line of the table.
struct Row {
    what: &'static str,
    /// What the measuring program calls it, without `native_` and `wasm_`.
    key: &'static str,
    reach: &'static str,
    aim: &'static str,
}

const fn row(what: &'static str, key: &'static str, reach: &'static str, aim: &'static str) -> Row {
    Row {
        what,
        key,
        reach,
        aim,
    }
}

const ROWS: [Row; 23] = [
    row("one frame, proven, slowest of 3, ms", "c1_ms", "15", "2"),
    row("class of 12, proven, slowest of 3, ms", "c2_ms", "50", "15"),
    row("class of 12, mitred, proven, ms", "c2_mit_ms", "120", "40"),
    row("show of 60, widest gap in 1 s, %", "c3_gap", "0.4", "0.1"),
    row("show of 60, proven in 1 s, %", "c3_proven", "50", "100"),
    row("show of 60, slowest, ms", "c3_ms", "1000", ""),
    row(
        "500 frames, boards above the bound in 1 s",
        "c4_boards",
        "1",
        "1",
    ),
    row(
        "500 mitred with offcuts, gap in 1 s, %",
        "c4_mitoff_gap",
        "0.25",
        "",
    ),
    row(
        "Falkenauer, proven in 1 s, %",
        "falkenauer_proven",
        "100",
        "100",
    ),
    row("  u120, median ms", "u120_ms", "500", "50"),
    row("  u250, median ms", "u250_ms", "500", "50"),
    row("  t60, median ms", "t60_ms", "500", "50"),
    row("  t120, median ms", "t120_ms", "500", "50"),
    row("  u1000, median ms", "u1000_ms", "", ""),
    row("  t501, first five, median ms", "t501_ms", "", ""),
    row(
        "hard28, most above the optimum, boards",
        "hard28_above",
        "1",
        "",
    ),
    row(
        "hard28, proven in 1 s (aim: in 10 s)",
        "hard28_proven",
        "",
        "20",
    ),
    row(
        "roll, up to 10 blanks, slowest, ms",
        "roll_small_ms",
        "100",
        "",
    ),
    row(
        "roll, up to 10 blanks, proven in 1 s, %",
        "roll_small_proven",
        "",
        "100",
    ),
    row(
        "roll, 20 to 40 blanks, widest gap in 1 s, %",
        "roll_large_gap",
        "6",
        "3",
    ),
    row(
        "Hopper and Turton, mean above opt in 1 s, %",
        "strip_above",
        "6",
        "3",
    ),
    row(
        "what if, example class, ms (wasm: click to answer)",
        "what_if_ms",
        "",
        "",
    ),
    row("wasm added by the engine, kB", "engine_kb", "120", "80"),
];

const BENCH: Module = Module {
    krate: "crates/cutting-bench",
    name: "cutting_bench",
    target: "nodejs",
    engine: true,
};

/// Compiles the engine both ways and times it.
pub fn measure() -> Result<BTreeMap<String, f64>> {
    let tools = tools::set_up_build()?;
    let mut figures = BTreeMap::new();
    let (package, added) = compile(&tools)?;
    figures.insert("wasm_engine_kb".to_owned(), added as f64 / 1000.0);
    shell::run(shell::cargo().args(["build", "--quiet", "--release", "-p", "cutting-bench"]))?;
    let native = project::target_dir().join("release/cutting-bench");
    let Some(node) = shell::find_on_path("node") else {
        println!("there is no node here, so nothing is timed in wasm");
        return Ok(figures);
    };
    for (set, text) in sets()? {
        println!("measuring: cutting, {set}");
        let mut wasm = Command::new(&node);
        wasm.arg(project::root().join("crates/cutting-bench/bench.cjs"));
        wasm.arg(package.join("cutting_bench.js")).arg(set);
        let mut program = Command::new(&native);
        program.arg(set);
        for (way, command) in [("native", &mut program), ("wasm", &mut wasm)] {
            for (key, value) in budgets::parse(&with_input(command, &text)?)? {
                figures.insert(format!("{way}_{key}"), value);
            }
        }
    }
    Ok(figures)
}

/// The module's folder, and by how many bytes it is larger than without the engine.
fn compile(tools: &BuildTools) -> Result<(std::path::PathBuf, u64)> {
    let bare = Module {
        engine: false,
        ..BENCH
    };
    let size = |package: &Path| {
        let file = package.join("cutting_bench_bg.wasm");
        let module = shell::at(&file, fs::read(&file))?;
        wasm::tidy(&module).map(|tidy| tidy.bytes.len() as u64)
    };
    let without = size(&bare.compile(tools)?)?;
    let package = BENCH.compile(tools)?;
    let with = size(&package)?;
    Ok((package, with.saturating_sub(without)))
}

/// The sets of jobs that are here: the class ones are the project's own.
fn sets() -> Result<Vec<(&'static str, String)>> {
    let folder = project::root().join("crates/cutting/tests/data");
    let mut files: Vec<_> = shell::at(&folder, fs::read_dir(&folder))?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    let mut class = Vec::new();
    for file in files {
        class.push(shell::at(&file, fs::read_to_string(&file))?);
    }
    let mut sets = vec![
        ("class", format!("[{}]", class.join(","))),
        ("blanks", String::new()),
    ];
    let published = project::root().join("../shared/cutting/published");
    for (set, file) in [
        ("packing", "falkenauer.json"),
        ("hard", "hard28.json"),
        ("strip", "strip.json"),
    ] {
        match fs::read_to_string(published.join(file)) {
            Ok(text) => sets.push((set, text)),
            Err(_) => println!("the published jobs of {file} are not here"),
        }
    }
    Ok(sets)
}

/// Runs a program on this input; returns what it prints.
fn with_input(command: &mut Command, text: &str) -> Result<String> {
    let file = project::target_dir().join("battenbook/jobs.json");
    shell::at(&file, fs::write(&file, text))?;
    let input = shell::at(&file, fs::File::open(&file))?;
    let output = command
        .stdin(input)
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| Error::new(format!("{command:?} did not start: {error}")))?;
    if !output.status.success() {
        return Err(Error::new(format!(
            "{command:?} failed ({})",
            output.status
        )));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The table.
pub fn table(figures: &BTreeMap<String, f64>) -> String {
    let mut lines = vec![format!(
        "{:<50} {:>8} {:>6} {:>9} {:>9}",
        "cutting", "reach", "aim", "native", "wasm"
    )];
    for row in &ROWS {
        let figure = |way: &str| budgets::cell(figures, &format!("{way}_{}", row.key));
        lines.push(format!(
            "{:<50} {:>8} {:>6} {:>9} {:>9}",
            row.what,
            row.reach,
            row.aim,
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
            ("native_c1_ms".to_owned(), 0.25),
            ("wasm_c1_ms".to_owned(), 0.5),
            ("wasm_engine_kb".to_owned(), 99.0),
        ]);
        let table = table(&figures);
        let words = |start: &str| -> Vec<String> {
            let line = table.lines().find(|line| line.starts_with(start));
            let words = line.expect("the table has this line").split_whitespace();
            words.map(str::to_owned).collect()
        };
        assert!(words("one frame").ends_with(&["0.25".to_owned(), "0.50".to_owned()]));
        assert!(words("wasm added").ends_with(&["–".to_owned(), "99.00".to_owned()]));
    }
}
