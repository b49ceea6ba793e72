//! The jobs to be timed, in the formats of the instances.

use serde::Deserialize;

/// A set of jobs.
pub(crate) enum Jobs {
    /// One frame to 500: boards with prices.
    Class(Vec<Class>),
    /// Published bin packing jobs: equal boards.
    Packing(Vec<Packing>),
    /// Those among them that are hardest to prove.
    Hard(Vec<Packing>),
    /// Published rectangles on a strip.
    Strip(Vec<Strip>),
    /// Invented blanks on a roll.
    Blanks(Vec<Strip>),
}

/// Boards with prices; millimetres and hundredths.
#[derive(Deserialize)]
pub(crate) struct Class {
    pub(crate) name: String,
    pub(crate) kerf: f64,
    pub(crate) kerf_mitre: f64,
    pub(crate) trim: f64,
    pub(crate) profile_width: f64,
    pub(crate) mitre_nesting: bool,
    pub(crate) items: Vec<Item>,
    pub(crate) stock: Vec<Stock>,
}

#[derive(Deserialize)]
pub(crate) struct Item {
    pub(crate) length: f64,
    pub(crate) qty: u32,
    #[serde(default)]
    pub(crate) ends: String,
}

#[derive(Deserialize)]
pub(crate) struct Stock {
    pub(crate) length: f64,
    pub(crate) price: i64,
    pub(crate) limit: Option<u32>,
}

#[derive(Deserialize)]
pub(crate) struct Packing {
    pub(crate) name: String,
    pub(crate) capacity: i64,
    pub(crate) items: Vec<(i64, u32)>,
    pub(crate) best: i64,
}

#[derive(Deserialize)]
pub(crate) struct Strip {
    pub(crate) name: String,
    pub(crate) width: i64,
    pub(crate) items: Vec<(i64, i64)>,
    pub(crate) opt: i64,
}

impl Jobs {
    /// Reads a set.
    pub(crate) fn read(set: &str, text: &str) -> Result<Self, String> {
        let fault = |error: serde_json::Error| format!("{set}: {error}");
        Ok(match set {
            "class" => Self::Class(serde_json::from_str(text).map_err(fault)?),
            "packing" => Self::Packing(serde_json::from_str(text).map_err(fault)?),
            "hard" => Self::Hard(serde_json::from_str(text).map_err(fault)?),
            "strip" => Self::Strip(serde_json::from_str(text).map_err(fault)?),
            "blanks" => Self::Blanks(invent()),
            _ => return Err(format!("there is no set {set:?}")),
        })
    }

    /// How many kinds of pieces there are in all.
    #[cfg(not(feature = "engine"))]
    pub(crate) fn pieces(&self) -> usize {
        match self {
            Self::Class(jobs) => jobs
                .iter()
                .map(|j| j.items.len() + j.stock.len() + j.name.len())
                .sum(),
            Self::Packing(jobs) | Self::Hard(jobs) => jobs.iter().map(|j| j.items.len()).sum(),
            Self::Strip(jobs) | Self::Blanks(jobs) => jobs.iter().map(|j| j.items.len()).sum(),
        }
    }
}

/// Invented blanks, 400 to 2500 mm, on a roll of 2.1 m; no length is known for them.
fn invent() -> Vec<Strip> {
    let mut state = 7_u64;
    let mut below = |n: i64| {
        // Knuth's MMIX generator (The Art of Computer Programming 2, 3.3.4, from memory).
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(state >> 33).unwrap_or(0) % n
    };
    let mut jobs = Vec::new();
    for n in [5, 8, 10, 20, 30, 40] {
        for _ in 0..2 {
            jobs.push(Strip {
                name: format!("B{n}"),
                width: 2100,
                items: (0..n)
                    .map(|_| {
                        let (long, short) = (400 + 10 * below(211), 400 + 10 * below(171));
                        (short, long)
                    })
                    .collect(),
                opt: 0,
            });
        }
    }
    jobs
}
