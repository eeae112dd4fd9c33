//! `report`: the whole answer as a page for one reader.

use plymend::diagnostic::Diagnostic;
use plymend::report::html::Reader;
use plymend::report::photos;

use super::estimate::{read, units_of};
use super::no_screen;
use crate::cli::{PageFor, Report};
use crate::files::JobFolder;
use crate::say::{Answer, on_a_screen};

pub(super) fn run(asked: &Report) -> Result<Answer, Vec<Diagnostic>> {
    if asked.output.output.is_none() && on_a_screen() {
        return Err(vec![no_screen("-o report.html")]);
    }
    let job = read(&asked.survey, &asked.named)?;
    let reader = match asked.reader {
        PageFor::Owner => Reader::Owner,
        PageFor::Inspector => Reader::Inspector,
        PageFor::Shop => Reader::Shop,
    };
    let units = units_of(asked.units.units, &job);
    let photos = photos::of_job(&JobFolder::of(&asked.survey), &job)?;
    let page = plymend::page(&job, photos, reader, &units)?;
    Ok(Answer {
        text: page.html,
        output: asked.output.output.clone(),
        files_read: job.files_read,
        reason: page.needs_a_person,
        ..Answer::default()
    })
}
