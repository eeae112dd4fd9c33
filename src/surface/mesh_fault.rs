//! Why a list of vertices and faces is no panel.

use std::fmt;

use nalgebra::Point2;

use super::mesh::{FaceId, VertexId};

/// Why a list of vertices and faces is not a panel. Places are grid millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeshFault {
    /// The lists do not belong together: vertices, grid places, faces, tags.
    Lengths([usize; 4]),
    /// There is no face at all.
    Empty,
    /// A face names a vertex that does not exist, or the same vertex twice.
    BadIndex {
        /// The face.
        face: FaceId,
    },
    /// A vertex has a coordinate that is not a number.
    NotFinite {
        /// The vertex.
        vertex: VertexId,
    },
    /// More than two faces meet along one edge.
    EdgeShared {
        /// Middle of the edge.
        at: Point2<f64>,
    },
    /// Two neighbouring faces run opposite ways round.
    Orientation {
        /// Middle of the edge.
        at: Point2<f64>,
    },
    /// A face has no area or no height to speak of.
    Degenerate {
        /// Middle of the face.
        at: Point2<f64>,
    },
    /// A face is folded over on the panel's grid.
    Folded {
        /// Middle of the face.
        at: Point2<f64>,
    },
}

impl fmt::Display for MeshFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = |at: &Point2<f64>| format!("at grid ({:.0}, {:.0}) mm", at.x, at.y);
        match self {
            Self::Lengths([p, g, f, t]) => write!(
                out,
                "{p} vertices with {g} grid places and {f} faces with {t} tags do not go together"
            ),
            Self::Empty => write!(out, "the surface has no faces"),
            Self::BadIndex { face } => {
                write!(out, "face {face} does not name three different vertices of the surface")
            }
            Self::NotFinite { vertex } => {
                write!(out, "vertex {vertex} has a coordinate that is not a number")
            }
            Self::EdgeShared { at } => {
                write!(out, "more than two faces meet along one edge {}", place(at))
            }
            Self::Orientation { at } => {
                write!(out, "neighbouring faces run opposite ways round {}", place(at))
            }
            Self::Degenerate { at } => write!(out, "a face has no area {}", place(at)),
            Self::Folded { at } => write!(out, "the surface is folded over {}", place(at)),
        }
    }
}

impl std::error::Error for MeshFault {}
