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

use std::collections::BTreeMap;

use nalgebra::Point2;

use super::field::DistanceField;
use super::lattice::{Lattice, Name, Named, Place, Side, quarters};
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::clipped_area;

/// Faces are cut in four at most this often.
const DEEPEST: u32 = 8;
/// The smallest parts are about this fraction of the reach; with the bow added the area of a
/// disc is then right to about a millionth.
const PARTS: f64 = 5.0;
/// Smallest parts need not be smaller and are not larger than this, mm.
const PART_MM: [f64; 2] = [1.0, 8.0];

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
        lattice: Lattice::new(mesh, f),
        crossings: Named::default(),
        points: Vec::new(),
        links: Vec::new(),
        level: Level::default(),
    };
    let open = candidates.iter().copied().filter(|face| passable[*face as usize]);
    let (cut, within) = cutter.lattice.sort(open, finest_mm, DEEPEST);
    let (whole, count) = (cutter.lattice.whole(), cutter.lattice.count);
    for face in within {
        cutter.add(face, mesh.face_area_mm2(face), &whole);
    }
    for face in cut {
        cutter.cut(face, whole, count);
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
    let mut candidates: Vec<FaceId> =
        kept.iter().flat_map(|(field, _)| field.faces_met()).collect();
    candidates.sort_unstable();
    candidates.dedup();
    let f = |point: &MeshPoint| {
        kept.iter().map(|(field, reach)| field.capped(point) - reach).fold(f64::INFINITY, f64::min)
    };
    let least =
        kept.iter().map(|(_, reach)| *reach).filter(|r| *r > 0.0).fold(f64::INFINITY, f64::min);
    let finest = (least / PARTS).clamp(PART_MM[0], PART_MM[1]);
    let mut level = measure(mesh, passable, &candidates, &f, finest);
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

struct Cutter<'a> {
    mesh: &'a Mesh,
    passable: &'a [bool],
    lattice: Lattice<'a>,
    crossings: Named<[Name; 2], (usize, f64)>,
    points: Vec<MeshPoint>,
    links: Vec<[usize; 2]>,
    level: Level,
}

impl Cutter<'_> {
    fn cut(&mut self, face: FaceId, part: [Place; 3], size: u32) {
        let scale = f64::from(size) / f64::from(self.lattice.count);
        let area = self.mesh.face_area_mm2(face) * scale * scale;
        match self.lattice.side_of(face, part, size) {
            Side::Out => {}
            Side::In => self.add(face, area, &part),
            Side::Cut if size == 1 => self.leaf(face, part, area),
            Side::Cut => {
                for quarter in quarters(part) {
                    self.cut(face, quarter, size / 2);
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
        let inside = part.map(|place| self.lattice.value(face, place) <= 0.0);
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
            -2.0 / 3.0 * chord * (self.lattice.f)(&middle).clamp(-chord / 2.0, chord / 2.0)
        } else {
            0.0
        };
        self.add(face, (straight + bow).max(0.0), &within);
        self.links.push([first, last]);
    }

    /// The place on a part's edge where the function is zero: its number and how far along.
    fn crossing(&mut self, face: FaceId, from: Place, to: Place) -> (usize, f64) {
        let names = [self.lattice.name(face, from), self.lattice.name(face, to)];
        let turn = names[0] > names[1];
        let key = if turn { [names[1], names[0]] } else { names };
        let (start, end) = if turn { (to, from) } else { (from, to) };
        let found = if let Some(found) = self.crossings.get(&key) {
            *found
        } else {
            let (t, point) = self.lattice.zero(face, start, end);
            self.points.push(point);
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
