//! Microseconds per frame against its number of members:
//! `cargo run -q --release -p statics --example frame_bench`
//!
//! A rectangle with cross bars, every bar split where others meet it. For each size the median
//! of many runs: setting up and factoring, one load case, and reading off every member's largest
//! deflection and moment.

use std::hint::black_box;
use std::time::Instant;

use quantity::physics::{Distance, LineLoad, Pressure};
use statics::{Direction, Error, Frame, Hold, Loads, Member, Section};

fn main() -> Result<(), Error> {
    println!("members  factor µs  solve µs  read µs  together µs");
    for bars in [0, 1, 2, 4, 6, 9, 14, 24] {
        let (frame, loads) = ladder(bars);
        let (mut factor, mut solve, mut read) = (Vec::new(), Vec::new(), Vec::new());
        for _ in 0..2001 {
            let start = Instant::now();
            let factored = black_box(&frame).factor()?;
            let factored_at = Instant::now();
            let response = factored.solve(black_box(&loads))?;
            let solved_at = Instant::now();
            for member in response.members() {
                black_box(member.deflection(Direction::Across).largest());
                black_box(member.moment().largest());
            }
            let read_at = Instant::now();
            factor.push(factored_at - start);
            solve.push(solved_at - factored_at);
            read.push(read_at - solved_at);
        }
        let median = |mut times: Vec<std::time::Duration>| {
            times.sort_unstable();
            times[times.len() / 2].as_secs_f64() * 1e6
        };
        let (factor, solve, read) = (median(factor), median(solve), median(read));
        println!(
            "{:7}  {factor:9.1}  {solve:8.1}  {read:7.1}  {:11.1}",
            frame.members.len(),
            factor + solve + read
        );
    }
    Ok(())
}

/// 1.8 × 1.2 m with this many upright cross bars, pressed inward by 200 N/m.
fn ladder(bars: u32) -> (Frame, Loads) {
    let section = Section::rectangle(
        Pressure::from_gpa(11.0),
        Distance::from_mm(18.0),
        Distance::from_mm(45.0),
    );
    let mut frame = Frame::default();
    let mut loads = Loads::default();
    let mut on = |frame: &mut Frame, from, to| {
        let member = frame.add_member(Member::rigid(from, to, section));
        loads.members.push(statics::MemberLoad {
            member,
            pattern: statics::Pattern::Uniform {
                direction: Direction::Across,
                load: LineLoad::from_n_per_m(200.0),
            },
        });
    };
    let mut last = None;
    for i in 0..=bars + 1 {
        let x = Distance::from_m(1.8 * f64::from(i) / f64::from(bars + 1));
        let bottom = frame.add_node(x, Distance::ZERO);
        let top = frame.add_node(x, Distance::from_m(1.2));
        if let Some((b, t)) = last {
            on(&mut frame, b, bottom);
            on(&mut frame, top, t);
        }
        if i == 0 {
            on(&mut frame, top, bottom);
        } else if i == bars + 1 {
            on(&mut frame, bottom, top);
        } else {
            frame.add_member(Member::pinned(bottom, top, section));
        }
        last = Some((bottom, top));
    }
    frame.support(0, Hold::Pinned);
    if let Some((bottom, _)) = last {
        frame.support(bottom, Hold::ROLLER_Y);
    }
    (frame, loads)
}
