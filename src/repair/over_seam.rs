//! Repairs of panels moulded in one: where they are measured, and what they come on to.
//!
//! All repairs of what hangs together are measured on the mesh of one of its panels, so that
//! ground on both sides of a seam is joined, and counted once.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Repair;
use super::paint::key;
use super::work::MarkWork;
use crate::damage::Finding;
use crate::damage::over_seam;
use crate::damage::referral::Reason;
use crate::model::panel::Material;
use crate::quantity::{Case, Cases};
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;
use crate::surface::seam;

/// The panel whose mesh the repairs at a mark are measured on.
#[must_use]
pub fn host(panels: &[PlacedPanel<'_>], finding: &Finding<'_>) -> usize {
    let own = finding.placed.panel;
    panels.get(own).and_then(|panel| panel.host).unwrap_or(own)
}

/// An origin on the mesh of a panel moulded in one with its own.
///
/// # Errors
/// In words, when the two panels do not hang together.
pub fn carried(
    panels: &[PlacedPanel<'_>],
    way: (usize, usize),
    origin: &Origin,
) -> Result<Origin, String> {
    seam::carry(panels, way, origin)
        .ok_or_else(|| "a mark cannot be carried over the seam of its panel".to_owned())
}

/// The work at a mark with its distances on the mesh of its host.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub fn on_host<'p, 's>(
    panels: &'p [PlacedPanel<'_>],
    finding: &Finding<'_>,
    work: MarkWork<'p, 's>,
) -> Result<MarkWork<'p, 's>, String> {
    let way = (finding.placed.panel, host(panels, finding));
    let (Some(panel), true) = (panels.get(way.1), way.0 != way.1) else { return Ok(work) };
    let spread = |known: &DistanceField<'p>, origin: &Origin, passable: &[bool]| {
        let origin = carried(panels, way, origin)?;
        DistanceField::spread(&panel.mesh, passable, &origin, known.limit_mm())
            .map(Arc::new)
            .map_err(|why| why.to_string())
    };
    let (side, extents) = (finding.mark().side, &finding.extents);
    let reach = Cases::try_from_fn(|case| {
        let origin = &extents.cases.get(case).origin;
        spread(work.reach.get(case), origin, panel.side(side))
    })?;
    let back = Cases::try_from_fn(|case| {
        let Some(known) = work.back.get(case) else { return Ok::<_, String>(None) };
        let cases = match (&extents.back, side) {
            (Some(back), crate::model::survey::Side::Outer) => back,
            _ => &extents.cases,
        };
        let passable = panel.side(crate::model::survey::Side::Back);
        spread(known, &cases.get(case).origin, passable).map(Some)
    })?;
    Ok(MarkWork { cases: work.cases, reach, back })
}

/// What the panels over a seam refer that the prepared ground of a repair may come on to.
#[must_use]
pub fn reasons(
    book: &Book,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    work: &MarkWork<'_, '_>,
) -> Vec<Reason> {
    over_seam::reasons(book, panel, finding, beyond_mm(book, work))
}

/// How far beyond a mark as found its repair is prepared in the high case, mm, on either side.
#[must_use]
pub fn beyond_mm(book: &Book, work: &MarkWork<'_, '_>) -> f64 {
    let of = work.cases.get(Case::High);
    let prepared_mm = book.figure(id::PREPARED).max(book.figure(id::BACKING_PREPARED));
    let parts = of.parts.iter().map(|part| part.removal_mm + part.outermost_mm());
    let back = of.backing.iter().map(|back| back.removal_mm + back.reach_mm);
    // Counted from the rim of the mark as found, though removal has its growth in it already.
    parts.chain(back).fold(0.0, f64::max) + prepared_mm
}

/// What the panels of a repair are made of: where one of them is not known, none is.
#[must_use]
pub fn material(panels: &[PlacedPanel<'_>], on: &[usize]) -> Material {
    let of = |panel: &usize| panels.get(*panel).map(|panel| panel.of.panel.material);
    let all: Vec<Material> = on.iter().filter_map(of).collect();
    match all.first() {
        // Two known materials are never moulded in one.
        Some(first) if !all.contains(&Material::Unknown) => *first,
        _ => Material::Unknown,
    }
}

/// Prepared ground of a repair by panel, m2, where it lies on more than its own; by name.
#[must_use]
pub fn shares_m2(
    panels: &[PlacedPanel<'_>],
    repair: &Repair<'_>,
    case: Case,
) -> Vec<(String, f64)> {
    let Some(laid_on) = panels.get(repair.laid_on) else { return Vec::new() };
    let mut by_panel: BTreeMap<usize, f64> = BTreeMap::new();
    for (region, area_mm2) in &repair.areas.get(case).prepared_by_region {
        let (panel, _) = key(laid_on, repair.laid_on, *region);
        *by_panel.entry(panel).or_default() += area_mm2 * 1e-6;
    }
    if by_panel.keys().all(|panel| *panel == repair.panel) {
        return Vec::new();
    }
    by_panel
        .into_iter()
        .filter_map(|(panel, area)| Some((panels.get(panel)?.of.name.clone(), area)))
        .collect()
}
