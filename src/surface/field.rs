//! How far is every place of a panel from a point, a line or a patch, over the surface?
//!
//! Takes a mesh, the faces one may pass, an [`Origin`] and a limit; gives a [`DistanceField`]
//! that answers for any point of the mesh with the exact length of the shortest path on the
//! mesh, in mm. Work stops at the limit, so it costs what the damage costs and not the body.
//! Where edges are shorter than 6 mm, ways that all but agree are joined: a distance is then right
//! to a millionth of itself, elsewhere to rounding.
//!
//! Method: windows in order of least distance (improved Chen-Han, published: Xin and Wang 2009);
//! vertices on rims and on saddles bend paths and shine anew.
#![allow(
    clippy::indexing_slicing,
    reason = "face, vertex and corner numbers come from a mesh that Mesh::new has checked"
)]

use std::fmt;
use std::sync::OnceLock;

use nalgebra::{Point2, Vector2, Vector3};

use super::front::{Front, Lit, MOST_WINDOWS};
use super::ground::{CellId, Ground, Walk};
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::{Inside, Origin, Piece};
use super::seed::{Laid, seed};

/// Distances are worked out this much past the limit, mm, so that a level curve at the limit
/// itself can be drawn from both sides.
const MARGIN_MM: f64 = 2.0;

/// Why distances could not be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpreadFault {
    /// `passable` does not have one entry a face.
    Passable {
        /// Entries given.
        given: usize,
        /// Faces of the mesh.
        faces: usize,
    },
    /// The limit is negative or not a number.
    Limit,
    /// The mesh is too fine for the limit.
    TooFine,
}

impl fmt::Display for SpreadFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Passable { given, faces } => {
                write!(out, "{given} entries say which of {faces} faces may be passed")
            }
            Self::Limit => write!(out, "the distance to work out to is not a length"),
            Self::TooFine => write!(
                out,
                "the surface is too fine for distances this large (more than {MOST_WINDOWS} \
                 paths at once): thin the scan to faces of 5 to 15 mm"
            ),
        }
    }
}

impl std::error::Error for SpreadFault {}

/// How a face lies to a filled patch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cover {
    Outside,
    Inside,
    Ask,
}

/// Shortest distances over a mesh from one origin, mm.
#[derive(Debug, Clone)]
pub struct DistanceField<'m> {
    mesh: &'m Mesh,
    /// Faces that may not be passed.
    closed: Vec<FaceId>,
    passable: OnceLock<Vec<bool>>,
    limit: f64,
    ground: Ground<'m>,
    lit: Lit,
    laid: Vec<Laid>,
    /// How each cell lies to the patch; empty without one.
    cover: Vec<Cover>,
    inside: Option<Inside>,
    anchor: Option<MeshPoint>,
}

impl<'m> DistanceField<'m> {
    /// Works out distances up to `limit_mm`, round faces that are not passable.
    ///
    /// # Errors
    /// [`SpreadFault`] when the input does not fit the mesh or the mesh is far too fine.
    pub fn spread(
        mesh: &'m Mesh,
        passable: &[bool],
        origin: &Origin,
        limit_mm: f64,
    ) -> Result<Self, SpreadFault> {
        if passable.len() != mesh.faces.len() {
            return Err(SpreadFault::Passable { given: passable.len(), faces: mesh.faces.len() });
        }
        if !(limit_mm >= 0.0 && limit_mm.is_finite()) {
            return Err(SpreadFault::Limit);
        }
        let closed: Vec<FaceId> = closed_faces(passable);
        let walk = Walk { passable, free: closed.is_empty() };
        let mut front = Front::new(mesh, walk, limit_mm + MARGIN_MM);
        let inside = origin.filled.clone().map(Inside::new);
        let mut held = Vec::new();
        if let Some(patch) = &inside {
            held = cover_faces(&mut front, patch);
        }
        let laid = seed(&mut front, &origin.pieces);
        if !front.run() {
            return Err(SpreadFault::TooFine);
        }
        let (ground, lit) = front.finish();
        let mut cover = Vec::new();
        if inside.is_some() {
            cover.resize(ground.cells.len(), Cover::Outside);
            held.into_iter().for_each(|cell| cover[cell as usize] = Cover::Inside);
            laid.iter().for_each(|piece| cover[piece.cell as usize] = Cover::Ask);
        }
        let anchor = origin.pieces.first().map(|piece| match *piece {
            Piece::Point(point) => point,
            Piece::Segment { face, from, .. } => MeshPoint { face, weights: from },
        });
        Ok(Self {
            mesh,
            closed,
            passable: OnceLock::new(),
            limit: limit_mm,
            ground,
            lit,
            laid,
            cover,
            inside,
            anchor,
        })
    }

    /// The mesh the distances lie on.
    #[must_use]
    pub fn mesh(&self) -> &'m Mesh {
        self.mesh
    }

    /// Which faces could be passed.
    #[must_use]
    pub fn passable(&self) -> &[bool] {
        self.passable.get_or_init(|| {
            let mut passable = vec![true; self.mesh.faces.len()];
            self.closed.iter().for_each(|face| passable[*face as usize] = false);
            passable
        })
    }

    /// How far distances were asked for, mm.
    #[must_use]
    pub fn limit_mm(&self) -> f64 {
        self.limit
    }

    /// Distance of a point, mm; infinite past the limit and where no path leads.
    #[must_use]
    pub fn at(&self, point: &MeshPoint) -> f64 {
        let (length, ..) = self.way(point);
        if length <= self.limit { length } else { f64::INFINITY }
    }

    /// Distance of a point, mm, or a little more than the limit where it is farther. Unlike
    /// [`Self::at`] this never changes faster than one moves.
    #[must_use]
    pub fn capped(&self, point: &MeshPoint) -> f64 {
        self.way(point).0.min(self.limit + MARGIN_MM)
    }

    /// Unit direction in space in which the shortest path arrives at a point, away from the
    /// origin; nothing on the origin itself and past the limit.
    #[must_use]
    pub fn direction(&self, point: &MeshPoint) -> Option<Vector3<f64>> {
        let (length, face, side, step) = self.way(point);
        if length <= 0.0 || length > self.limit || step.norm() <= 0.0 {
            return None;
        }
        let unit = step.normalize();
        let corners = self.mesh.faces[face as usize].map(|v| self.mesh.positions[v as usize]);
        let side = side as usize;
        let along = (corners[(side + 1) % 3] - corners[side]).normalize();
        let up = corners[(side + 2) % 3] - corners[side];
        let up = (up - along * up.dot(&along)).normalize();
        Some(along * unit.x + up * unit.y)
    }

    /// Least and greatest distance at the corners of a face; the face holds nothing nearer than
    /// the least less its longest edge.
    pub(crate) fn at_corners(&self, face: FaceId) -> (f64, f64) {
        let Some(cell) = self.ground.cell_of(face) else { return (f64::INFINITY, f64::INFINITY) };
        let known = self.ground.cells[cell as usize].corners.map(|v| self.ground.known[v as usize]);
        known.into_iter().fold((f64::INFINITY, 0.0), |(low, high), d| (d.min(low), d.max(high)))
    }

    /// Distances at the corners of a face, mm, at most a little more than the limit.
    pub(crate) fn corners(&self, face: FaceId) -> [f64; 3] {
        let cap = self.limit + MARGIN_MM;
        let cell = self.ground.cell_of(face).map(|cell| &self.ground.cells[cell as usize]);
        cell.map_or([cap; 3], |cell| cell.corners.map(|v| self.ground.known[v as usize].min(cap)))
    }

    /// Whether a face could be passed.
    pub(crate) fn is_open(&self, face: FaceId) -> bool {
        self.closed.binary_search(&face).is_err()
    }

    /// How many windows are kept: what an answer costs, for tuning.
    #[must_use]
    pub fn window_count(&self) -> usize {
        self.lit.windows.len()
    }

    /// A place of the origin, if it has any on the mesh.
    #[must_use]
    pub fn anchor(&self) -> Option<MeshPoint> {
        self.anchor
    }

    /// Outline of the patch distances start from, if it is a patch, on the panel's grid.
    #[must_use]
    pub fn outline(&self) -> Option<&[Point2<f64>]> {
        self.inside.as_ref().map(Inside::outline)
    }

    /// Faces any part of which may lie within the limit, in order.
    #[must_use]
    pub fn faces_met(&self) -> Vec<FaceId> {
        let mut met = self.faces_within(self.limit + MARGIN_MM);
        met.sort_unstable();
        met
    }

    /// Faces any part of which may lie within a reach, mm, in the order of meeting.
    #[must_use]
    pub fn faces_within(&self, reach_mm: f64) -> Vec<FaceId> {
        let mut met: Vec<FaceId> = Vec::new();
        let mut pieces = self.laid.iter().map(|piece| piece.cell as usize).peekable();
        for (number, cell) in self.ground.cells.iter().enumerate() {
            let laid = pieces.next_if_eq(&number).is_some();
            while pieces.next_if_eq(&number).is_some() {}
            let first = self.lit.start[number] as usize;
            // The nearest window comes first.
            let lit = self.lit.start[number + 1] as usize > first
                && self.lit.windows[first].0 <= reach_mm;
            let near = cell.corners.iter().any(|v| self.ground.known[*v as usize] <= reach_mm);
            let held = self.cover.get(number).is_some_and(|one| *one == Cover::Inside);
            if laid || lit || near || held {
                met.push(cell.face);
            }
        }
        met
    }

    /// Length of the shortest path, the face it was found in and, in the frame of one of that
    /// face's edges, the direction in which it arrives.
    fn way(&self, point: &MeshPoint) -> (f64, FaceId, u8, Vector2<f64>) {
        if let Some(cell) = self.ground.cell_of(point.face) {
            return self.way_in(cell, point);
        }
        let mut best = (f64::INFINITY, point.face, 0, Vector2::zeros());
        if self.closed.binary_search(&point.face).is_err() {
            return best;
        }
        // The rim of an opening belongs to the skin next to it.
        for corner in self.mesh.faces[point.face as usize] {
            for &face in self.mesh.faces_round(corner) {
                let Some(cell) = self.ground.cell_of(face) else { continue };
                if let Some(there) = self.mesh.express(point, face) {
                    let way = self.way_in(cell, &there);
                    if way.0 < best.0 {
                        best = way;
                    }
                }
            }
        }
        best
    }

    fn way_in(&self, number: CellId, point: &MeshPoint) -> (f64, FaceId, u8, Vector2<f64>) {
        let cell = &self.ground.cells[number as usize];
        let number = number as usize;
        let at = cell.frame.flat(&point.weights);
        let mut best = (f64::INFINITY, point.face, 0, Vector2::zeros());
        match self.cover.get(number) {
            None | Some(Cover::Outside) => {}
            Some(Cover::Inside) => return (0.0, point.face, 0, Vector2::zeros()),
            Some(Cover::Ask) => {
                if self.inside.as_ref().is_some_and(|p| p.holds(self.mesh.grid(point))) {
                    return (0.0, point.face, 0, Vector2::zeros());
                }
            }
        }
        for (corner, v) in cell.corners.iter().enumerate() {
            let known = self.ground.known[*v as usize];
            if known < best.0 {
                let length = known + at[corner].norm();
                if length < best.0 {
                    best = (length, point.face, corner as u8, at[corner]);
                }
            }
        }
        let first = self.laid.partition_point(|piece| (piece.cell as usize) < number);
        for piece in self.laid[first..].iter().take_while(|piece| piece.cell as usize == number) {
            let step = piece.step_to(at[0]);
            if step.norm() < best.0 {
                best = (step.norm(), point.face, 0, step);
            }
        }
        let listed = self.lit.start[number] as usize..self.lit.start[number + 1] as usize;
        for (least, window) in &self.lit.windows[listed] {
            // Sorted by what they can give at the least: no later one is nearer.
            if *least >= best.0 {
                break;
            }
            if *least + at[window.side as usize].y >= best.0 {
                continue;
            }
            if let Some((length, step)) = window.shorter(at[window.side as usize], best.0) {
                best = (length, point.face, window.side, step);
            }
        }
        best
    }
}

/// The faces that may not be passed, in order.
fn closed_faces(passable: &[bool]) -> Vec<FaceId> {
    const BLOCK: usize = 64;
    let mut closed = Vec::new();
    for (block, part) in (0..).step_by(BLOCK).zip(passable.chunks(BLOCK)) {
        // Whole blocks at once: most bodies have few closed faces or none.
        if !part.iter().fold(true, |open, one| open & one) {
            closed.extend((block..).zip(part).filter(|(_, open)| !**open).map(|(face, _)| face));
        }
    }
    closed
}

/// Finds the cells whose middle a patch holds and puts the vertices it holds at distance 0.
fn cover_faces(front: &mut Front<'_, '_>, patch: &Inside) -> Vec<CellId> {
    let mesh = front.ground.mesh;
    let mut held = Vec::new();
    for face in mesh.faces_in_box(patch.low, patch.high) {
        if !front.walk.passable[face as usize] {
            continue;
        }
        let third = 1.0 / 3.0;
        let middle = MeshPoint { face, weights: Vector3::new(third, third, third) };
        let holds_middle = patch.holds(mesh.grid(&middle));
        let corners = mesh.faces[face as usize].map(|v| patch.holds(mesh.grid[v as usize]));
        if holds_middle || corners.contains(&true) {
            let cell = front.enter(face);
            for (corner, within) in corners.into_iter().enumerate() {
                if within {
                    let vertex = front.ground.cells[cell as usize].corners[corner];
                    front.ground.known[vertex as usize] = 0.0;
                }
            }
            if holds_middle {
                held.push(cell);
            }
        }
    }
    held
}
