//! One member's stiffness, and what its loads do to its ends.
//!
//! Ends on springs are condensed by fixity factors, r = 1 / (1 + 3EI/kL): one when rigid, zero
//! when pinned, so that no case needs a branch and nothing divides by zero
//! (Monforton and Wu, "Matrix analysis of semi-rigidly connected frames", 1963; from memory,
//! re-derived here).

use core::ops::RangeInclusive;

use quantity::physics::{Area, Pressure, SecondMoment};

use crate::error::{Error, SectionPart};
use crate::frame::{End, Member, Node, Section};
use crate::loads::{Direction, MemberLoad, Pattern};

/// Stiffness of a spring that is not zero, N·m/rad.
const SPRINGS: RangeInclusive<f64> = 1e-20..=1e30;
/// Shortest member, m: a micrometre, below anything that is marked or cut.
const SHORTEST: f64 = 1e-6;
/// Largest load, N, N/m or N·m: keeps every product far from overflow.
pub(crate) const LARGEST_LOAD: f64 = 1e12;

/// A member ready for assembly, in SI units.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Element {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) length: f64,
    pub(crate) cosine: f64,
    pub(crate) sine: f64,
    pub(crate) axial_rigidity: f64,
    pub(crate) bending_rigidity: f64,
    /// Fixity factors of start and end.
    pub(crate) start_fixity: f64,
    pub(crate) end_fixity: f64,
    /// End moment per end rotation from the chord: at the start from the start, at either from
    /// the other, at the end from the end.
    near_start: f64,
    carried: f64,
    near_end: f64,
}

/// How a member is deformed by its nodes' movements.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Deformation {
    stretch: f64,
    /// Rotation of the start node from the chord.
    at_start: f64,
    /// Rotation of the end node from the chord.
    at_end: f64,
}

/// Forces of the nodes on the member, along its own axes: along, across, moment.
pub(crate) type Ends = [[f64; 3]; 2];

impl Element {
    pub(crate) fn new(index: usize, member: &Member, nodes: &[Node]) -> Result<Self, Error> {
        let place = |node: usize| nodes.get(node).ok_or(Error::NoSuchNode { node });
        let (a, b) = (place(member.from)?, place(member.to)?);
        let (dx, dy) = ((b.x - a.x).to_m(), (b.y - a.y).to_m());
        let length = libm::hypot(dx, dy);
        if length < SHORTEST {
            return Err(Error::MemberTooShort { member: index });
        }
        let (axial_rigidity, bending_rigidity) = rigidities(index, &member.section)?;
        let i = bending_rigidity / length;
        let fixity = |end: End| match end {
            End::Rigid => Ok(1.0),
            End::Pinned => Ok(0.0),
            End::Spring(spring) => {
                let k = spring.to_nm_per_rad();
                if k == 0.0 || SPRINGS.contains(&k) {
                    Ok(k / (k + 3.0 * i))
                } else {
                    Err(Error::SpringOutOfRange { member: index })
                }
            }
        };
        let (r1, r2) = (fixity(member.start)?, fixity(member.end)?);
        let shared = i / (4.0 - r1 * r2);
        Ok(Self {
            from: member.from,
            to: member.to,
            length,
            cosine: dx / length,
            sine: dy / length,
            axial_rigidity,
            bending_rigidity,
            start_fixity: r1,
            end_fixity: r2,
            near_start: 12.0 * r1 * shared,
            carried: 6.0 * r1 * r2 * shared,
            near_end: 12.0 * r2 * shared,
        })
    }

    /// The stiffness matrix in the axes of its nodes, whose first axes are these (cosine, sine)
    /// pairs; order: shift, shift, turn of the start, then of the end.
    pub(crate) fn stiffness(&self, axes: [(f64, f64); 2]) -> [[f64; 6]; 6] {
        // Each deformation is a row vector times the six movements.
        let (c, s, per_length) = (self.cosine, self.sine, 1.0 / self.length);
        let mut stretch = [0.0; 6];
        let mut at_start = [0.0, 0.0, 1.0, 0.0, 0.0, 0.0];
        let mut at_end = [0.0, 0.0, 0.0, 0.0, 0.0, 1.0];
        for (end, ((ax, ay), sign)) in axes.into_iter().zip([-1.0, 1.0]).enumerate() {
            let along = [c * ax + s * ay, s * ax - c * ay];
            let across = [c * ay - s * ax, c * ax + s * ay];
            for k in 0..2 {
                stretch[3 * end + k] = sign * along[k];
                let chord = sign * across[k] * per_length;
                at_start[3 * end + k] = -chord;
                at_end[3 * end + k] = -chord;
            }
        }
        let axial = self.axial_rigidity * per_length;
        let mut k = [[0.0; 6]; 6];
        for (i, row) in k.iter_mut().enumerate() {
            let force = axial * stretch[i];
            let start = self.near_start * at_start[i] + self.carried * at_end[i];
            let end = self.carried * at_start[i] + self.near_end * at_end[i];
            for (j, entry) in row.iter_mut().enumerate() {
                *entry = force * stretch[j] + start * at_start[j] + end * at_end[j];
            }
        }
        k
    }

    /// The deformation by movements of the two nodes in the frame's axes: x, y, turn.
    pub(crate) fn deformation(&self, from: &[f64; 3], to: &[f64; 3]) -> Deformation {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let chord = (self.cosine * dy - self.sine * dx) / self.length;
        Deformation {
            stretch: self.cosine * dx + self.sine * dy,
            at_start: from[2] - chord,
            at_end: to[2] - chord,
        }
    }

    /// Strain energy, twice over.
    pub(crate) fn twice_energy(&self, d: Deformation) -> f64 {
        self.axial_rigidity / self.length * d.stretch * d.stretch
            + self.near_start * d.at_start * d.at_start
            + 2.0 * self.carried * d.at_start * d.at_end
            + self.near_end * d.at_end * d.at_end
    }

    /// Forces of the nodes on the member from deformation and loads together.
    pub(crate) fn end_forces(&self, d: Deformation, push: &Push) -> Ends {
        let (r1, r2) = (self.start_fixity, self.end_fixity);
        let shared = 1.0 / (4.0 - r1 * r2);
        let held_start =
            r1 * shared * ((4.0 - r2) * push.held_start - 2.0 * (1.0 - r2) * push.held_end);
        let held_end =
            r2 * shared * ((4.0 - r1) * push.held_end - 2.0 * (1.0 - r1) * push.held_start);
        let start = self.near_start * d.at_start + self.carried * d.at_end + held_start;
        let end = self.carried * d.at_start + self.near_end * d.at_end + held_end;
        let across_end = -(start + end + push.turning) / self.length;
        let pull = self.axial_rigidity / self.length * d.stretch;
        let along_end = -push.along_lever / self.length;
        [
            [
                -pull - push.along - along_end,
                -push.across - across_end,
                start,
            ],
            [pull + along_end, across_end, end],
        ]
    }

    /// Rotation of the member's own start, which differs from its node's by the give of the
    /// spring or hinge.
    pub(crate) fn start_rotation(&self, node_turn: f64, d: Deformation, push: &Push) -> f64 {
        let (r1, r2) = (self.start_fixity, self.end_fixity);
        let i = self.bending_rigidity / self.length;
        // The end moment over r1, finite also where both are zero.
        let moment_per_fixity =
            (12.0 * i * d.at_start + 6.0 * i * r2 * d.at_end + (4.0 - r2) * push.held_start
                - 2.0 * (1.0 - r2) * push.held_end)
                / (4.0 - r1 * r2);
        node_turn - moment_per_fixity * (1.0 - r1) / (3.0 * i)
    }
}

/// EA and EI, each factor within the range of real materials and sizes.
fn rigidities(member: usize, section: &Section) -> Result<(f64, f64), Error> {
    const MODULUS: (Pressure, Pressure) = (Pressure::from_pa(1.0), Pressure::from_pa(1e13));
    const AREA: (Area, Area) = (Area::from_m2(1e-12), Area::from_m2(1e6));
    const INERTIA: (SecondMoment, SecondMoment) =
        (SecondMoment::from_m4(1e-20), SecondMoment::from_m4(1e6));
    let fault = |part| Err(Error::SectionOutOfRange { member, part });
    if !(MODULUS.0..=MODULUS.1).contains(&section.modulus) {
        return fault(SectionPart::Modulus);
    }
    if !(AREA.0..=AREA.1).contains(&section.area) {
        return fault(SectionPart::Area);
    }
    if !(INERTIA.0..=INERTIA.1).contains(&section.inertia) {
        return fault(SectionPart::Inertia);
    }
    let modulus = section.modulus.to_pa();
    Ok((
        modulus * section.area.to_m2(),
        modulus * section.inertia.to_m4(),
    ))
}

/// A member load in the member's own axes, SI units.
#[derive(Clone, Copy, Debug)]
pub(crate) enum LocalLoad {
    Point {
        at: f64,
        along: f64,
        across: f64,
        moment: f64,
    },
    Spread {
        from: f64,
        to: f64,
        along: [f64; 2],
        across: [f64; 2],
    },
}

impl LocalLoad {
    pub(crate) fn new(index: usize, load: &MemberLoad, element: &Element) -> Result<Self, Error> {
        let parts = |direction: Direction| direction.in_member(element.cosine, element.sine);
        let checked = |x: f64| {
            if x.abs() <= LARGEST_LOAD {
                Ok(x)
            } else {
                Err(Error::MemberLoadOutOfRange { load: index })
            }
        };
        let on_member = |x: f64| {
            // Distances that were computed may miss an end by rounding.
            let slack = 1e-9 * element.length;
            if x >= -slack && x <= element.length + slack {
                Ok(x.max(0.0).min(element.length))
            } else {
                Err(Error::LoadOffMember { load: index })
            }
        };
        let spread = |direction, from, to, first: f64, last: f64| {
            let (along, across) = parts(direction);
            Self::Spread {
                from,
                to,
                along: [along * first, along * last],
                across: [across * first, across * last],
            }
        };
        match load.pattern {
            Pattern::Uniform { direction, load } => {
                let q = checked(load.to_n_per_m())?;
                Ok(spread(direction, 0.0, element.length, q, q))
            }
            Pattern::Linear {
                direction,
                from,
                to,
                load_from,
                load_to,
            } => {
                let (from, to) = (on_member(from.to_m())?, on_member(to.to_m())?);
                if from > to {
                    return Err(Error::LoadOffMember { load: index });
                }
                let first = checked(load_from.to_n_per_m())?;
                let last = checked(load_to.to_n_per_m())?;
                Ok(spread(direction, from, to, first, last))
            }
            Pattern::Point {
                direction,
                at,
                force,
            } => {
                let (along, across) = parts(direction);
                let force = checked(force.to_newtons())?;
                Ok(Self::Point {
                    at: on_member(at.to_m())?,
                    along: along * force,
                    across: across * force,
                    moment: 0.0,
                })
            }
            Pattern::Turn { at, moment } => Ok(Self::Point {
                at: on_member(at.to_m())?,
                along: 0.0,
                across: 0.0,
                moment: checked(moment.to_nm())?,
            }),
        }
    }
}

/// What all loads on a member come to.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Push {
    /// Total along.
    along: f64,
    /// Σ along × distance from the start.
    along_lever: f64,
    /// Total across.
    across: f64,
    /// Total moment about the start.
    turning: f64,
    /// Moments of the nodes on the member's ends were both held rigidly.
    held_start: f64,
    held_end: f64,
}

impl Push {
    pub(crate) fn add(&mut self, load: &LocalLoad, length: f64) {
        match *load {
            LocalLoad::Point {
                at,
                along,
                across,
                moment,
            } => self.add_point(at, along, across, moment, length),
            LocalLoad::Spread {
                from,
                to,
                along,
                across,
            } => {
                // Gauss's three points are exact to the fifth power; a linear load times the
                // cubic shape functions is of the fourth.
                const SPOTS: [(f64, f64); 3] = [
                    (0.112_701_665_379_258_31, 5.0 / 18.0),
                    (0.5, 8.0 / 18.0),
                    (0.887_298_334_620_741_7, 5.0 / 18.0),
                ];
                let stretch = to - from;
                for (s, weight) in SPOTS {
                    let share =
                        |ends: [f64; 2]| (ends[0] + (ends[1] - ends[0]) * s) * weight * stretch;
                    self.add_point(from + stretch * s, share(along), share(across), 0.0, length);
                }
            }
        }
    }

    /// A member with rigidly held ends answers a load by its shape functions' values there
    /// (by virtual work): x(1 − x/L)² for the start, −x²/L (1 − x/L) for the end.
    fn add_point(&mut self, at: f64, along: f64, across: f64, moment: f64, length: f64) {
        let s = at / length;
        self.along += along;
        self.along_lever += along * at;
        self.across += across;
        self.turning += across * at + moment;
        self.held_start -=
            across * at * (1.0 - s) * (1.0 - s) + moment * (1.0 - s) * (1.0 - 3.0 * s);
        self.held_end += across * at * s * (1.0 - s) + moment * s * (2.0 - 3.0 * s);
    }
}
