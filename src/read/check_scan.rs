//! The values of a scanned skin, and places that fit the way the skin is described.

use std::sync::Arc;

use super::faults::{Faults, SPACE};
use super::job::{Reading, path_from};
use super::scan_file::{self, ScanFile};
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::panel::{Fixings, Panel, PanelPlace, Scan, SurfaceForm};

/// Reads the scan that a panel names; a fault in naming it is told where it is named.
pub(super) fn read(reading: &mut Reading<'_>, from: &Loaded, name: &str) -> Option<Arc<ScanFile>> {
    let file = path_from(&from.file, name);
    let bytes = match reading.folder.bytes(&file) {
        Ok(bytes) => bytes,
        Err(Diagnostic { code, problem, accepted, way_out, .. }) => {
            let problem = format!("{file}: {problem}");
            reading.faults.push(from.fault("surface.file", code, problem, accepted, way_out));
            return None;
        }
    };
    reading.note(&file, &bytes);
    match scan_file::read(&file, &bytes) {
        Ok(scan) => Some(Arc::new(scan)),
        Err(fault) => {
            reading.faults.push(fault);
            None
        }
    }
}

/// The fields of `Scan`.
pub(super) fn scan(scan: &Scan, field: &str, faults: &mut Faults<'_>) {
    let at = |name: &str| format!("{field}.{name}");
    faults.name(&at("file"), "the scan's file", &scan.file);
    if let Some(part) = &scan.part {
        faults.name(&at("part"), "the part of the scan", part);
    }
    let weld = scan.weld_mm.map(|mm| mm.value());
    faults.range_if(&at("weld_mm"), "welding of open edges", weld, "mm", 0.0..=1.0);
    let fill = scan.fill_holes_mm.map(|mm| mm.value());
    faults.range_if(&at("fill_holes_mm"), "holes that are filled", fill, "mm", 0.0..=300.0);
    let thin = scan.thin_mm.map(|mm| mm.value());
    faults.range_if(&at("thin_mm"), "thinning", thin, "mm", 0.005..=2.0);
    let share = scan.thin_area_percent;
    faults.range_if(&at("thin_area_percent"), "change of area", share, "%", 0.001..=2.0);
    if let Some(axis) = &scan.axis {
        let (x, y, z) = axis.at;
        for (number, value) in [x, y, z].into_iter().enumerate() {
            let field = format!("{field}.axis.at[{number}]");
            faults.range(&field, "start of the grid", value.value(), "mm", SPACE);
        }
        let (x, y, z) = axis.along;
        let length = x.hypot(y).hypot(z);
        if !(length.is_finite() && length > 1e-9) {
            faults.add(
                &at("axis.along"),
                "SCAN-AXIS",
                format!("({x}, {y}, {z}) is no direction"),
                "three numbers, not all of them 0",
                "give the direction in which u runs, such as (1, 0, 0)",
            );
        }
    }
}

/// Places in space belong to a scan, and a scan has no outline of its own on the grid.
pub(super) fn places(panel: &Panel, faults: &mut Faults<'_>) {
    let scanned = matches!(panel.surface, Some(SurfaceForm::Scan(_)));
    // The image of a scan takes its skin from another file, which is not known here.
    let may_be_scanned = scanned || panel.surface.is_none();
    if scanned && panel.outline.is_some() {
        faults.add(
            "outline",
            "READ-CONTRADICTION",
            "an outline is given for a scan, whose own edge bounds the face",
            "no `outline` with `Scan`",
            "cut the scan to the panel, and take `outline` out",
        );
    }
    for (number, opening) in panel.openings.iter().enumerate() {
        let field = format!("openings[{number}].at");
        if opening.at.is_some() && !opening.outline.is_empty() {
            faults.add(
                &field,
                "READ-CONTRADICTION",
                "the opening has an outline and a place as well",
                "`outline`, or on a scan `at`",
                "take one of the two out",
            );
        }
        if let Some(at) = &opening.at {
            faults.panel_place(&field, "the opening", at);
            if !may_be_scanned {
                faults.add(
                    &field,
                    "READ-CONTRADICTION",
                    "an opening is given by its place on a skin that is no scan",
                    "`outline` of the opening on the grid",
                    "give the corners of the opening",
                );
            }
        }
    }
    if may_be_scanned {
        return;
    }
    let mut in_space: Vec<String> = Vec::new();
    let mut look = |field: String, place: &PanelPlace| {
        if place.on_grid().is_none() {
            in_space.push(field);
        }
    };
    for (number, one) in panel.landmarks.iter().enumerate() {
        look(format!("landmarks[{number}].at"), &one.at);
    }
    if let Fixings::Listed(fixings) = &panel.fixings {
        for (number, one) in fixings.iter().enumerate() {
            look(format!("fixings[{number}].at"), &one.at);
        }
    }
    let openings = panel.openings.iter().map(|one| &one.outline);
    let regions = panel.regions.iter().map(|one| &one.outline);
    let strips = panel.strips.iter().map(|one| &one.outline);
    for (list, outlines) in [
        ("openings", openings.collect::<Vec<_>>()),
        ("regions", regions.collect()),
        ("strips", strips.collect()),
    ] {
        for (number, outline) in outlines.into_iter().enumerate() {
            for (corner, place) in outline.iter().enumerate() {
                look(format!("{list}[{number}].outline[{corner}]"), place);
            }
        }
    }
    for field in in_space {
        faults.add(
            &field,
            "READ-CONTRADICTION",
            "a place in space on a skin that is no scan",
            "(u, v) on the panel's grid",
            "measure it on the grid; places in space belong to a scan's own axes",
        );
    }
}
