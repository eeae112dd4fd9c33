//! Styrene emission and room air: rows A1-A15, A18, A22-A25.

use super::table::Check;
use plymend::shop::air::{
    ACETONE_FLAMMABLE_PERCENT, ACETONE_G_MOL, MEKP_G_MOL, MOLAR_VOLUME_25_C_L, Room,
    STYRENE_FLAMMABLE_PERCENT, STYRENE_G_MOL, air_flow_from_half_life_m3_h, air_to_dilute_m3,
    fresh_air_m3_h, mg_m3_from_ppm, molar_volume_l, saturation_ppm, vapour_m3,
};
use plymend::shop::emission::{Application, BoatRuleRow, vvvv_g_kg, wwww_g_kg, wwww_lb_ton};

const LIMITS: &str = "40 CFR 63 Subpart WWWW Table 3 (published)";
const PAIRS: &str = "40 CFR 63 Subpart WWWW Tables 3 and 7 (published)";
const BOATS: &str = "40 CFR 63 Subpart VVVV Table 3 against 250-RICR-120-05-5 (published)";
const OWN: &str = "arithmetic on the stated forms (computed)";
const TLV: &str = "ACGIH TLV 1993-94, ppm with mg/m³ (published)";
const MANUAL: &str = "ACGIH Industrial Ventilation, worked example (from memory)";
const EH40: &str = "EH40/2005 roundings (from memory)";
/// Molar volume of the UK formula at 20 °C, L/mol (from memory: EH40).
const UK_MOLAR_VOLUME_L: f64 = 24.05;

fn row(
    (id, class, source): (&'static str, &'static str, &'static str),
    input: impl Into<String>,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class, source, input: input.into(), expected, tolerance, got }
}

fn within(expected: f64, share: f64) -> (f64, f64) {
    (expected, expected * share)
}

fn lb_ton(application: Application, fraction: f64) -> f64 {
    wwww_lb_ton(application, fraction).unwrap_or(f64::NAN)
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = emission();
    rows.extend(boat_rule());
    rows.extend(conversions());
    rows.extend(dilution());
    rows.extend(clearing());
    rows
}

fn emission() -> Vec<Check> {
    use Application::{AtomisedGelCoat, AtomisedResin, Filament, ManualResin, NonAtomisedResin};
    let weak = "outside, weak";
    // Id, class, source, form, fraction, computed lb/ton, limit lb/ton, tolerance to the limit.
    let table = [
        ("A1", weak, LIMITS, ManualResin, 0.40, 123.0, 123.0, 0.5),
        ("A2", weak, LIMITS, ManualResin, 0.46, 157.3, 157.0, 1.0),
        ("A2", weak, LIMITS, ManualResin, 0.50, 180.2, 180.0, 1.0),
        ("A2", weak, LIMITS, ManualResin, 0.60, 237.4, 238.0, 1.0),
        ("A4", "outside", PAIRS, NonAtomisedResin, 0.464, 112.7, 113.0, 0.5),
        ("A5", "outside", PAIRS, Filament, 0.42, 171.06, 171.0, 0.5),
        ("A6", weak, LIMITS, AtomisedGelCoat, 0.30, 267.0, 267.0, 1.0),
        ("A6", weak, LIMITS, AtomisedGelCoat, 0.37, 376.98, 377.0, 1.0),
        ("A6", weak, LIMITS, AtomisedGelCoat, 0.44, 522.1, 522.0, 1.0),
        ("A6", weak, LIMITS, AtomisedGelCoat, 0.48, 605.0, 605.0, 1.0),
        ("A6", weak, LIMITS, AtomisedGelCoat, 0.60, 853.8, 854.0, 1.0),
        ("A7", weak, LIMITS, AtomisedResin, 0.43, 254.0, 254.0, 0.5),
        ("A7", weak, LIMITS, AtomisedResin, 0.50, 354.0, 354.0, 0.5),
        ("A7", weak, LIMITS, AtomisedResin, 0.60, 496.8, 497.0, 0.5),
    ];
    let mut rows = Vec::new();
    for (id, class, source, form, fraction, own, limit, tolerance) in table {
        let got = lb_ton(form, fraction);
        let input = format!("{form:?} at {fraction}, lb/ton");
        rows.push(row((id, class, source), input.clone(), (limit, tolerance), got));
        rows.push(row((id, "regression", OWN), input, (own, 0.06), got));
    }
    let g_kg = wwww_g_kg(ManualResin, 0.40).unwrap_or(f64::NAN);
    rows.push(row(("A1", "regression", OWN), "ManualResin at 0.4, g/kg", (61.5, 0.05), g_kg));
    let below = ("A3", "regression", "form from memory (computed)");
    for (fraction, expected) in [(0.30, 75.6), (0.35, 94.4), (0.33, 82.96), (0.329_999_999, 83.16)]
    {
        let input = format!("ManualResin at {fraction}, lb/ton");
        rows.push(row(below, input, (expected, 0.05), lb_ton(ManualResin, fraction)));
    }
    rows
}

fn boat_rule() -> Vec<Check> {
    use BoatRuleRow::{AtomisedResin, GelCoat, NonAtomisedResin};
    let g_kg = |form, fraction| vvvv_g_kg(form, fraction).unwrap_or(f64::NAN);
    let table = [
        (NonAtomisedResin, 0.35, 45.6, 46.0),
        (AtomisedResin, 0.30, 53.5, 54.0),
        (GelCoat, 0.48, 291.4, 291.0),
        (GelCoat, 0.40, 214.7, 214.0),
    ];
    let mut rows = Vec::new();
    for (form, fraction, own, allowed) in table {
        let input = format!("{form:?} at {fraction}, kg/Mg");
        let got = g_kg(form, fraction);
        rows.push(row(("A8", "outside", BOATS), input.clone(), (allowed, 1.0), got));
        rows.push(row(("A8", "regression", OWN), input, (own, 0.06), got));
    }
    for fraction in [0.35, 0.40, 0.45] {
        let boats = g_kg(NonAtomisedResin, fraction);
        let second = wwww_g_kg(Application::ManualResin, fraction).unwrap_or(f64::NAN);
        let label = ("A9", "outside", "Subpart VVVV (published) against WWWW (from memory)");
        let input = format!("hand-laid resin at {fraction}, g/kg");
        rows.push(row(label, input, within(boats, 0.07), second));
    }
    rows
}

fn conversions() -> Vec<Check> {
    let us = |ppm, g_mol| mg_m3_from_ppm(ppm, g_mol, MOLAR_VOLUME_25_C_L);
    let uk = |ppm, g_mol| mg_m3_from_ppm(ppm, g_mol, UK_MOLAR_VOLUME_L);
    let (a10, a11) = (("A10", "outside", TLV), ("A11", "outside", TLV));
    let rel = ("A11", "outside", "NIOSH REL, 590 mg/m³ rounded to tens (published)");
    let (a12, a13) = (("A12", "outside, weak", EH40), ("A13", "regression", "identity"));
    let own = ("A12", "regression", OWN);
    let acetone = ACETONE_G_MOL;
    vec![
        row(a10, "styrene 50 ppm, mg/m³", (213.0, 0.5), us(50.0, STYRENE_G_MOL)),
        row(a10, "styrene 100 ppm, mg/m³", (426.0, 0.5), us(100.0, STYRENE_G_MOL)),
        row(a11, "acetone 500 ppm, mg/m³", (1187.0, 1.0), us(500.0, acetone)),
        row(rel, "acetone 250 ppm, mg/m³", (590.0, 5.0), us(250.0, acetone)),
        // The document rounds to tens and to tenths; half of the last place is the tolerance.
        row(a12, "acetone 500 ppm, mg/m³", (1210.0, 5.0), uk(500.0, acetone)),
        row(a12, "styrene 100 ppm, mg/m³", (430.0, 5.0), uk(100.0, STYRENE_G_MOL)),
        row(a12, "MEKP 0.2 ppm, mg/m³", (1.5, 0.05), uk(0.2, MEKP_G_MOL)),
        row(own, "acetone 500 ppm, mg/m³", within(1207.0, 0.005), uk(500.0, acetone)),
        row(own, "styrene 100 ppm, mg/m³", within(433.0, 0.005), uk(100.0, STYRENE_G_MOL)),
        row(own, "MEKP 0.2 ppm, mg/m³", within(1.46, 0.005), uk(0.2, MEKP_G_MOL)),
        row(a13, "styrene at 5 mmHg, ppm", (6579.0, 0.5), saturation_ppm(5.0)),
        row(a13, "acetone at 180 mmHg, ppm", (236_842.0, 0.5), saturation_ppm(180.0)),
    ]
}

fn dilution() -> Vec<Check> {
    let volume_l = molar_volume_l(20.0).unwrap_or(f64::NAN);
    let book = "Abulencia & Theodore, Fluid Flow for the Practicing Chemical Engineer, Ex. 20.2";
    // 3/8 US gallon an hour, 0.4 of it toluene of specific gravity 0.87.
    let lb_h = 0.375 * 0.4 * 0.87 * 8.34;
    let g_min = lb_h * 453.592 / 60.0;
    let room_l = molar_volume_l(293.0 - 273.15).unwrap_or(f64::NAN);
    let l_min = vapour_m3(g_min / 1000.0, 92.0, room_l) * 1000.0;
    let flow_m3_h = fresh_air_m3_h(g_min * 60.0, 92.0, room_l, 5.0, 80.0).unwrap_or(f64::NAN);
    let (a14, a15) = (("A14", "outside", book), ("A15", "outside", "hygiene tracer-gas note"));
    let half_life = air_flow_from_half_life_m3_h(20.0, 1.4).unwrap_or(f64::NAN);
    let own = |id| (id, "regression", OWN);
    let air = |kg, g_mol, ppm| air_to_dilute_m3(kg, g_mol, volume_l, ppm).unwrap_or(f64::NAN);
    let quarter = |percent: f64| percent * 1.0e4 * 0.25;
    let mut rows = vec![
        row(a14, "toluene adhesive, g/min", within(8.235, 0.005), g_min),
        row(a14, "toluene adhesive, L/min of vapour", within(2.15, 0.005), l_min),
        row(
            own("A14"),
            "toluene adhesive, fresh air, L/min",
            within(134_500.0, 0.005),
            flow_m3_h * 1000.0 / 60.0,
        ),
        row(a15, "20 m³, half-life 1.4 h, m³/h", (9.9, 0.05), half_life),
        row(
            own("A22"),
            "1 kg acetone, m³",
            within(0.4142, 0.005),
            vapour_m3(1.0, ACETONE_G_MOL, volume_l),
        ),
        row(
            own("A22"),
            "1 kg styrene, m³",
            within(0.2310, 0.005),
            vapour_m3(1.0, STYRENE_G_MOL, volume_l),
        ),
        row(
            own("A22"),
            "1 kg acetone to a quarter of the flammable limit, m³",
            within(66.3, 0.005),
            air(1.0, ACETONE_G_MOL, quarter(ACETONE_FLAMMABLE_PERCENT)),
        ),
        row(
            own("A22"),
            "1 kg styrene to a quarter of the flammable limit, m³",
            within(102.7, 0.005),
            air(1.0, STYRENE_G_MOL, quarter(STYRENE_FLAMMABLE_PERCENT)),
        ),
    ];
    let g = wwww_g_kg(Application::ManualResin, 0.40).unwrap_or(f64::NAN);
    for (ppm, expected) in [(50.0, 284.1), (100.0, 142.0), (20.0, 710.2)] {
        let got = air(g / 1000.0, STYRENE_G_MOL, ppm);
        rows.push(row(
            own("A23"),
            format!("1 kg resin at 0.4, air for {ppm} ppm, m³"),
            within(expected, 0.005),
            got,
        ));
    }
    rows
}

fn clearing() -> Vec<Check> {
    let room =
        |mixing_factor| Room { volume_m3: 60.0, air_changes_h: 5.0, mixing_factor, air_c: 20.0 };
    let peak = room(1.0).peak_ppm(120.0, STYRENE_G_MOL, 0.0, 0.0).unwrap_or(f64::NAN);
    let purge = |mixing| room(mixing).purge_min(peak, 50.0).unwrap_or(f64::NAN);
    // 100 000 ft³ at an effective 2000 cfm: 1.2 changes an hour.
    let hall = Room { volume_m3: 2831.7, air_changes_h: 1.2, mixing_factor: 1.0, air_c: 21.0 };
    let (a18, a24) = (("A18", "outside, weak", MANUAL), ("A24", "regression", OWN));
    let down = hall.purge_min(100.0, 25.0).unwrap_or(f64::NAN);
    let left = hall.peak_ppm(0.0, STYRENE_G_MOL, 60.0, 100.0).unwrap_or(f64::NAN);
    let mut rows = vec![
        row(a18, "100 to 25 ppm, min", (69.3, 0.1), down),
        row(a18, "100 ppm after 60 min, ppm", (30.1, 0.1), left),
        row(a24, "120 g styrene at once in 60 m³, ppm", within(461.9, 0.005), peak),
        row(a24, "to 50 ppm at 5 changes an hour, min", within(26.7, 0.005), purge(1.0)),
        row(a24, "the same, mixing factor 3, min", within(80.0, 0.005), purge(3.0)),
    ];
    for (air_c, expected) in [(20.0, 710.0), (24.0, 720.0)] {
        let closed = Room { volume_m3: 30.0, air_changes_h: 0.0, mixing_factor: 3.0, air_c };
        let got = closed.peak_ppm(92.0, STYRENE_G_MOL, 30.0, 0.0).unwrap_or(f64::NAN);
        let input = format!("92 g styrene in a closed 30 m³ at {air_c} °C, ppm to the nearest ten");
        rows.push(row(("-", "regression", OWN), input, (expected, 5.0), got));
    }
    for (changes, percent, tolerance) in
        [(1.0, 36.8, 0.05), (3.0, 4.98, 0.005), (4.6, 1.0, 0.05), (6.9, 0.1, 0.005)]
    {
        let hours_min = changes / 1.2 * 60.0;
        let got = hall.peak_ppm(0.0, STYRENE_G_MOL, hours_min, 100.0).unwrap_or(f64::NAN);
        let label = ("A25", "regression", "e^-N, identity");
        rows.push(row(label, format!("{changes} air changes, % left"), (percent, tolerance), got));
    }
    rows
}
