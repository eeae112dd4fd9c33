//! Dew point and climate: rows A27-A33.

use super::table::Check;
use plymend::dew_point::{
    STANDARD_PRESSURE_HPA, dew_point_c, dew_point_of_pressure_c, largest_rh_percent,
    rh_from_wet_bulb_percent, saturation_pressure_hpa, vapour_pressure_from_wet_bulb_hpa,
};
use plymend::shop::climate::{DewPointLimits, Gate, surface_above_dew_point};

const TABLE: &str = "German dew-point table, DIN 4108 style (published)";
const LIBRARY: &str = "psychrometric library, ASHRAE Fundamentals 2017 equations (computed)";
const US_CHART: &str = "US coating dew-point chart, whole degrees cut off (common practice)";
const INSPECTION: &str = "coating-inspection example (common practice)";
const LIMITS: DewPointLimits = DewPointLimits { least_margin_k: 3.0, advised_margin_k: 6.0 };

/// Air °C, relative humidity %, table °C, library °C.
const DEW_POINTS: [(f64, f64, f64, f64); 21] = [
    (10.0, 70.0, 4.8, 4.79),
    (10.0, 85.0, 7.7, 7.60),
    (12.0, 80.0, 8.7, 8.66),
    (15.0, 60.0, 7.4, 7.31),
    (15.0, 85.0, 12.6, 12.50),
    (18.0, 75.0, 13.5, 13.51),
    (20.0, 40.0, 6.0, 6.00),
    (20.0, 50.0, 9.3, 9.27),
    (20.0, 60.0, 12.0, 12.01),
    (20.0, 70.0, 14.4, 14.37),
    (20.0, 80.0, 16.5, 16.45),
    (20.0, 85.0, 17.4, 17.40),
    (20.0, 90.0, 18.4, 18.31),
    (22.0, 45.0, 9.5, 9.53),
    (22.0, 70.0, 16.3, 16.28),
    (25.0, 60.0, 16.7, 16.70),
    (25.0, 85.0, 22.3, 22.30),
    (28.0, 65.0, 20.9, 20.81),
    (30.0, 50.0, 18.4, 18.45),
    (30.0, 85.0, 27.2, 27.20),
    (30.0, 95.0, 29.1, 29.11),
];

/// Air °F, relative humidity %, chart °F. The chart cuts off, so 0 to +1 is right: the expected
/// value is the middle of that degree.
const US_POINTS: [(f64, f64, f64); 8] = [
    (70.0, 65.0, 57.0),
    (50.0, 85.0, 45.0),
    (60.0, 70.0, 50.0),
    (80.0, 50.0, 59.0),
    (40.0, 80.0, 34.0),
    (60.0, 85.0, 55.0),
    (80.0, 80.0, 73.0),
    (70.0, 80.0, 63.0),
];

fn dew(air_c: f64, rh: f64) -> f64 {
    dew_point_c(air_c, rh).unwrap_or(f64::NAN)
}

fn row(
    (id, class, source): (&'static str, &'static str, &'static str),
    input: String,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class, source, input, expected, tolerance, got }
}

/// 1 for a gate that lets the work go on, 0 for one that stops it.
fn lets_pass(gate: &Gate) -> f64 {
    if gate.is_shut() { 0.0 } else { 1.0 }
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = Vec::new();
    for (air_c, rh, table_c, library_c) in DEW_POINTS {
        let got = dew(air_c, rh);
        let input = format!("dew point of {air_c} °C, {rh} %");
        rows.push(row(("A27", "outside", TABLE), input.clone(), (table_c, 0.15), got));
        rows.push(row(("A27", "outside", LIBRARY), input, (library_c, 0.05), got));
    }
    let misprint = ("A28", "regression", "table misprint 23.7 put right (computed)");
    rows.push(row(misprint, "dew point of 30 °C, 65 %".into(), (22.70, 0.05), dew(30.0, 65.0)));
    let definition = ("A29", "behaviour", "definition of the dew point");
    for air_c in [5.0, 20.0, 35.0] {
        let input = format!("dew point of {air_c} °C, 100 %");
        rows.push(row(definition, input, (air_c, 1e-9), dew(air_c, 100.0)));
    }
    for rh in [0.0, -5.0, 100.1, f64::NAN] {
        let refused = if dew_point_c(20.0, rh).is_err() { 1.0 } else { 0.0 };
        rows.push(row(definition, format!("{rh} % is refused"), (1.0, 0.0), refused));
    }
    rows.extend(wet_bulb());
    for (surface_c, air_c, expected) in [(20.0, 20.0, 82.9), (15.0, 20.0, 60.0)] {
        rows.push(row(
            ("A31", "regression", "Magnus, WMO-No. 8 (computed)"),
            format!("largest humidity for 3 °C, surface {surface_c}, air {air_c} °C"),
            (expected, 0.2),
            largest_rh_percent(air_c, surface_c, 3.0).unwrap_or(f64::NAN),
        ));
    }
    let pressures =
        [(0.0, 6.112, 6.112), (10.0, 12.26, 12.280), (20.0, 23.33, 23.388), (30.0, 42.34, 42.460)];
    for (t_c, own_hpa, library_hpa) in pressures {
        let got = saturation_pressure_hpa(t_c).unwrap_or(f64::NAN);
        let input = format!("saturation pressure at {t_c} °C, hPa");
        let own = ("A32", "regression", "Magnus, WMO-No. 8 (computed)");
        rows.push(row(own, input.clone(), (own_hpa, 0.006), got));
        rows.push(row(("A32", "outside", LIBRARY), input, (library_hpa, 0.003 * library_hpa), got));
    }
    for (air_f, rh, chart_f) in US_POINTS {
        let got = dew((air_f - 32.0) / 1.8, rh) * 1.8 + 32.0;
        let input = format!("dew point of {air_f} °F, {rh} %, in °F, chart {chart_f} to one more");
        rows.push(row(("A33", "outside", US_CHART), input, (chart_f + 0.5, 0.5), got));
    }
    rows
}

fn wet_bulb() -> Vec<Check> {
    let pressure_hpa = STANDARD_PRESSURE_HPA;
    let dew_c = vapour_pressure_from_wet_bulb_hpa(21.0, 17.0, pressure_hpa)
        .and_then(dew_point_of_pressure_c)
        .unwrap_or(f64::NAN);
    let rh = rh_from_wet_bulb_percent(21.0, 17.0, pressure_hpa).unwrap_or(f64::NAN);
    let passes = lets_pass(&surface_above_dew_point(21.0, rh, 19.0, &LIMITS));
    let fails = lets_pass(&surface_above_dew_point(16.0, 71.0, 13.0, &LIMITS));
    // Another psychrometer form than ours, so a tenth of a degree is all that can be asked.
    let library = ("A30", "outside", LIBRARY);
    let by_chart = ("A30", "outside", INSPECTION);
    vec![
        row(by_chart, "dew point of dry 21, wet 17 °C, whole degrees".into(), (15.0, 0.5), dew_c),
        row(library, "the same".into(), (14.73, 0.1), dew_c),
        row(by_chart, "dry 21, wet 17, surface 19 °C passes".into(), (1.0, 0.0), passes),
        row(
            by_chart,
            "dew point of 16 °C, 71 %, whole degrees".into(),
            (11.0, 0.5),
            dew(16.0, 71.0),
        ),
        row(by_chart, "16 °C, 71 %, surface 13 °C fails".into(), (0.0, 0.0), fails),
    ]
}
