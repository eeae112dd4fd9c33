//! The only place that touches the disk: texts in, whole files out.

mod many;

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use plymend::diagnostic::Diagnostic;
use plymend::read::{Folder, photos};

pub(crate) use many::{Sink, ron_files};

/// Largest text that is read: 8 MiB (choice: a survey of thousands of marks is far smaller).
const LARGEST: u64 = 8 * 1024 * 1024;
/// Largest scan that is read: 1 GiB (choice: 20 million triangles of binary STL).
const LARGEST_SCAN: u64 = 1024 * 1024 * 1024;

/// The folder of a job: that of the file the user named.
#[derive(Debug)]
pub(crate) struct JobFolder {
    root: Option<PathBuf>,
}

impl JobFolder {
    /// The folder that a file lies in, its links resolved.
    pub(crate) fn of(file: &str) -> Self {
        let folder = match Path::new(file).parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        };
        Self { root: fs::canonicalize(folder).ok() }
    }

    /// The true path of a file that has to lie in the folder, its links resolved.
    fn inside(&self, name: &str) -> Result<PathBuf, Diagnostic> {
        let path = fs::canonicalize(name).map_err(|error| cannot_open(name, &error))?;
        if self.root.as_ref().is_some_and(|root| path.starts_with(root)) {
            return Ok(path);
        }
        Err(fault(
            name,
            "READ-OUTSIDE",
            "the file lies outside the folder of the job",
            "a file in the folder of the survey, or below it",
            "copy the file into the job's folder",
        ))
    }
}

impl Folder for JobFolder {
    fn text(&self, name: &str) -> Result<String, Diagnostic> {
        regular_text(name, &self.inside(name)?)
    }

    fn bytes(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        regular_bytes(name, &self.inside(name)?, LARGEST_SCAN)
    }

    fn photo(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        regular_bytes(name, &self.inside(name)?, photos::MOST_BYTES)
    }

    fn typed(&self, name: &str) -> Result<String, Diagnostic> {
        regular_text(name, Path::new(name))
    }
}

fn regular_bytes(name: &str, path: &Path, largest: u64) -> Result<Vec<u8>, Diagnostic> {
    // Asked before opening: opening a pipe that nobody writes to would wait for ever.
    let before = fs::metadata(path).map_err(|error| cannot_open(name, &error))?;
    regular(name, &before, largest)?;
    let file = File::open(path).map_err(|error| cannot_open(name, &error))?;
    // And again on what was opened, which may have been exchanged in between.
    let opened = file.metadata().map_err(|error| cannot_open(name, &error))?;
    regular(name, &opened, largest)?;
    let mut bytes = Vec::with_capacity(usize::try_from(opened.len()).unwrap_or_default());
    file.take(largest + 1).read_to_end(&mut bytes).map_err(|error| cannot_open(name, &error))?;
    if bytes.len() as u64 > largest {
        return Err(too_large(name, largest));
    }
    Ok(bytes)
}

fn regular_text(name: &str, path: &Path) -> Result<String, Diagnostic> {
    let bytes = regular_bytes(name, path, LARGEST)?;
    let text = String::from_utf8(bytes).map_err(|error| {
        not_text(name, &format!("byte {} is no UTF-8", error.utf8_error().valid_up_to() + 1))
    })?;
    match text.find('\0') {
        Some(at) => Err(not_text(name, &format!("byte {} is zero", at + 1))),
        None => Ok(text),
    }
}

fn regular(name: &str, meta: &fs::Metadata, largest: u64) -> Result<(), Diagnostic> {
    if meta.is_file() {
        return if meta.len() > largest { Err(too_large(name, largest)) } else { Ok(()) };
    }
    let sort = if meta.is_dir() { "a folder" } else { "a pipe, a device or the like" };
    Err(fault(
        name,
        "READ-NOT-A-FILE",
        &format!("it is {sort}, not a regular file"),
        "a regular file",
        if meta.is_dir() { "name the file in it, such as survey.ron" } else { "name a file" },
    ))
}

fn too_large(name: &str, largest: u64) -> Diagnostic {
    let most = largest / (1024 * 1024);
    fault(
        name,
        "READ-TOO-LARGE",
        &format!("the file is larger than {most} MiB and was not read"),
        &format!("at most {most} MiB"),
        "look whether the right file is named",
    )
}

fn not_text(name: &str, what: &str) -> Diagnostic {
    fault(
        name,
        "READ-NOT-TEXT",
        &format!("the file is no text: {what}"),
        "UTF-8 text",
        "look whether the right file is named, or save it as UTF-8 in the editor",
    )
}

fn cannot_open(name: &str, error: &io::Error) -> Diagnostic {
    let (problem, way_out) = match error.kind() {
        ErrorKind::NotFound => ("there is no such file", "look at the spelling and the folder"),
        ErrorKind::PermissionDenied => {
            ("the file may not be read by this user", "change its permissions")
        }
        ErrorKind::NotADirectory => {
            ("a part of its path is no folder", "look at the spelling and the folder")
        }
        _ => ("the file cannot be read", "look at the file and the disk it is on"),
    };
    fault(name, "READ-OPEN", problem, "a file that can be read", way_out)
}

/// The fault of an answer that cannot be written.
pub(crate) fn cannot_write(name: &str, error: &io::Error) -> Diagnostic {
    let problem = match error.kind() {
        ErrorKind::NotFound => "the folder does not exist".to_owned(),
        ErrorKind::PermissionDenied => "this user may not write there".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        other => format!("it cannot be written: {other}"),
    };
    fault(
        name,
        "WRITE-FAILED",
        &problem,
        "a place that can be written to",
        "choose another place; nothing was left behind",
    )
}

fn fault(name: &str, code: &'static str, problem: &str, accepted: &str, out: &str) -> Diagnostic {
    Diagnostic {
        file: name.to_owned(),
        place: None,
        field: String::new(),
        code,
        problem: problem.to_owned(),
        accepted: accepted.to_owned(),
        way_out: out.to_owned(),
        excerpt: None,
    }
}

/// Writes an answer over whatever was there, except over a file that it was made from.
pub(crate) fn write_answer(
    name: &str,
    bytes: &[u8],
    files_read: &[String],
) -> Result<(), Box<Diagnostic>> {
    not_over(name, files_read)?;
    whole(name, bytes, true).map_err(Box::new)
}

/// An answer never goes over what it was made from.
fn not_over(name: &str, files_read: &[String]) -> Result<(), Box<Diagnostic>> {
    let Ok(target) = fs::canonicalize(name) else { return Ok(()) };
    if files_read.iter().any(|read| fs::canonicalize(read).is_ok_and(|read| read == target)) {
        return Err(Box::new(fault(
            name,
            "WRITE-FAILED",
            "the answer would overwrite a file that it was made from",
            "another name",
            "choose another name",
        )));
    }
    Ok(())
}

/// Writes new files, or none when one of them is already there.
pub(crate) fn write_new(files: &[(String, String)]) -> Result<(), Vec<Diagnostic>> {
    let there: Vec<Diagnostic> = files
        .iter()
        .filter(|(name, _)| fs::symlink_metadata(name).is_ok())
        .map(|(name, _)| {
            fault(
                name,
                "WRITE-EXISTS",
                "the file is already there, and nothing was written",
                "a folder without it",
                "choose another folder, or move the file away",
            )
        })
        .collect();
    if !there.is_empty() {
        return Err(there);
    }
    for (number, (name, text)) in files.iter().enumerate() {
        if let Err(fault) = whole(name, text.as_bytes(), false) {
            // All or none: what was written a moment ago goes again.
            for (written, _) in files.iter().take(number) {
                let _ = fs::remove_file(written);
            }
            return Err(vec![fault]);
        }
    }
    Ok(())
}

/// Makes a folder and those above it.
pub(crate) fn make_folder(name: &str) -> Result<(), Diagnostic> {
    fs::create_dir_all(name).map_err(|error| cannot_write(name, &error))
}

/// Writes a file whole: beside its place first, then into it in one step.
fn whole(name: &str, bytes: &[u8], over: bool) -> Result<(), Diagnostic> {
    let failed = |error: io::Error| cannot_write(name, &error);
    let (mut file, target) = beside(name)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(failed)?;
    let kept = if over { file.persist(&target) } else { file.persist_noclobber(&target) };
    kept.map(|_| ()).map_err(|error| failed(error.error))
}

/// A new file beside the place that an answer goes to, and that place.
fn beside(name: &str) -> Result<(tempfile::NamedTempFile, PathBuf), Diagnostic> {
    let failed = |error: io::Error| cannot_write(name, &error);
    // A link keeps pointing where it points.
    let target = fs::canonicalize(name).unwrap_or_else(|_| PathBuf::from(name));
    if fs::metadata(&target).is_ok_and(|meta| !meta.is_file()) {
        return Err(fault(
            name,
            "WRITE-FAILED",
            "it is a folder or a device, not a regular file",
            "the name of a file",
            "choose another name",
        ));
    }
    let folder = match target.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".plymend-");
    #[cfg(unix)]
    let ordinary = {
        use std::os::unix::fs::PermissionsExt;
        // The usual permissions of a new file, from which the user's mask is taken off.
        fs::Permissions::from_mode(0o666)
    };
    #[cfg(unix)]
    builder.permissions(ordinary);
    let file = builder.tempfile_in(folder).map_err(failed)?;
    if let Ok(meta) = fs::metadata(&target) {
        file.as_file().set_permissions(meta.permissions()).map_err(failed)?;
    }
    Ok((file, target))
}
