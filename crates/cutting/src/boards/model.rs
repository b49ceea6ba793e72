//! The job in the solver's own terms: whole units, equal pieces merged, runs with capacities.

use alloc::vec;
use alloc::vec::Vec;

use quantity::{Length, Money};

use super::job::{Ends, Error, Job, Origin, Piece, Saw, Stock, Trim, limits};
use super::plan::Missing;
use quantity::order::{sort, sort_by};

/// A kind of piece: what matters for packing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// What it takes of a run's capacity, in units.
    pub(super) weight: i64,
    /// Whether it nests heel to toe.
    pub(super) nested: bool,
    /// How many are asked for.
    pub(super) demand: u32,
}

/// What a usable stretch holds, in units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Run {
    /// Capacity while no nested piece lies in it; negative: nothing fits.
    pub(super) plain: i64,
    /// Capacity with at least one nested piece.
    pub(super) nested: i64,
}

impl Run {
    /// Capacity for a content that has nested pieces or not.
    pub(super) const fn capacity(self, has_nested: bool) -> i64 {
        if has_nested { self.nested } else { self.plain }
    }
    /// The larger of both.
    pub(super) const fn most(self) -> i64 {
        if self.plain > self.nested {
            self.plain
        } else {
            self.nested
        }
    }
}

/// A kind of board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bin {
    /// Index of the stock line; `None` for the place of pieces that are missing.
    pub(super) stock: Option<usize>,
    /// Price in hundredths.
    pub(super) price: i64,
    /// How many there are; never more than there are pieces.
    pub(super) limit: u32,
    /// Whether that limit can bind.
    pub(super) limited: bool,
    /// Its runs from left to right.
    pub(super) runs: Vec<Run>,
    /// Where each run lies on the board.
    pub(super) spans: Vec<(Length, Length)>,
}

impl Bin {
    /// Sum of the larger capacities of its runs.
    pub(super) fn capacity(&self) -> i64 {
        self.runs.iter().map(|r| r.most().max(0)).sum()
    }
}

/// Pieces of one kind in one run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cell {
    /// Index of the run in its board.
    pub(super) run: u16,
    /// Index of the item.
    pub(super) item: u16,
    /// How many.
    pub(super) count: u32,
}

/// How one board is cut.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    /// Index of the bin.
    pub(super) bin: u16,
    /// Its content by run, then item, every pair once.
    pub(super) cells: Vec<Cell>,
}

/// The job reduced.
#[derive(Clone, Debug)]
pub(super) struct Model {
    /// Kinds of pieces, heaviest first.
    pub(super) items: Vec<Item>,
    /// Which pieces of the job an item stands for.
    pub(super) pieces_of: Vec<Vec<(usize, u32)>>,
    /// Kinds of boards.
    pub(super) bins: Vec<Bin>,
    /// Number of pieces.
    pub(super) total: u32,
}

impl Model {
    /// Checks a job and reduces it.
    pub(super) fn new(job: &Job) -> Result<Self, Error> {
        check(job)?;
        let saw = &job.saw;
        let mut kinds: Vec<(i64, bool, usize)> = Vec::new();
        for (index, piece) in job.pieces.iter().enumerate() {
            if piece.count > 0 {
                let (weight, nested) = weigh(piece, saw);
                kinds.push((-weight, nested, index));
            }
        }
        sort(&mut kinds);
        let mut items: Vec<Item> = Vec::new();
        let mut pieces_of: Vec<Vec<(usize, u32)>> = Vec::new();
        for &(negative, nested, index) in &kinds {
            let count = job.pieces[index].count;
            match (items.last_mut(), pieces_of.last_mut()) {
                (Some(last), Some(pieces)) if last.weight == -negative && last.nested == nested => {
                    last.demand += count;
                    pieces.push((index, count));
                }
                _ => {
                    items.push(Item {
                        weight: -negative,
                        nested,
                        demand: count,
                    });
                    pieces_of.push(vec![(index, count)]);
                }
            }
        }
        let unit = items
            .iter()
            .fold(0, |g, item| common_divisor(g, item.weight))
            .max(1);
        for item in &mut items {
            item.weight /= unit;
        }
        let total = items.iter().map(|item| item.demand).sum();
        let mut model = Self {
            items,
            pieces_of,
            bins: Vec::new(),
            total,
        };
        for (index, stock) in job.stock.iter().enumerate() {
            if let Some(bin) = model.bin(index, stock, saw, unit) {
                model.bins.push(bin);
            }
        }
        model.check_each_fits(job)?;
        model.leave_out_the_outdone(job);
        model.add_place_for_missing();
        Ok(model)
    }

    /// A stock line as bin; `None` if no piece can come from it.
    fn bin(&self, index: usize, stock: &Stock, saw: &Saw, unit: i64) -> Option<Bin> {
        if stock.origin == Origin::Bought && saw.longest.is_some_and(|most| stock.length > most) {
            return None;
        }
        let spans: Vec<(Length, Length)> = usable(stock, saw)
            .into_iter()
            .filter(|&(from, to)| {
                let run = measure(to - from, saw, unit);
                self.items
                    .iter()
                    .any(|item| item.weight <= run.capacity(item.nested))
            })
            .collect();
        let limit = stock.limit.unwrap_or(u32::MAX).min(self.total);
        if spans.is_empty() || limit == 0 {
            return None;
        }
        Some(Bin {
            stock: Some(index),
            price: stock.price.as_hundredths(),
            limit,
            limited: limit < self.total,
            runs: spans
                .iter()
                .map(|&(from, to)| measure(to - from, saw, unit))
                .collect(),
            spans,
        })
    }

    /// Leaves out what is bought shorter for the same or more than a sound board of which there
    /// are enough: that gives the same plan with a longer offcut.
    fn leave_out_the_outdone(&mut self, job: &Job) {
        let bought = |bin: &Bin| {
            let stock = bin.stock.map(|index| &job.stock[index]);
            stock.filter(|stock| stock.origin == Origin::Bought)
        };
        let outdone = |bin: &Bin| {
            bought(bin).is_some_and(|short| {
                self.bins.iter().any(|other| {
                    !other.limited
                        && other.price <= bin.price
                        && bought(other)
                            .is_some_and(|s| s.bad.is_empty() && s.length > short.length)
                })
            })
        };
        let keep: Vec<bool> = self.bins.iter().map(|bin| !outdone(bin)).collect();
        let mut keep = keep.into_iter();
        self.bins.retain(|_| keep.next().unwrap_or(true));
    }

    /// Refuses pieces that no board holds.
    fn check_each_fits(&self, job: &Job) -> Result<(), Error> {
        for (item, pieces) in self.items.iter().zip(&self.pieces_of) {
            let fits = self.bins.iter().any(|bin| {
                bin.runs
                    .iter()
                    .any(|r| item.weight <= r.capacity(item.nested))
            });
            if !fits {
                let piece = pieces.first().map_or(0, |p| p.0);
                let trim = match job.saw.trim {
                    Trim::PerEnd(t) => t * 2,
                    Trim::Once(t) => t,
                };
                return Err(Error::PieceTooLong {
                    piece,
                    board: job.pieces[piece].length + trim,
                });
            }
        }
        Ok(())
    }

    /// When limits may leave pieces over, a bin beyond any price gives them a place, so that
    /// every method always has a complete plan to work on.
    fn add_place_for_missing(&mut self) {
        let certain = self.items.iter().all(|item| {
            self.bins.iter().any(|bin| {
                !bin.limited
                    && bin
                        .runs
                        .iter()
                        .any(|r| item.weight <= r.capacity(item.nested))
            })
        });
        if certain {
            return;
        }
        let dearest: i64 = self
            .bins
            .iter()
            .map(|b| b.price.saturating_mul(i64::from(b.limit)))
            .sum();
        let most = self.items.iter().map(|item| item.weight).max().unwrap_or(0);
        self.bins.push(Bin {
            stock: None,
            price: dearest + 1,
            limit: self.total,
            limited: false,
            runs: vec![Run {
                plain: most,
                nested: most,
            }],
            spans: vec![(Length::ZERO, Length::ZERO)],
        });
    }

    /// What each item still needs, at the start.
    pub(super) fn demand(&self) -> Vec<u32> {
        self.items.iter().map(|item| item.demand).collect()
    }

    /// Price as money.
    pub(super) const fn money(hundredths: i64) -> Money {
        Money::from_hundredths(hundredths)
    }

    /// Splits items without a place back into the job's pieces.
    pub(super) fn missing(&self, left: &[u32]) -> Vec<Missing> {
        let mut missing = Vec::new();
        for (pieces, &left) in self.pieces_of.iter().zip(left) {
            let mut left = left;
            for &(piece, count) in pieces.iter().rev() {
                let here = left.min(count);
                if here > 0 {
                    missing.push(Missing { piece, count: here });
                    left -= here;
                }
            }
        }
        sort_by(&mut missing, |a: &Missing, b| a.piece < b.piece);
        missing
    }
}

/// What a piece takes of a run, in nanometres, and whether it nests.
fn weigh(piece: &Piece, saw: &Saw) -> (i64, bool) {
    if piece.ends == Ends::Mitred && piece.turnable {
        ((piece.length - saw.face + saw.mitre_kerf).as_nm(), true)
    } else {
        ((piece.length + saw.kerf).as_nm(), false)
    }
}

/// Capacities of a run of this usable length.
fn measure(length: Length, saw: &Saw, unit: i64) -> Run {
    Run {
        plain: (length + saw.kerf).as_nm().div_euclid(unit),
        nested: (length - saw.face + saw.mitre_kerf)
            .as_nm()
            .div_euclid(unit),
    }
}

/// The usable runs of a board, from left to right.
pub(super) fn usable(stock: &Stock, saw: &Saw) -> Vec<(Length, Length)> {
    let (left, right) = match saw.trim {
        Trim::PerEnd(t) => (t, stock.length - t),
        Trim::Once(t) => (Length::ZERO, stock.length - t),
    };
    let mut bad = stock.bad.clone();
    sort(&mut bad);
    let mut spans = Vec::new();
    let mut from = left;
    for stretch in bad {
        if stretch.from > from {
            spans.push((from, stretch.from.min(right)));
        }
        // The cut that frees the next run needs its kerf, even beside a hairline crack.
        let freed = stretch.to.max(stretch.from + saw.kerf);
        from = from.max(freed);
    }
    spans.push((from, right));
    spans.retain(|&(from, to)| to > from);
    spans
}

/// Euclid's greatest common divisor.
pub(super) fn common_divisor(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.abs()
}

/// Refuses what makes no sense or exceeds the stated limits.
fn check(job: &Job) -> Result<(), Error> {
    let sane = |l: Length| l >= Length::ZERO && l <= limits::LONGEST;
    let saw = &job.saw;
    let (Trim::PerEnd(trim) | Trim::Once(trim)) = saw.trim;
    if ![saw.kerf, saw.mitre_kerf, trim, saw.face, saw.keep]
        .iter()
        .all(|&l| sane(l))
        || saw.longest.is_some_and(|l| !sane(l))
    {
        return Err(Error::Saw);
    }
    if job.stock.is_empty() {
        return Err(Error::NoStock);
    }
    if job.stock.len() > limits::STOCK || job.pieces.len() > limits::DIFFERENT_PIECES {
        return Err(Error::TooMany);
    }
    let mut longest = Length::ZERO;
    for (index, stock) in job.stock.iter().enumerate() {
        if stock.length <= Length::ZERO || !sane(stock.length) {
            return Err(Error::StockLength { stock: index });
        }
        if !(0..=limits::PRICE).contains(&stock.price.as_hundredths()) {
            return Err(Error::StockPrice { stock: index });
        }
        let in_order =
            |s: &super::Stretch| s.from >= Length::ZERO && s.to > s.from && s.to <= stock.length;
        if stock.bad.len() > limits::STRETCHES || !stock.bad.iter().all(in_order) {
            return Err(Error::BadStretch { stock: index });
        }
        longest = longest.max(stock.length);
    }
    let mut total = 0u32;
    for (index, piece) in job.pieces.iter().enumerate() {
        if piece.count == 0 {
            continue;
        }
        total = total.saturating_add(piece.count);
        if piece.length < limits::SHORTEST_PIECE || piece.length > limits::LONGEST {
            return Err(Error::PieceLength { piece: index });
        }
        if piece.ends == Ends::Mitred && piece.length < saw.face * 2 {
            return Err(Error::PieceShorterThanItsMitres {
                piece: index,
                least: saw.face * 2,
            });
        }
        if longest.as_nm() / weigh(piece, saw).0.max(1) > limits::PIECES_IN_BOARD {
            return Err(Error::TooMany);
        }
    }
    if total == 0 {
        return Err(Error::NothingToCut);
    }
    if total > limits::PIECES {
        return Err(Error::TooMany);
    }
    Ok(())
}
