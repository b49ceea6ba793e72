//! The wooden frame: outer size, bars, cross bars, braces, and where each mark lies.
//!
//! ```text
//!   heel ◄──────────── long edge = outer side ────────────► heel
//!        \                                                /
//!         \ toe ◄──────── short edge ──────────────► toe /      face
//! ```

use alloc::string::String;
use alloc::vec::Vec;
use quantity::order::sort;

use quantity::Length;
use quantity::physics::Angle;
use serde::Serialize;

use crate::bracing::Bracing;
use crate::brief::{Bead, Brief, Canvas, Corner, Fixing, Housing, SizeMeans, YesNo};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Table};
use crate::figure::{Figure, Input, Origin};
use crate::formulas as f;
use crate::show::{Show, Units};

/// The frame of one canvas.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Frame {
    /// Outside width of the wood.
    pub outer_width: Figure<Length>,
    /// Outside height of the wood.
    pub outer_height: Figure<Length>,
    /// Width of the finished front, bead and cloth included.
    pub finished_width: Figure<Length>,
    /// Height of the finished front.
    pub finished_height: Figure<Length>,
    /// Bar face.
    pub face: Length,
    /// Bar depth.
    pub depth: Length,
    /// Angle of the mitre.
    pub mitre: Figure<Angle>,
    /// Corner to corner, both ways alike when the frame is square.
    pub diagonal: Figure<Length>,
    /// How far the sides lean for each millimetre of difference between the diagonals.
    pub lean_per_difference: Figure<f64>,
    /// Depth of every half-lap and housing.
    pub lap_depth: Figure<Length>,
    /// Keys, when the corners are keyed.
    pub keys: Option<Figure<u64>>,
    /// Its wooden members, each kind once.
    pub members: Vec<Member>,
}

/// Which part of the frame a member is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Top and bottom bar.
    TopBottom,
    /// Left and right bar.
    Side,
    /// Upright cross bar.
    Upright,
    /// Level cross bar.
    Level,
    /// Corner brace.
    Brace,
}

impl Part {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TopBottom => "top and bottom bar",
            Self::Side => "side bar",
            Self::Upright => "upright cross bar",
            Self::Level => "level cross bar",
            Self::Brace => "corner brace",
        }
    }
}

/// How both ends of a member are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ends {
    /// At right angles.
    Square,
    /// Both at 45°.
    Mitred,
}

/// One kind of member of a frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Member {
    /// Letter of the piece in the cut list; equal pieces share it over the whole plan.
    pub letter: String,
    /// Which part it is.
    pub part: Part,
    /// How many in one frame.
    pub count: u32,
    /// Overall length; the long edge where the ends are cut at 45°.
    pub length: Figure<Length>,
    /// Short edge, where the ends are cut at 45°.
    pub short_edge: Option<Figure<Length>>,
    /// As it comes off the saw, allowance included.
    pub as_sawn: Figure<Length>,
    /// How its ends are cut.
    pub ends: Ends,
    /// Setting-out rod: all marks from the left (lower) end of the finished member, in order.
    pub marks: Vec<Mark>,
}

/// A place on a setting-out rod.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// From the left (lower) end of the finished member, exact.
    pub at: Length,
    /// What lies there; several things may.
    pub what: Vec<MarkKind>,
}

/// What a mark stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MarkKind {
    /// The member's end; a heel where it is mitred.
    End,
    /// Inner end of the mitre, on the inner edge.
    Toe,
    /// Shoulder of the corner's half-lap.
    CornerShoulder,
    /// First shoulder of a cross bar's housing or crossing.
    HousingFrom,
    /// Middle of a housing or crossing.
    HousingMiddle,
    /// Second shoulder of a housing or crossing.
    HousingTo,
    /// Shoulder of a cross bar's own half-lap at its end.
    EndShoulder,
    /// Nearer edge of a brace, on the inner edge.
    BraceNear,
    /// Farther (long) edge of a brace, on the inner edge.
    BraceFar,
    /// Screw.
    Screw,
    /// Screw through a brace's long edge, square to the bar.
    BraceScrew,
    /// Panel pin.
    Pin,
}

impl MarkKind {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::End => "end",
            Self::Toe => "toe of the mitre, inner edge",
            Self::CornerShoulder => "corner shoulder",
            Self::HousingFrom => "housing, first shoulder",
            Self::HousingMiddle => "housing, middle",
            Self::HousingTo => "housing, second shoulder",
            Self::EndShoulder => "end shoulder",
            Self::BraceNear => "brace, near edge, inner edge",
            Self::BraceFar => "brace, far edge, inner edge",
            Self::Screw => "screw",
            Self::BraceScrew => "screw, long edge",
            Self::Pin => "panel pin",
        }
    }
}

/// The outside of the wood and the finished front: width and height of each.
pub(crate) struct Sizes {
    pub(crate) outer: [Figure<Length>; 2],
    pub(crate) finished: [Figure<Length>; 2],
}

/// From what was typed to the wood's outside.
pub(crate) fn sizes(brief: &Brief, canvas: &Canvas) -> Sizes {
    let overhang = bead_overhang(brief);
    let around = overhang + brief.cloth_thickness.value;
    let words = match brief.size_means.value {
        SizeMeans::Outer => "the wooden frame's outside",
        SizeMeans::Finished => "the finished canvas",
    };
    let figure = |typed: &crate::figure::Given<Length>, by: i64| {
        let mut inputs = alloc::vec![
            typed.input(),
            brief
                .size_means
                .input_as(crate::figure::Value::Text(words.into()))
        ];
        if by != 0 {
            inputs.push(brief.bead_overhang.input_as(overhang));
            inputs.push(brief.cloth_thickness.input());
        }
        Figure::new(typed.value + around * (2 * by), &f::OUTER_SIZE, inputs)
    };
    let (out, fin) = match brief.size_means.value {
        SizeMeans::Outer => (0, 1),
        SizeMeans::Finished => (-1, 0),
    };
    Sizes {
        outer: [figure(&canvas.width, out), figure(&canvas.height, out)],
        finished: [figure(&canvas.width, fin), figure(&canvas.height, fin)],
    }
}

/// The bead's overhang where there is a bead.
pub(crate) fn bead_overhang(brief: &Brief) -> Length {
    match brief.bead.value {
        Bead::QuarterRound => brief.bead_overhang.value,
        Bead::Bevel | Bead::Nothing => Length::ZERO,
    }
}

/// The frame of a canvas, or what stands in its way.
///
/// # Errors
///
/// Every conflict found, each with the smallest change that would work.
pub(crate) fn frame(
    brief: &Brief,
    canvas: &Canvas,
    sizes: Sizes,
    bracing: &Bracing,
) -> Result<Frame, Vec<Fault>> {
    let face = brief.bar_face.value;
    let depth = brief.bar_depth.value;
    let Sizes {
        outer: [width, height],
        finished: [finished_width, finished_height],
    } = sizes;
    conflicts(brief, canvas, [width.value, height.value], bracing)?;

    let diagonal = Figure::new(
        width.value.hypot(height.value),
        &f::DIAGONAL,
        alloc::vec![width.input("outer width"), height.input("outer height")],
    );
    let lean = diagonal.value / width.value / 2.0;
    let lean_per_difference = Figure::new(
        lean,
        &f::OUT_OF_SQUARE,
        alloc::vec![diagonal.input("diagonal"), width.input("outer width")],
    );
    let lap_depth = Figure::new(
        depth.half(),
        &f::LAP_DEPTH,
        alloc::vec![brief.bar_depth.input()],
    );
    let keys = (brief.fixing.value == Fixing::Keyed).then(|| {
        Figure::new(
            8_u64,
            &f::KEYS,
            alloc::vec![Input::constant("corners", 4_u64)],
        )
    });

    let lay = Layout {
        brief,
        bracing,
        face,
        leg: brace_leg(brief, [width.value, height.value], face),
    };
    let mut members = alloc::vec![
        lay.bar(Part::TopBottom, &width, bracing.upright.value),
        lay.bar(Part::Side, &height, bracing.level.value),
    ];
    if bracing.upright.value > 0 {
        members.push(lay.cross_bar(
            Part::Upright,
            bracing.upright.value,
            &height,
            bracing.level.value,
        ));
    }
    if bracing.level.value > 0 {
        members.push(lay.cross_bar(
            Part::Level,
            bracing.level.value,
            &width,
            bracing.upright.value,
        ));
    }
    if bracing.braces.value > 0 {
        members.push(lay.brace());
    }
    Ok(Frame {
        outer_width: width,
        outer_height: height,
        finished_width,
        finished_height,
        face,
        depth,
        mitre: Figure::new(Angle::from_degrees(45.0), &f::MITRE, Vec::new()),
        diagonal,
        lean_per_difference,
        lap_depth,
        keys,
        members,
    })
}

/// What cannot be built at all.
fn conflicts(
    brief: &Brief,
    canvas: &Canvas,
    outer: [Length; 2],
    bracing: &Bracing,
) -> Result<(), Vec<Fault>> {
    let mut faults = Vec::new();
    let show = brief.show;
    let face = brief.bar_face.value;
    let mut say = |key: &'static str, what: String, remedy: String| {
        faults.push(Fault {
            at: FieldRef {
                table: Table::Canvases,
                row: canvas.row,
                key,
            },
            kind: FaultKind::Conflict { what, remedy },
        });
    };
    for (key, side) in [("width", outer[0]), ("height", outer[1])] {
        if side <= face * 2 {
            say(
                key,
                alloc::format!(
                    "The bars are {} wide, so a side of {} leaves no opening.",
                    show.length(face),
                    show.length(side)
                ),
                alloc::format!(
                    "Make the side longer than {}, or take a batten narrower than {}.",
                    show.length(face * 2),
                    show.length(side.half())
                ),
            );
        }
    }
    for (key, side, bars) in [
        ("upright_bars", outer[0], bracing.upright.value),
        ("level_bars", outer[1], bracing.level.value),
    ] {
        let clear = clear_bay(side, face, bars);
        if bars > 0 && clear <= Length::ZERO {
            say(
                key,
                alloc::format!(
                    "{bars} cross bars of {} do not fit into {}.",
                    show.length(face),
                    show.length(side)
                ),
                alloc::format!("Take at most {}.", most_bars(side, face)),
            );
        }
    }
    if bracing.braces.value > 0 {
        let leg = brace_leg(brief, outer, face);
        let least = face.times_sqrt2();
        let room = brace_room(outer, face, [bracing.upright.value, bracing.level.value]);
        // As the page shows them, what is advised can be typed.
        let enough = (least + show.step()).round_to(show.step(), quantity::Rounding::Up);
        let most = room.round_to(show.step(), quantity::Rounding::Down);
        let remedy = || {
            if enough > most {
                "Leave the braces out here.".into()
            } else if leg <= least {
                alloc::format!("Set the brace leg to {} or more.", show.length(enough))
            } else {
                alloc::format!(
                    "Set the brace leg to {} or less, or leave the braces out here.",
                    show.length(most)
                )
            }
        };
        if leg <= least {
            say(
                "braces",
                alloc::format!(
                    "A brace {} wide needs a leg longer than {}, and it is {}.",
                    show.length(face),
                    show.length(least),
                    show.length(leg)
                ),
                remedy(),
            );
        } else if leg > room {
            say(
                "braces",
                alloc::format!(
                    "Braces with legs of {} reach past the {} that is free at the corners.",
                    show.length(leg),
                    show.length(most)
                ),
                remedy(),
            );
        }
    }
    if brief.housing.value == Housing::Stopped
        && brief.stop_short.value >= face
        && (bracing.upright.value + bracing.level.value) > 0
    {
        say(
            "upright_bars",
            alloc::format!(
                "A housing stopped {} short of the edge leaves nothing of a bar {} wide.",
                show.length(brief.stop_short.value),
                show.length(face)
            ),
            alloc::format!("Stop it less than {} short.", show.length(face)),
        );
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}

/// Free length between neighbouring cross bars (or bars) on the inside.
fn clear_bay(side: Length, face: Length, bars: u32) -> Length {
    let n = i64::from(bars);
    let pitch = Length::from_nm(side.as_nm() / (n + 1));
    if bars == 0 {
        side - face * 2
    } else {
        pitch - face - face.half()
    }
}

/// The leg of a brace: as typed, else the usual one, or as much of it as a narrow frame has room
/// for where that still makes a brace.
pub(crate) fn brace_leg(brief: &Brief, outer: [Length; 2], face: Length) -> Length {
    let leg = &brief.brace_leg;
    if leg.origin != Origin::Usual {
        return leg.value;
    }
    let step = match brief.show.units {
        Units::Metric => Length::from_mm(5),
        Units::Imperial => Length::from_inch_64ths(16),
    };
    let room = brace_room(outer, face, [0, 0]).round_to(step, quantity::Rounding::Down);
    if room > face.times_sqrt2() {
        leg.value.min(room)
    } else {
        leg.value
    }
}

/// The longest brace leg that the corners have room for: up to the nearest cross bar, or half
/// of a bay that two braces share.
pub(crate) fn brace_room(outer: [Length; 2], face: Length, bars: [u32; 2]) -> Length {
    let room = |side, bars| match bars {
        0 => clear_bay(side, face, 0).half(),
        n => clear_bay(side, face, n),
    };
    room(outer[0], bars[0]).min(room(outer[1], bars[1]))
}

fn most_bars(side: Length, face: Length) -> u32 {
    (1..=6)
        .rev()
        .find(|n| clear_bay(side, face, *n) > Length::ZERO)
        .unwrap_or(0)
}

/// Middle of each of `bars` cross bars that divide `side` evenly.
pub(crate) fn middles(side: Length, bars: u32) -> impl Iterator<Item = Length> {
    let n = i64::from(bars) + 1;
    (1..n).map(move |i| Length::from_nm(side.as_nm() * i / n))
}

struct Layout<'a> {
    brief: &'a Brief,
    bracing: &'a Bracing,
    face: Length,
    leg: Length,
}

impl Layout<'_> {
    /// An outer bar; `bars` cross bars are housed in it.
    fn bar(&self, part: Part, side: &Figure<Length>, bars: u32) -> Member {
        let face = self.face;
        let long = side.value;
        let mitred = self.brief.corner.value == Corner::Mitre;
        let length = Figure::new(long, &f::BAR_LONG, alloc::vec![side.input("outer side")]);
        let has_mitre = self.brief.corner.value != Corner::SquareLap;
        let short_edge = has_mitre.then(|| {
            Figure::new(
                long - face * 2,
                &f::BAR_SHORT,
                alloc::vec![side.input("outer side"), self.brief.bar_face.input()],
            )
        });
        let allowance = if mitred {
            self.brief.heel_allowance.value
        } else {
            Length::ZERO
        };
        let as_sawn = Figure::new(
            long + allowance * 2,
            &f::BAR_BLANK,
            alloc::vec![
                length.input("long edge"),
                self.brief.heel_allowance.input_as(allowance)
            ],
        );
        let mut rod = Rod::new(long);
        if has_mitre {
            rod.both_ends(face, MarkKind::Toe);
        }
        if self.brief.corner.value != Corner::Mitre {
            rod.both_ends(face, MarkKind::CornerShoulder);
        }
        for middle in middles(long, bars) {
            rod.housing(middle, face);
            if crate::fasteners::is_screwed(self.brief) {
                rod.put(middle, MarkKind::Screw);
            }
        }
        if self.bracing.braces.value > 0 {
            let leg = self.leg;
            rod.both_ends(face + leg - face.times_sqrt2(), MarkKind::BraceNear);
            rod.both_ends(face + leg, MarkKind::BraceFar);
        }
        for (kind, at) in crate::fasteners::corner_places(self.brief, part) {
            rod.both_ends(at, kind);
        }
        Member {
            letter: String::new(),
            part,
            count: 2,
            length,
            short_edge,
            as_sawn,
            ends: if mitred { Ends::Mitred } else { Ends::Square },
            marks: rod.marks(),
        }
    }

    /// A cross bar across `side`; `crossings` others cross it.
    fn cross_bar(&self, part: Part, count: u32, side: &Figure<Length>, crossings: u32) -> Member {
        let face = self.face;
        let (stop, formula) = match self.brief.housing.value {
            Housing::Through => (Length::ZERO, &f::CROSS_BAR_THROUGH),
            Housing::Stopped => (self.brief.stop_short.value, &f::CROSS_BAR_STOPPED),
        };
        let mut inputs = alloc::vec![side.input("outer side")];
        if stop > Length::ZERO {
            inputs.push(self.brief.stop_short.input());
        }
        let long = side.value - stop * 2;
        let length = Figure::new(long, formula, inputs);
        let mut rod = Rod::new(long);
        rod.both_ends(face - stop, MarkKind::EndShoulder);
        if crate::fasteners::is_screwed(self.brief) {
            rod.both_ends((face - stop).half(), MarkKind::Screw);
        }
        for middle in middles(side.value, crossings) {
            rod.housing(middle - stop, face);
        }
        Member {
            letter: String::new(),
            part,
            count,
            as_sawn: length.clone(),
            length,
            short_edge: None,
            ends: Ends::Square,
            marks: rod.marks(),
        }
    }

    fn brace(&self) -> Member {
        let length = Figure::new(
            self.leg.times_sqrt2(),
            &f::BRACE_LONG,
            alloc::vec![self.brief.brace_leg.input_as(self.leg)],
        );
        let short = Figure::new(
            length.value - self.face * 2,
            &f::BRACE_SHORT,
            alloc::vec![length.input("long edge"), self.brief.bar_face.input()],
        );
        let mut rod = Rod::new(length.value);
        rod.both_ends(self.face, MarkKind::Toe);
        if self.brief.screws.value == YesNo::Yes {
            let at = crate::fasteners::brace_screw_at(self.brief);
            rod.both_ends(at, MarkKind::BraceScrew);
        }
        Member {
            letter: String::new(),
            part: Part::Brace,
            count: self.bracing.braces.value,
            as_sawn: length.clone(),
            length,
            short_edge: Some(short),
            ends: Ends::Mitred,
            marks: rod.marks(),
        }
    }
}

/// Collects marks, merges what falls on one place, and keeps them in order.
struct Rod {
    length: Length,
    raw: Vec<(Length, MarkKind)>,
}

impl Rod {
    fn new(length: Length) -> Self {
        Self {
            length,
            raw: alloc::vec![(Length::ZERO, MarkKind::End), (length, MarkKind::End)],
        }
    }

    fn put(&mut self, at: Length, kind: MarkKind) {
        // Marks beyond the member would not be on the rod; a short member may have none of a kind.
        if at >= Length::ZERO && at <= self.length {
            self.raw.push((at, kind));
        }
    }

    fn both_ends(&mut self, from_end: Length, kind: MarkKind) {
        self.put(from_end, kind);
        self.put(self.length - from_end, kind);
    }

    fn housing(&mut self, middle: Length, width: Length) {
        let from = middle - width.half();
        self.put(from, MarkKind::HousingFrom);
        self.put(middle, MarkKind::HousingMiddle);
        self.put(from + width, MarkKind::HousingTo);
    }

    fn marks(mut self) -> Vec<Mark> {
        sort(&mut self.raw);
        self.raw.dedup();
        let mut marks: Vec<Mark> = Vec::new();
        for (at, kind) in self.raw {
            match marks.last_mut() {
                Some(m) if m.at == at => m.what.push(kind),
                _ => marks.push(Mark {
                    at,
                    what: alloc::vec![kind],
                }),
            }
        }
        marks
    }
}

/// How far the sides lean when the diagonals differ: the whole answer for one pair of readings.
///
/// ```
/// use planner::frame::lean;
/// use planner::Show;
/// use quantity::Length;
/// // 1200 × 800, diagonals 3.328 mm apart: 3.328 × 1442.22 / (2 × 1200) = 2.00 mm
/// let d = lean(Length::from_mm(1200), Length::from_mm(800), Length::from_mm_f64(3.328));
/// assert_eq!(Show::default().length(d), "2 mm");
/// ```
#[must_use]
pub fn lean(width: Length, height: Length, difference: Length) -> Length {
    let diagonal = width.hypot(height);
    if width <= Length::ZERO {
        return Length::ZERO;
    }
    difference.abs().scale(diagonal / width / 2.0)
}

/// A size in words, such as `1000 × 800 mm`.
#[must_use]
pub fn size_words(show: Show, width: Length, height: Length) -> String {
    alloc::format!(
        "{} × {}",
        show.bare_length(width, quantity::Rounding::Nearest),
        show.length(height)
    )
}
