//! What the hours of a course mean for a job: in which windows each step may be done, its gate
//! there, and how resin poured in any of them cures.

use super::windows::{Judged, StepHours, Window, of_step, shut};
use super::{Course, STEP_MIN, Sample};
use crate::materials::Doses;
use crate::rules::{Book, id};
use crate::shop::cure::{Resin, conversion_after};
use crate::shop::forecast::{CureTargets, Forecast, Milestone, forecast};
use crate::shop::plan::{Place, StepGate};
use crate::shop::steps::{StepLimits, gates};
use crate::wording::Fault;

/// What the hours mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// Lay-up, then paint.
    pub hours: [StepHours; 2],
    /// Every step, each at the worst moment of its windows; without one, at its best moment.
    pub gates: Vec<StepGate>,
    /// Milestones over every window; none where resin may not be laid in any.
    pub forecast: Option<Forecast>,
    /// Glass transition a day after the first pour, °C.
    pub softens_after_a_day_c: Option<f64>,
    /// Share of the known hours in which a laminate is too cold to cure at all.
    pub stands_still_share: f64,
}

/// Settles a place by its course, `gel_min` being the gel time at a temperature: temperatures,
/// humidity and gates of the place are then those of the hours in which the work may be done.
///
/// # Errors
/// Values that make no sense to the models.
pub fn settle(
    book: &Book,
    place: &mut Place,
    gel_min: &dyn Fn(f64) -> f64,
    doses: &Doses,
    cure: Option<(&Resin, &CureTargets)>,
) -> Result<Option<Settled>, Fault> {
    let Some(course) = place.course.clone() else { return Ok(None) };
    let limits = StepLimits::of(book);
    // The slowest gel at which a pour is allowed: a window that holds for it holds for all.
    let late = |t_c: f64| gel_min(t_c) * (1.0 + book.figure(id::GEL_BAND) / 100.0);
    let mut lay_up = of_step(&course, Judged::LayUp, &limits, late(limits.lay_up.refuse_below_c));
    let paint = of_step(&course, Judged::Paint, &limits, book.figure(id::PRIMER_DRY) * 60.0);
    let cured = match cure {
        Some((resin, targets)) => cures(&course, &mut lay_up, resin, targets)?,
        None => None,
    };
    let moments = |hours: &StepHours| moments(&course, hours, &limits);
    let (laying, painting) = (moments(&lay_up), moments(&paint));
    let hold_min = late(limits.lay_up.warn_below_c);
    let at = |place: &Place, sample: &Sample| {
        let room = place.room.map(|room| crate::shop::air::Room { air_c: sample.air_c, ..room });
        Place {
            pour: Some(sample.cold()),
            hot: Some(sample.hot()),
            humidity_percent: Some(sample.humidity_percent),
            night_c: Some(coldest_after(&course, sample.at_min)),
            room,
            ..place.clone()
        }
    };
    let of_steps = |moments: &[&Sample], painting: bool| -> Vec<StepGate> {
        let mut found: Vec<StepGate> = Vec::new();
        for sample in moments {
            let all = gates(book, &at(place, sample), doses, hold_min);
            for one in all.into_iter().filter(|one| (one.step == "paint") == painting) {
                match found.iter_mut().find(|known| known.step == one.step) {
                    Some(known) if one.gate.weight() > known.gate.weight() => *known = one,
                    Some(_) => {}
                    None => found.push(one),
                }
            }
        }
        found
    };
    let mut all = of_steps(&laying, false);
    all.extend(of_steps(&painting, true));
    let still = |one: &&Sample| one.curing_c() < book.figure(id::CLOCK_STANDS);
    let stands_still = course.samples.iter().filter(still).count();
    let coldest = laying
        .iter()
        .min_by(|one, other| one.cold().coldest().1.total_cmp(&other.cold().coldest().1));
    if let Some(coldest) = coldest {
        *place = at(place, coldest);
        let most =
            |of: &dyn Fn(&Window) -> f64| lay_up.usable().map(of).fold(f64::NEG_INFINITY, f64::max);
        if lay_up.usable().next().is_some() {
            // Pots and peaks go by the hottest hour of any window.
            let hottest_c = most(&|one| one.hottest_c);
            place.hot = place.hot.map(|hot| crate::shop::climate::PourTemperatures {
                air_c: hot.air_c.max(hottest_c),
                ..hot
            });
            place.humidity_percent = Some(most(&|one| one.most_humidity_percent));
        }
    }
    Ok(Some(Settled {
        stands_still_share: stands_still as f64 / course.samples.len().max(1) as f64,
        hours: [lay_up, paint],
        gates: all,
        softens_after_a_day_c: cured.as_ref().map(|(_, softens_c)| *softens_c),
        forecast: cured.map(|(milestones, _)| milestones),
    }))
}

/// Moments by which a step is judged: those of its windows until the step is over; without a
/// window, the least bad one of the opening hours, or of all where the shop is never open.
fn moments<'c>(course: &'c Course, hours: &StepHours, limits: &StepLimits) -> Vec<&'c Sample> {
    if hours.usable().next().is_some() {
        let rest = hours.rest_min.ceil() as i64 + STEP_MIN;
        let during = |window: &Window| window.from_min..=window.to_min + rest;
        let inside =
            |one: &&Sample| hours.usable().any(|window| during(window).contains(&one.at_min));
        let holds = |one: &&Sample| !shut(hours.step, one, limits).any();
        return course.samples.iter().filter(inside).filter(holds).collect();
    }
    let faults = |one: &Sample| {
        let shut = shut(hours.step, one, limits);
        u8::from(shut.temperature) + u8::from(shut.damp) + u8::from(shut.dew)
    };
    let better = |one: &&Sample, other: &&Sample| {
        let warmth = |one: &Sample| one.cold().coldest().1;
        faults(one).cmp(&faults(other)).then(warmth(other).total_cmp(&warmth(one)))
    };
    let open = course.in_opening_hours().min_by(better);
    open.or_else(|| course.samples.iter().min_by(better)).into_iter().collect()
}

/// The coldest a laminate gets within a day after a moment, °C.
fn coldest_after(course: &Course, at_min: i64) -> f64 {
    (0..=24 * 4)
        .map(|quarter| course.curing_c((at_min + quarter * STEP_MIN) as f64))
        .fold(f64::INFINITY, f64::min)
}

/// Follows resin poured at the start and at the end of every window through the hours: a window
/// from which it never gets hard by the late end is marked. Gives the milestones over the others
/// with the softening point a day after the first pour; over all, where none gets hard.
fn cures(
    course: &Course,
    lay_up: &mut StepHours,
    resin: &Resin,
    targets: &CureTargets,
) -> Result<Option<(Forecast, f64)>, Fault> {
    let mut found: Vec<(bool, Forecast)> = Vec::new();
    for window in &mut lay_up.windows {
        let mut hardens = true;
        for start in [window.from_min, window.to_min] {
            let hours = |minute: f64| course.curing_c(start as f64 + minute);
            let one = forecast(resin, &hours, targets)?;
            hardens &= one.sandable.high.minutes().is_some();
            found.push((hardens, one));
        }
        // Both of a window count as one.
        if let Some(first) = found.iter_mut().rev().nth(1) {
            first.0 &= hardens;
        }
        window.hardens = hardens;
    }
    let some_harden = found.iter().any(|(hardens, _)| *hardens);
    let counted = found.into_iter().filter(|(hardens, _)| *hardens || !some_harden);
    let Some(mut all) = counted.map(|(_, one)| one).reduce(widest) else { return Ok(None) };
    let note = format!(
        "; over every window of {} in which resin may be poured{}, and past its last reading as if its coldest day came again",
        course.from,
        if some_harden { " and gets hard" } else { "" }
    );
    each(&mut all, |one| one.basis.push_str(&note));
    let first = lay_up.usable().next().or(lay_up.windows.first());
    let start = first.map_or(0, |window| window.from_min) as f64;
    let after_a_day =
        conversion_after(resin, &|minute: f64| course.curing_c(start + minute), 1440.0)?;
    Ok(Some((all, resin.kinetics.glass.at_conversion_c(after_a_day))))
}

/// Earliest early end and latest late end of two forecasts; the likely one stays the first's.
fn widest(mut one: Forecast, other: Forecast) -> Forecast {
    let both = [
        (&mut one.gel, other.gel),
        (&mut one.sandable, other.sandable),
        (&mut one.fairing, other.fairing),
        (&mut one.paintable, other.paintable),
        (&mut one.gloss_or_dark, other.gloss_or_dark),
    ];
    for (known, more) in both {
        known.high = known.high.later(more.high);
        known.low = known.low.earlier(more.low);
    }
    one
}

fn each(of: &mut Forecast, change: impl Fn(&mut Milestone)) {
    for one in
        [&mut of.gel, &mut of.sandable, &mut of.fairing, &mut of.paintable, &mut of.gloss_or_dark]
    {
        change(one);
    }
}
