//! The record as JSON.

use serde::Serialize;

/// The record as indented JSON with a final line break.
///
/// # Panics
/// Never: the record is plain text and numbers under plain names, which JSON can always hold.
#[must_use]
#[allow(clippy::expect_used, reason = "plain records of text and numbers cannot fail to serialise")]
pub fn text(report: &impl Serialize) -> String {
    serde_json::to_string_pretty(report).expect("a plain record") + "\n"
}

/// The record as JSON on one line, with its line break.
///
/// # Panics
/// Never, as [`text`].
#[must_use]
#[allow(clippy::expect_used, reason = "plain records of text and numbers cannot fail to serialise")]
pub fn line(record: &impl Serialize) -> String {
    serde_json::to_string(record).expect("a plain record") + "\n"
}
