//! The air of a shop through its hours, and the panels that lag behind it.
//!
//! Takes readings (°C, % relative humidity) of a climate file; gives samples a quarter of an hour
//! apart. Between two readings the air runs straight. A panel follows the air as a lump does,
//! dT/dt = (air - T)/tau (textbook: lumped heat capacity), and which tau nobody knows: a bare skin
//! follows in minutes, a vehicle with its frame, floor and the air inside it in hours. Both are
//! carried, and whatever is judged is judged by the worse of the two.

pub mod brought_in;
pub mod settle;
pub mod windows;

use super::climate::PourTemperatures;
use super::timetable::calendar::{Calendar, DAY_MIN};
use crate::model::climate::ClimateLog;
use crate::model::moment::Moment;

/// Minutes from sample to sample (choice).
pub const STEP_MIN: i64 = 15;

/// The shop at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Minutes from the midnight before the first reading.
    pub at_min: i64,
    /// Air, °C.
    pub air_c: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
    /// A bare skin, °C.
    pub quick_c: f64,
    /// A panel with the whole vehicle behind it, °C.
    pub slow_c: f64,
    /// Resin in its tin, °C.
    pub resin_c: f64,
}

impl Sample {
    /// The colder of the two panels, °C.
    #[must_use]
    pub fn cold_panel_c(&self) -> f64 {
        self.quick_c.min(self.slow_c)
    }

    /// Temperatures at a pour, by the colder of the two panels.
    #[must_use]
    pub fn cold(&self) -> PourTemperatures {
        PourTemperatures { air_c: self.air_c, panel_c: self.cold_panel_c(), resin_c: self.resin_c }
    }

    /// The same by the warmer of the two.
    #[must_use]
    pub fn hot(&self) -> PourTemperatures {
        PourTemperatures { panel_c: self.quick_c.max(self.slow_c), ..self.cold() }
    }

    /// What a laminate cures at, °C: the colder of air and panel.
    #[must_use]
    pub fn curing_c(&self) -> f64 {
        self.air_c.min(self.cold_panel_c())
    }
}

/// How panels lag, h.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lags {
    /// Of a bare skin.
    pub quick_h: f64,
    /// Of a panel with the vehicle behind it.
    pub slow_h: f64,
}

/// The air of a shop through its hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The file.
    pub from: String,
    /// The midnight from which minutes are counted.
    pub midnight: Moment,
    /// Opening hours, its first day being the day of the first reading.
    pub open: Calendar,
    /// How panels lag.
    pub lags: Lags,
    /// Samples, [`STEP_MIN`] apart.
    pub samples: Vec<Sample>,
    /// The coldest stretch of a day, by its mean: its first sample and how many there are.
    coldest_day: (usize, usize),
}

impl Course {
    /// The course of a file. `panel_c` is the panel at the first reading, where it is not the
    /// air's; `resin_c` the tin, where it is kept apart; both °C. None where the file tells no
    /// stretch of time.
    #[must_use]
    pub fn of(
        (file, log): (&str, &ClimateLog),
        panel_c: Option<f64>,
        resin_c: Option<f64>,
        lags: Lags,
        open: Calendar,
    ) -> Option<Self> {
        let first = log.hours.first()?.moment()?;
        let midnight = first.midnight();
        let at = |moment: Moment| moment.minutes_after(midnight);
        let read: Vec<(i64, f64, f64, Option<f64>)> = log
            .hours
            .iter()
            .filter_map(|one| {
                let panel_c = one.panel_c.map(|panel| panel.value());
                let air = (one.air_c.value(), one.humidity_percent.value());
                Some((at(one.moment()?), air.0, air.1, panel_c))
            })
            .collect();
        let mut samples: Vec<Sample> = Vec::new();
        let start_c = read.first()?.3.or(panel_c).unwrap_or(read.first()?.1);
        let (mut quick_c, mut slow_c) = (start_c, start_c);
        let mut next = read.first()?.0;
        for pair in read.windows(2) {
            let [one, other] = pair else { continue };
            while next <= other.0 {
                let share = (next - one.0) as f64 / (other.0 - one.0) as f64;
                let between = |from: f64, to: f64| from + share * (to - from);
                let air_c = between(one.1, other.1);
                if let Some(before) = samples.last() {
                    let hours = (next - before.at_min) as f64 / 60.0;
                    quick_c = follows(quick_c, before.air_c, air_c, hours, lags.quick_h);
                    slow_c = follows(slow_c, before.air_c, air_c, hours, lags.slow_h);
                    // What somebody measured in between wins over what is worked out.
                    let read_since = |at: i64| (before.at_min + 1..=next).contains(&at);
                    let measured = [one, other].into_iter().rev().find(|at| read_since(at.0));
                    if let Some(panel_c) = measured.and_then(|one| one.3) {
                        (quick_c, slow_c) = (panel_c, panel_c);
                    }
                }
                samples.push(Sample {
                    at_min: next,
                    air_c,
                    humidity_percent: between(one.2, other.2),
                    quick_c,
                    slow_c,
                    resin_c: resin_c.unwrap_or(air_c),
                });
                next += STEP_MIN;
            }
        }
        let weekday = midnight.weekday();
        let open = Calendar { starts: Some(weekday), ..open };
        let coldest_day = coldest_day(&samples);
        let from = file.to_owned();
        (samples.len() > 1).then_some(Self { from, midnight, open, lags, samples, coldest_day })
    }

    /// First and last minute that are known.
    #[must_use]
    pub fn known(&self) -> (i64, i64) {
        let at = |one: Option<&Sample>| one.map_or(0, |one| one.at_min);
        (at(self.samples.first()), at(self.samples.last()))
    }

    /// What a laminate cures at, °C, at a minute of the clock. Past the last reading the coldest
    /// day of the file comes again and again: a guess on the slow side.
    #[must_use]
    pub fn curing_c(&self, clock_min: f64) -> f64 {
        let (first, last) = self.known();
        let after = clock_min - first as f64;
        let slot = if clock_min <= last as f64 {
            (after.max(0.0) / STEP_MIN as f64).floor() as usize
        } else {
            let (from, length) = self.coldest_day;
            let past = ((clock_min - last as f64) / STEP_MIN as f64).floor() as usize;
            from + past % length.max(1)
        };
        let one = self.samples.get(slot).or(self.samples.last());
        one.map_or(f64::NAN, Sample::curing_c)
    }

    /// Samples in the opening hours.
    pub fn in_opening_hours(&self) -> impl Iterator<Item = &Sample> {
        self.samples.iter().filter(|one| self.open.is_open_at(one.at_min))
    }
}

fn coldest_day(samples: &[Sample]) -> (usize, usize) {
    let length = ((DAY_MIN / STEP_MIN) as usize).min(samples.len());
    let mean = |day: &[Sample]| day.iter().map(Sample::curing_c).sum::<f64>();
    let days = samples.windows(length.max(1)).enumerate();
    let coldest = days.min_by(|one, other| mean(one.1).total_cmp(&mean(other.1)));
    (coldest.map_or(0, |(from, _)| from), length)
}

/// A lump after so many hours in air that runs straight from one temperature to another, °C.
#[must_use]
pub fn follows(lump_c: f64, air_from_c: f64, air_to_c: f64, hours: f64, lag_h: f64) -> f64 {
    if hours <= 0.0 {
        return lump_c;
    }
    // Exact for a straight run: it trails the air by slope x lag once the start is forgotten.
    let trail = (air_to_c - air_from_c) / hours * lag_h;
    let start = lump_c - (air_from_c - trail);
    air_to_c - trail + start * (-hours / lag_h).exp()
}

#[cfg(test)]
#[path = "course_tests.rs"]
mod tests;
