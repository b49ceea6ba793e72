//! The form: rows, texts and messages, from the draft to the document and back.

use std::cell::RefCell;

use planner::{Draft, FieldRef, Record, Table, Units};
use sheets::names::list;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, HtmlSelectElement};

use crate::dom;

thread_local! {
    /// The messages that stand at the fields; none if the fields have changed since.
    static SAID: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// The lists of rows.
const LISTS: [Table; 4] = [Table::Canvases, Table::Boards, Table::Rolls, Table::Cut];

/// Makes the form show a draft. Fields that show it already are left alone, caret and all.
pub(crate) fn fill(draft: &Draft) {
    for table in LISTS {
        set_rows(table, draft.rows(table).len());
    }
    let imperial = draft.units() == Units::Imperial;
    let root = dom::document().document_element();
    // The form is made for metric units.
    let mut as_made = !imperial;
    if let Some(root) = root {
        as_made &= root.get_attribute("data-units").as_deref() != Some("imperial");
        let _ = root.set_attribute("data-units", if imperial { "imperial" } else { "metric" });
    }
    for element in dom::all("[data-key]") {
        if let Some(at) = field_of(&element) {
            if at.table != Table::Find {
                show_text(&element, draft.text(at));
            }
            if !as_made {
                set_units(&element, imperial);
            }
        }
    }
    for radio in dom::all("input[name=units]") {
        if let Some(radio) = radio.dyn_ref::<HtmlInputElement>() {
            radio.set_checked((radio.value() == "imperial") == imperial);
        }
    }
    count_changes(draft);
}

/// Makes the finder of sizes show what is asked of it.
pub(crate) fn fill_asked(asked: &Record) {
    for element in dom::all("#find [data-key]") {
        if let Some(at) = field_of(&element) {
            show_text(&element, asked.get(at.key).map_or("", String::as_str));
        }
    }
}

/// The field that an element is the input of.
pub(crate) fn field_of(element: &Element) -> Option<FieldRef> {
    let key = element.get_attribute("data-key")?;
    let table = table_of(element)?;
    let row = element.get_attribute("data-row")?.parse().ok()?;
    let key = table.field(&key)?.key;
    Some(FieldRef { table, row, key })
}

/// The list that an element belongs to.
pub(crate) fn table_of(element: &Element) -> Option<Table> {
    let name = element.get_attribute("data-table")?;
    Table::ALL.into_iter().find(|t| t.key() == name)
}

fn set_rows(table: Table, count: usize) {
    let Some(list) = dom::by_id(&list(table)) else {
        return;
    };
    if list.child_element_count() as usize != count {
        SAID.set(None);
    }
    while list.child_element_count() as usize > count {
        if let Some(last) = list.last_element_child() {
            dom::forget(&last.id());
            last.remove();
        }
    }
    for row in list.child_element_count() as usize..count {
        let Ok(item) = dom::document().create_element("li") else {
            return;
        };
        item.set_id(&format!("{}-{row}", table.key()));
        let _ = list.append_child(&item);
        dom::put(&item.id(), sheets::form::row(table, row));
    }
}

fn show_text(element: &Element, text: &str) {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        let shown = input.value();
        if shown != text {
            input.set_value(text);
        }
        if !(shown.is_empty() && text.is_empty()) {
            own_unit(element, text);
        }
    } else if let Some(select) = element.dyn_ref::<HtmlSelectElement>() {
        if text.is_empty() {
            select.set_selected_index(0);
        } else {
            select.set_value(text);
        }
    }
}

/// The unit behind a field is hidden where the text brings its own.
pub(crate) fn own_unit(element: &Element, text: &str) {
    let own = text
        .chars()
        .any(|c| c.is_alphabetic() || "\"'″′%°:".contains(c));
    let _ = element.class_list().toggle_with_force("own-unit", own);
}

fn set_units(element: &Element, imperial: bool) {
    let name = if imperial {
        "data-imperial"
    } else {
        "data-metric"
    };
    let Some(usual) = element.get_attribute(name) else {
        return;
    };
    let _ = element.set_attribute("placeholder", &usual);
    let kind = element
        .closest("[data-kind]")
        .ok()
        .flatten()
        .and_then(|e| e.get_attribute("data-kind"));
    if kind.as_deref() == Some("length") {
        // Inches need the slash and the blank, which decimal keys lack.
        let keys = if imperial { "text" } else { "decimal" };
        let _ = element.set_attribute("inputmode", keys);
    }
}

/// Says at each group of settings how many differ from the usual values.
pub(crate) fn count_changes(draft: &Draft) {
    for place in dom::all(".changed") {
        let stage = place.get_attribute("data-stage").unwrap_or_default();
        let changed = draft
            .settings
            .keys()
            .filter_map(|key| Table::Settings.field(key))
            .filter(|f| sheets::names::section(f.stage) == stage && !sheets::form::is_in_sight(f))
            .count();
        let text = match changed {
            0 => String::new(),
            n => format!("{n} changed"),
        };
        if place.text_content().as_deref() != Some(text.as_str()) {
            place.set_text_content(Some(&text));
        }
    }
}

/// Puts each message of the plan at its field and takes away those that no longer hold. Of each
/// message there are three lines: the field's id, its list's id, the message.
pub(crate) fn show_messages(lines: &str) {
    let before = SAID.replace(Some(lines.to_owned()));
    if before.is_none_or(|before| before != lines) {
        say("p.error:not(#find p, .own)", lines);
    }
}

/// The same for the finder of sizes.
pub(crate) fn show_asked_messages(lines: &str) {
    say("#find p.error:not(.own)", lines);
}

fn say(places: &str, lines: &str) {
    let mut said: Vec<(String, String)> = Vec::new();
    let lines: Vec<&str> = lines.lines().collect();
    for message in lines.chunks_exact(3) {
        let place = message_place(message[0], message[1]);
        match said.iter_mut().find(|(id, _)| *id == place) {
            Some((_, text)) => {
                text.push(' ');
                text.push_str(message[2]);
            }
            None => said.push((place, message[2].to_owned())),
        }
    }
    for place in dom::all(places) {
        let id = place.id();
        let text = said
            .iter()
            .find(|(at, _)| *at == id)
            .map_or("", |(_, text)| text);
        if place.text_content().as_deref() != Some(text) {
            place.set_text_content(Some(text));
        }
        if let Some(input) = id.strip_suffix("-error").and_then(dom::by_id) {
            let invalid = !text.is_empty();
            if invalid != input.has_attribute("aria-invalid") {
                let _ = if invalid {
                    input.set_attribute("aria-invalid", "true")
                } else {
                    input.remove_attribute("aria-invalid")
                };
            }
        }
    }
}

/// The id of the place for a fault's message: at its field, or at its list where the field is
/// not there (an empty rack has no first row).
fn message_place(field: &str, list: &str) -> String {
    let at_field = format!("{field}-error");
    if dom::by_id(&at_field).is_some() {
        at_field
    } else {
        format!("{list}-error")
    }
}
