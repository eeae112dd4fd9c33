//! Lines and outlines on the panel's grid.
//!
//! [`walk_grid`] cuts a line that is straight on the grid into one piece a face;
//! [`outline_patch`] lays a patch on the surface by straight lines from its centre and gives its
//! outline as grid places. Lengths are mm, angles degrees from +u towards +v.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, faces come from a mesh Mesh::new has checked"
)]

use std::f64::consts::PI;

use nalgebra::{Point2, Vector2};

use super::chart::chart_weights;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::Piece;
use super::trace::{Direction, beyond, trace};

/// Cuts the line between two grid places, straight on the grid, into one piece a face; what is
/// off the mesh is left out. Pieces are in order along the line.
#[must_use]
pub fn walk_grid(mesh: &Mesh, from: Point2<f64>, to: Point2<f64>) -> Vec<Piece> {
    let length = (to - from).norm();
    if !(length > 0.0 && length.is_finite()) {
        return Vec::new();
    }
    let mut spans: Vec<(f64, f64, FaceId)> = mesh
        .faces_in_box(from, to)
        .into_iter()
        .filter_map(|face| span_in(mesh, face, from, to).map(|(a, b)| (a, b, face)))
        .collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let mut pieces = Vec::new();
    let mut done = 0.0;
    for (start, end, face) in spans {
        // A line along an edge lies in both its faces: it counts in the first.
        let start = f64::max(start, done);
        if (end - start) * length > 1e-8 {
            let corners = mesh.faces[face as usize].map(|v| mesh.grid[v as usize]);
            let weights = |t: f64| {
                let weights = chart_weights(corners, from + (to - from) * t);
                mesh.snapped(&MeshPoint { face, weights }).weights
            };
            pieces.push(Piece::Segment { face, from: weights(start), to: weights(end) });
            done = end;
        }
    }
    pieces
}

/// The part of a line, from 0 to 1, that lies in a face of the chart.
fn span_in(mesh: &Mesh, face: FaceId, from: Point2<f64>, to: Point2<f64>) -> Option<(f64, f64)> {
    let corners = mesh.faces[face as usize].map(|v| mesh.grid[v as usize]);
    let (a, b) = (chart_weights(corners, from), chart_weights(corners, to));
    let (mut start, mut end) = (0.0, 1.0);
    for i in 0..3 {
        let (at, step) = (a[i], b[i] - a[i]);
        if step.abs() < 1e-13 {
            if at < -1e-10 {
                return None;
            }
        } else if step > 0.0 {
            start = f64::max(start, -at / step);
        } else {
            end = f64::min(end, -at / step);
        }
    }
    (start < end).then_some((start, end))
}

/// Outline of a patch laid on the surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PatchShape {
    /// Length by width with square corners.
    Rectangle,
    /// Length and width are the axes.
    Oval,
}

/// A closed outline on the grid, each place laid by a straight line over the surface from the
/// centre; where that leaves the panel it goes on straight on the grid, so the outline is not
/// clipped. `angle_deg` turns the length from +u towards +v. Places are about 4 mm apart, at
/// most 400.
#[must_use]
pub fn outline_patch(
    mesh: &Mesh,
    passable: &[bool],
    centre: MeshPoint,
    length_mm: f64,
    width_mm: f64,
    angle_deg: f64,
    shape: PatchShape,
) -> Vec<Point2<f64>> {
    let (half_length, half_width) = (length_mm.max(0.0) / 2.0, width_mm.max(0.0) / 2.0);
    let round = |size: f64, spacing: f64, least: f64| (size / spacing).ceil().clamp(least, 100.0);
    let places: Vec<Vector2<f64>> = match shape {
        PatchShape::Rectangle => {
            let corners = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
                .map(|(x, y)| Vector2::new(half_length * x, half_width * y));
            (0..4)
                .flat_map(|i| {
                    let (a, b) = (corners[i], corners[(i + 1) % 4]);
                    let count = round((b - a).norm(), 4.0, 1.0) as u32;
                    (0..count).map(move |k| a + (b - a) * (f64::from(k) / f64::from(count)))
                })
                .collect()
        }
        PatchShape::Oval => {
            let around = PI * (half_length + half_width);
            let count = 4 * round(around / 4.0, 4.0, 12.0) as u32;
            let turn = 2.0 * PI / f64::from(count);
            // Made a hair larger, so that the outline with its straight sides has the oval's area.
            let swell = (turn / turn.sin()).sqrt();
            (0..count)
                .map(|k| {
                    let (sin, cos) = (turn * f64::from(k)).sin_cos();
                    Vector2::new(half_length * cos, half_width * sin) * swell
                })
                .collect()
        }
    };
    let lay = |place: &Vector2<f64>| {
        let run = place.norm();
        let degrees = angle_deg + place.y.atan2(place.x).to_degrees();
        let walked = trace(mesh, passable, centre, Direction::Degrees(degrees), run);
        beyond(mesh, &walked, run)
    };
    places.iter().filter_map(lay).collect()
}

/// The outline of a circle laid on the surface: see [`outline_patch`].
#[must_use]
pub fn circle(
    mesh: &Mesh,
    passable: &[bool],
    centre: MeshPoint,
    radius_mm: f64,
) -> Vec<Point2<f64>> {
    let across = 2.0 * radius_mm;
    outline_patch(mesh, passable, centre, across, across, 0.0, PatchShape::Oval)
}
