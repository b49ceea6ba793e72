//! Plane frames by the direct stiffness method, with the beam, buckling and torsion formulas
//! that stand beside it.
//!
//! ```
//! use quantity::physics::{Distance, LineLoad, Pressure};
//! use statics::{Direction, Frame, Hold, Loads, Member, Section};
//!
//! // A beam on two supports, 1.2 m, 18 × 45 mm, E = 11 GPa, under 200 N/m.
//! let section = Section::rectangle(
//!     Pressure::from_gpa(11.0),
//!     Distance::from_mm(18.0),
//!     Distance::from_mm(45.0),
//! );
//! let mut frame = Frame::default();
//! let left = frame.add_node(Distance::ZERO, Distance::ZERO);
//! let right = frame.add_node(Distance::from_m(1.2), Distance::ZERO);
//! let beam = frame.add_member(Member::rigid(left, right, section));
//! frame.support(left, Hold::Pinned);
//! frame.support(right, Hold::ROLLER_Y);
//!
//! let factored = frame.factor()?; // once for a frame …
//! let loads = Loads::default().uniform(beam, Direction::Y, LineLoad::from_n_per_m(-200.0));
//! let response = factored.solve(&loads)?; // … then for as many load cases as wanted
//!
//! // 5wL⁴/384EI = 5 × 200 × 1.2⁴ / (384 × 1503.5625) m = 3.5915 mm, half way along
//! let sag = response.member(beam)?.deflection(Direction::Y).lowest;
//! assert!((sag.value.to_mm() + 3.5915).abs() < 1e-4);
//! assert!((sag.at.to_m() - 0.6).abs() < 1e-9);
//! # Ok::<(), statics::Error>(())
//! ```
//!
//! Main types, in the order in which they are met:
//!
//! * [`Frame`]: nodes, members and supports; [`Frame::factor`] checks and factors it.
//! * [`Factored`]: answers any number of [`Loads`] with a [`Response`] each.
//! * [`Response`]: movements, reactions and, through [`MemberResponse`], everything along a
//!   member, with exact largest values.
//! * [`buckling`], [`torsion`], [`beams`]: closed formulas.
//! * [`Error`]: what was wrong with the frame, a load or a number; a frame that can move freely
//!   is told which node moves, and where to.
//!
//! Scope: linear, small movements, straight Euler–Bernoulli members of one section each; no
//! shear deformation, no second-order effects, no self weight unless given as a load.
//! Knows nothing of what the frame is for.
//!
//! Axes: x to the right, y up, moments and rotations anticlockwise.
//!
//! Sources: the method is in every textbook of matrix structural analysis (from memory:
//! Przemieniecki, *Theory of Matrix Structural Analysis*, 1968); each other formula names its
//! source where it stands.
#![no_std]

extern crate alloc;

mod error;
mod frame;
mod loads;

mod element;
mod factored;
mod ordering;
mod polynomial;
mod response;
mod skyline;

pub mod beams;
pub mod buckling;
pub mod torsion;

pub use error::{Error, SectionPart};
pub use factored::Factored;
pub use frame::{Axis, End, Frame, Hold, Member, Node, Section, Support};
pub use loads::{Direction, Loads, MemberLoad, NodeLoad, Pattern};
pub use response::{EndForces, Extreme, Extremes, MemberResponse, Movement, Reaction, Response};
