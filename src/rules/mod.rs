//! The rule book: every threshold and default of the trade side, with its reason and evidence.
//!
//! The book is data (`panels/rules.ron`), built into the program. A user's file may change a
//! value; a change that weakens a safety rule is allowed and printed as weakened.

pub mod id;

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::quantity::Cases;
use crate::source::Evidence;

/// The book as it is built in.
pub const BUILT_IN: &str = include_str!("../../panels/rules.ron");

/// How it is named in outputs.
pub const BUILT_IN_NAME: &str = "built in: rules";

/// One rule.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Its id, which `plymend explain` knows.
    pub id: String,
    /// What it settles, in a few words.
    pub title: String,
    /// Its figure, where it has one.
    #[serde(default, deserialize_with = "crate::model::given")]
    pub value: Option<f64>,
    /// Its three figures, low, likely and high, where it has those.
    #[serde(default, deserialize_with = "crate::model::given")]
    pub cases: Option<(f64, f64, f64)>,
    /// Unit of the figure.
    #[serde(default)]
    pub unit: String,
    /// The way in which the figure may be moved without weakening a safety rule.
    #[serde(default)]
    pub safer: Safer,
    /// Least and greatest figure a user may set.
    #[serde(default, deserialize_with = "crate::model::given")]
    pub accepted: Option<(f64, f64)>,
    /// Why it is so.
    pub reason: String,
    /// How it is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

/// Which way a safety rule may be moved without weakening it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Safer {
    /// It is no safety rule.
    #[default]
    NoSafetyRule,
    /// A larger figure is safer.
    Larger,
    /// A smaller figure is safer.
    Smaller,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct BookFile {
    format: u32,
    rules: Vec<Rule>,
}

/// A user's changes to the book.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Changes {
    /// Format of the file.
    pub format: u32,
    /// The changes.
    pub changes: Vec<Change>,
}

/// One change.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// The rule.
    pub id: String,
    /// Its new figure; for a rule with three figures, the low one.
    pub value: f64,
    /// The new likely and high figures of a rule with three.
    #[serde(default, deserialize_with = "crate::model::given")]
    pub likely_and_high: Option<(f64, f64)>,
    /// The user's reason, kept word for word.
    #[serde(default)]
    pub why: String,
}

/// A change as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The rule.
    pub id: String,
    /// What the book says.
    pub from: Vec<f64>,
    /// What the user set.
    pub to: Vec<f64>,
    /// Unit of both.
    pub unit: String,
    /// The change weakens a safety rule.
    pub weakened: bool,
    /// The user's reason.
    pub why: String,
}

/// The book, with the user's changes in it.
#[derive(Debug, Clone)]
pub struct Book {
    rules: BTreeMap<String, Rule>,
    settings: Vec<Setting>,
}

impl Book {
    /// The book as it is built in.
    ///
    /// # Panics
    /// Never in a tested build: the file is part of the program and parsed by every test.
    #[must_use]
    #[allow(clippy::expect_used, reason = "the file is compiled in and a test parses it")]
    pub fn built_in() -> Self {
        let file: BookFile = ron::from_str(BUILT_IN).expect("the built-in rule book is whole");
        debug_assert_eq!(file.format, crate::model::FORMAT);
        Self {
            rules: file.rules.into_iter().map(|rule| (rule.id.clone(), rule)).collect(),
            settings: Vec::new(),
        }
    }

    /// The book with one figure changed.
    ///
    /// # Errors
    /// The reason in words, when the id is unknown, has no figure, or the figure is out of range.
    pub fn change(&mut self, change: &Change) -> Result<(), String> {
        let Some(rule) = self.rules.get_mut(&change.id) else {
            return Err(format!("no rule is called {:?}", change.id));
        };
        let (least, greatest) = rule.accepted.unwrap_or((f64::INFINITY, f64::NEG_INFINITY));
        let (from, to) = match (rule.value, rule.cases, change.likely_and_high) {
            (Some(value), None, None) => (vec![value], vec![change.value]),
            (None, Some((low, likely, high)), Some((new_likely, new_high))) => {
                (vec![low, likely, high], vec![change.value, new_likely, new_high])
            }
            (None, Some(_), None) => {
                return Err(format!(
                    "rule {} has three figures: give likely_and_high too",
                    rule.id
                ));
            }
            (Some(_), None, Some(_)) => {
                return Err(format!("rule {} has one figure: leave likely_and_high out", rule.id));
            }
            _ => return Err(format!("rule {} has no figure to change", rule.id)),
        };
        for figure in &to {
            if !figure.is_finite() || *figure < least || *figure > greatest {
                return Err(format!(
                    "found {figure} {}; accepted {least} to {greatest} {}",
                    rule.unit, rule.unit
                ));
            }
        }
        if to.windows(2).any(|pair| matches!(pair, [first, second] if first > second)) {
            return Err(format!("the figures of rule {} must rise from low to high", rule.id));
        }
        let weakened = from.iter().zip(&to).any(|(before, after)| match rule.safer {
            Safer::NoSafetyRule => false,
            Safer::Larger => after < before,
            Safer::Smaller => after > before,
        });
        match to.as_slice() {
            [low, likely, high] => rule.cases = Some((*low, *likely, *high)),
            _ => rule.value = Some(change.value),
        }
        self.settings.push(Setting {
            id: rule.id.clone(),
            from,
            to,
            unit: rule.unit.clone(),
            weakened,
            why: change.why.clone(),
        });
        Ok(())
    }

    /// Puts factors in the place of a rule's three figures that were learnt on this body; no
    /// setting of the user's, and the source says so.
    pub fn learn(&mut self, id: &str, cases: Cases<f64>, from: usize) {
        if let Some(rule) = self.rules.get_mut(id) {
            rule.cases = Some((cases.low, cases.likely, cases.high));
            let marks = if from == 1 { "mark" } else { "marks" };
            rule.source.push_str(&format!("; here re-estimated from {from} opened {marks}"));
        }
    }

    /// Puts a figure in a rule's place to see what it would change; no setting of the user's.
    pub fn suppose(&mut self, id: &str, figure: f64) {
        if let Some(rule) = self.rules.get_mut(id) {
            rule.value = Some(figure);
        }
    }

    /// What the user changed, in the order of the file.
    #[must_use]
    pub fn settings(&self) -> &[Setting] {
        &self.settings
    }

    /// The figure of a rule.
    ///
    /// # Panics
    /// Never in a tested build: ids are the constants of [`id`], and a test holds them against
    /// the book.
    #[must_use]
    #[allow(clippy::panic, reason = "a test holds every id against the book")]
    pub fn figure(&self, id: &str) -> f64 {
        match self.rules.get(id).and_then(|rule| rule.value) {
            Some(value) => value,
            None => panic!("rule {id} is missing from the book or has no figure"),
        }
    }

    /// The low, likely and high figure of a rule.
    ///
    /// # Panics
    /// Never in a tested build: ids are the constants of [`id`], and a test holds them against
    /// the book.
    #[must_use]
    #[allow(clippy::panic, reason = "a test holds every id against the book")]
    pub fn cases(&self, id: &str) -> Cases<f64> {
        match self.rules.get(id).and_then(|rule| rule.cases) {
            Some((low, likely, high)) => Cases { low, likely, high },
            None => panic!("rule {id} is missing from the book or has no three figures"),
        }
    }

    /// A rule by its id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Rule> {
        self.rules.get(id)
    }

    /// All rules, by id.
    pub fn iter(&self) -> impl Iterator<Item = &Rule> {
        self.rules.values()
    }
}

impl Default for Book {
    fn default() -> Self {
        Self::built_in()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_book_and_the_ids_name_the_same_rules() {
        let book = Book::built_in();
        let written: Vec<&str> = book.iter().map(|rule| rule.id.as_str()).collect();
        let mut ids: Vec<&str> = id::ALL.to_vec();
        ids.sort_unstable();
        assert_eq!(written, ids);
        for rule in book.iter() {
            assert!(!rule.reason.is_empty() && !rule.source.is_empty(), "{}", rule.id);
            assert!(rule.value.is_none() || rule.cases.is_none(), "{}", rule.id);
            if let (Some(value), Some((least, greatest))) = (rule.value, rule.accepted) {
                assert!(least <= value && value <= greatest, "{}", rule.id);
            }
        }
    }

    #[test]
    fn a_weaker_safety_figure_is_taken_and_called_weakened() {
        let mut book = Book::built_in();
        let change = Change {
            id: id::REFER_MOVING.to_owned(),
            value: 100.0,
            likely_and_high: None,
            why: "own judgement".to_owned(),
        };
        book.change(&change).unwrap();
        assert!(book.settings()[0].weakened);
        approx::assert_relative_eq!(book.figure(id::REFER_MOVING), 100.0);
        let stricter = Change { value: 200.0, ..change.clone() };
        book.change(&stricter).unwrap();
        assert!(!book.settings()[1].weakened);
        let absurd = Change { value: f64::NAN, ..change };
        assert!(book.change(&absurd).is_err());
    }
}
