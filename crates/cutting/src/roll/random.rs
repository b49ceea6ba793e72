//! Deterministic random numbers.

/// Marsaglia's xorshift64 (Journal of Statistical Software 8:14, 2003; shifts 13, 7, 17).
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    /// From a seed; zero is replaced, since xorshift stays there.
    pub(super) const fn new(seed: u64) -> Self {
        Self(if seed == 0 {
            0x9E37_79B9_7F4A_7C15
        } else {
            seed
        })
    }

    /// The next number.
    pub(super) const fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// A number below `n`, zero if `n` is zero; the slight bias does not matter to a search.
    pub(super) fn below(&mut self, n: usize) -> usize {
        let n = n as u64;
        if n == 0 {
            0
        } else {
            usize::try_from((self.next() >> 11) % n).unwrap_or(0)
        }
    }
}
