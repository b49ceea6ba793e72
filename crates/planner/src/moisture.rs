//! Wood and the damp of the air: how much water it holds, how much it moves, and what that does
//! to a joint cut today.

use alloc::string::String;
use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Distance, Ratio, Temperature};
use serde::Serialize;
use serde::ser::{SerializeStruct, Serializer};

use crate::brief::{Brief, Grain};
use crate::figure::{Figure, Input, Value};
use crate::formulas as f;
use crate::species::Species;

/// A direction across the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Along the rays.
    Radial,
    /// Along the growth rings.
    Tangential,
}

/// Moisture that wood comes to in air of this temperature and relative humidity, as a share of
/// its dry mass.
///
/// Wood Handbook ch. 4, equation 4-5 (Simpson 1998, FPL-RN-0268). Outside −1 to 65 °C and 0 to
/// 95 % the nearest of these is taken: the fit goes no further.
///
/// ```
/// use planner::moisture::equilibrium;
/// use quantity::physics::{Ratio, Temperature};
/// // Wood Handbook Table 4-2, 70 °F and 65 %: 12.0 %
/// let m = equilibrium(Temperature::from_fahrenheit(70.0), Ratio::from_percent(65.0));
/// assert!((m.to_percent() - 12.0).abs() < 0.1);
/// ```
#[must_use]
pub fn equilibrium(temperature: Temperature, humidity: Ratio) -> Ratio {
    let t = temperature.to_celsius().clamp(-1.0, 65.0);
    let h = humidity.to_ratio().clamp(0.0, 0.95);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let bound = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    Ratio::from_percent(1800.0 / w * (kh / (1.0 - kh) + bound))
}

/// Relative humidity in which wood comes to this moisture; at most 95 %, where [`equilibrium`]
/// ends.
///
/// ```
/// use planner::moisture::{equilibrium, humidity_of};
/// use quantity::physics::{Ratio, Temperature};
/// let warm = Temperature::from_celsius(20.0);
/// let moisture = equilibrium(warm, Ratio::from_percent(65.0));
/// assert!((humidity_of(warm, moisture).to_percent() - 65.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn humidity_of(temperature: Temperature, moisture: Ratio) -> Ratio {
    let [mut low, mut high] = [0.0, 0.95];
    // The moisture grows with the humidity; halved so often, the gap is below 1e-9.
    for _ in 0..30 {
        let middle = (low + high) / 2.0;
        if equilibrium(temperature, Ratio::from_ratio(middle)) < moisture {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ratio::from_ratio(high)
}

/// Share by which a size across the grain grows (or shrinks, negative) from one moisture to
/// another.
///
/// Within 6 to 14 % the coefficient holds as it is (Wood Handbook §13); outside, the handbook's
/// formula from total shrinkage, ΔM / (100 F / S − F + M₁). The coefficient is that formula's at
/// 10 %, so 100 F / S − F = 1/C − 10. Above fibre saturation nothing moves.
#[must_use]
pub fn strain(species: &Species, across: Across, from: Ratio, to: Ratio) -> Ratio {
    let c = match across {
        Across::Radial => species.radial,
        Across::Tangential => species.tangential,
    };
    // Compared as shares: 0.14 in per cent is a hair more than 14.
    let linear = Ratio::from_percent(6.0)..=Ratio::from_percent(14.0);
    let is_linear = linear.contains(&from) && linear.contains(&to);
    let [from, to] = [from, to].map(|m| m.to_percent().max(0.0).min(species.fibre_saturation));
    Ratio::from_ratio(if is_linear {
        c * (to - from)
    } else {
        (to - from) / (1.0 / c - 10.0 + from)
    })
}

/// Growth of a size by a strain; shrinking is negative.
#[must_use]
pub fn growth(size: Length, strain: Ratio) -> Distance {
    Distance::from_mm(size.to_mm() * strain.to_ratio())
}

/// How far a mitre opens at the inside (toe) when the bars shrink after cutting; negative: it
/// opens at the outside (heel). The 45° cut turns a face change into √2 of it.
#[must_use]
pub fn mitre_gap(face: Length, strain: Ratio) -> Distance {
    -growth(face, strain) * core::f64::consts::SQRT_2
}

/// How much play a housing has, cut to the mating bar's face and then dried: the housing runs
/// along the grain and keeps its width while the bar across it shrinks. Negative: it binds.
#[must_use]
pub fn housing_play(face: Length, strain: Ratio) -> Distance {
    -growth(face, strain)
}

/// What to do with the wood before cutting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It will hardly move: cut.
    CutNow,
    /// Lay it in the room first.
    Acclimatise,
    /// Too wet to glue: dry it first.
    TooWet,
}

/// Movement across a face that still makes a good joint (our choice: about a shaving).
const GOOD_FIT: Distance = Distance::from_mm(0.2);
/// Wood this wet is not glued (common practice, no source).
const TOO_WET: Ratio = Ratio::from_percent(19.0);

/// The verdict on wood of this moisture whose face would still change so much in the room.
#[must_use]
pub fn verdict(moisture: Ratio, face_change: Distance) -> Verdict {
    if moisture >= TOO_WET {
        Verdict::TooWet
    } else if face_change.abs() > GOOD_FIT {
        Verdict::Acclimatise
    } else {
        Verdict::CutNow
    }
}

/// The wood's movement in this plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moisture {
    /// The wood's name.
    pub wood: &'static str,
    /// Where its values come from.
    pub source: &'static str,
    /// Moisture as bought: by the meter, else of the yard's air.
    pub bought: Figure<Ratio>,
    /// Moisture in the studio.
    pub studio: Figure<Ratio>,
    /// How much the bar's face changes from yard to studio; shrinking is negative.
    pub face_change: Figure<Distance>,
    /// How much the bar's depth changes.
    pub depth_change: Figure<Distance>,
    /// Opening of a mitre cut as bought, at its inside; negative at its outside.
    pub mitre_gap: Figure<Distance>,
    /// Play of a housing cut as bought; negative: it binds.
    pub housing_play: Figure<Distance>,
    /// What to do.
    pub verdict: Verdict,
    /// The verdict in words.
    pub say: String,
    /// Moisture in the winter room.
    pub winter: Figure<Ratio>,
    /// Moisture in the summer room.
    pub summer: Figure<Ratio>,
    /// How much the face grows from winter to summer.
    pub season_face: Figure<Distance>,
    /// How much a mitre made in the studio opens at its inside in winter.
    pub winter_mitre_gap: Figure<Distance>,
    /// Moisture and size against relative humidity at the studio's temperature.
    pub curve: Vec<CurvePoint>,
    /// Where yard, studio, winter and summer lie on it.
    pub airs: Vec<AirPoint>,
}

/// A place or season whose air is marked on the plot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Air {
    /// Where the wood was bought.
    Yard,
    /// Where the frame is made.
    Studio,
    /// Its room in winter.
    Winter,
    /// Its room in summer.
    Summer,
}

impl Air {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Yard => "yard",
            Self::Studio => "studio",
            Self::Winter => "winter",
            Self::Summer => "summer",
        }
    }
}

/// The wood in the air of a place or season.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AirPoint {
    /// Which.
    pub air: Air,
    /// Where it lies. Wood as bought lies at the humidity that would make it as damp in the
    /// studio's warmth.
    pub at: CurvePoint,
}

/// A point of the plot of size against humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Relative humidity.
    pub humidity: Ratio,
    /// Moisture of the wood.
    pub moisture: Ratio,
    /// Bar face against its size in the studio; smaller is negative.
    pub face: Distance,
    /// Bar depth against its size in the studio.
    pub depth: Distance,
}

impl Serialize for CurvePoint {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut st = s.serialize_struct("CurvePoint", 4)?;
        st.serialize_field("humidity_percent", &self.humidity.to_percent())?;
        st.serialize_field("moisture_percent", &self.moisture.to_percent())?;
        st.serialize_field("face_mm", &self.face.to_mm())?;
        st.serialize_field("depth_mm", &self.depth.to_mm())?;
        st.end()
    }
}

/// Directions of face and depth by how the batten was sawn; where that is not known, the one
/// that moves more.
const fn directions(grain: Grain) -> [Across; 2] {
    match grain {
        Grain::Mixed => [Across::Tangential, Across::Tangential],
        Grain::Flat => [Across::Tangential, Across::Radial],
        Grain::Quarter => [Across::Radial, Across::Tangential],
    }
}

/// Movement of the plan's batten.
pub(crate) fn moisture(brief: &Brief) -> Moisture {
    let species = brief.species.value;
    let [face_way, depth_way] = directions(brief.grain.value);
    let (face, depth) = (brief.bar_face.value, brief.bar_depth.value);

    let air = |t: &crate::figure::Given<Temperature>, h: &crate::figure::Given<Ratio>| {
        Figure::new(
            equilibrium(t.value, h.value),
            &f::EMC,
            alloc::vec![t.input(), h.input()],
        )
    };
    let bought = match &brief.meter {
        Some(m) => Figure::new(m.value, &f::METER, alloc::vec![m.input()]),
        None => air(&brief.yard_temperature, &brief.yard_humidity),
    };
    let studio = air(&brief.studio_temperature, &brief.studio_humidity);
    let winter = air(&brief.studio_temperature, &brief.winter_humidity);
    let summer = air(&brief.studio_temperature, &brief.summer_humidity);

    let wood_inputs = |from: &Figure<Ratio>, to: &Figure<Ratio>, way: Across| {
        alloc::vec![
            brief.species.input_as(Value::Text(species.name.into())),
            brief.grain.input_as(Value::Text(
                match way {
                    Across::Radial => "along the rays",
                    Across::Tangential => "along the growth rings",
                }
                .into()
            )),
            Input::constant(
                "change for 1 % of moisture",
                Ratio::from_ratio(match way {
                    Across::Radial => species.radial,
                    Across::Tangential => species.tangential,
                })
            ),
            from.input("moisture from"),
            to.input("moisture to"),
        ]
    };
    let moved =
        |size: &crate::figure::Given<Length>, way, from: &Figure<Ratio>, to: &Figure<Ratio>| {
            let mut inputs = alloc::vec![size.input()];
            inputs.extend(wood_inputs(from, to, way));
            Figure::new(
                growth(size.value, strain(species, way, from.value, to.value)),
                &f::MOVEMENT,
                inputs,
            )
        };
    let face_change = moved(&brief.bar_face, face_way, &bought, &studio);
    let depth_change = moved(&brief.bar_depth, depth_way, &bought, &studio);
    let season_face = moved(&brief.bar_face, face_way, &winter, &summer);
    let winter_face = moved(&brief.bar_face, face_way, &studio, &winter);
    let opening = |change: &Figure<Distance>, strain: Ratio| {
        Figure::new(
            mitre_gap(face, strain),
            &f::MITRE_GAP,
            alloc::vec![change.input("change of the face")],
        )
    };
    let verdict = verdict(bought.value, face_change.value);
    let warmth = brief.studio_temperature.value;
    let point = |humidity, moisture| {
        let at = |size, way| growth(size, strain(species, way, studio.value, moisture));
        CurvePoint {
            humidity,
            moisture,
            face: at(face, face_way),
            depth: at(depth, depth_way),
        }
    };
    let air_point = |air, humidity, wood: &Figure<Ratio>| AirPoint {
        air,
        at: point(humidity, wood.value),
    };
    Moisture {
        wood: species.name,
        source: species.source,
        say: say(brief, verdict, face_change.value),
        mitre_gap: opening(
            &face_change,
            strain(species, face_way, bought.value, studio.value),
        ),
        winter_mitre_gap: opening(
            &winter_face,
            strain(species, face_way, studio.value, winter.value),
        ),
        housing_play: Figure::new(
            housing_play(face, strain(species, face_way, bought.value, studio.value)),
            &f::HOUSING_PLAY,
            alloc::vec![face_change.input("change of the face")],
        ),
        curve: (4..=19)
            .map(|i| {
                let humidity = Ratio::from_percent(f64::from(i) * 5.0);
                point(humidity, equilibrium(warmth, humidity))
            })
            .collect(),
        airs: alloc::vec![
            air_point(Air::Yard, humidity_of(warmth, bought.value), &bought),
            air_point(Air::Studio, brief.studio_humidity.value, &studio),
            air_point(Air::Winter, brief.winter_humidity.value, &winter),
            air_point(Air::Summer, brief.summer_humidity.value, &summer),
        ],
        bought,
        studio,
        face_change,
        depth_change,
        verdict,
        winter,
        summer,
        season_face,
    }
}

fn say(brief: &Brief, verdict: Verdict, change: Distance) -> String {
    let days = brief.acclimatise.value;
    let span = if days <= 0.0 {
        String::new()
    } else if libm::fmod(days, 7.0) == 0.0 {
        alloc::format!(
            " for {}",
            crate::show::counted((days / 7.0) as u64, "week", "weeks")
        )
    } else {
        alloc::format!(
            " for {}",
            crate::show::counted(libm::ceil(days) as u64, "day", "days")
        )
    };
    let moves = if change < Distance::ZERO {
        "shrink"
    } else {
        "swell"
    };
    let much = alloc::format!("{moves} by {} across a bar", brief.show.movement(change));
    match verdict {
        Verdict::CutNow => alloc::format!("Cut now: it will {much}, no more than a shaving."),
        Verdict::Acclimatise => {
            alloc::format!("Lay it in the room{span} before cutting: it would still {much}.")
        }
        Verdict::TooWet => alloc::format!(
            "Too wet to glue: stack it with laths between, dry it below 19 %, then lay it in the room{span}. It would {much}."
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::species::{SPECIES, of};

    #[test]
    fn the_general_formula_meets_the_coefficient_at_ten_per_cent() {
        // Wood Handbook §13: the table's coefficient is the general formula's at 10 %.
        for s in &SPECIES {
            let at = |from: f64, to: f64| {
                strain(
                    s,
                    Across::Tangential,
                    Ratio::from_percent(from),
                    Ratio::from_percent(to),
                )
                .to_ratio()
            };
            let (inside, outside) = (at(10.0, 14.0), at(10.0, 14.000_001));
            assert!((inside - outside).abs() < 1e-8, "{}", s.key);
        }
    }

    #[test]
    fn above_fibre_saturation_nothing_moves() {
        let cedar = of("redcedar").unwrap();
        let at = |from: f64, to: f64| {
            strain(
                cedar,
                Across::Tangential,
                Ratio::from_percent(from),
                Ratio::from_percent(to),
            )
        };
        assert_eq!(at(25.0, 40.0), Ratio::ZERO);
        assert_eq!(at(40.0, 12.0), at(22.0, 12.0));
    }

    #[test]
    fn verdicts_at_their_edges() {
        let v = |m, mm| verdict(Ratio::from_percent(m), Distance::from_mm(mm));
        assert_eq!(v(18.9, -0.2), Verdict::CutNow);
        assert_eq!(v(18.9, -0.21), Verdict::Acclimatise);
        assert_eq!(v(8.0, 0.21), Verdict::Acclimatise);
        assert_eq!(v(19.0, 0.0), Verdict::TooWet);
    }
}
