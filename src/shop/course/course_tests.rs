//! The lag against its closed form and against small steps, windows against a look at every minute.

use super::windows::{Judged, of_step, shut};
use super::*;
use crate::model::shop::Weekday;
use crate::rules::Book;
use crate::shop::steps::StepLimits;

const LAGS: Lags = Lags { quick_h: 0.2, slow_h: 6.0 };

fn week() -> Calendar {
    Calendar { from_min: 480, to_min: 1020, days: Weekday::ALL[..5].to_vec(), starts: None }
}

/// Hours from Monday 2024-11-04 06:00 on.
fn read(hours: &[(f64, f64)], panel_c: Option<f64>) -> Course {
    let start = Moment::parse("2024-11-04 06:00").unwrap();
    let lines: Vec<String> = (0_i64..)
        .zip(hours)
        .map(|(hour, (air, damp))| {
            let at = start.plus_minutes(60 * hour);
            format!("(at: \"{at}\", air_c: {air}, humidity_percent: {damp})")
        })
        .collect();
    let text = format!("(format: 1, hours: [{}])", lines.join(", "));
    let (log, _) = crate::read::ron_file::parse::<ClimateLog>("hours.ron", &text).unwrap();
    Course::of(("hours.ron", &log), panel_c, None, LAGS, week()).unwrap()
}

/// Against Newton's law of cooling in closed form: air that jumps and stays.
#[test]
fn a_lump_in_steady_air_follows_the_exponential() {
    for hours in [0.1, 1.0, 5.0, 30.0] {
        let found = follows(4.0, 20.0, 20.0, hours, 6.0);
        assert!((found - (20.0 - 16.0 * (-hours / 6.0_f64).exp())).abs() < 1e-12);
    }
}

/// Against ten thousand small explicit steps in air that runs.
#[test]
fn a_lump_in_running_air_follows_small_steps() {
    let (from, to, hours, lag) = (12.0, 19.0, 3.0, 1.7);
    let mut lump = 5.0;
    let steps = 100_000;
    for step in 0..steps {
        let air = from + (to - from) * (f64::from(step) + 0.5) / f64::from(steps);
        lump += (air - lump) / lag * hours / f64::from(steps);
    }
    let found = follows(5.0, from, to, hours, lag);
    assert!((found - lump).abs() < 1e-4, "{found} against {lump}");
    // In two halves as in one.
    let half = follows(5.0, from, 15.5, 1.5, lag);
    assert!((follows(half, 15.5, to, 1.5, lag) - found).abs() < 1e-12);
}

#[test]
fn readings_stand_in_the_samples_as_they_were_read() {
    let hours = [(10.0, 80.0), (14.0, 70.0), (13.0, 60.0)];
    let course = read(&hours, Some(4.0));
    assert_eq!(course.samples.len(), 9);
    assert_eq!(course.known(), (360, 480));
    for (number, (air, damp)) in hours.iter().enumerate() {
        let sample = course.samples[number * 4];
        assert!((sample.air_c - air).abs() < 1e-12);
        assert!((sample.humidity_percent - damp).abs() < 1e-12);
    }
    assert!((course.samples[2].air_c - 12.0).abs() < 1e-12, "half way between two readings");
    assert!((course.samples[0].quick_c - 4.0).abs() < 1e-12);
    let last = course.samples[8];
    assert!(last.quick_c > 12.9 && last.slow_c < 8.0, "{last:?}");
    assert_eq!(course.open.weekday(0), Weekday::Mon);
}

/// A window is what a look at every sample says: the step holds from its start to its rest, and
/// a quarter of an hour earlier or later something is shut or the shop is.
#[test]
fn windows_hold_to_their_ends_and_no_longer() {
    let mut hours: Vec<(f64, f64)> = vec![(11.0, 60.0); 4];
    hours.extend([(18.0, 60.0); 20]);
    hours.extend([(20.0, 60.0); 6]);
    hours.extend([(20.0, 85.0); 2]);
    hours.extend([(20.0, 60.0); 30]);
    let course = read(&hours, None);
    let limits = StepLimits::of(&Book::built_in());
    let found = of_step(&course, Judged::LayUp, &limits, 30.0);
    assert!(!found.windows.is_empty(), "{:?}", found.windows);
    let open = |minute: i64| course.open.is_open_at(minute);
    let holds = |minute: i64| {
        let sample = course.samples.iter().find(|one| one.at_min == minute);
        sample.is_some_and(|one| !shut(Judged::LayUp, one, &limits).any())
    };
    for window in &found.windows {
        let mut minute = window.from_min;
        while minute <= window.to_min + 30 {
            // Samples lie a quarter of an hour apart; both neighbours have to hold.
            let (before, after) =
                (minute - minute.rem_euclid(15), minute + (-minute).rem_euclid(15));
            assert!(holds(before) && holds(after), "shut at {minute} in {window:?}");
            minute += 1;
        }
        assert!(
            open(window.from_min)
                && window.to_min + 30 <= 1020 + 1440 * window.from_min.div_euclid(1440)
        );
        let (edge_before, edge_after) = (window.from_min - 15, window.to_min + 30 + 15);
        assert!(!holds(edge_before) || !open(edge_before), "could start earlier: {window:?}");
        assert!(!holds(edge_after) || !open(edge_after - 15), "could start later: {window:?}");
        assert!(window.coldest_c >= limits.lay_up.refuse_below_c);
        assert!(window.least_margin_k >= limits.dew.least_margin_k);
    }
    assert!(found.shut_h[1] > 0.0, "the damp hours are counted");
}

#[test]
fn a_cold_panel_opens_later_than_the_air_alone() {
    let hours = vec![(20.0, 50.0); 40];
    let limits = StepLimits::of(&Book::built_in());
    let first = |panel_c| {
        let course = read(&hours, Some(panel_c));
        of_step(&course, Judged::LayUp, &limits, 30.0).windows.first().map(|one| one.from_min)
    };
    assert_eq!(first(20.0), Some(480));
    let expected = 360.0 + 60.0 * 6.0 * (18.0_f64 / 5.0).ln();
    assert_eq!(first(2.0), Some((expected / 15.0).ceil() as i64 * 15), "ln(18/5) x 6 h");
    // From 12: ln(8/5) x 6 h = 2.8 h after 06:00, the next quarter of an hour.
    let expected = 360.0 + 60.0 * 6.0 * (8.0_f64 / 5.0).ln();
    assert_eq!(first(12.0), Some((expected / 15.0).ceil() as i64 * 15));
}

#[test]
fn past_the_last_reading_the_coldest_day_comes_again() {
    let mut hours = vec![(18.0, 50.0); 24];
    hours.extend([(9.0, 50.0); 24]);
    hours.extend([(16.0, 50.0); 24]);
    let course = read(&hours, None);
    let (_, last) = course.known();
    for past in [1.0, 600.0, 1500.0, 5000.0] {
        let t_c = course.curing_c(last as f64 + past);
        assert!(t_c < 12.0, "{t_c}");
    }
    assert!((course.curing_c(400.0) - 18.0).abs() < 1e-9);
}
