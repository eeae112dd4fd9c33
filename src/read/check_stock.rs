//! The values of a stock file.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::stock::{ResinFamily, Stock};

/// Every fault of value in a stock.
pub(super) fn stock(stock: &Stock, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    mats(stock, &mut faults);
    let tissue = &stock.tissue;
    faults.name("tissue.name", "the tissue", &tissue.name);
    let weight = tissue.weight_g_m2.value();
    faults.range("tissue.weight_g_m2", "weight of the tissue", weight, "g/m2", 10.0..=150.0);
    let takes = tissue.resin_kg_m2.value();
    faults.range("tissue.resin_kg_m2", "resin in the tissue", takes, "kg/m2", 0.05..=2.0);
    faults.range("tissue.proud_mm", "tissue", tissue.proud_mm.value(), "mm", 0.0..=3.0);
    resins(stock, &mut faults);
    let gel = &stock.gel_coat;
    faults.name("gel_coat.name", "the gel coat", &gel.name);
    let mass = gel.coverage_kg_m2.value();
    faults.range("gel_coat.coverage_kg_m2", "gel coat", mass, "kg/m2", 0.05..=5.0);
    let thickness = gel.thickness_mm.value();
    faults.range("gel_coat.thickness_mm", "gel coat", thickness, "mm", 0.05..=3.0);
    let styrene = gel.styrene_percent.value();
    faults.range("gel_coat.styrene_percent", "styrene", styrene, "%", 0.0..=70.0);
    paints(stock, &mut faults);
    faults.into_found()
}

fn mats(stock: &Stock, faults: &mut Faults<'_>) {
    if stock.mats.is_empty() {
        faults.add(
            "mats",
            "READ-NOTHING",
            "the stock holds no mat",
            "one glass mat or more",
            "add the mats that are on the shelf",
        );
    }
    for (number, mat) in stock.mats.iter().enumerate() {
        let at = |name: &str| format!("mats[{number}].{name}");
        faults.name(&at("name"), "a mat", &mat.name);
        let weight = mat.weight_g_m2.value();
        faults.range(&at("weight_g_m2"), "weight of the mat", weight, "g/m2", 50.0..=1500.0);
        let roll = mat.roll_width_mm.map(|width| width.value());
        faults.range_if(&at("roll_width_mm"), "width of the roll", roll, "mm", 200.0..=4000.0);
        faults.range(&at("glass_content"), "share of glass", mat.glass_content, "", 0.15..=0.75);
    }
    let names: Vec<&str> = stock.mats.iter().map(|mat| mat.name.as_str()).collect();
    faults.unlike("mat", &names, |number| format!("mats[{number}].name"));
}

fn resins(stock: &Stock, faults: &mut Faults<'_>) {
    if stock.resins.is_empty() {
        faults.add(
            "resins",
            "READ-NOTHING",
            "the stock holds no laminating resin",
            "one resin or more",
            "add the resin that is on the shelf",
        );
    }
    for (number, resin) in stock.resins.iter().enumerate() {
        let at = |name: &str| format!("resins[{number}].{name}");
        faults.name(&at("name"), "a resin", &resin.name);
        faults.range(&at("density_g_cm3"), "density", resin.density_g_cm3, "g/cm3", 0.8..=2.5);
        let styrene = resin.styrene_percent.value();
        faults.range(&at("styrene_percent"), "styrene", styrene, "%", 0.0..=70.0);
        if resin.family == ResinFamily::Epoxy && styrene > 0.0 {
            faults.add(
                &at("styrene_percent"),
                "READ-CONTRADICTION",
                format!("an epoxy resin is said to hold {styrene} % styrene"),
                "0 for epoxy",
                "write 0, or polyester as the family",
            );
        }
        // Epoxy is mixed by parts, from a tenth of the resin's mass to as much as the resin.
        let hardener = match resin.family {
            ResinFamily::Polyester | ResinFamily::VinylEster => 0.0..=10.0,
            ResinFamily::Epoxy => 5.0..=120.0,
        };
        let share = resin.hardener_percent.value();
        faults.range(&at("hardener_percent"), "hardener", share, "%", hardener);
        faults.range(&at("gel_time_min"), "gel time", resin.gel_time_min, "min", 1.0..=2000.0);
        faults.range(&at("gel_time_at_c"), "its temperature", resin.gel_time_at_c, "C", 5.0..=60.0);
        let dose = resin.gel_time_percent;
        faults.range(&at("gel_time_percent"), "its hardener", dose, "%", 0.0..=120.0);
    }
    let names: Vec<&str> = stock.resins.iter().map(|resin| resin.name.as_str()).collect();
    faults.unlike("resin", &names, |number| format!("resins[{number}].name"));
}

fn paints(stock: &Stock, faults: &mut Faults<'_>) {
    for (number, paint) in stock.paints.iter().enumerate() {
        let at = |name: &str| format!("paints[{number}].{name}");
        faults.name(&at("name"), "a paint", &paint.name);
        let solids = paint.solids_percent.value();
        faults.range(&at("solids_percent"), "solids by volume", solids, "%", 5.0..=100.0);
        faults.range(
            &at("dry_film_um"),
            "dry film",
            paint.dry_film_um,
            "micrometres",
            5.0..=2000.0,
        );
        let loss = paint.loss_percent.value();
        faults.range(&at("loss_percent"), "loss in applying", loss, "%", 0.0..=90.0);
    }
    let names: Vec<&str> = stock.paints.iter().map(|paint| paint.name.as_str()).collect();
    faults.unlike("paint", &names, |number| format!("paints[{number}].name"));
}
