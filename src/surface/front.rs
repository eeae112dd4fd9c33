//! The front of a spreading distance: what is known so far and what waits, nearest first.
//!
//! Windows go from face to face ([`super::window`]); vertices on rims and on saddles bend paths
//! and shine anew, but only where a path through them can be straight: at least half a turn
//! from the way it came, on both sides. Lengths are millimetres, angles radians.
#![allow(
    clippy::indexing_slicing,
    reason = "face, vertex and corner numbers come from a mesh that Mesh::new has checked"
)]

use std::collections::BTreeSet;
use std::f64::consts::PI;

use nalgebra::{Rotation2, Vector2};

use super::mesh::{FaceId, Mesh, VertexId};
use super::window::{Came, Kind, Window};

/// More windows than this at once are refused: about 0.8 GB.
pub(super) const MOST_WINDOWS: usize = 12_000_000;
/// Width of the steps in which the front advances, mm.
const STEP_MM: f64 = 1.0;
/// Slack in the angle at which paths may bend, radians.
const BEND: f64 = 1e-7;

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
    waiting: Queue,
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

#[derive(Debug, Clone, Copy)]
enum Wait {
    Vertex(VertexId),
    Window(u32),
}

/// What waits, nearest first to within [`STEP_MM`] and in the order of coming within that. The
/// order only decides how much is worked out in vain, never what comes out.
struct Queue {
    steps: Vec<Vec<(f64, Wait)>>,
    now: usize,
    done: usize,
}

impl Queue {
    fn new(cap: f64) -> Self {
        Self { steps: vec![Vec::new(); (cap / STEP_MM) as usize + 1], now: 0, done: 0 }
    }

    fn push(&mut self, least: f64, wait: Wait) {
        // Rounding may put a window a hair before the one it came from.
        let step = ((least / STEP_MM) as usize).clamp(self.now, self.steps.len() - 1);
        self.steps[step].push((least, wait));
    }

    fn pop(&mut self) -> Option<(f64, Wait)> {
        loop {
            let step = self.steps.get_mut(self.now)?;
            if let Some(next) = step.get(self.done) {
                self.done += 1;
                return Some(*next);
            }
            *step = Vec::new();
            self.done = 0;
            if self.now + 1 == self.steps.len() {
                return None;
            }
            self.now += 1;
        }
    }
}

impl<'m> Front<'m> {
    pub(crate) fn new(mesh: &'m Mesh, passable: &'m [bool], cap: f64) -> Self {
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
            waiting: Queue::new(cap),
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
                self.waiting.push(length, Wait::Vertex(vertex));
            }
        }
    }

    /// Makes a vertex a source, whatever its shape and whatever is known of it.
    pub(crate) fn start_vertex(&mut self, vertex: VertexId) {
        if self.started.insert(vertex) {
            self.known[vertex as usize] = 0.0;
            self.waiting.push(0.0, Wait::Vertex(vertex));
        }
    }

    /// Puts a window in the queue unless it is of no use.
    pub(crate) fn open(&mut self, window: Window) {
        let least = window.least().max(0.0);
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
        self.waiting.push(least, Wait::Window(at));
    }

    /// Spreads to the end; false when there are too many windows.
    pub(crate) fn run(&mut self) -> bool {
        while let Some((least, wait)) = self.waiting.pop() {
            match wait {
                Wait::Vertex(v) => {
                    // A shorter path found meanwhile waits on its own account.
                    if least <= self.known[v as usize] {
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
                return false;
            }
        }
        true
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
    pub(crate) fn by_face(&self) -> (Vec<u32>, Vec<Window>) {
        let matters = |at: &&u32| !self.store[**at as usize].is_beaten(self.mesh, &self.known);
        let kept: Vec<&Window> =
            self.kept.iter().filter(matters).map(|at| &self.store[*at as usize]).collect();
        let mut start = vec![0_u32; self.mesh.faces.len() + 1];
        for window in &kept {
            start[window.face as usize + 1] += 1;
        }
        for face in 0..self.mesh.faces.len() {
            start[face + 1] += start[face];
        }
        let mut next = start.clone();
        let mut order = vec![0_u32; kept.len()];
        for (i, window) in (0..).zip(&kept) {
            order[next[window.face as usize] as usize] = i;
            next[window.face as usize] += 1;
        }
        // Nearest first in each face, so that a look-up may stop early.
        let mut sorted: Vec<Window> = order.into_iter().map(|i| *kept[i as usize]).collect();
        for face in 0..self.mesh.faces.len() {
            let listed = start[face] as usize..start[face + 1] as usize;
            sorted[listed].sort_by(|one, other| one.least().total_cmp(&other.least()));
        }
        (start, sorted)
    }
}
