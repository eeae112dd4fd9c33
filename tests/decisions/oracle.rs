//! What the rules say of a cell, from their wording alone: no line of the crate is called.

use super::cells::{Cell, Layer};

/// Error of a place read off the panel's grid, as a limit: one tape by one person and the
/// landmark's own, added straight, mm.
pub(crate) const PLACE_MM: f64 = 10.0 + 3.0;

/// Seen size of the mark, a square, mm.
pub(crate) const SIDE_MM: f64 = 20.0;

/// Outward growth in the high case, mm: every least move of the kinds used here (30, 50 and
/// 100 mm) is more than the mark's longer side, which caps it; the factors ask for less.
pub(crate) const GROWN_MM: f64 = SIDE_MM;

/// Radius of a footprint nobody has measured, mm.
pub(crate) const RIM_MM: f64 = 5.0;

/// What a cell says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    Repair,
    CauseFirst,
    Refer,
}

impl Verdict {
    /// Reads the word of a cell; nothing else is one.
    pub(crate) fn read(word: &str) -> Option<Self> {
        match word {
            "repair" => Some(Self::Repair),
            "repair, cause first" => Some(Self::CauseFirst),
            rule if rule.starts_with("REFER-") => Some(Self::Refer),
            _ => None,
        }
    }
}

/// The verdict of the rules.
pub(crate) fn verdict(cell: &Cell) -> Verdict {
    let below_paint = cell.layer != Layer::Paint;
    let at_laminate = matches!(cell.layer, Layer::Laminate | Layer::Through);
    // Material: cored, carbon and thermoplastic always; compression-moulded unless only a skin.
    let material = match cell.material {
        "cored" | "carbon_or_aramid" | "thermoplastic" => true,
        "compression_moulded" => cell.role != "skin",
        _ => false,
    };
    // A missing list is never none: every mark below paint, whatever the role.
    let no_list = cell.fixing.unlisted == "unknown" && below_paint;
    // Roles: at laminate depth on a stressed or unknown panel, or one that holds people.
    let role = matches!(cell.role, "stressed" | "unknown" | "holds_people") && at_laminate;
    // Distance from the rim to the nearest place at which the grown mark may be.
    let mm = cell.place.map_or(f64::INFINITY, |place| (place.from_rim_mm - PLACE_MM).max(0.0));
    let (carries, state) = cell.fixing.listed.unwrap_or(("nothing", "sound"));
    let failed = matches!(state, "loose" | "cracked" | "corroded_through" | "torn_out");
    let (limit_mm, first_cause) = match carries {
        "belt" => (300.0, false),
        "hinge" => (150.0, false),
        "body_mount" if at_laminate => (150.0, false),
        "body_mount" => (75.0, false),
        "bracket" => (75.0, cell.layer != Layer::Through && !failed),
        _ => (f64::NEG_INFINITY, false),
    };
    let near = mm <= limit_mm && below_paint;
    if material || no_list || role || (near && !first_cause) {
        Verdict::Refer
    } else if near {
        Verdict::CauseFirst
    } else {
        Verdict::Repair
    }
}
