//! Random numbers that are the same everywhere, by a small generator from the literature
//! (SplitMix64, Steele, Lea and Flood 2014; constants from memory, any mixing would do here).

/// The generator.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        // Stirred once, or neighbouring seeds would walk the same path some steps apart.
        Self(Self(seed ^ 0x5151_5151_5151_5151).next())
    }

    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`; 0 for 0.
    pub fn below(&mut self, n: usize) -> usize {
        let n64 = u64::try_from(n).unwrap_or(u64::MAX);
        if n64 == 0 { 0 } else { usize::try_from(self.next() % n64).unwrap_or(0) }
    }

    /// True once in `n` times.
    pub fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    /// A number from 0 to 1.
    pub fn unit(&mut self) -> f32 {
        let steps = u16::try_from(self.next() % 10_001).unwrap_or(0);
        f32::from(steps) / 10_000.0
    }

    /// One of them.
    pub fn of<T: Clone>(&mut self, all: &[T]) -> Option<T> {
        all.get(self.below(all.len())).cloned()
    }
}
