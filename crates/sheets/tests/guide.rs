//! `docs/glossary.md` is the page's own list of words, and the guide's pictures are drawn by the
//! same code as the page's.
//!
//! `BATTENBOOK_WRITE_DOCS=1 cargo test -p sheets --test guide` writes both anew.

use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

use planner::{Draft, Plan, plan};
use sheets::drawing::{Layout, standalone};
use sheets::help::WORDS;
use sheets::picture::Picture;

/// The guide's first canvas: invented lengths and prices.
const FIRST: &str = r#"{"name":"First canvas","canvases":[{"name":"First","width":"1000","height":"800"}],
    "boards":[{"length":"2.4 m","price":"5.40"},{"of":"bead","length":"2.4 m","price":"4.20"}],
    "rolls":[{"width":"2.1 m","price":"14.80"}]}"#;

fn docs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs")
}

fn is_writing() -> bool {
    std::env::var_os("BATTENBOOK_WRITE_DOCS").is_some()
}

fn first() -> Plan {
    let tree = serde_json::from_str(FIRST).expect("JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, []);
    let plan = plan(&draft);
    assert_eq!(plan.faults, []);
    plan
}

#[test]
fn the_glossary_is_the_list_of_words() {
    let mut text = String::from(
        "# Words\n\n<!-- Written by: BATTENBOOK_WRITE_DOCS=1 cargo test -p sheets --test guide -->\n\n\
         The words of the page, and how the same is called in the United States and the United Kingdom (from common use in the trade, no source).\n\n\
         | here | US | UK | what it is |\n| --- | --- | --- | --- |\n",
    );
    for word in WORDS {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} |",
            word.here, word.us, word.uk, word.means
        );
    }
    let file = docs().join("glossary.md");
    if is_writing() {
        fs::write(&file, &text).expect("docs can be written to");
    }
    assert_eq!(fs::read_to_string(&file).unwrap_or_default(), text);
    assert!(
        WORDS
            .windows(2)
            .all(|w| w[0].here.to_lowercase() <= w[1].here.to_lowercase()),
        "by the alphabet"
    );
}

/// Every picture that the guide shows can be drawn, and is there. Their lines are not compared:
/// the drawings' own snapshots do that.
#[test]
fn the_guide_has_its_pictures() {
    let guide = fs::read_to_string(docs().join("guide.md")).expect("the guide is there");
    let plan = first();
    let mut shown = 0;
    for part in guide.split("](pictures/").skip(1) {
        let name = part.split(".svg)").next().expect("a picture ends in .svg");
        let picture: Picture = name
            .parse()
            .unwrap_or_else(|_| panic!("no picture is called {name}"));
        let text = standalone(&picture.draw(&plan, Layout::Wide, 0), 160.0);
        assert!(text.len() > 1000, "{name} is empty");
        let file = docs().join("pictures").join(format!("{name}.svg"));
        if is_writing() {
            fs::write(&file, &text).expect("docs can be written to");
        }
        assert!(file.is_file(), "{}", file.display());
        shown += 1;
    }
    assert!(shown >= 4, "{shown}");
}
