use super::*;
use approx::assert_abs_diff_eq;

const DAY_MIN: f64 = 1440.0;

fn resin() -> Resin {
    Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: 2.0,
        stand_still_below_c: 12.0,
    }
}

#[test]
fn conversion_never_falls_and_stays_below_one() {
    // Days at 30 °C, nights at 5 °C, with sudden changes.
    let swing = |minute: f64| if (minute / 720.0).floor() % 2.0 < 0.5 { 30.0 } else { 5.0 };
    let mut last = (0.0, 0.0);
    follow(&resin(), &swing, 60.0 * DAY_MIN, |step| {
        assert!(step.to.0 > step.from.0 && step.to.1 >= step.from.1 && step.to.1 < 1.0);
        assert!((step.from.0 - last.0).abs() < 1e-9 && step.from.1 >= last.1 - 1e-12);
        last = step.to;
        true
    })
    .unwrap();
    assert_abs_diff_eq!(last.0, 60.0 * DAY_MIN);
}

#[test]
fn gel_in_the_run_is_the_gel_of_the_clock() {
    for t_c in [15.0, 20.0, 27.5] {
        let (gel, _) = times_reached(&resin(), &|_| t_c, [0.2], DAY_MIN).unwrap();
        assert_abs_diff_eq!(gel.unwrap(), resin().clock.gel_min(t_c, 2.0), epsilon = 1e-6);
    }
}

#[test]
fn below_the_standing_still_temperature_nothing_happens() {
    let cold = conversion_after(&resin(), &|_| 11.99, 60.0 * DAY_MIN).unwrap();
    assert_abs_diff_eq!(cold, 0.0);
    assert!(conversion_after(&resin(), &|_| 12.0, 60.0 * DAY_MIN).unwrap() > 0.7);
    let missing = conversion_after(&resin(), &|_| f64::NAN, DAY_MIN).unwrap();
    assert_abs_diff_eq!(missing, 0.0);
    // A cold night in between only shifts the rest.
    let night = |minute: f64| if (60.0..660.0).contains(&minute) { 8.0 } else { 20.0 };
    let paused = conversion_after(&resin(), &night, 900.0).unwrap();
    let plain = conversion_after(&resin(), &|_| 20.0, 300.0).unwrap();
    assert_abs_diff_eq!(paused, plain, epsilon = 1e-3);
}

#[test]
fn glass_transition_and_conversion_undo_each_other() {
    let glass = Kinetics::GENERAL_PURPOSE.glass;
    for t_c in [10.0, 25.0, 60.0, 94.0] {
        assert_abs_diff_eq!(glass.at_conversion_c(glass.conversion_at(t_c)), t_c, epsilon = 1e-9);
    }
    assert_abs_diff_eq!(glass.at_conversion_c(0.0), -60.0);
    assert_abs_diff_eq!(glass.at_conversion_c(1.0), 95.0, epsilon = 1e-9);
}

#[test]
fn warmer_and_stronger_is_never_later() {
    let time = |t_c: f64, percent: f64| {
        let resin = Resin { percent, ..resin() };
        times_reached(&resin, &|_| t_c, [0.75], 90.0 * DAY_MIN).unwrap().1[0].unwrap()
    };
    assert!(time(25.0, 2.0) < time(20.0, 2.0) && time(20.0, 2.0) < time(15.0, 2.0));
    assert!(time(20.0, 2.0) < time(20.0, 1.0));
}

#[test]
fn closed_form_goes_there_and_back() {
    let t = autocatalytic_time(1.0e-3, 0.524, 0.01, 0.9);
    assert_abs_diff_eq!(autocatalytic_conversion(1.0e-3, 0.524, 0.01, t), 0.9, epsilon = 1e-12);
}

#[test]
fn meaningless_constants_are_refused() {
    let mut bad = resin();
    bad.kinetics.glass.cured_c = -60.0;
    assert!(conversion_after(&bad, &|_| 20.0, 10.0).is_err());
    let none = Resin { percent: 0.0, ..resin() };
    assert!(conversion_after(&none, &|_| 20.0, 10.0).is_err());
    assert!(conversion_after(&resin(), &|_| 20.0, f64::NAN).is_err());
}
