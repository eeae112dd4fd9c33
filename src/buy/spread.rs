//! How a need is spread over many draws, and what the spread comes from.

use super::Exclusion;

/// What a need is drawn over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// How far a repair grows under the grinder, by its place in the list of repairs.
    Growth(usize),
    /// Error of the tape at all repairs.
    Tape,
    /// How much resin mat takes in these hands.
    ResinTaken,
    /// Resin lost in cups and tools.
    ResinLost,
    /// Mat lost beside the pieces.
    MatLost,
}

/// How much of a spread is due to one factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driver {
    /// The factor.
    pub factor: Factor,
    /// Share of the variance that goes when the factor is fixed at its likely value and all else is
    /// drawn as before. Shares need not add up to 1: factors multiply, and marks may grow alike.
    pub share: f64,
}

/// Values of one need in every draw, from the least to the greatest.
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    sorted: Vec<f64>,
}

impl Distribution {
    /// Of values in any order.
    #[must_use]
    pub fn of(mut values: Vec<f64>) -> Self {
        values.sort_by(f64::total_cmp);
        Self { sorted: values }
    }

    /// The mean; 0 without a value.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.sorted.iter().sum::<f64>() / count(self.sorted.len().max(1))
    }

    /// The variance, by n - 1; 0 for fewer than two values.
    #[must_use]
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        let squares: f64 = self.sorted.iter().map(|value| (value - mean) * (value - mean)).sum();
        squares / count(self.sorted.len().saturating_sub(1).max(1))
    }

    /// The value below which the share `p` lies, straight between neighbours (type 7 of Hyndman
    /// and Fan, *The American Statistician* 50, 1996).
    #[must_use]
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the number of values"
    )]
    pub fn quantile(&self, p: f64) -> f64 {
        let last = self.sorted.len().saturating_sub(1);
        let at = p.clamp(0.0, 1.0) * count(last);
        let below = at.floor() as usize;
        let value = |number: usize| self.sorted.get(number.min(last)).copied().unwrap_or(0.0);
        value(below) + (at - at.floor()) * (value(below + 1) - value(below))
    }

    /// Share of the draws that need no more than this.
    #[must_use]
    pub fn share_within(&self, amount: f64) -> f64 {
        let within = self.sorted.partition_point(|value| *value <= amount);
        count(within) / count(self.sorted.len().max(1))
    }
}

#[allow(clippy::cast_precision_loss, reason = "numbers of draws are far below 2^53")]
pub(super) fn count(number: usize) -> f64 {
    number as f64
}

/// One need over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedSpread {
    /// Its values.
    pub distribution: Distribution,
    /// What its spread comes from, the largest share first; empty where nothing spreads.
    pub drivers: Vec<Driver>,
}

/// All needs of a job over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The seed they were drawn with.
    pub seed: u64,
    /// Laminating resin to order, kg, waste included.
    pub resin_kg: NeedSpread,
    /// Every mat to order, m², waste included, in the order of the mats.
    pub mats_m2: Vec<NeedSpread>,
    /// Marks that no figure here holds.
    pub excludes: Vec<Exclusion>,
    /// Resin and then the mats of every draw, in the order of the draws.
    pub(super) draws: Vec<Vec<f64>>,
}

impl Spread {
    /// How many draws there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.draws.len()
    }

    /// Share of the draws in which everything that was ordered is enough at once: resin in kg and
    /// every mat in m², a mat that is not named counting as none.
    ///
    /// It says nothing of the marks left out.
    #[must_use]
    pub fn share_enough(&self, resin_kg: f64, mats_m2: &[f64]) -> f64 {
        let enough = |draw: &&Vec<f64>| {
            let (resin, mats) =
                draw.split_first().map_or((0.0, &[][..]), |(one, more)| (*one, more));
            let mut mats = mats.iter().enumerate();
            resin <= resin_kg
                && mats.all(|(number, need)| *need <= mats_m2.get(number).copied().unwrap_or(0.0))
        };
        count(self.draws.iter().filter(enough).count()) / count(self.draws.len().max(1))
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn figures_of_five_values_by_hand() {
        let five = Distribution::of(vec![5.0, 1.0, 4.0, 2.0, 3.0]);
        assert_relative_eq!(five.mean(), 3.0);
        assert_relative_eq!(five.variance(), 2.5);
        assert_relative_eq!(five.quantile(0.0), 1.0);
        assert_relative_eq!(five.quantile(0.375), 2.5);
        assert_relative_eq!(five.quantile(1.0), 5.0);
        assert_relative_eq!(five.share_within(3.0), 0.6);
        assert_relative_eq!(five.share_within(0.9), 0.0);
        let none = Distribution::of(Vec::new());
        assert_relative_eq!(none.mean() + none.variance() + none.quantile(0.5), 0.0);
    }
}
