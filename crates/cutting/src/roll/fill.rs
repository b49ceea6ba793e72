//! Greedy layers: a quick first plan for any number of blanks.
//!
//! A layer is as high as its first blank; the rest of it is filled by placing a blank in the
//! corner of a free rectangle and dividing what is left into two by a cut. Exact fits first, then
//! the first in the order that fits: the recursion of D. Zhang, Y. Kang and A. Deng
//! (Computers & Operations Research 33:2209–2217, 2006), here with every layer chosen among
//! several first blanks by how full it gets.

use alloc::vec::Vec;

use super::improve::Layer;
use super::model::Model;
use super::random::Random;
use super::tree::{Arena, Block, Size};

/// Deepest recursion inside a layer; what lies deeper stays free (our choice: no real layer
/// holds that many cuts inside each other, and the stack is limited).
const DEEPEST: u32 = 200;

/// Blanks still to place, in the order to try them.
pub(super) struct Filler<'a> {
    arena: &'a mut Arena,
    /// One block per shape.
    single: &'a [Block],
    order: Vec<usize>,
    left: Vec<usize>,
    random: &'a mut Random,
    /// Out of 256: how often a blank that would fit is passed over.
    skip: u64,
    /// How many first blanks a layer is chosen from.
    heads: usize,
    work: u64,
}

/// Fills these rolls with all blanks; the order is by area, shuffled a little when `shake` is
/// above zero. Adds to `work` what it cost. `None` if a blank is too wide for all of them.
pub(super) fn fill(
    model: &Model,
    rolls: &[usize],
    arena: &mut Arena,
    single: &[Block],
    shake: u64,
    random: &mut Random,
    work: &mut u64,
) -> Option<Vec<Layer>> {
    let mut order: Vec<usize> = (0..single.len()).collect();
    if shake > 0 {
        // Shapes are sorted by area; swap neighbours here and there.
        for _ in 0..order.len() {
            let i = random.below(order.len());
            let j = (i + 1 + random.below(3)).min(order.len() - 1);
            order.swap(i, j);
        }
    }
    let left = model.shapes.iter().map(|s| s.blanks.len()).collect();
    let heads = if model.blanks() > 400 { 4 } else { 12 };
    let mut filler = Filler {
        arena,
        single,
        order,
        left,
        random,
        skip: shake.min(128),
        heads,
        work: 0,
    };
    let layers = filler.layers(model, rolls);
    *work += filler.work;
    layers
}

impl Filler<'_> {
    fn layers(&mut self, model: &Model, rolls: &[usize]) -> Option<Vec<Layer>> {
        let mut layers = Vec::new();
        let mut used = alloc::vec![0_i64; model.strips.len()];
        while self.left.iter().any(|&n| n > 0) {
            let mut best: Option<(Rank, Layer, Vec<usize>)> = None;
            for &roll in rolls {
                let strip = &model.strips[roll];
                // By price if there are several rolls, else by width, which is the same.
                let weight = match rolls {
                    [_] => strip.width,
                    _ => strip.price.as_hundredths().max(1),
                };
                for head in self.heads_for(strip.width) {
                    let before = self.left.clone();
                    let block = self.layer(head, strip.width);
                    let after = core::mem::replace(&mut self.left, before);
                    let h = self.arena.size(block).h;
                    let length = model.real(used[roll] + h);
                    let rank = Rank {
                        is_there: strip.available.is_none_or(|a| length <= a),
                        used: self.arena.used(block),
                        cost: i128::from(weight) * i128::from(h),
                    };
                    if best.as_ref().is_none_or(|(b, ..)| rank.beats(b)) {
                        best = Some((rank, Layer { roll, block }, after));
                    }
                }
            }
            let (_, layer, after) = best?;
            self.left = after;
            used[layer.roll] += self.arena.size(layer.block).h;
            layers.push(layer);
        }
        Some(layers)
    }

    /// The first blanks to try for a layer.
    fn heads_for(&mut self, width: i64) -> Vec<Block> {
        let mut heads = Vec::new();
        for &s in &self.order {
            if self.left[s] == 0 {
                continue;
            }
            let block = self.single[s];
            for b in self.ways(block) {
                if self.arena.size(b).w <= width {
                    heads.push(b);
                }
            }
            if heads.len() >= self.heads {
                break;
            }
        }
        heads
    }

    fn ways(&self, block: Block) -> impl Iterator<Item = Block> + use<> {
        let turn = self.arena.is_turnable(block);
        core::iter::once(block).chain(turn.then_some(block.turned()))
    }

    fn layer(&mut self, head: Block, width: i64) -> Block {
        let size = self.arena.size(head);
        self.take(head);
        let room = Size {
            w: width - size.w,
            h: size.h,
        };
        self.join(head, room, true, 0)
    }

    /// A block and whatever fits beside (or above) it in the room.
    fn join(&mut self, block: Block, room: Size, beside: bool, depth: u32) -> Block {
        match self.fill(room, depth + 1) {
            None => block,
            Some(other) if beside => self.arena.beside(block, other),
            Some(other) => self.arena.above(block, other),
        }
    }

    fn take(&mut self, block: Block) {
        if let super::tree::Make::Blank(s) = self.arena.make(block) {
            self.left[s as usize] -= 1;
        }
    }

    fn fill(&mut self, room: Size, depth: u32) -> Option<Block> {
        if room.w <= 0 || room.h <= 0 || depth > DEEPEST {
            return None;
        }
        let block = self.choose(room)?;
        let size = self.arena.size(block);
        self.take(block);
        let (dw, dh) = (room.w - size.w, room.h - size.h);
        let along_first = if dw == 0 {
            false
        } else if dh == 0 {
            true
        } else {
            // Keep the larger rest in one piece, now and then the other way.
            (dw > dh) != (self.skip > 0 && self.random.below(4) == 0)
        };
        Some(if along_first {
            let column = self.join(block, Size { w: size.w, h: dh }, false, depth);
            self.join(column, Size { w: dw, h: room.h }, true, depth)
        } else {
            let row = self.join(block, Size { w: dw, h: size.h }, true, depth);
            self.join(row, Size { w: room.w, h: dh }, false, depth)
        })
    }

    fn choose(&mut self, room: Size) -> Option<Block> {
        let mut best: Option<(u8, Block)> = None;
        for i in 0..self.order.len() {
            let s = self.order[i];
            if self.left[s] == 0 {
                continue;
            }
            self.work += 1;
            let block = self.single[s];
            for b in self.ways(block) {
                let size = self.arena.size(b);
                if size.w > room.w || size.h > room.h {
                    continue;
                }
                let rank = match (size.w == room.w, size.h == room.h) {
                    (true, true) => return Some(b),
                    (true, false) => 1,
                    (false, true) => 2,
                    (false, false) => 3,
                };
                if best.is_none_or(|(r, _)| rank < r)
                    && (self.skip == 0 || self.random.next() >> 20 & 0xFF >= self.skip)
                {
                    best = Some((rank, b));
                }
            }
        }
        best.map(|(_, b)| b)
    }
}

/// How good a layer is.
struct Rank {
    /// Whether the roll holds so much.
    is_there: bool,
    /// Area of its blanks.
    used: i128,
    cost: i128,
}

impl Rank {
    /// Whether it uses more area for its cost.
    fn beats(&self, other: &Self) -> bool {
        if self.is_there != other.is_there {
            return self.is_there;
        }
        // Areas reach 10²⁷, so shift both by the same amount before the cross products.
        let most = self.cost.max(other.cost).max(self.used).max(other.used);
        let shift = (128 - most.leading_zeros()).saturating_sub(62);
        (self.used >> shift) * (other.cost >> shift) > (other.used >> shift) * (self.cost >> shift)
    }
}
