//! What pulls on the frame: the stretched cloth, and the cloth tightened by its size.

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Area, Distance, LineLoad, Pressure, Ratio};
use serde::Serialize;

use crate::brief::{Brief, HangsIn, Tightening};
use crate::figure::{Figure, Input, Origin, Value};
use crate::formulas as f;
use crate::size::{film_thickness, glue_film};

/// Peak stress of a hide-glue film held and dried, 3920 psi (Mecklenburg 1982).
const PEAK_STRESS: Pressure = Pressure::from_mpa(27.0);
/// Relative humidity at which a wet film sets and begins to pull (our choice: cloth itself
/// changes its behaviour at about 80 %).
const SETS_AT: Ratio = Ratio::from_percent(80.0);
/// Fall of relative humidity that takes a held film to its breaking strain, about 0.03
/// (Padfield's summary, order of magnitude).
const FULL_FALL: Ratio = Ratio::from_percent(60.0);

/// A state of the cloth that the frame has to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Case {
    /// Stretched, for good.
    Stretched,
    /// Stretched, sized and dry, in the driest season.
    SizeDry,
}

impl Case {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stretched => "stretched, for good",
            Self::SizeDry => "size dried out",
        }
    }
}

/// The pull of the cloth on every millimetre of edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClothPull {
    /// As stretched.
    pub stretched: Figure<LineLoad>,
    /// Stress in the film of size at the driest season; none without animal glue.
    pub film_stress: Option<Figure<Pressure>>,
    /// Thickness of that film.
    pub film_thickness: Option<Figure<Distance>>,
    /// What the film adds.
    pub rise: Option<Figure<LineLoad>>,
    /// Share that a lasting load adds to the bending in time.
    pub creep: Figure<f64>,
    /// The pull that would at once bend the wood as far as the lasting pull does in time.
    pub lasting: Figure<LineLoad>,
    /// The same with the film's pull on top, which comes and goes with the seasons and is taken
    /// not to creep.
    pub with_rise: Option<Figure<LineLoad>>,
}

impl ClothPull {
    /// The cases that bracing has to stand, with the pull that counts for bending.
    #[must_use]
    pub fn cases(&self) -> Vec<(Case, &Figure<LineLoad>)> {
        let mut all = alloc::vec![(Case::Stretched, &self.lasting)];
        all.extend(self.with_rise.as_ref().map(|pull| (Case::SizeDry, pull)));
        all
    }

    /// The hardest of them.
    #[must_use]
    pub fn hardest(&self) -> (Case, &Figure<LineLoad>) {
        match &self.with_rise {
            Some(pull) => (Case::SizeDry, pull),
            None => (Case::Stretched, &self.lasting),
        }
    }
}

/// Stress of a held glue film at a relative humidity: none at 80 %, its peak 60 % lower, even in
/// between.
///
/// Peak: Mecklenburg 1982; fall: a summary of gelatin's behaviour; the straight line is our
/// choice and contested, as is whether a film on cloth pulls like a free one.
///
/// ```
/// use planner::bracing::loads::film_stress;
/// use quantity::physics::Ratio;
/// // (80 − 35) / 60 × 27 MPa = 20.25 MPa
/// assert!((film_stress(Ratio::from_percent(35.0)).to_mpa() - 20.25).abs() < 1e-9);
/// ```
#[must_use]
pub fn film_stress(humidity: Ratio) -> Pressure {
    let fall = (SETS_AT - humidity) / FULL_FALL;
    PEAK_STRESS * fall.clamp(0.0, 1.0)
}

/// Creep of solid timber under a lasting load: k_def of EN 1995-1-1, table 3.2 (read in public
/// code): 0.6 in a heated room, 0.8 under cover without heating.
#[must_use]
pub const fn creep(place: HangsIn) -> f64 {
    match place {
        HangsIn::Heated => 0.6,
        HangsIn::Covered => 0.8,
    }
}

/// The cloth's pull in a plan.
pub(crate) fn cloth_pull(brief: &Brief) -> ClothPull {
    let stretched = Figure::new(
        brief.tension.value,
        &f::CLOTH_PULL,
        alloc::vec![brief.tension.input()],
    );
    let k_def = creep(brief.hangs_in.value);
    let creep = Figure::new(
        k_def,
        &f::CREEP,
        alloc::vec![
            brief.hangs_in.input_as(Value::Text(
                match brief.hangs_in.value {
                    HangsIn::Heated => "a heated room",
                    HangsIn::Covered => "under cover, not heated",
                }
                .into()
            ))
        ],
    );
    let lasting = Figure::new(
        stretched.value * (1.0 + k_def),
        &f::LASTING_PULL,
        alloc::vec![stretched.input("pull in the cloth"), creep.input("creep")],
    );
    let film = match brief.size_counts.value {
        Tightening::Counts => film(brief),
        Tightening::LeftOut => None,
    };
    let with_rise = film.as_ref().map(|film| {
        Figure::new(
            lasting.value + film.rise.value,
            &f::PULL_WITH_RISE,
            alloc::vec![
                lasting.input("lasting pull, creep included"),
                film.rise.input("pull of the size")
            ],
        )
    });
    let (film_stress, film_thickness, rise) = match film {
        Some(film) => (Some(film.stress), Some(film.thickness), Some(film.rise)),
        None => (None, None, None),
    };
    ClothPull {
        stretched,
        film_stress,
        film_thickness,
        rise,
        creep,
        lasting,
        with_rise,
    }
}

struct Film {
    stress: Figure<Pressure>,
    thickness: Figure<Distance>,
    rise: Figure<LineLoad>,
}

/// The film of animal glue on the cloth; none where there is none.
fn film(brief: &Brief) -> Option<Film> {
    // The film of a square metre is the film of any area.
    let one = Figure::new(Area::from_m2(1.0), &f::ONE_SQUARE_METRE, Vec::new());
    let dry = glue_film(brief, &one)?;
    let thickness = Figure::new(
        film_thickness(dry.value),
        &f::FILM_THICKNESS,
        alloc::vec![dry.input("dry glue on the cloth")],
    );
    let stress = Figure::new(
        film_stress(brief.winter_humidity.value),
        &f::FILM_STRESS,
        alloc::vec![
            brief.winter_humidity.input(),
            Input::constant("peak stress", PEAK_STRESS),
            Input::constant("sets at", SETS_AT),
            Input::constant("full fall", FULL_FALL)
        ],
    );
    let rise = Figure::new(
        LineLoad::from_n_per_m(stress.value.to_pa() * thickness.value.to_m()),
        &f::SIZE_RISE,
        alloc::vec![
            stress.input("stress of the film"),
            thickness.input("its thickness")
        ],
    );
    Some(Film {
        stress,
        thickness,
        rise,
    })
}

/// How far in front of the bars' middle the cloth pulls: it lies over the bead, or over the
/// front edge where there is none.
pub(crate) fn arm(brief: &Brief) -> Figure<Distance> {
    let rise: Length = crate::cloth::rise(brief);
    Figure::new(
        Distance::from_m(0.5 * brief.bar_depth.value.to_m() + rise.to_m()),
        &f::PULL_ARM,
        alloc::vec![
            brief.bar_depth.input(),
            Input {
                name: "bead rise",
                value: rise.into(),
                origin: Origin::Computed,
                waiting: Vec::new(),
            }
        ],
    )
}
