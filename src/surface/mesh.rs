//! The checked triangle mesh of one panel: connectivity, places in space and on the panel's grid.
//!
//! Lengths are millimetres. Faces run counter-clockwise seen from the outer side. The grid
//! (u, v) of each vertex is a chart of the whole panel, return edges and filled openings
//! included, so that a place or an outline can be held as plain grid coordinates.

use nalgebra::{Point2, Point3, Vector3};

/// Index of a face in [`Mesh::faces`].
pub type FaceId = u32;
/// Index of a vertex in [`Mesh::positions`].
pub type VertexId = u32;

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
}

/// A point on the mesh: a face and the weights of its three corners (they sum to one).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshPoint {
    /// The face.
    pub face: FaceId,
    /// Barycentric weights of the face's corners.
    pub weights: Vector3<f64>,
}
