//! Where the texts of a job come from: a folder on a disk, or a map in memory.

use std::collections::BTreeMap;

use crate::diagnostic::Diagnostic;

/// Where texts come from: a folder on a disk, or a map in a test.
pub trait Folder {
    /// The text of a file of the job. The name is the path of the naming file's folder joined
    /// with the name that stands there.
    ///
    /// # Errors
    /// Why it cannot be read: missing, outside the folder, not a text, too large.
    fn text(&self, name: &str) -> Result<String, Diagnostic>;

    /// The text of a file that the user named on the command line, which may lie anywhere.
    ///
    /// # Errors
    /// As [`Folder::text`].
    fn typed(&self, name: &str) -> Result<String, Diagnostic> {
        self.text(name)
    }

    /// The bytes of a scan of the job, named as a text is.
    ///
    /// # Errors
    /// As [`Folder::text`], and where the folder holds texts only.
    fn bytes(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        self.text(name).map(String::into_bytes)
    }

    /// The bytes of a photo of the job, named as a text is.
    ///
    /// # Errors
    /// As [`Folder::bytes`].
    fn photo(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        self.bytes(name)
    }
}

/// Texts held in memory under their names, for examples and tests.
#[derive(Debug, Clone, Default)]
pub struct TextFolder(BTreeMap<String, String>, BTreeMap<String, Vec<u8>>);

impl<const N: usize> From<[(&str, &str); N]> for TextFolder {
    fn from(texts: [(&str, &str); N]) -> Self {
        Self(
            texts.into_iter().map(|(name, text)| (name.to_owned(), text.to_owned())).collect(),
            BTreeMap::new(),
        )
    }
}

impl TextFolder {
    /// Adds or replaces a text.
    pub fn put(&mut self, name: &str, text: &str) {
        self.0.insert(name.to_owned(), text.to_owned());
    }

    /// Adds or replaces a scan or a photo.
    pub fn put_bytes(&mut self, name: &str, bytes: Vec<u8>) {
        self.1.insert(name.to_owned(), bytes);
    }
}

impl Folder for TextFolder {
    fn text(&self, name: &str) -> Result<String, Diagnostic> {
        self.0.get(name).cloned().ok_or_else(|| Diagnostic {
            file: name.to_owned(),
            place: None,
            field: String::new(),
            code: "READ-OPEN",
            problem: "there is no such file".to_owned(),
            accepted: "a file of the job".to_owned(),
            way_out: String::new(),
            excerpt: None,
        })
    }

    fn bytes(&self, name: &str) -> Result<Vec<u8>, Diagnostic> {
        match self.1.get(name) {
            Some(bytes) => Ok(bytes.clone()),
            None => self.text(name).map(String::into_bytes),
        }
    }
}

/// Files that the user named beside the survey; each goes before what the survey names.
#[derive(Debug, Clone, Default)]
pub struct Named {
    /// The shop file.
    pub shop: Option<String>,
    /// The stock file.
    pub stock: Option<String>,
    /// The file of changes to the rules.
    pub rules: Option<String>,
    /// The opened-up sizes.
    pub opened: Option<String>,
    /// The drying log.
    pub drying: Option<String>,
    /// The user's own prices.
    pub prices: Option<String>,
}
