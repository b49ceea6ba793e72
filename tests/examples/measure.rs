//! Measures the page in Chromium, at this machine's speed and with the page's thread slowed down
//! four times, for `cargo xtask bench`: one line a figure, `key<TAB>number`, slowed ones with
//! `_slowed` at the end of the key; lines without a tab are for people.

use serde_json::Value;
use whole_product::{Engine, Opening, Page, Source, Viewport, json};

/// How many times slower the page's thread is made, and the end of the keys. Four stands for a
/// tablet, as the design's budgets have it. Chromium slows by spinning, which takes a core from
/// the worker and the rest of the browser: with two cores the slowed figures vary much.
const SPEEDS: [(u32, &str); 2] = [(1, ""), (4, "_slowed")];
/// How often the page is opened; the middle one counts.
const OPENINGS: usize = 7;
/// How many changes are timed.
const CHANGES: usize = 40;
/// Between an answer and the next change, in milliseconds: about eight keys a second, as fast as
/// people type; sooner, a change would wait for what the page still writes of the one before.
const REST: u32 = 100;
/// The field that is changed, and what must follow: the drawing in sight comes with the short
/// answer and shows every millimetre, while the answer's own figures may stay the same.
const FIELD: &str = "#canvases-0-width";
const ANSWER: &str = "#drawing";

fn main() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Tablet).run(async |page| {
        what_if(page).await;
        // The example, one frame, many frames: in this order, as each stays open.
        for speed in SPEEDS {
            open(page, slow(page, speed).await).await;
        }
        for speed in SPEEDS {
            change(page, slow(page, speed).await).await;
        }
        heap(page).await;
        for speed in SPEEDS {
            five_hundred(page, slow(page, speed).await).await;
        }
    });
}

/// Slows the page's thread down; the end of the keys.
async fn slow(page: &Page, (rate, end): (u32, &'static str)) -> &'static str {
    page.devtools("Emulation.setCPUThrottlingRate", json!({"rate": rate}))
        .await;
    end
}

/// What another length would change, for the example of a first visit: from the click to the
/// answer, not slowed down.
async fn what_if(page: &Page) {
    let mut times = Vec::new();
    for _ in 0..OPENINGS {
        // Afresh each time: the same answer again would change nothing on the page.
        page.reload().await;
        let time = page
            .js_async(
                "const done = arguments[0];
                 const place = document.querySelector('#what-if');
                 setTimeout(() => {
                   const start = performance.now();
                   new MutationObserver(() => {
                     if (place.textContent !== '') done(performance.now() - start);
                   }).observe(place, { childList: true, characterData: true, subtree: true });
                   setTimeout(() => done('no answer came'), 5000);
                   document.querySelector('#what-if-ask').click();
                 }, 300);",
            )
            .await;
        let Some(time) = time.as_f64() else {
            panic!("what if was not measured: {time}")
        };
        times.push(time);
    }
    times.sort_by(f64::total_cmp);
    println!("wasm_what_if_ms\t{:.2}", times[OPENINGS / 2]);
}

/// From the start of loading to the moment when the first answer stands on the page.
async fn open(page: &Page, end: &str) {
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
    println!("open_ms{end}\t{:.1}", times[OPENINGS / 2]);
}

/// From a key's event to the moment when the answer has changed.
async fn change(page: &Page, end: &str) {
    // One frame, all else as usual.
    page.click("[data-act=empty]").await;
    page.type_into(FIELD, "1000").await;
    page.type_into("#canvases-0-height", "800").await;
    page.wait_for_text("#stretch-sheet", "1218").await;
    let before = long_tasks(page).await;
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
                 setTimeout(() => next(i + 1), {REST});
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
    println!("change_p95_ms{end}\t{p95:.1}");
    let long = long_tasks(page).await - before;
    println!("long_tasks{end}\t{long}");
}

/// How many tasks of the page have taken longer than 50 ms so far.
async fn long_tasks(page: &Page) -> f64 {
    let script = "if (globalThis.longTasks === undefined) {
            globalThis.longTasks = [];
            new PerformanceObserver((list) => longTasks.push(...list.getEntries()
                .map((task) => task.duration))).observe({ type: 'longtask' });
        }
        return longTasks.length";
    page.js(script).await.as_f64().unwrap_or(0.0)
}

/// 500 frames of 20 sizes: how near to the cheapest purchase they come, the longest time for which
/// the page does not react while they are planned after a change, and the memory that planning
/// them takes.
async fn five_hundred(page: &Page, end: &str) {
    let canvases: Vec<Value> = (0..20)
        .map(|i| {
            let (width, height) = (400 + (i * 97) % 900, 300 + (i * 61) % 700);
            json!({"width": width.to_string(), "height": height.to_string(), "count": "25"})
        })
        .collect();
    let board = |length: &str, price: &str| json!({"length": length, "price": price});
    let plan = json!({
        "canvases": canvases,
        "boards": [board("1800", "5.25"), board("2400", "7.65"), board("3000", "9.20"),
            board("3600", "10.35"), board("4800", "13.50"),
            {"of": "bead", "length": "2400", "price": "4.80"}],
        "rolls": [{"width": "1.6 m", "price": "12.50"}, {"width": "2.1 m", "price": "16"}],
    });
    let saved = page
        .js_with(
            "return battenbook.file(arguments[0])",
            vec![json!(plan.to_string())],
        )
        .await;
    let file = page.folder().join("frames-500.html");
    std::fs::write(&file, saved.as_str().expect("a document")).expect("the folder is there");
    page.goto_file(&file).await;
    let dearest = 13.5;
    println!(
        "frames_500_gap_boards{end}\t{:.2}",
        gap(page).await / dearest
    );
    long_tasks(page).await;
    for i in 0..10 {
        page.type_into(FIELD, &format!("{}", 700 + i)).await;
    }
    let script = "return longTasks.reduce((most, task) => Math.max(most, task), 0)";
    let longest = page.js(script).await.as_f64().unwrap_or(0.0);
    // The observer reports nothing shorter than 50 ms.
    println!("frames_500_block_ms{end}\t{:.1}", longest.max(50.0));
    page.js_with(
        "battenbook.exports.plan(JSON.parse(arguments[0])); return 0",
        vec![json!(plan.to_string())],
    )
    .await;
    let bytes = page.js("return battenbook.memory.buffer.byteLength").await;
    let bytes = bytes.as_f64().expect("the boot script keeps the memory");
    println!("frames_500_heap_mb{end}\t{:.1}", bytes / 1e6);
}

/// How much cheaper a purchase of boards could be, two seconds after the first answer: the page
/// looks on by itself.
async fn gap(page: &Page) -> f64 {
    let said = page
        .js_async(
            "const done = arguments[0];
             const ready = performance.getEntriesByName('battenbook:ready')[0].startTime;
             const say = () => done(document.querySelector('#buy-sheet .proof').textContent);
             setTimeout(say, ready + 2000 - performance.now());",
        )
        .await;
    let said = said.as_str().expect("the sheet says whether it is proven");
    println!("500 frames after 2 s: {said}");
    if said.contains("No cheaper purchase exists") {
        return 0.0;
    }
    let number = said.chars().filter(|c| c.is_ascii_digit() || *c == '.');
    let number: String = number.collect();
    let number = number.trim_end_matches('.').parse();
    number.expect("the sheet says how much cheaper it could be")
}

async fn heap(page: &Page) {
    let bytes = page.js("return battenbook.memory.buffer.byteLength").await;
    let bytes = bytes.as_f64().expect("the boot script keeps the memory");
    println!("wasm heap with the first plan: {:.1} MB", bytes / 1e6);
}
