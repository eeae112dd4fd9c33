//! Climate, times, sittings and air as lines of the report.

use super::lines::codes;
use super::lines_climate;
use super::model::*;
use crate::damage::Finding;
use crate::read::job::Job;
use crate::repair::Plan;
use crate::safety::Blocked;
use crate::safety::table::Work;
use crate::shop::climate::Gate;
use crate::shop::forecast::Milestone;
use crate::shop::plan::ShopPlan;

pub(super) fn band(milestone: &Milestone, unit_min: f64) -> TimeBand {
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
pub(super) fn shop(
    job: &Job,
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    shop: &ShopPlan,
    blocked: &[Blocked],
) -> ShopLines {
    let repair = |number: usize| {
        plan.repairs.get(number).map_or_else(String::new, |repair| repair.id.clone())
    };
    // What may not be done has no time: neither has what follows it.
    let shut = |work: &[Work]| {
        blocked.iter().any(|block| block.marks.is_empty() && work.contains(&block.work))
    };
    let no_lay_up = shut(&[Work::LayUp]);
    let no_paint = no_lay_up || shut(&[Work::Paint]);
    let times = shop.forecast.as_ref().filter(|_| !no_lay_up);
    let paint_times = shop.forecast.as_ref().filter(|_| !no_paint);
    let mut untimed = Vec::new();
    if no_lay_up {
        untimed.push("lay-up, gel and sanding".to_owned());
    }
    if no_paint {
        untimed.push("primer and colour".to_owned());
    }
    let marks_of = |number: usize| -> Vec<u32> {
        plan.repairs
            .get(number)
            .into_iter()
            .flat_map(|repair| &repair.findings)
            .filter_map(|number| Some(findings.get(*number)?.mark().id))
            .collect()
    };
    ShopLines {
        from: shop.place.from.clone(),
        place: shop.place.place.words().to_owned(),
        worker: shop.place.worker.words().to_owned(),
        pour_c: shop.place.pour.map(|pour| round6(pour.coldest().1)),
        night_c: shop.place.night_c.map(round6),
        humidity_percent: shop.place.humidity_percent.map(round6),
        catalyst_percent: round6(shop.doses.laminating_percent),
        gel_catalyst_percent: round6(shop.doses.coat_percent),
        pot_most_g: round6(shop.pot_most_g),
        gates: shop.gates.iter().map(gate_line).collect(),
        climate: lines_climate::climate(shop),
        warming: lines_climate::warming(job, shop),
        brought_in: lines_climate::brought_in(&job.book, shop),
        untimed,
        gel_min: times.map(|times| band(&times.gel, 1.0)),
        night: times.map_or_else(Vec::new, |_| shop.night.iter().map(night).collect()),
        sandable_h: times.map(|times| band(&times.sandable, 60.0)),
        primer_days: paint_times.map(|times| band(&times.paintable, 1440.0)),
        gloss_days: paint_times.map(|times| band(&times.gloss_or_dark, 1440.0)),
        softens_after_a_day_c: shop.softens_after_a_day_c.filter(|_| !no_lay_up).map(round6),
        sittings: shop
            .sittings
            .iter()
            .map(|sitting| {
                let mix = sitting.mixes.first();
                let laid = sitting.laid.as_ref();
                let peak = laid.and_then(|stage| stage.peak);
                SittingLine {
                    repair: repair(sitting.repair),
                    stage: sitting.stage,
                    what: sitting.what.to_owned(),
                    plies: laid.map_or(0, |stage| stage.plies.len()),
                    glass_kg_m2: laid.map_or(0.0, |stage| round6(stage.glass_kg_m2)),
                    peak_low_c: peak.map(|peak| round6(peak.low_c)),
                    peak_high_c: peak.map(|peak| round6(peak.high_c)),
                    peak_most_c: peak.map(|peak| round6(peak.most_c)),
                    next_stage_min: laid.and_then(|stage| stage.next_min).map(round6),
                    poured_kg: round6(sitting.poured_kg),
                    mixes: sitting.mixes.len(),
                    mix_g: mix.map(|mix| round6(mix.resin_g)),
                    mix_catalyst_g: mix.map(|mix| round6(mix.catalyst_g)),
                    mix_catalyst_ml: mix.map(|mix| round6(mix.catalyst_ml)),
                    use_by_min: mix.map(|mix| round6(mix.use_by_min)),
                    styrene_g: round6(sitting.styrene_g[2]),
                    blocked_by: codes(blocked, &marks_of(sitting.repair), |work| {
                        !matches!(work, Work::Paint | Work::Warming)
                    }),
                }
            })
            .collect(),
        air: air(shop, &repair),
    }
}

fn night(hour: &crate::shop::night::Hour) -> NightLine {
    NightLine {
        after_h: round6(hour.after_min / 60.0),
        at_c: round6(hour.at_c),
        conversion: hour.conversion.map(round6),
    }
}

pub(super) fn gate_line(step: &crate::shop::plan::StepGate) -> GateLine {
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
        stop_air_m3_h: air.stop_air_m3_h.map(round6),
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
                most_kg: air
                    .near_ppm
                    .filter(|near_ppm| *near_ppm > 0.0)
                    .map(|near_ppm| round6(sitting.poured_kg * limit.ppm / near_ppm)),
                needed_factor: inside.then(|| round6(*factor)),
                document: format!("{}, {}", limit.document, limit.edition),
                evidence: limit.evidence.to_string(),
            })
            .collect(),
    })
}
