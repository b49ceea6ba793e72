//! The printed job sheet: the order of the work, everything once, nothing that a link can break.

use planner::{Draft, Plan, plan};
use sheets::print::job_sheet;

fn plan_of(json: &str) -> Plan {
    let tree = serde_json::from_str(json).expect("the test's brief is JSON");
    plan(&Draft::from_tree(&tree).0)
}

const LINK: &str = "https://example.org/#1.q1Y";

fn sheet(json: &str) -> String {
    job_sheet(&plan_of(json), LINK, "2 March 2026").into_string()
}

#[test]
fn pages_follow_the_work() {
    let sheet = sheet(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#);
    let document = roxmltree::Document::parse(&sheet).expect("a well-formed sheet");
    let headings: Vec<&str> = document
        .descendants()
        .filter(|n| n.has_tag_name("h2"))
        .filter_map(|n| n.text())
        .collect();
    assert_eq!(
        headings,
        [
            "To buy",
            "Cut",
            "Set out",
            "Join",
            "Assemble, and check that it is square",
            "Stretch",
            "Size and prime",
            "Hang",
            "Diary",
        ]
    );
}

#[test]
fn every_caution_stands_once() {
    let sheet = sheet(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#);
    for caution in planner::cautions::ALL {
        // The template library writes these four signs as entities.
        let text = caution.text.replace('&', "&amp;").replace('"', "&quot;");
        assert_eq!(sheet.matches(&text).count(), 1, "{text}");
    }
}

#[test]
fn canvases_that_are_alike_share_their_drawings() {
    let drawings = |json: &str| sheet(json).matches("<svg").count();
    let one =
        drawings(r#"{"canvases":[{"name":"a","width":"1000 mm","height":"800 mm","count":3}]}"#);
    let rows = drawings(
        r#"{"canvases":[{"name":"a","width":"1000 mm","height":"800 mm"},{"name":"b","width":"100 cm","height":"80 cm","count":2}]}"#,
    );
    assert_eq!(one, rows);
    let other = drawings(
        r#"{"canvases":[{"name":"a","width":"1000 mm","height":"800 mm"},{"name":"b","width":"600 mm","height":"500 mm","count":2}]}"#,
    );
    assert!(other > one);
}

#[test]
fn names_are_text() {
    let sheet = sheet(
        r#"{"name":"<script>x</script>","canvases":[{"name":"<b>&","width":"600 mm","height":"500 mm"}]}"#,
    );
    assert!(!sheet.contains("<script>") && !sheet.contains("<b>"));
}

#[test]
fn what_is_missing_is_said() {
    let sheet = sheet(r#"{"kerf":"wide","canvases":[{"width":"600 mm","height":"500 mm"}]}"#);
    assert!(sheet.contains("Not finished: to put right first"));
    assert!(sheet.contains("waits for "));
}

#[test]
fn a_long_link_gives_no_code_and_says_so() {
    let plan = plan_of("{}");
    let long = format!("{LINK}{}", "a".repeat(2000));
    let sheet = job_sheet(&plan, &long, "today").into_string();
    assert!(
        !sheet.contains("class=\"qr\"") && sheet.contains("No code here: the link has 2026 signs")
    );
}

#[test]
fn the_path_of_a_file_stays_off_the_paper() {
    let plan = plan_of("{}");
    let code = |link: &str| job_sheet(&plan, link, "today").into_string();
    // Both hold only what follows the mark, so that they are the same.
    let (a, b) = (
        code("file:///home/ann/b.html#1.q1Y"),
        code("file:///c.html#1.q1Y"),
    );
    assert_eq!(a, b);
    assert_ne!(a, code("file:///c.html#1.q1Z"));
    assert!(a.contains("put it behind the address of the page"));
}

#[test]
fn the_short_cost_says_what_it_is_without() {
    let brief = |rest: &str| {
        format!(
            r#"{{"canvases":[{{"width":"1000","height":"800"}}],"boards":[{{"length":"2.4 m","price":"7.65"}}{rest}],"rolls":[{{"width":"2.1 m","price":"16"}}]}}"#
        )
    };
    let cost = |json: &str| {
        let answer = sheets::answer::answer(&plan_of(json)).into_string();
        let from = answer.find("<dt>Cost</dt><dd>").expect("it has a cost") + 17;
        let to = answer[from..].find('<').expect("the answer ends");
        answer[from..from + to].to_owned()
    };
    // Bars need no more than two boards of 7.65; bead has no row to be bought from.
    assert!(
        cost(&brief("")).ends_with(" without bead"),
        "{}",
        cost(&brief(""))
    );
    let all = brief(r#",{"of":"bead","length":"2.4 m","price":"4.80"}"#);
    assert!(!cost(&all).contains("without"));
    // Where prices of what waits are typed, the whole cost waits.
    let waits = r#"{"canvases":[{"width":"1000","height":"800"}],"boards":[{"length":"0.3 m","price":"7.65"},{"of":"bead","length":"0.3 m"}],"rolls":[{"width":"2.1 m"}]}"#;
    assert!(sheets::answer::spoken(&plan_of(waits)).starts_with("Batten, bead, cost: waits for"));
}
