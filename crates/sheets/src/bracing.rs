//! Whether a frame needs cross bars: the decision, the check that governs it, and all that
//! statics says beside it.

use maud::{Markup, html};
use planner::bracing::{Bracing, Check, CheckKind, Least, Statics};
use planner::formulas::{self, Formula};
use planner::frame::Part;
use planner::plan::CanvasPlan;
use planner::show::counted;

use crate::largest::largest;
use crate::pen::Pen;
use crate::picture::Picture;

pub(crate) mod aside;

use aside::section;

/// The bracing of every canvas, those braced alike together.
pub(crate) fn bracing(pen: &Pen<'_>) -> Markup {
    let all = &pen.plan.canvases;
    let firsts = (0..all.len()).filter(|i| alike(all, *i).first() == Some(i));
    html! {
        @if all.iter().any(|c| c.frame.is_some()) {
            h3 { "Does it need cross bars?" }
            p { "Computed for this wood and this cloth, with the rule of thumb beside it." }
            @for i in firsts { (canvas(pen, i, &all[i])) }
            (largest(pen))
        }
    }
}

/// The frames that are braced like a canvas's, itself included.
pub(crate) fn alike(all: &[CanvasPlan], canvas: usize) -> Vec<usize> {
    let is_alike = |c: &CanvasPlan| c.frame.is_some() && c.bracing == all[canvas].bracing;
    (0..all.len()).filter(|i| is_alike(&all[*i])).collect()
}

fn canvas<'a>(pen: &Pen<'a>, index: usize, c: &'a CanvasPlan) -> Markup {
    let all = &pen.plan.canvases;
    let names: Vec<&str> = alike(all, index)
        .into_iter()
        .map(|i| all[i].name.as_str())
        .collect();
    html! {
        section.card.wide id={ "bracing-" (index) } tabindex="-1" {
            h4 { (names.join(", ")) }
            p { strong { (decision(&c.bracing)) } }
            @match &c.bracing.statics {
                None => { p { "The bars leave no opening, so there is no frame to compute." } }
                Some(statics) => { (said(pen, index, &c.bracing, statics)) }
            }
        }
    }
}

/// How many members, and who says so.
fn decision(bracing: &Bracing) -> String {
    let (upright, level, braces) = (&bracing.upright, &bracing.level, &bracing.braces);
    let built = members(upright.value, level.value, braces.value);
    let built = format!("Built with {built}");
    let says = [upright, level, braces].map(|figure| by(figure.how.formula));
    let [first, rest @ ..] = says;
    if rest.iter().any(|other| *other != first) {
        return format!(
            "{built}: upright cross bars {}, level cross bars {}, corner braces {}.",
            says[0], says[1], says[2]
        );
    }
    let computed = bracing.statics.as_ref();
    match computed.filter(|_| first == COMPUTED) {
        Some(statics) if statics.passes => {
            format!("{built}: computed, the least batten that passes every check.")
        }
        Some(statics) if statics.stands => format!(
            "{built}: computed, the least batten that stands the cloth; no bracing resists racking as is asked for."
        ),
        Some(_) => format!("{built}: computed, the best there is; no bracing passes every check."),
        None => format!("{built}: {first}."),
    }
}

const COMPUTED: &str = "computed";

fn by(formula: &Formula) -> &'static str {
    if *formula == formulas::MAKER_SAYS {
        "as the maker says"
    } else if *formula == formulas::BRACING_COMPUTED {
        COMPUTED
    } else {
        "by the rule of thumb"
    }
}

/// Members in words.
pub(crate) fn members(upright: u32, level: u32, braces: u32) -> String {
    let bars = |n: u32, one: &str| (n > 0).then(|| counted(u64::from(n), one, &format!("{one}s")));
    let words: Vec<String> = [
        bars(upright, "upright cross bar"),
        bars(level, "level cross bar"),
        bars(braces, "corner brace"),
    ]
    .into_iter()
    .flatten()
    .collect();
    match words.split_last() {
        None => "no cross bars".into(),
        Some((last, [])) => last.clone(),
        Some((last, first)) => format!("{} and {last}", first.join(", ")),
    }
}

fn least_members(least: &Least) -> String {
    members(least.upright, least.level, least.braces)
}

/// Members that pass, or the best there are.
fn if_passing(least: &Least) -> String {
    let members = least_members(least);
    if least.passes {
        members
    } else if least.stands {
        format!("{members}, but racks easily")
    } else {
        format!("nothing passes; best: {members}")
    }
}

/// Whether a check passes, in words; the limit of racking is our choice, so nothing fails by it.
pub(crate) fn verdict(check: &Check) -> &'static str {
    match check.kind {
        _ if check.passes() => "passes",
        CheckKind::Racking => "racks easily",
        _ => "fails",
    }
}

/// A check's name with the part that it is of.
pub(crate) fn of_part(kind: CheckKind, part: Option<Part>) -> String {
    match part {
        Some(part) => format!("{}, {}", kind.name(), part.name()),
        None => kind.name().to_owned(),
    }
}

/// Whether more is better, so that the limit is the least and not the most.
pub(crate) const fn is_least(kind: CheckKind) -> bool {
    matches!(kind, CheckKind::Buckling | CheckKind::Racking)
}

fn said<'a>(pen: &Pen<'a>, index: usize, bracing: &'a Bracing, statics: &'a Statics) -> Markup {
    html! {
        @if let Some(check) = statics.checks.first() { (governs(pen, check)) }
        @if let Some(change) = statics.mending() {
            p { "The smallest change that passes: " (if_passing(change)) "." }
        } @else if statics.smallest_change.is_some() {
            @if statics.stands { p { "No bracing in this batten resists racking as is asked for, by a limit that is our choice." } }
            @else {
                p {
                    "No bracing in this batten passes every check."
                    @match &statics.passing_section {
                        Some(other) => {
                            " Batten of " (section(pen, other)) " passes with "
                            (members(other.least.upright, other.least.level, other.least.braces)) "."
                        }
                        None => { " Nor does any in the other battens at hand." }
                    }
                }
            }
        }
        (rule(pen, bracing, statics))
        (Picture::Bowed(index).fold("The frame bowed by the cloth, exaggerated", false))
        (pen.fold(
            &format!("bracing-checks-{index}"),
            html! { summary { "Every check" } },
            checks(pen, statics),
        ))
        (Picture::Sections(index).fold("A thicker or wider batten, a slacker or tauter cloth", false))
        (Picture::Racking(index).fold("Out of square, and cross bars as columns", false))
        (pen.fold(
            &format!("bracing-fixings-{index}"),
            html! { summary { "Screws and pins: no engineering certificate" } },
            fixings(pen, statics),
        ))
    }
}

/// The check that governs, with its margin and its sources.
fn governs<'a>(pen: &Pen<'a>, check: &'a Check) -> Markup {
    let name = of_part(check.kind, check.part);
    let (case, _) = pen.plan.basis.pull.hardest();
    html! {
        p {
            "What governs: " strong { (name) } " (" (case.name()) "): "
            (pen.figure(&name, &check.found)) " found, "
            @if is_least(check.kind) { "at least " } @else { "at most " }
            (pen.figure("Limit", &check.limit)) " allowed. "
            (pen.figure("Share of the limit used", &check.used)) " of the limit is used, so it "
            strong { (verdict(check)) }
            @if check.passes() { " with a margin of " } @else { " by " }
            (pen.figure("Margin", &check.margin)) "."
            (buckles(pen, check))
            @if let Some([rigid, hinged]) = &check.between {
                " With rigid corners " (pen.figure("Rigid corners", rigid))
                ", with hinged ones " (pen.figure("Hinged corners", hinged))
                ": the truth lies between."
            }
        }
        p { "Source: " (check.found.how.formula.source) ". Limit: " (check.limit.how.formula.source) "." }
    }
}

/// That the frame folds up, and under what pull.
fn buckles<'a>(pen: &Pen<'a>, check: &'a Check) -> Markup {
    let (_, pull) = pen.plan.basis.pull.hardest();
    html! {
        @if let Some(carries) = &check.carries {
            " It buckles: it carries " (pen.figure("Pull that folds it up", carries))
            " of " (pen.figure("Pull that counts", pull)) "."
        }
    }
}

/// The rule of thumb beside what statics says.
fn rule<'a>(pen: &Pen<'a>, bracing: &Bracing, statics: &'a Statics) -> Markup {
    let [upright, level] = bracing.rule;
    let least = &statics.least;
    let (says, asks) = (upright + level, least.upright + least.level);
    html! {
        p {
            "The rule of thumb ("
            (pen.figure("Longest side without cross bars, by rule", &pen.plan.basis.rule))
            ") says: " (members(upright, level, 0)) ". Statics asks for: "
            (least_members(least)) ", with " (pen.figure("Share of the limit used", &least.used))
            " of the limit used by " (of_part(least.governing, least.part))
            @if !least.stands { ", the best there is, which fails" }
            @else if !least.passes { ", which racks easily" }
            ". "
            @if [upright, level] == [least.upright, least.level] { "Both ask for the same cross bars." }
            @else if says > asks { "The rule asks for more cross bars than statics." }
            @else if says < asks { "The rule asks for fewer cross bars than statics." }
            @else { "Both ask for as many cross bars, placed otherwise." }
        }
    }
}

fn checks<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    let cases = pen.plan.basis.pull.cases();
    let has_rise = cases.len() > 1;
    html! {
        table.checks {
            thead { tr {
                th scope="col" { "Check" }
                @for (case, _) in &cases { th scope="col" { (case.name()) } }
                th scope="col" { "Corners rigid to hinged" }
                th scope="col" { "Limit" } th scope="col" { "Of it used" } th scope="col" { "Verdict" }
            } }
            tbody {
                @for check in &statics.checks {
                    @let name = of_part(check.kind, check.part);
                    tr {
                        th scope="row" { (name) }
                        td.number { (pen.figure(&format!("{name}, stretched"), &check.stretched)) }
                        @if has_rise { td.number { (pen.figure(&format!("{name}, size dried out"), &check.found)) } }
                        td.number {
                            @if let Some([rigid, hinged]) = &check.between {
                                (pen.figure(&format!("{name}, corners rigid"), rigid)) " to "
                                (pen.figure(&format!("{name}, corners hinged"), hinged))
                            }
                        }
                        td.number {
                            @if is_least(check.kind) { "at least " }
                            (pen.figure(&format!("{name}, limit"), &check.limit))
                        }
                        td.number { (pen.figure(&format!("{name}, of the limit used"), &check.used)) }
                        td {
                            @if check.passes() { (verdict(check)) } @else { strong { (verdict(check)) } }
                            (buckles(pen, check))
                        }
                    }
                }
            }
        }
        p { "Measured in the hardest case, which is the last of the columns of cases; the frame passes when no check uses more than all of its limit. Limits are settings: change them under Cut." }
    }
}

fn fixings<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    html! {
        p { strong { (statics.deferral) } }
        @if !statics.joints.is_empty() {
            table.fixings {
                thead { tr {
                    th scope="col" { "Joint" } th scope="col" { "Fixing" } th scope="col" { "Force on it" }
                    th scope="col" { "Trusted with" } th scope="col" { "Mind" }
                } }
                tbody {
                    @for it in &statics.joints {
                        tr {
                            th scope="row" { (it.joint) }
                            td { (it.fastener) }
                            td.number { (pen.figure(&format!("{}, force", it.fastener), &it.force)) }
                            td.number {
                                @match &it.holds {
                                    Some(holds) => { (pen.figure(&format!("{}, trusted with", it.fastener), holds)) }
                                    None => { "nothing reliable published" }
                                }
                            }
                            td { (it.note) }
                        }
                    }
                }
            }
        }
    }
}
