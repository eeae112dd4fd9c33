//! Where is a place that was taped from two landmarks?
//!
//! Each tape is a curve of equal distance over the surface. Takes two distance fields over the
//! filled surface and two readings (mm); gives every place where the curves cross or touch, or,
//! when they miss each other, the place that shares the miss between them. Also gives the part
//! of the surface that both tapes allow when each may be off by a stated width.
//!
//! The fields should reach about 400 mm past their readings: a miss larger than that is only
//! told from the distance between the landmarks.
#![allow(
    clippy::indexing_slicing,
    reason = "line places are taken between the line's ends, corner numbers modulo 3"
)]

use nalgebra::Vector3;

use super::field::DistanceField;
use super::lattice::zero_between;
use super::level::lines_at;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::trace::{Direction, bearing_deg, flat_of, trace};

/// Steps along the first tape's curve, mm.
const STEP_MM: f64 = 4.0;
/// Two solutions nearer than this, mm, are one: the curves touch.
const SAME_MM: f64 = 0.5;
/// Curves that miss by less than this, mm, touch.
const TOUCH_MM: f64 = 0.01;

/// One place both readings lead to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Where it is.
    pub point: MeshPoint,
    /// Distance from the first landmark less its reading, mm.
    pub residual_a_mm: f64,
    /// Distance from the second landmark less its reading, mm.
    pub residual_b_mm: f64,
    /// Angle at which the curves cross, 0 to 90 degrees; an error of the tapes grows by about
    /// one over its sine.
    pub crossing_angle_deg: f64,
    /// Bearings at which the tapes arrive, degrees from +u towards +v; none on a landmark itself.
    pub bearings_deg: Option<[f64; 2]>,
}

/// Every place two readings lead to.
#[derive(Debug, Clone, PartialEq)]
pub struct Placing {
    /// The places, in order of the grid; none when the miss is not acceptable.
    pub candidates: Vec<Place>,
    /// By how much the readings miss each other on the panel, mm: 0 when they meet, infinite
    /// when nothing is known.
    pub gap_mm: f64,
    /// The miss was not found on the surface but from the distance between the landmarks.
    pub gap_from_landmarks: bool,
}

/// How much farther than an acceptable miss the curves are followed, mm.
const NEAR_MM: f64 = 30.0;

/// Finds every place that is `reading_a_mm` from the first landmark and `reading_b_mm` from the
/// second; if there is none, the least-squares place, provided the miss is at most `accept_mm`.
#[must_use]
pub fn places(
    mesh: &Mesh,
    a: &DistanceField<'_>,
    reading_a_mm: f64,
    b: &DistanceField<'_>,
    reading_b_mm: f64,
    accept_mm: f64,
) -> Placing {
    let tapes = Tapes { mesh, a, ta: reading_a_mm, b, tb: reading_b_mm };
    let mut near: Vec<MeshPoint> = Vec::new();
    let mut met: Vec<MeshPoint> = Vec::new();
    // Only where the second tape can come near its reading is the first one's curve drawn.
    let slack_mm = accept_mm + NEAR_MM;
    let beside = |face: FaceId| {
        let (least, most) = b.at_corners(face);
        let edge = mesh.frame(face).length.into_iter().fold(0.0, f64::max);
        least - edge <= reading_b_mm + slack_mm && most + edge >= reading_b_mm - slack_mm
    };
    for line in curve(a, reading_a_mm, &beside) {
        tapes.follow(&line, &mut met, &mut near);
    }
    if !met.is_empty() {
        // In the order of the grid, whichever way the curve was followed.
        met.sort_by(|one, other| {
            let (one, other) = (mesh.grid(one), mesh.grid(other));
            one.x.total_cmp(&other.x).then(one.y.total_cmp(&other.y))
        });
        let candidates = met.into_iter().map(|point| tapes.place(point)).collect();
        return Placing { candidates, gap_mm: 0.0, gap_from_landmarks: false };
    }
    for line in curve(a, reading_a_mm, &|_| true) {
        near.extend(line);
    }
    for line in curve(b, reading_b_mm, &|_| true) {
        near.extend(line);
    }
    if near.is_empty() {
        let middle = Vector3::new(1.0, 1.0, 1.0) / 3.0;
        near.extend(
            (0..mesh.faces.len() as FaceId).map(|face| MeshPoint { face, weights: middle }),
        );
    }
    let best = near.into_iter().min_by(|p, q| tapes.misfit(p).total_cmp(&tapes.misfit(q)));
    let place = best.map(|start| tapes.place(tapes.settle(start)));
    let limits = a.limit_mm().min(b.limit_mm());
    if let Some(place) = place.filter(|p| p.residual_a_mm.is_finite() && limits > 0.0)
        && tapes.known(&place.point)
    {
        let gap_mm = place.residual_a_mm.abs() + place.residual_b_mm.abs();
        let candidates = if gap_mm <= accept_mm { vec![place] } else { Vec::new() };
        return Placing { candidates, gap_mm, gap_from_landmarks: false };
    }
    Placing { candidates: Vec::new(), gap_mm: tapes.gap(), gap_from_landmarks: true }
}

/// The curve at a distance from a landmark.
fn curve(
    field: &DistanceField<'_>,
    reading_mm: f64,
    keep: &dyn Fn(FaceId) -> bool,
) -> Vec<Vec<MeshPoint>> {
    lines_at(field, reading_mm, keep, STEP_MM.min(reading_mm / 6.0).max(0.05))
}

struct Tapes<'a> {
    mesh: &'a Mesh,
    a: &'a DistanceField<'a>,
    ta: f64,
    b: &'a DistanceField<'a>,
    tb: f64,
}

impl Tapes<'_> {
    fn residuals(&self, point: &MeshPoint) -> [f64; 2] {
        [self.a.capped(point) - self.ta, self.b.capped(point) - self.tb]
    }

    fn misfit(&self, point: &MeshPoint) -> f64 {
        self.residuals(point).iter().map(|r| r * r).sum()
    }

    /// Whether both distances were worked out as far as this point.
    fn known(&self, point: &MeshPoint) -> bool {
        self.a.at(point).is_finite() && self.b.at(point).is_finite()
    }

    fn place(&self, point: MeshPoint) -> Place {
        let [residual_a_mm, residual_b_mm] = self.residuals(&point);
        let ways = self.a.direction(&point).zip(self.b.direction(&point));
        let crossing_angle_deg =
            ways.map_or(0.0, |(a, b)| a.cross(&b).norm().atan2(a.dot(&b).abs()).to_degrees());
        let bearing = |way| bearing_deg(self.mesh, &point, way);
        let bearings_deg = ways.and_then(|(a, b)| bearing(a).zip(bearing(b))).map(|(a, b)| [a, b]);
        Place { point, residual_a_mm, residual_b_mm, crossing_angle_deg, bearings_deg }
    }

    /// Follows the first tape's curve and notes where the second reading is met, and where it
    /// comes nearest without being met.
    fn follow(&self, line: &[MeshPoint], met: &mut Vec<MeshPoint>, near: &mut Vec<MeshPoint>) {
        let miss = |point: &MeshPoint| self.b.capped(point) - self.tb;
        let values: Vec<f64> = line.iter().map(miss).collect();
        let steps = line.len().saturating_sub(1);
        let closed = steps > 2 && line.first() == line.last();
        let on_line = |s: f64| {
            let s = if closed { s.rem_euclid(steps as f64) } else { s.clamp(0.0, steps as f64) };
            let i = (s.floor() as usize).min(steps - 1);
            self.on_curve(&line[i], &line[i + 1], s - i as f64)
        };
        let between = |low: f64, high: f64| {
            let value = |t: f64| miss(&on_line(low + (high - low) * t));
            let t = zero_between([value(0.0), value(1.0)], STEP_MM, value);
            on_line(low + (high - low) * t)
        };
        let mut found = Vec::new();
        for i in 0..steps {
            if (values[i] <= 0.0) != (values[i + 1] <= 0.0) {
                found.push(between(i as f64, (i + 1) as f64));
            }
        }
        for i in 0..=steps {
            let beside = |k: usize| values[k].abs();
            let before = if i > 0 {
                i - 1
            } else if closed {
                steps - 1
            } else {
                i
            };
            let after = if i < steps {
                i + 1
            } else if closed {
                1
            } else {
                i
            };
            let same = (values[before] <= 0.0) == (values[after] <= 0.0)
                && (values[i] <= 0.0) == (values[after] <= 0.0);
            if !same || beside(i) > beside(before) || beside(i) > beside(after) {
                continue;
            }
            // Nearest approach between two steps: the curves may cross twice there, or touch.
            let sign = if values[i] <= 0.0 { -1.0 } else { 1.0 };
            let (low, high) = (i as f64 - 1.0, i as f64 + 1.0);
            let s = least(low, high, |s| sign * miss(&on_line(s)));
            let point = on_line(s);
            let left = sign * miss(&point);
            if left < -1e-9 {
                found.push(between(low, s));
                found.push(between(s, high));
            } else if left <= TOUCH_MM {
                found.push(point);
            } else {
                near.push(point);
            }
        }
        for point in found {
            let place = self.mesh.position(&point);
            if met.iter().all(|other| (self.mesh.position(other) - place).norm() > SAME_MM) {
                met.push(point);
            }
        }
    }

    /// The place of the first tape's curve a part `t` of the way between two of its points.
    fn on_curve(&self, from: &MeshPoint, to: &MeshPoint, t: f64) -> MeshPoint {
        let Some((from, to)) = in_one_face(self.mesh, from, to) else {
            return if t < 0.5 { *from } else { *to };
        };
        let face = from.face;
        let mut point = MeshPoint { face, weights: from.weights * (1.0 - t) + to.weights * t };
        for _ in 0..2 {
            let miss = self.a.capped(&point) - self.ta;
            let Some(away) = self.a.direction(&point) else { break };
            let Some(step) = flat_of(self.mesh, face, away) else { break };
            let at = self.mesh.flat(face, 0, &point.weights) - step * miss;
            let weights = self.mesh.weights_of_flat(face, at).map(|w| w.max(0.0));
            point.weights = weights / weights.sum();
        }
        point
    }

    /// Walks from a point to the least-squares place.
    fn settle(&self, start: MeshPoint) -> MeshPoint {
        let passable = self.a.passable();
        let mut best = (self.misfit(&start), start);
        let mut step = best.0.sqrt().max(1.0);
        while step > 1e-3 {
            let around = (0..16).map(|k| {
                let way = Direction::Degrees(22.5 * f64::from(k));
                let walked = trace(self.mesh, passable, best.1, way, step);
                let point = walked.path.last().copied().unwrap_or(best.1);
                (self.misfit(&point), point)
            });
            let next = around.min_by(|p, q| p.0.total_cmp(&q.0)).unwrap_or(best);
            if next.0 < best.0 - 1e-12 {
                best = next;
            } else {
                step /= 2.0;
            }
        }
        best.1
    }

    /// The least miss the distance between the landmarks allows.
    fn gap(&self) -> f64 {
        let spacing =
            [self.b.anchor().map(|p| self.a.at(&p)), self.a.anchor().map(|p| self.b.at(&p))];
        let spacing = spacing.into_iter().flatten().fold(f64::INFINITY, f64::min);
        if spacing.is_finite() {
            (spacing - self.ta - self.tb).max((self.ta - self.tb).abs() - spacing).max(0.0)
        } else {
            f64::INFINITY
        }
    }
}

/// Two points written in one face that holds both.
fn in_one_face(mesh: &Mesh, a: &MeshPoint, b: &MeshPoint) -> Option<(MeshPoint, MeshPoint)> {
    let round = mesh.faces[a.face as usize].into_iter().flat_map(|v| mesh.faces_round(v).to_vec());
    [a.face, b.face]
        .into_iter()
        .chain(round)
        .find_map(|face| Some((mesh.express(a, face)?, mesh.express(b, face)?)))
}

/// Golden section: where a function with one dip between two values is least.
fn least(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let part = 0.618_033_988_749_895;
    let (mut a, mut b) = (high - part * (high - low), low + part * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    while high - low > 1e-5 {
        if fa < fb {
            (high, b, fb) = (b, a, fa);
            a = high - part * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + part * (high - low);
            fb = f(b);
        }
    }
    f64::midpoint(low, high)
}
