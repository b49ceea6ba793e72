//! Briefs in JSON for tests.

use planner::Draft;
use serde_json::Value as Json;

/// A draft of a brief in which nothing is wrong.
#[track_caller]
pub(crate) fn draft(brief: &Json) -> Draft {
    let tree = serde_json::from_value(brief.clone()).expect("a brief");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    draft
}

/// Joins settings, the later ones over the earlier ones.
pub(crate) fn with(first: &Json, then: &Json) -> Json {
    let mut all = first.clone();
    for (key, value) in then.as_object().expect("settings") {
        all[key] = value.clone();
    }
    all
}
