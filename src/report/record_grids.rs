//! Grids of readings as the record holds them.

use serde::Serialize;

use crate::quantity::Cases;

/// What a grid of readings shows.
#[derive(Debug, Clone, Serialize)]
pub struct GridLine {
    /// Its name.
    pub name: String,
    /// Its panel.
    pub panel: String,
    /// Its side.
    pub side: String,
    /// Tapped, or moisture.
    pub what: String,
    /// The mark it belongs to.
    pub mark: Option<u32>,
    /// Distance between readings.
    pub pitch_mm: f64,
    /// Readings taken.
    pub taken: usize,
    /// Of those dull, or above the dry reference.
    pub above: usize,
    /// Why the readings are kept and not used.
    pub not_used: Option<String>,
    /// Dull or wet area: half a pitch of doubt either way; nothing where the readings are not used.
    pub area_m2: Option<Cases<f64>>,
    /// Its likely rims, closed, on the panel's own axes.
    pub rims_xyz_mm: Vec<Vec<[f64; 3]>>,
    /// It reaches the edge of the grid: there may be more.
    pub at_edge: bool,
    /// Highest moisture reading.
    pub worst: Option<f64>,
    /// Mean of the moisture readings.
    pub mean: Option<f64>,
    /// What somebody has to do about it.
    pub to_do: Vec<String>,
}
