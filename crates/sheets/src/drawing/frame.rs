//! The frame from the back.

use maud::Markup;
use planner::brief::Corner as Made;
use planner::frame::{Ends, MarkKind, Member, Part};
use planner::plan::Plan;
use quantity::Length;

use super::facts::Facts;
use super::pen::{Point, rectangle, spread};
use super::sheet::{Anchor, BADGE, EDGE, Layout, Look, Sheet, TEXT, Try, badge_half_width};
use super::text::{Weight, width_of};

/// Tallest that the wood is drawn.
const TALLEST: f64 = 150.0;
/// Largest scale, so that a small frame does not fill the screen.
const LARGEST: f64 = 0.55;

/// The frame seen from the back, to scale: outer size, every member with its letter, where the
/// cross bars lie, braces, keys, the diagonal and the grain.
///
/// A canvas that has no frame (yet) gives a drawing that says so.
#[must_use]
pub fn frame_back(plan: &Plan, canvas: usize, layout: Layout) -> Markup {
    back(plan, canvas, layout, true)
}

/// The same frame without the notes below it, small enough to stay in sight beside the answer.
#[must_use]
pub fn frame_in_sight(plan: &Plan, canvas: usize) -> Markup {
    back(plan, canvas, Layout::Wide, false)
}

fn back(plan: &Plan, canvas: usize, layout: Layout, with_notes: bool) -> Markup {
    let Some(facts) = Facts::of(plan, canvas) else {
        return nothing_yet(layout, "Frame from the back");
    };
    let mut back = Back::new(facts, layout);
    back.wood();
    back.outer_size();
    back.cross_bar_places();
    back.letters();
    back.diagonal();
    if with_notes {
        back.notes();
    }
    back.sheet.finish()
}

/// What stands where a drawing must wait for a field.
pub(super) fn nothing_yet(layout: Layout, title: &str) -> Markup {
    let mut sheet = Sheet::new(layout, title, "Nothing to draw yet.");
    sheet.text(
        "Waiting for what is missing above.",
        (layout.width() / 2.0, 8.0),
        Anchor::Middle,
    );
    sheet.finish()
}

struct Back<'a> {
    facts: Facts<'a>,
    sheet: Sheet,
    scale: f64,
    /// Outer left and top.
    x0: f64,
    /// Width, height and face as drawn.
    w: f64,
    h: f64,
    face: f64,
}

impl<'a> Back<'a> {
    fn new(facts: Facts<'a>, layout: Layout) -> Self {
        let frame = facts.frame;
        let (width, height) = (frame.outer_width.value, frame.outer_height.value);
        let left = width_of(&facts.bare(height), TEXT, Weight::Plain) + 2.0 * BADGE + 10.0;
        let right = facts
            .marks(Part::Side, MarkKind::HousingMiddle)
            .iter()
            .map(|at| width_of(&facts.bare(*at), TEXT, Weight::Plain) + 2.0 * BADGE + 10.0)
            .fold(2.0 * BADGE + 4.0, f64::max);
        let room = layout.width() - 2.0 * EDGE - left - right;
        let scale = (room / width.to_mm())
            .min(TALLEST / height.to_mm())
            .min(LARGEST);
        let (w, h) = (width.to_mm() * scale, height.to_mm() * scale);
        let title = format!("Frame of {} from the back", facts.canvas.name);
        let sheet = Sheet::new(layout, title, description(facts));
        Self {
            facts,
            sheet,
            scale,
            x0: EDGE + left + (room - w) / 2.0,
            w,
            h,
            face: frame.face.to_mm() * scale,
        }
    }

    fn wood(&mut self) {
        let (x0, w, h, f) = (self.x0, self.w, self.h, self.face);
        let (x1, xi, xj) = (x0 + w, x0 + f, x0 + w - f);
        let (top, bottom);
        let (left, right);
        if self.facts.brief.corner.value == Made::Mitre {
            top = [(x0, 0.0), (x1, 0.0), (xj, f), (xi, f)];
            bottom = [(x0, h), (xi, h - f), (xj, h - f), (x1, h)];
            left = [(x0, 0.0), (xi, f), (xi, h - f), (x0, h)];
            right = [(x1, 0.0), (x1, h), (xj, h - f), (xj, f)];
        } else {
            // A lap shows square from the back: the sides lie over top and bottom there.
            top = rectangle((x0, 0.0), (x1, f));
            bottom = rectangle((x0, h - f), (x1, h));
            left = rectangle((x0, 0.0), (xi, h));
            right = rectangle((xj, 0.0), (x1, h));
        }
        for bar in [top, bottom, left, right] {
            self.sheet.area(&bar, Look::Wood);
        }
        for y in [f / 2.0, h - f / 2.0] {
            self.grain((xi, y), (xj, y));
        }
        for x in [x0 + f / 2.0, x1 - f / 2.0] {
            self.grain((x, f), (x, h - f));
        }
        self.keys();
        self.cross_bars();
        self.braces();
    }

    /// A broken line along a piece.
    fn grain(&mut self, a: Point, b: Point) {
        let along = |t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        for (from, to) in [(0.03, 0.16), (0.2, 0.42), (0.58, 0.8), (0.84, 0.97)] {
            self.sheet.line(&[along(from), along(to)], Look::Grain);
        }
    }

    fn cross_bars(&mut self) {
        let half = self.face / 2.0;
        let scale = self.scale;
        if let Some(level) = self.facts.member(Part::Level) {
            let inset = (self.w - level.length.value.to_mm() * scale) / 2.0;
            for at in self.facts.marks(Part::Side, MarkKind::HousingMiddle) {
                let y = at.to_mm() * scale;
                let (l, r) = (self.x0 + inset, self.x0 + self.w - inset);
                self.sheet
                    .area(&rectangle((l, y - half), (r, y + half)), Look::Over);
                self.grain((self.x0 + self.face, y), (self.x0 + self.w - self.face, y));
            }
        }
        if let Some(upright) = self.facts.member(Part::Upright) {
            let inset = (self.h - upright.length.value.to_mm() * scale) / 2.0;
            for at in self.facts.marks(Part::TopBottom, MarkKind::HousingMiddle) {
                let x = self.x0 + at.to_mm() * scale;
                let (t, b) = (inset, self.h - inset);
                self.sheet
                    .area(&rectangle((x - half, t), (x + half, b)), Look::Over);
                self.grain((x, self.face), (x, self.h - self.face));
            }
        }
    }

    fn braces(&mut self) {
        for brace in brace_shapes(self.facts, self.scale, (self.x0, self.w, self.h)) {
            self.sheet.area(&brace, Look::Over);
        }
    }

    fn keys(&mut self) {
        if self.facts.frame.keys.is_none() {
            return;
        }
        let f = self.face;
        let (long, thick) = (f * 0.55, f * 0.16);
        for corner in self.corners() {
            // One along each bar, driven into the corner from the inside.
            for wedge in [
                [(f, f), (f + long, f), (f + long, f - thick)],
                [(f, f), (f, f + long), (f - thick, f + long)],
            ] {
                self.sheet
                    .area(&wedge.map(|p| corner.place(p)), Look::Metal);
            }
        }
    }

    fn corners(&self) -> [Corner; 4] {
        Corner::all((self.x0, self.w, self.h))
    }

    /// Whether a letter has room on the bars.
    fn is_wide(&self) -> bool {
        self.face >= 2.0 * BADGE + 0.8
    }

    fn outer_size(&mut self) {
        let away = if self.is_wide() { 5.0 } else { 10.5 };
        let frame = self.facts.frame;
        let (x0, w, h) = (self.x0, self.w, self.h);
        let y = h + away;
        self.sheet.dim_line((x0, y), (x0 + w, y));
        for x in [x0, x0 + w] {
            self.sheet.line(&[(x, h + 1.0), (x, y)], Look::Dim);
        }
        let width = self.facts.bare(frame.outer_width.value);
        self.sheet
            .text(&width, (x0 + w / 2.0, y + 3.6), Anchor::Middle);
        let x = x0 - away;
        self.sheet.dim_line((x, 0.0), (x, h));
        for y in [0.0, h] {
            self.sheet.line(&[(x, y), (x0 - 1.0, y)], Look::Dim);
        }
        let height = self.facts.bare(frame.outer_height.value);
        self.sheet.text(&height, (x - 2.0, h / 2.0), Anchor::End);
    }

    /// Above the frame where each upright lies, to its right where each level bar lies.
    fn cross_bar_places(&mut self) {
        if let Some(upright) = self.facts.member(Part::Upright) {
            let marks = self.facts.marks(Part::TopBottom, MarkKind::HousingMiddle);
            let texts: Vec<String> = marks.iter().map(|m| self.facts.bare(*m)).collect();
            let widest = texts
                .iter()
                .map(|t| width_of(t, TEXT, Weight::Plain))
                .fold(2.0 * badge_half_width(&upright.letter), f64::max);
            let wanted: Vec<f64> = marks
                .iter()
                .map(|m| self.x0 + m.to_mm() * self.scale)
                .collect();
            let room = (
                EDGE + widest / 2.0,
                self.sheet.width() - EDGE - widest / 2.0,
            );
            let fits = (widest + 2.0) * (texts.len().max(1) - 1) as f64 <= room.1 - room.0;
            let gap = if fits {
                widest + 2.0
            } else {
                2.0 * BADGE + 1.0
            };
            let places = spread_evenly(&wanted, gap, room);
            if !fits {
                let text = format!("middles from the left: {}.", texts.join(", "));
                self.sheet.note(Some(&upright.letter), text);
            }
            for ((text, from), to) in texts.iter().zip(wanted).zip(places) {
                let points = [(from, 0.0), (from, -1.5), (to, -4.5)];
                self.sheet.line(&points, Look::Leader);
                self.sheet.badge(&upright.letter, (to, -4.5 - BADGE));
                if fits {
                    let above = (to, -7.5 - 2.0 * BADGE);
                    self.sheet.text(text, above, Anchor::Middle);
                }
            }
        }
        if let Some(level) = self.facts.member(Part::Level) {
            let marks = self.facts.marks(Part::Side, MarkKind::HousingMiddle);
            let wanted: Vec<f64> = marks.iter().map(|m| m.to_mm() * self.scale).collect();
            // Above lie the places of the uprights.
            let highest = if self.facts.member(Part::Upright).is_some() {
                -0.5
            } else {
                f64::NEG_INFINITY
            };
            let places = spread_evenly(&wanted, 2.0 * BADGE + 0.8, (highest, f64::INFINITY));
            let right = self.x0 + self.w;
            let half = badge_half_width(&level.letter);
            for ((mark, from), to) in marks.iter().zip(wanted).zip(places) {
                let points = [(right, from), (right + 1.5, from), (right + 4.5, to)];
                self.sheet.line(&points, Look::Leader);
                self.sheet.badge(&level.letter, (right + 4.5 + half, to));
                let text = self.facts.bare(*mark);
                self.sheet
                    .text(&text, (right + 6.0 + 2.0 * half, to), Anchor::Start);
            }
        }
    }

    fn letters(&mut self) {
        let shares = [
            0.5, 0.25, 0.75, 0.375, 0.625, 0.15, 0.85, 0.07, 0.93, 0.44, 0.56,
        ];
        let (x0, w, h, f) = (self.x0, self.w, self.h, self.face);
        let wide = self.is_wide();
        let out = BADGE + 1.8;
        // A letter beside a cross bar's end would seem to mean that one.
        let off = f / 2.0 + 1.0;
        let free_of = |bars: Vec<Length>, scale: f64, length: f64| -> Vec<f64> {
            let near = |s: &f64| {
                bars.iter()
                    .any(|m| (m.to_mm() * scale - s * length).abs() < off)
            };
            shares.iter().copied().filter(|s| !near(s)).collect()
        };
        let along_width = free_of(
            self.facts.marks(Part::TopBottom, MarkKind::HousingMiddle),
            self.scale,
            w,
        );
        let along_height = free_of(
            self.facts.marks(Part::Side, MarkKind::HousingMiddle),
            self.scale,
            h,
        );
        // For each bar: where its middle line and the place outside it lie.
        let level = |y: f64, outside: f64| -> Vec<Try> {
            along_width
                .iter()
                .map(|s| {
                    let x = x0 + w * s;
                    if wide {
                        Try::new((x, y), Anchor::Middle)
                    } else {
                        Try::led((x, outside), Anchor::Middle, [(x, outside), (x, y)])
                    }
                })
                .collect()
        };
        let upright = |x: f64, outside: f64| -> Vec<Try> {
            along_height
                .iter()
                .map(|s| {
                    let y = h * s;
                    if wide {
                        Try::new((x, y), Anchor::Middle)
                    } else {
                        Try::led((outside, y), Anchor::Middle, [(outside, y), (x, y)])
                    }
                })
                .collect()
        };
        let bars = [
            (Part::TopBottom, level(f / 2.0, -out)),
            (Part::TopBottom, level(h - f / 2.0, h + out)),
            (Part::Side, upright(x0 + f / 2.0, x0 - out)),
            (Part::Side, upright(x0 + w - f / 2.0, x0 + w + out)),
        ];
        for (part, tries) in bars {
            if let Some(letter) = self.facts.member(part).map(|m| m.letter.clone()) {
                self.sheet.place_badge(&letter, &tries);
            }
        }
        self.brace_letters();
    }

    fn brace_letters(&mut self) {
        let Some(letter) = self.facts.member(Part::Brace).map(|m| m.letter.clone()) else {
            return;
        };
        let Some([near, far]) = landings(self.facts, self.scale) else {
            return;
        };
        let f = self.face;
        // The brace's middle lies on the corner's diagonal.
        let middle = (f + near + f + far) / 4.0;
        let beyond = (f + far) / 2.0 + BADGE * 0.8 + 0.8;
        for corner in self.corners() {
            let on = corner.place((middle, middle));
            let mut tries = Vec::new();
            if self.is_wide() {
                tries.push(Try::new(on, Anchor::Middle));
            }
            for away in [0.0, 1.5, 3.0, 5.0, 8.0] {
                let at = corner.place((beyond + away, beyond + away));
                tries.push(Try::led(at, Anchor::Middle, [at, on]));
            }
            for away in [5.0, 8.0, 12.0] {
                let at = corner.place((-away, -away));
                tries.push(Try::led(at, Anchor::Middle, [at, on]));
            }
            self.sheet.place_badge(&letter, &tries);
        }
    }

    fn diagonal(&mut self) {
        let (x0, w, h, f) = (self.x0, self.w, self.h, self.face);
        self.sheet.line(&[(x0, h), (x0 + w, 0.0)], Look::Centre);
        let text = self.facts.bare(self.facts.frame.diagonal.value);
        let half = width_of(&text, TEXT, Weight::Plain) / 2.0;
        let mut tries = Vec::new();
        for off in [5.0, 8.0, 12.0, 17.0] {
            for share in [0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
                for down in [off, -off] {
                    let at = (x0 + w * share, h * (1.0 - share) + down);
                    let inside = at.0 - half > x0 + f
                        && at.0 + half < x0 + w - f
                        && at.1 > f + 3.0
                        && at.1 < h - f - 3.0;
                    if inside {
                        let on = (at.0, h * (1.0 - share));
                        tries.push(Try::led(
                            at,
                            Anchor::Middle,
                            [(at.0, at.1 - down.signum() * 2.6), on],
                        ));
                    }
                }
            }
        }
        // Where the openings are too small the note alone says it.
        self.sheet.place_clear(&text, &tries);
    }

    fn notes(&mut self) {
        let facts = self.facts;
        let (frame, unit) = (facts.frame, facts.unit());
        self.sheet.note(
            None,
            format!(
                "All in {unit}. Wood {} wide, {} deep. Thin lines on it: grain. Front as finished {} × {}.",
                facts.bare(frame.face),
                facts.bare(frame.depth),
                facts.bare(frame.finished_width.value),
                facts.bare(frame.finished_height.value),
            ),
        );
        self.sheet.note(
            None,
            format!(
                "Square when both diagonals are {}.",
                facts.bare(frame.diagonal.value)
            ),
        );
        for member in &frame.members {
            let text = member_note(facts, member);
            self.sheet.note(Some(&member.letter), text);
        }
        if let Some(keys) = &frame.keys {
            self.sheet.note(
                None,
                format!("Wedges in the corners: keys, {} in all.", keys.value),
            );
        }
    }
}

/// A corner of the frame and the way inward from it.
#[derive(Clone, Copy)]
struct Corner {
    x: f64,
    y: f64,
    right: f64,
    down: f64,
}

impl Corner {
    /// The corners of a frame with this left, width and height; its top lies at 0.
    fn all((x0, w, h): (f64, f64, f64)) -> [Self; 4] {
        let (l, r) = (x0, x0 + w);
        [
            (l, 0.0, 1.0, 1.0),
            (r, 0.0, -1.0, 1.0),
            (l, h, 1.0, -1.0),
            (r, h, -1.0, -1.0),
        ]
        .map(|(x, y, right, down)| Self { x, y, right, down })
    }

    /// A point given by its distances inward from this corner.
    fn place(&self, (across, down): Point) -> Point {
        (self.x + across * self.right, self.y + down * self.down)
    }
}

/// Brace landings on top and bottom, and on the sides: near and far from the corner.
fn landings(facts: Facts<'_>, scale: f64) -> Option<[f64; 2]> {
    let of = |kind| {
        let marks = facts.marks(Part::TopBottom, kind);
        marks.first().map(|at| at.to_mm() * scale)
    };
    Some([of(MarkKind::BraceNear)?, of(MarkKind::BraceFar)?])
}

/// The corner braces, if there are any, of a frame drawn with this left, width and height; its
/// top lies at 0.
pub(super) fn brace_shapes(
    facts: Facts<'_>,
    scale: f64,
    frame: (f64, f64, f64),
) -> Vec<[Point; 4]> {
    let has_braces = facts.member(Part::Brace).is_some();
    let Some([near, far]) = landings(facts, scale).filter(|_| has_braces) else {
        return Vec::new();
    };
    let f = facts.frame.face.to_mm() * scale;
    Corner::all(frame)
        .map(|corner| [(near, f), (far, f), (f, far), (f, near)].map(|p| corner.place(p)))
        .to_vec()
}

fn member_note(facts: Facts<'_>, member: &Member) -> String {
    let mut text = format!(
        "{}: {} of {}",
        member.part.name(),
        member.count,
        facts.bare(member.length.value)
    );
    if let Some(short) = &member.short_edge {
        let edge = match member.part {
            Part::Brace => "short edge",
            _ => "inner edge",
        };
        text.push_str(&format!(", {edge} {}", facts.bare(short.value)));
    }
    if member.ends == Ends::Mitred {
        text.push_str(", ends at 45°");
    }
    if member.part == Part::Brace
        && let Some(far) = facts.marks(Part::TopBottom, MarkKind::BraceFar).first()
    {
        text.push_str(&format!(
            "; its far edge meets the bar {} from the corner",
            facts.bare(*far)
        ));
    }
    text.push('.');
    text
}

/// As [`spread`], but a crowd that does not fit its own length grows both ways.
pub(super) fn spread_evenly(wanted: &[f64], gap: f64, (low, high): (f64, f64)) -> Vec<f64> {
    let (Some(first), Some(last)) = (wanted.first(), wanted.last()) else {
        return Vec::new();
    };
    let half = gap * (wanted.len() - 1) as f64 / 2.0;
    let middle = f64::midpoint(*first, *last);
    let from = first.min(middle - half).max(low);
    let to = last.max(middle + half).max(from + 2.0 * half).min(high);
    spread(wanted, gap, from.min(to - 2.0 * half).max(low), to)
}

fn description(facts: Facts<'_>) -> String {
    let frame = facts.frame;
    let mut text = format!(
        "To scale, seen from the back, in {}: {} wide and {} high outside.",
        facts.unit(),
        facts.bare(frame.outer_width.value),
        facts.bare(frame.outer_height.value)
    );
    for member in &frame.members {
        text.push_str(&format!(
            " {}, {}",
            member.letter,
            member_note(facts, member)
        ));
    }
    for (part, name, end) in [
        (Part::TopBottom, "Upright cross bars", "left end"),
        (Part::Side, "Level cross bars", "end"),
    ] {
        let marks = facts.marks(part, MarkKind::HousingMiddle);
        if !marks.is_empty() {
            let list: Vec<String> = marks.iter().map(|m| facts.bare(*m)).collect();
            text.push_str(&format!(
                " {name}, their middles from the {end}: {}.",
                list.join(", ")
            ));
        }
    }
    text.push_str(&format!(" Diagonal {}.", facts.bare(frame.diagonal.value)));
    text
}
