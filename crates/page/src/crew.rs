//! Who reckons: a worker that holds the plan and writes everything from it, a second one that
//! looks for a cheaper purchase while nothing changes, or the page itself where the browser gives
//! it no worker.
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

/// A plan that is wanted.
#[derive(Clone)]
pub(crate) struct Job {
    /// Which of all that were wanted.
    pub(crate) number: u32,
    /// The draft as JSON.
    pub(crate) draft: String,
    /// How many times the usual effort.
    pub(crate) times: u32,
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

#[derive(Default)]
struct Crew {
    first: Option<Hand>,
    /// Looks for something cheaper while nothing changes: the number it is at.
    looking: Option<(u32, Worker)>,
    /// Found the plan that is shown, and is asked about it; none if the first did.
    found: Option<Worker>,
    asked: Vec<(u32, Then)>,
    asked_so_far: u32,
    /// The job that the first was last given.
    last: Option<Job>,
}

thread_local! {
    static CREW: RefCell<Crew> = RefCell::default();
}

/// Has a job planned; its parts come to [`book::take`].
pub(crate) fn plan(job: Job) {
    stop_looking();
    let found = CREW.with_borrow_mut(|crew| {
        crew.last = Some(job.clone());
        crew.found.take()
    });
    if let Some(worker) = found {
        worker.terminate();
    }
    to_first(Task::Plan(job));
}

/// Has a job planned by a worker of its own while the first stays free; false where there are no
/// workers.
pub(crate) fn look_longer(job: &Job) -> bool {
    let by_worker =
        CREW.with_borrow(|crew| matches!(crew.first, Some(Hand::Worker { heard: true, .. })));
    if !by_worker {
        return false;
    }
    let Some(worker) = hire(Some(job.number)) else {
        return false;
    };
    let sent = worker.post_message(&plan_message(job)).is_ok();
    CREW.with_borrow_mut(|crew| crew.looking = Some((job.number, worker)));
    sent
}

/// Ends the search for something cheaper; what it found already stays.
pub(crate) fn stop_looking() {
    if let Some((_, worker)) = CREW.with_borrow_mut(|crew| crew.looking.take()) {
        worker.terminate();
    }
}

/// Asks about the plan of this number that is shown. What is no longer true is never answered.
pub(crate) fn ask(number: u32, words: Words, then: impl FnOnce(Words) + 'static) {
    let (to, found) = CREW.with_borrow_mut(|crew| {
        crew.asked_so_far += 1;
        crew.asked.push((crew.asked_so_far, Box::new(then)));
        (crew.asked_so_far, crew.found.clone())
    });
    dom::mark_root(ASKING, true);
    match found {
        Some(worker) => {
            let _ = worker.post_message(&ask_message(to, number, &words));
        }
        None => to_first(Task::Answer { to, number, words }),
    }
}

fn ready() {
    if CREW.with_borrow(|crew| crew.first.is_some()) {
        return;
    }
    let hand = match hire(None) {
        Some(worker) => Hand::Worker {
            worker,
            heard: false,
        },
        None => Hand::Here(VecDeque::new()),
    };
    CREW.with_borrow_mut(|crew| crew.first = Some(hand));
}

/// A worker from the boot script, which starts it with the module that this page runs; for a
/// longer search with the number of its plan.
fn hire(search: Option<u32>) -> Option<Worker> {
    let hired = dom::boot("hire")?.call0(&JsValue::NULL);
    let worker: Worker = hired.ok()?.dyn_into().ok()?;
    let heard = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        if let Ok(message) = event.data().dyn_into::<Array>() {
            hear(search, &message);
        }
    });
    worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    let failed = Closure::<dyn FnMut(ErrorEvent)>::new(move |event: ErrorEvent| {
        event.prevent_default();
        lost(search);
    });
    worker.set_onerror(Some(failed.as_ref().unchecked_ref()));
    failed.forget();
    Some(worker)
}

fn hear(search: Option<u32>, message: &Array) {
    if search.is_none() {
        CREW.with_borrow_mut(|crew| {
            if let Some(Hand::Worker { heard, .. }) = &mut crew.first {
                *heard = true;
            }
        });
    }
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
        "part" => part(search, number(1), number(2) as usize, &words(3)),
        "answer" => answer(number(1), words(2)),
        "failed" => lost(search),
        _ => {}
    }
}

fn part(search: Option<u32>, number: u32, left: usize, words: &[String]) {
    if search.is_some() {
        // Its first part: from now on it is this one that is asked.
        let before = CREW.with_borrow_mut(|crew| {
            let (_, worker) = crew.looking.take_if(|(n, _)| *n == number)?;
            Some(crew.found.replace(worker))
        });
        if let Some(Some(before)) = before {
            before.terminate();
        }
    }
    book::take(number, left, words);
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

/// A worker that broke: the first is replaced by the page itself where the browser allows none,
/// and the maker is told where the program failed.
fn lost(search: Option<u32>) {
    if search.is_some() {
        book::stop_looking();
        return;
    }
    let (never_heard, last) = CREW.with_borrow_mut(|crew| {
        let mut never_heard = false;
        if let Some(Hand::Worker { worker, heard }) = crew.first.take() {
            worker.terminate();
            never_heard = !heard;
        }
        if never_heard {
            crew.first = Some(Hand::Here(VecDeque::new()));
        }
        crew.asked.clear();
        dom::mark_root(ASKING, false);
        (never_heard, crew.last.clone())
    });
    if never_heard {
        if let Some(job) = last {
            to_first(Task::Plan(job));
        }
    } else {
        // The next change hires another.
        failure::tell();
    }
}

fn to_first(task: Task) {
    ready();
    let start = CREW.with_borrow_mut(|crew| match &mut crew.first {
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
    let task = CREW.with_borrow_mut(|crew| match &mut crew.first {
        Some(Hand::Here(tasks)) => tasks.pop_front(),
        _ => None,
    });
    let Some(task) = task else { return };
    match task {
        Task::Plan(job) => {
            let parts = work_plan(job.number, &job.draft, job.times, job.row);
            let count = parts.len();
            CREW.with_borrow_mut(|crew| {
                if let Some(Hand::Here(tasks)) = &mut crew.first {
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
    let message = Array::of5(
        &"plan".into(),
        &job.number.into(),
        &job.draft.as_str().into(),
        &job.times.into(),
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
