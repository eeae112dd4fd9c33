//! The values of a table of packs, and of what is on the shelf.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::packs::{Grade, OnShelf, PackTable, PackUnit, Ware};

/// Most that one pack holds, in its unit (choice: more is a delivery and no pack).
const MOST_IN_PACK: f64 = 10_000.0;
/// Longest that anything keeps, days (choice).
const LONGEST_DAYS: f64 = 7_300.0;

/// Every fault of value in a table of packs.
pub(super) fn packs(table: &PackTable, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    for (number, item) in table.items.iter().enumerate() {
        let at = |name: &str| format!("items[{number}].{name}");
        grade(&mut faults, &at("grade"), item.ware, item.grade);
        if item.sizes.is_empty() {
            faults.add(
                &at("sizes"),
                "READ-NOTHING",
                format!("no size of a pack of {}", item.ware.words()),
                format!("one amount or more, in {}", item.ware.unit().words()),
                "give what one pack holds",
            );
        }
        for (which, size) in item.sizes.iter().enumerate() {
            amount(&mut faults, &at(&format!("sizes[{which}]")), item.ware, *size);
        }
        let written: Vec<String> = item.sizes.iter().map(f64::to_string).collect();
        faults.unlike("size", &written, |which| at(&format!("sizes[{which}]")));
        let width = item.width_mm.map(|width| width.value());
        faults.range_if(&at("width_mm"), "width of the roll", width, "mm", 50.0..=4000.0);
        let roll = item.roll_kg.map(|roll| roll.value());
        faults.range_if(&at("roll_kg"), "weight of a roll", roll, "kg", 0.5..=500.0);
        if roll.is_some() && !item.ware.is_rolled_glass() {
            faults.add(
                &at("roll_kg"),
                "READ-CONTRADICTION",
                format!("a weight of roll for {}", item.ware.words()),
                "a weight for glass and tissue only",
                "leave it out, and give what a roll holds as a size",
            );
        }
        if item.ware.is_rolled_glass() != width.is_some() {
            let (found, accepted) = if width.is_some() {
                ("a width of roll for", "no width; only glass and tissue are cut off a roll")
            } else {
                ("no width of roll for", "width_mm: 50 to 4000")
            };
            faults.add(
                &at("width_mm"),
                "READ-CONTRADICTION",
                format!("{found} {}", item.ware.words()),
                accepted,
                "put the width in for what comes by the metre, and leave it out elsewhere",
            );
        }
        let keeps = 1.0..=LONGEST_DAYS;
        let closed = item.closed_days;
        faults.range_if(&at("closed_days"), "keeps closed", closed, "days", keeps.clone());
        faults.range_if(&at("opened_days"), "keeps opened", item.opened_days, "days", keeps);
        if let (Some(closed), Some(opened)) = (item.closed_days, item.opened_days)
            && opened > closed
        {
            faults.add(
                &at("opened_days"),
                "READ-CONTRADICTION",
                format!("keeps opened: found {opened} days, longer than closed, {closed} days"),
                format!("1 to {closed} days"),
                "change the two about, or correct one",
            );
        }
        let twice = |other: &crate::model::packs::PackItem| {
            other.ware == item.ware && other.grade == item.grade
        };
        if table.items.iter().take(number).any(twice) {
            faults.add(
                &at("ware"),
                "READ-NAME-TWICE",
                format!("packs of {} are given twice", item.ware.named(item.grade)),
                "each ware and grade once",
                "put the sizes of both into one entry",
            );
        }
    }
    let missing: Vec<&str> = Ware::ALL
        .iter()
        .filter(|ware| !table.items.iter().any(|item| item.ware == **ware && item.grade.is_none()))
        .map(|ware| ware.words())
        .collect();
    if !missing.is_empty() {
        faults.add(
            "items",
            "READ-NOTHING",
            format!("no packs for any grade of: {}", missing.join(", ")),
            "an entry without a grade for every ware",
            "add the entries; a ware without packs would be missing from the order",
        );
    }
    faults.into_found()
}

/// A grade has to be one that the ware can have.
pub(super) fn grade(faults: &mut Faults<'_>, field: &str, ware: Ware, grade: Option<u32>) {
    let Some(found) = grade else { return };
    match ware.grade() {
        Some(Grade::Weight) => {
            faults.range(field, "weight of the glass", f64::from(found), "g/m2", 10.0..=1500.0);
        }
        Some(Grade::Grit) => {
            faults.range(field, "grit", f64::from(found), "", 12.0..=5000.0);
        }
        None => faults.add(
            field,
            "READ-CONTRADICTION",
            format!("grade {found} for {}, which has no grades", ware.words()),
            "a grade for glass (g/m2) and for abrasives (grit) only",
            "leave the grade out",
        ),
    }
}

/// An amount in a pack: a number of its unit, whole where only whole ones are sold.
pub(super) fn amount(faults: &mut Faults<'_>, field: &str, ware: Ware, found: f64) {
    let unit = ware.unit();
    let what = format!("amount of {}", ware.words());
    if !faults.range(field, &what, found, unit.words(), 0.001..=MOST_IN_PACK) {
        return;
    }
    let steps = if unit.is_counted() { 1.0 } else { 1000.0 };
    if (found * steps - (found * steps).round()).abs() > 1e-6 {
        faults.add(
            field,
            "READ-NUMBER",
            format!("{what}: found {found} {}", unit.words()),
            if unit.is_counted() { "a whole number" } else { "at most three decimals" },
            "round it down to what is surely in the pack",
        );
    }
}

/// Glass is known by its weight.
pub(super) fn weight_said(faults: &mut Faults<'_>, field: &str, ware: Ware, grade: Option<u32>) {
    if ware.is_rolled_glass() && grade.is_none() {
        faults.add(
            field,
            "READ-FIELD-MISSING",
            format!("{} without its weight", ware.words()),
            "grade: 10 g/m2 to 1500 g/m2",
            "weigh a square metre, or read the label",
        );
    }
}

/// Every fault of value in what is on the shelf.
pub(super) fn on_shelf(faults: &mut Faults<'_>, shelf: &[OnShelf]) {
    for (number, there) in shelf.iter().enumerate() {
        let at = |name: &str| format!("on_shelf[{number}].{name}");
        grade(faults, &at("grade"), there.ware, there.grade);
        weight_said(faults, &at("grade"), there.ware, there.grade);
        let unit: PackUnit = there.ware.unit();
        let what = format!("{} on the shelf", there.ware.words());
        faults.range(&at("amount"), &what, there.amount, unit.words(), 0.0..=MOST_IN_PACK);
        let opened = there.opened_days;
        faults.range_if(&at("opened_days"), "opened for", opened, "days", 0.0..=36_500.0);
        let left = there.expires_in_days;
        faults.range_if(&at("expires_in_days"), "date on it", left, "days", -36_500.0..=36_500.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::{built_in, ron_file};

    fn built_in_text() -> String {
        built_in::PACKS.to_owned()
    }

    fn faults(text: &str) -> Vec<Diagnostic> {
        let (table, loaded) = ron_file::parse::<PackTable>("packs.ron", text).unwrap();
        packs(&table, &loaded)
    }

    #[test]
    fn every_fault_names_field_value_unit_and_what_is_accepted() {
        let whole = built_in_text();
        assert_eq!(faults(&whole), []);
        let cases = [
            (
                "sizes: [0.5, 1, 5, 20, 25], closed_days: 180, opened_days: 90, evidence: from_memory,\n         source: \"sizes",
                "sizes: [0.5, -1], closed_days: 180, opened_days: 90, evidence: from_memory,\n         source: \"sizes",
                "items[0].sizes[1]",
                "READ-RANGE",
                "-1 kg",
                "10,000 kg",
            ),
            (
                "sizes: [50], evidence: from_memory, source: \"box",
                "sizes: [50.5], evidence: from_memory, source: \"box",
                "items[15].sizes[0]",
                "READ-NUMBER",
                "50.5 pairs",
                "whole number",
            ),
            (
                "(ware: mat, sizes: [1], width_mm: 1270, roll_kg",
                "(ware: mat, sizes: [1], roll_kg",
                "items[5].width_mm",
                "READ-CONTRADICTION",
                "no width of roll",
                "width_mm",
            ),
            (
                "ware: gloves, sizes",
                "ware: gloves, grade: 3, sizes",
                "items[15].grade",
                "READ-CONTRADICTION",
                "grade 3",
                "glass (g/m2)",
            ),
            (
                "(ware: epoxy_mat, sizes: [1]",
                "(ware: mat, sizes: [1]",
                "items[6].ware",
                "READ-NAME-TWICE",
                "strand mat",
                "once",
            ),
            (
                "ware: gloves, sizes: [50]",
                "ware: gloves, sizes: [50], roll_kg: 3",
                "items[15].roll_kg",
                "READ-CONTRADICTION",
                "weight of roll",
                "glass and tissue",
            ),
            (
                "sizes: [1, 12], evidence",
                "sizes: [], evidence",
                "items[16].sizes",
                "READ-NOTHING",
                "laminating brush",
                "pieces",
            ),
            (
                "sizes: [20, 50, 100, 870], closed_days: 365, opened_days: 180",
                "sizes: [20, 50, 100, 870], closed_days: 365, opened_days: 400",
                "items[4].opened_days",
                "READ-CONTRADICTION",
                "400 days",
                "365 days",
            ),
            (
                "        (ware: stirrer, sizes: [50], evidence: choice, source: \"a default\"),\n",
                "",
                "items",
                "READ-NOTHING",
                "stirring stick",
                "every ware",
            ),
        ];
        for (from, to, field, code, problem, accepted) in cases {
            assert!(whole.contains(from), "{from}");
            let found = faults(&whole.replacen(from, to, 1));
            let fault = found.iter().find(|fault| fault.field == field && fault.code == code);
            let fault = fault.unwrap_or_else(|| panic!("{field} {code}: {found:#?}"));
            assert!(fault.problem.contains(problem), "{fault}");
            assert!(fault.accepted.contains(accepted), "{fault}");
            assert!(fault.place.is_some() && !fault.way_out.is_empty(), "{fault}");
        }
    }
}
