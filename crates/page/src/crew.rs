//! Who reckons: a worker that holds the plan, writes everything from it, and looks for a cheaper
//! purchase while nothing changes; or the page itself where the browser gives it no worker.
//!
//! A plan comes back in parts, each a task of its own, so that the page never waits long; of
//! plans asked for in a burst only the last is reckoned.

use std::cell::RefCell;
use std::collections::VecDeque;

use js_sys::Array;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, Worker};

use crate::worker::{Words, work_answer, work_plan, work_write};
use crate::{book, dom, failure};

/// On the document while a question waits for its answer.
const ASKING: &str = "data-asking";

/// How long what comes from the worker waits for a finger or button to be let go, in milliseconds
/// at most (our choice: a press that is longer is no click).
const LONGEST_PRESS: i32 = 700;

/// A plan that is wanted.
#[derive(Clone)]
pub(crate) struct Job {
    /// Which of all that were wanted.
    pub(crate) number: u32,
    /// The draft as JSON.
    pub(crate) draft: String,
    /// The row of the canvas in sight.
    pub(crate) row: usize,
}

/// Somebody who reckons.
enum Hand {
    Worker {
        worker: Worker,
        /// Whether it has ever answered: if not, the browser does not let it work.
        heard: bool,
    },
    /// The page itself: what is still to be done, in order.
    Here(VecDeque<Task>),
}

enum Task {
    Plan(Job),
    Write {
        number: u32,
        part: String,
        left: usize,
    },
    Answer {
        to: u32,
        number: u32,
        words: Words,
    },
}

type Then = Box<dyn FnOnce(Words)>;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = console)]
    fn warn(text: &str);
}

#[derive(Default)]
struct Crew {
    hand: Option<Hand>,
    asked: Vec<(u32, Then)>,
    asked_so_far: u32,
    /// The job that was last given.
    last: Option<Job>,
    /// The draft with which a worker broke that another one was given.
    tried_again: Option<String>,
    /// Until when a press is waited for, as a timer.
    pressed: Option<i32>,
    /// What came meanwhile.
    held: Vec<Array>,
}

thread_local! {
    static CREW: RefCell<Crew> = RefCell::default();
}

/// Has a job planned; its parts come to [`book::take`].
pub(crate) fn plan(job: Job) {
    CREW.with_borrow_mut(|crew| crew.last = Some(job.clone()));
    give(Task::Plan(job));
}

/// Has the worker look longer for a cheaper purchase, with the effort of this turn; what it finds
/// comes under this number. False where there is no worker.
pub(crate) fn look_longer(number: u32, turn: u32) -> bool {
    let message = Array::of3(&"search".into(), &number.into(), &turn.into());
    CREW.with_borrow(|crew| match &crew.hand {
        Some(Hand::Worker { worker, .. }) => worker.post_message(&message).is_ok(),
        _ => false,
    })
}

/// Ends the search for something cheaper; what it found already stays.
pub(crate) fn stop_looking() {
    CREW.with_borrow(|crew| {
        if let Some(Hand::Worker { worker, .. }) = &crew.hand {
            let _ = worker.post_message(&Array::of1(&"enough".into()));
        }
    });
}

/// Asks about the plan of this number that is shown. What is no longer true is never answered.
pub(crate) fn ask(number: u32, words: Words, then: impl FnOnce(Words) + 'static) {
    let to = CREW.with_borrow_mut(|crew| {
        crew.asked_so_far += 1;
        crew.asked.push((crew.asked_so_far, Box::new(then)));
        crew.asked_so_far
    });
    dom::mark_root(ASKING, true);
    give(Task::Answer { to, number, words });
}

/// A finger or button goes down: what is under it must stay there until it is let go, or the
/// click would reach nothing.
pub(crate) fn pressed() {
    let timer = dom::later(LONGEST_PRESS, release);
    let before = CREW.with_borrow_mut(|crew| core::mem::replace(&mut crew.pressed, timer));
    dom::never(before);
}

/// It is let go; the click comes first.
pub(crate) fn let_go() {
    dom::later(0, release);
}

fn release() {
    let (timer, held) =
        CREW.with_borrow_mut(|crew| (crew.pressed.take(), core::mem::take(&mut crew.held)));
    dom::never(timer);
    for message in &held {
        hear(message);
    }
}

fn ready() {
    if CREW.with_borrow(|crew| crew.hand.is_some()) {
        return;
    }
    let hand = match hire() {
        Some(worker) => Hand::Worker {
            worker,
            heard: false,
        },
        None => Hand::Here(VecDeque::new()),
    };
    CREW.with_borrow_mut(|crew| crew.hand = Some(hand));
}

/// A worker from the boot script, which starts it with the module that this page runs.
fn hire() -> Option<Worker> {
    let hired = dom::boot("hire")?.call0(&JsValue::NULL);
    let worker: Worker = hired.ok()?.dyn_into().ok()?;
    let heard = Closure::<dyn FnMut(MessageEvent)>::new(|event: MessageEvent| {
        if let Ok(message) = event.data().dyn_into::<Array>() {
            let held = CREW.with_borrow_mut(|crew| {
                let hold = crew.pressed.is_some();
                if hold {
                    crew.held.push(message.clone());
                }
                hold
            });
            if !held {
                hear(&message);
            }
        }
    });
    worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    let failed = Closure::<dyn FnMut(ErrorEvent)>::new(|event: ErrorEvent| {
        event.prevent_default();
        // A worker that is refused sends an event without one.
        let why = js_sys::Reflect::get(&event, &"message".into());
        lost(&why.ok().and_then(|why| why.as_string()).unwrap_or_default());
    });
    worker.set_onerror(Some(failed.as_ref().unchecked_ref()));
    failed.forget();
    Some(worker)
}

fn hear(message: &Array) {
    CREW.with_borrow_mut(|crew| {
        if let Some(Hand::Worker { heard, .. }) = &mut crew.hand {
            *heard = true;
        }
    });
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counters that the other side sent back"
    )]
    let number = |at: u32| message.get(at).as_f64().unwrap_or(0.0) as u32;
    let kind = message.get(0).as_string().unwrap_or_default();
    let words = |from: u32| -> Words {
        let all = (from..message.length()).map(|at| message.get(at));
        all.filter_map(|word| word.as_string()).collect()
    };
    match kind.as_str() {
        "part" => book::take(number(1), number(2) as usize, &words(3)),
        "answer" => answer(number(1), words(2)),
        "failed" => lost(&message.get(1).as_string().unwrap_or_default()),
        _ => {}
    }
}

fn answer(to: u32, words: Words) {
    let then = CREW.with_borrow_mut(|crew| {
        let at = crew.asked.iter().position(|(n, _)| *n == to)?;
        Some(crew.asked.remove(at).1)
    });
    if CREW.with_borrow(|crew| crew.asked.is_empty()) {
        dom::mark_root(ASKING, false);
    }
    if let Some(then) = then {
        then(words);
    }
}

/// The worker broke. The page itself takes over where the browser allows none. Otherwise another
/// one is given the same draft, as engines have faults of their own; if that breaks too, the maker
/// is told that the program failed.
fn lost(why: &str) {
    warn(&format!("The worker broke: {why}"));
    let (never_heard, again, last) = CREW.with_borrow_mut(|crew| {
        let mut never_heard = false;
        if let Some(Hand::Worker { worker, heard }) = crew.hand.take() {
            worker.terminate();
            never_heard = !heard;
        }
        if never_heard {
            crew.hand = Some(Hand::Here(VecDeque::new()));
        }
        crew.asked.clear();
        dom::mark_root(ASKING, false);
        let draft = crew.last.as_ref().map(|job| job.draft.clone());
        let again = !never_heard && crew.tried_again != draft;
        if again {
            crew.tried_again = draft;
        }
        (never_heard, again, crew.last.clone())
    });
    if again {
        book::plan_again();
    } else if never_heard {
        if let Some(job) = last {
            give(Task::Plan(job));
        }
    } else {
        // The next change hires another.
        failure::tell();
    }
}

fn give(task: Task) {
    ready();
    let start = CREW.with_borrow_mut(|crew| match &mut crew.hand {
        Some(Hand::Worker { worker, .. }) => {
            let message = match &task {
                Task::Plan(job) => plan_message(job),
                Task::Answer { to, number, words } => ask_message(*to, *number, words),
                Task::Write { .. } => return false,
            };
            let _ = worker.post_message(&message);
            false
        }
        Some(Hand::Here(tasks)) => {
            if matches!(task, Task::Plan(_)) {
                // What was left of older plans is no longer wanted.
                tasks.retain(|t| matches!(t, Task::Answer { .. }));
            }
            tasks.push_back(task);
            true
        }
        None => false,
    });
    if start {
        dom::later(0, work_here);
    }
}

/// Does the next task here, and comes back for the one after it.
fn work_here() {
    if CREW.with_borrow(|crew| crew.pressed.is_some()) {
        dom::later(LONGEST_PRESS / 10, work_here);
        return;
    }
    let task = CREW.with_borrow_mut(|crew| match &mut crew.hand {
        Some(Hand::Here(tasks)) => tasks.pop_front(),
        _ => None,
    });
    let Some(task) = task else { return };
    match task {
        Task::Plan(job) => {
            let parts = work_plan(job.number, &job.draft, job.row);
            let count = parts.len();
            CREW.with_borrow_mut(|crew| {
                if let Some(Hand::Here(tasks)) = &mut crew.hand {
                    tasks.extend(parts.into_iter().enumerate().map(|(i, part)| Task::Write {
                        number: job.number,
                        part,
                        left: count - 1 - i,
                    }));
                }
            });
        }
        Task::Write { number, part, left } => {
            book::take(number, left, &work_write(&part));
        }
        Task::Answer { to, number, words } => answer(to, work_answer(number, words)),
    }
    dom::later(0, work_here);
}

fn plan_message(job: &Job) -> JsValue {
    let message = Array::of4(
        &"plan".into(),
        &job.number.into(),
        &job.draft.as_str().into(),
        &(job.row as u32).into(),
    );
    message.into()
}

fn ask_message(to: u32, number: u32, words: &[String]) -> JsValue {
    let message = Array::of3(&"ask".into(), &to.into(), &number.into());
    for word in words {
        message.push(&word.as_str().into());
    }
    message.into()
}
