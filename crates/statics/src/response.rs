//! What a frame does under a load case: at its nodes, at its supports, along its members.

use alloc::vec::Vec;
use core::ops::{Neg, Range};

use quantity::physics::{Angle, Distance, Force, Moment};

use crate::element::{Element, Ends, LocalLoad, Push};
use crate::error::Error;
use crate::loads::Direction;
use crate::polynomial::{COEFFICIENTS, Polynomial, each_candidate, value};

/// The answer to one load case.
#[derive(Clone, Debug)]
pub struct Response {
    movements: Vec<Movement>,
    reactions: Vec<Reaction>,
    members: Vec<MemberState>,
    loads: Vec<LocalLoad>,
}

/// How a node moved.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Movement {
    /// To the right.
    pub x: Distance,
    /// Up.
    pub y: Distance,
    /// Anticlockwise; none where every member is hinged, so that the node has no turn of its
    /// own.
    pub turn: Option<Angle>,
}

/// What a support does to the frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reaction {
    /// The supported node.
    pub node: usize,
    /// Force to the right.
    pub x: Force,
    /// Force up.
    pub y: Force,
    /// Moment, anticlockwise.
    pub moment: Moment,
}

/// What a node does to a member's end, along the member's own axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EndForces {
    /// Force along the member, towards its end.
    pub along: Force,
    /// Force across the member.
    pub across: Force,
    /// Moment, anticlockwise.
    pub moment: Moment,
}

/// A value and the spot on the member where it occurs, measured from the member's start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme<T> {
    /// The spot.
    pub at: Distance,
    /// The value there.
    pub value: T,
}

/// The lowest and the highest value along a member, each at its first spot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes<T> {
    /// The lowest, with its sign.
    pub lowest: Extreme<T>,
    /// The highest, with its sign.
    pub highest: Extreme<T>,
}

impl<T: Copy + PartialOrd + Neg<Output = T>> Extremes<T> {
    /// The one farther from zero, with its sign.
    #[must_use]
    pub fn largest(&self) -> Extreme<T> {
        if -self.lowest.value > self.highest.value {
            self.lowest
        } else {
            self.highest
        }
    }
}

impl Response {
    pub(crate) fn new(
        movements: impl Iterator<Item = ([f64; 3], bool)>,
        members: Vec<MemberState>,
        loads: Vec<LocalLoad>,
        reactions: impl Iterator<Item = (usize, [f64; 3])>,
    ) -> Self {
        let movements = movements
            .map(|([x, y, turn], turns)| Movement {
                x: Distance::from_m(x),
                y: Distance::from_m(y),
                turn: turns.then_some(Angle::from_rad(turn)),
            })
            .collect();
        let reactions = reactions
            .map(|(node, [x, y, moment])| Reaction {
                node,
                x: Force::from_newtons(x),
                y: Force::from_newtons(y),
                moment: Moment::from_nm(moment),
            })
            .collect();
        Self {
            movements,
            reactions,
            members,
            loads,
        }
    }

    /// How each node moved, in the frame's order.
    #[must_use]
    pub fn movements(&self) -> &[Movement] {
        &self.movements
    }

    /// How one node moved.
    ///
    /// # Errors
    ///
    /// [`Error::NoSuchNode`].
    pub fn movement(&self, node: usize) -> Result<Movement, Error> {
        let movement = self.movements.get(node).copied();
        movement.ok_or(Error::NoSuchNode { node })
    }

    /// What each support does, in the order of the frame's supports.
    #[must_use]
    pub fn reactions(&self) -> &[Reaction] {
        &self.reactions
    }

    /// One member.
    ///
    /// # Errors
    ///
    /// [`Error::NoSuchMember`].
    pub fn member(&self, member: usize) -> Result<MemberResponse<'_>, Error> {
        let state = self.members.get(member);
        let state = state.ok_or(Error::NoSuchMember { member })?;
        Ok(self.view(state))
    }

    /// All members, in the frame's order.
    pub fn members(&self) -> impl ExactSizeIterator<Item = MemberResponse<'_>> {
        self.members.iter().map(|state| self.view(state))
    }

    fn view<'a>(&'a self, state: &'a MemberState) -> MemberResponse<'a> {
        MemberResponse {
            state,
            loads: &self.loads[state.loads.clone()],
        }
    }
}

/// What is needed to follow a member from its start to its end, in SI units.
#[derive(Clone, Debug)]
pub(crate) struct MemberState {
    length: f64,
    cosine: f64,
    sine: f64,
    axial_rigidity: f64,
    bending_rigidity: f64,
    /// Forces of the nodes on the ends.
    pub(crate) ends: Ends,
    /// Movement of the start along and across, and of the end across.
    start: [f64; 2],
    end_across: f64,
    /// Rotation of the member's own start.
    start_rotation: f64,
    loads: Range<usize>,
}

impl MemberState {
    pub(crate) fn new(
        element: &Element,
        [from, to]: [&[f64; 3]; 2],
        push: &Push,
        loads: Range<usize>,
    ) -> Self {
        let (c, s) = (element.cosine, element.sine);
        let deformation = element.deformation(from, to);
        Self {
            length: element.length,
            cosine: c,
            sine: s,
            axial_rigidity: element.axial_rigidity,
            bending_rigidity: element.bending_rigidity,
            ends: element.end_forces(deformation, push),
            start: [c * from[0] + s * from[1], c * from[1] - s * from[0]],
            end_across: c * to[1] - s * to[0],
            start_rotation: element.start_rotation(from[2], deformation, push),
            loads,
        }
    }
}

/// One member under load. Spots are measured from its start; a spot off the member is taken to
/// its nearer end.
///
/// Largest values are exact: between loads the deflection is a polynomial of the fifth degree at
/// most, and its extremes are found from the roots of its derivative, not by sampling.
#[derive(Clone, Copy, Debug)]
pub struct MemberResponse<'a> {
    state: &'a MemberState,
    loads: &'a [LocalLoad],
}

impl<'a> MemberResponse<'a> {
    /// Its length.
    #[must_use]
    pub fn length(&self) -> Distance {
        Distance::from_m(self.state.length)
    }

    /// What the node at its start does to it.
    #[must_use]
    pub fn start_forces(&self) -> EndForces {
        end_forces(self.state.ends[0])
    }

    /// What the node at its end does to it.
    #[must_use]
    pub fn end_forces(&self) -> EndForces {
        end_forces(self.state.ends[1])
    }

    /// How far its points move in a direction, lowest and highest.
    #[must_use]
    pub fn deflection(&self, direction: Direction) -> Extremes<Distance> {
        self.extremes(Distance::from_m, |piece| {
            piece.deflection(direction, self.state)
        })
    }

    /// How far one spot moves in a direction.
    #[must_use]
    pub fn deflection_at(&self, at: Distance, direction: Direction) -> Distance {
        Distance::from_m(self.at(at, |piece| piece.deflection(direction, self.state)))
    }

    /// How far it bends off the straight line between its two moved ends, across.
    #[must_use]
    pub fn bow(&self) -> Extremes<Distance> {
        let (start, end) = (self.state.start[1], self.state.end_across);
        let slope = (end - start) / self.state.length;
        self.extremes(Distance::from_m, |piece| {
            let mut bow = piece.across;
            bow[0] -= start + slope * piece.from;
            bow[1] -= slope * piece.length;
            bow
        })
    }

    /// Bending moment, lowest and highest; positive bends its middle away from
    /// [`Direction::Across`] (a beam drawn from left to right sags).
    #[must_use]
    pub fn moment(&self) -> Extremes<Moment> {
        self.extremes(Moment::from_nm, |piece| piece.moment)
    }

    /// Bending moment at one spot; just before a moment that acts there.
    #[must_use]
    pub fn moment_at(&self, at: Distance) -> Moment {
        Moment::from_nm(self.at(at, |piece| piece.moment))
    }

    /// Axial force, lowest and highest; tension positive.
    #[must_use]
    pub fn axial(&self) -> Extremes<Force> {
        self.extremes(Force::from_newtons, |piece| piece.axial)
    }

    /// Axial force at one spot, tension positive; just before a force that acts there.
    #[must_use]
    pub fn axial_at(&self, at: Distance) -> Force {
        Force::from_newtons(self.at(at, |piece| piece.axial))
    }

    /// Shear force, lowest and highest: what the part before a spot does to the part after it,
    /// across.
    #[must_use]
    pub fn shear(&self) -> Extremes<Force> {
        self.extremes(Force::from_newtons, |piece| piece.shear)
    }

    /// Shear force at one spot; just before a force that acts there.
    #[must_use]
    pub fn shear_at(&self, at: Distance) -> Force {
        Force::from_newtons(self.at(at, |piece| piece.shear))
    }

    fn pieces(&self) -> Pieces<'a> {
        let state = self.state;
        Pieces {
            state,
            loads: self.loads,
            from: 0.0,
            along: state.start[0],
            across: state.start[1],
            rotation: state.start_rotation,
            axial: -state.ends[0][0],
            shear: state.ends[0][1],
            moment: -state.ends[0][2],
        }
    }

    fn at(&self, at: Distance, of: impl Fn(&Piece) -> Polynomial) -> f64 {
        let at = at.to_m().max(0.0).min(self.state.length);
        let mut found = 0.0;
        for piece in self.pieces() {
            found = value(&of(&piece), ((at - piece.from) / piece.length).min(1.0));
            if at <= piece.from + piece.length {
                break;
            }
        }
        found
    }

    fn extremes<T>(
        &self,
        unit: impl Fn(f64) -> T,
        of: impl Fn(&Piece) -> Polynomial,
    ) -> Extremes<T> {
        let (mut lowest, mut highest) = ((0.0, f64::INFINITY), (0.0, f64::NEG_INFINITY));
        for piece in self.pieces() {
            each_candidate(&of(&piece), |s, value| {
                let at = piece.from + s * piece.length;
                if value < lowest.1 {
                    lowest = (at, value);
                }
                if value > highest.1 {
                    highest = (at, value);
                }
            });
        }
        let extreme = |(at, value)| Extreme {
            at: Distance::from_m(at),
            value: unit(value),
        };
        Extremes {
            lowest: extreme(lowest),
            highest: extreme(highest),
        }
    }
}

fn end_forces([along, across, moment]: [f64; 3]) -> EndForces {
    EndForces {
        along: Force::from_newtons(along),
        across: Force::from_newtons(across),
        moment: Moment::from_nm(moment),
    }
}

/// A stretch of a member on which every quantity is one polynomial of s in [0, 1].
struct Piece {
    from: f64,
    length: f64,
    /// Movement along and across.
    along: Polynomial,
    across: Polynomial,
    axial: Polynomial,
    shear: Polynomial,
    moment: Polynomial,
}

impl Piece {
    fn deflection(&self, direction: Direction, state: &MemberState) -> Polynomial {
        let (along, across) = direction.in_member(state.cosine, state.sine);
        let mut sum = [0.0; COEFFICIENTS];
        for (k, sum) in sum.iter_mut().enumerate() {
            *sum = along * self.along[k] + across * self.across[k];
        }
        sum
    }
}

/// Walks a member from load to load, integrating EIv⁗ = q and EAu″ = −p from the start.
struct Pieces<'a> {
    state: &'a MemberState,
    loads: &'a [LocalLoad],
    from: f64,
    along: f64,
    across: f64,
    rotation: f64,
    axial: f64,
    shear: f64,
    moment: f64,
}

impl Iterator for Pieces<'_> {
    type Item = Piece;

    fn next(&mut self) -> Option<Piece> {
        if self.from >= self.state.length {
            return None;
        }
        let (to, p, q) = self.loads_ahead();
        let h = to - self.from;
        let (ea, ei) = (self.state.axial_rigidity, self.state.bending_rigidity);
        // p and q: value at the piece's start, and change over the piece.
        let piece = Piece {
            from: self.from,
            length: h,
            along: [
                self.along,
                self.axial * h / ea,
                -p[0] * h * h / (2.0 * ea),
                -p[1] * h * h / (6.0 * ea),
                0.0,
                0.0,
            ],
            across: [
                self.across,
                self.rotation * h,
                self.moment * h * h / (2.0 * ei),
                self.shear * h * h * h / (6.0 * ei),
                q[0] * h * h * h * h / (24.0 * ei),
                q[1] * h * h * h * h / (120.0 * ei),
            ],
            axial: [self.axial, -p[0] * h, -p[1] * h / 2.0, 0.0, 0.0, 0.0],
            shear: [self.shear, q[0] * h, q[1] * h / 2.0, 0.0, 0.0, 0.0],
            moment: [
                self.moment,
                self.shear * h,
                q[0] * h * h / 2.0,
                q[1] * h * h / 6.0,
                0.0,
                0.0,
            ],
        };
        self.rotation +=
            h / ei * (self.moment + h / 2.0 * (self.shear + h / 3.0 * (q[0] + q[1] / 4.0)));
        self.along = piece.along.iter().sum();
        self.across = piece.across.iter().sum();
        self.axial = piece.axial.iter().sum();
        self.shear = piece.shear.iter().sum();
        self.moment = piece.moment.iter().sum();
        self.from = to;
        Some(piece)
    }
}

impl Pieces<'_> {
    /// Takes in the point loads at this spot; returns where the next load begins or ends, and
    /// the loads along and across until there.
    fn loads_ahead(&mut self) -> (f64, [f64; 2], [f64; 2]) {
        let here = self.from;
        let mut to = self.state.length;
        let mut until = |x: f64| {
            if x > here && x < to {
                to = x;
            }
        };
        for load in self.loads {
            match *load {
                LocalLoad::Point {
                    at,
                    along,
                    across,
                    moment,
                } => {
                    if at == here {
                        self.axial -= along;
                        self.shear += across;
                        self.moment -= moment;
                    }
                    until(at);
                }
                LocalLoad::Spread { from, to, .. } => {
                    until(from);
                    until(to);
                }
            }
        }
        let (mut p, mut q) = ([0.0; 2], [0.0; 2]);
        for load in self.loads {
            if let LocalLoad::Spread {
                from,
                to: last,
                along,
                across,
            } = *load
                && from <= here
                && last > here
            {
                let share = |ends: [f64; 2]| {
                    let slope = (ends[1] - ends[0]) / (last - from);
                    [ends[0] + slope * (here - from), slope * (to - here)]
                };
                for (sum, ends) in [(&mut p, along), (&mut q, across)] {
                    let [value, change] = share(ends);
                    sum[0] += value;
                    sum[1] += change;
                }
            }
        }
        (to, p, q)
    }
}
