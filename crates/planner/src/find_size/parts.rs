//! Groups in the trade's own shapes: a pair, a triptych, a row.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec;
use alloc::vec::Vec;

use quantity::{Length, Rounding};

use super::asked::Group;
use super::{Finder, Sides};
use crate::figure::{Figure, Given};
use crate::formulas as f;

impl Finder<'_> {
    /// The canvases of a group from its outside size.
    pub(super) fn group(&mut self) -> Option<Sides> {
        let shape: Given<Group> = self.r.choice("group");
        let width = self.r.length_needed("total_width");
        let height = self.r.length_needed("total_height");
        let (gap, n) = (self.r.length("gap"), self.r.count("in_row"));
        let (total, height) = (width?, height?);
        let parts = match shape.value {
            Group::Pair => 2,
            Group::Triptych | Group::Wings => 3,
            Group::Row => i64::from(n.value.max(1)),
        };
        let free = total.value - gap.value * (parts - 1);
        let part = |of: i64, formula| {
            let mut inputs = vec![total.input(), gap.input()];
            if shape.value == Group::Row {
                inputs.push(n.input());
            }
            self.to_type(Figure::new(
                Length::from_nm(free.as_nm() / of),
                formula,
                inputs,
            ))
        };
        // Left to right. A centre and two wings of half its width: four halves.
        let widths: Vec<Figure<Length>> = match shape.value {
            Group::Wings => {
                let wing = part(4, &f::TRIPTYCH_WING);
                vec![wing.clone(), part(2, &f::TRIPTYCH_CENTRE), wing]
            }
            _ => (0..parts).map(|_| part(parts, &f::PART_OF_ROW)).collect(),
        };
        let height = Figure::new(height.value, &f::KNOWN_SIDE, vec![height.input()]);
        let height = self.to_type(height);
        let all = widths
            .into_iter()
            .enumerate()
            .map(|(i, width)| (name(shape.value, i, parts), width, height.clone()))
            .collect();
        self.notes.push(
            "Cut all their cloth from one roll, with the warp upright in each, so that the weave runs through the group: adding them sets “Weave” under Stretch to that, unless it is chosen already. Where two rolls are to buy, see that theirs is one.".to_string(),
        );
        Some(Sides {
            all,
            rounding: Some(Rounding::Down),
            texts: [None, None],
        })
    }
}

/// The name of the n-th canvas from the left.
fn name(shape: Group, n: usize, parts: i64) -> String {
    let place = ["left", "centre", "right"];
    match shape {
        Group::Pair => format!("Pair, {}", place[if n == 0 { 0 } else { 2 }]),
        Group::Triptych | Group::Wings => format!("Triptych, {}", place[n.min(2)]),
        Group::Row => format!("Row, {} of {parts}", n + 1),
    }
}
