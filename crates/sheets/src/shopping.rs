//! The shopping list: everything that a plan needs bought, as rows for paper and for files.

use planner::{Figure, How, Plan, Value};
use quantity::physics::Mass;
use quantity::{Length, Money};

use crate::sentence;

/// One thing to buy.
pub(crate) struct Item<'a> {
    /// What it is.
    pub(crate) thing: String,
    /// How long or wide it is sold, where that matters.
    pub(crate) size: Option<Length>,
    /// How many pieces, where it is counted.
    pub(crate) count: Option<u64>,
    /// How much, where it is measured.
    pub(crate) amount: Option<Value>,
    /// What it costs in all, where it has a price.
    pub(crate) cost: Option<Money>,
    /// How the amount was reached: it may wait for a field.
    pub(crate) how: &'a How,
}

/// What to buy, in the order of the work.
pub(crate) fn list(plan: &Plan) -> Vec<Item<'_>> {
    let mut all = Vec::new();
    wood(plan, &mut all);
    cloth(plan, &mut all);
    small_things(plan, &mut all);
    all
}

fn wood<'a>(plan: &'a Plan, all: &mut Vec<Item<'a>>) {
    let section = plan.canvases.iter().find_map(|c| c.frame.as_ref());
    let batten = match section {
        Some(f) => {
            let bare = |x| plan.show.bare_length(x, quantity::Rounding::Nearest);
            format!("Batten {} × {}", bare(f.face), plan.show.length(f.depth))
        }
        None => String::from("Batten"),
    };
    for (thing, bought) in [(batten, &plan.boards), (String::from("Bead"), &plan.bead)] {
        if let Some(purchase) = bought {
            all.extend(purchase.lines.iter().map(|line| Item {
                thing: thing.clone(),
                size: Some(line.length),
                count: Some(u64::from(line.count)),
                amount: None,
                cost: line.cost,
                how: &purchase.total_length.how,
            }));
        }
    }
}

fn cloth<'a>(plan: &'a Plan, all: &mut Vec<Item<'a>>) {
    for length in plan.cloth.iter().flat_map(|c| &c.lengths) {
        all.push(Item {
            thing: String::from("Cloth off the roll"),
            size: Some(length.width),
            count: None,
            amount: Some(Value::Length(length.buy.value)),
            cost: length.cost,
            how: &length.buy.how,
        });
    }
}

fn small_things<'a>(plan: &'a Plan, all: &mut Vec<Item<'a>>) {
    let cost = |what| {
        let lines = plan.costs.iter().flat_map(|c| &c.lines);
        lines
            .into_iter()
            .find(|l| l.what == what && !l.cost.is_waiting())
            .map(|l| l.cost.value)
    };
    let counted = |thing: &str, figure: &'a Figure<u64>, priced| Item {
        thing: thing.to_owned(),
        size: None,
        count: Some(figure.value),
        amount: None,
        cost: cost(priced),
        how: &figure.how,
    };
    fn measured<'a, T: Clone + Into<Value>>(
        thing: &str,
        figure: &'a Figure<T>,
        cost: Option<Money>,
    ) -> Item<'a> {
        Item {
            thing: thing.to_owned(),
            size: None,
            count: None,
            amount: Some(figure.value.clone().into()),
            cost,
            how: &figure.how,
        }
    }
    if let Some(t) = &plan.totals {
        let some = |figure: &&Figure<u64>| figure.value > 0;
        all.push(counted("Boxes of staples", &t.staple_boxes, "staples"));
        all.extend(
            Some(&t.screws)
                .filter(some)
                .map(|f| counted("Screws", f, "screws")),
        );
        all.extend(
            Some(&t.pins)
                .filter(some)
                .map(|f| counted("Panel pins", f, "panel pins")),
        );
        all.extend(t.keys.as_ref().map(|f| counted("Keys", f, "keys")));
        if t.wood_glue.value > Mass::ZERO {
            all.push(measured("Wood glue", &t.wood_glue, cost("wood glue")));
        }
    }
    if let Some(s) = &plan.size {
        all.push(measured("Dry glue for size", &s.glue, cost("dry glue")));
    }
    if let Some(s) = &plan.ready_size {
        all.push(measured(&sentence(s.name), &s.volume, cost("size")));
    }
    if let Some(g) = &plan.ground {
        match &g.chalk {
            Some(chalk) => all.push(measured(
                "Chalk for the ground",
                &chalk.chalk,
                cost("ground"),
            )),
            None => all.push(measured("Ground", &g.volume, cost("ground"))),
        }
    }
}
