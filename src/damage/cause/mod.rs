//! Why is it there? Causes that a mark is consistent with, from the signs at it.
//!
//! A cause is named with what decides it, what speaks for it, what speaks against it and what to
//! look at next. It is never proof, changes no action and closes nothing: only a cause that
//! somebody recorded is put right first. The table is data (`panels/causes.ron`), built in.

pub mod signs;

use serde::Deserialize;

use crate::model::survey::MarkKind;
use crate::source::Evidence;
pub use signs::{Sign, Signs};

const BUILT_IN: &str = include_str!("../../../panels/causes.ron");

/// A cause in the table.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cause {
    /// Its name in the record.
    pub id: String,
    /// In words, after "consistent with".
    pub name: String,
    /// Kinds of mark it can stand behind.
    pub of: Vec<MarkKind>,
    /// Signs of which one alone tells it from the others.
    pub decides: Vec<Sign>,
    /// Signs that speak for it.
    pub speaks_for: Vec<Sign>,
    /// Signs that speak against it.
    pub speaks_against: Vec<Sign>,
    /// What would settle it.
    pub next_look: String,
    /// How it is known.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    format: u32,
    causes: Vec<Cause>,
}

/// A cause that a mark is consistent with.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The cause.
    pub cause: Cause,
    /// What decides it, in words.
    pub decided_by: Vec<String>,
    /// What speaks for it.
    pub speaks_for: Vec<String>,
    /// What speaks against it.
    pub speaks_against: Vec<String>,
}

impl Candidate {
    /// Decided ones first, then by what speaks for less what speaks against.
    fn rank(&self) -> (bool, i64) {
        let count = |list: &[String]| i64::try_from(list.len()).unwrap_or(i64::MAX);
        let decided = count(&self.decided_by) - count(&self.speaks_against) > 0;
        (
            decided,
            2 * count(&self.decided_by) + count(&self.speaks_for) - count(&self.speaks_against),
        )
    }
}

/// The table, in its own order.
#[must_use]
pub fn table() -> Vec<Cause> {
    // A test reads the built-in table: it cannot be broken in a build that passed.
    let table =
        ron::from_str::<Table>(BUILT_IN).ok().filter(|table| table.format == crate::model::FORMAT);
    table.map(|table| table.causes).unwrap_or_default()
}

/// What the signs at a mark of a kind are consistent with, likeliest first; among equals in the
/// order of the table. A cause that nothing speaks for, or more against than for, is left out.
#[must_use]
pub fn candidates(table: &[Cause], kind: MarkKind, signs: &Signs) -> Vec<Candidate> {
    let said = |list: &[Sign]| list.iter().filter_map(|sign| signs.get(sign).cloned()).collect();
    let mut found: Vec<Candidate> = table
        .iter()
        .filter(|cause| cause.of.contains(&kind))
        .map(|cause| Candidate {
            cause: cause.clone(),
            decided_by: said(&cause.decides),
            speaks_for: said(&cause.speaks_for),
            speaks_against: said(&cause.speaks_against),
        })
        .filter(|candidate| candidate.rank().1 > 0)
        .collect();
    found.sort_by_key(|candidate| std::cmp::Reverse(candidate.rank()));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_table_is_whole() {
        let table = ron::from_str::<Table>(BUILT_IN).unwrap();
        let mut ids: Vec<&str> = table.causes.iter().map(|cause| cause.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), table.causes.len(), "no id twice");
        for cause in &table.causes {
            assert!(!cause.decides.is_empty() && !cause.of.is_empty(), "{}", cause.id);
            assert!(!cause.next_look.is_empty() && !cause.source.is_empty(), "{}", cause.id);
            let all = [&cause.decides, &cause.speaks_for, &cause.speaks_against];
            let mut signs: Vec<Sign> = all.into_iter().flatten().copied().collect();
            let count = signs.len();
            signs.sort_unstable();
            signs.dedup();
            assert_eq!(signs.len(), count, "a sign twice in {}", cause.id);
        }
    }

    #[test]
    fn what_speaks_against_can_outweigh_the_sign_that_decides() {
        let table = table();
        let signs: Signs = [
            (Sign::WorstInSun, "sun".to_owned()),
            (Sign::Radial, "star".to_owned()),
            (Sign::NearFixing, "bolt".to_owned()),
            (Sign::Small, "small".to_owned()),
        ]
        .into();
        let found = candidates(&table, MarkKind::Crazing, &signs);
        assert!(found.iter().all(|one| one.cause.id != "AGE"));
        assert_eq!(found[0].cause.id, "BLOW-BEHIND");
    }
}
