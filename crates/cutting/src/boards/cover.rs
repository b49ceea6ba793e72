//! Lower bounds in exact integers: the cheapest list of boards that covers every cut.
//!
//! For any values π ≥ 0 of the pieces, let `V_k` be the highest value that a board of bin `k` can
//! hold. A plan with `n_k` boards of each bin then satisfies `Σ V_k·n_k ≥ Σ π_i·d_i` (a *cut*),
//! whatever π was. So the cheapest whole numbers `n` that satisfy all cuts found so far cost no
//! more than any plan.
//!
//! A list proven impossible to fill rules out itself and all lists within it (a *nogood*).

use alloc::vec;
use alloc::vec::Vec;

use super::grid::Grid;
use super::knapsack::Knapsack;
use super::model::Model;
use quantity::order::sort_by;

/// `Σ best_k·n_k ≥ need`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// The most each bin can hold.
    pub(super) best: Vec<i64>,
    /// What all pieces are worth.
    pub(super) need: i64,
}

impl Cut {
    /// The cut that these values of the pieces give, and the work done.
    pub(super) fn new(
        model: &Model,
        grid: &Grid,
        knapsack: &mut Knapsack,
        value: &[i32],
    ) -> (Self, u64) {
        let need = value
            .iter()
            .zip(&model.items)
            .map(|(&v, item)| i64::from(v) * i64::from(item.demand))
            .sum();
        let (best, work) = knapsack.most(model, grid, value, &model.demand());
        (Self { best, need }, work)
    }

    /// Whether a list satisfies it.
    pub(super) fn holds(&self, list: &[u32]) -> bool {
        let covered: i128 = self
            .best
            .iter()
            .zip(list)
            .map(|(&b, &n)| i128::from(b) * i128::from(n))
            .sum();
        covered >= i128::from(self.need)
    }
}

/// The search for a cheapest list.
pub(super) struct ListSearch<'a> {
    model: &'a Model,
    cuts: &'a [Cut],
    /// Lists that are ruled out with everything within them.
    nogoods: &'a [Vec<u32>],
    /// Bins in the order in which counts are chosen.
    order: Vec<usize>,
    /// Per cut the bins by falling value for price.
    by_ratio: Vec<Vec<usize>>,
    /// Position of each bin in the order.
    place: Vec<usize>,
    list: Vec<u32>,
    /// Least cost so far and its list.
    best: Option<(i64, Vec<u32>)>,
    /// Only lists cheaper than this count.
    below: i64,
    /// And only those of no more boards than this.
    most: u32,
    nodes: u64,
    /// Cheapest node given up for lack of nodes.
    open: i64,
}

/// What a search found.
pub(super) struct Listed {
    /// The cheapest list, if one costs less than asked.
    pub(super) best: Option<(i64, Vec<u32>)>,
    /// No list costs less than this; the ceiling asked for if there is none at all.
    pub(super) bound: i64,
    /// Work done.
    pub(super) work: u64,
}

/// What a list must be like.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    /// Cheaper than this.
    pub(super) below: i64,
    /// Of no more boards than this.
    pub(super) most: u32,
    /// With at least one board of this bin.
    pub(super) with: Option<usize>,
}

impl Wish {
    /// Any list cheaper than this.
    pub(super) const fn below(below: i64) -> Self {
        Self {
            below,
            most: u32::MAX,
            with: None,
        }
    }
}

/// The cheapest list that satisfies the wish and all cuts and lies within no nogood.
pub(super) fn cheapest_list(
    model: &Model,
    cuts: &[Cut],
    nogoods: &[Vec<u32>],
    wish: Wish,
    nodes: u64,
) -> Listed {
    let Wish { below, most, with } = wish;
    let bins = model.bins.len();
    // Value for price, highest first; free bins before all.
    let ratio_before = |cut: &Cut, a: usize, b: usize| {
        let left = i128::from(cut.best[a]) * i128::from(model.bins[b].price);
        let right = i128::from(cut.best[b]) * i128::from(model.bins[a].price);
        (right, cut.best[b], a) < (left, cut.best[a], b)
    };
    let by_ratio: Vec<Vec<usize>> = cuts
        .iter()
        .map(|cut| {
            let mut order: Vec<usize> = (0..bins).collect();
            sort_by(&mut order, |&a, &b| ratio_before(cut, a, b));
            order
        })
        .collect();
    // Limited bins first, then from the worst value to the best, whose count then follows.
    let (mut order, others): (Vec<usize>, Vec<usize>) = match by_ratio.last() {
        Some(by_ratio) => by_ratio.iter().rev().partition(|&&b| model.bins[b].limited),
        None => (Vec::new(), (0..bins).collect()),
    };
    order.extend(others);
    let mut place = vec![0; bins];
    for (at, &bin) in order.iter().enumerate() {
        place[bin] = at;
    }
    let mut search = ListSearch {
        model,
        cuts,
        nogoods,
        order,
        by_ratio,
        place,
        list: vec![0; bins],
        best: None,
        below,
        most,
        nodes,
        open: i64::MAX,
    };
    if let Some(bin) = with {
        search.list[bin] = 1;
        let need: Vec<i128> = cuts
            .iter()
            .map(|c| i128::from(c.need) - i128::from(c.best[bin]))
            .collect();
        search.descend(0, model.bins[bin].price, 1, &need, Some(bin));
    } else {
        let need: Vec<i128> = cuts.iter().map(|c| i128::from(c.need)).collect();
        search.descend(0, 0, 0, &need, None);
    }
    let found = search.best.as_ref().map_or(below, |b| b.0);
    Listed {
        bound: found.min(search.open),
        best: search.best,
        work: (nodes - search.nodes) * (1 + cuts.len() as u64 * bins as u64 * 4),
    }
}

impl ListSearch<'_> {
    /// Least whole price at which bins from `at` on can cover what a cut still needs, counts taken
    /// as fractions; `None` if they can't at all.
    fn least(&self, at: usize, cut: usize, need: i128, with: Option<usize>) -> Option<i128> {
        let mut need = need;
        let mut cost: i128 = 0;
        for &bin in &self.by_ratio[cut] {
            if need <= 0 {
                return Some(cost);
            }
            let best = i128::from(self.cuts[cut].best[bin]);
            if self.place[bin] < at || best == 0 {
                continue;
            }
            let b = &self.model.bins[bin];
            let limit = i128::from(b.limit - u32::from(with == Some(bin)));
            let price = i128::from(b.price);
            if best * limit >= need {
                // Rounded up: the price of a whole plan is whole.
                return Some(cost + (price * need + best - 1) / best);
            }
            cost += price * limit;
            need -= best * limit;
        }
        (need <= 0).then_some(cost)
    }

    /// The price no completion can go below; `None` if there is no completion.
    fn bound(&self, at: usize, cost: i64, need: &[i128], with: Option<usize>) -> Option<i64> {
        let mut most: i128 = 0;
        for (cut, &need) in need.iter().enumerate() {
            most = most.max(self.least(at, cut, need, with)?);
        }
        Some(i64::try_from(i128::from(cost) + most).unwrap_or(i64::MAX))
    }

    fn descend(&mut self, at: usize, cost: i64, boards: u32, need: &[i128], with: Option<usize>) {
        let Some(bound) = self.bound(at, cost, need, with) else {
            return;
        };
        if bound > self.ceiling() || bound >= self.below {
            return;
        }
        if self.nodes == 0 {
            self.open = self.open.min(bound);
            return;
        }
        self.nodes -= 1;
        if at == self.order.len() {
            let excluded = self
                .nogoods
                .iter()
                .any(|nogood| self.list.iter().zip(nogood).all(|(n, most)| n <= most));
            if excluded {
                return;
            }
            if cost <= self.ceiling() {
                self.best = Some((cost, self.list.clone()));
            }
            return;
        }
        let bin = self.order[at];
        let b = &self.model.bins[bin];
        let already = u32::from(with == Some(bin));
        // Boards beyond what every cut needs are of use only against nogoods, and then the list
        // without them lies in a nogood too unless one more board escapes it; so counts go on to
        // the limit, and the price decides.
        let mut inside = false;
        let mut rest = need.to_vec();
        // The last bin must cover what is still needed: no use in counting up to it.
        let mut least = 0;
        if at + 1 == self.order.len() {
            for (&need, cut) in need.iter().zip(self.cuts) {
                let best = i128::from(cut.best[bin]);
                if need > 0 && best == 0 {
                    return;
                }
                if need > 0 {
                    let boards = u32::try_from((need + best - 1) / best).unwrap_or(u32::MAX);
                    least = least.max(boards);
                }
            }
            for (rest, cut) in rest.iter_mut().zip(self.cuts) {
                *rest -= i128::from(cut.best[bin]) * i128::from(least);
            }
        }
        let most = (b.limit - already).min(self.most.saturating_sub(boards));
        // Free boards are taken first and then done without, the others the other way round.
        let free = b.price == 0 && least == 0;
        if free {
            for (rest, cut) in rest.iter_mut().zip(self.cuts) {
                *rest -= i128::from(cut.best[bin]) * i128::from(most);
            }
        }
        for step in least..=most {
            let more = if free { most - step } else { step };
            self.nodes = self.nodes.saturating_sub(1);
            let here = cost + b.price * i64::from(more);
            if here >= self.below || here > self.ceiling() {
                break;
            }
            match self.bound(at + 1, here, &rest, with) {
                Some(bound) if bound <= self.ceiling() && bound < self.below => {
                    inside = true;
                    self.list[bin] = already + more;
                    self.descend(at + 1, here, boards + more, &rest, with);
                }
                // The bound is convex in the count: once past its valley it only rises. A free
                // or useless board never leaves it by price.
                Some(_) if inside && b.price > 0 => break,
                _ => {}
            }
            if self.nodes == 0 {
                // All further counts are given up.
                if let Some(bound) = self.bound(at, cost, need, with) {
                    self.open = self.open.min(bound);
                }
                break;
            }
            if !free && rest.iter().all(|&r| r <= 0) && self.nogoods.is_empty() {
                break;
            }
            for (rest, cut) in rest.iter_mut().zip(self.cuts) {
                *rest -= i128::from(cut.best[bin]) * if free { -1 } else { 1 };
            }
        }
        self.list[bin] = already;
    }

    /// Costs above this are of no use.
    fn ceiling(&self) -> i64 {
        self.best.as_ref().map_or(i64::MAX, |b| b.0 - 1)
    }
}

#[cfg(test)]
mod tests {
    //! Against trying every list.

    use super::super::model::Bin;
    use super::super::pack::Dice;
    use super::*;

    /// Prices and limits of each kind of board; what is in them is of no matter here.
    fn model(bins: &[(i64, u32)]) -> Model {
        let bin = |&(price, limit): &(i64, u32)| Bin {
            stock: Some(0),
            price,
            limit,
            limited: limit < 4,
            runs: Vec::new(),
            spans: Vec::new(),
        };
        Model {
            items: Vec::new(),
            pieces_of: Vec::new(),
            bins: bins.iter().map(bin).collect(),
            total: 4,
        }
    }

    /// A search made up by lot.
    #[derive(Debug)]
    struct Made {
        model: Model,
        cuts: Vec<Cut>,
        nogoods: Vec<Vec<u32>>,
        wish: Wish,
    }

    impl Made {
        fn search(&self, nodes: u64) -> Listed {
            cheapest_list(&self.model, &self.cuts, &self.nogoods, self.wish, nodes)
        }

        /// Least cost of every list within the limits that satisfies the wish, the cuts and the
        /// nogoods.
        fn least_of_all(&self) -> Option<i64> {
            let Self { model, wish, .. } = self;
            let mut least: Option<i64> = None;
            let mut list = vec![0; model.bins.len()];
            loop {
                let bins = list.iter().zip(&model.bins);
                let cost = bins.map(|(&n, bin)| i64::from(n) * bin.price).sum::<i64>();
                let covers = |cut: &Cut| {
                    let worth = list.iter().zip(&cut.best);
                    worth.map(|(&n, b)| i64::from(n) * b).sum::<i64>() >= cut.need
                };
                let within = |nogood: &Vec<u32>| list.iter().zip(nogood).all(|(n, most)| n <= most);
                assert!(self.cuts.iter().all(|cut| cut.holds(&list) == covers(cut)));
                if self.cuts.iter().all(covers)
                    && !self.nogoods.iter().any(within)
                    && cost < wish.below
                    && list.iter().sum::<u32>() <= wish.most
                    && wish.with.is_none_or(|bin| list[bin] > 0)
                {
                    least = Some(least.map_or(cost, |least| least.min(cost)));
                }
                let Some(bin) = (0..list.len()).find(|&b| list[b] < model.bins[b].limit) else {
                    return least;
                };
                list[..bin].fill(0);
                list[bin] += 1;
            }
        }
    }

    fn made(dice: &mut Dice) -> Made {
        let count = 1 + dice.below(4);
        let bins: Vec<(i64, u32)> = (0..count)
            .map(|_| {
                let price = if dice.below(4) == 0 {
                    0
                } else {
                    1 + dice.below(20)
                };
                (price as i64, 1 + dice.below(4) as u32)
            })
            .collect();
        let cuts = (0..1 + dice.below(3))
            .map(|_| Cut {
                best: (0..count).map(|_| dice.below(12) as i64).collect(),
                need: dice.below(50) as i64,
            })
            .collect();
        let nogoods = (0..dice.below(3))
            .map(|_| (0..count).map(|_| dice.below(4) as u32).collect())
            .collect();
        let wish = Wish {
            below: if dice.below(3) == 0 {
                5 + dice.below(40) as i64
            } else {
                1000
            },
            most: if dice.below(3) == 0 {
                1 + dice.below(8) as u32
            } else {
                u32::MAX
            },
            with: (dice.below(3) == 0).then(|| dice.below(count)),
        };
        Made {
            model: model(&bins),
            cuts,
            nogoods,
            wish,
        }
    }

    #[test]
    fn the_cheapest_list_is_the_cheapest_of_all() {
        let mut dice = Dice::new(41);
        let (mut found, mut none) = (0, 0);
        for case in 0..5_000 {
            let made = made(&mut dice);
            let Made { model, cuts, .. } = &made;
            let least = made.least_of_all();
            let listed = made.search(1_000_000);
            let cost = listed.best.as_ref().map(|b| b.0);
            assert_eq!(cost, least, "case {case}: {made:?}");
            assert_eq!(listed.bound, least.unwrap_or(made.wish.below));
            if let Some((cost, list)) = listed.best {
                let bins = list.iter().zip(&model.bins);
                assert!(bins.clone().all(|(&n, bin)| n <= bin.limit));
                assert_eq!(
                    bins.map(|(&n, b)| i64::from(n) * b.price).sum::<i64>(),
                    cost
                );
                assert!(cuts.iter().all(|cut| cut.holds(&list)));
                found += 1;
            } else {
                none += 1;
            }
        }
        assert!(found > 1000 && none > 1000);
    }

    #[test]
    fn a_search_broken_off_never_promises_too_much() {
        let mut dice = Dice::new(42);
        let mut open = 0;
        for case in 0..5_000 {
            let made = made(&mut dice);
            let least = made.least_of_all().unwrap_or(made.wish.below);
            let nodes = dice.below(12) as u64;
            let listed = made.search(nodes);
            assert!(listed.bound <= least, "case {case}");
            if let Some((cost, list)) = listed.best {
                assert!(cost >= least && made.cuts.iter().all(|cut| cut.holds(&list)));
            }
            open += u32::from(listed.bound < least);
        }
        assert!(open > 100, "{open}");
    }

    #[test]
    fn the_search_is_short() {
        // Work is counted, so it is the same everywhere: nodes × (1 + 4 × cuts × bins).
        let mut dice = Dice::new(43);
        let mut work = 0;
        for _ in 0..2_000 {
            let made = made(&mut dice);
            let Made { model, cuts, .. } = &made;
            let listed = made.search(1_000_000);
            work += listed.work / (1 + cuts.len() as u64 * model.bins.len() as u64 * 4);
        }
        assert!(work <= 12_891, "{work}");
    }
}
