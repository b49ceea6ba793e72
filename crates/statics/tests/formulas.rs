//! The frame solver and the closed formulas against published formulas and numbers.
//!
//! Handbook tables are named from memory; the numbers marked "reference" were made by an
//! independent beam library (`data/frame-reference.json`, `beams`).
#![expect(
    clippy::unwrap_used,
    reason = "a helper that fails is a test that fails"
)]

use core::f64::consts::PI;

use quantity::physics::{
    Angle, Area, Distance, Force, LineLoad, Moment, Pressure, RotationalStiffness, SecondMoment,
    Stiffness,
};
use statics::beams::{BeamResult, ClosedRectangle, Portal, UniformBeam};
use statics::buckling::{ColumnEnds, MidBracedColumn, euler_load, slenderness};
use statics::torsion::RectangularBar;
use statics::{
    Axis, Direction, End, Error, Frame, Hold, Loads, Member, Pattern, Response, Section,
};

const E: Pressure = Pressure::from_mpa(11_000.0);
const W: f64 = 200.0;

/// 18 × 45 mm, EI = 1503.5625 N·m².
fn section() -> Section {
    Section::rectangle(E, Distance::from_mm(18.0), Distance::from_mm(45.0))
}

const EI: f64 = 1503.5625;

fn metres(x: f64) -> Distance {
    Distance::from_m(x)
}

#[track_caller]
fn near(value: f64, wanted: f64, share: f64) {
    assert!(
        (value - wanted).abs() <= share * wanted.abs().max(1e-12),
        "{value} for {wanted}"
    );
}

/// Equal spans in a row, supported as given, under W downwards.
fn beam(span: f64, holds: &[Hold]) -> Response {
    let mut frame = Frame::default();
    let mut x = 0.0;
    let mut loads = Loads::default();
    for (i, hold) in holds.iter().enumerate() {
        let node = frame.add_node(metres(x), Distance::ZERO);
        frame.support(node, *hold);
        x += span;
        if i > 0 {
            let member = frame.add_member(Member::rigid(node - 1, node, section()));
            loads = loads.uniform(member, Direction::Y, LineLoad::from_n_per_m(-W));
        }
    }
    frame.factor().unwrap().solve(&loads).unwrap()
}

/// The first span's numbers, solver and closed formula alike; rounding is all they may differ by.
#[track_caller]
fn same(response: &Response, closed: BeamResult) {
    let first = response.member(0).unwrap();
    let sag = first.deflection(Direction::Y).lowest;
    near(-sag.value.to_m(), closed.deflection.to_m(), 1e-9);
    near(sag.at.to_m(), closed.deflection_at.to_m(), 1e-6);
    near(
        first.moment().highest.value.to_nm(),
        closed.span_moment.to_nm(),
        1e-9,
    );
    near(
        -first.moment_at(first.length()).to_nm() + 1.0,
        closed.support_moment.to_nm() + 1.0,
        1e-9,
    );
    near(
        response.reactions()[0].y.to_newtons(),
        closed.outer_reaction.to_newtons(),
        1e-9,
    );
    near(
        response.reactions()[1].y.to_newtons(),
        closed.inner_reaction.to_newtons(),
        1e-9,
    );
}

fn uniform(span: f64) -> UniformBeam {
    UniformBeam {
        modulus: E,
        inertia: section().inertia,
        span: metres(span),
        load: LineLoad::from_n_per_m(W),
    }
}

#[test]
fn simply_supported_beam() {
    // AISC table 3-23 case 1: 5wL⁴/384EI, wL²/8. Reference: 3.59147 mm, 36.0 N·m.
    let closed = uniform(1.2).simply_supported().unwrap();
    same(&beam(1.2, &[Hold::Pinned, Hold::ROLLER_Y]), closed);
    near(closed.deflection.to_mm(), 3.59147, 1e-5);
    near(closed.span_moment.to_nm(), 36.0, 1e-12);
}

#[test]
fn built_in_beam() {
    // AISC table 3-23 case 15: wL⁴/384EI, wL²/24, wL²/12. Reference: 0.718294 mm, 12, 24 N·m.
    let closed = uniform(1.2).fixed().unwrap();
    same(&beam(1.2, &[Hold::Fixed, Hold::Fixed]), closed);
    near(closed.deflection.to_mm(), 0.718294, 1e-5);
    near(closed.span_moment.to_nm(), 12.0, 1e-12);
    near(closed.support_moment.to_nm(), 24.0, 1e-12);
}

#[test]
fn propped_beam() {
    // AISC table 3-23 case 12: 3wL/8, 5wL/8, wL⁴/185EI. Reference: 1.493899 mm, 150 and 90 N.
    let closed = uniform(1.2).propped().unwrap();
    same(&beam(1.2, &[Hold::Pinned, Hold::Fixed]), closed);
    // The reference library samples the beam, so its largest values are a shade small.
    near(closed.deflection.to_mm(), 1.493899, 1e-5);
    near(
        closed.deflection.to_m(),
        W * 1.2_f64.powi(4) / (185.0 * EI),
        3e-3,
    );
    near(closed.outer_reaction.to_newtons(), 90.0, 1e-12);
    near(closed.inner_reaction.to_newtons(), 150.0, 1e-12);
}

#[test]
fn cantilever() {
    // AISC table 3-23 case 19: wL⁴/8EI, wL²/2.
    let mut frame = Frame::default();
    let root = frame.add_node(Distance::ZERO, Distance::ZERO);
    let tip = frame.add_node(metres(1.2), Distance::ZERO);
    let arm = frame.add_member(Member::rigid(root, tip, section()));
    frame.support(root, Hold::Fixed);
    let loads = Loads::default().uniform(arm, Direction::Across, LineLoad::from_n_per_m(-W));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let closed = uniform(1.2).cantilever().unwrap();
    near(
        -response.movement(tip).unwrap().y.to_m(),
        closed.deflection.to_m(),
        1e-9,
    );
    near(
        response.reactions()[0].moment.to_nm(),
        closed.support_moment.to_nm(),
        1e-9,
    );
    near(
        closed.deflection.to_m(),
        W * 1.2_f64.powi(4) / (8.0 * EI),
        1e-12,
    );
}

#[test]
fn two_equal_spans() {
    // AISC table 3-23, two equal spans (by symmetry a propped beam each). Reference: 45/150/45 N,
    // −9.0 N·m, 0.0933687 mm.
    let closed = uniform(0.6).two_span().unwrap();
    same(
        &beam(0.6, &[Hold::Pinned, Hold::ROLLER_Y, Hold::ROLLER_Y]),
        closed,
    );
    near(closed.deflection.to_mm(), 0.093_368_7, 1e-5);
    near(closed.outer_reaction.to_newtons(), 45.0, 1e-12);
    near(closed.inner_reaction.to_newtons(), 150.0, 1e-12);
    near(closed.support_moment.to_nm(), 9.0, 1e-12);
}

#[test]
fn three_equal_spans() {
    // AISC table 3-23, three equal spans: 0.4, 1.1, 1.1, 0.4 wl; 0.1wl²; 0.0069wl⁴/EI. Reference:
    // 48/132/132/48 N, −7.2 N·m, 0.1186767 mm.
    let closed = uniform(0.6).three_span().unwrap();
    let holds = [Hold::Pinned, Hold::ROLLER_Y, Hold::ROLLER_Y, Hold::ROLLER_Y];
    same(&beam(0.6, &holds), closed);
    near(closed.deflection.to_mm(), 0.118_676_7, 1e-5);
    near(closed.outer_reaction.to_newtons(), 48.0, 1e-12);
    near(closed.inner_reaction.to_newtons(), 132.0, 1e-12);
    near(closed.support_moment.to_nm(), 7.2, 1e-12);
}

/// A beam of length `span` on two supports with one load.
fn on_two_supports(span: f64, pattern: Pattern) -> Response {
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(span), Distance::ZERO);
    frame.add_member(Member::rigid(0, 1, section()));
    frame.support(0, Hold::Pinned);
    frame.support(1, Hold::ROLLER_Y);
    let loads = Loads::default().on_member(0, pattern);
    frame.factor().unwrap().solve(&loads).unwrap()
}

#[test]
fn point_load_off_the_middle() {
    // AISC table 3-23 case 8: Pb(L² − b²)^1.5 / (9√3 LEI) at √((L² − b²)/3) from the far end
    // (b < a), Pab/L under the load.
    let (p, l, a) = (75.0, 1.5, 1.1);
    let b = l - a;
    let response = on_two_supports(
        l,
        Pattern::Point {
            direction: Direction::Y,
            at: metres(a),
            force: Force::from_newtons(-p),
        },
    );
    let beam = response.member(0).unwrap();
    let sag = beam.deflection(Direction::Across).lowest;
    let square = l * l - b * b;
    near(
        -sag.value.to_m(),
        p * b * square.powf(1.5) / (9.0 * 3.0_f64.sqrt() * l * EI),
        1e-9,
    );
    near(sag.at.to_m(), (square / 3.0).sqrt(), 1e-7);
    near(beam.moment().highest.value.to_nm(), p * a * b / l, 1e-9);
    near(beam.moment().highest.at.to_m(), a, 1e-12);
    // The share of the near support up to the load, and what the far one carries behind it.
    let shear = |at: f64| beam.shear_at(metres(at)).to_newtons();
    near(shear(0.4), p * b / l, 1e-9);
    near(shear(1.3), -p * a / l, 1e-9);
    // Slope at a support: Pab(L + b)/6LEI at the near one, clockwise.
    let turns: Vec<f64> = response
        .movements()
        .iter()
        .map(|m| m.turn.unwrap().to_rad())
        .collect();
    near(turns[0], -p * a * b * (l + b) / (6.0 * l * EI), 1e-9);
    near(turns[1], p * a * b * (l + a) / (6.0 * l * EI), 1e-9);
}

#[test]
fn load_rising_to_one_end() {
    // AISC table 3-23 case 2: 0.01304WL³/EI at 0.5193L, 0.1283WL at 0.5774L, W/3 and 2W/3.
    let l = 1.5;
    let response = on_two_supports(
        l,
        Pattern::Linear {
            direction: Direction::Y,
            from: Distance::ZERO,
            to: metres(l),
            load_from: LineLoad::ZERO,
            load_to: LineLoad::from_n_per_m(-W),
        },
    );
    let whole = W * l / 2.0;
    let beam = response.member(0).unwrap();
    let sag = beam.deflection(Direction::Y).lowest;
    near(-sag.value.to_m(), 0.01304 * whole * l * l * l / EI, 5e-4);
    near(sag.at.to_m(), 0.5193 * l, 1e-4);
    let moment = beam.moment().highest;
    near(
        moment.value.to_nm(),
        whole * l * 2.0 / (9.0 * 3.0_f64.sqrt()),
        1e-9,
    );
    near(moment.at.to_m(), l / 3.0_f64.sqrt(), 1e-7);
    near(response.reactions()[0].y.to_newtons(), whole / 3.0, 1e-9);
    near(
        response.reactions()[1].y.to_newtons(),
        whole * 2.0 / 3.0,
        1e-9,
    );
}

#[test]
fn load_on_one_part_of_the_span() {
    // AISC table 3-23 case 5: load w over the length a from one end: R₁ = wa(2L − a)/2L,
    // M = R₁²/2w.
    let (l, a) = (1.5, 0.6);
    let response = on_two_supports(
        l,
        Pattern::Linear {
            direction: Direction::Y,
            from: Distance::ZERO,
            to: metres(a),
            load_from: LineLoad::from_n_per_m(-W),
            load_to: LineLoad::from_n_per_m(-W),
        },
    );
    let r1 = W * a * (2.0 * l - a) / (2.0 * l);
    near(response.reactions()[0].y.to_newtons(), r1, 1e-9);
    let moment = response.member(0).unwrap().moment().highest;
    near(moment.value.to_nm(), r1 * r1 / (2.0 * W), 1e-9);
    near(moment.at.to_m(), r1 / W, 1e-7);
}

#[test]
fn moment_at_one_spot() {
    // Roark, table of straight beams, intermediate moment, hinged ends: the shear is M/L all
    // along, the moment jumps by M.
    let (l, a, m) = (1.5, 0.5, 12.0);
    let response = on_two_supports(
        l,
        Pattern::Turn {
            at: metres(a),
            moment: Moment::from_nm(m),
        },
    );
    let beam = response.member(0).unwrap();
    near(response.reactions()[0].y.to_newtons(), m / l, 1e-9);
    near(beam.moment().highest.value.to_nm(), m * a / l, 1e-9);
    near(beam.moment().lowest.value.to_nm(), -m * (1.0 - a / l), 1e-9);
    // Deflection under the moment: M a (L − a)(L − 2a)/3EIL, from the same table.
    near(
        beam.deflection_at(metres(a), Direction::Y).to_m().abs(),
        m * a * (l - a) * (l - 2.0 * a) / (3.0 * EI * l),
        1e-9,
    );
}

#[test]
fn ends_on_springs() {
    // By slope-deflection: the end turns wL³/24EI − ML/2EI = M/k, so M = wL²/12 / (1 + 2EI/kL).
    let (l, k) = (1.2, 900.0);
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(l), Distance::ZERO);
    let spring = End::Spring(RotationalStiffness::from_nm_per_rad(k));
    frame.add_member(Member {
        start: spring,
        end: spring,
        ..Member::rigid(0, 1, section())
    });
    frame.support(0, Hold::Fixed);
    frame.support(1, Hold::Fixed);
    let loads = Loads::default().uniform(0, Direction::Y, LineLoad::from_n_per_m(-W));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let m = W * l * l / 12.0 / (1.0 + 2.0 * EI / (k * l));
    let beam = response.member(0).unwrap();
    near(beam.start_forces().moment.to_nm(), m, 1e-9);
    let sag = 5.0 * W * l.powi(4) / (384.0 * EI) - m * l * l / (8.0 * EI);
    near(-beam.bow().lowest.value.to_m(), sag, 1e-9);
}

#[test]
fn half_a_beam_cut_at_its_symmetry() {
    // The middle of a built-in beam neither turns nor shifts along: half of it on a guided
    // support must show the whole beam's wL⁴/384EI.
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(0.6), Distance::ZERO);
    frame.add_member(Member::rigid(0, 1, section()));
    frame.support(0, Hold::Fixed);
    frame.support(1, Hold::Guided(Axis::X));
    let loads = Loads::default().uniform(0, Direction::Y, LineLoad::from_n_per_m(-W));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    near(
        -response.movement(1).unwrap().y.to_m(),
        W * 1.2_f64.powi(4) / (384.0 * EI),
        1e-9,
    );
}

#[test]
fn bar_pulled_along_by_its_own_load() {
    // A hanging bar under a load p along it: N = p(L − x), stretch pL²/2EA.
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(Distance::ZERO, metres(-2.0));
    frame.add_member(Member::rigid(0, 1, section()));
    frame.support(0, Hold::Fixed);
    let loads = Loads::default().uniform(0, Direction::Y, LineLoad::from_n_per_m(-W));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let bar = response.member(0).unwrap();
    near(bar.axial().highest.value.to_newtons(), 2.0 * W, 1e-12);
    near(bar.axial_at(metres(0.5)).to_newtons(), 1.5 * W, 1e-12);
    let ea = 11e9 * 810e-6;
    near(
        -response.movement(1).unwrap().y.to_m(),
        W * 4.0 / (2.0 * ea),
        1e-12,
    );
    near(
        -bar.deflection_at(metres(1.0), Direction::Y).to_m(),
        W * (2.0 - 0.5) / ea,
        1e-12,
    );
}

/// A pull that is the same all along is told where the bar starts, not somewhere on it.
#[test]
fn the_first_of_equal_spots_is_told() {
    let mut frame = Frame::default();
    let held = frame.add_node(Distance::ZERO, Distance::ZERO);
    let pulled = frame.add_node(metres(2.0), Distance::ZERO);
    let bar = frame.add_member(Member::rigid(held, pulled, section()));
    frame.support(held, Hold::Fixed);
    let loads = Loads::default().force(pulled, Force::from_newtons(50.0), Force::ZERO);
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let axial = response.member(bar).unwrap().axial();
    assert_eq!(axial.lowest.at, Distance::ZERO);
    assert_eq!(axial.highest.at, Distance::ZERO);
    near(axial.highest.value.to_newtons(), 50.0, 1e-12);
}

#[test]
fn truss_of_three_bars() {
    // Two pinned bars at 45° under a load P at the top: P/√2 each, sink P L/(EA) with L = √2 h
    // (2 × (P/√2)² L/2EA = Pδ/2).
    let mut frame = Frame::default();
    frame.add_node(metres(-1.0), Distance::ZERO);
    frame.add_node(metres(1.0), Distance::ZERO);
    frame.add_node(Distance::ZERO, metres(1.0));
    frame.add_member(Member::pinned(0, 2, section()));
    frame.add_member(Member::pinned(2, 1, section()));
    frame.support(0, Hold::Pinned);
    frame.support(1, Hold::Pinned);
    let loads = Loads::default().force(2, Force::ZERO, Force::from_newtons(-100.0));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    for bar in response.members() {
        near(
            -bar.axial_at(Distance::ZERO).to_newtons(),
            100.0 / 2.0_f64.sqrt(),
            1e-12,
        );
    }
    let top = response.movement(2).unwrap();
    near(
        -top.y.to_m(),
        100.0 * 2.0_f64.sqrt() / (11e9 * 810e-6),
        1e-12,
    );
    assert_eq!(top.turn, None);
}

#[test]
fn roller_on_a_slope() {
    // A beam with a load P at its middle on a pin and a roller that holds along 60°: the roller
    // pushes R along its axis, R sin 60° = P/2, so R cos 60° = P/(2 tan 60°) sideways.
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(1.0), Distance::ZERO);
    frame.add_member(Member::rigid(0, 1, section()));
    frame.support(0, Hold::Pinned);
    frame.support(1, Hold::Roller(Axis::At(Angle::from_degrees(60.0))));
    let loads = Loads::default().on_member(
        0,
        Pattern::Point {
            direction: Direction::Y,
            at: metres(0.5),
            force: Force::from_newtons(-100.0),
        },
    );
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let roller = response.reactions()[1];
    near(roller.y.to_newtons(), 50.0, 1e-9);
    near(roller.x.to_newtons(), 50.0 / 3.0_f64.sqrt(), 1e-9);
}

/// A section whose area is so large that shortening does not count, as in the closed formulas.
fn inextensible() -> Section {
    Section {
        area: Area::from_m2(10.0),
        ..section()
    }
}

fn closed_rectangle(w: f64, h: f64) -> ClosedRectangle {
    ClosedRectangle {
        modulus: E,
        width: metres(w),
        height: metres(h),
        width_inertia: section().inertia,
        height_inertia: section().inertia,
    }
}

#[test]
fn closed_rectangle_pressed_inward() {
    // Roark and Kleinlogel carry this case: M = w(W² − WH + H²)/12 for equal bars. Reference
    // values: 16.6667 N·m and 0.3464 mm; 18.6667, 17.3333, −2.6667 N·m, 1.35678 and −0.28377 mm.
    let square = closed_rectangle(1.0, 1.0)
        .pressed_inward(LineLoad::from_n_per_m(W))
        .unwrap();
    near(square.corner_moment.to_nm(), 16.6667, 3e-6);
    near(square.width_deflection.to_mm(), 0.3464, 1e-4);
    let oblong = closed_rectangle(1.2, 0.8)
        .pressed_inward(LineLoad::from_n_per_m(W))
        .unwrap();
    near(oblong.corner_moment.to_nm(), 18.6667, 3e-6);
    near(oblong.width_moment.to_nm(), 17.3333, 3e-6);
    near(oblong.height_moment.to_nm(), -2.66667, 3e-6);
    near(oblong.width_deflection.to_mm(), 1.35678, 3e-6);
    near(oblong.height_deflection.to_mm(), -0.28377, 3e-5);
}

#[test]
fn closed_rectangle_by_the_solver() {
    // Unequal bars, to check the general k = I/L form as well; a quarter is enough by symmetry.
    let (w, h) = (1.2, 0.8);
    let mut closed = closed_rectangle(w, h);
    closed.height_inertia = section().inertia * 3.0;
    let expected = closed.pressed_inward(LineLoad::from_n_per_m(W)).unwrap();
    let mut frame = Frame::default();
    frame.add_node(metres(w / 2.0), Distance::ZERO);
    frame.add_node(metres(w), Distance::ZERO);
    frame.add_node(metres(w), metres(h / 2.0));
    frame.add_member(Member::rigid(0, 1, inextensible()));
    let upright = Section {
        inertia: closed.height_inertia,
        ..inextensible()
    };
    frame.add_member(Member::rigid(1, 2, upright));
    frame.support(0, Hold::Guided(Axis::X));
    frame.support(2, Hold::Guided(Axis::Y));
    let inward = LineLoad::from_n_per_m(W);
    let loads = Loads::default()
        .uniform(0, Direction::Across, inward)
        .uniform(1, Direction::Across, inward);
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    // The area of 10 m² leaves A L²/I = 10⁸: shortening is a millionth.
    let share = 1e-5;
    near(
        response.movement(0).unwrap().y.to_m(),
        expected.width_deflection.to_m(),
        share,
    );
    near(
        -response.movement(2).unwrap().x.to_m(),
        expected.height_deflection.to_m(),
        share,
    );
    let corner = response
        .member(0)
        .unwrap()
        .end_forces()
        .moment
        .to_nm()
        .abs();
    near(corner, expected.corner_moment.to_nm(), share);
}

#[test]
fn racking_of_a_closed_rectangle() {
    // Reference closed form: F H²(H + W)/24EI = 0.354713 mm for 10 N on 1.2 × 0.8 m.
    let sway = closed_rectangle(1.2, 0.8)
        .racking(Force::from_newtons(10.0))
        .unwrap();
    near(sway.to_mm(), 0.354713, 3e-6);
}

#[test]
fn portals_swaying() {
    // Kleinlogel's portal frame, force along the beam, both kinds of feet.
    let (span, height) = (1.4, 0.9);
    for feet in [Hold::Fixed, Hold::Pinned] {
        let mut frame = Frame::default();
        for (x, y) in [(0.0, 0.0), (0.0, height), (span, height), (span, 0.0)] {
            frame.add_node(metres(x), metres(y));
        }
        let beam = Section {
            inertia: section().inertia * 2.0,
            ..inextensible()
        };
        frame.add_member(Member::rigid(0, 1, inextensible()));
        frame.add_member(Member::rigid(1, 2, beam));
        frame.add_member(Member::rigid(2, 3, inextensible()));
        frame.support(0, feet);
        frame.support(3, feet);
        let force = Force::from_newtons(10.0);
        // Half at each head, so that the beam carries no axial force.
        let loads =
            Loads::default()
                .force(1, force / 2.0, Force::ZERO)
                .force(2, force / 2.0, Force::ZERO);
        let response = frame.factor().unwrap().solve(&loads).unwrap();
        let portal = Portal {
            modulus: E,
            span: metres(span),
            height: metres(height),
            beam_inertia: beam.inertia,
            column_inertia: section().inertia,
        };
        let expected = match feet {
            Hold::Fixed => portal.fixed_feet(force).unwrap(),
            _ => portal.hinged_feet(force).unwrap(),
        };
        let share = 1e-5;
        near(
            response.movement(1).unwrap().x.to_m(),
            expected.sway.to_m(),
            share,
        );
        let column = response.member(0).unwrap();
        near(
            column.end_forces().moment.to_nm().abs(),
            expected.head_moment.to_nm(),
            share,
        );
        near(
            column.start_forces().moment.to_nm().abs() + 1.0,
            expected.foot_moment.to_nm() + 1.0,
            share,
        );
    }
}

#[test]
fn euler_loads() {
    // Reference: 3709.892 N about the weak axis, 23 186.824 N about the strong one, at 0.8 m;
    // weak slenderness 154.
    let weak = SecondMoment::from_mm4(21_870.0);
    let load = |inertia, ends| {
        euler_load(E, inertia, metres(0.8), ends)
            .unwrap()
            .to_newtons()
    };
    near(load(weak, ColumnEnds::Pinned), 3709.892, 1e-6);
    near(
        load(section().inertia, ColumnEnds::Pinned),
        23_186.824,
        1e-6,
    );
    near(
        slenderness(metres(0.8), ColumnEnds::Pinned, section().area, weak).unwrap(),
        154.0,
        1e-3,
    );
    // Theoretical effective lengths, Timoshenko and Gere section 2.1: 0.5, 0.699, 1, 2.
    near(
        slenderness(metres(0.8), ColumnEnds::FixedFree, section().area, weak).unwrap(),
        2.0 * 154.0,
        1e-3,
    );
    near(load(weak, ColumnEnds::Fixed), 4.0 * 3709.892, 1e-6);
    near(load(weak, ColumnEnds::FixedFree), 3709.892 / 4.0, 1e-6);
    // 20.19 EI/L², ibid.
    near(
        load(weak, ColumnEnds::FixedPinned),
        20.19 * 11_000.0 * 21_870.0 / 640_000.0,
        1e-4,
    );
    assert_eq!(
        euler_load(E, weak, Distance::ZERO, ColumnEnds::Pinned),
        Err(Error::OutOfRange { what: "length" })
    );
}

#[test]
fn column_braced_at_the_middle() {
    let column = MidBracedColumn {
        modulus: E,
        inertia: section().inertia,
        length: metres(1.6),
    };
    let euler = PI * PI * EI / (1.6 * 1.6);
    let newtons = |k: f64| {
        let brace = Stiffness::from_n_per_m(k);
        column.critical_load(brace).unwrap().to_newtons()
    };
    // No brace: Euler. A stiff one: two half waves, four times as much. In between the energy
    // method's first term, 2kL/π² more for a soft brace (Timoshenko and Gere, section 2.10).
    near(newtons(0.0), euler, 1e-12);
    let full = column.full_brace().unwrap().to_n_per_m();
    // Winter: two column loads over the half length.
    near(full, 2.0 * 4.0 * euler / 0.8, 1e-12);
    near(newtons(full * 1.0001), 4.0 * euler, 1e-9);
    near(newtons(1e30), 4.0 * euler, 1e-12);
    let soft = 1e-4 * full;
    near(newtons(soft) - euler, 2.0 * soft * 1.6 / (PI * PI), 1e-3);
    for share in [0.1, 0.5, 0.9] {
        let load = column
            .critical_load(Stiffness::from_n_per_m(share * full))
            .unwrap();
        near(
            column.brace_for(load).unwrap().to_n_per_m(),
            share * full,
            1e-9,
        );
    }
    assert_eq!(
        column.brace_for(Force::from_newtons(0.9 * euler)),
        Ok(Stiffness::ZERO)
    );
    near(
        column
            .brace_for(Force::from_newtons(4.0 * euler))
            .unwrap()
            .to_n_per_m(),
        full,
        1e-6,
    );
    assert!(column.brace_for(Force::from_newtons(4.01 * euler)).is_err());
    for nonsense in [-1e-9, f64::NAN] {
        assert_eq!(
            column.critical_load(Stiffness::from_n_per_m(nonsense)),
            Err(Error::OutOfRange {
                what: "brace stiffness"
            })
        );
    }
}

#[test]
fn twist_of_a_bar() {
    // 18 × 45 mm, ratio 2.5: J = 0.249 ab³ (Timoshenko and Goodier's table): TL/GJ.
    let bar = RectangularBar::new(Distance::from_mm(18.0), Distance::from_mm(45.0)).unwrap();
    let g = Pressure::from_mpa(690.0);
    let twist = bar.twist(Moment::from_nm(1.0), metres(1.0), g).unwrap();
    near(
        twist.to_rad(),
        1.0 / (690e6 * 0.249 * 0.045 * 0.018_f64.powi(3)),
        3e-3,
    );
    // Ends held, torque qe per length: the middle turns qeL²/8GJ, at 1.2 m from the twist at 1 m.
    let middle = bar
        .middle_twist(
            LineLoad::from_n_per_m(200.0),
            Distance::from_mm(12.0),
            metres(1.2),
            g,
        )
        .unwrap();
    near(middle / twist, 200.0 * 0.012 * 1.2 * 1.2 / 8.0, 1e-12);
    // Saint-Venant's series, (1 − 192b/π⁵a Σ tanh(nπa/2b)/n⁵)/3, to n = 200 001, in Python.
    for (ratio, share) in [(1.0, 0.140_577_014_955_155), (2.5, 0.249_365_074_708_188)] {
        let bar = RectangularBar::new(metres(1.0), metres(ratio)).unwrap();
        near(bar.constant().to_m4(), share * ratio, 1e-13);
    }
    assert_eq!(
        RectangularBar::new(Distance::ZERO, metres(1.0)),
        Err(Error::OutOfRange { what: "side" })
    );
}

/// What the frame answers when factored.
#[track_caller]
fn mechanism(frame: &Frame, node: usize, degrees: f64) {
    match frame.factor() {
        Err(Error::Mechanism {
            node: found,
            direction: angle,
        }) => {
            assert_eq!(found, node);
            assert!((angle.to_degrees() - degrees).abs() < 1e-6, "{angle:?}");
        }
        other => panic!("{:?}", other.map(|_| "factored")),
    }
}

#[test]
fn mechanisms_name_the_node_that_moves() {
    // A hinge in a straight line between two pins moves across.
    let mut frame = Frame::default();
    for x in [0.0, 1.0, 2.0] {
        frame.add_node(metres(x), metres(0.5 * x));
    }
    frame.add_member(Member::pinned(0, 1, section()));
    frame.add_member(Member::pinned(1, 2, section()));
    frame.support(0, Hold::Pinned);
    frame.support(2, Hold::Pinned);
    let slope = 0.5_f64.atan().to_degrees();
    mechanism(&frame, 1, slope + 90.0);

    // A beam on rollers alone slides along.
    frame.members = vec![Member::rigid(0, 2, section())];
    frame.nodes[2].y = Distance::ZERO;
    frame.nodes.swap_remove(1);
    frame.members[0].to = 1;
    frame.supports.clear();
    frame.support(0, Hold::ROLLER_Y);
    frame.support(1, Hold::ROLLER_Y);
    match frame.factor() {
        Err(Error::Mechanism {
            direction: angle, ..
        }) => {
            assert!(angle.to_degrees().abs() < 1e-6);
        }
        other => panic!("{:?}", other.map(|_| "factored")),
    }

    // A beam on one pin swings: its far end moves across.
    frame.supports.clear();
    frame.support(0, Hold::Pinned);
    mechanism(&frame, 1, 90.0);

    // A node without members, in an otherwise sound frame.
    frame.support(1, Hold::ROLLER_Y);
    let loose = frame.add_node(metres(5.0), metres(5.0));
    match frame.factor() {
        Err(Error::Mechanism { node, .. }) => assert_eq!(node, loose),
        other => panic!("{:?}", other.map(|_| "factored")),
    }
}

#[test]
fn a_strut_on_a_hinge_swings() {
    // Two pinned bars hold their joint; a third, rigid on the joint alone, swings with it.
    let mut frame = Frame::default();
    for (x, y) in [(0.0, 0.0), (1.0, 0.7), (2.0, 0.0), (1.0, 1.7)] {
        frame.add_node(metres(x), metres(y));
    }
    frame.add_member(Member::pinned(0, 1, section()));
    frame.add_member(Member::pinned(1, 2, section()));
    frame.add_member(Member::rigid(1, 3, section()));
    frame.support(0, Hold::Pinned);
    frame.support(2, Hold::Pinned);
    mechanism(&frame, 3, 0.0);
    // Holding its tip sideways stops it.
    frame.support(3, Hold::ROLLER_X);
    assert!(frame.factor().is_ok());
}

#[test]
fn faults_of_frames_and_loads_are_typed() {
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(1.0), Distance::ZERO);
    frame.add_member(Member::rigid(0, 1, section()));
    frame.support(0, Hold::Fixed);
    let with = |change: &dyn Fn(&mut Frame)| {
        let mut frame = frame.clone();
        change(&mut frame);
        frame.factor().map(|_| ()).unwrap_err()
    };
    assert_eq!(
        with(&|f| f.nodes[1].x = metres(f64::NAN)),
        Error::NodeOutOfRange { node: 1 }
    );
    assert_eq!(
        with(&|f| f.nodes[1].x = metres(1.1e6)),
        Error::NodeOutOfRange { node: 1 }
    );
    assert_eq!(
        with(&|f| f.nodes[1].x = Distance::ZERO),
        Error::MemberTooShort { member: 0 }
    );
    assert_eq!(
        with(&|f| f.members[0].to = 7),
        Error::NoSuchNode { node: 7 }
    );
    assert_eq!(
        with(&|f| f.support(9, Hold::Fixed)),
        Error::NoSuchNode { node: 9 }
    );
    assert_eq!(
        with(&|f| f.support(0, Hold::Pinned)),
        Error::SupportedTwice { node: 0 }
    );
    assert_eq!(
        with(&|f| f.members[0].section.inertia = SecondMoment::ZERO).to_string(),
        "member 0: second moment of area must be 1e-20 to 1e6 m⁴"
    );
    assert_eq!(
        with(&|f| f.members[0].end = End::Spring(RotationalStiffness::from_nm_per_rad(-1.0))),
        Error::SpringOutOfRange { member: 0 }
    );
    assert_eq!(
        with(&|f| f.support(1, Hold::Roller(Axis::At(Angle::from_rad(f64::NAN))))),
        Error::SupportAngle { node: 1 }
    );

    let factored = frame.factor().unwrap();
    let refused = |loads: Loads| factored.solve(&loads).map(|_| ()).unwrap_err();
    let newton = Force::from_newtons(1.0);
    assert_eq!(
        refused(Loads::default().force(2, newton, newton)),
        Error::NoSuchNode { node: 2 }
    );
    assert_eq!(
        refused(Loads::default().force(1, Force::from_newtons(f64::INFINITY), newton)),
        Error::NodeLoadOutOfRange { load: 0 }
    );
    assert_eq!(
        refused(Loads::default().uniform(3, Direction::Y, LineLoad::ZERO)),
        Error::NoSuchMember { member: 3 }
    );
    assert_eq!(
        refused(Loads::default().uniform(0, Direction::Y, LineLoad::from_n_per_m(f64::NAN))),
        Error::MemberLoadOutOfRange { load: 0 }
    );
    let beyond = Pattern::Turn {
        at: metres(1.1),
        moment: Moment::ZERO,
    };
    assert_eq!(
        refused(Loads::default().on_member(0, beyond)),
        Error::LoadOffMember { load: 0 }
    );
    let response = factored.solve(&Loads::default()).unwrap();
    assert!(response.member(1).is_err() && response.movement(2).is_err());

    let mut hinged = frame.clone();
    hinged.members[0].end = End::Pinned;
    hinged.supports[0].hold = Hold::Fixed;
    let moment = Loads::default().moment(1, Moment::from_nm(1.0));
    assert_eq!(
        hinged.factor().unwrap().solve(&moment).map(|_| ()),
        Err(Error::MomentOnHinge { node: 1 })
    );
}

/// A cantilever of 1.2 m whose root is held by a spring alone, N·m/rad.
fn on_a_root_spring(k: f64) -> Frame {
    let mut frame = Frame::default();
    frame.add_node(Distance::ZERO, Distance::ZERO);
    frame.add_node(metres(1.2), Distance::ZERO);
    frame.add_member(Member {
        start: End::Spring(RotationalStiffness::from_nm_per_rad(k)),
        ..Member::rigid(0, 1, section())
    });
    frame.support(0, Hold::Fixed);
    frame
}

#[test]
fn soft_is_not_loose() {
    // A spring so soft that a pivot comes to a billionth of the stiffness around it still holds:
    // Pl²/k + Pl³/3EI. Without it the beam falls.
    let (k, force) = (1e-5, 1e-7);
    let loads = Loads::default().force(1, Force::ZERO, Force::from_newtons(force));
    let response = on_a_root_spring(k).factor().unwrap().solve(&loads).unwrap();
    let sway = force * (1.44 / k + 1.728 / (3.0 * EI));
    // Nine of the sixteen digits go into the ratio of the stiffnesses.
    near(response.movement(1).unwrap().y.to_m(), sway, 1e-6);
    mechanism(&on_a_root_spring(0.0), 1, 90.0);
}

#[test]
fn what_cannot_be_balanced_is_refused() {
    // Softer still, and end moments are differences beyond the last digit of a double: rather
    // no answer than one that is out of balance.
    let loads = Loads::default().force(1, Force::ZERO, Force::from_newtons(1e-9));
    let factored = on_a_root_spring(1e-7).factor().unwrap();
    assert_eq!(
        factored.solve(&loads).map(|_| ()),
        Err(Error::IllConditioned { node: 1 })
    );
}

#[test]
fn long_chains_keep_their_digits() {
    // A cantilever in 100 pieces: Pl³/3EI.
    let mut frame = Frame::default();
    for i in 0..=100_u32 {
        let node = frame.add_node(metres(0.05 * f64::from(i)), metres(0.03 * f64::from(i)));
        if node > 0 {
            frame.add_member(Member::rigid(node, node - 1, section()));
        }
    }
    frame.support(0, Hold::Fixed);
    let (x, y) = (5.0, 3.0);
    let length = f64::hypot(x, y);
    let across = 10.0;
    let force = |part: f64| Force::from_newtons(across * part / length);
    let loads = Loads::default().force(100, force(-y), force(x));
    let response = frame.factor().unwrap().solve(&loads).unwrap();
    let tip = response.movement(100).unwrap();
    let moved = (tip.y.to_m() * x - tip.x.to_m() * y) / length;
    near(moved, across * length.powi(3) / (3.0 * EI), 1e-7);
}
