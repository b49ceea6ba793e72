//! The steps of `cargo xtask test`, in the order that finds a fault soonest.

use std::process::ExitCode;
use std::time::Instant;

use crate::artifact;
use crate::shell::{self, Error, Result};
use crate::tools;

/// The package of the browser tests, which need the built page.
const BROWSER_TESTS: &str = "whole-product";
/// The crates that must do without std.
const NO_STD_CRATES: [&str; 4] = ["quantity", "cutting", "statics", "planner"];

/// How long each reader is fed in the fuzz step.
const FUZZ_SECONDS: &str = "7";

struct Step {
    name: &'static str,
    what: &'static str,
    run: fn() -> Result<()>,
}

const STEPS: [Step; 9] = [
    Step {
        name: "set-up",
        what: "tools and browsers are there, or get installed",
        run: set_up,
    },
    Step {
        name: "format",
        what: "rustfmt has nothing to change",
        run: format,
    },
    Step {
        name: "lints",
        what: "clippy has nothing to say",
        run: lints,
    },
    Step {
        name: "no-std",
        what: "the calculating crates build for a target without std",
        run: no_std,
    },
    Step {
        name: "unit",
        what: "unit, property and public-API tests",
        run: unit,
    },
    Step {
        name: "fuzz",
        what: "hostile and odd input for every reader, for some seconds each",
        run: fuzz,
    },
    Step {
        name: "docs",
        what: "the API documentation builds without a warning",
        run: docs,
    },
    Step {
        name: "build",
        what: "the page as one file, and its size",
        run: build,
    },
    Step {
        name: "browsers",
        what: "the whole product in three browser engines",
        run: browser_tests,
    },
];

/// Runs every step, also after a failure, and prints how many passed and failed.
pub fn run_all() -> Result<ExitCode> {
    let mut times = Vec::new();
    for step in &STEPS {
        let start = Instant::now();
        let passed = run_step(step);
        times.push((step.name, passed, start.elapsed().as_secs_f64()));
    }
    println!();
    for (name, passed, seconds) in &times {
        let verdict = if *passed { "passed" } else { "FAILED" };
        println!("{name:<10} {verdict}  {seconds:6.1} s");
    }
    let failed = times.iter().filter(|(_, passed, _)| !passed).count();
    println!("{} passed, {failed} failed", times.len() - failed);
    Ok(exit_code(failed == 0))
}

/// Runs the one step of this name.
pub fn run_only(name: &str) -> Result<ExitCode> {
    let Some(step) = STEPS.iter().find(|step| step.name == name) else {
        let names: Vec<_> = STEPS.iter().map(|step| step.name).collect();
        return Err(Error::new(format!(
            "there is no step {name:?}; the steps are {}",
            names.join(", ")
        )));
    };
    Ok(exit_code(run_step(step)))
}

fn run_step(step: &Step) -> bool {
    println!("\n== {}: {}", step.name, step.what);
    let start = Instant::now();
    let result = (step.run)();
    let seconds = start.elapsed().as_secs_f64();
    match result {
        Ok(()) => println!("== {} passed in {seconds:.1} s", step.name),
        Err(ref error) => {
            println!("error: {error}");
            println!("== {} FAILED after {seconds:.1} s", step.name);
        }
    }
    result.is_ok()
}

fn exit_code(passed: bool) -> ExitCode {
    if passed {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn set_up() -> Result<()> {
    tools::set_up_build()?;
    tools::set_up_tests()
}

fn format() -> Result<()> {
    shell::run(shell::cargo().args(["fmt", "--all", "--check"]))
}

fn lints() -> Result<()> {
    shell::run(shell::cargo().args([
        "clippy",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))
}

fn no_std() -> Result<()> {
    let packages = NO_STD_CRATES.iter().flat_map(|name| ["-p", name]);
    shell::run(
        shell::cargo()
            .args(["build", "--target", tools::NO_STD_TARGET])
            .args(packages),
    )
}

fn unit() -> Result<()> {
    shell::run(shell::cargo().args([
        "test",
        "--no-fail-fast",
        "--workspace",
        "--exclude",
        BROWSER_TESTS,
    ]))
}

fn fuzz() -> Result<()> {
    let words = ["run", "--quiet", "--profile", "test", "-p", "fuzz"];
    shell::run(
        shell::cargo()
            .args(words)
            .args(["--bin", "fuzz", "--", FUZZ_SECONDS]),
    )
}

fn docs() -> Result<()> {
    shell::run(shell::cargo().env("RUSTDOCFLAGS", "-D warnings").args([
        "doc",
        "--workspace",
        "--no-deps",
    ]))
}

/// The page must not grow unnoticed while it is above its budget: a printer of floats brought in
/// again, 8 kB of the file, shows here.
const MOST_BYTES: usize = 796_000;

fn build() -> Result<()> {
    let artifact = artifact::build()?;
    artifact.print();
    if artifact.raw > MOST_BYTES {
        return Err(Error::new(format!(
            "the page has {} bytes, more than {MOST_BYTES}: docs/decisions.md says what keeps it small",
            artifact.raw
        )));
    }
    Ok(())
}

fn browser_tests() -> Result<()> {
    // Unoptimised: these tests wait for browsers, and the profile for tests would compile longer
    // than it saves.
    shell::run(shell::cargo().args([
        "test",
        "--no-fail-fast",
        "--profile",
        "dev",
        "-p",
        BROWSER_TESTS,
    ]))
}
