//! `history`: several surveys of one body.

use plymend::diagnostic::Diagnostic;
use plymend::read::Job;
use plymend::report::{json, text_history};
use plymend::rules::Book;

use super::compare::read;
use crate::cli::{Format, History, Typed};
use crate::say::Answer;

pub(super) fn run(asked: &History, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut jobs: Vec<Job> = Vec::new();
    for survey in &asked.surveys {
        match read(survey) {
            Ok(job) => jobs.push(job),
            Err(more) => faults.extend(more),
        }
    }
    if !faults.is_empty() {
        faults.sort();
        faults.dedup();
        return Err(faults);
    }
    let found = plymend::history(&jobs)?;
    let reason = found.exit_reason();
    let book = jobs.last().map_or_else(Book::built_in, |job| job.book.clone());
    let mut text = match asked.format {
        Format::Json => json::text(&found),
        Format::Text if typed.quiet => text_history::brief(&found, &book),
        Format::Text => text_history::full(&found, &book),
    };
    if let (Format::Text, Some(reason)) = (asked.format, &reason) {
        text.push_str(&format!("exit code 1: {reason}\n"));
    }
    Ok(Answer {
        text,
        output: asked.output.output.clone(),
        files_read: found.files_read,
        reason,
        ..Answer::default()
    })
}
