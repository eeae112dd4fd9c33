//! The values of a table of consumables.

use super::check_packs;
use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::consumables::ConsumableTable;

/// Every fault of value in a table of consumables.
pub(super) fn consumables(table: &ConsumableTable, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    for (number, row) in table.used.iter().enumerate() {
        let at = |name: &str| format!("used[{number}].{name}");
        check_packs::grade(&mut faults, &at("grade"), row.ware, row.grade);
        if row.ware.grade().is_some() && row.grade.is_none() {
            faults.add(
                &at("grade"),
                "READ-FIELD-MISSING",
                format!("{} without a grade", row.ware.words()),
                "grade: the grit, or the weight in g/m2",
                "say which one is meant",
            );
        }
        let what = format!("{} per {}", row.ware.words(), row.per.words());
        let unit = row.ware.unit().words();
        faults.range(&at("amount"), &what, row.amount, unit, 0.0001..=1000.0);
        faults.name(&at("for"), "the use", &row.goes_into);
        let twice = table.used.iter().take(number).any(|other| {
            (other.ware, other.grade, other.per) == (row.ware, row.grade, row.per)
                && other.goes_into == row.goes_into
        });
        if twice {
            faults.add(
                &at("ware"),
                "READ-NAME-TWICE",
                format!("{what} for {} is there twice", row.goes_into),
                "each ware once by one count and for one use",
                "keep one of them, or say what else it is for",
            );
        }
    }
    for (number, thing) in table.at_hand.iter().enumerate() {
        faults.name(&format!("at_hand[{number}].what"), "what is at hand", &thing.what);
        faults.name(&format!("at_hand[{number}].why"), "the reason", &thing.why);
    }
    if table.used.is_empty() {
        faults.add(
            "used",
            "READ-NOTHING",
            "the table names nothing that is used up",
            "one row or more",
            "start from the built-in table",
        );
    }
    faults.into_found()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::ron_file;

    #[test]
    fn every_fault_names_its_field() {
        let row = "evidence: choice, source: \"\"";
        let cases = [
            (
                format!("(ware: cup, amount: 0, per: mix, for: \"mixing\", {row})"),
                "used[0].amount",
                "0 pieces",
            ),
            (
                format!("(ware: cup, amount: inf, per: mix, for: \"mixing\", {row})"),
                "used[0].amount",
                "inf",
            ),
            (format!("(ware: cup, amount: 1, per: mix, for: \"\", {row})"), "used[0].for", "empty"),
            (
                format!("(ware: abrasive_disc, amount: 1, per: mix, for: \"x\", {row})"),
                "used[0].grade",
                "without a grade",
            ),
            (
                format!("(ware: cup, grade: 80, amount: 1, per: mix, for: \"x\", {row})"),
                "used[0].grade",
                "no grades",
            ),
            (
                format!(
                    "(ware: cup, amount: 1, per: mix, for: \"x\", {row}), (ware: cup, amount: 2, per: mix, for: \"x\", {row})"
                ),
                "used[1].ware",
                "twice",
            ),
        ];
        for (rows, field, problem) in cases {
            let text = format!("(format: 1, used: [{rows}])");
            let (table, loaded) = ron_file::parse::<ConsumableTable>("used.ron", &text).unwrap();
            let found = consumables(&table, &loaded);
            assert_eq!(found.len(), 1, "{found:#?}");
            assert_eq!(found[0].field, field);
            assert!(found[0].problem.contains(problem), "{}", found[0]);
        }
        let (table, loaded) =
            ron_file::parse::<ConsumableTable>("used.ron", "(format: 1, used: [])").unwrap();
        assert_eq!(consumables(&table, &loaded)[0].code, "READ-NOTHING");
    }
}
