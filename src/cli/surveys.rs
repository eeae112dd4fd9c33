//! The arguments of commands over several surveys.

use clap::{Args, ValueEnum};

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

    /// Text for people, JSON with stable names and metric units, or a page with both on one map.
    #[arg(long, value_enum, default_value_t = CompareFormat::Text, value_name = "FORMAT")]
    pub(crate) format: CompareFormat,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// How a comparison or a history is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CompareFormat {
    /// For people.
    Text,
    /// For programs.
    Json,
    /// A page of HTML, into a file with -o, or into a pipe.
    Html,
}

/// Three surveys or more.
#[derive(Debug, Clone, Args)]
pub(crate) struct History {
    /// The surveys, of one body, the earliest first.
    #[arg(value_name = "SURVEY", required = true, num_args = 3..)]
    pub(crate) surveys: Vec<String>,

    /// Text for people, JSON with stable names and metric units, or a page with a chart a mark.
    #[arg(long, value_enum, default_value_t = CompareFormat::Text, value_name = "FORMAT")]
    pub(crate) format: CompareFormat,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// A folder of surveys, and how many work on it.
#[derive(Debug, Clone, Args)]
pub(crate) struct Many {
    /// The folder; folders in it are looked through too.
    #[arg(value_name = "DIR")]
    pub(crate) folder: String,

    /// How many threads work on it [default: one a core].
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(crate) threads: Option<u16>,
}

/// Many surveys in one table.
#[derive(Debug, Clone, Args)]
pub(crate) struct Totals {
    #[command(flatten)]
    pub(crate) many: Many,

    /// Text for people, a table for a spreadsheet, JSON, or JSON lines, a survey a line.
    #[arg(long, value_enum, default_value_t = TotalsFormat::Text, value_name = "FORMAT")]
    pub(crate) format: TotalsFormat,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// How many surveys are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum TotalsFormat {
    /// For people.
    Text,
    /// Comma-separated, for a spreadsheet.
    Csv,
    /// For programs, all in one.
    Json,
    /// For programs, every survey by itself on a line, in order of the files.
    Lines,
}

/// What opened-up jobs teach.
#[derive(Debug, Clone, Args)]
pub(crate) struct Learn {
    #[command(flatten)]
    pub(crate) many: Many,

    /// A file of rule changes with comments, or JSON.
    #[arg(long, value_enum, default_value_t = Format::Text, value_name = "FORMAT")]
    pub(crate) format: Format,

    #[command(flatten)]
    pub(crate) output: Output,
}
