//! Every input of the page, made from the planner's table of fields.
//!
//! The settings are made once, at build time ([`markup`]); the inside of a row of a list
//! ([`row`]) is made in the page when a row is added.

use maud::{Markup, html};
use planner::draft::LONGEST_TEXT;
use planner::fault::{accepted, in_unit, shown_unit};
use planner::fields::Kind;
use planner::{Field, FieldRef, Fraction, Show, Stage, Table, Units, cautions};

use crate::backward;
use crate::faults::caution;
use crate::find;
use crate::names::{self, id, one, section};
use crate::sheet::Sheet;

/// The settings that a stranger needs: they stand with the canvases, in sight.
const FIRST: [&str; 3] = ["bar_face", "bar_depth", "corner"];
/// The settings that have a place of their own in the page's head.
const HEAD: [&str; 2] = ["name", "units"];
/// The setting that is a question to the rack: it stands with its answer.
const ASKED: &str = "from_rack";

/// The settings that the microphone can fill.
const HEARD: [&str; 5] = ["tap", "tap_1", "tap_2", "tap_3", "tap_4"];

const METRIC: Show = Show {
    units: Units::Metric,
    fraction: Fraction::Sixteenth,
};
const IMPERIAL: Show = Show {
    units: Units::Imperial,
    fraction: Fraction::SixtyFourth,
};

/// Whether a setting stands in sight, outside the folded groups.
#[must_use]
pub fn is_in_sight(field: &Field) -> bool {
    FIRST.contains(&field.key) || HEAD.contains(&field.key) || field.key == ASKED
}

/// The whole form: a section for each stage, with the place for its sheet.
#[must_use]
pub fn markup() -> String {
    html! {
        @for (n, sheet) in Sheet::all().enumerate() {
            (stage_section(n + 1, sheet))
        }
        p.caution { (cautions::DEFER) }
    }
    .into_string()
}

/// The inside of a row: its fields and what can be done with it.
#[must_use]
pub fn row(table: Table, row: usize) -> Markup {
    let (plain, more): (Vec<&Field>, Vec<&Field>) = table
        .fields()
        .iter()
        .partition(|f| table != Table::Canvases || f.stage == Stage::Job);
    let field = |f: &&'static Field| {
        let at = FieldRef {
            table,
            row,
            key: f.key,
        };
        entry(f, at, &format!("{}-{}-hint", table.key(), f.key))
    };
    let name = one(table);
    let act = |act: &str, word: &str| {
        html! {
            button.act type="button" data-act=(act) data-table=(table.key()) data-row=(row)
                aria-label={ (word) " " (name) " " (row + 1) } { (word) }
        }
    };
    html! {
        span.row-number aria-hidden="true" { (row + 1) }
        div.fields { @for f in &plain { (field(f)) } }
        @if !more.is_empty() {
            details.more { summary { "Bracing of this " (name) } div.fields { @for f in &more { (field(f)) } } }
        }
        div.acts { (act("copy", "Copy")) (act("remove", "Remove")) }
    }
}

fn stage_section(n: usize, sheet: Sheet) -> Markup {
    let at = sheet.0;
    let settings: Vec<&'static Field> = Table::Settings
        .fields()
        .iter()
        .filter(|f| f.stage == at && !is_in_sight(f))
        .collect();
    html! {
        section.stage id=(section(at)) aria-labelledby={ (section(at)) "-title" } {
            h2 id={ (section(at)) "-title" } tabindex="-1" { span.step { (n) } " " (at.name()) }
            @if at == Stage::Job {
                (list(Table::Canvases, "Canvases to make", "Add a canvas"))
                (find::panels())
                h3 { "Batten in hand" }
                div.fields { @for key in FIRST { @if let Some(f) = Table::Settings.field(key) { (setting(f)) } } }
            }
            div.sheet id=(sheet.id()) {}
            @if at == Stage::Buy {
                (list(Table::Boards, "The rack", "Add a board"))
                (list(Table::Cut, "Boards already cut", "Add a board that is cut"))
                (list(Table::Rolls, "Rolls of cloth", "Add a roll"))
                @if let Some(field) = Table::Settings.field(ASKED) { (backward::ask(&setting(field))) }
            }
            @if !settings.is_empty() {
                details.settings id={ (section(at)) "-settings" } {
                    summary { (settings_name(at)) " " span.changed data-stage=(section(at)) {} }
                    div.fields { @for f in settings { (setting(f)) } }
                }
            }
            (caution(at))
        }
    }
}

const fn settings_name(at: Stage) -> &'static str {
    match at {
        Stage::Job => "Settings of the plan",
        Stage::Buy => "Saw, carrying, offcuts",
        Stage::Cut => "Frame, bead, bracing",
        Stage::Join => "Screws, pins, glue",
        Stage::Stretch => "Cloth and staples",
        Stage::Size => "Recipe, ground",
        Stage::Hang => "Hanging and tray frame",
        Stage::Days => "Dates and drying",
    }
}

fn list(table: Table, name: &str, add: &str) -> Markup {
    let list = names::list(table);
    html! {
        h3 id={ (list) "-title" } { (name) }
        ol.rows id=(list) aria-labelledby={ (list) "-title" } {}
        p.error id={ (list) "-error" } {}
        div.acts {
            button.act type="button" id={ (table.key()) "-add" } data-act="add" data-table=(table.key()) { (add) }
        }
        details.help {
            summary { "What goes into these fields" }
            dl {
                @for f in table.fields() {
                    div {
                        dt { (f.label) }
                        dd id={ (table.key()) "-" (f.key) "-hint" } { (help(f)) }
                    }
                }
            }
        }
    }
}

fn setting(field: &'static Field) -> Markup {
    let at = FieldRef::setting(field.key);
    let hint = format!("{}-hint", id(at));
    html! {
        div.setting {
            (entry(field, at, &hint))
            p.hint id=(hint) { (help(field)) }
            @if HEARD.contains(&field.key) {
                @let said = format!("{}-heard", id(at));
                button.act type="button" id={ (id(at)) "-listen" } data-act="listen" data-key=(field.key)
                    aria-describedby=(said) aria-label={ "Listen: " (field.label) } { "Listen" }
                p.hint id=(said) role="status" {}
            }
        }
    }
}

/// A label, an input, its unit and the place for what is wrong.
pub(crate) fn entry(field: &'static Field, at: FieldRef, hint: &str) -> Markup {
    let id = id(at);
    let error = format!("{id}-error");
    let described = format!("{hint} {error}");
    let (table, key) = (at.table.key(), field.key);
    html! {
        div.field data-kind=(kind(field)) {
            label for=(id) { (field.label) }
            @if let Kind::Choice(answers) = field.kind {
                select id=(id) data-table=(table) data-key=(key) data-row=(at.row) aria-describedby=(described) {
                    @for (i, (value, words)) in answers.iter().enumerate() {
                        option value=(value) selected[i == 0] { (words) }
                    }
                }
            } @else {
                @let [metric, imperial] = [METRIC, IMPERIAL].map(|show| usual(field, show));
                div.entry {
                    input id=(id) type="text" inputmode=(inputmode(field)) maxlength=(LONGEST_TEXT)
                        data-table=(table) data-key=(key) data-row=(at.row)
                        placeholder=(metric) data-metric=(metric) data-imperial=(imperial)
                        aria-describedby=(described);
                    (unit(field))
                }
            }
            p.error id=(error) {}
        }
    }
}

const fn kind(field: &Field) -> &'static str {
    match field.kind {
        Kind::Text { .. } => "text",
        Kind::Length { .. } => "length",
        Kind::Count { .. } => "count",
        Kind::Measure { .. } => "measure",
        Kind::Money { .. } => "money",
        Kind::Choice(_) => "choice",
        Kind::Date => "date",
        Kind::Stretches => "stretches",
        Kind::Pieces => "pieces",
        Kind::Battens { .. } => "battens",
        Kind::Like => "like",
        Kind::Weekdays => "weekdays",
    }
}

/// Which keys a tablet offers. Inches need the slash and the blank, so the page sets lengths to
/// "text" on an imperial page.
const fn inputmode(field: &Field) -> &'static str {
    match field.kind {
        Kind::Length { .. } | Kind::Measure { .. } | Kind::Money { .. } => "decimal",
        Kind::Count { .. } => "numeric",
        _ => "text",
    }
}

fn unit(field: &Field) -> Markup {
    let [metric, imperial] = match &field.kind {
        Kind::Length { .. } => ["mm", "in"],
        Kind::Measure { dimension, .. } => {
            [METRIC, IMPERIAL].map(|show| shown_unit(dimension, show))
        }
        _ => return html! {},
    };
    html! { span.unit aria-hidden="true" { (both(metric, imperial)) } }
}

/// The usual value as it would be typed.
fn usual(field: &Field, show: Show) -> String {
    match &field.kind {
        Kind::Text { usual, .. } | Kind::Battens { usual, .. } => (*usual).to_owned(),
        Kind::Length {
            usual: Some(usual), ..
        } => show.bare_length(*usual, quantity::Rounding::Nearest),
        Kind::Count {
            usual: Some(usual), ..
        } => usual.to_string(),
        Kind::Measure {
            usual: Some(usual),
            dimension,
            ..
        } => in_unit(dimension, shown_unit(dimension, show), *usual),
        _ => String::new(),
    }
}

/// The field's line of help with its usual value and range.
pub(crate) fn help(field: &Field) -> Markup {
    let line = |show: Show| {
        let accepted = match field.kind {
            // The answers stand in the list itself, and any text is a text.
            Kind::Choice(_) | Kind::Text { .. } => return String::new(),
            _ => accepted(field, show),
        };
        let usual = usual(field, show);
        let unit = match &field.kind {
            Kind::Length { .. } => match show.units {
                Units::Metric => " mm",
                Units::Imperial => " in",
            },
            _ => "",
        };
        if usual.is_empty() {
            format!("Takes {accepted}.")
        } else {
            format!("Usual: {usual}{unit}. Takes {accepted}.")
        }
    };
    html! { (field.hint) " " (both(&line(METRIC), &line(IMPERIAL))) }
}

/// Words that differ with the page's units; the style shows one of them.
fn both(metric: &str, imperial: &str) -> Markup {
    if metric == imperial {
        return html! { (metric) };
    }
    html! {
        span.metric { (metric) }
        span.imperial { (imperial) }
    }
}
