//! The processes and the folder of one run: a driver, its browser, a display where one is needed.

use std::fs::{self, File};
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use crate::Engine;

/// How long a driver may take until it listens; generous, because the machine may be busy.
const START_LIMIT: Duration = Duration::from_secs(60);

/// Runs a program in a process group of its own and ends the whole group, browser included, when
/// its standard input closes: on drop, and also when the test's process is killed.
const KEEPER: &str = r#"
"$@" &
read -r _
trap '' TERM
kill -TERM 0
sleep 0.3
kill -KILL 0
"#;

/// A folder for profiles, downloads and logs, and the processes that use it.
#[derive(Debug)]
pub(crate) struct Run {
    engine: Engine,
    // Dropped in this order: the driver before its display, both before the folder.
    driver: Option<Group>,
    display: Option<Group>,
    folder: Folder,
    port: u16,
}

impl Run {
    /// Starts the engine's driver and waits until it listens.
    pub(crate) fn start(engine: Engine) -> Self {
        require_browsers();
        let folder = Folder::new();
        let mut run = Self {
            engine,
            driver: None,
            display: None,
            port: free_port(),
            folder,
        };
        let mut driver = run.driver_command();
        if engine == Engine::WebKit {
            let (display, number) = start_display(&run.folder.path);
            run.display = Some(display);
            driver.env("DISPLAY", format!(":{number}"));
        }
        run.driver = Some(Group::start(driver, &run.folder.path, None));
        run.wait_until_listening();
        run
    }

    /// The driver's address.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Where the browser puts downloads.
    pub(crate) fn downloads(&self) -> PathBuf {
        self.folder.path.join("downloads")
    }

    /// A folder for files that the test makes itself.
    pub(crate) fn files(&self) -> PathBuf {
        self.folder.path.join("files")
    }

    /// What the driver and the browser have written so far.
    pub(crate) fn log(&self) -> String {
        let bytes = fs::read(self.folder.path.join("log")).unwrap_or_default();
        String::from_utf8_lossy(&bytes).into_owned()
    }

    fn driver_command(&self) -> Command {
        let port = self.port.to_string();
        match self.engine {
            Engine::Chromium => {
                let mut command = keeper("chromedriver");
                command.arg(format!("--port={port}"));
                command
            }
            Engine::Firefox => {
                let mut command = keeper(xtask::tools::geckodriver());
                command.args(["--host", "127.0.0.1", "--port", &port]);
                command.args(["--websocket-port", &free_port().to_string()]);
                command.env("MOZ_REMOTE_SETTINGS_DEVTOOLS", "1");
                command
            }
            Engine::WebKit => {
                let mut command = keeper("WebKitWebDriver");
                command.args(["--host=127.0.0.1", &format!("--port={port}")]);
                command.env("NO_AT_BRIDGE", "1");
                // Its own thread for layers crashes now and then in the software driver of a
                // machine without a graphics card (swrast), and the page with it.
                command.env("WEBKIT_DISABLE_COMPOSITING_MODE", "1");
                command
            }
        }
    }

    fn wait_until_listening(&self) {
        let start = Instant::now();
        while TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).is_err() {
            assert!(
                start.elapsed() < START_LIMIT,
                "{}'s driver does not listen; it wrote:\n{}",
                self.engine,
                self.log()
            );
            thread::sleep(Duration::from_millis(50));
        }
    }
}

/// A missing browser fails the test, with the line that installs it.
fn require_browsers() {
    let missing = xtask::browsers::missing();
    assert!(
        missing.is_empty(),
        "missing: {}; install with: {}",
        missing.join(", "),
        xtask::browsers::install_line()
    );
    let geckodriver = xtask::tools::geckodriver();
    assert!(
        geckodriver.is_file(),
        "{} is missing; `cargo xtask test --only set-up` installs it",
        geckodriver.display()
    );
}

fn keeper(program: impl AsRef<std::ffi::OsStr>) -> Command {
    let mut command = Command::new("sh");
    command.args(["-c", KEEPER, "sh"]).arg(program);
    command
}

fn start_display(folder: &Path) -> (Group, u32) {
    let mut command = keeper("Xvfb");
    command.args([
        "-displayfd",
        "1",
        "-screen",
        "0",
        "1700x1300x24",
        "-nolisten",
        "tcp",
    ]);
    let mut group = Group::start(command, folder, Some(Stdio::piped()));
    let output = group.child.stdout.take().expect("the output is piped");
    let mut line = String::new();
    BufReader::new(output)
        .read_line(&mut line)
        .expect("Xvfb writes text");
    let number = line.trim().parse();
    (
        group,
        number.expect("Xvfb writes the number of its display"),
    )
}

/// Free when asked; the driver takes it a moment later.
fn free_port() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a port is free");
    listener.local_addr().expect("it has an address").port()
}

/// A keeper and its process group.
#[derive(Debug)]
struct Group {
    child: Child,
}

impl Group {
    /// Output goes to the run's log unless it is wanted elsewhere.
    fn start(mut command: Command, folder: &Path, output: Option<Stdio>) -> Self {
        let log = File::options()
            .create(true)
            .append(true)
            .open(folder.join("log"))
            .expect("the run's folder can be written to");
        let same_log = log.try_clone().expect("a file can be open twice");
        let child = command
            .process_group(0)
            .env("TMPDIR", folder)
            .env("HOME", folder)
            .stdin(Stdio::piped())
            .stdout(output.unwrap_or_else(|| Stdio::from(log)))
            .stderr(Stdio::from(same_log))
            .spawn()
            .expect("every Unix has sh");
        Self { child }
    }
}

impl Drop for Group {
    fn drop(&mut self) {
        drop(self.child.stdin.take());
        let _ = self.child.wait();
    }
}

#[derive(Debug)]
struct Folder {
    path: PathBuf,
}

impl Folder {
    fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("battenbook-test-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(name);
        for folder in ["downloads", "files", ".config"] {
            fs::create_dir_all(path.join(folder)).expect("a temporary folder can be made");
        }
        // WebKit asks the desktop's settings where downloads go.
        let downloads = format!(
            "XDG_DOWNLOAD_DIR=\"{}\"\n",
            path.join("downloads").display()
        );
        fs::write(path.join(".config/user-dirs.dirs"), downloads)
            .expect("a temporary folder can be written to");
        Self { path }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.path);
    }
}
