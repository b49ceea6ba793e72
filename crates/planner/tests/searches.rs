//! Searches that go on give the plans that searches from the beginning give.

use planner::{Draft, Effort, FieldRef, Plan, Searches, Table, plan_on, plan_with};
use proptest::prelude::*;

/// What a maker does between two plans.
#[derive(Clone, Debug)]
enum Deed {
    /// Another text in a field: of a canvas, the rack, a roll, or one that no piece depends on.
    Set(usize, u32),
    /// A longer search, so often interrupted.
    Longer(u32, u32),
}

/// Lengths in millimetres, counts and prices that make small jobs.
const FIELDS: [(Table, usize, &str, u32, u32); 9] = [
    (Table::Canvases, 0, "width", 300, 900),
    (Table::Canvases, 0, "height", 300, 900),
    (Table::Canvases, 1, "width", 300, 900),
    (Table::Canvases, 1, "count", 1, 4),
    (Table::Boards, 0, "price", 5, 9),
    (Table::Boards, 1, "limit", 1, 9),
    (Table::Rolls, 0, "price", 9, 12),
    (Table::Settings, 0, "kerf", 1, 3),
    (Table::Settings, 0, "size_coats", 1, 3),
];

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        4 => (0..FIELDS.len(), any::<u32>()).prop_map(|(field, to)| Deed::Set(field, to)),
        1 => (2..5_u32, 0..6_u32).prop_map(|(times, stops)| Deed::Longer(times, stops)),
    ]
}

fn begin() -> Draft {
    let tree = serde_json::from_str(
        r#"{"canvases":[{"width":"700","height":"500","count":"3"},{"width":"600","height":"450","count":"2"}],
            "boards":[{"length":"1800","price":"5.25"},{"length":"2400","price":"7.65"},{"of":"bead","length":"2400","price":"4.80"}],
            "rolls":[{"width":"1.6 m","price":"12.50"},{"width":"2.1 m","price":"16"}]}"#,
    )
    .expect("JSON");
    Draft::from_tree(&tree).0
}

/// Some steps, so that searches are cut off before they are done.
const EFFORT: Effort = Effort {
    boards: 300,
    cloth: 1000,
};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn a_plan_does_not_depend_on_the_plans_before(deeds in prop::collection::vec(deed(), 1..10)) {
        let mut draft = begin();
        let mut searches = Searches::default();
        for deed in deeds {
            let effort = match deed {
                Deed::Set(field, to) => {
                    let (table, row, key, from, below) = FIELDS[field];
                    let at = FieldRef { table, row, key };
                    draft.set(at, &(from + to % (below - from)).to_string());
                    EFFORT
                }
                Deed::Longer(times, stops) => {
                    let effort = Effort {
                        boards: EFFORT.boards * u64::from(times),
                        cloth: EFFORT.cloth * u64::from(times),
                    };
                    for _ in 0..stops {
                        searches.go_on(effort);
                    }
                    effort
                }
            };
            let kept = plan_on(&draft, effort, &mut searches);
            prop_assert_eq!(kept, plan_with(&draft, effort));
        }
    }
}

/// A longer search goes on until it is proven or has taken what it may, and finds more.
#[test]
fn a_search_that_goes_on_ends() {
    let canvases: Vec<String> = (0..20)
        .map(|i| {
            let (width, height) = (400 + i * 97 % 900, 300 + i * 61 % 700);
            format!(r#"{{"width":"{width}","height":"{height}","count":"5"}}"#)
        })
        .collect();
    let rack = r#"{"length":"1800","price":"5.25"},{"length":"2400","price":"7.65"},{"length":"3000","price":"9.20"}"#;
    let brief = format!(
        r#"{{"bead":"none","canvases":[{}],"boards":[{rack}],"rolls":[{{"width":"2.1 m","price":"16"}}]}}"#,
        canvases.join(",")
    );
    let draft = Draft::from_tree(&serde_json::from_str(&brief).expect("JSON")).0;
    let mut searches = Searches::default();
    let short = plan_on(&draft, EFFORT, &mut searches);
    let long = Effort {
        boards: 60_000,
        cloth: 5_000,
    };
    // At most a turn for each 5000 steps for boards and each 1000 for cloth.
    let turns = (0..100).take_while(|_| !searches.go_on(long)).count();
    assert!((1..=12 + 5).contains(&turns), "{turns} turns");
    let plan = plan_on(&draft, long, &mut searches);
    let gap = |plan: &Plan| {
        let boards = plan.boards.as_ref().expect("boards for all");
        boards.gap.expect("a rack with prices")
    };
    assert!(gap(&plan) < gap(&short));
    assert_eq!(plan, plan_with(&draft, long));
}
