//! A user's changes to the rule book, applied with their faults.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::shop::Shop;
use crate::rules::{Book, Change, Changes, id};

/// Puts the changes into the book; what cannot be put in is a fault.
pub(super) fn apply(changes: &Changes, book: &mut Book, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let ids: Vec<String> = book.iter().map(|rule| rule.id.clone()).collect();
    let ids: Vec<&str> = ids.iter().map(String::as_str).collect();
    for (number, change) in changes.changes.iter().enumerate() {
        let id_field = format!("changes[{number}].id");
        if changes.changes.iter().take(number).any(|other| other.id == change.id) {
            faults.add(
                &id_field,
                "READ-NAME-TWICE",
                format!("rule {} is changed twice", change.id),
                "one change a rule",
                "take one of the changes out",
            );
            continue;
        }
        if !faults.known(&id_field, "rule", &change.id, &ids) {
            continue;
        }
        if let Err(problem) = book.change(change) {
            faults.add(
                &format!("changes[{number}].value"),
                "READ-RULE",
                problem,
                "a figure within the range that the rule states",
                format!(
                    "`plymend explain {}` prints the rule, its reason and its range",
                    change.id
                ),
            );
        }
    }
    faults.into_found()
}

/// Puts the taper of a shop into the book, as a setting of the user's.
pub(super) fn taper(shop: &Shop, book: &mut Book, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    let Some(taper) = shop.taper else { return Vec::new() };
    if book.settings().iter().any(|setting| setting.id == id::TAPER) {
        faults.add(
            "taper",
            "READ-CONTRADICTION",
            format!("the shop says {taper} to 1, and a file of rule changes changes the taper too"),
            "the taper in one of the two files",
            format!("take it out of the shop, or the rule {} out of the changes", id::TAPER),
        );
        return faults.into_found();
    }
    let change = Change {
        id: id::TAPER.to_owned(),
        value: taper,
        likely_and_high: None,
        why: "the shop's taper".to_owned(),
    };
    if let Err(problem) = book.change(&change) {
        faults.add(
            "taper",
            "READ-RULE",
            format!("taper: {problem}"),
            "run-out over depth, 8 to 1 or flatter",
            format!("`plymend explain {}` prints the rule, its reason and its range", id::TAPER),
        );
    }
    faults.into_found()
}
