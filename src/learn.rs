//! What a folder of opened-up jobs teaches.

use super::{skins, work};
use crate::damage::learnt::of_job;
use crate::damage::learnt_many::{Find, pooled};
use crate::diagnostic::Diagnostic;
use crate::read::job::Job;
use crate::report::record_learn::LearntTable;
use crate::report::text_learn::record;
use crate::rules::Book;

/// What the opened marks of one job say, by rule of growth.
pub type JobFinds = Vec<(&'static str, f64)>;

/// What the opened marks of one job say of the built-in book's factors, which a book that has learnt
/// already must not teach twice; none where it names no opened-up sizes.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn finds(job: &Job) -> Result<Option<JobFinds>, Vec<Diagnostic>> {
    let Some(opened) = &job.opened else { return Ok(None) };
    let panels = skins(job)?;
    let answer = work(job, &panels)?;
    let learnt = of_job(&Book::built_in(), opened, &answer.findings);
    let ratios = learnt.iter().flat_map(|one| one.ratios.iter().map(|of| (one.rule, of.1)));
    Ok(Some(ratios.collect()))
}

/// What many jobs say together. `surveys` is how many were read, opened up or not.
#[must_use]
pub fn learn(jobs: &[JobFinds], surveys: usize, bad_files: Vec<String>) -> LearntTable {
    let book = Book::built_in();
    let finds: Vec<Find> = jobs
        .iter()
        .enumerate()
        .flat_map(|(job, finds)| {
            finds.iter().map(move |(rule, ratio)| Find { job, rule, ratio: *ratio })
        })
        .collect();
    record(&book, &pooled(&book, &finds), (jobs.len(), surveys), bad_files)
}
