//! Thickness, glass content and taper: rows W1, W2, W10, W13, W16-W18, W20, W22-W25, the published
//! table of backing patches, and ply sets for usual skins.

use super::table::Check;
use plymend::model::stock::Stock;
use plymend::repair::plies::{Shelf, lay_out, ply_set, resin_ratio, thickness_mm};
use plymend::rules::Book;

const CLASS_GUIDE: &str = "Lloyd's Register, Guidance Notes for Calculation Procedures for Composite Construction, Table 3.1.1 (published)";
const MANUAL: &str = "US Army TM 5-3820-256-24-5, p 616 (published)";
const MASS: &str =
    "mass balance at 2.56 and 1.20 g/cm3, glass content 0.30, computed apart from this crate";
const TRADE: &str = "boat and workshop practice (common practice)";
const RESIN_G_CM3: f64 = 1.20;
const INCH_MM: f64 = 25.4;
/// The ounce and the foot are exact by international agreement.
const OUNCE_G: f64 = 28.349_523_125;
const FOOT_M: f64 = 0.3048;
/// 231 cubic inches, exact.
const US_GALLON_L: f64 = 3.785_411_784;

fn row(
    (id, class, source): (&'static str, &'static str, &'static str),
    input: impl Into<String>,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class, source, input: input.into(), expected, tolerance, got }
}

fn oz_ft2_in_g_m2(ounces: f64) -> f64 {
    ounces * OUNCE_G / (FOOT_M * FOOT_M)
}

fn stock() -> Stock {
    ron::from_str(plymend::read::built_in::STOCK).expect("the generic stock is whole")
}

/// Glass content at a resin ratio, found by halving on the crate's own ratio.
fn content_at(ratio: f64) -> f64 {
    let (mut low, mut high) = (0.01, 0.99);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if resin_ratio(middle) > ratio {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

fn plies(rows: &mut Vec<Check>) {
    let ply = |weight: f64, content: f64| thickness_mm(weight, content, RESIN_G_CM3);
    rows.push(row(
        ("W1", "outside", CLASS_GUIDE),
        "mat 600 g/m2, glass content 0.33, mm",
        (1.250, 0.001),
        ply(0.6, 0.33),
    ));
    rows.push(row(
        ("W2", "outside", CLASS_GUIDE),
        "woven roving 600 g/m2, glass content 0.50, mm",
        (0.734, 0.001),
        ply(0.6, 0.50),
    ));
    // The crate has no moduli yet: these rows hold the formulae until it has.
    let only = ("W10", "formula only", CLASS_GUIDE);
    let (mat, roving) = (0.33, 0.50);
    rows.push(row(only, "mat, tensile 15 fc + 2, GPa", (6.95, 1e-9), 15.0 * mat + 2.0));
    rows.push(row(only, "mat, compressive 40 fc - 6, GPa", (7.20, 1e-9), 40.0 * mat - 6.0));
    rows.push(row(only, "roving, compressive 40 fc - 6, GPa", (14.0, 1e-9), 40.0 * roving - 6.0));
    let sheet = ("W13", "outside, weak", "BS 4994:1987 worksheet (common practice)");
    rows.push(row(sheet, "resin to glass at 0.33", (2.03, 0.005), resin_ratio(0.33)));
    rows.push(row(sheet, "resin to glass at 0.45", (1.22, 0.005), resin_ratio(0.45)));
    let stock = stock();
    for mat in &stock.mats {
        let quoted = ("W17", "outside, weak", TRADE);
        rows.push(row(
            quoted,
            format!("glass content of {}, quoted 30 %", mat.name),
            (30.0, 1.5),
            mat.glass_content * 100.0,
        ));
        rows.push(row(
            ("W18", "outside", TRADE),
            format!("1 kg of {}, kg resin", mat.name),
            (2.5, 1e-9),
            resin_ratio(mat.glass_content),
        ));
    }
    rows.push(row(
        ("W17", "outside, weak", TRADE),
        "glass content of roving at 1.25 to 1, quoted 45 %",
        (45.0, 1.5),
        content_at(1.25) * 100.0,
    ));
}

/// 100 ft2 wetted out as told in US gallons: one a 50 ft2 of 0.75 oz mat, one a 30 ft2 of 1.5 oz.
/// The glass contents read from it, 0.20 and 0.23 at 1.1 kg/L, are given to a hundredth: so far
/// may the gallons be off.
fn us_gallons(rows: &mut Vec<Check>) {
    let gallons = |ounces: f64, layers: f64, content: f64| {
        let glass_kg = layers * oz_ft2_in_g_m2(ounces) / 1000.0 * 100.0 * FOOT_M * FOOT_M;
        glass_kg * resin_ratio(content) / 1.1 / US_GALLON_L
    };
    let told = ("W20", "formula only", TRADE);
    let (light, heavy) = ("100 ft2 of 0.75 oz mat, US gallons", "two of 1.5 oz, US gallons");
    rows.push(row(told, light, (100.0 / 50.0, 0.07), gallons(0.75, 1.0, 0.20)));
    rows.push(row(told, heavy, (200.0 / 30.0, 0.20), gallons(1.5, 2.0, 0.23)));
}

fn backing_table(rows: &mut Vec<Check>) {
    let exact = "ounce and foot, exact by international agreement";
    for (ounces, expected, tolerance) in
        [(1.0, 305.15, 0.005), (0.75, 229.0, 0.5), (1.5, 458.0, 0.5), (2.0, 610.0, 0.5)]
    {
        rows.push(row(
            ("U1", "formula only", exact),
            format!("{ounces} oz/ft2, g/m2"),
            (expected, tolerance),
            oz_ft2_in_g_m2(ounces),
        ));
    }
    rows.push(row(
        ("U2", "formula only", exact),
        "1 oz/yd2, g/m2",
        (33.906, 0.001),
        oz_ft2_in_g_m2(1.0) / 9.0,
    ));
    let patch = |light: f64, heavy: f64| {
        light * thickness_mm(oz_ft2_in_g_m2(1.5) / 1000.0, 0.30, RESIN_G_CM3)
            + heavy * thickness_mm(oz_ft2_in_g_m2(2.0) / 1000.0, 0.30, RESIN_G_CM3)
    };
    rows.push(row(
        ("W16", "outside", MANUAL),
        "three plies of 1.5 oz/ft2, the manual's patch of 0.126 in, mm",
        (0.126 * INCH_MM, 0.02 * 0.126 * INCH_MM),
        patch(3.0, 0.0),
    ));
    let table = [
        (2.5, 3.0, 0.0, 3.21),
        (2.8, 3.0, 0.0, 3.21),
        (3.0, 2.0, 1.0, 3.56),
        (3.3, 1.0, 2.0, 3.92),
        (3.6, 0.0, 3.0, 4.28),
        (4.3, 2.0, 2.0, 4.99),
    ];
    for (panel_mm, light, heavy, expected) in table {
        let thick_mm = patch(light, heavy);
        rows.push(row(
            ("B1", "regression", MASS),
            format!("backing for {panel_mm} mm: {light} x 1.5 oz and {heavy} x 2 oz, mm"),
            (expected, 0.006),
            thick_mm,
        ));
        // The manual's patches are all a little thicker than the panel behind them.
        rows.push(row(
            ("B2", "outside, weak", MANUAL),
            format!("the same over the panel of {panel_mm} mm"),
            (1.20, 0.09),
            thick_mm / panel_mm,
        ));
    }
}

/// Reach of the last ply of a set of the lightest mat.
fn last_reach_mm(count: usize, depth_mm: f64, taper: f64) -> f64 {
    let stock = stock();
    let shelf = Shelf::pick(&stock, false).expect("polyester on the shelf");
    let set = vec![shelf.mats[0]; count];
    let laid = lay_out(&shelf, &set, depth_mm, taper, &Book::built_in());
    laid.last().map_or(f64::NAN, |ply| ply.reach_mm)
}

fn tapers(rows: &mut Vec<Check>) {
    rows.push(row(
        ("W22", "outside", TRADE),
        "12 to 1, skin of 1/4 in, each side, in",
        (3.0, 1e-9),
        last_reach_mm(1, 0.25 * INCH_MM, 12.0) / INCH_MM,
    ));
    let each_side = last_reach_mm(1, 7.0 / 16.0 * INCH_MM, 15.0) / INCH_MM;
    let boat = ("W23", "outside", TRADE);
    rows.push(row(boat, "15 to 1, skin of 7/16 in, each side, in", (6.56, 0.02), each_side));
    rows.push(row(
        boat,
        "the same round a hole of 2 in, outer diameter, in",
        (15.125, 0.02),
        2.0 + 2.0 * each_side,
    ));
    rows.push(row(
        ("W24", "outside", "NAVEDTRA 14315 fig 5-8 (published)"),
        "scarf diameter 100 x depth, 50 to 1 each side, depth 1 mm, mm",
        (100.0, 1e-9),
        2.0 * last_reach_mm(1, 1.0, 50.0),
    ));
    rows.push(row(
        ("W25", "outside", TRADE),
        "12.5 mm a ply, four plies, taper too steep to decide, mm",
        (50.0, 1e-9),
        last_reach_mm(4, 1.0, 1.0),
    ));
}

/// Usual skins: glass of the set and its thickness at 2.5 to 1, 2.474 mm for each kg/m2.
fn sets(rows: &mut Vec<Check>) {
    let stock = stock();
    let shelf = Shelf::pick(&stock, false).expect("polyester on the shelf");
    let book = Book::built_in();
    let usual = [
        (2.2, 900.0, 2.23),
        (2.5, 1050.0, 2.60),
        (3.0, 1200.0, 2.97),
        (3.2, 1350.0, 3.34),
        (4.0, 1650.0, 4.08),
    ];
    for (depth_mm, weight, thick) in usual {
        let set = ply_set(&shelf, depth_mm, &book);
        rows.push(row(
            ("S1", "behaviour", "usual ply sets of 300 and 450 mats (choice)"),
            format!("ply set for {depth_mm} mm, g/m2 in all"),
            (weight, 1e-9),
            set.iter().map(|mat| mat.weight_g_m2.value()).sum(),
        ));
        rows.push(row(
            ("S2", "regression", "2.474 mm for each kg/m2 at 2.5 to 1 (computed)"),
            "the same, mm",
            (thick, 0.006),
            set.iter().map(|mat| shelf.ply_mm(mat)).sum(),
        ));
    }
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = Vec::new();
    plies(&mut rows);
    us_gallons(&mut rows);
    backing_table(&mut rows);
    tapers(&mut rows);
    sets(&mut rows);
    rows
}
