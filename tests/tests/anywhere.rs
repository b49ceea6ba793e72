//! The main job in every engine, served and from disk, on phone, tablet and desk, by finger and by
//! mouse; in a private window; and with the server gone.

use whole_product::{Engine, Opening, Source, Viewport, each_engine, json};

const SIZES: [Viewport; 3] = [Viewport::Phone, Viewport::Tablet, Viewport::Desk];

each_engine!(
    the_main_job_from_disk,
    Source::File,
    Viewport::Desk,
    async |page| {
        for size in SIZES {
            page.main_job(size).await;
        }
    }
);

each_engine!(
    the_main_job_served,
    Source::Served,
    Viewport::Desk,
    async |page| {
        for size in SIZES {
            page.main_job(size).await;
        }
    }
);

// Everything that the page has, once its server is gone; `with_page` counts what is asked for.
each_engine!(
    everything_works_with_the_server_gone,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        page.wait_until_hosted().await;
        page.site().stop();
        page.reload().await;
        page.main_job(Viewport::Tablet).await;
        page.click("#show-example").await;
        page.open_folds().await;
        let empty = page
            .js("return [...document.querySelectorAll('main details[open] > [data-later]:empty')].map((e) => e.id)")
            .await;
        assert_eq!(empty, json!([]), "folds without anything in them");
        let pressed = page.every_button().await;
        println!("{}: {pressed} buttons", page.engine());
        assert!(pressed > 40, "only {pressed} buttons");
        page.type_into("#settings-name", "Harbour").await;
        page.wait_until_kept().await;
        page.reload().await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
    }
);

/// A private window: either the maker is told before anything is typed, or the plan is back after
/// a reload, with its link and without. (The guide says that it goes when the window closes: a page
/// can't see in which kind of window it is.)
#[test]
fn a_private_window_loses_nothing_while_it_is_open() {
    for engine in Engine::ALL {
        for source in [Source::Served, Source::File] {
            Opening::new(engine, source, Viewport::Tablet)
                .private()
                .run(async |page| {
                    let told = page.is_shown("#no-store").await;
                    page.click("#start-empty").await;
                    page.type_into("#settings-name", "Harbour").await;
                    page.type_into("#canvases-0-width", "1000").await;
                    page.type_into("#canvases-0-height", "800").await;
                    page.wait_for_text("#stretch-sheet", "1218").await;
                    page.wait_until_kept().await;
                    page.reload().await;
                    assert_eq!(page.value("#settings-name").await, "Harbour", "{engine}");
                    // Opened anew by its bare address.
                    page.js("location.hash = ''").await;
                    page.goto(&format!("{}?again", page.address(source))).await;
                    let back = page.value("#canvases-0-height").await == "800";
                    assert!(back || told, "{engine}, {source:?}: neither told nor kept");
                    println!("{engine}, {source:?}: told {told}, kept {back}");
                });
        }
    }
}
