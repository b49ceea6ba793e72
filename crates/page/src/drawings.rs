//! What opens on demand: drawings, the step that one of them shows, and folds with much in them.

use std::cell::{Cell, RefCell};

use sheets::picture::Picture;
use sheets::player;
use web_sys::Element;

use crate::{book, dom};

/// In a column of the page narrower than this, in pixels, and in cards side by side, drawings are
/// laid out for a phone: wide ones would have letters below 15 pixels.
const NARROW: i32 = 620;

thread_local! {
    /// Which step of stapling each canvas shows.
    static STEPS: RefCell<Vec<usize>> = const { RefCell::new(Vec::new()) };
    /// How wide the page's column is; none until it is measured anew.
    static WIDTH: Cell<Option<i32>> = const { Cell::new(None) };
}

/// The window has another size.
pub(crate) fn resized() {
    WIDTH.set(None);
    fill_open();
}

/// Fills every fold that is open with what it holds in the plan that is shown.
pub(crate) fn fill_open() {
    for fold in dom::all("details[data-picture][open], .sheet details[data-fold][open]") {
        fill(&fold);
    }
}

/// Fills a fold that was opened. While a plan comes in, [`fill_open`] follows anyway.
pub(crate) fn opened(fold: &Element) {
    if fold.has_attribute("open") && !book::is_planning() {
        fill(fold);
    }
}

fn fill(fold: &Element) {
    if fold.has_attribute("data-picture") {
        draw(fold);
    } else if let Some(key) = fold.get_attribute("data-fold") {
        let sheet = fold.closest(".sheet").ok().flatten();
        let sheet = sheet.map(|sheet| sheet.id()).unwrap_or_default();
        book::ask(&["fold", &sheet, &key.clone()], move |mut written| {
            if let Some(written) = written.pop() {
                dom::put_new(&format!("fold-{key}"), dom::markup(written));
            }
        });
    }
}

/// Whether a drawing there is laid out for a phone. The fold itself is not measured: what is out
/// of sight would have to be laid out for it.
fn is_narrow(fold: &Element) -> bool {
    let width = WIDTH.get().unwrap_or_else(|| {
        let column = dom::by_id("form");
        column.map_or(0, |column| column.client_width())
    });
    WIDTH.set(Some(width));
    width < NARROW || matches!(fold.closest(".cards"), Ok(Some(_)))
}

fn draw(fold: &Element) {
    let name = fold.get_attribute("data-picture").unwrap_or_default();
    let layout = if is_narrow(fold) { "narrow" } else { "wide" };
    let step = step_of(&name).to_string();
    let of = name.clone();
    book::ask(&["picture", &of, layout, &step], move |drawn| {
        let mut drawn = drawn.into_iter();
        if let Some(drawing) = drawn.next() {
            dom::put_new(&format!("picture-{name}"), dom::markup(drawing));
        }
        if let (Some(canvas), Some(words), Some(step), Some(last)) =
            (canvas_of(&name), drawn.next(), drawn.next(), drawn.next())
        {
            keep_step(canvas, step.parse().unwrap_or(0));
            say_step(canvas, &words, step == "0", step == last);
        }
    });
}

fn canvas_of(name: &str) -> Option<usize> {
    match name.parse() {
        Ok(Picture::Steps(canvas)) => Some(canvas),
        _ => None,
    }
}

/// Which step the picture of this name shows, where it has steps.
pub(crate) fn step_of(name: &str) -> usize {
    let canvas = canvas_of(name);
    canvas.map_or(0, |canvas| {
        STEPS.with_borrow(|steps| steps.get(canvas).copied().unwrap_or(0))
    })
}

/// Where to go in the stapling order.
#[derive(Clone, Copy)]
pub(crate) enum Turn {
    First,
    Back,
    Next,
    Last,
}

/// Goes to another step of a canvas's stapling; nothing goes on by itself.
pub(crate) fn turn(canvas: usize, turn: Turn) {
    let now = step_of(&Picture::Steps(canvas).to_string());
    // One beyond the last becomes the last where the plan is known.
    let then = match turn {
        Turn::First => 0,
        Turn::Back => now.saturating_sub(1),
        Turn::Next => now.saturating_add(1),
        Turn::Last => usize::MAX,
    };
    keep_step(canvas, then);
    fill_open();
}

fn keep_step(canvas: usize, step: usize) {
    STEPS.with_borrow_mut(|steps| {
        if steps.len() <= canvas {
            steps.resize(canvas + 1, 0);
        }
        steps[canvas] = step;
    });
}

/// Says the step that is shown, and which way there is none.
fn say_step(canvas: usize, words: &str, is_first: bool, is_last: bool) {
    dom::put_text(&player::said(canvas), words);
    for (way, off) in [("back", is_first), ("next", is_last)] {
        if let Some(button) = dom::by_id(&format!("steps-{canvas}-step-{way}")) {
            // Not "disabled", which would throw the focus away.
            let _ = button.set_attribute("aria-disabled", if off { "true" } else { "false" });
        }
    }
}
