//! What if these plies were laid with this resin in this shop? One question, no survey.
//!
//! Takes a resin of the stock, a dose, temperatures and plies; gives the gates, milestones with
//! their bands, the stages with the bounds of their peaks, what would happen if all were laid at
//! once, and when the fresh laminate softens again.

use std::sync::Arc;

use super::climate::PourTemperatures;
use super::course::Course;
use super::course::settle::{Settled, settle};
use super::cure::{Kinetics, Resin as CureResin, conversion_after};
use super::families::{
    EPOXY_HEAT_J_KG, Epoxy, POLYESTER_HEAT_J_KG, Rates, VINYL_ESTER, VINYL_ESTER_HEAT_J_KG,
    film_gel_min, milestones_of,
};
use super::forecast::{Forecast, day_then_night, forecast};
use super::gel_time::{GEL_ACTIVATION_KJ_MOL, GelClock};
use super::plan::{Place, StepGate, targets};
use super::post_cure::{Hold, holds};
use super::stages::{Behind, Conditions, Peak, Ply, Stage, StageRules, choose};
use super::staging::stage_rules;
use super::steps;
use crate::materials::Doses;
use crate::model::shop::{ShopPlace, ShopWorker};
use crate::model::stock::{Resin, ResinFamily};
use crate::rules::{Book, id};
use crate::wording::Fault;

/// Ways of post-curing that are worked out: oven at most, °C, and hours at it. Usual wording of
/// data sheets, from memory.
const POST_CURES: [(f64, f64); 3] = [(40.0, 16.0), (60.0, 8.0), (80.0, 3.0)];

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Catalyst, % by mass; without meaning for epoxy.
    pub percent: f64,
    /// Air, panel and resin from the pour to the gel, °C.
    pub day_c: f64,
    /// After the gel, °C.
    pub night_c: f64,
    /// Relative humidity, where somebody read it, %.
    pub humidity_percent: Option<f64>,
    /// Plies from the floor up.
    pub plies: Vec<Ply>,
    /// What they are laid on.
    pub behind: Behind,
    /// An outer gel or paint face stays on behind them.
    pub keeps_face: bool,
    /// The air hour by hour, instead of the temperatures and the humidity above.
    pub course: Option<Arc<Course>>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Every step that was judged.
    pub gates: Vec<StepGate>,
    /// Lay-up is refused: no times follow.
    pub refused: bool,
    /// Gel time of a film, min: early, likely, late.
    pub gel_min: Option<[f64; 3]>,
    /// Milestones; nothing when refused, or for epoxy.
    pub forecast: Option<Forecast>,
    /// The stages.
    pub stages: Vec<Stage>,
    /// Peak if all were laid at once; nothing when refused.
    pub all_at_once: Option<Peak>,
    /// Glass transition after a day, °C.
    pub softens_after_a_day_c: Option<f64>,
    /// Post-cures from there.
    pub post_cures: Vec<Vec<Hold>>,
    /// Air, panel and resin at the pour and after the gel, °C; the coldest where hours were read.
    pub pour_c: f64,
    /// After the gel, °C.
    pub night_c: f64,
    /// What the hours mean, where they were read.
    pub settled: Option<Settled>,
}

/// Answers.
///
/// # Errors
/// Values that make no sense to the models.
pub fn answer(book: &Book, resin: &Resin, asked: &Asked) -> Result<Told, Fault> {
    let stand_still_below_c = book.figure(id::CLOCK_STANDS);
    let mut staged = CureResin {
        clock: GelClock {
            reference_min: resin.gel_time_min,
            reference_c: resin.gel_time_at_c,
            reference_percent: resin.gel_time_percent,
            activation_kj_mol: GEL_ACTIVATION_KJ_MOL,
            dose_exponent: 1.0,
        },
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: asked.percent,
        stand_still_below_c,
    };
    let (rates, heat_j_kg) = match resin.family {
        ResinFamily::Polyester => {
            staged.check()?;
            (Rates::Staged(staged), POLYESTER_HEAT_J_KG)
        }
        ResinFamily::VinylEster => {
            staged.kinetics = VINYL_ESTER;
            staged.check()?;
            (Rates::Staged(staged), VINYL_ESTER_HEAT_J_KG)
        }
        ResinFamily::Epoxy => {
            let epoxy =
                Epoxy::of_gel_time(resin.gel_time_min, resin.gel_time_at_c, stand_still_below_c)?;
            (Rates::Epoxy(epoxy), EPOXY_HEAT_J_KG)
        }
    };
    let band = book.figure(id::GEL_BAND) / 100.0;
    let mut place = place_of(asked);
    let doses = Doses {
        laminating_percent: asked.percent,
        coat_percent: book.figure(id::CATALYST_DOSE_GEL),
        catalyst_g_ml: book.figure(id::CATALYST_VOLUME),
    };
    let gel_min = |t_c: f64| film_gel_min(&rates, t_c).unwrap_or(0.0);
    let targets = match &rates {
        Rates::Staged(staged) => Some((staged, milestones_of(&staged.kinetics, targets(book)))),
        Rates::Epoxy(_) => None,
    };
    let cure = targets.as_ref().map(|(staged, targets)| (*staged, targets));
    let settled = settle(book, &mut place, &gel_min, &doses, cure)?;
    let (pour_c, hottest_c, night_c) = match (place.pour, place.hottest_c(), place.night_c) {
        (Some(pour), Some(hottest_c), Some(night_c)) => (pour.coldest().1, hottest_c, night_c),
        _ => (asked.day_c, asked.day_c, asked.night_c),
    };
    let mut gates = match &settled {
        Some(settled) => settled.gates.clone(),
        None => {
            let warm_c = pour_c.max(book.figure(id::LAYUP_COLD_WARN));
            steps::gates(book, &place, &doses, gel_min(warm_c) * (1.0 + band))
        }
    };
    gates.retain(|gate| bears_on(gate, resin.family));
    let mut refused = gates.iter().any(|gate| gate.gate.is_shut());
    let conditions = Conditions {
        reaction: rates,
        heat_j_kg,
        resin_kg_m3: resin.density_g_cm3 * 1000.0,
        coldest_c: pour_c,
        hottest_c,
    };
    let rules = stage_rules(book, asked.keeps_face);
    let stages =
        choose(&asked.plies, None, asked.behind, (!refused).then_some(&conditions), &rules)?;
    let too_hot = steps::one_ply(stages.iter().filter_map(|stage| stage.peak));
    refused |= too_hot.is_some();
    gates.extend(too_hot);
    let mut told = Told {
        gates,
        refused,
        gel_min: None,
        forecast: None,
        stages,
        all_at_once: None,
        softens_after_a_day_c: None,
        post_cures: Vec::new(),
        pour_c,
        night_c,
        settled,
    };
    if refused {
        return Ok(told);
    }
    told.gel_min = film_gel_min(&rates, pour_c)
        .map(|gel_min| [gel_min * (1.0 - band), gel_min, gel_min * (1.0 + band)]);
    let loose = StageRules { cap_kg_m2: 1.0e6, peak_most_c: 1.0e6, ..rules };
    let whole = choose(&asked.plies, None, asked.behind, Some(&conditions), &loose)?;
    told.all_at_once = whole
        .first()
        .and_then(|stage| stage.peak)
        .map(|peak| Peak { most_c: rules.peak_most_c, ..peak });
    if let Rates::Staged(staged) = rates {
        let gel_min = staged.clock.gel_min(pour_c, asked.percent);
        let steady = day_then_night(pour_c, night_c, gel_min);
        let course = asked.course.as_ref().zip(told.settled.as_ref());
        // From the first pour that the hours allow.
        let first = course.and_then(|(course, settled)| {
            let first = settled.hours.first()?.usable().next()?;
            Some((course, first.from_min as f64))
        });
        let hours = |minute: f64| match first {
            Some((course, start)) => course.curing_c(start + minute),
            None => steady(minute),
        };
        told.forecast = match &told.settled {
            Some(settled) => settled.forecast.clone(),
            None => {
                let milestones = milestones_of(&staged.kinetics, self::targets(book));
                Some(forecast(&staged, &hours, &milestones)?)
            }
        };
        let after_a_day = conversion_after(&staged, &hours, 1440.0)?;
        told.softens_after_a_day_c = Some(staged.kinetics.glass.at_conversion_c(after_a_day));
        let above_k = book.figure(id::POST_CURE_ABOVE);
        told.post_cures = POST_CURES
            .into_iter()
            .map(|(top_c, top_h)| holds(&staged, after_a_day, top_c, top_h, above_k))
            .collect::<Result<_, _>>()?;
    }
    Ok(told)
}

/// Whether the question bears on a step: nobody asked about paint or gel coat.
fn bears_on(gate: &StepGate, family: ResinFamily) -> bool {
    let of_dose = gate.step.contains("dose");
    let unread = gate.rules.contains(&id::CLIMATE_UNKNOWN);
    gate.step != "paint"
        && !unread
        && (!of_dose || (gate.step.contains("lay-up") && family != ResinFamily::Epoxy))
}

fn place_of(asked: &Asked) -> Place {
    let pour = PourTemperatures { air_c: asked.day_c, panel_c: asked.day_c, resin_c: asked.day_c };
    Place {
        from: String::new(),
        pour: Some(pour),
        hot: None,
        course: asked.course.clone(),
        night_c: Some(asked.night_c),
        humidity_percent: asked.humidity_percent,
        place: ShopPlace::default(),
        room: None,
        room_assumed: false,
        worker: ShopWorker::Owner,
        people: 1,
    }
}
