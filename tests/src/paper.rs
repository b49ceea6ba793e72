//! What the browser would print.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;

use crate::page::Page;

impl Page {
    /// The pages as a PDF in the test's folder; `settings` are those of the protocol's
    /// `Page.printToPDF`. Only Chromium can.
    pub async fn pdf(&self, settings: Value) -> PathBuf {
        let printed = self.devtools("Page.printToPDF", settings).await;
        let file = self.folder().join("printed.pdf");
        let bytes = from_base64(printed["data"].as_str().expect("a PDF"));
        fs::write(&file, bytes).expect("the folder is there");
        file
    }
}

/// Bytes of a base64 text (RFC 4648, section 4).
fn from_base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let (mut bytes, mut held, mut bits) = (Vec::new(), 0_u32, 0);
    for letter in text.bytes() {
        let Some(value) = LETTERS.iter().position(|l| *l == letter) else {
            continue;
        };
        held = held << 6 | value as u32;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    bytes
}
