//! The record as JSON.

use super::model::Report;

/// The record as indented JSON with a final line break.
///
/// # Errors
/// In words; plain records of text and finite numbers do not give any.
pub fn text(report: &Report) -> Result<String, String> {
    serde_json::to_string_pretty(report).map(|text| text + "\n").map_err(|why| why.to_string())
}
