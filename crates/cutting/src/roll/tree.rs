//! Blocks of blanks as binary trees of cuts, in one arena.

use alloc::vec::Vec;

/// Size of a rectangle in units of the model, lanes included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Size {
    /// Across the roll.
    pub(super) w: i64,
    /// Along the roll.
    pub(super) h: i64,
}

impl Size {
    /// Turned a quarter.
    pub(super) const fn turned(self) -> Self {
        Self {
            w: self.h,
            h: self.w,
        }
    }

    /// Its area; sides below 10¹³ units, so far from overflow.
    pub(super) const fn area(self) -> i128 {
        self.w as i128 * self.h as i128
    }
}

/// A block in the arena, perhaps seen turned a quarter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Block(u32);

impl Block {
    const fn index(self) -> usize {
        (self.0 >> 1) as usize
    }

    /// Whether it is seen turned.
    pub(super) const fn is_turned(self) -> bool {
        self.0 & 1 == 1
    }

    /// The same block turned a quarter.
    pub(super) const fn turned(self) -> Self {
        Self(self.0 ^ 1)
    }

    const fn turned_if(self, turned: bool) -> Self {
        Self(self.0 ^ turned as u32)
    }
}

/// What a block is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Make {
    /// A single blank of this shape.
    Blank(u32),
    /// The second to the right of the first.
    Beside(Block, Block),
    /// The second after the first along the roll.
    Above(Block, Block),
}

#[derive(Clone, Copy, Debug)]
struct Node {
    size: Size,
    /// Area of the blanks in it.
    used: i128,
    turnable: bool,
    make: Make,
}

/// All blocks of a search; blocks refer to older blocks only.
#[derive(Clone, Debug, Default)]
pub(super) struct Arena {
    nodes: Vec<Node>,
}

impl Arena {
    /// How many blocks it holds.
    pub(super) const fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Size as seen.
    pub(super) fn size(&self, b: Block) -> Size {
        let size = self.nodes[b.index()].size;
        if b.is_turned() { size.turned() } else { size }
    }

    /// Area of the blanks in it.
    pub(super) fn used(&self, b: Block) -> i128 {
        self.nodes[b.index()].used
    }

    /// Whether all its blanks may be turned.
    pub(super) fn is_turnable(&self, b: Block) -> bool {
        self.nodes[b.index()].turnable
    }

    /// What it is made of, as seen.
    pub(super) fn make(&self, b: Block) -> Make {
        let t = b.is_turned();
        match (self.nodes[b.index()].make, t) {
            (Make::Blank(s), _) => Make::Blank(s),
            (Make::Beside(a, c), false) => Make::Beside(a, c),
            (Make::Above(a, c), false) => Make::Above(a, c),
            (Make::Beside(a, c), true) => Make::Above(a.turned_if(t), c.turned_if(t)),
            (Make::Above(a, c), true) => Make::Beside(a.turned_if(t), c.turned_if(t)),
        }
    }

    /// Its two parts, if it is more than a blank.
    pub(super) fn parts(&self, b: Block) -> Option<(Block, Block)> {
        match self.make(b) {
            Make::Blank(_) => None,
            Make::Beside(a, c) | Make::Above(a, c) => Some((a, c)),
        }
    }

    /// A single blank.
    pub(super) fn blank(&mut self, shape: u32, size: Size, turnable: bool) -> Block {
        self.push(Node {
            size,
            used: size.area(),
            turnable,
            make: Make::Blank(shape),
        })
    }

    /// Two blocks beside each other.
    pub(super) fn beside(&mut self, a: Block, b: Block) -> Block {
        let (p, q) = (self.size(a), self.size(b));
        self.join(
            Size {
                w: p.w + q.w,
                h: p.h.max(q.h),
            },
            Make::Beside(a, b),
            a,
            b,
        )
    }

    /// Two blocks after each other along the roll.
    pub(super) fn above(&mut self, a: Block, b: Block) -> Block {
        let (p, q) = (self.size(a), self.size(b));
        self.join(
            Size {
                w: p.w.max(q.w),
                h: p.h + q.h,
            },
            Make::Above(a, b),
            a,
            b,
        )
    }

    fn join(&mut self, size: Size, make: Make, a: Block, b: Block) -> Block {
        self.push(Node {
            size,
            used: self.used(a) + self.used(b),
            turnable: self.is_turnable(a) && self.is_turnable(b),
            make,
        })
    }

    fn push(&mut self, node: Node) -> Block {
        self.nodes.push(node);
        // A search keeps the arena below a few million blocks (see `Arena::keep`).
        Block(u32::try_from(self.nodes.len() - 1).unwrap_or(u32::MAX >> 1) << 1)
    }

    /// Forgets all blocks that these are not made of, and renames these.
    pub(super) fn keep(&mut self, roots: &mut [Block]) {
        let mut alive = alloc::vec![false; self.nodes.len()];
        for b in roots.iter() {
            alive[b.index()] = true;
        }
        for i in (0..self.nodes.len()).rev() {
            if let (true, Make::Beside(a, b) | Make::Above(a, b)) = (alive[i], self.nodes[i].make) {
                alive[a.index()] = true;
                alive[b.index()] = true;
            }
        }
        let mut name = alloc::vec![0_u32; self.nodes.len()];
        let mut kept = 0_usize;
        for i in 0..self.nodes.len() {
            if !alive[i] {
                continue;
            }
            let renamed = |b: Block| Block(name[b.index()] << 1).turned_if(b.is_turned());
            let mut node = self.nodes[i];
            node.make = match node.make {
                Make::Blank(s) => Make::Blank(s),
                Make::Beside(a, b) => Make::Beside(renamed(a), renamed(b)),
                Make::Above(a, b) => Make::Above(renamed(a), renamed(b)),
            };
            self.nodes[kept] = node;
            name[i] = u32::try_from(kept).unwrap_or(0);
            kept += 1;
        }
        self.nodes.truncate(kept);
        for b in roots {
            *b = Block(name[b.index()] << 1).turned_if(b.is_turned());
        }
    }

    /// Appends what stacks up to `b` along the roll, in order.
    pub(super) fn layers_of(&self, b: Block, out: &mut Vec<Block>) {
        let mut todo = alloc::vec![b];
        while let Some(b) = todo.pop() {
            match self.make(b) {
                Make::Above(a, c) => {
                    todo.push(c);
                    todo.push(a);
                }
                Make::Blank(_) | Make::Beside(..) => out.push(b),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_as_it_was() {
        let mut arena = Arena::default();
        let size = |w, h| Size { w, h };
        let (a, b) = (
            arena.blank(0, size(5, 3), true),
            arena.blank(1, size(4, 2), true),
        );
        let forgotten = arena.beside(a, a);
        let c = arena.blank(2, size(7, 1), false);
        let row = arena.beside(b.turned(), a);
        let also_forgotten = arena.above(forgotten, c);
        let whole = arena.above(row.turned(), c);
        assert_eq!(arena.len(), 7);
        let old = arena.clone();
        let mut roots = [whole, c, b.turned()];
        arena.keep(&mut roots);
        // Two of the seven are no longer needed.
        assert_eq!(arena.len(), 5);
        assert!(old.size(also_forgotten).h > 0);
        assert_eq!(
            roots.map(|r| arena.size(r)),
            [whole, c, b.turned()].map(|r| old.size(r))
        );
        assert_eq!(
            roots.map(|r| arena.used(r)),
            [whole, c, b].map(|r| old.used(r))
        );
        assert_eq!(roots.map(|r| arena.is_turnable(r)), [false, false, true]);
        // The row, turned, is a column of the turned first blank after the second.
        let Some((column, last)) = arena.parts(roots[0]) else {
            panic!("it has parts");
        };
        assert_eq!(arena.make(last), Make::Blank(2));
        let Make::Above(first, second) = arena.make(column) else {
            panic!("a row turned is a column");
        };
        assert_eq!(
            (arena.make(first), arena.size(first)),
            (Make::Blank(1), size(4, 2))
        );
        assert_eq!(
            (arena.make(second), arena.size(second)),
            (Make::Blank(0), size(3, 5))
        );
        let mut layers = Vec::new();
        arena.layers_of(roots[0], &mut layers);
        assert_eq!(layers, [first, second, last]);
    }
}
