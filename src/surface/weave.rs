//! How faces hang together: the checks and tables behind [`super::mesh::Mesh::new`].
//!
//! Lengths are millimetres; faults carry grid places.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3 and vertex numbers are checked first"
)]

use std::collections::BTreeMap;

use nalgebra::{Point2, Point3, Vector2};

use super::mesh::{FaceId, Frame, MeshFault, VertexId};

/// Areas and heights below this (mm2, mm) make a face degenerate.
const LEAST_MM: f64 = 1e-6;

/// Every coordinate a number, every face three vertices that exist.
pub(super) fn check_vertices(
    positions: &[Point3<f64>],
    grid: &[Point2<f64>],
    faces: &[[VertexId; 3]],
) -> Result<(), MeshFault> {
    for ((vertex, p), g) in (0..).zip(positions).zip(grid) {
        if !(p.iter().chain(g.iter()).all(|x| x.is_finite())) {
            return Err(MeshFault::NotFinite { vertex });
        }
    }
    for (face, [a, b, c]) in (0..).zip(faces) {
        let exists = [a, b, c].iter().all(|v| (**v as usize) < positions.len());
        if !exists || a == b || b == c || c == a {
            return Err(MeshFault::BadIndex { face });
        }
    }
    Ok(())
}

/// Area of a face on the grid, negative when it runs clockwise there.
pub(super) fn signed_area(grid: &[Point2<f64>], face: [VertexId; 3]) -> f64 {
    let [a, b, c] = face.map(|v| grid[v as usize]);
    0.5 * (b - a).perp(&(c - a))
}

/// Every face with an area and none folded over.
pub(super) fn check_faces(
    positions: &[Point3<f64>],
    grid: &[Point2<f64>],
    faces: &[[VertexId; 3]],
) -> Result<(), MeshFault> {
    let mut sense = 0.0;
    for face in faces {
        let corners = face.map(|v| positions[v as usize]);
        let at =
            Point2::from(face.iter().map(|v| grid[*v as usize].coords).sum::<Vector2<f64>>() / 3.0);
        let area = 0.5 * (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).norm();
        let longest =
            (0..3).map(|i| (corners[(i + 1) % 3] - corners[i]).norm()).fold(0.0, f64::max);
        if area < LEAST_MM || 2.0 * area / longest < LEAST_MM {
            return Err(MeshFault::Degenerate { at });
        }
        let flat = signed_area(grid, *face);
        if flat.abs() < LEAST_MM * LEAST_MM || flat * sense < 0.0 {
            return Err(MeshFault::Folded { at });
        }
        sense = flat;
    }
    Ok(())
}

/// Faces across each edge, and the edge's number in them.
pub(super) type Connection = (Vec<[Option<FaceId>; 3]>, Vec<[u8; 3]>);

/// Finds the face across every edge.
pub(super) fn connect(
    grid: &[Point2<f64>],
    faces: &[[VertexId; 3]],
) -> Result<Connection, MeshFault> {
    let edge = |number: u32| {
        let (corners, side) = (faces[number as usize / 3], number as usize % 3);
        (corners[side], corners[(side + 1) % 3])
    };
    // All sides of all faces, in order of their lower vertex and then of their number.
    let sides = 3 * faces.len() as u32;
    let mut start = vec![0_u32; grid.len() + 1];
    for (a, b) in (0..sides).map(edge) {
        start[a.min(b) as usize + 1] += 1;
    }
    for v in 0..grid.len() {
        start[v + 1] += start[v];
    }
    let mut next = start.clone();
    let mut order = vec![0_u32; sides as usize];
    for number in 0..sides {
        let (a, b) = edge(number);
        let place = &mut next[a.min(b) as usize];
        order[*place as usize] = number;
        *place += 1;
    }
    drop(next);
    let mut across = vec![[None; 3]; faces.len()];
    let mut twin = vec![[0; 3]; faces.len()];
    let mut first_fault: Option<(u32, MeshFault)> = None;
    for v in 0..grid.len() {
        let round = &order[start[v] as usize..start[v + 1] as usize];
        for (i, &number) in round.iter().enumerate() {
            let (a, b) = edge(number);
            // What was met along this edge before.
            let same = |other: &&u32| edge(**other) == (a, b);
            let opposite = |other: &&u32| edge(**other) == (b, a);
            let before = &round[..i];
            let twice = before.iter().find(same).is_some();
            let facing = before.iter().find(opposite);
            if twice {
                let at = nalgebra::center(&grid[a as usize], &grid[b as usize]);
                let fault = match facing {
                    Some(_) => MeshFault::EdgeShared { at },
                    None => MeshFault::Orientation { at },
                };
                if first_fault.is_none_or(|(found, _)| number < found) {
                    first_fault = Some((number, fault));
                }
            } else if let Some(&other) = facing {
                for (one, other) in [(number, other), (other, number)] {
                    let (face, side) = (one as usize / 3, one as usize % 3);
                    across[face][side] = Some(other / 3);
                    twin[face][side] = (other % 3) as u8;
                }
            }
        }
    }
    match first_fault {
        Some((_, fault)) => Err(fault),
        None => Ok((across, twin)),
    }
}

/// Faces round each vertex: where each vertex's list starts, and the lists.
pub(super) fn fans(vertices: usize, faces: &[[VertexId; 3]]) -> (Vec<u32>, Vec<FaceId>) {
    let mut start = vec![0_u32; vertices + 1];
    for v in faces.iter().flatten() {
        start[*v as usize + 1] += 1;
    }
    for v in 0..vertices {
        start[v + 1] += start[v];
    }
    let mut next = start.clone();
    let mut fan = vec![0; faces.len() * 3];
    for (face, corners) in (0..).zip(faces) {
        for v in corners {
            fan[next[*v as usize] as usize] = face;
            next[*v as usize] += 1;
        }
    }
    (start, fan)
}

/// Edges with one face only, as face and side, and which vertices lie at an end of one.
pub(super) fn rims(
    vertices: usize,
    faces: &[[VertexId; 3]],
    across: &[[Option<FaceId>; 3]],
) -> (Vec<(FaceId, usize)>, Vec<bool>) {
    let mut rim = Vec::new();
    let mut on_rim = vec![false; vertices];
    for ((face, sides), corners) in (0..).zip(across).zip(faces) {
        for i in (0..3).filter(|&i| sides[i].is_none()) {
            rim.push((face, i));
            on_rim[corners[i] as usize] = true;
            on_rim[corners[(i + 1) % 3] as usize] = true;
        }
    }
    (rim, on_rim)
}

/// Vertices whose faces' angles add up to more than a full turn.
pub(super) fn saddles(
    positions: &[Point3<f64>],
    faces: &[[VertexId; 3]],
    bent: &BTreeMap<FaceId, Frame>,
) -> Vec<bool> {
    let mut turn = vec![0.0; positions.len()];
    for (face, corners) in (0..).zip(faces) {
        let stands = || Frame::of(corners.map(|v| positions[v as usize]));
        let frame = bent.get(&face).copied().unwrap_or_else(stands);
        for i in 0..3 {
            turn[corners[i] as usize] += frame.apex[i].y.atan2(frame.apex[i].x);
        }
    }
    turn.iter().map(|t| *t > std::f64::consts::TAU + 1e-9).collect()
}
