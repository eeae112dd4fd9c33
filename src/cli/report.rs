//! The arguments of `report`, as they are typed.

use clap::{Args, ValueEnum};

use super::{NamedFiles, Output, TextUnits};

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

    #[command(flatten)]
    pub(crate) units: TextUnits,

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
