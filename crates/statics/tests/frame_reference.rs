//! The cases of a general-purpose frame library (PyNite, some of them run in a second one too),
//! read and answered as the `frame` example does.
//!
//! `data/frame-reference.json` is a copy; the original, where it lies beside the repository, is
//! read as well so that the two can't drift apart unseen.
#![expect(
    clippy::unwrap_used,
    reason = "a helper that fails is a test that fails"
)]

#[path = "../examples/frame/answer.rs"]
mod answer;
#[path = "../examples/frame/any_frame.rs"]
mod any_frame;
#[path = "../examples/frame/reading.rs"]
mod reading;
#[path = "../examples/frame/rectangle.rs"]
mod rectangle;

use std::path::Path;

use serde_json::{Value, json};

const REFERENCE: &str = include_str!("data/frame-reference.json");

/// Numbers are compared to this share of themselves …
const SHARE: f64 = 1e-3;

/// … or, where they are small by cancellation, of the six digits that the reference prints.
fn printed_digit(x: f64) -> f64 {
    if x == 0.0 { 5e-7 } else { x.abs() * 5e-6 }
}

fn cases() -> Vec<(String, Value)> {
    let whole: Value = serde_json::from_str(REFERENCE).unwrap();
    let cases = whole["cases"].as_object().unwrap();
    cases.iter().map(|(k, v)| (k.clone(), v.clone())).collect()
}

fn answer_of(case: &Value) -> Value {
    answer::answer(&case.to_string()).unwrap()["result"].clone()
}

/// Largest deviation of two results, relative; keys must agree.
fn deviation(path: &str, ours: &Value, theirs: &Value, sides: [f64; 2]) -> f64 {
    match (ours, theirs) {
        (Value::Object(a), Value::Object(b)) => {
            let keys = |m: &serde_json::Map<String, Value>| {
                let mut keys: Vec<String> = m.keys().cloned().collect();
                keys.sort();
                keys
            };
            assert_eq!(keys(a), keys(b), "{path}");
            b.iter()
                .map(|(k, v)| deviation(&format!("{path}.{k}"), &a[k], v, sides))
                .fold(0.0, f64::max)
        }
        (Value::Null, Value::Null) => 0.0,
        _ => {
            let (ours, theirs) = (ours.as_f64().unwrap(), theirs.as_f64().unwrap());
            if path.ends_with(".at_x_m") || path.ends_with(".at_y_m") {
                // The reference sampled each bar at 201 to 401 spots, and of two mirrored peaks
                // it tells either: the spot itself is not compared to 0.1 %.
                let side = sides[usize::from(path.ends_with(".at_y_m"))];
                let off = (ours - theirs).abs().min((side - ours - theirs).abs());
                assert!(off <= side / 200.0, "{path}: {ours} for {theirs}");
                return 0.0;
            }
            let off = (ours - theirs).abs();
            assert!(
                off <= (SHARE * theirs.abs()).max(printed_digit(theirs)),
                "{path}: {ours} for {theirs}"
            );
            if theirs == 0.0 {
                0.0
            } else {
                off / theirs.abs()
            }
        }
    }
}

#[test]
fn every_case_agrees_to_a_thousandth() {
    let cases = cases();
    assert_eq!(cases.len(), 13);
    for (name, case) in cases {
        let ours = answer_of(&case);
        let side = |k: &str| case["inputs"][k].as_f64().unwrap();
        let worst = deviation(&name, &ours, &case["result"], [side("W"), side("H")]);
        println!("{name}: largest relative deviation {worst:.1e}");
    }
}

#[test]
fn the_copy_is_the_original() {
    // Beside the repository, where the reference came from; elsewhere there is nothing to do.
    let original =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/frame-reference.json");
    if let Ok(text) = std::fs::read_to_string(original) {
        assert_eq!(text, REFERENCE);
    }
}

#[track_caller]
fn refused(change: impl Fn(&mut Value), message: &str) {
    let mut case = cases()
        .into_iter()
        .find(|(name, _)| name.starts_with('O'))
        .unwrap()
        .1;
    change(&mut case);
    assert_eq!(answer::answer(&case.to_string()).unwrap_err().0, message);
}

#[test]
fn bad_input_is_named() {
    let set =
        |name: &'static str, to: Value| move |case: &mut Value| case["inputs"][name] = to.clone();
    refused(set("W", Value::Null), "inputs.W: missing");
    refused(set("W", json!("wide")), "inputs.W: must be a number");
    refused(set("H", json!(-1)), "inputs.H: must be above zero");
    refused(
        set("corner", json!("loose")),
        "inputs.corner: must be \"rigid\", \"hinged\" or N·m/rad, zero or more",
    );
    refused(
        set("sections", json!({"bar": [18]})),
        "inputs.sections.brace: missing",
    );
    refused(
        set("sections", json!({"bar": [18], "brace": [9, 30]})),
        "inputs.sections.bar: must be a list of two numbers",
    );
    refused(
        set("brace_leg", json!(0.5)),
        "inputs.brace_leg: must be at most half the shorter side",
    );
    refused(
        set("vertical_bars", json!([0.6, 0.6])),
        "inputs.vertical_bars[1]: another bar is there",
    );
    refused(
        set("vertical_bars", json!([1.2])),
        "inputs.vertical_bars[0]: must lie inside the frame",
    );
    refused(
        set("vertical_bar", json!([0.6])),
        "inputs.vertical_bar: unknown field",
    );
    refused(
        set("load", json!("push it")),
        "inputs.load: must read like \"F=10 N in +x at top-left corner; bottom-left pinned, bottom-right on a roller\"",
    );
    refused(
        set("brace_leg", Value::Null),
        "inputs.corner or load: the frame is a mechanism: node 4 moves freely at 0° to the x axis",
    );
    refused(
        set("E_MPa", json!(1e300)),
        "inputs.sections or E_MPa: member 0: modulus must be 1 to 1e13 Pa",
    );
    assert_eq!(
        answer::answer("{}").unwrap_err().0,
        "inputs: missing (or nodes, members, supports, loads)"
    );
    assert_eq!(
        answer::answer("[]").unwrap_err().0,
        "the input must be an object"
    );
    assert!(answer::answer("{").unwrap_err().0.starts_with("not JSON: "));
}

#[test]
fn the_second_form_gives_the_handbook_beam() {
    // 1.2 m on two supports, 18 × 45 mm, 11 GPa, 200 N/m: 5wL⁴/384EI = 3.5915 mm, wL²/8 = 36 N·m,
    // wL/2 = 120 N (AISC table 3-23, case 1, from memory).
    let case = json!({
        "nodes": [[0, 0], [1.2, 0]],
        "members": [{"from": 0, "to": 1, "E_MPa": 11000, "section_mm": [18, 45]}],
        "supports": [{"node": 0, "hold": "pinned"}, {"node": 1, "hold": "roller"}],
        "loads": [{"member": 0, "direction": "y", "q_N_per_m": -200}],
    });
    let result = answer_of(&case);
    let near = |value: &Value, wanted: f64| {
        assert!(
            (value.as_f64().unwrap() - wanted).abs() < 1e-4 * wanted.abs(),
            "{value} for {wanted}"
        );
    };
    near(&result["members"][0]["bow_mm"]["lowest"], -3.59147);
    near(&result["members"][0]["moment_Nm"]["highest"], 36.0);
    near(&result["reactions"][1]["y_N"], 120.0);
}

#[test]
fn faults_of_the_second_form_are_named() {
    let case = json!({
        "nodes": [[0, 0], [1, 0]],
        "members": [{"from": 0, "to": 1, "E_MPa": 11000, "section_mm": [18, 45]}],
        "supports": [{"node": 0, "hold": "pinned"}, {"node": 1, "hold": "roller"}],
        "loads": [{"node": 1, "Fx_N": 1}, {"member": 0, "direction": "y", "F_N": 1, "at_m": 2}],
    });
    let refused = |change: &dyn Fn(&mut Value), message: &str| {
        let mut case = case.clone();
        change(&mut case);
        assert_eq!(answer::answer(&case.to_string()).unwrap_err().0, message);
    };
    refused(
        &|_| (),
        "loads[1]: member load 0: does not lie within its member",
    );
    refused(
        &|c| c["members"][0]["to"] = json!(2),
        "members[0].to: must be a whole number below 2",
    );
    refused(
        &|c| c["members"][0]["to"] = json!(0),
        "members[0].to: member 0: its two ends are at one place",
    );
    refused(
        &|c| c["nodes"][1] = json!([1]),
        "nodes[1]: must be a list of two numbers",
    );
    refused(
        &|c| c["supports"][0] = json!({"node": 0, "hold": "glued"}),
        "supports[0].hold: must be fixed, pinned, roller or guided",
    );
    refused(
        &|c| c["supports"] = json!([{"node": 0, "hold": "pinned"}]),
        "supports: the frame is a mechanism: node 1 moves freely at 90° to the x axis",
    );
}
