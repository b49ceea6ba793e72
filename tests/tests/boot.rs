//! The page boots, served and from disk, in every engine, quietly.

use whole_product::{Engine, Opening, Source, Viewport, each_engine, json};

each_engine!(served, Source::Served, Viewport::Tablet, async |page| {
    assert_eq!(page.text("h1").await, "Battenbook");
    page.reload().await;
    assert_eq!(page.text("h1").await, "Battenbook");
});

each_engine!(from_disk, Source::File, Viewport::Phone, async |page| {
    assert_eq!(page.text("h1").await, "Battenbook");
    assert_eq!(page.js("return innerWidth").await, json!(360));
    page.screenshot("boot").await;
});

// The saved-file and worker parts of the boot script: what is promised to the page.
each_engine!(boot_promises, Source::File, Viewport::Desk, async |page| {
    // A plan with everything that could end its element early.
    let plan = r#"{"name":"</script><!--<script> $& \" é"}"#;
    let saved = page
        .js_with("return battenbook.file(arguments[0])", vec![json!(plan)])
        .await;
    let file = page.folder().join("saved.html");
    std::fs::write(&file, saved.as_str().expect("a document")).expect("the folder is there");
    page.goto_file(&file).await;
    let name = page.js("return JSON.parse(battenbook.plan).name").await;
    assert_eq!(name, json!("</script><!--<script> $& \" é"));

    // A worker made from a Blob gets the compiled module and can start it.
    let kinds = page
        .js_async(
            "const done = arguments[0];
             const source = 'onmessage = ({ data }) => postMessage(\
                 WebAssembly.Module.exports(data).map((item) => item.name))';
             const worker = new Worker(URL.createObjectURL(new Blob([source])));
             worker.onerror = (event) => done(String(event.message));
             worker.onmessage = ({ data }) => done(data);
             worker.postMessage(battenbook.module);",
        )
        .await;
    let kinds = kinds.as_array().expect("a list of exports");
    assert!(kinds.contains(&json!("memory")), "{kinds:?}");
});

/// The harness must see what it claims to see: a page that misbehaves is caught.
#[test]
fn errors_and_requests_are_seen_in_every_engine() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::Served, Viewport::Desk)
            .tolerant()
            .run(async |page| {
                assert!(page.console_errors().await.is_empty(), "{engine}");
                assert!(page.requests().await.is_empty(), "{engine}");
                page.js("setTimeout(() => { throw new Error('thrown on purpose') })")
                    .await;
                page.js("console.error('said on purpose')").await;
                page.js("fetch('refused-on-purpose').catch(() => 0)").await;
                let mut errors = String::new();
                for _ in 0..40 {
                    errors = page.console_errors().await.join("\n");
                    if errors.matches("on purpose").count() >= 2
                        && errors.contains("refused-on-purpose")
                    {
                        break;
                    }
                    page.js_async("setTimeout(arguments[0], 100)").await;
                }
                assert!(errors.contains("thrown on purpose"), "{engine}: {errors}");
                assert!(errors.contains("said on purpose"), "{engine}: {errors}");
                assert!(errors.contains("refused-on-purpose"), "{engine}: {errors}");
            });
    }
}
