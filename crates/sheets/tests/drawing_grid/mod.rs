//! Two hundred plans for the drawings' tests: twenty sizes by ten ways of building, and every
//! drawing of a plan with its name. Invented data.

use planner::{Draft, Plan, Tree, plan};
use sheets::Markup;
use sheets::drawing::{self, Joint, Layout, Paper};

/// Width and height in millimetres: squares, the smallest, the largest, 1 : 6 both ways, and
/// both sides of the limit for cross bars.
pub(crate) const SIZES: [(f64, f64); 20] = [
    (200.0, 200.0),
    (200.0, 1200.0),
    (1200.0, 200.0),
    (300.0, 1800.0),
    (1800.0, 300.0),
    (3000.0, 500.0),
    (500.0, 3000.0),
    (3000.0, 2000.0),
    (2000.0, 3000.0),
    (1000.0, 800.0),
    (800.0, 1000.0),
    (609.6, 914.4),
    (610.0, 508.0),
    (737.0, 737.0),
    (738.0, 500.0),
    (1500.0, 1500.0),
    (2400.0, 400.0),
    (1475.0, 1474.0),
    (333.3, 777.7),
    (2999.5, 1999.5),
];

/// Ways of building: settings, and what goes into the canvas's row.
pub(crate) const WAYS: [(&str, &str); 10] = [
    ("", ""),
    (r#""units":"imperial","fraction":"64","#, ""),
    (r#""corner":"mitre_lap","fixing":"keyed","#, r#""count":2,"#),
    (r#""corner":"square_lap","housing":"stopped","#, ""),
    (r#""bar_face":"70 mm","bar_depth":"35 mm","#, ""),
    (
        r#""bar_face":"25 mm","bar_depth":"40 mm","bead_size":"8 mm","bead_overhang":"5 mm","#,
        "",
    ),
    (
        r#""size_means":"finished","day":"2027-03-01","cloth_thickness":"0.7 mm","#,
        r#""name":"A rather long invented name of sixty letters at the very most","count":12,"braces":"yes","#,
    ),
    (
        r#""bar_face":"20 mm","bar_depth":"12 mm","units":"imperial","#,
        r#""upright_bars":6,"level_bars":6,"#,
    ),
    (
        r#""bead":"none","prewash":"yes","weave":"width","staple_spacing":"20 mm","corner_staples":2,"#,
        r#""upright_bars":1,"level_bars":0,"#,
    ),
    (
        r#""bead":"bevel","screw_way":"square_to_mitre","screw_length":"60 mm","units":"imperial","fraction":"32","brace_leg":"90 mm","#,
        r#""braces":"yes","#,
    ),
];

/// How many plans there are.
pub(crate) const PLANS: usize = SIZES.len() * WAYS.len();

/// The n-th plan of the grid: the first way is braced as computed, the others by the rule of
/// thumb, which puts in more cross bars and so gives the drawings more to do.
pub(crate) fn grid_plan(n: usize) -> Plan {
    let (width, height) = SIZES[n % SIZES.len()];
    let way = n / SIZES.len() % WAYS.len();
    let (settings, row) = WAYS[way];
    let by = if way == 0 { "computed" } else { "rule" };
    plan_of(&format!(
        r#"{{{settings}"bracing_by":"{by}","canvases":[{{{row}"width":"{width} mm","height":"{height} mm"}}],
            "boards":[{{"length":"2400 mm"}},{{"length":"4800 mm"}},
                      {{"of":"bead","length":"3600 mm"}},{{"of":"bead","length":"2400 mm"}}],
            "rolls":[{{"width":"1600 mm"}},{{"width":"3200 mm"}}]}}"#
    ))
}

/// A plan from a brief in JSON.
pub(crate) fn plan_of(brief: &str) -> Plan {
    let tree: Tree = serde_json::from_str(brief).expect("the test's brief is JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert_eq!(faults, [], "{brief}");
    plan(&draft)
}

/// Every drawing of a plan with a name.
pub(crate) fn drawings(plan: &Plan) -> Vec<(String, String)> {
    let mut all = laid_out(plan, Layout::Wide);
    for (name, drawing) in laid_out(plan, Layout::Narrow) {
        all.push((format!("narrow {name}"), drawing));
    }
    all.extend(full_size(plan));
    let each = [
        ("roll", drawing::roll_each(plan)),
        ("diary", drawing::diary_to_tick(plan)),
        ("stapling", drawing::stapling_each(plan, 0)),
    ];
    for (name, drawings) in each {
        for (n, drawing) in drawings.into_iter().enumerate() {
            all.push((format!("{name} on paper {n}"), drawing));
        }
    }
    all.into_iter().map(|(n, d)| (n, d.into_string())).collect()
}

/// Labels and rods for paper.
fn full_size(plan: &Plan) -> Vec<(String, Markup)> {
    let mut all = Vec::new();
    let mut put = |name: String, drawing| all.push((name, drawing));
    for paper in [Paper::A4, Paper::Letter] {
        for (n, page) in drawing::labels(plan, paper).into_iter().take(2).enumerate() {
            put(format!("labels {paper:?} {n}"), page);
        }
    }
    for (i, canvas) in plan.canvases.iter().enumerate() {
        let members = canvas.frame.as_ref().map_or(0, |f| f.members.len());
        for m in 0..members {
            for paper in [Paper::A4, Paper::Letter] {
                let pages = drawing::rod_tiles(plan, i, m, paper);
                for (n, page) in pages.into_iter().enumerate() {
                    put(format!("rod {i} {m} {paper:?} {n}"), page);
                }
            }
        }
    }
    all
}

/// What is laid out for a width.
fn laid_out(plan: &Plan, layout: Layout) -> Vec<(String, Markup)> {
    let mut all = vec![
        ("boards".to_owned(), drawing::boards(plan, layout)),
        ("roll".to_owned(), drawing::roll(plan, layout)),
        ("diary".to_owned(), drawing::diary(plan, layout)),
        ("bow plot".to_owned(), drawing::bow_plot(plan, layout)),
        (
            "humidity plot".to_owned(),
            drawing::humidity_plot(plan, layout),
        ),
    ];
    let mut put = |name: String, drawing| all.push((name, drawing));
    for (i, canvas) in plan.canvases.iter().enumerate() {
        put(format!("frame {i}"), drawing::frame_back(plan, i, layout));
        put(format!("bowed {i}"), drawing::bowed(plan, i, layout));
        put(format!("section {i}"), drawing::section(plan, i, layout));
        put(format!("mitre {i}"), drawing::mitre(plan, i, layout));
        put(
            format!("brace {i}"),
            drawing::brace_landing(plan, i, layout),
        );
        put(format!("blank {i}"), drawing::blank(plan, i, layout));
        let still = drawing::stapling(plan, i, None, layout);
        put(format!("stapling {i}"), still);
        let steps = drawing::stapling_steps(plan, i);
        for step in [0, 4, steps / 2, steps.saturating_sub(1)] {
            let one = drawing::stapling(plan, i, Some(step), layout);
            put(format!("stapling {i} step {step}"), one);
        }
        for kind in Joint::all(plan, i) {
            let joint = drawing::joint(plan, i, kind, layout);
            put(format!("joint {i} {kind:?}"), joint);
        }
        let members = canvas.frame.as_ref().map_or(0, |f| f.members.len());
        for m in 0..members {
            put(format!("rod {i} {m}"), drawing::rod(plan, i, m, layout));
        }
    }
    all
}
