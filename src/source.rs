//! Where a number comes from: how it is known, and from which document.

use std::fmt;

use serde::{Deserialize, Serialize};

/// How a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Stated in a standard, a rule, a government manual or a textbook that is named.
    Published,
    /// Trade practice as generally passed on; no single authority.
    CommonPractice,
    /// Recalled and not checked against a copy.
    FromMemory,
    /// Arithmetic from figures that have their own evidence.
    Computed,
    /// A default of this project, to be replaced by the user's own where they have it.
    Choice,
}

impl fmt::Display for Evidence {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Evidence::Published => "published",
            Evidence::CommonPractice => "common practice",
            Evidence::FromMemory => "from memory",
            Evidence::Computed => "computed",
            Evidence::Choice => "choice",
        })
    }
}
