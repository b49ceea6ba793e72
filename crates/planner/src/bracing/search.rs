//! The bracing that takes the least batten and passes every check, from a small grid searched in
//! that order.
//!
//! The order is that of the batten in cross bars and braces, then of the joints: short cross bars
//! come before long ones, and none is kept that could be left out. What the cloth pulls has no
//! part in it, so a slacker cloth never asks for more.

use alloc::vec::Vec;
use core::cell::Cell;

use quantity::Length;
use quantity::order::sort_by;

use super::checks::{CheckKind, FOLDS, Found, Setting, governing};
use super::model::{LEVEL, Layout, Quarter, UPRIGHT};
use crate::brief::Braces;
use crate::frame::brace_room;

/// Most cross bars each way, as many as the form takes.
const MOST: u32 = 6;
/// Shortest bay between cross bars, m (our choice: a closer grid is a panel, not a frame).
const SHORTEST_BAY: f64 = 0.3;
/// More batten than the best so far must use at least so much less of the limits, where nothing
/// passes (our choice).
const WORTH: f64 = 0.9;
/// How many are solved to find the best for this frame, where nothing passes.
pub(crate) const PROMISING: usize = 5;

/// What the search may choose from.
pub(crate) struct Choice {
    /// Cross bars each way where the maker says.
    pub(crate) bars: [Option<u32>; 2],
    /// Braces.
    pub(crate) braces: Braces,
    /// What is there already: the least change from it is sought.
    pub(crate) near: Layout,
    /// How many are solved where nothing passes.
    pub(crate) promising: usize,
}

impl Choice {
    /// Whatever takes the least batten.
    pub(crate) const ANY: Self = Self {
        bars: [None; 2],
        braces: Braces::Auto,
        near: Layout::BARE,
        promising: 1,
    };
}

/// The bracing found.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    pub(crate) layout: Layout,
    pub(crate) quarter: Quarter,
    pub(crate) found: Vec<Found>,
    /// Share used by the governing check.
    pub(crate) used: f64,
    /// Layouts looked at.
    pub(crate) tried: u32,
}

impl Answer {
    pub(crate) fn passes(&self) -> bool {
        self.used <= 1.0
    }

    /// Whether the cloth can pull as it does: racking, whose limit is our choice, is left out.
    pub(crate) fn stands(&self) -> bool {
        let stands = |found: &Found| found.kind == CheckKind::Racking || found.used <= 1.0;
        self.found.iter().all(stands)
    }

    /// What it is ranked by where nothing passes.
    fn rank(&self) -> f64 {
        let folds = |found: &Found| found.kind == CheckKind::Buckling && found.found < 1.0;
        match self.found.iter().any(folds) {
            true => FOLDS * self.used,
            false => self.used,
        }
    }
}

/// Whether braces find room beside so many cross bars.
pub(crate) fn braces_fit(outer: [Length; 2], face: Length, leg: Length, bars: [u32; 2]) -> bool {
    leg > face.times_sqrt2() && leg <= brace_room(outer, face, bars)
}

impl Setting {
    /// One layout under a pull; none where no frame can be made of these numbers.
    pub(crate) fn assess(&self, layout: Layout, racking: f64, pull: f64) -> Option<Answer> {
        let quarter = Quarter::solve(self.outline, layout, self.corner).ok()?;
        let found = self.check(layout, &quarter, racking, pull);
        let used = governing(&found)?.used;
        Some(Answer {
            layout,
            quarter,
            found,
            used,
            tried: 1,
        })
    }

    /// The first layout that passes, in the order of batten and joints; the best one where none
    /// does.
    pub(crate) fn search(&self, choice: &Choice, pull: f64) -> Option<Answer> {
        // Braces are reckoned only where the frame racks too easily without.
        let plain = self.racking(false).unwrap_or(0.0);
        let needed = plain < self.limits.racking || choice.braces == Braces::Yes;
        let braced = if needed {
            self.racking(true).unwrap_or(0.0)
        } else {
            f64::MAX
        };
        let racking = |layout: Layout| if layout.braced { braced } else { plain };
        let all = self.candidates(choice);
        let mut best: Option<Answer> = None;
        let tried = Cell::new(0);
        let look = |layout: Layout, best: &mut Option<Answer>| {
            tried.set(tried.get() + 1);
            let racking = match layout.braced && !needed {
                true => self.racking(true).unwrap_or(0.0),
                false => racking(layout),
            };
            if let Some(answer) = self.assess(layout, racking, pull)
                && (best.as_ref())
                    .is_none_or(|b| answer.passes() || answer.rank() < b.rank() * WORTH)
            {
                *best = Some(Answer {
                    tried: tried.get(),
                    ..answer
                });
            }
        };
        for &layout in &all {
            if self.may_pass(layout, racking(layout), pull) {
                look(layout, &mut best);
                if best.as_ref().is_some_and(Answer::passes) {
                    return best;
                }
            }
        }
        // Where none resists racking as is asked, the first that stands all else.
        for &layout in &all {
            let racks = racking(layout);
            if racks < self.limits.racking && self.may_pass(layout, f64::MAX, pull) {
                tried.set(tried.get() + 1);
                if let Some(answer) = self.assess(layout, racks, pull)
                    && answer.stands()
                {
                    return Some(Answer {
                        tried: tried.get(),
                        ..answer
                    });
                }
            }
        }
        // Nothing passes: the best of those that promise most, batten weighed against what it
        // gains.
        let promise = |(i, &layout)| {
            let used = self.promise(layout, racking(layout), pull);
            (i, layout, used)
        };
        if choice.promising == 0 {
            return best;
        }
        let mut promising: Vec<(usize, Layout, f64)> =
            all.iter().enumerate().map(promise).collect();
        sort_by(&mut promising, |a, b| (a.2, a.0) < (b.2, b.0));
        promising.truncate(choice.promising);
        sort_by(&mut promising, |a, b| a.0 < b.0);
        for &(_, layout, _) in &promising {
            look(layout, &mut best);
        }
        best
    }

    /// Whether a layout passes, looked at closely only if it may.
    pub(crate) fn passes(&self, layout: Layout, pull: f64) -> bool {
        self.may_pass(layout, f64::MAX, pull)
            && self.racking(layout.braced).is_ok_and(|racking| {
                racking >= self.limits.racking
                    && (self.assess(layout, racking, pull)).is_some_and(|answer| answer.passes())
            })
    }

    /// Whether the frame passes with so many cross bars, however they run, with braces or without.
    pub(crate) fn passes_with(&self, bars: u32, pull: f64) -> bool {
        let passes = |layout: Layout| {
            self.has_bays(layout.bars)
                && self.may_be(Braces::Auto, layout)
                && self.passes(layout, pull)
        };
        (0..=bars).any(|level| {
            let bars = [bars - level, level];
            [false, true]
                .into_iter()
                .any(|braced| passes(Layout { bars, braced }))
        })
    }

    /// Batten that a bracing takes: cross bars from outside to outside, braces along their longer
    /// edge.
    pub(crate) fn timber(&self, layout: Layout) -> Length {
        let [width, height] = self.outer;
        let [upright, level] = layout.bars.map(i64::from);
        height * upright + width * level + self.leg.times_sqrt2() * i64::from(layout.braces())
    }

    /// Whether so many cross bars leave bays of a frame and not of a panel.
    pub(crate) fn has_bays(&self, bars: [u32; 2]) -> bool {
        [LEVEL, UPRIGHT]
            .into_iter()
            .all(|d| self.has_bay(d, bars[d]))
    }

    fn has_bay(&self, direction: usize, bars: u32) -> bool {
        bars == 0 || self.bay(direction, bars) >= SHORTEST_BAY
    }

    /// Whether a layout may be built, with what is said of braces: where they find no room, there
    /// are none.
    pub(crate) fn may_be(&self, said: Braces, layout: Layout) -> bool {
        let room = braces_fit(self.outer, self.face, self.leg, layout.bars);
        match said {
            Braces::Auto => !layout.braced || room,
            Braces::Yes => layout.braced == room,
            Braces::No => !layout.braced,
        }
    }

    /// Every layout that may be chosen, in the order of the search.
    fn candidates(&self, choice: &Choice) -> Vec<Layout> {
        let range = |direction: usize| match choice.bars[direction] {
            Some(n) => n..=n,
            None => {
                0..=(0..=MOST)
                    .rfind(|n| self.has_bay(direction, *n))
                    .unwrap_or(0)
            }
        };
        let near = choice.near;
        // The batten added and taken away is that of the bracing that makes the difference.
        let key = |layout: &Layout| {
            let difference = Layout {
                bars: [0, 1].map(|d| layout.bars[d].abs_diff(near.bars[d])),
                braced: layout.braced != near.braced,
            };
            (
                self.timber(difference),
                self.timber(*layout),
                layout.joints(),
                layout.bars[1],
            )
        };
        let mut all = Vec::new();
        for n in range(LEVEL) {
            for m in range(UPRIGHT) {
                for braced in [false, true] {
                    let layout = Layout {
                        bars: [n, m],
                        braced,
                    };
                    if self.may_be(choice.braces, layout) {
                        all.push((key(&layout), layout));
                    }
                }
            }
        }
        sort_by(&mut all, |a, b| a.0 < b.0);
        all.into_iter().map(|(_, layout)| layout).collect()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use quantity::physics::RotationalStiffness;
    use statics::End;

    use super::*;
    use crate::draft::{Draft, Tree};
    use crate::plan::{Effort, plan_with};

    /// The frame of a canvas of these sizes in millimetres, as a plan would reckon it.
    fn setting(sides: [u32; 2], section: [u32; 2], bead: &str, corner: End) -> Option<Setting> {
        let [[w, h], [face, depth]] = [sides, section];
        let brief = alloc::format!(
            r#"{{"canvases":[{{"width":"{w} mm","height":"{h} mm"}}],"bead":"{bead}",
            "bar_face":"{face} mm","bar_depth":"{depth} mm"}}"#
        );
        let tree: Tree = serde_json::from_str(&brief).unwrap();
        let plan = plan_with(
            &Draft::from_tree(&tree).0,
            Effort {
                boards: 0,
                cloth: 0,
            },
        );
        let canvas = &plan.brief.canvases[0];
        let own = super::super::desk::Desk::new(&plan.brief, &plan.basis, canvas).own()?;
        Some(Setting { corner, ..own })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// What is told without solving must never speak against a frame that passes: each is
        /// put under the hardest pull that it just stands.
        #[test]
        fn a_glance_never_rejects_a_frame_that_passes(
            w in 300_u32..4000, h in 300_u32..4000, face in 25_u32..80, depth in 12_u32..50,
            bars in [0_u32..5, 0_u32..5], braced: bool,
            bead in prop_oneof![Just("quarter_round"), Just("none")],
            corner in prop_oneof![
                Just(End::Pinned), Just(End::Rigid),
                (10.0..10_000.0).prop_map(|k| End::Spring(RotationalStiffness::from_nm_per_rad(k)))
            ],
        ) {
            let Some(setting) = setting([w, h], [face, depth], bead, corner) else {
                return Ok(());
            };
            let layout = Layout { bars, braced };
            if !setting.has_bays(bars) || !setting.may_be(Braces::Auto, layout) {
                return Ok(());
            }
            let racking = setting.racking(braced).unwrap();
            let passes = |pull: f64| setting.assess(layout, racking, pull).unwrap().passes();
            let (mut stands, mut fails) = (0.0, 5000.0);
            for _ in 0..30 {
                let middle = 0.5 * (stands + fails);
                if passes(middle) {
                    stands = middle;
                } else {
                    fails = middle;
                }
            }
            if stands > 0.0 {
                prop_assert!(setting.may_pass(layout, racking, stands), "{stands} N/m");
            }
        }
    }

    #[test]
    fn the_order_is_that_of_batten_then_joints() {
        let oblong = setting([1200, 900], [45, 20], "none", End::Pinned).unwrap();
        let all = oblong.candidates(&Choice::ANY);
        let first: Vec<_> = all.iter().take(6).map(|l| (l.bars, l.braced)).collect();
        // Four braces of 212 mm, 848 mm; an upright of 900; a level bar of 1200; an upright and
        // braces 1748; two uprights 1800; a level bar and braces 2048.
        assert_eq!(
            first,
            [
                ([0, 0], false),
                ([0, 0], true),
                ([1, 0], false),
                ([0, 1], false),
                ([1, 0], true),
                ([2, 0], false),
            ]
        );
        let square = setting([1000, 1000], [45, 20], "none", End::Pinned).unwrap();
        let all = square.candidates(&Choice {
            braces: Braces::No,
            ..Choice::ANY
        });
        // As much batten: two uprights have four joints, an upright and a level bar that cross
        // have five.
        let of_two: Vec<_> = all.iter().filter(|l| l.bars[0] + l.bars[1] == 2).collect();
        assert_eq!(of_two.last().unwrap().bars, [1, 1]);
    }
}
