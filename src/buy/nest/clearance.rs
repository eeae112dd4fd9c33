//! How much two shapes lack to the gap between them.
//!
//! Convex parts lie apart along some direction or they overlap; the directions to try are the
//! normals of their edges (the edges of the Minkowski sum of the one with the other turned about)
//! and, between two corners, the line from corner to corner. The best direction gives the distance
//! apart, or the shortest way apart where they overlap.

use nalgebra::Vector2;

use super::shape::{Bounds, Corner, Part, Turned};

/// Sum over the parts of what lacks to the gap, in mm; `offset` leads from the middle of the first
/// to that of the second. Stops adding beyond `enough`.
pub(super) fn lacking_mm(
    one: &Turned,
    other: &Turned,
    offset: &Vector2<f64>,
    gap_mm: f64,
    enough: f64,
) -> f64 {
    let mut sum = 0.0;
    if !near(&one.bounds, &other.bounds, offset, gap_mm) {
        return sum;
    }
    for mine in &one.parts {
        if !near(&mine.bounds, &other.bounds, offset, gap_mm) {
            continue;
        }
        for theirs in &other.parts {
            if near(&mine.bounds, &theirs.bounds, offset, gap_mm) {
                sum += (gap_mm - apart_mm(mine, theirs, offset, gap_mm)).max(0.0);
                if sum >= enough {
                    return sum;
                }
            }
        }
    }
    sum
}

/// Whether two rectangles come closer than the gap along both axes.
pub(super) fn near(one: &Bounds, other: &Bounds, offset: &Vector2<f64>, gap_mm: f64) -> bool {
    other.low.x + offset.x < one.high.x + gap_mm
        && other.low.y + offset.y < one.high.y + gap_mm
        && other.high.x + offset.x > one.low.x - gap_mm
        && other.high.y + offset.y > one.low.y - gap_mm
}

/// An edge, with how far the other part lies beyond it.
#[derive(Clone, Copy)]
struct Beyond<'p> {
    apart_mm: f64,
    edge: &'p Corner,
    edge_end: Vector2<f64>,
}

/// Distance between two convex parts, negative where they overlap (then the shortest way apart);
/// never more than the true distance. From `enough` on, any distance that far will do.
fn apart_mm(one: &Part, other: &Part, offset: &Vector2<f64>, enough: f64) -> f64 {
    let Some(first) = furthest(one, other, offset, enough) else { return f64::INFINITY };
    if first.apart_mm >= enough {
        return first.apart_mm;
    }
    let back = -offset;
    let Some(second) = furthest(other, one, &back, enough) else { return f64::INFINITY };
    let best = if second.apart_mm > first.apart_mm { second } else { first };
    if best.apart_mm >= enough || best.apart_mm <= 0.0 {
        return best.apart_mm;
    }
    // Apart, but less than wanted along normals: from corner to corner it may be further.
    let (mine, theirs, between) =
        if second.apart_mm > first.apart_mm { (other, one, &back) } else { (one, other, offset) };
    let from_ends = theirs.corners.iter().flat_map(|corner| {
        let at = corner.at + between;
        [at - best.edge.at, at - best.edge_end]
    });
    let shortest =
        from_ends.reduce(
            |least, next| {
                if next.norm_squared() < least.norm_squared() { next } else { least }
            },
        );
    let Some(direction) = shortest.and_then(|way| way.try_normalize(0.0)) else {
        return best.apart_mm;
    };
    let nearest = |part: &Part, towards: &Vector2<f64>| {
        part.corners.iter().map(|c| c.at.dot(towards)).fold(f64::INFINITY, f64::min)
    };
    let beyond = nearest(theirs, &direction) + between.dot(&direction);
    best.apart_mm.max(beyond + nearest(mine, &-direction))
}

/// The edge of the first part beyond which the second lies furthest. The other part holds a disc
/// about its middle, which bounds from above how far it can lie beyond an edge: most edges are
/// ruled out by that, the likeliest is measured first.
fn furthest<'p>(
    one: &'p Part,
    other: &Part,
    offset: &Vector2<f64>,
    enough: f64,
) -> Option<Beyond<'p>> {
    let middle = other.middle + offset;
    let bound = |edge: &Corner| edge.out.dot(&middle) - edge.reach - other.inner_mm;
    let (mut likeliest, mut most) = (0, f64::NEG_INFINITY);
    for (number, edge) in one.corners.iter().enumerate() {
        let this = bound(edge);
        if this > most {
            (likeliest, most) = (number, this);
        }
    }
    let mut nearest = 0;
    let mut measure = |number: usize, edge: &'p Corner| -> Option<Beyond<'p>> {
        let next = if number + 1 == one.corners.len() { 0 } else { number + 1 };
        let edge_end = one.corners.get(next)?.at;
        let low = lowest(&other.corners, &edge.out, &mut nearest)?;
        Some(Beyond { apart_mm: low + edge.out.dot(offset) - edge.reach, edge, edge_end })
    };
    let mut best = measure(likeliest, one.corners.get(likeliest)?)?;
    for (number, edge) in one.corners.iter().enumerate() {
        if best.apart_mm >= enough {
            break;
        }
        if bound(edge) > best.apart_mm && number != likeliest {
            let this = measure(number, edge)?;
            if this.apart_mm > best.apart_mm {
                best = this;
            }
        }
    }
    Some(best)
}

/// How low the corners of a convex part reach along a direction: downhill from the corner that was
/// nearest last, one way round or the other.
fn lowest(corners: &[Corner], direction: &Vector2<f64>, nearest: &mut usize) -> Option<f64> {
    let count = corners.len();
    let start = corners.get(*nearest)?.at.dot(direction);
    let mut low = start;
    let mut walk = |forward: bool, low: &mut f64| -> Option<()> {
        for _ in 0..count {
            let next = match (forward, *nearest) {
                (true, at) if at + 1 == count => 0,
                (true, at) => at + 1,
                (false, 0) => count - 1,
                (false, at) => at - 1,
            };
            let lower = corners.get(next)?.at.dot(direction);
            if lower > *low {
                break;
            }
            (*nearest, *low) = (next, lower);
        }
        Some(())
    };
    walk(true, &mut low)?;
    if low >= start {
        walk(false, &mut low)?;
    }
    Some(low)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::nest::random::Random;
    use crate::buy::nest::shape::{Lie, Shape};
    use nalgebra::Point2;

    fn square(side: f64) -> Shape {
        let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
        Shape::new(&corners.map(|(x, y)| Point2::new(x, y)), true, false).expect("a shape")
    }

    /// Closed form: squares of 10 and 6, side by side, corner to corner and one in the other.
    #[test]
    fn squares_lie_as_far_apart_as_their_sides_say() {
        let (one, other) = (square(10.0), square(6.0));
        let (one, other) = (one.turned(Lie::default()), other.turned(Lie::default()));
        let lacking = |x: f64, y: f64| lacking_mm(&one, &other, &Vector2::new(x, y), 5.0, 1e9);
        assert!((lacking(12.0, 0.0) - 1.0).abs() < 1e-12);
        assert!(lacking(13.0, 0.0).abs() < 1e-12);
        assert!(lacking(11.0, 12.0).abs() < 1e-12);
        assert!((lacking(9.0, 10.0) - (5.0 - 5_f64.sqrt())).abs() < 1e-12);
        assert!((lacking(0.0, 0.0) - 13.0).abs() < 1e-12);
        assert!((lacking(7.0, 1.0) - 6.0).abs() < 1e-12);
    }

    /// Two regular polygons of 32 corners: by symmetry the distance lies between that of the round
    /// discs through their corners and that of the discs within their edges.
    #[test]
    fn discs_lie_as_far_apart_as_their_radii_say() {
        let disc = |radius: f64| {
            let points: Vec<_> = (0..32)
                .map(|step| {
                    let angle = std::f64::consts::TAU * f64::from(step) / 32.0;
                    Point2::new(radius * angle.cos(), radius * angle.sin())
                })
                .collect();
            Shape::new(&points, true, false).expect("a shape")
        };
        let (one, other) = (disc(50.0), disc(20.0));
        let within = (std::f64::consts::PI / 32.0).cos();
        let mut random = Random::new(7, 0);
        for _ in 0..2000 {
            let full = 3_600_000;
            let lie = |random: &mut Random| Lie { turn: random.below(full) as u32, over: false };
            let (mine, theirs) = (one.turned(lie(&mut random)), other.turned(lie(&mut random)));
            let offset = Vector2::new(random.between(-90.0, 90.0), random.between(-90.0, 90.0));
            let lacking = lacking_mm(&mine, &theirs, &offset, 5.0, 1e9);
            let most = 75.0 - offset.norm();
            let least = 5.0 + 70.0 * within - offset.norm();
            assert!(lacking <= most.max(0.0) + 0.31, "{lacking} {most}");
            assert!(lacking >= least.max(0.0) - 0.31, "{lacking} {least}");
        }
    }
}
