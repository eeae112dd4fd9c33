//! The record of a comparison: two surveys of one body, in the order in which it is read.

use serde::Serialize;

use super::model::{GridMm, SettingLine};

/// Name of the record.
pub const COMPARE_SCHEMA: &str = "plymend.compare";
/// Its version.
pub const COMPARE_VERSION: u32 = 1;

/// What changed between two surveys.
#[derive(Debug, Clone, Serialize)]
pub struct Comparison {
    /// [`COMPARE_SCHEMA`].
    pub schema: &'static str,
    /// [`COMPARE_VERSION`].
    pub schema_version: u32,
    /// Files the answer was made from.
    pub files_read: Vec<String>,
    /// The vehicle.
    pub body: String,
    /// The earlier survey.
    pub earlier: ComparedSurvey,
    /// The later survey.
    pub later: ComparedSurvey,
    /// In what the two were not made alike.
    pub unlike: Vec<String>,
    /// What must not be done by the later survey.
    pub stops: Vec<ComparedStop>,
    /// What the later survey sends to whom, new and changed first.
    pub referrals: Vec<ComparedReferral>,
    /// Stops and referrals of the earlier survey that the later one does not raise.
    pub no_longer: Vec<NoLonger>,
    /// What nobody could see in the later survey.
    pub not_seen: Vec<String>,
    /// How many marks have each verdict.
    pub counts: VerdictCounts,
    /// Marks.
    pub marks: Vec<MarkChange>,
    /// Fixings.
    pub fixings: Vec<FixingLine>,
    /// Meter readings at marks.
    pub readings: Vec<ReadingLine>,
    /// Panels that only one of the two has.
    pub alone: Vec<String>,
    /// Rule figures the user changed in either.
    pub settings: Vec<SettingLine>,
    /// What a comparison cannot tell.
    pub limits: Vec<String>,
    /// Why the exit code is not 0.
    pub needs_a_person: Vec<String>,
}

/// One of the two surveys.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedSurvey {
    /// Its file.
    pub file: String,
    /// Its date, as written.
    pub date: String,
    /// Its day, year-month-day, where it was given.
    pub on: Option<String>,
    /// Who made it.
    pub author: String,
    /// Who held the tape.
    pub people: String,
    /// Light.
    pub light: String,
    /// How good the light was.
    pub light_is: String,
    /// Cleaning.
    pub cleaning: String,
    /// Weather.
    pub weather: String,
    /// The meter and its dry reference, in words; empty without one.
    pub meter: String,
    /// How well it sees where a crack ends, 95 %.
    pub end_error_mm: f64,
    /// Marks it lists.
    pub marks: usize,
}

/// Something that must not be done.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedStop {
    /// What must not be done.
    pub text: String,
    /// Where.
    #[serde(rename = "where")]
    pub place: String,
    /// Marks of the later survey behind it.
    pub marks: Vec<u32>,
    /// The rule.
    pub rule: String,
    /// The earlier survey did not raise it.
    pub new: bool,
}

/// Something that goes to somebody else.
#[derive(Debug, Clone, Serialize)]
pub struct ComparedReferral {
    /// The mark, by the later survey's number; nothing when a fixing alone is referred.
    pub mark: Option<u32>,
    /// The panel.
    pub panel: String,
    /// Why.
    pub reason: String,
    /// The rule.
    pub rule: String,
    /// Who should look.
    pub who: String,
    /// new, changed or as_before.
    pub standing: &'static str,
    /// What the earlier survey said, where it is changed.
    pub before: Option<String>,
}

/// A stop or referral of the earlier survey that the later one does not raise.
#[derive(Debug, Clone, Serialize)]
pub struct NoLonger {
    /// The mark, by the earlier survey's number.
    pub mark: Option<u32>,
    /// The panel.
    pub panel: String,
    /// What it said.
    pub text: String,
    /// The rule.
    pub rule: String,
    /// Why it is raised no longer; that is no clearance.
    pub because: String,
}

/// How many marks have each verdict.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct VerdictCounts {
    /// Larger beyond error.
    pub grown: usize,
    /// Of another kind than before.
    pub turned: usize,
    /// Found for the first time.
    pub new: usize,
    /// There again after a repair.
    pub back_again: usize,
    /// Smaller beyond error.
    pub smaller: usize,
    /// Not found though examined.
    pub gone: usize,
    /// Repaired.
    pub repaired: usize,
    /// Measured, no change beyond error.
    pub measured_unchanged: usize,
    /// Not examined.
    pub not_examined: usize,
    /// Seen, not measured again.
    pub seen_not_measured: usize,
}

/// A mark, or marks that are one on the body.
#[derive(Debug, Clone, Serialize)]
pub struct MarkChange {
    /// What became of it: a word of the counts.
    pub verdict: &'static str,
    /// The same in words.
    pub words: &'static str,
    /// Its numbers in the earlier survey.
    pub earlier_marks: Vec<u32>,
    /// Its numbers in the later survey.
    pub later_marks: Vec<u32>,
    /// The panel.
    pub panel: String,
    /// The side.
    pub side: String,
    /// What it was, mark by mark.
    pub kinds_before: Vec<String>,
    /// What it is, mark by mark.
    pub kinds_now: Vec<String>,
    /// same, graver, lighter, covered or unlike; nothing where one survey lacks it.
    pub turn: Option<&'static str>,
    /// Where it was, mark by mark.
    pub places_before: Vec<GridMm>,
    /// Where it is, mark by mark.
    pub places_now: Vec<GridMm>,
    /// How far apart the middles lie over the skin.
    pub apart_mm: Option<f64>,
    /// Both place errors together, 95 % each way.
    pub place_error_mm: Option<f64>,
    /// The middles lie farther apart than place errors and growth explain.
    pub apart_beyond_error: bool,
    /// Lengths in both surveys.
    pub lengths: Vec<LengthChange>,
    /// Areas in both surveys, where several marks are one.
    pub areas: Vec<AreaChange>,
    /// How the later survey stands to it: measured, seen_not_measured, not_examined, repaired.
    pub later_state: Vec<String>,
    /// What else is told of it now and was not before, or the other way round.
    pub told: Vec<String>,
    /// Why, where the verdict rests on more than sizes.
    pub why: String,
}

/// A length in both surveys.
#[derive(Debug, Clone, Serialize)]
pub struct LengthChange {
    /// Which.
    pub what: &'static str,
    /// Then.
    pub before_mm: f64,
    /// Now.
    pub now_mm: f64,
    /// Now less then.
    pub change_mm: f64,
    /// Error of the change, 95 %.
    pub error_mm: f64,
    /// grown, smaller, not_beyond_error or not_measured.
    pub claim: &'static str,
}

/// An area in both surveys.
#[derive(Debug, Clone, Serialize)]
pub struct AreaChange {
    /// Which.
    pub what: &'static str,
    /// Then.
    pub before_m2: f64,
    /// Now.
    pub now_m2: f64,
    /// Now less then.
    pub change_m2: f64,
    /// Error of the change, 95 %.
    pub error_m2: f64,
    /// grown, smaller, not_beyond_error or not_measured.
    pub claim: &'static str,
}

/// A fixing in both surveys.
#[derive(Debug, Clone, Serialize)]
pub struct FixingLine {
    /// The panel.
    pub panel: String,
    /// The fixing.
    pub fixing: String,
    /// What it carries.
    pub carries: String,
    /// Its state then; nothing where it was not listed.
    pub before: Option<String>,
    /// Its state now.
    pub now: Option<String>,
    /// What may be said, a word.
    pub verdict: &'static str,
    /// The same in words.
    pub words: &'static str,
    /// Somebody has to look.
    pub asks: bool,
}

/// A meter reading in both surveys, on the meter's own scale.
#[derive(Debug, Clone, Serialize)]
pub struct ReadingLine {
    /// The mark in the earlier survey.
    pub earlier_mark: Option<u32>,
    /// The mark in the later survey.
    pub later_mark: Option<u32>,
    /// How far it stood above its own dry reference then.
    pub before_above: Option<f64>,
    /// How far it stands above its own dry reference now.
    pub now_above: Option<f64>,
    /// Error of the change.
    pub error: Option<f64>,
    /// rises, falls, not_beyond_error or not_compared.
    pub verdict: &'static str,
    /// Why they are not compared; empty where they are.
    pub why: String,
}

impl Comparison {
    /// Why the exit code is not 0, in one line.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        (!self.needs_a_person.is_empty())
            .then(|| format!("something needs a person: {}", self.needs_a_person.join("; ")))
    }
}
