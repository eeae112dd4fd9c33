//! What the panels over a seam mean for a mark: how near it comes to each, and what they refer.
//!
//! Over a seam the neighbour counts as the mark's own panel does, and the stricter of the two
//! holds. What the panel by itself would refer stays referred: a crack that goes on over the seam
//! may still go the other way. Lengths are mm over the skin.

use super::referral::{self, Judged, Nearby, Reason};
use super::{Finding, clearance};
use crate::model::panel::Fixings;
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::origin::Origin;
use crate::surface::placed::{OverSeam, PlacedPanel};

/// Panels farther over the skin than this from a mark are not measured to, mm, unless a row of the
/// fixings asks for more: no reach of a repair comes near it.
const LOOKED_MM: f64 = 600.0;
/// Places along one edge of a seam that are measured to.
const PLACES: u32 = 8;

/// How near a mark comes to one of the panels over a seam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The panel, by number into `PlacedPanel::over`.
    pub over: usize,
    /// Distance from the mark as it may be found in the high case, its place error included, mm;
    /// 0 or less where it may go over.
    pub least_mm: f64,
}

/// Measures to every panel over a seam.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub fn near(
    book: &Book,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
) -> Result<Vec<Near>, String> {
    let (mesh, placed, extents) = (&panel.mesh, &finding.placed, &finding.extents);
    let middle = mesh.position(&placed.at);
    let away = |at| (mesh.position(at) - middle).norm();
    let error_mm = placed.allowed.iter().map(away).fold(0.0, f64::max);
    let disc_mm = clearance::disc_mm(book, panel, placed, extents);
    let from: Vec<(Origin, f64)> = match disc_mm {
        Some(disc_mm) => vec![(Origin::point(placed.at), disc_mm)],
        None => std::iter::once(&extents.cases)
            .chain(extents.back.as_ref())
            .map(|cases| (cases.high.origin.clone(), cases.high.grown_mm))
            .collect(),
    };
    let mut least = vec![f64::INFINITY; panel.over.len()];
    for (origin, out_mm) in from {
        let limit_mm = LOOKED_MM.max(widest_mm(book)) + out_mm + error_mm;
        let field = DistanceField::spread(mesh, &panel.filled, &origin, limit_mm)
            .map_err(|why| why.to_string())?;
        for (least, over) in least.iter_mut().zip(&panel.over) {
            *least = least.min(to_seam_mm(&field, over) - out_mm - error_mm);
        }
    }
    let found = least.into_iter().enumerate().filter(|(_, least_mm)| least_mm.is_finite());
    Ok(found.map(|(over, least_mm)| Near { over, least_mm }).collect())
}

/// Distance to where a panel begins, never more than the true one.
fn to_seam_mm(field: &DistanceField<'_>, over: &OverSeam<'_>) -> f64 {
    let mesh = field.mesh();
    over.piece
        .entry
        .iter()
        .map(|(face, side)| {
            let step = 1.0 / f64::from(PLACES);
            let places = (0..=PLACES).map(|k| f64::from(k) * step);
            let nearest = places
                .map(|t| field.at(&mesh.on_edge(*face, *side, t)))
                .fold(f64::INFINITY, f64::min);
            nearest - mesh.edge_length_mm(*face, *side) * step / 2.0
        })
        .fold(f64::INFINITY, f64::min)
}

/// Adds what the panels over a seam refer, and what the panel by itself would.
pub(super) fn judge<'j>(
    book: &Book,
    panel: &PlacedPanel<'_>,
    found: &mut Finding<'j>,
    alone: Finding<'j>,
) {
    if !found.is_repaired() {
        let reasons = reasons(book, panel, found, 0.0);
        found.judged.reasons.extend(reasons);
        for near in found.over.iter().filter(|near| near.least_mm <= 0.0) {
            let Some(over) = panel.over.get(near.over) else { continue };
            found.judged.nearby.push(Nearby {
                rule: id::OVER_SEAM,
                text: format!("it may go on over the seam on to the {}", over.of.name),
            });
        }
    }
    for reason in &alone.judged.reasons {
        let same = |known: &Reason| {
            (known.rule, known.carries, &known.over) == (reason.rule, reason.carries, &reason.over)
        };
        if !found.judged.reasons.iter().any(same) {
            found.judged.reasons.push(reason.clone());
        }
    }
    for near in &alone.judged.nearby {
        if !found.judged.nearby.contains(near) {
            found.judged.nearby.push(near.clone());
        }
    }
    if found.judged.bracket_cause.is_none() && alone.judged.bracket_cause.is_some() {
        found.judged.bracket_cause.clone_from(&alone.judged.bracket_cause);
    }
    if found.open_cause.is_none() {
        found.open_cause.clone_from(&alone.open_cause);
    }
    found.judged.in_order();
    found.alone = Some(Box::new(alone));
}

/// The farthest that any row of the fixings asks about, mm.
fn widest_mm(book: &Book) -> f64 {
    [
        id::REFER_VITAL,
        id::REFER_MOVING,
        id::REFER_BODY_MOUNT,
        id::REFER_BODY_MOUNT_GEL,
        id::REFER_BRACKET,
    ]
    .map(|rule| book.figure(rule))
    .into_iter()
    .fold(0.0, f64::max)
}

/// What the panels refer that something comes on to which goes so far beyond the mark, mm.
#[must_use]
pub fn reasons(
    book: &Book,
    panel: &PlacedPanel<'_>,
    found: &Finding<'_>,
    beyond_mm: f64,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for near in &found.over {
        let Some(over) = panel.over.get(near.over) else { continue };
        let of = &over.of.panel;
        let mut there = Judged::default();
        let paint_only = referral::is_paint_only(&found.depth);
        if near.least_mm <= beyond_mm {
            referral::by_material(of, of.back, &found.depth, &mut there);
            if !paint_only {
                referral::by_role(of, of.back, &found.depth, &found.placed, &mut there);
            }
        }
        // A fixing nobody has listed may stand at the seam itself.
        let in_reach = near.least_mm <= beyond_mm.max(widest_mm(book));
        if in_reach && !paint_only && matches!(of.fixings, Fixings::Unknown) {
            referral::by_unknown_fixings(of, &mut there);
        }
        reasons.extend(there.reasons.into_iter().map(|reason| Reason {
            text: format!("over the seam, on the {}: {}", over.of.name, reason.text),
            over: Some(over.of.name.clone()),
            ..reason
        }));
    }
    reasons
}
