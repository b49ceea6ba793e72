//! What one more or one fewer length on the rack would change.

use alloc::string::String;
use alloc::vec::Vec;

use quantity::{Length, Money};

use crate::already_cut;
use crate::brief::{BoardOf, Brief, Stock, USUAL_BATTENS, USUAL_BEADS, check};
use crate::draft::Draft;
use crate::plan::{Effort, plan_with};
use crate::searches::Searches;
use crate::show::Units;
use crate::timber::{self, CutPiece, Purchase};

/// One change of the rack and what follows from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WhatIf {
    /// The section that it concerns.
    pub of: BoardOf,
    /// The change.
    pub change: RackChange,
    /// What follows.
    pub outcome: Outcome,
}

/// A change of the rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RackChange {
    /// A usual length that the rack lacks, as many as needed.
    Added {
        /// Its length.
        length: Length,
        /// On a priced rack: a price taken between those of its neighbours, by the metre.
        price: Option<Money>,
    },
    /// A row left out.
    LeftOut {
        /// Row of the rack.
        row: usize,
        /// Its length.
        length: Length,
    },
}

/// What follows from a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The purchase differs by so much.
    Differs(Difference),
    /// There is no purchase now, and the change makes one possible.
    Possible {
        /// What it costs; none without prices.
        cost: Option<Money>,
        /// Length of all boards.
        length: Length,
        /// How many boards.
        boards: u64,
    },
    /// No purchase is possible any more.
    Impossible {
        /// Why not.
        why: String,
    },
}

/// The new purchase less the old one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Difference {
    /// Difference in cost, below zero where money is saved; none without prices.
    pub cost: Option<Money>,
    /// Difference in the length of all boards.
    pub length: Length,
    /// Difference in the number of boards.
    pub boards: i64,
    /// Whether both purchases are proven the best: then no other purchase changes this.
    pub proven: bool,
}

/// Tries each usual length that the rack lacks, and the rack without each of its rows.
///
/// A longer list never costs more and a shorter one never less, so where a search finds the
/// opposite the purchase at hand stands and the difference is zero, unproven.
///
/// ```
/// use planner::what_if::{Outcome, what_if};
/// use planner::{Draft, Effort};
/// let tree = serde_json::from_str(r#"{"bead":"none","canvases":[{"width":"900","height":"600"}],
///     "boards":[{"length":"2400","price":"6.00"}]}"#).unwrap();
/// let all = what_if(&Draft::from_tree(&tree).0, Effort::default());
/// assert!(all.iter().all(|w| matches!(w.outcome, Outcome::Differs(_))));
/// ```
#[must_use]
pub fn what_if(draft: &Draft, effort: Effort) -> Vec<WhatIf> {
    let (brief, mut faults) = check(draft);
    // The cloth does not matter here.
    let plan = plan_with(draft, Effort { cloth: 1, ..effort });
    let canvases: Vec<usize> = plan.canvases.iter().map(|c| c.row).collect();
    let mut all = Vec::new();
    for (of, list, now) in [
        (BoardOf::Bars, &plan.cut_list, &plan.boards),
        (BoardOf::Bead, &plan.bead_list, &plan.bead),
    ] {
        let rest = already_cut::rest(&brief, of, list, &mut faults);
        let job = Job {
            brief: &brief,
            of,
            list,
            rest,
            canvases: &canvases,
            now: now.as_ref(),
            steps: effort.boards,
        };
        if job.rest.counts.iter().any(|n| *n > 0) {
            job.try_all(&mut all);
        }
    }
    all
}

/// One section's purchase, to be made again from other racks.
struct Job<'a> {
    brief: &'a Brief,
    of: BoardOf,
    list: &'a [CutPiece],
    rest: already_cut::Rest,
    canvases: &'a [usize],
    now: Option<&'a Purchase>,
    steps: u64,
}

impl Job<'_> {
    fn try_all(&self, all: &mut Vec<WhatIf>) {
        let rack: Vec<&Stock> = self.rack().collect();
        let priced = rack.iter().filter(|s| s.price.is_some()).count();
        if priced != 0 && priced != rack.len() {
            // Nothing can be compared before every row has a price.
            return;
        }
        for length in self.usual_lengths() {
            let price = price_between(&rack, length);
            let known = rack
                .iter()
                .any(|s| s.length == length && s.limit.is_none() && s.bad.is_empty());
            let too_long = (self.brief.longest.as_ref()).is_some_and(|most| length > most.value);
            if known || too_long || (priced > 0 && price.is_none()) {
                continue;
            }
            let change = RackChange::Added { length, price };
            all.push(self.tried(change));
        }
        if rack.len() > 1 {
            for stock in rack {
                let (row, length) = (stock.row, stock.length);
                all.push(self.tried(RackChange::LeftOut { row, length }));
            }
        }
    }

    fn rack(&self) -> impl Iterator<Item = &Stock> {
        self.brief.boards.iter().filter(|s| s.of == self.of)
    }

    /// Lengths that a yard usually has: the usual rack, in feet on a page in inches.
    fn usual_lengths(&self) -> Vec<Length> {
        let feet = |all: &[i64]| all.iter().map(|n| Length::INCH * (12 * n)).collect();
        let mm = |all: &[i64]| all.iter().map(|n| Length::from_mm(*n)).collect();
        match (self.brief.show.units, self.of) {
            (Units::Metric, BoardOf::Bars) => mm(&USUAL_BATTENS),
            (Units::Metric, BoardOf::Bead) => mm(&USUAL_BEADS),
            // The same steps in feet (common practice, no source).
            (Units::Imperial, BoardOf::Bars) => feet(&[6, 8, 10, 12, 14, 16]),
            (Units::Imperial, BoardOf::Bead) => feet(&[8, 10]),
        }
    }

    fn tried(&self, change: RackChange) -> WhatIf {
        let outcome = match (change, self.now) {
            // The purchase at hand does without it, so it is the best without it as well.
            (RackChange::LeftOut { row, length }, Some(now))
                if now.lines.iter().all(|l| (l.row, l.length) != (row, length)) =>
            {
                Outcome::Differs(Difference {
                    proven: now.proven,
                    ..no_difference(now)
                })
            }
            _ => self.bought_after(change),
        };
        WhatIf {
            of: self.of,
            change,
            outcome,
        }
    }

    fn bought_after(&self, change: RackChange) -> Outcome {
        let mut brief = self.brief.clone();
        match change {
            RackChange::Added { length, price } => brief.boards.push(Stock {
                row: brief.boards.len(),
                of: self.of,
                length,
                price,
                limit: None,
                bad: Vec::new(),
            }),
            RackChange::LeftOut { row, length } => brief
                .boards
                .retain(|s| (s.of, s.row, s.length) != (self.of, row, length)),
        }
        let bought = timber::buy(
            &brief,
            self.of,
            self.list,
            &self.rest,
            &[],
            self.canvases,
            (&mut Searches::default(), self.steps),
        );
        match (bought, self.now) {
            (Err(faults), _) => Outcome::Impossible {
                why: (faults.first()).map_or_else(String::new, |f| f.message(brief.show)),
            },
            (Ok(new), None) => Outcome::Possible {
                cost: new.cost.as_ref().map(|c| c.value),
                length: new.total_length.value,
                boards: boards(&new),
            },
            (Ok(new), Some(now)) => Outcome::Differs(difference(change, &new, now)),
        }
    }
}

fn difference(change: RackChange, new: &Purchase, now: &Purchase) -> Difference {
    let rank = |p: &Purchase| {
        let price = p.cost.as_ref().map(|c| c.value.as_hundredths());
        (
            price.unwrap_or_else(|| p.total_length.value.as_nm()),
            boards(p),
        )
    };
    let stands = match change {
        RackChange::Added { .. } => rank(new) > rank(now),
        RackChange::LeftOut { .. } => rank(new) < rank(now),
    };
    if stands {
        return no_difference(now);
    }
    let cost = |p: &Purchase| p.cost.as_ref().map(|c| c.value);
    let count = |p: &Purchase| i64::try_from(boards(p)).unwrap_or(i64::MAX);
    Difference {
        cost: cost(new).zip(cost(now)).map(|(new, now)| new - now),
        length: new.total_length.value - now.total_length.value,
        boards: count(new) - count(now),
        proven: new.proven && now.proven,
    }
}

fn no_difference(now: &Purchase) -> Difference {
    Difference {
        cost: now.cost.as_ref().map(|_| Money::ZERO),
        ..Difference::default()
    }
}

fn boards(purchase: &Purchase) -> u64 {
    purchase.lines.iter().map(|l| u64::from(l.count)).sum()
}

/// A price for a length between those of its sound, bought neighbours: the price by the metre
/// changes evenly from one to the other; beyond the ends it is that of the nearest.
fn price_between(rack: &[&Stock], length: Length) -> Option<Money> {
    // Micrometres keep every product within 128 bits.
    let um = |x: Length| i128::from(x.as_nm() / 1000);
    let known = || {
        let sound = rack.iter().filter(|s| s.bad.is_empty());
        sound.filter_map(|s| {
            let price = s.price.filter(|p| *p > Money::ZERO)?;
            Some((um(s.length), i128::from(price.as_hundredths())))
        })
    };
    let at = um(length);
    // The cheapest where two are of one length.
    let below = (known().filter(|(l, _)| *l <= at)).max_by_key(|(l, p)| (*l, -p));
    let above = (known().filter(|(l, _)| *l >= at)).min_by_key(|(l, p)| (*l, *p));
    let (top, bottom) = match (below, above) {
        (Some((a, pa)), Some((b, pb))) if a < b => (
            at * ((b - at) * pa * b + (at - a) * pb * a),
            (b - a) * a * b,
        ),
        (Some((l, p)), _) | (None, Some((l, p))) => (at * p, l),
        (None, None) => return None,
    };
    let nearest = (2 * top + bottom).div_euclid(2 * bottom);
    i64::try_from(nearest).ok().map(Money::from_hundredths)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(mm: i64, price: i64) -> Stock {
        Stock {
            row: 0,
            of: BoardOf::Bars,
            length: Length::from_mm(mm),
            price: Some(Money::from_hundredths(price)),
            limit: None,
            bad: Vec::new(),
        }
    }

    #[track_caller]
    fn priced(rack: &[Stock], mm: i64, expected: i64) {
        let rack: Vec<&Stock> = rack.iter().collect();
        assert_eq!(
            price_between(&rack, Length::from_mm(mm)),
            Some(Money::from_hundredths(expected))
        );
    }

    #[test]
    fn prices_lie_between_their_neighbours_by_the_metre() {
        let rack = [row(2400, 600), row(4800, 1440), row(1000, 0)];
        // 2.50 and 3.00 a metre: 2.75 half-way, × 3.6 m = 9.90.
        priced(&rack, 3600, 990);
        // Beyond the ends the nearest's: 1.8 × 2.50, 6 × 3.00.
        priced(&rack, 1800, 450);
        priced(&rack, 6000, 1800);
        // Two of one length: the cheaper.
        priced(&[row(2400, 700), row(2400, 600)], 2400, 600);
        assert_eq!(price_between(&[], Length::from_mm(2400)), None);
    }
}
