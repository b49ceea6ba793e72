//! The fewest members that pass every check, from a small grid searched cheapest first.

use alloc::vec::Vec;

use super::checks::{Found, Setting, governing};
use super::model::{LEVEL, Layout, Quarter, UPRIGHT};
use crate::brief::Braces;

/// Most cross bars each way, as many as the form takes.
const MOST: u32 = 6;
/// Shortest bay between cross bars, m (our choice: a closer grid is a panel, not a frame).
const SHORTEST_BAY: f64 = 0.3;
/// More members than the best so far must use at least so much less of the limits, where nothing
/// passes (our choice).
const WORTH: f64 = 0.9;
/// How many are solved to find the best for this frame, where nothing passes.
pub(crate) const PROMISING: usize = 5;

/// What the search may choose from.
pub(crate) struct Choice<'a> {
    /// Cross bars each way where the maker says.
    pub(crate) bars: [Option<u32>; 2],
    /// Braces.
    pub(crate) braces: Braces,
    /// Where the least change from what is built is sought, rather than the fewest members.
    pub(crate) near: Option<Layout>,
    /// How many are solved where nothing passes.
    pub(crate) promising: usize,
    /// Whether braces find room beside so many cross bars.
    pub(crate) room: &'a dyn Fn([u32; 2]) -> bool,
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

    /// The first layout that passes, fewest members first and least wood among equals; the best
    /// one where none does.
    pub(crate) fn search(&self, choice: &Choice<'_>, pull: f64) -> Option<Answer> {
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
        let mut tried = 0;
        let mut look = |layout: Layout, racking: f64, best: &mut Option<Answer>| {
            tried += 1;
            let racking = match layout.braced && !needed {
                true => self.racking(true).unwrap_or(0.0),
                false => racking,
            };
            if let Some(answer) = self.assess(layout, racking, pull)
                && best.as_ref().is_none_or(|b| answer.used < b.used * WORTH)
            {
                *best = Some(Answer { tried, ..answer });
            }
        };
        for &layout in &all {
            let racking = racking(layout);
            if self.used_at_a_glance(layout, racking, pull) <= 1.0
                && self.least_used(layout, racking, pull) <= 1.0
            {
                look(layout, racking, &mut best);
                if best.as_ref().is_some_and(Answer::passes) {
                    return best;
                }
            }
        }
        // Nothing passes: the best of those that promise most, members weighed against what
        // they gain.
        let mut promising: Vec<(Layout, f64)> = all
            .iter()
            .map(|&layout| (layout, self.least_used(layout, racking(layout), pull)))
            .collect();
        promising.sort_by(|a, b| a.1.total_cmp(&b.1));
        promising.truncate(choice.promising);
        promising.sort_by_key(|(layout, _)| layout.members());
        for &(layout, _) in &promising {
            look(layout, racking(layout), &mut best);
        }
        best
    }

    fn candidates(&self, choice: &Choice<'_>) -> Vec<Layout> {
        let range = |direction: usize| match choice.bars[direction] {
            Some(n) => n..=n,
            None => {
                let most = (1..=MOST)
                    .take_while(|n| self.bay(direction, *n) >= SHORTEST_BAY)
                    .count();
                0..=u32::try_from(most).unwrap_or(0)
            }
        };
        let mut all = Vec::new();
        for n in range(LEVEL) {
            for m in range(UPRIGHT) {
                let room = (choice.room)([n, m]);
                for braced in [false, true] {
                    let wanted = match choice.braces {
                        Braces::Auto => !braced || room,
                        Braces::Yes => braced == room,
                        Braces::No => !braced,
                    };
                    if wanted {
                        all.push(Layout {
                            bars: [n, m],
                            braced,
                        });
                    }
                }
            }
        }
        let wood = |l: &Layout| {
            let [w, h] = self.outline.sides;
            let braces = if l.braced {
                4.0 * self.outline.brace_leg
            } else {
                0.0
            };
            f64::from(l.bars[0]) * h + f64::from(l.bars[1]) * w + braces
        };
        let far = |l: &Layout| match choice.near {
            None => l.members(),
            Some(near) => {
                let bars = l.bars[0].abs_diff(near.bars[0]) + l.bars[1].abs_diff(near.bars[1]);
                bars + if l.braced == near.braced { 0 } else { 4 }
            }
        };
        all.sort_by(|a, b| {
            far(a)
                .cmp(&far(b))
                .then(a.members().cmp(&b.members()))
                .then(wood(a).total_cmp(&wood(b)))
        });
        all
    }
}
