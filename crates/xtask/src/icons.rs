//! The page's icon where it is installed: a stretcher with its cross bar and the cloth behind,
//! drawn once as polygons, written as SVG and as PNG.

use std::io::Write;

use flate2::write::ZlibEncoder;
use flate2::{Compression, Crc};

use crate::shell::{Error, Result};

/// The drawing's side, in its own units.
const SIDE: f64 = 64.0;
/// Points a pixel is sampled at, each way.
const FINE: u32 = 4;

struct Shape {
    colour: [u8; 3],
    corners: &'static [(f64, f64)],
}

/// The ground fills the whole square, so that any mask finds colour; the frame stays inside the
/// middle four fifths, which every mask shows.
const SHAPES: [Shape; 9] = [
    Shape {
        colour: [0x0a, 0x3f, 0x66],
        corners: &[(0.0, 0.0), (64.0, 0.0), (64.0, 64.0), (0.0, 64.0)],
    },
    // The cloth's back.
    Shape {
        colour: [0xfb, 0xf0, 0xd3],
        corners: &[(14.0, 11.0), (50.0, 11.0), (50.0, 53.0), (14.0, 53.0)],
    },
    // Four bars, mitred.
    Shape {
        colour: [0xd9, 0xa4, 0x5b],
        corners: &[(14.0, 11.0), (50.0, 11.0), (43.0, 18.0), (21.0, 18.0)],
    },
    Shape {
        colour: [0xbd, 0x86, 0x3f],
        corners: &[(50.0, 11.0), (50.0, 53.0), (43.0, 46.0), (43.0, 18.0)],
    },
    Shape {
        colour: [0xd9, 0xa4, 0x5b],
        corners: &[(50.0, 53.0), (14.0, 53.0), (21.0, 46.0), (43.0, 46.0)],
    },
    Shape {
        colour: [0xbd, 0x86, 0x3f],
        corners: &[(14.0, 53.0), (14.0, 11.0), (21.0, 18.0), (21.0, 46.0)],
    },
    // The cross bar, and two braces.
    Shape {
        colour: [0xd9, 0xa4, 0x5b],
        corners: &[(21.0, 29.0), (43.0, 29.0), (43.0, 35.0), (21.0, 35.0)],
    },
    Shape {
        colour: [0x8f, 0x61, 0x25],
        corners: &[(21.0, 22.0), (21.0, 18.0), (25.0, 18.0)],
    },
    Shape {
        colour: [0x8f, 0x61, 0x25],
        corners: &[(39.0, 46.0), (43.0, 46.0), (43.0, 42.0)],
    },
];

/// The icon as SVG.
pub fn svg() -> String {
    let mut text =
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {SIDE} {SIDE}\">\n");
    for Shape { colour, corners } in &SHAPES {
        let [r, g, b] = colour;
        let points: Vec<String> = corners.iter().map(|(x, y)| format!("{x},{y}")).collect();
        text += &format!(
            "<polygon fill=\"#{r:02x}{g:02x}{b:02x}\" points=\"{}\"/>\n",
            points.join(" ")
        );
    }
    text + "</svg>\n"
}

/// The icon as PNG (ISO/IEC 15948), so many pixels wide and high.
pub fn png(side: u32) -> Result<Vec<u8>> {
    let mut rows = Vec::new();
    for y in 0..side {
        // Filter 0: the row as it is.
        rows.push(0);
        for x in 0..side {
            rows.extend(pixel(x, y, side));
        }
    }
    let mut packed = ZlibEncoder::new(Vec::new(), Compression::best());
    let packed = packed
        .write_all(&rows)
        .and_then(|()| packed.finish())
        .map_err(|error| Error::new(format!("compressing the icon failed: {error}")))?;
    let mut head = [side.to_be_bytes(), side.to_be_bytes()].concat();
    // 8 bits a channel, red, green and blue; deflate, no filter choice, no interlace.
    head.extend([8, 2, 0, 0, 0]);
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    for (name, data) in [(b"IHDR", &head), (b"IDAT", &packed), (b"IEND", &Vec::new())] {
        let length = u32::try_from(data.len())
            .map_err(|_| Error::new("the icon is larger than a PNG can be".to_owned()))?;
        let mut crc = Crc::new();
        crc.update(name);
        crc.update(data);
        file.extend(length.to_be_bytes());
        file.extend(name);
        file.extend(data);
        file.extend(crc.sum().to_be_bytes());
    }
    Ok(file)
}

/// The mean colour of the points inside a pixel.
fn pixel(x: u32, y: u32, side: u32) -> [u8; 3] {
    let mut sum = [0_u32; 3];
    for (i, j) in (0..FINE).flat_map(|i| (0..FINE).map(move |j| (i, j))) {
        let at = |whole: u32, part: u32| {
            (f64::from(whole) + (f64::from(part) + 0.5) / f64::from(FINE)) * SIDE / f64::from(side)
        };
        let point = (at(x, i), at(y, j));
        let top = SHAPES.iter().rev().find(|s| is_inside(s.corners, point));
        let colour = top.map_or([0; 3], |s| s.colour);
        for (sum, part) in sum.iter_mut().zip(colour) {
            *sum += u32::from(part);
        }
    }
    sum.map(|sum| u8::try_from(sum / (FINE * FINE)).unwrap_or(u8::MAX))
}

/// Whether a ray from the point crosses the outline an odd number of times.
fn is_inside(corners: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let next = corners.iter().cycle().skip(1);
    let crossings = corners.iter().zip(next).filter(|((x1, y1), (x2, y2))| {
        (*y1 > y) != (*y2 > y) && x < x1 + (y - y1) / (y2 - y1) * (x2 - x1)
    });
    crossings.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read;

    #[test]
    fn the_png_holds_the_drawing() {
        let file = png(64).expect("memory is enough");
        // The signature and the first chunk's layout: ISO/IEC 15948, 5.2 and 11.2.2.
        assert_eq!(&file[..8], b"\x89PNG\r\n\x1a\n");
        assert_eq!(&file[12..24], b"IHDR\0\0\0\x40\0\0\0\x40");
        let length = u32::from_be_bytes([file[33], file[34], file[35], file[36]]) as usize;
        let mut rows = Vec::new();
        flate2::read::ZlibDecoder::new(&file[41..41 + length])
            .read_to_end(&mut rows)
            .expect("the rows unpack");
        assert_eq!(rows.len(), 64 * (1 + 64 * 3));
        let at = |x: usize, y: usize| {
            let from = y * (1 + 64 * 3) + 1 + 3 * x;
            [rows[from], rows[from + 1], rows[from + 2]]
        };
        assert_eq!(at(2, 2), [0x0a, 0x3f, 0x66], "the ground");
        assert_eq!(at(32, 14), [0xd9, 0xa4, 0x5b], "the top bar");
        assert_eq!(at(32, 24), [0xfb, 0xf0, 0xd3], "the cloth");
        // The end chunk and its checksum are the same in every PNG.
        assert_eq!(&file[file.len() - 12..], b"\0\0\0\0IEND\xae\x42\x60\x82");
    }
}
