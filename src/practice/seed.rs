//! Numbers that look random and are the same for the same seed.

/// The generator `SplitMix64` (Steele, Lea and Flood 2014).
#[derive(Debug, Clone)]
pub struct SplitMix {
    state: u64,
}

impl SplitMix {
    /// The generator of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        SplitMix { state: seed }
    }

    /// The next number.
    pub fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from zero up to, but not including, `bound`; zero for a bound
    /// of zero. The bias is below one part in 2^40 for any list that fits in
    /// memory here.
    pub fn below(&mut self, bound: usize) -> usize {
        let wide = u128::from(self.next_u64()) * (bound as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// Puts a list into an order of its own.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last + 1);
            list.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_first_numbers() {
        // The reference implementation's output for the seed 1234567.
        let mut generator = SplitMix::new(1_234_567);
        for expected in [
            6_457_827_717_110_365_317_u64,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ] {
            assert_eq!(generator.next_u64(), expected);
        }
    }

    #[test]
    fn a_shuffle_keeps_every_item() {
        let mut list: Vec<usize> = (0..100).collect();
        SplitMix::new(7).shuffle(&mut list);
        assert_ne!(list, (0..100).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..100).collect::<Vec<_>>());
        let mut nothing: [u8; 0] = [];
        SplitMix::new(7).shuffle(&mut nothing);
    }
}
