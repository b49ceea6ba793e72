//! Screws, panel pins and wood glue.

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Area, Mass};
use serde::Serialize;

use crate::brief::{Brief, Corner, Fixing, ScrewWay, YesNo};
use crate::figure::{Figure, Input, Value};
use crate::formulas as f;
use crate::frame::{Frame, MarkKind, Part};

/// Clearance kept between a screw's point and the far face (our choice).
const POINT_CLEAR: Length = Length::from_mm(3);

/// Fasteners and glue of one frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fasteners {
    /// Screws in one frame.
    pub screws: Figure<u64>,
    /// The longest screw that stays inside the wood at the corner, where the wood sets a limit.
    pub longest_screw: Option<Figure<Length>>,
    /// How much of the corner screw is in the second piece.
    pub screw_hold: Figure<Length>,
    /// Drill for the pilot hole.
    pub pilot: Figure<Length>,
    /// Panel pins in one frame.
    pub pins: Figure<u64>,
    /// The shortest pin that holds.
    pub shortest_pin: Figure<Length>,
    /// The longest pin that a little lean does not bring out of the face.
    pub longest_pin: Figure<Length>,
    /// Glued area of one frame.
    pub glue_area: Figure<Area>,
    /// Wood glue for one frame.
    pub wood_glue: Figure<Mass>,
}

/// Whether corners and cross-bar ends stay dry: keys can't open what is glued or screwed, and a
/// cross bar held in its housings would hold the frame shut.
pub(crate) fn is_dry(brief: &Brief) -> bool {
    brief.fixing.value == Fixing::Keyed
}

/// Whether corners and cross-bar ends are screwed.
pub(crate) fn is_screwed(brief: &Brief) -> bool {
    brief.screws.value == YesNo::Yes && !is_dry(brief)
}

/// Whether corners are pinned.
pub(crate) fn is_pinned(brief: &Brief) -> bool {
    brief.corner.value == Corner::Mitre && !is_dry(brief)
}

/// Where a brace's screw enters its long edge, from its tip, to run square to the bar: a face in,
/// so that it crosses the mitre at its middle, or nearer where less than 6 diameters of it would
/// be in the bar (our choice).
pub(crate) fn brace_screw_at(brief: &Brief) -> Length {
    let face = brief.bar_face.value;
    let passes = brief.screw_length.value - brief.screw_diameter.value * 6;
    face.min(passes.max(Length::ZERO).times_sqrt2())
        .max(Length::from_nm(face.as_nm() / 3))
}

/// Where a corner's screws and pins lie on a bar, from its end.
///
/// A mitre has its screw through the top and bottom bars: half a face from the heel when it runs
/// square to the edge (it crosses the mitre at its middle), a whole face when it runs square to
/// the mitre (so does that). Pins: one from each bar, a third and two thirds of the face from the
/// heel, so that they pass each other. A lap takes two screws, a quarter in from its corners.
/// Places are our choice.
pub(crate) fn corner_places(brief: &Brief, part: Part) -> Vec<(MarkKind, Length)> {
    let face = brief.bar_face.value;
    let mut places = Vec::new();
    let screws = is_screwed(brief);
    match (brief.corner.value, part) {
        (Corner::Mitre, Part::TopBottom) => {
            if screws {
                places.push((MarkKind::Screw, heel_screw_at(brief)));
            }
            if is_pinned(brief) {
                places.push((MarkKind::Pin, Length::from_nm(face.as_nm() / 3)));
            }
        }
        (Corner::Mitre, Part::Side) if is_pinned(brief) => {
            places.push((MarkKind::Pin, Length::from_nm(face.as_nm() * 2 / 3)))
        }
        (_, Part::TopBottom | Part::Side) if screws => {
            places.push((MarkKind::Screw, Length::from_nm(face.as_nm() / 4)));
            places.push((MarkKind::Screw, Length::from_nm(face.as_nm() * 3 / 4)));
        }
        _ => {}
    }
    places
}

fn heel_screw_at(brief: &Brief) -> Length {
    match brief.screw_way.value {
        ScrewWay::SquareToEdge => brief.bar_face.value.half(),
        ScrewWay::SquareToMitre => brief.bar_face.value,
    }
}

/// Fasteners and glue of a frame.
pub(crate) fn fasteners(brief: &Brief, frame: &Frame) -> Fasteners {
    let housings = count(frame, Part::Upright) * 2 + count(frame, Part::Level) * 2;
    let crossings = count(frame, Part::Upright) * count(frame, Part::Level);
    let braces = count(frame, Part::Brace);
    let mitre = brief.corner.value == Corner::Mitre;

    let a_corner = if mitre { 1_u64 } else { 2 };
    let a_corner = if is_dry(brief) { 0 } else { a_corner };
    let housed = if is_dry(brief) { 0 } else { housings };
    let screws = if brief.screws.value == YesNo::Yes {
        4 * a_corner + housed + 2 * braces
    } else {
        0
    };
    let screws = Figure::new(
        screws,
        &f::SCREW_COUNT,
        alloc::vec![
            Input::constant("screws a corner", a_corner),
            Input::constant("cross-bar ends screwed", housed),
            Input::constant("braces", braces),
        ],
    );
    let (longest_screw, hold) = corner_screw(brief, mitre);
    let pilot = Figure::new(
        brief.screw_diameter.value.scale(0.49),
        &f::PILOT,
        alloc::vec![brief.screw_diameter.input()],
    );

    let pins = Figure::new(
        if is_pinned(brief) { 8_u64 } else { 0 },
        &f::PINS,
        alloc::vec![Input::constant("corners", 4_u64), fixing_input(brief)],
    );
    // The pin from the side bar has the longer way to the mitre: two thirds of the face.
    let way = Length::from_nm(brief.bar_face.value.as_nm() * 2 / 3);
    let shortest_pin = Figure::new(
        way + brief.pin_diameter.value * 8,
        &f::PIN_SHORTEST,
        alloc::vec![brief.bar_face.input(), brief.pin_diameter.input()],
    );
    let longest_pin = Figure::new(
        Length::from_nm(brief.bar_depth.value.as_nm() / 4) * 12,
        &f::PIN_LONGEST,
        alloc::vec![brief.bar_depth.input()],
    );

    let glue_area = glue_area(brief, frame, housed, crossings, braces);
    let wood_glue = Figure::new(
        Mass::from_grams(glue_area.value.to_m2() * brief.wood_glue_spread.value.to_g_per_m2()),
        &f::WOOD_GLUE,
        alloc::vec![
            glue_area.input("glued area"),
            brief.wood_glue_spread.input()
        ],
    );
    Fasteners {
        screws,
        longest_screw,
        screw_hold: hold,
        pilot,
        pins,
        shortest_pin,
        longest_pin,
        glue_area,
        wood_glue,
    }
}

/// The longest corner screw, and how much of the chosen one sits in the second piece.
fn corner_screw(brief: &Brief, mitre: bool) -> (Option<Figure<Length>>, Figure<Length>) {
    let at = heel_screw_at(brief);
    let length = brief.screw_length.value;
    let hold = |in_first: Length, inside: Length| {
        Figure::new(
            (length.min(inside) - in_first).max(Length::ZERO),
            &f::SCREW_HOLD,
            alloc::vec![
                brief.screw_length.input(),
                Input::constant("wood passed first", in_first)
            ],
        )
    };
    match (mitre, brief.screw_way.value) {
        (true, ScrewWay::SquareToEdge) => (None, hold(at, length)),
        (true, ScrewWay::SquareToMitre) => {
            let through = at.times_sqrt2();
            let longest = Figure::new(
                (through - POINT_CLEAR).max(Length::ZERO),
                &f::HEEL_SCREW,
                alloc::vec![
                    Input::constant("from the heel", at),
                    Input::constant("kept clear", POINT_CLEAR)
                ],
            );
            (Some(longest), hold(through.half(), length))
        }
        (false, _) => {
            let depth = brief.bar_depth.value;
            let longest = Figure::new(
                (depth - POINT_CLEAR).max(Length::ZERO),
                &f::LAP_SCREW,
                alloc::vec![
                    brief.bar_depth.input(),
                    Input::constant("kept clear", POINT_CLEAR)
                ],
            );
            (Some(longest), hold(depth.half(), depth))
        }
    }
}

fn glue_area(
    brief: &Brief,
    frame: &Frame,
    housings: u64,
    crossings: u64,
    braces: u64,
) -> Figure<Area> {
    let (face, depth) = (frame.face.to_mm(), frame.depth.to_mm());
    let root2 = core::f64::consts::SQRT_2;
    let corner = match brief.corner.value {
        Corner::Mitre => face * root2 * depth,
        Corner::MitreLap => face * face / 2.0 + face * root2 * depth / 2.0,
        Corner::SquareLap => face * face,
    };
    let corners = if is_dry(brief) { 0_u64 } else { 4 };
    let total = corners as f64 * corner
        + (housings + crossings) as f64 * face * face
        + braces as f64 * 2.0 * face * root2 * depth;
    Figure::new(
        Area::from_mm2(total),
        &f::GLUE_AREA,
        alloc::vec![
            brief.bar_face.input(),
            brief.bar_depth.input(),
            Input::constant("glued corners", corners),
            Input::constant("glued housings", housings),
            Input::constant("crossings", crossings),
            Input::constant("braces", braces),
        ],
    )
}

fn fixing_input(brief: &Brief) -> Input {
    let words = if is_dry(brief) { "keyed" } else { "fixed" };
    brief.fixing.input_as(Value::Text(words.into()))
}

fn count(frame: &Frame, part: Part) -> u64 {
    frame
        .members
        .iter()
        .filter(|m| m.part == part)
        .map(|m| u64::from(m.count))
        .sum()
}
