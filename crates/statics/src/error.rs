//! What can be wrong with a frame, its loads or a number.

use core::fmt;

use quantity::physics::Angle;

/// Why there is no answer. Indices count from zero in the order given.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Error {
    /// A node's coordinate is not a number or beyond ±1000 km.
    NodeOutOfRange {
        /// Which node.
        node: usize,
    },
    /// A member, support or load names a node that is not there.
    NoSuchNode {
        /// The node asked for.
        node: usize,
    },
    /// A load or a question names a member that is not there.
    NoSuchMember {
        /// The member asked for.
        member: usize,
    },
    /// A member's ends lie less than a micrometre apart.
    MemberTooShort {
        /// Which member.
        member: usize,
    },
    /// A section's property is not a positive number in the range of real materials and sizes.
    SectionOutOfRange {
        /// Which member.
        member: usize,
        /// Which property.
        part: SectionPart,
    },
    /// A spring at a member's end is negative or not a number.
    SpringOutOfRange {
        /// Which member.
        member: usize,
    },
    /// The angle of a support is not a number.
    SupportAngle {
        /// Which node.
        node: usize,
    },
    /// Two supports are given for one node; say it with one.
    SupportedTwice {
        /// Which node.
        node: usize,
    },
    /// The frame, or a part of it, can move without resistance.
    Mechanism {
        /// The node that moves farthest.
        node: usize,
        /// The direction in which it starts to move, either way: an angle from the x axis in
        /// [0°, 180°).
        direction: Angle,
    },
    /// Stiffnesses differ so much that equilibrium can't be met to one part in a million.
    IllConditioned {
        /// The node where it is missed most.
        node: usize,
    },
    /// A node load is not a number or beyond 10¹² N or N·m.
    NodeLoadOutOfRange {
        /// Which of the node loads.
        load: usize,
    },
    /// A member load is not a number or beyond 10¹² N, N/m or N·m.
    MemberLoadOutOfRange {
        /// Which of the member loads.
        load: usize,
    },
    /// A member load starts before its member, ends past it, or ends before it starts.
    LoadOffMember {
        /// Which of the member loads.
        load: usize,
    },
    /// A moment acts on a node where every member is hinged, so that nothing takes it.
    MomentOnHinge {
        /// Which node.
        node: usize,
    },
    /// A number given to a formula is not positive, not finite or past its range.
    OutOfRange {
        /// The number's name.
        what: &'static str,
    },
}

/// A property of a [`crate::Section`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionPart {
    /// The modulus of elasticity, 1 Pa to 10¹³ Pa.
    Modulus,
    /// The area, 10⁻¹² m² to 10⁶ m².
    Area,
    /// The second moment of area, 10⁻²⁰ m⁴ to 10⁶ m⁴.
    Inertia,
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NodeOutOfRange { node } => {
                write!(
                    f,
                    "node {node}: coordinates must be finite and within 1000 km"
                )
            }
            Self::NoSuchNode { node } => write!(f, "there is no node {node}"),
            Self::NoSuchMember { member } => write!(f, "there is no member {member}"),
            Self::MemberTooShort { member } => {
                write!(f, "member {member}: its two ends are at one place")
            }
            Self::SectionOutOfRange { member, part } => {
                let (name, range) = match part {
                    SectionPart::Modulus => ("modulus", "1 to 1e13 Pa"),
                    SectionPart::Area => ("area", "1e-12 to 1e6 m²"),
                    SectionPart::Inertia => ("second moment of area", "1e-20 to 1e6 m⁴"),
                };
                write!(f, "member {member}: {name} must be {range}")
            }
            Self::SpringOutOfRange { member } => write!(
                f,
                "member {member}: the spring at its end must be zero or 1e-20 to 1e30 N·m/rad"
            ),
            Self::SupportAngle { node } => {
                write!(f, "node {node}: the angle of its support must be a number")
            }
            Self::SupportedTwice { node } => write!(f, "node {node} has two supports, give one"),
            Self::Mechanism { node, direction } => write!(
                f,
                "the frame is a mechanism: node {node} moves freely at {}° to the x axis",
                libm::round(direction.to_degrees()) as i64
            ),
            Self::IllConditioned { node } => write!(
                f,
                "stiffnesses differ too much to find equilibrium at node {node}"
            ),
            Self::NodeLoadOutOfRange { load } => {
                write!(
                    f,
                    "node load {load}: must be finite and below 1e12 N or N·m"
                )
            }
            Self::MemberLoadOutOfRange { load } => write!(
                f,
                "member load {load}: must be finite and below 1e12 N, N/m or N·m"
            ),
            Self::LoadOffMember { load } => {
                write!(f, "member load {load}: does not lie within its member")
            }
            Self::MomentOnHinge { node } => write!(
                f,
                "node {node}: every member is hinged there, so nothing takes the moment"
            ),
            Self::OutOfRange { what } => write!(f, "{what} must be a positive finite number"),
        }
    }
}

impl core::error::Error for Error {}
