//! Cautions of the vehicle itself: what is stored in it, heaters near it, marks low on it.

use super::Scene;
use super::raise::Add;
use crate::model::body::Presence;
use crate::model::panel::{Carries, LoadRow, MouldingKind, SurfaceForm};
use crate::model::shop::Heater;
use crate::repair::{Action, may_part};
use crate::shop::climate::Gate;

pub(super) fn vehicle(scene: &Scene<'_>, add: Add<'_>) {
    let energy = scene.energy;
    let says = |presence: Presence| presence.words().to_owned();
    if energy.traction_battery != Presence::Absent {
        add(
            "BATTERY",
            format!("traction battery: {}", says(energy.traction_battery)),
            "Charging off; isolated and proved dead by someone trained; pack and charger covered; no grinding or hot air within 1 m; no heating of the body with the pack aboard.".to_owned(),
            false,
        );
    }
    if energy.fuel != Presence::Absent {
        add(
            "FUEL",
            format!("fuel or gas: {}", says(energy.fuel)),
            "Make tank, filler and lines safe before any grinding; never grind over a tank."
                .to_owned(),
            false,
        );
    }
    if energy.pyrotechnic != Presence::Absent {
        add(
            "PYRO",
            format!("pyrotechnic devices: {}", says(energy.pyrotechnic)),
            "Have them made safe by the maker's procedure; no heat, hammer or static near belts with pretensioners or bags.".to_owned(),
            false,
        );
    }
    let heaters: Vec<&str> = scene
        .job
        .shop
        .iter()
        .flat_map(|(_, shop)| &shop.heaters)
        .map(|heater: &Heater| heater.words())
        .collect();
    let cold = scene.shop.gates.iter().any(|gate| match &gate.gate {
        Gate::Shut { way_out, .. } => way_out.to_lowercase().contains("warm"),
        Gate::Open | Gate::Warned { .. } => false,
    });
    if !heaters.is_empty() || cold {
        let trigger = if heaters.is_empty() {
            "this answer advises to warm the shop".to_owned()
        } else {
            format!("listed: {}", heaters.join(", "))
        };
        add(
            "HEATER",
            trigger,
            "Heat first, heater out and cold, then pour. No flame, glowing element or unflued heater with vapour about: it lights vapour, gives off carbon monoxide and wets cold panels. The air that carries styrene out has to be warmed as well.".to_owned(),
            false,
        );
    }
}

pub(super) fn marks(scene: &Scene<'_>, add: Add<'_>) {
    let mut low = Vec::new();
    let (mut wet, mut parting) = (Vec::new(), Vec::new());
    for (finding, decision) in scene.findings.iter().zip(&scene.plan.decisions) {
        let mark = finding.mark();
        let Some(panel) = scene.panels.get(finding.placed.panel) else { continue };
        let lifted = finding.judged.reasons.iter().any(|reason| {
            reason.carries.is_some_and(|carries| {
                matches!(carries, Carries::Jacking | Carries::Lifting)
                    && carries.row() == LoadRow::Moving
            })
        });
        let below = matches!(
            panel.of.panel.surface,
            Some(SurfaceForm::Moulding(ref moulding))
                if matches!(
                    moulding.kind,
                    MouldingKind::Sill | MouldingKind::Arch | MouldingKind::Valance | MouldingKind::Tub
                )
        );
        if lifted || (below && decision.action != Action::Watch) {
            low.push(mark.id.to_string());
        }
        if finding.wet {
            wet.push(mark.id.to_string());
        }
        if may_part(finding) {
            parting.push(mark.id.to_string());
        }
    }
    if !low.is_empty() {
        add(
            "UNDER",
            format!("mark {} is low on the body or at a jacking point", low.join(", ")),
            "Never under a vehicle on a jack: rated stands at points that are not themselves marked, a second person there.".to_owned(),
            false,
        );
    }
    if !wet.is_empty() {
        add(
            "MOIST",
            format!("mark {} counts as wet", wet.join(", ")),
            "No date until three readings at least 48 h apart equal the dry reference and none rises. Opening the wet side dries it fastest.".to_owned(),
            false,
        );
    }
    if !parting.is_empty() {
        add(
            "PART",
            format!("mark {} goes through and may reach two edges", parting.join(", ")),
            "The panel may part: hold it together before it is moved, lifted or driven.".to_owned(),
            false,
        );
    }
}
