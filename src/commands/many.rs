//! Every survey of a folder, on all cores, in order of the files.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use plymend::diagnostic::Diagnostic;
use plymend::read::kind::{FileKind, kind};
use plymend::read::text::Loaded;
use plymend::read::{Folder, Job, Named, job, ron_file};
use rayon::prelude::*;

use super::typed_wrongly;
use crate::cli::{Many, Typed};
use crate::files::{JobFolder, ron_files};
use crate::say::Progress;

/// So many files are worked on before their answers are handed on: few enough to hold at once, and
/// the same on every machine.
const AT_ONCE: usize = 64;

/// What came of one file.
pub(super) enum Came<T> {
    /// A survey.
    Survey(T),
    /// No survey.
    Other,
    /// It could not be used.
    Bad(String, Vec<Diagnostic>),
}

/// How a walk ended.
#[derive(Debug, Default)]
pub(super) struct End {
    /// Surveys that were worked out.
    pub(super) surveys: usize,
    /// Files that are no surveys.
    pub(super) other: usize,
    /// Faults of files that could not be used.
    pub(super) faults: Vec<Diagnostic>,
    /// What was read.
    pub(super) files_read: Vec<String>,
    /// The user broke it off.
    pub(super) interrupted: bool,
}

/// Listens for somebody who breaks it off: from here on nothing is left half written. The first time
/// asks it to stop, the second stops it at once. Where no signal can be caught the run ends as it
/// always did.
pub(super) fn breaking_off() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let _ = signal_hook::flag::register_conditional_shutdown(
        signal_hook::consts::SIGINT,
        130,
        Arc::clone(&stop),
    );
    let _ = signal_hook::flag::register(signal_hook::consts::SIGINT, Arc::clone(&stop));
    let _ = signal_hook::flag::register(signal_hook::consts::SIGTERM, Arc::clone(&stop));
    stop
}

/// Works out every survey of a folder and hands the answers on in order of the files.
///
/// # Errors
/// A folder that cannot be read or has no survey, what `take` gives, and every fault where no survey
/// could be used.
pub(super) fn walk<T: Send>(
    asked: &Many,
    (typed, stop): (&Typed, &AtomicBool),
    each: impl Fn(&Job) -> Result<T, Vec<Diagnostic>> + Sync,
    mut take: impl FnMut(Came<T>) -> Result<(), Diagnostic>,
) -> Result<End, Vec<Diagnostic>> {
    let files = ron_files(&asked.folder).map_err(|fault| vec![fault])?;
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(asked.threads.map_or(0, usize::from))
        .build()
        .map_err(|why| vec![no_threads(&why.to_string())])?;
    let progress = Progress::new(files.len(), typed.quiet);
    let mut end = End::default();
    let mut beside: BTreeSet<String> = BTreeSet::new();
    for (number, chunk) in files.chunks(AT_ONCE).enumerate() {
        progress.at(number * AT_ONCE);
        let one = |file: &String| {
            if stop.load(Ordering::Relaxed) { None } else { Some(came(file, &each)) }
        };
        let came: Vec<_> = pool.install(|| chunk.par_iter().map(one).collect());
        if stop.load(Ordering::Relaxed) {
            return Ok(End { interrupted: true, ..End::default() });
        }
        for (came, read) in came.into_iter().flatten() {
            beside.extend(read.into_iter().filter(|file| files.binary_search(file).is_err()));
            match &came {
                Came::Survey(_) => end.surveys += 1,
                Came::Other => end.other += 1,
                Came::Bad(_, faults) => end.faults.extend(faults.iter().cloned()),
            }
            take(came).map_err(|fault| vec![fault])?;
        }
    }
    drop(progress);
    end.faults.sort();
    end.faults.dedup();
    if end.surveys == 0 {
        if end.faults.is_empty() {
            end.faults.push(typed_wrongly(
                "DIR",
                "READ-NOTHING",
                format!("there is no survey in {} or below", asked.folder),
                "a folder with surveys: files that end in .ron".to_owned(),
                "name the folder the surveys are in".to_owned(),
            ));
        }
        return Err(end.faults);
    }
    end.files_read = files;
    end.files_read.extend(beside);
    Ok(end)
}

fn no_threads(why: &str) -> Diagnostic {
    typed_wrongly(
        "--threads",
        "READ-RANGE",
        format!("so many threads cannot be started: {why}"),
        "as many as the machine has cores".to_owned(),
        "leave --threads out".to_owned(),
    )
}

/// What comes of one file, and what was read for it.
fn came<T>(
    file: &str,
    each: &impl Fn(&Job) -> Result<T, Vec<Diagnostic>>,
) -> (Came<T>, Vec<String>) {
    let folder = JobFolder::of(file);
    let bad = |faults| (Came::Bad(file.to_owned(), faults), Vec::new());
    let text = match folder.typed(file) {
        Ok(text) => text,
        Err(fault) => return bad(vec![fault]),
    };
    let loaded = Loaded::new(file, &text);
    match ron_file::before_reading(&loaded).and_then(|()| kind(&loaded)) {
        Ok(FileKind::Survey) => {}
        Ok(_) => return (Came::Other, Vec::new()),
        Err(fault) => return bad(vec![fault]),
    }
    let read = job::job(&folder, file, &Named::default());
    match read.and_then(|job| Ok((each(&job)?, job.files_read))) {
        Ok((one, read)) => (Came::Survey(one), read),
        Err(faults) => bad(faults),
    }
}
