//! Repairs, materials, paint and shop as lines of the report.

use super::model::*;
use crate::damage::Finding;
use crate::materials::{self, JobMaterials, ResinKind};
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::repair::paint::PaintPlan;
use crate::repair::parent_match::ParentMatch;
use crate::repair::{Plan, over_seam, paint as paints};
use crate::safety::Blocked;
use crate::safety::table::Work;
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// Every repair.
#[must_use]
pub fn repairs(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    materials: &JobMaterials,
    blocked: &[Blocked],
) -> Vec<RepairLine> {
    plan.repairs
        .iter()
        .zip(materials)
        .map(|(repair, masses)| {
            let members: Vec<&Finding<'_>> =
                repair.findings.iter().filter_map(|number| findings.get(*number)).collect();
            let scenarios = Cases::from_fn(|case| {
                let (areas, mass) = (repair.areas.get(case), masses.get(case));
                Scenario {
                    method: areas.method.words().to_owned(),
                    removal_area_m2: round6(areas.removal_mm2 * 1e-6),
                    ground_area_m2: round6(areas.ground_mm2 * 1e-6),
                    prepared_area_m2: round6(areas.prepared_mm2 * 1e-6),
                    prepared_by_panel: over_seam::shares_m2(panels, repair, case)
                        .into_iter()
                        .map(|(panel, area)| PanelShare { panel, area_m2: round6(area) })
                        .collect(),
                    prepared_back_area_m2: round6(areas.prepared_back_mm2 * 1e-6),
                    depth_mm: round6(areas.deepest_mm),
                    plies: mass
                        .plies
                        .iter()
                        .map(|ply| PlyLine {
                            sequence: ply.sequence,
                            side: match ply.side {
                                crate::model::survey::Side::Outer => "outer".to_owned(),
                                crate::model::survey::Side::Back => "back".to_owned(),
                            },
                            reinforcement: ply.reinforcement.clone(),
                            reach_mm: round6(ply.reach_mm),
                            area_m2: round6(ply.area.value()),
                            strips: ply.laps.map_or(1, |laps| laps.strips),
                            lap_m2: round6(ply.laps.map_or(0.0, |laps| laps.area_mm2 * 1e-6)),
                            glass_kg: round6(ply.glass.value()),
                            resin_kg: round6(ply.resin.value()),
                        })
                        .collect(),
                    parent_match: areas.parent_match.as_ref().map(match_line),
                    tissue: TissueLine {
                        area_m2: round6(mass.tissue.0.value()),
                        tissue_kg: round6(mass.tissue.1.value()),
                        resin_kg: round6(mass.tissue.2.value()),
                    },
                    gel_coat_area_m2: round6(mass.coat.0.value()),
                    gel_coat_kg: round6(mass.coat.1.value()),
                }
            });
            let mut waits_for: Vec<String> = members
                .iter()
                .filter_map(|finding| {
                    let (what, _) = finding.open_cause.as_ref()?;
                    Some(format!("cause of mark {} put right first: {what}", finding.mark().id))
                })
                .collect();
            waits_for.extend(members.iter().filter(|finding| finding.waits_to_dry()).map(
                |finding| {
                    format!("mark {} is wet: no date until the readings say so", finding.mark().id)
                },
            ));
            let marks: Vec<u32> = members.iter().map(|finding| finding.mark().id).collect();
            let done = super::lines_method::of_repair(job, panels, findings, repair, blocked);
            RepairLine {
                steps: done.steps,
                when_not_to: done.when_not_to,
                blocked_by: codes(blocked, &marks, |work| work != Work::Warming),
                id: repair.id.clone(),
                panel: panels
                    .get(repair.panel)
                    .map_or_else(String::new, |panel| panel.of.name.clone()),
                side: repair.side.words().to_owned(),
                marks,
                scenarios,
                waits_for,
            }
        })
        .collect()
}

fn match_line(found: &ParentMatch) -> MatchLine {
    MatchLine {
        thickness_ratio: round6(found.thickness),
        membrane_ratio: round6(found.membrane),
        bending_ratio: found.bending.map(round6),
        parent_assumed: found.parent_assumed,
        outside: found.outside.clone(),
    }
}

/// Codes of the blocked steps that concern some marks.
pub(super) fn codes(blocked: &[Blocked], marks: &[u32], of: impl Fn(Work) -> bool) -> Vec<String> {
    let mut found: Vec<String> = blocked
        .iter()
        .filter(|block| block.concerns(marks) && of(block.work))
        .map(|block| block.code.clone())
        .collect();
    found.sort();
    found.dedup();
    found
}

/// Net materials in one case.
#[must_use]
pub fn materials(
    job: &Job,
    shop: &ShopPlan,
    masses: &JobMaterials,
    case: Case,
    excludes: &[Exclusion],
) -> Materials {
    let totals = materials::job_totals(&job.stock, &shop.doses, masses, case);
    Materials {
        glass_kg: round6(totals.glass.value()),
        mats: totals
            .glass_by_mat
            .iter()
            .map(|(name, (area, mass))| MatLine {
                reinforcement: name.clone(),
                area_m2: round6(area.value()),
                glass_kg: round6(mass.value()),
            })
            .collect(),
        tissue_m2: round6(totals.tissue.0.value()),
        tissue_kg: round6(totals.tissue.1.value()),
        resin_kg: round6(totals.resin.value()),
        resins: totals
            .resin_by_kind
            .iter()
            .map(|(kind, mass)| ResinLine {
                kind: match kind {
                    ResinKind::Polyester => "polyester",
                    ResinKind::Epoxy => "epoxy",
                    ResinKind::NotKnown => "resin, kind not known",
                }
                .to_owned(),
                kg: round6(mass.value()),
            })
            .collect(),
        gel_coat_kg: round6(totals.gel_coat.value()),
        catalyst_g: totals.catalyst.map(|(g, _)| round6(g)),
        catalyst_ml: totals.catalyst.map(|(_, ml)| round6(ml)),
        hardeners: totals
            .hardeners
            .iter()
            .map(|hardener| HardenerLine {
                product: hardener.product.clone(),
                goes_into: hardener.goes_into.clone(),
                g: round6(hardener.g),
                ml: hardener.ml.map(round6),
            })
            .collect(),
        excludes: excludes.to_vec(),
    }
}

/// Paint.
#[must_use]
pub fn paint(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    plan: &PaintPlan,
    excludes: &[Exclusion],
) -> Paint {
    let system = paints::system(&job.stock, job.survey.topcoat);
    let case = |case: Case| {
        let area_m2 = paints::area_m2(panels, plan, case);
        let products: Vec<PaintProduct> = system
            .iter()
            .map(|paint| PaintProduct {
                product: paint.name.clone(),
                litres: round6(paints::litres(paint, area_m2)),
            })
            .collect();
        PaintCase {
            regions: plan
                .cases
                .get(case)
                .iter()
                .filter_map(|key| {
                    let panel = panels.get(key.0)?;
                    Some(PaintRegion {
                        panel: panel.of.name.clone(),
                        region: panel.region_name(key.1),
                        area_m2: round6(paints::region_mm2(panels, *key) * 1e-6),
                    })
                })
                .collect(),
            area_m2: round6(area_m2),
            litres: round6(products.iter().map(|paint| paint.litres).sum()),
            products,
            excludes: excludes.to_vec(),
        }
    };
    Paint {
        low: case(Case::Low),
        likely: case(Case::Likely),
        high: case(Case::High),
        waiting: plan
            .waiting
            .iter()
            .filter_map(|(key, marks)| {
                let panel = panels.get(key.0)?;
                Some(WaitingRegion {
                    panel: panel.of.name.clone(),
                    region: panel.region_name(key.1),
                    area_m2: round6(paints::region_mm2(panels, *key) * 1e-6),
                    marks: marks.clone(),
                })
            })
            .collect(),
        topcoat: job.survey.topcoat.words().to_owned(),
    }
}
