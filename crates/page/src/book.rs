//! The open plan: one draft, its history, and everything on the page that follows from it.

use std::cell::RefCell;

use planner::{Draft, Effort, FieldRef, Plan, Table, Tree, Units, plan_with};

use crate::crew::{self, Job};
use crate::store::PlanId;
use crate::worker::{IN_SIGHT, MESSAGES, SPOKEN, TOLD, UNPROVEN, Words};
use crate::{class, dom, drawings, form, keep, lists, paper};

/// How many steps back are kept (our choice).
const MOST_STEPS: usize = 200;
/// How long typing must rest before a screen reader is told the new answer, in milliseconds
/// (our choice: longer than the pause between two words).
const REST: i32 = 1200;
/// How long nothing may change before the page says that it searches on, in milliseconds (our
/// choice: longer than between two keys).
const IDLE: i32 = 400;

/// The open plan.
#[derive(Default)]
struct Book {
    /// Which of the plans of this browser is open.
    id: PlanId,
    draft: Draft,
    /// A step back may lead to another plan.
    back: Vec<(PlanId, Draft)>,
    forward: Vec<(PlanId, Draft)>,
    /// The field that the last step changed: typing on in it is the same step.
    typing: Option<FieldRef>,
    /// The canvas that the drawing in sight shows.
    canvas: usize,
    /// The plan that was last asked for, and which turn of searching it is.
    wanted: u32,
    wanted_turn: u32,
    /// The highest number given so far.
    last: u32,
    /// The plan that is shown, in part at least, and its turn.
    shown: u32,
    turn: u32,
    /// The maker wants no longer search for it.
    enough: bool,
    /// What a screen reader hears of it.
    spoken: String,
    /// Whether a longer search could find something cheaper.
    unproven: bool,
    /// The same plan reckoned here, where something needs it at once.
    plan: Option<Plan>,
    /// The questions that were answered about this draft, and where the answers stand.
    answers: Vec<(&'static str, &'static str)>,
    /// What waits until everything of the wanted plan is shown.
    then: Vec<Box<dyn FnOnce()>>,
    telling: Option<i32>,
    looking: Option<i32>,
}

thread_local! {
    static BOOK: RefCell<Book> = RefCell::default();
}

/// The draft as it is now.
pub(crate) fn draft() -> Draft {
    BOOK.with_borrow(|book| book.draft.clone())
}

/// Which of the plans of this browser is open.
pub(crate) fn id() -> PlanId {
    BOOK.with_borrow(|book| book.id)
}

/// Asks something of the plan at once. It is reckoned again here for that, which takes as long as
/// it takes: [`ask`] does not hold the page up.
pub(crate) fn with_plan<T>(ask: impl FnOnce(&Plan) -> T) -> T {
    let known = BOOK.with_borrow_mut(|book| book.plan.take());
    let plan = known.unwrap_or_else(|| {
        let turn = BOOK.with_borrow(|book| book.turn);
        plan_with(&draft(), Effort::of_turn(turn).unwrap_or_default())
    });
    let told = ask(&plan);
    BOOK.with_borrow_mut(|book| book.plan = Some(plan));
    told
}

/// Asks the crew something of the plan that is shown; what has changed meanwhile is not answered.
pub(crate) fn ask(words: &[&str], then: impl FnOnce(Words) + 'static) {
    let words = words.iter().map(|word| (*word).to_owned()).collect();
    crew::ask(BOOK.with_borrow(|book| book.shown), words, then);
}

/// As [`ask`], for a single text, once everything of the wanted plan is shown.
pub(crate) fn ask_text(words: &[&str], then: impl FnOnce(String) + 'static) {
    let words: Words = words.iter().map(|word| (*word).to_owned()).collect();
    once_shown(move || {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        ask(&words, |mut answer| {
            if let Some(text) = answer.pop() {
                then(text);
            }
        });
    });
}

/// Does something once everything of the wanted plan is shown.
pub(crate) fn once_shown(then: impl FnOnce() + 'static) {
    let now = BOOK.with_borrow_mut(|book| {
        if is_planning() {
            book.then.push(Box::new(then));
            None
        } else {
            Some(then)
        }
    });
    if let Some(then) = now {
        then();
    }
}

/// Opens a plan in place of the one that is open. The old one is a step back.
pub(crate) fn open(id: PlanId, draft: Draft) {
    let moved = BOOK.with_borrow_mut(|book| {
        if (book.id, &book.draft) == (id, &draft) {
            return false;
        }
        remember(book);
        (book.id, book.draft) = (id, draft);
        true
    });
    if moved {
        changed();
    }
}

/// Another tab went on with this plan: this tab's is one of its own from now on, with its steps.
pub(crate) fn part(id: PlanId) {
    BOOK.with_borrow_mut(|book| {
        let before = core::mem::replace(&mut book.id, id);
        for (of, _) in book.back.iter_mut().chain(&mut book.forward) {
            if *of == before {
                *of = id;
            }
        }
    });
}

/// Puts a text into a field that nobody typed there.
pub(crate) fn set(at: FieldRef, text: &str) {
    change(None, |draft| draft.set(at, text));
}

/// Gives the open plan another name.
pub(crate) fn rename(name: &str) {
    set(FieldRef::setting("name"), name);
}

/// Opens the first plan of the visit, with nothing to go back to.
pub(crate) fn begin(id: PlanId, draft: Draft) {
    BOOK.with_borrow_mut(|book| {
        *book = Book {
            id,
            draft,
            ..Book::default()
        };
    });
    show();
    form::fill(&self::draft());
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
        show();
        form::count_changes(&draft());
        keep::soon();
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
    let place = format!("cuts-{of}");
    let words = [of, &board.to_string(), &count.to_string()].map(str::to_owned);
    ask_text(&["lock", &words[0], &words[1], &words[2]], move |draft| {
        if let Ok(tree) = serde_json::from_str::<Tree>(&draft) {
            open(id(), Draft::from_tree(&tree).0);
            once_shown(move || dom::focus(&place));
        }
    });
}

/// Puts the answer of a question where it belongs. It stays as long as the draft does: when a
/// longer search has found another plan, it is asked again.
pub(crate) fn answer(question: &'static str, place: &'static str) {
    BOOK.with_borrow_mut(|book| {
        if !book.answers.contains(&(question, place)) {
            book.answers.push((question, place));
        }
    });
    ask_again(question, place);
}

fn ask_again(question: &'static str, place: &'static str) {
    once_shown(move || {
        let of = BOOK.with_borrow(|book| book.shown);
        ask(&[question], move |mut words| {
            // Of a plan that is no longer shown it comes too late.
            let still = BOOK
                .with_borrow(|book| book.shown == of && book.answers.contains(&(question, place)));
            if let (true, Some(text)) = (still, words.pop()) {
                dom::put_new(place, dom::markup(text));
            }
        });
    });
}

/// One step back.
pub(crate) fn undo() {
    let moved = BOOK.with_borrow_mut(|book| {
        let Some(before) = book.back.pop() else {
            return false;
        };
        let now = move_to(book, before);
        book.forward.push(now);
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
        let now = move_to(book, after);
        book.back.push(now);
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
        ask(&["in-sight", &row.to_string()], |words| put_all(&words));
    }
}

/// Explains how a figure of a sheet or a fold was reached, then does the rest.
pub(crate) fn explain(place: &str, n: usize, then: impl FnOnce() + 'static) {
    ask(&["how", place, &n.to_string()], |mut answer| {
        if let Some(how) = answer.pop() {
            dom::put("how-body", dom::markup(how));
            then();
        }
    });
}

fn remember(book: &mut Book) {
    if book.back.len() == MOST_STEPS {
        book.back.remove(0);
    }
    book.back.push((book.id, book.draft.clone()));
    book.forward.clear();
    book.typing = None;
}

/// Goes to another state of this plan or of another; returns the one that was left.
fn move_to(book: &mut Book, (id, draft): (PlanId, Draft)) -> (PlanId, Draft) {
    book.typing = None;
    (
        core::mem::replace(&mut book.id, id),
        core::mem::replace(&mut book.draft, draft),
    )
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
    show();
    form::fill(&draft());
    keep::soon();
}

/// Has the same draft planned once more: a worker broke with it.
pub(crate) fn plan_again() {
    say_planning(true);
    not_looking();
    crew::plan(next_job());
}

/// Has the draft planned; [`take`] shows what comes of it.
fn show() {
    BOOK.with_borrow_mut(|book| {
        book.plan = None;
        book.enough = false;
    });
    say_planning(true);
    // First of all: the worker reckons while the page does the rest.
    crew::plan(next_job());
    paper::forget();
    not_looking();
    // The answers were about the plan before.
    for (_, place) in BOOK.with_borrow_mut(|book| core::mem::take(&mut book.answers)) {
        dom::put_new(place, sheets::Markup::default());
    }
    class::compare();
    lists::show(&draft());
    let (back, forward, name) = BOOK.with_borrow(|book| {
        let name = book.draft.settings.get("name").cloned();
        (book.back.is_empty(), book.forward.is_empty(), name)
    });
    let title = match name.as_deref().map_or("", str::trim) {
        "" => String::from("Battenbook"),
        name => format!("{name} · Battenbook"),
    };
    dom::document().set_title(&title);
    for (id, off) in [("undo", back), ("redo", forward)] {
        if let Some(button) = dom::by_id(id) {
            // Not "disabled", which would throw the focus away.
            let _ = button.set_attribute("aria-disabled", if off { "true" } else { "false" });
        }
    }
}

/// The number of the next plan, of this turn of searching.
fn next_number(book: &mut Book, turn: u32) -> u32 {
    book.last += 1;
    book.wanted = book.last;
    book.wanted_turn = turn;
    book.wanted
}

/// The next job: the draft as it is.
fn next_job() -> Job {
    BOOK.with_borrow_mut(|book| Job {
        number: next_number(book, 0),
        draft: serde_json::to_string(&book.draft).unwrap_or_default(),
        row: book.canvas,
    })
}

/// Shows a part of a plan; so many are still to come.
pub(crate) fn take(number: u32, left: usize, words: &[String]) {
    if BOOK.with_borrow(|book| number < book.shown) {
        return;
    }
    let first = BOOK.with_borrow_mut(|book| {
        let first = number != book.shown;
        if first {
            book.unproven = false;
            book.plan = None;
            book.turn = if number == book.wanted {
                book.wanted_turn
            } else {
                0
            };
        }
        book.shown = number;
        first
    });
    put_all(words);
    if first {
        dom::answered();
        tell_later();
    }
    if left > 0 {
        return;
    }
    drawings::fill_open();
    if BOOK.with_borrow(|book| book.wanted != number) {
        return;
    }
    say_planning(false);
    for then in BOOK.with_borrow_mut(|book| core::mem::take(&mut book.then)) {
        then();
    }
    if BOOK.with_borrow(|book| book.turn > 0) {
        for (question, place) in BOOK.with_borrow(|book| book.answers.clone()) {
            ask_again(question, place);
        }
        class::compare();
    }
    look_longer();
}

fn put_all(words: &[String]) {
    for pair in words.chunks_exact(2) {
        put(&pair[0], &pair[1]);
    }
}

/// Puts a piece of a plan where it belongs.
fn put(place: &str, text: &str) {
    match place {
        MESSAGES => form::show_messages(text),
        SPOKEN => BOOK.with_borrow_mut(|book| text.clone_into(&mut book.spoken)),
        IN_SIGHT => dom::put_text("drawing-name", text),
        UNPROVEN => BOOK.with_borrow_mut(|book| book.unproven = true),
        place if place.starts_with(TOLD) => {}
        "faults" => {
            dom::put(place, dom::markup(text.to_owned()));
            dom::show(place, !text.is_empty());
        }
        place => dom::put(place, dom::markup(text.to_owned())),
    }
}

/// No longer says that it looks for something cheaper.
fn not_looking() {
    dom::never(BOOK.with_borrow_mut(|book| book.looking.take()));
    dom::show("looking", false);
}

/// Looks longer for something cheaper, while it may be there.
fn look_longer() {
    let turn = BOOK.with_borrow(|book| book.turn) + 1;
    let open = BOOK.with_borrow(|book| book.unproven && !book.enough);
    if !open || Effort::of_turn(turn).is_none() {
        not_looking();
        return;
    }
    let number = BOOK.with_borrow_mut(|book| next_number(book, turn));
    // Said once the hand rests, and only once of all turns.
    if crew::look_longer(number, turn) && turn == 1 {
        let due = dom::later(IDLE, || dom::show("looking", true));
        dom::never(BOOK.with_borrow_mut(|book| core::mem::replace(&mut book.looking, due)));
    }
}

/// Ends the longer search and keeps what is shown.
pub(crate) fn stop_looking() {
    BOOK.with_borrow_mut(|book| {
        book.enough = true;
        book.wanted = book.shown;
    });
    not_looking();
    crew::stop_looking();
}

/// Whether a plan is awaited.
pub(crate) fn is_planning() -> bool {
    dom::root_has("data-planning")
}

/// Says on the document whether a plan is awaited.
fn say_planning(planning: bool) {
    dom::mark_root("data-planning", planning);
}

/// Tells a screen reader the short answer once typing rests.
fn tell_later() {
    let due = dom::later(REST, || {
        let said = BOOK.with_borrow_mut(|book| {
            book.telling = None;
            book.spoken.clone()
        });
        dom::put_text("spoken", &said);
    });
    let before = BOOK.with_borrow_mut(|book| core::mem::replace(&mut book.telling, due));
    dom::never(before);
}
