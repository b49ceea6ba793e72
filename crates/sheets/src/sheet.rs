//! The result of each stage, in the maker's order.

use maud::{Markup, html};
use planner::{Plan, Stage};

use crate::pen::Pen;
use crate::{buy, canvases, cut, days, faults, hang, join, names, size, stretch};

/// A stage's sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet(pub Stage);

impl Sheet {
    /// All sheets in order.
    pub fn all() -> impl Iterator<Item = Self> {
        Stage::ALL.into_iter().map(Self)
    }

    /// The id of the element that shows it.
    #[must_use]
    pub fn id(self) -> String {
        format!("{}-sheet", names::section(self.0))
    }
}

/// A stage's sheet: warnings first, then its figures.
#[must_use]
pub fn sheet(plan: &Plan, which: Sheet) -> Markup {
    write(&Pen::new(plan, which.id()), which)
}

/// A stage's sheet with its folds empty, as the page shows it first.
#[must_use]
pub fn sheet_folded(plan: &Plan, which: Sheet) -> Markup {
    write(&Pen::holding(plan, which.id()), which)
}

/// What a fold of a stage's sheet holds; none if there is no such fold.
#[must_use]
pub fn fold(plan: &Plan, which: Sheet, key: &str) -> Option<Markup> {
    let pen = Pen::holding(plan, which.id());
    let _ = write(&pen, which);
    let mut held = pen.into_held().into_iter();
    held.find_map(|(name, body)| (name == key).then_some(body))
}

pub(crate) fn write(pen: &Pen<'_>, which: Sheet) -> Markup {
    let body = match which.0 {
        Stage::Job => canvases::canvases(pen),
        Stage::Buy => buy::buy(pen),
        Stage::Cut => cut::cut(pen),
        Stage::Join => join::join(pen),
        Stage::Stretch => stretch::stretch(pen),
        Stage::Size => size::size(pen),
        Stage::Hang => hang::hang(pen),
        Stage::Days => days::days(pen),
    };
    html! {
        (faults::advice(pen.plan, which.0))
        (body)
    }
}

/// Stands where a sheet has nothing to show yet.
pub(crate) fn nothing_yet() -> Markup {
    html! { p.nothing { "Nothing to show yet: give a canvas a width and a height." } }
}
