//! The grid of a scan: its skin laid flat, so that every place has a u and a v.
//!
//! Starts from the view along the mean normal or, where parts of the skin hide each other in that
//! view, from an even spread inside a circle, which never folds (Tutte, Proc. London Math. Soc.
//! 13, 1963; published). Then every triangle is turned as it fits best and all are drawn together
//! again, over and over (as rigid as possible: Liu and others, Comput. Graph. Forum 27, 2008;
//! published), no step being taken that folds a triangle. The grid only says where a place is;
//! lengths and areas are measured on the skin.
#![allow(clippy::indexing_slicing, reason = "corner numbers come from the triangles they index")]

use std::f64::consts::TAU;

use nalgebra::{Point2, Point3, Vector2, Vector3};

use super::envelope::Factor;
use super::skin::overlaps;
use super::solve::Rows;
use super::three;

/// Rounds of turning and drawing together.
const ROUNDS: usize = 120;
/// Corners that move by less than this in a round are settled, mm.
const SETTLED_MM: f64 = 0.005;
/// Weights of an edge stay within this, so that needles do not spoil the sums.
const WEIGHTS: (f64, f64) = (0.02, 20.0);

/// A system that is solved many times.
struct System {
    rows: Rows,
    free: Vec<bool>,
    factor: Option<Factor>,
}

impl System {
    fn new(rows: Rows, free: Vec<bool>) -> Self {
        let factor = Factor::new(&rows, &free);
        Self { rows, free, factor }
    }

    /// Solves for the free unknowns; the tolerance counts where the table was not taken apart.
    fn solve(&self, x: &mut [f64], b: &[f64], tolerance: f64) {
        match &self.factor {
            Some(factor) => factor.solve(&self.rows, x, b, &self.free),
            None => self.rows.solve(x, b, &self.free, tolerance),
        }
    }
}

/// A triangle laid flat by itself: its first corner at the origin.
type Flat = [Vector2<f64>; 3];

fn laid(positions: &[Point3<f64>], face: [u32; 3]) -> Flat {
    let [a, b, c] = three(positions, face);
    let (along, up) = (b - a, c - a);
    let length = along.norm();
    let x = up.dot(&along) / length;
    [Vector2::zeros(), Vector2::new(length, 0.0), Vector2::new(x, along.cross(&up).norm() / length)]
}

fn signed(grid: &[Point2<f64>], face: [u32; 3]) -> f64 {
    let [a, b, c] = face.map(|v| grid[v as usize]);
    0.5 * (b - a).perp(&(c - a))
}

/// Lays a disk flat; `rim` is its edge, running as its triangles run. True when the true shape
/// would have overlapped itself, so that the even spread is given.
pub(super) fn lay(
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    rim: &[u32],
) -> (Vec<Point2<f64>>, bool) {
    let mut grid = match viewed(positions, faces) {
        Some(grid) => grid,
        None => spread(positions, faces, rim),
    };
    rigid(positions, faces, &mut grid);
    if overlaps(&grid, rim) { (spread(positions, faces, rim), true) } else { (grid, false) }
}

/// The view along the mean normal, where no triangle is hidden or nearly edge on.
fn viewed(positions: &[Point3<f64>], faces: &[[u32; 3]]) -> Option<Vec<Point2<f64>>> {
    let mean: Vector3<f64> = faces
        .iter()
        .map(|face| {
            let [a, b, c] = three(positions, *face);
            (b - a).cross(&(c - a))
        })
        .sum();
    let up = mean.try_normalize(1e-9)?;
    let seed = if up.x.abs() < 0.9 { Vector3::x() } else { Vector3::y() };
    let along = (seed - up * seed.dot(&up)).normalize();
    let other = up.cross(&along);
    let grid: Vec<Point2<f64>> =
        positions.iter().map(|p| Point2::new(p.coords.dot(&along), p.coords.dot(&other))).collect();
    let plain = |face: &[u32; 3]| {
        let flat = laid(positions, *face);
        signed(&grid, *face) > 0.05 * 0.5 * flat[1].x * flat[2].y
    };
    faces.iter().all(plain).then_some(grid)
}

/// Evenly inside a circle of the skin's area, the rim along it by its lengths.
fn spread(positions: &[Point3<f64>], faces: &[[u32; 3]], rim: &[u32]) -> Vec<Point2<f64>> {
    let area: f64 = faces
        .iter()
        .map(|face| {
            let flat = laid(positions, *face);
            0.5 * flat[1].x * flat[2].y
        })
        .sum();
    let radius = (2.0 * area / TAU).sqrt();
    let step = |i: usize| {
        (positions[rim[(i + 1) % rim.len()] as usize] - positions[rim[i] as usize]).norm()
    };
    let whole: f64 = (0..rim.len()).map(step).sum();
    let count = positions.len();
    let (mut x, mut y) = (vec![0.0; count], vec![0.0; count]);
    let mut free = vec![true; count];
    let mut gone = 0.0;
    for (i, v) in rim.iter().enumerate() {
        let turn = TAU * gone / whole;
        (x[*v as usize], y[*v as usize]) = (radius * turn.cos(), radius * turn.sin());
        free[*v as usize] = false;
        gone += step(i);
    }
    let edges = faces.iter().flat_map(|[a, b, c]| {
        [(*a, *b), (*b, *a), (*b, *c), (*c, *b), (*c, *a), (*a, *c)].map(|(p, q)| (p, q, -0.5))
    });
    let system = System::new(Rows::laplacian(count, edges.collect()), free);
    let nothing = vec![0.0; count];
    system.solve(&mut x, &nothing, 1e-9 * radius);
    system.solve(&mut y, &nothing, 1e-9 * radius);
    x.into_iter().zip(y).map(|(x, y)| Point2::new(x, y)).collect()
}

/// Turns and draws together until settled.
pub(in crate::surface) fn rigid(
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    grid: &mut [Point2<f64>],
) {
    let flats: Vec<Flat> = faces.iter().map(|face| laid(positions, *face)).collect();
    // Half the cotangent of the angle opposite each side.
    let weights: Vec<[f64; 3]> = flats
        .iter()
        .map(|flat| {
            [0, 1, 2].map(|i| {
                let top = flat[(i + 2) % 3];
                let (p, q) = (flat[i] - top, flat[(i + 1) % 3] - top);
                let cotangent = p.dot(&q) / p.perp(&q).abs().max(1e-12);
                (0.5 * cotangent).clamp(WEIGHTS.0, WEIGHTS.1)
            })
        })
        .collect();
    let entries = faces.iter().zip(&weights).flat_map(|(face, weights)| {
        [0, 1, 2].into_iter().flat_map(move |i| {
            let (p, q) = (face[i], face[(i + 1) % 3]);
            [(p, q, -weights[i]), (q, p, -weights[i])]
        })
    });
    let mut free = vec![true; grid.len()];
    free[0] = false;
    let system = System::new(Rows::laplacian(grid.len(), entries.collect()), free);
    for _ in 0..ROUNDS {
        let (mut bx, mut by) = (vec![0.0; grid.len()], vec![0.0; grid.len()]);
        for ((face, flat), weights) in faces.iter().zip(&flats).zip(&weights) {
            let side = |i: usize| {
                let (p, q) = (face[i] as usize, face[(i + 1) % 3] as usize);
                (flat[(i + 1) % 3] - flat[i], grid[q] - grid[p])
            };
            // The turn that fits best has the mean of the sides' turns.
            let (mut cos, mut sin) = (0.0, 0.0);
            for (i, weight) in weights.iter().enumerate() {
                let (was, is) = side(i);
                cos += weight * was.dot(&is);
                sin += weight * was.perp(&is);
            }
            let size = cos.hypot(sin).max(1e-30);
            let (cos, sin) = (cos / size, sin / size);
            for (i, weight) in weights.iter().enumerate() {
                let (was, _) = side(i);
                let turned =
                    Vector2::new(cos * was.x - sin * was.y, sin * was.x + cos * was.y) * *weight;
                let (p, q) = (face[i] as usize, face[(i + 1) % 3] as usize);
                bx[q] += turned.x;
                by[q] += turned.y;
                bx[p] -= turned.x;
                by[p] -= turned.y;
            }
        }
        let mut x: Vec<f64> = grid.iter().map(|p| p.x).collect();
        let mut y: Vec<f64> = grid.iter().map(|p| p.y).collect();
        system.solve(&mut x, &bx, 1e-4);
        system.solve(&mut y, &by, 1e-4);
        let moved: Vec<Vector2<f64>> = grid
            .iter()
            .zip(x.iter().zip(&y))
            .map(|(p, (x, y))| Vector2::new(x - p.x, y - p.y))
            .collect();
        let Some(step) = unfolded(faces, &flats, grid, &moved) else { return };
        let mut farthest = 0.0_f64;
        for (p, way) in grid.iter_mut().zip(&moved) {
            *p += way * step;
            farthest = farthest.max(way.norm() * step);
        }
        if farthest < SETTLED_MM {
            return;
        }
    }
}

/// The largest part of a step that folds no triangle.
fn unfolded(
    faces: &[[u32; 3]],
    flats: &[Flat],
    grid: &[Point2<f64>],
    moved: &[Vector2<f64>],
) -> Option<f64> {
    let sound = |step: f64| {
        faces.iter().zip(flats).all(|(face, flat)| {
            let [a, b, c] = face.map(|v| grid[v as usize] + moved[v as usize] * step);
            let is = (b - a).perp(&(c - a));
            let true_size = flat[1].x * flat[2].y;
            // A triangle that is small already may stay so, but not become smaller.
            is > 0.05 * true_size || is > 2.0 * 0.9 * signed(grid, *face).max(1e-12)
        })
    };
    [1.0, 0.5, 0.25, 0.12, 0.06, 0.03].into_iter().find(|step| sound(*step))
}
