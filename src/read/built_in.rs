//! Generic mouldings and the generic stock, built into the program and addressed by name.

use serde::Deserialize;

use super::text::Loaded;
use super::{check_consumables, check_packs, ron_file};
use crate::diagnostic::Diagnostic;
use crate::model::consumables::ConsumableTable;
use crate::model::packs::PackTable;

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

/// The usual packs.
pub const PACKS: &str = include_str!("../../panels/packs.ron");

/// How the usual packs are named in outputs.
pub const PACKS_NAME: &str = "built in: packs";

/// The default consumables.
pub const CONSUMABLES: &str = include_str!("../../panels/consumables.ron");

/// How the default consumables are named in outputs.
pub const CONSUMABLES_NAME: &str = "built in: consumables";

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

/// The usual packs, read and checked.
///
/// # Errors
/// Faults of the table; never in a tested build, because the text is part of the program.
pub fn packs() -> Result<PackTable, Vec<Diagnostic>> {
    table(PACKS_NAME, PACKS, check_packs::packs)
}

/// The default consumables, read and checked.
///
/// # Errors
/// As [`packs`].
pub fn consumables() -> Result<ConsumableTable, Vec<Diagnostic>> {
    table(CONSUMABLES_NAME, CONSUMABLES, check_consumables::consumables)
}

fn table<T>(
    name: &str,
    text: &str,
    check: fn(&T, &Loaded) -> Vec<Diagnostic>,
) -> Result<T, Vec<Diagnostic>>
where
    T: for<'text> Deserialize<'text>,
{
    let (table, loaded) = ron_file::parse::<T>(name, text).map_err(|fault| vec![fault])?;
    let faults = check(&table, &loaded);
    if faults.is_empty() { Ok(table) } else { Err(faults) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::labour::LabourTable;
    use crate::model::panel::Panel;
    use crate::model::stock::Stock;
    use crate::read::{check_labour, check_panel, check_stock};

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
        assert!(packs().is_ok(), "{:#?}", packs().unwrap_err());
        assert!(consumables().is_ok(), "{:#?}", consumables().unwrap_err());
    }
}
