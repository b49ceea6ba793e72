//! The exact method: all best rectangles of every subset of some blocks.
//!
//! A rectangle cut by guillotine cuts is a single block, or its first useful cut divides its
//! blocks into two smaller rectangles. So with the staircase of a set (its rectangles of which
//! none is both narrower and lower than another), the staircase of every larger set follows
//! from those of its two-part divisions:
//!
//! ```text
//! above:   height(S, w) = min over T of height(T, w) + height(S − T, w)
//! beside:  width(S, h)  = min over T of width(T, h) + width(S − T, h)
//! ```
//!
//! Equal blocks are counted, not told apart. The idea of building up from subrectangles is
//! P. Y. Wang's (Operations Research 31:573–586, 1983); staircases over all subsets make it exact.

use alloc::vec;
use alloc::vec::Vec;
use quantity::order::sort;

use super::bound::Worth;
use super::random::Random;
use super::tree::{Arena, Block, Size};

/// Blocks of one size.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    pub(super) size: Size,
    pub(super) turnable: bool,
    pub(super) blocks: Vec<Block>,
}

/// What the table may leave out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// No rectangle wider than this.
    pub(super) width: i64,
    /// None longer.
    pub(super) height: i64,
    /// None that loses more area than this, if all goes into one strip.
    pub(super) spare: Option<i128>,
}

/// Staircases of all subsets; filled step by step.
#[derive(Clone, Debug)]
pub(super) struct Table {
    kinds: Vec<Kind>,
    /// Index step for one more block of each kind.
    stride: Vec<usize>,
    /// Whether every block is of its own kind.
    distinct: bool,
    room: Room,
    /// Prices of the kinds.
    worth: Option<Worth>,
    stairs: Vec<Vec<Size>>,
    area: Vec<i128>,
    /// How many of each kind are in the set that is next.
    next: Vec<usize>,
    done: usize,
    entries: usize,
    spent: u64,
    scratch: Scratch,
}

/// What matters of a set to its rectangles.
struct Set {
    /// Area of its blocks.
    area: i128,
    /// Shortest side of the blocks not in it.
    other: i64,
    /// Sum of the prices of the blocks not in it.
    rest: i128,
}

#[derive(Clone, Debug, Default)]
struct Scratch {
    fresh: Vec<Size>,
    merged: Vec<Size>,
}

/// How many divisions a table over such counts looks at, saturating.
pub(super) fn divisions(counts: impl Iterator<Item = usize>) -> u64 {
    counts.fold(1_u64, |product, c| {
        let c = c as u64;
        product.saturating_mul((c + 1) * (c + 2) / 2)
    }) / 2
}

impl Table {
    /// A table over these blocks, nothing computed yet.
    pub(super) fn new(kinds: Vec<Kind>, room: Room, worth: Option<Worth>) -> Self {
        // Prices are per shape; kinds follow the shapes where a table is over all of them.
        let worth = worth.filter(|w| w.price.len() == kinds.len());
        let mut stride = Vec::with_capacity(kinds.len());
        let mut sets = 1_usize;
        for kind in &kinds {
            stride.push(sets);
            sets = sets.saturating_mul(kind.blocks.len() + 1);
        }
        let next = vec![0; kinds.len()];
        let mut stairs = Vec::with_capacity(sets);
        stairs.push(Vec::new());
        let mut area = Vec::with_capacity(sets);
        area.push(0);
        Self {
            distinct: kinds.iter().all(|k| k.blocks.len() == 1),
            kinds,
            stride,
            room,
            worth,
            stairs,
            area,
            next,
            done: 1,
            entries: 0,
            spent: 0,
            scratch: Scratch::default(),
        }
    }

    /// Number of subsets.
    pub(super) fn sets(&self) -> usize {
        self.kinds
            .iter()
            .fold(1, |n, k| n.saturating_mul(k.blocks.len() + 1))
    }

    /// Index of the set of all blocks.
    pub(super) fn full(&self) -> usize {
        self.sets() - 1
    }

    /// How many rectangles are kept.
    pub(super) const fn entries(&self) -> usize {
        self.entries
    }

    /// Area of the blocks of a set.
    pub(super) fn area(&self, set: usize) -> i128 {
        self.area[set]
    }

    /// Elementary operations so far.
    pub(super) const fn spent(&self) -> u64 {
        self.spent
    }

    /// Least height of a set in a strip of this width, if it fits at all.
    pub(super) fn height_in(&self, set: usize, width: i64) -> Option<Size> {
        let stairs = &self.stairs[set];
        let n = stairs.partition_point(|s| s.w <= width);
        n.checked_sub(1).map(|i| stairs[i])
    }

    /// Fills up to so many elementary operations; true when all sets are done.
    pub(super) fn advance(&mut self, operations: &mut u64) -> bool {
        let sets = self.sets();
        while self.done < sets {
            if *operations == 0 {
                return false;
            }
            let spent = self.fill_next();
            self.spent += spent;
            *operations = operations.saturating_sub(spent);
        }
        true
    }

    /// Computes the staircase of the next set.
    fn fill_next(&mut self) -> u64 {
        step_up(&mut self.next, &self.kinds);
        let set = self.done;
        let mut current = Vec::new();
        let about = self.describe(&self.next);
        self.area.push(about.area);
        let mut spent = 2;
        if let Some(kind) = self.single(set) {
            let size = self.kinds[kind].size;
            current.extend(self.kept(size, &about));
            if self.kinds[kind].turnable && size.w != size.h {
                current.extend(self.kept(size.turned(), &about));
            }
            sort(&mut current);
        } else {
            let mut scratch = core::mem::take(&mut self.scratch);
            // Each division once, the smaller index first.
            for t in self.parts_of(set).skip(1) {
                if 2 * t > set {
                    break;
                }
                let (a, b) = (&self.stairs[t], &self.stairs[set - t]);
                spent += 2 + (a.len() + b.len()) as u64;
                if a.is_empty() || b.is_empty() {
                    continue;
                }
                self.put_above(a, b, &mut current, &about, &mut scratch);
                self.put_beside(a, b, &mut current, &about, &mut scratch);
            }
            self.scratch = scratch;
        }
        self.entries += current.len();
        current.shrink_to_fit();
        self.stairs.push(current);
        self.done += 1;
        spent
    }

    /// The kind of a set of one block.
    fn single(&self, set: usize) -> Option<usize> {
        self.stride.iter().position(|&s| s == set)
    }

    /// The rectangle itself, unless there is no room for it or it loses too much: also what is
    /// beside and after it when that is too narrow for any other block.
    fn kept(&self, size: Size, set: &Set) -> Option<Size> {
        let Room {
            width,
            height,
            spare,
        } = self.room;
        if size.w > width || size.h > height {
            return None;
        }
        if let Some(worth) = &self.worth
            && !worth.allows(size, set.rest)
        {
            return None;
        }
        let Some(spare) = spare else {
            return Some(size);
        };
        let alone = Size {
            w: if width - size.w < set.other {
                width
            } else {
                size.w
            },
            h: if height - size.h < set.other {
                height
            } else {
                size.h
            },
        };
        // The row and the column of it that hold nothing else, counted once where they cross.
        let taken = Size {
            w: alone.w,
            h: size.h,
        }
        .area()
            + Size {
                w: size.w,
                h: alone.h,
            }
            .area()
            - size.area();
        (taken - set.area <= spare).then_some(size)
    }

    /// The set with this many blocks of each kind.
    fn describe(&self, counts: &[usize]) -> Set {
        let (mut area, mut other, mut rest) = (0, i64::MAX, 0);
        for (k, (kind, &n)) in self.kinds.iter().zip(counts).enumerate() {
            area += kind.size.area() * n as i128;
            if let Some(worth) = &self.worth {
                rest += worth.price[k] * (kind.blocks.len() - n) as i128;
            }
            if n < kind.blocks.len() {
                other = other.min(kind.size.w.min(kind.size.h));
            }
        }
        Set { area, other, rest }
    }

    fn put_above(
        &self,
        a: &[Size],
        b: &[Size],
        current: &mut Vec<Size>,
        set: &Set,
        scratch: &mut Scratch,
    ) {
        let (mut i, mut j, mut at) = (0, 0, 0);
        let mut w = a[0].w.max(b[0].w);
        scratch.fresh.clear();
        loop {
            while i + 1 < a.len() && a[i + 1].w <= w {
                i += 1;
            }
            while j + 1 < b.len() && b[j + 1].w <= w {
                j += 1;
            }
            let h = a[i].h + b[j].h;
            if h <= self.room.height {
                while at < current.len() && current[at].w <= w {
                    at += 1;
                }
                if (at == 0 || current[at - 1].h > h)
                    && let Some(size) = self.kept(Size { w, h }, set)
                {
                    scratch.fresh.push(size);
                }
            }
            w = match (a.get(i + 1), b.get(j + 1)) {
                (Some(p), Some(q)) => p.w.min(q.w),
                (Some(p), None) => p.w,
                (None, Some(q)) => q.w,
                (None, None) => break,
            };
        }
        merge(current, scratch);
    }

    fn put_beside(
        &self,
        a: &[Size],
        b: &[Size],
        current: &mut Vec<Size>,
        set: &Set,
        scratch: &mut Scratch,
    ) {
        let (mut i, mut j, mut at) = (a.len() - 1, b.len() - 1, current.len());
        let mut h = a[i].h.max(b[j].h);
        scratch.fresh.clear();
        loop {
            while i > 0 && a[i - 1].h <= h {
                i -= 1;
            }
            while j > 0 && b[j - 1].h <= h {
                j -= 1;
            }
            let w = a[i].w + b[j].w;
            if w <= self.room.width {
                // Entries from `at` on are no higher; the first of them is the narrowest.
                while at > 0 && current[at - 1].h <= h {
                    at -= 1;
                }
                if (at == current.len() || current[at].w > w)
                    && let Some(size) = self.kept(Size { w, h }, set)
                {
                    scratch.fresh.push(size);
                }
            }
            h = match (i.checked_sub(1), j.checked_sub(1)) {
                (Some(p), Some(q)) => a[p].h.min(b[q].h),
                (Some(p), None) => a[p].h,
                (None, Some(q)) => b[q].h,
                (None, None) => break,
            };
            if h > self.room.height {
                break;
            }
        }
        scratch.fresh.reverse();
        merge(current, scratch);
    }

    /// Builds the blocks of a set in a rectangle of its staircase; ways that are equally good
    /// are drawn by lot. Every kind hands out its blocks once.
    pub(super) fn build(
        &self,
        set: usize,
        size: Size,
        arena: &mut Arena,
        given: &mut [usize],
        random: &mut Random,
    ) -> Option<Block> {
        enum Task {
            Make(usize, Size),
            Join(bool),
        }
        let mut todo = vec![Task::Make(set, size)];
        let mut built: Vec<Block> = Vec::new();
        while let Some(task) = todo.pop() {
            match task {
                Task::Make(set, size) => {
                    if let Some(k) = self.single(set) {
                        let block = *self.kinds[k].blocks.get(given[k])?;
                        given[k] += 1;
                        // Blocks of a kind are equal up to a turn, so look at the block itself.
                        let fits = |b: Block| {
                            let s = arena.size(b);
                            s.w <= size.w && s.h <= size.h
                        };
                        built.push(if fits(block) { block } else { block.turned() });
                    } else {
                        let (t, first, rest, beside) = self.division(set, size, random)?;
                        todo.push(Task::Join(beside));
                        todo.push(Task::Make(set - t, rest));
                        todo.push(Task::Make(t, first));
                    }
                }
                Task::Join(beside) => {
                    let b = built.pop()?;
                    let a = built.pop()?;
                    built.push(if beside {
                        arena.beside(a, b)
                    } else {
                        arena.above(a, b)
                    });
                }
            }
        }
        built.pop()
    }

    /// A division of a set that gives this rectangle.
    fn division(
        &self,
        set: usize,
        size: Size,
        random: &mut Random,
    ) -> Option<(usize, Size, Size, bool)> {
        let mut found = None;
        let mut ways = 0;
        for t in self.parts_of(set).skip(1) {
            if 2 * t > set {
                break;
            }
            if let (Some(a), Some(b)) = (self.height_in(t, size.w), self.height_in(set - t, size.w))
                && a.h + b.h <= size.h
            {
                ways += 1;
                if random.below(ways) == 0 {
                    found = Some((t, a, b, false));
                }
            }
            if let (Some(a), Some(b)) = (self.width_in(t, size.h), self.width_in(set - t, size.h))
                && a.w + b.w <= size.w
            {
                ways += 1;
                if random.below(ways) == 0 {
                    found = Some((t, a, b, true));
                }
            }
        }
        found
    }

    /// Least width of a set within this height.
    fn width_in(&self, set: usize, height: i64) -> Option<Size> {
        let stairs = &self.stairs[set];
        let n = stairs.partition_point(|s| s.h > height);
        stairs.get(n).copied()
    }

    /// How many of each kind are in a set.
    fn digits(&self, set: usize) -> Vec<usize> {
        self.kinds
            .iter()
            .zip(&self.stride)
            .map(|(kind, &stride)| set / stride % (kind.blocks.len() + 1))
            .collect()
    }

    /// All parts of a set by rising index, the empty one and the set itself included.
    pub(super) fn parts_of(&self, set: usize) -> Parts<'_> {
        Parts {
            set,
            next: Some(0),
            counts: (!self.distinct).then(|| Counts {
                stride: &self.stride,
                whole: self.digits(set),
                part: vec![0; self.kinds.len()],
            }),
        }
    }

    /// How many kinds there are.
    pub(super) const fn kinds(&self) -> usize {
        self.kinds.len()
    }
}

/// Iterator over the parts of a set, by rising index.
pub(super) struct Parts<'a> {
    set: usize,
    next: Option<usize>,
    /// `None` where every block is of its own kind: then an index is a set of bits.
    counts: Option<Counts<'a>>,
}

struct Counts<'a> {
    stride: &'a [usize],
    whole: Vec<usize>,
    part: Vec<usize>,
}

impl Iterator for Parts<'_> {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        let now = self.next?;
        self.next = match &mut self.counts {
            // The next larger number within the bits of the set.
            None => (now != self.set).then(|| now.wrapping_sub(self.set) & self.set),
            Some(counts) => counts.after(now),
        };
        Some(now)
    }
}

impl Counts<'_> {
    fn after(&mut self, mut t: usize) -> Option<usize> {
        for (k, digit) in self.part.iter_mut().enumerate() {
            if *digit < self.whole[k] {
                *digit += 1;
                return Some(t + self.stride[k]);
            }
            t -= self.stride[k] * *digit;
            *digit = 0;
        }
        None
    }
}

/// The next larger set in index order.
fn step_up(digits: &mut [usize], kinds: &[Kind]) {
    for (digit, kind) in digits.iter_mut().zip(kinds) {
        if *digit < kind.blocks.len() {
            *digit += 1;
            return;
        }
        *digit = 0;
    }
}

/// Takes the fresh rectangles (widths rising, heights falling) into the staircase.
fn merge(current: &mut Vec<Size>, scratch: &mut Scratch) {
    if scratch.fresh.is_empty() {
        return;
    }
    let out = &mut scratch.merged;
    out.clear();
    let (mut old, mut new) = (current.iter().peekable(), scratch.fresh.iter().peekable());
    loop {
        let size = match (old.peek(), new.peek()) {
            (Some(p), Some(q)) => {
                if p <= q {
                    old.next()
                } else {
                    new.next()
                }
            }
            (Some(_), None) => old.next(),
            (None, _) => new.next(),
        };
        let Some(&size) = size else { break };
        if out.last().is_none_or(|last| last.h > size.h) {
            out.push(size);
        }
    }
    core::mem::swap(current, out);
}
