//! A flat sheet.

use nalgebra::{Point2, Point3};

use super::Form;
use crate::model::panel::Flat;

impl Form for Flat {
    fn at(&self, grid: Point2<f64>) -> Point3<f64> {
        Point3::new(grid.x, grid.y, 0.0)
    }

    fn along(&self) -> (f64, f64) {
        (0.0, self.length_mm.value())
    }

    fn top(&self, _: f64) -> f64 {
        self.width_mm.value()
    }
}
