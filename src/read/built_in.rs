//! Generic mouldings and the generic stock, built into the program and addressed by name.

/// Name and text of a generic moulding.
const PANELS: &[(&str, &str)] = &[
    ("flat-sheet", include_str!("../../panels/flat-sheet.ron")),
    ("gate-skin", include_str!("../../panels/gate-skin.ron")),
    ("lid", include_str!("../../panels/lid.ron")),
    ("quarter", include_str!("../../panels/quarter.ron")),
    ("roof", include_str!("../../panels/roof.ron")),
    ("sill", include_str!("../../panels/sill.ron")),
    ("tub", include_str!("../../panels/tub.ron")),
    ("valance", include_str!("../../panels/valance.ron")),
    ("wheel-arch", include_str!("../../panels/wheel-arch.ron")),
    ("wing", include_str!("../../panels/wing.ron")),
];

/// The generic stock.
pub const STOCK: &str = include_str!("../../panels/stock.ron");

/// The default hours of work.
pub const LABOUR: &str = include_str!("../../panels/labour.ron");

/// How the default hours are named in outputs.
pub const LABOUR_NAME: &str = "built in: hours";

/// How the generic stock is named in outputs.
pub const STOCK_NAME: &str = "built in: stock";

/// Names of the generic mouldings, in alphabetical order.
pub fn names() -> impl Iterator<Item = &'static str> {
    PANELS.iter().map(|(name, _)| *name)
}

/// Text of a generic moulding.
#[must_use]
pub fn panel(name: &str) -> Option<&'static str> {
    PANELS.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}

/// How a generic moulding is named in outputs.
#[must_use]
pub fn shown(name: &str) -> String {
    format!("built in: {name}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::labour::LabourTable;
    use crate::model::panel::Panel;
    use crate::model::stock::Stock;
    use crate::read::{check_labour, check_panel, check_stock, ron_file};

    #[test]
    fn what_is_built_in_is_without_fault() {
        let mut names: Vec<_> = names().collect();
        assert!(names.is_sorted());
        names.dedup();
        assert_eq!(names.len(), PANELS.len());
        for (name, text) in PANELS {
            let (panel, loaded) =
                ron_file::parse::<Panel>(name, text).unwrap_or_else(|fault| panic!("{fault}"));
            let faults = check_panel::panel(&panel, &loaded);
            assert!(faults.is_empty(), "{name}: {}", faults[0]);
        }
        let (stock, loaded) = ron_file::parse::<Stock>(STOCK_NAME, STOCK).unwrap();
        assert_eq!(check_stock::stock(&stock, &loaded), []);
        let (labour, loaded) = ron_file::parse::<LabourTable>(LABOUR_NAME, LABOUR).unwrap();
        assert_eq!(check_labour::labour(&labour, &loaded), []);
    }
}
