//! A plan as the end of a web address: `#2.` and then base64url(zlib(JSON)).
//!
//! The number is the version of the format. Version 1 was bare deflate: of its links one in ten
//! opened as another plan when a single sign was changed on the way. zlib (RFC 1950) ends with a
//! checksum. Both are read for ever. What a reader can't take is said, never skipped.

use core::fmt;

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::{
    DecompressError, TINFLStatus, decompress_to_vec_with_limit, decompress_to_vec_zlib_with_limit,
};
use planner::{Draft, Fault, Tree};

use crate::salvage;

/// The version that is written.
const VERSION: &str = "2";
/// The version before it, without a checksum.
const UNCHECKED: &str = "1";
/// The longest JSON that a link may unpack to, so that a few bytes can't fill the memory. A plan
/// of 200 canvases with every field filled stays far below (our choice).
pub(crate) const MOST_BYTES: usize = 256 * 1024;
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
    let packed = compress_to_vec_zlib(&json, LEVEL);
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
    if version != VERSION && version != UNCHECKED {
        let version = version.chars().take(12).collect();
        return Err(LinkError::UnknownVersion(version));
    }
    let packed = BASE64_URL_SAFE_NO_PAD
        .decode(packed)
        .map_err(|_| LinkError::BadSigns)?;
    let json = unpack(version, &packed).map_err(|e| match e.status {
        TINFLStatus::HasMoreOutput => LinkError::TooLarge,
        _ => LinkError::Damaged,
    })?;
    let json = String::from_utf8(json).map_err(|_| LinkError::NotAPlan)?;
    let tree: Tree = serde_json::from_str(&json).map_err(|_| LinkError::NotAPlan)?;
    let Tree::Map(_) = tree else {
        return Err(LinkError::NotAPlan);
    };
    Ok(Some(Draft::from_tree(&tree)))
}

fn unpack(version: &str, packed: &[u8]) -> Result<Vec<u8>, DecompressError> {
    if version == UNCHECKED {
        decompress_to_vec_with_limit(packed, MOST_BYTES)
    } else {
        decompress_to_vec_zlib_with_limit(packed, MOST_BYTES)
    }
}

/// What can still be read of a link that [`read`] refuses; none if nothing is left.
#[must_use]
pub fn rest(fragment: &str) -> Option<(Draft, Vec<Fault>)> {
    let text = fragment.trim().trim_start_matches('#');
    let (version, packed) = text.split_once('.')?;
    let whole = packed
        .bytes()
        .take_while(|b| b.is_ascii_alphanumeric() || b"-_".contains(b))
        .count();
    // Four signs are three bytes; what is left over at the end of a link that breaks off is none.
    let packed = BASE64_URL_SAFE_NO_PAD
        .decode(&packed[..whole / 4 * 4])
        .ok()?;
    let bytes = match unpack(version, &packed) {
        Ok(bytes) => bytes,
        Err(broken) => broken.output,
    };
    let tree = salvage::tree(&String::from_utf8_lossy(&bytes))?;
    let (draft, faults) = Draft::from_tree(&tree);
    (draft != Draft::default()).then_some((draft, faults))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn packed(text: &[u8]) -> String {
        format!(
            "#2.{}",
            BASE64_URL_SAFE_NO_PAD.encode(compress_to_vec_zlib(text, LEVEL))
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
        refused("#3.abc", LinkError::UnknownVersion("3".to_owned()));
        refused("#2.a b", LinkError::BadSigns);
        refused("#2.q1", LinkError::BadSigns);
        refused("#2.AAAA", LinkError::Damaged);
        refused("#1.AAAA", LinkError::Damaged);
        refused(&packed(b"[1]"), LinkError::NotAPlan);
        refused(&packed(b"{"), LinkError::NotAPlan);
    }

    #[test]
    fn what_is_left_of_a_link_that_breaks_off_is_read() {
        let link = packed(
            br#"{"name":"Harbour","canvases":[{"width":"1000","height":"800"},{"width":"613","height":"477"}]}"#,
        );
        let cut = &link[..link.len() - 8];
        assert!(read(cut).is_err());
        let (draft, faults) = rest(cut).expect("most of it is there");
        assert_eq!(faults, []);
        assert_eq!(draft.settings["name"], "Harbour");
        assert_eq!(draft.canvases[0]["height"], "800");
        assert_eq!(rest("#1.AAAA"), None);
        assert_eq!(rest("#2.é"), None);
        assert_eq!(rest("#"), None);
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
