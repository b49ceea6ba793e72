//! The page as a maker uses it: typed sizes, units, links, files, faults, keys.

use planner::{Draft, Plan, Show, Tree, Value as Quantity};
use whole_product::{
    Engine, Key, Opening, Page, Scheme, Source, Value, Viewport, each_engine, json, with_page,
};

/// The plan that the native planner makes of the same texts.
fn native(json: &str) -> Plan {
    let tree: Tree = serde_json::from_str(json).expect("a plan of this test is JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    planner::plan(&draft)
}

fn shown(show: Show, value: impl Into<Quantity>) -> String {
    show.value(&value.into(), "£")
}

/// The figure of this name in the first card (or list) of a sheet.
async fn figure(page: &Page, sheet: &str, name: &str) -> String {
    let found = page
        .js_with(
            "const lines = [...document.querySelectorAll(`#${arguments[0]}-sheet .figures > div`)];
             const line = lines.find((l) => l.querySelector('dt').textContent === arguments[1]);
             return line ? line.querySelector('dd').textContent : 'no such figure';",
            vec![json!(sheet), json!(name)],
        )
        .await;
    found.as_str().unwrap_or_default().to_owned()
}

const ONE: &str = r#"{"canvases":[{"width":"1000","height":"800"}],"boards":[{"length":"2.4 m","price":"5.40"},{"of":"bead","length":"2.4 m","price":"4.20"}],"rolls":[{"width":"2.1 m","price":"14.80"}]}"#;

/// Types the plan [`ONE`] into an empty page.
async fn type_one(page: &Page) {
    page.click("#start-empty").await;
    page.type_into("#canvases-0-width", "1000").await;
    page.type_into("#canvases-0-height", "800").await;
    page.type_into("#boards-0-length", "2.4 m").await;
    page.type_into("#boards-0-price", "5.40").await;
    page.click("#boards-add").await;
    page.choose("#boards-1-of", "bead").await;
    page.type_into("#boards-1-length", "2.4 m").await;
    page.type_into("#boards-1-price", "4.20").await;
    page.type_into("#rolls-0-width", "2.1 m").await;
    page.type_into("#rolls-0-price", "14.80").await;
    page.wait_for_text("#answer", "Cost").await;
}

/// Compares what is read on the page with what the native planner computes.
async fn compare(page: &Page, plan: &Plan) {
    let canvas = &plan.canvases[0];
    let frame = canvas.frame.as_ref().expect("a frame");
    let blank = canvas.blank.as_ref().expect("a blank");
    let size = plan.size.as_ref().expect("a recipe");
    let s = plan.show;
    let expected = [
        (
            "canvases",
            "Wood, outside width",
            shown(s, frame.outer_width.value),
        ),
        ("cut", "Diagonal, both ways", shown(s, frame.diagonal.value)),
        (
            "stretch",
            "Pencil line, from the edge",
            shown(s, blank.front_fold.value),
        ),
        ("size", "Dry glue", shown(s, size.glue.value)),
        ("size", "Water", shown(s, size.water.value)),
    ];
    for (sheet, name, value) in expected {
        assert_eq!(figure(page, sheet, name).await, value, "{name}");
    }
    let cost = plan.totals.as_ref().and_then(|t| t.cost.as_ref());
    let cost = format!("£{}", cost.expect("a cost").value);
    page.wait_for_text("#answer", &cost).await;
}

each_engine!(
    an_empty_plan_needs_a_width_and_a_height_alone,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.click("#start-empty").await;
        page.type_into("#canvases-0-width", "1000").await;
        page.type_into("#canvases-0-height", "800").await;
        for what in ["Batten", "Bead", "Cloth", "Staples", "Size glue"] {
            page.wait_for_text("#answer", what).await;
        }
        assert!(!page.text("#answer").await.contains("to put right"));
        assert!(!page.is_shown("#faults").await);
    }
);

each_engine!(
    typed_sizes_and_units,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        type_one(page).await;
        compare(page, &native(ONE)).await;
        page.click("input[value=imperial] + span").await;
        assert_eq!(page.value("#canvases-0-width").await, "1000 mm");
        let imperial = ONE
            .replace(r#"{"canvases""#, r#"{"units":"imperial","canvases""#)
            .replace("1000", "1000 mm")
            .replace("800", "800 mm");
        compare(page, &native(&imperial)).await;
        page.click("input[value=metric] + span").await;
        assert_eq!(page.value("#canvases-0-width").await, "1000");
        compare(page, &native(ONE)).await;
    }
);

each_engine!(
    a_link_opens_the_same_plan,
    Source::File,
    Viewport::Desk,
    async |page| {
        type_one(page).await;
        page.wait_until(
            "the link is in the address",
            "return location.hash.startsWith('#2.')",
        )
        .await;
        page.wait_until_kept().await;
        let link = page.url().await;
        page.js("localStorage.clear()").await;
        page.client()
            .goto("about:blank")
            .await
            .expect("a blank page opens");
        page.goto(&link).await;
        assert_eq!(page.value("#canvases-0-height").await, "800");
        assert_eq!(page.value("#boards-1-price").await, "4.20");
        compare(page, &native(ONE)).await;
    }
);

each_engine!(
    one_file_holds_the_plan,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        type_one(page).await;
        page.type_into("#settings-name", "Harbour & <boats>").await;
        page.click("#save-file").await;
        let bytes = page.download("battenbook-harbour-boats.html").await;
        page.js("localStorage.clear()").await;
        page.site().stop();
        let file = page.folder().join("saved.html");
        std::fs::write(&file, bytes).expect("the folder is there");
        page.goto_file(&file).await;
        assert_eq!(page.value("#settings-name").await, "Harbour & <boats>");
        compare(page, &native(ONE)).await;
    }
);

each_engine!(
    a_fault_stands_at_its_field,
    Source::File,
    Viewport::Phone,
    async |page| {
        type_one(page).await;
        page.type_into("#canvases-0-height", "8oo").await;
        page.wait_for_text("#canvases-0-height-error", "“8oo” is not understood here")
            .await;
        let invalid = page.attribute("#canvases-0-height", "aria-invalid").await;
        assert_eq!(invalid.as_deref(), Some("true"));
        page.wait_for_text("#faults", "Height (canvas 1)").await;
        // Its figures wait or go; the rest of the sheet and every text stay.
        assert_eq!(page.value("#canvases-0-width").await, "1000");
        page.wait_for_text("#days-sheet", "Ready").await;
        page.click("#faults a").await;
        let focused = page.js("return document.activeElement.id").await;
        assert_eq!(focused, json!("canvases-0-height"));
        page.type_into("#canvases-0-height", "800").await;
        compare(page, &native(ONE)).await;
        assert!(!page.is_shown("#faults").await);
    }
);

each_engine!(keys_alone, Source::File, Viewport::Desk, async |page| {
    type_one(page).await;
    page.js("document.querySelector('#canvases-0-width').focus()")
        .await;
    // The next field in order is the height.
    page.press(char::from(Key::Tab)).await;
    assert_eq!(
        page.js("return document.activeElement.id").await,
        json!("canvases-0-height")
    );
    page.js("document.querySelector('#buy-sheet tfoot .figure').focus()")
        .await;
    let figure = page.js("return document.activeElement.id").await;
    page.press(char::from(Key::Enter)).await;
    page.wait_for_text("#how-body", "Source").await;
    page.press(char::from(Key::Escape)).await;
    page.wait_until(
        "the panel is closed",
        "return !document.querySelector('#how').open",
    )
    .await;
    assert_eq!(page.js("return document.activeElement.id").await, figure);
});

each_engine!(
    rows_undo_and_the_store,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        type_one(page).await;
        page.click("[data-act=copy][data-table=canvases]").await;
        page.type_into("#canvases-1-width", "600").await;
        assert_eq!(page.value("#canvases-1-height").await, "800");
        page.click("[data-act=remove][data-table=canvases][data-row='0']")
            .await;
        assert_eq!(page.count("#list-canvases > li").await, 1);
        assert_eq!(page.value("#canvases-0-width").await, "600");
        page.click("#undo").await;
        assert_eq!(page.value("#canvases-0-width").await, "1000");
        page.click("#redo").await;
        assert_eq!(page.value("#canvases-0-width").await, "600");
        // Opened again without its link, the page has the last plan.
        page.wait_until_kept().await;
        let address = page.address(Source::Served);
        page.js("location.hash = ''").await;
        page.goto(&format!("{address}?again")).await;
        assert_eq!(page.value("#canvases-0-width").await, "600");
    }
);

each_engine!(
    a_damaged_link_is_said,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.js("location.hash = '#1.AAAA'").await;
        page.wait_for_text("#notice", "a part of it is missing or changed")
            .await;
        page.wait_for_text("#answer", "Batten").await;
        page.js("location.hash = '#9.AAAA'").await;
        page.wait_for_text("#notice", "of version “9”").await;
        // One whose event has yet to come when the plan is kept is not written over unread.
        page.js("const field = document.querySelector('#canvases-0-width');
             field.value = '700';
             field.dispatchEvent(new InputEvent('input', { bubbles: true }));
             history.replaceState(null, '', '#8.AAAA')")
            .await;
        page.wait_for_text("#notice", "of version “8”").await;
    }
);

each_engine!(
    text_stays_text,
    Source::File,
    Viewport::Desk,
    async |page| {
        type_one(page).await;
        let evil = "<img src=x onerror=alert(1)>";
        page.type_into("#canvases-0-name", evil).await;
        page.wait_for_text("#canvases-sheet", evil).await;
        assert_eq!(page.count("main img").await, 0);
    }
);

// People who script: the same plan as the native planner's, and named errors.
each_engine!(
    the_planner_as_a_function,
    Source::File,
    Viewport::Desk,
    async |page| {
        let script = "try { return battenbook.exports.plan(JSON.parse(arguments[0])) }
        catch (error) { return [error.message, error.faults] }";
        let given = page.js_with(script, vec![json!(ONE)]).await;
        let expected = serde_json::to_value(native(ONE)).expect("a plan is JSON");
        assert_eq!(without_floats(&given), without_floats(&expected));
        let wrong = r#"{"colour":"red","canvases":[{"width":"1000"}]}"#;
        let said = page.js_with(script, vec![json!(wrong)]).await;
        let first = json!({"field": "", "message": "“colour” is not a field of a plan."});
        assert_eq!(said[1][0], first);
        assert_eq!(said[1][1]["field"], json!("canvases[0].height"));
        let cyclic = "const a = {}; a.canvases = a;
        try { battenbook.exports.plan(a); return '' } catch (error) { return error.name }";
        assert_eq!(page.js(cyclic).await, json!("TypeError"));
    }
);

/// Numbers to nine significant digits: a whole `f64` is an integer to JavaScript.
fn without_floats(value: &Value) -> Value {
    match value {
        Value::Number(n) => json!(format!("{:.9e}", n.as_f64().unwrap_or_default())),
        Value::Array(all) => all.iter().map(without_floats).collect(),
        Value::Object(all) => all
            .iter()
            .map(|(key, value)| (key.clone(), without_floats(value)))
            .collect(),
        other => other.clone(),
    }
}

/// Rules of accessibility in both colour schemes, and nothing wider than the screen.
#[test]
fn accessible_and_never_wider_than_the_screen() {
    for scheme in [Scheme::Light, Scheme::Dark] {
        Opening::new(Engine::Chromium, Source::File, Viewport::Tablet)
            .scheme(scheme)
            .run(async |page| {
                page.open_folds().await;
                let faults = page.accessibility_faults().await;
                assert!(faults.is_empty(), "{faults:#?}");
                for width in [320, 360, 820, 1280, 1600] {
                    page.set_viewport(Viewport::Custom(width, 900)).await;
                    let wider = page
                        .js("return document.documentElement.scrollWidth - innerWidth")
                        .await;
                    assert_eq!(wider, json!(0), "{width} px");
                    page.screenshot(&format!("page-{width}-{scheme:?}").to_lowercase())
                        .await;
                }
            });
    }
}

/// A sheet above what the maker is at gets shorter: the field does not run away. The other engines
/// anchor scrolling themselves, and lay out nothing that is out of sight.
#[test]
fn what_is_in_sight_stays_there_in_webkit() {
    with_page(
        Engine::WebKit,
        Source::File,
        Viewport::Tablet,
        async |page| {
            let moved = page
            .js_async(
                "const done = arguments[0];
                 const pause = (ms) => new Promise((r) => setTimeout(r, ms));
                 const rest = async () => {
                   do await pause(300); while (document.documentElement.matches('[data-planning], [data-asking]'));
                 };
                 (async () => {
                   const price = document.querySelector('#rolls-0-price');
                   const sheet = document.querySelector('#canvases-sheet');
                   price.scrollIntoView({ block: 'center', behavior: 'instant' });
                   price.focus({ preventScroll: true });
                   // What comes into sight is laid out only now.
                   await rest();
                   price.scrollIntoView({ block: 'center', behavior: 'instant' });
                   await rest();
                   const [top, height] = [price.getBoundingClientRect().top, sheet.offsetHeight];
                   const field = document.querySelector('#canvases-0-width');
                   field.value = '9000';
                   field.dispatchEvent(new InputEvent('input', { bubbles: true }));
                   await rest();
                   await rest();
                   done([price.getBoundingClientRect().top - top, sheet.offsetHeight - height]);
                 })();",
            )
            .await;
            let [by, grown] = [&moved[0], &moved[1]].map(|v| v.as_f64().expect("a length"));
            println!("the sheet is {grown} px taller, the field is {by} px lower");
            assert!(
                grown < -20.0,
                "the sheet is {grown} px taller: nothing to see"
            );
            assert!(by.abs() <= 2.0, "the field is {by} px lower");
        },
    );
}
