//! Which triangles cover the face, fine enough for its bends?
//!
//! The grid is cut by lines whose spacing follows the bend of the skin, and by every outline that
//! a face must not straddle. The cut is a constrained Delaunay triangulation (`spade`). Grid mm.
#![allow(
    clippy::indexing_slicing,
    reason = "numbers come from the tables they index, made in this file"
)]

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::Point2;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Triangulation};

use super::form::Form;
use super::ring;
use super::spacing::{SPACING_MM, Spacing};
use super::web::{Piece, Web};

/// A panel has no more faces than this.
pub(crate) const MOST_FACES: usize = 60_000;
/// The face cut into triangles on the grid.
#[derive(Debug)]
pub(crate) struct Cut {
    /// Vertices.
    pub(crate) grid: Vec<Point2<f64>>,
    /// Faces, counter-clockwise on the grid.
    pub(crate) faces: Vec<[u32; 3]>,
    /// Vertices of the outer outline in order, counter-clockwise.
    pub(crate) rim: Vec<u32>,
}

/// Why no cut was made.
#[derive(Debug)]
pub(crate) enum CutFault {
    /// So many faces would be needed.
    TooMany(usize),
    /// Two outlines run into each other too finely at a place.
    Tangled(Point2<f64>),
}

/// Cuts the face inside `outer` so that no triangle straddles an inner outline.
///
/// # Errors
/// [`CutFault`] when too many faces would be needed or outlines cannot be told apart.
pub(crate) fn cut(
    form: &dyn Form,
    outer: &[Point2<f64>],
    inner: &[ring::Ring],
) -> Result<Cut, CutFault> {
    let spacing = Spacing::of(form);
    let (low, high) = spacing.bounds;
    let tallest =
        (0..=20).map(|k| form.top(low + f64::from(k) / 20.0 * (high - low))).fold(0.0, f64::max);
    let columns = Spacing::lines(&spacing.along, high - low);
    let rows = Spacing::lines(&spacing.up, tallest);
    // Two faces to each place of the net.
    let faces = 2 * columns.len() * rows.len();
    if faces > MOST_FACES {
        return Err(CutFault::TooMany(faces));
    }

    let mut web = Web::default();
    for i in 0..outer.len() {
        web.edge(outer[i], outer[(i + 1) % outer.len()], true);
    }
    for ring in inner {
        for i in 0..ring.len() {
            web.edge(ring[i], ring[(i + 1) % ring.len()], false);
        }
    }
    for crease in form.creases() {
        for pair in columns.windows(2) {
            web.edge(form.at_share(pair[0], crease), form.at_share(pair[1], crease), false);
        }
    }
    for at in form.measured() {
        if ring::holds(outer, at) {
            web.place(at);
        }
    }
    let strung = web.strung();

    let mut grid = web.places.clone();
    let mut pieces: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    let mut rim: Vec<u32> = Vec::new();
    for (chain, is_outer) in &strung {
        for pair in chain.windows(2) {
            let key = (pair[0].min(pair[1]), pair[0].max(pair[1]));
            let (a, b) = (grid[key.0], grid[key.1]);
            let on_rim = *is_outer || pieces.contains_key(&key);
            if !on_rim && !ring::holds(outer, nalgebra::center(&a, &b)) {
                continue;
            }
            let between = pieces.entry(key).or_insert_with(|| {
                let cuts = spacing.cut(form, a, b);
                let first = grid.len();
                grid.extend(cuts);
                (first..grid.len()).collect()
            });
            if *is_outer {
                rim.push(pair[0] as u32);
                if pair[0] < pair[1] {
                    rim.extend(between.iter().map(|v| *v as u32));
                } else {
                    rim.extend(between.iter().rev().map(|v| *v as u32));
                }
            }
        }
    }
    let mut constraints = Vec::new();
    for (key, between) in &pieces {
        let mut chain = vec![key.0];
        chain.extend(between);
        chain.push(key.1);
        constraints.extend(chain.windows(2).map(|pair| [pair[0], pair[1]]));
    }
    // Places welded outside the outline (corners of regions that reach over it) are not used.
    let used: BTreeSet<usize> = constraints.iter().flatten().copied().collect();
    let lone: Vec<usize> = (0..web.places.len())
        .filter(|v| !used.contains(v) && ring::holds(outer, grid[*v]))
        .collect();

    let near = Near::new(&grid, &constraints, &lone);
    for p in &columns {
        for q in &rows {
            let at = form.at_share(*p, *q);
            let (h, w) = spacing.at(form, at);
            if ring::holds(outer, at) && near.clear_of(at, 0.45 * h.min(w)) {
                grid.push(at);
            }
        }
    }
    let fresh: Vec<usize> = (web.places.len()..grid.len()).collect();
    let kept: BTreeSet<usize> = used.iter().copied().chain(lone).chain(fresh).collect();
    triangulate(&grid, &kept, &constraints, &rim)
}

/// Edges and places in buckets, to ask what lies near.
struct Near {
    cell: f64,
    buckets: BTreeMap<(i64, i64), Vec<Piece>>,
}

impl Near {
    fn new(grid: &[Point2<f64>], edges: &[[usize; 2]], lone: &[usize]) -> Self {
        let mut near = Self { cell: SPACING_MM.0, buckets: BTreeMap::new() };
        let all = edges.iter().copied().chain(lone.iter().map(|v| [*v, *v]));
        for [a, b] in all {
            let (a, b) = (grid[a], grid[b]);
            let (low, high) = (near.bucket(a.inf(&b)), near.bucket(a.sup(&b)));
            for x in low.0..=high.0 {
                for y in low.1..=high.1 {
                    near.buckets.entry((x, y)).or_default().push((a, b));
                }
            }
        }
        near
    }

    fn bucket(&self, at: Point2<f64>) -> (i64, i64) {
        ((at.x / self.cell).floor() as i64, (at.y / self.cell).floor() as i64)
    }

    fn clear_of(&self, at: Point2<f64>, reach: f64) -> bool {
        let (x, y) = self.bucket(at);
        (x - 1..=x + 1).all(|x| {
            (y - 1..=y + 1).all(|y| {
                self.buckets.get(&(x, y)).is_none_or(|list| {
                    list.iter().all(|(a, b)| {
                        let along = b - a;
                        let t = ((at - a).dot(&along) / along.norm_squared().max(1e-30))
                            .clamp(0.0, 1.0);
                        (a + along * t - at).norm() > reach
                    })
                })
            })
        })
    }
}

#[derive(Debug, Clone, Copy)]
struct Corner(f64, f64);

impl HasPosition for Corner {
    type Scalar = f64;
    fn position(&self) -> spade::Point2<f64> {
        spade::Point2::new(self.0, self.1)
    }
}

fn triangulate(
    grid: &[Point2<f64>],
    kept: &BTreeSet<usize>,
    constraints: &[[usize; 2]],
    rim: &[u32],
) -> Result<Cut, CutFault> {
    let mut number = vec![usize::MAX; grid.len()];
    let mut places = Vec::with_capacity(kept.len());
    for v in kept {
        number[*v] = places.len();
        places.push(grid[*v]);
    }
    let corners: Vec<Corner> = places.iter().map(|p| Corner(p.x, p.y)).collect();
    let edges: Vec<[usize; 2]> = constraints.iter().map(|e| e.map(|v| number[v])).collect();
    let mut tangled = None;
    let cut =
        ConstrainedDelaunayTriangulation::<Corner>::try_bulk_load_cdt(corners, edges, |edge| {
            tangled = Some(edge[0])
        });
    let anywhere = places.first().copied().unwrap_or_default();
    let Ok(cut) = cut else { return Err(CutFault::Tangled(anywhere)) };
    if let Some(at) = tangled {
        return Err(CutFault::Tangled(places.get(at).copied().unwrap_or(anywhere)));
    }
    if cut.num_vertices() != places.len() {
        return Err(CutFault::Tangled(anywhere));
    }
    // The outside is what can be reached from the hull without stepping over an outline.
    let mut outside = vec![false; cut.num_all_faces()];
    let mut open = vec![cut.outer_face().fix().index()];
    outside[open[0]] = true;
    let mut beyond: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for edge in cut.undirected_edges().filter(|e| !e.is_constraint_edge()) {
        let way = edge.as_directed();
        let (a, b) = (way.face().fix().index(), way.rev().face().fix().index());
        beyond.entry(a).or_default().push(b);
        beyond.entry(b).or_default().push(a);
    }
    while let Some(face) = open.pop() {
        for next in beyond.get(&face).into_iter().flatten() {
            if !outside[*next] {
                outside[*next] = true;
                open.push(*next);
            }
        }
    }
    let faces = cut
        .inner_faces()
        .filter(|face| !outside[face.fix().index()])
        .map(|face| face.vertices().map(|v| v.fix().index() as u32))
        .collect();
    let rim = rim.iter().map(|v| number[*v as usize] as u32).collect();
    Ok(Cut { grid: places, faces, rim })
}
