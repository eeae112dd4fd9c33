//! Which ways a repair takes, from its marks, the material, what can be reached and the finish.

use super::super::Repair;
use super::super::work::{Method, back_within_reach};
use crate::damage::Finding;
use crate::damage::clearance::edge_distance_mm;
use crate::damage::depth::{Reaches, is_craze_share};
use crate::model::panel::{Material, Role};
use crate::model::survey::{Evidence, MarkKind, Side, Topcoat};
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

macro_rules! ways {
    ($($(#[$doc:meta])+ $way:ident = $name:literal),+ $(,)?) => {
        /// A way of working, in the order in which work goes on.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Way { $($(#[$doc])+ $way),+ }

        impl Way {
            /// Every way.
            pub const ALL: &[Self] = &[$(Self::$way),+];

            /// Its name in the table.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$way => $name),+ }
            }
        }
    };
}

ways! {
    /// Looked at again.
    Watch = "watch",
    /// Opened and dried before anything is laid.
    Wet = "wet",
    /// An old repair taken out.
    OldRepair = "old-repair",
    /// Parted layers opened.
    Delamination = "delamination",
    /// Injected, where opening up allows it.
    Injection = "injection",
    /// Marked by heat.
    Heat = "heat",
    /// Paint only.
    PaintOnly = "paint-only",
    /// Gel coat in a groove.
    GelGroove = "gel-groove",
    /// Gel coat and tissue over an area.
    GelArea = "gel-area",
    /// Laminate from one side.
    Laminate = "laminate",
    /// Laminate from both sides.
    Backed = "backed",
    /// Laminate on a former.
    Former = "former",
    /// The surface of a compression-moulded skin.
    PressedSurface = "pressed-surface",
    /// A compression-moulded skin.
    Pressed = "pressed",
    /// At an edge or return.
    Edge = "edge",
    /// Painted.
    PaintFinish = "paint-finish",
    /// Left in gel coat.
    GelFinish = "gel-finish",
}

/// A way with the marks it serves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// The way.
    pub way: Way,
    /// Marks it serves, by their numbers in the survey.
    pub marks: Vec<u32>,
    /// Only the high case needs it.
    pub only_if_deeper: bool,
}

/// The ways of a repair, in the order in which work goes on.
#[must_use]
pub fn ways(
    book: &Book,
    topcoat: Topcoat,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    repair: &Repair<'_>,
) -> Vec<Chosen> {
    let mut needed: Vec<(Way, u32, bool)> = Vec::new();
    for finding in repair.findings.iter().filter_map(|number| findings.get(*number)) {
        let mark = finding.mark();
        let on = panels.get(finding.placed.panel);
        let likely = glass_or_gel(on, repair, finding, Case::Likely);
        let high = glass_or_gel(on, repair, finding, Case::High);
        for way in likely {
            needed.push((way, mark.id, false));
        }
        for way in high {
            needed.push((way, mark.id, true));
        }
        if finding.wet {
            needed.push((Way::Wet, mark.id, false));
        }
        if may_inject(book, panels, repair, finding) {
            needed.push((Way::Injection, mark.id, false));
        }
        let in_glass = finding.depth.cases.likely.in_glass();
        if mark.evidence.contains(&Evidence::HeatNear) && !in_glass {
            needed.push((Way::Heat, mark.id, false));
        }
        if on.is_some_and(|panel| at_edge(panel, finding)) {
            needed.push((Way::Edge, mark.id, false));
        }
        if repair.side == Side::Outer {
            let gel = topcoat == Topcoat::GelFinish;
            let way = if gel { Way::GelFinish } else { Way::PaintFinish };
            needed.push((way, mark.id, false));
        }
    }
    let of_way = |way: Way| {
        let mut marks: Vec<u32> =
            needed.iter().filter(|one| one.0 == way).map(|one| one.1).collect();
        marks.sort_unstable();
        marks.dedup();
        let only_if_deeper = needed.iter().filter(|one| one.0 == way).all(|one| one.2);
        (!marks.is_empty()).then_some(Chosen { way, marks, only_if_deeper })
    };
    Way::ALL.iter().filter_map(|way| of_way(*way)).collect()
}

/// What a mark takes in one case, by how deep it goes there.
fn glass_or_gel(
    panel: Option<&PlacedPanel<'_>>,
    repair: &Repair<'_>,
    finding: &Finding<'_>,
    case: Case,
) -> Vec<Way> {
    let (mark, depth) = (finding.mark(), &finding.depth);
    let method = repair.areas.get(case).method;
    let reaches = *depth.cases.get(case);
    let pressed = repair.material == Material::CompressionMoulded;
    if is_craze_share(mark, depth, case) {
        return vec![if pressed { Way::PressedSurface } else { Way::GelArea }];
    }
    match reaches {
        Reaches::Paint => vec![Way::PaintOnly],
        // It has no gel coat of its own.
        Reaches::Gel if pressed => vec![Way::PressedSurface],
        Reaches::Gel => {
            let is_line = matches!(finding.placed.form, Form::Line(_));
            // Lines that lie close are laid out as an area.
            let area = !is_line || matches!(method, Method::GelArea | Method::GelAreaPartGlass);
            vec![if area { Way::GelArea } else { Way::GelGroove }]
        }
        Reaches::Glass(_) => {
            let mut found = Vec::new();
            match mark.kind {
                MarkKind::OldRepair => found.push(Way::OldRepair),
                MarkKind::Delamination => found.push(Way::Delamination),
                _ => {}
            }
            let full = depth.through || reaches.glass_mm() >= finding.parent.glass_mm - 1e-9;
            let reachable = panel.is_some_and(|panel| back_within_reach(finding, panel));
            found.push(if pressed {
                Way::Pressed
            } else if !full || mark.side == Side::Back {
                Way::Laminate
            } else if reachable {
                Way::Backed
            } else {
                Way::Former
            });
            found
        }
    }
}

/// Injection may be tried: one small delamination, read and dry, with nothing broken, on a skin.
fn may_inject(
    book: &Book,
    panels: &[PlacedPanel<'_>],
    repair: &Repair<'_>,
    finding: &Finding<'_>,
) -> bool {
    let mark = finding.mark();
    let only_skin = repair.panels.iter().all(|number| {
        panels
            .get(*number)
            .is_some_and(|panel| panel.of.panel.roles.iter().all(|role| *role == Role::Skin))
    });
    let broken = [Evidence::BrokenFibre, Evidence::Through, Evidence::Flexes];
    let small = repair.areas.high.removal_mm2 * 1e-6 <= book.figure(id::INJECT_MOST);
    mark.kind == MarkKind::Delamination
        && repair.findings.len() == 1
        && repair.material != Material::CompressionMoulded
        && only_skin
        && small
        && mark.reading.is_some()
        && finding.reads_dry
        && !finding.wet
        && !mark.evidence.iter().any(|seen| broken.contains(seen))
}

/// It may reach an edge of the panel or of an opening in the high case.
fn at_edge(panel: &PlacedPanel<'_>, finding: &Finding<'_>) -> bool {
    let high = &finding.extents.cases.high;
    match &finding.placed.form {
        Form::Line(_) => high.ends_on_edge > 0,
        // As a disc round it: a step too many does no harm, one too few might.
        Form::Patch(patch) => {
            let out_mm = patch.length_mm.hypot(patch.width_mm) / 2.0 + high.grown_mm;
            edge_distance_mm(panel, &finding.placed.at, out_mm) < out_mm
        }
    }
}
