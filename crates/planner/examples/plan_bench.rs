//! Times whole plans natively: one frame, a class of twelve, 500 frames. Medians, in
//! milliseconds; the machine's other work shows in them. The lines `name<TAB>milliseconds` are
//! what `cargo xtask bench` reads.

use std::time::Instant;

use planner::{Draft, Effort, Plan, Tree, plan_with};

fn main() {
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
        let tree: Tree = serde_json::from_str(&brief).expect("the briefs above are JSON");
        let draft = Draft::from_tree(&tree).0;
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
    for (key, median) in medians {
        println!("{key}\t{median:.2}");
    }
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
