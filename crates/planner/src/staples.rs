//! Staples: how many and where.

use alloc::vec::Vec;

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
}

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
    Staples {
        top_bottom,
        sides,
        staying,
        temporary,
        total,
    }
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
