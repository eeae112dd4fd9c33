//! What the removal at a mark is in space, for its export.

use super::layout::{self, RemovalShape};
use super::over_seam;
use super::work::MarkWork;
use crate::damage::Finding;
use crate::quantity::Case;
use crate::surface::marks::Form;
use crate::surface::mesh::MeshPoint;
use crate::surface::origin::Piece;
use crate::surface::placed::PlacedPanel;

pub(super) fn of_removal(
    panels: &[PlacedPanel<'_>],
    laid_on: usize,
    finding: &Finding<'_>,
    work: &MarkWork<'_, '_>,
    case: Case,
) -> Vec<RemovalShape> {
    let way = (finding.placed.panel, laid_on);
    let Some(mesh) = panels.get(laid_on).map(|panel| &panel.mesh) else { return Vec::new() };
    let Ok(origin) = over_seam::carried(panels, way, &finding.extents.cases.get(case).origin)
    else {
        return Vec::new();
    };
    let points: Vec<MeshPoint> = origin
        .pieces
        .iter()
        .flat_map(|piece| match *piece {
            Piece::Point(point) => vec![point],
            Piece::Segment { face, from, to } => {
                vec![MeshPoint { face, weights: from }, MeshPoint { face, weights: to }]
            }
        })
        .collect();
    let mut places = layout::in_space(mesh, &points);
    places.dedup_by(|one, other| one.iter().zip(other.iter()).all(|(a, b)| (a - b).abs() < 1e-6));
    work.cases
        .get(case)
        .parts
        .iter()
        .map(|part| match finding.placed.form {
            Form::Line(_) => {
                RemovalShape::Line { points: places.clone(), half_width_mm: part.removal_mm }
            }
            Form::Patch(_) => {
                RemovalShape::Area { points: places.clone(), outward_mm: part.removal_mm }
            }
        })
        .collect()
}
