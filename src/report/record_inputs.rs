//! What an answer was made from and by: files with their fingerprints, and the program.

use serde::Serialize;

use crate::model::survey::Amendment;
use crate::read::fingerprint::FileRead;

/// A file that the answer was made from, with the fingerprint of its bytes.
#[derive(Debug, Clone, Serialize)]
pub struct FileLine {
    /// Its name: a path, or `built in:` and a name.
    pub name: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
}

impl From<&FileRead> for FileLine {
    fn from(file: &FileRead) -> Self {
        Self { name: file.name.clone(), sha256: file.sha256.clone() }
    }
}

/// The program that made the answer.
#[derive(Debug, Clone, Serialize)]
pub struct ProgramLine {
    /// Its name.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

/// This program.
pub const PROGRAM: ProgramLine =
    ProgramLine { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") };

/// A photo.
#[derive(Debug, Clone, Serialize)]
pub struct PhotoLine {
    /// The mark it shows; nothing where it belongs to the whole survey.
    pub mark: Option<u32>,
    /// The original's file, as the survey writes it.
    pub file: String,
    /// What it shows, in the survey's words.
    pub what: String,
    /// Width of the copy that a report shows, pixels.
    pub width_px: u32,
    /// Height of that copy, pixels.
    pub height_px: u32,
    /// SHA-256 of the original, hexadecimal.
    pub sha256: String,
    /// Bytes of the original.
    pub bytes: usize,
}

/// A change of the survey after it was first written, word for word.
#[derive(Debug, Clone, Serialize)]
pub struct AmendmentLine {
    /// When.
    pub date: String,
    /// Who changed it.
    pub by: String,
    /// What was changed.
    pub what: String,
    /// The mark it is about; nothing where it is about none.
    pub mark: Option<u32>,
    /// What it said before.
    pub was: String,
    /// What it says now.
    pub now: String,
}

impl From<&Amendment> for AmendmentLine {
    fn from(one: &Amendment) -> Self {
        Self {
            date: one.date.clone(),
            by: one.by.clone(),
            what: one.what.clone(),
            mark: one.mark,
            was: one.was.clone(),
            now: one.now.clone(),
        }
    }
}
