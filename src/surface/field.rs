//! How far is every place of a panel from a point, a line or a patch, over the surface?
//!
//! Takes a mesh, the faces one may pass, an [`Origin`] and a limit; gives a [`DistanceField`]
//! that answers for any point of the mesh with the exact length of the shortest path on the
//! mesh, in mm. Work stops at the limit, so it costs what the damage costs and not the body.
//!
//! Method: windows in order of least distance (see [`super::window`]); vertices on rims and on
//! saddles bend paths and shine anew.
#![allow(
    clippy::indexing_slicing,
    reason = "face, vertex and corner numbers come from a mesh that Mesh::new has checked"
)]

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};
use std::f64::consts::PI;
use std::fmt;

use nalgebra::{Point2, Rotation2, Vector2, Vector3};

use super::mesh::{FaceId, Mesh, MeshPoint, VertexId};
use super::origin::{Inside, Origin, Piece};
use super::seed::{Laid, seed};
use super::window::{Came, Kind, Window};

/// Distances are worked out this much past the limit, mm, so that a level curve at the limit
/// itself can be drawn from both sides.
const MARGIN_MM: f64 = 2.0;
/// Slack in the angle at which paths may bend, radians.
const BEND: f64 = 1e-7;
/// More windows than this at once are refused: about 0.8 GB.
const MOST_WINDOWS: usize = 12_000_000;

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
    passable: Vec<bool>,
    limit: f64,
    known: Vec<f64>,
    start: Vec<u32>,
    windows: Vec<Window>,
    laid: Vec<Laid>,
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
        let mut front = Front::new(mesh, passable, limit_mm + MARGIN_MM);
        let inside = origin.filled.clone().map(Inside::new);
        let mut cover = vec![Cover::Outside; mesh.faces.len()];
        if let Some(patch) = &inside {
            cover_faces(mesh, passable, patch, &mut cover, &mut front.known);
        }
        let laid = seed(&mut front, &origin.pieces);
        for piece in &laid {
            if inside.is_some() {
                cover[piece.face as usize] = Cover::Ask;
            }
        }
        front.run()?;
        let (start, windows) = front.by_face();
        let known = front.known;
        let anchor = origin.pieces.first().map(|piece| match *piece {
            Piece::Point(point) => point,
            Piece::Segment { face, from, .. } => MeshPoint { face, weights: from },
        });
        Ok(Self {
            mesh,
            passable: passable.to_vec(),
            limit: limit_mm,
            known,
            start,
            windows,
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
        &self.passable
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

    /// How many windows are kept: what an answer costs, for tuning.
    #[must_use]
    pub fn window_count(&self) -> usize {
        self.windows.len()
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
        let cap = self.limit + MARGIN_MM;
        let mut met: Vec<FaceId> = self.laid.iter().map(|piece| piece.face).collect();
        for face in 0..self.mesh.faces.len() {
            let lit = self.start[face + 1] > self.start[face];
            let near = self.mesh.faces[face].iter().any(|v| self.known[*v as usize] <= cap);
            if self.passable[face] && (lit || near || self.cover[face] == Cover::Inside) {
                met.push(face as FaceId);
            }
        }
        met.sort_unstable();
        met.dedup();
        met
    }

    /// Length of the shortest path, the face it was found in and, in the frame of one of that
    /// face's edges, the direction in which it arrives.
    fn way(&self, point: &MeshPoint) -> (f64, FaceId, u8, Vector2<f64>) {
        if self.passable.get(point.face as usize).copied().unwrap_or(false) {
            return self.way_in(point);
        }
        // The rim of an opening belongs to the skin next to it.
        let mut best = (f64::INFINITY, point.face, 0, Vector2::zeros());
        for corner in self.mesh.faces[point.face as usize] {
            for &face in self.mesh.faces_round(corner) {
                if !self.passable[face as usize] {
                    continue;
                }
                if let Some(there) = self.mesh.express(point, face) {
                    let way = self.way_in(&there);
                    if way.0 < best.0 {
                        best = way;
                    }
                }
            }
        }
        best
    }

    fn way_in(&self, point: &MeshPoint) -> (f64, FaceId, u8, Vector2<f64>) {
        let face = point.face as usize;
        let at = [0, 1, 2].map(|side| self.mesh.flat(point.face, side, &point.weights));
        let mut best = (f64::INFINITY, point.face, 0, Vector2::zeros());
        if self.cover[face] != Cover::Outside {
            let held = self.cover[face] == Cover::Inside
                || self.inside.as_ref().is_some_and(|p| p.holds(self.mesh.grid(point)));
            if held {
                return (0.0, point.face, 0, Vector2::zeros());
            }
        }
        for (corner, v) in self.mesh.faces[face].iter().enumerate() {
            let length = self.known[*v as usize] + at[corner].norm();
            if length < best.0 {
                best = (length, point.face, corner as u8, at[corner]);
            }
        }
        let first = self.laid.partition_point(|piece| piece.face < point.face);
        for piece in self.laid[first..].iter().take_while(|piece| piece.face == point.face) {
            let step = piece.step_to(at[0]);
            if step.norm() < best.0 {
                best = (step.norm(), point.face, 0, step);
            }
        }
        let listed = self.start[face] as usize..self.start[face + 1] as usize;
        for window in &self.windows[listed] {
            let (length, step) = window.distance(at[window.side as usize]);
            if length < best.0 {
                best = (length, point.face, window.side, step);
            }
        }
        best
    }
}

/// Finds how the faces lie to a patch and puts the vertices it holds at distance 0.
fn cover_faces(
    mesh: &Mesh,
    passable: &[bool],
    patch: &Inside,
    cover: &mut [Cover],
    known: &mut [f64],
) {
    for face in mesh.faces_in_box(patch.low, patch.high) {
        if !passable[face as usize] {
            continue;
        }
        let third = 1.0 / 3.0;
        let middle = MeshPoint { face, weights: Vector3::new(third, third, third) };
        if patch.holds(mesh.grid(&middle)) {
            cover[face as usize] = Cover::Inside;
        }
        for v in mesh.faces[face as usize] {
            if patch.holds(mesh.grid[v as usize]) {
                known[v as usize] = 0.0;
            }
        }
    }
}

/// The spreading front: what is known so far and what waits, nearest first.
pub(crate) struct Front<'m> {
    pub(crate) mesh: &'m Mesh,
    pub(crate) passable: &'m [bool],
    /// Shortest real path found to each vertex, mm.
    pub(crate) known: Vec<f64>,
    cap: f64,
    /// Vertices where paths may bend.
    bends: Vec<bool>,
    /// Shortest way to the third corner through each edge of each face, and where it crosses.
    best: Vec<[(f64, f64); 3]>,
    waiting: BinaryHeap<Reverse<(u64, Wait)>>,
    store: Vec<Window>,
    free: Vec<u32>,
    kept: Vec<u32>,
    started: BTreeSet<VertexId>,
    /// Through which face the path to a vertex arrives, and the direction back along it.
    arrival: Vec<Option<(FaceId, Vector2<f64>)>>,
}

/// A face met turning round a vertex: the angle turned before it and the angle it spans.
struct Slice {
    face: FaceId,
    from: f64,
    span: f64,
}

/// An angle brought to within half a turn of zero.
fn turn_to(angle: f64) -> f64 {
    (angle + PI).rem_euclid(2.0 * PI) - PI
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Wait {
    Vertex(VertexId),
    Window(u32),
}

impl<'m> Front<'m> {
    fn new(mesh: &'m Mesh, passable: &'m [bool], cap: f64) -> Self {
        let mut bends = mesh.saddle.clone();
        for (face, sides) in mesh.across.iter().enumerate() {
            for (side, next) in sides.iter().enumerate() {
                let wall = next.is_none_or(|n| passable[n as usize] != passable[face]);
                if wall {
                    for v in mesh.edge(face as FaceId, side) {
                        bends[v as usize] = true;
                    }
                }
            }
        }
        Self {
            mesh,
            passable,
            known: vec![f64::INFINITY; mesh.positions.len()],
            cap,
            bends,
            best: vec![[(f64::INFINITY, 0.0); 3]; mesh.faces.len()],
            waiting: BinaryHeap::new(),
            store: Vec::new(),
            free: Vec::new(),
            kept: Vec::new(),
            started: BTreeSet::new(),
            arrival: vec![None; mesh.positions.len()],
        }
    }

    /// Notes a real path to a vertex, with the face it arrives through and the direction back
    /// along it, in the frame of that face's edge 0.
    pub(crate) fn reach_vertex(
        &mut self,
        vertex: VertexId,
        length: f64,
        face: FaceId,
        back: Vector2<f64>,
    ) {
        let v = vertex as usize;
        if length < self.known[v] - 1e-10 && length <= self.cap {
            self.known[v] = length;
            if self.bends[v] {
                self.arrival[v] = Some((face, back));
                self.waiting.push(Reverse((length.to_bits(), Wait::Vertex(vertex))));
            }
        }
    }

    /// Makes a vertex a source, whatever its shape and whatever is known of it.
    pub(crate) fn start_vertex(&mut self, vertex: VertexId) {
        if self.started.insert(vertex) {
            self.known[vertex as usize] = 0.0;
            self.waiting.push(Reverse((0.0_f64.to_bits(), Wait::Vertex(vertex))));
        }
    }

    /// Puts a window in the queue unless it is of no use.
    pub(crate) fn open(&mut self, window: Window) {
        // Adding zero turns -0.0, which would sort last, into 0.0.
        let least = window.least().max(0.0) + 0.0;
        if least > self.cap
            || !self.passable[window.face as usize]
            || window.is_beaten(self.mesh, &self.known)
        {
            return;
        }
        let at = if let Some(at) = self.free.pop() {
            self.store[at as usize] = window;
            at
        } else {
            self.store.push(window);
            (self.store.len() - 1) as u32
        };
        self.waiting.push(Reverse((least.to_bits(), Wait::Window(at))));
    }

    fn run(&mut self) -> Result<(), SpreadFault> {
        while let Some(Reverse((key, wait))) = self.waiting.pop() {
            match wait {
                Wait::Vertex(v) => {
                    if self.known[v as usize].to_bits() == key {
                        self.shine_from(v);
                    }
                }
                Wait::Window(at) => {
                    let window = self.store[at as usize];
                    if window.is_beaten(self.mesh, &self.known) {
                        self.free.push(at);
                    } else {
                        self.kept.push(at);
                        self.pass(&window);
                    }
                }
            }
            if self.store.len() > MOST_WINDOWS {
                return Err(SpreadFault::TooFine);
            }
        }
        Ok(())
    }

    /// Lets a vertex shine through the far edges of the faces round it, where a shortest path
    /// may bend to: at least half a turn from the way it came, on both sides.
    fn shine_from(&mut self, vertex: VertexId) {
        let arrival = self.arrival[vertex as usize].filter(|_| !self.started.contains(&vertex));
        let Some((face, back)) = arrival else {
            for &face in self.mesh.faces_round(vertex) {
                self.shine_into(vertex, face, [f64::NEG_INFINITY, f64::INFINITY]);
            }
            return;
        };
        let (closed, left) = self.turn(vertex, face, back, true);
        let turned = |fan: &[Slice]| fan.last().map_or(0.0, |slice| slice.from + slice.span);
        let least = PI - BEND;
        if closed {
            let most = turned(&left) - least;
            for slice in &left {
                self.shine_into(vertex, slice.face, [least - slice.from, most - slice.from]);
            }
            return;
        }
        let (_, right) = self.turn(vertex, face, back, false);
        for slice in &left {
            self.shine_into(vertex, slice.face, [least - slice.from, f64::INFINITY]);
        }
        for slice in &right {
            // Counted clockwise: the same face seen from its other edge.
            let most = slice.from + slice.span - least;
            self.shine_into(vertex, slice.face, [f64::NEG_INFINITY, most]);
        }
        for &other in self.mesh.faces_round(vertex) {
            // Faces that touch the vertex only, behind a wall.
            if !left.iter().chain(&right).any(|slice| slice.face == other) {
                self.shine_into(vertex, other, [f64::NEG_INFINITY, f64::INFINITY]);
            }
        }
    }

    /// The faces met turning round a vertex from a direction in one of them, and whether the
    /// turn is a full one. Angles count from that direction.
    fn turn(
        &self,
        vertex: VertexId,
        first: FaceId,
        back: Vector2<f64>,
        counter: bool,
    ) -> (bool, Vec<Slice>) {
        let mesh = self.mesh;
        let mut fan: Vec<Slice> = Vec::new();
        let mut face = first;
        loop {
            let Some(corner) = mesh.faces[face as usize].iter().position(|v| *v == vertex) else {
                return (false, fan);
            };
            let apex = mesh.frames[face as usize].apex[corner];
            let span = apex.y.atan2(apex.x);
            let from = match fan.last() {
                Some(slice) => slice.from + slice.span,
                None => {
                    // The direction is written on edge 0 of the face: turn it to this corner.
                    let ahead = self.edge_angle(face, corner);
                    let angle = turn_to(back.y.atan2(back.x) - ahead).clamp(0.0, span);
                    if counter { -angle } else { angle - span }
                }
            };
            fan.push(Slice { face, from, span });
            let side = if counter { (corner + 2) % 3 } else { corner };
            match mesh.across[face as usize][side] {
                Some(next) if next == first => {
                    // What is left of the full turn is the part of the first face before.
                    let (from, ahead) = (from + span, -fan[0].from);
                    fan.push(Slice { face: first, from, span: ahead });
                    return (true, fan);
                }
                Some(next) if self.passable[next as usize] && fan.len() < 10_000 => face = next,
                _ => return (false, fan),
            }
        }
    }

    /// Angle of the edge leaving a corner, in the frame of edge 0.
    fn edge_angle(&self, face: FaceId, corner: usize) -> f64 {
        let frame = &self.mesh.frames[face as usize];
        let at = [Vector2::zeros(), Vector2::new(frame.length[0], 0.0), frame.apex[0]];
        let along = at[(corner + 1) % 3] - at[corner];
        along.y.atan2(along.x)
    }

    /// Lets a vertex shine through the far edge of one face, between two angles counted from
    /// the edge that leaves the vertex.
    fn shine_into(&mut self, vertex: VertexId, face: FaceId, angles: [f64; 2]) {
        let mesh = self.mesh;
        let corners = mesh.faces[face as usize];
        let Some(corner) = corners.iter().position(|v| *v == vertex) else { return };
        let base = self.known[vertex as usize];
        let (next, last) = ((corner + 1) % 3, (corner + 2) % 3);
        let frame = &mesh.frames[face as usize];
        let apex = frame.apex[corner];
        let span = apex.y.atan2(apex.x);
        let [low, high] = angles;
        if !self.passable[face as usize] || high < 0.0 || low > span || low > high {
            return;
        }
        if low <= 0.0 {
            let back = [next, corner];
            self.arrive(corners[next], base + frame.length[corner], face, back);
        }
        if high >= span {
            self.arrive(corners[last], base + frame.length[last], face, [last, corner]);
        }
        let Some(beyond) = mesh.across[face as usize][next] else { return };
        let length = frame.length[next];
        // How far along the far edge, from its start, a ray at an angle meets it.
        let hit = |angle: f64| {
            let ray = Vector2::new(angle.cos(), angle.sin());
            let start = Vector2::new(frame.length[corner], 0.0);
            let along = (apex - start) / length;
            (-start.perp(&ray) / along.perp(&ray)).clamp(0.0, length)
        };
        let from = if low > 0.0 { hit(low) } else { 0.0 };
        let to = if high < span { hit(high) } else { length };
        if to - from > 1e-11 {
            let far = frame.apex[next];
            self.open(Window {
                from: length - to,
                to: length - from,
                x: length - far.x,
                y: -far.y,
                base,
                face: beyond,
                side: mesh.twin[face as usize][next],
                kind: Kind::Point,
                came: Came::Source,
            });
        }
    }

    /// Notes a path that arrives at a vertex along an edge of a face.
    fn arrive(&mut self, vertex: VertexId, length: f64, face: FaceId, edge: [usize; 2]) {
        let frame = &self.mesh.frames[face as usize];
        let at = [Vector2::zeros(), Vector2::new(frame.length[0], 0.0), frame.apex[0]];
        self.reach_vertex(vertex, length, face, at[edge[1]] - at[edge[0]]);
    }

    /// Carries a window through its face.
    fn pass(&mut self, window: &Window) {
        let mesh = self.mesh;
        let (face, side) = (window.face as usize, window.side as usize);
        let frame = &mesh.frames[face];
        let mut shade = None;
        if let Some(t) = window.lights_apex(frame) {
            let (length, step) = window.distance(frame.apex[side]);
            let vertex = mesh.faces[face][(side + 2) % 3];
            // Only where paths may bend does it matter from where they come.
            let back = if self.bends[vertex as usize] {
                Rotation2::new(self.edge_angle(window.face, side)) * -step
            } else {
                -step
            };
            self.reach_vertex(vertex, length, window.face, back);
            let best = &mut self.best[face][side];
            if length < best.0 {
                *best = (length, t);
            } else {
                shade = Some(best.1);
            }
        }
        for child in window.children(mesh, shade).into_iter().flatten() {
            self.open(child);
        }
    }

    /// The windows that still matter, listed face by face.
    fn by_face(&self) -> (Vec<u32>, Vec<Window>) {
        let mut kept: Vec<u32> = self
            .kept
            .iter()
            .copied()
            .filter(|at| !self.store[*at as usize].is_beaten(self.mesh, &self.known))
            .collect();
        kept.sort_by_key(|at| self.store[*at as usize].face);
        let mut start = vec![0_u32; self.mesh.faces.len() + 1];
        for at in &kept {
            start[self.store[*at as usize].face as usize + 1] += 1;
        }
        for face in 0..self.mesh.faces.len() {
            start[face + 1] += start[face];
        }
        (start, kept.iter().map(|at| self.store[*at as usize]).collect())
    }
}
