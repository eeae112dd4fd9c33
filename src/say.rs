//! What goes to the two streams, and in which colour.

use std::io::{self, ErrorKind, IsTerminal, Write};

use plymend::diagnostic::Diagnostic;

use crate::cli::Color;
use crate::exit::Exit;

/// What a command has to say when it could run.
#[derive(Debug, Default)]
pub(crate) struct Answer {
    /// What was asked for.
    pub(crate) text: String,
    /// What was asked for where it is no text; it then goes in place of the text.
    pub(crate) bytes: Option<Vec<u8>>,
    /// Where it goes: a file that is written whole, else the standard output.
    pub(crate) output: Option<String>,
    /// Files that were read, none of which may be written over.
    pub(crate) files_read: Vec<String>,
    /// Faults that were found in readable files.
    pub(crate) faults: Vec<Diagnostic>,
    /// What needs a person.
    pub(crate) reason: Option<String>,
    /// Remarks beside the answer.
    pub(crate) notes: Vec<String>,
    /// The user broke it off: nothing is said and nothing was written.
    pub(crate) interrupted: bool,
}

/// Whether somebody reads the standard output on a screen.
pub(crate) fn on_a_screen() -> bool {
    io::stdout().is_terminal()
}

/// How far a long run has come, on a screen only.
#[derive(Debug)]
pub(crate) struct Progress {
    shown: bool,
    of: usize,
}

impl Progress {
    /// Shown where the error stream is a screen and nobody asked for quiet.
    pub(crate) fn new(of: usize, quiet: bool) -> Self {
        Self { shown: !quiet && io::stderr().is_terminal(), of }
    }

    /// Says how many are done.
    pub(crate) fn at(&self, done: usize) {
        if self.shown {
            let filled = (20 * done).checked_div(self.of).unwrap_or(20).min(20);
            let bar = format!("{}{}", "#".repeat(filled), ".".repeat(20 - filled));
            let _ = write!(io::stderr().lock(), "\r[{bar}] {done} of {} files", self.of);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown {
            let _ = write!(io::stderr().lock(), "\r{:60}\r", "");
        }
    }
}

/// The two streams.
#[derive(Debug)]
pub(crate) struct Voice {
    colour: bool,
    quiet: bool,
}

impl Voice {
    /// Decides on colour for the error stream: asked for, or a terminal that shows it.
    pub(crate) fn new(color: Color, quiet: bool) -> Self {
        let unset = |name| std::env::var_os(name).is_none_or(|value| value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        let colour = match color {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => io::stderr().is_terminal() && unset("NO_COLOR") && !dumb,
        };
        Self { colour, quiet }
    }

    /// Says the answer and gives the verdict.
    pub(crate) fn answer(&self, answer: &Answer) -> Exit {
        if answer.interrupted {
            return Exit::Interrupted;
        }
        let bytes = answer.bytes.as_deref().unwrap_or(answer.text.as_bytes());
        let written = match &answer.output {
            Some(file) => crate::files::write_answer(file, bytes, &answer.files_read),
            None => to_stdout(bytes),
        };
        if let Err(fault) = written {
            return self.could_not_run(&[*fault]);
        }
        for note in answer.notes.iter().filter(|_| !self.quiet) {
            self.line(note);
        }
        self.faults(&answer.faults);
        if answer.faults.is_empty() && answer.reason.is_none() {
            Exit::Done
        } else {
            Exit::NeedsPerson
        }
    }

    /// Says why it could not run.
    pub(crate) fn could_not_run(&self, faults: &[Diagnostic]) -> Exit {
        self.faults(faults);
        Exit::CouldNotRun
    }

    fn faults(&self, faults: &[Diagnostic]) {
        if faults.is_empty() {
            return;
        }
        for fault in faults {
            self.line(&self.painted(&fault.to_string()));
        }
        let mut files: Vec<&str> = faults.iter().map(|fault| fault.file.as_str()).collect();
        files.sort_unstable();
        files.dedup();
        let plural = |count: usize| if count == 1 { "" } else { "s" };
        self.line(&format!(
            "{} fault{} in {} file{}; `plymend explain CODE` says more",
            faults.len(),
            plural(faults.len()),
            files.len(),
            plural(files.len())
        ));
    }

    /// A fault with its first line bold and its arrow red, where colour is wanted.
    fn painted(&self, fault: &str) -> String {
        if !self.colour {
            return fault.to_owned();
        }
        let mut painted = String::new();
        for (number, line) in fault.lines().enumerate() {
            let (before, after) = match line.trim() {
                _ if number == 0 => ("\u{1b}[1;31m", "\u{1b}[0m"),
                "| ^" => ("\u{1b}[31m", "\u{1b}[0m"),
                rest if rest.starts_with('|') && rest.ends_with('^') => ("\u{1b}[31m", "\u{1b}[0m"),
                rest if rest.starts_with("way out:") => ("\u{1b}[32m", "\u{1b}[0m"),
                _ => ("", ""),
            };
            painted.push_str(&format!("{before}{line}{after}\n"));
        }
        painted
    }

    #[expect(clippy::unused_self, reason = "the voice is what speaks")]
    fn line(&self, text: &str) {
        // Nobody is left to tell when the error stream is closed.
        let _ = writeln!(io::stderr().lock(), "{text}");
    }
}

/// A reader that has gone away, as `head` does, is no failure and changes no verdict.
fn to_stdout(bytes: &[u8]) -> Result<(), Box<Diagnostic>> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Box::new(crate::files::cannot_write("standard output", &error)))
        }
        _ => Ok(()),
    }
}
