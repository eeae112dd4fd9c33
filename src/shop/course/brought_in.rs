//! A cold vehicle brought into a warm room: how long before its panels may be worked on?
//!
//! A lump that starts at one temperature in air of another is there after
//! tau ln((air - start)/(air - target)) (textbook: lumped heat capacity). The quick and the slow
//! panel of [`super::Lags`] bound it; who can lays a thermometer on the panel.

use super::Lags;

/// Hours until a panel has come to a temperature: the bare skin, and the whole vehicle behind it.
pub type Span = [f64; 2];

/// How long a panel takes from one temperature to another in still air, h; 0 when it is there;
/// none when air that is no warmer never brings it there.
#[must_use]
pub fn until(panel_c: f64, air_c: f64, target_c: f64, lags: &Lags) -> Option<Span> {
    if panel_c >= target_c {
        return Some([0.0; 2]);
    }
    let there = air_c - target_c;
    if there <= 0.0 || !(panel_c.is_finite() && air_c.is_finite()) {
        return None;
    }
    let lags_of = ((air_c - panel_c) / there).ln();
    Some([lags.quick_h * lags_of, lags.slow_h * lags_of])
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAGS: Lags = Lags { quick_h: 0.2, slow_h: 6.0 };

    /// Against the textbook: after one lag 1/e of the difference is left.
    #[test]
    fn one_lag_leaves_one_over_e() {
        let target_c = 20.0 - 16.0 / std::f64::consts::E;
        let [quick, slow] = until(4.0, 20.0, target_c, &LAGS).unwrap();
        assert!((quick - 0.2).abs() < 1e-12 && (slow - 6.0).abs() < 1e-12);
    }

    #[test]
    fn air_that_is_no_warmer_never_brings_it_there() {
        assert_eq!(until(4.0, 15.0, 15.0, &LAGS), None);
        assert_eq!(until(4.0, 12.0, 15.0, &LAGS), None);
        assert_eq!(until(16.0, 12.0, 15.0, &LAGS), Some([0.0; 2]));
    }
}
