//! What is the whole rim of a part of a panel, the panel's own edge and openings along it
//! included?
//!
//! [`super::level`] gives the lines where a reach ends; where the part runs over the edge of the
//! panel these lines stay open. Here they are joined along the border they end on, and borders
//! that lie wholly inside are added, so that every line is closed: what a ply is cut to.
#![allow(
    clippy::indexing_slicing,
    reason = "corner numbers are taken modulo 3, knots are numbered as they are made"
)]

use std::collections::BTreeMap;

use super::field::DistanceField;
use super::level::Level;
use super::mesh::{FaceId, Mesh, MeshPoint};

/// A line's end this near to an edge, as a share of the face's height, lies on it.
const ON_EDGE: f64 = 1e-6;

/// Where lines and borders meet: a corner of the mesh, or an end of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Knot {
    Corner(u32),
    End(usize, bool),
}

/// Closed lines round the part of a panel that `level` is the measure of: everything within its
/// own reach of at least one of the origins. Each ends where it began.
#[must_use]
pub fn closed_rim(parts: &[(&DistanceField<'_>, f64)], level: &Level) -> Vec<Vec<MeshPoint>> {
    let Some((first, _)) = parts.first() else { return Vec::new() };
    let mesh = first.mesh();
    let within = |point: &MeshPoint| parts.iter().any(|(field, reach)| field.at(point) <= *reach);
    let mut faces: Vec<FaceId> =
        parts.iter().flat_map(|(field, reach)| field.faces_within(*reach)).collect();
    faces.sort_unstable();
    faces.dedup();

    let mut web = Web::default();
    let mut closed = Vec::new();
    let mut open = Vec::new();
    for line in &level.outline {
        if line.len() > 2 && line.first() == line.last() {
            closed.push(line.clone());
        } else if line.len() > 1 {
            open.push(line);
        }
    }
    for (number, line) in open.iter().enumerate() {
        web.link(Knot::End(number, false), Knot::End(number, true), line.to_vec());
    }
    for face in faces.into_iter().filter(|face| first.is_open(*face)) {
        for side in 0..3 {
            let across = mesh.across[face as usize][side];
            if across.is_none_or(|other| !first.is_open(other)) {
                border(&mut web, mesh, face, side, &open, &within);
            }
        }
    }
    closed.extend(web.loops());
    closed
}

/// Adds the parts of one border edge that lie within.
fn border(
    web: &mut Web,
    mesh: &Mesh,
    face: FaceId,
    side: usize,
    open: &[&Vec<MeshPoint>],
    within: &dyn Fn(&MeshPoint) -> bool,
) {
    let [from, to] = mesh.edge(face, side);
    let mut stops = vec![(0.0, Knot::Corner(from)), (1.0, Knot::Corner(to))];
    for (number, line) in open.iter().enumerate() {
        for (last, end) in [(false, line.first()), (true, line.last())] {
            let here = end.and_then(|end| mesh.express(end, face));
            let Some(end) = here.filter(|end| end.weights[(side + 2) % 3].abs() < ON_EDGE) else {
                continue;
            };
            stops.push((end.weights[(side + 1) % 3].clamp(0.0, 1.0), Knot::End(number, last)));
        }
    }
    stops.sort_by(|one, other| one.0.total_cmp(&other.0));
    for pair in stops.windows(2) {
        let ((a, start), (b, end)) = (pair[0], pair[1]);
        if within(&mesh.on_edge(face, side, f64::midpoint(a, b))) || b - a <= ON_EDGE {
            let ends = [a, b].map(|t| mesh.on_edge(face, side, t));
            web.link(start, end, ends.to_vec());
        }
    }
}

/// Lines between knots.
#[derive(Default)]
struct Web {
    links: Vec<(Knot, Knot, Vec<MeshPoint>)>,
    at: BTreeMap<Knot, Vec<usize>>,
}

impl Web {
    fn link(&mut self, from: Knot, to: Knot, line: Vec<MeshPoint>) {
        let number = self.links.len();
        self.at.entry(from).or_default().push(number);
        self.at.entry(to).or_default().push(number);
        self.links.push((from, to, line));
    }

    /// Every closed walk, each link once.
    fn loops(&self) -> Vec<Vec<MeshPoint>> {
        let mut used = vec![false; self.links.len()];
        let mut loops = Vec::new();
        for start in 0..self.links.len() {
            if used[start] {
                continue;
            }
            used[start] = true;
            let (home, there, first) = &self.links[start];
            let mut here = *there;
            let mut line = first.clone();
            while here != *home {
                let next = self.at.get(&here).into_iter().flatten().find(|link| !used[**link]);
                let Some(&next) = next else { break };
                used[next] = true;
                let (from, to, points) = &self.links[next];
                if *from == here {
                    line.extend(points.iter().skip(1));
                    here = *to;
                } else {
                    line.extend(points.iter().rev().skip(1));
                    here = *from;
                }
            }
            // A walk that does not come home is a border met at a single place.
            if here == *home && line.len() > 2 {
                if let (Some(first), Some(last)) = (line.first().copied(), line.last_mut()) {
                    *last = first;
                }
                loops.push(line);
            }
        }
        loops
    }
}
