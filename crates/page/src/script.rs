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
    js_sys::JSON::stringify(&brief)?;
    let tree: Tree = serde_wasm_bindgen::from_value(brief)
        .map_err(|e| JsValue::from(js_sys::Error::new(&format!("the brief is no plan: {e}"))))?;
    let (draft, mut faults) = Draft::from_tree(&tree);
    let plan = planner::plan(&draft);
    faults.extend(plan.faults.iter().cloned());
    let to_js = serde_wasm_bindgen::Serializer::json_compatible();
    if faults.is_empty() {
        return plan.serialize(&to_js).map_err(JsValue::from);
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
    js_sys::Reflect::set(&error, &"faults".into(), &said.serialize(&to_js)?)?;
    Err(error.into())
}
