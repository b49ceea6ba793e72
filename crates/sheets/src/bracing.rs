//! Whether a frame needs cross bars: the decision, the check that governs it, and all that
//! statics says beside it.

use maud::{Markup, html};
use planner::bracing::{Bracing, Check, CheckKind, Fewest, OtherSection, Statics};
use planner::figure::Figure;
use planner::formulas::{self, Formula};
use planner::frame::Part;
use planner::plan::CanvasPlan;
use planner::show::counted;
use quantity::Rounding;
use quantity::physics::Force;

use crate::largest::largest;
use crate::pen::Pen;
use crate::picture::Picture;

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
fn alike(all: &[CanvasPlan], canvas: usize) -> Vec<usize> {
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
        section.card.wide id={ "bracing-" (index) } {
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
            format!("{built}: computed, the fewest members that pass every check.")
        }
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
fn members(upright: u32, level: u32, braces: u32) -> String {
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

fn fewest_members(fewest: &Fewest) -> String {
    members(fewest.upright, fewest.level, fewest.braces)
}

const fn verdict(passes: bool) -> &'static str {
    if passes { "passes" } else { "fails" }
}

/// A check's name with the part that it is of.
pub(crate) fn of_part(kind: CheckKind, part: Option<Part>) -> String {
    match part {
        Some(part) => format!("{}, {}", kind.name(), part.name()),
        None => kind.name().to_owned(),
    }
}

/// Whether more is better, so that the limit is the least and not the most.
const fn is_least(kind: CheckKind) -> bool {
    matches!(kind, CheckKind::Buckling | CheckKind::Racking)
}

fn said<'a>(pen: &Pen<'a>, index: usize, bracing: &'a Bracing, statics: &'a Statics) -> Markup {
    html! {
        @if let Some(check) = statics.checks.first() { (governs(pen, check)) }
        @if let Some(change) = &statics.smallest_change {
            @if change.passes { p { "The smallest change that passes: " (fewest_members(change)) "." } }
            @else { p { "No bracing in this batten passes every check." } }
        }
        (rule(pen, bracing, statics))
        (Picture::Bowed(index).fold("The frame bowed by the cloth, exaggerated", false))
        details data-keep={ "bracing-checks-" (index) } {
            summary { "Every check" }
            (checks(pen, statics))
        }
        details data-keep={ "bracing-sections-" (index) } {
            summary { "A thicker or wider batten, a slacker or tauter cloth" }
            (sections(pen, statics))
            (pulls(pen, statics))
        }
        details data-keep={ "bracing-racking-" (index) } {
            summary { "Out of square, and cross bars as columns" }
            (racking(pen, statics))
            (columns(pen, statics))
        }
        details data-keep={ "bracing-fixings-" (index) } {
            summary { "Screws and pins: no engineering certificate" }
            (fixings(pen, statics))
        }
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
            (pen.figure("Limit", &check.limit)) " allowed. Margin: "
            (pen.figure("Share of the limit used", &check.used)) " of the limit is used, so it "
            strong { (verdict(check.passes())) } "."
            @if let Some([rigid, hinged]) = &check.between {
                " With rigid corners " (pen.figure("Rigid corners", rigid))
                ", with hinged ones " (pen.figure("Hinged corners", hinged))
                ": the truth lies between."
            }
        }
        p { "Source: " (check.found.how.formula.source) ". Limit: " (check.limit.how.formula.source) "." }
    }
}

/// The rule of thumb beside what statics says.
fn rule<'a>(pen: &Pen<'a>, bracing: &Bracing, statics: &'a Statics) -> Markup {
    let [upright, level] = bracing.rule;
    let fewest = &statics.fewest;
    let (says, asks) = (upright + level, fewest.upright + fewest.level);
    html! {
        p {
            "The rule of thumb"
            @if let Some(largest) = &pen.plan.largest {
                " (" (pen.figure("Longest side without cross bars, by rule", &largest.rule)) ")"
            }
            " says: " (members(upright, level, 0)) ". Statics asks for: "
            (fewest_members(fewest)) ", with " (pen.figure("Share of the limit used", &fewest.used))
            " of the limit used by " (of_part(fewest.governing, fewest.part))
            @if !fewest.passes { ", the best there is, which fails" }
            ". "
            @if [upright, level] == [fewest.upright, fewest.level] { "Both ask for the same cross bars." }
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
                            @if check.passes() { (verdict(true)) } @else { strong { (verdict(false)) } }
                        }
                    }
                }
            }
        }
        p { "Measured in the hardest case, which is the last of the columns of cases; the frame passes when no check uses more than all of its limit. Limits are settings: change them under Cut." }
    }
}

/// Face and depth of a section.
fn section(pen: &Pen<'_>, it: &OtherSection) -> String {
    let face = pen.plan.show.bare_length(it.face, Rounding::Nearest);
    format!("{face} × {}", pen.length(it.depth))
}

fn sections<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    let yes = |it: bool| if it { "passes" } else { "fails" };
    html! {
        @if !statics.other_sections.is_empty() {
            table.sections {
                thead { tr {
                    th scope="col" { "Batten, face × depth" }
                    th scope="col" { "No cross bars" } th scope="col" { "At most one" }
                    th scope="col" { "Fewest that pass" } th scope="col" { "What governs" }
                    th scope="col" { "Of the limit used" }
                    th scope="col" { "Bracing saved" } th scope="col" { "Wood in all" }
                } }
                tbody {
                    @for it in &statics.other_sections {
                        @let name = section(pen, it);
                        tr {
                            th scope="row" { (name) }
                            td { (yes(it.plain)) }
                            td { (yes(it.with_one)) }
                            td { @if it.fewest.passes { (fewest_members(&it.fewest)) } @else { "nothing passes; best: " (fewest_members(&it.fewest)) } }
                            td { (of_part(it.fewest.governing, it.fewest.part)) }
                            td.number { (pen.figure(&format!("{name}, of the limit used"), &it.fewest.used)) }
                            td.number { (pen.figure(&format!("{name}, batten saved in cross bars and braces"), &it.batten_saved)) }
                            td.number { (pen.figure(&format!("{name}, wood compared"), &it.wood)) }
                        }
                    }
                }
            }
            p { "“Bracing saved” is batten in cross bars and braces against the frame as built, negative where more is needed; “wood in all” is all its wood against all the wood of the frame as built." }
        }
    }
}

fn pulls<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    let all = std::iter::once(&statics.fewest).chain(&statics.at_other_pulls);
    html! {
        table.pulls {
            thead { tr {
                th scope="col" { "Pull of the cloth" } th scope="col" { "Fewest that pass" }
                th scope="col" { "What governs" } th scope="col" { "Of the limit used" }
            } }
            tbody {
                @for it in all {
                    tr {
                        th scope="row" { (pen.figure("Pull of the cloth", &it.pull)) }
                        td { @if it.passes { (fewest_members(it)) } @else { "nothing passes; best: " (fewest_members(it)) } }
                        td { (of_part(it.governing, it.part)) }
                        td.number { (pen.figure("Share of the limit used", &it.used)) }
                    }
                }
            }
        }
        p { "What cloth pulls is weakly known, so a slacker and a tauter one stand beside yours." }
    }
}

fn racking<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    let force = |name: &str, braced: bool, figure: &'a Figure<Force>| {
        html! {
            td.number {
                @if braced && figure.value.to_newtons() <= 0.0 { "no room for braces" }
                @else { (pen.figure(name, figure)) }
            }
        }
    };
    html! {
        table.racking {
            thead { tr {
                th scope="col" { "Force at a corner for 1 mm out of square" }
                th scope="col" { "Corners as hinges" } th scope="col" { "Corners rigid" }
            } }
            tbody {
                @for it in &statics.racking {
                    tr {
                        th scope="row" { @if it.braced { "with braces" } @else { "without braces" } }
                        (force("Racking force, corners as hinges", it.braced, &it.hinged))
                        (force("Racking force, corners rigid", it.braced, &it.rigid))
                    }
                }
            }
        }
    }
}

fn columns<'a>(pen: &Pen<'a>, statics: &'a Statics) -> Markup {
    html! {
        @if !statics.crossings.is_empty() {
            table.columns {
                thead { tr {
                    th scope="col" { "Cross bar" } th scope="col" { "Pressed by" }
                    th scope="col" { "Buckles by itself at" } th scope="col" { "Crossed at its middle" }
                } }
                tbody {
                    @for it in &statics.crossings {
                        @let name = it.part.name();
                        tr {
                            th scope="row" { (name) }
                            td.number { (pen.figure(&format!("{name}, thrust"), &it.compression)) }
                            td.number { (pen.figure(&format!("{name}, buckling by itself"), &it.alone)) }
                            td.number {
                                @match &it.crossed {
                                    Some(crossed) => { (pen.figure(&format!("{name}, buckling when crossed"), crossed)) }
                                    None => { "not crossed there" }
                                }
                            }
                        }
                    }
                }
            }
        }
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
