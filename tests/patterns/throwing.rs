//! Crack patterns thrown from a seed, with their truth. Knows nothing of how they are told apart.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point2, Rotation2, Vector2};

/// A fixed sequence of numbers from 0 to 1.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D);
        for _ in 0..4 {
            dice.roll();
        }
        dice
    }

    pub(crate) fn roll(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    /// About a normal error of one.
    fn error(&mut self) -> f64 {
        (0..12).map(|_| self.roll()).sum::<f64>() - 6.0
    }
}

pub(crate) type Lines = Vec<Vec<Point2<f64>>>;

fn stroke(middle: Point2<f64>, angle: f64, length: f64, bend: f64) -> Vec<Point2<f64>> {
    // A shallow arc of four steps.
    let turn = Rotation2::new(angle);
    (0..=4)
        .map(|k| {
            let t = f64::from(k) / 4.0 - 0.5;
            middle + turn * Vector2::new(t * length, bend * length * (0.25 - t * t))
        })
        .collect()
}

/// Out from a point: angles off by `wobble` degrees.
pub(crate) fn radial(dice: &mut Dice, count: usize, wobble: f64) -> (Lines, Point2<f64>) {
    let centre = Point2::new(dice.between(-20.0, 20.0), dice.between(-20.0, 20.0));
    let first = dice.between(0.0, TAU);
    let lines = (0..count)
        .map(|k| {
            let angle = first + TAU * (k as f64 + dice.between(-0.3, 0.3)) / count as f64;
            let (near, length) = (dice.between(4.0, 15.0), dice.between(25.0, 70.0));
            let (sin, cos) = angle.sin_cos();
            let middle = centre + Vector2::new(cos, sin) * (near + 0.5 * length);
            let off = (wobble * dice.error()).to_radians();
            stroke(middle, angle + off, length, 0.05 * dice.error())
        })
        .collect();
    (lines, centre)
}

/// Alongside each other at an angle, degrees.
pub(crate) fn parallel(dice: &mut Dice, count: usize, wobble: f64) -> (Lines, f64) {
    let angle = dice.between(0.0, PI);
    let (along, up) = (Rotation2::new(angle) * Vector2::x(), Rotation2::new(angle) * Vector2::y());
    let lines = (0..count)
        .map(|k| {
            let middle = Point2::origin()
                + along * dice.between(-15.0, 15.0)
                + up * (12.0 * (k as f64 - 0.5 * count as f64) + dice.between(-3.0, 3.0));
            let off = (wobble * dice.error()).to_radians();
            let length = dice.between(40.0, 120.0);
            stroke(middle, angle + off, length, 0.03 * dice.error())
        })
        .collect();
    (lines, angle.to_degrees())
}

/// Pieces of rings round a point.
pub(crate) fn rings(dice: &mut Dice, count: usize, wobble: f64) -> (Lines, Point2<f64>) {
    let centre = Point2::new(dice.between(-20.0, 20.0), dice.between(-20.0, 20.0));
    let first = dice.between(0.0, TAU);
    let lines = (0..count)
        .map(|k| {
            let bearing = first + TAU * (k as f64 + dice.between(-0.3, 0.3)) / count as f64;
            let radius = dice.between(25.0, 70.0);
            let span = dice.between(0.5, 1.0);
            let off = (wobble * dice.error()).to_radians();
            let (sin, cos) = bearing.sin_cos();
            let middle = centre + Vector2::new(cos, sin) * radius;
            (0..=6)
                .map(|j| {
                    let t = span * (f64::from(j) / 6.0 - 0.5);
                    let on =
                        centre + radius * Vector2::new((bearing + t).cos(), (bearing + t).sin());
                    middle + Rotation2::new(off) * (on - middle)
                })
                .collect()
        })
        .collect();
    (lines, centre)
}

/// No pattern: places and angles at random.
pub(crate) fn random(dice: &mut Dice, count: usize) -> Lines {
    (0..count)
        .map(|_| {
            let middle = Point2::new(dice.between(-60.0, 60.0), dice.between(-60.0, 60.0));
            let (angle, length) = (dice.between(0.0, PI), dice.between(20.0, 80.0));
            stroke(middle, angle, length, 0.05 * dice.error())
        })
        .collect()
}
