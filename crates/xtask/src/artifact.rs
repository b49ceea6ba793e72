//! The page as one self-contained file.
//!
//! `www/index.html` is an ordinary page that names its style and its script. The build puts both
//! inside, the wasm too, and a Content-Security-Policy that allows exactly these and no request:
//!
//! ```text
//! <meta charset="utf-8">                             + the policy, with the hashes of both below
//! <!--battenbook:NAME-->                             markup made by the product's own code
//! <link rel="stylesheet" href="style.css">           the style
//! <script type="module" src="boot.js"></script>      saved plan (empty), wasm, script
//! ```

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use flate2::Compression;
use flate2::write::GzEncoder;
use sha2::{Digest, Sha256};

use crate::hosting;
use crate::packing;
use crate::project;
use crate::shell::{self, Error, Result};
use crate::tools::{self, BuildTools};
use crate::wasm;

/// Markup by the name in its marker, with the function that makes it.
type Generated = [(&'static str, fn() -> String)];

/// Markup that the product's own code makes at build time.
const GENERATED: &Generated = &[
    ("form", sheets::form::markup),
    ("help", sheets::help::markup),
];

const CHARSET_TAG: &str = r#"<meta charset="utf-8">"#;
const STYLE_TAG: &str = r#"<link rel="stylesheet" href="style.css">"#;
const SCRIPT_TAG: &str = r#"<script type="module" src="boot.js"></script>"#;
const MARKER: &str = "<!--battenbook:";

/// What wasm-opt may use: the features that rustc itself turns on for this target and nothing
/// newer, because WebKitGTK 2.50 lacks relaxed SIMD, several memories and 64-bit memory.
const WASM_FEATURES: [&str; 9] = [
    "--mvp-features",
    "--enable-bulk-memory",
    "--enable-bulk-memory-opt",
    "--enable-call-indirect-overlong",
    "--enable-multivalue",
    "--enable-mutable-globals",
    "--enable-nontrapping-float-to-int",
    "--enable-reference-types",
    "--enable-sign-ext",
];

/// A built page: its file and how large it and its parts are, in bytes.
#[derive(Debug)]
pub struct Artifact {
    /// The file.
    pub file: PathBuf,
    /// The whole file.
    pub raw: usize,
    /// The whole file, gzipped as a server would send it.
    pub gzipped: usize,
    /// The wasm before compression.
    pub wasm: usize,
    /// Bytes of its code by crate, most first.
    pub crates: Vec<(String, usize)>,
    /// The wasm as it lies in the file.
    pub packed_wasm: usize,
    /// wasm-bindgen's script and ours.
    pub script: usize,
    /// The style.
    pub style: usize,
}

impl Artifact {
    /// Prints the file's path and the sizes.
    pub fn print(&self) {
        println!("{}", self.file.display());
        println!(
            "{} bytes, {} gzipped: wasm {} (packed {}), script {}, style {}",
            self.raw, self.gzipped, self.wasm, self.packed_wasm, self.script, self.style
        );
    }
}

/// Builds the page into `dist/battenbook.html` and what a host serves beside it, with the set-up
/// that this needs.
pub fn build() -> Result<Artifact> {
    let tools = tools::set_up_build()?;
    let package = PAGE.compile(&tools)?;
    let module = wasm::tidy(&read_bytes(&package.join("page_bg.wasm"))?)?;
    let www = project::root().join("www");
    let style = read_text(&www.join("style.css"))? + sheets::drawing::STYLE;
    let script = module.script(&read_text(&package.join("page.js"))?)?
        + &read_text(&www.join("listen.js"))?
        + &read_text(&www.join("journal.js"))?
        + &read_text(&www.join("anchor.js"))?
        + &read_text(&www.join("boot.js"))?;
    refuse_imports(&script)?;
    let parts = Parts {
        page: read_text(&www.join("index.html"))?,
        style: shrunk(&tools, &package.join("page.css"), style)?,
        script: shrunk(&tools, &package.join("whole.js"), script)?,
        packed_wasm: packing::pack(&module.bytes)?,
    };
    let html = assemble(&parts, GENERATED)?;
    let file = project::artifact();
    write(&file, html.as_bytes())?;
    for (name, bytes) in hosting::beside(&html)? {
        write(&file.with_file_name(name), &bytes)?;
    }
    Ok(Artifact {
        file,
        raw: html.len(),
        gzipped: gzip(html.as_bytes())?.len(),
        wasm: module.bytes.len(),
        crates: module.crates,
        packed_wasm: parts.packed_wasm.len(),
        script: parts.script.len(),
        style: parts.style.len(),
    })
}

const PAGE: Module = Module {
    krate: "crates/page",
    name: "page",
    target: "no-modules",
    engine: true,
};

/// A wasm module, compiled as the page is.
pub(crate) struct Module {
    /// Folder of its crate.
    pub(crate) krate: &'static str,
    /// What its files are called.
    pub(crate) name: &'static str,
    /// What shall run it, in wasm-pack's words.
    pub(crate) target: &'static str,
    /// Whether with the features it has by itself.
    pub(crate) engine: bool,
}

impl Module {
    /// Compiles it; returns the folder with `NAME.js` and `NAME_bg.wasm`, which still names its
    /// functions.
    pub(crate) fn compile(&self, tools: &BuildTools) -> Result<PathBuf> {
        let folder = if self.engine {
            "package"
        } else {
            "package-bare"
        };
        let package = project::target_dir()
            .join("battenbook")
            .join(folder)
            .join(self.name);
        let mut path = tools.wasm_bindgen_dir.clone().into_os_string();
        if let Some(rest) = std::env::var_os("PATH") {
            path.push(":");
            path.push(rest);
        }
        let features: &[&str] = if self.engine {
            &[]
        } else {
            &["--", "--no-default-features"]
        };
        shell::run(
            shell::command(&tools.wasm_pack)
                .env("PATH", path)
                .args(["--log-level", "warn", "build", self.krate])
                .args(["--target", self.target, "--mode", "no-install"])
                .args(["--profile", "wasm", "--no-opt"])
                .args(["--no-typescript", "--no-pack", "--no-gitignore"])
                .args(["--out-name", self.name, "--out-dir"])
                .arg(&package)
                .args(features),
        )?;
        if let Some(shrinkers) = &tools.shrinkers {
            let file = package.join(format!("{}_bg.wasm", self.name));
            shell::run(
                shell::command(shrinkers.join("wasm-opt"))
                    .args(["-Oz", "--low-memory-unused", "--debuginfo"])
                    .args(WASM_FEATURES)
                    .arg(&file)
                    .arg("-o")
                    .arg(&file),
            )?;
        }
        Ok(package)
    }
}

/// What goes into the file.
struct Parts {
    page: String,
    style: String,
    script: String,
    packed_wasm: String,
}

fn assemble(parts: &Parts, generated: &Generated) -> Result<String> {
    let Parts {
        page,
        style,
        script,
        packed_wasm,
    } = parts;
    for (name, text, end) in [("style", style, "</style"), ("script", script, "</script")] {
        if text.to_ascii_lowercase().contains(end) {
            return Err(Error::new(format!(
                "the {name} contains {end:?}, which would end it"
            )));
        }
        if text.contains('\r') {
            // A browser reads a line end as one newline, and the hash would not match.
            return Err(Error::new(format!("the {name} contains a carriage return")));
        }
    }

    let mut html = page.clone();
    for (name, markup) in generated {
        html = replace_once(&html, &format!("{MARKER}{name}-->"), &markup())?;
    }
    if let Some(at) = html.find(MARKER) {
        let marker = html[at..].split_inclusive("-->").next().unwrap_or_default();
        return Err(Error::new(format!(
            "www/index.html has {marker}, but nothing in xtask's artifact.rs makes it"
        )));
    }
    let policy = format!(
        "{CHARSET_TAG}\n<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">",
        policy(style, script)
    );
    let blocks = format!(
        "<script type=\"application/json\" id=\"battenbook-plan\"></script>\n\
         <script type=\"application/octet-stream\" id=\"battenbook-wasm\">{packed_wasm}</script>\n\
         <script type=\"module\">{script}</script>"
    );
    let html = replace_once(&html, CHARSET_TAG, &policy)?;
    let html = replace_once(&html, STYLE_TAG, &format!("<style>{style}</style>"))?;
    replace_once(&html, SCRIPT_TAG, &blocks)
}

fn refuse_imports(script: &str) -> Result<()> {
    if script.lines().any(|line| line.starts_with("import ")) {
        return Err(Error::new(
            "wasm-bindgen's script imports another file (a snippet): one file can't hold it",
        ));
    }
    Ok(())
}

/// A style or script without comments and spare space, its inner names short.
fn shrunk(tools: &BuildTools, file: &Path, text: String) -> Result<String> {
    let Some(shrinkers) = &tools.shrinkers else {
        return Ok(text);
    };
    shell::at(file, fs::write(file, text))?;
    shell::read(shell::command(shrinkers.join("esbuild")).arg(file).args([
        "--minify",
        "--charset=utf8",
        "--log-level=warning",
    ]))
}

/// Nothing but this style, this script and the wasm it compiles; no connection at all. Where the
/// page is hosted, its own icons, manifest and service worker; `www/boot.js` takes these away from
/// a file on disk.
fn policy(style: &str, script: &str) -> String {
    let hash = |text: &str| BASE64_STANDARD.encode(Sha256::digest(text.as_bytes()));
    format!(
        "default-src 'none'; script-src 'sha256-{}' 'wasm-unsafe-eval'; \
         style-src 'sha256-{}'; img-src data: blob: 'self'; worker-src blob: 'self'; \
         manifest-src 'self'; connect-src 'none'; base-uri 'none'; form-action 'none'",
        hash(script),
        hash(style)
    )
}

fn replace_once(text: &str, tag: &str, with: &str) -> Result<String> {
    match text.matches(tag).count() {
        1 => Ok(text.replacen(tag, with, 1)),
        count => Err(Error::new(format!(
            "www/index.html must have exactly one {tag}, and has {count}"
        ))),
    }
}

/// Gzipped as a server would.
fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|error| Error::new(format!("compressing failed: {error}")))
}

/// Writes the file in one go, so that nobody reads half of it.
fn write(file: &Path, bytes: &[u8]) -> Result<()> {
    let dir = project::dist_dir();
    shell::at(&dir, fs::create_dir_all(&dir))?;
    let new = file.with_extension(format!("{}.tmp", std::process::id()));
    shell::at(&new, fs::write(&new, bytes))?;
    shell::at(file, fs::rename(&new, file))
}

fn read_text(path: &Path) -> Result<String> {
    shell::at(path, fs::read_to_string(path))
}

fn read_bytes(path: &Path) -> Result<Vec<u8>> {
    shell::at(path, fs::read(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\">\
        <link rel=\"stylesheet\" href=\"style.css\"></head><body><!--battenbook:form-->\
        <script type=\"module\" src=\"boot.js\"></script></body></html>";

    fn parts(page: &str, style: &str, script: &str) -> Parts {
        Parts {
            page: page.to_owned(),
            style: style.to_owned(),
            script: script.to_owned(),
            packed_wasm: "AAAA".to_owned(),
        }
    }

    fn form() -> String {
        "<form></form>".to_owned()
    }

    #[track_caller]
    fn refused(parts: &Parts, expected: &str) {
        let error = assemble(parts, &[("form", form)]).expect_err("it must be refused");
        assert_eq!(error.to_string(), expected);
    }

    #[test]
    fn everything_is_inside_and_nothing_points_outside() {
        let html = assemble(&parts(PAGE, "p{}", "1;"), &[("form", form)]).expect("a good page");
        assert!(html.contains("<style>p{}</style>"));
        assert!(html.contains("<script type=\"module\">1;</script>"));
        assert!(html.contains("id=\"battenbook-wasm\">AAAA</script>"));
        assert!(html.contains("<body><form></form>"));
        assert!(!html.contains("src=") && !html.contains("href="));
    }

    #[test]
    fn the_policy_names_the_hashes() {
        // SHA-256 of "abc" is the first example of FIPS 180-4:
        // ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61 f20015ad, in base64.
        let policy = policy("abc", "abc");
        let hash = "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='";
        assert!(policy.contains(&format!("script-src {hash} 'wasm-unsafe-eval';")));
        assert!(policy.contains(&format!("style-src {hash};")));
        assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"));
    }

    #[test]
    fn a_marker_that_nothing_makes_is_an_error() {
        let page = PAGE.replace("battenbook:form", "battenbook:from");
        refused(
            &parts(&page, "", ""),
            "www/index.html must have exactly one <!--battenbook:form-->, and has 0",
        );
        let error = assemble(&parts(PAGE, "", ""), &[]).expect_err("nothing makes the form");
        assert_eq!(
            error.to_string(),
            "www/index.html has <!--battenbook:form-->, but nothing in xtask's artifact.rs makes it"
        );
    }

    #[test]
    fn text_that_would_end_its_element_is_an_error() {
        refused(
            &parts(PAGE, "", "\"</SCRIPT>\""),
            "the script contains \"</script\", which would end it",
        );
        refused(
            &parts(PAGE, "</style>", ""),
            "the style contains \"</style\", which would end it",
        );
        refused(
            &parts(PAGE, "a\r\n", ""),
            "the style contains a carriage return",
        );
    }

    #[test]
    fn a_script_of_several_files_is_an_error() {
        let error = refuse_imports("import { a } from './snippets/a.js';").expect_err("refused");
        assert_eq!(
            error.to_string(),
            "wasm-bindgen's script imports another file (a snippet): one file can't hold it"
        );
    }
}
