//! Where it is hosted: installable, open without the network, never stuck on an old version; and
//! the file on disk asks for none of it.

use std::fs;
use std::path::Path;
use std::time::Duration;

use whole_product::{Engine, Opening, Page, Site, Source, Viewport, each_engine, json};
use xtask::{hosting, project};

/// Writes the page with another title, and what belongs beside it.
fn put_version(folder: &Path, title: &str) {
    let page = fs::read_to_string(project::artifact()).expect("the page is built");
    let page = page.replace("<h1>Battenbook</h1>", &format!("<h1>{title}</h1>"));
    fs::create_dir_all(folder).expect("the run's folder can be written to");
    for (name, bytes) in hosting::beside(&page).expect("the files of www are there") {
        fs::write(folder.join(name), bytes).expect("the folder is there");
    }
    fs::write(folder.join("battenbook.html"), page).expect("the folder is there");
}

/// Asks the browser to look for a new service worker now, which it does by itself at each visit,
/// and waits until that one is installed or turned down.
async fn look_for_update(page: &Page) {
    page.js_async(
        "const done = arguments[0];
         navigator.serviceWorker.ready.then(async (it) => {
           await it.update();
           while (it.installing) await new Promise((r) => setTimeout(r, 50));
         }).then(() => done(''), (e) => done(String(e)));",
    )
    .await;
}

/// Waits until the server has not been asked for anything for a second.
async fn quiet(page: &Page) {
    let mut seen = usize::MAX;
    while seen != page.site().requests().len() {
        seen = page.site().requests().len();
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
}

each_engine!(
    opens_without_the_network,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        page.wait_until_hosted().await;
        page.type_into("#settings-name", "Harbour").await;
        page.wait_until_kept().await;
        page.site().stop();
        page.reload().await;
        assert_eq!(page.value("#settings-name").await, "Harbour");
        // Every address of it, and its work too.
        for name in ["", "battenbook.html", "battenbook.html?from=home"] {
            page.goto(&page.site().url(name)).await;
            page.type_into("#canvases-0-width", "777").await;
            page.wait_for_text("#canvases-sheet", "777").await;
        }
    }
);

// The two below serve from folders of their own, so what is asked for there is not counted.

#[test]
fn a_new_version_arrives_and_loses_no_plan() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::Served, Viewport::Desk)
            .tolerant()
            .run(async |page| {
                let folder = page.folder().join("site");
                put_version(&folder, "Version one");
                let site = Site::start(&folder).expect("a port is free");
                page.goto(&site.url("")).await;
                page.wait_until_hosted().await;
                page.reload().await;
                assert_eq!(page.text("h1").await, "Version one");
                page.type_into("#settings-name", "Harbour").await;
                page.wait_until_kept().await;

                // Half a deployment, the worker before the page: the old version goes on.
                put_version(&folder, "Version two");
                let page_two = fs::read(folder.join("battenbook.html")).expect("just written");
                fs::write(folder.join("battenbook.html"), "half of the page")
                    .expect("the folder is there");
                look_for_update(page).await;
                page.reload().await;
                assert_eq!(page.text("h1").await, "Version one");

                // The whole of it: said on the open page, shown at the next load, the plan still there.
                fs::write(folder.join("battenbook.html"), page_two).expect("the folder is there");
                look_for_update(page).await;
                page.wait_until(
                    "the new version is said",
                    "return !document.querySelector('#newer').hidden",
                )
                .await;
                assert_eq!(page.value("#settings-name").await, "Harbour");
                page.reload().await;
                assert_eq!(page.text("h1").await, "Version two");
                assert_eq!(page.value("#settings-name").await, "Harbour");
                page.js("location.hash = ''").await;
                site.stop();
                page.goto(&site.url("?again")).await;
                assert_eq!(page.text("h1").await, "Version two");
                assert_eq!(page.value("#settings-name").await, "Harbour");
                // The old version's page is gone from the browser.
                let caches = page.js_async("caches.keys().then(arguments[0])").await;
                assert_eq!(caches.as_array().map(Vec::len), Some(1), "{caches}");
            });
    }
}

// All that is ever asked for, and from where.
each_engine!(
    asks_for_nothing_but_its_own_files,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        page.wait_until_hosted().await;
        quiet(page).await;
        let mut asked = page.site().requests();
        asked.sort();
        asked.dedup();
        for path in &asked {
            let name = path.trim_start_matches('/');
            let known = name.is_empty()
                || name == "battenbook.html"
                || name == hosting::WORKER
                || hosting::NAMES.contains(&name);
            assert!(known, "{path}");
        }
        assert!(asked.contains(&"/sw.js".to_owned()), "{asked:?}");
        // Once it is there, work asks for nothing at all.
        let before = page.site().requests().len();
        page.type_into("#canvases-0-width", "901").await;
        page.click("#plans").await;
        page.click("#shelf [data-act=close-dialog]").await;
        quiet(page).await;
        assert_eq!(page.site().requests().len(), before);
    }
);

// A host that has the page alone serves it as well.
#[test]
fn a_host_without_the_other_files() {
    for engine in Engine::ALL {
        Opening::new(engine, Source::Served, Viewport::Desk)
            .tolerant()
            .run(async |page| {
                let folder = page.folder().join("alone");
                fs::create_dir_all(&folder).expect("the run's folder can be written to");
                fs::copy(project::artifact(), folder.join("battenbook.html"))
                    .expect("the page is built");
                let site = Site::start(&folder).expect("a port is free");
                page.goto(&site.url("")).await;
                page.type_into("#canvases-0-width", "905").await;
                page.wait_for_text("#canvases-sheet", "905").await;
            });
    }
}

// From disk: no worker, no manifest, and a policy that would refuse both.
each_engine!(
    a_file_on_disk_asks_for_nothing,
    Source::File,
    Viewport::Desk,
    async |page| {
        let linked = page.count("link[rel=manifest], link[rel=apple-touch-icon], link[rel=icon]:not([href='data:,'])").await;
        assert_eq!(linked, 0);
        let policies = page.js("return [...document.querySelectorAll('meta[http-equiv=Content-Security-Policy]')].map((m) => m.content)").await;
        assert!(
            policies[1]
                .as_str()
                .is_some_and(|p| p.contains("worker-src blob:;")),
            "{policies}"
        );
        // What a saved file holds is the page as it was built.
        let saved = page.js_text("return battenbook.file('')").await;
        assert_eq!(saved.matches("http-equiv").count(), 1);
        assert!(!saved.contains("rel=\"manifest\""));
    }
);

/// The stricter policy is no decoration: a picture from the same folder is refused. Firefox applies
/// no policy to what one file asks of another, so it has nothing to show here.
#[test]
fn the_policy_of_a_file_is_in_force() {
    for engine in [Engine::Chromium, Engine::WebKit] {
        Opening::new(engine, Source::File, Viewport::Desk)
            .tolerant()
            .run(async |page| {
                let refused = page
                    .js_async(
                        "const done = arguments[0];
                         document.addEventListener('securitypolicyviolation', (e) => done(e.effectiveDirective));
                         setTimeout(() => done('nothing was refused'), 5000);
                         document.body.append(Object.assign(new Image(), { src: 'icon.svg' }));",
                    )
                    .await;
                assert_eq!(refused, json!("img-src"), "{engine}");
            });
    }
}

/// What an installer looks at.
#[test]
fn it_can_be_installed() {
    Opening::new(Engine::Chromium, Source::Served, Viewport::Phone).run(async |page| {
        page.wait_until_hosted().await;
        let manifest = page.devtools("Page.getAppManifest", json!({})).await;
        assert_eq!(manifest["errors"], json!([]), "{manifest}");
        assert!(
            manifest["url"]
                .as_str()
                .is_some_and(|url| url.ends_with("/manifest.webmanifest"))
        );
        let faults = page
            .devtools("Page.getInstallabilityErrors", json!({}))
            .await;
        assert_eq!(faults["installabilityErrors"], json!([]), "{faults}");
    });
}
