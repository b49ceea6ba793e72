//! Advice on wood, cloth, size, ground, weight and days.

use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;

use quantity::physics::{Force, Ratio};

use super::{Advice, put};
use crate::brief::{Brief, Ground, RatioBy, SizeKind};
use crate::diary::Weekdays;
use crate::fields::Stage;
use crate::figure::Value;
use crate::ground::{GroundPlan, SIZE_DRYING};
use crate::moisture::{Moisture, Verdict};
use crate::parse::plain;
use crate::plan::CanvasPlan;
use crate::show::{Units, decimals};
use crate::size::{BATH_LIMIT, Size, Standing, bath_reason};
use crate::tone::{QUARTERS, Quarters, Tapped};

/// What the advice looks at besides brief and canvases.
pub(crate) struct Materials<'a> {
    pub(crate) size: Option<&'a Size>,
    pub(crate) ground: Option<&'a GroundPlan>,
    pub(crate) moisture: &'a Moisture,
    pub(crate) tapped: Option<&'a Tapped>,
    pub(crate) quarters: Option<&'a Quarters>,
}

/// Weight from which a canvas is hung by two people (our choice: 10 kg).
const HEAVY: Force = Force::from_newtons(98.0665);
/// Quarters that differ by more than this are worth another pull (our choice).
const UNEVEN: Ratio = Ratio::from_percent(25.0);

pub(super) fn advice(
    brief: &Brief,
    canvases: &[CanvasPlan],
    materials: &Materials<'_>,
    all: &mut Vec<Advice>,
) {
    wood(brief, materials.moisture, all);
    tone(brief, canvases, materials, all);
    if let Some(size) = materials.size {
        glue(brief, size, all);
    }
    ground(brief, materials, all);
    hanging(brief, canvases, all);
    days(brief, materials, all);
}

fn wood(brief: &Brief, moisture: &Moisture, all: &mut Vec<Advice>) {
    let show = |x| brief.show.movement(x);
    if moisture.verdict != Verdict::CutNow && brief.acclimatise.value < 7.0 {
        put(
            all,
            Stage::Buy,
            "acclimatise",
            "This wood needs time in the room before it is cut.",
            format!(
                "Cut today, its mitres would open by {} and its housings come to {} of play; two weeks is common practice.",
                show(moisture.mitre_gap.value),
                show(moisture.housing_play.value)
            ),
        );
    }
    if moisture.verdict == Verdict::TooWet {
        put(
            all,
            Stage::Buy,
            "meter",
            "The wood is too wet.",
            moisture.say.clone(),
        );
    }
}

fn tone(brief: &Brief, canvases: &[CanvasPlan], materials: &Materials<'_>, all: &mut Vec<Advice>) {
    if brief.tap.is_some() && materials.tapped.is_none() && !canvases.is_empty() {
        put(
            all,
            Stage::Stretch,
            "tap_canvas",
            format!(
                "There is no canvas {} to be tapped.",
                brief.tap_canvas.value
            ),
            "Its number is its place in the list of canvases.",
        );
    }
    if let Some(q) = materials.quarters
        && q.spread.value > UNEVEN
    {
        put(
            all,
            Stage::Stretch,
            "tap_1",
            format!(
                "The stretch is uneven: {} is the slackest.",
                QUARTERS[q.slackest]
            ),
            format!(
                "It pulls at {} % of the mean and {} at {} %.",
                decimals(q.of_mean[q.slackest].to_percent(), 0),
                QUARTERS[q.tightest],
                decimals(q.of_mean[q.tightest].to_percent(), 0)
            ),
        );
    }
}

fn glue(brief: &Brief, size: &Size, all: &mut Vec<Advice>) {
    let w = size.by_weight.value;
    match size.standing {
        Standing::Stronger => {
            let other = match brief.ratio_by.value {
                RatioBy::Weight => format!(
                    "by volume the same words would give about {} : 1 by weight, a weaker size",
                    decimals(crate::size::by_weight(w, brief.glue_bulk.value), 0)
                ),
                RatioBy::Volume => format!(
                    "{} : 1 by volume, as typed, is this by weight",
                    plain(brief.ratio.value, 2)
                ),
            };
            put(
                all,
                Stage::Size,
                "ratio",
                format!("{} : 1 by weight is a strong size.", plain(w, 2)),
                format!(
                    "Published canvas recipes by weight run from 17 : 1 to 42 : 1; is the recipe meant by weight or by volume? ({other}.)"
                ),
            );
        }
        Standing::Weaker => put(
            all,
            Stage::Size,
            "ratio",
            format!("{} : 1 by weight is a weak size.", plain(w, 2)),
            "Published canvas recipes by weight run from 17 : 1 to 42 : 1.",
        ),
        Standing::Within => {}
    }
    if brief.bath.value > BATH_LIMIT {
        put(
            all,
            Stage::Size,
            "bath",
            "The water bath is too hot.",
            bath_reason(brief.show.units),
        );
    } else if brief.bath.value.to_celsius() < 50.0 {
        put(
            all,
            Stage::Size,
            "bath",
            "The glue may not dissolve.",
            match brief.show.units {
                Units::Metric => "Published dissolving temperatures run from 54 to 63 °C.",
                Units::Imperial => "Published dissolving temperatures run from 129 to 145 °F.",
            },
        );
    }
    if size.tightening.value > brief.tension.value {
        put(
            all,
            Stage::Stretch,
            "tension",
            "Stretch less tight than the canvas is to be: the size tightens it.",
            format!(
                "On drying, this much glue can add up to {} to the {} of the stretch, more than the frame was pulled with.",
                say(brief, size.tightening.value),
                say(brief, brief.tension.value)
            ),
        );
    }
    if size.kept_days.value > size.fridge_days.value {
        put(
            all,
            Stage::Size,
            "fridge_life",
            "The size will not keep until its last coat.",
            format!(
                "{} from its first use to its last. Make it in two batches, and throw away what is liquid when cold, mouldy or foul.",
                say(brief, Value::Days(size.kept_days.value))
            ),
        );
    }
}

fn ground(brief: &Brief, materials: &Materials<'_>, all: &mut Vec<Advice>) {
    let glue = brief.size_kind.value == SizeKind::Glue;
    match brief.ground.value {
        Ground::Acrylic if glue => put(
            all,
            Stage::Size,
            "ground",
            "Acrylic primer over glue size is reported as incompatible.",
            "Trade pages warn of it without a reason. An oil ground goes on glue size; acrylic primer goes on acrylic or PVA size, or on raw cloth (common practice, no source).",
        ),
        Ground::Chalk => put(
            all,
            Stage::Size,
            "ground",
            "Chalk and glue cracks on cloth.",
            "It is a ground for rigid supports: brittle, and cloth gives. Put it on panels.",
        ),
        _ => {}
    }
    if brief.ground.value == Ground::Chalk && !glue {
        put(
            all,
            Stage::Size,
            "size_kind",
            "Chalk ground is mixed from glue size.",
            "This plan has a ready size: set it to animal glue, or choose another ground.",
        );
    }
    let Some(g) = materials.ground else { return };
    let short = |all: &mut Vec<Advice>, key, hours: f64, drying: &crate::ground::Drying| {
        if hours < drying.least_hours {
            put(
                all,
                Stage::Days,
                key,
                format!("Little time to dry: {}.", drying.what),
                format!("{} ({}).", range(drying), drying.source),
            );
        }
    };
    short(
        all,
        "prime_dry",
        brief.prime_dry.value * 24.0,
        &g.drying.before_paint,
    );
    if brief.ground_coats.value > 1 {
        short(
            all,
            "ground_between",
            brief.ground_between.value,
            &g.drying.between,
        );
    }
    short(all, "size_dry", brief.size_dry.value * 24.0, &SIZE_DRYING);
}

/// A drying time in hours, days or weeks.
fn range(drying: &crate::ground::Drying) -> String {
    let (least, most) = (drying.least_hours, drying.most_hours);
    let in_unit = |hours: f64, unit: &str| {
        format!(
            "{} to {} {unit}",
            plain(least / hours, 1),
            plain(most / hours, 1)
        )
    };
    if least >= 168.0 {
        in_unit(168.0, "weeks")
    } else if most > 48.0 {
        in_unit(24.0, "days")
    } else {
        in_unit(1.0, "hours")
    }
}

fn say(brief: &Brief, value: impl Into<Value>) -> String {
    brief.show.value(&value.into(), &brief.currency)
}

fn hanging(brief: &Brief, canvases: &[CanvasPlan], all: &mut Vec<Advice>) {
    for c in canvases {
        let Some(h) = &c.hanging else { continue };
        if let Some(w) = h.wire.as_ref().filter(|w| !w.hidden) {
            put(
                all,
                Stage::Hang,
                "wire_angle",
                format!("{}: hook and wire would show above the canvas.", c.name),
                format!(
                    "At {}° the wire rises {} over rings that sit {} below the top. Take a flatter wire, or two hooks.",
                    decimals(w.angle.value.to_degrees(), 0),
                    brief.show.length(h.ring_down.value - w.hook_down.value),
                    brief.show.length(h.ring_down.value)
                ),
            );
        }
        if h.weight.value > HEAVY {
            put(
                all,
                Stage::Hang,
                "hang_by",
                format!("{} weighs {}.", c.name, say(brief, h.mass.value)),
                "Two people lift it and two hooks carry it. Over people, or on a wall of unknown strength, ask someone who does this by licence.",
            );
        }
    }
}

fn days(brief: &Brief, materials: &Materials<'_>, all: &mut Vec<Advice>) {
    if brief.day.is_none() && brief.work_days.value != Weekdays::ALL {
        put(
            all,
            Stage::Days,
            "work_days",
            "Working days count only with a date.",
            "Without one the diary does not know what day of the week day 1 is.",
        );
    }
    if brief.day.is_none() && brief.other_day.is_some() {
        put(
            all,
            Stage::Days,
            "other_day",
            "Only one end of the diary is fixed.",
            "Say the first day, or the day it is needed, as well.",
        );
    }
    if materials.size.is_some() && brief.soak.value < 2.0 {
        put(
            all,
            Stage::Size,
            "soak",
            "The glue soaks only briefly.",
            "Published recipes say 2 to 3 hours or overnight; sheets want the night.",
        );
    }
}
