//! The record of many surveys: one line a survey that stands alone, and the table of all of them.

use serde::Serialize;

use super::model::Exclusion;
use crate::quantity::Cases;

/// Name of the record of all surveys.
pub const TOTALS_SCHEMA: &str = "plymend.totals";
/// Name of the record of one survey among many.
pub const TOTALS_LINE_SCHEMA: &str = "plymend.totals.survey";
/// Version of both.
pub const TOTALS_VERSION: u32 = 1;

/// All surveys of a folder.
#[derive(Debug, Clone, Serialize)]
pub struct TotalsTable {
    /// [`TOTALS_SCHEMA`].
    pub schema: &'static str,
    /// [`TOTALS_VERSION`].
    pub schema_version: u32,
    /// Surveys, worst first.
    pub surveys: Vec<SurveyTotals>,
    /// All of them together.
    pub all: AllTotals,
    /// Files that were left out.
    pub bad_files: Vec<BadFile>,
    /// Files that are no surveys, such as panels: their surveys read them.
    pub other_files: usize,
}

/// One survey.
#[derive(Debug, Clone, Serialize)]
pub struct SurveyTotals {
    /// [`TOTALS_LINE_SCHEMA`].
    pub schema: &'static str,
    /// [`TOTALS_VERSION`].
    pub schema_version: u32,
    /// Its file.
    pub file: String,
    /// The vehicle.
    pub body: String,
    /// Whom it is for.
    pub client: String,
    /// Its date, as written.
    pub date: String,
    /// Its day, where it was given.
    pub on: Option<String>,
    /// What must not be done.
    pub stops: Vec<String>,
    /// Why it stands where it stands, gravest first.
    pub reasons: Vec<String>,
    /// Reasons to refer that are a fixing's and no mark's.
    pub fixings_referred: usize,
    /// Steps that may not be done until something is answered or changed.
    pub blocked_steps: usize,
    /// Figures of the whole body.
    pub figures: TotalFigures,
    /// Hands-on hours of all repairs and paint.
    pub hours: Cases<f64>,
    /// Something is left out, so high figures read at least.
    pub at_least: bool,
    /// Marks that no figure of work or material holds.
    pub excludes: Vec<Exclusion>,
    /// Safety rules the user weakened.
    pub weakened: Vec<String>,
    /// Panels with marks.
    pub panels: Vec<PanelTotals>,
}

impl SurveyTotals {
    /// A mark or a fixing of it goes to a specialist.
    #[must_use]
    pub const fn is_referred(&self) -> bool {
        self.figures.referred > 0 || self.fixings_referred > 0
    }
}

/// One panel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PanelTotals {
    /// The panel.
    pub panel: String,
    /// Its figures.
    pub figures: TotalFigures,
    /// Something is left out, so high figures read at least.
    pub at_least: bool,
    /// Marks that no figure of work or material holds.
    pub left_out: Vec<u32>,
}

/// Counts and quantities, as seen and net.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct TotalFigures {
    /// Marks.
    pub marks: usize,
    /// Marks that go to somebody else.
    pub referred: usize,
    /// Marks held with them.
    pub held: usize,
    /// Marks that are repaired.
    pub to_repair: usize,
    /// Marks that are watched or were repaired.
    pub watched: usize,
    /// Both sides.
    pub area_m2: f64,
    /// Of that looked at.
    pub looked_at_m2: f64,
    /// Cracks recorded as lines.
    pub cracks_m: f64,
    /// Crazed and starred.
    pub crazed_m2: f64,
    /// Dull or let go.
    pub drummy_m2: f64,
    /// Blistered.
    pub blistered_m2: f64,
    /// Wet.
    pub wet_m2: f64,
    /// Holes.
    pub hole_m2: f64,
    /// Prepared surface, both sides.
    pub prepared_m2: Cases<f64>,
    /// Mats and cloth.
    pub glass_kg: Cases<f64>,
    /// Laminating resin.
    pub resin_kg: Cases<f64>,
    /// Gel or flow coat.
    pub gel_coat_kg: Cases<f64>,
}

/// All surveys together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AllTotals {
    /// How many surveys.
    pub surveys: usize,
    /// Surveys with something to stop.
    pub with_stops: usize,
    /// Surveys with a referral.
    pub with_referrals: usize,
    /// Their figures.
    pub figures: TotalFigures,
    /// Hands-on hours.
    pub hours: Cases<f64>,
    /// Something is left out, so high figures read at least.
    pub at_least: bool,
    /// Marks that no figure of work or material holds, by reason.
    pub excludes: Vec<LeftOutCount>,
    /// Files that could not be counted.
    pub bad_files: usize,
    /// Bodies that more than one survey is of, by name: their marks count once a survey.
    pub surveyed_again: Vec<String>,
}

/// Marks left out for one reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOutCount {
    /// Why.
    pub reason: String,
    /// How many.
    pub marks: usize,
}

/// A file that was left out.
#[derive(Debug, Clone, Serialize)]
pub struct BadFile {
    /// [`TOTALS_LINE_SCHEMA`].
    pub schema: &'static str,
    /// [`TOTALS_VERSION`].
    pub schema_version: u32,
    /// The file.
    pub file: String,
    /// What is wrong with it.
    pub faults: Vec<FaultLine>,
}

/// A fault.
#[derive(Debug, Clone, Serialize)]
pub struct FaultLine {
    /// Its code.
    pub code: &'static str,
    /// The file it is in.
    pub file: String,
    /// Line, where it is known.
    pub line: Option<usize>,
    /// Column, where it is known.
    pub column: Option<usize>,
    /// The field.
    pub field: String,
    /// What is wrong.
    pub problem: String,
}
