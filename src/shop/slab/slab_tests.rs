use super::*;
use crate::shop::cure::{Kinetics, Resin};
use crate::shop::gel_time::GelClock;
use approx::{assert_abs_diff_eq, assert_relative_eq};

const AIR: Faces = Faces { below_w_m2_k: 8.0, above_w_m2_k: 8.0 };
const HEAT_J_KG: f64 = 320.0e3;

fn resin(percent: f64) -> Resin {
    Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent,
        stand_still_below_c: 12.0,
    }
}

fn layer(thickness_mm: f64, start_c: f64, cells: usize) -> Layer {
    let mixture = Mixture::polyester(0.30).unwrap();
    Layer { thickness_mm, mixture, start_c, cells }
}

fn laid(thickness_mm: f64, percent: f64, start_c: f64, cells: usize) -> Slab<Resin> {
    let mut slab = Slab::new(resin(percent), HEAT_J_KG, AIR).unwrap();
    slab.lay(&layer(thickness_mm, start_c, cells)).unwrap();
    slab
}

fn day(thickness_mm: f64, percent: f64, air_c: f64) -> Trace {
    laid(thickness_mm, percent, air_c, 15).trace(&|_| air_c, 1440.0, &Fineness::USUAL).unwrap()
}

#[test]
fn heat_released_is_found_again_in_the_air_and_in_the_plies() {
    for thickness_mm in [3.0, 6.0, 12.0] {
        let mut slab = Slab::new(resin(2.0), HEAT_J_KG, AIR).unwrap();
        slab.lay_inert(&layer(2.5, 17.0, 5)).unwrap();
        slab.lay(&layer(thickness_mm, 20.0, 15)).unwrap();
        slab.run(&|_| 20.0, 400.0, &Fineness::USUAL, |_| true).unwrap();
        slab.lay(&layer(3.0, 20.0, 15)).unwrap();
        slab.run(
            &|minute| if minute < 500.0 { 20.0 } else { 14.0 },
            1440.0,
            &Fineness::USUAL,
            |_| true,
        )
        .unwrap();
        let balance = slab.balance();
        assert!(balance.residual() < 1.0e-6, "{thickness_mm} mm: {balance:?}");
        // The heat is that of the conversion, counted once.
        let resin_kg_m2 =
            0.7 * layer(1.0, 20.0, 1).mixture.density_kg_m3 * (thickness_mm + 3.0) / 1000.0;
        let mean = balance.released_j_m2 / (resin_kg_m2 * HEAT_J_KG);
        assert!((0.75..1.0).contains(&mean), "{mean}");
    }
}

#[test]
fn thicker_warmer_and_more_catalyst_peak_higher() {
    let peak = |mm, percent, air_c| day(mm, percent, air_c).peak_c;
    assert!(peak(6.0, 2.0, 20.0) > peak(3.0, 2.0, 20.0) + 5.0);
    assert!(peak(3.0, 2.0, 25.0) > peak(3.0, 2.0, 20.0) + 5.5);
    assert!(peak(6.0, 2.0, 20.0) > peak(6.0, 1.0, 20.0) + 5.0);
}

#[test]
fn a_thin_film_cures_as_the_model_without_heat() {
    let film = day(0.005, 2.0, 20.0);
    let (gel, [sand]) =
        crate::shop::cure::times_reached(&resin(2.0), &|_| 20.0, [0.75], 1440.0).unwrap();
    assert_relative_eq!(film.gel_min.unwrap(), gel.unwrap(), max_relative = 2e-3);
    assert_relative_eq!(film.sandable_min.unwrap(), sand.unwrap(), max_relative = 5e-3);
}

#[test]
fn an_old_panel_takes_heat_and_lowers_the_peak() {
    let alone = day(4.0, 2.0, 20.0).peak_c;
    let mut slab = Slab::new(resin(2.0), HEAT_J_KG, AIR).unwrap();
    slab.lay_inert(&layer(2.5, 20.0, 5)).unwrap();
    slab.lay(&layer(4.0, 20.0, 15)).unwrap();
    let on_panel = slab.trace(&|_| 20.0, 300.0, &Fineness::USUAL).unwrap().peak_c;
    assert!(on_panel < alone - 1.0, "{on_panel} {alone}");
}

#[test]
fn halving_every_step_and_cell_moves_the_peak_little() {
    for thickness_mm in [3.0, 6.0, 12.0] {
        let usual = day(thickness_mm, 2.0, 20.0);
        let fine =
            Fineness { lively_step_s: 2.5, liquid_step_s: 10.0, quiet_step_s: 60.0, growth: 0.002 };
        let halved = laid(thickness_mm, 2.0, 20.0, 30).trace(&|_| 20.0, 300.0, &fine).unwrap();
        assert_abs_diff_eq!(usual.peak_c, halved.peak_c, epsilon = 0.1);
        assert_relative_eq!(usual.peak_min, halved.peak_min, max_relative = 5e-3);
    }
}

#[test]
fn nothing_cures_in_an_inert_slab_and_it_stays_at_the_air() {
    let mut slab = Slab::new(resin(2.0), HEAT_J_KG, AIR).unwrap();
    slab.lay_inert(&layer(5.0, 20.0, 15)).unwrap();
    slab.run(&|_| 20.0, 60.0, &Fineness::USUAL, |_| true).unwrap();
    assert!(slab.temperatures_c().iter().all(|t_c| (t_c - 20.0).abs() < 1e-9));
    assert_abs_diff_eq!(slab.balance().released_j_m2, 0.0);
}

#[test]
fn impossible_layers_are_refused() {
    let mut slab = Slab::new(resin(2.0), HEAT_J_KG, AIR).unwrap();
    assert!(slab.lay(&layer(0.0, 20.0, 15)).is_err());
    assert!(slab.lay(&layer(3.0, 20.0, 0)).is_err());
    assert!(slab.lay(&layer(3.0, f64::NAN, 15)).is_err());
    assert!(slab.run(&|_| 20.0, -1.0, &Fineness::USUAL, |_| true).is_err());
    assert!(Slab::new(resin(2.0), f64::NAN, AIR).is_err());
}
