//! Skins joined along seams into one mesh, as one of them sees it.
//!
//! The faces of the first skin keep their numbers, their grid and their places in space. Those of
//! every other one follow, each joined by a seam to one that is there already: they share its
//! vertices, and along the seam they have its lengths. Distances and areas ask for lengths over
//! the skin only, so a bend at the seam changes nothing. In space the neighbour is laid rigidly
//! against the seam, going on in the same plane (for looking at); on the grid it is laid by the
//! best turn and shift, and what is left is spread over it.
#![allow(
    clippy::indexing_slicing,
    reason = "vertex, face and part numbers come from the meshes that made the tables"
)]

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::{Matrix3, Point2, Point3, Vector2, Vector3};

use crate::surface::mesh::{FaceId, FaceTag, Frame, Mesh, MeshFault, VertexId};
use crate::surface::weave::signed_area;

/// A side that is off by less than this, mm, is as its corners stand: turning a part rounds.
const STANDS_MM: f64 = 1e-9;

/// Two parts joined at pairs of vertices, in order along the seam.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub(super) one: usize,
    pub(super) other: usize,
    pub(super) pairs: Vec<(VertexId, VertexId)>,
}

/// One skin within the joined mesh.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Its panel, by number in the job.
    pub panel: usize,
    /// Its first face; the others follow.
    pub first_face: FaceId,
    /// How many faces it has.
    pub faces: u32,
    /// Number of its first region; one more than it has regions is what none covers.
    pub first_region: u16,
    /// Edges of its own faces at the seam by which it is reached; none for the first skin.
    pub entry: Vec<(FaceId, usize)>,
    chart: ChartMap,
}

impl Piece {
    /// A place on its own grid, on the grid of the joined mesh.
    #[must_use]
    pub fn on_chart(&self, place: Point2<f64>) -> Point2<f64> {
        self.chart.apply(place)
    }
}

/// How one grid lies on another.
#[derive(Debug, Clone, Default)]
struct ChartMap {
    turned_over: bool,
    turn: Vector2<f64>,
    shift: Vector2<f64>,
    /// Places after the turn, and what they still lack.
    left: Vec<(Point2<f64>, Vector2<f64>)>,
}

impl ChartMap {
    const fn same() -> Self {
        Self {
            turned_over: false,
            turn: Vector2::new(1.0, 0.0),
            shift: Vector2::new(0.0, 0.0),
            left: Vec::new(),
        }
    }

    fn fit(pairs: &[(Point2<f64>, Point2<f64>)], turned_over: bool) -> Self {
        let count = pairs.len().max(1) as f64;
        let over = |p: &Point2<f64>| if turned_over { Vector2::new(p.x, -p.y) } else { p.coords };
        let from = pairs.iter().map(|(p, _)| over(p)).sum::<Vector2<f64>>() / count;
        let to = pairs.iter().map(|(_, q)| q.coords).sum::<Vector2<f64>>() / count;
        let turn = pairs
            .iter()
            .map(|(p, q)| {
                let (a, b) = (over(p) - from, q.coords - to);
                Vector2::new(a.dot(&b), a.perp(&b))
            })
            .sum::<Vector2<f64>>();
        let turn = turn.try_normalize(0.0).unwrap_or(Vector2::new(1.0, 0.0));
        let mut map = Self { turned_over, turn, shift: Vector2::zeros(), left: Vec::new() };
        map.shift = to
            - map
                .rigid(Point2::from(if turned_over { Vector2::new(from.x, -from.y) } else { from }))
                .coords;
        map.left = pairs
            .iter()
            .map(|(p, q)| {
                let laid = map.rigid(*p);
                (laid, q - laid)
            })
            .collect();
        map
    }

    fn rigid(&self, p: Point2<f64>) -> Point2<f64> {
        let y = if self.turned_over { -p.y } else { p.y };
        let (c, s) = (self.turn.x, self.turn.y);
        Point2::new(c * p.x - s * y, s * p.x + c * y) + self.shift
    }

    fn apply(&self, p: Point2<f64>) -> Point2<f64> {
        let laid = self.rigid(p);
        let (mut sum, mut weight) = (Vector2::zeros(), 0.0);
        for (at, lack) in &self.left {
            let square = (laid - at).norm_squared();
            if square < 1e-18 {
                return laid + lack;
            }
            sum += lack / square;
            weight += 1.0 / square;
        }
        if weight > 0.0 { laid + sum / weight } else { laid }
    }
}

/// Turn and shift that lay places best on others.
fn lay_rigidly(pairs: &[(Point3<f64>, Point3<f64>)]) -> (Matrix3<f64>, Vector3<f64>) {
    let count = pairs.len().max(1) as f64;
    let from = pairs.iter().map(|(p, _)| p.coords).sum::<Vector3<f64>>() / count;
    let to = pairs.iter().map(|(_, q)| q.coords).sum::<Vector3<f64>>() / count;
    let spread: Matrix3<f64> =
        pairs.iter().map(|(p, q)| (p.coords - from) * (q.coords - to).transpose()).sum();
    let svd = spread.svd(true, true);
    let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else {
        return (Matrix3::identity(), to - from);
    };
    let sign = (v_t.transpose() * u.transpose()).determinant().signum();
    let turn =
        v_t.transpose() * Matrix3::from_diagonal(&Vector3::new(1.0, 1.0, sign)) * u.transpose();
    (turn, to - turn * from)
}

/// Lays a face flat from its three lengths.
fn frame_of(length: [f64; 3]) -> Option<Frame> {
    let mut frame = Frame { length, apex: [Vector2::zeros(); 3] };
    for i in 0..3 {
        let (base, next, last) = (length[i], length[(i + 1) % 3], length[(i + 2) % 3]);
        let x = (base * base + last * last - next * next) / (2.0 * base);
        let square = last * last - x * x;
        if square.partial_cmp(&1e-12) != Some(std::cmp::Ordering::Greater) {
            return None;
        }
        frame.apex[i] = Vector2::new(x, square.sqrt());
    }
    Some(frame)
}

/// A part: its panel's number, its mesh and how many regions it has.
pub(super) struct Part<'m> {
    pub(super) panel: usize,
    pub(super) mesh: &'m Mesh,
    pub(super) regions: usize,
}

#[derive(Default)]
struct Whole {
    positions: Vec<Point3<f64>>,
    grid: Vec<Point2<f64>>,
    faces: Vec<[VertexId; 3]>,
    tags: Vec<FaceTag>,
    bent: BTreeMap<FaceId, Frame>,
    /// Length of every edge laid so far.
    lengths: BTreeMap<(VertexId, VertexId), f64>,
}

/// Joins everything that hangs together with one part, as that part sees it.
pub(super) fn glue(
    parts: &[Part<'_>],
    links: &[Link],
    root: usize,
) -> Result<(Mesh, Vec<Piece>), MeshFault> {
    let mut whole = Whole::default();
    let mut pieces = Vec::new();
    let mut first_region = 0_u16;
    let mut queue = vec![(root, Vec::new())];
    let mut next = 0;
    while let Some((part, seam)) = queue.get(next).cloned() {
        next += 1;
        let Part { panel, mesh, regions } = &parts[part];
        let sense = parts[root].mesh.chart_sense();
        let (laid, chart) = lay(&mut whole, mesh, &seam, sense);
        let first_face = whole.faces.len() as FaceId;
        let own = next == 1;
        let seamed: BTreeSet<VertexId> = seam.iter().map(|(known, _)| *known).collect();
        let mut entry = Vec::new();
        for (face, corners) in mesh.faces.iter().enumerate() {
            let corners = corners.map(|v| laid[v as usize]);
            let mut length = mesh.frame(face as FaceId).length;
            let mut changed = false;
            for side in 0..3 {
                let (a, b) = (corners[side], corners[(side + 1) % 3]);
                let key = (a.min(b), a.max(b));
                match whole.lengths.get(&key) {
                    Some(known) => {
                        changed |= (known - length[side]).abs() > 0.0;
                        length[side] = *known;
                    }
                    None => {
                        whole.lengths.insert(key, length[side]);
                    }
                }
                if !own && seamed.contains(&a) && seamed.contains(&b) {
                    entry.push((first_face + face as FaceId, side));
                }
            }
            let at = nalgebra::center(
                &whole.grid[corners[0] as usize],
                &whole.grid[corners[1] as usize],
            );
            if signed_area(&whole.grid, corners) * sense <= 0.0 {
                return Err(MeshFault::Folded { at });
            }
            // A part may be joined already, so that its own frames count, or be laid turned.
            let frame = if changed { frame_of(length) } else { Some(mesh.frame(face as FaceId)) };
            let frame = frame.ok_or(MeshFault::Degenerate { at })?;
            let stands = Frame::of(corners.map(|v| whole.positions[v as usize]));
            if (0..3).any(|side| (stands.length[side] - frame.length[side]).abs() > STANDS_MM) {
                whole.bent.insert(first_face + face as FaceId, frame);
            }
            whole.faces.push(corners);
            let mut tag = mesh.tags[face];
            if !own {
                let number = tag.region.unwrap_or(u16::try_from(*regions).unwrap_or(u16::MAX));
                tag.region = Some(first_region.saturating_add(number));
            }
            whole.tags.push(tag);
        }
        pieces.push(Piece {
            panel: *panel,
            first_face,
            faces: mesh.faces.len() as u32,
            first_region,
            entry,
            chart,
        });
        let taken = u16::try_from(*regions + usize::from(!own)).unwrap_or(u16::MAX);
        first_region = first_region.saturating_add(taken);
        for link in links {
            let (to, of) = if link.one == part {
                (link.other, false)
            } else if link.other == part {
                (link.one, true)
            } else {
                continue;
            };
            if queue.iter().any(|(known, _)| *known == to) {
                continue;
            }
            let seam: Vec<(VertexId, VertexId)> = link
                .pairs
                .iter()
                .map(|(a, b)| if of { (laid[*b as usize], *a) } else { (laid[*a as usize], *b) })
                .collect();
            queue.push((to, seam));
        }
    }
    let mesh = Mesh::assemble(whole.positions, whole.grid, whole.faces, whole.tags, whole.bent)?;
    Ok((mesh, pieces))
}

/// Lays the vertices of a part into the whole; `seam` has vertices of the whole and of the part.
fn lay(
    whole: &mut Whole,
    mesh: &Mesh,
    seam: &[(VertexId, VertexId)],
    sense: f64,
) -> (Vec<VertexId>, ChartMap) {
    if seam.is_empty() {
        whole.positions.extend(&mesh.positions);
        whole.grid.extend(&mesh.grid);
        return ((0..mesh.positions.len() as VertexId).collect(), ChartMap::same());
    }
    let on_grid: Vec<_> = seam
        .iter()
        .map(|(known, own)| (mesh.grid[*own as usize], whole.grid[*known as usize]))
        .collect();
    let chart = ChartMap::fit(&on_grid, mesh.chart_sense() * sense < 0.0);
    let normal = |positions: &[Point3<f64>], faces: &mut dyn Iterator<Item = [VertexId; 3]>| {
        let sum: Vector3<f64> = faces
            .map(|f| {
                let [a, b, c] = f.map(|v| positions[v as usize]);
                (b - a).cross(&(c - a))
            })
            .sum();
        sum.try_normalize(0.0).unwrap_or_else(Vector3::z)
    };
    // Half a metre of normal holds the neighbour in the plane that the seam alone leaves open.
    let mut in_space = Vec::new();
    for (known, own) in seam {
        let mut theirs = whole.faces.iter().copied().filter(|f| f.contains(known));
        let there = normal(&whole.positions, &mut theirs);
        let mut ours = mesh.faces_round(*own).iter().map(|f| mesh.faces[*f as usize]);
        let here = normal(&mesh.positions, &mut ours);
        let (from, to) = (mesh.positions[*own as usize], whole.positions[*known as usize]);
        in_space.push((from, to));
        in_space.push((from + here * 500.0, to + there * 500.0));
    }
    let (turn, shift) = lay_rigidly(&in_space);
    let of_seam: BTreeMap<VertexId, VertexId> = seam.iter().map(|(a, b)| (*b, *a)).collect();
    let mut laid = Vec::with_capacity(mesh.positions.len());
    for vertex in 0..mesh.positions.len() as VertexId {
        if let Some(known) = of_seam.get(&vertex) {
            laid.push(*known);
            continue;
        }
        laid.push(whole.positions.len() as VertexId);
        whole.positions.push(Point3::from(turn * mesh.positions[vertex as usize].coords + shift));
        whole.grid.push(chart.apply(mesh.grid[vertex as usize]));
    }
    (laid, chart)
}
