//! A mark as it may be found, case by case: an origin on the skin and how far out it goes.

use super::growth;
use crate::model::survey::Side;
use crate::quantity::Cases;
use crate::rules::Book;
use crate::surface::marks::{Form, Line, Patch, PlacedMark, extended, straight_line};
use crate::surface::mesh::Mesh;
use crate::surface::origin::Origin;
use crate::surface::placed::PlacedPanel;

/// A mark as found in one case.
#[derive(Debug, Clone)]
pub struct Extent {
    /// What distances are measured from.
    pub origin: Origin,
    /// How far beyond the origin the mark itself goes, mm.
    pub grown_mm: f64,
    /// Its length, for a line, mm.
    pub length_mm: Option<f64>,
    /// How many ends an edge of the panel stopped.
    pub ends_on_edge: usize,
}

/// A mark as found, all cases, on the side it is worked from and on the back.
#[derive(Debug, Clone)]
pub struct Extents {
    /// As it is seen.
    pub seen: Extent,
    /// On the side it was recorded on.
    pub cases: Cases<Extent>,
    /// On the back, where its length there differs.
    pub back: Option<Cases<Extent>>,
}

/// Lays a mark as it may be found.
#[must_use]
pub fn extents(book: &Book, panel: &PlacedPanel<'_>, placed: &PlacedMark<'_>) -> Extents {
    let mark = placed.of;
    match &placed.form {
        Form::Line(line) => {
            let seen = line_extent(line.clone());
            // What was measured after grinding grows no more.
            let cases = match placed.opened {
                Some(_) => Cases::from_fn(|_| seen.clone()),
                None => grown_lines(book, panel, placed, line, line.length_mm, mark.side),
            };
            let back = mark
                .back_length_mm
                .filter(|_| mark.side == Side::Outer)
                .map(|length| grown_lines(book, panel, placed, line, length.value(), Side::Back));
            Extents { seen, cases, back }
        }
        Form::Patch(patch) => {
            let origin = Origin::patch(&panel.mesh, patch.outline.clone());
            let outward = patch_outward(book, placed, patch);
            let extent = |grown_mm: f64| Extent {
                origin: origin.clone(),
                grown_mm,
                length_mm: None,
                ends_on_edge: 0,
            };
            Extents { seen: extent(0.0), cases: outward.map(|grown| extent(*grown)), back: None }
        }
    }
}

/// Outward growth of a patch in each case, mm; one that was opened up grows no more.
#[must_use]
pub fn patch_outward(book: &Book, placed: &PlacedMark<'_>, patch: &Patch) -> Cases<f64> {
    if placed.opened.is_some() {
        return Cases::from_fn(|_| 0.0);
    }
    growth::outward_mm(book, placed.of.kind, patch.area_mm2, patch.perimeter_mm, patch.length_mm)
}

fn line_extent(line: Line) -> Extent {
    Extent {
        length_mm: Some(line.length_mm),
        ends_on_edge: line.ends_on_edge,
        origin: Origin { pieces: line.pieces, filled: None },
        grown_mm: 0.0,
    }
}

fn grown_lines(
    book: &Book,
    panel: &PlacedPanel<'_>,
    placed: &PlacedMark<'_>,
    line: &Line,
    seen_mm: f64,
    side: Side,
) -> Cases<Extent> {
    let lengths = if side == Side::Back && placed.opened.is_some_and(|opened| opened.back) {
        Cases::from_fn(|_| seen_mm)
    } else {
        growth::line_mm(book, placed.of.kind, seen_mm)
    };
    let mesh: &Mesh = &panel.mesh;
    let passable = panel.side(side);
    lengths.map(|length_mm| {
        line_extent(match line.straight_deg {
            Some(degrees) => straight_line(mesh, passable, placed.at, degrees, *length_mm),
            None => extended(mesh, passable, line, *length_mm),
        })
    })
}
