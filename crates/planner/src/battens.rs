//! More than one section on the rack: the plan made of each, side by side.
//!
//! A row of the rack may name its section; such rows are no part of the plan unless it is the one
//! of the batten in hand. The other sections at hand are planned with
//!
//! * the rows that name them; else
//! * the lengths of the batten in hand, at the price of a metre that stands behind them; else
//! * those lengths without a price.
//!
//! Everything else stays as it is, but boards that are cut already are of the batten in hand: the
//! others start afresh.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use quantity::physics::{Mass, Ratio};
use quantity::{Length, Money};
use serde::Serialize;

use crate::bracing::{Check, CheckKind};
use crate::brief::{BoardOf, Brief, OtherBatten, USUAL_BATTENS, USUAL_BEADS, check};
use crate::draft::{Draft, Record};
use crate::figure::{Figure, Input};
use crate::formulas as f;
use crate::frame::Part;
use crate::plan::{CanvasPlan, Effort, Plan, plan_with};
use crate::show::exact_mm;
use crate::timber::{BuyLine, Purchase};

/// The most sections that are compared, the batten in hand among them: more would keep the page
/// waiting.
pub const MOST: usize = 8;

/// The plan made of one section.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Batten {
    /// Its face.
    pub face: Length,
    /// Its depth.
    pub depth: Length,
    /// Whether it is the batten in hand.
    pub in_hand: bool,
    /// Where its boards come from.
    pub rack: RackOf,
    /// Boards to buy.
    pub lines: Vec<BuyLine>,
    /// Their length; none where nothing can be bought.
    pub length: Option<Figure<Length>>,
    /// Their price; none where they have none.
    pub cost: Option<Figure<Money>>,
    /// Whether nothing better can be bought.
    pub proven: bool,
    /// Mass of the wood of all frames.
    pub mass: Option<Figure<Mass>>,
    /// Cross bars of all frames.
    pub cross_bars: u64,
    /// Corner braces of all frames.
    pub braces: u64,
    /// Frames that fail a check of the statics however they are braced.
    pub failing: u64,
    /// The check that uses most of its limit over all frames: what it is, on which part, and how
    /// much of the limit.
    pub governs: Option<(CheckKind, Option<Part>, Figure<Ratio>)>,
    /// What stands in the way, if anything.
    pub why_not: Option<String>,
    /// What it is the best at, among those that can be bought and whose frames pass.
    pub best: Best,
}

/// Where a section's boards come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RackOf {
    /// From rows of the rack of its own.
    Rows,
    /// From the lengths of the batten in hand, at its price of a metre.
    PriceOfMetre,
    /// From the lengths of the batten in hand, without a price.
    Lengths,
}

/// What a section is the best at; ties share it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Best {
    /// Costs least.
    pub cost: bool,
    /// Weighs least.
    pub mass: bool,
    /// Needs fewest cross bars and braces.
    pub bracing: bool,
}

/// Plans the draft with each section at hand: first the batten in hand, then those on the rack,
/// then those of the settings.
///
/// ```
/// use planner::{Draft, Effort, battens};
/// let tree = serde_json::from_str(r#"{"bar_face":"45 mm","bar_depth":"20 mm",
///     "canvases":[{"width":"600 mm","height":"500 mm"}],
///     "other_sections":"63 × 38 mm at 4.20",
///     "boards":[{"length":"2400 mm","price":"6.00"},{"length":"2400 mm","price":"5.00","section":"38 × 19 mm"},
///               {"of":"bead","length":"2400 mm","price":"4.80"}]}"#).unwrap();
/// let all = battens::compare(&Draft::from_tree(&tree).0, Effort::default());
/// let cost = |n: usize| all[n].cost.as_ref().unwrap().value.as_hundredths();
/// // One board each: 6.00, 5.00, and 2.4 m at 4.20 a metre.
/// assert_eq!([cost(0), cost(1), cost(2)], [600, 500, 1008]);
/// assert!(all[1].best.cost);
/// ```
#[must_use]
pub fn compare(draft: &Draft, effort: Effort) -> Vec<Batten> {
    let (brief, _) = check(draft);
    let mut all: Vec<Batten> = sections(&brief)
        .into_iter()
        .map(|section| {
            let (draft, rack) = made_of(draft, &brief, &section);
            // The cloth is the same for all.
            let plan = plan_with(&draft, Effort { cloth: 1, ..effort });
            batten(&brief, &section, rack, &plan)
        })
        .collect();
    mark_best(&mut all);
    all
}

/// The sections at hand, each once.
fn sections(brief: &Brief) -> Vec<OtherBatten> {
    let mut all = alloc::vec![OtherBatten {
        face: brief.bar_face.value,
        depth: brief.bar_depth.value,
        price: None,
    }];
    let on_rack = brief.other_boards.iter().map(|b| OtherBatten {
        face: b.section[0],
        depth: b.section[1],
        price: None,
    });
    for section in on_rack.chain(brief.other_sections.value.iter().copied()) {
        if all.len() < MOST && all.iter().all(|s| !same(s, section.face, section.depth)) {
            all.push(section);
        }
    }
    all
}

fn same(section: &OtherBatten, face: Length, depth: Length) -> bool {
    (section.face, section.depth) == (face, depth)
}

/// The draft made of a section, and where its boards come from.
fn made_of(draft: &Draft, brief: &Brief, section: &OtherBatten) -> (Draft, RackOf) {
    let mut made = draft.clone();
    if same(section, brief.bar_face.value, brief.bar_depth.value) {
        return (made, RackOf::Rows);
    }
    made.settings.insert("bar_face", exact_mm(section.face));
    made.settings.insert("bar_depth", exact_mm(section.depth));
    made.cut.clear();
    let rows: Vec<usize> = brief
        .other_boards
        .iter()
        .filter(|b| same(section, b.section[0], b.section[1]))
        .map(|b| b.row)
        .collect();
    if !rows.is_empty() {
        let row = |(n, record): (usize, Record)| {
            (rows.contains(&n) || is_bead(&record)).then_some(record)
        };
        made.boards = made
            .boards
            .into_iter()
            .enumerate()
            .filter_map(row)
            .collect();
        return (made, RackOf::Rows);
    }
    if brief.usual_rack && section.price.is_none() {
        return (made, RackOf::Lengths);
    }
    made.boards = boards_of(draft, brief, section.price);
    let rack = match section.price {
        Some(_) => RackOf::PriceOfMetre,
        None => RackOf::Lengths,
    };
    (made, rack)
}

fn is_bead(record: &Record) -> bool {
    record.get("of").is_some_and(|of| of == "bead")
}

/// The lengths of the batten in hand, each once, at a price of a metre; and the bead as it is.
fn boards_of(draft: &Draft, brief: &Brief, price: Option<Money>) -> Vec<Record> {
    let mut lengths: Vec<Length> = brief
        .boards
        .iter()
        // Single boards and offcuts are of the batten in hand.
        .filter(|b| b.of == BoardOf::Bars && b.limit.is_none() && b.bad.is_empty())
        .map(|b| b.length)
        .collect();
    if lengths.is_empty() {
        lengths.extend(USUAL_BATTENS.map(Length::from_mm));
    }
    quantity::order::sort(&mut lengths);
    lengths.dedup();
    let mut rows: Vec<Record> = lengths
        .into_iter()
        .map(|length| {
            let mut row = Record::new();
            row.insert("length", exact_mm(length));
            if let Some(price) = price {
                let metre = Length::from_mm(1000).as_nm();
                row.insert("price", price.mul_div_up(length.as_nm(), metre).to_string());
            }
            row
        })
        .collect();
    rows.extend(draft.boards.iter().filter(|r| is_bead(r)).cloned());
    if brief.usual_rack {
        rows.extend(USUAL_BEADS.map(|mm| {
            let mut row = Record::new();
            row.insert("of", "bead".to_string());
            row.insert("length", exact_mm(Length::from_mm(mm)));
            row
        }));
    }
    rows
}

fn batten(brief: &Brief, section: &OtherBatten, rack: RackOf, plan: &Plan) -> Batten {
    let bought: Option<&Purchase> = plan.boards.as_ref();
    let sum = |of: &dyn Fn(&CanvasPlan) -> u64| {
        plan.canvases
            .iter()
            .map(|c| u64::from(c.count) * of(c))
            .sum()
    };
    let failing = sum(&|c| u64::from(c.bracing.statics.as_ref().is_some_and(|s| !s.stands)));
    let fault = plan.faults.first().map(|f| f.message(brief.show));
    Batten {
        face: section.face,
        depth: section.depth,
        in_hand: same(section, brief.bar_face.value, brief.bar_depth.value),
        rack,
        lines: bought.map_or_else(Vec::new, |b| b.lines.clone()),
        length: bought.map(|b| b.total_length.clone()),
        cost: bought.and_then(|b| b.cost.clone()),
        proven: bought.is_some_and(|b| b.proven),
        mass: mass(plan),
        cross_bars: sum(&|c| u64::from(c.bracing.upright.value + c.bracing.level.value)),
        braces: sum(&|c| u64::from(c.bracing.braces.value)),
        failing,
        governs: governs(plan),
        why_not: fault.filter(|_| bought.is_none()),
        best: Best::default(),
    }
}

/// Of all frames the check that uses most of its limit.
fn governs(plan: &Plan) -> Option<(CheckKind, Option<Part>, Figure<Ratio>)> {
    let mut most: Option<&Check> = None;
    for canvas in &plan.canvases {
        // The first of a frame's checks uses most.
        let statics = canvas.bracing.statics.as_ref();
        if let Some(check) = statics.and_then(|s| s.checks.first())
            && most.is_none_or(|m| check.used.value > m.used.value)
        {
            most = Some(check);
        }
    }
    most.map(|check| (check.kind, check.part, check.used.clone()))
}

/// Mass of the wood of all frames.
fn mass(plan: &Plan) -> Option<Figure<Mass>> {
    let mut all = Mass::from_grams(0.0);
    let mut inputs = Vec::new();
    for canvas in &plan.canvases {
        let wood = &canvas.hanging.as_ref()?.wood;
        all += wood.value * f64::from(canvas.count);
        if inputs.len() < 2 * 6 {
            inputs.push(Input::constant("how many", canvas.count));
            inputs.push(wood.input("wood of one frame"));
        }
    }
    (!inputs.is_empty()).then(|| Figure::new(all, &f::FRAMES_MASS, inputs))
}

/// Marks the best among the sections that can be bought and whose frames pass.
fn mark_best(all: &mut [Batten]) {
    let sound: Vec<usize> = (0..all.len())
        .filter(|n| all[*n].length.is_some() && all[*n].failing == 0)
        .collect();
    if all.len() < 2 {
        return;
    }
    // A cost can only be compared where every one has one.
    let costs: Vec<Option<Money>> = sound
        .iter()
        .map(|n| all[*n].cost.as_ref().map(|c| c.value))
        .collect();
    let least_cost = costs
        .iter()
        .flatten()
        .min()
        .copied()
        .filter(|_| !costs.contains(&None));
    let grams = |b: &Batten| {
        b.mass
            .as_ref()
            .map_or(f64::INFINITY, |m| m.value.to_grams())
    };
    let least_mass = sound
        .iter()
        .map(|n| grams(&all[*n]))
        .fold(f64::INFINITY, f64::min);
    let members = |b: &Batten| b.cross_bars + b.braces;
    let fewest = sound.iter().map(|n| members(&all[*n])).min();
    for n in sound {
        let it = &all[n];
        all[n].best = Best {
            cost: least_cost.is_some() && it.cost.as_ref().map(|c| c.value) == least_cost,
            mass: grams(it) <= least_mass,
            bracing: Some(members(it)) == fewest,
        };
    }
}
