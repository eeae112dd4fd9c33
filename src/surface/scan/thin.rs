//! A dense scan with fewer triangles, its edge and its openings kept.
//!
//! Edges are drawn together in order of what that costs: the mean square distance of the new
//! corner from the planes of the triangles that meet in it (quadric error: Garland and Heckbert,
//! SIGGRAPH 1997; published), each plane weighted by its area. Each sweep looks at all edges,
//! takes the cheaper half, and touches no corner twice, so the order of the file decides nothing
//! and the work is shared by all cores. Rims and borders of openings get planes across the skin
//! and their corners stay on them. What is cheap by planes is not yet right, so the result is
//! measured against the dense scan ([`super::measure`]).
#![allow(clippy::indexing_slicing, reason = "corner numbers come from the triangles they index")]

use nalgebra::{Point3, Vector3};
use rayon::prelude::*;

use super::edges::{NONE, pair};
use super::quadric::Quadric;
use super::three;

/// A panel needs no more triangles than this [computed: areas within reach to 0.012 % at 14 mm].
pub(super) const ENOUGH_FACES: usize = 10_000;
/// Planes across a rim weigh so many times the triangles beside it.
const RIM_WEIGHT: f64 = 10.0;
/// Neighbours may turn by this cosine at most when an edge is drawn together.
const TURN_COSINE: f64 = 0.3;
/// Triangles do not become flatter than this, twice the area over the longest side squared.
const FLATTEST: f64 = 0.05;
/// Triangles lower than this are drawn together first, mm.
const NEEDLE_MM: f64 = 1e-3;

/// What a corner may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Class {
    /// Within the skin.
    Inner,
    /// On a rim or border that goes on both ways.
    Line,
    /// Where rims and borders meet.
    Fixed,
}

/// A mesh being thinned.
pub(super) struct Thinned {
    pub(super) positions: Vec<Point3<f64>>,
    pub(super) faces: Vec<[u32; 3]>,
    pub(super) labels: Vec<Option<u16>>,
    /// The corner that stands for each corner of the dense scan.
    pub(super) stands_for: Vec<u32>,
}

struct Work {
    positions: Vec<Point3<f64>>,
    quadrics: Vec<Quadric>,
    classes: Vec<Class>,
    faces: Vec<[u32; 3]>,
    labels: Vec<Option<u16>>,
    stands_for: Vec<u32>,
}

/// An edge that may be drawn together.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    cost: f32,
    face: u32,
    side: u8,
    to: Point3<f64>,
}

/// Thins until there are few enough triangles or no edge is left that costs less than the mean
/// distance `within_mm`.
pub(super) fn thin(
    positions: &[Point3<f64>],
    faces: &[[u32; 3]],
    labels: &[Option<u16>],
    within_mm: f64,
) -> Thinned {
    let middle = positions.iter().map(|p| p.coords).sum::<Vector3<f64>>() / positions.len() as f64;
    let mut work = Work::new(positions.iter().map(|p| p - middle).collect(), faces, labels);
    let limit = within_mm * within_mm;
    while work.faces.len() > ENOUGH_FACES && work.sweep(limit, ENOUGH_FACES, false) {}
    // Triangles without height cannot be measured on; there are few of them.
    for _ in 0..20 {
        if !work.sweep(limit, 0, true) {
            break;
        }
    }
    Thinned {
        positions: work.positions.iter().map(|p| p + middle).collect(),
        faces: work.faces,
        labels: work.labels,
        stands_for: work.stands_for,
    }
}

fn twice_area(positions: &[Point3<f64>], face: [u32; 3]) -> Vector3<f64> {
    let [a, b, c] = three(positions, face);
    (b - a).cross(&(c - a))
}

fn longest(positions: &[Point3<f64>], face: [u32; 3]) -> f64 {
    let [a, b, c] = three(positions, face);
    (b - a).norm().max((c - b).norm()).max((a - c).norm())
}

impl Work {
    fn new(positions: Vec<Point3<f64>>, faces: &[[u32; 3]], labels: &[Option<u16>]) -> Self {
        let edges = pair(positions.len(), faces);
        let mut quadrics = vec![Quadric::nothing(); positions.len()];
        let mut lines = vec![0_u8; positions.len()];
        for face in faces {
            let area = twice_area(&positions, *face);
            let Some(unit) = area.try_normalize(1e-12) else { continue };
            for v in face {
                quadrics[*v as usize].add_plane(unit, positions[*v as usize], area.norm());
            }
        }
        for (number, face) in faces.iter().enumerate() {
            for side in 0..3 {
                let next = edges.across[number][side];
                if next != NONE && labels[next as usize] == labels[number] {
                    continue;
                }
                let ends = [face[side], face[(side + 1) % 3]];
                // Both triangles of a border see it; it counts once.
                if next == NONE || ends[0] < ends[1] {
                    for v in ends {
                        lines[v as usize] = lines[v as usize].saturating_add(1);
                    }
                }
                let [a, b] = ends.map(|v| positions[v as usize]);
                let across = twice_area(&positions, *face).cross(&(b - a));
                let Some(unit) = across.try_normalize(1e-12) else { continue };
                for v in ends {
                    let weight = RIM_WEIGHT * (b - a).norm_squared();
                    quadrics[v as usize].add_plane(unit, a, weight);
                }
            }
        }
        let classes = lines
            .iter()
            .map(|count| match count {
                0 => Class::Inner,
                2 => Class::Line,
                _ => Class::Fixed,
            })
            .collect();
        let stands_for = (0..positions.len() as u32).collect();
        let (faces, labels) = (faces.to_vec(), labels.to_vec());
        Self { positions, quadrics, classes, faces, labels, stands_for }
    }

    /// What it costs to draw an edge together, and where to.
    fn candidate(&self, face: usize, side: usize, limit: f64) -> Option<Candidate> {
        let corners = &self.faces[face];
        let (a, b) = (corners[side] as usize, corners[(side + 1) % 3] as usize);
        let both_on_lines = self.classes[a] != Class::Inner && self.classes[b] != Class::Inner;
        if a > b && !both_on_lines {
            return None;
        }
        let quadric = self.quadrics[a].plus(&self.quadrics[b]);
        let (p, q) = (self.positions[a], self.positions[b]);
        let to = match (self.classes[a], self.classes[b]) {
            (Class::Fixed, Class::Fixed) => return None,
            (Class::Fixed, _) | (Class::Line, Class::Inner) => p,
            (_, Class::Fixed) | (Class::Inner, Class::Line) => q,
            _ => {
                let half = nalgebra::center(&p, &q);
                // A place far off is what nearly parallel planes give.
                let near = |at: &Point3<f64>| (at - half).norm() <= (q - p).norm();
                quadric.best(half).filter(near).unwrap_or(half)
            }
        };
        let cost = quadric.mean_square(to);
        // Where all is flat the short edges go first.
        let order = cost + 1e-7 * (q - p).norm_squared();
        (cost <= limit).then_some(Candidate {
            cost: order as f32,
            face: face as u32,
            side: side as u8,
            to,
        })
    }

    /// One sweep; false when it changed little.
    fn sweep(&mut self, limit: f64, enough: usize, needles_only: bool) -> bool {
        let this = &*self;
        let mut found: Vec<Candidate> = (0..self.faces.len())
            .into_par_iter()
            .with_min_len(4096)
            .flat_map_iter(|face| {
                let corners = this.faces[face];
                let wanted = !needles_only
                    || twice_area(&this.positions, corners).norm()
                        <= NEEDLE_MM * longest(&this.positions, corners);
                (0..3).filter_map(
                    move |side| {
                        if wanted { this.candidate(face, side, limit) } else { None }
                    },
                )
            })
            .collect();
        found.par_sort_unstable_by(|one, other| {
            one.cost
                .total_cmp(&other.cost)
                .then(one.face.cmp(&other.face))
                .then(one.side.cmp(&other.side))
        });
        if !needles_only && found.len() > 2000 {
            found.truncate(found.len() / 2);
        }
        let round = Round::new(self.positions.len(), &self.faces);
        let mut locked = vec![false; self.positions.len()];
        let mut gone = vec![false; self.faces.len()];
        let mut left = self.faces.len();
        let mut lists = Lists::default();
        for one in &found {
            if left <= enough {
                break;
            }
            left -= self.draw_together(one, &round, &mut locked, &mut gone, &mut lists);
        }
        let before = self.faces.len();
        let mut at = 0;
        self.labels.retain(|_| {
            at += 1;
            !gone[at - 1]
        });
        at = 0;
        self.faces.retain(|_| {
            at += 1;
            !gone[at - 1]
        });
        // A last sweep that gains a hundredth or less is not worth another one.
        before - self.faces.len() > if needles_only { 0 } else { before / 200 }
    }

    /// Draws an edge together where that is lawful; gives the number of triangles that go.
    fn draw_together(
        &mut self,
        one: &Candidate,
        round: &Round,
        locked: &mut [bool],
        gone: &mut [bool],
        lists: &mut Lists,
    ) -> usize {
        let (face, side) = (one.face as usize, one.side as usize);
        if gone[face] {
            return 0;
        }
        let (a, b) = (self.faces[face][side], self.faces[face][(side + 1) % 3]);
        if a == b || locked[a as usize] || locked[b as usize] {
            return 0;
        }
        lists.gather(&self.faces, round, gone, [a, b]);
        let Lists { shared, ring, beside: [of_a, of_b] } = lists;
        let is_line = match shared[..] {
            [_] => true,
            [f, g] => self.labels[f as usize] != self.labels[g as usize],
            _ => return 0,
        };
        let on_lines =
            self.classes[a as usize] != Class::Inner && self.classes[b as usize] != Class::Inner;
        if on_lines && !is_line {
            return 0;
        }
        let common = of_a.iter().filter(|v| of_b.contains(v)).count();
        // The two ends are in both lists.
        if common != shared.len() + 2 || of_a.len() + of_b.len() < 8 {
            return 0;
        }
        if !ring.iter().all(|f| self.stays_sound(*f, [a, b], one.to)) {
            return 0;
        }
        let keep = a.min(b);
        let other = a.max(b);
        for f in ring {
            for v in self.faces[*f as usize].iter_mut().filter(|v| **v == other) {
                *v = keep;
            }
        }
        for f in &*shared {
            gone[*f as usize] = true;
        }
        self.positions[keep as usize] = one.to;
        self.quadrics[keep as usize] = self.quadrics[a as usize].plus(&self.quadrics[b as usize]);
        let class = |v: u32| self.classes[v as usize];
        self.classes[keep as usize] = match (class(a), class(b)) {
            (Class::Fixed, _) | (_, Class::Fixed) => Class::Fixed,
            (Class::Line, _) | (_, Class::Line) => Class::Line,
            _ => Class::Inner,
        };
        self.stands_for[other as usize] = keep;
        locked[a as usize] = true;
        locked[b as usize] = true;
        shared.len()
    }

    /// A triangle neither turns over nor becomes a needle when two corners go to a new place.
    fn stays_sound(&self, face: u32, ends: [u32; 2], to: Point3<f64>) -> bool {
        let corners = self.faces[face as usize];
        let old = twice_area(&self.positions, corners);
        let at = |v: u32| if ends.contains(&v) { to } else { self.positions[v as usize] };
        let (a, b, c) = (at(corners[0]), at(corners[1]), at(corners[2]));
        let new = (b - a).cross(&(c - a));
        let side = (b - a).norm_squared().max((c - b).norm_squared()).max((a - c).norm_squared());
        let was = longest(&self.positions, corners);
        let (old_size, new_size) = (old.norm(), new.norm());
        let was_needle = old_size <= NEEDLE_MM * was;
        let shape = new_size / side.max(1e-30);
        let shape_before = old_size / (was * was).max(1e-30);
        if shape < FLATTEST && shape <= shape_before {
            return false;
        }
        was_needle || new.dot(&old) > TURN_COSINE * old_size * new_size
    }
}

/// What stands round an edge; kept from edge to edge so that room is asked for once.
#[derive(Default)]
struct Lists {
    /// Triangles that hold both ends.
    shared: Vec<u32>,
    /// Triangles that hold one end.
    ring: Vec<u32>,
    /// Corners of the triangles at each end, the end itself among them.
    beside: [Vec<u32>; 2],
}

impl Lists {
    fn gather(&mut self, faces: &[[u32; 3]], round: &Round, gone: &[bool], ends: [u32; 2]) {
        self.shared.clear();
        self.ring.clear();
        for (i, end) in ends.into_iter().enumerate() {
            self.beside[i].clear();
            for f in round.of(end).iter().filter(|f| !gone[**f as usize]) {
                let corners = faces[*f as usize];
                if corners.contains(&ends[1 - i]) {
                    if i == 0 {
                        self.shared.push(*f);
                    }
                } else {
                    self.ring.push(*f);
                }
                for v in corners {
                    if !self.beside[i].contains(&v) {
                        self.beside[i].push(v);
                    }
                }
            }
        }
    }
}

/// Triangles round each corner at the start of a sweep.
struct Round {
    start: Vec<u32>,
    list: Vec<u32>,
}

impl Round {
    fn new(corners: usize, faces: &[[u32; 3]]) -> Self {
        let mut start = vec![0_u32; corners + 2];
        for v in faces.iter().flatten() {
            start[*v as usize + 2] += 1;
        }
        for v in 2..start.len() {
            start[v] += start[v - 1];
        }
        let mut list = vec![0; faces.len() * 3];
        for (number, face) in (0..).zip(faces) {
            for v in face {
                let slot = &mut start[*v as usize + 1];
                list[*slot as usize] = number;
                *slot += 1;
            }
        }
        Self { start, list }
    }

    fn of(&self, v: u32) -> &[u32] {
        &self.list[self.start[v as usize] as usize..self.start[v as usize + 1] as usize]
    }
}
