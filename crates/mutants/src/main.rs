//! `cargo run --release -p mutants -- CRATE`: which of the changes that cargo-mutants lists do a
//! crate's own tests notice?
//!
//! cargo-mutants builds once for each change, which takes minutes for some crates here.
//! This writes all its changes into one copy of the crate, each behind a number that the
//! environment turns on, builds once, notes which test meets which change, and runs these tests
//! alone, the quickest first, until one fails.

#![expect(clippy::print_stdout, reason = "it is a program")]

mod list;
mod sites;
mod trial;
mod write;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use list::{Change, Lines};
use sites::{Found, Kind};
use trial::Test;
use write::Writer;

const USAGE: &str =
    "cargo run --release -p mutants -- CRATE [--every N] [--longest SECONDS] [--file PART]";

fn main() -> ExitCode {
    let done = wish(std::env::args().skip(1)).ok_or_else(|| USAGE.to_owned());
    match done.and_then(|wish| job(&wish)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            println!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// What is to be tried.
struct Wish {
    package: String,
    /// Every so many of the changes.
    every: usize,
    /// Tests that take longer are left out.
    longest: Duration,
    /// Only files with this in their path.
    file: String,
}

fn wish(mut words: impl Iterator<Item = String>) -> Option<Wish> {
    let package = words.next()?;
    let mut wish = Wish {
        package,
        every: 1,
        longest: Duration::MAX,
        file: String::new(),
    };
    while let Some(word) = words.next() {
        let value = words.next()?;
        match word.as_str() {
            "--every" => wish.every = value.parse().ok().filter(|n| *n > 0)?,
            "--longest" => wish.longest = Duration::try_from_secs_f64(value.parse().ok()?).ok()?,
            "--file" => wish.file = value,
            _ => return None,
        }
    }
    Some(wish)
}

/// A copy of the workspace with all changes in one crate.
struct Instrumented {
    root: PathBuf,
    target: PathBuf,
    package: String,
    changes: Vec<Change>,
    /// Each file with its text, what was found in it, and the number of its first site.
    files: Vec<(String, String, Found, u64)>,
    unviable: BTreeSet<usize>,
    kept: BTreeSet<u64>,
    constant: BTreeSet<String>,
}

/// What the compiler says; line and column from 1.
#[derive(Debug)]
struct Fault {
    file: String,
    start: (usize, usize),
    end: (usize, usize),
    words: String,
}

fn job(wish: &Wish) -> Result<(), String> {
    let package = &wish.package;
    let list = ["mutants", "--list", "--json", "-p", package];
    let text = output(Command::new("cargo").args(list))?;
    let mut changes: Vec<Change> = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    changes.retain(|c| c.file.contains(&wish.file));
    let target =
        std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| "target".into(), PathBuf::from);
    let target = std::path::absolute(target.join("mutants")).map_err(|e| e.to_string())?;
    let root = target.join("tree").join("main");
    drop(std::fs::remove_dir_all(&root));
    for file in output(Command::new("git").args([
        "ls-files",
        "--cached",
        "--others",
        "--exclude-standard",
    ]))?
    .lines()
    {
        let to = root.join(file);
        std::fs::create_dir_all(to.parent().unwrap_or(&root)).map_err(|e| e.to_string())?;
        std::fs::copy(file, to).map_err(|e| format!("{file}: {e}"))?;
    }
    let mut by_file: BTreeMap<&str, Vec<(usize, &Change)>> = BTreeMap::new();
    for (index, change) in changes.iter().enumerate() {
        by_file
            .entry(&change.file)
            .or_default()
            .push((index, change));
    }
    let (mut files, mut first) = (Vec::new(), 1);
    for (path, in_file) in by_file {
        let text = std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?;
        let found = sites::find(&text, &in_file).map_err(|e| format!("{path}: {e}"))?;
        let count = u64::try_from(found.sites.len()).map_err(|e| e.to_string())?;
        files.push((path.to_owned(), text, found, first));
        first += count;
    }
    let mut copy = Instrumented {
        root,
        target,
        package: package.clone(),
        changes,
        files,
        unviable: BTreeSet::new(),
        kept: BTreeSet::new(),
        constant: BTreeSet::new(),
    };
    copy.compile()?;
    let binaries = copy.binaries()?;
    let folder = copy.target.join("run");
    std::fs::create_dir_all(&folder).map_err(|e| e.to_string())?;
    let mut tests = trial::all(&binaries, &folder)?;
    let (all, taken) = (tests.len(), tests.iter().map(|t| t.takes).sum::<Duration>());
    tests.retain(|t| t.takes <= wish.longest);
    let short = tests.iter().map(|t| t.takes).sum::<Duration>();
    println!(
        "{all} tests in {taken:?}, {} of them used, in {short:?}",
        tests.len()
    );
    copy.run(&tests, &folder, wish.every);
    Ok(())
}

impl Instrumented {
    /// Writes the crate and leaves out what does not compile, until the rest does.
    fn compile(&mut self) -> Result<(), String> {
        for round in 0..60 {
            let mut written = BTreeMap::new();
            for (path, text, found, first) in &self.files {
                let writer = Writer {
                    text,
                    changes: &self.changes,
                    unviable: &self.unviable,
                    kept: &self.kept,
                    constant: &self.constant,
                    first: *first,
                };
                written.insert(path.clone(), writer.write(found));
            }
            let lib = format!("crates/{}/src/lib.rs", self.package);
            let root = match written.remove(&lib) {
                Some(text) => text,
                None => std::fs::read_to_string(&lib).map_err(|e| format!("{lib}: {e}"))?,
            };
            written.insert(lib, root + write::SWITCH);
            for (path, text) in &written {
                std::fs::write(self.root.join(path), text).map_err(|e| format!("{path}: {e}"))?;
            }
            let errors = self.errors()?;
            println!("round {round}: {} errors", errors.len());
            if errors.is_empty() {
                return Ok(());
            }
            let mut moved = false;
            for error in &errors {
                let Some(text) = written.get(&error.file) else {
                    return Err(format!("{error:?}"));
                };
                moved |= self.blame(text, error);
            }
            if !moved {
                return Err(format!("{:?}", errors.first()));
            }
        }
        Err("it does not compile".into())
    }

    /// Takes out what an error is about; false if that is not known.
    fn blame(&mut self, text: &str, error: &Fault) -> bool {
        if let Some(rest) = error.words.split("non-const ").nth(1) {
            let name = rest.split('`').nth(1).unwrap_or_default();
            let name = name
                .rsplit("::")
                .find(|n| !n.starts_with('<'))
                .unwrap_or(name);
            return self
                .constant
                .insert(name.split('<').next().unwrap_or(name).to_owned());
        }
        let lines = Lines::of(text);
        let at = lines.byte(error.start.0, error.start.1 - 1);
        if error.words.starts_with("non-exhaustive") {
            // An arm that can't be left out: all those of this match stay.
            let end = lines.byte(error.end.0, error.end.1 - 1);
            let mut depth = 0;
            let inside = text[end..].char_indices().find(|(_, c)| {
                depth += i32::from(*c == '{') - i32::from(*c == '}');
                *c == '}' && depth == 0
            });
            let arms = &text[end..end + inside.map_or(0, |(at, _)| at)];
            let marks = arms.match_indices("/*<").filter_map(|(at, _)| {
                between(&arms[at..], "/*<", "*/").and_then(|n| n.parse::<u64>().ok())
            });
            let marks: Vec<u64> = marks.filter(|n| self.is_arm(*n)).collect();
            let before = self.kept.len();
            self.kept.extend(marks);
            return self.kept.len() > before;
        }
        let in_line = text.lines().nth(error.start.0 - 1).unwrap_or_default();
        if let Some(change) = between(in_line, "/*~", "*/").and_then(|n| n.parse().ok()) {
            return self.unviable.insert(change);
        }
        // The innermost site around the place.
        let mut open: Vec<u64> = Vec::new();
        for (from, _) in text[..at].match_indices("/*") {
            let number = |mark: &str| {
                between(&text[from..], mark, "*/").filter(|_| text[from..].starts_with(mark))
            };
            if let Some(n) = number("/*<").and_then(|n| n.parse().ok()) {
                open.push(n);
            } else if number("/*>").is_some() {
                open.pop();
            }
        }
        open.last().is_some_and(|site| self.kept.insert(*site))
    }

    fn is_arm(&self, number: u64) -> bool {
        let mut sites = self
            .files
            .iter()
            .flat_map(|(_, _, found, first)| (*first..).zip(&found.sites));
        sites.any(|(n, site)| n == number && matches!(site.kind, Kind::Arm { .. }))
    }

    fn errors(&self) -> Result<Vec<Fault>, String> {
        let mut command = self.cargo("check");
        command.args(["--lib", "--message-format", "json"]);
        let text = said(&mut command)?;
        let mut errors = Vec::new();
        for line in text.lines() {
            let Ok(value) = serde_json::from_str::<serde_json::Value>(line) else {
                continue;
            };
            let message = &value["message"];
            if message["level"] != "error" {
                continue;
            }
            let words = message["message"].as_str().unwrap_or_default();
            for span in message["spans"].as_array().into_iter().flatten() {
                let number = |name: &str| usize::try_from(span[name].as_u64()?).ok();
                let place = |line, column| number(line).zip(number(column));
                if span["is_primary"] == true
                    && let Some(file) = span["file_name"].as_str()
                    && let Some(start) = place("line_start", "column_start")
                    && let Some(end) = place("line_end", "column_end")
                {
                    errors.push(Fault {
                        file: file.to_owned(),
                        start,
                        end,
                        words: words.to_owned(),
                    });
                }
            }
        }
        Ok(errors)
    }

    fn cargo(&self, what: &str) -> Command {
        let mut command = Command::new("cargo");
        command
            .args([what, "-p", &self.package])
            .current_dir(&self.root);
        command.env("CARGO_TARGET_DIR", self.target.join("build"));
        command.env("RUSTFLAGS", "--cap-lints allow -A warnings");
        // The tests run thousands of times.
        command
            .env("CARGO_PROFILE_TEST_OPT_LEVEL", "2")
            .env("CARGO_INCREMENTAL", "0");
        command
    }

    fn binaries(&self) -> Result<Vec<PathBuf>, String> {
        let mut command = self.cargo("test");
        command.args(["--lib", "--tests", "--no-run", "--message-format", "json"]);
        let text = said(&mut command)?;
        let mut binaries = Vec::new();
        for line in text.lines() {
            let Ok(value) = serde_json::from_str::<serde_json::Value>(line) else {
                continue;
            };
            if value["profile"]["test"] == true
                && let Some(path) = value["executable"].as_str()
            {
                binaries.push(path.into());
            }
        }
        if binaries.is_empty() {
            Err("the tests do not build".into())
        } else {
            Ok(binaries)
        }
    }

    /// Tries every `every`-th change and prints how it ends.
    fn run(&self, tests: &[Test], folder: &Path, every: usize) {
        let mut to_try: Vec<(usize, u64, u64)> = Vec::new();
        let mut left: Vec<usize> = Vec::new();
        for (_, _, found, first) in &self.files {
            left.extend(&found.left);
            for (number, site) in (*first..).zip(&found.sites) {
                let stays = self.kept.contains(&number) || found.is_constant(site, &self.constant);
                for (way, &change) in (1..).zip(&site.changes) {
                    if stays {
                        left.push(change);
                    } else if !self.unviable.contains(&change) {
                        to_try.push((change, number, way));
                    }
                }
            }
        }
        to_try.sort_unstable();
        for change in &left {
            println!("left       {}", self.changes[*change].name);
        }
        let to_try: Vec<_> = to_try.into_iter().step_by(every).collect();
        let next = AtomicUsize::new(0);
        let counts = Mutex::new(BTreeMap::<&str, usize>::new());
        std::thread::scope(|scope| {
            for _ in 0..std::thread::available_parallelism().map_or(1, Into::into) {
                scope.spawn(|| {
                    while let Some(&(change, site, way)) =
                        to_try.get(next.fetch_add(1, Ordering::Relaxed))
                    {
                        let mut meeting =
                            tests.iter().filter(|t| t.meets.contains(&site)).peekable();
                        let how = if meeting.peek().is_none() {
                            "unmet"
                        } else if meeting.any(|t| t.fails_under(site, way, folder)) {
                            "caught"
                        } else {
                            "survived"
                        };
                        println!("{how:10} {}", self.changes[change].name);
                        if let Ok(mut counts) = counts.lock() {
                            *counts.entry(how).or_default() += 1;
                        }
                    }
                });
            }
        });
        println!(
            "{} listed, {} do not compile, {} left to cargo-mutants, {} tried: {:?}",
            self.changes.len(),
            self.unviable.len(),
            left.len(),
            to_try.len(),
            counts
                .lock()
                .map_or_else(|_| BTreeMap::new(), |c| c.clone()),
        );
    }
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    let start = text.find(from)? + from.len();
    Some(&text[start..start + text[start..].find(to)?])
}

/// What a command prints, whether it succeeds or not.
fn said(command: &mut Command) -> Result<String, String> {
    let output = command
        .stderr(Stdio::null())
        .output()
        .map_err(|e| e.to_string())?;
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// What a command prints.
fn output(command: &mut Command) -> Result<String, String> {
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .map_err(|e| e.to_string())?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        Err(format!("{command:?} failed"))
    }
}
