//! Links: those ever written open, those now written are short and read back.

use page::link::{read, write};
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
    assert!(count >= 2);
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
    fn nothing_in_a_link_breaks_the_reader(text in "#?[12]?\\.?\\PC{0,200}") {
        let _ = read(&text);
    }

    #[test]
    fn no_bytes_break_the_reader(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        use base64::Engine;
        let packed = base64::prelude::BASE64_URL_SAFE_NO_PAD.encode(&bytes);
        let _ = read(&format!("#1.{packed}"));
    }
}
