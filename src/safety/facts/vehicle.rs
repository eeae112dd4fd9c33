//! The vehicle: what is stored in it, what is heavy, low, torn, wet or seized.

use super::super::Scene;
use super::super::fact::Fact;
use super::super::value::Facts;
use super::work::{is_low, laminate_kg_m3};
use crate::model::body::Presence;
use crate::model::panel::{Carries, FixingState, LoadRow, Role};
use crate::model::survey::{Evidence, MarkKind};
use crate::repair::{Action, may_part};
use crate::rules::id;
use crate::surface::placed::PlacedPanel;

pub(super) fn add(scene: &Scene<'_>, facts: &mut Facts) {
    if scene.findings.is_empty() {
        return;
    }
    energy(scene, facts);
    marks(scene, facts);
    masses(scene, facts);
    let mut seized = Vec::new();
    let mut doubtful = Vec::new();
    let mut belts = Vec::new();
    for panel in scene.panels {
        let marked = scene.marks_on(&panel.of.name).next().is_some();
        for fixing in &panel.fixings {
            let said = format!("{} of the {}", fixing.of.name, panel.of.name);
            let (state, carries) = (fixing.of.state, fixing.of.carries);
            let rusted = matches!(
                state,
                FixingState::Seized | FixingState::Corroded | FixingState::CorrodedThrough
            );
            if rusted {
                seized.push(said.clone());
            }
            if carries.row() == LoadRow::BodyMount
                && !panel.of.fixings_assumed
                && (rusted || state.has_failed())
            {
                doubtful.push(format!("{said} ({})", state.words()));
            }
            let webbing = matches!(carries, Carries::Belt | Carries::Seat | Carries::ChildSeat);
            if webbing && marked {
                belts.push(said);
            }
        }
    }
    facts.said(Fact::SeizedFixings, seized.join(", "));
    facts.said(Fact::BodyMountsDoubtful, doubtful.join(", "));
    facts.said(Fact::BeltsNear, belts.join(", "));
}

fn energy(scene: &Scene<'_>, facts: &mut Facts) {
    let energy = scene.energy;
    let live: Vec<String> = scene
        .job
        .body
        .iter()
        .flat_map(|body| &body.live_parts)
        .filter_map(|part| {
            let marks: Vec<String> =
                scene.marks_on(&part.behind).map(|finding| finding.mark().id.to_string()).collect();
            let noun = if marks.len() == 1 { "mark" } else { "marks" };
            (!marks.is_empty()).then(|| {
                format!("{} behind the {} ({noun} {})", part.what, part.behind, marks.join(", "))
            })
        })
        .collect();
    facts.said(Fact::LiveParts, live.join("; "));
    let said = |presence: Presence| match presence {
        Presence::Unknown => "not known, taken to be there".to_owned(),
        other => other.words().to_owned(),
    };
    let there = |presence: Presence| presence != Presence::Absent;
    if there(energy.traction_battery) {
        facts.said(Fact::BatteryThere, said(energy.traction_battery));
        let aboard = energy.traction_battery != Presence::TakenOut;
        facts.yes(Fact::PackAboard, aboard);
        facts
            .number_if(Fact::BatteryLimitC, energy.battery_heat_limit_c.map(|limit| limit.value()));
    }
    if there(energy.fuel) {
        facts.said(Fact::FuelThere, said(energy.fuel));
    }
    if there(energy.pyrotechnic) {
        facts.said(Fact::PyroThere, said(energy.pyrotechnic));
    }
}

fn marks(scene: &Scene<'_>, facts: &mut Facts) {
    let (mut jack, mut low, mut wet) = (Vec::new(), Vec::new(), Vec::new());
    let (mut parting, mut broken) = (Vec::new(), Vec::new());
    for (finding, decision) in scene.findings.iter().zip(&scene.plan.decisions) {
        let mark = finding.mark();
        if finding.is_repaired() {
            continue;
        }
        let at_jack = finding
            .judged
            .reasons
            .iter()
            .any(|reason| matches!(reason.carries, Some(Carries::Jacking | Carries::Lifting)));
        if at_jack {
            jack.push(mark.id);
        }
        if at_jack || (decision.action != Action::Watch && scene.touched(finding).any(is_low)) {
            low.push(mark.id);
        }
        if finding.waits_to_dry() {
            wet.push(mark.id);
        }
        if may_part(finding) {
            parting.push(mark.id);
        }
        let torn = matches!(mark.kind, MarkKind::Hole | MarkKind::ThroughCrack)
            || mark.evidence.contains(&Evidence::LooseTornEdge)
            || mark.evidence.contains(&Evidence::BrokenFibre);
        if torn {
            broken.push(mark.id);
        }
    }
    facts.marks(Fact::JackMarks, jack);
    facts.marks(Fact::LowMarks, low);
    facts.marks(Fact::WetMarks, wet);
    facts.marks(Fact::PartingMarks, parting);
    facts.marks(Fact::BrokenMarks, broken);
}

fn masses(scene: &Scene<'_>, facts: &mut Facts) {
    let density = laminate_kg_m3(scene);
    let gel_mm = scene.job.book.figure(id::GEL_ASSUMED);
    let mass_kg = |panel: &PlacedPanel<'_>| {
        let parent = crate::damage::depth::parent(&panel.of.panel, &scene.job.book, |_| 1.1);
        panel.face_area_mm2() * 1e-6 * (parent.glass_mm + gel_mm) / 1000.0 * density
    };
    let off: Vec<String> = scene
        .panels
        .iter()
        .filter(|panel| panel.of.panel.roles.contains(&Role::Opens))
        .filter(|panel| {
            scene.findings.iter().zip(&scene.plan.decisions).any(|(finding, decision)| {
                decision.action != Action::Watch
                    && scene.touched(finding).any(|one| one.of.name == panel.of.name)
            })
        })
        .map(|panel| format!("{} {:.1} kg", panel.of.name, mass_kg(panel)))
        .collect();
    facts.said(Fact::PanelsOff, off.join(", "));
    facts.number(Fact::BodyKg, scene.panels.iter().map(mass_kg).sum());
}
