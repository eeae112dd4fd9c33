//! The arguments of `cure`.

use clap::{Args, ValueEnum};

use super::{Format, Output};

/// A question about cure.
#[derive(Debug, Clone, Args)]
pub(crate) struct Cure {
    /// Weights of the plies from the floor up, g/m2, mats of the stock.
    #[arg(long, value_name = "G,G,...", value_delimiter = ',', required = true)]
    pub(crate) plies: Vec<f64>,

    /// Air, panel and resin from the pour to the gel, C.
    #[arg(
        long,
        value_name = "C",
        allow_negative_numbers = true,
        required_unless_present = "hours"
    )]
    pub(crate) temperature: Option<f64>,

    /// Readings of the air hour by hour, instead of temperatures and humidity.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["temperature", "night", "humidity"])]
    pub(crate) hours: Option<String>,

    /// Panel at the first of these readings, C [default: as the air].
    #[arg(long, value_name = "C", allow_negative_numbers = true, requires = "hours")]
    pub(crate) panel_c: Option<f64>,

    /// After the gel, C [default: as before it].
    #[arg(long, value_name = "C", allow_negative_numbers = true)]
    pub(crate) night: Option<f64>,

    /// Catalyst, % by mass [default: the rule CATALYST-DOSE]; not for epoxy.
    #[arg(long, value_name = "PERCENT")]
    pub(crate) catalyst: Option<f64>,

    /// Relative humidity, %; without it damp is not judged.
    #[arg(long, value_name = "PERCENT")]
    pub(crate) humidity: Option<f64>,

    /// A resin of the stock, by its name or its first words [default: the first polyester].
    #[arg(long, value_name = "NAME")]
    pub(crate) resin: Option<String>,

    /// What the first ply is laid on.
    #[arg(long, value_enum, default_value_t = LaidOnto::Former, value_name = "WHAT")]
    pub(crate) on: LaidOnto,

    /// What is left of the old panel behind the plies, mm.
    #[arg(long, value_name = "MM", default_value_t = 1.0)]
    pub(crate) panel_mm: f64,

    /// An outer gel or paint face stays on behind the plies.
    #[arg(long)]
    pub(crate) face: bool,

    /// The stock; else the generic stock.
    #[arg(long, value_name = "FILE")]
    pub(crate) stock: Option<String>,

    /// Changes to the rule book; else none.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<String>,

    /// Text for people, or JSON with stable names and metric units.
    #[arg(long, value_enum, default_value_t = Format::Text, value_name = "FORMAT")]
    pub(crate) format: Format,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// What plies are laid on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LaidOnto {
    /// A former of foam, timber or GRP: it holds the heat in.
    Former,
    /// The old panel, with air behind.
    Panel,
    /// Nothing: both faces open to the air.
    Nothing,
}
