//! Wasm reckons as the machine itself does: 500 random briefs give the same plan in every engine,
//! to the last bit of every number.

use std::sync::LazyLock;

use fuzz::fingerprint;
use serde_json::Value;
use whole_product::{Page, Source, Viewport, each_engine, json};
use xtask::shell;

/// How many briefs.
const BRIEFS: usize = 500;
/// How many a script plans at a time; engines stop scripts that run for long.
const BATCH: usize = 25;

/// Fingerprint and text of each brief, from an optimised program, as this test itself is not one.
static NATIVE: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let mut cargo = shell::cargo();
    cargo
        .args(["run", "--quiet", "--profile", "test", "-p", "fuzz"])
        .args(["--bin", "native", "--"])
        .arg(BRIEFS.to_string());
    let text = shell::read(&mut cargo).expect("the native program runs");
    let lines = text.lines().filter_map(|line| line.split_once('\t'));
    lines.map(|(a, b)| (a.to_owned(), b.to_owned())).collect()
});

const PLAN: &str = "
const answer = (brief) => {
  try { return battenbook.exports.plan(brief); }
  catch (error) {
    if (!error.faults) throw error;
    return { faults: error.faults };
  }
};";

each_engine!(
    random_briefs_give_the_native_plan,
    Source::File,
    Viewport::Tablet,
    async |page| {
        assert_eq!(NATIVE.len(), BRIEFS);
        let script = format!(
            "{PLAN}{}
             return arguments[0].map((text) => {{
               const found = answer(JSON.parse(text));
               return [fingerprint(found), found.faults.length === 0];
             }});",
            fingerprint::SCRIPT
        );
        let mut whole = 0;
        for batch in NATIVE.chunks(BATCH) {
            let texts: Vec<&str> = batch.iter().map(|b| b.1.as_str()).collect();
            let found = page.js_with(&script, vec![json!(texts)]).await;
            for (index, (native, text)) in batch.iter().enumerate() {
                if found[index][0] != json!(native) {
                    explain(page, text).await;
                }
                whole += usize::from(found[index][1] == json!(true));
            }
        }
        assert!(whole > BRIEFS / 2, "only {whole} briefs gave a whole plan");
    }
);

/// Fails with the first place at which the plans differ.
async fn explain(page: &Page, text: &str) {
    let script = format!("{PLAN} return JSON.stringify(answer(JSON.parse(arguments[0])));");
    let wasm = page.js_with(&script, vec![json!(text)]).await;
    let wasm: Value = serde_json::from_str(wasm.as_str().unwrap_or_default()).unwrap_or_default();
    let brief = serde_json::from_str(text).expect("a brief is JSON");
    let native = fingerprint::answer(&brief);
    let place = difference("plan", &native, &wasm)
        .unwrap_or_else(|| "in bits that JSON does not show".to_owned());
    panic!("{text}\ndiffers at {place}");
}

fn difference(path: &str, a: &Value, b: &Value) -> Option<String> {
    match (a, b) {
        (Value::Object(x), Value::Object(y)) if x.keys().eq(y.keys()) => x
            .iter()
            .find_map(|(key, value)| difference(&format!("{path}.{key}"), value, &y[key])),
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            (0..x.len()).find_map(|i| difference(&format!("{path}[{i}]"), &x[i], &y[i]))
        }
        (Value::Number(x), Value::Number(y)) if x.as_f64() == y.as_f64() => None,
        _ if a == b => None,
        _ => Some(format!("{path}: native {a}, wasm {b}")),
    }
}
