//! The bowed frame as points, for the drawing.

use alloc::vec::Vec;

use quantity::physics::Distance;
use serde::Serialize;
use serde::ser::{SerializeTuple, Serializer};

use super::model::{LEVEL, Moved, Outline, Quarter, UPRIGHT};
use crate::frame::Part;

/// Points on each stretch between two joints, enough for a smooth curve.
const A_STRETCH: u32 = 6;

/// The frame bowed by the cloth, each member as points along its middle line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BowedFrame {
    /// Bars first, then cross bars.
    pub members: Vec<BowedMember>,
    /// The farthest that any point moves.
    #[serde(serialize_with = "millimetres")]
    pub farthest: Distance,
}

/// One member.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BowedMember {
    /// Which part it is.
    pub part: Part,
    /// From left to right, or from the bottom up.
    pub points: Vec<BowedPoint>,
}

/// A point of a member, measured from the frame's outer lower left corner. In files: four
/// numbers in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BowedPoint {
    /// To the right, before.
    pub x: Distance,
    /// Up, before.
    pub y: Distance,
    /// How far it moves to the right.
    pub right: Distance,
    /// How far it moves up.
    pub up: Distance,
}

impl Serialize for BowedPoint {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut t = s.serialize_tuple(4)?;
        for x in [self.x, self.y, self.right, self.up] {
            t.serialize_element(&x.to_mm())?;
        }
        t.end()
    }
}

/// A spot of the frame, measured from its outer lower left corner. In files: millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spot {
    /// To the right.
    #[serde(serialize_with = "millimetres")]
    pub x: Distance,
    /// Up.
    #[serde(serialize_with = "millimetres")]
    pub y: Distance,
}

pub(crate) fn millimetres<S: Serializer>(x: &Distance, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(x.to_mm())
}

/// The whole frame from its quarter, under a pull.
pub(crate) fn bowed(outline: &Outline, quarter: &Quarter, pull: f64) -> BowedFrame {
    let whole = Whole { outline, pull };
    let mut members = Vec::new();
    for (direction, part) in [(LEVEL, Part::TopBottom), (UPRIGHT, Part::Side)] {
        let points = quarter.bar_points(direction, A_STRETCH);
        members.extend(whole.pair(direction, part, &points));
    }
    for (divided, part) in [(LEVEL, Part::Upright), (UPRIGHT, Part::Level)] {
        for (points, on_middle) in quarter.cross_points(divided, A_STRETCH) {
            let pair = whole.pair(1 - divided, part, &points);
            members.extend(pair.into_iter().take(if on_middle { 1 } else { 2 }));
        }
    }
    let farthest = members
        .iter()
        .flat_map(|m| &m.points)
        .map(|p| libm::hypot(p.right.to_m(), p.up.to_m()))
        .fold(0.0, f64::max);
    BowedFrame {
        members,
        farthest: Distance::from_m(farthest),
    }
}

struct Whole<'a> {
    outline: &'a Outline,
    pull: f64,
}

impl Whole<'_> {
    /// A half member of the quarter made whole, and its mirror image across the frame.
    fn pair(&self, direction: usize, part: Part, half: &[Moved]) -> [BowedMember; 2] {
        let along = |mirrored: bool| {
            let there = half.iter().map(|p| self.point(p, [false; 2]));
            let mut points: Vec<BowedPoint> = there.collect();
            let mut back = [false; 2];
            back[direction] = true;
            // The point on the middle line comes once.
            points.extend(half.iter().rev().skip(1).map(|p| self.point(p, back)));
            if mirrored {
                points
                    .iter_mut()
                    .for_each(|p| self.across(p, 1 - direction));
            }
            BowedMember { part, points }
        };
        [along(false), along(true)]
    }

    fn point(&self, p: &Moved, mirror: [bool; 2]) -> BowedPoint {
        let [x, y] = [0, 1].map(|i| self.outline.inset + p.place[i]);
        let mut point = BowedPoint {
            x: Distance::from_m(x),
            y: Distance::from_m(y),
            right: Distance::from_m(p.by[0] * self.pull),
            up: Distance::from_m(p.by[1] * self.pull),
        };
        for (i, _) in mirror.iter().enumerate().filter(|(_, m)| **m) {
            self.across(&mut point, i);
        }
        point
    }

    /// Mirrors a point across a middle line of the frame.
    fn across(&self, p: &mut BowedPoint, i: usize) {
        let side = Distance::from_m(self.outline.sides[i] + 2.0 * self.outline.inset);
        if i == 0 {
            (p.x, p.right) = (side - p.x, -p.right);
        } else {
            (p.y, p.up) = (side - p.y, -p.up);
        }
    }
}
