//! Woods that battens are made of: how much they move, weigh and bend. One row a wood, each with its
//! source.

use quantity::physics::{Density, Ratio};

use crate::brief::Choice;
use crate::fields::Answer;

/// A wood.
#[derive(Debug, PartialEq)]
pub struct Species {
    /// Key in plan files and links.
    pub key: &'static str,
    /// Its name for people.
    pub name: &'static str,
    /// Change across the grain along the rays, as a share of the size for each 1 % of moisture.
    pub radial: f64,
    /// Change across the grain along the growth rings.
    pub tangential: f64,
    /// Moisture above which it no longer swells, in per cent of the dry mass.
    pub fibre_saturation: f64,
    /// Oven-dry mass over volume at 12 % moisture, against water.
    pub specific_gravity: f64,
    /// Mean modulus of elasticity along the grain at 12 % moisture, MPa.
    pub modulus_mpa: f64,
    /// Where the row comes from.
    pub source: &'static str,
}

impl Species {
    /// Density at a moisture: dry mass and its water over the volume at 12 %, which changes
    /// little.
    ///
    /// ```
    /// use planner::species::of;
    /// use quantity::physics::Ratio;
    /// // Specific gravity 0.40 at 12 %: 1000 × 0.40 × 1.12 = 448 kg/m³
    /// let wood = of("ponderosa").unwrap();
    /// assert!((wood.density(Ratio::from_percent(12.0)).to_kg_per_m3() - 448.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn density(&self, moisture: Ratio) -> Density {
        Density::from_kg_per_m3(1000.0 * self.specific_gravity * (1.0 + moisture.to_ratio()))
    }
}

/// The wood with this key.
#[must_use]
pub fn of(key: &str) -> Option<&'static Species> {
    SPECIES.iter().find(|s| s.key == key)
}

const fn wood(
    key: &'static str,
    name: &'static str,
    (radial, tangential): (f64, f64),
    fibre_saturation: f64,
    specific_gravity: f64,
    modulus_mpa: f64,
    source: &'static str,
) -> Species {
    Species {
        key,
        name,
        radial,
        tangential,
        fibre_saturation,
        specific_gravity,
        modulus_mpa,
        source,
    }
}

const HOW_MANY: usize = 22;

/// Movement: Wood Handbook (Forest Products Laboratory, FPL-GTR-190) Table 13-5, read in a
/// public copy. Gravity: its Table 5-3; most rows from memory.
const HANDBOOK: &str = "movement: Wood Handbook (FPL-GTR-190) Table 13-5, a public copy; specific gravity and stiffness: its Table 5-3, from memory";
const HANDBOOK_READ: &str = "movement: Wood Handbook (FPL-GTR-190) Table 13-5, a public copy; specific gravity and stiffness: its Table 5-3a";

/// All woods; the first is taken when nothing is said.
#[rustfmt::skip]
pub static SPECIES: [Species; HOW_MANY] = [
    wood("softwood", "softwood, kind not known", (0.0025, 0.0025), 30.0, 0.375, 8_000.0,
        "movement: 0.25 % for 1 % moisture (TRADA information sheet, quoted); 420 kg/m³: mean of class C24 in EN 338; stiffness: class C16 there"),
    wood("spruce", "spruce, Norway (whitewood)", (0.0019, 0.0039), 30.0, 0.41, 11_000.0,
        "movement: DIN 68100, from memory; specific gravity: EN 350, 460 kg/m³, from memory; stiffness: DIN 68364, from memory"),
    wood("scots_pine", "pine, Scots (redwood deal)", (0.0019, 0.0036), 30.0, 0.46, 11_000.0,
        "movement: DIN 68100, from memory; specific gravity: EN 350, 520 kg/m³, from memory; stiffness: DIN 68364, from memory"),
    wood("sitka", "spruce, Sitka", (0.00148, 0.00263), 30.0, 0.40, 9_900.0, HANDBOOK),
    wood("engelmann", "spruce, Engelmann", (0.00130, 0.00248), 30.0, 0.35, 8_900.0, HANDBOOK),
    wood("red_spruce", "spruce, red", (0.00130, 0.00274), 30.0, 0.40, 11_100.0, HANDBOOK),
    wood("white_spruce", "spruce, white", (0.00130, 0.00274), 30.0, 0.36, 9_600.0, HANDBOOK),
    wood("black_spruce", "spruce, black", (0.00141, 0.00237), 30.0, 0.42, 11_100.0, HANDBOOK),
    wood("eastern_white", "pine, eastern white", (0.00071, 0.00212), 30.0, 0.35, 8_500.0, HANDBOOK),
    wood("western_white", "pine, western white", (0.00141, 0.00259), 30.0, 0.38, 10_100.0, HANDBOOK),
    wood("lodgepole", "pine, lodgepole", (0.00148, 0.00234), 30.0, 0.41, 9_200.0, HANDBOOK),
    wood("ponderosa", "pine, ponderosa", (0.00133, 0.00216), 30.0, 0.40, 8_900.0, HANDBOOK_READ),
    wood("red_pine", "pine, red", (0.00130, 0.00252), 30.0, 0.46, 11_200.0, HANDBOOK_READ),
    wood("sugar_pine", "pine, sugar", (0.00099, 0.00194), 30.0, 0.36, 8_200.0, HANDBOOK_READ),
    wood("douglas_coast", "Douglas-fir, coast", (0.00165, 0.00267), 30.0, 0.48, 13_400.0, HANDBOOK_READ),
    wood("douglas_north", "Douglas-fir, interior north", (0.00130, 0.00241), 30.0, 0.48, 12_300.0, HANDBOOK),
    wood("douglas_west", "Douglas-fir, interior west", (0.00165, 0.00263), 30.0, 0.50, 12_600.0, HANDBOOK),
    wood("white_fir", "fir, white", (0.00112, 0.00245), 30.0, 0.39, 10_300.0, HANDBOOK),
    wood("hemlock", "hemlock, western", (0.00144, 0.00274), 30.0, 0.45, 11_300.0, HANDBOOK),
    // Fibre saturation 22 %, not 30: only so does Table 13-5 follow from Table 4-3.
    wood("redcedar", "redcedar, western", (0.00111, 0.00234), 22.0, 0.32, 7_650.0, HANDBOOK_READ),
    wood("redwood_old", "redwood, old growth", (0.00120, 0.00205), 22.0, 0.40, 9_200.0, HANDBOOK_READ),
    wood("redwood_young", "redwood, young growth", (0.00101, 0.00229), 22.0, 0.35, 7_600.0, HANDBOOK_READ),
];

/// The answers of the field, in the order of the table.
pub(crate) const ANSWERS: [Answer; HOW_MANY] = {
    let mut all = [("", ""); HOW_MANY];
    let mut i = 0;
    while i < HOW_MANY {
        all[i] = (SPECIES[i].key, SPECIES[i].name);
        i += 1;
    }
    all
};

impl Choice for &'static Species {
    const ALL: &'static [(&'static str, Self)] = &{
        let mut all = [("", &SPECIES[0]); HOW_MANY];
        let mut i = 0;
        while i < HOW_MANY {
            all[i] = (SPECIES[i].key, &SPECIES[i]);
            i += 1;
        }
        all
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_unique_and_values_those_of_a_softwood() {
        for (i, s) in SPECIES.iter().enumerate() {
            assert!(SPECIES[i + 1..].iter().all(|t| t.key != s.key), "{}", s.key);
            assert!(s.radial <= s.tangential && s.radial > 0.0005 && s.tangential < 0.005);
            assert!((0.3..0.6).contains(&s.specific_gravity), "{}", s.key);
            assert!((7_000.0..14_000.0).contains(&s.modulus_mpa), "{}", s.key);
        }
    }
}
