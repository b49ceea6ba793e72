//! Nothing is lost: plans by name, two tabs, a full or refused store, a turned clock, old data, a
//! browser that is killed.

use std::time::Duration;

use whole_product::{Engine, Opening, Page, Source, Value, Viewport, each_engine, json};

/// Every plan in the store.
const PLANS: &str =
    "return Object.keys(localStorage).filter((key) => key.startsWith('battenbook.plan.'))
    .map((key) => JSON.parse(localStorage[key].split(' ').slice(2).join(' ')))";

async fn plans(page: &Page) -> Vec<Value> {
    let Value::Array(plans) = page.js(PLANS).await else {
        panic!("the store holds a list")
    };
    plans
}

/// Types a plan of one canvas and waits until it is kept.
async fn type_plan(page: &Page, name: &str, width: &str) {
    page.click("#start-empty").await;
    page.type_into("#settings-name", name).await;
    page.type_into("#canvases-0-width", width).await;
    page.type_into("#canvases-0-height", "800").await;
    page.wait_until_kept().await;
}

/// What is kept of a plan of this name, by field of its first canvas.
async fn kept(page: &Page, name: &str, field: &str) -> Option<Value> {
    let plans = plans(page).await;
    let plan = plans.iter().find(|plan| plan["name"] == name)?;
    Some(plan["canvases"][0][field].clone())
}

/// The heights of the first canvas of every plan.
async fn heights(page: &Page) -> Vec<String> {
    let plans = plans(page).await;
    let height = |plan: &Value| plan["canvases"][0]["height"].as_str().map(str::to_owned);
    plans.iter().filter_map(height).collect()
}

/// Types into a tab that need not be in front, which real keys would.
async fn set(page: &Page, css: &str, text: &str) {
    page.js_with(
        "const field = document.querySelector(arguments[0]);
         field.value = arguments[1];
         field.dispatchEvent(new Event('input', { bubbles: true }));",
        vec![json!(css), json!(text)],
    )
    .await;
}

/// Opens the page once more without its link.
async fn visit_again(page: &Page, source: Source) {
    let address = page.address(source);
    page.client()
        .goto("about:blank")
        .await
        .expect("a blank page opens");
    page.goto(&format!("{address}?again")).await;
}

each_engine!(
    several_plans_by_name,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        // What nobody changed is not kept.
        page.click("#plans").await;
        page.wait_for_text("#shelf-body", "No plan is kept yet")
            .await;
        page.click("#shelf [data-act=close-dialog]").await;

        type_plan(page, "Harbour", "1000").await;
        type_plan(page, "Window", "600").await;
        page.click("#plans").await;
        assert_eq!(page.count(".shelf li").await, 2);
        page.wait_for_text(".shelf li:first-child", "Open now.")
            .await;
        page.screenshot("plans").await;
        page.click("[data-act=plan-open]").await;
        assert_eq!(page.value("#canvases-0-width").await, "1000");
        // What was open is a step back, under its own name.
        page.click("#undo").await;
        assert_eq!(page.value("#settings-name").await, "Window");
        page.click("#redo").await;
        page.type_into("#canvases-0-width", "1010").await;
        page.wait_until_kept().await;
        assert_eq!(kept(page, "Harbour", "width").await, Some(json!("1010")));
        assert_eq!(kept(page, "Window", "width").await, Some(json!("600")));

        // Copy, another name, delete, back.
        page.click("#plans").await;
        page.click("[data-act=plan-copy][aria-label='Copy “Window”']")
            .await;
        assert_eq!(page.count(".shelf li").await, 3);
        assert_eq!(kept(page, "Window copy", "width").await, Some(json!("600")));
        let label = "input.plan-label[value='Window copy']";
        page.type_into(label, "Door").await;
        page.js("document.activeElement.blur()").await;
        assert_eq!(kept(page, "Door", "width").await, Some(json!("600")));
        page.click("[data-act=plan-delete][aria-label='Delete “Harbour”']")
            .await;
        page.wait_for_text(".gone", "“Harbour” is deleted.").await;
        assert_eq!(kept(page, "Harbour", "width").await, None);
        assert!(
            page.value("#canvases-0-width").await != "1010",
            "another is open"
        );
        page.click("#plan-back").await;
        assert_eq!(kept(page, "Harbour", "width").await, Some(json!("1010")));
        page.js("location.hash = ''").await;
        visit_again(page, Source::Served).await;
        assert_eq!(page.value("#canvases-0-width").await, "600");
    }
);

each_engine!(
    a_link_replaces_no_plan,
    Source::Served,
    Viewport::Desk,
    async |page| {
        type_plan(page, "Harbour", "1000").await;
        let address = page.address(Source::Served);
        // {"canvases":[{"width":"1000","height":"800"}]}, from the file of links.
        let link = "#1.q1ZKTswrSyxOLVayiq5WKs9MKclQslIyNDAwUNJRykjNTM8oAfItgNza2FoA";
        page.client()
            .goto("about:blank")
            .await
            .expect("a blank page opens");
        page.goto(&format!("{address}{link}")).await;
        assert_eq!(page.value("#settings-name").await, "");
        page.wait_for_text("#before", "Your plan “Harbour” is still kept")
            .await;
        assert_eq!(plans(page).await.len(), 1, "looked at only");
        page.type_into("#canvases-0-height", "700").await;
        page.wait_until_kept().await;
        assert_eq!(plans(page).await.len(), 2);
        assert_eq!(kept(page, "Harbour", "height").await, Some(json!("800")));
        page.click("#undo").await;
        page.wait_until_kept().await;
        page.click("#plans").await;
        page.click("[data-act=plan-open]").await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
    }
);

each_engine!(
    two_tabs_on_one_plan,
    Source::Served,
    Viewport::Desk,
    async |page| {
        type_plan(page, "Harbour", "1000").await;
        let client = page.client();
        let first = client.window().await.expect("a tab");
        let second = client.new_window(true).await.expect("a second tab").handle;
        client
            .switch_to_window(second.clone())
            .await
            .expect("it is there");
        page.goto(&page.address(Source::Served)).await;
        assert_eq!(page.value("#canvases-0-width").await, "1000");
        set(page, "#canvases-0-height", "900").await;
        page.wait_until_kept().await;

        // The first tab is told, and what it does next becomes a plan of its own.
        client
            .switch_to_window(first.clone())
            .await
            .expect("it is there");
        page.wait_for_text("#notice", "“Harbour” was just changed in another tab.")
            .await;
        assert_eq!(page.value("#canvases-0-height").await, "800");
        set(page, "#canvases-0-width", "1100").await;
        page.wait_for_text("#notice", "“Harbour” was changed in another tab too.")
            .await;
        page.wait_until_kept().await;
        assert_eq!(kept(page, "Harbour", "height").await, Some(json!("900")));
        assert_eq!(
            kept(page, "Harbour (2)", "width").await,
            Some(json!("1100"))
        );
        assert_eq!(
            kept(page, "Harbour (2)", "height").await,
            Some(json!("800"))
        );
        // Undone to its beginning, it still never writes over the other's plan.
        page.click("#undo").await;
        page.click("#undo").await;
        page.wait_until_kept().await;
        let mut heights = self::heights(page).await;
        heights.sort();
        assert_eq!(heights, ["800", "900"]);

        // The change can be taken over instead.
        page.click("#plans").await;
        page.click("[data-act=plan-open][data-plan]").await;
        client.switch_to_window(second).await.expect("it is there");
        set(page, "#canvases-0-height", "950").await;
        page.wait_until_kept().await;
        client.switch_to_window(first).await.expect("it is there");
        page.click("[data-act=take-other]").await;
        assert_eq!(page.value("#canvases-0-height").await, "950");
        set(page, "#canvases-0-height", "960").await;
        page.wait_until_kept().await;
        let heights = self::heights(page).await;
        assert_eq!(heights.len(), 2, "no third plan: {heights:?}");
        assert!(heights.contains(&"960".to_owned()), "{heights:?}");
    }
);

/// Fills the store up to the last few hundred letters.
const FILL: &str = "let n = 0;
    for (let size = 1 << 20; size > 200; size /= 2) {
      for (;;) { try { localStorage.setItem(`filler-${n}`, 'x'.repeat(size)); n += 1; } catch { break; } }
    }
    return n;";

each_engine!(
    a_full_store_is_told,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        type_plan(page, "Harbour", "1000").await;
        page.js(FILL).await;
        assert!(!page.is_shown("#no-store").await);
        let long = "long name ".repeat(8);
        for n in 0..8 {
            page.click("#canvases-add").await;
            page.type_into(&format!("#canvases-{}-name", n + 1), &long)
                .await;
        }
        page.wait_for_text("#no-store", "store for this page is full")
            .await;
        page.screenshot("store-full").await;
        // The plan as it was before is still there, and the address has all of it.
        assert_eq!(kept(page, "Harbour", "width").await, Some(json!("1000")));
        page.wait_until_kept().await;
        let asked = page
            .js(
                "const leave = new Event('beforeunload', { cancelable: true });
        dispatchEvent(leave); return leave.defaultPrevented",
            )
            .await;
        assert_eq!(asked, json!(true), "leaving asks first");
        let address = page.url().await;
        page.js("for (const key of Object.keys(localStorage)) if (key.startsWith('filler')) localStorage.removeItem(key)").await;
        page.type_into("#canvases-0-width", "1010").await;
        page.wait_until_kept().await;
        assert!(!page.is_shown("#no-store").await);
        assert_eq!(
            plans(page).await[0]["canvases"].as_array().map(Vec::len),
            Some(9)
        );
        assert!(address.contains("#"), "{address}");
        // Told at the door, before anything is typed.
        page.js(FILL).await;
        visit_again(page, Source::Served).await;
        page.wait_for_text("#no-store", "store for this page is full")
            .await;
    }
);

each_engine!(
    a_refused_store_is_told,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.js("localStorage.clear();
        Storage.prototype.setItem = () => { throw new DOMException('no', 'SecurityError'); }")
            .await;
        page.type_into("#canvases-0-width", "1234").await;
        page.wait_for_text("#no-store", "This browser keeps no plans for this page.")
            .await;
        // The address carries it even so.
        page.wait_until_kept().await;
        let link = page.url().await;
        page.client()
            .goto("about:blank")
            .await
            .expect("a blank page opens");
        page.goto(&link).await;
        assert_eq!(page.value("#canvases-0-width").await, "1234");
    }
);

/// A store that throws when it is looked at, from the first line of the page on.
#[test]
fn a_store_that_can_not_even_be_asked_for_is_told() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Tablet)
        .blank()
        .run(async |page| {
            let script = "for (const name of ['localStorage', 'sessionStorage']) {
                Object.defineProperty(window, name, { get() { throw new DOMException('no', 'SecurityError'); } }); }";
            page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({"source": script})).await;
            page.goto(&page.address(Source::File)).await;
            page.wait_for_text("#no-store", "This browser keeps no plans").await;
            page.type_into("#canvases-0-width", "1234").await;
            page.wait_until_kept().await;
            assert!(page.url().await.contains("#"));
            page.click("#plans").await;
            page.wait_for_text("#shelf-body", "No plan is kept yet").await;
        });
}

each_engine!(
    a_turned_clock_harms_nothing,
    Source::Served,
    Viewport::Desk,
    async |page| {
        type_plan(page, "Harbour", "1000").await;
        // Back to 1971: the newest plan is now the oldest by the clock.
        page.js("Date.now = () => 31536000000").await;
        type_plan(page, "Window", "600").await;
        page.type_into("#canvases-0-width", "610").await;
        page.wait_until_kept().await;
        page.js("Date.now = () => 31535000000").await;
        page.type_into("#canvases-0-width", "620").await;
        page.wait_until_kept().await;
        assert_eq!(plans(page).await.len(), 2, "two plans are two plans");
        page.js("location.hash = ''").await;
        visit_again(page, Source::Served).await;
        assert_eq!(
            page.value("#canvases-0-width").await,
            "620",
            "the last one kept opens"
        );
        assert_eq!(kept(page, "Harbour", "width").await, Some(json!("1000")));
    }
);

each_engine!(
    plans_of_an_older_version_open,
    Source::Served,
    Viewport::Desk,
    async |page| {
        // As the version before kept its one plan, and the one that a link had replaced.
        page.js(r#"localStorage.clear(); sessionStorage.clear();
        localStorage.setItem('battenbook.plan', '{"name":"Old","canvases":[{"width":"900","height":"600"}]}');
        localStorage.setItem('battenbook.before', '{"name":"Older","canvases":[{"width":"500","height":"400"}]}');"#).await;
        visit_again(page, Source::Served).await;
        assert_eq!(page.value("#settings-name").await, "Old");
        assert_eq!(kept(page, "Older", "width").await, Some(json!("500")));
        assert_eq!(
            page.js("return localStorage.getItem('battenbook.plan')")
                .await,
            Value::Null
        );

        // Damaged, or of a version to come: told, and never thrown away.
        page.js(r#"const last = localStorage.getItem('battenbook.last');
        localStorage.setItem(`battenbook.plan.${last}`, '{"name":"Ol');
        sessionStorage.clear();"#)
            .await;
        visit_again(page, Source::Served).await;
        page.wait_for_text("#notice", "The plan of your last visit can't be read.")
            .await;
        page.click("#notice [data-act=plans]").await;
        page.wait_for_text("#shelf-body", "This one can't be read")
            .await;
        page.click("[data-act=plan-text]").await;
        assert_eq!(
            page.download("battenbook-unread-plan.txt").await,
            br#"{"name":"Ol"#
        );
    }
);

/// A browser that is killed a second after the last key: the next one has the plan.
#[test]
fn a_killed_browser_has_kept_the_plan() {
    for engine in [Engine::Chromium, Engine::Firefox] {
        let profile =
            std::env::temp_dir().join(format!("battenbook-killed-{engine}-{}", std::process::id()));
        std::fs::create_dir_all(&profile).expect("a temporary folder can be made");
        let opening = Opening::new(engine, Source::File, Viewport::Desk).profile(&profile);
        opening.clone().tolerant().run(async |page| {
            type_plan(page, "Harbour", "1000").await;
            page.type_into("#canvases-0-width", "1010").await;
            page.wait_until_kept().await;
            tokio::time::sleep(Duration::from_millis(600)).await;
            page.kill_browser();
        });
        // Tolerant: a browser with a profile of its own asks for its own first page.
        opening.tolerant().run(async |page| {
            assert_eq!(page.value("#settings-name").await, "Harbour", "{engine}");
            assert_eq!(page.value("#canvases-0-width").await, "1010", "{engine}");
        });
        let _ = std::fs::remove_dir_all(&profile);
    }
}
