//! Two numbers that stand for a whole plan, computed alike here and in a browser's script.
//!
//! Every number of the plan goes in with all its 64 bits, so what differs in the last digit, shown
//! or not, has another fingerprint. FNV-1a (Fowler, Noll and Vo) from two starts.

use planner::{Draft, Show, Tree, plan};
use serde_json::{Value, json};

/// What the page's `plan` gives for a brief: the plan, or the faults where there are any.
#[must_use]
pub fn answer(brief: &Tree) -> Value {
    let (draft, mut faults) = Draft::from_tree(brief);
    let plan = plan(&draft);
    faults.extend(plan.faults.iter().cloned());
    if faults.is_empty() {
        return serde_json::to_value(&plan).unwrap_or_default();
    }
    let said = faults
        .iter()
        .map(|f| json!({"field": f.path(), "message": f.message(Show::default())}));
    json!({ "faults": said.collect::<Vec<_>>() })
}

/// The fingerprint of a value.
#[must_use]
pub fn of(value: &Value) -> String {
    let mut print = Print([0x811c_9dc5, 0x1234_5678]);
    print.value(value);
    format!("{:08x}{:08x}", print.0[0], print.0[1])
}

struct Print([u32; 2]);

impl Print {
    fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            for half in &mut self.0 {
                *half = (*half ^ u32::from(*byte)).wrapping_mul(0x0100_0193);
            }
        }
    }
    fn number(&mut self, number: f64) {
        self.bytes(&number.to_le_bytes());
    }
    fn text(&mut self, text: &str) {
        self.number(text.encode_utf16().count() as f64);
        for unit in text.encode_utf16() {
            self.bytes(&unit.to_le_bytes());
        }
    }
    fn value(&mut self, value: &Value) {
        match value {
            Value::Null => self.bytes(&[0]),
            Value::Bool(b) => self.bytes(&[1, u8::from(*b)]),
            Value::Number(n) => {
                self.bytes(&[2]);
                self.number(n.as_f64().unwrap_or(f64::NAN));
            }
            Value::String(text) => {
                self.bytes(&[3]);
                self.text(text);
            }
            Value::Array(list) => {
                self.bytes(&[4]);
                self.number(list.len() as f64);
                for value in list {
                    self.value(value);
                }
            }
            Value::Object(map) => {
                self.bytes(&[5]);
                self.number(map.len() as f64);
                // The map is sorted by key.
                for (key, value) in map {
                    self.text(key);
                    self.value(value);
                }
            }
        }
    }
}

/// The same as a function of a browser's script: `fingerprint(value)`.
pub const SCRIPT: &str = "
const fingerprint = (value) => {
  let a = 0x811c9dc5, b = 0x12345678;
  const view = new DataView(new ArrayBuffer(8));
  const byte = (n) => {
    a = Math.imul(a ^ n, 0x01000193);
    b = Math.imul(b ^ n, 0x01000193);
  };
  const number = (n) => {
    view.setFloat64(0, n, true);
    for (let i = 0; i < 8; i += 1) byte(view.getUint8(i));
  };
  const text = (t) => {
    number(t.length);
    for (let i = 0; i < t.length; i += 1) {
      const unit = t.charCodeAt(i);
      byte(unit & 255);
      byte(unit >> 8);
    }
  };
  const visit = (v) => {
    if (v === null) byte(0);
    else if (typeof v === 'boolean') { byte(1); byte(v ? 1 : 0); }
    else if (typeof v === 'number') { byte(2); number(v); }
    else if (typeof v === 'string') { byte(3); text(v); }
    else if (Array.isArray(v)) { byte(4); number(v.length); v.forEach(visit); }
    else if (typeof v === 'object') {
      byte(5);
      const keys = Object.keys(v).sort();
      number(keys.length);
      for (const key of keys) { text(key); visit(v[key]); }
    } else throw new Error(`a plan holds a ${typeof v}`);
  };
  visit(value);
  const hex = (n) => (n >>> 0).toString(16).padStart(8, '0');
  return hex(a) + hex(b);
};";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_bit_of_a_number_shows() {
        let one = of(&json!({"a": [1.0, null, "ü"]}));
        assert_ne!(one, of(&json!({"a": [1.000_000_000_000_000_2, null, "ü"]})));
        assert_ne!(one, of(&json!({"a": [1.0, null, "u"]})));
        // Whole numbers are numbers like others in a browser.
        assert_eq!(one, of(&json!({"a": [1, null, "ü"]})));
    }
}
