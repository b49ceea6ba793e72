//! Writes figures, cautions and drawings on paper.

use maud::{Markup, html};
use planner::{Figure, How, Plan, Stage, Value, cautions};

use crate::names;

/// Writes in the plan's units.
pub(super) struct Ink<'a>(pub(super) &'a Plan);

impl Ink<'_> {
    /// What was found, or what it still waits for.
    pub(super) fn known(&self, how: &How, shown: impl Into<String>) -> Markup {
        let waiting = how.waiting();
        match waiting.first() {
            Some(at) => html! { em { (names::waits(*at)) } },
            None => html! { (shown.into()) },
        }
    }

    pub(super) fn figure<T: Clone + Into<Value>>(&self, figure: &Figure<T>) -> Markup {
        let value = figure.value.clone().into();
        self.known(&figure.how, self.0.show.value(&value, &self.0.currency))
    }

    /// A line of a list of figures.
    pub(super) fn line<T: Clone + Into<Value>>(&self, name: &str, figure: &Figure<T>) -> Markup {
        html! { div { dt { (name) } dd { (self.figure(figure)) } } }
    }

    /// A line in words of its own.
    pub(super) fn line_as(&self, name: &str, how: &How, shown: impl Into<String>) -> Markup {
        html! { div { dt { (name) } dd { (self.known(how, shown)) } } }
    }

    pub(super) fn number(&self, x: f64) -> String {
        self.0.show.value(&x.into(), "")
    }

    /// A stage's caution and warnings, before its work.
    pub(super) fn notes(&self, stage: Stage) -> Markup {
        html! {
            @for caution in cautions::ALL.iter().filter(|c| c.stage == stage) {
                p.job-caution { strong { "Take care. " } (caution.text) }
            }
            (self.advice(stage))
        }
    }

    /// A stage's warnings, each with its reason.
    pub(super) fn advice(&self, stage: Stage) -> Markup {
        html! {
            @for advice in self.0.advice.iter().filter(|a| a.stage == stage) {
                p.job-advice { strong { (advice.what) } " " (advice.why) }
            }
        }
    }
}

/// A drawing that no page break may cut.
pub(super) fn figure(drawing: &Markup) -> Markup {
    html! { figure.job-drawing { (drawing) } }
}

/// A drawing with its name above it.
pub(super) fn named(name: &str, drawing: &Markup) -> Markup {
    html! { figure.job-drawing { figcaption { (name) } (drawing) } }
}

/// A narrow drawing, two to a row.
pub(super) fn half(drawing: &Markup) -> Markup {
    html! { figure.job-drawing.half { (drawing) } }
}

/// A narrow drawing with its name above it, two to a row.
pub(super) fn named_half(name: &str, drawing: &Markup) -> Markup {
    html! { figure.job-drawing.half { figcaption { (name) } (drawing) } }
}

/// An empty box to tick.
pub(super) fn tick() -> Markup {
    html! { span.tick { } }
}
