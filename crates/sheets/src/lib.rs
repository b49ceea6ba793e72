//! A [`planner::Plan`] as the sheets a maker reads: HTML, drawings and files, as pure text.
//!
//! In reading order:
//!
//! * [`form`]: every input of the page, made from the planner's table of fields at build time.
//! * [`sheet`](mod@sheet): the result of each stage; [`how`](mod@how): how a figure was reached;
//!   [`answer`]: the short answer; [`faults`]: what must be put right.
//! * [`battens`]: what other battens would cost and weigh, on demand.
//! * [`find`]: the panels that look for a size and read a pasted list.
//! * [`mod@what_if`]: what another length on the rack would change, and [`shares`]: what each would
//!   pay alone, and [`mod@backward`]: what there is enough for, on demand;
//!   [`mod@compare`]: what differs from a plan that was held.
//! * [`help`]: the short help, made at build time, and the list of words.
//! * [`shelf`]: the plans of this browser, and what is said when one can't be kept or opened.
//! * [`names`]: the ids by which form, sheets and page find each other.
//! * [`picture`]: drawings that open on demand; [`player`]: one that goes step by step;
//!   [`drawing`]: drawings to scale.
//! * [`print`](mod@print): the job on paper, with its link as a [`qr`] code; [`csv`], [`calendar`] and
//!   [`files`]: what the page saves.
//!
//! Scope: sheets compute nothing. If a number appears, the plan had it; everything that a maker
//! or a link supplies is text, escaped by the template library.

pub mod answer;
pub mod backward;
pub mod battens;
mod bracing;
mod buy;
pub mod calendar;
mod canvases;
pub mod compare;
pub mod csv;
mod cut;
mod days;
pub mod drawing;
pub mod faults;
pub mod files;
pub mod find;
pub mod form;
mod hang;
pub mod help;
pub mod how;
mod join;
mod largest;
pub mod names;
mod pen;
pub mod picture;
pub mod player;
pub mod print;
pub mod qr;
pub mod shares;
pub mod sheet;
pub mod shelf;
mod shopping;
mod size;
mod stretch;
mod tone;
pub mod what_if;

pub use how::{how, how_in};
pub use maud::Markup;
pub use sheet::{Sheet, fold, sheet, sheet_folded};
pub use what_if::what_if;

/// Markup that this crate wrote elsewhere, in a worker, and that came over as text.
#[must_use]
pub fn written(markup: String) -> Markup {
    maud::PreEscaped(markup)
}

/// Words with a capital at their start.
#[must_use]
pub fn sentence(words: &str) -> String {
    let mut words = words.to_owned();
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}
