//! The bracing on the sheet: what governs, by how much and by which source; every number in it
//! is the Plan's.

use std::collections::BTreeSet;

use planner::bracing::{self, Check, CheckKind, Least, Statics};
use planner::{Draft, Figure, Plan, Stage, Value, plan};
use quantity::Rounding;
use roxmltree::{Document, Node};
use sheets::drawing::Layout;
use sheets::picture::Picture;
use sheets::{Sheet, how, how_in, sheet};

const SIZES: [[u32; 2]; 3] = [[1000, 800], [1800, 1200], [2400, 1800]];
const BATTENS: [[u32; 2]; 2] = [[38, 19], [50, 25]];

fn plan_of([width, height]: [u32; 2], [face, depth]: [u32; 2], more: &str) -> Plan {
    let json = format!(
        r#"{{"bar_face": "{face} mm", "bar_depth": "{depth} mm",
            "canvases": [{{"width": "{width} mm", "height": "{height} mm"{more}}}]}}"#
    );
    let tree = serde_json::from_str(&json).expect("the test's brief is JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert!(faults.is_empty(), "{faults:?}");
    plan(&draft)
}

/// Every size in every batten: computed, and as a maker says who wants no cross bar at all.
fn every_plan() -> Vec<Plan> {
    let mut all = Vec::new();
    for size in SIZES {
        for batten in BATTENS {
            all.push(plan_of(size, batten, ""));
            let bare = r#", "upright_bars": "0", "level_bars": "0", "braces": "no""#;
            all.push(plan_of(size, batten, bare));
        }
    }
    all
}

fn statics(plan: &Plan) -> &Statics {
    let statics = &plan.canvases[0].bracing.statics;
    statics.as_ref().expect("the bars leave an opening")
}

/// A figure as the planner shows it.
fn shown<T: Clone + Into<Value>>(plan: &Plan, figure: &Figure<T>) -> String {
    plan.show
        .value(&figure.value.clone().into(), &plan.currency)
}

/// Reads the sheet back as a tree and hands over the element with this id.
fn read(plan: &Plan, id: &str, test: impl FnOnce(Node<'_, '_>)) {
    let markup = format!("<div>{}</div>", sheet(plan, Sheet(Stage::Job)).0);
    let tree = Document::parse(&markup).expect("the sheet is well formed");
    let mut all = tree.descendants().filter(|n| n.attribute("id") == Some(id));
    test(all.next().expect("the sheet has it"));
}

/// Reads back what a fold holds once it is open.
fn opened(plan: &Plan, fold: Picture, test: impl FnOnce(Node<'_, '_>)) {
    let markup = format!("<div>{}</div>", fold.draw(plan, Layout::Wide, 0).0);
    test(
        Document::parse(&markup)
            .expect("the fold is well formed")
            .root_element(),
    );
}

fn text(node: Node<'_, '_>) -> String {
    let all: String = node
        .descendants()
        .filter(Node::is_text)
        .filter_map(|n| n.text())
        .collect();
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The cells of a table's body.
fn rows(card: Node<'_, '_>, class: &str) -> Vec<Vec<String>> {
    let body = card
        .descendants()
        .filter(|n| n.has_tag_name("table") && n.attribute("class") == Some(class))
        .flat_map(|table| table.children())
        .filter(|n| n.has_tag_name("tbody"));
    body.flat_map(|body| body.children())
        .map(|row| row.children().map(text).collect())
        .collect()
}

/// The sentences of a card: what stands in its own paragraphs, outside of tables and folds.
fn sentences(card: Node<'_, '_>) -> String {
    let all = card.children().filter(|n| n.has_tag_name("p")).map(text);
    all.collect::<Vec<_>>().join(" ")
}

/// Every run of digits with its decimals.
fn numbers(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !c.is_ascii_digit() && c != '.')
        .map(|n| n.trim_matches('.').to_owned())
        .filter(|n| !n.is_empty())
        .collect()
}

fn name(check: &Check) -> String {
    let part = check.part.map(|part| format!(", {}", part.name()));
    format!("{}{}", check.kind.name(), part.unwrap_or_default())
}

fn members(upright: u32, level: u32, braces: u32) -> Vec<String> {
    let parts = [
        (upright, "upright cross bar"),
        (level, "level cross bar"),
        (braces, "corner brace"),
    ];
    let all = parts.into_iter().filter(|(n, _)| *n > 0);
    all.map(|(n, one)| format!("{n} {one}")).collect()
}

#[track_caller]
fn says_members(text: &str, f: &Least) {
    for member in members(f.upright, f.level, f.braces) {
        assert!(text.contains(&member), "{member} in: {text}");
    }
    if f.upright + f.level + f.braces == 0 {
        assert!(text.contains("no cross bars"), "{text}");
    }
}

#[test]
fn the_sheet_names_what_governs_its_margin_and_its_source() {
    for plan in every_plan() {
        let statics = statics(&plan);
        let worst = statics.checks.iter().max_by(|a, b| {
            let used = |c: &Check| c.used.value.to_ratio();
            used(a).total_cmp(&used(b))
        });
        let worst = worst.expect("a frame has checks");
        read(&plan, "bracing-0", |card| {
            let said = sentences(card);
            let least = matches!(worst.kind, CheckKind::Buckling | CheckKind::Racking);
            let expected = format!(
                "What governs: {} ({}): {} found, {} {} allowed. {} of the limit is used, so it {} {}.",
                name(worst),
                plan.basis.pull.hardest().0.name(),
                shown(&plan, &worst.found),
                if least { "at least" } else { "at most" },
                shown(&plan, &worst.limit),
                shown(&plan, &worst.used),
                if worst.used.value.to_ratio() <= 1.0 {
                    "passes with a margin of"
                } else {
                    "fails by"
                },
                shown(&plan, &worst.margin),
            );
            assert!(said.contains(&expected), "{expected}\nin: {said}");
            let sources = format!(
                "Source: {}. Limit: {}.",
                worst.found.how.formula.source, worst.limit.how.formula.source
            );
            assert!(said.contains(&sources), "{sources}\nin: {said}");
            if let Some([rigid, hinged]) = &worst.between {
                let range = format!(
                    "With rigid corners {}, with hinged ones {}",
                    shown(&plan, rigid),
                    shown(&plan, hinged)
                );
                assert!(said.contains(&range), "{range}\nin: {said}");
            }
        });
    }
}

#[test]
fn the_decision_says_how_many_and_by_whom() {
    for size in SIZES {
        for batten in BATTENS {
            let plan = plan_of(size, batten, "");
            let bracing = &plan.canvases[0].bracing;
            let (u, l, b) = (&bracing.upright, &bracing.level, &bracing.braces);
            read(&plan, "bracing-0", |card| {
                let said = sentences(card);
                for member in members(u.value, l.value, b.value) {
                    assert!(said.contains(&member), "{member} in: {said}");
                }
                let by = if statics(&plan).passes {
                    "computed, the least batten that passes every check."
                } else {
                    "computed, the best there is; no bracing passes every check."
                };
                assert!(said.contains(by), "{said}");
                says_members(&said, &statics(&plan).least);
            });

            let bare = plan_of(size, batten, r#", "upright_bars": "1", "braces": "no""#);
            read(&bare, "bracing-0", |card| {
                let said = sentences(card);
                let by = "upright cross bars as the maker says, level cross bars computed, corner braces as the maker says.";
                assert!(said.contains(by), "{said}");
            });
        }
    }
}

#[test]
fn a_failing_choice_shows_the_smallest_change_that_passes() {
    let mut failing = 0;
    for plan in every_plan() {
        let statics = statics(&plan);
        read(&plan, "bracing-0", |card| {
            let said = sentences(card);
            match &statics.smallest_change {
                None => assert!(!said.contains("smallest change"), "{said}"),
                Some(change) if change.passes => {
                    failing += 1;
                    let (_, rest) = said
                        .split_once("The smallest change that passes: ")
                        .expect("the change is shown");
                    says_members(rest.split('.').next().unwrap_or_default(), change);
                }
                Some(_) => {
                    let other = match &statics.passing_section {
                        None => String::from("Nor does any in the other battens at hand."),
                        Some(other) => format!(
                            "Batten of {} × {} passes with",
                            plan.show.bare_length(other.face, Rounding::Nearest),
                            plan.show.length(other.depth)
                        ),
                    };
                    let says = format!("No bracing in this batten passes every check. {other}");
                    assert!(said.contains(&says), "{says}\nin: {said}");
                }
            }
        });
    }
    assert!(failing > 0, "no plan of the test fails");
}

#[test]
fn the_table_of_checks_is_the_plans() {
    for plan in every_plan() {
        let statics = statics(&plan);
        let has_rise = plan.basis.pull.with_rise.is_some();
        let expected: Vec<Vec<String>> = statics
            .checks
            .iter()
            .map(|c| {
                let between = c.between.as_ref().map(|[rigid, hinged]| {
                    format!("{} to {}", shown(&plan, rigid), shown(&plan, hinged))
                });
                let least = match c.kind {
                    CheckKind::Buckling | CheckKind::Racking => "at least ",
                    _ => "",
                };
                let mut row = vec![name(c), shown(&plan, &c.stretched)];
                if has_rise {
                    row.push(shown(&plan, &c.found));
                }
                row.extend([
                    between.unwrap_or_default(),
                    format!("{least}{}", shown(&plan, &c.limit)),
                    shown(&plan, &c.used),
                    if c.passes() {
                        "passes".into()
                    } else if c.kind == CheckKind::Racking {
                        "racks easily".into()
                    } else {
                        "fails".into()
                    },
                ]);
                row
            })
            .collect();
        read(&plan, "bracing-0", |card| {
            assert_eq!(rows(card, "checks"), expected)
        });
    }
}

#[test]
fn the_other_tables_are_the_plans() {
    for plan in every_plan() {
        let statics = statics(&plan);
        let yes = |it: bool| if it { "passes" } else { "fails" };
        opened(&plan, Picture::Sections(0), |card| {
            let sections = rows(card, "sections");
            let others = bracing::other_sections(&plan, 0);
            assert_eq!(sections.len(), others.len());
            for (row, it) in sections.iter().zip(&others) {
                let face = plan.show.bare_length(it.face, Rounding::Nearest);
                assert_eq!(row[0], format!("{face} × {}", plan.show.length(it.depth)));
                assert_eq!([&row[1], &row[2]], [yes(it.plain), yes(it.with_one)]);
                says_members(&row[3], &it.least);
                assert_eq!(row[3].contains("nothing passes"), !it.least.passes);
                assert!(row[4].contains(it.least.governing.name()), "{row:?}");
                assert_eq!(row[5], shown(&plan, &it.least.used));
                assert_eq!(row[6], shown(&plan, &it.batten_saved));
                assert_eq!(row[7], shown(&plan, &it.wood));
            }

            let pulls = rows(card, "pulls");
            let others = bracing::other_pulls(&plan, 0);
            let all = [&statics.least].into_iter().chain(&others);
            assert_eq!(pulls.len(), 1 + others.len());
            for (row, it) in pulls.iter().zip(all) {
                assert_eq!(row[0], shown(&plan, &it.pull));
                says_members(&row[1], it);
                assert!(row[2].contains(it.governing.name()), "{row:?}");
                assert_eq!(row[3], shown(&plan, &it.used));
            }
        });
        opened(&plan, Picture::Racking(0), |card| {
            let [plain, braced] = &bracing::racking(&plan, 0).expect("a frame");
            let racking = [("without braces", plain), ("with braces", braced)].map(|(name, it)| {
                vec![
                    name.into(),
                    shown(&plan, &it.hinged),
                    shown(&plan, &it.rigid),
                ]
            });
            assert_eq!(rows(card, "racking"), racking);

            let columns: Vec<Vec<String>> = statics
                .crossings
                .iter()
                .map(|it| {
                    let crossed = it.crossed.as_ref().map(|crossed| shown(&plan, crossed));
                    vec![
                        it.part.name().into(),
                        shown(&plan, &it.compression),
                        shown(&plan, &it.alone),
                        crossed.unwrap_or_else(|| "not crossed there".into()),
                    ]
                })
                .collect();
            assert_eq!(rows(card, "columns"), columns);
        });
        read(&plan, "bracing-0", |card| {
            let fixings: Vec<Vec<String>> = statics
                .joints
                .iter()
                .map(|it| {
                    let holds = it.holds.as_ref().map(|holds| shown(&plan, holds));
                    vec![
                        it.joint.into(),
                        it.fastener.into(),
                        shown(&plan, &it.force),
                        holds.unwrap_or_else(|| "nothing reliable published".into()),
                        it.note.into(),
                    ]
                })
                .collect();
            assert_eq!(rows(card, "fixings"), fixings);
            assert!(text(card).contains(statics.deferral));
        });
    }
}

#[test]
fn a_cross_bar_that_makes_the_largest_frame_smaller_is_explained() {
    // Squares in the usual batten are larger without a cross bar than with one; oblongs are not.
    for (size, smaller) in [([1000, 1000], true), ([1500, 500], false)] {
        let plan = plan_of(size, [45, 20], "");
        let sides = bracing::largest(&plan).expect("a frame").sides;
        let [none, one] = [0, 1].map(|i| sides[i].longest.as_ref().expect("some passes").value);
        assert_eq!(one < none, smaller, "{size:?}");
        opened(&plan, Picture::Largest, |fold| {
            assert_eq!(text(fold).contains("has to be smaller here"), smaller);
        });
    }
}

#[test]
fn the_largest_frames_are_the_plans() {
    for plan in every_plan() {
        let largest = bracing::largest(&plan).expect("a frame of any size");
        let none = || String::from("no size passes");
        opened(&plan, Picture::Largest, |card| {
            let rows = rows(card, "largest");
            assert_eq!(rows.len(), largest.sides.len());
            for (row, it) in rows.iter().zip(&largest.sides) {
                assert_eq!(row[0], it.cross_bars.to_string());
                let side = |f: &Option<_>| f.as_ref().map_or_else(none, |f| shown(&plan, f));
                assert_eq!([&row[1], &row[5]], [&side(&it.longest), &side(&it.by_bow)]);
                let [longer, shorter] = it.dividing;
                for (n, way) in [
                    (longer, "across the longer side"),
                    (shorter, "across the shorter"),
                ] {
                    let said = row[2].contains(&format!("{n} cross bar")) && row[2].contains(way);
                    assert_eq!(said, n > 0, "{row:?}");
                }
                assert_eq!(row[2].contains("4 corner braces"), it.braces > 0, "{row:?}");
                if it.braces > 0 {
                    assert_eq!(row[3], side(&it.unbraced));
                }
                if let Some(kind) = it.stopped_by {
                    assert!(row[4].contains(kind.name()), "{row:?}");
                }
            }
        });
        read(&plan, "bracing-largest", |card| {
            assert!(sentences(card).contains(&shown(&plan, &plan.basis.rule)));
        });
    }
}

/// Numbers of the sentences that are in no figure, count or source of the Plan would be the
/// sheet's own.
#[test]
fn no_number_of_the_sentences_is_the_sheets_own() {
    for plan in every_plan() {
        let statics = statics(&plan);
        let bracing = &plan.canvases[0].bracing;
        let mut known = BTreeSet::new();
        let mut know = |said: String| known.extend(numbers(&said));
        know(plan.canvases[0].name.clone());
        if let Some(check) = statics.checks.first() {
            know(shown(&plan, &check.found));
            know(shown(&plan, &check.limit));
            know(shown(&plan, &check.used));
            know(shown(&plan, &check.margin));
            if let Some(carries) = &check.carries {
                know(shown(&plan, carries));
                know(shown(&plan, plan.basis.pull.hardest().1));
            }
            check
                .between
                .iter()
                .flatten()
                .for_each(|f| know(shown(&plan, f)));
            know(check.found.how.formula.source.into());
            know(check.limit.how.formula.source.into());
        }
        for n in [&bracing.upright, &bracing.level, &bracing.braces] {
            know(n.value.to_string());
        }
        for least in [&statics.least].into_iter().chain(&statics.smallest_change) {
            for n in [least.upright, least.level, least.braces] {
                know(n.to_string());
            }
            know(shown(&plan, &least.used));
        }
        if let Some(other) = &statics.passing_section {
            know(plan.show.bare_length(other.face, Rounding::Nearest));
            know(plan.show.length(other.depth));
            for n in [other.least.upright, other.least.level, other.least.braces] {
                know(n.to_string());
            }
        }
        bracing.rule.iter().for_each(|n| know(n.to_string()));
        know(shown(&plan, &plan.basis.rule));
        read(&plan, "bracing-0", |card| {
            let said = sentences(card);
            let own: Vec<_> = numbers(&said).difference(&known).cloned().collect();
            assert!(own.is_empty(), "{own:?} in: {said}");
        });
    }
}

/// Every figure of a card opens: `ask` answers how the n-th was reached.
fn all_open(card: Node<'_, '_>, least: usize, ask: impl Fn(usize) -> Option<sheets::Markup>) {
    let buttons: Vec<_> = card
        .descendants()
        .filter(|n| n.attribute("class") == Some("figure"))
        .collect();
    assert!(buttons.len() >= least, "{} figures", buttons.len());
    for button in buttons {
        let n = button.attribute("data-how").and_then(|n| n.parse().ok());
        let how = ask(n.expect("a number")).expect("the figure has a way");
        let value = format!("<p class=\"how-value\">{}</p>", text(button));
        let how = how.into_string();
        assert!(how.contains(&value), "{value} in: {how}");
    }
}

#[test]
fn every_figure_opens_how_it_was_reached() {
    let plan = plan_of(SIZES[1], BATTENS[0], "");
    for (id, least) in [("bracing-0", 20), ("bracing-largest", 10)] {
        read(&plan, id, |card| {
            all_open(card, least, |n| how(&plan, Sheet(Stage::Job), n))
        });
    }
    for (fold, least) in [
        (Picture::Largest, 5),
        (Picture::Sections(0), 10),
        (Picture::Racking(0), 5),
    ] {
        opened(&plan, fold, |card| {
            all_open(card, least, |n| how_in(&plan, fold, n))
        });
        assert!(how_in(&plan, fold, 999).is_none());
    }
}

#[test]
fn what_another_batten_costs_stands_beside_it() {
    let tree = r#"{"bar_face": "38 mm", "bar_depth": "19 mm", "currency": "£",
        "canvases": [{"width": "1000 mm", "height": "800 mm"}],
        "boards": [{"length": "2.4 m", "price": "3.00"}],
        "other_sections": "50 x 25 mm at 2.10, 63 x 38 mm"}"#;
    let tree = serde_json::from_str(tree).expect("the test's brief is JSON");
    let plan = plan(&Draft::from_tree(&tree).0);
    // By hand in the planner's tests: 2.67 more, the same at 1.49; 1.82 for the other.
    opened(&plan, Picture::Sections(0), |card| {
        let rows = rows(card, "sections");
        assert_eq!(rows[0][8..], ["£2.67 more", "£1.49"]);
        assert_eq!(rows[1][8..], ["no price given", "£1.82"]);
    });
}

#[test]
fn frames_braced_alike_are_told_once() {
    let tree = r#"{"canvases": [
        {"name": "A", "width": "1000 mm", "height": "800 mm"},
        {"name": "B", "width": "1000 mm", "height": "800 mm"},
        {"name": "C", "width": "600 mm", "height": "500 mm"}]}"#;
    let tree = serde_json::from_str(tree).expect("the test's brief is JSON");
    let plan = plan(&Draft::from_tree(&tree).0);
    let markup = sheet(&plan, Sheet(Stage::Job)).into_string();
    assert!(markup.contains("id=\"bracing-0\"") && markup.contains("id=\"bracing-2\""));
    assert!(!markup.contains("id=\"bracing-1\""));
    assert!(markup.contains("<h4>A, B</h4>"), "{markup}");
}

#[test]
fn the_drawings_open_from_their_cards() {
    let plan = plan_of(SIZES[1], BATTENS[0], "");
    for (id, name) in [("bracing-0", "bowed-0"), ("bracing-largest", "bowplot")] {
        read(&plan, id, |card| {
            let mut folds = card
                .descendants()
                .filter_map(|n| n.attribute("data-picture"));
            let said = folds
                .find(|said| *said == name)
                .expect("the card has the drawing");
            let picture: Picture = said.parse().expect("a drawing");
            let drawing = picture.draw(&plan, Layout::Wide, 0).into_string();
            assert!(drawing.starts_with("<svg"), "{drawing}");
        });
    }
}

#[test]
fn the_printed_sheet_has_what_governs_its_margin_and_its_source() {
    for plan in every_plan() {
        let statics = statics(&plan);
        let worst = &statics.checks[0];
        let sheet = sheets::print::job_sheet(&plan, "https://example.org/#1.q1Y", "2 March 2026");
        let document = Document::parse(&sheet.0).expect("a well-formed sheet");
        let all = document.descendants();
        let mut parts = all.filter(|n| n.attribute("class") == Some("job-statics"));
        let part = parts.next().expect("what statics says");
        let row = part.descendants().filter(|n| n.has_tag_name("tr")).nth(1);
        let row: Vec<String> = row.expect("a line").children().map(text).collect();
        let b = &plan.canvases[0].bracing;
        for member in members(b.upright.value, b.level.value, b.braces.value) {
            assert!(row[1].contains(&member), "{row:?}");
        }
        let least = match worst.kind {
            CheckKind::Buckling | CheckKind::Racking => "at least ",
            _ => "",
        };
        let verdict = if statics.passes { "passes" } else { "fails" };
        assert_eq!(
            row[2..],
            [
                name(worst),
                shown(&plan, &worst.found),
                format!("{least}{}", shown(&plan, &worst.limit)),
                format!("{}, {verdict}", shown(&plan, &worst.used)),
            ]
        );
        for source in [&worst.found.how, &worst.limit.how].map(|how| how.formula.source) {
            assert!(text(part).contains(source), "{source}");
        }
    }
}

#[test]
fn the_short_answer_says_what_fails_and_leads_there() {
    let bare = r#", "upright_bars": "0", "level_bars": "0", "braces": "no""#;
    let fails = plan_of(SIZES[1], BATTENS[1], bare);
    let answer = sheets::answer::answer(&fails).into_string();
    let worst = &statics(&fails).checks[0];
    let said = format!(
        "<a href=\"#bracing-0\">{} fails by {}: {} of the limit</a>",
        fails.canvases[0].name,
        name(worst),
        shown(&fails, &worst.used)
    );
    assert!(answer.contains(&said), "{said}\nin: {answer}");
    read(&fails, "bracing-0", |card| {
        assert!(card.attribute("tabindex").is_some())
    });
    assert!(sheets::answer::spoken(&fails).contains("fails by"));

    let passes = plan_of(SIZES[0], BATTENS[1], "");
    assert!(statics(&passes).passes);
    assert!(!sheets::answer::answer(&passes).0.contains("bracing-"));
    assert!(!sheets::answer::spoken(&passes).contains("fails"));
}
