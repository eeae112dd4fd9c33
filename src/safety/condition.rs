//! When a caution is raised: an expression over computed values, kept as data in the table.

use serde::Deserialize;

use super::fact::Fact;
use super::value::{Facts, Value};
use crate::rules::Book;

/// An expression over the values of a job. A value that does not apply meets nothing: where not
/// knowing is a danger, the fact itself says so.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Condition {
    /// It is so, or there are some, or it is more than nothing.
    Is(Fact),
    /// The opposite.
    Not(Box<Condition>),
    /// The number is above a bound.
    Above(Fact, Bound),
    /// The number is at a bound or above it.
    AtLeast(Fact, Bound),
    /// The number is below a bound.
    Below(Fact, Bound),
    /// One of these at least.
    Any(Vec<Condition>),
    /// All of these.
    All(Vec<Condition>),
}

/// What a number is held against.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// The figure of a rule, the user's changes included.
    Rule(String),
    /// Another value of the job.
    Fact(Fact),
}

impl Bound {
    fn figure(&self, facts: &Facts, book: &Book) -> Option<f64> {
        match self {
            Self::Rule(id) => book.get(id).and_then(|rule| rule.value),
            Self::Fact(fact) => facts.figure(*fact),
        }
    }

    fn words(&self, facts: &Facts, book: &Book) -> String {
        match self {
            Self::Rule(id) => book.get(id).map_or_else(String::new, |rule| {
                let figure = rule.value.map(|value| value.to_string()).unwrap_or_default();
                let unit = if rule.unit.is_empty() { "" } else { " " };
                format!("{figure}{unit}{} by rule {id}", rule.unit)
            }),
            Self::Fact(fact) => facts.in_words(*fact),
        }
    }
}

impl Condition {
    /// Whether it is met.
    #[must_use]
    pub fn met(&self, facts: &Facts, book: &Book) -> bool {
        let held = |fact: &Fact, bound: &Bound, how: fn(f64, f64) -> bool| match (
            facts.figure(*fact),
            bound.figure(facts, book),
        ) {
            (Some(value), Some(bound)) => how(value, bound),
            _ => false,
        };
        match self {
            Self::Is(fact) => match facts.get(*fact) {
                None => false,
                Some(Value::Number(value)) => *value > 0.0,
                Some(Value::Yes | Value::Marks(_) | Value::Said(_)) => true,
            },
            Self::Not(other) => !other.met(facts, book),
            Self::Above(fact, bound) => held(fact, bound, |value, bound| value > bound),
            Self::AtLeast(fact, bound) => held(fact, bound, |value, bound| value >= bound),
            Self::Below(fact, bound) => held(fact, bound, |value, bound| value < bound),
            Self::Any(of) => of.iter().any(|one| one.met(facts, book)),
            Self::All(of) => of.iter().all(|one| one.met(facts, book)),
        }
    }

    /// What met it, each with its figure.
    #[must_use]
    pub fn because(&self, facts: &Facts, book: &Book) -> Vec<String> {
        if !self.met(facts, book) {
            return Vec::new();
        }
        let compared = |fact: &Fact, how: &str, bound: &Bound| {
            vec![format!(
                "{}: {}, {how} {}",
                fact.words(),
                facts.in_words(*fact),
                bound.words(facts, book)
            )]
        };
        match self {
            Self::Is(fact) => vec![match facts.get(*fact) {
                Some(Value::Yes) | None => fact.words().to_owned(),
                Some(Value::Marks(_)) => format!("{}: {}", facts.in_words(*fact), fact.words()),
                Some(_) => format!("{}: {}", fact.words(), facts.in_words(*fact)),
            }],
            Self::Not(_) => Vec::new(),
            Self::Above(fact, bound) => compared(fact, "above", bound),
            Self::AtLeast(fact, bound) => compared(fact, "not below", bound),
            Self::Below(fact, bound) => compared(fact, "below", bound),
            Self::Any(of) | Self::All(of) => {
                let mut said: Vec<String> = Vec::new();
                for one in of.iter().flat_map(|one| one.because(facts, book)) {
                    if !said.contains(&one) {
                        said.push(one);
                    }
                }
                said
            }
        }
    }

    /// The expression in words, for the page that explains a caution.
    #[must_use]
    pub fn words(&self, book: &Book) -> String {
        let bound = |of: &Bound| match of {
            Bound::Rule(id) => {
                let rule = book.get(id);
                let figure = rule.and_then(|rule| rule.value).unwrap_or_default();
                format!("{figure} {} (rule {id})", rule.map_or("", |rule| rule.unit.as_str()))
            }
            Bound::Fact(fact) => fact.words().to_owned(),
        };
        let list = |of: &[Self], word: &str| {
            let said: Vec<String> = of
                .iter()
                .map(|one| match one {
                    Self::Any(_) | Self::All(_) => format!("({})", one.words(book)),
                    _ => one.words(book),
                })
                .collect();
            said.join(word)
        };
        match self {
            Self::Is(fact) => fact.words().to_owned(),
            Self::Not(other) => format!("not ({})", other.words(book)),
            Self::Above(fact, of) => format!("{} above {}", fact.words(), bound(of)),
            Self::AtLeast(fact, of) => format!("{} not below {}", fact.words(), bound(of)),
            Self::Below(fact, of) => format!("{} below {}", fact.words(), bound(of)),
            Self::Any(of) => list(of, "; or "),
            Self::All(of) => list(of, "; and "),
        }
    }

    /// Calls `with` for every rule it names.
    pub fn rules(&self, with: &mut dyn FnMut(&str)) {
        match self {
            Self::Is(_) => {}
            Self::Not(other) => other.rules(with),
            Self::Above(_, bound) | Self::AtLeast(_, bound) | Self::Below(_, bound) => {
                if let Bound::Rule(id) = bound {
                    with(id);
                }
            }
            Self::Any(of) | Self::All(of) => of.iter().for_each(|one| one.rules(with)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(peak_ppm: f64) -> Facts {
        let mut facts = Facts::default();
        facts.number(Fact::StyrenePeakPpm, peak_ppm);
        facts.marks(Fact::WetMarks, vec![3]);
        facts
    }

    fn read(text: &str) -> Condition {
        ron::from_str(text).unwrap()
    }

    #[test]
    fn bounds_are_the_rule_books() {
        let book = Book::built_in();
        let peak = read("above(styrene_peak_ppm, rule(\"AIR-BLOCK\"))");
        assert!(!peak.met(&facts(350.0), &book), "a limit is passed above it, not at it");
        assert!(peak.met(&facts(350.1), &book));
        assert!(!peak.met(&Facts::default(), &book), "no room, no peak");
        let at = read("at_least(styrene_peak_ppm, rule(\"AIR-BLOCK\"))");
        assert!(at.met(&facts(350.0), &book) && !at.met(&facts(349.9), &book));
        let said = peak.because(&facts(412.0), &book);
        assert_eq!(
            said,
            [
                "styrene in the room at its peak, well mixed: 412 ppm, above 350 ppm styrene by rule AIR-BLOCK"
            ]
        );
    }

    #[test]
    fn any_all_and_not_say_only_what_is_met() {
        let book = Book::built_in();
        let any = read("any([is(wet_marks), above(styrene_peak_ppm, rule(\"AIR-BLOCK\"))])");
        assert_eq!(any.because(&facts(10.0), &book), ["mark 3: counts as wet"]);
        let all = read("all([is(wet_marks), not(is(outdoors))])");
        assert!(all.met(&facts(10.0), &book));
        assert_eq!(all.because(&facts(10.0), &book), ["mark 3: counts as wet"]);
        let against = read("above(styrene_peak_ppm, fact(styrene_dangerous_ppm))");
        assert!(!against.met(&facts(10_000.0), &book), "a bound that does not apply is not passed");
        assert!(ron::from_str::<Condition>("is(wet_markings)").is_err());
    }
}
