//! A page of a job for one reader: the whole answer, with its drawings, as one file of HTML.

use super::{Answer, Depth, skins, told};
use crate::diagnostic::Diagnostic;
use crate::read::job::Job;
use crate::report::html::{Pictures, Reader, Units, page as written};
use crate::report::model::Report;
use crate::report::photos::Photo;
use crate::surface::placed::PlacedPanel;

/// A page and what has to be told beside it.
#[derive(Debug, Clone)]
pub struct Page {
    /// The HTML.
    pub html: String,
    /// Why the exit code is not 0.
    pub needs_a_person: Option<String>,
}

/// The page of a job for a reader.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn page(
    job: &Job,
    photos: Vec<Photo>,
    reader: Reader,
    units: Units,
) -> Result<Page, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Cut, |mut report, answer| {
        report.answers = "estimate";
        let pictures = Pictures { photos, ..pictures(job, &panels, &report, answer) };
        Page {
            html: written(&report, reader, units, &pictures),
            needs_a_person: report.exit_reason(),
        }
    })
}

fn pictures(
    _job: &Job,
    _panels: &[PlacedPanel<'_>],
    _report: &Report,
    _answer: &Answer<'_>,
) -> Pictures {
    Pictures::default()
}
