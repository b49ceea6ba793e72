//! Lower bounds on the length of a strip.

use quantity::{Length, Money};

use super::model::{Model, Score};

/// No strip of this width that holds all blanks is shorter, in units.
pub(super) fn strip(model: &Model, width: i64) -> i64 {
    let area: i128 = model
        .shapes
        .iter()
        .map(|s| s.size.area() * s.blanks.len() as i128)
        .sum();
    let w = i128::from(width.max(1));
    i64::try_from((area + w - 1) / w).unwrap_or(i64::MAX)
}

/// No plan has a better score than this.
pub(super) fn plan(model: &Model) -> Score {
    if let [only] = &model.strips[..] {
        return model.score(0, strip(model, only.width));
    }
    Score {
        missing: Length::ZERO,
        cost: Money::ZERO,
        length: Length::ZERO,
    }
}
