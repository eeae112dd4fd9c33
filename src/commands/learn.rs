//! `learn`: what a folder of opened-up jobs says of growth.

use plymend::JobFinds;
use plymend::diagnostic::Diagnostic;
use plymend::report::{json, text_learn};

use super::many::{Came, breaking_off, walk};
use super::typed_wrongly;
use crate::cli::{Format, Learn, Typed};
use crate::say::Answer;

pub(super) fn run(asked: &Learn, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    let mut jobs: Vec<JobFinds> = Vec::new();
    let mut bad: Vec<String> = Vec::new();
    let stop = breaking_off();
    let end = walk(&asked.many, (typed, &stop), plymend::finds, |came| {
        match came {
            Came::Survey(found) => jobs.extend(found),
            Came::Bad(file, _) => bad.push(file),
            Came::Other => {}
        }
        Ok(())
    })?;
    if end.interrupted {
        return Ok(Answer { interrupted: true, ..Answer::default() });
    }
    let table = plymend::learn(&jobs, end.surveys, bad);
    if table.marks == 0 {
        return Err(vec![typed_wrongly(
            "DIR",
            "READ-NOTHING",
            format!("none of the {} surveys has opened-up sizes that can be compared", end.surveys),
            "surveys that name their sizes found after grinding under `opened`".to_owned(),
            "open marks up, write what was found, and name the file in the survey".to_owned(),
        )]);
    }
    let text = match asked.format {
        Format::Json => json::text(&table),
        Format::Text => text_learn::rule_file(&table),
    };
    Ok(Answer {
        text,
        output: asked.output.output.clone(),
        files_read: end.files_read,
        faults: end.faults,
        ..Answer::default()
    })
}
