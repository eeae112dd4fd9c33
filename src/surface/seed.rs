//! Opens the first windows of a distance: from every piece of an origin, through the edges of
//! the face it lies in.
//!
//! Points shine as points, straight pieces as two parallel beams and a point at each end. A
//! place where the line goes on shines only into the wedge that none of its pieces faces:
//! elsewhere the piece itself is nearer. Lengths are millimetres.
#![allow(
    clippy::indexing_slicing,
    reason = "face, vertex and corner numbers come from a mesh that Mesh::new has checked"
)]

use nalgebra::{Vector2, Vector3};

use super::front::Front;
use super::ground::CellId;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::Piece;
use super::window::{Came, Kind, Window};

/// A piece of the origin laid flat on edge 0 of a face, for distances inside that face.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Laid {
    pub(crate) cell: CellId,
    face: FaceId,
    from: Vector2<f64>,
    to: Vector2<f64>,
}

impl Laid {
    /// The straight step from the nearest place of the piece.
    pub(crate) fn step_to(&self, at: Vector2<f64>) -> Vector2<f64> {
        let along = self.to - self.from;
        let square = along.norm_squared();
        let t = if square > 0.0 {
            ((at - self.from).dot(&along) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        at - self.from - along * t
    }
}

#[derive(Debug, Clone, Copy)]
struct Straight {
    face: FaceId,
    from: Vector3<f64>,
    to: Vector3<f64>,
}

/// Opens the windows of all pieces; gives the pieces laid flat, in order of faces.
pub(crate) fn seed(front: &mut Front<'_, '_>, pieces: &[Piece]) -> Vec<Laid> {
    let mesh = front.ground.mesh;
    let mut laid = Vec::new();
    let mut straights = Vec::new();
    for piece in pieces {
        match on_passable(mesh, front.walk.passable, piece) {
            Some(Piece::Point(point)) => shine(front, &mut laid, &point, &[]),
            Some(Piece::Segment { face, from, to }) => {
                let straight = Straight { face, from, to };
                if length_of(mesh, &straight) > 1e-9 {
                    straights.push(straight);
                } else {
                    shine(front, &mut laid, &MeshPoint { face, weights: from }, &[]);
                }
            }
            None => {}
        }
    }
    for (i, straight) in straights.iter().enumerate() {
        let flat = |weights: &Vector3<f64>| mesh.flat(straight.face, 0, weights);
        let cell = front.enter(straight.face);
        laid.push(Laid {
            cell,
            face: straight.face,
            from: flat(&straight.from),
            to: flat(&straight.to),
        });
        beams(front, straight);
        let start = MeshPoint { face: straight.face, weights: straight.from };
        let end = MeshPoint { face: straight.face, weights: straight.to };
        let meets = |at: &MeshPoint, face: FaceId, weights: &Vector3<f64>| {
            let other = MeshPoint { face, weights: *weights };
            (mesh.position(at) - mesh.position(&other)).norm() < 1e-7
        };
        let before = &straights[(i + straights.len() - 1) % straights.len()];
        let after = &straights[(i + 1) % straights.len()];
        if straights.len() < 2 || !meets(&start, before.face, &before.to) {
            shine(front, &mut laid, &start, &[(*straight, true)]);
        }
        if straights.len() > 1 && meets(&end, after.face, &after.from) {
            shine(front, &mut laid, &end, &[(*straight, false), (*after, true)]);
        } else {
            shine(front, &mut laid, &end, &[(*straight, false)]);
        }
    }
    laid.sort_by_key(|piece| piece.cell);
    laid
}

fn length_of(mesh: &Mesh, straight: &Straight) -> f64 {
    (mesh.flat(straight.face, 0, &straight.to) - mesh.flat(straight.face, 0, &straight.from)).norm()
}

/// The piece written in a face one may pass, or nothing when it lies wholly elsewhere.
fn on_passable(mesh: &Mesh, passable: &[bool], piece: &Piece) -> Option<Piece> {
    let (face, ends) = match *piece {
        Piece::Point(point) => (point.face, [point.weights, point.weights]),
        Piece::Segment { face, from, to } => (face, [from, to]),
    };
    let ends = ends.map(|weights| mesh.snapped(&MeshPoint { face, weights }));
    let rewrite = |face: FaceId| {
        let from = mesh.express(&ends[0], face)?;
        let to = mesh.express(&ends[1], face)?;
        Some(match piece {
            Piece::Point(_) => Piece::Point(from),
            Piece::Segment { .. } => Piece::Segment { face, from: from.weights, to: to.weights },
        })
    };
    if passable[face as usize] {
        return rewrite(face);
    }
    let round = mesh.faces[face as usize].into_iter().flat_map(|v| mesh.faces_round(v));
    round.copied().filter(|f| passable[*f as usize]).find_map(rewrite)
}

/// The edge a point lies on, or nothing inside the face.
fn side_of(weights: &Vector3<f64>) -> Option<usize> {
    (0..3).find(|i| weights[(i + 2) % 3] <= 0.0)
}

/// Lets a point shine into all faces it touches. `lines` are the straight pieces that leave it
/// (true) or arrive at it (false).
fn shine(
    front: &mut Front<'_, '_>,
    laid: &mut Vec<Laid>,
    point: &MeshPoint,
    lines: &[(Straight, bool)],
) {
    let mesh = front.ground.mesh;
    let corners = mesh.faces[point.face as usize];
    if let Some(i) = (0..3).find(|i| point.weights[*i] >= 1.0) {
        front.start_vertex(corners[i]);
        return;
    }
    let edge = side_of(&point.weights);
    let mut touched = vec![(point.face, edge.unwrap_or(0), point.weights)];
    if let Some(side) = edge
        && let Some(other) = mesh.across[point.face as usize][side]
        && front.walk.passable[other as usize]
        && let Some(there) = mesh.express(point, other)
    {
        touched.push((other, mesh.twin[point.face as usize][side] as usize, there.weights));
    }
    for (face, side, weights) in touched {
        // Directions of the lines, unfolded into this face over the edge the point lies on.
        let leaving: Vec<Vector2<f64>> = lines
            .iter()
            .filter_map(|(line, leaves)| {
                let (frame_side, sign) = if line.face == face {
                    (side, 1.0)
                } else if mesh.across[face as usize][side] == Some(line.face) {
                    (mesh.twin[face as usize][side] as usize, -1.0)
                } else {
                    return None;
                };
                let flat = |w: &Vector3<f64>| mesh.flat(line.face, frame_side, w);
                let step = (flat(&line.to) - flat(&line.from)) * sign;
                Some(if *leaves { step } else { -step })
            })
            .collect();
        let flat = mesh.flat(face, 0, &weights);
        let piece = Laid { cell: front.enter(face), face, from: flat, to: flat };
        reach_corners(front, &piece);
        if !lines.iter().any(|(line, _)| line.face == face) {
            laid.push(piece);
        }
        for through in 0..3 {
            if weights[(through + 2) % 3] > 0.0 {
                open_point(front, face, [side, through], &weights, &leaving);
            }
        }
    }
}

/// Opens the window of a point through one edge, as far as no leaving line faces it. `sides`
/// are the edge whose frame the lines are written in and the edge to pass.
fn open_point(
    front: &mut Front<'_, '_>,
    face: FaceId,
    sides: [usize; 2],
    weights: &Vector3<f64>,
    leaving: &[Vector2<f64>],
) {
    let mesh = front.ground.mesh;
    let [side, through] = sides;
    let Some(beyond) = beyond(front, face, through) else { return };
    let length = mesh.frame(face).length[through];
    let at = mesh.flat(face, side, weights);
    let ends = [0.0, 1.0].map(|t| mesh.flat(face, side, &mesh.on_edge(face, through, t).weights));
    let (mut from, mut to) = (0.0, 1.0);
    for line in leaving {
        let (a, b) = ((ends[0] - at).dot(line), (ends[1] - at).dot(line));
        if a > 0.0 && b > 0.0 {
            return;
        }
        if a > 0.0 {
            from = f64::max(from, a / (a - b));
        } else if b > 0.0 {
            to = f64::min(to, a / (a - b));
        }
    }
    if to - from <= 1e-9 {
        return;
    }
    let source = mesh.flat(face, through, weights);
    front.open(Window {
        from: length * (1.0 - to),
        to: length * (1.0 - from),
        x: length - source.x,
        y: -source.y,
        base: 0.0,
        cell: beyond,
        side: mesh.twin[face as usize][through],
        slack: 0.0,
        kind: Kind::Point,
        came: Came::Source,
    });
}

/// The cell beyond an edge one may pass.
fn beyond(front: &mut Front<'_, '_>, face: FaceId, through: usize) -> Option<CellId> {
    let beyond = front.ground.mesh.across[face as usize][through]?;
    front.walk.passable[beyond as usize].then(|| front.enter(beyond))
}

/// Notes the straight ways from a piece to the corners of its face.
fn reach_corners(front: &mut Front<'_, '_>, piece: &Laid) {
    let mesh = front.ground.mesh;
    for (i, v) in mesh.faces[piece.face as usize].into_iter().enumerate() {
        let corner = mesh.on_edge(piece.face, i, 0.0);
        let step = piece.step_to(mesh.flat(piece.face, 0, &corner.weights));
        let vertex = front.ground.vertex(v, &front.walk);
        front.reach_vertex(vertex, step.norm(), piece.cell, -step);
    }
}

/// Opens the parallel beams of a straight piece through the edges of its face.
fn beams(front: &mut Front<'_, '_>, straight: &Straight) {
    let mesh = front.ground.mesh;
    let face = straight.face;
    let mut piece = Laid {
        cell: front.enter(face),
        face,
        from: mesh.flat(face, 0, &straight.from),
        to: mesh.flat(face, 0, &straight.to),
    };
    reach_corners(front, &piece);
    for through in 0..3 {
        let Some(beyond) = beyond(front, face, through) else { continue };
        let length = mesh.frame(face).length[through];
        let turned = |w: &Vector3<f64>| Vector2::new(length, 0.0) - mesh.flat(face, through, w);
        piece.from = turned(&straight.from);
        piece.to = turned(&straight.to);
        let along = (piece.to - piece.from).normalize();
        let normal = Vector2::new(-along.y, along.x) * along.x.signum();
        if normal.y < 1e-12 {
            continue;
        }
        let hit = |p: Vector2<f64>| p.x - p.y * normal.x / normal.y;
        let (a, b) = (hit(piece.from), hit(piece.to));
        let (from, to) = (a.min(b).max(0.0), a.max(b).min(length));
        if to - from > 1e-9 {
            front.open(Window {
                from,
                to,
                x: normal.x,
                y: normal.y,
                base: -normal.dot(&piece.from),
                cell: beyond,
                side: mesh.twin[face as usize][through],
                slack: 0.0,
                kind: Kind::Beam,
                came: Came::Source,
            });
        }
    }
}
