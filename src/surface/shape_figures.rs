//! How strongly is a panel curved?
//!
//! Two figures: the integral of the size of Gaussian curvature over the face (a pure number; 0 for
//! whatever rolls out flat), and the largest gap under a straight edge laid on the face (mm).
//! Turned edges do not count. Angle defects: Gauss-Bonnet theorem (published).
#![allow(
    clippy::indexing_slicing,
    reason = "vertex and face numbers were checked when the mesh was built"
)]

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

use nalgebra::{Point2, Point3, Vector2, Vector3};

use super::mesh::{FaceId, Mesh, VertexId};

/// Cells in which curvature is summed with its sign, mm: larger than the triangulation's noise,
/// smaller than the shapes of a panel.
const CELL_MM: f64 = 60.0;
/// Step at which the skin under a straight edge is looked at, and steps between two lays, mm.
const LOOK_MM: f64 = 10.0;
const LAY_MM: f64 = 60.0;
/// Directions in which the straight edge is laid.
const DIRECTIONS: u32 = 6;

/// Integral of |K| over the face, from the angle defects of its inner vertices. The outermost
/// half row of faces has no inner vertex and is left out: the figure is a little low.
#[must_use]
pub fn curvature_integral(mesh: &Mesh) -> f64 {
    let face: Vec<FaceId> =
        (0..).zip(&mesh.tags).filter(|(_, tag)| !tag.on_return).map(|(face, _)| face).collect();
    curvature_over(mesh, &face)
}

/// The same over a part of the faces, in order: only vertices all of whose faces belong to it count.
pub(super) fn curvature_over(mesh: &Mesh, part: &[FaceId]) -> f64 {
    // Angle round each vertex and how many faces it comes from.
    let mut around: BTreeMap<VertexId, (f64, usize)> = BTreeMap::new();
    for face in part {
        let corners = mesh.faces[*face as usize];
        let p = corners.map(|v| mesh.positions[v as usize]);
        for i in 0..3 {
            let (angle, faces) = around.entry(corners[i]).or_default();
            *angle += (p[(i + 1) % 3] - p[i]).angle(&(p[(i + 2) % 3] - p[i]));
            *faces += 1;
        }
    }
    let mut cells: BTreeMap<(i64, i64), f64> = BTreeMap::new();
    for (v, (angle, faces)) in around {
        if faces == mesh.faces_round(v).len() && !mesh.on_rim[v as usize] {
            let grid = mesh.grid[v as usize];
            let cell = ((grid.x / CELL_MM).floor() as i64, (grid.y / CELL_MM).floor() as i64);
            *cells.entry(cell).or_default() += TAU - angle;
        }
    }
    cells.values().map(|defect| defect.abs()).sum()
}

/// Largest gap under a straight edge of `edge_mm` laid on the face in several directions, mm;
/// where the face is shorter that way, the edge spans what there is.
#[must_use]
pub fn largest_gap_mm(mesh: &Mesh, edge_mm: f64) -> f64 {
    let face: Vec<Point2<f64>> = mesh
        .faces
        .iter()
        .zip(&mesh.tags)
        .filter(|(_, tag)| !tag.on_return)
        .flat_map(|(face, _)| face.map(|v| mesh.grid[v as usize]))
        .collect();
    let (mut low, mut high) = (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
    for place in &face {
        (low, high) = (low.inf(place), high.sup(place));
    }
    let middle = nalgebra::center(&low, &high);
    let reach = 0.5 * (high - low).norm();
    let lays = (reach / LAY_MM).ceil() as i64;
    let mut largest: f64 = 0.0;
    for direction in 0..DIRECTIONS {
        let angle = PI * f64::from(direction) / f64::from(DIRECTIONS);
        let along = Vector2::new(angle.cos(), angle.sin());
        let aside = Vector2::new(-along.y, along.x);
        for lay in -lays..=lays {
            let through = middle + aside * (lay as f64 * LAY_MM);
            for run in runs(mesh, through, along, reach) {
                largest = largest.max(gap_along(&run, edge_mm));
            }
        }
    }
    largest
}

/// Skin places and normals along a line on the grid, as unbroken runs on the face.
fn runs(
    mesh: &Mesh,
    through: Point2<f64>,
    along: Vector2<f64>,
    reach: f64,
) -> Vec<Vec<(Point3<f64>, Vector3<f64>)>> {
    let steps = (reach / LOOK_MM).ceil() as i64;
    let mut runs = vec![Vec::new()];
    for step in -steps..=steps {
        let at = mesh.locate(through + along * (step as f64 * LOOK_MM));
        let on_face = at.filter(|point| !mesh.tags[point.face as usize].on_return);
        if let Some(point) = on_face {
            let [a, b, c] = mesh.faces[point.face as usize].map(|v| mesh.positions[v as usize]);
            let normal = (b - a).cross(&(c - a)).normalize();
            if let Some(run) = runs.last_mut() {
                run.push((mesh.position(&point), normal));
            }
        } else if runs.last().is_some_and(|run| !run.is_empty()) {
            runs.push(Vec::new());
        }
    }
    runs
}

/// Largest gap under an edge that rests on two places of a run.
fn gap_along(run: &[(Point3<f64>, Vector3<f64>)], edge_mm: f64) -> f64 {
    let mut largest: f64 = 0.0;
    for (start, (a, _)) in run.iter().enumerate() {
        let beyond = run[start..].iter().position(|(p, _)| (p - a).norm() >= edge_mm);
        let last = beyond.map_or(run.len() - 1, |steps| start + steps);
        let (mut b, _) = run[last];
        if let (Some(_), true) = (beyond, last > start) {
            // The edge ends between two looks.
            let (before, _) = run[last - 1];
            let (near, far) = ((before - a).norm(), (b - a).norm());
            b = before + (b - before) * ((edge_mm - near) / (far - near));
        }
        let edge = (b - a).try_normalize(1e-9).unwrap_or_default();
        for (p, normal) in &run[start..last] {
            // Across the skin only: the run may wander sideways from the straight edge.
            let square =
                (normal - edge * normal.dot(&edge)).try_normalize(1e-9).unwrap_or_default();
            largest = largest.max((p - a).dot(&square).abs());
        }
        if beyond.is_none() {
            break;
        }
    }
    largest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::mesh::FaceTag;

    /// A grid of about 12 mm cells, its inner vertices shaken, put in space by a map.
    fn shaken(length: f64, width: f64, map: impl Fn(f64, f64) -> Point3<f64>) -> Mesh {
        let (columns, rows) = ((length / 12.0) as usize, (width / 12.0) as usize);
        let mut seed = 7_u64;
        let mut shake = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 5.0
        };
        let mut grid = Vec::new();
        for j in 0..=rows {
            for i in 0..=columns {
                let edge = i == 0 || j == 0 || i == columns || j == rows;
                let (du, dv) = if edge { (0.0, 0.0) } else { (shake(), shake()) };
                let at = |k: usize, n: usize, size: f64| size * k as f64 / n as f64;
                grid.push(Point2::new(at(i, columns, length) + du, at(j, rows, width) + dv));
            }
        }
        let mut faces = Vec::new();
        for j in 0..rows {
            for i in 0..columns {
                let a = (j * (columns + 1) + i) as u32;
                let (b, c, d) = (a + 1, a + columns as u32 + 2, a + columns as u32 + 1);
                if (i + j) % 2 == 0 {
                    faces.extend([[a, b, c], [a, c, d]]);
                } else {
                    faces.extend([[a, b, d], [b, c, d]]);
                }
            }
        }
        let positions = grid.iter().map(|p| map(p.x, p.y)).collect();
        let tags = vec![FaceTag::default(); faces.len()];
        Mesh::new(positions, grid, faces, tags).unwrap()
    }

    #[test]
    fn a_sphere_has_its_area_over_radius_squared() {
        let radius = 900.0;
        let mesh = shaken(600.0, 500.0, |u, v| {
            let (u, v) = (u - 300.0, v - 250.0);
            Point3::new(u, v, (radius * radius - u * u - v * v).sqrt())
        });
        let truth = mesh.area_mm2(|_| true) / (radius * radius);
        let found = curvature_integral(&mesh);
        // The outermost half row is left out: 2 x (1/50 + 1/42) / 2 of the area, about 4 %.
        assert!(found < truth && found > 0.94 * truth, "{found} of {truth}");
        let gap = radius - (radius * radius - 150.0 * 150.0_f64).sqrt(); // closed form
        let found = largest_gap_mm(&mesh, 300.0);
        assert!((found - gap).abs() < 0.05 * gap, "{found} instead of {gap}");
    }

    #[test]
    fn a_cylinder_rolls_out_flat() {
        let radius = 700.0;
        let mesh = shaken(600.0, 500.0, |u, v| {
            let angle = v / radius;
            Point3::new(u, radius * angle.sin(), radius * angle.cos())
        });
        let floor = curvature_integral(&mesh);
        assert!(floor < 0.01, "noise floor {floor}");
        let gap = radius - (radius * radius - 150.0 * 150.0_f64).sqrt();
        let found = largest_gap_mm(&mesh, 300.0);
        assert!((found - gap).abs() < 0.05 * gap, "{found} instead of {gap}");
    }

    #[test]
    fn a_torus_counts_both_its_signs() {
        // Tube 200 mm, ring 800 mm, 0.96 of the way round the tube. Closed form: K dA = cos t dt ds,
        // and the strip left open on the inner side, 0.04 of the way, holds sin(0.04 x 360 degrees).
        let (tube, ring) = (200.0, 800.0);
        let span = 500.0 / ring;
        let mesh = shaken(500.0, TAU * tube * 0.96, |u, v| {
            let (s, t) = (u / ring, v / tube - 0.46 * TAU);
            let out = ring + tube * t.cos();
            Point3::new(-out * s.cos(), out * s.sin(), tube * t.sin())
        });
        let truth = (4.0 - (0.04 * TAU).sin()) * span;
        let found = curvature_integral(&mesh);
        // Low by the outermost half row and by cells where the sign changes.
        assert!(found < truth && found > 0.94 * truth, "{found} of {truth}");
    }
}
