//! Links: those ever written open, those now written are short and read back.

use page::link::{read, rest, write};
use planner::{Draft, Tree};
use proptest::prelude::*;

fn draft(json: &str) -> Draft {
    let tree: Tree = serde_json::from_str(json).expect("a plan of this test is JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    draft
}

/// Packed by another program's deflate, so reading does not rest on our own writing.
#[test]
fn links_ever_written_open() {
    let file = include_str!("../../../tests/data/links.txt");
    let mut count = 0;
    for line in file.lines().filter(|l| !l.starts_with("# ")) {
        let (link, json) = line.split_once('\t').expect("a link, a tab, a plan");
        assert_eq!(read(link), Ok(Some((draft(json), Vec::new()))), "{link}");
        count += 1;
    }
    assert!(count >= 4);
}

/// The design's budget for a QR code that scans off a tablet.
#[test]
fn a_plan_of_one_frame_is_short() {
    let one = draft(
        r#"{"name":"Portrait of the harbour","bar_face":"44","bar_depth":"19","corner":"square_lap","staple_spacing":"30","ratio":"12","canvases":[{"name":"Harbour","width":"1000","height":"800"}],"boards":[{"length":"2.4 m","price":"5.40"},{"length":"3 m","price":"6.60"},{"of":"bead","length":"2.4 m","price":"4.20"}],"rolls":[{"width":"2.1 m","price":"14.80"}]}"#,
    );
    let link = write(&one);
    assert!(link.len() < 300, "{} characters: {link}", link.len());
    assert_eq!(read(&link), Ok(Some((one, Vec::new()))));
}

/// A sign changed, left out or doubled on the way is said: never another plan in its place.
#[test]
fn no_changed_sign_passes_for_another_plan() {
    let plan = draft(
        r#"{"name":"Harbour","canvases":[{"width":"1000","height":"800","count":"2"},{"width":"29 1/2\"","height":"613"}],"boards":[{"length":"2.4 m","price":"5.40"}]}"#,
    );
    let link = write(&plan);
    let signs = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut tried = 0;
    for at in 3..link.len() {
        let (before, after) = (&link[..at], &link[at + 1..]);
        let mut changed: Vec<String> = signs
            .chars()
            .map(|sign| format!("{before}{sign}{after}"))
            .collect();
        changed.push(format!("{before}{after}"));
        changed.push(format!("{before}{}", &link[at - 1..]));
        for changed in changed {
            tried += 1;
            if let Ok(read) = read(&changed) {
                assert_eq!(read, Some((plan.clone(), Vec::new())), "{changed}");
            }
        }
    }
    assert!(tried > 5000, "{tried}");
}

proptest! {
    #[test]
    fn whatever_is_typed_reads_back(name in "\\PC{0,60}", width in "\\PC{1,20}", rows in 0_usize..30) {
        let mut plan = Draft::default();
        plan.set(planner::FieldRef::setting("name"), &name);
        for row in 0..rows {
            plan.canvases.push(planner::Record::new());
            let at = planner::FieldRef { table: planner::Table::Canvases, row, key: "width" };
            plan.set(at, &width);
        }
        prop_assert_eq!(read(&write(&plan)), Ok(Some((plan, Vec::new()))));
    }

    #[test]
    fn nothing_in_a_link_breaks_the_reader(text in "#?[123]?\\.?\\PC{0,200}") {
        let _ = read(&text);
        let _ = rest(&text);
    }

    #[test]
    fn no_bytes_break_the_reader(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        use base64::Engine;
        let packed = base64::prelude::BASE64_URL_SAFE_NO_PAD.encode(&bytes);
        for version in 1..3 {
            let _ = read(&format!("#{version}.{packed}"));
            let _ = rest(&format!("#{version}.{packed}"));
        }
    }

    #[test]
    fn nothing_damaged_breaks_the_salvage(text in "[\\PC\"{}\\[\\],:]{0,200}", cut in 0_usize..300) {
        let _ = page::salvage::tree(&text);
        let plan = r#"{"name":"é\"","canvases":[{"width":"1","height":"2"},{"width":"3 m"}],"kerf":"2"}"#;
        let cut = (0..=cut.min(plan.len())).rev().find(|i| plan.is_char_boundary(*i)).unwrap_or(0);
        let _ = page::salvage::tree(&format!("{}{text}", &plan[..cut]));
    }
}
