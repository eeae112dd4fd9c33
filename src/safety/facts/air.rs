//! The air of the place of work: vapour of resin and of solvent, the air it takes, the mask.

use super::super::Scene;
use super::super::fact::Fact;
use super::super::value::Facts;
use crate::model::shop::{ShopFloor, ShopPlace};
use crate::rules::id;
use crate::shop::air::{
    ACETONE_FLAMMABLE_PERCENT, ACETONE_G_MOL, STYRENE_FLAMMABLE_PERCENT, fresh_air_m3_h,
    molar_volume_l, percent_of_flammable_limit,
};
use crate::shop::limits::{EXPOSURE_LIMITS, ExposureLimit, Over, strictest};
use crate::shop::plan::{AVERAGING_MIN, AirAnswer};
use crate::shop::warming::AIR_KJ_M3_K;

/// Density of acetone, kg/l (published: standard value, 0.79).
const ACETONE_KG_L: f64 = 0.79;

pub(super) fn add(scene: &Scene<'_>, facts: &mut Facts) {
    let place = &scene.shop.place;
    facts.said(Fact::Place, place.place.words());
    facts.yes(Fact::JoinedToDwelling, place.place == ShopPlace::JoinedToDwelling);
    let floor = scene.job.shop.as_ref().map_or(ShopFloor::Unknown, |(_, shop)| shop.floor);
    if floor != ShopFloor::Level && place.place != ShopPlace::OutdoorsUnderCover {
        facts.said(Fact::PitOrCellar, floor.words());
    }
    if let Some(room) = &place.room {
        facts.number(Fact::RoomM3, room.volume_m3);
        facts.number(Fact::AirFlowM3H, room.air_changes_h * room.volume_m3);
    }
    if let Some(air) = &scene.shop.air {
        styrene(scene, air, facts);
    }
    if facts.figure(Fact::AcetoneL).is_some_and(|litres| litres > 0.0) {
        acetone(scene, facts);
    }
    let booth = matches!(place.place, ShopPlace::SprayBooth | ShopPlace::SprayRoom);
    facts.yes(Fact::Booth, booth);
    let book = &scene.job.book;
    let measured =
        scene.job.shop.as_ref().and_then(|(_, shop)| shop.clearing_min).filter(|_| booth);
    facts.yes(Fact::ClearingMeasured, measured.is_some());
    let rule =
        if place.place == ShopPlace::SprayBooth { id::CLEARING_BOOTH } else { id::CLEARING_ROOM };
    facts
        .number(Fact::ClearingMin, measured.map_or_else(|| book.figure(rule), |time| time.value()));
    facts.number(Fact::EyeWaterL, book.figure(id::EYE_TAP));
    facts.number(Fact::UnfluedWaterKgH, book.figure(id::UNFLUED_WATER));
}

/// The strictest eight-hour limit with the fresh air that holds it.
fn strictest_shift(air: &AirAnswer) -> Option<&(&'static ExposureLimit, f64, f64)> {
    air.limits
        .iter()
        .filter(|(limit, _, _)| limit.over == Over::EightHours)
        .min_by(|one, other| one.0.ppm.total_cmp(&other.0.ppm))
}

fn styrene(scene: &Scene<'_>, air: &AirAnswer, facts: &mut Facts) {
    let Some(sitting) = scene.shop.sittings.get(air.worst) else { return };
    let [low, _, high] = sitting.styrene_g;
    facts.number(Fact::SittingKg, sitting.poured_kg);
    let repair = scene.plan.repairs.get(sitting.repair).map_or("", |repair| repair.id.as_str());
    facts.said(Fact::SittingRepair, format!("{repair} stage {}, {}", sitting.stage, sitting.what));
    facts.number(Fact::StyreneLowG, low);
    facts.number(Fact::StyreneHighG, high);
    facts.yes(Fact::StyreneLimits, true);
    facts.yes(Fact::Outdoors, scene.shop.place.room.is_none());
    facts.number_if(Fact::StyrenePeakPpm, air.peak_ppm);
    facts.number_if(Fact::StyreneNearPpm, air.near_ppm);
    facts.number_if(Fact::StyreneAllPpm, air.all_at_once_ppm);
    facts.number_if(
        Fact::StyreneFlammablePercent,
        air.peak_ppm.map(|peak| percent_of_flammable_limit(peak, STYRENE_FLAMMABLE_PERCENT)),
    );
    let danger = strictest(EXPOSURE_LIMITS, "styrene", Over::ImmediateDanger, None);
    facts.number_if(Fact::StyreneDangerousPpm, danger.map(|limit| limit.ppm));
    let most: Vec<String> =
        air.most_by_what.iter().map(|(what, kg)| format!("{kg:.2} kg of {what}")).collect();
    facts.said(Fact::MostInOne, most.join(" or "));
    facts.number_if(Fact::PurgeMin, air.purge_min);
    facts.number_if(Fact::StopAirM3H, air.stop_air_m3_h.map(f64::ceil));
    let Some((limit, flow, factor)) = strictest_shift(air) else { return };
    facts.number(Fact::StrictestPpm, limit.ppm);
    facts.said(Fact::StrictestSet, limit.set);
    facts.number(Fact::FreshAirM3H, flow.ceil());
    if air.peak_ppm.is_some() && *factor > 1.0 {
        facts.number(Fact::MaskFactor, factor.ceil());
    }
    if let Some(warm_k) = warming_k(scene).filter(|_| scene.shop.place.room.is_some()) {
        facts.number(Fact::WarmByK, warm_k);
        facts.number(Fact::HeatKw, flow.ceil() / 3600.0 * AIR_KJ_M3_K * warm_k);
    }
}

/// How much warmer the room is to be than the air that comes in.
fn warming_k(scene: &Scene<'_>) -> Option<f64> {
    let shop = scene.job.shop.as_ref().map(|(_, shop)| shop);
    let outdoors = shop
        .and_then(|shop| shop.outdoor_c)
        .or(scene.job.survey.air_c)
        .map(|air| air.value())
        .or(scene.shop.place.night_c)?;
    let inside = scene.shop.place.pour?.air_c.max(scene.job.book.figure(id::LAYUP_COLD_WARN));
    Some(inside - outdoors).filter(|warm_k| *warm_k > 0.0)
}

fn acetone(scene: &Scene<'_>, facts: &mut Facts) {
    let (Some(room), Some(kept_l)) = (&scene.shop.place.room, facts.figure(Fact::AcetoneL)) else {
        return;
    };
    let kg = kept_l.min(scene.job.book.figure(id::ACETONE_SITTING)) * ACETONE_KG_L;
    let Ok(ppm) = room.peak_ppm(kg * 1000.0, ACETONE_G_MOL, 0.0, 0.0) else { return };
    facts.number(Fact::AcetonePpm, ppm);
    facts.number(
        Fact::AcetoneFlammablePercent,
        percent_of_flammable_limit(ppm, ACETONE_FLAMMABLE_PERCENT),
    );
    let limit = strictest(EXPOSURE_LIMITS, "acetone", Over::EightHours, None);
    let (Some(limit), Ok(volume_l)) = (limit, molar_volume_l(room.air_c)) else { return };
    facts.number(Fact::AcetoneLimitPpm, limit.ppm);
    let g_h = kg * 1000.0 / (AVERAGING_MIN / 60.0);
    let flow = fresh_air_m3_h(g_h, ACETONE_G_MOL, volume_l, room.mixing_factor, limit.ppm);
    facts.number_if(Fact::AcetoneAirM3H, flow.ok().map(f64::ceil));
}
