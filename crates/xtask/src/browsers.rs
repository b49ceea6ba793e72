//! The three browser engines, their drivers, the reader of printed pages, and the line that
//! installs them.

use std::fs;
use std::path::{Path, PathBuf};

use crate::shell::{self, Error, Result};

/// Debian's packages of the browsers, their drivers, a display without a screen, and what turns a
/// printed page into a picture.
const PACKAGES: [&str; 7] = [
    "chromium",
    "chromium-driver",
    "firefox-esr",
    "webkit2gtk-driver",
    "xvfb",
    "xauth",
    "poppler-utils",
];

/// The line that installs what [`missing`] names, for a person to copy.
pub fn install_line() -> String {
    format!(
        "apt-get update && apt-get install -y --no-install-recommends {}",
        PACKAGES.join(" ")
    )
}

/// What the browser tests need and this machine does not have, by name.
pub fn missing() -> Vec<&'static str> {
    let programs = [
        "chromium",
        "chromedriver",
        "firefox-esr",
        "WebKitWebDriver",
        "Xvfb",
        "pdftoppm",
    ];
    let mut missing: Vec<_> = programs
        .into_iter()
        .filter(|program| shell::find_on_path(program).is_none())
        .collect();
    if webkit_browser().is_none() {
        missing.push("MiniBrowser");
    }
    missing
}

/// WebKitGTK's test browser, which lies in a folder named after the processor.
pub fn webkit_browser() -> Option<PathBuf> {
    let folders = fs::read_dir("/usr/lib").ok()?;
    folders
        .flatten()
        .map(|folder| folder.path().join("webkit2gtk-4.1/MiniBrowser"))
        .find(|file| file.is_file())
}

/// Installs the browsers where we may (root, on a machine with `apt-get`); elsewhere fails with
/// the line to use.
pub fn set_up() -> Result<()> {
    let lacking = missing();
    if lacking.is_empty() {
        return Ok(());
    }
    println!("missing for the browser tests: {}", lacking.join(", "));
    apt_install(&PACKAGES).map_err(|error| {
        Error::new(format!(
            "the browser tests need {}: {error}\ninstall them with: {}",
            lacking.join(", "),
            install_line()
        ))
    })?;
    let still = missing();
    if still.is_empty() {
        Ok(())
    } else {
        Err(Error::new(format!(
            "installed, but still not found: {}",
            still.join(", ")
        )))
    }
}

/// Installs Debian packages; fails unless we are root on a machine with `apt-get`.
pub(crate) fn apt_install(packages: &[&str]) -> Result<()> {
    if shell::find_on_path("apt-get").is_none() {
        return Err(Error::new("there is no apt-get here"));
    }
    if !is_root() {
        return Err(Error::new("installing packages needs root"));
    }
    shell::run(shell::command("apt-get").arg("update"))?;
    shell::run(
        shell::command("apt-get")
            .env("DEBIAN_FRONTEND", "noninteractive")
            .args(["install", "-y", "--no-install-recommends"])
            .args(packages),
    )
}

/// Whether we are root: the owner of our own entry under /proc is the user we run as.
fn is_root() -> bool {
    use std::os::unix::fs::MetadataExt;
    fs::metadata(Path::new("/proc/self")).is_ok_and(|entry| entry.uid() == 0)
}
