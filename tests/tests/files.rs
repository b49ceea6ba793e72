//! Plans that come as files: chosen, dropped, damaged, too large.

use whole_product::{Page, Source, Viewport, each_engine, json};

fn file(page: &Page, name: &str, text: &str) -> std::path::PathBuf {
    let file = page.folder().join(name);
    std::fs::write(&file, text).expect("the folder is there");
    file
}

async fn choose(page: &Page, name: &str, text: &str) {
    page.click("#plans").await;
    page.upload("#plan-file", &file(page, name, text)).await;
    page.wait_until(
        "the list is closed",
        "return !document.querySelector('#shelf').open",
    )
    .await;
}

/// Lets a file go over the page, as a hand with a mouse does.
async fn drop_on(page: &Page, name: &str, text: &str) {
    page.js_with(
        "const data = new DataTransfer();
         data.items.add(new File([arguments[1]], arguments[0]));
         for (const kind of ['dragover', 'drop']) {
           const event = new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true });
           document.querySelector('main').dispatchEvent(event);
           if (!event.defaultPrevented) throw new Error(`${kind} would leave the page`);
         }",
        vec![json!(name), json!(text)],
    )
    .await;
}

const HARBOUR: &str = r#"{"name":"Harbour","canvases":[{"width":"1000 mm","height":"800 mm"}],"boards":[{"length":"2.4 m"}]}"#;

each_engine!(
    a_plan_file_opens,
    Source::File,
    Viewport::Tablet,
    async |page| {
        choose(page, "harbour.json", HARBOUR).await;
        page.wait_for_text("#said", "“harbour.json” is open.").await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
        // What the page itself saves, it opens.
        page.type_into("#settings-name", "Harbour at night").await;
        page.click("[data-act=save-plan]").await;
        let saved = page.download("battenbook-harbour-at-night-plan.json").await;
        let saved = String::from_utf8(saved).expect("it is text");
        page.click("#start-empty").await;
        choose(page, "again.json", &format!("\u{feff}{saved}")).await;
        assert_eq!(page.value("#settings-name").await, "Harbour at night");
        // What was open is a step back.
        page.click("#undo").await;
        assert_eq!(page.value("#settings-name").await, "");
        drop_on(page, "dropped.json", HARBOUR).await;
        page.wait_for_text("#said", "“dropped.json” is open.").await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
    }
);

each_engine!(
    a_saved_page_gives_its_plan,
    Source::File,
    Viewport::Desk,
    async |page| {
        choose(page, "harbour.json", HARBOUR).await;
        page.click("#save-file").await;
        let saved = page.download("battenbook-harbour.html").await;
        page.click("#start-empty").await;
        choose(page, "saved.html", &String::from_utf8_lossy(&saved)).await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
        // Any other page has none.
        choose(page, "other.html", "<!doctype html><p>1").await;
        page.wait_for_text("#notice", "“other.html” holds no plan.")
            .await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
    }
);

each_engine!(
    what_is_wrong_with_a_file_is_said,
    Source::File,
    Viewport::Tablet,
    async |page| {
        choose(page, "before.json", HARBOUR).await;
        let cut = "{\n \"name\": \"Window\",\n \"canvases\": [{\"width\": \"600\", \"height\": \"450\"},\n {\"width\": \"70";
        choose(page, "cut.json", cut).await;
        page.wait_for_text(
            "#notice",
            "“cut.json” could not be opened: it is damaged or breaks off at line 4.",
        )
        .await;
        page.wait_for_text("#notice", "1 size of canvas").await;
        assert_eq!(page.value("#settings-name").await, "Harbour", "still here");
        page.screenshot("damaged-file").await;
        page.click("[data-act=open-rest]").await;
        assert_eq!(page.value("#settings-name").await, "Window");
        assert_eq!(page.value("#canvases-0-height").await, "450");
        page.click("#undo").await;
        assert_eq!(page.value("#settings-name").await, "Harbour");

        choose(page, "picture.png", "\u{89}PNG\r\n").await;
        page.wait_for_text("#notice", "“picture.png” holds no plan.")
            .await;
        choose(page, "<b>.json", r#"{"colour":"red"}"#).await;
        page.wait_for_text("#notice", "“<b>.json” holds nothing that a plan has.")
            .await;
        let long = format!(r#"{{"name":"{}"}}"#, "x".repeat(256 * 1024));
        choose(page, "long.json", &long).await;
        page.wait_for_text(
            "#notice",
            "“long.json” is too large: a plan file has at most 256 KB",
        )
        .await;
        choose(
            page,
            "some.json",
            r#"{"colour":"red","kerf":"2 mm","canvases":[{"width":"500","height":"400"}]}"#,
        )
        .await;
        page.wait_for_text("#notice", "“colour” is not a field of a plan.")
            .await;
        assert_eq!(page.value("#canvases-0-width").await, "500");
        // One row more than a plan takes.
        let rows = r#"{"width":"300","height":"200"},"#.repeat(200);
        let many = format!(r#"{{"canvases":[{rows}{{"width":"301","height":"200"}}]}}"#);
        choose(page, "many.json", &many).await;
        page.wait_for_text("#notice", "201 rows are too many in")
            .await;
        assert_eq!(page.count("#list-canvases > li").await, 200);
    }
);

each_engine!(
    what_is_left_of_a_damaged_link_is_offered,
    Source::File,
    Viewport::Desk,
    async |page| {
        choose(page, "long.json", r#"{"name":"Window","canvases":[{"name":"Still life","width":"613","height":"451"},{"name":"Harbour","width":"1210","height":"807"}]}"#).await;
        page.wait_until(
            "the link is in the address",
            "return location.hash.length > 60",
        )
        .await;
        page.wait_until_kept().await;
        let link = page.url().await;
        page.click("#start-empty").await;
        page.wait_until_kept().await;
        let (_, fragment) = link.split_once('#').expect("a link");
        // As a message that breaks the line hands it on.
        let cut = &fragment[..fragment.len() - 10];
        page.js_with("location.hash = arguments[0]", vec![json!(cut)])
            .await;
        page.wait_for_text("#notice", "The link could not be opened")
            .await;
        page.click("[data-act=open-rest]").await;
        assert_eq!(page.value("#settings-name").await, "Window");
        assert_eq!(page.value("#canvases-0-width").await, "613");
    }
);
