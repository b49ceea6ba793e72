//! Opening the page in a browser for one test, and closing everything afterwards.

use std::fs;
use std::panic::{AssertUnwindSafe, resume_unwind};
use std::path::Path;
use std::time::Duration;

use fantoccini::ClientBuilder;
use fantoccini::wd::TimeoutConfiguration;
use futures_util::FutureExt;
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::Value;
use xtask::project;
use xtask::site::Site;

use crate::engine::{Engine, Microphone, Scheme, Wishes};
use crate::events::Events;
use crate::page::{Page, RULES_LIMIT, Viewport, limit};
use crate::run::Run;

/// How long a browser may take to start; generous, because the machine may be busy.
const START_LIMIT: Duration = Duration::from_secs(120);
/// How long one test may take once its page is open.
const TEST_LIMIT: Duration = Duration::from_secs(300);

/// Where the page comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A server on 127.0.0.1.
    Served,
    /// The file on disk.
    File,
}

/// How to open the page; [`with_page`] is the short form.
#[derive(Clone, Debug)]
pub struct Opening {
    engine: Engine,
    source: Source,
    viewport: Viewport,
    wishes: Wishes,
    blank: bool,
    tolerant: bool,
}

/// Opens the page, runs the body, and fails if the page wrote an error to the console or asked
/// for anything beyond its own document.
pub fn with_page<T>(
    engine: Engine,
    source: Source,
    viewport: Viewport,
    body: impl AsyncFnOnce(&Page) -> T,
) -> T {
    Opening::new(engine, source, viewport).run(body)
}

impl Opening {
    /// The page as it is built, in light colours.
    pub fn new(engine: Engine, source: Source, viewport: Viewport) -> Self {
        Self {
            engine,
            source,
            viewport,
            wishes: Wishes {
                scheme: Scheme::Light,
                forced_colours: false,
                microphone: Microphone::Usual,
                profile: None,
                private: false,
            },
            blank: false,
            tolerant: false,
        }
    }

    /// The system asks for these colours.
    pub fn scheme(mut self, scheme: Scheme) -> Self {
        self.wishes.scheme = scheme;
        self
    }

    /// The system shows its own few colours in place of the page's; Chromium and Firefox.
    pub fn forced_colours(mut self) -> Self {
        self.wishes.forced_colours = true;
        self
    }

    /// What the page's microphone is.
    pub fn microphone(mut self, microphone: Microphone) -> Self {
        self.wishes.microphone = microphone;
        self
    }

    /// Keeps the browser's profile in this folder, where a later session finds it; not WebKit,
    /// whose driven browser keeps none.
    pub fn profile(mut self, folder: &Path) -> Self {
        self.wishes.profile = Some(folder.to_owned());
        self
    }

    /// In a private window.
    pub fn private(mut self) -> Self {
        self.wishes.private = true;
        self
    }

    /// Starts with an empty tab: the body opens the page itself, for example at a link or a
    /// saved file.
    pub fn blank(mut self) -> Self {
        self.blank = true;
        self
    }

    /// Console errors and requests don't fail the test.
    pub fn tolerant(mut self) -> Self {
        self.tolerant = true;
        self
    }

    /// Runs the body with the page.
    pub fn run<T>(self, body: impl AsyncFnOnce(&Page) -> T) -> T {
        let artifact = project::artifact();
        assert!(
            artifact.is_file(),
            "{} is missing: run `cargo xtask build` first",
            artifact.display()
        );
        let run = Run::start(self.engine);
        let site = Site::start(project::dist_dir()).expect("a port is free");
        tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime needs no more than memory")
            .block_on(async {
                let page = self.open(run, site).await;
                let outcome = AssertUnwindSafe(limit("the whole test", TEST_LIMIT, async {
                    if !self.blank {
                        page.goto(&page.address(self.source)).await;
                    }
                    let result = body(&page).await;
                    if !self.tolerant {
                        page.assert_quiet().await;
                    }
                    result
                }))
                .catch_unwind()
                .await;
                match outcome {
                    Ok(result) => {
                        page.close().await;
                        result
                    }
                    Err(panic) => {
                        // Looking may fail as well, for example in a hung browser; the first
                        // panic is the one to show.
                        let _ = AssertUnwindSafe(page.report()).catch_unwind().await;
                        resume_unwind(panic)
                    }
                }
            })
    }

    async fn open(&self, run: Run, site: Site) -> Page {
        let capabilities = self.engine.capabilities(&run.downloads(), &self.wishes);
        let Value::Object(capabilities) = capabilities else {
            unreachable!("capabilities are written as an object")
        };
        let client = limit("starting the browser", START_LIMIT, async {
            ClientBuilder::new(HttpConnector::new())
                .capabilities(capabilities)
                .connect(&run.address())
                .await
        })
        .await
        .unwrap_or_else(|error| {
            panic!(
                "{} did not start: {error}; its driver wrote:\n{}",
                self.engine,
                run.log()
            )
        });
        let channel = client
            .capabilities()
            .and_then(|given| given.get("webSocketUrl"))
            .and_then(Value::as_str)
            .map(str::to_owned);
        let events = match channel {
            Some(address) => {
                Some(limit("the event channel", START_LIMIT, Events::connect(&address)).await)
            }
            None => None,
        };
        // Scripts are limited by each command; the driver's own limit is for a machine at rest.
        let patient = TimeoutConfiguration::new(Some(RULES_LIMIT), None, None);
        let patient = client.update_timeouts(patient);
        limit("setting the time limits", START_LIMIT, patient)
            .await
            .expect("a driver takes time limits");
        let page = Page::new(self.engine, client, events, run, site);
        page.set_viewport(self.viewport).await;
        page.set_colours(&self.wishes).await;
        page
    }
}

/// The folder for screenshots.
pub(crate) fn pictures() -> std::path::PathBuf {
    let folder = project::target_dir().join("battenbook/screenshots");
    fs::create_dir_all(&folder).expect("the build folder can be written to");
    folder
}
