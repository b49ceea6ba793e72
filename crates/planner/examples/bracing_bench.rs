//! What a bracing decision costs, and how that grows with the frame:
//! `cargo run -q --release -p planner --example bracing_bench`
//!
//! Each line plans one canvas and four of almost its size without boards, bead and cloth (which
//! another bench measures); a third of the difference is one canvas's share: its bracing with all
//! checks, other battens and drawings, and the little else that a canvas takes. `plan` is the
//! whole plan of the one, with the table and curve of the largest frame. Milliseconds of the
//! processor's time (Linux; elsewhere of the clock's), median of nine batches of twenty runs.

use std::time::Instant;

use planner::{Draft, Effort, Tree, plan_with};

fn main() {
    println!("    canvas   batten  members  canvas ms  plan ms  decision");
    for (face, depth) in [(38, 19), (50, 25)] {
        for (w, h) in [
            (400, 300),
            (1000, 800),
            (1800, 1200),
            (2400, 1800),
            (4000, 3000),
            (6000, 6000),
        ] {
            let brief = |count: u32| {
                let canvases: Vec<String> = (0..count)
                    .map(|i| format!(r#"{{"width":"{} mm","height":"{h} mm"}}"#, w - i))
                    .collect();
                let canvases = canvases.join(",");
                format!(
                    r#"{{"bar_face":"{face} mm","bar_depth":"{depth} mm","canvases":[{canvases}]}}"#
                )
            };
            let (one, four) = (draft(&brief(1)), draft(&brief(4)));
            let (plan, all) = (milliseconds(&one), milliseconds(&four));
            let canvas = (all - plan) / 3.0;
            let (said, members) = decision(&one);
            println!(
                "{w:5} × {h:4}  {face} × {depth}  {members:7}  {canvas:9.2}  {plan:7.2}  {said}"
            );
        }
    }
}

const EFFORT: Effort = Effort {
    boards: 0,
    cloth: 0,
};

fn draft(brief: &str) -> Draft {
    let tree: Tree = serde_json::from_str(brief).expect("a brief written above");
    Draft::from_tree(&tree).0
}

/// Median of a plan.
fn milliseconds(draft: &Draft) -> f64 {
    // The processor's time moves in steps of a few milliseconds: many runs at once.
    const RUNS: u32 = 20;
    let mut times: Vec<f64> = (0..9)
        .map(|_| {
            let (start, clock) = (processor_ms(), Instant::now());
            for _ in 0..RUNS {
                std::hint::black_box(plan_with(draft, EFFORT));
            }
            let all = match (start, processor_ms()) {
                (Some(start), Some(end)) => end - start,
                _ => clock.elapsed().as_secs_f64() * 1e3,
            };
            all / f64::from(RUNS)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// The decision in words, and the members of the frame.
fn decision(draft: &Draft) -> (String, u32) {
    let plan = plan_with(draft, EFFORT);
    let bracing = &plan.canvases[0].bracing;
    let counts = [
        bracing.upright.value,
        bracing.level.value,
        bracing.braces.value,
    ];
    let governing = bracing.statics.iter().flat_map(|s| &s.checks).next();
    let governing = governing.map_or(String::new(), |check| {
        let part = check.part.map_or("frame", |part| part.name());
        let used = check.used.value.to_percent();
        format!("{} of the {part} uses {used:.0} %", check.kind.name())
    });
    (
        format!("{counts:?}, rule {:?}: {governing}", bracing.rule),
        4 + counts.iter().sum::<u32>(),
    )
}

/// What this thread has used of the processor, which other work on the machine leaves alone.
fn processor_ms() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds / 1e6)
}
