//! Classes of published standards, for those who are asked for them.
//!
//! Takes findings; gives a class where a limit in mm decides, and says what is missing where the
//! standard goes by pictures or by what nobody records. For comparison only: nothing else in the
//! answer rests on it, and its figures are from memory.

use serde::Deserialize;

use super::Finding;
use super::depth::Reaches;
use crate::model::survey::MarkKind;
use crate::source::Evidence;
use crate::surface::marks::Form;

const TABLE: &str = include_str!("../../panels/classes.ron");

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    format: u32,
    standards: Vec<Standard>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Standard {
    name: String,
    editions: String,
    evidence: Evidence,
    levels: Vec<String>,
    beyond: String,
    rows: Vec<Row>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    kinds: Vec<MarkKind>,
    what: String,
    most_mm: (f64, f64, f64),
}

/// A mark in a class.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// The mark.
    pub mark: u32,
    /// The standard and its editions.
    pub standard: String,
    /// Its class; none where it cannot be given.
    pub class: Option<String>,
    /// From what, or what is missing.
    pub basis: String,
    /// How the limits are known.
    pub evidence: Evidence,
}

fn table() -> Table {
    #[allow(clippy::expect_used, reason = "the file is compiled in and a test parses it")]
    let table: Table = ron::from_str(TABLE).expect("the built-in classes are whole");
    debug_assert_eq!(table.format, crate::model::FORMAT);
    table
}

/// Every mark against every standard that knows its kind.
#[must_use]
pub fn of_findings(findings: &[Finding<'_>]) -> Vec<Class> {
    let table = table();
    let open = findings.iter().filter(|finding| !finding.is_repaired());
    open.flat_map(|finding| {
        let by_size = table.standards.iter().filter_map(|standard| by_size(standard, finding));
        by_size.chain(by_pictures(finding)).collect::<Vec<_>>()
    })
    .collect()
}

fn by_size(standard: &Standard, finding: &Finding<'_>) -> Option<Class> {
    let mark = finding.mark();
    let row = standard.rows.iter().find(|row| row.kinds.contains(&mark.kind))?;
    // What goes through is a crack by the standard's own words, whatever it was recorded as.
    let through = finding.depth.through;
    let longest_mm = match &finding.placed.form {
        Form::Line(line) => line.length_mm,
        Form::Patch(patch) => patch.length_mm,
    };
    let limits = if through { [0.0; 3] } else { [row.most_mm.0, row.most_mm.1, row.most_mm.2] };
    let level = limits.iter().zip(&standard.levels).find(|(most, _)| longest_mm <= **most);
    Some(Class {
        mark: mark.id,
        standard: format!("{}, {}", standard.name, standard.editions),
        class: Some(level.map_or_else(|| standard.beyond.clone(), |(_, level)| level.clone())),
        basis: format!(
            "{}{}: {longest_mm:.0} mm",
            row.what,
            if through { ", goes through" } else { "" }
        ),
        evidence: standard.evidence,
    })
}

/// What ISO 4628 would need: its classes go by pictures, and by crack widths that are not recorded.
fn by_pictures(finding: &Finding<'_>) -> Option<Class> {
    let mark = finding.mark();
    let (part, class, basis) = match mark.kind {
        MarkKind::Crazing | MarkKind::Star | MarkKind::GelCrack => {
            let depth = match finding.depth.cases.likely {
                Reaches::Paint => return None,
                Reaches::Gel | Reaches::Glass(_) => "c",
            };
            (
                "ISO 4628-4:2003",
                Some(format!("depth {depth}, through every coat of paint")),
                "quantity goes by the standard's pictures and size by the width of the cracks: neither is recorded".to_owned(),
            )
        }
        MarkKind::Blisters => {
            let count = |count: Option<f64>, word: &str| {
                count.map(|count| format!("{word} {count:.0} per dm2"))
            };
            let counted = [count(mark.worst_per_dm2, "worst"), count(mark.mean_per_dm2, "mean")];
            let counted: Vec<String> = counted.into_iter().flatten().collect();
            let counted =
                if counted.is_empty() { "not counted".to_owned() } else { counted.join(", ") };
            (
                "ISO 4628-2:2016",
                None,
                format!("quantity and size go by the standard's pictures; {counted}"),
            )
        }
        _ => return None,
    };
    Some(Class {
        mark: mark.id,
        standard: part.to_owned(),
        class,
        basis,
        evidence: Evidence::FromMemory,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole_and_its_limits_never_get_stricter() {
        for standard in table().standards {
            assert_eq!(standard.levels.len(), 3);
            for row in standard.rows {
                let (one, two, three) = row.most_mm;
                assert!(one <= two && two <= three, "{}", row.what);
            }
        }
    }
}
