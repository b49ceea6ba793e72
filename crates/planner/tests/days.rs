//! Diary, days at the bench, hanging, damp wood and tap tone: figures worked by hand from the
//! brief's numbers.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::bench_days::MOST_NAMED;
use planner::diary::{Batch, Diary, Step, Weekdays, read_day, said_day};
use planner::hanging::{Hanging, wire_angle, wire_length, wire_tension};
use planner::moisture::{Across, Air, Verdict, equilibrium, humidity_of, strain};
use planner::species::of;
use planner::tone::{Doubt, Surroundings, Tension, added_air, mode, note, tension, tension_doubt};
use planner::{Draft, Effort, Plan, Value, plan_with};
use quantity::Length;
use quantity::physics::{Angle, ArealMass, Force, Frequency, LineLoad, Ratio, Temperature};
use serde_json::{Value as Json, json};

/// The plan of one canvas of 1000 × 800 mm, or of those in the settings. How the boards are cut
/// is no matter here.
#[track_caller]
fn planned(settings: &Json) -> Plan {
    let mut brief = json!({"canvases": [{"width": "1000", "height": "800"}]});
    for (key, value) in settings.as_object().unwrap() {
        brief[key] = value.clone();
    }
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief).unwrap());
    assert_eq!(faults, []);
    let effort = Effort {
        boards: 1,
        cloth: 1,
    };
    plan_with(&draft, effort)
}

fn diary(settings: &Json) -> Diary {
    planned(settings).diary
}

#[track_caller]
fn near(value: f64, expected: f64) {
    let tolerance = expected.abs() * 1e-7 + 1e-12;
    assert!(
        (value - expected).abs() <= tolerance,
        "{value}, expected {expected}"
    );
}

// Words and days

#[test]
fn work_is_what_takes_a_day_of_someone() {
    for (step, work, name) in [
        (Step::Acclimatise, false, "Buy the wood, lay it in the room"),
        (Step::CutAndGlue, true, "Cut and join the frames"),
        (Step::Clamp, false, "Leave clamped flat"),
        (Step::Stretch, true, "Stretch and staple the cloth"),
        (Step::Soak, false, "Soak the dry glue"),
        (Step::SizeCoat(3), true, "Size the cloth, coat 3"),
        (Step::Prime, true, "Put on the ground"),
        (Step::PrimeCoats(2, 2), true, "Ground, coat 2"),
        (Step::PrimeCoats(2, 5), true, "Ground, coats 2 to 5"),
        (Step::Ready, false, "Ready to paint"),
    ] {
        assert_eq!((step.is_work(), step.name().as_str()), (work, name));
    }
}

#[test]
fn days_of_the_week_are_read_and_said() {
    // 2027-03-01 is a Monday (by the Gregorian calendar).
    let week = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    for (i, name) in week.iter().enumerate() {
        let text = format!("2027-03-0{}", i + 1);
        let day = read_day(&text).unwrap();
        assert_eq!(said_day(day), format!("{name} {text}"));
        for (j, other) in week.iter().enumerate() {
            assert_eq!(Weekdays::read(other).unwrap().has(day), i == j);
        }
    }
    let same = |a: &str, b: &str| {
        let days = Weekdays::read(a);
        assert!(days.is_some() && days == Weekdays::read(b), "{a}: {days:?}");
    };
    same("Fri-Mon", "friday; Sa, sunday Monday");
    same("Mo – Fr", "weekdays");
    same("Mo —  Fr", "weekdays");
    same("Sat to Sun", "weekends");
    same("Wed-Tue", "mon-sun");
    assert_eq!(Weekdays::read("tuesday to mon"), Some(Weekdays::ALL));
    for text in ["someday", "m", "Mon-someday", "", " , "] {
        assert_eq!(Weekdays::read(text), None, "{text}");
    }
}

// The diary

/// Steps by name: day and how long.
fn seen(diary: &Diary) -> Vec<(Step, u32, u32)> {
    (diary.steps.iter())
        .map(|s| (s.what, s.day, s.lasts))
        .collect()
}

fn when(diary: &Diary, what: Step) -> (u32, u32) {
    let step = diary.steps.iter().find(|s| s.what == what).unwrap();
    (step.day, step.lasts)
}

#[test]
fn each_step_begins_when_the_one_before_is_done() {
    // 5 days of lying; cut on 6 to 9, clamped from 9 for 3 days; stretch on 12 to 14; soak on 14,
    // coats on 15, 17 (two days each, for 1.5) and 19; ground on 21, dry on 25.
    let d = diary(
        &json!({"acclimatise": "5 d", "cut_days": 4, "clamp": "3 d", "stretch_days": 3,
        "size_coats": 3, "size_dry": "1.5 d", "prime_dry": "4 d"}),
    );
    assert_eq!(
        seen(&d),
        [
            (Step::Acclimatise, 1, 5),
            (Step::CutAndGlue, 6, 4),
            (Step::Clamp, 9, 3),
            (Step::Stretch, 12, 3),
            (Step::Soak, 14, 1),
            (Step::SizeCoat(1), 15, 0),
            (Step::SizeCoat(2), 17, 0),
            (Step::SizeCoat(3), 19, 0),
            (Step::Prime, 21, 0),
            (Step::Ready, 25, 0),
        ]
    );
    assert_eq!((d.days, d.late), (24, None));
    // What is done within a day lasts none.
    let d = diary(&json!({"acclimatise": "5 d"}));
    assert_eq!(when(&d, Step::CutAndGlue), (6, 0));
    assert_eq!(when(&d, Step::Stretch), (7, 0));
}

#[test]
fn the_glue_is_in_water_by_the_day_before_its_coat() {
    // Cut 1, stretch 2, coat 3. To six hours on its morning, to 24 on the day before, to 48 on the
    // one before that.
    for (hours, day, lasts) in [
        ("6", 3, 0),
        ("6.1", 2, 1),
        ("24", 2, 1),
        ("24.5", 1, 2),
        ("48", 1, 2),
    ] {
        let d = diary(&json!({"acclimatise": "0", "soak": hours}));
        assert_eq!(when(&d, Step::Soak), (day, lasts), "{hours}");
        assert_eq!(when(&d, Step::SizeCoat(1)), (3, 0));
    }
    let d = diary(&json!({"acclimatise": "0", "size_kind": "pva"}));
    assert!(d.steps.iter().all(|s| s.what != Step::Soak));
}

#[test]
fn batches_follow_one_another() {
    // Seven canvases, three at a time. Cut on days 1 and 2 and clamped for two days, from 2 to 4; the
    // next on 4 and 5, clamped until 7; the last on 7 and 8, free on 10.
    let d = diary(
        &json!({"acclimatise": "0", "bench": 3, "cut_days": 2, "clamp": "2 d",
        "canvases": [{"width": "500", "height": "400", "count": 5}, {"width": "600", "height": "400", "count": 2}]}),
    );
    let cuts: Vec<(u32, u32, Option<Batch>)> = (d.steps.iter())
        .filter(|s| s.what == Step::CutAndGlue)
        .map(|s| (s.day, s.lasts, s.batch))
        .collect();
    let batch = |number, canvases| {
        Some(Batch {
            number,
            of: 3,
            canvases,
        })
    };
    assert_eq!(
        cuts,
        [
            (1, 2, batch(1, 3)),
            (4, 2, batch(2, 3)),
            (7, 2, batch(3, 1))
        ]
    );
    assert_eq!(when(&d, Step::Stretch).0, 10);
    // Their places: both sorts in the order of the list.
    let glued: Vec<_> = (d.bench.iter())
        .filter(|b| b.what == Step::CutAndGlue)
        .map(|b| {
            let places = b.places.iter().map(|p| (p.number, p.canvas, p.which));
            (b.day, b.until, places.collect())
        })
        .collect();
    assert_eq!(
        glued,
        [
            (1, 2, vec![(1, 0, 1), (2, 0, 2), (3, 0, 3)]),
            (4, 5, vec![(1, 0, 4), (2, 0, 5), (3, 1, 1)]),
            (7, 8, vec![(1, 1, 2)]),
        ]
    );
}

#[test]
fn a_dated_diary_says_its_days_of_work() {
    let said = |settings: Json| {
        let d = diary(&settings);
        let inputs = d.steps.last().unwrap().how.inputs.clone();
        let texts = inputs.into_iter().filter_map(|i| match i.value {
            Value::Text(t) => Some(t),
            _ => None,
        });
        texts.collect::<Vec<String>>()
    };
    assert_eq!(
        said(json!({"day": "2027-03-01", "work_days": "Sat to Tue, Thu"})),
        ["2027-03-01", "Mon Tue Thu Sat Sun"]
    );
    assert_eq!(
        said(json!({"day": "2027-03-01", "work_days": "Mon-Sun"})),
        ["2027-03-01"]
    );
    assert_eq!(said(json!({"work_days": "Mon-Fri"})), [""; 0]);
}

#[test]
fn both_ends_of_a_diary_are_compared() {
    // Usual plan without lying: ready on day 7 (cut 1, stretch 2, coats 3 and 4, ground 5, two days
    // to dry), so six days after its first.
    let of = |from: &str, day: &str, other: &str| {
        let settings =
            json!({"acclimatise": "0", "plan_from": from, "day": day, "other_day": other});
        let late = diary(&settings).late;
        late.map(|l| (l.days, l.latest_start.to_string()))
    };
    assert_eq!(of("start", "2027-03-01", "2027-03-07"), None);
    assert_eq!(
        of("start", "2027-03-01", "2027-03-05"),
        Some((2, "2027-02-27".into()))
    );
    assert_eq!(of("needed", "2027-03-07", "2027-03-01"), None);
    assert_eq!(
        of("needed", "2027-03-07", "2027-03-04"),
        Some((3, "2027-03-01".into()))
    );
}

#[test]
fn the_calendar_ends_with_its_last_day() {
    let d = diary(&json!({"acclimatise": "0", "day": "9999-12-30"}));
    let dates: Vec<String> = (d.steps.iter())
        .map(|s| s.date.unwrap().to_string())
        .collect();
    assert_eq!((dates[0].as_str(), d.steps[0].day), ("9999-12-30", 1));
    assert_eq!(dates.last().unwrap(), "9999-12-31");
    assert!(dates.is_sorted());
}

// Days at the bench

/// One canvas of 1000 × 800: 900 / 50 + 1 = 19 staples along the top, 700 / 50 + 1 = 15 up a side
/// and two temporary ones a corner: 2 × (19 + 15) + 8 = 76. At four a minute 19 minutes.
fn stapled(count: u32, settings: &Json) -> Diary {
    let mut all = json!({"acclimatise": "0", "staple_spacing": "50", "corner_clearance": "50",
        "corner_staples": 2, "staple_pace": "4",
        "canvases": [{"width": "1000", "height": "800", "count": count}]});
    for (key, value) in settings.as_object().unwrap() {
        all[key] = value.clone();
    }
    diary(&all)
}

/// First and last day of each day of stretching, how many canvases and how many hours.
fn stretched(d: &Diary) -> Vec<(u32, u32, usize, f64)> {
    (d.bench.iter())
        .filter(|b| b.what == Step::Stretch)
        .map(|b| {
            let hours = b.hours.as_ref().unwrap().value;
            (b.day, b.until, b.places.len(), hours)
        })
        .collect()
}

#[test]
fn a_day_takes_as_many_canvases_as_fit_it() {
    // 38 minutes are exactly two of 19; 37.5 are not, nor are 37.9. Five in days of two.
    let days = |hours: &str| {
        let d = stapled(5, &json!({"work_hours": hours}));
        let counts: Vec<usize> = stretched(&d).iter().map(|(_, _, n, _)| *n).collect();
        (when(&d, Step::Stretch), counts)
    };
    assert_eq!(days("38 min"), ((2, 3), vec![2, 2, 1]));
    assert_eq!(days("37.9 min"), ((2, 5), vec![1; 5]));
    assert_eq!(days("57 min"), ((2, 2), vec![3, 2]));
    assert_eq!(days("95 min"), ((2, 0), vec![5]));
    let d = stapled(5, &json!({"work_hours": "57 min"}));
    let hours: Vec<f64> = stretched(&d).iter().map(|(_, _, _, h)| *h).collect();
    near(hours[0], 57.0 / 60.0);
    near(hours[1], 38.0 / 60.0);
}

#[test]
fn a_canvas_longer_than_a_day_has_days_of_its_own() {
    // 76 staples at 0.5 a minute are 152 minutes, in days of one hour three; two such take six
    // days, from day 2 on.
    let d = stapled(2, &json!({"staple_pace": "0.5", "work_hours": "1 h"}));
    let hours = 152.0 / 60.0;
    assert_eq!(stretched(&d), [(2, 4, 1, hours), (5, 7, 1, hours)]);
    assert_eq!(when(&d, Step::Stretch), (2, 6));
    // The same over a weekend, from Thursday 2027-03-04: cut that day, stretch on Fri 5 (day 2),
    // Mon 8, Tue 9 (days 5, 6), then Wed 10 to Fri 12 (days 7 to 9).
    let d = stapled(
        2,
        &json!({"staple_pace": "0.5", "work_hours": "1 h", "day": "2027-03-04", "work_days": "Mon-Fri"}),
    );
    assert_eq!(stretched(&d), [(2, 6, 1, hours), (7, 9, 1, hours)]);
    let dates: Vec<String> = (d.bench.iter())
        .map(|b| b.date.unwrap().to_string())
        .collect();
    assert_eq!(dates, ["2027-03-04", "2027-03-05", "2027-03-10"]);
    // In days that the maker names, two canvases over five take two and a half each: the second
    // begins on the third.
    let d = stapled(2, &json!({"stretch_days": 5}));
    let days: Vec<(u32, u32, usize)> = (stretched(&d).iter())
        .map(|(day, until, n, _)| (*day, *until, *n))
        .collect();
    assert_eq!(days, [(2, 3, 1), (4, 6, 1)]);
}

#[test]
fn more_days_of_stapling_than_ten_years_are_a_slip() {
    // 6000 − 10 = 5990 in bays of 10: 600 staples a side, 2400 in all. At one in ten minutes, in
    // days of half an hour, three a day: 800 days each, and five would take 4000.
    let d = diary(
        &json!({"acclimatise": "0", "staple_spacing": "10", "corner_clearance": "5",
        "corner_staples": 0, "staple_pace": "0.1", "work_hours": "0.5 h", "braces": "no",
        "canvases": [{"width": "6000", "height": "6000", "count": 5, "upright_bars": 0, "level_bars": 0}]}),
    );
    assert_eq!(when(&d, Step::Stretch), (2, 3660));
    let days: Vec<(u32, u32)> = stretched(&d).iter().map(|s| (s.0, s.1)).collect();
    assert_eq!(
        days,
        [
            (2, 801),
            (802, 1601),
            (1602, 2401),
            (2402, 3201),
            (3202, 3661)
        ]
    );
}

#[test]
fn canvases_are_named_up_to_a_number() {
    assert_eq!(MOST_NAMED, 300);
    for (count, named) in [(300, true), (301, false), (400, false)] {
        let d = stapled(count, &json!({"work_hours": "16 h", "braces": "no"}));
        assert_eq!(!d.bench.is_empty(), named, "{count}");
    }
    // Nothing to stretch is no day at the bench, however many are named for it.
    let none = diary(&json!({"canvases": [], "stretch_days": 3}));
    assert_eq!(stretched(&none), []);
}

// Hanging

fn hung(settings: &Json) -> Hanging {
    planned(settings).canvases[0].hanging.clone().unwrap()
}

#[test]
fn wood_is_counted_once_where_bars_cross() {
    // 45 × 20 mm: the frame 2 × (1 + 0.8) − 4 × 0.045 = 3.42 m, two uprights of 0.71 m between its
    // bars and a level one of 0.91 m that crosses both: 3.42 + 1.42 + 0.91 − 2 × 0.045 = 5.66 m.
    for corner in ["mitre", "mitre_lap", "square_lap"] {
        for housing in ["through", "stopped"] {
            let h = hung(
                &json!({"corner": corner, "housing": housing, "stop_short": "13",
                "canvases": [{"width": "1000", "height": "800", "braces": "no", "upright_bars": 2, "level_bars": 1}]}),
            );
            near(h.wood_volume.value.to_m3(), 5.66 * 0.045 * 0.02);
        }
    }
    // Four braces: long edges of 150 √2 less 45 mm each are their mean lengths.
    let h = hung(
        &json!({"canvases": [{"width": "1000", "height": "800", "braces": "yes",
        "upright_bars": 0, "level_bars": 0}]}),
    );
    let braces = 4.0 * (0.15 * 2.0_f64.sqrt() - 0.045);
    near(h.wood_volume.value.to_m3(), (3.42 + braces) * 0.045 * 0.02);
}

/// No cross bars, braces or hidden loads: all masses can be worked by hand.
fn plain() -> Json {
    json!({"wood_density": "0.5", "bead_size": "20", "cloth_mass": "400 g/m²", "grip": "30",
        "turnover": "40", "size_kind": "pva", "ready_spread": "160 ml/m²", "size_coats": 2,
        "ground": "oil", "ground_coats": 3, "ground_spread": "110 ml/m²", "paint_mass": "250 g/m²",
        "safety": "5", "ring_down": "25", "wire_angle": "30",
        "canvases": [{"width": "1000", "height": "800", "braces": "no", "upright_bars": 0, "level_bars": 0}]})
}

fn with(settings: &Json) -> Json {
    let mut all = plain();
    for (key, value) in settings.as_object().unwrap() {
        all[key] = value.clone();
    }
    all
}

#[test]
fn a_canvas_weighs_what_all_its_parts_weigh() {
    let h = hung(&plain());
    // 3.42 m × 0.045 × 0.02 × 500 kg/m³.
    let wood = 1.539;
    near(h.wood.value.to_kg(), wood);
    // A quarter of a circle of 20 mm, its middle line one radius shorter at each end of four pieces:
    // 2 × (1 + 0.8) − 4 × 0.02 = 3.52 m.
    let bead = core::f64::consts::FRAC_PI_4 * 0.0004 * 3.52 * 500.0;
    near(h.bead.as_ref().unwrap().value.to_kg(), bead);
    // 1000 + 2 × (20 + 20 + 40) = 1160 and 960 mm of cloth stay.
    let cloth = 1.16 * 0.96 * 0.4;
    near(h.cloth.value.to_kg(), cloth);
    // Front and edges 0.8 + 2 × 1.8 × 0.04 = 0.944 m². Paint 250, size 160 × 2 × 0.2 = 64, ground
    // 110 × 3 × 1.8 = 594 g/m².
    let coats = 0.944 * 0.908;
    near(h.coats.value.to_kg(), coats);
    // Glue and fixings are 3 % of the wood.
    let mass = wood * 1.03 + bead + cloth + coats;
    near(h.mass.value.to_kg(), mass);
    near(h.weight.value.to_newtons(), mass * 9.806_65);
    // Without a bead 1.12 × 0.92 m of cloth and 0.8 + 3.6 × 0.02 = 0.872 m².
    for bead in ["bevel", "none"] {
        let h = hung(&with(&json!({"bead": bead})));
        assert!(h.bead.is_none());
        near(
            h.mass.value.to_kg(),
            wood * 1.03 + 1.12 * 0.92 * 0.4 + 0.872 * 0.908,
        );
    }
    // Without ground: paint and size, 0.944 × 0.314.
    let h = hung(&with(&json!({"ground": "none"})));
    near(h.coats.value.to_kg(), 0.944 * 0.314);
}

#[test]
fn wood_weighs_by_its_kind_and_moisture() {
    // Ponderosa pine, 0.40: 1000 × 0.40 × (1 + 15 %).
    let pine = of("ponderosa").unwrap();
    near(
        pine.density(Ratio::from_percent(15.0)).to_kg_per_m3(),
        460.0,
    );
    assert!(of("granite").is_none());
    let mut brief = plain();
    brief.as_object_mut().unwrap().remove("wood_density");
    brief["species"] = json!("ponderosa");
    let studio = equilibrium(Temperature::from_celsius(20.0), Ratio::from_percent(50.0));
    near(
        hung(&brief).wood.value.to_kg(),
        0.003_078 * 400.0 * (1.0 + studio.to_ratio()),
    );
}

#[test]
fn rings_hooks_and_wire_carry_with_safety() {
    // Safety 5. Rings at 25 % of 800 and on the middle of 45 mm bars, 955 mm apart.
    let h = hung(&plain());
    let weight = h.weight.value.to_newtons();
    assert_eq!(h.ring_down.value, Length::from_mm(200));
    assert_eq!(h.ring_in.value.to_mm(), 22.5);
    near(h.hook_load.value.to_newtons(), weight * 5.0);
    // At 30° the wire pulls with W / (2 × 0.5) = W, and inward with W √3/2.
    let w = h.wire.as_ref().unwrap();
    near(w.tension.value.to_newtons(), weight);
    near(w.rating.value.to_newtons(), weight * 5.0);
    near(h.ring_load.value.to_newtons(), weight * 5.0);
    near(w.inward.value.to_newtons(), weight * 0.75_f64.sqrt());
    // 955 / cos 30° and 150 mm wound round each ring; up 477.5 tan 30° from 200.
    let third = 1.0 / 3.0_f64.sqrt();
    near(w.cut.value.to_mm(), 955.0 * 2.0 * third + 300.0);
    near(w.hook_down.value.to_mm(), 200.0 - 477.5 * third);
    assert!(!w.hidden);
    // Two rings on two hooks: half the weight each.
    let h = hung(&with(&json!({"hang_by": "rings"})));
    near(h.ring_load.value.to_newtons(), weight * 2.5);
    near(h.hook_load.value.to_newtons(), weight * 5.0);
    assert!(h.wire.is_none());
    // 800 × 1000 mm at 45°: up half of 755; rings at 39.25 %, 392.5 mm: exactly 15 mm are hidden.
    for (down, hidden) in [("39.25", true), ("39.24", false), ("39.3", true)] {
        let h = hung(&json!({"ring_down": down, "wire_angle": "45",
            "canvases": [{"width": "800", "height": "1000"}]}));
        assert_eq!(h.wire.unwrap().hidden, hidden, "{down}");
    }
}

#[test]
fn a_wire_has_an_angle_where_it_reaches() {
    let mm = Length::from_mm;
    // Twice as long as the way: 60°, cos = 1/2.
    near(wire_angle(mm(400), mm(800)).unwrap().to_degrees(), 60.0);
    near(
        wire_length(mm(400), Angle::from_degrees(60.0)).to_mm(),
        800.0,
    );
    assert_eq!(wire_angle(mm(400), mm(400)), None);
    // Rings in one place have no angle.
    assert_eq!(wire_angle(Length::ZERO, mm(500)), None);
    // W / (2 sin 30°)
    let pull = wire_tension(Force::from_newtons(30.0), Angle::from_degrees(30.0));
    near(pull.to_newtons(), 30.0);
}

#[test]
fn a_tray_goes_round_with_gap_wall_and_depth() {
    // Finished 1001 × 801 with cloth of 0.5 mm. + 2 × 7 = 1015 and 815; + 2 × 12 = 1039 and 839.
    let p = planned(
        &json!({"tray": "yes", "tray_gap": "7", "tray_wall": "12", "tray_reveal": "4",
        "tray_base": "11", "cloth_thickness": "0.5", "bead_size": "13"}),
    );
    let t = p.canvases[0].tray.as_ref().unwrap();
    let sides = [
        &t.inside_width,
        &t.inside_height,
        &t.outside_width,
        &t.outside_height,
    ];
    assert_eq!(
        sides.map(|s| s.value.to_mm()),
        [1015.0, 815.0, 1039.0, 839.0]
    );
    // 20 depth + 13 bead + 2 × 0.5 + 4 = 38, + 11; round it 2 × (1039 + 839).
    let depths = [&t.inside_depth, &t.outside_depth, &t.wood].map(|s| s.value.to_mm());
    assert_eq!(depths, [38.0, 49.0, 3756.0]);
    assert!(planned(&json!({})).canvases[0].tray.is_none());
}

// Damp wood

#[test]
fn moisture_and_humidity_are_each_others_inverse() {
    let percent = Ratio::from_percent;
    let at = |c: f64, h: f64| equilibrium(Temperature::from_celsius(c), percent(h));
    // The fit of the Wood Handbook (equation 4-5) at −1 °C and 50 %, and at no lower temperature:
    // W 347.7235, K 0.804 261 27, K₁ 6.279 077, K₂ 1.869 007 give 9.5153 %.
    assert!((at(-1.0, 50.0).to_percent() - 9.5153).abs() < 1e-4);
    assert_eq!(at(-20.0, 50.0), at(-1.0, 50.0));
    assert_eq!(at(80.0, 50.0), at(65.0, 50.0));
    assert_eq!(at(20.0, 99.0), at(20.0, 95.0));
    for humidity in [3.0, 20.0, 50.0, 65.0, 90.0, 95.0] {
        for warmth in [-1.0, 20.0, 40.0] {
            let back = humidity_of(Temperature::from_celsius(warmth), at(warmth, humidity));
            assert!((back.to_percent() - humidity).abs() < 1e-6, "{humidity}");
        }
    }
    // Wetter than any air makes it: the wettest air.
    let wet = humidity_of(Temperature::from_celsius(20.0), percent(60.0));
    near(wet.to_percent(), 95.0);
}

#[test]
fn wood_moves_by_its_coefficient_from_6_to_14_per_cent() {
    let spruce = of("spruce").unwrap();
    let moved = |way, from: f64, to: f64| {
        strain(
            spruce,
            way,
            Ratio::from_percent(from),
            Ratio::from_percent(to),
        )
        .to_ratio()
    };
    // 0.19 and 0.39 % for each 1 %.
    near(moved(Across::Radial, 6.0, 14.0), 8.0 * 0.0019);
    near(moved(Across::Tangential, 14.0, 6.0), -8.0 * 0.0039);
    // Outside: (to − from) / (1 / C − 10 + from).
    near(
        moved(Across::Tangential, 20.0, 8.0),
        -12.0 / (1.0 / 0.0039 + 10.0),
    );
    near(moved(Across::Radial, 5.0, 8.0), 3.0 / (1.0 / 0.0019 - 5.0));
}

#[test]
fn the_batten_moves_by_how_it_was_sawn() {
    let [studio, winter, summer] = [50.0, 35.0, 65.0]
        .map(|h| equilibrium(Temperature::from_celsius(20.0), Ratio::from_percent(h)).to_percent());
    let (radial, tangential) = (0.0019, 0.0039);
    for (grain, face, depth) in [
        ("mixed", tangential, tangential),
        ("flat", tangential, radial),
        ("quarter", radial, tangential),
    ] {
        let p = planned(&json!({"species": "spruce", "grain": grain, "meter": "13",
            "bar_face": "50", "bar_depth": "24"}));
        let m = &p.moisture;
        // From 13 % to the studio's (9.3 %), a face of 50 mm and a depth of 24.
        let change = 50.0 * face * (studio - 13.0);
        near(m.face_change.value.to_mm(), change);
        near(m.depth_change.value.to_mm(), 24.0 * depth * (studio - 13.0));
        near(m.housing_play.value.to_mm(), -change);
        // A 45° cut turns it into √2 of it.
        let root2 = core::f64::consts::SQRT_2;
        near(m.mitre_gap.value.to_mm(), -change * root2);
        near(m.season_face.value.to_mm(), 50.0 * face * (summer - winter));
        near(
            m.winter_mitre_gap.value.to_mm(),
            50.0 * face * (studio - winter) * root2,
        );
        // Plotted every 5 % from 20 to 95; none at the studio's own 50 %.
        let humidities: Vec<f64> = m.curve.iter().map(|c| c.humidity.to_percent()).collect();
        assert_eq!(humidities.len(), 16);
        for (i, humidity) in humidities.iter().enumerate() {
            near(*humidity, 20.0 + 5.0 * i as f64);
        }
        near(m.curve[6].face.to_mm(), 0.0);
        near(m.curve[9].face.to_mm(), 50.0 * face * (summer - studio));
        near(m.curve[3].depth.to_mm(), 24.0 * depth * (winter - studio));
        // Wood as bought lies where the studio's air would make it as damp.
        let airs: Vec<(Air, &str)> = m.airs.iter().map(|a| (a.air, a.air.name())).collect();
        assert_eq!(
            airs,
            [
                (Air::Yard, "yard"),
                (Air::Studio, "studio"),
                (Air::Winter, "winter"),
                (Air::Summer, "summer")
            ]
        );
        let yard = m.airs[0].at;
        assert!((65.0..75.0).contains(&yard.humidity.to_percent()));
        let again = equilibrium(Temperature::from_celsius(20.0), yard.humidity);
        near(again.to_percent(), 13.0);
        near(yard.face.to_mm(), -change);
        near(m.airs[2].at.humidity.to_percent(), 35.0);
        near(m.airs[3].at.moisture.to_percent(), summer);
    }
}

#[test]
fn damp_wood_is_said_in_days_and_weeks() {
    // Softwood not known, 0.25 %, face 45 mm: from 13 % to 9.27 % it shrinks by 0.42 mm, from 6 % it
    // swells by 0.37 mm, from 9 % by 0.03 mm.
    let said = |meter: &str, days: &str| {
        let p = planned(&json!({"meter": meter, "acclimatise": days}));
        (p.moisture.verdict, p.moisture.say)
    };
    for (days, span) in [
        ("0", ""),
        ("0.5", " for 1 day"),
        ("1", " for 1 day"),
        ("3.5", " for 4 days"),
        ("7", " for 1 week"),
        ("10", " for 10 days"),
        ("21", " for 3 weeks"),
    ] {
        let words = format!(
            "Lay it in the room{span} before cutting: it would still shrink by 0.4 mm across a bar."
        );
        assert_eq!(said("13", days), (Verdict::Acclimatise, words), "{days}");
    }
    assert_eq!(
        said("6", "14").1,
        "Lay it in the room for 2 weeks before cutting: it would still swell by 0.4 mm across a bar."
    );
    let (verdict, words) = said("9", "14");
    assert_eq!(verdict, Verdict::CutNow);
    assert!(words.starts_with("Cut now: it will swell"), "{words}");
    let (verdict, words) = said("19", "14");
    assert_eq!(verdict, Verdict::TooWet);
    assert!(
        words.ends_with("lay it in the room for 2 weeks. It would shrink by 1.1 mm across a bar."),
        "{words}"
    );
}

// Tap tone

fn sides(a: i64, b: i64) -> [Length; 2] {
    [Length::from_mm(a), Length::from_mm(b)]
}

#[test]
fn a_membrane_needs_sides_and_mass() {
    let pull = Tension::even(LineLoad::from_n_per_m(200.0));
    let mass = ArealMass::from_g_per_m2(400.0);
    let hz = |sides, mass| mode(sides, pull, mass, (1, 1));
    assert_eq!(hz(sides(0, 500), mass), Frequency::ZERO);
    assert_eq!(hz(sides(500, 0), mass), Frequency::ZERO);
    assert_eq!(hz(sides(500, 500), ArealMass::ZERO), Frequency::ZERO);
    // ½ √(200 × 8 / 0.4) at 500 × 500.
    near(hz(sides(500, 500), mass).to_hz(), 0.5 * 4000.0_f64.sqrt());
    let heard = Frequency::from_hz(30.0);
    for sides in [sides(0, 500), sides(500, 0)] {
        let none = tension(sides, heard, mass, 2.0);
        assert_eq!(none, Tension::even(LineLoad::ZERO));
    }
    // 4 × 900 × 0.4 / (2 / 0.25 + 1 / 0.16) up, twice as much across.
    let t = tension(sides(500, 400), heard, mass, 2.0);
    near(t.up.to_n_per_m(), 1440.0 / 14.25);
    near(t.across.to_n_per_m(), 2880.0 / 14.25);
    // (2 × 3², 5 × 2²) half waves: ½ √((200 × 9 / 0.25 + 200 × 4 / 0.16) / 0.4)
    let f = mode(sides(500, 400), pull, mass, (3, 2));
    near(f.to_hz(), 0.5 * (12_200.0_f64 / 0.4).sqrt());
}

#[test]
fn air_between_the_rows_of_its_table() {
    // Sides 2.25 : 1. Free half way from 2 (0.699) to 2.5 (0.737), in a wall a quarter of the way
    // from 2 (1.124) to 3 (1.317); × 1.204 × 0.4 m.
    for (around, c) in [
        (Surroundings::Free, 0.718),
        (Surroundings::InAWall, 1.172_25),
    ] {
        for sides in [sides(400, 900), sides(900, 400)] {
            near(added_air(sides, around).to_kg_per_m2(), c * 1.204 * 0.4);
        }
    }
}

#[test]
fn doubts_add_as_squares() {
    let [cloth, air] = [400.0, 600.0].map(ArealMass::from_g_per_m2);
    // 2 × 2 %, 5 % × 0.4 and 15 % × 0.6: 2 √(0.04² + 0.02² + 0.09²)
    let doubt = tension_doubt(cloth, air, Doubt::USUAL).to_ratio();
    near(doubt, 2.0 * 0.0101_f64.sqrt());
    let none = tension_doubt(ArealMass::ZERO, ArealMass::ZERO, Doubt::USUAL);
    assert_eq!(none, Ratio::ZERO);
}

#[test]
fn notes_far_below_and_a_little_off() {
    // C of the octave below 0: 440 × 2^(−69/12) = 8.1758 Hz; a third of a semitone under A4.
    let low = note(Frequency::from_hz(8.1758)).unwrap();
    assert_eq!((low.name, low.octave), ("C", -1));
    let flat = note(Frequency::from_hz(440.0 * 2.0_f64.powf(-1.0 / 36.0))).unwrap();
    assert_eq!((flat.name, flat.octave), ("A", 4));
    near(flat.cents, -100.0 / 3.0);
    assert_eq!(note(Frequency::from_hz(f64::INFINITY)), None);
}

#[test]
fn the_note_follows_pull_and_what_is_on_the_cloth() {
    let cloth = json!({"bead": "bevel", "tension": "200", "across_over_up": "3",
        "cloth_mass": "400 g/m²", "size_kind": "pva", "ready_spread": "160 ml/m²", "size_coats": 2,
        "ground": "oil", "ground_coats": 3, "ground_spread": "110 ml/m²"});
    let tone = |settings: Json| {
        let mut all = cloth.clone();
        for (key, value) in settings.as_object().unwrap() {
            all[key] = value.clone();
        }
        planned(&all).canvases[0].tone.clone().unwrap()
    };
    // 300 across, 100 up, 200 in the mean: 300 / 1² + 100 / 0.8² = 456.25. The air of sides 1.25 : 1
    // weighs 0.596 × 1.204 × 0.8. Size 64 and ground 594 g/m², as they dry.
    let air = 0.596 * 1.204 * 0.8;
    for (coats, mass) in [("bare", 0.4), ("sized", 0.464), ("primed", 1.058)] {
        let t = tone(json!({"tap_coats": coats}));
        near(t.cloth.value.to_kg_per_m2(), mass);
        near(t.air.value.to_kg_per_m2(), air);
        near(t.without_air.value.to_hz(), 0.5 * (456.25 / mass).sqrt());
        let expected = 0.5 * (456.25 / (mass + air)).sqrt();
        near(t.expected.value.to_hz(), expected);
        // From a tenth of the pull to ten times it, from 6 Hz on.
        near(
            t.range().lowest.to_hz(),
            (expected / 10.0_f64.sqrt()).max(6.0),
        );
        near(t.range().highest.to_hz(), expected * 10.0_f64.sqrt());
    }
    // Flat on the bars the cloth swings between their inner edges: 1000 − 90 and 800 − 90.
    let flat = tone(json!({"bead": "none"}));
    assert_eq!([0, 1].map(|i| flat.sides[i].value.to_mm()), [910.0, 710.0]);
}

#[test]
fn high_and_low_notes_are_listened_for_within_what_any_canvas_gives() {
    // 100 × 100 mm of 50 g/m² at 3000 N/m: 600 000 / (0.05 + 0.538 × 1.204 × 0.1) and half the root:
    // 1143 Hz. A tenth of the pull would be 361 Hz; listening ends at 400 and begins at half of that.
    let tone = |settings: Json| planned(&settings).canvases[0].tone.clone().unwrap();
    let tight = tone(json!({"bead": "bevel", "bar_face": "20", "tension": "3000",
        "cloth_mass": "50 g/m²", "canvases": [{"width": "100", "height": "100"}]}));
    assert!((tight.expected.value.to_hz() - 1143.0).abs() < 1.0);
    let range = tight.range();
    assert_eq!(
        (range.lowest.to_hz(), range.highest.to_hz()),
        (200.0, 400.0)
    );
    // 1000 × 1000 mm at 10 N/m: ½ √(20 / (0.4 + 0.648)) = 2.18 Hz; from 6 to 12 Hz.
    let slack = tone(
        json!({"bead": "bevel", "tension": "10", "canvases": [{"width": "1000", "height": "1000"}]}),
    );
    assert!((slack.expected.value.to_hz() - 2.18).abs() < 0.01);
    let range = slack.range();
    assert_eq!((range.lowest.to_hz(), range.highest.to_hz()), (6.0, 12.0));
}

#[test]
fn low_notes_are_said_to_be_low() {
    // 1000 × 1000 mm of 400 g/m² with 647.75 g/m² of air: T = f² × 1.04775 × 2 N/m. 5.9 Hz: 72.9;
    // 6.1: 78.0; 19.8: 821.5; 20.2: 855.0; 39.5 Hz is out of reach: 600 × 600 mm with 388.65 g/m² of
    // air, T = f² × 0.78865 × 0.72: 39.5 Hz 885.9, 40.5 Hz 931.4.
    for (side, pull, words) in [
        ("1000", "72.9", "Too low to be told"),
        ("1000", "78", "Too low to hear as a note"),
        ("1000", "821.5", "Too low to hear as a note"),
        ("1000", "855", "A low thump"),
        ("600", "885.9", "A low thump"),
        ("600", "931.4", "A note that ear"),
    ] {
        let p = planned(
            &json!({"bead": "bevel", "cloth_mass": "400 g/m²", "tension": pull,
            "canvases": [{"width": side, "height": side}]}),
        );
        let tone = p.canvases[0].tone.as_ref().unwrap();
        assert!(tone.say.starts_with(words), "{pull}: {}", tone.say);
    }
}

#[test]
fn a_tapped_note_is_judged_within_its_doubt() {
    // 1000 × 1000 mm, 400 g/m² and 647.75 g/m² of air: T = f² × 4 × 1.04775 / 2 = 2.0955 f². At 10 Hz
    // 209.55 N/m, doubtful by 2 √(0.04² + (0.05 × 0.38177)² + (0.15 × 0.61823)²) = 20.6 %: from 166.4
    // to 252.7 N/m.
    let tapped = |pull: &str| {
        planned(
            &json!({"bead": "bevel", "cloth_mass": "400 g/m²", "tension": pull, "tap": "10",
            "canvases": [{"width": "1000", "height": "1000"}]}),
        )
        .tapped
        .unwrap()
    };
    let sigma: f64 = 0.4 + 0.538 * 1.204;
    let t = tapped("200");
    near(t.across.value.to_n_per_m(), 200.0 * sigma);
    near(t.up.value.to_n_per_m(), 200.0 * sigma);
    near(t.without_air.value.to_n_per_m(), 80.0);
    near(
        t.in_a_wall.value.to_n_per_m(),
        200.0 * (0.4 + 0.819 * 1.204),
    );
    let (cloth, air) = (0.4 / sigma, 1.0 - 0.4 / sigma);
    let doubt = 2.0 * (0.0016 + (0.05 * cloth).powi(2) + (0.15 * air).powi(2)).sqrt();
    near(t.doubt.value.to_ratio(), doubt);
    for (pull, words) in [
        ("165", "tighter than planned"),
        ("168", "as planned"),
        ("251", "as planned"),
        ("254", "slacker than planned"),
    ] {
        let say = tapped(pull).say;
        assert!(say.contains(words), "{pull}: {say}");
        assert!(
            say.starts_with("The cloth pulls with 210 N/m, between 166 N/m and 253 N/m: "),
            "{say}"
        );
    }
    // The second canvas of two is the one tapped.
    let p = planned(
        &json!({"bead": "bevel", "cloth_mass": "400 g/m²", "tap": "10", "tap_canvas": 2,
        "canvases": [{"width": "600", "height": "400"}, {"width": "1000", "height": "1000"}]}),
    );
    let t = p.tapped.unwrap();
    assert_eq!(t.canvas, 1);
    near(t.across.value.to_n_per_m(), 200.0 * sigma);
}

#[test]
fn quarters_are_compared_with_their_mean() {
    let of = |hz: [&str; 4]| {
        let [a, b, c, d] = hz;
        planned(&json!({"tap_1": a, "tap_2": b, "tap_3": c, "tap_4": d}))
            .quarters
            .unwrap()
    };
    // Squares 400, 900, 1600 and 2500, mean 1350.
    let q = of(["30", "50", "20", "40"]);
    for (share, square) in q.of_mean.iter().zip([900.0, 2500.0, 400.0, 1600.0]) {
        near(share.to_ratio(), square / 1350.0);
    }
    assert_eq!((q.slackest, q.tightest), (2, 1));
    near(q.spread.value.to_ratio(), 2100.0 / 1350.0);
    // Of equal ones the first is named.
    let q = of(["20", "30", "30", "20"]);
    assert_eq!((q.slackest, q.tightest), (0, 1));
}
