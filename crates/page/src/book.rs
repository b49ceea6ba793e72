//! The open plan: one draft, its history, and everything on the page that follows from it.

use std::cell::RefCell;

use planner::brief::BoardOf;
use planner::{Draft, Effort, FieldRef, Plan, Table, Units, already_cut, plan};
use sheets::{Sheet, answer, faults};

use crate::{dom, drawings, form, keep};

/// How many steps back are kept (our choice).
const MOST_STEPS: usize = 200;
/// How long typing must rest before a screen reader is told the new answer, in milliseconds
/// (our choice: longer than the pause between two words).
const REST: i32 = 1200;

/// The open plan.
#[derive(Default)]
struct Book {
    draft: Draft,
    plan: Option<Plan>,
    back: Vec<Draft>,
    forward: Vec<Draft>,
    /// The field that the last step changed: typing on in it is the same step.
    typing: Option<FieldRef>,
    /// The canvas that the drawing in sight shows.
    canvas: usize,
    planning: Option<i32>,
    telling: Option<i32>,
}

thread_local! {
    static BOOK: RefCell<Book> = RefCell::default();
}

/// The draft as it is now.
pub(crate) fn draft() -> Draft {
    BOOK.with_borrow(|book| book.draft.clone())
}

/// Asks something of the plan that is shown; none before there is one.
pub(crate) fn with_plan<T>(ask: impl FnOnce(&Plan) -> T) -> Option<T> {
    BOOK.with_borrow(|book| book.plan.as_ref().map(ask))
}

/// Opens a plan in place of the one that is open. The old one is a step back.
pub(crate) fn open(draft: Draft) {
    change(None, |d| *d = draft);
}

/// Opens the first plan of the visit, with nothing to go back to.
pub(crate) fn begin(draft: Draft) {
    BOOK.with_borrow_mut(|book| {
        *book = Book {
            draft,
            ..Book::default()
        };
    });
    form::fill(&self::draft());
    show();
}

/// Takes what was typed in a field.
pub(crate) fn typed(at: FieldRef, text: &str) {
    let changed = BOOK.with_borrow_mut(|book| {
        if book.draft.text(at) == text {
            return false;
        }
        if book.typing != Some(at) {
            remember(book);
            book.typing = Some(at);
        }
        book.draft.set(at, text);
        true
    });
    if changed {
        form::count_changes(&draft());
        keep::soon();
        // A burst of keys is planned once.
        let due = dom::later(0, || {
            BOOK.with_borrow_mut(|book| book.planning = None);
            show();
        });
        let before = BOOK.with_borrow_mut(|book| core::mem::replace(&mut book.planning, due));
        dom::never(before);
    }
}

/// Takes the usual value of a choice, or an answer of it.
pub(crate) fn chosen(at: FieldRef, answer: &str) {
    let usual = at.field().is_some_and(|f| match f.kind {
        planner::fields::Kind::Choice(all) => all.first().is_some_and(|(key, _)| *key == answer),
        _ => false,
    });
    typed(at, if usual { "" } else { answer });
}

/// Switches the page's units; no value changes.
pub(crate) fn switch_units(to: Units) {
    change(None, |draft| draft.switch_units(to));
}

/// Adds an empty row; returns its number.
pub(crate) fn add_row(table: Table) -> Option<usize> {
    let mut added = None;
    change(None, |draft| {
        if let Some(rows) = draft.rows_mut(table)
            && rows.len() < table.most_rows()
        {
            rows.push(planner::Record::new());
            added = Some(rows.len() - 1);
        }
    });
    added
}

/// Copies a row to the place after it; returns the copy's number.
pub(crate) fn copy_row(table: Table, row: usize) -> Option<usize> {
    let mut added = None;
    change(None, |draft| {
        if let Some(rows) = draft.rows_mut(table)
            && rows.len() < table.most_rows()
            && let Some(record) = rows.get(row).cloned()
        {
            rows.insert(row + 1, record);
            added = Some(row + 1);
        }
    });
    added
}

/// Takes a row away; returns how many are left.
pub(crate) fn remove_row(table: Table, row: usize) -> usize {
    let mut left = 0;
    change(None, |draft| {
        if let Some(rows) = draft.rows_mut(table) {
            if row < rows.len() {
                rows.remove(row);
            }
            left = rows.len();
        }
    });
    left
}

/// Notes so many boards of the plan as cut already; only the rest is planned again.
pub(crate) fn lock(of: &str, board: usize, count: usize) {
    let of = match of {
        "bead" => BoardOf::Bead,
        _ => BoardOf::Bars,
    };
    let count = u32::try_from(count).unwrap_or(u32::MAX);
    let locked = with_plan(|plan| already_cut::lock(&draft(), plan, of, board, count)).flatten();
    if let Some(locked) = locked {
        open(locked);
    }
}

/// Answers what another length on the rack would change.
pub(crate) fn what_if() {
    let all = planner::what_if(&draft(), Effort::default());
    if let Some(answer) = with_plan(|plan| sheets::what_if(plan, &all)) {
        dom::put_new(sheets::what_if::PLACE, answer);
    }
}

/// One step back.
pub(crate) fn undo() {
    let moved = BOOK.with_borrow_mut(|book| {
        let Some(before) = book.back.pop() else {
            return false;
        };
        let now = core::mem::replace(&mut book.draft, before);
        book.forward.push(now);
        book.typing = None;
        true
    });
    if moved {
        changed();
    }
}

/// One step forward again.
pub(crate) fn redo() {
    let moved = BOOK.with_borrow_mut(|book| {
        let Some(after) = book.forward.pop() else {
            return false;
        };
        let now = core::mem::replace(&mut book.draft, after);
        book.back.push(now);
        book.typing = None;
        true
    });
    if moved {
        changed();
    }
}

/// Shows another canvas in the drawing that stays in sight.
pub(crate) fn look_at(row: usize) {
    let other = BOOK.with_borrow_mut(|book| {
        let other = book.canvas != row;
        book.canvas = row;
        other
    });
    if other {
        BOOK.with_borrow(|book| {
            if let Some(plan) = &book.plan {
                drawings::show(plan, book.canvas);
            }
        });
    }
}

/// Draws whatever picture is open.
pub(crate) fn draw_open() {
    BOOK.with_borrow(|book| {
        if let Some(plan) = &book.plan {
            drawings::draw_open(plan);
        }
    });
}

/// Writes how a figure was reached into the place for it; false if there is no such figure.
pub(crate) fn explain(sheet: Sheet, n: usize) -> bool {
    let how = BOOK.with_borrow(|book| {
        let plan = book.plan.as_ref()?;
        sheets::how(plan, sheet, n)
    });
    how.map(|how| dom::put("how-body", how)).is_some()
}

fn remember(book: &mut Book) {
    if book.back.len() == MOST_STEPS {
        book.back.remove(0);
    }
    book.back.push(book.draft.clone());
    book.forward.clear();
    book.typing = None;
}

/// Changes the draft as one step and shows it.
fn change(typing: Option<FieldRef>, how: impl FnOnce(&mut Draft)) {
    let moved = BOOK.with_borrow_mut(|book| {
        let mut draft = book.draft.clone();
        how(&mut draft);
        if draft == book.draft {
            return false;
        }
        remember(book);
        book.typing = typing;
        book.draft = draft;
        true
    });
    if moved {
        changed();
    }
}

fn changed() {
    form::fill(&draft());
    keep::soon();
    show();
}

/// Plans the draft and shows every sheet.
fn show() {
    let plan = plan(&draft());
    dom::put("answer", answer::answer(&plan));
    dom::put("faults", faults::summary(&plan));
    dom::show("faults", !plan.faults.is_empty());
    for sheet in Sheet::all() {
        dom::put(&sheet.id(), sheets::sheet(&plan, sheet));
    }
    // The answer was about the plan before.
    dom::put_new(sheets::what_if::PLACE, sheets::Markup::default());
    form::show_faults(&plan);
    let title = if plan.name.is_empty() {
        String::from("Battenbook")
    } else {
        format!("{} · Battenbook", plan.name)
    };
    dom::document().set_title(&title);
    let (back, forward) = BOOK.with_borrow_mut(|book| {
        drawings::show(&plan, book.canvas);
        drawings::draw_open(&plan);
        book.plan = Some(plan);
        (book.back.is_empty(), book.forward.is_empty())
    });
    for (id, off) in [("undo", back), ("redo", forward)] {
        if let Some(button) = dom::by_id(id) {
            // Not "disabled", which would throw the focus away.
            let _ = button.set_attribute("aria-disabled", if off { "true" } else { "false" });
        }
    }
    tell_later();
}

/// Tells a screen reader the short answer once typing rests.
fn tell_later() {
    let due = dom::later(REST, || {
        let said = BOOK.with_borrow_mut(|book| {
            book.telling = None;
            book.plan.as_ref().map(answer::spoken)
        });
        if let Some(said) = said {
            dom::put_text("spoken", &said);
        }
    });
    let before = BOOK.with_borrow_mut(|book| core::mem::replace(&mut book.telling, due));
    dom::never(before);
}
