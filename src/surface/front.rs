//! The front of a spreading distance: what is known so far and what waits, nearest first.
//!
//! Windows go from face to face ([`super::window`]) over the ground met so far
//! ([`super::ground`]); vertices on rims and on saddles bend paths and shine anew
//! ([`super::bend`]). Lengths are millimetres.
#![allow(
    clippy::indexing_slicing,
    reason = "cell, vertex and corner numbers come from the ground, which gave them out"
)]

use std::collections::BTreeSet;

use nalgebra::{Rotation2, Vector2};

use super::ground::{Cell, CellId, Ground, Walk};
use super::mesh::{FaceId, Mesh, VertexId};
use super::window::Window;

/// More windows than this at once are refused: about 0.8 GB.
pub(super) const MOST_WINDOWS: usize = 12_000_000;
/// Width of the steps in which the front advances, mm.
const STEP_MM: f64 = 1.0;

/// The spreading front: what is known so far and what waits, nearest first.
pub(crate) struct Front<'m, 'w> {
    pub(crate) ground: Ground<'m>,
    pub(crate) walk: Walk<'w>,
    cap: f64,
    /// Shortest way to the third corner through each edge of each cell, and where it crosses.
    best: Vec<[(f64, f64); 3]>,
    waiting: Queue,
    kept: Vec<Window>,
    pub(super) started: BTreeSet<u32>,
    /// Through which cell the path to a vertex arrives, and the direction back along it.
    pub(super) arrival: Vec<Option<(CellId, Vector2<f64>)>>,
}

/// What waits, nearest first to within [`STEP_MM`] and in the order of coming within that. The
/// order only decides how much is worked out in vain, never what comes out.
struct Queue {
    steps: Vec<Step>,
    now: usize,
    count: usize,
}

#[derive(Default)]
struct Step {
    vertices: Vec<(f64, u32)>,
    windows: Vec<Window>,
}

enum Wait {
    Vertex(f64, u32),
    Window(Window),
}

impl Queue {
    fn new(cap: f64) -> Self {
        let count = (cap / STEP_MM) as usize + 1;
        Self { steps: (0..count).map(|_| Step::default()).collect(), now: 0, count: 0 }
    }

    /// The step a length belongs to; rounding may put it a hair before what it came from.
    fn step(&mut self, least: f64) -> &mut Step {
        let step = ((least / STEP_MM) as usize).clamp(self.now, self.steps.len() - 1);
        &mut self.steps[step]
    }

    fn pop(&mut self, done: &mut usize) -> Option<Wait> {
        loop {
            let step = self.steps.get_mut(self.now)?;
            if let Some((length, vertex)) = step.vertices.pop() {
                return Some(Wait::Vertex(length, vertex));
            }
            if let Some(window) = step.windows.get(*done) {
                *done += 1;
                return Some(Wait::Window(*window));
            }
            self.count -= step.windows.len();
            *step = Step::default();
            *done = 0;
            self.now += 1;
        }
    }
}

impl<'m, 'w> Front<'m, 'w> {
    pub(crate) fn new(mesh: &'m Mesh, walk: Walk<'w>, cap: f64) -> Self {
        Self {
            ground: Ground::new(mesh),
            walk,
            cap,
            best: Vec::new(),
            waiting: Queue::new(cap),
            kept: Vec::new(),
            started: BTreeSet::new(),
            arrival: Vec::new(),
        }
    }

    /// The cell of a face.
    pub(crate) fn enter(&mut self, face: FaceId) -> CellId {
        self.ground.enter(face, &self.walk)
    }

    /// Notes a real path to a vertex, with the cell it arrives through and the direction back
    /// along it, in the frame of that cell's edge 0.
    pub(crate) fn reach_vertex(
        &mut self,
        vertex: u32,
        length: f64,
        cell: CellId,
        back: Vector2<f64>,
    ) {
        let v = vertex as usize;
        if length < self.ground.known[v] - 1e-10 && length <= self.cap {
            self.ground.known[v] = length;
            if self.ground.bends[v] {
                if self.arrival.len() <= v {
                    self.arrival.resize(self.ground.known.len(), None);
                }
                self.arrival[v] = Some((cell, back));
                self.waiting.step(length).vertices.push((length, vertex));
            }
        }
    }

    /// Makes a vertex a source, whatever its shape and whatever is known of it.
    pub(crate) fn start_vertex(&mut self, vertex: VertexId) {
        let vertex = self.ground.vertex(vertex, &self.walk);
        if self.started.insert(vertex) {
            self.ground.known[vertex as usize] = 0.0;
            self.waiting.step(0.0).vertices.push((0.0, vertex));
        }
    }

    /// Puts a window in the queue unless it is of no use.
    pub(crate) fn open(&mut self, window: Window) {
        let least = window.least();
        if least > self.cap || window.is_beaten(&self.ground) {
            return;
        }
        self.waiting.count += 1;
        self.waiting.step(least).windows.push(window);
    }

    /// Spreads to the end; false when there are too many windows.
    pub(crate) fn run(&mut self) -> bool {
        let mut done = 0;
        while let Some(wait) = self.waiting.pop(&mut done) {
            match wait {
                Wait::Vertex(length, v) => {
                    // A shorter path found meanwhile waits on its own account.
                    if length <= self.ground.known[v as usize] {
                        self.shine_from(v);
                    }
                }
                Wait::Window(window) => {
                    if !window.is_beaten(&self.ground) {
                        self.kept.push(window);
                        self.pass(&window);
                    }
                }
            }
            if self.kept.len() + self.waiting.count > MOST_WINDOWS {
                return false;
            }
        }
        true
    }

    /// Carries a window through its cell.
    fn pass(&mut self, window: &Window) {
        let (cell, side) = (window.cell as usize, window.side as usize);
        let here = &self.ground.cells[cell];
        let mut shade = None;
        if let Some(t) = window.lights_apex(&here.frame) {
            let (length, step) = window.distance(here.frame.apex[side]);
            let vertex = here.corners[(side + 2) % 3];
            // Only where paths may bend does it matter from where they come.
            let back = if self.ground.bends[vertex as usize] {
                Rotation2::new(here.edge_angle(side)) * -step
            } else {
                -step
            };
            self.reach_vertex(vertex, length, window.cell, back);
            if self.best.len() <= cell {
                self.best.resize(self.ground.cells.len(), [(f64::INFINITY, 0.0); 3]);
            }
            let best = &mut self.best[cell][side];
            if length < best.0 {
                *best = (length, t);
            } else {
                shade = Some(best.1);
            }
        }
        for child in window.children(&mut self.ground, &self.walk, shade).into_iter().flatten() {
            self.open(child);
        }
    }

    /// The ground with the windows that still matter, listed cell by cell, and the least
    /// distance each of them can give.
    pub(crate) fn finish(self) -> (Ground<'m>, Lit) {
        let Self { ground, mut kept, .. } = self;
        kept.retain(|window| !window.is_beaten(&ground));
        let mut start = vec![0_u32; ground.cells.len() + 1];
        for window in &kept {
            start[window.cell as usize + 1] += 1;
        }
        for cell in 0..ground.cells.len() {
            start[cell + 1] += start[cell];
        }
        let mut next = start.clone();
        let mut order = vec![(0.0, 0_u32); kept.len()];
        for (i, window) in (0..).zip(&kept) {
            order[next[window.cell as usize] as usize] = (window.least(), i);
            next[window.cell as usize] += 1;
        }
        // Nearest first in each cell, so that a look-up may stop early.
        for cell in 0..ground.cells.len() {
            let listed = start[cell] as usize..start[cell + 1] as usize;
            order[listed].sort_by(|one, other| one.0.total_cmp(&other.0));
        }
        let windows = order.iter().map(|(_, i)| kept[*i as usize]).collect();
        let least = order.into_iter().map(|(least, _)| least).collect();
        (ground, Lit { start, windows, least })
    }
}

/// Windows by cell: `windows[start[c]..start[c + 1]]` light cell `c`, nearest first.
#[derive(Debug, Clone)]
pub(crate) struct Lit {
    pub(crate) start: Vec<u32>,
    pub(crate) windows: Vec<Window>,
    /// Least distance each window can give.
    pub(crate) least: Vec<f64>,
}

impl Cell {
    /// Angle of the edge leaving a corner, in the frame of edge 0.
    pub(crate) fn edge_angle(&self, corner: usize) -> f64 {
        let at = [Vector2::zeros(), Vector2::new(self.frame.length[0], 0.0), self.frame.apex[0]];
        let along = at[(corner + 1) % 3] - at[corner];
        along.y.atan2(along.x)
    }
}
