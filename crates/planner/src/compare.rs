//! Two plans side by side: the figures that differ.

use alloc::vec::Vec;

use quantity::physics::{Mass, Volume};
use quantity::{Length, Money};

use crate::fields::Stage;
use crate::figure::Value;
use crate::plan::{CanvasPlan, Plan};
use crate::timber::Purchase;

/// What differs between two plans.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// The figures that differ as they are shown, in the order of the stages.
    pub differences: Vec<Difference>,
    /// How many were compared.
    pub compared: usize,
}

/// A figure that differs.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// The stage that it belongs to.
    pub stage: Stage,
    /// What it is.
    pub what: &'static str,
    /// In the plan that was held; none where it had none.
    pub old: Option<Value>,
    /// In the other; none where it has none.
    pub new: Option<Value>,
    /// Which way it went.
    pub way: Way,
}

/// Which way a figure went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// There is more of it.
    More,
    /// There is less of it.
    Less,
    /// Neither: it is only there in one of the two.
    Other,
}

/// Compares two plans figure by figure. Figures that read the same, in the units of the new one,
/// are the same.
///
/// ```
/// use planner::{Draft, compare::{Way, compare}, plan};
/// let of = |json| plan(&Draft::from_tree(&serde_json::from_str(json).unwrap()).0);
/// let small = of(r#"{"canvases":[{"width":"600","height":"500"}]}"#);
/// let large = of(r#"{"canvases":[{"width":"900","height":"500"}]}"#);
/// assert_eq!(compare(&small, &small).differences, []);
/// let all = compare(&small, &large).differences;
/// assert!(all.iter().any(|d| d.what == "Staples" && d.way == Way::More));
/// ```
#[must_use]
pub fn compare(old: &Plan, new: &Plan) -> Compared {
    let (before, after) = (figures(old), figures(new));
    let mut compared = 0;
    let mut differences = Vec::new();
    for ((stage, what, old), (.., now)) in before.into_iter().zip(after) {
        let shown = |v: &Option<Value>| v.as_ref().map(|v| new.show.value(v, &new.currency));
        if old.is_some() || now.is_some() {
            compared += 1;
        }
        if shown(&old) == shown(&now) {
            continue;
        }
        let way = match (&old, &now) {
            (Some(a), Some(b)) if b.in_files().0 > a.in_files().0 => Way::More,
            (Some(a), Some(b)) if b.in_files().0 < a.in_files().0 => Way::Less,
            _ => Way::Other,
        };
        differences.push(Difference {
            stage,
            what,
            old,
            new: now,
            way,
        });
    }
    Compared {
        differences,
        compared,
    }
}

type Line = (Stage, &'static str, Option<Value>);

/// The figures of a plan that are worth comparing: always the same lines in the same order.
fn figures(plan: &Plan) -> Vec<Line> {
    let totals = plan.totals.as_ref();
    let count = |n: u64| Some(Value::Count(n));
    let members = |pick: fn(&CanvasPlan) -> u32| {
        let all = plan.canvases.iter();
        count(
            all.map(|c| u64::from(pick(c)) * u64::from(c.count))
                .sum::<u64>(),
        )
    };
    let mut all = alloc::vec![
        (Stage::Job, "Canvases", totals.and_then(|t| count(t.frames))),
        (
            Stage::Job,
            "Cross bars",
            members(|c| c.bracing.upright.value + c.bracing.level.value),
        ),
        (Stage::Job, "Braces", members(|c| c.bracing.braces.value)),
    ];
    wood(
        plan.boards.as_ref(),
        ["Boards of batten", "Batten", "Price of batten"],
        &mut all,
    );
    wood(
        plan.bead.as_ref(),
        ["Boards of bead", "Bead", "Price of bead"],
        &mut all,
    );
    buying(plan, &mut all);
    let size = plan.size.as_ref();
    let liquid = |v: Volume| Value::Volume(v);
    let any_size = size.map(|s| s.volume.value);
    let any_size = any_size.or(plan.ready_size.as_ref().map(|s| s.volume.value));
    let weight: Option<Mass> = plan.canvases.iter().try_fold(Mass::ZERO, |sum, c| {
        Some(sum + c.hanging.as_ref()?.mass.value * f64::from(c.count))
    });
    let heaviest = plan
        .canvases
        .iter()
        .filter_map(|c| c.hanging.as_ref())
        .map(|h| h.mass.value)
        .reduce(|a, b| if b > a { b } else { a });
    let stretched = plan.diary.bench.iter().filter(|d| d.hours.is_some());
    all.extend([
        (
            Stage::Join,
            "Screws",
            totals.and_then(|t| count(t.screws.value)),
        ),
        (
            Stage::Join,
            "Panel pins",
            totals.and_then(|t| count(t.pins.value)),
        ),
        (
            Stage::Join,
            "Wood glue",
            totals.map(|t| t.wood_glue.value.into()),
        ),
        (
            Stage::Stretch,
            "Staples",
            totals.and_then(|t| count(t.staples.value)),
        ),
        (
            Stage::Stretch,
            "Cloth that stays",
            totals.map(|t| t.cloth_mass.value.into()),
        ),
        (Stage::Size, "Liquid size", any_size.map(liquid)),
        (Stage::Size, "Dry glue", size.map(|s| s.glue.value.into())),
        (Stage::Size, "Water", size.map(|s| liquid(s.water.value))),
        (
            Stage::Size,
            "Ground",
            plan.ground.as_ref().map(|g| liquid(g.volume.value)),
        ),
        (Stage::Hang, "Weight of all", weight.map(Value::Mass)),
        (
            Stage::Hang,
            "Weight of the heaviest",
            heaviest.map(Value::Mass),
        ),
        (
            Stage::Days,
            "Days in all",
            count(u64::from(plan.diary.days)),
        ),
        (
            Stage::Days,
            "Days of stretching",
            count(stretched.map(|d| u64::from(d.until - d.day) + 1).sum()),
        ),
    ]);
    all
}

fn wood(bought: Option<&Purchase>, names: [&'static str; 3], all: &mut Vec<Line>) {
    let boards = bought.map(|p| {
        let lines = p.lines.iter();
        Value::Count(lines.map(|l| u64::from(l.count)).sum())
    });
    let price = bought.and_then(|p| p.cost.as_ref());
    all.extend([
        (Stage::Buy, names[0], boards),
        (
            Stage::Buy,
            names[1],
            bought.map(|p| p.total_length.value.into()),
        ),
        (Stage::Buy, names[2], price.map(|c| c.value.into())),
    ]);
}

fn buying(plan: &Plan, all: &mut Vec<Line>) {
    let cloth = plan.cloth.as_ref();
    let costs = plan.costs.as_ref();
    let money = |m: Money| Value::Money(m);
    all.extend([
        (
            Stage::Buy,
            "Cloth",
            cloth.map(|c| c.lengths.iter().map(|l| l.buy.value).sum::<Length>().into()),
        ),
        (
            Stage::Buy,
            "Cloth that becomes no blank",
            cloth.map(|c| c.waste.value.into()),
        ),
        (
            Stage::Buy,
            "Price of cloth",
            cloth.and_then(|c| c.cost.as_ref()).map(|c| money(c.value)),
        ),
        (
            Stage::Buy,
            "Everything with a price",
            costs.map(|c| money(c.total.value)),
        ),
        (
            Stage::Buy,
            "Of that, in waste",
            costs
                .and_then(|c| c.waste_cost.as_ref())
                .map(|w| money(w.value)),
        ),
    ]);
}
