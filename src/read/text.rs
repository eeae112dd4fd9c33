//! A text with the places of its values, ready to word faults.

use std::collections::BTreeMap;

use super::positions::Positions;
use crate::diagnostic::{Diagnostic, TextPlace};

/// Characters of a line that an excerpt keeps.
const EXCERPT: usize = 200;

/// One file as read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The file, as the user would name it.
    pub file: String,
    /// Its text, without a byte order mark.
    pub text: String,
    /// The places of its values.
    pub positions: Positions,
}

impl Loaded {
    /// Scans a text.
    #[must_use]
    pub fn new(file: &str, text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text).to_owned();
        Self { file: file.to_owned(), positions: Positions::of(&text), text }
    }

    /// A fault in a field, at its value or, where the field is not written, at what would hold it.
    #[must_use]
    pub fn fault(
        &self,
        field: &str,
        code: &'static str,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Diagnostic {
        let place = self.positions.nearest(field).map(|at| self.positions.place(&self.text, at));
        self.fault_at(place, field, code, problem, accepted, way_out)
    }

    /// A fault at a place in the text.
    #[must_use]
    pub fn fault_at(
        &self,
        place: Option<TextPlace>,
        field: &str,
        code: &'static str,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic {
            file: self.file.clone(),
            place,
            field: field.to_owned(),
            code,
            problem: problem.into(),
            accepted: accepted.into(),
            way_out: way_out.into(),
            excerpt: place.and_then(|place| self.excerpt(place.line)),
        }
    }

    /// The value of a field as it is written.
    #[must_use]
    pub fn written(&self, field: &str) -> Option<&str> {
        let (start, end) = self.positions.span(field)?;
        self.text.get(start..end)
    }

    fn excerpt(&self, line: usize) -> Option<String> {
        let rest = self.text.get(self.positions.line_start(line)?..)?;
        let signs = rest.chars().take_while(|sign| *sign != '\n').take(EXCERPT);
        // A tab counts as one column, so it is shown as one.
        Some(signs.map(|sign| if sign == '\t' { ' ' } else { sign }).collect())
    }
}

/// The texts of a job, by file.
#[derive(Debug, Clone, Default)]
pub struct Texts(BTreeMap<String, Loaded>);

impl Texts {
    /// Keeps a text.
    pub fn keep(&mut self, loaded: Loaded) {
        self.0.insert(loaded.file.clone(), loaded);
    }

    /// The text of a file.
    #[must_use]
    pub fn get(&self, file: &str) -> Option<&Loaded> {
        self.0.get(file)
    }

    /// All texts, by file.
    pub fn all(&self) -> impl Iterator<Item = &Loaded> {
        self.0.values()
    }

    /// A fault in a file; without a place when the file is not one of the job's.
    #[must_use]
    pub fn fault(
        &self,
        file: &str,
        field: &str,
        code: &'static str,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Diagnostic {
        match self.get(file) {
            Some(loaded) => loaded.fault(field, code, problem, accepted, way_out),
            None => Diagnostic {
                file: file.to_owned(),
                place: None,
                field: field.to_owned(),
                code,
                problem: problem.into(),
                accepted: accepted.into(),
                way_out: way_out.into(),
                excerpt: None,
            },
        }
    }
}

/// The known word nearest to one that is not known, when one is near enough to be meant.
#[must_use]
pub fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let plain = word.to_lowercase();
    known
        .into_iter()
        .map(|other| (strsim::damerau_levenshtein(&plain, &other.to_lowercase()), other))
        .filter(|(distance, other)| *distance <= 1 + other.chars().count().min(24) / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

/// Words in a row: `a, b or c`.
#[must_use]
pub fn row_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_is_near() {
        let known = ["thickness_mm", "length_mm", "lid"];
        assert_eq!(nearest("thicknes_mm", known), Some("thickness_mm"));
        assert_eq!(nearest("Lid", known), Some("lid"));
        assert_eq!(nearest("gearbox", known), None);
    }

    #[test]
    fn a_row_of_words_reads_well() {
        assert_eq!(row_of(&["a", "b", "c"]), "a, b or c");
        assert_eq!(row_of(&["a"]), "a");
    }
}
