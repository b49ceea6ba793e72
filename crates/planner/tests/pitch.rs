//! The fundamental of a tapped cloth, found in sound that is made here from the membrane
//! equation: decaying modes of a known cloth with the air that swings with it, plus noise.

use planner::pitch::{Pitch, PitchError, Range, fundamental};
use planner::tone::{Surroundings, Tension, added_air, mode};
use quantity::Length;
use quantity::physics::{ArealMass, Frequency, LineLoad};

/// Noise from a fixed start (xorshift64*), so that a failure can be seen again.
struct Noise(u64);

impl Noise {
    /// Evenly spread from −1 to 1.
    fn flat(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let x = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D);
        (x >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
    /// About normal, deviation 1: four flat ones (variance 1/3 each).
    fn normal(&mut self) -> f64 {
        (0..4).map(|_| self.flat()).sum::<f64>() * (3.0_f64 / 4.0).sqrt()
    }
}

/// A tap to be made into sound.
#[derive(Clone, Copy)]
struct Tap {
    /// Sides in mm.
    sides: [i64; 2],
    /// N/m.
    pull: f64,
    /// g/m².
    cloth: f64,
    /// Cycles until a mode has lost e^π of its amplitude.
    quality: f64,
    /// Where it is struck, as shares of the sides.
    at: [f64; 2],
    /// Noise deviation against the tap's largest swing.
    noise: f64,
    /// Samples a second.
    rate: f64,
    /// Start of the noise.
    seed: u64,
}

const USUAL: Tap = Tap {
    sides: [600, 800],
    pull: 200.0,
    cloth: 400.0,
    quality: 15.0,
    at: [0.45, 0.47],
    noise: 0.01,
    rate: 48_000.0,
    seed: 1,
};

impl Tap {
    /// Frequency of a mode. The fundamental carries the published air; the higher ones that of an
    /// endless membrane with their waviness, 2 ρ / k, raised by the same share.
    fn mode(&self, m: u32, n: u32) -> f64 {
        let sides = self.sides.map(Length::from_mm);
        let [a, b] = sides.map(Length::to_m);
        let k = |m: u32, n: u32| std::f64::consts::PI * (f64::from(m) / a).hypot(f64::from(n) / b);
        let air = added_air(sides, Surroundings::Free).to_kg_per_m2() * k(1, 1) / k(m, n);
        mode(
            sides,
            Tension::even(LineLoad::from_n_per_m(self.pull)),
            ArealMass::from_kg_per_m2(self.cloth / 1000.0 + air),
            (m, n),
        )
        .to_hz()
    }

    /// Half a second of room, the tap, and two seconds of its ringing.
    fn sound(&self) -> Vec<f32> {
        let modes: Vec<(f64, f64)> = (1..=4)
            .flat_map(|m| (1..=4).map(move |n| (m, n)))
            .map(|(m, n)| {
                let shape = (std::f64::consts::PI * f64::from(m) * self.at[0]).sin()
                    * (std::f64::consts::PI * f64::from(n) * self.at[1]).sin();
                // A soft finger excites high modes less.
                (self.mode(m, n), shape / f64::from(m * n))
            })
            .collect();
        let start = 0.5;
        let count = (2.5 * self.rate) as usize;
        let from = (start * self.rate) as usize;
        let mut clean = vec![0.0; count];
        for (f, a) in modes {
            // Each sample is the one before it, turned and shrunk by a fixed step.
            let turn = 2.0 * std::f64::consts::PI * f / self.rate;
            let shrink = (-0.5 * turn / self.quality).exp();
            let (sin, cos) = turn.sin_cos();
            let (mut re, mut im) = (a, 0.0);
            for x in &mut clean[from..] {
                *x += im;
                (re, im) = (
                    shrink * (re * cos - im * sin),
                    shrink * (re * sin + im * cos),
                );
            }
        }
        let top = clean.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
        let mut noise = Noise(self.seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for x in &mut clean {
            *x = 0.5 * (*x / top + self.noise * noise.normal());
        }
        clean.into_iter().map(|x| x as f32).collect()
    }

    fn hear(&self) -> Result<Pitch, PitchError> {
        fundamental(
            &self.sound(),
            Frequency::from_hz(self.rate),
            Range::ANY_CANVAS,
        )
    }

    /// Relative error of what is heard.
    fn error(&self) -> Result<f64, PitchError> {
        let f = self.mode(1, 1);
        self.hear().map(|p| p.frequency.to_hz() / f - 1.0)
    }
}

const SIZES: [[i64; 2]; 8] = [
    [200, 250],
    [300, 400],
    [400, 400],
    [500, 1000],
    [600, 800],
    [1000, 1000],
    [1200, 900],
    [1800, 1500],
];

#[test]
fn the_reference_cloth_is_heard_at_16_hz() {
    // Reference values, section 3.1: 0.6 × 0.8 m, 400 g/m², 200 N/m in air: 16.05 Hz.
    let p = USUAL.hear().unwrap();
    assert!((p.frequency.to_hz() / 16.053 - 1.0).abs() < 0.02, "{p:?}");
    assert!((p.tap_at.to_seconds() - 0.5).abs() < 0.05, "{p:?}");
    assert!(p.doubt.to_hz() < 1.0 && p.above_noise_db > 20.0, "{p:?}");
}

#[test]
fn within_two_per_cent_over_sizes_pulls_and_noise() {
    let mut wrong = Vec::new();
    let mut refused = 0;
    let mut worst = 0.0_f64;
    let mut heard = 0;
    for sides in SIZES {
        for pull in [100.0, 300.0] {
            let lowest = Tap {
                sides,
                pull,
                ..USUAL
            }
            .mode(1, 1);
            if lowest < 6.0 {
                continue;
            }
            for noise in [0.0, 0.01, 0.03, 0.1] {
                for quality in [8.0, 15.0, 30.0] {
                    for (seed, at) in [[0.45, 0.47], [0.5, 0.5], [0.3, 0.4]]
                        .into_iter()
                        .enumerate()
                    {
                        let tap = Tap {
                            sides,
                            pull,
                            noise,
                            quality,
                            at,
                            seed: seed as u64 + 7,
                            rate: [8_000.0, 44_100.0, 16_000.0][seed],
                            ..USUAL
                        };
                        match tap.error() {
                            Ok(e) if e.abs() <= 0.02 => {
                                heard += 1;
                                worst = worst.max(e.abs());
                            }
                            // In the loudest noise it may say that it can't tell, never guess.
                            Err(PitchError::Noisy) if noise >= 0.1 => refused += 1,
                            other => wrong.push(format!("{sides:?} {pull} N/m noise {noise} Q {quality} at {at:?} f {:.2}: {other:?}", tap.mode(1, 1))),
                        }
                    }
                }
            }
        }
    }
    println!(
        "heard {heard}, refused {refused}, worst error {:.3} %",
        worst * 100.0
    );
    assert!(
        heard >= 530 && refused <= 5,
        "{heard} heard, {refused} refused"
    );
    assert!(
        wrong.is_empty(),
        "{} wrong of {}:\n{}",
        wrong.len(),
        wrong.len() + heard,
        wrong.join("\n")
    );
}

/// Adds a steady tone with its first multiples.
fn with_hum(sound: &mut [f32], rate: f64, hz: f64, level: f32) {
    for (i, x) in sound.iter_mut().enumerate() {
        for k in 1..=3 {
            let turn = 2.0 * std::f64::consts::PI * hz * f64::from(k) * i as f64 / rate;
            *x += level / k as f32 * turn.sin() as f32;
        }
    }
}

fn hear(sound: &[f32], rate: f64) -> Result<Pitch, PitchError> {
    fundamental(sound, Frequency::from_hz(rate), Range::ANY_CANVAS)
}

#[test]
fn mains_hum_under_the_tap_is_not_the_note() {
    for hz in [50.0, 60.0] {
        let mut sound = USUAL.sound();
        with_hum(&mut sound, USUAL.rate, hz, 0.1);
        let p = hear(&sound, USUAL.rate).unwrap();
        assert!((p.frequency.to_hz() / 16.053 - 1.0).abs() < 0.02, "{p:?}");
    }
    // A small tight cloth sings above the hum.
    let small = Tap {
        sides: [200, 250],
        pull: 300.0,
        ..USUAL
    };
    let mut sound = small.sound();
    with_hum(&mut sound, small.rate, 50.0, 0.1);
    let p = hear(&sound, small.rate).unwrap();
    assert!(
        (p.frequency.to_hz() / small.mode(1, 1) - 1.0).abs() < 0.02,
        "{p:?}"
    );
}

#[test]
fn a_microphone_that_is_weak_in_the_bass_still_hears_the_fundamental() {
    // A first-order high-pass at 40 Hz, as small microphones have, in room noise.
    for sides in [[300, 400], [400, 400], [500, 600], [600, 800]] {
        let tap = Tap {
            sides,
            noise: 0.003,
            ..USUAL
        };
        let mut sound = tap.sound();
        let keep = (-2.0 * std::f64::consts::PI * 40.0 / tap.rate).exp() as f32;
        let (mut last, mut out) = (0.0, 0.0);
        for x in &mut sound {
            out = keep * (out + *x - last);
            last = *x;
            *x = out;
        }
        let p = hear(&sound, tap.rate).unwrap();
        assert!(
            (p.frequency.to_hz() / tap.mode(1, 1) - 1.0).abs() < 0.02,
            "{sides:?} {p:?}"
        );
    }
}

#[test]
fn the_strongest_of_several_taps_counts() {
    let one = USUAL.sound();
    let mut sound = one.clone();
    sound.extend(one.iter().map(|x| x * 0.5));
    let p = hear(&sound, USUAL.rate).unwrap();
    assert!((p.frequency.to_hz() / 16.053 - 1.0).abs() < 0.02, "{p:?}");
    assert!((p.tap_at.to_seconds() - 0.5).abs() < 0.05, "{p:?}");
}

#[test]
fn what_is_no_tap_is_refused() {
    let rate = 44_100.0;
    let seconds = |s: f64| (s * rate) as usize;
    assert_eq!(
        hear(&vec![0.0; seconds(2.0)], rate),
        Err(PitchError::Silent)
    );
    for seed in 1..=12 {
        let mut noise = Noise(seed * 7919);
        let steady: Vec<f32> = (0..seconds(2.0))
            .map(|_| 0.1 * noise.normal() as f32)
            .collect();
        assert_eq!(hear(&steady, rate), Err(PitchError::NoTap), "seed {seed}");
        // A knock without a note: a burst of noise that dies in a tenth of a second.
        let burst: Vec<f32> = (0..seconds(2.0))
            .map(|i| {
                let t = i as f64 / rate - 0.5;
                let loud = if t < 0.0 { 0.0 } else { (-t / 0.05).exp() };
                (0.3 * (loud + 0.001) * noise.normal()) as f32
            })
            .collect();
        assert_eq!(hear(&burst, rate), Err(PitchError::Noisy), "seed {seed}");
    }
    let mut hum = vec![0.0; seconds(2.0)];
    with_hum(&mut hum, rate, 50.0, 0.2);
    assert_eq!(hear(&hum, rate), Err(PitchError::NoTap));
}

#[test]
fn a_voice_is_not_a_cloth() {
    let rate = 48_000.0;
    let mut sound = vec![0.0; 96_000];
    with_hum(&mut sound[24_000..], rate, 130.0, 0.2);
    match hear(&sound, rate) {
        Err(PitchError::NotACloth { heard }) => {
            assert!((heard.to_hz() - 130.0).abs() < 2.0);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn recordings_that_cannot_be_read_say_why() {
    let sound = USUAL.sound();
    let rate = Frequency::from_hz(USUAL.rate);
    let bad = Err(PitchError::BadSettings);
    for hz in [0.0, 3_999.0, 200_001.0, f64::NAN, f64::INFINITY] {
        assert_eq!(hear(&sound, hz), bad);
    }
    let range = |lowest, highest| Range {
        lowest: Frequency::from_hz(lowest),
        highest: Frequency::from_hz(highest),
    };
    for r in [
        range(0.0, 100.0),
        range(50.0, 50.0),
        range(6.0, 10_000.0),
        range(f64::NAN, 100.0),
    ] {
        assert_eq!(fundamental(&sound, rate, r), bad);
    }
    assert!(matches!(
        hear(&[], 48_000.0),
        Err(PitchError::TooShort { .. })
    ));
    assert!(matches!(
        hear(&sound[..10_000], 48_000.0),
        Err(PitchError::TooShort { .. })
    ));
    let loud: Vec<f32> = sound.iter().map(|x| (x * 40.0).clamp(-1.0, 1.0)).collect();
    assert_eq!(hear(&loud, 48_000.0), Err(PitchError::Overloaded));
    let mut broken = sound.clone();
    for x in broken.iter_mut().step_by(1000) {
        *x = f32::NAN;
    }
    assert!(hear(&broken, 48_000.0).is_ok_and(|p| p.frequency.is_finite()));
    assert_eq!(
        hear(&vec![f32::INFINITY; 96_000], 48_000.0),
        Err(PitchError::Silent)
    );
}

/// Half a second of quiet, then tones (Hz, amplitude) that all die away in the same time constant,
/// for two and a half seconds.
fn tones(rate: f64, tones: &[(f64, f64)], dies_in: f64) -> Vec<f32> {
    let mut noise = Noise(5);
    let sample = |i: usize| {
        let t = i as f64 / rate - 0.5;
        let sound = |&(hz, level): &(f64, f64)| level * (2.0 * std::f64::consts::PI * hz * t).sin();
        let sound: f64 = tones.iter().map(sound).sum();
        let loud = if t < 0.0 { 0.0 } else { (-t / dies_in).exp() };
        (loud * sound + 1e-5 * noise.flat()) as f32
    };
    (0..(3.0 * rate) as usize).map(sample).collect()
}

#[test]
fn a_note_between_two_places_of_the_spectrum_is_told_apart() {
    // The places lie 1600 / 4096 = 0.39 Hz apart.
    for tenths in 0..8 {
        let hz = 37.0 + f64::from(tenths) / 10.0;
        for rate in [8_000.0, 48_000.0] {
            let p = hear(&tones(rate, &[(hz, 0.3)], 1e3), rate).unwrap();
            assert!((p.frequency.to_hz() - hz).abs() < 0.05, "{hz}: {p:?}");
            assert!((p.tap_at.to_seconds() - 0.5).abs() < 0.012, "{p:?}");
            assert_eq!(p.overtones, []);
            // A steady tone is used for two seconds, so a quarter of 1/2 Hz, and 0.5 %.
            let doubt = 0.25 / 2.0 + 0.005 * hz;
            assert!((p.doubt.to_hz() - doubt).abs() < 2e-3, "{p:?}");
        }
    }
}

/// Seconds that were used, from the doubt.
fn used(p: &Pitch) -> f64 {
    0.25 / (p.doubt.to_hz() - 0.005 * p.frequency.to_hz())
}

#[test]
fn what_rings_is_used_until_it_has_died_away_or_another_tap_comes() {
    let rate = 8_000.0;
    // Energy falls to a thousandth in ln 1000 / 2 = 3.45 time constants; it is looked at in pieces
    // of 80 ms.
    for dies_in in [0.15, 0.2, 0.3] {
        let p = hear(&tones(rate, &[(52.3, 0.3)], dies_in), rate).unwrap();
        let silent = 3.454 * dies_in;
        assert!(
            (silent - 0.02..silent + 0.1).contains(&used(&p)),
            "{dies_in}: {}",
            used(&p)
        );
        assert!((p.frequency.to_hz() / 52.3 - 1.0).abs() < 0.01, "{p:?}");
    }
    // The shortest that counts is 0.35 s, whatever has died away by then.
    let p = hear(&tones(rate, &[(52.3, 0.3)], 0.06), rate).unwrap();
    assert!((0.34..0.45).contains(&used(&p)), "{}", used(&p));
    // A softer tap 0.7 s later ends it; one 0.3 s later leaves too little.
    let mut sound = tones(rate, &[(52.3, 0.3)], 0.25);
    let again = sound.clone();
    for (x, y) in sound[(0.7 * rate) as usize..].iter_mut().zip(&again) {
        *x += 0.8 * y;
    }
    let p = hear(&sound, rate).unwrap();
    assert!((0.5..0.71).contains(&used(&p)), "{}", used(&p));
    assert!((p.tap_at.to_seconds() - 0.5).abs() < 0.02, "{p:?}");
    let mut sound = tones(rate, &[(52.3, 0.3)], 0.05);
    let again = sound.clone();
    for (x, y) in sound[(0.3 * rate) as usize..].iter_mut().zip(&again) {
        *x += 0.9 * y;
    }
    assert!(
        matches!(hear(&sound, rate), Err(PitchError::TooShort { .. })),
        "{:?}",
        hear(&sound, rate)
    );
}

#[test]
fn overtones_are_those_of_the_cloth() {
    let tap = Tap {
        noise: 0.001,
        at: [0.3, 0.35],
        quality: 40.0,
        ..USUAL
    };
    let p = tap.hear().unwrap();
    let expected = [tap.mode(1, 2), tap.mode(2, 1), tap.mode(2, 2)];
    for (i, wanted) in expected.iter().enumerate() {
        let near = p
            .overtones
            .iter()
            .any(|o| (o.to_hz() / wanted - 1.0).abs() < 0.02);
        assert!(near, "{i}: {wanted} in {p:?}");
    }
    assert!(p.overtones.is_sorted_by(|a, b| a < b));
}

#[test]
fn only_a_row_of_multiples_with_the_octave_is_no_cloth() {
    let rate = 8_000.0;
    let heard = |multiples: &[f64]| {
        let row: Vec<(f64, f64)> = multiples.iter().map(|k| (41.0 * k, 0.2)).collect();
        hear(&tones(rate, &row, 0.4), rate)
    };
    for row in [
        &[1.0, 2.0, 3.0][..],
        &[1.0, 2.0, 4.0],
        &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0],
    ] {
        let result = heard(row);
        let Err(PitchError::NotACloth { heard }) = result else {
            panic!("{row:?}: {result:?}")
        };
        assert!((heard.to_hz() - 41.0).abs() < 0.5);
    }
    for row in [
        &[1.0][..],
        &[1.0, 2.0],
        &[1.0, 3.0, 5.0],
        &[1.0, 1.58, 2.0, 3.0],
        &[1.0, 2.0, 2.5, 3.0],
        &[1.0, 2.0, 3.1],
    ] {
        let p = heard(row).unwrap_or_else(|e| panic!("{row:?}: {e:?}"));
        assert!((p.frequency.to_hz() - 41.0).abs() < 0.5, "{row:?}: {p:?}");
        assert_eq!(p.overtones.len(), row.len() - 1, "{p:?}");
    }
}

#[test]
fn a_note_outside_the_range_is_none() {
    let rate = 8_000.0;
    let range = Range {
        lowest: Frequency::from_hz(30.0),
        highest: Frequency::from_hz(60.0),
    };
    let within = |hz: f64| {
        let sound = tones(rate, &[(hz, 0.3)], 0.4);
        fundamental(&sound, Frequency::from_hz(rate), range)
    };
    assert!(within(31.0).is_ok() && within(59.0).is_ok());
    for hz in [62.0, 100.0] {
        assert_eq!(within(hz), Err(PitchError::Noisy), "{hz}");
    }
    // A weak low note counts down to 0.004 of the strongest's power: an amplitude of 0.063.
    let both = |level: f64| {
        hear(&tones(rate, &[(30.0, 0.3 * level), (95.0, 0.3)], 0.5), rate)
            .unwrap()
            .frequency
            .to_hz()
    };
    assert!((both(0.09) - 30.0).abs() < 0.5);
    assert!((both(0.04) - 95.0).abs() < 0.5);
}

#[test]
fn one_clipped_sample_in_fifty_is_too_many() {
    let rate = 8_000.0;
    let mut sound = tones(rate, &[(52.3, 0.3)], 0.4);
    let most = sound.len() / 50;
    for x in sound.iter_mut().take(most) {
        *x = 1.0;
    }
    assert_ne!(hear(&sound, rate), Err(PitchError::Overloaded));
    sound[most] = -0.985;
    assert_eq!(hear(&sound, rate), Err(PitchError::Overloaded));
    // 0.35 s after the tap and 0.2 s before it are needed.
    let least = ((0.35 + 0.2) * rate) as usize;
    assert_eq!(hear(&vec![0.0; least], rate), Err(PitchError::Silent));
    assert!(matches!(
        hear(&vec![0.0; least - 1], rate),
        Err(PitchError::TooShort { .. })
    ));
}

#[test]
fn each_refusal_has_its_words() {
    let words = |e: PitchError| e.to_string();
    assert_eq!(
        words(PitchError::Silent),
        "nothing was heard: is the microphone on"
    );
    assert_eq!(
        words(PitchError::NoTap),
        "no tap was heard: tap once, near the middle of the cloth"
    );
    assert_eq!(
        words(PitchError::NotACloth {
            heard: Frequency::from_hz(130.2)
        }),
        "this sounds like a voice, a string or a hum at 130 Hz, not like a cloth"
    );
}

mod any_sound {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]
        #[test]
        fn never_panics_and_answers_within_the_range(
            samples in prop::collection::vec(prop::num::f32::ANY, 0..9000),
            scale in 0.0f32..2.0,
            rate in 1000.0f64..20_000.0,
        ) {
            let tame: Vec<f32> = samples.iter().map(|x| (x % 1.0) * scale).collect();
            for s in [&samples, &tame] {
                if let Ok(p) = hear(s, rate) {
                    prop_assert!(p.frequency.to_hz() >= 5.0 && p.frequency.to_hz() <= 400.5);
                }
            }
        }
    }
}
