//! The page boots, served and from disk, in every engine, quietly.

use whole_product::{Engine, Opening, Scheme, Source, Viewport, each_engine, json};

each_engine!(served, Source::Served, Viewport::Tablet, async |page| {
    assert_eq!(page.text("h1").await, "Battenbook");
    page.reload().await;
    assert_eq!(page.text("h1").await, "Battenbook");
});

each_engine!(from_disk, Source::File, Viewport::Phone, async |page| {
    assert_eq!(page.text("h1").await, "Battenbook");
    let width = page.js("return matchMedia('(width: 360px)').matches").await;
    assert_eq!(width, json!(true));
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

/// No test passes because its engine is not there: it fails, with the line that installs it.
#[test]
fn a_missing_engine_fails_with_the_line_to_use() {
    let this = std::env::current_exe().expect("this test is a program");
    let without = std::process::Command::new(this)
        .args(["--exact", "boot::served::firefox"])
        .env("PATH", "/nowhere")
        .output()
        .expect("it starts");
    let said = String::from_utf8_lossy(&without.stdout).into_owned()
        + &String::from_utf8_lossy(&without.stderr);
    assert!(!without.status.success(), "{said}");
    for part in ["missing: chromium", "firefox-esr", "apt-get install"] {
        assert!(said.contains(part), "{part:?} in {said}");
    }
}

/// The harness must see what it claims to see: errors.
#[test]
fn errors_are_seen_in_every_engine() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::Served, Viewport::Desk)
            .tolerant()
            .run(async |page| {
                page.assert_quiet().await;
                page.js("setTimeout(() => { throw new Error('thrown on purpose') })")
                    .await;
                page.js("console.error('said on purpose')").await;
                page.js("fetch('refused-on-purpose').catch(() => 0)").await;
                let expected = ["thrown on purpose", "said on purpose", "refused-on-purpose"];
                let mut errors = String::new();
                // Events arrive a moment after what caused them.
                for _ in 0..40 {
                    errors = page.console_errors().await.join("\n");
                    if expected.iter().all(|part| errors.contains(part)) {
                        return;
                    }
                    page.js_async("setTimeout(arguments[0], 100)").await;
                }
                panic!("{engine}: {errors}");
            });
    }
}

/// The harness must see what it claims to see: a page that asks for something, from disk.
#[test]
fn requests_are_seen_in_every_engine() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::File, Viewport::Desk)
            .blank()
            .tolerant()
            .run(async |page| {
                let file = page.folder().join("leak.html");
                let leak = page.site().url("leak.png");
                std::fs::write(&file, format!("<!doctype html><img src=\"{leak}\">"))
                    .expect("the folder is there");
                let url = format!("file://{}", file.display());
                page.client().goto(&url).await.expect("the file opens");
                let requests = page.requests().await;
                // Twice: the engine says so, and the server says so.
                let seen = requests.iter().filter(|url| **url == leak).count();
                assert_eq!(seen, 2, "{engine}: {requests:?}");
            });
    }
}

// Text typed, keys pressed, a file saved: the harness against a page of known behaviour.
each_engine!(
    harness_basics,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.js("const field = document.createElement('input');
         field.id = 'probe'; field.value = 'old';
         const echo = document.createElement('output'); echo.id = 'echo';
         field.addEventListener('input', () => { echo.textContent = field.value; });
         const link = document.createElement('a');
         link.id = 'save'; link.textContent = 'save'; link.download = 'probe.txt';
         link.href = URL.createObjectURL(new Blob(['saved text']));
         document.querySelector('main').append(field, echo, link);")
            .await;
        page.type_into("#probe", "749 mm").await;
        page.wait_for_text("#echo", "749 mm").await;
        page.press("x").await;
        assert_eq!(page.value("#probe").await, "749 mmx");
        page.type_into("#probe", "").await;
        assert_eq!(page.value("#probe").await, "");
        page.click("#save").await;
        assert_eq!(page.download("probe.txt").await, b"saved text");
        assert_eq!(page.downloads(), ["probe.txt"]);
    }
);

/// Colours and sizes reach the page.
#[test]
fn settings_reach_the_page_in_every_engine() {
    for engine in Engine::ALL {
        for scheme in [Scheme::Dark, Scheme::Light] {
            Opening::new(engine, Source::File, Viewport::Desk)
                .scheme(scheme)
                .run(async |page| {
                    let dark = page
                        .js("return matchMedia('(prefers-color-scheme: dark)').matches")
                        .await;
                    assert_eq!(dark, json!(scheme == Scheme::Dark), "{engine}");
                    for viewport in [Viewport::Phone, Viewport::Tablet, Viewport::Desk] {
                        page.set_viewport(viewport).await;
                        // Not innerWidth, which Chromium's phone widens for a page that
                        // overflows.
                        let (width, _) = viewport.size();
                        let script = format!("return matchMedia('(width: {width}px)').matches");
                        assert_eq!(page.js(&script).await, json!(true), "{engine}, {width} px");
                    }
                });
        }
    }
}
