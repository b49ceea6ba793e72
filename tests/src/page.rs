//! The open page: what a test does with it and reads from it.

use std::cell::RefCell;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use fantoccini::elements::Element;
use fantoccini::error::{CmdError, ErrorStatus};
use fantoccini::key::Key;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, Locator};
use serde_json::{Value, json};
use tokio::sync::Mutex;
use tokio::time::sleep;
use url::Url;
use xtask::hosting;
use xtask::site::Site;

use crate::engine::{Engine, Scheme, Wishes};
use crate::events::Events;
use crate::opening::{Source, pictures};
use crate::run::Run;

/// How long one command may take; generous, because the machine may be busy.
const COMMAND_LIMIT: Duration = Duration::from_secs(60);
/// How long the rules of accessibility may take: they look at every pair of targets.
pub(crate) const RULES_LIMIT: Duration = Duration::from_secs(150);
/// How long an element, a text or a download is waited for.
const WAIT_LIMIT: Duration = Duration::from_secs(40);
/// How often a click is tried where the page moves under it.
const AIMS: usize = 3;
const PAUSE: Duration = Duration::from_millis(50);

/// How large the page is shown, in CSS pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Viewport {
    /// 360 × 740, touch where the engine allows it.
    Phone,
    /// 820 × 1180, touch where the engine allows it.
    Tablet,
    /// 1440 × 900, mouse.
    Desk,
    /// Width and height, mouse. WebKit's window has at least 334 px of width.
    Custom(u32, u32),
}

impl Viewport {
    /// Width and height.
    pub fn size(self) -> (u32, u32) {
        match self {
            Self::Phone => (360, 740),
            Self::Tablet => (820, 1180),
            Self::Desk => (1440, 900),
            Self::Custom(width, height) => (width, height),
        }
    }

    fn is_touched(self) -> bool {
        matches!(self, Self::Phone | Self::Tablet)
    }
}

/// The page in a browser. Methods wait for what they need and panic, naming engine and element,
/// if it does not come.
pub struct Page {
    engine: Engine,
    client: Client,
    site: Site,
    events: Mutex<Option<Events>>,
    /// Log entries so far; Chromium hands out each once, and WebKit's lie in the page.
    entries: RefCell<Vec<Value>>,
    /// Documents that the test itself opened.
    opened: RefCell<Vec<String>>,
    run: Run,
}

/// Opening and looking at the page as a whole.
impl Page {
    pub(crate) fn new(
        engine: Engine,
        client: Client,
        events: Option<Events>,
        run: Run,
        site: Site,
    ) -> Self {
        Self {
            engine,
            client,
            site,
            events: Mutex::new(events),
            entries: RefCell::default(),
            opened: RefCell::default(),
            run,
        }
    }

    /// The engine that shows the page.
    pub fn engine(&self) -> Engine {
        self.engine
    }

    /// The WebDriver client, for what this type does not offer.
    pub fn client(&self) -> &Client {
        &self.client
    }

    /// The server of [`Source::Served`]; a test may stop it.
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// A folder for files that the test makes; it is removed afterwards.
    pub fn folder(&self) -> PathBuf {
        self.run.files()
    }

    /// The built page's address.
    pub fn address(&self, source: Source) -> String {
        match source {
            Source::Served => self.site.url(""),
            Source::File => file_url(&xtask::project::artifact()),
        }
    }

    /// Opens an address and waits until the page is ready.
    pub async fn goto(&self, url: &str) {
        let document = url.split('#').next().unwrap_or(url).to_owned();
        self.opened.borrow_mut().push(document);
        self.webkit_errors().await;
        self.check("goto", url, self.client.goto(url)).await;
        self.webkit_errors().await;
        self.wait_until_ready().await;
    }

    /// Opens a file on disk and waits until the page is ready.
    pub async fn goto_file(&self, file: &Path) {
        self.goto(&file_url(file)).await;
    }

    /// Loads the page again and waits until it is ready.
    pub async fn reload(&self) {
        // Not WebDriver's refresh, which passes by the service worker in Firefox.
        self.webkit_errors().await;
        self.js("window.old = true; location.reload()").await;
        self.wait_until("the page is loaded again", "return !window.old")
            .await;
        self.webkit_errors().await;
        self.wait_until_ready().await;
    }

    /// The address with its fragment.
    pub async fn url(&self) -> String {
        self.js_text("return location.href").await
    }

    /// Waits until the page says that it is ready; fails at once if it says that it failed.
    pub async fn wait_until_ready(&self) {
        let state = "return document.documentElement.dataset.battenbook || ''";
        let start = Instant::now();
        loop {
            let state = self.js_text(state).await;
            match state.as_str() {
                "ready" => return self.settle().await,
                "failed" => panic!(
                    "{}: {}",
                    self.engine,
                    self.text("#battenbook-failure").await
                ),
                _ => assert!(
                    start.elapsed() < WAIT_LIMIT,
                    "{}: the page is not ready (its state is {state:?})",
                    self.engine
                ),
            }
            sleep(PAUSE).await;
        }
    }

    /// Waits until the page has shown everything of the last change: plans come from a worker, in
    /// parts.
    pub async fn settle(&self) {
        self.wait_until(
            "the last change is shown",
            "return !document.documentElement.matches('[data-planning], [data-asking]')",
        )
        .await;
    }

    /// Waits until the service worker has the page: from now on it opens without its server.
    pub async fn wait_until_hosted(&self) {
        let ready = self
            .js_async(
                "const done = arguments[0];
                 const seconds = (n) => new Promise((r) => setTimeout(() => r('too late'), n * 1000));
                 Promise.race([navigator.serviceWorker.ready, seconds(20)]).then(async (it) => {
                   while (it.active && it.active.state !== 'activated') await new Promise((r) => setTimeout(r, 50));
                   done(String(it));
                 }, (error) => done(String(error)));",
            )
            .await;
        assert_eq!(
            ready,
            json!("[object ServiceWorkerRegistration]"),
            "{}",
            self.engine
        );
    }

    /// Shows the page at this size.
    pub async fn set_viewport(&self, viewport: Viewport) {
        let (width, height) = viewport.size();
        match self.engine {
            Engine::Chromium => {
                let touched = viewport.is_touched();
                self.devtools(
                    "Emulation.setDeviceMetricsOverride",
                    json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": touched}),
                )
                .await;
                self.devtools(
                    "Emulation.setTouchEmulationEnabled",
                    json!({"enabled": touched}),
                )
                .await;
            }
            Engine::Firefox => {
                let context: String = self.check("window", "", self.client.window()).await.into();
                self.bidi(
                    "browsingContext.setViewport",
                    json!({"context": context, "viewport": {"width": width, "height": height}}),
                )
                .await;
            }
            Engine::WebKit => {
                let resized = self.client.set_window_rect(0, 0, width, height);
                self.check("viewport", "", resized).await;
            }
        }
        // Chromium answers when it is done, the others before; and a phone's Chromium shows an
        // empty tab wider than the screen.
        if self.engine != Engine::Chromium {
            self.wait_until(
                &format!("the page is {width} px wide"),
                &format!("return innerWidth === {width}"),
            )
            .await;
        }
    }

    /// In Chromium the colours of the system are a setting of the open tab; the other engines
    /// are started with theirs.
    pub(crate) async fn set_colours(&self, wishes: &Wishes) {
        if self.engine != Engine::Chromium {
            return;
        }
        let scheme = match wishes.scheme {
            Scheme::Light => "light",
            Scheme::Dark => "dark",
        };
        let forced = if wishes.forced_colours {
            "active"
        } else {
            "none"
        };
        let features = json!([{"name": "prefers-color-scheme", "value": scheme},
            {"name": "forced-colors", "value": forced}]);
        self.devtools("Emulation.setEmulatedMedia", json!({"features": features}))
            .await;
    }

    /// Writes what is shown to `<build folder>/battenbook/screenshots/<name>-<engine>.png`.
    pub async fn screenshot(&self, name: &str) -> PathBuf {
        let picture = self
            .check("screenshot", name, self.client.screenshot())
            .await;
        let file = pictures().join(format!("{name}-{}.png", self.engine));
        fs::write(&file, picture).expect("the build folder can be written to");
        file
    }

    /// Kills the browser at once, as a power cut or an emptied battery would; nothing more can be
    /// asked of this page.
    pub fn kill_browser(&self) {
        let name = match self.engine {
            Engine::Chromium => "goog:processID",
            Engine::Firefox => "moz:processID",
            Engine::WebKit => panic!("WebKit's driver does not tell its browser's process"),
        };
        let given = self.client.capabilities();
        let id = given.and_then(|given| given.get(name)?.as_u64());
        let id = id.unwrap_or_else(|| panic!("{}: no {name}", self.engine));
        let killed = Command::new("kill")
            .args(["-KILL", &id.to_string()])
            .status();
        assert!(killed.is_ok_and(|status| status.success()), "{id} is gone");
    }

    /// Lets the page read the clipboard without asking.
    pub async fn allow_clipboard(&self) {
        if self.engine == Engine::Chromium {
            let body = json!({"descriptor": {"name": "clipboard-read"}, "state": "granted"});
            self.post("permissions", body).await;
        }
    }

    /// Has the page lay out what is out of sight as well, so that all of it can be measured.
    pub async fn lay_out_all(&self) {
        self.js("const all = new CSSStyleSheet();
             all.replaceSync('* { content-visibility: visible !important; }');
             window.laidOut = document.adoptedStyleSheets;
             document.adoptedStyleSheets = [all]")
            .await;
    }

    /// Takes back the latest [`Page::lay_out_all`].
    async fn lay_out_as_before(&self) {
        self.js("document.adoptedStyleSheets = window.laidOut")
            .await;
    }

    /// Runs the accessibility rules of axe-core; returns one line for each fault.
    pub async fn accessibility_faults(&self) -> Vec<String> {
        self.accessibility_faults_in(":root").await
    }

    /// The same for one part of the page.
    pub async fn accessibility_faults_in(&self, css: &str) -> Vec<String> {
        self.lay_out_all().await;
        let file = xtask::tools::axe_script();
        let rules = fs::read_to_string(&file).unwrap_or_else(|error| {
            panic!(
                "{}: {error}; `cargo xtask test --only set-up` installs it",
                file.display()
            )
        });
        self.js(&rules).await;
        // WCAG 2.2 has a rule on the size of targets (2.5.8, level AA), which axe-core leaves off
        // unless it is asked for.
        let script = "const [css, done] = arguments;
             axe.run(css, { rules: { 'target-size': { enabled: true } } }).then((result) => done(result.violations.flatMap((rule) =>
               rule.nodes.map((node) => `${rule.id} at ${node.target.join(' ')}: ${rule.help}`))),
               (error) => done([String(error)]));";
        let run = self.client.execute_async(script, vec![json!(css)]);
        let faults = limit("axe", RULES_LIMIT, run).await;
        let faults = faults.unwrap_or_else(|error| panic!("{}: axe: {error}", self.engine));
        texts(&faults)
    }
}

/// Doing what a maker does.
impl Page {
    /// Replaces what a field holds by typing.
    pub async fn type_into(&self, css: &str, text: &str) {
        let element = self.find(css).await;
        let arguments = vec![json!(element)];
        let script = "arguments[0].focus(); arguments[0].select()";
        self.check("select", css, self.client.execute(script, arguments))
            .await;
        let text = if text.is_empty() { "\u{e003}" } else { text }; // U+E003 is Backspace
        self.check("type into", css, element.send_keys(text)).await;
        self.settle().await;
    }

    /// Clicks or taps, in the middle of the screen: nothing that sticks to an edge is in the way.
    pub async fn click(&self, css: &str) {
        // What still comes in would move what is to be clicked.
        self.settle().await;
        let element = self.find(css).await;
        for _ in 0..AIMS {
            self.aim(&element).await;
            self.bring(&element, css, 0).await;
            self.check("click", css, try_click(&element)).await;
            if self.has_hit(css).await {
                break;
            }
        }
        self.settle().await;
    }

    /// Notes at what the next click is aimed.
    async fn aim(&self, element: &Element) {
        self.js_with(
            "window.aim = arguments[0];
             window.aimed = '';
             addEventListener('click', ({ target }) => {
               window.aimed = window.aim.contains(target) || target.control === window.aim ? 'hit' : target.outerHTML.slice(0, 80);
             }, { capture: true, once: true })",
            vec![json!(element)],
        )
        .await;
    }

    /// Whether the click came where it was aimed at: a cheaper purchase that arrives between the
    /// aim and the click moves the page, as it would under a maker's finger.
    async fn has_hit(&self, css: &str) -> bool {
        // Nothing is known of a click that led to another document.
        let aimed = self.js_text("return window.aimed ?? 'hit'").await;
        if aimed != "hit" {
            println!("{}: a click at {css} came to {aimed:?}", self.engine);
        }
        aimed == "hit"
    }

    /// Scrolls an element to the middle of the screen, or so many pixels aside, and waits until it
    /// is at rest: parts that come into sight are laid out only then, and move what stands below.
    async fn bring(&self, element: &Element, css: &str, aside: i64) {
        let script = "const [element, aside, done] = arguments;
            let last;
            const scroll = () => {
                element.scrollIntoView({ block: 'center', behavior: 'instant' });
                scrollBy({ top: aside, behavior: 'instant' });
                const { top } = element.getBoundingClientRect();
                if (top === last) return done();
                last = top;
                setTimeout(scroll, 40);
            };
            scroll();";
        let arguments = vec![json!(element), json!(aside)];
        let run = self.client.execute_async(script, arguments);
        self.check("scroll to", css, run).await;
    }

    /// Taps with a finger, in the middle of the screen; in WebKit, which has none here, it clicks.
    pub async fn tap(&self, css: &str) {
        if self.engine == Engine::WebKit {
            return self.click(css).await;
        }
        self.settle().await;
        let element = self.find(css).await;
        let finger = json!({"actions": [{
            "type": "pointer",
            "id": "finger",
            "parameters": {"pointerType": "touch"},
            "actions": [
                {"type": "pointerMove", "duration": 0, "x": 0, "y": 0, "origin": element},
                {"type": "pointerDown", "button": 0},
                {"type": "pointerUp", "button": 0},
            ],
        }]});
        for _ in 0..AIMS {
            self.aim(&element).await;
            // Never twice at the same place: that would be a double tap.
            let aside = self
                .js("return window.tapped = -(window.tapped ?? 60)")
                .await;
            self.bring(&element, css, aside.as_i64().unwrap_or_default())
                .await;
            self.post("actions", finger.clone()).await;
            if self.has_hit(css).await {
                break;
            }
        }
        self.settle().await;
    }

    /// Waits until what was typed last is kept: the page does so 400 ms after the last key, and
    /// timers of one page end in the order in which they are due.
    pub async fn wait_until_kept(&self) {
        self.settle().await;
        self.js_async("setTimeout(arguments[0], 500)").await;
    }

    /// Chooses the option of this value.
    pub async fn choose(&self, css: &str, value: &str) {
        let element = self.find(css).await;
        self.check("choose in", css, element.select_by_value(value))
            .await;
        self.settle().await;
    }

    /// Sends keys to whatever has the focus; [`Key`](crate::Key) turns into text for special
    /// keys.
    pub async fn press(&self, keys: impl Into<String>) {
        let keys = keys.into();
        let focused = self.check("focus", "", self.client.active_element()).await;
        self.check("press", &keys, focused.send_keys(&keys)).await;
        self.settle().await;
    }

    /// Presses and lets go one key, as a hand does; [`Self::press`] writes into the element that
    /// has the focus, which a field for files takes for a file's name.
    pub async fn key(&self, key: Key) {
        let value = char::from(key);
        let keys = json!({"actions": [{
            "type": "key",
            "id": "keys",
            "actions": [{"type": "keyDown", "value": value}, {"type": "keyUp", "value": value}],
        }]});
        self.post("actions", keys).await;
        self.settle().await;
    }

    /// Gives a file to a file field.
    pub async fn upload(&self, css: &str, file: &Path) {
        let element = self.find(css).await;
        let path = file.to_string_lossy();
        self.check("upload to", css, element.send_keys(&path)).await;
    }

    /// Waits for a download of this name and returns its bytes.
    pub async fn download(&self, name: &str) -> Vec<u8> {
        let file = self.run.downloads().join(name);
        let start = Instant::now();
        loop {
            // A browser writes to a name of its own, or to an empty file first, until the end.
            if let Ok(bytes) = fs::read(&file)
                && !bytes.is_empty()
                && !self.is_downloading()
            {
                return bytes;
            }
            assert!(
                start.elapsed() < WAIT_LIMIT,
                "{}: no download {name:?}, only {:?}",
                self.engine,
                self.downloads()
            );
            sleep(PAUSE).await;
        }
    }

    /// The names of the files downloaded so far.
    pub fn downloads(&self) -> Vec<String> {
        let folder = fs::read_dir(self.run.downloads());
        let mut names: Vec<String> = folder
            .into_iter()
            .flatten()
            .flatten()
            .map(|file| file.file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    fn is_downloading(&self) -> bool {
        let unfinished = [".crdownload", ".part", ".wkdownload"];
        let mut names = self.downloads().into_iter();
        names.any(|name| unfinished.iter().any(|end| name.ends_with(end)))
    }
}

/// Reading what a maker reads.
impl Page {
    /// The element, waited for.
    pub async fn find(&self, css: &str) -> Element {
        let start = Instant::now();
        loop {
            match limit("find", COMMAND_LIMIT, self.client.find(Locator::Css(css))).await {
                Ok(element) => return element,
                // Not there yet, or written anew while it was found.
                Err(error) if error.is_no_such_element() || error.is_stale_element_reference() => {
                    assert!(
                        start.elapsed() < WAIT_LIMIT,
                        "{}: there is no {css}",
                        self.engine
                    );
                }
                Err(error) => panic!("{}: find {css}: {error}", self.engine),
            }
            sleep(PAUSE).await;
        }
    }

    /// How many elements there are now.
    pub async fn count(&self, css: &str) -> usize {
        let all = self.client.find_all(Locator::Css(css));
        self.check("count", css, all).await.len()
    }

    /// Whether the element is there and shown now.
    pub async fn is_shown(&self, css: &str) -> bool {
        let all = self.client.find_all(Locator::Css(css));
        match self.check("find", css, all).await.first() {
            Some(element) => {
                self.lay_out_all().await;
                let shown = element.is_displayed().await;
                self.lay_out_as_before().await;
                self.check("is shown", css, async { shown }).await
            }
            None => false,
        }
    }

    /// The text as shown (hidden parts left out).
    pub async fn text(&self, css: &str) -> String {
        self.lay_out_all().await;
        let mut text = self.find(css).await.text().await;
        // Written anew between being found and being read.
        while text
            .as_ref()
            .is_err_and(CmdError::is_stale_element_reference)
        {
            text = self.find(css).await.text().await;
        }
        self.lay_out_as_before().await;
        self.check("text of", css, async { text }).await
    }

    /// What a field holds.
    pub async fn value(&self, css: &str) -> String {
        let element = self.find(css).await;
        let value = self.check("value of", css, element.prop("value")).await;
        value.unwrap_or_else(|| panic!("{}: {css} has no value", self.engine))
    }

    /// An attribute, if the element has it.
    pub async fn attribute(&self, css: &str, name: &str) -> Option<String> {
        let element = self.find(css).await;
        self.check("attribute of", css, element.attr(name)).await
    }

    /// Waits until the element's text contains this.
    pub async fn wait_for_text(&self, css: &str, part: &str) {
        let start = Instant::now();
        loop {
            let text = self.text(css).await;
            if text.contains(part) {
                return;
            }
            assert!(
                start.elapsed() < WAIT_LIMIT,
                "{}: {css} has no {part:?}, but {text:?}",
                self.engine
            );
            sleep(PAUSE).await;
        }
    }

    /// Waits until a script's returned value is true; `what` is for the message.
    pub async fn wait_until(&self, what: &str, script: &str) {
        let start = Instant::now();
        while self.js(script).await != json!(true) {
            assert!(
                start.elapsed() < WAIT_LIMIT,
                "{}: not seen: {what}",
                self.engine
            );
            sleep(PAUSE).await;
        }
    }

    /// Runs a script (the body of a function) and returns what it returns.
    pub async fn js(&self, script: &str) -> Value {
        self.js_with(script, vec![]).await
    }

    /// Runs a script with `arguments`.
    pub async fn js_with(&self, script: &str, arguments: Vec<Value>) -> Value {
        let result = self.client.execute(script, arguments);
        self.check("script", script, result).await
    }

    /// Runs a script that calls its last argument, a function, with the result.
    pub async fn js_async(&self, script: &str) -> Value {
        let result = self.client.execute_async(script, vec![]);
        self.check("script", script, result).await
    }

    /// Runs a script that returns text.
    pub async fn js_text(&self, script: &str) -> String {
        match self.js(script).await {
            Value::String(text) => text,
            other => panic!("{}: {script} returned {other}, not text", self.engine),
        }
    }
}

/// What must not happen.
impl Page {
    /// Console errors so far: exceptions, `console.error`, refusals of the policy. In WebKit
    /// from the moment when the document is loaded, before the wasm runs.
    pub async fn console_errors(&self) -> Vec<String> {
        match self.engine {
            Engine::Chromium => {
                let entries = self.chromium_log("browser").await;
                let severe = entries.iter().filter(|entry| entry["level"] == "SEVERE");
                severe.map(|entry| entry["message"].to_string()).collect()
            }
            Engine::Firefox => {
                let mut errors = self.firefox_errors().await;
                // An icon still on its way through the service worker when the test goes on to
                // another address; one that failed would be named.
                errors.retain(|error| !error.contains(FIREFOX_GIVEN_UP));
                let log = self.run.log();
                let refusals = log.lines().filter(|line| line.contains(FIREFOX_REFUSAL));
                errors.extend(refusals.map(str::to_owned));
                errors
            }
            Engine::WebKit => self.webkit_errors().await,
        }
    }

    /// Addresses asked for beyond the documents that the test opened, and beyond the files that a
    /// host serves beside the page for its installation: as the engine reports
    /// them (Chromium, Firefox), as the page's own timing list has them (WebKit), and as the
    /// server saw them.
    pub async fn requests(&self) -> Vec<String> {
        let mut asked = match self.engine {
            Engine::Chromium => self.chromium_requests().await,
            Engine::Firefox => self.firefox_requests().await,
            Engine::WebKit => texts(
                &self
                    .js("return performance.getEntriesByType('resource').map((entry) => entry.name)")
                    .await,
            ),
        };
        asked.extend(
            self.site
                .requests()
                .iter()
                .map(|path| self.site.url(&path[1..])),
        );
        let opened = self.opened.borrow();
        let beside = hosting::NAMES
            .into_iter()
            .chain([hosting::WORKER, "battenbook.html"]);
        let beside: Vec<String> = beside.map(|name| self.site.url(name)).collect();
        asked.retain(|url| {
            // Addresses of the page's own memory need no connection.
            let inside = ["data:", "blob:", "about:"];
            let document = url.split('#').next().unwrap_or(url);
            !opened.iter().any(|open| open == document)
                && !beside.contains(url)
                && !inside.iter().any(|scheme| url.starts_with(scheme))
        });
        asked
    }

    /// Fails if there were console errors or requests.
    pub async fn assert_quiet(&self) {
        let errors = self.console_errors().await;
        assert!(
            errors.is_empty(),
            "{}: console errors: {errors:#?}",
            self.engine
        );
        let requests = self.requests().await;
        assert!(
            requests.is_empty(),
            "{}: requests: {requests:#?}",
            self.engine
        );
    }

    async fn chromium_requests(&self) -> Vec<String> {
        let entries = self.chromium_log("performance").await;
        entries
            .iter()
            .filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok())
            .filter(|event| event["message"]["method"] == "Network.requestWillBeSent")
            .filter_map(|event| {
                let url = event["message"]["params"]["request"]["url"].as_str();
                url.map(str::to_owned)
            })
            .collect()
    }

    /// All entries of a log so far.
    async fn chromium_log(&self, kind: &str) -> Vec<Value> {
        if let Value::Array(new) = self.post("se/log", json!({"type": kind})).await {
            let mut entries = self.entries.borrow_mut();
            entries.extend(new.into_iter().map(|mut entry| {
                entry["log"] = json!(kind);
                entry
            }));
        }
        let entries = self.entries.borrow();
        let of_kind = entries.iter().filter(|entry| entry["log"] == kind);
        of_kind.cloned().collect()
    }

    /// WebKit shows a driver nothing of the console, so the page itself is made to keep it.
    async fn webkit_errors(&self) -> Vec<String> {
        if self.engine != Engine::WebKit {
            return Vec::new();
        }
        let new = self.js(KEEP_ERRORS).await;
        let mut entries = self.entries.borrow_mut();
        entries.extend(new.as_array().into_iter().flatten().cloned());
        entries.iter().map(Value::to_string).collect()
    }

    async fn firefox_errors(&self) -> Vec<String> {
        let entries = self.firefox_events("log.entryAdded").await;
        entries
            .iter()
            .filter(|entry| entry["level"] == "error")
            .map(|entry| entry["text"].to_string())
            .collect()
    }

    async fn firefox_requests(&self) -> Vec<String> {
        let entries = self.firefox_events("network.beforeRequestSent").await;
        let urls = entries
            .iter()
            .filter_map(|entry| entry["request"]["url"].as_str());
        urls.map(str::to_owned).collect()
    }

    async fn firefox_events(&self, method: &str) -> Vec<Value> {
        let mut events = self.events.lock().await;
        let Some(events) = events.as_mut() else {
            panic!("{} has no event channel", self.engine)
        };
        let all = limit("events", COMMAND_LIMIT, events.all()).await;
        all.iter()
            .filter(|event| event["method"] == method)
            .map(|event| event["params"].clone())
            .collect()
    }
}

/// Talking to the driver.
impl Page {
    pub(crate) async fn close(self) {
        let _ = tokio::time::timeout(COMMAND_LIMIT, self.client.close()).await;
    }

    /// Prints what helps to understand a failure.
    pub(crate) async fn report(&self) {
        let test = std::thread::current()
            .name()
            .unwrap_or("test")
            .replace("::", "-");
        eprintln!(
            "screenshot: {}",
            self.screenshot(&format!("failed-{test}")).await.display()
        );
        eprintln!("address: {}", self.url().await);
        eprintln!("console errors: {:#?}", self.console_errors().await);
        let log = self.run.log();
        let last = log.lines().rev().take(20).collect::<Vec<_>>();
        eprintln!("end of the driver's log:");
        for line in last.iter().rev() {
            eprintln!("  {line}");
        }
    }

    /// A command of Chromium's own protocol, for measurements and emulation.
    ///
    /// Panics in the other engines.
    pub async fn devtools(&self, method: &str, params: Value) -> Value {
        assert_eq!(self.engine, Engine::Chromium, "only Chromium has {method}");
        self.post("goog/cdp/execute", json!({"cmd": method, "params": params}))
            .await
    }

    async fn bidi(&self, method: &str, params: Value) -> Value {
        let mut events = self.events.lock().await;
        let Some(events) = events.as_mut() else {
            panic!("{} has no event channel", self.engine)
        };
        limit(method, COMMAND_LIMIT, events.command(method, params)).await
    }

    async fn post(&self, path: &'static str, body: Value) -> Value {
        let command = Post { path, body };
        self.check("POST", path, self.client.issue_cmd(command))
            .await
    }

    async fn check<T>(
        &self,
        verb: &str,
        what: &str,
        command: impl Future<Output = Result<T, CmdError>>,
    ) -> T {
        let what: String = what.chars().take(200).collect();
        limit(
            &format!("{}: {verb} {what}", self.engine),
            COMMAND_LIMIT,
            command,
        )
        .await
        .unwrap_or_else(|error| panic!("{}: {verb} {what}: {error}", self.engine))
    }
}

/// Clicks. That something else lay where the click went is no error here: the driver saw it first,
/// and the click came to nothing, as [`Page::has_hit`] will say.
async fn try_click(element: &Element) -> Result<(), CmdError> {
    match element.click().await {
        Err(CmdError::Standard(seen)) if seen.error == ErrorStatus::ElementClickIntercepted => {
            Ok(())
        }
        other => other,
    }
}

/// Returns the errors since the last time, and on the first time starts keeping them.
const KEEP_ERRORS: &str = "
    if (!window.keptErrors) {
      window.keptErrors = [];
      const keep = (...parts) => window.keptErrors.push(parts.map(String).join(' '));
      addEventListener('error', (event) => keep('exception:', event.message));
      addEventListener('unhandledrejection', (event) => keep('rejection:', event.reason));
      document.addEventListener('securitypolicyviolation', (event) =>
        keep('policy:', event.effectiveDirective, event.blockedURI));
      const say = console.error;
      console.error = (...parts) => { keep('console:', ...parts); say.apply(console, parts); };
    }
    return window.keptErrors.splice(0);";

/// What Firefox says of a load without an address: it was given up.
const FIREFOX_GIVEN_UP: &str = "Failed to load ‘’. A ServiceWorker intercepted the request";
/// What marks a line of Firefox's output as a refusal of the policy, which its event channel
/// leaves out.
const FIREFOX_REFUSAL: &str = "Content-Security-Policy";

/// Waits for a future and panics when it takes too long.
pub(crate) async fn limit<T>(what: &str, time: Duration, future: impl Future<Output = T>) -> T {
    match tokio::time::timeout(time, future).await {
        Ok(result) => result,
        Err(_) => panic!("{what} took longer than {} s", time.as_secs()),
    }
}

fn texts(value: &Value) -> Vec<String> {
    let items = value.as_array().into_iter().flatten();
    items
        .map(|item| {
            item.as_str()
                .map_or_else(|| item.to_string(), str::to_owned)
        })
        .collect()
}

fn file_url(file: &Path) -> String {
    // The paths of a build hold nothing that needs escaping but, perhaps, spaces.
    format!("file://{}", file.display().to_string().replace(' ', "%20"))
}

/// A command that the client library does not have.
#[derive(Debug)]
struct Post {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for Post {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, url::ParseError> {
        base.join(&format!(
            "session/{}/{}",
            session.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}
