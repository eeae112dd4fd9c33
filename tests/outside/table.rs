//! One row of the outside-check table.

use std::fmt::Write as _;

/// One check.
pub(crate) struct Check {
    /// Number of the check.
    pub(crate) id: &'static str,
    /// outside | outside, weak | regression | calibration | behaviour | formula only
    pub(crate) class: &'static str,
    /// Where the expected value comes from.
    pub(crate) source: &'static str,
    /// Inputs in words.
    pub(crate) input: String,
    /// Expected value.
    pub(crate) expected: f64,
    /// Absolute tolerance.
    pub(crate) tolerance: f64,
    /// What this crate computes; NaN when it refused.
    pub(crate) got: f64,
}

impl Check {
    /// Whether the row holds; a refusal (NaN) never does.
    pub(crate) fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}

/// The rows as a table, off rows marked.
pub(crate) fn printed(rows: &[Check]) -> String {
    let mut text = String::new();
    for row in rows {
        let mark = if row.holds() { "   " } else { "OFF" };
        let _ = writeln!(
            text,
            "{mark} {:<5} {:<14} expected {:>12.4} ± {:<9.4} got {:>12.4}  {} [{}]",
            row.id, row.class, row.expected, row.tolerance, row.got, row.input, row.source
        );
    }
    text
}
