//! The units of a text.

use clap::{Args, ValueEnum};

/// Which units a text for people is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Args)]
pub(crate) struct TextUnits {
    /// Units of the text; every other form is metric.
    #[arg(long, value_enum, default_value_t = UnitWord::Metric, value_name = "UNITS")]
    pub(crate) units: UnitWord,
}

/// Units of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitWord {
    /// Millimetres, kilograms, degrees Celsius.
    Metric,
    /// US customary units with the metric figure behind each in brackets.
    Imperial,
}
