//! A mark as it was found after grinding, laid where it was recorded. Lengths are mm.
//!
//! Its middle and direction stay as recorded. Where both ends of a crack were measured, each end
//! moves by its own; a trace found shorter is cut back at both ends alike; an area given alone
//! keeps the proportions of its outline.

use nalgebra::Point2;

use super::lines::{extended_each, patch, shortened, straight_line, traced_patch};
use super::marks::TapeFields;
use super::mesh::MeshPoint;
use super::patch_outline::PatchShape;
use super::placed::PlacedPanel;
use super::seen_form::{Form, Line, Patch};
use crate::model::opened::FoundMark;
use crate::model::survey::{Mark, PatchOutline, Shape};

/// Turns of fitting a traced outline to its area: each leaves far less than a tape can tell.
const FITS: usize = 4;

/// A mark that was opened up, as it is known afterwards.
#[derive(Debug, Clone, Copy)]
pub struct Opened {
    /// Its length on the back was measured as well.
    pub back: bool,
}

/// The form of a mark as found.
pub(super) fn found_form(
    fields: &TapeFields<'_>,
    mark: &Mark,
    at: MeshPoint,
    recorded: Form,
    found: &FoundMark,
) -> Form {
    match recorded {
        Form::Line(line) => Form::Line(found_line(fields.panel, mark, at, line, found)),
        Form::Patch(patch) => Form::Patch(found_patch(fields.panel, mark, at, patch, found)),
    }
}

fn found_line(
    on: &PlacedPanel<'_>,
    mark: &Mark,
    at: MeshPoint,
    line: Line,
    found: &FoundMark,
) -> Line {
    let (mesh, passable) = (&on.mesh, on.side(mark.side));
    if let Some((before, after)) = found.beyond_mm {
        let (before_mm, after_mm) = (before.value(), after.value());
        let laid = extended_each(mesh, passable, &line, (before_mm, after_mm));
        // Its middle has moved away from its place.
        return Line { straight_deg: None, ..laid };
    }
    let Some(length_mm) = found.length_mm.map(|length| length.value()) else { return line };
    match line.straight_deg {
        Some(degrees) => Line {
            known_direction: line.known_direction,
            ..straight_line(mesh, passable, at, degrees, length_mm)
        },
        None if length_mm < line.length_mm => shortened(mesh, &line, length_mm),
        None => {
            let more_mm = (length_mm - line.length_mm) / 2.0;
            extended_each(mesh, passable, &line, (more_mm, more_mm))
        }
    }
}

fn found_patch(
    on: &PlacedPanel<'_>,
    mark: &Mark,
    at: MeshPoint,
    recorded: Patch,
    found: &FoundMark,
) -> Patch {
    let sides = found.length_mm.zip(found.width_mm);
    let sides = sides.map(|(length, width)| (length.value(), width.value()));
    let wanted_mm2 = found.area_m2.map(|area| area.value() * 1e6);
    let share = wanted_mm2.map(|wanted_mm2| (wanted_mm2 / recorded.area_mm2).sqrt());
    let laid = |size: (f64, f64), angle: Option<f64>, shape: PatchShape| {
        let (length_mm, width_mm) = match (sides, share) {
            (Some(sides), _) => sides,
            (None, Some(share)) => (size.0 * share, size.1 * share),
            (None, None) => size,
        };
        patch(&on.mesh, at, length_mm, width_mm, angle, shape)
    };
    match &mark.shape {
        Shape::Spot { diameter_mm } => {
            let size = (diameter_mm.value(), diameter_mm.value());
            // A spot that turned out longer one way lies which way nobody has said.
            laid(size, sides.is_none().then_some(0.0), PatchShape::Oval)
        }
        Shape::Patch { length_mm, width_mm, angle_deg, outline } => {
            let shape = match outline {
                PatchOutline::Rectangle => PatchShape::Rectangle,
                PatchOutline::Oval => PatchShape::Oval,
            };
            let angle = angle_deg.map(|angle| angle.value());
            laid((length_mm.value(), width_mm.value()), angle, shape)
        }
        _ => match wanted_mm2 {
            Some(wanted_mm2) => fitted(on, recorded, wanted_mm2),
            None => recorded,
        },
    }
}

/// A traced outline drawn larger or smaller about its middle until it holds the area, mm2.
fn fitted(on: &PlacedPanel<'_>, recorded: Patch, wanted_mm2: f64) -> Patch {
    let mut of = recorded;
    for _ in 0..FITS {
        if of.area_mm2 <= 0.0 || of.outline.is_empty() {
            break;
        }
        let share = (wanted_mm2 / of.area_mm2).sqrt();
        let count = of.outline.len() as f64;
        let sum = of.outline.iter().fold(nalgebra::Vector2::zeros(), |sum, p| sum + p.coords);
        let middle = Point2::from(sum / count);
        let outline = of.outline.iter().map(|place| middle + (place - middle) * share).collect();
        of = traced_patch(&on.mesh, on, outline);
    }
    of
}
