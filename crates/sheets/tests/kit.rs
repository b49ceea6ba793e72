//! Shares and kits on paper and as CSV.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::kit::hand_out;
use planner::{Draft, Plan, plan};
use sheets::{csv, print};

/// Invented names and prices.
const CLASS: &str = r#"{"name":"Class","bench":2,"day":"2027-03-01",
    "canvases":[{"name":"=Ada","width":"600","height":"450"},{"name":"Bo","width":"600","height":"450","count":"2"},
        {"name":"<Cy>","width":"900","height":"700"}],
    "boards":[{"length":"2.4 m","price":"5.40"},{"of":"bead","length":"2.4 m","price":"4.20"}],
    "rolls":[{"width":"1.6 m","price":"11.50"}]}"#;

fn class() -> Plan {
    plan(&Draft::from_tree(&serde_json::from_str(CLASS).unwrap()).0)
}

#[test]
fn every_piece_goes_to_one_person_and_one_board() {
    let plan = class();
    let all = hand_out(&plan);
    for (of, list) in [
        (planner::brief::BoardOf::Bars, &plan.cut_list),
        (planner::brief::BoardOf::Bead, &plan.bead_list),
    ] {
        for (i, piece) in list.iter().enumerate() {
            let kits = all.kits.iter().flat_map(|k| &k.pieces);
            let own = kits.filter(|p| (p.of, p.piece) == (of, i));
            let (mut wanted, mut given) = (0, 0);
            for p in own {
                wanted += p.count;
                given += p.from.iter().map(|(_, n)| n).sum::<u32>();
            }
            assert_eq!(
                (wanted, given),
                (piece.count, piece.count),
                "{}",
                piece.letter
            );
            let boards = all.boards.iter().filter(|b| b.of == of);
            let marked = boards.flat_map(|b| &b.pieces).filter(|(p, _)| *p == i);
            assert_eq!(marked.count(), piece.count as usize);
        }
    }
}

#[test]
fn amounts_add_up_to_those_of_the_plan() {
    let plan = class();
    let all = hand_out(&plan);
    let size: f64 = all
        .kits
        .iter()
        .map(|k| k.size.as_ref().unwrap().value.to_ml())
        .sum();
    let whole = plan.size.as_ref().unwrap().volume.value.to_ml();
    assert!((size - whole).abs() < 1e-6 * whole);
}

#[test]
fn a_kit_sheet_for_each_with_its_own_link() {
    let plan = class();
    let links: Vec<String> = (0..3)
        .map(|i| format!("https://example.org/#1.{i}"))
        .collect();
    let text = print::kit_sheets(&plan, &links, "2027-02-01").into_string();
    assert_eq!(text.matches("<section class=\"kit\">").count(), 3);
    assert_eq!(text.matches("class=\"qr\"").count(), 3);
    assert!(text.contains("&lt;Cy&gt;") && !text.contains("<Cy>"));
    assert!(text.contains("<h1>Bo × 2</h1>"));
    assert!(text.contains("Join and clamp flat, canvas 2"));
    // Too long for a code: said, with what to do.
    let long = vec![format!("https://example.org/#1.{}", "a".repeat(2000)); 3];
    let text = print::kit_sheets(&plan, &long, "2027-02-01").into_string();
    assert_eq!(text.matches("class=\"qr\"").count(), 0);
    assert!(text.contains("No code here: the link has 2023 signs"));
}

#[test]
fn shares_as_csv_add_up() {
    let plan = class();
    let file = csv::shares(&plan);
    let mut reader = csv_reader(&file);
    let rows: Vec<Vec<String>> = reader
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect())
        .collect();
    assert_eq!(rows[0][0], "'=Ada");
    let hundredths = |text: &str| (text.parse::<f64>().unwrap() * 100.0).round() as i64;
    let sum: i64 = rows.iter().map(|r| hundredths(&r[6])).sum();
    let total = plan.costs.as_ref().unwrap().total.value.as_hundredths();
    assert_eq!(sum, total);
    for row in &rows {
        let parts: i64 = row[2..6].iter().map(|x| hundredths(x)).sum();
        assert_eq!(parts, hundredths(&row[6]));
    }
}

fn csv_reader(file: &str) -> ::csv::Reader<&[u8]> {
    ::csv::Reader::from_reader(file.as_bytes())
}
