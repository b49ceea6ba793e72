//! The page breaks no accessibility rule that a scanner can see.

use whole_product::{Engine, Opening, Scheme, Source, Viewport, each_engine, json};

#[test]
fn no_rule_is_broken_in_any_engine_and_colour_scheme() {
    for engine in Engine::ALL {
        for scheme in [Scheme::Light, Scheme::Dark] {
            Opening::new(engine, Source::File, Viewport::Tablet)
                .scheme(scheme)
                .run(async |page| {
                    // One canvas with all folds open; something to put right, and something said.
                    page.click("#start-empty").await;
                    page.type_into("#canvases-0-width", "1000").await;
                    page.type_into("#canvases-0-height", "800").await;
                    page.js("location.hash = '#9.AAAA'").await;
                    page.wait_for_text("#notice", "of version “9”").await;
                    page.open_folds().await;
                    let faults = page.accessibility_faults().await;
                    assert!(faults.is_empty(), "{engine}, {scheme:?}: {faults:#?}");
                    for button in ["#show-help", "#show-code", "#plans", "main [data-how]"] {
                        page.click(button).await;
                        let faults = page.accessibility_faults_in("dialog[open]").await;
                        assert!(
                            faults.is_empty(),
                            "{engine}, {scheme:?}, {button}: {faults:#?}"
                        );
                        page.js("document.querySelector('dialog[open]').close()")
                            .await;
                    }
                });
        }
    }
}

// The scanner must see a fault that is there.
each_engine!(
    faults_are_seen,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.js("document.querySelector('main').append(document.createElement('input'))")
            .await;
        let faults = page.accessibility_faults().await;
        assert!(
            faults.iter().any(|fault| fault.starts_with("label at ")),
            "{faults:#?}"
        );
    }
);

/// Plans, code and help: no rule broken, nothing wider than the screen.
#[test]
fn the_dialogs_break_no_rule() {
    for scheme in [Scheme::Light, Scheme::Dark] {
        Opening::new(Engine::Chromium, Source::File, Viewport::Tablet)
            .scheme(scheme)
            .run(async |page| {
                page.type_into("#settings-name", "Kept").await;
                page.wait_until("it is kept", "return location.hash.length > 9")
                    .await;
                for (button, dialog) in [
                    ("#plans", "shelf"),
                    ("#show-code", "code"),
                    ("#show-help", "help"),
                ] {
                    page.click(button).await;
                    // At its beginning, and no keys pop up on a tablet.
                    let focused = page.js("return document.activeElement.id").await;
                    assert_eq!(focused, json!(format!("{dialog}-title")));
                    page.js("document.querySelectorAll('dialog[open] details').forEach((d) => { d.open = true; })")
                        .await;
                    let faults = page.accessibility_faults().await;
                    assert!(faults.is_empty(), "{dialog}, {scheme:?}: {faults:#?}");
                    for width in [320, 820] {
                        page.set_viewport(Viewport::Custom(width, 900)).await;
                        let script = format!(
                            "const d = document.querySelector('#{dialog}');
                             return d.scrollWidth - d.clientWidth"
                        );
                        assert_eq!(page.js(&script).await, json!(0), "{dialog}, {width} px");
                        page.screenshot(&format!("{dialog}-{width}-{scheme:?}").to_lowercase())
                            .await;
                    }
                    page.click(&format!("#{dialog} [data-act=close-dialog]")).await;
                }
            });
    }
}
