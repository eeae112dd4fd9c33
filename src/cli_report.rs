//! The arguments of `report`, as they are typed.

use clap::{Args, ValueEnum};

use crate::cli::{NamedFiles, Output};

/// A page to be written.
#[derive(Debug, Clone, Args)]
pub(crate) struct Report {
    /// The survey.
    #[arg(value_name = "SURVEY")]
    pub(crate) survey: String,

    #[command(flatten)]
    pub(crate) named: NamedFiles,

    /// Whom the page is for.
    #[arg(long = "for", value_enum, default_value_t = PageFor::Owner, value_name = "WHOM")]
    pub(crate) reader: PageFor,

    /// Units of the page; imperial figures keep the metric ones behind them.
    #[arg(long, value_enum, default_value_t = SaidIn::Metric, value_name = "UNITS")]
    pub(crate) units: SaidIn,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// Whom a page is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PageFor {
    /// Whoever owns the vehicle or thinks of buying it.
    Owner,
    /// Whoever states its condition.
    Inspector,
    /// Whoever does the work.
    Shop,
}

/// Units for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SaidIn {
    /// mm, m², kg, °C.
    Metric,
    /// Inches, square feet, pounds, °F.
    Imperial,
}
