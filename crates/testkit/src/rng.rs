//! Random numbers that are the same for the same seed on every machine.

/// SplitMix64 (Steele, Lea, Flood 2014, "Fast splittable pseudorandom number generators").
#[derive(Clone, Debug)]
pub struct Rng(u64);

impl Rng {
    /// A generator that starts at this seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 up to, but not including, `below`; 0 if there is none.
    pub fn below(&mut self, below: usize) -> usize {
        let below = u64::try_from(below).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.bits() % below).unwrap_or(0)
    }

    /// A number from `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        let span = u64::try_from(most - least + 1).unwrap_or(1).max(1);
        least + i64::try_from(self.bits() % span).unwrap_or(0)
    }

    /// Heads or tails.
    pub fn flip(&mut self) -> bool {
        self.bits() & 1 == 1
    }

    /// One of them; nothing if there are none.
    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> Option<&'a T> {
        of.get(self.below(of.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs for the seed 1234567, from memory of the reference implementation's test
    /// vectors (prng.di.unimi.it, splitmix64.c).
    #[test]
    fn the_reference_vector_comes_out() {
        let mut rng = Rng::new(1_234_567);
        assert_eq!(
            [rng.bits(), rng.bits(), rng.bits()],
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn numbers_stay_in_their_range() {
        let mut rng = Rng::new(7);
        assert!((0..1_000).all(|_| (3..=9).contains(&rng.between(3, 9))));
        assert!((0..1_000).all(|_| rng.below(4) < 4));
        assert_eq!(rng.pick::<u8>(&[]), None);
    }
}
