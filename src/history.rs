//! Several surveys of one body: every mark through time.

use rayon::prelude::*;

use super::compare::worked;
use super::skins;
use crate::damage::change::{Looked, tracks};
use crate::diagnostic::Diagnostic;
use crate::read::job::Job;
use crate::report::lines_history;
use crate::report::record_history::History;

/// Every mark of several surveys of one body, followed through time. Surveys that all give their day
/// are put in order of it; otherwise they are taken as they come.
///
/// # Errors
/// Faults of the jobs, each with its file and place, and what keeps them from being of one body.
pub fn history(jobs: &[Job]) -> Result<History, Vec<Diagnostic>> {
    let mut order: Vec<&Job> = jobs.iter().collect();
    if jobs.iter().all(|job| job.survey.day().is_some()) {
        order.sort_by_key(|job| (job.survey.day(), job.survey_file.clone()));
    }
    let skins = gathered(order.par_iter().map(|job| skins(job)).collect())?;
    let both: Vec<_> = order.iter().zip(&skins).collect();
    let worked = gathered(both.par_iter().map(|(job, panels)| worked(job, panels)).collect())?;
    let surveys: Vec<Looked<'_>> = order
        .iter()
        .zip(&skins)
        .zip(&worked)
        .map(|((job, panels), (answer, _))| Looked { job, panels, findings: &answer.findings })
        .collect();
    let tracks = tracks::tracks(&surveys)?;
    Ok(lines_history::record(&surveys, worked.last().map(|(_, report)| report), &tracks))
}

/// All answers, or the faults of all.
fn gathered<T>(all: Vec<Result<T, Vec<Diagnostic>>>) -> Result<Vec<T>, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut found = Vec::new();
    for one in all {
        match one {
            Ok(one) => found.push(one),
            Err(more) => faults.extend(more),
        }
    }
    faults.sort();
    faults.dedup();
    if faults.is_empty() { Ok(found) } else { Err(faults) }
}
