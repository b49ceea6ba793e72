//! How large a canvas is to be: typed as a whole, by a standard size, by a proportion, by what it
//! must fit into, or as part of a group.
//!
//! What is asked is a [`Record`] of typed texts like a row of the plan ([`asked`] is its table of
//! fields), but no part of a plan: once its canvases are added, they are canvases like any other.
//!
//! ```
//! use planner::find_size::find;
//! use planner::{Draft, Record};
//! let asked: Record = [("by", "proportion"), ("side", "600"), ("way", "upright")]
//!     .map(|(key, text)| (key, text.to_string()))
//!     .into_iter()
//!     .collect();
//! let found = find(&Draft::default(), &asked);
//! // 600 × (1 + √5) / 2 = 970.82
//! assert_eq!(found.canvases[0].texts, ["600", "971"]);
//! ```
//!
//! * [`standard`]: the table of standard sizes; [`typed`]: a whole size in one text.

pub mod asked;
mod parts;
pub mod standard;
pub mod typed;

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec;
use alloc::vec::Vec;

use quantity::{Length, Rounding};

use crate::brief::{Brief, Reader, SizeMeans, check};
use crate::draft::{Draft, Record};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Kind, Table};
use crate::figure::{Figure, Given, Input};
use crate::formulas as f;
use crate::frame::bead_overhang;
use crate::show::{Show, Units};
use asked::{By, Known, Ratio, Way};
use standard::{Standard, Stands};

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// By what.
    pub by: By,
    /// The canvases, from left to right; none while something is missing or wrong.
    pub canvases: Vec<FoundCanvas>,
    /// What is missing or wrong, at its field; what is missing is not said.
    pub faults: Vec<Fault>,
    /// How the texts were rounded, and what follows from it.
    pub notes: Vec<String>,
    /// How many of each.
    pub count: u32,
    /// The row that the canvas is put into; none for new rows.
    pub into: Option<usize>,
    /// How to show its figures.
    pub show: Show,
}

/// A canvas that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundCanvas {
    /// Its name in a group; else empty.
    pub name: String,
    /// Width, exact.
    pub width: Figure<Length>,
    /// Height, exact.
    pub height: Figure<Length>,
    /// Width and height as they are put into their fields.
    pub texts: [String; 2],
}

/// Looks for a size: the plan says what a typed size means and how wide the gap of a tray frame
/// is.
#[must_use]
pub fn find(draft: &Draft, asked: &Record) -> Found {
    let (brief, _) = check(draft);
    let mut faults = Vec::new();
    let mut finder = Finder {
        brief: &brief,
        rows: draft.canvases.len(),
        r: Reader::new(asked, Table::Find, 0, brief.show, &mut faults),
        notes: Vec::new(),
    };
    let by: Given<By> = finder.r.choice("by");
    let count = finder.r.count("count").value;
    let into = finder.row(by.value);
    let sides = match by.value {
        By::Standard => finder.standard(),
        By::Proportion => finder.proportion(),
        By::Picture => finder.picture(),
        By::Tray => finder.tray(),
        By::Wall => finder.wall(),
        By::Group => finder.group(),
    };
    let canvases = sides.and_then(|sides| finder.finished(by.value, &sides));
    let notes = finder.notes;
    let bad = faults.iter().any(|f| f.kind != FaultKind::Missing);
    // Nobody likes to be told of fields that are next.
    faults.retain(|f| f.kind != FaultKind::Missing);
    Found {
        by: by.value,
        canvases: canvases.filter(|_| !bad).unwrap_or_default(),
        faults,
        notes,
        count,
        into,
        show: brief.show,
    }
}

/// Canvases before they are rounded: names and sides.
struct Sides {
    /// Name, width, height.
    all: Vec<(String, Figure<Length>, Figure<Length>)>,
    /// How the texts are rounded; none where they are given.
    rounding: Option<Rounding>,
    /// Texts of width and height that are exact as they are.
    texts: [Option<String>; 2],
}

struct Finder<'a> {
    brief: &'a Brief,
    rows: usize,
    r: Reader<'a>,
    notes: Vec<String>,
}

impl Finder<'_> {
    /// The row to put the canvas into.
    fn row(&mut self, by: By) -> Option<usize> {
        let row = self.r.count_if("into")?;
        let rows = self.rows;
        if by == By::Group || by == By::Wall {
            self.conflict(
                "into",
                "These are several canvases.",
                "Leave this empty: they are added as new rows.",
            );
            return None;
        }
        let n = row.value as usize;
        if n > rows {
            let what = format!("There is no canvas {n}.");
            let remedy = format!("Write a number up to {rows}, or leave this empty for a new row.");
            self.conflict("into", &what, &remedy);
            return None;
        }
        Some(n - 1)
    }

    fn conflict(&mut self, key: &'static str, what: &str, remedy: &str) {
        self.r.fault(
            key,
            FaultKind::Conflict {
                what: what.to_string(),
                remedy: remedy.to_string(),
            },
        );
    }

    fn standard(&mut self) -> Option<Sides> {
        let text = self.r.text("standard");
        let way: Given<Way> = self.r.choice("way");
        if text.is_empty() {
            return None;
        }
        let Some((size, usual)) = standard::any_named(&text) else {
            let what = format!("“{text}” is no standard size.");
            self.conflict("standard", &what, "Choose one of the list.");
            return None;
        };
        let [long, short] = size.sides();
        let [width, height] = way.value.or(usual).sides(long, short);
        let side = |side| {
            let inputs = vec![
                Input::constant("standard size", crate::Value::Text(size.name())),
                way.input_as(crate::Value::Text(way.value.or(usual).name().to_string())),
            ];
            Figure::new(side, &f::STANDARD_SIDE, inputs)
        };
        Some(Sides {
            all: vec![(size.name(), side(width), side(height))],
            rounding: None,
            texts: [width, height].map(|side| Some(size.text(side, self.brief.show))),
        })
    }

    /// The long side over the short one, with its name.
    fn ratio(&mut self) -> (f64, Input) {
        let ratio: Given<Ratio> = self.r.choice("ratio");
        (ratio.value.number(), ratio.input_as(ratio.value.number()))
    }

    fn proportion(&mut self) -> Option<Sides> {
        let (ratio, input) = self.ratio();
        let way: Given<Way> = self.r.choice("way");
        let stands = way.value.or(Stands::Upright);
        let over = match stands {
            Stands::Upright => 1.0 / ratio,
            Stands::Across => ratio,
        };
        let way = way.input_as(crate::Value::Text(stands.name().to_string()));
        self.by_known_side(over, vec![input, way])
    }

    fn picture(&mut self) -> Option<Sides> {
        let width = self.r.length_needed("picture_width");
        let height = self.r.length_needed("picture_height");
        let (width, height) = (width?, height?);
        let over = width.value.to_mm() / height.value.to_mm();
        self.by_known_side(over, vec![width.input(), height.input()])
    }

    /// Both sides from a known one; `over` is width over height.
    fn by_known_side(&mut self, over: f64, inputs: Vec<Input>) -> Option<Sides> {
        let known: Given<Known> = self.r.choice("known");
        let side = self.r.length_needed("side")?;
        let given = Figure::new(side.value, &f::KNOWN_SIDE, vec![side.input()]);
        let mut inputs = inputs;
        inputs.push(side.input());
        let other = match known.value {
            Known::Width => side.value.scale(1.0 / over),
            Known::Height => side.value.scale(over),
        };
        let other = Figure::new(other, &f::SIDE_BY_PROPORTION, inputs);
        let typed = self.r.typed("side").map(ToString::to_string);
        let (width, height, texts) = match known.value {
            Known::Width => (given, other, [typed, None]),
            Known::Height => (other, given, [None, typed]),
        };
        Some(Sides {
            all: vec![(String::new(), width, height)],
            rounding: Some(Rounding::Nearest),
            texts,
        })
    }

    fn tray(&mut self) -> Option<Sides> {
        let width = self.r.length_needed("tray_width");
        let height = self.r.length_needed("tray_height");
        let gap = &self.brief.tray_gap;
        let inside = |side: Given<Length>| {
            let inputs = vec![side.input(), gap.input()];
            Figure::new(side.value - gap.value * 2, &f::INSIDE_TRAY, inputs)
        };
        Some(Sides {
            all: vec![(
                String::new(),
                self.to_type(inside(width?)),
                self.to_type(inside(height?)),
            )],
            rounding: Some(Rounding::Down),
            texts: [None, None],
        })
    }

    fn wall(&mut self) -> Option<Sides> {
        let wall = self.r.length_needed("wall_width");
        let (end, gap, n) = (
            self.r.length("wall_end"),
            self.r.length("gap"),
            self.r.count("in_row"),
        );
        let height = self.r.length_if("height_each");
        let (ratio, ratio_input) = self.ratio();
        let way: Given<Way> = self.r.choice("way");
        let wall = wall?;
        let count = i64::from(n.value.max(1));
        let inputs = vec![wall.input(), end.input(), gap.input(), n.input()];
        let free = wall.value - end.value * 2 - gap.value * (count - 1);
        let width = Figure::new(
            Length::from_nm(free.as_nm() / count),
            &f::EACH_ON_WALL,
            inputs,
        );
        let height = match height {
            Some(height) => Figure::new(height.value, &f::KNOWN_SIDE, vec![height.input()]),
            None => {
                let stands = way.value.or(Stands::Upright);
                let factor = match stands {
                    Stands::Upright => ratio,
                    Stands::Across => 1.0 / ratio,
                };
                let way = way.input_as(crate::Value::Text(stands.name().to_string()));
                let inputs = vec![width.input("width"), ratio_input, way];
                Figure::new(width.value.scale(factor), &f::SIDE_BY_PROPORTION, inputs)
            }
        };
        let (width, height) = (self.to_type(width), self.to_type(height));
        let all = (1..=count)
            .map(|i| {
                (
                    format!("Wall, {i} of {count}"),
                    width.clone(),
                    height.clone(),
                )
            })
            .collect();
        Some(Sides {
            all,
            rounding: Some(Rounding::Down),
            texts: [None, None],
        })
    }

    /// A finished side as it is typed: where a typed size means the wood, what the bead and the
    /// cloth add is taken off.
    fn to_type(&self, finished: Figure<Length>) -> Figure<Length> {
        let brief = self.brief;
        if brief.size_means.value == SizeMeans::Finished {
            return finished;
        }
        let overhang = bead_overhang(brief);
        let around = (overhang + brief.cloth_thickness.value) * 2;
        if around == Length::ZERO {
            return finished;
        }
        let inputs = vec![
            finished.input("finished side"),
            brief.bead_overhang.input_as(overhang),
            brief.cloth_thickness.input(),
        ];
        Figure::new(finished.value - around, &f::SIDE_TO_TYPE, inputs)
    }

    /// Checks the sides and writes them as they are typed.
    fn finished(&mut self, by: By, sides: &Sides) -> Option<Vec<FoundCanvas>> {
        let range = |key| match Table::Canvases.field(key).map(|f| &f.kind) {
            Some(Kind::Length { min, max, .. }) => (*min, *max),
            _ => (Length::ZERO, Length::ZERO),
        };
        let show = self.brief.show;
        for (_, width, height) in &sides.all {
            for (key, side) in [("width", width), ("height", height)] {
                let (min, max) = range(key);
                if !(min..=max).contains(&side.value) {
                    let what = format!("That gives a {key} of {}.", show.length(side.value));
                    let remedy = format!(
                        "A canvas is from {} to {} a side.",
                        show.length(min),
                        show.length(max)
                    );
                    self.conflict(by.decides(), &what, &remedy);
                    return None;
                }
            }
        }
        let way = sides.rounding.unwrap_or(Rounding::Nearest);
        if let Some(rounding) = sides.rounding {
            self.notes.push(rounded(rounding, show));
        }
        let text = |exact: &Option<String>, side: &Figure<Length>| {
            exact.clone().unwrap_or_else(|| show.typed(side.value, way))
        };
        let [exact_width, exact_height] = &sides.texts;
        Some(
            sides
                .all
                .iter()
                .map(|(name, width, height)| FoundCanvas {
                    name: name.clone(),
                    texts: [text(exact_width, width), text(exact_height, height)],
                    width: width.clone(),
                    height: height.clone(),
                })
                .collect(),
        )
    }
}

/// How texts were rounded.
fn rounded(rounding: Rounding, show: Show) -> String {
    let step = match show.units {
        Units::Metric => "the whole millimetre".to_string(),
        Units::Imperial => show.length(show.step()),
    };
    match rounding {
        Rounding::Down => format!("Rounded down to {step}, so that it fits."),
        _ => format!(
            "Rounded to the nearest {}.",
            step.trim_start_matches("the whole ")
        ),
    }
}

impl Found {
    /// Whether something was found.
    #[must_use]
    pub fn is_found(&self) -> bool {
        !self.canvases.is_empty()
    }

    /// Whether the plan has room for its canvases.
    #[must_use]
    pub fn has_room(&self, draft: &Draft) -> bool {
        let full = draft.canvases.iter().filter(|r| !r.is_empty()).count();
        self.into.is_some() || full + self.canvases.len() <= Table::Canvases.most_rows()
    }

    /// Puts its canvases into a draft: into the row that was asked for, else as new rows, in place
    /// of rows in which nothing was typed. Nothing happens where there is no room.
    pub fn add_to(&self, draft: &mut Draft) {
        if !self.has_room(draft) {
            return;
        }
        if let (Some(row), Some(canvas)) = (self.into, self.canvases.first()) {
            for (key, text) in ["width", "height"].into_iter().zip(&canvas.texts) {
                let table = Table::Canvases;
                draft.set(FieldRef { table, row, key }, text);
            }
            return;
        }
        // The weave runs through a group only where no blank is turned; what was typed stands.
        let weave = FieldRef::setting("weave");
        if self.by == By::Group && draft.text(weave).trim().is_empty() {
            draft.set(weave, "height");
        }
        draft.canvases.retain(|record| !record.is_empty());
        for canvas in &self.canvases {
            let [width, height] = canvas.texts.clone();
            let mut record = Record::new();
            record.insert("width", width);
            record.insert("height", height);
            if !canvas.name.is_empty() {
                record.insert("name", canvas.name.clone());
            }
            if self.count > 1 {
                record.insert("count", self.count.to_string());
            }
            draft.canvases.push(record);
        }
    }
}

impl Standard {
    /// A side of it as it can be typed on this page, exactly.
    fn text(self, side: Length, show: Show) -> String {
        let (own, step, unit) = match self {
            Self::French { .. } => (Units::Metric, Length::MM * 10, "cm"),
            Self::Inches { .. } => (Units::Imperial, Length::INCH, "in"),
        };
        if own == show.units {
            show.typed(side, Rounding::Nearest)
        } else {
            format!("{} {unit}", side.as_nm() / step.as_nm())
        }
    }
}
