//! `docs/formulas.md` is the table in the code: one list, two places, kept the same.
//!
//! To write it anew after a change: `BATTENBOOK_WRITE_DOCS=1 cargo test -p planner --test formulas`.

use planner::fault::accepted;
use planner::fields::{Kind, Table};
use planner::{Show, formulas};

#[test]
fn the_docs_table_of_formulas_is_the_codes() {
    let mut text = String::from(
        "# Formulas and sources\n\n\
         Written from the code by `BATTENBOOK_WRITE_DOCS=1 cargo test -p planner --test formulas`; the same test keeps it fresh.\n\n\
         | name | what is computed | source |\n| --- | --- | --- |\n",
    );
    for f in formulas::ALL {
        text.push_str(&format!("| {} | {} | {} |\n", f.name, f.text, f.source));
    }
    compare("formulas.md", &text);
}

#[test]
fn formula_names_are_unique_and_each_has_a_source() {
    for (i, f) in formulas::ALL.iter().enumerate() {
        assert!(
            !f.source.trim().is_empty() && !f.text.trim().is_empty(),
            "{}",
            f.name
        );
        assert!(
            formulas::ALL[i + 1..].iter().all(|g| g.name != f.name),
            "{} twice",
            f.name
        );
    }
}

#[test]
fn the_docs_table_of_fields_is_the_codes() {
    let mut text = String::from(
        "# Every input\n\n\
         Written from the code by `BATTENBOOK_WRITE_DOCS=1 cargo test -p planner --test formulas`; the same test keeps it fresh.\n\
         How a brief is written in JSON stands in [plan-file.md](plan-file.md).\n",
    );
    for (table, title) in [
        (Table::Settings, "Settings (top level)"),
        (Table::Canvases, "`canvases`"),
        (Table::Boards, "`boards`"),
        (Table::Rolls, "`rolls`"),
        (Table::Cut, "`cut`"),
        (
            Table::Find,
            "Asked when a size is looked for (on the page, no part of a plan)",
        ),
    ] {
        text.push_str(&format!("\n## {title}\n\n| key | name | takes | usual | about |\n| --- | --- | --- | --- | --- |\n"));
        for f in table.fields() {
            text.push_str(&format!(
                "| `{}` | {} | {} | {} | {} |\n",
                f.key,
                f.label,
                accepted(f, Show::default()),
                usual(&f.kind),
                f.hint
            ));
        }
    }
    compare("fields.md", &text);
}

fn usual(kind: &Kind) -> String {
    match kind {
        Kind::Text { usual, .. } | Kind::Battens { usual, .. } => (*usual).to_string(),
        Kind::Length { usual, .. } => usual.map_or(String::new(), planner::show::exact_mm),
        Kind::Count { usual, .. } => usual.map_or(String::new(), |n| n.to_string()),
        Kind::Measure {
            usual, dimension, ..
        } => usual.map_or(String::new(), |x| {
            format!(
                "{} {}",
                planner::fault::in_unit(dimension, dimension.metric, x),
                dimension.metric
            )
            .trim()
            .to_string()
        }),
        Kind::Choice(answers) => answers[0].0.to_string(),
        Kind::Weekdays => "Mon-Sun".to_string(),
        Kind::Money { .. } | Kind::Date | Kind::Stretches | Kind::Pieces | Kind::Like => {
            String::new()
        }
    }
}

fn compare(name: &str, expected: &str) {
    let path = format!("{}/../../docs/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("BATTENBOOK_WRITE_DOCS").is_some() {
        std::fs::write(&path, expected).expect("docs/ can be written");
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found == expected,
        "docs/{name} is stale: write it anew as its second line says"
    );
}
