//! The record of several surveys of one body: every mark through time.

use serde::Serialize;

use super::model::GridMm;
use super::record_compare::ComparedSurvey;
use super::record_safety::{Referral, Stop};

/// Name of the record.
pub const HISTORY_SCHEMA: &str = "plymend.history";
/// Its version.
pub const HISTORY_VERSION: u32 = 1;

/// Every mark through time.
#[derive(Debug, Clone, Serialize)]
pub struct History {
    /// [`HISTORY_SCHEMA`].
    pub schema: &'static str,
    /// [`HISTORY_VERSION`].
    pub schema_version: u32,
    /// Files the answer was made from.
    pub files_read: Vec<String>,
    /// The vehicle.
    pub body: String,
    /// The surveys in order.
    pub surveys: Vec<ComparedSurvey>,
    /// They were put in order of their days; else they are as typed.
    pub by_day: bool,
    /// What must not be done, by the last survey.
    pub stops: Vec<Stop>,
    /// What goes to whom, by the last survey.
    pub referrals: Vec<Referral>,
    /// What nobody could see in the last survey.
    pub not_seen: Vec<String>,
    /// Marks.
    pub marks: Vec<TrackLine>,
    /// What a history cannot tell.
    pub limits: Vec<String>,
    /// Why the exit code is not 0.
    pub needs_a_person: Vec<String>,
}

/// One mark through time.
#[derive(Debug, Clone, Serialize)]
pub struct TrackLine {
    /// Its panel.
    pub panel: String,
    /// Its side.
    pub side: String,
    /// What each survey has of it.
    pub seen: Vec<SeenLine>,
    /// Its sizes.
    pub sizes: Vec<SizeSeries>,
    /// The numbers, in the last survey that has it, of the mark it ran into; else empty.
    pub ran_into: Vec<u32>,
}

/// What one survey has of a mark.
#[derive(Debug, Clone, Serialize)]
pub struct SeenLine {
    /// The survey, from 1, in order.
    pub survey: usize,
    /// Its numbers there; empty where the survey does not list it.
    pub marks: Vec<u32>,
    /// What it is there, mark by mark.
    pub kinds: Vec<String>,
    /// measured, seen_not_measured, not_examined, repaired; not_listed, or before where no survey had it yet.
    pub state: String,
    /// Where it is there.
    pub place_mm: Option<GridMm>,
    /// Why it is not listed.
    pub why: String,
}

/// A size through time.
#[derive(Debug, Clone, Serialize)]
pub struct SizeSeries {
    /// Which.
    pub what: &'static str,
    /// Its readings.
    pub readings: Vec<SizeReading>,
    /// First and last measured size; nothing with fewer than two.
    pub overall: Option<OverallChange>,
    /// How fast it grows; nothing where that cannot be said.
    pub rate: Option<RateLine>,
    /// Why there is no rate; empty where there is one.
    pub no_rate: String,
}

/// A size in one survey.
#[derive(Debug, Clone, Serialize)]
pub struct SizeReading {
    /// The survey, from 1, in order.
    pub survey: usize,
    /// The size.
    pub size_mm: f64,
    /// How well its ends were seen, 95 %.
    pub error_mm: f64,
    /// It was measured then; else it is carried over and counts for nothing.
    pub measured: bool,
}

/// First against last measured size.
#[derive(Debug, Clone, Serialize)]
pub struct OverallChange {
    /// First.
    pub first_mm: f64,
    /// Last.
    pub last_mm: f64,
    /// Error of the difference, 95 %.
    pub error_mm: f64,
    /// grown, smaller or not_beyond_error.
    pub claim: &'static str,
}

/// A rate with its interval at 95 %.
#[derive(Debug, Clone, Serialize)]
pub struct RateLine {
    /// How fast it grows.
    pub mm_a_year: f64,
    /// Lower end of the interval.
    pub low_mm_a_year: f64,
    /// Upper end of the interval.
    pub high_mm_a_year: f64,
    /// Surveys it rests on, from 1, in order.
    pub surveys: Vec<usize>,
    /// What the interval rests on: scatter or reading_error.
    pub rests_on: &'static str,
    /// grows, shrinks or neither: whether the whole interval lies on one side of nothing.
    pub says: &'static str,
}

impl History {
    /// Why the exit code is not 0, in one line.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        (!self.needs_a_person.is_empty())
            .then(|| format!("something needs a person: {}", self.needs_a_person.join("; ")))
    }
}
