//! Our own sentences for people who think in inches: every metric figure told in customary United
//! States units, with the metric one behind it in brackets.
//!
//! Text for people only; a record never holds these. Left as they are: texts in double quotes and
//! the user's own words ([`Verbatim`]); ratios, percentages, times and prices; temperature
//! differences, which are no temperatures; units that nobody buys or measures in (ppm, kW,
//! kg/min); figures without a unit, such as places on the grid.
//!
//! A converted figure is never finer than the last place of the metric one, except that it keeps
//! two significant digits: 1 mm told to the tenth of an inch would be nothing.

mod figures;
mod units;

use crate::read::Job;
use crate::read::literals;

/// Words of the user that stay as they are wherever they stand.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Verbatim(Vec<String>);

impl Verbatim {
    /// The words of everybody who wrote a file of this job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self::from(literals::of_user(&job.texts))
    }
}

impl From<Vec<String>> for Verbatim {
    /// Keeps those that would be changed; the longest is looked for first.
    fn from(texts: Vec<String>) -> Self {
        let mut kept: Vec<String> = texts
            .into_iter()
            .map(|text| text.trim().to_owned())
            .filter(|text| figures::told(text) != *text)
            .collect();
        kept.sort_by_key(|text| (std::cmp::Reverse(text.len()), text.clone()));
        kept.dedup();
        Self(kept)
    }
}

/// The units that a text for people is written in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Units {
    /// As the record has them.
    #[default]
    Metric,
    /// United States customary units first, metric ones in brackets.
    Imperial(Verbatim),
}

impl Units {
    /// A sentence in these units.
    #[must_use]
    pub fn told(&self, words: &str) -> String {
        match self {
            Self::Metric => words.to_owned(),
            Self::Imperial(verbatim) => imperial(words, verbatim),
        }
    }

    /// What a reader has to know about the units, where they are not those of the record.
    #[must_use]
    pub const fn note(&self) -> Option<&'static str> {
        match self {
            Self::Metric => None,
            Self::Imperial(_) => Some(
                "units: US customary, with the metric figure behind it in brackets, which counts where the two differ. As written stay what the survey says in its own words, figures of rules, and places u and v on the grid, which are millimetres.",
            ),
        }
    }
}

/// A sentence of ours with every metric figure told in customary units first.
#[must_use]
pub fn imperial(words: &str, verbatim: &Verbatim) -> String {
    let mut told = String::with_capacity(words.len() + words.len() / 4);
    let mut from = 0;
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        match kept(words, at, verbatim) {
            Some(length) => {
                told.push_str(&figures::told(words.get(from..at).unwrap_or_default()));
                told.push_str(rest.get(..length).unwrap_or_default());
                at += length;
                from = at;
            }
            None => at += rest.chars().next().map_or(1, char::len_utf8),
        }
    }
    told.push_str(&figures::told(words.get(from..).unwrap_or_default()));
    told
}

/// Bytes that stay as they are from here on; none where they may change.
fn kept(words: &str, at: usize, verbatim: &Verbatim) -> Option<usize> {
    let (before, rest) = words.split_at_checked(at)?;
    let word = |sign: Option<char>| sign.is_some_and(|sign| sign.is_alphanumeric() || sign == '.');
    let whole = |text: &&String| {
        let behind = rest.get(text.len()..).and_then(|behind| behind.chars().next());
        let first = text.chars().next();
        let last = text.chars().next_back();
        rest.starts_with(text.as_str())
            && !(word(before.chars().next_back()) && word(first))
            && !(behind.is_some_and(char::is_alphanumeric) && word(last))
    };
    let own = verbatim.0.iter().find(whole).map(String::len);
    own.or_else(|| {
        let inner = rest.strip_prefix('"')?;
        inner.find('"').map(|end| end + 2)
    })
}

#[cfg(test)]
mod tests;
