//! The wasm as text that an HTML file can hold: gzip, then seven bits to a sign.
//!
//! All of ASCII stands in a script element and comes back as it was, controls too, but for NUL
//! (becomes U+FFFD), CR (becomes a newline), and `</` and `<!`, which could end the element. These
//! few are written as the sign 0x180 further on, so that a reader takes the low seven bits of
//! every sign and need not know them. `www/boot.js` has that reader.

use std::num::NonZeroU64;

use crate::shell::{Error, Result};

/// How often zopfli looks again: more makes it no smaller by a thousandth, and longer to build.
const ROUNDS: NonZeroU64 = NonZeroU64::new(5).unwrap();

/// `bytes` packed as text; the same bytes give the same text (no time, no name).
pub(crate) fn pack(bytes: &[u8]) -> Result<String> {
    Ok(text(&gzip(bytes)?))
}

/// Gzipped as small as deflate gets.
fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let options = zopfli::Options {
        iteration_count: ROUNDS,
        ..zopfli::Options::default()
    };
    let mut packed = Vec::new();
    zopfli::compress(options, zopfli::Format::Gzip, bytes, &mut packed)
        .map_err(|error| Error::new(format!("compressing failed: {error}")))?;
    Ok(packed)
}

fn text(bytes: &[u8]) -> String {
    let mut signs = Vec::with_capacity(bytes.len() * 8 / 7 + 1);
    let (mut held, mut bits) = (0_u16, 0);
    for byte in bytes {
        held = held << 8 | u16::from(*byte);
        bits += 8;
        while bits >= 7 {
            bits -= 7;
            signs.push((held >> bits & 0x7f) as u8);
        }
    }
    if bits > 0 {
        signs.push((held << (7 - bits) & 0x7f) as u8);
    }
    let sign = |(i, sign): (usize, &u8)| match (*sign, signs.get(i + 1)) {
        (0, _) => '\u{180}',
        (b'\r', _) => '\u{18d}',
        (b'<', None | Some(b'/' | b'!')) => '\u{1bc}',
        (sign, _) => char::from(sign),
    };
    signs.iter().enumerate().map(sign).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read;

    /// The reader of `www/boot.js`.
    fn bytes(text: &str) -> Vec<u8> {
        let (mut held, mut bits) = (0_u32, 0);
        let mut bytes = Vec::new();
        for sign in text.chars() {
            held = held << 7 | u32::from(sign) & 0x7f;
            bits += 7;
            if bits >= 8 {
                bits -= 8;
                bytes.push((held >> bits & 0xff) as u8);
            }
        }
        bytes
    }

    #[test]
    fn every_length_and_every_byte_comes_back() {
        for length in 0..40 {
            for start in 0..=255_u8 {
                let given: Vec<u8> = (0..length)
                    .map(|i: u8| start.wrapping_add(i.wrapping_mul(i)))
                    .collect();
                assert_eq!(bytes(&text(&given)), given);
            }
        }
    }

    #[test]
    fn nothing_that_ends_the_element_or_is_changed_in_it_is_left() {
        // Seven-bit values `<`, `/`, `<`, `!`, NUL, CR, `<`, and one to fill the seventh byte.
        let signs = [0x3c_u64, 0x2f, 0x3c, 0x21, 0, 0x0d, 0x3c, 0x3c];
        let whole = signs.iter().fold(0, |whole, sign| whole << 7 | sign);
        let given = &whole.to_be_bytes()[1..];
        let text = text(given);
        assert_eq!(text, "\u{1bc}/\u{1bc}!\u{180}\u{18d}<\u{1bc}");
        assert_eq!(bytes(&text), given);
    }

    #[test]
    fn packing_is_the_same_each_time_and_unpacks() {
        let given = b"stretcher bar, stretcher bar, stretcher bar";
        let packed = pack(given).expect("memory is enough");
        assert_eq!(packed, pack(given).expect("memory is enough"));
        let mut back = Vec::new();
        flate2::read::GzDecoder::new(&bytes(&packed)[..])
            .read_to_end(&mut back)
            .expect("what we packed unpacks");
        assert_eq!(back, given);
    }
}
