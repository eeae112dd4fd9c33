//! `compare`: two surveys of one body.

use plymend::diagnostic::Diagnostic;
use plymend::read::{Job, Named, job};
use plymend::report::{json, text_compare};

use super::no_screen;
use crate::cli::{Compare, CompareFormat, Typed};
use crate::files::JobFolder;
use crate::say::{Answer, on_a_screen};

pub(super) fn run(asked: &Compare, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    if asked.format == CompareFormat::Html && asked.output.output.is_none() && on_a_screen() {
        return Err(vec![no_screen("-o changes.html")]);
    }
    let (earlier, later) = (read(&asked.earlier), read(&asked.later));
    let (earlier, later) = match (earlier, later) {
        (Ok(earlier), Ok(later)) => (earlier, later),
        (one, other) => {
            // Faults of both, so that they can be put right in one go.
            let mut faults: Vec<Diagnostic> = one.err().into_iter().flatten().collect();
            faults.extend(other.err().into_iter().flatten());
            faults.sort();
            faults.dedup();
            return Err(faults);
        }
    };
    let (found, page) = match asked.format {
        CompareFormat::Html => plymend::compare_page(&earlier, &later)?,
        _ => (plymend::compare(&earlier, &later)?, String::new()),
    };
    let reason = found.exit_reason();
    let mut text = match asked.format {
        CompareFormat::Json => json::text(&found),
        CompareFormat::Text if typed.quiet => text_compare::brief(&found, &later.book),
        CompareFormat::Html => page,
        CompareFormat::Text => text_compare::full(&found, &later.book),
    };
    if let (CompareFormat::Text, Some(reason)) = (asked.format, &reason) {
        text.push_str(&format!("exit code 1: {reason}\n"));
    }
    let mut notes = Vec::new();
    if let (true, Some(file)) = (typed.verbose, &asked.output.output) {
        notes.push(format!("wrote {file}"));
    }
    Ok(Answer {
        text,
        output: asked.output.output.clone(),
        files_read: found.files_read,
        reason,
        notes,
        ..Answer::default()
    })
}

/// A survey with what it names.
pub(super) fn read(survey: &str) -> Result<Job, Vec<Diagnostic>> {
    job::job(&JobFolder::of(survey), survey, &Named::default())
}
