//! How fast does a size grow, and how well is that known?
//!
//! Least squares of a straight line through sizes over time, with its interval by Student's t
//! (textbook; for the t distribution with whole degrees of freedom Abramowitz and Stegun 26.7.3 and
//! 26.7.4, published). Three readings that happen to lie on a line have no scatter, yet each was only
//! read to within its error: the interval is never narrower than those errors make it. Times in
//! years, sizes in mm.

use std::f64::consts::PI;

/// Half-width of a known normal error at 95 % in standard deviations.
const NORMAL_95: f64 = 1.959_964;

/// A straight line through readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// mm a year.
    pub slope: f64,
    /// Size at time 0, mm.
    pub at_zero: f64,
    /// Standard deviation of the readings about the line, mm.
    pub scatter: f64,
    /// Sum of squares of the times about their mean, years squared.
    pub spread: f64,
    /// Degrees of freedom left: readings less two.
    pub freedom: usize,
}

/// A rate with its interval at 95 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// mm a year.
    pub per_year: f64,
    /// Lower end, mm a year.
    pub low: f64,
    /// Upper end, mm a year.
    pub high: f64,
    /// The interval comes from the scatter of the readings; else from what each may be off.
    pub by_scatter: bool,
    /// Readings it rests on.
    pub readings: usize,
}

/// The line of least squares; none with fewer than three readings or all at one time.
#[must_use]
pub fn least_squares(readings: &[(f64, f64)]) -> Option<Fit> {
    let count = readings.len();
    let freedom = count.checked_sub(2).filter(|free| *free > 0)?;
    let mean = |of: fn(&(f64, f64)) -> f64| readings.iter().map(of).sum::<f64>() / count as f64;
    let (x_mean, y_mean) = (mean(|one| one.0), mean(|one| one.1));
    let spread: f64 = readings.iter().map(|(x, _)| (x - x_mean).powi(2)).sum();
    if spread <= 0.0 {
        return None;
    }
    let together: f64 = readings.iter().map(|(x, y)| (x - x_mean) * (y - y_mean)).sum();
    let slope = together / spread;
    let at_zero = y_mean - slope * x_mean;
    let squares: f64 = readings.iter().map(|(x, y)| (y - at_zero - slope * x).powi(2)).sum();
    let scatter = (squares / freedom as f64).sqrt();
    Some(Fit { slope, at_zero, scatter, spread, freedom })
}

impl Fit {
    /// Half-width at 95 % of the slope by the scatter alone, mm a year.
    #[must_use]
    pub fn by_scatter(&self) -> f64 {
        student_95(self.freedom) * self.scatter / self.spread.sqrt()
    }
}

/// The rate of readings that are each off by `error` at 95 %, mm.
#[must_use]
pub fn rate(readings: &[(f64, f64)], error: f64) -> Option<Rate> {
    let fit = least_squares(readings)?;
    // An error of 95 % is 1.96 deviations, and so is the interval: they cancel.
    let by_error = error / fit.spread.sqrt();
    let by_scatter = fit.by_scatter();
    let half = by_scatter.max(by_error);
    Some(Rate {
        per_year: fit.slope,
        low: fit.slope - half,
        high: fit.slope + half,
        by_scatter: by_scatter >= by_error,
        readings: readings.len(),
    })
}

/// Between plus and minus this lie 95 % of Student's t with so many degrees of freedom.
#[must_use]
pub fn student_95(freedom: usize) -> f64 {
    if freedom == 0 {
        return f64::INFINITY;
    }
    // Far beyond any number of surveys the two agree to six figures.
    if freedom > 1_000_000 {
        return NORMAL_95;
    }
    let (mut low, mut high) = (0.0, 20.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if share_within(middle, freedom) < 0.95 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Share of Student's t between minus and plus `t`.
fn share_within(t: f64, freedom: usize) -> f64 {
    let angle = (t / (freedom as f64).sqrt()).atan();
    let (sin, cos) = angle.sin_cos();
    let odd = freedom % 2 == 1;
    // Odd: cos + 2/3 cos^3 + (2 4)/(3 5) cos^5 ...; even: 1 + 1/2 cos^2 + (1 3)/(2 4) cos^4 ...
    let (mut term, mut next) = if odd { (cos, 3) } else { (1.0, 2) };
    let mut sum = if freedom == 1 { 0.0 } else { term };
    let last = freedom.saturating_sub(2);
    while next <= last {
        term *= cos * cos * (next as f64 - 1.0) / next as f64;
        sum += term;
        next += 2;
    }
    if odd { 2.0 / PI * (angle + sin * sum) } else { sin * sum }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two-sided 95 % points: NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2, and
    /// Abramowitz and Stegun, table 26.10; three decimals.
    #[test]
    fn quantiles_are_those_of_published_tables() {
        let table = [
            (1, 12.706),
            (2, 4.303),
            (3, 3.182),
            (4, 2.776),
            (5, 2.571),
            (6, 2.447),
            (7, 2.365),
            (8, 2.306),
            (9, 2.262),
            (10, 2.228),
            (15, 2.131),
            (20, 2.086),
            (25, 2.060),
            (30, 2.042),
            (40, 2.021),
            (60, 2.000),
            (120, 1.980),
        ];
        for (freedom, quantile) in table {
            let found = student_95(freedom);
            assert!((found - quantile).abs() < 6e-4, "{freedom}: {found}, table {quantile}");
        }
        assert!((student_95(100_000) - 1.960).abs() < 6e-4);
    }

    /// Five points worked by hand: x 0 1 2 3 4, y 2 4 5 4 5: slope 0.6, s2 2.4 / 3, Sxx 10.
    #[test]
    fn a_line_worked_by_hand() {
        let readings = [(0.0, 2.0), (1.0, 4.0), (2.0, 5.0), (3.0, 4.0), (4.0, 5.0)];
        let fit = least_squares(&readings).unwrap();
        assert!((fit.slope - 0.6).abs() < 1e-12 && (fit.at_zero - 2.8).abs() < 1e-12);
        assert!((fit.scatter - 0.8_f64.sqrt()).abs() < 1e-12);
        assert!((fit.by_scatter() - 3.182_446 * (0.8_f64 / 10.0).sqrt()).abs() < 1e-5);
    }

    #[test]
    fn readings_on_a_line_are_no_better_known_than_each_was_read() {
        let found = rate(&[(0.0, 95.0), (1.0, 95.0), (2.0, 95.0)], 10.0).unwrap();
        assert!(!found.by_scatter && found.per_year.abs() < 1e-12);
        // 10 mm over the root of Sxx = 2.
        assert!((found.high - 10.0 / 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(rate(&[(0.0, 95.0), (1.0, 95.0)], 10.0), None);
        assert_eq!(rate(&[(1.0, 95.0), (1.0, 96.0), (1.0, 97.0)], 10.0), None);
    }
}
