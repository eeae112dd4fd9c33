//! The shop's answer for one job: whose climate it is, which steps it allows, when resin gels and
//! may be sanded and painted, stages and mixes, and what the air of the room does.

use super::air::{self, BlockLimits, Room, STYRENE_FLAMMABLE_PERCENT, STYRENE_G_MOL};
use super::climate::Gate;
use super::course::settle;
use super::course::windows::StepHours;
use super::cure::{Kinetics, Resin as CureResin, conversion_after};
use super::forecast::{CureTargets, Forecast, day_then_night, forecast};
use super::gel_time::{GEL_ACTIVATION_KJ_MOL, GelClock};
use super::laid_on::LaidOn;
use super::limits::{EXPOSURE_LIMITS, ExposureLimit};
use super::mixing::Mix;
use super::night::{self, Hour};
pub use super::place::{Place, place};
use super::sittings::GEL_COAT;
use super::stages::Stage;
use super::{sittings, steps};
use crate::materials::{Doses, JobMaterials, ResinKind};
use crate::model::shop::ShopWorker;
use crate::model::stock::{ResinFamily, Stock};
use crate::rules::{Book, id};

/// A step and whether it may be done.
#[derive(Debug, Clone, PartialEq)]
pub struct StepGate {
    /// The step.
    pub step: &'static str,
    /// The rules that decide.
    pub rules: Vec<&'static str>,
    /// The answer.
    pub gate: Gate,
}

/// One stage of one repair, laid in one sitting.
#[derive(Debug, Clone, PartialEq)]
pub struct Sitting {
    /// Number of the repair.
    pub repair: usize,
    /// Number of the stage, from 1; the coat is the last.
    pub stage: usize,
    /// What is laid.
    pub what: &'static str,
    /// The resin it pours; a coat goes by its own name.
    pub kind: ResinKind,
    /// Its plies with how hot they may get and when the next may be laid; nothing for a coat.
    pub laid: Option<Stage>,
    /// Resin or coat poured, kg.
    pub poured_kg: f64,
    /// Mixes.
    pub mixes: Vec<Mix>,
    /// Styrene given off, g: the lowest of the published forms, the deciding one, the highest.
    pub styrene_g: [f64; 3],
    /// Time of laying, min.
    pub laying_min: f64,
}

/// What the air of the room does.
#[derive(Debug, Clone)]
pub struct AirAnswer {
    /// The sitting with the highest peak, as a number into the sittings.
    pub worst: usize,
    /// Every sitting whose peak is too much for the room.
    pub too_much: Vec<usize>,
    /// The level at which a sitting is stopped, ppm, well mixed.
    pub held_ppm: f64,
    /// Its peak in the room, ppm, well mixed; nothing outdoors.
    pub peak_ppm: Option<f64>,
    /// The head over the job, ppm.
    pub near_ppm: Option<f64>,
    /// Peak if everything of the job were laid at once, ppm.
    pub all_at_once_ppm: Option<f64>,
    /// Styrene of the whole job, g, by the highest form.
    pub all_styrene_g: f64,
    /// Resin that one sitting may pour before the block, kg.
    pub most_resin_kg: Option<f64>,
    /// The same by what is poured, gel coat or resin, kg.
    pub most_by_what: Vec<(&'static str, f64)>,
    /// Each limit held: the limit, fresh air for it in m3/h, the mask factor it needs.
    pub limits: Vec<(&'static ExposureLimit, f64, f64)>,
    /// Minutes until the room is down to the strictest 8-hour limit; nothing when it never is.
    pub purge_min: Option<f64>,
    /// Fresh air that keeps the room out of the stop, driven, m3/h.
    pub stop_air_m3_h: Option<f64>,
    /// May it be laid here?
    pub gate: Gate,
}

/// The shop's answer.
#[derive(Debug, Clone)]
pub struct ShopPlan {
    /// Climate and room.
    pub place: Place,
    /// Every step.
    pub gates: Vec<StepGate>,
    /// Hours in which resin may be laid, then paint; nothing without readings hour by hour.
    pub hours: Option<[StepHours; 2]>,
    /// Share of the hours read in which a laminate is too cold to cure at all.
    pub stands_still_share: Option<f64>,
    /// When resin gels, may be sanded and painted; nothing without temperatures.
    pub forecast: Option<Forecast>,
    /// Resin through its first day and night; empty without a forecast.
    pub night: Vec<Hour>,
    /// Glass transition of the polyester a day after the pour, °C; nothing without temperatures.
    pub softens_after_a_day_c: Option<f64>,
    /// Sittings of the high case.
    pub sittings: Vec<Sitting>,
    /// The air; nothing when nothing with styrene is poured.
    pub air: Option<AirAnswer>,
    /// Doses used.
    pub doses: Doses,
    /// How long warmth is asked for after the last pour, min.
    pub hold_min: f64,
    /// Largest pot for whoever works, g.
    pub pot_most_g: f64,
}

/// Answers for a job.
///
/// # Errors
/// In words, when a figure of the stock or the shop makes no sense to the models.
pub fn plan(
    book: &Book,
    stock: &Stock,
    mut place: Place,
    doses: Doses,
    materials: &JobMaterials,
    laid_on: &[LaidOn],
) -> Result<ShopPlan, String> {
    let words = |fault: crate::wording::Fault| fault.to_string();
    let clock = clock(stock);
    let resin = CureResin {
        clock: clock.unwrap_or(GelClock::GENERAL_PURPOSE),
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: doses.laminating_percent,
        stand_still_below_c: book.figure(id::CLOCK_STANDS),
    };
    let targets = targets(book);
    let gel_min = |t_c: f64| resin.clock.gel_min(t_c, doses.laminating_percent);
    let cure = clock.is_some().then_some((&resin, &targets));
    let settled = settle::settle(book, &mut place, &gel_min, &doses, cure).map_err(words)?;
    let mut softens_after_a_day_c = None;
    let forecast = match (&place.pour, place.night_c) {
        _ if settled.is_some() => {
            let settled = settled.as_ref();
            softens_after_a_day_c = settled.and_then(|one| one.softens_after_a_day_c);
            settled.and_then(|one| one.forecast.clone())
        }
        (Some(pour), Some(night_c)) if clock.is_some() => {
            let day_c = pour.coldest().1;
            let gel_min = resin.clock.gel_min(day_c, doses.laminating_percent);
            let hours = day_then_night(day_c, night_c, gel_min);
            let after_a_day = conversion_after(&resin, &hours, 1440.0).map_err(words)?;
            softens_after_a_day_c = Some(resin.kinetics.glass.at_conversion_c(after_a_day));
            Some(forecast(&resin, &hours, &targets).map_err(words)?)
        }
        _ => None,
    };
    let night = if forecast.is_some() {
        nightly(&place, settled.as_ref(), &resin, &targets).map_err(words)?
    } else {
        Vec::new()
    };
    // The way out of the cold asks for warmth until the gel at the temperature it asks for.
    let warm_c = book.figure(id::LAYUP_COLD_WARN);
    let hold_min = clock.unwrap_or(GelClock::GENERAL_PURPOSE).gel_min(
        place.pour.map_or(warm_c, |pour| pour.coldest().1.max(warm_c)),
        doses.laminating_percent,
    ) * (1.0 + book.figure(id::GEL_BAND) / 100.0);
    let stands_still_share = settled.as_ref().map(|one| one.stands_still_share);
    let (hours, mut gates) = match settled {
        Some(settled) => (Some(settled.hours), settled.gates),
        None => (None, steps::gates(book, &place, &doses, hold_min)),
    };
    let sittings =
        sittings::sittings(book, stock, &place, &doses, materials, laid_on).map_err(words)?;
    let peaks = sittings.iter().filter_map(|sitting| sitting.laid.as_ref()?.peak);
    gates.extend(steps::one_ply(peaks));
    let air = air_answer(book, &place, &sittings).map_err(words)?;
    let most = if place.worker == ShopWorker::Owner { id::MIX_MOST_OWNER } else { id::MIX_MOST };
    let pot_most_g = book.figure(most);
    Ok(ShopPlan {
        place,
        gates,
        hours,
        stands_still_share,
        forecast,
        night,
        softens_after_a_day_c,
        sittings,
        air,
        doses,
        hold_min,
        pot_most_g,
    })
}

/// The first night of what is poured, by the shop's hours or by its two temperatures.
fn nightly(
    place: &Place,
    settled: Option<&settle::Settled>,
    resin: &CureResin,
    targets: &CureTargets,
) -> Result<Vec<Hour>, crate::wording::Fault> {
    if let (Some(settled), Some(course)) = (settled, &place.course) {
        let [lay_up, _] = &settled.hours;
        let first = lay_up.usable().next().or(lay_up.windows.first());
        let start = first.map_or(0, |window| window.from_min) as f64;
        return night::trace(resin, &|minute: f64| course.curing_c(start + minute), targets);
    }
    let (Some(pour), Some(night_c)) = (&place.pour, place.night_c) else { return Ok(Vec::new()) };
    let day_c = pour.coldest().1;
    let gel_min = resin.clock.gel_min(day_c, resin.percent);
    night::trace(resin, &day_then_night(day_c, night_c, gel_min), targets)
}

/// The gel clock of the polyester in the stock.
pub(super) fn clock(stock: &Stock) -> Option<GelClock> {
    let resin = stock.resins.iter().find(|resin| resin.family == ResinFamily::Polyester)?;
    Some(GelClock {
        reference_min: resin.gel_time_min,
        reference_c: resin.gel_time_at_c,
        reference_percent: resin.gel_time_percent,
        activation_kj_mol: GEL_ACTIVATION_KJ_MOL,
        dose_exponent: 1.0,
    })
}

/// Conversion from which it may be sanded (choice of the calibrated model).
pub const SANDABLE: f64 = 0.75;

/// Conversions of the milestones: choices of the calibrated model.
pub(super) fn targets(book: &Book) -> CureTargets {
    CureTargets {
        sandable: SANDABLE,
        fairing: 0.80,
        paint: 0.85,
        primer_floor_days: book.figure(id::PAINT_FLOOR_PRIMER),
        gloss_floor_days: book.figure(id::PAINT_FLOOR_GLOSS),
        floor_reference_c: 20.0,
        gel_band: book.figure(id::GEL_BAND) / 100.0,
        wide_below_c: book.figure(id::LAYUP_COLD_WARN),
        widest_below_c: book.figure(id::AFTER_GEL_BAND),
        horizon_days: 90.0,
    }
}

/// Averaging time of short-term exposure limits, min (published with every set).
pub const AVERAGING_MIN: f64 = 15.0;

fn air_answer(
    book: &Book,
    place: &Place,
    sittings: &[Sitting],
) -> Result<Option<AirAnswer>, crate::wording::Fault> {
    let giving: Vec<(usize, &Sitting)> =
        sittings.iter().enumerate().filter(|(_, one)| one.styrene_g[2] > 0.0).collect();
    let peaks: Vec<f64> = giving
        .iter()
        .map(|(_, one)| match &place.room {
            Some(room) => room.peak_ppm(one.styrene_g[2], STYRENE_G_MOL, one.laying_min, 0.0),
            // Outdoors the mass decides which is the worst.
            None => Ok(one.styrene_g[2]),
        })
        .collect::<Result<_, _>>()?;
    let worst = giving.iter().zip(&peaks).max_by(|one, other| one.1.total_cmp(other.1));
    let Some((&(worst, _), &peak)) = worst else { return Ok(None) };
    let all_styrene_g: f64 = sittings.iter().map(|one| one.styrene_g[2]).sum();
    // Short limits are averages over 15 min: a shorter pour is averaged over that time too.
    let rate = |one: &Sitting| one.styrene_g[2] / (one.laying_min.max(AVERAGING_MIN) / 60.0);
    let rate_g_h = giving.iter().map(|(_, one)| rate(one)).fold(0.0, f64::max);
    let air_c = place.pour.map_or(20.0, |pour| pour.air_c);
    let driven = book.figure(id::AIR_MIXING_DRIVEN);
    let still = Room { volume_m3: 1.0, air_changes_h: 0.0, mixing_factor: driven, air_c };
    let near = book.figure(id::AIR_NEAR);
    let block = BlockLimits {
        peak_ppm: book.figure(id::AIR_BLOCK),
        percent_of_flammable_limit: book.figure(id::AIR_BLOCK_FIRE),
    };
    // The head over the job must not come to the immediately dangerous level either.
    let held_ppm = air::blocked_above_ppm(&block, STYRENE_FLAMMABLE_PERCENT)
        .min(book.figure(id::AIR_BLOCK_HEAD) / near);
    let block = BlockLimits { peak_ppm: held_ppm, ..block };
    let (mut stop_air_m3_h, mut peak_ppm, mut all_ppm, mut gate) = (None, None, None, Gate::Open);
    let (mut too_much, mut most_by_what) = (Vec::new(), Vec::new());
    if let Some(room) = &place.room {
        let with_fan = Room { mixing_factor: driven, ..*room };
        let flows: Vec<Option<f64>> = giving
            .iter()
            .map(|(_, one)| {
                let grams = one.styrene_g[2];
                with_fan.flow_holding_peak_m3_h(grams, STYRENE_G_MOL, one.laying_min, held_ppm)
            })
            .collect::<Result<_, _>>()?;
        // One flow for all of them, or none at all.
        stop_air_m3_h = flows.into_iter().try_fold(0.0_f64, |most, flow| Some(most.max(flow?)));
        gate = air::session_gate(peak, STYRENE_FLAMMABLE_PERCENT, &block, stop_air_m3_h);
        let over = giving.iter().zip(&peaks).filter(|(_, peak)| **peak > held_ppm);
        too_much = over.map(|((number, _), _)| *number).collect();
        for ((_, one), peak) in giving.iter().zip(&peaks) {
            let what = if one.what == GEL_COAT { GEL_COAT } else { "resin" };
            let takes_kg = one.poured_kg * held_ppm / peak;
            match most_by_what.iter_mut().find(|(known, _): &&mut (&str, f64)| *known == what) {
                Some((_, least)) => *least = least.min(takes_kg),
                None => most_by_what.push((what, takes_kg)),
            }
        }
        peak_ppm = Some(peak);
        all_ppm = Some(room.peak_ppm(all_styrene_g, STYRENE_G_MOL, 0.0, 0.0)?);
    }
    let near_ppm = peak_ppm.map(|peak| peak * near);
    let styrene = EXPOSURE_LIMITS.iter().filter(|limit| limit.substance == "styrene");
    let limits = air::against_limits(
        styrene,
        rate_g_h,
        STYRENE_G_MOL,
        place.room.as_ref().unwrap_or(&still),
        near_ppm.unwrap_or(0.0),
    )?
    .into_iter()
    .map(|one| (one.limit, one.fresh_air_m3_h, one.needed_protection))
    .collect();
    let strictest = super::limits::strictest_for_work(EXPOSURE_LIMITS, "styrene", None);
    let purge_min = match (&place.room, peak_ppm, strictest) {
        (Some(room), Some(peak), Some(limit)) => room.purge_min(peak, limit.ppm).ok(),
        _ => None,
    };
    Ok(Some(AirAnswer {
        held_ppm,
        stop_air_m3_h,
        worst,
        too_much,
        peak_ppm,
        near_ppm,
        all_at_once_ppm: all_ppm,
        all_styrene_g,
        most_resin_kg: most_by_what.iter().map(|(_, kg)| *kg).min_by(f64::total_cmp),
        most_by_what,
        limits,
        purge_min,
        gate,
    }))
}
