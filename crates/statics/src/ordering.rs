//! Node numbering for a small profile: reverse Cuthill–McKee.
//!
//! Source: Cuthill and McKee, "Reducing the bandwidth of sparse symmetric matrices", 1969;
//! reversed after George, 1971 (from memory).

use alloc::collections::VecDeque;
use alloc::vec;
use alloc::vec::Vec;
use quantity::order::sort_by;

/// The nodes in the order in which they are to be eliminated.
pub(crate) fn reverse_cuthill_mckee(
    nodes: usize,
    edges: impl Iterator<Item = (usize, usize)> + Clone,
) -> Vec<usize> {
    let neighbours = Neighbours::new(nodes, edges);
    let mut order = Vec::with_capacity(nodes);
    let mut seen = vec![false; nodes];
    for seed in 0..nodes {
        if !seen[seed] {
            let start = neighbours.far_end(seed, &mut order, &mut seen);
            neighbours.walk(start, &mut order, &mut seen);
        }
    }
    order.reverse();
    order
}

/// Who is joined to whom: node n's neighbours are `list[start[n]..start[n + 1]]`.
struct Neighbours {
    start: Vec<usize>,
    list: Vec<usize>,
}

impl Neighbours {
    fn new(nodes: usize, edges: impl Iterator<Item = (usize, usize)> + Clone) -> Self {
        let mut start = vec![0; nodes + 1];
        for (a, b) in edges.clone() {
            start[a + 1] += 1;
            start[b + 1] += 1;
        }
        for n in 0..nodes {
            start[n + 1] += start[n];
        }
        let mut next = start.clone();
        let mut list = vec![0; start[nodes]];
        for (a, b) in edges {
            for (one, other) in [(a, b), (b, a)] {
                list[next[one]] = other;
                next[one] += 1;
            }
        }
        Self { start, list }
    }

    fn degree(&self, node: usize) -> usize {
        self.start[node + 1] - self.start[node]
    }

    /// Walks breadth first from `start`, poorest neighbours first; returns the last node met
    /// and how many steps away it lies.
    fn walk(&self, start: usize, order: &mut Vec<usize>, seen: &mut [bool]) -> (usize, usize) {
        let mut queue = VecDeque::from([(start, 0)]);
        seen[start] = true;
        let mut last = (start, 0);
        while let Some((node, steps)) = queue.pop_front() {
            order.push(node);
            last = (node, steps);
            let first_new = queue.len();
            for &other in &self.list[self.start[node]..self.start[node + 1]] {
                if !seen[other] {
                    seen[other] = true;
                    queue.push_back((other, steps + 1));
                }
            }
            sort_by(&mut queue.make_contiguous()[first_new..], |a, b| {
                (self.degree(a.0), a.0) < (self.degree(b.0), b.0)
            });
        }
        last
    }

    /// A node at the far end of this part of the frame, so that the walk's front stays narrow.
    fn far_end(&self, seed: usize, order: &mut Vec<usize>, seen: &mut [bool]) -> usize {
        let mark = order.len();
        let (mut start, mut reach) = (seed, 0);
        loop {
            let (end, steps) = self.walk(start, order, seen);
            for node in order.drain(mark..) {
                seen[node] = false;
            }
            if steps <= reach {
                return start;
            }
            (start, reach) = (end, steps);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn is_a_permutation(
            nodes in 1_usize..30,
            raw in prop::collection::vec((0_usize..30, 0_usize..30), 0..60),
        ) {
            let edges = raw.iter().map(|(a, b)| (a % nodes, b % nodes));
            let mut order = reverse_cuthill_mckee(nodes, edges);
            order.sort_unstable();
            prop_assert_eq!(order, (0..nodes).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_shuffled_chain_comes_out_in_line() {
        // 3–0–4–1–2: neighbours in the chain must be neighbours in the order.
        let chain = [3, 0, 4, 1, 2];
        let edges = chain.windows(2).map(|w| (w[0], w[1]));
        let order = reverse_cuthill_mckee(5, edges);
        assert!(order == chain || order.iter().rev().eq(chain.iter()));
    }
}
