//! What the opened marks of many jobs say of the growth of others.
//!
//! The estimator is that of [`super::learnt`]: a normal mean of logarithms of found over seen with
//! known spread, the book's likely factor counting as so many marks. With n marks and a book worth w
//! the mean is (w ln book + sum of logs) / (w + n), and its own spread is s / sqrt(w + n) where that
//! of one more mark is s sqrt(1 + 1 / (w + n)): few marks stay near the book.

use std::collections::BTreeSet;

use super::change::rate::student_95;
use super::learnt::factors;
use crate::quantity::Cases;
use crate::rules::{Book, id};

/// What one opened mark says: its rule of growth and its ratio, see [`super::learnt::ratio`].
#[derive(Debug, Clone, PartialEq)]
pub struct Find {
    /// Number of its job.
    pub job: usize,
    /// The rule.
    pub rule: &'static str,
    /// Found over seen.
    pub ratio: f64,
}

/// What all jobs say of one rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Pooled {
    /// The rule.
    pub rule: &'static str,
    /// Marks opened.
    pub marks: usize,
    /// Jobs they are from.
    pub jobs: usize,
    /// The book's factors.
    pub before: Cases<f64>,
    /// The factors for one more mark.
    pub after: Cases<f64>,
    /// Where the likely factor itself lies, by the book's own spread.
    pub likely_within: (f64, f64),
    /// The marks alone: their geometric mean, and its interval at 95 % by Student's t from two on.
    pub alone: (f64, Option<(f64, f64)>),
}

/// What all finds together say, by rule in the order of the book.
#[must_use]
pub fn pooled(book: &Book, finds: &[Find]) -> Vec<Pooled> {
    let worth = book.figure(id::GROWTH_PRIOR_WORTH);
    let rules = id::ALL.iter().filter(|rule| finds.iter().any(|find| find.rule == **rule));
    rules
        .map(|rule| {
            let here: Vec<&Find> = finds.iter().filter(|find| find.rule == *rule).collect();
            let ratios: Vec<f64> = here.iter().map(|find| find.ratio).collect();
            let jobs: BTreeSet<usize> = here.iter().map(|find| find.job).collect();
            let before = book.cases(rule);
            let after = factors(before, &ratios, worth);
            Pooled {
                rule,
                marks: here.len(),
                jobs: jobs.len(),
                before,
                after,
                likely_within: likely_within(before, &ratios, worth),
                alone: alone(&ratios),
            }
        })
        .collect()
}

/// Where the likely factor lies: as far off the middle as the book's low and high are, for the mean
/// instead of one more mark.
#[must_use]
pub fn likely_within(book: Cases<f64>, ratios: &[f64], worth: f64) -> (f64, f64) {
    let logs: f64 = ratios.iter().map(|ratio| ratio.max(1.0).ln()).sum();
    let known = worth + ratios.len() as f64;
    let middle = (worth * book.likely.ln() + logs) / known;
    let narrower = ((1.0 / known) / (1.0 + 1.0 / worth)).sqrt();
    let end = |figure: f64| (middle + (figure / book.likely).ln() * narrower).max(0.0).exp();
    (end(book.low), end(book.high))
}

fn alone(ratios: &[f64]) -> (f64, Option<(f64, f64)>) {
    let logs: Vec<f64> = ratios.iter().map(|ratio| ratio.max(1.0).ln()).collect();
    let count = logs.len() as f64;
    let mean = logs.iter().sum::<f64>() / count;
    let interval = (logs.len() > 1).then(|| {
        let squares: f64 = logs.iter().map(|log| (log - mean).powi(2)).sum();
        let half = student_95(logs.len() - 1) * (squares / (count - 1.0) / count).sqrt();
        ((mean - half).exp(), (mean + half).exp())
    });
    (mean.exp(), interval)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(job: usize, ratio: f64) -> Find {
        Find { job, rule: id::GROW_GEL_CRACK, ratio }
    }

    #[test]
    fn marks_and_jobs_are_counted_and_few_stay_near_the_book() {
        let book = Book::built_in();
        let found = pooled(&book, &[find(0, 2.0), find(0, 2.0), find(3, 2.0)]);
        let [one] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!((one.marks, one.jobs), (3, 2));
        // (1.35^4 x 2^3)^(1/7), by hand: 1.598.
        assert!((one.after.likely - (1.35_f64.powi(4) * 8.0).powf(1.0 / 7.0)).abs() < 1e-12);
        assert!(one.likely_within.0 < one.after.likely && one.after.likely < one.likely_within.1);
        assert!((one.alone.0 - 2.0).abs() < 1e-12);
    }

    #[test]
    fn many_marks_leave_the_likely_factor_well_known() {
        let book = Book::built_in();
        let many: Vec<Find> = (0..4000).map(|job| find(job, 2.0)).collect();
        let found = pooled(&book, &many);
        let (low, high) = found[0].likely_within;
        assert!(low > 1.98 && high < 2.02, "{low} {high}");
    }

    #[test]
    fn no_find_no_rule() {
        assert!(pooled(&Book::built_in(), &[]).is_empty());
    }
}
