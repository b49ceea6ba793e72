//! Where everything lies.

use std::env;
use std::path::{Path, PathBuf};

/// The folder of the repository.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    match here.ancestors().nth(2) {
        Some(root) => root.to_path_buf(),
        None => here.to_path_buf(),
    }
}

/// The folder of what is handed out: [`artifact`], and what a host serves beside it.
pub fn dist_dir() -> PathBuf {
    root().join("dist")
}

/// The page as one self-contained file.
pub fn artifact() -> PathBuf {
    dist_dir().join("battenbook.html")
}

/// Cargo's build folder.
pub fn target_dir() -> PathBuf {
    match env::var_os("CARGO_TARGET_DIR") {
        Some(dir) if !dir.is_empty() => root().join(dir),
        _ => root().join("target"),
    }
}

/// Where installed tools are kept between runs: `$BATTENBOOK_TOOLS`, or `battenbook/tools` in
/// the user's cache folder, or in the build folder for a user without a home.
pub fn tools_dir() -> PathBuf {
    let from = |name| {
        env::var_os(name)
            .filter(|dir| !dir.is_empty())
            .map(PathBuf::from)
    };
    if let Some(dir) = from("BATTENBOOK_TOOLS") {
        return root().join(dir);
    }
    from("XDG_CACHE_HOME")
        .or_else(|| from("HOME").map(|home| home.join(".cache")))
        .unwrap_or_else(target_dir)
        .join("battenbook")
        .join("tools")
}
