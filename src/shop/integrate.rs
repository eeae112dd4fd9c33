//! Follows one growing quantity (degree of cure) through time, with steps that suit its rate.
//!
//! Classical fourth-order Runge-Kutta. The step is chosen so that the quantity grows by at most
//! about [`LARGEST_GROWTH`] a step; since every slope is zero or more, the result never falls.
//! Times are in whatever unit the rate uses.

/// Largest growth of the quantity aimed at in one step.
pub const LARGEST_GROWTH: f64 = 0.0005;

/// One step from `(t, a)`: the new time and value. Never beyond `end`, never longer than
/// `largest_step`. The rate must be zero or more.
pub fn advance(
    rate: &impl Fn(f64, f64) -> f64,
    (t, a): (f64, f64),
    largest_step: f64,
    end: f64,
) -> (f64, f64) {
    // The rate a full step ahead is looked at too, so that a shop that warms up between two
    // steps does not let the quantity jump.
    let fastest = rate(t, a).max(rate(t + largest_step, a));
    let by_growth = if fastest > 0.0 { LARGEST_GROWTH / fastest } else { largest_step };
    // Far out in time a step shorter than the spacing of numbers would never arrive.
    let step = by_growth.min(largest_step).max(t.abs() * 1.0e-13).min(end - t);
    let k1 = rate(t, a);
    let k2 = rate(t + step / 2.0, a + step / 2.0 * k1);
    let k3 = rate(t + step / 2.0, a + step / 2.0 * k2);
    let k4 = rate(t + step, a + step * k3);
    let grown = (a + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)).min(1.0);
    // `end` is returned as it is: adding the last step could land just beside it.
    let arrived = if step >= end - t { end } else { t + step };
    (arrived, grown.max(a))
}

/// Time at which the quantity reaches `target`, starting at `start` at time zero; none when it
/// has not got there by `horizon`.
pub fn time_to_reach(
    rate: &impl Fn(f64, f64) -> f64,
    start: f64,
    target: f64,
    largest_step: f64,
    horizon: f64,
) -> Option<f64> {
    let (mut t, mut a) = (0.0, start);
    while t < horizon && a < target {
        let (next_t, next_a) = advance(rate, (t, a), largest_step, horizon);
        if next_a >= target {
            return Some(crossing((t, a), (next_t, next_a), target));
        }
        (t, a) = (next_t, next_a);
    }
    (a >= target).then_some(t)
}

/// Time at which a straight line between two states meets `target`.
pub fn crossing((t0, a0): (f64, f64), (t1, a1): (f64, f64), target: f64) -> f64 {
    if a1 > a0 { t0 + (t1 - t0) * ((target - a0) / (a1 - a0)).clamp(0.0, 1.0) } else { t1 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn first_order_growth_meets_its_closed_form() {
        // da/dt = k (1 - a): t = -ln(1 - a) / k.
        let t = time_to_reach(&|_, a: f64| 0.01 * (1.0 - a), 0.0, 0.9, 50.0, 1.0e4).unwrap();
        assert_relative_eq!(t, 230.258_509_3, max_relative = 1e-5);
    }

    #[test]
    fn a_rate_that_wakes_up_late_is_not_overshot() {
        // Nothing for 1000, then fast: the answer must be 1000 + 0.5 / 0.05.
        let rate = |t: f64, _| if t < 1000.0 { 0.0 } else { 0.05 };
        let t = time_to_reach(&rate, 0.0, 0.5, 5.0, 1.0e4).unwrap();
        assert!((t - 1010.0).abs() < 0.01, "{t}");
    }

    #[test]
    fn never_is_said_when_it_is_never() {
        assert!(time_to_reach(&|_, _| 0.0, 0.1, 0.2, 5.0, 1.0e5).is_none());
        assert!(time_to_reach(&|_, _| 1.0e-9, 0.1, 0.2, 5.0, 1.0e5).is_none());
    }
}
