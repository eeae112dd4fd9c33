//! Repairs, materials and paint in the record.

use serde::Serialize;

use super::record_match::MatchLine;

use crate::quantity::Cases;

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
    /// Blocked steps that concern it: none of it is timed or bought for until they are lifted.
    pub blocked_by: Vec<String>,
    /// How it is done, step by step.
    pub steps: Vec<super::model::StepLine>,
    /// When not to do it so.
    pub when_not_to: Vec<String>,
}

/// What of a repair lies on one panel.
#[derive(Debug, Clone, Serialize)]
pub struct PanelShare {
    /// The panel.
    pub panel: String,
    /// Prepared surface on it.
    pub area_m2: f64,
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
    /// The same by panel where it goes on over a seam; else empty.
    pub prepared_by_panel: Vec<PanelShare>,
    /// Prepared surface on the back.
    pub prepared_back_area_m2: f64,
    /// Glass taken down at most.
    pub depth_mm: f64,
    /// Plies from the floor up; then the backing.
    pub plies: Vec<PlyLine>,
    /// How it matches its parent; none where no glass is laid in.
    pub parent_match: Option<MatchLine>,
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
    /// Strips it is cut in: more than one where it is wider than the roll.
    pub strips: usize,
    /// What lies double in the laps between them; in its glass and resin, not in its area.
    pub lap_m2: f64,
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
