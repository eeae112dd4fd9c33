//! Lines and patches laid over the skin: straight lines about their middle, traced lines made
//! longer at both ends, rectangles, ovals and traced outlines. Lengths are mm.

use nalgebra::Point2;

use super::field::DistanceField;
use super::marks::{Line, Patch};
use super::mesh::{Mesh, MeshPoint};
use super::origin::{Origin, Piece};
use super::patch_outline::{PatchShape, outline_patch};
use super::placed::PlacedPanel;
use super::trace::{Direction, Stop, direction_of, trace};

/// The angle at which a straight line sets out from one place towards another.
pub(super) fn bearing(on: &PlacedPanel<'_>, from: MeshPoint, to: MeshPoint) -> f64 {
    // Refined from the bearing on the grid until the straight line passes its aim.
    let (mesh, aim) = (&on.mesh, on.mesh.position(&to));
    let mut best = (f64::INFINITY, 0.0);
    let reach = (mesh.position(&from) - aim).norm();
    let miss = |degrees: f64| {
        let walked = trace(mesh, &on.filled, from, Direction::Degrees(degrees), reach * 1.15);
        walked
            .path
            .windows(2)
            .map(|ends| match ends {
                [a, b] => distance_to_segment(&mesh.position(a), &mesh.position(b), &aim),
                _ => f64::INFINITY,
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mut step = 5.0;
    for degrees in (0..72).map(|turn| f64::from(turn) * 5.0) {
        let missed = miss(degrees);
        if missed < best.0 {
            best = (missed, degrees);
        }
    }
    for _ in 0..12 {
        step /= 2.0;
        for degrees in [best.1 - step, best.1 + step] {
            let missed = miss(degrees);
            if missed < best.0 {
                best = (missed, degrees);
            }
        }
    }
    best.1
}

fn distance_to_segment(
    a: &nalgebra::Point3<f64>,
    b: &nalgebra::Point3<f64>,
    aim: &nalgebra::Point3<f64>,
) -> f64 {
    let along = b - a;
    let square = along.norm_squared();
    let share = if square > 0.0 { ((aim - a).dot(&along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (aim - (a + along * share)).norm()
}

/// Length of one piece, mm.
#[must_use]
pub fn piece_length_mm(mesh: &Mesh, piece: &Piece) -> f64 {
    match *piece {
        Piece::Point(_) => 0.0,
        Piece::Segment { face, from, to } => {
            (mesh.flat(face, 0, &to) - mesh.flat(face, 0, &from)).norm()
        }
    }
}

/// A straight line of a given length with its middle at a place; what an edge or opening stops
/// goes to the other end.
#[must_use]
pub fn straight_line(
    mesh: &Mesh,
    passable: &[bool],
    middle: MeshPoint,
    degrees: f64,
    length_mm: f64,
) -> Line {
    let half = length_mm / 2.0;
    let walk = |turn: f64, run: f64| {
        trace(mesh, passable, middle, Direction::Degrees(degrees + turn), run)
    };
    let (mut ahead, mut behind) = (walk(0.0, half), walk(180.0, half));
    let (short_ahead, short_behind) = (half - ahead.length_mm, half - behind.length_mm);
    if ahead.stopped.is_some() && behind.stopped.is_none() {
        behind = walk(180.0, half + short_ahead);
    } else if behind.stopped.is_some() && ahead.stopped.is_none() {
        ahead = walk(0.0, half + short_behind);
    }
    let ends_on_edge =
        [&ahead, &behind].iter().filter(|end| end.stopped == Some(Stop::Edge)).count();
    let mut pieces = reversed(Origin::line(mesh, &behind.path).pieces);
    pieces.extend(Origin::line(mesh, &ahead.path).pieces);
    if pieces.is_empty() {
        pieces.push(Piece::Point(middle));
    }
    Line {
        pieces,
        length_mm: ahead.length_mm + behind.length_mm,
        known_direction: true,
        straight_deg: Some(degrees),
        ends_on_edge,
    }
}

/// The pieces of a line from its other end.
#[must_use]
pub fn reversed(pieces: Vec<Piece>) -> Vec<Piece> {
    pieces
        .into_iter()
        .rev()
        .map(|piece| match piece {
            Piece::Segment { face, from, to } => Piece::Segment { face, from: to, to: from },
            point => point,
        })
        .collect()
}

/// A traced line made longer at both ends along its end tangents; what an edge or opening stops
/// goes to the other end.
#[must_use]
pub fn extended(mesh: &Mesh, passable: &[bool], line: &Line, length_mm: f64) -> Line {
    let more = ((length_mm - line.length_mm) / 2.0).max(0.0);
    extended_each(mesh, passable, line, (more, more))
}

/// A line made longer at its start and at its end by so much each, mm, as [`extended`].
pub(super) fn extended_each(
    mesh: &Mesh,
    passable: &[bool],
    line: &Line,
    (before_mm, after_mm): (f64, f64),
) -> Line {
    let end = |pieces: &[Piece], run: f64| {
        let last = pieces.iter().rev().find(|piece| matches!(piece, Piece::Segment { .. }))?;
        let Piece::Segment { face, to, .. } = *last else { return None };
        let way = direction_of(mesh, last)?;
        Some(trace(mesh, passable, MeshPoint { face, weights: to }, way, run))
    };
    let turned = reversed(line.pieces.clone());
    let ends = (end(&line.pieces, after_mm), end(&turned, before_mm));
    let (Some(mut ahead), Some(mut behind)) = ends else { return line.clone() };
    if ahead.stopped.is_some() && behind.stopped.is_none() {
        let more_mm = after_mm - ahead.length_mm;
        behind = end(&turned, before_mm + more_mm).unwrap_or(behind);
    } else if behind.stopped.is_some() && ahead.stopped.is_none() {
        let more_mm = before_mm - behind.length_mm;
        ahead = end(&line.pieces, after_mm + more_mm).unwrap_or(ahead);
    }
    let ends_on_edge =
        [&ahead, &behind].iter().filter(|end| end.stopped == Some(Stop::Edge)).count();
    let mut pieces = reversed(Origin::line(mesh, &behind.path).pieces);
    pieces.extend(line.pieces.iter().copied());
    pieces.extend(Origin::line(mesh, &ahead.path).pieces);
    Line {
        pieces,
        length_mm: line.length_mm + ahead.length_mm + behind.length_mm,
        ends_on_edge,
        ..line.clone()
    }
}

/// A line cut back at both ends alike to a length, mm.
pub(super) fn shortened(mesh: &Mesh, line: &Line, length_mm: f64) -> Line {
    let cut_mm = ((line.length_mm - length_mm) / 2.0).max(0.0);
    let pieces = reversed(cut(mesh, reversed(cut(mesh, line.pieces.clone(), cut_mm)), cut_mm));
    let length_mm = pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum();
    Line { pieces, length_mm, ends_on_edge: 0, ..line.clone() }
}

/// Pieces without the first so many mm of them.
fn cut(mesh: &Mesh, pieces: Vec<Piece>, mut left_mm: f64) -> Vec<Piece> {
    let mut kept = Vec::new();
    for piece in pieces {
        let own_mm = piece_length_mm(mesh, &piece);
        if left_mm >= own_mm && left_mm > 0.0 {
            left_mm -= own_mm;
            continue;
        }
        kept.push(match piece {
            Piece::Segment { face, from, to } if left_mm > 0.0 => {
                Piece::Segment { face, from: from + (to - from) * (left_mm / own_mm), to }
            }
            whole => whole,
        });
        left_mm = 0.0;
    }
    kept
}

/// A rectangle or oval about a place.
pub(super) fn patch(
    mesh: &Mesh,
    at: MeshPoint,
    length_mm: f64,
    width_mm: f64,
    angle: Option<f64>,
    shape: PatchShape,
) -> Patch {
    let passable = vec![true; mesh.faces.len()];
    let degrees = angle.unwrap_or(0.0);
    let outline = outline_patch(mesh, &passable, at, length_mm, width_mm, degrees, shape);
    let (area_mm2, perimeter_mm) = match shape {
        PatchShape::Rectangle => (length_mm * width_mm, 2.0 * (length_mm + width_mm)),
        PatchShape::Oval => {
            let (a, b) = (length_mm / 2.0, width_mm / 2.0);
            // Ramanujan's second form, good to parts in a million for such ovals.
            let h = ((a - b) / (a + b)).powi(2);
            let round = 1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt());
            (std::f64::consts::PI * a * b, std::f64::consts::PI * (a + b) * round)
        }
    };
    let round = shape == PatchShape::Oval && (length_mm - width_mm).abs() < 1e-9;
    Patch {
        outline,
        length_mm: length_mm.max(width_mm),
        width_mm: length_mm.min(width_mm),
        area_mm2,
        perimeter_mm,
        known_angle: angle.is_some(),
        turns_into_itself: round,
    }
}

/// An outline traced point by point.
pub(super) fn traced_patch(mesh: &Mesh, on: &PlacedPanel<'_>, places: Vec<Point2<f64>>) -> Patch {
    let origin = Origin::patch(mesh, places.clone());
    let perimeter_mm = origin.pieces.iter().map(|piece| piece_length_mm(mesh, piece)).sum();
    let area_mm2 = DistanceField::spread(mesh, &on.filled, &origin, 1.0)
        .map_or(0.0, |field| super::level::area_within(&field, 0.0).area_mm2);
    let points: Vec<_> =
        places.iter().map(|place| mesh.position(&mesh.nearest(*place).0)).collect();
    let mut length_mm: f64 = 0.0;
    for (number, one) in points.iter().enumerate() {
        for other in points.iter().skip(number + 1) {
            length_mm = length_mm.max((one - other).norm());
        }
    }
    Patch {
        outline: places,
        length_mm,
        width_mm: if length_mm > 0.0 { area_mm2 / length_mm } else { 0.0 },
        area_mm2,
        perimeter_mm,
        known_angle: true,
        turns_into_itself: true,
    }
}

/// Two sides of a closed outline that cross, counted from 0.
#[must_use]
pub fn crossing(places: &[Point2<f64>]) -> Option<(usize, usize)> {
    let count = places.len();
    let side = |number: usize| Some((*places.get(number)?, *places.get((number + 1) % count)?));
    for one in 0..count {
        for other in (one + 1)..count {
            if other == one + 1 || (one == 0 && other == count - 1) {
                continue;
            }
            let ((a, b), (c, d)) = (side(one)?, side(other)?);
            let turn = |p: Point2<f64>, q: Point2<f64>, r: Point2<f64>| (q - p).perp(&(r - p));
            if turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0 {
                return Some((one, other));
            }
        }
    }
    None
}
