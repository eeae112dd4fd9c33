//! Which face lies at a place on the panel's grid?
//!
//! Buckets of about the size of a face over the grid chart, each listing the faces whose grid
//! boxes meet it. Places are grid millimetres.
#![allow(
    clippy::indexing_slicing,
    reason = "bucket numbers are clamped to the table and vertex numbers were checked by Mesh::new"
)]

use nalgebra::{Point2, Vector3};

use super::mesh::{FaceId, MeshPoint, VertexId};

/// Weights may fall this far below zero and still count as on the edge.
const EDGE: f64 = 1e-9;

/// Buckets over the grid chart.
#[derive(Debug, Clone)]
pub(crate) struct ChartIndex {
    low: Point2<f64>,
    cell: f64,
    columns: usize,
    rows: usize,
    start: Vec<u32>,
    listed: Vec<FaceId>,
}

impl ChartIndex {
    /// Builds the buckets; every vertex number must exist.
    pub(crate) fn new(grid: &[Point2<f64>], faces: &[[VertexId; 3]]) -> Self {
        let whole = bounds(grid.iter().copied());
        let size = whole.1 - whole.0;
        // About two faces a bucket, and never more buckets than memory is worth.
        let cell = (size.x * size.y / (faces.len().max(2) as f64 / 2.0)).sqrt().max(1e-3);
        let count = |extent: f64| ((extent / cell).floor() as usize + 1).min(4096);
        let mut index = Self {
            low: whole.0,
            cell: cell.max(size.x / 4095.0).max(size.y / 4095.0),
            columns: count(size.x),
            rows: count(size.y),
            start: Vec::new(),
            listed: Vec::new(),
        };
        // Counted first and filled then: one list for all buckets.
        let box_of = |corners: &[VertexId; 3]| {
            let (low, high) = bounds(corners.iter().map(|v| grid[*v as usize]));
            (index.bucket(low), index.bucket(high))
        };
        let columns = index.columns;
        let met = |corners: &[VertexId; 3]| {
            let (a, b) = box_of(corners);
            (a.1..=b.1).flat_map(move |row| (a.0..=b.0).map(move |column| row * columns + column))
        };
        let mut start = vec![0_u32; index.columns * index.rows + 1];
        for bucket in faces.iter().flat_map(met) {
            start[bucket + 1] += 1;
        }
        for bucket in 1..start.len() {
            start[bucket] += start[bucket - 1];
        }
        let mut next = start.clone();
        let mut listed = vec![0; start.last().map_or(0, |count| *count as usize)];
        for (face, corners) in (0..).zip(faces) {
            for bucket in met(corners) {
                listed[next[bucket] as usize] = face;
                next[bucket] += 1;
            }
        }
        (index.start, index.listed) = (start, listed);
        index
    }

    fn bucket(&self, place: Point2<f64>) -> (usize, usize) {
        let number = |x: f64, count: usize| ((x / self.cell).max(0.0) as usize).min(count - 1);
        (number(place.x - self.low.x, self.columns), number(place.y - self.low.y, self.rows))
    }

    fn faces_in(&self, bucket: (usize, usize)) -> &[FaceId] {
        let at = bucket.1 * self.columns + bucket.0;
        &self.listed[self.start[at] as usize..self.start[at + 1] as usize]
    }

    /// The point at a grid place; on an edge the face it lies deepest in.
    pub(crate) fn locate(
        &self,
        grid: &[Point2<f64>],
        faces: &[[VertexId; 3]],
        place: Point2<f64>,
    ) -> Option<MeshPoint> {
        if !(place.x.is_finite() && place.y.is_finite()) {
            return None;
        }
        let mut best: Option<(f64, MeshPoint)> = None;
        for &face in self.faces_in(self.bucket(place)) {
            let weights = chart_weights(faces[face as usize].map(|v| grid[v as usize]), place);
            let least = weights.min();
            if least >= -EDGE && best.is_none_or(|(depth, _)| least > depth) {
                best = Some((least, MeshPoint { face, weights }));
            }
        }
        best.map(|(_, mut point)| {
            point.weights = point.weights.map(|w| w.max(0.0));
            point.weights /= point.weights.sum();
            point
        })
    }

    /// Faces whose buckets meet a box, each once, in order.
    pub(crate) fn faces_in_box(&self, a: Point2<f64>, b: Point2<f64>) -> Vec<FaceId> {
        let (low, high) = bounds([a, b].into_iter());
        let (from, to) = (self.bucket(low), self.bucket(high));
        let mut found = Vec::new();
        for row in from.1..=to.1 {
            for column in from.0..=to.0 {
                found.extend_from_slice(self.faces_in((column, row)));
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// Weights of a grid place in a triangle of the chart.
pub(crate) fn chart_weights(corners: [Point2<f64>; 3], place: Point2<f64>) -> Vector3<f64> {
    let [a, b, c] = corners;
    let whole = (b - a).perp(&(c - a));
    let next = (place - a).perp(&(c - a)) / whole;
    let top = (b - a).perp(&(place - a)) / whole;
    Vector3::new(1.0 - next - top, next, top)
}

/// Lowest and highest corner of the box round some places.
pub(crate) fn bounds(places: impl Iterator<Item = Point2<f64>>) -> (Point2<f64>, Point2<f64>) {
    let far = f64::INFINITY;
    places.fold((Point2::new(far, far), Point2::new(-far, -far)), |(low, high), p| {
        (low.inf(&p), high.sup(&p))
    })
}
