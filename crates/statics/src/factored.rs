//! From the described frame to its factored stiffness, and from loads to movements.

use alloc::vec;
use alloc::vec::Vec;

use quantity::physics::Angle;

use crate::element::{Element, LARGEST_LOAD, LocalLoad, Push};
use crate::error::Error;
use crate::frame::{Axis, End, Frame, Hold, Support};
use crate::loads::{Loads, NodeLoad};
use crate::ordering::reverse_cuthill_mckee;
use crate::response::{MemberState, Response};
use crate::skyline::Skyline;

/// Farthest coordinate, m.
const FARTHEST: f64 = 1e6;
/// Equilibrium of each node has to be met to this share of the largest force.
const EQUILIBRIUM: f64 = 1e-6;
/// A small pivot is no rounding if the energy of its motion differs by less than this share.
const AGREEMENT: f64 = 0.1;

/// A checked frame with its stiffness factored: solves any number of load cases.
#[derive(Clone, Debug)]
pub struct Factored {
    elements: Vec<Element>,
    joints: Vec<Joint>,
    supports: Vec<Support>,
    stiffness: Skyline,
    /// Extent of the frame, m: the lever that makes turns comparable with shifts.
    size: f64,
}

/// A node as the solver sees it.
#[derive(Clone, Copy, Debug)]
struct Joint {
    /// Direction of its first axis; the second is a quarter turn on.
    axis: (f64, f64),
    /// Whether some member turns with it, so that its turn means something.
    turns: bool,
    /// The number of each of its three unknowns; none where held.
    unknowns: [Option<usize>; 3],
    /// Which of the three a support holds.
    held: [bool; 3],
}

impl Factored {
    pub(crate) fn new(frame: &Frame) -> Result<Self, Error> {
        let size = extent(frame)?;
        let elements = frame
            .members
            .iter()
            .enumerate()
            .map(|(index, member)| Element::new(index, member, &frame.nodes))
            .collect::<Result<Vec<_>, _>>()?;
        let mut joints = joints(frame)?;
        let unknowns = number_unknowns(&elements, &mut joints);
        let mut factored = Self {
            stiffness: assemble(&elements, &joints, unknowns),
            elements,
            joints,
            supports: frame.supports.clone(),
            size,
        };
        factored.factor()?;
        Ok(factored)
    }

    /// Movements, forces and reactions under one load case.
    ///
    /// # Errors
    ///
    /// A load on a node or member that is not there, off its member, out of range, or a moment
    /// on a node where all members are hinged; [`Error::IllConditioned`] when stiffnesses differ
    /// so much that the result would not be in equilibrium.
    pub fn solve(&self, loads: &Loads) -> Result<Response, Error> {
        let (local, first) = self.local_loads(loads)?;
        let pushes = self.pushes(&local, &first);
        let applied = self.node_loads(&loads.nodes)?;
        let movements = self.movements(&applied, &pushes);
        let members: Vec<MemberState> = self
            .elements
            .iter()
            .zip(&pushes)
            .zip(first.windows(2))
            .map(|((element, push), loads)| {
                let ends = [&movements[element.from], &movements[element.to]];
                MemberState::new(element, ends, push, loads[0]..loads[1])
            })
            .collect();
        let missing = self.missing_forces(&applied, &members)?;
        let turns = self.joints.iter().map(|joint| joint.turns);
        Ok(Response::new(
            movements.into_iter().zip(turns),
            members,
            local,
            self.supports.iter().map(|s| (s.node, missing[s.node])),
        ))
    }

    /// Factors the stiffness, naming the mechanism if there is one.
    fn factor(&mut self) -> Result<(), Error> {
        let (elements, joints) = (&self.elements, &self.joints);
        self.stiffness.factor(|partly, unknown, pivot| {
            // A small pivot is either a soft frame or rounding around zero. The strain energy of
            // the motion it stands for, summed from each member's own stretch and bend where no
            // large numbers cancel, must then agree with it.
            let motion = partly.motion(unknown);
            let movements: Vec<_> = joints.iter().map(|j| j.in_frame(&motion)).collect();
            let energy: f64 = elements
                .iter()
                .map(|e| e.twice_energy(e.deformation(&movements[e.from], &movements[e.to])))
                .sum();
            if pivot > 0.0 && (energy - pivot).abs() < AGREEMENT * pivot {
                Ok(())
            } else {
                Err(mechanism(&movements))
            }
        })
    }

    /// The member loads in their members' axes, grouped by member: member m's are
    /// `first[m]..first[m + 1]`.
    fn local_loads(&self, loads: &Loads) -> Result<(Vec<LocalLoad>, Vec<usize>), Error> {
        let mut first = vec![0; self.elements.len() + 1];
        for load in &loads.members {
            let member = load.member;
            if member >= self.elements.len() {
                return Err(Error::NoSuchMember { member });
            }
            first[member + 1] += 1;
        }
        for member in 0..self.elements.len() {
            first[member + 1] += first[member];
        }
        let blank = LocalLoad::Point {
            at: 0.0,
            along: 0.0,
            across: 0.0,
            moment: 0.0,
        };
        let mut local = vec![blank; loads.members.len()];
        let mut next = first.clone();
        for (index, load) in loads.members.iter().enumerate() {
            local[next[load.member]] = LocalLoad::new(index, load, &self.elements[load.member])?;
            next[load.member] += 1;
        }
        Ok((local, first))
    }

    fn pushes(&self, local: &[LocalLoad], first: &[usize]) -> Vec<Push> {
        self.elements
            .iter()
            .zip(first.windows(2))
            .map(|(element, range)| {
                let mut push = Push::default();
                for load in &local[range[0]..range[1]] {
                    push.add(load, element.length);
                }
                push
            })
            .collect()
    }

    /// The loads on each node, summed: x, y, moment.
    fn node_loads(&self, loads: &[NodeLoad]) -> Result<Vec<[f64; 3]>, Error> {
        let mut sums = vec![[0.0; 3]; self.joints.len()];
        for (index, load) in loads.iter().enumerate() {
            let node = load.node;
            let Some(joint) = self.joints.get(node) else {
                return Err(Error::NoSuchNode { node });
            };
            let parts = [
                load.x.to_newtons(),
                load.y.to_newtons(),
                load.moment.to_nm(),
            ];
            if !parts.iter().all(|part| part.abs() <= LARGEST_LOAD) {
                return Err(Error::NodeLoadOutOfRange { load: index });
            }
            if parts[2] != 0.0 && !joint.turns && !joint.held[2] {
                return Err(Error::MomentOnHinge { node });
            }
            for (sum, part) in sums[node].iter_mut().zip(parts) {
                *sum += part;
            }
        }
        Ok(sums)
    }

    /// Solves for each node's movement in the frame's axes.
    fn movements(&self, applied: &[[f64; 3]], pushes: &[Push]) -> Vec<[f64; 3]> {
        let mut on_nodes = applied.to_vec();
        for (element, push) in self.elements.iter().zip(pushes) {
            // Loads reach the nodes as the opposite of what holds the undeformed member.
            let still = element.deformation(&[0.0; 3], &[0.0; 3]);
            let ends = element.end_forces(still, push);
            for (node, end) in [element.from, element.to].into_iter().zip(ends) {
                let [x, y, moment] = in_frame(element, end);
                on_nodes[node][0] -= x;
                on_nodes[node][1] -= y;
                on_nodes[node][2] -= moment;
            }
        }
        let mut unknowns = vec![0.0; self.stiffness.rows()];
        for (joint, load) in self.joints.iter().zip(&on_nodes) {
            for (unknown, part) in joint.unknowns.iter().zip(joint.in_axes(load)) {
                if let Some(unknown) = *unknown {
                    unknowns[unknown] = part;
                }
            }
        }
        self.stiffness.solve(&mut unknowns);
        self.joints.iter().map(|j| j.in_frame(&unknowns)).collect()
    }

    /// The force on each node that its members ask for beyond what is applied: the reaction
    /// where it is held; must be nothing where it is free.
    fn missing_forces(
        &self,
        applied: &[[f64; 3]],
        members: &[MemberState],
    ) -> Result<Vec<[f64; 3]>, Error> {
        let mut missing: Vec<[f64; 3]> = applied.iter().map(|[x, y, m]| [-x, -y, -m]).collect();
        let mut largest = 0.0_f64;
        for (element, state) in self.elements.iter().zip(members) {
            for (node, end) in [element.from, element.to].into_iter().zip(state.ends) {
                for (sum, part) in missing[node].iter_mut().zip(in_frame(element, end)) {
                    *sum += part;
                }
                largest = end[0].abs().max(end[1].abs()).max(largest);
                largest = largest.max(end[2].abs() / self.size);
            }
        }
        for [x, y, moment] in applied {
            largest = x
                .abs()
                .max(y.abs())
                .max(moment.abs() / self.size)
                .max(largest);
        }
        let tolerance = EQUILIBRIUM * largest;
        for (node, (joint, sums)) in self.joints.iter().zip(&mut missing).enumerate() {
            let mut parts = joint.in_axes(sums);
            for (k, part) in parts.iter_mut().enumerate() {
                if !joint.held[k] {
                    let lever = if k == 2 { self.size } else { 1.0 };
                    if part.is_nan() || part.abs() > tolerance * lever {
                        return Err(Error::IllConditioned { node });
                    }
                    *part = 0.0;
                }
            }
            *sums = joint.out_of_axes(parts);
        }
        Ok(missing)
    }
}

impl Joint {
    /// Parts along its own axes.
    fn in_axes(&self, [x, y, turn]: &[f64; 3]) -> [f64; 3] {
        let (c, s) = self.axis;
        [c * x + s * y, c * y - s * x, *turn]
    }

    /// Back from its own axes to the frame's.
    fn out_of_axes(&self, [one, other, turn]: [f64; 3]) -> [f64; 3] {
        let (c, s) = self.axis;
        [c * one - s * other, s * one + c * other, turn]
    }

    /// Its movement in the frame's axes, from all unknowns.
    fn in_frame(&self, unknowns: &[f64]) -> [f64; 3] {
        self.out_of_axes(self.unknowns.map(|u| u.map_or(0.0, |u| unknowns[u])))
    }
}

/// Forces along a member's axes turned into the frame's.
fn in_frame(element: &Element, [along, across, moment]: [f64; 3]) -> [f64; 3] {
    let (c, s) = (element.cosine, element.sine);
    [c * along - s * across, s * along + c * across, moment]
}

/// Checks the nodes and measures how far they spread.
fn extent(frame: &Frame) -> Result<f64, Error> {
    let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for (node, place) in frame.nodes.iter().enumerate() {
        for (k, x) in [place.x.to_m(), place.y.to_m()].into_iter().enumerate() {
            if !(-FARTHEST..=FARTHEST).contains(&x) {
                return Err(Error::NodeOutOfRange { node });
            }
            least[k] = least[k].min(x);
            most[k] = most[k].max(x);
        }
    }
    Ok((most[0] - least[0]).max(most[1] - least[1]))
}

/// Each node with its supports and hinges taken into account, unknowns not yet numbered.
fn joints(frame: &Frame) -> Result<Vec<Joint>, Error> {
    let free = Joint {
        axis: (1.0, 0.0),
        turns: false,
        unknowns: [None; 3],
        held: [false; 3],
    };
    let mut joints = vec![free; frame.nodes.len()];
    for member in &frame.members {
        for (node, end) in [(member.from, member.start), (member.to, member.end)] {
            joints[node].turns |= match end {
                End::Rigid => true,
                End::Pinned => false,
                End::Spring(spring) => spring.to_nm_per_rad() > 0.0,
            };
        }
    }
    for support in &frame.supports {
        let node = support.node;
        let joint = joints.get_mut(node).ok_or(Error::NoSuchNode { node })?;
        if joint.held != [false; 3] {
            return Err(Error::SupportedTwice { node });
        }
        (joint.held, joint.axis) = match support.hold {
            Hold::Fixed => ([true; 3], joint.axis),
            Hold::Pinned => ([true, true, false], joint.axis),
            Hold::Roller(axis) => ([true, false, false], direction(node, axis)?),
            Hold::Guided(axis) => ([true, false, true], direction(node, axis)?),
        };
    }
    Ok(joints)
}

/// An axis as (cosine, sine).
fn direction(node: usize, axis: Axis) -> Result<(f64, f64), Error> {
    match axis {
        Axis::X => Ok((1.0, 0.0)),
        Axis::Y => Ok((0.0, 1.0)),
        Axis::At(angle) if angle.is_finite() => {
            Ok((libm::cos(angle.to_rad()), libm::sin(angle.to_rad())))
        }
        Axis::At(_) => Err(Error::SupportAngle { node }),
    }
}

/// Numbers what is not held, in an order that keeps the matrix narrow; returns how many.
fn number_unknowns(elements: &[Element], joints: &mut [Joint]) -> usize {
    let edges = elements.iter().map(|e| (e.from, e.to));
    let mut count = 0;
    for node in reverse_cuthill_mckee(joints.len(), edges) {
        let joint = &mut joints[node];
        let moves = [true, true, joint.turns];
        for ((unknown, moves), held) in joint.unknowns.iter_mut().zip(moves).zip(joint.held) {
            if moves && !held {
                *unknown = Some(count);
                count += 1;
            }
        }
    }
    count
}

fn assemble(elements: &[Element], joints: &[Joint], unknowns: usize) -> Skyline {
    let of = |e: &Element| [&joints[e.from], &joints[e.to]];
    let mut first: Vec<usize> = (0..unknowns).collect();
    for element in elements {
        let numbers = || of(element).into_iter().flat_map(|j| j.unknowns).flatten();
        if let Some(lowest) = numbers().min() {
            for row in numbers() {
                first[row] = first[row].min(lowest);
            }
        }
    }
    // Unknowns of one node meet in no row but those of its members; a node without members
    // keeps its bare diagonal, which the factoring reports as free.
    let mut stiffness = Skyline::new(first);
    for element in elements {
        let [from, to] = of(element);
        let k = element.stiffness([from.axis, to.axis]);
        let numbers = || from.unknowns.into_iter().chain(to.unknowns);
        for (row, entries) in numbers().zip(&k) {
            let Some(row) = row else { continue };
            for (column, entry) in numbers().zip(entries) {
                if let Some(column) = column.filter(|c| *c <= row) {
                    stiffness.add(row, column, *entry);
                }
            }
        }
    }
    stiffness
}

/// Names the node that shifts farthest, and where to. Some node always shifts: turning all nodes
/// on the spot would bend every member that turns with one.
fn mechanism(movements: &[[f64; 3]]) -> Error {
    let (node, [x, y, _]) = movements
        .iter()
        .enumerate()
        .max_by(|(_, a), (_, b)| libm::hypot(a[0], a[1]).total_cmp(&libm::hypot(b[0], b[1])))
        .map_or((0, [0.0; 3]), |(node, movement)| (node, *movement));
    // Half a turn on is the same line; what rounds to half a turn is none.
    let angle = Angle::from_rad(libm::atan2(y, x)).to_degrees();
    let line = if angle < 0.0 { angle + 180.0 } else { angle };
    Error::Mechanism {
        node,
        direction: Angle::from_degrees(if line < 180.0 { line } else { 0.0 }),
    }
}
