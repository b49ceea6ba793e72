//! What can't be read is marked wherever it counts, and what was never typed is not.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::{Draft, Effort, FieldRef, How, Plan, Table, plan, plan_with};
use quantity::Money;
use serde_json::{Value as Json, json};

fn draft(brief: &Json) -> Draft {
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief.clone()).unwrap());
    assert_eq!(faults, []);
    draft
}

fn on(table: Table, row: usize, key: &'static str) -> FieldRef {
    FieldRef { table, row, key }
}

/// One canvas, with a rack and a roll that all have prices, but for one text.
fn with(table: &str, row: usize, key: &str, text: &str) -> Plan {
    let mut brief = json!({
        "canvases": [{"width": "500", "height": "400"}, {"width": "600", "height": "500"}],
        "boards": [{"length": "2.4 m", "price": "5.40"}, {"of": "bead", "length": "2.4 m", "price": "4.20"}],
        "rolls": [{"width": "1.6 m", "price": "11.50"}], "screw_price": "4",
    });
    match table {
        "" => brief[key] = json!(text),
        _ => brief[table][row][key] = json!(text),
    }
    plan(&draft(&brief))
}

#[track_caller]
fn waits(how: &How, at: FieldRef) {
    assert_eq!(how.waiting(), [at]);
}

#[test]
fn money_waits_for_whatever_cannot_be_read() {
    let board = |row, key| on(Table::Boards, row, key);
    for (table, row, key, text, at) in [
        ("boards", 0, "bad", "300", board(0, "bad")),
        ("boards", 0, "price", "1e9", board(0, "price")),
        ("boards", 0, "length", "long", board(0, "length")),
        ("boards", 0, "limit", "many", board(0, "limit")),
        ("boards", 1, "bad", "300", board(1, "bad")),
        ("boards", 1, "price", "dear", board(1, "price")),
        ("boards", 1, "length", "", board(1, "length")),
        ("rolls", 0, "width", "wide", on(Table::Rolls, 0, "width")),
        ("rolls", 0, "price", "1e9", on(Table::Rolls, 0, "price")),
        (
            "rolls",
            0,
            "available",
            "all",
            on(Table::Rolls, 0, "available"),
        ),
        (
            "canvases",
            0,
            "count",
            "two",
            on(Table::Canvases, 0, "count"),
        ),
        (
            "canvases",
            0,
            "upright_bars",
            "x",
            on(Table::Canvases, 0, "upright_bars"),
        ),
        ("", 0, "longest", "x", FieldRef::setting("longest")),
        ("", 0, "screw_price", "x", FieldRef::setting("screw_price")),
    ] {
        let p = with(table, row, key, text);
        let said: Vec<FieldRef> = p.faults.iter().map(|f| f.at).collect();
        assert_eq!(said, [at]);
        let costs = p.costs.as_ref().unwrap();
        waits(&p.totals.as_ref().unwrap().cost.as_ref().unwrap().how, at);
        for share in &costs.shares {
            waits(&share.sum.how, at);
        }
    }
}

#[test]
fn a_purchase_waits_for_its_own_rows_alone() {
    let p = with("boards", 0, "bad", "300");
    waits(
        &p.boards.unwrap().total_length.how,
        on(Table::Boards, 0, "bad"),
    );
    assert!(!p.bead.unwrap().total_length.is_waiting());
    assert!(!p.cloth.unwrap().lengths[0].buy.is_waiting());

    let p = with("boards", 1, "bad", "300");
    assert!(!p.boards.unwrap().total_length.is_waiting());
    waits(
        &p.bead.unwrap().total_length.how,
        on(Table::Boards, 1, "bad"),
    );

    let p = with("rolls", 0, "available", "all");
    assert!(!p.boards.unwrap().total_length.is_waiting());
    let at = on(Table::Rolls, 0, "available");
    waits(&p.cloth.as_ref().unwrap().lengths[0].buy.how, at);
    waits(&p.cloth.unwrap().waste.how, at);

    // The only length of batten: nothing can be bought.
    let p = with("boards", 0, "length", "long");
    assert!(p.boards.is_none() && p.bead.is_some());
    assert_eq!(p.not_bought.boards, [on(Table::Boards, 0, "length")]);
    let p = with("rolls", 0, "width", "wide");
    assert!(p.cloth.is_none());
    assert_eq!(p.not_bought.cloth, [on(Table::Rolls, 0, "width")]);
}

#[test]
fn the_cost_waits_for_a_canvas_that_no_board_is_long_enough_for() {
    let p = with("canvases", 1, "width", "2600");
    let at = on(Table::Canvases, 1, "width");
    assert!(p.boards.is_none());
    assert_eq!(p.not_bought.boards, [at]);
    waits(&p.costs.unwrap().total.how, at);
}

#[test]
fn rows_in_which_nothing_is_typed_count_as_absent() {
    // What "Start empty" leaves behind, with the two sides of a canvas.
    let empty = json!({
        "canvases": [{"width": "1000", "height": "800"}], "boards": [{}], "rolls": [{"width": " "}],
    });
    let bare = json!({"canvases": [{"width": "1000", "height": "800"}]});
    let (p, usual) = (plan(&draft(&empty)), plan(&draft(&bare)));
    assert_eq!(p.faults, []);
    assert_eq!(p.boards, usual.boards);
    assert_eq!(p.bead, usual.bead);
    assert_eq!(p.cloth, usual.cloth);
    assert!(p.brief.usual_rack && p.brief.usual_rolls);

    // Beside others; the rows keep their numbers.
    let among = json!({
        "canvases": [{}, {"width": "1000", "height": "800"}, {}],
        "boards": [{}, {"length": "4.8 m"}, {"of": "bead", "length": "4.8 m"}],
        "rolls": [{}, {"width": "2.1 m"}],
    });
    let p = plan(&draft(&among));
    assert_eq!(p.faults, []);
    assert_eq!((p.canvases.len(), p.canvases[0].row), (1, 1));
    assert_eq!(p.boards.unwrap().lines[0].row, 1);
    assert_eq!(p.cloth.unwrap().lengths[0].row, 1);

    // Without any canvas the first row asks for its sides.
    let p = plan(&draft(&json!({"canvases": [{}, {}]})));
    let at: Vec<(usize, &str)> = p.faults.iter().map(|f| (f.at.row, f.at.key)).collect();
    assert_eq!(at, [(0, "width"), (0, "height")]);
}

/// An invented class: twelve canvases, two rolls with prices.
const CLASS: &str = r#"{"bead": "none", "canvases": [
    {"width": "600", "height": "450"}, {"width": "500", "height": "400"}, {"width": "700", "height": "500"},
    {"width": "900", "height": "700"}, {"width": "600", "height": "600"}, {"width": "800", "height": "600"},
    {"width": "1000", "height": "700"}, {"width": "400", "height": "300"}, {"width": "600", "height": "450"},
    {"width": "500", "height": "500"}, {"width": "1200", "height": "800"}, {"width": "300", "height": "300"}],
    "boards": [{"length": "2.4 m", "price": "5.40"}, {"length": "3.0 m", "price": "6.60"}],
    "rolls": [{"width": "1.6 m", "price": "11.50"}, {"width": "2.1 m", "price": "14.80"}]}"#;

#[test]
fn a_longer_search_never_asks_more_for_the_cloth() {
    let draft = draft(&serde_json::from_str(CLASS).unwrap());
    let mut least: Option<Money> = None;
    for turn in 0..4 {
        let effort = Effort::of_turn(turn).unwrap();
        let cloth = plan_with(&draft, effort).cloth.unwrap();
        let cost = cloth.cost.as_ref().unwrap().value;
        // Whole steps of 0.1 m on each roll, priced by hand.
        let by_hand: i64 = (cloth.lengths.iter())
            .map(|l| {
                let steps = l.used.as_nm().div_euclid(100_000_000)
                    + i64::from(l.used.as_nm().rem_euclid(100_000_000) > 0);
                assert_eq!(l.buy.value.as_nm(), steps * 100_000_000);
                let tenth = if l.row == 0 { 115 } else { 148 };
                steps * tenth
            })
            .sum();
        assert_eq!(cost.as_hundredths(), by_hand);
        assert!(least.is_none_or(|least| cost <= least), "{turn}");
        assert_eq!(cloth.proven, cloth.gap == Some(Money::ZERO));
        least = Some(cost);
    }
}

#[test]
fn every_joint_has_its_screws() {
    // One a heel, one at each end of a cross bar, one at each end of a brace: 4 + 2 × 1 + 2 × 4.
    let mut brief = json!({
        "canvases": [{"width": "1000", "height": "800", "count": "2", "braces": "yes",
            "upright_bars": "1", "level_bars": "0"}],
        "screw_price": "4",
    });
    let p = plan(&draft(&brief));
    assert_eq!(p.canvases[0].fasteners.as_ref().unwrap().screws.value, 14);
    assert_eq!(p.totals.as_ref().unwrap().screws.value, 28);
    // 28 of a hundred for 4.00.
    assert_eq!(p.costs.unwrap().total.value, Money::from_hundredths(112));
    brief["screws"] = json!("no");
    assert_eq!(plan(&draft(&brief)).totals.unwrap().screws.value, 0);
}

#[test]
fn nothing_is_made_of_a_proportion_that_cannot_be_read() {
    for (text, answers) in [("abc", false), ("0:0", false), ("3:4", true), ("", true)] {
        let brief = json!({
            "canvases": [{"width": "500", "height": "400"}], "from_rack": text,
            "boards": [{"length": "2.4 m", "limit": "2"}, {"of": "bead", "length": "2.4 m"}],
        });
        let answer = planner::backward(&draft(&brief));
        assert_eq!(answer.is_some(), answers, "{text}");
    }
}

#[test]
fn what_is_cut_already_holds_up_the_boards_alone() {
    let p = plan(&draft(&json!({
        "canvases": [{"width": "600", "height": "500"}],
        "boards": [{"length": "2.4 m"}], "cut": [{"length": "2400", "pieces": "abc"}],
    })));
    waits(
        &p.boards.unwrap().total_length.how,
        on(Table::Cut, 0, "pieces"),
    );
    let none: [FieldRef; 0] = [];
    assert_eq!(p.totals.unwrap().staples.how.waiting(), none);
    assert_eq!(p.size.unwrap().glue.how.waiting(), none);
}

#[test]
fn how_often_size_is_warmed_waits_for_its_coats() {
    let size = with("", 0, "size_coats", "many").size.unwrap();
    waits(&size.reheats.how, FieldRef::setting("size_coats"));
    assert!(
        size.kept_days
            .how
            .waiting()
            .contains(&FieldRef::setting("size_coats"))
    );
}
