//! The cautions as data: code, trigger, text, evidence and what each blocks, from
//! `panels/cautions.ron`, built into the program.

use std::sync::OnceLock;

use serde::Deserialize;

use super::condition::Condition;
use super::fact::Fact;
use super::value::Facts;
use crate::model::{given, words};
use crate::rules::Book;
use crate::source::Evidence;

const BUILT_IN: &str = include_str!("../../panels/cautions.ron");

/// One caution of the table.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRow {
    /// Its code.
    pub code: String,
    /// What it is about.
    pub title: String,
    /// It stands at the top of an answer.
    #[serde(default)]
    pub leads: bool,
    /// What raises it.
    pub raised_when: Condition,
    /// What it says.
    pub text: Vec<Sentence>,
    /// What it blocks.
    #[serde(default)]
    pub blocks: Blocks,
    /// Why.
    pub reason: String,
    /// How it is known.
    pub evidence: Evidence,
    /// Where from.
    pub source: String,
}

/// A sentence, said always or only where something holds.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sentence {
    /// Said always.
    Say(String),
    /// Said where the expression is met.
    When(Condition, String),
}

/// What a caution blocks.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Blocks {
    /// Nothing: advice is enough.
    #[default]
    Nothing,
    /// Whatever a gate of the shop shuts that names this rule.
    Gate(String),
    /// One step.
    Step(Box<BlockedStep>),
    /// More than one.
    Steps(Vec<BlockedStep>),
}

/// A step that may not be done until somebody answers.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockedStep {
    /// The rule.
    pub rule: String,
    /// Which part of the work.
    pub work: Work,
    /// The step.
    pub step: String,
    /// Blocked only where this holds too.
    #[serde(default, deserialize_with = "given")]
    pub when: Option<Condition>,
    /// Marks concerned; left out, all of them.
    #[serde(default, deserialize_with = "given")]
    pub marks: Option<Fact>,
    /// Why.
    pub why: String,
    /// The way out.
    pub way_out: String,
}

words! {
/// A part of the work.
Work {
    /// Sanding, grinding, stripping.
    Sanding => "sanding",
    /// Laying resin or gel coat.
    LayUp => "lay-up",
    /// Buying or mixing.
    Buying => "buying",
    /// Paint.
    Paint => "paint",
    /// Warming.
    Warming => "warming",
}}

impl CautionRow {
    /// Its text with the figures of a job.
    #[must_use]
    pub fn written(&self, facts: &Facts, book: &Book) -> String {
        let said: Vec<String> = self
            .text
            .iter()
            .filter_map(|sentence| match sentence {
                Sentence::Say(text) => Some(filled(text, facts)),
                Sentence::When(condition, text) => {
                    condition.met(facts, book).then(|| filled(text, facts))
                }
            })
            .collect();
        said.join(" ")
    }

    /// Every rule it names, in order, each once.
    #[must_use]
    pub fn rules(&self) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        let mut add = |id: &str| {
            if !found.iter().any(|known| known == id) {
                found.push(id.to_owned());
            }
        };
        self.raised_when.rules(&mut add);
        for sentence in &self.text {
            if let Sentence::When(condition, _) = sentence {
                condition.rules(&mut add);
            }
        }
        if let Blocks::Gate(rule) = &self.blocks {
            add(rule);
        }
        for step in self.steps() {
            add(&step.rule);
            if let Some(condition) = &step.when {
                condition.rules(&mut add);
            }
        }
        found
    }

    /// The steps it may block.
    #[must_use]
    pub fn steps(&self) -> &[BlockedStep] {
        match &self.blocks {
            Blocks::Nothing | Blocks::Gate(_) => &[],
            Blocks::Step(step) => std::slice::from_ref(step),
            Blocks::Steps(steps) => steps,
        }
    }
}

/// Puts the values into a text: `{name}` stands for one.
#[must_use]
pub fn filled(text: &str, facts: &Facts) -> String {
    let mut out = String::with_capacity(text.len());
    for piece in pieces(text) {
        match piece {
            Piece::Text(text) => out.push_str(text),
            Piece::Name(name) => match Fact::named(name) {
                Some(fact) => out.push_str(&facts.in_words(fact)),
                // A test holds every name in the table; a name that slipped by stays visible.
                None => out.push_str(name),
            },
        }
    }
    let mut letters = out.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => out,
    }
}

enum Piece<'t> {
    Text(&'t str),
    Name(&'t str),
}

fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        found.push(Piece::Text(before));
        let Some((name, after)) = after.split_once('}') else { break };
        found.push(Piece::Name(name));
        rest = after;
    }
    found.push(Piece::Text(rest));
    found
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TableFile {
    format: u32,
    cautions: Vec<CautionRow>,
}

/// Every caution, in the order in which they are said.
///
/// # Panics
/// Never in a tested build: the file is part of the program and parsed by every test.
#[must_use]
#[allow(clippy::expect_used, reason = "the file is compiled in and a test parses it")]
pub fn cautions() -> &'static [CautionRow] {
    static TABLE: OnceLock<Vec<CautionRow>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let reader = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::UNWRAP_VARIANT_NEWTYPES);
        let file: TableFile = reader.from_str(BUILT_IN).expect("the built-in cautions are whole");
        debug_assert_eq!(file.format, crate::model::FORMAT);
        file.cautions
    })
}

/// A caution by its code.
#[must_use]
pub fn find(code: &str) -> Option<&'static CautionRow> {
    cautions().iter().find(|caution| caution.code.eq_ignore_ascii_case(code))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_whole_and_names_only_what_is_known() {
        let book = Book::built_in();
        let mut codes: Vec<&str> = cautions().iter().map(|row| row.code.as_str()).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), cautions().len(), "two rows with one code");
        for row in cautions() {
            let rules = row.rules();
            let mut texts: Vec<&str> = Vec::new();
            for sentence in &row.text {
                match sentence {
                    Sentence::Say(text) | Sentence::When(_, text) => texts.push(text),
                }
            }
            for step in row.steps() {
                texts.extend([step.why.as_str(), step.way_out.as_str()]);
            }
            for rule in rules {
                assert!(book.get(&rule).is_some(), "{}: rule {rule}", row.code);
            }
            for text in texts {
                for piece in pieces(text) {
                    if let Piece::Name(name) = piece {
                        assert!(Fact::named(name).is_some(), "{}: {{{name}}}", row.code);
                    }
                }
            }
            assert!(!row.reason.is_empty() && !row.source.is_empty(), "{}", row.code);
        }
    }

    #[test]
    fn a_text_is_filled_with_the_figures() {
        let mut facts = Facts::default();
        facts.number(Fact::DustKg, 3.291);
        assert_eq!(filled("{dust_kg} of dust", &facts), "3.29 kg of dust");
        assert_eq!(filled("room: {room_m3}", &facts), "Room: not known");
    }
}
