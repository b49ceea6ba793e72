//! The table of `cargo xtask bench`: each budget of the design beside what was measured.
//!
//! Sizes are read off the built page. Everything else comes from measuring programs (cargo
//! examples) that print one line a figure, `key<TAB>number`; what no program printed is shown
//! as not measured.

use std::collections::BTreeMap;
use std::process::ExitCode;

use crate::artifact::{self, Artifact};
use crate::bracing_table;
use crate::cutting_table;
use crate::project;
use crate::shell::{self, Error, Result};
use crate::tools;

/// One line of the table.
struct Budget {
    what: &'static str,
    /// What the measuring program calls it; with [`SLOWED`] at its end, the same with the page
    /// slowed down as to a tablet.
    key: &'static str,
    limit: f64,
    unit: &'static str,
}

const SLOWED: &str = "_slowed";

const BUDGETS: [Budget; 10] = [
    Budget {
        what: "single file",
        key: "file_kb",
        limit: 500.0,
        unit: "kB",
    },
    Budget {
        what: "single file, gzipped",
        key: "file_gzipped_kb",
        limit: 200.0,
        unit: "kB",
    },
    Budget {
        what: "open to first answer",
        key: "open_ms",
        limit: 500.0,
        unit: "ms",
    },
    Budget {
        what: "change to new answer, p95",
        key: "change_p95_ms",
        limit: 16.0,
        unit: "ms",
    },
    Budget {
        what: "tasks over 50 ms while typing",
        key: "long_tasks",
        limit: 0.0,
        unit: "tasks",
    },
    Budget {
        what: "class of 12 mixed frames, with cutting",
        key: "class_12_ms",
        limit: 50.0,
        unit: "ms",
    },
    Budget {
        what: "500 frames, first plan",
        key: "frames_500_first_ms",
        limit: 100.0,
        unit: "ms",
    },
    Budget {
        what: "500 frames, boards above the bound after 2 s",
        key: "frames_500_gap_boards",
        limit: 1.0,
        unit: "boards",
    },
    Budget {
        what: "500 frames, longest block of the page",
        key: "frames_500_block_ms",
        limit: 50.0,
        unit: "ms",
    },
    Budget {
        what: "500 frames, wasm heap",
        key: "frames_500_heap_mb",
        limit: 64.0,
        unit: "MB",
    },
];

/// A program that measures. One that is not there yet is left out, and its lines of the table
/// say so.
struct Program {
    package: &'static str,
    folder: &'static str,
    example: &'static str,
    profile: &'static str,
}

const PROGRAMS: [Program; 2] = [
    Program {
        package: "planner",
        folder: "crates/planner",
        example: "plan_bench",
        profile: "release",
    },
    // Measures inside the browser, so its own speed does not matter.
    Program {
        package: "whole-product",
        folder: "tests",
        example: "measure",
        profile: "dev",
    },
];

/// Builds the page, measures, and prints the table; fails if a measured figure is over its budget.
pub fn run() -> Result<ExitCode> {
    let artifact = artifact::build()?;
    artifact.print();
    tools::set_up_tests()?;
    let mut figures = sizes(&artifact);
    for program in &PROGRAMS {
        figures.extend(measure(program)?);
    }
    figures.extend(bracing_table::measure()?);
    figures.extend(cutting_table::measure()?);
    println!("\n{}", table(&figures));
    println!("\n{}", crates_table(&artifact.crates));
    println!("\n{}", bracing_table::table(&figures));
    println!("\n{}", cutting_table::table(&figures));
    let over = BUDGETS.iter().any(|budget| {
        [budget.key, &slowed(budget.key)]
            .iter()
            .any(|key| figures.get(*key).is_some_and(|v| *v > budget.limit))
    });
    Ok(if over {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    })
}

fn measure(program: &Program) -> Result<BTreeMap<String, f64>> {
    let Program {
        package,
        folder,
        example,
        profile,
    } = program;
    let file = format!("{folder}/examples/{example}.rs");
    if !project::root().join(&file).is_file() {
        println!("{package} has no measuring program yet ({file})");
        return Ok(BTreeMap::new());
    }
    println!("measuring: {package}, example {example}");
    let words = [
        "run",
        "--quiet",
        "--profile",
        profile,
        "-p",
        package,
        "--example",
        example,
    ];
    let text = shell::read(shell::cargo().args(words))?;
    print!("{text}");
    parse(&text)
}

fn sizes(artifact: &Artifact) -> BTreeMap<String, f64> {
    let kb = |bytes: usize| bytes as f64 / 1000.0;
    BTreeMap::from([
        ("file_kb".to_owned(), kb(artifact.raw)),
        ("file_gzipped_kb".to_owned(), kb(artifact.gzipped)),
    ])
}

/// The figures that a measuring program printed; a line without a tab is for people.
pub(crate) fn parse(text: &str) -> Result<BTreeMap<String, f64>> {
    text.lines()
        .filter_map(|line| line.split_once('\t'))
        .map(|(key, value)| match value.trim().parse::<f64>() {
            Ok(number) if number.is_finite() => Ok((key.to_owned(), number)),
            _ => Err(Error::new(format!("{key}: {value:?} is not a number"))),
        })
        .collect()
}

/// A figure as it stands in a table; a dash where no program printed it.
pub(crate) fn cell(figures: &BTreeMap<String, f64>, key: &str) -> String {
    figures
        .get(key)
        .map_or_else(|| "–".to_owned(), |value| format!("{value:.2}"))
}

fn table(figures: &BTreeMap<String, f64>) -> String {
    let mut lines = vec![format!(
        "{:<46} {:>10} {:>20} {:>20}",
        "what", "budget", "measured", "slowed 4x"
    )];
    for budget in &BUDGETS {
        let limit = format!("{} {}", budget.limit, budget.unit);
        let cell = |key: &str| match figures.get(key) {
            Some(value) if *value > budget.limit => format!("{value:.1} {} OVER", budget.unit),
            Some(value) => format!("{value:.1} {}  met", budget.unit),
            None => "–".to_owned(),
        };
        lines.push(format!(
            "{:<46} {limit:>10} {:>20} {:>20}",
            budget.what,
            cell(budget.key),
            cell(&slowed(budget.key))
        ));
    }
    lines.join("\n")
}

fn slowed(key: &str) -> String {
    format!("{key}{SLOWED}")
}

/// Code of the page's module by crate; those below a hundredth of it in one line.
fn crates_table(crates: &[(String, usize)]) -> String {
    let kb = |bytes: usize| bytes as f64 / 1000.0;
    let sum = |crates: &[(String, usize)]| crates.iter().map(|(_, bytes)| bytes).sum::<usize>();
    let all = sum(crates);
    let large = crates.partition_point(|(_, bytes)| bytes * 100 >= all);
    let line = |name: &str, bytes: usize| format!("{name:<46} {:>8.1} kB", kb(bytes));
    let mut lines = vec![line("code by crate", all)];
    lines.extend(
        crates[..large]
            .iter()
            .map(|(name, bytes)| line(name, *bytes)),
    );
    lines.push(line("smaller ones", sum(&crates[large..])));
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_crates_share_a_line() {
        let crates = [
            ("planner", 90_500),
            ("sheets", 9_000),
            ("itoa", 300),
            ("std", 200),
        ];
        let table = crates_table(&crates.map(|(name, bytes)| (name.to_owned(), bytes)));
        let lines: Vec<Vec<&str>> = table
            .lines()
            .map(|line| line.split_whitespace().collect())
            .collect();
        assert_eq!(
            lines,
            [
                vec!["code", "by", "crate", "100.0", "kB"],
                vec!["planner", "90.5", "kB"],
                vec!["sheets", "9.0", "kB"],
                vec!["smaller", "ones", "0.5", "kB"],
            ]
        );
    }

    #[test]
    fn a_program_s_lines_are_read_and_others_left_aside() {
        let figures = parse("warming up\nopen_ms\t312.5\n").expect("a good line");
        assert_eq!(figures, BTreeMap::from([("open_ms".to_owned(), 312.5)]));
        let error = parse("open_ms\tNaN").expect_err("NaN is no measurement");
        assert_eq!(error.to_string(), "open_ms: \"NaN\" is not a number");
    }

    #[test]
    fn the_table_says_met_over_and_not_measured() {
        let figures = [
            ("file_kb", 500.0),
            ("open_ms", 212.0),
            ("open_ms_slowed", 500.1),
        ];
        let figures = figures.map(|(key, value)| (key.to_owned(), value));
        let table = table(&BTreeMap::from(figures));
        let line = |start: &str| {
            let found = table.lines().find(|line| line.starts_with(start));
            let words = found.expect("it has this line").split("  ");
            let words: Vec<_> = words.map(str::trim).filter(|w| !w.is_empty()).collect();
            words[1..].to_vec()
        };
        assert_eq!(line("single file "), ["500 kB", "500.0 kB", "met", "–"]);
        assert_eq!(
            line("open to first"),
            ["500 ms", "212.0 ms", "met", "500.1 ms OVER"]
        );
        assert_eq!(line("500 frames, wasm"), ["64 MB", "–", "–"]);
    }
}
