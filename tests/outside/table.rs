//! One line of the table of outside checks.

/// A figure of ours beside one that does not come from us.
#[derive(Debug, Clone)]
pub(crate) struct Check {
    /// Short name, unique in the table.
    pub(crate) id: &'static str,
    /// What kind of evidence the expected figure is.
    pub(crate) class: &'static str,
    /// Where the expected figure comes from.
    pub(crate) source: &'static str,
    /// What was asked.
    pub(crate) input: String,
    /// What the source says.
    pub(crate) expected: f64,
    /// Largest difference that passes, absolute.
    pub(crate) tolerance: f64,
    /// What plymend says.
    pub(crate) got: f64,
}

impl Check {
    /// Whether the figure is within its tolerance.
    pub(crate) fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}
