//! Two numbers that stand for a whole plan, computed alike here and in a browser's script.
//!
//! Every number of the plan goes in with all its 64 bits, so what differs in the last digit, shown
//! or not, has another fingerprint.
//! After FNV-1a (Fowler, Noll and Vo), by words instead of bytes, from two starts.

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
    fn word(&mut self, word: u32) {
        for half in &mut self.0 {
            *half = (*half ^ word).wrapping_mul(0x0100_0193);
            // The upper bits reach the lower ones too.
            *half ^= *half >> 15;
        }
    }
    fn number(&mut self, number: f64) {
        let bits = number.to_bits();
        self.word(bits as u32);
        self.word((bits >> 32) as u32);
    }
    fn text(&mut self, text: &str) {
        self.word(text.encode_utf16().count() as u32);
        for unit in text.encode_utf16() {
            self.word(u32::from(unit));
        }
    }
    fn value(&mut self, value: &Value) {
        match value {
            Value::Null => self.word(0),
            Value::Bool(b) => self.word(10 + u32::from(*b)),
            Value::Number(n) => {
                self.word(2);
                self.number(n.as_f64().unwrap_or(f64::NAN));
            }
            Value::String(text) => {
                self.word(3);
                self.text(text);
            }
            Value::Array(list) => {
                self.word(4);
                self.word(list.len() as u32);
                for value in list {
                    self.value(value);
                }
            }
            Value::Object(map) => {
                self.word(5);
                self.word(map.len() as u32);
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
  const float = new Float64Array(1);
  const halves = new Uint32Array(float.buffer);
  const word = (n) => {
    a = Math.imul(a ^ n, 0x01000193);
    a ^= a >>> 15;
    b = Math.imul(b ^ n, 0x01000193);
    b ^= b >>> 15;
  };
  const text = (t) => {
    word(t.length);
    for (let i = 0; i < t.length; i += 1) word(t.charCodeAt(i));
  };
  const visit = (v) => {
    if (v === null) word(0);
    else if (typeof v === 'boolean') word(v ? 11 : 10);
    else if (typeof v === 'number') { word(2); float[0] = v; word(halves[0]); word(halves[1]); }
    else if (typeof v === 'string') { word(3); text(v); }
    else if (Array.isArray(v)) { word(4); word(v.length); v.forEach(visit); }
    else if (typeof v === 'object') {
      word(5);
      const keys = Object.keys(v).sort();
      word(keys.length);
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
