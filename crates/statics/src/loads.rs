//! One load case: forces and moments on nodes, loads along members.

use alloc::vec::Vec;

use quantity::physics::{Distance, Force, LineLoad, Moment};

/// One load case; loads on the same place add up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loads {
    /// Loads on nodes.
    pub nodes: Vec<NodeLoad>,
    /// Loads on members.
    pub members: Vec<MemberLoad>,
}

/// A force and a moment on a node, along the frame's axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NodeLoad {
    /// Which node.
    pub node: usize,
    /// Force to the right.
    pub x: Force,
    /// Force up.
    pub y: Force,
    /// Moment, anticlockwise.
    pub moment: Moment,
}

/// A load on a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MemberLoad {
    /// Which member.
    pub member: usize,
    /// How it is spread.
    pub pattern: Pattern,
}

/// How a load lies on its member. Distances run from the member's start; a load per length is
/// per length of the member, whatever its slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pattern {
    /// The same all along.
    Uniform {
        /// Where it pushes.
        direction: Direction,
        /// How much.
        load: LineLoad,
    },
    /// On a stretch, changing linearly from its one end to its other.
    Linear {
        /// Where it pushes.
        direction: Direction,
        /// Where the stretch begins.
        from: Distance,
        /// Where it ends.
        to: Distance,
        /// How much where it begins.
        load_from: LineLoad,
        /// How much where it ends.
        load_to: LineLoad,
    },
    /// A force at one spot.
    Point {
        /// Where it pushes.
        direction: Direction,
        /// The spot.
        at: Distance,
        /// How much.
        force: Force,
    },
    /// A moment at one spot, anticlockwise.
    Turn {
        /// The spot.
        at: Distance,
        /// How much.
        moment: Moment,
    },
}

/// A direction seen from a member: the frame's axes or its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// To the right.
    X,
    /// Up.
    Y,
    /// From the member's start to its end.
    Along,
    /// A quarter turn anticlockwise from [`Direction::Along`].
    Across,
}

impl Direction {
    /// Its parts along and across a member whose direction is (cosine, sine).
    pub(crate) const fn in_member(self, cosine: f64, sine: f64) -> (f64, f64) {
        match self {
            Self::X => (cosine, -sine),
            Self::Y => (sine, cosine),
            Self::Along => (1.0, 0.0),
            Self::Across => (0.0, 1.0),
        }
    }
}

impl Loads {
    /// With a force on a node.
    #[must_use]
    pub fn force(mut self, node: usize, x: Force, y: Force) -> Self {
        self.nodes.push(NodeLoad {
            node,
            x,
            y,
            moment: Moment::ZERO,
        });
        self
    }

    /// With a moment on a node, anticlockwise.
    #[must_use]
    pub fn moment(mut self, node: usize, moment: Moment) -> Self {
        self.nodes.push(NodeLoad {
            node,
            moment,
            ..NodeLoad::default()
        });
        self
    }

    /// With a load that is the same all along a member.
    #[must_use]
    pub fn uniform(self, member: usize, direction: Direction, load: LineLoad) -> Self {
        self.on_member(member, Pattern::Uniform { direction, load })
    }

    /// With a load of any pattern on a member.
    #[must_use]
    pub fn on_member(mut self, member: usize, pattern: Pattern) -> Self {
        self.members.push(MemberLoad { member, pattern });
        self
    }
}
