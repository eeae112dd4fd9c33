use super::*;
use crate::wording::HEATER_CAUTION;

const STEP: f64 = 0.01;
const LAY_UP: LayUpLimits = LayUpLimits {
    refuse_below_c: 15.0,
    warn_below_c: 18.0,
    warn_above_c: 25.0,
    refuse_above_c: 30.0,
};
const HUMIDITY: HumidityLimits =
    HumidityLimits { warn_above_percent: 70.0, refuse_above_percent: 80.0 };
const DEW: DewPointLimits = DewPointLimits { least_margin_k: 3.0, advised_margin_k: 6.0 };
const PAINT: PaintLimits =
    PaintLimits { refuse_below_c: 10.0, refuse_above_rh_percent: 85.0, dew_point: DEW };
const AFTER: AfterGelLimits = AfterGelLimits { widen_below_c: 15.0, stand_still_below_c: 12.0 };

fn word(gate: &Gate) -> &'static str {
    match gate {
        Gate::Open => "open",
        Gate::Warned { .. } => "warned",
        Gate::Shut { .. } => "shut",
    }
}

fn at(air_c: f64, panel_c: f64, resin_c: f64) -> &'static str {
    word(&lay_up_temperature(&PourTemperatures { air_c, panel_c, resin_c }, &LAY_UP, 40.0))
}

#[test]
fn lay_up_boundaries_hold_for_each_of_the_three() {
    let table = [
        (15.0 - STEP, "shut"),
        (15.0, "warned"),
        (18.0 - STEP, "warned"),
        (18.0, "open"),
        (25.0, "open"),
        (25.0 + STEP, "warned"),
        (30.0, "warned"),
        (30.0 + STEP, "shut"),
    ];
    for (t_c, expected) in table {
        assert_eq!(at(t_c, 20.0, 20.0), expected, "air {t_c}");
        assert_eq!(at(20.0, t_c, 20.0), expected, "panel {t_c}");
        assert_eq!(at(20.0, 20.0, t_c), expected, "resin {t_c}");
    }
}

#[test]
fn a_cold_panel_in_a_hot_shop_gives_both_reasons() {
    let readings = PourTemperatures { air_c: 31.0, panel_c: 14.0, resin_c: 20.0 };
    let Gate::Shut { why, .. } = lay_up_temperature(&readings, &LAY_UP, 40.0) else {
        panic!("must be shut");
    };
    assert!(why.contains("the panel is at 14 °C") && why.contains("the air is at 31 °C"), "{why}");
}

#[test]
fn a_missing_reading_never_opens_a_gate() {
    assert_eq!(at(f64::NAN, 20.0, 20.0), "shut");
    assert_eq!(at(20.0, f64::NAN, 20.0), "shut");
    assert_eq!(word(&lay_up_humidity(f64::NAN, &HUMIDITY)), "shut");
    assert_eq!(word(&lay_up_humidity(0.0, &HUMIDITY)), "shut");
    assert_eq!(word(&paint(f64::NAN, 50.0, 20.0, &PAINT)), "shut");
    assert_eq!(word(&paint(20.0, f64::NAN, 20.0, &PAINT)), "shut");
    assert_eq!(word(&paint(20.0, 50.0, f64::NAN, &PAINT)), "shut");
    assert!(matches!(after_gel(f64::NAN, &AFTER), AfterGel::StandsStill { .. }));
}

#[test]
fn humidity_boundaries() {
    let table = [
        (70.0, "open"),
        (70.0 + STEP, "warned"),
        (80.0, "warned"),
        (80.0 + STEP, "shut"),
        (100.0, "shut"),
    ];
    for (rh, expected) in table {
        assert_eq!(word(&lay_up_humidity(rh, &HUMIDITY)), expected, "{rh}");
    }
}

#[test]
fn dew_point_boundaries() {
    let dew_c = dew_point_c(20.0, 60.0).unwrap();
    let table = [
        (3.0 - STEP, "shut"),
        (3.0 + STEP, "warned"),
        (6.0 - STEP, "warned"),
        (6.0 + STEP, "open"),
    ];
    for (margin_k, expected) in table {
        let gate = surface_above_dew_point(20.0, 60.0, dew_c + margin_k, &DEW);
        assert_eq!(word(&gate), expected, "{margin_k}");
    }
}

#[test]
fn paint_boundaries() {
    // Dry air, so that only the temperature decides.
    assert_eq!(word(&paint(10.0 - STEP, 30.0, 20.0, &PAINT)), "shut");
    assert_eq!(word(&paint(20.0, 30.0, 10.0 - STEP, &PAINT)), "shut");
    assert_eq!(word(&paint(10.0, 30.0, 10.0, &PAINT)), "open");
    // A warm surface, so that only the humidity decides.
    assert_eq!(word(&paint(20.0, 85.0, 30.0, &PAINT)), "open");
    assert_eq!(word(&paint(20.0, 85.0 + STEP, 30.0, &PAINT)), "shut");
}

#[test]
fn after_gel_boundaries() {
    assert!(matches!(after_gel(12.0 - STEP, &AFTER), AfterGel::StandsStill { .. }));
    assert!(matches!(after_gel(12.0, &AFTER), AfterGel::Widened { .. }));
    assert!(matches!(after_gel(15.0 - STEP, &AFTER), AfterGel::Widened { .. }));
    assert_eq!(after_gel(15.0, &AFTER), AfterGel::AsForecast);
}

#[test]
fn joined_gates_say_the_heater_caution_once() {
    let Gate::Shut { way_out, .. } = paint(5.0, 95.0, 4.0, &PAINT) else { panic!("must be shut") };
    assert_eq!(way_out.matches(HEATER_CAUTION).count(), 1, "{way_out}");
    assert!(way_out.contains("Dry the air"), "{way_out}");
}

#[test]
fn the_way_out_says_to_what_and_for_how_long() {
    let readings = PourTemperatures { air_c: 12.0, panel_c: 12.0, resin_c: 12.0 };
    let Gate::Shut { way_out, .. } = lay_up_temperature(&readings, &LAY_UP, 26.3) else {
        panic!("must be shut");
    };
    assert!(way_out.contains("18 °C") && way_out.contains("27 minutes"), "{way_out}");
}
