//! Hours of the air, warming and cold panels as lines of the report.

use super::model::*;
use crate::dew_point::dew_point_c;
use crate::read::job::Job;
use crate::rules::{Book, id};
use crate::shop::course::windows::{Judged, StepHours, Window};
use crate::shop::course::{Course, Lags, brought_in};
use crate::shop::gate::Gate;
use crate::shop::plan::ShopPlan;
use crate::shop::warming;
use crate::wording::HEATER_CAUTION;

/// Hours read, and the windows in them.
pub(super) fn climate(shop: &ShopPlan) -> Option<ClimateLines> {
    let (course, hours) = (shop.place.course.as_ref()?, shop.hours.as_ref()?);
    let share = shop.stands_still_share.unwrap_or(0.0);
    Some(of_course(course, hours, share))
}

/// The same of a course by itself.
pub(super) fn of_course(
    course: &Course,
    hours: &[StepHours; 2],
    stands_still_share: f64,
) -> ClimateLines {
    let (first, last) = course.known();
    ClimateLines {
        from: course.from.clone(),
        first: course.midnight.plus_minutes(first).to_string(),
        last: course.midnight.plus_minutes(last).to_string(),
        panel_lag_h: [course.lags.quick_h, course.lags.slow_h].map(round6),
        steps: hours.iter().map(|hours| step(course, hours)).collect(),
        stands_still_percent: round6(stands_still_share * 100.0),
    }
}

fn step(course: &Course, hours: &StepHours) -> StepHoursLine {
    let [temperature, damp, dew] = hours.shut_h.map(round6);
    StepHoursLine {
        step: match hours.step {
            Judged::LayUp => "resin and gel coat".to_owned(),
            Judged::Paint => "paint".to_owned(),
        },
        rest_min: round6(hours.rest_min),
        open_h: round6(hours.open_h),
        shut_by_temperature_h: temperature,
        shut_by_damp_h: damp,
        shut_by_dew_h: dew,
        windows: hours.windows.iter().map(|window| window_line(course, window)).collect(),
    }
}

fn window_line(course: &Course, window: &Window) -> WindowLine {
    let at = |minutes: i64| course.midnight.plus_minutes(minutes);
    WindowLine {
        weekday: at(window.from_min).weekday().words().to_owned(),
        from: at(window.from_min).to_string(),
        to: at(window.to_min).to_string(),
        coldest_c: round6(window.coldest_c),
        hottest_c: round6(window.hottest_c),
        most_humidity_percent: round6(window.most_humidity_percent),
        least_above_dew_k: round6(window.least_margin_k),
        hardens: window.hardens,
    }
}

/// What warming takes, where a step asks for it.
pub(super) fn warming(job: &Job, shop: &ShopPlan) -> Option<WarmingLine> {
    let asked = shop.gates.iter().any(|gate| match &gate.gate {
        Gate::Shut { way_out, .. } => way_out.contains(HEATER_CAUTION),
        Gate::Open | Gate::Warned { .. } => false,
    });
    let own = job.shop.as_ref().and_then(|(_, shop)| shop.outdoor_c).or(job.survey.air_c);
    let outdoors_c = own.map(|air| air.value()).or(shop.place.night_c).filter(|_| asked)?;
    let of = warming::of_place(&job.book, &shop.place, shop.air.as_ref(), outdoors_c)?;
    Some(WarmingLine {
        to_c: round6(of.to_c),
        air_c: round6(of.air_c),
        outdoors_c: round6(of.outdoors_c),
        before_h: of.before_h.map(round6),
        walls_kw: of.walls_kw.map(|kw| kw.map(round6)),
        air_kw: of.air_kw.map(round6),
        stop_air_kw: of.stop_air_kw.map(round6),
        fresh_air_kw: of.fresh_air_kw.map(round6),
        caution: HEATER_CAUTION.to_owned(),
    })
}

/// A panel colder than the air of a shop that tells no hours.
pub(super) fn brought_in(book: &Book, shop: &ShopPlan) -> Option<BroughtInLine> {
    let pour = shop.place.pour.filter(|pour| pour.panel_c < pour.air_c)?;
    if shop.place.course.is_some() {
        return None;
    }
    let lags = Lags { quick_h: book.figure(id::PANEL_QUICK), slow_h: book.figure(id::PANEL_SLOW) };
    let until = |target_c: f64| {
        brought_in::until(pour.panel_c, pour.air_c, target_c, &lags).map(|span| span.map(round6))
    };
    let dew_c = shop.place.humidity_percent.and_then(|damp| dew_point_c(pour.air_c, damp).ok());
    Some(BroughtInLine {
        panel_c: round6(pour.panel_c),
        air_c: round6(pour.air_c),
        lay_up_after_h: until(book.figure(id::LAYUP_COLD_STOP)),
        above_dew_after_h: dew_c.and_then(|dew_c| until(dew_c + book.figure(id::DEW_MARGIN))),
    })
}
