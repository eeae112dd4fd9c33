//! Folders of files in, long answers out bit by bit.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::PathBuf;

use plymend::diagnostic::Diagnostic;
use tempfile::NamedTempFile;

use super::{beside, cannot_open, cannot_write, not_over};

/// Every `.ron` file of a folder and below, in order of name. Links to folders are not followed, so
/// that no walk goes round in a ring.
pub(crate) fn ron_files(folder: &str) -> Result<Vec<String>, Diagnostic> {
    let mut found = Vec::new();
    let mut folders = vec![folder.trim_end_matches('/').to_owned()];
    if folder.starts_with('/') && folder.trim_end_matches('/').is_empty() {
        folders = vec!["/".to_owned()];
    }
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).map_err(|error| cannot_open(&folder, &error))? {
            let entry = entry.map_err(|error| cannot_open(&folder, &error))?;
            let kind = entry.file_type().map_err(|error| cannot_open(&folder, &error))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = match folder.trim_end_matches('/') {
                "." => name,
                folder => format!("{folder}/{name}"),
            };
            if kind.is_dir() {
                folders.push(path);
            } else if path.ends_with(".ron") {
                found.push(path);
            }
        }
    }
    found.sort_unstable();
    Ok(found)
}

/// Where a long answer goes, bit by bit: a file that appears when it is whole, or the standard output.
#[derive(Debug)]
pub(crate) struct Sink {
    name: String,
    file: Option<(NamedTempFile, PathBuf)>,
    gone: bool,
}

impl Sink {
    /// Opens it; nothing is at its place until [`Sink::finish`].
    pub(crate) fn open(output: Option<&str>) -> Result<Self, Diagnostic> {
        let file = output.map(beside).transpose()?;
        let name = output.unwrap_or("standard output").to_owned();
        Ok(Self { name, file, gone: false })
    }

    /// Adds to it. A reader that has gone away is no failure.
    pub(crate) fn write(&mut self, bytes: &[u8]) -> Result<(), Diagnostic> {
        let written = match &mut self.file {
            Some((file, _)) => file.write_all(bytes),
            None if self.gone => Ok(()),
            None => io::stdout().lock().write_all(bytes),
        };
        match written {
            Err(error) if error.kind() == ErrorKind::BrokenPipe && self.file.is_none() => {
                self.gone = true;
                Ok(())
            }
            other => other.map_err(|error| cannot_write(&self.name, &error)),
        }
    }

    /// Puts it in its place, unless that is a file it was made from.
    pub(crate) fn finish(self, files_read: &[String]) -> Result<(), Diagnostic> {
        let failed = |error: io::Error| cannot_write(&self.name, &error);
        let Some((file, target)) = self.file else {
            return match io::stdout().lock().flush() {
                Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(failed(error)),
                _ => Ok(()),
            };
        };
        not_over(&self.name, files_read).map_err(|fault| *fault)?;
        file.as_file().sync_all().map_err(failed)?;
        file.persist(&target).map(|_| ()).map_err(|error| failed(error.error))
    }
}
