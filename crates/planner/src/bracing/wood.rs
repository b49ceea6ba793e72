//! How stiff the batten is: strength classes, kinds of wood, or the maker's own value.

use alloc::string::String;

use quantity::physics::{Density, Pressure, Ratio};
use serde::Serialize;

use crate::brief::{Brief, Grade, Stiffness};
use crate::figure::{Figure, Input, Value};
use crate::formulas as f;
use crate::moisture::equilibrium;

/// A strength class of sawn softwood.
///
/// EN 338:2016, read in two public copies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrengthClass {
    /// Its name.
    pub name: &'static str,
    /// Mean modulus of elasticity along the grain, MPa.
    pub modulus_mpa: f64,
    /// Its 5th percentile, MPa.
    pub lower_mpa: f64,
    /// Mean shear modulus, MPa.
    pub shear_mpa: f64,
    /// Characteristic and mean density, kg/m³.
    pub density_kg_per_m3: [f64; 2],
}

const fn class(
    name: &'static str,
    modulus_mpa: f64,
    lower_mpa: f64,
    shear_mpa: f64,
    density_kg_per_m3: [f64; 2],
) -> StrengthClass {
    StrengthClass {
        name,
        modulus_mpa,
        lower_mpa,
        shear_mpa,
        density_kg_per_m3,
    }
}

/// EN 338:2016, table 1: C14 to C24.
pub static STRENGTH_CLASSES: [StrengthClass; 4] = [
    class("C14", 7_000.0, 4_700.0, 440.0, [290.0, 350.0]),
    class("C16", 8_000.0, 5_400.0, 500.0, [310.0, 370.0]),
    class("C18", 9_000.0, 6_000.0, 560.0, [320.0, 380.0]),
    class("C24", 11_000.0, 7_400.0, 690.0, [350.0, 420.0]),
];

/// Variation of the modulus among clear pieces of one kind of wood: 22 % (Wood Handbook,
/// table 5-6, from memory). The 5th percentile lies 1.645 of it below the mean.
const VARIATION: f64 = 0.22;
/// Shear modulus over modulus: a sixteenth, as in EN 338's own table.
const SHEAR_SHARE: f64 = 1.0 / 16.0;
/// Change of the modulus for each 1 % of moisture away from 12 %, within 8 to 18 % (EN 384:2016,
/// from memory).
const PER_PERCENT: f64 = 0.01;

/// The stiffness of the batten.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Batten {
    /// What it is: class, kind of wood or the maker's own value.
    pub name: String,
    /// Where its stiffness comes from.
    pub source: &'static str,
    /// Moisture of the wood in the dampest season.
    pub moisture: Figure<Ratio>,
    /// Mean modulus of elasticity along the grain, at that moisture.
    pub mean: Figure<Pressure>,
    /// Its 5th percentile: of twenty battens, one is softer.
    pub lower: Figure<Pressure>,
    /// The one that bending is reckoned with.
    pub modulus: Figure<Pressure>,
    /// Shear modulus that goes with it.
    pub shear: Figure<Pressure>,
    /// Specific gravity, for the holding of screws.
    pub specific_gravity: f64,
}

/// Modulus at a moisture: 1 % less for each 1 % above 12, within 8 to 18 %.
///
/// ```
/// use planner::bracing::wood::at_moisture;
/// use quantity::physics::{Pressure, Ratio};
/// // 8000 / (1 + 0.01 × (16 − 12)) = 7692 MPa
/// let e = at_moisture(Pressure::from_mpa(8000.0), Ratio::from_percent(16.0));
/// assert!((e.to_mpa() - 7692.3).abs() < 0.1);
/// ```
#[must_use]
pub fn at_moisture(modulus: Pressure, moisture: Ratio) -> Pressure {
    let over = moisture.to_percent().clamp(8.0, 18.0) - 12.0;
    modulus / (1.0 + PER_PERCENT * over)
}

/// The batten of a plan.
pub(crate) fn batten(brief: &Brief) -> Batten {
    let species = brief.species.value;
    let class = match brief.grade.value {
        Grade::BySpecies => None,
        Grade::C14 => Some(&STRENGTH_CLASSES[0]),
        Grade::C16 => Some(&STRENGTH_CLASSES[1]),
        Grade::C18 => Some(&STRENGTH_CLASSES[2]),
        Grade::C24 => Some(&STRENGTH_CLASSES[3]),
    };
    let kind = Input {
        value: Value::Text(species.name.into()),
        ..brief.species.input_as(0_u64)
    };
    // The unknown softwood takes the commonest class as it stands.
    let class = class.or((species.key == "softwood").then_some(&STRENGTH_CLASSES[1]));
    let (name, source, mean, lower, given): (_, _, _, _, Input) = match (&brief.modulus, class) {
        (Some(own), _) => (
            String::from("the maker's own value"),
            "the maker",
            own.value,
            own.value,
            own.input(),
        ),
        (None, Some(class)) => (
            String::from(class.name),
            "EN 338:2016, table 1 (public copies)",
            Pressure::from_mpa(class.modulus_mpa),
            Pressure::from_mpa(class.lower_mpa),
            match brief.grade.value {
                Grade::BySpecies => kind,
                _ => brief.grade.input_as(Value::Text(class.name.into())),
            },
        ),
        (None, None) => (
            String::from(species.name),
            species.source,
            Pressure::from_mpa(species.modulus_mpa),
            Pressure::from_mpa(species.modulus_mpa * (1.0 - 1.645 * VARIATION)),
            kind,
        ),
    };
    let moisture = Figure::new(
        equilibrium(brief.studio_temperature.value, brief.summer_humidity.value),
        &f::DAMPEST_WOOD,
        alloc::vec![
            brief.studio_temperature.input(),
            brief.summer_humidity.input()
        ],
    );
    // A measured stiffness is the batten's as it is.
    let corrected = |table: Pressure| match brief.modulus {
        Some(_) => table,
        None => at_moisture(table, moisture.value),
    };
    let figure = |table: Pressure, formula| {
        Figure::new(
            corrected(table),
            formula,
            alloc::vec![
                given.clone(),
                Input::constant("in the table", table),
                moisture.input("moisture in the dampest season")
            ],
        )
    };
    let mean = figure(mean, &f::MODULUS_MEAN);
    let lower = figure(lower, &f::MODULUS_LOWER);
    let modulus = match brief.stiffness.value {
        Stiffness::Mean => mean.clone(),
        Stiffness::Lower => lower.clone(),
    };
    let shear = Figure::new(
        modulus.value * SHEAR_SHARE,
        &f::SHEAR_MODULUS,
        alloc::vec![modulus.input("modulus")],
    );
    Batten {
        name,
        source,
        moisture,
        mean,
        lower,
        modulus,
        shear,
        specific_gravity: class.map_or(species.specific_gravity, |class| {
            gravity(Density::from_kg_per_m3(class.density_kg_per_m3[1]))
        }),
    }
}

/// Oven-dry mass over volume at 12 % moisture, from a density at 12 %.
fn gravity(at_twelve: Density) -> f64 {
    at_twelve.to_kg_per_m3() / 1000.0 / 1.12
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_classes_follow_the_standards_own_rules() {
        // EN 384 (from memory): E0,05 = 0.67 E0,mean and G = E0,mean / 16 for softwood; the
        // table is rounded to 100 and to 10.
        for c in &STRENGTH_CLASSES {
            assert!(
                (c.lower_mpa - 0.67 * c.modulus_mpa).abs() <= 50.0,
                "{}",
                c.name
            );
            assert!(
                (c.shear_mpa - c.modulus_mpa * SHEAR_SHARE).abs() <= 5.0,
                "{}",
                c.name
            );
        }
    }
}
