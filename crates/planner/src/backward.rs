//! Planning backward: what the boards on the rack and the cloth at hand are enough for.
//!
//! The same frame, bracing, cut list and cutting engine as the plan's decide whether a canvas can
//! be made; prices do not count. A larger canvas of the same bracing never needs less, so within
//! one bracing the largest is found by halving. But bracing changes in steps: where a cross bar
//! falls away, a smaller canvas may need so much less that sizes between fit and don't fit by
//! turns. So the search goes down from the largest that would fit without any bracing, one
//! bracing after the other, and takes the first that fits.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use cutting::{boards, roll};
use quantity::{Length, Rounding};

use crate::bracing::{Basis, Bracing, basis, decided};
use crate::brief::{Bead, BoardOf, Brief, Canvas, Stock, check};
use crate::cloth;
use crate::draft::Draft;
use crate::fields::{FieldRef, Table, canvas_sides};
use crate::figure::{Figure, Given, Input, Origin};
use crate::find_size::typed::whole_size;
use crate::formulas as f;
use crate::frame::{Ends, Frame, frame, sizes};
use crate::parse;
use crate::show::Units;
use crate::timber::{self, CutPiece};

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Like {
    /// Width over height.
    Proportion(f64),
    /// Width and height.
    Size([Length; 2]),
}

/// Reads a proportion such as `3:2`, `1.414` or `golden`, or a size such as `900 x 600`.
///
/// ```
/// use planner::backward::{Like, read};
/// use planner::Units;
/// assert_eq!(read("3:2", Units::Metric), Some(Like::Proportion(1.5)));
/// assert_eq!(read("1,5", Units::Metric), Some(Like::Proportion(1.5)));
/// assert!(matches!(read("90 x 60 cm", Units::Metric), Some(Like::Size(_))));
/// assert_eq!(read("3:0", Units::Metric), None);
/// ```
#[must_use]
pub fn read(text: &str, units: Units) -> Option<Like> {
    if let Some(size) = whole_size(text, None, units) {
        let size = size.ok()?;
        return Some(Like::Size([size.width, size.height]));
    }
    let number = |t: &str| {
        let (x, unit) = parse::number(t).ok()?;
        unit.is_empty().then_some(x)
    };
    let ratio = match text.trim() {
        "golden" | "golden section" => 1.618_033_988_749_895,
        "√2" | "root 2" => core::f64::consts::SQRT_2,
        text => match text.split_once(':') {
            Some((a, b)) => number(a)? / number(b)?,
            None => number(text)?,
        },
    };
    // Beyond ten to one is a slip of the sign (our choice).
    (0.1..=10.0)
        .contains(&ratio)
        .then_some(Like::Proportion(ratio))
}

/// What there is enough for.
#[derive(Clone, Debug, PartialEq)]
pub struct Backward {
    /// What was asked for: the maker's words, or the first canvas.
    pub like: Like,
    /// Rows of the rack that have no limit yet; nothing is answered before they have.
    pub unlimited: Vec<FieldRef>,
    /// Whether bead or cloth is taken to be bought as needed, because its rows have no limit.
    pub bought_as_needed: [bool; 2],
    /// The largest canvas of the proportion.
    pub largest: Option<Largest>,
    /// How many canvases of the size, where one is given.
    pub count: Option<Count>,
    /// What one more board of each length would bring, in the order of the rack.
    pub more: Vec<OneMore>,
    /// Jobs given to the cutting engine.
    pub tried: u32,
}

/// The largest canvas.
#[derive(Clone, Debug, PartialEq)]
pub struct Largest {
    /// Width and height as typed sizes are meant; zero where not even the smallest fits.
    pub size: [Figure<Length>; 2],
    /// Upright and level cross bars, and braces.
    pub bracing: [u32; 3],
    /// Whether its statics pass.
    pub stands: bool,
    /// By how much more it no longer fits.
    pub step: Length,
    /// What is in the way of that.
    pub ends_by: Option<Short>,
    /// The longer side up to which bars alone, without any bracing, would fit.
    pub bars_alone: Length,
    /// Whether every refusal on the way is proven.
    pub proven: bool,
}

/// How many canvases.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// So many.
    pub canvases: Figure<u64>,
    /// What is in the way of one more.
    pub ends_by: Option<Short>,
    /// Whether that is proven.
    pub proven: bool,
}

/// What one more board would bring.
#[derive(Clone, Debug, PartialEq)]
pub struct OneMore {
    /// Length of the board.
    pub length: Length,
    /// By how much the longer side grows.
    pub longer: Length,
    /// How many canvases more of the size.
    pub canvases: u64,
    /// Whether that is proven.
    pub proven: bool,
}

/// What is not enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Short {
    /// Boards.
    Batten,
    /// Bead.
    Bead,
    /// Cloth.
    Cloth,
    /// The size itself can't be made.
    Shape(String),
}

/// Steps of the engines for one job: a refusal is proven within them for racks of some dozens of
/// boards (measured).
const BOARD_STEPS: u64 = 6_000;
/// Steps for all jobs of an answer; when they are spent, each further job gets a few.
const ALL_STEPS: u64 = 200_000;
const FEW_STEPS: u64 = 400;
const CLOTH_STEPS: u64 = 60;
/// Different lengths of which one more is tried (our choice, for the answer within a second).
const MOST_LENGTHS: usize = 6;

/// Plans backward from the rack and the rolls of a draft; none where nothing says what to make,
/// or what says it can't be read.
#[must_use]
pub fn backward(draft: &Draft) -> Option<Backward> {
    let (mut brief, faults) = check(draft);
    if faults
        .iter()
        .any(|f| f.at == FieldRef::setting("from_rack"))
    {
        return None;
    }
    let like = match (&brief.from_rack, brief.canvases.first()) {
        (Some(like), _) => like.value,
        (None, Some(c)) => Like::Size([c.width.value, c.height.value]),
        (None, None) => return None,
    };
    let has_bead = brief.bead.value == Bead::QuarterRound;
    let unlimited_of = |of| {
        let rack = brief.boards.iter();
        rack.filter(move |s: &&Stock| s.of == of && s.limit.is_none())
    };
    let mut answer = Backward {
        like,
        unlimited: unlimited_of(BoardOf::Bars)
            .map(|s| FieldRef {
                table: Table::Boards,
                row: s.row,
                key: "limit",
            })
            .collect(),
        bought_as_needed: [
            has_bead && unlimited_of(BoardOf::Bead).next().is_some(),
            brief.rolls.iter().any(|r| r.available.is_none()),
        ],
        largest: None,
        count: None,
        more: Vec::new(),
        tried: 0,
    };
    let no_rack = brief.usual_rack || !brief.boards.iter().any(|s| s.of == BoardOf::Bars);
    if no_rack || !answer.unlimited.is_empty() {
        return Some(answer);
    }
    brief.cut.clear();
    let ratio = match like {
        Like::Proportion(ratio) => ratio,
        Like::Size([w, h]) => w / h,
    };
    let basis = basis(&brief);
    let mut search = Search {
        brief,
        basis,
        ratio,
        decided: Vec::new(),
        steps: ALL_STEPS,
        tried: 0,
    };
    let largest = search.largest();
    let size = match like {
        Like::Size(size) => Some(size),
        Like::Proportion(_) => None,
    };
    let count = size.map(|size| search.count(size, 0));
    let lengths = search.lengths();
    for (row, length) in lengths {
        search.more(row, 1);
        let longer = search.largest();
        let more = size
            .zip(count.as_ref())
            .map(|(size, now)| search.count(size, u32::try_from(now.canvases.value).unwrap_or(0)));
        search.more(row, -1);
        let grown = longer_side(&longer) - longer_side(&largest);
        answer.more.push(OneMore {
            length,
            longer: grown.max(Length::ZERO),
            canvases: (more.as_ref().zip(count.as_ref())).map_or(0, |(more, now)| {
                more.canvases.value.saturating_sub(now.canvases.value)
            }),
            proven: longer.proven && largest.proven && more.is_none_or(|m| m.proven),
        });
    }
    answer.largest = Some(largest);
    answer.count = count;
    answer.tried = search.tried;
    Some(answer)
}

fn longer_side(largest: &Largest) -> Length {
    largest.size[0].value.max(largest.size[1].value)
}

/// Whether a job fits.
enum Fit {
    Yes,
    No { short: Short, proven: bool },
}

struct Search {
    brief: Brief,
    basis: Basis,
    ratio: f64,
    /// Bracings that were decided, by the size in steps.
    decided: Vec<(i64, Braced)>,
    /// Steps that are left for the boards.
    steps: u64,
    tried: u32,
}

/// A bracing: cross bars, braces, and whether its statics pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Braced {
    bars: [u32; 2],
    braces: u32,
    stands: bool,
}

impl Braced {
    fn alike(self, other: Self) -> bool {
        (self.bars, self.braces) == (other.bars, other.braces)
    }
}

const BARS_ALONE: Braced = Braced {
    bars: [0, 0],
    braces: 0,
    stands: true,
};

impl Search {
    /// A millimetre, or the finest fraction of the page.
    fn step(&self) -> Length {
        match self.brief.show.units {
            Units::Metric => Length::MM,
            Units::Imperial => self.brief.show.step(),
        }
    }

    /// Width and height of the canvas whose longer side has so many steps; the other side is
    /// rounded to a step.
    fn size(&self, steps: i64) -> [Length; 2] {
        let step = self.step();
        let longer = step * steps;
        let other = longer
            .scale(self.ratio.min(1.0 / self.ratio))
            .round_to(step, Rounding::Nearest);
        if self.ratio >= 1.0 {
            [longer, other]
        } else {
            [other, longer]
        }
    }

    /// Fewest and most steps of the longer side that a canvas's fields take.
    fn range(&self) -> (i64, i64) {
        let steps = |mm: f64| {
            #[expect(clippy::cast_possible_truncation, reason = "at most 6 m")]
            let n = libm::ceil(mm / self.step().to_mm()) as i64;
            n
        };
        let sides = canvas_sides();
        let longer = sides.start().to_mm() * self.ratio.max(1.0 / self.ratio);
        let mut least = steps(longer - 1e-6);
        // Its other side may round down to less than a canvas may have.
        if self.size(least).iter().any(|side| side < sides.start()) {
            least += 1;
        }
        let most = steps(sides.end().to_mm() + 1e-6) - 1;
        (least.min(most), most)
    }

    /// The largest that fits: see the top of this file.
    fn largest(&mut self) -> Largest {
        let (least, most) = self.range();
        let mut proven = true;
        let bars_alone = self.last_that_fits(BARS_ALONE, least, most, &mut proven);
        let mut found = None;
        let mut at = bars_alone;
        while let Some(k) = at {
            let braced = self.decide(k);
            let from = self.first_braced_so(braced, least, k);
            found = self.last_that_fits(braced, from, k, &mut proven);
            if found.is_some() {
                break;
            }
            at = Some(from - 1).filter(|n| *n >= least);
        }
        let braced = found.map(|k| self.decide(k));
        let ends_by = found.filter(|k| *k < most).and_then(|k| {
            let next = self.decide(k + 1);
            match self.fits(self.size(k + 1), 1, next) {
                Fit::Yes => None,
                Fit::No {
                    short,
                    proven: sure,
                } => {
                    proven &= sure;
                    Some(short)
                }
            }
        });
        let size = found.map_or([Length::ZERO; 2], |k| self.size(k));
        let inputs = alloc::vec![
            Input::constant("width / height", self.ratio),
            self.rack_input(),
            Input::constant("jobs tried", u64::from(self.tried)),
        ];
        Largest {
            size: size.map(|side| Figure::new(side, &f::BACKWARD_LARGEST, inputs.clone())),
            bracing: braced.map_or([0; 3], |b| [b.bars[0], b.bars[1], b.braces]),
            stands: braced.is_none_or(|b| b.stands),
            step: self.step(),
            ends_by,
            bars_alone: self.step() * bars_alone.unwrap_or(0),
            proven,
        }
    }

    /// The most steps up to `most` at which a bracing fits, by halving.
    fn last_that_fits(
        &mut self,
        braced: Braced,
        least: i64,
        most: i64,
        proven: &mut bool,
    ) -> Option<i64> {
        let mut try_at = |this: &mut Self, k: i64| match this.fits(this.size(k), 1, braced) {
            Fit::Yes => true,
            Fit::No { proven: sure, .. } => {
                *proven &= sure;
                false
            }
        };
        if try_at(self, most) {
            return Some(most);
        }
        if !try_at(self, least) {
            return None;
        }
        let (mut fits, mut not) = (least, most);
        while not - fits > 1 {
            let middle = fits + (not - fits) / 2;
            if try_at(self, middle) {
                fits = middle;
            } else {
                not = middle;
            }
        }
        Some(fits)
    }

    /// The fewest steps from which on, up to `k`, the bracing is the one of `k`; looked at every
    /// few steps, then to the step.
    fn first_braced_so(&mut self, braced: Braced, least: i64, k: i64) -> i64 {
        let (mut other, mut so) = (least - 1, k);
        while so > least {
            let next = (so - STRIDE).max(least);
            if !self.decide(next).alike(braced) {
                other = next;
                break;
            }
            so = next;
        }
        while so - other > 1 {
            let middle = other + (so - other) / 2;
            if self.decide(middle).alike(braced) {
                so = middle;
            } else {
                other = middle;
            }
        }
        so
    }

    /// How many canvases of a size fit, from a number on that is known to fit.
    fn count(&mut self, size: [Length; 2], known: u32) -> Count {
        let braced = self.bracing(size);
        let (mut fits, mut not) = (known, MOST_CANVASES + 1);
        let mut ends_by = None;
        let mut proven = true;
        let mut reach = 1;
        while not - fits > 1 {
            // Doubling until it fails, then halving.
            let n = if not > MOST_CANVASES {
                (fits + reach).min(MOST_CANVASES)
            } else {
                fits + (not - fits) / 2
            };
            match self.fits(size, n, braced) {
                Fit::Yes => {
                    fits = n;
                    reach *= 2;
                }
                Fit::No {
                    short,
                    proven: sure,
                } => {
                    not = n;
                    ends_by = Some(short);
                    proven &= sure;
                }
            }
        }
        let inputs = alloc::vec![
            Input::constant("width", size[0]),
            Input::constant("height", size[1]),
            self.rack_input(),
        ];
        Count {
            canvases: Figure::new(u64::from(fits), &f::BACKWARD_COUNT, inputs),
            ends_by,
            proven,
        }
    }

    /// The distinct lengths of batten on the rack, the longest first, each by one of its rows.
    fn lengths(&self) -> Vec<(usize, Length)> {
        let mut all: Vec<(usize, Length)> = Vec::new();
        for s in self.brief.boards.iter().filter(|s| s.of == BoardOf::Bars) {
            let whole = s.bad.is_empty() && s.limit.is_some();
            if whole && all.iter().all(|(_, l)| *l != s.length) {
                all.push((s.row, s.length));
            }
        }
        quantity::order::sort_by(&mut all, |a, b| a.1 > b.1);
        all.truncate(MOST_LENGTHS);
        all
    }

    fn more(&mut self, row: usize, by: i32) {
        for s in self.brief.boards.iter_mut().filter(|s| s.row == row) {
            s.limit = s.limit.map(|n| n.saturating_add_signed(by));
        }
    }

    fn rack_input(&self) -> Input {
        let rack = self.brief.boards.iter().filter(|s| s.of == BoardOf::Bars);
        let length: Length = rack
            .map(|s| s.length * i64::from(s.limit.unwrap_or(0)))
            .sum();
        Input {
            name: "batten on the rack",
            value: length.into(),
            origin: Origin::Chosen,
            waiting: Vec::new(),
        }
    }

    fn canvas(&self, size: [Length; 2], count: u32) -> Canvas {
        let field = |key| FieldRef {
            table: Table::Canvases,
            row: 0,
            key,
        };
        fn given<T>(value: T, field: FieldRef) -> Given<T> {
            Given {
                value,
                origin: Origin::Chosen,
                field,
            }
        }
        Canvas {
            row: 0,
            name: String::new(),
            width: given(size[0], field("width")),
            height: given(size[1], field("height")),
            count: given(count, field("count")),
            upright_bars: None,
            level_bars: None,
            braces: given(crate::brief::Braces::Auto, field("braces")),
        }
    }

    /// The bracing of a size in steps, remembered.
    fn decide(&mut self, steps: i64) -> Braced {
        if let Some((_, known)) = self.decided.iter().find(|(k, _)| *k == steps) {
            return *known;
        }
        let braced = self.bracing(self.size(steps));
        self.decided.push((steps, braced));
        braced
    }

    fn bracing(&self, size: [Length; 2]) -> Braced {
        let canvas = self.canvas(size, 1);
        let (bracing, stands) = decided(&self.brief, &self.basis, &canvas);
        Braced {
            bars: [bracing.upright.value, bracing.level.value],
            braces: bracing.braces.value,
            stands,
        }
    }

    /// Whether so many canvases of a size can be made with this bracing.
    fn fits(&mut self, size: [Length; 2], count: u32, braced: Braced) -> Fit {
        self.tried += 1;
        let canvas = self.canvas(size, count);
        let known = |n| Figure::new(n, &f::MAKER_SAYS, Vec::new());
        let bracing = Bracing {
            upright: known(braced.bars[0]),
            level: known(braced.bars[1]),
            braces: known(braced.braces),
            rule: [0; 2],
            statics: None,
        };
        let made = match frame(&self.brief, &canvas, sizes(&self.brief, &canvas), &bracing) {
            Ok(frame) => frame,
            Err(faults) => {
                let why = faults.first().map(|x| x.message(self.brief.show));
                return Fit::No {
                    short: Short::Shape(why.unwrap_or_default()),
                    proven: true,
                };
            }
        };
        for (of, short) in [(BoardOf::Bars, Short::Batten), (BoardOf::Bead, Short::Bead)] {
            if let Some(proven) = self.runs_out(of, &pieces(&self.brief, of, &made, count)) {
                return Fit::No { short, proven };
            }
        }
        match self.cloth_runs_out(&canvas, &made) {
            Some(proven) => Fit::No {
                short: Short::Cloth,
                proven,
            },
            None => Fit::Yes,
        }
    }

    /// Whether boards of a section are short of these pieces, and whether that is proven.
    fn runs_out(&mut self, of: BoardOf, list: &[CutPiece]) -> Option<bool> {
        if list.is_empty() {
            return None;
        }
        let rack: Vec<&Stock> = self.brief.boards.iter().filter(|s| s.of == of).collect();
        if rack.is_empty() {
            return Some(true);
        }
        let counts: Vec<u32> = list.iter().map(|p| p.count).collect();
        let job = timber::job(&self.brief, of, &rack, list, &counts, false);
        match boards::Solver::new(&job) {
            Err(boards::Error::StockRunsOut { proven, .. }) => Some(proven),
            Err(_) => Some(true),
            Ok(mut solver) => {
                let mut left = BOARD_STEPS.min(self.steps.max(FEW_STEPS));
                loop {
                    let plan = solver.best();
                    if plan.missing.is_empty() {
                        return None;
                    }
                    if plan.proven || left == 0 {
                        return Some(plan.proven);
                    }
                    let some = left.min(BOARD_STEPS / 8);
                    solver.step(boards::Steps(some));
                    left -= some;
                    self.steps = self.steps.saturating_sub(some);
                }
            }
        }
    }

    fn cloth_runs_out(&self, canvas: &Canvas, made: &Frame) -> Option<bool> {
        let blank = cloth::blank(&self.brief, made);
        let wanted = [cloth::wanted(canvas, 0, &blank)];
        let job = cloth::job(&self.brief, &wanted, false);
        match roll::solve(&job, roll::Steps(CLOTH_STEPS)) {
            Ok(_) => None,
            Err(roll::Error::NotEnoughCloth { proven, .. }) => Some(proven),
            Err(_) => Some(true),
        }
    }
}

/// Steps between two sizes of which the bracing is looked at (our choice): bracing that changes
/// for fewer and changes back would be overlooked.
const STRIDE: i64 = 16;

/// More canvases than this are a slip of the size (as the field of a row).
const MOST_CANVASES: u32 = 500;

/// The pieces of so many frames, equal ones together.
fn pieces(brief: &Brief, of: BoardOf, made: &Frame, count: u32) -> Vec<CutPiece> {
    let mut list: Vec<CutPiece> = Vec::new();
    let mut add = |length: Length, ends: Ends, n: u32| match list
        .iter_mut()
        .find(|p| p.length == length && p.ends == ends)
    {
        Some(p) => p.count += n,
        None => list.push(CutPiece {
            letter: 0.to_string(),
            length,
            short_edge: None,
            ends,
            count: n,
            goes_to: Vec::new(),
        }),
    };
    match of {
        BoardOf::Bars => {
            for m in &made.members {
                add(m.as_sawn.value, m.ends, m.count * count);
            }
        }
        BoardOf::Bead if brief.bead.value == Bead::QuarterRound => {
            for side in [made.outer_width.value, made.outer_height.value] {
                let length = side + brief.bead_overhang.value * 2;
                add(length, Ends::Mitred, 2 * count);
            }
        }
        BoardOf::Bead => {}
    }
    list
}
