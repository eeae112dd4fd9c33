//! What stands round a mark: fixings, and stiff lines that a skin bends over.
//!
//! Takes a mark as it was seen on its skin; gives distances over the skin, mm, and how its lines
//! lie to what is near. Nothing here refers a mark: that is judged on the mark as it may be found.
#![allow(
    clippy::indexing_slicing,
    reason = "face and vertex numbers come from a mesh Mesh::new has checked"
)]

use std::collections::BTreeMap;

use nalgebra::{Matrix2, Point2, SymmetricEigen, Vector2};

use super::pattern::{self, Lie};
use crate::model::panel::FixingState;
use crate::surface::field::DistanceField;
use crate::surface::flatten::LaidFlat;
use crate::surface::marks::{Form, PlacedMark};
use crate::surface::mesh::{FaceId, MeshPoint};
use crate::surface::origin::{Origin, Piece};
use crate::surface::placed::PlacedPanel;

/// How far round a mark is looked, mm.
const LOOK_MM: f64 = 150.0;
/// A stiff line's direction is that of what lies so much farther than its nearest part, mm.
const NEAREST_PART_MM: f64 = 40.0;

/// A fixing near a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct NearFixing {
    /// What it is called.
    pub name: String,
    /// From its rim to the mark as seen, mm.
    pub distance_mm: f64,
    /// Its state.
    pub state: FixingState,
    /// Angle between the mark's line and the way from its middle to the fixing, degrees; none for
    /// a patch.
    pub off_deg: Option<f64>,
    /// From its rim to the centre that traced lines run out from or round, mm.
    pub from_centre_mm: Option<f64>,
}

/// What makes a line stiff.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stiff {
    /// The edge of a strip or frame bonded behind, by its number in the panel file.
    Strip(u16),
    /// The edge of the panel, where it is turned or ends.
    Edge,
    /// The edge of an opening, by its number.
    Opening(u16),
    /// The rim of an old repair, by the number of its mark.
    OldRepair(u32),
}

/// A stiff line near a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct StiffLine {
    /// What it is.
    pub stiff: Stiff,
    /// What it is called.
    pub name: String,
    /// Least distance from the mark as seen, mm; 0 where it runs under the mark.
    pub distance_mm: f64,
    /// Angle between it and the mark's lines, 0 to 90 degrees; none where nobody traced any.
    pub off_deg: Option<f64>,
}

/// What stands round a mark.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Around {
    /// Fixings, nearest first.
    pub fixings: Vec<NearFixing>,
    /// Stiff lines, nearest first.
    pub stiff: Vec<StiffLine>,
    /// How its traced lines lie.
    pub lie: Option<Lie>,
    /// The centre of the traced lines on the panel's grid, mm.
    pub centre: Option<Point2<f64>>,
}

/// Looks round a mark. `old` are the old repairs of the same panel and side.
///
/// # Errors
/// When the mesh is far too fine.
pub fn look(
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    seen: &Origin,
    old: &[(u32, &Origin)],
) -> Result<Around, String> {
    let mesh = &panel.mesh;
    let field =
        DistanceField::spread(mesh, &panel.filled, seen, LOOK_MM).map_err(|why| why.to_string())?;
    let faces = field.faces_within(LOOK_MM);
    // Without lines there is no direction to compare, and nothing has to be laid flat.
    let has_lines = !placed.lines.is_empty() || matches!(placed.form, Form::Line(_));
    let flat = if has_lines { faces.as_slice() } else { &[] };
    let sheets = LaidFlat::of(mesh, flat);
    let sheet = sheets.iter().find(|sheet| sheet.place(&placed.at).is_some());
    let place = |at: &MeshPoint| sheet.and_then(|sheet| sheet.place(at));
    let lines: Vec<Vec<Point2<f64>>> = sheet.map_or_else(Vec::new, |sheet| {
        placed.lines.iter().map(|pieces| sheet.line(&path(pieces))).collect()
    });
    let lie = (!lines.is_empty()).then(|| pattern::lie(&lines));
    let centre = lie.as_ref().and_then(|lie| match lie.pattern {
        pattern::Pattern::Radial => lie.radial.as_ref(),
        pattern::Pattern::Rings => lie.rings.as_ref(),
        _ => None,
    });
    let own = sheet.and_then(|sheet| own_way(placed, sheet, lie.as_ref()));
    let middle = place(&placed.at);
    let mut fixings: Vec<NearFixing> = panel
        .fixings
        .iter()
        .filter_map(|fixing| {
            let distance_mm = (field.at(&fixing.at) - fixing.radius_mm).max(0.0);
            distance_mm.is_finite().then(|| {
                let at = place(&fixing.at);
                let off_deg = match (&placed.form, own, middle, at) {
                    (Form::Line(_), Some(way), Some(from), Some(to))
                        if (to - from).norm() > 0.0 =>
                    {
                        Some(between_deg(way, to - from))
                    }
                    _ => None,
                };
                let from_centre_mm = centre
                    .zip(at)
                    .map(|(centre, at)| ((centre.at - at).norm() - fixing.radius_mm).max(0.0));
                let (name, state) = (fixing.of.name.clone(), fixing.of.state);
                NearFixing { name, distance_mm, state, off_deg, from_centre_mm }
            })
        })
        .collect();
    fixings.sort_by(|one, other| one.distance_mm.total_cmp(&other.distance_mm));
    let stiff = stiff_lines(panel, &field, sheet, &faces, old, own);
    let on_grid = centre.and_then(|centre| sheet?.lift(centre.at)).map(|at| mesh.grid(&at));
    Ok(Around { fixings, stiff, centre: on_grid, lie })
}

/// The points of a line in order.
fn path(pieces: &[Piece]) -> Vec<MeshPoint> {
    let ends = pieces.iter().flat_map(|piece| match *piece {
        Piece::Point(point) => vec![point],
        Piece::Segment { face, from, to } => {
            vec![MeshPoint { face, weights: from }, MeshPoint { face, weights: to }]
        }
    });
    ends.collect()
}

/// Which way a mark's lines run on the sheet: a line's own ends, or the main direction of traced
/// lines that have one.
fn own_way(
    placed: &PlacedMark<'_>,
    sheet: &LaidFlat<'_>,
    lie: Option<&Lie>,
) -> Option<Vector2<f64>> {
    if let Form::Line(line) = &placed.form {
        let flat = sheet.line(&path(&line.pieces));
        let way = flat.last()? - flat.first()?;
        return (line.known_direction && way.norm() > 0.0).then_some(way);
    }
    let lie = lie.filter(|lie| lie.pattern == pattern::Pattern::Parallel)?;
    let radians = lie.direction_deg.to_radians();
    Some(Vector2::new(radians.cos(), radians.sin()))
}

/// Angle between two lines, 0 to 90 degrees.
fn between_deg(one: Vector2<f64>, other: Vector2<f64>) -> f64 {
    let cross = one.x * other.y - one.y * other.x;
    cross.abs().atan2(one.dot(&other).abs()).to_degrees()
}

/// A short part of a stiff line.
struct Part {
    distance_mm: f64,
    way: Option<Vector2<f64>>,
}

fn stiff_lines(
    panel: &PlacedPanel<'_>,
    field: &DistanceField<'_>,
    sheet: Option<&LaidFlat<'_>>,
    faces: &[FaceId],
    old: &[(u32, &Origin)],
    own: Option<Vector2<f64>>,
) -> Vec<StiffLine> {
    let mut parts: BTreeMap<Stiff, Vec<Part>> = BTreeMap::new();
    let mut add = |stiff: Stiff, ends: [MeshPoint; 2]| {
        let distance_mm = ends.iter().map(|end| field.at(end)).fold(f64::INFINITY, f64::min);
        if distance_mm.is_finite() {
            let place = |at: &MeshPoint| sheet.and_then(|sheet| sheet.place(at));
            let way = place(&ends[0]).zip(place(&ends[1])).map(|(a, b)| b - a);
            parts.entry(stiff).or_default().push(Part { distance_mm, way });
        }
    };
    let mesh = &panel.mesh;
    for face in faces {
        let tag = mesh.tags[*face as usize];
        for side in 0..3 {
            let ends = [mesh.on_edge(*face, side, 0.0), mesh.on_edge(*face, side, 1.0)];
            let Some(other) = mesh.across[*face as usize][side] else {
                add(Stiff::Edge, ends);
                continue;
            };
            let there = mesh.tags[other as usize];
            if tag.strip != there.strip {
                [tag.strip, there.strip]
                    .into_iter()
                    .flatten()
                    .for_each(|strip| add(Stiff::Strip(strip), ends));
            }
            if let (Some(opening), None) = (tag.opening, there.opening) {
                add(Stiff::Opening(opening), ends);
            }
            if tag.on_return && !there.on_return {
                add(Stiff::Edge, ends);
            }
        }
    }
    for (mark, origin) in old {
        for piece in &origin.pieces {
            if let Piece::Segment { face, from, to } = *piece {
                let ends = [MeshPoint { face, weights: from }, MeshPoint { face, weights: to }];
                add(Stiff::OldRepair(*mark), ends);
            }
        }
    }
    let named = |stiff: Stiff| {
        let of = &panel.of.panel;
        match stiff {
            Stiff::Strip(number) => of.strips.get(number as usize).map_or_else(
                || "a strip behind".to_owned(),
                |strip| format!("the edge of {:?} behind", strip.name),
            ),
            Stiff::Edge => "the edge of the panel".to_owned(),
            Stiff::Opening(number) => of.openings.get(number as usize).map_or_else(
                || "the edge of an opening".to_owned(),
                |opening| format!("the edge of the opening {:?}", opening.name),
            ),
            Stiff::OldRepair(mark) => format!("the rim of the old repair, mark {mark}"),
        }
    };
    let mut found: Vec<StiffLine> = parts
        .into_iter()
        .map(|(stiff, parts)| {
            let distance_mm =
                parts.iter().map(|part| part.distance_mm).fold(f64::INFINITY, f64::min);
            let off_deg =
                own.zip(direction(&parts, distance_mm)).map(|(own, way)| between_deg(own, way));
            StiffLine { stiff, name: named(stiff), distance_mm, off_deg }
        })
        .collect();
    found.sort_by(|one, other| one.distance_mm.total_cmp(&other.distance_mm));
    found
}

/// Main direction of the nearest parts of a stiff line.
fn direction(parts: &[Part], least_mm: f64) -> Option<Vector2<f64>> {
    let mut tensor = Matrix2::zeros();
    for part in parts.iter().filter(|part| part.distance_mm <= least_mm + NEAREST_PART_MM) {
        let way = part.way?;
        if way.norm() > 0.0 {
            tensor += way * way.transpose() / way.norm();
        }
    }
    (tensor.trace() > 0.0).then(|| {
        let eigen = SymmetricEigen::new(tensor);
        eigen.eigenvectors.column(eigen.eigenvalues.imax()).into_owned()
    })
}
