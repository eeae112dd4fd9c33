//! Where a ply lies on the skin: the distances it was laid out by, worked out again.
//!
//! A plan keeps figures, not distance fields; whoever cuts plies asks here. The origin, side and
//! mesh are those of the layout, so the areas are the same. Lengths mm.

use super::Repair;
use super::layout::{PlyArea, PlyGround};
use super::over_seam;
use crate::damage::Finding;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::surface::closed::closed_rim;
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::Form;
use crate::surface::mesh::{FaceId, MeshPoint};
use crate::surface::placed::PlacedPanel;

/// A patch that nothing is added to is drawn this far beyond its outline, mm: at 0 there is no line
/// where the distance begins to rise.
const NO_REACH_MM: f64 = 0.02;

/// Distances from the marks of a repair, by side.
#[derive(Debug)]
pub struct PlyFields<'p> {
    fields: Vec<(Side, usize, DistanceField<'p>)>,
}

/// How far distances are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// As far as plies go.
    Plies,
    /// As far as anything is taken down or keyed.
    Everything,
}

/// A ply on the skin, or whatever else lies within some distances of marks.
#[derive(Debug)]
pub struct OnSkin {
    /// Faces any part of it may lie on, in order.
    pub faces: Vec<FaceId>,
    /// Closed lines round it, its holes' too; each ends where it began.
    pub rim: Vec<Vec<MeshPoint>>,
    /// Its area, mm2.
    pub area_mm2: f64,
}

impl<'p> PlyFields<'p> {
    /// Works out the distances for a repair in one case.
    ///
    /// # Errors
    /// In words: a mesh far too fine, or a mark that cannot be carried over a seam.
    pub fn of(
        panels: &'p [PlacedPanel<'_>],
        findings: &[Finding<'_>],
        repair: &Repair<'_>,
        case: Case,
        asked: Asked,
    ) -> Result<Self, String> {
        let areas = repair.areas.get(case);
        let mut fields = Vec::new();
        let Some(panel) = panels.get(repair.laid_on) else { return Ok(Self { fields }) };
        for side in [Side::Outer, Side::Back] {
            for (mark, number) in repair.findings.iter().enumerate() {
                let Some(finding) = findings.get(*number) else { continue };
                let plies = areas.plies.iter().filter(|ply| ply.side == side);
                let worked = areas
                    .worked
                    .iter()
                    .filter(|one| asked == Asked::Everything && one.side == side)
                    .flat_map(|one| one.removal.iter().chain(&one.ground));
                let all = plies.flat_map(|ply| &ply.grounds).chain(worked);
                let own = all.filter(|one| one.mark == mark).map(|one| one.out_mm);
                let Some(limit_mm) = own.reduce(f64::max) else {
                    continue;
                };
                let extents = match (side, &finding.extents.back) {
                    (Side::Back, Some(back)) if finding.mark().side == Side::Outer => back,
                    _ => &finding.extents.cases,
                };
                // As laid out: a patch keeps its origin in every case.
                let is_patch = matches!(finding.placed.form, Form::Patch(_));
                let from = extents.get(if is_patch { Case::High } else { case });
                let way = (finding.placed.panel, repair.laid_on);
                let limit_mm = limit_mm.max(NO_REACH_MM);
                let field = if way.0 == way.1 {
                    DistanceField::spread(&panel.mesh, panel.side(side), &from.origin, limit_mm)
                } else {
                    let origin = over_seam::carried(panels, way, &from.origin)?;
                    DistanceField::spread(&panel.mesh, panel.side(side), &origin, limit_mm)
                };
                fields.push((side, mark, field.map_err(|why| why.to_string())?));
            }
        }
        Ok(Self { fields })
    }

    /// Where a ply of that repair lies; none where only its share of an area is known.
    #[must_use]
    pub fn ply(&self, ply: &PlyArea<'_>) -> Option<OnSkin> {
        self.within(ply.side, &ply.grounds)
    }

    /// What lies within these distances of their marks on a side; none without one that is known.
    #[must_use]
    pub fn within(&self, side: Side, of: &[PlyGround]) -> Option<OnSkin> {
        let field = |mark: usize| {
            let known = self.fields.iter().find(|(on, of, _)| (*on, *of) == (side, mark));
            known.map(|(.., field)| field)
        };
        let grounds: Vec<(&DistanceField<'_>, f64)> = of
            .iter()
            .filter_map(|one| {
                let field = field(one.mark)?;
                let least_mm = if field.outline().is_some() { NO_REACH_MM } else { 0.0 };
                Some((field, one.out_mm.max(least_mm)))
            })
            .collect();
        let (first, _) = grounds.first()?;
        let level = level::union(&grounds);
        let mut faces: Vec<FaceId> =
            grounds.iter().flat_map(|(field, out_mm)| field.faces_within(*out_mm)).collect();
        faces.sort_unstable();
        faces.dedup();
        faces.retain(|face| first.is_open(*face));
        Some(OnSkin { faces, rim: closed_rim(&grounds, &level), area_mm2: level.area_mm2 })
    }
}
