//! The rule book: every threshold and default of the trade side, with its reason and evidence.
//!
//! The book is data (`panels/rules.ron`), built into the program. A user's file may change a
//! value; a change that weakens a safety rule is allowed and printed as weakened.

pub mod id;

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::source::Evidence;

const BUILT_IN: &str = include_str!("../../panels/rules.ron");

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
    /// Its new figure.
    pub value: f64,
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
    pub from: f64,
    /// What the user set.
    pub to: f64,
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
        let Some(from) = rule.value else {
            return Err(format!("rule {} has no figure to change", rule.id));
        };
        let (least, greatest) = rule.accepted.unwrap_or((from, from));
        if !change.value.is_finite() || change.value < least || change.value > greatest {
            return Err(format!(
                "found {} {}; accepted {least} to {greatest} {}",
                change.value, rule.unit, rule.unit
            ));
        }
        let weakened = match rule.safer {
            Safer::NoSafetyRule => false,
            Safer::Larger => change.value < from,
            Safer::Smaller => change.value > from,
        };
        rule.value = Some(change.value);
        self.settings.push(Setting {
            id: rule.id.clone(),
            from,
            to: change.value,
            unit: rule.unit.clone(),
            weakened,
            why: change.why.clone(),
        });
        Ok(())
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
