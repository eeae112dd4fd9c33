//! Resin through the night after a pour: temperature and conversion hour by hour, for a picture.
//!
//! Takes a resin, what it lies in (°C against minutes after the pour) and the milestones' targets;
//! gives samples a quarter of an hour apart. The three conversions are the early, the likely and the
//! late run by which [`super::forecast`] makes the bands of its milestones.

use super::cure::{Resin, follow};
use super::forecast::{CureTargets, ends};
use crate::wording::Fault;

/// Minutes from sample to sample (choice).
const STEP_MIN: u32 = 15;
/// Samples: a day and a night.
const SAMPLES: u32 = 24 * 60 / STEP_MIN;

/// The resin at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// After the pour, min.
    pub after_min: f64,
    /// What it lies in, °C.
    pub at_c: f64,
    /// Conversion, early, likely and late run.
    pub conversion: [f64; 3],
}

/// Follows a resin through a day and a night.
///
/// # Errors
/// As [`super::cure::follow`].
pub fn trace(
    resin: &Resin,
    temperature_c: &impl Fn(f64) -> f64,
    targets: &CureTargets,
) -> Result<Vec<Hour>, Fault> {
    let end_min = f64::from(SAMPLES * STEP_MIN);
    let [early, likely, late] = ends(resin, temperature_c, targets, end_min);
    let runs =
        [run(&early, temperature_c)?, run(&likely, temperature_c)?, run(&late, temperature_c)?];
    let [early, likely, late] = &runs;
    let moments = (0..=SAMPLES).map(|step| f64::from(step * STEP_MIN));
    let hours = moments.zip(early.iter().zip(likely).zip(late)).map(|(after_min, all)| {
        let ((early, likely), late) = all;
        Hour { after_min, at_c: temperature_c(after_min), conversion: [*early, *likely, *late] }
    });
    Ok(hours.collect())
}

/// Conversion at every sample.
fn run(resin: &Resin, temperature_c: &impl Fn(f64) -> f64) -> Result<Vec<f64>, Fault> {
    let mut found = vec![0.0];
    let mut next = 1_u32;
    follow(resin, temperature_c, f64::from(SAMPLES * STEP_MIN), |step| {
        while next <= SAMPLES && f64::from(next * STEP_MIN) <= step.to.0 + 1e-9 {
            let at = f64::from(next * STEP_MIN);
            let share = if step.to.0 > step.from.0 {
                ((at - step.from.0) / (step.to.0 - step.from.0)).clamp(0.0, 1.0)
            } else {
                1.0
            };
            found.push(step.from.1 + share * (step.to.1 - step.from.1));
            next += 1;
        }
        true
    })?;
    let last = found.last().copied().unwrap_or(0.0);
    found.resize(SAMPLES as usize + 1, last);
    Ok(found)
}

#[cfg(test)]
#[path = "night_tests.rs"]
mod tests;
