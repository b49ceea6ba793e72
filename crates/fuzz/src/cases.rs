//! Cases kept in the repository: one file each, in a folder for each target.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::targets::Target;

fn folder(target: &Target) -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.join("cases").join(target.name)
}

/// The kept cases of a target with their file names, in order.
///
/// # Errors
///
/// Where the folder can't be read; one that is absent holds nothing.
pub fn kept(target: &Target) -> io::Result<Vec<(String, Vec<u8>)>> {
    let folder = folder(target);
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let mut cases = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        cases.push((name, fs::read(entry.path())?));
    }
    cases.sort();
    Ok(cases)
}

/// Keeps a case; returns its file.
///
/// # Errors
///
/// Where it can't be written.
pub fn keep(target: &Target, case: &[u8]) -> io::Result<PathBuf> {
    let folder = folder(target);
    fs::create_dir_all(&folder)?;
    // FNV-1a (Fowler, Noll and Vo): the same case gets the same name.
    let hash = case.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3)
    });
    let file = folder.join(format!("{hash:016x}"));
    fs::write(&file, case)?;
    Ok(file)
}
