//! Spreading of paint: rows W26-W29, and litres with loss.

use super::table::Check;
use plymend::model::stock::Stock;
use plymend::repair::paint::{
    litres, spreading_ft2_per_us_gallon, spreading_m2_per_l, wet_film_um,
};

const TRADE: &str = "paint suppliers' arithmetic (common practice)";

fn row(
    id: &'static str,
    input: impl Into<String>,
    (expected, tolerance): (f64, f64),
    got: f64,
) -> Check {
    Check { id, class: "outside", source: TRADE, input: input.into(), expected, tolerance, got }
}

/// All rows of this file.
pub(crate) fn rows() -> Vec<Check> {
    let mut rows = vec![
        row("W26", "solids 65 %, 125 um, m2/L", (5.2, 0.01), spreading_m2_per_l(65.0, 125.0)),
        row(
            "W27",
            "solids 65 %, 5 thousandths of an inch, ft2 a US gallon",
            (208.52, 0.01),
            spreading_ft2_per_us_gallon(0.65, 5.0),
        ),
        row("W28", "solids 71 %, 125 um, wet film, um", (176.0, 0.5), wet_film_um(125.0, 71.0)),
        row("W28", "solids 71 %, 125 um, m2/L", (5.68, 0.005), spreading_m2_per_l(71.0, 125.0)),
    ];
    let table = [
        (100.0, 25.0, 40.0),
        (50.0, 50.0, 10.0),
        (80.0, 100.0, 8.0),
        (60.0, 150.0, 4.0),
        (45.0, 400.0, 1.1),
    ];
    for (solids, film, expected) in table {
        rows.push(row(
            "W29",
            format!("solids {solids} %, {film} um, m2/L"),
            (expected, 0.05),
            spreading_m2_per_l(solids, film),
        ));
    }
    let stock: Stock =
        ron::from_str(plymend::read::built_in::STOCK).expect("the generic stock is whole");
    // Ten square metres of each paint of the generic stock: area x film / (10 x solids x kept).
    let by_hand = [
        ("high-build primer", 10.0 * 110.0 / (10.0 * 45.0 * 0.70)),
        ("one-pack enamel, brushed or rolled", 10.0 * 70.0 / (10.0 * 50.0 * 0.88)),
        ("two-pack finish", 10.0 * 50.0 / (10.0 * 50.0 * 0.50)),
    ];
    for (name, expected) in by_hand {
        let paint = stock.paints.iter().find(|paint| paint.name == name);
        rows.push(row(
            "P1",
            format!("10 m2 of {name}, L"),
            (expected, 1e-9),
            paint.map_or(f64::NAN, |paint| litres(paint, 10.0)),
        ));
    }
    rows
}
