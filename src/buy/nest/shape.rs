//! The shape of a piece as the search handles it: convex parts about a middle, turned as needed.

use nalgebra::{Point2, Vector2};

use super::convex;
use super::outline::{self, edges};
use super::turn;

/// How far the shape the search handles may go beyond the outline of the piece.
const BEYOND_MM: f64 = 0.3;
/// Corners that turn less than this (as a sine) are left out of a convex part.
const STRAIGHT: f64 = 1e-9;

/// A corner with the outward normal of the edge that leaves it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) at: Vector2<f64>,
    pub(super) out: Vector2<f64>,
    /// Distance of that edge from the origin, along its normal.
    pub(super) reach: f64,
}

/// An upright rectangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub(super) low: Vector2<f64>,
    pub(super) high: Vector2<f64>,
}

impl Bounds {
    const NONE: Self = Self {
        low: Vector2::new(f64::INFINITY, f64::INFINITY),
        high: Vector2::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    fn take(&mut self, point: &Vector2<f64>) {
        self.low = self.low.inf(point);
        self.high = self.high.sup(point);
    }

    /// Round points.
    pub(super) fn round<'p>(points: impl Iterator<Item = &'p Vector2<f64>>) -> Self {
        let mut own = Self::NONE;
        points.for_each(|point| own.take(point));
        own
    }

    pub(super) fn size(&self) -> Vector2<f64> {
        self.high - self.low
    }
}

/// A convex part.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) corners: Vec<Corner>,
    pub(super) bounds: Bounds,
    /// Mean of the corners.
    pub(super) middle: Vector2<f64>,
    /// Distance from the middle to the nearest edge.
    pub(super) inner_mm: f64,
}

/// A shape at one turn, about its middle.
#[derive(Clone, Debug)]
pub(super) struct Turned {
    pub(super) parts: Vec<Part>,
    pub(super) bounds: Bounds,
}

/// Which way a piece lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Lie {
    /// Ten-thousandths of a degree.
    pub(super) turn: u32,
    /// Mirrored (x to -x) before it is turned.
    pub(super) over: bool,
}

/// The shape of a piece.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// The point of the drawing that the shape is turned about.
    pub(super) middle: Vector2<f64>,
    /// The drawing, about the middle.
    pub(super) outline: Vec<Vector2<f64>>,
    parts: Vec<Vec<Vector2<f64>>>,
    /// Lies that put an edge of the hull along or across the roll, or the quarter turns; sorted.
    pub(super) likely: Vec<Lie>,
    /// Whether every turn is allowed.
    pub(super) any_turn: bool,
    /// Whether it may lie on its face.
    pub(super) either_side: bool,
    pub(super) area_mm2: f64,
}

impl Shape {
    /// From a checked outline; `None` where it cannot be divided.
    pub(super) fn new(drawn: &[Point2<f64>], any_turn: bool, either_side: bool) -> Option<Self> {
        let rough = Bounds::round(drawn.iter().map(|p| &p.coords));
        let middle = (rough.low + rough.high) / 2.0;
        let about: Vec<Point2<f64>> = drawn.iter().map(|p| p - middle).collect();
        let parts = convex::parts(&outline::simpler(&about, BEYOND_MM))
            .or_else(|| convex::parts(&about))?;
        let hull = hull(&about);
        let mut own = Self {
            middle,
            outline: about.iter().map(|p| p.coords).collect(),
            parts: parts.iter().map(|part| strict(part)).collect(),
            likely: Vec::new(),
            any_turn,
            either_side,
            area_mm2: outline::signed_area_mm2(&about),
        };
        let mut turns: Vec<u32> = (0..4).map(|quarter| quarter * turn::QUARTER).collect();
        if any_turn {
            for (a, b) in edges(&hull) {
                let flush = turn::laying_along_x(b - a);
                turns.extend((0..4).map(|quarter| (flush + quarter * turn::QUARTER) % turn::FULL));
            }
        }
        turns.sort_unstable();
        turns.dedup();
        own.likely = turns.iter().map(|turn| Lie { turn: *turn, over: false }).collect();
        if either_side {
            let mirrored =
                turns.iter().map(|turn| Lie { turn: (turn::FULL - turn) % turn::FULL, over: true });
            own.likely.extend(mirrored);
        }
        Some(own)
    }

    /// The shape as it lies.
    pub(super) fn turned(&self, lie: Lie) -> Turned {
        let mut own = Turned { parts: Vec::new(), bounds: Bounds::NONE };
        self.turn_into(lie, &mut own);
        own
    }

    /// [`Shape::turned`] into memory that is there already.
    pub(super) fn turn_into(&self, lie: Lie, into: &mut Turned) {
        into.bounds = Bounds::NONE;
        into.parts.resize_with(self.parts.len(), || Part {
            corners: Vec::new(),
            bounds: Bounds::NONE,
            middle: Vector2::zeros(),
            inner_mm: 0.0,
        });
        let laid = laying(lie);
        for (part, points) in into.parts.iter_mut().zip(&self.parts) {
            part.corners.clear();
            part.bounds = Bounds::NONE;
            let mut add = |at: Vector2<f64>| {
                part.bounds.take(&at);
                part.corners.push(Corner { at, out: Vector2::zeros(), reach: 0.0 });
            };
            if lie.over {
                points.iter().rev().for_each(|point| add(laid(point)));
            } else {
                points.iter().for_each(|point| add(laid(point)));
            }
            let sum: Vector2<f64> = part.corners.iter().map(|corner| corner.at).sum();
            part.middle = sum / part.corners.len() as f64;
            part.inner_mm = f64::INFINITY;
            let mut next = part.corners.first().map(|corner| corner.at).unwrap_or_default();
            for corner in part.corners.iter_mut().rev() {
                let along = next - corner.at;
                corner.out = Vector2::new(along.y, -along.x) / along.norm();
                corner.reach = corner.out.dot(&corner.at);
                part.inner_mm = part.inner_mm.min(corner.reach - corner.out.dot(&part.middle));
                next = corner.at;
            }
            into.bounds.take(&part.bounds.low);
            into.bounds.take(&part.bounds.high);
        }
    }

    /// Bounds of the drawing as it lies, about the middle.
    pub(super) fn bounds(&self, lie: Lie) -> Bounds {
        let laid = laying(lie);
        let points: Vec<_> = self.outline.iter().map(laid).collect();
        Bounds::round(points.iter())
    }

    /// Least width across the roll over the lies that are looked at first. The least width of a
    /// shape has an edge of its hull along the roll (M. Shamos, "Computational geometry", 1978).
    pub(super) fn least_width_mm(&self) -> f64 {
        let widths = self.likely.iter().map(|lie| self.bounds(*lie).size().y);
        widths.fold(f64::INFINITY, f64::min)
    }
}

/// How a lie moves a point about the middle.
pub(super) fn laying(lie: Lie) -> impl Fn(&Vector2<f64>) -> Vector2<f64> {
    let (cos, sin) = turn::cos_sin(lie.turn);
    let side = if lie.over { -1.0 } else { 1.0 };
    move |p| {
        let x = side * p.x;
        Vector2::new(cos * x - sin * p.y, sin * x + cos * p.y)
    }
}

/// A convex part without corners on a straight line: walking round it must never stand still.
fn strict(part: &[Point2<f64>]) -> Vec<Vector2<f64>> {
    let mut kept: Vec<Vector2<f64>> = part.iter().map(|p| p.coords).collect();
    loop {
        let count = kept.len();
        let around = kept.iter().zip(kept.iter().cycle().skip(1)).zip(kept.iter().cycle().skip(2));
        let flat = around.enumerate().find(|(_, ((a, b), c))| {
            let (first, second) = (*b - *a, *c - *b);
            outline::cross(first, second) <= STRAIGHT * first.norm() * second.norm()
        });
        let Some((place, _)) = flat.filter(|_| count > 3) else { return kept };
        kept.remove((place + 1) % count);
    }
}

/// Convex hull, counter-clockwise (A. Andrew's chain of two halves, 1979).
fn hull(points: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = &Point2<f64>>| {
        let mut chain: Vec<Point2<f64>> = Vec::new();
        for point in points {
            while let [.., a, b] = chain.as_slice() {
                if outline::cross(b - a, point - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(*point);
        }
        chain.pop();
        chain
    };
    let mut whole = half(&mut sorted.iter());
    whole.extend(half(&mut sorted.iter().rev()));
    whole
}
