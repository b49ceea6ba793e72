//! What reaches the printer: the job sheet alone, filled when the browser prints.

use whole_product::{Engine, Page, Source, Value, Viewport, each_engine, json};

/// The children of the page that a printer would show.
async fn shown_on_paper(page: &Page) -> Value {
    page.devtools("Emulation.setEmulatedMedia", json!({"media": "print"}))
        .await;
    let seen = page
        .js("return [...document.body.children]
             .filter((e) => getComputedStyle(e).display !== 'none').map((e) => e.id);")
        .await;
    page.devtools("Emulation.setEmulatedMedia", json!({"media": ""}))
        .await;
    seen
}

async fn named(page: &Page, name: &str) {
    let script = format!("return document.title.startsWith({})", json!(name));
    page.wait_until("the plan's new name", &script).await;
}

each_engine!(
    only_the_job_sheet_is_printed,
    Source::File,
    Viewport::Tablet,
    async |page| {
        assert!(!page.is_shown("#print-sheet").await);
        page.js("window.print = () => { window.printed = document.querySelector('#print-sheet').textContent; }")
            .await;
        page.click("#print").await;
        let text = page.js_text("return window.printed").await;
        let order = [
            "Printed on",
            "To buy",
            "Boards as they are cut",
            "Set out",
            "Join",
            "Assemble, and check that it is square",
            "Stretch",
            "Size and prime",
            "Diary",
        ];
        let mut from = 0;
        for heading in order {
            let at = text[from..].find(heading);
            from += at.unwrap_or_else(|| panic!("{heading:?} is missing or too early: {text}"));
        }
        // Only Chromium can be asked to look at itself as a printer does.
        if page.engine() == Engine::Chromium {
            assert_eq!(shown_on_paper(page).await, json!(["print-sheet"]));
        }
        assert!(!page.is_shown("#print-sheet").await);

        // The browser's own menu prints the plan as it is now.
        page.type_into("#settings-name", "Printed by the menu")
            .await;
        named(page, "Printed by the menu").await;
        page.js("window.dispatchEvent(new Event('beforeprint'))")
            .await;
        let name = page
            .js_text("return document.querySelector('#print-sheet h1').textContent")
            .await;
        assert_eq!(name, "Printed by the menu");
    }
);

each_engine!(
    files_are_named_after_the_plan,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.type_into("#settings-name", "Été 2").await;
        named(page, "Été 2").await;
        page.click("[data-act=save-cut-list]").await;
        let csv = page.download("battenbook-été-2-cut-list.csv").await;
        let csv = String::from_utf8(csv).expect("UTF-8");
        let csv = csv.trim_start_matches('\u{feff}');
        assert!(csv.starts_with("Of,Piece,How many,"), "{csv}");
        assert!(csv.lines().count() > 2, "{csv}");
        page.click("[data-act=save-plan]").await;
        let plan = page.download("battenbook-été-2-plan.json").await;
        let plan: Value = serde_json::from_slice(&plan).expect("JSON");
        assert_eq!(plan["name"], "Été 2");
    }
);
