//! The first form: a rectangle of bars with cross bars and corner braces.

use quantity::physics::{Distance, Force, LineLoad, Pressure};
use serde_json::{Map, Value, json};
use statics::{Direction, End, Error, Frame, Hold, Loads, Member, Response, Section};

use crate::reading::{Fault, Object};

/// Reads, solves, prints.
pub(crate) fn answer(inputs: &Object<'_>) -> Result<Value, Fault> {
    let rectangle = Rectangle::read(inputs)?;
    let mut drawing = Drawing::of(&rectangle);
    let mut loads = drawing.inward(rectangle.inward);
    match &rectangle.racking {
        Some(racking) => loads = drawing.rack(&rectangle, racking, loads),
        None => drawing.hold_by_symmetry(&rectangle),
    }
    let response = drawing
        .frame
        .factor()
        .and_then(|factored| factored.solve(&loads))
        .map_err(|error| Fault(format!("inputs.{}: {error}", field_of(error))))?;
    let report = match &rectangle.racking {
        Some(racking) => drawing.report_racking(&rectangle, racking, &response),
        None => drawing.report_bow(&rectangle, &response),
    };
    report.map_err(|error| Fault(format!("inputs: {error}")))
}

/// Which input a fault of the frame comes from.
fn field_of(error: Error) -> &'static str {
    match error {
        Error::SectionOutOfRange { .. } => "sections or E_MPa",
        Error::SpringOutOfRange { .. } => "corner or cross_joint",
        Error::MemberLoadOutOfRange { .. } => "q_N_per_m",
        Error::NodeLoadOutOfRange { .. } | Error::SupportedTwice { .. } => "load",
        Error::Mechanism { .. } => "corner or load",
        _ => "W or H",
    }
}

/// What the inputs say.
struct Rectangle {
    width: f64,
    height: f64,
    bar: Section,
    cross: Option<Section>,
    brace: Option<(Section, f64)>,
    corner: End,
    cross_joint: End,
    vertical: Vec<f64>,
    horizontal: Vec<f64>,
    inward: LineLoad,
    racking: Option<Racking>,
}

/// A sideways force on a corner, and what holds the others.
struct Racking {
    force: f64,
    along_x: bool,
    at: Corner,
    supports: Vec<(Corner, Hold)>,
}

/// A corner of the rectangle.
#[derive(Clone, Copy, PartialEq)]
struct Corner {
    top: bool,
    right: bool,
}

impl Rectangle {
    fn read(inputs: &Object<'_>) -> Result<Self, Fault> {
        inputs.only(&[
            "W",
            "H",
            "E_MPa",
            "sections",
            "corner",
            "q_N_per_m",
            "vertical_bars",
            "horizontal_bars",
            "cross_joint",
            "brace_leg",
            "load",
            "derived",
            "EI_bar_Nm2",
        ])?;
        let (width, height) = (inputs.positive("W")?, inputs.positive("H")?);
        let modulus = Pressure::from_mpa(inputs.positive("E_MPa")?);
        let sections = inputs.object("sections")?;
        sections.only(&["bar", "cross", "brace"])?;
        let section = |name| {
            let [thickness, depth] = sections.pair(name)?;
            if thickness > 0.0 && depth > 0.0 {
                let (t, d) = (Distance::from_mm(thickness), Distance::from_mm(depth));
                Ok(Section::rectangle(modulus, t, d))
            } else {
                Err(sections.fault(name, "must be above zero"))
            }
        };
        let vertical = places(inputs, "vertical_bars", width)?;
        let horizontal = places(inputs, "horizontal_bars", height)?;
        let crossed = !vertical.is_empty() || !horizontal.is_empty();
        let brace = if inputs.has("brace_leg") {
            let leg = inputs.positive("brace_leg")?;
            if leg > 0.5 * width.min(height) {
                return Err(inputs.fault("brace_leg", "must be at most half the shorter side"));
            }
            Some((section("brace")?, leg))
        } else {
            None
        };
        Ok(Self {
            width,
            height,
            bar: section("bar")?,
            cross: crossed.then(|| section("cross")).transpose()?,
            brace,
            corner: inputs.end("corner")?,
            cross_joint: if crossed {
                inputs.end("cross_joint")?
            } else {
                End::Pinned
            },
            vertical,
            horizontal,
            inward: LineLoad::from_n_per_m(inputs.number("q_N_per_m")?),
            racking: inputs
                .has("load")
                .then(|| Racking::read(inputs.text("load")?))
                .transpose()
                .map_err(|fault| inputs.fault("load", &fault.0))?,
        })
    }
}

/// Where cross bars stand: inside the side, no two in one place.
fn places(inputs: &Object<'_>, name: &str, side: f64) -> Result<Vec<f64>, Fault> {
    let places = inputs.numbers(name)?;
    for (i, place) in places.iter().enumerate() {
        if !(*place > 0.0 && *place < side) {
            return Err(inputs.fault(&format!("{name}[{i}]"), "must lie inside the frame"));
        }
        if places[..i].iter().any(|other| is_same(*other, *place)) {
            return Err(inputs.fault(&format!("{name}[{i}]"), "another bar is there"));
        }
    }
    Ok(places)
}

impl Racking {
    /// Reads text such as "F=10 N in +x at top-left corner; bottom-left pinned, bottom-right on
    /// a roller".
    fn read(text: &str) -> Result<Self, Fault> {
        let expected = || {
            Fault(
                "must read like \"F=10 N in +x at top-left corner; bottom-left pinned, \
                 bottom-right on a roller\""
                    .into(),
            )
        };
        let (force, supports) = text.split_once(';').ok_or_else(expected)?;
        let words: Vec<&str> = force.split_whitespace().collect();
        let [size, "N", "in", way, "at", at, "corner"] = words[..] else {
            return Err(expected());
        };
        let size: f64 = size
            .strip_prefix("F=")
            .and_then(|n| n.parse().ok())
            .ok_or_else(expected)?;
        let (sign, along_x) = match way {
            "+x" => (1.0, true),
            "-x" => (-1.0, true),
            "+y" => (1.0, false),
            "-y" => (-1.0, false),
            _ => return Err(expected()),
        };
        let supports = supports
            .split(',')
            .map(|support| {
                let (corner, how) = support.trim().split_once(' ')?;
                let hold = match how.trim() {
                    "pinned" => Hold::Pinned,
                    "fixed" => Hold::Fixed,
                    "on a roller" => Hold::ROLLER_Y,
                    _ => return None,
                };
                Some((Corner::read(corner)?, hold))
            })
            .collect::<Option<Vec<_>>>()
            .ok_or_else(expected)?;
        Ok(Self {
            force: sign * size,
            along_x,
            at: Corner::read(at).ok_or_else(expected)?,
            supports,
        })
    }
}

impl Corner {
    const ALL: [(&'static str, Self); 4] = [
        (
            "bottom-left",
            Self {
                top: false,
                right: false,
            },
        ),
        (
            "bottom-right",
            Self {
                top: false,
                right: true,
            },
        ),
        (
            "top-right",
            Self {
                top: true,
                right: true,
            },
        ),
        (
            "top-left",
            Self {
                top: true,
                right: false,
            },
        ),
    ];

    fn read(name: &str) -> Option<Self> {
        let found = Self::ALL.into_iter().find(|(known, _)| *known == name);
        found.map(|(_, corner)| corner)
    }

    fn key(self) -> String {
        let found = Self::ALL.into_iter().find(|(_, corner)| *corner == self);
        found.map_or_else(String::new, |(name, _)| name.replace('-', "_"))
    }

    fn place(self, rectangle: &Rectangle) -> (f64, f64) {
        (
            if self.right { rectangle.width } else { 0.0 },
            if self.top { rectangle.height } else { 0.0 },
        )
    }
}

/// One bar in the stretches between its joints.
struct Bar {
    members: Vec<usize>,
    /// Where each stretch begins, and where the last one ends, from the bar's start.
    joints: Vec<f64>,
}

/// The frame, and which of its members are which part.
///
/// Outer bars are drawn anticlockwise, so that across is inward for all:
///
/// ```text
///        ◄── top ───
///     │              ▲
///    left          right
///     ▼              │
///        ── bottom ─►
/// ```
struct Drawing {
    frame: Frame,
    bottom: Bar,
    top: Bar,
    left: Bar,
    right: Bar,
    vertical: Vec<Bar>,
    horizontal: Vec<Bar>,
    /// At the corners in the order of [`Corner::ALL`].
    braces: Vec<usize>,
}

impl Drawing {
    fn of(r: &Rectangle) -> Self {
        let mut frame = Frame::default();
        let (w, h) = (r.width, r.height);
        let leg = r.brace.as_ref().map(|(_, leg)| *leg);
        let joints = |side: f64, cross: &[f64]| {
            let legs = leg.into_iter().flat_map(|leg| [leg, side - leg]);
            let all = [0.0, 0.5 * side, side].into_iter().chain(legs);
            sorted(all.chain(cross.iter().copied()).collect())
        };
        let (xs, ys) = (joints(w, &r.vertical), joints(h, &r.horizontal));
        let back = |points: &[f64]| points.iter().rev().copied().collect::<Vec<_>>();
        let (xs_back, ys_back) = (back(&xs), back(&ys));
        let mut run = |points: &[f64], place: &dyn Fn(f64) -> (f64, f64), section, joint| {
            run(&mut frame, points, place, section, joint)
        };
        let bottom = run(&xs, &|x| (x, 0.0), r.bar, r.corner);
        let right = run(&ys, &|y| (w, y), r.bar, End::Rigid);
        let top = run(&xs_back, &|x| (x, h), r.bar, r.corner);
        let left = run(&ys_back, &|y| (0.0, y), r.bar, End::Rigid);
        let (mut vertical, mut horizontal) = (Vec::new(), Vec::new());
        if let Some(section) = r.cross {
            let crossings = |side: f64, other: &[f64]| {
                sorted(
                    [0.0, side]
                        .into_iter()
                        .chain(other.iter().copied())
                        .collect(),
                )
            };
            let (up, across) = (crossings(h, &r.horizontal), crossings(w, &r.vertical));
            for &x in &r.vertical {
                vertical.push(run(&up, &|y| (x, y), section, r.cross_joint));
            }
            for &y in &r.horizontal {
                horizontal.push(run(&across, &|x| (x, y), section, r.cross_joint));
            }
        }
        let mut braces = Vec::new();
        if let Some((section, leg)) = r.brace {
            for (_, corner) in Corner::ALL {
                let (x, y) = corner.place(r);
                let inward_x = if corner.right { x - leg } else { x + leg };
                let inward_y = if corner.top { y - leg } else { y + leg };
                let (a, b) = (
                    node_at(&mut frame, inward_x, y),
                    node_at(&mut frame, x, inward_y),
                );
                braces.push(frame.add_member(Member::pinned(a, b, section)));
            }
        }
        Self {
            frame,
            bottom,
            top,
            left,
            right,
            vertical,
            horizontal,
            braces,
        }
    }

    fn inward(&self, load: LineLoad) -> Loads {
        let bars = [&self.bottom, &self.right, &self.top, &self.left];
        bars.into_iter()
            .flat_map(|bar| &bar.members)
            .fold(Loads::default(), |loads, &member| {
                loads.uniform(member, Direction::Across, load)
            })
    }

    fn hold_by_symmetry(&mut self, r: &Rectangle) {
        let (w, h) = (r.width, r.height);
        for (x, y, hold) in [
            (0.5 * w, 0.0, Hold::ROLLER_X),
            (0.5 * w, h, Hold::ROLLER_X),
            (0.0, 0.5 * h, Hold::ROLLER_Y),
            (w, 0.5 * h, Hold::ROLLER_Y),
        ] {
            let node = node_at(&mut self.frame, x, y);
            self.frame.support(node, hold);
        }
    }

    fn rack(&mut self, r: &Rectangle, racking: &Racking, loads: Loads) -> Loads {
        for (corner, hold) in &racking.supports {
            let node = self.corner(r, *corner);
            self.frame.support(node, *hold);
        }
        let force = Force::from_newtons(racking.force);
        let (x, y) = if racking.along_x {
            (force, Force::ZERO)
        } else {
            (Force::ZERO, force)
        };
        loads.force(self.corner(r, racking.at), x, y)
    }

    fn corner(&mut self, r: &Rectangle, corner: Corner) -> usize {
        let (x, y) = corner.place(r);
        node_at(&mut self.frame, x, y)
    }

    fn report_bow(&self, r: &Rectangle, response: &Response) -> Result<Value, Error> {
        let w = Side::farther(&self.bottom, &self.top, response)?;
        let h = Side::farther(&self.right, &self.left, response)?;
        let mut corner = 0.0_f64;
        for bar in [&self.bottom, &self.top] {
            let (first, last) = (bar.members[0], bar.members[bar.members.len() - 1]);
            corner = corner.max(response.member(first)?.start_forces().moment.to_nm().abs());
            corner = corner.max(response.member(last)?.end_forces().moment.to_nm().abs());
        }
        let mut crossing = Map::new();
        for (letter, bars) in [("V", &self.vertical), ("H", &self.horizontal)] {
            for (i, bar) in bars.iter().enumerate() {
                for (j, &member) in bar.members.iter().enumerate() {
                    let key = format!("{letter}{}_{}", i + 1, j + 1);
                    crossing.insert(key, json!(compression(response, member)?));
                }
            }
        }
        let mut brace: Option<f64> = None;
        for &member in &self.braces {
            let force = compression(response, member)?;
            if brace.is_none_or(|most| force.abs() > most.abs()) {
                brace = Some(force);
            }
        }
        Ok(json!({
            "max_inward_deflection_W_bar_mm": w.most,
            "at_x_m": if w.second { r.width - w.at } else { w.at },
            "max_inward_deflection_H_bar_mm": h.most,
            "at_y_m": if h.second { r.height - h.at } else { h.at },
            "mid_deflection_W_bar_mm": w.middle,
            "mid_deflection_H_bar_mm": h.middle,
            "corner_moment_Nm": corner,
            "mid_moment_W_bar_Nm": w.middle_moment,
            "mid_moment_H_bar_Nm": h.middle_moment,
            "max_abs_moment_Nm": largest_moment(response),
            "axial_W_bar_mid_N": w.middle_axial,
            "axial_H_bar_mid_N": h.middle_axial,
            "axial_crossbars_N": crossing,
            "axial_brace_N": brace,
        }))
    }

    fn report_racking(
        &mut self,
        r: &Rectangle,
        racking: &Racking,
        response: &Response,
    ) -> Result<Value, Error> {
        let movement = response.movement(self.corner(r, racking.at))?;
        let along = if racking.along_x {
            movement.x
        } else {
            movement.y
        };
        let brace = match self.braces.first() {
            Some(&member) => Some(compression(response, member)?),
            None => None,
        };
        let mut report = Map::new();
        report.insert(
            format!("{}_sway_mm", racking.at.key()),
            json!(along.to_mm()),
        );
        report.insert("brace_D1_axial_N".into(), json!(brace));
        report.insert("max_abs_moment_Nm".into(), json!(largest_moment(response)));
        Ok(Value::Object(report))
    }
}

/// What one outer bar does, inward positive.
struct Side {
    /// Deflection farthest from zero, mm, and where from the bar's start, m.
    most: f64,
    at: f64,
    middle: f64,
    middle_moment: f64,
    middle_axial: f64,
    /// Whether it is the second of its pair, which is drawn backwards.
    second: bool,
}

impl Side {
    fn farther(first: &Bar, second: &Bar, response: &Response) -> Result<Self, Error> {
        let one = Self::of(first, response)?;
        let other = Self::of(second, response)?;
        // Beyond rounding, so that of two alike the first is told.
        if other.most.abs() > one.most.abs() * (1.0 + 1e-9) {
            Ok(Self {
                second: true,
                ..other
            })
        } else {
            Ok(one)
        }
    }

    fn of(bar: &Bar, response: &Response) -> Result<Self, Error> {
        let length = bar.joints[bar.joints.len() - 1];
        let (mut most, mut at) = (0.0_f64, 0.0);
        let (mut middle, mut middle_moment, mut middle_axial) = (0.0, 0.0, 0.0);
        for (&member, stretch) in bar.members.iter().zip(bar.joints.windows(2)) {
            let view = response.member(member)?;
            let largest = view.deflection(Direction::Across).largest();
            if largest.value.to_mm().abs() > most.abs() * (1.0 + 1e-9) {
                (most, at) = (largest.value.to_mm(), stretch[0] + largest.at.to_m());
            }
            if is_same(stretch[1], 0.5 * length) {
                let end = view.length();
                middle = view.deflection_at(end, Direction::Across).to_mm();
                middle_moment = -view.moment_at(end).to_nm();
                middle_axial = -view.axial_at(end).to_newtons();
            }
        }
        Ok(Self {
            most,
            at,
            middle,
            middle_moment,
            middle_axial,
            second: false,
        })
    }
}

fn compression(response: &Response, member: usize) -> Result<f64, Error> {
    let axial = response.member(member)?.axial_at(Distance::ZERO);
    Ok(-axial.to_newtons())
}

fn largest_moment(response: &Response) -> f64 {
    response
        .members()
        .map(|member| member.moment().largest().value.to_nm().abs())
        .fold(0.0, f64::max)
}

/// Draws one bar through these points; `joint` is how its two outermost ends are joined.
fn run(
    frame: &mut Frame,
    points: &[f64],
    place: &dyn Fn(f64) -> (f64, f64),
    section: Section,
    joint: End,
) -> Bar {
    let nodes: Vec<usize> = points
        .iter()
        .map(|p| place(*p))
        .map(|(x, y)| node_at(frame, x, y))
        .collect();
    let last = nodes.len().saturating_sub(2);
    let members = nodes
        .windows(2)
        .enumerate()
        .map(|(i, pair)| {
            let mut member = Member::rigid(pair[0], pair[1], section);
            if i == 0 {
                member.start = joint;
            }
            if i == last {
                member.end = joint;
            }
            frame.add_member(member)
        })
        .collect();
    let joints = points.iter().map(|p| (p - points[0]).abs()).collect();
    Bar { members, joints }
}

/// The node at this place, new if there is none.
fn node_at(frame: &mut Frame, x: f64, y: f64) -> usize {
    let found = frame
        .nodes
        .iter()
        .position(|n| is_same(n.x.to_m(), x) && is_same(n.y.to_m(), y));
    found.unwrap_or_else(|| frame.add_node(Distance::from_m(x), Distance::from_m(y)))
}

/// Rising, each place once.
fn sorted(mut places: Vec<f64>) -> Vec<f64> {
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| is_same(*a, *b));
    places
}

/// Two places closer than a micrometre are one joint.
fn is_same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}
