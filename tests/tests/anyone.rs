//! What a scanner can't see: figures that can be read in the sun, the keyboard alone, a narrow
//! window or one enlarged to twice its size, forced colours, no motion, a voice that does not
//! chatter.

use whole_product::{Engine, Key, Opening, Page, Scheme, Source, Viewport, each_engine, json};

/// WCAG 2.2, success criterion 1.4.6: contrast of at least 7 to 1 (level AAA).
const SUNLIGHT: f64 = 7.0;

/// The lowest contrast of all elements that match and are shown, by WCAG's relative luminance
/// (0.2126 R + 0.7152 G + 0.0722 B of the linear parts); the background is that of the nearest
/// element that has one.
async fn lowest_contrast(page: &Page, css: &str) -> f64 {
    let script = "
        const parts = (colour) => colour.match(/[\\d.]+/g).map(Number);
        const linear = (c) => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
        const luminance = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        const behind = (element) => {
            for (let e = element; e; e = e.parentElement) {
                const [r, g, b, a = 1] = parts(getComputedStyle(e).backgroundColor);
                if (a === 1) return [r, g, b];
            }
            return [255, 255, 255];
        };
        const shown = [...document.querySelectorAll(arguments[0])].filter((e) => e.checkVisibility());
        if (shown.length === 0) return 0;
        return Math.min(...shown.map((element) => {
            const { color, fill } = getComputedStyle(element);
            const own = element instanceof SVGElement ? fill : color;
            const both = [luminance(parts(own)), luminance(behind(element))];
            return (Math.max(...both) + 0.05) / (Math.min(...both) + 0.05);
        }));";
    let ratio = page.js_with(script, vec![json!(css)]).await;
    ratio.as_f64().expect("a ratio")
}

#[test]
fn figures_can_be_read_in_the_sun() {
    for engine in Engine::ALL {
        for scheme in [Scheme::Light, Scheme::Dark] {
            // Wide enough for the figures of the drawing that stays in sight.
            Opening::new(engine, Source::File, Viewport::Desk)
                .scheme(scheme)
                .run(async |page| {
                    page.open_folds().await;
                    for css in [
                        ".figure",
                        "#answer dd",
                        "main input",
                        "td.number",
                        "main h2",
                        "#drawing svg text",
                        ".picture svg text",
                    ] {
                        let ratio = lowest_contrast(page, css).await;
                        assert!(ratio >= SUNLIGHT, "{engine}, {scheme:?}, {css}: {ratio:.2}");
                    }
                    // The measure itself: grey on white is 4.54 to 1 at #767676.
                    page.js(
                        "const p = document.createElement('p'); p.id = 'grey'; p.textContent = 'x';
                             p.style.setProperty('color', '#767676');
                             p.style.setProperty('background-color', '#ffffff');
                             document.querySelector('main').append(p)",
                    )
                    .await;
                    let grey = lowest_contrast(page, "#grey").await;
                    assert!((grey - 4.54).abs() < 0.01, "{engine}: {grey}");
                });
        }
    }
}

/// Presses Tab until the focus is on an element that matches.
async fn tab_to(page: &Page, css: &str) {
    for _ in 0..150 {
        let there = page
            .js_with(
                "return document.activeElement.matches(arguments[0])",
                vec![json!(css)],
            )
            .await;
        if there == json!(true) {
            return;
        }
        page.key(Key::Tab).await;
    }
    panic!("{}: Tab never comes to {css}", page.engine());
}

each_engine!(
    the_keyboard_alone_does_the_main_job,
    Source::File,
    Viewport::Desk,
    async |page| {
        tab_to(page, "#start-empty").await;
        page.press(char::from(Key::Enter)).await;
        tab_to(page, "#canvases-0-width").await;
        page.press("1000").await;
        page.press(char::from(Key::Tab)).await;
        page.press("800").await;
        page.wait_for_text("#stretch-sheet", "1218").await;
        // A figure explains itself, and the focus comes back to it.
        tab_to(page, "#canvases-sheet .figure").await;
        let figure = page.js("return document.activeElement.id").await;
        page.press(char::from(Key::Enter)).await;
        page.wait_until("the dialog", "return document.querySelector('#how').open")
            .await;
        page.press(char::from(Key::Escape)).await;
        page.wait_until("its end", "return !document.querySelector('#how').open")
            .await;
        assert_eq!(page.js("return document.activeElement.id").await, figure);
        // So do the dialogs to their buttons; a fold opens by its key.
        page.js("document.querySelector('.skip').focus()").await;
        for (button, dialog) in [
            ("#plans", "#shelf"),
            ("#show-code", "#code"),
            ("#show-help", "#help"),
        ] {
            let open = format!("return document.querySelector('{dialog}').open");
            tab_to(page, button).await;
            page.key(Key::Enter).await;
            page.wait_until(&format!("the dialog {dialog}"), &open)
                .await;
            tab_to(page, &format!("{dialog} [data-act=close-dialog]")).await;
            page.key(Key::Enter).await;
            page.wait_until(
                &format!("the end of {dialog}"),
                &open.replace("return ", "return !"),
            )
            .await;
            let focused = page.js("return `#${document.activeElement.id}`").await;
            assert_eq!(focused, json!(button));
        }
        tab_to(page, "details[data-picture=steps-0] > summary").await;
        page.press(char::from(Key::Enter)).await;
        page.wait_for_text("#steps-0-said", "Step 1 of ").await;
        tab_to(page, "#steps-0-step-next").await;
        page.press(char::from(Key::Enter)).await;
        page.wait_for_text("#steps-0-said", "Step 2 of ").await;
        // What is wrong is said in a list whose links lead to the field.
        page.js("document.querySelector('#canvases-0-width').focus()")
            .await;
        page.js("document.querySelector('#canvases-0-width').select()")
            .await;
        page.press("wide").await;
        page.wait_for_text("#faults", "wide").await;
        page.js("document.querySelector('#faults a').focus()").await;
        page.press(char::from(Key::Enter)).await;
        assert_eq!(
            page.js("return document.activeElement.id").await,
            json!("canvases-0-width")
        );
        // The focus is seen wherever it is.
        let outline = page
            .js("const s = getComputedStyle(document.activeElement);
                 return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2")
            .await;
        assert_eq!(outline, json!(true));
    }
);

each_engine!(
    the_voice_does_not_chatter,
    Source::File,
    Viewport::Tablet,
    async |page| {
        // Until the page has said what it says of itself when it opens.
        page.js_async(
            "const done = arguments[0];
             let last = performance.now();
             new MutationObserver(() => { last = performance.now(); })
               .observe(document.querySelector('#spoken'), { childList: true, characterData: true, subtree: true });
             const timer = setInterval(() => {
               if (performance.now() - last > 2000) { clearInterval(timer); done(); }
             }, 100);",
        )
        .await;
        let said = page
            .js_async(
                "const done = arguments[0];
                 let said = 0;
                 // Every place from which a screen reader speaks, and whatever becomes one.
                 const voices = '[aria-live]:not([aria-live=off]), [role=status], [role=alert], [role=log], output';
                 new MutationObserver((changes) => {
                   const heard = (c) => (c.target.nodeType === 1 ? c.target : c.target.parentElement)?.closest(voices);
                   said += changes.some(heard);
                 }).observe(document.body, { childList: true, characterData: true, subtree: true });
                 const field = document.querySelector('#canvases-0-width');
                 const type = (i) => {
                   if (i === 8) return setTimeout(() => done(said), 4000);
                   field.value = `${1000 + i}`;
                   field.dispatchEvent(new InputEvent('input', { bubbles: true }));
                   setTimeout(() => type(i + 1), 150);
                 };
                 type(0);",
            )
            .await;
        assert_eq!(said, json!(1), "eight keys are one change for the ear");
    }
);

// 320 px, which is also 1280 px enlarged four times, and 640 px, twice (WCAG 2.2, 1.4.10); and
// letters of twice the size (1.4.4). WebKit's window is at least 334 px wide.
each_engine!(
    a_narrow_or_enlarged_page_needs_no_sideways_scrolling,
    Source::File,
    Viewport::Tablet,
    async |page| {
        let wider = async |what: &str| {
            let pixels = page
                .js("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
                .await;
            assert_eq!(pixels, json!(0), "{what}");
            // Nothing that says something is cut off at its side.
            let cut = page
                .js("return [...document.querySelectorAll('button, summary, label, h1, h2, h3, dt, dd, p, td, th, li')]
                     .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0
                         && ['hidden', 'clip'].includes(getComputedStyle(e).overflowX) && !e.closest('.unseen'))
                     .map((e) => `${e.tagName} ${e.textContent.slice(0, 40)}`)")
                .await;
            assert_eq!(cut, json!([]), "{what}");
        };
        page.open_folds().await;
        let narrow = if page.engine() == Engine::WebKit {
            334
        } else {
            320
        };
        for width in [narrow, 640] {
            page.set_viewport(Viewport::Custom(width, 720)).await;
            page.open_folds().await;
            wider(&format!("{width} px")).await;
        }
        page.set_viewport(Viewport::Custom(820, 1180)).await;
        let letter =
            "return parseFloat(getComputedStyle(document.querySelector('main p')).fontSize)";
        let before = page.js(letter).await.as_f64().expect("a size");
        page.js("document.documentElement.style.setProperty('font-size', '200%')")
            .await;
        let after = page.js(letter).await.as_f64().expect("a size");
        assert!(
            (after / before - 2.0).abs() < 0.05,
            "{before} px, {after} px"
        );
        page.open_folds().await;
        wider("letters of twice the size").await;
    }
);

/// Every stop of the Tab key, in order, and what is wrong with it.
const STOP: &str = "
    const seen = window.stops ??= [];
    const e = document.activeElement;
    if (e === document.body || seen.includes(e)) return ['end'];
    const faults = [];
    const last = seen.at(-1);
    if (last && !(last.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING)) faults.push('before the last one');
    // WebKit's window is never the active one where nobody manages windows: it marks nothing.
    const marks = document.hasFocus();
    // Its middle, or one of its corners, lies in the window and under nothing else.
    const shown = e.matches('input[type=radio], input[type=file]') ? e.closest('label') ?? e : e;
    // What is higher than the window is seen by the part that is in it.
    const clip = (r) => ({ left: Math.max(r.left, 0), top: Math.max(r.top, 0), right: Math.min(r.right, innerWidth), bottom: Math.min(r.bottom, innerHeight) });
    const boxes = [...shown.getClientRects()].map(clip);
    const inside = (x, y) => { const at = document.elementFromPoint(x, y); return at && (shown.contains(at) || at.contains(shown)); };
    const points = boxes.flatMap((r) => [[0.5, 0.5], [0.1, 0.2], [0.9, 0.2], [0.1, 0.8], [0.9, 0.8]]
        .map(([x, y]) => [r.left + (r.right - r.left) * x, r.top + (r.bottom - r.top) * y]));
    if (!points.some(([x, y]) => inside(x, y)) && (marks || !e.matches('.skip'))) faults.push('not seen');
    const marked = (s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2;
    if (marks && ![e, shown, e.nextElementSibling].some((e) => e && marked(getComputedStyle(e)))) faults.push('without a mark');
    seen.push(e);
    return [e.id || `${e.tagName} ${e.textContent.trim().slice(0, 40)}`, faults.join(', ')];";

/// What the Tab key must come to.
const STOPS: &str = "
    const all = 'a[href], button, input, select, textarea, summary, [tabindex]';
    const can = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled && e.tabIndex >= 0
        && !(e.type === 'radio' && !e.checked) && !e.closest('dialog');
    return [...document.querySelectorAll(all)].filter((e) => can(e) && !window.stops.includes(e))
        .map((e) => e.id || `${e.tagName} ${e.textContent.trim().slice(0, 40)}`);";

// WCAG 2.2: 2.4.3 focus order, 2.1.2 no trap, 2.4.7 focus visible, 2.4.11 focus not obscured; on the
// smallest screen, where what sticks to an edge covers most.
// Not in WebKit, whose window is never the active one here.
#[test]
fn the_focus_goes_through_the_page_in_order_and_is_always_seen() {
    for engine in [Engine::Chromium, Engine::Firefox] {
        Opening::new(engine, Source::File, Viewport::Phone).run(async |page| {
            page.click("#start-empty").await;
            page.type_into("#canvases-0-width", "1000").await;
            page.type_into("#canvases-0-height", "800").await;
            page.wait_until_kept().await;
            // From its beginning.
            page.reload().await;
            let mut faults = Vec::new();
            let mut stops = 0;
            loop {
                page.key(Key::Tab).await;
                // Scrolled there with the next frame.
                page.js_async(
                    "const [done] = arguments;
                requestAnimationFrame(() => requestAnimationFrame(() => done()))",
                )
                .await;
                let stop = page.js(STOP).await;
                if stop[0] == "end" || stops == 400 {
                    break;
                }
                stops += 1;
                assert_eq!(page.js("return document.hasFocus()").await, json!(true));
                if stop[1] != "" {
                    faults.push(stop);
                }
            }
            assert_eq!(faults, [""; 0], "of {stops} stops");
            assert_eq!(
                page.js(STOPS).await,
                json!([]),
                "never come to, in {stops} stops"
            );
            assert!(stops > 60, "only {stops} stops");
        });
    }
}

// WebKit knows no forced colours.
#[test]
fn forced_colours_leave_everything_to_be_seen() {
    for engine in [Engine::Chromium, Engine::Firefox] {
        Opening::new(engine, Source::File, Viewport::Desk)
            .forced_colours()
            .run(async |page| {
                let forced = page.js("return matchMedia('(forced-colors: active)').matches").await;
                assert_eq!(forced, json!(true), "{engine}");
                // Only borders and outlines say what is a field or a button where backgrounds are gone.
                let bare = page
                    .js("return [...document.querySelectorAll('input:not([type=radio]):not([type=file]), select, button.act')]
                         .filter((e) => e.checkVisibility() && getComputedStyle(e).borderTopStyle === 'none')
                         .map((e) => e.id)")
                    .await;
                assert_eq!(bare, json!([]), "{engine}");
                // Letters of drawings, whose colours the browser leaves alone, on the maker's
                // background.
                page.open_folds().await;
                for css in [".figure", "#drawing svg text", ".picture svg text"] {
                    let ratio = lowest_contrast(page, css).await;
                    assert!(ratio >= SUNLIGHT, "{engine}, {css}: {ratio:.2}");
                }
            });
    }
}

// So that nobody who asks for less motion must be asked.
each_engine!(
    nothing_moves,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.open_folds().await;
        let moving = page
            .js("return [...document.querySelectorAll('*')]
                 .filter((e) => getComputedStyle(e).transitionDuration !== '0s'
                     || getComputedStyle(e).animationName !== 'none'
                     || getComputedStyle(e).scrollBehavior !== 'auto')
                 .map((e) => e.tagName + '.' + e.className)")
            .await;
        assert_eq!(moving, json!([]));
    }
);
