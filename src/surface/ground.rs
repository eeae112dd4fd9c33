//! The part of a mesh that a spreading distance has met so far, renumbered and close together.
//!
//! Faces and vertices are taken over when something first crosses into them, so time and memory
//! follow the reach of the distance and not the size of the body. Edges that may not be passed
//! are walls here: a rim, or a face on which one may not walk.
#![allow(
    clippy::indexing_slicing,
    reason = "cell and vertex numbers are given out here, mesh numbers were checked by Mesh::new"
)]

use super::lattice::Named;
use super::mesh::{FaceId, Frame, Mesh, VertexId};

/// Number of a face on the ground, in the order of meeting.
pub(crate) type CellId = u32;

/// An edge of a cell as one number: four times the cell, plus the edge.
pub(crate) type Link = u32;
/// No way through.
pub(crate) const WALL: Link = u32::MAX;
/// Not looked up yet.
const UNKNOWN: Link = u32::MAX - 1;

/// Cell and edge of a link.
pub(crate) fn split(link: Link) -> (CellId, u8) {
    (link >> 2, (link & 3) as u8)
}

/// A face with what spreading asks of it.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    pub(crate) frame: Frame,
    /// Its corners, in the ground's numbers.
    pub(crate) corners: [u32; 3],
    links: [Link; 3],
    pub(crate) face: FaceId,
}

/// What has been met.
#[derive(Debug, Clone)]
pub(crate) struct Ground<'m> {
    pub(crate) mesh: &'m Mesh,
    pub(crate) cells: Vec<Cell>,
    by_face: Named<FaceId, CellId>,
    by_vertex: Named<VertexId, u32>,
    /// The mesh's number of each vertex.
    pub(crate) vertices: Vec<VertexId>,
    /// Vertices where paths may bend.
    pub(crate) bends: Vec<bool>,
    /// Shortest real path found to each vertex, mm.
    pub(crate) known: Vec<f64>,
}

/// The mesh and where one may walk on it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Walk<'a> {
    pub(crate) passable: &'a [bool],
    /// There is no face on which one may not walk.
    pub(crate) free: bool,
}

impl<'m> Ground<'m> {
    pub(crate) fn new(mesh: &'m Mesh) -> Self {
        Self {
            mesh,
            cells: Vec::new(),
            by_face: Named::default(),
            by_vertex: Named::default(),
            vertices: Vec::new(),
            bends: Vec::new(),
            known: Vec::new(),
        }
    }

    /// The cell of a face that was met.
    pub(crate) fn cell_of(&self, face: FaceId) -> Option<CellId> {
        self.by_face.get(&face).copied()
    }

    /// The cell of a face, taken over if it is new.
    pub(crate) fn enter(&mut self, face: FaceId, walk: &Walk<'_>) -> CellId {
        if let Some(cell) = self.by_face.get(&face) {
            return *cell;
        }
        let mesh = self.mesh;
        let cell = self.cells.len() as CellId;
        self.by_face.insert(face, cell);
        let corners = mesh.faces[face as usize].map(|v| self.vertex(v, walk));
        self.cells.push(Cell { frame: mesh.frame(face), corners, links: [UNKNOWN; 3], face });
        cell
    }

    /// Where an edge of a cell leads.
    pub(crate) fn link(&mut self, cell: CellId, side: usize, walk: &Walk<'_>) -> Link {
        let known = self.cells[cell as usize].links[side];
        if known != UNKNOWN {
            return known;
        }
        let face = self.cells[cell as usize].face as usize;
        let beyond = self.mesh.across[face][side].filter(|f| walk.passable[*f as usize]);
        let link = beyond.map_or(WALL, |beyond| {
            let twin = self.mesh.twin[face][side];
            let other = self.enter(beyond, walk);
            self.cells[other as usize].links[twin as usize] = (cell << 2) | side as u32;
            (other << 2) | u32::from(twin)
        });
        self.cells[cell as usize].links[side] = link;
        link
    }

    /// Where an edge leads, as far as has been asked before.
    pub(crate) fn known_link(&self, cell: CellId, side: usize) -> Option<(CellId, u8)> {
        let link = self.cells[cell as usize].links[side];
        (link < UNKNOWN).then(|| split(link))
    }

    /// The ground's number of a vertex.
    pub(crate) fn vertex(&mut self, vertex: VertexId, walk: &Walk<'_>) -> u32 {
        if let Some(number) = self.by_vertex.get(&vertex) {
            return *number;
        }
        let number = self.vertices.len() as u32;
        self.by_vertex.insert(vertex, number);
        self.vertices.push(vertex);
        self.known.push(f64::INFINITY);
        let bend = self.mesh.saddle[vertex as usize] || self.on_wall(vertex, walk);
        self.bends.push(bend);
        number
    }

    /// Whether an edge that may not be passed, or only from faces nobody may walk on, ends at a
    /// vertex.
    fn on_wall(&self, vertex: VertexId, walk: &Walk<'_>) -> bool {
        let mesh = self.mesh;
        mesh.on_rim[vertex as usize]
            || !walk.free && {
                let mut open = mesh.faces_round(vertex).iter().map(|f| walk.passable[*f as usize]);
                let first = open.next();
                open.any(|one| Some(one) != first)
            }
    }
}
