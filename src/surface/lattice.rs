//! The faces of a mesh cut in four again and again, as one lattice for all of them.
//!
//! A place of the lattice has the same name whichever face it is seen from, so that values and
//! rims match across edges. The function asked must not change faster than one moves.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, faces come from a mesh Mesh::new has checked"
)]

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use nalgebra::Vector3;

use super::mesh::{FaceId, Mesh, MeshPoint};

/// A place of the lattice in a face: three counts that add up to the lattice's fineness.
pub(crate) type Place = [u32; 3];
/// The same place's name, whichever face it is seen from.
pub(crate) type Name = [u32; 4];

/// A table by name, which is only looked up in and never listed.
pub(crate) type Named<K, V> = HashMap<K, V, BuildHasherDefault<Mixer>>;

/// Mixes the few numbers of a name; names come from the mesh and not from anyone's malice.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Mixer(u64);

impl Hasher for Mixer {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(26) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn write_usize(&mut self, _length: usize) {}
}

/// How a part lies to the set where the function is not above zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    In,
    Out,
    Cut,
}

/// Values at the corners of a face, where they are known beforehand.
pub(crate) type Corners<'a> = &'a dyn Fn(FaceId) -> [f64; 3];

/// The lattice and the values found on it.
pub(crate) struct Lattice<'a> {
    pub(crate) mesh: &'a Mesh,
    pub(crate) f: &'a dyn Fn(&MeshPoint) -> f64,
    corners: Option<Corners<'a>>,
    /// Parts along each edge of a face; a power of two.
    pub(crate) count: u32,
    /// Values that faces share.
    values: Named<Name, f64>,
    /// Values in the face asked last, not a number where not asked yet.
    own: (FaceId, Vec<f64>),
    /// Edges (mm) and area (mm2) of the face asked last: asked again for each of its parts.
    measured: (FaceId, [f64; 3], f64),
}

/// Up to this fineness the values of one face are held in a plain table.
const MOST_OWN: u32 = 64;

impl<'a> Lattice<'a> {
    pub(crate) fn new(
        mesh: &'a Mesh,
        f: &'a dyn Fn(&MeshPoint) -> f64,
        corners: Option<Corners<'a>>,
    ) -> Self {
        let own = (FaceId::MAX, Vec::new());
        let measured = (FaceId::MAX, [0.0; 3], 0.0);
        Self { mesh, f, corners, count: 1, values: Named::default(), own, measured }
    }

    /// The faces among `candidates` in which the function could be zero, those in which it is
    /// not above zero anywhere, and the fineness that gives parts of about `finest_mm`.
    pub(crate) fn sort(
        &mut self,
        candidates: impl Iterator<Item = FaceId>,
        finest_mm: f64,
        deepest: u32,
    ) -> (Vec<FaceId>, Vec<FaceId>) {
        self.count = 1;
        let (mut cut, mut within) = (Vec::new(), Vec::new());
        let mut longest = 0.0_f64;
        for face in candidates {
            let length = self.mesh.frame(face).length;
            let values = match self.corners {
                Some(corners) => corners(face),
                None => self.whole().map(|place| self.value(face, place)),
            };
            match side_by(values, length) {
                Side::Out => {}
                Side::In => within.push(face),
                Side::Cut => {
                    cut.push(face);
                    longest = length.into_iter().fold(longest, f64::max);
                }
            }
        }
        // One depth for all faces, so that parts on both sides of an edge match.
        let depth = (longest / finest_mm.max(1e-3)).log2().ceil().clamp(0.0, f64::from(deepest));
        self.count = 1 << depth as u32;
        self.own = (FaceId::MAX, Vec::new());
        (cut, within)
    }

    pub(crate) fn whole(&self) -> [Place; 3] {
        [[self.count, 0, 0], [0, self.count, 0], [0, 0, self.count]]
    }

    pub(crate) fn point(&self, face: FaceId, place: Place) -> MeshPoint {
        let weights = Vector3::from(place.map(f64::from)) / f64::from(self.count);
        MeshPoint { face, weights }
    }

    pub(crate) fn name(&self, face: FaceId, place: Place) -> Name {
        let corners = self.mesh.faces[face as usize];
        if let Some(i) = (0..3).find(|i| place[*i] == self.count) {
            return [0, corners[i], 0, 0];
        }
        if let Some(i) = (0..3).find(|i| place[*i] == 0) {
            let (next, last) = ((i + 1) % 3, (i + 2) % 3);
            let ((a, ka), (b, kb)) = ((corners[next], place[next]), (corners[last], place[last]));
            return if a < b { [1, a, b, ka] } else { [1, b, a, kb] };
        }
        [2, face, place[0], place[1]]
    }

    pub(crate) fn value(&mut self, face: FaceId, place: Place) -> f64 {
        if self.count > MOST_OWN {
            return self.shared(face, place);
        }
        let across = self.count as usize + 1;
        if self.own.0 != face {
            self.own.0 = face;
            self.own.1.clear();
            self.own.1.resize(across * across, f64::NAN);
            if let Some(corners) = self.corners {
                for (value, place) in corners(face).into_iter().zip(self.whole()) {
                    self.own.1[place[0] as usize * across + place[1] as usize] = value;
                }
            }
        }
        let at = place[0] as usize * across + place[1] as usize;
        let known = self.own.1[at];
        if !known.is_nan() {
            return known;
        }
        // What lies on an edge must come out the same from both sides.
        let value = if place.contains(&0) {
            self.shared(face, place)
        } else {
            (self.f)(&self.point(face, place))
        };
        self.own.1[at] = value;
        value
    }

    fn shared(&mut self, face: FaceId, place: Place) -> f64 {
        let name = self.name(face, place);
        if let Some(value) = self.values.get(&name) {
            return *value;
        }
        let value = (self.f)(&self.point(face, place));
        self.values.insert(name, value);
        value
    }

    /// Whether the function can be zero in a part `size` counts long.
    pub(crate) fn side_of(&mut self, face: FaceId, part: [Place; 3], size: u32) -> Side {
        let scale = f64::from(size) / f64::from(self.count);
        let values = part.map(|place| self.value(face, place));
        side_by(values, self.measured(face).0.map(|l| l * scale))
    }

    /// Edges of a face, mm, and its area, mm2.
    pub(crate) fn measured(&mut self, face: FaceId) -> ([f64; 3], f64) {
        if self.measured.0 != face {
            self.measured = (face, self.mesh.frame(face).length, self.mesh.face_area_mm2(face));
        }
        (self.measured.1, self.measured.2)
    }

    /// Where between two neighbouring places the function passes zero, from 0 to 1.
    pub(crate) fn zero(&mut self, face: FaceId, start: Place, end: Place) -> (f64, MeshPoint) {
        let (a, b) = (self.point(face, start), self.point(face, end));
        let at = |t: f64| MeshPoint { face, weights: a.weights * (1.0 - t) + b.weights * t };
        let length = (self.mesh.position(&a) - self.mesh.position(&b)).norm();
        let values = [self.value(face, start), self.value(face, end)];
        let t = zero_between(values, length, |t| (self.f)(&at(t)));
        (t, at(t))
    }
}

/// The four quarters of a part.
pub(crate) fn quarters([a, b, c]: [Place; 3]) -> [[Place; 3]; 4] {
    let half = |a: Place, b: Place| [0, 1, 2].map(|i| (a[i] + b[i]) / 2);
    let (ab, bc, ca) = (half(a, b), half(b, c), half(c, a));
    [[a, ab, ca], [ab, b, bc], [ca, bc, c], [bc, ca, ab]]
}

/// Whether a function with these values at the corners can be zero in a triangle.
fn side_by(values: [f64; 3], length: [f64; 3]) -> Side {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for i in 0..3 {
        let away = length[i].max(length[(i + 2) % 3]);
        low = low.max(values[i] - away);
        high = high.min(values[i] + away);
    }
    if low > 0.0 {
        Side::Out
    } else if high <= 0.0 {
        Side::In
    } else {
        Side::Cut
    }
}

/// Where on a line, 0 to 1, a function that is not above zero at one end and above it at the
/// other passes zero, to a hundred-thousandth of the line's `length`.
pub(crate) fn zero_between(ends: [f64; 2], length: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut inner, mut outer) = if ends[0] <= 0.0 { (0.0, 1.0) } else { (1.0, 0.0) };
    let (mut below, mut above) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let close = 1e-5 * length;
    // A patch is flat inside: there only halving finds the rim.
    let flat = below >= 0.0;
    // The end that was left last, with its value: it gives the bend of the function.
    let mut left: Option<(f64, f64)> = None;
    for round in 0..40 {
        let straight = inner + (outer - inner) * (below / (below - above));
        let t = if flat || round > 4 {
            f64::midpoint(inner, outer)
        } else {
            let bent = left.map(|left| bent_zero([(inner, below), (outer, above), left], straight));
            bent.filter(|t| (t - inner) * (t - outer) < 0.0).unwrap_or(straight)
        };
        let value = f(t);
        if value <= 0.0 {
            left = Some((inner, below));
            (inner, below) = (t, value);
        } else {
            left = Some((outer, above));
            (outer, above) = (t, value);
        }
        let done = (value.abs() <= close && !flat) || (outer - inner).abs() < 1e-7;
        if done {
            return t;
        }
    }
    f64::midpoint(inner, outer)
}

/// The zero near `start` of the parabola through three places of a function.
fn bent_zero([a, b, c]: [(f64, f64); 3], start: f64) -> f64 {
    let slope = (b.1 - a.1) / (b.0 - a.0);
    let bend = ((c.1 - a.1) / (c.0 - a.0) - slope) / (c.0 - b.0);
    let mut t = start;
    for _ in 0..2 {
        let value = a.1 + (t - a.0) * (slope + (t - b.0) * bend);
        t -= value / (slope + (2.0 * t - a.0 - b.0) * bend);
    }
    t
}
