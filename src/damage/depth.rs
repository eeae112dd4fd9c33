//! How deep a mark goes, case by case: as ground into, else assumed from its kind.

use crate::model::panel::{Covering, Panel, ParentPly};
use crate::model::shop::GelCracks;
use crate::model::survey::{BlisterLayer, Depth, Evidence, Mark, MarkKind};
use crate::quantity::{Case, Cases};
use crate::rules::{Book, id};

/// How far a repair has to go down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reaches {
    /// Paint only.
    Paint,
    /// Gel coat only.
    Gel,
    /// So much glass laminate, mm.
    Glass(f64),
}

impl Reaches {
    /// It goes into glass.
    #[must_use]
    pub const fn in_glass(self) -> bool {
        matches!(self, Self::Glass(_))
    }

    /// Depth of glass, mm.
    #[must_use]
    pub const fn glass_mm(self) -> f64 {
        match self {
            Self::Glass(depth_mm) => depth_mm,
            Self::Paint | Self::Gel => 0.0,
        }
    }
}

/// Make-up of the parent at a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parent {
    /// Glass laminate, mm.
    pub glass_mm: f64,
    /// Nobody has measured it.
    pub assumed: bool,
    /// Depth of the first glass, mm.
    pub first_glass_mm: f64,
    /// What was taken off the reading because it includes it, mm.
    pub taken_off_mm: f64,
}

/// Reads the make-up of a panel: glass laminate only, what the reading includes taken off.
#[must_use]
pub fn parent(panel: &Panel, book: &Book, ply_mm: impl Fn(&ParentPly) -> f64) -> Parent {
    let laminate = &panel.laminate;
    let assumed_mm = |given: Option<crate::quantity::Millimetres>, rule: &str| {
        given.map_or_else(|| book.figure(rule), |size| size.value())
    };
    let taken_off_mm: f64 = laminate
        .includes
        .iter()
        .map(|covering| match covering {
            Covering::Gel => assumed_mm(laminate.gel_mm, id::GEL_ASSUMED),
            Covering::Paint => assumed_mm(laminate.paint_mm, id::PAINT_ASSUMED),
        })
        .sum();
    let (glass_mm, assumed) = match laminate.thickness_mm {
        Some(reading) => (reading.value() - taken_off_mm, false),
        None => (book.figure(id::THICKNESS_ASSUMED), true),
    };
    let first_glass_mm = laminate
        .named_plies()
        .first()
        .map_or_else(|| book.figure(id::FIRST_GLASS), ply_mm)
        .min(glass_mm);
    Parent {
        glass_mm,
        assumed,
        first_glass_mm,
        taken_off_mm: if assumed { 0.0 } else { taken_off_mm },
    }
}

/// Depth of a mark in each case.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkDepth {
    /// In each case.
    pub cases: Cases<Reaches>,
    /// It is assumed from the kind of mark.
    pub assumed: bool,
    /// It goes through: by its kind or by what was recorded, never assumed.
    pub through: bool,
    /// In the high case the whole laminate goes.
    pub full: bool,
}

/// The depth of a mark in each case; gel cracks of unknown depth as the shop's habit takes them.
#[must_use]
pub fn of_mark(mark: &Mark, parent: &Parent, gel_cracks: GelCracks) -> MarkDepth {
    let (gel, first) = (Reaches::Gel, Reaches::Glass(parent.first_glass_mm));
    let (half, full) = (Reaches::Glass(parent.glass_mm / 2.0), Reaches::Glass(parent.glass_mm));
    let through = mark.kind.is_through() || mark.evidence.contains(&Evidence::Through);
    let same = |reaches| Cases { low: reaches, likely: reaches, high: reaches };
    let (cases, assumed) = match mark.depth {
        _ if through => (same(full), false),
        Depth::Paint => (same(Reaches::Paint), false),
        Depth::Gel => (same(gel), false),
        Depth::FirstGlass => (same(first), false),
        Depth::Half => (same(half), false),
        Depth::Full => (same(full), false),
        Depth::Glass(depth) => (same(Reaches::Glass(depth.value().min(parent.glass_mm))), false),
        Depth::Unknown
            if mark.kind == MarkKind::GelCrack && gel_cracks == GelCracks::ReachGlass =>
        {
            (Cases { low: gel, likely: first, high: first }, true)
        }
        Depth::Unknown => (by_kind(mark, gel, first, half, full), true),
    };
    let full = cases.high.glass_mm() >= parent.glass_mm - 1e-9;
    MarkDepth { cases, assumed, through, full }
}

fn by_kind(
    mark: &Mark,
    gel: Reaches,
    first: Reaches,
    half: Reaches,
    full: Reaches,
) -> Cases<Reaches> {
    let cases = |low, likely, high| Cases { low, likely, high };
    match mark.kind {
        MarkKind::Crazing | MarkKind::GelCrack | MarkKind::Chip => cases(gel, gel, first),
        MarkKind::Star | MarkKind::CrackAtFixing => cases(gel, first, full),
        MarkKind::Delamination => cases(half, half, full),
        MarkKind::OldRepair => cases(half, full, full),
        MarkKind::ThroughCrack | MarkKind::Hole | MarkKind::Other => cases(full, full, full),
        MarkKind::Blisters => match mark.layer {
            BlisterLayer::Paint => cases(Reaches::Paint, Reaches::Paint, gel),
            BlisterLayer::Gel | BlisterLayer::Unknown => cases(gel, gel, first),
            BlisterLayer::Laminate => cases(first, first, half),
        },
    }
}

/// In the high case a crazed patch of unknown depth keeps its gel job and needs one mat on a
/// share of it.
#[must_use]
pub fn is_craze_share(mark: &Mark, depth: &MarkDepth, case: Case) -> bool {
    mark.kind == MarkKind::Crazing && depth.assumed && case == Case::High
}

#[cfg(test)]
mod tests {
    use super::*;

    const PARENT: Parent =
        Parent { glass_mm: 3.0, assumed: false, first_glass_mm: 1.1, taken_off_mm: 0.0 };

    fn mark(text: &str) -> Mark {
        ron::from_str(text).unwrap()
    }

    #[test]
    fn depth_by_kind_follows_the_table() {
        let rows = [
            ("crazing", "gel", [None, None, Some(1.1)]),
            ("star", "gel", [None, Some(1.1), Some(3.0)]),
            ("delamination", "gel", [Some(1.5), Some(1.5), Some(3.0)]),
            ("old_repair", "gel", [Some(1.5), Some(3.0), Some(3.0)]),
            ("blisters", "laminate", [Some(1.1), Some(1.1), Some(1.5)]),
            ("blisters", "unknown", [None, None, Some(1.1)]),
            ("hole", "gel", [Some(3.0), Some(3.0), Some(3.0)]),
        ];
        for (kind, layer, expected) in rows {
            let mark = mark(&format!("(id: 1, panel: \"p\", kind: {kind}, layer: {layer})"));
            let depth = of_mark(&mark, &PARENT, GelCracks::Ask);
            assert!(kind == "hole" || depth.assumed);
            for (case, wanted) in Case::ALL.into_iter().zip(expected) {
                let found = *depth.cases.get(case);
                let found = found.in_glass().then(|| found.glass_mm());
                assert_eq!(found, wanted, "{kind} {layer} {}", case.word());
            }
        }
    }

    #[test]
    fn recorded_through_overrules_a_shallow_depth() {
        let mark = mark("(id: 1, panel: \"p\", kind: star, depth: gel, evidence: [through])");
        let depth = of_mark(&mark, &PARENT, GelCracks::Ask);
        assert!(depth.through);
        assert_eq!(depth.cases.low, Reaches::Glass(3.0));
    }
}
