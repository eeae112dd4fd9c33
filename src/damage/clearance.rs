//! How near a mark may come to a fixing: over the skin, from the rim of the fixing's footprint
//! to the nearest point of the mark as it may be found, over all places the readings allow.

use nalgebra::{Point2, Vector2};

use super::extent::{Extents, patch_outward};
use crate::rules::Book;
use crate::surface::field::DistanceField;
use crate::surface::marks::{Form, PlacedMark};
use crate::surface::mesh::{Mesh, MeshPoint};
use crate::surface::origin::{Origin, Piece};
use crate::surface::placed::{PlacedFixing, PlacedPanel};

/// Distances of one mark to one fixing, mm; infinite when farther than was looked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// To the mark as it may be found in the high case, place error included.
    pub high_mm: f64,
    /// To the mark as it may be found in the high case, at its solved place.
    pub solved_mm: f64,
}

/// Distances from one fixing over the filled surface of its panel.
///
/// Covered openings are walked over: a shut lid lets a load through, and the shorter way is the
/// stricter one.
///
/// # Errors
/// When the mesh is far too fine.
pub fn field<'p>(
    panel: &'p PlacedPanel<'_>,
    fixing: &PlacedFixing<'_>,
    reach_mm: f64,
) -> Result<DistanceField<'p>, String> {
    let limit_mm = reach_mm + fixing.radius_mm;
    DistanceField::spread(&panel.mesh, &panel.filled, &Origin::point(fixing.at), limit_mm)
        .map_err(|why| why.to_string())
}

/// The clearance of a mark.
#[must_use]
pub fn of_mark(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    extents: &Extents,
    fixing: &PlacedFixing<'_>,
    reach: &DistanceField<'_>,
) -> Clearance {
    let mesh = &panel.mesh;
    let rim = |found: f64| (found - fixing.radius_mm).max(0.0);
    // A mark whose direction nobody recorded may lie anywhere in a disc.
    if let Some(disc_mm) = disc_mm(book, panel, placed, extents) {
        let to = |at: &MeshPoint| rim(reach.at(at)) - disc_mm;
        let high = placed.allowed.iter().map(to).fold(to(&placed.at), f64::min);
        return Clearance { high_mm: high.max(0.0), solved_mm: to(&placed.at).max(0.0) };
    }
    let outlines = outlines(mesh, placed, extents);
    let grown_mm = extents.cases.high.grown_mm;
    let middle = mesh.grid(&placed.at);
    // Beyond the field's limit a place is at least that far.
    let distance = |at: Point2<f64>| {
        let point = mesh.locate(at).unwrap_or_else(|| mesh.nearest(at).0);
        reach.at(&point).min(reach.limit_mm())
    };
    // Nearest first, so that most of the others need not be asked again.
    let mut unmoved: Vec<(f64, Point2<f64>)> =
        outlines.iter().map(|place| (distance(*place), *place)).collect();
    unmoved.sort_by(|one, other| one.0.total_cmp(&other.0));
    let nearest = |shift: Vector2<f64>, found_mm: f64| {
        let mut best = found_mm;
        for (before, place) in &unmoved {
            // Moving by so much cannot bring it nearer than this; the grid stretches a little.
            if rim(before - 1.2 * shift.norm()) - grown_mm >= best {
                break;
            }
            best = best.min(rim(distance(place + shift)) - grown_mm);
        }
        if let Form::Patch(patch) = &placed.form
            && best > 0.0
            && inside(&patch.outline, mesh.grid(&fixing.at) - shift)
        {
            best = 0.0;
        }
        best.max(0.0)
    };
    let solved_mm = nearest(Vector2::zeros(), f64::INFINITY);
    let shifts = placed.allowed.iter().map(|at| mesh.grid(at) - middle);
    let high_mm = shifts.fold(solved_mm, |found_mm, shift| nearest(shift, found_mm));
    Clearance { high_mm, solved_mm }
}

/// How far beyond the places that are asked about a mark goes in the high case, mm.
pub(crate) fn beyond_mm(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    extents: &Extents,
) -> f64 {
    disc_mm(book, panel, placed, extents).unwrap_or(extents.cases.high.grown_mm)
}

/// Radius of the disc that a mark of unknown direction may lie in, mm.
pub(crate) fn disc_mm(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    extents: &Extents,
) -> Option<f64> {
    match &placed.form {
        Form::Line(line) if !line.known_direction => {
            let back = extents.back.as_ref().and_then(|cases| cases.high.length_mm);
            let length_mm = extents.cases.high.length_mm.unwrap_or(line.length_mm);
            let length_mm = length_mm.max(back.unwrap_or(0.0));
            // An edge that stops one end sends the rest to the other.
            let to_edge = edge_distance_mm(panel, &placed.at, length_mm / 2.0);
            Some((length_mm / 2.0).max(length_mm - to_edge))
        }
        Form::Patch(patch) if !patch.known_angle && !patch.turns_into_itself => {
            let grown = patch_outward(book, placed, patch).high;
            let (length, width) = (patch.length_mm + 2.0 * grown, patch.width_mm + 2.0 * grown);
            Some(length.hypot(width) / 2.0)
        }
        _ => None,
    }
}

/// Distance to the nearest edge of the panel or opening, at most `most_mm`.
pub(crate) fn edge_distance_mm(panel: &PlacedPanel<'_>, at: &MeshPoint, most_mm: f64) -> f64 {
    // A seam counts as an edge here: the disc only grows by it.
    let mesh = &panel.by_itself().mesh;
    let here = panel.mesh.position(at);
    mesh.boundary_edges()
        .map(|(face, side)| {
            let [a, b] = [0.0, 1.0].map(|t| mesh.position(&mesh.on_edge(face, side, t)));
            let along = b - a;
            let share = ((here - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
            // The straight way is never longer than the one over the skin: the strict side.
            (here - (a + along * share)).norm()
        })
        .fold(most_mm, f64::min)
}

/// Too far in a straight line to matter, whatever the skin does in between.
#[must_use]
pub fn is_far(
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    extents: &Extents,
    fixing: &PlacedFixing<'_>,
    limit_mm: f64,
) -> bool {
    // Over a seam the straight way means nothing: the skins meet there as one, bent or not.
    if !panel.over.is_empty() {
        return false;
    }
    let mesh = &panel.mesh;
    let middle = mesh.position(&placed.at);
    let straight = (middle - mesh.position(&fixing.at)).norm();
    let spread =
        placed.allowed.iter().map(|at| (mesh.position(at) - middle).norm()).fold(0.0, f64::max);
    let size = match &placed.form {
        Form::Line(line) => {
            let back = extents.back.as_ref().and_then(|cases| cases.high.length_mm).unwrap_or(0.0);
            extents.cases.high.length_mm.unwrap_or(line.length_mm).max(back)
        }
        Form::Patch(patch) => {
            patch.length_mm.hypot(patch.width_mm) + 2.0 * extents.cases.high.grown_mm
        }
    };
    straight - 1.5 * spread - size - fixing.radius_mm > limit_mm
}

/// Grid places along the mark as it may be found.
fn outlines(mesh: &Mesh, placed: &PlacedMark<'_>, extents: &Extents) -> Vec<Point2<f64>> {
    match &placed.form {
        Form::Patch(patch) => patch.outline.clone(),
        Form::Line(_) => {
            let mut places = Vec::new();
            let high = Some(&extents.cases.high);
            let back = extents.back.as_ref().map(|cases| &cases.high);
            for extent in high.into_iter().chain(back) {
                for piece in &extent.origin.pieces {
                    match *piece {
                        Piece::Point(point) => places.push(mesh.grid(&point)),
                        Piece::Segment { face, from, to } => {
                            for weights in [from, (from + to) / 2.0, to] {
                                places.push(mesh.grid(&MeshPoint { face, weights }));
                            }
                        }
                    }
                }
            }
            places
        }
    }
}

fn inside(outline: &[Point2<f64>], place: Point2<f64>) -> bool {
    let mut within = false;
    let mut before = match outline.last() {
        Some(last) => *last,
        None => return false,
    };
    for corner in outline {
        if (corner.y > place.y) != (before.y > place.y) {
            let along = (place.y - corner.y) / (before.y - corner.y);
            if place.x < corner.x + along * (before.x - corner.x) {
                within = !within;
            }
        }
        before = *corner;
    }
    within
}
