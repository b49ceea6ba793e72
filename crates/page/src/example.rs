//! The plan that a first visitor sees: an invented evening class with invented prices.

use planner::{Draft, Tree};

const EXAMPLE: &str = include_str!("example.json");

/// The example.
#[must_use]
pub fn example() -> Draft {
    let tree: Result<Tree, _> = serde_json::from_str(EXAMPLE);
    tree.map(|tree| Draft::from_tree(&tree).0)
        .unwrap_or_default()
}

/// A plan with nothing but one row of each list to fill in.
#[must_use]
pub fn empty() -> Draft {
    Draft {
        canvases: vec![Default::default()],
        boards: vec![Default::default()],
        rolls: vec![Default::default()],
        ..Draft::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_plans_without_a_fault() {
        let tree = serde_json::from_str(EXAMPLE).expect("the example is JSON");
        let (draft, faults) = Draft::from_tree(&tree);
        assert_eq!(faults, []);
        let plan = planner::plan(&draft);
        assert_eq!(plan.faults, []);
        assert!(plan.boards.is_some() && plan.bead.is_some() && plan.cloth.is_some());
    }
}
