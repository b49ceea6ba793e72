//! How large a frame can be in the batten and cloth at hand: with no, one and two cross bars, and
//! how its bow grows with its side.

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::Distance;
use serde::Serialize;
use statics::End;

use super::checks::{CheckKind, Setting, governing};
use super::model::{LEVEL, Layout, Quarter, UPRIGHT};
use super::{Basis, setting};
use crate::brief::{Braces, Brief};
use crate::figure::{Figure, Input};
use crate::formulas as f;
use crate::frame::{Part, brace_room};

/// Longest side that is looked at: the form's own limit.
const LONGEST: Length = Length::from_mm(6000);
/// Shortest: the form's own limit.
const SHORTEST: Length = Length::from_mm(100);
/// The longest side is found to within this (our choice: finer than anyone sets out a size).
const FINE: Length = Length::from_mm(2);
/// Points of the curve.
const POINTS: i64 = 24;

/// How large a frame can be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Largest {
    /// The canvas whose proportion is kept: its place in the plan.
    pub canvas: usize,
    /// Longer side over shorter side.
    pub proportion: Figure<f64>,
    /// With no, one and two cross bars.
    pub sides: Vec<LargestSide>,
    /// Bow of the longer bars without cross bars, against the longer side.
    pub curve: Vec<CurvePoint>,
    /// The longer side of the canvas itself.
    pub side: Length,
    /// The rule of thumb's longest side without cross bars.
    pub rule: Figure<Length>,
}

/// The longest side that passes with so many cross bars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LargestSide {
    /// Cross bars.
    pub cross_bars: u32,
    /// The longer side; none where not even the smallest frame passes.
    pub longest: Option<Figure<Length>>,
    /// The longer side that would pass on bow in the plane alone.
    pub by_bow: Option<Figure<Length>>,
    /// The check that stops it there; none where the form's limit does.
    pub stopped_by: Option<CheckKind>,
    /// On which part.
    pub part: Option<Part>,
}

/// A point of the curve. In files: millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Longer side.
    pub side: Length,
    /// Bow under the stretched cloth for good, hinged corners.
    #[serde(serialize_with = "super::shape::millimetres")]
    pub stretched: Distance,
    /// Bow in the hardest case, hinged corners.
    #[serde(serialize_with = "super::shape::millimetres")]
    pub hinged: Distance,
    /// Bow in the hardest case, rigid corners.
    #[serde(serialize_with = "super::shape::millimetres")]
    pub rigid: Distance,
    /// What is allowed.
    #[serde(serialize_with = "super::shape::millimetres")]
    pub limit: Distance,
}

/// How large a frame of this proportion can be.
pub(crate) fn largest(
    brief: &Brief,
    basis: &Basis,
    canvas: usize,
    [width, height]: [&Figure<Length>; 2],
) -> Option<Largest> {
    let long = if width.value >= height.value {
        width
    } else {
        height
    };
    let short = if width.value >= height.value {
        height
    } else {
        width
    };
    if short.value <= Length::ZERO {
        return None;
    }
    let proportion = Figure::new(
        long.value / short.value,
        &f::PROPORTION,
        alloc::vec![long.input("longer side"), short.input("shorter side")],
    );
    let growing = Growing {
        brief,
        basis,
        proportion: proportion.value,
        pull: basis.pull.hardest().1.value.to_n_per_m(),
    };
    let sides: Vec<LargestSide> = (0..=2).map(|n| growing.longest(n, &proportion)).collect();
    let to = sides
        .iter()
        .filter_map(|s| s.longest.as_ref().map(|l| l.value))
        .chain([long.value, brief.plain_limit.value])
        .fold(Length::ZERO, Length::max);
    Some(Largest {
        canvas,
        curve: growing.curve(to.scale(1.15)),
        proportion,
        sides,
        side: long.value,
        rule: Figure::new(
            brief.plain_limit.value,
            &f::CROSS_BAR_RULE,
            alloc::vec![brief.plain_limit.input()],
        ),
    })
}

/// Share of the limits used, and by which check of which part, if that was asked.
type Use = (f64, Option<(CheckKind, Option<Part>)>);

/// A frame that keeps its proportion as it grows.
struct Growing<'a> {
    brief: &'a Brief,
    basis: &'a Basis,
    proportion: f64,
    pull: f64,
}

impl Growing<'_> {
    fn outer(&self, side: Length) -> [Length; 2] {
        [side, side.scale(1.0 / self.proportion)]
    }

    /// The frame with this longer side; none where its bars leave no opening.
    fn setting(&self, side: Length) -> Option<Setting> {
        let outer = self.outer(side);
        let face = self.brief.bar_face.value;
        (outer[1] > face * 2).then(|| {
            setting(
                self.brief,
                self.basis,
                outer,
                face,
                self.brief.bar_depth.value,
            )
        })
    }

    /// The best use of so many cross bars: all across the longer side, or one each way; with
    /// braces where they may be and have room, since those are no cross bars. A frame that
    /// certainly uses more than `far` of its limits is not solved.
    fn best(&self, side: Length, bars: u32, far: f64) -> Option<Use> {
        let setting = self.setting(side)?;
        let mut all = alloc::vec![[bars, 0]];
        if bars == 2 {
            all.push([1, 1]);
        }
        let outer = self.outer(side);
        let brief = self.brief;
        let mut best: Option<Use> = None;
        for bars in all {
            let (face, leg) = (brief.bar_face.value, brief.brace_leg.value);
            let room = leg > face.times_sqrt2() && leg <= brace_room(outer, face, bars);
            let braced = room && brief.braces.value != Braces::No;
            let plain = setting.racking(false).ok()?;
            // Braces only where the frame racks too easily without: they are no cross bars.
            let braced = braced && plain < setting.limits.racking;
            let racking = if braced {
                setting.racking(true).ok()?
            } else {
                plain
            };
            let layout = Layout { bars, braced };
            let least = setting.least_used(layout, racking, self.pull);
            if least > far {
                best = best.or(Some((least, None)));
                continue;
            }
            let Some(answer) = setting.assess(layout, racking, self.pull) else {
                continue;
            };
            if best.as_ref().is_none_or(|(used, _)| answer.used < *used) {
                let stop = governing(&answer.found).map(|g| (g.kind, g.part));
                best = Some((answer.used, stop));
            }
        }
        best
    }

    /// Share of the bow's limit that the bars use.
    fn bow_used(&self, side: Length, bars: u32) -> Option<f64> {
        let setting = self.setting(side)?;
        let layout = Layout {
            bars: [bars, 0],
            braced: false,
        };
        let quarter = Quarter::solve(setting.outline, layout, setting.corner).ok()?;
        let shares = [LEVEL, UPRIGHT].map(|d| {
            let bow = quarter.bow(d);
            bow.bay_share
                .max(bow.whole.abs() / setting.outline.sides[d])
        });
        Some(shares[0].max(shares[1]) * self.pull * setting.limits.bow)
    }

    fn longest(&self, bars: u32, proportion: &Figure<f64>) -> LargestSide {
        let figure = |side: Length| {
            Figure::new(
                side,
                &f::LARGEST,
                alloc::vec![
                    proportion.input("longer over shorter side"),
                    Input::constant("cross bars", bars),
                    self.brief.bar_face.input(),
                    self.brief.bar_depth.input(),
                    self.basis
                        .pull
                        .hardest()
                        .1
                        .input("pull that counts, creep included"),
                    self.basis.batten.modulus.input("modulus of the wood"),
                ],
            )
        };
        let longest = bisect(|side| self.best(side, bars, 1.0).map(|(used, _)| used));
        // Just past it, the check that fails is the one that stops it.
        let stop = longest
            .filter(|side| *side < LONGEST - FINE)
            .and_then(|side| self.best(side + FINE, bars, f64::MAX))
            .and_then(|(_, stop)| stop);
        LargestSide {
            cross_bars: bars,
            by_bow: bisect(|side| self.bow_used(side, bars)).map(figure),
            longest: longest.map(figure),
            stopped_by: stop.map(|(kind, _)| kind),
            part: stop.and_then(|(_, part)| part),
        }
    }

    fn curve(&self, to: Length) -> Vec<CurvePoint> {
        let from = self
            .brief
            .bar_face
            .value
            .scale(3.0 * self.proportion)
            .max(SHORTEST);
        let layout = Layout {
            bars: [0, 0],
            braced: false,
        };
        let lasting = self.basis.pull.lasting.value.to_n_per_m();
        (0..=POINTS)
            .filter_map(|i| {
                let side = from + Length::from_nm((to - from).as_nm() * i / POINTS);
                let setting = self.setting(side)?;
                let bow = |corner| {
                    let quarter = Quarter::solve(setting.outline, layout, corner).ok()?;
                    Some(quarter.bow(LEVEL).whole)
                };
                let hinged = bow(End::Pinned)?;
                Some(CurvePoint {
                    side,
                    stretched: Distance::from_m(hinged * lasting),
                    hinged: Distance::from_m(hinged * self.pull),
                    rigid: Distance::from_m(bow(End::Rigid)? * self.pull),
                    limit: Distance::from_m(setting.outline.sides[LEVEL] / setting.limits.bow),
                })
            })
            .collect()
    }
}

/// The longest side, between the form's limits, of which at most the whole limit is used.
///
/// What a growing frame uses of its limits only rises; a test walks the sizes to make sure.
fn bisect(used: impl Fn(Length) -> Option<f64>) -> Option<Length> {
    let passes = |side: Length| used(side).is_some_and(|used| used <= 1.0);
    if passes(LONGEST) {
        return Some(LONGEST);
    }
    // The smallest frame whose bars leave an opening.
    let steps = (1..=60).map(|i| SHORTEST * i);
    let mut low = steps.into_iter().find(|side| used(*side).is_some())?;
    if !passes(low) {
        return None;
    }
    let mut high = LONGEST;
    while high - low > FINE {
        let middle = low + (high - low).half();
        if passes(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}
