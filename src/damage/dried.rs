//! May a wet mark be closed again? Told by its drying log and by nothing else.
//!
//! Takes the readings of one mark; gives whether they rise or fall, and the go-ahead: the last
//! three that count, at least 48 h apart, each equal to the dry reference of the same day within
//! the meter's step, none above the one before. Readings that do not count are kept and said. A
//! reading of any kind after those three takes the go-ahead away until it counts and agrees.

use std::collections::BTreeMap;

use crate::model::drying::DryingReading;
use crate::model::moment::Moment;
use crate::model::survey::Meter;
use crate::read::job::Job;
use crate::rules::{Book, id};

/// Fewest readings that a slope is drawn through.
const SLOPE_FROM: usize = 3;

/// A reading as it is judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// When.
    pub at: Moment,
    /// Where, in words.
    pub place: String,
    /// Above the dry reference of the same day, on the meter's own scale.
    pub above: f64,
    /// The reading itself.
    pub reading: f64,
    /// The reference.
    pub reference: f64,
    /// Why it does not count; none where it does.
    pub not_used: Option<String>,
    /// The user's note.
    pub note: String,
}

/// Which way readings go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trend {
    /// Fewer than two readings that count.
    TooFew,
    /// Within the meter's step.
    Steady,
    /// Lower by more than the meter's step over all.
    Falling,
    /// Higher by more than the meter's step over all.
    Rising,
}

impl Trend {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::TooFew => "too few readings to say",
            Self::Falling => "falling",
            Self::Steady => "steady within the meter's step",
            Self::Rising => "rising",
        }
    }
}

/// The log of one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Dried {
    /// Every reading, by time.
    pub readings: Vec<Judged>,
    /// Which way those that count go.
    pub trend: Trend,
    /// Change a week by least squares, on the meter's own scale; none of fewer than three.
    pub slope_per_week: Option<f64>,
    /// The moments of the three readings that give the go-ahead; empty without it.
    pub go_ahead: Vec<Moment>,
    /// What is still wanting, in words; empty with the go-ahead.
    pub wanting: String,
}

impl Dried {
    /// It may be closed.
    #[must_use]
    pub fn is_dry(&self) -> bool {
        !self.go_ahead.is_empty()
    }
}

/// The log of a mark; none where it has no reading in it.
#[must_use]
pub fn of_mark(job: &Job, mark: u32) -> Option<Dried> {
    let (_, log) = job.drying.as_ref()?;
    let meter = job.survey.meter.as_ref()?;
    let step = meter.step;
    let mut readings: Vec<Judged> = log
        .readings
        .iter()
        .filter(|one| one.mark == mark)
        .filter_map(|one| judged(&job.book, meter, one))
        .collect();
    if readings.is_empty() {
        return None;
    }
    readings.sort_by(|one, other| one.at.cmp(&other.at).then(one.place.cmp(&other.place)));
    let mut by_place: BTreeMap<&str, Vec<&Judged>> = BTreeMap::new();
    for one in &readings {
        by_place.entry(&one.place).or_default().push(one);
    }
    // Every place of the mark has to be dry; the worst of them speaks for the mark.
    let (mut tells, mut slope, mut go_ahead, mut wanting) =
        (Trend::TooFew, None::<f64>, Vec::new(), Vec::new());
    for (place, of) in &by_place {
        let used: Vec<&Judged> = of.iter().copied().filter(|one| one.not_used.is_none()).collect();
        tells = tells.max(trend(&used, step));
        slope = match (slope, slope_per_week(&used)) {
            (Some(one), Some(other)) => Some(one.max(other)),
            (one, other) => one.or(other),
        };
        match last_ones(of, step, &job.book) {
            Ok(moments) => go_ahead.extend(moments),
            Err(why) if place.is_empty() => wanting.push(why),
            Err(why) => wanting.push(format!("{place}: {why}")),
        }
    }
    if wanting.is_empty() {
        go_ahead.sort_unstable();
        go_ahead.dedup();
    } else {
        go_ahead.clear();
    }
    let (trend, wanting) = (tells, wanting.join("; "));
    Some(Dried { trend, slope_per_week: slope, go_ahead, wanting, readings })
}

fn judged(book: &Book, meter: &Meter, one: &DryingReading) -> Option<Judged> {
    Some(Judged {
        at: Moment::parse(&one.at)?,
        place: one.place.clone(),
        above: one.reading - one.reference,
        reading: one.reading,
        reference: one.reference,
        not_used: not_used(book, meter, one),
        note: one.note.clone(),
    })
}

/// As for the readings of a survey: what nobody recorded does not count as dry.
fn not_used(book: &Book, meter: &Meter, one: &DryingReading) -> Option<String> {
    // A reference that has become wet makes a wet mark look dry.
    if one.reference > meter.reference + meter.step + 1e-9 {
        return Some(format!(
            "its dry reference, {}, stands above the {} of the survey by more than the meter's step",
            one.reference, meter.reference
        ));
    }
    let dry_h = book.figure(id::METER_DRY);
    let Some(hours) = one.hours_dry else {
        return Some("nobody recorded how long it had been dry".to_owned());
    };
    if hours.value() < dry_h {
        return Some(format!(
            "taken {hours} after wash, rain or wet ground, less than {dry_h:.0} h"
        ));
    }
    let (Some(air), Some(damp)) = (one.air_c, one.humidity_percent) else {
        return Some("air and humidity were not taken, so the dew point is not known".to_owned());
    };
    let panel_c = one.panel_c.unwrap_or(air).value();
    let Ok(dew_c) = crate::dew_point::dew_point_c(air.value(), damp.value()) else {
        return Some("no dew point follows from its air and humidity".to_owned());
    };
    let margin_k = book.figure(id::DEW_MARGIN);
    (panel_c - dew_c < margin_k).then(|| {
        format!(
            "taken with the panel {:.1} C above the dew point, less than {margin_k} C",
            panel_c - dew_c
        )
    })
}

fn trend(used: &[&Judged], step: f64) -> Trend {
    match used {
        [first, .., last] => {
            let change = last.above - first.above;
            if change > step {
                Trend::Rising
            } else if change < -step {
                Trend::Falling
            } else {
                Trend::Steady
            }
        }
        _ => Trend::TooFew,
    }
}

/// Least squares of the excess over the reference against time.
fn slope_per_week(used: &[&Judged]) -> Option<f64> {
    let first = used.first().filter(|_| used.len() >= SLOPE_FROM)?;
    let count = used.len() as f64;
    let points: Vec<(f64, f64)> =
        used.iter().map(|one| (one.at.hours_after(first.at) / 168.0, one.above)).collect();
    let mean_t = points.iter().map(|(t, _)| t).sum::<f64>() / count;
    let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / count;
    let spread: f64 = points.iter().map(|(t, _)| (t - mean_t).powi(2)).sum();
    let both: f64 = points.iter().map(|(t, y)| (t - mean_t) * (y - mean_y)).sum();
    (spread > 1e-9).then(|| both / spread)
}

/// The moments of the last readings that it takes, or what is wanting for a go-ahead.
fn last_ones(readings: &[&Judged], step: f64, book: &Book) -> Result<Vec<Moment>, String> {
    let apart_h = book.figure(id::DRYING_APART);
    let wanted = book.figure(id::WET_NO_DATE).max(1.0) as usize;
    let Some(newest) = readings.last() else { return Err("no reading".to_owned()) };
    if let Some(why) = &newest.not_used {
        return Err(format!("the last reading, of {}, does not count: {why}", newest.at));
    }
    // From the newest backwards, each far enough from the one taken before.
    let newest = *newest;
    let mut taken: Vec<&Judged> = vec![newest];
    let mut since = newest;
    for one in readings.iter().copied().rev().skip(1).filter(|one| one.not_used.is_none()) {
        let last = taken.last().copied().unwrap_or(newest);
        if taken.len() < wanted {
            since = one;
            if last.at.hours_after(one.at) >= apart_h - 1e-9 {
                taken.push(one);
            }
        }
    }
    if taken.len() < wanted {
        return Err(format!(
            "{} of {wanted} readings that count and lie {apart_h:.0} h apart",
            taken.len()
        ));
    }
    // Everything read since the first of them has to agree, not the three alone.
    let all: Vec<&Judged> = readings
        .iter()
        .copied()
        .filter(|one| one.not_used.is_none() && one.at >= since.at)
        .collect();
    if let Some(off) = all.iter().find(|one| one.above.abs() > step + 1e-9) {
        return Err(format!(
            "the reading of {} is {} against {} on the dry reference, off by more than the meter's step of {step}",
            off.at, off.reading, off.reference
        ));
    }
    let risen = all.windows(2).find_map(|two| match two {
        [before, after] if after.above > before.above + 1e-9 => Some(*after),
        _ => None,
    });
    if let Some(risen) = risen {
        return Err(format!("the reading of {} stands above the one before it", risen.at));
    }
    taken.reverse();
    Ok(taken.into_iter().map(|one| one.at).collect())
}

#[cfg(test)]
#[path = "dried_tests.rs"]
mod tests;
