//! The last word on a layout: distances between the outlines as drawn and as placed, edge by edge.
//! Slow, and shares nothing with the way the search measures.

use nalgebra::{Point2, Vector2};

use super::outline::{between_segments_mm, edges};
use super::shape::{Bounds, Lie, laying};

/// An outline as it lies on the roll.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub(super) points: Vec<Point2<f64>>,
    pub(super) bounds: Bounds,
}

impl Laid {
    /// A drawing (about any origin), laid and moved.
    pub(super) fn new(outline: &[Vector2<f64>], lie: Lie, offset: &Vector2<f64>) -> Self {
        let points: Vec<Point2<f64>> =
            outline.iter().map(laying(lie)).map(|p| Point2::from(p + offset)).collect();
        let bounds = Bounds::round(points.iter().map(|p| &p.coords));
        Self { points, bounds }
    }

    /// Whether two outlines lie at least so far apart, neither inside the other.
    fn clear_of(&self, other: &Self, apart_mm: f64) -> bool {
        let (one, two) = (&self.bounds, &other.bounds);
        let free = (two.low - one.high).sup(&(one.low - two.high));
        if free.x.max(free.y) >= apart_mm {
            return true;
        }
        let inside =
            |points: &[Point2<f64>], of: &Self| points.first().is_some_and(|p| of.holds(p));
        if inside(&self.points, other) || inside(&other.points, self) {
            return false;
        }
        edges(&self.points).all(|(a, b)| {
            let (low, high) = (a.coords.inf(&b.coords), a.coords.sup(&b.coords));
            let free = (two.low - high).sup(&(low - two.high));
            free.x.max(free.y) >= apart_mm
                || edges(&other.points).all(|edge| between_segments_mm((a, b), edge) >= apart_mm)
        })
    }

    /// Even-odd rule.
    pub(super) fn holds(&self, p: &Point2<f64>) -> bool {
        let crossed = edges(&self.points).filter(|(a, b)| {
            (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y)
        });
        crossed.count() % 2 == 1
    }
}

/// Whether all lie within a strip of the width, from x = 0 on, and so far apart.
pub(super) fn holds(all: &[Laid], width_mm: f64, apart_mm: f64, slack_mm: f64) -> bool {
    let within = all.iter().all(|laid| {
        laid.bounds.low.min() >= -slack_mm && laid.bounds.high.y <= width_mm + slack_mm
    });
    within
        && all.iter().enumerate().all(|(number, one)| {
            all.iter().skip(number + 1).all(|other| one.clear_of(other, apart_mm))
        })
}
