//! The arguments of commands over several surveys.

use clap::Args;

use super::{Format, Output};

/// Two surveys.
#[derive(Debug, Clone, Args)]
pub(crate) struct Compare {
    /// The earlier survey.
    #[arg(value_name = "EARLIER")]
    pub(crate) earlier: String,

    /// The later survey, of the same body.
    #[arg(value_name = "LATER")]
    pub(crate) later: String,

    /// Text for people, or JSON with stable names and metric units.
    #[arg(long, value_enum, default_value_t = Format::Text, value_name = "FORMAT")]
    pub(crate) format: Format,

    #[command(flatten)]
    pub(crate) output: Output,
}
