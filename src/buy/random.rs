//! Drawn numbers that anybody can draw again.
//!
//! The generator is SplitMix64 (G. L. Steele, D. Lea and C. H. Flood, "Fast splittable
//! pseudorandom number generators", OOPSLA 2014): a counter that moves by the golden ratio, put
//! through a mixing function. Because the counter can be set anywhere, every draw has a stream of
//! its own that follows from seed and number alone, whoever draws it and in what order.

/// 2^64 over the golden ratio, made odd: the step of the counter.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// One stream of drawn numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stream {
    state: u64,
}

impl Stream {
    /// The stream of a seed.
    #[must_use]
    pub const fn of_seed(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The stream of one draw: it starts where the `number`th output of the seed's own stream
    /// says. Streams are places on one cycle of 2^64; two of a million, of a hundred numbers each,
    /// meet with a chance below 1e-5.
    #[must_use]
    pub const fn of_draw(seed: u64, number: u64) -> Self {
        Self { state: mixed(seed.wrapping_add(STEP.wrapping_mul(number.wrapping_add(1)))) }
    }

    /// The next 64 bits.
    pub const fn next_bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(STEP);
        mixed(self.state)
    }

    /// The next number from 0 up to, and without, 1.
    #[allow(clippy::cast_precision_loss, reason = "53 bits are what a number holds exactly")]
    pub const fn next_share(&mut self) -> f64 {
        (self.next_bits() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

const fn mixed(counter: u64) -> u64 {
    let mut bits = counter;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

/// A triangular distribution: nothing below `low` or above `high`, most at `likely`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Triangle {
    /// The least.
    pub low: f64,
    /// The commonest.
    pub likely: f64,
    /// The greatest.
    pub high: f64,
}

impl Triangle {
    /// The value below which the share `p` of all draws lies (inverse of the distribution
    /// function).
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        let Self { low, likely, high } = *self;
        let width = high - low;
        if width <= 0.0 {
            return likely;
        }
        let p = p.clamp(0.0, 1.0);
        if p * width <= likely - low {
            low + (p * width * (likely - low)).sqrt()
        } else {
            high - ((1.0 - p) * width * (high - likely)).sqrt()
        }
    }

    /// Symmetric about 0, with 95 % of all draws within `half_width` either way: how a tolerance
    /// of 95 % is drawn. The ends are at `half_width` / (1 - sqrt 0.05).
    #[must_use]
    pub fn of_tolerance(half_width: f64) -> Self {
        let end = half_width / (1.0 - 0.05_f64.sqrt());
        Self { low: -end, likely: 0.0, high: end }
    }

    /// Whether it is three finite figures that never fall.
    #[must_use]
    pub const fn is_whole(&self) -> bool {
        self.low.is_finite()
            && self.high.is_finite()
            && self.low <= self.likely
            && self.likely <= self.high
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn the_generator_gives_the_published_numbers() {
        // First five outputs for seed 1234567, as the reference implementation gives them
        // (Rosetta Code, "Pseudo-random numbers/Splitmix64").
        let mut stream = Stream::of_seed(1_234_567);
        assert_eq!(
            [(); 5].map(|()| stream.next_bits()),
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
        // The second example there: 100,000 shares of seed 987654321, in five equal bins.
        let mut stream = Stream::of_seed(987_654_321);
        let mut bins = [0_u32; 5];
        for _ in 0..100_000 {
            let share = stream.next_share();
            let bin = [0.2, 0.4, 0.6, 0.8].iter().filter(|edge| share >= **edge).count();
            bins[bin] += 1;
        }
        assert_eq!(bins, [20_027, 19_892, 20_073, 19_978, 20_030]);
    }

    #[test]
    fn a_draw_starts_where_the_seeds_own_stream_says() {
        let mut seeds = Stream::of_seed(42);
        for number in 0..5 {
            assert_eq!(Stream::of_draw(42, number), Stream::of_seed(seeds.next_bits()));
        }
    }

    #[test]
    fn a_triangle_has_its_closed_form() {
        // Distribution function (p - low)^2 / ((high - low)(likely - low)) up to the likely value
        // and 1 - (high - p)^2 / ((high - low)(high - likely)) beyond it.
        let triangle = Triangle { low: 1.1, likely: 1.5, high: 2.0 };
        let distribution = |at: f64| {
            if at <= 1.5 {
                (at - 1.1) * (at - 1.1) / (0.9 * 0.4)
            } else {
                1.0 - (2.0 - at) * (2.0 - at) / (0.9 * 0.5)
            }
        };
        for step in 0..=100 {
            let p = f64::from(step) / 100.0;
            assert_relative_eq!(distribution(triangle.quantile(p)), p, epsilon = 1e-12);
        }
        assert_relative_eq!(triangle.quantile(0.0), 1.1);
        assert_relative_eq!(triangle.quantile(1.0), 2.0);
        let certain = Triangle { low: 3.0, likely: 3.0, high: 3.0 };
        assert_relative_eq!(certain.quantile(0.4), 3.0);
        let leaning = Triangle { low: 0.0, likely: 0.0, high: 1.0 };
        assert_relative_eq!(leaning.quantile(0.75), 0.5);
    }

    #[test]
    fn a_tolerance_holds_95_percent() {
        let triangle = Triangle::of_tolerance(10.0);
        assert_relative_eq!(triangle.quantile(0.975), 10.0, epsilon = 1e-12);
        assert_relative_eq!(triangle.quantile(0.025), -10.0, epsilon = 1e-12);
    }
}
