//! How far is the thinned mesh from the dense scan, and how much has the area changed? Measured,
//! not taken from the bound that thinning worked to.
//!
//! From every corner of the dense scan to the thinned mesh: the nearest of the triangles round
//! the corner that stands for it, going a ring farther as long as that one is not near. So the
//! figure is at or above the true distance.
#![allow(clippy::indexing_slicing, reason = "corner numbers come from the triangles they index")]

use std::collections::BTreeSet;

use nalgebra::Point3;
use rayon::prelude::*;

use super::thin::Thinned;
use super::{area_mm2, three};
use crate::surface::mesh::nearest_weights;

/// What thinning did to a scan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Achieved {
    /// Triangles before.
    pub(super) dense: usize,
    /// Triangles after.
    pub(super) thinned: usize,
    /// Farthest corner of the dense scan from the thinned mesh, mm.
    pub(super) farthest_mm: f64,
    /// Change of the skin's area, filled openings left out, %.
    pub(super) area_percent: f64,
}

/// Area of the skin without filled openings, mm2.
fn skin_mm2(positions: &[Point3<f64>], faces: &[[u32; 3]], labels: &[Option<u16>]) -> f64 {
    let skin = faces.iter().zip(labels).filter(|(_, label)| label.is_none());
    skin.map(|(face, _)| area_mm2(positions, *face)).sum()
}

/// Measures a thinned mesh against the dense one.
pub(super) fn achieved(
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    labels: &[Option<u16>],
    thin: &Thinned,
    near_mm: f64,
) -> Achieved {
    let mut round: Vec<Vec<u32>> = vec![Vec::new(); thin.positions.len()];
    for (number, face) in (0..).zip(&thin.faces) {
        for v in face {
            round[*v as usize].push(number);
        }
    }
    let root = |mut v: u32| {
        while thin.stands_for[v as usize] != v {
            v = thin.stands_for[v as usize];
        }
        v
    };
    let farthest_mm = (0..positions.len() as u32)
        .into_par_iter()
        .with_min_len(4096)
        .map(|v| from(positions[v as usize], root(v), thin, &round, near_mm))
        .reduce(|| 0.0, f64::max);
    let before = skin_mm2(positions, faces, labels);
    let after = skin_mm2(&thin.positions, &thin.faces, &thin.labels);
    Achieved {
        dense: faces.len(),
        thinned: thin.faces.len(),
        farthest_mm,
        area_percent: 100.0 * (after / before - 1.0),
    }
}

fn from(place: Point3<f64>, stands: u32, thin: &Thinned, round: &[Vec<u32>], near_mm: f64) -> f64 {
    let off = |face: u32| {
        let [a, b, c] = three(&thin.positions, thin.faces[face as usize]);
        let w = nearest_weights(a, b, c, place);
        let at = a.coords * w.x + b.coords * w.y + c.coords * w.z;
        if at.x.is_finite() { (at - place.coords).norm() } else { f64::INFINITY }
    };
    let mut best = round[stands as usize].iter().map(|f| off(*f)).fold(f64::INFINITY, f64::min);
    let mut faces: BTreeSet<u32> = BTreeSet::new();
    for _ in 0..4 {
        if best <= near_mm {
            break;
        }
        if faces.is_empty() {
            faces.extend(&round[stands as usize]);
        }
        let corners: BTreeSet<u32> = faces.iter().flat_map(|f| thin.faces[*f as usize]).collect();
        let wider: BTreeSet<u32> =
            corners.iter().flat_map(|v| round[*v as usize].iter().copied()).collect();
        best = wider.difference(&faces).map(|f| off(*f)).fold(best, f64::min);
        faces = wider;
    }
    best
}
