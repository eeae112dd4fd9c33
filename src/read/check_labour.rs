//! The values of a table of hours.

use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::labour::{LabourTable, LabourUnit, LabourWork};

/// Every fault of value in a table of hours.
pub(super) fn labour(table: &LabourTable, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    for (number, row) in table.work.iter().enumerate() {
        let at = |name: &str| format!("work[{number}].{name}");
        let (least, most) = (row.least_h.value(), row.most_h.value());
        faults.range(&at("least_h"), "hours at the least", least, "h", 0.05..=500.0);
        faults.range(&at("most_h"), "hours at the most", most, "h", 0.05..=500.0);
        if least > most {
            faults.add(
                &at("most_h"),
                "READ-RANGE",
                format!("hours at the most: found {most} h, less than the least, {least} h"),
                format!("{least} h or more"),
                "change the two about, or correct one",
            );
        }
        let unit = unit_of(row.what);
        if row.per != unit {
            faults.add(
                &at("per"),
                "READ-CONTRADICTION",
                format!("hours of {} counted per {}", row.what.words(), row.per.words()),
                format!("per: {}", word(unit)),
                "work the hours out for that unit",
            );
        }
        if table.work.iter().take(number).any(|other| other.what == row.what) {
            faults.add(
                &at("what"),
                "READ-NAME-TWICE",
                format!("hours of {} are given twice", row.what.words()),
                "each kind of work once",
                "take one of the two out",
            );
        }
    }
    let missing: Vec<&str> = LabourWork::ALL
        .iter()
        .filter(|what| !table.work.iter().any(|row| row.what == **what))
        .map(|what| what.words())
        .collect();
    if !missing.is_empty() {
        faults.add(
            "work",
            "READ-NOTHING",
            format!("no hours for: {}", missing.join(", ")),
            "hours for every kind of work",
            "add the rows; a kind of work without hours would count as none",
        );
    }
    faults.into_found()
}

/// The unit in which a kind of work is counted.
const fn unit_of(what: LabourWork) -> LabourUnit {
    match what {
        LabourWork::GelArea | LabourWork::Strip | LabourWork::Prime | LabourWork::Finish => {
            LabourUnit::SquareMetre
        }
        LabourWork::GelCrack | LabourWork::CrackInGlass => LabourUnit::ThreeHundredMm,
        LabourWork::Mount | LabourWork::Hole | LabourWork::PatchInGlass => LabourUnit::Each,
    }
}

const fn word(unit: LabourUnit) -> &'static str {
    match unit {
        LabourUnit::SquareMetre => "square_metre",
        LabourUnit::ThreeHundredMm => "three_hundred_mm",
        LabourUnit::Each => "each",
    }
}
