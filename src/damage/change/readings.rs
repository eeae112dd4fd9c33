//! Moisture readings of two surveys, each against its own dry reference.

use super::{Change, Looked};
use crate::damage::{Finding, wetness};
use crate::model::survey::SeenNow;

/// What may be said of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadingVerdict {
    /// Higher above its reference, beyond error.
    Rises,
    /// Lower, beyond error.
    Falls,
    /// Neither.
    WithinError,
    /// They cannot be compared, and why.
    NotCompared(String),
}

impl ReadingVerdict {
    /// The word of the record.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Rises => "rises",
            Self::Falls => "falls",
            Self::WithinError => "not_beyond_error",
            Self::NotCompared(_) => "not_compared",
        }
    }
}

/// A reading in both surveys, on the meter's own scale.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingChange {
    /// Number of the mark in the earlier findings.
    pub earlier: Option<usize>,
    /// Number of the mark in the later findings.
    pub later: Option<usize>,
    /// How far it stood above its dry reference then.
    pub before: Option<f64>,
    /// How far it stands above its dry reference now.
    pub now: Option<f64>,
    /// Error of the change.
    pub error: Option<f64>,
    /// What may be said.
    pub verdict: ReadingVerdict,
}

/// Readings of every mark that has one in either survey.
pub(super) fn of(earlier: &Looked<'_>, later: &Looked<'_>, marks: &[Change]) -> Vec<ReadingChange> {
    let highest = |survey: &Looked<'_>, numbers: &[usize]| -> Option<(usize, f64)> {
        let read = numbers.iter().filter_map(|number| {
            let reading = survey.findings.get(*number)?.mark().reading?;
            Some((*number, reading))
        });
        read.max_by(|a, b| a.1.total_cmp(&b.1))
    };
    marks
        .iter()
        .filter_map(|change| {
            let then = highest(earlier, &change.earlier);
            let today = highest(later, &change.later);
            if then.is_none() && today.is_none() {
                return None;
            }
            Some(compared(earlier, later, then, today))
        })
        .collect()
}

fn compared(
    earlier: &Looked<'_>,
    later: &Looked<'_>,
    then: Option<(usize, f64)>,
    today: Option<(usize, f64)>,
) -> ReadingChange {
    let meters = (&earlier.job.survey.meter, &later.job.survey.meter);
    let above = |of: Option<(usize, f64)>, survey: &Looked<'_>| {
        Some(of?.1 - survey.job.survey.meter.as_ref()?.reference)
    };
    let (before, now) = (above(then, earlier), above(today, later));
    let mut change = ReadingChange {
        earlier: then.map(|one| one.0),
        later: today.map(|one| one.0),
        before,
        now,
        error: None,
        verdict: ReadingVerdict::WithinError,
    };
    let carried = |of: Option<(usize, f64)>, survey: &Looked<'_>| {
        let finding: Option<&Finding<'_>> = of.and_then(|one| survey.findings.get(one.0));
        finding.is_some_and(|one| {
            matches!(one.mark().now, SeenNow::SeenNotMeasured | SeenNow::NotExamined)
        })
    };
    let why = if then.is_none() {
        Some("not read in the earlier survey".to_owned())
    } else if today.is_none() || carried(today, later) {
        Some("not read again".to_owned())
    } else if carried(then, earlier) {
        Some("the earlier reading is from a survey before it".to_owned())
    } else if let Some(why) = wetness::unusable(earlier.job) {
        Some(format!("the earlier reading does not count: {why}"))
    } else {
        wetness::unusable(later.job).map(|why| format!("the later reading does not count: {why}"))
    };
    let verdict = match (why, meters, before, now) {
        (Some(why), ..) => ReadingVerdict::NotCompared(why),
        (None, (Some(one), Some(other)), ..) if one.kind != other.kind => {
            ReadingVerdict::NotCompared(format!(
                "two kinds of meter: {:?} then, {:?} now",
                one.kind, other.kind
            ))
        }
        (None, (Some(one), Some(other)), Some(before), Some(now)) => {
            // A reading and its reference are each off by a step.
            let error = (2.0 * (one.step.powi(2) + other.step.powi(2))).sqrt();
            change.error = Some(error);
            if now - before > error {
                ReadingVerdict::Rises
            } else if before - now > error {
                ReadingVerdict::Falls
            } else {
                ReadingVerdict::WithinError
            }
        }
        _ => ReadingVerdict::NotCompared("one of the two has no dry reference".to_owned()),
    };
    change.verdict = verdict;
    change
}
