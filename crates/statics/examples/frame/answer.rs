//! From the text of a case to the text of its answer.

use serde_json::{Value, json};

use crate::reading::{Fault, Object};
use crate::{any_frame, rectangle};

/// Reads either form and answers it.
pub(crate) fn answer(text: &str) -> Result<Value, Fault> {
    let value: Value = serde_json::from_str(text).map_err(|e| Fault(format!("not JSON: {e}")))?;
    let case = Object::new(&value, "")?;
    let result = if case.has("inputs") {
        rectangle::answer(&case.object("inputs")?)?
    } else if case.has("nodes") {
        any_frame::answer(&case)?
    } else {
        return Err(Fault(
            "inputs: missing (or nodes, members, supports, loads)".into(),
        ));
    };
    Ok(json!({ "result": result }))
}
