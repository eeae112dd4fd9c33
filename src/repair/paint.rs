//! Paint: whole regions of the outer side that prepared ground meets, once each, and the litres.

use std::collections::BTreeMap;

use super::{Action, Decision, Repair};
use crate::damage::Finding;
use crate::model::stock::{Paint, PaintUse, Stock};
use crate::model::survey::{Side, Topcoat};
use crate::quantity::{Case, Cases};
use crate::surface::placed::PlacedPanel;

/// A region of the outer side: panel number and region number.
pub type RegionKey = (usize, Option<u16>);

/// Regions to paint in each case, and those that wait.
#[derive(Debug, Clone, Default)]
pub struct PaintPlan {
    /// To paint, in each case.
    pub cases: Cases<Vec<RegionKey>>,
    /// Waiting for a referred or held mark, with the marks.
    pub waiting: BTreeMap<RegionKey, Vec<u32>>,
}

/// Less ground than this on a region is taken for the width of its border, mm2.
const MET_MM2: f64 = 1.0;

/// Finds the regions to paint.
#[must_use]
pub fn plan(
    topcoat: Topcoat,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    decisions: &[Decision],
    repairs: &[Repair<'_>],
) -> PaintPlan {
    if topcoat == Topcoat::GelFinish {
        return PaintPlan::default();
    }
    let mut waiting: BTreeMap<RegionKey, Vec<u32>> = BTreeMap::new();
    for (finding, decision) in findings.iter().zip(decisions) {
        if matches!(decision.action, Action::Refer | Action::Held)
            && finding.mark().side == Side::Outer
            && let Some(panel) = panels.get(finding.placed.panel)
        {
            for region in regions_of(panel, finding) {
                let key = key(panel, finding.placed.panel, region);
                waiting.entry(key).or_default().push(finding.mark().id);
            }
        }
    }
    let cases = Cases::from_fn(|case| {
        let mut met: Vec<RegionKey> = repairs
            .iter()
            .flat_map(|repair| {
                let areas = repair.areas.get(case);
                let laid_on = panels.get(repair.laid_on);
                areas
                    .prepared_by_region
                    .iter()
                    .filter(|(_, area)| **area > MET_MM2)
                    .filter_map(|(region, _)| Some(key(laid_on?, repair.laid_on, *region)))
                    .collect::<Vec<_>>()
            })
            .filter(|key| !waiting.contains_key(key))
            .collect();
        met.sort_unstable();
        met.dedup();
        met
    });
    PaintPlan { cases, waiting }
}

/// The region that a number on a panel's mesh means: its own, or one of a panel over a seam.
#[must_use]
pub fn key(panel: &PlacedPanel<'_>, number: usize, region: Option<u16>) -> RegionKey {
    panel.over_region(region).map_or((number, region), |(over, own)| (over.piece.panel, own))
}

/// Regions a mark lies on as it is seen.
fn regions_of(panel: &PlacedPanel<'_>, finding: &Finding<'_>) -> Vec<Option<u16>> {
    let region = |face: u32| panel.mesh.tags.get(face as usize).map(|tag| tag.region);
    let mut regions: Vec<Option<u16>> = region(finding.placed.at.face).into_iter().collect();
    for piece in &finding.extents.seen.origin.pieces {
        let face = match piece {
            crate::surface::origin::Piece::Point(point) => point.face,
            crate::surface::origin::Piece::Segment { face, .. } => *face,
        };
        regions.extend(region(face));
    }
    regions.sort_unstable();
    regions.dedup();
    regions
}

/// Square metres a litre covers in theory: 10 x solids % / dry film in micrometres.
#[must_use]
pub fn spreading_m2_per_l(solids_percent: f64, dry_film_um: f64) -> f64 {
    10.0 * solids_percent / dry_film_um
}

/// Square feet a US gallon covers in theory: 1604 x solids / dry film in thousandths of an inch.
#[must_use]
pub fn spreading_ft2_per_us_gallon(solids: f64, dry_film_mil: f64) -> f64 {
    1604.0 * solids / dry_film_mil
}

/// Wet film that dries to a given film, micrometres.
#[must_use]
pub fn wet_film_um(dry_film_um: f64, solids_percent: f64) -> f64 {
    dry_film_um * 100.0 / solids_percent
}

/// Litres of a paint for an area, its loss included.
#[must_use]
pub fn litres(paint: &Paint, area_m2: f64) -> f64 {
    let theory = spreading_m2_per_l(paint.solids_percent.value(), paint.dry_film_um);
    area_m2 / (theory * (1.0 - paint.loss_percent.value() / 100.0))
}

/// The paints of the stock that a topcoat needs: a primer and a finish.
#[must_use]
pub fn system(stock: &Stock, topcoat: Topcoat) -> Vec<&Paint> {
    let finish = match topcoat {
        Topcoat::GelFinish => return Vec::new(),
        Topcoat::BrushEnamel => PaintUse::BrushFinish,
        Topcoat::Unnamed | Topcoat::TwoPackIsocyanate => PaintUse::SprayFinish,
    };
    [PaintUse::Primer, finish]
        .into_iter()
        .filter_map(|used| stock.paints.iter().find(|paint| paint.used_as == used))
        .collect()
}

/// Area of a region, mm2.
#[must_use]
pub fn region_mm2(panels: &[PlacedPanel<'_>], key: RegionKey) -> f64 {
    panels.get(key.0).map_or(0.0, |panel| panel.region_area_mm2(key.1))
}

/// All regions together in one case, m2.
#[must_use]
pub fn area_m2(panels: &[PlacedPanel<'_>], plan: &PaintPlan, case: Case) -> f64 {
    plan.cases.get(case).iter().map(|key| region_mm2(panels, *key)).sum::<f64>() * 1e-6
}
