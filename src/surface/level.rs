//! How big is the part of a panel within a reach, and where does its rim run?
//!
//! Takes a function over the mesh that changes no faster than one moves (a distance less a
//! reach, or the least of several of these) and measures where it is not above zero: area in
//! mm2, in all and by region, and the rim as lines on the surface. Faces are cut in four while
//! the function could change sign in them; in the smallest parts the rim's crossings are found
//! on the function itself and the bow between them is added (Simpson's rule, closed form for a
//! parabola), because a straight cut alone is always too small on a round rim.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, faces come from a mesh Mesh::new has checked"
)]

use std::collections::{BTreeMap, HashMap};

use nalgebra::{Point2, Vector3};

use super::field::DistanceField;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::clipped_area;

/// Faces are cut in four at most this often.
const DEEPEST: u32 = 8;
/// The smallest parts are about this fraction of the reach.
const PARTS: f64 = 24.0;
/// Smallest parts need not be smaller than this, mm.
const LEAST_PART_MM: f64 = 0.25;

/// The part of a panel where a function is not above zero.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Level {
    /// Its area, mm2.
    pub area_mm2: f64,
    /// Its area by region, mm2.
    pub area_by_region_mm2: BTreeMap<Option<u16>, f64>,
    /// Its rim where the function is zero; a closed line ends where it began.
    pub outline: Vec<Vec<MeshPoint>>,
    /// It meets the edge of the panel.
    pub touches_edge: bool,
    /// It meets an opening.
    pub touches_opening: bool,
}

/// Measures where `f` is not above zero, over the `candidates` that are passable, with smallest
/// parts of about `finest_mm`. `f` must not change faster than one moves over the surface.
#[must_use]
pub fn measure(
    mesh: &Mesh,
    passable: &[bool],
    candidates: &[FaceId],
    f: &dyn Fn(&MeshPoint) -> f64,
    finest_mm: f64,
) -> Level {
    let mut cutter = Cutter {
        mesh,
        passable,
        f,
        count: 1,
        values: HashMap::new(),
        crossings: HashMap::new(),
        points: Vec::new(),
        links: Vec::new(),
        level: Level::default(),
    };
    let mut cut = Vec::new();
    let mut longest = 0.0_f64;
    for &face in candidates.iter().filter(|f| passable[**f as usize]) {
        match cutter.side_of(face, whole_face(1), 1.0) {
            Side::Out => {}
            Side::In => cutter.add(face, mesh.face_area_mm2(face), &whole_face(1)),
            Side::Cut => {
                longest = mesh.frames[face as usize].length.into_iter().fold(longest, f64::max);
                cut.push(face);
            }
        }
    }
    // One depth for all faces, so that parts on both sides of an edge match.
    let depth = (longest / finest_mm.max(1e-3)).log2().ceil().clamp(0.0, f64::from(DEEPEST)) as u32;
    cutter.count = 1 << depth;
    for face in cut {
        cutter.cut(face, whole_face(cutter.count), cutter.count);
    }
    cutter.finish()
}

/// Everything within `reach_mm` of the field's origin. Reach 0 is a patch itself, and nothing
/// for points and lines.
#[must_use]
pub fn area_within(field: &DistanceField<'_>, reach_mm: f64) -> Level {
    union(&[(field, reach_mm)])
}

/// Everything within its own reach of at least one of several origins on the same mesh (the
/// lower envelope of the distances less their reaches); the ground is counted once.
#[must_use]
pub fn union(parts: &[(&DistanceField<'_>, f64)]) -> Level {
    let Some((first, _)) = parts.first() else { return Level::default() };
    let (mesh, passable) = (first.mesh(), first.passable());
    let kept: Vec<_> =
        parts.iter().filter(|(field, reach)| *reach > 0.0 || field.outline().is_some()).collect();
    let mut candidates: Vec<FaceId> = kept.iter().flat_map(|(field, _)| field.faces_met()).collect();
    candidates.sort_unstable();
    candidates.dedup();
    let f = |point: &MeshPoint| {
        kept.iter().map(|(field, reach)| field.capped(point) - reach).fold(f64::INFINITY, f64::min)
    };
    let least = kept.iter().map(|(_, reach)| *reach).filter(|r| *r > 0.0).fold(48.0, f64::min);
    let mut level = measure(mesh, passable, &candidates, &f, (least / PARTS).max(LEAST_PART_MM));
    if let [(field, reach)] = kept[..]
        && *reach <= 0.0
        && let Some(outline) = field.outline()
    {
        replace_areas(&mut level, mesh, passable, &candidates, outline);
    }
    level
}

/// A patch without any reach is cut exactly, straight edges against straight edges.
fn replace_areas(
    level: &mut Level,
    mesh: &Mesh,
    passable: &[bool],
    candidates: &[FaceId],
    outline: &[Point2<f64>],
) {
    level.area_mm2 = 0.0;
    level.area_by_region_mm2.clear();
    for &face in candidates.iter().filter(|f| passable[**f as usize]) {
        let corners = mesh.faces[face as usize].map(|v| mesh.grid[v as usize]);
        let whole = 0.5 * (corners[1] - corners[0]).perp(&(corners[2] - corners[0])).abs();
        let area = clipped_area(outline, corners) / whole * mesh.face_area_mm2(face);
        if area > 0.0 {
            level.area_mm2 += area;
            let region = mesh.tags[face as usize].region;
            *level.area_by_region_mm2.entry(region).or_default() += area;
        }
    }
}

/// A place of the lattice in a face: three counts that add up to the lattice's fineness.
type Place = [u32; 3];
/// The same place's name, whichever face it is seen from.
type Name = [u32; 4];

const fn whole_face(count: u32) -> [Place; 3] {
    [[count, 0, 0], [0, count, 0], [0, 0, count]]
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    In,
    Out,
    Cut,
}

struct Cutter<'a> {
    mesh: &'a Mesh,
    passable: &'a [bool],
    f: &'a dyn Fn(&MeshPoint) -> f64,
    count: u32,
    values: HashMap<Name, f64>,
    crossings: HashMap<[Name; 2], (usize, f64)>,
    points: Vec<MeshPoint>,
    links: Vec<[usize; 2]>,
    level: Level,
}

impl Cutter<'_> {
    fn point(&self, face: FaceId, place: Place) -> MeshPoint {
        let weights = Vector3::from(place.map(f64::from)) / f64::from(self.count);
        MeshPoint { face, weights }
    }

    fn name(&self, face: FaceId, place: Place) -> Name {
        let corners = self.mesh.faces[face as usize];
        if let Some(i) = (0..3).find(|i| place[*i] == self.count) {
            return [0, corners[i], 0, 0];
        }
        if let Some(i) = (0..3).find(|i| place[*i] == 0) {
            let ((a, ka), (b, kb)) = (
                (corners[(i + 1) % 3], place[(i + 1) % 3]),
                (corners[(i + 2) % 3], place[(i + 2) % 3]),
            );
            return if a < b { [1, a, b, ka] } else { [1, b, a, kb] };
        }
        [2, face, place[0], place[1]]
    }

    fn value(&mut self, face: FaceId, place: Place) -> f64 {
        let name = self.name(face, place);
        if let Some(value) = self.values.get(&name) {
            return *value;
        }
        let value = (self.f)(&self.point(face, place));
        self.values.insert(name, value);
        value
    }

    /// Whether the function can be zero in a part; `scale` is the part's size to its face's.
    fn side_of(&mut self, face: FaceId, part: [Place; 3], scale: f64) -> Side {
        let values = part.map(|place| self.value(face, place));
        let length = self.mesh.frames[face as usize].length.map(|l| l * scale);
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

    fn cut(&mut self, face: FaceId, part: [Place; 3], size: u32) {
        let scale = f64::from(size) / f64::from(self.count);
        let area = self.mesh.face_area_mm2(face) * scale * scale;
        match self.side_of(face, part, scale) {
            Side::Out => {}
            Side::In => self.add(face, area, &part),
            Side::Cut if size == 1 => self.leaf(face, part, area),
            Side::Cut => {
                let half = |a: Place, b: Place| [0, 1, 2].map(|i| (a[i] + b[i]) / 2);
                let [a, b, c] = part;
                let (ab, bc, ca) = (half(a, b), half(b, c), half(c, a));
                for smaller in [[a, ab, ca], [ab, b, bc], [ca, bc, c], [bc, ca, ab]] {
                    self.cut(face, smaller, size / 2);
                }
            }
        }
    }

    /// Counts a part that lies inside.
    fn add(&mut self, face: FaceId, area: f64, inside: &[Place]) {
        self.level.area_mm2 += area;
        let region = self.mesh.tags[face as usize].region;
        *self.level.area_by_region_mm2.entry(region).or_default() += area;
        for side in 0..3 {
            if !inside.iter().any(|place| place[(side + 2) % 3] == 0) {
                continue;
            }
            match self.mesh.across[face as usize][side] {
                None => self.level.touches_edge = true,
                Some(other) if !self.passable[other as usize] => {
                    let opening = self.mesh.tags[other as usize].opening.is_some();
                    self.level.touches_opening |= opening;
                }
                Some(_) => {}
            }
        }
    }

    /// Measures a smallest part.
    fn leaf(&mut self, face: FaceId, part: [Place; 3], area: f64) {
        let inside = part.map(|place| self.value(face, place) <= 0.0);
        let within: Vec<Place> = (0..3).filter(|i| inside[*i]).map(|i| part[i]).collect();
        let alone = match within.len() {
            0 => return,
            3 => return self.add(face, area, &within),
            1 => (0..3).find(|i| inside[*i]),
            _ => (0..3).find(|i| !inside[*i]),
        };
        let Some(i) = alone else { return };
        let (first, t1) = self.crossing(face, part[i], part[(i + 1) % 3]);
        let (last, t2) = self.crossing(face, part[i], part[(i + 2) % 3]);
        let corner = area * t1 * t2;
        let straight = if within.len() == 1 { corner } else { area - corner };
        // The bow of the rim over the straight cut.
        let ends = [first, last].map(|k| self.mesh.express(&self.points[k], face));
        let bow = if let [Some(a), Some(b)] = ends {
            let chord = (self.mesh.position(&a) - self.mesh.position(&b)).norm();
            let middle = MeshPoint { face, weights: (a.weights + b.weights) / 2.0 };
            -2.0 / 3.0 * chord * (self.f)(&middle).clamp(-chord / 2.0, chord / 2.0)
        } else {
            0.0
        };
        self.add(face, (straight + bow).max(0.0), &within);
        self.links.push([first, last]);
    }

    /// The place on a part's edge where the function is zero: its number and how far along.
    fn crossing(&mut self, face: FaceId, from: Place, to: Place) -> (usize, f64) {
        let names = [self.name(face, from), self.name(face, to)];
        let turn = names[0] > names[1];
        let key = if turn { [names[1], names[0]] } else { names };
        let (start, end) = if turn { (to, from) } else { (from, to) };
        let found = if let Some(found) = self.crossings.get(&key) {
            *found
        } else {
            let (a, b) = (self.point(face, start), self.point(face, end));
            let at = |t: f64| MeshPoint { face, weights: a.weights * (1.0 - t) + b.weights * t };
            let length = (self.mesh.position(&a) - self.mesh.position(&b)).norm();
            let values = [self.value(face, start), self.value(face, end)];
            let t = zero_between(values, length, |t| (self.f)(&at(t)));
            self.points.push(at(t));
            self.crossings.insert(key, (self.points.len() - 1, t));
            (self.points.len() - 1, t)
        };
        (found.0, if turn { 1.0 - found.1 } else { found.1 })
    }

    /// Joins the cuts into lines.
    fn finish(self) -> Level {
        let mut next: Vec<Vec<usize>> = vec![Vec::new(); self.points.len()];
        for (i, [a, b]) in self.links.iter().enumerate() {
            next[*a].push(i);
            next[*b].push(i);
        }
        let mut used = vec![false; self.links.len()];
        let mut level = self.level;
        let ends = (0..next.len()).filter(|p| next[*p].len() == 1);
        for start in ends.chain(0..next.len()) {
            let mut line = vec![start];
            let mut at = start;
            while let Some(&link) = next[at].iter().find(|l| !used[**l]) {
                used[link] = true;
                let [a, b] = self.links[link];
                at = if a == at { b } else { a };
                line.push(at);
            }
            if line.len() > 1 {
                level.outline.push(line.into_iter().map(|p| self.points[p]).collect());
            }
        }
        level
    }
}

/// Where along an edge, 0 to 1, a function that is not above zero at one end and above it at the
/// other passes zero.
pub(crate) fn zero_between(ends: [f64; 2], length: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut inner, mut outer) = if ends[0] <= 0.0 { (0.0, 1.0) } else { (1.0, 0.0) };
    let (mut below, mut above) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let close = 1e-7 * length;
    for round in 0..40 {
        // A patch is flat inside: there only halving finds the rim.
        let share = if below >= 0.0 || round > 4 { 0.5 } else { below / (below - above) };
        let t = inner + (outer - inner) * share;
        let value = f(t);
        if value <= 0.0 {
            (inner, below) = (t, value);
        } else {
            (outer, above) = (t, value);
        }
        let done = (value.abs() <= close && below < 0.0) || (outer - inner).abs() < 1e-7;
        if done {
            return t;
        }
    }
    (inner + outer) / 2.0
}
