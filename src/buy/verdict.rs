//! In what words a chance is told.
//!
//! Rules `WORDS-ENOUGH`, `WORDS-SHORT` and `WORDS-JOBS`.

use crate::rules::{Book, id};

/// Whether an order is enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Likely to run short.
    Short,
    /// About even.
    Even,
    /// Likely enough.
    Enough,
}

impl Verdict {
    /// The words that are printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Short => "likely to run short",
            Self::Even => "about even",
            Self::Enough => "likely enough",
        }
    }
}

/// The verdict on a share of draws in which the order was enough. What is no number, or lies
/// outside 0 to 1, counts as short.
#[must_use]
pub fn verdict(book: &Book, share_enough: f64) -> Verdict {
    if !(0.0..=1.0).contains(&share_enough) || share_enough < book.figure(id::WORDS_SHORT) {
        Verdict::Short
    } else if share_enough < book.figure(id::WORDS_ENOUGH) {
        Verdict::Even
    } else {
        Verdict::Enough
    }
}

/// The chance in words, with a figure only where so many opened-up jobs are on file that the
/// spreads have been seen: then in tenths, downwards, and on their condition.
///
/// Downwards, because running short in the middle of a job is the worse surprise; the ends are
/// never said to be certain.
#[must_use]
pub fn in_words(book: &Book, share_enough: f64, jobs_on_file: u32) -> String {
    let words = verdict(book, share_enough).words();
    if f64::from(jobs_on_file) < book.figure(id::WORDS_JOBS) {
        return words.to_owned();
    }
    let tenths = (share_enough.clamp(0.0, 1.0) * 10.0 + 1e-9).floor();
    let chance = if share_enough.is_nan() || tenths < 1.0 {
        "less than 1 in 10".to_owned()
    } else if tenths >= 10.0 {
        "more than 9 in 10".to_owned()
    } else {
        format!("{tenths:.0} in 10")
    };
    format!("{words}, {chance} if these spreads hold")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Change;

    #[test]
    fn words_without_a_figure_until_twenty_jobs() {
        let book = Book::built_in();
        for (share, words) in [
            (0.0, "likely to run short"),
            (0.32, "likely to run short"),
            (0.34, "about even"),
            (0.65, "about even"),
            (0.67, "likely enough"),
            (1.0, "likely enough"),
            (f64::NAN, "likely to run short"),
        ] {
            assert_eq!(in_words(&book, share, 19), words);
        }
        assert!(!in_words(&book, 0.99, 0).contains(char::is_numeric));
    }

    #[test]
    fn tenths_go_down_and_never_claim_certainty() {
        let book = Book::built_in();
        for (share, words) in [
            (0.8, "likely enough, 8 in 10 if these spreads hold"),
            (0.799, "likely enough, 7 in 10 if these spreads hold"),
            (1.0, "likely enough, more than 9 in 10 if these spreads hold"),
            (0.02, "likely to run short, less than 1 in 10 if these spreads hold"),
        ] {
            assert_eq!(in_words(&book, share, 20), words);
        }
    }

    #[test]
    fn a_changed_rule_changes_the_words() {
        let mut book = Book::built_in();
        let change = Change {
            id: id::WORDS_ENOUGH.to_owned(),
            value: 0.9,
            likely_and_high: None,
            why: String::new(),
        };
        book.change(&change).unwrap();
        assert_eq!(verdict(&book, 0.8), Verdict::Even);
    }
}
