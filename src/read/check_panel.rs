//! The values of a panel file.

use super::check_scan;
use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::panel::{Covering, Fixings, Flat, Moulding, Panel, Sections, SurfaceForm};

/// Every fault of value in a panel, its mirror image apart.
pub(super) fn panel(panel: &Panel, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    faults.name("name", "the panel", &panel.name);
    match (&panel.surface, &panel.mirror_of) {
        (Some(_), Some(other)) => faults.add(
            "mirror_of",
            "READ-PANEL-SOURCE",
            format!("the panel has a surface of its own and mirrors {other:?}"),
            "either `surface` or `mirror_of`",
            "take one of the two out",
        ),
        (None, None) => faults.add(
            "surface",
            "READ-PANEL-SOURCE",
            "the panel has no surface and mirrors none",
            "either `surface` or `mirror_of`",
            "give the surface as Moulding, Sections, Flat or Scan, or the file that it mirrors",
        ),
        (Some(surface), None) => form(surface, "surface", &mut faults),
        (None, Some(_)) => {}
    }
    if panel.u_runs.is_some() {
        hand(panel, &mut faults);
    }
    if let Some(outline) = &panel.outline {
        faults.outline("outline", "the outline of the face", outline);
    }
    laminate(panel, &mut faults);
    if panel.roles.is_empty() {
        faults.add(
            "roles",
            "READ-NOTHING",
            "the list of roles is empty",
            "skin, opens, holds_people, stressed or unknown; one or more",
            "write [unknown] where nobody can say",
        );
    }
    parts(panel, &mut faults);
    if let Fixings::Listed(fixings) = &panel.fixings {
        fixings_listed(fixings, "fixings", &mut faults);
    }
    check_scan::places(panel, &mut faults);
    faults.into_found()
}

/// A list of fixings, wherever it is written.
pub(super) fn fixings_listed(
    fixings: &[crate::model::panel::Fixing],
    field: &str,
    faults: &mut Faults<'_>,
) {
    if fixings.is_empty() {
        faults.add(
            field,
            "READ-NOTHING",
            "the list of fixings is empty",
            "one fixing or more, none_seen, or unknown",
            "write none_seen after looking at both sides; leave it out where nobody has looked",
        );
    }
    for (number, fixing) in fixings.iter().enumerate() {
        let at = |name: &str| format!("{field}[{number}].{name}");
        faults.name(&at("name"), "a fixing", &fixing.name);
        faults.panel_place(&at("at"), "place of the fixing", &fixing.at);
        let radius = fixing.footprint_radius_mm.map(|radius| radius.value());
        faults.range_if(&at("footprint_radius_mm"), "footprint", radius, "mm", 0.5..=500.0);
    }
    let names: Vec<&str> = fixings.iter().map(|fixing| fixing.name.as_str()).collect();
    faults.unlike("fixing", &names, |number| format!("{field}[{number}].name"));
}

fn form(surface: &SurfaceForm, field: &str, faults: &mut Faults<'_>) {
    match surface {
        SurfaceForm::Moulding(moulding) => moulded(moulding, field, faults),
        SurfaceForm::Sections(sections) => sectioned(sections, field, faults),
        SurfaceForm::Scan(scan) => check_scan::scan(scan, field, faults),
        SurfaceForm::Flat(Flat { length_mm, width_mm, corner_radius_mm }) => {
            let at = |name: &str| format!("{field}.{name}");
            let whole = sides(length_mm.value(), width_mm.value(), &at, faults);
            corner(corner_radius_mm.value(), whole, &at("corner_radius_mm"), faults);
        }
    }
}

/// Length and width of a panel, mm (choice: from a flap to the side of a coach).
pub(super) const SIDE: std::ops::RangeInclusive<f64> = 50.0..=12_000.0;

/// The two sides, when both are usable.
fn sides(
    length: f64,
    width: f64,
    at: &impl Fn(&str) -> String,
    faults: &mut Faults<'_>,
) -> Option<(f64, f64)> {
    let length_is_good = faults.range(&at("length_mm"), "length", length, "mm", SIDE);
    let width_is_good = faults.range(&at("width_mm"), "width", width, "mm", SIDE);
    (length_is_good && width_is_good).then_some((length, width))
}

fn corner(radius: f64, sides: Option<(f64, f64)>, field: &str, faults: &mut Faults<'_>) {
    let most = sides.map_or(*SIDE.end(), |(length, width)| length.min(width)) / 2.0;
    faults.range(field, "corner radius", radius, "mm", 0.0..=most);
}

/// The sizes of a moulding; also used when the survey has sized it anew.
pub(super) fn moulded(moulding: &Moulding, field: &str, faults: &mut Faults<'_>) {
    let at = |name: &str| format!("{field}.{name}");
    let whole = sides(moulding.length_mm.value(), moulding.width_mm.value(), &at, faults);
    // A rise of more than half the span is no shallow moulding any more.
    let (along, across) =
        whole.map_or((6000.0, 6000.0), |(length, width)| (length * 0.45, width * 0.45));
    let crown = moulding.crown_along_mm.value();
    faults.range(&at("crown_along_mm"), "crown along", crown, "mm", -along..=along);
    let crown = moulding.crown_across_mm.value();
    faults.range(&at("crown_across_mm"), "crown across", crown, "mm", -across..=across);
    let edge = moulding.edge_return_mm.value();
    faults.range(&at("edge_return_mm"), "turned edge", edge, "mm", 0.0..=500.0);
    let bend = moulding.return_radius_mm.value();
    faults.range(&at("return_radius_mm"), "bend of the turned edge", bend, "mm", 0.5..=300.0);
    corner(moulding.corner_radius_mm.value(), whole, &at("corner_radius_mm"), faults);
    let narrowing = whole.map_or(12_000.0, |(_, width)| width * 0.9);
    let taper = moulding.taper_mm.value();
    faults.range(&at("taper_mm"), "taper", taper, "mm", -narrowing..=narrowing);
    faults.range(&at("twist_mm"), "twist", moulding.twist_mm.value(), "mm", -1000.0..=1000.0);
}

fn sectioned(sections: &Sections, field: &str, faults: &mut Faults<'_>) {
    if sections.sections.len() < 2 {
        faults.add(
            &format!("{field}.sections"),
            "READ-SECTIONS",
            format!("{} cross-sections are given", sections.sections.len()),
            "two cross-sections or more",
            "take one at each end of the panel and some between",
        );
    }
    let mut last: Option<f64> = None;
    for (number, section) in sections.sections.iter().enumerate() {
        let at = format!("{field}.sections[{number}]");
        let place = section.at_mm.value();
        let good = faults.range(
            &format!("{at}.at_mm"),
            "place of the section",
            place,
            "mm",
            super::faults::GRID,
        );
        if good && last.is_some_and(|last| place <= last) {
            faults.add(
                &format!("{at}.at_mm"),
                "READ-SECTIONS",
                format!("the section at {place} mm does not come after the one before it"),
                "sections in order, each further along than the last",
                "put the sections in order of `at_mm`",
            );
        }
        last = Some(place);
        if section.points.len() < 2 {
            faults.add(
                &format!("{at}.points"),
                "READ-SECTIONS",
                format!("the section has {} points", section.points.len()),
                "two points or more, from the lower edge upwards",
                "take more points with the contour gauge",
            );
        }
        for (point, place) in section.points.iter().enumerate() {
            faults.grid_place(&format!("{at}.points[{point}]"), "point of the section", *place);
        }
        for (point, (one, next)) in
            section.points.iter().zip(section.points.iter().skip(1)).enumerate()
        {
            let apart = (next.0.value() - one.0.value()).hypot(next.1.value() - one.1.value());
            if apart < 0.1 {
                faults.add(
                    &format!("{at}.points[{}]", point + 1),
                    "READ-SECTIONS",
                    format!("the point is {apart} mm from the one before it"),
                    "0.1 mm or more between points",
                    "take the doubled point out",
                );
            }
        }
    }
}

/// Thickness of glass laminate, mm (choice: from a thin skin to a floor).
pub(super) const THICKNESS: std::ops::RangeInclusive<f64> = 0.5..=25.0;

/// Only a skin drawn from sizes can be told which way its u runs.
fn hand(panel: &Panel, faults: &mut Faults<'_>) {
    let (problem, way_out) = if panel.mirror_of.is_some() {
        (
            "the panel mirrors another and says which way u runs",
            "take `u_runs` out: on the mirror image u runs the other way than on the panel it mirrors",
        )
    } else if matches!(panel.surface, Some(SurfaceForm::Scan(_))) {
        (
            "the panel is a scan and says which way u runs",
            "take `u_runs` out: a scan has its own left and right, and its axes say where u runs",
        )
    } else {
        return;
    };
    let accepted = "`u_runs` with `surface` as Moulding, Sections or Flat";
    faults.add("u_runs", "READ-CONTRADICTION", problem, accepted, way_out);
}

fn laminate(panel: &Panel, faults: &mut Faults<'_>) {
    let laminate = &panel.laminate;
    let thickness = laminate.thickness_mm.map(|t| t.value());
    faults.range_if("laminate.thickness_mm", "thickness", thickness, "mm", THICKNESS);
    let gel = laminate.gel_mm.map(|t| t.value());
    faults.range_if("laminate.gel_mm", "gel coat", gel, "mm", 0.05..=3.0);
    let paint = laminate.paint_mm.map(|t| t.value());
    faults.range_if("laminate.paint_mm", "paint", paint, "mm", 0.01..=3.0);
    let over = laminate
        .includes
        .iter()
        .map(|covering| match covering {
            Covering::Gel => gel.unwrap_or(0.0),
            Covering::Paint => paint.unwrap_or(0.0),
        })
        .sum::<f64>();
    if thickness.is_some_and(|thickness| thickness <= over) {
        faults.add(
            "laminate.thickness_mm",
            "READ-CONTRADICTION",
            format!("the coats that the thickness includes measure {over} mm: no glass is left"),
            "a thickness that is more than the coats on it",
            "measure again, or say what the thickness includes",
        );
    }
    for (number, ply) in laminate.plies_g_m2.iter().enumerate() {
        let field = format!("laminate.plies_g_m2[{number}]");
        faults.range(&field, "mat of the moulding", ply.value(), "g/m2", 25.0..=2500.0);
    }
    for (number, ply) in laminate.plies.iter().enumerate() {
        let at = |name: &str| format!("laminate.plies[{number}].{name}");
        let weight = ply.weight_g_m2.value();
        faults.range(&at("weight_g_m2"), "ply of the moulding", weight, "g/m2", 25.0..=2500.0);
        faults.range_if(&at("glass_content"), "share of glass", ply.glass_content, "", 0.15..=0.75);
    }
    if !laminate.plies.is_empty() && !laminate.plies_g_m2.is_empty() {
        faults.add(
            "laminate.plies",
            "READ-CONTRADICTION",
            "the plies of the moulding are given twice",
            "`plies_g_m2` for mats alone, or `plies`",
            "take one of the two out",
        );
    }
}

fn parts(panel: &Panel, faults: &mut Faults<'_>) {
    for (number, opening) in panel.openings.iter().enumerate() {
        faults.name(&format!("openings[{number}].name"), "an opening", &opening.name);
        if opening.at.is_none() {
            let field = format!("openings[{number}].outline");
            faults.panel_outline(&field, "the opening", &opening.outline);
        }
    }
    for (number, region) in panel.regions.iter().enumerate() {
        faults.name(&format!("regions[{number}].name"), "a region", &region.name);
        let field = format!("regions[{number}].outline");
        faults.panel_outline(&field, "the region", &region.outline);
    }
    for (number, strip) in panel.strips.iter().enumerate() {
        faults.name(&format!("strips[{number}].name"), "a strip", &strip.name);
        let field = format!("strips[{number}].outline");
        faults.panel_outline(&field, "the strip", &strip.outline);
    }
    for (number, landmark) in panel.landmarks.iter().enumerate() {
        faults.name(&format!("landmarks[{number}].name"), "a landmark", &landmark.name);
        faults.panel_place(&format!("landmarks[{number}].at"), "landmark", &landmark.at);
    }
    let names: Vec<&str> = panel.openings.iter().map(|part| part.name.as_str()).collect();
    faults.unlike("opening", &names, |number| format!("openings[{number}].name"));
    let names: Vec<&str> = panel.regions.iter().map(|part| part.name.as_str()).collect();
    faults.unlike("region", &names, |number| format!("regions[{number}].name"));
    let names: Vec<&str> = panel.strips.iter().map(|part| part.name.as_str()).collect();
    faults.unlike("strip", &names, |number| format!("strips[{number}].name"));
    let names: Vec<&str> = panel.landmarks.iter().map(|part| part.name.as_str()).collect();
    faults.unlike("landmark", &names, |number| format!("landmarks[{number}].name"));
}
