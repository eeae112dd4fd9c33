//! Which of the files is this? Told by its fields, not by its name.

use super::ron_file::fields_of;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::body::Body;
use crate::model::climate::ClimateLog;
use crate::model::drying::DryingLog;
use crate::model::labour::LabourTable;
use crate::model::opened::OpenedSizes;
use crate::model::panel::Panel;
use crate::model::prices::PriceFile;
use crate::model::shop::Shop;
use crate::model::stock::Stock;
use crate::model::survey::Survey;
use crate::rules::Changes;

/// The files a user writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// A survey.
    Survey,
    /// A body.
    Body,
    /// A panel.
    Panel,
    /// A shop.
    Shop,
    /// A stock.
    Stock,
    /// Sizes found after grinding.
    Opened,
    /// A drying log.
    Drying,
    /// Readings of a shop's air.
    Climate,
    /// Prices.
    Prices,
    /// Hours of work.
    Labour,
    /// Changes to the rule book.
    Rules,
}

impl FileKind {
    /// All of them; where two fit as well, the earlier one is meant.
    pub const ALL: [Self; 11] = [
        Self::Survey,
        Self::Body,
        Self::Panel,
        Self::Shop,
        Self::Stock,
        Self::Opened,
        Self::Drying,
        Self::Climate,
        Self::Prices,
        Self::Labour,
        Self::Rules,
    ];

    /// The word that is printed.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Survey => "survey",
            Self::Body => "body",
            Self::Panel => "panel",
            Self::Shop => "shop",
            Self::Stock => "stock",
            Self::Opened => "opened-up sizes",
            Self::Drying => "drying log",
            Self::Climate => "readings of the air",
            Self::Prices => "prices",
            Self::Labour => "hours of work",
            Self::Rules => "rule changes",
        }
    }

    fn fields(self) -> &'static [&'static str] {
        match self {
            Self::Survey => fields_of::<Survey>(),
            Self::Body => fields_of::<Body>(),
            Self::Panel => fields_of::<Panel>(),
            Self::Shop => fields_of::<Shop>(),
            Self::Stock => fields_of::<Stock>(),
            Self::Opened => fields_of::<OpenedSizes>(),
            Self::Drying => fields_of::<DryingLog>(),
            Self::Climate => fields_of::<ClimateLog>(),
            Self::Prices => fields_of::<PriceFile>(),
            Self::Labour => fields_of::<LabourTable>(),
            Self::Rules => fields_of::<Changes>(),
        }
    }

    /// Fields that no other file has and that say what it is, whatever else is in it.
    const fn telling(self) -> &'static [&'static str] {
        match self {
            Self::Survey => &["marks", "client", "fixing_states"],
            Self::Body => &["built", "refinished"],
            Self::Panel => &["surface", "mirror_of", "laminate"],
            Self::Shop => &["day_c", "night_c", "climate"],
            Self::Stock => &["mats", "resins", "gel_coat"],
            Self::Opened => &["found", "survey"],
            Self::Drying => &["readings"],
            Self::Climate => &["hours"],
            Self::Prices => &["currency", "prices_include_tax"],
            Self::Labour => &["work"],
            Self::Rules => &["changes"],
        }
    }
}

/// Tells what a file is.
///
/// # Errors
/// When none of its outermost fields is a field of any file.
pub fn kind(loaded: &Loaded) -> Result<FileKind, Diagnostic> {
    let mut best: Option<(usize, FileKind)> = None;
    for kind in FileKind::ALL {
        let (fields, telling) = (kind.fields(), kind.telling());
        let count = loaded
            .positions
            .outer_fields()
            .filter(|name| *name != "format")
            .map(|name| usize::from(fields.contains(&name)) + usize::from(telling.contains(&name)))
            .sum::<usize>();
        // A body differs from a survey that only lists panels by having a name.
        let named = kind == FileKind::Body && loaded.written("name").is_some();
        let count = count * 2 + usize::from(count > 0 && named);
        if count > best.map_or(0, |(most, _)| most) {
            best = Some((count, kind));
        }
    }
    best.map(|(_, kind)| kind).ok_or_else(|| {
        loaded.fault(
            "",
            "READ-KIND",
            "none of its fields says what this file is",
            "a survey, body, panel, shop, stock, drying log, readings of the air, prices, file of opened-up sizes, of hours of work or of rule changes",
            "compare it with the files that `plymend new` writes",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_told_apart_by_their_fields() {
        let files = [
            ("(format: 1, panels: [(name: \"lid\", generic: \"lid\")])", FileKind::Survey),
            ("(format: 1, marks: [])", FileKind::Survey),
            ("(format: 1, name: \"car\", panels: [(file: \"lid.ron\")])", FileKind::Body),
            (
                "(format: 1, name: \"lid\", surface: Flat(length_mm: 1, width_mm: 2))",
                FileKind::Panel,
            ),
            ("(format: 1, name: \"lid\", mirror_of: \"other.ron\")", FileKind::Panel),
            ("(format: 1, day_c: 20, night_c: 10)", FileKind::Shop),
            ("(format: 1, mats: [])", FileKind::Stock),
            ("(format: 1, changes: [])", FileKind::Rules),
            ("(format: 1, survey: \"survey.ron\", found: [])", FileKind::Opened),
            ("(format: 1, name: \"ours\", work: [])", FileKind::Labour),
            ("(format: 1, survey: \"survey.ron\", readings: [])", FileKind::Drying),
            ("(format: 1, name: \"garage\", hours: [])", FileKind::Climate),
            ("(format: 1, currency: \"pounds\", packs: [])", FileKind::Prices),
            ("(format: 1, climate: \"garage.ron\")", FileKind::Shop),
        ];
        for (text, expected) in files {
            assert_eq!(kind(&Loaded::new("file", text)).unwrap(), expected, "{text}");
        }
        assert_eq!(kind(&Loaded::new("file", "(format: 1)")).unwrap_err().code, "READ-KIND");
    }

    #[test]
    fn telling_fields_are_fields() {
        for kind in FileKind::ALL {
            assert!(kind.telling().iter().all(|name| kind.fields().contains(name)), "{kind:?}");
        }
    }
}
