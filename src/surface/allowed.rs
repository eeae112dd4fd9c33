//! Which part of the surface do two tapes allow, when each may be off by a stated width?
//!
//! Takes the fields and readings of [`super::place`] with a width each (mm) and the chosen
//! place; gives sample points about 3 mm apart over the connected part that holds the place,
//! rim included, thinned to at most 200 with the farthest kept first.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, member numbers come from the same list"
)]

use std::collections::BTreeMap;

use nalgebra::Point3;

use super::field::DistanceField;
use super::lattice::{Lattice, Name, Place, Side, quarters};
use super::mesh::{FaceId, Mesh, MeshPoint};

/// Sample points lie about this near to each other, mm.
const SPACING_MM: f64 = 3.0;
/// At most this many are given.
const MOST: usize = 200;

/// A reading: the field of its landmark, the tape and by how much it may be off, mm.
#[derive(Debug, Clone, Copy)]
pub struct Reading<'a> {
    /// Distances from the landmark over the filled surface.
    pub field: &'a DistanceField<'a>,
    /// The tape, mm.
    pub tape_mm: f64,
    /// Half the width it may be off by, mm.
    pub width_mm: f64,
}

/// Sample points of the connected part both readings allow that holds `chosen`; `chosen` itself
/// comes first.
#[must_use]
pub fn allowed_region(
    mesh: &Mesh,
    a: &Reading<'_>,
    b: &Reading<'_>,
    chosen: &MeshPoint,
) -> Vec<MeshPoint> {
    let off = |r: &Reading<'_>, p: &MeshPoint| (r.field.capped(p) - r.tape_mm).abs() - r.width_mm;
    let f = |p: &MeshPoint| off(a, p).max(off(b, p));
    let corners = |face: FaceId| {
        let off = |r: &Reading<'_>| {
            r.field.corners(face).map(|known| (known - r.tape_mm).abs() - r.width_mm)
        };
        let (by_a, by_b) = (off(a), off(b));
        [0, 1, 2].map(|i: usize| by_a[i].max(by_b[i]))
    };
    let mut lattice = Lattice::new(mesh, &f, Some(&corners));
    let mut candidates = a.field.faces_within(a.tape_mm + a.width_mm);
    candidates.sort_unstable();
    let finest = SPACING_MM.min(a.width_mm / 2.0).min(b.width_mm / 2.0).max(0.25);
    let (cut, within) = lattice.sort(candidates.into_iter(), finest, 6);
    let mut cloud =
        Cloud { lattice, numbers: BTreeMap::new(), points: Vec::new(), group: Vec::new() };
    let (whole, count) = (cloud.lattice.whole(), cloud.lattice.count);
    for face in cut.into_iter().chain(within) {
        cloud.gather(face, whole, count);
    }
    let home = mesh.position(chosen);
    let miss = |p: &MeshPoint| (mesh.position(p) - home).norm();
    let nearest = (0..cloud.points.len())
        .min_by(|i, j| miss(&cloud.points[*i]).total_cmp(&miss(&cloud.points[*j])));
    let mut kept = vec![*chosen];
    if let Some(nearest) = nearest {
        let group = cloud.root(nearest);
        for i in 0..cloud.points.len() {
            if cloud.root(i) == group {
                kept.push(cloud.points[i]);
            }
        }
    }
    thin(mesh, kept)
}

/// Places allowed so far and which of them hang together.
struct Cloud<'a> {
    lattice: Lattice<'a>,
    numbers: BTreeMap<[Name; 2], usize>,
    points: Vec<MeshPoint>,
    group: Vec<usize>,
}

impl Cloud<'_> {
    fn gather(&mut self, face: FaceId, part: [Place; 3], size: u32) {
        if self.lattice.side_of(face, part, size) == Side::Out {
            return;
        }
        if size > 1 {
            for quarter in quarters(part) {
                self.gather(face, quarter, size / 2);
            }
            return;
        }
        let inside = part.map(|place| self.lattice.value(face, place) <= 0.0);
        let mut first = None;
        for i in 0..3 {
            let next = (i + 1) % 3;
            if inside[i] {
                let name = self.lattice.name(face, part[i]);
                let point = self.lattice.point(face, part[i]);
                let number = self.number([name, name], || point);
                self.join(*first.get_or_insert(number), number);
            }
            if inside[i] != inside[next] {
                let names = [part[i], part[next]].map(|place| self.lattice.name(face, place));
                let key = [names[0].min(names[1]), names[0].max(names[1])];
                let point = if self.numbers.contains_key(&key) {
                    self.lattice.point(face, part[i])
                } else {
                    self.lattice.zero(face, part[i], part[next]).1
                };
                let number = self.number(key, || point);
                self.join(*first.get_or_insert(number), number);
            }
        }
    }

    fn number(&mut self, key: [Name; 2], point: impl FnOnce() -> MeshPoint) -> usize {
        let count = self.points.len();
        let number = *self.numbers.entry(key).or_insert(count);
        if number == count {
            self.points.push(point());
            self.group.push(count);
        }
        number
    }

    fn root(&mut self, mut i: usize) -> usize {
        while self.group[i] != i {
            self.group[i] = self.group[self.group[i]];
            i = self.group[i];
        }
        i
    }

    fn join(&mut self, i: usize, j: usize) {
        let (i, j) = (self.root(i), self.root(j));
        self.group[i.max(j)] = i.min(j);
    }
}

/// Keeps the extremes on the grid and in space, then always the point farthest from all kept.
fn thin(mesh: &Mesh, points: Vec<MeshPoint>) -> Vec<MeshPoint> {
    if points.len() <= MOST {
        return points;
    }
    let places: Vec<Point3<f64>> = points.iter().map(|p| mesh.position(p)).collect();
    let mut order = vec![0];
    for turn in 0..16 {
        let (sin, cos) = (f64::from(turn) * std::f64::consts::PI / 8.0).sin_cos();
        let reach = |i: &usize| {
            let g = mesh.grid(&points[*i]);
            g.x * cos + g.y * sin
        };
        order.extend((0..points.len()).max_by(|i, j| reach(i).total_cmp(&reach(j))));
    }
    order.dedup();
    let mut gap = vec![f64::INFINITY; points.len()];
    let mut kept = Vec::new();
    let mut next = 0;
    while kept.len() < MOST {
        let take = if kept.len() < order.len() { order[kept.len()] } else { next };
        kept.push(points[take]);
        for (gap, place) in gap.iter_mut().zip(&places) {
            *gap = gap.min((place - places[take]).norm());
        }
        next = (0..points.len()).max_by(|i, j| gap[*i].total_cmp(&gap[*j])).unwrap_or(0);
    }
    kept
}
