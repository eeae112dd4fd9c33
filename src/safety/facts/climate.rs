//! Warmth and damp where the work is done, and what fresh laminate stands.

use super::super::Scene;
use super::super::fact::Fact;
use super::super::value::Facts;
use crate::dew_point::{dew_point_c, largest_rh_percent};
use crate::rules::id;
use crate::shop::climate::Gate;
use crate::shop::cure::Kinetics;
use crate::wording::HEATER_CAUTION;

/// Conversion of a laminate after a day at shop temperature (calibrated model).
const DAY_OLD: f64 = 0.82;

pub(super) fn add(scene: &Scene<'_>, facts: &mut Facts) {
    if scene.plan.repairs.is_empty() {
        return;
    }
    let book = &scene.job.book;
    let place = &scene.shop.place;
    facts.number_if(Fact::HumidityPercent, place.humidity_percent);
    facts.number(Fact::WarmToC, book.figure(id::LAYUP_COLD_WARN));
    facts.number(Fact::HoldMin, scene.shop.hold_min);
    facts.number(Fact::FormTgC, Kinetics::GENERAL_PURPOSE.glass.at_conversion_c(DAY_OLD));
    if let Some(pour) = &place.pour {
        facts.number(Fact::ColdestC, pour.coldest().1);
        facts.number_if(Fact::HottestC, place.hottest_c());
        facts.number(Fact::AirC, pour.air_c);
        if let Some(damp) = place.humidity_percent
            && let Ok(dew_c) = dew_point_c(pour.air_c, damp)
        {
            facts.number(Fact::DewC, dew_c);
            facts.number(Fact::SurfaceAboveDewK, pour.panel_c - dew_c);
            let margin = book.figure(id::DEW_MARGIN);
            let most = largest_rh_percent(pour.air_c, pour.panel_c, margin).ok();
            facts.number_if(Fact::HumidityMostPercent, most);
        }
    }
    let gates = || scene.shop.gates.iter().filter(|gate| !gate.step.contains("dose"));
    let not_open: Vec<String> = gates()
        .filter_map(|gate| match &gate.gate {
            Gate::Open => None,
            Gate::Warned { why } | Gate::Shut { why, .. } => Some(format!("{}: {why}", gate.step)),
        })
        .collect();
    facts.said(Fact::NotOpen, not_open.join("; "));
    // Advice to warm is worded in one place only, and always with this caution.
    facts.yes(
        Fact::WarmingAdvised,
        scene.shop.gates.iter().any(|gate| match &gate.gate {
            Gate::Shut { way_out, .. } => way_out.contains(HEATER_CAUTION),
            Gate::Open | Gate::Warned { .. } => false,
        }),
    );
    let heaters: Vec<&str> = scene
        .job
        .shop
        .iter()
        .flat_map(|(_, shop)| &shop.heaters)
        .map(|heater| heater.words())
        .collect();
    facts.said(Fact::Heaters, heaters.join(", "));
}
