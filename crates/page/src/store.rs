//! This browser's own store: each plan under a key of its own, and which one was open last.
//!
//! ```text
//! battenbook.plan.<id>    <stamp> <when> <plan as JSON>
//! battenbook.last         <id>          of the plan that was kept last
//! battenbook.open         <id> <link>   per tab: what it has open, and the address it wrote
//! ```
//!
//! The stamp is new with each keeping, and larger: a tab that finds another one than it left there
//! knows that another tab has kept the plan since.
//!
//! The plan that was kept last is noted in a journal too (`www/journal.js`), because browsers hand
//! this store to the disk some seconds late.

use std::cell::RefCell;
use std::str::FromStr;

use planner::{Draft, Fault, Tree};
use wasm_bindgen::prelude::*;
use web_sys::Storage;

use crate::dom;

const PLAN: &str = "battenbook.plan.";
const LAST: &str = "battenbook.last";
const OPEN: &str = "battenbook.open";
/// Where the one plan lay before plans were kept by name, and the one that a link had replaced.
const OLD: [&str; 2] = ["battenbook.before", "battenbook.plan"];
/// Bits of a stamp that are chance.
const CHANCE: u32 = 20;
/// A plan of a class with every name typed is about so long (our choice): a store without this
/// much room is told before it is needed.
const ROOM: usize = 20_000;

#[wasm_bindgen]
extern "C" {
    /// Notes `<id> <stamp> <when> <plan>`, or nothing.
    #[wasm_bindgen(js_namespace = battenbook, js_name = journal)]
    fn journal(text: &str);
}

/// Which plan it is, among those of this browser.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct PlanId(u64);

impl PlanId {
    /// One that no plan of this browser has. It is made of the time and of chance; if the clock
    /// was turned back it is still free.
    pub(crate) fn fresh() -> Self {
        let mut id = Self(whole(
            js_sys::Date::now() * 1000.0 + js_sys::Math::random() * 1000.0,
        ));
        while raw(id).is_some() {
            id.0 += 1;
        }
        id
    }

    fn key(self) -> String {
        format!("{PLAN}{}", self.0)
    }

    /// The plan that a key of the store is for.
    pub(crate) fn of_key(key: &str) -> Option<Self> {
        key.strip_prefix(PLAN)?.parse().ok()
    }
}

impl FromStr for PlanId {
    type Err = std::num::ParseIntError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.parse().map(Self)
    }
}

impl std::fmt::Display for PlanId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// Why the store takes no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// There is none, or the browser lets this page have none.
    Off,
    /// It is full.
    Full,
}

/// A plan as it lies in the store.
#[derive(Clone, Debug)]
pub(crate) struct Kept {
    pub(crate) stamp: u64,
    /// When it was kept, in milliseconds since 1970 by this device's clock.
    pub(crate) when: f64,
    pub(crate) draft: Draft,
    /// What of it this page does not know.
    pub(crate) faults: Vec<Fault>,
}

impl Kept {
    /// Reads what lies under a key; none if it is no plan.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, ' ');
        let (stamp, when, json) = (parts.next()?, parts.next()?, parts.next()?);
        let tree: Tree = serde_json::from_str(json).ok()?;
        let (draft, faults) = Draft::from_tree(&tree);
        Some(Self {
            stamp: stamp.parse().ok()?,
            // Written as a whole number.
            when: when.parse::<u64>().ok()? as f64,
            draft,
            faults,
        })
    }
}

thread_local! {
    /// The stamp of each plan as this tab last read or wrote it.
    static KNOWN: RefCell<Vec<(PlanId, u64)>> = RefCell::default();
}

/// Whether this tab saw the plan as it is now in the store.
pub(crate) fn is_known(id: PlanId, stamp: u64) -> bool {
    KNOWN.with_borrow(|known| known.contains(&(id, stamp)))
}

/// Notes that this tab has seen the plan with this stamp.
pub(crate) fn know(id: PlanId, stamp: u64) {
    KNOWN.with_borrow_mut(|known| {
        known.retain(|(other, _)| *other != id);
        known.push((id, stamp));
    });
}

/// What lies in the store for a plan, readable or not.
pub(crate) fn raw(id: PlanId) -> Option<String> {
    storage()?.get_item(&id.key()).ok().flatten()
}

/// A plan as it lies in the store.
pub(crate) fn read(id: PlanId) -> Option<Kept> {
    Kept::read(&raw(id)?)
}

/// Keeps a plan.
pub(crate) fn write(id: PlanId, draft: &Draft) -> Result<(), Refusal> {
    // A count, and behind it chance: two tabs that count alike still differ.
    let count = read(id).map_or(0, |kept| kept.stamp >> CHANCE) + 1;
    let stamp = (count << CHANCE) + whole(js_sys::Math::random() * f64::from(1 << CHANCE));
    let json = serde_json::to_string(draft).unwrap_or_default();
    let text = format!("{stamp} {} {json}", whole(js_sys::Date::now()));
    // First, because it is also there where the store is full.
    journal(&format!("{id} {text}"));
    write_raw(id, &text)?;
    know(id, stamp);
    Ok(())
}

/// Puts back what [`raw`] gave.
pub(crate) fn write_raw(id: PlanId, text: &str) -> Result<(), Refusal> {
    set(&id.key(), text)
}

/// Takes a plan out of the store.
pub(crate) fn remove(id: PlanId) {
    if let Some(storage) = storage() {
        let _ = storage.remove_item(&id.key());
    }
    journal("");
}

/// Puts the plan that was kept last back into the store if the browser was ended before it had
/// handed the store to the disk.
pub(crate) fn recover(noted: &str) {
    let Some((id, text)) = noted.split_once(' ') else {
        return;
    };
    let (Ok(id), Some(kept)) = (id.parse::<PlanId>(), Kept::read(text)) else {
        return;
    };
    let older = read(id).is_none_or(|there| there.stamp < kept.stamp);
    if older && write_raw(id, text).is_ok() {
        set_last(id);
    }
}

/// Every plan of the store, the one kept last first.
pub(crate) fn all() -> Vec<(PlanId, Option<Kept>)> {
    let Some(storage) = storage() else {
        return Vec::new();
    };
    let mut all: Vec<(PlanId, Option<Kept>)> = (0..storage.length().unwrap_or(0))
        .filter_map(|i| storage.key(i).ok().flatten())
        .filter_map(|key| PlanId::of_key(&key))
        .map(|id| (id, read(id)))
        .collect();
    let when = |kept: &Option<Kept>| kept.as_ref().map_or(0.0, |k| k.when);
    quantity::order::sort_by(&mut all, |a, b| when(&a.1) > when(&b.1));
    all
}

/// The plan that was kept last.
pub(crate) fn last() -> Option<PlanId> {
    storage()?.get_item(LAST).ok().flatten()?.parse().ok()
}

/// Notes which plan was kept last. The plan itself matters more: a refusal is passed over.
pub(crate) fn set_last(id: PlanId) {
    let _ = set(LAST, &id.to_string());
}

/// What this tab had open before it was loaded again, and the address it had written.
pub(crate) fn of_this_tab() -> Option<(PlanId, String)> {
    let storage = dom::window().session_storage().ok().flatten()?;
    let text = storage.get_item(OPEN).ok().flatten()?;
    let (id, link) = text.split_once(' ')?;
    Some((id.parse().ok()?, link.to_owned()))
}

/// Notes what this tab has open, for when it is loaded again.
pub(crate) fn set_of_this_tab(id: PlanId, link: &str) {
    if let Some(storage) = dom::window().session_storage().ok().flatten() {
        let _ = storage.set_item(OPEN, &format!("{id} {link}"));
    }
}

/// Moves plans that an earlier version kept to keys of their own. An old key goes only when its
/// plan lies under the new one; what can't be read moves as it is, to be seen in the list.
pub(crate) fn take_over() {
    let Some(storage) = storage() else { return };
    for key in OLD {
        let Some(json) = storage.get_item(key).ok().flatten() else {
            continue;
        };
        let id = PlanId::fresh();
        let text = format!("0 {} {json}", whole(js_sys::Date::now()));
        if write_raw(id, &text).is_ok() {
            set_last(id);
            let _ = storage.remove_item(key);
        }
    }
}

/// Whether the store takes another plan; asked before one is typed.
pub(crate) fn has_room() -> Result<(), Refusal> {
    const PROBE: &str = "battenbook.probe";
    let room = set(PROBE, &"x".repeat(ROOM));
    if let Some(storage) = storage() {
        let _ = storage.remove_item(PROBE);
    }
    room
}

fn set(key: &str, text: &str) -> Result<(), Refusal> {
    let storage = storage().ok_or(Refusal::Off)?;
    storage.set_item(key, text).map_err(|error| {
        let name = js_sys::Reflect::get(&error, &"name".into());
        let name = name.unwrap_or(JsValue::NULL).as_string();
        // A store that holds nothing and is full has no room by the browser's will.
        let empty = storage.length().unwrap_or(0) == 0;
        if !empty && name.is_some_and(|name| name.contains("Quota") || name.contains("QUOTA")) {
            Refusal::Full
        } else {
            Refusal::Off
        }
    })
}

fn storage() -> Option<Storage> {
    // Asking alone throws where the browser refuses.
    dom::window().local_storage().ok().flatten()
}

fn whole(x: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "float to int casts saturate"
    )]
    let n = x as u64;
    n
}
