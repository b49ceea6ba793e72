//! The second form: nodes, members, supports and loads as they are.

use quantity::physics::{Angle, Area, Distance, Force, LineLoad, Moment, Pressure, SecondMoment};
use serde_json::{Value, json};
use statics::{
    Axis, Direction, EndForces, Error, Extremes, Frame, Hold, Loads, Member, MemberResponse,
    NodeLoad, Pattern, Reaction, Response, Section, SectionPart,
};

use crate::reading::{Fault, Object, pair};

/// Reads, solves, prints.
pub(crate) fn answer(case: &Object<'_>) -> Result<Value, Fault> {
    case.only(&["nodes", "members", "supports", "loads", "result"])?;
    let frame = frame(case)?;
    let loads = loads(case, &frame)?;
    let response = frame
        .factor()
        .and_then(|factored| factored.solve(&loads.loads))
        .map_err(|error| loads.place(error))?;
    Ok(report(&response))
}

fn frame(case: &Object<'_>) -> Result<Frame, Fault> {
    let mut frame = Frame::default();
    case.needed("nodes")?;
    for (i, node) in case.list("nodes")?.iter().enumerate() {
        let [x, y] = pair(node, &format!("nodes[{i}]"))?;
        frame.add_node(Distance::from_m(x), Distance::from_m(y));
    }
    case.needed("members")?;
    for member in case.objects("members")? {
        frame.add_member(read_member(&member, frame.nodes.len())?);
    }
    for support in case.objects("supports")? {
        support.only(&["node", "hold", "angle_deg"])?;
        let angle = support.number_or("angle_deg", 90.0)?;
        let axis = match angle {
            0.0 => Axis::X,
            90.0 => Axis::Y,
            _ => Axis::At(Angle::from_degrees(angle)),
        };
        let hold = match support.text("hold")? {
            "fixed" => Hold::Fixed,
            "pinned" => Hold::Pinned,
            "roller" => Hold::Roller(axis),
            "guided" => Hold::Guided(axis),
            _ => return Err(support.fault("hold", "must be fixed, pinned, roller or guided")),
        };
        frame.support(support.index("node", frame.nodes.len())?, hold);
    }
    Ok(frame)
}

fn read_member(member: &Object<'_>, nodes: usize) -> Result<Member, Fault> {
    member.only(&[
        "from",
        "to",
        "E_MPa",
        "section_mm",
        "A_mm2",
        "I_mm4",
        "start",
        "end",
    ])?;
    let modulus = Pressure::from_mpa(member.positive("E_MPa")?);
    let section = if member.has("section_mm") {
        let [thickness, depth] = member.pair("section_mm")?;
        if !(thickness > 0.0 && depth > 0.0) {
            return Err(member.fault("section_mm", "must be above zero"));
        }
        Section::rectangle(
            modulus,
            Distance::from_mm(thickness),
            Distance::from_mm(depth),
        )
    } else {
        Section {
            modulus,
            area: Area::from_mm2(member.positive("A_mm2")?),
            inertia: SecondMoment::from_mm4(member.positive("I_mm4")?),
        }
    };
    let mut read = Member::rigid(
        member.index("from", nodes)?,
        member.index("to", nodes)?,
        section,
    );
    if member.has("start") {
        read.start = member.end("start")?;
    }
    if member.has("end") {
        read.end = member.end("end")?;
    }
    Ok(read)
}

/// The loads, and which entry of the document each came from.
struct ReadLoads {
    loads: Loads,
    node_entries: Vec<usize>,
    member_entries: Vec<usize>,
}

impl ReadLoads {
    /// Says an error in the document's words.
    fn place(&self, error: Error) -> Fault {
        let field = match error {
            Error::NodeOutOfRange { node } => format!("nodes[{node}]"),
            Error::MemberTooShort { member } => format!("members[{member}].to"),
            Error::SectionOutOfRange { member, part } => {
                let name = match part {
                    SectionPart::Modulus => "E_MPa",
                    SectionPart::Area => "A_mm2",
                    SectionPart::Inertia => "I_mm4",
                };
                format!("members[{member}].{name}")
            }
            Error::SpringOutOfRange { member } => format!("members[{member}].start or end"),
            Error::NodeLoadOutOfRange { load } => format!("loads[{}]", self.node_entries[load]),
            Error::MemberLoadOutOfRange { load } | Error::LoadOffMember { load } => {
                format!("loads[{}]", self.member_entries[load])
            }
            Error::MomentOnHinge { .. } => "loads".into(),
            Error::SupportedTwice { .. } | Error::SupportAngle { .. } | Error::Mechanism { .. } => {
                "supports".into()
            }
            _ => "members".into(),
        };
        Fault(format!("{field}: {error}"))
    }
}

fn loads(case: &Object<'_>, frame: &Frame) -> Result<ReadLoads, Fault> {
    let mut read = ReadLoads {
        loads: Loads::default(),
        node_entries: Vec::new(),
        member_entries: Vec::new(),
    };
    for (entry, load) in case.objects("loads")?.iter().enumerate() {
        if load.has("node") {
            load.only(&["node", "Fx_N", "Fy_N", "M_Nm"])?;
            read.loads.nodes.push(NodeLoad {
                node: load.index("node", frame.nodes.len())?,
                x: Force::from_newtons(load.number_or("Fx_N", 0.0)?),
                y: Force::from_newtons(load.number_or("Fy_N", 0.0)?),
                moment: Moment::from_nm(load.number_or("M_Nm", 0.0)?),
            });
            read.node_entries.push(entry);
        } else {
            let member = load.index("member", frame.members.len())?;
            let pattern = pattern(load, length(frame, member))?;
            read.loads = read.loads.on_member(member, pattern);
            read.member_entries.push(entry);
        }
    }
    Ok(read)
}

fn length(frame: &Frame, member: usize) -> f64 {
    let member = frame.members[member];
    let (a, b) = (frame.nodes[member.from], frame.nodes[member.to]);
    (b.x - a.x).to_m().hypot((b.y - a.y).to_m())
}

fn pattern(load: &Object<'_>, length: f64) -> Result<Pattern, Fault> {
    let direction = || match load.text("direction")? {
        "x" => Ok(Direction::X),
        "y" => Ok(Direction::Y),
        "along" => Ok(Direction::Along),
        "across" => Ok(Direction::Across),
        _ => Err(load.fault("direction", "must be x, y, along or across")),
    };
    let metres = |name| load.number(name).map(Distance::from_m);
    if load.has("M_Nm") {
        load.only(&["member", "M_Nm", "at_m"])?;
        Ok(Pattern::Turn {
            at: metres("at_m")?,
            moment: Moment::from_nm(load.number("M_Nm")?),
        })
    } else if load.has("F_N") {
        load.only(&["member", "direction", "F_N", "at_m"])?;
        Ok(Pattern::Point {
            direction: direction()?,
            at: metres("at_m")?,
            force: Force::from_newtons(load.number("F_N")?),
        })
    } else {
        load.only(&["member", "direction", "q_N_per_m", "from_m", "to_m"])?;
        let [first, last] = if load.needed("q_N_per_m")?.is_array() {
            load.pair("q_N_per_m")?
        } else {
            [load.number("q_N_per_m")?; 2]
        };
        Ok(Pattern::Linear {
            direction: direction()?,
            from: Distance::from_m(load.number_or("from_m", 0.0)?),
            to: Distance::from_m(load.number_or("to_m", length)?),
            load_from: LineLoad::from_n_per_m(first),
            load_to: LineLoad::from_n_per_m(last),
        })
    }
}

fn report(response: &Response) -> Value {
    let nodes: Vec<Value> = response
        .movements()
        .iter()
        .map(|m| json!({"x_mm": m.x.to_mm(), "y_mm": m.y.to_mm(), "turn_rad": m.turn.map(|t| t.to_rad())}))
        .collect();
    let members: Vec<Value> = response.members().map(report_member).collect();
    let reactions: Vec<Value> = response.reactions().iter().map(report_reaction).collect();
    json!({"nodes": nodes, "members": members, "reactions": reactions})
}

fn report_member(member: MemberResponse<'_>) -> Value {
    json!({
        "start": ends(member.start_forces()),
        "end": ends(member.end_forces()),
        "deflection_across_mm": extremes(member.deflection(Direction::Across), Distance::to_mm),
        "bow_mm": extremes(member.bow(), Distance::to_mm),
        "moment_Nm": extremes(member.moment(), Moment::to_nm),
        "shear_N": extremes(member.shear(), Force::to_newtons),
        "axial_N": extremes(member.axial(), Force::to_newtons),
    })
}

fn ends(forces: EndForces) -> Value {
    json!({
        "along_N": forces.along.to_newtons(),
        "across_N": forces.across.to_newtons(),
        "moment_Nm": forces.moment.to_nm(),
    })
}

fn extremes<T: Copy>(of: Extremes<T>, unit: impl Fn(T) -> f64) -> Value {
    json!({
        "lowest": unit(of.lowest.value),
        "lowest_at_m": of.lowest.at.to_m(),
        "highest": unit(of.highest.value),
        "highest_at_m": of.highest.at.to_m(),
    })
}

fn report_reaction(reaction: &Reaction) -> Value {
    json!({
        "node": reaction.node,
        "x_N": reaction.x.to_newtons(),
        "y_N": reaction.y.to_newtons(),
        "moment_Nm": reaction.moment.to_nm(),
    })
}
