//! A plan as the end of a web address: `#1.` and then base64url(deflate(JSON)).
//!
//! The number is the version of the format. What a reader can't take is said, never skipped.

use core::fmt;

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use planner::{Draft, Fault, Tree};

/// The version that is written.
const VERSION: &str = "1";
/// The longest JSON that a link may unpack to, so that a few bytes can't fill the memory. A plan
/// of 200 canvases with every field filled stays far below (our choice).
const MOST_BYTES: usize = 256 * 1024;
/// Deflate's strongest setting.
const LEVEL: u8 = 10;

/// Why a link can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum LinkError {
    /// It does not begin with a version.
    NoVersion,
    /// A version that this page does not know.
    UnknownVersion(String),
    /// Signs that no link has, or a sign lost at the end.
    BadSigns,
    /// Signs lost or changed inside.
    Damaged,
    /// It unpacks to more than a plan can be.
    TooLarge,
    /// It unpacks to something that is no plan.
    NotAPlan,
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoVersion => f.write_str("it does not begin with a version such as “1.”"),
            Self::UnknownVersion(v) => {
                write!(f, "it is of version “{v}”, which this page does not know")
            }
            Self::BadSigns => f.write_str("it holds signs that no link has, or its end is missing"),
            Self::Damaged => f.write_str("a part of it is missing or changed"),
            Self::TooLarge => f.write_str("it unpacks to more than a plan can hold"),
            Self::NotAPlan => f.write_str("it unpacks to something that is no plan"),
        }
    }
}

impl core::error::Error for LinkError {}

/// The end of a web address for a plan, from `#` on.
#[must_use]
pub fn write(draft: &Draft) -> String {
    let json = serde_json::to_vec(draft).unwrap_or_default();
    let packed = compress_to_vec(&json, LEVEL);
    format!("#{VERSION}.{}", BASE64_URL_SAFE_NO_PAD.encode(packed))
}

/// Reads the end of a web address, with or without its `#`; none where there is no plan in it.
///
/// # Errors
///
/// What is wrong with it. Fields that are not known are returned with the draft.
pub fn read(fragment: &str) -> Result<Option<(Draft, Vec<Fault>)>, LinkError> {
    let text = fragment.trim().trim_start_matches('#');
    if text.is_empty() {
        return Ok(None);
    }
    let (version, packed) = text.split_once('.').ok_or(LinkError::NoVersion)?;
    if version != VERSION {
        let version = version.chars().take(12).collect();
        return Err(LinkError::UnknownVersion(version));
    }
    let packed = BASE64_URL_SAFE_NO_PAD
        .decode(packed)
        .map_err(|_| LinkError::BadSigns)?;
    let json = decompress_to_vec_with_limit(&packed, MOST_BYTES).map_err(|e| match e.status {
        TINFLStatus::HasMoreOutput => LinkError::TooLarge,
        _ => LinkError::Damaged,
    })?;
    let tree: Tree = serde_json::from_slice(&json).map_err(|_| LinkError::NotAPlan)?;
    let Tree::Map(_) = tree else {
        return Err(LinkError::NotAPlan);
    };
    Ok(Some(Draft::from_tree(&tree)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn packed(text: &[u8]) -> String {
        format!(
            "#1.{}",
            BASE64_URL_SAFE_NO_PAD.encode(compress_to_vec(text, LEVEL))
        )
    }

    #[track_caller]
    fn refused(link: &str, why: LinkError) {
        assert_eq!(read(link), Err(why), "{link}");
    }

    #[test]
    fn what_is_wrong_is_said() {
        assert_eq!(read("#"), Ok(None));
        refused("#buy", LinkError::NoVersion);
        refused("#2.abc", LinkError::UnknownVersion("2".to_owned()));
        refused("#1.a b", LinkError::BadSigns);
        refused("#1.q1", LinkError::BadSigns);
        refused("#1.AAAA", LinkError::Damaged);
        refused(&packed(b"[1]"), LinkError::NotAPlan);
        refused(&packed(b"{"), LinkError::NotAPlan);
    }

    #[test]
    fn the_limit_on_what_it_unpacks_to() {
        let spaces = |n: usize| packed(format!("{{}}{}", " ".repeat(n - 2)).as_bytes());
        assert_eq!(
            read(&spaces(MOST_BYTES)),
            Ok(Some((Draft::default(), Vec::new())))
        );
        let bomb = spaces(MOST_BYTES + 1);
        assert!(bomb.len() < 1000, "a bomb is small: {}", bomb.len());
        refused(&bomb, LinkError::TooLarge);
        refused(&spaces(50 * 1024 * 1024), LinkError::TooLarge);
    }
}
