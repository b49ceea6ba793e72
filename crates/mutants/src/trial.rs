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
            // Noting what it meets takes longer, so its time is taken apart.
            let start = Instant::now();
            if !passes(command(&test, folder, 600)) {
                return Err(format!("{name} fails without any change"));
            }
            test.takes = start.elapsed();
            let record = folder.join("met");
            drop(std::fs::remove_file(&record));
            let mut noting = command(&test, folder, 3600);
            noting.env("MUTANT_RECORD", &record);
            if !passes(noting) {
                return Err(format!("{name} fails while it is noted what it meets"));
            }
            let met = std::fs::read_to_string(&record).unwrap_or_default();
            test.meets = met.lines().filter_map(|l| l.parse().ok()).collect();
            tests.push(test);
        }
    }
    tests.sort_by_key(|t| t.takes);
    Ok(tests)
}

impl Test {
    /// Whether it fails while a site goes another way; one that takes five times its time and ten
    /// seconds of the processor has failed.
    pub(crate) fn fails_under(&self, site: u64, way: u64, folder: &Path) -> bool {
        let seconds = 10 + 5 * self.takes.as_secs();
        let mut command = command(self, folder, seconds);
        command.env("MUTANT_ON", (site << 8 | way).to_string());
        !passes(command)
    }
}

fn passes(mut command: Command) -> bool {
    command.status().is_ok_and(|status| status.success())
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
