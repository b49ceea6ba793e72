//! A first plan at once: fill the board that is cheapest for what it then holds, over and over.

use alloc::vec::Vec;

use super::model::{Cell, Model, Pattern, Run};

/// Covers what is left by the cheapest filled board each time, longest pieces first; `used`
/// boards of each bin are gone already.
pub(super) fn first_fit(
    model: &Model,
    mut left: Vec<u32>,
    mut used: Vec<u32>,
) -> Vec<(Pattern, u32)> {
    let mut patterns = Vec::new();
    loop {
        // (price, weight) of the best board so far.
        let mut best: Option<(i64, i64, Pattern)> = None;
        let total: i64 = left
            .iter()
            .zip(&model.items)
            .map(|(&n, item)| i64::from(n) * item.weight)
            .sum();
        for (index, bin) in model.bins.iter().enumerate() {
            if used[index] >= bin.limit {
                continue;
            }
            let mut rest = left.clone();
            let mut cells = Vec::new();
            let mut weight = 0;
            for (run, &capacity) in bin.runs.iter().enumerate() {
                weight += fill_run(model, capacity, run, &mut rest, &mut cells);
            }
            if weight == 0 {
                continue;
            }
            let better = best.as_ref().is_none_or(|(price, filled, _)| {
                let (here, there) = (
                    i128::from(bin.price) * i128::from(*filled),
                    i128::from(*price) * i128::from(weight),
                );
                // At the end what counts is the price alone.
                let (all, before) = (weight == total, *filled == total);
                match (all, before) {
                    (true, true) => bin.price < *price,
                    _ => here < there || (here == there && weight > *filled),
                }
            });
            if better {
                let bin = u16::try_from(index).unwrap_or(u16::MAX);
                best = Some((model.bins[index].price, weight, Pattern { bin, cells }));
            }
        }
        let Some((_, _, pattern)) = best else {
            return patterns;
        };
        let bin = usize::from(pattern.bin);
        let times = times(&pattern, &left, model.bins[bin].limit - used[bin]);
        used[bin] += times;
        for cell in &pattern.cells {
            left[usize::from(cell.item)] -= cell.count * times;
        }
        patterns.push((pattern, times));
    }
}

/// How often a pattern can be cut from what is left, at least once.
fn times(pattern: &Pattern, left: &[u32], limit: u32) -> u32 {
    let mut need: Vec<(u16, u32)> = Vec::new();
    for cell in &pattern.cells {
        match need.iter_mut().find(|n| n.0 == cell.item) {
            Some(n) => n.1 += cell.count,
            None => need.push((cell.item, cell.count)),
        }
    }
    need.iter()
        .map(|&(item, count)| left[usize::from(item)] / count.max(1))
        .min()
        .unwrap_or(1)
        .min(limit)
        .max(1)
}

/// Longest pieces first into one run; returns the weight placed.
fn fill_run(model: &Model, run: Run, index: usize, left: &mut [u32], cells: &mut Vec<Cell>) -> i64 {
    let (mut weight, mut nested) = (0, false);
    for (i, item) in model.items.iter().enumerate() {
        let room = run.capacity(nested || item.nested) - weight;
        if left[i] == 0 || item.weight > room {
            continue;
        }
        let count = u32::try_from(room / item.weight)
            .unwrap_or(u32::MAX)
            .min(left[i]);
        left[i] -= count;
        weight += item.weight * i64::from(count);
        nested |= item.nested;
        cells.push(Cell {
            run: u16::try_from(index).unwrap_or(u16::MAX),
            item: u16::try_from(i).unwrap_or(u16::MAX),
            count,
        });
    }
    weight
}
