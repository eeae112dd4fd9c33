//! How far apart may the lines of the mesh stand, here and there?
//!
//! The bend of the smooth skin is looked at on a net of places; lines stand as close as a small
//! gap between face and skin asks, and never far apart. Grid mm.
#![allow(
    clippy::indexing_slicing,
    reason = "numbers come from the tables they index, made in this file"
)]

use nalgebra::{Point2, Vector2, Vector3};

use super::form::Form;

/// Greatest gap between a face and the smooth skin, mm.
const SAGITTA_MM: f64 = 0.04;
/// Greatest and least spacing of the lines, mm.
pub(crate) const SPACING_MM: (f64, f64) = (20.0, 1.0);
/// A panel has at least about this many lines over the mean of its sides.
const LEAST_LINES: f64 = 36.0;
/// Lines one way may be this many times wider apart than the other way.
const MOST_STRETCH: f64 = 3.0;
/// Places at which the bend is looked at, each way.
const SAMPLES: usize = 36;

/// Spacing of the lines along the grid's two directions, by share of length and height.
pub(crate) struct Spacing {
    pub(crate) along: Vec<f64>,
    pub(crate) up: Vec<f64>,
    pub(crate) bounds: (f64, f64),
}

impl Spacing {
    /// The spacing a skin asks for.
    pub(crate) fn of(form: &dyn Form) -> Self {
        let bounds = form.along();
        let length = bounds.1 - bounds.0;
        let height = form.top(0.5 * (bounds.0 + bounds.1));
        let widest = SPACING_MM.0.min((length * height).sqrt() / LEAST_LINES).max(SPACING_MM.1);
        let step = 0.004 * length.min(height);
        let mut spacing = Self { along: vec![widest; SAMPLES], up: vec![widest; SAMPLES], bounds };
        for i in 0..SAMPLES {
            for j in 0..SAMPLES {
                let share = |k: usize| (k as f64 + 0.5) / SAMPLES as f64;
                let at = form.at_share(share(i), share(j));
                let here = form.at(at);
                let beside = |way: Vector2<f64>| {
                    (form.at(at + way * step) - here, form.at(at - way * step) - here)
                };
                let (along, across) = (beside(Vector2::x()), beside(Vector2::y()));
                let normal = (along.0 - along.1).cross(&(across.0 - across.1)).normalize();
                let needed = |(ahead, behind): (Vector3<f64>, Vector3<f64>)| {
                    let bend = (ahead + behind).dot(&normal).abs().max(1e-12);
                    (8.0 * SAGITTA_MM * step * step / bend).sqrt()
                };
                spacing.along[i] = spacing.along[i].min(needed(along));
                spacing.up[j] = spacing.up[j].min(needed(across));
            }
        }
        let least = |list: &[f64]| list.iter().copied().fold(f64::INFINITY, f64::min);
        let hold = |list: &mut Vec<f64>, most: f64| {
            for h in list {
                *h = h.clamp(SPACING_MM.1, most.max(SPACING_MM.1));
            }
        };
        let (a, b) = (least(&spacing.along), least(&spacing.up));
        hold(&mut spacing.along, MOST_STRETCH * b);
        hold(&mut spacing.up, MOST_STRETCH * a);
        spacing
    }

    /// Spacing along and up at a grid place, mm.
    pub(crate) fn at(&self, form: &dyn Form, place: Point2<f64>) -> (f64, f64) {
        let pick = |list: &[f64], share: f64| {
            let at = (share * list.len() as f64).clamp(0.0, list.len() as f64 - 1.0);
            list[at as usize]
        };
        let share = (place.x - self.bounds.0) / (self.bounds.1 - self.bounds.0);
        (pick(&self.along, share), pick(&self.up, place.y / form.top(place.x)))
    }

    /// Shares at which lines are drawn, ends included, for a side of a length.
    pub(crate) fn lines(list: &[f64], length: f64) -> Vec<f64> {
        let part = length / list.len() as f64;
        let weights: Vec<f64> = list.iter().map(|h| part / h).collect();
        evenly(&weights).iter().map(|at| at / list.len() as f64).collect()
    }

    /// Cuts an edge into pieces as short as its surroundings ask; ends left out.
    pub(crate) fn cut(&self, form: &dyn Form, a: Point2<f64>, b: Point2<f64>) -> Vec<Point2<f64>> {
        let along = b - a;
        let pieces = 16;
        let weights: Vec<f64> = (0..pieces)
            .map(|k| {
                let at = a + along * ((f64::from(k) + 0.5) / f64::from(pieces));
                let (h, w) = self.at(form, at);
                (along.x / h).hypot(along.y / w) / f64::from(pieces)
            })
            .collect();
        let stops = evenly(&weights);
        stops[1..stops.len() - 1].iter().map(|at| a + along * (at / f64::from(pieces))).collect()
    }
}

/// Places (in cells) that share a row of weights evenly, no share above one; ends included.
fn evenly(weights: &[f64]) -> Vec<f64> {
    let total: f64 = weights.iter().sum();
    let count = (total - 1e-9).ceil().max(1.0);
    let mut stops = vec![0.0];
    let (mut before, mut cell) = (0.0, 0);
    for k in 1..count as usize {
        let aim = total * k as f64 / count;
        while cell + 1 < weights.len() && before + weights[cell] < aim {
            before += weights[cell];
            cell += 1;
        }
        stops.push(cell as f64 + (aim - before) / weights[cell]);
    }
    stops.push(weights.len() as f64);
    stops
}
