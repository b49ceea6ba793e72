//! A figure that can say how it was reached.

use alloc::string::String;
use alloc::vec::Vec;
use quantity::order::sort;

use quantity::physics::{
    Angle, Area, ArealMass, Density, Distance, Force, Frequency, LineLoad, Mass, Moment, Pressure,
    Ratio, Temperature, Volume,
};
use quantity::{Length, Money};
use serde::Serialize;
use serde::ser::{SerializeStruct, Serializer};

use crate::fields::FieldRef;
use crate::formulas::Formula;

/// Any quantity that a plan shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length of wood or cloth, marked or cut.
    Length(Length),
    /// A measured distance.
    Distance(Distance),
    /// A whole number of things.
    Count(u64),
    /// An amount of money.
    Money(Money),
    /// An area.
    Area(Area),
    /// A mass.
    Mass(Mass),
    /// A volume.
    Volume(Volume),
    /// A mass per area.
    ArealMass(ArealMass),
    /// A mass per volume.
    Density(Density),
    /// A share of the whole.
    Ratio(Ratio),
    /// A plain number.
    Number(f64),
    /// An angle.
    Angle(Angle),
    /// A force.
    Force(Force),
    /// A force per length.
    LineLoad(LineLoad),
    /// A turning moment.
    Moment(Moment),
    /// A stress or modulus.
    Pressure(Pressure),
    /// A temperature.
    Temperature(Temperature),
    /// Whole or part days.
    Days(f64),
    /// Hours.
    Hours(f64),
    /// Minutes.
    Minutes(f64),
    /// Cycles per second.
    Frequency(Frequency),
    /// Volume over area in ml/m².
    Spread(f64),
    /// Words.
    Text(String),
}

impl Value {
    /// Number and unit for files: metric, unrounded.
    #[must_use]
    pub fn in_files(&self) -> (f64, &'static str) {
        match self {
            Self::Length(x) => (x.to_mm(), "mm"),
            Self::Distance(x) => (x.to_mm(), "mm"),
            Self::Count(n) => (*n as f64, ""),
            Self::Money(m) => (m.as_hundredths() as f64 / 100.0, "money"),
            Self::Area(x) => (x.to_m2(), "m²"),
            Self::Mass(x) => (x.to_grams(), "g"),
            Self::Volume(x) => (x.to_ml(), "ml"),
            Self::ArealMass(x) => (x.to_g_per_m2(), "g/m²"),
            Self::Density(x) => (x.to_kg_per_m3(), "kg/m³"),
            Self::Ratio(x) => (x.to_percent(), "%"),
            Self::Number(x) => (*x, ""),
            Self::Angle(x) => (x.to_degrees(), "°"),
            Self::Force(x) => (x.to_newtons(), "N"),
            Self::LineLoad(x) => (x.to_n_per_m(), "N/m"),
            Self::Moment(x) => (x.to_nm(), "N·m"),
            Self::Pressure(x) => (x.to_mpa(), "MPa"),
            Self::Temperature(x) => (x.to_celsius(), "°C"),
            Self::Days(x) => (*x, "days"),
            Self::Hours(x) => (*x, "h"),
            Self::Minutes(x) => (*x, "min"),
            Self::Frequency(x) => (x.to_hz(), "Hz"),
            Self::Spread(x) => (*x, "ml/m²"),
            Self::Text(_) => (0.0, ""),
        }
    }
}

macro_rules! value_from {
    ($($t:ident),+) => {$(
        impl From<$t> for Value {
            fn from(x: $t) -> Self { Self::$t(x) }
        }
    )+};
}
value_from!(
    Length,
    Distance,
    Money,
    Area,
    Mass,
    Volume,
    ArealMass,
    Density,
    Ratio,
    Angle,
    Force,
    LineLoad,
    Moment,
    Pressure,
    Temperature,
    Frequency
);
impl From<u64> for Value {
    fn from(n: u64) -> Self {
        Self::Count(n)
    }
}
impl From<u32> for Value {
    fn from(n: u32) -> Self {
        Self::Count(u64::from(n))
    }
}
impl From<f64> for Value {
    fn from(x: f64) -> Self {
        Self::Number(x)
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        if let Self::Text(t) = self {
            return s.serialize_str(t);
        }
        let (number, unit) = self.in_files();
        let mut st = s.serialize_struct("Value", 2)?;
        st.serialize_field("number", &number)?;
        st.serialize_field("unit", unit)?;
        st.end()
    }
}

/// Where an input of a figure came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The usual value of a field that the maker left empty.
    Usual,
    /// Typed by the maker.
    Chosen,
    /// Another figure of this plan.
    Computed,
    /// A constant of nature, of a standard or of the trade.
    Constant,
    /// A field that can't be read yet; a stand-in was used and the figure waits.
    Waiting,
}

/// One input of a figure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Input {
    /// Its name for people.
    pub name: &'static str,
    /// Its value.
    pub value: Value,
    /// Where it came from.
    pub origin: Origin,
    /// The fields that it waits for, if any.
    #[serde(skip)]
    pub waiting: Vec<FieldRef>,
}

impl Input {
    /// A constant.
    #[must_use]
    pub fn constant(name: &'static str, value: impl Into<Value>) -> Self {
        Self {
            name,
            value: value.into(),
            origin: Origin::Constant,
            waiting: Vec::new(),
        }
    }
}

/// How a figure was reached: by which formula, from which inputs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct How {
    /// The formula, with its source.
    pub formula: &'static Formula,
    /// What went in.
    pub inputs: Vec<Input>,
}

impl How {
    /// A figure's way, by formula and inputs.
    #[must_use]
    pub fn new(formula: &'static Formula, inputs: Vec<Input>) -> Self {
        Self { formula, inputs }
    }

    /// The fields that must be put right before this figure can be trusted.
    #[must_use]
    pub fn waiting(&self) -> Vec<FieldRef> {
        let mut all: Vec<FieldRef> = self
            .inputs
            .iter()
            .flat_map(|i| i.waiting.iter().copied())
            .collect();
        sort(&mut all);
        all.dedup();
        all
    }

    /// Whether a field must be put right first.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        self.inputs.iter().any(|i| !i.waiting.is_empty())
    }
}

/// A value of the plan with how it was reached.
///
/// Serialises as `{"value": …, "unit": …, "how": {…}}` with the value unrounded and metric.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure<T> {
    /// The value, unrounded.
    pub value: T,
    /// How it was reached.
    pub how: How,
}

impl<T: Clone + Into<Value>> Figure<T> {
    /// A figure by formula and inputs.
    #[must_use]
    pub fn new(value: T, formula: &'static Formula, inputs: Vec<Input>) -> Self {
        Self {
            value,
            how: How::new(formula, inputs),
        }
    }

    /// This figure as an input of another.
    #[must_use]
    pub fn input(&self, name: &'static str) -> Input {
        Input {
            name,
            value: self.value.clone().into(),
            origin: Origin::Computed,
            waiting: self.how.waiting(),
        }
    }

    /// Whether a field must be put right first.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        self.how.is_waiting()
    }
}

impl<T: Clone + Into<Value>> Serialize for Figure<T> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        write_figure(&self.value.clone().into(), &self.how, s)
    }
}

/// Apart from the type of the value, so that it is compiled once.
fn write_figure<S: Serializer>(value: &Value, how: &How, s: S) -> Result<S::Ok, S::Error> {
    let (number, unit) = value.in_files();
    let mut st = s.serialize_struct("Figure", 4)?;
    st.serialize_field("value", &number)?;
    st.serialize_field("unit", unit)?;
    st.serialize_field("waiting", &how.is_waiting())?;
    st.serialize_field("how", how)?;
    st.end()
}

/// A value of the Brief with where it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Given<T> {
    /// The value.
    pub value: T,
    /// Usual, chosen, or a stand-in for a field that can't be read.
    pub origin: Origin,
    /// The field.
    pub field: FieldRef,
}

impl<T: Clone + Into<Value>> Given<T> {
    /// This value as an input of a figure, under its name on the page.
    #[must_use]
    pub fn input(&self) -> Input {
        self.input_as(self.value.clone())
    }
}

impl<T> Given<T> {
    /// This field as an input of a figure, its value put as something else (words for a choice).
    #[must_use]
    pub fn input_as(&self, value: impl Into<Value>) -> Input {
        let waiting = if self.origin == Origin::Waiting {
            alloc::vec![self.field]
        } else {
            Vec::new()
        };
        Input {
            name: self.field.label(),
            value: value.into(),
            origin: self.origin.clone(),
            waiting,
        }
    }

    /// Whether the field can't be read yet.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        self.origin == Origin::Waiting
    }
}
