//! The page breaks no accessibility rule that a scanner can see.

use whole_product::{Engine, Opening, Scheme, Source, Viewport, each_engine};

#[test]
fn no_rule_is_broken_in_any_engine_and_colour_scheme() {
    for engine in Engine::ALL {
        for scheme in [Scheme::Light, Scheme::Dark] {
            Opening::new(engine, Source::File, Viewport::Tablet)
                .scheme(scheme)
                .run(async |page| {
                    let faults = page.accessibility_faults().await;
                    assert!(faults.is_empty(), "{engine}, {scheme:?}: {faults:#?}");
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
