//! Opened-up sizes: the file read with its survey, and a job with what was found put in.

use super::check_opened;
use super::job::{self, Folder, Job, JobPanel, Named, Reading, path_from};
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::opened::{FoundMark, OpenedSizes};
use crate::model::survey::{Depth, Evidence, Mark, SeenNow, Survey, Tried};
use crate::rules::Book;

/// What grinding found.
#[derive(Debug, Clone)]
pub struct OpenedUp {
    /// Its file.
    pub file: String,
    /// The sizes.
    pub sizes: OpenedSizes,
    /// The marks of the job are worked at these sizes.
    pub put_in: bool,
}

/// Reads the sizes that the user or the survey names.
pub(super) fn read(
    reading: &mut Reading<'_>,
    options: &Named,
    (survey, loaded): (&Survey, &Loaded),
    panels: &[JobPanel],
) -> Option<OpenedUp> {
    let named = survey.opened.as_ref();
    let (sizes, of) =
        reading.either::<OpenedSizes>(options.opened.as_ref(), loaded, "opened", named)?;
    reading.faults.extend(check_opened::sizes(&sizes, &of, &loaded.file, survey, panels));
    Some(OpenedUp { file: of.file, sizes, put_in: false })
}

/// Reads a file of opened-up sizes with the survey it names.
///
/// # Errors
/// Every fault of the file, of the survey and of what that names.
pub fn job(folder: &dyn Folder, file: &str) -> Result<Job, Vec<Diagnostic>> {
    let read = job::one::<OpenedSizes, _>(folder, file, |reading, sizes, loaded| {
        reading.named::<Survey>(loaded, "survey", &sizes.survey)?;
        let named = Named { opened: Some(file.to_owned()), ..Named::default() };
        match job::job(folder, &path_from(&loaded.file, &sizes.survey), &named) {
            Ok(job) => Some(job),
            Err(faults) => {
                reading.faults.extend(faults);
                None
            }
        }
    });
    read.map(|(job, _)| job)
}

impl Job {
    /// What was found at a mark, where the job is worked at the sizes found.
    #[must_use]
    pub fn found(&self, mark: u32) -> Option<&FoundMark> {
        let opened = self.opened.as_ref().filter(|opened| opened.put_in)?;
        opened.sizes.found.iter().find(|found| found.mark == mark)
    }

    /// The same job with the marks as they were found, and a rule book that may have learnt.
    #[must_use]
    pub fn opened_up(&self, book: Book) -> Self {
        let mut job = Self { book, ..self.clone() };
        let Some(opened) = &mut job.opened else { return job };
        opened.put_in = true;
        for found in &opened.sizes.found {
            if let Some(mark) = job.survey.marks.iter_mut().find(|mark| mark.id == found.mark) {
                *mark = with_found(mark, found);
            }
        }
        job
    }
}

/// A mark with what was found at it. Its place and shape stay as recorded: the size found is laid
/// over them on the skin. Of evidence both count, and of lips that move the worse answer.
pub(super) fn with_found(recorded: &Mark, found: &FoundMark) -> Mark {
    let mut mark = recorded.clone();
    for seen in &found.evidence {
        if !mark.evidence.contains(seen) {
            mark.evidence.push(*seen);
        }
    }
    if found.through == Tried::Yes && !mark.evidence.contains(&Evidence::Through) {
        mark.evidence.push(Evidence::Through);
    }
    let through = mark.evidence.contains(&Evidence::Through);
    mark.depth = match found.depth {
        Depth::Unknown if through && !recorded.evidence.contains(&Evidence::Through) => Depth::Full,
        Depth::Unknown => recorded.depth,
        depth => depth,
    };
    mark.edges_move = match (recorded.edges_move, found.edges_move) {
        (Tried::Yes, _) | (_, Tried::Yes) => Tried::Yes,
        (before, Tried::NotTried) => before,
        (_, Tried::No) => Tried::No,
    };
    if found.back_length_mm.is_some() {
        mark.back_length_mm = found.back_length_mm;
    }
    if matches!(mark.now, SeenNow::SeenNotMeasured | SeenNow::NotExamined) {
        mark.now = SeenNow::Measured;
    }
    mark
}
