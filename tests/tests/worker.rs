//! Who reckons: a worker, which also looks longer for a cheaper purchase, or the page itself where a
//! browser gives none.

use std::fs;

use whole_product::{Engine, Opening, Page, Source, Value, Viewport, each_engine, json};

/// Waits until a figure explains itself.
async fn explained(page: &Page) {
    page.wait_until(
        "how the figure was reached",
        "return document.querySelector('#how').open",
    )
    .await;
}

/// The first of twelve frames and the answer that must follow.
async fn one_change(page: &Page) {
    page.click("[data-act=empty]").await;
    page.type_into("#canvases-0-width", "1000").await;
    page.type_into("#canvases-0-height", "800").await;
    // 1000 + 2 × (19 bead + 20 depth + 40 turnover + 30 grip) = 1218
    page.wait_for_text("#stretch-sheet", "1218").await;
    page.click("#stretch-sheet [data-how]").await;
    page.wait_until(
        "how the figure was reached",
        "return document.querySelector('#how').open && document.querySelector('#how-title') !== null",
    )
    .await;
    page.click("#how [data-act=close-dialog]").await;
}

each_engine!(
    a_worker_reckons,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        open_with(page, &many(40, 12)).await;
        assert!(page.text("#answer").await.contains("Batten"));
        one_change(page).await;
        // What a finger is on stays until it is lifted; then the new answer comes.
        let pressed = page
            .js_async(
                "const done = arguments[0];
                 const pause = (ms) => new Promise((r) => setTimeout(r, ms));
                 const sheet = document.querySelector('#stretch-sheet');
                 const figure = sheet.querySelector('[data-how]');
                 const touch = (type) => figure.dispatchEvent(new PointerEvent(type, { bubbles: true }));
                 (async () => {
                   touch('pointerdown');
                   const field = document.querySelector('#canvases-0-width');
                   field.value = '1100';
                   field.dispatchEvent(new InputEvent('input', { bubbles: true }));
                   await pause(400);
                   const held = figure.isConnected && !sheet.textContent.includes('1318');
                   touch('pointerup');
                   for (let i = 0; i < 100 && !sheet.textContent.includes('1318'); i++) await pause(50);
                   done([held, sheet.textContent.includes('1318')]);
                 })();",
            )
            .await;
        assert_eq!(pressed, json!([true, true]));
        // A figure pressed while a change is under way still says how it was reached.
        page.js("const field = document.querySelector('#canvases-0-width');
             field.value = '1200';
             field.dispatchEvent(new InputEvent('input', { bubbles: true }));
             document.querySelector('#stretch-sheet [data-how]').click()")
            .await;
        explained(page).await;
    }
);

/// Where the browser gives the page no worker, everything is there all the same.
#[test]
fn without_a_worker_the_page_reckons() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::File, Viewport::Tablet)
            .blank()
            // The browser says on its console what it refuses.
            .tolerant()
            .run(async |page| {
                let built = fs::read_to_string(xtask::project::artifact()).expect("it is built");
                let meta = "<meta http-equiv=\"Content-Security-Policy\" content=\"";
                let refused = built.replacen(
                    meta,
                    &format!("{meta}worker-src 'none'; child-src 'none'\">\n{meta}"),
                    1,
                );
                assert_ne!(refused, built);
                let file = page.folder().join("no-worker.html");
                fs::write(&file, refused).expect("the folder is there");
                page.goto_file(&file).await;
                assert!(page.text("#answer").await.contains("Batten"), "{engine}");
                one_change(page).await;
            });
    }
}

each_engine!(
    a_longer_search_begins_and_can_be_ended,
    Source::File,
    Viewport::Tablet,
    async |page| {
        open_with(page, &many(60, 5)).await;
        page.wait_until(
            "the longer search",
            "return !document.querySelector('#looking').hidden",
        )
        .await;
        page.click("#looking [data-act=stop-looking]").await;
        assert!(!page.is_shown("#looking").await);
        // What is shown can still be asked about, and a change begins anew.
        page.click("#buy-sheet [data-how]").await;
        explained(page).await;
        page.click("#how [data-act=close-dialog]").await;
        page.type_into("#canvases-0-width", "731").await;
        page.wait_for_text("#stretch-sheet", "731").await;
    }
);

each_engine!(
    a_longer_search_finds_more_and_answers_meanwhile,
    Source::File,
    Viewport::Tablet,
    async |page| {
        // 500 frames, which take seconds: see `frames_500_gap_boards` of the bench.
        open_with(page, &many(20, 25)).await;
        let proof = "document.querySelector('#buy-sheet .proof').textContent";
        page.js(&format!("window.before = {proof}")).await;
        page.wait_until(
            "the longer search",
            "return !document.querySelector('#looking').hidden",
        )
        .await;
        // Asked again where the answer fell between two plans: what is found comes at any time.
        page.wait_until(
            "how the figure was reached",
            "const how = document.querySelector('#how');
             if (!how.open) document.querySelector('#buy-sheet [data-how]').click();
             return how.open",
        )
        .await;
        page.click("#how [data-act=close-dialog]").await;
        page.wait_until(
            "a smaller gap",
            &format!("return {proof} !== window.before"),
        )
        .await;
    }
);

each_engine!(
    answers_stay_while_a_longer_search_lands,
    Source::File,
    Viewport::Tablet,
    async |page| {
        open_with(page, &class()).await;
        // Both are asked at once with a change, before the longer search can have found its plan.
        page.js(
            "window.emptied = 0;
             window.landed = 0;
             const filled = () => ['alone', 'battens'].every((id) => document.getElementById(id)?.hasChildNodes());
             const proof = () => [...document.querySelectorAll('#buy-sheet .proof')].at(-1);
             let shown = null;
             new MutationObserver(() => {
                 if (!filled()) {
                     if (shown) window.emptied += 1;
                     return;
                 }
                 if (shown && shown !== proof()) window.landed += 1;
                 shown = proof();
             }).observe(document.querySelector('#buy-sheet'), { childList: true, subtree: true });
             const field = document.querySelector('#canvases-0-width');
             field.value = '605';
             field.dispatchEvent(new Event('input', { bubbles: true }));
             for (const act of ['alone', 'battens']) { document.querySelector(`[data-act=${act}]`).click(); }",
        )
        .await;
        page.wait_for_text("#alone", "In all").await;
        page.wait_for_text("#battens", "38 × 19 mm").await;
        page.wait_until(
            "the plan of the longer search",
            "return window.landed > 0 && document.querySelector('#looking').hidden",
        )
        .await;
        page.wait_for_text("#alone", "In all").await;
        assert_eq!(page.js("return window.emptied").await, json!(0));
        // The sum of the shares is the one of the plan that is shown now.
        let sums = page
            .js(
                "return [...document.querySelectorAll('#alone tfoot td:nth-child(2), .shares tfoot td:nth-child(6)')]
                     .map((cell) => cell.textContent.trim())",
            )
            .await;
        assert_eq!(sums[0], sums[1], "{sums}");
        // A change takes them away.
        page.type_into("#canvases-0-width", "610").await;
        page.wait_until(
            "no answers",
            "return ['alone', 'battens'].every((id) => !document.getElementById(id).hasChildNodes())",
        )
        .await;
    }
);

/// An invented class on two rolls and a rack of two sections: proven by the longer search alone.
fn class() -> Value {
    let sides = [
        (600, 450),
        (500, 400),
        (700, 500),
        (900, 700),
        (600, 600),
        (800, 600),
        (1000, 700),
        (400, 300),
        (600, 450),
        (500, 500),
        (1200, 800),
        (300, 300),
    ];
    let canvases: Vec<Value> = sides
        .map(|(w, h): (u32, u32)| json!({"width": w.to_string(), "height": h.to_string()}))
        .into();
    json!({
        "canvases": canvases,
        "boards": [
            {"length": "2.4 m", "price": "5.40"}, {"length": "3.0 m", "price": "6.60"},
            {"length": "2.4 m", "price": "3.90", "section": "38 x 19 mm"},
            {"of": "bead", "length": "2.4 m", "price": "4.20"},
        ],
        "rolls": [{"width": "1.6 m", "price": "11.50"}, {"width": "2.1 m", "price": "14.80"}],
    })
}

/// So many sizes, so many of each, with an invented rack.
fn many(sizes: usize, each: usize) -> Value {
    let canvases: Vec<Value> = (0..sizes)
        .map(|i| {
            let (width, height) = (400 + (i * 97) % 900, 300 + (i * 61) % 700);
            json!({"width": width.to_string(), "height": height.to_string(), "count": each.to_string()})
        })
        .collect();
    json!({
        "canvases": canvases,
        "boards": [
            {"length": "1800", "price": "5.25"}, {"length": "2400", "price": "7.65"},
            {"length": "3000", "price": "9.20"}, {"length": "3600", "price": "10.35"},
            {"of": "bead", "length": "2400", "price": "4.80"},
        ],
        "rolls": [{"width": "1.6 m", "price": "12.50"}, {"width": "2.1 m", "price": "16"}],
    })
}

/// Opens the page with a plan inside, as a saved file.
async fn open_with(page: &Page, plan: &Value) {
    let saved = page
        .js_with(
            "return battenbook.file(arguments[0])",
            vec![json!(plan.to_string())],
        )
        .await;
    let file = page.folder().join("job.html");
    fs::write(&file, saved.as_str().expect("a document")).expect("the folder is there");
    page.goto_file(&file).await;
}

// An engine's own fault: another worker does the same once more. If it breaks again, the maker is
// told, with a link to the plan.
each_engine!(
    a_broken_worker_is_replaced_once,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.js(
            "const post = Worker.prototype.postMessage;
             Worker.prototype.postMessage = function (...all) { window.hired = this; return post.apply(this, all); };
             window.breaks = () => hired.dispatchEvent(new MessageEvent('message', { data: ['failed', 'a test broke it'] }));",
        )
        .await;
        page.click("#start-empty").await;
        page.type_into("#canvases-0-width", "1000").await;
        page.type_into("#canvases-0-height", "800").await;
        page.js("window.first = hired; breaks()").await;
        page.settle().await;
        page.click("#stretch-sheet [data-how]").await;
        page.wait_until(
            "another worker answers",
            "return document.querySelector('#how').open && hired !== first",
        )
        .await;
        page.click("#how [data-act=close-dialog]").await;
        assert!(!page.is_shown("#failure").await);
        page.js("breaks()").await;
        assert!(page.is_shown("#failure").await);
        // A change begins anew.
        page.type_into("#canvases-0-width", "1100").await;
        page.wait_for_text("#stretch-sheet", "1318").await;
    }
);
