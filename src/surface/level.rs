//! How big is the part of a panel within a reach, and where does its rim run?
//!
//! Takes a function over the mesh that changes no faster than one moves (a distance less a
//! reach, or the least of several of these) and measures where it is not above zero: area in
//! mm2, in all and by region, and the rim as lines on the surface. Faces are cut in four while
//! the function could change sign in them; the smallest parts are measured by `leaf`.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, faces come from a mesh Mesh::new has checked"
)]

use std::collections::BTreeMap;

use nalgebra::Point2;

use super::chart::bounds;
use super::field::DistanceField;
use super::lattice::{Lattice, Name, Named, Place, Side, quarters};
use super::leaf::OnEdge;
use super::mesh::{FaceId, Mesh, MeshPoint};
use super::origin::clipped_area;

/// Faces are cut in four at most this often.
const DEEPEST: u32 = 8;
/// The smallest parts are at most this fraction of the reach: a round rim is measured by its
/// true arcs, so a part may hold a third of a radian of it.
const PARTS: f64 = 3.0;
/// Smallest parts need not be smaller and are not larger than this, mm.
const PART_MM: [f64; 2] = [0.5, 12.0];

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
    let open = |face: FaceId| passable[face as usize];
    cut_out(mesh, &open, candidates, Lattice::new(mesh, f, None), finest_mm)
}

/// The lines at a distance from a field's origin, drawn in the faces to keep.
pub(crate) fn lines_at(
    field: &DistanceField<'_>,
    distance_mm: f64,
    keep: &dyn Fn(FaceId) -> bool,
    finest_mm: f64,
) -> Vec<Vec<MeshPoint>> {
    let mut candidates = field.faces_within(distance_mm);
    candidates.retain(|face| keep(*face));
    candidates.sort_unstable();
    let f = |point: &MeshPoint| field.capped(point) - distance_mm;
    let corners = |face: FaceId| field.corners(face).map(|one| one - distance_mm);
    let is_open = |face: FaceId| field.is_open(face);
    let lattice = Lattice::new(field.mesh(), &f, Some(&corners));
    cut_out(field.mesh(), &is_open, &candidates, lattice, finest_mm).outline
}

/// Whether two reaches on the same mesh have any area in common: stops at the first they have.
pub(crate) fn meet(
    (one, out_one): (&DistanceField<'_>, f64),
    (other, out_other): (&DistanceField<'_>, f64),
    finest_mm: f64,
) -> bool {
    let mesh = one.mesh();
    let (mut faces, mut theirs) = (one.faces_within(out_one), other.faces_within(out_other));
    theirs.sort_unstable();
    faces.retain(|face| theirs.binary_search(face).is_ok());
    if faces.is_empty() {
        return false;
    }
    faces.sort_unstable();
    let f = |at: &MeshPoint| (one.capped(at) - out_one).max(other.capped(at) - out_other);
    let corners = |face: FaceId| {
        let (mine, theirs) = (one.corners(face), other.corners(face));
        [0, 1, 2].map(|i| (mine[i] - out_one).max(theirs[i] - out_other))
    };
    let mut cutter = Cutter::new(mesh, &|_| true, Lattice::new(mesh, &f, Some(&corners)));
    let (cut, within) = cutter.lattice.sort(faces.into_iter(), finest_mm, DEEPEST);
    let (whole, count) = (cutter.lattice.whole(), cutter.lattice.count);
    !within.is_empty()
        || cut.into_iter().any(|face| {
            cutter.cut(face, whole, count);
            cutter.region.1 > 0.0 || cutter.level.area_mm2 > 0.0
        })
}

/// [`measure`] with what is known of the function beforehand.
fn cut_out<'a>(
    mesh: &'a Mesh,
    is_open: &'a dyn Fn(FaceId) -> bool,
    candidates: &[FaceId],
    lattice: Lattice<'a>,
    finest_mm: f64,
) -> Level {
    let mut cutter = Cutter::new(mesh, is_open, lattice);
    let open = candidates.iter().copied().filter(|face| is_open(*face));
    let (cut, within) = cutter.lattice.sort(open, finest_mm, DEEPEST);
    let (whole, count) = (cutter.lattice.whole(), cutter.lattice.count);
    for face in within {
        cutter.add(face, mesh.face_area_mm2(face));
        cutter.touch(face, &whole);
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
    let mesh = first.mesh();
    let kept: Vec<_> =
        parts.iter().filter(|(field, reach)| *reach > 0.0 || field.outline().is_some()).collect();
    let mut candidates = match kept[..] {
        [(field, reach)] => field.faces_within(*reach),
        _ => kept.iter().flat_map(|(field, reach)| field.faces_within(*reach)).collect(),
    };
    candidates.sort_unstable();
    candidates.dedup();
    let f = |point: &MeshPoint| {
        kept.iter().map(|(field, reach)| field.capped(point) - reach).fold(f64::INFINITY, f64::min)
    };
    let least =
        kept.iter().map(|(_, reach)| *reach).filter(|r| *r > 0.0).fold(f64::INFINITY, f64::min);
    let finest = (least / PARTS).clamp(PART_MM[0], PART_MM[1]);
    let corners = |face: FaceId| {
        let mut least = [f64::INFINITY; 3];
        for (field, reach) in &kept {
            for (least, one) in least.iter_mut().zip(field.corners(face)) {
                *least = least.min(one - reach);
            }
        }
        least
    };
    let is_open = |face: FaceId| first.is_open(face);
    let lattice = Lattice::new(mesh, &f, Some(&corners));
    let mut level = cut_out(mesh, &is_open, &candidates, lattice, finest);
    if let [(field, reach)] = kept[..]
        && *reach <= 0.0
        && let Some(outline) = field.outline()
    {
        level.area_by_region_mm2 = cut_exactly(mesh, &is_open, &candidates, outline);
        level.area_mm2 = level.area_by_region_mm2.values().sum();
    }
    level
}

/// Area of a patch by region, mm2: its outline on the grid cut exactly against the passable faces,
/// straight edges against straight edges. No distances are worked out.
#[must_use]
pub fn patch_by_region(
    mesh: &Mesh,
    passable: &[bool],
    outline: &[Point2<f64>],
) -> BTreeMap<Option<u16>, f64> {
    let is_open = |face: FaceId| passable[face as usize];
    let (low, high) = bounds(outline.iter().copied());
    let near = |face: &FaceId| {
        let corners = mesh.faces[*face as usize].map(|v| mesh.grid[v as usize]);
        let (least, most) = bounds(corners.into_iter());
        least.x <= high.x && most.x >= low.x && least.y <= high.y && most.y >= low.y
    };
    let faces: Vec<FaceId> = (0..).take(mesh.faces.len()).filter(near).collect();
    cut_exactly(mesh, &is_open, &faces, outline)
}

fn cut_exactly(
    mesh: &Mesh,
    is_open: &dyn Fn(FaceId) -> bool,
    candidates: &[FaceId],
    outline: &[Point2<f64>],
) -> BTreeMap<Option<u16>, f64> {
    let mut by_region: BTreeMap<Option<u16>, f64> = BTreeMap::new();
    for &face in candidates.iter().filter(|face| is_open(**face)) {
        let corners = mesh.faces[face as usize].map(|v| mesh.grid[v as usize]);
        let whole = 0.5 * (corners[1] - corners[0]).perp(&(corners[2] - corners[0])).abs();
        let area = clipped_area(outline, corners) / whole * mesh.face_area_mm2(face);
        if area > 0.0 {
            *by_region.entry(mesh.tags[face as usize].region).or_default() += area;
        }
    }
    by_region
}

/// Everything found so far.
pub(super) struct Cutter<'a> {
    pub(super) mesh: &'a Mesh,
    is_open: &'a dyn Fn(FaceId) -> bool,
    pub(super) lattice: Lattice<'a>,
    /// What was found on the edges of smallest parts.
    pub(super) crossings: Named<[Name; 2], OnEdge>,
    pub(super) points: Vec<MeshPoint>,
    pub(super) links: Vec<[usize; 2]>,
    level: Level,
    /// Area gathered in one region and not yet entered.
    region: (Option<u16>, f64),
}

impl<'a> Cutter<'a> {
    fn new(mesh: &'a Mesh, is_open: &'a dyn Fn(FaceId) -> bool, lattice: Lattice<'a>) -> Self {
        Self {
            mesh,
            is_open,
            lattice,
            crossings: Named::default(),
            points: Vec::new(),
            links: Vec::new(),
            level: Level::default(),
            region: (None, 0.0),
        }
    }

    fn cut(&mut self, face: FaceId, part: [Place; 3], size: u32) {
        let scale = f64::from(size) / f64::from(self.lattice.count);
        let area = self.lattice.measured(face).1 * scale * scale;
        match self.lattice.side_of(face, part, size) {
            Side::Out => {}
            Side::In => {
                self.add(face, area);
                self.touch(face, &part);
            }
            Side::Cut if size == 1 => self.leaf(face, part, area),
            Side::Cut => {
                for quarter in quarters(part) {
                    self.cut(face, quarter, size / 2);
                }
            }
        }
    }

    /// Counts area that lies inside.
    pub(super) fn add(&mut self, face: FaceId, area: f64) {
        let region = self.mesh.tags[face as usize].region;
        if region != self.region.0 {
            self.enter_region();
            self.region.0 = region;
        }
        self.region.1 += area;
    }

    fn enter_region(&mut self) {
        let (region, area) = self.region;
        if area > 0.0 {
            self.level.area_mm2 += area;
            *self.level.area_by_region_mm2.entry(region).or_default() += area;
        }
        self.region.1 = 0.0;
    }

    /// Notes what the edges on which these places of a face lie meet.
    pub(super) fn touch(&mut self, face: FaceId, inside: &[Place]) {
        for side in 0..3 {
            if !inside.iter().any(|place| place[(side + 2) % 3] == 0) {
                continue;
            }
            match self.mesh.across[face as usize][side] {
                None => self.level.touches_edge = true,
                Some(_) if self.level.touches_opening => {}
                Some(other) if !(self.is_open)(other) => {
                    let opening = self.mesh.tags[other as usize].opening.is_some();
                    self.level.touches_opening |= opening;
                }
                Some(_) => {}
            }
        }
    }

    /// Joins the cuts into lines.
    fn finish(mut self) -> Level {
        self.enter_region();
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
