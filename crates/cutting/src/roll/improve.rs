//! The search for larger jobs: a few layers at a time are taken apart into some blocks, and the
//! exact method (`table`) puts these together again, over two rolls at a time if there are more.

use alloc::vec::Vec;
use quantity::order::sort_by;

use super::model::{Model, Score};
use super::random::Random;
use super::table::{Kind, Room, Table};
use super::tree::{Arena, Block, Size};

/// Arena size at which forgotten blocks are cleared out.
const CLEAR_OUT: usize = 200_000;

/// A block on a roll, stacked along it with others.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layer {
    pub(super) roll: usize,
    pub(super) block: Block,
}

/// A share of the blocks of a table on one roll.
pub(super) type Share = (usize, usize, Size);

/// A complete plan being improved.
#[derive(Clone, Debug)]
pub(super) struct Search {
    pub(super) arena: Arena,
    pub(super) layers: Vec<Layer>,
    /// Units used of each roll.
    used: Vec<i64>,
    random: Random,
}

impl Search {
    /// From layers that hold all blanks.
    pub(super) fn new(model: &Model, arena: Arena, layers: Vec<Layer>, seed: u64) -> Self {
        let mut used = alloc::vec![0; model.strips.len()];
        for l in &layers {
            used[l.roll] += arena.size(l.block).h;
        }
        Self {
            arena,
            layers,
            used,
            random: Random::new(seed),
        }
    }

    /// Score of the whole plan.
    pub(super) fn score(&self, model: &Model) -> Score {
        self.used
            .iter()
            .enumerate()
            .fold(Score::default(), |sum, (r, &h)| sum.and(model.score(r, h)))
    }

    /// Units used of all rolls.
    pub(super) fn height(&self) -> i64 {
        self.used.iter().sum()
    }

    /// Other layers of the same arena in place of these.
    pub(super) fn replace(&mut self, model: &Model, layers: Vec<Layer>) {
        self.used = alloc::vec![0; model.strips.len()];
        for l in &layers {
            self.used[l.roll] += self.arena.size(l.block).h;
        }
        self.layers = layers;
    }

    /// One attempt; true if the plan got better. Takes what it costs off the operations.
    pub(super) fn attempt(&mut self, model: &Model, operations: &mut u64) -> bool {
        if self.arena.len() > CLEAR_OUT {
            self.clear_out();
        }
        let chosen = self.choose_layers(model);
        let blocks = self.take_apart(&chosen);
        let kinds = kinds(&self.arena, &blocks);
        let rolls = self.choose_rolls(model, &chosen);

        let height: i64 = chosen.iter().map(|&i| self.layer_height(i)).sum();
        let mut base = self.used.clone();
        for &i in &chosen {
            base[self.layers[i].roll] -= self.layer_height(i);
        }
        let room = match rolls[..] {
            [roll] => {
                let width = model.strips[roll].width;
                let solid: i128 = blocks.iter().map(|&b| self.arena.size(b).area()).sum();
                Room {
                    width,
                    height,
                    spare: Some(i128::from(width) * i128::from(height) - solid),
                }
            }
            _ => Room {
                width: rolls
                    .iter()
                    .map(|&r| model.strips[r].width)
                    .max()
                    .unwrap_or(0),
                height: i64::MAX / 4,
                spare: None,
            },
        };
        let mut table = Table::new(kinds, room, None);
        let mut unlimited = u64::MAX;
        table.advance(&mut unlimited);
        *operations = operations.saturating_sub(table.spent());

        let old = rolls.iter().fold(Score::default(), |s, &r| {
            s.and(model.score(r, self.used[r]))
        });
        let Some((score, shares)) = best_shares(model, &table, &rolls, &base) else {
            return false;
        };
        if score > old {
            return false;
        }
        let mut given = alloc::vec![0; table.kinds()];
        let mut fresh = Vec::new();
        for (roll, set, size) in shares {
            let Some(block) = table.build(set, size, &mut self.arena, &mut given, &mut self.random)
            else {
                return false;
            };
            let mut layers = Vec::new();
            self.arena.layers_of(block, &mut layers);
            fresh.extend(layers.into_iter().map(|block| Layer { roll, block }));
        }
        let mut gone = chosen;
        sort_by(&mut gone, |a, b| a > b);
        for i in gone {
            self.layers.swap_remove(i);
        }
        for l in &fresh {
            base[l.roll] += self.arena.size(l.block).h;
        }
        self.used = base;
        self.layers.extend(fresh);
        score < old
    }

    fn layer_height(&self, layer: usize) -> i64 {
        self.arena.size(self.layers[layer].block).h
    }

    /// Area of its part of the roll that a layer does not use.
    fn lost(&self, model: &Model, layer: usize) -> i128 {
        let Layer { roll, block } = self.layers[layer];
        let whole = Size {
            w: model.strips[roll].width,
            h: self.arena.size(block).h,
        };
        whole.area() - self.arena.used(block)
    }

    /// One to four different layers.
    fn choose_layers(&mut self, model: &Model) -> Vec<usize> {
        let n = self.layers.len();
        let wanted = (1 + self.random.below(4)).min(n);
        let mut chosen: Vec<usize> = Vec::with_capacity(wanted);
        while chosen.len() < wanted {
            let (i, j) = (self.random.below(n), self.random.below(n));
            let lost = |l: usize| self.lost(model, l);
            let i = if lost(j) > lost(i) { j } else { i };
            if !chosen.contains(&i) {
                chosen.push(i);
            } else if self.random.below(4) == 0 {
                break;
            }
        }
        chosen
    }

    /// Divides the layers into some blocks, at places drawn by lot.
    fn take_apart(&mut self, chosen: &[usize]) -> Vec<Block> {
        let mut blocks: Vec<Block> = chosen.iter().map(|&i| self.layers[i].block).collect();
        let wanted = 6 + self.random.below(4);
        while blocks.len() < wanted {
            let open: Vec<usize> = (0..blocks.len())
                .filter(|&i| self.arena.parts(blocks[i]).is_some())
                .collect();
            if open.is_empty() {
                break;
            }
            let i = open[self.random.below(open.len())];
            if let Some((a, b)) = self.arena.parts(blocks[i]) {
                blocks[i] = a;
                blocks.push(b);
            }
        }
        blocks
    }

    /// The roll, or the two, to divide the blocks over; all rolls of the chosen layers are in.
    fn choose_rolls(&mut self, model: &Model, chosen: &[usize]) -> Vec<usize> {
        let mut rolls: Vec<usize> = Vec::new();
        for &i in chosen {
            let roll = self.layers[i].roll;
            if !rolls.contains(&roll) {
                rolls.push(roll);
            }
        }
        let n = model.strips.len();
        if n > 1 && rolls.len() == 1 {
            let other = self.random.below(n);
            if other != rolls[0] {
                rolls.push(other);
            }
        }
        rolls
    }

    fn clear_out(&mut self) {
        let mut roots: Vec<Block> = self.layers.iter().map(|l| l.block).collect();
        self.arena.keep(&mut roots);
        for (layer, block) in self.layers.iter_mut().zip(roots) {
            layer.block = block;
        }
    }
}

/// Equal blocks together.
pub(super) fn kinds(arena: &Arena, blocks: &[Block]) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for &block in blocks {
        let turnable = arena.is_turnable(block);
        let as_is = arena.size(block);
        let (block, size) = if turnable && as_is.w < as_is.h {
            (block.turned(), as_is.turned())
        } else {
            (block, as_is)
        };
        match kinds
            .iter_mut()
            .find(|k| k.size == size && k.turnable == turnable)
        {
            Some(kind) => kind.blocks.push(block),
            None => kinds.push(Kind {
                size,
                turnable,
                blocks: alloc::vec![block],
            }),
        }
    }
    kinds
}

/// The best way to divide the blocks of a complete table over rolls of which `base` units are
/// taken already. `None` if they fit no roll.
pub(super) fn best_shares(
    model: &Model,
    table: &Table,
    rolls: &[usize],
    base: &[i64],
) -> Option<(Score, Vec<Share>)> {
    let full = table.full();
    let on = |roll: usize, set: usize| -> Option<(Score, Size)> {
        if set == 0 {
            return Some((model.score(roll, base[roll]), Size { w: 0, h: 0 }));
        }
        let size = table.height_in(set, model.strips[roll].width)?;
        Some((model.score(roll, base[roll] + size.h), size))
    };
    let (&last, others) = rolls.split_last()?;
    // best[i][set]: score and the share of roll i when the first i + 1 rolls hold the set.
    let mut best: Vec<Vec<Option<(Score, usize)>>> = Vec::new();
    for &roll in others {
        let alone: Vec<Option<Score>> = (0..=full).map(|t| on(roll, t).map(|(s, _)| s)).collect();
        let row = match best.last() {
            None => alone
                .iter()
                .enumerate()
                .map(|(t, s)| s.map(|s| (s, t)))
                .collect(),
            Some(before) => (0..=full)
                .map(|set| least_division(table, before, &alone, set))
                .collect(),
        };
        best.push(row);
    }
    let alone: Vec<Option<Score>>;
    let mut set = full;
    let mut shares = Vec::new();
    let score;
    match best.last() {
        None => {
            let (s, size) = on(last, full)?;
            return Some((s, uneven(table, last, model.strips[last].width, size)));
        }
        Some(before) => {
            alone = (0..=full).map(|t| on(last, t).map(|(s, _)| s)).collect();
            let (s, t) = least_division(table, before, &alone, full)?;
            score = s;
            if t > 0 {
                shares.push((last, t, on(last, t)?.1));
            }
            set -= t;
        }
    }
    for (row, &roll) in best.iter().zip(others).rev() {
        let (_, t) = row[set]?;
        if t > 0 {
            shares.push((roll, t, on(roll, t)?.1));
        }
        set -= t;
    }
    Some((score, shares))
}

/// Divides all blocks in two along the roll, if that costs no length, so that one part loses as
/// little area and the other as much as possible: what is lost in one place can be regained.
fn uneven(table: &Table, roll: usize, width: i64, whole: Size) -> Vec<Share> {
    let full = table.full();
    let mut best = alloc::vec![(roll, full, whole)];
    let mut most = -1;
    for t in table.parts_of(full).skip(1) {
        if 2 * t > full {
            break;
        }
        if let (Some(a), Some(b)) = (table.height_in(t, width), table.height_in(full - t, width))
            && a.h + b.h <= whole.h
        {
            let lost =
                |set: usize, size: Size| i128::from(width) * i128::from(size.h) - table.area(set);
            let uneven = (lost(t, a) - lost(full - t, b)).abs();
            if uneven > most {
                most = uneven;
                best = alloc::vec![(roll, t, a), (roll, full - t, b)];
            }
        }
    }
    best
}

fn least_division(
    table: &Table,
    before: &[Option<(Score, usize)>],
    alone: &[Option<Score>],
    set: usize,
) -> Option<(Score, usize)> {
    let mut best: Option<(Score, usize)> = None;
    for t in table.parts_of(set) {
        if let (Some((a, _)), Some(b)) = (before[set - t], alone[t]) {
            let both = a.and(b);
            if best.is_none_or(|(s, _)| both < s) {
                best = Some((both, t));
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::super::{Blank, Job, Roll, Turn, fill};
    use super::*;
    use quantity::{Length, Money};

    #[test]
    fn the_plan_is_the_same_when_old_blocks_are_forgotten() {
        let mm = Length::from_mm;
        let roll = |width, price| Roll {
            width: mm(width),
            price: Money::from_hundredths(price),
            available: None,
        };
        let blank = |i: i64| Blank {
            across: mm(300 + 17 * i),
            along: mm(900 - 13 * i),
            count: 1,
            turn: Turn::May,
        };
        let job = Job {
            rolls: alloc::vec![roll(2100, 1000), roll(1700, 900)],
            blanks: (0..40).map(blank).collect(),
            gap: mm(5),
            selvedge: Length::ZERO,
            price_per: mm(1000),
            step: Length::ZERO,
        };
        let model = Model::new(&job).expect("every blank fits");
        let mut arena = Arena::default();
        let single: Vec<Block> = (0..)
            .zip(&model.shapes)
            .map(|(i, s)| arena.blank(i, s.size, s.turnable))
            .collect();
        let mut random = Random::new(1);
        let layers = fill::fill(&model, &[0, 1], &mut arena, &single, 0, &mut random, &mut 0);
        let mut search = Search::new(&model, arena, layers.expect("they fit"), 1);
        let mut forgets = search.clone();
        for round in 0..60 {
            for _ in 0..20 {
                search.attempt(&model, &mut 0);
                forgets.attempt(&model, &mut 0);
            }
            let long = forgets.arena.len();
            forgets.clear_out();
            assert!(forgets.arena.len() <= long);
            // Forty blanks need no more than that many joints.
            assert!(forgets.arena.len() < 80 && search.arena.len() > 79 + round);
            assert_eq!(search.score(&model), forgets.score(&model));
            let same = |(a, b): (&Layer, &Layer)| {
                a.roll == b.roll && search.arena.size(a.block) == forgets.arena.size(b.block)
            };
            assert!(search.layers.iter().zip(&forgets.layers).all(same));
        }
    }
}
