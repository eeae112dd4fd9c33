//! `history`: several surveys of one body.

use plymend::diagnostic::Diagnostic;
use plymend::read::Job;
use plymend::report::html::history_page;
use plymend::report::{json, text_history};
use plymend::rules::Book;

use super::compare::read;
use super::no_screen;
use crate::cli::{CompareFormat, History, Typed};
use crate::say::{Answer, on_a_screen};

pub(super) fn run(asked: &History, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    if asked.format == CompareFormat::Html && asked.output.output.is_none() && on_a_screen() {
        return Err(vec![no_screen("-o history.html")]);
    }
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
        CompareFormat::Json => json::text(&found),
        CompareFormat::Text if typed.quiet => text_history::brief(&found, &book),
        CompareFormat::Html => history_page(&found),
        CompareFormat::Text => text_history::full(&found, &book),
    };
    if let (CompareFormat::Text, Some(reason)) = (asked.format, &reason) {
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
