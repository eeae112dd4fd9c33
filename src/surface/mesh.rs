//! The checked triangle mesh of one panel: connectivity, places in space and on the panel's grid.
//!
//! Lengths are millimetres. Faces run counter-clockwise seen from the outer side. The grid
//! (u, v) of each vertex is a chart of the whole panel, return edges and filled openings
//! included, so that a place or an outline can be held as plain grid coordinates.
//!
//! [`Mesh::new`] refuses what later sums could not survive, so that everything after it may
//! take for granted that every edge has at most two faces, running opposite ways along it, and
//! that no face is folded over in the chart.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3 and vertex numbers are checked in Mesh::new"
)]

use std::collections::BTreeMap;

use nalgebra::{Point2, Point3, Vector2, Vector3};

use super::chart::ChartIndex;
pub use super::mesh_fault::MeshFault;
use super::weave::{check_faces, check_vertices, connect, fans, rims, saddles, signed_area};

/// Index of a face in [`Mesh::faces`].
pub type FaceId = u32;
/// Index of a vertex in [`Mesh::positions`].
pub type VertexId = u32;

/// Weights below this are taken as zero: a hundred-millionth of a 15 mm face is no distance.
pub(crate) const SNAP: f64 = 1e-9;

/// What a face belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FaceTag {
    /// Opening whose filled surface this face is part of, by its number in the panel file.
    pub opening: Option<u16>,
    /// Bonded strip or frame standing behind this face, by its number in the panel file.
    pub strip: Option<u16>,
    /// Region the face belongs to, by its number in the panel file.
    pub region: Option<u16>,
    /// The face is part of a return edge and not of the outer skin proper.
    pub on_return: bool,
}

/// A triangle mesh with a grid chart. Build it with [`Mesh::new`], which checks its laws.
#[derive(Debug, Clone)]
pub struct Mesh {
    /// Vertex places, mm.
    pub positions: Vec<Point3<f64>>,
    /// Vertex places on the panel's own grid (u, v), mm.
    pub grid: Vec<Point2<f64>>,
    /// Three vertices a face.
    pub faces: Vec<[VertexId; 3]>,
    /// `across[f][i]` is the face across the edge from corner `i` to corner `i + 1` of face `f`.
    pub across: Vec<[Option<FaceId>; 3]>,
    /// What each face belongs to.
    pub tags: Vec<FaceTag>,
    /// The same edge's number in the face across it.
    pub(crate) twin: Vec<[u8; 3]>,
    /// Faces round each vertex: `fan[fan_start[v]..fan_start[v + 1]]`.
    fan_start: Vec<u32>,
    fan: Vec<FaceId>,
    /// Vertices whose faces' angles add up to more than a full turn: paths may bend there.
    pub(crate) saddle: Vec<bool>,
    /// Faces whose edges are not as long as their corners stand apart: along seams.
    bent: BTreeMap<FaceId, Frame>,
    /// Vertices at an end of an edge with one face only.
    pub(crate) on_rim: Vec<bool>,
    chart: ChartIndex,
    /// Edges with one face only.
    rim: Vec<(FaceId, usize)>,
    /// +1 where the chart runs the same way round as the faces, -1 on a mirrored panel.
    sense: f64,
}

/// A face laid flat on each of its edges in turn: corner `i` at the origin, corner `i + 1` at
/// `(length[i], 0)` and the third corner at `apex[i]`, above the edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    pub(crate) length: [f64; 3],
    pub(crate) apex: [Vector2<f64>; 3],
}

impl Frame {
    /// A triangle in space laid flat.
    pub(crate) fn of(corners: [Point3<f64>; 3]) -> Self {
        let twice = (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).norm();
        let mut frame = Self { length: [0.0; 3], apex: [Vector2::zeros(); 3] };
        for i in 0..3 {
            let along = corners[(i + 1) % 3] - corners[i];
            let up = corners[(i + 2) % 3] - corners[i];
            frame.length[i] = along.norm();
            frame.apex[i] = Vector2::new(up.dot(&along) / frame.length[i], twice / frame.length[i]);
        }
        frame
    }

    /// A place, by its weights, laid flat on one edge.
    pub(crate) fn flat_on(&self, side: usize, weights: &Vector3<f64>) -> Vector2<f64> {
        let (next, top) = ((side + 1) % 3, (side + 2) % 3);
        let apex = self.apex[side];
        Vector2::new(
            weights[next] * self.length[side] + weights[top] * apex.x,
            weights[top] * apex.y,
        )
    }

    /// A place laid flat on each edge in turn.
    pub(crate) fn flat(&self, weights: &Vector3<f64>) -> [Vector2<f64>; 3] {
        [0, 1, 2].map(|side| self.flat_on(side, weights))
    }
}

/// A point on the mesh: a face and the weights of its three corners (they sum to one).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshPoint {
    /// The face.
    pub face: FaceId,
    /// Barycentric weights of the face's corners.
    pub weights: Vector3<f64>,
}

impl Mesh {
    /// Builds the connectivity and checks the laws.
    ///
    /// # Errors
    /// The first [`MeshFault`] met, in order of vertices, then faces.
    pub fn new(
        positions: Vec<Point3<f64>>,
        grid: Vec<Point2<f64>>,
        faces: Vec<[VertexId; 3]>,
        tags: Vec<FaceTag>,
    ) -> Result<Self, MeshFault> {
        if positions.len() != grid.len() || faces.len() != tags.len() {
            return Err(MeshFault::Lengths([positions.len(), grid.len(), faces.len(), tags.len()]));
        }
        if faces.is_empty() {
            return Err(MeshFault::Empty);
        }
        check_vertices(&positions, &grid, &faces)?;
        check_faces(&positions, &grid, &faces)?;
        Self::assemble(positions, grid, faces, tags, BTreeMap::new())
    }

    /// Builds the connectivity of faces that have been checked. `bent` lays faces flat that are
    /// not as their corners stand: where skins are joined, an edge is as long as one of them has
    /// it, wherever its ends were laid in space.
    ///
    /// # Errors
    /// The first [`MeshFault`] of the connectivity.
    pub(super) fn assemble(
        positions: Vec<Point3<f64>>,
        grid: Vec<Point2<f64>>,
        faces: Vec<[VertexId; 3]>,
        tags: Vec<FaceTag>,
        bent: BTreeMap<FaceId, Frame>,
    ) -> Result<Self, MeshFault> {
        let (across, twin) = connect(&grid, &faces)?;
        let (fan_start, fan) = fans(positions.len(), &faces);
        let chart = ChartIndex::new(&grid, &faces);
        let sense = faces.first().map_or(1.0, |&f| signed_area(&grid, f).signum());
        let saddle = saddles(&positions, &faces, &bent);
        let (rim, on_rim) = rims(positions.len(), &faces, &across);
        Ok(Self {
            positions,
            grid,
            faces,
            across,
            tags,
            twin,
            fan_start,
            fan,
            saddle,
            bent,
            on_rim,
            chart,
            rim,
            sense,
        })
    }

    /// Checks again everything [`Mesh::new`] promised; for tests of whoever builds meshes.
    ///
    /// # Errors
    /// The first [`MeshFault`] met.
    pub fn check_laws(&self) -> Result<(), MeshFault> {
        Self::new(self.positions.clone(), self.grid.clone(), self.faces.clone(), self.tags.clone())
            .map(|_| ())
    }

    /// +1 where the chart runs the same way round as the faces, -1 on a mirrored panel.
    #[must_use]
    pub fn chart_sense(&self) -> f64 {
        self.sense
    }

    /// A face laid flat on each of its edges: worked out when asked, a table of all is large.
    pub(crate) fn frame(&self, face: FaceId) -> Frame {
        match self.bent.get(&face) {
            Some(frame) => *frame,
            None => Frame::of(self.faces[face as usize].map(|v| self.positions[v as usize])),
        }
    }

    /// The faces round a vertex.
    #[must_use]
    pub fn faces_round(&self, vertex: VertexId) -> &[FaceId] {
        let v = vertex as usize;
        &self.fan[self.fan_start[v] as usize..self.fan_start[v + 1] as usize]
    }

    /// The place in space of a point, mm.
    #[must_use]
    pub fn position(&self, point: &MeshPoint) -> Point3<f64> {
        let [a, b, c] = self.faces[point.face as usize].map(|v| self.positions[v as usize].coords);
        let w = &point.weights;
        Point3::from(a * w.x + b * w.y + c * w.z)
    }

    /// The place on the panel's grid of a point, mm.
    #[must_use]
    pub fn grid(&self, point: &MeshPoint) -> Point2<f64> {
        let [a, b, c] = self.faces[point.face as usize].map(|v| self.grid[v as usize].coords);
        let w = &point.weights;
        Point2::from(a * w.x + b * w.y + c * w.z)
    }

    /// The point at a grid place, or nothing when it is off the panel.
    #[must_use]
    pub fn locate(&self, place: Point2<f64>) -> Option<MeshPoint> {
        self.chart.locate(&self.grid, &self.faces, place)
    }

    /// Faces whose grid boxes meet the box between two grid places, each once, in order.
    #[must_use]
    pub fn faces_in_box(&self, low: Point2<f64>, high: Point2<f64>) -> Vec<FaceId> {
        self.chart.faces_in_box(low, high)
    }

    /// The point at a grid place, or the nearest on the panel's rim, with the miss in mm of the
    /// chart (0 on the panel).
    #[must_use]
    pub fn nearest(&self, place: Point2<f64>) -> (MeshPoint, f64) {
        if let Some(point) = self.locate(place) {
            return (point, 0.0);
        }
        let mut best = (MeshPoint { face: 0, weights: Vector3::new(1.0, 0.0, 0.0) }, f64::INFINITY);
        for (face, side) in self.boundary_edges() {
            let [from, to] = self.edge(face, side).map(|v| self.grid[v as usize]);
            let along = to - from;
            let t = ((place - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
            let miss = (from + along * t - place).norm();
            if miss < best.1 {
                best = (self.on_edge(face, side, t), miss);
            }
        }
        best
    }

    /// The point of the surface nearest to a place in space, with the miss in mm.
    #[must_use]
    pub fn nearest_in_space(&self, place: Point3<f64>) -> (MeshPoint, f64) {
        let mut best = (MeshPoint { face: 0, weights: Vector3::new(1.0, 0.0, 0.0) }, f64::INFINITY);
        for (face, corners) in (0..).zip(&self.faces) {
            let [a, b, c] = corners.map(|v| self.positions[v as usize]);
            let weights = nearest_weights(a, b, c, place);
            let point = MeshPoint { face, weights };
            let miss = (self.position(&point) - place).norm();
            if miss < best.1 {
                best = (point, miss);
            }
        }
        best
    }

    /// Area of one face, mm2.
    #[must_use]
    pub fn face_area_mm2(&self, face: FaceId) -> f64 {
        let frame = self.frame(face);
        0.5 * frame.length[0] * frame.apex[0].y
    }

    /// Area of the faces whose tag passes, mm2.
    #[must_use]
    pub fn area_mm2(&self, keep: impl Fn(&FaceTag) -> bool) -> f64 {
        let kept = (0..).zip(&self.tags).filter(|(_, tag)| keep(tag));
        kept.map(|(face, _)| self.face_area_mm2(face)).sum()
    }

    /// Edges with one face only, as face and corner the edge starts from.
    pub fn boundary_edges(&self) -> impl Iterator<Item = (FaceId, usize)> + '_ {
        self.rim.iter().copied()
    }

    /// The vertices at both ends of an edge, in the face's order.
    #[must_use]
    pub fn edge(&self, face: FaceId, side: usize) -> [VertexId; 2] {
        let corners = self.faces[face as usize];
        [corners[side % 3], corners[(side + 1) % 3]]
    }

    /// Length of an edge, mm.
    #[must_use]
    pub fn edge_length_mm(&self, face: FaceId, side: usize) -> f64 {
        self.frame(face).length[side % 3]
    }

    /// The point a part `t` (0 to 1) along an edge.
    #[must_use]
    pub fn on_edge(&self, face: FaceId, side: usize, t: f64) -> MeshPoint {
        let mut weights = Vector3::zeros();
        weights[side % 3] = 1.0 - t;
        weights[(side + 1) % 3] = t;
        MeshPoint { face, weights }
    }

    /// The same point written in another face, when it lies on what the two faces share.
    #[must_use]
    pub fn express(&self, point: &MeshPoint, face: FaceId) -> Option<MeshPoint> {
        if point.face == face {
            return Some(*point);
        }
        let (from, to) = (self.faces[point.face as usize], self.faces[face as usize]);
        let mut weights = Vector3::zeros();
        for (vertex, weight) in from.iter().zip(point.weights.iter()) {
            if weight.abs() > SNAP {
                weights[to.iter().position(|v| v == vertex)?] = *weight;
            }
        }
        Some(MeshPoint { face, weights: weights / weights.sum() })
    }

    /// The point laid flat on one edge of its face: see [`Frame`].
    pub(crate) fn flat(&self, face: FaceId, side: usize, weights: &Vector3<f64>) -> Vector2<f64> {
        self.frame(face).flat_on(side, weights)
    }

    /// Weights of a place laid flat on edge 0 of a face; negative outside it.
    pub(crate) fn weights_of_flat(&self, face: FaceId, at: Vector2<f64>) -> Vector3<f64> {
        let frame = self.frame(face);
        let top = at.y / frame.apex[0].y;
        let next = (at.x - top * frame.apex[0].x) / frame.length[0];
        Vector3::new(1.0 - next - top, next, top)
    }

    /// The point with weights that are as good as zero made zero.
    pub(crate) fn snapped(&self, point: &MeshPoint) -> MeshPoint {
        let weights = point.weights.map(|w| if w < SNAP { 0.0 } else { w });
        MeshPoint { face: point.face, weights: weights / weights.sum() }
    }
}

/// Weights of the point of a triangle nearest to a place in space.
pub(crate) fn nearest_weights(
    a: Point3<f64>,
    b: Point3<f64>,
    c: Point3<f64>,
    p: Point3<f64>,
) -> Vector3<f64> {
    let (ab, ac, ap) = (b - a, c - a, p - a);
    let normal = ab.cross(&ac);
    let w1 = ap.cross(&ac).dot(&normal) / normal.norm_squared();
    let w2 = ab.cross(&ap).dot(&normal) / normal.norm_squared();
    if w1 >= 0.0 && w2 >= 0.0 && w1 + w2 <= 1.0 {
        return Vector3::new(1.0 - w1 - w2, w1, w2);
    }
    let corners = [a, b, c];
    let mut best = (f64::INFINITY, Vector3::new(1.0, 0.0, 0.0));
    for i in 0..3 {
        let (from, to) = (corners[i], corners[(i + 1) % 3]);
        let t = ((p - from).dot(&(to - from)) / (to - from).norm_squared()).clamp(0.0, 1.0);
        let miss = (from + (to - from) * t - p).norm();
        if miss < best.0 {
            let mut weights = Vector3::zeros();
            weights[i] = 1.0 - t;
            weights[(i + 1) % 3] = t;
            best = (miss, weights);
        }
    }
    best.1
}
