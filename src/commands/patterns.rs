//! `patterns`: removals and plies at full size.

use plymend::diagnostic::Diagnostic;
use plymend::quantity::Case;
use plymend::report::full_size::{Paper, PatternBook, drawings, printed};

use super::estimate::read;
use super::typed_wrongly;
use crate::cli::{DrawnCase, PaperSize, Patterns, Typed};
use crate::files::{make_folder, write_answer};
use crate::say::Answer;

pub(super) fn run(asked: &Patterns, typed: &Typed) -> Result<Answer, Vec<Diagnostic>> {
    let job = read(&asked.survey, &asked.named)?;
    let case = match asked.case {
        DrawnCase::Low => Case::Low,
        DrawnCase::Likely => Case::Likely,
        DrawnCase::High => Case::High,
    };
    let mut book = plymend::patterns(&job, case)?;
    only(&mut book, &asked.repairs)?;
    let paper = match asked.paper {
        PaperSize::A4 => Paper::A4,
        PaperSize::A3 => Paper::A3,
        PaperSize::Letter => Paper::Letter,
    };
    let pages = printed(&book, paper);
    let mut wrote = Vec::new();
    if let Some(file) = &asked.pdf {
        write_answer(file, &pages.pdf, &job.files_read).map_err(|fault| vec![*fault])?;
        wrote.push(format!("wrote {file}: {} pages", pages.pages));
    }
    if let Some(folder) = &asked.svg {
        make_folder(folder).map_err(|fault| vec![fault])?;
        let all = drawings(&book);
        for (name, text) in &all {
            let path = format!("{}/{name}", folder.trim_end_matches('/'));
            write_answer(&path, text.as_bytes(), &job.files_read).map_err(|fault| vec![*fault])?;
        }
        wrote.push(format!("wrote {} drawings into {folder}", all.len()));
    }
    let mut text = pages.list;
    if wrote.is_empty() {
        text.push_str("no sheet was written: add --pdf FILE or --svg DIR\n");
    }
    if let Some(reason) = &book.needs_a_person {
        text.push_str(&format!("exit code 1: {reason}\n"));
    }
    Ok(Answer {
        text,
        output: asked.output.output.clone(),
        files_read: job.files_read,
        reason: book.needs_a_person,
        notes: if typed.quiet { Vec::new() } else { wrote },
        ..Answer::default()
    })
}

/// Leaves in a book what was asked for; nothing named is everything.
fn only(book: &mut PatternBook, named: &[String]) -> Result<(), Vec<Diagnostic>> {
    let known = book.repairs();
    let unknown = named.iter().filter(|name| !known.contains(name));
    let faults: Vec<Diagnostic> = unknown
        .map(|name| {
            typed_wrongly(
                "--repair",
                "READ-NAME-UNKNOWN",
                format!("there is no repair {name:?} in this job"),
                if known.is_empty() {
                    "no name: nothing in this job is repaired".to_owned()
                } else {
                    format!("one of {}", known.join(", "))
                },
                "take the name from the estimate".to_owned(),
            )
        })
        .collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    if !named.is_empty() {
        book.keep(named);
    }
    Ok(())
}
