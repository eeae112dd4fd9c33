//! Shop, times and air in the record.

use serde::Serialize;

use super::record_climate::{BroughtInLine, ClimateLines, WarmingLine};

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
    /// Largest pot for whoever works.
    pub pot_most_g: f64,
    /// Every step.
    pub gates: Vec<GateLine>,
    /// Hours read one by one, and in which of them each step may be done.
    pub climate: Option<ClimateLines>,
    /// What it takes to warm the shop, where a step asks for it.
    pub warming: Option<WarmingLine>,
    /// A panel that is colder than the air, where no hours were read.
    pub brought_in: Option<BroughtInLine>,
    /// Steps with no time because they are blocked.
    pub untimed: Vec<String>,
    /// Gel time.
    pub gel_min: Option<TimeBand>,
    /// Resin through its first day and night, by the hour after the pour; empty without times.
    pub night: Vec<NightLine>,
    /// When it may be sanded.
    pub sandable_h: Option<TimeBand>,
    /// When primer may go on.
    pub primer_days: Option<TimeBand>,
    /// When gloss or a dark colour may go on.
    pub gloss_days: Option<TimeBand>,
    /// Glass transition of the polyester a day after the pour: hotter, it is soft again.
    pub softens_after_a_day_c: Option<f64>,
    /// Sittings of the high case.
    pub sittings: Vec<SittingLine>,
    /// The air.
    pub air: Option<AirLines>,
}

/// Poured resin at one moment.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct NightLine {
    /// After the pour.
    pub after_h: f64,
    /// What it lies in.
    pub at_c: f64,
    /// Share cured by the early end of the band, the likely run, the late end.
    pub conversion: [f64; 3],
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
    pub rests_on: String,
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
    /// Plies laid in it; the tissue is not counted.
    pub plies: usize,
    /// Their glass.
    pub glass_kg_m2: f64,
    /// Peak temperature, lower bound.
    pub peak_low_c: Option<f64>,
    /// Peak temperature, upper bound: the one that decides.
    pub peak_high_c: Option<f64>,
    /// What the upper bound may be.
    pub peak_most_c: Option<f64>,
    /// When the next stage may be laid, after this one: gelled and cool.
    pub next_stage_min: Option<f64>,
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
    /// Blocked steps that concern it: not to be mixed until they are lifted.
    pub blocked_by: Vec<String>,
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
    /// Fresh air, driven, that keeps the room out of the stop.
    pub stop_air_m3_h: Option<f64>,
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
    /// What one sitting may pour in the room as it stands to keep within it at the head over the
    /// job, no mask counted.
    pub most_kg: Option<f64>,
    /// Document and edition.
    pub document: String,
    /// How it is known.
    pub evidence: String,
}
