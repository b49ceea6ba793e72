//! Writes the figures of one sheet; each can be asked how it was reached.

use std::cell::{Cell, RefCell};

use maud::{Markup, html};
use planner::{FieldRef, Figure, How, Plan, Value};
use quantity::{Length, Rounding};

use crate::names;

/// A figure that was asked for.
pub(crate) struct Explained {
    pub(crate) name: String,
    pub(crate) shown: String,
    pub(crate) how: How,
}

/// What is waited for, the first two.
pub(crate) fn waits(fields: &[FieldRef]) -> Markup {
    html! {
        "waits for "
        @for (i, at) in fields.iter().take(2).enumerate() {
            @if i > 0 { ", " }
            a href={ "#" (names::id(*at)) } { (names::place(*at)) }
        }
    }
}

/// Writes figures in the plan's units.
pub(crate) struct Pen<'a> {
    pub(crate) plan: &'a Plan,
    /// The id of the element that it writes into.
    place: String,
    written: Cell<usize>,
    /// The figure that is asked for, by its place in the order of writing.
    asked: Option<usize>,
    answer: RefCell<Option<Explained>>,
    /// What folds hold, by their key, where they are filled only when opened.
    held: Option<RefCell<Vec<(String, Markup)>>>,
}

impl<'a> Pen<'a> {
    pub(crate) fn new(plan: &'a Plan, place: String) -> Self {
        Self {
            plan,
            place,
            written: Cell::new(0),
            asked: None,
            answer: RefCell::new(None),
            held: None,
        }
    }

    /// A pen that leaves folds empty and holds what belongs into them.
    pub(crate) fn holding(plan: &'a Plan, place: String) -> Self {
        Self {
            held: Some(RefCell::default()),
            ..Self::new(plan, place)
        }
    }

    pub(crate) fn into_held(self) -> Vec<(String, Markup)> {
        self.held.map(RefCell::into_inner).unwrap_or_default()
    }

    /// A fold: its summary element and what it holds. The page fills it when it is opened, so
    /// that a large job stays a small document.
    pub(crate) fn fold(&self, key: &str, summary: Markup, body: Markup) -> Markup {
        let now = match &self.held {
            Some(held) => {
                held.borrow_mut().push((key.to_owned(), body));
                Markup::default()
            }
            None => body,
        };
        html! {
            details data-keep=(key) data-fold=(key) {
                (summary)
                div id={ "fold-" (key) } data-later="" { (now) }
            }
        }
    }

    /// The n-th figure of what `write` writes.
    pub(crate) fn ask(
        plan: &'a Plan,
        n: usize,
        write: impl FnOnce(&Self) -> Markup,
    ) -> Option<Explained> {
        let pen = Self {
            asked: Some(n),
            ..Self::new(plan, String::new())
        };
        let _ = write(&pen);
        pen.answer.into_inner()
    }

    /// A figure as a button that opens how it was reached.
    pub(crate) fn figure<T: Clone + Into<Value>>(&self, name: &str, figure: &Figure<T>) -> Markup {
        let shown = self
            .plan
            .show
            .value(&figure.value.clone().into(), &self.plan.currency);
        self.as_text(name, &figure.how, shown)
    }

    /// A length rounded the way that is safe for its use.
    pub(crate) fn rounded(&self, name: &str, figure: &Figure<Length>, way: Rounding) -> Markup {
        let shown = self.plan.show.length_rounded(figure.value, way);
        self.as_text(name, &figure.how, shown)
    }

    /// A figure in words of the sheet's own.
    pub(crate) fn as_text(&self, name: &str, how: &How, shown: String) -> Markup {
        let waiting = how.waiting();
        if !waiting.is_empty() {
            return html! {
                span.waits { (waits(&waiting)) }
            };
        }
        let n = self.written.replace(self.written.get() + 1);
        if self.asked == Some(n) {
            self.answer.replace(Some(Explained {
                name: name.to_owned(),
                shown: shown.clone(),
                how: how.clone(),
            }));
        }
        let id = format!("{}-figure-{n}", self.place);
        html! {
            button.figure type="button" id=(id) data-how=(n) aria-haspopup="dialog"
                aria-label={ (name) ": " (shown) ", how it was reached" } { (shown) }
        }
    }

    /// A line of a list of figures.
    pub(crate) fn line<T: Clone + Into<Value>>(&self, name: &str, figure: &Figure<T>) -> Markup {
        html! { div { dt { (name) } dd { (self.figure(name, figure)) } } }
    }

    /// A line of a list of figures, in words of the sheet's own.
    pub(crate) fn line_as(&self, name: &str, how: &How, shown: String) -> Markup {
        html! { div { dt { (name) } dd { (self.as_text(name, how, shown)) } } }
    }

    /// A length rounded the way that is safe for its use, as a line.
    pub(crate) fn line_rounded(
        &self,
        name: &str,
        figure: &Figure<Length>,
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
