//! The outline of a panel's face on its grid, corners rounded. Grid mm.
#![allow(clippy::indexing_slicing, reason = "corner numbers come from the ring they index")]

use nalgebra::{Matrix2, Point2};

use super::form::Form;
use super::ring::{self, Ring};
use super::skin::SkinFault;
use crate::model::GridPlace;
use crate::model::panel::{Panel, SurfaceForm};

/// An outline may reach over the grid by this much without being off the skin, mm.
const REACH_OVER_MM: f64 = 0.5;
/// Longest piece in which a curved upper edge is followed, mm.
const EDGE_PIECE_MM: f64 = 10.0;

/// The outline of the face: the panel's own, or the whole grid, its corners rounded.
///
/// # Errors
/// The corner that lies off the skin, or the radius that does not fit.
pub(crate) fn outline(panel: &Panel, form: &dyn Form) -> Result<Ring, SkinFault> {
    let radius = match &panel.surface {
        Some(SurfaceForm::Moulding(moulding)) => moulding.corner_radius_mm.value(),
        Some(SurfaceForm::Flat(flat)) => flat.corner_radius_mm.value(),
        _ => 0.0,
    };
    if !(radius >= 0.0 && radius.is_finite()) {
        return Err(SkinFault::new(
            "surface.corner_radius_mm",
            format!("found {radius} mm"),
            "0 mm or more",
            "give the radius of the corners, 0 for square ones",
        ));
    }
    let corners = match &panel.outline {
        Some(places) => own_outline(places, form)?,
        None => whole_grid(form),
    };
    if radius <= 0.0 {
        return Ok(corners);
    }
    let laid: Ring = corners.iter().map(|p| form.laid_out(*p)).collect();
    let rounded = ring::rounded(&laid, radius, |at| on_skin(form, at)).map_err(|tight| {
        SkinFault::new(
            "surface.corner_radius_mm",
            format!(
                "a radius of {radius} mm does not fit the sides at corner ({:.0}, {:.0})",
                corners[tight.corner].x, corners[tight.corner].y
            ),
            format!("0 to {:.0} mm", tight.most_mm.floor()),
            "give a smaller radius, or the true outline with its rounded corners point by point",
        )
    })?;
    Ok(rounded.into_iter().map(|p| form.on_grid(p)).collect())
}

/// How the laid-out grid lies on the skin at a place: its steps as seen in the tangent plane.
fn on_skin(form: &dyn Form, laid_out: Point2<f64>) -> Matrix2<f64> {
    let (along, across) = form.tangents(form.on_grid(laid_out));
    let first = along.normalize();
    let shear = across.dot(&first);
    Matrix2::new(along.norm(), shear, 0.0, (across - first * shear).norm())
}

fn whole_grid(form: &dyn Form) -> Ring {
    let (low, high) = form.along();
    let level = (form.top(low) - form.top(high)).abs() < 1e-9
        && (form.top(low) - form.top(0.4 * low + 0.6 * high)).abs() < 1e-9;
    let pieces = if level { 1.0 } else { ((high - low) / EDGE_PIECE_MM).ceil() };
    let mut ring = vec![Point2::new(low, 0.0), Point2::new(high, 0.0)];
    for k in 0..=pieces as usize {
        let u = high + (low - high) * k as f64 / pieces;
        ring.push(Point2::new(u, form.top(u)));
    }
    ring
}

fn own_outline(places: &[GridPlace], form: &dyn Form) -> Result<Ring, SkinFault> {
    let ring = ring::read("outline", places)?;
    let (low, high) = form.along();
    for (number, place) in places.iter().enumerate() {
        let (u, v) = (place.0.value(), place.1.value());
        let top = form.top(u.clamp(low, high));
        let over = (low - u).max(u - high).max(-v).max(v - top);
        if over > REACH_OVER_MM {
            return Err(SkinFault::new(
                format!("outline[{number}]"),
                format!("({u}, {v}) lies {over:.0} mm off the skin"),
                format!("u from {low:.0} to {high:.0}, v from 0 to {top:.0} there"),
                "correct the corner, or the length and width of the surface",
            ));
        }
    }
    Ok(ring)
}
