//! Whose work is inside the page, and that its licences let anyone pass the page on.
//!
//! `docs/licences.md` is the list; `BATTENBOOK_WRITE_DOCS=1 cargo test -p whole-product --test
//! licences` writes it anew. Known weaknesses of these crates are not looked up: the database of
//! advisories is not among the package registries.

use std::collections::BTreeMap;
use std::fs;
use std::process::Command;

use whole_product::Value;

/// Licences of which one is enough (SPDX names): all allow passing on without asking for the
/// source.
const ALLOWED: [&str; 7] = [
    "MIT",
    "Apache-2.0",
    "BSD-3-Clause",
    "Zlib",
    "0BSD",
    "Unlicense",
    "Unicode-3.0",
];

/// Crates that are compiled into the page, with version and licence.
fn inside() -> BTreeMap<String, (String, String)> {
    let done = Command::new(env!("CARGO"))
        .current_dir(xtask::project::root())
        .args(["metadata", "--format-version", "1", "--offline"])
        .args(["--filter-platform", "wasm32-unknown-unknown"])
        .output()
        .expect("cargo runs");
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let all: Value = serde_json::from_slice(&done.stdout).expect("cargo writes JSON");
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let packages: BTreeMap<String, Value> = list(&all["packages"])
        .into_iter()
        .map(|package| (text(&package["id"]), package))
        .collect();
    let nodes: BTreeMap<String, Value> = list(&all["resolve"]["nodes"])
        .into_iter()
        .map(|node| (text(&node["id"]), node))
        .collect();
    let page = packages
        .iter()
        .find(|(_, package)| package["name"] == "page")
        .map(|(id, _)| id.clone())
        .expect("the page is a crate");
    let (mut open, mut seen) = (vec![page], Vec::new());
    while let Some(id) = open.pop() {
        for dep in list(&nodes[&id]["deps"]) {
            // Neither tests' nor build scripts' crates, nor those that write code while compiling.
            let normal = list(&dep["dep_kinds"])
                .iter()
                .any(|kind| kind["kind"].is_null());
            let to = text(&dep["pkg"]);
            let macros = list(&packages[&to]["targets"])
                .iter()
                .any(|target| target["kind"][0] == "proc-macro");
            if normal && !macros && !seen.contains(&to) {
                seen.push(to.clone());
                open.push(to);
            }
        }
    }
    seen.iter()
        .map(|id| &packages[id])
        .filter(|package| !package["source"].is_null())
        .map(|package| {
            let about = (text(&package["version"]), text(&package["license"]));
            (text(&package["name"]), about)
        })
        .collect()
}

/// Whether each part that must be kept leaves a choice that is allowed.
fn is_allowed(licence: &str) -> bool {
    licence
        .replace(['(', ')'], "")
        .replace('/', " OR ")
        .split(" AND ")
        .all(|part| part.split(" OR ").any(|one| ALLOWED.contains(&one.trim())))
}

#[test]
fn every_crate_in_the_page_may_be_passed_on() {
    let inside = inside();
    assert!(inside.contains_key("wasm-bindgen"), "{inside:?}");
    for (name, (_, licence)) in &inside {
        assert!(is_allowed(licence), "{name}: {licence:?}");
    }
    let rows: String = inside
        .iter()
        .map(|(name, (version, licence))| format!("| {name} | {version} | {licence} |\n"))
        .collect();
    let list = format!(
        "# Licences\n\nBattenbook is under MIT or Apache-2.0, as you like.\n\
         These crates are compiled into the page; a test keeps the list fresh and their licences among those that let anyone pass the page on.\n\n\
         | crate | version | licence |\n| --- | --- | --- |\n{rows}"
    );
    let file = xtask::project::root().join("docs/licences.md");
    if std::env::var_os("BATTENBOOK_WRITE_DOCS").is_some() {
        fs::write(&file, &list).expect("docs can be written");
    }
    assert_eq!(fs::read_to_string(&file).unwrap_or_default(), list);
}

#[test]
fn licences_are_read_as_choices() {
    for (licence, allowed) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("GPL-3.0-only OR MIT", true),
        ("MIT/Apache-2.0", true),
        ("MIT AND GPL-2.0-only", false),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("(MIT OR Apache-2.0) AND LGPL-2.1-only", false),
        ("", false),
    ] {
        assert_eq!(is_allowed(licence), allowed, "{licence}");
    }
}
