//! Classes of published standards in the record, only where they were asked for.

use serde::Serialize;

/// A mark in a class of a published standard, for comparison only.
#[derive(Debug, Clone, Serialize)]
pub struct ClassLine {
    /// The mark.
    pub mark: u32,
    /// The standard and its editions.
    pub standard: String,
    /// Its class; nothing where it cannot be given.
    pub class: Option<String>,
    /// From what, or what is missing.
    pub basis: String,
    /// How the limits are known.
    pub evidence: String,
}
