//! JSON fields read one by one, so that every complaint names its field.

use std::fmt;

use quantity::physics::RotationalStiffness;
use serde_json::{Map, Value};
use statics::End;

/// A complaint that begins with the field's path.
#[derive(Debug)]
pub(crate) struct Fault(pub(crate) String);

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// An object and where it stands in the document.
pub(crate) struct Object<'a> {
    fields: &'a Map<String, Value>,
    path: String,
}

impl<'a> Object<'a> {
    pub(crate) fn new(value: &'a Value, path: &str) -> Result<Self, Fault> {
        match value {
            Value::Object(fields) => Ok(Self {
                fields,
                path: path.into(),
            }),
            _ if path.is_empty() => Err(Fault("the input must be an object".into())),
            _ => Err(Fault(format!("{path}: must be an object"))),
        }
    }

    pub(crate) fn path_of(&self, name: &str) -> String {
        if self.path.is_empty() {
            name.into()
        } else {
            format!("{}.{name}", self.path)
        }
    }

    pub(crate) fn fault(&self, name: &str, what: &str) -> Fault {
        Fault(format!("{}: {what}", self.path_of(name)))
    }

    /// Refuses names that are not in the list, which would otherwise be overlooked.
    pub(crate) fn only(&self, known: &[&str]) -> Result<(), Fault> {
        match self.fields.keys().find(|k| !known.contains(&k.as_str())) {
            Some(name) => Err(self.fault(name, "unknown field")),
            None => Ok(()),
        }
    }

    /// The field, unless left out or null.
    pub(crate) fn optional(&self, name: &str) -> Option<&'a Value> {
        self.fields.get(name).filter(|value| !value.is_null())
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.optional(name).is_some()
    }

    pub(crate) fn needed(&self, name: &str) -> Result<&'a Value, Fault> {
        self.optional(name)
            .ok_or_else(|| self.fault(name, "missing"))
    }

    pub(crate) fn object(&self, name: &str) -> Result<Object<'a>, Fault> {
        Object::new(self.needed(name)?, &self.path_of(name))
    }

    /// A list's objects, empty when left out.
    pub(crate) fn objects(&self, name: &str) -> Result<Vec<Object<'a>>, Fault> {
        let items = self.list(name)?.iter().enumerate();
        items
            .map(|(i, item)| Object::new(item, &format!("{}[{i}]", self.path_of(name))))
            .collect()
    }

    /// A list, empty when left out.
    pub(crate) fn list(&self, name: &str) -> Result<&'a [Value], Fault> {
        match self.optional(name) {
            None => Ok(&[]),
            Some(Value::Array(items)) => Ok(items),
            Some(_) => Err(self.fault(name, "must be a list")),
        }
    }

    pub(crate) fn number(&self, name: &str) -> Result<f64, Fault> {
        let value = self.needed(name)?;
        value
            .as_f64()
            .ok_or_else(|| self.fault(name, "must be a number"))
    }

    pub(crate) fn number_or(&self, name: &str, default: f64) -> Result<f64, Fault> {
        if self.has(name) {
            self.number(name)
        } else {
            Ok(default)
        }
    }

    pub(crate) fn positive(&self, name: &str) -> Result<f64, Fault> {
        let x = self.number(name)?;
        if x > 0.0 {
            Ok(x)
        } else {
            Err(self.fault(name, "must be above zero"))
        }
    }

    pub(crate) fn pair(&self, name: &str) -> Result<[f64; 2], Fault> {
        pair(self.needed(name)?, &self.path_of(name))
    }

    /// Numbers of a list, empty when left out.
    pub(crate) fn numbers(&self, name: &str) -> Result<Vec<f64>, Fault> {
        let items = self.list(name)?.iter().enumerate();
        items
            .map(|(i, x)| {
                x.as_f64()
                    .ok_or_else(|| self.fault(&format!("{name}[{i}]"), "must be a number"))
            })
            .collect()
    }

    pub(crate) fn index(&self, name: &str, below: usize) -> Result<usize, Fault> {
        let index = self.needed(name)?.as_u64();
        index
            .and_then(|i| usize::try_from(i).ok())
            .filter(|i| *i < below)
            .ok_or_else(|| self.fault(name, &format!("must be a whole number below {below}")))
    }

    pub(crate) fn text(&self, name: &str) -> Result<&'a str, Fault> {
        let value = self.needed(name)?;
        value
            .as_str()
            .ok_or_else(|| self.fault(name, "must be text"))
    }

    /// `"rigid"`, `"hinged"` or a spring's stiffness.
    pub(crate) fn end(&self, name: &str) -> Result<End, Fault> {
        match self.needed(name)? {
            Value::String(word) if word == "rigid" => Ok(End::Rigid),
            Value::String(word) if word == "hinged" => Ok(End::Pinned),
            Value::Number(_) if self.number(name)? >= 0.0 => Ok(End::Spring(
                RotationalStiffness::from_nm_per_rad(self.number(name)?),
            )),
            _ => Err(self.fault(
                name,
                "must be \"rigid\", \"hinged\" or N·m/rad, zero or more",
            )),
        }
    }
}

/// A list of two numbers.
pub(crate) fn pair(value: &Value, path: &str) -> Result<[f64; 2], Fault> {
    let numbers = value
        .as_array()
        .map(|items| items.iter().filter_map(Value::as_f64).collect::<Vec<_>>());
    match (numbers.as_deref(), value.as_array().map(Vec::len)) {
        (Some(&[a, b]), Some(2)) => Ok([a, b]),
        _ => Err(Fault(format!("{path}: must be a list of two numbers"))),
    }
}
