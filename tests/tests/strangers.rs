//! What comes from strangers: script in a name, a note or a number stays text, and whatever gets
//! into the page all the same can neither run nor reach anybody.

use planner::Table;
use planner::fields::Kind;
use whole_product::{Engine, Opening, Page, Site, Source, Value, Viewport, each_engine, json};

/// Ends an attribute, an element, a script, a style and a comment, and leaves marks.
const EVIL: &str = "\"'--></style></script><img class=evil src=x onerror=evil()>";

/// A plan with this text in every field that takes any text, or in every field.
fn evil_plan(everywhere: bool) -> Value {
    let mut plan = json!({
        "canvases": [{"width": "1000", "height": "800"}],
        "boards": [{"length": "2.4 m", "price": "5"}, {"of": "bead", "length": "2.4 m", "price": "4"}],
        "rolls": [{"width": "2.1 m", "price": "10"}],
        "cut": [{"length": "2.4 m", "pieces": "1 x 1000 mitred"}],
    });
    for table in [
        Table::Settings,
        Table::Canvases,
        Table::Boards,
        Table::Rolls,
        Table::Cut,
    ] {
        for field in table.fields() {
            let takes_any = matches!(field.kind, Kind::Text { .. });
            if !takes_any && !everywhere {
                continue;
            }
            let place = match table {
                Table::Settings => &mut plan,
                table => &mut plan[table.key()][0],
            };
            place[field.key] = json!(EVIL);
        }
    }
    plan
}

/// Gives the page a plan file.
async fn choose(page: &Page, plan: &Value) {
    let file = page.folder().join("evil.json");
    std::fs::write(&file, plan.to_string()).expect("the folder is there");
    page.click("#plans").await;
    page.upload("#plan-file", &file).await;
    page.wait_until(
        "the list is closed",
        "return !document.querySelector('#shelf').open",
    )
    .await;
    page.settle().await;
}

/// Looks everywhere for an element that text has become.
async fn assert_only_text(page: &Page) {
    page.js("window.evil = () => { window.ran = true; }; window.print = () => {};")
        .await;
    page.open_folds().await;
    page.click("#hold").await;
    for dialog in ["#plans", "#show-code"] {
        page.click(dialog).await;
        page.js("document.querySelectorAll('dialog[open]').forEach((d) => d.close())")
            .await;
    }
    for print in ["print", "print-kits", "print-labels-a4", "print-rods-a4"] {
        page.click(&format!("[data-act={print}]")).await;
        let found = page
            .js("return [document.querySelectorAll('.evil, [onerror]').length, !!window.ran]")
            .await;
        assert_eq!(found, json!([0, false]), "{print}");
        // It is there, as text.
        if print == "print" {
            let text = page
                .js_text("return document.querySelector('#print-sheet').textContent")
                .await;
            assert!(text.contains("class=evil"), "{text}");
        }
    }
    // How the first figures were reached.
    let figures = page.count("main [data-how]").await;
    for n in 0..figures.min(12) {
        page.js(&format!(
            "document.querySelectorAll('main [data-how]')[{n}].click()"
        ))
        .await;
        page.settle().await;
        let found = page
            .js("const n = document.querySelectorAll('.evil').length;
                 document.querySelectorAll('dialog[open]').forEach((d) => d.close()); return n")
            .await;
        assert_eq!(found, json!(0), "figure {n}");
    }
}

each_engine!(
    script_in_any_name_is_text,
    Source::File,
    Viewport::Desk,
    async |page| {
        choose(page, &evil_plan(false)).await;
        page.wait_for_text("#canvases-sheet", "class=evil").await;
        assert_only_text(page).await;
        // In a list that is pasted, in a file's name, and as the plan of a link.
        page.js_with(
            "const box = document.querySelector('#paste-text');
             document.querySelector('#paste').open = true;
             box.value = `${arguments[0]}; 600; 800\\n${arguments[0]}`;
             box.dispatchEvent(new Event('input', { bubbles: true }))",
            vec![json!(EVIL)],
        )
        .await;
        page.wait_for_text("#paste-answer", "is not read").await;
        page.wait_until_kept().await;
        let link = page.url().await;
        page.js("localStorage.clear(); sessionStorage.clear()")
            .await;
        page.client()
            .goto("about:blank")
            .await
            .expect("a blank page opens");
        page.goto(&link).await;
        page.wait_for_text("#canvases-sheet", "class=evil").await;
        assert_eq!(page.count(".evil").await, 0);
        assert_eq!(
            page.js("return document.title.includes('class=evil')")
                .await,
            json!(true)
        );
    }
);

each_engine!(
    script_in_every_field_is_text,
    Source::File,
    Viewport::Desk,
    async |page| {
        choose(page, &evil_plan(true)).await;
        page.wait_for_text("#faults", "class=evil").await;
        assert_only_text(page).await;
    }
);

/// A link of a few letters that unpacks to 64 MB, packed by the browser itself.
const BOMB: &str = "
    const done = arguments[0];
    const whole = new Blob(['{}', ...Array(64).fill(' '.repeat(1 << 20))]);
    new Response(whole.stream().pipeThrough(new CompressionStream('deflate'))).arrayBuffer().then((packed) => {
      let text = '';
      for (const byte of new Uint8Array(packed)) text += String.fromCharCode(byte);
      done(btoa(text).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', ''));
    });";

each_engine!(
    a_link_that_unpacks_without_end_is_refused,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.type_into("#settings-name", "Harbour").await;
        page.wait_until_kept().await;
        let memory = "return battenbook.memory.buffer.byteLength";
        let before = page.js(memory).await;
        let Value::String(bomb) = page.js_async(BOMB).await else {
            panic!("no bomb")
        };
        assert!(bomb.len() < 100_000, "{}", bomb.len());
        page.js_with("location.hash = `#2.${arguments[0]}`", vec![json!(bomb)])
            .await;
        page.wait_for_text("#notice", "it unpacks to more than a plan can hold")
            .await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
        let grown =
            page.js(memory).await.as_u64().unwrap_or(u64::MAX) - before.as_u64().unwrap_or(0);
        assert!(grown < 4_000_000, "the memory grew by {grown} bytes");
        // Opened at it as well.
        let address = page.address(Source::File);
        page.client()
            .goto("about:blank")
            .await
            .expect("a blank page opens");
        page.goto(&format!("{address}#2.{bomb}")).await;
        page.wait_for_text("#notice", "it unpacks to more than a plan can hold")
            .await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
    }
);

/// Ways to run something or to reach somebody at `arguments[0]`, and the directive that refuses
/// each. Workers answer by themselves: what they may do they inherit from the page.
const LEAKS: &str = "
    const [there, done] = arguments;
    const refused = new Set();
    document.addEventListener('securitypolicyviolation', (e) => refused.add(e.effectiveDirective));
    const make = (tag, more) => document.body.append(Object.assign(document.createElement(tag), more));
    const ways = {
      'script in the page': ['script-src-elem', () => make('script', { textContent: 'window.ran = 1' })],
      'script from there': ['script-src-elem', () => make('script', { src: there + 'a.js' })],
      'script in an attribute': ['script-src-attr', () => { const b = document.createElement('b'); b.setAttribute('onclick', 'window.ran = 2'); document.body.append(b); b.click(); }],
      'script from text': ['script-src', () => setTimeout('window.ran = 3')],
      'style in the page': ['style-src-elem', () => make('style', { textContent: 'h1 { color: rgb(1, 2, 3) !important }' })],
      'style in an attribute': ['style-src-attr', () => document.querySelector('h1').setAttribute('style', 'color: rgb(1, 2, 3)')],
      'style from there': ['style-src-elem', () => make('link', { rel: 'stylesheet', href: there + 'a.css' })],
      'image': ['img-src', () => make('img', { src: there + 'a.png' })],
      'fetch': ['connect-src', () => fetch(there + 'fetch', { mode: 'no-cors' }).catch(() => 0)],
      'request': ['connect-src', () => { const r = new XMLHttpRequest(); r.open('GET', there + 'xhr'); r.onerror = () => 0; r.send(); }],
      'socket': ['connect-src', () => { new WebSocket(there.replace('http', 'ws')).onerror = () => 0; }],
      'stream of events': ['connect-src', () => { new EventSource(there + 'events').onerror = () => 0; }],
      'beacon': ['connect-src', () => navigator.sendBeacon(there + 'beacon', 'x')],
      'frame': ['frame-src', () => make('iframe', { src: there + 'frame' })],
      'object': ['object-src', () => make('object', { data: there + 'object' })],
      'sound': ['media-src', () => make('audio', { src: there + 'a.mp3', preload: 'auto' })],
      'base': ['base-uri', () => document.head.append(Object.assign(document.createElement('base'), { href: there }))],
      'form': ['form-action', () => { make('form', { action: there + 'form', method: 'post', target: '_self', id: 'leak' }); document.querySelector('#leak').submit(); }],
    };
    const seconds = (n) => new Promise((go) => setTimeout(go, n * 1000));
    const until = async (is) => { for (let n = 0; n < 100 && !is(); n += 1) await seconds(0.05); return is(); };
    (async () => {
      const through = [];
      for (const [name, [directive, way]] of Object.entries(ways)) {
        refused.clear();
        try { way(); } catch { refused.add(directive); }
        const said = (d) => refused.has(d) || refused.has(d.replace(/-(elem|attr)$/, ''));
        if (!await until(() => said(directive))) through.push(`${name}: ${[...refused]}`);
      }
      if (window.ran) through.push(`script ${window.ran} ran`);
      if (getComputedStyle(document.querySelector('h1')).color === 'rgb(1, 2, 3)') through.push('a style was taken');
      done(through);
    })();";

/// In each engine, served and from disk: every way is refused by name, and the host that they lead
/// to hears nothing.
#[test]
fn what_gets_in_can_neither_run_nor_reach_anybody() {
    for engine in Engine::ALL {
        for source in [Source::Served, Source::File] {
            Opening::new(engine, source, Viewport::Desk)
                // The browser says on its console what it refuses.
                .tolerant()
                .run(async |page| {
                    let stranger = Site::start(page.folder()).expect("a port is free");
                    let client = page.client();
                    let through = client
                        .execute_async(LEAKS, vec![json!(stranger.url(""))])
                        .await
                        .expect("the script ends");
                    assert_eq!(through, json!([]), "{engine}, {source:?}");
                    assert_eq!(stranger.requests(), [""; 0], "{engine}, {source:?}");
                    assert!(
                        page.url().await.starts_with(&page.address(source)),
                        "{engine}"
                    );
                });
        }
    }
}
