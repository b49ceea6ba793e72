//! Writes the figures of one sheet and keeps, in order, how each was reached.

use std::cell::RefCell;

use maud::{Markup, html};
use planner::{Figure, How, Plan, Value};
use quantity::{Length, Rounding};

use crate::names;
use crate::sheet::Sheet;

/// A figure that was written.
pub(crate) struct Explained<'a> {
    pub(crate) name: String,
    pub(crate) shown: String,
    pub(crate) how: &'a How,
}

/// Writes figures in the plan's units.
pub(crate) struct Pen<'a> {
    pub(crate) plan: &'a Plan,
    sheet: Sheet,
    written: RefCell<Vec<Explained<'a>>>,
}

impl<'a> Pen<'a> {
    pub(crate) fn new(plan: &'a Plan, sheet: Sheet) -> Self {
        Self {
            plan,
            sheet,
            written: RefCell::default(),
        }
    }

    pub(crate) fn into_written(self) -> Vec<Explained<'a>> {
        self.written.into_inner()
    }

    /// A figure as a button that opens how it was reached.
    pub(crate) fn figure<T: Clone + Into<Value>>(
        &self,
        name: &str,
        figure: &'a Figure<T>,
    ) -> Markup {
        let shown = self
            .plan
            .show
            .value(&figure.value.clone().into(), &self.plan.currency);
        self.as_text(name, &figure.how, shown)
    }

    /// A length rounded the way that is safe for its use.
    pub(crate) fn rounded(&self, name: &str, figure: &'a Figure<Length>, way: Rounding) -> Markup {
        let shown = self.plan.show.length_rounded(figure.value, way);
        self.as_text(name, &figure.how, shown)
    }

    /// A figure in words of the sheet's own.
    pub(crate) fn as_text(&self, name: &str, how: &'a How, shown: String) -> Markup {
        let waiting = how.waiting();
        if !waiting.is_empty() {
            return html! {
                span.waits {
                    "waits for "
                    @for (i, at) in waiting.iter().take(2).enumerate() {
                        @if i > 0 { ", " }
                        a href={ "#" (names::id(*at)) } { (names::place(*at)) }
                    }
                }
            };
        }
        let mut written = self.written.borrow_mut();
        let n = written.len();
        written.push(Explained {
            name: name.to_owned(),
            shown: shown.clone(),
            how,
        });
        let id = format!("{}-figure-{n}", self.sheet.id());
        html! {
            button.figure type="button" id=(id) data-how=(n) aria-haspopup="dialog"
                aria-label={ (name) ": " (shown) ", how it was reached" } { (shown) }
        }
    }

    /// A line of a list of figures.
    pub(crate) fn line<T: Clone + Into<Value>>(&self, name: &str, figure: &'a Figure<T>) -> Markup {
        html! { div { dt { (name) } dd { (self.figure(name, figure)) } } }
    }

    /// A line of a list of figures, in words of the sheet's own.
    pub(crate) fn line_as(&self, name: &str, how: &'a How, shown: String) -> Markup {
        html! { div { dt { (name) } dd { (self.as_text(name, how, shown)) } } }
    }

    /// A length rounded the way that is safe for its use, as a line.
    pub(crate) fn line_rounded(
        &self,
        name: &str,
        figure: &'a Figure<Length>,
        way: Rounding,
    ) -> Markup {
        html! { div { dt { (name) } dd { (self.rounded(name, figure, way)) } } }
    }

    /// A length to the nearest step.
    pub(crate) fn length(&self, x: Length) -> String {
        self.plan.show.length(x)
    }

    /// An amount of money.
    pub(crate) fn money(&self, m: quantity::Money) -> String {
        format!("{}{m}", self.plan.currency)
    }
}
