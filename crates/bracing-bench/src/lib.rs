//! Times bracing decisions; the same code natively and in wasm, so that both can stand beside each
//! other in `cargo xtask bench`.
//!
//! For each size and batten one canvas is planned, and four of almost its size, without boards,
//! bead and cloth; a third of the difference is one canvas's share: its bracing with all checks,
//! and the little else that a canvas takes. The table of largest frames, which is computed on
//! demand, is timed by itself.

use planner::{Draft, Effort, Plan, Tree, bracing, plan_with};
use wasm_bindgen::prelude::wasm_bindgen;

const SIZES: [[u32; 2]; 6] = [
    [400, 300],
    [1000, 800],
    [1800, 1200],
    [2400, 1800],
    [4000, 3000],
    [6000, 6000],
];
const BATTENS: [[u32; 2]; 2] = [[38, 19], [50, 25]];
/// Batches, of which the quickest counts, and runs of a batch: the code always does the same, so
/// whatever takes longer is other work on the machine.
const BATCHES: u32 = 15;
const RUNS: u32 = 5;
const EFFORT: Effort = Effort {
    boards: 0,
    cloth: 0,
};

/// Times every size in every batten by a clock that gives milliseconds: one line a figure,
/// `key<TAB>number`, and for people, without a tab, what was decided.
#[must_use]
pub fn measure(clock: &dyn Fn() -> f64) -> String {
    let mut lines = String::new();
    let mut slowest = [0.0_f64; 2];
    for [face, depth] in BATTENS {
        for [w, h] in SIZES {
            let brief = |count: u32| {
                let canvases: Vec<String> = (0..count)
                    .map(|i| format!(r#"{{"width":"{} mm","height":"{h} mm"}}"#, w - i))
                    .collect();
                let canvases = canvases.join(",");
                let batten = format!(r#""bar_face":"{face} mm","bar_depth":"{depth} mm""#);
                draft(&format!(r#"{{{batten},"canvases":[{canvases}]}}"#))
            };
            let (one, four) = (brief(1), brief(4));
            let plan = plan_with(&one, EFFORT);
            let planned = |draft: &Draft| quickest(clock, || plan_with(draft, EFFORT));
            let canvas = (planned(&four) - planned(&one)) / 3.0;
            let largest = quickest(clock, || bracing::largest(&plan));
            slowest = [slowest[0].max(canvas), slowest[1].max(largest)];
            let (said, members) = decision(&plan);
            lines.push_str(&format!(
                "{w:5} x {h:4} in {face} x {depth}: {members:2} members {canvas:7.2} ms, largest frames {largest:7.2} ms, {said}\n"
            ));
            lines.push_str(&format!("bracing_{w}_{face}_ms\t{canvas:.3}\n"));
        }
    }
    lines.push_str(&format!("bracing_slowest_ms\t{:.3}\n", slowest[0]));
    lines.push_str(&format!("largest_slowest_ms\t{:.3}\n", slowest[1]));
    lines
}

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = performance)]
    fn now() -> f64;
}

/// [`measure`] by the clock of the JavaScript engine.
#[must_use]
#[wasm_bindgen(js_name = measure)]
pub fn measure_in_wasm() -> String {
    measure(&|| now())
}

fn draft(brief: &str) -> Draft {
    let tree = serde_json::from_str::<Tree>(brief);
    tree.map_or_else(|_| Draft::default(), |tree| Draft::from_tree(&tree).0)
}

/// Time of a run in the quickest batch.
fn quickest<T>(clock: &dyn Fn() -> f64, run: impl Fn() -> T) -> f64 {
    let batch = |_| {
        let start = clock();
        for _ in 0..RUNS {
            std::hint::black_box(run());
        }
        (clock() - start) / f64::from(RUNS)
    };
    (0..BATCHES).map(batch).fold(f64::MAX, f64::min)
}

/// The decision in words, and the members of the frame.
fn decision(plan: &Plan) -> (String, u32) {
    let Some(canvas) = plan.canvases.first() else {
        return (String::new(), 0);
    };
    let b = &canvas.bracing;
    let counts = [b.upright.value, b.level.value, b.braces.value];
    let governing = b.statics.iter().flat_map(|s| &s.checks).next();
    let governing = governing.map_or(String::new(), |check| {
        let part = check.part.map_or("frame", |part| part.name());
        let used = check.used.value.to_percent();
        format!("{} of the {part} uses {used:.0} %", check.kind.name())
    });
    (
        format!("{counts:?}, rule {:?}: {governing}", b.rule),
        4 + counts.iter().sum::<u32>(),
    )
}
