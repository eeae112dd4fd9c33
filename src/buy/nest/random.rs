//! Seeded random numbers, the same on every machine.

use crate::buy::random::Stream;

/// A stream of whole numbers, so that no platform can differ, and what is drawn from it.
#[derive(Clone, Debug)]
pub(super) struct Random {
    stream: Stream,
}

impl Random {
    /// A stream of its own for every pair of seed and lane.
    pub(super) fn new(seed: u64, lane: u64) -> Self {
        let mixed = Stream::of_seed(seed).next_bits();
        Self { stream: Stream::of_seed(mixed ^ lane.wrapping_mul(0xD1B5_4A32_D192_ED03)) }
    }

    fn next(&mut self) -> u64 {
        self.stream.next_bits()
    }

    /// From 0, never 1.
    pub(super) fn unit(&mut self) -> f64 {
        self.stream.next_share()
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
    fn a_shuffle_keeps_every_member() {
        let mut list: Vec<usize> = (0..50).collect();
        let mut random = Random::new(1, 0);
        random.shuffle(&mut list);
        assert_ne!(list, (0..50).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..50).collect::<Vec<_>>());
    }
}
