//! Outlines of pieces: whether one can be cut at all, and a simpler one round it.

use nalgebra::{Point2, Vector2};

/// Closer than this is touching.
const TOUCHING_MM: f64 = 1e-7;
/// A piece whose mean width (twice the area over the perimeter) is less has no inside to speak of.
const LEAST_MEAN_WIDTH_MM: f64 = 0.1;
/// A coordinate beyond this is no length of a workshop.
const FARTHEST_MM: f64 = 1e6;

/// Why an outline cannot be cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineFault {
    /// A coordinate is no number, or lies beyond a kilometre.
    NotALength,
    /// Fewer than three different points, or hardly any inside.
    NoInside,
    /// Two edges, given by the numbers of their first points, cross or touch.
    CrossesItself(usize, usize),
}

/// Counter-clockwise, without repeated points.
///
/// # Errors
/// What is wrong with it.
pub(super) fn checked(points: &[Point2<f64>]) -> Result<Vec<Point2<f64>>, OutlineFault> {
    if points.iter().any(|p| p.coords.iter().any(|c| !c.is_finite() || c.abs() > FARTHEST_MM)) {
        return Err(OutlineFault::NotALength);
    }
    let mut kept: Vec<(usize, Point2<f64>)> = Vec::with_capacity(points.len());
    for (number, point) in points.iter().enumerate() {
        if kept.last().is_none_or(|(_, last)| (point - last).norm() > TOUCHING_MM) {
            kept.push((number, *point));
        }
    }
    while kept.len() > 1
        && kept.first().zip(kept.last()).is_some_and(|(a, b)| (a.1 - b.1).norm() <= TOUCHING_MM)
    {
        kept.pop();
    }
    let mut outline: Vec<Point2<f64>> = kept.iter().map(|(_, point)| *point).collect();
    let around: f64 = edges(&outline).map(|(a, b)| (b - a).norm()).sum();
    if outline.len() < 3 || around < TOUCHING_MM {
        return Err(OutlineFault::NoInside);
    }
    if let Some((first, second)) = crossing(&outline) {
        let number = |at: usize| kept.get(at).map_or(at, |(number, _)| *number);
        return Err(OutlineFault::CrossesItself(number(first), number(second)));
    }
    let area = signed_area_mm2(&outline);
    if 2.0 * area.abs() < LEAST_MEAN_WIDTH_MM * around {
        return Err(OutlineFault::NoInside);
    }
    if area < 0.0 {
        outline.reverse();
    }
    Ok(outline)
}

/// Edges of a closed outline in order.
pub(super) fn edges(
    outline: &[Point2<f64>],
) -> impl Iterator<Item = (Point2<f64>, Point2<f64>)> + '_ {
    outline.iter().copied().zip(outline.iter().copied().cycle().skip(1))
}

/// Area by the shoelace formula; positive counter-clockwise.
pub(super) fn signed_area_mm2(outline: &[Point2<f64>]) -> f64 {
    let Some(origin) = outline.first() else { return 0.0 };
    edges(outline).map(|(a, b)| cross(a - origin, b - origin)).sum::<f64>() / 2.0
}

/// The z of the cross product.
pub(super) fn cross(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// Distance from a point to a segment.
pub(super) fn to_segment_mm(p: Point2<f64>, a: Point2<f64>, b: Point2<f64>) -> f64 {
    let along = b - a;
    let square = along.norm_squared();
    let share = if square > 0.0 { ((p - a).dot(&along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p - (a + along * share)).norm()
}

/// Distance between two segments; 0 where they cross.
pub(super) fn between_segments_mm(
    (a, b): (Point2<f64>, Point2<f64>),
    (c, d): (Point2<f64>, Point2<f64>),
) -> f64 {
    let opposite = |p: Point2<f64>, q: Point2<f64>, r: Point2<f64>, s: Point2<f64>| {
        let (first, second) = (cross(q - p, r - p), cross(q - p, s - p));
        (first > 0.0 && second < 0.0) || (first < 0.0 && second > 0.0)
    };
    if opposite(a, b, c, d) && opposite(c, d, a, b) {
        return 0.0;
    }
    to_segment_mm(a, c, d)
        .min(to_segment_mm(b, c, d))
        .min(to_segment_mm(c, a, b))
        .min(to_segment_mm(d, a, b))
}

/// Two edges that cross or touch where they should not.
fn crossing(outline: &[Point2<f64>]) -> Option<(usize, usize)> {
    let all: Vec<_> = edges(outline).collect();
    let last = all.len().checked_sub(1)?;
    for (first, one) in all.iter().enumerate() {
        for (second, other) in all.iter().enumerate().skip(first + 1) {
            let next = second == first + 1;
            let touching = if next || (first == 0 && second == last) {
                // Neighbours share a corner; the one must not fold back along the other.
                let (before, after) = if next { (one, other) } else { (other, one) };
                let free = to_segment_mm(after.1, before.0, before.1);
                free.min(to_segment_mm(before.0, after.0, after.1))
            } else {
                between_segments_mm(*one, *other)
            };
            if touching <= TOUCHING_MM {
                return Some((first, second));
            }
        }
    }
    None
}

/// A simpler outline that holds the whole of this one (counter-clockwise) and goes beyond it by at
/// most `beyond_mm`: short edges give way to the corner of their neighbours, shallow bays are
/// filled. A step that would make the outline touch itself is left out.
pub(super) fn simpler(outline: &[Point2<f64>], beyond_mm: f64) -> Vec<Point2<f64>> {
    let original: Vec<_> = edges(outline).collect();
    let far = |p: Point2<f64>| {
        original.iter().map(|(a, b)| to_segment_mm(p, *a, *b)).fold(f64::INFINITY, f64::min)
    };
    let mut now = outline.to_vec();
    for share in [0.25, 0.5, 1.0] {
        let within = |p: Point2<f64>| far(p) <= beyond_mm * share;
        let mut untouched = 0;
        // The list is turned round one point at a time; a whole round without a change ends it.
        while untouched <= now.len() && now.len() > 3 {
            match step(&now, &within) {
                Some(fewer) => {
                    now = fewer;
                    untouched = 0;
                }
                None => untouched += 1,
            }
            now.rotate_left(1);
        }
    }
    now
}

/// One simplification at the second point of the list, if there is one.
fn step(now: &[Point2<f64>], within: &dyn Fn(Point2<f64>) -> bool) -> Option<Vec<Point2<f64>>> {
    let [a, b, c, rest @ ..] = now else { return None };
    let d = rest.first()?;
    let (first, middle, last) = (b - a, c - b, d - c);
    if cross(first, middle) <= 0.0 {
        let chord = c - a;
        let share = first.dot(&chord) / chord.norm_squared();
        let shallow = (0.0..=1.0).contains(&share)
            && within(a + chord * share)
            && within(nalgebra::center(a, c));
        let others = [&[*c], rest, &[*a]].concat();
        return (shallow && clear(&others, &[*a, *c])).then(|| [&[*a, *c], rest].concat());
    }
    let turning = cross(first, last);
    if cross(middle, last) <= 0.0 || turning <= 0.0 || first.dot(&last) < 0.0 {
        return None;
    }
    let corner = a + first * (cross(d - a, last) / turning);
    let others = [rest, &[*a]].concat();
    let fits = within(corner) && clear(&others, &[*a, corner, *d]);
    fits.then(|| [&[*a, corner], rest].concat())
}

/// Whether a new path keeps clear of the other edges, but for its own ends.
fn clear(others: &[Point2<f64>], path: &[Point2<f64>]) -> bool {
    let ends = [path.first(), path.last()];
    let is_end = |point: &Point2<f64>| ends.contains(&Some(point));
    others.iter().zip(others.iter().skip(1)).all(|(from, to)| {
        path.iter().zip(path.iter().skip(1)).all(|(p, q)| {
            let free_mm = match (is_end(from), is_end(to)) {
                (false, false) => between_segments_mm((*p, *q), (*from, *to)),
                // Edges that meet at an end: only the far end may come too close.
                (true, false) => to_segment_mm(*to, *p, *q),
                (false, true) => to_segment_mm(*from, *p, *q),
                (true, true) => f64::INFINITY,
            };
            free_mm > TOUCHING_MM
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::nest::random::Random;

    /// An uneven outline of many points, with bays.
    fn wavy(seed: u64, count: u32) -> Vec<Point2<f64>> {
        let mut random = Random::new(seed, 0);
        let waves = f64::from(2 + random.below(5) as u32);
        (0..count)
            .map(|step| {
                let angle = std::f64::consts::TAU * f64::from(step) / f64::from(count);
                let reach = 120.0 + 45.0 * (waves * angle).sin() + random.between(-0.1, 0.1);
                Point2::new(reach * angle.cos(), reach * angle.sin())
            })
            .collect()
    }

    #[test]
    fn a_simpler_outline_holds_the_whole_and_little_more() {
        for seed in 0..20 {
            let outline = wavy(seed, 240);
            let simple = simpler(&outline, 0.3);
            assert!(simple.len() < 160, "{}", simple.len());
            assert!(crossing(&simple).is_none());
            let grown = signed_area_mm2(&simple) - signed_area_mm2(&outline);
            let around: f64 = edges(&outline).map(|(a, b)| (b - a).norm()).sum();
            assert!(grown > 0.0 && grown < 0.3 * around, "{grown}");
            // Corners of the first lie within the second or on its rim.
            for p in &outline {
                let crossed = edges(&simple).filter(|(a, b)| {
                    (a.y > p.y) != (b.y > p.y)
                        && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y)
                });
                let inside = crossed.count() % 2 == 1;
                let rim = edges(&simple).map(|(a, b)| to_segment_mm(*p, a, b));
                assert!(inside || rim.fold(f64::INFINITY, f64::min) < 1e-9);
            }
            for p in &simple {
                let rim = edges(&outline).map(|(a, b)| to_segment_mm(*p, a, b));
                assert!(rim.fold(f64::INFINITY, f64::min) < 0.3 + 1e-9);
            }
        }
    }

    #[test]
    fn a_square_is_as_simple_as_can_be() {
        let square = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)];
        let square = square.map(|(x, y)| Point2::new(x, y));
        assert_eq!(simpler(&square, 0.3).len(), 4);
    }
}
