//! `cargo xtask`: reads the command line and hands over to the library.

use std::process::ExitCode;

use xtask::shell::{Error, Result};
use xtask::{artifact, budgets, checks, site};

/// The port that `cargo xtask serve` uses unless told otherwise. Our choice: unregistered and
/// easy to type.
const DEFAULT_PORT: u16 = 8371;

const USAGE: &str = "\
usage: cargo xtask <command>

  serve [--port N]     build the page, serve it on 127.0.0.1 (port 8371) and print its address
  build                build the page as one file, dist/battenbook.html
  test [--only STEP]   run every check and test, browsers included
  bench                measure the budgets and print them in one table

What a command needs is installed on first use.";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match run(&words) {
        Ok(code) => code,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(words: &[&str]) -> Result<ExitCode> {
    match words {
        ["serve"] => site::serve(DEFAULT_PORT)?,
        ["serve", "--port", port] => site::serve(parse_port(port)?)?,
        ["build"] => artifact::build()?.print(),
        ["test"] => return checks::run_all(),
        ["test", "--only", step] => return checks::run_only(step),
        ["bench"] => return budgets::run(),
        ["help" | "--help" | "-h"] => println!("{USAGE}"),
        _ => {
            eprintln!("{USAGE}");
            return Ok(ExitCode::from(2));
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn parse_port(text: &str) -> Result<u16> {
    match text.parse() {
        Ok(port) if port > 0 => Ok(port),
        _ => Err(Error::new(format!(
            "--port takes a number from 1 to 65535, not {text:?}"
        ))),
    }
}
