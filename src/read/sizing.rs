//! A generic moulding sized in place.
//!
//! Every place on the grid moves in proportion to length and width. A crown that was not measured
//! keeps its proportion to the side it spans, the taper to the width [choice: the moulding keeps
//! its form]; turned edge, bend, corners and twist stay as they are. What was not measured is
//! named among the assumptions.

use crate::model::panel::{Fixings, Moulding, Panel, PanelPlace, SurfaceForm};
use crate::model::survey::PanelSize;
use crate::quantity::Millimetres;

/// Sizes the panel; gives what was assumed, in words. None when the skin cannot be sized so.
pub(super) fn size(panel: &mut Panel, size: &PanelSize) -> Option<Vec<String>> {
    let mut assumed = Vec::new();
    let (along, across) = match panel.surface.as_mut()? {
        SurfaceForm::Moulding(moulding) => moulded(moulding, size, &mut assumed),
        SurfaceForm::Flat(flat) => {
            let along = side(&mut flat.length_mm, size.length_mm, "length", &mut assumed);
            let across = side(&mut flat.width_mm, size.width_mm, "width", &mut assumed);
            if let Some(radius) = size.corner_radius_mm {
                flat.corner_radius_mm = radius;
            }
            (along, across)
        }
        SurfaceForm::Sections(_) | SurfaceForm::Scan(_) => return None,
    };
    let scale = |place: &mut PanelPlace| {
        if let PanelPlace::Grid(u, v) = place {
            *u = *u * along;
            *v = *v * across;
        }
    };
    for (u, v) in panel.outline.iter_mut().flatten() {
        *u = *u * along;
        *v = *v * across;
    }
    panel.openings.iter_mut().flat_map(|part| part.outline.iter_mut()).for_each(scale);
    panel.regions.iter_mut().flat_map(|part| part.outline.iter_mut()).for_each(scale);
    panel.strips.iter_mut().flat_map(|part| part.outline.iter_mut()).for_each(scale);
    panel.landmarks.iter_mut().map(|landmark| &mut landmark.at).for_each(scale);
    if let Fixings::Listed(fixings) = &mut panel.fixings {
        fixings.iter_mut().map(|fixing| &mut fixing.at).for_each(scale);
    }
    Some(assumed)
}

/// Sets a side; gives how many times the old one it is.
fn side(
    value: &mut Millimetres,
    measured: Option<Millimetres>,
    what: &str,
    assumed: &mut Vec<String>,
) -> f64 {
    match measured {
        Some(measured) => {
            let factor = measured.value() / value.value();
            *value = measured;
            factor
        }
        None => {
            assumed.push(format!("{what} {value}"));
            1.0
        }
    }
}

fn moulded(moulding: &mut Moulding, size: &PanelSize, assumed: &mut Vec<String>) -> (f64, f64) {
    let along = side(&mut moulding.length_mm, size.length_mm, "length", assumed);
    let across = side(&mut moulding.width_mm, size.width_mm, "width", assumed);
    let mut rest = |value: &mut Millimetres, measured: Option<Millimetres>, factor: f64, what| {
        *value = measured.unwrap_or(*value * factor);
        if measured.is_none() && value.value().abs() > 0.0 {
            assumed.push(format!("{what} {value:.0}"));
        }
    };
    rest(&mut moulding.crown_along_mm, size.crown_along_mm, along, "crown along");
    rest(&mut moulding.crown_across_mm, size.crown_across_mm, across, "crown across");
    rest(&mut moulding.edge_return_mm, size.edge_return_mm, 1.0, "turned edge");
    rest(&mut moulding.corner_radius_mm, size.corner_radius_mm, 1.0, "corner radius");
    rest(&mut moulding.taper_mm, size.taper_mm, across, "taper");
    rest(&mut moulding.twist_mm, size.twist_mm, 1.0, "twist");
    (along, across)
}
