//! Published strips: E. Hopper and B. Turton 2001 (C1–C7), E. Burke, G. Kendall and G. Whitwell
//! 2004 (N1–N13). Their `opt` is the height by construction with free cuts, so no guillotine plan
//! is shorter and no bound may be above it.

mod roll_check;

use std::fs;

use cutting::roll::{Blank, Job, Roll, Solver, Steps, Turn};
use quantity::{Length, Money};
use serde::Deserialize;

const FILE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../../shared/cutting/published/strip.json"
);

#[derive(Deserialize)]
struct Instance {
    name: String,
    width: i64,
    items: Vec<(i64, i64)>,
    opt: i64,
}

fn job(instance: &Instance, turn: Turn) -> Job {
    Job {
        rolls: vec![Roll {
            width: Length::from_mm(instance.width),
            price: Money::from_hundredths(100_000),
            available: None,
        }],
        blanks: instance
            .items
            .iter()
            .map(|&(w, h)| Blank {
                across: Length::from_mm(w),
                along: Length::from_mm(h),
                count: 1,
                turn,
            })
            .collect(),
        gap: Length::ZERO,
        selvedge: Length::ZERO,
        price_per: Length::from_mm(1000),
        step: Length::ZERO,
    }
}

#[test]
fn bounds_stay_below_the_known_length_and_plans_near_it() {
    let Ok(text) = fs::read_to_string(FILE) else {
        println!("notice: {FILE} is absent, published strips not checked");
        return;
    };
    let instances: Vec<Instance> = serde_json::from_str(&text).expect("the file is as described");
    assert_eq!(instances.len(), 34);
    for i in &instances {
        let job = job(i, Turn::May);
        let mut solver = Solver::new(&job).expect("every rectangle fits");
        // The largest is left at its first plan, to keep the test short.
        solver.step(Steps(if i.items.len() > 1000 { 0 } else { 6_000 }));
        let plan = solver.best();
        roll_check::check(&job, &plan);
        let opt = Length::from_mm(i.opt);
        assert!(
            plan.bound_length <= opt,
            "{}: bound above {}",
            i.name,
            i.opt
        );
        assert!(plan.lengths[0] >= opt, "{}: shorter than possible", i.name);
        // Loose on purpose: a guard against a broken search, not a measurement.
        assert!(
            plan.lengths[0].as_nm() * 100 <= opt.as_nm() * 115,
            "{}: {} is far above {}",
            i.name,
            plan.lengths[0],
            i.opt
        );
    }
}
