//! The cloth: blanks, folds, and how they come off the roll.

use alloc::string::String;
use alloc::vec::Vec;
use quantity::order::sort;

use cutting::roll;
use quantity::physics::{Area, Mass, Ratio};
use quantity::{Length, Money, Rounding};
use serde::Serialize;

use crate::brief::{Bead, Brief, Canvas, PricePer, Weave, YesNo};
use crate::fault::{Fault, FaultKind};
use crate::fields::{FieldRef, Table};
use crate::figure::{Figure, Input};
use crate::formulas as f;
use crate::frame::Frame;
use crate::searches::Searches;

/// The piece of cloth for one canvas and the lines on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Blank {
    /// Width of the canvas plus what goes round, as stretched.
    pub width: Figure<Length>,
    /// Height of the canvas plus what goes round.
    pub height: Figure<Length>,
    /// Width to cut off the roll: larger where the cloth is washed first.
    pub cut_width: Figure<Length>,
    /// Height to cut off the roll.
    pub cut_height: Figure<Length>,
    /// Pencil guide line: the front fold, measured from the blank's edge.
    pub front_fold: Figure<Length>,
    /// Where the cloth turns onto the back, from the blank's edge.
    pub back_fold: Figure<Length>,
    /// Where the grip is trimmed or folded in, from the blank's edge.
    pub trim_line: Figure<Length>,
    /// Mass of the cloth that stays on the frame, grip trimmed off.
    pub mass: Figure<Mass>,
}

/// How far the bead lifts the cloth off the bars.
pub(crate) fn rise(brief: &Brief) -> Length {
    match brief.bead.value {
        Bead::QuarterRound => brief.bead_size.value,
        Bead::Bevel | Bead::Nothing => Length::ZERO,
    }
}

/// The blank of a canvas.
pub(crate) fn blank(brief: &Brief, frame: &Frame) -> Blank {
    let rise = rise(brief);
    let around = [
        brief.bead_size.input_as(rise),
        brief.bar_depth.input(),
        brief.turnover.input(),
        brief.grip.input(),
    ];
    let to_trim = brief.grip.value;
    let to_back = to_trim + brief.turnover.value;
    let to_front = to_back + brief.bar_depth.value + rise;
    let side = |finished: &Figure<Length>, name| {
        let mut inputs = alloc::vec![finished.input(name)];
        inputs.extend(around.iter().cloned());
        Figure::new(finished.value + to_front * 2, &f::BLANK, inputs)
    };
    let width = side(&frame.finished_width, "finished width");
    let height = side(&frame.finished_height, "finished height");
    let (shrink_w, shrink_h) = shrinkage(brief);
    let stays = |x: &Figure<Length>| (x.value - to_trim * 2).to_m();
    let mass = Figure::new(
        Mass::from_grams(stays(&width) * stays(&height) * brief.cloth_mass.value.to_g_per_m2()),
        &f::CLOTH_MASS,
        alloc::vec![
            width.input("blank width"),
            height.input("blank height"),
            brief.grip.input(),
            brief.cloth_mass.input()
        ],
    );
    Blank {
        cut_width: before_wash(&width, shrink_w),
        cut_height: before_wash(&height, shrink_h),
        front_fold: Figure::new(to_front, &f::FOLD_FRONT, around.to_vec()),
        back_fold: Figure::new(
            to_back,
            &f::FOLD_BACK,
            alloc::vec![brief.grip.input(), brief.turnover.input()],
        ),
        trim_line: Figure::new(to_trim, &f::TRIM_LINE, alloc::vec![brief.grip.input()]),
        width,
        height,
        mass,
    }
}

/// Shrinkage of the blank's width and height; the larger of the two where the blank may lie
/// either way on the roll.
fn shrinkage(brief: &Brief) -> (Option<Input>, Option<Input>) {
    if brief.prewash.value == YesNo::No {
        return (None, None);
    }
    let (warp, weft) = (brief.shrink_warp.input(), brief.shrink_weft.input());
    match brief.weave.value {
        Weave::Height => (Some(weft), Some(warp)),
        Weave::Width => (Some(warp), Some(weft)),
        Weave::Free => {
            let more = if brief.shrink_warp.value > brief.shrink_weft.value {
                warp
            } else {
                weft
            };
            (Some(more.clone()), Some(more))
        }
    }
}

fn before_wash(side: &Figure<Length>, shrink: Option<Input>) -> Figure<Length> {
    let Some(shrink) = shrink else {
        return side.clone();
    };
    let crate::figure::Value::Ratio(s) = shrink.value else {
        return side.clone();
    };
    let washed = Length::from_mm_f64(side.value.to_mm() / (1.0 - s.to_ratio()));
    Figure::new(
        washed,
        &f::PREWASH,
        alloc::vec![side.input("blank as stretched"), shrink],
    )
}

/// The cloth to buy and how it is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClothPurchase {
    /// What to buy off each roll that is used.
    pub lengths: Vec<RollLength>,
    /// Price of it all, where every roll has a price.
    pub cost: Option<Figure<Money>>,
    /// Whether no cheaper (or, without prices, smaller) cutting exists.
    pub proven: bool,
    /// At most so much money could be saved; none without prices.
    pub gap: Option<Money>,
    /// Where each blank lies.
    pub placed: Vec<PlacedBlank>,
    /// Cuts in the order shears make them.
    pub cuts: Vec<ClothCut>,
    /// What is left and large enough to name.
    pub remnants: Vec<Remnant>,
    /// Share of the bought cloth that becomes no blank.
    pub waste: Figure<Ratio>,
}

/// What to buy off one roll.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RollLength {
    /// Row of the roll in the draft.
    pub row: usize,
    /// Roll width.
    pub width: Length,
    /// Length that the blanks need.
    pub used: Length,
    /// Length to ask for.
    pub buy: Figure<Length>,
    /// Price of it.
    pub cost: Option<Money>,
}

/// A blank on a roll.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacedBlank {
    /// Index of the canvas in the plan.
    pub canvas: usize,
    /// Index into [`ClothPurchase::lengths`].
    pub roll: usize,
    /// From the left edge of the roll.
    pub x: Length,
    /// Along the roll.
    pub y: Length,
    /// Size across the roll as it lies.
    pub across: Length,
    /// Size along the roll as it lies.
    pub along: Length,
    /// Whether its height runs across the roll.
    pub turned: bool,
}

/// One straight cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ClothCut {
    /// Index into [`ClothPurchase::lengths`].
    pub roll: usize,
    /// Whether it runs across the roll; else along it.
    pub across: bool,
    /// Where: distance along the roll for a cut across, from the left edge for one along.
    pub at: Length,
    /// Where it begins, in the other direction.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// A left-over rectangle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Remnant {
    /// Index into [`ClothPurchase::lengths`].
    pub roll: usize,
    /// From the left edge of the roll.
    pub x: Length,
    /// Along the roll.
    pub y: Length,
    /// Size across.
    pub across: Length,
    /// Size along.
    pub along: Length,
    /// The largest canvas of this plan that could still be cut from it, by index.
    pub enough_for: Option<usize>,
}

/// A blank wanted for a canvas.
pub(crate) struct Wanted<'a> {
    pub(crate) canvas: usize,
    pub(crate) row: usize,
    pub(crate) count: u32,
    pub(crate) blank: &'a Blank,
}

/// Buys the cloth: least price, then shortest.
///
/// # Errors
///
/// Faults at the canvas or the roll that stands in the way.
pub(crate) fn buy(
    brief: &Brief,
    wanted: &[Wanted<'_>],
    (searches, steps): (&mut Searches, u64),
) -> Result<ClothPurchase, Vec<Fault>> {
    let priced = prices(brief)?;
    if brief.rolls.is_empty() {
        // Rolls that can't be read are said already.
        return Err(Vec::new());
    }
    let job = job(brief, wanted, priced);
    let plan = (searches.cloth(&job, steps)).map_err(|e| alloc::vec![fault(brief, wanted, &e)])?;
    Ok(purchase(brief, wanted, &job, &plan, priced))
}

/// Whether the rolls are priced: all, or none.
fn prices(brief: &Brief) -> Result<bool, Vec<Fault>> {
    let with = brief.rolls.iter().filter(|r| r.price.is_some()).count();
    if with == 0 || with == brief.rolls.len() {
        return Ok(with > 0);
    }
    Err(brief
        .rolls
        .iter()
        .filter(|r| r.price.is_none())
        .map(|r| Fault {
            at: FieldRef {
                table: Table::Rolls,
                row: r.row,
                key: "price",
            },
            kind: FaultKind::Missing,
        })
        .collect())
}

/// The cutting job of these blanks.
pub(crate) fn job(brief: &Brief, wanted: &[Wanted<'_>], priced: bool) -> roll::Job {
    let rolls = brief
        .rolls
        .iter()
        .map(|r| roll::Roll {
            width: r.width,
            price: match r.price {
                Some(p) if priced => p,
                // Without prices the least area is bought: a length costs its width.
                _ => Money::from_hundredths(r.width.as_nm() / 1_000_000),
            },
            available: r.available,
        })
        .collect();
    let blanks = wanted
        .iter()
        .map(|w| {
            let (width, height) = (w.blank.cut_width.value, w.blank.cut_height.value);
            let (across, along, turn) = match brief.weave.value {
                Weave::Free => (width, height, roll::Turn::May),
                Weave::Height => (width, height, roll::Turn::MayNot),
                Weave::Width => (height, width, roll::Turn::MayNot),
            };
            roll::Blank {
                across,
                along,
                count: w.count,
                turn,
            }
        })
        .collect();
    roll::Job {
        rolls,
        blanks,
        gap: brief.cloth_gap.value,
        selvedge: brief.selvedge.value,
        price_per: price_per(brief),
        step: brief.cloth_step.value,
    }
}

/// The length that a price buys.
fn price_per(brief: &Brief) -> Length {
    match brief.cloth_price_per.value {
        PricePer::Metre => Length::from_mm(1000),
        PricePer::Yard => Length::INCH * 36,
    }
}

fn purchase(
    brief: &Brief,
    wanted: &[Wanted<'_>],
    job: &roll::Job,
    plan: &roll::Plan,
    priced: bool,
) -> ClothPurchase {
    let mut index = alloc::vec![usize::MAX; job.rolls.len()];
    let mut lengths = Vec::new();
    for (i, used) in plan.lengths.iter().enumerate() {
        if *used <= Length::ZERO {
            continue;
        }
        index[i] = lengths.len();
        let r = &brief.rolls[i];
        let buy = Figure::new(
            job.bought(i, *used),
            &f::CLOTH_LENGTH,
            [
                Some(Input {
                    name: "length used",
                    value: (*used).into(),
                    origin: crate::figure::Origin::Computed,
                    waiting: waiting(brief, wanted),
                }),
                Some(brief.cloth_step.input()),
                r.available
                    .map(|all| Input::constant("left on the roll", all)),
            ]
            .into_iter()
            .flatten()
            .collect(),
        );
        let cost = r
            .price
            .filter(|_| priced)
            .map(|p| p.mul_div_up(buy.value.as_nm(), price_per(brief).as_nm()));
        lengths.push(RollLength {
            row: r.row,
            width: r.width,
            used: *used,
            buy,
            cost,
        });
    }
    let cost = priced.then(|| {
        Figure::new(
            lengths.iter().filter_map(|l| l.cost).sum(),
            &f::COST,
            lengths
                .iter()
                .map(|l| l.buy.input("cloth to buy"))
                .collect(),
        )
    });
    let bought: f64 = lengths
        .iter()
        .map(|l: &RollLength| l.buy.value.to_m() * l.width.to_m())
        .sum();
    let used: f64 = wanted
        .iter()
        .map(|w| {
            w.blank.cut_width.value.to_m() * w.blank.cut_height.value.to_m() * f64::from(w.count)
        })
        .sum();
    let gap = priced.then(|| plan.cost - plan.bound);
    let placed = plan
        .placed
        .iter()
        .map(|p| {
            let b = &job.blanks[p.blank];
            let (across, along) = if p.turned {
                (b.along, b.across)
            } else {
                (b.across, b.along)
            };
            PlacedBlank {
                canvas: wanted[p.blank].canvas,
                roll: index[p.roll],
                x: p.x,
                y: p.y,
                across,
                along,
                turned: p.turned != (brief.weave.value == Weave::Width),
            }
        })
        .collect();
    let cuts = plan
        .cuts
        .iter()
        .map(|c| ClothCut {
            roll: index[c.roll],
            across: c.way == roll::Way::Across,
            at: c.at,
            from: c.from,
            to: c.to,
        })
        .collect();
    let inside = plan
        .remnants
        .iter()
        .filter(|r| index[r.roll] != usize::MAX)
        .map(|r| (index[r.roll], (r.x, r.y), (r.w, r.h)));
    // What whole steps bring beyond the last blank.
    let tails = lengths.iter().enumerate().map(|(i, l)| {
        let selvedge = brief.selvedge.value;
        let size = (l.width - selvedge * 2, l.buy.value - l.used);
        (i, (selvedge, l.used), size)
    });
    let remnants = inside
        .chain(tails)
        .filter(|(_, _, (across, along))| (*across).min(*along) >= Length::from_mm(150))
        .map(|(roll, (x, y), (across, along))| Remnant {
            roll,
            x,
            y,
            across,
            along,
            enough_for: largest_fit(brief, wanted, across, along),
        })
        .collect();
    ClothPurchase {
        lengths,
        cost,
        proven: plan.proven,
        gap,
        placed,
        cuts,
        remnants,
        waste: Figure::new(
            Ratio::from_ratio(if bought > 0.0 {
                (1.0 - used / bought).max(0.0)
            } else {
                0.0
            }),
            &f::CLOTH_WASTE,
            alloc::vec![
                Input {
                    name: "blanks",
                    value: Area::from_m2(used).into(),
                    origin: crate::figure::Origin::Computed,
                    waiting: waiting(brief, wanted)
                },
                Input {
                    name: "bought",
                    value: Area::from_m2(bought).into(),
                    origin: crate::figure::Origin::Computed,
                    waiting: Vec::new()
                },
            ],
        ),
    }
}

/// Fields that the blanks, the rolls or the cutting wait for.
fn waiting(brief: &Brief, wanted: &[Wanted<'_>]) -> Vec<FieldRef> {
    let mut all = brief.unread.canvases.clone();
    all.extend(&brief.unread.rolls);
    for length in [&brief.cloth_gap, &brief.selvedge] {
        all.extend(length.is_waiting().then_some(length.field));
    }
    all.extend(brief.weave.is_waiting().then_some(brief.weave.field));
    let per = &brief.cloth_price_per;
    all.extend(per.is_waiting().then_some(per.field));
    for w in wanted {
        all.extend(w.blank.cut_width.how.waiting());
        all.extend(w.blank.cut_height.how.waiting());
    }
    sort(&mut all);
    all.dedup();
    all
}

fn largest_fit(
    brief: &Brief,
    wanted: &[Wanted<'_>],
    across: Length,
    along: Length,
) -> Option<usize> {
    let fits = |w: &&Wanted<'_>| {
        let (bw, bh) = (w.blank.cut_width.value, w.blank.cut_height.value);
        let up = bw <= across && bh <= along;
        let lying = bh <= across && bw <= along;
        match brief.weave.value {
            Weave::Free => up || lying,
            Weave::Height => up,
            Weave::Width => lying,
        }
    };
    wanted
        .iter()
        .filter(fits)
        .max_by_key(|w| {
            i128::from(w.blank.cut_width.value.as_nm())
                * i128::from(w.blank.cut_height.value.as_nm())
        })
        .map(|w| w.canvas)
}

/// A cutting error in the maker's words, at the field to change.
fn fault(brief: &Brief, wanted: &[Wanted<'_>], error: &roll::Error) -> Fault {
    let show = brief.show;
    let roll_field = |row: usize, key: &'static str| FieldRef {
        table: Table::Rolls,
        row,
        key,
    };
    let conflict = |at: FieldRef, what: String, remedy: String| Fault {
        at,
        kind: FaultKind::Conflict { what, remedy },
    };
    match error {
        roll::Error::BlankTooWide { blank, width } => {
            let w = &wanted[*blank];
            conflict(
                FieldRef {
                    table: Table::Canvases,
                    row: w.row,
                    key: "width",
                },
                alloc::format!(
                    "The blank of {} is wider than every roll.",
                    crate::frame::size_words(
                        show,
                        w.blank.cut_width.value,
                        w.blank.cut_height.value
                    )
                ),
                alloc::format!(
                    "A roll of {} would do.",
                    show.length_rounded(*width, Rounding::Up)
                ),
            )
        }
        roll::Error::NotEnoughCloth { missing, .. } => conflict(
            roll_field(brief.rolls.first().map_or(0, |r| r.row), "available"),
            "There is not enough cloth on the rolls.".into(),
            alloc::format!("{} more would do.", show.run_up(*missing)),
        ),
        roll::Error::NothingBetweenSelvedges { roll } => conflict(
            roll_field(brief.rolls.get(*roll).map_or(0, |r| r.row), "width"),
            "The selvedges leave nothing of this roll.".into(),
            "Take a wider roll or a smaller selvedge.".into(),
        ),
        other => conflict(
            FieldRef {
                table: Table::Canvases,
                row: 0,
                key: "count",
            },
            "This is more cloth than can be planned at once.".into(),
            alloc::format!("{other}."),
        ),
    }
}

/// The area to be covered with size or ground: front and edges.
pub(crate) fn front_and_edges(brief: &Brief, frame: &Frame) -> Figure<Area> {
    let (w, h) = (
        frame.finished_width.value.to_m(),
        frame.finished_height.value.to_m(),
    );
    let edge = (rise(brief) + brief.bar_depth.value).to_m();
    Figure::new(
        Area::from_m2(w * h + 2.0 * (w + h) * edge),
        &f::SIZE_AREA,
        alloc::vec![
            frame.finished_width.input("finished width"),
            frame.finished_height.input("finished height"),
            brief.bead_size.input_as(rise(brief)),
            brief.bar_depth.input(),
        ],
    )
}

/// The row-independent parts of a canvas that the cloth needs.
pub(crate) fn wanted<'a>(canvas: &Canvas, index: usize, blank: &'a Blank) -> Wanted<'a> {
    Wanted {
        canvas: index,
        row: canvas.row,
        count: canvas.count.value,
        blank,
    }
}
