//! What if these plies were laid with this resin in this shop? One question, no survey.
//!
//! Takes a resin of the stock, a dose, temperatures and plies; gives the gates, milestones with
//! their bands, the stages with the bounds of their peaks, what would happen if all were laid at
//! once, and when the fresh laminate softens again.

use super::climate::PourTemperatures;
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
}

/// Answers.
///
/// # Errors
/// Values that make no sense to the models.
pub fn answer(book: &Book, resin: &Resin, asked: &Asked) -> Result<Told, Fault> {
    let pour = PourTemperatures { air_c: asked.day_c, panel_c: asked.day_c, resin_c: asked.day_c };
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
    let warm_c = asked.day_c.max(book.figure(id::LAYUP_COLD_WARN));
    let hold_min = film_gel_min(&rates, warm_c).unwrap_or(0.0) * (1.0 + band);
    let mut gates = gates(book, resin.family, asked, pour, hold_min);
    let mut refused = gates.iter().any(|gate| gate.gate.is_shut());
    let conditions = Conditions {
        reaction: rates,
        heat_j_kg,
        resin_kg_m3: resin.density_g_cm3 * 1000.0,
        coldest_c: asked.day_c,
        hottest_c: asked.day_c,
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
    };
    if refused {
        return Ok(told);
    }
    told.gel_min = film_gel_min(&rates, asked.day_c)
        .map(|gel_min| [gel_min * (1.0 - band), gel_min, gel_min * (1.0 + band)]);
    let loose = StageRules { cap_kg_m2: 1.0e6, peak_most_c: 1.0e6, ..rules };
    let whole = choose(&asked.plies, None, asked.behind, Some(&conditions), &loose)?;
    told.all_at_once = whole
        .first()
        .and_then(|stage| stage.peak)
        .map(|peak| Peak { most_c: rules.peak_most_c, ..peak });
    if let Rates::Staged(staged) = rates {
        let gel_min = staged.clock.gel_min(asked.day_c, asked.percent);
        let hours = day_then_night(asked.day_c, asked.night_c, gel_min);
        told.forecast =
            Some(forecast(&staged, &hours, &milestones_of(&staged.kinetics, targets(book)))?);
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

/// The steps that the question bears on.
fn gates(
    book: &Book,
    family: ResinFamily,
    asked: &Asked,
    pour: PourTemperatures,
    hold_min: f64,
) -> Vec<StepGate> {
    let place = Place {
        from: String::new(),
        pour: Some(pour),
        hot: None,
        course: None,
        night_c: Some(asked.night_c),
        humidity_percent: asked.humidity_percent,
        place: ShopPlace::default(),
        room: None,
        room_assumed: false,
        worker: ShopWorker::Owner,
        people: 1,
    };
    let doses = Doses {
        laminating_percent: asked.percent,
        coat_percent: book.figure(id::CATALYST_DOSE_GEL),
        catalyst_g_ml: book.figure(id::CATALYST_VOLUME),
    };
    let mut gates = steps::gates(book, &place, &doses, hold_min);
    gates.retain(|gate| {
        let of_dose = gate.step.contains("dose");
        let unread = gate.rules.contains(&id::CLIMATE_UNKNOWN);
        gate.step != "paint"
            && !unread
            && (!of_dose || (gate.step.contains("lay-up") && family != ResinFamily::Epoxy))
    });
    gates
}
