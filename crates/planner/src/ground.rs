//! The ground: how much of it, and how long each coat takes to dry.

use quantity::physics::{Area, ArealMass, Mass, Volume};
use serde::Serialize;

use crate::brief::{Brief, Ground as Kind};
use crate::figure::{Figure, Input, Value};
use crate::formulas as f;
use crate::size::strength;

/// How long something dries, as published or practised.
#[derive(Debug, PartialEq, Serialize)]
pub struct Drying {
    /// What dries, and before what.
    pub what: &'static str,
    /// Least, in hours.
    pub least_hours: f64,
    /// Most, in hours.
    pub most_hours: f64,
    /// Where it comes from.
    pub source: &'static str,
}

/// Drying of one kind of ground.
#[derive(Debug, PartialEq, Serialize)]
pub struct DryingOf {
    /// Between two coats.
    pub between: Drying,
    /// From the last coat to paint.
    pub before_paint: Drying,
}

/// Size, before the ground.
pub static SIZE_DRYING: Drying = Drying {
    what: "size, before the ground",
    least_hours: 24.0,
    most_hours: 48.0,
    source: "a day or two: a published priming guide",
};

static ACRYLIC: DryingOf = DryingOf {
    between: Drying {
        what: "acrylic primer, between coats",
        least_hours: 1.0,
        most_hours: 24.0,
        source: "published claims run from an hour to a day",
    },
    before_paint: Drying {
        what: "acrylic primer, before oil paint",
        least_hours: 24.0,
        most_hours: 72.0,
        source: "24 to 48 hours published; three days is common practice, no source",
    },
};
static OIL: DryingOf = DryingOf {
    between: Drying {
        what: "oil ground, between coats",
        least_hours: 24.0,
        most_hours: 168.0,
        source: "common practice, no source",
    },
    before_paint: Drying {
        what: "oil ground, before paint",
        least_hours: 168.0,
        most_hours: 1008.0,
        source: "one to six weeks: common practice, no source",
    },
};
static CHALK: DryingOf = DryingOf {
    between: Drying {
        what: "chalk ground, between thin coats",
        least_hours: 0.5,
        most_hours: 2.0,
        source: "about 30 minutes published",
    },
    before_paint: Drying {
        what: "chalk ground, before paint",
        least_hours: 24.0,
        most_hours: 72.0,
        source: "common practice, no source",
    },
};

/// Drying of a ground; none where no ground is put on.
#[must_use]
pub fn drying(kind: Kind) -> Option<&'static DryingOf> {
    match kind {
        Kind::Acrylic => Some(&ACRYLIC),
        Kind::Oil => Some(&OIL),
        Kind::Chalk => Some(&CHALK),
        Kind::Nothing => None,
    }
}

/// Dry mass left by a millilitre of a ready ground, g (common practice, no source: an acrylic
/// primer of about 1.35 g/ml with 55 % solids; an oil ground of about 1.8 g/ml, all of which stays).
const ACRYLIC_SOLIDS: f64 = 0.74;
const OIL_SOLIDS: f64 = 1.8;
/// Solid chalk, g/ml (from memory).
const CHALK_SOLID: f64 = 2.7;
/// Chalk as it pours, g/ml (common practice, no source).
const CHALK_POURED: f64 = 0.9;

/// Chalk ground of a volume: size and chalk, by the parts of chalk to one of size by weight.
///
/// The chalk's grains take their own room: 1 g in 2.7 ml⁻¹; thin size weighs about 1 g/ml.
///
/// ```
/// use planner::ground::chalk_ground;
/// use quantity::physics::Volume;
/// // 1000 ml at 1 : 1 by weight: 1000 / (1 + 1/2.7) = 729.7 ml of size and as many grams of chalk
/// let (size, chalk) = chalk_ground(Volume::from_ml(1000.0), 1.0);
/// assert!((size.to_ml() - 729.73).abs() < 0.01 && (chalk.to_grams() - 729.73).abs() < 0.01);
/// ```
#[must_use]
pub fn chalk_ground(volume: Volume, parts: f64) -> (Volume, Mass) {
    let size = volume.to_ml() / (1.0 + parts / CHALK_SOLID);
    (Volume::from_ml(size), Mass::from_grams(size * parts))
}

/// The ground of the whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroundPlan {
    /// Liquid ground, waste included.
    pub volume: Figure<Volume>,
    /// Dry mass on the cloth.
    pub dry: Figure<ArealMass>,
    /// Chalk ground mixed from size.
    pub chalk: Option<ChalkGround>,
    /// How long it dries.
    pub drying: &'static DryingOf,
}

/// A chalk ground's parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChalkGround {
    /// Warm size to mix it from.
    pub size: Figure<Volume>,
    /// Chalk.
    pub chalk: Figure<Mass>,
    /// Chalk as it pours, for a maker with a jug.
    pub chalk_poured: Figure<Volume>,
    /// Parts of poured chalk to one of size.
    pub by_volume: Figure<f64>,
}

/// Ground for an area; none where none is put on.
pub(crate) fn ground(brief: &Brief, area: &Figure<Area>) -> Option<GroundPlan> {
    let drying = drying(brief.ground.value)?;
    let coats = f64::from(brief.ground_coats.value);
    let (spread, waste) = (
        brief.ground_spread.value,
        1.0 + brief.size_waste.value.to_ratio(),
    );
    let spread_input = || {
        brief
            .ground_spread
            .input_as(Value::Spread(brief.ground_spread.value))
    };
    let volume = Figure::new(
        Volume::from_ml(area.value.to_m2() * spread * coats * waste),
        &f::GROUND_VOLUME,
        alloc::vec![
            area.input("area"),
            spread_input(),
            brief.ground_coats.input(),
            brief.size_waste.input()
        ],
    );
    let chalk = (brief.ground.value == Kind::Chalk).then(|| {
        let parts = brief.chalk_parts.value;
        let (size, grams) = chalk_ground(volume.value, parts);
        let inputs = || alloc::vec![volume.input("liquid ground"), brief.chalk_parts.input()];
        let chalk = Figure::new(grams, &f::CHALK, inputs());
        let chalk_poured = Figure::new(
            Volume::from_ml(grams.to_grams() / CHALK_POURED),
            &f::CHALK_POURED,
            alloc::vec![
                chalk.input("chalk"),
                Input::constant("chalk as it pours, g/ml", CHALK_POURED)
            ],
        );
        ChalkGround {
            size: Figure::new(size, &f::CHALK_SIZE, inputs()),
            by_volume: Figure::new(
                parts / CHALK_POURED,
                &f::CHALK_BY_VOLUME,
                alloc::vec![
                    brief.chalk_parts.input(),
                    Input::constant("chalk as it pours, g/ml", CHALK_POURED)
                ],
            ),
            chalk,
            chalk_poured,
        }
    });
    let solids = match brief.ground.value {
        Kind::Acrylic => ACRYLIC_SOLIDS,
        Kind::Oil => OIL_SOLIDS,
        Kind::Chalk => {
            let parts = brief.chalk_parts.value;
            (parts + strength(brief)) / (1.0 + parts / CHALK_SOLID)
        }
        Kind::Nothing => 0.0,
    };
    let dry = Figure::new(
        ArealMass::from_g_per_m2(spread * coats * solids),
        &f::GROUND_DRY,
        alloc::vec![
            spread_input(),
            brief.ground_coats.input(),
            Input::constant("dry mass, g in a ml", solids)
        ],
    );
    Some(GroundPlan {
        volume,
        dry,
        chalk,
        drying,
    })
}
