//! Reads a brief as JSON from standard input and prints its job sheet as an HTML document.
//!
//! ```text
//! cargo run -q -p sheets --example print_sheet < brief.json > sheet.html
//! ```
//!
//! An argument `rods` or `labels` prints those instead, `rods-letter` and `labels-letter` for US
//! Letter. Exit 2 with a message on standard error where the brief is no JSON.

use std::io::Read;
use std::process::ExitCode;

use planner::{Draft, Tree, plan};
use sheets::drawing::{self, Paper};
use sheets::print;

fn main() -> ExitCode {
    let mut text = String::new();
    let tree: Result<Tree, String> = std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|e| e.to_string())
        .and_then(|_| serde_json::from_str(&text).map_err(|e| e.to_string()));
    let tree = match tree {
        Ok(tree) => tree,
        Err(e) => {
            eprintln!("the brief could not be read: {e}");
            return ExitCode::from(2);
        }
    };
    let plan = plan(&Draft::from_tree(&tree).0);
    let what = std::env::args().nth(1).unwrap_or_default();
    let sheet = match what.as_str() {
        "rods" => print::full_size_rods(&plan, Paper::A4),
        "rods-letter" => print::full_size_rods(&plan, Paper::Letter),
        "labels" => print::labels(&plan, Paper::A4),
        "labels-letter" => print::labels(&plan, Paper::Letter),
        _ => print::job_sheet(
            &plan,
            "https://example.org/battenbook.html#1.an-invented-link",
            "2 March 2026",
        ),
    };
    println!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>{}</title>\
         <style>{}{}</style></head><body><div id=\"{}\">{}</div></body></html>",
        print::ID,
        include_str!("../../../www/style.css"),
        drawing::STYLE,
        print::ID,
        sheet.into_string(),
    );
    ExitCode::SUCCESS
}
