//! Cross bars and corner braces: how many, and why.

use quantity::Length;
use serde::Serialize;

use crate::brief::{Braces, Brief, Canvas};
use crate::figure::{Figure, Given};
use crate::formulas as f;
use crate::frame::brace_room;

/// How a frame is braced.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bracing {
    /// Upright cross bars, which divide the width.
    pub upright: Figure<u32>,
    /// Level cross bars, which divide the height.
    pub level: Figure<u32>,
    /// Corner braces: none or four.
    pub braces: Figure<u32>,
}

/// Cross bars each way by the rule of thumb: none while the longer side is within the limit;
/// beyond it at least one each way, and one more for every further full limit in that side.
///
/// Common practice, no source (737 mm, 29 in).
#[must_use]
pub fn rule_of_thumb(width: Length, height: Length, limit: Length) -> [u32; 2] {
    if width.max(height) <= limit || limit <= Length::ZERO {
        return [0, 0];
    }
    [width, height].map(|side| {
        // ⌈side / limit⌉ − 1 bars leave no bay longer than the limit.
        let bays = side.as_nm().div_euclid(limit.as_nm())
            + i64::from(side.as_nm().rem_euclid(limit.as_nm()) > 0);
        u32::try_from((bays - 1).clamp(1, 6)).unwrap_or(1)
    })
}

/// Bracing of a canvas: what the maker says, else the rule.
pub(crate) fn bracing(
    brief: &Brief,
    canvas: &Canvas,
    width: &Figure<Length>,
    height: &Figure<Length>,
) -> Bracing {
    let [upright, level] = rule_of_thumb(width.value, height.value, brief.plain_limit.value);
    let by_rule = |n: u32, said: &Option<Given<u32>>| match said {
        Some(g) => Figure::new(g.value, &f::MAKER_SAYS, alloc::vec![g.input()]),
        None => Figure::new(
            n,
            &f::CROSS_BAR_RULE,
            alloc::vec![
                width.input("outer width"),
                height.input("outer height"),
                brief.plain_limit.input()
            ],
        ),
    };
    let upright = by_rule(upright, &canvas.upright_bars);
    let level = by_rule(level, &canvas.level_bars);
    let any = upright.value + level.value > 0;
    let room = brace_room(
        [width.value, height.value],
        brief.bar_face.value,
        [upright.value, level.value],
    ) >= brief.brace_leg.value;
    let (fitted, said) = match (canvas.braces.value, brief.braces.value) {
        (Braces::Yes, _) | (Braces::Auto, Braces::Yes) => (true, true),
        (Braces::No, _) | (Braces::Auto, Braces::No) => (false, true),
        (Braces::Auto, Braces::Auto) => (any && room, false),
    };
    let braces = Figure::new(
        if fitted { 4 } else { 0 },
        if said {
            &f::MAKER_SAYS
        } else {
            &f::BRACES_RULE
        },
        alloc::vec![
            upright.input("upright cross bars"),
            level.input("level cross bars")
        ],
    );
    Bracing {
        upright,
        level,
        braces,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn rule(w: i64, h: i64, expect: [u32; 2]) {
        let limit = Length::from_mm(737);
        assert_eq!(
            rule_of_thumb(Length::from_mm(w), Length::from_mm(h), limit),
            expect,
            "{w} × {h}"
        );
    }

    #[test]
    fn the_rule_at_its_edges() {
        // Common practice, no source: 737 mm (29 in) without cross bars.
        rule(737, 500, [0, 0]);
        rule(738, 500, [1, 1]);
        rule(1000, 800, [1, 1]);
        rule(1474, 800, [1, 1]);
        rule(1475, 800, [2, 1]);
        rule(2400, 1800, [3, 2]);
    }
}
