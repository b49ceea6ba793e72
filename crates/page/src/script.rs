//! For people who script: the planner as one function.

use planner::{Draft, Tree};
use serde::Serialize;
use wasm_bindgen::prelude::*;

/// Plans a job.
///
/// Takes the plan format as an object, for example `{canvases: [{width: "1000 mm", height: 800}]}`:
/// lengths are texts with units, or numbers in millimetres; what is left out has its usual value.
/// Returns the plan as an object: the same that `planner`'s example `plan` prints.
///
/// # Errors
///
/// Throws an `Error` whose `message` holds one line a fault and whose `faults` lists them as
/// `{field, message}`, unknown fields included.
#[wasm_bindgen(unchecked_return_type = "Plan")]
pub fn plan(
    #[wasm_bindgen(unchecked_param_type = "Brief")] brief: JsValue,
) -> Result<JsValue, JsValue> {
    // A thing that holds itself would never end; JSON refuses it.
    let json = js_sys::JSON::stringify(&brief)?;
    let tree: Tree = serde_json::from_str(&json.as_string().unwrap_or_default())
        .map_err(|e| JsValue::from(js_sys::Error::new(&format!("the brief is no plan: {e}"))))?;
    let (draft, mut faults) = Draft::from_tree(&tree);
    let plan = planner::plan(&draft);
    faults.extend(plan.faults.iter().cloned());
    if faults.is_empty() {
        return to_js(&plan);
    }
    #[derive(Serialize)]
    struct Said {
        field: String,
        message: String,
    }
    let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
    let said: Vec<Said> = faults
        .iter()
        .map(|f| Said {
            field: f.path(),
            message: f.message(planner::Show::default()),
        })
        .collect();
    let error = js_sys::Error::new(&lines.join("\n"));
    js_sys::Reflect::set(&error, &"faults".into(), &to_js(&said)?)?;
    Err(error.into())
}

/// By way of JSON, whose writer is here anyway.
fn to_js<T: Serialize>(value: &T) -> Result<JsValue, JsValue> {
    let json = serde_json::to_string(value)
        .map_err(|e| JsValue::from(js_sys::Error::new(&e.to_string())))?;
    js_sys::JSON::parse(&json)
}
