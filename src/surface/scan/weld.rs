//! Corners of open edges that are nearer than the tolerance become one.
//!
//! Only ends of edges without a neighbour are looked at: what is closed all round needs no
//! welding, and two corners of a fine but whole mesh are never drawn together. Corners are swept
//! in order of x, so the work follows their number and not the size of the panel.
#![allow(clippy::indexing_slicing, reason = "numbers come from the lists they index")]

use nalgebra::Point3;

use super::edges::{Edges, NONE};

/// What welding did.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Welded {
    /// Corners that became one with another.
    pub(super) corners: usize,
    /// The farthest that a corner was moved, mm.
    pub(super) farthest_mm: f64,
    /// Triangles that shrank to nothing and were dropped.
    pub(super) dropped: usize,
}

/// Welds in place; the edges have to be paired anew when anything was welded.
pub(super) fn weld(
    positions: &[Point3<f64>],
    faces: &mut Vec<[u32; 3]>,
    edges: &Edges,
    tolerance_mm: f64,
) -> Welded {
    let mut open: Vec<u32> = Vec::new();
    for (face, across) in faces.iter().zip(&edges.across) {
        for side in (0..3).filter(|side| across[*side] == NONE) {
            open.extend([face[side], face[(side + 1) % 3]]);
        }
    }
    open.sort_unstable();
    open.dedup();
    let at = |v: u32| positions[v as usize];
    open.sort_by(|a, b| at(*a).x.total_cmp(&at(*b).x).then(a.cmp(b)));
    let mut one_of: Vec<(u32, u32)> = Vec::new();
    for (number, v) in open.iter().enumerate() {
        for other in &open[number + 1..] {
            if at(*other).x - at(*v).x > tolerance_mm {
                break;
            }
            if (at(*other) - at(*v)).norm() <= tolerance_mm {
                one_of.push((*v.min(other), *v.max(other)));
            }
        }
    }
    if one_of.is_empty() {
        return Welded::default();
    }
    let mut lowest: Vec<u32> = (0..positions.len() as u32).collect();
    let root = |lowest: &mut [u32], mut v: u32| {
        while lowest[v as usize] != v {
            lowest[v as usize] = lowest[lowest[v as usize] as usize];
            v = lowest[v as usize];
        }
        v
    };
    for (a, b) in one_of {
        let (a, b) = (root(&mut lowest, a), root(&mut lowest, b));
        lowest[a.max(b) as usize] = a.min(b);
    }
    let mut done = Welded::default();
    for v in open {
        let to = root(&mut lowest, v);
        if to != v {
            done.corners += 1;
            done.farthest_mm = done.farthest_mm.max((at(to) - at(v)).norm());
        }
    }
    let before = faces.len();
    for v in faces.iter_mut().flatten() {
        *v = root(&mut lowest, *v);
    }
    faces.retain(|[a, b, c]| a != b && b != c && c != a);
    done.dropped = before - faces.len();
    done
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::scan::edges::pair;

    #[test]
    fn a_crack_narrower_than_the_tolerance_closes() {
        let p = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let positions =
            [p(0.0, 0.0), p(1.0, 0.0), p(0.0, 1.0), p(1.004, 0.0), p(0.0, 1.003), p(1.0, 1.0)];
        let faces = vec![[0, 1, 2], [4, 3, 5]];
        let mut welded = faces.clone();
        let done = weld(&positions, &mut welded, &pair(6, &faces), 0.005);
        assert_eq!((done.corners, done.dropped), (2, 0));
        assert!((done.farthest_mm - 0.004).abs() < 1e-12);
        assert_eq!(welded, [[0, 1, 2], [2, 1, 5]]);
        let mut apart = faces.clone();
        assert_eq!(weld(&positions, &mut apart, &pair(6, &faces), 0.002), Welded::default());
        assert_eq!(apart, faces);
    }
}
