//! Where a figure lies along an axis, and which round figures stand on it.

/// A straight scale from figures to places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) start: f64,
    pub(super) end: f64,
}

impl Scale {
    pub(super) fn at(&self, figure: f64) -> f64 {
        let span = (self.to - self.from).max(f64::MIN_POSITIVE);
        self.start + (figure - self.from) / span * (self.end - self.start)
    }

    /// Round figures, at most about `most` of them.
    pub(super) fn ticks(&self, most: f64) -> Vec<f64> {
        let step = round_step((self.to - self.from) / most);
        let first = (self.from / step).ceil() as i64;
        let last = (self.to / step + 1e-9).floor() as i64;
        (first..=last).map(|count| count as f64 * step).collect()
    }
}

/// The next of 1, 2, 5 times a power of ten.
fn round_step(least: f64) -> f64 {
    let least = if least.is_finite() && least > 0.0 { least } else { 1.0 };
    let power = 10_f64.powf(least.log10().floor());
    let found = [1.0, 2.0, 5.0, 10.0].into_iter().find(|step| step * power >= least * 0.999_999);
    found.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_enough() {
        for (least, step) in [(0.3, 0.5), (1.0, 1.0), (3.2, 5.0), (11.0, 20.0), (700.0, 1000.0)] {
            assert!((round_step(least) - step).abs() < 1e-9, "{least}");
        }
        let scale = Scale { from: 0.0, to: 65.0, start: 100.0, end: 700.0 };
        let ticks = scale.ticks(10.0);
        assert_eq!(ticks, vec![0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0]);
        assert!((scale.at(65.0) - 700.0).abs() < 1e-9);
    }
}
