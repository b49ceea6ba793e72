//! The job on paper, in the order of the work, for hands with glue on them.
//!
//! One layout serves A4 and US Letter: it asks for no more than the narrower width and the lower
//! height of the two, because browsers do not agree on choosing a page's size from a document.
//! The style stands in the page's style sheet under "Paper".
//!
//! Each drawing and each list stands once: canvases that are alike share theirs, and so do equal
//! members.

mod bench;
mod bracing;
mod glue;
mod ink;
mod kit;
mod linen;
mod yard;

use maud::{Markup, html};
use planner::plan::CanvasPlan;
use planner::{Plan, Stage, cautions};

use crate::drawing::{self, Paper};
use crate::qr;
use ink::Ink;

/// The id of the element that shows the sheet on paper and is hidden on screen.
pub const ID: &str = "print-sheet";

/// The job sheet: what to buy, how to cut, join, stretch, size and hang, and the diary.
///
/// `link` opens the plan again; it stands in the head as a QR code. `printed_on` is the day of
/// printing as people there write it.
///
/// ```
/// use planner::{Draft, plan};
/// let tree = serde_json::from_str(r#"{"canvases":[{"width":"600 mm","height":"500 mm"}]}"#).unwrap();
/// let plan = plan(&Draft::from_tree(&tree).0);
/// let sheet = sheets::print::job_sheet(&plan, "https://example.org/#1.q1Y", "2 March 2026");
/// assert!(sheet.0.contains("Printed on 2 March 2026"));
/// ```
#[must_use]
pub fn job_sheet(plan: &Plan, link: &str, printed_on: &str) -> Markup {
    let ink = &Ink(plan);
    let groups = &groups(plan);
    html! {
        article.job.many[groups.len() > 1] {
            (head(ink, link, printed_on))
            (bracing::bracing(ink))
            (yard::to_buy(ink))
            (kit::shares(ink))
            (bench::cutting(ink))
            (bench::rods(ink, groups))
            (bench::joints(ink, groups))
            (bench::assembly(ink, groups))
            (linen::stretching(ink, groups))
            (glue::size_and_ground(ink))
            (linen::hanging(ink, groups))
            (diary(ink))
        }
    }
}

/// The rods of every member at full size, a page each; to be printed without scaling.
#[must_use]
pub fn full_size_rods(plan: &Plan, paper: Paper) -> Markup {
    let mut pages = Vec::new();
    for group in groups(plan) {
        for member in bench::own_members(plan, &group) {
            pages.extend(drawing::rod_tiles(plan, group.first, member, paper));
        }
    }
    full_pages(&pages)
}

/// A label for every piece, to be cut apart.
#[must_use]
pub fn labels(plan: &Plan, paper: Paper) -> Markup {
    full_pages(&drawing::labels(plan, paper))
}

/// A sheet for each row: its pieces with the boards that they come from, cloth, staples, glue,
/// days and cost, and its own plan as a QR code; before them, whose each piece of each board is.
///
/// `links` open the rows' own plans, in the order of the plan.
#[must_use]
pub fn kit_sheets(plan: &Plan, links: &[String], printed_on: &str) -> Markup {
    kit::sheets(&Ink(plan), links, printed_on)
}

/// What stands in the margin of every page, as a string of CSS: whatever the plan is called, it
/// stays one string (CSS Syntax Module Level 3, sections 4.3.5 and 4.3.7: a sign by its number).
///
/// ```
/// assert_eq!(sheets::print::on_every_page("Sea; \"calm\"", "2 March 2026"), r#""Sea; \22 calm\22  · 2 March 2026""#);
/// ```
#[must_use]
pub fn on_every_page(plan: &str, printed_on: &str) -> String {
    let name = match plan.trim() {
        "" => "Job sheet",
        name => name,
    };
    let mut css = String::from("\"");
    for text in [name, " · ", printed_on] {
        for c in text.chars() {
            if matches!(c, '"' | '\\') || c.is_control() {
                // A zero can't be written: it becomes the replacement character.
                css.push_str(&format!("\\{:x} ", u32::from(c)));
            } else {
                css.push(c);
            }
        }
    }
    css.push('"');
    css
}

fn full_pages(pages: &[Markup]) -> Markup {
    html! {
        @for page in pages { div.full-page { (page) } }
    }
}

/// Canvases that are built alike.
struct Group {
    /// Index of the first of them.
    first: usize,
    /// Indices of the others.
    others: Vec<usize>,
}

impl Group {
    /// Their names, and how many there are where it is more than one.
    fn title(&self, plan: &Plan) -> String {
        let all = || core::iter::once(&self.first).chain(&self.others);
        let named = |i: &usize| {
            let c = plan.canvases.get(*i)?;
            Some(match c.count {
                1 => c.name.clone(),
                n => format!("{} × {n}", c.name),
            })
        };
        all().filter_map(named).collect::<Vec<_>>().join(", ")
    }
}

/// The canvases that have a frame, each with those built like it.
fn groups(plan: &Plan) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (i, canvas) in plan.canvases.iter().enumerate() {
        if canvas.frame.is_none() {
            continue;
        }
        match groups
            .iter_mut()
            .find(|g| is_alike(&plan.canvases[g.first], canvas))
        {
            Some(group) => group.others.push(i),
            None => groups.push(Group {
                first: i,
                others: Vec::new(),
            }),
        }
    }
    groups
}

/// Whether two canvases have the same wood and the same cloth.
fn is_alike(a: &CanvasPlan, b: &CanvasPlan) -> bool {
    let wood = |c: &CanvasPlan| {
        let frame = c.frame.as_ref()?;
        let members = frame.members.iter();
        let members: Vec<_> = members
            .map(|m| (m.letter.clone(), m.marks.clone()))
            .collect();
        Some((frame.outer_width.value, frame.outer_height.value, members))
    };
    let cloth = |c: &CanvasPlan| {
        let b = c.blank.as_ref()?;
        Some((b.cut_width.value, b.cut_height.value))
    };
    wood(a) == wood(b) && cloth(a) == cloth(b)
}

fn head(ink: &Ink<'_>, link: &str, printed_on: &str) -> Markup {
    let plan = ink.0;
    let name = if plan.name.is_empty() {
        "Job sheet"
    } else {
        plan.name.as_str()
    };
    html! {
        header.job-head {
            div {
                h1 { (name) }
                p { "Printed on " (printed_on) " · Battenbook " (env!("CARGO_PKG_VERSION")) }
                (canvases(ink))
            }
            (code(link))
        }
        @if !plan.faults.is_empty() {
            section.job-faults {
                h2 { "Not finished: to put right first" }
                ul { @for fault in &plan.faults { li { (fault.message(plan.show)) } } }
            }
        }
        p.job-defer { (cautions::DEFER) }
        (ink.advice(Stage::Job))
    }
}

/// What is to be made.
fn canvases(ink: &Ink<'_>) -> Markup {
    let show = ink.0.show;
    html! {
        @if ink.0.canvases.iter().any(|c| c.frame.is_some()) {
            table {
                thead { tr { th { "Canvas" } th { "How many" } th { "Finished" } th { "Wood, outside" } } }
                tbody {
                    @for c in &ink.0.canvases {
                        @if let Some(f) = &c.frame {
                            tr {
                                th { (c.name) }
                                td { (c.count) }
                                td { (show.length(f.finished_width.value)) " × " (show.length(f.finished_height.value)) }
                                td { (show.length(f.outer_width.value)) " × " (show.length(f.outer_height.value)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The link as a code. The address of a page on disk leads nowhere else, and may name its owner:
/// then only the plan itself, which goes behind any such page's address.
fn code(link: &str) -> Markup {
    let on_disk = link.starts_with("file:");
    let text = match (on_disk, link.find('#')) {
        (true, Some(at)) => &link[at..],
        _ => link,
    };
    html! {
        figure.job-code {
            @match qr::code(text, "Link of this plan") {
                Ok(code) => {
                    (code)
                    figcaption {
                        @if on_disk { "This plan: put it behind the address of the page." }
                        @else { "Opens this plan." }
                    }
                }
                Err(too_long) => figcaption { "No code here: " (too_long) ". Keep the plan as a file." }
            }
        }
    }
}

fn diary(ink: &Ink<'_>) -> Markup {
    html! {
        @if !ink.0.diary.steps.is_empty() {
            section {
                h2 { "Diary" }
                (ink.notes(Stage::Days))
                @for steps in &drawing::diary_to_tick(ink.0) { (ink::figure(steps)) }
            }
        }
    }
}
