//! Outlines on the sheet: area, what holds what, fewer corners, and cutting along a straight line.

use nalgebra::{Point2, Vector2};

/// A cut passes this far beside a corner at least, mm.
const BESIDE_MM: f64 = 1e-6;

/// Area by the shoelace formula, mm2; positive counter-clockwise.
pub(in crate::buy) fn signed_area_mm2(outline: &[Point2<f64>]) -> f64 {
    let Some(origin) = outline.first() else { return 0.0 };
    let cross = |(a, b): (&Point2<f64>, &Point2<f64>)| (a - origin).perp(&(b - origin));
    outline.iter().zip(outline.iter().cycle().skip(1)).map(cross).sum::<f64>() / 2.0
}

/// Whether an outline holds a point (crossings of a ray; textbook).
pub(in crate::buy) fn holds(outline: &[Point2<f64>], point: &Point2<f64>) -> bool {
    let edges = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = edges.filter(|(a, b)| {
        (a.y > point.y) != (b.y > point.y)
            && point.x < a.x + (point.y - a.y) * (b.x - a.x) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

/// Counter-clockwise, with as few corners as lie within `off_mm` of the outline (Douglas and Peucker,
/// 1973; published), and then drawn to the outline's own area about its middle.
pub(super) fn simpler(outline: &[Point2<f64>], off_mm: f64) -> Vec<Point2<f64>> {
    let mut outline = outline.to_vec();
    if signed_area_mm2(&outline) < 0.0 {
        outline.reverse();
    }
    let Some(first) = outline.first().copied() else { return outline };
    let away = |p: &Point2<f64>| (p - first).norm();
    let far = (0..outline.len())
        .max_by(|a, b| {
            let of = |n: &usize| outline.get(*n).map_or(0.0, away);
            of(a).total_cmp(&of(b))
        })
        .unwrap_or(0);
    let (one, other) = outline.split_at(far);
    let back: Vec<Point2<f64>> = other.iter().copied().chain([first]).collect();
    let out: Vec<Point2<f64>> = one.iter().chain(other.first()).copied().collect();
    let mut kept = Vec::new();
    for line in [out, back] {
        thin(&line, off_mm, &mut kept);
    }
    let (was, is) = (signed_area_mm2(&outline), signed_area_mm2(&kept));
    if kept.len() < 3 || is <= 0.0 {
        return outline;
    }
    let middle =
        Point2::from(kept.iter().map(|p| p.coords).sum::<Vector2<f64>>() / kept.len() as f64);
    let scale = (was / is).sqrt();
    kept.iter().map(|p| middle + (p - middle) * scale).collect()
}

/// A line with as few corners as lie within `off_mm` of it, its ends kept.
pub(in crate::buy) fn thinned(line: &[Point2<f64>], off_mm: f64) -> Vec<Point2<f64>> {
    let mut kept = Vec::new();
    thin(line, off_mm, &mut kept);
    kept.extend(line.last());
    kept
}

/// Adds the corners of a line that are needed, all but its end.
fn thin(line: &[Point2<f64>], off_mm: f64, kept: &mut Vec<Point2<f64>>) {
    let [first, .., last] = line else { return };
    let along = last - first;
    let square = along.norm_squared();
    let off = |p: &Point2<f64>| {
        let share =
            if square > 0.0 { ((p - first).dot(&along) / square).clamp(0.0, 1.0) } else { 0.0 };
        (p - (first + along * share)).norm()
    };
    let inner = line.iter().enumerate().skip(1).take(line.len().saturating_sub(2));
    let worst = inner.map(|(n, p)| (n, off(p))).max_by(|a, b| a.1.total_cmp(&b.1));
    match worst {
        Some((at, most)) if most > off_mm => {
            thin(line.get(..=at).unwrap_or_default(), off_mm, kept);
            thin(line.get(at..).unwrap_or_default(), off_mm, kept);
        }
        _ => kept.push(*first),
    }
}

/// The parts of an outline between two heights along a unit direction.
pub(super) fn between(
    outline: &[Point2<f64>],
    across: &Vector2<f64>,
    (from_mm, to_mm): (f64, f64),
) -> Vec<Vec<Point2<f64>>> {
    above(outline, across, from_mm).iter().flat_map(|part| above(part, &-across, -to_mm)).collect()
}

/// The parts of a simple outline above a height: chains above the cut, joined along it, the places
/// where it is crossed taken two by two.
fn above(outline: &[Point2<f64>], up: &Vector2<f64>, at_mm: f64) -> Vec<Vec<Point2<f64>>> {
    let mut at_mm = at_mm;
    while outline.iter().any(|p| (p.coords.dot(up) - at_mm).abs() < 0.5 * BESIDE_MM) {
        at_mm -= BESIDE_MM;
    }
    let height = |p: &Point2<f64>| p.coords.dot(up) - at_mm;
    let along = Vector2::new(up.y, -up.x);
    let Some(start) = outline.iter().position(|p| height(p) < 0.0) else {
        return vec![outline.to_vec()];
    };
    // Begun below the cut, every chain has its start and its end.
    let mut chains: Vec<Vec<Point2<f64>>> = Vec::new();
    let round = outline.iter().cycle().skip(start).take(outline.len() + 1);
    for (a, b) in round.clone().zip(round.skip(1)) {
        let (from, to) = (height(a), height(b));
        let crossing = || a + (b - a) * (from / (from - to));
        match (from > 0.0, to > 0.0) {
            (false, true) => chains.push(vec![crossing(), *b]),
            (true, true) => chains.last_mut().into_iter().for_each(|chain| chain.push(*b)),
            (true, false) => chains.last_mut().into_iter().for_each(|chain| chain.push(crossing())),
            (false, false) => {}
        }
    }
    // Every crossing in order along the cut: (place, chain, whether the chain ends here).
    let mut crossings: Vec<(f64, usize, bool)> = Vec::new();
    for (number, chain) in chains.iter().enumerate() {
        for (place, ends) in [(chain.first(), false), (chain.last(), true)] {
            crossings.extend(place.map(|p| (p.coords.dot(&along), number, ends)));
        }
    }
    crossings.sort_by(|one, other| one.0.total_cmp(&other.0));
    let next = |chain: usize| {
        let at = crossings.iter().position(|(_, number, ends)| *number == chain && *ends)?;
        crossings.get(at ^ 1).map(|(_, number, _)| *number)
    };
    let mut used = vec![false; chains.len()];
    let mut parts = Vec::new();
    for first in 0..chains.len() {
        let (mut part, mut here) = (Vec::new(), Some(first));
        while let Some(chain) = here {
            match used.get_mut(chain) {
                Some(used) if !*used => *used = true,
                _ => break,
            }
            part.extend(chains.get(chain).into_iter().flatten().copied());
            here = next(chain);
        }
        if part.len() > 2 {
            parts.push(part);
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(corners: &[(f64, f64)]) -> Vec<Point2<f64>> {
        corners.iter().map(|(x, y)| Point2::new(*x, *y)).collect()
    }

    #[test]
    fn a_cut_through_two_legs_gives_two_pieces_and_nothing_is_lost() {
        // A U: 30 x 30 with a bay 10 wide and 20 deep; by hand.
        let u = points(&[
            (0.0, 0.0),
            (30.0, 0.0),
            (30.0, 30.0),
            (20.0, 30.0),
            (20.0, 10.0),
            (10.0, 10.0),
            (10.0, 30.0),
            (0.0, 30.0),
        ]);
        let legs = between(&u, &Vector2::y(), (15.0, 30.0));
        assert_eq!(legs.len(), 2);
        assert!(legs.iter().all(|leg| (signed_area_mm2(leg) - 150.0).abs() < 1e-3));
        let base = between(&u, &Vector2::y(), (0.0, 15.0));
        assert_eq!(base.len(), 1);
        assert!((signed_area_mm2(&base[0]) - 400.0).abs() < 1e-3);
        // A cut along edges: the bay's floor lies on it.
        let whole: f64 = [(0.0, 10.0), (10.0, 30.0)]
            .iter()
            .flat_map(|span| between(&u, &Vector2::y(), *span))
            .map(|part| signed_area_mm2(&part))
            .sum();
        assert!((whole - 700.0).abs() < 1e-3);
    }

    #[test]
    fn fewer_corners_keep_the_area_of_a_disc() {
        let disc: Vec<_> = (0..720)
            .map(|n| (f64::from(n) / 2.0).to_radians())
            .map(|turn| Point2::new(50.0 * turn.cos(), -50.0 * turn.sin()))
            .collect();
        let few = simpler(&disc, 0.2);
        assert!(few.len() < 80 && few.len() > 20, "{}", few.len());
        assert!((signed_area_mm2(&few) + signed_area_mm2(&disc)).abs() < 1e-6);
        assert!(few.iter().all(|p| (p.coords.norm() - 50.0).abs() < 0.25));
        assert!(holds(&few, &Point2::new(10.0, 40.0)) && !holds(&few, &Point2::new(40.0, 40.0)));
    }
}
