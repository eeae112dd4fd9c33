//! A page of a job for one reader: the whole answer, with its drawings, as one file of HTML.

use super::patterns::pictures;
use super::{Depth, skins, stock_lacks, told};
use crate::diagnostic::Diagnostic;
use crate::read::job::Job;
use crate::report::html::{Pictures, Reader, page as written};
use crate::report::imperial::Units;
use crate::report::photos::Photo;

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
    units: &Units,
) -> Result<Page, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Cut, |mut report, answer| {
        report.answers = "estimate";
        let with_cut = reader == Reader::Shop;
        let (maps, cut) = pictures(job, &panels, &report, answer, with_cut)
            .map_err(|why| vec![stock_lacks(job, why)])?;
        let pictures = Pictures { maps, cut, photos };
        Ok(Page {
            html: written(&report, reader, units, &pictures),
            needs_a_person: report.exit_reason(),
        })
    })?
}
