//! A whole panel laid flat: the face on a coarse lattice of its grid, which is laid flat in its place.
//!
//! The skin of a panel has tens of thousands of faces, and a sheet of paper shows none of them. Between
//! the corners of the lattice the flat sheet follows the panel's grid; beyond its edge it goes on
//! straight. Lengths mm.

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{Matrix2, Matrix3x2, Point2, Point3};

use super::content::is_face;
use super::ground::{bounds, edges};
use crate::surface::flatten::LaidFlat;
use crate::surface::mesh::{FaceId, FaceTag, Mesh, MeshPoint};
use crate::surface::placed::PlacedPanel;

/// Cells of the lattice along the longer side of a panel (choice: a panel bends by a few degrees over
/// one of them at most).
const CELLS: f64 = 44.0;
/// A cell is not smaller than this, mm.
const LEAST_MM: f64 = 10.0;

/// The lattice of a panel: a mesh on the panel's own grid.
pub(super) fn lattice(on: &PlacedPanel<'_>) -> Option<Mesh> {
    let mesh = &on.mesh;
    // Openings are laid over: the skin round them hangs together by what fills them.
    let keep = |face: FaceId| mesh.tags.get(face as usize).is_some_and(|tag| !tag.on_return);
    let kept = || (0_u32..).zip(&mesh.faces).filter(|(face, _)| keep(*face));
    let places: Vec<Point2<f64>> = kept()
        .flat_map(|(_, corners)| corners)
        .filter_map(|vertex| mesh.grid.get(*vertex as usize).copied())
        .collect();
    let (low, high) = bounds(&places);
    let cell_mm = ((high - low).max() / CELLS).max(LEAST_MM);
    let cell = |place: &Point2<f64>| {
        let at = (place - low) / cell_mm;
        (at.x.floor() as i64, at.y.floor() as i64)
    };
    let cells: BTreeSet<(i64, i64)> = places.iter().map(cell).collect();
    let rim = edges(mesh, &keep, &|_, other| !other.is_some_and(keep));
    let mut nodes: BTreeMap<(i64, i64), u32> = BTreeMap::new();
    let (mut positions, mut grid, mut faces) = (Vec::new(), Vec::new(), Vec::new());
    for (column, row) in &cells {
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(i, j)| (column + i, row + j));
        let mut numbers = [0_u32; 4];
        for (number, corner) in numbers.iter_mut().zip(corners) {
            *number = match nodes.get(&corner) {
                Some(known) => *known,
                None => {
                    let place = Point2::new(
                        low.x + corner.0 as f64 * cell_mm,
                        low.y + corner.1 as f64 * cell_mm,
                    );
                    let new = u32::try_from(positions.len()).ok()?;
                    positions.push(position(mesh, &keep, &rim, place)?);
                    grid.push(place);
                    nodes.insert(corner, new);
                    new
                }
            };
        }
        let [a, b, c, d] = numbers;
        faces.extend(if mesh.chart_sense() > 0.0 {
            [[a, b, c], [a, c, d]]
        } else {
            [[a, c, b], [a, d, c]]
        });
    }
    let tags = vec![FaceTag::default(); faces.len()];
    Mesh::new(positions, grid, faces, tags).ok()
}

/// Where a grid place is in space: on the face, or straight on beyond its edge.
fn position(
    mesh: &Mesh,
    keep: &dyn Fn(FaceId) -> bool,
    rim: &[Vec<MeshPoint>],
    place: Point2<f64>,
) -> Option<Point3<f64>> {
    if let Some(at) = mesh.locate(place).filter(|at| keep(at.face)) {
        return Some(mesh.position(&at));
    }
    let ends = rim.iter().flatten();
    let off = |at: &&MeshPoint| (mesh.grid(at) - place).norm();
    let at = ends.min_by(|one, other| off(one).total_cmp(&off(other)))?;
    let corners = [0, 1, 2].map(|side| mesh.on_edge(at.face, side, 0.0));
    let [p, q, r] = corners.map(|corner| mesh.position(&corner));
    let [f, g, h] = corners.map(|corner| mesh.grid(&corner));
    let back = Matrix2::from_columns(&[g - f, h - f]).try_inverse()?;
    let slope = Matrix3x2::from_columns(&[q - p, r - p]) * back;
    Some(mesh.position(at) + slope * (place - mesh.grid(at)))
}

/// Where a place of the grid comes to lie on the flat sheet.
pub(super) fn place(sheet: &LaidFlat<'_>, lattice: &Mesh, at: Point2<f64>) -> Option<Point2<f64>> {
    let (nearest, miss) = lattice.nearest(at);
    let laid = sheet.place(&nearest)?;
    if miss <= 0.0 {
        return Some(laid);
    }
    let [p, q, r] = sheet.corners(nearest.face);
    let [f, g, h] = [0, 1, 2].map(|side| lattice.grid(&lattice.on_edge(nearest.face, side, 0.0)));
    let back = Matrix2::from_columns(&[g - f, h - f]).try_inverse()?;
    Some(laid + Matrix2::from_columns(&[q - p, r - p]) * back * (at - lattice.grid(&nearest)))
}

/// How far areas on the sheet are off over the faces that are kept, as a share, greatest first; faces
/// much smaller than most are left out, as rounding alone moves them.
pub(super) fn off(
    on: &PlacedPanel<'_>,
    turned: bool,
    place: &dyn Fn(&MeshPoint) -> Option<Point2<f64>>,
) -> Option<f64> {
    let mesh = &on.mesh;
    let open = |face: FaceId| on.open.get(face as usize).copied().unwrap_or(false);
    let faces: Vec<(FaceId, f64)> = (0_u32..)
        .zip(&mesh.faces)
        .map(|(face, _)| face)
        .filter(|face| open(*face) && is_face(on, *face) != turned)
        .map(|face| (face, mesh.face_area_mm2(face)))
        .collect();
    let mean = faces.iter().map(|(_, area)| area).sum::<f64>() / faces.len().max(1) as f64;
    let large = faces.iter().filter(|(_, area)| *area > 0.1 * mean);
    large
        .filter_map(|(face, area)| {
            let corner = |side| place(&mesh.on_edge(*face, side, 0.0));
            let (a, b, c) = (corner(0)?, corner(1)?, corner(2)?);
            Some((0.5 * (b - a).perp(&(c - a)).abs() / area - 1.0).abs())
        })
        .reduce(f64::max)
}
