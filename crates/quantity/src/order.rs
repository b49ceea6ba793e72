//! One small sort for every crate of the page: the standard ones are compiled anew, large, for
//! each type, and came to half of what the cutting engine added to the page.
//!
//! ```
//! use quantity::order::sort_by;
//! let mut words = ["rod", "heel", "toe"];
//! sort_by(&mut words, |a, b| a.len() > b.len());
//! assert_eq!(words[0], "heel");
//! ```

/// Sorts by a strict order, in place, in n log n steps; equal elements end up in any, but always the same, order (heap sort).
pub fn sort_by<T>(items: &mut [T], before: impl Fn(&T, &T) -> bool) {
    let len = items.len();
    heap_sort(&mut Items { items, before }, len);
}

/// Sorts upwards.
pub fn sort<T: Ord>(items: &mut [T]) {
    sort_by(items, |a, b| a < b);
}

/// All that the sort asks of a list, by places: so its loops are compiled once, not for each type.
trait List {
    fn before(&self, a: usize, b: usize) -> bool;
    fn swap(&mut self, a: usize, b: usize);
}

struct Items<'a, T, F> {
    items: &'a mut [T],
    before: F,
}

impl<T, F: Fn(&T, &T) -> bool> List for Items<'_, T, F> {
    fn before(&self, a: usize, b: usize) -> bool {
        (self.before)(&self.items[a], &self.items[b])
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.items.swap(a, b);
    }
}

fn heap_sort(list: &mut dyn List, len: usize) {
    for start in (0..len / 2).rev() {
        sift(list, start, len);
    }
    for end in (1..len).rev() {
        list.swap(0, end);
        sift(list, 0, end);
    }
}

/// Lets an element sink until no child comes after it.
fn sift(list: &mut dyn List, mut at: usize, len: usize) {
    loop {
        let mut child = 2 * at + 1;
        if child >= len {
            return;
        }
        if child + 1 < len && list.before(child, child + 1) {
            child += 1;
        }
        if !list.before(at, child) {
            return;
        }
        list.swap(at, child);
        at = child;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use alloc::vec::Vec;

    #[test]
    fn sorts_as_the_standard_library_does() {
        for n in 0..40u64 {
            let mut ours: Vec<u64> = (0..n).map(|i| i * 7919 % 31).collect();
            let mut theirs = ours.clone();
            sort(&mut ours);
            theirs.sort_unstable();
            assert_eq!(ours, theirs);
        }
    }
}
