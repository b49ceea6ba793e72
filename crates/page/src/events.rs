//! What the maker does: one listener for each kind of event, for the whole document.

use planner::{Stage, Table, Units};
use sheets::Sheet;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{
    Element, Event, EventTarget, HtmlInputElement, HtmlTextAreaElement, KeyboardEvent, StorageEvent,
};

use crate::drawings::{self, Turn};
use crate::{
    book, bring, class, code, crew, dom, example, form, keep, listen, lists, paper, shelf,
};

/// Listens to the whole document.
pub(crate) fn listen() {
    let document: EventTarget = dom::document().into();
    let window: EventTarget = dom::window().into();
    on(&document, "input", input);
    // Not every engine sends "input" for a list of answers that is set by keys or by a driver.
    on(&document, "change", input);
    on(&document, "click", click);
    on(&document, "pointerdown", |_| {
        dom::put_text("said", "");
        crew::pressed();
    });
    for event in ["pointerup", "pointercancel"] {
        on(&document, event, |_| crew::let_go());
    }
    on(&document, "focusin", focus_in);
    on(&document, "keydown", key);
    listen_to_folds(&document);
    on(&window, "resize", |_| drawings::resized());
    for event in ["dragover", "dragleave", "drop"] {
        on(&document, event, bring::dragged);
    }
    on(&window, "hashchange", |_| bring::address_changed());
    on(&window, "storage", other_tab);
    on(&window, "beforeunload", |event| {
        if keep::is_at_risk() {
            event.prevent_default();
        }
    });
    on(&window, "beforeprint", |_| paper::fill());
    on(&window, "afterprint", |_| paper::forget());
    on(&window, "pagehide", |_| keep::if_due());
    on(&document, "visibilitychange", |_| keep::if_due());
}

fn on(target: &EventTarget, event: &str, then: impl FnMut(Event) + 'static) {
    let closure = Closure::<dyn FnMut(Event)>::new(then);
    let _ = target.add_event_listener_with_callback(event, closure.as_ref().unchecked_ref());
    // The document lives as long as the page.
    closure.forget();
}

/// A fold that opens does not bubble: it is heard on the way down.
fn listen_to_folds(document: &EventTarget) {
    let closure = Closure::<dyn FnMut(Event)>::new(|event: Event| {
        if let Some(fold) = element(&event).filter(|e| e.has_attribute("data-keep")) {
            drawings::opened(&fold);
        }
    });
    let _ = document.add_event_listener_with_callback_and_bool(
        "toggle",
        closure.as_ref().unchecked_ref(),
        true,
    );
    closure.forget();
}

fn element(event: &Event) -> Option<Element> {
    event.target()?.dyn_into().ok()
}

fn closest(event: &Event, css: &str) -> Option<Element> {
    element(event)?.closest(css).ok().flatten()
}

fn number(element: &Element, attribute: &str) -> usize {
    element
        .get_attribute(attribute)
        .and_then(|text| text.parse().ok())
        .unwrap_or(0)
}

fn input(event: Event) {
    let Some(element) = element(&event) else {
        return;
    };
    if element.id() == sheets::find::LIST {
        lists::typed();
        return;
    }
    let Some(text) = dom::value(&element) else {
        return;
    };
    if let Some(input) = element.dyn_ref::<HtmlInputElement>()
        && event.type_() == "change"
    {
        if input.id() == "plan-file" {
            bring::chosen(input);
        } else if input.has_attribute("data-plan") {
            shelf::rename(input);
        }
    }
    if element.get_attribute("name").as_deref() == Some("units") {
        book::switch_units(if text == "imperial" {
            Units::Imperial
        } else {
            Units::Metric
        });
    } else if let Some(at) = form::field_of(&element) {
        if at.table == Table::Find {
            lists::asked(at, &text);
        } else if element.is_instance_of::<HtmlInputElement>() {
            form::own_unit(&element, &text);
            book::typed(at, &text);
        } else {
            book::chosen(at, &text);
        }
    }
}

fn focus_in(event: Event) {
    if let Some(row) = closest(&event, "[data-table=canvases][data-row]") {
        book::look_at(number(&row, "data-row"));
    }
}

fn key(event: Event) {
    dom::put_text("said", "");
    let Some(key) = event.dyn_ref::<KeyboardEvent>() else {
        return;
    };
    if let Some(player) = closest(&event, ".player")
        && let Some(turn) = turn_of(&key.key())
    {
        event.prevent_default();
        drawings::turn(number(&player, "data-canvas"), turn);
        return;
    }
    if !(key.ctrl_key() || key.meta_key()) || !key.key().eq_ignore_ascii_case("z") {
        return;
    }
    // In a text field the browser's own undo is what a typist expects.
    if element(&event).is_some_and(|e| {
        e.is_instance_of::<HtmlInputElement>() || e.is_instance_of::<HtmlTextAreaElement>()
    }) {
        return;
    }
    event.prevent_default();
    if key.shift_key() {
        book::redo();
    } else {
        book::undo();
    }
}

/// Which way a key goes in what has steps.
fn turn_of(key: &str) -> Option<Turn> {
    Some(match key {
        "ArrowLeft" | "PageUp" => Turn::Back,
        "ArrowRight" | "PageDown" => Turn::Next,
        "Home" => Turn::First,
        "End" => Turn::Last,
        _ => return None,
    })
}

fn click(event: Event) {
    if let Some(figure) = closest(&event, "[data-how]") {
        explain(&figure);
    } else if let Some(button) = closest(&event, "[data-act]") {
        act(&button);
    } else if let Some(anchor) = closest(&event, "a[href^='#']") {
        // The address's end holds the plan, so that an ordinary jump would throw it away.
        event.prevent_default();
        let href = anchor.get_attribute("href").unwrap_or_default();
        go_to(href.trim_start_matches('#'));
    }
}

fn explain(figure: &Element) {
    let n = number(figure, "data-how");
    let open = || dom::open_dialog("how");
    // A fold that is written when it opens counts its own figures.
    let place = figure.closest("[data-picture], .sheet").ok().flatten();
    if figure.closest("#find").ok().flatten().is_some() {
        if lists::explain(n) {
            open();
        }
    } else if let Some(place) = place {
        let place = (place.get_attribute("data-picture")).unwrap_or_else(|| place.id());
        book::explain(&place, n, open);
    }
}

fn other_tab(event: Event) {
    if let Some(event) = event.dyn_ref::<StorageEvent>() {
        keep::other_tab(event.key().as_deref(), event.new_value().as_deref());
    }
}

fn act(button: &Element) {
    if button.get_attribute("aria-disabled").as_deref() == Some("true") {
        return;
    }
    let row = number(button, "data-row");
    let table = form::table_of(button);
    match (
        button
            .get_attribute("data-act")
            .unwrap_or_default()
            .as_str(),
        table,
    ) {
        ("add", Some(table)) => to_row(table, book::add_row(table)),
        ("copy", Some(table)) => to_row(table, book::copy_row(table, row)),
        ("remove", Some(table)) => {
            let left = book::remove_row(table, row);
            match left.checked_sub(1) {
                Some(last) => to_row(table, Some(row.min(last))),
                None => dom::focus(&format!("{}-add", table.key())),
            }
        }
        ("lock", _) => {
            let of = button.get_attribute("data-of").unwrap_or_default();
            book::lock(&of, row, number(button, "data-count"));
        }
        ("add-found", _) => to_row(Table::Canvases, lists::add_found()),
        ("add-pasted", _) => to_row(Table::Canvases, lists::add_pasted()),
        ("what-if", _) => book::answer("what-if", sheets::what_if::PLACE),
        ("step-back", _) => drawings::turn(number(button, "data-canvas"), Turn::Back),
        ("step-next", _) => drawings::turn(number(button, "data-canvas"), Turn::Next),
        ("battens", _) => book::answer("battens", sheets::battens::PLACE),
        ("stop-looking", _) => book::stop_looking(),
        ("undo", _) => book::undo(),
        ("redo", _) => book::redo(),
        ("link", _) => keep::copy_link(),
        ("save", _) => keep::save_file(),
        ("empty", _) => {
            keep::open_new(example::empty());
            to_row(Table::Canvases, Some(0));
        }
        ("example", _) => keep::open_new(example::example()),
        ("bring-back", _) => bring::bring_back(),
        ("open-rest", _) => bring::open_rest(),
        ("code", _) => code::show(),
        ("help", _) => dom::open_dialog("help"),
        ("listen", _) => listen::start(button),
        ("close-dialog", _) => {
            if let Ok(Some(dialog)) = button.closest("dialog") {
                dom::close_dialog(&dialog.id());
            }
        }
        ("close", _) => {
            if let Ok(Some(notice)) = button.closest(".notice") {
                dom::show(&notice.id(), false);
            }
        }
        (act, _) => {
            let drawing = button.get_attribute("data-drawing").unwrap_or_default();
            let _ = shelf::act(act, button)
                || class::act(act)
                || paper::print(act)
                || paper::save(act, &drawing);
        }
    }
}

/// Puts the focus into the first field of a row that a maker types into.
fn to_row(table: Table, row: Option<usize>) {
    let Some(row) = row else { return };
    let key = match table {
        Table::Canvases | Table::Rolls => "width",
        Table::Boards | Table::Cut => "length",
        Table::Settings | Table::Find => return,
    };
    dom::focus(&format!("{}-{row}-{key}", table.key()));
}

/// Goes to a field, a section or the list of what must be put right, opening what hides it.
fn go_to(id: &str) {
    let target = dom::by_id(id).or_else(|| {
        // A field of a row that is not there: the button that adds one.
        let table = id.split('-').next().unwrap_or_default();
        dom::by_id(&format!("{table}-add"))
    });
    let Some(target) = target else { return };
    let mut outer = target.parent_element();
    while let Some(element) = outer {
        if element.tag_name().eq_ignore_ascii_case("details") {
            let _ = element.set_attribute("open", "");
        }
        outer = element.parent_element();
    }
    let is_stage = Sheet::all().any(|s| sheets::names::section(s.0) == id);
    let focus = if is_stage {
        format!("{id}-title")
    } else {
        target.id()
    };
    target.scroll_into_view();
    dom::focus(&focus);
    if id == sheets::names::section(Stage::Job) {
        dom::window().scroll_to_with_x_and_y(0.0, 0.0);
    }
}
