//! Condition as the record holds it: patterns, causes, quantities with their coverage, and the
//! order of the marks.

use serde::Serialize;

use super::model::{Exclusion, GridMm};

/// How the lines of a mark lie.
#[derive(Debug, Clone, Serialize)]
pub struct PatternLine {
    /// Traced lines, or the surveyor's word.
    pub told_by: String,
    /// In words.
    pub pattern: String,
    /// Traced lines.
    pub lines: Option<usize>,
    /// Their length together.
    pub length_mm: Option<f64>,
    /// Eigenvalues of their orientation tensor, larger first; they add up to one.
    pub eigenvalues: Option<[f64; 2]>,
    /// Main direction on the laid-flat skin, from +u towards +v.
    pub direction_deg: Option<f64>,
    /// The point they run out from or round.
    pub centre_mm: Option<GridMm>,
    /// By how much they miss it, root mean square.
    pub centre_miss_mm: Option<f64>,
    /// Traced length over the patch as seen.
    pub crack_m_per_m2: Option<f64>,
    /// Mean spacing that follows.
    pub spacing_mm: Option<f64>,
}

/// A cause that a mark is consistent with.
#[derive(Debug, Clone, Serialize)]
pub struct CandidateLine {
    /// Its name in the table of causes.
    pub cause: String,
    /// In words, after "consistent with".
    pub consistent_with: String,
    /// What decides it.
    pub decided_by: Vec<String>,
    /// What speaks for it.
    pub speaks_for: Vec<String>,
    /// What speaks against it.
    pub speaks_against: Vec<String>,
    /// What would settle it.
    pub next_look: String,
    /// How it is known.
    pub evidence: String,
    /// Where it comes from.
    pub source: String,
}

/// Quantities as seen, with what nobody looked at.
#[derive(Debug, Clone, Serialize)]
pub struct Condition {
    /// One side of one panel each.
    pub panels: Vec<PanelCondition>,
    /// Both sides of the body.
    pub sides: Vec<SideCondition>,
    /// The whole body.
    pub body: SideCondition,
    /// All marks, worst first.
    pub worst_first: Vec<WorstLine>,
    /// Marks that no quantity holds or whose size is not of this survey.
    pub excludes: Vec<Exclusion>,
}

/// One side of a panel.
#[derive(Debug, Clone, Serialize)]
pub struct PanelCondition {
    /// The panel.
    pub panel: String,
    /// The side.
    pub side: String,
    /// Its area.
    pub area_m2: f64,
    /// Of that looked at.
    pub looked_at_m2: f64,
    /// How that is known.
    pub how: String,
    /// Crazed share of what was looked at; none where nothing was.
    pub crazed_percent: Option<f64>,
    /// What is there.
    pub quantities: QuantitiesLine,
    /// The same by region, where there is something.
    pub regions: Vec<RegionCondition>,
}

/// A region with something in it.
#[derive(Debug, Clone, Serialize)]
pub struct RegionCondition {
    /// The region.
    pub region: String,
    /// What is there.
    pub quantities: QuantitiesLine,
}

/// A side of the body.
#[derive(Debug, Clone, Serialize)]
pub struct SideCondition {
    /// Outer side, back, or both.
    pub side: String,
    /// Its area.
    pub area_m2: f64,
    /// Of that looked at.
    pub looked_at_m2: f64,
    /// What is there.
    pub quantities: QuantitiesLine,
}

/// Lengths and areas as seen.
#[derive(Debug, Clone, Serialize)]
pub struct QuantitiesLine {
    /// Cracks recorded as lines.
    pub cracks_m: f64,
    /// Cracks traced inside patches.
    pub traced_m: f64,
    /// Crazed and starred.
    pub crazed_m2: f64,
    /// Dull or let go.
    pub drummy_m2: f64,
    /// Blistered.
    pub blistered_m2: f64,
    /// Blisters at the worst place.
    pub worst_per_dm2: Option<f64>,
    /// Blisters over the counted fields.
    pub mean_per_dm2: Option<f64>,
    /// Old repairs.
    pub old_repair_m2: f64,
    /// Wet.
    pub wet_m2: f64,
    /// Holes.
    pub hole_m2: f64,
    /// Chips.
    pub chipped_m2: f64,
    /// Damage of another kind.
    pub other_m2: f64,
}

/// A mark in its order.
#[derive(Debug, Clone, Serialize)]
pub struct WorstLine {
    /// The mark.
    pub mark: u32,
    /// Its panel.
    pub panel: String,
    /// What it is.
    pub kind: String,
    /// How soon it asks for somebody.
    pub band: String,
    /// Why.
    pub reasons: Vec<String>,
}
