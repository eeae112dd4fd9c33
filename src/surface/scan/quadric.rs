//! How far is a place from planes met so far? (Garland and Heckbert, SIGGRAPH 1997; published.)

use nalgebra::{Matrix3, Point3, Vector3};

/// Sum of squared distances from weighted planes: x A x - 2 b x + c, and the weight.
#[derive(Debug, Clone, Copy)]
pub(super) struct Quadric {
    a: Matrix3<f64>,
    b: Vector3<f64>,
    c: f64,
    pub(super) weight: f64,
}

impl Quadric {
    pub(super) fn nothing() -> Self {
        Self { a: Matrix3::zeros(), b: Vector3::zeros(), c: 0.0, weight: 0.0 }
    }

    pub(super) fn add_plane(&mut self, unit: Vector3<f64>, through: Point3<f64>, weight: f64) {
        let d = unit.dot(&through.coords);
        self.a += unit * unit.transpose() * weight;
        self.b += unit * (d * weight);
        self.c += d * d * weight;
        self.weight += weight;
    }

    pub(super) fn plus(&self, other: &Self) -> Self {
        Self {
            a: self.a + other.a,
            b: self.b + other.b,
            c: self.c + other.c,
            weight: self.weight + other.weight,
        }
    }

    /// Mean square distance of a place from the planes, mm2.
    pub(super) fn mean_square(&self, at: Point3<f64>) -> f64 {
        let x = at.coords;
        ((x.dot(&(self.a * x)) - 2.0 * self.b.dot(&x) + self.c) / self.weight.max(1e-30)).max(0.0)
    }

    /// The place that is nearest to all planes; along what they leave open, near `by`.
    pub(super) fn best(&self, by: Point3<f64>) -> Option<Point3<f64>> {
        let pull = 1e-3 * self.weight;
        let table = self.a + Matrix3::identity() * pull;
        let found = table.cholesky()?.solve(&(self.b + by.coords * pull));
        found.iter().all(|x| x.is_finite()).then(|| Point3::from(found))
    }
}
