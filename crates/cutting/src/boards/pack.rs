//! Filling a given list of boards: nothing is bought here, only space used well.
//!
//! Each run of each board is a *slot*. A slot is filled by subset sums over bit sets: every
//! reachable length at once, sixty-four to a word, read back so that preferred pieces go in first.
//! What finds no place is *left*; refilling a few slots together with it, again and again, uses
//! the space better.

use alloc::vec;
use alloc::vec::Vec;

use super::grid::Grid;
use super::model::{Cell, Model, Pattern};
use quantity::order::{sort, sort_by};

/// A small generator of pseudo-random numbers (xorshift64*, Vigna 2016, from memory), so that a
/// search is the same wherever it runs.
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    /// Any seed will do.
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }
    /// The next number.
    pub(super) const fn roll(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 16
    }
    /// A number below `n`, zero if there is none.
    pub(super) const fn below(&mut self, n: usize) -> usize {
        if n == 0 {
            0
        } else {
            (self.roll() % n as u64) as usize
        }
    }
}

/// One run of one board of the list.
#[derive(Clone, Copy, Debug)]
struct Slot {
    bin: u16,
    run: u16,
    board: u32,
    plain: Option<u32>,
    nested: Option<u32>,
}

impl Slot {
    fn room(&self) -> i64 {
        i64::from(self.plain.unwrap_or(0).max(self.nested.unwrap_or(0)))
    }
}

/// Items with their numbers.
type Content = Vec<(u16, u32)>;

/// A list of boards being filled.
#[derive(Clone, Debug)]
pub(super) struct Packing {
    slots: Vec<Slot>,
    content: Vec<Content>,
    waste: Vec<i64>,
    left: Vec<u32>,
    left_weight: i64,
    filler: Filler,
    dice: Dice,
}

/// Scratch space of the subset sums.
#[derive(Clone, Debug, Default)]
struct Filler {
    bits: Vec<u64>,
    portions: Vec<(u16, u32, u32)>,
    work: u64,
}

impl Packing {
    /// Fills the list once, smallest boards first.
    pub(super) fn new(model: &Model, grid: &Grid, left: Vec<u32>, list: &[u32], seed: u64) -> Self {
        let mut bins: Vec<usize> = (0..list.len()).filter(|&b| list[b] > 0).collect();
        let capacity = |b: usize| (model.bins[b].capacity(), b);
        sort_by(&mut bins, |&a, &b| capacity(a) < capacity(b));
        let mut slots = Vec::new();
        let mut board = 0;
        for bin in bins {
            for _ in 0..list[bin] {
                for (run, &(plain, nested)) in grid.runs[bin].iter().enumerate() {
                    slots.push(Slot {
                        bin: u16::try_from(bin).unwrap_or(u16::MAX),
                        run: u16::try_from(run).unwrap_or(u16::MAX),
                        board,
                        plain,
                        nested,
                    });
                }
                board += 1;
            }
        }
        let mut packing = Self {
            content: vec![Vec::new(); slots.len()],
            waste: slots.iter().map(Slot::room).collect(),
            left_weight: weight_of(grid, &left),
            slots,
            left,
            filler: Filler::default(),
            dice: Dice::new(seed),
        };
        packing.construct(model, grid, seed);
        packing
    }

    /// Starts from boards filled before; the rest of the list is filled as usual.
    pub(super) fn resume(
        model: &Model,
        grid: &Grid,
        list: &[u32],
        filled: &[(Pattern, u32)],
        seed: u64,
    ) -> Self {
        let nothing = vec![0; model.items.len()];
        let mut packing = Self::new(model, grid, nothing, list, seed);
        packing.left = model.demand();
        let boards = packing.slots.last().map_or(0, |s| s.board + 1);
        let mut used = vec![false; boards as usize];
        for (pattern, n) in filled {
            for _ in 0..*n {
                let Some(first) = (0..packing.slots.len()).find(|&s| {
                    packing.slots[s].bin == pattern.bin && !used[packing.slots[s].board as usize]
                }) else {
                    break;
                };
                let board = packing.slots[first].board;
                used[board as usize] = true;
                for at in first..packing.slots.len() {
                    if packing.slots[at].board != board {
                        break;
                    }
                    let slot = packing.slots[at];
                    let content: Content = pattern
                        .cells
                        .iter()
                        .filter(|c| c.run == slot.run)
                        .map(|c| (c.item, c.count))
                        .collect();
                    let mut weight = 0;
                    for &(item, count) in &content {
                        let i = usize::from(item);
                        packing.left[i] -= count;
                        weight += i64::from(grid.tight[i]) * i64::from(count);
                    }
                    packing.waste[at] = slot.room() - weight;
                    packing.content[at] = content;
                }
            }
        }
        packing.left_weight = weight_of(grid, &packing.left);
        packing.construct(model, grid, seed);
        packing
    }

    /// Whether everything has a place.
    pub(super) fn is_complete(&self) -> bool {
        self.left_weight == 0
    }

    /// What has no place, by item.
    pub(super) fn left(&self) -> &[u32] {
        &self.left
    }

    /// Work done since the last call.
    pub(super) fn take_work(&mut self) -> u64 {
        core::mem::take(&mut self.filler.work)
    }

    fn construct(&mut self, model: &Model, grid: &Grid, seed: u64) {
        let main_bin = self.slots.last().map_or(0, |s| s.bin);
        let left = self.left.clone();
        let order = self.preference(grid, &left, usize::from(seed != 0));
        for at in 0..self.slots.len() {
            if !self.content[at].is_empty() {
                continue;
            }
            let slot = self.slots[at];
            // In the main stock the longest piece must lie somewhere: here as well as anywhere.
            let forced = (slot.bin == main_bin || !model.bins[usize::from(slot.bin)].limited)
                .then(|| self.longest_that_fits(model, grid, &slot))
                .flatten();
            let (content, waste) =
                self.filler
                    .fill(model, grid, &slot, &mut self.left, &order, forced);
            self.content[at] = content;
            self.waste[at] = waste;
        }
        self.left_weight = weight_of(grid, &self.left);
    }

    fn longest_that_fits(&self, model: &Model, grid: &Grid, slot: &Slot) -> Option<u16> {
        (0..self.left.len())
            .filter(|&i| self.left[i] > 0)
            .find(|&i| {
                let room = if model.items[i].nested {
                    slot.nested
                } else {
                    slot.plain
                };
                room.is_some_and(|room| grid.tight[i] <= room)
            })
            .map(|i| i as u16)
    }

    /// Refills some slots together with what is left; keeps the result unless it is worse.
    pub(super) fn refine(&mut self, model: &Model, grid: &Grid) {
        if self.slots.is_empty() {
            return;
        }
        let several = 2 + self.dice.below(5);
        let mut chosen: Vec<usize> = Vec::with_capacity(several);
        // One slot with waste, the others as it comes.
        let mut wasteful = self.dice.below(self.slots.len());
        for _ in 0..3 {
            let other = self.dice.below(self.slots.len());
            if self.waste[other] > self.waste[wasteful] {
                wasteful = other;
            }
        }
        chosen.push(wasteful);
        for _ in 1..several {
            let slot = self.dice.below(self.slots.len());
            if !chosen.contains(&slot) {
                chosen.push(slot);
            }
        }
        let mut pool = self.left.clone();
        for &slot in &chosen {
            for &(item, count) in &self.content[slot] {
                pool[usize::from(item)] += count;
            }
        }
        let shake = self.dice.below(4);
        let mut order: Vec<u16> = self.preference(grid, &pool, shake);
        let force = self.dice.below(2) == 0;
        let mut new: Vec<(Content, i64)> = Vec::with_capacity(chosen.len());
        for (nth, &slot) in chosen.iter().enumerate().rev() {
            let slot = self.slots[slot];
            let forced = (force && nth > 0)
                .then(|| {
                    order
                        .iter()
                        .rev()
                        .copied()
                        .find(|&i| pool[usize::from(i)] > 0)
                        .filter(|&i| {
                            let room = if model.items[usize::from(i)].nested {
                                slot.nested
                            } else {
                                slot.plain
                            };
                            room.is_some_and(|room| grid.tight[usize::from(i)] <= room)
                        })
                })
                .flatten();
            new.push(
                self.filler
                    .fill(model, grid, &slot, &mut pool, &order, forced),
            );
            order.retain(|&i| pool[usize::from(i)] > 0);
        }
        new.reverse();
        let left_weight = weight_of(grid, &pool);
        let squares = |waste: &mut dyn Iterator<Item = i64>| -> i64 { waste.map(|w| w * w).sum() };
        let before = squares(&mut chosen.iter().map(|&s| self.waste[s]));
        let after = squares(&mut new.iter().map(|n| n.1));
        // Waste in one place is worth more than spread.
        if left_weight < self.left_weight || (left_weight == self.left_weight && after >= before) {
            for (&slot, (content, waste)) in chosen.iter().zip(new) {
                self.content[slot] = content;
                self.waste[slot] = waste;
            }
            self.left = pool;
            self.left_weight = left_weight;
        }
        self.filler.work += model.items.len() as u64 * 4;
    }

    /// Items in the order in which they are offered, the most wanted last: by length, more or
    /// less shaken.
    fn preference(&mut self, grid: &Grid, pool: &[u32], shake: usize) -> Vec<u16> {
        let mut keys: Vec<(u64, u16)> = Vec::new();
        for (i, &n) in pool.iter().enumerate() {
            if n > 0 {
                let weight = u64::from(grid.tight[i]) * 16;
                let more = match shake {
                    0 => 0,
                    1 => self.dice.below(weight as usize / 8 + 1) as u64,
                    2 => self.dice.below(weight as usize + 1) as u64,
                    _ => self.dice.below(weight as usize * 8 + 1) as u64,
                };
                keys.push((weight + more, i as u16));
            }
        }
        sort(&mut keys);
        keys.into_iter().map(|k| k.1).collect()
    }

    /// The filled boards; empty ones are dropped, equal ones share a count.
    pub(super) fn patterns(&self) -> Vec<(Pattern, u32)> {
        let mut boards: Vec<(u32, Pattern)> = Vec::new();
        for (slot, content) in self.slots.iter().zip(&self.content) {
            let cells = content.iter().map(|&(item, count)| Cell {
                run: slot.run,
                item,
                count,
            });
            match boards.last_mut() {
                Some((board, pattern)) if *board == slot.board => pattern.cells.extend(cells),
                _ => boards.push((
                    slot.board,
                    Pattern {
                        bin: slot.bin,
                        cells: cells.collect(),
                    },
                )),
            }
        }
        let mut patterns: Vec<Pattern> = boards
            .into_iter()
            .map(|b| b.1)
            .filter(|p| !p.cells.is_empty())
            .collect();
        collect_equal(&mut patterns)
    }
}

/// Sorts patterns and counts equal ones.
pub(super) fn collect_equal(patterns: &mut [Pattern]) -> Vec<(Pattern, u32)> {
    for pattern in patterns.iter_mut() {
        sort(&mut pattern.cells);
    }
    sort(patterns);
    let mut counted: Vec<(Pattern, u32)> = Vec::new();
    for pattern in patterns.iter() {
        match counted.last_mut() {
            Some((last, n)) if last == pattern => *n += 1,
            _ => counted.push((pattern.clone(), 1)),
        }
    }
    counted
}

fn weight_of(grid: &Grid, left: &[u32]) -> i64 {
    left.iter()
        .zip(&grid.tight)
        .map(|(&n, &w)| i64::from(n) * i64::from(w))
        .sum()
}

impl Filler {
    /// The fullest content of a slot, taken out of `left`; returns it with the cells it wastes.
    fn fill(
        &mut self,
        model: &Model,
        grid: &Grid,
        slot: &Slot,
        left: &mut [u32],
        order: &[u16],
        forced: Option<u16>,
    ) -> (Content, i64) {
        let mut any = [false, false];
        for &i in order {
            if left[usize::from(i)] > 0 {
                any[usize::from(model.items[usize::from(i)].nested)] = true;
            }
        }
        let forced_nested = forced.map(|i| model.items[usize::from(i)].nested);
        let mut best: Option<(Content, i64)> = None;
        if any[0]
            && forced_nested != Some(true)
            && let Some(room) = slot.plain
        {
            best = self.fill_one(model, grid, room, left, order, forced, false);
        }
        let mixed_may_win = |best: &Option<(Content, i64)>| {
            best.as_ref()
                .is_none_or(|b| i64::from(slot.nested.unwrap_or(0)) > b.1)
        };
        if any[1]
            && mixed_may_win(&best)
            && let Some(room) = slot.nested
        {
            let mixed = self.fill_one(model, grid, room, left, order, forced, true);
            if let Some(mixed) = mixed
                && best.as_ref().is_none_or(|b| mixed.1 > b.1)
            {
                best = Some(mixed);
            }
        }
        let Some((content, filled)) = best else {
            return (Vec::new(), slot.room());
        };
        for &(item, count) in &content {
            left[usize::from(item)] -= count;
        }
        (content, slot.room() - filled)
    }

    /// The fullest content with nested pieces or without, and the cells it fills.
    #[expect(
        clippy::too_many_arguments,
        reason = "all of one slot's circumstances, used once"
    )]
    fn fill_one(
        &mut self,
        model: &Model,
        grid: &Grid,
        room: u32,
        left: &[u32],
        order: &[u16],
        forced: Option<u16>,
        with_nested: bool,
    ) -> Option<(Content, i64)> {
        let mut room = room;
        let mut content: Content = Vec::new();
        let mut filled = 0;
        if let Some(item) = forced {
            let weight = grid.tight[usize::from(item)];
            room = room.checked_sub(weight)?;
            content.push((item, 1));
            filled += i64::from(weight);
        }
        self.portions.clear();
        for &item in order {
            let i = usize::from(item);
            if model.items[i].nested && !with_nested {
                continue;
            }
            let weight = grid.tight[i];
            let mut copies_left =
                (left[i] - u32::from(forced == Some(item))).min(room / weight.max(1));
            let mut copies = 1;
            while copies_left > 0 {
                copies = copies.min(copies_left);
                copies_left -= copies;
                self.portions.push((item, copies, weight * copies));
                copies *= 2;
            }
        }
        let words = room as usize / 64 + 1;
        let size = (self.portions.len() + 1) * words;
        if self.bits.len() < size {
            self.bits.resize(size, 0);
        }
        self.bits[..words].fill(0);
        self.bits[0] = 1;
        // Beyond what all portions so far are long together nothing is reachable, and no word is
        // read.
        let (mut longest, mut reach) = (0, 1);
        for (j, &(_, _, weight)) in self.portions.iter().enumerate() {
            longest += weight as usize;
            let further = words.min(longest / 64 + 1);
            let (before, after) = self.bits.split_at_mut((j + 1) * words);
            let before = &mut before[j * words..][..further];
            before[reach..].fill(0);
            shift_or(before, &mut after[..further], weight as usize);
            reach = further;
        }
        self.work += size as u64;
        // The highest reachable length within the room.
        let last = &self.bits[self.portions.len() * words..][..reach];
        let top_bits = room % 64;
        let mut cell = 0;
        for (w, &word) in last.iter().enumerate().rev() {
            let word = if w + 1 == words && top_bits < 63 {
                word & ((1 << (top_bits + 1)) - 1)
            } else {
                word
            };
            if word != 0 {
                cell = w * 64 + 63 - word.leading_zeros() as usize;
                break;
            }
        }
        filled += cell as i64;
        for j in (0..self.portions.len()).rev() {
            let (item, copies, weight) = self.portions[j];
            let weight = weight as usize;
            let reachable = |cell: usize| self.bits[j * words + cell / 64] >> (cell % 64) & 1 == 1;
            if weight <= cell && reachable(cell - weight) {
                cell -= weight;
                match content.iter_mut().find(|c| c.0 == item) {
                    Some(c) => c.1 += copies,
                    None => content.push((item, copies)),
                }
            }
        }
        (!content.is_empty()).then_some((content, filled))
    }
}

/// `after = before | before << by`, cut off at the last word; both are equally long.
fn shift_or(before: &[u64], after: &mut [u64], by: usize) {
    let (words, bits) = (by / 64, by % 64);
    let stays = words.min(after.len());
    after[..stays].copy_from_slice(&before[..stays]);
    let (new, same) = (&mut after[stays..], &before[stays..]);
    if bits == 0 {
        for ((new, &same), &old) in new.iter_mut().zip(same).zip(before) {
            *new = same | old;
        }
        return;
    }
    let mut low = 0;
    for ((new, &same), &high) in new.iter_mut().zip(same).zip(before) {
        *new = same | low >> (64 - bits) | high << bits;
        low = high;
    }
}
