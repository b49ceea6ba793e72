//! Tap tone: from a tapped note to the cloth's tension and back.
//!
//! The cloth is a rectangular membrane that has to move the air on both its faces. On a large
//! canvas the air weighs as much as the cloth, so leaving it out reads the tension at half.

use alloc::string::String;

use quantity::Length;
use quantity::physics::{ArealMass, Frequency, LineLoad, Ratio};
use serde::Serialize;

use crate::brief::{Bead, Brief, TapCoats};
use crate::figure::Figure;
use crate::formulas as f;
use crate::frame::Frame;
use crate::hanging::Coats;
use crate::pitch::Range;
use crate::plan::CanvasPlan;

/// Air at 20 °C and sea level, kg/m³ (ISA, from memory).
const AIR: f64 = 1.204;

/// Cloth tension each way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tension {
    /// Pull from side to side.
    pub across: LineLoad,
    /// Pull from top to bottom.
    pub up: LineLoad,
}

impl Tension {
    /// The same both ways.
    #[must_use]
    pub const fn even(pull: LineLoad) -> Self {
        Self {
            across: pull,
            up: pull,
        }
    }
}

/// What is behind the canvas while it is tapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surroundings {
    /// It is held free in the air.
    Free,
    /// It lies close in a large wall: the most that the air can weigh.
    InAWall,
}

/// The air that swings with the fundamental, mass = C × air density × shorter side, by the ratio
/// of the sides: ratio, C free in the air, C in an infinite wall.
///
/// Computed for the reference values (section 3.1) with a doublet lattice; ±1 %. Its check: the
/// measured tones of a drumhead without bowl (Rossing 1982).
const ADDED_AIR_FREE: [(f64, f64); 9] = [
    (1.0, 0.538),
    (1.2, 0.586),
    (1.25, 0.596),
    (4.0 / 3.0, 0.612),
    (1.5, 0.640),
    (1.618, 0.656),
    (2.0, 0.699),
    (2.5, 0.737),
    (3.0, 0.762),
];
const ADDED_AIR_IN_A_WALL: [(f64, f64); 5] = [
    (1.0, 0.819),
    (1.25, 0.913),
    (1.5, 0.993),
    (2.0, 1.124),
    (3.0, 1.317),
];

/// Mass of air per area of cloth that swings with the fundamental. Between the table's rows by
/// straight lines; beyond 3 to 1 the last row.
///
/// ```
/// use planner::tone::{Surroundings, added_air};
/// use quantity::Length;
/// // A square metre: 0.538 × 1.204 kg/m³ × 1 m = 648 g/m²
/// let side = Length::from_mm(1000);
/// assert!((added_air([side, side], Surroundings::Free).to_g_per_m2() - 647.8).abs() < 0.1);
/// ```
#[must_use]
pub fn added_air(sides: [Length; 2], surroundings: Surroundings) -> ArealMass {
    let (short, long) = (sides[0].min(sides[1]), sides[0].max(sides[1]));
    if short <= Length::ZERO {
        return ArealMass::ZERO;
    }
    let table: &[(f64, f64)] = match surroundings {
        Surroundings::Free => &ADDED_AIR_FREE,
        Surroundings::InAWall => &ADDED_AIR_IN_A_WALL,
    };
    ArealMass::from_kg_per_m2(interpolate(table, long / short) * AIR * short.to_m())
}

fn interpolate(table: &[(f64, f64)], x: f64) -> f64 {
    let mut below = table[0];
    for &(at, value) in table {
        if x <= at {
            let width = at - below.0;
            return if width > 0.0 {
                below.1 + (value - below.1) * (x - below.0) / width
            } else {
                value
            };
        }
        below = (at, value);
    }
    below.1
}

/// Frequency of the mode with `m` half waves across and `n` up the cloth:
/// ½ √((T_across m²/a² + T_up n²/b²) / σ), σ being all that swings.
///
/// Zero where a side or the mass is not positive.
#[must_use]
pub fn mode(
    sides: [Length; 2],
    tension: Tension,
    swinging: ArealMass,
    (m, n): (u32, u32),
) -> Frequency {
    let [a, b] = sides.map(Length::to_m);
    let sigma = swinging.to_kg_per_m2();
    if a <= 0.0 || b <= 0.0 || sigma <= 0.0 {
        return Frequency::ZERO;
    }
    let (m, n) = (f64::from(m), f64::from(n));
    let stiff =
        tension.across.to_n_per_m() * m * m / (a * a) + tension.up.to_n_per_m() * n * n / (b * b);
    Frequency::from_hz(0.5 * libm::sqrt(stiff.max(0.0) / sigma))
}

/// The tension that gives a fundamental; `across_over_up` is the ratio of the two pulls.
///
/// Zero where a side is not positive.
#[must_use]
pub fn tension(
    sides: [Length; 2],
    fundamental: Frequency,
    swinging: ArealMass,
    across_over_up: f64,
) -> Tension {
    let [a, b] = sides.map(Length::to_m);
    if a <= 0.0 || b <= 0.0 {
        return Tension::even(LineLoad::ZERO);
    }
    let f = fundamental.to_hz();
    let up = 4.0 * f * f * swinging.to_kg_per_m2() / (across_over_up / (a * a) + 1.0 / (b * b));
    Tension {
        across: LineLoad::from_n_per_m(up * across_over_up),
        up: LineLoad::from_n_per_m(up),
    }
}

/// How sure the inputs of a tap tone are, each as a share of itself (one standard deviation).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// Of the frequency.
    pub frequency: Ratio,
    /// Of the cloth's mass.
    pub cloth: Ratio,
    /// Of the air's mass.
    pub air: Ratio,
}

impl Doubt {
    /// 2 % on the frequency (what the listening is tested to), 5 % on the cloth (a merchant's
    /// weight) and 15 % on the air (bars and a wall near by): our choice.
    pub const USUAL: Self = Self {
        frequency: Ratio::from_percent(2.0),
        cloth: Ratio::from_percent(5.0),
        air: Ratio::from_percent(15.0),
    };
}

/// Share by which a tension read from a tone may be out: T goes with f² and with all that
/// swings; independent doubts add as squares, and two standard deviations are stated.
#[must_use]
pub fn tension_doubt(cloth: ArealMass, air: ArealMass, doubt: Doubt) -> Ratio {
    let all = cloth + air;
    if all <= ArealMass::ZERO {
        return Ratio::ZERO;
    }
    let parts = [
        2.0 * doubt.frequency.to_ratio(),
        doubt.cloth.to_ratio() * (cloth / all),
        doubt.air.to_ratio() * (air / all),
    ];
    Ratio::from_ratio(2.0 * libm::sqrt(parts.iter().map(|p| p * p).sum()))
}

/// A musical note and how far off it a frequency is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Note {
    /// Name without octave.
    pub name: &'static str,
    /// Octave in scientific pitch: A4 is 440 Hz.
    pub octave: i32,
    /// Hundredths of a semitone above the note; negative below.
    pub cents: f64,
}

const NAMES: [&str; 12] = [
    "C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B",
];

/// The nearest note of the equal-tempered scale, A4 = 440 Hz (ISO 16, from memory); none for a
/// frequency that is not positive.
///
/// ```
/// use planner::tone::note;
/// use quantity::physics::Frequency;
/// // Middle C is nine semitones below A4: 440 × 2^(−9/12) = 261.626 Hz
/// let c = note(Frequency::from_hz(261.626)).unwrap();
/// assert_eq!((c.name, c.octave), ("C", 4));
/// assert!(c.cents.abs() < 0.01);
/// ```
#[must_use]
pub fn note(frequency: Frequency) -> Option<Note> {
    let f = frequency.to_hz();
    if f <= 0.0 || !f.is_finite() {
        return None;
    }
    let semitones = 12.0 * libm::log2(f / 440.0);
    let nearest = libm::round(semitones);
    #[expect(clippy::cast_possible_truncation, reason = "below 2^15")]
    let from_c0 = nearest as i32 + 57; // A4 lies 57 semitones above C0
    Some(Note {
        name: usize::try_from(from_c0.rem_euclid(12)).map_or("", |i| NAMES[i]),
        octave: from_c0.div_euclid(12),
        cents: (semitones - nearest) * 100.0,
    })
}

/// Four quarters of a canvas compared by their notes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Quarters {
    /// Tension of each quarter against their mean: top left, top right, bottom left, bottom
    /// right.
    #[serde(serialize_with = "shares")]
    pub of_mean: [Ratio; 4],
    /// From the slackest to the tightest, as a share of the mean.
    pub spread: Figure<Ratio>,
    /// The slackest: index into `of_mean`.
    pub slackest: usize,
    /// The tightest.
    pub tightest: usize,
}

fn shares<S: serde::Serializer>(all: &[Ratio; 4], s: S) -> Result<S::Ok, S::Error> {
    s.collect_seq(all.iter().map(|r| r.to_percent()))
}

/// Names of the quarters, in the order of [`Quarters::of_mean`].
pub const QUARTERS: [&str; 4] = ["top left", "top right", "bottom left", "bottom right"];

/// Each quarter's tension against the mean of the four, by T ∝ f²; none unless all four
/// frequencies are positive.
#[must_use]
pub fn quarters(frequencies: [Frequency; 4]) -> Option<[Ratio; 4]> {
    let squares = frequencies.map(|f| f.to_hz() * f.to_hz());
    let mean = squares.iter().sum::<f64>() / 4.0;
    (frequencies
        .iter()
        .all(|f| *f > Frequency::ZERO && f.is_finite()))
    .then(|| squares.map(|s| Ratio::from_ratio(s / mean)))
}

/// The note a canvas is expected to give.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tone {
    /// Sides of the cloth that can swing.
    pub sides: [Figure<Length>; 2],
    /// Mass of cloth, with what has been put on it.
    pub cloth: Figure<ArealMass>,
    /// Mass of the air that swings with it.
    pub air: Figure<ArealMass>,
    /// The note without air, for comparison with simpler tables.
    pub without_air: Figure<Frequency>,
    /// The note to expect at the plan's tension.
    pub expected: Figure<Frequency>,
    /// Its name.
    pub note: Option<Note>,
    /// How it can be heard, in words.
    pub say: &'static str,
}

impl Tone {
    /// Where to listen for the fundamental of this canvas: from a tenth of the planned pull to ten
    /// times it, within what any canvas gives.
    #[must_use]
    pub fn range(&self) -> Range {
        let span = libm::sqrt(10.0);
        let any = Range::ANY_CANVAS;
        let lowest = (self.expected.value / span).max(any.lowest);
        Range {
            // A canvas that sings below what can be told is listened for at the lower end.
            lowest: lowest.min(any.highest / 2.0),
            highest: (self.expected.value * span)
                .min(any.highest)
                .max(any.lowest * 2.0),
        }
    }
}

/// What a tapped note says about the cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tapped {
    /// Index of the canvas that was tapped.
    pub canvas: usize,
    /// The typed or heard frequency.
    pub frequency: Figure<Frequency>,
    /// The nearest note.
    pub note: Option<Note>,
    /// Pull from side to side.
    pub across: Figure<LineLoad>,
    /// Pull from top to bottom.
    pub up: Figure<LineLoad>,
    /// May be so much less or more, as a share.
    pub doubt: Figure<Ratio>,
    /// What the note would say were there no air (side to side): the least it can mean.
    pub without_air: Figure<LineLoad>,
    /// What it would say were the canvas close in a wall: the most it can mean.
    pub in_a_wall: Figure<LineLoad>,
    /// What it means, in words.
    pub say: String,
}

/// Pull each way of a mean pull.
fn each_way(mean: LineLoad, across_over_up: f64) -> Tension {
    let up = mean * (2.0 / (1.0 + across_over_up));
    Tension {
        across: up * across_over_up,
        up,
    }
}

/// The note to expect of a canvas, with what is on it when it is tapped.
pub(crate) fn tone(brief: &Brief, frame: &Frame, coats: &Coats) -> Tone {
    let sides = [
        span(brief, &frame.finished_width, &frame.outer_width),
        span(brief, &frame.finished_height, &frame.outer_height),
    ];
    let cloth = swinging_cloth(brief, coats);
    let lengths = [sides[0].value, sides[1].value];
    let air = Figure::new(
        added_air(lengths, Surroundings::Free),
        &f::TONE_AIR,
        alloc::vec![sides[0].input("width"), sides[1].input("height")],
    );
    let pull = each_way(brief.tension.value, brief.across_over_up.value);
    let with = |mass: ArealMass, formula, air: Option<&Figure<ArealMass>>| {
        let mut inputs = alloc::vec![
            sides[0].input("width"),
            sides[1].input("height"),
            brief.tension.input(),
            brief.across_over_up.input(),
            cloth.input("cloth"),
        ];
        inputs.extend(air.map(|a| a.input("air")));
        Figure::new(mode(lengths, pull, mass, (1, 1)), formula, inputs)
    };
    let expected = with(cloth.value + air.value, &f::TONE, Some(&air));
    Tone {
        without_air: with(cloth.value, &f::TONE_NO_AIR, None),
        note: note(expected.value),
        say: heard_by(expected.value),
        expected,
        sides,
        cloth,
        air,
    }
}

/// Who can hear a note this low. People hear from about 20 Hz; small microphones weaken below
/// about 40 Hz (both common practice, no source).
fn heard_by(note: Frequency) -> &'static str {
    let hz = note.to_hz();
    if hz < Range::ANY_CANVAS.lowest.to_hz() {
        "Too low to be told from a tap: judge this cloth by hand."
    } else if hz < 20.0 {
        "Too low to hear as a note: hold the microphone close to the middle of the cloth."
    } else if hz < 40.0 {
        "A low thump: hold the microphone close to the middle of the cloth."
    } else {
        "A note that ear and microphone can tell."
    }
}

fn span(brief: &Brief, finished: &Figure<Length>, outer: &Figure<Length>) -> Figure<Length> {
    match brief.bead.value {
        Bead::QuarterRound | Bead::Bevel => Figure::new(
            finished.value,
            &f::TONE_SPAN,
            alloc::vec![finished.input("finished side")],
        ),
        // The cloth lies on the bars' whole face and swings between their inner edges.
        Bead::Nothing => Figure::new(
            (outer.value - brief.bar_face.value * 2).max(Length::ZERO),
            &f::TONE_SPAN,
            alloc::vec![outer.input("outer side"), brief.bar_face.input()],
        ),
    }
}

fn swinging_cloth(brief: &Brief, coats: &Coats) -> Figure<ArealMass> {
    let on = match brief.tap_coats.value {
        TapCoats::Bare => [None, None],
        TapCoats::Sized => [coats.size.as_ref(), None],
        TapCoats::Primed => [coats.size.as_ref(), coats.ground.as_ref()],
    };
    let mut mass = brief.cloth_mass.value;
    let mut inputs = alloc::vec![brief.cloth_mass.input()];
    for (coat, name) in on.into_iter().zip(["dry size", "dry ground"]) {
        if let Some(coat) = coat {
            mass += coat.value;
            inputs.push(coat.input(name));
        }
    }
    Figure::new(mass, &f::TONE_CLOTH, inputs)
}

/// What the tapped note says; none where none is known or its canvas does not exist.
pub(crate) fn tapped(brief: &Brief, canvases: &[CanvasPlan]) -> Option<Tapped> {
    let tap = brief.tap.as_ref()?;
    let row = usize::try_from(brief.tap_canvas.value).ok()?;
    let canvas = canvases.iter().position(|c| c.row + 1 == row)?;
    let tone = canvases[canvas].tone.as_ref()?;
    let frequency = Figure::new(tap.value, &f::AS_SET, alloc::vec![tap.input()]);
    let ratio = brief.across_over_up.value;
    let sides = [tone.sides[0].value, tone.sides[1].value];
    let all = tone.cloth.value + tone.air.value;
    let pull = tension(sides, tap.value, all, ratio);
    let inputs = |air: bool| {
        let mut inputs = alloc::vec![
            tap.input(),
            tone.sides[0].input("width"),
            tone.sides[1].input("height"),
            brief.across_over_up.input(),
            tone.cloth.input("cloth"),
        ];
        if air {
            inputs.push(tone.air.input("air"));
        }
        inputs
    };
    let doubt = Figure::new(
        tension_doubt(tone.cloth.value, tone.air.value, Doubt::USUAL),
        &f::TONE_DOUBT,
        alloc::vec![tone.cloth.input("cloth"), tone.air.input("air")],
    );
    Some(Tapped {
        canvas,
        note: note(tap.value),
        across: Figure::new(pull.across, &f::TONE_TENSION, inputs(true)),
        up: Figure::new(pull.up, &f::TONE_TENSION, inputs(true)),
        without_air: Figure::new(
            tension(sides, tap.value, tone.cloth.value, ratio).across,
            &f::TONE_TENSION_NO_AIR,
            inputs(false),
        ),
        in_a_wall: Figure::new(
            tension(
                sides,
                tap.value,
                tone.cloth.value + added_air(sides, Surroundings::InAWall),
                ratio,
            )
            .across,
            &f::TONE_TENSION_WALL,
            inputs(false),
        ),
        say: say(brief, &pull, doubt.value),
        doubt,
        frequency,
    })
}

fn say(brief: &Brief, pull: &Tension, doubt: Ratio) -> String {
    let wanted = brief.tension.value;
    let mean = (pull.across + pull.up) / 2.0;
    let (low, high) = (
        mean * (1.0 - doubt.to_ratio()).max(0.0),
        mean * (1.0 + doubt.to_ratio()),
    );
    let said = |pull: LineLoad| brief.show.value(&pull.into(), &brief.currency);
    let judged = if wanted < low {
        "tighter than planned"
    } else if wanted > high {
        "slacker than planned"
    } else {
        "as planned, as far as a note can tell"
    };
    alloc::format!(
        "The cloth pulls with {}, between {} and {}: {judged} ({}).",
        said(mean),
        said(low),
        said(high),
        said(wanted)
    )
}

/// The four quarters compared, where all four notes are known.
pub(crate) fn quarters_of(brief: &Brief) -> Option<Quarters> {
    let [Some(a), Some(b), Some(c), Some(d)] = &brief.tap_quarters else {
        return None;
    };
    let of_mean = quarters([a.value, b.value, c.value, d.value])?;
    let (mut slackest, mut tightest) = (0, 0);
    for (i, share) in of_mean.iter().enumerate() {
        if *share < of_mean[slackest] {
            slackest = i;
        }
        if *share > of_mean[tightest] {
            tightest = i;
        }
    }
    Some(Quarters {
        spread: Figure::new(
            of_mean[tightest] - of_mean[slackest],
            &f::EVENNESS,
            [a, b, c, d].map(crate::figure::Given::input).into(),
        ),
        of_mean,
        slackest,
        tightest,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_air_table_at_and_between_its_rows() {
        let at = |long: i64, short: i64| {
            added_air(
                [Length::from_mm(short), Length::from_mm(long)],
                Surroundings::Free,
            )
            .to_kg_per_m2()
                / (AIR * Length::from_mm(short).to_m())
        };
        for (ratio, c) in [(1000, 0.538), (1500, 0.640), (3000, 0.762), (5000, 0.762)] {
            assert!((at(ratio, 1000) - c).abs() < 1e-9, "{ratio}");
        }
        assert!((at(1100, 1000) - 0.562).abs() < 1e-9);
        assert_eq!(
            added_air([Length::ZERO, Length::MM], Surroundings::Free),
            ArealMass::ZERO
        );
    }

    #[test]
    fn there_and_back() {
        let sides = [Length::from_mm(600), Length::from_mm(800)];
        let sigma = ArealMass::from_g_per_m2(400.0);
        let pull = Tension {
            across: LineLoad::from_n_per_m(300.0),
            up: LineLoad::from_n_per_m(100.0),
        };
        let f = mode(sides, pull, sigma, (1, 1));
        let back = tension(sides, f, sigma, 3.0);
        assert!((back.across.to_n_per_m() - 300.0).abs() < 1e-9);
        assert!((back.up.to_n_per_m() - 100.0).abs() < 1e-9);
    }

    #[test]
    fn quarters_need_all_four() {
        let f = |hz: [f64; 4]| quarters(hz.map(Frequency::from_hz));
        assert_eq!(f([20.0, 20.0, 0.0, 20.0]), None);
        // 22² / mean(20², 20², 20², 22²) = 484 / 421
        let q = f([20.0, 20.0, 20.0, 22.0]).unwrap();
        assert!((q[3].to_ratio() - 484.0 / 421.0).abs() < 1e-12);
    }
}
