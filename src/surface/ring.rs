//! Closed outlines on the grid: are they whole, what do they hold, how are their corners rounded?
//!
//! Places are grid mm. A ring lists its corners once, counter-clockwise once it has been read.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo the number of corners, which is three or more"
)]

use std::f64::consts::PI;

use nalgebra::{Matrix2, Point2, Vector2};

use super::skin::SkinFault;
use crate::model::GridPlace;

/// Corners nearer than this are the same corner.
const SAME_MM: f64 = 0.1;
/// Corners stand no farther than this from the grid's origin.
const MOST_MM: f64 = 10_000.0;
/// Chord error allowed where a corner is rounded.
const ROUND_MM: f64 = 0.02;

/// A closed outline.
pub(crate) type Ring = Vec<Point2<f64>>;

/// Area, positive when counter-clockwise, mm2.
pub(crate) fn signed_area(ring: &[Point2<f64>]) -> f64 {
    let count = ring.len();
    (0..count).map(|i| 0.5 * ring[i].coords.perp(&ring[(i + 1) % count].coords)).sum()
}

/// Whether a place lies inside.
pub(crate) fn holds(ring: &[Point2<f64>], at: Point2<f64>) -> bool {
    let mut inside = false;
    for i in 0..ring.len() {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        if (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) * (b.x - a.x) / (b.y - a.y) {
            inside = !inside;
        }
    }
    inside
}

/// Where two edges cross or touch.
pub(crate) fn meeting(
    (a, b): (Point2<f64>, Point2<f64>),
    (c, d): (Point2<f64>, Point2<f64>),
) -> Option<Point2<f64>> {
    let (along, other) = (b - a, d - c);
    let across = along.perp(&other);
    if across.abs() < 1e-12 * along.norm() * other.norm() {
        return None;
    }
    let s = (c - a).perp(&other) / across;
    let t = (c - a).perp(&along) / across;
    let inside = |x: f64, size: f64| x > -1e-9 / size.max(1e-9) && x < 1.0 + 1e-9 / size.max(1e-9);
    (inside(s, along.norm()) && inside(t, other.norm())).then(|| a + along * s)
}

fn edges(ring: &[Point2<f64>]) -> impl Iterator<Item = (Point2<f64>, Point2<f64>)> + Clone + '_ {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))
}

/// Where two outlines cross.
pub(crate) fn rings_meeting(a: &[Point2<f64>], b: &[Point2<f64>]) -> Option<Point2<f64>> {
    edges(a).find_map(|first| edges(b).find_map(|second| meeting(first, second)))
}

/// Where an outline crosses itself: the numbers of the two edges and the place.
pub(crate) fn self_crossing(ring: &[Point2<f64>]) -> Option<(usize, usize, Point2<f64>)> {
    let count = ring.len();
    for i in 0..count {
        for j in i + 2..count {
            if (j + 1) % count == i {
                continue;
            }
            let first = (ring[i], ring[(i + 1) % count]);
            if let Some(at) = meeting(first, (ring[j], ring[(j + 1) % count])) {
                return Some((i, j, at));
            }
        }
    }
    None
}

/// Reads an outline and turns it counter-clockwise.
///
/// # Errors
/// What keeps it from being a closed outline, with the corner's number.
pub(crate) fn read(field: &str, corners: &[GridPlace]) -> Result<Ring, SkinFault> {
    const WAY_OUT: &str = "go round the edge once and give each corner once, as (u, v) in mm";
    let fault = |at: String, problem: String, accepted: &str| {
        SkinFault::new(at, problem, accepted, WAY_OUT)
    };
    let mut ring: Ring = corners.iter().map(|p| Point2::new(p.0.value(), p.1.value())).collect();
    if ring.len() < 3 {
        let problem = format!("found {} corner(s)", ring.len());
        return Err(fault(field.to_owned(), problem, "three corners or more"));
    }
    for (number, place) in ring.iter().enumerate() {
        if !(place.x.abs() <= MOST_MM && place.y.abs() <= MOST_MM) {
            let problem = format!("found ({}, {})", place.x, place.y);
            let accepted = "grid places in mm, within 10 000 mm of the origin";
            return Err(fault(format!("{field}[{number}]"), problem, accepted));
        }
        let next = ring[(number + 1) % ring.len()];
        if (next - place).norm() < SAME_MM {
            let problem = format!("({}, {}) stands twice in a row", next.x, next.y);
            let number = (number + 1) % ring.len();
            return Err(fault(format!("{field}[{number}]"), problem, "each corner once"));
        }
    }
    if let Some((i, j, at)) = self_crossing(&ring) {
        let problem = format!(
            "the edge after corner {} crosses the edge after corner {} at ({:.0}, {:.0})",
            i + 1,
            j + 1,
            at.x,
            at.y
        );
        return Err(fault(
            format!("{field}[{j}]"),
            problem,
            "an outline that does not cross itself",
        ));
    }
    let area = signed_area(&ring);
    if area.abs() < 1.0 {
        let problem = format!("the outline holds {:.2} mm2", area.abs());
        return Err(fault(field.to_owned(), problem, "1 mm2 or more"));
    }
    if area < 0.0 {
        ring.reverse();
    }
    Ok(ring)
}

/// A corner that is too tight for the radius: its number and the greatest radius it takes.
pub(crate) struct TooTight {
    /// Number of the corner.
    pub(crate) corner: usize,
    /// Greatest radius, mm.
    pub(crate) most_mm: f64,
}

/// The outline with its corners rounded. `on_skin` gives, at a corner, how the plane the outline
/// is drawn in lies on the skin, so that the radius is true there and not on the drawing.
///
/// # Errors
/// The first corner whose sides are too short.
pub(crate) fn rounded(
    ring: &[Point2<f64>],
    radius: f64,
    on_skin: impl Fn(Point2<f64>) -> Matrix2<f64>,
) -> Result<Ring, TooTight> {
    let count = ring.len();
    let corners: Vec<RoundCorner> = (0..count)
        .map(|i| {
            let sides = (ring[i] - ring[(i + count - 1) % count], ring[(i + 1) % count] - ring[i]);
            // The skin is asked amid the arc: near its corner a moulding bends quickly.
            let amid = (sides.1.normalize() - sides.0.normalize()) * (0.4 * radius);
            RoundCorner::new(sides, on_skin(ring[i] + amid))
        })
        .collect();
    for i in 0..count {
        let next = (i + 1) % count;
        let both = corners[i].takes.1 + corners[next].takes.0;
        if radius * both > 1.0 + 1e-9 {
            let corner = if corners[i].takes.1 > corners[next].takes.0 { i } else { next };
            return Err(TooTight { corner, most_mm: 1.0 / both });
        }
    }
    let mut out: Ring = Vec::new();
    for (here, corner) in ring.iter().zip(&corners) {
        corner.round(*here, radius, &mut out);
    }
    out.dedup_by(|a, b| (*a - *b).norm() < 0.05);
    while out.len() > 3 && (out[0] - out[out.len() - 1]).norm() < 0.05 {
        out.pop();
    }
    Ok(out)
}

/// One corner as it lies on the skin.
struct RoundCorner {
    on_drawing: Matrix2<f64>,
    /// Direction into the corner, on the skin.
    along: Vector2<f64>,
    turn: f64,
    /// Share of the side before and of the side after that a radius of one takes.
    takes: (f64, f64),
}

impl RoundCorner {
    fn new((before, after): (Vector2<f64>, Vector2<f64>), on_skin: Matrix2<f64>) -> Self {
        let (before, after) = (on_skin * before, on_skin * after);
        let turn = before.perp(&after).atan2(before.dot(&after));
        let reach = (0.5 * turn.abs()).tan();
        Self {
            on_drawing: on_skin.try_inverse().unwrap_or_else(Matrix2::identity),
            along: before.normalize(),
            turn,
            takes: (reach / before.norm(), reach / after.norm()),
        }
    }

    fn round(&self, here: Point2<f64>, radius: f64, out: &mut Ring) {
        if radius <= 0.0 || self.turn.abs() < 0.02 {
            out.push(here);
            return;
        }
        let start = -self.along * (radius * (0.5 * self.turn.abs()).tan());
        let inward = Vector2::new(-self.along.y, self.along.x) * self.turn.signum();
        let middle = start + inward * radius;
        let step = 2.0 * (1.0 - (ROUND_MM / radius).min(0.5)).acos();
        let pieces = (self.turn.abs() / step.min(PI / 8.0)).ceil();
        for k in 0..=pieces as usize {
            let (sin, cos) = (self.turn.abs() * k as f64 / pieces).sin_cos();
            let on_skin = middle + (self.along * sin - inward * cos) * radius;
            out.push(here + self.on_drawing * on_skin);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Millimetres;

    fn places(corners: &[(f64, f64)]) -> Vec<GridPlace> {
        corners.iter().map(|p| (Millimetres(p.0), Millimetres(p.1))).collect()
    }

    #[test]
    fn a_rounded_square_loses_its_corner_areas() {
        let ring =
            read("outline", &places(&[(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)]));
        let round = rounded(&ring.unwrap(), 60.0, |_| Matrix2::identity()).ok().unwrap();
        let truth = 200.0 * 200.0 - (4.0 - PI) * 3600.0; // closed form
        assert!((signed_area(&round) - truth).abs() < 15.0, "{}", signed_area(&round));
    }

    #[test]
    fn a_crossing_outline_is_named() {
        let bow = places(&[(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)]);
        let fault = read("outline", &bow).unwrap_err();
        assert_eq!(fault.field, "outline[2]");
        assert!(fault.problem.contains("(50, 50)"), "{}", fault.problem);
    }

    #[test]
    fn a_clockwise_outline_is_turned() {
        let ring = read("outline", &places(&[(0.0, 0.0), (0.0, 9.0), (9.0, 0.0)])).unwrap();
        assert!(signed_area(&ring) > 0.0);
    }

    #[test]
    fn a_radius_too_large_names_what_fits() {
        let ring = read("outline", &places(&[(0.0, 0.0), (90.0, 0.0), (90.0, 40.0), (0.0, 40.0)]));
        let tight = rounded(&ring.unwrap(), 30.0, |_| Matrix2::identity()).err().unwrap();
        approx::assert_relative_eq!(tight.most_mm, 20.0);
    }
}
