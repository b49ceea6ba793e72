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
    for start in (0..items.len() / 2).rev() {
        sift(items, start, &before);
    }
    for end in (1..items.len()).rev() {
        items.swap(0, end);
        sift(&mut items[..end], 0, &before);
    }
}

/// Sorts upwards.
pub fn sort<T: Ord>(items: &mut [T]) {
    sort_by(items, |a, b| a < b);
}

/// Lets an element sink until no child comes after it.
fn sift<T>(items: &mut [T], mut at: usize, before: &impl Fn(&T, &T) -> bool) {
    loop {
        let mut child = 2 * at + 1;
        if child >= items.len() {
            return;
        }
        if child + 1 < items.len() && before(&items[child], &items[child + 1]) {
            child += 1;
        }
        if !before(&items[at], &items[child]) {
            return;
        }
        items.swap(at, child);
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
