//! A class: shares of one order, kit sheets, bench days, what the rack is enough for, and what
//! changed.

use whole_product::{Page, Source, Viewport, each_engine, json};

/// Types a list of canvases into an empty plan, with a priced rack and roll (all invented).
async fn type_class(page: &Page, canvases: &[(&str, u32, u32)]) {
    page.click("#start-empty").await;
    for i in 1..canvases.len() {
        page.click("#canvases-add").await;
        let there = format!("return !!document.querySelector('#canvases-{i}-width')");
        page.wait_until("the row is there", &there).await;
    }
    // Typed at once: key by key would take minutes.
    page.js(&format!(
        "for (const [i, row] of {}.entries()) {{
            for (const [k, key] of ['name', 'width', 'height'].entries()) {{
                const field = document.querySelector(`#canvases-${{i}}-${{key}}`);
                field.value = String(row[k]);
                field.dispatchEvent(new Event('input', {{bubbles: true}}));
            }}
        }}",
        json!(canvases)
    ))
    .await;
    page.type_into("#boards-0-length", "2.4 m").await;
    page.type_into("#boards-0-price", "5.40").await;
    page.click("#boards-add").await;
    page.choose("#boards-1-of", "bead").await;
    page.type_into("#boards-1-length", "2.4 m").await;
    page.type_into("#boards-1-price", "4.20").await;
    page.type_into("#rolls-0-width", "1.6 m").await;
    page.type_into("#rolls-0-price", "11.50").await;
    page.wait_for_text("#buy-sheet", "What each pays").await;
}

/// Twelve students with invented names.
const TWELVE: [(&str, u32, u32); 12] = [
    ("Ada", 600, 450),
    ("Bo", 600, 450),
    ("Cleo", 900, 700),
    ("Dora", 500, 400),
    ("Emil", 1000, 800),
    ("Fay", 700, 500),
    ("Gus", 600, 600),
    ("Hal", 1200, 800),
    ("Ines", 400, 300),
    ("Jo", 800, 600),
    ("Kit", 900, 600),
    ("Lou", 750, 550),
];

/// Hundredths in a cell such as £12.34.
const SUM: &str =
    "const money = (cell) => Math.round(Number(cell.textContent.replace(/[^0-9.]/g, '')) * 100);
    const sums = [...document.querySelectorAll('#buy-sheet table.shares tbody tr')]
        .map((row) => money(row.cells[5])); ";

each_engine!(
    twelve_shares_add_up_to_the_penny,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_class(page, &TWELVE).await;
        page.wait_until(
            "twelve shares",
            "return document.querySelectorAll('#buy-sheet table.shares tbody tr').length === 12",
        )
        .await;
        let off = page
            .js(&format!(
                "{SUM} return sums.reduce((a, b) => a + b, 0)
                    - money(document.querySelector('#buy-sheet table.shares tfoot tr').cells[5]);"
            ))
            .await;
        assert_eq!(off, json!(0));
        // Alike canvases pay alike, but for a penny a line.
        let off = page
            .js(&format!("{SUM} return Math.abs(sums[0] - sums[1]);"))
            .await;
        assert!(off.as_i64().is_some_and(|n| n <= 6), "{off}");
        page.click("#alone-ask").await;
        page.wait_for_text("#alone", "Shared, and each alone").await;
        page.screenshot("class-shares").await;
        // The answer was about the plan before.
        page.type_into("#canvases-0-width", "650").await;
        page.wait_until(
            "the answer is gone",
            "return document.querySelector('#alone').textContent === ''",
        )
        .await;
        page.click("[data-act=save-shares]").await;
        let file = page.download("battenbook-shares.csv").await;
        let file = String::from_utf8(file).expect("UTF-8");
        // The pound sign is beyond ASCII, so the file says that it is UTF-8.
        assert!(file.starts_with("\u{feff}Canvas,How many,Wood,"), "{file}");
        assert_eq!(file.lines().count(), 13, "{file}");
    }
);

each_engine!(
    a_kit_sheet_for_each_with_its_own_plan,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        type_class(page, &TWELVE[..3]).await;
        page.js("window.print = () => { window.printed = document.querySelector('#print-sheet').innerHTML; }")
            .await;
        page.click("[data-act=print-kits]").await;
        page.wait_until("the kit sheets are printed", "return !!window.printed")
            .await;
        let seen = page
            .js("const sheet = document.querySelector('#print-sheet');
                 return [...sheet.querySelectorAll('.kit')].map((kit) =>
                    [kit.querySelector('h1').textContent, kit.querySelectorAll('svg.qr').length]);")
            .await;
        assert_eq!(seen, json!([["Ada", 1], ["Bo", 1], ["Cleo", 1]]));
        let text = page.js_text("return window.printed").await;
        assert!(text.contains("Whose is which piece"));
        assert!(text.contains("Opens this plan."));
    }
);

each_engine!(
    everyone_has_a_place_and_a_day_at_the_bench,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_class(page, &TWELVE[..4]).await;
        page.js("document.querySelector('#days-settings').open = true")
            .await;
        page.type_into("#settings-bench", "3").await;
        page.wait_for_text("#days-sheet", "At the bench").await;
        page.wait_until(
            "two batches",
            "return [...document.querySelectorAll('.bench-days ol.places')].map((l) => l.children.length).join() === '3,1'",
        )
        .await;
        // A slow hand fills more days.
        let days = "return document.querySelectorAll('.bench-days tbody tr').length";
        let before = page.js(days).await.as_i64().unwrap_or(0);
        page.type_into("#settings-staple_pace", "0.2").await;
        page.wait_until("more days", &format!("{days} > {before}"))
            .await;
    }
);

each_engine!(
    the_rack_says_what_it_is_enough_for,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_class(page, &TWELVE[..2]).await;
        page.js("document.querySelector('#from-rack').open = true")
            .await;
        page.click("#from-there-ask").await;
        page.wait_for_text("#from-there", "Say first how many boards there are")
            .await;
        page.type_into("#boards-0-limit", "3").await;
        page.type_into("#boards-1-limit", "3").await;
        page.type_into("#settings-from_rack", "wide").await;
        page.wait_for_text(
            "#settings-from_rack-error",
            "is not understood here: a proportion such as 3:2",
        )
        .await;
        page.type_into("#settings-from_rack", "600 x 450").await;
        page.click("#from-there-ask").await;
        page.wait_for_text("#from-there", "How many of 600 mm × 450 mm")
            .await;
        page.wait_for_text("#from-there", "more does not go").await;
        page.screenshot("class-backward").await;
        // How long the answer takes, here and now.
        let took = page
            .js_async(
                "const done = arguments[0], start = performance.now();
                 const place = document.querySelector('#from-there');
                 place.textContent = '';
                 new MutationObserver(() => done(performance.now() - start))
                    .observe(place, {childList: true});
                 document.querySelector('#from-there-ask').click();",
            )
            .await;
        println!("{}: an answer from the rack took {took} ms", page.engine());
        assert!(took.as_f64().is_some_and(|ms| ms < 10_000.0), "{took}");
    }
);

each_engine!(
    what_changed_stands_beside_what_was_held,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_class(page, &TWELVE[..2]).await;
        assert!(!page.is_shown("#let-go").await);
        page.click("#hold").await;
        page.wait_for_text("#compared", "Nothing differs").await;
        page.type_into("#canvases-0-width", "900").await;
        page.wait_for_text("#compared", "figures differ").await;
        page.wait_for_text("#held-line", "from the plan that was held")
            .await;
        // The sign and the word, not the colour alone.
        page.wait_for_text("#compared", "▲ more").await;
        page.screenshot("class-compared").await;
        page.click("#undo").await;
        page.wait_for_text("#compared", "Nothing differs").await;
        page.click("#let-go").await;
        assert!(!page.is_shown("#held-line").await);
        assert_eq!(page.text("#compared").await, "");
    }
);
