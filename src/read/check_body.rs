//! The values of a body file.

use super::faults::{Faults, GRID};
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::body::{Body, VehicleEnergy};

/// Every fault of value in a body; its panels are files of their own.
pub(super) fn body(body: &Body, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    faults.name("name", "the body", &body.name);
    if body.panels.is_empty() {
        faults.add(
            "panels",
            "READ-NOTHING",
            "the body has no panels",
            "one panel or more",
            "name the panel files, or list the panels in the survey instead",
        );
    }
    for (number, panel) in body.panels.iter().enumerate() {
        faults.name(&format!("panels[{number}].file"), "a panel file", &panel.file);
        let (rear, side, up) = panel.at_mm;
        for (axis, value) in [rear, side, up].into_iter().enumerate() {
            let field = format!("panels[{number}].at_mm[{axis}]");
            faults.range(&field, "place on the body", value.value(), "mm", GRID);
        }
        let turned = panel.turned_deg.value();
        let field = format!("panels[{number}].turned_deg");
        faults.range(&field, "turn", turned, "degrees", -360.0..=360.0);
    }
    energy("energy.", &body.energy, &mut faults);
    for (field, year) in [("built", body.built), ("refinished", body.refinished)] {
        if let Some(year) = year.filter(|year| !(1940..=2100).contains(year)) {
            faults.add(
                field,
                "READ-RANGE",
                format!("year: found {year}"),
                "1940 to 2100",
                "write the year in four digits, or leave it out where it is not known",
            );
        }
    }
    if let (Some(built), Some(refinished)) = (body.built, body.refinished)
        && refinished < built
    {
        faults.add(
            "refinished",
            "READ-CONTRADICTION",
            format!("refinished in {refinished}, before it was built in {built}"),
            "the year it was built, or later",
            "correct one of the years",
        );
    }
    faults.into_found()
}

/// Live parts sit behind panels that there are.
pub(super) fn live_parts(body: &Body, loaded: &Loaded, panels: &[&str]) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    for (number, part) in body.live_parts.iter().enumerate() {
        faults.name(&format!("live_parts[{number}].what"), "a live part", &part.what);
        faults.known(&format!("live_parts[{number}].behind"), "panel", &part.behind, panels);
    }
    faults.into_found()
}

/// What is stored in the vehicle; `at` stands before each field's name.
pub(super) fn energy(at: &str, energy: &VehicleEnergy, faults: &mut Faults<'_>) {
    let limit = energy.battery_heat_limit_c.map(|limit| limit.value());
    let field = format!("{at}battery_heat_limit_c");
    faults.range_if(&field, "heat the battery may take", limit, "C", 20.0..=80.0);
}
