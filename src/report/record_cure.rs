//! The answer of `cure` as a record.

use serde::Serialize;

use super::model::{ClimateLines, GateLine, SettingLine, TimeBand};

/// What would happen if these plies were laid.
#[derive(Debug, Clone, Serialize)]
pub struct CureAnswer {
    /// Always `plymend.cure`.
    pub schema: &'static str,
    /// 1.
    pub schema_version: u32,
    /// The stock the resin is from.
    pub stock: String,
    /// The resin.
    pub resin: String,
    /// Its family.
    pub family: &'static str,
    /// The dose; nothing for epoxy.
    pub catalyst_percent: Option<f64>,
    /// Air, panel and resin from the pour to the gel.
    pub pour_c: f64,
    /// After the gel.
    pub night_c: f64,
    /// Relative humidity.
    pub humidity_percent: Option<f64>,
    /// Hours read one by one, and in which of them resin may be poured.
    pub climate: Option<ClimateLines>,
    /// What the plies are laid on.
    pub laid_on: String,
    /// Weights of the plies from the floor up.
    pub plies_g_m2: Vec<f64>,
    /// Every step.
    pub gates: Vec<GateLine>,
    /// Gel time of a film.
    pub gel_min: Option<TimeBand>,
    /// When it may be sanded.
    pub sandable_h: Option<TimeBand>,
    /// When it may be faired.
    pub fairing_h: Option<TimeBand>,
    /// When primer may go on.
    pub primer_days: Option<TimeBand>,
    /// When gloss or a dark colour may go on.
    pub gloss_days: Option<TimeBand>,
    /// The stages.
    pub stages: Vec<CureStage>,
    /// If all were laid at once.
    pub all_at_once: Option<PeakLine>,
    /// Glass transition after a day.
    pub softens_after_a_day_c: Option<f64>,
    /// Post-cures from there.
    pub post_cures: Vec<Vec<HoldLine>>,
    /// Rules the user changed.
    pub settings: Vec<SettingLine>,
    /// What the answer does not know.
    pub not_known: Vec<String>,
    /// Why the exit code is not 0.
    pub needs_a_person: Vec<String>,
}

/// Plies laid at once.
#[derive(Debug, Clone, Serialize)]
pub struct CureStage {
    /// Its number, from 1.
    pub stage: usize,
    /// Its plies.
    pub plies: usize,
    /// Their glass.
    pub glass_kg_m2: f64,
    /// How hot they may get.
    pub peak: Option<PeakLine>,
    /// When the next may be laid, after this one.
    pub next_stage_min: Option<f64>,
}

/// Bounds of a peak temperature.
#[derive(Debug, Clone, Serialize)]
pub struct PeakLine {
    /// Lower bound.
    pub low_c: f64,
    /// Upper bound: the one that decides.
    pub high_c: f64,
    /// What the upper may be.
    pub most_c: f64,
    /// The upper is above it.
    pub too_hot: bool,
    /// When the upper is reached, after laying.
    pub high_after_min: f64,
}

/// One hold of an oven.
#[derive(Debug, Clone, Serialize)]
pub struct HoldLine {
    /// Oven.
    pub oven_c: f64,
    /// How long.
    pub hours: f64,
    /// Conversion at its end.
    pub conversion: f64,
    /// Glass transition at its end.
    pub glass_c: f64,
}

impl CureAnswer {
    /// Why the exit code is 1.
    #[must_use]
    pub fn exit_reason(&self) -> Option<String> {
        (!self.needs_a_person.is_empty()).then(|| self.needs_a_person.join("; "))
    }
}
