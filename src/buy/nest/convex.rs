//! Outlines divided into convex parts: ears are cut off until triangles are left, then triangles
//! are joined again as long as they stay convex (S. Hertel and K. Mehlhorn, "Fast triangulation of
//! simple polygons", 1983: at most four times the least number of parts).

use std::collections::BTreeMap;

use nalgebra::Point2;

use super::outline::cross;

type Part = Vec<usize>;

/// Convex parts, counter-clockwise, that fill a simple counter-clockwise outline; `None` where
/// rounding leaves no ear to cut.
pub(super) fn parts(outline: &[Point2<f64>]) -> Option<Vec<Vec<Point2<f64>>>> {
    let at = |number: usize| outline.get(number).copied().unwrap_or_default();
    let joined = join(triangles(outline)?, &at);
    Some(joined.iter().map(|part| part.iter().map(|number| at(*number)).collect()).collect())
}

/// Positive where three points turn left.
fn turning(at: &dyn Fn(usize) -> Point2<f64>, a: usize, b: usize, c: usize) -> f64 {
    cross(at(b) - at(a), at(c) - at(a))
}

/// Cuts ears, the bluntest first, so that slivers stay few.
fn triangles(outline: &[Point2<f64>]) -> Option<Vec<Part>> {
    let at = |number: usize| outline.get(number).copied().unwrap_or_default();
    let mut left: Vec<usize> = (0..outline.len()).collect();
    let mut found = Vec::with_capacity(outline.len());
    while left.len() > 3 {
        let count = left.len();
        let mut best: Option<(usize, f64)> = None;
        let around = left.iter().zip(left.iter().cycle().skip(1)).zip(left.iter().cycle().skip(2));
        for (place, ((a, b), c)) in around.enumerate() {
            let (a, b, c) = (*a, *b, *c);
            let area = turning(&at, a, b, c);
            let longest = (at(b) - at(a)).norm().max((at(c) - at(b)).norm());
            let bluntness = area / longest.max((at(c) - at(a)).norm()).powi(2);
            if area <= 0.0 || best.is_some_and(|(_, most)| bluntness <= most) {
                continue;
            }
            let inside = |p: usize| {
                turning(&at, a, b, p) >= 0.0
                    && turning(&at, b, c, p) >= 0.0
                    && turning(&at, c, a, p) >= 0.0
            };
            if !left.iter().any(|p| ![a, b, c].contains(p) && inside(*p)) {
                best = Some(((place + 1) % count, bluntness));
            }
        }
        let (place, _) = best?;
        let before = *left.get((place + count - 1) % count)?;
        let after = *left.get((place + 1) % count)?;
        found.push(vec![before, left.remove(place), after]);
    }
    found.push(left);
    Some(found)
}

/// Joins neighbours over the longest edge first where the whole stays convex.
fn join(parts: Vec<Part>, at: &dyn Fn(usize) -> Point2<f64>) -> Vec<Part> {
    let mut parts: Vec<Option<Part>> = parts.into_iter().map(Some).collect();
    loop {
        // The part on the left of every edge.
        let mut left_of: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (number, part) in parts.iter().enumerate() {
            for (a, b) in part.iter().flat_map(|part| part.iter().zip(part.iter().cycle().skip(1)))
            {
                left_of.insert((*a, *b), number);
            }
        }
        let mut shared: Vec<(f64, usize, usize)> = left_of
            .keys()
            .filter(|(a, b)| a < b && left_of.contains_key(&(*b, *a)))
            .map(|(a, b)| ((at(*b) - at(*a)).norm(), *a, *b))
            .collect();
        shared.sort_by(|one, other| other.0.total_cmp(&one.0));
        let merged = shared.iter().find_map(|(_, a, b)| {
            let (one, other) = (*left_of.get(&(*a, *b))?, *left_of.get(&(*b, *a))?);
            let whole = merged(parts.get(one)?.as_ref()?, parts.get(other)?.as_ref()?, *a, *b)?;
            is_convex(&whole, at).then_some((one, other, whole))
        });
        let Some((one, other, whole)) = merged else { break };
        for (number, part) in parts.iter_mut().enumerate() {
            if number == other {
                *part = None;
            } else if number == one {
                *part = Some(whole.clone());
            }
        }
    }
    parts.into_iter().flatten().collect()
}

/// Two parts with the edge from a to b (as the first has it) taken out.
fn merged(one: &Part, other: &Part, a: usize, b: usize) -> Option<Part> {
    let from = |part: &Part, first: usize| {
        let start = part.iter().position(|p| *p == first)?;
        Some(part.iter().copied().cycle().skip(start).take(part.len()).collect::<Vec<_>>())
    };
    // From b round to a, then on from a to b in the other, its own ends left out.
    let mut whole = from(one, b)?;
    let rest = from(other, a)?;
    whole.extend(rest.iter().skip(1).filter(|p| **p != b));
    Some(whole)
}

fn is_convex(part: &Part, at: &dyn Fn(usize) -> Point2<f64>) -> bool {
    let next = part.iter().zip(part.iter().cycle().skip(1)).zip(part.iter().cycle().skip(2));
    next.into_iter().all(|((a, b), c)| turning(at, *a, *b, *c) >= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::buy::nest::outline::signed_area_mm2;

    fn star(points: usize) -> Vec<Point2<f64>> {
        (0..2 * points)
            .map(|step| {
                let reach = if step % 2 == 0 { 100.0 } else { 45.0 };
                let angle = std::f64::consts::PI * step as f64 / points as f64;
                Point2::new(reach * angle.cos(), reach * angle.sin())
            })
            .collect()
    }

    #[test]
    fn parts_are_convex_and_fill_the_outline() {
        for points in 3..12 {
            let outline = star(points);
            let parts = parts(&outline).expect("divided");
            let sum: f64 = parts.iter().map(|part| signed_area_mm2(part)).sum();
            assert!((sum - signed_area_mm2(&outline)).abs() < 1e-8);
            // A part without an inward corner has at most one tip and its neighbours: at least
            // one part for every two inward corners (B. Chazelle and D. Dobkin, 1985).
            assert!(parts.len() > points / 2 && parts.len() <= 2 * points);
            for part in &parts {
                let numbers: Vec<usize> = (0..part.len()).collect();
                assert!(is_convex(&numbers, &|n| part[n]));
            }
        }
    }

    #[test]
    fn a_convex_outline_stays_whole() {
        let disc: Vec<_> = (0..40)
            .map(|step| {
                let angle = std::f64::consts::TAU * f64::from(step) / 40.0;
                Point2::new(angle.cos(), angle.sin())
            })
            .collect();
        assert_eq!(parts(&disc).map(|parts| parts.len()), Some(1));
    }
}
