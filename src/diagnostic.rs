//! A fault in what the user gave: the problem, the place and the way out, as data.

use std::fmt;

/// A place in a text file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TextPlace {
    /// Line, counted from 1.
    pub line: usize,
    /// Column, counted from 1 in characters.
    pub column: usize,
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Diagnostic {
    /// The file, as the user named it.
    pub file: String,
    /// Where in the file, when it is known.
    pub place: Option<TextPlace>,
    /// Path of the field, such as `marks[3].shape.length_mm`; empty when the whole file is meant.
    pub field: String,
    /// Code that `plymend explain` knows.
    pub code: &'static str,
    /// What is wrong, with the value and its unit.
    pub problem: String,
    /// What would be accepted.
    pub accepted: String,
    /// What to do about it.
    pub way_out: String,
    /// The line of the file, for the reader's eye.
    pub excerpt: Option<String>,
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} fault in {}", self.code, printable(&self.file))?;
        if let Some(place) = self.place {
            write!(out, ", line {}, column {}", place.line, place.column)?;
        }
        if !self.field.is_empty() {
            write!(out, " ({})", printable(&self.field))?;
        }
        writeln!(out)?;
        if let (Some(place), Some(excerpt)) = (self.place, &self.excerpt) {
            let excerpt: String =
                printable(excerpt).chars().take(100).collect::<String>().trim_end().to_owned();
            writeln!(out, "  {:>4} | {excerpt}", place.line)?;
            if place.column <= 100 {
                writeln!(out, "       | {:>width$}", "^", width = place.column)?;
            }
        }
        writeln!(out, "  {}", printable(&self.problem))?;
        if !self.accepted.is_empty() {
            writeln!(out, "  accepted: {}", printable(&self.accepted))?;
        }
        if !self.way_out.is_empty() {
            writeln!(out, "  way out: {}", printable(&self.way_out))?;
        }
        Ok(())
    }
}

/// Text with control characters made visible, so that data cannot steer a terminal.
#[must_use]
pub fn printable(text: &str) -> String {
    text.chars()
        .flat_map(|sign| {
            if sign.is_control()
                || matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
            {
                sign.escape_default().collect::<Vec<_>>()
            } else {
                vec![sign]
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_are_made_visible() {
        assert_eq!(printable("a\u{1b}[2Jb\u{202e}"), "a\\u{1b}[2Jb\\u{202e}");
    }
}
