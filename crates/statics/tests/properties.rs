//! What must hold for every frame: equilibrium, reciprocity, scaling, symmetry, refinement, and
//! an honest error for what is no frame.
#![expect(
    clippy::unwrap_used,
    reason = "a helper that fails is a test that fails"
)]

use proptest::prelude::*;
use quantity::physics::{
    Angle, Area, Distance, Force, LineLoad, Moment, Pressure, RotationalStiffness, SecondMoment,
};
use statics::{
    Axis, Direction, End, EndForces, Frame, Hold, Loads, Member, MemberLoad, Node, NodeLoad,
    Pattern, Response, Section, Support,
};

const DIRECTIONS: [Direction; 4] = [
    Direction::X,
    Direction::Y,
    Direction::Along,
    Direction::Across,
];

fn direction() -> impl Strategy<Value = Direction> {
    prop::sample::select(DIRECTIONS.to_vec())
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![
        3 => Just(End::Rigid),
        1 => Just(End::Pinned),
        1 => (1.0_f64..1e5).prop_map(|k| End::Spring(RotationalStiffness::from_nm_per_rad(k))),
    ]
}

fn section() -> impl Strategy<Value = Section> {
    (6_000.0_f64..14_000.0, 10.0_f64..60.0, 15.0_f64..100.0).prop_map(|(e, t, d)| {
        Section::rectangle(
            Pressure::from_mpa(e),
            Distance::from_mm(t),
            Distance::from_mm(d),
        )
    })
}

/// A sound frame: a rigid chain through jittered places, built in at its first node, with further
/// members of any joints between its nodes and perhaps more supports.
fn frame() -> impl Strategy<Value = Frame> {
    let place = (-0.3_f64..0.3, -0.9_f64..0.9);
    prop::collection::vec((place, section()), 2..9)
        .prop_flat_map(|places| {
            let count = places.len();
            let mut frame = Frame::default();
            for (i, ((dx, y), section)) in places.into_iter().enumerate() {
                let x = f64::from(u32::try_from(i).unwrap()) * 0.8 + dx;
                frame.add_node(Distance::from_m(x), Distance::from_m(y));
                if i > 0 {
                    frame.add_member(Member::rigid(i - 1, i, section));
                }
            }
            frame.support(0, Hold::Fixed);
            let further = (0..count, 0..count, section(), end(), end());
            let holds = prop_oneof![
                Just(Hold::Pinned),
                (0.0_f64..180.0).prop_map(|a| Hold::Roller(Axis::At(Angle::from_degrees(a)))),
                (0.0_f64..180.0).prop_map(|a| Hold::Guided(Axis::At(Angle::from_degrees(a)))),
            ];
            (
                Just(frame),
                prop::collection::vec(further, 0..6),
                prop::option::of((1..count, holds)),
            )
        })
        .prop_map(|(mut frame, further, hold)| {
            for (from, to, section, start, end) in further {
                if from != to {
                    frame.add_member(Member {
                        from,
                        to,
                        section,
                        start,
                        end,
                    });
                }
            }
            if let Some((node, hold)) = hold {
                frame.support(node, hold);
            }
            frame
        })
}

fn length(frame: &Frame, member: usize) -> f64 {
    let (a, b) = (
        frame.nodes[frame.members[member].from],
        frame.nodes[frame.members[member].to],
    );
    (b.x - a.x).to_m().hypot((b.y - a.y).to_m())
}

/// Loads of every kind, given as shares of whatever frame they are put on.
#[derive(Clone, Debug)]
struct AnyLoads {
    nodes: Vec<(prop::sample::Index, [f64; 3])>,
    members: Vec<(prop::sample::Index, Direction, u8, [f64; 4])>,
}

fn any_loads() -> impl Strategy<Value = AnyLoads> {
    let size = || -200.0_f64..200.0;
    (
        prop::collection::vec(
            (any::<prop::sample::Index>(), [size(), size(), size()]),
            0..4,
        ),
        prop::collection::vec(
            (
                any::<prop::sample::Index>(),
                direction(),
                0_u8..4,
                [0.0..1.0, 0.0..1.0, size(), size()],
            ),
            1..6,
        ),
    )
        .prop_map(|(nodes, members)| AnyLoads { nodes, members })
}

impl AnyLoads {
    fn on(&self, frame: &Frame) -> Loads {
        let mut loads = Loads::default();
        for (node, [x, y, moment]) in &self.nodes {
            loads.nodes.push(NodeLoad {
                node: node.index(frame.nodes.len()),
                x: Force::from_newtons(*x),
                y: Force::from_newtons(*y),
                moment: Moment::from_nm(*moment),
            });
        }
        for (member, direction, kind, [a, b, p, q]) in &self.members {
            let member = member.index(frame.members.len());
            let length = length(frame, member);
            let at = Distance::from_m(a * length);
            let direction = *direction;
            let pattern = match kind {
                0 => Pattern::Uniform {
                    direction,
                    load: LineLoad::from_n_per_m(*p),
                },
                1 => Pattern::Linear {
                    direction,
                    from: Distance::from_m(a.min(*b) * length),
                    to: Distance::from_m(a.max(*b) * length),
                    load_from: LineLoad::from_n_per_m(*p),
                    load_to: LineLoad::from_n_per_m(*q),
                },
                2 => Pattern::Point {
                    direction,
                    at,
                    force: Force::from_newtons(*p),
                },
                _ => Pattern::Turn {
                    at,
                    moment: Moment::from_nm(*p),
                },
            };
            loads = loads.on_member(member, pattern);
        }
        loads
    }
}

fn solved(frame: &Frame, loads: &Loads) -> Response {
    frame.factor().unwrap().solve(loads).unwrap()
}

/// Cosine and sine of a member.
fn heading(frame: &Frame, member: usize) -> (f64, f64) {
    let (a, b) = (
        frame.nodes[frame.members[member].from],
        frame.nodes[frame.members[member].to],
    );
    let length = length(frame, member);
    ((b.x - a.x).to_m() / length, (b.y - a.y).to_m() / length)
}

/// End forces in the frame's axes.
fn turned((c, s): (f64, f64), ends: EndForces) -> [f64; 3] {
    let (along, across) = (ends.along.to_newtons(), ends.across.to_newtons());
    [
        c * along - s * across,
        s * along + c * across,
        ends.moment.to_nm(),
    ]
}

/// A member load's totals: x, y, and moment about the origin, worked out apart from the solver
/// (trapezium: area and centroid).
fn totals(frame: &Frame, load: &MemberLoad) -> [f64; 3] {
    let (c, s) = heading(frame, load.member);
    let start = frame.nodes[frame.members[load.member].from];
    let (direction, size, at) = match load.pattern {
        Pattern::Uniform { direction, load: q } => {
            let l = length(frame, load.member);
            (direction, q.to_n_per_m() * l, l / 2.0)
        }
        Pattern::Linear {
            direction,
            from,
            to,
            load_from,
            load_to,
        } => {
            let (a, b, p, q) = (
                from.to_m(),
                to.to_m(),
                load_from.to_n_per_m(),
                load_to.to_n_per_m(),
            );
            let size = (p + q) / 2.0 * (b - a);
            // Moment about the start over the total, kept as a product to allow a zero total.
            let lever = (b - a) * (p * (2.0 * a + b) + q * (a + 2.0 * b)) / 6.0;
            let at = if size == 0.0 { 0.0 } else { lever / size };
            (direction, size, at)
        }
        Pattern::Point {
            direction,
            at,
            force,
        } => (direction, force.to_newtons(), at.to_m()),
        Pattern::Turn { moment, .. } => return [0.0, 0.0, moment.to_nm()],
    };
    let (ux, uy) = match direction {
        Direction::X => (1.0, 0.0),
        Direction::Y => (0.0, 1.0),
        Direction::Along => (c, s),
        Direction::Across => (-s, c),
    };
    let (x, y) = (start.x.to_m() + c * at, start.y.to_m() + s * at);
    [ux * size, uy * size, x * uy * size - y * ux * size]
}

/// All movements, and a few values along each member, in one list.
fn numbers(response: &Response) -> Vec<f64> {
    let mut list = Vec::new();
    for m in response.movements() {
        list.extend([m.x.to_m(), m.y.to_m(), m.turn.map_or(0.0, |t| t.to_rad())]);
    }
    list
}

/// The largest movement of a node or a spot of a member: what rounding is measured by, also where
/// the nodes are held and only the members bend.
fn largest_movement(response: &Response) -> f64 {
    let mut list = numbers(response);
    for member in response.members() {
        list.extend(
            DIRECTIONS.map(|direction| member.deflection(direction).largest().value.to_m()),
        );
    }
    scale(&list)
}

/// The largest size in a list, at least a floor so that nothing is compared with zero.
fn scale(list: &[f64]) -> f64 {
    list.iter().fold(1e-12, |most, x| most.max(x.abs()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn whole_and_nodes_are_in_equilibrium(frame in frame(), loads in any_loads()) {
        let loads = loads.on(&frame);
        let response = solved(&frame, &loads);
        let mut nodes = vec![[0.0; 3]; frame.nodes.len()];
        let mut whole = [0.0; 3];
        let mut largest = 1.0_f64;
        let about_origin = |node: usize, [x, y, m]: [f64; 3]| {
            let at = frame.nodes[node];
            [x, y, m + at.x.to_m() * y - at.y.to_m() * x]
        };
        let add = |to: &mut [f64; 3], parts: [f64; 3], sign: f64| {
            for (to, part) in to.iter_mut().zip(parts) {
                *to += sign * part;
            }
        };
        for load in &loads.nodes {
            let parts = [load.x.to_newtons(), load.y.to_newtons(), load.moment.to_nm()];
            add(&mut nodes[load.node], parts, 1.0);
            add(&mut whole, about_origin(load.node, parts), 1.0);
        }
        for reaction in response.reactions() {
            let parts = [reaction.x.to_newtons(), reaction.y.to_newtons(), reaction.moment.to_nm()];
            add(&mut nodes[reaction.node], parts, 1.0);
            add(&mut whole, about_origin(reaction.node, parts), 1.0);
        }
        for load in &loads.members {
            add(&mut whole, totals(&frame, load), 1.0);
        }
        for (i, member) in response.members().enumerate() {
            let heading = heading(&frame, i);
            let (from, to) = (frame.members[i].from, frame.members[i].to);
            for (node, ends) in [(from, member.start_forces()), (to, member.end_forces())] {
                let parts = turned(heading, ends);
                largest = parts.iter().fold(largest, |most, x| most.max(x.abs()));
                add(&mut nodes[node], parts, -1.0);
            }
        }
        // Coordinates reach 8 m; conditioning of these frames costs about six digits.
        for sum in nodes.iter().flatten().chain(&whole) {
            prop_assert!(sum.abs() < 1e-7 * largest, "{sum} beside {largest}");
        }
    }

    #[test]
    fn every_member_ends_where_its_nodes_are(frame in frame(), loads in any_loads()) {
        let loads = loads.on(&frame);
        let response = solved(&frame, &loads);
        let most = largest_movement(&response);
        for (i, member) in response.members().enumerate() {
            for (node, at) in [(frame.members[i].from, Distance::ZERO), (frame.members[i].to, member.length())] {
                let movement = response.movement(node).unwrap();
                let x = member.deflection_at(at, Direction::X).to_m();
                let y = member.deflection_at(at, Direction::Y).to_m();
                prop_assert!((x - movement.x.to_m()).abs() < 1e-8 * most);
                prop_assert!((y - movement.y.to_m()).abs() < 1e-8 * most);
            }
            // Inner forces end in the end forces, unless a load sits on the very end.
            let forces = [member.start_forces(), member.end_forces()];
            let size = scale(&[forces[0].moment.to_nm(), forces[1].moment.to_nm(), forces[0].across.to_newtons(), 1.0]);
            prop_assert!((member.moment_at(member.length()) - forces[1].moment).to_nm().abs() < 1e-7 * size);
        }
    }

    #[test]
    fn no_sampled_spot_beats_the_largest(frame in frame(), loads in any_loads(), share in 0.0..=1.0_f64) {
        let loads = loads.on(&frame);
        let response = solved(&frame, &loads);
        for member in response.members() {
            let at = member.length() * share;
            for direction in DIRECTIONS {
                let range = member.deflection(direction);
                let here = member.deflection_at(at, direction);
                let slack = Distance::from_m(1e-12 * (1.0 + here.to_m().abs()));
                prop_assert!(range.lowest.value <= here + slack && here <= range.highest.value + slack);
                // The spot told is the spot where it is.
                let there = member.deflection_at(range.highest.at, direction);
                prop_assert!((there - range.highest.value).abs() <= slack);
            }
            // The bow is what the member moves across beyond the straight line between its ends.
            let across = |at| member.deflection_at(at, Direction::Across).to_m();
            let bow = across(at) - (across(Distance::ZERO) * (1.0 - share) + across(member.length()) * share);
            let range = member.bow();
            let slack = 1e-12 * (1.0 + largest_movement(&response));
            prop_assert!(range.lowest.value.to_m() <= bow + slack);
            prop_assert!(bow <= range.highest.value.to_m() + slack);
            let moment = member.moment_at(at).to_nm();
            let range = member.moment();
            let slack = 1e-9 * (1.0 + moment.abs());
            prop_assert!(range.lowest.value.to_nm() <= moment + slack);
            prop_assert!(moment <= range.highest.value.to_nm() + slack);
        }
    }

    /// Maxwell and Betti: the work of one set of forces on the other's movements is mutual, for
    /// forces on nodes and at any spot of a member.
    #[test]
    fn work_is_mutual(frame in frame(), spots in prop::array::uniform2((any::<prop::sample::Index>(), direction(), 0.0..=1.0_f64)), p in 1.0..100.0_f64, q in 1.0..100.0_f64) {
        let factored = frame.factor().unwrap();
        let place = |k: usize| {
            let (member, direction, share) = &spots[k];
            let member = member.index(frame.members.len());
            (member, *direction, Distance::from_m(share * length(&frame, member)))
        };
        let under = |k: usize, force: f64| {
            let (member, direction, at) = place(k);
            let force = Force::from_newtons(force);
            factored.solve(&Loads::default().on_member(member, Pattern::Point { direction, at, force })).unwrap()
        };
        let moved = |response: &Response, k: usize| {
            let (member, direction, at) = place(k);
            response.member(member).unwrap().deflection_at(at, direction).to_m()
        };
        let (one, other) = (under(0, p), under(1, q));
        let (work, back) = (p * moved(&other, 0), q * moved(&one, 1));
        // Either work may be small by cancellation: compare with what the forces do on their own.
        let own = p * moved(&one, 0) + q * moved(&other, 1);
        prop_assert!(own >= 0.0);
        prop_assert!((work - back).abs() <= 1e-8 * own + 1e-15, "{work} and {back}");
    }

    #[test]
    fn answers_scale(frame in frame(), loads in any_loads(), k in 0.2_f64..5.0) {
        let base = solved(&frame, &loads.on(&frame));
        let most = largest_movement(&base);
        let base = numbers(&base);
        let close = |list: Vec<f64>, factor: f64| {
            list.iter().zip(&base).all(|(x, b)| (x - factor * b).abs() < 1e-7 * factor * most)
        };

        // Twice the loads, twice the movements.
        let mut heavier = loads.clone();
        for (_, parts) in &mut heavier.nodes {
            *parts = parts.map(|x| x * k);
        }
        for (_, _, _, [_, _, p, q]) in &mut heavier.members {
            (*p, *q) = (*p * k, *q * k);
        }
        prop_assert!(close(numbers(&solved(&frame, &heavier.on(&frame))), k));

        // A stiffer material moves less; springs have to stiffen along.
        let mut stiffer = frame.clone();
        for member in &mut stiffer.members {
            member.section.modulus = member.section.modulus * k;
            for end in [&mut member.start, &mut member.end] {
                if let End::Spring(spring) = end {
                    *spring = *spring * k;
                }
            }
        }
        prop_assert!(close(numbers(&solved(&stiffer, &loads.on(&stiffer))), 1.0 / k));

        // All sizes times k (areas k², second moments k⁴, springs k³), forces times k², moments
        // k³, loads per length k: strains stay, movements grow by k. Turns stay, so they are
        // compared after the same factor.
        let mut larger = frame.clone();
        for node in &mut larger.nodes {
            *node = Node { x: node.x * k, y: node.y * k };
        }
        for member in &mut larger.members {
            member.section.area = member.section.area * (k * k);
            member.section.inertia = member.section.inertia * (k * k * k * k);
            for end in [&mut member.start, &mut member.end] {
                if let End::Spring(spring) = end {
                    *spring = *spring * (k * k * k);
                }
            }
        }
        let mut grown = loads.clone();
        for (_, [x, y, m]) in &mut grown.nodes {
            (*x, *y, *m) = (*x * k * k, *y * k * k, *m * k * k * k);
        }
        for (_, _, kind, [_, _, p, q]) in &mut grown.members {
            let factor = match kind {
                0 | 1 => k,
                2 => k * k,
                _ => k * k * k,
            };
            (*p, *q) = (*p * factor, *q * factor);
        }
        let mut movements = numbers(&solved(&larger, &grown.on(&larger)));
        for turn in movements.iter_mut().skip(2).step_by(3) {
            *turn *= k;
        }
        prop_assert!(close(movements, k));
    }

    #[test]
    fn load_cases_add_up(frame in frame(), one in any_loads(), other in any_loads()) {
        let factored = frame.factor().unwrap();
        let (one, other) = (one.on(&frame), other.on(&frame));
        let mut both = one.clone();
        both.nodes.extend(&other.nodes);
        both.members.extend(&other.members);
        let [one, other, both] = [one, other, both].map(|loads| numbers(&factored.solve(&loads).unwrap()));
        let most = scale(&one).max(scale(&other));
        for ((a, b), c) in one.iter().zip(&other).zip(&both) {
            prop_assert!((a + b - c).abs() < 1e-9 * most);
        }
    }

    #[test]
    fn a_frame_turned_or_mirrored_moves_alike(frame in frame(), loads in any_loads(), degrees in -180.0..180.0_f64, mirror in any::<bool>()) {
        let base = solved(&frame, &loads.on(&frame));
        let (s, c) = degrees.to_radians().sin_cos();
        let flip = if mirror { -1.0 } else { 1.0 };
        // Mirror in the x axis first, then turn.
        let turn = |x: f64, y: f64| (c * x - s * flip * y, s * x + c * flip * y);
        let mut turned = frame.clone();
        for node in &mut turned.nodes {
            let (x, y) = turn(node.x.to_m(), node.y.to_m());
            *node = Node { x: Distance::from_m(x), y: Distance::from_m(y) };
        }
        for support in &mut turned.supports {
            if let Hold::Roller(axis) | Hold::Guided(axis) = &mut support.hold
                && let Axis::At(angle) = axis
            {
                *angle = Angle::from_degrees(angle.to_degrees() * flip + degrees);
            }
        }
        // Loads along the members' own axes follow them; those on the frame's are turned here.
        let mut follow = Loads::default();
        for load in loads.on(&frame).nodes {
            let (x, y) = turn(load.x.to_newtons(), load.y.to_newtons());
            let (x, y) = (Force::from_newtons(x), Force::from_newtons(y));
            follow.nodes.push(NodeLoad { x, y, moment: load.moment * flip, ..load });
        }
        for load in loads.on(&frame).members {
            let (hc, hs) = heading(&frame, load.member);
            for (own, part) in [(Direction::Along, 0), (Direction::Across, 1)] {
                let share = |direction: Direction| {
                    let parts = match direction {
                        Direction::X => [hc, -hs],
                        Direction::Y => [hs, hc],
                        Direction::Along => [1.0, 0.0],
                        Direction::Across => [0.0, 1.0],
                    };
                    parts[part] * if part == 1 { flip } else { 1.0 }
                };
                let pattern = match load.pattern {
                    Pattern::Uniform { direction, load } => Pattern::Uniform { direction: own, load: load * share(direction) },
                    Pattern::Linear { direction, from, to, load_from, load_to } => Pattern::Linear {
                        direction: own,
                        from,
                        to,
                        load_from: load_from * share(direction),
                        load_to: load_to * share(direction),
                    },
                    Pattern::Point { direction, at, force } => Pattern::Point { direction: own, at, force: force * share(direction) },
                    // Once is enough.
                    Pattern::Turn { at, moment } => Pattern::Turn { at, moment: if part == 0 { moment * flip } else { Moment::ZERO } },
                };
                follow = follow.on_member(load.member, pattern);
            }
        }
        let response = solved(&turned, &follow);
        let most = largest_movement(&base);
        for (a, b) in base.movements().iter().zip(response.movements()) {
            let (x, y) = turn(a.x.to_m(), a.y.to_m());
            prop_assert!((x - b.x.to_m()).abs() < 1e-7 * most && (y - b.y.to_m()).abs() < 1e-7 * most);
        }
    }

    #[test]
    fn splitting_a_member_changes_nothing(frame in frame(), loads in any_loads(), which in any::<prop::sample::Index>(), share in 0.1..0.9_f64, q in -200.0..200.0_f64) {
        let which = which.index(frame.members.len());
        let mut loads = loads.on(&frame);
        loads.members.retain(|load| load.member != which);
        let load = LineLoad::from_n_per_m(q);
        let whole = solved(&frame, &loads.clone().uniform(which, Direction::Y, load));

        let mut split = frame.clone();
        let member = split.members[which];
        let (a, b) = (split.nodes[member.from], split.nodes[member.to]);
        let middle = split.add_node(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share);
        split.members[which].to = middle;
        split.members[which].end = End::Rigid;
        let second = split.add_member(Member { from: middle, start: End::Rigid, ..member });
        let halves = solved(&split, &loads.uniform(which, Direction::Y, load).uniform(second, Direction::Y, load));

        let (long, first, rest) = (whole.member(which).unwrap(), halves.member(which).unwrap(), halves.member(second).unwrap());
        let range = long.deflection(Direction::Y);
        let (one, other) = (numbers(&whole), numbers(&halves));
        let most = largest_movement(&whole);
        for (a, b) in one.iter().zip(&other) {
            prop_assert!((a - b).abs() < 1e-6 * most);
        }
        let lowest = first.deflection(Direction::Y).lowest.value.min(rest.deflection(Direction::Y).lowest.value);
        prop_assert!((range.lowest.value - lowest).to_m().abs() < 1e-6 * most);
    }

    #[test]
    fn springs_reach_from_pinned_to_rigid(frame in frame(), loads in any_loads()) {
        let loads = loads.on(&frame);
        let as_springs = |rigid: f64| {
            let mut frame = frame.clone();
            for member in &mut frame.members {
                for end in [&mut member.start, &mut member.end] {
                    let k = match *end {
                        End::Rigid => rigid,
                        End::Pinned => 0.0,
                        End::Spring(k) => k.to_nm_per_rad(),
                    };
                    *end = End::Spring(RotationalStiffness::from_nm_per_rad(k));
                }
            }
            frame
        };
        let given = solved(&frame, &loads);
        let most = largest_movement(&given);
        let given = numbers(&given);
        let springs = numbers(&solved(&as_springs(1e14), &loads));
        for (a, b) in given.iter().zip(&springs) {
            prop_assert!((a - b).abs() < 1e-5 * most);
        }
    }

    #[test]
    fn without_supports_every_frame_is_a_mechanism(mut frame in frame()) {
        frame.supports.clear();
        let error = frame.factor().map(|_| ()).unwrap_err();
        prop_assert!(matches!(error, statics::Error::Mechanism { node, .. } if node < frame.nodes.len()), "{error}");
    }

    /// A chain hinged at every node but held only at its ends collapses, however it lies.
    #[test]
    fn hinged_chains_are_mechanisms(places in prop::collection::vec((-0.3_f64..0.3, -0.9_f64..0.9), 4..9), section in section()) {
        let mut frame = Frame::default();
        for (i, (dx, y)) in places.iter().enumerate() {
            let node = frame.add_node(Distance::from_m(f64::from(u32::try_from(i).unwrap()) * 0.8 + dx), Distance::from_m(*y));
            if node > 0 {
                frame.add_member(Member::pinned(node - 1, node, section));
            }
        }
        frame.support(0, Hold::Pinned);
        frame.support(places.len() - 1, Hold::Pinned);
        match frame.factor() {
            Err(statics::Error::Mechanism { node, .. }) => prop_assert!(node > 0 && node < places.len() - 1),
            other => prop_assert!(false, "{:?}", other.map(|_| ())),
        }
    }
}

/// Mostly sound; now and then huge, tiny, infinite or not a number.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        40 => -10.0..10.0_f64,
        1 => any::<f64>(),
        1 => Just(0.0),
        1 => -1e13..1e13_f64,
        1 => 0.0..1e-9_f64,
    ]
}

fn wild_hold() -> impl Strategy<Value = Hold> {
    prop_oneof![
        Just(Hold::Fixed),
        Just(Hold::Pinned),
        Just(Hold::ROLLER_X),
        wild().prop_map(|a| Hold::Roller(Axis::At(Angle::from_rad(a)))),
        wild().prop_map(|a| Hold::Guided(Axis::At(Angle::from_rad(a)))),
    ]
}

fn wild_end() -> impl Strategy<Value = End> {
    prop_oneof![
        4 => Just(End::Rigid),
        1 => Just(End::Pinned),
        1 => wild().prop_map(|k| if k > -9.0 { k.abs() } else { k }).prop_map(|k| End::Spring(RotationalStiffness::from_nm_per_rad(k))),
    ]
}

/// Either a sound section or any numbers at all.
fn wild_section() -> impl Strategy<Value = Section> {
    prop_oneof![
        20 => section(),
        1 => (wild(), wild(), wild()).prop_map(|(e, a, i)| Section {
            modulus: Pressure::from_pa(e),
            area: Area::from_m2(a),
            inertia: SecondMoment::from_m4(i),
        }),
        // In range, but as far apart as allowed.
        4 => (0.0..13.0_f64, -12.0..6.0_f64, -20.0..6.0_f64).prop_map(|(e, a, i)| Section {
            modulus: Pressure::from_pa(10.0_f64.powf(e)),
            area: Area::from_m2(10.0_f64.powf(a)),
            inertia: SecondMoment::from_m4(10.0_f64.powf(i)),
        }),
    ]
}

fn wild_pattern() -> impl Strategy<Value = Pattern> {
    prop_oneof![
        (direction(), wild()).prop_map(|(direction, q)| Pattern::Uniform {
            direction,
            load: LineLoad::from_n_per_m(q)
        }),
        (direction(), 0.0..1.0_f64, wild(), wild(), wild()).prop_map(|(direction, a, b, p, q)| {
            Pattern::Linear {
                direction,
                from: Distance::from_m(a),
                to: Distance::from_m(b),
                load_from: LineLoad::from_n_per_m(p),
                load_to: LineLoad::from_n_per_m(q),
            }
        }),
        (direction(), 0.0..1.0_f64, wild()).prop_map(|(direction, at, p)| Pattern::Point {
            direction,
            at: Distance::from_m(at),
            force: Force::from_newtons(p)
        }),
        (wild(), wild()).prop_map(|(at, m)| Pattern::Turn {
            at: Distance::from_m(at),
            moment: Moment::from_nm(m)
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    /// Whatever is put in: an error or finite numbers, never a panic.
    #[test]
    fn any_input_gives_an_error_or_finite_numbers(
        nodes in prop_oneof![1 => Just(0..2), 30 => Just(2..7)].prop_flat_map(|range| prop::collection::vec((wild(), wild()), range)),
        members in prop::collection::vec((0_usize..100, 0_usize..100, wild_section(), wild_end(), wild_end()), 0..9),
        supports in prop::collection::vec((0_usize..100, wild_hold()), 0..4),
        node_loads in prop::collection::vec((0_usize..100, wild(), wild(), wild()), 0..3),
        member_loads in prop::collection::vec((0_usize..100, wild_pattern()), 0..4),
        at in wild(),
    ) {
        // Mostly a chain with supports in a row, so that many of these frames stand; an index
        // that is not there comes up once in a hundred.
        let near = |index: usize, count: usize| if index < 99 { index % count.max(1) } else { index };
        let (places, bars) = (nodes.len(), members.len());
        let frame = Frame {
            nodes: nodes.into_iter().map(|(x, y)| Node { x: Distance::from_m(x), y: Distance::from_m(y) }).collect(),
            members: members.into_iter().enumerate().map(|(i, (from, to, section, start, end))| {
                let chain = i + 1 < places && from < 99;
                let (from, to) = if chain { (i, i + 1) } else { (near(from, places), near(from + 1 + to % 7, places)) };
                Member { from, to, section, start, end }
            }).collect(),
            supports: supports.into_iter().enumerate().map(|(i, (node, hold))| Support { node: if node < 90 { near(i, places) } else { near(node, places) }, hold }).collect(),
        };
        let loads = Loads {
            nodes: node_loads.into_iter().map(|(node, x, y, m)| NodeLoad {
                node: near(node, places),
                x: Force::from_newtons(x),
                y: Force::from_newtons(y),
                moment: Moment::from_nm(m),
            }).collect(),
            members: member_loads.into_iter().map(|(member, pattern)| MemberLoad { member: near(member, bars), pattern }).collect(),
        };
        // An error is an answer as well.
        if let Ok(response) = frame.factor().and_then(|factored| factored.solve(&loads)) {
            prop_assert!(numbers(&response).iter().all(|x| x.is_finite()));
            for reaction in response.reactions() {
                prop_assert!(reaction.x.is_finite() && reaction.y.is_finite() && reaction.moment.is_finite());
            }
            for member in response.members() {
                prop_assert!(member.bow().largest().value.is_finite());
                prop_assert!(member.moment().largest().value.is_finite());
                prop_assert!(member.shear().largest().value.is_finite());
                prop_assert!(member.axial().largest().value.is_finite());
                for direction in DIRECTIONS {
                    prop_assert!(member.deflection(direction).largest().value.is_finite());
                    prop_assert!(member.deflection_at(Distance::from_m(at), direction).is_finite());
                }
            }
        }
    }
}
