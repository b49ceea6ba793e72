//! The crate's tests, one process each: how long each takes, which sites it meets, and whether it
//! fails under a change.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// One test function.
#[derive(Debug)]
pub(crate) struct Test {
    binary: PathBuf,
    pub(crate) name: String,
    pub(crate) takes: Duration,
    /// Sites that it meets.
    pub(crate) meets: BTreeSet<u64>,
}

/// How a test ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    Passed,
    Failed,
}

/// The tests in some binaries, quickest first.
///
/// # Errors
///
/// A test that fails as the code is written, or a binary that can't be started.
pub(crate) fn all(binaries: &[PathBuf], folder: &Path) -> Result<Vec<Test>, String> {
    let mut tests = Vec::new();
    for binary in binaries {
        let listed = Command::new(binary)
            .args(["--list", "--format", "terse"])
            .output();
        let listed = listed.map_err(|e| format!("{}: {e}", binary.display()))?;
        for line in String::from_utf8_lossy(&listed.stdout).lines() {
            let Some(name) = line.strip_suffix(": test") else {
                continue;
            };
            let mut test = Test {
                binary: binary.clone(),
                name: name.to_owned(),
                takes: Duration::ZERO,
                meets: BTreeSet::new(),
            };
            let record = folder.join("met");
            drop(std::fs::remove_file(&record));
            let start = Instant::now();
            let mut command = command(&test, folder, 600);
            command.env("MUTANT_RECORD", &record);
            let passed = command.status().is_ok_and(|s| s.success());
            if !passed {
                return Err(format!("{name} fails without any change"));
            }
            test.takes = start.elapsed();
            let met = std::fs::read_to_string(&record).unwrap_or_default();
            test.meets = met.lines().filter_map(|l| l.parse().ok()).collect();
            tests.push(test);
        }
    }
    tests.sort_by_key(|t| t.takes);
    Ok(tests)
}

impl Test {
    /// How it ends while a site goes another way; one that takes five times its time and ten
    /// seconds of the processor has failed.
    pub(crate) fn under(&self, site: u64, way: u64, folder: &Path) -> End {
        let seconds = 10 + 5 * self.takes.as_secs();
        let mut command = command(self, folder, seconds);
        command.env("MUTANT_ON", (site << 8 | way).to_string());
        if command.status().is_ok_and(|s| s.success()) {
            End::Passed
        } else {
            End::Failed
        }
    }
}

/// The test alone, in a folder of its own: proptest keeps no failing cases there, which would
/// help the next change to be found.
fn command(test: &Test, folder: &Path, seconds: u64) -> Command {
    let mut command = Command::new("bash");
    let limits = format!("ulimit -t {seconds} -v 4000000; exec \"$0\" \"$@\"");
    command
        .args(["-c", &limits])
        .arg(&test.binary)
        .args(["--exact", &test.name]);
    command.args(["--test-threads", "1", "--include-ignored"]);
    command
        .current_dir(folder)
        .env("PROPTEST_MAX_SHRINK_ITERS", "1")
        .env("RUST_BACKTRACE", "0");
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}
