//! The drawings: no text over another or off the sheet, figures as the plan has them, and
//! snapshots that guard against unseen change.

mod drawing_grid;

use std::fs;
use std::path::PathBuf;

use drawing_grid::{PLANS, drawings, grid_plan, plan_of};
use planner::Plan;
use planner::bracing;
use planner::frame::{MarkKind, Part};
use quantity::{Length, Rounding};
use roxmltree::{Document, Node};
use sheets::drawing::{self, Layout, TEXT, TextBox, Weight, box_of};

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name);
    text.and_then(|t| t.parse().ok())
        .unwrap_or_else(|| panic!("{name} of {node:?} is no number"))
}

fn view(svg: Node<'_, '_>) -> TextBox {
    let text = svg
        .attribute("viewBox")
        .expect("every drawing has a view box");
    let n: Vec<f64> = text
        .split(' ')
        .map(|x| x.parse().expect("numbers"))
        .collect();
    TextBox {
        x: n[0],
        y: n[1],
        w: n[2],
        h: n[3],
    }
}

/// Every text with its estimated box.
fn texts(document: &Document<'_>) -> Vec<(String, TextBox)> {
    let all = document.descendants().filter(|n| n.has_tag_name("text"));
    all.map(|node| {
        let text = node.text().unwrap_or_default().to_owned();
        let weight = match node.attribute("font-weight") {
            Some(_) => Weight::Bold,
            None => Weight::Plain,
        };
        let start = match node.attribute("text-anchor") {
            Some("middle") => 0.5,
            Some("end") => 1.0,
            _ => 0.0,
        };
        let at = (number(node, "x"), number(node, "y"));
        let found = box_of(&text, number(node, "font-size"), weight, at, start);
        (text, found)
    })
    .collect()
}

/// What is wrong with the texts of a drawing.
fn text_faults(svg: &str) -> Vec<String> {
    let document = match Document::parse(svg) {
        Ok(document) => document,
        Err(error) => return vec![format!("not well-formed: {error}")],
    };
    let paper = view(document.root_element());
    let texts = texts(&document);
    let mut faults = Vec::new();
    for (i, (text, found)) in texts.iter().enumerate() {
        if !found.is_within(&paper) {
            faults.push(format!("{text:?} is off the sheet"));
        }
        for (other, taken) in &texts[..i] {
            // The numbers in the file are rounded to a thousandth.
            let shrunk = TextBox {
                x: found.x + 0.005,
                y: found.y + 0.005,
                w: found.w - 0.01,
                h: found.h - 0.01,
            };
            if shrunk.overlaps(taken) {
                faults.push(format!("{text:?} lies over {other:?}"));
            }
        }
    }
    faults
}

#[test]
fn the_check_sees_an_overlap_and_a_clipped_text() {
    let svg = r#"<svg viewBox="0 0 100 20"><text x="1" y="10" font-size="4">1000</text>
        <text x="5" y="11" font-size="4">800</text><text x="98" y="15" font-size="4">1</text></svg>"#;
    assert_eq!(
        text_faults(svg),
        ["\"800\" lies over \"1000\"", "\"1\" is off the sheet"]
    );
}

#[test]
fn no_text_over_another_or_off_the_sheet_in_200_plans() {
    let mut faults = Vec::new();
    let (mut drawn, mut frames) = (0, 0);
    for n in 0..PLANS {
        let plan = grid_plan(n);
        frames += usize::from(plan.canvases[0].frame.is_some());
        for (name, svg) in drawings(&plan) {
            drawn += 1;
            let found = text_faults(&svg);
            faults.extend(found.iter().map(|f| format!("plan {n}, {name}: {f}")));
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
    // The grid must not pass because its plans can't be built.
    assert!(
        frames > PLANS * 4 / 5 && drawn > 20 * PLANS,
        "{frames} frames, {drawn} drawings"
    );
}

#[test]
fn text_is_never_smaller_than_can_be_read() {
    for n in [0, 27, 67, 141] {
        for (name, svg) in drawings(&grid_plan(n)) {
            let document = Document::parse(&svg).expect("well-formed");
            for node in document.descendants().filter(|n| n.has_tag_name("text")) {
                // A long length on a label is the one text that may shrink a little.
                let least = if name.starts_with("labels") {
                    3.5
                } else {
                    TEXT
                };
                assert!(
                    number(node, "font-size") >= least,
                    "plan {n}, {name}: {node:?}"
                );
            }
        }
    }
}

#[test]
fn no_drawing_needs_an_inline_style_or_an_identifier() {
    for (name, svg) in drawings(&grid_plan(9)) {
        let document = Document::parse(&svg).expect("well-formed");
        for node in document.descendants() {
            assert_eq!(node.attribute("style"), None, "{name}");
            assert_eq!(node.attribute("id"), None, "{name}");
        }
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"), "{name}");
        for part in ["title", "desc"] {
            let told = root.children().find(|n| n.has_tag_name(part));
            let told = told.and_then(|n| n.text()).unwrap_or_default();
            assert!(told.len() > 4, "{name} has no {part}");
        }
    }
}

fn workshop() -> Plan {
    plan_of(
        r#"{"canvases":[{"width":"1000 mm","height":"800 mm"},{"name":"long one","width":"1500 mm","height":"500 mm","count":2}],
            "boards":[{"length":"2400 mm"},{"length":"3600 mm"},{"of":"bead","length":"2400 mm"}],
            "rolls":[{"width":"2100 mm"}],"day":"2027-03-01","bracing_by":"rule"}"#,
    )
}

/// The points of a path of straight lines.
fn points(d: &str) -> Vec<(f64, f64)> {
    d.split(['M', 'L', 'Z'])
        .filter(|p| !p.is_empty())
        .map(|p| {
            let (x, y) = p.split_once(' ').expect("two numbers");
            (x.parse().expect("a number"), y.parse().expect("a number"))
        })
        .collect()
}

/// Left, right, top and bottom of each path of a class.
fn extents(document: &Document<'_>, class: &str) -> Vec<[f64; 4]> {
    let of_class = |n: &Node<'_, '_>| n.attribute("class") == Some(class);
    let paths = document.descendants().filter(of_class);
    paths
        .filter_map(|n| n.attribute("d"))
        .map(|d| {
            let p = points(d);
            let low = |f: fn(&(f64, f64)) -> f64| p.iter().map(f).fold(f64::INFINITY, f64::min);
            let high =
                |f: fn(&(f64, f64)) -> f64| p.iter().map(f).fold(f64::NEG_INFINITY, f64::max);
            [low(|q| q.0), high(|q| q.0), low(|q| q.1), high(|q| q.1)]
        })
        .collect()
}

#[test]
fn the_frame_is_drawn_to_scale_and_says_the_plans_figures() {
    let plan = workshop();
    for (i, canvas) in plan.canvases.iter().enumerate() {
        let frame = canvas.frame.as_ref().expect("it can be built");
        let svg = drawing::frame_back(&plan, i, Layout::Wide).into_string();
        let document = Document::parse(&svg).expect("well-formed");
        let bars = extents(&document, "d-wood");
        let left = bars.iter().map(|b| b[0]).fold(f64::INFINITY, f64::min);
        let right = bars.iter().map(|b| b[1]).fold(f64::NEG_INFINITY, f64::max);
        let scale = (right - left) / frame.outer_width.value.to_mm();
        let high = bars.iter().map(|b| b[3]).fold(f64::NEG_INFINITY, f64::max);
        // Numbers are written to a thousandth of a unit.
        assert!((high - frame.outer_height.value.to_mm() * scale).abs() < 0.002);

        let wanted: Vec<f64> = frame.members[0]
            .marks
            .iter()
            .filter(|m| m.what.contains(&MarkKind::HousingMiddle))
            .map(|m| left + m.at.to_mm() * scale)
            .collect();
        let uprights: Vec<f64> = extents(&document, "d-over")
            .iter()
            .filter(|b| (b[3] - b[2]) > 0.99 * high)
            .map(|b| f64::midpoint(b[0], b[1]))
            .collect();
        assert_eq!(uprights.len(), wanted.len());
        for (drawn, wanted) in uprights.iter().zip(&wanted) {
            assert!((drawn - wanted).abs() < 0.002, "{drawn} for {wanted}");
        }

        let said: Vec<String> = texts(&document).into_iter().map(|t| t.0).collect();
        let bare = |x: Length| plan.show.bare_length(x, Rounding::Nearest);
        let mut figures = vec![
            bare(frame.outer_width.value),
            bare(frame.outer_height.value),
        ];
        for part in [Part::TopBottom, Part::Side] {
            let member = frame
                .members
                .iter()
                .find(|m| m.part == part)
                .expect("a bar");
            let middles = member.marks.iter();
            figures.extend(
                middles
                    .filter(|m| m.what.contains(&MarkKind::HousingMiddle))
                    .map(|m| bare(m.at)),
            );
        }
        for figure in figures {
            assert!(said.contains(&figure), "{figure} is not among {said:?}");
        }
        // Plain numbers that stand alone are figures of the plan: nothing else is written.
        let known: Vec<String> = frame
            .members
            .iter()
            .flat_map(|m| m.marks.iter().map(|k| bare(k.at)))
            .chain([
                bare(frame.outer_width.value),
                bare(frame.outer_height.value),
                bare(frame.diagonal.value),
            ])
            .collect();
        for number in said.iter().filter(|t| t.parse::<f64>().is_ok()) {
            assert!(known.contains(number), "{number} is no figure of the plan");
        }
    }
}

/// Number in front of a word in the first text that has it.
fn number_before(said: &[(String, TextBox)], word: &str) -> f64 {
    let text = said
        .iter()
        .map(|t| t.0.as_str())
        .collect::<Vec<_>>()
        .join(" ");
    let before = text.split(word).next().unwrap_or_default().trim_end();
    let number = before.rsplit(' ').next().unwrap_or_default();
    number
        .parse()
        .unwrap_or_else(|_| panic!("no number before {word:?} in {text}"))
}

#[test]
fn the_bow_is_drawn_as_many_times_too_large_as_is_said() {
    let plan = workshop();
    for (i, canvas) in plan.canvases.iter().enumerate() {
        let svg = drawing::bowed(&plan, i, Layout::Wide).into_string();
        let document = Document::parse(&svg).expect("well-formed");
        let factor = number_before(&texts(&document), "times as large");
        let frame = canvas.frame.as_ref().expect("it can be built");
        let wood = extents(&document, "d-wood")[0];
        let scale = (wood[1] - wood[0]) / frame.outer_width.value.to_mm();
        let shapes = bracing::bowed(&plan, i).expect("an opening");
        for (bowed, class) in shapes.iter().zip(["d-hinged", "d-rigid"]) {
            let lines: Vec<Vec<(f64, f64)>> = document
                .descendants()
                .filter(|n| n.attribute("class") == Some(class))
                .filter_map(|n| n.attribute("d").map(points))
                .collect();
            // One line for each member, and the sample in the notes.
            assert_eq!(lines.len(), bowed.members.len() + 1);
            for (line, member) in lines.iter().zip(&bowed.members) {
                assert_eq!(line.len(), member.points.len());
                for ((x, y), p) in line.iter().zip(&member.points) {
                    let right = (x - wood[0]) / scale - p.x.to_mm();
                    let up = (wood[3] - y) / scale - p.y.to_mm();
                    // Numbers in the file are rounded to a thousandth of a unit.
                    let close = 0.003 / scale;
                    assert!((right - p.right.to_mm() * factor).abs() < close);
                    assert!((up - p.up.to_mm() * factor).abs() < close);
                }
            }
        }
    }
}

#[test]
fn hinged_and_rigid_differ_without_colour_and_the_spot_is_marked_in_every_plan() {
    let (mut marked, mut seen) = (0, 0);
    for n in 0..PLANS {
        let plan = grid_plan(n);
        let canvas = &plan.canvases[0];
        let (Some(_), Some(statics)) = (&canvas.frame, &canvas.bracing.statics) else {
            continue;
        };
        seen += 1;
        let svg = drawing::bowed(&plan, 0, Layout::Wide).into_string();
        let document = Document::parse(&svg).expect("well-formed");
        for node in document.descendants() {
            let dashes = node.attribute("stroke-dasharray");
            match node.attribute("class") {
                Some("d-hinged") => assert_eq!(dashes, None, "plan {n}"),
                Some("d-rigid") => assert!(dashes.is_some(), "plan {n}"),
                _ => {}
            }
        }
        if statics.checks[0].at.is_some() {
            marked += 1;
            let letters = texts(&document).iter().filter(|t| t.0 == "X").count();
            assert_eq!(letters, 2, "plan {n}: at the spot and before its note");
        }
    }
    assert!(marked > PLANS / 2, "{marked} of {seen} have a spot");
}

/// Where a number lies on an axis: its outer ticks say so, and those between must agree.
fn axis(ticks: &[(f64, f64)]) -> impl Fn(f64) -> f64 + use<> {
    let ((n0, at0), (n1, at1)) = (ticks[0], ticks[ticks.len() - 1]);
    let place = move |n: f64| at0 + (at1 - at0) * (n - n0) / (n1 - n0);
    for (n, at) in ticks {
        assert!((place(*n) - at).abs() < 0.01, "tick {n} lies at {at}");
    }
    place
}

#[test]
fn the_plot_has_curve_limit_rule_and_frame_where_its_axes_say() {
    let small = r#""canvases":[{"width":"700 mm","height":"500 mm"}]"#;
    let large = r#""canvases":[{"width":"1800 mm","height":"1200 mm"}]"#;
    for (settings, in_mm) in [("", 1.0), (r#""units":"imperial","#, 25.4)] {
        for canvases in [small, large] {
            let plan = plan_of(&format!("{{{settings}{canvases}}}"));
            let largest = bracing::largest(&plan).expect("a frame");
            let curve = bracing::largest::curve(&plan, &largest);
            let svg = drawing::bow_plot(&plan, Layout::Wide).into_string();
            let document = Document::parse(&svg).expect("well-formed");
            let nodes = document.descendants().filter(|n| n.has_tag_name("text"));
            let ticks = |anchor: &str, place: &str| -> Vec<(f64, f64)> {
                nodes
                    .clone()
                    .filter(|n| n.attribute("text-anchor") == Some(anchor))
                    .filter_map(|n| Some((n.text()?.parse().ok()?, number(n, place))))
                    .collect()
            };
            // Texts are centred on their tick: 0.345 of their size above the baseline.
            let across = axis(&ticks("middle", "x"));
            let up = axis(&ticks("end", "y"));
            let up = |bow: f64| up(bow) - 0.345 * TEXT;
            let line = |class: &str| {
                let all = document
                    .descendants()
                    .filter(|n| n.attribute("class") == Some(class));
                let mut all = all.filter_map(|n| n.attribute("d").map(points));
                all.next().expect("a line")
            };
            let limit: Vec<_> = curve.iter().map(|p| p.limit.to_mm()).collect();
            let hinged: Vec<_> = curve.iter().map(|p| p.hinged.to_mm()).collect();
            let rigid: Vec<_> = curve.iter().map(|p| p.rigid.to_mm()).collect();
            for (class, bows) in [("d-limit", limit), ("d-hinged", hinged), ("d-rigid", rigid)] {
                let drawn = line(class);
                let mut followed = 0;
                for (((x, y), p), bow) in drawn.iter().zip(&curve).zip(bows) {
                    // The last point may be where the line leaves the plot at the top.
                    if *y == 0.0 {
                        break;
                    }
                    followed += 1;
                    assert!((x - across(p.side.to_mm() / in_mm)).abs() < 0.01, "{class}");
                    assert!((y - up(bow / in_mm)).abs() < 0.01, "{class}");
                }
                assert!(followed > 5, "{class} has only {followed} points");
            }
            let said = texts(&document);
            for (class, x, name) in [
                ("d-hidden", plan.basis.rule.value, "rule of thumb"),
                ("d-edge", largest.side, "your frame"),
            ] {
                let wanted = across(x.to_mm() / in_mm);
                let lines = extents(&document, class);
                let upright = lines.iter().filter(|l| l[0] == l[1] && l[3] - l[2] > 50.0);
                let near = upright
                    .map(|l| (l[0] - wanted).abs())
                    .fold(f64::MAX, f64::min);
                assert!(near < 0.01, "{name}: {near} away");
                let text = format!("{name}: {}", plan.show.length(x));
                assert!(said.iter().any(|(t, _)| *t == text), "no {text}");
            }
        }
    }
}

#[test]
fn boards_show_each_piece_where_the_plan_cuts_it() {
    let plan = workshop();
    let bought = plan.boards.as_ref().expect("a plan for the boards");
    let longest = bought
        .boards
        .iter()
        .chain(&plan.bead.as_ref().expect("bead").boards)
        .map(|b| b.length.to_mm())
        .fold(0.0, f64::max);
    let scale = (Layout::Wide.width() - 3.0) / longest;
    let each = drawing::boards_each(&plan);
    for (board, svg) in bought.boards.iter().zip(each) {
        let svg = svg.into_string();
        let document = Document::parse(&svg).expect("well-formed");
        let drawn = extents(&document, "d-wood");
        assert_eq!(drawn.len(), board.pieces.len());
        for (piece, at) in board.pieces.iter().zip(drawn) {
            let (left, right) = (piece.at.to_mm(), (piece.at + piece.length).to_mm());
            assert!((at[0] - 1.5 - left * scale).abs() < 0.002);
            assert!((at[1] - 1.5 - right * scale).abs() < 0.002);
            let mark = plan
                .show
                .bare_length(piece.at + piece.length, Rounding::Nearest);
            let said = texts(&document);
            assert!(
                said.iter()
                    .any(|(t, _)| t.split([' ', ',']).any(|w| w == mark)),
                "no {mark} in {said:?}"
            );
        }
    }
}

#[test]
fn full_size_rods_have_every_mark_at_its_true_place() {
    let plan = workshop();
    let member = &plan.canvases[0].frame.as_ref().expect("a frame").members[0];
    let mut seen = Vec::new();
    for page in drawing::rod_tiles(&plan, 0, 0, drawing::Paper::A4) {
        let svg = page.into_string();
        let document = Document::parse(&svg).expect("well-formed");
        let root = document.root_element();
        // One unit is one millimetre of paper.
        let paper = view(root);
        assert_eq!(
            root.attribute("width"),
            Some(format!("{}mm", paper.w).as_str())
        );
        assert_eq!(
            root.attribute("height"),
            Some(format!("{}mm", paper.h).as_str())
        );
        for node in document.descendants() {
            if let Some(at) = node.attribute("data-mark") {
                seen.push(at.parse::<i64>().expect("nanometres"));
            }
        }
    }
    for mark in &member.marks {
        assert!(seen.contains(&mark.at.as_nm()), "{}", mark.at);
    }
}

#[test]
fn no_line_to_a_name_on_a_rod_crosses_another_name() {
    let mut seen = 0;
    for n in 0..PLANS {
        for (name, svg) in drawings(&grid_plan(n)) {
            if !(name.starts_with("rod") && name.contains("A4")) {
                continue;
            }
            let document = Document::parse(&svg).expect("well-formed");
            let texts = texts(&document);
            let thin = |n: &Node<'_, '_>| n.attribute("stroke-width") == Some("0.1");
            for node in document.descendants().filter(thin) {
                // Straight up or down: M x y V y.
                let d = node.attribute("d").unwrap_or_default();
                let numbers: Vec<f64> = d
                    .split(['M', 'V', ' '])
                    .filter_map(|p| p.parse().ok())
                    .collect();
                let [x, from, to] = numbers[..] else {
                    panic!("{d} is no straight line");
                };
                seen += 1;
                let line = TextBox {
                    x: x - 0.05,
                    y: from.min(to),
                    w: 0.1,
                    h: (to - from).abs(),
                };
                for (text, found) in &texts {
                    // Its own text begins where the line ends, above the letters.
                    let letters = TextBox {
                        y: found.y + 0.9,
                        h: found.h - 1.8,
                        ..*found
                    };
                    assert!(
                        !line.overlaps(&letters),
                        "plan {n}, {name}: {text:?} at {x}"
                    );
                }
            }
        }
    }
    assert!(seen > 10 * PLANS, "only {seen} lines");
}

/// All numbers in the texts of drawings, those of a run ("5 – 6") one by one.
fn numbers_in(drawings: &[String]) -> Vec<usize> {
    let mut all = Vec::new();
    for svg in drawings {
        let document = Document::parse(svg).expect("well-formed");
        for (text, _) in texts(&document) {
            let ends: Vec<usize> = text.split(" – ").filter_map(|n| n.parse().ok()).collect();
            match ends[..] {
                [n] => all.push(n),
                [a, b] => all.extend(a..=b),
                _ => {}
            }
        }
    }
    all
}

#[test]
fn every_staple_has_its_number_in_the_still() {
    let mut with_strips = 0;
    for n in 0..PLANS {
        let plan = grid_plan(n);
        let Some(staples) = &plan.canvases[0].staples else {
            continue;
        };
        let count: usize = staples.order.iter().map(|s| s.places.len()).sum();
        let still: Vec<String> = drawing::stapling_each(&plan, 0)
            .into_iter()
            .map(|d| d.into_string())
            .collect();
        with_strips += usize::from(still.len() > 1);
        let mut numbers = numbers_in(&still);
        numbers.sort_unstable();
        numbers.dedup();
        let wanted: Vec<usize> = (1..=count).collect();
        assert_eq!(numbers, wanted, "plan {n}");
    }
    assert!(
        (1..PLANS).contains(&with_strips),
        "{with_strips} have strips"
    );
}

#[test]
fn a_step_marks_its_own_staples_and_says_their_numbers() {
    let plan = workshop();
    let staples = plan.canvases[0].staples.as_ref().expect("staples");
    let mut before = 0;
    for (i, step) in staples.order.iter().enumerate() {
        let svg = drawing::stapling(&plan, 0, Some(i), Layout::Wide).into_string();
        let own: Vec<usize> = (before + 1..=before + step.places.len()).collect();
        let numbers = numbers_in(&[svg]);
        for number in &own {
            assert!(numbers.contains(number), "{number} is not in step {i}");
        }
        let words = drawing::stapling_words(&plan, 0, i);
        let begins = format!("Step {} of {}, staple", i + 1, staples.order.len());
        assert!(words.starts_with(&begins), "{words}");
        assert!(words.contains(&own[0].to_string()), "{words}");
        before += step.places.len();
    }
    // Beyond the last is the last.
    let last = staples.order.len() - 1;
    assert_eq!(
        drawing::stapling_words(&plan, 0, last + 9),
        drawing::stapling_words(&plan, 0, last)
    );
    assert_eq!(drawing::stapling_words(&plan, 9, 0), "");
}

#[test]
fn the_roll_on_paper_lists_every_blank_and_cut_and_fits_its_page() {
    let class = plan_of(
        r#"{"canvases":[{"name":"a","width":"600 mm","height":"500 mm","count":12},{"name":"b","width":"1000 mm","height":"800 mm","count":8}],
            "rolls":[{"width":"1600 mm"}]}"#,
    );
    for plan in [class, workshop()] {
        let cloth = plan.cloth.as_ref().expect("cloth is bought");
        let pages: Vec<String> = drawing::roll_each(&plan)
            .into_iter()
            .map(|d| d.into_string())
            .collect();
        let mut said = String::new();
        for svg in &pages {
            let document = Document::parse(svg).expect("well-formed");
            // 245 mm of paper at the printed width of 140 mm.
            let paper = view(document.root_element());
            assert!(paper.h <= 245.0 * paper.w / 140.0, "{} high", paper.h);
            for (text, _) in texts(&document) {
                said.push_str(&text);
                said.push(' ');
            }
        }
        for i in 1..=cloth.cuts.len() {
            let name = format!("c{i} a");
            assert!(said.contains(&name), "no {name} in {said}");
        }
        let blanks = numbers_in(&pages);
        for i in 1..=cloth.placed.len() {
            assert!(blanks.contains(&i), "no blank {i}");
        }
        if cloth.placed.len() > 12 {
            assert!(pages.len() > 1, "a long roll takes several drawings");
        }
    }
}

#[test]
fn the_diary_on_paper_has_a_box_for_each_step_of_each_batch() {
    let plan = plan_of(
        r#"{"bench":"2","day":"2027-03-01","canvases":[{"width":"600 mm","height":"500 mm","count":12}]}"#,
    );
    let pages: Vec<String> = drawing::diary_to_tick(&plan)
        .into_iter()
        .map(|d| d.into_string())
        .collect();
    let boxes: usize = pages
        .iter()
        .map(|p| p.matches("class=\"d-edge\"").count())
        .sum();
    assert_eq!(boxes, plan.diary.steps.len());
    assert!(pages.len() > 1 && pages.concat().contains("(batch 6 of 6"));
}

#[test]
fn a_piece_beyond_a_bad_stretch_has_its_own_mark() {
    // Marks run on from one piece to the next, but not over a knot: what begins behind it says so.
    let plan = plan_of(
        r#"{"bead":"none","braces":"no","canvases":[{"width":"700","height":"500","count":2,"upright_bars":0,"level_bars":0}],
            "boards":[{"length":"2100 mm","bad":"500-600","limit":4}]}"#,
    );
    let svg = drawing::boards(&plan, Layout::Wide).into_string();
    assert!(svg.contains("bad from 500 to 600"));
    let board = &plan.boards.as_ref().expect("boards").boards[0];
    assert!(
        board.pieces.iter().any(|p| p.at.to_mm() == 600.0),
        "{board:?}"
    );
    assert!(svg.contains(">600<") || svg.contains("from 600:"), "{svg}");
}

#[test]
fn the_plot_of_humidity_has_yard_studio_winter_and_summer() {
    let plan = plan_of(r#"{"canvases":[{"width":"600 mm","height":"500 mm"}],"meter":"17 %"}"#);
    let svg = drawing::humidity_plot(&plan, Layout::Wide).into_string();
    let document = Document::parse(&svg).expect("well-formed");
    let said: Vec<String> = texts(&document).into_iter().map(|t| t.0).collect();
    for name in ["yard", "studio", "winter", "summer"] {
        assert!(said.iter().any(|t| t == name), "no {name} in {said:?}");
    }
    let m = &plan.moisture;
    // The yard's wood is as much larger than in the studio as it will shrink.
    let yard = m.airs[0].at;
    assert!((yard.face.to_mm() + m.face_change.value.to_mm()).abs() < 0.02);
    assert!((yard.moisture.to_percent() - 17.0).abs() < 1e-9);
    assert_eq!(m.airs[1].at.face.to_mm(), 0.0);
}

#[test]
fn labels_are_as_many_as_pieces() {
    let plan = workshop();
    let pieces: u32 = plan.cut_list.iter().map(|p| p.count).sum();
    let mut letters = 0;
    for page in drawing::labels(&plan, drawing::Paper::Letter) {
        let svg = page.into_string();
        let document = Document::parse(&svg).expect("well-formed");
        letters += document
            .descendants()
            .filter(|n| n.attribute("font-weight").is_some())
            .count();
    }
    assert_eq!(letters, pieces as usize);
}

#[test]
fn a_canvas_that_is_not_there_gives_a_drawing_that_says_so() {
    let plan = plan_of(r#"{"canvases":[]}"#);
    for (name, svg) in drawings(&plan) {
        assert_eq!(text_faults(&svg), [] as [String; 0], "{name}");
    }
    let svg = drawing::frame_back(&plan, 7, Layout::Wide).into_string();
    assert!(svg.contains("Waiting for what is missing"));
    assert!(drawing::rod_tiles(&plan, 7, 0, drawing::Paper::A4).is_empty());
}

#[test]
fn what_a_maker_types_stays_text() {
    let plan = plan_of(
        r#"{"canvases":[{"name":"<script>alert(1)</script>&\"'","width":"600 mm","height":"500 mm"}]}"#,
    );
    for (name, svg) in drawings(&plan) {
        let document = Document::parse(&svg).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(
            !document.descendants().any(|n| n.has_tag_name("script")),
            "{name}"
        );
    }
}

/// Snapshots guard against unseen change and prove nothing: `UPDATE_SNAPSHOTS=1` writes them.
#[test]
fn drawings_are_as_last_looked_at() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots");
    let update = std::env::var_os("UPDATE_SNAPSHOTS").is_some();
    let mut changed = Vec::new();
    for (plan, of) in [(workshop(), "workshop"), (grid_plan(29), "inches")] {
        for (name, svg) in drawings(&plan) {
            if of == "inches" && !(name.starts_with("frame") || name.starts_with("joint")) {
                continue;
            }
            let file = folder.join(format!("{of} {name}.svg").replace(' ', "-").to_lowercase());
            // A line for each element, so that a change can be read.
            let svg = svg.replace("><", ">\n<") + "\n";
            if update {
                fs::create_dir_all(&folder).expect("the folder can be made");
                fs::write(&file, svg).expect("the snapshot can be written");
            } else if fs::read_to_string(&file).ok().as_deref() != Some(&svg) {
                changed.push(file.display().to_string());
            }
        }
    }
    assert!(
        changed.is_empty(),
        "changed; look at them, then run with UPDATE_SNAPSHOTS=1:\n{}",
        changed.join("\n")
    );
}

#[test]
fn no_cut_of_the_cloth_is_short_of_its_blank() {
    // 12 × 72 in: the blanks are 12 in + 2 × (19 + 20 + 40 + 30 mm) = 522.8 mm, 20 5/8 in when
    // rounded up to sixteenths (20.583 in), and so must be the cut that frees the first.
    let plan = plan_of(
        r#"{"units":"imperial","canvases":[{"width":"12","height":"72"}],
            "rolls":[{"width":"82 in"}]}"#,
    );
    let cloth = plan.cloth.as_ref().expect("a roll that is wide enough");
    assert_eq!(cloth.lengths.len(), 1);
    let drawn = drawing::roll(&plan, Layout::Wide).into_string();
    for cut in cloth.cuts.iter().filter(|cut| cut.across) {
        let at = plan.show.bare_length(cut.at, Rounding::Up);
        assert_eq!(at, "20 5/8");
        assert!(drawn.contains(&format!("across at {at}")), "{drawn}");
    }
    assert!(cloth.cuts.iter().any(|cut| cut.across));
}
