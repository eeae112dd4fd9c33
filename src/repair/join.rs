//! Which marks become one repair, which are held, and which are referred because of the repair
//! they would need.

use std::sync::Arc;

use super::over_seam;
use super::work::{MarkWork, Work};
use crate::damage::Finding;
use crate::damage::referral::{BODY_SPECIALIST, Reason};
use crate::model::panel::LoadRow;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::mesh::MeshPoint;
use crate::surface::origin::Piece;
use crate::surface::placed::{OverSeam, PlacedFixing, PlacedPanel};

/// The ground within some distance of an origin, mm.
#[derive(Debug, Clone)]
pub struct Ground<'p> {
    /// Distances from the origin.
    pub reach: Arc<DistanceField<'p>>,
    /// How far out the ground goes.
    pub out_mm: f64,
}

/// Whether any of one set of grounds meets any of another on the same panel.
#[must_use]
pub fn meet(one: &[Ground<'_>], other: &[Ground<'_>]) -> bool {
    one.iter().any(|a| other.iter().any(|b| pair_meets(a, b)))
}

fn pair_meets(a: &Ground<'_>, b: &Ground<'_>) -> bool {
    let mesh = a.reach.mesh();
    if !std::ptr::eq(mesh, b.reach.mesh()) || a.out_mm < 0.0 || b.out_mm < 0.0 {
        return false;
    }
    // A touch has no area: half a millimetre of ground on either side decides for touching.
    level::meet((&a.reach, a.out_mm + TOUCH_MM), (&b.reach, b.out_mm + TOUCH_MM), 2.0)
}

/// Grounds that come this close are taken to touch, mm.
const TOUCH_MM: f64 = 0.5;

/// Grounds of a mark's outermost plies and coats on its side, and of its backing, in a case.
#[must_use]
pub fn outermost<'p>(work: &MarkWork<'p, '_>, case: Case) -> (Vec<Ground<'p>>, Vec<Ground<'p>>) {
    let of = work.cases.get(case);
    let reach = work.reach.get(case);
    let front = of
        .parts
        .iter()
        .map(|part| Ground {
            reach: Arc::clone(reach),
            out_mm: part.removal_mm + part.outermost_mm(),
        })
        .collect();
    (front, backing_ground(work, of, case, 0.0))
}

fn backing_ground<'p>(
    work: &MarkWork<'p, '_>,
    of: &Work<'_>,
    case: Case,
    beyond_mm: f64,
) -> Vec<Ground<'p>> {
    let Some(reach) = work.back.get(case) else { return Vec::new() };
    of.backing
        .iter()
        .map(|backing| Ground {
            reach: Arc::clone(reach),
            out_mm: backing.removal_mm + backing.reach_mm + beyond_mm,
        })
        .collect()
}

/// Prepared ground of a mark in the high case, on both sides.
#[must_use]
pub fn prepared<'p>(book: &Book, work: &MarkWork<'p, '_>, side: Side) -> Vec<Ground<'p>> {
    let case = Case::High;
    let beyond_mm = match side {
        Side::Outer => book.figure(id::PREPARED),
        Side::Back => book.figure(id::BACKING_PREPARED),
    };
    let of = work.cases.get(case);
    let mut ground: Vec<Ground<'p>> = of
        .parts
        .iter()
        .map(|part| Ground {
            reach: Arc::clone(work.reach.get(case)),
            out_mm: part.removal_mm + part.outermost_mm() + beyond_mm,
        })
        .collect();
    ground.extend(backing_ground(work, of, case, book.figure(id::BACKING_PREPARED)));
    ground
}

/// The ground a mark itself may be found on in the high case, on the mesh of `host`.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub fn extent_ground<'p>(
    panels: &'p [PlacedPanel<'_>],
    host: usize,
    finding: &Finding<'_>,
) -> Result<Vec<Ground<'p>>, String> {
    let Some(panel) = panels.get(host) else { return Ok(Vec::new()) };
    let side = finding.mark().side;
    let alone = finding.alone.as_ref().map(|alone| &alone.extents);
    let mut found = Vec::new();
    // A crack at a seam may go over it or back into its own panel: both are doubtful.
    for extents in std::iter::once(&finding.extents).chain(alone) {
        let own = (side, &extents.cases.high);
        let back = extents.back.as_ref().map(|cases| (Side::Back, &cases.high));
        for (side, extent) in std::iter::once(own).chain(back) {
            let origin = over_seam::carried(panels, (finding.placed.panel, host), &extent.origin)?;
            let limit_mm = extent.grown_mm + 2.0;
            let reach = DistanceField::spread(&panel.mesh, panel.side(side), &origin, limit_mm)
                .map_err(|why| why.to_string())?;
            found.push(Ground { reach: Arc::new(reach), out_mm: extent.grown_mm });
        }
    }
    Ok(found)
}

/// Whether a ply reaching out so far from a referred mark might meet a fixing that is not yet
/// among its reasons: by the straight way, which is never longer than the one over the skin.
#[must_use]
pub fn may_reach_more(panel: &PlacedPanel<'_>, finding: &Finding<'_>, plies_mm: f64) -> bool {
    if !panel.over.is_empty() {
        return true;
    }
    let mesh = &panel.mesh;
    let middle = mesh.position(&finding.placed.at);
    let from_middle_mm = |at: &MeshPoint| (mesh.position(at) - middle).norm();
    let extents = [Some(&finding.extents.cases), finding.extents.back.as_ref()];
    let spread_mm = extents
        .into_iter()
        .flatten()
        .flat_map(|cases| &cases.high.origin.pieces)
        .flat_map(|piece| match *piece {
            Piece::Point(point) => [point, point],
            Piece::Segment { face, from, to } => {
                [from, to].map(|weights| MeshPoint { face, weights })
            }
        })
        .map(|at| from_middle_mm(&at))
        .fold(0.0, f64::max);
    panel.fixings.iter().any(|fixing| {
        let known = finding.judged.reasons.iter().any(|one| one.carries == Some(fixing.of.carries));
        !known
            && takes_no_ply(fixing)
            && from_middle_mm(&fixing.at) - spread_mm - fixing.radius_mm <= plies_mm
    })
}

/// A ply may not go over it.
fn takes_no_ply(fixing: &PlacedFixing<'_>) -> bool {
    matches!(fixing.of.carries.row(), LoadRow::Vital | LoadRow::Moving | LoadRow::BodyMount)
}

/// Fixings whose footprint a ply would reach: a reason to refer the mark.
#[must_use]
pub fn plies_at_fixings<'a>(panel: &'a PlacedPanel<'_>, work: &MarkWork<'_, '_>) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let case = Case::High;
    let of = work.cases.get(case);
    let own = panel.fixings.iter().map(|fixing| (fixing, None));
    let over = |over: &'a OverSeam<'_>| over.fixings.iter().map(|fixing| (fixing, Some(over.of)));
    for (fixing, over) in own.chain(panel.over.iter().flat_map(over)) {
        if !takes_no_ply(fixing) {
            continue;
        }
        let front_mm = of
            .parts
            .iter()
            .filter_map(|part| part.plies.last().map(|ply| part.removal_mm + ply.reach_mm))
            .fold(None, |most: Option<f64>, reach| {
                Some(most.map_or(reach, |known| known.max(reach)))
            });
        let share_mm = of.mat_on_share.and_then(|_| of.parts.first().map(|part| part.removal_mm));
        let behind = of.backing.iter().map(|backing| backing.removal_mm + backing.reach_mm);
        let back_mm = behind.reduce(f64::max);
        let within = |reach: &DistanceField<'_>, out_mm: Option<f64>| {
            out_mm.is_some_and(|out_mm| reach.at(&fixing.at) - fixing.radius_mm <= out_mm)
        };
        let front = work.reach.get(case);
        let reached = within(front, front_mm)
            || within(front, share_mm)
            || work.back.get(case).as_ref().is_some_and(|back| within(back, back_mm));
        if reached {
            reasons.push(Reason {
                rule: id::REFER_PLY_AT_FIXING,
                text: format!(
                    "a ply of its repair would reach {:?}{}, which carries: {}",
                    fixing.of.name,
                    over.map_or_else(String::new, |of| format!(
                        " of the {} over the seam",
                        of.name
                    )),
                    fixing.of.carries.words()
                ),
                who: BODY_SPECIALIST,
                carries: Some(fixing.of.carries),
                over: over.map(|of| of.name.clone()),
            });
        }
    }
    reasons
}

/// Joins marks that touch; the answer is a group number a mark, numbered in order of first mark.
#[must_use]
pub fn groups(count: usize, touches: &dyn Fn(usize, usize) -> bool) -> Vec<usize> {
    let mut group: Vec<usize> = (0..count).collect();
    for one in 0..count {
        for other in (one + 1)..count {
            let (Some(&a), Some(&b)) = (group.get(one), group.get(other)) else { continue };
            if a != b && touches(one, other) {
                let (keep, gone) = (a.min(b), a.max(b));
                for number in &mut group {
                    if *number == gone {
                        *number = keep;
                    }
                }
            }
        }
    }
    group
}
