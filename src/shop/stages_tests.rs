use super::*;
use crate::shop::cure::{Kinetics, Resin};
use crate::shop::gel_time::GelClock;

const RULES: StageRules =
    StageRules { cap_kg_m2: 1.8, blind_cap_kg_m2: 1.35, peak_most_c: 60.0, gel_band: 0.30 };
const MAT: Ply = Ply { glass_kg_m2: 0.45, glass_content: 1.0 / 3.5 };
const LIGHT: Ply = Ply { glass_kg_m2: 0.30, ..MAT };

fn at(air_c: f64, percent: f64) -> Conditions<Resin> {
    Conditions {
        reaction: Resin {
            clock: GelClock::GENERAL_PURPOSE,
            kinetics: Kinetics::GENERAL_PURPOSE,
            percent,
            stand_still_below_c: 12.0,
        },
        heat_j_kg: 320.0e3,
        resin_kg_m3: 1200.0,
        coldest_c: air_c,
        hottest_c: air_c,
    }
}

fn counts(stages: &[Stage]) -> Vec<usize> {
    stages.iter().map(|stage| stage.plies.len()).collect()
}

fn chosen(plies: &[Ply], on: Option<&Conditions<Resin>>, behind: Behind) -> Vec<Stage> {
    choose(plies, None, behind, on, &RULES).unwrap()
}

#[test]
fn without_a_temperature_the_lower_cap_holds_alone() {
    let stages = chosen(&[MAT; 5], None, Behind::Air);
    assert_eq!(counts(&stages), [3, 2]);
    assert!(stages.iter().all(|stage| stage.peak.is_none() && stage.next_min.is_none()));
    // A looser lower cap never goes beyond the general one.
    let rules = StageRules { cap_kg_m2: 0.9, ..RULES };
    let none = None::<&Conditions<Resin>>;
    assert_eq!(counts(&choose(&[MAT; 5], None, Behind::Air, none, &rules).unwrap()), [2, 2, 1]);
}

#[test]
fn sums_of_mat_weights_do_not_miss_the_cap_by_a_rounding_error() {
    let rules = StageRules { cap_kg_m2: 0.3, ..RULES };
    // 0.1 + 0.2 is a hair above 0.3 in binary and still one stage.
    let plies = [0.1, 0.2].map(|glass_kg_m2| Ply { glass_kg_m2, ..MAT });
    let none = None::<&Conditions<Resin>>;
    assert_eq!(counts(&choose(&plies, None, Behind::Air, none, &rules).unwrap()), [2]);
    assert!(chosen(&[], None, Behind::Air).is_empty());
    let nothing = [MAT, Ply { glass_kg_m2: f64::NAN, ..MAT }];
    assert!(choose(&nothing, None, Behind::Air, none, &rules).is_err());
}

#[test]
fn the_cap_holds_however_cool_it_stays() {
    let stages = chosen(&[MAT; 6], Some(&at(15.0, 1.0)), Behind::Air);
    assert_eq!(counts(&stages), [4, 2]);
    assert!(stages.iter().all(|stage| stage.glass_kg_m2 <= 1.8 + 1e-9));
}

#[test]
fn the_upper_bound_decides_and_every_stage_is_within_it() {
    for (air_c, percent) in [(16.0, 2.0), (20.0, 2.0), (25.0, 1.5), (30.0, 2.0)] {
        for behind in [Behind::Air, Behind::Panel { thickness_mm: 1.5 }, Behind::Former] {
            let stages = chosen(&[MAT, MAT, MAT, LIGHT, LIGHT], Some(&at(air_c, percent)), behind);
            assert_eq!(counts(&stages).iter().sum::<usize>(), 5);
            for stage in &stages {
                let peak = stage.peak.unwrap();
                assert!(peak.low_c <= peak.high_c, "{peak:?}");
                assert!(!peak.too_hot() || stage.plies.len() == 1, "{stage:?}");
            }
        }
    }
}

#[test]
fn one_ply_more_would_have_been_too_hot() {
    let on = at(25.0, 2.0);
    let stages = chosen(&[MAT; 4], Some(&on), Behind::Air);
    let first = stages.first().unwrap().plies.len();
    assert!(first < 4, "the limit binds here: {stages:?}");
    let loose = StageRules { peak_most_c: 200.0, ..RULES };
    let whole = choose(&[MAT; 4], None, Behind::Air, Some(&on), &loose).unwrap();
    assert_eq!(counts(&whole), [4]);
    let more = choose(&[MAT; 4][..=first], None, Behind::Air, Some(&on), &loose).unwrap();
    assert!(more.first().unwrap().peak.unwrap().high_c > 60.0);
}

#[test]
fn a_lower_limit_and_a_former_never_give_larger_stages() {
    let on = at(22.0, 2.0);
    let first = |behind, most_c| {
        let rules = StageRules { peak_most_c: most_c, ..RULES };
        let stages = choose(&[MAT; 4], None, behind, Some(&on), &rules).unwrap();
        stages.first().unwrap().plies.len()
    };
    assert!(first(Behind::Air, 50.0) <= first(Behind::Air, 60.0));
    assert!(first(Behind::Former, 60.0) <= first(Behind::Air, 60.0));
    assert!(first(Behind::Air, 60.0) <= first(Behind::Panel { thickness_mm: 3.0 }, 60.0));
}

#[test]
fn the_next_stage_waits_for_gel_and_cool() {
    let stages = chosen(&[MAT; 6], Some(&at(20.0, 2.0)), Behind::Air);
    let wait_min = stages.first().unwrap().next_min.unwrap();
    let gel_min = GelClock::GENERAL_PURPOSE.gel_min(20.0, 2.0);
    assert!(wait_min > 1.3 * gel_min, "{wait_min}");
    assert!(wait_min > stages.first().unwrap().peak.unwrap().high_min);
    assert!(wait_min < 600.0, "{wait_min}");
}

#[test]
fn tissue_on_top_counts_as_heat() {
    let tissue = Ply { glass_kg_m2: 0.03, glass_content: 0.079 };
    let on = at(20.0, 2.0);
    let peak = |topping| {
        let stages = choose(&[MAT; 2], topping, Behind::Air, Some(&on), &RULES).unwrap();
        stages.last().unwrap().peak.unwrap().high_c
    };
    assert!(peak(Some(tissue)) > peak(None) + 0.5);
}

#[test]
fn a_single_ply_that_is_too_hot_is_laid_out_and_told() {
    let rules = StageRules { peak_most_c: 30.0, ..RULES };
    let stages = choose(&[MAT; 2], None, Behind::Former, Some(&at(29.0, 3.0)), &rules).unwrap();
    assert_eq!(counts(&stages), [1, 1]);
    let peak = stages.first().unwrap().peak.unwrap();
    assert!(peak.too_hot());
    assert!(one_ply_too_hot(&peak).contains("above 30 °C"));
}
