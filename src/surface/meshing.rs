//! Which triangles cover the face, fine enough for its bends?
//!
//! The grid is cut by lines whose spacing follows the bend of the skin, and by every outline that
//! a face must not straddle. The cut is a constrained Delaunay triangulation (`spade`). Grid mm.
#![allow(
    clippy::indexing_slicing,
    reason = "numbers come from the tables they index, made in this file"
)]

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{Point2, Vector2};
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Triangulation};

use super::form::Form;
use super::ring;

/// Greatest gap between a face and the smooth skin, mm.
const SAGITTA_MM: f64 = 0.04;
/// Greatest and least spacing of the lines, mm.
const SPACING_MM: (f64, f64) = (20.0, 1.0);
/// A panel has at least about this many lines over the mean of its sides.
const LEAST_LINES: f64 = 36.0;
/// Lines one way may be this many times wider apart than the other way.
const MOST_STRETCH: f64 = 3.0;
/// Places nearer than this become one vertex, mm.
const WELD_MM: f64 = 0.02;
/// A panel has no more faces than this.
pub(crate) const MOST_FACES: usize = 60_000;
/// Places at which the bend is looked at, each way.
const SAMPLES: usize = 48;

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

/// Spacing of the lines along the grid's two directions, by share of length and height.
struct Spacing {
    along: Vec<f64>,
    up: Vec<f64>,
    bounds: (f64, f64),
}

impl Spacing {
    fn of(form: &dyn Form) -> Self {
        let bounds = form.along();
        let length = bounds.1 - bounds.0;
        let height = form.top(0.5 * (bounds.0 + bounds.1));
        let widest = SPACING_MM.0.min((length * height).sqrt() / LEAST_LINES).max(SPACING_MM.1);
        let step = 0.004 * length.min(height);
        let mut spacing = Self { along: vec![widest; SAMPLES], up: vec![widest; SAMPLES], bounds };
        for i in 0..SAMPLES {
            for j in 0..SAMPLES {
                let share = |k: usize| (k as f64 + 0.5) / SAMPLES as f64;
                let at = form.at_share(share(i), share(j));
                let (here, normal) = (form.at(at), form.normal(at));
                let needed = |way: Vector2<f64>| {
                    let sum = (form.at(at + way * step) - here) + (form.at(at - way * step) - here);
                    (8.0 * SAGITTA_MM * step * step / sum.dot(&normal).abs().max(1e-12)).sqrt()
                };
                spacing.along[i] = spacing.along[i].min(needed(Vector2::x()));
                spacing.up[j] = spacing.up[j].min(needed(Vector2::y()));
            }
        }
        let least = |list: &[f64]| list.iter().copied().fold(f64::INFINITY, f64::min);
        let hold = |list: &mut Vec<f64>, most: f64| {
            for h in list {
                *h = h.clamp(SPACING_MM.1, most.max(SPACING_MM.1));
            }
        };
        let (a, b) = (least(&spacing.along), least(&spacing.up));
        hold(&mut spacing.along, MOST_STRETCH * b);
        hold(&mut spacing.up, MOST_STRETCH * a);
        spacing
    }

    fn at(&self, form: &dyn Form, place: Point2<f64>) -> (f64, f64) {
        let pick = |list: &[f64], share: f64| {
            let at = (share * list.len() as f64).clamp(0.0, list.len() as f64 - 1.0);
            list[at as usize]
        };
        let share = (place.x - self.bounds.0) / (self.bounds.1 - self.bounds.0);
        (pick(&self.along, share), pick(&self.up, place.y / form.top(place.x)))
    }

    /// Shares at which lines are drawn, ends included, for a side of a length.
    fn lines(list: &[f64], length: f64) -> Vec<f64> {
        let part = length / list.len() as f64;
        let weights: Vec<f64> = list.iter().map(|h| part / h).collect();
        evenly(&weights).iter().map(|at| at / list.len() as f64).collect()
    }

    /// Cuts an edge into pieces as short as its surroundings ask; ends left out.
    fn cut(&self, form: &dyn Form, a: Point2<f64>, b: Point2<f64>) -> Vec<Point2<f64>> {
        let along = b - a;
        let pieces = 16;
        let weights: Vec<f64> = (0..pieces)
            .map(|k| {
                let at = a + along * ((f64::from(k) + 0.5) / f64::from(pieces));
                let (h, w) = self.at(form, at);
                (along.x / h).hypot(along.y / w) / f64::from(pieces)
            })
            .collect();
        let stops = evenly(&weights);
        stops[1..stops.len() - 1].iter().map(|at| a + along * (at / f64::from(pieces))).collect()
    }
}

/// Places (in cells) that share a row of weights evenly, no share above one; ends included.
fn evenly(weights: &[f64]) -> Vec<f64> {
    let total: f64 = weights.iter().sum();
    let count = (total - 1e-9).ceil().max(1.0);
    let mut stops = vec![0.0];
    let (mut before, mut cell) = (0.0, 0);
    for k in 1..count as usize {
        let aim = total * k as f64 / count;
        while cell + 1 < weights.len() && before + weights[cell] < aim {
            before += weights[cell];
            cell += 1;
        }
        stops.push(cell as f64 + (aim - before) / weights[cell]);
    }
    stops.push(weights.len() as f64);
    stops
}

/// Edges and lone places, welded and cut where they meet.
#[derive(Default)]
struct Web {
    places: Vec<Point2<f64>>,
    edges: Vec<(usize, usize, bool)>,
}

impl Web {
    fn place(&mut self, at: Point2<f64>) -> usize {
        if let Some(known) = self.places.iter().position(|p| (p - at).norm() < WELD_MM) {
            return known;
        }
        self.places.push(at);
        self.places.len() - 1
    }

    fn edge(&mut self, a: Point2<f64>, b: Point2<f64>, outer: bool) {
        let (a, b) = (self.place(a), self.place(b));
        if a != b {
            self.edges.push((a, b, outer));
        }
    }

    fn ends(&self, edge: usize) -> (Point2<f64>, Point2<f64>) {
        (self.places[self.edges[edge].0], self.places[self.edges[edge].1])
    }

    /// Adds every crossing to the places, then strings each edge through the places on it.
    fn strung(&mut self) -> Vec<(Vec<usize>, bool)> {
        for i in 0..self.edges.len() {
            for j in i + 1..self.edges.len() {
                let (first, second) = (self.ends(i), self.ends(j));
                if boxes_apart(first, second) {
                    continue;
                }
                if let Some(at) = ring::meeting(first, second) {
                    self.place(at);
                }
            }
        }
        (0..self.edges.len())
            .map(|edge| {
                let (a, b) = self.ends(edge);
                let along = b - a;
                let length = along.norm();
                let mut on: Vec<(f64, usize)> = Vec::new();
                for (number, place) in self.places.iter().enumerate() {
                    let t = (place - a).dot(&along) / length;
                    let off = (place - a).perp(&along).abs() / length;
                    let is_end = number == self.edges[edge].0 || number == self.edges[edge].1;
                    if !is_end && off < WELD_MM && t > 0.0 && t < length {
                        on.push((t, number));
                    }
                }
                on.sort_by(|a, b| a.0.total_cmp(&b.0));
                let (first, last, outer) = self.edges[edge];
                let mut chain = vec![first];
                chain.extend(on.iter().map(|(_, number)| *number));
                chain.push(last);
                (chain, outer)
            })
            .collect()
    }
}

fn boxes_apart(a: Piece, b: Piece) -> bool {
    let apart = |a0: f64, a1: f64, b0: f64, b1: f64| {
        a0.max(a1) + WELD_MM < b0.min(b1) || b0.max(b1) + WELD_MM < a0.min(a1)
    };
    apart(a.0.x, a.1.x, b.0.x, b.1.x) || apart(a.0.y, a.1.y, b.0.y, b.1.y)
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

type Piece = (Point2<f64>, Point2<f64>);

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
