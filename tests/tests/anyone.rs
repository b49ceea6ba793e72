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
            const both = [luminance(parts(getComputedStyle(element).color)), luminance(behind(element))];
            return (Math.max(...both) + 0.05) / (Math.min(...both) + 0.05);
        }));";
    let ratio = page.js_with(script, vec![json!(css)]).await;
    ratio.as_f64().expect("a ratio")
}

#[test]
fn figures_can_be_read_in_the_sun() {
    for engine in Engine::ALL {
        for scheme in [Scheme::Light, Scheme::Dark] {
            Opening::new(engine, Source::File, Viewport::Tablet)
                .scheme(scheme)
                .run(async |page| {
                    for css in [
                        ".figure",
                        "#answer dd",
                        "main input",
                        "td.number",
                        "main h2",
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
        page.press(char::from(Key::Tab)).await;
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
        page.js_async("setTimeout(arguments[0], 2000)").await;
        let said = page
            .js_async(
                "const done = arguments[0];
                 let said = 0;
                 new MutationObserver(() => { said += 1; })
                   .observe(document.querySelector('#spoken'), { childList: true, characterData: true, subtree: true });
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

/// 320 px, which is also 1280 px enlarged four times, and 640 px, twice (WCAG 2.2, 1.4.10).
#[test]
fn a_narrow_or_enlarged_page_needs_no_sideways_scrolling() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Tablet).run(async |page| {
        for width in [320, 640] {
            page.set_viewport(Viewport::Custom(width, 720)).await;
            page.js("document.querySelectorAll('main details').forEach((d) => { d.open = true; })")
                .await;
            page.settle().await;
            page.lay_out_all().await;
            let wider = page
                .js("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
                .await;
            assert_eq!(wider, json!(0), "{width} px");
        }
    });
}

#[test]
fn forced_colours_and_no_motion_are_respected() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Tablet).run(async |page| {
        page.devtools(
            "Emulation.setEmulatedMedia",
            json!({"features": [{"name": "forced-colors", "value": "active"},
                                {"name": "prefers-reduced-motion", "value": "reduce"}]}),
        )
        .await;
        // Only borders and outlines say what is a field or a button where backgrounds are gone.
        let bare = page
            .js("return [...document.querySelectorAll('input:not([type=radio]):not([type=file]), select, button.act')]
                 .filter((e) => e.checkVisibility() && getComputedStyle(e).borderTopStyle === 'none')
                 .map((e) => e.id)")
            .await;
        assert_eq!(bare, json!([]));
        let moving = page
            .js("return [...document.querySelectorAll('*')]
                 .filter((e) => getComputedStyle(e).transitionDuration !== '0s'
                     || getComputedStyle(e).animationName !== 'none'
                     || getComputedStyle(e).scrollBehavior !== 'auto')
                 .map((e) => e.tagName + '.' + e.className)")
            .await;
        assert_eq!(moving, json!([]));
    });
}
