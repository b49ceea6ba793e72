//! A small static file server on 127.0.0.1, for people and for the browser tests.

use std::fs;
use std::io::{BufRead, BufReader, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Component, Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use crate::artifact;
use crate::shell::{Error, Result};

/// The file that `/` stands for.
const FRONT_PAGE: &str = "battenbook.html";
/// A request longer than this is refused; browsers stay far below.
const LONGEST_REQUEST: u64 = 64 * 1024;
/// How long a connection may stay silent.
const PATIENCE: Duration = Duration::from_secs(10);

/// Builds the page and serves it until stopped.
pub fn serve(port: u16) -> Result<()> {
    // Before the build: nobody should wait for it only to learn that the port is taken.
    let listener = listen(port)?;
    let artifact = artifact::build()?;
    artifact.print();
    let dir = crate::project::dist_dir();
    println!("serving http://127.0.0.1:{port}/ (Ctrl+C stops)");
    for stream in listener.incoming().flatten() {
        let dir = dir.clone();
        thread::spawn(move || answer(stream, &dir, |_| ()));
    }
    Ok(())
}

/// A server that runs beside the caller, keeps a list of what was asked for, and stops when it
/// is dropped.
#[derive(Debug)]
pub struct Site {
    address: SocketAddr,
    stopped: Arc<AtomicBool>,
    requests: Arc<Mutex<Vec<String>>>,
    listening: Mutex<Option<JoinHandle<()>>>,
}

impl Site {
    /// Serves this folder on a free port of 127.0.0.1.
    pub fn start(dir: impl Into<PathBuf>) -> Result<Self> {
        let dir = dir.into();
        let listener = listen(0)?;
        let address = listener
            .local_addr()
            .map_err(|error| Error::new(format!("the server has no address: {error}")))?;
        let stopped = Arc::new(AtomicBool::new(false));
        let requests = Arc::new(Mutex::new(Vec::new()));
        let (stop, asked) = (Arc::clone(&stopped), Arc::clone(&requests));
        let listening = thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                if stop.load(Ordering::SeqCst) {
                    break;
                }
                let (dir, asked) = (dir.clone(), Arc::clone(&asked));
                thread::spawn(move || {
                    answer(stream, &dir, |path| locked(&asked).push(path.to_owned()));
                });
            }
        });
        Ok(Self {
            address,
            stopped,
            requests,
            listening: Mutex::new(Some(listening)),
        })
    }

    /// The address of this path (without a leading slash).
    pub fn url(&self, path: &str) -> String {
        format!("http://{}/{path}", self.address)
    }

    /// The paths asked for so far, each with its leading slash.
    pub fn requests(&self) -> Vec<String> {
        locked(&self.requests).clone()
    }

    /// Stops answering, as a server that went away: from now on connections are refused.
    pub fn stop(&self) {
        if let Some(listening) = locked(&self.listening).take() {
            self.stopped.store(true, Ordering::SeqCst);
            // Wakes the thread out of waiting, so that it sees the flag and drops the listener.
            let _ = TcpStream::connect(self.address);
            let _ = listening.join();
        }
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        self.stop();
    }
}

/// What a thread that panicked left behind is still a good list.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn listen(port: u16) -> Result<TcpListener> {
    TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| match error.kind() {
        ErrorKind::AddrInUse => Error::new(format!(
            "port {port} of 127.0.0.1 is taken by another program: choose one with --port"
        )),
        _ => Error::new(format!("port {port} of 127.0.0.1: {error}")),
    })
}

/// Answers one request and closes; `note` gets the path that was asked for.
fn answer(mut stream: TcpStream, dir: &Path, note: impl FnOnce(&str)) {
    let _ = stream.set_read_timeout(Some(PATIENCE));
    let _ = stream.set_write_timeout(Some(PATIENCE));
    let Some((method, path)) = read_request(&stream) else {
        return;
    };
    note(&path);
    let reply = match method.as_str() {
        "GET" | "HEAD" => match find(dir, &path).map(|file| (fs::read(&file), file)) {
            Some((Ok(body), file)) => Reply::new("200 OK", content_type(&file), body),
            _ => Reply::text("404 Not Found"),
        },
        _ => Reply::text("405 Method Not Allowed"),
    };
    // A browser that went away is no fault of ours.
    let _ = reply.write(&mut stream, method == "HEAD");
}

struct Reply {
    status: &'static str,
    content_type: &'static str,
    body: Vec<u8>,
}

impl Reply {
    fn new(status: &'static str, content_type: &'static str, body: Vec<u8>) -> Self {
        Self {
            status,
            content_type,
            body,
        }
    }

    fn text(status: &'static str) -> Self {
        Self::new(status, "text/plain; charset=utf-8", status.into())
    }

    fn write(&self, stream: &mut TcpStream, head_only: bool) -> std::io::Result<()> {
        write!(
            stream,
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nAllow: GET, HEAD\r\n\
             Cache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
            self.status,
            self.content_type,
            self.body.len()
        )?;
        if !head_only {
            stream.write_all(&self.body)?;
        }
        stream.flush()
    }
}

/// Method and path of a request; its headers are read and left aside.
fn read_request(stream: &TcpStream) -> Option<(String, String)> {
    let mut lines = BufReader::new(stream.take(LONGEST_REQUEST)).lines();
    let first = lines.next()?.ok()?;
    while !lines.next()?.ok()?.is_empty() {}
    let mut words = first.split(' ');
    Some((words.next()?.to_owned(), words.next()?.to_owned()))
}

/// The file that a path stands for; only plain names below `dir` are followed, so neither `..`
/// nor a link leads out of it.
fn find(dir: &Path, path: &str) -> Option<PathBuf> {
    let path = path.split(['?', '#']).next()?.strip_prefix('/')?;
    let name = decode(if path.is_empty() { FRONT_PAGE } else { path })?;
    let name = Path::new(&name);
    let plain = name
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    if !plain {
        return None;
    }
    let file = dir.join(name).canonicalize().ok()?;
    let inside = file.starts_with(dir.canonicalize().ok()?);
    (inside && file.is_file()).then_some(file)
}

/// Undoes percent-encoding; `None` for a broken escape, a zero byte or what is not UTF-8.
fn decode(path: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'%' => {
                let digits = [rest.next()?, rest.next()?];
                let digits = std::str::from_utf8(&digits).ok()?;
                u8::from_str_radix(digits, 16).ok()?
            }
            byte => byte,
        });
    }
    if bytes.contains(&0) {
        return None;
    }
    String::from_utf8(bytes).ok()
}

fn content_type(file: &Path) -> &'static str {
    match file.extension().and_then(|end| end.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("csv") => "text/csv; charset=utf-8",
        Some("ics") => "text/calendar; charset=utf-8",
        Some("txt" | "md") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own for a test, with a page in `in/` and a secret beside it.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let dir = std::env::temp_dir().join(format!("site-{name}-{}", std::process::id()));
            fs::create_dir_all(dir.join("in")).expect("a temporary folder can be made");
            fs::write(dir.join("secret.txt"), "secret").expect("it can be written to");
            fs::write(dir.join("in").join(FRONT_PAGE), "front").expect("it can be written to");
            fs::write(dir.join("in/a b.svg"), "drawing").expect("it can be written to");
            Self(dir)
        }

        fn served(&self) -> Site {
            Site::start(self.0.join("in")).expect("a port is free")
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    fn ask(site: &Site, request: &str) -> String {
        let mut stream = TcpStream::connect(site.address).expect("the server listens");
        write!(stream, "{request}\r\nHost: x\r\n\r\n").expect("the server reads");
        let mut reply = String::new();
        stream
            .read_to_string(&mut reply)
            .expect("the server answers");
        reply
    }

    #[test]
    fn serves_files_with_their_types() {
        let folder = Folder::new("types");
        let site = folder.served();
        let front = ask(&site, "GET / HTTP/1.1");
        assert!(front.starts_with("HTTP/1.1 200 OK\r\n"), "{front}");
        assert!(front.contains("Content-Type: text/html; charset=utf-8\r\n"));
        assert!(front.ends_with("\r\n\r\nfront"));
        let drawing = ask(&site, "GET /a%20b.svg?x=1 HTTP/1.1");
        assert!(drawing.contains("Content-Type: image/svg+xml\r\n"));
        let head = ask(&site, "HEAD / HTTP/1.1");
        assert!(head.contains("Content-Length: 5\r\n") && head.ends_with("\r\n\r\n"));
        assert!(ask(&site, "POST / HTTP/1.1").starts_with("HTTP/1.1 405 "));
        assert_eq!(site.requests(), ["/", "/a%20b.svg?x=1", "/", "/"]);
    }

    #[test]
    fn never_leaves_its_folder() {
        let folder = Folder::new("inside");
        std::os::unix::fs::symlink(folder.0.join("secret.txt"), folder.0.join("in/link.txt"))
            .expect("a link can be made");
        let site = folder.served();
        for path in [
            "/../secret.txt",
            "/%2e%2e/secret.txt",
            "/..%2fsecret.txt",
            "//etc/passwd",
            "/link.txt",
            "/%00",
            "/%zz",
            "/%",
            "secret.txt",
            "/nothing.html",
        ] {
            let reply = ask(&site, &format!("GET {path} HTTP/1.1"));
            assert!(reply.starts_with("HTTP/1.1 404 "), "{path}: {reply}");
        }
    }

    #[test]
    fn a_taken_port_gets_a_clear_error() {
        let folder = Folder::new("port");
        let site = folder.served();
        let port = site.address.port();
        let error = listen(port).expect_err("the port is taken");
        assert_eq!(
            error.to_string(),
            format!("port {port} of 127.0.0.1 is taken by another program: choose one with --port")
        );
    }

    #[test]
    fn a_stopped_site_refuses_connections() {
        let folder = Folder::new("stop");
        let site = folder.served();
        site.stop();
        assert!(TcpStream::connect(site.address).is_err());
    }
}
