//! The rims of a scan: its outer edge and its holes, each as a closed row of corners.
//!
//! Where two rims or two parts of the skin touch in a single corner, the corner is doubled: the
//! skin does not hang together there, and a row of corners must pass each corner once.
#![allow(clippy::indexing_slicing, reason = "corner numbers are those of the faces they come from")]

use std::collections::BTreeSet;

use nalgebra::Point3;

use super::edges::{Edges, NONE};

/// Every rim, running as the triangles beside it run, and how many corners were doubled.
pub(super) fn loops(
    positions: &mut Vec<Point3<f64>>,
    faces: &mut [[u32; 3]],
    edges: &Edges,
) -> (Vec<Vec<u32>>, usize) {
    let mut open: BTreeSet<(u32, usize)> = BTreeSet::new();
    for (face, across) in (0..).zip(&edges.across) {
        open.extend((0..3).filter(|side| across[*side] == NONE).map(|side| (face, side)));
    }
    let mut passed = vec![false; positions.len()];
    let mut doubled = 0;
    let mut found = Vec::new();
    while let Some(first) = open.pop_first() {
        let mut row = vec![first];
        let mut half = first;
        loop {
            let (next, fan) = after(faces, edges, half);
            let corner = faces[next.0 as usize][next.1];
            if passed[corner as usize] {
                let fresh = positions.len() as u32;
                positions.push(positions[corner as usize]);
                passed.push(true);
                doubled += 1;
                for face in fan {
                    for v in faces[face as usize].iter_mut().filter(|v| **v == corner) {
                        *v = fresh;
                    }
                }
            } else {
                passed[corner as usize] = true;
            }
            if next == first {
                break;
            }
            open.remove(&next);
            row.push(next);
            half = next;
        }
        found.push(row.into_iter().map(|(face, side)| faces[face as usize][side]).collect());
    }
    (found, doubled)
}

/// The rim's next half-edge, and the triangles between the two.
fn after(faces: &[[u32; 3]], edges: &Edges, half: (u32, usize)) -> ((u32, usize), Vec<u32>) {
    let (mut face, mut side) = (half.0, (half.1 + 1) % 3);
    let corner = faces[face as usize][side];
    let mut fan = vec![face];
    // No corner has more triangles than there are.
    for _ in 0..faces.len() {
        let next = edges.across[face as usize][side];
        if next == NONE {
            break;
        }
        face = next;
        fan.push(face);
        side = faces[face as usize].iter().position(|v| *v == corner).unwrap_or(0);
    }
    ((face, side), fan)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::scan::edges::pair;

    #[test]
    fn two_triangles_that_touch_in_a_corner_come_apart() {
        let mut positions = vec![Point3::origin(); 5];
        let mut faces = vec![[0, 1, 2], [2, 3, 4]];
        let edges = pair(5, &faces);
        let (found, doubled) = loops(&mut positions, &mut faces, &edges);
        assert_eq!((found.len(), doubled, positions.len()), (2, 1, 6));
        assert_eq!(found, [vec![0, 1, 2], vec![5, 3, 4]]);
    }

    #[test]
    fn a_square_with_a_hole_has_two_rims() {
        // Outer corners 0..4, inner corners 4..8.
        let mut faces = Vec::new();
        for i in 0..4_u32 {
            let j = (i + 1) % 4;
            faces.extend([[i, j, 4 + i], [j, 4 + j, 4 + i]]);
        }
        let mut positions = vec![Point3::origin(); 8];
        let edges = pair(8, &faces);
        let (found, doubled) = loops(&mut positions, &mut faces, &edges);
        assert_eq!(doubled, 0);
        assert_eq!(found, [vec![0, 1, 2, 3], vec![5, 4, 7, 6]]);
    }
}
