//! The exchange format of cutting instances: millimetres, hundredths.

use cutting::boards::{Ends, Job, Piece, Saw, Stock, Trim};
use quantity::{Length, Money};
use serde::Deserialize;

/// One instance.
#[derive(Deserialize)]
pub(crate) struct Instance {
    /// Cut width.
    pub(crate) kerf: f64,
    /// Cut width of a mitre along the board.
    pub(crate) kerf_mitre: f64,
    /// Taken off each board once.
    pub(crate) trim: f64,
    /// Width over which mitres nest.
    pub(crate) profile_width: f64,
    /// Whether mitred pieces nest.
    pub(crate) mitre_nesting: bool,
    /// The cut list.
    pub(crate) items: Vec<Item>,
    /// The rack.
    pub(crate) stock: Vec<Line>,
}

/// A line of the cut list.
#[derive(Deserialize)]
pub(crate) struct Item {
    /// Long edge.
    pub(crate) length: f64,
    /// How many.
    pub(crate) qty: u32,
    /// `square` (also when missing) or `mitre`.
    #[serde(default)]
    pub(crate) ends: String,
}

/// A line of the rack.
#[derive(Deserialize)]
pub(crate) struct Line {
    /// Length.
    pub(crate) length: f64,
    /// Price in hundredths.
    pub(crate) price: i64,
    /// How many, or null.
    pub(crate) limit: Option<u32>,
}

impl Instance {
    /// The job it describes. Without nesting, mitred pieces take their long edge each.
    pub(crate) fn to_job(&self) -> Job {
        Job {
            stock: self
                .stock
                .iter()
                .map(|line| Stock {
                    limit: line.limit,
                    ..Stock::bought(
                        Length::from_mm_f64(line.length),
                        Money::from_hundredths(line.price),
                    )
                })
                .collect(),
            pieces: self
                .items
                .iter()
                .map(|item| Piece {
                    length: Length::from_mm_f64(item.length),
                    count: item.qty,
                    ends: if item.ends == "mitre" {
                        Ends::Mitred
                    } else {
                        Ends::Square
                    },
                    turnable: self.mitre_nesting,
                })
                .collect(),
            saw: Saw {
                kerf: Length::from_mm_f64(self.kerf),
                mitre_kerf: Length::from_mm_f64(self.kerf_mitre),
                trim: Trim::Once(Length::from_mm_f64(self.trim)),
                face: Length::from_mm_f64(self.profile_width),
                ..Saw::default()
            },
        }
    }
}
