//! Values of the facts of one job, and how each is written into a sentence.

use std::collections::BTreeMap;

use super::fact::{Fact, Form};
use crate::quantity::Minutes;

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number in the fact's unit, or minutes.
    Number(f64),
    /// It is so.
    Yes,
    /// Numbers of marks.
    Marks(Vec<u32>),
    /// Words.
    Said(String),
}

/// What is known of one job. A fact that is not there does not apply: there is no room outdoors.
#[derive(Debug, Clone, Default)]
pub struct Facts {
    known: BTreeMap<Fact, Value>,
}

impl Facts {
    /// Keeps a number.
    pub fn number(&mut self, fact: Fact, value: f64) {
        self.known.insert(fact, Value::Number(value));
    }

    /// Keeps a number where there is one.
    pub fn number_if(&mut self, fact: Fact, value: Option<f64>) {
        if let Some(value) = value {
            self.number(fact, value);
        }
    }

    /// Keeps that something is so.
    pub fn yes(&mut self, fact: Fact, so: bool) {
        if so {
            self.known.insert(fact, Value::Yes);
        }
    }

    /// Keeps marks, where there are any.
    pub fn marks(&mut self, fact: Fact, mut marks: Vec<u32>) {
        marks.sort_unstable();
        marks.dedup();
        if !marks.is_empty() {
            self.known.insert(fact, Value::Marks(marks));
        }
    }

    /// Keeps words, where there are any.
    pub fn said(&mut self, fact: Fact, words: impl Into<String>) {
        let words = words.into();
        if !words.is_empty() {
            self.known.insert(fact, Value::Said(words));
        }
    }

    /// The value.
    #[must_use]
    pub fn get(&self, fact: Fact) -> Option<&Value> {
        self.known.get(&fact)
    }

    /// The number, where there is one.
    #[must_use]
    pub fn figure(&self, fact: Fact) -> Option<f64> {
        match self.known.get(&fact) {
            Some(Value::Number(value)) => Some(*value),
            _ => None,
        }
    }

    /// The marks; none where there are none.
    #[must_use]
    pub fn of_marks(&self, fact: Fact) -> &[u32] {
        match self.known.get(&fact) {
            Some(Value::Marks(marks)) => marks,
            _ => &[],
        }
    }

    /// The value as it stands in a sentence, with its unit.
    #[must_use]
    pub fn in_words(&self, fact: Fact) -> String {
        match (self.known.get(&fact), fact.form()) {
            (None, _) => "not known".to_owned(),
            (Some(Value::Number(value)), Form::Number(decimals, unit)) => {
                let space = if unit.is_empty() { "" } else { " " };
                format!("{}{space}{unit}", rounded(*value, decimals))
            }
            (Some(Value::Number(value)), _) => Minutes(*value).in_words(),
            (Some(Value::Yes), _) => fact.words().to_owned(),
            (Some(Value::Marks(marks)), _) => {
                let noun = if marks.len() == 1 { "mark" } else { "marks" };
                let list: Vec<String> = marks.iter().map(ToString::to_string).collect();
                format!("{noun} {}", list.join(", "))
            }
            (Some(Value::Said(words)), _) => words.clone(),
        }
    }
}

/// A number that would print as 0 and is not 0 keeps its first figure: a small amount of something
/// harmful is not none.
fn rounded(value: f64, decimals: usize) -> String {
    let mut decimals = decimals;
    let mut text = format!("{value:.decimals$}");
    while value != 0.0 && decimals < 4 && text.chars().all(|sign| !('1'..='9').contains(&sign)) {
        decimals += 1;
        text = format!("{value:.decimals$}");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_written_with_their_unit_and_never_round_to_nothing() {
        let mut facts = Facts::default();
        facts.number(Fact::StyrenePeakPpm, 412.4);
        facts.number(Fact::DustKg, 0.0004);
        facts.number(Fact::PurgeMin, 200.0);
        facts.marks(Fact::WetMarks, vec![13, 12, 13]);
        assert_eq!(facts.in_words(Fact::StyrenePeakPpm), "412 ppm");
        assert_eq!(facts.in_words(Fact::DustKg), "0.0004 kg");
        assert_eq!(facts.in_words(Fact::PurgeMin), "4 hours");
        assert_eq!(facts.in_words(Fact::WetMarks), "marks 12, 13");
        assert_eq!(facts.in_words(Fact::RoomM3), "not known");
    }

    #[test]
    fn a_fact_is_found_by_its_name_in_the_table() {
        assert_eq!(Fact::named("styrene_peak_ppm"), Some(Fact::StyrenePeakPpm));
        assert_eq!(Fact::named("styrene_peek_ppm"), None);
    }
}
