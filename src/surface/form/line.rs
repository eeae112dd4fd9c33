//! A line through points that never overshoots them, measured along itself.
//!
//! Cubics that keep each coordinate monotone between neighbouring points (Fritsch and Carlson,
//! SIAM J. Numer. Anal. 17, 1980; published), by chord length, or straight. Lengths by
//! Gauss-Legendre integration. mm.
#![allow(
    clippy::indexing_slicing,
    reason = "a line has two knots or more, and spans and pieces are clamped"
)]

use nalgebra::Vector2;

/// Pieces each span is cut into when it is measured.
const PIECES: usize = 16;

/// Slopes at the knots of a cubic that stays monotone where its values do.
pub(crate) fn slopes(knots: &[f64], values: &[Vector2<f64>]) -> Vec<Vector2<f64>> {
    let last = knots.len() - 1;
    let rise: Vec<Vector2<f64>> =
        (0..last).map(|i| (values[i + 1] - values[i]) / (knots[i + 1] - knots[i])).collect();
    let mut slopes = vec![rise[0]; knots.len()];
    slopes[last] = rise[last - 1];
    // The parabola through three neighbours, held to three times the lesser secant.
    for i in 1..last {
        let (h, k) = (knots[i] - knots[i - 1], knots[i + 1] - knots[i]);
        let parabola = (rise[i - 1] * k + rise[i] * h) / (h + k);
        slopes[i] = parabola.zip_zip_map(&rise[i - 1], &rise[i], limited);
    }
    if last > 1 {
        let end = |inner: Vector2<f64>, secant: Vector2<f64>| {
            (secant * 2.0 - inner).zip_zip_map(&secant, &secant, limited)
        };
        // The parabola of the end span: its mean slope is the secant.
        slopes[0] = end(slopes[1], rise[0]);
        slopes[last] = end(slopes[last - 1], rise[last - 1]);
    }
    slopes
}

fn limited(slope: f64, before: f64, after: f64) -> f64 {
    if before * after <= 0.0 {
        0.0
    } else {
        let most = 3.0 * before.abs().min(after.abs());
        let along = slope * before.signum();
        along.clamp(0.0, most) * before.signum()
    }
}

/// Cubic of one span at share `t` and its slope, from end values and end slopes.
pub(crate) fn cubic(
    span: f64,
    (a, b): (Vector2<f64>, Vector2<f64>),
    (m, n): (Vector2<f64>, Vector2<f64>),
    t: f64,
) -> (Vector2<f64>, Vector2<f64>) {
    let (t2, t3) = (t * t, t * t * t);
    let value = a * (2.0 * t3 - 3.0 * t2 + 1.0)
        + m * (span * (t3 - 2.0 * t2 + t))
        + b * (3.0 * t2 - 2.0 * t3)
        + n * (span * (t3 - t2));
    let slope = (b - a) * (6.0 * (t - t2) / span)
        + m * (3.0 * t2 - 4.0 * t + 1.0)
        + n * (3.0 * t2 - 2.0 * t);
    (value, slope)
}

/// The span between two knots that a place lies in; the end spans run on.
pub(crate) fn span_at(knots: &[f64], at: f64) -> usize {
    knots.partition_point(|k| *k <= at).clamp(1, knots.len() - 1) - 1
}

/// A line through points, with its own length measured.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    knots: Vec<f64>,
    points: Vec<Vector2<f64>>,
    slopes: Vec<Vector2<f64>>,
    pub(crate) straight: bool,
    /// Length from the first point to each piece's end, [`PIECES`] a span.
    lengths: Vec<f64>,
}

impl Line {
    /// The line through two points or more, no two neighbours the same.
    pub(crate) fn new(points: Vec<Vector2<f64>>, straight: bool) -> Self {
        let mut knots = vec![0.0];
        for pair in points.windows(2) {
            knots.push(knots[knots.len() - 1] + (pair[1] - pair[0]).norm());
        }
        let slopes = slopes(&knots, &points);
        let mut line = Self { knots, points, slopes, straight, lengths: vec![0.0] };
        let mut total = 0.0;
        for span in 0..line.points.len() - 1 {
            for piece in 0..PIECES {
                total += line.piece_length(span, piece, 1.0);
                line.lengths.push(total);
            }
        }
        line
    }

    /// Its length, mm.
    pub(crate) fn length(&self) -> f64 {
        self.lengths[self.lengths.len() - 1]
    }

    fn in_span(&self, span: usize, t: f64) -> (Vector2<f64>, Vector2<f64>) {
        let (a, b) = (self.points[span], self.points[span + 1]);
        let wide = self.knots[span + 1] - self.knots[span];
        if self.straight {
            return (a + (b - a) * t, (b - a) / wide);
        }
        cubic(wide, (a, b), (self.slopes[span], self.slopes[span + 1]), t)
    }

    /// Length of the first `share` of a piece; three-point Gauss-Legendre.
    fn piece_length(&self, span: usize, piece: usize, share: f64) -> f64 {
        let wide = self.knots[span + 1] - self.knots[span];
        let from = piece as f64 / PIECES as f64;
        let size = share / PIECES as f64;
        let off = 0.6_f64.sqrt();
        [(-off, 5.0 / 18.0), (0.0, 8.0 / 18.0), (off, 5.0 / 18.0)]
            .iter()
            .map(|(x, w)| {
                w * self.in_span(span, from + 0.5 * size * (1.0 + x)).1.norm() * wide * size
            })
            .sum()
    }

    /// The point at a share of the line's own length; runs on straight beyond its ends.
    pub(crate) fn at(&self, share: f64) -> Vector2<f64> {
        let inside = share.clamp(0.0, 1.0);
        let aim = inside * self.length();
        let number =
            self.lengths.partition_point(|s| *s <= aim).clamp(1, self.lengths.len() - 1) - 1;
        let (span, piece) = (number / PIECES, number % PIECES);
        let rest = aim - self.lengths[number];
        let whole = self.lengths[number + 1] - self.lengths[number];
        let mut part = rest / whole;
        for _ in 0..4 {
            part += (rest - self.piece_length(span, piece, part)) / whole;
        }
        let (point, slope) = self.in_span(span, (piece as f64 + part) / PIECES as f64);
        point + slope.normalize() * ((share - inside) * self.length())
    }

    /// Share of the length at which each point sits.
    pub(crate) fn shares(&self) -> impl Iterator<Item = f64> + '_ {
        self.lengths.iter().step_by(PIECES).map(|s| s / self.length())
    }
}
