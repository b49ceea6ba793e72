//! The fundamental of a tapped cloth, found in recorded sound.
//!
//! 1. The sound is brought down to the low rates where canvases sing.
//! 2. The tap is found: the place where the sound grows most at once.
//! 3. What follows it is windowed and transformed; what was there before is the noise.
//! 4. Peaks count that stand out between their dips, that the tap brought, and that are not
//!    far weaker than the strongest. The lowest of them is the fundamental.
//! 5. A row of peaks at whole multiples is a voice, a string or a hum, not a cloth.

use alloc::vec::Vec;
use core::fmt;

use crate::show::decimals;
use quantity::physics::{Duration, Frequency};

/// A fundamental that was heard.
#[derive(Clone, Debug, PartialEq)]
pub struct Pitch {
    /// The fundamental.
    pub frequency: Frequency,
    /// It may be so much off either way.
    pub doubt: Frequency,
    /// How far it stands above the noise, in decibels.
    pub above_noise_db: f64,
    /// Higher notes of the same tap, ascending.
    pub overtones: Vec<Frequency>,
    /// When the tap fell, from the start of the recording.
    pub tap_at: Duration,
}

/// Why no fundamental can be told.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum PitchError {
    /// The sample rate is not one of a sound recording (4 to 200 kHz), or the range is empty.
    BadSettings,
    /// The recording, or what follows the tap, is too short.
    TooShort {
        /// So much is needed.
        needed: Duration,
    },
    /// Nothing but silence.
    Silent,
    /// The sound is cut off at the top: tap softer or move the device away.
    Overloaded,
    /// Sound, but no tap in it.
    NoTap,
    /// A tap, but no note stands out of the noise.
    Noisy,
    /// The notes lie at whole multiples of this: a voice, a string or a hum.
    NotACloth {
        /// The note of that sound.
        heard: Frequency,
    },
}

impl fmt::Display for PitchError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BadSettings => f.write_str("this device's sound can't be read"),
            Self::TooShort { needed } => write!(
                f,
                "the recording is too short: tap once and leave {} seconds of quiet after it",
                decimals(needed.to_seconds(), 1)
            ),
            Self::Silent => f.write_str("nothing was heard: is the microphone on"),
            Self::Overloaded => {
                f.write_str("the sound is too loud: tap softer or move the microphone away")
            }
            Self::NoTap => f.write_str("no tap was heard: tap once, near the middle of the cloth"),
            Self::Noisy => f.write_str(
                "no note stands out: hold the microphone near the middle of the cloth, and tap again in a quieter moment",
            ),
            Self::NotACloth { heard } => write!(
                f,
                "this sounds like a voice, a string or a hum at {} Hz, not like a cloth",
                decimals(heard.to_hz(), 0)
            ),
        }
    }
}

impl core::error::Error for PitchError {}

/// Where to look for the fundamental.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lowest.
    pub lowest: Frequency,
    /// Highest.
    pub highest: Frequency,
}

impl Range {
    /// 6 to 400 Hz: a slack cloth of three metres to a tight one of a hand's width (our choice).
    pub const ANY_CANVAS: Self = Self {
        lowest: Frequency::from_hz(6.0),
        highest: Frequency::from_hz(400.0),
    };
}

/// Points of the transform.
const POINTS: usize = 4096;
/// Sound is brought down to this rate or a little above: 400 Hz and its near overtones fit.
const LOW_RATE: f64 = 1600.0;
/// Shortest stretch after the tap that can tell a low note.
const SHORTEST_S: f64 = 0.35;
/// Longest stretch that is used; a cloth is silent by then.
const LONGEST_S: f64 = 2.0;
/// Times the median of the whole band that the strongest peak must have: a burst of noise without
/// a note reaches about 10 among a few hundred places.
const STRONGEST_OVER_MEDIAN: f64 = 25.0;
/// A peak must exceed the noise before the tap by so many deviations (3.5 of them: one chance in
/// 200 000 for random noise) …
const OVER_BEFORE: f64 = 3.5;
/// … on top of so many times the skirt of any stronger peak, as amplitudes.
const OVER_SKIRT: f64 = 1.4;
/// A peak must stand so many times above the dip on either side of it.
const OVER_DIP: f64 = 1.6;
/// Peaks weaker than this share of the strongest are not the fundamental (-24 dB).
const WEAKEST: f64 = 0.004;

/// Finds the fundamental of the strongest tap.
///
/// Samples run from −1 to 1; ones that are not finite count as silence.
///
/// # Errors
///
/// Each way in which the answer would be a guess; see [`PitchError`].
pub fn fundamental(samples: &[f32], rate: Frequency, range: Range) -> Result<Pitch, PitchError> {
    check(samples, rate, range)?;
    let low = Low::new(samples, rate);
    let tap = low.tap()?;
    let spectra = low.spectra(tap)?;
    let peaks = spectra.peaks(range);
    let strongest = peaks.iter().map(|p| p.power).fold(0.0, f64::max);
    if peaks.is_empty() || strongest < STRONGEST_OVER_MEDIAN * spectra.median(range) {
        return Err(PitchError::Noisy);
    }
    let heard: Vec<&Peak> = peaks
        .iter()
        .filter(|p| p.power >= strongest * WEAKEST)
        .collect();
    // What lies above the range is an overtone of something that was not heard.
    let first = heard
        .first()
        .filter(|p| p.hz <= range.highest.to_hz())
        .ok_or(PitchError::Noisy)?;
    refuse_multiples(&heard)?;
    Ok(Pitch {
        frequency: Frequency::from_hz(first.hz),
        doubt: Frequency::from_hz(0.25 / spectra.seconds + 0.005 * first.hz),
        above_noise_db: 10.0 * libm::log10(first.over_noise),
        overtones: heard[1..]
            .iter()
            .map(|p| Frequency::from_hz(p.hz))
            .collect(),
        tap_at: Duration::from_seconds(tap as f64 / low.rate),
    })
}

fn check(samples: &[f32], rate: Frequency, range: Range) -> Result<(), PitchError> {
    let hz = rate.to_hz();
    let [lowest, highest] = [range.lowest.to_hz(), range.highest.to_hz()];
    // Written so that not-a-number fails.
    let sound = lowest > 0.0 && lowest < highest && highest <= LOW_RATE / 3.0;
    if !(4_000.0..=200_000.0).contains(&hz) || !sound {
        return Err(PitchError::BadSettings);
    }
    let needed = SHORTEST_S + 0.2;
    if (samples.len() as f64) < needed * hz {
        return Err(PitchError::TooShort {
            needed: Duration::from_seconds(needed),
        });
    }
    let loud = samples.iter().fold(
        0.0_f32,
        |m, x| {
            if x.is_finite() { m.max(x.abs()) } else { m }
        },
    );
    if loud < 1e-5 {
        return Err(PitchError::Silent);
    }
    // A clipped crest sits on the top for several samples; one in fifty is a distorted note.
    let top = samples.iter().filter(|x| x.abs() >= 0.985).count();
    if top * 50 > samples.len() {
        return Err(PitchError::Overloaded);
    }
    Ok(())
}

/// The sound at a low rate.
struct Low {
    sound: Vec<f64>,
    rate: f64,
}

impl Low {
    /// Averages out what lies above the low rate's reach (a Hann-shaped mean, whose first zero
    /// lies at the new rate), and takes every n-th value; the mean is taken off.
    fn new(samples: &[f32], rate: Frequency) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 2 to 125"
        )]
        let step = (rate.to_hz() / LOW_RATE).max(1.0) as usize;
        let reach = 2 * step;
        let weights: Vec<f64> = (0..reach)
            .map(|i| {
                let s = libm::sin(core::f64::consts::PI * (i as f64 + 0.5) / reach as f64);
                s * s / step as f64
            })
            .collect();
        let mut sound: Vec<f64> = samples
            .windows(reach)
            .step_by(step)
            .map(|w| {
                w.iter()
                    .zip(&weights)
                    .map(|(x, k)| {
                        if x.is_finite() {
                            f64::from(*x) * k
                        } else {
                            0.0
                        }
                    })
                    .sum()
            })
            .collect();
        let mean = sound.iter().sum::<f64>() / sound.len().max(1) as f64;
        sound.iter_mut().for_each(|x| *x -= mean);
        Self {
            sound,
            rate: rate.to_hz() / step as f64,
        }
    }

    fn count(&self, seconds: f64) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few thousand"
        )]
        let n = (seconds * self.rate) as usize;
        n
    }

    /// Where the sound grows most at once: the energy of 80 ms after against that of 80 ms before.
    fn tap(&self) -> Result<usize, PitchError> {
        let reach = self.count(0.08);
        let mut sums = Vec::with_capacity(self.sound.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for x in &self.sound {
            sum += x * x;
            sums.push(sum);
        }
        let n = self.sound.len();
        let quiet = sum / n.max(1) as f64 * reach as f64 * 1e-3;
        let mut best = (0.0, 0);
        // The growth counts for as much as the loudness: a click in the quiet is not the tap.
        for at in reach..n.saturating_sub(self.count(SHORTEST_S)) {
            let before = sums[at] - sums[at - reach];
            let after = sums[at + reach] - sums[at];
            if after > 3.0 * before {
                let score = (after - before) * libm::log((after + quiet) / (before + quiet));
                if score > best.0 {
                    best = (score, at);
                }
            }
        }
        if best.0 <= 0.0 {
            return Err(PitchError::NoTap);
        }
        Ok(best.1)
    }

    /// Power after the tap and before it, by frequency.
    fn spectra(&self, tap: usize) -> Result<Spectra, PitchError> {
        let length = self.ring(tap);
        if length < self.count(SHORTEST_S) {
            return Err(PitchError::TooShort {
                needed: Duration::from_seconds(SHORTEST_S),
            });
        }
        // The stroke itself (10 ms) is noise of every pitch.
        let from = (tap + self.count(0.01)).min(self.sound.len());
        let after = &self.sound[from..(from + length).min(self.sound.len())];
        let before = &self.sound
            [tap.saturating_sub(length + self.count(0.03))..tap.saturating_sub(self.count(0.03))];
        Ok(Spectra {
            after: power(after),
            before: power(before),
            bin: self.rate / POINTS as f64,
            seconds: after.len() as f64 / self.rate,
        })
    }

    /// Samples from the tap until it has died away, the next tap comes or the recording ends.
    fn ring(&self, tap: usize) -> usize {
        let most = self
            .count(LONGEST_S)
            .min(POINTS)
            .min(self.sound.len() - tap);
        let least = self.count(SHORTEST_S).min(most);
        let frame = self.count(0.08).max(1);
        let energy = |at: usize| {
            self.sound[at..(at + frame).min(self.sound.len())]
                .iter()
                .map(|x| x * x)
                .sum::<f64>()
        };
        let first = energy(tap);
        let mut quietest = first;
        let mut at = tap + frame;
        while at + frame <= tap + most {
            let e = energy(at);
            if e > 8.0 * quietest && e > 0.3 * first {
                // Another tap; what rang before it is enough, or the recording is too short.
                return at - tap - frame.min(at - tap);
            }
            quietest = quietest.min(e);
            // A thousandth of the first energy left: the rest is noise.
            if e < 1e-3 * first && at - tap >= least {
                return at - tap;
            }
            at += frame;
        }
        most
    }
}

/// Power spectrum of a stretch, with a window that rises fast and falls slowly as the tone does,
/// scaled so that stretches of any length compare for noise.
fn power(sound: &[f64]) -> Vec<f64> {
    let mut points = [0.0_f32; POINTS];
    let n = sound.len().min(POINTS);
    let rise = (n / 16).max(1);
    let mut weight = 0.0;
    for (i, x) in sound.iter().take(n).enumerate() {
        let part = if i < rise {
            (i as f64 + 0.5) / rise as f64 - 1.0
        } else {
            (i - rise) as f64 / (n - rise) as f64
        };
        let w = 0.5 + 0.5 * libm::cos(core::f64::consts::PI * part);
        weight += w * w;
        #[expect(clippy::cast_possible_truncation, reason = "samples are small numbers")]
        let y = (x * w) as f32;
        points[i] = y;
    }
    let bins = microfft::real::rfft_4096(&mut points);
    // The first bin carries the Nyquist value in its imaginary part; neither is a note.
    let scale = if weight > 0.0 { 1.0 / weight } else { 0.0 };
    bins.iter()
        .enumerate()
        .map(|(i, c)| {
            if i == 0 {
                0.0
            } else {
                f64::from(c.norm_sqr()) * scale
            }
        })
        .collect()
}

struct Spectra {
    after: Vec<f64>,
    before: Vec<f64>,
    /// Hertz from one bin to the next.
    bin: f64,
    seconds: f64,
}

/// A peak of the spectrum.
struct Peak {
    hz: f64,
    power: f64,
    width: f64,
    over_noise: f64,
}

impl Peak {
    /// The power that this decaying tone has at another frequency: a tone dies away the faster,
    /// the wider its peak, and its skirt hides weak tones beside it.
    fn skirt(&self, hz: f64) -> f64 {
        let off = 2.0 * (self.hz - hz) / self.width;
        self.power / (1.0 + off * off)
    }
}

impl Spectra {
    /// The bins of a range; overtones lie above it and are looked for up to twice as high.
    fn bins(&self, range: Range) -> core::ops::Range<usize> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few thousand at most"
        )]
        let place = |hz: f64| libm::round(hz / self.bin) as usize;
        let last = place(2.0 * range.highest.to_hz()).min(self.after.len() - 5);
        place(range.lowest.to_hz()).clamp(5, last)..last
    }

    /// Peaks that stand out between their dips and that the tap brought, ascending.
    fn peaks(&self, range: Range) -> Vec<Peak> {
        let bins = self.bins(range);
        let tops: Vec<Peak> = bins
            .filter(|&i| self.after[i] >= self.after[i - 1] && self.after[i] > self.after[i + 1])
            .filter(|&i| self.stands_out(i))
            .map(|i| {
                let (power, before) = (self.after[i], self.noise(i));
                Peak {
                    hz: self.top(i) * self.bin,
                    power,
                    width: self.width(i),
                    // Silence before the tap is no better than a hearing range of 60 dB.
                    over_noise: power / before.max(power * 1e-6),
                }
            })
            .collect();
        let rises = |p: &Peak| {
            let skirt = tops
                .iter()
                .filter(|q| q.power > p.power)
                .map(|q| q.skirt(p.hz))
                .fold(0.0, f64::max);
            let noise = p.power / p.over_noise;
            libm::sqrt(p.power) >= OVER_SKIRT * libm::sqrt(skirt) + OVER_BEFORE * libm::sqrt(noise)
        };
        let keep: Vec<bool> = tops.iter().map(rises).collect();
        tops.into_iter()
            .zip(keep)
            .filter_map(|(p, kept)| kept.then_some(p))
            .collect()
    }

    /// Power at a place before the tap: the larger of what is right there (a hum) and of the mean
    /// around it (noise).
    fn noise(&self, i: usize) -> f64 {
        let mean = |reach: usize| {
            let around =
                &self.before[i.saturating_sub(reach).max(1)..(i + reach).min(self.before.len())];
            around.iter().sum::<f64>() / around.len().max(1) as f64
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few dozen"
        )]
        let wide = (10.0 / self.bin) as usize;
        mean(3).max(mean(wide))
    }

    /// Width at half of the power, from the steeper side (the other may run into a neighbour).
    fn width(&self, i: usize) -> f64 {
        let half = self.after[i] / 2.0;
        let below = self.after[..i].iter().rev().position(|x| *x < half);
        let above = self.after[i + 1..].iter().position(|x| *x < half);
        let steps = match (below, above) {
            (Some(a), Some(b)) => a.min(b),
            (Some(a), None) | (None, Some(a)) => a,
            (None, None) => 0,
        };
        (2 * steps + 1) as f64 * self.bin
    }

    /// Whether the power falls by the dip's share on both sides before it rises above the peak.
    fn stands_out(&self, i: usize) -> bool {
        let p = self.after[i];
        let falls = |x: f64| match x {
            _ if x > p => Some(false),
            _ if x * OVER_DIP <= p => Some(true),
            _ => None,
        };
        let below = self.after[1..i].iter().rev().find_map(|x| falls(*x));
        let above = self.after[i + 1..].iter().find_map(|x| falls(*x));
        below == Some(true) && above == Some(true)
    }

    /// The median power of the whole band.
    fn median(&self, range: Range) -> f64 {
        let mut sorted: Vec<f64> = self.after[self.bins(range)].to_vec();
        quantity::order::sort_by(&mut sorted, |a, b| a < b);
        sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
    }

    /// The top of a parabola through the logarithms of three neighbours, in bins.
    fn top(&self, i: usize) -> f64 {
        let [a, b, c] = [self.after[i - 1], self.after[i], self.after[i + 1]]
            .map(|p| libm::log(p.max(f64::MIN_POSITIVE)));
        let curve = a - 2.0 * b + c;
        let shift = if curve < 0.0 {
            (0.5 * (a - c) / curve).clamp(-0.5, 0.5)
        } else {
            0.0
        };
        i as f64 + shift
    }
}

/// A cloth's overtones lie between the whole multiples of its fundamental; a voice, a string and
/// a hum have nothing but multiples.
fn refuse_multiples(heard: &[&Peak]) -> Result<(), PitchError> {
    let Some((first, rest)) = heard.split_first() else {
        return Ok(());
    };
    let near: Vec<f64> = rest
        .iter()
        .map(|p| p.hz / first.hz)
        .filter(|r| *r < 6.5)
        .collect();
    let whole = |r: &f64| (r - libm::round(*r)).abs() < 0.02 * libm::sqrt(*r);
    let distinct = (2..=6)
        .filter(|k| {
            near.iter()
                .any(|r| libm::round(*r) as i32 == *k && whole(r))
        })
        .count();
    if distinct >= 2 && near.iter().all(whole) && near.iter().any(|r| libm::round(*r) as i32 == 2) {
        return Err(PitchError::NotACloth {
            heard: Frequency::from_hz(first.hz),
        });
    }
    Ok(())
}
