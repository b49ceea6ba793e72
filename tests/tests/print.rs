//! What reaches the printer: the job sheet alone, filled when the browser prints.

use std::process::Command;

use whole_product::{Engine, Page, Source, Value, Viewport, each_engine, json, with_page};

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
        let csv = page.download("battenbook-Été-2-cut-list.csv").await;
        let csv = String::from_utf8(csv).expect("UTF-8");
        let csv = csv.trim_start_matches('\u{feff}');
        assert!(csv.starts_with("Of,Piece,How many,"), "{csv}");
        assert!(csv.lines().count() > 2, "{csv}");
        page.click("[data-act=save-plan]").await;
        let plan = page.download("battenbook-Été-2-plan.json").await;
        let plan: Value = serde_json::from_slice(&plan).expect("JSON");
        assert_eq!(plan["name"], "Été 2");
    }
);

/// The text of each page of what the browser would print.
async fn pages_on_paper(page: &Page) -> Vec<String> {
    let pdf = page.pdf(json!({})).await;
    let read = Command::new("pdftotext")
        .args(["-layout".as_ref(), pdf.as_os_str(), "-".as_ref()])
        .output()
        .expect("poppler-utils is installed");
    let text = String::from_utf8(read.stdout).expect("UTF-8");
    let pages = text.split_terminator('\u{c}');
    pages.map(str::to_owned).collect()
}

/// A sheet that was blown off the bench says whose it is: the plan's name and the page's number on
/// every page. Chromium alone has boxes in the margin of a page; the others print the document's
/// title, which begins with the plan's name, by themselves.
#[test]
fn every_page_has_the_name_of_the_plan_and_its_number() {
    with_page(
        Engine::Chromium,
        Source::File,
        Viewport::Desk,
        async |page| {
            page.js("window.print = () => {}").await;
            // No name, one that could end a string of CSS, and the longest.
            let long = "Harbour by night ".repeat(5);
            let (quoted, long) = ("Été \"; } * \\ </style> \\22 x", long[..80].trim());
            for (typed, shown) in [("", "Job sheet"), (quoted, quoted), (long, long)] {
                page.type_into("#settings-name", typed).await;
                page.wait_until_kept().await;
                for print in [
                    "print",
                    "print-rods-a4",
                    "print-labels-letter",
                    "print-kits",
                ] {
                    page.click(&format!("[data-act={print}]")).await;
                    let pages = pages_on_paper(page).await;
                    assert!(pages.len() > 1, "{print}");
                    let whole = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
                    for (n, text) in pages.iter().enumerate() {
                        let foot = text.trim_end().lines().rev().take(3).collect::<Vec<_>>();
                        let foot = whole(&foot.into_iter().rev().collect::<Vec<_>>().join(" "));
                        let number = format!("page {} of {}", n + 1, pages.len());
                        assert!(foot.contains(&number), "{print}: no {number:?} in {foot:?}");
                        let words = whole(shown);
                        let there = words.split(' ').all(|word| foot.contains(word));
                        assert!(there, "{print}: no {words:?} in {foot:?}");
                    }
                }
            }
            // The browser's own menu, which tells the page first.
            page.type_into("#settings-name", "By the menu").await;
            page.wait_until_kept().await;
            let pages = pages_on_paper(page).await;
            assert!(pages.iter().all(|text| text.contains("By the menu ·")));
        },
    );
}
