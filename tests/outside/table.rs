//! One line of the table of outside checks.

/// A figure of ours beside one that does not come from us.
#[derive(Debug, Clone)]
pub struct Check {
    /// Short name, unique in the table.
    pub id: &'static str,
    /// What kind of evidence the expected figure is.
    pub class: &'static str,
    /// Where the expected figure comes from.
    pub source: &'static str,
    /// What was asked.
    pub input: String,
    /// What the source says.
    pub expected: f64,
    /// Largest difference that passes, absolute.
    pub tolerance: f64,
    /// What plymend says.
    pub got: f64,
}

impl Check {
    /// Whether the figure is within its tolerance.
    pub fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}
