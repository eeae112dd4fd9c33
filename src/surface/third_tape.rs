//! A third tape: it chooses between two places, catches slips, and settles a place that two
//! tapes along the line of their landmarks leave open.
//!
//! Takes three distance fields with their readings, and the places that the first two allow;
//! gives the place that all three miss least. Lengths are mm.

use super::allowed::{Reading, allowed_region};
use super::mesh::{Mesh, MeshPoint};
use super::place::Place;
use super::trace::{Direction, trace};

/// A place by three tapes.
#[derive(Debug, Clone)]
pub struct Settled {
    /// The place.
    pub point: MeshPoint,
    /// The largest miss of any of the three tapes there, mm.
    pub worst_miss_mm: f64,
    /// Places that all three readings allow, this one first.
    pub allowed: Vec<MeshPoint>,
}

/// Steps of the search for the place that is missed least, mm.
const STEPS_MM: [f64; 8] = [8.0, 4.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05];

/// The place that three tapes miss least, among those that the first two allow.
#[must_use]
pub fn settle(
    mesh: &Mesh,
    first: &Reading<'_>,
    second: &Reading<'_>,
    third: &Reading<'_>,
    candidates: &[Place],
) -> Option<Settled> {
    let tapes = [first, second, third];
    let misses = |point: &MeshPoint| {
        tapes.map(|tape| (tape.field.at(point) - tape.tape_mm).abs().min(BEYOND_MM))
    };
    let squares = |point: &MeshPoint| misses(point).iter().map(|miss| miss * miss).sum::<f64>();
    let mut reached = Vec::new();
    for candidate in candidates {
        reached.extend(allowed_region(mesh, first, second, &candidate.point));
    }
    let start =
        reached.iter().copied().min_by(|one, other| squares(one).total_cmp(&squares(other)))?;
    let point = descend(mesh, start, &squares);
    let worst_miss_mm = misses(&point).into_iter().fold(0.0, f64::max);
    let mut allowed = vec![point];
    allowed.extend(
        reached
            .into_iter()
            .filter(|one| (third.field.at(one) - third.tape_mm).abs() <= third.width_mm),
    );
    Some(Settled { point, worst_miss_mm, allowed })
}

/// A miss larger than this says only that the tape does not lead there, mm.
const BEYOND_MM: f64 = 1e4;

fn descend(mesh: &Mesh, start: MeshPoint, cost: &dyn Fn(&MeshPoint) -> f64) -> MeshPoint {
    let everywhere = vec![true; mesh.faces.len()];
    let (mut best, mut least) = (start, cost(&start));
    for step_mm in STEPS_MM {
        // A few tries at each size: the start is within one step of the least already.
        for _ in 0..12 {
            let next = (0..8)
                .filter_map(|turn| {
                    let way = Direction::Degrees(f64::from(turn) * 45.0);
                    trace(mesh, &everywhere, best, way, step_mm).path.last().copied()
                })
                .map(|point| (cost(&point), point))
                .min_by(|one, other| one.0.total_cmp(&other.0));
            match next {
                Some((lower, point)) if lower < least => (best, least) = (point, lower),
                _ => break,
            }
        }
    }
    best
}
