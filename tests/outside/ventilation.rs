//! Ventilation by worked examples of the trade in US units: rows A16, A17, A19-A21.

use super::table::Check;
use plymend::shop::air::{
    Room, STYRENE_G_MOL, air_to_dilute_m3, fresh_air_m3_h, molar_volume_l, vapour_m3,
};

const MANUAL: &str = "ACGIH Industrial Ventilation, worked example (from memory)";
const OSHA: &str = "29 CFR 1910.94 Table G-11 (from memory)";
/// The examples are at 70 °F.
const ROOM_C: f64 = (70.0 - 32.0) / 1.8;
const M3_PER_FT3: f64 = 0.028_316_846_6;
const L_PER_US_PINT: f64 = 0.473_176_473;
const L_PER_US_GALLON: f64 = 8.0 * L_PER_US_PINT;

/// A solvent: its density is that of water at 1 kg/L times its specific gravity.
struct Solvent {
    pints_h: f64,
    gravity: f64,
    g_mol: f64,
}

impl Solvent {
    fn g_h(&self) -> f64 {
        self.pints_h * L_PER_US_PINT * self.gravity * 1000.0
    }

    /// Fresh air that keeps a level, ft³/min.
    fn air_cfm(&self, mixing: f64, ppm: f64) -> f64 {
        let flow = fresh_air_m3_h(self.g_h(), self.g_mol, room_l(), mixing, ppm);
        flow.unwrap_or(f64::NAN) / M3_PER_FT3 / 60.0
    }

    fn vapour_cfm(&self) -> f64 {
        vapour_m3(self.g_h() / 1000.0, self.g_mol, room_l()) / M3_PER_FT3 / 60.0
    }
}

fn room_l() -> f64 {
    molar_volume_l(ROOM_C).unwrap_or(f64::NAN)
}

fn row(
    (id, source): (&'static str, &'static str),
    input: &str,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class: "outside, weak", source, input: input.to_owned(), expected, tolerance, got }
}

fn percent(expected: f64, tolerance: f64) -> (f64, f64) {
    (expected, expected * tolerance / 100.0)
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = dilution();
    rows.extend(building_up());
    rows.extend(quarter_of_flammable());
    rows
}

fn dilution() -> Vec<Check> {
    let chloroform = Solvent { pints_h: 1.5, gravity: 1.32, g_mol: 133.4 };
    let xylene = Solvent { pints_h: 2.0, gravity: 0.88, g_mol: 106.0 };
    let ketone = Solvent { pints_h: 2.0, gravity: 0.805, g_mol: 72.1 };
    let toluene = Solvent { pints_h: 2.0, gravity: 0.866, g_mol: 92.1 };
    // A tenth of the flammable limit of 1 %, of which 0.7 holds in a hot oven.
    let oven = xylene.air_cfm(1.0, 1.0e4 / 10.0 * 0.7);
    let (a16, a19, a20) = (("A16", MANUAL), ("A19", MANUAL), ("A20", MANUAL));
    let (slow, fast) = (ketone.air_cfm(5.0, 200.0), toluene.air_cfm(5.0, 50.0));
    vec![
        row(
            a16,
            "methyl chloroform, 1.5 pints an hour, vapour, ft³/min",
            percent(0.0997, 1.0),
            chloroform.vapour_cfm(),
        ),
        row(
            a16,
            "the same, air for 350 ppm, ft³/min",
            percent(285.0, 1.0),
            chloroform.air_cfm(1.0, 350.0),
        ),
        row(
            a16,
            "the same, mixing factor 5, ft³/min",
            percent(1425.0, 1.0),
            chloroform.air_cfm(5.0, 350.0),
        ),
        row(a19, "oven, xylene 2 pints an hour, ft³/min at 70 °F", (159.0, 1.0), oven),
        row(a19, "the same at 350 °F, ft³/min", (243.0, 1.0), oven * 810.0 / 530.0),
        row(a20, "butanone 2 pints an hour, 200 ppm, K 5, ft³/min", percent(3750.0, 1.0), slow),
        row(a20, "toluene 2 pints an hour, 50 ppm, K 5, ft³/min", percent(12_631.0, 1.0), fast),
        row(a20, "the same, 100 ppm, ft³/min", percent(6316.0, 1.0), toluene.air_cfm(5.0, 100.0)),
        row(a20, "both solvents, ft³/min", percent(16_381.0, 1.0), slow + fast),
    ]
}

/// 1.2 ft³/min of vapour in 100 000 ft³ at an effective 2000 ft³/min, from clean air.
fn building_up() -> Vec<Check> {
    let hall = Room {
        volume_m3: 100_000.0 * M3_PER_FT3,
        air_changes_h: 2000.0 * 60.0 / 100_000.0,
        mixing_factor: 1.0,
        air_c: ROOM_C,
    };
    let level = |minutes: f64| {
        let vapour_l = 1.2 * minutes * M3_PER_FT3 * 1000.0;
        let grams = vapour_l / room_l() * STYRENE_G_MOL;
        hall.peak_ppm(grams, STYRENE_G_MOL, minutes, 0.0).unwrap_or(f64::NAN)
    };
    let a17 = ("A17", MANUAL);
    vec![
        row(a17, "1.2 ft³/min of vapour after 20.3 min, ppm", percent(200.0, 0.5), level(20.3)),
        row(a17, "the same after 60 min, ppm", percent(419.0, 0.5), level(60.0)),
    ]
}

/// The table counts the air alone; the crate counts air and vapour together. The air starts from
/// the table's own vapour, so its rows hold the arithmetic of dilution only.
fn quarter_of_flammable() -> Vec<Check> {
    let a21 = ("A21", OSHA);
    let mut rows = Vec::new();
    for (name, gravity, g_mol, flammable_percent, vapour_ft3, air_ft3) in
        [("toluene", 0.866, 92.1, 1.4, 30.4, 8564.0), ("acetone", 0.791, 58.08, 2.6, 44.0, 6593.0)]
    {
        let of_gallon_ft3 = |kg: f64| vapour_m3(kg, g_mol, room_l()) / M3_PER_FT3;
        rows.push(row(
            a21,
            &format!("a US gallon of {name}, vapour, ft³"),
            percent(vapour_ft3, 1.0),
            of_gallon_ft3(L_PER_US_GALLON * gravity),
        ));
        let kg = vapour_ft3 * M3_PER_FT3 / room_l() * g_mol;
        let ppm = flammable_percent * 1.0e4 / 4.0;
        let mixture = air_to_dilute_m3(kg, g_mol, room_l(), ppm).unwrap_or(f64::NAN) / M3_PER_FT3;
        rows.push(row(
            a21,
            &format!("air to a quarter of the flammable limit, a US gallon of {name}, ft³"),
            (air_ft3, 1.0),
            mixture - 4.0 * of_gallon_ft3(kg),
        ));
    }
    rows
}
