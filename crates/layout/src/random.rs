//! A small seeded generator of random numbers, the same on every machine (SplitMix64, Steele, Lea
//! and Flood, "Fast splittable pseudorandom number generators", 2014).

/// The generator.
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Any 64 bits.
    pub(crate) fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`; zero when there is none. The bias for ends far below 2^64 does not
    /// matter to a search.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        let product = u128::from(self.bits()) * end as u128;
        usize::try_from(product >> 64).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_sequence() {
        // First outputs for the seed 1234567 of the reference C code (splitmix64.c), from memory.
        let mut random = Random::new(1_234_567);
        assert_eq!(random.bits(), 6_457_827_717_110_365_317);
        assert_eq!(random.bits(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn numbers_stay_below_the_end_and_reach_all() {
        let mut random = Random::new(7);
        let mut seen = [0; 5];
        for _ in 0..1000 {
            seen[random.below(5)] += 1;
        }
        assert!(seen.iter().all(|&count| count > 100));
        assert_eq!(random.below(0), 0);
    }
}
