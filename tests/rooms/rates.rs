//! Rates of growth from simulated histories whose true rate is known: how often does the interval
//! hold it?
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "what a test cannot set up has to fail it, and the figures are to be seen"
)]

use plymend::damage::change::rate::{least_squares, rate};

/// A standard normal draw by Box and Muller over SplitMix64.
fn normal(state: &mut u64) -> f64 {
    let mut unit = || {
        *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = *state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    let (a, b) = (1.0 - unit(), unit());
    (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
}

const RUNS: u32 = 4000;

/// Readings of 10 mm at 95 % on so many days, drawn `RUNS` times.
fn held(days: &[f64], seed: u64) -> (u32, u32) {
    let (slope, deviation) = (18.0, 10.0 / 1.96);
    let mut state = seed;
    let (mut by_student, mut by_both) = (0, 0);
    for _ in 0..RUNS {
        let points: Vec<(f64, f64)> = days
            .iter()
            .map(|day| (*day, 140.0 + slope * day + deviation * normal(&mut state)))
            .collect();
        let fit = least_squares(&points).unwrap();
        by_student += u32::from((fit.slope - slope).abs() <= fit.by_scatter());
        let rate = rate(&points, 10.0).unwrap();
        by_both += u32::from(rate.low <= slope && slope <= rate.high);
    }
    (by_student, by_both)
}

/// Of 4,000 runs 3,800 are expected; 99.9 % of binomial draws lie within 3.29 standard deviations of
/// sqrt(4000 x 0.95 x 0.05) = 13.8, so within 3,754 and 3,846.
#[test]
fn the_interval_of_a_rate_holds_it_as_often_as_it_says() {
    let cases: [(&[f64], u64); 4] = [
        (&[0.0, 1.2, 2.0], 11),
        (&[0.0, 0.9, 2.1, 3.0], 12),
        (&[0.0, 0.5, 1.4, 2.0, 3.2], 13),
        (&[0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0], 14),
    ];
    for (days, seed) in cases {
        let (student, both) = held(days, seed);
        let share = |count: u32| 100.0 * f64::from(count) / f64::from(RUNS);
        println!(
            "{} days: by Student's t {:.2} %, never narrower than the reading errors {:.2} %",
            days.len(),
            share(student),
            share(both)
        );
        assert!((3754..=3846).contains(&student), "{} days: {student} of {RUNS}", days.len());
        // The wider of two intervals holds it at least as often.
        assert!(both >= student);
    }
}
