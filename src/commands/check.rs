//! `check`: every fault of every file.

use plymend::diagnostic::Diagnostic;
use plymend::read::kind::{FileKind, kind};
use plymend::read::text::Loaded;
use plymend::read::{Folder, Named, job, ron_file};

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
            hooks::places(&job)
        }),
        FileKind::Body => {
            job::body(folder, file).map(|(panels, texts)| hooks::skins(&panels, &texts))
        }
        FileKind::Panel => {
            job::panel(folder, file).map(|(panel, texts)| hooks::skins(&[panel], &texts))
        }
        FileKind::Shop => job::shop(folder, file).map(|_| Vec::new()),
        FileKind::Stock => job::stock_file(folder, file).map(|_| Vec::new()),
        FileKind::Rules => job::rules(folder, file).map(|_| Vec::new()),
    };
    result.unwrap_or_else(|faults| faults)
}
