//! Seeded random numbers, the same on every machine.

/// The generator `splitmix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014): whole numbers only, so no platform can differ.
#[derive(Clone, Debug)]
pub(super) struct Random {
    state: u64,
}

impl Random {
    /// A stream of its own for every pair of seed and lane.
    pub(super) fn new(seed: u64, lane: u64) -> Self {
        let mut own = Self { state: seed };
        let mixed = own.next();
        Self { state: mixed ^ lane.wrapping_mul(0xD1B5_4A32_D192_ED03) }
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From 0, never 1.
    pub(super) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Between two bounds.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number below `count`; 0 where there is none.
    pub(super) fn below(&mut self, count: usize) -> usize {
        (self.next() % (count.max(1) as u64)) as usize
    }

    /// One of a list.
    pub(super) fn one_of<T: Copy>(&mut self, list: &[T]) -> Option<T> {
        list.get(self.below(list.len())).copied()
    }

    /// Puts a list in a random order.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stream_is_that_of_the_published_generator() {
        // First three values of splitmix64 from the state 1234567, as printed with the reference
        // code in C (S. Vigna, public domain).
        let mut random = Random { state: 1_234_567 };
        let first: Vec<u64> = (0..3).map(|_| random.next()).collect();
        assert_eq!(
            first,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn a_shuffle_keeps_every_member() {
        let mut list: Vec<usize> = (0..50).collect();
        let mut random = Random::new(1, 0);
        random.shuffle(&mut list);
        assert_ne!(list, (0..50).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..50).collect::<Vec<_>>());
    }
}
