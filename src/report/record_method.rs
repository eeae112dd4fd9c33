//! How a repair is done, in the record.

use serde::Serialize;

/// One step of a repair.
#[derive(Debug, Clone, Serialize)]
pub struct StepLine {
    /// Its place in the repair, from 1.
    pub order: u32,
    /// The method it belongs to.
    pub method: String,
    /// The marks it serves.
    pub marks: Vec<u32>,
    /// Needed in the high case only.
    pub only_if_deeper: bool,
    /// What kind of step.
    pub step: String,
    /// What is done.
    pub text: String,
    /// What has to pass before the next step.
    pub check: String,
    /// The side it is done on.
    pub side: String,
    /// How it is known.
    pub evidence: String,
    /// Where it comes from.
    pub source: String,
    /// Rules behind it.
    pub rules: Vec<String>,
    /// Codes of blocked steps: it may not be done until they are lifted.
    pub blocked_by: Vec<String>,
}
