//! Where does a straight line over the surface lead?
//!
//! [`trace`] walks a straight geodesic from a point in a direction. Lengths are mm, angles degrees
//! in the tangent plane from +u of the panel's grid turning towards +v, true in space.
//!
//! At a vertex a line goes on with equal angles on both sides (straightest geodesics, published:
//! Polthier and Schmies 1998).
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, faces come from a mesh Mesh::new has checked"
)]

use std::f64::consts::PI;

use nalgebra::{Matrix2, Point2, Rotation2, Vector2, Vector3};

use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::Piece;

/// A line this near to a corner, mm, is taken to pass through it.
const CORNER_MM: f64 = 1e-7;

/// Which way a line sets out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Direction {
    /// Angle in degrees from +u turning towards +v.
    Degrees(f64),
    /// Direction in space; only its part in the plane of the start's face counts.
    Along(Vector3<f64>),
}

impl Direction {
    /// The opposite direction.
    #[must_use]
    pub fn reversed(self) -> Self {
        match self {
            Self::Degrees(degrees) => Self::Degrees(degrees + 180.0),
            Self::Along(along) => Self::Along(-along),
        }
    }
}

/// What a line ran against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// The edge of the panel.
    Edge,
    /// A face that may not be passed.
    Opening,
}

/// A straight line over the surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Start, every crossing of an edge written in the face it is left, end.
    pub path: Vec<MeshPoint>,
    /// Length walked, mm.
    pub length_mm: f64,
    /// Direction in space at the end, for going on.
    pub heading: Vector3<f64>,
    /// The same as an angle on the panel at the end, degrees from +u towards +v.
    pub end_angle_deg: f64,
    /// What cut the line short, if anything.
    pub stopped: Option<Stop>,
}

/// Walks straight for `length_mm` or until an edge or a face that may not be passed.
#[must_use]
pub fn trace(
    mesh: &Mesh,
    passable: &[bool],
    start: MeshPoint,
    direction: Direction,
    length_mm: f64,
) -> Trace {
    let start = mesh.snapped(&start);
    let mut walker = Walker::new(mesh, passable, start, direction);
    let mut path = vec![start];
    let mut left = length_mm.max(0.0);
    let mut stopped = None;
    // Each step crosses a face; the bound only guards against a line that turns on the spot.
    for _ in 0..4 * mesh.faces.len() + 16 {
        let (exit, run) = walker.way_out();
        if run >= left {
            walker.at += walker.step * left;
            left = 0.0;
            break;
        }
        left -= run;
        walker.at += walker.step * run;
        path.push(walker.point_at(exit));
        stopped = walker.go_through(exit);
        if stopped.is_some() {
            break;
        }
    }
    let heading = walker.heading();
    if stopped.is_none() {
        path.push(walker.point());
    }
    let end_angle_deg = angle_deg(mesh, walker.face, walker.step);
    Trace { path, length_mm: length_mm.max(0.0) - left, heading, end_angle_deg, stopped }
}

/// How far a line leads when it goes on, past what stopped it, straight on the panel's grid; mm.
pub(super) fn beyond(mesh: &Mesh, walked: &Trace, length_mm: f64) -> Option<Point2<f64>> {
    let end = walked.path.last()?;
    let step = flat_of(mesh, end.face, walked.heading)?;
    let rest = (length_mm - walked.length_mm).max(0.0);
    Some(mesh.grid(end) + chart_of_flat(mesh, end.face)? * step * rest)
}

/// The direction of a piece from its start to its end, in space.
#[must_use]
pub fn direction_of(mesh: &Mesh, piece: &Piece) -> Option<Direction> {
    let Piece::Segment { face, from, to } = *piece else { return None };
    let place = |weights| mesh.position(&MeshPoint { face, weights });
    let along = place(to) - place(from);
    (along.norm() > 0.0).then_some(Direction::Along(along))
}

/// Part of a turn round a vertex: the face, the direction it starts from, the angle it spans.
type Slice = (FaceId, Vector2<f64>, f64);

#[derive(Debug, Clone, Copy)]
enum Exit {
    Edge(usize),
    Corner(usize),
}

/// A point on its way, laid flat on edge 0 of its face.
struct Walker<'m> {
    mesh: &'m Mesh,
    passable: &'m [bool],
    face: FaceId,
    at: Vector2<f64>,
    step: Vector2<f64>,
}

impl<'m> Walker<'m> {
    fn new(mesh: &'m Mesh, passable: &'m [bool], start: MeshPoint, direction: Direction) -> Self {
        let face = start.face;
        let step = match direction {
            Direction::Degrees(degrees) => flat_of_angle(mesh, face, degrees),
            Direction::Along(along) => flat_of(mesh, face, along),
        };
        let step = step.unwrap_or_else(Vector2::x);
        let at = mesh.flat(face, 0, &start.weights);
        let mut walker = Self { mesh, passable, face, at, step };
        if let Some(corner) = (0..3).find(|i| start.weights[*i] >= 1.0) {
            walker.aim_from(corner);
        }
        walker
    }

    /// At a corner, moves to the face the direction points into, unrolling from this one.
    fn aim_from(&mut self, corner: usize) {
        let c = self.corners();
        let (next, last) = (c[(corner + 1) % 3] - c[corner], c[(corner + 2) % 3] - c[corner]);
        let whole = |a: Vector2<f64>, b: Vector2<f64>| a.perp(&b).atan2(a.dot(&b));
        let (wedge, angle) = (whole(next, last), whole(next, self.step));
        if angle >= -1e-12 && angle <= wedge + 1e-12 {
            return;
        }
        // The nearer way round, so that the cone's missing angle falls on the far side.
        let beyond = whole(last, self.step).rem_euclid(2.0 * PI);
        let counter = beyond <= (-angle).rem_euclid(2.0 * PI);
        let from = if counter { last } else { next };
        let mut left = if counter { beyond } else { (-angle).rem_euclid(2.0 * PI) };
        let sign = if counter { 1.0 } else { -1.0 };
        let vertex = self.mesh.faces[self.face as usize][corner];
        let (_, fan) = self.fan(corner, from, counter);
        for (face, start, span) in fan.into_iter().skip(1) {
            if left <= span {
                let there = self.mesh.faces[face as usize].iter().position(|v| *v == vertex);
                self.step = Rotation2::new(sign * left) * start.normalize();
                self.face = face;
                self.at = corners_of(self.mesh, face)[there.unwrap_or(0)];
                return;
            }
            left -= span;
        }
    }

    fn corners(&self) -> [Vector2<f64>; 3] {
        corners_of(self.mesh, self.face)
    }

    /// Where the line leaves its face, and how far that is.
    fn way_out(&self) -> (Exit, f64) {
        let corners = self.corners();
        let mut best = (0, f64::INFINITY);
        for side in 0..3 {
            let along = corners[(side + 1) % 3] - corners[side];
            let outward = -along.perp(&self.step) / along.norm();
            if outward > 1e-12 {
                let gap = along.perp(&(self.at - corners[side])) / along.norm();
                let run = (gap / outward).max(0.0);
                if run < best.1 {
                    best = (side, run);
                }
            }
        }
        let hit = self.at + self.step * best.1;
        let near = (0..3).find(|i| (corners[*i] - hit).norm() < CORNER_MM);
        (near.map_or(Exit::Edge(best.0), Exit::Corner), best.1)
    }

    fn point(&self) -> MeshPoint {
        let weights = self.mesh.weights_of_flat(self.face, self.at);
        self.mesh.snapped(&MeshPoint { face: self.face, weights })
    }

    fn point_at(&self, exit: Exit) -> MeshPoint {
        let mut point = self.point();
        match exit {
            Exit::Corner(i) => {
                point.weights = Vector3::zeros();
                point.weights[i] = 1.0;
            }
            Exit::Edge(side) => {
                point.weights[(side + 2) % 3] = 0.0;
                point.weights /= point.weights.sum();
            }
        }
        point
    }

    fn heading(&self) -> Vector3<f64> {
        let (along, up) = axes(self.mesh, self.face);
        along * self.step.x + up * self.step.y
    }

    fn barred(&self, next: Option<FaceId>) -> Option<Stop> {
        match next {
            None => Some(Stop::Edge),
            Some(face) if !self.passable[face as usize] => Some(Stop::Opening),
            Some(_) => None,
        }
    }

    fn go_through(&mut self, exit: Exit) -> Option<Stop> {
        match exit {
            Exit::Edge(side) => {
                let next = self.mesh.across[self.face as usize][side];
                let stop = self.barred(next);
                if let (None, Some(next)) = (stop, next) {
                    self.cross(side, next);
                }
                stop
            }
            Exit::Corner(corner) => self.turn(corner),
        }
    }

    /// Carries the line over an edge.
    fn cross(&mut self, side: usize, next: FaceId) {
        let from = self.corners();
        let twin = self.mesh.twin[self.face as usize][side] as usize;
        let to = corners_of(self.mesh, next);
        let here = from[(side + 1) % 3] - from[side];
        let there = to[twin] - to[(twin + 1) % 3];
        let t = ((self.at - from[side]).dot(&here) / here.norm_squared()).clamp(0.0, 1.0);
        self.at = to[(twin + 1) % 3] + there * t;
        self.step = turned(self.step, here, there);
        self.face = next;
    }

    /// Carries the line through a vertex, with equal angles on both sides where it can.
    fn turn(&mut self, corner: usize) -> Option<Stop> {
        let back = self.fan(corner, -self.step, true);
        let right = self.fan(corner, -self.step, false);
        let total: f64 = back.1.iter().map(|s| s.2).sum();
        // Counter-clockwise from the way back, then, round a rim, clockwise.
        let (side, angle) = if back.0.is_none() {
            (&back, total / 2.0)
        } else if total >= PI - 1e-7 {
            (&back, PI.min(total))
        } else if right.1.iter().map(|s| s.2).sum::<f64>() >= PI - 1e-7 {
            (&right, PI.min(right.1.iter().map(|s| s.2).sum()))
        } else {
            return back.0;
        };
        let counter = std::ptr::eq(side, &back);
        let mut left = angle;
        for (i, (face, start, span)) in side.1.iter().enumerate() {
            if left <= *span + 1e-12 || i + 1 == side.1.len() {
                let sign = if counter { 1.0 } else { -1.0 };
                let vertex = self.mesh.faces[self.face as usize][corner];
                let i = self.mesh.faces[*face as usize].iter().position(|v| *v == vertex)?;
                self.step = Rotation2::new(sign * left.min(*span)) * start.normalize();
                self.face = *face;
                self.at = corners_of(self.mesh, *face)[i];
                return None;
            }
            left -= span;
        }
        back.0
    }

    /// The faces met turning round a corner from a direction: face, the direction turning
    /// starts from in it, and the angle it spans; with what stops the turn, if anything.
    fn fan(&self, corner: usize, from: Vector2<f64>, counter: bool) -> (Option<Stop>, Vec<Slice>) {
        let mesh = self.mesh;
        let vertex = mesh.faces[self.face as usize][corner];
        let (mut face, mut corner, mut start) = (self.face, corner, from);
        let mut met = Vec::new();
        loop {
            let c = corners_of(mesh, face);
            let (next, last) = (c[(corner + 1) % 3] - c[corner], c[(corner + 2) % 3] - c[corner]);
            let (first, limit) = if counter { (next, last) } else { (last, next) };
            if !met.is_empty() {
                start = first;
            }
            if face == self.face && !met.is_empty() {
                // Full turn: what is left is the part of the first face before the start.
                met.push((face, first, first.angle(&from)));
                return (None, met);
            }
            met.push((face, start, start.angle(&limit)));
            let side = if counter { (corner + 2) % 3 } else { corner };
            let beyond = mesh.across[face as usize][side];
            if let Some(stop) = self.barred(beyond) {
                return (Some(stop), met);
            }
            let Some(beyond) = beyond else { return (Some(Stop::Edge), met) };
            let there = mesh.faces[beyond as usize].iter().position(|v| *v == vertex);
            let Some(there) = there else { return (Some(Stop::Edge), met) };
            (face, corner) = (beyond, there);
        }
    }
}

fn corners_of(mesh: &Mesh, face: FaceId) -> [Vector2<f64>; 3] {
    let frame = mesh.frame(face);
    [Vector2::zeros(), Vector2::new(frame.length[0], 0.0), frame.apex[0]]
}

/// A vector turned as `from` is turned into `to`.
fn turned(v: Vector2<f64>, from: Vector2<f64>, to: Vector2<f64>) -> Vector2<f64> {
    let (from, to) = (from.normalize(), to.normalize());
    let (cos, sin) = (from.dot(&to), from.perp(&to));
    Vector2::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y).normalize()
}

/// Unit vectors in space along edge 0 of a face and up from it.
fn axes(mesh: &Mesh, face: FaceId) -> (Vector3<f64>, Vector3<f64>) {
    let [a, b, c] = mesh.faces[face as usize].map(|v| mesh.positions[v as usize]);
    let along = (b - a).normalize();
    let up = c - a;
    (along, (up - along * up.dot(&along)).normalize())
}

/// A direction in space laid flat on edge 0 of a face, of unit length.
pub(crate) fn flat_of(mesh: &Mesh, face: FaceId, along: Vector3<f64>) -> Option<Vector2<f64>> {
    let (x, y) = axes(mesh, face);
    Vector2::new(along.dot(&x), along.dot(&y)).try_normalize(1e-12)
}

/// Takes flat steps (mm) to steps on the panel's grid.
pub(crate) fn chart_of_flat(mesh: &Mesh, face: FaceId) -> Option<Matrix2<f64>> {
    let [a, b, c] = mesh.faces[face as usize].map(|v| mesh.grid[v as usize]);
    let corners = corners_of(mesh, face);
    let flat = Matrix2::from_columns(&[corners[1], corners[2]]).try_inverse()?;
    Some(Matrix2::from_columns(&[b - a, c - a]) * flat)
}

fn flat_of_angle(mesh: &Mesh, face: FaceId, degrees: f64) -> Option<Vector2<f64>> {
    let flat_of_chart = chart_of_flat(mesh, face)?.try_inverse()?;
    let u = Vector2::from(flat_of_chart.column(0)).try_normalize(0.0)?;
    Some(Rotation2::new(degrees.to_radians() * flat_of_chart.determinant().signum()) * u)
}

/// The bearing on the panel of a direction in space at a point, degrees from +u towards +v.
#[must_use]
pub fn bearing_deg(mesh: &Mesh, at: &MeshPoint, along: Vector3<f64>) -> Option<f64> {
    flat_of(mesh, at.face, along).map(|step| angle_deg(mesh, at.face, step))
}

fn angle_deg(mesh: &Mesh, face: FaceId, step: Vector2<f64>) -> f64 {
    let Some(u) = flat_of_angle(mesh, face, 0.0) else { return 0.0 };
    let turn = u.perp(&step).atan2(u.dot(&step)).to_degrees();
    turn * mesh.chart_sense()
}
