//! The commands, one file each.

mod check;
mod compare;
mod cure;
mod estimate;
mod explain;
mod history;
mod hooks;
mod learn;
mod many;
mod new;
mod pages;
mod panel;
mod patterns;
mod report;
mod totals;

use plymend::diagnostic::Diagnostic;

use crate::cli::{Command, Typed};
use crate::say::Answer;

/// Does what was typed.
///
/// # Errors
/// Every fault that kept it from running.
pub(crate) fn run(typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    match &typed.command {
        Command::Check { files } => check::run(files, typed),
        Command::New { folder, panels } => new::run(folder, panels),
        Command::Panel { file, export, output } => {
            panel::run(file, export.as_deref(), output.clone(), typed)
        }
        Command::Assess { survey, named, classes, maps, units, output } => {
            let asked = (*classes, maps.as_deref(), units.units);
            estimate::assess(survey, named, asked, output.clone(), typed)
        }
        Command::Estimate { survey, named, format, units, export_geometry, output } => {
            let geometry = export_geometry.as_deref();
            let format = (*format, units.units);
            estimate::run(survey, named, format, geometry, output.clone(), typed)
        }
        Command::Quote { survey, named, format, units, reader, output } => {
            let asked = (*format, *reader, units.units);
            estimate::quote(survey, named, asked, output.clone(), typed)
        }
        Command::Patterns(asked) => patterns::run(asked, typed),
        Command::Report(asked) => report::run(asked),
        Command::Compare(asked) => compare::run(asked, typed),
        Command::Cure(asked) => cure::run(asked, typed),
        Command::History(asked) => history::run(asked, typed),
        Command::Totals(asked) => totals::run(asked, typed),
        Command::Learn(asked) => learn::run(asked, typed),
        Command::Explain { code } => explain::run(code.as_deref()),
        Command::Completions { shell } => Ok(pages::completions(*shell)),
        Command::Man => pages::manual(),
    }
}

/// A fault in what was typed.
fn typed_wrongly(
    argument: &str,
    code: &'static str,
    problem: String,
    accepted: String,
    way_out: String,
) -> Diagnostic {
    Diagnostic {
        file: "the command line".to_owned(),
        place: None,
        field: argument.to_owned(),
        code,
        problem,
        accepted,
        way_out,
        excerpt: None,
    }
}

/// A page that would go to a screen.
fn no_screen(example: &str) -> Diagnostic {
    typed_wrongly(
        "--output",
        "WRITE-FAILED",
        "a page is for a browser, and the answer would go to a screen".to_owned(),
        "a file or a pipe".to_owned(),
        format!("add -o and the name of a file, such as {example}"),
    )
}
