//! Glue size: how much dry glue in how much water.

use quantity::physics::{Area, Mass, Ratio, Volume};
use serde::Serialize;

use crate::brief::{Brief, RatioBy};
use crate::figure::{Figure, Input};
use crate::formulas as f;

/// Water at 20 °C: 0.998207 g/ml (IAPWS-95).
const WATER_G_PER_ML: f64 = 0.998_207;

/// The size for the whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Size {
    /// Front and edges of all canvases.
    pub area: Figure<Area>,
    /// Liquid size, waste included.
    pub volume: Figure<Volume>,
    /// Dry glue.
    pub glue: Figure<Mass>,
    /// Dry glue as it pours, for a maker with a jug.
    pub glue_poured: Figure<Volume>,
    /// Water.
    pub water: Figure<Volume>,
    /// The typed ratio as parts of water to one of glue by weight.
    pub by_weight: Figure<f64>,
    /// The same glue as parts by volume of granules.
    pub by_volume: Figure<f64>,
    /// Share of glue in the size by weight.
    pub strength: Figure<Ratio>,
    /// Jars, filled to four fifths.
    pub jars: Figure<u64>,
    /// Hours of soaking.
    pub soak_hours: Figure<f64>,
    /// Minutes in the water bath.
    pub warm_minutes: Figure<f64>,
}

/// Size for an area.
pub(crate) fn size(brief: &Brief, area: Figure<Area>) -> Size {
    let waste = 1.0 + brief.size_waste.value.to_ratio();
    let volume = Figure::new(
        Volume::from_ml(
            area.value.to_m2()
                * brief.size_spread.value
                * f64::from(brief.size_coats.value)
                * waste,
        ),
        &f::SIZE_VOLUME,
        alloc::vec![
            area.input("area"),
            brief
                .size_spread
                .input_as(crate::figure::Value::Spread(brief.size_spread.value)),
            brief.size_coats.input(),
            brief.size_waste.input(),
        ],
    );
    let mass = Figure::new(
        Mass::from_grams(volume.value.to_ml()),
        &f::SIZE_MASS,
        alloc::vec![volume.input("liquid size")],
    );

    let bulk = brief.glue_bulk.value.to_kg_per_m3() / 1000.0;
    let ratio = brief.ratio.value;
    // The same words, two readings: by volume, `ratio` millilitres of water meet one millilitre
    // of granules, which weighs only its poured density.
    let weight_ratio = match brief.ratio_by.value {
        RatioBy::Weight => ratio,
        RatioBy::Volume => ratio * WATER_G_PER_ML / bulk,
    };
    let means = |value: f64| {
        Figure::new(
            value,
            &f::RATIO_MEANS,
            alloc::vec![
                brief.ratio.input(),
                brief
                    .ratio_by
                    .input_as(crate::figure::Value::Text(by(brief).into())),
                brief.glue_bulk.input()
            ],
        )
    };
    let by_weight = means(weight_ratio);
    let by_volume = means(weight_ratio * bulk / WATER_G_PER_ML);

    let grams = mass.value.to_grams() / (weight_ratio + 1.0);
    let glue = Figure::new(
        Mass::from_grams(grams),
        match brief.ratio_by.value {
            RatioBy::Weight => &f::SIZE_GLUE_WEIGHT,
            RatioBy::Volume => &f::SIZE_GLUE_VOLUME,
        },
        alloc::vec![
            mass.input("mass of size"),
            by_weight.input("ratio by weight")
        ],
    );
    let water = Figure::new(
        Volume::from_ml((mass.value.to_grams() - grams) / WATER_G_PER_ML),
        &f::SIZE_WATER,
        alloc::vec![
            mass.input("mass of size"),
            glue.input("dry glue"),
            Input::constant("water, g/ml at 20 °C", WATER_G_PER_ML)
        ],
    );
    let glue_poured = Figure::new(
        Volume::from_ml(grams / bulk),
        &f::GLUE_POURED,
        alloc::vec![glue.input("dry glue"), brief.glue_bulk.input()],
    );
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive count"
    )]
    let jars = Figure::new(
        libm::ceil(volume.value / (brief.jar.value * 0.8) - 1e-9).max(0.0) as u64,
        &f::JARS,
        alloc::vec![volume.input("liquid size"), brief.jar.input()],
    );
    Size {
        strength: Figure::new(
            Ratio::from_ratio(1.0 / (weight_ratio + 1.0)),
            &f::STRENGTH,
            alloc::vec![by_weight.input("ratio by weight")],
        ),
        area,
        volume,
        glue,
        glue_poured,
        water,
        by_weight,
        by_volume,
        jars,
        soak_hours: Figure::new(
            brief.soak.value,
            &f::AS_SET,
            alloc::vec![
                brief
                    .soak
                    .input_as(crate::figure::Value::Hours(brief.soak.value))
            ],
        ),
        warm_minutes: Figure::new(
            brief.warm.value,
            &f::AS_SET,
            alloc::vec![
                brief
                    .warm
                    .input_as(crate::figure::Value::Minutes(brief.warm.value))
            ],
        ),
    }
}

fn by(brief: &Brief) -> &'static str {
    match brief.ratio_by.value {
        RatioBy::Weight => "weight",
        RatioBy::Volume => "volume",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Draft;

    fn sized(json: &str, area: f64) -> Size {
        let (draft, faults) = Draft::from_tree(&serde_json::from_str(json).unwrap());
        assert_eq!(faults, []);
        let (brief, _) = crate::brief::check(&draft);
        size(
            &brief,
            Figure::new(Area::from_m2(area), &f::SIZE_AREA, alloc::vec::Vec::new()),
        )
    }

    #[test]
    fn ten_to_one_by_weight_is_one_part_in_eleven() {
        // 500 g of size: 45.45 g glue + 454.55 g water = 455.4 ml at 20 °C (reference values,
        // section 7 and 3.3: arithmetic and IAPWS-95). 1 m² × 500 ml × 1 coat, no waste.
        let s = sized(
            r#"{"size_coats":1,"size_spread":"500 ml/m²","size_waste":"0 %"}"#,
            1.0,
        );
        assert!((s.glue.value.to_grams() - 45.4545).abs() < 1e-3);
        assert!((s.water.value.to_ml() - 455.36).abs() < 0.01);
        assert!((s.strength.value.to_percent() - 9.0909).abs() < 1e-3);
    }

    #[test]
    fn ten_to_one_by_volume_is_fifteen_to_one_by_weight() {
        // 500 ml water + 50 ml granules at 0.665 g/ml = 33.25 g (trade sheet's poured density);
        // 499.1 g / 33.25 g = 15.01.
        let s = sized(
            r#"{"ratio_by":"volume","size_coats":1,"size_spread":"500 ml/m²","size_waste":"0 %"}"#,
            1.0,
        );
        assert!((s.by_weight.value - 15.01).abs() < 0.01);
        assert!((s.by_volume.value - 10.0).abs() < 1e-9);
        // Granules poured are a tenth of the water.
        assert!((s.glue_poured.value / s.water.value - 0.1).abs() < 1e-9);
    }
}
