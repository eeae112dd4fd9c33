//! Raises the cautions of the table whose trigger is met, each with the figures that met it.

use super::blocks::Blocked;
use super::table::{Blocks, CautionRow, cautions};
use super::value::Facts;
use crate::rules::Book;

/// A caution that is raised.
#[derive(Debug, Clone)]
pub struct Raised {
    /// Its row in the table.
    pub row: &'static CautionRow,
    /// What raised it, with the figure.
    pub trigger: String,
    /// What to do.
    pub text: String,
    /// It blocks a step.
    pub blocks: bool,
}

/// Every caution whose trigger is met, in the order of the table.
#[must_use]
pub fn raise(facts: &Facts, book: &Book, blocked: &[Blocked]) -> Vec<Raised> {
    cautions()
        .iter()
        .filter(|row| row.raised_when.met(facts, book))
        .map(|row| Raised {
            row,
            trigger: row.raised_when.because(facts, book).join("; "),
            text: row.written(facts, book),
            blocks: match &row.blocks {
                Blocks::Nothing => false,
                Blocks::Gate(rule) => {
                    blocked.iter().any(|block| block.by_gate && block.rules.contains(rule))
                }
                Blocks::Step(_) | Blocks::Steps(_) => {
                    blocked.iter().any(|block| !block.by_gate && block.caution == row.code)
                }
            },
        })
        .collect()
}
