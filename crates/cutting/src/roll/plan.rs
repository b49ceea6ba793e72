//! What comes out: where every blank lies and how the shears go.

use alloc::vec::Vec;
use quantity::order::{sort, sort_by};

use quantity::{Length, Money};

use super::improve::Layer;
use super::model::{Model, Score};
use super::tree::{Arena, Block, Make};

/// A complete plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Length used of each roll, in the job's order; zero for a roll not used.
    pub lengths: Vec<Length>,
    /// Price of these lengths, each rounded up to whole steps and then to the hundredth.
    pub cost: Money,
    /// No plan can cost less than this.
    pub bound: Money,
    /// No plan of least cost uses less length in total.
    pub bound_length: Length,
    /// Whether no plan is cheaper and none of the same cost is shorter.
    pub proven: bool,
    /// How far the plan reaches beyond what is on the rolls; [`super::solve`] makes this an
    /// error.
    pub missing: Length,
    /// Every blank's place.
    pub placed: Vec<Placed>,
    /// All cuts in the order the shears make them.
    pub cuts: Vec<Cut>,
    /// Free rectangles that fall off, largest first.
    pub remnants: Vec<Remnant>,
}

/// A blank on a roll.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Its line in the job.
    pub blank: usize,
    /// Index of the roll.
    pub roll: usize,
    /// Across the roll, from the outer edge of the left selvedge.
    pub x: Length,
    /// Along the roll, from its free end.
    pub y: Length,
    /// Whether `across` lies along the roll.
    pub turned: bool,
}

/// Which way a cut goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Across the roll, at a fixed y.
    Across,
    /// Along the roll, at a fixed x.
    Along,
}

/// One straight cut right through the piece in hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Index of the roll.
    pub roll: usize,
    /// Which way.
    pub way: Way,
    /// Position: y of a cut across, x of a cut along. It is the far edge of what lies before it.
    pub at: Length,
    /// Where it begins: x of a cut across, y of a cut along.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The lane behind `at` that is nobody's: the next blank begins that much later.
    pub lane: Length,
}

/// A free rectangle that falls off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Remnant {
    /// Index of the roll.
    pub roll: usize,
    /// Across the roll, from the outer edge of the left selvedge.
    pub x: Length,
    /// Along the roll.
    pub y: Length,
    /// Size across.
    pub w: Length,
    /// Size along.
    pub h: Length,
}

/// A piece in hand and the block to be cut from it.
struct Piece {
    block: Block,
    x: Length,
    y: Length,
    w: Length,
    h: Length,
}

/// Turns layers into places, cuts and remnants.
pub(super) fn lay_out(model: &Model, arena: &Arena, layers: &[Layer], bound: Score) -> Plan {
    let mut desk = Desk {
        model,
        arena: arena.clone(),
        given: alloc::vec![0; model.shapes.len()],
        roll: 0,
        placed: Vec::new(),
        cuts: Vec::new(),
        remnants: Vec::new(),
    };
    let mut lengths = Vec::new();
    let mut score = Score::default();
    for roll in 0..model.strips.len() {
        let blocks: Vec<Block> = layers
            .iter()
            .filter(|l| l.roll == roll)
            .map(|l| l.block)
            .collect();
        let units: i64 = blocks.iter().map(|&b| arena.size(b).h).sum();
        score = score.and(model.score(roll, units));
        lengths.push(model.real(units));
        desk.roll = roll;
        desk.cut_roll(&blocks, model.real(units));
    }
    // Equal ones in their place along the roll.
    let order = |r: &Remnant| (-area(r.w, r.h), r.roll, r.y, r.x);
    sort_by(&mut desk.remnants, |a, b| order(a) < order(b));
    Plan {
        lengths,
        cost: score.cost,
        bound: bound.cost,
        bound_length: bound.length,
        proven: score == bound,
        missing: score.missing,
        placed: desk.placed,
        cuts: desk.cuts,
        remnants: desk.remnants,
    }
}

/// In square nanometres; nothing where a side is below zero.
fn area(w: Length, h: Length) -> i128 {
    i128::from(w.max(Length::ZERO).as_nm()) * i128::from(h.max(Length::ZERO).as_nm())
}

/// Where one roll after the other is cut up.
struct Desk<'a> {
    model: &'a Model,
    arena: Arena,
    /// How many blanks of each shape are placed.
    given: Vec<usize>,
    roll: usize,
    placed: Vec<Placed>,
    cuts: Vec<Cut>,
    remnants: Vec<Remnant>,
}

impl Desk<'_> {
    fn cut_roll(&mut self, blocks: &[Block], length: Length) {
        if blocks.is_empty() {
            return;
        }
        let (full, selvedge) = (self.model.widths[self.roll], self.model.selvedge);
        // Off the roll, then the selvedges off.
        self.cut(Way::Across, length, Length::ZERO, full, Length::ZERO);
        if selvedge > Length::ZERO {
            for at in [selvedge, full - selvedge] {
                self.cut(Way::Along, at, Length::ZERO, length, Length::ZERO);
            }
        }
        let Some(block) = self.tower(blocks) else {
            return;
        };
        self.cut_up(Piece {
            block,
            x: selvedge,
            y: Length::ZERO,
            w: full - selvedge * 2,
            h: length,
        });
    }

    /// All layers as one block, wide ones first. The narrow end is tied together where that
    /// leaves the largest remnant beside it, and so on with either part.
    fn tower(&mut self, layers: &[Block]) -> Option<Block> {
        enum Task {
            Stack { from: usize, to: usize, width: i64 },
            Join,
        }
        // Equal layers keep their order.
        let mut order: Vec<(i64, usize)> = (0..)
            .zip(layers)
            .map(|(i, &b)| (-self.arena.size(b).w, i))
            .collect();
        sort(&mut order);
        let layers: Vec<Block> = order.iter().map(|&(_, i)| layers[i]).collect();
        let mut todo = alloc::vec![Task::Stack {
            from: 0,
            to: layers.len(),
            width: self.model.strips[self.roll].width,
        }];
        let mut built: Vec<Block> = Vec::new();
        while let Some(task) = todo.pop() {
            match task {
                Task::Stack { from, to, .. } if to - from <= 1 => built.push(*layers.get(from)?),
                Task::Stack { from, to, width } => {
                    let (mut end, mut most, mut height) = (from, 0, 0_i128);
                    for i in (from..to).rev() {
                        let size = self.arena.size(layers[i]);
                        height += i128::from(size.h);
                        let free = i128::from(width - size.w) * height;
                        if free > most {
                            (end, most) = (i, free);
                        }
                    }
                    if most == 0 {
                        // Nothing is left beside any of them.
                        let mut whole = *layers[from..to].last()?;
                        for &layer in layers[from..to - 1].iter().rev() {
                            whole = self.arena.above(layer, whole);
                        }
                        built.push(whole);
                        continue;
                    }
                    // What is beside all of them falls off in one piece.
                    let (end, inner) = if end == from {
                        (from + 1, self.arena.size(layers[from]).w)
                    } else {
                        (end, width)
                    };
                    todo.push(Task::Join);
                    todo.push(Task::Stack {
                        from: end,
                        to,
                        width: inner,
                    });
                    todo.push(Task::Stack {
                        from,
                        to: end,
                        width,
                    });
                }
                Task::Join => {
                    let second = built.pop()?;
                    let first = built.pop()?;
                    built.push(self.arena.above(first, second));
                }
            }
        }
        built.pop()
    }

    fn cut_up(&mut self, piece: Piece) {
        let gap = self.model.gap;
        let mut todo = alloc::vec![piece];
        while let Some(piece) = todo.pop() {
            let Piece { block, x, y, w, h } = self.trim(piece);
            match self.arena.make(block) {
                Make::Blank(shape) => self.place(block, shape, x, y),
                Make::Beside(a, b) => {
                    let (first, _) = self.real_size(a);
                    let second = first + gap;
                    self.cut(Way::Along, x + first, y, y + h, gap);
                    todo.push(Piece {
                        block: b,
                        x: x + second,
                        y,
                        w: w - second,
                        h,
                    });
                    todo.push(Piece {
                        block: a,
                        x,
                        y,
                        w: first,
                        h,
                    });
                }
                Make::Above(a, b) => {
                    let (_, first) = self.real_size(a);
                    let second = first + gap;
                    self.cut(Way::Across, y + first, x, x + w, gap);
                    todo.push(Piece {
                        block: b,
                        x,
                        y: y + second,
                        w,
                        h: h - second,
                    });
                    todo.push(Piece {
                        block: a,
                        x,
                        y,
                        w,
                        h: first,
                    });
                }
            }
        }
    }

    /// Cuts off what the block does not need, the larger remnant whole; or leaves it to the parts of
    /// the block, where it makes a larger one there.
    fn trim(&mut self, piece: Piece) -> Piece {
        let gap = self.model.gap;
        let Piece { block, x, y, w, h } = piece;
        let (bw, bh) = self.real_size(block);
        let rest = |b: Block, w: Length, h: Length| {
            let (bw, bh) = self.real_size(b);
            area(w, h - bh - gap).max(area(w - bw - gap, h))
        };
        let in_parts = match self.arena.make(block) {
            Make::Blank(_) => 0,
            Make::Beside(a, b) => {
                let (first, _) = self.real_size(a);
                rest(a, first, h).max(rest(b, w - first - gap, h))
            }
            Make::Above(a, b) => {
                let (_, first) = self.real_size(a);
                rest(a, w, first).max(rest(b, w, h - first - gap))
            }
        };
        if in_parts > rest(block, w, h) {
            return piece;
        }
        let (right, far) = (w - bw - gap, h - bh - gap);
        let across_first = area(w, far) >= area(right, h);
        let (row, column) = if across_first { (w, bh) } else { (bw, h) };
        if across_first && h > bh {
            self.cut(Way::Across, y + bh, x, x + w, gap);
        }
        if w > bw {
            self.cut(Way::Along, x + bw, y, y + column, gap);
        }
        if !across_first && h > bh {
            self.cut(Way::Across, y + bh, x, x + bw, gap);
        }
        self.remnant(x, y + bh + gap, row, far);
        self.remnant(x + bw + gap, y, right, column);
        Piece {
            block,
            x,
            y,
            w: bw,
            h: bh,
        }
    }

    /// Size without its lanes.
    fn real_size(&self, block: Block) -> (Length, Length) {
        let size = self.arena.size(block);
        (self.model.real(size.w), self.model.real(size.h))
    }

    fn place(&mut self, block: Block, shape: u32, x: Length, y: Length) {
        let kind = &self.model.shapes[shape as usize];
        let blank = kind.blanks[self.given[shape as usize]];
        self.given[shape as usize] += 1;
        let across = self.model.across[blank];
        self.placed.push(Placed {
            blank,
            roll: self.roll,
            x,
            y,
            turned: self.real_size(block).0 != across,
        });
    }

    fn cut(&mut self, way: Way, at: Length, from: Length, to: Length, lane: Length) {
        let roll = self.roll;
        self.cuts.push(Cut {
            roll,
            way,
            at,
            from,
            to,
            lane,
        });
    }

    fn remnant(&mut self, x: Length, y: Length, w: Length, h: Length) {
        if w > Length::ZERO && h > Length::ZERO {
            let roll = self.roll;
            self.remnants.push(Remnant { roll, x, y, w, h });
        }
    }
}
