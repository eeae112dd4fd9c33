use super::*;
use crate::shop::limits::EXPOSURE_LIMITS;
use approx::{assert_abs_diff_eq, assert_relative_eq};

const GARAGE: Room = Room { volume_m3: 30.0, air_changes_h: 0.3, mixing_factor: 3.0, air_c: 20.0 };
const BLOCK: BlockLimits = BlockLimits { peak_ppm: 350.0, percent_of_flammable_limit: 10.0 };

fn gate(peak_ppm: f64, limits: &BlockLimits) -> Gate {
    session_gate(peak_ppm, STYRENE_FLAMMABLE_PERCENT, limits, Some(413.2))
}

#[test]
fn ppm_and_mass_undo_each_other() {
    let mg = mg_m3_from_ppm(50.0, STYRENE_G_MOL, MOLAR_VOLUME_25_C_L);
    assert_abs_diff_eq!(ppm_from_mg_m3(mg, STYRENE_G_MOL, MOLAR_VOLUME_25_C_L), 50.0);
}

#[test]
fn a_sealed_room_keeps_everything_and_never_clears() {
    let sealed = Room { air_changes_h: 0.0, ..GARAGE };
    let slow = sealed.peak_ppm(92.0, STYRENE_G_MOL, 30.0, 0.0).unwrap();
    let at_once = sealed.peak_ppm(92.0, STYRENE_G_MOL, 0.0, 0.0).unwrap();
    assert_abs_diff_eq!(slow, at_once);
    assert!(sealed.purge_min(400.0, 20.0).is_err());
    assert_abs_diff_eq!(sealed.purge_min(10.0, 20.0).unwrap(), 0.0);
}

#[test]
fn a_long_release_settles_where_fresh_air_says() {
    // 100 hours of release: the level is K G / Q, and the fresh air for it is the air given.
    let room = Room { air_changes_h: 5.0, ..GARAGE };
    let level = room.peak_ppm(100.0 * 200.0, STYRENE_G_MOL, 6000.0, 0.0).unwrap();
    let volume_l = molar_volume_l(20.0).unwrap();
    let air = fresh_air_m3_h(200.0, STYRENE_G_MOL, volume_l, 3.0, level).unwrap();
    assert_relative_eq!(air, 150.0, max_relative = 1e-9);
}

#[test]
fn worse_mixing_and_less_air_never_lower_the_peak() {
    let peak = |air_changes_h, mixing_factor| {
        let room = Room { air_changes_h, mixing_factor, ..GARAGE };
        room.peak_ppm(92.0, STYRENE_G_MOL, 30.0, 0.0).unwrap()
    };
    assert!(peak(0.3, 3.0) > peak(0.3, 1.5) && peak(0.3, 3.0) > peak(6.0, 3.0));
}

#[test]
fn what_was_in_the_air_before_adds_to_the_peak() {
    let from = |before| GARAGE.peak_ppm(92.0, STYRENE_G_MOL, 30.0, before).unwrap();
    assert_relative_eq!(from(100.0) - from(0.0), 100.0 * (-0.05_f64).exp(), max_relative = 1e-9);
}

#[test]
fn block_boundaries() {
    assert_eq!(gate(350.0, &BLOCK), Gate::Open);
    assert!(gate(350.01, &BLOCK).is_shut());
    assert!(gate(f64::NAN, &BLOCK).is_shut());
    assert!(gate(f64::INFINITY, &BLOCK).is_shut());
    // With the level for breathing out of the way, 10 % of 0.9 % is 900 ppm.
    let fire_only = BlockLimits { peak_ppm: 1.0e6, ..BLOCK };
    assert_eq!(gate(899.9, &fire_only), Gate::Open);
    assert!(gate(900.1, &fire_only).is_shut());
}

#[test]
fn the_way_out_of_a_block_says_outdoors_first_and_how_much_air() {
    let Gate::Shut { why, way_out } = gate(720.0, &BLOCK) else { panic!("must be shut") };
    assert!(why.contains("720 ppm"), "{why}");
    assert!(way_out.starts_with("Work outdoors") && way_out.contains("414 m³"), "{way_out}");
}

#[test]
fn every_limit_gets_its_air_and_its_mask() {
    let styrene = EXPOSURE_LIMITS.iter().filter(|limit| limit.substance == "styrene");
    let rows = against_limits(styrene, 184.0, STYRENE_G_MOL, &GARAGE, 2000.0).unwrap();
    assert_eq!(rows.len(), 10);
    for row in rows {
        assert_relative_eq!(row.needed_protection * row.limit.ppm, 2000.0);
        assert!(row.fresh_air_m3_h > 0.0);
    }
}

#[test]
fn eight_hours_at_one_level_average_to_it() {
    assert_abs_diff_eq!(eight_hour_average_ppm(&[(40.0, 2.0), (40.0, 6.0)]), 40.0);
    assert_abs_diff_eq!(eight_hour_average_ppm(&[(400.0, 0.5)]), 25.0);
}

#[test]
fn an_impossible_room_is_refused() {
    assert!(Room { volume_m3: 0.0, ..GARAGE }.check().is_err());
    assert!(Room { mixing_factor: 0.5, ..GARAGE }.check().is_err());
    assert!(Room { air_changes_h: -1.0, ..GARAGE }.check().is_err());
    assert!(GARAGE.peak_ppm(-1.0, STYRENE_G_MOL, 10.0, 0.0).is_err());
}

#[test]
fn the_flow_that_holds_a_peak_holds_it_and_less_does_not() {
    let vapour_g = 53.0;
    for minutes in [2.4, 15.0, 90.0] {
        let flow = GARAGE
            .flow_holding_peak_m3_h(vapour_g, STYRENE_G_MOL, minutes, 200.0)
            .unwrap()
            .expect("a flow");
        let with = |share: f64| {
            let changes = share * flow / GARAGE.volume_m3;
            let room = Room { air_changes_h: changes, ..GARAGE };
            room.peak_ppm(vapour_g, STYRENE_G_MOL, minutes, 0.0).unwrap()
        };
        assert_abs_diff_eq!(with(1.0), 200.0, epsilon = 1e-6);
        assert!(with(0.9) > 200.0, "{minutes}");
    }
    // All at once, air comes too late: at 20 °C 53 g in 30 m³ are 408 ppm (ideal gas, by hand).
    let at_once = GARAGE.flow_holding_peak_m3_h(vapour_g, STYRENE_G_MOL, 0.0, 200.0).unwrap();
    assert_eq!(at_once, None);
    let small = GARAGE.flow_holding_peak_m3_h(1.0, STYRENE_G_MOL, 0.0, 200.0).unwrap();
    assert_eq!(small, Some(0.0));
}
