//! What a host serves beside the page, so that it can be installed and opens without the network:
//! service worker, manifest, icons. The page works without them, and from disk it asks for none.

use std::fs;

use sha2::{Digest, Sha256};

use crate::icons;
use crate::project;
use crate::shell::{self, Result};

/// Files that the page or its manifest names; the service worker keeps them too.
pub const NAMES: [&str; 5] = [
    "manifest.webmanifest",
    "icon.svg",
    "icon-180.png",
    "icon-192.png",
    "icon-512.png",
];
/// The service worker's file.
pub const WORKER: &str = "sw.js";

/// The files beside this page, by name.
pub fn beside(html: &str) -> Result<Vec<(&'static str, Vec<u8>)>> {
    let read = |name: &str| {
        let file = project::root().join("www").join(name);
        shell::at(&file, fs::read_to_string(&file))
    };
    let [manifest, svg, small, middle, large] = NAMES;
    let worker = worker(&read(WORKER)?, html);
    Ok(vec![
        (manifest, read(manifest)?.into_bytes()),
        (svg, icons::svg().into_bytes()),
        (small, icons::png(180)?),
        (middle, icons::png(192)?),
        (large, icons::png(512)?),
        (WORKER, worker.into_bytes()),
    ])
}

fn worker(text: &str, html: &str) -> String {
    let hash: String = Sha256::digest(html.as_bytes())
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    text.replace("\"PAGE_HASH\"", &format!("\"{hash}\""))
        .replace("BESIDE_FILES", &format!("{NAMES:?}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_page_makes_another_worker() {
        let files = beside("abc").expect("the files of www are there");
        let text = |name: &str| {
            let (_, bytes) = files.iter().find(|(n, _)| *n == name).expect("it is there");
            String::from_utf8_lossy(bytes).into_owned()
        };
        // SHA-256 of "abc" is the first example of FIPS 180-4.
        let hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert!(text(WORKER).contains(&format!("const HASH = \"{hash}\";")));
        assert!(text(WORKER).contains("const BESIDE = [\"manifest.webmanifest\","));
        let manifest = text("manifest.webmanifest");
        let named: Vec<&str> = manifest
            .split("\"src\": \"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert_eq!(named.len(), 4);
        assert!(named.iter().all(|icon| NAMES.contains(icon)), "{named:?}");
    }
}
