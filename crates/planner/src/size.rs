//! Size: how much dry glue in how much water, in which jars, how warm and how long it keeps; or a
//! ready size without animal glue.

use alloc::vec::Vec;

use quantity::physics::{
    Area, ArealMass, Density, Distance, LineLoad, Mass, Pressure, Ratio, Temperature, Volume,
};
use serde::Serialize;

use crate::brief::{Brief, RatioBy, SizeKind};
use crate::diary::{Diary, DiaryStep};
use crate::figure::{Figure, Given, Input, Origin, Value};
use crate::formulas as f;
use crate::show::Units;

/// Water at 20 °C: 0.998207 g/ml (IAPWS-95).
const WATER_G_PER_ML: f64 = 0.998_207;
/// Dry animal glue: published from memory as 1.27 to 1.35 g/ml.
const DRY_GLUE: Density = Density::from_g_per_ml(1.31);
/// Peak stress of a hide-glue film held and dried, 3920 psi (Mecklenburg 1982).
const DRYING_STRESS: Pressure = Pressure::from_mpa(27.0);
/// Published canvas recipes, parts of water to one of glue by weight.
const PUBLISHED: [f64; 2] = [17.0, 42.0];
/// Cloth for which the spread of a coat is stated (our choice: the usual cloth of this plan).
const SPREAD_CLOTH: ArealMass = ArealMass::from_g_per_m2(400.0);
/// The warmest the water bath should be: published ceilings run from 60 to 70 °C, so 60 to 65.
pub const BATH_LIMIT: Temperature = Temperature::from_celsius(65.0);
/// Why the bath has a limit.
#[must_use]
pub const fn bath_reason(units: Units) -> &'static str {
    match units {
        Units::Metric => {
            "Hot glue breaks down and no longer holds: published ceilings are 60 °C and 70 °C, dissolving temperatures 54 to 63 °C. Sources disagree, so stay at 60 to 65 °C, in a water bath and never boiling."
        }
        Units::Imperial => {
            "Hot glue breaks down and no longer holds: published ceilings are 140 °F and 158 °F, dissolving temperatures 129 to 145 °F. Sources disagree, so stay at 140 to 149 °F, in a water bath and never boiling."
        }
    }
}
/// Dry mass left by a millilitre of ready size, g (common practice, no source: a fifth).
const READY_SOLIDS: f64 = 0.2;

/// Parts of water to one of dry glue by weight, from parts by volume: a millilitre of granules
/// weighs only its poured density.
///
/// ```
/// use planner::size::by_weight;
/// use quantity::physics::Density;
/// // 10 × 0.998207 / 0.665 = 15.01
/// assert!((by_weight(10.0, Density::from_g_per_ml(0.665)) - 15.01).abs() < 0.01);
/// ```
#[must_use]
pub fn by_weight(by_volume: f64, poured: Density) -> f64 {
    by_volume * WATER_G_PER_ML / (poured.to_kg_per_m3() / 1000.0)
}

/// Thickness of the glue that a dried size leaves.
#[must_use]
pub fn film_thickness(dry: ArealMass) -> Distance {
    Distance::from_m(dry.to_kg_per_m2() / DRY_GLUE.to_kg_per_m3())
}

/// The most that a glue film can tighten a cloth when it dries on a frame that does not give:
/// its peak drying stress times its thickness. A case for the statics, not a forecast.
///
/// ```
/// use planner::size::tightening;
/// use quantity::physics::Distance;
/// // 27 MPa × 10 µm = 270 N/m
/// assert!((tightening(Distance::from_mm(0.01)).to_n_per_m() - 270.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn tightening(film: Distance) -> LineLoad {
    LineLoad::from_n_per_m(DRYING_STRESS.to_pa() * film.to_m())
}

/// How much of the stated spread the first coat takes on this cloth: in proportion to the
/// cloth's mass, half to twice. Later coats lie on the film and take the stated spread.
///
/// Our choice; wet a sample and weigh it.
#[must_use]
pub fn first_coat_share(cloth: ArealMass) -> f64 {
    (cloth / SPREAD_CLOTH).clamp(0.5, 2.0)
}

/// Where a size lies among the published canvas recipes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Stronger than any of them: a house painter's or a panel's size.
    Stronger,
    /// Among them.
    Within,
    /// Weaker than any of them.
    Weaker,
}

/// Where a ratio by weight lies among the published canvas recipes, 17 to 42 parts of water.
#[must_use]
pub fn standing(by_weight: f64) -> Standing {
    if by_weight < PUBLISHED[0] {
        Standing::Stronger
    } else if by_weight > PUBLISHED[1] {
        Standing::Weaker
    } else {
        Standing::Within
    }
}

/// The size for the whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Size {
    /// Front and edges of all canvases.
    pub area: Figure<Area>,
    /// Liquid size, waste included: for the coats, and for a ground that is mixed from it.
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
    /// Where it lies among the published canvas recipes.
    pub standing: Standing,
    /// The published recipes' strongest and weakest ratio by weight.
    pub published: [f64; 2],
    /// Share of glue in the size by weight.
    pub strength: Figure<Ratio>,
    /// Dry glue on the cloth.
    pub film: Figure<ArealMass>,
    /// Its thickness.
    pub film_thickness: Figure<Distance>,
    /// The most it can tighten the cloth on drying.
    pub tightening: Figure<LineLoad>,
    /// Jars, filled to four fifths.
    pub jars: Figure<u64>,
    /// How it is split into the jars.
    pub split: JarSplit,
    /// Hours of soaking.
    pub soak_hours: Figure<f64>,
    /// Minutes in the water bath.
    pub warm_minutes: Figure<f64>,
    /// Temperature of the water bath.
    pub bath: Figure<Temperature>,
    /// The warmest it should be.
    #[serde(serialize_with = "celsius")]
    pub bath_limit: Temperature,
    /// Why.
    pub bath_reason: &'static str,
    /// How often it is warmed again: once for each further coat, and each day of a ground that is
    /// mixed from it.
    pub reheats: Figure<u64>,
    /// Days from the first use to the last.
    pub kept_days: Figure<f64>,
    /// Days that it keeps in the cold.
    pub fridge_days: Figure<f64>,
}

fn celsius<S: serde::Serializer>(t: &Temperature, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_f64(t.to_celsius())
}

/// The size split into equal jars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JarSplit {
    /// Jars in use at once.
    pub jars: Figure<u64>,
    /// Batches, where there are fewer jars than the size fills.
    pub batches: Figure<u64>,
    /// Liquid size in each jar.
    pub liquid: Figure<Volume>,
    /// Water in each jar.
    pub water: Figure<Volume>,
    /// Dry glue in each jar.
    pub glue: Figure<Mass>,
    /// The same as it pours.
    pub glue_poured: Figure<Volume>,
}

/// A size that is bought ready: no animal glue, nothing to soak or warm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadySize {
    /// What it is.
    pub name: &'static str,
    /// Front and edges of all canvases.
    pub area: Figure<Area>,
    /// To buy, waste included.
    pub volume: Figure<Volume>,
    /// Dry size on the cloth.
    pub film: Figure<ArealMass>,
}

/// Area times spread, coat by coat, with waste.
fn liquid(brief: &Brief, area: &Figure<Area>, spread: &Given<f64>) -> Figure<Volume> {
    let coats = f64::from(brief.size_coats.value);
    let first = first_coat_share(brief.cloth_mass.value);
    let waste = 1.0 + brief.size_waste.value.to_ratio();
    Figure::new(
        Volume::from_ml(area.value.to_m2() * spread.value * (first + coats - 1.0) * waste),
        &f::SIZE_VOLUME,
        alloc::vec![
            area.input("area"),
            spread.input_as(Value::Spread(spread.value)),
            brief.cloth_mass.input(),
            brief.size_coats.input(),
            brief.size_waste.input(),
        ],
    )
}

/// Ready size for an area; none where animal glue is used.
pub(crate) fn ready_size(brief: &Brief, area: &Figure<Area>) -> Option<ReadySize> {
    let name = match brief.size_kind.value {
        SizeKind::Glue => return None,
        SizeKind::Acrylic => "acrylic size",
        SizeKind::Pva => "PVA size",
    };
    let volume = liquid(brief, area, &brief.ready_spread);
    let waste = 1.0 + brief.size_waste.value.to_ratio();
    let per_area = volume.value.to_ml() / waste / area.value.to_m2().max(f64::MIN_POSITIVE);
    let film = Figure::new(
        ArealMass::from_g_per_m2(per_area * READY_SOLIDS),
        &f::READY_FILM,
        alloc::vec![
            volume.input("liquid size"),
            area.input("area"),
            brief.size_waste.input(),
            Input::constant("dry mass, g in a ml", READY_SOLIDS)
        ],
    );
    Some(ReadySize {
        name,
        area: area.clone(),
        volume,
        film,
    })
}

/// Share of glue in the size by weight.
pub(crate) fn strength(brief: &Brief) -> f64 {
    1.0 / (ratios(brief).0.value + 1.0)
}

/// Glue size for an area and for a ground that is mixed from it; none where a ready size is used.
pub(crate) fn size(
    brief: &Brief,
    area: Figure<Area>,
    for_ground: Option<&Figure<Volume>>,
    diary: &Diary,
) -> Option<Size> {
    if brief.size_kind.value != SizeKind::Glue {
        return None;
    }
    let for_coats = liquid(brief, &area, &brief.size_spread);
    let volume = match for_ground {
        Some(ground) => Figure::new(
            for_coats.value + ground.value,
            &f::SIZE_FOR_BOTH,
            alloc::vec![
                for_coats.input("for the coats"),
                ground.input("for the ground")
            ],
        ),
        None => for_coats.clone(),
    };
    let mass = Figure::new(
        Mass::from_grams(volume.value.to_ml()),
        &f::SIZE_MASS,
        alloc::vec![volume.input("liquid size")],
    );
    let (ratio_by_weight, ratio_by_volume) = ratios(brief);
    let ratio = ratio_by_weight.value;
    let grams = mass.value.to_grams() / (ratio + 1.0);
    let glue = Figure::new(
        Mass::from_grams(grams),
        match brief.ratio_by.value {
            RatioBy::Weight => &f::SIZE_GLUE_WEIGHT,
            RatioBy::Volume => &f::SIZE_GLUE_VOLUME,
        },
        alloc::vec![
            mass.input("mass of size"),
            ratio_by_weight.input("ratio by weight")
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
        Volume::from_ml(grams / (brief.glue_bulk.value.to_kg_per_m3() / 1000.0)),
        &f::GLUE_POURED,
        alloc::vec![glue.input("dry glue"), brief.glue_bulk.input()],
    );
    let jars = Figure::new(
        jars_for(volume.value, brief.jar.value),
        &f::JARS,
        alloc::vec![volume.input("liquid size"), brief.jar.input()],
    );
    let film = film(brief, &for_coats, &area);
    let thickness = Figure::new(
        film_thickness(film.value),
        &f::FILM_THICKNESS,
        alloc::vec![
            film.input("dry glue on the cloth"),
            Input::constant("dry glue", DRY_GLUE)
        ],
    );
    let (reheats, kept_days) = kept(&diary.days_of_size(for_ground.is_some()));
    let as_set = |given: &Given<f64>, value: Value| {
        Figure::new(given.value, &f::AS_SET, alloc::vec![given.input_as(value)])
    };
    Some(Size {
        standing: standing(ratio),
        published: PUBLISHED,
        strength: Figure::new(
            Ratio::from_ratio(strength(brief)),
            &f::STRENGTH,
            alloc::vec![ratio_by_weight.input("ratio by weight")],
        ),
        tightening: Figure::new(
            tightening(thickness.value),
            &f::TIGHTENING,
            alloc::vec![
                thickness.input("thickness of the dry glue"),
                Input::constant("peak drying stress", DRYING_STRESS)
            ],
        ),
        split: split(brief, &jars, &volume, &water, &glue, &glue_poured),
        soak_hours: as_set(&brief.soak, Value::Hours(brief.soak.value)),
        warm_minutes: as_set(&brief.warm, Value::Minutes(brief.warm.value)),
        bath: Figure::new(
            brief.bath.value,
            &f::AS_SET,
            alloc::vec![brief.bath.input()],
        ),
        bath_limit: BATH_LIMIT,
        bath_reason: bath_reason(brief.show.units),
        kept_days,
        fridge_days: as_set(&brief.fridge_life, Value::Days(brief.fridge_life.value)),
        area,
        volume,
        glue,
        glue_poured,
        water,
        by_weight: ratio_by_weight,
        by_volume: ratio_by_volume,
        film,
        film_thickness: thickness,
        jars,
        reheats,
    })
}

/// The typed ratio read both ways: by weight, by volume.
fn ratios(brief: &Brief) -> (Figure<f64>, Figure<f64>) {
    let bulk = brief.glue_bulk.value;
    let ratio = brief.ratio.value;
    // The same words, two readings: by volume, `ratio` millilitres of water meet one millilitre
    // of granules.
    let (weight, volume) = match brief.ratio_by.value {
        RatioBy::Weight => (ratio, ratio / by_weight(1.0, bulk)),
        RatioBy::Volume => (by_weight(ratio, bulk), ratio),
    };
    let means = |value: f64| {
        let by = match brief.ratio_by.value {
            RatioBy::Weight => "weight",
            RatioBy::Volume => "volume",
        };
        Figure::new(
            value,
            &f::RATIO_MEANS,
            alloc::vec![
                brief.ratio.input(),
                brief.ratio_by.input_as(Value::Text(by.into())),
                brief.glue_bulk.input()
            ],
        )
    };
    (means(weight), means(volume))
}

/// Dry glue on the cloth of an area; none where a ready size is used.
pub(crate) fn glue_film(brief: &Brief, area: &Figure<Area>) -> Option<Figure<ArealMass>> {
    (brief.size_kind.value == SizeKind::Glue)
        .then(|| film(brief, &liquid(brief, area, &brief.size_spread), area))
}

/// Dry glue that the coats leave on the cloth: what is left in pot and brush is not there.
fn film(brief: &Brief, for_coats: &Figure<Volume>, area: &Figure<Area>) -> Figure<ArealMass> {
    let (ratio, _) = ratios(brief);
    let waste = 1.0 + brief.size_waste.value.to_ratio();
    let on_cloth = for_coats.value.to_ml() / (ratio.value + 1.0) / waste;
    Figure::new(
        ArealMass::from_g_per_m2(on_cloth / area.value.to_m2().max(f64::MIN_POSITIVE)),
        &f::FILM,
        alloc::vec![
            for_coats.input("liquid size for the coats"),
            ratio.input("ratio by weight"),
            brief.size_waste.input(),
            area.input("area")
        ],
    )
}

/// How often the size is warmed again and how many days it is kept, from the days on which it is
/// used.
fn kept(uses: &[&DiaryStep]) -> (Figure<u64>, Figure<f64>) {
    let day = |name, step: Option<&&DiaryStep>| Input {
        name,
        value: step.map_or(0, |s| s.day).into(),
        origin: Origin::Computed,
        waiting: step.map(|s| s.how.waiting()).unwrap_or_default(),
    };
    let (first, last) = (uses.first(), uses.last());
    let days = last.map_or(0, |s| s.day) - first.map_or(0, |s| s.day);
    let warmed = Input {
        name: "times it is warmed",
        value: (uses.len() as u64).into(),
        origin: Origin::Computed,
        waiting: last.map(|s| s.how.waiting()).unwrap_or_default(),
    };
    (
        Figure::new(
            (uses.len() as u64).saturating_sub(1),
            &f::REHEATS,
            alloc::vec![warmed],
        ),
        Figure::new(
            f64::from(days),
            &f::KEPT_DAYS,
            alloc::vec![
                day("day of the first use", first),
                day("day of the last", last)
            ],
        ),
    )
}

fn jars_for(volume: Volume, jar: Volume) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small positive count"
    )]
    let jars = libm::ceil(volume / (jar * 0.8) - 1e-9).max(0.0) as u64;
    jars
}

fn split(
    brief: &Brief,
    jars: &Figure<u64>,
    volume: &Figure<Volume>,
    water: &Figure<Volume>,
    glue: &Figure<Mass>,
    glue_poured: &Figure<Volume>,
) -> JarSplit {
    let needed = jars.value.max(1);
    let at_hand = brief
        .jars_at_hand
        .as_ref()
        .map_or(needed, |n| u64::from(n.value).clamp(1, needed));
    let batches = needed.div_ceil(at_hand);
    // Equal batches in equal jars: as many jars as that takes.
    let in_use = needed.div_ceil(batches);
    let mut inputs: Vec<Input> = alloc::vec![jars.input("jars filled")];
    inputs.extend(brief.jars_at_hand.as_ref().map(Given::input));
    let fills = (in_use * batches) as f64;
    let each = |what: Input| {
        alloc::vec![
            what,
            Input::constant("jars", in_use),
            Input::constant("batches", batches)
        ]
    };
    JarSplit {
        jars: Figure::new(in_use, &f::JARS_IN_USE, inputs.clone()),
        batches: Figure::new(batches, &f::BATCHES, inputs),
        liquid: Figure::new(
            volume.value / fills,
            &f::EACH_JAR,
            each(volume.input("liquid size")),
        ),
        water: Figure::new(
            water.value / fills,
            &f::EACH_JAR,
            each(water.input("water")),
        ),
        glue: Figure::new(
            glue.value / fills,
            &f::EACH_JAR,
            each(glue.input("dry glue")),
        ),
        glue_poured: Figure::new(
            glue_poured.value / fills,
            &f::EACH_JAR,
            each(glue_poured.input("dry glue as it pours")),
        ),
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
        let area = Figure::new(Area::from_m2(area), &f::SIZE_AREA, alloc::vec::Vec::new());
        let (diary, _) = crate::diary::diary(&brief, &[]);
        size(&brief, area, None, &diary).unwrap()
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

    #[test]
    fn the_first_coat_follows_the_cloth() {
        // 1 m² × 100 ml/m² × (200/400 + 1) = 150 ml
        let s = sized(
            r#"{"cloth_mass":"200 g/m²","size_coats":2,"size_spread":"100 ml/m²","size_waste":"0 %"}"#,
            1.0,
        );
        assert!((s.volume.value.to_ml() - 150.0).abs() < 1e-9);
    }

    #[test]
    fn jars_share_the_batch_exactly() {
        // 5 m² × 100 ml × 2 coats = 1000 ml; 500 ml jars hold 400 ml: 3 jars; with 2 at hand,
        // 2 batches of 2 jars, 250 ml each.
        let json =
            |n: &str| alloc::format!(r#"{{"size_spread":"100 ml/m²","size_waste":"0 %"{}}}"#, n);
        let s = sized(&json(""), 5.0);
        assert_eq!((s.split.jars.value, s.split.batches.value), (3, 1));
        assert!((s.split.liquid.value.to_ml() - 1000.0 / 3.0).abs() < 1e-9);
        let s = sized(&json(r#","jars_at_hand":2"#), 5.0);
        assert_eq!((s.split.jars.value, s.split.batches.value), (2, 2));
        assert!((s.split.liquid.value.to_ml() - 250.0).abs() < 1e-9);
        assert!((s.split.glue.value.to_grams() * 4.0 - s.glue.value.to_grams()).abs() < 1e-9);
    }
}
