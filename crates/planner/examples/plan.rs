//! Reads a brief as JSON from standard input and prints the plan as JSON.
//!
//! ```text
//! echo '{"canvases":[{"width":"1000 mm","height":"800 mm"}]}' | cargo run -q -p planner --example plan
//! ```
//!
//! Exit 0 with the plan on standard output; exit 2 with one message a fault on standard error.
//! The brief's fields are described in `docs/plan-file.md`.

use std::io::{Read, Write};
use std::process::ExitCode;

use planner::{Draft, Tree, plan};

fn main() -> ExitCode {
    let mut text = String::new();
    if let Err(e) = std::io::stdin().read_to_string(&mut text) {
        eprintln!("the brief could not be read: {e}");
        return ExitCode::from(2);
    }
    let tree: Tree = match serde_json::from_str(&text) {
        Ok(tree) => tree,
        Err(e) => {
            eprintln!("the brief is not JSON: {e}");
            return ExitCode::from(2);
        }
    };
    let (draft, mut faults) = Draft::from_tree(&tree);
    let plan = plan(&draft);
    faults.extend(plan.faults.iter().cloned());
    if !faults.is_empty() {
        for fault in &faults {
            eprintln!("{fault}");
        }
        return ExitCode::from(2);
    }
    let written = serde_json::to_writer_pretty(std::io::stdout().lock(), &plan)
        .map_err(std::io::Error::from)
        .and_then(|()| std::io::stdout().write_all(b"\n"));
    // A reader that stops early (such as `head`) is no fault of the brief.
    drop(written);
    ExitCode::SUCCESS
}
