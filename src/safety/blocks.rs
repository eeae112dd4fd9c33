//! Steps that may not be done until something is answered, tested or changed.

use super::Scene;
use crate::model::panel::Material;
use crate::model::shop::{ShopPlace, ShopWorker};
use crate::model::survey::{HazardTest, MarkKind, Topcoat};
use crate::rules::id;
use crate::shop::climate::Gate;

/// A blocked step.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// Rule or caution.
    pub code: &'static str,
    /// The step.
    pub step: String,
    /// Why.
    pub why: String,
    /// The way out.
    pub way_out: String,
    /// Marks concerned; empty means all.
    pub marks: Vec<u32>,
}

/// Every blocked step of a job.
#[must_use]
pub fn blocks(scene: &Scene<'_>) -> Vec<Blocked> {
    let mut found = Vec::new();
    if scene.plan.repairs.is_empty() {
        return found;
    }
    by_shop(scene, &mut found);
    by_air(scene, &mut found);
    by_tests(scene, &mut found);
    by_topcoat(scene, &mut found);
    by_material(scene, &mut found);
    found
}

fn by_shop(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let pours = scene.shop.sittings.iter().any(|sitting| sitting.poured_kg > 0.0);
    for gate in &scene.shop.gates {
        let concerns_pouring = gate.step != "paint";
        if let Gate::Shut { why, way_out } = &gate.gate
            && (pours || !concerns_pouring)
        {
            found.push(Blocked {
                code: gate.rules.first().copied().unwrap_or(id::CLIMATE_UNKNOWN),
                step: gate.step.to_owned(),
                why: why.clone(),
                way_out: way_out.clone(),
                marks: Vec::new(),
            });
        }
    }
}

fn by_air(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let Some(air) = &scene.shop.air else { return };
    if let Gate::Shut { why, way_out } = &air.gate {
        let marks = scene
            .shop
            .sittings
            .get(air.worst)
            .and_then(|sitting| scene.plan.repairs.get(sitting.repair))
            .map(|repair| {
                repair
                    .findings
                    .iter()
                    .filter_map(|number| Some(scene.findings.get(*number)?.mark().id))
                    .collect()
            })
            .unwrap_or_default();
        found.push(Blocked {
            code: id::AIR_BLOCK,
            step: "laying resin or gel coat in this room".to_owned(),
            why: why.clone(),
            way_out: way_out.clone(),
            marks,
        });
    }
}

fn by_tests(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let paint = scene.job.survey.old_paint;
    if matches!(paint, HazardTest::Untested | HazardTest::Found) {
        let (why, way_out) = if paint == HazardTest::Found {
            (
                "the old paint was tested and lead or chromate was found",
                "licensed or specially equipped work only; no dry sanding, no hot air",
            )
        } else {
            (
                "the old paint was not tested for lead and chromate",
                "send a flake of every layer to a laboratory, then enter old_paint: clear or found",
            )
        };
        found.push(Blocked {
            code: id::PAINT_TEST,
            step: "sanding or stripping old paint".to_owned(),
            why: why.to_owned(),
            way_out: way_out.to_owned(),
            marks: Vec::new(),
        });
    }
    let untested: Vec<u32> = scene
        .repaired()
        .map(|(_, finding)| finding.mark())
        .filter(|mark| {
            mark.kind == MarkKind::OldRepair
                && matches!(mark.old_filler, HazardTest::Untested | HazardTest::Found)
        })
        .map(|mark| mark.id)
        .collect();
    if !untested.is_empty() {
        found.push(Blocked {
            code: id::FILLER_TEST,
            step: "sanding or cutting the old filler".to_owned(),
            why: "the old filler was not tested for asbestos, or asbestos was found".to_owned(),
            way_out: "a laboratory takes a sample first; enter old_filler: clear, or leave it to licensed work".to_owned(),
            marks: untested,
        });
    }
}

fn by_topcoat(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let topcoat = scene.job.survey.topcoat;
    if !matches!(topcoat, Topcoat::Unnamed | Topcoat::TwoPackIsocyanate) {
        return;
    }
    let booth = scene.shop.place.place == ShopPlace::SprayBooth;
    let owner = scene.shop.place.worker == ShopWorker::Owner;
    if booth && !owner {
        return;
    }
    let taken = if topcoat == Topcoat::Unnamed {
        "nobody has named the topcoat, so an isocyanate hardener is assumed"
    } else {
        "the topcoat has an isocyanate hardener"
    };
    let who = if owner { "the owner is to do the work" } else { "the shop is no spray booth" };
    found.push(Blocked {
        code: id::ISOCYANATE,
        step: "spraying paint".to_owned(),
        why: format!("{taken}, and {who}"),
        way_out: "leave the spraying to a body shop with a booth and air-fed masks, or name a one-pack topcoat that is brushed (topcoat: brush_enamel)".to_owned(),
        marks: Vec::new(),
    });
}

fn by_material(scene: &Scene<'_>, found: &mut Vec<Blocked>) {
    let marks: Vec<u32> = scene
        .repaired()
        .filter(|(repair, _)| {
            scene
                .panels
                .get(repair.panel)
                .is_some_and(|panel| panel.of.panel.material == Material::Unknown)
        })
        .map(|(_, finding)| finding.mark().id)
        .collect();
    if !marks.is_empty() {
        found.push(Blocked {
            code: id::MATERIAL_UNKNOWN,
            step: "buying or mixing resin".to_owned(),
            why: "nobody has said what the moulding is made of".to_owned(),
            way_out: "look at the back: rough is hand laid, two smooth faces are pressed. Sand a hidden spot: polyester makes powder, thermoplastic smears. Never a burn test. Then enter the material".to_owned(),
            marks,
        });
    }
}
