//! What is reckoned apart from the document: the plan, and everything that is written from it.
//!
//! The boot script calls these in a worker, so that the page never waits; where a browser gives
//! the page no worker, `crew` calls them in the page itself. Nothing here touches a document.

use std::cell::RefCell;

use planner::brief::BoardOf;
use planner::plan::CanvasPlan;
use planner::{Draft, Effort, Plan, Searches, Tree, already_cut, plan_on};
use sheets::calendar::Stamp;
use sheets::drawing::{Layout, Paper, standalone, stapling_steps, stapling_words};
use sheets::names::{id, list};
use sheets::picture::Picture;
use sheets::{Sheet, answer, calendar, csv, faults, print};
use wasm_bindgen::prelude::wasm_bindgen;

use crate::link;

/// Parts that are no place on the page begin with this sign.
pub(crate) const TOLD: char = '@';
/// What a screen reader hears.
pub(crate) const SPOKEN: &str = "@spoken";
/// Messages for fields: three lines each, the field's place, its list's place, and the message.
pub(crate) const MESSAGES: &str = "@messages";
/// Name of the canvas in the drawing that stays in sight.
pub(crate) const IN_SIGHT: &str = "@in-sight";
/// There if a longer search might find something cheaper.
pub(crate) const UNPROVEN: &str = "@unproven";

/// A question and its words.
pub(crate) type Words = Vec<String>;

struct Desk {
    number: u32,
    draft: Draft,
    plan: Plan,
    row: usize,
}

thread_local! {
    static DESK: RefCell<Option<Desk>> = const { RefCell::new(None) };
    /// What lay there before: the page may still show it when something of it is asked.
    static BEFORE: RefCell<Option<Desk>> = const { RefCell::new(None) };
    static SEARCHES: RefCell<Searches> = RefCell::default();
    /// The plan that was held for comparison, and its draft: every change asks for it again.
    static HELD: RefCell<Option<(String, Plan)>> = const { RefCell::new(None) };
}

/// Plans a draft, written as JSON; returns the names of the parts in which it can be written, the
/// short answer first.
#[must_use]
#[wasm_bindgen]
pub fn work_plan(number: u32, draft: &str, row: usize) -> Vec<String> {
    let tree = serde_json::from_str::<Tree>(draft).ok();
    let draft = tree.map_or_else(Draft::default, |tree| Draft::from_tree(&tree).0);
    lay_out(number, draft, Effort::default(), row)
}

/// Looks for a cheaper purchase than that of the plan on the desk, for some hundredths of a
/// second. Once it took the effort of this turn, plans under this number and returns as
/// [`work_plan`]; before, nothing.
#[must_use]
#[wasm_bindgen]
pub fn work_search(number: u32, turn: u32) -> Vec<String> {
    let effort = Effort::of_turn(turn).unwrap_or_default();
    if !SEARCHES.with_borrow_mut(|searches| searches.go_on(effort)) {
        return Vec::new();
    }
    let job = DESK.with_borrow(|desk| desk.as_ref().map(|desk| (desk.draft.clone(), desk.row)));
    match job {
        Some((draft, row)) => lay_out(number, draft, effort, row),
        None => Vec::new(),
    }
}

fn lay_out(number: u32, draft: Draft, effort: Effort, row: usize) -> Vec<String> {
    let plan = SEARCHES.with_borrow_mut(|searches| plan_on(&draft, effort, searches));
    BEFORE.set(DESK.replace(Some(Desk {
        number,
        draft,
        plan,
        row,
    })));
    let sheets = Sheet::all().map(Sheet::id);
    core::iter::once(String::new()).chain(sheets).collect()
}

/// Writes a part of the plan: places on the page, each followed by what goes there.
#[must_use]
#[wasm_bindgen]
pub fn work_write(part: &str) -> Vec<String> {
    on_desk(|desk| {
        let plan = &desk.plan;
        match Sheet::all().find(|s| s.id() == part) {
            Some(sheet) => {
                let written = sheets::sheet_folded(plan, sheet);
                vec![part.to_owned(), written.into_string()]
            }
            None => first(desk),
        }
    })
}

/// Answers a question about the plan of this number; nothing if another plan lies on the desk. The
/// one before is still answered about where a longer search took it away from the same draft, and
/// whenever it is asked how a figure was reached.
#[must_use]
#[wasm_bindgen]
pub fn work_answer(number: u32, words: Vec<String>) -> Vec<String> {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let lies_there = |desk: &&Desk| desk.number == number;
    let answered = DESK.with_borrow(|now| {
        BEFORE.with_borrow(|before| {
            let (now, before) = (now.as_ref()?, before.as_ref());
            let still = |before: &&Desk| before.draft == now.draft || words.first() == Some(&"how");
            let desk = Some(now).filter(lies_there);
            let desk = desk.or_else(|| before.filter(lies_there).filter(still))?;
            about(desk, &words)
        })
    });
    answered.unwrap_or_default()
}

fn on_desk(write: impl FnOnce(&Desk) -> Vec<String>) -> Vec<String> {
    DESK.with_borrow(|desk| desk.as_ref().map(write).unwrap_or_default())
}

/// What is wanted at once: the short answer, what must be put right, the drawing in sight.
fn first(desk: &Desk) -> Vec<String> {
    let plan = &desk.plan;
    let mut all = vec![
        "answer".to_owned(),
        answer::answer(plan).into_string(),
        "faults".to_owned(),
        if plan.faults.is_empty() {
            String::new()
        } else {
            faults::summary(plan).into_string()
        },
        MESSAGES.to_owned(),
        messages(plan),
        SPOKEN.to_owned(),
        answer::spoken(plan),
    ];
    all.extend(in_sight(desk, desk.row));
    let open = plan.boards.iter().chain(&plan.bead).any(|p| !p.proven)
        || plan.cloth.as_ref().is_some_and(|c| !c.proven);
    if open {
        all.extend([UNPROVEN.to_owned(), String::new()]);
    }
    all
}

fn messages(plan: &Plan) -> String {
    let lines = plan.faults.iter().map(|fault| {
        // A message is one line; a line end would shift those after it.
        let message = fault.message(plan.show).replace('\n', " ");
        format!("{}\n{}\n{message}\n", id(fault.at), list(fault.at.table))
    });
    lines.collect()
}

/// The frame of one canvas of the plan, or of the first that has one.
fn in_sight(desk: &Desk, row: usize) -> [String; 4] {
    let with_frame = || {
        let all = desk.plan.canvases.iter().enumerate();
        all.filter(|(_, c)| c.frame.is_some())
    };
    let found = with_frame()
        .find(|(_, c)| c.row == row)
        .or_else(|| with_frame().next());
    let (drawing, name) = found.map_or_else(Default::default, |(index, canvas)| {
        let drawing = sheets::drawing::frame_in_sight(&desk.plan, index);
        let name = format!("{}, from the back", canvas.name);
        (drawing.into_string(), name)
    });
    ["drawing".to_owned(), drawing, IN_SIGHT.to_owned(), name]
}

fn about(desk: &Desk, words: &[&str]) -> Option<Words> {
    let plan = &desk.plan;
    let text = match *words {
        ["in-sight", row] => return Some(in_sight(desk, row.parse().ok()?).to_vec()),
        ["how", sheets::battens::PLACE, n] => {
            let all = planner::battens::compare(&desk.draft, Effort::default());
            sheets::battens::how_compared(plan, &all, n.parse().ok()?)?.into_string()
        }
        ["how", place, n] => {
            let n = n.parse().ok()?;
            let how = match Sheet::all().find(|s| s.id() == place) {
                Some(sheet) => sheets::how(plan, sheet, n),
                None => sheets::how_in(plan, place.parse().ok()?, n),
            };
            how?.into_string()
        }
        ["fold", sheet, key] => {
            let sheet = Sheet::all().find(|s| s.id() == sheet)?;
            sheets::fold(plan, sheet, key)?.into_string()
        }
        ["picture", name, layout, step] => return picture(plan, name, layout, step),
        ["drawing-file", name, step] => {
            let (layout, step) = (Layout::Wide, step.parse().ok()?);
            let drawing = name.parse::<Picture>().ok()?.draw(plan, layout, step);
            standalone(&drawing, layout.width())
        }
        ["cut-list-file"] => csv::cut_list(plan),
        ["shopping-list-file"] => csv::shopping_list(plan),
        ["shares-file"] => csv::shares(plan),
        ["diary-file", seconds] => {
            let stamp = Stamp::from_unix_timestamp(seconds.parse().ok()?).ok()?;
            calendar::diary(plan, stamp)?
        }
        ["print", "sheet", link, day] => print::job_sheet(plan, link, day).into_string(),
        ["print", "rods", paper] => print::full_size_rods(plan, self::paper(paper)).into_string(),
        ["print", "labels", paper] => print::labels(plan, self::paper(paper)).into_string(),
        ["print", "kits", link, day] => {
            print::kit_sheets(plan, &own_links(desk, link), day).into_string()
        }
        ["what-if"] => {
            let all = planner::what_if(&desk.draft, Effort::default());
            sheets::what_if(plan, &all).into_string()
        }
        ["battens"] => {
            let all = planner::battens::compare(&desk.draft, Effort::default());
            sheets::battens::battens(plan, &all).into_string()
        }
        ["alone"] => {
            let all = planner::alone(&desk.draft, plan, Effort::default());
            sheets::shares::alone(plan, all.as_ref()).into_string()
        }
        ["compare", held] => return Some(compare(plan, held)),
        ["backward"] => {
            let answer = planner::backward(&desk.draft);
            sheets::backward::backward(plan, answer.as_ref()).into_string()
        }
        ["lock", of, board, count] => {
            let of = match of {
                "bead" => BoardOf::Bead,
                _ => BoardOf::Bars,
            };
            let (board, count) = (board.parse().ok()?, count.parse().ok()?);
            let locked = already_cut::lock(&desk.draft, plan, of, board, count)?;
            serde_json::to_string(&locked).ok()?
        }
        _ => return None,
    };
    Some(vec![text])
}

/// What differs from a held plan, given as JSON: a line, and the table.
fn compare(plan: &Plan, held: &str) -> Words {
    HELD.with_borrow_mut(|last| {
        if last.as_ref().is_none_or(|(json, _)| json != held) {
            let tree = serde_json::from_str::<Tree>(held).ok();
            let draft = tree.map_or_else(Draft::default, |tree| Draft::from_tree(&tree).0);
            *last = Some((held.to_owned(), planner::plan(&draft)));
        }
        let Some((_, held)) = last else {
            return Vec::new();
        };
        let all = planner::compare::compare(held, plan);
        vec![
            sheets::compare::line(&all).into_string(),
            sheets::compare::compare(held, plan, &all).into_string(),
        ]
    })
}

/// Links of every row's own plan, at the address of the page that this link opens.
fn own_links(desk: &Desk, here: &str) -> Vec<String> {
    let page = here.split('#').next().unwrap_or_default();
    let own = |c: &CanvasPlan| format!("{page}{}", link::write(&desk.draft.only(c.row)));
    desk.plan.canvases.iter().map(own).collect()
}

/// A drawing; of one with steps also what is done in the step, which one it is, and the last.
fn picture(plan: &Plan, name: &str, layout: &str, step: &str) -> Option<Words> {
    let picture: Picture = name.parse().ok()?;
    let layout = match layout {
        "narrow" => Layout::Narrow,
        _ => Layout::Wide,
    };
    let mut step: usize = step.parse().ok()?;
    let Picture::Steps(canvas) = picture else {
        return Some(vec![picture.draw(plan, layout, step).into_string()]);
    };
    let last = stapling_steps(plan, canvas).saturating_sub(1);
    step = step.min(last);
    Some(vec![
        picture.draw(plan, layout, step).into_string(),
        stapling_words(plan, canvas, step),
        step.to_string(),
        last.to_string(),
    ])
}

fn paper(name: &str) -> Paper {
    match name {
        "letter" => Paper::Letter,
        _ => Paper::A4,
    }
}
