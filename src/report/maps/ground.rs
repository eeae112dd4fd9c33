//! Lines of a panel: its edges, and what lies within distances of marks and fixings, all as points on
//! the panel's own faces, so that any view can draw them.

use std::collections::BTreeMap;

use nalgebra::{Point2, Vector3};

use crate::damage::Finding;
use crate::model::survey::Side;
use crate::quantity::Case;
use crate::repair::Repair;
use crate::repair::layout::PlyGround;
use crate::surface::closed::closed_rim;
use crate::surface::field::DistanceField;
use crate::surface::level;
use crate::surface::marks::Form;
use crate::surface::mesh::{FaceId, Mesh, MeshPoint, VertexId};
use crate::surface::origin::{Origin, Piece};
use crate::surface::placed::PlacedPanel;
use crate::surface::seam::carry;

/// A patch that nothing is added to is drawn this far beyond its outline, mm.
const NO_REACH_MM: f64 = 0.02;

/// Where edges are longer than this share of a distance, its rim is worked out exactly.
const COARSE: f64 = 0.3;

/// Lines on the faces of one panel.
#[derive(Debug, Clone, Default)]
pub(super) struct OnPanel {
    pub(super) lines: Vec<Vec<MeshPoint>>,
    /// All of them are closed and lie wholly on the panel.
    pub(super) whole: bool,
}

/// Edges between kept faces and others for which `apart` holds, joined to lines.
pub(super) fn edges(
    mesh: &Mesh,
    keep: &dyn Fn(FaceId) -> bool,
    apart: &dyn Fn(FaceId, Option<FaceId>) -> bool,
) -> Vec<Vec<MeshPoint>> {
    let mut next: BTreeMap<VertexId, Vec<(VertexId, [MeshPoint; 2])>> = BTreeMap::new();
    for (face, across) in (0_u32..).zip(&mesh.across) {
        if !keep(face) {
            continue;
        }
        for (side, other) in across.iter().enumerate() {
            if apart(face, *other) {
                let [from, to] = mesh.edge(face, side);
                let ends = [mesh.on_edge(face, side, 0.0), mesh.on_edge(face, side, 1.0)];
                next.entry(from).or_default().push((to, ends));
            }
        }
    }
    // A line that does not close starts where no other edge leads to.
    let led_to: Vec<VertexId> = next.values().flatten().map(|(to, _)| *to).collect();
    let ends = next.keys().copied().filter(|from| !led_to.contains(from));
    let mut starts: Vec<VertexId> = ends.collect();
    starts.reverse();
    let mut lines = Vec::new();
    while let Some(start) = starts.pop().or_else(|| next.keys().next().copied()) {
        let mut line = Vec::new();
        let mut at = start;
        while let Some((to, [from_end, to_end])) = next.get_mut(&at).and_then(Vec::pop) {
            if line.is_empty() {
                line.push(from_end);
            }
            line.push(to_end);
            at = to;
        }
        next.retain(|_, to| !to.is_empty());
        if line.len() > 1 {
            lines.push(line);
        }
    }
    lines
}

/// Where lines of one panel's mesh run over the faces of a panel that hangs together with it.
pub(super) fn own(
    panels: &[PlacedPanel<'_>],
    way: (usize, usize),
    lines: &[Vec<MeshPoint>],
) -> OnPanel {
    let mut found = OnPanel { lines: Vec::new(), whole: !lines.is_empty() };
    let here = |point: &MeshPoint| {
        let (over, at) = match panels.get(way.0).and_then(|on| on.over_face(point.face)) {
            Some(over) => (over.piece.panel, point.face - over.piece.first_face),
            None => (way.0, point.face),
        };
        (over == way.1).then_some(MeshPoint { face: at, ..*point })
    };
    for line in lines {
        found.whole &= line.len() > 3 && line.first() == line.last();
        let mut run = Vec::new();
        for point in line {
            match here(point) {
                Some(point) => run.push(point),
                None => {
                    found.whole = false;
                    if run.len() > 1 {
                        found.lines.push(std::mem::take(&mut run));
                    }
                    run.clear();
                }
            }
        }
        if run.len() > 1 {
            found.lines.push(run);
        }
    }
    found
}

/// Pieces of a line, joined where they follow each other.
pub(super) fn pieces(mesh: &Mesh, of: &[Piece]) -> Vec<Vec<MeshPoint>> {
    let mut lines: Vec<Vec<MeshPoint>> = Vec::new();
    for piece in of {
        let Piece::Segment { face, from, to } = piece else { continue };
        let end = |weights: &Vector3<f64>| MeshPoint { face: *face, weights: *weights };
        let near = |last: &MeshPoint| (mesh.grid(last) - mesh.grid(&end(from))).norm() < 0.01;
        match lines.last_mut() {
            Some(line) if line.last().is_some_and(near) => line.push(end(to)),
            _ => lines.push(vec![end(from), end(to)]),
        }
    }
    lines
}

/// The outline of a patch as far as it is on the skin, closed where all of it is.
pub(super) fn outline(mesh: &Mesh, of: &Origin) -> Vec<Vec<MeshPoint>> {
    let mut lines = pieces(mesh, &of.pieces);
    if let [line] = &mut lines[..]
        && let (Some(first), Some(last)) = (line.first().copied(), line.last_mut())
        && (mesh.grid(&first) - mesh.grid(last)).norm() < 0.01
    {
        *last = first;
    }
    lines
}

/// Rims of what lies within each of some distances of an origin on a mesh.
pub(super) fn rims(
    mesh: &Mesh,
    passable: &[bool],
    origin: &Origin,
    out_mm: &[f64],
) -> Result<Vec<Vec<Vec<MeshPoint>>>, String> {
    let least_mm = if origin.filled.is_some() { NO_REACH_MM } else { 0.0 };
    let limit_mm = out_mm.iter().copied().fold(least_mm, f64::max);
    let field = DistanceField::spread(mesh, passable, origin, limit_mm);
    let field = field.map_err(|why| why.to_string())?;
    Ok(out_mm
        .iter()
        .map(|out_mm| {
            let grounds = [(&field, out_mm.max(least_mm))];
            closed_rim(&grounds, &level::union(&grounds))
        })
        .collect())
}

/// The rim of what lies within a large distance of a point, straight between the edges of faces: never
/// smaller than the true one, and by less than a millimetre larger where edges are short against it.
///
/// # Errors
/// In words, when the mesh is far too fine.
pub(super) fn wide_rim(
    mesh: &Mesh,
    passable: &[bool],
    at: MeshPoint,
    out_mm: f64,
) -> Result<Vec<Vec<MeshPoint>>, String> {
    let longest_mm = longest_edge_mm(mesh);
    if longest_mm > COARSE * out_mm {
        let exact = rims(mesh, passable, &Origin::point(at), &[out_mm])?;
        return Ok(exact.into_iter().flatten().collect());
    }
    // Along an edge the distance bends below the straight line between its ends by no more than this,
    // and across a face the arc stands as far outside of the straight line that is drawn.
    let out_mm = out_mm + 2.0 * longest_mm.powi(2) / (8.0 * out_mm.max(1.0));
    // Corners one edge farther out are met too, so that every edge the rim crosses has two figures.
    let field = DistanceField::spread(mesh, passable, &Origin::point(at), out_mm + longest_mm);
    let field = field.map_err(|why| why.to_string())?;
    let mut inside: BTreeMap<VertexId, f64> = BTreeMap::new();
    let mut met = vec![false; mesh.faces.len()];
    for face in field.faces_met() {
        let corners = mesh.faces.get(face as usize).copied().unwrap_or_default();
        for (vertex, distance) in corners.into_iter().zip(field.corners(face)) {
            inside.insert(vertex, out_mm - distance.min(out_mm + longest_mm));
        }
        if let Some(met) = met.get_mut(face as usize) {
            *met = field.is_open(face);
        }
    }
    let keep = |face: FaceId| met.get(face as usize).copied().unwrap_or(false);
    let figure = |vertex: VertexId| inside.get(&vertex).copied().unwrap_or(-longest_mm);
    let mut rim = at_least(mesh, &keep, &figure, 0.0);
    for line in &mut rim {
        line.extend(line.first().copied());
    }
    Ok(rim)
}

fn longest_edge_mm(mesh: &Mesh) -> f64 {
    let edges =
        (0_u32..).zip(&mesh.faces).flat_map(|(face, _)| (0..3).map(move |side| (face, side)));
    let length = |(face, side): (FaceId, usize)| {
        let ends = [0.0, 1.0].map(|share| mesh.position(&mesh.on_edge(face, side, share)));
        let [from, to] = ends;
        (to - from).norm()
    };
    edges.map(length).fold(0.0, f64::max)
}

/// Distances from the marks of a repair on the mesh it was measured on.
#[derive(Debug)]
pub(super) struct Fields<'p> {
    fields: Vec<(usize, DistanceField<'p>)>,
}

impl<'p> Fields<'p> {
    /// Spreads them as far as `of` asks.
    pub(super) fn of(
        panels: &'p [PlacedPanel<'_>],
        findings: &[Finding<'_>],
        repair: &Repair<'_>,
        (side, case): (Side, Case),
        of: &[PlyGround],
    ) -> Result<Self, String> {
        let mut fields = Vec::new();
        let Some(on) = panels.get(repair.laid_on) else { return Ok(Self { fields }) };
        for (mark, number) in repair.findings.iter().enumerate() {
            let Some(finding) = findings.get(*number) else { continue };
            let limit_mm = of.iter().filter(|one| one.mark == mark).map(|one| one.out_mm);
            let Some(limit_mm) = limit_mm.reduce(f64::max) else { continue };
            let extents = match (side, &finding.extents.back) {
                (Side::Back, Some(back)) if finding.mark().side == Side::Outer => back,
                _ => &finding.extents.cases,
            };
            // As laid out: a patch keeps its origin in every case.
            let is_patch = matches!(finding.placed.form, Form::Patch(_));
            let origin = &extents.get(if is_patch { Case::High } else { case }).origin;
            let origin = carry(panels, (finding.placed.panel, repair.laid_on), origin)
                .ok_or("a mark cannot be carried over the seam of its panel")?;
            let limit_mm = limit_mm.max(NO_REACH_MM);
            let field = DistanceField::spread(&on.mesh, on.side(side), &origin, limit_mm);
            fields.push((mark, field.map_err(|why| why.to_string())?));
        }
        Ok(Self { fields })
    }

    /// The rim of the union of some grounds.
    pub(super) fn rim(&self, of: &[PlyGround]) -> Vec<Vec<MeshPoint>> {
        let grounds: Vec<(&DistanceField<'_>, f64)> = of
            .iter()
            .filter_map(|one| {
                let (_, field) = self.fields.iter().find(|(mark, _)| *mark == one.mark)?;
                let least_mm = if field.outline().is_some() { NO_REACH_MM } else { 0.0 };
                Some((field, one.out_mm.max(least_mm)))
            })
            .collect();
        if grounds.is_empty() {
            return Vec::new();
        }
        closed_rim(&grounds, &level::union(&grounds))
    }
}

/// Least and largest of places.
pub(super) fn bounds<'a>(
    places: impl IntoIterator<Item = &'a Point2<f64>>,
) -> (Point2<f64>, Point2<f64>) {
    let mut low = Point2::new(f64::INFINITY, f64::INFINITY);
    let mut high = Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for place in places {
        low = low.inf(place);
        high = high.sup(place);
    }
    (low, high)
}

/// Where a figure over the corners of kept faces, even between them, is not under a level: its rim as
/// closed lines.
pub(super) fn at_least(
    mesh: &Mesh,
    keep: &dyn Fn(FaceId) -> bool,
    figure: &dyn Fn(VertexId) -> f64,
    level: f64,
) -> Vec<Vec<MeshPoint>> {
    // Each end of a part of a rim: a corner, or a place on the edge between two.
    type Knot = (VertexId, VertexId);
    let mut next: BTreeMap<Knot, Vec<(Knot, [MeshPoint; 2])>> = BTreeMap::new();
    for (face, corners) in (0_u32..).zip(&mesh.faces).filter(|(face, _)| keep(*face)) {
        let mut round: Vec<(Knot, MeshPoint, Option<usize>)> = Vec::new();
        for (side, from) in corners.iter().enumerate() {
            let [_, to] = mesh.edge(face, side);
            let (a, b) = (figure(*from) - level, figure(to) - level);
            if a >= 0.0 {
                round.push(((*from, *from), mesh.on_edge(face, side, 0.0), Some(side)));
            }
            if (a >= 0.0) != (b >= 0.0) {
                let at = mesh.on_edge(face, side, a / (a - b));
                // Where the part ends, its rim leaves this edge and crosses the face.
                let along = (b >= 0.0).then_some(side);
                round.push((((*from).min(to), (*from).max(to)), at, along));
            }
        }
        let ends = round.iter().zip(round.iter().cycle().skip(1));
        for ((from, start, along), (to, end, _)) in ends {
            let across = along.and_then(|side| *mesh.across.get(face as usize)?.get(side)?);
            let shared = across.is_some_and(keep);
            if !shared && from != to {
                next.entry(*from).or_default().push((*to, [*start, *end]));
            }
        }
    }
    let mut lines = Vec::new();
    while let Some(start) = next.keys().next().copied() {
        let mut line = Vec::new();
        let mut at = start;
        while let Some((to, [_, end])) = next.get_mut(&at).and_then(Vec::pop) {
            line.push(end);
            at = to;
        }
        next.retain(|_, to| !to.is_empty());
        if line.len() > 2 {
            lines.push(line);
        }
    }
    lines
}
