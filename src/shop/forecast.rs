//! When can it be sanded, faired and painted? Milestones with a low, likely and high time.
//!
//! Takes a resin, a temperature as a function of minutes after the pour, and a record of targets;
//! gives minutes after the pour. The model is calibrated, not measured, so each milestone is a
//! band with its basis, and "not within so many days" is an answer. Paint also waits for a floor
//! in days after the last resin or filler, whatever the model says.

use super::cure::{GlassTransition, Kinetics, Resin, times_reached};
use super::gel_time::floor_share;
use crate::wording::{Fault, above_zero, plain, within};

const DAY_MIN: f64 = 1440.0;
/// Step of the floor's clock and of the look for the coldest hour, min.
const CLOCK_STEP_MIN: f64 = 5.0;

/// A time, or the statement that it is not reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// Minutes after the pour.
    AfterMin(f64),
    /// Not within this many days.
    NeverWithin {
        /// Days looked at.
        days: f64,
    },
}

impl When {
    fn from_option(minutes: Option<f64>, days: f64) -> Self {
        minutes.map_or(Self::NeverWithin { days }, Self::AfterMin)
    }

    /// Minutes, when reached.
    #[must_use]
    pub fn minutes(self) -> Option<f64> {
        match self {
            Self::AfterMin(minutes) => Some(minutes),
            Self::NeverWithin { .. } => None,
        }
    }

    /// The earlier of two; not reached is later than any time.
    #[must_use]
    pub fn earlier(self, other: Self) -> Self {
        match (self, other) {
            (Self::AfterMin(a), Self::AfterMin(b)) => Self::AfterMin(a.min(b)),
            (Self::NeverWithin { .. }, one) | (one, Self::NeverWithin { .. }) => one,
        }
    }

    /// The later of two; not reached is later than any time.
    #[must_use]
    pub fn later(self, other: Self) -> Self {
        match (self, other) {
            (Self::AfterMin(a), Self::AfterMin(b)) => Self::AfterMin(a.max(b)),
            (never @ Self::NeverWithin { .. }, _) | (_, never) => never,
        }
    }
}

/// One milestone.
#[derive(Debug, Clone, PartialEq)]
pub struct Milestone {
    /// Early end.
    pub low: When,
    /// Likely.
    pub likely: When,
    /// Late end: plan on this.
    pub high: When,
    /// What the band rests on.
    pub basis: String,
}

/// Targets and bands of a forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CureTargets {
    /// Conversion at which waxed or film-covered resin can be sanded.
    pub sandable: f64,
    /// Conversion for fairing.
    pub fairing: f64,
    /// Conversion for paint.
    pub paint: f64,
    /// Floor before primer, days at the floor's temperature.
    pub primer_floor_days: f64,
    /// Floor before gloss or a dark colour, days at the floor's temperature.
    pub gloss_floor_days: f64,
    /// Temperature at which the floor's days are counted, °C.
    pub floor_reference_c: f64,
    /// Half width of the gel time band, share.
    pub gel_band: f64,
    /// Below this the cure band is wide, °C.
    pub wide_below_c: f64,
    /// Below this it is wider still, °C.
    pub widest_below_c: f64,
    /// How far ahead is looked, days.
    pub horizon_days: f64,
}

/// All milestones of one pour.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The resin has gelled.
    pub gel: Milestone,
    /// It can be sanded, if waxed or film-covered.
    pub sandable: Milestone,
    /// It can be faired.
    pub fairing: Milestone,
    /// Primer may go on.
    pub paintable: Milestone,
    /// Gloss or a dark colour may go on.
    pub gloss_or_dark: Milestone,
}

/// Glass transition at full cure for the early end of the band, °C (choice).
const EARLY_CURED_C: f64 = 85.0;
/// Glass transition at full cure for the late end of the band, °C (choice).
const LATE_CURED_C: f64 = 110.0;
/// Shape constant for the late end when cold (choice).
const LATE_LAMBDA: f64 = 0.5;

/// How unsure the band is, by the coldest hour that counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Width {
    Usual,
    Wide,
    Widest,
}

/// Late-end glass transition. Constants never make a resin faster than it is in the likely run.
fn late_glass(glass: GlassTransition, width: Width) -> GlassTransition {
    let cured_c = glass.cured_c.max(LATE_CURED_C);
    let lambda = glass.lambda.max(LATE_LAMBDA);
    match width {
        Width::Usual => GlassTransition { cured_c, ..glass },
        Width::Wide => GlassTransition { lambda, ..glass },
        Width::Widest => GlassTransition { cured_c, lambda, ..glass },
    }
}

/// Forecasts all milestones.
///
/// The band of the later milestones comes from running the model at the ends of what its
/// constants may be: early with a faster gel clock and a lower final glass transition, late with
/// a slower clock and a higher one; cold takes the worse shape constant, hard cold both. Each
/// end moves one constant besides the clock, as a one-at-a-time look at the model does.
///
/// # Errors
/// As [`super::cure::follow`]; targets that make no sense.
pub fn forecast(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    targets: &CureTargets,
) -> Result<Forecast, Fault> {
    let days = within("days looked ahead", targets.horizon_days, "days", 1.0, 3650.0)?;
    let band = within("band of the gel time", targets.gel_band, "", 0.0, 0.95)?;
    for target in [targets.sandable, targets.fairing, targets.paint] {
        within("target conversion", target, "", resin.kinetics.gel_conversion, 0.999)?;
    }
    let end_min = days * DAY_MIN;
    let wanted = [targets.sandable, targets.fairing, targets.paint];
    let run = |stretch: f64, glass: GlassTransition| {
        let kinetics = Kinetics { glass, ..resin.kinetics };
        let resin = Resin { clock: resin.clock.stretched(stretch), kinetics, ..*resin };
        times_reached(&resin, temperature_c, wanted, end_min)
    };
    let glass = resin.kinetics.glass;
    let early_glass = GlassTransition { cured_c: glass.cured_c.min(EARLY_CURED_C), ..glass };
    let (low_gel, low) = run(1.0 - band, early_glass)?;
    let (likely_gel, likely) = run(1.0, glass)?;
    // Each width is run once; a milestone uses the width of the cold it has been through.
    let late = [
        run(1.0 + band, late_glass(glass, Width::Usual))?,
        run(1.0 + band, late_glass(glass, Width::Wide))?,
        run(1.0 + band, late_glass(glass, Width::Widest))?,
    ];
    let [usual, wide, widest] = late;
    let when = |minutes| When::from_option(minutes, days);
    let percent = plain(band * 100.0, 0);
    let gel = Milestone {
        low: when(low_gel),
        likely: when(likely_gel),
        high: when(usual.0),
        basis: format!("gel clock, band ± {percent} % on its gel time"),
    };
    let milestone = |low: Option<f64>, likely: Option<f64>, late: [Option<f64>; 3]| {
        let coldest_c = coldest_until(temperature_c, likely.unwrap_or(end_min));
        let [usual, wide, widest] = late.map(when);
        let (high, word) = match width(coldest_c, targets) {
            Width::Usual => (usual, "fair"),
            Width::Wide => (wide.later(usual), "poor when cold, so a wider range"),
            Width::Widest => (widest, "very poor when this cold, so the widest range"),
        };
        let basis = format!(
            "calibrated model, not measured; {word} with {} °C as the coldest hour; gel time \
             ± {percent} %, final glass transition {} to {} °C",
            plain(coldest_c, 1),
            plain(early_glass.cured_c, 0),
            plain(late_glass(glass, Width::Usual).cured_c, 0)
        );
        Milestone { low: when(low), likely: when(likely), high, basis }
    };
    let [sand, fair, paint] = {
        let [l0, l1, l2] = low;
        let [m0, m1, m2] = likely;
        let ([a0, a1, a2], [b0, b1, b2], [c0, c1, c2]) = (usual.1, wide.1, widest.1);
        [
            milestone(l0, m0, [a0, b0, c0]),
            milestone(l1, m1, [a1, b1, c1]),
            milestone(l2, m2, [a2, b2, c2]),
        ]
    };
    let floor = |floor_days: f64| -> Result<Milestone, Fault> {
        let floor = when(floor_min(temperature_c, floor_days, resin, targets, end_min)?);
        let basis = format!(
            "the later of conversion {} and {} days at {} °C after the last resin or filler; {}",
            plain(targets.paint, 2),
            plain(floor_days, 0),
            plain(targets.floor_reference_c, 0),
            paint.basis
        );
        Ok(Milestone {
            low: paint.low.later(floor),
            likely: paint.likely.later(floor),
            high: paint.high.later(floor),
            basis,
        })
    };
    Ok(Forecast {
        gel,
        sandable: sand,
        fairing: fair,
        paintable: floor(targets.primer_floor_days)?,
        gloss_or_dark: floor(targets.gloss_floor_days)?,
    })
}

/// The early, the likely and the late resin of the band, by the coldest moment until `end_min`.
#[must_use]
pub fn ends(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    targets: &CureTargets,
    end_min: f64,
) -> [Resin; 3] {
    let glass = resin.kinetics.glass;
    let band = targets.gel_band;
    let end = |stretch: f64, glass: GlassTransition| {
        let kinetics = Kinetics { glass, ..resin.kinetics };
        Resin { clock: resin.clock.stretched(stretch), kinetics, ..*resin }
    };
    let coldest_c = coldest_until(temperature_c, end_min);
    let early = GlassTransition { cured_c: glass.cured_c.min(EARLY_CURED_C), ..glass };
    let late = late_glass(glass, width(coldest_c, targets));
    [end(1.0 - band, early), *resin, end(1.0 + band, late)]
}

fn width(coldest_c: f64, targets: &CureTargets) -> Width {
    if coldest_c >= targets.wide_below_c {
        Width::Usual
    } else if coldest_c >= targets.widest_below_c {
        Width::Wide
    } else {
        Width::Widest
    }
}

fn coldest_until(temperature_c: &impl Fn(f64) -> f64, end_min: f64) -> f64 {
    let mut coldest_c = temperature_c(0.0);
    let mut minute = 0.0;
    while minute < end_min {
        coldest_c = coldest_c.min(temperature_c(minute));
        minute += CLOCK_STEP_MIN;
    }
    coldest_c
}

fn floor_min(
    temperature_c: &impl Fn(f64) -> f64,
    floor_days: f64,
    resin: &Resin,
    targets: &CureTargets,
    end_min: f64,
) -> Result<Option<f64>, Fault> {
    let needed_min = above_zero("floor before paint", floor_days, "days")? * DAY_MIN;
    let (mut minute, mut counted_min) = (0.0, 0.0);
    while minute < end_min {
        let t_c = temperature_c(minute + CLOCK_STEP_MIN / 2.0);
        let share = floor_share(t_c, targets.floor_reference_c, resin.stand_still_below_c);
        if share > 0.0 && counted_min + share * CLOCK_STEP_MIN >= needed_min {
            return Ok(Some(minute + (needed_min - counted_min) / share));
        }
        counted_min += share * CLOCK_STEP_MIN;
        minute += CLOCK_STEP_MIN;
    }
    Ok(None)
}

/// Day temperature from the pour for `day_min` minutes, night temperature after: the first form
/// of a shop's hours.
pub fn day_then_night(day_c: f64, night_c: f64, day_min: f64) -> impl Fn(f64) -> f64 {
    move |minute| if minute <= day_min { day_c } else { night_c }
}

#[cfg(test)]
#[path = "forecast_tests.rs"]
mod tests;
