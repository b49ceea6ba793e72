//! The three engines and the capabilities that each is started with.

use std::fmt;
use std::path::{Path, PathBuf};

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

/// What the page's microphone is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Microphone {
    /// As the engine has it on a machine without one.
    #[default]
    Usual,
    /// Allowed, and it hears this WAV file over and over; only Chromium can.
    Hears(PathBuf),
    /// The maker said no; Chromium and Firefox.
    Refused,
}

/// What a session is started with beside its engine.
#[derive(Clone, Debug)]
pub(crate) struct Wishes {
    pub(crate) scheme: Scheme,
    /// The system's own few colours in place of the page's; not WebKit.
    pub(crate) forced_colours: bool,
    pub(crate) microphone: Microphone,
    /// The folder of a profile that outlives the session.
    pub(crate) profile: Option<PathBuf>,
    /// A private window, which forgets everything when it closes.
    pub(crate) private: bool,
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
    pub(crate) fn capabilities(self, downloads: &Path, wishes: &Wishes) -> Value {
        match self {
            Self::Chromium => chromium(downloads, wishes),
            Self::Firefox => firefox(downloads, wishes),
            Self::WebKit => webkit(wishes),
        }
    }
}

impl fmt::Display for Engine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

fn chromium(downloads: &Path, wishes: &Wishes) -> Value {
    let mut args = vec![
        "--headless=new".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-dev-shm-usage".to_owned(),
        "--no-first-run".to_owned(),
        "--hide-scrollbars".to_owned(),
        "--disable-background-networking".to_owned(),
        "--disable-component-update".to_owned(),
        "--disable-sync".to_owned(),
    ];
    match &wishes.microphone {
        Microphone::Usual => {}
        Microphone::Hears(file) => args.extend([
            "--use-fake-device-for-media-stream".to_owned(),
            "--use-fake-ui-for-media-stream".to_owned(),
            format!("--use-file-for-fake-audio-capture={}", file.display()),
        ]),
        Microphone::Refused => args.extend([
            "--use-fake-device-for-media-stream".to_owned(),
            "--use-fake-ui-for-media-stream=deny".to_owned(),
        ]),
    }
    if let Some(profile) = &wishes.profile {
        args.push(format!("--user-data-dir={}", profile.display()));
    }
    if wishes.private {
        args.push("--incognito".to_owned());
    }
    json!({
        "browserName": "chrome",
        "goog:loggingPrefs": {"performance": "ALL", "browser": "ALL"},
        "goog:chromeOptions": {
            "binary": find_on_path("chromium"),
            "args": args,
            "prefs": {
                "download.default_directory": downloads,
                "download.prompt_for_download": false,
            },
        },
    })
}

fn firefox(downloads: &Path, wishes: &Wishes) -> Value {
    let scheme = match wishes.scheme {
        Scheme::Dark => 0,
        Scheme::Light => 1,
    };
    // 0 asks, which nobody would answer here; 2 refuses.
    let microphone = match wishes.microphone {
        Microphone::Refused => 2,
        _ => 0,
    };
    let mut args = vec!["-headless".to_owned()];
    if let Some(profile) = &wishes.profile {
        args.extend(["-profile".to_owned(), profile.display().to_string()]);
    }
    json!({
        "browserName": "firefox",
        "webSocketUrl": true,
        "moz:firefoxOptions": {
            "binary": find_on_path("firefox-esr"),
            "args": args,
            "prefs": {
                // As strict with files as the other two.
                "security.fileuri.strict_origin_policy": true,
                "browser.download.folderList": 2,
                "browser.download.dir": downloads,
                "browser.download.useDownloadDir": true,
                "browser.download.always_ask_before_handling_new_types": false,
                "browser.download.alwaysOpenPanel": false,
                "permissions.default.microphone": microphone,
                // A device of the engine's own: without any, nobody is asked and nothing refused.
                "media.navigator.streams.fake": wishes.microphone == Microphone::Refused,
                "browser.privatebrowsing.autostart": wishes.private,
                "layout.css.prefers-color-scheme.content-override": scheme,
                // 0: as the system says, which here says no; 2: always.
                "browser.display.document_color_use": if wishes.forced_colours { 2 } else { 0 },
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

fn webkit(wishes: &Wishes) -> Value {
    let mut args = vec![
        "--automation",
        "--full-screen",
        "--javascript-can-access-clipboard=true",
    ];
    if wishes.scheme == Scheme::Dark {
        args.push("--dark-mode");
    }
    if wishes.private {
        args.push("--private");
    }
    json!({
        "browserName": "MiniBrowser",
        "webkitgtk:browserOptions": {
            "binary": xtask::browsers::webkit_browser(),
            "args": args,
        },
    })
}
