//! Staples: how many and where.

use alloc::vec::Vec;
use quantity::order::sort_by;

use quantity::Length;
use serde::Serialize;

use crate::brief::Brief;
use crate::figure::{Figure, Input};
use crate::formulas as f;

/// Staples along one side of a frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StapleSide {
    /// How many stay.
    pub count: Figure<u64>,
    /// Distance between neighbours.
    pub spacing: Length,
    /// Each place from the left (lower) corner of the frame, symmetrical about the middle.
    pub at: Vec<Length>,
}

/// Staples of one frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Staples {
    /// Along the top, and the same along the bottom.
    pub top_bottom: StapleSide,
    /// Along each of the two upright sides.
    pub sides: StapleSide,
    /// Those that stay in one frame.
    pub staying: Figure<u64>,
    /// Temporary ones at the corners.
    pub temporary: Figure<u64>,
    /// With temporary ones and spares.
    pub total: Figure<u64>,
    /// The order in which they go in.
    pub order: Vec<StapleStep>,
}

/// One go with the stapler: what is done without putting the pliers elsewhere.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StapleStep {
    /// What is done.
    pub work: StapleWork,
    /// Where the staples go in, in this order.
    pub places: Vec<StaplePlace>,
}

/// A kind of stapling step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StapleWork {
    /// The middle of a side, against the middle of the side across.
    Middle,
    /// Temporary staples that hold the corners of the cloth; they are drawn again.
    HoldCorners,
    /// A few inches further from the middle, both ways.
    Outward,
    /// A corner: its temporary staples are drawn, the cloth is folded and stapled.
    Corner,
}

impl StapleWork {
    /// What to do, for people.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Middle => "Staple the middle of a side",
            Self::HoldCorners => "Hold each corner with a temporary staple",
            Self::Outward => "Pull and staple a few inches further, both ways from the middle",
            Self::Corner => {
                "Corner: draw the temporary staple, fold the cloth, staple beside the fold"
            }
        }
    }
}

/// Where a staple goes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StaplePlace {
    /// Which side of the frame, seen from the back.
    pub edge: Edge,
    /// From the left (lower) corner of the frame; zero or the whole side at a corner.
    pub at: Length,
}

/// A side of the frame, seen from the back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// Top.
    Top,
    /// Bottom.
    Bottom,
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Edge {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Bottom => "bottom",
            Self::Left => "left side",
            Self::Right => "right side",
        }
    }
}

/// How far one go reaches along a side, each way: a few inches, 3 in (common practice, no
/// source).
const REACH: Length = Length::from_nm(3 * Length::INCH.as_nm());

/// Staples of a frame with these outer sides.
pub(crate) fn staples(brief: &Brief, width: &Figure<Length>, height: &Figure<Length>) -> Staples {
    let top_bottom = side(brief, width);
    let sides = side(brief, height);
    let staying = Figure::new(
        2 * (top_bottom.count.value + sides.count.value),
        &f::STAPLES_STAYING,
        alloc::vec![
            top_bottom.count.input("staples along the top"),
            sides.count.input("staples up a side")
        ],
    );
    let temporary = Figure::new(
        4 * u64::from(brief.corner_staples.value),
        &f::STAPLES_TEMPORARY,
        alloc::vec![brief.corner_staples.input()],
    );
    let total = with_spare(
        brief,
        staying.value + temporary.value,
        alloc::vec![staying.input("staying"), temporary.input("temporary"),],
    );
    let order = order(
        (&top_bottom.at, width.value),
        (&sides.at, height.value),
        brief.corner_staples.value,
    );
    Staples {
        top_bottom,
        sides,
        staying,
        temporary,
        total,
        order,
    }
}

/// The stapling order: middles, corners held, outward by a few inches with each side followed by
/// the one across from it, corners last. The longer sides begin. Common practice, no source.
///
/// The outermost staple at each end of a side belongs to the corner; a side of two staples or
/// fewer has all of them in its middle.
fn order(
    (across, width): (&[Length], Length),
    (up, height): (&[Length], Length),
    held: u32,
) -> Vec<StapleStep> {
    let level = [(Edge::Top, across, width), (Edge::Bottom, across, width)];
    let upright = [(Edge::Left, up, height), (Edge::Right, up, height)];
    let sides = if width >= height {
        [level, upright].concat()
    } else {
        [upright, level].concat()
    };
    let mut steps = Vec::new();
    let mut step = |work, places: Vec<StaplePlace>| {
        if !places.is_empty() {
            steps.push(StapleStep { work, places });
        }
    };
    let mut most_goes = 0;
    for (edge, at, side) in &sides {
        let all = outward(at, *side);
        step(StapleWork::Middle, places(*edge, &all, 0));
        most_goes = most_goes.max(all.iter().map(|(go, _)| *go).max().unwrap_or(0));
    }
    let corners = [Edge::Top, Edge::Bottom].map(|edge| [(edge, Length::ZERO), (edge, width)]);
    let corner = |(edge, at)| StaplePlace { edge, at };
    // Diagonally across, so that the pull stays even.
    let diagonal = [corners[0][0], corners[1][1], corners[0][1], corners[1][0]];
    step(
        StapleWork::HoldCorners,
        diagonal
            .iter()
            .flat_map(|c| core::iter::repeat_n(corner(*c), held as usize))
            .collect(),
    );
    for go in 1..=most_goes {
        for (edge, at, side) in &sides {
            step(StapleWork::Outward, places(*edge, &outward(at, *side), go));
        }
    }
    for (level, at) in diagonal {
        let upright = if at == Length::ZERO {
            Edge::Left
        } else {
            Edge::Right
        };
        // Marks of the upright sides run from the lower corner.
        let top = level == Edge::Top;
        let mut places = Vec::new();
        for (edge, all, is_last) in [(level, across, at != Length::ZERO), (upright, up, top)] {
            if all.len() > 2 {
                let end = if is_last { all.last() } else { all.first() };
                places.extend(end.map(|at| StaplePlace { edge, at: *at }));
            }
        }
        step(StapleWork::Corner, places);
    }
    steps
}

/// The staples of a side without those of the corners, each with the go in which it is reached:
/// 0 for the one or two in the middle; from the middle outward, left and right in turn.
fn outward(at: &[Length], side: Length) -> Vec<(i64, Length)> {
    let from_middle = |x: &Length| (*x - side.half()).abs();
    let inner = match at {
        [_, inner @ .., _] if !inner.is_empty() => inner,
        few => few,
    };
    let mut all: Vec<Length> = inner.to_vec();
    let place = |x: &Length| {
        (
            from_middle(x).round_to(Length::MM, quantity::Rounding::Nearest),
            *x,
        )
    };
    sort_by(&mut all, |a, b| place(a) < place(b));
    let nearest = all.first().map_or(Length::ZERO, from_middle);
    all.into_iter()
        .map(|x| {
            let beyond = from_middle(&x) - nearest;
            // A nanometre of rounding between the two halves is no way further out.
            let go = if beyond < Length::MM {
                0
            } else {
                1 + (beyond.as_nm() - 1).div_euclid(REACH.as_nm())
            };
            (go, x)
        })
        .collect()
}

fn places(edge: Edge, all: &[(i64, Length)], go: i64) -> Vec<StaplePlace> {
    all.iter()
        .filter(|(g, _)| *g == go)
        .map(|(_, at)| StaplePlace { edge, at: *at })
        .collect()
}

/// A number of staples with the spare allowance, rounded up.
pub(crate) fn with_spare(brief: &Brief, n: u64, mut inputs: Vec<Input>) -> Figure<u64> {
    inputs.push(brief.staple_spare.input());
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count far below 2^53"
    )]
    let total = libm::ceil(n as f64 * (1.0 + brief.staple_spare.value.to_ratio()) - 1e-9) as u64;
    Figure::new(total, &f::STAPLES_TOTAL, inputs)
}

fn side(brief: &Brief, side: &Figure<Length>) -> StapleSide {
    let clear = brief.corner_clearance.value;
    let span = side.value - clear * 2;
    let inputs = alloc::vec![
        side.input("side"),
        brief.corner_clearance.input(),
        brief.staple_spacing.input()
    ];
    if span <= Length::ZERO {
        // Too short for the clearance: one in the middle.
        return StapleSide {
            count: Figure::new(1, &f::STAPLES_SIDE, inputs),
            spacing: Length::ZERO,
            at: alloc::vec![side.value.half()],
        };
    }
    let widest = brief.staple_spacing.value.as_nm().max(1);
    let bays = span.as_nm().div_euclid(widest) + i64::from(span.as_nm().rem_euclid(widest) > 0);
    let at: Vec<Length> = (0..=bays)
        .map(|i| clear + Length::from_nm(span.as_nm() * i / bays))
        .collect();
    StapleSide {
        count: Figure::new(at.len() as u64, &f::STAPLES_SIDE, inputs),
        spacing: Length::from_nm(span.as_nm() / bays),
        at,
    }
}

#[cfg(test)]
mod tests {
    use alloc::vec::Vec;

    use super::*;
    use proptest::prelude::*;

    fn evenly(side: i64, n: i64) -> Vec<Length> {
        (0..n)
            .map(|i| {
                if n == 1 {
                    Length::from_mm(side).half()
                } else {
                    Length::from_mm(30) + Length::from_nm((side - 60) * 1_000_000 * i / (n - 1))
                }
            })
            .collect()
    }

    fn ordered(width: i64, height: i64, across: i64, up: i64) -> Vec<StapleStep> {
        order(
            (&evenly(width, across), Length::from_mm(width)),
            (&evenly(height, up), Length::from_mm(height)),
            1,
        )
    }

    #[test]
    fn middle_to_middle_then_corners_held_then_outward() {
        // Common practice, no source: the longer sides first, each against the one across.
        let steps = ordered(600, 400, 19, 13);
        let begins: Vec<(StapleWork, Edge, usize)> = steps
            .iter()
            .take(7)
            .map(|s| (s.work, s.places[0].edge, s.places.len()))
            .collect();
        assert_eq!(
            begins,
            [
                (StapleWork::Middle, Edge::Top, 1),
                (StapleWork::Middle, Edge::Bottom, 1),
                (StapleWork::Middle, Edge::Left, 1),
                (StapleWork::Middle, Edge::Right, 1),
                (StapleWork::HoldCorners, Edge::Top, 4),
                // 540 / 18 = 30 mm apart: two each way lie within 3 in (76 mm).
                (StapleWork::Outward, Edge::Top, 4),
                (StapleWork::Outward, Edge::Bottom, 4),
            ]
        );
        let last: Vec<StapleWork> = steps.iter().rev().take(4).map(|s| s.work).collect();
        assert_eq!(last, [StapleWork::Corner; 4]);
    }

    #[test]
    fn an_upright_canvas_begins_with_its_sides() {
        assert_eq!(ordered(400, 600, 13, 19)[0].places[0].edge, Edge::Left);
    }

    proptest! {
        #[test]
        fn each_staple_once_and_corners_last(
            width in 200i64..3000, height in 200i64..3000, across in 1i64..90, up in 1i64..90,
        ) {
            let steps = ordered(width, height, across, up);
            let mut placed: Vec<(u8, Length)> = steps
                .iter()
                .filter(|s| s.work != StapleWork::HoldCorners)
                .flat_map(|s| &s.places)
                .map(|p| (p.edge as u8, p.at))
                .collect();
            placed.sort_unstable();
            let mut wanted = Vec::new();
            for edge in [Edge::Top, Edge::Bottom] {
                wanted.extend(evenly(width, across).into_iter().map(|at| (edge as u8, at)));
            }
            for edge in [Edge::Left, Edge::Right] {
                wanted.extend(evenly(height, up).into_iter().map(|at| (edge as u8, at)));
            }
            wanted.sort_unstable();
            prop_assert_eq!(placed, wanted);
            let first_corner = steps.iter().position(|s| s.work == StapleWork::Corner);
            if let Some(i) = first_corner {
                prop_assert!(steps[i..].iter().all(|s| s.work == StapleWork::Corner));
            }
            // A go stays on one side, except where corners are concerned.
            for step in &steps {
                prop_assert!(step.places.iter().all(|p| p.edge == step.places[0].edge)
                    || matches!(step.work, StapleWork::HoldCorners | StapleWork::Corner));
            }
        }
    }
}
