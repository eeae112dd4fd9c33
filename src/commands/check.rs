//! `check`: every fault of every file.

use std::path::Path;

use plymend::diagnostic::Diagnostic;
use plymend::read::kind::{FileKind, kind};
use plymend::read::text::Loaded;
use plymend::read::{Folder, Named, climate, drying, job, opened, ron_file};
use plymend::report::photos;

use super::hooks;
use crate::cli::Typed;
use crate::files::JobFolder;
use crate::say::Answer;

pub(super) fn run(files: &[String], typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    let mut answer = Answer::default();
    let mut unreadable = false;
    for file in files {
        let folder = JobFolder::of(file);
        let found = match folder.typed(file) {
            Ok(text) => told(&folder, file, &text, &mut answer),
            Err(fault) => {
                unreadable = true;
                vec![fault]
            }
        };
        answer.faults.extend(found);
    }
    // A file that is typed and also named by another one has its faults told once.
    answer.faults.sort();
    answer.faults.dedup();
    if unreadable {
        return Err(answer.faults);
    }
    if typed.quiet {
        answer.text.clear();
    }
    if typed.verbose {
        answer.notes.extend(answer.files_read.iter().map(|file| format!("read {file}")));
    }
    Ok(answer)
}

/// A body's folder with a survey in it that names the body and nothing else.
struct BareSurvey<'a> {
    folder: &'a JobFolder,
    name: String,
    text: String,
}

impl<'a> BareSurvey<'a> {
    fn of(folder: &'a JobFolder, body: &str) -> Self {
        let body = Path::new(body);
        let own = body.file_name().map_or_else(String::new, |own| own.to_string_lossy().into());
        Self {
            folder,
            // No file on a disk has this name.
            name: body.with_file_name("\u{0}survey").to_string_lossy().into(),
            text: format!("(format: 1, body: {own:?})"),
        }
    }
}

impl Folder for BareSurvey<'_> {
    fn text(&self, name: &str) -> Result<String, Diagnostic> {
        if name == self.name { Ok(self.text.clone()) } else { self.folder.text(name) }
    }

    fn bytes(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        self.folder.bytes(name)
    }
}

/// Checks one readable file and writes its line.
fn told(folder: &JobFolder, file: &str, text: &str, answer: &mut Answer) -> Vec<Diagnostic> {
    let loaded = Loaded::new(file, text);
    let (word, faults) = match ron_file::before_reading(&loaded).and_then(|()| kind(&loaded)) {
        Ok(kind) => (kind.word(), checked(kind, folder, file, answer)),
        Err(fault) => ("not read", vec![fault]),
    };
    let count = match faults.len() {
        0 => "no fault".to_owned(),
        1 => "1 fault".to_owned(),
        count => format!("{count} faults"),
    };
    answer.text.push_str(&format!("{file}: {word}, {count}\n"));
    faults
}

fn checked(kind: FileKind, folder: &JobFolder, file: &str, answer: &mut Answer) -> Vec<Diagnostic> {
    let result = match kind {
        FileKind::Survey => job::job(folder, file, &Named::default()).map(|job| {
            answer.files_read.extend(job.files_read.iter().cloned());
            let mut faults = hooks::places(&job);
            // Here alone what lies between the beginning and the end of a photo is looked at.
            faults.extend(photos::of_job(folder, &job).err().into_iter().flatten());
            faults
        }),
        // Seams are found on the skins that they join, as a survey of the body finds them.
        FileKind::Body => job::body(folder, file).and_then(|_| {
            let survey = BareSurvey::of(folder, file);
            job::job(&survey, &survey.name, &Named::default()).map(|job| hooks::places(&job))
        }),
        FileKind::Panel => {
            job::panel(folder, file).map(|(panel, texts)| hooks::skins(&[panel], &texts))
        }
        FileKind::Shop => job::shop(folder, file).map(|_| Vec::new()),
        FileKind::Labour => job::labour_file(folder, file).map(|_| Vec::new()),
        FileKind::Stock => job::stock_file(folder, file).map(|_| Vec::new()),
        FileKind::Opened => opened::job(folder, file).map(|job| {
            answer.files_read.extend(job.files_read.iter().cloned());
            hooks::places(&job)
        }),
        FileKind::Drying => drying::job(folder, file).map(|job| {
            answer.files_read.extend(job.files_read.iter().cloned());
            hooks::places(&job)
        }),
        FileKind::Climate => climate::file(folder, file).map(|_| Vec::new()),
        FileKind::Prices => job::prices_file(folder, file).map(|_| Vec::new()),
        FileKind::Rules => job::rules(folder, file).map(|_| Vec::new()),
    };
    result.unwrap_or_else(|faults| faults)
}
