//! The answer as one record: what every form of output says, and no more than that.
//!
//! The JSON form is this record. Names are stable and only ever added to; lengths are mm, areas
//! m2, masses kg or g, and every name says its unit. Figures are rounded here and nowhere else.

use std::collections::BTreeMap;

use serde::Serialize;

pub use super::record_buy::*;
pub use super::record_classes::*;
pub use super::record_climate::*;
pub use super::record_condition::*;
pub use super::record_drying::*;
pub use super::record_grids::*;
pub use super::record_hours::*;
pub use super::record_inputs::*;
pub use super::record_match::*;
pub use super::record_method::*;
pub use super::record_opened::*;
pub use super::record_safety::*;
pub use super::record_shop::*;
pub use super::record_summary::*;
pub use super::record_timetable::*;
pub use super::record_turns::*;
pub use super::record_work::*;
use crate::quantity::Cases;

/// Name of the record.
pub const SCHEMA: &str = "plymend.estimate";
/// Its version: it rises when a name changes meaning, which has not happened.
pub const SCHEMA_VERSION: u32 = 1;

/// The whole answer.
#[derive(Debug, Clone, Serialize)]
pub struct Report {
    /// [`SCHEMA`].
    pub schema: &'static str,
    /// [`SCHEMA_VERSION`].
    pub schema_version: u32,
    /// The command that was answered: assess or estimate.
    pub answers: &'static str,
    /// The program that made the answer.
    pub program: ProgramLine,
    /// Files the answer was made from.
    pub files_read: Vec<String>,
    /// The same and what is built in, each with its fingerprint.
    pub files: Vec<FileLine>,
    /// Who, when, for whom.
    pub survey: SurveyHead,
    /// Photos, those of the whole survey first.
    pub photos: Vec<PhotoLine>,
    /// What was changed in the survey after it was first written, word for word.
    pub amendments: Vec<AmendmentLine>,
    /// What must not be done.
    pub stops: Vec<Stop>,
    /// What goes to whom, and why.
    pub referrals: Vec<Referral>,
    /// What nobody could see.
    pub not_seen: Vec<String>,
    /// Panels.
    pub panels: Vec<PanelLine>,
    /// Marks.
    pub findings: Vec<FindingLine>,
    /// Quantities as seen, with their coverage, and the marks worst first.
    pub condition: Condition,
    /// Grids of readings.
    pub grids: Vec<GridLine>,
    /// Drying of wet marks; nothing where none is wet and none was logged.
    pub drying: Option<DryingLines>,
    /// Classes of published standards; nothing unless they were asked for.
    pub classes: Option<Vec<ClassLine>>,
    /// Hands-on hours.
    pub hours: Option<HoursLines>,
    /// What is done when.
    pub timetable: Option<TimetableLines>,
    /// What is done now, what can wait and what is left.
    pub turns: Option<TurnLines>,
    /// What to buy.
    pub order: Option<OrderLines>,
    /// What it costs; nothing without a price file.
    pub price: Option<PriceLines>,
    /// One page for a buyer; nothing unless it was asked for.
    pub summary: Option<Summary>,
    /// Questions on which practice disagrees and that matter here.
    pub conflicts: Vec<ConflictLine>,
    /// What opening up found and what it changes; nothing where no mark was opened.
    pub opened: Option<OpenedUp>,
    /// Repairs.
    pub repairs: Vec<RepairLine>,
    /// Net materials of all repairs together.
    pub materials: Cases<Materials>,
    /// Paint.
    pub paint: Paint,
    /// Shop, climate, cure and air.
    pub shop: ShopLines,
    /// Steps that may not be done until something is answered or changed.
    pub blocks: Vec<Block>,
    /// What the user answered that bears on a block.
    pub answers_given: Vec<AnswerLine>,
    /// Body mounts by state; nothing where none is listed.
    pub body_mounts: Option<BodyMounts>,
    /// What has to be put right before the work.
    pub put_right: Vec<PutRight>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// What was assumed.
    pub assumptions: Vec<Assumption>,
    /// Rule figures the user changed.
    pub settings: Vec<SettingLine>,
    /// What this answer does not hold yet.
    pub not_included: Vec<String>,
    /// Rules behind each part of the record, by its path.
    pub basis: BTreeMap<String, Vec<String>>,
    /// Every rule named anywhere in the record.
    pub rules: Vec<RuleLine>,
    /// Why the exit code is not 0.
    pub needs_a_person: Vec<String>,
}

/// A rule that stands behind some figure.
#[derive(Debug, Clone, Serialize)]
pub struct RuleLine {
    /// Its id.
    pub id: String,
    /// What it settles.
    pub title: String,
    /// Its figure with its unit, where it has one.
    pub figure: String,
    /// How it is known.
    pub evidence: String,
    /// Where it comes from.
    pub source: String,
}

/// Head of the survey, word for word.
#[derive(Debug, Clone, Serialize)]
pub struct SurveyHead {
    /// Client.
    pub client: String,
    /// Purpose.
    pub purpose: String,
    /// Author.
    pub author: String,
    /// The author's interest.
    pub interest: String,
    /// Access allowed.
    pub access: String,
    /// Date.
    pub date: String,
    /// Conditions: weather, light, cleaning.
    pub conditions: String,
    /// Readings and who held the tape.
    pub readings: String,
    /// The vehicle.
    pub body: String,
}

/// A panel.
#[derive(Debug, Clone, Serialize)]
pub struct PanelLine {
    /// Its name.
    pub name: String,
    /// Where it comes from.
    pub file: String,
    /// Area of its outer side.
    pub area_m2: f64,
    /// Its regions.
    pub regions: Vec<RegionLine>,
    /// What it is made of.
    pub material: String,
    /// What it does.
    pub roles: Vec<String>,
    /// Glass laminate.
    pub glass_mm: f64,
    /// Whether somebody measured it.
    pub glass_measured: bool,
    /// Marks on it.
    pub marks: Vec<u32>,
}

/// A region of a panel.
#[derive(Debug, Clone, Serialize)]
pub struct RegionLine {
    /// Its name.
    pub name: String,
    /// Its area.
    pub area_m2: f64,
}

/// A place on a panel's grid.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct GridMm {
    /// Along.
    pub u: f64,
    /// Up or across.
    pub v: f64,
}

/// How far off a place may be along two ways square to each other, 95 % each by itself.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PlaceEllipse {
    /// Along the longer axis, mm.
    pub long_mm: f64,
    /// Along the shorter axis, mm.
    pub short_mm: f64,
    /// Way of the longer axis, degrees from +u towards +v.
    pub angle_deg: f64,
}

/// A mark after assessment.
#[derive(Debug, Clone, Serialize)]
pub struct FindingLine {
    /// Its number.
    pub mark: u32,
    /// Its panel.
    pub panel: String,
    /// Its region.
    pub region: String,
    /// Its side.
    pub side: String,
    /// What it is.
    pub kind: String,
    /// Where on the grid.
    pub place_mm: GridMm,
    /// Where in space, on the panel's own axes.
    pub place_xyz_mm: [f64; 3],
    /// Error of the place, 95 %.
    pub place_error_mm: f64,
    /// The same along its two axes.
    pub place_ellipse: PlaceEllipse,
    /// Length as seen, for a line.
    pub length_mm: Option<f64>,
    /// Length as it may be found.
    pub grown_length_mm: Option<Cases<f64>>,
    /// Area as seen on the skin, for a patch.
    pub area_m2: Option<f64>,
    /// Area as it may be found.
    pub grown_area_m2: Option<Cases<f64>>,
    /// Depth in each case.
    pub depth: Cases<String>,
    /// The depth is assumed.
    pub depth_assumed: bool,
    /// What is done about it.
    pub action: String,
    /// Referred marks that hold it.
    pub held_by: Vec<u32>,
    /// Its repair.
    pub repair: Option<String>,
    /// Causes as recorded.
    pub causes: Vec<CauseLine>,
    /// How its lines lie.
    pub pattern: Option<PatternLine>,
    /// What it is consistent with, likeliest first; never proof.
    pub candidates: Vec<CandidateLine>,
    /// What else was seen, as recorded.
    pub seen: Vec<String>,
    /// Whether the lips move against each other, as tried.
    pub lips_move: String,
    /// Length on the back, where it was recorded.
    pub back_length_mm: Option<f64>,
    /// Blisters per dm2 at the worst place; never used to multiply the field.
    pub worst_per_dm2: Option<f64>,
    /// Blisters per dm2 over the field.
    pub mean_per_dm2: Option<f64>,
    /// It counts as wet.
    pub wet: bool,
    /// What its reading is worth.
    pub reading: Option<String>,
    /// Notes.
    pub notes: Vec<Note>,
    /// The user's words.
    pub as_recorded: String,
    /// The whole entry as it stands in the survey, word for word.
    pub as_written: String,
    /// The file and the line it begins in.
    pub written_at: String,
}

/// A cause.
#[derive(Debug, Clone, Serialize)]
pub struct CauseLine {
    /// What.
    pub what: String,
    /// It is still at work.
    pub open: bool,
    /// Who puts it right.
    pub who: String,
}

/// A note with its rule.
#[derive(Debug, Clone, Serialize)]
pub struct Note {
    /// What.
    pub text: String,
    /// The rule.
    pub rule: String,
}

/// Something to put right first.
#[derive(Debug, Clone, Serialize)]
pub struct PutRight {
    /// What.
    pub what: String,
    /// Who.
    pub who: String,
    /// Marks that wait for it.
    pub marks: Vec<u32>,
    /// Repairs that wait for it.
    pub repairs: Vec<String>,
}

/// Something assumed.
#[derive(Debug, Clone, Serialize)]
pub struct Assumption {
    /// What.
    pub text: String,
    /// The rule.
    pub rule: String,
}

/// A changed figure.
#[derive(Debug, Clone, Serialize)]
pub struct SettingLine {
    /// The rule.
    pub rule: String,
    /// In words: from what to what, and whether it is weakened.
    pub text: String,
    /// A safety rule is weakened.
    pub weakened: bool,
}

/// A figure with no more than six decimals.
#[must_use]
pub fn round6(figure: f64) -> f64 {
    let rounded = (figure * 1e6).round() / 1e6;
    // No minus zero in any output.
    if rounded.abs() < 1e-12 { 0.0 } else { rounded }
}

impl Report {
    /// Why the exit code is not 0, in one line.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        (!self.needs_a_person.is_empty())
            .then(|| format!("something needs a person: {}", self.needs_a_person.join("; ")))
    }
}
