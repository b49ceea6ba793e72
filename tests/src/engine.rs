//! The three engines and the capabilities that each is started with.

use std::fmt;
use std::path::Path;

use serde_json::{Value, json};
use xtask::shell::find_on_path;

/// A browser engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium, by chromedriver.
    Chromium,
    /// Firefox, by geckodriver.
    Firefox,
    /// WebKitGTK's MiniBrowser, by WebKitWebDriver, on a display without a screen; it stands in
    /// for tablets' WebKit.
    WebKit,
}

/// The colours that the system asks pages for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scheme {
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

impl Engine {
    /// Every engine.
    pub const ALL: [Self; 3] = [Self::Chromium, Self::Firefox, Self::WebKit];

    /// The engine's name as it is used in file names.
    pub fn name(self) -> &'static str {
        match self {
            Self::Chromium => "chromium",
            Self::Firefox => "firefox",
            Self::WebKit => "webkit",
        }
    }

    /// What a session asks its driver for; downloads go to `downloads`.
    pub(crate) fn capabilities(self, downloads: &Path, scheme: Scheme) -> Value {
        match self {
            Self::Chromium => chromium(downloads),
            Self::Firefox => firefox(downloads, scheme),
            Self::WebKit => webkit(scheme),
        }
    }
}

impl fmt::Display for Engine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

fn chromium(downloads: &Path) -> Value {
    json!({
        "browserName": "chrome",
        "goog:loggingPrefs": {"performance": "ALL", "browser": "ALL"},
        "goog:chromeOptions": {
            "binary": find_on_path("chromium"),
            "args": [
                "--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--no-first-run",
                "--hide-scrollbars", "--disable-background-networking",
                "--disable-component-update", "--disable-sync",
            ],
            "prefs": {
                "download.default_directory": downloads,
                "download.prompt_for_download": false,
            },
        },
    })
}

fn firefox(downloads: &Path, scheme: Scheme) -> Value {
    let scheme = match scheme {
        Scheme::Dark => 0,
        Scheme::Light => 1,
    };
    json!({
        "browserName": "firefox",
        "webSocketUrl": true,
        "moz:firefoxOptions": {
            "binary": find_on_path("firefox-esr"),
            "args": ["-headless"],
            "prefs": {
                // As strict with files as the other two.
                "security.fileuri.strict_origin_policy": true,
                "browser.download.folderList": 2,
                "browser.download.dir": downloads,
                "browser.download.useDownloadDir": true,
                "browser.download.always_ask_before_handling_new_types": false,
                "browser.download.alwaysOpenPanel": false,
                "layout.css.prefers-color-scheme.content-override": scheme,
                // Console messages, refusals of the policy among them, go to the driver's log.
                "devtools.console.stdout.content": true,
                "services.settings.server": "http://127.0.0.1:1/v1",
                "toolkit.telemetry.server": "",
                "browser.safebrowsing.downloads.enabled": false,
                "network.captive-portal-service.enabled": false,
                "network.connectivity-service.enabled": false,
            },
        },
    })
}

fn webkit(scheme: Scheme) -> Value {
    let mut args = vec![
        "--automation",
        "--full-screen",
        "--javascript-can-access-clipboard=true",
    ];
    if scheme == Scheme::Dark {
        args.push("--dark-mode");
    }
    json!({
        "browserName": "MiniBrowser",
        "webkitgtk:browserOptions": {
            "binary": xtask::browsers::webkit_browser(),
            "args": args,
        },
    })
}
