//! What must be installed, and installing it.
//!
//! Each cargo tool gets its own folder with its version in the name, so a new version never
//! meets an old one and a second run finds everything in place.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::browsers;
use crate::project;
use crate::shell::{self, Error, Result};

/// The page runs on this target.
pub const PAGE_TARGET: &str = "wasm32-unknown-unknown";
/// A target that has no std at all: what builds for it cannot have linked it.
pub const NO_STD_TARGET: &str = "wasm32v1-none";

const WASM_PACK: &str = "0.15.1";
const GECKODRIVER: &str = "0.37.1";
/// npm packages: `wasm-opt` and `esbuild`, which shrink the page, and the accessibility rules for
/// the tests.
const NPM_PACKAGES: [(&str, &str); 3] = [
    ("binaryen", "132.0.0"),
    ("esbuild", "0.28.2"),
    ("axe-core", "4.14.1"),
];

/// What building the page needs.
#[derive(Debug)]
pub struct BuildTools {
    /// wasm-pack's executable.
    pub wasm_pack: PathBuf,
    /// The folder that holds the matching `wasm-bindgen`, for `PATH`.
    pub wasm_bindgen_dir: PathBuf,
    /// The folder that holds `wasm-opt` and `esbuild`; `None` where npm is absent.
    pub shrinkers: Option<PathBuf>,
}

/// Finds what building the page needs, and installs what is missing.
pub fn set_up_build() -> Result<BuildTools> {
    add_target(PAGE_TARGET)?;
    let wasm_bindgen = cargo_tool(
        "wasm-bindgen-cli",
        "wasm-bindgen",
        &locked_version("wasm-bindgen")?,
    )?;
    let wasm_pack = cargo_tool("wasm-pack", "wasm-pack", WASM_PACK)?;
    let shrinkers = if npm_packages()? {
        Some(npm_dir().join("node_modules/.bin"))
    } else {
        println!(
            "notice: there is no npm here, so the page is built without wasm-opt and esbuild and is larger"
        );
        None
    };
    Ok(BuildTools {
        wasm_pack,
        wasm_bindgen_dir: parent(&wasm_bindgen),
        shrinkers,
    })
}

/// Finds what the tests need beyond [`set_up_build`], and installs what is missing.
pub fn set_up_tests() -> Result<()> {
    add_target(NO_STD_TARGET)?;
    browsers::set_up()?;
    cargo_tool("geckodriver", "geckodriver", GECKODRIVER)?;
    if shell::find_on_path("npm").is_none() {
        browsers::apt_install(&["nodejs", "npm"]).map_err(|error| {
            Error::new(format!(
                "the browser tests need npm for axe-core: {error}\ninstall it with: apt-get install -y --no-install-recommends nodejs npm"
            ))
        })?;
    }
    npm_packages().map(|_| ())
}

/// Where geckodriver is once [`set_up_tests`] has run.
pub fn geckodriver() -> PathBuf {
    tool_file("geckodriver", "geckodriver", GECKODRIVER)
}

/// The accessibility rules' script once [`set_up_tests`] has run.
pub fn axe_script() -> PathBuf {
    npm_dir().join("node_modules/axe-core/axe.min.js")
}

fn add_target(target: &str) -> Result<()> {
    let installed = shell::read(shell::command("rustup").args(["target", "list", "--installed"]))?;
    if installed.lines().any(|line| line == target) {
        return Ok(());
    }
    shell::run(shell::command("rustup").args(["target", "add", target]))
}

/// The version of a crate in Cargo.lock.
fn locked_version(krate: &str) -> Result<String> {
    let path = project::root().join("Cargo.lock");
    let lock = shell::at(&path, fs::read_to_string(&path))?;
    version_in_lock(&lock, krate)
        .ok_or_else(|| Error::new(format!("Cargo.lock has no {krate}: the page needs it")))
}

fn version_in_lock(lock: &str, krate: &str) -> Option<String> {
    let name = format!("name = \"{krate}\"");
    let mut lines = lock.lines().skip_while(|line| *line != name).skip(1);
    let version = lines
        .next()?
        .strip_prefix("version = \"")?
        .strip_suffix('"')?;
    Some(version.to_owned())
}

fn tool_file(package: &str, program: &str, version: &str) -> PathBuf {
    project::tools_dir()
        .join(format!("{package}-{version}"))
        .join("bin")
        .join(program)
}

/// A program from the registry of exactly this version, installed if it is not there.
fn cargo_tool(package: &str, program: &str, version: &str) -> Result<PathBuf> {
    let file = tool_file(package, program, version);
    if !has_version(&file, version) {
        println!("installing {package} {version} (once; this takes some minutes)");
        install(package, version, true).or_else(|error| {
            // The lock that a package carries can name versions that a registry mirror does
            // not have yet; resolving afresh then works.
            println!("{error}; trying again without --locked");
            install(package, version, false)
        })?;
    }
    if has_version(&file, version) {
        Ok(file)
    } else {
        Err(Error::new(format!(
            "{} is not {program} {version}; remove it and try again",
            file.display()
        )))
    }
}

fn install(package: &str, version: &str, locked: bool) -> Result<()> {
    let root = project::tools_dir().join(format!("{package}-{version}"));
    let mut cargo = shell::cargo();
    // Unoptimised: these tools work for seconds and would compile for minutes more.
    cargo
        .args([
            "install",
            "--debug",
            package,
            "--version",
            version,
            "--root",
        ])
        .arg(root);
    if locked {
        cargo.arg("--locked");
    }
    shell::run(&mut cargo)
}

fn has_version(file: &Path, version: &str) -> bool {
    file.is_file()
        && shell::read(Command::new(file).arg("--version"))
            .is_ok_and(|text| text.split_whitespace().any(|word| word == version))
}

fn npm_dir() -> PathBuf {
    project::tools_dir().join("npm")
}

/// Whether the npm packages are in place, installed if they were not; false where npm is absent.
fn npm_packages() -> Result<bool> {
    let lacking: Vec<String> = NPM_PACKAGES
        .iter()
        .filter(|(name, version)| !has_npm_package(name, version))
        .map(|(name, version)| format!("{name}@{version}"))
        .collect();
    if lacking.is_empty() {
        return Ok(true);
    }
    if shell::find_on_path("npm").is_none() {
        return Ok(false);
    }
    let dir = npm_dir();
    shell::at(&dir, fs::create_dir_all(&dir))?;
    shell::run(
        shell::command("npm")
            .args([
                "install",
                "--no-audit",
                "--no-fund",
                "--save-exact",
                "--prefix",
            ])
            .arg(&dir)
            .args(&lacking),
    )?;
    Ok(true)
}

fn has_npm_package(name: &str, version: &str) -> bool {
    let manifest = npm_dir()
        .join("node_modules")
        .join(name)
        .join("package.json");
    let line = format!("\"version\": \"{version}\"");
    fs::read_to_string(manifest).is_ok_and(|text| text.contains(&line))
}

fn parent(file: &Path) -> PathBuf {
    file.parent().unwrap_or(file).to_path_buf()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOCK: &str = "[[package]]\nname = \"wasm-bindgen-futures\"\nversion = \"0.4.80\"\n\n\
                        [[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\n";

    #[test]
    fn the_locked_version_is_the_crates_own() {
        assert_eq!(
            version_in_lock(LOCK, "wasm-bindgen").as_deref(),
            Some("0.2.130")
        );
        assert_eq!(version_in_lock(LOCK, "wasm"), None);
    }
}
