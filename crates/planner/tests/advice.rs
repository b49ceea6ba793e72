//! Each warning on both sides of its threshold; thresholds worked by hand from the numbers in the
//! brief.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use planner::advice::Advice;
use planner::{Draft, Plan, plan};
use serde_json::{Value as Json, json};

/// One canvas of 1000 × 800 mm and these settings.
fn planned(settings: &Json) -> Plan {
    let mut brief = json!({"canvases": [{"name": "Any", "width": "1000 mm", "height": "800 mm"}]});
    for (key, value) in settings.as_object().unwrap() {
        brief[key] = value.clone();
    }
    let (draft, faults) = Draft::from_tree(&serde_json::from_value(brief).unwrap());
    assert_eq!(faults, []);
    let plan = plan(&draft);
    assert_eq!(plan.faults, []);
    plan
}

fn find<'a>(plan: &'a Plan, key: &str, what: &str) -> Option<&'a Advice> {
    let mut all = plan.advice.iter();
    all.find(|a| a.at.key == key && a.what.contains(what))
}

/// Said with these settings, in words that have these in them.
#[track_caller]
fn said(key: &str, what: &str, why: &str, settings: Json) {
    let plan = planned(&settings);
    let advice = find(&plan, key, what);
    let advice = advice.unwrap_or_else(|| panic!("not said: {:#?}", plan.advice));
    assert!(advice.why.contains(why), "{}", advice.why);
}

#[track_caller]
fn unsaid(key: &str, what: &str, settings: Json) {
    let plan = planned(&settings);
    assert!(find(&plan, key, what).is_none(), "{:#?}", plan.advice);
}

#[test]
fn on_wood() {
    let stains = "Coloured roofing batten";
    said("treated", stains, "untreated", json!({"treated": "yes"}));
    unsaid("treated", stains, json!({}));

    // Four faces of 45 mm are 180 mm.
    let small = "half of the shorter side is wood";
    for (width, height, wanted) in [
        ("400", "180", false),
        ("400", "179", true),
        ("179", "400", true),
    ] {
        let brief = json!({"canvases": [{"width": width, "height": height}]});
        assert_eq!(find(&planned(&brief), "bar_face", small).is_some(), wanted);
    }
}

#[test]
fn on_keyed_corners() {
    let (dry, shut) = ("Keyed corners stay dry", "hold a keyed corner shut");
    unsaid("fixing", dry, json!({"braces": "yes"}));
    unsaid("braces", shut, json!({"braces": "yes"}));
    said(
        "fixing",
        dry,
        "No glue",
        json!({"fixing": "keyed", "braces": "no"}),
    );
    unsaid("braces", shut, json!({"fixing": "keyed", "braces": "no"}));
    said(
        "braces",
        shut,
        "cross bars instead",
        json!({"fixing": "keyed", "braces": "yes"}),
    );
}

#[test]
fn on_screws() {
    // Square to the mitre it leaves the wood after √2 faces, 63.6 mm, and stays 3 mm clear.
    let breaks = "breaks through";
    let way = |length: &str| json!({"screw_way": "square_to_mitre", "screw_length": length});
    unsaid("screw_length", breaks, way("60.6"));
    said("screw_length", breaks, "at most 60", way("60.7"));
    // In a lap of two halves of a 20 mm batten: 17 mm; none in a keyed corner or without screws.
    for corner in ["mitre_lap", "square_lap"] {
        let lap = |length: &str| json!({"corner": corner, "screw_length": length});
        unsaid("screw_length", breaks, lap("17"));
        said("screw_length", breaks, "at most 17 mm", lap("17.1"));
    }
    unsaid(
        "screw_length",
        breaks,
        json!({"corner": "square_lap", "screws": "no"}),
    );
    unsaid(
        "screw_length",
        breaks,
        json!({"corner": "square_lap", "fixing": "keyed"}),
    );
    unsaid("screw_length", breaks, json!({"screw_length": "150"}));

    // Square to the edge it passes half of the face, 22.5 mm, and wants 6 × 3 mm in the other bar.
    let hardly = "hardly reaches";
    unsaid("screw_length", hardly, json!({"screw_length": "40.5"}));
    said(
        "screw_length",
        hardly,
        "18 mm",
        json!({"screw_length": "40.4"}),
    );
    // Square to the mitre half of its way, 31.8 mm, is in the first.
    unsaid("screw_length", hardly, way("49.9"));
    said("screw_length", hardly, "17.5 mm of it", way("49.7"));
    // In a lap half of the depth is: 10 of 20 mm; what would stick out of the back holds nothing.
    let lap =
        |depth: &str| json!({"corner": "square_lap", "bar_depth": depth, "screw_length": "40"});
    unsaid("screw_length", hardly, lap("36"));
    said("screw_length", hardly, "18 mm", lap("35.8"));

    // Three diameters to either edge: six in the depth.
    let thick = "thick for this batten";
    let depth = |depth: &str| json!({"bar_depth": depth});
    unsaid("screw_diameter", thick, depth("18"));
    said(
        "screw_diameter",
        thick,
        "(9 mm) to the edge and has 8.5 mm",
        depth("17"),
    );
    said("screw_diameter", thick, "Up to 2.5 mm thick", depth("17"));
    unsaid(
        "screw_diameter",
        thick,
        json!({"bar_depth": "17", "corner": "mitre_lap"}),
    );

    let grain = "end grain";
    said("screw_way", grain, "the glue does the work", json!({}));
    unsaid("screw_way", grain, json!({"screw_way": "square_to_mitre"}));
    unsaid("screw_way", grain, json!({"corner": "mitre_lap"}));
    unsaid("screw_way", grain, json!({"screws": "no"}));
}

#[test]
fn on_pins_and_staples() {
    // A lean of 1 in 12 takes a quarter of the depth, 5 mm, in 60 mm.
    let out = "may come out";
    unsaid("pin_length", out, json!({"pin_length": "60"}));
    said(
        "pin_length",
        out,
        "up to 60 mm",
        json!({"pin_length": "60.1"}),
    );
    unsaid(
        "pin_length",
        out,
        json!({"pin_length": "60.1", "corner": "square_lap"}),
    );
    // Two thirds of the face, 30 mm, and 8 × 1.6 mm.
    let hardly = "hardly reach";
    unsaid("pin_length", hardly, json!({"pin_length": "42.8"}));
    said(
        "pin_length",
        hardly,
        "43 mm or longer",
        json!({"pin_length": "42.7"}),
    );
    unsaid(
        "pin_length",
        hardly,
        json!({"pin_length": "42.7", "fixing": "keyed"}),
    );

    let front = "come out of the front";
    unsaid("staple_leg", front, json!({"staple_leg": "19.9"}));
    said(
        "staple_leg",
        front,
        "20 mm deep",
        json!({"staple_leg": "20"}),
    );
}

#[test]
fn on_cloth() {
    let flat = "lies on the bars";
    said("bead", flat, "show through", json!({"bead": "none"}));
    unsaid("bead", flat, json!({"bead": "bevel"}));
    // Twice a leg of 8 mm.
    let little = "Little cloth";
    unsaid("turnover", little, json!({"turnover": "16"}));
    said("turnover", little, "tears out", json!({"turnover": "15.9"}));
    let wide = "wider than the bar";
    unsaid("turnover", wide, json!({"turnover": "45"}));
    said(
        "turnover",
        wide,
        "Of 48 mm of cloth on the back 3 mm hang",
        json!({"turnover": "48"}),
    );
}

#[test]
fn on_damp_wood() {
    let time = "needs time in the room";
    unsaid("acclimatise", time, json!({"acclimatise": "7"}));
    said(
        "acclimatise",
        time,
        "two weeks",
        json!({"acclimatise": "6.9"}),
    );
    // As dry as the studio is: nothing to wait for.
    let dry = json!({"acclimatise": "0", "yard_temperature": "20", "yard_humidity": "50"});
    unsaid("acclimatise", time, dry);
    // From 19 % it is not glued.
    unsaid("meter", "too wet", json!({"meter": "18.9"}));
    said("meter", "too wet", "", json!({"meter": "19.1"}));
    unsaid("meter", "too wet", json!({}));
}

#[test]
fn on_taps() {
    let none = "no canvas 2";
    said(
        "tap_canvas",
        none,
        "list",
        json!({"tap": "60", "tap_canvas": "2"}),
    );
    unsaid("tap_canvas", none, json!({"tap_canvas": "2"}));
    unsaid("tap_canvas", "no canvas", json!({"tap": "60"}));
    // Pull goes with the square of the note: 100, 100, 100 and x Hz pull as 1, 1, 1 and (x/100)²,
    // and (1 − q)/(3 + q) × 4 is 25 % at q = 13/17: x = 87.4 Hz.
    let quarters = |x: &str| json!({"tap_1": "100", "tap_2": "100", "tap_3": "100", "tap_4": x});
    unsaid("tap_1", "uneven", quarters("88"));
    said(
        "tap_1",
        "bottom right is the slackest",
        "pulls at 79 % of the mean",
        quarters("86"),
    );
}

#[test]
fn on_size() {
    for (ratio, key) in [
        ("17", None),
        ("42", None),
        ("16.9", Some("strong")),
        ("42.1", Some("weak")),
    ] {
        let plan = planned(&json!({"ratio": ratio}));
        for word in ["is a strong size", "is a weak size"] {
            let wanted = key.is_some_and(|k| word.contains(k));
            assert_eq!(find(&plan, "ratio", word).is_some(), wanted, "{ratio}");
        }
    }
    // A litre of water over 665 g of dry glue: 10 : 1 by volume is 15 : 1 by weight.
    said(
        "ratio",
        "10 : 1 by weight is a strong size",
        "about 15 : 1 by weight, a weaker size",
        json!({}),
    );
    said(
        "ratio",
        "strong size",
        "10 : 1 by volume, as typed",
        json!({"ratio_by": "volume"}),
    );

    let (hot, cold) = ("too hot", "may not dissolve");
    unsaid("bath", hot, json!({"bath": "65"}));
    said("bath", hot, "°C", json!({"bath": "65.1"}));
    unsaid("bath", cold, json!({"bath": "50"}));
    said("bath", cold, "54 to 63 °C", json!({"bath": "49.9"}));
    said(
        "bath",
        cold,
        "129 to 145 °F",
        json!({"bath": "49.9 °C", "units": "imperial"}),
    );

    let brief = "soaks only briefly";
    unsaid("soak", brief, json!({"soak": "2"}));
    said("soak", brief, "2 to 3 hours", json!({"soak": "1.9"}));
    unsaid("soak", brief, json!({"soak": "1.9", "size_kind": "pva"}));

    let slack = planned(&json!({}));
    let adds = slack.size.as_ref().unwrap().tightening.value.to_n_per_m();
    let tight = "Stretch less tight";
    unsaid(
        "tension",
        tight,
        json!({"tension": format!("{:.2}", adds + 0.01)}),
    );
    said(
        "tension",
        tight,
        "add up to",
        json!({"tension": format!("{:.2}", adds - 0.01)}),
    );

    // Two coats with a day between: it is used over two days.
    let keeps = "will not keep";
    unsaid("fridge_life", keeps, json!({"fridge_life": "2"}));
    said(
        "fridge_life",
        keeps,
        "two batches",
        json!({"fridge_life": "0"}),
    );
}

#[test]
fn on_the_ground() {
    let clash = "Acrylic primer over glue size";
    said("ground", clash, "common practice", json!({}));
    unsaid("ground", clash, json!({"size_kind": "acrylic"}));
    unsaid("ground", clash, json!({"ground": "oil"}));
    let brittle = "cracks on cloth";
    said("ground", brittle, "panels", json!({"ground": "chalk"}));
    unsaid("ground", brittle, json!({"ground": "oil"}));
    let mixed = "mixed from glue size";
    said(
        "size_kind",
        mixed,
        "animal glue",
        json!({"ground": "chalk", "size_kind": "pva"}),
    );
    unsaid("size_kind", mixed, json!({"ground": "chalk"}));
    unsaid(
        "size_kind",
        mixed,
        json!({"ground": "oil", "size_kind": "pva"}),
    );

    // The least published: acrylic a day, oil a week before paint; an hour and a day between.
    let little = "Little time to dry";
    for (ground, least, less, words) in [
        ("acrylic", "1", "0.9", "24 to 72 hours"),
        ("oil", "7", "6.9", "1 to 6 weeks"),
    ] {
        let brief = |days: &str| json!({"ground": ground, "prime_dry": days});
        unsaid("prime_dry", little, brief(least));
        if ground == "oil" {
            said("prime_dry", little, words, brief(less));
        }
    }
    for (ground, least, less, words) in [
        ("acrylic", "1", "0.9", "1 to 24 hours"),
        ("oil", "24", "23.9", "1 to 7 days"),
        ("chalk", "0.5", "0.4", "0.5 to 2 hours"),
    ] {
        let brief = |hours: &str, coats: &str| json!({"ground": ground, "ground_between": hours, "ground_coats": coats});
        unsaid("ground_between", little, brief(least, "2"));
        said("ground_between", little, words, brief(less, "2"));
        unsaid("ground_between", little, brief(less, "1"));
    }
}

#[test]
fn on_hanging() {
    // 10 kg and more is carried by two: found from the weight that the plan gives.
    let heavy = "weighs";
    for (paint, wanted) in [(0, false), (10_000, true)] {
        let plan = planned(&json!({"paint_mass": paint.to_string()}));
        let mass = plan.canvases[0]
            .hanging
            .as_ref()
            .unwrap()
            .mass
            .value
            .to_kg();
        assert_eq!(mass > 10.0, wanted, "{mass}");
        assert_eq!(find(&plan, "hang_by", heavy).is_some(), wanted);
    }
    let shows = "would show above";
    unsaid("wire_angle", shows, json!({}));
    said(
        "wire_angle",
        shows,
        "Take a flatter wire",
        json!({"wire_angle": "60", "ring_down": "10"}),
    );
    unsaid(
        "wire_angle",
        shows,
        json!({"wire_angle": "60", "ring_down": "10", "hang_by": "rings"}),
    );
}

#[test]
fn on_days() {
    let count = "count only with a date";
    said("work_days", count, "day 1", json!({"work_days": "Mon-Fri"}));
    unsaid("work_days", count, json!({"work_days": "Mon-Sun"}));
    unsaid(
        "work_days",
        count,
        json!({"work_days": "Mon-Fri", "day": "2027-03-01"}),
    );
    let one = "Only one end";
    said(
        "other_day",
        one,
        "as well",
        json!({"other_day": "2027-03-01"}),
    );
    unsaid(
        "other_day",
        one,
        json!({"other_day": "2027-06-01", "day": "2027-03-01"}),
    );
    unsaid("other_day", one, json!({"day": "2027-03-01"}));
}
