//! What a canvas weighs, what its fixings carry, and the tray frame around it.

use quantity::Length;
use quantity::physics::{Angle, Area, ArealMass, Density, Force, Mass, Ratio, Volume};
use serde::Serialize;

use crate::bracing::Bracing;
use crate::brief::{Bead, Brief, Corner, HangBy, Housing, YesNo};
use crate::cloth::Blank;
use crate::fault::{Fault, FaultKind};
use crate::figure::{Figure, Given, Input, Value};
use crate::formulas as f;
use crate::frame::{Ends, Frame};
use crate::plan::CanvasPlan;

/// Standard gravity in m/s² (CGPM 1901, from memory).
const GRAVITY: f64 = 9.806_65;
/// Wire wound round each ring (common practice, no source).
const WIRE_TAIL: Length = Length::from_mm(150);
/// How far below the top edge the hook must stay so that it does not show (our choice).
const HOOK_HIDDEN: Length = Length::from_mm(15);
/// Glue, screws, pins and staples as a share of the wood (our choice).
const FIXINGS_SHARE: f64 = 0.03;

/// Weight of a mass.
///
/// ```
/// use planner::hanging::weight;
/// use quantity::physics::Mass;
/// assert!((weight(Mass::from_kg(2.0)).to_newtons() - 19.6133).abs() < 1e-9);
/// ```
#[must_use]
pub fn weight(mass: Mass) -> Force {
    Force::from_newtons(mass.to_kg() * GRAVITY)
}

/// Pull in a wire over one hook in the middle: W / (2 sin θ), θ from the horizontal. A level wire
/// would need an endless pull.
#[must_use]
pub fn wire_tension(weight: Force, angle: Angle) -> Force {
    weight / (2.0 * libm::sin(angle.to_rad()))
}

/// How hard the wire draws the two side bars together: W / (2 tan θ).
#[must_use]
pub fn inward_pull(weight: Force, angle: Angle) -> Force {
    weight / (2.0 * libm::tan(angle.to_rad()))
}

/// Angle from the horizontal of a wire between two rings, drawn up by a hook in the middle; none
/// if the wire is no longer than the way between the rings.
#[must_use]
pub fn wire_angle(between_rings: Length, wire: Length) -> Option<Angle> {
    (wire > between_rings && between_rings > Length::ZERO)
        .then(|| Angle::from_rad(libm::acos(between_rings / wire)))
}

/// Wire from ring to ring for an angle.
#[must_use]
pub fn wire_length(between_rings: Length, angle: Angle) -> Length {
    between_rings.scale(1.0 / libm::cos(angle.to_rad()))
}

/// How a canvas hangs and what that asks of wire, rings and hooks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hanging {
    /// Volume of the wood, laps counted once.
    pub wood_volume: Figure<Volume>,
    /// Mass of the wood.
    pub wood: Figure<Mass>,
    /// Mass of the bead.
    pub bead: Option<Figure<Mass>>,
    /// Mass of the cloth that stays.
    pub cloth: Figure<Mass>,
    /// Mass of dry size, ground and paint.
    pub coats: Figure<Mass>,
    /// Mass of the canvas.
    pub mass: Figure<Mass>,
    /// Its weight.
    pub weight: Figure<Force>,
    /// Rings, from the top edge down.
    pub ring_down: Figure<Length>,
    /// Rings, from the outer edge in.
    pub ring_in: Figure<Length>,
    /// What each ring and its screws must be good for.
    pub ring_load: Figure<Force>,
    /// What the hook or hooks in the wall must be good for, together.
    pub hook_load: Figure<Force>,
    /// The wire, where there is one.
    pub wire: Option<Wire>,
}

/// A wire between two rings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wire {
    /// Angle from the horizontal as it hangs.
    pub angle: Figure<Angle>,
    /// Length to cut, with what is wound round the rings.
    pub cut: Figure<Length>,
    /// Pull in it.
    pub tension: Figure<Force>,
    /// What it must be rated for.
    pub rating: Figure<Force>,
    /// How hard it draws the side bars together.
    pub inward: Figure<Force>,
    /// The hook's place below the top edge; negative if it would show above.
    pub hook_down: Figure<Length>,
    /// Whether hook and wire stay hidden behind the canvas.
    pub hidden: bool,
}

/// Dry things on the cloth, by area.
pub(crate) struct Coats {
    pub(crate) size: Option<Figure<ArealMass>>,
    pub(crate) ground: Option<Figure<ArealMass>>,
}

/// Weight and hanging of one canvas; `moisture` is that of the studio.
pub(crate) fn hanging(
    brief: &Brief,
    frame: &Frame,
    bracing: &Bracing,
    blank: &Blank,
    area: &Figure<Area>,
    coats: &Coats,
    moisture: &Figure<Ratio>,
) -> Hanging {
    let density = density(brief, moisture);
    let wood_volume = wood_volume(brief, frame, bracing);
    let wood = Figure::new(
        Mass::from_kg(wood_volume.value.to_m3() * density.value.to_kg_per_m3()),
        &f::WOOD_MASS,
        alloc::vec![
            wood_volume.input("volume of wood"),
            density.input("density")
        ],
    );
    let bead = bead_mass(brief, frame, &density);
    let coats = coats_mass(brief, area, coats);
    let fixings = wood.value * FIXINGS_SHARE;
    let mut inputs = alloc::vec![wood.input("wood")];
    inputs.extend(bead.iter().map(|b| b.input("bead")));
    inputs.extend([
        blank.mass.input("cloth"),
        coats.input("size, ground and paint"),
        Input::constant("glue, screws, pins and staples", fixings),
    ]);
    let mass = Figure::new(
        wood.value
            + bead.as_ref().map_or(Mass::ZERO, |b| b.value)
            + blank.mass.value
            + coats.value
            + fixings,
        &f::CANVAS_MASS,
        inputs,
    );
    let weight = Figure::new(
        weight(mass.value),
        &f::WEIGHT,
        alloc::vec![
            mass.input("mass"),
            Input::constant("standard gravity, m/s²", GRAVITY)
        ],
    );
    let ring_down = Figure::new(
        frame
            .outer_height
            .value
            .scale(brief.ring_down.value.to_ratio()),
        &f::RING_DOWN,
        alloc::vec![
            frame.outer_height.input("outer height"),
            brief.ring_down.input()
        ],
    );
    let ring_in = Figure::new(
        frame.face.half(),
        &f::RING_IN,
        alloc::vec![brief.bar_face.input()],
    );
    let safety = brief.safety.value;
    let wire =
        (brief.hang_by.value == HangBy::Wire).then(|| wire(brief, frame, &weight, &ring_down));
    let ring_load = match &wire {
        Some(w) => Figure::new(
            w.tension.value * safety,
            &f::RING_LOAD_WIRE,
            alloc::vec![w.tension.input("pull in the wire"), brief.safety.input()],
        ),
        None => Figure::new(
            weight.value * (safety / 2.0),
            &f::RING_LOAD,
            alloc::vec![weight.input("weight"), brief.safety.input()],
        ),
    };
    Hanging {
        hook_load: Figure::new(
            weight.value * safety,
            &f::HOOK_LOAD,
            alloc::vec![weight.input("weight"), brief.safety.input()],
        ),
        cloth: blank.mass.clone(),
        wood_volume,
        wood,
        bead,
        coats,
        mass,
        weight,
        ring_down,
        ring_in,
        ring_load,
        wire,
    }
}

fn density(brief: &Brief, moisture: &Figure<Ratio>) -> Figure<Density> {
    match &brief.wood_density {
        Some(d) => Figure::new(d.value, &f::AS_SET, alloc::vec![d.input()]),
        None => Figure::new(
            brief.species.value.density(moisture.value),
            &f::WOOD_DENSITY,
            alloc::vec![
                brief
                    .species
                    .input_as(Value::Text(brief.species.value.name.into())),
                Input::constant(
                    "specific gravity at 12 %",
                    brief.species.value.specific_gravity
                ),
                moisture.input("moisture in the studio"),
            ],
        ),
    }
}

/// Wood of all members; where two cross, each has given up half its depth, so that place counts
/// once.
fn wood_volume(brief: &Brief, frame: &Frame, bracing: &Bracing) -> Figure<Volume> {
    let (face, depth) = (frame.face.to_m(), frame.depth.to_m());
    let members: f64 = frame
        .members
        .iter()
        .map(|m| {
            let long = m.length.value.to_m();
            let mean = match (m.ends, &m.short_edge) {
                (Ends::Mitred, Some(short)) => f64::midpoint(long, short.value.to_m()),
                _ => long,
            };
            f64::from(m.count) * mean * face * depth
        })
        .sum();
    let (upright, level) = (
        f64::from(bracing.upright.value),
        f64::from(bracing.level.value),
    );
    let reach = match brief.housing.value {
        Housing::Through => face,
        Housing::Stopped => (face - brief.stop_short.value.to_m()).max(0.0),
    };
    let corners = match brief.corner.value {
        Corner::Mitre => 0.0,
        Corner::MitreLap | Corner::SquareLap => 4.0 * face * face,
    };
    let crossings = upright * level * face * face + 2.0 * (upright + level) * face * reach;
    let volume = members - (corners + crossings) * depth;
    Figure::new(
        Volume::from_m3(volume.max(0.0)),
        &f::WOOD_VOLUME,
        alloc::vec![
            frame.outer_width.input("outer width"),
            frame.outer_height.input("outer height"),
            brief.bar_face.input(),
            brief.bar_depth.input(),
            bracing.upright.input("upright cross bars"),
            bracing.level.input("level cross bars"),
            bracing.braces.input("braces"),
        ],
    )
}

fn bead_mass(brief: &Brief, frame: &Frame, density: &Figure<Density>) -> Option<Figure<Mass>> {
    if brief.bead.value != Bead::QuarterRound {
        return None;
    }
    // A quarter of a circle, mitred: its middle line is about one radius shorter at each side
    // than its outer edge (exactly 8/3π of it; the difference is grams).
    let radius = brief.bead_size.value.to_m();
    let around = 2.0 * (frame.outer_width.value + frame.outer_height.value).to_m() - 4.0 * radius;
    let volume = core::f64::consts::FRAC_PI_4 * radius * radius * around.max(0.0);
    Some(Figure::new(
        Mass::from_kg(volume * density.value.to_kg_per_m3()),
        &f::BEAD_MASS,
        alloc::vec![
            frame.outer_width.input("outer width"),
            frame.outer_height.input("outer height"),
            brief.bead_size.input(),
            density.input("density"),
        ],
    ))
}

fn coats_mass(brief: &Brief, area: &Figure<Area>, coats: &Coats) -> Figure<Mass> {
    let mut by_area = brief.paint_mass.value;
    let mut inputs = alloc::vec![area.input("front and edges"), brief.paint_mass.input()];
    for (dry, name) in [(&coats.size, "dry size"), (&coats.ground, "dry ground")] {
        if let Some(dry) = dry {
            by_area += dry.value;
            inputs.push(dry.input(name));
        }
    }
    Figure::new(
        Mass::from_kg(area.value.to_m2() * by_area.to_kg_per_m2()),
        &f::COATS_MASS,
        inputs,
    )
}

/// From ring to ring, each on the middle of its side bar.
fn between_rings(frame: &Frame) -> Length {
    frame.outer_width.value - frame.face
}

/// The fault of a typed wire that does not reach from ring to ring of the widest of the canvases.
pub(crate) fn too_short_a_wire(brief: &Brief, canvases: &[CanvasPlan]) -> Option<Fault> {
    let wire = (brief.wire_length.as_ref()).filter(|_| brief.hang_by.value == HangBy::Wire)?;
    let frames = canvases.iter().filter_map(|c| Some((c, c.frame.as_ref()?)));
    let (widest, frame) = frames.max_by_key(|(_, frame)| between_rings(frame))?;
    let between = between_rings(frame);
    let length = |x| brief.show.length(x);
    (wire.value <= between && !wire.is_waiting()).then(|| Fault {
        at: wire.field,
        kind: FaultKind::Conflict {
            what: alloc::format!(
                "A wire of {} does not reach from ring to ring of {}, {} apart.",
                length(wire.value),
                widest.name,
                length(between)
            ),
            remedy: alloc::format!(
                "Make it longer than {}, or leave it empty for the angle.",
                length(between)
            ),
        },
    })
}

fn wire(brief: &Brief, frame: &Frame, weight: &Figure<Force>, ring_down: &Figure<Length>) -> Wire {
    let between = between_rings(frame);
    let between_input = || Input::constant("from ring to ring", between);
    let typed = |w: &Given<Length>| match wire_angle(between, w.value) {
        Some(angle) => Figure::new(
            angle,
            &f::WIRE_ANGLE,
            alloc::vec![between_input(), w.input()],
        ),
        // Too short to reach: the set angle stands in, and what rests on it waits.
        None => {
            let mut short = w.input();
            short.waiting.push(w.field);
            Figure::new(
                brief.wire_angle.value,
                &f::AS_SET,
                alloc::vec![brief.wire_angle.input(), short],
            )
        }
    };
    let angle = brief.wire_length.as_ref().map_or_else(
        || {
            Figure::new(
                brief.wire_angle.value,
                &f::AS_SET,
                alloc::vec![brief.wire_angle.input()],
            )
        },
        typed,
    );
    let length = wire_length(between, angle.value);
    let cut = Figure::new(
        length + WIRE_TAIL * 2,
        &f::WIRE_CUT,
        alloc::vec![
            between_input(),
            angle.input("angle"),
            Input::constant("wound round each ring", WIRE_TAIL)
        ],
    );
    let tension = Figure::new(
        wire_tension(weight.value, angle.value),
        &f::WIRE_TENSION,
        alloc::vec![weight.input("weight"), angle.input("angle")],
    );
    let rises = between.half().scale(libm::tan(angle.value.to_rad()));
    let hook_down = Figure::new(
        ring_down.value - rises,
        &f::HOOK_DOWN,
        alloc::vec![
            ring_down.input("rings below the top"),
            between_input(),
            angle.input("angle")
        ],
    );
    Wire {
        rating: Figure::new(
            tension.value * brief.safety.value,
            &f::WIRE_RATING,
            alloc::vec![tension.input("pull in the wire"), brief.safety.input()],
        ),
        inward: Figure::new(
            inward_pull(weight.value, angle.value),
            &f::INWARD_PULL,
            alloc::vec![weight.input("weight"), angle.input("angle")],
        ),
        hidden: hook_down.value >= HOOK_HIDDEN,
        hook_down,
        cut,
        tension,
        angle,
    }
}

/// A tray frame: the canvas lies in it with a gap all round, its front a little below the edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tray {
    /// Inside width.
    pub inside_width: Figure<Length>,
    /// Inside height.
    pub inside_height: Figure<Length>,
    /// Outside width.
    pub outside_width: Figure<Length>,
    /// Outside height.
    pub outside_height: Figure<Length>,
    /// Depth inside, from the base to the front edge.
    pub inside_depth: Figure<Length>,
    /// Depth of the wall, base included.
    pub outside_depth: Figure<Length>,
    /// Wall moulding for one tray, long edges of four mitred pieces.
    pub wood: Figure<Length>,
}

/// The tray frame of a canvas, where one is wanted.
pub(crate) fn tray(brief: &Brief, frame: &Frame) -> Option<Tray> {
    if brief.tray.value == YesNo::No {
        return None;
    }
    let inside = |side: &Figure<Length>| {
        // The cloth is folded once at the corners and lies on both edges.
        Figure::new(
            side.value + brief.tray_gap.value * 2,
            &f::TRAY_INSIDE,
            alloc::vec![side.input("finished side"), brief.tray_gap.input()],
        )
    };
    let outside = |side: &Figure<Length>| {
        Figure::new(
            side.value + brief.tray_wall.value * 2,
            &f::TRAY_OUTSIDE,
            alloc::vec![side.input("inside"), brief.tray_wall.input()],
        )
    };
    let (inside_width, inside_height) = (
        inside(&frame.finished_width),
        inside(&frame.finished_height),
    );
    let (outside_width, outside_height) = (outside(&inside_width), outside(&inside_height));
    let rise = crate::cloth::rise(brief);
    let inside_depth = Figure::new(
        frame.depth + rise + brief.cloth_thickness.value * 2 + brief.tray_reveal.value,
        &f::TRAY_DEPTH,
        alloc::vec![
            brief.bar_depth.input(),
            brief.bead_size.input_as(rise),
            brief.cloth_thickness.input(),
            brief.tray_reveal.input()
        ],
    );
    Some(Tray {
        outside_depth: Figure::new(
            inside_depth.value + brief.tray_base.value,
            &f::TRAY_OUTSIDE_DEPTH,
            alloc::vec![inside_depth.input("inside depth"), brief.tray_base.input()],
        ),
        wood: Figure::new(
            (outside_width.value + outside_height.value) * 2,
            &f::TRAY_WOOD,
            alloc::vec![
                outside_width.input("outside width"),
                outside_height.input("outside height")
            ],
        ),
        inside_width,
        inside_height,
        outside_width,
        outside_height,
        inside_depth,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wire_and_angle_are_each_others_inverse() {
        let span = Length::from_mm(800);
        for degrees in [5.0, 20.0, 45.0, 60.0] {
            let wire = wire_length(span, Angle::from_degrees(degrees));
            let back = wire_angle(span, wire).unwrap();
            assert!((back.to_degrees() - degrees).abs() < 1e-5);
        }
        assert_eq!(wire_angle(span, span), None);
        assert_eq!(wire_angle(span, Length::ZERO), None);
    }
}
