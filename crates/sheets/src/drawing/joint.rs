//! Lap joints as exploded pairs, with the marking of each piece.

use maud::Markup;
use planner::brief::{Corner, Housing};
use planner::frame::{MarkKind, Part};
use planner::plan::Plan;
use quantity::Length;

use super::facts::{Facts, places};
use super::frame::nothing_yet;
use super::mitre::mitre;
use super::pen::{Point, rectangle};
use super::sheet::{Anchor, Layout, Look, Sheet, Side};

/// A kind of joint in a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// Where two outer bars meet.
    Corner,
    /// An upright cross bar let into the top or bottom bar.
    UprightHousing,
    /// A level cross bar let into a side bar.
    LevelHousing,
    /// Where two cross bars cross.
    Crossing,
}

impl Joint {
    /// The kinds that a canvas has.
    #[must_use]
    pub fn all(plan: &Plan, canvas: usize) -> Vec<Self> {
        let Some(facts) = Facts::of(plan, canvas) else {
            return Vec::new();
        };
        let has = |part| facts.member(part).is_some();
        let mut all = vec![Self::Corner];
        if has(Part::Upright) {
            all.push(Self::UprightHousing);
        }
        if has(Part::Level) {
            all.push(Self::LevelHousing);
        }
        if has(Part::Upright) && has(Part::Level) {
            all.push(Self::Crossing);
        }
        all
    }

    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::UprightHousing => "upright cross bar in its housing",
            Self::LevelHousing => "level cross bar in its housing",
            Self::Crossing => "crossing of two cross bars",
        }
    }
}

/// Where the back half of a piece is taken away, or its front half.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Gone {
    Back,
    Front,
}

/// A piece of the pair: where its waste lies along it.
struct Piece {
    letter: String,
    gone: Gone,
    /// First and second shoulder from the end that the marks start from; none for the first
    /// where the waste runs out at the end.
    shoulders: (Option<Length>, Length),
    /// Width of the waste along the piece, and whether its end is drawn.
    at_end: bool,
    /// Mitred on the front.
    mitred: bool,
    /// How far a stopped housing ends before the outer edge.
    stop: Option<Length>,
}

/// A joint of a canvas as an exploded pair, and the marking of each piece: shoulders, depth,
/// waste, saw side, and the order of knife, gauge, saw and chisel.
///
/// A plain mitre has its own drawing, which is returned for it.
#[must_use]
pub fn joint(plan: &Plan, canvas: usize, kind: Joint, layout: Layout) -> Markup {
    let Some(facts) = Facts::of(plan, canvas) else {
        return nothing_yet(layout, "Joint");
    };
    if kind == Joint::Corner && facts.brief.corner.value == Corner::Mitre {
        return mitre(plan, canvas, layout);
    }
    let Some([housed, let_in]) = pieces(facts, kind) else {
        return nothing_yet(layout, "Joint");
    };
    let frame = facts.frame;
    let mut sheet = Sheet::new(
        layout,
        format!("{}, {}", facts.canvas.name, kind.name()),
        format!(
            "The two pieces apart, back upward, then each as it is marked, in {}. {} loses half its depth from the back and {} from the front: {} deep, {} wide.",
            facts.unit(),
            housed.letter,
            let_in.letter,
            facts.bare(frame.lap_depth.value),
            facts.bare(frame.face),
        ),
    );
    exploded(&mut sheet, facts, kind, &housed, &let_in);
    let y = sheet.bottom() + 8.0;
    let y = marking(&mut sheet, facts, y, &housed);
    marking(&mut sheet, facts, y + 4.0, &let_in);
    sheet.note(None, format!("All in {}. Hatched: waste. Shoulders are knifed from the other piece's real width, held in place.", facts.unit()));
    if let Some(stop) = housed.stop {
        let stop = facts.bare(stop);
        sheet.note(
            None,
            format!("The housing stops {stop} short of the outer edge."),
        );
    }
    sheet.note(
        Some("1"),
        "knife: both shoulders across, then down both edges.",
    );
    sheet.note(
        Some("2"),
        "gauge: the depth, from the face that stays, along both edges and the end.",
    );
    sheet.note(
        Some("3"),
        "saw: on the waste side of each knife line, down to the gauge line.",
    );
    sheet.note(
        Some("4"),
        "chisel: halfway in from one edge, turn the piece, and meet it from the other.",
    );
    sheet.finish()
}

/// The piece that is housed from the back, and the one that lies in it.
fn pieces(facts: Facts<'_>, kind: Joint) -> Option<[Piece; 2]> {
    let (first, second) = match kind {
        Joint::Corner => (Part::TopBottom, Part::Side),
        Joint::UprightHousing => (Part::TopBottom, Part::Upright),
        Joint::LevelHousing => (Part::Side, Part::Level),
        Joint::Crossing => (Part::Level, Part::Upright),
    };
    let (a, b) = (facts.member(first)?, facts.member(second)?);
    let mitred = kind == Joint::Corner && facts.brief.corner.value == Corner::MitreLap;
    let middle = |m| {
        Some((
            Some(*places(m, MarkKind::HousingFrom).first()?),
            *places(m, MarkKind::HousingTo).first()?,
        ))
    };
    let end = |m, kind| Some((None, *places(m, kind).first()?));
    let (of_a, of_b) = match kind {
        Joint::Corner => (
            end(a, MarkKind::CornerShoulder)?,
            end(b, MarkKind::CornerShoulder)?,
        ),
        Joint::UprightHousing | Joint::LevelHousing => (middle(a)?, end(b, MarkKind::EndShoulder)?),
        Joint::Crossing => (middle(a)?, middle(b)?),
    };
    let piece = |m: &planner::frame::Member, gone, shoulders: (Option<Length>, Length)| Piece {
        letter: m.letter.clone(),
        gone,
        at_end: shoulders.0.is_none(),
        shoulders,
        mitred,
        stop: match (kind, gone) {
            (Joint::UprightHousing | Joint::LevelHousing, Gone::Back) => {
                let stops = facts.brief.housing.value == Housing::Stopped;
                stops.then_some(facts.brief.stop_short.value)
            }
            _ => None,
        },
    };
    Some([piece(a, Gone::Back, of_a), piece(b, Gone::Front, of_b)])
}

/// Both pieces in an oblique view, back upward, the second lifted off the first.
fn exploded(sheet: &mut Sheet, facts: Facts<'_>, kind: Joint, housed: &Piece, let_in: &Piece) {
    let (face, depth) = (facts.frame.face.to_mm(), facts.frame.depth.to_mm());
    // A narrow drawing is the wide one made smaller.
    let k = sheet.width() / Layout::Wide.width();
    let scale = (24.0 / face).min(22.0 / depth) * k;
    let (f, d) = (face * scale, depth * scale);
    let lap = facts.frame.lap_depth.value.to_mm() * scale;
    let floor = d - lap;
    // Along x the housed piece, along y (away, up to the right) the other one.
    let (length, a) = if housed.at_end {
        (f * 3.0 + 24.0 * k, 0.0)
    } else {
        (f * 3.0 + 40.0 * k, f + 20.0 * k)
    };
    let b = a + f;
    let stopped = match (kind, &housed.shoulders, let_in.at_end) {
        (Joint::UprightHousing | Joint::LevelHousing, _, true) => {
            f - let_in.shoulders.1.to_mm() * scale
        }
        _ => 0.0,
    };
    let x0 = (sheet.width() - length - f) / 2.0;
    let p = move |x: f64, y: f64, z: f64| -> Point { (x0 + x + 0.62 * y, -z - 0.42 * y) };

    // The housed piece.
    let floor_area = if housed.mitred {
        vec![p(a, 0.0, floor), p(b, 0.0, floor), p(b, f, floor)]
    } else {
        vec![
            p(a, stopped, floor),
            p(b, stopped, floor),
            p(b, f, floor),
            p(a, f, floor),
        ]
    };
    if a > 0.0 {
        let top_left = [p(0.0, 0.0, d), p(a, 0.0, d), p(a, f, d), p(0.0, f, d)];
        sheet.area(&top_left, Look::Wood);
        let wall = [
            p(a, stopped, floor),
            p(a, f, floor),
            p(a, f, d),
            p(a, stopped, d),
        ];
        sheet.area(&floor_area, Look::Over);
        sheet.area(&wall, Look::Wood);
    } else {
        sheet.area(&floor_area, Look::Over);
    }
    sheet.area(
        &[p(b, 0.0, d), p(length, 0.0, d), p(length, f, d), p(b, f, d)],
        Look::Wood,
    );
    sheet.area(
        &[
            p(length, 0.0, 0.0),
            p(length, f, 0.0),
            p(length, f, d),
            p(length, 0.0, d),
        ],
        Look::Wood,
    );
    if stopped > 0.0 {
        sheet.area(
            &[
                p(a, 0.0, d),
                p(b, 0.0, d),
                p(b, stopped, d),
                p(a, stopped, d),
            ],
            Look::Wood,
        );
    }
    let notch_top = if stopped > 0.0 { d } else { floor };
    let front = [
        p(0.0, 0.0, 0.0),
        p(length, 0.0, 0.0),
        p(length, 0.0, d),
        p(b, 0.0, d),
        p(b, 0.0, notch_top),
        p(a, 0.0, notch_top),
        p(a, 0.0, if a > 0.0 { d } else { notch_top }),
        p(0.0, 0.0, if a > 0.0 { d } else { notch_top }),
    ];
    sheet.area(&front, Look::Wood);

    // The other piece, lifted; it runs away from the viewer.
    let (from, far) = if let_in.at_end {
        (stopped, f * 3.2 + 12.0 * k)
    } else {
        (-f * 0.9 - 6.0 * k, f * 2.6 + 8.0 * k)
    };
    // High enough that its near end clears the other piece.
    let lift = d + 12.0 - 0.42 * from.min(0.0);
    let q = move |x: f64, y: f64, z: f64| p(a + x, y, z + lift);
    if let_in.mitred {
        sheet.area(
            &[
                q(0.0, 0.0, 0.0),
                q(f, f, 0.0),
                q(f, f, floor),
                q(0.0, 0.0, floor),
            ],
            Look::Over,
        );
    } else {
        sheet.area(
            &[
                q(0.0, f, 0.0),
                q(f, f, 0.0),
                q(f, f, floor),
                q(0.0, f, floor),
            ],
            Look::Over,
        );
    }
    let mut side = vec![q(f, far, 0.0), q(f, far, d), q(f, from, d)];
    if let_in.at_end {
        side.extend([q(f, from, floor), q(f, f, floor), q(f, f, 0.0)]);
    } else {
        side.extend([
            q(f, from, 0.0),
            q(f, 0.0, 0.0),
            q(f, 0.0, floor),
            q(f, f, floor),
            q(f, f, 0.0),
        ]);
    }
    sheet.area(&side, Look::Wood);
    let low = if let_in.at_end { floor } else { 0.0 };
    sheet.area(
        &[
            q(0.0, from, low),
            q(f, from, low),
            q(f, from, d),
            q(0.0, from, d),
        ],
        Look::Wood,
    );
    sheet.area(
        &[q(0.0, from, d), q(f, from, d), q(f, far, d), q(0.0, far, d)],
        Look::Wood,
    );
    // The way it goes down.
    for x in [0.0, f] {
        let start = q(x, stopped, low.max(floor));
        let end = p(a + x, stopped, floor);
        sheet.line(&[start, end], Look::Hidden);
    }
    sheet.badge(&housed.letter, p(length - f * 0.5 - 4.0 * k, f * 0.5, d));
    sheet.badge(&let_in.letter, q(f * 0.5, far - f * 0.5 - 3.0 * k, d));
}

/// One piece as it is marked: the face that loses wood and below it the edge.
fn marking(sheet: &mut Sheet, facts: Facts<'_>, top: f64, piece: &Piece) -> f64 {
    let (face, depth) = (facts.frame.face.to_mm(), facts.frame.depth.to_mm());
    let scale = (24.0 / face).min(24.0 / depth);
    let (f, d) = (face * scale, depth * scale);
    let lap = facts.frame.lap_depth.value.to_mm() * scale;
    let is_wide = sheet.width() >= Layout::Wide.width();
    let (xl, xr) = if is_wide { (34.0, 124.0) } else { (11.0, 61.0) };
    let (first, second) = piece.shoulders;
    let waste = match first {
        Some(first) => second - first,
        None => second,
    };
    let w = waste.to_mm() * scale;
    let a = if piece.at_end {
        xl
    } else {
        f64::midpoint(xl, xr) - 7.0 - w / 2.0
    };
    let b = a + w;
    let side = match piece.gone {
        Gone::Back => "back face",
        Gone::Front => "front face",
    };

    let y = top + 22.0;
    sheet.badge(&piece.letter, (6.0, y + f / 2.0));
    let beside = |level: f64, above: f64| (2.0, if is_wide { level } else { above });
    sheet.text(side, beside(y + f / 2.0 + 7.0, top + 2.0), Anchor::Start);
    sheet.area(&rectangle((xl, y), (xr, y + f)), Look::Wood);
    let area = if piece.mitred && piece.gone == Gone::Front {
        // Heel at the outer edge, toe at the inner one: only the triangle goes.
        vec![(xl, y + f), (xl, y), (b, y)]
    } else {
        let stop = piece.stop.map_or(0.0, |x| x.to_mm() * scale);
        rectangle((a, y), (b, y + f - stop)).to_vec()
    };
    sheet.area(&area, Look::Edge);
    sheet.hatched(&area, 2.4);
    if piece.mitred && piece.gone == Gone::Back {
        sheet.line(&[(xl, y + f), (b, y)], Look::Hidden);
        sheet.call(
            "mitre, on the front only",
            (xl + w * 0.5, y + f * 0.5),
            (40.0, -14.0),
        );
    }
    let dim = y - 4.0;
    sheet.across((a, b), dim, &facts.bare(waste), Side::Before);
    if let Some(first) = first {
        // The running mark of the first shoulder, as on the rod.
        let text = format!("{} from the end", facts.bare(first));
        if is_wide {
            sheet.call(&text, (a, y), (-12.0, -14.0));
        } else {
            sheet.note(Some(&piece.letter), format!("first shoulder {text}."));
        }
    }

    let e = y + f + if is_wide { 14.0 } else { 19.0 };
    let edge = if piece.stop.is_some() {
        "inner edge"
    } else {
        "edge"
    };
    sheet.text(edge, beside(e + d / 2.0, e - 4.0), Anchor::Start);
    sheet.area(&rectangle((xl, e), (xr, e + d)), Look::Wood);
    let (from, to) = match piece.gone {
        Gone::Back => (e, e + lap),
        Gone::Front => (e + d - lap, e + d),
    };
    let notch = rectangle((a, from), (b, to));
    sheet.area(&notch, Look::Edge);
    sheet.hatched(&notch, 2.4);
    let gauge = match piece.gone {
        Gone::Back => to,
        Gone::Front => from,
    };
    sheet.upright(
        (from, to),
        xr + 5.0,
        &format!("{} deep", facts.bare(facts.frame.lap_depth.value)),
        Side::After,
    );
    // The saw stands on the waste side: a kerf inside the hatching.
    let kerf = (w * 0.06).clamp(0.4, 1.4);
    let mut cuts = vec![(b - kerf, b)];
    if !piece.at_end {
        cuts.push((a, a + kerf));
    }
    for (l, r) in cuts {
        sheet.area(&rectangle((l, from), (r, to)), Look::Metal);
    }
    // Beyond the wood that stays, above or below the edge.
    let rest = d - lap + 7.0;
    let waste_middle = (a + w * 0.65, f64::midpoint(from, to));
    let (two, three, four) = match piece.gone {
        Gone::Back => (
            (-4.0, rest),
            (-5.0, -7.0),
            (w * 0.35 + 9.0, rest + lap / 2.0),
        ),
        Gone::Front => ((-4.0, -rest), (6.0, 7.0), (-7.0, 7.0 + lap / 2.0)),
    };
    let open = match piece.gone {
        Gone::Back => from,
        Gone::Front => to,
    };
    sheet.call_badge("1", (b, y + f), (9.0, 7.0));
    sheet.call_badge("2", (a + w * 0.25, gauge), two);
    sheet.call_badge("3", (b - kerf / 2.0, open), three);
    sheet.call_badge("4", waste_middle, four);
    sheet.bottom()
}
