//! A text walked line by line and word by word, as bytes.

/// Lines of a text with their numbers.
pub(super) struct Lines<'b> {
    rest: &'b [u8],
    /// Number of the line given last, counted from 1.
    pub(super) number: usize,
}

impl<'b> Lines<'b> {
    pub(super) const fn new(bytes: &'b [u8]) -> Self {
        Self { rest: bytes, number: 0 }
    }

    /// As `new`, where `before` lines have been read already.
    pub(super) const fn after(bytes: &'b [u8], before: usize) -> Self {
        Self { rest: bytes, number: before }
    }

    /// The next line without its end.
    pub(super) fn line(&mut self) -> Option<&'b [u8]> {
        if self.rest.is_empty() {
            return None;
        }
        self.number += 1;
        let end = self.rest.iter().position(|byte| *byte == b'\n');
        let (line, rest) = match end.and_then(|end| self.rest.split_at_checked(end)) {
            Some((line, rest)) => (line, rest.get(1..).unwrap_or_default()),
            None => (self.rest, <&[u8]>::default()),
        };
        self.rest = rest;
        Some(line)
    }

    /// The next line that holds more than space.
    pub(super) fn filled(&mut self) -> Option<&'b [u8]> {
        loop {
            let line = self.line()?;
            if !line.trim_ascii().is_empty() {
                return Some(line);
            }
        }
    }
}

/// Words of a line.
pub(super) struct Words<'b>(pub(super) &'b [u8]);

impl<'b> Iterator for Words<'b> {
    type Item = &'b [u8];

    fn next(&mut self) -> Option<&'b [u8]> {
        let start = self.0.iter().position(|byte| !byte.is_ascii_whitespace())?;
        let word = self.0.get(start..)?;
        let end = word.iter().position(u8::is_ascii_whitespace).unwrap_or(word.len());
        let (word, rest) = word.split_at_checked(end)?;
        self.0 = rest;
        Some(word)
    }
}
