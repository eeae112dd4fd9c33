//! The triangles of a scan cut along the outlines of its panel file, so that none straddles one.
//!
//! Outlines run straight on the grid. Where one crosses an edge a corner is set that both
//! triangles share; each triangle that is crossed is then divided by itself (constrained Delaunay
//! triangulation, `spade`). New corners lie on the triangle they divide, so the skin stays what
//! it was. Grid mm.
#![allow(clippy::indexing_slicing, reason = "numbers come from the tables they index")]

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{Point2, Point3};
use spade::{ConstrainedDelaunayTriangulation, InsertionError, Triangulation};

use crate::surface::chart::chart_weights;
use crate::surface::mesh::{FaceId, Mesh};
use crate::surface::ring::Ring;

/// Places nearer than this are one, mm.
const SAME_MM: f64 = 0.02;
/// Pieces of an outline shorter than this are none, mm.
const NOTHING_MM: f64 = 1e-6;

/// The cut mesh; each triangle with the one it came from.
pub(super) struct Cut {
    pub(super) positions: Vec<Point3<f64>>,
    pub(super) grid: Vec<Point2<f64>>,
    pub(super) faces: Vec<[u32; 3]>,
    pub(super) of: Vec<FaceId>,
}

/// A corner of an outline: its place and, where it lies on the mesh, its vertex.
type Corner = (Point2<f64>, Option<u32>);

struct Knife<'m> {
    mesh: &'m Mesh,
    positions: Vec<Point3<f64>>,
    grid: Vec<Point2<f64>>,
    /// New vertices on the edge between two vertices, each with its share of the way.
    on_edge: BTreeMap<(u32, u32), Vec<(f64, u32)>>,
    inside: BTreeMap<FaceId, Vec<u32>>,
    pieces: BTreeMap<FaceId, BTreeSet<(u32, u32)>>,
}

/// Cuts along every ring.
///
/// # Errors
/// The grid place at which outlines run together too finely.
pub(super) fn cut(mesh: &Mesh, rings: &[&Ring]) -> Result<Cut, Point2<f64>> {
    let mut knife = Knife {
        mesh,
        positions: mesh.positions.clone(),
        grid: mesh.grid.clone(),
        on_edge: BTreeMap::new(),
        inside: BTreeMap::new(),
        pieces: BTreeMap::new(),
    };
    for ring in rings {
        let corners: Vec<Corner> = ring.iter().map(|at| knife.corner(*at)).collect();
        for i in 0..corners.len() {
            knife.segment(corners[i], corners[(i + 1) % corners.len()]);
        }
    }
    knife.divided()
}

impl Knife<'_> {
    fn vertex(&mut self, face: FaceId, at: Point2<f64>) -> u32 {
        let corners = self.mesh.faces[face as usize];
        let w = chart_weights(corners.map(|v| self.grid[v as usize]), at);
        let [a, b, c] = corners.map(|v| self.positions[v as usize].coords);
        self.positions.push(Point3::from(a * w.x + b * w.y + c * w.z));
        self.grid.push(at);
        self.grid.len() as u32 - 1
    }

    /// The vertex a share of the way along an edge, a known one where one stands there.
    fn along(&mut self, p: u32, q: u32, share: f64) -> u32 {
        let (low, high) = (p.min(q), p.max(q));
        let share = if p == low { share } else { 1.0 - share };
        let way = self.grid[high as usize] - self.grid[low as usize];
        let length = way.norm();
        if share * length < SAME_MM {
            return low;
        }
        if (1.0 - share) * length < SAME_MM {
            return high;
        }
        let known = self.on_edge.entry((low, high)).or_default();
        if let Some((_, v)) = known.iter().find(|(s, _)| (s - share).abs() * length < SAME_MM) {
            return *v;
        }
        let fresh = self.grid.len() as u32;
        known.push((share, fresh));
        let way_in_space = self.positions[high as usize] - self.positions[low as usize];
        self.positions.push(self.positions[low as usize] + way_in_space * share);
        self.grid.push(self.grid[low as usize] + way * share);
        fresh
    }

    /// A corner of an outline, drawn to what lies within a hair of it.
    fn corner(&mut self, at: Point2<f64>) -> Corner {
        let Some(point) = self.mesh.locate(at) else { return (at, None) };
        let corners = self.mesh.faces[point.face as usize];
        for v in corners {
            if (self.grid[v as usize] - at).norm() < SAME_MM {
                return (self.grid[v as usize], Some(v));
            }
        }
        for i in 0..3 {
            let (p, q) = (corners[i], corners[(i + 1) % 3]);
            let (from, to) = (self.grid[p as usize], self.grid[q as usize]);
            let way = to - from;
            let off = (way.perp(&(at - from)) / way.norm()).abs();
            if off < SAME_MM {
                let share = ((at - from).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
                let v = self.along(p, q, share);
                return (self.grid[v as usize], Some(v));
            }
        }
        let near = self.inside.get(&point.face).into_iter().flatten();
        let known = near.copied().find(|v| (self.grid[*v as usize] - at).norm() < SAME_MM);
        let v = known.unwrap_or_else(|| {
            let v = self.vertex(point.face, at);
            self.inside.entry(point.face).or_default().push(v);
            v
        });
        (self.grid[v as usize], Some(v))
    }

    /// One straight piece of an outline, through every triangle it crosses.
    fn segment(&mut self, (a, at_a): Corner, (b, at_b): Corner) {
        let way = b - a;
        let length = way.norm();
        for face in self.mesh.faces_in_box(a, b) {
            let corners = self.mesh.faces[face as usize];
            // Shares of the way at which it enters and leaves, and through which sides.
            let (mut enter, mut leave) = ((0.0, None), (1.0, None));
            let mut missed = false;
            for side in 0..3 {
                let (p, q) = (corners[side], corners[(side + 1) % 3]);
                let edge = self.mesh.grid[q as usize] - self.mesh.grid[p as usize];
                let size = edge.norm();
                let above = |at: Point2<f64>| edge.perp(&(at - self.mesh.grid[p as usize])) / size;
                let (from, to) = (above(a), above(b));
                let change = to - from;
                if change.abs() < 1e-12 * length {
                    missed |= from < -1e-9;
                } else if change > 0.0 {
                    let t = -from / change;
                    if t > enter.0 {
                        enter = (t, Some(side));
                    }
                } else {
                    let t = -from / change;
                    if t < leave.0 {
                        leave = (t, Some(side));
                    }
                }
            }
            if missed || (leave.0 - enter.0) * length < NOTHING_MM {
                continue;
            }
            let (Some(first), Some(last)) = (
                self.node(corners, (a, way), enter, at_a, enter.0 * length),
                self.node(corners, (a, way), leave, at_b, (1.0 - leave.0) * length),
            ) else {
                continue;
            };
            if first != last {
                let pieces = self.pieces.entry(face).or_default();
                pieces.insert((first.min(last), first.max(last)));
            }
        }
    }

    /// The vertex at which a piece enters or leaves a triangle.
    fn node(
        &mut self,
        corners: [u32; 3],
        (a, way): (Point2<f64>, nalgebra::Vector2<f64>),
        (share, side): (f64, Option<usize>),
        end: Option<u32>,
        from_end_mm: f64,
    ) -> Option<u32> {
        let Some(side) = side.filter(|_| end.is_none() || from_end_mm > 1e-6) else { return end };
        let (p, q) = (corners[side], corners[(side + 1) % 3]);
        // From the lower vertex on, so that both triangles work out the same place.
        let (low, high) = (p.min(q), p.max(q));
        let (from, to) = (self.mesh.grid[low as usize], self.mesh.grid[high as usize]);
        let edge = to - from;
        let across = way.perp(&edge);
        if across.abs() < 1e-12 {
            let at = a + way * share;
            let along = (at - from).dot(&edge) / edge.norm_squared();
            return Some(self.along(low, high, along.clamp(0.0, 1.0)));
        }
        let along = way.perp(&(a - from)) / across;
        Some(self.along(low, high, along.clamp(0.0, 1.0)))
    }

    fn divided(mut self) -> Result<Cut, Point2<f64>> {
        let mut faces = Vec::new();
        let mut of = Vec::new();
        for (face, corners) in (0..).zip(&self.mesh.faces) {
            let side = |i: usize| {
                let (p, q) = (corners[i], corners[(i + 1) % 3]);
                let mut list = self.on_edge.get(&(p.min(q), p.max(q))).cloned().unwrap_or_default();
                list.sort_by(|one, other| one.0.total_cmp(&other.0));
                if p > q {
                    list.reverse();
                }
                let mut chain = vec![p];
                chain.extend(list.iter().map(|(_, v)| *v));
                chain.push(q);
                chain
            };
            let sides = [side(0), side(1), side(2)];
            let whole = sides.iter().all(|chain| chain.len() == 2);
            let inside = self.inside.get(&face).cloned().unwrap_or_default();
            let pieces = self.pieces.get(&face).cloned().unwrap_or_default();
            if whole && inside.is_empty() && pieces.is_empty() {
                faces.push(*corners);
                of.push(face);
                continue;
            }
            let middle = corners
                .iter()
                .map(|v| self.grid[*v as usize].coords)
                .sum::<nalgebra::Vector2<f64>>()
                / 3.0;
            let new = self.divide(face, &sides, &inside, &pieces);
            let new = new.map_err(|_| Point2::from(middle))?;
            of.extend(new.iter().map(|_| face));
            faces.extend(new);
        }
        Ok(Cut { positions: self.positions, grid: self.grid, faces, of })
    }

    /// Divides one triangle.
    fn divide(
        &mut self,
        face: FaceId,
        sides: &[Vec<u32>; 3],
        inside: &[u32],
        pieces: &BTreeSet<(u32, u32)>,
    ) -> Result<Vec<[u32; 3]>, InsertionError> {
        let mut cut = ConstrainedDelaunayTriangulation::<spade::Point2<f64>>::new();
        let mut numbers: Vec<u32> = Vec::new();
        let mut handles = BTreeMap::new();
        for v in sides.iter().flatten().chain(inside) {
            if handles.contains_key(v) {
                continue;
            }
            let at = self.grid[*v as usize];
            let handle = cut.insert(spade::Point2::new(at.x, at.y))?;
            if handle.index() == numbers.len() {
                numbers.push(*v);
            }
            handles.insert(*v, handle);
        }
        for pair in sides.iter().flat_map(|chain| chain.windows(2)) {
            let (p, q) = (handles[&pair[0]], handles[&pair[1]]);
            if p != q && cut.can_add_constraint(p, q) {
                cut.add_constraint(p, q);
            }
        }
        let on_one_side =
            |all: &[u32]| sides.iter().any(|chain| all.iter().all(|v| chain.contains(v)));
        for (p, q) in pieces {
            // What runs along a side is there already.
            if on_one_side(&[*p, *q]) {
                continue;
            }
            if let (Some(p), Some(q)) = (handles.get(p), handles.get(q)) {
                cut.add_constraint_and_split(*p, *q, |at| at);
            }
        }
        // Where outlines cross within the triangle.
        for vertex in cut.vertices().skip(numbers.len()).map(|v| v.position()).collect::<Vec<_>>() {
            numbers.push(self.vertex(face, Point2::new(vertex.x, vertex.y)));
        }
        let all = cut.inner_faces().map(|one| one.vertices().map(|v| numbers[v.fix().index()]));
        Ok(all.filter(|corners| !on_one_side(corners)).collect())
    }
}
