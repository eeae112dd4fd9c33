//! How long work takes: hours of a trade by kind of work.

use serde::Deserialize;

use super::words;
use crate::quantity::Hours;
use crate::source::Evidence;

/// A table of hours.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabourTable {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Hours by kind of work, each kind once.
    pub work: Vec<LabourRow>,
}

/// Hours of one kind of work.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabourRow {
    /// The kind of work.
    pub what: LabourWork,
    /// Hours where all goes well.
    pub least_h: Hours,
    /// Hours where it does not.
    pub most_h: Hours,
    /// What they count for.
    pub per: LabourUnit,
    /// How the figures are known.
    pub evidence: Evidence,
    /// Where they come from.
    pub source: String,
}

words! {
/// A kind of work.
LabourWork {
    /// Gel coat off over an area and on again.
    GelArea => "gel coat over an area",
    /// A crack in the gel coat opened and filled.
    GelCrack => "gel crack",
    /// A line that glass is laid in.
    CrackInGlass => "crack in glass",
    /// A crack at a fixing.
    Mount => "crack at a fixing",
    /// A hole.
    Hole => "hole",
    /// An area that glass is laid in.
    PatchInGlass => "area in glass",
    /// Paint off, surface keyed.
    Strip => "strip and key",
    /// Prime and flat.
    Prime => "prime and flat",
    /// Paint and polish.
    Finish => "paint and polish",
}}

impl LabourWork {
    /// Every kind.
    pub const ALL: [Self; 9] = [
        Self::GelArea,
        Self::GelCrack,
        Self::CrackInGlass,
        Self::Mount,
        Self::Hole,
        Self::PatchInGlass,
        Self::Strip,
        Self::Prime,
        Self::Finish,
    ];
}

words! {
/// What hours count for.
LabourUnit {
    /// A square metre.
    SquareMetre => "m²",
    /// Every 300 mm of length.
    ThreeHundredMm => "300 mm",
    /// Each piece of work of the size the source names.
    Each => "each",
}}
