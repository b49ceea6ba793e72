//! Each check of a bracing: what is found, what is allowed, and how much of it is used.
//!
//! Everything bends in proportion to the cloth's pull, so a frame is solved once under 1 N/m.
//! A quarter-round bead glued along the bars bends and twists with them. Left out, on the safe
//! side: the cloth that slackens as the bars give, and the glue in the laps.

use alloc::vec::Vec;
use core::f64::consts::PI;

use quantity::Length;
use quantity::physics::{Distance, Moment, Pressure, SecondMoment, Stiffness};
use serde::Serialize;
use statics::buckling::{ColumnEnds, MidBracedColumn, euler_load};
use statics::{End, Error};

use super::grid::{Pressed, bar_shares, bows, cross_shares, safety};
use super::model::{LEVEL, Layout, Outline, Quarter, UPRIGHT, racking};
use crate::frame::Part;

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckKind {
    /// A bar bows towards the middle of the frame (or away from it), over its whole length.
    Bow,
    /// A bar bows between two neighbouring supports: corner, cross bar, brace.
    BowBetween,
    /// A bar turns about its length, because the cloth pulls in front of its middle.
    Twist,
    /// A bar or cross bar bows out of the plane of the canvas, for the same reason.
    OutOfPlane,
    /// The bars and cross bars fold up together out of the plane, pressed by the cloth.
    Buckling,
    /// A push at a corner brings the frame out of square.
    Racking,
}

impl CheckKind {
    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bow => "bow in the plane",
            Self::BowBetween => "bow between supports",
            Self::Twist => "twist",
            Self::OutOfPlane => "bow out of the plane",
            Self::Buckling => "buckling",
            Self::Racking => "racking",
        }
    }
}

/// What is allowed, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Limits {
    /// Length over bow in the plane.
    pub(crate) bow: f64,
    /// Length over bow out of the plane.
    pub(crate) flat: f64,
    /// Turn of a bar, radians.
    pub(crate) twist: f64,
    /// How many times its thrusts the frame carries before it folds up.
    pub(crate) buckling: f64,
    /// Force at a corner for 1 mm out of square, N.
    pub(crate) racking: f64,
}

/// A canvas's frame with everything its checks need: as it is set out, and in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Setting {
    /// Width and height of the wood, outside.
    pub(crate) outer: [Length; 2],
    /// Face of the batten.
    pub(crate) face: Length,
    /// Leg of a brace, from the inner corner to where its outside meets the bar.
    pub(crate) leg: Length,
    pub(crate) outline: Outline,
    /// Modulus that buckling is reckoned with.
    pub(crate) lower: f64,
    /// Shear modulus times torsion constant of a bar with its bead.
    pub(crate) torsion: f64,
    /// Radius of the quarter-round bead that is glued on the bars; none is 0.
    pub(crate) bead: f64,
    /// From the bars' middle to the cloth, square to its plane.
    pub(crate) arm: f64,
    /// How the corners are taken.
    pub(crate) corner: End,
    pub(crate) limits: Limits,
}

/// One result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) kind: CheckKind,
    pub(crate) part: Option<Part>,
    /// Length that matters to it, m.
    pub(crate) length: f64,
    /// Compression that matters to it, N.
    pub(crate) force: f64,
    /// What is found: m, rad, N, or a number of times.
    pub(crate) found: f64,
    /// What is allowed, in the same unit.
    pub(crate) limit: f64,
    /// Share of the limit that is used.
    pub(crate) used: f64,
    /// Where, from the crossing of the middle lines at the lower left, m.
    pub(crate) at: Option<[f64; 2]>,
}

/// The part that runs in a direction, as a bar and as a cross bar.
const BARS: [Part; 2] = [Part::TopBottom, Part::Side];
/// The cross bars that divide the side of a direction.
const DIVIDING: [Part; 2] = [Part::Upright, Part::Level];

/// A frame that folds up is worse than one that bows this many times too far (our choice).
pub(crate) const FOLDS: f64 = 200.0;

/// Share of a bay's pull that presses a cross bar at least in a hinged frame without braces (1
/// but for the give of the bars).
const LEAST_THRUST: f64 = 0.8;

impl Setting {
    /// A cross bar against bending out of the plane.
    fn plain(&self) -> Profile {
        let inertia = self.outline.face * cube(self.outline.depth) / 12.0;
        Profile {
            inertia,
            // Half the depth is an eighth of the second moment.
            weakening: 7.0,
            arm: self.arm,
        }
    }

    /// A bar with its bead against bending out of the plane; its housings are cut from behind,
    /// so that the bead runs through.
    fn beaded(&self) -> Profile {
        let r = self.bead;
        if r <= 0.0 {
            return self.plain();
        }
        // A quarter disc: area, middle from its flat side, second moment about its middle
        // (geometry; Roark, from memory).
        let (area, middle, inertia) = (
            0.25 * PI * r * r,
            4.0 * r / (3.0 * PI),
            0.0549 * r * r * r * r,
        );
        let with = |depth: f64| {
            let bar = self.outline.face * depth;
            let apart = 0.5 * depth + middle;
            let both = self.outline.face * cube(depth) / 12.0
                + inertia
                + bar * area / (bar + area) * apart * apart;
            (both, area / (bar + area) * apart)
        };
        let (whole, forward) = with(self.outline.depth);
        let (lapped, _) = with(0.5 * self.outline.depth);
        Profile {
            inertia: whole,
            weakening: whole / lapped - 1.0,
            arm: self.arm - forward,
        }
    }

    /// Second moment against bending in the plane.
    fn inertia_in(&self) -> f64 {
        self.outline.depth * cube(self.outline.face) / 12.0
    }

    /// Distance between neighbouring cross bars that divide a side, the largest.
    pub(crate) fn bay(&self, direction: usize, bars: u32) -> f64 {
        let (side, inset) = (self.outline.sides[direction], self.outline.inset);
        match bars {
            0 => side,
            n => (side + 2.0 * inset) / f64::from(n + 1),
        }
    }

    /// How much softer out of the plane a member is for its laps, each of which leaves half the
    /// depth over one face: 1 + (I/I_lap − 1) Σ (2/L) ∫ sin²(πx/L) dx.
    ///
    /// Energy method for a column with a weak stretch (Timoshenko and Gere, art. 2.9; from
    /// memory).
    fn softening(&self, profile: &Profile, length: f64, laps: u32) -> f64 {
        let b = self.outline.lap;
        let share: f64 = (1..=laps)
            .map(|i| {
                let x = f64::from(i) / f64::from(laps + 1);
                b / length - libm::cos(2.0 * PI * x) * libm::sin(PI * b / length) / PI
            })
            .sum();
        1.0 + profile.weakening * share
    }

    /// The checks of a layout under a pull, from its solved quarter.
    pub(crate) fn check(
        &self,
        layout: Layout,
        quarter: &Quarter,
        racking: f64,
        pull: f64,
    ) -> Vec<Found> {
        let mut all = Vec::with_capacity(16);
        let thrusts = Thrusts {
            bars: [LEVEL, UPRIGHT].map(|d| pull * quarter.bar_compression(d)),
            cross: [LEVEL, UPRIGHT].map(|d| pull * quarter.compression(d)),
        };
        for direction in [LEVEL, UPRIGHT] {
            self.bow(direction, quarter, pull, &mut all);
        }
        let members = self.members(layout, &thrusts, pull);
        let times = safety(&members, self.lower);
        // A frame that folds up has no bow to speak of.
        let flat = (times >= 1.0).then(|| self.flat(&members)).flatten();
        let flat = flat.unwrap_or_default();
        self.twists(layout, &flat, pull, &mut all);
        let folding = folding(&members, &flat, times, self.limits.buckling);
        all.extend(flat);
        all.push(folding);
        all.push(Found {
            kind: CheckKind::Racking,
            part: None,
            length: self.outline.sides[UPRIGHT],
            force: 0.0,
            found: racking,
            limit: self.limits.racking,
            used: if self.limits.racking > 0.0 {
                self.limits.racking / racking.max(1e-6)
            } else {
                0.0
            },
            at: Some([0.0, self.outline.sides[UPRIGHT]]),
        });
        all
    }

    fn bow(&self, direction: usize, quarter: &Quarter, pull: f64, all: &mut Vec<Found>) {
        let bow = quarter.bow(direction);
        let side = self.outline.sides[direction];
        let at = |x: f64| {
            if direction == LEVEL {
                [x, 0.0]
            } else {
                [0.0, x]
            }
        };
        let found = |kind, length: f64, found: f64, x: f64| {
            let limit = length / self.limits.bow;
            Found {
                kind,
                part: Some(BARS[direction]),
                length,
                force: 0.0,
                found,
                limit,
                used: found.abs() / limit,
                at: Some(at(x)),
            }
        };
        all.push(found(CheckKind::Bow, side, pull * bow.whole, bow.whole_at));
        // Without cross bars and braces the whole bar is the only bay.
        if bow.bay > 0.0 && bow.bay < 0.999 * side {
            let off = pull * bow.bay_share * bow.bay;
            all.push(found(CheckKind::BowBetween, bow.bay, off, bow.bay_at));
        }
    }

    /// A share of the limits that a layout certainly uses, at a glance: racking, twist between
    /// supports, and bow in the plane between built-in ends, wL⁴/384EI, which no reading of the
    /// joints goes below; with braces the bay is shorter.
    fn used_at_a_glance(&self, layout: Layout, racking: f64, pull: f64) -> f64 {
        let rigidity = self.outline.modulus * self.inertia_in();
        let mut least = self.limits.racking / racking.max(1e-6);
        for direction in [LEVEL, UPRIGHT] {
            let bay = self.bay(direction, layout.bars[direction]);
            let legs = if layout.braced {
                2.0 * self.outline.brace_leg
            } else {
                0.0
            };
            let span = (bay - legs).max(0.0);
            let bow = pull * cube(span) / (384.0 * rigidity) * self.limits.bow;
            least = least
                .max(bow)
                .max(self.twist_between(bay, pull) / self.limits.twist);
        }
        least
    }

    /// Whether nothing that can be told without solving the frame speaks against a layout: a test
    /// holds it against solved frames.
    pub(crate) fn may_pass(&self, layout: Layout, racking: f64, pull: f64) -> bool {
        // Braces can take all of a cross bar's thrust, and so can rigid corners that longer bars
        // turn.
        let share = match self.corner {
            End::Pinned if !layout.braced => LEAST_THRUST,
            _ => 0.0,
        };
        self.used_at_a_glance(layout, racking, pull) <= 1.0
            && self.used_with(share, layout, racking, pull) <= 1.0
    }

    /// About what a layout uses of its limits, without solving its frame.
    pub(crate) fn promise(&self, layout: Layout, racking: f64, pull: f64) -> f64 {
        self.used_with(LEAST_THRUST, layout, racking, pull)
    }

    /// What a glance tells, and twist and bow out of the plane with 0.3 of a bay as thrust in the
    /// bars (a hinged frame's least is 0.375) and a share of a bay in the cross bars.
    fn used_with(&self, share: f64, layout: Layout, racking: f64, pull: f64) -> f64 {
        let bays = [LEVEL, UPRIGHT].map(|d| self.bay(d, layout.bars[d]));
        let thrusts = Thrusts {
            bars: [0.3 * pull * bays[UPRIGHT], 0.3 * pull * bays[LEVEL]],
            cross: bays.map(|bay| share * pull * bay),
        };
        let members = self.members(layout, &thrusts, pull);
        let glance = self.used_at_a_glance(layout, racking, pull);
        let Some(flat) = self.flat(&members) else {
            // It folds up, and asks for as much more as it carries less.
            let used = self.limits.buckling / safety(&members, self.lower).max(1e-6);
            return FOLDS * used.max(glance);
        };
        let mut all = Vec::with_capacity(8);
        self.twists(layout, &flat, pull, &mut all);
        all.extend(flat);
        all.iter().map(|found| found.used).fold(glance, f64::max)
    }

    /// Turn of the middle of a bay against its ends.
    fn twist_between(&self, bay: f64, pull: f64) -> f64 {
        pull * self.arm * bay * bay / (8.0 * self.torsion)
    }

    /// The bars and cross bars as members in compression that the cloth bends by its arm: each
    /// takes the torque of the bays beside it.
    fn members(&self, layout: Layout, thrusts: &Thrusts, pull: f64) -> Vec<Pressed> {
        let bay = |d: usize| self.bay(d, layout.bars[d]);
        let pressed = |part, direction: usize, profile: Profile, laps, compression, width: f64| {
            let length = self.outline.sides[direction];
            let inertia = profile.inertia / self.softening(&profile, length, laps);
            Pressed {
                part,
                count: 2.0,
                length,
                rigidity: self.outline.modulus * inertia,
                inertia,
                compression,
                moment: pull * width * profile.arm,
                shares: bar_shares(direction),
            }
        };
        let mut all = Vec::with_capacity(16);
        for direction in [LEVEL, UPRIGHT] {
            let (laps, thrust) = (layout.bars[direction], thrusts.bars[direction]);
            let width = 0.5 * bay(1 - direction);
            all.push(pressed(
                BARS[direction],
                direction,
                self.beaded(),
                laps,
                thrust,
                width,
            ));
        }
        for divided in [LEVEL, UPRIGHT] {
            let (n, other) = (layout.bars[divided], 1 - divided);
            let (laps, thrust) = (layout.bars[other], thrusts.cross[divided]);
            let one = pressed(
                DIVIDING[divided],
                other,
                self.plain(),
                laps,
                thrust,
                bay(divided),
            );
            all.extend((1..=n).map(|i| Pressed {
                count: 1.0,
                shares: cross_shares(divided, i, n),
                ..one.clone()
            }));
        }
        all
    }

    /// Bow of every part out of the plane; none where the thrusts fold the frame up.
    fn flat(&self, members: &[Pressed]) -> Option<Vec<Found>> {
        let bows = bows(members)?;
        let middle = self.outline.sides.map(|side| 0.5 * side);
        let [level, upright] = [[middle[0], 0.0], [0.0, middle[1]]];
        // The largest of each part.
        let mut parts: Vec<Found> = Vec::with_capacity(4);
        for (i, m) in members.iter().enumerate() {
            let limit = m.length / self.limits.flat;
            let found = bows[i].abs();
            let found = Found {
                kind: CheckKind::OutOfPlane,
                part: Some(m.part),
                length: m.length,
                force: m.compression,
                found,
                limit,
                used: found / limit,
                at: Some(match m.part {
                    Part::TopBottom => level,
                    Part::Side => upright,
                    _ => middle,
                }),
            };
            match parts.iter_mut().find(|p| p.part == found.part) {
                Some(p) if p.used >= found.used => {}
                Some(p) => *p = found,
                None => parts.push(found),
            }
        }
        Some(parts)
    }

    /// Twist of the bars in both directions.
    fn twists(&self, layout: Layout, flat: &[Found], pull: f64, all: &mut Vec<Found>) {
        for direction in [LEVEL, UPRIGHT] {
            all.push(self.twist(direction, layout, flat, pull));
        }
    }

    /// Twist of a bar at the middle of a bay against its ends, and the lean of what holds those
    /// ends: the bars and cross bars that meet it bow out of the plane and lean there, by 4 bows
    /// in their length (a parabola).
    fn twist(&self, direction: usize, layout: Layout, parts: &[Found], pull: f64) -> Found {
        let bay = self.bay(direction, layout.bars[direction]);
        let at = if direction == LEVEL {
            [0.5 * bay, 0.0]
        } else {
            [0.0, 0.5 * bay]
        };
        let between = self.twist_between(bay, pull);
        let holds = [Some(BARS[1 - direction]), Some(DIVIDING[direction])];
        let lean = parts
            .iter()
            .filter(|p| holds.contains(&p.part))
            .map(|p| 4.0 * p.found / p.length)
            .fold(0.0, f64::max);
        let found = between + lean;
        Found {
            kind: CheckKind::Twist,
            part: Some(BARS[direction]),
            length: bay,
            force: 0.0,
            found,
            limit: self.limits.twist,
            used: found / self.limits.twist,
            at: Some(at),
        }
    }

    /// Stiffness of a cross bar at its middle, weakened by its own compression and its lap:
    /// 48EI/L³ (1 − N/N_E).
    fn crossing_stiffness(&self, direction: usize, compression: f64) -> Result<Stiffness, Error> {
        let length = self.outline.sides[direction];
        let plain = self.plain();
        let soft = self.softening(&plain, length, 1);
        let euler = self.euler(plain.inertia, length)? / soft;
        let rigidity = self.lower * plain.inertia / soft;
        let left = (1.0 - compression / euler).max(0.0);
        Ok(Stiffness::from_n_per_m(
            48.0 * rigidity / cube(length) * left,
        ))
    }

    fn euler(&self, inertia: f64, length: f64) -> Result<f64, Error> {
        let load = euler_load(
            Pressure::from_pa(self.lower),
            SecondMoment::from_m4(inertia),
            Distance::from_m(length),
            ColumnEnds::Pinned,
        )?;
        Ok(load.to_newtons())
    }

    /// Buckling load of a cross bar by itself, N, with the lower modulus: weakened by its laps;
    /// and with another cross bar crossing its middle as a springy brace.
    pub(crate) fn buckling_both(
        &self,
        divided: usize,
        layout: Layout,
        other_compression: f64,
    ) -> Result<[f64; 2], Error> {
        let other = 1 - divided;
        let length = self.outline.sides[other];
        let plain = self.plain();
        let soft = self.softening(&plain, length, layout.bars[other]);
        let column = MidBracedColumn {
            modulus: Pressure::from_pa(self.lower),
            inertia: SecondMoment::from_m4(plain.inertia),
            length: Distance::from_m(length),
        };
        let brace = self.crossing_stiffness(divided, other_compression)?;
        let crossed = column.critical_load(brace)?.to_newtons();
        Ok([self.euler(plain.inertia, length)?, crossed].map(|load| load / soft))
    }

    /// Force at a corner for 1 mm out of square: as glued, rigid unless the maker gave a spring.
    pub(crate) fn racking(&self, braced: bool) -> Result<f64, Error> {
        let corner = match self.corner {
            End::Pinned => End::Rigid,
            other => other,
        };
        racking(self.outline, braced, corner)
    }

    /// Pull on a heel screw if the corner is to be rigid: the mitre opens at its heel and turns
    /// about its toe, the screw crossing it half-way: 2M/ℓ − N, ℓ the mitre's length.
    pub(crate) fn heel_pull(&self, moment: Moment, compression: f64) -> f64 {
        let mitre = self.outline.face * core::f64::consts::SQRT_2;
        (2.0 * moment.to_nm().abs() / mitre - compression).max(0.0)
    }
}

/// How far the whole is from folding up: where it bows most, or, where it folds, by its
/// slenderest member.
fn folding(members: &[Pressed], flat: &[Found], times: f64, limit: f64) -> Found {
    let most = flat.iter().max_by(|a, b| a.used.total_cmp(&b.used));
    let slender = |m: &Pressed| m.compression * m.length * m.length / m.rigidity;
    let slenderest = members
        .iter()
        .max_by(|a, b| slender(a).total_cmp(&slender(b)));
    let (length, force) = match (most, slenderest) {
        (Some(most), _) => (most.length, most.force),
        (None, Some(m)) => (m.length, m.compression),
        (None, None) => (0.0, 0.0),
    };
    Found {
        kind: CheckKind::Buckling,
        part: None,
        length,
        force,
        found: times,
        limit,
        used: limit / times.max(1e-6),
        at: most.and_then(|most| most.at),
    }
}

/// A section against bending out of the plane.
#[derive(Clone, Copy)]
struct Profile {
    inertia: f64,
    /// Whole section's second moment over that left at a lap, less one.
    weakening: f64,
    /// From its middle to the cloth.
    arm: f64,
}

/// Compression in the bars of each direction, and in the cross bars that divide it.
struct Thrusts {
    bars: [f64; 2],
    cross: [f64; 2],
}

/// The check that uses most of its limit.
pub(crate) fn governing(all: &[Found]) -> Option<&Found> {
    all.iter().max_by(|a, b| a.used.total_cmp(&b.used))
}

fn cube(x: f64) -> f64 {
    x * x * x
}
