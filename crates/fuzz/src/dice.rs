//! Random numbers that are the same everywhere (SplitMix64, Steele, Lea and Flood 2014, from
//! memory; its quality does not matter here).

/// A stream of random numbers.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// The stream with this number.
    #[must_use]
    pub const fn new(number: u64) -> Self {
        Self(number)
    }

    /// The next number.
    pub const fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `n`; zero if there is none.
    pub const fn below(&mut self, n: usize) -> usize {
        if n == 0 {
            0
        } else {
            (self.roll() % n as u64) as usize
        }
    }

    /// True once in `n` times.
    pub const fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    /// One of these.
    ///
    /// # Panics
    ///
    /// Where there is none.
    pub fn pick<'a, T: ?Sized>(&mut self, from: &[&'a T]) -> &'a T {
        from[self.below(from.len())]
    }

    /// From `min` to `max`, in a thousand steps.
    pub fn between(&mut self, min: f64, max: f64) -> f64 {
        min + (max - min) * self.below(1001) as f64 / 1000.0
    }
}
