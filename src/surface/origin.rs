//! Where distances start: points, lines and filled patches lying anywhere on the mesh.
//!
//! Pieces are never moved to vertices. A line is one straight piece a face; a patch is its
//! outline together with everything inside it. Lengths are millimetres, patch outlines are grid
//! places.
#![allow(clippy::indexing_slicing, reason = "polygon corners are taken modulo their number")]

use nalgebra::{Point2, Vector3};

use super::chart::bounds;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::patch_outline::walk_grid;

/// One straight bit of an origin inside one face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// A single place.
    Point(MeshPoint),
    /// A straight line in a face, from corner weights to corner weights.
    Segment {
        /// The face it lies in.
        face: FaceId,
        /// Weights of its start.
        from: Vector3<f64>,
        /// Weights of its end.
        to: Vector3<f64>,
    },
}

/// What a distance is measured from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Origin {
    /// Points and lines, in order along the line or round the outline.
    pub pieces: Vec<Piece>,
    /// Outline on the panel's grid of a patch whose whole inside is at distance 0.
    pub filled: Option<Vec<Point2<f64>>>,
}

impl Origin {
    /// A single place.
    #[must_use]
    pub fn point(point: MeshPoint) -> Self {
        Self { pieces: vec![Piece::Point(point)], filled: None }
    }

    /// A path over the mesh as [`super::trace::trace`] gives it: every crossing of an edge
    /// written in the face it is left. Steps that do not share a face are left out.
    #[must_use]
    pub fn line(mesh: &Mesh, path: &[MeshPoint]) -> Self {
        let mut pieces = Vec::new();
        for step in path.windows(2) {
            let [a, b] = [step[0], step[1]];
            if let Some(start) = mesh.express(&a, b.face) {
                pieces.push(Piece::Segment { face: b.face, from: start.weights, to: b.weights });
            } else if let Some(end) = mesh.express(&b, a.face) {
                pieces.push(Piece::Segment { face: a.face, from: a.weights, to: end.weights });
            }
        }
        if let ([only], true) = (path, pieces.is_empty()) {
            pieces.push(Piece::Point(*only));
        }
        Self { pieces, filled: None }
    }

    /// A line through grid places, straight in the chart between them; what is off the mesh is
    /// left out.
    #[must_use]
    pub fn polyline(mesh: &Mesh, places: &[Point2<f64>]) -> Self {
        if let [only] = places {
            let pieces = mesh.locate(*only).map(Piece::Point).into_iter().collect();
            return Self { pieces, filled: None };
        }
        let pieces = places.windows(2).flat_map(|ends| walk_grid(mesh, ends[0], ends[1])).collect();
        Self { pieces, filled: None }
    }

    /// A patch with this outline on the grid. What hangs over an edge or an opening is left out;
    /// an outline wholly off the mesh but round it covers everything.
    #[must_use]
    pub fn patch(mesh: &Mesh, outline: Vec<Point2<f64>>) -> Self {
        let count = outline.len();
        let pieces = (0..count)
            .flat_map(|i| walk_grid(mesh, outline[i], outline[(i + 1) % count]))
            .collect();
        Self { pieces, filled: Some(outline) }
    }
}

/// A patch outline ready to be asked whether it holds a grid place.
#[derive(Debug, Clone)]
pub(crate) struct Inside {
    outline: Vec<Point2<f64>>,
    pub(crate) low: Point2<f64>,
    pub(crate) high: Point2<f64>,
}

impl Inside {
    pub(crate) fn new(outline: Vec<Point2<f64>>) -> Self {
        let (low, high) = bounds(outline.iter().copied());
        Self { outline, low, high }
    }

    pub(crate) fn outline(&self) -> &[Point2<f64>] {
        &self.outline
    }

    /// Whether the outline winds round a place.
    pub(crate) fn holds(&self, place: Point2<f64>) -> bool {
        if place.x < self.low.x
            || place.x > self.high.x
            || place.y < self.low.y
            || place.y > self.high.y
        {
            return false;
        }
        let mut turns = 0_i32;
        let mut before = self.outline.last().copied().unwrap_or(place);
        for &corner in &self.outline {
            let left = (corner - before).perp(&(place - before));
            if before.y <= place.y && corner.y > place.y && left > 0.0 {
                turns += 1;
            } else if before.y > place.y && corner.y <= place.y && left < 0.0 {
                turns -= 1;
            }
            before = corner;
        }
        turns != 0
    }
}

/// Area on the grid of the part of an outline that lies in a triangle, mm2.
pub(crate) fn clipped_area(outline: &[Point2<f64>], triangle: [Point2<f64>; 3]) -> f64 {
    let sense = (triangle[1] - triangle[0]).perp(&(triangle[2] - triangle[0])).signum();
    let mut kept = outline.to_vec();
    for side in 0..3 {
        let (from, to) = (triangle[side], triangle[(side + 1) % 3]);
        let depth = |p: &Point2<f64>| (to - from).perp(&(p - from)) * sense;
        let mut next = Vec::with_capacity(kept.len() + 4);
        for i in 0..kept.len() {
            let (a, b) = (kept[i], kept[(i + 1) % kept.len()]);
            let (da, db) = (depth(&a), depth(&b));
            if da >= 0.0 {
                next.push(a);
            }
            if (da < 0.0) != (db < 0.0) {
                next.push(a + (b - a) * (da / (da - db)));
            }
        }
        kept = next;
    }
    let base = triangle[0];
    let count = kept.len();
    let twice: f64 =
        (0..count).map(|i| (kept[i] - base).perp(&(kept[(i + 1) % count] - base))).sum();
    0.5 * twice.abs()
}
