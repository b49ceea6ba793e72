//! The frame as it is described: nodes, members, supports.

use alloc::vec::Vec;

use quantity::physics::{Angle, Area, Distance, Pressure, RotationalStiffness, SecondMoment};

use crate::error::Error;
use crate::factored::Factored;

/// A plane frame. Nodes, members and supports are named by their place in these lists.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frame {
    /// The points where members meet or end.
    pub nodes: Vec<Node>,
    /// The straight members between them.
    pub members: Vec<Member>,
    /// What holds the frame; at most one per node.
    pub supports: Vec<Support>,
}

/// A point of the frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Node {
    /// To the right.
    pub x: Distance,
    /// Up.
    pub y: Distance,
}

/// A straight member of one section. Its own axes: *along* runs from `from` to `to`, *across* is
/// a quarter turn anticlockwise from that.
///
/// ```text
///        across
///          ▲
///   from ●─┼──────────► along ──● to
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// The node it starts from.
    pub from: usize,
    /// The node it runs to.
    pub to: usize,
    /// What it is made of.
    pub section: Section,
    /// How it joins the node `from`.
    pub start: End,
    /// How it joins the node `to`.
    pub end: End,
}

/// A member's material and cross-section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Modulus of elasticity along the member.
    pub modulus: Pressure,
    /// Area of the cross-section.
    pub area: Area,
    /// Second moment of area against bending in the plane of the frame.
    pub inertia: SecondMoment,
}

/// How a member's end joins its node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// It turns with the node.
    Rigid,
    /// It turns freely.
    Pinned,
    /// It turns against a spring: zero (as pinned), or 1e-20 to 1e30 N·m/rad, towards which it
    /// becomes rigid.
    Spring(RotationalStiffness),
}

/// A node and what holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Which node.
    pub node: usize,
    /// What is held.
    pub hold: Hold,
}

/// What a support holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// Both shifts and the turn.
    Fixed,
    /// Both shifts.
    Pinned,
    /// The shift along this axis alone: a roller that runs square to it.
    Roller(Axis),
    /// The shift along this axis and the turn: the cut through a line of symmetry.
    Guided(Axis),
}

impl Hold {
    /// A roller that holds against movement along x and runs along y.
    pub const ROLLER_X: Self = Self::Roller(Axis::X);
    /// A roller that holds against movement along y and runs along x.
    pub const ROLLER_Y: Self = Self::Roller(Axis::Y);
}

/// An axis of the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Axis {
    /// To the right.
    X,
    /// Up.
    Y,
    /// This angle anticlockwise from x.
    At(Angle),
}

impl Frame {
    /// Adds a node and returns its index.
    pub fn add_node(&mut self, x: Distance, y: Distance) -> usize {
        self.nodes.push(Node { x, y });
        self.nodes.len() - 1
    }

    /// Adds a member and returns its index.
    pub fn add_member(&mut self, member: Member) -> usize {
        self.members.push(member);
        self.members.len() - 1
    }

    /// Holds a node.
    pub fn support(&mut self, node: usize, hold: Hold) {
        self.supports.push(Support { node, hold });
    }

    /// Checks the frame and factors its stiffness, ready for any number of load cases.
    ///
    /// # Errors
    ///
    /// A node, member, section, spring or support out of range ([`Error`]'s variants name it);
    /// [`Error::Mechanism`] when some part can move without resistance.
    pub fn factor(&self) -> Result<Factored, Error> {
        Factored::new(self)
    }
}

impl Member {
    /// A member that turns with the nodes at both its ends.
    #[must_use]
    pub const fn rigid(from: usize, to: usize, section: Section) -> Self {
        Self {
            from,
            to,
            section,
            start: End::Rigid,
            end: End::Rigid,
        }
    }

    /// A member hinged at both ends.
    #[must_use]
    pub const fn pinned(from: usize, to: usize, section: Section) -> Self {
        Self {
            from,
            to,
            section,
            start: End::Pinned,
            end: End::Pinned,
        }
    }
}

impl Section {
    /// A rectangle: `depth` lies in the plane of the frame, `thickness` square to it.
    ///
    /// ```
    /// use quantity::physics::{Distance, Pressure};
    /// let s = statics::Section::rectangle(
    ///     Pressure::from_gpa(11.0),
    ///     Distance::from_mm(18.0),
    ///     Distance::from_mm(45.0),
    /// );
    /// assert!((s.area.to_mm2() - 810.0).abs() < 1e-9); // 18 × 45
    /// assert!((s.inertia.to_mm4() - 136_687.5).abs() < 1e-6); // 18 × 45³ / 12
    /// ```
    #[must_use]
    pub const fn rectangle(modulus: Pressure, thickness: Distance, depth: Distance) -> Self {
        let (t, d) = (thickness.to_m(), depth.to_m());
        Self {
            modulus,
            area: Area::from_m2(t * d),
            inertia: SecondMoment::from_m4(t * d * d * d / 12.0),
        }
    }
}
