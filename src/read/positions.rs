//! Where in a text does the value of a field stand?
//!
//! Scans RON once, front to back, and remembers the place of every value by its field path, such
//! as `marks[3].shape.length_mm`. The scanner checks nothing and gives up on nothing: on broken
//! text it remembers what it could make out. Only nesting deeper than [`DEEPEST`] stops it.
//!
//! An enum variant adds no step to a path; the items in its brackets count as `[0]`, `[1]`. A
//! variant with a single item is looked through, so that the first fixing of `Listed([(..)])` is
//! `fixings[0]`.

use std::collections::BTreeMap;

use super::scan::Scan;
use crate::diagnostic::TextPlace;

/// Brackets within brackets that are still read (choice: the deepest record needs nine).
pub const DEEPEST: usize = 64;

/// One step of a field path.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Step {
    Field(String),
    Item(usize),
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Value {
    pub(super) start: usize,
    pub(super) end: usize,
    /// The single item of a variant in brackets, which paths look through.
    pub(super) inside: Option<usize>,
}

/// The places of all values of one text.
#[derive(Debug, Clone, Default)]
pub struct Positions {
    pub(super) values: Vec<Value>,
    pub(super) steps: BTreeMap<(usize, Step), usize>,
    line_starts: Vec<usize>,
    pub(super) too_deep: Option<usize>,
}

impl Positions {
    /// Scans a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let mut scan = Scan::new(text);
        scan.run();
        let mut found = scan.found;
        found.line_starts = std::iter::once(0)
            .chain(
                text.bytes().enumerate().filter(|(_, sign)| *sign == b'\n').map(|(at, _)| at + 1),
            )
            .collect();
        found
    }

    /// Where the nesting became deeper than [`DEEPEST`], as a byte offset.
    #[must_use]
    pub const fn too_deep(&self) -> Option<usize> {
        self.too_deep
    }

    /// The text holds no value at all: it is empty, or comment only.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Bytes from the first to behind the last of a field's value, when the field is written.
    #[must_use]
    pub fn span(&self, path: &str) -> Option<(usize, usize)> {
        match self.follow(path) {
            (value, true) => value.map(|value| (value.start, value.end)),
            (_, false) => None,
        }
    }

    /// First byte of a field's value or, where the field is not written, of the value that would
    /// hold it.
    #[must_use]
    pub fn nearest(&self, path: &str) -> Option<usize> {
        self.follow(path).0.map(|value| value.start)
    }

    /// Names of the fields of the outermost record, in alphabetical order.
    pub fn outer_fields(&self) -> impl Iterator<Item = &str> {
        self.steps.keys().filter_map(|(parent, step)| match step {
            Step::Field(name) if *parent == 0 => Some(name.as_str()),
            _ => None,
        })
    }

    /// Line and column of a byte offset.
    #[must_use]
    pub fn place(&self, text: &str, offset: usize) -> TextPlace {
        let line = self.line_starts.partition_point(|start| *start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = text.get(start..offset).map_or(0, |before| before.chars().count()) + 1;
        TextPlace { line, column }
    }

    /// Byte offset of the start of a line, counted from 1.
    #[must_use]
    pub fn line_start(&self, line: usize) -> Option<usize> {
        self.line_starts.get(line.checked_sub(1)?).copied()
    }

    fn follow(&self, path: &str) -> (Option<Value>, bool) {
        let mut at = 0;
        let mut whole = true;
        for step in steps_of(path) {
            match self.child(at, &step) {
                Some(next) => at = next,
                None => {
                    whole = false;
                    break;
                }
            }
        }
        (self.values.get(at).copied(), whole)
    }

    fn child(&self, of: usize, step: &Step) -> Option<usize> {
        let mut deepest_first = vec![of];
        let mut at = of;
        while let Some(inside) = self.values.get(at).and_then(|value| value.inside) {
            deepest_first.push(inside);
            at = inside;
        }
        deepest_first
            .into_iter()
            .rev()
            .find_map(|parent| self.steps.get(&(parent, step.clone())).copied())
    }
}

fn steps_of(path: &str) -> Vec<Step> {
    path.split(['.', '['])
        .filter(|part| !part.is_empty())
        .map(|part| match part.strip_suffix(']').and_then(|number| number.parse().ok()) {
            Some(number) => Step::Item(number),
            None => Step::Field(part.to_owned()),
        })
        .collect()
}

#[cfg(test)]
#[path = "positions_tests.rs"]
mod tests;
