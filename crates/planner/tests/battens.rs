//! The plan made of each section on the rack.

use planner::battens::{Batten, MOST, RackOf, compare};
use planner::{Draft, Effort, Tree, plan};
use proptest::prelude::*;
use serde_json::{Value, json};

fn draft(brief: &Value) -> Draft {
    let tree: Tree = serde_json::from_value(brief.clone()).expect("JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    draft
}

fn compared(brief: &Value) -> Vec<Batten> {
    compare(&draft(brief), Effort::default())
}

fn cost(batten: &Batten) -> Option<i64> {
    batten.cost.as_ref().map(|c| c.value.as_hundredths())
}

/// A frame of 600 × 500 mm without bead, cross bars and braces: its bars are mitred and nest heel
/// to toe, so a board must have 2 × (600 + 500) − 3 × face + 3 × 3 √2 mm.
fn one_frame(boards: &Value, others: &str) -> Value {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "3 mm", "trim": "0",
        "bar_face": "45 mm", "bar_depth": "20 mm",
        "canvases": [{"width": "600", "height": "500"}],
        "boards": boards,
        "other_sections": others,
    })
}

#[test]
fn each_section_is_bought_from_its_own_rows() {
    let all = compared(&one_frame(
        &json!([
            {"length": "2.4 m", "price": "6.00"},
            {"length": "2.4 m", "price": "5.00", "section": "38 x 19 mm"},
            {"length": "1.2 m", "price": "2.40", "section": "38 x 19"},
            {"length": "2.4 m", "price": "9.00", "section": "45 x 20 mm"},
        ]),
        "63 × 38 mm at 4.20, 50 × 25 mm",
    ));
    let names: Vec<(f64, f64, bool, RackOf)> = all
        .iter()
        .map(|b| (b.face.to_mm(), b.depth.to_mm(), b.in_hand, b.rack))
        .collect();
    assert_eq!(
        names,
        [
            (45.0, 20.0, true, RackOf::Rows),
            (38.0, 19.0, false, RackOf::Rows),
            (63.0, 38.0, false, RackOf::PriceOfMetre),
            (50.0, 25.0, false, RackOf::Lengths),
        ]
    );
    // In hand: the cheaper of its two rows. 38 × 19: two of 1.2 m, 600 + 500 − 38 + 3 √2 = 1066 mm
    // each. 63 × 38: one of 2.4 m at 4.20 a metre. 50 × 25 has no price.
    let costs: Vec<Option<i64>> = all.iter().map(cost).collect();
    assert_eq!(costs, [Some(600), Some(480), Some(1008), None]);
    // One has no price, so none is the cheapest.
    assert!(all.iter().all(|b| !b.best.cost));
    // Volume of the frame (600 × 500 − (600 − 2f)(500 − 2f)) × d: 38 × 19 is the lightest.
    let grams: Vec<f64> = all
        .iter()
        .map(|b| b.mass.as_ref().unwrap().value.to_grams())
        .collect();
    let volume = |f: f64, d: f64| (600.0 * 500.0 - (600.0 - 2.0 * f) * (500.0 - 2.0 * f)) * d;
    for (b, g) in all.iter().zip(&grams) {
        let ratio = volume(b.face.to_mm(), b.depth.to_mm()) / volume(45.0, 20.0);
        assert!((g / grams[0] - ratio).abs() < 1e-9, "{g}");
    }
    let lightest: Vec<bool> = all.iter().map(|b| b.best.mass).collect();
    assert_eq!(lightest, [false, true, false, false]);
}

#[test]
fn the_cheapest_is_marked_where_all_have_a_price() {
    let all = compared(&one_frame(
        &json!([
            {"length": "2.4 m", "price": "6.00"},
            {"length": "2.4 m", "price": "5.00", "section": "38 x 19 mm"},
            {"length": "1350", "price": "0", "limit": "1"},
        ]),
        "63 × 38 mm at 4.20",
    ));
    // The offcut at home is of the batten in hand alone: with a board of 2.4 m beside it there,
    // 63 × 38 needs a whole board in its lengths.
    assert_eq!(
        all.iter().map(cost).collect::<Vec<_>>(),
        [Some(600), Some(500), Some(1008)]
    );
    let best: Vec<bool> = all.iter().map(|b| b.best.cost).collect();
    assert_eq!(best, [false, true, false]);
}

#[test]
fn other_rows_are_no_part_of_the_plan() {
    let own = json!([{"length": "2.4 m", "price": "6.00"}]);
    let both = json!([
        {"length": "2.4 m", "price": "1.00", "section": "38 x 19 mm"},
        {"length": "2.4 m", "price": "6.00"},
    ]);
    let [own, both] = [own, both].map(|boards| plan(&draft(&one_frame(&boards, ""))));
    let cost = |plan: &planner::Plan| {
        plan.boards
            .as_ref()
            .and_then(|b| b.cost.as_ref())
            .map(|c| c.value)
    };
    assert_eq!(cost(&own), cost(&both));
    assert_eq!(both.boards.unwrap().lines[0].row, 1);
}

#[test]
fn a_section_that_can_not_be_read_is_said_at_its_field() {
    for (row, message) in [
        (
            json!({"length": "2.4 m", "section": "38"}),
            "boards[0].section: “38” is not understood here: ",
        ),
        (
            json!({"length": "2.4 m", "section": "5 x 19 mm"}),
            "boards[0].section: “5 x 19 mm” is out of range: ",
        ),
        (
            json!({"length": "2.4 m", "of": "bead", "section": "38 x 19"}),
            "boards[0].section: A bead has no section here. Empty the section, or call it a board of batten.",
        ),
    ] {
        let plan = plan(&draft(&one_frame(&json!([row]), "")));
        let said = plan
            .faults
            .iter()
            .map(ToString::to_string)
            .find(|m| m.contains(".section"));
        assert!(
            said.as_ref().is_some_and(|m| m.starts_with(message)),
            "{said:?}"
        );
    }
}

#[test]
fn what_stands_in_the_way_of_one_leaves_the_others() {
    let all = compared(&one_frame(
        &json!([
            {"length": "2.4 m", "price": "6.00"},
            {"length": "500", "price": "1.00", "section": "38 x 19 mm"},
        ]),
        "",
    ));
    assert!(all[1].why_not.is_some() && cost(&all[1]).is_none());
    assert_eq!(cost(&all[0]), Some(600));
}

#[test]
fn no_more_than_so_many_are_compared() {
    let boards: Vec<Value> = (0..20)
        .map(|n| json!({"length": "2.4 m", "section": format!("{} x 20 mm", 30 + n)}))
        .collect();
    assert_eq!(compared(&one_frame(&json!(boards), "")).len(), MOST);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Each answer is what the plan says when that batten is taken in hand with those boards.
    #[test]
    fn it_is_the_plan_of_that_batten(face in 30i64..70, depth in 15i64..40, price in 100i64..2000) {
        let section = format!("{face} x {depth} mm");
        let text = format!("{}.{:02}", price / 100, price % 100);
        let all = compared(&one_frame(
            &json!([
                {"length": "2.4 m", "price": "6.00"},
                {"length": "3 m", "price": text, "section": section},
            ]),
            "",
        ));
        // The batten in hand is bought from the other row as well.
        prop_assume!((face, depth) != (45, 20));
        let mut brief = one_frame(&json!([{"length": "3 m", "price": text}]), "");
        brief["bar_face"] = json!(format!("{face} mm"));
        brief["bar_depth"] = json!(format!("{depth} mm"));
        let plan = plan(&draft(&brief));
        let bought = plan.boards.as_ref().and_then(|b| b.cost.as_ref()).map(|c| c.value.as_hundredths());
        prop_assert_eq!(cost(&all[1]), bought);
        let wood = plan.canvases[0].hanging.as_ref().map(|h| h.wood.value.to_grams());
        prop_assert_eq!(all[1].mass.as_ref().map(|m| m.value.to_grams()), wood);
    }
}
