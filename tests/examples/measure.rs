//! Measures the page in Chromium with the processor slowed down four times, for
//! `cargo xtask bench`: one line a figure, `key<TAB>number`; lines without a tab are for people.

use serde_json::Value;
use whole_product::{Engine, Opening, Page, Source, Viewport, json};

/// A tablet's processor against the one measured on, as the design's budgets have it.
const SLOWED: u32 = 4;
/// How often the page is opened; the middle one counts.
const OPENINGS: usize = 7;
/// How many changes are timed.
const CHANGES: usize = 40;
/// The field that is changed, and a sheet that must follow: the blank grows with every
/// millimetre, while the short answer may stay the same.
const FIELD: &str = "#canvases-0-width";
const ANSWER: &str = "#stretch-sheet";

fn main() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Tablet).run(async |page| {
        page.devtools("Emulation.setCPUThrottlingRate", json!({"rate": SLOWED}))
            .await;
        open(page).await;
        change(page).await;
        heap(page).await;
    });
}

/// From the start of loading to the moment when the first answer stands on the page.
async fn open(page: &Page) {
    let mut times = Vec::new();
    for _ in 0..OPENINGS {
        page.reload().await;
        let mark = page
            .js("return performance.getEntriesByName('battenbook:ready')[0].startTime")
            .await;
        times.push(mark.as_f64().expect("the boot script sets the mark"));
    }
    times.sort_by(f64::total_cmp);
    println!("opened {OPENINGS} times, sorted: {times:.0?} ms");
    println!("open_ms\t{:.1}", times[OPENINGS / 2]);
}

/// From a key's event to the moment when the answer has changed.
async fn change(page: &Page) {
    // One frame, all else as usual.
    page.click("[data-act=empty]").await;
    page.type_into(FIELD, "1000").await;
    page.type_into("#canvases-0-height", "800").await;
    page.wait_for_text("#stretch-sheet", "1218").await;
    let times = page
        .js_async(&format!(
            "const done = arguments[0];
             const field = document.querySelector('{FIELD}');
             const answer = document.querySelector('{ANSWER}');
             const times = [];
             const next = (i) => {{
               if (i === {CHANGES}) return done(times);
               const start = performance.now();
               const late = setTimeout(() => done(`change ${{i}} has no answer`), 2000);
               const seen = new MutationObserver(() => {{
                 times.push(performance.now() - start);
                 seen.disconnect();
                 clearTimeout(late);
                 setTimeout(() => next(i + 1), 20);
               }});
               seen.observe(answer, {{ childList: true, characterData: true, subtree: true }});
               field.value = `${{700 + i}} mm`;
               field.dispatchEvent(new InputEvent('input', {{ bubbles: true }}));
             }};
             next(0);"
        ))
        .await;
    let Value::Array(times) = times else {
        panic!("changes were not measured: {times}")
    };
    let mut times: Vec<f64> = times.iter().filter_map(Value::as_f64).collect();
    times.sort_by(f64::total_cmp);
    let (middle, p95) = (times[CHANGES / 2], times[CHANGES * 95 / 100]);
    println!(
        "{CHANGES} changes: median {middle:.1} ms, slowest {:.1} ms",
        times[CHANGES - 1]
    );
    println!("change_p95_ms\t{p95:.1}");
}

async fn heap(page: &Page) {
    let bytes = page.js("return battenbook.memory.buffer.byteLength").await;
    let bytes = bytes.as_f64().expect("the boot script keeps the memory");
    println!("wasm heap with the first plan: {:.1} MB", bytes / 1e6);
}
