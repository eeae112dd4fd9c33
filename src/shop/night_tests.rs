use super::*;
use crate::shop::cure::{Kinetics, conversion_after};
use crate::shop::forecast::forecast;
use crate::shop::gel_time::GelClock;

fn resin() -> Resin {
    Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: 2.0,
        stand_still_below_c: 5.0,
    }
}

fn targets() -> CureTargets {
    CureTargets {
        sandable: 0.75,
        fairing: 0.80,
        paint: 0.85,
        primer_floor_days: 7.0,
        gloss_floor_days: 14.0,
        floor_reference_c: 20.0,
        gel_band: 0.3,
        wide_below_c: 18.0,
        widest_below_c: 15.0,
        horizon_days: 90.0,
    }
}

#[test]
fn samples_are_the_conversions_of_the_model_itself() {
    let hours = |minute: f64| 22.0 - minute / 200.0;
    let trace = trace(&resin(), &hours, &targets()).unwrap();
    assert_eq!(trace.len(), 97);
    for one in trace.iter().step_by(8) {
        let direct = conversion_after(&resin(), &hours, one.after_min).unwrap();
        // A sample lies between two steps of at most 5 minutes, joined by a straight line.
        assert!((one.conversion[1] - direct).abs() < 0.002, "{one:?} {direct}");
        assert!(one.conversion[0] >= one.conversion[1] && one.conversion[1] >= one.conversion[2]);
    }
}

#[test]
fn the_band_meets_the_target_where_the_milestone_says() {
    for at_c in [24.0, 20.0, 16.5] {
        let hours = |_: f64| at_c;
        let trace = trace(&resin(), &hours, &targets()).unwrap();
        let sandable = forecast(&resin(), &hours, &targets()).unwrap().sandable;
        let reached = |run: usize| {
            trace.iter().find(|one| one.conversion[run] >= 0.75).map(|one| one.after_min)
        };
        for (run, when) in [(0, sandable.low), (1, sandable.likely), (2, sandable.high)] {
            let said = when.minutes().filter(|minutes| *minutes <= 1440.0);
            match (reached(run), said) {
                (Some(drawn), Some(said)) => {
                    assert!(drawn - said < 15.01 && drawn >= said - 0.01, "{at_c} {drawn} {said}");
                }
                (drawn, said) => assert_eq!(drawn.is_some(), said.is_some(), "{at_c} run {run}"),
            }
        }
    }
}
