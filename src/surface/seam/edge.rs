//! Which stretch of a skin's rim does a seam run along, and where does the rim get a vertex more?
//!
//! Takes a mesh and places in space; gives stretches of the rim by arc length (mm) from the first
//! vertex of their rim, and cuts rim faces so that a place on the rim is a vertex. A cut moves
//! nothing: it lies on a straight edge, so areas and distances stay as they were.
#![allow(
    clippy::indexing_slicing,
    reason = "vertex and face numbers come from the mesh itself, rim numbers from its list"
)]

use std::collections::BTreeMap;

use nalgebra::{Point2, Point3};

use crate::surface::mesh::{FaceTag, Mesh, MeshFault, VertexId};

/// Places on a rim nearer than this are one, mm.
pub(super) const SAME_MM: f64 = 1e-3;
/// An end of a seam this near a corner of the rim is that corner, mm.
const END_MM: f64 = 0.5;
/// Two ways round a rim this near in length leave it open which is meant.
const AS_LONG: f64 = 0.9;

/// A skin being cut along its rims.
#[derive(Debug, Clone)]
pub(super) struct Skin {
    positions: Vec<Point3<f64>>,
    grid: Vec<Point2<f64>>,
    faces: Vec<[VertexId; 3]>,
    tags: Vec<FaceTag>,
    /// Closed rims.
    pub(super) rims: Vec<Rim>,
}

/// A closed rim, as its faces run along it.
#[derive(Debug, Clone)]
pub(super) struct Rim {
    /// Arc length and vertex, rising.
    at: Vec<(f64, VertexId)>,
    /// All of it, mm.
    pub(super) length_mm: f64,
}

/// A stretch of a rim.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub(super) rim: usize,
    /// Where it starts, arc length in mm.
    pub(super) from_mm: f64,
    /// How far it goes; less than 0 against the way of the faces.
    pub(super) run_mm: f64,
}

impl Stretch {
    /// Lowest arc length and length, as the faces run.
    pub(super) fn forward(&self, rim_mm: f64) -> (f64, f64) {
        let start = if self.run_mm < 0.0 { self.from_mm + self.run_mm } else { self.from_mm };
        (start.rem_euclid(rim_mm), self.run_mm.abs())
    }
}

/// Why places are no stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum NoStretch {
    /// A place is this far off the rim, mm.
    Off { place: usize, miss_mm: f64 },
    /// Two places are on different rims.
    Apart { place: usize },
    /// Both ways round are about as long.
    EitherWay { place: usize },
    /// The places run to and fro.
    BackAndForth { place: usize },
}

impl Skin {
    pub(super) fn new(mesh: &Mesh) -> Option<Self> {
        let mut next: BTreeMap<VertexId, VertexId> = BTreeMap::new();
        for (face, side) in mesh.boundary_edges() {
            let [from, to] = mesh.edge(face, side);
            // A rim that meets itself in a corner has no one way round.
            if next.insert(from, to).is_some() {
                return None;
            }
        }
        let mut rims = Vec::new();
        while let Some((&first, _)) = next.iter().next() {
            let (mut here, mut length_mm, mut at) = (first, 0.0, Vec::new());
            while let Some(to) = next.remove(&here) {
                at.push((length_mm, here));
                length_mm += (mesh.positions[to as usize] - mesh.positions[here as usize]).norm();
                here = to;
            }
            rims.push(Rim { at, length_mm });
        }
        Some(Self {
            positions: mesh.positions.clone(),
            grid: mesh.grid.clone(),
            faces: mesh.faces.clone(),
            tags: mesh.tags.clone(),
            rims,
        })
    }

    pub(super) fn finish(&self) -> Result<Mesh, MeshFault> {
        Mesh::new(self.positions.clone(), self.grid.clone(), self.faces.clone(), self.tags.clone())
    }

    /// Nearest place of the rims: rim, arc length, miss in mm.
    fn nearest(&self, place: Point3<f64>) -> (usize, f64, f64) {
        let mut best = (0, 0.0, f64::INFINITY);
        for (number, rim) in self.rims.iter().enumerate() {
            for (k, (start, from)) in rim.at.iter().enumerate() {
                let to = rim.at[(k + 1) % rim.at.len()].1;
                let (a, b) = (self.positions[*from as usize], self.positions[to as usize]);
                let along = b - a;
                let t = ((place - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
                let miss = (a + along * t - place).norm();
                if miss < best.2 {
                    let (mut s, length) = (t * along.norm(), along.norm());
                    if s < END_MM.min(length / 2.0) {
                        s = 0.0;
                    } else if length - s < END_MM.min(length / 2.0) {
                        s = length;
                    }
                    best = (number, (start + s).rem_euclid(rim.length_mm), miss);
                }
            }
        }
        best
    }

    /// The stretch through places on the rim, the shorter way from each to the next.
    pub(super) fn stretch(
        &self,
        places: &[Point3<f64>],
        most_off_mm: f64,
    ) -> Result<Stretch, NoStretch> {
        let mut whole: Option<Stretch> = None;
        let mut before: Option<(usize, f64)> = None;
        for (place, at) in places.iter().enumerate() {
            let (rim, s, miss_mm) = self.nearest(*at);
            if miss_mm > most_off_mm {
                return Err(NoStretch::Off { place, miss_mm });
            }
            if let Some((known, last)) = before {
                if known != rim {
                    return Err(NoStretch::Apart { place });
                }
                let length_mm = self.rims[rim].length_mm;
                let ahead = (s - last).rem_euclid(length_mm);
                let back = length_mm - ahead;
                if ahead.min(back) > AS_LONG * ahead.max(back) {
                    return Err(NoStretch::EitherWay { place });
                }
                let run = if ahead < back { ahead } else { -back };
                let all = whole.get_or_insert(Stretch { rim, from_mm: last, run_mm: 0.0 });
                if all.run_mm * run < 0.0 || (all.run_mm + run).abs() >= length_mm {
                    return Err(NoStretch::BackAndForth { place });
                }
                all.run_mm += run;
            }
            before = Some((rim, s));
        }
        match whole {
            Some(all) if all.run_mm.abs() > SAME_MM => Ok(all),
            _ => Err(NoStretch::BackAndForth { place: 0 }),
        }
    }

    /// The vertex at an arc length of a rim; the rim is cut there if it has none.
    pub(super) fn vertex_at(&mut self, rim: usize, at_mm: f64) -> VertexId {
        let length_mm = self.rims[rim].length_mm;
        let at_mm = at_mm.rem_euclid(length_mm);
        let round = &self.rims[rim].at;
        let after = round.partition_point(|(s, _)| *s <= at_mm);
        let (low, from) = round[after - 1];
        let (high, to) = round.get(after).copied().unwrap_or((length_mm, round[0].1));
        if at_mm - low < SAME_MM {
            return from;
        }
        if high - at_mm < SAME_MM {
            return to;
        }
        let t = (at_mm - low) / (high - low);
        let new = self.positions.len() as VertexId;
        let (a, b) = (self.positions[from as usize], self.positions[to as usize]);
        self.positions.push(a + (b - a) * t);
        let (a, b) = (self.grid[from as usize], self.grid[to as usize]);
        self.grid.push(a + (b - a) * t);
        let found = self.faces.iter().enumerate().find_map(|(face, corners)| {
            (0..3).find(|i| corners[*i] == from && corners[(i + 1) % 3] == to).map(|i| (face, i))
        });
        if let Some((face, side)) = found {
            let mut rest = self.faces[face];
            self.faces[face][(side + 1) % 3] = new;
            rest[side] = new;
            self.faces.push(rest);
            self.tags.push(self.tags[face]);
        }
        self.rims[rim].at.insert(after, (at_mm, new));
        new
    }

    /// Vertices strictly inside a stretch, in its own order, with their share of its length.
    pub(super) fn inside(&self, of: &Stretch) -> Vec<(f64, VertexId)> {
        let rim = &self.rims[of.rim];
        let mut found: Vec<(f64, VertexId)> = rim
            .at
            .iter()
            .map(|(s, vertex)| {
                let run = if of.run_mm > 0.0 { s - of.from_mm } else { of.from_mm - s };
                (run.rem_euclid(rim.length_mm), *vertex)
            })
            .filter(|(run, _)| *run > SAME_MM && *run < of.run_mm.abs() - SAME_MM)
            .map(|(run, vertex)| (run / of.run_mm.abs(), vertex))
            .collect();
        found.sort_by(|one, other| one.0.total_cmp(&other.0));
        found
    }

    /// The vertex at a share of a stretch.
    pub(super) fn vertex_along(&mut self, of: &Stretch, share: f64) -> VertexId {
        self.vertex_at(of.rim, of.from_mm + of.run_mm * share)
    }
}

/// Cuts two skins so that both have the same vertices along a seam; gives them in pairs, from the
/// seam's start to its end, matched by their share of its length.
pub(super) fn match_up(
    skins: &mut [Skin],
    (one, of_one): (usize, &Stretch),
    (other, of_other): (usize, &Stretch),
) -> Vec<(VertexId, VertexId)> {
    let (a, b) = (skins[one].inside(of_one), skins[other].inside(of_other));
    let same = SAME_MM / of_one.run_mm.abs();
    let mut pairs =
        vec![(skins[one].vertex_along(of_one, 0.0), skins[other].vertex_along(of_other, 0.0))];
    let (mut i, mut j) = (0, 0);
    while i < a.len() || j < b.len() {
        let (s, t) = (
            a.get(i).map_or(f64::INFINITY, |found| found.0),
            b.get(j).map_or(f64::INFINITY, |found| found.0),
        );
        if (s - t).abs() < same {
            pairs.push((a[i].1, b[j].1));
            (i, j) = (i + 1, j + 1);
        } else if s < t {
            pairs.push((a[i].1, skins[other].vertex_along(of_other, s)));
            i += 1;
        } else {
            pairs.push((skins[one].vertex_along(of_one, t), b[j].1));
            j += 1;
        }
    }
    pairs.push((skins[one].vertex_along(of_one, 1.0), skins[other].vertex_along(of_other, 1.0)));
    pairs
}
