//! Tests for what must not be disturbed untested: lead and chromate in paint, asbestos in filler
//! and underseal.

use serde::Deserialize;

/// A test for a hazardous substance, and its answer. An answer that lifts a block names who gave
/// it and when.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum HazardTest {
    /// Not tested.
    #[default]
    #[serde(rename = "untested")]
    Untested,
    /// There is none to disturb.
    #[serde(rename = "none_there")]
    NoneThere,
    /// Tested, nothing found.
    Clear {
        /// Who tested it.
        by: String,
        /// When, as the user writes it.
        date: String,
    },
    /// Tested and found.
    Found {
        /// Who tested it.
        by: String,
        /// When, as the user writes it.
        date: String,
        /// What was found.
        #[serde(default)]
        what: String,
    },
}

impl HazardTest {
    /// It may hold the substance, or does.
    #[must_use]
    pub const fn may_hold(&self) -> bool {
        matches!(self, Self::Untested | Self::Found { .. })
    }

    /// It was found.
    #[must_use]
    pub const fn was_found(&self) -> bool {
        matches!(self, Self::Found { .. })
    }

    /// Who tested and when, where somebody did.
    #[must_use]
    pub const fn tested(&self) -> Option<(&String, &String)> {
        match self {
            Self::Untested | Self::NoneThere => None,
            Self::Clear { by, date } | Self::Found { by, date, .. } => Some((by, date)),
        }
    }

    /// The words that are printed for it.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Untested => "not tested".to_owned(),
            Self::NoneThere => "none there".to_owned(),
            Self::Clear { by, date } => format!("tested by {by}, {date}: nothing found"),
            Self::Found { by, date, what } if what.is_empty() => {
                format!("tested by {by}, {date}: found")
            }
            Self::Found { by, date, what } => format!("tested by {by}, {date}: found {what}"),
        }
    }
}
