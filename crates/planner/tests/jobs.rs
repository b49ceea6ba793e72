//! Whole jobs as data: `tests/jobs/*.json` hold a brief, the working by hand and the figures that
//! must come out. Adding a job needs no Rust.

use planner::{Draft, Tree, plan};
use serde_json::Value;

#[test]
fn every_job_gives_the_figures_worked_by_hand() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/jobs");
    let mut jobs = 0;
    let mut wrong = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let job: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let tree: Tree = serde_json::from_value(job["brief"].clone()).unwrap();
        let (draft, faults) = Draft::from_tree(&tree);
        assert_eq!(faults, [], "{}", path.display());
        let plan = plan(&draft);
        assert_eq!(plan.faults, [], "{}", path.display());
        let plan = serde_json::to_value(&plan).unwrap();
        for (pointer, expected) in job["expect"].as_object().unwrap() {
            let expected = expected.as_f64().unwrap();
            let got = plan.pointer(pointer).and_then(Value::as_f64);
            // Hand figures are written to seven digits or so.
            if got.is_none_or(|g| (g - expected).abs() > 1e-6 * expected.abs().max(1.0)) {
                wrong.push(format!(
                    "{}: {pointer}: {got:?}, worked by hand {expected}",
                    path.display()
                ));
            }
        }
        jobs += 1;
    }
    assert!(jobs >= 4, "the folder of jobs is incomplete");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
