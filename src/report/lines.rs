//! Repairs, materials, paint and shop as lines of the report.

use super::model::*;
use crate::damage::Finding;
use crate::materials::{self, JobMaterials, ResinKind};
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::repair::paint::PaintPlan;
use crate::repair::{Plan, paint as paints};
use crate::shop::climate::Gate;
use crate::shop::forecast::Milestone;
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// Every repair.
#[must_use]
pub fn repairs(
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    materials: &JobMaterials,
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
                            glass_kg: round6(ply.glass.value()),
                            resin_kg: round6(ply.resin.value()),
                        })
                        .collect(),
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
            waits_for.extend(members.iter().filter(|finding| finding.wet).map(|finding| {
                format!("mark {} is wet: no date until the readings say so", finding.mark().id)
            }));
            RepairLine {
                id: repair.id.clone(),
                panel: panels
                    .get(repair.panel)
                    .map_or_else(String::new, |panel| panel.of.name.clone()),
                side: repair.side.words().to_owned(),
                marks: members.iter().map(|finding| finding.mark().id).collect(),
                scenarios,
                waits_for,
            }
        })
        .collect()
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

fn band(milestone: &Milestone, unit_min: f64) -> TimeBand {
    let time = |when: crate::shop::forecast::When| {
        when.minutes().map(|minutes| (minutes / unit_min * 100.0).round() / 100.0)
    };
    TimeBand {
        low: time(milestone.low),
        likely: time(milestone.likely),
        high: time(milestone.high),
        rests_on: milestone.basis.clone(),
    }
}

/// The shop's answer.
#[must_use]
pub fn shop(plan: &Plan<'_>, shop: &ShopPlan) -> ShopLines {
    let repair = |number: usize| {
        plan.repairs.get(number).map_or_else(String::new, |repair| repair.id.clone())
    };
    let times = shop.forecast.as_ref();
    ShopLines {
        from: shop.place.from.clone(),
        place: shop.place.place.words().to_owned(),
        worker: shop.place.worker.words().to_owned(),
        pour_c: shop.place.pour.map(|pour| round6(pour.coldest().1)),
        night_c: shop.place.night_c.map(round6),
        humidity_percent: shop.place.humidity_percent.map(round6),
        catalyst_percent: round6(shop.doses.laminating_percent),
        gel_catalyst_percent: round6(shop.doses.coat_percent),
        gates: shop.gates.iter().map(gate_line).collect(),
        gel_min: times.map(|times| band(&times.gel, 1.0)),
        sandable_h: times.map(|times| band(&times.sandable, 60.0)),
        primer_days: times.map(|times| band(&times.paintable, 1440.0)),
        gloss_days: times.map(|times| band(&times.gloss_or_dark, 1440.0)),
        sittings: shop
            .sittings
            .iter()
            .map(|sitting| {
                let mix = sitting.mixes.first();
                SittingLine {
                    repair: repair(sitting.repair),
                    stage: sitting.stage,
                    what: sitting.what.to_owned(),
                    poured_kg: round6(sitting.poured_kg),
                    mixes: sitting.mixes.len(),
                    mix_g: mix.map(|mix| round6(mix.resin_g)),
                    mix_catalyst_g: mix.map(|mix| round6(mix.catalyst_g)),
                    mix_catalyst_ml: mix.map(|mix| round6(mix.catalyst_ml)),
                    use_by_min: mix.map(|mix| round6(mix.use_by_min)),
                    styrene_g: round6(sitting.styrene_g[2]),
                }
            })
            .collect(),
        air: air(shop, &repair),
    }
}

fn gate_line(step: &crate::shop::plan::StepGate) -> GateLine {
    let (state, why, way_out) = match &step.gate {
        Gate::Open => ("open", String::new(), String::new()),
        Gate::Warned { why } => ("warned", why.clone(), String::new()),
        Gate::Shut { why, way_out } => ("shut", why.clone(), way_out.clone()),
    };
    GateLine {
        step: step.step.to_owned(),
        state,
        why,
        way_out,
        rules: step.rules.iter().map(|rule| (*rule).to_owned()).collect(),
    }
}

fn air(shop: &ShopPlan, repair: &dyn Fn(usize) -> String) -> Option<AirLines> {
    let air = shop.air.as_ref()?;
    let sitting = shop.sittings.get(air.worst)?;
    let room = shop.place.room.as_ref();
    let inside = air.peak_ppm.is_some();
    Some(AirLines {
        room_m3: room.map(|room| round6(room.volume_m3)),
        air_changes_per_h: room.map(|room| round6(room.air_changes_h)),
        room_assumed: shop.place.room_assumed,
        worst_sitting: format!(
            "{} stage {}, {}",
            repair(sitting.repair),
            sitting.stage,
            sitting.what
        ),
        poured_kg: round6(sitting.poured_kg),
        styrene_g: sitting.styrene_g.map(round6),
        peak_ppm: air.peak_ppm.map(round6),
        near_ppm: air.near_ppm.map(round6),
        all_at_once_ppm: air.all_at_once_ppm.map(round6),
        all_styrene_g: round6(air.all_styrene_g),
        most_resin_kg: air.most_resin_kg.map(round6),
        purge_min: air.purge_min.map(round6),
        limits: air
            .limits
            .iter()
            .map(|(limit, flow, factor)| LimitLine {
                set: limit.set.to_owned(),
                over: limit.over.words().to_owned(),
                ppm: limit.ppm,
                fresh_air_m3_h: round6(*flow),
                needed_factor: inside.then(|| round6(*factor)),
                document: format!("{}, {}", limit.document, limit.edition),
                evidence: limit.evidence.to_string(),
            })
            .collect(),
    })
}
