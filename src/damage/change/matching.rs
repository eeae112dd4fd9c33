//! Which marks of two surveys are one on the body?
//!
//! Two marks on one panel and side, of kinds that can pass into each other, may be one where their
//! seen forms lie on one another within both place errors, and their middles no farther apart than
//! the root of the sum of squares of place errors and half sizes. Who is who is then settled for all
//! marks together, the best fit of place, size and kind first. What is left over and lies within a
//! mark that has become smaller is a part of it; what lies within one that has become larger has run
//! into it. Lengths mm.

#![allow(
    clippy::indexing_slicing,
    reason = "spots are numbered by the lists they stand in, and a side is 0 or 1"
)]

use rayon::prelude::*;

use super::assign::{Pair, choose};
use super::kinds::{Turn, turn};
use super::{Looked, claim};
use crate::damage::Finding;
use crate::rules::id;
use crate::surface::field::DistanceField;
use crate::surface::marks::Form;
use crate::surface::mesh::MeshPoint;
use crate::surface::origin::{Inside, Origin, Piece};
use crate::surface::placed::PlacedPanel;

/// Half-widths at 95 % to standard deviations of a normal error.
const DEVIATIONS: f64 = 1.959_964;
/// What place, size and kind may cost at most; staying alone costs more than all three (choice, tried
/// on the generated pairs of the tests).
const DEAREST: [f64; 3] = [8.0, 4.0, 3.0];
/// A size that is e times another costs as much as two deviations of place (choice).
const SIZE_SPREAD: f64 = 0.5;

/// Marks that are one on the body.
#[derive(Debug, Clone, Default)]
pub struct Group {
    /// Numbers in the earlier findings.
    pub earlier: Vec<usize>,
    /// Numbers in the later findings.
    pub later: Vec<usize>,
    /// How far apart the middles lie over the skin, mm.
    pub moved_mm: Option<f64>,
    /// Both place errors together, mm.
    pub place_error_mm: Option<f64>,
    /// Farther than place errors and growth explain.
    pub moved_beyond: bool,
}

impl Group {
    pub(super) fn only_earlier(number: usize) -> Self {
        Self { earlier: vec![number], ..Self::default() }
    }

    pub(super) fn only_later(number: usize) -> Self {
        Self { later: vec![number], ..Self::default() }
    }
}

/// A mark as it lies on the skin.
struct Spot<'a> {
    number: usize,
    of: &'a Finding<'a>,
    half_mm: f64,
    error_mm: f64,
    /// It may lie anywhere in a disc about its middle.
    loose: bool,
    points: Vec<MeshPoint>,
}

impl<'a> Spot<'a> {
    fn new(survey: &Looked<'a>, number: usize) -> Option<Self> {
        let of = survey.findings.get(number)?;
        let (half_mm, loose) = match &of.placed.form {
            Form::Line(line) => (line.length_mm / 2.0, !line.known_direction),
            Form::Patch(patch) => {
                (patch.length_mm / 2.0, !patch.known_angle && !patch.turns_into_itself)
            }
        };
        let mut points = vec![of.placed.at];
        for piece in &of.extents.seen.origin.pieces {
            match *piece {
                Piece::Point(point) => points.push(point),
                Piece::Segment { face, from, to } => {
                    points.extend(
                        [from, (from + to) / 2.0, to].map(|weights| MeshPoint { face, weights }),
                    );
                }
            }
        }
        // The looser axis: a tape that grazes leaves a place open along it.
        let error_mm = of.placed.place_error_mm.max(of.placed.ellipse.long_mm.min(half_metre()));
        Some(Self { number, of, half_mm, error_mm, loose, points })
    }

    fn origin(&self) -> &'a Origin {
        &self.of.extents.seen.origin
    }

    fn holds(&self, panel: &PlacedPanel<'_>, at: &MeshPoint) -> bool {
        let outline = self.origin().filled.clone();
        outline.is_some_and(|outline| Inside::new(outline).holds(panel.mesh.grid(at)))
    }
}

/// Tapes along one line leave an axis without end; beyond this no two marks are one.
const fn half_metre() -> f64 {
    500.0
}

/// The way two marks may be one.
struct Fit {
    pair: Pair,
    apart_mm: f64,
    error_mm: f64,
    beyond: bool,
}

/// Groups of the marks of one panel, in the order of the earlier marks, then of the later.
///
/// # Errors
/// When the mesh is far too fine.
pub(super) fn groups(
    earlier: &Looked<'_>,
    later: &Looked<'_>,
    panel: &PlacedPanel<'_>,
    before: &[usize],
    now: &[usize],
) -> Result<Vec<Group>, String> {
    let reach = later.job.book.figure(id::CHANGE_MATCH);
    let before: Vec<Spot<'_>> = before.iter().filter_map(|one| Spot::new(earlier, *one)).collect();
    let now: Vec<Spot<'_>> = now.iter().filter_map(|one| Spot::new(later, *one)).collect();
    let fits: Vec<Fit> = before
        .par_iter()
        .enumerate()
        .map(|(number, one)| fits_of(panel, reach, (number, one), &now))
        .collect::<Result<Vec<_>, String>>()?
        .into_iter()
        .flatten()
        .collect();
    let pairs: Vec<Pair> = fits.iter().map(|fit| fit.pair).collect();
    let alone = DEAREST.iter().sum::<f64>() + 1.0;
    let mut met: Vec<Met<'_>> = choose(&pairs, alone)
        .into_iter()
        .filter_map(|number| fits.get(number))
        .map(|fit| Met { ends: [vec![fit.pair.earlier], vec![fit.pair.later]], fit })
        .collect();
    let claimed_mm = claim::end_error_mm(earlier.job).hypot(claim::end_error_mm(later.job));
    let spots = [before, now];
    // Parts of an earlier mark first, then marks that ran into a later one.
    for whole in [0, 1] {
        adopt(panel, reach, claimed_mm, &spots, whole, &mut met)?;
    }
    Ok(named(&spots, &met))
}

/// Marks that have met, by their numbers among the spots of the earlier and the later survey.
struct Met<'f> {
    ends: [Vec<usize>; 2],
    fit: &'f Fit,
}

/// Gives what is left over of one survey to the marks of the other that it lies within, where that
/// one is matched to a mark smaller by more than error. `whole` says which survey has the wholes.
fn adopt(
    panel: &PlacedPanel<'_>,
    reach: f64,
    claimed_mm: f64,
    spots: &[Vec<Spot<'_>>; 2],
    whole: usize,
    met: &mut [Met<'_>],
) -> Result<(), String> {
    let parts = 1 - whole;
    let taken: Vec<usize> = met.iter().flat_map(|met| met.ends[parts].iter().copied()).collect();
    for (number, part) in spots[parts].iter().enumerate() {
        if taken.contains(&number) {
            continue;
        }
        let mut nearest: Option<(f64, usize)> = None;
        for (place, met) in met.iter().enumerate() {
            let ([only], Some(first)) = (met.ends[whole].as_slice(), met.ends[parts].first())
            else {
                continue;
            };
            let (within, first) = (&spots[whole][*only], &spots[parts][*first]);
            let kinds = [within, part].map(|spot| spot.of.mark().kind);
            if 2.0 * (within.half_mm - first.half_mm) <= claimed_mm
                || turn(kinds[whole], kinds[parts]).is_none()
            {
                continue;
            }
            if let Some(mm) = lies_within(panel, reach, within, part)?
                && nearest.is_none_or(|(best, _)| mm < best)
            {
                nearest = Some((mm, place));
            }
        }
        if let Some((_, place)) = nearest {
            met[place].ends[parts].push(number);
        }
    }
    Ok(())
}

/// Groups with the numbers that the findings have, what is left over alone.
fn named(spots: &[Vec<Spot<'_>>; 2], met: &[Met<'_>]) -> Vec<Group> {
    let numbers = |side: usize, of: &[usize]| -> Vec<usize> {
        let mut found: Vec<usize> = of.iter().map(|number| spots[side][*number].number).collect();
        found.sort_unstable();
        found
    };
    let mut groups: Vec<Group> = met
        .iter()
        .map(|met| {
            let single = met.ends.iter().all(|end| end.len() == 1);
            Group {
                earlier: numbers(0, &met.ends[0]),
                later: numbers(1, &met.ends[1]),
                moved_mm: single.then_some(met.fit.apart_mm),
                place_error_mm: Some(met.fit.error_mm),
                moved_beyond: single && met.fit.beyond,
            }
        })
        .collect();
    let [earlier, later] = [0, 1].map(|side| -> Vec<usize> {
        let taken: Vec<usize> = met.iter().flat_map(|met| met.ends[side].clone()).collect();
        (0..spots[side].len()).filter(|number| !taken.contains(number)).collect()
    });
    groups.extend(earlier.iter().map(|one| Group::only_earlier(spots[0][*one].number)));
    groups.extend(later.iter().map(|one| Group::only_later(spots[1][*one].number)));
    let first = |of: &[usize]| of.first().copied().unwrap_or(usize::MAX);
    groups.sort_by_key(|group| (first(&group.earlier), first(&group.later)));
    groups
}

/// Every way one earlier mark may be a later one.
fn fits_of(
    panel: &PlacedPanel<'_>,
    reach: f64,
    (number, one): (usize, &Spot<'_>),
    now: &[Spot<'_>],
) -> Result<Vec<Fit>, String> {
    let place = panel.mesh.position(&one.of.placed.at);
    let mut near = Vec::new();
    let (mut farthest_mm, mut loosest_mm) = (0.0_f64, 0.0_f64);
    for (other_number, other) in now.iter().enumerate() {
        let (was, is) = (one.of.mark(), other.of.mark());
        if was.side != is.side {
            continue;
        }
        let Some(turned) = turn(was.kind, is.kind) else { continue };
        let error_mm = one.error_mm.hypot(other.error_mm);
        let gate_mm = (reach * error_mm).hypot(one.half_mm).hypot(other.half_mm);
        // The straight way is never longer than the one over the skin.
        if (panel.mesh.position(&other.of.placed.at) - place).norm() <= gate_mm {
            farthest_mm = farthest_mm.max(gate_mm);
            loosest_mm = loosest_mm.max(reach * error_mm);
            near.push((other_number, other, turned, error_mm, gate_mm));
        }
    }
    if near.is_empty() {
        return Ok(Vec::new());
    }
    let from = |origin: &Origin, limit_mm: f64| {
        DistanceField::spread(&panel.mesh, &panel.filled, origin, limit_mm)
            .map_err(|why| why.to_string())
    };
    let middle = from(&Origin::point(one.of.placed.at), farthest_mm)?;
    let form = from(one.origin(), loosest_mm)?;
    let mut fits = Vec::new();
    for (other_number, other, turned, error_mm, gate_mm) in near {
        let apart_mm = middle.at(&other.of.placed.at);
        if apart_mm > gate_mm {
            continue;
        }
        let gap_mm = if one.loose || other.loose {
            apart_mm - one.half_mm - other.half_mm
        } else if other.holds(panel, &one.of.placed.at) {
            0.0
        } else {
            other.points.iter().map(|point| form.at(point)).fold(f64::INFINITY, f64::min)
        };
        if gap_mm > reach * error_mm {
            continue;
        }
        // Growth at one end moves the middle by half of it.
        let grown_mm = (one.half_mm - other.half_mm).abs();
        let off_mm = (apart_mm - grown_mm).max(0.0);
        let place = 0.5 * (off_mm * DEVIATIONS / error_mm).powi(2);
        let ratio = ((other.half_mm + error_mm) / (one.half_mm + error_mm)).ln();
        let size = 0.5 * (ratio / SIZE_SPREAD).powi(2);
        let kind = match turned {
            Turn::Same => 0.0,
            Turn::Graver => 1.0,
            Turn::Lighter | Turn::Unlike | Turn::Covered => 2.0,
        };
        let costs = [place, size, kind];
        let cost = costs.iter().zip(DEAREST).map(|(cost, most)| cost.min(most)).sum();
        let pair = Pair { earlier: number, later: other_number, cost };
        fits.push(Fit { pair, apart_mm, error_mm, beyond: off_mm > reach * error_mm });
    }
    Ok(fits)
}

/// How far a part's farthest point stands off a whole, mm; none where that is beyond both errors.
fn lies_within(
    panel: &PlacedPanel<'_>,
    reach: f64,
    whole: &Spot<'_>,
    part: &Spot<'_>,
) -> Result<Option<f64>, String> {
    if whole.of.mark().side != part.of.mark().side {
        return Ok(None);
    }
    let limit_mm = reach * whole.error_mm.hypot(part.error_mm);
    let places = [whole, part].map(|spot| panel.mesh.position(&spot.of.placed.at));
    let [from, to] = places;
    if (from - to).norm() > whole.half_mm * 2.0 + part.half_mm + limit_mm {
        return Ok(None);
    }
    let origin =
        if whole.loose { Origin::point(whole.of.placed.at) } else { whole.origin().clone() };
    let disc_mm = if whole.loose { whole.half_mm } else { 0.0 };
    let field = DistanceField::spread(&panel.mesh, &panel.filled, &origin, limit_mm + disc_mm)
        .map_err(|why| why.to_string())?;
    let farthest = part.points.iter().map(|point| field.at(point)).fold(0.0, f64::max);
    Ok((farthest - disc_mm <= limit_mm).then_some((farthest - disc_mm).max(0.0)))
}
