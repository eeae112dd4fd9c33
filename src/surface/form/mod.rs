//! The smooth skin of a panel: a map from its grid into space.
//!
//! Space is the panel's own: x along, y across or up, z outward, mm. Grid u runs along and v
//! across, so that u, v and the outward side make a right-handed set.

pub(crate) mod bend;
pub(crate) mod family;
pub(crate) mod flat;
mod line;
pub(crate) mod moulding;
pub(crate) mod sections;

use nalgebra::{Point2, Point3, Vector2, Vector3};

/// A smooth skin over its grid.
pub(crate) trait Form {
    /// Place in space of a grid place, mm; also a little way outside the face.
    fn at(&self, grid: Point2<f64>) -> Point3<f64>;
    /// Least and greatest u.
    fn along(&self) -> (f64, f64);
    /// Greatest v at a place along; the least is 0.
    fn top(&self, u: f64) -> f64;
    /// The grid laid out as the tape would have it: the same, unless the panel tapers.
    fn laid_out(&self, grid: Point2<f64>) -> Point2<f64> {
        grid
    }
    /// The grid place of a laid-out place.
    fn on_grid(&self, laid_out: Point2<f64>) -> Point2<f64> {
        laid_out
    }
    /// Shares of the height at which the skin has a crease along its length.
    fn creases(&self) -> Vec<f64> {
        Vec::new()
    }
    /// Grid places the skin was measured at.
    fn measured(&self) -> Vec<Point2<f64>> {
        Vec::new()
    }

    /// Grid place at a share of the length and of the height there.
    fn at_share(&self, along: f64, up: f64) -> Point2<f64> {
        let (low, high) = self.along();
        let u = low + along * (high - low);
        Point2::new(u, up * self.top(u))
    }

    /// How far a step of one on the laid-out grid moves in space, along and across.
    fn tangents(&self, grid: Point2<f64>) -> (Vector3<f64>, Vector3<f64>) {
        let step = 1e-3;
        let laid = self.laid_out(grid);
        let slope = |d: Vector2<f64>| {
            (self.at(self.on_grid(laid + d)) - self.at(self.on_grid(laid - d))) / (2.0 * step)
        };
        (slope(Vector2::new(step, 0.0)), slope(Vector2::new(0.0, step)))
    }

    /// Outward unit normal.
    fn normal(&self, grid: Point2<f64>) -> Vector3<f64> {
        let (along, across) = self.tangents(grid);
        along.cross(&across).normalize()
    }
}
