//! The answer as one record: what every form of output says, and no more than that.
//!
//! The JSON form is this record. Names are stable and only ever added to; lengths are mm, areas
//! m2, masses kg or g, and every name says its unit. Figures are rounded here and nowhere else.

use std::collections::BTreeMap;

use serde::Serialize;

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
    /// Files the answer was made from.
    pub files_read: Vec<String>,
    /// Who, when, for whom.
    pub survey: SurveyHead,
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

/// A stop line.
#[derive(Debug, Clone, Serialize)]
pub struct Stop {
    /// What must not be done.
    pub text: String,
    /// Marks behind it.
    pub marks: Vec<u32>,
    /// Where.
    #[serde(rename = "where")]
    pub place: String,
    /// The rule.
    pub rule: String,
}

/// A referral.
#[derive(Debug, Clone, Serialize)]
pub struct Referral {
    /// The mark; nothing when a fixing alone is referred.
    pub mark: Option<u32>,
    /// The panel.
    pub panel: String,
    /// Why.
    pub reason: String,
    /// The rule.
    pub rule: String,
    /// Who should look.
    pub who: String,
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

/// A repair.
#[derive(Debug, Clone, Serialize)]
pub struct RepairLine {
    /// Its name.
    pub id: String,
    /// Its panel.
    pub panel: String,
    /// Its side.
    pub side: String,
    /// Its marks.
    pub marks: Vec<u32>,
    /// Low, likely, high.
    pub scenarios: Cases<Scenario>,
    /// What keeps it from having a date.
    pub waits_for: Vec<String>,
}

/// One case of a repair.
#[derive(Debug, Clone, Serialize)]
pub struct Scenario {
    /// How.
    pub method: String,
    /// Parent taken down to repair depth.
    pub removal_area_m2: f64,
    /// Removal to the outermost coat.
    pub ground_area_m2: f64,
    /// Ground and keyed border.
    pub prepared_area_m2: f64,
    /// Prepared surface on the back.
    pub prepared_back_area_m2: f64,
    /// Glass taken down at most.
    pub depth_mm: f64,
    /// Plies from the floor up; then the backing.
    pub plies: Vec<PlyLine>,
    /// Surface tissue.
    pub tissue: TissueLine,
    /// Gel or flow coat.
    pub gel_coat_area_m2: f64,
    /// Gel or flow coat.
    pub gel_coat_kg: f64,
}

/// A ply.
#[derive(Debug, Clone, Serialize)]
pub struct PlyLine {
    /// Its place, from 1.
    pub sequence: u32,
    /// Its side.
    pub side: String,
    /// Its mat.
    pub reinforcement: String,
    /// Beyond the removal.
    pub reach_mm: f64,
    /// Its area.
    pub area_m2: f64,
    /// Its glass.
    pub glass_kg: f64,
    /// Its resin.
    pub resin_kg: f64,
}

/// Tissue.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct TissueLine {
    /// Its area.
    pub area_m2: f64,
    /// Its mass.
    pub tissue_kg: f64,
    /// Its resin.
    pub resin_kg: f64,
}

/// Net materials in one case.
#[derive(Debug, Clone, Serialize)]
pub struct Materials {
    /// Mats and cloth.
    pub glass_kg: f64,
    /// Mats by name.
    pub mats: Vec<MatLine>,
    /// Tissue.
    pub tissue_m2: f64,
    /// Tissue.
    pub tissue_kg: f64,
    /// Laminating resin of every kind.
    pub resin_kg: f64,
    /// Laminating resin by kind.
    pub resins: Vec<ResinLine>,
    /// Gel or flow coat.
    pub gel_coat_kg: f64,
    /// Catalyst for laminating resin only; nothing where the kind of resin is not known.
    pub catalyst_g: Option<f64>,
    /// The same by volume.
    pub catalyst_ml: Option<f64>,
    /// Hardeners of everything else, never added together.
    pub hardeners: Vec<HardenerLine>,
    /// Marks that are not in these totals.
    pub excludes: Vec<Exclusion>,
}

/// A mat.
#[derive(Debug, Clone, Serialize)]
pub struct MatLine {
    /// Its name.
    pub reinforcement: String,
    /// Its area.
    pub area_m2: f64,
    /// Its mass.
    pub glass_kg: f64,
}

/// A resin.
#[derive(Debug, Clone, Serialize)]
pub struct ResinLine {
    /// Its kind.
    pub kind: String,
    /// Its mass.
    pub kg: f64,
}

/// A hardener.
#[derive(Debug, Clone, Serialize)]
pub struct HardenerLine {
    /// What.
    pub product: String,
    /// For what.
    #[serde(rename = "for")]
    pub goes_into: String,
    /// Mass.
    pub g: f64,
    /// Volume, where known.
    pub ml: Option<f64>,
}

/// What a total leaves out.
#[derive(Debug, Clone, Serialize)]
pub struct Exclusion {
    /// The mark; nothing when something other than a mark is left out.
    pub mark: Option<u32>,
    /// Why.
    pub reason: String,
}

/// Paint.
#[derive(Debug, Clone, Serialize)]
pub struct Paint {
    /// Least.
    pub low: PaintCase,
    /// Usual.
    pub likely: PaintCase,
    /// Most.
    pub high: PaintCase,
    /// Regions that wait.
    pub waiting: Vec<WaitingRegion>,
    /// The topcoat.
    pub topcoat: String,
}

/// Paint in one case.
#[derive(Debug, Clone, Serialize)]
pub struct PaintCase {
    /// Regions to paint.
    pub regions: Vec<PaintRegion>,
    /// Their area.
    pub area_m2: f64,
    /// All paints together.
    pub litres: f64,
    /// Each paint.
    pub products: Vec<PaintProduct>,
    /// What is left out.
    pub excludes: Vec<Exclusion>,
}

/// A region to paint.
#[derive(Debug, Clone, Serialize)]
pub struct PaintRegion {
    /// Its panel.
    pub panel: String,
    /// Its name.
    pub region: String,
    /// Its area.
    pub area_m2: f64,
}

/// A paint.
#[derive(Debug, Clone, Serialize)]
pub struct PaintProduct {
    /// Its name.
    pub product: String,
    /// How much.
    pub litres: f64,
}

/// A region that waits.
#[derive(Debug, Clone, Serialize)]
pub struct WaitingRegion {
    /// Its panel.
    pub panel: String,
    /// Its name.
    pub region: String,
    /// Its area.
    pub area_m2: f64,
    /// For these marks.
    pub marks: Vec<u32>,
}

/// The shop's answer.
#[derive(Debug, Clone, Serialize)]
pub struct ShopLines {
    /// Where the readings come from.
    pub from: String,
    /// Where the work is done.
    pub place: String,
    /// Who works.
    pub worker: String,
    /// Coldest of air, panel and resin at the pour.
    pub pour_c: Option<f64>,
    /// After the gel.
    pub night_c: Option<f64>,
    /// Relative humidity.
    pub humidity_percent: Option<f64>,
    /// Dose for laminating resin.
    pub catalyst_percent: f64,
    /// Dose for gel and flow coat.
    pub gel_catalyst_percent: f64,
    /// Every step.
    pub gates: Vec<GateLine>,
    /// Gel time.
    pub gel_min: Option<TimeBand>,
    /// When it may be sanded.
    pub sandable_h: Option<TimeBand>,
    /// When primer may go on.
    pub primer_days: Option<TimeBand>,
    /// When gloss or a dark colour may go on.
    pub gloss_days: Option<TimeBand>,
    /// Sittings of the high case.
    pub sittings: Vec<SittingLine>,
    /// The air.
    pub air: Option<AirLines>,
}

/// A time in its band; a missing end is not reached within 90 days.
#[derive(Debug, Clone, Serialize)]
pub struct TimeBand {
    /// Early.
    pub low: Option<f64>,
    /// Likely.
    pub likely: Option<f64>,
    /// Late: plan on this.
    pub high: Option<f64>,
    /// What it rests on.
    pub basis: String,
}

/// A step.
#[derive(Debug, Clone, Serialize)]
pub struct GateLine {
    /// The step.
    pub step: String,
    /// open, warned or shut.
    pub state: &'static str,
    /// Why.
    pub why: String,
    /// What would open it.
    pub way_out: String,
    /// The rules.
    pub rules: Vec<String>,
}

/// A sitting.
#[derive(Debug, Clone, Serialize)]
pub struct SittingLine {
    /// Its repair.
    pub repair: String,
    /// Its stage.
    pub stage: usize,
    /// What is laid.
    pub what: String,
    /// How much is poured.
    pub poured_kg: f64,
    /// Mixes.
    pub mixes: usize,
    /// Resin of each mix.
    pub mix_g: Option<f64>,
    /// Catalyst of each mix.
    pub mix_catalyst_g: Option<f64>,
    /// Catalyst of each mix.
    pub mix_catalyst_ml: Option<f64>,
    /// Use each mix within.
    pub use_by_min: Option<f64>,
    /// Styrene given off, by the highest of the published forms.
    pub styrene_g: f64,
}

/// The air of the room.
#[derive(Debug, Clone, Serialize)]
pub struct AirLines {
    /// The room.
    pub room_m3: Option<f64>,
    /// Air changes an hour.
    pub air_changes_per_h: Option<f64>,
    /// Volume or air change is assumed.
    pub room_assumed: bool,
    /// The sitting that gives off most.
    pub worst_sitting: String,
    /// Resin or coat poured in it.
    pub poured_kg: f64,
    /// Styrene given off in it: least, deciding, most.
    pub styrene_g: [f64; 3],
    /// The room, well mixed, at the end of that sitting.
    pub peak_ppm: Option<f64>,
    /// The head over the job.
    pub near_ppm: Option<f64>,
    /// If everything were laid at once.
    pub all_at_once_ppm: Option<f64>,
    /// Styrene of everything.
    pub all_styrene_g: f64,
    /// Resin one sitting may pour before it is blocked.
    pub most_resin_kg: Option<f64>,
    /// Minutes until the strictest limit is reached again.
    pub purge_min: Option<f64>,
    /// Against each limit.
    pub limits: Vec<LimitLine>,
}

/// A limit.
#[derive(Debug, Clone, Serialize)]
pub struct LimitLine {
    /// Whose.
    pub set: String,
    /// Over what time.
    pub over: String,
    /// The limit.
    pub ppm: f64,
    /// Fresh air that holds it while the work goes on.
    pub fresh_air_m3_h: f64,
    /// What a mask has to divide by.
    pub needed_factor: Option<f64>,
    /// Document and edition.
    pub document: String,
    /// How it is known.
    pub evidence: String,
}

/// A step that is blocked.
#[derive(Debug, Clone, Serialize)]
pub struct Block {
    /// The code.
    pub code: String,
    /// The step.
    pub step: String,
    /// Why.
    pub why: String,
    /// The way out.
    pub way_out: String,
    /// Marks concerned; empty means all.
    pub marks: Vec<u32>,
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

/// A caution.
#[derive(Debug, Clone, Serialize)]
pub struct Caution {
    /// Its code.
    pub code: String,
    /// What raised it.
    pub trigger: String,
    /// What to do.
    pub text: String,
    /// It blocks a step.
    pub blocks: bool,
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
