//! Photos of marks and of the whole vehicle: found, looked at and fingerprinted; not decoded.

use super::faults::Faults;
use super::fingerprint::sha256;
use super::job::{Folder, Job, Reading, path_from};
use super::photo_file::{self, Picture, Refused, unreadable};
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::survey::{Photo, Survey};

/// Most bytes of a photo: 32 MiB (choice: a picture of 100 megapixels as cameras pack it).
pub const MOST_BYTES: u64 = 32 * 1024 * 1024;

/// A photo as it was found.
#[derive(Debug, Clone)]
pub struct PhotoRead {
    /// The mark it shows; none where it belongs to the whole survey.
    pub mark: Option<u32>,
    /// The field of the survey that names it.
    pub field: String,
    /// Its file, as the survey writes it.
    pub file: String,
    /// What it shows, in the survey's words.
    pub what: String,
    /// SHA-256 of the original, hexadecimal.
    pub sha256: String,
    /// Bytes of the original.
    pub bytes: usize,
    /// What its bytes say.
    pub picture: Picture,
}

/// Looks at every photo that a survey names.
pub(super) fn read(reading: &mut Reading<'_>, survey: &Survey, loaded: &Loaded) -> Vec<PhotoRead> {
    let mut found = of_list(reading, loaded, "photos", None, &survey.photos);
    for (number, mark) in survey.marks.iter().enumerate() {
        let field = format!("marks[{number}].photos");
        found.extend(of_list(reading, loaded, &field, Some(mark.id), &mark.photos));
    }
    found
}

fn of_list(
    reading: &mut Reading<'_>,
    loaded: &Loaded,
    list: &str,
    mark: Option<u32>,
    photos: &[Photo],
) -> Vec<PhotoRead> {
    let mut found = Vec::new();
    for (number, photo) in photos.iter().enumerate() {
        let field = format!("{list}[{number}].file");
        let mut faults = Faults::new(loaded);
        faults.name(&field, "the photo's file", &photo.file);
        faults.name(&format!("{list}[{number}].what"), "what the photo shows", &photo.what);
        let named = faults.into_found();
        let usable = named.iter().all(|fault| fault.field != field);
        reading.faults.extend(named);
        if !usable {
            continue;
        }
        let path = path_from(&loaded.file, &photo.file);
        let looked = bytes(reading.folder, &path)
            .and_then(|bytes| photo_file::look(&bytes).map(|picture| (picture, bytes)));
        match looked {
            Ok((picture, bytes)) => {
                reading.note(&path, &bytes);
                found.push(PhotoRead {
                    mark,
                    field,
                    file: photo.file.clone(),
                    what: photo.what.clone(),
                    sha256: sha256(&bytes),
                    bytes: bytes.len(),
                    picture,
                });
            }
            Err(why) => {
                let Refused { code, problem, accepted, way_out } = why;
                let problem = format!("{path}: {problem}");
                reading.faults.push(loaded.fault(&field, code, problem, accepted, way_out));
            }
        }
    }
    found
}

/// The bytes of a photo, within the limit.
fn bytes(folder: &dyn Folder, path: &str) -> Result<Vec<u8>, Refused> {
    let bytes = folder.photo(path).map_err(|fault| {
        let Diagnostic { code, problem, accepted, way_out, .. } = fault;
        Refused { code, problem, accepted, way_out }
    })?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Refused::new(
            "READ-TOO-LARGE",
            format!("the photo has {} MiB", bytes.len().div_ceil(1024 * 1024)),
            &format!("at most {} MiB", MOST_BYTES / (1024 * 1024)),
            "name a smaller copy of it, and keep the original",
        ));
    }
    Ok(bytes)
}

impl Job {
    /// The bytes of a photo once more, for those who show it.
    ///
    /// # Errors
    /// It cannot be read any more, or is another one than the job was read with.
    pub fn photo_bytes(
        &self,
        folder: &dyn Folder,
        photo: &PhotoRead,
    ) -> Result<Vec<u8>, Diagnostic> {
        let path = path_from(&self.survey_file, &photo.file);
        let bytes = bytes(folder, &path).map_err(|why| self.photo_fault(photo, why))?;
        if sha256(&bytes) != photo.sha256 {
            let why = "it was changed while the job was worked out";
            return Err(self.photo_fault(photo, unreadable(why)));
        }
        Ok(bytes)
    }

    /// The fault of a photo, where the survey names it.
    #[must_use]
    pub fn photo_fault(&self, photo: &PhotoRead, why: Refused) -> Diagnostic {
        let path = path_from(&self.survey_file, &photo.file);
        let Refused { code, problem, accepted, way_out } = why;
        let problem = format!("{path}: {problem}");
        self.fault(&self.survey_file, &photo.field, code, problem, accepted, way_out)
    }
}
