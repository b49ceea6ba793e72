//! How large a frame can be in the batten and cloth at hand: with no, one and two cross bars, and
//! how its bow grows with its side. Computed when it is asked for.

use alloc::vec::Vec;
use core::cmp::Reverse;

use quantity::Length;
use quantity::physics::Distance;
use serde::Serialize;
use statics::End;

use super::checks::{CheckKind, Setting, governing};
use super::desk::setting;
use super::model::{LEVEL, Layout, Quarter, UPRIGHT};
use crate::figure::{Figure, Input};
use crate::formulas as f;
use crate::frame::Part;
use crate::plan::Plan;

/// Longest side that is looked at, in millimetres: the form's own limit.
const LONGEST: i64 = 6000;
/// Shortest: the form's own limit.
const SHORTEST: i64 = 100;
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
    /// The longer side of the canvas itself.
    pub side: Length,
}

/// The longest side that passes with so many cross bars, with corner braces or without.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LargestSide {
    /// Cross bars.
    pub cross_bars: u32,
    /// The longer side, in whole millimetres; none where no size passes.
    pub longest: Option<Figure<Length>>,
    /// The cross bars that divide the longer side, and those that divide the shorter one.
    pub dividing: [u32; 2],
    /// Corner braces that it takes: none or four.
    pub braces: u32,
    /// The longest side without corner braces, where that is shorter.
    pub unbraced: Option<Figure<Length>>,
    /// The longer side that would pass on bow in the plane alone, without corner braces.
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

/// How large a frame can be, in the proportion of the canvas with the longest side; none without
/// a canvas.
///
/// What a growing frame uses of its limits only rises (a test walks the sizes), so the longest
/// that passes is found by halving.
///
/// ```
/// use planner::{Draft, bracing, plan};
/// let tree = serde_json::from_str(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#).unwrap();
/// let plan = plan(&Draft::from_tree(&tree).0);
/// let largest = bracing::largest(&plan).unwrap();
/// assert_eq!(largest.proportion.value, 1.25);
/// ```
#[must_use]
pub fn largest(plan: &Plan) -> Option<Largest> {
    let frames = plan.canvases.iter().enumerate();
    let (canvas, [long, short]) = frames
        .filter_map(|(i, c)| {
            let frame = c.frame.as_ref()?;
            let mut sides = [&frame.outer_width, &frame.outer_height];
            if sides[0].value < sides[1].value {
                sides.reverse();
            }
            Some((i, sides))
        })
        .max_by_key(|(i, [long, _])| (long.value, Reverse(*i)))?;
    if short.value <= Length::ZERO {
        return None;
    }
    let proportion = Figure::new(
        long.value / short.value,
        &f::PROPORTION,
        alloc::vec![long.input("longer side"), short.input("shorter side")],
    );
    let growing = Growing::new(plan, proportion.value);
    Some(Largest {
        canvas,
        sides: (0..=2).map(|n| growing.longest(n, &proportion)).collect(),
        proportion,
        side: long.value,
    })
}

/// How the bow of the longer bars without cross bars grows with the longer side, past the largest
/// frame, the maker's own and the rule's.
#[must_use]
pub fn curve(plan: &Plan, largest: &Largest) -> Vec<CurvePoint> {
    let passing = largest.sides.iter().filter_map(|s| s.longest.as_ref());
    let to = passing
        .map(|longest| longest.value)
        .chain([largest.side, plan.basis.rule.value])
        .fold(Length::ZERO, Length::max);
    Growing::new(plan, largest.proportion.value).curve(to.scale(1.15))
}

/// A frame that keeps its proportion as it grows.
struct Growing<'a> {
    plan: &'a Plan,
    proportion: f64,
    pull: f64,
}

impl<'a> Growing<'a> {
    fn new(plan: &'a Plan, proportion: f64) -> Self {
        Self {
            plan,
            proportion,
            pull: plan.basis.pull.hardest().1.value.to_n_per_m(),
        }
    }

    /// The frame with this longer side, which lies level; none where its bars leave no opening.
    fn setting(&self, side: Length) -> Option<Setting> {
        let brief = &self.plan.brief;
        let outer = [side, side.scale(1.0 / self.proportion)];
        let (face, depth) = (brief.bar_face.value, brief.bar_depth.value);
        (outer[1] > face * 2).then(|| setting(brief, &self.plan.basis, outer, face, depth))
    }

    /// The longest side, in whole millimetres and above `above`, that passes with this layout.
    fn passes_to(&self, layout: Layout, above: i64) -> Option<i64> {
        let braces = self.plan.brief.braces_of_all();
        let setting = |mm| self.setting(Length::from_mm(mm));
        // Too small for its cross bars and braces, it is not looked at.
        let has_room = |mm| {
            setting(mm).is_some_and(|s| {
                s.has_bays(layout.bars) && (!layout.braced || s.may_be(braces, layout))
            })
        };
        let passes = |mm| {
            setting(mm).is_some_and(|s| s.may_be(braces, layout) && s.passes(layout, self.pull))
        };
        longest(above + 1, &has_room, &passes)
    }

    fn longest(&self, bars: u32, proportion: &Figure<f64>) -> LargestSide {
        let mut best: Option<(i64, Layout)> = None;
        let mut unbraced = None;
        for braced in [false, true] {
            for across in 0..=bars {
                let layout = Layout {
                    bars: [bars - across, across],
                    braced,
                };
                let above = best.map_or(0, |(mm, _)| mm);
                if let Some(mm) = self.passes_to(layout, above) {
                    best = Some((mm, layout));
                }
            }
            if !braced {
                unbraced = best.map(|(mm, _)| mm);
            }
        }
        let figure = |mm| {
            let brief = &self.plan.brief;
            let basis = &self.plan.basis;
            Figure::new(
                Length::from_mm(mm),
                &f::LARGEST,
                alloc::vec![
                    proportion.input("longer over shorter side"),
                    Input::constant("cross bars", bars),
                    brief.bar_face.input(),
                    brief.bar_depth.input(),
                    basis
                        .pull
                        .hardest()
                        .1
                        .input("pull that counts, creep included"),
                    basis.batten.modulus.input("modulus of the wood"),
                ],
            )
        };
        let stop = best.and_then(|(mm, layout)| self.stop(mm + 1, layout));
        let layout = best.map_or(Layout::BARE, |(_, layout)| layout);
        LargestSide {
            cross_bars: bars,
            dividing: layout.bars,
            braces: layout.braces(),
            unbraced: unbraced.filter(|_| layout.braced).map(figure),
            by_bow: self.by_bow(bars).map(figure),
            longest: best.map(|(mm, _)| figure(mm)),
            stopped_by: stop.map(|(kind, _)| kind),
            part: stop.and_then(|(_, part)| part),
        }
    }

    /// The check that fails at a size.
    fn stop(&self, mm: i64, layout: Layout) -> Option<(CheckKind, Option<Part>)> {
        if mm > LONGEST {
            return None;
        }
        let setting = self.setting(Length::from_mm(mm))?;
        let racking = setting.racking(layout.braced).ok()?;
        let answer = setting.assess(layout, racking, self.pull)?;
        governing(&answer.found).map(|found| (found.kind, found.part))
    }

    /// The longest side at which the bars' bow passes, with cross bars all across the longer side
    /// and no braces.
    fn by_bow(&self, bars: u32) -> Option<i64> {
        let layout = Layout {
            bars: [bars, 0],
            braced: false,
        };
        let passes = |mm| {
            let bow = self.setting(Length::from_mm(mm)).and_then(|setting| {
                let quarter = Quarter::solve(setting.outline, layout, setting.corner).ok()?;
                let shares = [LEVEL, UPRIGHT].map(|d| {
                    let bow = quarter.bow(d);
                    bow.bay_share
                        .max(bow.whole.abs() / setting.outline.sides[d])
                });
                Some(shares[0].max(shares[1]) * self.pull * setting.limits.bow)
            });
            bow.is_some_and(|used| used <= 1.0)
        };
        let opens = |mm| self.setting(Length::from_mm(mm)).is_some();
        longest(SHORTEST, &opens, &passes)
    }

    fn curve(&self, to: Length) -> Vec<CurvePoint> {
        let from = self
            .plan
            .brief
            .bar_face
            .value
            .scale(3.0 * self.proportion)
            .max(Length::from_mm(SHORTEST));
        let lasting = self.plan.basis.pull.lasting.value.to_n_per_m();
        (0..=POINTS)
            .filter_map(|i| {
                let side = from + Length::from_nm((to - from).as_nm() * i / POINTS);
                let setting = self.setting(side)?;
                let bow = |corner| {
                    let quarter = Quarter::solve(setting.outline, Layout::BARE, corner).ok()?;
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

/// The longest side in millimetres that passes, from a side on and where there is room: larger
/// frames have more room, and pass less easily.
fn longest(from: i64, has_room: &dyn Fn(i64) -> bool, passes: &dyn Fn(i64) -> bool) -> Option<i64> {
    if !has_room(LONGEST) {
        return None;
    }
    let first = if has_room(SHORTEST) {
        SHORTEST
    } else {
        turn(SHORTEST, LONGEST, &|mm| !has_room(mm)) + 1
    };
    let first = first.max(from);
    match (first <= LONGEST && passes(first), passes(LONGEST)) {
        (false, _) => None,
        (true, true) => Some(LONGEST),
        (true, false) => Some(turn(first, LONGEST, passes)),
    }
}

/// The last of the sizes for which something holds: it holds at the first and not at the last.
fn turn(mut holds: i64, mut fails: i64, is: &dyn Fn(i64) -> bool) -> i64 {
    while fails - holds > 1 {
        let middle = (holds + fails) / 2;
        if is(middle) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    holds
}
