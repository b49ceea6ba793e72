//! Answers one frame from standard input: `cargo run -q --release -p statics --example frame < case.json`
//!
//! Prints `{"result": {…}}`. On bad input it prints a message that names the field and ends with
//! exit code 2. Two forms are read; which one is told by the first key.
//!
//! # A rectangle of bars
//!
//! ```json
//! {"inputs": {
//!   "W": 1.2, "H": 0.8,
//!   "E_MPa": 11000,
//!   "sections": {"bar": [18, 45], "cross": [18, 45], "brace": [9, 30]},
//!   "corner": "rigid",
//!   "q_N_per_m": 200,
//!   "vertical_bars": [0.6], "horizontal_bars": [], "cross_joint": "hinged",
//!   "brace_leg": 0.15
//! }}
//! ```
//!
//! * `W`, `H`: width and height between the bars' centrelines, m.
//! * `E_MPa`: modulus of elasticity, MPa.
//! * `sections`: thickness square to the frame's plane and depth in it, mm; `cross` and `brace`
//!   are needed only where such members are.
//! * `corner`: `"rigid"`, `"hinged"` (both ends of the two W bars), or a number: a spring there,
//!   N·m/rad.
//! * `q_N_per_m`: load on all four outer bars towards the inside, N/m.
//! * `vertical_bars`, `horizontal_bars`: where cross bars stand, m from the left and from the
//!   bottom; `cross_joint`: `"rigid"`, `"hinged"` or a spring, between cross bar and outer bar.
//!   Cross bars that meet each other are joined rigidly.
//! * `brace_leg`: a pinned brace across each corner at 45°, this far from it, m.
//! * `load`: text such as `"F=10 N in +x at top-left corner; bottom-left pinned, bottom-right on
//!   a roller"`: racking. Without it the middle of each W bar is held along x and that of each H
//!   bar along y.
//!
//! Optional ones may be left out or null. `derived` and `EI_bar_Nm2` are allowed and not read;
//! any other name is refused.
//!
//! The result has, in mm, m, N·m and N: the largest inward deflection of W and H bars (of two
//! alike bars the one that moves farther; negative is outward; the first spot where it occurs)
//! and that at their middles, moments at corners (size only) and middles (positive when bent
//! inward), the largest moment anywhere, axial forces (compression positive) at the middles, in
//! each stretch of each cross bar, and in the brace that carries most. Racking gives instead how
//! far the loaded corner goes, the force in the brace at the bottom left corner, and the largest
//! moment.
//!
//! # Any frame
//!
//! ```json
//! {
//!   "nodes": [[0, 0], [0, 2.5], [4, 2.5], [4, 0]],
//!   "members": [
//!     {"from": 0, "to": 1, "E_MPa": 11000, "section_mm": [45, 95]},
//!     {"from": 1, "to": 2, "E_MPa": 11000, "A_mm2": 4275, "I_mm4": 3215156},
//!     {"from": 2, "to": 3, "E_MPa": 11000, "section_mm": [45, 95], "end": "hinged"}
//!   ],
//!   "supports": [{"node": 0, "hold": "fixed"}, {"node": 3, "hold": "roller", "angle_deg": 90}],
//!   "loads": [
//!     {"node": 1, "Fx_N": 100, "Fy_N": 0, "M_Nm": 0},
//!     {"member": 1, "direction": "y", "q_N_per_m": -200},
//!     {"member": 0, "direction": "across", "q_N_per_m": [0, 50], "from_m": 0.5, "to_m": 2},
//!     {"member": 1, "direction": "y", "F_N": -75, "at_m": 1},
//!     {"member": 1, "M_Nm": 12, "at_m": 3}
//!   ]
//! }
//! ```
//!
//! * `nodes`: x to the right and y up, m. Everything else names nodes and members by their
//!   place in these lists, from zero.
//! * `members`: thickness and depth as `section_mm`, or `A_mm2` and `I_mm4`; `start` and `end`
//!   are `"rigid"` when left out, `"hinged"`, or a spring in N·m/rad.
//! * `supports`: `"fixed"`, `"pinned"`, `"roller"` (holds along `angle_deg` from the x axis, 90
//!   when left out, and is free to turn) or `"guided"` (the same, and held against turning).
//! * `loads`: on nodes, or on members in direction `"x"`, `"y"`, `"along"` or `"across"` (a
//!   quarter turn anticlockwise from along); a pair as `q_N_per_m` changes from the one to the
//!   other between `from_m` and `to_m`, which are the member's ends when left out. Moments are
//!   anticlockwise.
//!
//! The result lists nodes (`x_mm`, `y_mm`, `turn_rad`, null where all members are hinged), members
//! (forces of the nodes on each end, and lowest and highest deflection across, bow off the line
//! between the moved ends, moment, shear, and axial force with tension positive, each with its
//! spot in m from the start) and reactions.

mod answer;
mod any_frame;
mod reading;
mod rectangle;

use std::io::Read;
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut text = String::new();
    if let Err(fault) = std::io::stdin().read_to_string(&mut text) {
        eprintln!("standard input: {fault}");
        return ExitCode::from(2);
    }
    match answer::answer(&text) {
        Ok(result) => {
            println!("{result:#}");
            ExitCode::SUCCESS
        }
        Err(fault) => {
            eprintln!("{fault}");
            ExitCode::from(2)
        }
    }
}
