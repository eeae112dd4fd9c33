//! The arguments, as they are typed.

mod cure;
mod report;
mod surveys;
mod units;

use clap::{Args, Parser, Subcommand, ValueEnum};

pub(crate) use self::cure::{Cure, LaidOnto};
pub(crate) use self::report::{PageFor, Report};
pub(crate) use self::surveys::{
    Compare, CompareFormat, History, Learn, Many, Totals, TotalsFormat,
};
pub(crate) use self::units::{TextUnits, UnitWord};
use crate::exit;

/// Sizes and estimates repairs to glass-fibre vehicle bodies.
///
/// From a survey of marks on curved panels to areas, plies, resin, cure, cautions and referrals.
/// Files are RON text; `plymend new` writes a first set with comments.
#[derive(Debug, Parser)]
#[command(name = "plymend", version, help_expected = true, after_long_help = exit::TABLE)]
pub(crate) struct Typed {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,

    /// Colour in messages.
    ///
    /// `auto` colours on a terminal, unless NO_COLOR is set and not empty or TERM is `dumb`.
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    pub(crate) color: Color,

    /// Say less: short answers, no remarks; faults are always told.
    #[arg(short, long, global = true, conflicts_with = "verbose")]
    pub(crate) quiet: bool,

    /// Show the working, and the files that were read.
    #[arg(short, long, global = true)]
    pub(crate) verbose: bool,
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Color {
    /// On a terminal that shows colour.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check files and everything they name.
    ///
    /// Surveys, bodies, panels, shops, stocks, opened-up sizes, drying logs, readings of the air, prices, hours of work and rule changes are told apart by their fields.
    /// Every fault of every file is told with its line, column and field, what is accepted and
    /// the way out. Exit code 1 when a readable file has faults, 2 when a file cannot be read.
    Check {
        /// The files.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<String>,
    },

    /// Write a first survey, a shop and a measuring sheet.
    ///
    /// The files pass `check` as they are. Nothing that is already there is overwritten.
    New {
        /// The folder to write into; it is made when it is not there.
        #[arg(value_name = "DIR")]
        folder: String,

        /// A generic moulding to start from; may be given several times [default: lid].
        #[arg(long = "panel", value_name = "NAME")]
        panels: Vec<String>,
    },

    /// Measure one panel: its sizes, area and parts.
    Panel {
        /// The panel file.
        #[arg(value_name = "FILE")]
        file: String,

        /// Write the mesh that areas are measured on, as PLY, mm.
        #[arg(long, value_name = "OUT.ply")]
        export: Option<String>,

        #[command(flatten)]
        output: Output,
    },

    /// Say what the marks are, how far they go and what may be touched.
    Assess {
        /// The survey.
        #[arg(value_name = "SURVEY")]
        survey: String,

        #[command(flatten)]
        named: NamedFiles,

        /// Add classes of published standards, for comparison only: they are from memory.
        #[arg(long)]
        classes: bool,

        /// Write maps of the body and of panels into this folder, SVG.
        #[arg(long, value_name = "DIR")]
        maps: Option<String>,

        #[command(flatten)]
        units: TextUnits,

        #[command(flatten)]
        output: Output,
    },

    /// Estimate the whole job: repairs, materials, timetable, cautions.
    ///
    /// Exit code 1 when something needs a person; the last line of the text says what.
    #[command(after_long_help = exit::TABLE)]
    Estimate {
        /// The survey.
        #[arg(value_name = "SURVEY")]
        survey: String,

        #[command(flatten)]
        named: NamedFiles,

        /// Text for people, or JSON with stable names and metric units.
        #[arg(long, value_enum, default_value_t = Format::Text, value_name = "FORMAT")]
        format: Format,

        #[command(flatten)]
        units: TextUnits,

        /// Write the outline of every removal into this folder, JSON, mm on the panel's mesh.
        #[arg(long, value_name = "DIR")]
        export_geometry: Option<String>,

        #[command(flatten)]
        output: Output,
    },

    /// Say what to buy, and with prices what it costs.
    ///
    /// Only what may start is bought now; what waits for a cause, for drying or for an answer stands
    /// apart. Referred and held marks are in no list and no sum. Exit code 1 as with `estimate`.
    #[command(after_long_help = exit::TABLE)]
    Quote {
        /// The survey.
        #[arg(value_name = "SURVEY")]
        survey: String,

        #[command(flatten)]
        named: NamedFiles,

        /// Text for people, JSON, a table or a workbook for a spreadsheet, or lines for a supplier.
        #[arg(long, value_enum, default_value_t = QuoteFormat::Text, value_name = "FORMAT")]
        format: QuoteFormat,

        #[command(flatten)]
        units: TextUnits,

        /// Whom the answer is for: a buyer gets one page, and a `summary` in JSON.
        #[arg(long = "for", value_enum, value_name = "WHOM")]
        reader: Option<Reader>,

        #[command(flatten)]
        output: Output,
    },

    /// Draw removals and plies at full size, to cut by and to lay on the panel.
    ///
    /// The answer is the list of sheets; the sheets go to the PDF, or one by one to SVG files. Every
    /// page carries two rulers, what stops and what is left out. Exit code 1 as with `estimate`.
    #[command(after_long_help = exit::TABLE)]
    Patterns(Patterns),

    /// Write the whole answer as one page with pictures, for one reader.
    ///
    /// One file of HTML that needs no network and no script, to read and to print. Exit code 1 as
    /// with `estimate`.
    #[command(after_long_help = exit::TABLE)]
    Report(Report),
    /// Say what changed between two surveys of one body.
    ///
    /// Marks are matched by place, side and kind, never by their numbers. A size counts as changed
    /// only beyond what both surveys may be off; a mark that was not measured again is never called
    /// stable. Exit code 1 when something needs a person.
    #[command(after_long_help = exit::TABLE)]
    Compare(Compare),

    /// Follow every mark through three surveys or more of one body.
    ///
    /// Sizes by date with what each may be off; a rate with its interval only from three days or
    /// more in like conditions, else why there is none. Surveys that all give their day (`on`) are
    /// put in order; others are taken as typed.
    #[command(after_long_help = exit::TABLE)]
    History(History),

    /// Sum up every survey of a folder and below: one table, worst first.
    ///
    /// Files that are no surveys are passed over; those that cannot be read are named and left out.
    /// The same bytes come out with any number of threads. Exit code 1 when something needs a
    /// person or a file was left out, 2 when none could be read.
    #[command(after_long_help = exit::TABLE)]
    Totals(Totals),

    /// Learn from opened-up jobs how far marks grow, and write it as changes to the rule book.
    ///
    /// Every survey of the folder and below that names its opened-up sizes counts. With few marks
    /// the figures stay near the book's. The file can be named under `rules` in a survey.
    Learn(Learn),

    /// Ask what would happen if these plies were laid: times, peaks, stages.
    ///
    /// No survey is needed. Peaks are bounds from a calibrated model; the upper one chooses the
    /// stages. Exit code 1 when lay-up is refused.
    #[command(after_long_help = exit::TABLE)]
    Cure(Cure),

    /// Explain a code or a rule; without one, list them all.
    Explain {
        /// The code, such as READ-RANGE, or the id of a rule.
        #[arg(value_name = "CODE")]
        code: Option<String>,
    },

    /// Print completions for a shell.
    Completions {
        /// The shell.
        #[arg(value_enum, value_name = "SHELL")]
        shell: clap_complete::Shell,
    },

    /// Print the manual page.
    Man,
}

/// What to draw, and on what.
#[derive(Debug, Clone, Args)]
pub(crate) struct Patterns {
    /// The survey.
    #[arg(value_name = "SURVEY")]
    pub(crate) survey: String,

    #[command(flatten)]
    pub(crate) named: NamedFiles,

    /// Write all sheets into one PDF.
    #[arg(long, value_name = "OUT.pdf")]
    pub(crate) pdf: Option<String>,

    /// Write every sheet uncut into this folder, SVG in true millimetres.
    #[arg(long, value_name = "DIR")]
    pub(crate) svg: Option<String>,

    /// Draw this repair only, by its name in the estimate; may be given several times [default: all].
    #[arg(long = "repair", value_name = "NAME")]
    pub(crate) repairs: Vec<String>,

    /// The paper of the PDF.
    #[arg(long, value_enum, default_value_t = PaperSize::A4, value_name = "SIZE")]
    pub(crate) paper: PaperSize,

    /// Draw marks as they show, as they likely are, or as large as they may be.
    #[arg(long, value_enum, default_value_t = DrawnCase::Likely, value_name = "CASE")]
    pub(crate) case: DrawnCase,

    #[command(flatten)]
    pub(crate) output: Output,
}

/// A paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperSize {
    /// 210 x 297 mm.
    A4,
    /// 297 x 420 mm.
    A3,
    /// 8.5 x 11 inches.
    Letter,
}

/// How far marks go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum DrawnCase {
    /// As they show.
    Low,
    /// As they likely are once opened.
    Likely,
    /// As large as they may be.
    High,
}

/// Where the answer goes.
#[derive(Debug, Clone, Args)]
pub(crate) struct Output {
    /// Write the answer to a file, whole or not at all, instead of the standard output.
    #[arg(short, long, value_name = "OUT")]
    pub(crate) output: Option<String>,
}

/// Files beside the survey.
#[derive(Debug, Clone, Args)]
pub(crate) struct NamedFiles {
    /// The shop; else the one the survey names, else the survey's own readings.
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<String>,

    /// The stock; else the one the survey names, else the generic stock.
    #[arg(long, value_name = "FILE")]
    pub(crate) stock: Option<String>,

    /// Changes to the rule book; else those the survey names, else none.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<String>,

    /// The sizes found after grinding; else those the survey names, else none.
    #[arg(long, value_name = "FILE")]
    pub(crate) opened: Option<String>,

    /// The drying log of wet marks; else the one the survey names, else none.
    #[arg(long, value_name = "FILE")]
    pub(crate) drying: Option<String>,

    /// Your own prices; else those the survey names, else packs and hours without money.
    #[arg(long, value_name = "FILE")]
    pub(crate) prices: Option<String>,
}

/// Whom a quote is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Reader {
    /// Somebody who thinks of buying the vehicle.
    Buyer,
}

/// How a quote is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum QuoteFormat {
    /// For people.
    Text,
    /// For programs.
    Json,
    /// Comma-separated, for a spreadsheet.
    Csv,
    /// What to buy now, a line a pack.
    Lines,
    /// A workbook of sheets; into a file with -o, or into a pipe.
    Xlsx,
}

/// How the answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people.
    Text,
    /// For programs.
    Json,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_sound() {
        Typed::command().debug_assert();
    }
}
