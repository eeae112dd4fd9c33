//! What a job uses up beside resin, glass and paint.

use serde::Deserialize;

use super::packs::Ware;
use super::{given, words};
use crate::source::Evidence;

/// What is used up.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConsumableTable {
    /// Format of the file.
    pub format: u32,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// What is bought; rows of one ware and grade are added up.
    pub used: Vec<Consumable>,
    /// What has to be there and is not bought.
    #[serde(default)]
    pub at_hand: Vec<AtHand>,
}

/// How much of a ware is used up by what.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Consumable {
    /// The ware.
    pub ware: Ware,
    /// Its grade, as in the packs.
    #[serde(default, deserialize_with = "given")]
    pub grade: Option<u32>,
    /// How much, in the unit of the ware.
    pub amount: f64,
    /// What it is counted by.
    pub per: CountedBy,
    /// What it is for, in a few words.
    #[serde(rename = "for")]
    pub goes_into: String,
    /// How the figure is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

words! {
/// What consumables are counted by.
CountedBy {
    /// Ground area, both sides, m2.
    GroundM2 => "m² ground",
    /// Prepared area, both sides, m2.
    PreparedM2 => "m² prepared",
    /// Painted area, m2.
    PaintedM2 => "m² painted",
    /// Length of edge that is masked, m.
    MaskedM => "m of masked edge",
    /// Area that is covered against dust and spray, m2.
    CoveredM2 => "m² covered",
    /// Each mix.
    Mix => "mix",
    /// Each session of laying.
    Session => "session",
    /// Each person in each session.
    PersonSession => "person and session",
    /// Each person of the job.
    Person => "person",
    /// Each hour of each person in dust or vapour.
    MaskHour => "hour of one person in a mask",
}}

/// Something that has to be within reach.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AtHand {
    /// What it is.
    pub what: String,
    /// Why.
    pub why: String,
    /// How it is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}
