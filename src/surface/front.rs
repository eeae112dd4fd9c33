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
/// On edges shorter than this, mm, neighbouring windows become one where that changes the
/// distance by less than [`SHARE`] of itself, all joins on the way together, so that a distance is
/// right to a millionth and no longer to rounding. Without it their
/// number grows with the square of the fineness, for differences of nanometres.
const FINE_MM: f64 = 6.0;
/// See [`FINE_MM`].
const SHARE: f64 = 3e-7;

/// The spreading front: what is known so far and what waits, nearest first.
pub(crate) struct Front<'m, 'w> {
    pub(crate) ground: Ground<'m>,
    pub(crate) walk: Walk<'w>,
    cap: f64,
    /// Shortest way to the third corner through each edge of each cell, and where it crosses.
    best: Vec<[(f64, f64); 3]>,
    /// Where the window opened last on each edge of each cell waits: step and number.
    last: Vec<[(u32, u32); 3]>,
    waiting: Queue,
    kept: Vec<(f64, Window)>,
    pub(super) started: BTreeSet<u32>,
    /// Through which cell the path to a vertex arrives, and the direction back along it.
    pub(super) arrival: Vec<Option<(CellId, Vector2<f64>)>>,
}

/// What waits, nearest first to within [`STEP_MM`] and in the order of coming within that. The
/// order only decides how much is worked out in vain, never what comes out.
struct Queue {
    steps: Vec<Step>,
    now: usize,
    /// Windows of the step that were dealt with.
    done: usize,
    count: usize,
    /// Emptied lists, to be filled again.
    spare: Vec<Vec<Window>>,
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
        Self {
            steps: (0..count).map(|_| Step::default()).collect(),
            now: 0,
            done: 0,
            count: 0,
            spare: Vec::new(),
        }
    }

    /// The step a length belongs to; rounding may put it a hair before what it came from.
    fn step(&mut self, least: f64) -> &mut Step {
        let step = ((least / STEP_MM) as usize).clamp(self.now, self.steps.len() - 1);
        &mut self.steps[step]
    }

    fn push(&mut self, least: f64, window: Window) -> (u32, u32) {
        self.count += 1;
        let step = ((least / STEP_MM) as usize).clamp(self.now, self.steps.len() - 1);
        let windows = &mut self.steps[step].windows;
        if windows.capacity() == 0 {
            *windows = self.spare.pop().unwrap_or_default();
        }
        windows.push(window);
        (step as u32, windows.len() as u32 - 1)
    }

    /// The window pushed under a number, if it still waits.
    fn still(&mut self, step: u32, number: u32) -> Option<&mut Window> {
        let (step, number) = (step as usize, number as usize);
        if step < self.now || step == self.now && number < self.done {
            return None;
        }
        self.steps.get_mut(step)?.windows.get_mut(number)
    }

    fn pop(&mut self) -> Option<Wait> {
        loop {
            let step = self.steps.get_mut(self.now)?;
            if let Some((length, vertex)) = step.vertices.pop() {
                return Some(Wait::Vertex(length, vertex));
            }
            if let Some(window) = step.windows.get(self.done) {
                self.done += 1;
                return Some(Wait::Window(*window));
            }
            self.count -= step.windows.len();
            step.windows.clear();
            self.spare.push(std::mem::take(&mut step.windows));
            self.done = 0;
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
            last: Vec::new(),
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
        let (first, last, least) = window.span();
        if least > self.cap || window.is_beaten(&self.ground, first, last) {
            return;
        }
        let (cell, side) = (window.cell as usize, window.side as usize);
        if self.last.len() <= cell {
            self.last.resize(self.ground.cells.len(), [(0, u32::MAX); 3]);
        }
        let (step, number) = self.last[cell][side];
        let fine = self.ground.cells[cell].frame.length[side] < FINE_MM;
        if let Some(other) = self.waiting.still(step, number)
            && let Some(joined) = window.joined(other, if fine { SHARE } else { 0.0 })
        {
            *other = joined;
            return;
        }
        self.last[cell][side] = self.waiting.push(least, window);
    }

    /// Spreads to the end; false when there are too many windows.
    pub(crate) fn run(&mut self) -> bool {
        while let Some(wait) = self.waiting.pop() {
            match wait {
                Wait::Vertex(length, v) => {
                    // A shorter path found meanwhile waits on its own account.
                    if length <= self.ground.known[v as usize] {
                        self.shine_from(v);
                    }
                }
                Wait::Window(window) => {
                    let (first, last, least) = window.span();
                    if !window.is_beaten(&self.ground, first, last) {
                        self.kept.push((least, window));
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
        let apex = here.frame.apex[side];
        let mut shade = None;
        let (split, lit) = window.apex_ray(&here.frame);
        if let Some(t) = lit {
            let (length, step) = window.through(t, split, apex);
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
        let children = window.children(&mut self.ground, &self.walk, split, shade);
        for child in children.into_iter().flatten() {
            self.open(child);
        }
    }

    /// The ground with the windows that still matter, listed cell by cell.
    pub(crate) fn finish(self) -> (Ground<'m>, Lit) {
        let Self { ground, kept, waiting, best, last, arrival, .. } = self;
        drop((waiting, best, last, arrival));
        let mut start = vec![0_u32; ground.cells.len() + 1];
        for (_, window) in &kept {
            start[window.cell as usize + 1] += 1;
        }
        for cell in 0..ground.cells.len() {
            start[cell + 1] += start[cell];
        }
        // Sorted by cell where they lie: a second copy would be the largest thing in memory.
        let mut windows = kept;
        let mut next = start.clone();
        for cell in 0..ground.cells.len() {
            while next[cell] < start[cell + 1] {
                let here = next[cell] as usize;
                let home = windows[here].1.cell as usize;
                windows.swap(here, next[home] as usize);
                next[home] += 1;
            }
        }
        windows.shrink_to_fit();
        // Nearest first in each cell, so that a look-up may stop early; they came nearly so.
        for cell in 0..ground.cells.len() {
            let listed = start[cell] as usize..start[cell + 1] as usize;
            windows[listed].sort_by(|one, other| one.0.total_cmp(&other.0));
        }
        (ground, Lit { start, windows })
    }
}

/// Windows by cell: `windows[start[c]..start[c + 1]]` light cell `c`, nearest first.
#[derive(Debug, Clone)]
pub(crate) struct Lit {
    pub(crate) start: Vec<u32>,
    /// Each with the least distance it can give.
    pub(crate) windows: Vec<(f64, Window)>,
}

impl Cell {
    /// Angle of the edge leaving a corner, in the frame of edge 0.
    pub(crate) fn edge_angle(&self, corner: usize) -> f64 {
        let at = [Vector2::zeros(), Vector2::new(self.frame.length[0], 0.0), self.frame.apex[0]];
        let along = at[(corner + 1) % 3] - at[corner];
        along.y.atan2(along.x)
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::{Point2, Point3};

    use crate::surface::field::DistanceField;
    use crate::surface::mesh::{FaceTag, Mesh};
    use crate::surface::origin::Origin;

    /// An uneven piece of a sphere, its edges about `cell` long and everything else in proportion.
    fn sphere(cell: f64) -> Mesh {
        let count = 30_u32;
        let (mut positions, mut grid, mut faces) = (Vec::new(), Vec::new(), Vec::new());
        let mut dice = 1_u32;
        let mut roll = || {
            dice = dice.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(dice >> 8) / f64::from(1_u32 << 24) - 0.5
        };
        for j in 0..=count {
            for i in 0..=count {
                let half = f64::from(count) / 2.0;
                let (u, v) =
                    (f64::from(i) - half + 0.5 * roll(), f64::from(j) - half + 0.5 * roll());
                grid.push(Point2::new(u, v) * cell);
                let up = (50.0_f64.powi(2) - u * u - v * v).sqrt();
                positions.push(Point3::new(u, v, up) * cell);
            }
        }
        for j in 0..count {
            for i in 0..count {
                let a = j * (count + 1) + i;
                let (b, c, d) = (a + 1, a + count + 2, a + count + 1);
                faces.extend([[a, b, c], [a, c, d]]);
            }
        }
        let tags = vec![FaceTag::default(); faces.len()];
        Mesh::new(positions, grid, faces, tags).unwrap()
    }

    #[test]
    fn joined_windows_leave_no_corner_between_them() {
        // The same skin 32 times as large has no short edges, and joins nothing inexactly.
        let scale = 32.0;
        let (fine, plain) = (sphere(1.5), sphere(1.5 * scale));
        let spread = |mesh: &Mesh, limit: f64| {
            let start = mesh.locate(Point2::origin()).unwrap();
            let passable = vec![true; mesh.faces.len()];
            let field =
                DistanceField::spread(mesh, &passable, &Origin::point(start), limit).unwrap();
            let corners = (0..mesh.faces.len() as u32)
                .flat_map(|face| [0, 1, 2].map(|side| mesh.on_edge(face, side, 0.0)));
            let found: Vec<f64> = corners.map(|corner| field.at(&corner)).collect();
            (found, field.window_count())
        };
        let (joined, few) = spread(&fine, 100.0);
        let (exact, many) = spread(&plain, 100.0 * scale);
        assert!(few < many, "nothing was joined: {few} windows, {many} without joining");
        for (one, other) in joined.iter().zip(&exact) {
            let off = (one * scale - other).abs();
            assert!(off <= 1e-6 * other + 1e-9, "{one} for {}", other / scale);
        }
    }
}
