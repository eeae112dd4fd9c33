//! The values of a body file.

use super::faults::{Faults, GRID};
use super::job::JobPanel;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::body::{Body, SeamPlace, VehicleEnergy};

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

/// Seams join two different panels that there are, from landmarks that they have.
pub(super) fn seams(body: &Body, loaded: &Loaded, panels: &[JobPanel]) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let names: Vec<&str> = panels.iter().map(|panel| panel.name.as_str()).collect();
    for (number, seam) in body.seams.iter().enumerate() {
        for (word, edge) in [("one", &seam.one), ("other", &seam.other)] {
            let field = format!("seams[{number}].{word}");
            faults.known(&format!("{field}.panel"), "panel", &edge.panel, &names);
            if edge.along.len() < 2 {
                faults.add(
                    &format!("{field}.along"),
                    "READ-SEAM",
                    format!("the edge has {} of its two ends", edge.along.len()),
                    "two places or more along the edge",
                    "give where the seam starts and where it ends",
                );
            }
            for (step, place) in edge.along.iter().enumerate() {
                let field = format!("{field}.along[{step}]");
                let figures = match place {
                    SeamPlace::On(u, v) => vec![u, v],
                    SeamPlace::Xyz(x, y, z) => vec![x, y, z],
                    SeamPlace::Landmark(name) => {
                        let of = panels.iter().find(|panel| panel.name == edge.panel);
                        let known: Vec<&str> = of
                            .map(|of| {
                                of.panel.landmarks.iter().map(|one| one.name.as_str()).collect()
                            })
                            .unwrap_or_default();
                        faults.known(&field, "landmark", name, &known);
                        continue;
                    }
                };
                for value in figures {
                    faults.range(&field, "place on the edge", value.value(), "mm", GRID);
                }
            }
        }
        if seam.one.panel == seam.other.panel {
            faults.add(
                &format!("seams[{number}].other.panel"),
                "READ-SEAM",
                format!("{:?} is joined to itself", seam.one.panel),
                "two different panels",
                "give the two panels that meet there, or take the seam out",
            );
        }
    }
    faults.into_found()
}

/// What is stored in the vehicle; `at` stands before each field's name.
pub(super) fn energy(at: &str, energy: &VehicleEnergy, faults: &mut Faults<'_>) {
    let limit = energy.battery_heat_limit_c.map(|limit| limit.value());
    let field = format!("{at}battery_heat_limit_c");
    faults.range_if(&field, "heat the battery may take", limit, "C", 20.0..=80.0);
}
