//! The panels with which canvases are found and added: "Find a size" and "Paste a list".

use maud::{Markup, html};
use planner::brief::Choice;
use planner::find_size::asked::By;
use planner::find_size::typed::with_unit;
use planner::find_size::{Found, FoundCanvas, standard};
use planner::paste::{Pasted, Why};
use planner::show::counted;
use planner::{Draft, Field, FieldRef, Show, Table, Units};

use crate::{form, how};

/// The id of the panel that looks for a size.
pub const FIND: &str = "find";
/// The id of the place for what it finds.
pub const FOUND: &str = "find-answer";
/// The id of the box for a pasted list.
pub const LIST: &str = "paste-text";
/// The id of the place for what is read of the list.
pub const READ: &str = "paste-answer";

/// The most lines of a list that are shown, of canvases and of faults.
const MOST_SHOWN: usize = 30;

/// Both panels, closed.
pub(crate) fn panels() -> Markup {
    html! {
        details.settings id=(FIND) {
            summary { "Find a size" }
            div.fields {
                @for field in Table::Find.fields() { (asked(field)) }
            }
            div id=(FOUND) role="status" {}
        }
        details.settings id="paste" {
            summary { "Paste a list" }
            div.list {
                label for=(LIST) { "One canvas a line: name, width, height, how many" }
                textarea id=(LIST) rows="7"
                    aria-describedby={ (LIST) "-hint" } {}
                p.hint id={ (LIST) "-hint" } {
                    "Parted by tabs, semicolons or commas; a name and how many may be missing. “60 x 80 cm” and “15 F” are sizes, too. "
                    "A side without a unit takes that of its column’s name, or of the other side, or the page’s. "
                    "With decimal commas, part by semicolons: a comma between two digits parts them if that gives a canvas."
                }
            }
            div id=(READ) role="status" {}
        }
    }
}

/// A field of the finder, shown for what asks for it.
fn asked(field: &'static Field) -> Markup {
    let at = FieldRef {
        table: Table::Find,
        row: 0,
        key: field.key,
    };
    let hint = format!("{}-hint", crate::names::id(at));
    let asks: Vec<&str> = By::ALL
        .iter()
        .filter(|(_, by)| field.key == "by" || by.asks().contains(&field.key))
        .map(|(key, _)| *key)
        .collect();
    let first = By::ALL[0].0;
    html! {
        div.setting data-for=(asks.join(" ")) hidden[!asks.contains(&first)] {
            @if field.key == "standard" {
                (standard_sizes(field, at, &hint))
            } @else {
                (form::entry(field, at, &hint))
            }
            p.hint id=(hint) { (form::help(field)) }
        }
    }
}

/// The table of standard sizes as a list to choose from.
fn standard_sizes(field: &'static Field, at: FieldRef, hint: &str) -> Markup {
    let id = crate::names::id(at);
    let group = |name: &str, wanted: fn(&standard::Standard) -> bool| {
        html! {
            optgroup label=(name) {
                @for size in standard::all().filter(wanted) {
                    option value=(size.name()) { (size.described()) }
                }
            }
        }
    };
    html! {
        div.field data-kind="choice" {
            label for=(id) { (field.label) }
            select id=(id) data-table=(at.table.key()) data-key=(at.key) data-row="0"
                aria-describedby={ (hint) " " (id) "-error" } {
                option value="" selected { "choose one" }
                (group("French numbers", |s| matches!(s, standard::Standard::French { .. })))
                (group("Inches", |s| matches!(s, standard::Standard::Inches { .. })))
            }
            p.error id={ (id) "-error" } {}
        }
    }
}

/// What was found, with the button that adds it.
#[must_use]
pub fn found(draft: &Draft, found: &Found) -> Markup {
    let named = found.canvases.iter().any(|c| !c.name.is_empty());
    let n = found.canvases.len() as u64;
    html! {
        @if found.is_found() {
            table.buy {
                caption { "What comes out" }
                thead { tr {
                    @if named { th scope="col" { "Canvas" } }
                    th scope="col" { "Width" } th scope="col" { "Height" }
                } }
                tbody {
                    @for (i, canvas) in found.canvases.iter().enumerate() {
                        tr {
                            @if named { th scope="row" { (canvas.name) } }
                            td { (figure(found, canvas, 2 * i)) }
                            td { (figure(found, canvas, 2 * i + 1)) }
                        }
                    }
                }
            }
            @for note in &found.notes { p { (note) } }
            @if found.has_room(draft) {
                div.acts {
                    button.act type="button" id="find-add" data-act="add-found" {
                        @match found.into {
                            Some(row) => { "Put it into canvas " (row + 1) }
                            None if n == 1 => "Add this canvas",
                            None => { "Add these " (n) " canvases" }
                        }
                    }
                }
            } @else {
                p.error.own { (Why::NoRoom.message(found.show)) }
            }
        }
    }
}

/// The n-th figure as a button that opens how it was reached: what is typed for it.
fn figure(found: &Found, canvas: &FoundCanvas, n: usize) -> Markup {
    let (name, shown) = named_figure(found, canvas, n);
    html! {
        button.figure type="button" id={ (FIND) "-figure-" (n) } data-how=(n) aria-haspopup="dialog"
            aria-label={ (name) ": " (shown) ", how it was reached" } { (shown) }
    }
}

fn named_figure(found: &Found, canvas: &FoundCanvas, n: usize) -> (&'static str, String) {
    let name = if n.is_multiple_of(2) {
        "Width"
    } else {
        "Height"
    };
    let shown = with_unit(&canvas.texts[n % 2], Some(unit(found.show)));
    (name, shown)
}

const fn unit(show: Show) -> &'static str {
    match show.units {
        Units::Metric => "mm",
        Units::Imperial => "in",
    }
}

/// How the n-th figure was reached.
#[must_use]
pub fn how_found(found: &Found, n: usize) -> Option<Markup> {
    let canvas = found.canvases.get(n / 2)?;
    let (name, shown) = named_figure(found, canvas, n);
    let how = if n.is_multiple_of(2) {
        &canvas.width.how
    } else {
        &canvas.height.how
    };
    Some(how::body(name, &shown, how, found.show, ""))
}

/// What is read of a pasted list: the canvases that can be added, and what is wrong line by line.
/// `said` stands where something was just added.
#[must_use]
pub fn pasted(pasted: &Pasted, show: Show, said: &str) -> Markup {
    let n = pasted.rows.len() as u64;
    html! {
        @if !said.is_empty() { p { (said) } }
        @if !pasted.left.is_empty() {
            p.error.own { (counted(pasted.left.len() as u64, "line is", "lines are")) " not read and will stay in the box:" }
            ul.lines {
                @for left in pasted.left.iter().take(MOST_SHOWN) {
                    li { strong { "Line " (left.line) ": " } (left.why.message(show)) " " q { (short(&left.text)) } }
                }
                (more(pasted.left.len()))
            }
        }
        @for name in &pasted.unused {
            p { "The column “" (short(name)) "” is not used." }
        }
        @if n > 0 {
            table.buy {
                caption { "To be added" }
                thead { tr {
                    th scope="col" { "Name" } th scope="col" { "Width" } th scope="col" { "Height" } th scope="col" { "How many" }
                } }
                tbody {
                    @for row in pasted.rows.iter().take(MOST_SHOWN) {
                        tr {
                            th scope="row" { @if row.name.is_empty() { "(by its size)" } @else { (row.name) } }
                            td.number { (show.length(row.sides[0])) }
                            td.number { (show.length(row.sides[1])) }
                            td.number { (row.number) }
                        }
                    }
                }
            }
            @if pasted.rows.len() > MOST_SHOWN { ul.lines { (more(pasted.rows.len())) } }
            div.acts {
                button.act type="button" id="paste-add" data-act="add-pasted" {
                    @if n == 1 { "Add this canvas" } @else { "Add these " (n) " rows of canvases" }
                }
            }
        }
    }
}

fn more(n: usize) -> Markup {
    html! { @if n > MOST_SHOWN { li { "and " (n - MOST_SHOWN) " more." } } }
}

/// The beginning of a text, so that a long line does not fill the page.
fn short(text: &str) -> String {
    const MOST: usize = 60;
    let mut short: String = text.trim().chars().take(MOST).collect();
    if text.trim().chars().count() > MOST {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use planner::{Record, find_size, paste};

    use super::*;

    fn record(all: &[(&'static str, &str)]) -> Record {
        all.iter().map(|(k, t)| (*k, (*t).to_owned())).collect()
    }

    #[test]
    fn what_was_pasted_is_text() {
        let list = "<b>Anna</b>; 60 cm; 80 cm\n<script>; 60\nBen; 900; 600; 3";
        let said = pasted(&paste::read(list, Units::Metric), Show::default(), "").into_string();
        for part in [
            "<th scope=\"row\">&lt;b&gt;Anna&lt;/b&gt;</th><td class=\"number\">600 mm</td>",
            "<strong>Line 2: </strong>",
            "<q>&lt;script&gt;; 60</q>",
            "Add these 2 rows of canvases",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert_eq!(
            pasted(&paste::read(" \n", Units::Metric), Show::default(), "").into_string(),
            ""
        );
    }

    #[test]
    fn a_long_list_is_shown_in_part() {
        let list = vec!["A, 600, 800"; 40].join("\n");
        let said = pasted(&paste::read(&list, Units::Metric), Show::default(), "").into_string();
        assert_eq!(said.matches("<th scope=\"row\">").count(), MOST_SHOWN);
        assert!(said.contains("and 10 more."), "{said}");
    }

    #[test]
    fn what_is_found_is_shown_as_it_will_be_typed() {
        let draft = Draft::default();
        let asked = record(&[("by", "proportion"), ("side", "2 ft")]);
        let it = find_size::find(&draft, &asked);
        let said = found(&draft, &it).into_string();
        // 609.6 × 1.618034 = 986.35.
        for part in [">2 ft</button>", ">986 mm</button>", "Add this canvas"] {
            assert!(said.contains(part), "{part}: {said}");
        }
        let how = how_found(&it, 1).expect("a height").into_string();
        assert!(
            how.contains("side by proportion") && how.contains("you typed it"),
            "{how}"
        );
        assert!(how_found(&it, 2).is_none());
    }

    #[test]
    fn every_field_is_shown_for_some_way_to_find_a_size() {
        let panels = panels().into_string();
        for field in Table::Find.fields() {
            let at = FieldRef {
                table: Table::Find,
                row: 0,
                key: field.key,
            };
            assert!(
                panels.contains(&format!("id=\"{}\"", crate::names::id(at))),
                "{}",
                field.key
            );
            let asked = By::ALL.iter().any(|(_, by)| by.asks().contains(&field.key));
            assert!(asked || field.key == "by", "{}", field.key);
        }
        assert!(panels.contains("<option value=\"15 F\">15 F figure, 65 × 54 cm</option>"));
    }
}
