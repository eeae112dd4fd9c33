//! The smallest parts of a measured face: where the rim crosses their edges and what it cuts off.
//!
//! The rim's crossings are found on the function itself, also where it dips over an edge and
//! comes back. Between two crossings the rim is taken for the arc of a circle through them and
//! through the place it has over the middle of the chord: exact for a rim round a point and for
//! a straight one (closed form). Lengths are mm, areas mm2.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, other numbers come from the lists they index"
)]

use nalgebra::Vector2;

use super::lattice::{Name, Place, zero_between};
use super::level::Cutter;
use super::mesh::{FaceId, MeshPoint};

/// The rim's crossings of one edge of a smallest part: none, one or two, by their number and by
/// how far along they lie from the end with the lower name.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct OnEdge {
    count: usize,
    at: [(usize, f64); 2],
}

/// A crossing met going round a part: its number, its place laid flat, and whether one comes in.
#[derive(Debug, Clone, Copy)]
struct Met {
    number: usize,
    at: Vector2<f64>,
    comes_in: bool,
}

/// The corners of a part laid flat: the part is half the unit square.
const CORNERS: [Vector2<f64>; 3] =
    [Vector2::new(0.0, 0.0), Vector2::new(1.0, 0.0), Vector2::new(0.0, 1.0)];

impl Cutter<'_> {
    /// Measures a smallest part.
    pub(super) fn leaf(&mut self, face: FaceId, part: [Place; 3], area: f64) {
        let values = part.map(|place| self.lattice.value(face, place));
        let inside = values.map(|value| value <= 0.0);
        let mut met: Vec<Met> = Vec::with_capacity(4);
        for i in 0..3 {
            let next = (i + 1) % 3;
            let found = self.on_edge(face, [part[i], part[next]], [values[i], values[next]]);
            let mut within = inside[i];
            for (number, t) in found.at.into_iter().take(found.count) {
                within = !within;
                let at = CORNERS[i] + (CORNERS[next] - CORNERS[i]) * t;
                met.push(Met { number, at, comes_in: within });
            }
            if found.count == 2 && !inside[i] {
                // The rim's part between two outer corners lies on this edge alone.
                let third = (0..3).find(|k| part[i][*k] == 0 && part[next][*k] == 0);
                if let Some(third) = third {
                    let mut place = [1; 3];
                    place[third] = 0;
                    self.touch(face, &[place]);
                }
            }
        }
        let within: Vec<Place> = (0..3).filter(|i| inside[*i]).map(|i| part[i]).collect();
        self.touch(face, &within);
        if met.is_empty() {
            if inside[0] {
                self.add(face, area);
            }
            return;
        }
        let start = met.iter().position(|one| one.comes_in).unwrap_or(0);
        met.rotate_left(start);
        // From where the boundary comes in to where it leaves, in turn.
        let runs = met.len() / 2;
        let joined = runs > 1 && {
            let middle = met.iter().map(|one| one.at).sum::<Vector2<f64>>() / met.len() as f64;
            (self.lattice.f)(&self.flat_point(face, part, middle)) <= 0.0
        };
        let mut twice = 0.0;
        let mut bows = 0.0;
        for run in 0..runs {
            let (first, last) = (met[2 * run], met[2 * run + 1]);
            twice += boundary(first.at, last.at, &inside);
            let back = if joined { met[(2 * run + 2) % met.len()] } else { first };
            twice += last.at.perp(&back.at);
            bows += self.bow(face, last.number, back.number);
            self.links.push([back.number, last.number]);
        }
        self.add(face, (twice * area + bows).max(0.0));
    }

    /// A place of a part laid flat, as a point of the mesh.
    fn flat_point(&self, face: FaceId, part: [Place; 3], at: Vector2<f64>) -> MeshPoint {
        let [a, b, c] = part.map(|place| self.lattice.point(face, place).weights);
        MeshPoint { face, weights: a * (1.0 - at.x - at.y) + b * at.x + c * at.y }
    }

    /// Area between the rim and its chord, positive where the rim lies outside the chord.
    fn bow(&self, face: FaceId, from: usize, to: usize) -> f64 {
        let ends = [from, to].map(|k| self.mesh.express(&self.points[k], face));
        let [Some(a), Some(b)] = ends else { return 0.0 };
        let chord = (self.mesh.position(&a) - self.mesh.position(&b)).norm();
        let middle = MeshPoint { face, weights: (a.weights + b.weights) / 2.0 };
        let rise = -(self.lattice.f)(&middle).clamp(-chord / 2.0, chord / 2.0);
        segment_area(chord, rise)
    }

    /// The rim's crossings of a part's edge, counted from its first end.
    fn on_edge(&mut self, face: FaceId, ends: [Place; 2], values: [f64; 2]) -> OnEdge {
        let length = || {
            let [a, b] = ends.map(|place| self.mesh.position(&self.lattice.point(face, place)));
            (a - b).norm()
        };
        let crossed = (values[0] <= 0.0) != (values[1] <= 0.0);
        // Too far from zero to reach it in between.
        if !crossed && values[0].abs() + values[1].abs() >= length() {
            return OnEdge::default();
        }
        let names: [Name; 2] = ends.map(|place| self.lattice.name(face, place));
        let turn = names[0] > names[1];
        let key = if turn { [names[1], names[0]] } else { names };
        let mut found = if let Some(found) = self.crossings.get(&key) {
            *found
        } else {
            let (ends, values) =
                if turn { ([ends[1], ends[0]], [values[1], values[0]]) } else { (ends, values) };
            let found = self.search(face, ends, values, length());
            self.crossings.insert(key, found);
            found
        };
        if turn {
            for (_, t) in &mut found.at {
                *t = 1.0 - *t;
            }
            if found.count == 2 {
                found.at.swap(0, 1);
            }
        }
        found
    }

    fn search(&mut self, face: FaceId, ends: [Place; 2], values: [f64; 2], length: f64) -> OnEdge {
        let [a, b] = ends.map(|place| self.lattice.point(face, place).weights);
        let point = |t: f64| MeshPoint { face, weights: a * (1.0 - t) + b * t };
        let f = self.lattice.f;
        let value = |t: f64| f(&point(t));
        let mut found = OnEdge::default();
        let mut add = |t: f64| {
            self.points.push(point(t));
            found.at[found.count] = (self.points.len() - 1, t);
            found.count += 1;
        };
        if (values[0] <= 0.0) != (values[1] <= 0.0) {
            add(zero_between(values, length, value));
            return found;
        }
        let sign = if values[0] <= 0.0 { -1.0 } else { 1.0 };
        if let Some((t, low)) =
            dip([sign * values[0], sign * values[1]], length, |t| sign * value(t))
        {
            let between = |from: f64, to: f64, ends: [f64; 2]| {
                let t = zero_between(ends, length * (to - from), |t| value(from + (to - from) * t));
                from + (to - from) * t
            };
            add(between(0.0, t, [values[0], sign * low]));
            add(between(t, 1.0, [sign * low, values[1]]));
        }
        found
    }
}

/// Where a function above zero at both ends of a line dips to zero or below, if it does, and its
/// value there. It changes no faster than one moves; a dip of less than a thousandth of the
/// length is let go.
fn dip(ends: [f64; 2], length: f64, f: impl Fn(f64) -> f64) -> Option<(f64, f64)> {
    let spare = 1e-3 * length;
    let [first, last] = ends;
    // Distances are round there: the least lies near where a parabola has it.
    let (mut low, mut high) = ((0.0, first), (1.0, last));
    let mut mid = (0.5, f(0.5));
    for _ in 0..4 {
        if mid.1 <= 0.0 {
            return Some(mid);
        }
        // What each half could still fall to.
        let falls =
            |a: (f64, f64), b: (f64, f64)| 0.5 * (a.1 + b.1 - length * (b.0 - a.0)) < -spare;
        if mid.1 > low.1 && mid.1 > high.1 || !falls(low, mid) && !falls(mid, high) {
            return None;
        }
        let (ha, hb) = (mid.0 - low.0, high.0 - mid.0);
        let (sa, sb) = ((mid.1 - low.1) / ha, (high.1 - mid.1) / hb);
        let bend = (sb - sa) / (ha + hb);
        let slope = (sa * hb + sb * ha) / (ha + hb);
        let t = if bend > 0.0 {
            (mid.0 - 0.5 * slope / bend).clamp(low.0 + 0.05 * ha, high.0 - 0.05 * hb)
        } else {
            return None;
        };
        if (t - mid.0).abs() < 1e-3 {
            return None;
        }
        let next = (t, f(t));
        if next.1 <= mid.1 {
            if t < mid.0 {
                high = mid
            } else {
                low = mid
            }
            mid = next;
        } else if t < mid.0 {
            low = next;
        } else {
            high = next;
        }
    }
    (mid.1 <= 0.0).then_some(mid)
}

/// Twice the area swept, seen from the first corner, going along a part's boundary from one
/// place to another, counter-clockwise, over the corners between.
fn boundary(from: Vector2<f64>, to: Vector2<f64>, inside: &[bool; 3]) -> f64 {
    let along = |at: Vector2<f64>| {
        if at.y <= 0.0 {
            at.x
        } else if at.x <= 0.0 {
            3.0 - at.y
        } else {
            1.0 + at.y
        }
    };
    let (start, mut end) = (along(from), along(to));
    if end < start {
        end += 3.0;
    }
    let mut twice = 0.0;
    let mut at = from;
    for k in 0..6_u8 {
        let here = usize::from(k % 3);
        if f64::from(k) > start && f64::from(k) < end && inside[here] {
            twice += at.perp(&CORNERS[here]);
            at = CORNERS[here];
        }
    }
    twice + at.perp(&to)
}

/// Area between a chord and an arc that rises over its middle by so much (closed form); negative
/// for a negative rise.
fn segment_area(chord: f64, rise: f64) -> f64 {
    if chord <= 0.0 {
        return 0.0;
    }
    let q = 2.0 * rise.abs() / chord;
    let share = if q < 0.05 {
        // The series of what follows; the terms left out are below 1e-6 of it.
        q / 3.0 * (1.0 + q * q / 5.0)
    } else {
        let angle = 4.0 * q.atan();
        let half = (0.5 * angle).sin();
        (angle - angle.sin()) / (8.0 * half * half)
    };
    (share * chord * chord).copysign(rise)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn a_half_circle_and_a_flat_arc_have_their_areas() {
        assert!((segment_area(2.0, 1.0) - PI / 2.0).abs() < 1e-12); // closed form
        assert!((segment_area(2.0, -1.0) + PI / 2.0).abs() < 1e-12);
        // Closed form by angle: radius 10, half-angle 0.09.
        let (radius, half): (f64, f64) = (10.0, 0.09);
        let (chord, rise) = (2.0 * radius * half.sin(), radius * (1.0 - half.cos()));
        let truth = radius * radius * (half - half.sin() * half.cos());
        assert!((segment_area(chord, rise) - truth).abs() < 1e-6 * truth);
    }

    #[test]
    fn a_dip_over_an_edge_is_found_and_a_miss_is_not() {
        // Distance from a place 3 mm beside a line of 10 mm.
        let beside = |t: f64| (10.0 * t - 6.0_f64).hypot(3.0);
        for (reach, found) in [(3.2, true), (2.9, false)] {
            let f = |t: f64| beside(t) - reach;
            assert_eq!(dip([f(0.0), f(1.0)], 10.0, f).is_some(), found, "{reach}");
        }
    }
}
