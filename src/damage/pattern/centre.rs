//! The centre that lines run out from, or round.
#![allow(clippy::indexing_slicing, reason = "candidates are numbered as they are made")]

use nalgebra::{Matrix2, Point2, Vector2};

use super::Chord;

/// Rounds of drawing nearer.
const ROUNDS: usize = 60;

/// Which way lines lie to their centre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// They point at it.
    Towards,
    /// They lie square to the way to it.
    Across,
}

/// A centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Centre {
    /// Where it is.
    pub at: Point2<f64>,
    /// Root mean square distance by which the lines, drawn on, miss it (or, for rings, by which
    /// the lines square to them do), mm.
    pub miss_mm: f64,
    /// Mean of cos 2a over the lines, a being the angle between each and where it should lie: 1
    /// where all fit, about 0 at random.
    pub score: f64,
    /// The angle about the centre over which lines stand, degrees: a full turn less the widest gap.
    pub round_deg: f64,
}

/// The best centre of chords; nothing where they leave it open.
pub(super) fn of(chords: &[Chord], way: Way) -> Option<Centre> {
    // From the middle and from where neighbours in the list cross: least squares by angle has more
    // than one hollow.
    let count = chords.len();
    let mut starts: Vec<Point2<f64>> = vec![least(chords, way, &vec![1.0; count])?];
    for (number, one) in chords.iter().enumerate() {
        for step in [1, count / 3 + 1] {
            starts.extend(crossing(one, &chords[(number + step) % count], way));
        }
    }
    let mean_mm = chords.iter().map(|chord| chord.length_mm).sum::<f64>() / count as f64;
    let settled = starts.into_iter().filter_map(|start| settle(chords, way, start, mean_mm));
    let best = settled
        .max_by(|one, other| score(chords, way, one).total_cmp(&score(chords, way, other)))?;
    let normal = |chord: &Chord| normal_of(chord, way);
    let squares: f64 =
        chords.iter().map(|chord| (best - chord.middle).dot(&normal(chord)).powi(2)).sum();
    Some(Centre {
        at: best,
        miss_mm: (squares / count as f64).sqrt(),
        score: score(chords, way, &best),
        round_deg: round_deg(chords, &best),
    })
}

/// The direction in which a chord holds the centre.
fn normal_of(chord: &Chord, way: Way) -> Vector2<f64> {
    match way {
        Way::Towards => Vector2::new(-chord.along.y, chord.along.x),
        Way::Across => chord.along,
    }
}

/// Weighted least squares of the misses.
fn least(chords: &[Chord], way: Way, weights: &[f64]) -> Option<Point2<f64>> {
    let (mut matrix, mut right) = (Matrix2::zeros(), Vector2::zeros());
    for (chord, weight) in chords.iter().zip(weights) {
        let normal = normal_of(chord, way);
        let held = normal * normal.transpose() * (*weight * chord.length_mm);
        matrix += held;
        right += held * chord.middle.coords;
    }
    // Lines all one way leave the centre open along them.
    (matrix.determinant() > 1e-9 * matrix.trace().powi(2))
        .then(|| matrix.try_inverse().map(|back| Point2::from(back * right)))
        .flatten()
}

fn crossing(one: &Chord, other: &Chord, way: Way) -> Option<Point2<f64>> {
    least(&[*one, *other], way, &[1.0, 1.0])
}

/// Draws nearer to where the angles are least: each miss counts by one over its squared distance.
fn settle(chords: &[Chord], way: Way, start: Point2<f64>, mean_mm: f64) -> Option<Point2<f64>> {
    let mut at = start;
    for _ in 0..ROUNDS {
        let weights: Vec<f64> = chords
            .iter()
            // What stands on the centre itself says little of it.
            .map(|chord| 1.0 / ((at - chord.middle).norm_squared() + 0.1 * mean_mm * mean_mm))
            .collect();
        let next = least(chords, way, &weights)?;
        let moved = (next - at).norm();
        at = next;
        if moved < 1e-4 * mean_mm {
            break;
        }
    }
    (at.x.is_finite() && at.y.is_finite()).then_some(at)
}

fn score(chords: &[Chord], way: Way, at: &Point2<f64>) -> f64 {
    let (mut sum, mut whole) = (0.0, 0.0);
    for chord in chords {
        let out = chord.middle - at;
        let far = out.norm();
        let aligned = if far > 0.0 { (chord.along.dot(&out) / far).powi(2) } else { 0.5 };
        let doubled = 2.0 * aligned - 1.0;
        sum += chord.length_mm * if way == Way::Towards { doubled } else { -doubled };
        whole += chord.length_mm;
    }
    sum / whole
}

fn round_deg(chords: &[Chord], at: &Point2<f64>) -> f64 {
    let mut bearings: Vec<f64> = chords
        .iter()
        .map(|chord| {
            let out = chord.middle - at;
            out.y.atan2(out.x).to_degrees()
        })
        .collect();
    bearings.sort_by(f64::total_cmp);
    let last = bearings.len().saturating_sub(1);
    let around = bearings.first().map_or(0.0, |first| first + 360.0 - bearings[last]);
    let widest = bearings.windows(2).map(|pair| pair[1] - pair[0]).fold(around, f64::max);
    360.0 - widest
}
