//! What is the shape of a part of the skin when it is laid flat, and how far is that from true?
//!
//! Takes faces of a mesh that hang together; gives places on a flat sheet, as seen from the outer
//! side, drawn together from the panel's own grid until every triangle is as nearly turned only as
//! can be (as rigid as possible: Liu and others, Comput. Graph. Forum 27, 2008; published). What
//! rolls out flat comes out true; on anything else the figures of [`Distortion`] say what a sheet
//! has to give. Lengths mm. Masses never come from here: areas are measured on the skin.
#![allow(
    clippy::indexing_slicing,
    reason = "face and vertex numbers come from a mesh Mesh::new has checked, places from the list made of them"
)]

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{Matrix2, Point2, Point3, Rotation2, Vector2};

use super::mesh::{FaceId, Mesh, MeshPoint, VertexId};
use super::scan::lay::rigid;
use super::shape_figures::curvature_over;

/// How far a flat shape is from the skin it was laid out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distortion {
    /// Change of the area as a whole, %.
    pub area_percent: f64,
    /// Least and greatest change of a triangle's area, %.
    pub face_area_percent: (f64, f64),
    /// Greatest shortening and greatest stretch in any direction of a triangle, %.
    pub stretch_percent: (f64, f64),
    /// Root of the mean square of both principal strains over the area, %.
    pub strain_percent: f64,
    /// Integral of the size of Gaussian curvature over the part, a pure number: 0 for whatever
    /// rolls out flat. On a disc of curvature K and radius r it is about pi K r2, and no flat
    /// shape of it strains less than about K r2 / 20 at its worst.
    pub curvature: f64,
}

/// Part of a skin laid flat.
#[derive(Debug, Clone)]
pub struct LaidFlat<'m> {
    mesh: &'m Mesh,
    /// Its faces, in order.
    pub faces: Vec<FaceId>,
    places: BTreeMap<VertexId, Point2<f64>>,
    /// How true it is.
    pub distortion: Distortion,
}

impl<'m> LaidFlat<'m> {
    /// Lays faces flat, a sheet for each part that hangs together, in order of their least face.
    /// Faces named twice count once; numbers past the mesh are left out.
    #[must_use]
    pub fn of(mesh: &'m Mesh, faces: &[FaceId]) -> Vec<Self> {
        let mut left: BTreeSet<FaceId> =
            faces.iter().copied().filter(|face| (*face as usize) < mesh.faces.len()).collect();
        let mut sheets = Vec::new();
        while let Some(first) = left.pop_first() {
            let (mut part, mut next) = (vec![first], vec![first]);
            while let Some(face) = next.pop() {
                for other in mesh.across[face as usize].into_iter().flatten() {
                    if left.remove(&other) {
                        part.push(other);
                        next.push(other);
                    }
                }
            }
            part.sort_unstable();
            sheets.push(Self::of_part(mesh, part));
        }
        sheets
    }

    fn of_part(mesh: &'m Mesh, part: Vec<FaceId>) -> Self {
        let used: BTreeSet<VertexId> =
            part.iter().flat_map(|face| mesh.faces[*face as usize]).collect();
        let number: BTreeMap<VertexId, u32> = used.iter().copied().zip(0..).collect();
        let positions: Vec<Point3<f64>> =
            used.iter().map(|v| mesh.positions[*v as usize]).collect();
        let faces: Vec<[u32; 3]> =
            part.iter().map(|face| mesh.faces[*face as usize].map(|v| number[&v])).collect();
        // The grid of a panel never folds; a mirrored one is turned over to be seen from outside.
        let sense = mesh.chart_sense();
        let mut flat: Vec<Point2<f64>> = used
            .iter()
            .map(|v| mesh.grid[*v as usize])
            .map(|grid| Point2::new(grid.x, sense * grid.y))
            .collect();
        let drawn = flat.clone();
        rigid(&positions, &faces, &mut flat);
        turned_as(&drawn, &mut flat);
        let distortion = distortion(mesh, &part, &positions, &faces, &flat);
        let places = used.into_iter().zip(flat).collect();
        Self { mesh, faces: part, places, distortion }
    }

    /// Where a point of the skin comes to lie, mm: x along the panel's u, y up the sheet as seen
    /// from the outer side. Nothing for a point of another part.
    #[must_use]
    pub fn place(&self, point: &MeshPoint) -> Option<Point2<f64>> {
        let corners = self.mesh.faces[point.face as usize];
        let mut at = Vector2::zeros();
        for (vertex, weight) in corners.iter().zip(point.weights.iter()) {
            if *weight != 0.0 {
                at += self.places.get(vertex)?.coords * *weight;
            }
        }
        Some(Point2::from(at))
    }

    /// A line over the skin on the sheet; points of other parts are left out.
    #[must_use]
    pub fn line(&self, path: &[MeshPoint]) -> Vec<Point2<f64>> {
        path.iter().filter_map(|point| self.place(point)).collect()
    }

    /// The point of the skin that comes to lie at a place of the sheet.
    #[must_use]
    pub fn lift(&self, place: Point2<f64>) -> Option<MeshPoint> {
        self.faces.iter().find_map(|face| {
            let [a, b, c] = self.corners(*face);
            let sides = Matrix2::from_columns(&[b - a, c - a]).try_inverse()? * (place - a);
            let weights = nalgebra::Vector3::new(1.0 - sides.x - sides.y, sides.x, sides.y);
            (weights.min() >= -1e-9).then_some(MeshPoint { face: *face, weights })
        })
    }

    /// A face as it lies on the sheet.
    #[must_use]
    pub fn corners(&self, face: FaceId) -> [Point2<f64>; 3] {
        let nowhere = Point2::new(f64::NAN, f64::NAN);
        self.mesh.faces[face as usize].map(|v| self.places.get(&v).copied().unwrap_or(nowhere))
    }
}

/// Turns and shifts a sheet so that it lies as it was first drawn, on the whole.
fn turned_as(drawn: &[Point2<f64>], flat: &mut [Point2<f64>]) {
    let middle = |list: &[Point2<f64>]| {
        list.iter().map(|p| p.coords).sum::<Vector2<f64>>() / list.len().max(1) as f64
    };
    let (was, is) = (middle(drawn), middle(flat));
    let (mut cos, mut sin) = (0.0, 0.0);
    for (p, q) in drawn.iter().zip(flat.iter()) {
        let (from, to) = (q.coords - is, p.coords - was);
        cos += from.dot(&to);
        sin += from.perp(&to);
    }
    let turn = Rotation2::new(f64::atan2(sin, cos));
    for place in flat {
        *place = Point2::from(turn * (place.coords - is) + was);
    }
}

fn distortion(
    mesh: &Mesh,
    part: &[FaceId],
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    flat: &[Point2<f64>],
) -> Distortion {
    let mut area = (f64::INFINITY, f64::NEG_INFINITY);
    let mut stretch = area;
    let (mut on_skin, mut on_sheet, mut squares) = (0.0, 0.0, 0.0);
    for face in faces {
        let [a, b, c] = face.map(|v| positions[v as usize]);
        let (along, up) = (b - a, c - a);
        let length = along.norm();
        let x = up.dot(&along) / length;
        let true_size = along.cross(&up).norm();
        let laid = Matrix2::new(length, x, 0.0, true_size / length);
        let [p, q, r] = face.map(|v| flat[v as usize]);
        let Some(back) = laid.try_inverse() else { continue };
        let map = Matrix2::from_columns(&[q - p, r - p]) * back;
        // Principal stretches of a plane map, in closed form.
        let (sum, difference) = (
            Vector2::new(map.m11 + map.m22, map.m21 - map.m12).norm(),
            Vector2::new(map.m11 - map.m22, map.m21 + map.m12).norm(),
        );
        let (most, least) = (0.5 * (sum + difference), 0.5 * (sum - difference));
        let change = most * least - 1.0;
        area = (area.0.min(change), area.1.max(change));
        stretch = (stretch.0.min(least - 1.0), stretch.1.max(most - 1.0));
        let size = 0.5 * true_size;
        on_skin += size;
        on_sheet += size * most * least;
        squares += size * 0.5 * ((most - 1.0).powi(2) + (least - 1.0).powi(2));
    }
    Distortion {
        area_percent: 100.0 * (on_sheet / on_skin - 1.0),
        face_area_percent: (100.0 * area.0, 100.0 * area.1),
        stretch_percent: (100.0 * stretch.0, 100.0 * stretch.1),
        strain_percent: 100.0 * (squares / on_skin).sqrt(),
        curvature: curvature_over(mesh, part),
    }
}
