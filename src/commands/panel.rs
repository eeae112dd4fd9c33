//! `panel`: one panel measured, and its mesh.

use plymend::diagnostic::Diagnostic;
use plymend::read::job;

use super::hooks;
use crate::cli::{Output, Typed};
use crate::files::{JobFolder, write_answer};
use crate::say::Answer;

pub(super) fn run(
    file: &str,
    export: Option<&str>,
    output: Output,
    typed: &Typed,
) -> Result<Answer, Vec<Diagnostic>> {
    let (panel, texts) = job::panel(&JobFolder::of(file), file)?;
    let text = hooks::panel(&panel, &texts)?;
    let files_read = vec![file.to_owned(), panel.file.clone()];
    let mut notes = Vec::new();
    if let Some(out) = export {
        let mesh = hooks::mesh(&panel, &texts)?;
        write_answer(out, mesh.as_bytes(), &files_read).map_err(|fault| vec![*fault])?;
        if typed.verbose {
            notes.push(format!("wrote {out}"));
        }
    }
    Ok(Answer { text, output: output.output, files_read, notes, ..Answer::default() })
}
