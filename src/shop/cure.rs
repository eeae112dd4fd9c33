//! How far has the resin cured? Calibrated staged model of a thin film at shop temperature.
//!
//! Until gel an inhibitor is used up by the gel clock and the conversion rises to a few per
//! cent; after gel an autocatalytic rate runs until the glass transition catches up with the
//! temperature and brakes it. Takes a temperature as a function of minutes after the pour, gives
//! conversion (0 to 1). No heat through the thickness: a thick lay-up runs hotter and faster.
//!
//! The form is standard (autocatalytic rate with a diffusion factor, Chern & Poehlein, Polym.
//! Eng. Sci. 27, 788 (1987), from memory); the numbers in [`Kinetics::GENERAL_PURPOSE`] are
//! calibrated by choice and not measured.

use super::gel_time::{GelClock, arrhenius_factor};
use super::integrate::{advance, crossing};
use crate::wording::{Fault, within};

/// Longest step after gel, min: short against a shift, long enough for weeks.
const LONGEST_STEP_MIN: f64 = 5.0;
/// Longest step before gel, min.
const LONGEST_STEP_BEFORE_GEL_MIN: f64 = 0.5;

/// Glass transition against conversion (DiBenedetto form).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlassTransition {
    /// Glass transition of the liquid, °C.
    pub uncured_c: f64,
    /// Glass transition at full conversion, °C.
    pub cured_c: f64,
    /// Shape constant.
    pub lambda: f64,
}

impl GlassTransition {
    /// Glass transition at a conversion, °C.
    #[must_use]
    pub fn at_conversion_c(&self, conversion: f64) -> f64 {
        let a = conversion.clamp(0.0, 1.0);
        let span_c = self.cured_c - self.uncured_c;
        self.uncured_c + span_c * self.lambda * a / (1.0 - (1.0 - self.lambda) * a)
    }

    /// Conversion at which the glass transition equals a temperature: the inverse.
    #[must_use]
    pub fn conversion_at(&self, t_c: f64) -> f64 {
        let x = ((t_c - self.uncured_c) / (self.cured_c - self.uncured_c)).clamp(0.0, 1.0);
        x / (self.lambda + (1.0 - self.lambda) * x)
    }
}

/// Rates after gel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kinetics {
    /// Conversion at gel.
    pub gel_conversion: f64,
    /// Exponent of the conversion.
    pub order_grown: f64,
    /// Exponent of what is left.
    pub order_left: f64,
    /// Activation energy, kJ/mol.
    pub activation_kj_mol: f64,
    /// Rate constant times the reference gel time.
    pub pace: f64,
    /// Exponent of the dose.
    pub dose_exponent: f64,
    /// Sharpness of the brake.
    pub brake_sharpness: f64,
    /// Glass transition of this resin.
    pub glass: GlassTransition,
}

impl Kinetics {
    /// General-purpose polyester (calibrated, choice). Exponents after Bogetti & Gillespie,
    /// J. Compos. Mater. 25, 239 (1991), from memory.
    pub const GENERAL_PURPOSE: Self = Self {
        gel_conversion: 0.05,
        order_grown: 0.524,
        order_left: 1.476,
        activation_kj_mol: 40.0,
        pace: 0.30,
        dose_exponent: 0.5,
        brake_sharpness: 50.0,
        glass: GlassTransition { uncured_c: -60.0, cured_c: 95.0, lambda: 0.40 },
    };
}

/// One resin with its dose and the temperature below which nothing is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resin {
    /// Gel clock.
    pub clock: GelClock,
    /// Rates after gel.
    pub kinetics: Kinetics,
    /// Catalyst, % by mass.
    pub percent: f64,
    /// Below this temperature the clock stands still, °C.
    pub stand_still_below_c: f64,
}

impl Resin {
    /// Checks all values before a run.
    ///
    /// # Errors
    /// As [`GelClock::check`], and constants for which the model has no meaning.
    pub fn check(&self) -> Result<(), Fault> {
        self.clock.check(self.percent)?;
        let kinetics = &self.kinetics;
        within("conversion at gel", kinetics.gel_conversion, "", 0.001, 0.9)?;
        within("exponent of the conversion", kinetics.order_grown, "", 0.0, 5.0)?;
        within("exponent of what is left", kinetics.order_left, "", 0.1, 5.0)?;
        within("activation energy after gel", kinetics.activation_kj_mol, "kJ/mol", 1.0, 200.0)?;
        within("pace after gel", kinetics.pace, "", 1.0e-3, 10.0)?;
        within("sharpness of the brake", kinetics.brake_sharpness, "", 0.0, 500.0)?;
        within("glass shape constant", kinetics.glass.lambda, "", 0.05, 1.0)?;
        let least_c = kinetics.glass.uncured_c + 1.0;
        within("glass transition when cured", kinetics.glass.cured_c, "°C", least_c, 400.0)?;
        within("standing-still temperature", self.stand_still_below_c, "°C", -50.0, 60.0)?;
        Ok(())
    }

    /// Whether this temperature counts at all; a missing one does not.
    fn counts(&self, t_c: f64) -> bool {
        t_c >= self.stand_still_below_c
    }

    /// Share of the gel time used up per minute; zero where the clock stands still.
    #[must_use]
    pub fn gel_rate_per_min(&self, t_c: f64) -> f64 {
        if self.counts(t_c) { self.clock.rate_per_min(t_c, self.percent) } else { 0.0 }
    }

    /// Growth of conversion per minute after gel; zero where the clock stands still.
    #[must_use]
    pub fn cure_rate_per_min(&self, conversion: f64, t_c: f64) -> f64 {
        if !self.counts(t_c) {
            return 0.0;
        }
        let kinetics = &self.kinetics;
        let a = conversion.clamp(0.0, 1.0);
        let dose = (self.percent / self.clock.reference_percent).powf(kinetics.dose_exponent);
        let warmth = arrhenius_factor(kinetics.activation_kj_mol, t_c, self.clock.reference_c);
        let shape = a.powf(kinetics.order_grown) * (1.0 - a).powf(kinetics.order_left);
        let ahead = a - kinetics.glass.conversion_at(t_c);
        let brake = 1.0 / (1.0 + (kinetics.brake_sharpness * ahead).exp());
        kinetics.pace / self.clock.reference_min * dose * warmth * shape * brake
    }
}

/// One step of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Start: minutes after the pour, conversion.
    pub from: (f64, f64),
    /// End: minutes after the pour, conversion.
    pub to: (f64, f64),
    /// Whether the resin had gelled when the step began.
    pub gelled: bool,
}

/// Follows the resin from the pour to `end_min` or until `go_on` says no.
///
/// # Errors
/// Values [`Resin::check`] refuses; an end outside 0 to 10 years.
pub fn follow(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    end_min: f64,
    mut go_on: impl FnMut(&Step) -> bool,
) -> Result<(), Fault> {
    resin.check()?;
    let end_min = within("time after the pour", end_min, "min", 0.0, 5.3e6)?;
    let (mut t, mut inhibitor_left) = (0.0, 1.0);
    let grown = |left: f64| resin.kinetics.gel_conversion * (1.0 - left);
    while inhibitor_left > 0.0 && t < end_min {
        let longest = LONGEST_STEP_BEFORE_GEL_MIN.min(end_min - t);
        let rate = resin.gel_rate_per_min(temperature_c(t + longest / 2.0));
        let to_gel = if rate > 0.0 { inhibitor_left / rate } else { f64::INFINITY };
        let (step, left) = if to_gel <= longest {
            (to_gel, 0.0)
        } else {
            (longest, inhibitor_left - rate * longest)
        };
        let from = (t, grown(inhibitor_left));
        (t, inhibitor_left) = (t + step, left);
        if !go_on(&Step { from, to: (t, grown(left)), gelled: false }) {
            return Ok(());
        }
    }
    let rate = |minute: f64, a: f64| resin.cure_rate_per_min(a, temperature_c(minute));
    let mut state = (t, resin.kinetics.gel_conversion);
    while state.0 < end_min {
        let next = advance(&rate, state, LONGEST_STEP_MIN, end_min);
        if !go_on(&Step { from: state, to: next, gelled: true }) {
            return Ok(());
        }
        state = next;
    }
    Ok(())
}

/// Conversion at a time after the pour.
///
/// # Errors
/// As [`follow`].
pub fn conversion_after(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    minutes: f64,
) -> Result<f64, Fault> {
    let mut conversion = 0.0;
    follow(resin, temperature_c, minutes, |step| {
        conversion = step.to.1;
        true
    })?;
    Ok(conversion)
}

/// When gel and each target conversion are reached, minutes after the pour; none when not by
/// `end_min`.
///
/// # Errors
/// As [`follow`].
pub fn times_reached<const N: usize>(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    targets: [f64; N],
    end_min: f64,
) -> Result<(Option<f64>, [Option<f64>; N]), Fault> {
    let mut gel = None;
    let mut reached = [None; N];
    follow(resin, temperature_c, end_min, |step| {
        // The first step past gel begins at the gel time.
        if step.gelled && gel.is_none() {
            gel = Some(step.from.0);
        }
        for (slot, &target) in reached.iter_mut().zip(&targets) {
            if slot.is_none() && step.to.1 >= target {
                *slot = Some(crossing(step.from, step.to, target));
            }
        }
        reached.iter().any(Option::is_none) || gel.is_none()
    })?;
    Ok((gel, reached))
}

/// Conversion of the autocatalytic rate k a^m (1-a)^(2-m) after a time, exact (closed form for
/// exponents that sum to two). Time in the unit of 1/k.
#[must_use]
pub fn autocatalytic_conversion(k: f64, m: f64, start: f64, time: f64) -> f64 {
    let odds = |a: f64| a / (1.0 - a);
    let u = (odds(start).powf(1.0 - m) + (1.0 - m) * k * time).powf(1.0 / (1.0 - m));
    u / (1.0 + u)
}

/// Time of the same rate from `start` to `target`, exact. In the unit of 1/k.
#[must_use]
pub fn autocatalytic_time(k: f64, m: f64, start: f64, target: f64) -> f64 {
    let odds = |a: f64| a / (1.0 - a);
    (odds(target).powf(1.0 - m) - odds(start).powf(1.0 - m)) / ((1.0 - m) * k)
}

#[cfg(test)]
#[path = "cure_tests.rs"]
mod tests;
