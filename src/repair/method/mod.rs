//! How is a repair done, and what has to pass before the next step?
//!
//! The methods as data, from `panels/methods.ron`, built into the program: when each is used and
//! when not, its steps and the check after each. Figures come from the rule book by id.

pub mod choose;

use std::sync::OnceLock;

use serde::Deserialize;

use crate::model::{given, words};
use crate::rules::Book;
use crate::source::Evidence;

const BUILT_IN: &str = include_str!("../../../panels/methods.ron");

/// One way of repairing.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MethodRow {
    /// Its name.
    pub name: String,
    /// Its name in words.
    pub title: String,
    /// When it is used.
    pub used_when: String,
    /// When it is not.
    pub when_not_to: Vec<String>,
    /// Its steps, in order.
    pub steps: Vec<Step>,
}

/// One step.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// What kind of step.
    pub kind: StepKind,
    /// Where it is done.
    #[serde(default)]
    pub side: StepSide,
    /// What is done.
    pub text: String,
    /// Said too where the moulding is known to take polyester.
    #[serde(default, deserialize_with = "given")]
    pub polyester: Option<String>,
    /// What has to pass before the next step.
    pub check: String,
    /// Rules behind it whose figures it does not name.
    #[serde(default)]
    pub rules: Vec<String>,
    /// How it is known.
    pub evidence: Evidence,
    /// Where from.
    pub source: String,
}

words! {
/// What kind of step.
StepKind {
    /// Looking, tapping, trying.
    Look => "look",
    /// Taking down or out.
    Removal => "removal",
    /// Drying.
    Drying => "drying",
    /// Feathering, stripping, keying.
    Preparation => "preparation",
    /// Laying glass, a backing, a former.
    Plies => "plies",
    /// Gel and flow coat.
    Coats => "coats",
    /// Flatting and polishing.
    Finish => "finish",
    /// Primer and paint.
    Paint => "paint",
}}

words! {
#[derive(Default)]
/// Where a step is done.
StepSide {
    #[default]
    /// On the side the repair is worked from.
    Worked => "worked side",
    /// On the back.
    Back => "back",
}}

impl StepKind {
    /// It puts something on.
    #[must_use]
    pub const fn lays(self) -> bool {
        matches!(self, Self::Plies | Self::Coats)
    }
}

impl Step {
    /// Every rule behind it, each once.
    #[must_use]
    pub fn all_rules(&self, polyester: bool) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        let more = self.polyester.as_deref().filter(|_| polyester).unwrap_or_default();
        let named =
            [self.text.as_str(), self.check.as_str(), more].map(names).into_iter().flatten();
        for id in named.map(str::to_owned).chain(self.rules.iter().cloned()) {
            if !found.contains(&id) {
                found.push(id);
            }
        }
        found
    }
}

/// Ids that stand in a text between braces.
fn names(text: &str) -> Vec<&str> {
    text.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0)).collect()
}

/// Puts the figures of the book, with their units, where a text names rules.
#[must_use]
pub fn filled(text: &str, book: &Book) -> String {
    let mut said = text.to_owned();
    for id in names(text) {
        let figure = book.get(id).and_then(|rule| Some((rule.value?, rule.unit.as_str())));
        let figure = match figure {
            Some((value, "to 1")) => format!("{value}:1"),
            Some((value, unit)) if unit.starts_with('%') => format!("{value}{unit}"),
            Some((value, unit)) => format!("{value} {unit}"),
            // A test holds every name in the table; a name that slipped by stays visible.
            None => id.to_owned(),
        };
        said = said.replace(&format!("{{{id}}}"), &figure);
    }
    said
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TableFile {
    format: u32,
    methods: Vec<MethodRow>,
}

/// Every method, in the order in which work goes on.
///
/// # Panics
/// Never in a tested build: the file is part of the program and parsed by every test.
#[must_use]
#[allow(clippy::expect_used, reason = "the file is compiled in and a test parses it")]
pub fn methods() -> &'static [MethodRow] {
    static TABLE: OnceLock<Vec<MethodRow>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let reader = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        let file: TableFile = reader.from_str(BUILT_IN).expect("the built-in methods are whole");
        debug_assert_eq!(file.format, crate::model::FORMAT);
        file.methods
    })
}

/// A method by its name.
#[must_use]
pub fn find(name: &str) -> Option<&'static MethodRow> {
    methods().iter().find(|row| row.name == name)
}

#[cfg(test)]
mod tests {
    use super::choose::Way;
    use super::*;
    use crate::rules::{Change, id};

    #[test]
    fn rows_and_ways_hold_each_other_and_every_figure_is_in_the_book() {
        let book = Book::built_in();
        let ways: Vec<&str> = Way::ALL.iter().map(|way| way.name()).collect();
        let rows: Vec<&str> = methods().iter().map(|row| row.name.as_str()).collect();
        assert_eq!(ways, rows);
        for row in methods() {
            assert!(!row.when_not_to.is_empty() && !row.steps.is_empty(), "{}", row.name);
            for text in row.when_not_to.iter().chain([&row.used_when]) {
                assert!(!filled(text, &book).contains('{'), "{}", row.name);
            }
            for step in &row.steps {
                assert!(!step.check.is_empty(), "{}", row.name);
                for rule in step.all_rules(true) {
                    assert!(book.get(&rule).is_some(), "{}: {rule}", row.name);
                }
                let more = step.polyester.clone().unwrap_or_default();
                for name in
                    names(&step.text).into_iter().chain(names(&step.check)).chain(names(&more))
                {
                    let rule = book.get(name).expect("a rule");
                    assert!(rule.value.is_some(), "{}: {name} has no figure", row.name);
                }
            }
        }
    }

    #[test]
    fn a_changed_taper_shows_in_the_step() {
        let mut book = Book::built_in();
        let row = find("laminate").expect("a row");
        assert!(filled(&row.steps[0].text, &book).contains("out at 12:1"));
        let change = Change {
            id: id::TAPER.to_owned(),
            value: 16.0,
            likely_and_high: None,
            why: String::new(),
        };
        book.change(&change).expect("accepted");
        assert!(filled(&row.steps[0].text, &book).contains("out at 16:1"));
    }
}
