//! The tapped note by the microphone: heard, refused, not there.

use std::f64::consts::TAU;
use std::fs;
use std::path::PathBuf;

use whole_product::{Engine, Microphone, Opening, Page, Source, Viewport};

const RATE: u32 = 48_000;

/// A WAV file (RIFF, 16-bit mono) of one tap every 2.4 s: a cloth's modes that die away, in noise.
/// It is heard over and over, so that any three seconds of it hold a tap with silence before and
/// ringing after it.
fn tapped(modes: &[(f64, f64)]) -> PathBuf {
    let count = RATE * 24 / 10;
    let mut chance = 12_345_u32;
    let samples = (0..count).map(|i| {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = (f64::from(chance >> 8) / f64::from(1 << 24) - 0.5) * 0.004;
        let t = f64::from(i) / f64::from(RATE) - 0.7;
        let ringing: f64 = if t < 0.0 {
            0.0
        } else {
            let rise = (t / 0.002).min(1.0);
            let tone =
                |&(hz, loud): &(f64, f64)| loud * (-t * hz / 12.0).exp() * (TAU * hz * t).sin();
            rise * modes.iter().map(tone).sum::<f64>()
        };
        ringing + noise
    });
    let data: Vec<u8> = samples
        .flat_map(|x| ((x.clamp(-1.0, 1.0) * 32_000.0) as i16).to_le_bytes())
        .collect();
    let size = u32::try_from(data.len()).expect("a short file");
    let mut file = Vec::new();
    file.extend(b"RIFF");
    file.extend((36 + size).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend([1, 0, 1, 0]);
    file.extend(RATE.to_le_bytes());
    file.extend((RATE * 2).to_le_bytes());
    file.extend([2, 0, 16, 0]);
    file.extend(b"data");
    file.extend(size.to_le_bytes());
    file.extend(data);
    let hz = modes.first().map_or(0.0, |m| m.0);
    let path =
        std::env::temp_dir().join(format!("battenbook-tap-{hz:.0}-{}.wav", std::process::id()));
    fs::write(&path, file).expect("a temporary file can be written");
    path
}

/// The modes of an ideal rectangular membrane, f ∝ √((m/a)² + (n/b)²) (Rayleigh, Theory of Sound,
/// § 194, from memory), with the fundamental at `hz` and sides 1000 and 800.
fn membrane(hz: f64) -> Vec<(f64, f64)> {
    let mode = |m: f64, n: f64| ((m / 1000.0).powi(2) + (n / 800.0).powi(2)).sqrt();
    let first = mode(1.0, 1.0);
    [
        (1.0, 1.0, 0.35),
        (3.0, 1.0, 0.12),
        (1.0, 3.0, 0.1),
        (3.0, 3.0, 0.04),
    ]
    .map(|(m, n, loud)| (hz * mode(m, n) / first, loud))
    .to_vec()
}

async fn listen(page: &Page, field: &str) {
    page.js("document.querySelector('#stretch-settings').open = true")
        .await;
    page.click(&format!("#settings-{field}-listen")).await;
}

/// The note in a field, in hertz.
async fn note(page: &Page, field: &str) -> f64 {
    let text = page.value(&format!("#settings-{field}")).await;
    let number = text.trim_end_matches("Hz").trim();
    number
        .parse()
        .unwrap_or_else(|_| panic!("{text:?} is no note"))
}

#[test]
fn a_tap_is_heard_and_its_note_written() {
    for (hz, source) in [(36.0, Source::Served), (82.0, Source::File)] {
        let file = tapped(&membrane(hz));
        Opening::new(Engine::Chromium, source, Viewport::Tablet)
            .microphone(Microphone::Hears(file.clone()))
            .run(async |page| {
                for field in ["tap", "tap_3"] {
                    listen(page, field).await;
                    page.wait_for_text(&format!("#settings-{field}-heard"), "Heard")
                        .await;
                    let heard = note(page, field).await;
                    println!("{hz} Hz was heard as {heard} Hz");
                    assert!((heard / hz - 1.0).abs() < 0.02, "{heard} for {hz}");
                }
                page.screenshot("heard").await;
                // A step like any other.
                page.click("#undo").await;
                assert_eq!(page.value("#settings-tap_3").await, "");
                page.click("#undo").await;
                assert_eq!(page.value("#settings-tap").await, "");
            });
        let _ = fs::remove_file(file);
    }
}

#[test]
fn the_microphone_is_let_go_of() {
    let file = tapped(&membrane(36.0));
    Opening::new(Engine::Chromium, Source::Served, Viewport::Tablet)
        .microphone(Microphone::Hears(file.clone()))
        .run(async |page| {
            page.js("const devices = navigator.mediaDevices;
                const ask = devices.getUserMedia.bind(devices);
                window.streams = [];
                devices.getUserMedia = async (what) => { const s = await ask(what); streams.push(s); return s; };")
                .await;
            listen(page, "tap").await;
            page.wait_until("it listens", "return streams.some((s) => s.getTracks().some((t) => t.readyState === 'live'))").await;
            page.wait_for_text("#settings-tap-heard", "Heard").await;
            page.wait_until("it is let go of", "return streams.every((s) => s.getTracks().every((t) => t.readyState === 'ended'))").await;
        });
    let _ = fs::remove_file(file);
}

/// Silence, as of a microphone that is switched off.
#[test]
fn silence_is_said_and_the_field_left_alone() {
    let file = tapped(&[]);
    // No tap in it: nothing but the noise of the file.
    Opening::new(Engine::Chromium, Source::Served, Viewport::Tablet)
        .microphone(Microphone::Hears(file.clone()))
        .run(async |page| {
            page.js("document.querySelector('#stretch-settings').open = true")
                .await;
            page.type_into("#settings-tap", "41").await;
            listen(page, "tap").await;
            page.wait_for_text(
                "#settings-tap-heard",
                "What was in the field is still there.",
            )
            .await;
            assert_eq!(page.value("#settings-tap").await, "41");
        });
    let _ = fs::remove_file(file);
}

#[test]
fn a_refusal_is_said() {
    for engine in [Engine::Chromium, Engine::Firefox] {
        for source in [Source::Served, Source::File] {
            Opening::new(engine, source, Viewport::Tablet)
                .microphone(Microphone::Refused)
                .run(async |page| {
                    listen(page, "tap").await;
                    page.wait_for_text(
                        "#settings-tap-heard",
                        "The browser does not let this page hear",
                    )
                    .await;
                    assert_eq!(page.value("#settings-tap").await, "");
                });
        }
    }
}

/// This machine has no microphone, and the driven WebKit offers none: both are said plainly.
#[test]
fn no_microphone_is_said() {
    for (engine, source) in [
        (Engine::WebKit, Source::Served),
        (Engine::WebKit, Source::File),
        (Engine::Firefox, Source::File),
    ] {
        Opening::new(engine, source, Viewport::Tablet).run(async |page| {
            page.js("document.querySelector('#stretch-settings').open = true")
                .await;
            if page.is_shown("#settings-tap-listen").await {
                listen(page, "tap").await;
            }
            let script = "const said = document.querySelector('#settings-tap-heard').textContent;
                return /no microphone|No microphone|does not let this page hear/.test(said)";
            page.wait_until("why there is none", script).await;
            println!(
                "{engine}, {source:?}: {}",
                page.text("#settings-tap-heard").await
            );
        });
    }
}
