use super::*;
use crate::shop::gel_time::GelClock;
use approx::assert_relative_eq;

const TARGETS: CureTargets = CureTargets {
    sandable: 0.75,
    fairing: 0.80,
    paint: 0.85,
    primer_floor_days: 7.0,
    gloss_floor_days: 28.0,
    floor_reference_c: 20.0,
    gel_band: 0.30,
    wide_below_c: 18.0,
    widest_below_c: 15.0,
    horizon_days: 90.0,
};

fn resin() -> Resin {
    Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: 2.0,
        stand_still_below_c: 12.0,
    }
}

fn at(t_c: f64) -> Forecast {
    forecast(&resin(), &|_| t_c, &TARGETS).unwrap()
}

fn order(when: When) -> f64 {
    when.minutes().unwrap_or(f64::INFINITY)
}

#[test]
fn bands_are_in_order_at_every_shop_temperature() {
    for t_c in [12.0, 14.9, 15.0, 17.9, 18.0, 20.0, 25.0, 30.0] {
        let all = at(t_c);
        for m in [&all.gel, &all.sandable, &all.fairing, &all.paintable, &all.gloss_or_dark] {
            assert!(order(m.low) <= order(m.likely), "{t_c} {m:?}");
            assert!(order(m.likely) <= order(m.high), "{t_c} {m:?}");
        }
        assert!(order(all.sandable.high) <= order(all.fairing.high));
        assert!(order(all.paintable.high) <= order(all.gloss_or_dark.high));
    }
}

#[test]
fn gel_has_its_thirty_per_cent() {
    let gel = at(20.0).gel;
    assert_relative_eq!(order(gel.low), 0.7 * order(gel.likely), max_relative = 1e-6);
    assert_relative_eq!(order(gel.high), 1.3 * order(gel.likely), max_relative = 1e-6);
}

#[test]
fn cold_widens_the_band_at_its_boundaries() {
    let spread = |t_c| order(at(t_c).sandable.high) / order(at(t_c).sandable.likely);
    assert!(spread(18.0 - 0.01) > 1.1 * spread(18.0));
    assert!(spread(15.0 - 0.01) > 1.1 * spread(15.0));
}

#[test]
fn paint_waits_for_the_floor() {
    // At 25 °C the model is there in a day or two; the floor of seven days decides.
    assert_relative_eq!(order(at(25.0).paintable.likely), 7.0 * 1440.0, max_relative = 1e-9);
    assert_relative_eq!(order(at(20.0).gloss_or_dark.low), 28.0 * 1440.0, max_relative = 1e-9);
    // At 15 °C the model decides and is later than 7 / 0.70 days.
    assert!(order(at(15.0).paintable.likely) > 10.0 * 1440.0);
}

#[test]
fn too_cold_is_never_and_never_wins() {
    let all = at(11.9);
    let never = When::NeverWithin { days: 90.0 };
    assert_eq!(all.gel.likely, never);
    assert_eq!(all.gloss_or_dark.low, never);
    assert_eq!(never.later(When::AfterMin(1.0)), never);
    assert_eq!(When::AfterMin(1.0).later(never), never);
    assert_eq!(When::AfterMin(1.0).later(When::AfterMin(2.0)), When::AfterMin(2.0));
}

#[test]
fn a_cold_night_after_gel_holds_everything_up() {
    let held = forecast(&resin(), &day_then_night(20.0, 11.0, 30.0), &TARGETS).unwrap();
    assert!(held.gel.high.minutes().is_some());
    assert_eq!(held.sandable.likely, When::NeverWithin { days: 90.0 });
    let mild = forecast(&resin(), &day_then_night(20.0, 16.0, 30.0), &TARGETS).unwrap();
    assert!(order(mild.sandable.likely) > order(at(20.0).sandable.likely));
    assert!(order(mild.sandable.likely) < order(at(16.0).sandable.likely));
}

#[test]
fn targets_that_make_no_sense_are_refused() {
    let bad = CureTargets { sandable: 1.0, ..TARGETS };
    assert!(forecast(&resin(), &|_| 20.0, &bad).is_err());
    let none = CureTargets { primer_floor_days: 0.0, ..TARGETS };
    assert!(forecast(&resin(), &|_| 20.0, &none).is_err());
}

#[test]
fn the_floor_counts_warm_hours_only() {
    // Twelve hours at 25 °C, which count once, and twelve at 11 °C, which count nothing: 28 days
    // are full at the end of the 56th warm half day.
    let halves = |minute: f64| if (minute / 720.0).floor() % 2.0 < 0.5 { 25.0 } else { 11.0 };
    let gloss = forecast(&resin(), &halves, &TARGETS).unwrap().gloss_or_dark;
    assert_relative_eq!(order(gloss.low), 55.0 * 1440.0 + 720.0, max_relative = 1e-9);
}

#[test]
fn cold_never_narrows_the_band_of_a_slow_resin() {
    // This resin already has the late shape constant, so only the final glass transition is left.
    let glass = GlassTransition { lambda: 0.5, ..resin().kinetics.glass };
    let slow = Resin { kinetics: Kinetics { glass, ..resin().kinetics }, ..resin() };
    let high = |t_c: f64| order(forecast(&slow, &|_| t_c, &TARGETS).unwrap().sandable.high);
    assert!(high(17.99) >= high(18.0));
}
