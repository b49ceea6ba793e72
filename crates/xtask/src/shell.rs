//! Running other programs, and the one error type.

use std::env;
use std::ffi::OsStr;
use std::fmt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::project;

/// Why a command stopped, in words for the person at the keyboard.
#[derive(Debug)]
pub struct Error(String);

/// What everything here returns.
pub type Result<T> = core::result::Result<T, Error>;

impl Error {
    /// An error with this message.
    pub fn new(message: impl Into<String>) -> Self {
        Self(message.into())
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for Error {}

/// Turns a failure of the file system into an [`Error`] that says which path it was about.
pub fn at<T>(path: &Path, result: std::io::Result<T>) -> Result<T> {
    result.map_err(|error| Error::new(format!("{}: {error}", path.display())))
}

/// A command that runs in the repository's folder.
pub fn command(program: impl AsRef<OsStr>) -> Command {
    let mut command = Command::new(program);
    command.current_dir(project::root());
    command
}

/// The cargo that started us.
pub fn cargo() -> Command {
    command(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Prints the command, runs it with its output shown, and fails unless it succeeds.
pub fn run(command: &mut Command) -> Result<()> {
    let line = describe(command);
    println!("$ {line}");
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(Error::new(format!("`{line}` failed ({status})"))),
        Err(error) => Err(Error::new(format!("`{line}` did not start: {error}"))),
    }
}

/// Runs the command quietly and returns its standard output; what it writes to standard error
/// is shown.
pub fn read(command: &mut Command) -> Result<String> {
    let line = describe(command);
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| Error::new(format!("`{line}` did not start: {error}")))?;
    if !output.status.success() {
        return Err(Error::new(format!("`{line}` failed ({})", output.status)));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The program's file in one of the folders of `PATH`, if there is one.
pub fn find_on_path(program: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path)
        .map(|dir| dir.join(program))
        .find(|file| file.is_file())
}

fn describe(command: &Command) -> String {
    let mut line = command.get_program().to_string_lossy().into_owned();
    if let Some(name) = Path::new(&line).file_name() {
        line = name.to_string_lossy().into_owned();
    }
    for word in command.get_args() {
        line.push(' ');
        line.push_str(&word.to_string_lossy());
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_command_is_named_in_the_error() {
        let error = run(command("sh").args(["-c", "exit 3"])).expect_err("exit 3 is a failure");
        assert_eq!(error.to_string(), "`sh -c exit 3` failed (exit status: 3)");
    }

    #[test]
    fn a_missing_program_is_named_in_the_error() {
        let error = read(&mut command("no-such-program-here")).expect_err("it does not exist");
        assert!(
            error
                .to_string()
                .starts_with("`no-such-program-here` did not start:")
        );
    }
}
