//! Times whole plans natively: one frame, a class of twelve, 500 frames. Medians, in
//! milliseconds; the machine's other work shows in them. The lines `name<TAB>milliseconds` are
//! what `cargo xtask bench` reads. With `--plot`, only the picture in `docs/growth.svg`.

use std::time::Instant;

use planner::{Draft, Effort, Plan, Tree, plan_with};

fn main() {
    if std::env::args().any(|word| word == "--plot") {
        print!("{}", plot(&growth()));
        return;
    }
    let one = r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#.to_string();
    println!("| job | median ms | worst ms | boards proven | cloth proven |");
    println!("| --- | --- | --- | --- | --- |");
    let mut medians = Vec::new();
    for (name, key, brief, runs) in [
        ("one frame", "one_frame_ms", one, 40),
        ("class of 12, mixed", "class_12_ms", mixed(12, 1), 20),
        (
            "500 frames, 20 sizes",
            "frames_500_first_ms",
            mixed(20, 25),
            5,
        ),
    ] {
        let draft = read(&brief);
        let mut times = Vec::new();
        let mut last: Option<Plan> = None;
        for _ in 0..runs {
            let start = Instant::now();
            last = Some(plan_with(&draft, Effort::default()));
            times.push(start.elapsed().as_secs_f64() * 1000.0);
        }
        times.sort_by(f64::total_cmp);
        let plan = last.expect("at least one run");
        for fault in &plan.faults {
            eprintln!("{name}: {fault}");
        }
        println!(
            "| {name} | {:.2} | {:.2} | {} | {} |",
            times[times.len() / 2],
            times[times.len() - 1],
            plan.boards.is_some_and(|b| b.proven),
            plan.cloth.is_some_and(|c| c.proven)
        );
        medians.push((key, times[times.len() / 2]));
    }
    medians.push(("native_what_if_ms", what_if()));
    for (key, median) in medians {
        println!("{key}\t{median:.2}");
    }
    backward_answers();
    println!("| frames | ms |");
    println!("| --- | --- |");
    for (frames, ms) in growth() {
        println!("| {frames} | {ms:.2} |");
    }
}

/// How long it takes to say what a rack is enough for.
fn backward_answers() {
    let few = r#"{"from_rack":"900 x 600","boards":[{"length":"2.4 m","limit":"4"},{"length":"3 m","limit":"2"},{"of":"bead","length":"2.4 m"}],"rolls":[{"width":"3 m","available":"3 m"}]}"#;
    let boards: Vec<String> = (0..6)
        .map(|i| format!(r#"{{"length":"{} mm","limit":"5"}}"#, 1800 + 600 * i))
        .collect();
    let many = format!(
        r#"{{"from_rack":"900 x 600","bead":"none","boards":[{}],"rolls":[{{"width":"6 m","available":"12 m"}}]}}"#,
        boards.join(",")
    );
    for (name, brief) in [("six boards", few), ("thirty boards, six lengths", &many)] {
        let draft = read(brief);
        let start = Instant::now();
        let answer = planner::backward(&draft);
        let ms = start.elapsed().as_secs_f64() * 1000.0;
        let jobs = answer.map_or(0, |answer| answer.tried);
        println!("what {name} are enough for: {ms:.0} ms, {jobs} cutting jobs");
    }
}

/// Frames and the median milliseconds of their first plan: 20 sizes at most, then more of each.
fn growth() -> Vec<(f64, f64)> {
    let jobs = [
        (1, 1),
        (2, 1),
        (5, 1),
        (10, 1),
        (20, 1),
        (20, 5),
        (20, 10),
        (20, 25),
        (20, 50),
    ];
    jobs.iter()
        .map(|&(sizes, each)| {
            let draft = read(&mixed(sizes, each));
            let mut times: Vec<f64> = (0..5)
                .map(|_| {
                    let start = Instant::now();
                    let _ = plan_with(&draft, Effort::default());
                    start.elapsed().as_secs_f64() * 1000.0
                })
                .collect();
            times.sort_by(f64::total_cmp);
            (sizes as f64 * f64::from(each), times[2])
        })
        .collect()
}

/// The growth as a picture, both axes logarithmic.
fn plot(growth: &[(f64, f64)]) -> String {
    let x = |frames: f64| 70.0 + frames.log10() * 150.0;
    let y = |ms: f64| 230.0 - (ms.log10() + 1.0) * 65.0;
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 560 290\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <title>Milliseconds of the first plan against the number of frames</title>\n\
         <rect width=\"560\" height=\"290\" fill=\"white\"/>\n",
    );
    for frames in [1.0, 10.0, 100.0, 1000.0] {
        let at = x(frames);
        svg += &format!(
            "<path d=\"M{at} 35V230\" stroke=\"#bbb\"/><text x=\"{at}\" y=\"250\" text-anchor=\"middle\">{frames}</text>\n"
        );
    }
    for ms in [0.1, 1.0, 10.0, 100.0] {
        let at = y(ms);
        svg += &format!(
            "<path d=\"M70 {at}H520\" stroke=\"#bbb\"/><text x=\"60\" y=\"{}\" text-anchor=\"end\">{ms}</text>\n",
            at + 4.0
        );
    }
    let points: String = growth
        .iter()
        .map(|(frames, ms)| format!("{:.1},{:.1} ", x(*frames), y(*ms)))
        .collect();
    svg += &format!(
        "<polyline points=\"{}\" fill=\"none\" stroke=\"black\" stroke-width=\"2\"/>\n",
        points.trim_end()
    );
    svg + "<text x=\"295\" y=\"278\" text-anchor=\"middle\">frames, up to 20 sizes</text>\n<text x=\"20\" y=\"22\">ms to the first plan, native</text>\n</svg>\n"
}

fn read(brief: &str) -> Draft {
    let tree: Tree = serde_json::from_str(brief).expect("the briefs here are JSON");
    Draft::from_tree(&tree).0
}

/// What another length would change, for the page's example.
fn what_if() -> f64 {
    let tree: Tree = serde_json::from_str(include_str!("../../page/src/example.json"))
        .expect("the example is JSON");
    let draft = Draft::from_tree(&tree).0;
    let mut times: Vec<f64> = (0..15)
        .map(|_| {
            let start = Instant::now();
            let all = planner::what_if(&draft, Effort::default());
            assert!(!all.is_empty(), "the example has a rack to change");
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// So many different sizes, each so often, with an invented rack.
fn mixed(sizes: usize, each: u32) -> String {
    let canvases: Vec<String> = (0..sizes)
        .map(|i| {
            let (w, h) = (400 + (i * 97) % 900, 300 + (i * 61) % 700);
            format!(r#"{{"width":"{w} mm","height":"{h} mm","count":{each}}}"#)
        })
        .collect();
    format!(
        r#"{{"canvases":[{}],"boards":[
            {{"length":"1800 mm","price":"5.25"}},{{"length":"2400 mm","price":"7.65"}},{{"length":"3000 mm","price":"9.20"}},
            {{"length":"3600 mm","price":"10.35"}},{{"length":"4800 mm","price":"13.50"}},
            {{"of":"bead","length":"2400 mm","price":"4.80"}}],
            "rolls":[{{"width":"1.6 m","price":"12.50"}},{{"width":"2.1 m","price":"16"}}]}}"#,
        canvases.join(",")
    )
}
