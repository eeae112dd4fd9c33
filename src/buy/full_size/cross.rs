//! Crosses on a sheet: places that tapes find on the panel, and the paper is laid by.

use nalgebra::Point2;

use super::super::cutting::LaidPart;
use super::super::cutting::holds;
use super::tape::{Known, Landmarks, Tape};
use crate::surface::mesh::MeshPoint;

/// Places of the rim that are looked at for the two farthest apart (choice).
const LOOKED_AT: usize = 240;
/// Crosses stand in from the rim by this share of the way to the middle (choice: still on the paper
/// once it is cut out).
const INWARDS: f64 = 0.12;
/// Two crosses nearer than this are one, mm (choice).
const APART_MM: f64 = 15.0;

/// A cross.
#[derive(Debug, Clone, PartialEq)]
pub struct Cross {
    /// What it is called on the sheet.
    pub name: String,
    /// Where, mm.
    pub at_mm: Point2<f64>,
    /// From the landmarks, nearest first.
    pub tapes: Vec<Tape>,
}

/// Two places far apart within the outline of a part, and the places of its marks that lie on it.
pub(super) fn places(
    laid: &LaidPart<'_>,
    rim: &[Known],
    marks: &[(u32, MeshPoint)],
) -> Vec<(String, Known)> {
    let outline = &laid.part.outline_mm;
    let within = |at: &Point2<f64>| {
        holds(outline, at) && !laid.part.holes_mm.iter().any(|hole| holds(hole, at))
    };
    let mut found: Vec<(String, Known)> = marks
        .iter()
        .filter_map(|(mark, at)| Some((mark, (*at, laid.sheet.place(at)?))))
        .filter(|(_, (_, at))| within(at))
        .map(|(mark, known)| (format!("mark {mark}"), known))
        .collect();
    let some = rim.iter().step_by(rim.len() / LOOKED_AT + 1);
    let mut best: Option<(f64, &Known, &Known)> = None;
    for (number, one) in some.clone().enumerate() {
        for other in some.clone().skip(number + 1) {
            let apart = (one.1 - other.1).norm();
            if best.as_ref().is_none_or(|(most, ..)| apart > *most) {
                best = Some((apart, one, other));
            }
        }
    }
    let Some((_, one, other)) = best else { return found };
    let middle = nalgebra::center(&one.1, &other.1);
    let ends = [one, other].map(|end| {
        let inner = end.1 + (middle - end.1) * INWARDS;
        let lifted = within(&inner).then(|| laid.sheet.lift(inner)).flatten();
        lifted.map_or(*end, |on_skin| (on_skin, inner))
    });
    for (name, end) in ["end 1", "end 2"].into_iter().zip(ends) {
        if found.iter().all(|(_, known)| (known.1 - end.1).norm() > APART_MM) {
            found.push((name.to_owned(), end));
        }
    }
    found
}

/// The tapes to a place, nearest landmark first.
pub(super) fn tapes(landmarks: &[Landmarks<'_>], point: &MeshPoint) -> Vec<Tape> {
    let mut all: Vec<Tape> = landmarks
        .iter()
        .filter_map(|from| Some(Tape { landmark: from.name.to_owned(), mm: from.to(point)? }))
        .collect();
    all.sort_by(|one, other| one.mm.total_cmp(&other.mm));
    all.truncate(3);
    all
}
